//! The fuel held at each place, folded from events.
//!
//! | module | holds |
//! |---|---|
//! | `told` | records with their corrections worked in |
//! | `container`, `batch` | the state of one subject |
//! | `rows` | what they keep of each event |
//! | `intake` | new records into a yard |
//! | `reach` | which batch touched which container, and when |
//! | `trace` | a batch into its flights, a flight back to its batches |
//! | `open` | a yard and the store its records are in |
//! | `finding` | what does not add up |
//! | `snapshot` | a yard as bytes |
//!
//! A yard is a function of the set of records it was given: neither the order in which they
//! arrive nor the devices they come from matter.

mod batch;
mod container;
mod finding;
mod intake;
mod names;
mod open;
mod reach;
mod rows;
mod snapshot;
mod told;
mod trace;

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

pub use self::{
    batch::{Batch, Retest},
    container::Container,
    finding::{Finding, Oddity},
    intake::{Intake, fold},
    names::Name,
    reach::{Span, Touch},
    rows::{Cause, Destination, Difference, Draw, Fill, Inflow, PartMark, Said, Sample, Stamp},
    snapshot::SnapshotError,
    trace::{BatchTrace, FlightDraw, FlightTrace},
};
use self::{names::Names, told::Topic};
use crate::store::Heads;

/// All containers and batches that any record speaks of.
#[derive(Clone, Debug, Default)]
pub struct Yard {
    names: Names,
    containers: BTreeMap<Uuid, Container>,
    batches: BTreeMap<String, Batch>,
    /// Subjects with corrections, or with events that change others. Most have neither.
    homes: BTreeMap<Topic, Home>,
    /// Flights and the containers they took fuel from.
    by_flight: BTreeSet<(Name, Uuid)>,
    /// Batches and the containers a supplier filled from them.
    by_batch: BTreeSet<(Name, Uuid)>,
    /// How far each device's log was taken.
    heads: Heads,
}

/// Two yards are equal when their containers and batches are, however they came to be told.
impl PartialEq for Yard {
    fn eq(&self, other: &Self) -> bool {
        self.facts() == other.facts()
    }
}

/// What the records of a subject do beyond that subject.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq, Serialize)]
struct Home {
    /// Other subjects they change: mostly containers into which fuel was poured.
    touches: BTreeSet<Topic>,
    /// Those of them that they change by more than pouring: a correction may move an event.
    moves: BTreeSet<Topic>,
    /// Records that its corrections speak of.
    corrected: BTreeSet<Uuid>,
    /// What does not add up about its corrections.
    findings: Vec<Finding>,
}

impl Home {
    fn is_blank(&self) -> bool {
        self.touches.is_empty() && self.corrected.is_empty() && self.findings.is_empty()
    }
}

/// What a search for one container came to.
#[derive(Clone, Debug, PartialEq)]
pub enum Sought<'a> {
    /// There is none.
    Nothing,
    /// There is this one.
    One(&'a Container),
    /// There are these, and a person must say which.
    Several(Vec<&'a Container>),
}

/// A recall that concerns a container.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recall<'a> {
    /// The batch.
    pub batch: &'a str,
    /// Who recalled it, when and why.
    pub said: &'a Said<String>,
    /// When fuel of it came into the container, and whether it was emptied since.
    pub touch: Touch,
}

impl Yard {
    /// Every container, by id.
    pub fn containers(&self) -> impl ExactSizeIterator<Item = &Container> {
        self.containers.values()
    }

    /// The container of an id.
    #[must_use]
    pub fn container(&self, id: Uuid) -> Option<&Container> {
        self.containers.get(&id)
    }

    /// What was said about a batch as a whole; `None` when nothing was.
    #[must_use]
    pub fn batch(&self, name: &str) -> Option<&Batch> {
        self.batches.get(name)
    }

    /// The containers at a place, by id.
    pub fn at(&self, place: &str) -> impl Iterator<Item = &Container> {
        self.containers().filter(move |it| it.place.as_deref() == Some(place))
    }

