//! The loading: the aeroplane from above, and what each place carries against what it may.
//!
//! To scale, nose to the left, so that the picture and the scale of arms below it agree. What is
//! unknown is dashed and called so.

mod figure;
mod sheet;
#[cfg(test)]
mod tests;

use crate::{Verdict, Width};

/// One aeroplane with what is in it.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadingPicture {
    /// Aeroplane: `QK-CSX Comfrey Six`.
    pub place: String,
    /// What for, on which day.
    pub day: String,
    /// Unit of every arm here, as it is written: `m`.
    pub arm_unit: String,
    /// Unit of the numbers in the boxes: `kg`.
    pub mass_unit: String,
    /// Outlines of wing, fuselage and tail. Empty when nobody said where they lie.
    pub outlines: Vec<Vec<Station>>,
    /// Seats, lockers and tanks, in the order to list them.
    pub places: Vec<Place>,
    /// Where the whole balances.
    pub balance: Balance,
    /// What else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

/// A place in the aeroplane, in the unit of the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Aft of the datum.
    pub arm: f64,
    /// Right of the middle.
    pub lateral: f64,
}

/// What a place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaceKind {
    /// For a person.
    Seat,
    /// For things.
    Locker,
    /// For fuel.
    Tank,
}

/// The greatest mass of a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Most {
    /// So much.
    Is(f64),
    /// The manual sets none.
    None,
    /// Nobody said.
    Unknown,
}

/// A seat, a locker or a tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// What it is.
    pub kind: PlaceKind,
    /// `1L`, `aft locker`.
    pub name: String,
    /// Where it is; `None` when nobody said.
    pub at: Option<Station>,
    /// What is in it, in any unit that `most` shares.
    pub load: Option<f64>,
    /// What may be in it.
    pub most: Most,
    /// The number to write into it, without a unit: `79`.
    pub figure: String,
    /// `79 kg of 120 kg`.
    pub stands: String,
    /// Who or what is in it: `Marro Teel`; may be empty.
    pub inside: String,
    /// Is it within its greatest mass? Without a number on both sides nobody knows.
    pub verdict: Verdict,
}

/// Where the whole balances.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// Arm of the centre of gravity; `None` when unknown.
    pub arm: Option<f64>,
    /// Foremost and aftmost arm allowed at that mass.
    pub allowed: Option<(f64, f64)>,
    /// `take-off 1521 kg at 1.215 m, allowed 1.061 m to 1.410 m`.
    pub words: String,
    /// Is it between them?
    pub verdict: Verdict,
}

/// No aeroplane is larger in any unit; what is further off is a mistake and counts as unknown.
const FAR: f64 = 10_000.0;

impl Station {
    /// The place, when it is one.
    fn sound(self) -> Option<Self> {
        (self.arm.abs() <= FAR && self.lateral.abs() <= FAR).then_some(self)
    }
}

impl LoadingPicture {
    /// The outlines that can be drawn: areas of which every corner is one.
    fn sound_outlines(&self) -> Vec<Vec<Station>> {
        let sound = |outline: &Vec<Station>| {
            let corners: Option<Vec<_>> = outline.iter().map(|one| one.sound()).collect();
            corners.filter(|corners| corners.len() > 2)
        };
        self.outlines.iter().filter_map(sound).collect()
    }
}

impl PlaceKind {
    const fn word(self) -> &'static str {
        match self {
            Self::Seat => "seat",
            Self::Locker => "locker",
            Self::Tank => "tank",
        }
    }
}

impl Place {
    fn sound_load(&self) -> Option<f64> {
        crate::words::known(self.load)
    }

    /// How full it is, where that can be said; more than 1 is too much.
    fn share(&self) -> Option<f64> {
        let load = self.sound_load()?;
        match self.most {
            Most::Is(most) if most > 0.0 && most.is_finite() => Some(load / most),
            _ => None,
        }
    }

    /// The verdict that may be shown: nothing is within without a number on both sides, but for
    /// a place to which the manual sets no bound.
    fn shown(&self) -> Verdict {
        let unbound = self.most == Most::None && self.sound_load().is_some();
        self.verdict.given(unbound || self.share().is_some())
    }
}

impl Balance {
    fn shown(&self) -> Verdict {
        self.verdict.given(self.sound_arm().and(self.sound_allowed()).is_some())
    }

    fn sound_arm(&self) -> Option<f64> {
        self.arm.filter(|arm| arm.abs() <= FAR)
    }

    fn sound_allowed(&self) -> Option<(f64, f64)> {
        self.allowed
            .filter(|(forward, aft)| forward.abs() <= FAR && aft.abs() <= FAR && forward <= aft)
    }
}

/// Draws the loading.
#[must_use]
pub fn loading(picture: &LoadingPicture, width: Width) -> String {
    sheet::draw(picture, width)
}
