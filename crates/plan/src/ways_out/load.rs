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
/// Moves that are tried two at a time. Ours: more would take a person longer to do than to leave
/// something behind.
const MOST_MOVES: usize = 240;

/// One move of people or items, and how one says it.
#[derive(Clone)]
struct Move {
    edits: Vec<Edit>,
    words: String,
    moved: usize,
    apply: Vec<(Who, usize)>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Who {
    Person(usize),
    Item(usize),
}

impl Move {
    fn work(&self, choice: &mut Choice) {
        for (who, place) in &self.apply {
            match who {
                Who::Person(person) => choice.seat_of[*person] = Some(*place),
                Who::Item(item) => choice.place_of[*item] = *place,
            }
        }
    }

    /// Both touch the same person or item.
    fn meets(&self, other: &Self) -> bool {
        self.apply.iter().any(|(who, _)| other.apply.iter().any(|(also, _)| who == also))
    }
}

/// Every swap of two people, move to an empty seat, and move of an item.
fn moves(stage: &Stage, choice: &Choice) -> Vec<Move> {
    let mut all = Vec::new();
    let label = |place: usize| stage.places[place].label.clone();
    let name = |person: usize| &stage.people[person].name;
    let seated: Vec<(usize, usize)> =
        choice.seat_of.iter().enumerate().filter_map(|(who, seat)| Some((who, (*seat)?))).collect();
    for (index, (a, at)) in seated.iter().enumerate() {
        for (b, there) in &seated[index + 1..] {
            all.push(Move {
                edits: vec![Edit::Sit(*a, label(*there)), Edit::Sit(*b, label(*at))],
                words: format!("have {} and {} change seats", name(*a), name(*b)),
                moved: 2,
                apply: vec![(Who::Person(*a), *there), (Who::Person(*b), *at)],
            });
        }
    }
    let taken = |place: usize| {
        seated.iter().any(|(_, seat)| *seat == place) || choice.place_of.contains(&place)
    };
    let seats = (0..stage.places.len()).filter(|place| stage.places[*place].seat.is_some());
    for free in seats.filter(|seat| !taken(*seat)) {
        for (who, from) in &seated {
            all.push(Move {
                edits: vec![Edit::Sit(*who, label(free))],
                words: format!(
                    "seat {} in {} instead of {}",
                    name(*who),
                    label(free),
                    label(*from)
                ),
                moved: 1,
                apply: vec![(Who::Person(*who), free)],
            });
        }
    }
    for (item, from) in choice.place_of.iter().enumerate() {
        let sat_in = |place: usize| seated.iter().any(|(_, seat)| *seat == place);
        for to in (0..stage.places.len()).filter(|to| to != from && !sat_in(*to)) {
            let seat = stage.places[to].seat.is_some();
            let tied = if seat { ", tied down" } else { "" };
            all.push(Move {
                edits: vec![Edit::Stow(item, label(to))],
                words: format!(
                    "move the {} from {} to {}{tied}",
                    stage.items[item].what,
                    label(*from),
                    label(to)
                ),
                moved: 1,
                apply: vec![(Who::Item(item), to)],
            });
        }
    }
    all
}

/// The fewest moves that mend; of so few, the ones that leave the widest smallest margin.
pub(super) fn seats(case: &mut Case<'_>) -> Option<Way> {
    if !case.is_of(&OF_LOAD) {
        return None;
    }
    let all = moves(&case.stage, &case.choice);
    let mut best: Option<(f64, Vec<&Move>)> = None;
    for count in 1..=2 {
        for each in all.iter().filter(|each| each.moved == count) {
            consider(case, vec![each], &mut best);
        }
        if count == 2 && best.is_none() {
            let single: Vec<&Move> =
                all.iter().filter(|each| each.moved == 1).take(MOST_MOVES).collect();
            for (index, a) in single.iter().enumerate() {
                for b in single[index + 1..].iter().filter(|b| !a.meets(b)) {
                    consider(case, vec![a, b], &mut best);
                }
            }
        }
        if best.is_some() {
            break;
        }
    }
    let (_, moves) = best?;
    let moved: usize = moves.iter().map(|each| each.moved).sum();
    Some(Way {
        kind: Kind::Seats,
        words: moves.iter().map(|each| each.words.as_str()).collect::<Vec<_>>().join(", and "),
        remark: None,
        edits: moves.iter().flat_map(|each| each.edits.clone()).collect(),
        #[expect(clippy::cast_precision_loss, reason = "a handful of people and items")]
        burden: Burden { moves: moved as f64, ..Burden::default() },
        tightest: None,
    })
}

/// Keeps moves that mend and leave a wider smallest margin than the best.
fn consider<'m>(
    case: &mut Case<'_>,
    moves: Vec<&'m Move>,
    best: &mut Option<(f64, Vec<&'m Move>)>,
) {
    let mut trial = case.choice.clone();
    moves.iter().for_each(|each| each.work(&mut trial));
    if let Some(share) = case.bar.mends(&case.stage, &trial)
        && best.as_ref().is_none_or(|(widest, _)| share > *widest)
    {
        *best = Some((share, moves));
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
    parts.sort_unstable();
    let Some((least, item)) = parts.first().copied() else { return whole_items(case) };
    let unit = case.units.mass;
    #[expect(clippy::cast_precision_loss, reason = "steps of a mass")]
    let mass = |least: usize| Mass::of(least as f64, unit);
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

/// The lightest passenger whose staying behind mends, judged when the documents are assessed.
pub(super) fn leave_person(case: &Case<'_>) -> Option<Way> {
    if !case.is_of(&OF_LOAD) {
        return None;
    }
    let stage = &case.stage;
    let (mut margins, mut best) = (stillprop_turnaround::limits::Margins::default(), None);
    for (index, person) in stage.people.iter().enumerate() {
        let holds = stage.people.iter().any(|other| other.held_by == Some(index));
        let Ok(mass) = person.mass else { continue };
        if person.role != Role::Passenger || person.held_by.is_some() || holds {
            continue;
        }
        // Without mass in the seat: what is left is whether the masses hold.
        let mut without = stage.clone();
        without.people[index].mass = Ok(Mass::from_si(0.0));
        without.margins(&case.choice, &mut margins);
        let holds = margins.limits.iter().zip(&case.bar.wanted).all(|(limit, wanted)| {
            !wanted || limit.verdict == stillprop_turnaround::limits::Verdict::Holds
        });
        if holds && best.is_none_or(|(_, least)| mass < least) {
            best = Some((index, mass));
        }
    }
    let (index, mass) = best?;
    Some(Way {
        kind: Kind::LeavePerson,
        words: format!("fly {} on another trip", stage.people[index].name),
        remark: None,
        edits: vec![Edit::LeavePerson(index)],
        burden: Burden { people: 1.0, kilograms: mass.count(unit::KG), ..Burden::default() },
        tightest: None,
    })
}
