//! A simple polygon, checked once.

use std::fmt;

use super::{
    Disc, MOST_CORNERS, Point, Pose, Rect, Xy, cross, dot,
    place::{meet, side},
};
use crate::bounds::OutOfRange;

/// A simple polygon: an aeroplane from above, a building, an area. Corners run
/// counter-clockwise, whichever way they were given; the first one stays the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// The corners, and the first one again.
    pub(super) ring: Vec<Xy>,
    pub(super) bounds: Rect,
}

/// Why corners do not make a shape. Corners are counted from 0 here and from 1 in words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShapeError {
    /// Fewer than three corners: so many.
    TooFew(usize),
    /// More corners than [`MOST_CORNERS`]: so many.
    TooMany(usize),
    /// This corner is the same as the one before it.
    Repeated(usize),
    /// All corners lie on one line.
    Flat,
    /// The edge turns straight back on itself at this corner.
    FoldsBack(usize),
    /// Two edges meet that are not neighbours; each is named by its first corner.
    Crossing(usize, usize),
    /// A distance outside its range.
    OutOfRange(OutOfRange),
}

impl From<OutOfRange> for ShapeError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl fmt::Display for ShapeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew(found) => write!(f, "a shape needs three corners or more, not {found}"),
            Self::TooMany(found) => {
                write!(f, "a shape may have {MOST_CORNERS} corners, not {found}")
            }
            Self::Repeated(at) => write!(f, "corner {} repeats the one before it", at + 1),
            Self::Flat => f.write_str("all corners lie on one line"),
            Self::FoldsBack(at) => write!(f, "the edge folds back on itself at corner {}", at + 1),
            Self::Crossing(a, b) => {
                write!(f, "the edge after corner {} meets the edge after corner {}", a + 1, b + 1)
            }
            Self::OutOfRange(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for ShapeError {}

/// Where a point lies of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Where {
    Inside,
    Border,
    Outside,
}

impl Shape {
    /// Checks corners, given in order around the shape in either direction.
    ///
    /// # Errors
    ///
    /// [`ShapeError`] names the first thing wrong and the corners it is at.
    pub fn new(corners: &[Point]) -> Result<Self, ShapeError> {
        Self::of(corners.iter().map(|corner| corner.0).collect())
    }

    pub(super) fn of(mut ring: Vec<Xy>) -> Result<Self, ShapeError> {
        check(&ring)?;
        if clockwise(&ring) {
            ring[1..].reverse();
        }
        Ok(Self::closed(ring))
    }

    /// From corners that are known to be a simple polygon, counter-clockwise.
    pub(super) fn closed(mut ring: Vec<Xy>) -> Self {
        let bounds = Rect::around(&ring);
        ring.extend(ring.first().copied());
        Self { ring, bounds }
    }

    /// A polygon of `sides` around a disc: it holds the whole disc and touches it at the
    /// middle of each side, so it is a little larger and never smaller.
    ///
    /// # Errors
    ///
    /// [`ShapeError::TooFew`] and [`ShapeError::TooMany`] for `sides`; [`ShapeError::Flat`]
    /// for a disc without a radius.
    pub fn disc(disc: Disc, sides: usize) -> Result<Self, ShapeError> {
        match sides {
            0..3 => return Err(ShapeError::TooFew(sides)),
            3..=MOST_CORNERS => {}
            _ => return Err(ShapeError::TooMany(sides)),
        }
        let half = std::f64::consts::PI / sides as f64;
        // The last digits of the sine and cosine must not cut into the disc.
        let reach = disc.radius / half.cos() * (1.0 + 8.0 * f64::EPSILON);
        let corner = |n: usize| {
            let (sin, cos) = (half * (2 * n + 1) as f64).sin_cos();
            disc.centre + Xy { x: cos, y: sin } * reach
        };
        Self::of((0..sides).map(corner).collect())
    }

