//! What may be aboard at chocks off of a stop, and which limits hold with it.

use std::collections::HashMap;

use stillprop_calc::{
    burn::{MOST_TANKS, fuel_after},
    quantity::{FromAmount, Mass, Volume},
    trace::Silent,
};
use stillprop_turnaround::{
    document::day as document,
    drums::Kind,
    limits::{Found, Id, Margins, Sink, Verdict, Words},
    stage::{Choice, Stage},
    units::Units,
};

use super::{MOST_ENTRIES, MOST_STATES, Stop, Stretch, at_place};
use crate::{budget::Budget, uplift::NOWHERE};

/// The fuel in each tank.
pub(super) type Tanks = Vec<Volume>;

/// Fuel aboard at chocks off, and the tanks that took some.
#[derive(Clone, Debug)]
pub(super) struct State {
    pub(super) fuel: Tanks,
    filled: Vec<bool>,
}

/// The states of a stop.
#[derive(Debug)]
pub(super) struct States {
    pub(super) all: Vec<State>,
    /// By the state of the stop before and the steps taken.
    pub(super) rows: Vec<Vec<u32>>,
    /// The legs can be flown.
    pub(super) open: Vec<bool>,
    /// What is left in each tank after them.
    pub(super) left: Vec<Tanks>,
}

/// A limit that does not hold in some state.
#[derive(Debug)]
pub(super) struct Column {
    pub(super) id: String,
    pub(super) verdicts: Vec<Verdict>,
}

/// Volumes that differ by less are one. \[m3\]
const SAME: f64 = 1e-10;

fn sum(tanks: &[Volume]) -> Volume {
    tanks.iter().copied().sum()
}

