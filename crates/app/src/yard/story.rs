//! What the ledger tells of one aeroplane around a time: for reports and for the spill paper.
//!
//! A record belongs to the story when it names the aeroplane or a run sheet of it, or is about a
//! container that the documents name, whose fuel went into the aeroplane in that time, or that
//! was poured into such a one, or about a batch of that fuel. Everything else of the same place
//! and time is counted, so that nobody takes the story for all there is.

use std::{
    collections::{BTreeMap, BTreeSet},
    ops::ControlFlow,
};

use jiff::{SignedDuration, Timestamp};
use stillprop_ledger::{
    event::v2::{Entry, Stop},
    record::{RecordRef, Subject, mentions},
    runs::{self, Line, Run},
};
use uuid::Uuid;

use super::{
    Ledger, convert,
    history::{Past, with_hash},
    trace::label,
    words::{self, Names},
};
use crate::problem::Failure;

/// Records this long before and after are looked at.
const AROUND: SignedDuration = SignedDuration::from_hours(24);
/// At most so many are shown, the latest.
const MOST: usize = 40;

/// Of what and when.
pub(crate) struct Sought<'a> {
    pub(crate) registration: &'a str,
    /// Where it happened.
    pub(crate) place: &'a str,
    /// Labels of the containers that the documents name.
    pub(crate) drums: Vec<&'a str>,
    pub(crate) at: Timestamp,
    /// The tasks of its run sheet, for their titles.
    pub(crate) tasks: &'a [stillprop_turnaround::sheet::Task],
}

/// Fuel that went into the aeroplane.
pub(crate) struct Drawn {
    pub(crate) at: Option<Timestamp>,
    pub(crate) by: String,
    /// `40 L out of NT-09 at Nessow Top into QK-CSX left for F-12`.
    pub(crate) what: String,
    /// `avgas 100LL, batch VF-26-031`, for each filling behind it.
    pub(crate) fuel: Vec<String>,
}

/// Something on the run sheet.
pub(crate) struct Said {
    pub(crate) at: Option<Timestamp>,
    pub(crate) by: String,
    pub(crate) what: String,
}

/// A stop that was called.
pub(crate) struct Called {
    pub(crate) stop: Stop,
    pub(crate) said: Said,
}

/// What the records tell.
#[derive(Default)]
pub(crate) struct Story {
    /// Oldest first.
    pub(crate) records: Vec<Past>,
    /// Earlier ones of the story, not shown.
    pub(crate) more: usize,
    /// Records of this place and time that are about nothing of the story.
    pub(crate) beside: usize,
    pub(crate) drawn: Vec<Drawn>,
    /// Tasks with what was read, and what did not pass.
    pub(crate) readings: Vec<Said>,
    pub(crate) stops: Vec<Called>,
    /// What was done after a stop was called, by what was called.
    pub(crate) steps: Vec<Called>,
}

impl Story {
    /// Reads it.
    pub(crate) fn read(ledger: &Ledger, sought: &Sought<'_>) -> Result<Self, Failure> {
        let end = |at: Result<Timestamp, _>, least| at.map_or(least, |at| at.as_millisecond());
        let from = end(sought.at.checked_sub(AROUND), i64::MIN);
        let to = end(sought.at.checked_add(AROUND), i64::MAX);
        let names = Names { yard: Some(&ledger.yard), tasks: sought.tasks };
        let mut story = Self::default();
        let mut keys = BTreeSet::from([format!("aircraft:{}", sought.registration)]);
        for name in &sought.drums {
            let own = ledger.yard.at(sought.place).filter(|it| it.label() == Some(*name));
            keys.extend(own.map(|it| Subject::container(it.id).0));
        }
        story.drawn(ledger, sought, (from, to), &mut keys);
        for run in runs::of_aircraft(ledger.store_ref(), sought.registration)? {
            keys.insert(Subject::sheet(run.sheet).0);
            story.run(&run, (from, to), names);
        }
        story.told(ledger, sought, (from, to), &keys, names)?;
        Ok(story)
    }

