//! `start.*`: with the starter, or by hand behind gates that all have to hold.

use stillprop_calc::{
    quantity::{ElectricCurrent, Force, FromAmount, Time},
    trace::Trace,
    unit,
};

use super::{Family, Found, Gap, Id, Measure, Sink, Verdict, Words};
use crate::{
    document::{
        ground::{Footing, StartBy},
        turnaround::Role,
    },
    site::{
        figures::StartFigures,
        start::{Electrical, Start},
    },
    stage::{Choice, Stage},
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
            (false, _) => Words::stands("no starter is fitted")
                .act("the aircraft document says starter = false: see which of the two is right"),
            (true, true) => {
                Words::stands("the battery is flat").act("charge it or change it before the start")
            }
            (true, false) => Words::stands("electric starter"),
        }
    });
}

/// A gate as words: what is asked, with its key; how it stands when it holds and when it does
/// not; the way out.
struct Gate {
    name: &'static str,
    asks: &'static str,
    yes: &'static str,
    no: &'static str,
    act: &'static str,
}

impl Gate {
    /// Yes, no, or nobody said.
    fn limit<S: Sink>(&self, said: Option<bool>, sink: &mut S) {
        let id = Id::new(Family::Start, self.name);
        match said {
            None => sink.limit(id, Found::Unknown, |_| {
                Words::missing(format!("{} is not given", self.asks))
            }),
            Some(said) => sink.limit(id, Found::Condition(said), |_| {
                Words::stands(if said { self.yes } else { self.no }).act(self.act)
            }),
        }
    }
}

const DO_NOT: &str = "do not turn the propeller by hand";

const PERMITTED: Gate = Gate {
    name: "permitted",
    asks: "whether the flight manual permits a start by hand (hand_start in [starting])",
    yes: "the flight manual permits it",
    no: "the flight manual does not permit it",
    act: DO_NOT,
};
const ABOARD: Gate = Gate {
    name: "aboard",
    asks: "whether somebody else is aboard (others_aboard in [start])",
    yes: "nobody else is aboard",
    no: "somebody else is aboard",
    act: "everyone out and behind the wing",
};
const CLEAR: Gate = Gate {
    name: "clear",
    asks: "whether the arc, ahead and beside it are clear (clear_ahead in [start])",
    yes: "nobody stands in the arc, ahead or beside",
    no: "somebody stands in the arc, ahead or beside",
    act: "wait until nobody does",
};
const FOOTING: Gate = Gate {
    name: "footing",
    asks: "what the feet stand on (footing in [start])",
    yes: "the ground underfoot is firm, level and dry",
    no: "the ground underfoot is not firm, level and dry",
    act: "move the aeroplane to firm, level, dry ground",
};
const THROTTLE: Gate = Gate {
    name: "throttle",
    asks: "whether both have said how the throttle stands (throttle_confirmed in [start])",
    yes: "both have said how the throttle stands",
    no: "the throttle was not said and answered",
    act: "say it, and have it answered",
};

fn by_hand<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let (start, figures) = (&stage.start, &stage.ground.start);
    PERMITTED.limit(start.hand_permitted, sink);
    trained(start, figures, sink);
    controls(stage, choice, sink);
    ABOARD.limit(start.others_aboard.map(|others| !others), sink);
    CLEAR.limit(start.clear_ahead, sink);
    FOOTING.limit(start.footing.map(|footing| footing == Footing::Firm), sink);
    THROTTLE.limit(start.throttle_confirmed, sink);
    hold(start, figures, sink);
    hold_as_set(start, sink);
    dead_cut(start, sink);
    generator(start, sink);
}

fn trained<S: Sink>(start: &Start, figures: &StartFigures, sink: &mut S) {
    let id = Id::new(Family::Start, "trained");
    let Some(who) = &start.at_propeller else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("who turns the propeller is not given (at_propeller in [start])")
        });
    };
    let Some(trained) = start.trained else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing(format!(
                "whether {who} was trained to is not given (trained in [start])"
            ))
        });
    };
    let may = figures.untrained_allowed.as_ref().ok().filter(|(allowed, _)| *allowed);
    sink.limit(id, Found::Condition(trained || may.is_some()), |_| {
        let words = Words::stands(format!("{who}, {}trained", if trained { "" } else { "not " }));
        let leave = may.filter(|_| !trained).map(|(_, citation)| citation.clone());
        words.act("have somebody who was trained turn it, or nobody").remark(leave)
    });
}

