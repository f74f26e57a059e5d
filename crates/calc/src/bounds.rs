//! The accepted range of a quantity, and the error for leaving it.

use std::{error::Error, fmt};

use crate::{
    quantity::{Amount, FromAmount},
    unit::Unit,
};

/// A closed range of accepted values, with the words an error needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// What is bounded, as a person would say it.
    pub quantity: &'static str,
    /// Smallest accepted value, in `unit`.
    pub min: f64,
    /// Largest accepted value, in `unit`.
    pub max: f64,
    /// Unit of `min` and `max`; its kind is the kind of the quantity.
    pub unit: Unit,
}

impl Bounds {
    /// Names a range.
    #[must_use]
    pub const fn new(quantity: &'static str, min: f64, max: f64, unit: Unit) -> Self {
        Self { quantity, min, max, unit }
    }

    /// Returns `quantity` when it lies in the range. NaN never does.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] when it does not, or is of another kind than the range.
    #[inline]
    pub fn check<Q: FromAmount>(&self, quantity: Q) -> Result<Q, OutOfRange> {
        self.check_amount(quantity.into()).map(|_| quantity)
    }

    /// [`Self::check`] for a quantity whose kind is known only at run time.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] as for [`Self::check`].
    #[inline]
    pub fn check_amount(&self, amount: Amount) -> Result<Amount, OutOfRange> {
        let (min, max) = (self.unit.si_of(self.min), self.unit.si_of(self.max));
        if amount.kind == self.unit.kind && (min..=max).contains(&amount.si) {
            Ok(amount)
        } else {
            Err(OutOfRange { bounds: *self, value: amount.in_unit(self.unit) })
        }
    }
}

/// A value outside the range its method was published for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfRange {
    /// The range that was left.
    pub bounds: Bounds,
    /// The offending value, in the unit of `bounds`.
    pub value: f64,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Bounds { quantity, min, max, unit } = self.bounds;
        let (value, unit) = (self.value, unit.symbol);
        // Nine digits hide the rounding of a conversion, never a real difference.
        let value = (value * 1e9).round() / 1e9;
        write!(f, "{quantity} is {value} {unit}; accepted: {min} to {max} {unit}")
    }
}

impl Error for OutOfRange {}
