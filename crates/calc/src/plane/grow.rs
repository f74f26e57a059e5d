//! A shape that holds all ground within a distance of another one.

use std::f64::consts::TAU;

use super::{
    OFFSET, Piece, Shape, ShapeError, Xy, cross, dot,
    place::{norm, side},
};
use crate::quantity::{FromAmount, Length};

/// Sides that a full turn gets: a corner lies 1 / cos(pi / 24) - 1 = 0.9 % of the distance
/// too far out at most, and nowhere too near.
pub const GROWN_SIDES: usize = 24;

/// Added to the distance so that the last digits cannot make the shape too small. \[m\]
const DIGITS: f64 = 1e-9;

/// How often the arcs are halved before the hull is taken instead.
const FINER: u32 = 3;

impl Shape {
    /// A shape around all ground within `by` of this one: a little larger than the round offset,
    /// never smaller. Holes that the offset has inside are filled.
    ///
    /// # Errors
    ///
    /// [`ShapeError::OutOfRange`] outside [`OFFSET`], [`ShapeError::TooMany`] when it would
    /// have more corners than a shape may have.
    pub fn grown(&self, by: Length) -> Result<Self, ShapeError> {
        let by = OFFSET.check(by)?.si();
        if by <= 0.0 {
            return Ok(self.clone());
        }
        let by = by + DIGITS;
        if self.convex() {
            return Self::of(around(self.open(), by));
        }
        // Where two arcs meet in a notch, the straight sides around them may cross each other;
        // shorter sides keep closer to the arcs.
        let outline = self.offset(Length::from_si(by))?.outline;
        for halved in 0..FINER {
            let sides = GROWN_SIDES << halved;
            let ring = outline.pieces.iter().flat_map(|piece| corners_of(piece, sides)).collect();
            match Self::of(ring) {
                Err(
                    ShapeError::Repeated(_) | ShapeError::FoldsBack(_) | ShapeError::Crossing(..),
                ) => {}
                other => return other,
            }
        }
        Self::of(around(self.hull().open(), by))
    }
}

/// Corners of the sides around a convex ring.
fn around(ring: &[Xy], by: f64) -> Vec<Xy> {
    let count = ring.len();
    let mut corners = Vec::new();
    for n in 0..count {
        let (before, at, after) = (ring[(n + count - 1) % count], ring[n], ring[(n + 1) % count]);
        if side(before, at, after) > 0.0 {
            let (u, v) = (at - before, after - at);
            let sweep = cross(u, v).atan2(dot(u, v));
            corners.extend(tangents(at, Xy { x: u.y, y: -u.x } / norm(u), sweep, by, GROWN_SIDES));
        }
    }
    corners
}

/// A piece of an outline as corners, without its end: a line as it is, an arc as the sides
/// around it.
fn corners_of(piece: &Piece, sides: usize) -> Vec<Xy> {
    match piece {
        Piece::Line { from, .. } => vec![from.0],
        Piece::Arc { from, centre, radius, sweep, .. } => {
            let out = (from.0 - centre.0) / radius.si();
            let mut corners = vec![from.0];
            corners.extend(tangents(centre.0, out, sweep.si(), radius.si(), sides));
            corners
        }
    }
}

/// Corners of the sides that touch an arc from outside, the first side at its beginning, the
/// last at its end.
fn tangents(
    centre: Xy,
    out: Xy,
    sweep: f64,
    radius: f64,
    sides: usize,
) -> impl Iterator<Item = Xy> {
    let parts = (sweep * sides as f64 / TAU).ceil().max(1.0);
    let half = sweep / parts / 2.0;
    (0..parts as usize).map(move |n| {
        let (sin, cos) = (half * (2 * n + 1) as f64).sin_cos();
        let turned = Xy { x: out.x * cos - out.y * sin, y: out.x * sin + out.y * cos };
        centre + turned * (radius / half.cos())
    })
}