/// A qualified person at the controls, or the conditions under which the pack lets a pilot do
/// both.
fn controls<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let start = &stage.start;
    let id = Id::new(Family::Start, "controls");
    let Some(who) = &start.at_controls else { return alone(stage, id, sink) };
    let person = stage.people.iter().position(|person| person.name == *who);
    let seat = person.and_then(|person| choice.seat_of.get(person).copied().flatten());
    let seat = seat.and_then(|seat| stage.places.get(seat)?.seat);
    let there = seat.is_some_and(|seat| seat.controls);
    let found = match (start.qualified, there) {
        (None, true) => Found::Unknown,
        (qualified, there) => Found::Condition(there && qualified == Some(true)),
    };
    sink.limit(id, found, |_| {
        let words = Words::stands(format!("{who} at the controls"));
        match (start.qualified, there) {
            (_, false) => words.act(format!("the seat of {who} has no controls: change seats")),
            (Some(true), true) => words,
            (Some(false), true) => {
                words.act(format!("{who} may not start and stop this engine: {DO_NOT}"))
            }
            (None, true) => Words::missing(format!(
                "whether {who} may start and stop this engine is not given (qualified in [start])"
            )),
        }
    });
}

/// What must be so where the pack lets a lone pilot turn the propeller.
struct Condition {
    /// It is so, it is not, or nobody said.
    so: Option<bool>,
    act: &'static str,
    asks: &'static str,
}

fn alone<S: Sink>(stage: &Stage, id: Id<'_>, sink: &mut S) {
    let (start, figures) = (&stage.start, &stage.ground.start);
    let (allowed, citation) = match &figures.alone_allowed {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(allowed) => allowed,
    };
    let turns = start.at_propeller.as_ref();
    let pilot = |who: &String| {
        stage.people.iter().any(|person| person.name == *who && person.role == Role::Pilot)
    };
    let held = start.hold.as_ref().ok().and_then(|hold| hold.at_full(figures, sink.trace()).ok());
    let conditions = [
        Condition {
            so: Some(*allowed),
            act: "the pack does not let a pilot do both: wait for a second person",
            asks: "",
        },
        Condition {
            so: turns.map(pilot),
            act: "the pack lets a pilot do both, nobody else: have a qualified person at the controls",
            asks: "who turns the propeller is not given (at_propeller in [start])",
        },
        Condition {
            so: start.help_at_hand.map(|help| !help),
            act: "help can be had: have a qualified person at the controls",
            asks: "whether help could be had is not given (help_at_hand in [start])",
        },
        Condition {
            so: start.others_aboard.map(|others| !others),
            act: "nobody may be aboard: everyone out and behind the wing",
            asks: "whether somebody else is aboard is not given (others_aboard in [start])",
        },
        Condition {
            so: held.map(|held| held.measure().verdict() == Verdict::Holds),
            act: "it is not kept from moving forward: see start.hold",
            asks: "whether it is kept from moving forward is not known: see start.hold",
        },
    ];
    // One that fails is enough, whatever nobody said of the others.
    let failed = conditions.iter().find(|condition| condition.so == Some(false));
    let open = conditions.iter().find(|condition| condition.so.is_none());
    let found = match (failed, open) {
        (Some(_), _) => Found::Condition(false),
        (None, Some(_)) => Found::Unknown,
        (None, None) => Found::Condition(true),
    };
    sink.limit(id, found, |_| {
        let words = Words::stands("nobody at the controls").remark(Some(citation.clone()));
        match (failed, open) {
            (Some(failed), _) => words.act(failed.act),
            (None, Some(open)) => Words::missing(open.asks).remark(Some(citation.clone())),
            (None, None) => words,
        }
    });
}

/// Would it hold at full throttle?
fn hold<S: Sink>(start: &Start, figures: &StartFigures, sink: &mut S) {
    let id = Id::new(Family::Start, "hold");
    let hold = match &start.hold {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(hold) => hold,
    };
    let held = match hold.at_full(figures, sink.trace()) {
        Err(gap) => return sink.limit(id, Found::Unknown, |_| Words::missing(gap.words())),
        Ok(held) => held,
    };
    sink.limit(id, Found::Measured(held.measure()), |_| {
        let newton = |force: Force, round| show(force, unit::N, round);
        let source = figures.hold_factor.as_ref();
        let source = source.map_or_else(
            |_| "no pack asks for a reserve, so none is in it".to_owned(),
            |factor| factor.citation.clone(),
        );
        let act = if held.lifts {
            "tie the tail down".to_owned()
        } else {
            let short = newton(held.needed - held.holds, Round::Up);
            format!("{short} too little: tie the tail to something that holds, or chock better")
        };
        let remark = format!("slope and wind from behind are not reckoned; {source}");
        Words::stands(held.words()).act(act).remark(Some(remark))
    });
}

