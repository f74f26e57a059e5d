//! Fuel for the flight: what each part of the ladder needs, how long what is aboard lasts,
//! and how far one can go before turning back costs more than going on.
//!
//! # Formula
//!
//! ```text
//! trip          V = burn * distance / groundspeed
//! contingency   V = share * trip
//! time fuel     V = burn * time                     (holding, final reserve)
//! endurance     t = V / burn
//! no return     d = t * out * home / (out + home)
//! equal time    d = D * home / (out + home)
//! round up      V' = step * ceil(V / step)
//! mass          m = density * V                     and back
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted (ours: any light aeroplane) |
//! |---|---|---|---|
//! | `burn` | fuel burn | L/h | 0.1 to 5 000 |
//! | `distance`, `D` | distance | NM | 0 to 5 000 |
//! | `groundspeed`, `out`, `home` | speed over ground | kt | 1 to 600 |
//! | `V` | volume | L | 0 to 50 000 |
//! | `share` | share of trip fuel | % | 0 to 100 |
//! | `density` | density of fuel | kg/L | 0.6 to 0.9 (ours: aviation gasolines and kerosenes) |
//!
//! # Left out on purpose
//!
//! Wind that changes along the way: legs are added up one by one. Reserves are the caller's:
//! endurance and point of no return are asked for the fuel that may be burnt.
//!
//! # Sources
//!
//! - `[phak-fuel]` FAA-H-8083-25, chapter on navigation: time, distance, fuel.
//! - `[phak-balance]` FAA-H-8083-25, chapter on weight and balance: mass of fuel by volume.
//! - `[navigation-algebra]` equal times out and back solved for distance; plain algebra.

use crate::{
    bounds::{Bounds, OutOfRange},
    load::MASS,
    quantity::{FromAmount, Length, Mass, MassDensity, Ratio, Time, Velocity, Volume, VolumeRate},
    source,
    trace::{Step, Trace},
    unit,
};

/// Accepted fuel burn.
pub const BURN: Bounds = Bounds::new("fuel burn", 0.1, 5_000.0, unit::L_H);
/// Accepted distances.
pub const DISTANCE: Bounds = Bounds::new("distance", 0.0, 5_000.0, unit::NM);
/// Accepted groundspeeds.
pub const GROUNDSPEED: Bounds = Bounds::new("groundspeed", 1.0, 600.0, unit::KT);
/// Accepted volumes of fuel.
pub const VOLUME: Bounds = Bounds::new("fuel", 0.0, 50_000.0, unit::L);
/// Accepted shares of trip fuel.
pub const SHARE: Bounds = Bounds::new("share of trip fuel", 0.0, 100.0, unit::PERCENT);
/// Accepted times.
pub const TIME: Bounds = Bounds::new("time", 0.0, 48.0, unit::H);
/// Accepted densities of fuel.
pub const DENSITY: Bounds = Bounds::new("density of fuel", 0.6, 0.9, unit::KG_L);
/// Accepted steps of a dispenser.
pub const STEP: Bounds = Bounds::new("step of the dispenser", 0.001, 1_000.0, unit::L);

/// Time to cover a distance.
///
/// # Errors
///
/// [`OutOfRange`] for [`DISTANCE`] or [`GROUNDSPEED`].
pub fn leg_time(
    distance: Length,
    groundspeed: Velocity,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let time = DISTANCE.check(distance)? / GROUNDSPEED.check(groundspeed)?;
    trace.step(|| {
        Step::new("time", "t = D / groundspeed")
            .with("D", distance)
            .with("groundspeed", groundspeed)
            .gives("t", time)
            .from(source::PHAK_FUEL)
    });
    Ok(time)
}

/// Fuel burnt in a time at a burn: holding, final reserve, a leg.
///
/// # Errors
///
/// [`OutOfRange`] for [`BURN`] or [`TIME`].
pub fn time_fuel(
    time: Time,
    burn: VolumeRate,
    trace: &mut impl Trace,
) -> Result<Volume, OutOfRange> {
    let volume = Volume::from_si(TIME.check(time)?.value * BURN.check(burn)?.value);
    trace.step(|| {
        Step::new("fuel for the time", "V = burn * t")
            .with("burn", burn)
            .with("t", time)
            .gives("V", volume)
            .from(source::PHAK_FUEL)
    });
    Ok(volume)
}

