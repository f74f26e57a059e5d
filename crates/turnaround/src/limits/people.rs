//! `people.*`: someone to fly, a seat and a belt for everyone, masses the pack accepts, everybody
//! asked about dangerous goods and nothing aboard that may not come.

use super::{Family, Found, Id, Sink, Words, load::seat_of};
use crate::{
    document::turnaround::{MassKnown, Role},
    goods::stands,
    stage::{Choice, Stage},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    pilot(stage, choice, sink);
    seats(stage, choice, sink);
    belts(stage, choice, sink);
    mass_basis(stage, sink);
    screened(stage, sink);
    goods(stage, choice, sink);
}

fn pilot<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let flies = |index: usize| {
        let seat = choice.seat_of[index].and_then(|seat| stage.places[seat].seat);
        stage.people[index].role == Role::Pilot && seat.is_some_and(|seat| seat.controls)
    };
    let on = |leg: usize| {
        (0..stage.people.len()).find(|index| flies(*index) && stage.leaves.rides(*index, leg))
    };
    // Whoever flies the first leg may leave before the last.
    let without = (0..=stage.leaves.last).find(|leg| on(*leg).is_none());
    let id = Id::new(Family::People, "pilot");
    sink.limit(id, Found::Condition(without.is_none()), |_| match (on(0), without) {
        (Some(index), None) => {
            Words::stands(format!("{} at the controls", stage.people[index].name))
        }
        (Some(index), Some(leg)) => {
            let leg = super::load::leg_name(stage, leg);
            let name = &stage.people[index].name;
            Words::stands(format!("nobody on the leg to {leg}"))
                .act(format!("{name} leaves before it, and no other pilot is at the controls"))
        }
        (None, _) => Words::stands("nobody").act("no pilot sits at a seat with controls"),
    });
}

fn seats<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let without = (0..stage.people.len()).find(|person| seat_of(stage, choice, *person).is_none());
    let held_twice =
        holders(stage).find(|holder| holders(stage).filter(|h| h == holder).count() > 1);
    let left = (0..stage.people.len()).find(|person| {
        let last = |person: usize| stage.leaves.people.get(person);
        stage.people[*person].held_by.is_some_and(|holder| last(holder) < last(*person))
    });
    let holds = without.is_none() && held_twice.is_none() && left.is_none();
    sink.limit(Id::new(Family::People, "seats"), Found::Condition(holds), |_| {
        let count = stage.people.len();
        let seats = stage.places.iter().filter(|place| place.seat.is_some()).count();
        let words = Words::stands(format!("{count} aboard, {seats} seats"));
        match (without, held_twice) {
            (Some(person), _) => words.act(format!("{} has no place", stage.people[person].name)),
            (_, Some(holder)) => {
                words.act(format!("{} holds more than one infant", stage.people[holder].name))
            }
            _ => match left {
                Some(person) => {
                    let name = &stage.people[person].name;
                    words.act(format!("whoever holds {name} leaves before {name} does"))
                }
                None => words,
            },
        }
    });
}

fn holders(stage: &Stage) -> impl Iterator<Item = usize> + '_ {
    stage.people.iter().filter_map(|person| person.held_by)
}

fn belts<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let unbelted = (0..stage.people.len()).find(|person| {
        let seat = choice.seat_of[*person].and_then(|seat| stage.places[seat].seat);
        seat.is_some_and(|seat| !seat.belt)
    });
    let held = stage.people.iter().any(|person| person.held_by.is_some());
    sink.limit(Id::new(Family::People, "belts"), Found::Condition(unbelted.is_none()), |_| {
        let remark = held.then(|| {
            "an infant is held: read the rule on infants and on child restraints".to_owned()
        });
        match unbelted {
            None => Words::stands("a belt for everyone with a seat").remark(remark),
            Some(person) => Words::stands("not for everyone")
                .act(format!("the seat of {} has no belt", stage.people[person].name))
                .remark(remark),
        }
    });
}

/// Standard masses only where the pack allows them; every mass known.
fn mass_basis<S: Sink>(stage: &Stage, sink: &mut S) {
    let id = Id::new(Family::People, "mass-basis");
    let standard = stage.people.iter().any(|person| person.known == MassKnown::Standard);
    if standard {
        match &stage.figures.standard_mass_allowed {
            Err(why) => return sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
            Ok((false, citation)) => {
                return sink.limit(id, Found::Condition(false), |_| {
                    Words::stands("standard masses are used")
                        .act("weigh everyone, or ask: the pack does not allow standard masses here")
                        .remark(Some(citation.clone()))
                });
            }
            Ok((true, _)) => {}
        }
    }
    let unknown = stage.people.iter().find_map(|person| person.mass.as_ref().err());
    match unknown {
        Some(why) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        None => sink.limit(id, Found::Condition(true), |_| Words::stands(basis(stage))),
    }
}

fn basis(stage: &Stage) -> String {
    let count = |known| stage.people.iter().filter(|person| person.known == known).count();
    let parts = [
        (count(MassKnown::Weighed), "weighed"),
        (count(MassKnown::Stated), "stated"),
        (count(MassKnown::Standard), "standard"),
    ];
    let said: Vec<_> = parts
        .iter()
        .filter(|part| part.0 > 0)
        .map(|part| format!("{} {}", part.0, part.1))
        .collect();
    if said.is_empty() { "nobody aboard".into() } else { said.join(", ") }
}

/// Everybody and every bag asked, where the pack demands it.
fn screened<S: Sink>(stage: &Stage, sink: &mut S) {
    let Ok((false, citation)) = &stage.figures.unscreened_allowed else { return };
    let id = Id::new(Family::People, "screened");
    let screening = &stage.screening;
    let person = screening.people_unasked.first().and_then(|index| stage.people.get(*index));
    let item = screening.items_unasked.first().and_then(|index| stage.items.get(*index));
    let found = match (person, item) {
        (None, None) => Found::Condition(true),
        _ => Found::Unknown,
    };
    sink.limit(id, found, |_| {
        let remark = Some(citation.clone());
        match (person, item) {
            (Some(person), _) => {
                let who = &person.name;
                Words::missing(format!("what dangerous goods {who} carries was not asked"))
            }
            (_, Some(item)) => {
                let what = &item.what;
                Words::missing(format!("what dangerous goods are in `{what}` was not asked"))
            }
            _ => Words::stands("everybody and every bag asked"),
        }
        .remark(remark)
    });
}

/// What is declared may come, each thing where it lies.
fn goods<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let screening = &stage.screening;
    let Some((thing, judged)) = screening.worst(&choice.place_of) else { return };
    let found = match stands(Some(judged.answer)) {
        Some(holds) => Found::Condition(holds),
        None => Found::Unknown,
    };
    let place = screening.place(thing.bag, &choice.place_of);
    sink.limit(Id::new(Family::People, "goods"), found, |_| {
        let source = judged.grounds.first().map(|ground| {
            format!("{} ({}, read: {})", ground.citation, ground.status, ground.read)
        });
        match found {
            Found::Unknown => Words::missing(thing.trouble(place)),
            Found::Condition(false) => Words::stands("something that may not come")
                .act(format!("leave it here; {}", thing.trouble(place))),
            _ => Words::stands(format!("{} declared, may come", screening.things.len())),
        }
        .remark(source)
    });
}
