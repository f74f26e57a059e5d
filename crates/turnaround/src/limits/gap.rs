//! What stands where a number should be.

use stillprop_calc::{bounds::OutOfRange, restraint::HoldError, table::Beyond};

use crate::stage::{Spot, Stage, Unknown};

/// Why there is no number. A search meets this often and never reads it, so the words are
/// made only for a reader.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Gap<'a> {
    /// In words already.
    Said(&'a str),
    /// A mass is not known.
    Mass(&'a Stage),
    /// The temperature there is not known.
    Temperature(&'a Spot),
    /// The chart ends before; what it gives.
    Beyond(Beyond, &'static str),
    /// The sum does not accept it.
    OutOfRange(OutOfRange),
    /// What holds the aeroplane cannot be reckoned.
    Hold(HoldError),
    /// An obstacle inside the take-off distance.
    Obstacle(&'a str),
}

impl Gap<'_> {
    /// What is missing, for a person.
    pub(crate) fn words(self) -> Unknown {
        match self {
            Self::Said(words) => words.to_owned(),
            Self::Mass(stage) => super::load::missing(stage),
            Self::Temperature(spot) => format!("the temperature at {} is not given", spot.name),
            Self::Beyond(beyond, what) => format!("{beyond}: the manual gives no {what} there"),
            Self::OutOfRange(error) => error.to_string(),
            Self::Hold(error) => error.to_string(),
            Self::Obstacle(what) => format!("`{what}` stands within the take-off distance"),
        }
    }
}