    /// The word of a name of this yard.
    #[must_use]
    pub fn text(&self, name: Name) -> &str {
        self.names.text(name)
    }

    /// The container that people call `sought`, in capitals or not, or whose id starts so.
    #[must_use]
    pub fn find(&self, sought: &str) -> Sought<'_> {
        let sought = sought.trim().to_lowercase();
        let digits = sought.replace('-', "");
        let starts = |id: Uuid| !digits.is_empty() && id.simple().to_string().starts_with(&digits);
        let called = |it: &Container| it.label().is_some_and(|it| it.to_lowercase() == sought);
        let found: Vec<_> = self.containers().filter(|it| called(it) || starts(it.id)).collect();
        match found[..] {
            [] => Sought::Nothing,
            [one] => Sought::One(one),
            _ => Sought::Several(found),
        }
    }

    /// The recalls of every batch that ever came into a container.
    #[must_use]
    pub fn recalls(&self, id: Uuid) -> Vec<Recall<'_>> {
        let recalled = self.touches(id).into_iter().filter_map(|touch| {
            let batch = self.batches.get(self.text(touch.batch))?;
            let of = move |said| Recall { batch: &batch.name, said, touch };
            Some(batch.recalls.iter().map(of))
        });
        recalled.flatten().collect()
    }

    /// Everything that does not add up about a container, oldest first.
    #[must_use]
    pub fn findings(&self, id: Uuid) -> Vec<Finding> {
        let own = self.containers.get(&id).map_or(&[][..], |it| &it.findings);
        let home = self.homes.get(&Topic::Container(id)).map_or(&[][..], |it| &it.findings);
        let mut findings = [own, home].concat();
        findings.extend(self.drawn_after_recall(id));
        findings.extend(self.grades_mixed(id));
        findings.sort_by_key(|it| (it.stamp.at_ms, it.stamp.record));
        findings
    }

    /// What does not add up about the corrections of a batch, oldest first.
    #[must_use]
    pub fn batch_findings(&self, batch: &str) -> &[Finding] {
        self.homes.get(&Topic::Batch(batch.to_owned())).map_or(&[], |it| &it.findings)
    }

    fn drawn_after_recall(&self, id: Uuid) -> Vec<Finding> {
        let draws = self.containers.get(&id).map_or(&[][..], |it| &it.draws);
        // A second recall of a batch adds nothing to a draw after the first.
        let mut first: Vec<Recall<'_>> = self.recalls(id);
        first.dedup_by(|later, sooner| later.touch == sooner.touch);
        let after = first.into_iter().flat_map(|Recall { said, touch, .. }| {
            let used = draws.iter().filter(|draw| draw.into != Destination::Waste);
            used.filter(move |it| touch.is_in(&it.stamp) && it.stamp.at_ms >= said.stamp.at_ms)
                .map(move |it| (it.stamp, touch.batch))
        });
        after
            .map(|(stamp, batch)| Finding { stamp, what: Oddity::DrawnAfterRecall { batch } })
            .collect()
    }

    fn grades_mixed(&self, id: Uuid) -> Vec<Finding> {
        let touches = self.touches(id);
        let pairs = touches.iter().zip(touches.iter().skip(1));
        let mixed = pairs.filter(|(onto, new)| onto.left == new.left && onto.grade != new.grade);
        mixed
            .map(|(onto, new)| {
                let what = Oddity::GradesMixed { grade: new.grade, onto: onto.grade };
                Finding { stamp: new.entered, what }
            })
            .collect()
    }

    /// The containers a supplier filled from a batch, by id.
    fn filled_from(&self, batch: Name) -> impl Iterator<Item = &Container> {
        let range = (batch, Uuid::nil())..=(batch, Uuid::max());
        self.by_batch.range(range).filter_map(|(_, id)| self.containers.get(id))
    }

    /// The containers a flight took fuel from, by id.
    fn drawn_for(&self, flight: Name) -> impl Iterator<Item = &Container> {
        let range = (flight, Uuid::nil())..=(flight, Uuid::max());
        self.by_flight.range(range).filter_map(|(_, id)| self.containers.get(id))
    }
}
