//! What may be recorded. A version, once shipped, never changes meaning and never changes
//! its bytes; a new meaning is a new version.

mod day;
pub mod v1;

pub use day::Day;
use serde::{Deserialize, Serialize};
pub use v1::Event;

/// The body of a record: an event in the version it was written in.
///
/// The version is the outermost key, so that a reader knows what it has before it reads on:
/// `{"v1":{"drawn":{...}}}`.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Body {
    /// Version 1.
    V1(v1::Event),
}

impl Body {
    /// The event in the newest version.
    #[must_use]
    pub fn newest(self) -> Event {
        match self {
            Self::V1(event) => event,
        }
    }
}