    /// The stop of a kind that was called last.
    pub(crate) fn called(&self, stop: Stop) -> Option<&Said> {
        self.stops.iter().rfind(|it| it.stop == stop).map(|it| &it.said)
    }

    fn drawn(
        &mut self,
        ledger: &Ledger,
        sought: &Sought<'_>,
        (from, to): (i64, i64),
        keys: &mut BTreeSet<String>,
    ) {
        let yard = &ledger.yard;
        let mut rows: BTreeMap<(i64, Uuid, u32), Drawn> = BTreeMap::new();
        for it in yard.drawn_into(sought.registration, from, to) {
            keys.extend(it.behind.iter().map(|(container, _)| Subject::container(container.id).0));
            let mut fuel: Vec<String> = Vec::new();
            for (_, fill) in &it.fills {
                let (grade, batch) = (yard.text(fill.grade), yard.text(fill.batch));
                keys.insert(Subject::batch(batch).0);
                let words = format!("{grade}, batch {batch}");
                if !fuel.contains(&words) {
                    fuel.push(words);
                }
            }
            let stamp = it.draw.stamp;
            let into = super::trace::into(yard, it.draw);
            let litres = words::litres(it.draw.volume_ml);
            let row = Drawn {
                at: convert::instant(stamp.at_ms),
                by: yard.text(stamp.by).to_owned(),
                what: format!("{litres} out of {} {into}", label(it.container)),
                fuel,
            };
            rows.insert((stamp.at_ms, it.container.id, stamp.nth), row);
        }
        self.drawn.extend(rows.into_values());
    }

    fn run(&mut self, run: &Run, (from, to): (i64, i64), names: Names<'_>) {
        for line in run.lines.iter().filter(|line| (from..=to).contains(&line.at_ms)) {
            let said = || said(line, names);
            match &line.what {
                Entry::TaskDone(it) if it.reading.is_some() => self.readings.push(said()),
                Entry::HoldRefused(_) => self.readings.push(said()),
                Entry::StopCalled(it) => self.stops.push(Called { stop: it.stop, said: said() }),
                Entry::StopStepDone(it) => self.steps.push(Called { stop: it.stop, said: said() }),
                _ => {}
            }
        }
    }

    fn told(
        &mut self,
        ledger: &Ledger,
        sought: &Sought<'_>,
        (from, to): (i64, i64),
        keys: &BTreeSet<String>,
        names: Names<'_>,
    ) -> Result<(), Failure> {
        let mut rows = Vec::new();
        ledger.store_ref().read_all(&mut |record| {
            if (from..=to).contains(&record.order.at_ms) {
                if belongs(record, keys) {
                    rows.push((record.order, with_hash(record, names)));
                } else if is_at(record, ledger, sought.place) {
                    self.beside += 1;
                }
            }
            ControlFlow::Continue(())
        })?;
        rows.sort_by_key(|(order, _)| *order);
        self.more = rows.len().saturating_sub(MOST);
        self.records = rows.into_iter().skip(self.more).map(|(_, past)| past).collect();
        Ok(())
    }
}

fn said(line: &Line, names: Names<'_>) -> Said {
    Said {
        at: convert::instant(line.at_ms),
        by: line.author.clone(),
        what: words::entry(&line.what, names),
    }
}

/// By its subject, or by an aeroplane, container or sheet that it names. A batch that it names is
/// not enough: other drums come from it too.
fn belongs(record: RecordRef<'_>, keys: &BTreeSet<String>) -> bool {
    let named = |key: &String| !key.starts_with("batch:") && keys.contains(key);
    keys.contains(record.subject)
        || record.event().is_ok_and(|event| mentions(&event).iter().any(named))
}

fn is_at(record: RecordRef<'_>, ledger: &Ledger, place: &str) -> bool {
    let container = record.subject.strip_prefix("container:").and_then(|id| id.parse().ok());
    let container = container.and_then(|id: Uuid| ledger.yard.container(id));
    let there = format!("place:{place}");
    container.is_some_and(|it| it.place.as_deref() == Some(place))
        || record.event().is_ok_and(|event| mentions(&event).contains(&there))
}