/// A share of the trip fuel kept for what the plan did not foresee.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`] or [`SHARE`].
pub fn contingency(
    trip: Volume,
    share: Ratio,
    trace: &mut impl Trace,
) -> Result<Volume, OutOfRange> {
    let volume = VOLUME.check(trip)? * SHARE.check(share)?;
    trace.step(|| {
        Step::new("contingency fuel", "V = share * trip")
            .with("share", share)
            .with("trip", trip)
            .gives("V", volume)
            .from(source::PHAK_FUEL)
    });
    Ok(volume)
}

/// The parts of the fuel ladder that must be aboard, all usable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ladder {
    /// Start, taxi and run-up.
    pub start_and_taxi: Volume,
    /// All legs to the last landing.
    pub trip: Volume,
    /// Share of the trip.
    pub contingency: Volume,
    /// From the destination to the alternate.
    pub alternate: Volume,
    /// Holding that was asked for.
    pub holding: Volume,
    /// Never planned to be used.
    pub final_reserve: Volume,
    /// The pilot's own extra.
    pub extra: Volume,
}

impl Ladder {
    /// Sum of all parts.
    #[must_use]
    pub fn required(&self, trace: &mut impl Trace) -> Volume {
        let required = self.start_and_taxi
            + self.trip
            + self.contingency
            + self.alternate
            + self.holding
            + self.final_reserve
            + self.extra;
        trace.step(|| {
            Step::new(
                "fuel required",
                "taxi + trip + contingency + alternate + holding + final reserve + extra",
            )
            .with("taxi", self.start_and_taxi)
            .with("trip", self.trip)
            .with("contingency", self.contingency)
            .with("alternate", self.alternate)
            .with("holding", self.holding)
            .with("final reserve", self.final_reserve)
            .with("extra", self.extra)
            .gives("required", required)
            .from(source::PHAK_FUEL)
        });
        required
    }
}

/// How long a volume lasts.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`] or [`BURN`].
pub fn endurance(
    fuel: Volume,
    burn: VolumeRate,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let time = Time::from_si(VOLUME.check(fuel)?.value / BURN.check(burn)?.value);
    trace.step(|| {
        Step::new("endurance", "t = V / burn")
            .with("V", fuel)
            .with("burn", burn)
            .gives("t", time)
            .from(source::PHAK_FUEL)
    });
    Ok(time)
}

/// A point on the way out, by distance and time from the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WayPoint {
    /// Distance from the start.
    pub distance: Length,
    /// Time from the start.
    pub time: Time,
}

/// The farthest point from which the start can still be reached with what may be burnt.
///
/// # Errors
///
/// [`OutOfRange`] for [`TIME`] or [`GROUNDSPEED`].
pub fn point_of_no_return(
    endurance: Time,
    out: Velocity,
    home: Velocity,
    trace: &mut impl Trace,
) -> Result<WayPoint, OutOfRange> {
    let (out, home) = (GROUNDSPEED.check(out)?, GROUNDSPEED.check(home)?);
    let time = TIME.check(endurance)? * (home / (out + home));
    let distance = out * time;
    trace.step(|| {
        Step::new("point of no return", "d = t * out * home / (out + home)")
            .with("t", endurance)
            .with("out", out)
            .with("home", home)
            .gives("d", distance)
            .from(source::NAVIGATION_ALGEBRA)
    });
    Ok(WayPoint { distance, time })
}

/// The point from which going on and going back take the same time.
///
/// # Errors
///
/// [`OutOfRange`] for [`DISTANCE`] or [`GROUNDSPEED`].
pub fn equal_time_point(
    total: Length,
    out: Velocity,
    home: Velocity,
    trace: &mut impl Trace,
) -> Result<WayPoint, OutOfRange> {
    let (out, home) = (GROUNDSPEED.check(out)?, GROUNDSPEED.check(home)?);
    let distance = DISTANCE.check(total)? * (home / (out + home));
    trace.step(|| {
        Step::new("equal time point", "d = D * home / (out + home)")
            .with("D", total)
            .with("out", out)
            .with("home", home)
            .gives("d", distance)
            .from(source::NAVIGATION_ALGEBRA)
    });
    Ok(WayPoint { distance, time: distance / out })
}

