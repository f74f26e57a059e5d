//! Events of version 2: what happens on the run sheet of one turnaround. The yard stays with
//! version 1 and knows nothing of these.
//!
//! Every event names its sheet, so that each can be understood by itself. A reading is kept as
//! it was typed, with its unit; beside it stand whole numbers with the unit in their names where
//! there are any, so that bytes never depend on how a machine prints a fraction.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// Something that happened on a run sheet, as a person or the program states it.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Event {
    /// A sheet was begun.
    SheetOpened(SheetOpened),
    /// A task was done.
    TaskDone(TaskDone),
    /// A hold point was not passed.
    HoldRefused(HoldRefused),
    /// Work was broken off.
    Interrupted(Interrupted),
    /// Work goes on.
    Resumed(Resumed),
    /// Everything stops.
    StopCalled(StopCalled),
    /// One of the things to do after a stop was done.
    StopStepDone(StopStepDone),
    /// The sheet is over.
    SheetClosed(SheetClosed),
    /// An earlier event of this sheet was wrong.
    Corrected(Corrected),
}

/// What can be recorded in place of an event that was wrong: any but a correction.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Entry {
    /// A sheet was begun.
    SheetOpened(SheetOpened),
    /// A task was done.
    TaskDone(TaskDone),
    /// A hold point was not passed.
    HoldRefused(HoldRefused),
    /// Work was broken off.
    Interrupted(Interrupted),
    /// Work goes on.
    Resumed(Resumed),
    /// Everything stops.
    StopCalled(StopCalled),
    /// One of the things to do after a stop was done.
    StopStepDone(StopStepDone),
    /// The sheet is over.
    SheetClosed(SheetClosed),
}

/// A sheet was begun.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct SheetOpened {
    /// The sheet.
    pub sheet: Uuid,
    /// Title of the turnaround.
    pub turnaround: String,
    /// Registration of the aircraft.
    pub aircraft: String,
    /// The strip.
    pub place: String,
    /// Hash of the documents that the sheet was made from, in hexadecimal digits.
    pub documents: String,
    /// How it is fuelled, and started where that is special.
    pub method: String,
    /// How many people do it.
    pub people: u8,
}

/// A reading.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Exactly as typed, with its unit.
    pub typed: String,
    /// The same as whole numbers, where it has quantities: a density and its temperature are two.
    pub whole: Vec<Whole>,
}

/// A quantity as a whole number, with its unit in the name.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Whole {
    /// Volume. \[mL\]
    VolumeMl(i64),
    /// Density. \[g/m3\]
    DensityGM3(i64),
    /// Temperature. \[thousandth of a degree Celsius\]
    TemperatureMdegc(i64),
    /// Length: a dip, a distance. \[mm\]
    LengthMm(i64),
    /// Mass. \[g\]
    MassG(i64),
    /// Time. \[ms\]
    TimeMs(i64),
    /// Electric potential. \[mV\]
    PotentialMv(i64),
    /// Electrical resistance. \[thousandth of an ohm\]
    ResistanceMohm(i64),
    /// A number of things.
    Count(i64),
}

/// Who did something.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Doer {
    /// In which role: pilot, helper, refueller.
    pub role: String,
    /// The person, where it is not the author of the record.
    pub person: Option<String>,
}

/// A task was done.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct TaskDone {
    /// The sheet.
    pub sheet: Uuid,
    /// The task, by its name on the sheet.
    pub task: String,
    /// Who did it.
    pub by: Doer,
    /// What was read, at a hold point.
    pub reading: Option<Reading>,
    /// Anything else.
    pub note: Option<String>,
}

/// A hold point was not passed.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct HoldRefused {
    /// The sheet.
    pub sheet: Uuid,
    /// The task, by its name on the sheet.
    pub task: String,
    /// Who read it.
    pub by: Doer,
    /// What was read.
    pub reading: Option<Reading>,
    /// Why it does not pass.
    pub why: String,
}

/// Work was broken off.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Interrupted {
    /// The sheet.
    pub sheet: Uuid,
    /// Anything else.
    pub note: Option<String>,
}

/// Work goes on, after it was broken off or stopped.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Resumed {
    /// The sheet.
    pub sheet: Uuid,
    /// Anything else.
    pub note: Option<String>,
}

