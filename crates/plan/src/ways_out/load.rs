//! Other seats and lockers, and what stays behind.

use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit,
};
use stillprop_turnaround::{
    document::turnaround::Role,
    stage::{Choice, Stage},
    units::Round,
};

use super::{Burden, Case, Edit, Kind, Way, steps};

/// Limits that the load may mend.
const OF_LOAD: [&str; 4] = ["load.", "strip.", "people.", "fuel.imbalance"];
/// Moves that are tried two at a time. Ours: more take a search too long.
const MOST_MOVES: usize = 400;

/// A person or an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Who {
    Person(usize),
    Item(usize),
}

/// One of them goes to another place.
#[derive(Clone, Copy, Debug)]
struct Move {
    who: Who,
    from: usize,
    to: usize,
}

impl Move {
    fn work(&self, choice: &mut Choice) {
        match self.who {
            Who::Person(person) => choice.seat_of[person] = Some(self.to),
            Who::Item(item) => choice.place_of[item] = self.to,
        }
    }

    fn edit(&self, stage: &Stage) -> Edit {
        let to = stage.places[self.to].label.clone();
        match self.who {
            Who::Person(person) => Edit::Sit(person, to),
            Who::Item(item) => Edit::Stow(item, to),
        }
    }

    fn words(&self, stage: &Stage) -> String {
        let (from, to) = (&stage.places[self.from].label, &stage.places[self.to].label);
        match self.who {
            Who::Person(who) => {
                format!("seat {} in {to} instead of {from}", stage.people[who].name)
            }
            Who::Item(item) => {
                let tied = if stage.places[self.to].seat.is_some() { ", tied down" } else { "" };
                format!("move the {} from {from} to {to}{tied}", stage.items[item].what)
            }
        }
    }
}

/// Every person to every other seat, every item to every other place, whoever is there.
fn moves(stage: &Stage, choice: &Choice) -> Vec<Move> {
    let mut all = Vec::new();
    let places = || 0..stage.places.len();
    for (person, seat) in choice.seat_of.iter().enumerate() {
        let Some(from) = *seat else { continue };
        let seats = places().filter(|to| *to != from && stage.places[*to].seat.is_some());
        all.extend(seats.map(|to| Move { who: Who::Person(person), from, to }));
    }
    for (item, from) in choice.place_of.iter().copied().enumerate() {
        let to = places().filter(|to| *to != from);
        all.extend(to.map(|to| Move { who: Who::Item(item), from, to }));
    }
    all
}

/// What is in each place: nobody sits on another or on an item.
fn has_room(choice: &Choice, to: usize) -> bool {
    let sitting = choice.seat_of.iter().filter(|seat| **seat == Some(to)).count();
    sitting == 0 || sitting == 1 && !choice.place_of.contains(&to)
}

/// The fewest moves that mend; of so few, the ones that leave the widest smallest margin.
pub(super) fn seats(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&OF_LOAD) {
        return None;
    }
    let mut all = moves(&case.stage, &case.choice);
    let mut best: Option<(f64, Vec<Move>)> = None;
    for one in &all {
        consider(case, &[*one], &mut best);
    }
    if best.is_none() {
        all.truncate(MOST_MOVES);
        for (index, a) in all.iter().enumerate() {
            for b in all[index + 1..].iter().filter(|b| a.who != b.who) {
                consider(case, &[*a, *b], &mut best);
            }
        }
    }
    let (_, moves) = best?;
    let stage = &case.stage;
    let words = match moves.as_slice() {
        [
            Move { who: Who::Person(a), from, to },
            Move { who: Who::Person(b), from: other, to: there },
        ] if from == there && to == other => {
            format!("have {} and {} change seats", stage.people[*a].name, stage.people[*b].name)
        }
        some => some.iter().map(|each| each.words(stage)).collect::<Vec<_>>().join(", and "),
    };
    Some(Way {
        kind: Kind::Seats,
        words,
        remark: None,
        edits: moves.iter().map(|each| each.edit(stage)).collect(),
        #[expect(clippy::cast_precision_loss, reason = "two at most")]
        burden: Burden { moves: moves.len() as f64, ..Burden::default() },
        tightest: None,
    })
}

/// Keeps moves that mend and leave a wider smallest margin than the best.
fn consider(case: &mut Case<'_>, moves: &[Move], best: &mut Option<(f64, Vec<Move>)>) {
    let mut trial = case.choice.clone();
    moves.iter().for_each(|each| each.work(&mut trial));
    if moves.iter().all(|each| has_room(&trial, each.to))
        && let Some(share) = case.bar.mends(&case.stage, &trial)
        && best.as_ref().is_none_or(|(widest, _)| share > *widest)
    {
        *best = Some((share, moves.to_vec()));
    }
}

