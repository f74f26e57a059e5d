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

/// Where a point lies of a shape; exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Position {
    /// Inside, and not on an edge.
    Inside,
    /// On an edge or a corner.
    Border,
    /// Neither.
    Outside,
}

impl Position {
    /// The position as a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Inside => "inside",
            Self::Border => "border",
            Self::Outside => "outside",
        }
    }
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
        self.locate(point.0) != Position::Outside
    }

    /// Where a point lies of the shape; exact.
    #[must_use]
    pub fn position(&self, point: Point) -> Position {
        self.locate(point.0)
    }

    /// The corners without the first one again.
    pub(crate) fn open(&self) -> &[Xy] {
        &self.ring[..self.ring.len().saturating_sub(1)]
    }

    pub(crate) fn bounds(&self) -> &Rect {
        &self.bounds
    }

    pub(crate) fn locate(&self, p: Xy) -> Position {
        if self.bounds.holds(p) { locate(&self.ring, p) } else { Position::Outside }
    }
}

/// Winding number: how often the edges go around `p`. `[plane-geometry]`
pub(super) fn locate(ring: &[Xy], p: Xy) -> Position {
    let mut winding = 0;
    for edge in ring.windows(2) {
        let (a, b) = (edge[0], edge[1]);
        let (rises, falls) = (a.y <= p.y && p.y < b.y, b.y <= p.y && p.y < a.y);
        if !rises && !falls {
            // An edge that does not pass the height of the point can still hold it: at a
            // corner, or when it lies level.
            let level = a.y - p.y == 0.0 && b.y - p.y == 0.0;
            if a == p || b == p || level && Rect::of(a, b).holds(p) {
                return Position::Border;
            }
            continue;
        }
        let s = side(a, b, p);
        if s == 0.0 {
            return Position::Border;
        }
        winding += i32::from(rises && s > 0.0) - i32::from(falls && s < 0.0);
    }
    if winding == 0 { Position::Outside } else { Position::Inside }
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
    // Before the crossings, because an edge that folds back crosses others as well.
    let folds = |n: &usize| {
        let (a, b, c) = (at(n + count - 1), at(*n), at(n + 1));
        side(a, b, c) == 0.0 && dot(b - a, c - b) < 0.0
    };
    if let Some(corner) = (0..count).find(folds) {
        return Err(ShapeError::FoldsBack(corner));
    }
    for n in 0..count {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Angle, FromAmount, Length};

    fn point(east: f64, north: f64) -> Point {
        Point::new(Length::from_si(east), Length::from_si(north)).unwrap()
    }

    fn shape(corners: &[(f64, f64)]) -> Result<Shape, ShapeError> {
        let corners: Vec<_> = corners.iter().map(|(east, north)| point(*east, *north)).collect();
        Shape::new(&corners)
    }

    #[test]
    fn corners_that_make_no_shape_are_named() {
        for (corners, error) in [
            (&[(0.0, 0.0), (1.0, 0.0)][..], ShapeError::TooFew(2)),
            (&[(0.0, 0.0), (1.0, 0.0), (1.0, 0.0), (0.0, 1.0)], ShapeError::Repeated(2)),
            (&[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (0.0, 0.0)], ShapeError::Repeated(0)),
            (&[(0.0, 0.0), (1.0, 1.0), (3.0, 3.0)], ShapeError::Flat),
            (&[(0.0, 0.0), (4.0, 0.0), (2.0, 0.0), (2.0, 2.0)], ShapeError::FoldsBack(1)),
            (&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)], ShapeError::Crossing(0, 2)),
            // A corner that touches another edge, and one that touches another corner.
            (
                &[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 0.0), (0.0, 4.0)],
                ShapeError::Crossing(0, 2),
            ),
            (
                &[(0.0, 0.0), (2.0, 2.0), (4.0, 0.0), (4.0, 4.0), (2.0, 2.0), (0.0, 4.0)],
                ShapeError::Crossing(0, 3),
            ),
        ] {
            assert_eq!(shape(corners), Err(error), "{error}");
        }
        let many: Vec<_> = (0..1001_u32).map(|n| f64::from(n).sin_cos()).collect();
        assert_eq!(shape(&many), Err(ShapeError::TooMany(1001)));
        let words = shape(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]).unwrap_err();
        assert_eq!(words.to_string(), "the edge after corner 1 meets the edge after corner 3");
    }

    #[test]
    fn both_sides_of_the_range_of_a_place_and_what_is_no_number() {
        let east = |metres: f64| Point::new(Length::from_si(metres), Length::from_si(0.0));
        for good in [1e6, -1e6, 0.0] {
            assert!(east(good).is_ok(), "{good}");
        }
        for bad in [1e6 + 1.0, -1e6 - 1.0, f64::NAN, f64::INFINITY] {
            assert!(east(bad).is_err(), "{bad}");
            assert!(Point::new(Length::from_si(0.0), Length::from_si(bad)).is_err(), "{bad}");
        }
        let turn = |degrees: f64| Pose::new(point(0.0, 0.0), Angle::from_si(degrees.to_radians()));
        assert!(turn(360.0).is_ok() && turn(-360.0).is_ok());
        assert!(turn(360.1).is_err() && turn(f64::NAN).is_err());
        for (radius, good) in [(0.0, true), (1e4, true), (-0.1, false), (1.1e4, false)] {
            assert_eq!(Disc::new(point(0.0, 0.0), Length::from_si(radius)).is_ok(), good);
        }
    }

    /// Nose east at (100, 50): 3 m ahead of and 2 m right of the origin of the aeroplane is 3 m
    /// east and 2 m south of it.
    #[test]
    fn a_heading_turns_clockwise_from_north() {
        let pose = Pose::new(point(100.0, 50.0), Angle::from_si(90_f64.to_radians())).unwrap();
        let placed = point(2.0, 3.0).placed(pose);
        assert!(placed.distance(point(103.0, 48.0)).value < 1e-12, "{placed:?}");
        let ahead = Pose::new(point(100.0, 50.0), Angle::from_si(0.0)).unwrap();
        assert_eq!(point(2.0, 3.0).placed(ahead), point(102.0, 53.0));
    }

    #[test]
    fn either_direction_gives_the_same_shape_from_the_same_corner() {
        let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (0.0, 3.0)];
        let one = shape(&corners).unwrap();
        let mut turned = corners;
        turned[1..].reverse();
        assert_eq!(shape(&turned).unwrap(), one);
        assert_eq!(one.corners().next(), Some(point(0.0, 0.0)));
        assert!((one.area().value - 5.0).abs() < 1e-12);
    }

    #[test]
    fn inside_border_and_outside_are_exact() {
        let notched = shape(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 1.0), (0.0, 4.0)]).unwrap();
        for (east, north, position) in [
            (2.0, 0.5, Position::Inside),
            (2.0, 1.0, Position::Border),
            (2.0, 1.0 + f64::EPSILON, Position::Outside),
            (2.0, 1.0 - f64::EPSILON, Position::Inside),
            (3.0, 2.5, Position::Border),
            (3.0, 0.0, Position::Border),
            (5.0, 0.0, Position::Outside),
            (-1.0, 4.0, Position::Outside),
            (4.0, 4.0, Position::Border),
            (-0.5, 1.0, Position::Outside),
        ] {
            assert_eq!(notched.position(point(east, north)), position, "{east} {north}");
        }
    }

    #[test]
    fn a_polygon_around_a_disc_holds_it_and_touches_it() {
        for sides in [3, 4, 7, 24, 1000] {
            let disc = Disc::new(point(5.0, -3.0), Length::from_si(0.9)).unwrap();
            let around = Shape::disc(disc, sides).unwrap();
            let nearest = around.ring.windows(2).map(|edge| {
                let (a, b) = (edge[0], edge[1]);
                cross(b - a, disc.centre - a) / dot(b - a, b - a).sqrt()
            });
            let least = nearest.fold(f64::INFINITY, f64::min);
            assert!((0.9 - 1e-15..0.9 + 1e-12).contains(&least), "{sides}: {least}");
        }
        let point_like = Disc::new(point(0.0, 0.0), Length::from_si(0.0)).unwrap();
        assert!(Shape::disc(point_like, 8).is_err());
        assert_eq!(Shape::disc(point_like, 2), Err(ShapeError::TooFew(2)));
        assert_eq!(Shape::disc(point_like, 1001), Err(ShapeError::TooMany(1001)));
    }
}
