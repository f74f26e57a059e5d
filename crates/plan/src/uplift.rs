//! Trip uplift: how much fuel to take at each stop of a day, and from which drum or pump.
//!
//! # The question
//!
//! At every stop the fuel aboard at chocks off must be enough, fit the tanks, and be light enough
//! for the strip there and for the landing that follows. Of all ways that keep this, those of least
//! cost; of these the ones that leave the fewest part-drums; of these one that uses the oldest
//! fuel, by litres times days of age. Fuel is taken in whole steps; within them the answer is
//! exact.
//!
//! # How it is found
//!
//! A dynamic programme in two storeys. For one stop: the best way to take exactly `x` steps,
//! source by source. Of two part-drums one could be drawn further and the other less, which
//! costs no more one way or the other until one of them is full or untouched; so no best answer has
//! two part-drums at a stop, and one `part` per stop is all that need be remembered. How far to draw
//! it is a minimum over a sliding window. Over the stops: the best way to have taken `X` steps since
//! the start, where limits are bounds on `X`. Nothing is left out, so the answer is proved.
//!
//! Principle: Bellman, *Dynamic Programming*, 1957, from memory.

use std::collections::VecDeque;

use crate::{budget::Budget, conflict};

/// Where fuel may be taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// A drum; else a pump, of which nothing is left over.
    pub drum: bool,
    /// Steps it holds.
    pub holds: u32,
    /// Price of opening it; the whole price where a drum is paid whole.
    pub to_open: u32,
    /// Price of a step.
    pub per_step: u32,
    /// Days since it was filled.
    pub age: u32,
    /// Most days, by the rule in force.
    pub most_age: Option<u32>,
    /// Taken whole or not at all.
    pub whole: bool,
}

/// A stop, and the leg that follows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Mass without fuel on that leg. \[kg\]
    pub zero_fuel: f64,
    /// Greatest mass at chocks off: the manual, and the strip in the weather of the hour. \[kg\]
    pub most_mass: f64,
    /// Greatest mass at the landing that follows. \[kg\]
    pub most_landing: f64,
    /// Fuel that must be aboard at chocks off. \[m3\]
    pub required: f64,
    /// Fuel from chocks off to that landing. \[m3\]
    pub burn: f64,
    /// Fuel that must be left then. \[m3\]
    pub reserve: f64,
    /// Where fuel may be taken from.
    pub sources: Vec<Source>,
}

/// A day of flying.
#[derive(Clone, Debug, PartialEq)]
pub struct Trip {
    /// Usable fuel aboard at the first stop. \[m3\]
    pub aboard: f64,
    /// Usable fuel that the tanks hold. \[m3\]
    pub capacity: f64,
    /// Density. \[kg/m3\]
    pub density: f64,
    /// Fuel is taken in whole steps of this. \[m3\]
    pub step: f64,
    /// Stops in order.
    pub stops: Vec<Stop>,
}

/// A limit at a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Fuel required at chocks off.
    Required(usize),
    /// Fuel left at the landing that follows.
    Reserve(usize),
    /// What the tanks hold.
    Tank(usize),
    /// Mass at chocks off.
    Mass(usize),
    /// Mass at the landing that follows.
    Landing(usize),
}

/// Steps out of a source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draw {
    /// Index of the stop.
    pub stop: usize,
    /// Index of the source there.
    pub source: usize,
    /// Steps.
    pub steps: u32,
}

/// What to take.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Uplift {
    /// Every draw, in order.
    pub draws: Vec<Draw>,
    /// Price of all.
    pub cost: u64,
    /// Drums opened and not emptied.
    pub parts: u64,
    /// Steps times days of age.
    pub step_days: u64,
}

/// The answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// The best there is, proved.
    Best(Uplift),
    /// Nothing keeps all limits. These cannot all be kept; without any one of them something
    /// does. Empty when the legs cannot be flown with the fuel there is, whatever the limits.
    Nothing(Vec<Limit>),
    /// Cut short: the search has nothing to show before its end.
    NotKnown,
}

impl Trip {
    /// Every limit, those that say how little before those that say how much.
    #[must_use]
    pub fn limits(&self) -> Vec<Limit> {
        let kinds = [Limit::Required, Limit::Reserve, Limit::Tank, Limit::Mass, Limit::Landing];
        let all = |kind: fn(usize) -> Limit| (0..self.stops.len()).map(kind);
        kinds.into_iter().flat_map(all).collect()
    }
}

/// Answers a trip.
#[must_use]
pub fn uplift(trip: &Trip, budget: &mut Budget<'_>) -> Answer {
    let all = vec![true; trip.limits().len()];
    match best(trip, &all, budget) {
        None => Answer::NotKnown,
        Some(Some(best)) => Answer::Best(best),
        Some(None) => {
            let set = conflict::minimal(all.len(), |kept| possible(trip, kept, budget));
            let limits = trip.limits();
            set.map_or(Answer::NotKnown, |set| {
                Answer::Nothing(set.into_iter().map(|at| limits[at]).collect())
            })
        }
    }
}

