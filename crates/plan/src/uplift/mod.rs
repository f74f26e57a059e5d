//! Trip uplift: how much fuel to take at each stop of a day, and from which drum or pump.
//!
//! # The question
//!
//! At every stop the fuel aboard at chocks off must keep every limit there: enough for the legs that
//! follow, within the tanks, light enough for the strip and for the landings, in balance. Of all ways
//! that keep this, those of least cost; of these the ones that leave the fewest part-drums; of
//! these one that uses the oldest fuel, by litres times days of age. Fuel is taken in whole steps;
//! within them the answer is exact.
//!
//! # How it is found
//!
//! What may be aboard at chocks off of a stop is a list of *states*; taking `x` steps leads from a
//! state of the stop before to one of this stop. A limit is the set of the states that keep it, so
//! it need be no bound: the balance may break between two fillings that keep it.
//!
//! A dynamic programme in two storeys. For one stop: the best way to take exactly `x` steps,
//! source by source. Of two part-drums one could be drawn further and the other less, which
//! costs no more one way or the other until one of them is full or untouched; so no best answer has
//! two part-drums at a stop, and one `part` per stop is all that need be remembered. How far to draw
//! it is a minimum over a sliding window. Over the stops: the best way to each state. Nothing is
//! left out, so the answer is proved.
//!
//! Principle: Bellman, *Dynamic Programming*, 1957, from memory.
//!
//! | module | fills the question |
//! |---|---|
//! | [`trip`] | from bounds on the fuel, which tests and the comparison with a solver use |
//! | [`day`] | from the documents of a day, whose limits are asked for every state |

pub mod day;
mod table;
pub mod trip;

use table::Table;
pub use trip::{Limit, Stop, Trip};

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

/// A question by states.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Stops in order.
    pub stops: Vec<At>,
    /// How many limits there are, of all stops together.
    pub limits: usize,
}

/// A stop of a [`Case`].
#[derive(Clone, Debug, PartialEq)]
pub struct At {
    /// Where fuel may be taken from.
    pub sources: Vec<Source>,
    /// Which state taking fuel leads to.
    pub leads: Leads,
    /// The states that can be at all, whatever the limits.
    pub open: Vec<bool>,
    /// Limits by their number, each with the states that keep it.
    pub keeps: Vec<(usize, Vec<bool>)>,
}

/// The state at chocks off, by the state at chocks off of the stop before and the steps taken. Before
/// the first stop there is one state, 0.
#[derive(Clone, Debug, PartialEq)]
pub enum Leads {
    /// Their sum: a state is the number of steps taken since the start.
    Sum,
    /// A row for each state before, by steps; [`NOWHERE`] where so many cannot be taken.
    Table(Vec<Vec<u32>>),
}

/// No state.
pub const NOWHERE: u32 = u32::MAX;

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
    /// The state at chocks off of each stop.
    pub states: Vec<usize>,
}

/// The answer; `L` names a limit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer<L = Limit> {
    /// The best there is, proved.
    Best(Uplift),
    /// Nothing keeps all limits. These cannot all be kept; without any one of them something
    /// does. Empty when the legs cannot be flown with the fuel there is, whatever the limits.
    Nothing(Vec<L>),
    /// Cut short: the search has nothing to show before its end.
    NotKnown,
}

/// Answers a trip.
#[must_use]
pub fn uplift(trip: &Trip, budget: &mut Budget<'_>) -> Answer {
    let limits = trip.limits();
    match solve(&trip.case(), budget) {
        Answer::Best(best) => Answer::Best(best),
        Answer::Nothing(set) => Answer::Nothing(set.into_iter().map(|at| limits[at]).collect()),
        Answer::NotKnown => Answer::NotKnown,
    }
}

/// True when the limits marked `true`, in the order of [`Trip::limits`], can be kept together;
/// `None` when the budget ended the search.
pub fn possible(trip: &Trip, kept: &[bool], budget: &mut Budget<'_>) -> Option<bool> {
    can_keep(&trip.case(), kept, budget)
}

/// Answers a question by states; limits are named by their number.
#[must_use]
pub fn solve(case: &Case, budget: &mut Budget<'_>) -> Answer<usize> {
    match best(case, &vec![true; case.limits], budget) {
        None => Answer::NotKnown,
        Some(Some(best)) => Answer::Best(best),
        Some(None) => conflict::minimal(case.limits, |kept| can_keep(case, kept, budget))
            .map_or(Answer::NotKnown, Answer::Nothing),
    }
}

/// True when the limits marked `true` can be kept together; `None` when the budget ended the search.
pub fn can_keep(case: &Case, kept: &[bool], budget: &mut Budget<'_>) -> Option<bool> {
    best(case, kept, budget).map(|best| best.is_some())
}

/// Cost, then part-drums, then age, in one number that adds and compares as the three in order.
type Worth = i128;
const NONE: Worth = Worth::MAX / 4;
const COST: u32 = 64;
const PART: u32 = 44;

fn worth(cost: u64, parts: u32, step_days: u64) -> Worth {
    (Worth::from(cost) << COST) + (Worth::from(parts) << PART) - Worth::from(step_days)
}

