//! What can go wrong with a store, and what a person can do about it.

use std::{error::Error, fmt};

use crate::record::{DeviceId, Flaw, RecordId};

/// What went wrong, with a way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StoreError {
    /// There is no file of that name.
    Missing(String),
    /// A file of that name is there already.
    Exists(String),
    /// The file is something else. It was not touched.
    NotALedger(String),
    /// A newer program made the file. It was not touched.
    Newer(String),
    /// What is stored is not what was written, with the place.
    Damaged(String),
    /// The disk, the folder or the file may not be written to, or was opened for reading.
    ReadOnly,
    /// No room is left.
    Full,
    /// Another program is writing and does not end.
    Busy,
    /// A record was not taken.
    Refused {
        /// Which of those handed over, from 0.
        index: usize,
        /// Its id.
        id: RecordId,
        /// Why.
        why: Refusal,
    },
    /// The system said something else, in its words.
    System(String),
}

/// Why a record was not taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// It is wrong by itself.
    Flawed(Flaw),
    /// Its id belongs to another record.
    IdTaken,
    /// It corrects a record that is not here.
    CorrectsUnknown(RecordId),
    /// What should have been recorded instead is about something else.
    CorrectsToOther,
    /// Records of its device before it are missing; the next would be this one.
    Gap {
        /// Whose.
        device: DeviceId,
        /// The first that is missing.
        missing: u64,
    },
    /// Its time lies before that of its device's record before.
    TimeFell,
}

impl StoreError {
    pub(crate) fn refused(index: usize, id: RecordId, why: Refusal) -> Self {
        Self::Refused { index, id, why }
    }
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(path) => write!(f, "{path} is not there; look at the name"),
            Self::Exists(path) => {
                write!(f, "{path} is there already and was not touched; choose another name")
            }
            Self::NotALedger(path) => {
                write!(f, "{path} is no ledger of this program and was not touched")
            }
            Self::Newer(path) => write!(
                f,
                "{path} was made by a newer version of this program and was not touched; \
                 use that version"
            ),
            Self::Damaged(place) => write!(
                f,
                "the ledger is damaged: {place}; keep the file as it is, restore the last backup \
                 under another name, and bring in what other devices have"
            ),
            Self::ReadOnly => f.write_str(
                "the ledger may not be written to, and nothing was recorded; look at the rights \
                 of the file and its folder, or copy it to a disk that can be written to",
            ),
            Self::Full => f.write_str(
                "the disk is full, and nothing was recorded; make room and record it again",
            ),
            Self::Busy => f.write_str(
                "another program is writing to the ledger, and nothing was recorded; \
                 let it end and record it again",
            ),
            Self::Refused { id, why, .. } => write!(f, "record {id} was not taken: {why}"),
            Self::System(words) => write!(f, "the ledger could not be used: {words}"),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flawed(flaw) => flaw.fmt(f),
            Self::IdTaken => f.write_str("another record has its id"),
            Self::CorrectsUnknown(id) => {
                write!(f, "it corrects record {id}, which is not here; bring that in first")
            }
            Self::CorrectsToOther => f.write_str(
                "a correction stays with its container, batch or sheet; state that it did not happen, \
                 and record it anew for the right one",
            ),
            Self::Gap { device, missing } => write!(
                f,
                "record {missing} of device {device} is missing before it; bring that in first"
            ),
            Self::TimeFell => f.write_str("its time lies before that of the record before it"),
        }
    }
}

impl Error for StoreError {}
impl Error for Refusal {}