/// Why everything stops.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stop {
    /// Fuel on the ground.
    Spill,
    /// Fire.
    Fire,
    /// A bonding lead came off.
    LostBond,
    /// The fuel is not the one that belongs in it.
    WrongFuel,
    /// Somebody is hurt.
    Injury,
}

/// Everything stops.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct StopCalled {
    /// The sheet.
    pub sheet: Uuid,
    /// Why.
    pub stop: Stop,
    /// Anything else.
    pub note: Option<String>,
}

/// One of the things to do after a stop was done.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct StopStepDone {
    /// The sheet.
    pub sheet: Uuid,
    /// Why everything stopped.
    pub stop: Stop,
    /// Which of the stop actions, from 1.
    pub step: u8,
    /// What was done, as the sheet words it.
    pub what: String,
    /// Who did it.
    pub by: Doer,
    /// Anything else.
    pub note: Option<String>,
}

/// How a sheet ended.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Every task was done.
    Finished,
    /// It was given up before its end.
    Abandoned,
    /// It ended with a stop.
    Stopped,
}

/// The sheet is over.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct SheetClosed {
    /// The sheet.
    pub sheet: Uuid,
    /// How it ended.
    pub outcome: Outcome,
    /// Anything else.
    pub note: Option<String>,
}

/// An earlier event of this sheet was wrong.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Corrected {
    /// The sheet.
    pub sheet: Uuid,
    /// The record that was wrong.
    pub of: Uuid,
    /// What should have been recorded; `None` when it did not happen at all.
    pub instead: Option<Box<Entry>>,
    /// Why.
    pub reason: String,
}

impl Event {
    /// The sheet it belongs to.
    #[must_use]
    pub fn sheet(&self) -> Uuid {
        match self {
            Self::SheetOpened(it) => it.sheet,
            Self::TaskDone(it) => it.sheet,
            Self::HoldRefused(it) => it.sheet,
            Self::Interrupted(it) => it.sheet,
            Self::Resumed(it) => it.sheet,
            Self::StopCalled(it) => it.sheet,
            Self::StopStepDone(it) => it.sheet,
            Self::SheetClosed(it) => it.sheet,
            Self::Corrected(it) => it.sheet,
        }
    }

    /// What it enters on the sheet; the correction for one that enters nothing itself.
    pub(crate) fn into_entry(self) -> Result<Entry, Corrected> {
        Ok(match self {
            Self::SheetOpened(it) => Entry::SheetOpened(it),
            Self::TaskDone(it) => Entry::TaskDone(it),
            Self::HoldRefused(it) => Entry::HoldRefused(it),
            Self::Interrupted(it) => Entry::Interrupted(it),
            Self::Resumed(it) => Entry::Resumed(it),
            Self::StopCalled(it) => Entry::StopCalled(it),
            Self::StopStepDone(it) => Entry::StopStepDone(it),
            Self::SheetClosed(it) => Entry::SheetClosed(it),
            Self::Corrected(it) => return Err(it),
        })
    }
}

impl From<Entry> for Event {
    fn from(entry: Entry) -> Self {
        match entry {
            Entry::SheetOpened(it) => Self::SheetOpened(it),
            Entry::TaskDone(it) => Self::TaskDone(it),
            Entry::HoldRefused(it) => Self::HoldRefused(it),
            Entry::Interrupted(it) => Self::Interrupted(it),
            Entry::Resumed(it) => Self::Resumed(it),
            Entry::StopCalled(it) => Self::StopCalled(it),
            Entry::StopStepDone(it) => Self::StopStepDone(it),
            Entry::SheetClosed(it) => Self::SheetClosed(it),
        }
    }
}

impl Entry {
    /// The sheet it belongs to.
    #[must_use]
    pub fn sheet(&self) -> Uuid {
        match self {
            Self::SheetOpened(it) => it.sheet,
            Self::TaskDone(it) => it.sheet,
            Self::HoldRefused(it) => it.sheet,
            Self::Interrupted(it) => it.sheet,
            Self::Resumed(it) => it.sheet,
            Self::StopCalled(it) => it.sheet,
            Self::StopStepDone(it) => it.sheet,
            Self::SheetClosed(it) => it.sheet,
        }
    }
}
