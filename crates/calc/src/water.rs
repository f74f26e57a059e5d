//! Where water in fuel comes from overnight: what cooling kerosene gives up, and what a
//! part-filled tank breathes in.
//!
//! # Formula
//!
//! Kerosene in touch with water holds `s(t)` of it dissolved, linear between the entries of
//! `[water-in-kerosene]`. Cooled, it gives up
//!
//! ```text
//! water = V (s(t1) - s(t2))            s: 28 ppm at 0, 45 at 20, 82 at 40 degC, by volume
//! ```
//!
//! The air above fuel, volume `U`, holds vapour of density `a = h e(t) / (Rw T)` by the
//! `[gas-law]`, `e` by `[wmo-8]`: over water at and above 0 degC, over ice below, where the water
//! turns to frost. Cooled at constant pressure from `t1` to `t2`, saturated at the end:
//!
//! ```text
//! air       = U (T1 / T2 - 1)              drawn in, measured at t1
//! own       = U (a1 - a2)                  from the air that was there, not below zero
//! all       = U (a1 - a2) + air a1         with what the air drawn in brings, not below zero
//! Rw        = R / Mw = 8.314472 / 0.01801528 J/(kg K)
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `V` | kerosene, saturated at `t1` | L | 0 to 50 000 | ours |
//! | `t1`, `t2` | of the kerosene | degC | 0 to 40, falling | the table's |
//! | `U` | air above the fuel | L | 0 to 50 000 | ours |
//! | `t1`, `t2` | of that air | degC | -45 to 60, falling | that of `[wmo-8]` |
//! | `h` | relative humidity at `t1` | % | 0 to 100 | |
//!
//! # Accuracy
//!
//! The table is second hand and printed in whole parts per million. The gas law is good to a
//! percent here, the vapour pressure better. The air drawn in is taken to come in as
//! warm and as moist as that inside was: at night it is colder and drier, so `air` and `all` are
//! the most there can be. Measured at `t2` it would be `T2 / T1` of that volume.
//!
//! # Left out on purpose
//!
//! Avgas: the table is for kerosene. Fuel vapour above the fuel. Rain past a seal, which
//! brings far more water than breathing does.
//!
//! # Sources
//!
//! `water-in-kerosene`, `gas-law`, `wmo-8`.

use crate::{
    bounds::{Bounds, OutOfRange},
    fuel::VOLUME,
    humid::{self, HUMIDITY},
    quantity::{FromAmount, Mass, Ratio, TemperatureInterval, ThermodynamicTemperature, Volume},
    source,
    trace::{Silent, Step, Trace},
    unit::{DEGC, DEGC_STEP, L, PPM},
};

/// Temperatures of the table of solubility.
pub const KEROSENE: Bounds = Bounds::new("temperature of the kerosene", 0.0, 40.0, DEGC);
/// Temperatures of the air above the fuel.
pub const AIR: Bounds = Bounds::new("temperature of the air above the fuel", -45.0, 60.0, DEGC);
/// Accepted spaces above the fuel.
pub const ULLAGE: Bounds = Bounds::new("space above the fuel", 0.0, 50_000.0, L);
/// Cooling, never warming.
pub const FALL: Bounds = Bounds::new("fall of temperature", 0.0, 105.0, DEGC_STEP);

/// Water dissolved in kerosene. \[degC, ppm by volume\] `[water-in-kerosene]`
const SOLUBILITY: [(f64, f64); 3] = [(0.0, 28.0), (20.0, 45.0), (40.0, 82.0)];
/// Gas constant of water vapour. \[J/(kg K)\] `[gas-law]`
const R_WATER: f64 = 8.314_472 / 18.015_28e-3;

/// What kerosene gives up when it cools.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GivenUp {
    /// Dissolved before, by volume.
    pub before: Ratio,
    /// Dissolved after, by volume.
    pub after: Ratio,
    /// The water that is no longer dissolved.
    pub water: Volume,
}

