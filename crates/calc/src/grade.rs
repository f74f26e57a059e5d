//! What the density of a fuel says about its grade, and how much jet fuel in avgas it would mean.
//!
//! # Formula
//!
//! A density at 15 degC is consistent with a grade when it lies in the band of that grade. For
//! a mixture that keeps its volume, `x` the share of jet fuel by volume at 15 degC:
//!
//! ```text
//! rho15 = (1 - x) avgas + x jet        x = (rho15 - avgas) / (jet - avgas)
//!
//! u(rho15)^2 = (d rho15/d rho u(rho))^2 + (d rho15/dt u(t))^2
//! u(x)^2     = (u(rho15)^2 + ((1 - x) u(avgas))^2 + (x u(jet))^2) / (jet - avgas)^2
//! visible    = 2 u(x)
//! ```
//!
//! `u` is a standard uncertainty: two readings in three lie within it. The slopes of `rho15`
//! are those of the tables, see [`crate::density`].
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `rho`, `t` | density as read, temperature | kg/m3, degC | as [`crate::density`] | |
//! | `avgas` | density of the avgas, pure, at 15 degC | kg/m3 | 653 to 760 | ours |
//! | `jet` | density of the jet fuel at 15 degC | kg/m3 | 775 to 840 | `[def-stan-91-091]` |
//! | `u` | of a density | kg/m3 | 0 to 50 | ours |
//! | `u(t)` | of the thermometer | degC | 0 to 10 | ours |
//!
//! | band | kg/m3 | status |
//! |---|---|---|
//! | Jet A-1 | 775 to 840 | limit of the specification |
//! | avgas | 695 to 725 | common practice, no source: the specifications only ask for a report |
//!
//! # Accuracy
//!
//! The share is worth what the two pure densities are worth. Avgas of one refinery differs
//! from another's by 10 kg/m3 and more, which is a tenth of a tank of jet fuel: take the
//! densities of the batches, or give their uncertainty.
//!
//! # Left out on purpose
//!
//! Contraction on mixing. Unleaded avgas, which may be lighter than the band. Any conclusion
//! that a fuel is pure: see [`PURITY`].
//!
//! # Sources
//!
//! `def-stan-91-091`, `avgas-density-practice`, `fuel-arithmetic`, `jcgm-100`, `mpms-11-1-1980`.

use crate::{
    bounds::{Bounds, OutOfRange},
    density::{self, At15, DENSITY_15},
    quantity::{FromAmount, MassDensity, Ratio, TemperatureInterval, ThermodynamicTemperature},
    source,
    trace::{Step, Trace},
    unit::{DEGC_STEP, KG_M3},
};

/// Jet A-1 by its specification.
pub const JET_A1: Bounds = Bounds::new("density of Jet A-1 at 15 degC", 775.0, 840.0, KG_M3);
/// Avgas as it is quoted: common practice, no source.
pub const AVGAS: Bounds = Bounds::new("density of avgas at 15 degC", 695.0, 725.0, KG_M3);
/// Accepted densities of a pure avgas, wide enough for any grade.
pub const PURE_AVGAS: Bounds = Bounds::new("density of the pure avgas", 653.0, 760.0, KG_M3);
/// Accepted uncertainties of a density.
pub const DENSITY_ERROR: Bounds = Bounds::new("uncertainty of the density", 0.0, 50.0, KG_M3);
/// Accepted uncertainties of a temperature.
pub const TEMPERATURE_ERROR: Bounds =
    Bounds::new("uncertainty of the temperature", 0.0, 10.0, DEGC_STEP);

/// What no answer of this module may be shown without.
pub const PURITY: &str = "Colour and density together still cannot prove that a fuel is pure: some jet fuel in avgas \
     changes neither enough to be noticed, and its octane is already lower.";

/// The grade a density is consistent with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Consistent {
    /// Avgas.
    Avgas,
    /// Jet A-1.
    JetA1,
    /// No grade known here.
    Neither,
}

impl Consistent {
    /// The grade as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Avgas => "avgas",
            Self::JetA1 => "Jet A-1",
            Self::Neither => "neither",
        }
    }
}

/// The grade that a density at 15 degC is consistent with, `avgas` being the band for avgas.
///
/// # Errors
///
/// [`OutOfRange`] for [`DENSITY_15`].
pub fn consistent_with(
    density_15: MassDensity,
    avgas: &Bounds,
    trace: &mut impl Trace,
) -> Result<Consistent, OutOfRange> {
    let density_15 = DENSITY_15.check(density_15)?;
    let grade = if avgas.check(density_15).is_ok() {
        Consistent::Avgas
    } else if JET_A1.check(density_15).is_ok() {
        Consistent::JetA1
    } else {
        Consistent::Neither
    };
    trace.step(|| {
        let band = |bounds: &Bounds| {
            format!("{} to {} {}", bounds.min, bounds.max, bounds.unit.symbol)
        };
        let (avgas, jet) = (band(avgas), band(&JET_A1));
        Step::new("grade by density", "within the band of a grade or of none")
            .with("rho15", density_15)
            .from(source::JET_A1_DENSITY)
            .remark(format!(
                "consistent with: {}; Jet A-1 is {jet} by its specification, avgas {avgas} by common practice",
                grade.words()
            ))
    });
    Ok(grade)
}

