//! The nearest points of two extents, exact and without taking memory.
//!
//! Where two extents do not meet, the least distance is from a corner of one to an edge of the
//! other. Trying every corner with every edge is right and slow; here each edge first shows
//! that its box comes nearer than what was found already. A good first guess from
//! corner to edge and the direction it gives let most edges drop out after one comparison.

use super::{
    Extent, Point, Rect, Xy, cross, dot,
    extent::Chain,
    place::{meet, norm2, side},
    shape::{Position, locate},
};
use crate::quantity::{FromAmount, Length};

/// How near two extents are, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The least distance; 0 where they touch or overlap.
    pub distance: Length,
    /// Nearest point of the first.
    pub from: Point,
    /// Nearest point of the second; the same as `from` where they touch or overlap.
    pub to: Point,
    /// True when they touch or overlap, or one lies in the other.
    pub overlaps: bool,
}

/// The nearest points of two extents.
#[must_use]
#[inline]
pub fn nearest<'a, 'b>(a: impl Into<Extent<'a>>, b: impl Into<Extent<'b>>) -> Nearest {
    let (a, b) = (a.into(), b.into());
    a.chain(|a| b.chain(|b| measured(&a, &b)))
}

/// [`nearest`], or `None` when the two are farther apart than `limit`, which is found sooner
/// than how far.
#[must_use]
#[inline]
pub fn nearest_within<'a, 'b>(
    a: impl Into<Extent<'a>>,
    b: impl Into<Extent<'b>>,
    limit: Length,
) -> Option<Nearest> {
    let (a, b) = (a.into(), b.into());
    a.chain(|a| {
        b.chain(|b| {
            let most = limit.si() + a.radius + b.radius;
            let near = a.bounds.gap2(&b.bounds) <= most * most;
            near.then(|| measured(&a, &b)).filter(|nearest| nearest.distance <= limit)
        })
    })
}

/// A pair of points and the square of their distance.
#[derive(Clone, Copy)]
struct Pair {
    d2: f64,
    from: Xy,
    to: Xy,
}

impl Pair {
    #[inline]
    fn of(from: Xy, to: Xy) -> Self {
        Self { d2: norm2(to - from), from, to }
    }

    /// A point that both have.
    #[inline]
    fn shared(at: Xy) -> Self {
        Self { d2: 0.0, from: at, to: at }
    }

    #[inline]
    fn keep_nearer(&mut self, other: Self) {
        if other.d2 < self.d2 {
            *self = other;
        }
    }
}

fn measured(a: &Chain, b: &Chain) -> Nearest {
    let Pair { from, to, d2 } = apart(a, b);
    let reach = a.radius + b.radius;
    let between = d2.sqrt();
    let distance = between - reach;
    if distance > 0.0 {
        let (mut near_a, mut near_b) = (from, to);
        if reach > 0.0 {
            let along = (to - from) / between;
            (near_a, near_b) = (from + along * a.radius, to - along * b.radius);
        }
        let (from, to) = (Point(near_a), Point(near_b));
        return Nearest { distance: Length::from_si(distance), from, to, overlaps: false };
    }
    // Within the reach of both: as far from one as its share of the reach.
    let shared = if reach > 0.0 { from + (to - from) * (a.radius / reach) } else { from };
    let (shared, distance) = (Point(shared), Length::from_si(0.0));
    Nearest { distance, from: shared, to: shared, overlaps: true }
}

/// The nearest points of two tracks and what they go around, without their radius.
fn apart(a: &Chain, b: &Chain) -> Pair {
    if let Some(inner) = within(a, b).or_else(|| within(b, a)) {
        return Pair::shared(inner);
    }
    match (a.track, b.track) {
        ([p, _], [q, _]) => Pair::of(*p, *q),
        ([p, _], track) => to_track(*p, track),
        (track, [q, _]) => {
            let Pair { d2, from, to } = to_track(*q, track);
            Pair { d2, from: to, to: from }
        }
        _ => between_tracks(a, b),
    }
}

/// The first point of `inner`, when it lies in or on `outer`. Where it does not, the two can
/// only share a point when their edges meet.
#[inline]
fn within(outer: &Chain, inner: &Chain) -> Option<Xy> {
    let first = *inner.track.first()?;
    (outer.solid && outer.bounds.holds(first) && locate(outer.track, first) != Position::Outside)
        .then_some(first)
}

/// From a point to the nearest point of a track.
#[inline]
fn to_track(p: Xy, track: &[Xy]) -> Pair {
    let mut best = Pair { d2: f64::INFINITY, from: p, to: p };
    for edge in track.windows(2) {
        let (along, off) = (edge[1] - edge[0], p - edge[0]);
        let (reached, whole) = (dot(off, along), norm2(along));
        if reached <= 0.0 {
            best.keep_nearer(Pair::of(p, edge[0]));
        } else if reached < whole {
            // Height above the edge, compared without the division that would give it.
            let height = cross(along, off);
            if height * height < best.d2 * whole {
                best = Pair::of(p, edge[0] + along * (reached / whole));
            }
        }
        // Beyond the end: that begins the next edge, and is tried there.
    }
    best
}

