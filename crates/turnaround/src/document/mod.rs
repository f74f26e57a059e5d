//! The documents a person writes, as they are written.
//!
//! Reading is in two steps: shape (`serde`, first error) and meaning (`check`, all errors).
//! What passes both may still lack a value; that is not an error but an `unknown` limit.

pub mod aircraft;
mod check;
pub mod day;
pub mod ground;
mod nested;
pub mod strip;
pub mod turnaround;

pub use check::length_unit;
pub use check::{chart, check_against};
pub(crate) use check::{envelope, outline, point};
pub use nested::{Nested, ShapeError};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, de::Error as _};
use stillprop_rules::{
    document::{At, Problem, did_you_mean, read},
    pack::Pack,
};

/// Version of the document format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Format;

impl<'de> Deserialize<'de> for Format {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match i64::deserialize(deserializer)? {
            1 => Ok(Self),
            other => Err(D::Error::custom(format!(
                "format {other} is not known to this version\nwrite format = 1"
            ))),
        }
    }
}

impl JsonSchema for Format {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Format".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "const": 1, "description": "version of the format" })
    }
}

/// A document of any kind.
#[derive(Clone, Debug)]
pub enum Document {
    /// An aircraft.
    Aircraft(Box<aircraft::Aircraft>),
    /// A strip.
    Strip(Box<strip::Strip>),
    /// A turnaround.
    Turnaround(Box<turnaround::Turnaround>),
    /// A day.
    Day(Box<day::Day>),
    /// A rule pack.
    Pack(Box<Pack>),
}

/// The kinds of document, as written behind `kind =`.
pub const KINDS: [&str; 5] = ["aircraft", "strip", "turnaround", "day", "pack"];

/// Reads a document of whatever kind it says it is.
///
/// # Errors
///
/// The problems found, never none.
pub fn read_any(text: &str) -> Result<Document, Vec<Problem>> {
    let kind = kind_of(text).map_err(|problem| vec![problem])?;
    match kind.value.as_str() {
        "aircraft" => read_aircraft(text).map(Box::new).map(Document::Aircraft),
        "strip" => read_strip(text).map(Box::new).map(Document::Strip),
        "turnaround" => read_turnaround(text).map(Box::new).map(Document::Turnaround),
        "day" => read_day(text).map(Box::new).map(Document::Day),
        "pack" => Pack::read(text).map(Box::new).map(Document::Pack),
        other => Err(vec![
            Problem::new(kind.at, format!("`{other}` is not a kind of document"))
                .help(did_you_mean(other, &KINDS)),
        ]),
    }
}

/// The kind a document says it is, read before its shape is checked, so that a strip in the
/// place of an aircraft is named as that.
fn kind_of(text: &str) -> Result<At<String>, Problem> {
    #[derive(Deserialize)]
    struct KindOnly {
        kind: Option<At<String>>,
    }
    read::<KindOnly>(text)?.kind.ok_or_else(|| {
        Problem::new(0..0, "the document does not say which kind it is")
            .help(format!("add kind = \"...\": one of {}", KINDS.join(", ")))
    })
}

fn expect_kind(text: &str, wanted: &str) -> Result<(), Vec<Problem>> {
    let kind = kind_of(text).map_err(|problem| vec![problem])?;
    if kind.value == wanted {
        return Ok(());
    }
    let message = format!("this is a document of kind `{}`, not `{wanted}`", kind.value);
    Err(vec![Problem::new(kind.at, message).help(format!("name a file with kind = \"{wanted}\""))])
}

/// Reads and checks an aircraft document.
///
/// # Errors
///
/// The problems found, never none.
pub fn read_aircraft(text: &str) -> Result<aircraft::Aircraft, Vec<Problem>> {
    expect_kind(text, "aircraft")?;
    let document = read(text).map_err(|problem| vec![problem])?;
    none_or(check::aircraft(&document)).map(|()| document)
}

/// Reads and checks a strip document.
///
/// # Errors
///
/// The problems found, never none.
pub fn read_strip(text: &str) -> Result<strip::Strip, Vec<Problem>> {
    expect_kind(text, "strip")?;
    let document = read(text).map_err(|problem| vec![problem])?;
    none_or(check::strip(&document)).map(|()| document)
}

/// Checks a turnaround document again after it was changed in memory.
#[must_use]
pub fn check_turnaround(document: &turnaround::Turnaround) -> Vec<Problem> {
    check::turnaround(document)
}

/// Reads a turnaround document and checks what can be checked without the others.
///
/// # Errors
///
/// The problems found, never none.
pub fn read_turnaround(text: &str) -> Result<turnaround::Turnaround, Vec<Problem>> {
    expect_kind(text, "turnaround")?;
    let document = read(text).map_err(|problem| vec![problem])?;
    none_or(check::turnaround(&document)).map(|()| document)
}

/// Reads a day document and checks what can be checked without the others.
///
/// # Errors
///
/// The problems found, never none.
pub fn read_day(text: &str) -> Result<day::Day, Vec<Problem>> {
    expect_kind(text, "day")?;
    let document = read(text).map_err(|problem| vec![problem])?;
    none_or(check::day(&document)).map(|()| document)
}

fn none_or(problems: Vec<Problem>) -> Result<(), Vec<Problem>> {
    if problems.is_empty() { Ok(()) } else { Err(problems) }
}

/// The JSON Schema of a kind of document.
#[must_use]
pub fn schema(kind: &str) -> Option<Schema> {
    match kind {
        "aircraft" => Some(schemars::schema_for!(aircraft::Aircraft)),
        "strip" => Some(schemars::schema_for!(strip::Strip)),
        "turnaround" => Some(schemars::schema_for!(turnaround::Turnaround)),
        "day" => Some(schemars::schema_for!(day::Day)),
        "pack" => Some(stillprop_rules::schema()),
        _ => None,
    }
}