/// True when the limits marked `true`, in the order of [`Trip::limits`], can be kept together;
/// `None` when the budget ended the search.
pub fn possible(trip: &Trip, kept: &[bool], budget: &mut Budget<'_>) -> Option<bool> {
    best(trip, kept, budget).map(|best| best.is_some())
}

/// Cost, then part-drums, then age, in one number that adds and compares as the three in order.
type Worth = i128;
const NONE: Worth = Worth::MAX / 4;
const COST: u32 = 64;
const PART: u32 = 44;

fn worth(cost: u32, parts: u32, step_days: u64) -> Worth {
    (Worth::from(cost) << COST) + (Worth::from(parts) << PART) - Worth::from(step_days)
}

/// Fuel within this of a bound is at the bound. \[m3\]
const ROUNDING: f64 = 1e-9;

/// `None` when the budget ended it.
#[expect(clippy::option_option, reason = "not known is something else than nothing")]
fn best(trip: &Trip, kept: &[bool], budget: &mut Budget<'_>) -> Option<Option<Uplift>> {
    // By steps taken since the start: what it is worth, and the steps taken at this stop.
    let (mut taken, mut before): (Vec<Worth>, _) = (vec![0], (0, 0));
    let mut tables = Vec::new();
    let mut ways: Vec<Vec<usize>> = Vec::new();
    for (stop, (least, most)) in trip.stops.iter().zip(bounds(trip, kept)) {
        if most < least {
            return Some(None);
        }
        let table = Table::new(&stop.sources, most - before.0, budget)?;
        let mut next = vec![NONE; most + 1];
        let mut way = vec![0; most + 1];
        for to in least..=most {
            if !budget.step() {
                return None;
            }
            let until = before.1.min(to);
            for (from, so_far) in (before.0..=until).map(|from| (from, taken[from])) {
                let here = table.worth(to - from);
                if so_far < NONE && here < NONE && so_far + here < next[to] {
                    (next[to], way[to]) = (so_far + here, to - from);
                }
            }
        }
        (taken, before) = (next, (least, most));
        tables.push(table);
        ways.push(way);
    }
    let end = (0..taken.len()).filter(|to| taken[*to] < NONE).min_by_key(|to| taken[*to]);
    Some(end.map(|end| told(trip, end, &ways, &tables)))
}

/// Least and most steps taken since the start, at chocks off of each stop.
fn bounds(trip: &Trip, kept: &[bool]) -> Vec<(usize, usize)> {
    let count = trip.stops.len();
    let kept = |kind: usize, stop: usize| kept[kind * count + stop];
    let mut burnt = 0.0;
    let mut from = 0;
    let mut all = Vec::new();
    let there: f64 = trip.stops.iter().flat_map(|s| &s.sources).map(|s| f64::from(s.holds)).sum();
    for (at, stop) in trip.stops.iter().enumerate() {
        // Nobody flies on less than the leg takes, nor takes more than there is.
        let (mut least, mut most) = (stop.burn, f64::INFINITY);
        if kept(0, at) {
            least = least.max(stop.required);
        }
        if kept(1, at) {
            least = least.max(stop.burn + stop.reserve);
        }
        if kept(2, at) {
            most = most.min(trip.capacity);
        }
        if kept(3, at) {
            most = most.min((stop.most_mass - stop.zero_fuel) / trip.density);
        }
        if kept(4, at) {
            most = most.min((stop.most_landing - stop.zero_fuel) / trip.density + stop.burn);
        }
        let steps = |aboard: f64| (aboard + burnt - trip.aboard) / trip.step;
        let slack = ROUNDING / trip.step;
        let least = (steps(least) - slack).ceil().clamp(0.0, there + 1.0);
        let most = (steps(most) + slack).floor().min(there);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
        let (least, most) = (least as usize, (most >= 0.0).then_some(most as usize));
        from = least.max(from);
        // An empty stretch is one whose least is above its most.
        all.push(most.map_or((1, 0), |most| (from, most)));
        burnt += stop.burn;
    }
    if (0..count).any(|stop| !kept(2, stop)) {
        // Asked without a tank, only whether it is possible: a draw beyond all that is ever needed
        // could be left out.
        let largest = trip.stops.iter().flat_map(|s| &s.sources).map(|s| s.holds as usize).max();
        let needed = all.iter().map(|(least, _)| *least).max().unwrap_or(0) + largest.unwrap_or(0);
        all.iter_mut().for_each(|(_, most)| *most = needed.min(*most));
    }
    all
}

/// What was chosen, from the last stop back.
fn told(trip: &Trip, mut to: usize, ways: &[Vec<usize>], tables: &[Table]) -> Uplift {
    let mut told = Uplift::default();
    for (stop, (way, table)) in ways.iter().zip(tables).enumerate().rev() {
        let take = way[to];
        for (source, steps) in table.draws(take) {
            let from = &trip.stops[stop].sources[source];
            told.cost += u64::from(from.to_open) + u64::from(from.per_step) * u64::from(steps);
            told.parts += u64::from(from.drum && steps < from.holds);
            told.step_days += u64::from(from.age) * u64::from(steps);
            told.draws.push(Draw { stop, source, steps });
        }
        to -= take;
    }
    told.draws.sort_by_key(|draw| (draw.stop, draw.source));
    told
}

