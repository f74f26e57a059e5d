//! The strip profile: what there is, what is needed, and what stands in the way.
//!
//! From left to right in the direction of movement, with the start of the take-off run at zero.
//! Heights are drawn larger than lengths, and the picture says how much. What is unknown is
//! dashed and called so.

mod bars;
mod figure;
mod say;
mod sheet;
#[cfg(test)]
mod tests;
mod track;

use crate::{Verdict, Width, words::known};

/// One direction of one strip, for one aeroplane at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct ProfilePicture {
    /// Strip and direction: `Nessow Top 15`.
    pub place: String,
    /// Aeroplane, mass, weather, day.
    pub day: String,
    /// Rise over run, up in the direction of movement positive: 0.02.
    pub slope: Option<f64>,
    /// Take-off run available.
    pub tora: Declared,
    /// Take-off distance available.
    pub toda: Declared,
    /// Landing distance available.
    pub lda: Declared,
    /// What is needed against what there is, one bar each, in the order to show them.
    pub needs: Vec<Need>,
    /// The way up after take-off, when this picture shows one.
    pub climb: Option<Climb>,
    /// What stands ahead.
    pub obstacles: Vec<Obstacle>,
    /// The wind along the strip, when it was given.
    pub wind: Option<AlongWind>,
    /// What else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

/// A length that the strip has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Declared {
    /// So long. \[m\]
    Length(f64),
    /// The direction is not used that way.
    NotUsed,
    /// Nobody said.
    Unknown,
}

/// Which of the lengths of the strip a need is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// Take-off run available.
    Tora,
    /// Take-off distance available.
    Toda,
    /// Landing distance available.
    Lda,
}

/// A distance that the aeroplane needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// `take-off run`, `landing distance`.
    pub name: String,
    /// What must be long enough for it.
    pub against: Against,
    /// By the manual. \[m\]
    pub manual: Option<f64>,
    /// With all factors. \[m\]
    pub factored: Option<f64>,
    /// `x 1.15 wet grass (manual), x 1.25 (au: ...)`; may be empty.
    pub factors: String,
    /// `95 m left of 610 m`.
    pub margin: String,
    /// Does it fit? Without a number on both sides nothing does.
    pub verdict: Verdict,
}

/// The way up after take-off.
#[derive(Clone, Debug, PartialEq)]
pub struct Climb {
    /// Where the wheels leave the ground, from the start of the run. \[m\]
    pub lift_off: Option<f64>,
    /// Where the screen height is reached. \[m\]
    pub screen_at: Option<f64>,
    /// Screen height above the ground there: 15.24 for 50 ft. \[m\]
    pub screen: f64,
    /// `50 ft`.
    pub screen_words: String,
    /// Height over distance from there on: 0.06.
    pub gradient: Option<f64>,
    /// `6.0 % after take-off, flaps up`.
    pub words: String,
}

/// Something ahead that must be passed over.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// What it is.
    pub name: String,
    /// From the start of the take-off run. \[m\]
    pub distance: Option<f64>,
    /// Above the start of the take-off run. \[m\]
    pub height: Option<f64>,
    /// `passed 11 m above, 50 ft wanted`.
    pub margin: String,
    /// Is it passed high enough? Without distance and height nobody knows.
    pub verdict: Verdict,
}

/// The wind along the strip.
#[derive(Clone, Debug, PartialEq)]
pub struct AlongWind {
    /// Headwind positive, tailwind negative; only its sign is drawn.
    pub head: Option<f64>,
    /// `headwind 6 kt, crosswind 9 kt from the left`.
    pub words: String,
}

/// No strip is longer; what is further off is a mistake and counts as unknown. \[m\]
const FAR: f64 = 20_000.0;

/// A length along the strip, when it is one.
fn length(metres: Option<f64>) -> Option<f64> {
    known(metres).filter(|metres| *metres <= FAR)
}

impl Declared {
    /// The length, when it is one.
    fn metres(self) -> Option<f64> {
        match self {
            Self::Length(metres) => length(Some(metres)),
            Self::NotUsed | Self::Unknown => None,
        }
    }
}

impl Against {
    const ALL: [Self; 3] = [Self::Tora, Self::Toda, Self::Lda];

    const fn word(self) -> &'static str {
        match self {
            Self::Tora => "TORA",
            Self::Toda => "TODA",
            Self::Lda => "LDA",
        }
    }
}

impl ProfilePicture {
    const fn declared(&self, against: Against) -> Declared {
        match against {
            Against::Tora => self.tora,
            Against::Toda => self.toda,
            Against::Lda => self.lda,
        }
    }

    /// The slope, when it is one that wheels can stand on.
    fn sound_slope(&self) -> Option<f64> {
        self.slope.filter(|slope| slope.abs() <= 0.5)
    }

    /// The verdict that may be shown: nothing fits without a number on both sides.
    fn verdict(&self, need: &Need) -> Verdict {
        let both = length(need.factored).and(self.declared(need.against).metres());
        need.verdict.given(both.is_some())
    }
}

impl Obstacle {
    /// Distance and height, when both are known.
    fn place(&self) -> Option<(f64, f64)> {
        let height = self.height.filter(|height| height.abs() <= 5000.0)?;
        length(self.distance).map(|distance| (distance, height))
    }

    fn shown_verdict(&self) -> Verdict {
        self.verdict.given(self.place().is_some())
    }
}

impl Climb {
    fn sound_screen(&self) -> Option<f64> {
        known(Some(self.screen)).filter(|height| *height <= 500.0)
    }

    fn sound_gradient(&self) -> Option<f64> {
        self.gradient.filter(|gradient| (-0.5..=1.0).contains(gradient))
    }
}

/// Draws the profile.
#[must_use]
pub fn profile(picture: &ProfilePicture, width: Width) -> String {
    sheet::draw(picture, width)
}
