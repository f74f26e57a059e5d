//! Mass against arm: the envelope, the path of the burn, each stage of the flight, and how far
//! each edge is from the point that comes nearest to it.
//!
//! Arms grow to the right, masses upwards, each to a scale of its own. What is unknown is dashed
//! and called so.

mod figure;
mod sheet;
#[cfg(test)]
mod tests;

use crate::{Limit, Verdict, Width};

/// One loading of one aeroplane, from the ramp to empty tanks.
#[derive(Clone, Debug, PartialEq)]
pub struct BalancePicture {
    /// Aeroplane: `QK-CSX Comfrey Six`.
    pub place: String,
    /// What for, on which day.
    pub day: String,
    /// Unit of every arm here, as it is written: `m`.
    pub arm_unit: String,
    /// Unit of every mass here: `kg`.
    pub mass_unit: String,
    /// Corners of the envelope in order around it. Empty when it is unknown.
    pub envelope: Vec<Point>,
    /// The burn from its heavy end to its light end, with as many points as its bends need. Empty
    /// when it is unknown.
    pub path: Vec<Point>,
    /// Ramp, take-off, landings, zero fuel.
    pub stages: Vec<Stage>,
    /// Distances to the edges, in the order to number them.
    pub edges: Vec<Edge>,
    /// Greatest masses, each a level line.
    pub ceilings: Vec<Ceiling>,
    /// What else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

/// A balance, in the units of the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Arm of the centre of gravity.
    pub arm: f64,
    /// Mass.
    pub mass: f64,
}

/// The aeroplane at one moment of the flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// `take-off`.
    pub name: String,
    /// Where; `None` when unknown.
    pub at: Option<Point>,
    /// `1521 kg at 1.215 m`.
    pub words: String,
    /// Is it inside the envelope?
    pub verdict: Verdict,
}

/// How far the nearest point is from an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The nearest point, or that which goes furthest beyond.
    pub from: Option<Point>,
    /// Where the edge is, level with it or straight above or below.
    pub to: Option<Point>,
    /// Name of the limit, how it stands, its verdict.
    pub limit: Limit,
}

/// A greatest mass.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    /// `take-off mass`.
    pub name: String,
    /// How much; `None` when nobody said.
    pub mass: Option<f64>,
    /// Name of the limit, how it stands, its verdict.
    pub limit: Limit,
}

/// No aeroplane here is larger in any unit; what is beyond is a mistake and counts as unknown.
const FAR: f64 = 1e5;

impl Point {
    fn sound(self) -> Option<Self> {
        (self.arm.abs() <= FAR && (0.0..=FAR).contains(&self.mass)).then_some(self)
    }
}

/// A line of which every point is one; else nothing is known of it.
fn line(points: &[Point], least: usize) -> Option<Vec<Point>> {
    let sound: Option<Vec<Point>> = points.iter().map(|point| point.sound()).collect();
    sound.filter(|points| points.len() >= least)
}

impl BalancePicture {
    fn sound_envelope(&self) -> Option<Vec<Point>> {
        line(&self.envelope, 3)
    }

    fn sound_path(&self) -> Option<Vec<Point>> {
        line(&self.path, 2)
    }
}

impl Stage {
    fn sound(&self) -> Option<Point> {
        self.at.and_then(Point::sound)
    }

    fn shown(&self) -> Verdict {
        self.verdict.given(self.sound().is_some())
    }
}

impl Edge {
    fn sound(&self) -> Option<(Point, Point)> {
        self.from.and_then(Point::sound).zip(self.to.and_then(Point::sound))
    }

    /// The limit with the verdict that may be shown: without two points nothing holds.
    fn shown(&self) -> Limit {
        let verdict = self.limit.verdict.given(self.sound().is_some());
        Limit { verdict, ..self.limit.clone() }
    }
}

impl Ceiling {
    fn sound(&self) -> Option<f64> {
        self.mass.filter(|mass| (0.0..=FAR).contains(mass))
    }

    fn shown(&self) -> Limit {
        let verdict = self.limit.verdict.given(self.sound().is_some());
        Limit { verdict, ..self.limit.clone() }
    }
}

/// Draws mass against arm.
#[must_use]
pub fn balance(picture: &BalancePicture, width: Width) -> String {
    sheet::draw(picture, width)
}
