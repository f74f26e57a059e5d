//! The day ribbon: night, twilight and day at the strip and at each destination, one below the
//! other under one clock, with the flight running down from one to the next.
//!
//! What is unknown is dashed and called so.

mod figure;
mod sheet;
#[cfg(test)]
mod tests;

use crate::{Limit, Verdict, Width};

/// One day of flying.
#[derive(Clone, Debug, PartialEq)]
pub struct DayPicture {
    /// What is flown: `Nessow Top to Oumbrel`.
    pub place: String,
    /// The day.
    pub day: String,
    /// The clock of the hours at the top: `UTC+05:30, the clock of Nessow Top`.
    pub clock: String,
    /// The strip first, then each destination.
    pub ribbons: Vec<Ribbon>,
    /// Each flight from one ribbon to another.
    pub hops: Vec<Hop>,
    /// Times of departure at which every limit holds, when they were looked for. Empty when
    /// there is none.
    pub windows: Option<Vec<Window>>,
    /// What is judged: departure, each arrival.
    pub limits: Vec<Limit>,
    /// What else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

/// Hours after the midnight before the departure, by the clock of the picture.
pub type Hours = f64;

/// Light at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Ribbon {
    /// The place.
    pub place: String,
    /// `first light 05:06, last light 18:23`; why it is not known.
    pub words: String,
    /// What the sky is like. Where no stretch reaches it is unknown.
    pub sky: Vec<Stretch>,
    /// Stretches that the rules keep free: after first light, before last light.
    pub buffers: Vec<Buffer>,
    /// What happens there, each with its time in words.
    pub moments: Vec<Moment>,
}

/// What the sky is like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sky {
    /// Darker than civil twilight.
    Night,
    /// Civil twilight.
    Twilight,
    /// The sun is up.
    Day,
}

/// A stretch of one sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// From.
    pub from: Hours,
    /// To.
    pub to: Hours,
    /// Which.
    pub sky: Sky,
}

/// A stretch that the rules keep free.
#[derive(Clone, Debug, PartialEq)]
pub struct Buffer {
    /// From.
    pub from: Hours,
    /// To.
    pub to: Hours,
    /// `20 min before last light`.
    pub words: String,
}

/// What happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MomentKind {
    /// The aeroplane takes off.
    TakeOff,
    /// It lands.
    Landing,
    /// The weather was observed, or a forecast begins or ends.
    Weather,
}

/// Something that happens at one time.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// What.
    pub kind: MomentKind,
    /// When; `None` when unknown.
    pub at: Option<Hours>,
    /// `lands 14:20`.
    pub words: String,
    /// Whether the light allows it; unknown for what nobody judges is wrong, so `None`.
    pub verdict: Option<Verdict>,
}

/// A flight from a ribbon to another, by their places in the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hop {
    /// Where and when it takes off.
    pub from: (usize, Hours),
    /// Where and when it lands.
    pub to: (usize, Hours),
}

/// Times of departure at which every limit holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// From.
    pub from: Hours,
    /// To.
    pub to: Hours,
    /// `12:10 to 15:02`.
    pub words: String,
}

/// No picture reaches further; what does is a mistake and counts as unknown. \[h\]
const FAR: Hours = 72.0;

/// A time, when it is one.
fn sound(hours: Hours) -> Option<Hours> {
    Some(hours).filter(|hours| hours.abs() <= FAR)
}

/// A stretch of time, when it is one.
fn stretch(from: Hours, to: Hours) -> Option<(Hours, Hours)> {
    sound(from).zip(sound(to)).filter(|(from, to)| from < to)
}

impl Moment {
    fn sound(&self) -> Option<Hours> {
        self.at.and_then(sound)
    }

    fn shown(&self) -> Option<Verdict> {
        self.verdict.map(|verdict| verdict.given(self.sound().is_some()))
    }
}

/// Draws the day.
#[must_use]
pub fn day(picture: &DayPicture, width: Width) -> String {
    sheet::draw(picture, width)
}
