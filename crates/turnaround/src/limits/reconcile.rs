//! `fuel.reconcile.*`: two or three ways to know the fuel of a tank agree.

use stillprop_calc::{quantity::Volume, trace::Trace};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    drums::reconcile::{Readings, reconcile},
    stage::Stage,
    units::{Round, Units},
};

/// Computes a limit for each tank that is known in more than one way.
pub fn limits<S: Sink>(stage: &Stage, sink: &mut S) {
    for (tank, readings) in stage.tanks.iter().zip(&stage.readings) {
        let ways = [readings.dip, readings.gauge, readings.reckoned];
        if ways.iter().flatten().count() >= 2 {
            one(stage, Id::of(Family::Fuel, "reconcile", &tank.label), readings, sink);
        }
    }
}

fn one<S: Sink>(stage: &Stage, id: Id<'_>, readings: &Readings, sink: &mut S) {
    let limit = match &stage.drums.figures.reconcile_limit {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(limit) => limit,
    };
    sink.trace().step(|| limit.step("greatest difference", "limit"));
    let found = match reconcile(readings, limit.value, sink.trace()) {
        Ok(Some(found)) => found,
        Ok(None) => return,
        Err(error) => {
            return sink.limit(id, Found::Unknown, |_| Words::missing(error.to_string()));
        }
    };
    let measure = Measure::at_most(found.share, limit.value);
    sink.limit(id, Found::Measured(measure), |units| {
        Words::stands(said(readings, units)).act(found.words()).remark(limit.remark.clone())
    });
}

fn said(readings: &Readings, units: &Units) -> String {
    let of = |word: &str, volume: Option<Volume>| {
        Some(format!("{word} {}", units.fuel(volume?, Round::Near)))
    };
    let said =
        [of("dip", readings.dip), of("gauge", readings.gauge), of("reckoned", readings.reckoned)];
    said.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
