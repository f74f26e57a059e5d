//! More fuel, less fuel, and a stop for it.

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_rules::rules::Rules;
use stillprop_turnaround::{
    document::turnaround::Method,
    stage::{Choice, Documents, Stage, prepare},
    units::{Round, Units},
};

use super::{Burden, Case, Edit, Kind, Way, steps};

/// Limits that fuel may mend.
const OF_FUEL: [&str; 3] = ["load.", "fuel.", "strip."];

/// Which way the fuel changes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Turn {
    Less,
    More,
}

/// One step of the dispenser, or of the unit that is shown.
fn step(stage: &Stage, units: &Units) -> Volume {
    let given = stage.documents.turnaround.fuel.step.as_ref();
    given.map_or_else(|| Volume::of(1.0, units.fuel), |given| given.value)
}

/// Takes a step from the fullest tank that takes fuel, or gives one to the emptiest with room.
fn turn(stage: &Stage, choice: &mut Choice, step: Volume, turn: Turn) -> bool {
    let full = |tank: &usize| choice.fuel[*tank].map_or(0.0, |fuel| fuel.si());
    let tanks = (0..choice.fuel.len()).filter(|tank| stage.fuel_now[*tank].is_some());
    let found = match turn {
        Turn::Less => tanks
            .filter(|tank| stage.uplift(choice, *tank).is_some_and(|up| up >= step))
            .max_by(|a, b| full(a).total_cmp(&full(b))),
        Turn::More => tanks
            .filter(|tank| {
                choice.fuel[*tank].is_some_and(|fuel| fuel + step <= stage.tanks[*tank].usable)
            })
            .min_by(|a, b| full(a).total_cmp(&full(b))),
    };
    let Some(tank) = found else { return false };
    if let Some(fuel) = &mut choice.fuel[tank] {
        *fuel += if turn == Turn::Less { -step } else { step };
    }
    true
}

/// The fewest steps less or more that mend.
pub(super) fn fuel(case: &mut Case<'_>) -> Option<Way> {
    let taken = case.stage.method.is_some_and(|method| method != Method::None);
    if !case.is_of(&OF_FUEL) || !taken {
        return None;
    }
    let step = step(&case.stage, case.units);
    let capacity: Volume = case.stage.tanks.iter().map(|tank| tank.usable).sum();
    let most = steps(capacity, case.units.fuel).min(2000);
    // From drums no more is taken than was drawn for.
    let ways: &[Turn] = if case.stage.method == Some(Method::Drum) {
        &[Turn::Less]
    } else {
        &[Turn::Less, Turn::More]
    };
    for way in ways {
        let mut choice = case.choice.clone();
        for _ in 0..most {
            if !turn(&case.stage, &mut choice, step, *way) {
                break;
            }
            if case.bar.mends(&case.stage, &choice).is_some() {
                return said(case, &choice, *way);
            }
        }
    }
    None
}

/// What each tank takes.
fn uplifts(stage: &Stage, choice: &Choice) -> Vec<(usize, Volume)> {
    let of = |tank: usize| Some((tank, stage.uplift(choice, tank)?));
    (0..stage.tanks.len()).filter_map(of).collect()
}

fn edits(stage: &Stage, old: &Choice, new: &Choice) -> Vec<Edit> {
    let was = uplifts(stage, old);
    let changed = uplifts(stage, new).into_iter().zip(was).filter(|(now, was)| now.1 != was.1);
    changed.map(|((tank, up), _)| Edit::Uplift(stage.tanks[tank].label.clone(), up)).collect()
}

/// `10 USgal into left, 8 USgal into right`.
fn tanks(case: &Case<'_>, choice: &Choice) -> String {
    let some = uplifts(&case.stage, choice).into_iter().filter(|(_, up)| up.si() > 1e-9);
    let each = some.map(|(tank, up)| {
        format!("{} into {}", case.units.fuel(up, Round::Near), case.stage.tanks[tank].label)
    });
    let each: Vec<String> = each.collect();
    if each.is_empty() { "none at all".into() } else { each.join(", ") }
}

fn said(case: &Case<'_>, choice: &Choice, way: Turn) -> Option<Way> {
    let (stage, units) = (&case.stage, case.units);
    let (aboard, was) = (stage.fuel_aboard(choice)?, stage.fuel_aboard(&case.choice)?);
    let by = (aboard - was).abs();
    let word = if way == Turn::Less { "less" } else { "more" };
    let required = stage.plan.as_ref().ok().map(|plan| {
        format!(
            "{} aboard, {} required with its reserve",
            units.fuel(aboard, Round::Down),
            units.fuel(plan.required, Round::Up)
        )
    });
    Some(Way {
        kind: Kind::Fuel,
        words: format!("take {} {word} fuel: {}", units.fuel(by, Round::Near), tanks(case, choice)),
        remark: required,
        edits: edits(stage, &case.choice, choice),
        burden: Burden { litres: by.count(unit::L), ..Burden::default() },
        tightest: None,
    })
}

/// As much less fuel as the flight leaves: the first of two changes, where one is not enough.
pub(super) fn least(documents: &Documents, rules: &Rules, units: &Units) -> Option<Way> {
    let (stage, choice) = prepare(documents.clone(), rules);
    let case = Case::new(stage, choice, units, None);
    let required = case.stage.plan.as_ref().ok()?.required;
    let step = step(&case.stage, units);
    let mut choice = case.choice.clone();
    let mut next = choice.clone();
    while turn(&case.stage, &mut next, step, Turn::Less)
        && case.stage.fuel_aboard(&next).is_some_and(|aboard| aboard >= required)
    {
        choice.clone_from(&next);
    }
    (choice != case.choice).then(|| said(&case, &choice, Turn::Less)).flatten()
}

/// Fuel for the first legs only, the rest to be taken at the end of them.
pub(super) fn stop(case: &Case<'_>, rules: &Rules) -> Option<Way> {
    let legs = &case.stage.documents.turnaround.legs;
    if legs.len() < 2 || !case.is_of(&OF_FUEL) {
        return None;
    }
    let taken = case.stage.method.is_some_and(|method| method != Method::None);
    (0..legs.len() - 1).rev().filter(|_| taken).find_map(|leg| {
        let documents = super::changed(&case.stage.documents, &[Edit::EndAt(leg)], rules);
        let (stage, choice) = prepare(documents, rules);
        let mut shorter = Case::new(stage, choice, case.units, None);
        let place = &legs[leg].name.value;
        let way = fuel(&mut shorter)?;
        let edits = std::iter::once(Edit::EndAt(leg)).chain(way.edits);
        Some(Way {
            kind: Kind::Stop,
            words: format!("stop for fuel at {place}: {}", way.words),
            remark: Some(format!(
                "to {place} only: {}; from there it is another turnaround, which must be ready too",
                way.remark.unwrap_or_default()
            )),
            edits: edits.collect(),
            burden: Burden { jobs: 1.0, ..way.burden },
            tightest: None,
        })
    })
}
