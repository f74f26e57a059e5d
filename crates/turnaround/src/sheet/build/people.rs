//! People: who on the ground is told of the flight, who is asked about dangerous goods, briefed
//! and led aboard. Each of the first three is a hold point whose reading names everybody with the
//! time: one task and one proof for any number of people.

use super::{Draft, start};
use crate::sheet::{
    facts::{Facts, Someone, Start},
    flag::Flag,
    reading::{Deed, Reads},
    task::{Phase, Task},
};

/// The names, and for each what there is to know.
fn names(people: &[Someone]) -> (Vec<String>, Vec<String>) {
    let note = |one: &Someone| format!("{}: {}", one.name, one.notes.join("; "));
    let notes = people.iter().filter(|one| !one.notes.is_empty()).map(note);
    (people.iter().map(|one| one.name.clone()).collect(), notes.collect())
}

/// Whom the documents name for each deed.
pub(super) fn named(facts: &Facts) -> Vec<(Deed, Vec<String>)> {
    let riders = names(&riders(facts)).0;
    let asked = if facts.ask_goods.is_some() { riders.clone() } else { Vec::new() };
    vec![(Deed::Briefed, riders), (Deed::Asked, asked), (Deed::Told, names(&facts.tell).0)]
}

/// Who is briefed: passengers, also one who swings and boards last.
fn riders(facts: &Facts) -> Vec<Someone> {
    let swings = facts.second.as_ref().filter(|_| start::way(facts) == Start::Hand);
    let swings = swings.map(|second| second.name.as_str());
    let rides = |one: &&Someone| facts.expected || Some(one.name.as_str()) == swings;
    facts.riders.iter().filter(rides).cloned().collect()
}

/// Whether the second person, who boards by a task of their own, is briefed as a passenger.
pub(super) fn second_is_rider(facts: &Facts) -> bool {
    let is = |second: &crate::sheet::Worker| facts.riders.iter().any(|it| it.name == second.name);
    facts.second_rides && facts.second.as_ref().is_some_and(is)
}

/// Who on the ground is told; gives the place of the task.
pub(super) fn tell(draft: &mut Draft<'_>) -> Option<usize> {
    if draft.facts.tell.is_empty() {
        return None;
    }
    let (people, notes) = names(&draft.facts.tell);
    let title = format!("Tell of the flight: {}", people.join(", "));
    let tell = Task::new("tell", Phase::People, title)
        .why("whoever was told is the one who misses you")
        .notes(notes)
        .note(
            "not reached, and nobody else will do: take them out of the document, and say so there",
        )
        .holds(Reads::Named { deed: Deed::Told, people })
        .on(&[Flag::Walked]);
    Some(draft.add(tell))
}

/// Asked, where the rules want it, and told what they must know; gives the place of the last task.
pub(super) fn brief(draft: &mut Draft<'_>) -> Option<usize> {
    let (people, notes) = names(&riders(draft.facts));
    if people.is_empty() {
        return None;
    }
    let mut first = draft.tasks.iter().position(|task| task.id == "people-off");
    if let Some(rule) = &draft.facts.ask_goods {
        let mut ask = Task::new(
            "ask-goods",
            Phase::People,
            "Ask each what dangerous goods are on them and in their bags; show the list",
        )
        .why("nobody thinks of a lighter, a power bank or a gas cartridge as dangerous")
        .note(format!("asked for by {rule}"))
        .notes(unasked(draft.facts))
        .holds(Reads::Named { deed: Deed::Asked, people: people.clone() })
        .on(&[Flag::Walked]);
        if let Some(first) = first {
            ask = ask.after(first);
        }
        first = Some(draft.add(ask));
    }
    let mut brief = Task::new(
        "brief",
        Phase::People,
        "Brief each passenger at the gate: belts, doors, way to walk, and the rest of the card",
    )
    .why("in the cabin nobody listens, and near the propeller it is too late")
    .notes(notes)
    .note("somebody comes late: into the document first, then briefed before they board")
    .holds(Reads::Named { deed: Deed::Briefed, people })
    .on(&[Flag::Walked])
    .sets(&[Flag::Briefed]);
    if let Some(first) = first {
        brief = brief.after(first);
    }
    Some(draft.add(brief))
}

fn unasked(facts: &Facts) -> Vec<String> {
    let note = |item: &String| format!("nobody has asked what is in it: {item}");
    facts.unasked.iter().map(note).collect()
}

/// Aboard with the propeller still; gives the place of the task.
pub(super) fn board(draft: &mut Draft<'_>) -> Option<usize> {
    if !draft.facts.expected {
        return None;
    }
    Some(
        draft.add(
            Task::new(
                "board",
                Phase::People,
                "Lead them to the door the marked way; belts fastened",
            )
            .why("they follow whoever goes first, and the shortest way is through the propeller")
            .on(&[Flag::Briefed])
            .off(&[Flag::GearOut, Flag::EngineRuns])
            .sets(&[Flag::Aboard])
            .boards(),
        ),
    )
}
