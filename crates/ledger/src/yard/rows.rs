//! What a container keeps of each event that matters later: small rows, in the order of the fold.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::Name;
use crate::{
    event::v1::{Appearance, Paste},
    record::RecordId,
};

/// Who stated something, when, and where it stands among the events of one container or batch.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Stamp {
    /// The record that states it. A corrected record keeps its place and its author.
    pub record: RecordId,
    /// When. \[ms since 1970\]
    pub at_ms: i64,
    /// Who.
    pub by: Name,
    /// Which of the events of this container or batch, from 0.
    pub nth: u32,
}

/// Something stated.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Said<T> {
    /// By whom and when.
    pub stamp: Stamp,
    /// What.
    pub what: T,
}

/// Fuel that came with the container, or into it from a supplier.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Fill {
    /// By whom and when.
    pub stamp: Stamp,
    /// The supplier's lot.
    pub batch: Name,
    /// Grade.
    pub grade: Name,
    /// How much. \[mL\]
    pub volume_ml: i64,
}

/// Fuel that came out of another container.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Inflow {
    /// By whom and when; the same record is the [`Draw`] of the other container.
    pub stamp: Stamp,
    /// The other container.
    pub from: Uuid,
    /// How much. \[mL\]
    pub volume_ml: i64,
}

/// Where drawn fuel went.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub enum Destination {
    /// A tank of an aircraft.
    Aircraft {
        /// Registration.
        registration: Name,
        /// Tank.
        tank: Name,
    },
    /// Another container.
    Container(Uuid),
    /// Samples, flushing, waste.
    Waste,
}

/// Fuel taken out.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Draw {
    /// By whom and when.
    pub stamp: Stamp,
    /// How much. \[mL\]
    pub volume_ml: i64,
    /// Where it went.
    pub into: Destination,
    /// The flight it was for.
    pub flight: Option<Name>,
}

/// A sample as it was judged.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Sample {
    /// By whom and when.
    pub stamp: Stamp,
    /// Drawn from the low point.
    pub low_point: bool,
    /// Appearance.
    pub appearance: Appearance,
    /// Colour in a word.
    pub colour: Name,
    /// Water paste.
    pub paste: Paste,
    /// Density as read. \[g/m3\]
    pub density_g_m3: Option<i64>,
    /// Temperature of the sample. \[thousandth of a degree Celsius\]
    pub temperature_mdegc: Option<i32>,
}

/// Why book and container differed.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub enum Cause {
    /// Somebody counted.
    Counted,
    /// Nothing usable was left: what the book still held is written off.
    Emptied,
}

/// The book against what was found. The book follows what was found; the difference stays.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// By whom and when.
    pub stamp: Stamp,
    /// Why.
    pub cause: Cause,
    /// What the book said. \[mL\]
    pub book_ml: i64,
    /// What was found. \[mL\]
    pub found_ml: i64,
}

impl Difference {
    /// What was found less what the book said. \[mL\]
    #[must_use]
    pub fn change_ml(&self) -> i64 {
        self.found_ml.saturating_sub(self.book_ml)
    }
}

/// What was written on a container that is partly used.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct PartMark {
    /// What is left, as written. \[mL\]
    pub left_ml: i64,
    /// What the book said then. \[mL\]
    pub book_ml: i64,
}

/// A row in the order of the fold.
pub(super) trait Row {
    fn stamp(&self) -> &Stamp;

    /// The row of the record that `stamp` is of, in rows of one container.
    ///
    /// Rows lie in the order of time, so few are looked at however many there are.
    fn of_record<'a>(rows: &'a [Self], stamp: &Stamp) -> Option<&'a Self>
    where
        Self: Sized,
    {
        let first = rows.partition_point(|row| row.stamp().at_ms < stamp.at_ms);
        let rows = rows.get(first..).unwrap_or_default().iter();
        let mut same_time = rows.take_while(|row| row.stamp().at_ms == stamp.at_ms);
        same_time.find(|row| row.stamp().record == stamp.record)
    }
}

macro_rules! rows {
    ($($row:ty),*) => {
        $(impl Row for $row {
            fn stamp(&self) -> &Stamp {
                &self.stamp
            }
        })*
    };
}

rows!(Fill, Inflow, Draw, Sample, Difference);
