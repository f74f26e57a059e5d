//! Reading a TOML document so that every error shows its place and a way out.
//!
//! Packs, aircraft, strips and turnarounds are all read through here. Serialised shapes stay
//! at this border: what leaves is typed quantities ([`Given`]) that remember where they were
//! written and in which unit.

use std::{fmt, marker::PhantomData, ops::Range};

use jiff::{Timestamp, civil, tz::Offset};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{
    Deserialize, Deserializer,
    de::{DeserializeOwned, Error as _, Visitor},
};
use stillprop_calc::{
    bounds::Bounds,
    quantity::{Angle, FromAmount},
    unit::{self, Kind, ReadError, Unit},
};

use crate::{explain::explain, strict::Strict};

/// The largest document that is read. Ours are a few kilobytes; more is a mistake.
pub const LARGEST: usize = 1 << 20;

/// Something wrong in a document: where, what, and a way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The bytes of the document it is about; empty at 0 when it is about the whole.
    pub at: Range<usize>,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What to do about it.
    pub help: Option<String>,
}

impl Problem {
    /// A problem at a place.
    #[must_use]
    pub fn new(at: Range<usize>, message: impl Into<String>) -> Self {
        Self { at, message: legible(message.into()), help: None }
    }

    /// Adds a way out.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(legible(help.into()));
        self
    }

    /// Line and column of the start, both from 1.
    #[must_use]
    pub fn line_column(&self, text: &str) -> (usize, usize) {
        let mut start = self.at.start.min(text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let before = &text[..start];
        let line = before.matches('\n').count() + 1;
        let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
        (line, column)
    }
}

/// The longest message; our own are far shorter, but a message may quote the document.
const LONGEST: usize = 1200;

/// A message may quote what somebody wrote: control characters, which a terminal would obey,
/// are written out, and what no one would read to its end is cut.
fn legible(mut message: String) -> String {
    if message.contains(char::is_control) {
        let plain =
            |c: char| if c.is_control() { c.escape_default().collect() } else { c.to_string() };
        message = message.chars().map(plain).collect();
    }
    if message.len() > LONGEST {
        message.truncate(message.floor_char_boundary(LONGEST));
        message.push_str(" ...");
    }
    message
}

/// Reads a document into its serialised shape.
///
/// # Errors
///
/// The first problem of syntax or shape; problems of meaning are collected by the checks
/// that follow.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Problem> {
    if text.len() > LARGEST {
        let (bytes, limit) = (text.len(), LARGEST);
        return Err(Problem::new(0..0, format!("the document has {bytes} bytes; limit {limit}"))
            .help("a document of this program is a few kilobytes; is this the right file?"));
    }
    toml::Deserializer::parse(text)
        .and_then(|document| T::deserialize(Strict(document)))
        .map_err(|error| explain(text, error.message(), error.span()))
}

/// The nearest of `known` to `wrong`, or the whole list when none is near.
#[must_use]
pub fn did_you_mean(wrong: &str, known: &[&str]) -> String {
    let nearest = known
        .iter()
        .map(|word| (strsim::jaro_winkler(wrong, word), *word))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match nearest {
        Some((likeness, word)) if likeness > 0.75 => format!("did you mean `{word}`?"),
        _ => format!("known here: {}", known.join(", ")),
    }
}

/// A value that remembers where it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it stands in the document.
    pub at: Range<usize>,
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for At<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = toml::Spanned::<T>::deserialize(deserializer)?;
        let at = spanned.span();
        Ok(Self { value: spanned.into_inner(), at })
    }
}

impl<T: JsonSchema> JsonSchema for At<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        T::schema_name()
    }

    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// A quantity as it was written: value, unit and place.
#[derive(Clone, Debug, PartialEq)]
pub struct Given<Q> {
    /// The quantity.
    pub value: Q,
    /// The unit it was written in.
    pub unit: Unit,
    /// Where it stands in the document.
    pub at: Range<usize>,
}

impl<Q: FromAmount> Given<Q> {
    /// Notes a problem when the quantity lies outside `bounds`.
    pub fn check(&self, bounds: &Bounds, problems: &mut Vec<Problem>) {
        if let Err(error) = bounds.check(self.value) {
            problems.push(
                Problem::new(self.at.clone(), error.to_string())
                    .help("correct the value, or its unit"),
            );
        }
    }
}

impl<'de, Q: FromAmount> Deserialize<'de> for Given<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = toml::Spanned::<Written<Q>>::deserialize(deserializer)?;
        let at = written.span();
        let Written(value, unit) = written.into_inner();
        Ok(Self { value, unit, at })
    }
}

