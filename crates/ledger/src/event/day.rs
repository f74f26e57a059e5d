//! A calendar day in the bytes of an event.

use jiff::civil::Date;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

/// A day, written `2026-06-21`. Our own encoding, so that a library cannot change our bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub Date);

impl Serialize for Day {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self(date) = self;
        let text = format!("{:04}-{:02}-{:02}", date.year(), date.month(), date.day());
        serializer.serialize_str(&text)
    }
}

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
        let number = |range: std::ops::Range<usize>| text.get(range)?.parse::<i16>().ok();
        let parts = (number(0..4), number(5..7), number(8..10));
        let date = match parts {
            (Some(year), Some(month), Some(day)) if text.len() == 10 => i8::try_from(month)
                .ok()
                .zip(i8::try_from(day).ok())
                .and_then(|(month, day)| Date::new(year, month, day).ok()),
            _ => None,
        };
        date.map(Self).ok_or_else(|| D::Error::custom(format!("`{text}` is not a day")))
    }
}
