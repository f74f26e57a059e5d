//! The fuel ladder against what is aboard, rung by rung.

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    trace::{Step, Trace},
};

use super::LadderView;
use crate::{
    limits::{Family, Id, Sink, fuel::in_tank},
    stage::{Choice, Stage, Unknown, flight},
    units::Round,
};

pub(super) fn view<S: Sink>(
    stage: &Stage,
    choice: &Choice,
    sink: &mut S,
) -> Result<LadderView, Unknown> {
    let plan = stage.plan.as_ref().map_err(Clone::clone)?;
    let view = LadderView {
        parts: plan.ladder,
        required: plan.required,
        aboard: stage.fuel_aboard(choice),
        unusable: stage.tanks.iter().map(|tank| tank.unusable).sum(),
        capacity: stage.tanks.iter().map(|tank| tank.usable).sum(),
    };
    let none = Volume::from_si(0.0);
    let mut rung = |name, volume: Volume, round, steps: &dyn Fn(&mut S::Trace)| {
        if volume > none {
            steps(sink.trace());
            sink.number(Id::new(Family::Fuel, name), Some(volume.into()), |units| {
                units.fuel(volume, round)
            });
        }
    };
    let (onward, burn) = (&stage.onward, &stage.documents.aircraft.burn);
    let (parts, figures, up) = (&plan.ladder, &stage.figures, Round::Up);
    // Each was reckoned while preparing; a reader of the working sees it reckoned again.
    rung("start-and-taxi", parts.start_and_taxi, up, &|trace| {
        let _again = flight::start_and_taxi(onward, burn, trace);
    });
    rung("trip", parts.trip, up, &|trace| trip(onward, burn, parts.trip, trace));
    rung("contingency", parts.contingency, up, &|trace| {
        let _again = flight::contingency(parts.trip, figures, trace);
    });
    rung("alternate", parts.alternate, up, &|trace| {
        let _again = flight::alternate(onward, burn, trace);
    });
    rung("holding", parts.holding, up, &|trace| {
        let _again = flight::holding(onward, burn, trace);
    });
    rung("final-reserve", parts.final_reserve, up, &|trace| {
        let _again = flight::final_reserve(onward, burn, figures, trace);
    });
    rung("extra", parts.extra, up, &|trace| {
        let typed = || Step::new("the pilot's extra, as typed", "").gives("V", parts.extra);
        trace.step(|| typed().remark("the turnaround document"));
    });
    rung("required", view.required, up, &|trace| {
        let _again = parts.required(trace);
    });
    aboard(stage, choice, view.aboard, sink);
    tanks(stage, &view, sink);
    Ok(view)
}

fn trip<T: Trace>(
    onward: &flight::Onward,
    burn: &crate::document::aircraft::Burn,
    sum: Volume,
    trace: &mut T,
) {
    if T::RECORDS {
        let _again = flight::flown(onward, burn, trace);
    }
    trace.step(|| Step::new("trip fuel", "the sum over the legs").gives("trip", sum));
}

fn aboard<S: Sink>(stage: &Stage, choice: &Choice, aboard: Option<Volume>, sink: &mut S) {
    for index in 0..stage.tanks.len() {
        sink.trace().step(|| in_tank(stage, choice, index));
    }
    if let Some(sum) = aboard {
        sink.trace()
            .step(|| Step::new("usable fuel aboard", "the sum over the tanks").gives("V", sum));
    }
    sink.number(Id::new(Family::Fuel, "aboard"), aboard.map(Into::into), |units| {
        aboard.map_or_else(|| "unknown".to_owned(), |sum| units.fuel(sum, Round::Down))
    });
}

/// What the tanks hold, by the aircraft document.
fn tanks<S: Sink>(stage: &Stage, view: &LadderView, sink: &mut S) {
    for (name, sum, round) in
        [("capacity", view.capacity, Round::Down), ("unusable", view.unusable, Round::Up)]
    {
        for tank in &stage.tanks {
            sink.trace().step(|| {
                let own = if name == "capacity" { tank.usable } else { tank.unusable };
                Step::new(tank.label.clone(), "").gives("V", own).remark("the aircraft document")
            });
        }
        sink.trace().step(|| Step::new("all tanks", "the sum over the tanks").gives("V", sum));
        sink.number(Id::new(Family::Fuel, name), Some(sum.into()), |units| units.fuel(sum, round));
    }
}
