//! What passengers are told before a flight: which items a pack asks for, and where.
//!
//! A pack lists items, not sentences. Several packs ask for all that any of them asks for: an
//! operator may add to what a state asks, and never takes away from it.

use std::collections::BTreeMap;

use crate::{
    pack::{Citation, Read, Status},
    rules::Rules,
    situation::{Detail, Situation},
    when::{Fit, When},
    words::words,
};

words! {
    /// Something that passengers are told.
    Item {
        /// Wait, come and leave only when told.
        Boarding = "boarding",
        /// The way to walk between gate and door.
        Path = "path",
        /// Keep away from the propeller.
        Propeller = "propeller",
        /// Where the wing is: head or feet.
        Wing = "wing",
        /// Sit where told; weight is balance.
        Balance = "balance",
        /// How doors open and shut.
        Doors = "doors",
        /// How belts are fastened, tightened, opened.
        Belts = "belts",
        /// Where the ways out are and how they open.
        Exits = "exits",
        /// Headsets.
        Headsets = "headsets",
        /// No smoking.
        Smoking = "smoking",
        /// Telephones and the like.
        Devices = "devices",
        /// Where hand baggage goes.
        HandBaggage = "hand baggage",
        /// What to do when told to brace.
        Brace = "brace",
        /// What to do after an emergency landing.
        Emergency = "emergency",
        /// Where the survival gear is.
        SurvivalGear = "survival gear",
        /// Where life jackets are and how they are worn; for flights over water.
        LifeJackets = "life jackets",
        /// How oxygen is used; where it is carried.
        Oxygen = "oxygen",
        /// Water to drink.
        Water = "water",
        /// Who needs help says how.
        Mobility = "mobility",
    }
}

/// A pack asks for an item.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Which.
    pub item: Item,
    /// For which flights.
    pub when: When,
    /// Where it says so.
    pub citation: Citation,
    /// How binding it is.
    pub status: Status,
    /// How it reached us.
    pub read: Read,
    /// What a reader must know.
    pub note: Option<String>,
}

impl Rules {
    /// The items asked for on a flight, each with who asks, in the order of [`Item::ALL`].
    /// Empty when no pack says anything: then it is not known what must be said.
    #[must_use]
    pub fn briefing(&self, situation: &Situation) -> Vec<(Item, Vec<String>)> {
        let mut items: BTreeMap<Item, Vec<String>> = BTreeMap::new();
        for pack in self.packs() {
            for asked in &pack.briefing {
                if asked.when.fits(situation, Detail::NONE) == Fit::No {
                    continue;
                }
                let words = format!(
                    "pack {}: {} ({}, read: {})",
                    pack.id, asked.citation, asked.status, asked.read
                );
                let by = items.entry(asked.item).or_default();
                if !by.contains(&words) {
                    by.push(words);
                }
            }
        }
        items.into_iter().collect()
    }
}