/// The water that kerosene, saturated before, gives up on cooling.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`] or [`KEROSENE`], or when it warms.
pub fn from_cooling(
    volume: Volume,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<GivenUp, OutOfRange> {
    let volume = VOLUME.check(volume)?;
    let (from, to) = (KEROSENE.check(from)?, KEROSENE.check(to)?);
    FALL.check(TemperatureInterval::from_si(from.si() - to.si()))?;
    let (before, after) = (dissolved(from), dissolved(to));
    let water = volume * (before - after);
    trace.step(|| {
        Step::new("water given up", "water = V (s(t1) - s(t2))")
            .with("V", volume)
            .with("t1", from)
            .with("t2", to)
            .with("s(t1)", before)
            .with("s(t2)", after)
            .gives("water", water)
            .from(source::WATER_IN_KEROSENE)
    });
    Ok(GivenUp { before, after, water })
}

/// `s(t)` for a checked temperature.
fn dissolved(temperature: ThermodynamicTemperature) -> Ratio {
    let t = temperature.count(DEGC);
    let [(t0, s0), (t1, s1), (t2, s2)] = SOLUBILITY;
    let ppm = if t <= t1 {
        s0 + (s1 - s0) * (t - t0) / (t1 - t0)
    } else {
        s1 + (s2 - s1) * (t - t1) / (t2 - t1)
    };
    Ratio::of(ppm, PPM)
}

/// What a tank breathes in when the air in it cools.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Breathed {
    /// Water from the air that was in the tank.
    pub own: Mass,
    /// With what the air drawn in may bring.
    pub all: Mass,
    /// Air drawn in, measured at the first temperature.
    pub air: Volume,
}

/// The water that the air above a fuel leaves in the tank when it cools overnight.
///
/// # Errors
///
/// [`OutOfRange`] for [`ULLAGE`], [`AIR`] or [`HUMIDITY`], or when it warms.
pub fn breathed(
    ullage: Volume,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
    humidity: Ratio,
    trace: &mut impl Trace,
) -> Result<Breathed, OutOfRange> {
    let ullage = ULLAGE.check(ullage)?;
    let (from, to) = (AIR.check(from)?, AIR.check(to)?);
    FALL.check(TemperatureInterval::from_si(from.si() - to.si()))?;
    let humidity = HUMIDITY.check(humidity)?;
    // Relative humidity is counted over water at any temperature; what stays is ice below 0 degC.
    let e1 = humid::wmo_water(from, &mut Silent)? * humidity;
    let e2 = saturated(to)?;
    let a1 = e1.si() / (R_WATER * from.si());
    let a2 = e2.si() / (R_WATER * to.si());
    let air = ullage * (from.si() / to.si() - 1.0);
    let own = ullage.si() * (a1 - a2);
    let all = own + air.si() * a1;
    let breathed =
        Breathed { own: Mass::from_si(own.max(0.0)), all: Mass::from_si(all.max(0.0)), air };
    trace.step(|| {
        Step::new("air drawn in", "air = U (T1 / T2 - 1)")
            .with("U", ullage)
            .with("t1", from)
            .with("t2", to)
            .gives("air", air)
            .from(source::GAS_LAW)
            .remark("measured at the first temperature")
    });
    trace.step(|| {
        let formula = "own = U (a1 - a2); all = own + air a1; a = e / (Rw T)";
        Step::new("water left in the tank", formula)
            .with("e1", e1)
            .with("e2", e2)
            .gives("own", breathed.own)
            .gives("all", breathed.all)
            .from(source::GAS_LAW)
    });
    Ok(breathed)
}

