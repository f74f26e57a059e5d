//! The round offset: all ground within a distance of a shape, its outline and its area.
//!
//! The outline can only run where a single edge or corner would put it: beside an edge at the
//! distance, or around an outward corner on an arc. Each of these candidates is cut where
//! another edge or corner comes nearer than the distance; what is left is the outline, and
//! holes where a bay closes behind its mouth. `[plane-geometry]` The area is Green's theorem over
//! lines and arcs, so a circle is a circle and not a polygon. For a convex shape it is area +
//! perimeter d + pi d^2 `[steiner-1840]`.

mod cover;
mod trace;

use super::{OFFSET, Point, Shape, Xy, cross, place::norm, shape::Position};
use crate::{
    bounds::OutOfRange,
    quantity::{Angle, Area, FromAmount, Length},
};

/// The ground within a distance of a shape.
#[derive(Clone, Debug, PartialEq)]
pub struct Offset {
    /// The way around, counter-clockwise.
    pub outline: Contour,
    /// Ground inside the outline that is farther away, each clockwise; most shapes have none.
    pub holes: Vec<Contour>,
    area: f64,
}

/// A closed way of lines and arcs, each beginning where the one before ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The pieces, in order.
    pub pieces: Vec<Piece>,
}

/// One piece of a contour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// A straight line.
    Line {
        /// Where it begins.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// An arc, counter-clockwise around its centre.
    Arc {
        /// Where it begins.
        from: Point,
        /// Where it ends.
        to: Point,
        /// The corner it goes around.
        centre: Point,
        /// The distance of the offset.
        radius: Length,
        /// How far it turns.
        sweep: Angle,
    },
}

impl Shape {
    /// All ground within `by` of the shape.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] outside [`OFFSET`].
    pub fn offset(&self, by: Length) -> Result<Offset, OutOfRange> {
        let by = OFFSET.check(by)?.si();
        let pieces = if by > 0.0 { self.kept(by) } else { self.edges() };
        let first = self.ring[0];
        let area = pieces.iter().map(|piece| piece.swept(first)).sum();
        let (outline, holes) = trace::contours(pieces);
        Ok(Offset { outline, holes, area })
    }

    fn edges(&self) -> Vec<Piece> {
        let line = |edge: &[Xy]| Piece::Line { from: Point(edge[0]), to: Point(edge[1]) };
        self.ring.windows(2).map(line).collect()
    }

    /// What is left of the candidates, in the order of the corners.
    fn kept(&self, by: f64) -> Vec<Piece> {
        let all = cover::candidates(self.open(), by);
        let mut kept = Vec::new();
        for candidate in &all {
            let covered = cover::covered(candidate, self.open(), by);
            for (from, to) in cover::gaps(covered, candidate.end()) {
                // Far from every edge, and yet it may be inside the shape.
                let middle = candidate.at(from.midpoint(to));
                if self.locate(middle) == Position::Outside {
                    kept.push(candidate.piece(from, to));
                }
            }
        }
        kept
    }
}

impl Offset {
    /// The area, without the holes.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::from_si(self.area)
    }
}

impl Contour {
    /// The way around.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::from_si(self.pieces.iter().map(Piece::length).sum())
    }

    /// The area it goes around.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::from_si(self.signed_area().abs())
    }

    /// Positive when it runs counter-clockwise.
    fn signed_area(&self) -> f64 {
        let first = self.pieces.first().map(|piece| piece.ends().0);
        first.map_or(0.0, |first| self.pieces.iter().map(|piece| piece.swept(first)).sum())
    }
}

impl Piece {
    pub(super) fn ends(&self) -> (Xy, Xy) {
        match self {
            Self::Line { from, to } | Self::Arc { from, to, .. } => (from.0, to.0),
        }
    }

    fn length(&self) -> f64 {
        match self {
            Self::Line { from, to } => norm(to.0 - from.0),
            Self::Arc { radius, sweep, .. } => radius.si() * sweep.si(),
        }
    }

    /// The area that a line from `pole` sweeps along the piece: half of x dy - y dx.
    fn swept(&self, pole: Xy) -> f64 {
        match self {
            Self::Line { from, to } => cross(from.0 - pole, to.0 - pole) / 2.0,
            Self::Arc { from, to, centre, radius, sweep } => {
                let r = radius.si();
                (r * r * sweep.si() + cross(centre.0 - pole, to.0 - from.0)) / 2.0
            }
        }
    }
}

/// Lengths that differ by less than this share of the shape are the same place.
fn slack(points: impl Iterator<Item = Xy>) -> f64 {
    let size = points.map(|p| p.x.abs().max(p.y.abs())).fold(0.0, f64::max);
    size * 1e-7
}
