//! The day document: stops in order, each a turnaround of its own, and where fuel may be had.

use schemars::JsonSchema;
use serde::Deserialize;
use stillprop_calc::quantity::Volume;
use stillprop_rules::document::{At, Given};

use super::Format;

/// A day of flying.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Day {
    /// Version of the format; 1.
    pub format: Format,
    /// The word `day`.
    pub kind: KindWord,
    /// True for demonstration data.
    #[serde(default)]
    pub invented: bool,
    /// A line that says which day this is.
    pub title: String,
    /// Fuel is taken in whole steps of this; one litre or one gallon when left out.
    pub step: Option<Given<Volume>>,
    /// What prices are in, in a word.
    pub money: Option<String>,
    /// A `price` buys so much; one litre when left out.
    pub price_for: Option<Given<Volume>>,
    /// Stops in order.
    pub stops: Vec<Stop>,
}

/// The word that says which document this is.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum KindWord {
    /// A day document.
    Day,
}

/// A stop of the day. Without `yard` and `pump` no fuel is taken there.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// File of the turnaround document, from the folder of this one. Its legs lead to the next stop.
    pub turnaround: At<String>,
    /// Drums, tanks and bowsers of a yard.
    pub yard: Option<Yard>,
    /// A pump or a tanker.
    pub pump: Option<Pump>,
}

/// Fuel out of a yard.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Yard {
    /// The place, as the ledger names it.
    pub place: At<String>,
    /// Which of its drums; every fit one when left out.
    pub drums: Option<Vec<At<String>>>,
    /// Price of the fuel.
    pub price: Option<At<f64>>,
    /// Price of each drum that is opened, whatever is drawn from it.
    pub drum_price: Option<At<f64>>,
    /// True when a drum is emptied or left alone.
    #[serde(default)]
    pub whole: bool,
}

/// Fuel out of a pump or a tanker.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pump {
    /// What it is called.
    pub name: At<String>,
    /// What may be had; as much as is wanted when left out.
    pub holds: Option<Given<Volume>>,
    /// Price of the fuel.
    pub price: Option<At<f64>>,
    /// Price of coming out at all.
    pub call_out: Option<At<f64>>,
}