/// A density and a temperature as read, each with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Density at the temperature.
    pub density: MassDensity,
    /// Temperature of the fuel.
    pub temperature: ThermodynamicTemperature,
    /// Uncertainty of the density.
    pub density_error: MassDensity,
    /// Uncertainty of the temperature.
    pub temperature_error: TemperatureInterval,
}

/// The two fuels that may have been mixed, at 15 degC, each with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pure {
    /// Density of the avgas.
    pub avgas: MassDensity,
    /// Its uncertainty.
    pub avgas_error: MassDensity,
    /// Density of the jet fuel.
    pub jet: MassDensity,
    /// Its uncertainty.
    pub jet_error: MassDensity,
}

/// The share of jet fuel that a reading would mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JetShare {
    /// The density at 15 degC.
    pub at_15: At15,
    /// Standard uncertainty of that density.
    pub density_15_error: MassDensity,
    /// `x`, by volume at 15 degC; below zero for a fuel lighter than the avgas.
    pub share: Ratio,
    /// Standard uncertainty of `x`.
    pub share_error: Ratio,
    /// The least share that these readings would tell from none.
    pub visible: Ratio,
}

impl JetShare {
    /// The share as words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        if self.share > self.visible {
            "jet fuel, or something else that is heavier"
        } else if self.share < -self.visible {
            "lighter than the avgas it is taken for"
        } else {
            "no more than the errors explain"
        }
    }
}