/// The best way to take each number of steps from the sources of one stop.
struct Table {
    /// Without and with a part-drum, by steps.
    worth: [Vec<Worth>; 2],
    /// For each source, for both, by steps: what is taken from it, and whether it is the part.
    took: Vec<[Vec<(u32, bool)>; 2]>,
}

impl Table {
    /// `None` when the budget ends.
    fn new(sources: &[Source], most: usize, budget: &mut Budget<'_>) -> Option<Self> {
        let mut first = vec![NONE; most + 1];
        first[0] = 0;
        let mut table = Self { worth: [first, vec![NONE; most + 1]], took: Vec::new() };
        for source in sources {
            if !budget.step() {
                return None;
            }
            let fresh = source.most_age.is_none_or(|most| source.age <= most);
            let mut took = [vec![(0, false); most + 1], vec![(0, false); most + 1]];
            if fresh && source.holds > 0 {
                if source.drum {
                    table.drum(source, &mut took)
                } else {
                    table.pump(source, &mut took)
                }
            }
            table.took.push(took);
        }
        Some(table)
    }

    fn worth(&self, steps: usize) -> Worth {
        let of = |layer: usize| self.worth[layer].get(steps).copied().unwrap_or(NONE);
        of(0).min(of(1))
    }

    /// A drum is emptied, or it is the part-drum, or it is left alone.
    fn drum(&mut self, source: &Source, took: &mut [Vec<(u32, bool)>; 2]) {
        let holds = source.holds as usize;
        let of_part = worth(source.to_open, 1, 0);
        let mut part = (!source.whole)
            .then(|| slid(&self.worth[0], per_step(source), holds.saturating_sub(1), of_part));
        let price = source.to_open.saturating_add(source.per_step.saturating_mul(source.holds));
        let emptied = worth(price, 0, u64::from(source.age) * u64::from(source.holds));
        for layer in [0, 1] {
            for steps in (holds..self.worth[layer].len()).rev() {
                let with = self.worth[layer][steps - holds] + emptied;
                if self.worth[layer][steps - holds] < NONE && with < self.worth[layer][steps] {
                    self.worth[layer][steps] = with;
                    took[layer][steps] = (source.holds, false);
                }
            }
        }
        for (steps, (with, drawn)) in part.take().into_iter().flatten().enumerate() {
            if with < self.worth[1][steps] {
                self.worth[1][steps] = with;
                took[1][steps] = (drawn, true);
            }
        }
    }

    /// A pump gives any number of steps.
    fn pump(&mut self, source: &Source, took: &mut [Vec<(u32, bool)>; 2]) {
        let opened = worth(source.to_open, 0, 0);
        for layer in [0, 1] {
            let least = if source.whole { source.holds } else { 1 };
            let with = slid(&self.worth[layer], per_step(source), source.holds as usize, opened);
            for (steps, (with, drawn)) in with.into_iter().enumerate() {
                if with < self.worth[layer][steps] && drawn >= least {
                    self.worth[layer][steps] = with;
                    took[layer][steps] = (drawn, false);
                }
            }
        }
    }

    /// What is taken from each source for so many steps in all.
    fn draws(&self, mut steps: usize) -> Vec<(usize, u32)> {
        let mut layer = usize::from(self.worth[1][steps] < self.worth[0][steps]);
        let mut draws = Vec::new();
        for (source, took) in self.took.iter().enumerate().rev() {
            let (drawn, part) = took[layer][steps];
            if drawn > 0 {
                draws.push((source, drawn));
                steps -= drawn as usize;
            }
            layer -= usize::from(part);
        }
        draws
    }
}

fn per_step(source: &Source) -> Worth {
    worth(source.per_step, 0, u64::from(source.age))
}

/// For each number of steps the best with one to `most` of them drawn here, and how many: the
/// least of `before[z] - z each` over a window that slides.
fn slid(before: &[Worth], each: Worth, most: usize, opened: Worth) -> Vec<(Worth, u32)> {
    let mut window: VecDeque<(usize, Worth)> = VecDeque::new();
    let mut all = Vec::with_capacity(before.len());
    for (steps, so_far) in before.iter().enumerate() {
        while window.front().is_some_and(|(z, _)| steps - z > most) {
            window.pop_front();
        }
        #[expect(clippy::cast_possible_truncation, reason = "not more than a source holds")]
        all.push(window.front().map_or((NONE, 0), |(z, least)| {
            (least + each * steps as Worth + opened, (steps - z) as u32)
        }));
        if *so_far < NONE {
            let least = so_far - each * steps as Worth;
            while window.back().is_some_and(|(_, other)| *other > least) {
                window.pop_back();
            }
            window.push_back((steps, least));
        }
    }
    all
}
