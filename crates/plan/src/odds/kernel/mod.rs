//! Odds in a batch: the limits of a stage as a flat list of numbers, judged for many draws at once.
//!
//! # A filter, not an authority
//!
//! The limits of `turnaround` decide. A [`Kernel`] is built once from a stage and a choice, with all that
//! no draw changes already reckoned by the functions that reckon it for the limits; what is left is
//! worked in rows of [`LANES`] draws. Where its margin lies within rounding of a bound, or a draw leaves
//! the range it was built for, it says so, and that draw is judged by the limits themselves. A stage
//! with a limit it does not know has no kernel at all. `crates/plan/tests/odds_batch.rs` compares both,
//! limit by limit and draw by draw, and fails where too few draws were decided here.
//!
//! What is written here a second time is listed in `docs/decisions/0029-odds-batch.md`.
//!
//! # What makes the answer the same
//!
//! - Every value is reckoned from the same drawn numbers by the same sums, in another order at most, so
//!   it differs by rounding: some 1e-13 of itself. [`HOLDS`] and [`BREAKS`] leave a thousand times that.
//! - A step of a limit (end of a chart, wind from behind, end of a day) is compared with the same
//!   care: [`Work::guard`] is the least distance to any of them.

#![allow(
    clippy::needless_range_loop,
    clippy::inline_always,
    reason = "rows are worked lane by lane, within one loop that the compiler widens"
)]

mod balance;
mod draws;
mod flight;
mod fuel;
mod light;
mod load;
mod strip;

pub(super) use draws::Draws;
use stillprop_calc::burn::MOST_TANKS;
use stillprop_turnaround::{
    limits::{Found, Id, Sink, Verdict, Words},
    stage::{Choice, Stage},
    units::Units,
};

use super::{
    evaluate,
    lanes::{LANES, Row, lesser},
    spread::Input,
};

/// A margin, as a part of its bound, from which a limit holds for certain. A limit itself holds down to
/// one billionth below its bound.
const HOLDS: f64 = -1e-10;
/// A margin at which it breaks for certain.
const BREAKS: f64 = -1e-8;
/// Taken off a margin whose whole changes with the draw, so that only a positive one holds.
const SHY: f64 = 2e-10;
/// How near to a step of a limit, as a part of what steps, a draw is left to the limits.
const NEAR: f64 = 1e-9;

/// How one limit is judged.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Entry {
    /// The same in every draw.
    Always(bool),
    /// By a row of margins.
    Row(usize),
}

/// A stage made flat.
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    entries: Vec<Entry>,
    rows: usize,
    load: load::Load,
    balance: Option<balance::Balance>,
    flight: Option<flight::Flight>,
    fuel: fuel::Fuel,
    strip: strip::Strip,
    light: light::Light,
}

/// The limits as they come, and what is made of each.
struct Book {
    /// Name, and whether it holds as typed.
    listed: Vec<(String, bool)>,
    entries: Vec<Entry>,
    rows: usize,
}

impl Book {
    fn of(stage: &Stage, choice: &Choice) -> Self {
        let mut listed = Listed::default();
        evaluate(stage, choice, &mut listed);
        Self { listed: listed.0, entries: Vec::new(), rows: 0 }
    }

    /// The next limit is this one, if it is listed at all. The row of its margins when it varies; else
    /// its verdict as typed is that of every draw.
    fn take(&mut self, id: Id<'_>, varies: bool) -> Option<usize> {
        let (name, holds) = self.listed.get(self.entries.len())?;
        if *name != id.to_string() {
            return None;
        }
        if !varies {
            self.entries.push(Entry::Always(*holds));
            return None;
        }
        let row = self.rows;
        self.entries.push(Entry::Row(row));
        self.rows += 1;
        Some(row)
    }

    /// Every limit has its entry.
    fn whole(&self) -> bool {
        self.entries.len() == self.listed.len()
    }
}

#[derive(Default)]
struct Listed(Vec<(String, bool)>, stillprop_calc::trace::Silent);

impl Sink for Listed {
    type Trace = stillprop_calc::trace::Silent;

    fn trace(&mut self) -> &mut Self::Trace {
        &mut self.1
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        self.0.push((id.to_string(), found.verdict() == Verdict::Holds));
    }
}

/// Rows that are reckoned anew for every batch.
#[derive(Clone, Debug)]
pub(super) struct Work {
    /// The least distance to a step of any limit, as a part of what steps; a draw at [`NEAR`] or below
    /// is left to the limits.
    guard: Row,
    /// Margins, as a part of what each is a share of.
    margins: Vec<Row>,
    /// Aeroplane without usable fuel: mass, moment, lateral moment.
    dry: [Row; 3],
    /// What lies in one place.
    place: Row,
    /// Volume in each tank.
    fuel: Vec<Row>,
    /// Their sum.
    aboard: Row,
    /// Mass at chocks off.
    ramp: Row,
    /// Mass of fuel in each tank as it burns.
    left: [Row; MOST_TANKS],
    flight: flight::Rows,
    balance: balance::Rows,
    strip: strip::Rows,
}