/// The vapour pressure that air cooled so far keeps.
fn saturated(
    temperature: ThermodynamicTemperature,
) -> Result<crate::quantity::Pressure, OutOfRange> {
    if temperature.count(DEGC) < 0.0 {
        humid::wmo_ice(temperature, &mut Silent)
    } else {
        humid::wmo_water(temperature, &mut Silent)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::unit::{G, ML, PERCENT};

    fn celsius(t: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::of(t, DEGC)
    }

    fn cooled(volume: f64, from: f64, to: f64) -> Result<GivenUp, OutOfRange> {
        from_cooling(Volume::of(volume, L), celsius(from), celsius(to), &mut Silent)
    }

    fn night(ullage: f64, from: f64, to: f64, humidity: f64) -> Result<Breathed, OutOfRange> {
        let humidity = Ratio::of(humidity, PERCENT);
        breathed(Volume::of(ullage, L), celsius(from), celsius(to), humidity, &mut Silent)
    }

    /// The three entries of the table, second hand.
    #[test]
    fn the_entries_of_the_table_are_kept() {
        for (t, ppm) in [(0.0, 28.0), (20.0, 45.0), (40.0, 82.0)] {
            let found = cooled(1.0, t, t).unwrap();
            assert!((found.before.count(PPM) - ppm).abs() < 1e-9, "{t}: {found:?}");
        }
    }

    /// Exact fractions: 63.5 ppm at 30, 32.25 ppm at 5 degC; 200 L give up 6.25 mL.
    #[test]
    fn water_given_up_equals_exact_arithmetic() {
        let found = cooled(200.0, 30.0, 5.0).unwrap();
        assert!((found.before.count(PPM) - 63.5).abs() < 1e-9);
        assert!((found.after.count(PPM) - 32.25).abs() < 1e-9);
        assert!((found.water.count(ML) - 6.25).abs() < 1e-9);
    }

    /// 50-digit arithmetic on the Magnus form and the gas law.
    #[test]
    fn water_breathed_equals_exact_arithmetic() {
        let found = night(150.0, 30.0, 10.0, 100.0).unwrap();
        assert!((found.own.count(G) - 3.131_739_392_275).abs() < 1e-9, "{found:?}");
        assert!((found.all.count(G) - 3.452_348_600_448).abs() < 1e-9, "{found:?}");
        assert!((found.air.count(L) - 10.595_090_941_2).abs() < 1e-9, "{found:?}");
    }

    /// The figures quoted for this work: 3.13 g and 10.6 L.
    #[test]
    fn a_warm_damp_tank_breathes_as_quoted() {
        let found = night(150.0, 30.0, 10.0, 100.0).unwrap();
        assert!(
            (found.own.count(G) - 3.13).abs() < 0.005 && (found.air.count(L) - 10.6).abs() < 0.05
        );
    }

    #[test]
    fn dry_air_leaves_nothing_and_frost_more_than_dew() {
        assert!(night(150.0, 25.0, 20.0, 10.0).unwrap().all.si().abs() < 1e-15);
        let (above, below) =
            (night(60.0, 9.0, 0.0, 80.0).unwrap(), night(60.0, 9.0, -0.1, 80.0).unwrap());
        assert!(below.own > above.own);
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (volume, from, to, ok) in [
            (200.0, 40.0, 0.0, true),
            (200.0, 40.1, 0.0, false),
            (200.0, 40.0, -0.1, false),
            (200.0, 20.0, 20.0, true),
            (200.0, 20.0, 20.1, false),
            (50_001.0, 20.0, 10.0, false),
            (-1.0, 20.0, 10.0, false),
            (f64::NAN, 20.0, 10.0, false),
            (200.0, f64::INFINITY, 10.0, false),
        ] {
            assert_eq!(cooled(volume, from, to).is_ok(), ok, "{volume} {from} {to}");
        }
        for (ullage, from, to, humidity, ok) in [
            (150.0, 60.0, -45.0, 100.0, true),
            (150.0, 60.1, 10.0, 100.0, false),
            (150.0, 10.0, -45.1, 100.0, false),
            (150.0, 10.0, 10.1, 100.0, false),
            (150.0, 30.0, 10.0, 100.1, false),
            (150.0, 30.0, 10.0, -0.1, false),
            (50_001.0, 30.0, 10.0, 50.0, false),
            (f64::NAN, 30.0, 10.0, 50.0, false),
            (150.0, 30.0, f64::NAN, 50.0, false),
        ] {
            assert_eq!(night(ullage, from, to, humidity).is_ok(), ok, "{ullage} {from} {to}");
        }
    }

    proptest! {
        #[test]
        fn a_colder_night_never_leaves_less_water(
            from in 5.0..40.0_f64, fall in 0.0..30.0_f64, more in 0.0..5.0_f64, humidity in 0.0..100.0_f64,
        ) {
            let of = |fall: f64| night(150.0, from, from - fall, humidity).unwrap();
            prop_assert!(of(fall + more).all >= of(fall).all);
            prop_assert!(of(fall + more).air >= of(fall).air);
        }

        #[test]
        fn cooling_in_two_steps_gives_up_the_same(from in 0.0..40.0_f64, a in 0.0..1.0_f64, b in 0.0..1.0_f64) {
            let middle = from * a.max(b);
            let end = from * a.min(b);
            let whole = cooled(200.0, from, end).unwrap().water;
            let parts = cooled(200.0, from, middle).unwrap().water + cooled(200.0, middle, end).unwrap().water;
            prop_assert!((whole - parts).count(ML).abs() < 1e-9);
        }
    }
}
