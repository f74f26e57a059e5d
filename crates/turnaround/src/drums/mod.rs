//! Drums, tanks and bowsers as a source of fuel: plain facts, and what they mean.
//!
//! Whoever keeps the yard hands the facts in as [`Container`]s; nothing here knows how they
//! were recorded. The rules themselves are limits ([`crate::limits::drum`],
//! [`crate::limits::sample`]); this module asks them of a whole yard.
//!
//! | module | answers |
//! |---|---|
//! | [`figures`] | what the pack says about drums |
//! | [`settle`] | when a container will have settled |
//! | [`storage`] | what to put right about how a drum lies |
//! | [`colour`] | whether a colour is that of the grade |
//! | [`fitness`] | whether one container is fit for use, and why not |
//! | [`choose`] | which drums to draw from |
//! | [`named`] | the drums that a turnaround document names, found in the yard |
//! | [`order`] | the fuel to order, by fuelling method |
//! | [`reconcile`] | dip, gauge and reckoning against each other |

pub mod choose;
pub mod colour;
pub mod figures;
pub mod fitness;
#[cfg(test)]
pub(crate) mod fixture;
pub mod named;
pub mod order;
mod ranks;
pub mod reconcile;
pub mod settle;
pub mod storage;

use jiff::{Timestamp, civil::Date, tz::Offset};
use stillprop_calc::{
    bounds::OutOfRange,
    density::{At15, density_at_15},
    quantity::{FromAmount, Length, MassDensity, ThermodynamicTemperature, Time, Volume},
    trace::{Silent, Trace},
};

use figures::DrumFigures;

/// Kind of container.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A drum of about 200 L.
    Drum,
    /// A fixed tank.
    Tank,
    /// A tank on wheels.
    Bowser,
}

/// How a drum lies or stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Posture {
    /// On its side.
    OnSide,
    /// Upright.
    Upright,
    /// Upright and leaning, low point away from the bung.
    Tilted,
}

/// What the seals looked like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seals {
    /// All there and whole.
    Intact,
    /// Broken or missing.
    Broken,
}

/// How a sample looked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paste {
    /// No change of colour.
    Dry,
    /// It changed colour.
    Wet,
    /// It was not used.
    NotUsed,
}

/// A sample, as it was judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// When it was drawn.
    pub at: Timestamp,
    /// Drawn from the low point.
    pub low_point: bool,
    /// Appearance.
    pub appearance: Appearance,
    /// Colour in a word or two: `blue`, `pale straw`.
    pub colour: String,
    /// Water paste.
    pub paste: Paste,
    /// Density as read; `None` when it was not.
    pub density: Option<Reading>,
}

/// A density as read, with what it is at 15 degC: found once, because a yard is asked often.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    density: MassDensity,
    temperature: Option<ThermodynamicTemperature>,
    at_15: Option<Result<At15, OutOfRange>>,
}

impl Reading {
    /// A density read at a temperature, if that was read too.
    #[must_use]
    pub fn of(density: MassDensity, temperature: Option<ThermodynamicTemperature>) -> Self {
        let at_15 = temperature.map(|t| density_at_15(density, t, &mut Silent));
        Self { density, temperature, at_15 }
    }

    /// The density as read.
    #[must_use]
    pub const fn density(&self) -> MassDensity {
        self.density
    }

    /// The temperature it was read at.
    #[must_use]
    pub const fn temperature(&self) -> Option<ThermodynamicTemperature> {
        self.temperature
    }

    /// The density at 15 degC; `None` without a temperature.
    pub(crate) fn at_15<T: Trace>(&self, trace: &mut T) -> Option<Result<At15, OutOfRange>> {
        if T::RECORDS {
            return self.temperature.map(|t| density_at_15(self.density, t, trace));
        }
        self.at_15
    }
}

/// A container and what is known of it. What is `None` is not known, or did not happen where
/// that is what the line says.
#[derive(Clone, Debug, PartialEq)]
pub struct Container {
    /// The id on its tag; no two are the same.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// Kind.
    pub kind: Kind,
    /// The yard it is in.
    pub place: String,
    /// Rack and row.
    pub rack: Option<String>,
    /// Grade as written on it.
    pub grade: String,
    /// The supplier's lot.
    pub batch: String,
    /// The supplier.
    pub supplier: String,
    /// Day it was filled.
    pub filled: Option<Date>,
    /// Day of the last laboratory test that the batch passed; `None` when there was none.
    pub retested: Option<Date>,
    /// Contents by the book.
    pub left: Volume,
    /// What it holds when full.
    pub capacity: Volume,
    /// Depth of the fuel; needed for a tank or bowser, reckoned for a drum.
    pub depth: Option<Length>,
    /// When it was first opened; `None` when it never was.
    pub opened: Option<Timestamp>,
    /// The seals as last seen before it was opened.
    pub seals: Option<Seals>,
    /// When it was last looked over from outside; `None` when nobody has.
    pub inspected: Option<Timestamp>,
    /// How it lies or stands.
    pub posture: Option<Posture>,
    /// Since when it has stood without being moved or filled.
    pub stands_since: Option<Timestamp>,
    /// The last sample; `None` when there was none.
    pub sample: Option<Sample>,
    /// Why its batch was called back; `None` when it was not.
    pub recalled: Option<String>,
    /// Why it was condemned; `None` when it was not.
    pub condemned: Option<String>,
    /// Damage that may have loosened the lining; `None` when there is none.
    pub severe_damage: Option<String>,
    /// Counted less booked at the last count; `None` when it was never counted.
    pub counted_difference: Option<Volume>,
}

/// The fuelling that a container is judged for.
#[derive(Clone, Copy, Debug)]
pub struct Occasion<'a> {
    /// Grade to be taken, as written.
    pub grade: &'a str,
    /// When fuelling begins, if that is known.
    pub begins: Option<Timestamp>,
    /// When it begins at the latest: chocks off.
    pub latest: Timestamp,
    /// Offset of the clock on the spot.
    pub offset: Offset,
    /// What the pack says.
    pub figures: &'a DrumFigures,
}

impl Occasion<'_> {
    /// The time that ages are counted to: when it begins, else the latest it can.
    pub(crate) fn time(&self) -> Timestamp {
        self.begins.unwrap_or(self.latest)
    }

    /// The local day of an instant.
    pub(crate) fn day(&self, instant: Timestamp) -> Date {
        self.offset.to_datetime(instant).date()
    }

    /// Local time of day, with the date where it is another day than that of the fuelling.
    pub(crate) fn clock(&self, instant: Timestamp) -> String {
        let clock = crate::limits::light::clock(instant, self.offset);
        let day = self.day(instant);
        if day == self.day(self.time()) { clock } else { format!("{clock} on {day}") }
    }

    /// The same for a time that must be waited for: up to the whole minute.
    pub(crate) fn clock_up(&self, instant: Timestamp) -> String {
        self.clock(crate::stage::later(instant, Time::from_si(59.0)))
    }
}

impl Container {
    /// Opened for an earlier fuelling: what was opened for this one is not part-used.
    #[must_use]
    pub fn part_used(&self, occasion: &Occasion<'_>) -> bool {
        self.opened.is_some_and(|opened| occasion.begins.is_none_or(|begins| opened < begins))
    }

    /// What can be drawn: what is left less what the pump leaves; `None` when the pack does
    /// not say what that is.
    #[must_use]
    pub fn usable(&self, figures: &DrumFigures) -> Option<Volume> {
        let remainder = figures.unpumped_remainder.as_ref().ok()?.value;
        Some(Volume::from_si((self.left - remainder).value.max(0.0)))
    }
}
