//! The shortest chain of lines of sight.

use std::{cmp::Ordering, collections::BinaryHeap};

use super::{
    Forbidden,
    corner::{Corner, corners},
    sight::Sight,
};
use crate::plane::{Xy, norm};

/// A way that was found.
pub(super) struct Found {
    pub(super) points: Vec<Xy>,
    pub(super) length: f64,
}

/// A place to go on from: nearest to the door over all first, then the first in order.
struct Open {
    whole: f64,
    place: usize,
}

impl Ord for Open {
    fn cmp(&self, other: &Self) -> Ordering {
        // The heap gives the greatest first.
        other.whole.total_cmp(&self.whole).then(other.place.cmp(&self.place))
    }
}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Open {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Open {}

/// Gate and door, then the corners.
const GATE: usize = 0;
const DOOR: usize = 1;

/// The shortest way from `gate` to `door`; neither lies inside anything.
pub(super) fn shortest(gate: Xy, door: Xy, forbidden: &[Forbidden<'_>]) -> Option<Found> {
    let corners = corners(forbidden);
    let places: Vec<Xy> = [gate, door].into_iter().chain(corners.iter().map(|c| c.at)).collect();
    let corner = |place: usize| place.checked_sub(2).map(|n| &corners[n]);
    let passed = |corner: Option<&Corner>, from: Xy| corner.is_none_or(|c| c.is_passed(from));
    let mut length = vec![f64::INFINITY; places.len()];
    let mut from = vec![GATE; places.len()];
    let mut done = vec![false; places.len()];
    let mut open = BinaryHeap::from([Open { whole: norm(door - gate), place: GATE }]);
    length[GATE] = 0.0;
    while let Some(Open { place, .. }) = open.pop() {
        if place == DOOR {
            return Some(traced(&places, &from, length[DOOR]));
        }
        if std::mem::replace(&mut done[place], true) {
            continue;
        }
        let here = places[place];
        for next in (DOOR..places.len()).filter(|next| !done[*next]) {
            let there = places[next];
            let so_far = length[place] + norm(there - here);
            if so_far < length[next]
                && passed(corner(next), here)
                && passed(corner(place), there)
                && is_clear(here, there, forbidden)
            {
                length[next] = so_far;
                from[next] = place;
                open.push(Open { whole: so_far + norm(door - there), place: next });
            }
        }
    }
    None
}

fn is_clear(p: Xy, q: Xy, forbidden: &[Forbidden<'_>]) -> bool {
    let mut sight = Sight::new(p, q);
    !forbidden.iter().any(|one| sight.enters(one.shape))
}

fn traced(places: &[Xy], from: &[usize], length: f64) -> Found {
    let mut points = vec![places[DOOR]];
    let mut place = DOOR;
    while place != GATE {
        place = from[place];
        points.push(places[place]);
    }
    points.reverse();
    Found { points, length }
}