    /// The corners, counter-clockwise.
    pub fn corners(&self) -> impl ExactSizeIterator<Item = Point> + '_ {
        self.open().iter().map(|corner| Point(*corner))
    }

    /// This shape of an aeroplane, on the apron.
    #[must_use]
    pub fn placed(&self, pose: Pose) -> Self {
        Self::closed(self.open().iter().map(|corner| pose.apply(*corner)).collect())
    }

    /// [`Self::placed`] into a shape that is there already, which takes no memory when that
    /// has had as many corners before.
    pub fn place_into(&self, pose: Pose, into: &mut Self) {
        into.ring.clear();
        into.ring.extend(self.ring.iter().map(|corner| pose.apply(*corner)));
        into.bounds = Rect::around(&into.ring);
    }

    /// True when the point lies inside or on the edge; exact.
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        self.locate(point.0) != Where::Outside
    }

    /// The corners without the first one again.
    pub(crate) fn open(&self) -> &[Xy] {
        &self.ring[..self.ring.len().saturating_sub(1)]
    }

    pub(crate) fn bounds(&self) -> &Rect {
        &self.bounds
    }

    pub(crate) fn locate(&self, p: Xy) -> Where {
        if self.bounds.holds(p) { locate(&self.ring, p) } else { Where::Outside }
    }
}

/// Winding number: how often the edges go around `p`. `[plane-geometry]`
pub(super) fn locate(ring: &[Xy], p: Xy) -> Where {
    let mut winding = 0;
    for edge in ring.windows(2) {
        let (a, b) = (edge[0], edge[1]);
        let (rises, falls) = (a.y <= p.y && p.y < b.y, b.y <= p.y && p.y < a.y);
        if !rises && !falls {
            // An edge that does not pass the height of the point can still hold it: at a
            // corner, or when it lies level.
            let level = a.y - p.y == 0.0 && b.y - p.y == 0.0;
            if a == p || b == p || level && Rect::of(a, b).holds(p) {
                return Where::Border;
            }
            continue;
        }
        let s = side(a, b, p);
        if s == 0.0 {
            return Where::Border;
        }
        winding += i32::from(rises && s > 0.0) - i32::from(falls && s < 0.0);
    }
    if winding == 0 { Where::Outside } else { Where::Inside }
}

fn check(corners: &[Xy]) -> Result<(), ShapeError> {
    let count = corners.len();
    if count < 3 {
        return Err(ShapeError::TooFew(count));
    }
    if count > MOST_CORNERS {
        return Err(ShapeError::TooMany(count));
    }
    let at = |n: usize| corners[n % count];
    if let Some(same) = (0..count).find(|n| at(*n) == at(n + count - 1)) {
        return Err(ShapeError::Repeated(same));
    }
    if (0..count).all(|n| side(at(0), at(1), at(n)) == 0.0) {
        return Err(ShapeError::Flat);
    }
    for n in 0..count {
        let (a, b, c) = (at(n + count - 1), at(n), at(n + 1));
        if side(a, b, c) == 0.0 && dot(b - a, c - b) < 0.0 {
            return Err(ShapeError::FoldsBack(n));
        }
        // Edges after the next one, and not the one before this one.
        let last = if n == 0 { count - 1 } else { count };
        let crossing = (n + 2..last).find(|m| meet(at(n), at(n + 1), at(*m), at(m + 1)));
        if let Some(m) = crossing {
            return Err(ShapeError::Crossing(n, m));
        }
    }
    Ok(())
}

/// By the turn at the corner farthest west, of several the one farthest south: it juts out, so
/// its turn is that of the whole, and no rounding of an area comes in.
fn clockwise(corners: &[Xy]) -> bool {
    let order = |a: &Xy, b: &Xy| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y));
    let count = corners.len();
    let Some(n) = (0..count).min_by(|a, b| order(&corners[*a], &corners[*b])) else { return false };
    let (a, b, c) = (corners[(n + count - 1) % count], corners[n], corners[(n + 1) % count]);
    side(a, b, c) < 0.0
}

/// Twice the area, seen from the first corner so that far coordinates lose no digits.
pub(super) fn doubled_area(ring: &[Xy]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    ring.windows(2).map(|edge| cross(edge[0] - *first, edge[1] - *first)).sum()
}
