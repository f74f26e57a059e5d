//! What to keep after an event, and what a report of it says: the same for every pack.

use serde::Deserialize;

use crate::{
    document::{self, Problem},
    pack::Event,
};

/// One event.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Guide {
    /// Which.
    pub id: Event,
    /// Name for a person.
    pub title: String,
    /// What comes before any report.
    pub first: Vec<String>,
    /// What to keep.
    pub keep: Vec<String>,
}

/// All events, and what every report says.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Guides {
    /// Version of the format; 1.
    pub format: u32,
    /// The word `events`.
    pub kind: String,
    /// What a report says.
    pub say: Vec<String>,
    /// Where that comes from.
    pub say_source: String,
    /// The events.
    pub event: Vec<Guide>,
}

impl Guides {
    /// Reads the guides.
    ///
    /// # Errors
    ///
    /// The first problem of their shape.
    pub fn read(text: &str) -> Result<Self, Problem> {
        document::read(text)
    }

    /// The guide to an event.
    #[must_use]
    pub fn of(&self, event: Event) -> Option<&Guide> {
        self.event.iter().find(|guide| guide.id == event)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::builtin;

    #[test]
    fn every_event_has_a_guide_and_a_duty_in_every_pack_that_knows_it() {
        let guides = builtin::events().unwrap();
        for event in Event::ALL {
            let guide = guides.of(*event).unwrap();
            assert!(guide.keep.len() >= 4 && !guide.first.is_empty(), "{event}");
        }
        assert_eq!(guides.event.len(), Event::ALL.len());
        for (id, _) in builtin::builtin() {
            let pack = builtin::pack(id).unwrap();
            let hurt = |duty: &&crate::pack::Duty| duty.events.contains(&Event::Injury);
            assert!(pack.duties.iter().any(|duty| hurt(&duty)), "{id}");
            for duty in &pack.duties {
                // A deadline that is named is given, so that no duty points at nothing.
                if let Some(key) = duty.deadline {
                    assert!(pack.figures.iter().any(|figure| figure.key == key), "{id}: {key}");
                }
            }
        }
    }
}
