//! Candidates for the outline, and what of them other edges and corners come too near to.

use std::f64::consts::TAU;

use super::Piece;
use crate::{
    plane::{
        Point, Xy, cross, dot,
        place::{norm, side},
    },
    quantity::{Angle, FromAmount, Length},
};

/// A line or an arc at the distance from one edge or corner.
pub(super) struct Candidate {
    /// The corner it belongs to: that of an arc, or the first of an edge.
    corner: usize,
    curve: Curve,
}

enum Curve {
    /// From a place, in a direction of length 1, so far.
    Line { from: Xy, along: Xy, length: f64 },
    /// Around a corner, from an angle, so much further.
    Arc { centre: Xy, radius: f64, start: f64, sweep: f64 },
}

impl Candidate {
    /// The last value of its measure, which begins at 0.
    pub(super) fn end(&self) -> f64 {
        match self.curve {
            Curve::Line { length, .. } => length,
            Curve::Arc { sweep, .. } => sweep,
        }
    }

    pub(super) fn at(&self, s: f64) -> Xy {
        match self.curve {
            Curve::Line { from, along, .. } => from + along * s,
            Curve::Arc { centre, radius, start, .. } => centre + unit(start + s) * radius,
        }
    }

    pub(super) fn piece(&self, s: f64, t: f64) -> Piece {
        let (from, to) = (Point(self.at(s)), Point(self.at(t)));
        match self.curve {
            Curve::Line { .. } => Piece::Line { from, to },
            Curve::Arc { centre, radius, .. } => Piece::Arc {
                from,
                to,
                centre: Point(centre),
                radius: Length::from_si(radius),
                sweep: Angle::from_si(t - s),
            },
        }
    }
}

fn unit(angle: f64) -> Xy {
    let (y, x) = angle.sin_cos();
    Xy { x, y }
}

fn angle(of: Xy) -> f64 {
    of.y.atan2(of.x)
}

/// To the right of a direction, which is outwards along a counter-clockwise ring.
fn right(along: Xy) -> Xy {
    Xy { x: along.y, y: -along.x }
}

/// One line for each edge, one arc for each outward corner, in the order of the corners.
pub(super) fn candidates(ring: &[Xy], by: f64) -> Vec<Candidate> {
    let count = ring.len();
    let edge = |n: usize| {
        let way = ring[(n + 1) % count] - ring[n % count];
        (way / norm(way), norm(way))
    };
    let mut all = Vec::with_capacity(2 * count);
    for n in 0..count {
        let (before, (along, length)) = (edge(n + count - 1).0, edge(n));
        let turns = side(ring[(n + count - 1) % count], ring[n], ring[(n + 1) % count]) > 0.0;
        if turns {
            let sweep = cross(before, along).atan2(dot(before, along));
            let (centre, start) = (ring[n], angle(right(before)));
            let curve = Curve::Arc { centre, radius: by, start, sweep };
            all.push(Candidate { corner: n, curve });
        }
        let from = ring[n] + right(along) * by;
        all.push(Candidate { corner: n, curve: Curve::Line { from, along, length } });
    }
    all
}

/// Where along the candidate something else is nearer than the distance.
pub(super) fn covered(candidate: &Candidate, ring: &[Xy], by: f64) -> Vec<(f64, f64)> {
    let count = ring.len();
    let own = candidate.corner;
    let (next, before) = ((own + 1) % count, (own + count - 1) % count);
    let mut all = Vec::new();
    for n in 0..count {
        let (a, b) = (ring[n], ring[(n + 1) % count]);
        match candidate.curve {
            // It is at the distance from its own edge and from both ends of it, all along.
            Curve::Line { from, along, .. } => {
                if n != own && n != next {
                    all.extend(line_in_disc(from, along, a, by));
                }
                if n != own {
                    all.extend(line_in_band(from, along, (a, b), by));
                }
            }
            Curve::Arc { centre, start, sweep, .. } => {
                if n != own {
                    arc_in_disc(centre - a, by, start, sweep, &mut all);
                }
                if n != own && n != before {
                    arc_in_band(candidate, sweep, (a, b), by, &mut all);
                }
            }
        }
    }
    all
}