/// The share of jet fuel in avgas that a reading would mean, with its uncertainty.
///
/// # Errors
///
/// [`OutOfRange`] as for [`density::density_at_15`], and for [`PURE_AVGAS`], [`JET_A1`],
/// [`DENSITY_ERROR`] or [`TEMPERATURE_ERROR`].
pub fn jet_in_avgas(
    reading: &Reading,
    pure: &Pure,
    trace: &mut impl Trace,
) -> Result<JetShare, OutOfRange> {
    let avgas = PURE_AVGAS.check(pure.avgas)?;
    let jet = JET_A1.check(pure.jet)?;
    let avgas_error = DENSITY_ERROR.check(pure.avgas_error)?;
    let jet_error = DENSITY_ERROR.check(pure.jet_error)?;
    let density_error = DENSITY_ERROR.check(reading.density_error)?;
    let temperature_error = TEMPERATURE_ERROR.check(reading.temperature_error)?;
    let at_15 = density::density_at_15(reading.density, reading.temperature, trace)?;
    let slopes = density::slopes(&at_15, reading.temperature);
    let density_15_error = MassDensity::from_si(
        (slopes.by_density * density_error.si())
            .hypot(slopes.by_temperature * temperature_error.si()),
    );
    let share = (at_15.density - avgas) / (jet - avgas);
    let x = share.si();
    let pure_error = ((1.0 - x) * avgas_error.si()).hypot(x * jet_error.si());
    let share_error = Ratio::from_si(density_15_error.si().hypot(pure_error) / (jet - avgas).si());
    let visible = share_error * 2.0;
    trace.step(|| {
        let formula = "u(rho15)^2 = (d rho15/d rho u(rho))^2 + (d rho15/dt u(t))^2";
        Step::new("uncertainty of the density", formula)
            .with("u(rho)", density_error)
            .with("u(t)", temperature_error)
            .gives("u(rho15)", density_15_error)
            .from(source::GUM)
    });
    trace.step(|| {
        Step::new("share of jet fuel by volume", "x = (rho15 - avgas) / (jet - avgas)")
            .with("rho15", at_15.density)
            .with("avgas", avgas)
            .with("jet", jet)
            .gives("x", share)
            .from(source::FUEL_ARITHMETIC)
    });
    trace.step(|| {
        let formula = "u(x)^2 = (u(rho15)^2 + ((1-x) u(avgas))^2 + (x u(jet))^2) / (jet - avgas)^2";
        Step::new("uncertainty of the share", formula)
            .with("u(rho15)", density_15_error)
            .with("u(avgas)", avgas_error)
            .with("u(jet)", jet_error)
            .gives("u(x)", share_error)
            .gives("visible", visible)
            .from(source::GUM)
            .remark(PURITY)
    });
    Ok(JetShare { at_15, density_15_error, share, share_error, visible })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        trace::{Silent, Working},
        unit::DEGC,
    };

    fn dense(rho: f64) -> MassDensity {
        MassDensity::of(rho, KG_M3)
    }

    fn reading(density: f64, temperature: f64, errors: (f64, f64)) -> Reading {
        Reading {
            density: dense(density),
            temperature: ThermodynamicTemperature::of(temperature, DEGC),
            density_error: dense(errors.0),
            temperature_error: TemperatureInterval::of(errors.1, DEGC_STEP),
        }
    }

    fn pure(avgas: f64, jet: f64) -> Pure {
        let exact = dense(0.0);
        Pure { avgas: dense(avgas), avgas_error: exact, jet: dense(jet), jet_error: exact }
    }

    fn share(reading: &Reading, pure: &Pure) -> Result<JetShare, OutOfRange> {
        jet_in_avgas(reading, pure, &mut Silent)
    }

    #[test]
    fn each_band_ends_where_it_says() {
        for (rho15, grade) in [
            (694.9, Consistent::Neither),
            (695.0, Consistent::Avgas),
            (725.0, Consistent::Avgas),
            (725.1, Consistent::Neither),
            (774.9, Consistent::Neither),
            (775.0, Consistent::JetA1),
            (840.0, Consistent::JetA1),
            (840.1, Consistent::Neither),
        ] {
            let found = consistent_with(dense(rho15), &AVGAS, &mut Silent).unwrap();
            assert_eq!(found, grade, "{rho15}");
        }
        for rho15 in [652.9, 1075.1, f64::NAN, f64::INFINITY] {
            assert!(consistent_with(dense(rho15), &AVGAS, &mut Silent).is_err(), "{rho15}");
        }
    }

    #[test]
    fn the_band_for_avgas_is_the_callers() {
        let narrow = Bounds::new("density of avgas at 15 degC", 705.0, 715.0, KG_M3);
        let found = consistent_with(dense(700.0), &narrow, &mut Silent).unwrap();
        assert_eq!(found, Consistent::Neither);
    }

    /// 50-digit arithmetic, the slopes by differences.
    #[test]
    fn share_and_uncertainty_equal_exact_arithmetic() {
        let mut pure = pure(714.0, 800.0);
        let found = share(&reading(709.5, 27.0, (0.5, 0.5)), &pure).unwrap();
        for (name, got, exact) in [
            ("rho15", found.at_15.density.si(), 720.583_692_829),
            ("u(rho15)", found.density_15_error.si(), 0.676_479_805_498_5),
            ("x", found.share.si(), 0.076_554_567_779_24),
            ("u(x)", found.share_error.si(), 0.007_866_044_249_983),
        ] {
            assert!((got - exact).abs() < 1e-9, "{name}: {got}, exact {exact}");
        }
        assert_eq!(found.words(), "jet fuel, or something else that is heavier");
        pure.avgas_error = dense(8.0);
        let unsure = share(&reading(709.5, 27.0, (0.5, 0.5)), &pure).unwrap();
        assert_eq!(unsure.words(), "no more than the errors explain");
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (errors, avgas, jet, ok) in [
            ((0.5, 0.5), 653.0, 775.0, true),
            ((0.5, 0.5), 652.9, 800.0, false),
            ((0.5, 0.5), 760.0, 840.0, true),
            ((0.5, 0.5), 760.1, 800.0, false),
            ((0.5, 0.5), 710.0, 774.9, false),
            ((0.5, 0.5), 710.0, 840.1, false),
            ((0.0, 0.0), 710.0, 800.0, true),
            ((50.0, 10.0), 710.0, 800.0, true),
            ((50.1, 0.5), 710.0, 800.0, false),
            ((0.5, 10.1), 710.0, 800.0, false),
            ((-0.1, 0.5), 710.0, 800.0, false),
            ((0.5, f64::NAN), 710.0, 800.0, false),
            ((0.5, 0.5), f64::NAN, 800.0, false),
            ((0.5, 0.5), 710.0, f64::INFINITY, false),
        ] {
            let found = share(&reading(705.0, 20.0, errors), &pure(avgas, jet));
            assert_eq!(found.is_ok(), ok, "{errors:?} {avgas} {jet}");
        }
    }

    #[test]
    fn the_working_says_that_nothing_proves_purity() {
        let mut working = Working::default();
        jet_in_avgas(&reading(705.0, 20.0, (0.5, 0.5)), &pure(710.0, 800.0), &mut working).unwrap();
        assert_eq!(working.steps.last().unwrap().remark.as_deref(), Some(PURITY));
    }

    proptest! {
        /// A mixture made by volume at 15 degC is found again.
        #[test]
        fn a_mixture_is_found_again(
            x in 0.0..0.6_f64, avgas in 695.0..725.0_f64, jet in 775.0..840.0_f64,
        ) {
            let rho15 = (1.0 - x) * avgas + x * jet;
            let found = share(&reading(rho15, 15.0, (0.5, 0.5)), &pure(avgas, jet)).unwrap();
            prop_assert!((found.share.si() - x).abs() < 1e-9);
        }

        #[test]
        fn worse_instruments_never_see_more(
            rho in 690.0..740.0_f64, t in 0.0..40.0_f64, error in 0.0..5.0_f64, more in 0.0..5.0_f64,
        ) {
            let of = |errors| share(&reading(rho, t, errors), &pure(710.0, 800.0)).unwrap().visible;
            prop_assert!(of((error + more, error)) >= of((error, error)));
            prop_assert!(of((error, error + more)) >= of((error, error)));
        }
    }
}
