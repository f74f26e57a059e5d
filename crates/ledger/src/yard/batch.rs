//! A supplier's lot, folded from the events of its subject.

use serde::{Deserialize, Serialize};

use super::{Said, Stamp, told::Told};
use crate::{
    event::{Day, Event},
    record::Order,
};

/// A supplier's lot: what was said about all of it.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq, Serialize)]
pub struct Batch {
    /// As the supplier writes it.
    pub name: String,
    /// Every recall, with its reason.
    pub recalls: Vec<Said<String>>,
    /// Every new test.
    pub retests: Vec<Said<Retest>>,
    nth: u32,
    last: Option<Order>,
}

/// A test of a batch by a laboratory.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Retest {
    /// Day of the test.
    pub on: Day,
    /// It may still be used.
    pub passed: bool,
}

impl Batch {
    pub(super) fn new(name: &str) -> Self {
        Self { name: name.to_owned(), ..Self::default() }
    }

    /// True when `order` comes after all that was folded.
    pub(super) fn precedes(&self, order: Order) -> bool {
        self.last.is_none_or(|last| last < order)
    }

    pub(super) fn apply(&mut self, told: &Told) {
        let Told { record, order, by, ref event } = *told;
        let stamp = Stamp { record, at_ms: order.at_ms, by, nth: self.nth };
        self.nth = self.nth.saturating_add(1);
        self.last = Some(order);
        match event {
            Event::BatchRecalled(recalled) => {
                self.recalls.push(Said { stamp, what: recalled.reason.clone() });
            }
            Event::BatchRetested(retested) => {
                let what = Retest { on: retested.on, passed: retested.passed };
                self.retests.push(Said { stamp, what });
            }
            _ => {}
        }
    }

    /// Gives every stamp to `visit`, which may change it.
    pub(super) fn each_stamp(&mut self, visit: &mut impl FnMut(&mut Stamp)) {
        self.recalls.iter_mut().for_each(|said| visit(&mut said.stamp));
        self.retests.iter_mut().for_each(|said| visit(&mut said.stamp));
    }
}
