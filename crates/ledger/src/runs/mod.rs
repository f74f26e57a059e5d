//! What was done on each run sheet, folded from events.
//!
//! | module | holds |
//! |---|---|
//! | `told` | records with their corrections worked in |
//! | `open` | sheets and the store their records are in |
//!
//! A run is a function of the set of records it was given: neither the order in which they
//! arrive nor the devices they come from matter. What does not add up becomes a finding, and the
//! fold goes on. Whether a task was due is not known here; the sheet itself judges that.

mod open;
mod told;

use std::collections::{BTreeMap, BTreeSet};

pub use open::{of_aircraft, read};
use uuid::Uuid;

use crate::{
    event::v2::{Entry, Outcome, SheetOpened, Stop},
    record::{Record, RecordId, RecordRef},
};

/// One sheet as it was gone through.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// The sheet.
    pub sheet: Uuid,
    /// What was entered, in the order of the fold, as corrections have left it.
    pub lines: Vec<Line>,
    /// What does not add up, in the order of the fold.
    pub findings: Vec<Finding>,
    /// Where it stands now.
    pub standing: Standing,
}

/// One entry of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The record that states it. A corrected record keeps its place and its author.
    pub record: RecordId,
    /// When. \[ms since 1970\]
    pub at_ms: i64,
    /// Who states it.
    pub author: String,
    /// What.
    pub what: Entry,
}

/// Where a sheet stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Work goes on.
    Open,
    /// Work was broken off.
    Interrupted,
    /// Everything stopped, for these reasons, in the order in which they were called.
    Stopped(Vec<Stop>),
    /// It is over.
    Closed(Outcome),
}

/// Something that does not add up, at the record that shows it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// When. \[ms since 1970\]
    pub at_ms: i64,
    /// The record.
    pub record: RecordId,
    /// What it is.
    pub what: Oddity,
}

/// The ways in which a run does not add up.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Oddity {
    /// Something was entered before the sheet was opened, or it never was.
    BeforeOpened,
    /// It was opened again.
    OpenedTwice,
    /// Something was entered after it was closed.
    AfterClosed,
    /// A task was done though it was done already, and nothing between could have undone it: no
    /// break, no stop, no reading that did not pass.
    DoneTwice {
        /// Which.
        task: String,
    },
    /// A task was done while everything was stopped.
    DoneWhileStopped {
        /// Which.
        task: String,
    },
    /// Something was done for a stop that was not called.
    StepWithoutStop {
        /// For which.
        stop: Stop,
    },
    /// A correction of a record that is not here.
    CorrectsNothing {
        /// The record it names.
        of: RecordId,
    },
    /// Corrections that correct each other; the latest of them counts first.
    CorrectionLoop,
    /// Two records claim one place of a device, or one id.
    SamePlace,
    /// The body of the record cannot be read as something of a sheet; it counts as not recorded.
    Unreadable,
}

impl Finding {
    fn of(record: &RecordRef<'_>, what: Oddity) -> Self {
        Self { at_ms: record.order.at_ms, record: record.id, what }
    }
}

/// Every sheet that `records` speak of, given in any order. Records of other subjects pass by.
#[must_use]
pub fn fold(records: &[Record]) -> BTreeMap<Uuid, Run> {
    let mut by_sheet: BTreeMap<Uuid, Vec<&Record>> = BTreeMap::new();
    for record in records {
        if let Some(sheet) = sheet_of(&record.subject.0) {
            by_sheet.entry(sheet).or_default().push(record);
        }
    }
    by_sheet.into_iter().map(|(sheet, records)| (sheet, Run::of(sheet, &records))).collect()
}

/// The sheet that a subject names.
fn sheet_of(subject: &str) -> Option<Uuid> {
    Uuid::try_parse(subject.strip_prefix("sheet:")?).ok()
}

impl Run {
    fn of(sheet: Uuid, records: &[&Record]) -> Self {
        let (lines, findings) = told::resolve(records);
        let mut run = Self { sheet, lines: Vec::new(), findings, standing: Standing::Open };
        let mut done = BTreeSet::new();
        let mut opened = false;
        for line in lines {
            let odd = run.oddity(&line.what, &mut opened, &mut done);
            let finding = |what| Finding { at_ms: line.at_ms, record: line.record, what };
            run.findings.extend(odd.map(finding));
            run.stand(&line.what);
            run.lines.push(line);
        }
        run.findings.sort();
        run.findings.dedup();
        run
    }

    /// What does not add up about the next entry.
    fn oddity(
        &self,
        entry: &Entry,
        opened: &mut bool,
        done: &mut BTreeSet<String>,
    ) -> Option<Oddity> {
        let was_open = *opened;
        *opened |= matches!(entry, Entry::SheetOpened(_));
        if matches!(self.standing, Standing::Closed(_)) {
            return Some(Oddity::AfterClosed);
        }
        let stopped = |stop: Option<Stop>| match (&self.standing, stop) {
            (Standing::Stopped(stops), Some(stop)) => stops.contains(&stop),
            (standing, None) => matches!(standing, Standing::Stopped(_)),
            _ => false,
        };
        if !matches!(entry, Entry::TaskDone(_) | Entry::StopStepDone(_)) {
            // What was done before may be to be done again.
            done.clear();
        }
        match entry {
            Entry::SheetOpened(_) => was_open.then_some(Oddity::OpenedTwice),
            _ if !was_open => Some(Oddity::BeforeOpened),
            Entry::TaskDone(it) if !done.insert(it.task.clone()) => {
                Some(Oddity::DoneTwice { task: it.task.clone() })
            }
            Entry::TaskDone(it) if stopped(None) => {
                Some(Oddity::DoneWhileStopped { task: it.task.clone() })
            }
            Entry::StopStepDone(it) if !stopped(Some(it.stop)) => {
                Some(Oddity::StepWithoutStop { stop: it.stop })
            }
            _ => None,
        }
    }

    fn stand(&mut self, entry: &Entry) {
        // What is over stays so; only a correction takes that back.
        if matches!(self.standing, Standing::Closed(_)) {
            return;
        }
        match (entry, &mut self.standing) {
            (Entry::SheetClosed(it), standing) => *standing = Standing::Closed(it.outcome),
            (Entry::StopCalled(it), Standing::Stopped(stops)) if stops.contains(&it.stop) => {}
            (Entry::StopCalled(it), Standing::Stopped(stops)) => stops.push(it.stop),
            (Entry::StopCalled(it), standing) => *standing = Standing::Stopped(vec![it.stop]),
            (Entry::Resumed(_), standing) => *standing = Standing::Open,
            // A stop outlasts a break.
            (Entry::Interrupted(_), standing @ Standing::Open) => *standing = Standing::Interrupted,
            _ => {}
        }
    }

    /// With what it was first opened.
    #[must_use]
    pub fn opened(&self) -> Option<&SheetOpened> {
        self.lines.iter().find_map(|line| match &line.what {
            Entry::SheetOpened(opened) => Some(opened),
            _ => None,
        })
    }

    /// The entry with which a task was last done.
    #[must_use]
    pub fn done(&self, task: &str) -> Option<&Line> {
        let of = |line: &&Line| matches!(&line.what, Entry::TaskDone(it) if it.task == task);
        self.lines.iter().rfind(of)
    }
}
