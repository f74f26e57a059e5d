//! Random shapes and aprons for the tests of plane geometry, the same in every run.

#![allow(dead_code, reason = "each test file uses its part")]
#![allow(clippy::unwrap_used, reason = "clippy spares test functions but not their helpers")]

use std::f64::consts::TAU;

use geo::{Coord, Line, LineString, Polygon};
use stillprop_calc::{
    plane::{Point, Shape},
    quantity::{FromAmount, Length},
};

/// A small generator of numbers: splitmix64.
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Between `low` and `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// From `low` to `high`, both included.
    pub(crate) fn whole(&mut self, low: usize, high: usize) -> usize {
        low + (self.next() % (high - low + 1) as u64) as usize
    }

    /// A bay: a thick arc open on one side, which no single place inside it overlooks.
    pub(crate) fn bay(&mut self, middle: (f64, f64), size: f64, steps: usize) -> Shape {
        let turn = self.between(0.0, TAU);
        let open = self.between(0.1, 0.5) * TAU / 2.0;
        let corner = |n: usize, reach: f64| {
            let angle = turn + open / 2.0 + (TAU - open) * n as f64 / steps as f64;
            point(middle.0 + reach * angle.cos(), middle.1 + reach * angle.sin())
        };
        let mut corners: Vec<Point> =
            (0..=steps).map(|n| corner(n, size * self.between(0.8, 1.0))).collect();
        corners.extend((0..=steps).rev().map(|n| corner(n, size * self.between(0.5, 0.7))));
        Shape::new(&corners).unwrap()
    }

    /// A simple polygon: corners in the order of their bearing from the middle. `rough` is how
    /// much nearer to the middle a corner may lie than the farthest.
    pub(crate) fn star(
        &mut self,
        middle: (f64, f64),
        size: f64,
        corners: usize,
        rough: f64,
    ) -> Shape {
        let turn = self.between(0.0, TAU);
        let corner = |n: usize, chance: &mut Self| {
            // Less than half a turn apart, or an edge would pass the middle on the wrong side.
            let angle = turn + TAU * (n as f64 + chance.between(0.0, 0.4)) / corners as f64;
            let reach = size * (1.0 - chance.between(0.0, rough));
            point(middle.0 + reach * angle.cos(), middle.1 + reach * angle.sin())
        };
        let corners: Vec<Point> = (0..corners).map(|n| corner(n, self)).collect();
        Shape::new(&corners).unwrap()
    }
}

pub(crate) fn metres(value: f64) -> Length {
    Length::from_si(value)
}

pub(crate) fn point(east: f64, north: f64) -> Point {
    Point::new(metres(east), metres(north)).unwrap()
}

pub(crate) fn shape(corners: &[(f64, f64)]) -> Shape {
    let corners: Vec<_> = corners.iter().map(|(east, north)| point(*east, *north)).collect();
    Shape::new(&corners).unwrap()
}

/// The same point for `geo`.
pub(crate) fn coord(point: Point) -> Coord<f64> {
    Coord { x: point.east().value, y: point.north().value }
}

/// The same shape for `geo`.
pub(crate) fn polygon(shape: &Shape) -> Polygon<f64> {
    Polygon::new(shape.corners().map(coord).collect::<LineString<f64>>(), Vec::new())
}

/// Its edges for `geo`.
pub(crate) fn lines(shape: &Shape) -> Vec<Line<f64>> {
    polygon(shape).exterior().lines().collect()
}
