//! The strip document: a place to land, with each of its directions.

use schemars::JsonSchema;
use serde::Deserialize;
use stillprop_calc::quantity::{Angle, Length, Ratio};
use stillprop_rules::{
    document::{At, Bearing, Given, Stated},
    situation::Surface,
};

use super::{Format, ground::Apron};

/// One strip.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Strip {
    /// Version of the format; 1.
    pub format: Format,
    /// The word `strip`.
    pub kind: KindWord,
    /// True for demonstration data that belongs to no real place.
    #[serde(default)]
    pub invented: bool,
    /// Name.
    pub name: String,
    /// Where it is.
    pub position: Position,
    /// Elevation above mean sea level.
    pub elevation: Given<Length>,
    /// Offset of local time from UTC, `"+10:00"`.
    pub utc_offset: At<String>,
    /// Magnetic variation, east positive; needed when a bearing is magnetic.
    pub variation_east: Option<Given<Angle>>,
    /// Directions of take-off and landing.
    pub directions: Vec<Direction>,
    /// When the strip may be used, by its own clock; left out where it is never shut.
    pub open: Option<Open>,
    /// The ground where aeroplanes are parked and fuelled.
    pub apron: Option<Apron>,
    /// Things to know that no number says.
    #[serde(default)]
    pub remarks: Vec<String>,
}

/// The word that says which document this is.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum KindWord {
    /// A strip document.
    Strip,
}

/// Opening hours, every day alike.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Open {
    /// Opens: `"06:00"`.
    pub from: At<String>,
    /// Shuts.
    pub until: At<String>,
}

/// A position on the ellipsoid.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Position {
    /// North positive.
    pub latitude: Given<Angle>,
    /// East positive.
    pub longitude: Given<Angle>,
}

/// One direction of a strip. A distance left out is `unknown`; `"none"` says that the
/// direction is not used that way, as on a one-way strip.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Direction {
    /// Name used in turnarounds: `09`.
    pub name: At<String>,
    /// Direction of movement.
    pub bearing: Bearing,
    /// Take-off run available.
    pub tora: Option<Stated<Length>>,
    /// Take-off distance available.
    pub toda: Option<Stated<Length>>,
    /// Accelerate-stop distance available.
    pub asda: Option<Stated<Length>>,
    /// Landing distance available.
    pub lda: Option<Stated<Length>>,
    /// Slope, rising in this direction positive.
    pub slope: Option<Given<Ratio>>,
    /// Surface: `paved`, `gravel`, `short grass`.
    pub surface: Option<Surface>,
    /// Obstacles ahead on take-off.
    #[serde(default)]
    pub obstacles: Vec<Obstacle>,
}

/// An obstacle ahead.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Obstacle {
    /// What it is.
    pub what: At<String>,
    /// Distance from the start of the take-off run.
    pub distance: Given<Length>,
    /// Height above the start of the take-off run.
    pub height: Given<Length>,
}
