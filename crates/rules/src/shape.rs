//! The serialised shape of a pack: TOML as a person writes it, before it means anything.

use std::{collections::BTreeMap, fmt};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{
    Deserialize, Deserializer,
    de::{Error as _, Visitor},
};
use stillprop_calc::quantity::Mass;

use crate::{
    briefing::Item,
    document::{At, Day, Given},
    pack::{Event, Read, Status},
    situation::{Category, Engine, FlightRules, Grade, Operation, Surface},
};

/// The kind of document.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
pub(crate) enum DocumentKind {
    /// A rule pack.
    #[serde(rename = "pack")]
    Pack,
}

/// A rule pack: figures of one jurisdiction or operator, each with its source and status.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Rule pack")]
pub(crate) struct PackShape {
    /// Format of the document; 1.
    pub(crate) format: At<u32>,
    /// "pack".
    #[serde(rename = "kind")]
    pub(crate) _kind: DocumentKind,
    /// Short name: lower-case letters, digits and hyphens.
    pub(crate) id: At<String>,
    /// Name for a person.
    pub(crate) title: String,
    /// Whose rules these are.
    pub(crate) jurisdiction: String,
    /// Edition of this pack.
    pub(crate) edition: String,
    /// When its figures were last compared with their sources.
    pub(crate) checked: Day,
    /// The pack this one is laid over.
    pub(crate) over: Option<At<String>>,
    /// The documents cited, by short name.
    pub(crate) sources: BTreeMap<String, At<SourceShape>>,
    /// The table of dangerous goods that people may carry, by its short name.
    pub(crate) goods: Option<At<String>>,
    /// Exceptions that may apply to goods; they are shown, never used.
    #[serde(default)]
    pub(crate) exception: Vec<ExceptionShape>,
    /// Duties after an event.
    #[serde(default)]
    pub(crate) duty: Vec<DutyShape>,
    /// The figures.
    #[serde(default)]
    pub(crate) figure: Vec<FigureShape>,
    /// What passengers are told before a flight.
    #[serde(default)]
    pub(crate) briefing: Vec<AskedShape>,
}

/// A duty after an event: who is told, how and by when.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct DutyShape {
    /// After which events.
    pub(crate) events: At<Vec<Event>>,
    /// When it applies: how bad the event must be.
    pub(crate) when: String,
    /// Who is told.
    pub(crate) tell: String,
    /// How, and how soon where the rule gives no number.
    pub(crate) how: String,
    /// The figure with the time, `report.accident-form`.
    pub(crate) deadline: Option<At<String>>,
    /// Short name of the document cited.
    pub(crate) source: At<String>,
    /// The clause, paragraph or table.
    pub(crate) clause: At<String>,
    /// How binding it is.
    pub(crate) status: Status,
    /// How it reached us.
    pub(crate) read: Read,
    /// What a reader must know; required when `read` is "memory".
    pub(crate) note: Option<String>,
}

/// An exception for goods: a rule that a pilot reads and this program does not apply.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ExceptionShape {
    /// What it is about and under which conditions, in a sentence or two.
    pub(crate) about: At<String>,
    /// For which operation; for any when left out.
    pub(crate) operation: Option<Operation>,
    /// Short name of the document cited.
    pub(crate) source: At<String>,
    /// The clause, paragraph or table.
    pub(crate) clause: At<String>,
    /// How binding it is.
    pub(crate) status: Status,
    /// How it reached us.
    pub(crate) read: Read,
    /// What a reader must know; required when `read` is "memory".
    pub(crate) note: Option<String>,
}

/// A document that figures cite.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SourceShape {
    /// Number and title.
    pub(crate) document: String,
    /// Edition or date.
    pub(crate) edition: String,
    /// Where it is published.
    pub(crate) link: Option<String>,
}

/// Greatest take-off mass, and the value there.
#[derive(Clone, Debug, JsonSchema)]
pub(crate) struct Point(pub(crate) At<Written>, pub(crate) At<Written>);

