//! `due.*`: what must still be in date when the last leg lands.

use jiff::civil::Date;
use stillprop_calc::{
    quantity::{FromAmount, Time},
    trace::{Step, Trace},
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    stage::{Choice, Stage, later},
    units::Round,
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let lasts = stage.plan.as_ref().ok().and_then(|plan| plan.legs.last());
    let ends = lasts.map_or(choice.departs, |leg| later(choice.departs, leg.lands_after));
    let day = stage.here.offset.to_datetime(ends).date();
    for due in &stage.due {
        let id = Id::of(Family::Due, "date", &due.what);
        match due.until {
            None => sink.limit(id, Found::Unknown, |_| {
                Words::missing(format!("the date of `{}` is not given", due.what))
            }),
            Some(until) => one(id, day, until, sink),
        }
    }
}

fn one<S: Sink>(id: Id<'_>, day: Date, until: Date, sink: &mut S) {
    #[expect(clippy::cast_precision_loss, reason = "a calendar's worth of days")]
    let left = until.duration_since(day).as_secs() as f64;
    let (left, month) = (Time::from_si(left), Time::from_si(30.0 * 86_400.0));
    let measure = Measure::at_least(left, Time::from_si(0.0)).share_of(month);
    sink.trace().step(|| {
        let step = Step::new("days left after the last landing", "left = last day - that day");
        step.gives("left", left).remark(format!("last day {until}, last landing {day}"))
    });
    sink.limit(id, Found::Measured(measure), |_| {
        let days = |time| crate::units::show(time, stillprop_calc::unit::D, Round::Near);
        Words::stands(format!("good to {until}")).act(format!("ran out {} ago", days(-left)))
    });
}
