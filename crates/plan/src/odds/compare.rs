//! The batch beside the limits themselves, draw by draw and limit by limit: what the tests of both ask.

use stillprop_calc::trace::Silent;
use stillprop_turnaround::{
    limits::{Found, Id, Sink, Verdict, Words},
    units::Units,
};

use super::{Batches, LANES, Model, Tally, evaluate, trial::Trial};

/// What became of a block.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Compared {
    /// Draws.
    pub draws: u64,
    /// Draws that the batch decided.
    pub decided: u64,
    /// Each verdict that differs; right is none.
    pub differ: Vec<Differs>,
}

/// A verdict that is another in the batch.
#[derive(Clone, Debug, PartialEq)]
pub struct Differs {
    /// The draw.
    pub draw: u64,
    /// The limit.
    pub limit: String,
    /// The margin that the limit itself found; NaN where it has none.
    pub margin: f64,
    /// Whether it holds.
    pub holds: bool,
}

/// The limits of one draw.
#[derive(Default)]
struct Verdicts(Vec<(String, bool, f64)>, Silent);

impl Sink for Verdicts {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.1
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        let margin = if let Found::Measured(measure) = found { measure.margin() } else { f64::NAN };
        self.0.push((id.to_string(), found.verdict() == Verdict::Holds, margin));
    }
}

/// `None` for a model without a batch.
pub(super) fn block(model: &Model, seed: u64, (index, draws): (u64, u64)) -> Option<Compared> {
    let kernel = model.kernel.as_deref()?;
    let mut batches = Batches::of(model, seed, index);
    let mut trial = Trial::of(model);
    let mut compared = Compared { draws, ..Compared::default() };
    let mut tally = Tally { draws, all: 0, each: vec![0; model.varied.len()] };
    for first in (0..draws).step_by(LANES) {
        let count = usize::try_from(draws - first).map_or(LANES, |left| left.min(LANES));
        let sure = batches.batch(count, &mut tally);
        for lane in (0..count).filter(|lane| sure[*lane] != 0) {
            compared.decided += 1;
            let mut rows = batches.normals.iter();
            trial.draw(&mut || rows.next().map_or(0.0, |row| row[lane]));
            let mut wanted = Verdicts::default();
            evaluate(&trial.stage, &trial.choice, &mut wanted);
            let (_, work) = batches.work.as_ref()?;
            let found = kernel.verdicts(work, lane);
            let draw = first + lane as u64;
            if found.len() != wanted.0.len() {
                let limit = format!("{} limits, {} expected", found.len(), wanted.0.len());
                compared.differ.push(Differs { draw, limit, margin: f64::NAN, holds: false });
            }
            let both = found.iter().zip(wanted.0);
            let other = both.filter(|(found, (_, holds, _))| *found != holds);
            compared.differ.extend(other.map(|(_, (limit, holds, margin))| Differs {
                draw,
                limit,
                margin,
                holds,
            }));
        }
    }
    Some(compared)
}
