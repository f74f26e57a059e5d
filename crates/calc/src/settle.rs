//! How long a drum must stand before its water lies at the bottom.
//!
//! # Formula
//!
//! `[stokes-1851]`, a small sphere falling in a still liquid:
//!
//! ```text
//! v  = g (water - fuel) d^2 / (18 mu)        time = depth / v
//! Re = fuel v d / mu
//! ```
//!
//! By policy: `time = depth * policy time / policy depth`, so much time for so much depth. Both
//! are reckoned and the longer one is used.
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `d` | diameter of a droplet | um | 1 to 500 | ours |
//! | `water` | density of the water | kg/m3 | 950 to 1050 | ours |
//! | `fuel` | density of the fuel at its temperature | kg/L | 0.6 to 0.9 | as [`crate::fuel`] |
//! | `mu` | dynamic viscosity of the fuel | mPa.s | 0.1 to 50 | ours |
//! | `depth` | depth of fuel | m | 0 to 10 | ours |
//! | `Re` | Reynolds number of the droplet | 1 | 0 to 1 | the usual limit of the formula |
//!
//! # Accuracy
//!
//! Exact for a rigid sphere as `Re` goes to zero. At `Re = 1` the drag is some 15 % above it
//! (from memory), so the time is as much longer. Beyond, the answer would flatter: refused.
//!
//! # Left out on purpose
//!
//! Warm fuel stirs itself: in a drum in the sun nothing settles as reckoned here. Droplets
//! that meet and grow. Haze of less than a micrometre, which does not settle at all.
//!
//! # Sources
//!
//! `stokes-1851`, `fuel-arithmetic`; free fall from `icao-7488`, fresh water from `iapws-95`.

use crate::{
    bounds::{Bounds, OutOfRange},
    constants::G0,
    fuel::DENSITY,
    quantity::{DynamicViscosity, FromAmount, Length, MassDensity, Ratio, Time, Velocity},
    source,
    trace::{Step, Trace},
    unit::{H, KG_M3, M, MPA_S, ONE, UM},
};

/// Accepted droplets.
pub const DROPLET: Bounds = Bounds::new("diameter of the droplet", 1.0, 500.0, UM);
/// Accepted densities of water, fresh or salt.
pub const WATER: Bounds = Bounds::new("density of the water", 950.0, 1050.0, KG_M3);
/// Accepted viscosities.
pub const VISCOSITY: Bounds = Bounds::new("viscosity of the fuel", 0.1, 50.0, MPA_S);
/// Accepted depths.
pub const DEPTH: Bounds = Bounds::new("depth of the fuel", 0.0, 10.0, M);
/// Droplets that the formula holds for.
pub const REYNOLDS: Bounds = Bounds::new("Reynolds number of the droplet", 0.0, 1.0, ONE);
/// Accepted times of a policy.
pub const POLICY_TIME: Bounds = Bounds::new("time of the policy", 0.0, 240.0, H);
/// Accepted depths of a policy.
pub const POLICY_DEPTH: Bounds = Bounds::new("depth of the policy", 0.01, 10.0, M);

/// Fresh water at 21 degC. \[kg/m3\] `[iapws-95]`
const FRESH_WATER: f64 = 998.0;

/// The density of fresh water where nothing is known of it: 998 kg/m3, at 21 degC.
#[must_use]
pub fn fresh_water() -> MassDensity {
    MassDensity::of(FRESH_WATER, KG_M3)
}

/// A droplet of water in a fuel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Droplet {
    /// Its diameter.
    pub diameter: Length,
    /// Density of the water.
    pub water: MassDensity,
    /// Density of the fuel.
    pub fuel: MassDensity,
    /// Dynamic viscosity of the fuel.
    pub viscosity: DynamicViscosity,
}

