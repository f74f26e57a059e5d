//! Places in the plane, the turn that puts an aeroplane on the apron, and exact sides.

use geo_types::Coord;

use super::COORDINATE;
use crate::{
    bounds::OutOfRange,
    geodesy::DIRECTION,
    quantity::{Angle, FromAmount, Length},
};

/// East and north in metres.
pub(crate) type Xy = Coord<f64>;

/// A place on the apron; finite.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point(pub(crate) Xy);

/// Where an aeroplane stands and which way it points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    at: Xy,
    sin: f64,
    cos: f64,
}

impl Point {
    /// A place east and north of the origin; in the axes of an aeroplane, right and forward.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] outside [`COORDINATE`].
    pub fn new(east: Length, north: Length) -> Result<Self, OutOfRange> {
        let (x, y) = (COORDINATE.check(east)?.si(), COORDINATE.check(north)?.si());
        Ok(Self(Xy { x, y }))
    }

    /// East of the origin.
    #[must_use]
    pub fn east(self) -> Length {
        Length::from_si(self.0.x)
    }

    /// North of the origin.
    #[must_use]
    pub fn north(self) -> Length {
        Length::from_si(self.0.y)
    }

    /// The straight line to another place.
    #[must_use]
    pub fn distance(self, other: Self) -> Length {
        Length::from_si(norm(other.0 - self.0))
    }

    /// This point of an aeroplane, on the apron.
    #[must_use]
    pub fn placed(self, pose: Pose) -> Self {
        Self(pose.apply(self.0))
    }
}

impl Pose {
    /// The origin of the aeroplane at `at`, its nose towards `heading`, clockwise from true
    /// north.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] outside [`DIRECTION`].
    pub fn new(at: Point, heading: Angle) -> Result<Self, OutOfRange> {
        let (sin, cos) = DIRECTION.check(heading)?.si().sin_cos();
        Ok(Self { at: at.0, sin, cos })
    }

    pub(super) fn apply(self, p: Xy) -> Xy {
        let (right, forward) = (p.x, p.y);
        Xy {
            x: self.at.x + forward * self.sin + right * self.cos,
            y: self.at.y + forward * self.cos - right * self.sin,
        }
    }
}

/// A box along the axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rect {
    pub(crate) low: Xy,
    pub(crate) high: Xy,
}

impl Rect {
    /// Around two points.
    #[inline]
    pub(crate) fn of(a: Xy, b: Xy) -> Self {
        Self {
            low: Xy { x: least(a.x, b.x), y: least(a.y, b.y) },
            high: Xy { x: most(a.x, b.x), y: most(a.y, b.y) },
        }
    }

    /// Around all points; a box of nothing is turned inside out and near to nothing.
    pub(crate) fn around(points: &[Xy]) -> Self {
        let mut all = Self {
            low: Xy { x: f64::INFINITY, y: f64::INFINITY },
            high: Xy { x: f64::NEG_INFINITY, y: f64::NEG_INFINITY },
        };
        for p in points {
            all.low = Xy { x: least(all.low.x, p.x), y: least(all.low.y, p.y) };
            all.high = Xy { x: most(all.high.x, p.x), y: most(all.high.y, p.y) };
        }
        all
    }

    /// Square of the distance to another box, 0 where they meet.
    #[inline]
    pub(crate) fn gap2(&self, other: &Self) -> f64 {
        let x = most(most(self.low.x - other.high.x, other.low.x - self.high.x), 0.0);
        let y = most(most(self.low.y - other.high.y, other.low.y - self.high.y), 0.0);
        x * x + y * y
    }

    /// True when they have a point in common.
    #[inline]
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.low.x <= other.high.x
            && other.low.x <= self.high.x
            && self.low.y <= other.high.y
            && other.low.y <= self.high.y
    }

    /// True when `p` lies in the box or on its edge.
    #[inline]
    pub(crate) fn holds(&self, p: Xy) -> bool {
        self.low.x <= p.x && p.x <= self.high.x && self.low.y <= p.y && p.y <= self.high.y
    }

    /// The place in the box that is nearest to `p`.
    #[inline]
    pub(crate) fn nearest_to(&self, p: Xy) -> Xy {
        Xy {
            x: least(most(p.x, self.low.x), self.high.x),
            y: least(most(p.y, self.low.y), self.high.y),
        }
    }

    #[inline]
    pub(crate) fn centre(&self) -> Xy {
        (self.low + self.high) * 0.5
    }
}

// Not `f64::min`: nothing here is NaN, and one instruction is enough then.
#[inline]
fn least(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

#[inline]
fn most(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

#[inline]
pub(crate) fn cross(a: Xy, b: Xy) -> f64 {
    a.x * b.y - a.y * b.x
}

#[inline]
pub(crate) fn dot(a: Xy, b: Xy) -> f64 {
    a.x * b.x + a.y * b.y
}

#[inline]
pub(crate) fn norm2(a: Xy) -> f64 {
    dot(a, a)
}

#[inline]
pub(crate) fn norm(a: Xy) -> f64 {
    norm2(a).sqrt()
}

/// Positive when `p` lies left of the line from `a` to `b`, negative right of it, 0 on it:
/// the sign is exact. `[shewchuk-1997]`
#[inline]
pub(crate) fn side(a: Xy, b: Xy, p: Xy) -> f64 {
    let of = |p: Xy| robust::Coord { x: p.x, y: p.y };
    robust::orient2d(of(a), of(b), of(p))
}

/// True for one side and the other; never by a product, which can vanish.
#[inline]
pub(crate) fn opposite(s: f64, t: f64) -> bool {
    s > 0.0 && t < 0.0 || s < 0.0 && t > 0.0
}

/// True when the straight lines from `a` to `b` and from `c` to `d` have a point in common.
pub(super) fn meet(a: Xy, b: Xy, c: Xy, d: Xy) -> bool {
    let (ab, cd) = (Rect::of(a, b), Rect::of(c, d));
    if !ab.meets(&cd) {
        return false;
    }
    let (sc, sd, sa, sb) = (side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b));
    let same = |s: f64, t: f64| s > 0.0 && t > 0.0 || s < 0.0 && t < 0.0;
    if same(sc, sd) || same(sa, sb) {
        return false;
    }
    // All on one line, or an end on the other's line: the boxes decide whether it is on it.
    let all_on_one = [sa, sb, sc, sd].iter().all(|s| *s == 0.0);
    !all_on_one || ab.holds(c) || ab.holds(d) || cd.holds(a) || cd.holds(b)
}
