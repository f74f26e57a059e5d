//! More fuel, less fuel, and a stop for it.

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_turnaround::{
    document::turnaround::Method,
    stage::{Choice, Documents, Stage},
    units::{Round, Units},
};

use super::{Again, Burden, Case, Edit, Kind, Way};

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

/// Steps that each tank may take less, or more.
struct Pump {
    step: Volume,
    turn: Turn,
    rooms: Vec<usize>,
}

impl Pump {
    fn of(stage: &Stage, choice: &Choice, step: Volume, turn: Turn) -> Self {
        let room = |tank: usize| {
            stage.fuel_now[tank]?;
            Some(match turn {
                Turn::Less => stage.uplift(choice, tank)?,
                Turn::More => stage.tanks[tank].usable - choice.fuel[tank]?,
            })
        };
        let rooms =
            (0..choice.fuel.len()).map(|tank| room(tank).map_or(0, |room| whole(room, step)));
        Self { step, turn, rooms: rooms.collect() }
    }

    fn choice(&self, from: &Choice, steps: &[usize]) -> Choice {
        let mut choice = from.clone();
        for (fuel, steps) in choice.fuel.iter_mut().zip(steps).filter(|(_, steps)| **steps > 0) {
            if let Some(fuel) = fuel {
                #[expect(clippy::cast_precision_loss, reason = "steps of a fuelling")]
                let much = self.step * *steps as f64;
                *fuel += if self.turn == Turn::Less { -much } else { much };
            }
        }
        choice
    }

    /// One step more: from the fullest tank, or into the emptiest.
    fn next(&self, from: &Choice, steps: &mut [usize]) -> bool {
        let now = self.choice(from, steps);
        let full = |tank: &usize| now.fuel[*tank].map_or(0.0, |fuel| fuel.si());
        let tanks = (0..steps.len()).filter(|tank| steps[*tank] < self.rooms[*tank]);
        let tank = match self.turn {
            Turn::Less => tanks.max_by(|a, b| full(a).total_cmp(&full(b))),
            Turn::More => tanks.min_by(|a, b| full(a).total_cmp(&full(b))),
        };
        tank.inspect(|tank| steps[*tank] += 1).is_some()
    }

    /// Calls `each` for every way to spread `left` steps over the tanks from `tank` on, until it
    /// says that it is enough.
    fn spread(
        &self,
        tank: usize,
        left: usize,
        steps: &mut Vec<usize>,
        each: &mut dyn FnMut(&[usize]) -> bool,
    ) -> bool {
        let Some(room) = self.rooms.get(tank) else { return left == 0 && each(steps) };
        let later: usize = self.rooms[tank + 1..].iter().sum();
        for n in left.saturating_sub(later)..=left.min(*room) {
            steps.push(n);
            let enough = self.spread(tank + 1, left - n, steps, each);
            steps.pop();
            if enough {
                return true;
            }
        }
        false
    }
}

/// Whole steps in a volume: litres and gallons do not divide to the last digit.
fn whole(volume: Volume, step: Volume) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the tanks of a light aeroplane"
    )]
    let steps = ((volume / step).value + 1e-6).clamp(0.0, 2000.0).floor() as usize;
    steps
}

/// Spreads over the tanks that are tried beside the plain ones. Ours: some tenths of a second.
const MOST_SPREADS: usize = 40_000;

/// The fewest steps less or more that mend: from the fullest or into the emptiest tank where that
/// does, else in whichever tanks do.
pub(super) fn fuel(case: &mut Case<'_>) -> Option<Way> {
    let taken = case.stage.method.is_some_and(|method| method != Method::None);
    if !case.is_of(&OF_FUEL) || !taken {
        return None;
    }
    let step = step(&case.stage, case.units);
    // From drums no more is taken than was drawn for.
    let turns: &[Turn] = if case.stage.method == Some(Method::Drum) {
        &[Turn::Less]
    } else {
        &[Turn::Less, Turn::More]
    };
    let pump = |turn: &Turn| Pump::of(&case.stage, &case.choice, step, *turn);
    let none = vec![0; case.stage.tanks.len()];
    let mut pumps: Vec<(Pump, Vec<usize>)> =
        turns.iter().map(|turn| (pump(turn), none.clone())).collect();
    let mut spreads = 0;
    let most = pumps.iter().map(|(pump, _)| pump.rooms.iter().sum::<usize>()).max()?;
    for count in 1..=most {
        for (pump, plain) in &mut pumps {
            if !pump.next(&case.choice, plain) {
                continue;
            }
            let mut found = None;
            let mut mends = |steps: &[usize]| {
                let choice = pump.choice(&case.choice, steps);
                let mends = case.bar.mends(&case.stage, &choice).is_some();
                found = mends.then_some(choice);
                mends
            };
            if !mends(plain) && spreads < MOST_SPREADS {
                pump.spread(0, count, &mut Vec::new(), &mut |steps| {
                    spreads += 1;
                    mends(steps) || spreads == MOST_SPREADS
                });
            }
            if let Some(choice) = found {
                return said(case, &choice, pump.turn);
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
pub(super) fn least(documents: &Documents, again: Again<'_>, units: &Units) -> Option<Way> {
    let case = Case::new(documents.clone(), again, units, None);
    let required = case.stage.plan.as_ref().ok()?.required;
    let step = step(&case.stage, units);
    let mut choice = case.choice.clone();
    let pump = Pump::of(&case.stage, &choice, step, Turn::Less);
    let mut steps = vec![0; pump.rooms.len()];
    while pump.next(&case.choice, &mut steps) {
        let next = pump.choice(&case.choice, &steps);
        if case.stage.fuel_aboard(&next).is_none_or(|aboard| aboard < required) {
            break;
        }
        choice = next;
    }
    (choice != case.choice).then(|| said(&case, &choice, Turn::Less)).flatten()
}

/// Fuel for the first legs only, the rest to be taken at the end of them.
pub(super) fn stop(case: &Case<'_>) -> Option<Way> {
    let legs = &case.stage.documents.turnaround.legs;
    if legs.len() < 2 || !case.is_of(&OF_FUEL) {
        return None;
    }
    let taken = case.stage.method.is_some_and(|method| method != Method::None);
    (0..legs.len() - 1).rev().filter(|_| taken).find_map(|leg| {
        let documents = case.again.changed(&case.stage.documents, &[Edit::EndAt(leg)]);
        let mut shorter = Case::new(documents, case.again, case.units, None);
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