/// A quantity and its unit, before its place is known.
struct Written<Q>(Q, Unit);

impl<'de, Q: FromAmount> Deserialize<'de> for Written<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(QuantityVisitor(PhantomData))
    }
}

fn two_lines(error: &ReadError) -> String {
    format!("{error}\n{}", error.hint())
}

/// Takes a text with its unit; a bare number gets an error that says which units there are.
struct QuantityVisitor<Q>(PhantomData<Q>);

impl<Q: FromAmount> Visitor<'_> for QuantityVisitor<Q> {
    type Value = Written<Q>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} with its unit, such as \"{}\",", Q::KIND.words(), Q::KIND.example())
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Self::Value, E> {
        match unit::read(text, Q::KIND) {
            Ok((amount, unit)) => Ok(Written(Q::from_si(amount.si), unit)),
            Err(error) => Err(E::custom(two_lines(&error))),
        }
    }

    fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Self::Value, E> {
        // Read as the same text in quotation marks, whose unit is then found missing.
        self.visit_str(&number.to_string())
    }

    fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<Self::Value, E> {
        self.visit_str(&number.to_string())
    }
}

impl<Q: FromAmount> JsonSchema for Given<Q> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("{:?}", Q::KIND).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let units: Vec<_> = Q::KIND.units().map(|unit| unit.symbol).collect();
        json_schema!({
            "type": "string",
            "description": format!("{} with its unit; units: {}", Q::KIND.words(), units.join(", ")),
            "pattern": r"^\s*[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?\s*\S.*$",
            "examples": [Q::KIND.example()],
        })
    }
}

/// North by which a direction was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum North {
    /// Geographic north: `degT`.
    True,
    /// Magnetic north: `degM`.
    Magnetic,
}

/// A direction that says which north it means: `"174 degT"` or `"162 degM"`.
#[derive(Clone, Debug, PartialEq)]
pub struct Bearing {
    /// Clockwise from that north.
    pub angle: Angle,
    /// Which north.
    pub north: North,
    /// Where it stands in the document.
    pub at: Range<usize>,
}

impl Bearing {
    /// The direction from true north; `None` when it is magnetic and no variation is known.
    #[must_use]
    pub fn to_true(&self, variation: Option<Angle>) -> Option<Angle> {
        match self.north {
            North::True => Some(self.angle),
            North::Magnetic => variation.map(|east| self.angle + east),
        }
    }
}

/// A direction as written. A bare number is taken too, so that it is asked for its north.
struct Direction(String);

impl<'de> Deserialize<'de> for Direction {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(DirectionVisitor)
    }
}

struct DirectionVisitor;

impl Visitor<'_> for DirectionVisitor {
    type Value = Direction;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a direction, such as \"174 degT\",")
    }

    fn visit_str<E>(self, text: &str) -> Result<Direction, E> {
        Ok(Direction(text.to_owned()))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Direction, E> {
        Ok(Direction(number.to_string()))
    }

    fn visit_f64<E>(self, number: f64) -> Result<Direction, E> {
        Ok(Direction(number.to_string()))
    }
}

impl<'de> Deserialize<'de> for Bearing {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = toml::Spanned::<Direction>::deserialize(deserializer)?;
        let at = written.span();
        let Direction(text) = written.get_ref();
        let (number, north) = if let Some(number) = text.trim().strip_suffix("degT") {
            (number, North::True)
        } else if let Some(number) = text.trim().strip_suffix("degM") {
            (number, North::Magnetic)
        } else {
            return Err(D::Error::custom(format!(
                "\"{text}\" does not say which north it means\nwrite \"174 degT\" for true or \"162 degM\" for magnetic"
            )));
        };
        let amount = unit::read(&format!("{} deg", number.trim()), Kind::Angle)
            .map(|(amount, _)| amount)
            .ok()
            .filter(|amount| (0.0..=360.0).contains(&amount.in_unit(unit::DEG)))
            .ok_or_else(|| {
                D::Error::custom(format!(
                    "\"{text}\" is not a direction\nwrite 0 to 360 degrees: \"174 degT\""
                ))
            })?;
        Ok(Self { angle: Angle::from_si(amount.si), north, at })
    }
}

impl JsonSchema for Bearing {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Bearing".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "a direction that says which north it means, true or magnetic",
            "pattern": r"^\s*\d+(\.\d+)?\s*deg[TM]$",
            "examples": ["174 degT", "162 degM"],
        })
    }
}

