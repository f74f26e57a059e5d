//! The walking path against a second one, made of other predicates: `geo` decides what is seen,
//! every corner counts, and every pair is tried.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod apron;

use std::f64::consts::TAU;

use apron::{Chance, coord, metres, point, polygon};
use geo::{
    BoundingRect, Coord, Distance, Euclidean, Intersects, Line, LineString, Polygon,
    coordinate_position::{CoordPos, CoordinatePosition},
};
use stillprop_calc::{
    plane::{Point, Shape},
    trace::Silent,
    walk::{Closed, Forbidden, Walk, walk},
};

/// How far the second path keeps from every shape, so that it never has to run along a border.
const CLEAR: f64 = 1e-6;

struct Apron {
    gate: Point,
    door: Point,
    shapes: Vec<Shape>,
}

/// Scattered shapes, and a ring of blocks around the door with or without gaps.
fn apron(seed: u64) -> Apron {
    let mut chance = Chance::new(seed);
    let mut shapes = Vec::new();
    for _ in 0..chance.whole(2, 5) {
        let middle = (chance.between(4.0, 34.0), chance.between(-12.0, 12.0));
        let (size, corners) = (chance.between(1.0, 6.0), chance.whole(3, 8));
        let shape = chance.star(middle, size, corners, 0.7);
        let grow = seed.is_multiple_of(8);
        shapes.push(if grow { shape.grown(metres(0.5)).unwrap() } else { shape });
    }
    let (gate, door) = (point(0.0, chance.between(-5.0, 5.0)), point(40.0, 0.0));
    if seed.is_multiple_of(2) {
        shapes.extend(ring(&mut chance, 4.0));
    }
    match seed % 10 {
        // Nothing can be taken away alone to get through two rings.
        6 => shapes.extend(ring(&mut chance, 10.0)),
        3 => shapes.push(chance.star((0.0, 0.0), 9.0, 5, 0.3)),
        5 => shapes.push(chance.bay((40.0, 0.0), 7.0, 6)),
        _ => {}
    }
    Apron { gate, door, shapes }
}

/// Blocks around the door, wider than their share of the ring most of the time, so that
/// neighbours overlap.
fn ring(chance: &mut Chance, reach: f64) -> Vec<Shape> {
    let blocks = chance.whole(3, 6);
    let block = |n: usize| {
        let half = TAU / blocks as f64 / 2.0 * chance.between(0.93, 1.2);
        let middle = TAU * n as f64 / blocks as f64;
        let corner = |angle: f64, more: f64| {
            let (sin, cos) = (middle + angle).sin_cos();
            point(40.0 + (reach + more) * cos, (reach + more) * sin)
        };
        let [a, b, c] = [-half, 0.0, half].map(|angle| corner(angle, 2.0));
        let [d, e, f] = [half, 0.0, -half].map(|angle| corner(angle, 0.0));
        Shape::new(&[a, b, c, d, e, f]).unwrap()
    };
    (0..blocks).map(block).collect()
}

fn answer(apron: &Apron) -> Walk {
    let forbidden: Vec<_> =
        apron.shapes.iter().enumerate().map(|(index, shape)| Forbidden { index, shape }).collect();
    walk(apron.gate, apron.door, &forbidden, &mut Silent).unwrap()
}

/// The second path finder: every pair of places, and which shapes lie between them, as bits.
struct Second {
    places: Vec<Coord<f64>>,
    between: Vec<Vec<u64>>,
}

impl Second {
    fn new(gate: Point, door: Point, shapes: &[Polygon<f64>]) -> Self {
        assert!(shapes.len() <= 64);
        let mut places = vec![coord(gate), coord(door)];
        places.extend(shapes.iter().flat_map(clear_corners));
        // The boxes only save time: most lines come near few shapes.
        let boxes: Vec<_> = shapes.iter().filter_map(BoundingRect::bounding_rect).collect();
        let meets = |line: &Line<f64>, n: usize| {
            line.bounding_rect().intersects(&boxes[n]) && line.intersects(&shapes[n])
        };
        let bits = |a: Coord<f64>, b: Coord<f64>| {
            let line = Line::new(a, b);
            (0..shapes.len()).filter(|n| meets(&line, *n)).map(|n| 1 << n).sum()
        };
        let row = |(n, a): (usize, &Coord<f64>)| places[..n].iter().map(|b| bits(*a, *b)).collect();
        let between = places.iter().enumerate().map(row).collect();
        Self { places, between }
    }

    /// Length of the shortest way when the shapes `gone` are not there; `None` when there is none.
    fn length(&self, gone: &[usize]) -> Option<f64> {
        let gone: u64 = gone.iter().map(|n| 1 << n).sum();
        let free = |a: usize, b: usize| self.between[a.max(b)][a.min(b)] & !gone == 0;
        let count = self.places.len();
        let (mut length, mut done) = (vec![f64::INFINITY; count], vec![false; count]);
        length[0] = 0.0;
        loop {
            let open = (0..count).filter(|n| !done[*n] && length[*n].is_finite());
            let here = open.min_by(|a, b| length[*a].total_cmp(&length[*b]))?;
            if here == 1 {
                return Some(length[1]);
            }
            done[here] = true;
            for next in (0..count).filter(|next| *next != here && free(here, *next)) {
                let far = Euclidean.distance(self.places[here], self.places[next]);
                length[next] = length[next].min(length[here] + far);
            }
        }
    }
}

