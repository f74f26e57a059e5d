//! Shapes on the apron: how near, how large, how they overlap, and what lies around them.
//!
//! # Formula
//!
//! A flat apron in local metres, east to the right and north up. `[plane-geometry]`
//!
//! ```text
//! area      = sum of (x1 y2 - x2 y1) / 2 around the shape
//! distance  = least distance of a corner of one to an edge of the other; 0 where edges meet
//!             or one lies in the other
//! round offset by d of a convex shape: area + perimeter d + pi d^2
//! placing:    east  = at east  + forward sin h + right cos h
//!             north = at north + forward cos h - right sin h      h clockwise from true north
//! ```
//!
//! The axes of an aeroplane are the same plane before placing: `north` is forward, `east` is
//! to the right, and heading 0 leaves a shape as it is.
//!
//! # Units and accepted range
//!
//! | quantity | unit | accepted | whose limit |
//! |---|---|---|---|
//! | east, north | km | -1000 to 1000 | ours: the apron is flat and digits are left |
//! | radius, offset | km | 0 to 10 | ours |
//! | heading | deg | -360 to 360 | one turn either way |
//! | corners of a shape, points of a line | | 3 or 1, to 1000 | ours |
//!
//! What was checked once stays checked: a [`Point`], [`Shape`], [`Polyline`], [`Disc`] or
//! [`Pose`] that exists is finite, so that nothing below can answer with NaN.
//!
//! # Accuracy
//!
//! Which side of a line a point is on, whether edges meet, and what lies inside are exact
//! `[shewchuk-1997]`. Distances and areas are sums of a few products: 1e-9 of the size.
//!
//! # Left out on purpose
//!
//! Holes in a shape; heights and slopes of the apron; the curve of the earth, which over 1 km
//! is 2 cm of height and nothing in the plane. No tracer goes through [`nearest`]: a search
//! calls it for every pair of shapes, its answer carries the two points that prove it, and
//! there is no step between them that a person would want to read. The sums by name add one.
//!
//! # Sources
//!
//! `plane-geometry`, `shewchuk-1997`, `steiner-1840`.

mod distance;
mod extent;
mod grow;
mod measure;
mod offset;
mod overlap;
mod place;
mod shape;

pub use distance::{Nearest, nearest, nearest_within};
pub use extent::{Disc, Extent, Polyline};
pub use grow::GROWN_SIDES;
pub use offset::{Contour, Offset, Piece};
pub use place::{Point, Pose};
pub use shape::{Position, Shape, ShapeError};

pub(crate) use place::{Rect, Xy, cross, dot, norm, opposite, side};

use crate::{
    bounds::Bounds,
    unit::{KM, M},
};

/// East or north of the origin of the apron.
pub const COORDINATE: Bounds = Bounds::new("coordinate", -1000.0, 1000.0, KM);
/// Radius of a disc.
pub const RADIUS: Bounds = Bounds::new("radius", 0.0, 10_000.0, M);
/// How far a shape is offset or grown.
pub const OFFSET: Bounds = Bounds::new("offset", 0.0, 10_000.0, M);
/// Corners of a shape or points of a line, at most: each edge is tried against each.
pub const MOST_CORNERS: usize = 1000;
