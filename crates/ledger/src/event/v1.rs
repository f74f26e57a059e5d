//! Events of version 1. Quantities are whole numbers with their unit in the name, so that
//! bytes never depend on how a machine prints a fraction and litres add up exactly.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::Day;

/// Something that happened, as a person or the program states it.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Event {
    /// A container came into the yard with fuel in it.
    Received(Received),
    /// It was put down somewhere.
    Stored(Stored),
    /// It was looked over from outside.
    Inspected(Inspected),
    /// It was stood up or tilted; the settling clock starts.
    Stood(Stood),
    /// A sample was drawn and judged.
    Sampled(Sampled),
    /// It was opened.
    Opened(Opened),
    /// Fuel was taken out.
    Drawn(Drawn),
    /// What is left was written on it.
    PartMarked(PartMarked),
    /// Nothing usable is left.
    Emptied(Emptied),
    /// It must not be used.
    Condemned(Condemned),
    /// Its contents were counted.
    Counted(Counted),
    /// A batch was called back.
    BatchRecalled(BatchRecalled),
    /// A batch was tested again by a laboratory.
    BatchRetested(BatchRetested),
    /// An earlier event was wrong.
    Corrected(Corrected),
}

/// Kind of container.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ContainerKind {
    /// A drum of about 200 L.
    Drum,
    /// A fixed tank.
    Tank,
    /// A tank on wheels.
    Bowser,
}

/// A container came into the yard with fuel in it.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Received {
    /// The container; its QR code says this.
    pub container: Uuid,
    /// Kind.
    pub kind: ContainerKind,
    /// What people call it.
    pub label: String,
    /// The yard.
    pub place: String,
    /// Grade as written on it.
    pub grade: String,
    /// The supplier's lot.
    pub batch: String,
    /// The supplier.
    pub supplier: String,
    /// Day it was filled.
    pub filled: Day,
    /// Contents. \[mL\]
    pub contents_ml: i64,
    /// Temperature of the contents. \[thousandth of a degree Celsius\]
    pub temperature_mdegc: Option<i32>,
    /// What it holds when full. \[mL\]
    pub capacity_ml: i64,
    /// Numbers of the seals.
    pub seals: Vec<String>,
    /// Number given by the maker of the drum.
    pub maker_number: Option<String>,
}

/// How a container lies or stands.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Posture {
    /// On its side.
    OnSide,
    /// Upright.
    Upright,
    /// Upright and leaning, low point away from the bung.
    Tilted,
}

/// It was put down somewhere.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Stored {
    /// The container.
    pub container: Uuid,
    /// The yard; another one than before means that it was moved.
    pub place: String,
    /// Rack and row.
    pub rack: Option<String>,
    /// How it lies.
    pub posture: Posture,
    /// Where the two bungs point, as hours of a clock, seen on the end.
    pub bungs: Option<[u8; 2]>,
    /// Chocked against rolling.
    pub chocked: bool,
    /// Off the ground, on timber.
    pub off_ground: bool,
    /// In the shade.
    pub shaded: bool,
}

/// How bad something looks.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// None.
    None,
    /// Some, on the surface.
    Slight,
    /// Enough that the inside may be harmed: the lining may have come loose.
    Severe,
}

/// What the seals look like.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seals {
    /// All there and whole.
    Intact,
    /// Broken or missing.
    Broken,
}

/// It was looked over from outside.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Inspected {
    /// The container.
    pub container: Uuid,
    /// Dents.
    pub dents: Severity,
    /// Rust.
    pub rust: Severity,
    /// Lining, as far as it can be seen; `None` when it was not looked at.
    pub lining_sound: Option<bool>,
    /// Grade, batch and date can be read.
    pub label_legible: bool,
    /// Seals.
    pub seals: Seals,
    /// Anything else.
    pub note: Option<String>,
}

/// It was stood up or tilted; the settling clock starts.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Stood {
    /// The container.
    pub container: Uuid,
    /// How it stands now.
    pub posture: Posture,
}

/// How a sample looked.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Appearance {
    /// Clear and bright.
    ClearAndBright,
    /// Hazy or cloudy.
    Haze,
    /// Sediment.
    Sediment,
    /// Free water.
    Water,
}

/// What the water-finding paste said.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paste {
    /// No change of colour.
    Dry,
    /// It changed colour.
    Wet,
    /// It was not used.
    NotUsed,
}

/// A sample was drawn and judged.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Sampled {
    /// The container.
    pub container: Uuid,
    /// Drawn from the low point.
    pub low_point: bool,
    /// Appearance.
    pub appearance: Appearance,
    /// Colour in a word.
    pub colour: String,
    /// Water paste.
    pub paste: Paste,
    /// Density as read. \[g/m3\]
    pub density_g_m3: Option<i64>,
    /// Temperature of the sample. \[thousandth of a degree Celsius\]
    pub temperature_mdegc: Option<i32>,
}

/// It was opened.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Opened {
    /// The container.
    pub container: Uuid,
    /// The seals just before.
    pub seals: Seals,
}

/// Where fuel went.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Into {
    /// A tank of an aircraft.
    Aircraft {
        /// Registration.
        registration: String,
        /// Tank.
        tank: String,
    },
    /// Another container.
    Container(Uuid),
    /// Samples, flushing, waste.
    Waste,
}

/// Fuel was taken out.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Drawn {
    /// The container it came from.
    pub container: Uuid,
    /// How much. \[mL\]
    pub volume_ml: i64,
    /// Where it went.
    pub into: Into,
    /// The flight it was for.
    pub flight: Option<String>,
}

/// What is left was written on it.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct PartMarked {
    /// The container.
    pub container: Uuid,
    /// What is left, as written. \[mL\]
    pub left_ml: i64,
}

/// Nothing usable is left.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Emptied {
    /// The container.
    pub container: Uuid,
}

/// It must not be used.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Condemned {
    /// The container.
    pub container: Uuid,
    /// Why.
    pub reason: String,
}

/// Its contents were counted. The difference to the book is kept, never written over.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Counted {
    /// The container.
    pub container: Uuid,
    /// What was found. \[mL\]
    pub contents_ml: i64,
}

/// A batch was called back.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct BatchRecalled {
    /// The batch.
    pub batch: String,
    /// Why.
    pub reason: String,
}

/// A batch was tested again by a laboratory.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct BatchRetested {
    /// The batch.
    pub batch: String,
    /// Day of the test.
    pub on: Day,
    /// It may still be used.
    pub passed: bool,
}

/// An earlier event was wrong.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Corrected {
    /// The record that was wrong.
    pub of: Uuid,
    /// What should have been recorded; `None` when it did not happen at all.
    pub instead: Option<Box<Event>>,
    /// Why.
    pub reason: String,
}
