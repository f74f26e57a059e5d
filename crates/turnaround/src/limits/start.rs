//! `start.*`: with the starter, or by hand behind gates that all have to hold.

use stillprop_calc::{
    quantity::{Force, FromAmount, Ratio, Time},
    unit,
};

use super::{Family, Found, Id, Measure, Sink, Words};
use crate::{
    document::ground::{Footing, StartBy},
    site::{
        figures::StartFigures,
        start::{Electrical, Start},
    },
    stage::{Choice, Cited, Stage},
    units::{Round, show},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let (start, figures) = (&stage.start, &stage.ground.start);
    match start.by {
        StartBy::Starter => starter(start, sink),
        StartBy::Hand => by_hand(stage, choice, sink),
    }
    if let Some(electrical) = &start.electrical {
        battery(start, figures, electrical, sink);
    } else if start.starter {
        sink.limit(Id::new(Family::Start, "battery"), Found::Unknown, |_| {
            Words::missing("battery and loads are not described: add [electrical]")
        });
    }
}

fn starter<S: Sink>(start: &Start, sink: &mut S) {
    let holds = start.starter && !start.battery_flat;
    sink.limit(Id::new(Family::Start, "starter"), Found::Condition(holds), |_| {
        match (start.starter, start.battery_flat) {
            (false, _) => Words::stands("no starter is fitted").act("read [start] again"),
            (true, true) => Words::stands("the battery is flat")
                .act("charge it or change it; a start by hand is the last choice, and see start.generator"),
            (true, false) => Words::stands("electric starter"),
        }
    });
}

/// A gate: yes, no, or nobody said.
fn gate<S: Sink>(
    name: &'static str,
    said: Option<bool>,
    (yes, no): (&str, &str),
    act: &str,
    sink: &mut S,
) {
    let id = Id::new(Family::Start, name);
    match said {
        None => {
            sink.limit(id, Found::Unknown, |_| Words::missing(format!("nobody said whether {yes}")))
        }
        Some(said) => sink.limit(id, Found::Condition(said), |_| {
            Words::stands(if said { yes } else { no }).act(act)
        }),
    }
}

const DO_NOT: &str = "do not turn the propeller by hand";

fn by_hand<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let (start, figures) = (&stage.start, &stage.ground.start);
    let manual = ("the manual permits it", "the manual does not permit it");
    gate("permitted", start.hand_permitted, manual, DO_NOT, sink);
    trained(start, figures, sink);
    controls(stage, choice, sink);
    let aboard = start.others_aboard.map(|others| !others);
    let words = ("nobody else is aboard", "somebody else is aboard");
    gate("aboard", aboard, words, "everyone out and behind the wing", sink);
    let words = ("nobody stands in the arc, ahead or beside", "somebody stands in the way");
    gate("clear", start.clear_ahead, words, "nobody in the arc, ahead or beside it", sink);
    let footing = start.footing.map(|footing| footing == Footing::Firm);
    let words =
        ("the ground underfoot is firm and dry", "the ground underfoot is not firm and dry");
    gate("footing", footing, words, "move the aeroplane to firm, level, dry ground", sink);
    let words =
        ("both have said how the throttle stands", "the throttle was not said and answered");
    gate("throttle", start.throttle_confirmed, words, "say it, and have it answered", sink);
    hold(start, figures, sink);
    dead_cut(start, sink);
    generator(start, sink);
}

fn trained<S: Sink>(start: &Start, figures: &StartFigures, sink: &mut S) {
    let id = Id::new(Family::Start, "trained");
    let Some(who) = &start.at_propeller else {
        return sink
            .limit(id, Found::Unknown, |_| Words::missing("nobody said who turns the propeller"));
    };
    let untrained_may = || figures.untrained_allowed.as_ref().is_ok_and(|(allowed, _)| *allowed);
    match start.trained {
        None => sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!("nobody said whether {who} was trained to"))
        }),
        Some(trained) => {
            sink.limit(id, Found::Condition(trained || untrained_may()), |_| {
                Words::stands(format!("{who}, {}", if trained { "trained" } else { "not trained" }))
                    .act(DO_NOT)
            });
        }
    }
}

/// A qualified person at the controls, or the conditions under which the pack lets a pilot do
/// both.
fn controls<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let start = &stage.start;
    let id = Id::new(Family::Start, "controls");
    let Some(who) = &start.at_controls else { return alone(start, &stage.ground.start, id, sink) };
    let person = stage.people.iter().position(|person| person.name == *who);
    let seat = person.and_then(|person| choice.seat_of.get(person).copied().flatten());
    let seat = seat.and_then(|seat| stage.places.get(seat)?.seat);
    let there = seat.is_some_and(|seat| seat.controls);
    match start.qualified {
        None => sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!("nobody said whether {who} may start and stop this engine"))
        }),
        Some(qualified) => sink.limit(id, Found::Condition(qualified && there), |_| {
            let words = Words::stands(format!("{who} at the controls"));
            match (qualified, there) {
                (true, true) => words,
                (false, _) => {
                    words.act(format!("{who} may not start and stop this engine: {DO_NOT}"))
                }
                (true, false) => words.act(format!("the seat of {who} has no controls")),
            }
        }),
    }
}

fn alone<S: Sink>(start: &Start, figures: &StartFigures, id: Id<'_>, sink: &mut S) {
    let allowed = match &figures.alone_allowed {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(allowed) => allowed,
    };
    let help = match start.help_at_hand {
        None => {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing(
                    "nobody sits at the controls, and nobody said whether help could be had",
                )
            });
        }
        Some(help) => help,
    };
    let holds = allowed.0 && !help && start.others_aboard == Some(false);
    sink.limit(id, Found::Condition(holds), |_| {
        let act = match (allowed.0, help) {
            (false, _) => "the pack does not let a pilot do both: wait for a second person",
            (true, true) => "help can be had: have a qualified person at the controls",
            (true, false) => "nobody may be aboard",
        };
        Words::stands("nobody at the controls").act(act).remark(Some(allowed.1.clone()))
    });
}

