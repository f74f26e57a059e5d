//! How hard a propeller pulls while the aeroplane stands still.
//!
//! # Formula
//!
//! Momentum theory: air of density `rho` is drawn through the disc `A` at the speed `w` and leaves
//! it at `2 w`, so `T = rho A w 2 w` and `P = T w`. `[actuator-disc]`
//!
//! ```text
//! T ideal = (2 rho A P^2)^(1/3)        A = pi d^2 / 4
//! T       = T ideal FM^(2/3)           FM: the share of the power that the ideal disc would need
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `P` | power at the propeller | hp | 0 to 2000 | ours |
//! | `d` | diameter of the propeller | m | 0.5 to 6 | ours |
//! | `rho` | density of the air | kg/m3 | 0.4 to 1.8 | ours |
//! | `FM` | figure of merit | 1 | 0.1 to 1 | 1 is the ideal |
//!
//! # Accuracy
//!
//! No propeller pulls harder than the ideal. The figure of merit of a light aeroplane's propeller
//! is seldom known; 0.7 is usual in examples, and a higher one is the careful choice where the
//! question is what must be held.
//!
//! # Left out on purpose
//!
//! A fixed-pitch propeller holds the engine below its rated power while it stands; the rated power
//! then answers too high, on the careful side. Wind, which lessens the pull from ahead; the power
//! at a throttle setting, which the caller says.
//!
//! # Sources
//!
//! `actuator-disc`.

use std::f64::consts::PI;

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{Force, FromAmount, Length, MassDensity, Power, Ratio},
    source,
    trace::{Step, Trace},
    unit::{HP, KG_M3, M, ONE},
};

/// Accepted powers.
pub const POWER: Bounds = Bounds::new("power at the propeller", 0.0, 2000.0, HP);
/// Accepted diameters.
pub const DIAMETER: Bounds = Bounds::new("diameter of the propeller", 0.5, 6.0, M);
/// Accepted densities of the air.
pub const AIR: Bounds = Bounds::new("density of the air", 0.4, 1.8, KG_M3);
/// Accepted figures of merit.
pub const MERIT: Bounds = Bounds::new("figure of merit", 0.1, 1.0, ONE);

/// The pull of a propeller that stands still.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StaticThrust {
    /// Of the ideal disc; no propeller of this size and power exceeds it.
    pub ideal: Force,
    /// With the figure of merit.
    pub thrust: Force,
}

/// The pull of a propeller that stands still.
///
/// # Errors
///
/// [`OutOfRange`] for [`POWER`], [`DIAMETER`], [`AIR`] or [`MERIT`].
pub fn static_thrust(
    power: Power,
    diameter: Length,
    density: MassDensity,
    merit: Ratio,
    trace: &mut impl Trace,
) -> Result<StaticThrust, OutOfRange> {
    let p = POWER.check(power)?.si();
    let d = DIAMETER.check(diameter)?.si();
    let rho = AIR.check(density)?.si();
    let fm = MERIT.check(merit)?.si();
    let area = PI * d * d / 4.0;
    let ideal = (2.0 * rho * area * p * p).cbrt();
    let found = StaticThrust {
        ideal: Force::from_si(ideal),
        thrust: Force::from_si(ideal * (fm * fm).cbrt()),
    };
    trace.step(|| {
        Step::new("static thrust", "T = (2 rho pi d^2 / 4 P^2)^(1/3) FM^(2/3)")
            .with("P", power)
            .with("d", diameter)
            .with("rho", density)
            .with("FM", merit)
            .gives("T ideal", found.ideal)
            .gives("T", found.thrust)
            .from(source::ACTUATOR_DISC)
    });
    Ok(found)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{trace::Silent, unit::IN};

    fn pull(hp: f64, diameter: Length, rho: f64, merit: f64) -> Result<StaticThrust, OutOfRange> {
        let (power, density) = (Power::of(hp, HP), MassDensity::of(rho, KG_M3));
        static_thrust(power, diameter, density, Ratio::from_si(merit), &mut Silent)
    }

    /// mpmath, 40 digits: 187.5 hp, 1.9685 m, 1.0823 kg/m3, 0.735.
    #[test]
    fn static_thrust_equals_exact_arithmetic() {
        let found = pull(187.5, Length::of(1.9685, M), 1.0823, 0.735).unwrap();
        assert!((found.ideal.si() - 5_049.980_310_259_995).abs() < 1e-8, "{found:?}");
        assert!((found.thrust.si() - 4_112.897_732_459_113).abs() < 1e-8, "{found:?}");
    }

    /// Figures computed for this work, whole newtons; 1950 comes from the rounded 2473.
    #[test]
    fn static_thrust_is_as_quoted() {
        for (hp, ideal, thrust) in [(100.0, 3295.0, 2598.0), (65.0, 2473.0, 1950.0)] {
            let found = pull(hp, Length::of(72.0, IN), 1.225, 0.7).unwrap();
            assert!((found.ideal.si() - ideal).abs() < 0.5, "{hp}: {found:?}");
            assert!((found.thrust.si() - thrust).abs() < 0.9, "{hp}: {found:?}");
        }
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (hp, metres, rho, merit, ok) in [
            (0.0, 0.5, 0.4, 0.1, true),
            (2000.0, 6.0, 1.8, 1.0, true),
            (-0.1, 1.8, 1.2, 0.7, false),
            (2000.1, 1.8, 1.2, 0.7, false),
            (100.0, 0.49, 1.2, 0.7, false),
            (100.0, 6.01, 1.2, 0.7, false),
            (100.0, 1.8, 0.39, 0.7, false),
            (100.0, 1.8, 1.81, 0.7, false),
            (100.0, 1.8, 1.2, 0.09, false),
            (100.0, 1.8, 1.2, 1.01, false),
            (f64::NAN, 1.8, 1.2, 0.7, false),
            (100.0, f64::INFINITY, 1.2, 0.7, false),
        ] {
            let found = pull(hp, Length::of(metres, M), rho, merit);
            assert_eq!(found.is_ok(), ok, "{hp} {metres} {rho} {merit}");
        }
    }

    #[test]
    fn no_power_pulls_nothing() {
        let found = pull(0.0, Length::of(1.8, M), 1.2, 0.7).unwrap();
        assert!(found.ideal.si().abs() < 1e-300 && found.thrust.si().abs() < 1e-300);
    }

    proptest! {
        /// The power that the pull takes at the speed of the air through the disc: `T w = FM P`.
        #[test]
        fn the_pull_takes_the_useful_power_and_no_more(
            hp in 1.0..500.0_f64, metres in 0.8..3.0_f64, rho in 0.7..1.4_f64, fm in 0.3..1.0_f64,
        ) {
            let found = pull(hp, Length::of(metres, M), rho, fm).unwrap();
            let t = found.thrust.si();
            let through = (t / (2.0 * rho * PI * metres * metres / 4.0)).sqrt();
            prop_assert!((t * through / (fm * HP.si_of(hp)) - 1.0).abs() < 1e-12);
            prop_assert!(found.thrust <= found.ideal);
        }
    }
}
