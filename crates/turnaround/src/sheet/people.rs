//! What documents and pack say of people, for the contents of a sheet.

use super::{
    Facts,
    facts::{Someone, Start},
};
use crate::{
    document::{aircraft::Lets, turnaround::Role},
    limits::due::last_day,
    manifest,
    stage::{Choice, Stage},
};

/// Fills in who is briefed, asked and told, and who may do what.
pub(super) fn fill(facts: &mut Facts, stage: &Stage, choice: &Choice) {
    facts.riders = riders(stage, choice);
    facts.ask_goods = match &stage.figures.unscreened_allowed {
        Ok((false, citation)) => Some(citation.clone()),
        _ => None,
    };
    let items = stage.screening.items_unasked.iter().filter_map(|index| stage.items.get(*index));
    facts.unasked = items.map(|item| item.what.clone()).collect();
    facts.tell = stage
        .documents
        .turnaround
        .tell
        .iter()
        .map(|tell| Someone {
            name: tell.who.value.clone(),
            notes: vec![manifest::of_flight(stage, choice, tell)],
        })
        .collect();
    facts.may_fuel = may(stage, choice, Lets::Fuel, None, "take fuel");
    let swings = stage.start.at_propeller.as_deref().unwrap_or(&facts.pilot.name);
    let swings = Some(swings).filter(|_| facts.start == Start::Hand);
    facts.may_swing = may(stage, choice, Lets::Swing, swings, "swing the propeller");
}

/// Passengers who can be told something, each with their place and what they need.
fn riders(stage: &Stage, choice: &Choice) -> Vec<Someone> {
    let people = stage.people.iter().enumerate();
    let riders = people.filter(|(_, one)| one.role == Role::Passenger && one.held_by.is_none());
    riders
        .map(|(index, person)| {
            let seat = choice.seat_of.get(index).copied().flatten();
            let seat = seat.and_then(|seat| stage.places.get(seat));
            let mut notes: Vec<String> =
                seat.map(|seat| format!("seat {}", seat.label)).into_iter().collect();
            let told = manifest::of_people(stage);
            let told = told.into_iter().filter(|told| told.who == person.name);
            notes.extend(told.map(|told| told.what));
            let helper = stage.documents.turnaround.people.get(index);
            let helper = helper.and_then(|person| person.helped_by.as_ref());
            notes.extend(helper.map(|helper| format!("helped by {}", helper.value)));
            Someone { name: person.name.clone(), notes }
        })
        .collect()
}

/// Who may do something by the documents, until when; and that it is unknown of one who will.
fn may(stage: &Stage, choice: &Choice, lets: Lets, who: Option<&str>, what: &str) -> Vec<String> {
    let day = last_day(stage, choice);
    let all = stage.due.iter().filter(|due| due.lets == Some(lets));
    let mut said: Vec<String> = all
        .map(|due| {
            let of = due.of.as_deref().unwrap_or("somebody");
            match due.until {
                Some(until) if until < day => {
                    format!("{of} may NOT {what}: {} ran out on {until}", due.what)
                }
                Some(until) => format!("{of} may {what}: {}, good to {until}", due.what),
                None => format!(
                    "unknown whether {of} may {what}: the date of {} is not given",
                    due.what
                ),
            }
        })
        .collect();
    let owns = |due: &crate::stage::DueDate| due.lets == Some(lets) && due.of.as_deref() == who;
    if let Some(who) = who.filter(|_| !stage.due.iter().any(owns)) {
        said.push(format!("unknown whether {who} may {what}: no document says so, nor until when"));
    }
    said
}