/// Would it hold at full throttle? The throttle may be set wide open by mistake.
fn hold<S: Sink>(start: &Start, figures: &StartFigures, sink: &mut S) {
    let id = Id::new(Family::Start, "hold");
    let hold = match &start.hold {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(hold) => hold,
    };
    let full = hold.thrust(Ratio::from_si(1.0), sink.trace());
    let found = full.and_then(|full| Ok((full, hold.against(full, sink.trace())?)));
    let (full, held) = match found {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why)),
        Ok(found) => found,
    };
    let factor = figures.hold_factor.as_ref();
    let needed = full * factor.map_or(Ratio::from_si(1.0), |factor| factor.value);
    // A tail that lifts is not held, whatever the wheels hold.
    let lifts = held.tail.is_some_and(|tail| tail.si() < 0.0);
    let holds = if lifts { Force::from_si(0.0) } else { held.total };
    sink.limit(id, Found::Measured(Measure::at_least(holds, needed)), |_| {
        let newton = |force: Force, round| show(force, unit::N, round);
        let stands = format!(
            "{} holds, {} needed at full throttle ({} of thrust)",
            newton(holds, Round::Down),
            newton(needed, Round::Up),
            newton(full, Round::Up),
        );
        let set = start
            .throttle
            .and_then(|share| hold.thrust(share, &mut stillprop_calc::trace::Silent).ok());
        let set = set.map_or_else(
            || "the throttle setting is not given".to_owned(),
            |set| format!("as the throttle is set: {}", newton(set, Round::Up)),
        );
        let source = factor.map_or_else(
            |_| "no pack asks for a reserve".to_owned(),
            |factor| factor.citation.clone(),
        );
        let act = if lifts {
            "the tail would lift: tie it down"
        } else {
            "tie the tail to something that holds, or chock better"
        };
        Words::stands(stands).act(act).remark(Some(format!("{set}; {source}")))
    });
}

fn dead_cut<S: Sink>(start: &Start, sink: &mut S) {
    let id = Id::new(Family::Start, "dead-cut");
    match start.dead_cut {
        None => sink.limit(id, Found::Unknown, |_| {
            Words::missing("the day of the last dead-cut check of the magnetos is not given")
        }),
        Some(day) => sink.limit(id, Found::Condition(true), |_| {
            Words::stands(format!("last dead-cut check {day}"))
                .remark(Some("it proves nothing about today: treat the propeller as live".into()))
        }),
    }
}

/// After a start by hand with a flat battery the generator may never come on line.
fn generator<S: Sink>(start: &Start, sink: &mut S) {
    let Some(electrical) = start.electrical.as_ref().filter(|_| start.battery_flat) else { return };
    let id = Id::new(Family::Start, "generator");
    let Some(field) = electrical.field_from_battery else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("whether the generator comes on line with a flat battery is not given")
        });
    };
    let lost = || electrical.loads.iter().filter(|(_, _, essential)| *essential);
    let holds = !field || lost().next().is_none();
    sink.limit(id, Found::Condition(holds), |_| {
        let names: Vec<&str> = lost().map(|(what, _, _)| what.as_str()).collect();
        Words::stands(if field {
            "no field current, so perhaps no generator"
        } else {
            "the generator needs no battery"
        })
        .act(format!("do not count on {}: charge or change the battery", names.join(", ")))
    });
}

/// The battery alone, and what the generator is asked for.
fn battery<S: Sink>(start: &Start, figures: &StartFigures, electrical: &Electrical, sink: &mut S) {
    let id = Id::new(Family::Start, "battery");
    let needs = match (&figures.battery_endurance, &electrical.law) {
        (Err(why), _) | (_, Err(why)) => Err(why),
        (Ok(needs), Ok(_)) => Ok(needs),
    };
    match needs {
        Err(why) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(needs) => lasts(start, electrical, needs, id, sink),
    }
    load_part(figures, electrical, sink);
}

fn lasts<S: Sink>(
    start: &Start,
    electrical: &Electrical,
    needs: &Cited<Time>,
    id: Id<'_>,
    sink: &mut S,
) {
    let lasts = match electrical.endurance(electrical.current(true), sink.trace()) {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why)),
        Ok(_) if start.battery_flat => Time::from_si(0.0),
        Ok(found) => found.time,
    };
    sink.limit(id, Found::Measured(Measure::at_least(lasts, needs.value)), |_| {
        let minutes = |time, round| show(time, unit::MIN, round);
        Words::stands(format!(
            "{} of {} on the battery alone, essential loads",
            minutes(lasts, Round::Down),
            minutes(needs.value, Round::Up),
        ))
        .act("charge or change the battery, or have less that must stay on")
        .remark(Some(needs.citation.clone()))
    });
}

/// Asked only where a pack says how much of its rating a generator may carry for good.
fn load_part<S: Sink>(figures: &StartFigures, electrical: &Electrical, sink: &mut S) {
    let Ok(part) = &figures.generator_load_part else { return };
    let id = Id::new(Family::Start, "generator-load");
    let Some(rated) = electrical.generator else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("what the generator is rated for is not given")
        });
    };
    let (load, bound) = (electrical.current(false), rated * part.value);
    sink.limit(id, Found::Measured(Measure::at_most(load, bound)), |_| {
        let ampere = |current, round| show(current, unit::A, round);
        Words::stands(format!("{} of {}", ampere(load, Round::Up), ampere(bound, Round::Down)))
            .act("leave something off")
            .remark(Some(part.citation.clone()))
    });
}
