//! What the pack says about drums and samples, looked up once for a grade.

use stillprop_calc::quantity::{Ratio, Time, Volume};
use stillprop_rules::{
    key::Key,
    rules::Rules,
    situation::{Detail, Grade, Situation},
};

use crate::stage::{Allowed, Figure, allowed, quantity};

/// Figures of a pack for the fuel of one grade out of a drum.
#[derive(Clone, Debug)]
pub struct DrumFigures {
    /// Time from filling within which the fuel is used.
    pub max_age: Figure<Time>,
    /// Time until the batch is tested again; asked only where a pack gives it.
    pub retest_interval: Figure<Time>,
    /// Whether a drum with a broken seal may be used.
    pub broken_seal_allowed: Allowed,
    /// Whether a part-used drum may be used.
    pub part_used_allowed: Allowed,
    /// Time from opening within which a part-used drum is used.
    pub part_used_max_age: Figure<Time>,
    /// What the pump leaves.
    pub unpumped_remainder: Figure<Volume>,
    /// Time to stand for each metre of fuel.
    pub settling_rate: Figure<Time>,
    /// Time to stand at least; asked only where a pack gives it.
    pub settling_least: Figure<Time>,
    /// Time for which a sample counts.
    pub sample_max_age: Figure<Time>,
    /// Greatest difference of two ways to know what is in a tank.
    pub reconcile_limit: Figure<Ratio>,
}

impl DrumFigures {
    /// Looks every figure up for a grade.
    #[must_use]
    pub fn find(rules: &Rules, situation: &Situation, grade: Option<Grade>) -> Self {
        let detail = grade.map_or(Detail::NONE, Detail::grade);
        let time = |key| quantity(rules, key, situation, detail);
        Self {
            max_age: time(Key::DrumMaxAge),
            retest_interval: time(Key::DrumRetestInterval),
            broken_seal_allowed: allowed(rules, Key::DrumBrokenSealAllowed, situation),
            part_used_allowed: allowed(rules, Key::DrumPartUsedAllowed, situation),
            part_used_max_age: time(Key::DrumPartUsedMaxAge),
            unpumped_remainder: quantity(rules, Key::DrumUnpumpedRemainder, situation, detail),
            settling_rate: time(Key::DrumSettlingRate),
            settling_least: time(Key::DrumSettlingLeast),
            sample_max_age: time(Key::SampleMaxAge),
            reconcile_limit: quantity(rules, Key::ReconcileLimit, situation, detail),
        }
    }
}
