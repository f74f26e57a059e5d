//! Plane geometry against `geo`, which shares no code with it but the exact side of a line.

#![allow(clippy::unwrap_used, reason = "clippy spares test functions but not their helpers")]

mod apron;

use std::f64::consts::{PI, TAU};

use apron::{Chance, coord, lines, metres, point, polygon, shape};
use geo::{
    Area as _, BooleanOps, Buffer, Contains, ConvexHull, Distance, Euclidean, Intersects, Line,
};
use stillprop_calc::{
    plane::{Disc, Nearest, Piece, Point, Polyline, Pose, Shape, nearest, nearest_within},
    quantity::{Angle, FromAmount},
};

/// Pairs of shapes: apart, near, touching the middle of each other, one in the other.
fn pairs(seed: u64, count: usize) -> impl Iterator<Item = (Shape, Shape)> {
    let mut chance = Chance::new(seed);
    (0..count).map(move |n| {
        let rough = if n % 3 == 0 { 0.2 } else { 0.85 };
        let (a, b) = (chance.whole(3, 14), chance.whole(3, 14));
        let reach = [30.0, 14.0, 6.0][n % 3];
        let to = (chance.between(-reach, reach), chance.between(-reach, reach));
        let size = chance.between(0.5, 10.0);
        let first = match n % 5 {
            4 => chance.bay((0.0, 0.0), 8.0, a + 3),
            _ => chance.star((0.0, 0.0), 8.0, a, rough),
        };
        (first, chance.star(to, size, b, rough))
    })
}

/// Least distance of all edges, 0 where the shapes share anything.
fn brute(a: &Shape, b: &Shape) -> f64 {
    if polygon(a).intersects(&polygon(b)) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    for one in lines(a) {
        for other in lines(b) {
            least = least.min(Euclidean.distance(&one, &other));
        }
    }
    least
}

/// The answer proves itself: its points lie on the shapes, as far apart as it says.
fn check_points(found: &Nearest, a: &Shape, b: &Shape) {
    let apart = found.from.distance(found.to).value;
    assert!((apart - found.distance.value).abs() < 1e-9, "{found:?}");
    for (at, of) in [(found.from, a), (found.to, b)] {
        let off = Euclidean.distance(&geo::Point(coord(at)), &polygon(of));
        assert!(off < 1e-9, "{off} m off: {found:?}");
    }
}

#[test]
fn nearest_of_two_shapes_is_what_trying_every_pair_of_edges_gives() {
    let (mut touching, mut apart) = (0, 0);
    for (a, b) in pairs(1, 3000) {
        let found = nearest(&a, &b);
        let want = brute(&a, &b);
        assert!(
            (found.distance.value - want).abs() < 1e-9,
            "{found:?}, wanted {want}\n{a:?}\n{b:?}"
        );
        assert_eq!(found.overlaps, want == 0.0, "{a:?}\n{b:?}");
        check_points(&found, &a, &b);
        let back = nearest(&b, &a);
        assert!((back.distance.value - want).abs() < 1e-9);
        touching += usize::from(found.overlaps);
        apart += usize::from(!found.overlaps);
    }
    assert!(touching > 500 && apart > 500, "{touching} touching, {apart} apart");
}

#[test]
fn a_limit_leaves_out_what_is_farther_and_nothing_else() {
    let (mut left_out, mut kept) = (0, 0);
    for (n, (a, b)) in pairs(2, 1500).enumerate() {
        let whole = nearest(&a, &b);
        let limit = metres(n as f64 % 12.0);
        match nearest_within(&a, &b, limit) {
            Some(found) => {
                assert_eq!(found, whole);
                assert!(found.distance <= limit);
                kept += 1;
            }
            None => {
                assert!(whole.distance > limit, "{whole:?}");
                left_out += 1;
            }
        }
    }
    assert!(left_out > 200 && kept > 200, "{left_out} left out, {kept} kept");
}

#[test]
fn points_lines_and_discs_are_measured_to_the_same_edges() {
    let mut chance = Chance::new(3);
    let (mut inside, mut outside) = (0, 0);
    for (a, b) in pairs(4, 1500) {
        let at = point(chance.between(-15.0, 15.0), chance.between(-15.0, 15.0));
        let place = geo::Point(coord(at));
        let want = Euclidean.distance(&place, &polygon(&a));
        let found = nearest(at, &a);
        assert!((found.distance.value - want).abs() < 1e-9, "{found:?} {want}");
        assert_eq!(a.contains(at), polygon(&a).contains(&place));
        inside += usize::from(found.overlaps);
        outside += usize::from(!found.overlaps);
        // A disc is a point that is nearer by its radius.
        let radius = chance.between(0.0, 5.0);
        let disc = Disc::new(at, metres(radius)).unwrap();
        let found = nearest(&a, disc);
        assert!((found.distance.value - (want - radius).max(0.0)).abs() < 1e-9);
        assert_eq!(found.overlaps, want <= radius);
        // A line along three corners of the other shape.
        let corners: Vec<Point> = b.corners().take(3).collect();
        let line = Polyline::new(&corners).unwrap();
        let parts = [
            Line::new(coord(corners[0]), coord(corners[1])),
            Line::new(coord(corners[1]), coord(corners[2])),
        ];
        let want = parts.map(|part| Euclidean.distance(&part, &polygon(&a)));
        let found = nearest(&line, &a);
        assert!((found.distance.value - want[0].min(want[1])).abs() < 1e-9, "{found:?} {want:?}");
    }
    assert!(inside > 100 && outside > 100, "{inside} inside, {outside} outside");
}

