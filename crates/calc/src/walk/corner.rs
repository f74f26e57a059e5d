//! The corners at which a way may bend.

use super::Forbidden;
use crate::plane::{Position, Xy, opposite, side};

/// An outward corner of what is forbidden, with the two edges that the way keeps outside of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub(super) at: Xy,
    /// The forbidden side lies to the left of the way from `at` to `first` ...
    first: Xy,
    /// ... and to the right of the way from `at` to `last`.
    last: Xy,
}

impl Corner {
    /// True when a line from `from` to the corner passes it, touching: it could go on, and a
    /// way that bends here keeps to the corner. Any other line is of no use to a shortest way.
    pub(super) fn is_passed(&self, from: Xy) -> bool {
        let (first, last) = (side(from, self.at, self.first), side(from, self.at, self.last));
        !opposite(first, last)
    }
}

/// The corners of all shapes that matter, in the order of the shapes.
pub(super) fn corners(forbidden: &[Forbidden<'_>]) -> Vec<Corner> {
    let mut all = Vec::new();
    for one in forbidden {
        let open = one.shape.open();
        let count = open.len();
        for (n, at) in open.iter().enumerate() {
            let (prev, next) = (open[(n + count - 1) % count], open[(n + 1) % count]);
            if side(prev, *at, next) <= 0.0 {
                continue;
            }
            if let Some(corner) = together(*at, forbidden) {
                all.push(corner);
            }
        }
    }
    all
}

/// The corner that all shapes make together at `at`, if it still points outwards.
fn together(at: Xy, forbidden: &[Forbidden<'_>]) -> Option<Corner> {
    let mut rays = Vec::new();
    for one in forbidden.iter().filter(|one| one.shape.locate(at) != Position::Outside) {
        let open = one.shape.open();
        let count = open.len();
        // Inside, or on the border and no corner of it: nothing is left to go around.
        let n = open.iter().position(|corner| *corner == at)?;
        let (prev, next) = (open[(n + count - 1) % count], open[(n + 1) % count]);
        if side(prev, at, next) <= 0.0 {
            return None;
        }
        rays.extend([next, prev]);
    }
    // All edges must fit between two of them that are less than half a turn apart.
    let outermost = |sign: f64| {
        rays.iter().copied().find(|ray| {
            rays.iter().all(|other| {
                let turn = side(at, *ray, *other) * sign;
                turn > 0.0 || turn == 0.0 && is_same_way(at, *ray, *other)
            })
        })
    };
    Some(Corner { at, first: outermost(1.0)?, last: outermost(-1.0)? })
}

/// For two places on one line with `at`: true when both lie on the same side of it.
fn is_same_way(at: Xy, a: Xy, b: Xy) -> bool {
    (a.x >= at.x) == (b.x >= at.x) && (a.y >= at.y) == (b.y >= at.y)
}