impl<'de> Deserialize<'de> for Point {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        // Read as a list: a pair would let a third value pass unread.
        let values: Vec<At<Written>> = Vec::deserialize(deserializer)?;
        let [mass, value] = <[_; 2]>::try_from(values)
            .map_err(|values| D::Error::invalid_length(values.len(), &"a pair"))?;
        Ok(Self(mass, value))
    }
}

/// One figure: exactly one of `value`, `curve`, `allowed`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct FigureShape {
    /// Which figure; the list is in docs/rule-packs.md.
    pub(crate) key: At<String>,
    /// Where it applies; everywhere when left out.
    #[serde(default)]
    pub(crate) when: WhenShape,
    /// A quantity with its unit.
    pub(crate) value: Option<At<Written>>,
    /// Pairs of greatest take-off mass and value, straight lines between, level beyond the ends.
    pub(crate) curve: Option<At<Vec<Point>>>,
    /// For a figure that is yes or no.
    pub(crate) allowed: Option<At<bool>>,
    /// Short name of the document cited.
    pub(crate) source: At<String>,
    /// The clause, paragraph or table.
    pub(crate) clause: At<String>,
    /// How binding it is.
    pub(crate) status: Status,
    /// How the figure reached us.
    pub(crate) read: Read,
    /// What a reader must know; required when `read` is "memory".
    pub(crate) note: Option<String>,
}

/// An item of the briefing that is asked for.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct AskedShape {
    /// Which item.
    pub(crate) item: At<Item>,
    /// For which flights; for all when left out.
    #[serde(default)]
    pub(crate) when: WhenShape,
    /// Short name of the document cited.
    pub(crate) source: At<String>,
    /// The clause, paragraph or table.
    pub(crate) clause: At<String>,
    /// How binding it is.
    pub(crate) status: Status,
    /// How it reached us.
    pub(crate) read: Read,
    /// What a reader must know; required when `read` is "memory".
    pub(crate) note: Option<String>,
}

/// A condition. What is not named does not matter.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct WhenShape {
    /// For whom the flight is made.
    pub(crate) operation: Option<Operation>,
    /// By what rules it is flown.
    pub(crate) flight_rules: Option<FlightRules>,
    /// What turns the propeller.
    pub(crate) engine: Option<Engine>,
    /// Greatest take-off mass up to and including this.
    pub(crate) mtow_up_to: Option<Given<Mass>>,
    /// Greatest take-off mass above this.
    pub(crate) mtow_over: Option<Given<Mass>>,
    /// This many seats or more.
    pub(crate) seats_from: Option<u8>,
    /// This many seats or fewer.
    pub(crate) seats_to: Option<u8>,
    /// What the wheels roll on.
    pub(crate) surface: Option<Surface>,
    /// Wet or dry.
    pub(crate) wet: Option<bool>,
    /// Family of fuel.
    pub(crate) grade: Option<Grade>,
    /// Of whom it speaks.
    pub(crate) category: Option<Category>,
}

/// A quantity as written; its kind follows from the key, so it is read later.
#[derive(Clone, Debug)]
pub(crate) enum Written {
    /// Text, as it should be.
    Text(String),
    /// A number without its unit, kept so that the answer can say which units there are.
    Bare(String),
}

struct WrittenVisitor;

impl Visitor<'_> for WrittenVisitor {
    type Value = Written;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a quantity with its unit, as text")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Written, E> {
        Ok(Written::Text(text.to_owned()))
    }

    fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Written, E> {
        Ok(Written::Bare(number.to_string()))
    }

    fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<Written, E> {
        Ok(Written::Bare(number.to_string()))
    }
}

impl<'de> Deserialize<'de> for Written {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(WrittenVisitor)
    }
}

impl JsonSchema for Written {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Quantity".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "a number and its unit; the kind follows from the key",
            "examples": ["30 min", "10 %", "1.15 1", "0.72 kg/L", "4 kg"],
        })
    }
}

/// The JSON Schema of a pack.
#[must_use]
pub fn schema() -> Schema {
    schemars::schema_for!(PackShape)
}