/// For each stop the steps that may be aboard at most: as much as the tanks hold, or as all that
/// follows could need if that is more, with the rest of the largest drum.
pub(super) fn cap(stops: &[Stop<'_>], document: &document::Day, step: Volume) -> Vec<usize> {
    let none = Volume::from_si(0.0);
    let largest = |(stop, of): (&Stop<'_>, &document::Stop)| {
        let (Some(yard), Some(all)) = (&of.yard, &stop.stage.documents.yard) else { return none };
        let drums = at_place(all, &yard.place.value).filter(|c| c.kind == Kind::Drum);
        drums.map(|container| container.left).fold(none, Volume::max)
    };
    let largest = stops.iter().zip(&document.stops).map(largest).fold(none, Volume::max);
    let required = |stop: &Stop<'_>| stop.stage.plan.as_ref().map_or(none, |plan| plan.required);
    let of = |at: usize| {
        let rest = &stops[at..];
        let burnt: Volume = rest.iter().map(|stop| stop.used).sum();
        let needed = burnt + rest.iter().map(required).fold(none, Volume::max) + largest;
        let tanks: Volume = stops[at].stage.tanks.iter().map(|tank| tank.usable).sum();
        steps(needed.max(tanks), step)
    };
    (0..stops.len()).map(of).collect()
}

/// Whole steps in a volume.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
pub(super) fn steps(volume: Volume, step: Volume) -> usize {
    ((volume / step).value + 1e-6).floor().clamp(0.0, 1e7) as usize
}

impl States {
    /// Every state that taking fuel can lead to from what may be left on arrival. `None` when there
    /// are too many.
    pub(super) fn of(
        stop: &Stop<'_>,
        arrivals: &[Tanks],
        step: Volume,
        cap: usize,
    ) -> Option<Self> {
        let there: usize = stop.offers.iter().map(|offer| offer.source.holds as usize).sum();
        let mut states =
            Self { all: Vec::new(), rows: Vec::new(), open: Vec::new(), left: Vec::new() };
        let mut known: HashMap<Vec<i64>, u32> = HashMap::new();
        let mut rows: HashMap<Vec<i64>, usize> = HashMap::new();
        let mut entries = 0;
        for arrival in arrivals {
            // What does not arrive takes no fuel.
            if arrival.is_empty() {
                states.rows.push(Vec::new());
                continue;
            }
            let key = key(arrival, &[]);
            let row = match rows.get(&key) {
                Some(same) => states.rows[*same].clone(),
                None => states.row(stop, arrival, step, (there, cap), &mut known),
            };
            rows.entry(key).or_insert(states.rows.len());
            entries += row.len();
            if states.all.len() > MOST_STATES || entries > MOST_ENTRIES {
                return None;
            }
            states.rows.push(row);
        }
        for state in &states.all {
            let left = burnt(stop, &state.fuel);
            states.open.push(left.is_some());
            states.left.push(left.unwrap_or_default());
        }
        Some(states)
    }

    fn row(
        &mut self,
        stop: &Stop<'_>,
        arrival: &Tanks,
        step: Volume,
        (there, cap): (usize, usize),
        known: &mut HashMap<Vec<i64>, u32>,
    ) -> Vec<u32> {
        let most = there.min(cap.saturating_sub(steps(sum(arrival), step)));
        let mut state = State { fuel: arrival.clone(), filled: vec![false; arrival.len()] };
        let mut row = Vec::with_capacity(most + 1);
        for taken in 0..=most {
            if !taken.is_multiple_of(stop.stride) {
                row.push(NOWHERE);
                continue;
            }
            if taken > 0 {
                pour(stop, &mut state, step * stop.stride as f64);
            }
            let next = self.all.len();
            #[expect(clippy::cast_possible_truncation, reason = "bounded by the most states")]
            let at = *known.entry(key(&state.fuel, &state.filled)).or_insert(next as u32);
            if at as usize == next {
                self.all.push(state.clone());
            }
            row.push(at);
        }
        row
    }

    /// The limits that do not hold in some state. `None` when the budget ends.
    pub(super) fn judge(
        &self,
        stop: &mut Stop<'_>,
        step: Volume,
        budget: &mut Budget<'_>,
    ) -> Option<Vec<Column>> {
        let count = self.all.len();
        let mut choice = stop.choice.clone();
        let mut columns: Vec<Column> = Vec::new();
        let mut margins = Margins::default();
        for fuelled in [false, true] {
            let stage = if fuelled { &mut stop.stage } else { &mut stop.resting };
            let (mut names, now) = (Names::default(), stage.fuel_now.clone());
            for (at, state) in self.all.iter().enumerate() {
                if state.filled.contains(&true) != fuelled {
                    continue;
                }
                if !budget.step() {
                    return None;
                }
                state.put(stage, &mut choice, step);
                if names.all.is_empty() {
                    stage.evaluate(&choice, &mut names);
                }
                stage.margins(&choice, &mut margins);
                for (id, margin) in names.all.iter().zip(&margins.limits) {
                    if margin.verdict == Verdict::Holds || !counts(id) {
                        continue;
                    }
                    let found = columns.iter().position(|column| column.id == *id);
                    let column = found.unwrap_or(columns.len());
                    if found.is_none() {
                        let verdicts = vec![Verdict::Holds; count];
                        columns.push(Column { id: id.clone(), verdicts });
                    }
                    columns[column].verdicts[at] = margin.verdict;
                }
            }
            stage.fuel_now = now;
        }
        Some(columns)
    }

    /// Amounts with which something is so, of those with which the legs can be flown.
    pub(super) fn stretches(&self, so: impl Fn(usize) -> bool) -> Vec<Stretch> {
        let open = (0..self.all.len()).filter(|state| self.open[*state]);
        let mut amounts: Vec<(Volume, bool)> =
            open.map(|state| (sum(&self.all[state].fuel), so(state))).collect();
        amounts.sort_by(|a, b| a.0.value.total_cmp(&b.0.value));
        let mut all: Vec<(Volume, bool)> = Vec::new();
        for (amount, so) in amounts {
            match all.last_mut() {
                Some(last) if amount.value - last.0.value < SAME => last.1 |= so,
                _ => all.push((amount, so)),
            }
        }
        let mut stretches: Vec<Stretch> = Vec::new();
        for (at, (amount, _)) in all.iter().enumerate().filter(|(_, (_, so))| *so) {
            let goes_on = at > 0 && all[at - 1].1;
            let end = (at + 1 < all.len()).then_some(*amount);
            match stretches.last_mut() {
                Some(last) if goes_on => last.to = end,
                _ => stretches.push(Stretch { from: (at > 0).then_some(*amount), to: end }),
            }
        }
        stretches
    }

    /// The stage and the choice of one state.
    pub(super) fn staged(&self, stop: &Stop<'_>, state: usize, step: Volume) -> (Stage, Choice) {
        let state = &self.all[state];
        let fuelled = state.filled.contains(&true);
        let mut stage = if fuelled { stop.stage.clone() } else { stop.resting.clone() };
        let mut choice = stop.choice.clone();
        state.put(&mut stage, &mut choice, step);
        (stage, choice)
    }
}

impl State {
    /// Into a choice, with a stage that knows which tanks took some of it. How much is no matter of
    /// any limit but those of drums.
    fn put(&self, stage: &mut Stage, choice: &mut Choice, step: Volume) {
        for (tank, (fuel, filled)) in self.fuel.iter().zip(&self.filled).enumerate() {
            choice.fuel[tank] = Some(*fuel);
            let taken = if *filled { step } else { Volume::from_si(0.0) };
            stage.fuel_now[tank] = Some(*fuel - taken);
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "some cubic metres in tenths of a microlitre")]
fn rounded(volume: Volume) -> i64 {
    (volume.value / SAME).round() as i64
}

fn key(fuel: &[Volume], filled: &[bool]) -> Vec<i64> {
    let fuel = fuel.iter().map(|fuel| rounded(*fuel));
    fuel.chain(filled.iter().map(|filled| i64::from(*filled))).collect()
}

/// Into the emptiest tank that has room; without one, into that which is least beyond what it holds.
fn pour(stop: &Stop<'_>, state: &mut State, volume: Volume) {
    let tanks = || (0..state.fuel.len()).filter(|tank| stop.fills[*tank]);
    let room = |tank: usize| stop.stage.tanks[tank].usable - state.fuel[tank];
    let fits = |tank: &usize| room(*tank).value >= volume.value - SAME;
    // The first of those that are alike, whatever the rounding of what was burnt.
    let emptiest = tanks().filter(fits).min_by_key(|tank| rounded(state.fuel[*tank]));
    let least = || tanks().min_by_key(|tank| rounded(-room(*tank)));
    if let Some(tank) = emptiest.or_else(least) {
        state.fuel[tank] += volume;
        state.filled[tank] = true;
    }
}

/// What is left in each tank after the legs; `None` when it is not enough to fly them.
fn burnt(stop: &Stop<'_>, fuel: &Tanks) -> Option<Tanks> {
    let density = stop.stage.density.as_ref().ok()?.value;
    if sum(fuel).value < stop.used.value - SAME {
        return None;
    }
    let mut masses = [Mass::from_si(0.0); MOST_TANKS];
    for (mass, fuel) in masses.iter_mut().zip(fuel) {
        *mass = *fuel * density;
    }
    let count = fuel.len().min(MOST_TANKS);
    let left = fuel_after(&stop.stage.burn_tanks, &masses[..count], stop.used * density);
    Some(left[..count].iter().map(|mass| *mass / density).collect())
}

/// Limits that count here: not those of drums and samples, which wait for the drum, nor where fuel
/// comes from, which the day says.
pub(super) fn counts(id: &str) -> bool {
    !(id.starts_with("drum.") || id.starts_with("sample.") || id == "fuel.source")
}

pub(super) fn reserve(id: &str) -> bool {
    id.starts_with("fuel.final-reserve.")
}

pub(super) fn required(id: &str) -> bool {
    id == "fuel.required"
}

pub(super) fn other(id: &str) -> bool {
    !reserve(id) && !required(id)
}

/// Every limit by name, in their order.
#[derive(Default)]
struct Names {
    all: Vec<String>,
    silent: Silent,
}

impl Sink for Names {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, _: Found, _: impl FnOnce(&Units) -> Words) {
        self.all.push(id.to_string());
    }
}