/// Where a line runs through the disc around a corner.
fn line_in_disc(from: Xy, along: Xy, corner: Xy, by: f64) -> Option<(f64, f64)> {
    let off = corner - from;
    let (middle, height) = (dot(off, along), cross(along, off).abs());
    let half = ((by - height) * (by + height)).max(0.0).sqrt();
    (half > 0.0).then_some((middle - half, middle + half))
}

/// Where a line runs beside an edge, nearer than the distance.
fn line_in_band(from: Xy, along: Xy, (a, b): (Xy, Xy), by: f64) -> Option<(f64, f64)> {
    let length = norm(b - a);
    let (way, off) = ((b - a) / length, from - a);
    // Two walls just two distances apart: each closes the other's line, or neither does.
    // Rounding must not let one of them stand alone.
    let wide = by * (1.0 + 1e-12);
    let (s, ds) = (dot(off, way), dot(along, way));
    let (h, dh) = (cross(way, off), cross(way, along));
    let beside = between(s, ds, 0.0, length)?;
    let near = between(h, dh, -wide, wide)?;
    let (low, high) = (beside.0.max(near.0), beside.1.min(near.1));
    (low < high).then_some((low, high))
}

/// Where `at + slope t` lies between two values.
fn between(at: f64, slope: f64, low: f64, high: f64) -> Option<(f64, f64)> {
    let (first, last) = ((low - at) / slope, (high - at) / slope);
    // A slope of rounding alone gives places too far away to matter, or none.
    if slope.abs() < 1e-14 {
        return (low < at && at < high).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    Some((first.min(last), first.max(last)))
}

/// Where an arc runs through the disc around another corner; `off` leads from there to its own.
fn arc_in_disc(off: Xy, by: f64, start: f64, sweep: f64, all: &mut Vec<(f64, f64)>) {
    let share = norm(off) / (2.0 * by);
    if share >= 1.0 {
        return;
    }
    let half = share.acos();
    let middle = (angle(off * -1.0) - start).rem_euclid(TAU);
    for turn in [middle, middle - TAU] {
        let (low, high) = ((turn - half).max(0.0), (turn + half).min(sweep));
        if low < high {
            all.push((low, high));
        }
    }
}

/// Where an arc runs beside an edge, nearer than the distance.
fn arc_in_band(
    candidate: &Candidate,
    sweep: f64,
    (a, b): (Xy, Xy),
    by: f64,
    all: &mut Vec<(f64, f64)>,
) {
    let Curve::Arc { centre, start, .. } = candidate.curve else { return };
    let length = norm(b - a);
    let (way, off) = ((b - a) / length, centre - a);
    let normal = Xy { x: -way.y, y: way.x };
    let mut cuts = vec![0.0, sweep];
    // The four sides of the band, as heights above the centre in two directions.
    for (axis, height) in [
        (way, -dot(off, way)),
        (way, length - dot(off, way)),
        (normal, -by - dot(off, normal)),
        (normal, by - dot(off, normal)),
    ] {
        let share = height / by;
        if share.abs() < 1.0 {
            let (middle, half) = (angle(axis) - start, share.acos());
            for cut in [middle - half, middle + half] {
                let cut = cut.rem_euclid(TAU);
                if cut < sweep {
                    cuts.push(cut);
                }
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    for pair in cuts.windows(2) {
        let middle = candidate.at(pair[0].midpoint(pair[1])) - a;
        let (s, h) = (dot(middle, way), cross(way, middle));
        if 0.0 < s && s < length && h.abs() < by {
            all.push((pair[0], pair[1]));
        }
    }
}

/// What is left between 0 and `end`.
pub(super) fn gaps(mut covered: Vec<(f64, f64)>, end: f64) -> Vec<(f64, f64)> {
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut left, mut reached) = (Vec::new(), 0.0_f64);
    // Less than this is rounding of two ends that are the same.
    let least = end * 1e-12;
    for (low, high) in covered.into_iter().chain([(end, end)]) {
        if low.min(end) - reached > least {
            left.push((reached, low.min(end)));
        }
        reached = reached.max(high);
    }
    left
}
