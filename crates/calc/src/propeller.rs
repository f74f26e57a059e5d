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
