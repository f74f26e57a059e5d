//! The fuel ladder: what the flight takes, rung upon rung, against what is aboard and what the
//! tanks hold.
//!
//! Each rung begins where the one before it ends. What is unknown is dashed and called so.

mod figure;
mod sheet;
#[cfg(test)]
mod tests;

use crate::{Limit, Width, words::known};

/// The fuel of one flight.
#[derive(Clone, Debug, PartialEq)]
pub struct LadderPicture {
    /// Aeroplane: `QK-CSX Comfrey Six`.
    pub place: String,
    /// What for, on which day.
    pub day: String,
    /// Fuel that cannot be used, below everything else.
    pub unusable: Amount,
    /// Start and taxi, trip, contingency, alternate, holding, final reserve, extra: in that order.
    pub rungs: Vec<Rung>,
    /// Their sum.
    pub required: Amount,
    /// Usable fuel aboard.
    pub aboard: Amount,
    /// What the tanks hold usable.
    pub capacity: Amount,
    /// Required against aboard. Without a number on both sides it never holds.
    pub enough: Limit,
    /// What else is judged: the reserve at each landing, each tank.
    pub limits: Vec<Limit>,
    /// What else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

/// So much fuel.
#[derive(Clone, Debug, PartialEq)]
pub struct Amount {
    /// In any unit that all of the picture shares; `None` when unknown.
    pub value: Option<f64>,
    /// `71 L`.
    pub words: String,
}

/// One part of what the flight takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    /// `final reserve`.
    pub name: String,
    /// How much.
    pub amount: Amount,
    /// True for what must still be there at the last landing.
    pub kept: bool,
}

/// No light aeroplane carries more in any unit; what is beyond is a mistake.
const FAR: f64 = 1e5;

impl Amount {
    fn sound(&self) -> Option<f64> {
        known(self.value).filter(|value| *value <= FAR)
    }

    fn said(&self) -> &str {
        if self.sound().is_some() { &self.words } else { "unknown" }
    }
}

impl LadderPicture {
    /// All limits, with the verdicts that may be shown.
    fn shown(&self) -> Vec<Limit> {
        let both = self.required.sound().and(self.aboard.sound()).is_some();
        let verdict = self.enough.verdict.given(both);
        let enough = Limit { verdict, ..self.enough.clone() };
        std::iter::once(enough).chain(self.limits.iter().cloned()).collect()
    }
}

/// Draws the ladder.
#[must_use]
pub fn ladder(picture: &LadderPicture, width: Width) -> String {
    sheet::draw(picture, width)
}
