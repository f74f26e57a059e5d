//! Which units to show.

use clap::ValueEnum;
use stillprop_turnaround::units::Units;

/// Units to show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitSystem {
    /// Kilograms, metres, litres
    Metric,
    /// Pounds, inches, feet, US gallons
    Us,
    /// As the documents were written
    #[default]
    Document,
}

impl UnitSystem {
    /// The units, given those of the documents.
    pub(crate) fn choose(self, document: &Units) -> Units {
        match self {
            Self::Metric => Units::METRIC,
            Self::Us => Units::US,
            Self::Document => *document,
        }
    }
}
