//! From records to the history as it is now told: every corrected record speaks its
//! replacement, at its own place, and corrections themselves are silent.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::{Finding, Name, Oddity, Stamp, names::Names};
use crate::{
    event::{
        Body, Event,
        v1::{Corrected, Into},
    },
    record::{Order, Record, RecordId, RecordRef, Subject},
};

/// What is folded by itself.
#[derive(Clone, Debug, serde::Deserialize, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub(super) enum Topic {
    Container(Uuid),
    Batch(String),
}

impl Topic {
    /// `None` for a subject that is not of the yard.
    pub(super) fn parse(subject: &str) -> Option<Self> {
        match subject.split_once(':')? {
            ("container", id) => Uuid::try_parse(id).ok().map(Self::Container),
            ("batch", name) => Some(Self::Batch(name.to_owned())),
            _ => None,
        }
    }

    pub(super) fn subject(&self) -> Subject {
        match self {
            Self::Container(id) => Subject::container(*id),
            Self::Batch(name) => Subject::batch(name),
        }
    }

    /// What an event is about, and what else it changes: fuel drawn from one container into
    /// another changes both.
    pub(super) fn of(event: &Event) -> [Option<Self>; 2] {
        let id = match event {
            Event::Received(it) => it.container,
            Event::Stored(it) => it.container,
            Event::Inspected(it) => it.container,
            Event::Stood(it) => it.container,
            Event::Sampled(it) => it.container,
            Event::Opened(it) => it.container,
            Event::PartMarked(it) => it.container,
            Event::Emptied(it) => it.container,
            Event::Condemned(it) => it.container,
            Event::Counted(it) => it.container,
            Event::Drawn(it) => {
                let second = match it.into {
                    Into::Container(id) if id != it.container => Some(Self::Container(id)),
                    _ => None,
                };
                return [Some(Self::Container(it.container)), second];
            }
            Event::BatchRecalled(it) => return [Some(Self::Batch(it.batch.clone())), None],
            Event::BatchRetested(it) => return [Some(Self::Batch(it.batch.clone())), None],
            Event::Corrected(_) => return [None, None],
        };
        [Some(Self::Container(id)), None]
    }
}

/// An event as it is now told.
#[derive(Clone, Debug)]
pub(super) struct Told {
    pub(super) record: RecordId,
    pub(super) order: Order,
    pub(super) by: Name,
    pub(super) event: Event,
}

impl Told {
    fn finding(&self, what: Oddity) -> Finding {
        finding(self.record, self.order, self.by, what)
    }
}

fn finding(record: RecordId, order: Order, by: Name, what: Oddity) -> Finding {
    Finding { stamp: Stamp { record, at_ms: order.at_ms, by, nth: 0 }, what }
}

/// All records of one subject, with its corrections worked in.
#[derive(Debug, Default)]
pub(super) struct Resolved {
    /// In the order of the fold, without corrections.
    pub(super) told: Vec<Told>,
    /// Every record that a correction speaks of, whether it is here or not.
    pub(super) corrected: BTreeSet<Uuid>,
    pub(super) findings: Vec<Finding>,
}

/// Works the corrections of one subject into its records, given in any order.
pub(super) fn resolve(records: &[Record], names: &mut Names) -> Resolved {
    let mut records: Vec<RecordRef<'_>> = records.iter().map(Record::as_ref).collect();
    records.sort_by_key(|it| (it.order, it.id, it.hash));
    records.dedup();
    let mut resolved = Resolved::default();
    for record in records {
        let (id, order, by) = (record.id, record.order, names.of(record.author));
        match record.event().map(Body::yard) {
            Ok(Some(event)) => resolved.told.push(Told { record: id, order, by, event }),
            // What is not of the yard has no business under its subjects.
            Ok(None) | Err(_) => resolved.findings.push(finding(id, order, by, Oddity::Unreadable)),
        }
    }
    if resolved.told.iter().any(|told| matches!(told.event, Event::Corrected(_))) {
        Corrections::of(&resolved.told).work_into(&mut resolved);
    }
    resolved
}

/// What a correction puts in the place of a record.
struct Instead {
    /// Place of the correction: a later one wins.
    order: Order,
    event: Option<Event>,
}

