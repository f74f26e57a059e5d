//! Area, perimeter, centroid, convex, hull.

use super::{Point, Shape, ShapeError, Xy, cross, place::norm, shape::doubled_area, side};
use crate::quantity::{Area, FromAmount, Length};

impl Shape {
    /// The area.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::from_si(doubled_area(&self.ring) / 2.0)
    }

    /// The way around.
    #[must_use]
    pub fn perimeter(&self) -> Length {
        Length::from_si(self.ring.windows(2).map(|edge| norm(edge[1] - edge[0])).sum())
    }

    /// The point on which a plate of this shape balances.
    #[must_use]
    pub fn centroid(&self) -> Point {
        let first = self.ring[0];
        let (mut sum, mut doubled) = (Xy { x: 0.0, y: 0.0 }, 0.0);
        for edge in self.ring.windows(2) {
            let (a, b) = (edge[0] - first, edge[1] - first);
            let part = cross(a, b);
            doubled += part;
            sum = sum + (a + b) * part;
        }
        Point(first + sum / (3.0 * doubled))
    }

    /// True when no corner points inwards; exact.
    #[must_use]
    pub fn convex(&self) -> bool {
        let open = self.open();
        let last = open.len() - 1;
        (0..=last).all(|n| {
            let before = open[if n == 0 { last } else { n - 1 }];
            side(before, open[n], self.ring[n + 1]) >= 0.0
        })
    }

    /// The smallest convex shape around this one, without corners in the middle of a side.
    #[must_use]
    pub fn hull(&self) -> Self {
        Self::closed(hull(self.open().to_vec()))
    }

    /// The smallest convex shape around some places.
    ///
    /// # Errors
    ///
    /// [`ShapeError`] when they are fewer than three or lie on one line.
    pub fn around(places: &[Point]) -> Result<Self, ShapeError> {
        let found = hull(places.iter().map(|place| place.0).collect());
        Self::of(found)
    }
}

/// Corners of the hull, counter-clockwise; fewer than three where all lie on one line.
fn hull(mut sorted: Vec<Xy>) -> Vec<Xy> {
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull: Vec<Xy> = Vec::with_capacity(sorted.len() + 1);
    for below in [true, false] {
        let start = hull.len();
        for point in &sorted {
            // Only corners of this half may go; the first one is where the halves meet.
            while hull.len() >= start + 2
                && side(hull[hull.len() - 2], hull[hull.len() - 1], *point) <= 0.0
            {
                hull.pop();
            }
            hull.push(*point);
        }
        hull.pop();
        if below {
            sorted.reverse();
        }
    }
    hull
}
