//! Arguments: from text to typed values, each error naming its key.

use std::fmt;

use jiff::{Timestamp, civil::Date};

use super::{Input, Shape, read_date, read_instant};
use crate::{
    bounds::OutOfRange,
    quantity::{Amount, FromAmount},
    unit::{self, ReadError},
};

/// An argument as it arrived: text, a list, or a record.
#[derive(Clone, Debug, PartialEq)]
pub enum Raw {
    /// A text, a quantity with its unit in most cases.
    Text(String),
    /// A list.
    List(Vec<Raw>),
    /// A record.
    Record(Vec<(String, Raw)>),
}

/// An argument as it was understood.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A quantity.
    Amount(Amount),
    /// Several quantities.
    Amounts(Vec<Amount>),
    /// One of the words offered.
    Word(&'static str),
    /// A date.
    Date(Date),
    /// An instant.
    Instant(Timestamp),
    /// Records.
    Rows(Vec<Args>),
}

/// Arguments by key.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Args(Vec<(&'static str, Value)>);

/// Why a calculation could not be done.
#[derive(Clone, Debug, PartialEq)]
pub enum SumError {
    /// A required argument is missing.
    Missing {
        /// The key.
        key: &'static str,
        /// What it is.
        says: &'static str,
    },
    /// No such argument.
    UnknownKey {
        /// The key as typed.
        key: String,
        /// The keys there are.
        known: Vec<&'static str>,
    },
    /// The same argument twice.
    Twice {
        /// The key.
        key: String,
    },
    /// The text is not a quantity of the right kind.
    Unreadable {
        /// The key.
        key: String,
        /// Why.
        error: ReadError,
    },
    /// The argument has another shape: a list where one value is meant, or a wrong word.
    WrongShape {
        /// The key.
        key: String,
        /// What is wanted.
        wanted: String,
    },
    /// A value outside the accepted range.
    OutOfRange(OutOfRange),
    /// The values are each fine but not together.
    NoAnswer(String),
}

impl From<OutOfRange> for SumError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl SumError {
    /// A way out, in one sentence.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Missing { key, .. } => format!("give it as {key}=\"...\" with its unit"),
            Self::UnknownKey { known, .. } => format!("known here: {}", known.join(", ")),
            Self::Twice { .. } => "give it once".into(),
            Self::Unreadable { error, .. } => error.hint(),
            Self::WrongShape { wanted, .. } => format!("give {wanted}"),
            Self::OutOfRange(_) => "the method is not published outside that range".into(),
            Self::NoAnswer(_) => "check the values against each other".into(),
        }
    }
}

