//! Numbers in nested lists, as a chart's values are written.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{
    Deserialize, Deserializer,
    de::{SeqAccess, Visitor},
};

/// A number or a list of the same.
#[derive(Clone, Debug, PartialEq)]
pub enum Nested {
    /// A number, in the unit the chart names.
    Number(f64),
    /// A list.
    List(Vec<Nested>),
}

/// Why nested lists do not have the wanted shape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ShapeError {
    /// A list has another length than there are lines.
    Length {
        /// Which list, `values[1]`.
        place: String,
        /// Lines there are.
        wanted: usize,
        /// Entries found.
        found: usize,
    },
    /// A list where a number is meant, or a number where a list is.
    Depth {
        /// Which entry.
        place: String,
        /// True when a number is meant there.
        number_wanted: bool,
    },
}

impl fmt::Display for ShapeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length { place, wanted, found } => {
                write!(f, "{place} has {found} entries where there are {wanted} lines")
            }
            Self::Depth { place, number_wanted: true } => {
                write!(f, "{place} is a list where one number is meant")
            }
            Self::Depth { place, number_wanted: false } => {
                write!(f, "{place} is one number where a list is meant")
            }
        }
    }
}

impl Nested {
    /// The numbers in order, when the lists have exactly these lengths from outside in.
    ///
    /// # Errors
    ///
    /// [`ShapeError`] names the first list or number that does not fit.
    pub fn flat(&self, lengths: &[usize]) -> Result<Vec<f64>, ShapeError> {
        let mut numbers = Vec::new();
        self.collect(lengths, "values", &mut numbers)?;
        Ok(numbers)
    }

    fn collect(
        &self,
        lengths: &[usize],
        place: &str,
        numbers: &mut Vec<f64>,
    ) -> Result<(), ShapeError> {
        match (self, lengths.split_first()) {
            (Self::Number(number), None) => numbers.push(*number),
            (Self::List(list), Some((wanted, inner))) => {
                if list.len() != *wanted {
                    let (place, found) = (place.into(), list.len());
                    return Err(ShapeError::Length { place, wanted: *wanted, found });
                }
                for (at, entry) in list.iter().enumerate() {
                    entry.collect(inner, &format!("{place}[{at}]"), numbers)?;
                }
            }
            (found, _) => {
                let number_wanted = matches!(found, Self::List(_));
                return Err(ShapeError::Depth { place: place.into(), number_wanted });
            }
        }
        Ok(())
    }
}

impl<'de> Deserialize<'de> for Nested {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NestedVisitor)
    }
}

struct NestedVisitor;

impl<'de> Visitor<'de> for NestedVisitor {
    type Value = Nested;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number, or nested lists of numbers,")
    }

    fn visit_f64<E>(self, number: f64) -> Result<Nested, E> {
        Ok(Nested::Number(number))
    }

    #[expect(clippy::cast_precision_loss, reason = "a chart value far below 2^53")]
    fn visit_i64<E>(self, number: i64) -> Result<Nested, E> {
        Ok(Nested::Number(number as f64))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut entries: A) -> Result<Nested, A::Error> {
        let mut list = Vec::new();
        while let Some(entry) = entries.next_element()? {
            list.push(entry);
        }
        Ok(Nested::List(list))
    }
}

impl JsonSchema for Nested {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Nested".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let entry = generator.subschema_for::<Self>();
        json_schema!({
            "description": "a number, or a list of the same",
            "anyOf": [{ "type": "number" }, { "type": "array", "items": entry }],
        })
    }
}
