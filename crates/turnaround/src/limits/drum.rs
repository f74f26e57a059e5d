//! `drum.*`: the right fuel, in date, sealed, sound, settled, and enough of it.
//!
//! The same functions judge a drum that a document names and, through [`crate::drums`], every
//! container of a yard.

use jiff::{Timestamp, civil::Date};
use stillprop_calc::{
    quantity::{FromAmount, Time, Volume},
    trace::{Step, Trace},
    unit,
};

use super::{Family, Found, Id, Measure, Sink, Words, light::after};
use crate::{
    drums::{
        Container, Kind, Occasion, Seals, choose,
        settle::{self, Settling, Unsettled},
    },
    stage::{Choice, Figure, Stage},
    units::{Round, Units},
};

/// Computes the family. Where no fuel is taken from drums it has no limit.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let named = &stage.drums;
    if !named.asked {
        return;
    }
    let occasion = stage.occasion(choice);
    if named.drums.is_empty() {
        return nothing_named(stage, &occasion, sink);
    }
    for drum in &named.drums {
        match &drum.container {
            Err(why) => {
                let id = Id::of(Family::Drum, "named", &drum.label);
                sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
            }
            Ok(container) => {
                fit(container, &occasion, sink);
                quantity(container, drum.draw, &occasion, sink);
                settled(container, &occasion, sink);
            }
        }
    }
    uplift(stage, choice, sink);
}

/// What makes a container fit for use wherever it stands: all but how long it has stood and
/// how much is in it.
pub(crate) fn fit<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    grade(container, occasion, sink);
    age(container, occasion, sink);
    retest(container, occasion, sink);
    if container.kind == Kind::Drum {
        seal(container, occasion, sink);
        part_used(container, occasion, sink);
    }
    recall(container, sink);
    condition(container, sink);
}

/// Without names nothing can be judged; the yard says which drums would do.
fn nothing_named<S: Sink>(stage: &Stage, occasion: &Occasion<'_>, sink: &mut S) {
    sink.limit(Id::new(Family::Drum, "choice"), Found::Unknown, |units| {
        let words = Words::missing("name the drums: [[fuel.drums]] with drum, draw and tank");
        words.remark(choose::suggestion(stage, occasion, units))
    });
}

fn grade<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    let same = container.grade.trim().eq_ignore_ascii_case(occasion.grade.trim());
    let id = Id::of(Family::Drum, "grade", &container.label);
    sink.limit(id, Found::Condition(same), |_| {
        Words::stands(format!("marked {}", container.grade))
            .act(format!("it is marked {}, not {}: do not use it", container.grade, occasion.grade))
    });
}

/// Days from one to the other, negative when `to` comes first.
fn days(from: Date, to: Date) -> Time {
    #[expect(clippy::cast_precision_loss, reason = "a calendar's worth of days")]
    let seconds = to.duration_since(from).as_secs() as f64;
    Time::from_si(seconds)
}

/// What is dated, and the words around it.
struct Dated<'a> {
    name: &'static str,
    /// `filled`, `opened`, `tested`.
    what: &'static str,
    on: Option<Date>,
    /// What to know when it is not dated.
    missing: &'static str,
    most: &'a Figure<Time>,
    /// What to do when it is too old.
    act: &'static str,
}

fn in_date<S: Sink>(
    dated: &Dated<'_>,
    container: &Container,
    occasion: &Occasion<'_>,
    sink: &mut S,
) {
    let id = Id::of(Family::Drum, dated.name, &container.label);
    let (on, most) = match (dated.on, dated.most) {
        (None, _) => return sink.limit(id, Found::Unknown, |_| Words::missing(dated.missing)),
        (_, Err(why)) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        (Some(on), Ok(most)) => (on, most),
    };
    let age = days(on, occasion.day(occasion.time()));
    sink.trace().step(|| most.step("greatest age", "most"));
    sink.trace()
        .step(|| Step::new("age on the day of the fuelling", "day - date").gives("age", age));
    if age.value < 0.0 {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!("{} on {on}, after the fuelling: check the date", dated.what))
        });
    }
    let most = most.value;
    sink.limit(id, Found::Measured(Measure::at_most(age, most)), |_| {
        let shown = |time| crate::units::show(time, unit::D, Round::Near);
        Words::stands(format!("{} {on}, {} of {}", dated.what, shown(age), shown(most)))
            .act(format!("{} too old: {}", shown(age - most), dated.act))
    });
}

fn age<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    let dated = Dated {
        name: "age",
        what: "filled",
        on: container.filled,
        missing: "the day it was filled is not known: read it off the drum",
        most: &occasion.figures.max_age,
        act: "do not use it",
    };
    in_date(&dated, container, occasion, sink);
}