/// Each corner, moved away from both of its edges.
fn clear_corners(shape: &Polygon<f64>) -> Vec<Coord<f64>> {
    let ring: &LineString<f64> = shape.exterior();
    let open = &ring.0[..ring.0.len() - 1];
    let count = open.len();
    let normal = |a: Coord<f64>, b: Coord<f64>| {
        let way = b - a;
        Coord { x: way.y, y: -way.x } / way.x.hypot(way.y)
    };
    let moved = |n: usize| {
        let (a, b, c) = (open[(n + count - 1) % count], open[n], open[(n + 1) % count]);
        let (u, v) = (normal(a, b), normal(b, c));
        b + (u + v) * (CLEAR / (1.0 + u.x * v.x + u.y * v.y))
    };
    (0..count).map(moved).collect()
}

/// How deep the path runs inside a shape anywhere, by many points along it.
fn deepest(points: &[Point], shapes: &[Polygon<f64>]) -> f64 {
    let mut deepest = 0.0_f64;
    for leg in points.windows(2) {
        let (a, b) = (coord(leg[0]), coord(leg[1]));
        for n in 0..=50 {
            let at = a + (b - a) * (f64::from(n) / 50.0);
            for shape in shapes {
                if shape.coordinate_position(&at) == CoordPos::Inside {
                    deepest = deepest.max(Euclidean.distance(&geo::Point(at), shape.exterior()));
                }
            }
        }
    }
    deepest
}

#[test]
fn a_thousand_aprons() {
    let (mut open, mut bent, mut blocked, mut inside, mut several) = (0, 0, 0, 0, 0);
    for seed in 0..1000 {
        let apron = apron(seed);
        let polygons: Vec<_> = apron.shapes.iter().map(polygon).collect();
        let second = Second::new(apron.gate, apron.door, &polygons);
        let want = second.length(&[]);
        match answer(&apron) {
            Walk::Path { points, length, closest } => {
                let want = want.unwrap_or_else(|| panic!("{seed}: only one finds a way"));
                let length = length.value;
                assert!(length <= want * 1.001, "{seed}: {length} m, and {want} m is enough");
                assert!(length >= want * 0.999, "{seed}: {length} m is too short for {want} m");
                let deep = deepest(&points, &polygons);
                assert!(deep < 1e-9, "{seed}: {deep} m inside");
                assert_eq!((points[0], points[points.len() - 1]), (apron.gate, apron.door));
                let closest = closest.unwrap();
                let line: LineString<f64> = points.iter().copied().map(coord).collect();
                let least = polygons.iter().map(|shape| Euclidean.distance(&line, shape));
                let least = least.fold(f64::INFINITY, f64::min);
                assert!((closest.nearest.distance.value - least).abs() < 1e-9, "{seed}");
                open += 1;
                bent += usize::from(points.len() > 2);
            }
            Walk::Blocked { by, closed } => {
                assert!(want.is_none(), "{seed}: there is a way of {want:?} m");
                blocked += 1;
                inside += usize::from(closed != Closed::Between);
                several += usize::from(by.len() > 1 && closed == Closed::Between);
                if closed == Closed::Between {
                    check_closing(seed, &second, polygons.len(), &by);
                }
            }
        }
    }
    let counts = format!(
        "{open} open, {bent} of them bent, {blocked} blocked, {inside} of them at an end, {several} by several"
    );
    println!("{counts}");
    assert!(open > 300 && bent > 200 && blocked - inside > 100, "{counts}");
    assert!(inside > 30 && several > 30, "{counts}");
}

/// What is named closes the way: without it there is one, and it is the shortest of all that
/// taking a single thing away would open.
fn check_closing(seed: u64, second: &Second, shapes: usize, by: &[usize]) {
    let single = (0..shapes).filter_map(|gone| Some((gone, second.length(&[gone])?)));
    let single: Vec<(usize, f64)> = single.collect();
    let Some(shortest) = single.iter().map(|(_, length)| *length).reduce(f64::min) else {
        assert!(by.len() > 1, "{seed}: {by:?} alone opens nothing");
        assert!(second.length(by).is_some(), "{seed}: {by:?} opens nothing");
        for kept in by {
            let fewer: Vec<usize> = by.iter().copied().filter(|other| other != kept).collect();
            assert!(second.length(&fewer).is_none(), "{seed}: {fewer:?} is enough of {by:?}");
        }
        return;
    };
    let [by] = by else { panic!("{seed}: {by:?}, and one of {single:?} is enough") };
    let named = single
        .iter()
        .find(|(gone, _)| gone == by)
        .unwrap_or_else(|| panic!("{seed}: {by} opens nothing"));
    assert!(named.1 <= shortest * 1.001, "{seed}: {named:?}, and {single:?}");
}

#[test]
fn the_same_apron_gives_the_same_answer() {
    for seed in 0..50 {
        assert_eq!(answer(&apron(seed)), answer(&apron(seed)));
    }
}