/// From `p` to the nearest point of the edge from `a` to `b`.
#[inline]
fn to_edge(p: Xy, a: Xy, b: Xy) -> Pair {
    let (along, off) = (b - a, p - a);
    let (reached, whole) = (dot(off, along), norm2(along));
    let q = if reached <= 0.0 {
        a
    } else if reached >= whole {
        b
    } else {
        a + along * (reached / whole)
    };
    Pair::of(p, q)
}

/// The corner of a track that is nearest to a point.
#[inline]
fn nearest_corner(p: Xy, track: &[Xy]) -> Xy {
    // Four at a time, so that no comparison need wait for the one before.
    let (mut best, mut least) = ([p; 4], [f64::INFINITY; 4]);
    let mut keep = |lane: usize, corner: Xy| {
        let d2 = norm2(corner - p);
        let nearer = d2 < least[lane];
        least[lane] = if nearer { d2 } else { least[lane] };
        best[lane] = if nearer { corner } else { best[lane] };
    };
    let fours = track.chunks_exact(4);
    for (lane, corner) in fours.remainder().iter().enumerate() {
        keep(lane, *corner);
    }
    for four in fours {
        for (lane, corner) in four.iter().enumerate() {
            keep(lane, *corner);
        }
    }
    let (first, second) = (usize::from(least[1] < least[0]), 2 + usize::from(least[3] < least[2]));
    best[if least[second] < least[first] { second } else { first }]
}

fn between_tracks(a: &Chain, b: &Chain) -> Pair {
    // A first guess, most often the answer: the corner of one that is nearest to the box of the
    // other, and from there to the edges of the other.
    let corner = nearest_corner(b.bounds.nearest_to(a.bounds.centre()), a.track);
    let mut best = to_track(corner, b.track);
    let (towards, bound) = bound(&best, b.track);
    let mut here = dot(a.track[0], towards);
    for one in a.track.windows(2) {
        let (a0, a1) = (one[0], one[1]);
        let before = here;
        here = dot(a1, towards);
        if before < bound && here < bound {
            continue;
        }
        let box_a = Rect::of(a0, a1);
        for other in b.track.windows(2) {
            let (b0, b1) = (other[0], other[1]);
            let gap2 = box_a.gap2(&Rect::of(b0, b1));
            if gap2 >= best.d2 {
                continue;
            }
            if gap2 == 0.0 && meet(a0, a1, b0, b1) {
                return Pair::shared(crossing(a0, a1, b0, b1));
            }
            // Each point begins one edge, so its own end is tried with the next one.
            best.keep_nearer(to_edge(a0, b0, b1));
            let Pair { d2, from, to } = to_edge(b0, a0, a1);
            best.keep_nearer(Pair { d2, from: to, to: from });
        }
    }
    best
}

/// A direction, and how far along it a point must come to be nearer to `track` than `found`.
///
/// The direction is that of `found`. The track begins at its least place along it, and what is
/// farther from there than `found` is long is farther from the track as well.
#[inline]
fn bound(found: &Pair, track: &[Xy]) -> (Xy, f64) {
    if found.d2 < TOO_SHORT_TO_AIM {
        return (Xy { x: 0.0, y: 0.0 }, f64::NEG_INFINITY);
    }
    let towards = found.to - found.from;
    let mut least = f64::INFINITY;
    for at in track {
        let along = dot(*at, towards);
        least = if along < least { along } else { least };
    }
    (towards, least - found.d2)
}

/// Below a micrometre, rounding of far coordinates could turn the direction. \[m2\]
const TOO_SHORT_TO_AIM: f64 = 1e-12;