/// The least of one item that must stay behind, in whole units; where no single item is enough, whole
/// items.
pub(super) fn leave(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&OF_LOAD) {
        return None;
    }
    let mut parts: Vec<(usize, usize)> = Vec::new();
    for item in 0..case.stage.items.len() {
        parts.extend(least_of(case, item).map(|least| (least, item)));
    }
    let unit = case.units.mass;
    #[expect(clippy::cast_precision_loss, reason = "steps of a mass")]
    let mass = |least: usize| Mass::of(least as f64, unit);
    // The last unit of an item may be less than one.
    let left = |(least, item): &(usize, usize)| {
        let all = case.stage.items[*item].mass.as_ref();
        all.map_or(f64::INFINITY, |all| mass(*least).min(*all).value)
    };
    parts.sort_by(|a, b| left(a).total_cmp(&left(b)));
    let Some((least, item)) = parts.first().copied() else { return whole_items(case) };
    let what = |item: usize| case.stage.items[item].what.as_str();
    let all = case.stage.items[item].mass.as_ref().ok().copied()?;
    let said = |least: usize, item: usize| {
        let whole = case.stage.items[item].mass.as_ref().is_ok_and(|all| mass(least) >= *all);
        match whole {
            true => format!("the {}", what(item)),
            false => format!("{} of the {}", case.units.mass(mass(least), Round::Up), what(item)),
        }
    };
    let others = parts[1..].iter().take(2).map(|(least, item)| said(*least, *item));
    let others: Vec<String> = others.collect();
    let edit = if mass(least) >= all {
        Edit::LeaveItem(item)
    } else {
        Edit::Lighten(item, all - mass(least))
    };
    let burden = Burden { kilograms: mass(least).min(all).count(unit::KG), ..Burden::default() };
    Some(Way {
        kind: Kind::Leave,
        words: format!("leave {} behind", said(least, item)),
        remark: (!others.is_empty()).then(|| format!("{} would do as well", others.join(", or "))),
        edits: vec![edit],
        burden,
        tightest: None,
    })
}

/// Whole units of an item that must stay behind at least.
fn least_of(case: &mut Case<'_>, item: usize) -> Option<usize> {
    let all = case.stage.items[item].mass.as_ref().ok().copied()?;
    let unit = case.units.mass;
    let mut stage = case.stage.clone();
    (1..=steps(all, unit)).find(|least| {
        #[expect(clippy::cast_precision_loss, reason = "steps of a mass")]
        let left = all - Mass::of(*least as f64, unit);
        stage.items[item].mass = Ok(left.max(Mass::from_si(0.0)));
        case.bar.mends(&stage, &case.choice).is_some()
    })
}

/// Items beyond this many are not combined. Ours: 2^12 ways are tried in an instant.
const MOST_ITEMS: usize = 12;

/// The lightest set of whole items.
fn whole_items(case: &mut Case<'_>) -> Option<Way> {
    let items = case.stage.items.len().min(MOST_ITEMS);
    let masses: Vec<Mass> = case
        .stage
        .items
        .iter()
        .map(|item| item.mass.as_ref().ok().copied())
        .collect::<Option<_>>()?;
    let members = |set: usize| (0..items).filter(move |item| set >> item & 1 == 1);
    let weight = |set: usize| members(set).map(|item| masses[item]).sum::<Mass>();
    let mut sets: Vec<usize> = (1..1_usize << items).collect();
    sets.sort_by(|a, b| weight(*a).value.total_cmp(&weight(*b).value));
    let mut stage = case.stage.clone();
    let set = sets.into_iter().find(|set| {
        for (item, mass) in masses.iter().enumerate().take(items) {
            let left = if set >> item & 1 == 1 { Mass::from_si(0.0) } else { *mass };
            stage.items[item].mass = Ok(left);
        }
        case.bar.mends(&stage, &case.choice).is_some()
    })?;
    let names: Vec<String> =
        members(set).map(|item| format!("the {}", case.stage.items[item].what)).collect();
    Some(Way {
        kind: Kind::Leave,
        words: format!("leave {} behind", names.join(" and ")),
        remark: None,
        // From the last, so that the numbers of the others stay.
        edits: members(set).collect::<Vec<_>>().into_iter().rev().map(Edit::LeaveItem).collect(),
        burden: Burden { kilograms: weight(set).count(unit::KG), ..Burden::default() },
        tightest: None,
    })
}

/// Each passenger who may stay behind, the lightest first. Nothing is judged: the limits of a
/// person go with them, so only the changed documents can say.
pub(super) fn leave_person(case: &Case<'_>) -> Vec<Way> {
    if !case.is_of(&OF_LOAD) {
        return Vec::new();
    }
    let people = &case.stage.people;
    let alone = |index: &usize| {
        let person = &people[*index];
        let holds = people.iter().any(|other| other.held_by == Some(*index));
        person.role == Role::Passenger && person.held_by.is_none() && !holds
    };
    let known = |index: usize| Some((index, *people[index].mass.as_ref().ok()?));
    let mut all: Vec<(usize, Mass)> = (0..people.len()).filter(alone).filter_map(known).collect();
    all.sort_by(|a, b| a.1.value.total_cmp(&b.1.value));
    let way = |(index, mass): (usize, Mass)| Way {
        kind: Kind::LeavePerson,
        words: format!("fly {} on another trip", people[index].name),
        remark: None,
        edits: vec![Edit::LeavePerson(index)],
        burden: Burden { people: 1.0, kilograms: mass.count(unit::KG), ..Burden::default() },
        tightest: None,
    };
    all.into_iter().map(way).collect()
}
