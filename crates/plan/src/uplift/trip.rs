//! A trip whose limits are bounds on the fuel: the least and the most aboard at each stop.
//!
//! The simplest kind of [`Case`], in which a state is the number of steps taken since the start.

use super::{At, Case, Leads, Source};

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

/// Kinds of limit; each stop has one of each.
const KINDS: usize = 5;

/// Fuel within this of a bound is at the bound. \[m3\]
const ROUNDING: f64 = 1e-9;

impl Trip {
    /// Every limit, those that say how little before those that say how much.
    #[must_use]
    pub fn limits(&self) -> Vec<Limit> {
        let kinds = [Limit::Required, Limit::Reserve, Limit::Tank, Limit::Mass, Limit::Landing];
        let all = |kind: fn(usize) -> Limit| (0..self.stops.len()).map(kind);
        kinds.into_iter().flat_map(all).collect()
    }

    /// The same question by states.
    #[must_use]
    pub fn case(&self) -> Case {
        let count = self.stops.len();
        let mut burnt = 0.0;
        let mut bounds = Vec::with_capacity(count);
        for stop in &self.stops {
            bounds.push(self.bounds(stop, burnt));
            burnt += stop.burn;
        }
        let states = 1 + self.most_steps(&bounds);
        let stops = self.stops.iter().zip(&bounds).enumerate();
        let stops = stops.map(|(at, (stop, bounds))| At {
            sources: stop.sources.clone(),
            leads: Leads::Sum,
            // Nobody flies on less than the leg takes.
            open: (0..states).map(|state| state >= bounds.flown).collect(),
            keeps: (0..KINDS).map(|kind| (kind * count + at, bounds.kept(kind, states))).collect(),
        });
        Case { stops: stops.collect(), limits: KINDS * count }
    }

    /// Steps that must or may have been taken since the start, for one stop.
    fn bounds(&self, stop: &Stop, burnt: f64) -> Bounds {
        let steps = |aboard: f64| (aboard + burnt - self.aboard) / self.step;
        let slack = ROUNDING / self.step;
        let least = |aboard: f64| whole((steps(aboard) - slack).ceil());
        let most = |aboard: f64| {
            let steps = (steps(aboard) + slack).floor();
            (steps >= 0.0).then(|| whole(steps))
        };
        let fuel = |mass: f64| (mass - stop.zero_fuel) / self.density;
        Bounds {
            flown: least(stop.burn),
            least: [least(stop.required), least(stop.burn + stop.reserve)],
            most: [
                most(self.capacity),
                most(fuel(stop.most_mass)),
                most(fuel(stop.most_landing) + stop.burn),
            ],
        }
    }

    /// More steps than this are of no use: the tanks hold no more at any stop. Where it is asked
    /// what larger tanks would do, what lies beyond all that is needed could be left out.
    fn most_steps(&self, bounds: &[Bounds]) -> usize {
        let sources = || self.stops.iter().flat_map(|stop| &stop.sources);
        let there: f64 = sources().map(|source| f64::from(source.holds)).sum();
        let largest = sources().map(|source| source.holds as usize).max().unwrap_or(0);
        let needed = |of: &Bounds| of.least.into_iter().fold(of.flown, usize::max);
        let needed = bounds.iter().map(needed).max().unwrap_or(0) + largest;
        let tanks = bounds.iter().filter_map(|of| of.most[0]).max().unwrap_or(0);
        needed.max(tanks).min(whole(there))
    }
}

/// In steps taken since the start. `None` is less than nothing.
struct Bounds {
    flown: usize,
    least: [usize; 2],
    most: [Option<usize>; 3],
}

impl Bounds {
    /// The states that keep a limit of a kind.
    fn kept(&self, kind: usize, states: usize) -> Vec<bool> {
        let least = self.least.get(kind).copied().unwrap_or(0);
        let most = kind.checked_sub(self.least.len()).map(|kind| self.most[kind]);
        let under = |state| most.is_none_or(|most| most.is_some_and(|most| state <= most));
        (0..states).map(|state| state >= least && under(state)).collect()
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn whole(steps: f64) -> usize {
    steps.clamp(0.0, 1e9) as usize
}
