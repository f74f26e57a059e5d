//! `light.*`: out after first light, in before last light less the pack's buffer.

use jiff::{SignedDuration, Timestamp, tz::Offset};
use stillprop_calc::{
    quantity::{FromAmount, Time},
    sun::Daylight,
    trace::{Step, Trace},
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    stage::{Choice, Figure, Stage, Unknown, later, light::Light},
    units::{Round, Units},
};

/// Computes the family. A flight by night or on instruments has none.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    if !stage.needs_light() {
        return;
    }
    departure(stage, choice, sink);
    for (index, leg) in stage.documents.turnaround.legs.iter().enumerate() {
        arrival(stage, choice, index, &leg.name.value, sink);
    }
}

/// Seconds of `a` after `b`.
pub(crate) fn after(a: Timestamp, b: Timestamp) -> Time {
    #[expect(clippy::cast_precision_loss, reason = "days at most")]
    let seconds = a.duration_since(b).as_secs() as f64;
    Time::from_si(seconds)
}

fn departure<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let id = Id::new(Family::Light, "departure");
    let take_off = later(choice.departs, stage.taxi_time());
    let light = stage.light.here.on(take_off, sink.trace());
    let buffer =
        buffer(&stage.figures.first_light_buffer, "buffer after first light", sink.trace());
    let (light, buffer) = match (light, buffer) {
        (Ok(light), Ok(buffer)) => (light, buffer),
        (Err(why), _) => return sink.limit(id, Found::Unknown, |_| Words::missing(why)),
        (_, Err(why)) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
    };
    let first = match light {
        Daylight::AlwaysAbove => return polar(id, true, sink),
        Daylight::AlwaysBelow => return polar(id, false, sink),
        Daylight::Crosses(crossings) => crossings.rise,
    };
    let offset = stage.here.offset;
    if let Some(last) = light.set()
        && take_off > last
        && first.is_none_or(|first| first < last)
    {
        return sink.limit(id, Found::Condition(false), |_| {
            Words::stands(format!(
                "take-off {}, last light {}",
                clock(take_off, offset),
                clock(last, offset)
            ))
            .act("take-off after last light: wait for first light, or fly under other rules")
        });
    }
    let Some(first) = first else { return polar(id, true, sink) };
    let earliest = later(first, buffer);
    // There is no natural whole before a departure; an hour to spare is plenty.
    let hour = Time::from_si(3600.0);
    let measure = Measure::at_least(after(take_off, earliest), Time::from_si(0.0)).share_of(hour);
    sink.limit(id, Found::Measured(measure), |_| {
        let early = minutes(after(earliest, take_off), Round::Up);
        Words::stands(format!(
            "take-off {}, first light {}{}",
            clock(take_off, offset),
            clock(first, offset),
            plus(buffer, "plus")
        ))
        .act(format!(
            "{early} too early: chocks off at {} or later",
            clock_up(earliest, stage, offset)
        ))
    });
}

fn clock_up(earliest: Timestamp, stage: &Stage, offset: Offset) -> String {
    let chocks = earliest.saturating_sub(duration(stage.taxi_time())).unwrap_or(earliest);
    clock(later(chocks, Time::from_si(59.0)), offset)
}

fn duration(time: Time) -> SignedDuration {
    #[expect(clippy::cast_possible_truncation, reason = "days at most")]
    SignedDuration::from_secs(time.value.ceil() as i64)
}

fn buffer<'a>(
    figure: &'a Figure<Time>,
    what: &'static str,
    trace: &mut impl Trace,
) -> Result<Time, &'a Unknown> {
    let figure = figure.as_ref()?;
    trace.step(|| figure.step(what, "buffer"));
    Ok(figure.value)
}

fn polar<S: Sink>(id: Id<'_>, light: bool, sink: &mut S) {
    sink.limit(id, Found::Condition(light), |_| {
        if light {
            Words::stands("it does not get dark on that day")
        } else {
            Words::stands("it does not get light on that day").act("there is no daylight at all")
        }
    });
}

fn arrival<S: Sink>(stage: &Stage, choice: &Choice, index: usize, name: &str, sink: &mut S) {
    let id = Id::of(Family::Light, "arrival", name);
    let Some(light) = &stage.light.there[index] else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!("the position of the end of `{name}` is not given"))
        });
    };
    let lands_after = match &stage.plan {
        Ok(plan) => plan.legs[index].lands_after,
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
    };
    let lands = later(choice.departs, lands_after);
    judge_arrival(stage, choice, (id, light, lands), index, sink);
}

fn judge_arrival<S: Sink>(
    stage: &Stage,
    choice: &Choice,
    (id, light, lands): (Id<'_>, &Light, Timestamp),
    index: usize,
    sink: &mut S,
) {
    // The day of the leg's take-off: a landing after that day's last light is in the dark, or
    // has flown through it.
    let flown = stage.plan.as_ref().map_or(Time::from_si(0.0), |plan| plan.legs[index].time);
    let took_off = lands.saturating_sub(duration(flown)).unwrap_or(lands);
    let day = light.on(took_off, sink.trace());
    let buffer = buffer(&stage.figures.last_light_buffer, "buffer before last light", sink.trace());
    let (day, buffer) = match (day, buffer) {
        (Ok(day), Ok(buffer)) => (day, buffer),
        (Err(why), _) => return sink.limit(id, Found::Unknown, |_| Words::missing(why)),
        (_, Err(why)) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
    };
    let last = match day {
        Daylight::AlwaysAbove => return polar(id, true, sink),
        Daylight::AlwaysBelow => return polar(id, false, sink),
        Daylight::Crosses(crossings) => crossings.set,
    };
    let Some(last) = last else { return polar(id, true, sink) };
    // Landing before dawn of the same solar day is dark too.
    let dark = day.rise().is_some_and(|first| lands < first && first < last);
    let latest = last.saturating_sub(duration(buffer)).unwrap_or(last);
    let spare = if dark { after(lands, day.rise().unwrap_or(lands)) } else { after(latest, lands) };
    sink.trace().step(|| {
        Step::new("time left at landing", "last light - buffer - landing")
            .with("buffer", buffer)
            .gives("left", spare)
            .remark(format!("landing {lands}, last light {last}"))
    });
    let whole = Time::from_si(after(latest, choice.departs).value.abs().max(3600.0));
    let measure = Measure::at_least(spare, Time::from_si(0.0)).share_of(whole);
    let offset = stage.there[index].as_ref().map_or(stage.here.offset, |spot| spot.offset);
    sink.limit(id, Found::Measured(measure), |_: &Units| {
        let late = minutes(-spare, Round::Up);
        let words = Words::stands(format!(
            "lands {}, last light {}{}",
            clock(lands, offset),
            clock(last, offset),
            plus(buffer, "less")
        ));
        if dark {
            return words.act(format!("arrives {late} before first light"));
        }
        let leave = choice.departs.saturating_sub(duration(-spare)).unwrap_or(choice.departs);
        words.act(format!(
            "arrives {late} after the buffer: chocks off by {}",
            clock(leave, stage.here.offset)
        ))
    });
}

fn plus(buffer: Time, word: &str) -> String {
    if buffer.value > 0.0 {
        format!(" {word} {}", minutes(buffer, Round::Near))
    } else {
        String::new()
    }
}

fn minutes(time: Time, round: Round) -> String {
    crate::units::show(time, stillprop_calc::unit::MIN, round)
}

/// Local time of day, whole minutes.
#[must_use]
pub fn clock(instant: Timestamp, offset: Offset) -> String {
    let local = offset.to_datetime(instant);
    format!("{:02}:{:02}", local.hour(), local.minute())
}
