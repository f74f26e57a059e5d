//! People, what they carry and what is loaded: what their shape cannot say.

use stillprop_calc::{bounds::Bounds, load, unit};
use stillprop_rules::goods::measured;

use super::Findings;
use crate::document::{
    aircraft::Due,
    turnaround::{Carried, Item, MassKnown, Need, Person, Role, Turnaround},
};

pub(super) fn check(document: &Turnaround, f: &mut Findings) {
    let names: Vec<&str> =
        document.people.iter().map(|person| person.name.value.as_str()).collect();
    people(&document.people, f);
    items(&document.items, &names, f);
    told(document, f);
    let legs: Vec<&str> = document.legs.iter().map(|leg| leg.name.value.as_str()).collect();
    let to = document.people.iter().filter_map(|person| person.to.as_ref());
    for to in to.chain(document.items.iter().filter_map(|item| item.to.as_ref())) {
        f.known("leg", to, &legs);
    }
}

fn people(people: &[Person], f: &mut Findings) {
    f.distinct("person", people.iter().map(|person| &person.name));
    let mut taken: Vec<(&str, &str)> = Vec::new();
    let names: Vec<&str> = people.iter().map(|person| person.name.value.as_str()).collect();
    for person in people {
        f.range_if(person.mass.as_ref(), &load::MASS);
        if let Some(seat) = &person.seat {
            if let Some((_, other)) = taken.iter().find(|(label, _)| *label == seat.value) {
                let message = format!(
                    "`{}` and `{other}` are both on seat {}",
                    person.name.value, seat.value
                );
                f.add(&seat.at, message, "give each person a seat of their own");
            }
            taken.push((&seat.value, &person.name.value));
        }
        if let Some(holder) = &person.held_by {
            f.known("person", holder, &names);
            if holder.value == person.name.value {
                f.add(&holder.at, "nobody can hold themselves", "name another person");
            }
        }
        match (&person.seat, &person.held_by) {
            (Some(_), Some(holder)) => {
                f.add(&holder.at, "a person has a seat and is held", "give one of the two");
            }
            (None, None) => {
                f.add(&person.name.at, "a person without a place", "add seat = \"...\"");
            }
            _ => {}
        }
        helped(person, people, &names, f);
        standard_mass(person, f);
        if person.needs.contains(&Need::Language) && person.language.is_none() {
            f.add(
                &person.name.at,
                "a need for another language, and no language",
                "add language = \"...\"",
            );
        }
        carried(person.carries.as_deref(), &names, f);
        if let Some(carried) = person.carries.iter().flatten().find_map(|one| one.of.as_ref()) {
            f.add(&carried.at, "what a person carries is theirs", "take `of` out");
        }
    }
}

/// Whoever helps is aboard, needs no help of their own, and is not the one who is helped.
fn helped(person: &Person, people: &[Person], names: &[&str], f: &mut Findings) {
    let Some(helper) = &person.helped_by else { return };
    f.known("person", helper, names);
    if helper.value == person.name.value {
        f.add(&helper.at, "nobody can help themselves here", "name another person");
    }
    let other = people.iter().find(|other| other.name.value == helper.value);
    let cannot = |need: &Need| matches!(need, Need::Mobility | Need::ChildAlone);
    if other.is_some_and(|other| other.held_by.is_some() || other.needs.iter().any(cannot)) {
        f.add(&helper.at, "whoever helps needs help too", "name somebody who can help");
    }
}

/// Who is told of the flight: each once, and not to act before it begins.
fn told(document: &Turnaround, f: &mut Findings) {
    f.distinct("person who is told", document.tell.iter().map(|tell| &tell.who));
    for tell in &document.tell {
        if let Some(alarm) =
            tell.alarm.as_ref().filter(|it| it.value.instant <= document.departs.instant)
        {
            let message = "help would be called before the flight begins";
            f.add(&alarm.at, message, "give a time after the last landing");
        }
    }
}

fn standard_mass(person: &Person, f: &mut Findings) {
    match (person.known.value, &person.mass, &person.class) {
        (MassKnown::Standard, Some(mass), _) => f.add(
            &mass.at,
            "a mass is given although the standard mass is to be used",
            "say known = \"weighed\" or \"stated\", or leave the mass out",
        ),
        (MassKnown::Standard, None, None) if person.role == Role::Passenger => f.add(
            &person.known.at,
            "a standard mass needs a class",
            "add class = \"man\", \"woman\", \"adult\", \"child\" or \"infant\"",
        ),
        _ => {}
    }
}

fn items(items: &[Item], names: &[&str], f: &mut Findings) {
    for item in items {
        if item.what.value.trim().is_empty() {
            f.add(&item.what.at, "an item without a name", "say what it is");
        }
        f.range_if(item.mass.as_ref(), &load::MASS);
        if item.known.value == MassKnown::Standard {
            f.add(&item.known.at, "an item has no standard mass", "weigh it, or say it is stated");
        }
        carried(item.contains.as_deref(), names, f);
        if let Some(one) = item.contains.iter().flatten().find(|one| one.on_person) {
            f.add(&one.what.at, "what is in a bag is not on a person", "list it under the person");
        }
    }
}

/// Accepted hours of use. Ours.
const HOURS: Bounds = Bounds::new("the hours of use", 0.0, 100_000.0, unit::H);
/// Accepted resistances of a lead. Ours.
const RESISTANCE: Bounds = Bounds::new("the resistance", 0.0, 1e9, unit::OHM);

/// Things that fall due: their names, and a measure of what is measured.
pub(super) fn due(due: &[Due], f: &mut Findings) {
    f.distinct("thing that falls due", due.iter().map(|due| &due.what));
    for one in due {
        for hours in [&one.used, &one.used_most] {
            f.range_if(hours.as_ref(), &HOURS);
        }
        for resistance in [&one.resistance, &one.resistance_most] {
            f.range_if(resistance.as_ref(), &RESISTANCE);
        }
        if one.lets.is_some() && one.of.is_none() {
            let help = "add of = \"...\", the name of the person";
            f.add(&one.what.at, "something that lets nobody do it", help);
        }
        if let (Some(used), None) = (&one.used, &one.used_most) {
            f.add(&used.at, "hours of use without their limit", "add used_most = \"...\"");
        }
        if let (Some(measured), None) = (&one.resistance, &one.resistance_most) {
            let help = "add resistance_most = \"...\"";
            f.add(&measured.at, "a resistance without its limit", help);
        }
    }
}

/// Dangerous goods: sizes that can be read, owners that are aboard.
fn carried(carried: Option<&[Carried]>, names: &[&str], f: &mut Findings) {
    for one in carried.unwrap_or_default() {
        if one.what.value.trim().is_empty() {
            f.add(&one.what.at, "a thing without a name", "say what it is in everyday words");
        }
        if let Some(each) = &one.each
            && let Err((message, help)) = measured(&each.value)
        {
            f.add(&each.at, message, help);
        }
        if let Some(count) = one.count.as_ref().filter(|count| count.value == 0) {
            f.add(&count.at, "none of a thing is no thing", "take it out of the list");
        }
        if let Some(of) = &one.of {
            f.known("person", of, names);
        }
    }
}