impl At {
    /// The states in which every kept limit holds.
    fn allowed(&self, kept: &[bool]) -> Vec<bool> {
        let mut allowed = self.open.clone();
        for (_, keeps) in self.keeps.iter().filter(|(limit, _)| kept[*limit]) {
            allowed.iter_mut().zip(keeps).for_each(|(allowed, keeps)| *allowed &= keeps);
        }
        allowed
    }

    /// The most steps that could be taken between a state that was reached and an allowed one.
    fn most(&self, reached: &[Worth], allowed: &[bool]) -> usize {
        let some = |state: &usize| reached[*state] < NONE;
        match &self.leads {
            Leads::Sum => {
                let first = (0..reached.len()).find(some).unwrap_or(0);
                let last = allowed.iter().rposition(|allowed| *allowed).unwrap_or(0);
                last.saturating_sub(first)
            }
            Leads::Table(rows) => {
                let rows = rows.iter().enumerate().filter(|(state, _)| some(state));
                rows.map(|(_, row)| row.len().saturating_sub(1)).max().unwrap_or(0)
            }
        }
    }
}

/// The best way to each state of a stop: what it is worth, the state before, the steps taken.
struct Ways {
    worth: Vec<Worth>,
    from: Vec<(u32, u32)>,
}

impl Ways {
    fn none(states: usize) -> Self {
        Self { worth: vec![NONE; states], from: vec![(0, 0); states] }
    }

    #[expect(clippy::cast_possible_truncation, reason = "a state is a u32 in every table")]
    fn offer(&mut self, to: usize, worth: Worth, from: usize, steps: usize) {
        if worth < self.worth[to] {
            (self.worth[to], self.from[to]) = (worth, (from as u32, steps as u32));
        }
    }

    /// Where each is the steps taken since the start. `None` when the budget ends.
    fn by_sum(
        before: &[Worth],
        allowed: &[bool],
        table: &Table,
        budget: &mut Budget<'_>,
    ) -> Option<Self> {
        let mut ways = Self::none(allowed.len());
        let first = before.iter().position(|worth| *worth < NONE).unwrap_or(before.len());
        for to in (first..allowed.len()).filter(|to| allowed[*to]) {
            if !budget.step() {
                return None;
            }
            let until = before.len().min(to + 1);
            for (from, so_far) in (first..until).map(|from| (from, before[from])) {
                let here = table.worth(to - from);
                if so_far < NONE && here < NONE {
                    ways.offer(to, so_far + here, from, to - from);
                }
            }
        }
        Some(ways)
    }

    /// Where rows say it. `None` when the budget ends.
    fn by_rows(
        before: &[Worth],
        rows: &[Vec<u32>],
        allowed: &[bool],
        table: &Table,
        budget: &mut Budget<'_>,
    ) -> Option<Self> {
        let mut ways = Self::none(allowed.len());
        let reached = before.iter().zip(rows).enumerate().filter(|(_, (worth, _))| **worth < NONE);
        for (from, (so_far, row)) in reached {
            if !budget.step() {
                return None;
            }
            for (steps, to) in row.iter().enumerate().filter(|(_, to)| **to != NOWHERE) {
                let (to, here) = (*to as usize, table.worth(steps));
                if allowed[to] && here < NONE {
                    ways.offer(to, so_far + here, from, steps);
                }
            }
        }
        Some(ways)
    }
}

/// `None` when the budget ended it.
#[expect(clippy::option_option, reason = "not known is something else than nothing")]
fn best(case: &Case, kept: &[bool], budget: &mut Budget<'_>) -> Option<Option<Uplift>> {
    let mut before: Vec<Worth> = vec![0];
    let mut tables = Vec::new();
    let mut ways: Vec<Ways> = Vec::new();
    for stop in &case.stops {
        let allowed = stop.allowed(kept);
        let table = Table::new(&stop.sources, stop.most(&before, &allowed), budget)?;
        let here = match &stop.leads {
            Leads::Sum => Ways::by_sum(&before, &allowed, &table, budget)?,
            Leads::Table(rows) => Ways::by_rows(&before, rows, &allowed, &table, budget)?,
        };
        before.clone_from(&here.worth);
        tables.push(table);
        ways.push(here);
    }
    let end = (0..before.len()).filter(|to| before[*to] < NONE).min_by_key(|to| before[*to]);
    Some(end.map(|end| told(case, end, &ways, &tables)))
}

/// What was chosen, from the last stop back.
fn told(case: &Case, mut to: usize, ways: &[Ways], tables: &[Table]) -> Uplift {
    let mut told = Uplift { states: vec![0; ways.len()], ..Uplift::default() };
    for (stop, (ways, table)) in ways.iter().zip(tables).enumerate().rev() {
        let (from, take) = ways.from[to];
        for (source, steps) in table.draws(take as usize) {
            let from = &case.stops[stop].sources[source];
            told.cost += u64::from(from.to_open) + u64::from(from.per_step) * u64::from(steps);
            told.parts += u64::from(from.drum && steps < from.holds);
            told.step_days += u64::from(from.age) * u64::from(steps);
            told.draws.push(Draw { stop, source, steps });
        }
        told.states[stop] = to;
        to = from as usize;
    }
    told.draws.sort_by_key(|draw| (draw.stop, draw.source));
    told
}
