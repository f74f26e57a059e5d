//! The fit: who sits where, what lies where, how much fuel in which tank.
//!
//! # The question
//!
//! Of all arrangements that keep every limit: those whose smallest margin is greatest; of these
//! the ones with least ballast; of these one with the fewest changes from how things are now. A
//! margin is the share of [`stillprop_turnaround::limits::Measure`], and margins are compared in
//! whole hundredths of a percent, as they are read: 160 g of 1,600 kg decide nothing. A change is a
//! person in another seat, an item in another place, or a tank with another quantity.
//!
//! Fuel is taken in whole steps, which the question names; within them the answer is exact. A
//! limit that no arrangement moves must hold, but has no say in the smallest margin, or one fixed
//! figure would make all arrangements equal.
//!
//! # How it is found
//!
//! For a given filling of the tanks the masses along the burn are fixed, so that every balance
//! limit is a window for one sum, the moment of people and items; every other limit is a room of a
//! place, a quantity in a tank, or depends on the total of fuel alone. So: totals from the best
//! down ([`Total`]), fillings of each from the best bound down, and inside a filling the search
//! of [`crate::stow`] with windows that close whenever something better was found. Every bound
//! is admissible, and whatever is found is judged by the functions of the limits themselves.

mod fuel;
mod kept;
mod solve;
mod stage;

use stillprop_calc::{burn, envelope::Envelope, load::Loading};

pub use self::stage::{Asked, FuelMay, Question, Unfit, arranged, ask, offer_ballast};
use crate::{budget::Budget, stow::Place};

/// A person or an item.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// Mass, with what is held. \[kg\]
    pub mass: f64,
    /// Takes a seat.
    pub seated: bool,
    /// Places it may go at all, one bit each; a wish may leave fewer.
    pub places: u64,
    /// Where it is now.
    pub now: Option<usize>,
}

/// Pieces of ballast that may be taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ballast {
    /// Mass of one. \[kg\]
    pub mass: f64,
    /// How many there are.
    pub pieces: usize,
    /// Places they may go.
    pub places: u64,
}

/// Something asked beside the limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// A thing only in these places.
    Within {
        /// The thing.
        thing: usize,
        /// The places, one bit each.
        places: u64,
    },
    /// Two people in one row.
    Together(usize, usize),
}

/// What may be in a tank: `base + n step` for whole `n`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// With no step taken. \[kg\]
    pub base: f64,
    /// One step. \[kg\]
    pub step: f64,
    /// Most steps.
    pub most: u32,
    /// Steps as it is planned now, when that is a whole number of them.
    pub now: Option<u32>,
    /// What can be used of the tank. \[kg\]
    pub usable: f64,
    /// -1 left, 0 middle, 1 right.
    pub side: i8,
}

/// A limit that depends on the pieces of ballast and the steps of fuel alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Total {
    /// Has a say in the smallest margin.
    pub counted: bool,
    /// Share of the margin, negative or no number where it does not hold; first by pieces, then by
    /// steps of all tanks together.
    pub shares: Vec<f64>,
}

/// The load from a landing on at which somebody or something leaves.
#[derive(Clone, Debug)]
pub struct Later {
    /// What of each thing is still aboard. \[kg\]
    pub mass: Vec<f64>,
    /// Fuel gone by then, since chocks off. \[kg\]
    pub used: f64,
}

/// A question in numbers.
#[derive(Clone, Debug)]
pub struct Case {
    /// Empty aeroplane with what cannot be moved.
    pub empty: Loading,
    /// Seats and lockers.
    pub places: Vec<Place>,
    /// Greatest mass in each. \[kg\]
    pub most: Vec<Option<f64>>,
    /// People and items.
    pub things: Vec<Thing>,
    /// Ballast that may be taken.
    pub ballast: Option<Ballast>,
    /// What is asked beside the limits.
    pub wishes: Vec<Wish>,
    /// Tanks along the burn.
    pub tanks: Vec<burn::Tank>,
    /// What may be in them.
    pub fills: Vec<Fill>,
    /// Fuel gone by take-off. \[kg\]
    pub taxi: f64,
    /// Other loads on the way; empty when everybody stays to the end.
    pub later: Vec<Later>,
    /// Limits by total.
    pub totals: Vec<Total>,
    /// The envelope.
    pub envelope: Envelope,
    /// Greatest lateral arm. \[m\]
    pub lateral: Option<f64>,
    /// Greatest difference of fuel between the sides. \[kg\]
    pub imbalance: Option<f64>,
}