/// Asked only where the pack gives an interval.
fn retest<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    if occasion.figures.retest_interval.is_err() {
        return;
    }
    let dated = Dated {
        name: "retest",
        what: if container.retested.is_some() { "tested" } else { "filled" },
        // A batch cannot have been tested before it was filled; the later of the two counts.
        on: container.filled.map(|filled| container.retested.map_or(filled, |on| on.max(filled))),
        missing: "the day it was filled is not known: read it off the drum",
        most: &occasion.figures.retest_interval,
        act: "have the batch tested before it is used",
    };
    in_date(&dated, container, occasion, sink);
}

/// The seal of a drum, as it was before anybody opened it.
fn seal<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    let id = Id::of(Family::Drum, "seal", &container.label);
    match (container.seals, &occasion.figures.broken_seal_allowed) {
        (None, _) => sink.limit(id, Found::Unknown, |_| {
            Words::missing("nobody has looked at the seals: look before it is opened")
        }),
        (Some(Seals::Intact), _) => {
            sink.limit(id, Found::Condition(true), |_| Words::stands("seals whole"));
        }
        (Some(Seals::Broken), Err(why)) => {
            sink.limit(id, Found::Unknown, |_| Words::missing(why.clone()));
        }
        (Some(Seals::Broken), Ok((allowed, citation))) => {
            sink.limit(id, Found::Condition(*allowed), |_| {
                Words::stands("a seal was broken before it was opened")
                    .act("nobody knows what is in it: do not use it")
                    .remark(Some(citation.clone()))
            });
        }
    }
}

fn part_used<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    if !container.part_used(occasion) {
        return;
    }
    let on = container.opened.map(|opened| occasion.day(opened));
    let id = Id::of(Family::Drum, "part-used", &container.label);
    match &occasion.figures.part_used_allowed {
        Err(why) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok((false, citation)) => sink.limit(id, Found::Condition(false), |_| {
            let on = on.map_or_else(String::new, |on| format!(" {on}"));
            Words::stands(format!("opened{on}"))
                .act("it was opened for an earlier fuelling: take a whole drum")
                .remark(Some(citation.clone()))
        }),
        Ok((true, _)) => {
            let dated = Dated {
                name: "part-used",
                what: "opened",
                on,
                missing: "the day it was opened is not known",
                most: &occasion.figures.part_used_max_age,
                act: "do not use what is left",
            };
            in_date(&dated, container, occasion, sink);
        }
    }
}

fn recall<S: Sink>(container: &Container, sink: &mut S) {
    let id = Id::of(Family::Drum, "recall", &container.label);
    sink.limit(id, Found::Condition(container.recalled.is_none()), |_| {
        let batch = &container.batch;
        match &container.recalled {
            None => Words::stands(format!("batch {batch}, not called back")),
            Some(why) => Words::stands("fuel that was called back is in it")
                .act(format!("do not use it: {why}")),
        }
    });
}

fn condition<S: Sink>(container: &Container, sink: &mut S) {
    let id = Id::of(Family::Drum, "condition", &container.label);
    let bad = container.condemned.is_some() || container.severe_damage.is_some();
    let found = match container.inspected {
        _ if bad => Found::Condition(false),
        None => Found::Unknown,
        Some(_) => Found::Condition(true),
    };
    sink.limit(id, found, |_| match (&container.condemned, &container.severe_damage) {
        (Some(why), _) => Words::stands("condemned").act(format!("do not use it: {why}")),
        (None, Some(damage)) => Words::stands(format!("damaged: {damage}"))
            .act("do not use it: where it is harmed, loose lining inside may block the filter"),
        (None, None) if container.inspected.is_none() => {
            Words::missing("nobody has looked it over: look for dents, rust and a legible label")
        }
        (None, None) => Words::stands("sound when it was last looked over"),
    });
}

fn quantity<S: Sink>(container: &Container, draw: Volume, occasion: &Occasion<'_>, sink: &mut S) {
    let id = Id::of(Family::Drum, "quantity", &container.label);
    let remainder = match &occasion.figures.unpumped_remainder {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(remainder) => remainder,
    };
    sink.trace().step(|| remainder.step("what the pump leaves", "remainder"));
    let remainder = remainder.value;
    let usable = Volume::from_si((container.left - remainder).value.max(0.0));
    sink.trace().step(|| {
        Step::new("what can be drawn", "left - remainder, at least 0")
            .with("left", container.left)
            .with("remainder", remainder)
            .gives("V", usable)
    });
    let measure = Measure::at_most(draw, usable).share_of(container.left);
    sink.limit(id, Found::Measured(measure), |units| {
        let short = units.fuel(draw - usable, Round::Up);
        Words::stands(format!(
            "{} of {}: {} less what the pump leaves",
            units.fuel(draw, Round::Up),
            units.fuel(usable, Round::Down),
            units.fuel(container.left, Round::Down),
        ))
        .act(format!("{short} more than it gives: take {short} from another drum"))
        .remark(counted(container, units))
    });
}

