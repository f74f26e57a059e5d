//! What the answers for programs consist of. An answer is made of these types, and the
//! description of the API is made from the same types, so that neither can say what the other does
//! not. Values are not rounded; each carries its unit.

pub(crate) mod due;
pub(crate) mod event;
pub(crate) mod ground;
pub(crate) mod manifest;
pub(crate) mod packs;
pub(crate) mod ready;
pub(crate) mod screen;
pub(crate) mod sheet;
pub(crate) mod yard;

use jiff::{Timestamp, tz::Offset};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use stillprop_calc::{quantity::Amount, unit::Unit};

/// A quantity, not rounded.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub(crate) struct Quantity {
    /// How much; `null` for what is no number.
    #[schemars(with = "Option<f64>")]
    value: f64,
    /// Its unit.
    unit: &'static str,
}

/// An amount in a unit.
pub(super) fn quantity(amount: impl Into<Amount>, unit: Unit) -> Quantity {
    // Adding nothing turns a negative zero into zero.
    Quantity { value: amount.into().in_unit(unit) + 0.0, unit: unit.symbol }
}

/// A difference: without the zero of its scale, as a difference of temperatures is.
pub(super) fn difference(si: f64, unit: Unit) -> Quantity {
    Quantity { value: si / unit.scale, unit: unit.symbol }
}

/// A number in a unit, as it was counted.
pub(crate) const fn counted(value: f64, unit: Unit) -> Quantity {
    Quantity { value, unit: unit.symbol }
}

/// Something that may not be known.
#[derive(Clone, Debug, JsonSchema, Serialize)]
#[serde(untagged)]
#[schemars(inline)]
pub(crate) enum OrUnknown<T> {
    /// It is known.
    Known(T),
    /// It is not, and what is missing.
    Unknown {
        /// What is missing.
        unknown: String,
    },
}

pub(super) fn or_unknown<'a, T, A>(
    found: &'a Result<T, String>,
    show: impl FnOnce(&'a T) -> A,
) -> OrUnknown<A> {
    match found {
        Ok(found) => OrUnknown::Known(show(found)),
        Err(why) => OrUnknown::Unknown { unknown: why.clone() },
    }
}

/// An instant.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub(crate) struct Instant {
    /// In universal time.
    utc: String,
    /// By the clock of the place, with its offset.
    local: String,
}

pub(super) fn instant(at: Timestamp, offset: Offset) -> Instant {
    let local = offset.to_datetime(at);
    Instant { utc: at.to_string(), local: format!("{local}{offset}") }
}

/// What is wrong with what was asked.
#[derive(Debug, JsonSchema)]
#[expect(dead_code, reason = "describes what `problem` writes")]
pub(crate) struct Errors {
    /// Each problem.
    errors: Vec<Error>,
    /// What every answer carries.
    caution: String,
}

/// A problem with its place and a way out.
#[derive(Debug, JsonSchema)]
#[expect(dead_code, reason = "describes what `problem` writes")]
pub(crate) struct Error {
    /// The document it is in.
    file: Option<String>,
    /// Its line, from 1.
    line: Option<u64>,
    /// Its column, from 1.
    column: Option<u64>,
    /// What is wrong.
    message: String,
    /// A way out.
    help: Option<String>,
}

/// An answer as JSON.
pub(crate) fn value(answer: &impl Serialize) -> Value {
    // Names of fields are texts, and nothing here fails to be written.
    serde_json::to_value(answer).unwrap_or(Value::Null)
}