/// A limit or a wish of a case.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limit {
    /// One of [`Case::wishes`].
    Wish(usize),
    /// Greatest mass in a place.
    Place(usize),
    /// Lateral balance.
    Lateral,
    /// Difference of fuel between the sides.
    Imbalance,
    /// A tank.
    Tank(usize),
    /// Forward balance.
    Forward,
    /// Aft balance.
    Aft,
    /// One of [`Case::totals`].
    Total(usize),
}

/// An arrangement that holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Place of each thing.
    pub place_of: Vec<usize>,
    /// Place of each piece of ballast taken.
    pub ballast: Vec<usize>,
    /// Steps in each tank.
    pub steps: Vec<u32>,
    /// Smallest margin among those that count, as a share.
    pub margin: f64,
    /// Changes from how things are now.
    pub changes: u64,
}

impl Fit {
    /// The smallest margin as it is compared.
    #[must_use]
    pub fn hundredths(&self) -> i64 {
        solve::level(self.margin)
    }
}

/// What an answer is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Proof {
    /// Nothing is better: the search looked everywhere or knows why not to.
    Best,
    /// No margin is greater, but less ballast or fewer changes might do.
    Margin,
    /// Cut short; no margin is greater than this.
    SoFar(f64),
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// An arrangement, and what it is worth.
    Fits(Fit, Proof),
    /// Nothing fits. These cannot all be kept; without any one of them something fits. Empty when
    /// there are too few places even without a limit.
    NothingFits(Vec<Limit>),
    /// Cut short before anything was found or ruled out.
    NotKnown,
}

impl Case {
    /// Everything a conflict may consist of, in the order in which it is left out first.
    #[must_use]
    pub fn limits(&self) -> Vec<Limit> {
        let wishes = (0..self.wishes.len()).map(Limit::Wish);
        let places = (0..self.places.len()).filter(|p| self.most[*p].is_some()).map(Limit::Place);
        let lateral = self.lateral.map(|_| Limit::Lateral);
        let imbalance = self.imbalance.map(|_| Limit::Imbalance);
        let tanks = (0..self.fills.len()).map(Limit::Tank);
        let totals = (0..self.totals.len()).map(Limit::Total);
        wishes
            .chain(places)
            .chain(lateral)
            .chain(imbalance)
            .chain(tanks)
            .chain([Limit::Forward, Limit::Aft])
            .chain(totals)
            .collect()
    }

    /// Places whose load some arrangement changes.
    #[must_use]
    pub fn moved_places(&self) -> Vec<bool> {
        let mut moved = vec![self.ballast.map_or(0, |ballast| ballast.places); 1];
        for (index, thing) in self.things.iter().enumerate() {
            let places = self.wishes.iter().fold(thing.places, |places, wish| match wish {
                Wish::Within { thing, places: within } if *thing == index => places & within,
                _ => places,
            });
            moved.extend((places.count_ones() > 1).then_some(places));
        }
        (0..self.places.len()).map(|p| moved.iter().any(|places| (places >> p) & 1 == 1)).collect()
    }

    /// Most steps of all tanks together.
    #[must_use]
    pub fn most_steps(&self) -> usize {
        self.fills.iter().map(|fill| fill.most as usize).sum()
    }

    /// Most pieces of ballast.
    #[must_use]
    pub fn most_pieces(&self) -> usize {
        self.ballast.map_or(0, |ballast| ballast.pieces)
    }
}

/// Answers a case.
#[must_use]
pub fn fit(case: &Case, budget: &mut Budget<'_>) -> Answer {
    solve::answer(case, budget)
}

/// True when the limits marked `true`, in the order of [`Case::limits`], can be kept together;
/// `None` when the budget ended the search.
pub fn possible(case: &Case, kept: &[bool], budget: &mut Budget<'_>) -> Option<bool> {
    solve::possible(case, kept, budget)
}