/// As the throttle is set it must not even begin to roll: a slack tie holds nothing until it is
/// tight, and whoever turns the propeller stands in front.
fn hold_as_set<S: Sink>(start: &Start, sink: &mut S) {
    let id = Id::new(Family::Start, "hold-as-set");
    let hold = match &start.hold {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(hold) => hold,
    };
    let Some(share) = start.throttle else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("how far the throttle is open is not given (throttle in [start])")
        });
    };
    let set = hold.thrust(share, sink.trace()).map_err(Gap::OutOfRange);
    let found = set.and_then(|set| Ok((set, hold.against(set, sink.trace()).map_err(Gap::Hold)?)));
    let (set, held) = match found {
        Err(gap) => return sink.limit(id, Found::Unknown, |_| Words::missing(gap.words())),
        Ok(found) => found,
    };
    sink.limit(id, Found::Measured(Measure::at_least(held.without_tie, set)), |_| {
        let newton = |force: Force, round| show(force, unit::N, round);
        Words::stands(format!(
            "{} holds before the tie is tight, {} of thrust as the throttle is set",
            newton(held.without_tie, Round::Down),
            newton(set, Round::Up),
        ))
        .act("it rolls at once: chocks ahead of both main wheels, brakes set")
    });
}

fn dead_cut<S: Sink>(start: &Start, sink: &mut S) {
    let id = Id::new(Family::Start, "dead-cut");
    match start.dead_cut {
        None => sink.limit(id, Found::Unknown, |_| {
            Words::missing(
                "the day of the last dead-cut check of the magnetos is not given (dead_cut in \
                 [start])",
            )
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
        let stands = match (field, holds) {
            (false, _) => "the generator needs no battery",
            (true, true) => {
                "no field current, so perhaps no generator; nothing essential hangs on it"
            }
            (true, false) => "no field current, so perhaps no generator",
        };
        let act =
            format!("do not count on {}: charge or change the battery first", names.join(", "));
        Words::stands(stands).act(act)
    });
}

/// The battery alone, and what the generator is asked for.
fn battery<S: Sink>(start: &Start, figures: &StartFigures, electrical: &Electrical, sink: &mut S) {
    lasts(start, figures, electrical, sink);
    load_part(figures, electrical, sink);
}

fn lasts<S: Sink>(start: &Start, figures: &StartFigures, electrical: &Electrical, sink: &mut S) {
    let id = Id::new(Family::Start, "battery");
    let needs = match &figures.battery_endurance {
        Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        Ok(needs) => needs,
    };
    let lasts = match endurance(start, electrical, sink.trace()) {
        Err(gap) => return sink.limit(id, Found::Unknown, |_| Words::missing(gap.words())),
        Ok(lasts) => lasts,
    };
    sink.limit(id, Found::Measured(Measure::at_least(lasts, needs.value)), |_| {
        let minutes = |time: Time, round| show(time, unit::MIN, round);
        let short = minutes(needs.value - lasts, Round::Up);
        let act = format!("{short} too short: charge or change the battery, or need less");
        Words::stands(format!(
            "{} of {} on the battery alone, essential loads",
            minutes(lasts, Round::Down),
            minutes(needs.value, Round::Up),
        ))
        .act(act)
        .remark(Some(needs.citation.clone()))
    });
}

/// How long the battery alone feeds what must stay on. A flat one feeds nothing, whatever is
/// known of it.
fn endurance<'a>(
    start: &Start,
    electrical: &'a Electrical,
    trace: &mut impl Trace,
) -> Result<Time, Gap<'a>> {
    let current = electrical.current(true);
    if current.si() <= 0.0 {
        return Err(Gap::Said("which loads must stay on is not given: mark them essential"));
    }
    if start.battery_flat {
        return Ok(Time::from_si(0.0));
    }
    electrical.endurance(current, trace).map(|found| found.time)
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
    if electrical.loads.is_empty() {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("what takes current is not given: add loads to [electrical]")
        });
    }
    let (load, bound) = (electrical.current(false), rated * part.value);
    sink.limit(id, Found::Measured(Measure::at_most(load, bound)), |_| {
        let ampere = |current: ElectricCurrent, round| show(current, unit::A, round);
        Words::stands(format!("{} of {}", ampere(load, Round::Up), ampere(bound, Round::Down)))
            .act(format!("leave {} off", ampere(load - bound, Round::Up)))
            .remark(Some(part.citation.clone()))
    });
}