/// Part of a step that is taken for rounding of the sum before it, not for fuel.
const STEP_SLACK: f64 = 1e-9;

/// The next whole step of the dispenser at or above a volume.
///
/// A volume within a billionth of a step above a mark counts as that mark, so that a sum
/// ending in 0.000 000 000 1 does not order another step.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`] or [`STEP`].
pub fn round_up(
    volume: Volume,
    step: Volume,
    trace: &mut impl Trace,
) -> Result<Volume, OutOfRange> {
    let steps = (VOLUME.check(volume)? / STEP.check(step)?).value;
    let rounded = step * (steps - STEP_SLACK).ceil().max(0.0);
    trace.step(|| {
        Step::new("rounded up to the dispenser", "V' = step * ceil(V / step)")
            .with("V", volume)
            .with("step", step)
            .gives("V'", rounded)
            .from(source::CALC_PROMISE)
    });
    Ok(rounded)
}

/// Mass of a volume of fuel.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`] or [`DENSITY`].
pub fn mass_of(
    volume: Volume,
    density: MassDensity,
    trace: &mut impl Trace,
) -> Result<Mass, OutOfRange> {
    let mass = VOLUME.check(volume)? * DENSITY.check(density)?;
    trace.step(|| {
        Step::new("mass of fuel", "m = density * V")
            .with("density", density)
            .with("V", volume)
            .gives("m", mass)
            .from(source::PHAK_BALANCE)
    });
    Ok(mass)
}

