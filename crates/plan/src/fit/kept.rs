//! Which limits and wishes of a case are kept, and what that leaves to each thing.

use super::{Case, Limit, Wish};
use crate::stow::Thing;

/// Which limits are kept.
#[derive(Clone, Debug)]
pub(super) struct Kept {
    pub(super) totals: Vec<bool>,
    pub(super) places: Vec<bool>,
    pub(super) tanks: Vec<bool>,
    pub(super) wishes: Vec<bool>,
    pub(super) forward: bool,
    pub(super) aft: bool,
    pub(super) lateral: bool,
    pub(super) imbalance: bool,
}

impl Kept {
    pub(super) fn of(case: &Case, kept: &[bool]) -> Self {
        let all: Vec<Limit> = case
            .limits()
            .into_iter()
            .zip(kept)
            .filter(|(_, kept)| **kept)
            .map(|(l, _)| l)
            .collect();
        let has = |limit: Limit| all.contains(&limit);
        let each = |count: usize, of: fn(usize) -> Limit| (0..count).map(|n| has(of(n))).collect();
        Self {
            totals: each(case.totals.len(), Limit::Total),
            places: each(case.places.len(), Limit::Place),
            tanks: each(case.fills.len(), Limit::Tank),
            wishes: each(case.wishes.len(), Limit::Wish),
            forward: has(Limit::Forward),
            aft: has(Limit::Aft),
            lateral: has(Limit::Lateral),
            imbalance: has(Limit::Imbalance),
        }
    }
}

/// The things with the places that the wishes leave them.
pub(super) fn things(case: &Case, kept: &Kept) -> Vec<Thing> {
    let left = |index: usize, mut places: u64| {
        for (wish, _) in case.wishes.iter().zip(&kept.wishes).filter(|(_, kept)| **kept) {
            match wish {
                Wish::Within { thing, places: within } if *thing == index => places &= within,
                _ => {}
            }
        }
        places
    };
    let thing = |(index, thing): (usize, &super::Thing)| Thing {
        mass: thing.mass,
        seated: thing.seated,
        places: left(index, thing.places),
        cost: (0..case.places.len()).map(|p| u64::from(thing.now != Some(p))).collect(),
        kind: kind(case, index),
    };
    case.things.iter().enumerate().map(thing).collect()
}

/// Things of one kind leave at the same landing: the first of them.
fn kind(case: &Case, index: usize) -> usize {
    let alike = |other: &usize| {
        case.later.iter().all(|later| later.mass[*other].to_bits() == later.mass[index].to_bits())
    };
    (0..index).find(alike).unwrap_or(if case.later.is_empty() { 0 } else { index })
}

/// A piece of ballast; where it lies is no change.
pub(super) fn piece(case: &Case) -> Thing {
    let (mass, places) = case.ballast.map_or((0.0, 0), |ballast| (ballast.mass, ballast.places));
    let kind = if case.later.is_empty() { 0 } else { case.things.len() };
    Thing { mass, seated: false, places, cost: vec![0; case.places.len()], kind }
}