/// The corrections of one subject as a graph from each correcting record to what it corrects.
///
/// A record can be settled once every record that may correct it is settled. Clocks of two
/// devices may disagree, so a correction can stand before what it corrects: the graph, not
/// time, gives the order in which they are settled.
struct Corrections {
    /// Correcting record to corrected record, once for each way it may come to that.
    edges: BTreeMap<Uuid, Vec<Uuid>>,
    /// How many unsettled edges still point at an unsettled record.
    waiting: BTreeMap<Uuid, usize>,
    /// Unsettled records that wait for nothing.
    free: Vec<Uuid>,
}

impl Corrections {
    fn of(told: &[Told]) -> Self {
        let (edges, waiting) = (BTreeMap::new(), BTreeMap::new());
        let mut corrections = Self { edges, waiting, free: Vec::new() };
        for told in told {
            corrections.add(told.record.0, &told.event);
        }
        let free = corrections.waiting.iter().filter(|(_, waiting)| **waiting == 0);
        corrections.free = free.map(|(record, _)| *record).collect();
        corrections
    }

    /// `event` may stand at `record`. Its replacement, if it is a correction again, may come to
    /// stand at the record it corrects, and correct from there.
    fn add(&mut self, record: Uuid, event: &Event) {
        let (mut record, mut event) = (record, event);
        while let Event::Corrected(Corrected { of, instead, .. }) = event {
            self.edges.entry(record).or_default().push(*of);
            self.waiting.entry(record).or_insert(0);
            *self.waiting.entry(*of).or_insert(0) += 1;
            let Some(next) = instead else { break };
            (record, event) = (*of, next);
        }
    }

    fn work_into(mut self, resolved: &mut Resolved) {
        resolved.corrected = self.edges.values().flatten().copied().collect();
        let mut instead: BTreeMap<Uuid, Instead> = BTreeMap::new();
        let mut places: BTreeMap<Uuid, Vec<usize>> = BTreeMap::new();
        for (place, told) in resolved.told.iter().enumerate() {
            places.entry(told.record.0).or_default().push(place);
        }
        while let Some((record, looped)) = self.next(&places) {
            let here = places.get(&record).map_or(&[][..], Vec::as_slice);
            for told in here.iter().filter_map(|place| resolved.told.get(*place)) {
                if looped {
                    resolved.findings.push(told.finding(Oddity::CorrectionLoop));
                }
                let event = instead.get(&record).map_or(Some(&told.event), |it| it.event.as_ref());
                let Some(Event::Corrected(Corrected { of, instead: event, .. })) = event else {
                    continue;
                };
                let (of, event) = (*of, event.as_deref().cloned());
                if !places.contains_key(&of) {
                    let what = Oddity::CorrectsNothing { of: RecordId(of) };
                    resolved.findings.push(told.finding(what));
                }
                // What is settled stays so: only a loop comes back to it.
                let open = self.waiting.contains_key(&of);
                if open && instead.get(&of).is_none_or(|known| known.order < told.order) {
                    instead.insert(of, Instead { order: told.order, event });
                }
            }
        }
        resolved.findings.sort_by_key(|found| (found.stamp.at_ms, found.stamp.record));
        resolved.told.retain_mut(|told| {
            match instead.get(&told.record.0) {
                Some(Instead { event: None, .. }) => return false,
                Some(Instead { event: Some(event), .. }) => told.event = event.clone(),
                None => {}
            }
            !matches!(told.event, Event::Corrected(_))
        });
    }

    /// The next record to settle, and whether a loop had to be cut for it.
    fn next(&mut self, places: &BTreeMap<Uuid, Vec<usize>>) -> Option<(Uuid, bool)> {
        let free = self.free.pop();
        // The latest record of a loop counts first; one that is not here never does.
        let cut = || self.waiting.keys().max_by_key(|record| places.get(record)).copied();
        let record = free.or_else(cut)?;
        self.waiting.remove(&record);
        for of in self.edges.remove(&record).unwrap_or_default() {
            if let Some(waiting) = self.waiting.get_mut(&of) {
                *waiting = waiting.saturating_sub(1);
                if *waiting == 0 {
                    self.free.push(of);
                }
            }
        }
        Some((record, free.is_none()))
    }
}