#[test]
fn turning_and_moving_both_changes_no_distance_and_no_area() {
    let mut chance = Chance::new(5);
    for (a, b) in pairs(6, 1000) {
        let at = point(chance.between(-500.0, 500.0), chance.between(-500.0, 500.0));
        let pose = Pose::new(at, Angle::from_si(chance.between(-TAU, TAU))).unwrap();
        let (here, there) = (nearest(&a, &b), nearest(&a.placed(pose), &b.placed(pose)));
        assert!((here.distance - there.distance).value.abs() < 1e-9);
        let moved = a.placed(pose).overlap_area(&b.placed(pose));
        assert!((a.overlap_area(&b) - moved).value.abs() < 1e-9);
        assert!((a.area() - a.placed(pose).area()).value.abs() < 1e-9);
        assert!((a.perimeter() - a.placed(pose).perimeter()).value.abs() < 1e-9);
        assert_eq!(a.convex(), a.placed(pose).convex());
        let mut into = b.clone();
        a.place_into(pose, &mut into);
        assert_eq!(into, a.placed(pose));
    }
}

#[test]
fn the_way_over_a_third_place_is_never_shorter() {
    let mut chance = Chance::new(7);
    for (a, b) in pairs(8, 1000) {
        let via = point(chance.between(-20.0, 20.0), chance.between(-20.0, 20.0));
        let direct = nearest(&a, &b).distance;
        let over = nearest(&a, via).distance + nearest(via, &b).distance;
        assert!((over - direct).value > -1e-9, "{over:?} {direct:?}");
    }
}

#[test]
fn area_hull_and_convexity_agree() {
    let (mut convex, mut bent) = (0, 0);
    for (a, _) in pairs(9, 1000) {
        let other = polygon(&a);
        assert!((a.area().value - other.unsigned_area()).abs() < 1e-9);
        let hull = other.convex_hull();
        assert!((a.hull().area().value - hull.unsigned_area()).abs() < 1e-9);
        assert!(a.hull().convex());
        let is_convex = a.hull().corners().len() == a.corners().len();
        assert_eq!(a.convex(), is_convex);
        convex += usize::from(is_convex);
        bent += usize::from(!is_convex);
    }
    assert!(convex > 100 && bent > 100, "{convex} convex, {bent} bent");
}

/// The other library rounds to a grid, which is what the tolerance is for; the comparison with
/// GEOS in tests/live is tight.
#[test]
fn the_shared_area_agrees() {
    let mut shared = 0;
    for (a, b) in pairs(10, 1500) {
        let found = a.overlap_area(&b).value;
        let want = polygon(&a).intersection(&polygon(&b)).unsigned_area();
        assert!((found - want).abs() < 1e-6 * (1.0 + want), "{found} {want}\n{a:?}\n{b:?}");
        assert!((found - b.overlap_area(&a).value).abs() < 1e-9);
        shared += usize::from(found > 0.01);
    }
    assert!(shared > 500, "{shared}");
}

#[test]
fn the_round_offset_of_a_convex_shape_has_the_area_of_steiner() {
    let mut chance = Chance::new(11);
    for (a, _) in pairs(12, 500) {
        let a = a.hull();
        let by = chance.between(0.01, 20.0);
        let offset = a.offset(metres(by)).unwrap();
        let want = a.area().value + a.perimeter().value * by + PI * by * by;
        assert!((offset.area().value / want - 1.0).abs() < 1e-12, "{offset:?} {want}");
        assert!(
            (offset.outline.length().value / (a.perimeter().value + TAU * by) - 1.0).abs() < 1e-12
        );
        assert!(offset.holes.is_empty());
    }
}

