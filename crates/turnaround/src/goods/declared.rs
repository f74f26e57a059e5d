//! What the documents of a turnaround declare, judged once for every place a bag may be in.

use stillprop_rules::{
    goods::{Place, measured},
    pack::Exception,
    rules::Rules,
};

use super::{Answer, Goods, Heard, Judged, Thing, Unsure, screen};
use crate::document::{
    aircraft::Aircraft,
    turnaround::{Carried, Turnaround},
};

/// Where a declared thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bag {
    /// With a person, by index.
    Person(usize),
    /// In an item, by index.
    Item(usize),
}

/// A declared thing with its answers.
#[derive(Clone, Debug)]
pub struct Declared {
    /// The thing; its place is set for a thing with a person only.
    pub thing: Thing,
    /// Where it is.
    pub bag: Bag,
    /// The answer at each place, in the order of [`Place::ALL`].
    pub judged: [Judged; 4],
}

impl Declared {
    /// The answer when its bag lies in this place.
    #[must_use]
    pub fn at(&self, place: Place) -> &Judged {
        let place = self.thing.place.unwrap_or(place);
        let index = Place::ALL.iter().position(|one| *one == place).unwrap_or(0);
        &self.judged[index]
    }
}

/// What everybody said of dangerous goods.
#[derive(Clone, Debug, Default)]
pub struct Screening {
    /// Every declared thing.
    pub things: Vec<Declared>,
    /// People who were not asked, by index.
    pub people_unasked: Vec<usize>,
    /// Items that nobody asked about, by index.
    pub items_unasked: Vec<usize>,
    /// What each seat and locker is to the rules, in the order of the stage.
    pub place_of: Vec<Place>,
    /// Exceptions that may apply to a flight of this operation, with their pack.
    pub exceptions: Vec<(String, Exception)>,
}

impl Screening {
    /// Judges what the documents declare.
    #[must_use]
    pub fn of(turnaround: &Turnaround, aircraft: &Aircraft, rules: &Rules) -> Self {
        let seats = aircraft.seats.iter().map(|_| Place::Cabin);
        let lockers = aircraft.lockers.iter().map(|locker| match locker.reachable_in_flight {
            true => Place::Reachable,
            false => Place::Hold,
        });
        let unasked = |asked: Vec<bool>| (0..asked.len()).filter(|index| !asked[*index]).collect();
        let people = &turnaround.people;
        // Who holds an infant answers for it.
        let asked = people.iter().map(|one| one.carries.is_some() || one.held_by.is_some());
        let items = turnaround.items.iter().map(|item| item.contains.is_some());
        Self {
            people_unasked: unasked(asked.collect()),
            items_unasked: unasked(items.collect()),
            place_of: seats.chain(lockers).collect(),
            things: things(turnaround, rules),
            exceptions: super::exceptions(rules, Some(turnaround.operation)),
        }
    }

    /// The strictest answer of all that is declared, with the thing; the first of equals.
    #[must_use]
    pub fn worst(&self, place_of_item: &[usize]) -> Option<(&Declared, &Judged)> {
        let mut worst: Option<(&Declared, &Judged)> = None;
        for one in &self.things {
            let judged = one.at(self.place(one.bag, place_of_item));
            if worst.is_none_or(|(_, held)| judged.answer > held.answer) {
                worst = Some((one, judged));
            }
        }
        worst
    }

    /// Where a bag lies.
    #[must_use]
    pub fn place(&self, bag: Bag, place_of_item: &[usize]) -> Place {
        match bag {
            Bag::Person(_) => Place::Cabin,
            Bag::Item(index) => {
                let place = place_of_item.get(index).and_then(|place| self.place_of.get(*place));
                place.copied().unwrap_or(Place::Hold)
            }
        }
    }
}

