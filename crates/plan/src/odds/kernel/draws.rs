//! Which normal numbers become which input.

use stillprop_calc::quantity::FromAmount;
use stillprop_turnaround::stage::Stage;

use super::super::{
    lanes::Row,
    spread::{self, Input, Subject},
};

/// A row of normal numbers, and how far one of them moves what is typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super) struct Draw {
    pub(super) row: usize,
    pub(super) deviation: f64,
    /// Of the row after it, for what takes two.
    pub(super) second: f64,
}

/// Every input by what it varies.
#[derive(Clone, Debug, Default)]
pub(in super::super) struct Draws {
    /// By kind and number.
    all: [Vec<Option<Draw>>; 7],
    /// Rows of normal numbers that a batch takes, in the order in which one draw takes them.
    pub(in super::super) rows: usize,
}

impl Draws {
    pub(in super::super) fn of(inputs: &[Input]) -> Self {
        let mut draws = Self::default();
        for input in inputs {
            let (two, second) = match input.subject {
                Subject::WindAloft(_) => (true, input.deviation),
                Subject::SurfaceWind(_) => (true, spread::WIND_DIRECTION.0 * input.share()),
                _ => (false, 0.0),
            };
            let (kind, index) = numbered(input.subject);
            let of_kind = &mut draws.all[kind];
            of_kind.resize(of_kind.len().max(index + 1), None);
            of_kind[index] = Some(Draw { row: draws.rows, deviation: input.deviation, second });
            draws.rows += 1 + usize::from(two);
        }
        draws
    }

    /// What varies this; `None` when nothing does.
    #[inline]
    pub(super) fn get(&self, subject: Subject) -> Option<Draw> {
        let (kind, index) = numbered(subject);
        self.all[kind].get(index).copied().flatten()
    }

    /// Values around what is typed.
    #[inline(always)]
    pub(super) fn around(
        &self,
        subject: Subject,
        normals: &[Row],
        typed: f64,
        row: &mut Row,
        held: impl Fn(f64) -> f64,
    ) {
        match self.get(subject) {
            None => row.set(|_| typed),
            Some(draw) => {
                let z = &normals[draw.row];
                row.set(|lane| held(typed + draw.deviation * z[lane]));
            }
        }
    }
}

/// Number of its kind, and which of them it is.
const fn numbered(subject: Subject) -> (usize, usize) {
    match subject {
        Subject::Person(index) => (0, index),
        Subject::Item(index) => (1, index),
        Subject::Tank(index) => (2, index),
        Subject::Burn => (3, 0),
        Subject::WindAloft(index) => (4, index),
        Subject::Temperature(index) => (5, index),
        Subject::SurfaceWind(index) => (6, index),
    }
}

/// How far things may lie from what is typed, to choose for which part of a chart a kernel is built. A
/// draw outside is left to the limits, so nothing but speed hangs on it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spread {
    /// Deviation of a mass of the whole aeroplane. \[kg\]
    pub(super) mass: f64,
    /// Of the fuel that is burnt, as a part.
    pub(super) burn: f64,
    /// Of a temperature. \[K\]
    pub(super) temperature: f64,
}

impl Spread {
    pub(super) fn of(stage: &Stage, inputs: &[Input]) -> Self {
        let density = stage.density.as_ref().map_or(0.0, |density| density.value.si());
        let (mut mass, mut burn, mut temperature) = (0.0, 0.0, 0.0);
        for input in inputs {
            let deviation = input.deviation;
            match input.subject {
                Subject::Person(_) | Subject::Item(_) => mass += deviation * deviation,
                Subject::Tank(_) => mass += (deviation * density).powi(2),
                Subject::Burn => burn = deviation,
                Subject::Temperature(_) => temperature = f64::max(temperature, deviation),
                Subject::WindAloft(_) | Subject::SurfaceWind(_) => {}
            }
        }
        Self { mass: mass.sqrt(), burn, temperature }
    }
}
