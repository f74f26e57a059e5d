//! Whatever takes up ground: a point, a line, a shape, a disc.

use super::{MOST_CORNERS, Point, Pose, RADIUS, Rect, Shape, ShapeError, Xy, place::norm};
use crate::{
    bounds::OutOfRange,
    quantity::{FromAmount, Length},
};

/// A line of straight stretches: a hose, a road, a drain, a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Polyline {
    /// The points, and the last one again, so that each begins a stretch.
    track: Vec<Xy>,
    bounds: Rect,
}

/// A disc: the sweep of a propeller, a drum, a zone around a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    pub(super) centre: Xy,
    pub(super) radius: f64,
}

/// What [`super::nearest`] measures between.
#[derive(Clone, Copy, Debug)]
pub enum Extent<'a> {
    /// A place without size.
    Point(Point),
    /// A line without width.
    Line(&'a Polyline),
    /// A polygon with its inside.
    Shape(&'a Shape),
    /// A disc with its inside.
    Disc(Disc),
    /// The straight way between two places.
    Way(Point, Point),
}

impl Polyline {
    /// A line through `points`; one point alone is a line without length.
    ///
    /// # Errors
    ///
    /// [`ShapeError::TooFew`] without a point, [`ShapeError::TooMany`] above
    /// [`MOST_CORNERS`].
    pub fn new(points: &[Point]) -> Result<Self, ShapeError> {
        match points {
            [] => Err(ShapeError::TooFew(0)),
            [.., last] if points.len() <= MOST_CORNERS => {
                let track: Vec<Xy> = points.iter().chain([last]).map(|point| point.0).collect();
                let bounds = Rect::around(&track);
                Ok(Self { track, bounds })
            }
            _ => Err(ShapeError::TooMany(points.len())),
        }
    }

    /// The points, in order.
    pub fn points(&self) -> impl ExactSizeIterator<Item = Point> + '_ {
        self.track[..self.track.len() - 1].iter().map(|point| Point(*point))
    }

    /// Length along the line.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::from_si(self.track.windows(2).map(|way| norm(way[1] - way[0])).sum())
    }

    /// This line of an aeroplane, on the apron.
    #[must_use]
    pub fn placed(&self, pose: Pose) -> Self {
        let track: Vec<Xy> = self.track.iter().map(|point| pose.apply(*point)).collect();
        let bounds = Rect::around(&track);
        Self { track, bounds }
    }
}

impl Disc {
    /// A disc around `centre`; one without radius is a point.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] outside [`RADIUS`].
    pub fn new(centre: Point, radius: Length) -> Result<Self, OutOfRange> {
        Ok(Self { centre: centre.0, radius: RADIUS.check(radius)?.si() })
    }

    /// Its middle.
    #[must_use]
    pub fn centre(self) -> Point {
        Point(self.centre)
    }

    /// From its middle to its edge.
    #[must_use]
    pub fn radius(self) -> Length {
        Length::from_si(self.radius)
    }

    /// This disc of an aeroplane, on the apron.
    #[must_use]
    pub fn placed(self, pose: Pose) -> Self {
        Self { centre: pose.apply(self.centre), ..self }
    }
}

impl From<Point> for Extent<'_> {
    fn from(point: Point) -> Self {
        Self::Point(point)
    }
}

impl From<Disc> for Extent<'_> {
    fn from(disc: Disc) -> Self {
        Self::Disc(disc)
    }
}

impl<'a> From<&'a Polyline> for Extent<'a> {
    fn from(line: &'a Polyline) -> Self {
        Self::Line(line)
    }
}

impl<'a> From<&'a Shape> for Extent<'a> {
    fn from(shape: &'a Shape) -> Self {
        Self::Shape(shape)
    }
}

/// What every extent comes down to: edges, perhaps with an inside, perhaps with a radius.
#[derive(Clone, Copy)]
pub(super) struct Chain<'a> {
    /// Each point but the last begins an edge.
    pub(super) track: &'a [Xy],
    pub(super) bounds: Rect,
    /// True when the track goes around something.
    pub(super) solid: bool,
    /// How far the extent reaches beyond the track.
    pub(super) radius: f64,
}

impl Extent<'_> {
    /// Gives the chain of this extent to `then`; a point lends its place twice, as an edge
    /// without length.
    #[inline]
    pub(super) fn chain<T>(&self, then: impl FnOnce(Chain<'_>) -> T) -> T {
        let round = |centre: Xy, radius: f64| {
            let bounds = Rect { low: centre, high: centre };
            ([centre, centre], bounds, radius)
        };
        match self {
            Self::Line(line) => {
                let Polyline { track, bounds } = line;
                then(Chain { track, bounds: *bounds, solid: false, radius: 0.0 })
            }
            Self::Shape(shape) => {
                let Shape { ring, bounds } = shape;
                then(Chain { track: ring, bounds: *bounds, solid: true, radius: 0.0 })
            }
            Self::Point(Point(at)) => {
                let (track, bounds, radius) = round(*at, 0.0);
                then(Chain { track: &track, bounds, solid: false, radius })
            }
            Self::Way(Point(from), Point(to)) => {
                let bounds = Rect::of(*from, *to);
                then(Chain { track: &[*from, *to, *to], bounds, solid: false, radius: 0.0 })
            }
            Self::Disc(Disc { centre, radius }) => {
                let (track, bounds, radius) = round(*centre, *radius);
                then(Chain { track: &track, bounds, solid: false, radius })
            }
        }
    }
}
