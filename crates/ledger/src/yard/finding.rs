//! What does not add up. A finding is for a person to look at; the fold goes on.

use serde::{Deserialize, Serialize};

use super::{Name, Stamp};
use crate::record::{DeviceId, RecordId};

/// Something that does not add up, at the record that shows it.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The record that shows it.
    pub stamp: Stamp,
    /// What it is.
    pub what: Oddity,
}

/// The ways in which a history does not add up.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
pub enum Oddity {
    /// More was drawn than the book held.
    Overdrawn {
        /// How much more. \[mL\]
        short_ml: i64,
        /// Devices on which it was drawn since the contents were last known.
        devices: Vec<DeviceId>,
    },
    /// Fuel was drawn for use after nothing usable was left.
    DrawnAfterEmptied,
    /// Fuel was drawn for use after the container was condemned.
    DrawnAfterCondemned,
    /// Fuel was drawn for use after its batch was recalled.
    DrawnAfterRecall {
        /// The batch.
        batch: Name,
    },
    /// Fuel of one grade came onto fuel of another.
    GradesMixed {
        /// What was in it.
        grade: Name,
        /// What came in.
        onto: Name,
    },
    /// Something happened to the container before it was received, or it never was.
    BeforeReceipt,
    /// A drum was received again though it had not been emptied.
    ReceivedTwice,
    /// The book says more than the container holds when full.
    OverCapacity {
        /// How much more. \[mL\]
        over_ml: i64,
    },
    /// A device's records fall back in time, or two of them claim one place.
    OutOfOrder,
    /// A volume below zero or beyond any container; it is left out of the book.
    NoSuchVolume {
        /// As recorded. \[mL\]
        volume_ml: i64,
    },
    /// A correction of a record that is not here.
    CorrectsNothing {
        /// The record it names.
        of: RecordId,
    },
    /// Corrections that correct each other; the latest of them counts first.
    CorrectionLoop,
    /// The body of the record cannot be read; it counts as not recorded.
    Unreadable,
}