/// How fast a droplet of water falls.
///
/// # Errors
///
/// [`OutOfRange`] for [`DROPLET`], [`WATER`], [`DENSITY`], [`VISCOSITY`] or [`REYNOLDS`].
pub fn fall(droplet: &Droplet, trace: &mut impl Trace) -> Result<Velocity, OutOfRange> {
    let d = DROPLET.check(droplet.diameter)?.si();
    let water = WATER.check(droplet.water)?.si();
    let fuel = DENSITY.check(droplet.fuel)?.si();
    let mu = VISCOSITY.check(droplet.viscosity)?.si();
    let v = G0 * (water - fuel) * d * d / (18.0 * mu);
    let reynolds = REYNOLDS.check(Ratio::from_si(fuel * v * d / mu))?;
    let velocity = Velocity::from_si(v);
    trace.step(|| {
        Step::new("fall of a droplet", "v = g (water - fuel) d^2 / (18 mu)")
            .with("water", droplet.water)
            .with("fuel", droplet.fuel)
            .with("d", droplet.diameter)
            .with("mu", droplet.viscosity)
            .gives("v", velocity)
            .gives("Re", reynolds)
            .from(source::STOKES_1851)
    });
    Ok(velocity)
}

/// So much time for so much depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Policy {
    /// The time.
    pub time: Time,
    /// The depth it is for.
    pub depth: Length,
}

/// The time a policy asks for a depth.
///
/// # Errors
///
/// [`OutOfRange`] for [`DEPTH`], [`POLICY_TIME`] or [`POLICY_DEPTH`].
pub fn by_policy(
    depth: Length,
    policy: &Policy,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let share = DEPTH.check(depth)? / POLICY_DEPTH.check(policy.depth)?;
    let time = POLICY_TIME.check(policy.time)? * share;
    trace.step(|| {
        Step::new("settling by policy", "time = depth * policy time / policy depth")
            .with("depth", depth)
            .with("policy time", policy.time)
            .with("policy depth", policy.depth)
            .gives("time", time)
            .from(source::FUEL_ARITHMETIC)
    });
    Ok(time)
}

/// Which of two times was used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Used {
    /// That of the falling droplet.
    Stokes,
    /// That of the policy.
    Policy,
}

impl Used {
    /// The way as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Stokes => "stokes",
            Self::Policy => "policy",
        }
    }
}

/// How long to let a fuel stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settling {
    /// How fast the droplet falls.
    pub velocity: Velocity,
    /// The time it takes through the depth.
    pub stokes: Time,
    /// The time the policy asks, when there is one.
    pub policy: Option<Time>,
    /// The longer of them.
    pub time: Time,
    /// Which one that is; the policy when they are equal.
    pub used: Used,
}