/// Which draws of a batch were decided, and what was found.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    /// 1 where it was decided, 0 where the limits must be asked.
    pub(super) sure: [u64; LANES],
    /// 1 where all held.
    all: [u64; LANES],
}

impl Kernel {
    /// `None` where a limit has a shape that is not known here, and where somebody or something leaves on
    /// the way: the batch has one load for the whole flight.
    pub(super) fn of(stage: &Stage, choice: &Choice, inputs: &[Input]) -> Option<Self> {
        if stage.leaves.later().next().is_some() {
            return None;
        }
        if stage.tanks.len() > MOST_TANKS || choice.fuel.len() != stage.tanks.len() {
            return None;
        }
        let mut book = Book::of(stage, choice);
        let flight = flight::Flight::of(stage)?;
        let load = load::Load::of(stage, choice, flight.is_some());
        let load = load.listed(stage, &mut book);
        let balance = balance::Balance::of(stage, choice, &load, &mut book)?;
        let load = load.places(stage, choice, &mut book);
        let fuel = fuel::Fuel::of(stage, choice, flight.as_ref(), &mut book);
        let spread = draws::Spread::of(stage, inputs);
        let strip = strip::Strip::of(stage, choice, (&load, flight.as_ref()), &spread, &mut book)?;
        let light = light::Light::of(stage, choice, flight.as_ref(), &mut book)?;
        book.whole().then_some(Self {
            entries: book.entries,
            rows: book.rows,
            load,
            balance,
            flight,
            fuel,
            strip,
            light,
        })
    }

    /// Room to work in.
    pub(super) fn room(&self) -> Work {
        let none = Row::all(0.0);
        Work {
            guard: none,
            margins: vec![none; self.rows],
            dry: [none; 3],
            place: none,
            fuel: vec![none; self.fuel.tanks.len()],
            aboard: none,
            ramp: none,
            left: [none; MOST_TANKS],
            flight: flight::Rows::with_room(self.flight.as_ref()),
            balance: balance::Rows::with_room(self.balance.as_ref()),
            strip: strip::Rows::with_room(&self.strip),
        }
    }

    /// Judges a batch, of which the first `count` draws are wanted.
    #[inline(always)]
    pub(super) fn judge(
        &self,
        draws: &Draws,
        normals: &[Row],
        work: &mut Work,
        count: usize,
    ) -> Judged {
        work.guard.set(|_| 1.0);
        self.fuel.draw(draws, normals, work);
        self.load.judge(draws, normals, work);
        if let Some(flight) = &self.flight {
            flight.judge(draws, normals, work);
        }
        self.load.judge_flight(work);
        if let Some(balance) = &self.balance {
            balance.judge(work);
        }
        self.fuel.judge(work);
        self.strip.judge(draws, normals, work);
        self.light.judge(work);
        let mut sure = [0; LANES];
        for lane in 0..LANES {
            sure[lane] = u64::from(work.guard[lane] > NEAR) & u64::from(lane < count);
        }
        for row in &work.margins {
            for lane in 0..LANES {
                sure[lane] &= u64::from(row[lane] >= HOLDS) | u64::from(row[lane] <= BREAKS);
            }
        }
        Judged { sure, all: sure }
    }

    /// Counts what held in the draws that were decided: all of them, and each limit.
    #[inline(always)]
    pub(super) fn count(&self, work: &Work, judged: &mut Judged, each: &mut [u64]) -> u64 {
        let sure: u64 = judged.sure.iter().sum();
        for (entry, count) in self.entries.iter().zip(each) {
            match entry {
                Entry::Always(true) => *count += sure,
                Entry::Always(false) => judged.all = [0; LANES],
                Entry::Row(row) => {
                    let (row, mut held) = (&work.margins[*row], 0);
                    for lane in 0..LANES {
                        let holds = u64::from(row[lane] >= HOLDS);
                        held += holds & judged.sure[lane];
                        judged.all[lane] &= holds;
                    }
                    *count += held;
                }
            }
        }
        judged.all.iter().sum()
    }

    /// Whether each limit held in one draw of a batch that was decided.
    pub(super) fn verdicts(&self, work: &Work, lane: usize) -> Vec<bool> {
        let verdict = |entry: &Entry| match entry {
            Entry::Always(holds) => *holds,
            Entry::Row(row) => work.margins[*row][lane] >= HOLDS,
        };
        self.entries.iter().map(verdict).collect()
    }
}

/// Lowers the guard to a distance.
#[inline(always)]
fn guard(guard: &mut Row, of: impl Fn(usize) -> f64) {
    guard.change(|lane, least| lesser(of(lane), least));
}