/// A count that differed from the book is a reason to dip before drawing.
fn counted(container: &Container, units: &Units) -> Option<String> {
    let difference = container.counted_difference.filter(|difference| difference.value != 0.0)?;
    let less = if difference.value < 0.0 { "less" } else { "more" };
    let by = units.fuel(difference.abs(), Round::Up);
    Some(format!("the last count found {by} {less} than the book"))
}

fn settled<S: Sink>(container: &Container, occasion: &Occasion<'_>, sink: &mut S) {
    let id = Id::of(Family::Drum, "settled", &container.label);
    let Settling { time, at } = match settle::settling(container, occasion.figures, sink.trace()) {
        Ok(settling) => settling,
        Err(gap) => return unsettled(id, gap, sink),
    };
    let Some(stood) = stood_until(container, occasion, at) else {
        return sink.limit(id, Found::Unknown, |_| {
            let at = occasion.clock_up(at);
            Words::missing(format!("say when fuelling begins: it will have settled at {at}"))
        });
    };
    let spare = after(stood, at);
    let measure = Measure::at_least(spare, Time::from_si(0.0)).share_of(time);
    sink.limit(id, Found::Measured(measure), |_| {
        let (clock, late) = (occasion.clock_up(at), span(-spare));
        let event = if occasion.begins.is_some() { "fuelling begins" } else { "chocks off" };
        let late =
            if spare.value < 0.0 { format!(", {late} after {event}") } else { String::new() };
        Words::stands(format!("settled at {clock}{late}"))
            .act(format!("wait until {clock}, then sample"))
    });
}

/// The latest time of which it is known that the drum still stood: when fuelling begins, or a
/// sample drawn after it had settled. Without either, chocks off, if even that is too early.
fn stood_until(
    container: &Container,
    occasion: &Occasion<'_>,
    settles: Timestamp,
) -> Option<Timestamp> {
    let sampled = container.sample.as_ref().map(|sample| sample.at).filter(|at| *at >= settles);
    let too_late = (occasion.latest < settles).then_some(occasion.latest);
    occasion.begins.or(sampled).or(too_late)
}

fn unsettled<S: Sink>(id: Id<'_>, gap: Unsettled<'_>, sink: &mut S) {
    let found = match gap {
        Unsettled::OnSide => Found::Condition(false),
        _ => Found::Unknown,
    };
    sink.limit(id, found, |_| match gap {
        Unsettled::OnSide => {
            Words::stands("it lies on its side").act("stand it up and let it settle, then sample")
        }
        _ => Words::missing(gap.words()),
    });
}

/// What the drums give each tank must be what the flight was reckoned with, no less and no
/// more.
fn uplift<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let named = &stage.drums;
    for (index, tank) in stage.tanks.iter().enumerate() {
        let Some(drawn) = named.uplift.get(index).and_then(|uplift| uplift.drawn()) else {
            continue;
        };
        let id = Id::of(Family::Drum, "uplift", &tank.label);
        let Some(needed) = stage.uplift(choice, index) else {
            sink.limit(id, Found::Unknown, |_| {
                Words::missing(format!("the fuel in {} is not given", tank.label))
            });
            continue;
        };
        sink.limit(id, Found::Condition(same(drawn, needed)), |units| {
            let by = units.fuel((drawn - needed).abs(), Round::Up);
            let act = if drawn < needed {
                format!("{by} short: draw {by} more into {}", tank.label)
            } else {
                format!("{by} more than the load was reckoned with: draw {by} less")
            };
            Words::stands(format!(
                "{} from drums, {} planned",
                units.fuel(drawn, Round::Down),
                units.fuel(needed, Round::Up)
            ))
            .act(act)
        });
    }
}

/// The same but for the rounding of units.
fn same(a: Volume, b: Volume) -> bool {
    (a - b).value.abs() <= 1e-6 * a.value.abs().max(b.value.abs())
}

/// A wait as it is said: `25 min`, `2 h 37 min`, `3 d 4 h`. Up to the whole minute.
pub(crate) fn span(time: Time) -> String {
    let minutes = (time.count(unit::MIN) - 1e-6).ceil().max(0.0);
    let part = |of: f64, unit: &str| if of > 0.0 { format!(" {of} {unit}") } else { String::new() };
    let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    if hours < 1.0 {
        format!("{rest} min")
    } else if hours < 24.0 {
        format!("{hours} h{}", part(rest, "min"))
    } else {
        format!("{} d{}", (hours / 24.0).floor(), part(hours % 24.0, "h"))
    }
}