/// How long to let a fuel stand: by the droplet and by the policy, the longer one used.
///
/// # Errors
///
/// [`OutOfRange`] as for [`fall`] and [`by_policy`].
pub fn settling(
    depth: Length,
    droplet: &Droplet,
    policy: Option<&Policy>,
    trace: &mut impl Trace,
) -> Result<Settling, OutOfRange> {
    let depth = DEPTH.check(depth)?;
    let velocity = fall(droplet, trace)?;
    let stokes = depth / velocity;
    let policy = policy.map(|policy| by_policy(depth, policy, trace)).transpose()?;
    let (time, used) = match policy {
        Some(policy) if policy >= stokes => (policy, Used::Policy),
        _ => (stokes, Used::Stokes),
    };
    trace.step(|| {
        Step::new("settling", "time = depth / v, or the policy's when longer")
            .with("depth", depth)
            .with("v", velocity)
            .gives("time", time)
            .from(source::STOKES_1851)
            .remark(format!("used: {}", used.words()))
    });
    Ok(Settling { velocity, stokes, policy, time, used })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{trace::Silent, unit::M_H};

    fn droplet(diameter: f64, fuel: f64, viscosity: f64) -> Droplet {
        Droplet {
            diameter: Length::of(diameter, UM),
            water: fresh_water(),
            fuel: MassDensity::of(fuel, KG_M3),
            viscosity: DynamicViscosity::of(viscosity, MPA_S),
        }
    }

    fn policy(hours: f64, depth: f64) -> Policy {
        Policy { time: Time::of(hours, H), depth: Length::of(depth, M) }
    }

    /// Exact fractions: 9.80665 * 283 * 4e-10 / 0.009 m/s and 9.80665 * 198 * 4e-10 / 0.0252.
    #[test]
    fn fall_equals_exact_arithmetic() {
        for (fuel, viscosity, exact) in
            [(715.0, 0.5, 1.233_458_644_444_444_4e-4), (800.0, 1.4, 3.082_090e-5)]
        {
            let v = fall(&droplet(20.0, fuel, viscosity), &mut Silent).unwrap().si();
            assert!((v - exact).abs() < 1e-15, "{fuel}: {v}, exact {exact}");
        }
    }

    /// Figures computed for this work, three digits: avgas 0.444 m/h, jet fuel 0.111 m/h.
    #[test]
    fn twenty_micrometre_water_falls_as_quoted() {
        for (fuel, viscosity, quoted) in [(715.0, 0.5, 0.444), (800.0, 1.4, 0.111)] {
            let v = fall(&droplet(20.0, fuel, viscosity), &mut Silent).unwrap().count(M_H);
            assert!((v - quoted).abs() < 5.1e-4, "{fuel}: {v}");
        }
    }

    /// An hour to the foot of 0.3048 m, 0.85 m deep: 2.788 713 910 761 155 h.
    #[test]
    fn policy_time_equals_exact_arithmetic() {
        let time = by_policy(Length::of(0.85, M), &policy(1.0, 0.3048), &mut Silent).unwrap();
        assert!((time.count(H) - 2.788_713_910_761_155).abs() < 1e-12);
    }

    #[test]
    fn the_longer_time_is_used() {
        let depth = Length::of(0.85, M);
        let avgas = droplet(20.0, 715.0, 0.5);
        for (rule, used) in [
            (None, Used::Stokes),
            (Some(policy(0.1, 0.3)), Used::Stokes),
            (Some(policy(4.0, 0.3)), Used::Policy),
        ] {
            let found = settling(depth, &avgas, rule.as_ref(), &mut Silent).unwrap();
            assert_eq!(found.used, used, "{rule:?}");
            let longest = found.policy.map_or(found.stokes, |policy| policy.max(found.stokes));
            assert_eq!(found.time, longest);
        }
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (diameter, fuel, viscosity, ok) in [
            (1.0, 715.0, 0.5, true),
            (0.9, 715.0, 0.5, false),
            (500.0, 715.0, 50.0, true),
            (501.0, 715.0, 50.0, false),
            (20.0, 600.0, 0.5, true),
            (20.0, 599.9, 0.5, false),
            (20.0, 900.0, 0.5, true),
            (20.0, 900.1, 0.5, false),
            (10.0, 715.0, 0.1, true),
            (10.0, 715.0, 0.09, false),
            (20.0, 715.0, 50.1, false),
            (f64::NAN, 715.0, 0.5, false),
            (20.0, f64::INFINITY, 0.5, false),
        ] {
            let found = fall(&droplet(diameter, fuel, viscosity), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{diameter} {fuel} {viscosity}");
        }
        for (depth, hours, per, ok) in [
            (0.0, 1.0, 0.3, true),
            (10.0, 1.0, 0.3, true),
            (10.1, 1.0, 0.3, false),
            (-0.1, 1.0, 0.3, false),
            (1.0, 240.0, 0.01, true),
            (1.0, 240.1, 0.3, false),
            (1.0, 1.0, 0.009, false),
            (1.0, 1.0, 10.1, false),
            (f64::NAN, 1.0, 0.3, false),
        ] {
            let found = by_policy(Length::of(depth, M), &policy(hours, per), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{depth} {hours} {per}");
        }
    }

    /// Re = 715 v d / 5e-4 reaches 1 at 131.3 um.
    #[test]
    fn a_droplet_too_large_for_the_formula_is_refused() {
        assert!(fall(&droplet(131.0, 715.0, 0.5), &mut Silent).is_ok());
        let error = fall(&droplet(132.0, 715.0, 0.5), &mut Silent).unwrap_err();
        assert_eq!(error.bounds, REYNOLDS);
    }

    proptest! {
        #[test]
        fn a_finer_droplet_never_settles_sooner(
            depth in 0.0..2.0_f64, coarse in 2.0..60.0_f64, part in 0.5..1.0_f64,
        ) {
            let of = |diameter| {
                let droplet = droplet(diameter, 715.0, 0.5);
                settling(Length::of(depth, M), &droplet, None, &mut Silent).unwrap().time
            };
            prop_assert!(of(coarse * part) >= of(coarse));
        }
    }
}