/// Where two edges that meet do so; an end of one where they lie on one line.
fn crossing(a0: Xy, a1: Xy, b0: Xy, b1: Xy) -> Xy {
    let (s0, s1) = (side(b0, b1, a0), side(b0, b1, a1));
    if s0 - s1 != 0.0 {
        return a0 + (a1 - a0) * (s0 / (s0 - s1)).clamp(0.0, 1.0);
    }
    let (box_a, box_b) = (Rect::of(a0, a1), Rect::of(b0, b1));
    [b0, b1, a0, a1].into_iter().find(|p| box_a.holds(*p) && box_b.holds(*p)).unwrap_or(a0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plane::{Disc, Polyline, Shape};

    fn point(east: f64, north: f64) -> Point {
        Point::new(Length::from_si(east), Length::from_si(north)).unwrap()
    }

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let corners: Vec<_> = corners.iter().map(|(east, north)| point(*east, *north)).collect();
        Shape::new(&corners).unwrap()
    }

    fn moved(shape: &Shape, away: f64) -> Shape {
        let at = |corner: Point| point(corner.0.x + away, corner.0.y - away);
        Shape::new(&shape.corners().map(at).collect::<Vec<_>>()).unwrap()
    }

    /// The diagonal from (4, 0) to (0, 4) lies 4 / sqrt(2) from the corner (4, 4) of a block.
    #[test]
    fn a_corner_against_an_edge_is_exact_to_the_last_digits() {
        let triangle = shape(&[(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)]);
        let block = shape(&[(4.0, 4.0), (9.0, 4.0), (9.0, 9.0), (4.0, 9.0)]);
        let found = nearest(&triangle, &block);
        assert!((found.distance.value - 2.828_427_124_746_190_3).abs() < 1e-15, "{found:?}");
        assert_eq!((found.from, found.to), (point(2.0, 2.0), point(4.0, 4.0)));
        assert!(!found.overlaps);
    }

    #[test]
    fn touching_overlapping_and_lying_inside_are_no_distance() {
        let block = shape(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
        for (what, other) in [
            ("a corner on an edge", [(4.0, 2.0), (6.0, 1.0), (6.0, 3.0)]),
            ("a corner on a corner", [(4.0, 4.0), (6.0, 5.0), (5.0, 6.0)]),
            ("a part of an edge", [(4.0, 1.0), (6.0, 2.0), (4.0, 3.0)]),
            ("crossing edges", [(2.0, 2.0), (6.0, 1.0), (6.0, 3.0)]),
            ("inside", [(1.0, 1.0), (2.0, 1.0), (1.0, 2.0)]),
            ("around it", [(-20.0, -5.0), (20.0, -5.0), (0.0, 30.0)]),
            ("crossing without a corner inside", [(-5.0, 2.0), (9.0, 1.0), (9.0, 3.0)]),
        ] {
            // Half a thousand kilometres away it is as exact.
            for away in [0.0, 524_288.0] {
                let (block, other) = (moved(&block, away), moved(&shape(&other), away));
                for found in [nearest(&block, &other), nearest(&other, &block)] {
                    assert!(found.overlaps, "{what}, {away}: {found:?}");
                    assert!(found.distance.value.abs() < f64::MIN_POSITIVE, "{what}");
                    assert_eq!(found.from, found.to, "{what}");
                    let off = [&block, &other].map(|shape| nearest(found.from, shape).distance);
                    assert!(off.iter().all(|off| off.value < 1e-9), "{what}: {off:?}");
                }
            }
        }
        // The next number after touching is apart.
        let near = shape(&[(4.0 + 1e-15, 2.0), (6.0, 1.0), (6.0, 3.0)]);
        assert!(!nearest(&block, &near).overlaps);
    }

    #[test]
    fn a_line_with_an_end_inside_or_through_a_shape_overlaps_it() {
        let block = shape(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
        let line = |ends: [(f64, f64); 2]| {
            Polyline::new(&ends.map(|(east, north)| point(east, north))).unwrap()
        };
        for (ends, overlaps) in [
            ([(-1.0, 2.0), (1.0, 2.0)], true),
            ([(1.0, 2.0), (-1.0, 2.0)], true),
            ([(-1.0, 2.0), (9.0, 2.0)], true),
            ([(-1.0, 2.0), (0.0, 2.0)], true),
            ([(1.0, 1.0), (2.0, 2.0)], true),
            ([(-1.0, 2.0), (-0.5, 9.0)], false),
        ] {
            assert_eq!(nearest(&line(ends), &block).overlaps, overlaps, "{ends:?}");
        }
        assert!(Polyline::new(&[]).is_err());
        assert_eq!(nearest(&line([(0.0, 0.0), (2.0, 0.0)]), point(9.0, 0.0)).from, point(2.0, 0.0));
    }

    #[test]
    fn discs_end_at_their_edge() {
        let disc =
            |east: f64, radius: f64| Disc::new(point(east, 0.0), Length::from_si(radius)).unwrap();
        let found = nearest(disc(0.0, 2.0), disc(10.0, 3.0));
        assert!((found.distance.value - 5.0).abs() < 1e-12);
        assert_eq!((found.from, found.to), (point(2.0, 0.0), point(7.0, 0.0)));
        for (radius, overlaps) in [(8.0, true), (7.999, false), (20.0, true)] {
            let found = nearest(disc(0.0, 2.0), disc(10.0, radius));
            assert_eq!(found.overlaps, overlaps, "{radius}");
            assert!(!overlaps || found.from == found.to);
        }
        let wall = shape(&[(5.0, -9.0), (6.0, -9.0), (6.0, 9.0), (5.0, 9.0)]);
        let found = nearest(disc(0.0, 2.0), &wall);
        assert_eq!((found.from, found.to), (point(2.0, 0.0), point(5.0, 0.0)));
        let found = nearest(&wall, disc(5.5, 0.1));
        assert!(found.overlaps && wall.contains(found.from));
    }
}