#[test]
fn every_place_of_the_outline_is_at_the_distance_and_the_contours_close() {
    let mut chance = Chance::new(13);
    let mut holes = 0;
    for (a, _) in pairs(14, 1000) {
        let by = chance.between(0.05, 6.0);
        let offset = a.offset(metres(by)).unwrap();
        holes += offset.holes.len();
        let contours = || std::iter::once(&offset.outline).chain(&offset.holes);
        for piece in contours().flat_map(|contour| &contour.pieces) {
            for share in [0.0, 0.3, 0.5, 0.9, 1.0] {
                let off = Euclidean.distance(&geo::Point(on(piece, share)), &polygon(&a));
                assert!((off - by).abs() < 1e-7 * by.max(1.0), "{off} {by} {piece:?}\n{a:?}");
            }
        }
        let whole = contours().skip(1).fold(offset.outline.area(), |sum, hole| sum - hole.area());
        assert!((whole - offset.area()).value.abs() < 1e-7 * whole.value, "{offset:?}\n{a:?}");
        let want = polygon(&a).buffer(by).unsigned_area();
        assert!(
            (offset.area().value / want - 1.0).abs() < 5e-3,
            "{} {want}\n{a:?}",
            offset.area().value
        );
    }
    assert!(holes > 50, "{holes} bays closed");
}

fn on(piece: &Piece, share: f64) -> geo::Coord<f64> {
    match piece {
        Piece::Line { from, to } => coord(*from) + (coord(*to) - coord(*from)) * share,
        Piece::Arc { from, centre, sweep, .. } => {
            let (sin, cos) = (sweep.value * share).sin_cos();
            let (x, y) = (coord(*from) - coord(*centre)).x_y();
            coord(*centre) + geo::Coord { x: x * cos - y * sin, y: x * sin + y * cos }
        }
    }
}

/// A yard of 10 m by 10 m with walls of 1 m and a gate of 2 m, offset by 1.2 m: the gate closes.
/// What stays open is 7.6 m square, and towards the gate it bulges between the two posts.
#[test]
fn a_bay_that_closes_behind_its_mouth_leaves_a_hole() {
    let walls = shape(&[
        (4.0, 0.0),
        (0.0, 0.0),
        (0.0, 10.0),
        (10.0, 10.0),
        (10.0, 0.0),
        (6.0, 0.0),
        (6.0, -1.0),
        (11.0, -1.0),
        (11.0, 11.0),
        (-1.0, 11.0),
        (-1.0, -1.0),
        (4.0, -1.0),
    ]);
    let d: f64 = 1.2;
    let offset = walls.offset(metres(d)).unwrap();
    let bulge = 2.0 * (d - ((d * d - 1.0).sqrt() + d * d * (1.0 / d).asin()) / 2.0);
    let want = (10.0 - 2.0 * d).powi(2) + bulge;
    let [hole] = offset.holes.as_slice() else { panic!("{offset:?}") };
    assert!((hole.area().value - want).abs() < 1e-9, "{} {want}", hole.area().value);
    // Outside, the gate leaves a notch of the same form, on the other side of the posts.
    let outer = 144.0 + 48.0 * d + PI * d * d - bulge;
    assert!((offset.outline.area().value - outer).abs() < 1e-9);
    assert!((offset.area().value - (outer - want)).abs() < 1e-9);
    // A gate as wide as two distances just closes, or just does not: the area is the same.
    let just = walls.offset(metres(1.0)).unwrap();
    let want = 144.0 + 48.0 + PI - 2.0 * (1.0 - PI / 4.0) - 64.0 - 2.0 * (1.0 - PI / 4.0);
    assert!((just.area().value - want).abs() < 1e-9, "{} {want}", just.area().value);
    // However it is turned, and however the digits fall.
    let mut chance = Chance::new(17);
    for _ in 0..500 {
        let turn = Angle::from_si(chance.between(-TAU, TAU));
        let at = point(chance.between(-99.0, 99.0), chance.between(-99.0, 99.0));
        let turned = walls.placed(Pose::new(at, turn).unwrap()).offset(metres(1.0)).unwrap();
        // Arcs that touch give a length of the root of a last digit.
        assert!((turned.area().value - want).abs() < 1e-6, "{} {want}", turned.area().value);
    }
}

#[test]
fn a_grown_shape_holds_the_round_offset_and_little_more() {
    let mut chance = Chance::new(15);
    let mut hulls = 0;
    for (a, _) in pairs(16, 1000) {
        let by = chance.between(0.05, 6.0);
        let grown = a.grown(metres(by)).unwrap();
        // Nothing of its border is nearer than the distance, which is what holding means for a
        // shape that lies in it.
        assert!(nearest(&a, &grown).overlaps);
        let border: Vec<_> = grown.corners().chain(grown.corners().take(1)).collect();
        let border = Polyline::new(&border).unwrap();
        let least = nearest(&border, &a).distance.value;
        assert!(least >= by, "{least} {by}\n{a:?}");
        let farthest = grown.corners().map(|at| nearest(at, &a).distance.value).fold(0.0, f64::max);
        let offset = a.offset(metres(by)).unwrap().outline.area().value;
        assert!(grown.area().value >= offset);
        let is_hull = farthest > by * 1.009;
        hulls += usize::from(is_hull);
        assert!(is_hull || grown.area().value < offset * 1.009);
    }
    assert!(hulls < 10, "{hulls} of 1000 fell back to the hull");
}