/// An instant with the offset it was written in: `2026-06-21T15:20:00+10:00`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The instant.
    pub instant: Timestamp,
    /// The offset of the clock it was read from.
    pub offset: Offset,
}

impl<'de> Deserialize<'de> for Moment {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = toml::value::Datetime::deserialize(deserializer)?;
        let text = written.to_string();
        let offset = match written.offset {
            Some(toml::value::Offset::Z) => Some(Offset::UTC),
            Some(toml::value::Offset::Custom { minutes }) => {
                Offset::from_seconds(i32::from(minutes) * 60).ok()
            }
            None => None,
        };
        match (offset, text.parse::<Timestamp>()) {
            (Some(offset), Ok(instant)) => Ok(Self { instant, offset }),
            _ => Err(D::Error::custom(format!(
                "{text} does not fix an instant\nwrite date, time and offset: 2026-06-21T15:20:00+10:00"
            ))),
        }
    }
}

impl JsonSchema for Moment {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Moment".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": "date-time",
            "description": "date, time and offset (a TOML date-time, not text): 2026-06-21T15:20:00+10:00",
        })
    }
}

/// A calendar date: `2026-12-01`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub civil::Date);

impl<'de> Deserialize<'de> for Day {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = toml::value::Datetime::deserialize(deserializer)?;
        let text = written.to_string();
        if written.time.is_none()
            && let Ok(date) = text.parse()
        {
            return Ok(Self(date));
        }
        Err(D::Error::custom(format!("{text} is not a date\nwrite the date alone: 2026-12-01")))
    }
}

impl JsonSchema for Day {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Day".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "format": "date",
            "description": "a date (a TOML date, not text): 2026-12-01",
        })
    }
}

/// A limit that the flight manual either sets or expressly does not: `"none"`.
///
/// Leaving the key out means that nobody has looked, which is `unknown`.
#[derive(Clone, Debug, PartialEq)]
pub enum Stated<Q> {
    /// The manual sets none.
    None,
    /// The manual sets this.
    Is(Given<Q>),
}

impl<'de, Q: FromAmount> Deserialize<'de> for Stated<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let written = toml::Spanned::<WrittenOrNone<Q>>::deserialize(deserializer)?;
        let at = written.span();
        Ok(match written.into_inner() {
            WrittenOrNone(None) => Self::None,
            WrittenOrNone(Some(Written(value, unit))) => Self::Is(Given { value, unit, at }),
        })
    }
}

/// A quantity or the word `none`, before its place is known.
struct WrittenOrNone<Q>(Option<Written<Q>>);

impl<'de, Q: FromAmount> Deserialize<'de> for WrittenOrNone<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let visitor = NoneOr(QuantityVisitor(PhantomData));
        deserializer.deserialize_any(visitor).map(Self)
    }
}

/// Takes `none` itself and hands the rest on.
struct NoneOr<Q>(QuantityVisitor<Q>);

impl<Q: FromAmount> Visitor<'_> for NoneOr<Q> {
    type Value = Option<Written<Q>>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.expecting(f)?;
        f.write_str(" or \"none\" where the manual sets none,")
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Self::Value, E> {
        if text.trim() == "none" { Ok(None) } else { self.0.visit_str(text).map(Some) }
    }

    fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<Self::Value, E> {
        self.0.visit_i64(number).map(Some)
    }

    fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<Self::Value, E> {
        self.0.visit_f64(number).map(Some)
    }
}

impl<Q: FromAmount> JsonSchema for Stated<Q> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("{:?}OrNone", Q::KIND).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let quantity = generator.subschema_for::<Given<Q>>();
        json_schema!({
            "description": "what the manual sets, or \"none\" where it sets none",
            "anyOf": [{ "const": "none" }, quantity],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_is_cut_and_its_control_characters_are_written_out() {
        let long = Problem::new(0..0, "\u{e9}".repeat(5000)).help("h".repeat(5000));
        assert_eq!(long.message, "\u{e9}".repeat(LONGEST / 2) + " ...");
        assert_eq!(long.help, Some("h".repeat(LONGEST) + " ..."));
        let escape = Problem::new(0..0, "a\u{1b}[2J\nb\u{9b}").message;
        assert_eq!(escape, "a\\u{1b}[2J\\nb\\u{9b}");
        assert_eq!(Problem::new(0..0, "25 °C, \"x\"").message, "25 °C, \"x\"");
    }
}