impl fmt::Display for SumError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing { key, says } => write!(f, "{key} is missing: {says}"),
            Self::UnknownKey { key, .. } => write!(f, "{key} is not an argument of this sum"),
            Self::Twice { key } => write!(f, "{key} is given twice"),
            Self::Unreadable { key, error } => write!(f, "{key}: {error}"),
            Self::WrongShape { key, wanted } => write!(f, "{key} must be {wanted}"),
            Self::OutOfRange(error) => error.fmt(f),
            Self::NoAnswer(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for SumError {}

impl Args {
    fn find(&self, key: &str) -> Option<&Value> {
        self.0.iter().find(|(known, _)| *known == key).map(|(_, value)| value)
    }

    /// True when something was given under `key`, an empty list too.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.find(key).is_some()
    }

    /// The quantity under `key`, when it was given.
    #[must_use]
    pub fn optional<Q: FromAmount>(&self, key: &str) -> Option<Q> {
        match self.find(key) {
            Some(Value::Amount(amount)) if amount.kind == Q::KIND => Some(Q::from_si(amount.si)),
            _ => None,
        }
    }

    /// The quantity under `key`.
    ///
    /// # Errors
    ///
    /// [`SumError::Missing`] when it was not given.
    pub fn quantity<Q: FromAmount>(&self, key: &'static str) -> Result<Q, SumError> {
        self.optional(key).ok_or(SumError::Missing { key, says: "a quantity with its unit" })
    }

    /// The quantities under `key`; none when it was not given.
    #[must_use]
    pub fn quantities<Q: FromAmount>(&self, key: &str) -> Vec<Q> {
        match self.find(key) {
            Some(Value::Amounts(all)) => all.iter().map(|amount| Q::from_si(amount.si)).collect(),
            _ => Vec::new(),
        }
    }

    /// The word under `key`, when it was given.
    #[must_use]
    pub fn word(&self, key: &str) -> Option<&'static str> {
        match self.find(key) {
            Some(Value::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The date under `key`.
    ///
    /// # Errors
    ///
    /// [`SumError::Missing`] when it was not given.
    pub fn date(&self, key: &'static str) -> Result<Date, SumError> {
        match self.find(key) {
            Some(Value::Date(date)) => Ok(*date),
            _ => Err(SumError::Missing { key, says: "a date" }),
        }
    }

    /// The instant under `key`.
    ///
    /// # Errors
    ///
    /// [`SumError::Missing`] when it was not given.
    pub fn instant(&self, key: &'static str) -> Result<Timestamp, SumError> {
        match self.find(key) {
            Some(Value::Instant(instant)) => Ok(*instant),
            _ => Err(SumError::Missing { key, says: "an instant" }),
        }
    }

    /// The records under `key`; none when it was not given.
    #[must_use]
    pub fn rows(&self, key: &str) -> &[Self] {
        match self.find(key) {
            Some(Value::Rows(rows)) => rows,
            _ => &[],
        }
    }
}

/// Reads `given` against `inputs`; `path` of nested rows goes into the key of an error.
pub(super) fn read(inputs: &'static [Input], given: &[(String, Raw)]) -> Result<Args, SumError> {
    read_at("", inputs, given)
}

fn read_at(
    path: &str,
    inputs: &'static [Input],
    given: &[(String, Raw)],
) -> Result<Args, SumError> {
    for (place, (key, _)) in given.iter().enumerate() {
        if !inputs.iter().any(|input| input.key == key) {
            let known = inputs.iter().map(|input| input.key).collect();
            return Err(SumError::UnknownKey { key: format!("{path}{key}"), known });
        }
        if given[..place].iter().any(|(other, _)| other == key) {
            return Err(SumError::Twice { key: format!("{path}{key}") });
        }
    }
    let mut args = Args::default();
    for input in inputs {
        match given.iter().find(|(key, _)| key == input.key) {
            Some((_, raw)) => {
                let key = format!("{path}{}", input.key);
                args.0.push((input.key, value(&key, input, raw)?));
            }
            None if input.required => {
                return Err(SumError::Missing { key: input.key, says: input.says });
            }
            None => {}
        }
    }
    Ok(args)
}

fn value(key: &str, input: &'static Input, raw: &Raw) -> Result<Value, SumError> {
    let wrong = |wanted: &str| SumError::WrongShape { key: key.into(), wanted: wanted.into() };
    match (&input.shape, raw) {
        (Shape::Quantity(kind), Raw::Text(text)) => {
            amount(key, *kind, input, text).map(Value::Amount)
        }
        (Shape::Quantity(_), _) => Err(wrong("one quantity with its unit, as text")),
        (Shape::Quantities(kind), raw) => {
            let mut all = Vec::new();
            flatten(raw, &mut |text| {
                all.push(amount(key, *kind, input, text)?);
                Ok(())
            })
            .map_err(|error| error.unwrap_or_else(|| wrong("a list of quantities")))?;
            Ok(Value::Amounts(all))
        }
        (Shape::Word(words), Raw::Text(text)) => words
            .iter()
            .find(|word| **word == text.trim())
            .map(|word| Value::Word(word))
            .ok_or_else(|| wrong(&format!("one of: {}", words.join(", ")))),
        (Shape::Word(_), _) => Err(wrong("one word")),
        (Shape::Date, Raw::Text(text)) => {
            read_date(text).map(Value::Date).ok_or_else(|| wrong("a date like 2026-06-21"))
        }
        (Shape::Instant, Raw::Text(text)) => read_instant(text)
            .map(Value::Instant)
            .ok_or_else(|| wrong("an instant like 2026-06-21T07:30:00Z, with its offset")),
        (Shape::Date | Shape::Instant, _) => Err(wrong("text")),
        (Shape::Rows(inputs), Raw::List(rows)) => rows
            .iter()
            .enumerate()
            .map(|(place, row)| match row {
                Raw::Record(fields) => read_at(&format!("{key}[{place}]."), inputs, fields),
                _ => Err(wrong("a list of records")),
            })
            .collect::<Result<_, _>>()
            .map(Value::Rows),
        (Shape::Rows(_), _) => Err(wrong("a list of records, from --input FILE.json")),
    }
}

fn amount(key: &str, kind: unit::Kind, input: &Input, text: &str) -> Result<Amount, SumError> {
    let (amount, _) =
        unit::read(text, kind).map_err(|error| SumError::Unreadable { key: key.into(), error })?;
    if let Some(bounds) = &input.bounds {
        bounds.check_amount(amount)?;
    }
    Ok(amount)
}

/// Calls `each` for every text of a nested list, in order; `Err(None)` for a record inside.
fn flatten(
    raw: &Raw,
    each: &mut impl FnMut(&str) -> Result<(), SumError>,
) -> Result<(), Option<SumError>> {
    match raw {
        Raw::Text(text) => each(text).map_err(Some),
        Raw::List(list) => list.iter().try_for_each(|raw| flatten(raw, each)),
        Raw::Record(_) => Err(None),
    }
}
