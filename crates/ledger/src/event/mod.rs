//! What may be recorded. A version, once shipped, never changes meaning and never changes
//! its bytes; a new meaning is a new version.
//!
//! | version | holds |
//! |---|---|
//! | [`v1`] | the fuel yard: containers and batches |
//! | [`v2`] | run sheets |

mod day;
pub mod v1;
pub mod v2;

pub use day::Day;
use serde::{Deserialize, Serialize};
pub use v1::Event;

/// The newest version that this program reads.
pub(crate) const NEWEST: u32 = 2;

/// The body of a record: an event in the version it was written in.
///
/// The version is the outermost key, so that a reader knows what it has before it reads on:
/// `{"v1":{"drawn":{...}}}`.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Body {
    /// Version 1.
    V1(v1::Event),
    /// Version 2.
    V2(v2::Event),
}

impl Body {
    /// What happened in the yard; `None` for what happened elsewhere.
    #[must_use]
    pub fn yard(self) -> Option<Event> {
        match self {
            Self::V1(event) => Some(event),
            Self::V2(_) => None,
        }
    }

    /// What happened on a run sheet; `None` for what happened elsewhere.
    #[must_use]
    pub fn sheet(self) -> Option<v2::Event> {
        match self {
            Self::V1(_) => None,
            Self::V2(event) => Some(event),
        }
    }
}

impl From<Event> for Body {
    fn from(event: Event) -> Self {
        Self::V1(event)
    }
}

impl From<v2::Event> for Body {
    fn from(event: v2::Event) -> Self {
        Self::V2(event)
    }
}
