//! `due.*`: what must still be in date when the last leg lands, and what wears: hours of use, the
//! resistance of a bonding lead.

use jiff::civil::Date;
use stillprop_calc::{
    quantity::{FromAmount, Time},
    trace::{Step, Trace},
    unit::{self, Unit},
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    stage::{Choice, Stage, later},
    units::Round,
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let day = last_day(stage, choice);
    for due in &stage.due {
        if due.has_date() {
            let id = Id::of(Family::Due, "date", &due.what);
            match due.until {
                None => sink.limit(id, Found::Unknown, |_| {
                    Words::missing(format!("the date of `{}` is not given", due.what))
                }),
                Some(until) => one(id, day, until, sink),
            }
        }
        if let Some((most, used)) = due.hours {
            let id = Id::of(Family::Due, "hours", &due.what);
            measured(id, ("the hours of use", unit::H), used, most, sink);
        }
        if let Some((most, is)) = due.resistance {
            let id = Id::of(Family::Due, "resistance", &due.what);
            measured(id, ("the resistance", unit::OHM), is, most, sink);
        }
    }
}

/// The day on which the last leg lands, at this strip: until then everything must be good.
#[must_use]
pub fn last_day(stage: &Stage, choice: &Choice) -> Date {
    let lasts = stage.plan.as_ref().ok().and_then(|plan| plan.legs.last());
    let ends = lasts.map_or(choice.departs, |leg| later(choice.departs, leg.lands_after));
    stage.here.offset.to_datetime(ends).date()
}

/// Something measured that may not be more than its bound.
fn measured<S: Sink, Q: FromAmount + Copy>(
    id: Id<'_>,
    (what, unit): (&'static str, Unit),
    is: Option<Q>,
    most: Q,
    sink: &mut S,
) {
    let Some(is) = is else {
        let of = id.of.unwrap_or("it");
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!("{what} of `{of}` was not recorded"))
        });
    };
    let measure = Measure::at_most(is, most);
    sink.trace().step(|| {
        let step = Step::new(format!("{what}, against what is allowed"), "left = most - is");
        step.with("most", most).gives("is", is).remark("as recorded in the document")
    });
    sink.limit(id, Found::Measured(measure), |_| {
        let show = |of: Q, round| crate::units::text(of.into().in_unit(unit), 1, round, unit);
        Words::stands(format!("{} of {}", show(is, Round::Up), show(most, Round::Down)))
            .act("change it, or have it mended, before it is used")
    });
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
        let days = |time| crate::units::show(time, unit::D, Round::Near);
        Words::stands(format!("good to {until}")).act(format!("ran out {} ago", days(-left)))
    });
}