/// Volume of a mass of fuel.
///
/// # Errors
///
/// [`OutOfRange`] for [`MASS`] or [`DENSITY`].
pub fn volume_of(
    mass: Mass,
    density: MassDensity,
    trace: &mut impl Trace,
) -> Result<Volume, OutOfRange> {
    let volume = MASS.check(mass)? / DENSITY.check(density)?;
    trace.step(|| {
        Step::new("volume of fuel", "V = m / density")
            .with("m", mass)
            .with("density", density)
            .gives("V", volume)
            .from(source::PHAK_BALANCE)
    });
    Ok(volume)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::Silent;

    fn kt(value: f64) -> Velocity {
        Velocity::of(value, unit::KT)
    }

    fn nm(value: f64) -> Length {
        Length::of(value, unit::NM)
    }

    fn litres(value: f64) -> Volume {
        Volume::of(value, unit::L)
    }

    /// 400 NM at 100 kt is 4 h; at 5 gal/h that is 20 gal. `[phak-fuel]`, from memory.
    #[test]
    fn phak_time_and_fuel_example() {
        let time = leg_time(nm(400.0), kt(100.0), &mut Silent).unwrap();
        assert!((time.count(unit::H) - 4.0).abs() < 1e-12);
        let fuel = time_fuel(time, VolumeRate::of(5.0, unit::USGAL_H), &mut Silent).unwrap();
        assert!((fuel.count(unit::USGAL) - 20.0).abs() < 1e-12);
    }

    /// Exact fractions: 5 h at 110 out, 130 home: t = 5 * 130/240, d = 297.916 666...
    #[test]
    fn point_of_no_return_equals_exact_arithmetic() {
        let five = Time::of(5.0, unit::H);
        let point = point_of_no_return(five, kt(110.0), kt(130.0), &mut Silent).unwrap();
        assert!((point.distance.count(unit::NM) - 297.916_666_666_666_7).abs() < 1e-9);
        assert!((point.time.count(unit::H) - 2.708_333_333_333_333_3).abs() < 1e-12);
    }

    /// Exact fraction: 300 * 130/240 = 162.5.
    #[test]
    fn equal_time_point_equals_exact_arithmetic() {
        let point = equal_time_point(nm(300.0), kt(110.0), kt(130.0), &mut Silent).unwrap();
        assert!((point.distance.count(unit::NM) - 162.5).abs() < 1e-9);
    }

    #[test]
    fn round_up_takes_whole_steps_and_forgives_rounding_noise() {
        for (volume, step, expected) in [
            (18.333, 0.1, 18.4),
            (15.0, 0.1, 15.0),
            (0.1 + 0.2, 0.1, 0.3),
            (15.000_1, 0.1, 15.1),
            (0.0, 5.0, 0.0),
            (41.0, 5.0, 45.0),
        ] {
            let rounded = round_up(litres(volume), litres(step), &mut Silent).unwrap();
            assert!((rounded.count(unit::L) - expected).abs() < 1e-9, "{volume} by {step}");
        }
    }

    /// 75 gal at 6 lb/gal is 450 lb `[phak-balance]`; exact: 110 / 6 = 18.333... gal.
    #[test]
    fn mass_and_volume_of_fuel_equal_exact_arithmetic() {
        let avgas = MassDensity::of(6.0, unit::LB_USGAL);
        let mass = mass_of(Volume::of(75.0, unit::USGAL), avgas, &mut Silent).unwrap();
        assert!((mass.count(unit::LB) - 450.0).abs() < 1e-9);
        let volume = volume_of(Mass::of(110.0, unit::LB), avgas, &mut Silent).unwrap();
        assert!((volume.count(unit::USGAL) - 18.333_333_333_333_333).abs() < 1e-12);
    }

    #[test]
    fn density_bounds_from_both_sides() {
        for (density, ok) in
            [(0.6, true), (0.599, false), (0.9, true), (0.901, false), (f64::NAN, false)]
        {
            let density = MassDensity::of(density, unit::KG_L);
            assert_eq!(mass_of(litres(10.0), density, &mut Silent).is_ok(), ok, "{density:?}");
            let ten = Mass::of(10.0, unit::KG);
            assert_eq!(volume_of(ten, density, &mut Silent).is_ok(), ok, "{density:?}");
        }
        let endless = Mass::from_si(f64::INFINITY);
        assert!(volume_of(endless, MassDensity::of(0.7, unit::KG_L), &mut Silent).is_err());
    }

    #[test]
    fn bounds_from_both_sides() {
        for (burn, ok) in
            [(0.1, true), (0.09, false), (5000.0, true), (5001.0, false), (f64::NAN, false)]
        {
            let burn = VolumeRate::of(burn, unit::L_H);
            assert_eq!(endurance(litres(100.0), burn, &mut Silent).is_ok(), ok);
        }
        for (speed, ok) in
            [(1.0, true), (0.9, false), (600.0, true), (601.0, false), (f64::INFINITY, false)]
        {
            assert_eq!(leg_time(nm(10.0), kt(speed), &mut Silent).is_ok(), ok, "{speed}");
        }
        for (share, ok) in [(0.0, true), (100.0, true), (100.1, false), (-0.1, false)] {
            let share = Ratio::of(share, unit::PERCENT);
            assert_eq!(contingency(litres(100.0), share, &mut Silent).is_ok(), ok, "{share:?}");
        }
    }

    proptest! {
        /// Out to the point of no return and home again takes the endurance.
        #[test]
        fn point_of_no_return_uses_exactly_the_endurance(
            hours in 0.5..12.0f64, out in 40.0..250.0f64, home in 40.0..250.0f64,
        ) {
            let all = Time::of(hours, unit::H);
            let point = point_of_no_return(all, kt(out), kt(home), &mut Silent).unwrap();
            let back = leg_time(point.distance, kt(home), &mut Silent).unwrap();
            prop_assert!((point.time + back - all).value.abs() < 1e-6);
        }

        /// Mass to volume and back.
        #[test]
        fn mass_and_volume_undo_each_other(volume in 0.0..2000.0f64, density in 0.6..0.9f64) {
            let density = MassDensity::of(density, unit::KG_L);
            let mass = mass_of(litres(volume), density, &mut Silent).unwrap();
            let back = volume_of(mass, density, &mut Silent).unwrap();
            prop_assert!((back.count(unit::L) - volume).abs() < 1e-9);
        }

        /// Rounding up never gives less, never a step too much.
        #[test]
        fn round_up_is_tight(volume in 0.0..2000.0f64, step in 0.1..50.0f64) {
            let rounded = round_up(litres(volume), litres(step), &mut Silent).unwrap();
            let over = rounded.count(unit::L) - volume;
            prop_assert!(over >= -step * 1e-8 && over < step + 1e-9, "{over}");
        }
    }
}