fn things(turnaround: &Turnaround, rules: &Rules) -> Vec<Declared> {
    let people = turnaround.people.iter().enumerate().flat_map(|(index, person)| {
        let carries = person.carries.iter().flatten();
        carries.map(move |one| (Bag::Person(index), one, Some(&person.name.value)))
    });
    let items = turnaround.items.iter().enumerate().flat_map(|(index, item)| {
        let contains = item.contains.iter().flatten();
        contains.map(move |one| (Bag::Item(index), one, one.of.as_ref().map(|of| &of.value)))
    });
    let all: Vec<_> = people.chain(items).collect();
    if all.is_empty() {
        return Vec::new();
    }
    let goods = match Goods::of(rules) {
        Ok(goods) => goods,
        Err(why) => {
            return all.into_iter().map(|(bag, one, of)| unread(bag, one, of, &why)).collect();
        }
    };
    let ears = goods.ears();
    let things: Vec<(Bag, Thing)> = all
        .into_iter()
        .map(|(bag, one, of)| (bag, thing(ears.hear(&one.what.value), bag, one, of)))
        .collect();
    let at = |place: Place| {
        let put = |(_, thing): &(Bag, Thing)| Thing { place: Some(place), ..thing.clone() };
        let things: Vec<Thing> = things.iter().map(put).collect();
        screen(&goods, &things)
    };
    let [person, cabin, reachable, hold] =
        [Place::Person, Place::Cabin, Place::Reachable, Place::Hold].map(at);
    let judged = person.into_iter().zip(cabin).zip(reachable).zip(hold);
    let judged =
        judged.map(|(((person, cabin), reachable), hold)| [person, cabin, reachable, hold]);
    things
        .into_iter()
        .zip(judged)
        .map(|((bag, thing), judged)| Declared { thing, bag, judged })
        .collect()
}

/// A thing whose table cannot be read: unknown everywhere.
fn unread(bag: Bag, one: &Carried, of: Option<&String>, why: &str) -> Declared {
    let item = Err(Unsure { why: why.to_owned(), may_be: Vec::new(), forbidden: false });
    let heard = Heard { item, each: None, count: None };
    let judged = || Judged {
        answer: Answer::Unknown,
        reasons: vec![why.to_owned()],
        conditions: Vec::new(),
        grounds: Vec::new(),
    };
    let judged = [judged(), judged(), judged(), judged()];
    Declared { thing: thing(heard, bag, one, of), bag, judged }
}

fn thing(heard: Heard, bag: Bag, one: &Carried, of: Option<&String>) -> Thing {
    let each = one.each.as_ref().and_then(|each| measured(&each.value).ok()).or(heard.each);
    let place = match bag {
        Bag::Person(_) if one.on_person => Some(Place::Person),
        Bag::Person(_) => Some(Place::Cabin),
        Bag::Item(_) => None,
    };
    Thing {
        said: one.what.value.clone(),
        item: heard.item,
        each,
        count: one.count.as_ref().map(|count| count.value).or(heard.count),
        place,
        of: of.cloned(),
        approved: one.approved,
    }
}

impl Declared {
    /// True when the thing may come where its bag lies.
    #[must_use]
    pub fn may_come(&self, place: Place) -> bool {
        self.at(place).answer.may_come()
    }

    /// What is wrong with it there, in a sentence.
    #[must_use]
    pub fn trouble(&self, place: Place) -> String {
        let judged = self.at(place);
        let whose = self.thing.of.as_ref().map_or(String::new(), |of| format!(" of {of}"));
        let why = judged.reasons.first().map_or("", String::as_str);
        format!("`{}`{whose}: {}: {why}", self.thing.said, judged.answer.word())
    }
}

/// The answer that a limit takes from the strictest of all.
#[must_use]
pub(crate) fn stands(worst: Option<Answer>) -> Option<bool> {
    match worst {
        Some(Answer::Forbidden) => Some(false),
        Some(Answer::Unknown | Answer::Approval) => None,
        Some(Answer::Allowed | Answer::Conditions) | None => Some(true),
    }
}
