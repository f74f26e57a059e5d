//! A fuel spill: how far it spreads, how fast it goes into the air, and what takes it up.
//!
//! # Formula
//!
//! ```text
//! r    = c (g V^3 t / (3 nu))^(1/8)     c = (2^10 / (3^4 pi^3))^(1/8)     [huppert-1982]
//! area = pi r^2     depth = V / area
//! area = V / depth                      a pool of so much depth           [epa-550-b-99-009]
//! QR   = 0.284 U^0.78 MW^(2/3) A VP / (82.05 T)     in lb/min             [epa-550-b-99-009]
//! LFA  = 0.284 MW^(2/3) VP / (82.05 298)            at a wind of 1 m/s and 25 degC
//! DF   = 1 / (0.033 rho)                            a pool 0.033 ft deep
//! QR   = QS wind LFA DF                             of a spill of mass QS
//! time = mass / QR
//! sorbent = V / (volume it takes per mass)   or   V rho / (mass it takes per mass)
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `V` | fuel spilt | L | 0.01 to 20 000 | ours |
//! | `nu` | kinematic viscosity | mm2/s | 0.1 to 1000 | ours |
//! | `t` | time since the spill | s | 1 to 86 400 | ours |
//! | `depth` | depth of a pool | mm | 0.1 to 1000 | ours |
//! | `U` | wind | m/s | 0.5 to 15 | ours |
//! | `MW` | molar mass | g/mol | 16 to 400 | ours |
//! | `A` | area of the pool | m2 | 0.01 to 10 000 | ours |
//! | `VP` | vapour pressure at the fuel's temperature | mmHg | 0 to 760 | at 760 it boils |
//! | `T` | temperature of the fuel | degC | -40 to 60 | ours |
//! | `rho` | density | kg/L | 0.6 to 0.9 for fuel, 0.5 to 2 for `DF` | ours |
//! | | what a sorbent takes | L/kg, 1 | 0.01 to 200, 0.01 to 100 | ours |
//!
//! `U`, `MW`, `A`, `VP`, `T` enter the formula in m/s, g/mol, ft2, mmHg and K as it was published.
//! Below half a metre per second of wind it would say that nothing evaporates, which is false:
//! refused. The depth of a pool, the wind factor and what a sorbent takes are arguments.
//!
//! # Accuracy
//!
//! The spread is exact for a thin sheet that its own viscosity holds back, poured out at once on
//! smooth level ground that soaks up nothing. The evaporation is an order of magnitude and not
//! more: its exponent 0.78 is an old correlation that wind-tunnel work has questioned.
//!
//! # What it cannot know
//!
//! Slope and drains, which take the fuel where they lead; grass, gravel and cracks, which hold it;
//! gusts and lulls; that a pool cools as it evaporates and warms in the sun. A fuel is a mixture:
//! its light part goes first, so `time` is the least that a spill lasts, never a promise that it
//! is gone. See [`UNKNOWN`], which every answer carries.
//!
//! # Left out on purpose
//!
//! Where vapour drifts and burns: limits of flammability and distances have no source that was
//! read. The first seconds, when the fuel runs by its own weight; the last, when its surface holds
//! it together.
//!
//! # Sources
//!
//! `huppert-1982`, `epa-550-b-99-009`, `fuel-arithmetic`; free fall from `icao-7488`.

use std::f64::consts::PI;

use crate::{
    bounds::{Bounds, OutOfRange},
    constants::G0,
    fuel,
    quantity::{
        Area, AreaRate, FromAmount, Length, Mass, MassDensity, MassFlux, MassRate, MolarMass,
        Pressure, Ratio, SpecificArea, SpecificVolume, ThermodynamicTemperature, Time, Velocity,
        Volume,
    },
    source,
    trace::{Step, Trace},
    unit::{
        DEGC, FT2, FT2_LB, G_MOL, KG, KG_L, L, L_KG, LB_FT2_MIN, LB_FT3, LB_MIN, M_S, M2, MM,
        MM2_S, MMHG, ONE, S,
    },
};

/// Accepted spills.
pub const SPILT: Bounds = Bounds::new("fuel spilt", 0.01, 20_000.0, L);
/// Accepted kinematic viscosities.
pub const KINEMATIC: Bounds = Bounds::new("kinematic viscosity", 0.1, 1000.0, MM2_S);
/// Accepted times since a spill.
pub const SINCE: Bounds = Bounds::new("time since the spill", 1.0, 86_400.0, S);
/// Accepted depths of a pool.
pub const POOL_DEPTH: Bounds = Bounds::new("depth of the pool", 0.1, 1000.0, MM);
/// Accepted winds over a pool.
pub const POOL_WIND: Bounds = Bounds::new("wind over the pool", 0.5, 15.0, M_S);
/// Accepted molar masses.
pub const MOLAR_MASS: Bounds = Bounds::new("molar mass", 16.0, 400.0, G_MOL);
/// Accepted areas of a pool.
pub const POOL_AREA: Bounds = Bounds::new("area of the pool", 0.01, 10_000.0, M2);
/// Accepted vapour pressures.
pub const VAPOUR: Bounds = Bounds::new("vapour pressure", 0.0, 760.0, MMHG);
/// Accepted temperatures of a spilt fuel.
pub const SPILL_TEMPERATURE: Bounds = Bounds::new("temperature of the fuel", -40.0, 60.0, DEGC);
/// Accepted densities for the density factor, of any liquid.
pub const LIQUID: Bounds = Bounds::new("density of the liquid", 0.5, 2.0, KG_L);
/// Accepted masses of a spill.
pub const SPILT_MASS: Bounds = Bounds::new("mass spilt", 0.01, 50_000.0, KG);
/// Accepted liquid factors.
pub const LIQUID_FACTOR: Bounds = Bounds::new("liquid factor", 0.0, 10.0, LB_FT2_MIN);
/// Accepted density factors.
pub const DENSITY_FACTOR: Bounds = Bounds::new("density factor", 1e-3, 10.0, FT2_LB);
/// Accepted factors for the wind.
pub const WIND_FACTOR: Bounds = Bounds::new("factor for the wind", 0.1, 10.0, ONE);
/// Accepted volumes that a sorbent takes for its mass.
pub const SORBENT_VOLUME: Bounds = Bounds::new("volume the sorbent takes", 0.01, 200.0, L_KG);
/// Accepted masses that a sorbent takes for its mass.
pub const SORBENT_MASS: Bounds = Bounds::new("mass the sorbent takes", 0.01, 100.0, ONE);

/// What no formula here can know of a spill.
pub const UNKNOWN: &str = "not known here: slope, drains, grass and cracks, gusts";

/// A spill on the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// From its middle to its edge.
    pub radius: Length,
    /// The ground it covers.
    pub area: Area,
    /// Its mean depth.
    pub depth: Length,
}

/// How far a spill has spread by its own weight against its viscosity.
///
/// # Errors
///
/// [`OutOfRange`] for [`SPILT`], [`KINEMATIC`] or [`SINCE`].
pub fn viscous_spread(
    volume: Volume,
    viscosity: AreaRate,
    since: Time,
    trace: &mut impl Trace,
) -> Result<Spread, OutOfRange> {
    let v = SPILT.check(volume)?.si();
    let nu = KINEMATIC.check(viscosity)?.si();
    let t = SINCE.check(since)?.si();
    let radius = Length::from_si(huppert_1982(v, nu, t));
    let area = radius * radius * PI;
    let found = Spread { radius, area, depth: volume / area };
    trace.step(|| {
        Step::new("spread of the spill", "r = (2^10 / (3^4 pi^3))^(1/8) (g V^3 t / (3 nu))^(1/8)")
            .with("V", volume)
            .with("nu", viscosity)
            .with("after", since)
            .gives("r", radius)
            .gives("area", area)
            .gives("depth", found.depth)
            .from(source::HUPPERT_1982)
            .remark(UNKNOWN)
    });
    Ok(found)
}

/// The bare formula, in SI.
fn huppert_1982(v: f64, nu: f64, t: f64) -> f64 {
    let c = (2_f64.powi(10) / (3_f64.powi(4) * PI.powi(3))).powf(0.125);
    c * (G0 * v.powi(3) * t / (3.0 * nu)).powf(0.125)
}

/// The round pool that a spill makes when it is everywhere so deep.
///
/// # Errors
///
/// [`OutOfRange`] for [`SPILT`] or [`POOL_DEPTH`].
pub fn pool(volume: Volume, depth: Length, trace: &mut impl Trace) -> Result<Spread, OutOfRange> {
    let area = SPILT.check(volume)? / POOL_DEPTH.check(depth)?;
    let found = Spread { radius: Length::from_si((area.si() / PI).sqrt()), area, depth };
    trace.step(|| {
        Step::new("pool", "area = V / depth")
            .with("V", volume)
            .with("depth", depth)
            .gives("area", area)
            .gives("r", found.radius)
            .from(source::EPA_OFFSITE)
            .remark(UNKNOWN)
    });
    Ok(found)
}

/// A liquid that evaporates, at its temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Liquid {
    /// Its molar mass; of a mixture, that of the vapour.
    pub molar_mass: MolarMass,
    /// Its vapour pressure at `temperature`.
    pub vapour_pressure: Pressure,
    /// Its temperature.
    pub temperature: ThermodynamicTemperature,
}

/// How fast a pool evaporates in a wind.
///
/// # Errors
///
/// [`OutOfRange`] for [`POOL_WIND`], [`MOLAR_MASS`], [`VAPOUR`], [`SPILL_TEMPERATURE`] or
/// [`POOL_AREA`].
pub fn evaporation(
    liquid: &Liquid,
    wind: Velocity,
    area: Area,
    trace: &mut impl Trace,
) -> Result<MassRate, OutOfRange> {
    let u = POOL_WIND.check(wind)?.count(M_S);
    let a = POOL_AREA.check(area)?.count(FT2);
    let t = SPILL_TEMPERATURE.check(liquid.temperature)?.si();
    let per_area = per_square_foot(liquid.molar_mass, liquid.vapour_pressure, t)?;
    let rate = MassRate::of(per_area * u.powf(WIND_EXPONENT) * a, LB_MIN);
    trace.step(|| {
        Step::new("evaporation", "QR = 0.284 U^0.78 MW^(2/3) A VP / (82.05 T), in lb/min")
            .with("U", wind)
            .with("MW", liquid.molar_mass)
            .with("A", area)
            .with("VP", liquid.vapour_pressure)
            .with("T", liquid.temperature)
            .gives("QR", rate)
            .from(source::EPA_OFFSITE)
            .remark(UNKNOWN)
    });
    Ok(rate)
}

/// Exponent of the wind in m/s. `[epa-550-b-99-009]`
const WIND_EXPONENT: f64 = 0.78;
/// Temperature of the liquid factor ambient. \[K\] `[epa-550-b-99-009]`
const AMBIENT_K: f64 = 298.0;
/// Depth of a pool in the density factor. \[ft\] `[epa-550-b-99-009]`
const FACTOR_DEPTH_FT: f64 = 0.033;

/// What evaporates from a square foot in a minute at a wind of 1 m/s. \[lb\]
fn per_square_foot(molar_mass: MolarMass, vapour: Pressure, t: f64) -> Result<f64, OutOfRange> {
    let mw = MOLAR_MASS.check(molar_mass)?.count(G_MOL);
    let vp = VAPOUR.check(vapour)?.count(MMHG);
    Ok(0.284 * mw.powf(2.0 / 3.0) * vp / (82.05 * t))
}

/// The guidance's factor for what evaporates from an area at 25 degC and a wind of 1 m/s.
///
/// # Errors
///
/// [`OutOfRange`] for [`MOLAR_MASS`] or [`VAPOUR`].
pub fn liquid_factor_ambient(
    molar_mass: MolarMass,
    vapour_pressure: Pressure,
    trace: &mut impl Trace,
) -> Result<MassFlux, OutOfRange> {
    let per_area = per_square_foot(molar_mass, vapour_pressure, AMBIENT_K)?;
    let factor = MassFlux::of(per_area, LB_FT2_MIN);
    trace.step(|| {
        Step::new("liquid factor ambient", "LFA = 0.284 MW^(2/3) VP / (82.05 298), in lb/ft2/min")
            .with("MW", molar_mass)
            .with("VP", vapour_pressure)
            .gives("LFA", factor)
            .from(source::EPA_OFFSITE)
    });
    Ok(factor)
}

/// The guidance's factor for the area that a mass covers, 0.033 ft deep: one centimetre.
///
/// # Errors
///
/// [`OutOfRange`] for [`LIQUID`].
pub fn density_factor(
    density: MassDensity,
    trace: &mut impl Trace,
) -> Result<SpecificArea, OutOfRange> {
    let rho = LIQUID.check(density)?.count(LB_FT3);
    let factor = SpecificArea::of(1.0 / (FACTOR_DEPTH_FT * rho), FT2_LB);
    trace.step(|| {
        Step::new("density factor", "DF = 1 / (0.033 rho), in ft2/lb")
            .with("rho", density)
            .gives("DF", factor)
            .from(source::EPA_OFFSITE)
    });
    Ok(factor)
}

/// A spill as the guidance reckons it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Release {
    /// The ground it covers.
    pub area: Area,
    /// How fast it evaporates.
    pub rate: MassRate,
    /// How long that lasts.
    pub time: Time,
}

/// Rate and duration of a spill by the guidance's factors.
///
/// # Errors
///
/// [`OutOfRange`] for [`SPILT_MASS`], [`WIND_FACTOR`], [`LIQUID_FACTOR`] or [`DENSITY_FACTOR`];
/// [`LIQUID_FACTOR`] too when it is nothing, since then nothing evaporates.
pub fn release(
    mass: Mass,
    wind: Ratio,
    liquid: MassFlux,
    density: SpecificArea,
    trace: &mut impl Trace,
) -> Result<Release, OutOfRange> {
    let area = SPILT_MASS.check(mass)? * DENSITY_FACTOR.check(density)?;
    let rate = area * LIQUID_FACTOR.check(liquid)? * WIND_FACTOR.check(wind)?;
    trace.step(|| {
        Step::new("release", "QR = QS wind LFA DF")
            .with("QS", mass)
            .with("wind factor", wind)
            .with("LFA", liquid)
            .with("DF", density)
            .gives("QR", rate)
            .from(source::EPA_OFFSITE)
            .remark(UNKNOWN)
    });
    let time = time_to_evaporate(mass, rate, trace)?;
    Ok(Release { area, rate, time })
}

/// Accepted rates of evaporation: a time needs more than nothing.
pub const EVAPORATION: Bounds = Bounds::new("rate of evaporation", 1e-9, 1e6, LB_MIN);

/// The least time that a spill lasts: as long as the pool kept its area and its light part.
///
/// # Errors
///
/// [`OutOfRange`] for [`SPILT_MASS`] or [`EVAPORATION`].
pub fn time_to_evaporate(
    mass: Mass,
    rate: MassRate,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let time = SPILT_MASS.check(mass)? / EVAPORATION.check(rate)?;
    trace.step(|| {
        Step::new("time to evaporate", "time = mass / QR")
            .with("mass", mass)
            .with("QR", rate)
            .gives("time", time)
            .from(source::EPA_OFFSITE)
            .remark("the least it lasts: the light part goes first, and the pool cools")
    });
    Ok(time)
}

/// The sorbent for a spill, by the volume that its mass takes.
///
/// # Errors
///
/// [`OutOfRange`] for [`SPILT`] or [`SORBENT_VOLUME`].
pub fn sorbent_by_volume(
    volume: Volume,
    takes: SpecificVolume,
    trace: &mut impl Trace,
) -> Result<Mass, OutOfRange> {
    let sorbent = SPILT.check(volume)? / SORBENT_VOLUME.check(takes)?;
    trace.step(|| {
        Step::new("sorbent", "sorbent = V / takes")
            .with("V", volume)
            .with("takes", takes)
            .gives("sorbent", sorbent)
            .from(source::FUEL_ARITHMETIC)
    });
    Ok(sorbent)
}

/// The sorbent for a spill, by the mass that its mass takes.
///
/// # Errors
///
/// [`OutOfRange`] for [`SPILT`], [`fuel::DENSITY`] or [`SORBENT_MASS`].
pub fn sorbent_by_mass(
    volume: Volume,
    density: MassDensity,
    takes: Ratio,
    trace: &mut impl Trace,
) -> Result<Mass, OutOfRange> {
    let spilt = SPILT.check(volume)? * fuel::DENSITY.check(density)?;
    let sorbent = spilt / SORBENT_MASS.check(takes)?;
    trace.step(|| {
        Step::new("sorbent", "sorbent = V rho / takes")
            .with("V", volume)
            .with("rho", density)
            .with("takes", takes)
            .gives("sorbent", sorbent)
            .from(source::FUEL_ARITHMETIC)
    });
    Ok(sorbent)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        trace::{Silent, Working},
        unit::{LB, MIN},
    };

    fn spread(litres: f64, nu: f64, seconds: f64) -> Result<Spread, OutOfRange> {
        let viscosity = AreaRate::of(nu, MM2_S);
        viscous_spread(Volume::of(litres, L), viscosity, Time::of(seconds, S), &mut Silent)
    }

    fn liquid(molar_mass: f64, vapour: f64, celsius: f64) -> Liquid {
        Liquid {
            molar_mass: MolarMass::of(molar_mass, G_MOL),
            vapour_pressure: Pressure::of(vapour, MMHG),
            temperature: ThermodynamicTemperature::of(celsius, DEGC),
        }
    }

    fn rate(liquid: &Liquid, wind: f64, area: f64) -> Result<MassRate, OutOfRange> {
        evaporation(liquid, Velocity::of(wind, M_S), Area::of(area, M2), &mut Silent)
    }

    fn factors(mass: f64, wind: f64, liquid: f64, density: f64) -> Result<Release, OutOfRange> {
        let liquid = MassFlux::of(liquid, LB_FT2_MIN);
        let density = SpecificArea::of(density, FT2_LB);
        release(Mass::of(mass, LB), Ratio::from_si(wind), liquid, density, &mut Silent)
    }

    /// mpmath, 40 digits; the coefficient came from its integral there, see the exact cases.
    #[test]
    fn spread_equals_exact_arithmetic() {
        let found = spread(37.5, 0.72, 900.0).unwrap();
        assert!((found.radius.si() - 4.149_264_015_040_871).abs() < 1e-13);
        assert!((found.area.si() - 54.086_890_209_160_59).abs() < 1e-11);
        assert!((found.depth.si() - 6.933_288_243_229_17e-4).abs() < 1e-16);
    }

    /// Huppert 1982 prints the coefficient as 0.894.
    #[test]
    fn the_coefficient_is_that_of_the_paper() {
        let c = huppert_1982(1.0, G0 / 3.0, 1.0);
        assert!((c - 0.894).abs() < 5e-4 && (c - 0.893_913_847_566_4).abs() < 1e-12, "{c}");
    }

    /// Figures computed for this work, four digits.
    #[test]
    fn spread_is_as_quoted() {
        let litre = spread(1.0, 0.6, 60.0).unwrap();
        assert!((litre.radius.si() - 0.7773).abs() < 5e-5);
        assert!((litre.area.si() - 1.898).abs() < 5e-4);
        assert!((litre.depth.count(MM) - 0.527).abs() < 5e-4);
        let can = spread(20.0, 1.6, 120.0).unwrap();
        assert!((can.radius.si() - 2.306).abs() < 5e-4 && (can.area.si() - 16.71).abs() < 5e-3);
    }

    /// mpmath: 68 g/mol, 290 mmHg, 20 degC, 2.5 m/s, 12 m2.
    #[test]
    fn evaporation_equals_exact_arithmetic() {
        let found = rate(&liquid(68.0, 290.0, 20.0), 2.5, 12.0).unwrap();
        assert!((found.si() - 0.113_835_961_514_210_86).abs() < 1e-14, "{found:?}");
        assert!((found.count(LB_MIN) - 15.057_920_156_048_153).abs() < 1e-12);
    }

    /// EPA 550-B-99-009 from memory, acrylonitrile: 0.018, 0.61, 307 lb/min, 65 min.
    #[test]
    fn acrylonitrile_is_as_in_the_guidance() {
        let acrylonitrile = liquid(53.06, 108.0, 25.0);
        let (molar, vapour) = (acrylonitrile.molar_mass, acrylonitrile.vapour_pressure);
        let lfa = liquid_factor_ambient(molar, vapour, &mut Silent).unwrap().count(LB_FT2_MIN);
        assert!((lfa - 0.018).abs() < 5e-4 && (lfa - 0.017_712_998_118_522_71).abs() < 1e-15);
        let df = density_factor(MassDensity::of(49.9, LB_FT3), &mut Silent).unwrap().count(FT2_LB);
        assert!((df - 0.61).abs() < 5e-3 && (df - 0.607_275_156_373_352_8).abs() < 1e-14);
        let found = factors(20_000.0, 1.4, 0.018, 0.61).unwrap();
        assert!((found.rate.count(LB_MIN) - 307.0).abs() < 0.5, "{found:?}");
        assert!((found.time.count(MIN) - 65.0).abs() < 0.5);
        assert!((found.area.count(FT2) - 12_200.0).abs() < 1e-8);
    }

    /// At 298 K and a wind of 1 m/s the equation is the liquid factor times the area.
    #[test]
    fn the_factor_is_the_equation_at_its_own_conditions() {
        let at = liquid(68.0, 290.0, 298.0 - 273.15);
        let whole = rate(&at, 1.0, 12.0).unwrap();
        let factor = liquid_factor_ambient(at.molar_mass, at.vapour_pressure, &mut Silent).unwrap();
        assert!((whole.si() / (factor * Area::of(12.0, M2)).si() - 1.0).abs() < 1e-13);
    }

    /// 20 L into 1.5 L/kg and 13 times its own mass: 40/3 kg, 14.4/13 kg.
    #[test]
    fn sorbent_equals_exact_arithmetic() {
        let spilt = Volume::of(20.0, L);
        let kilograms = sorbent_by_volume(spilt, SpecificVolume::of(1.5, L_KG), &mut Silent);
        assert!((kilograms.unwrap().si() - 40.0 / 3.0).abs() < 1e-13);
        let avgas = MassDensity::of(0.72, KG_L);
        let kilograms = sorbent_by_mass(spilt, avgas, Ratio::from_si(13.0), &mut Silent);
        assert!((kilograms.unwrap().si() - 14.4 / 13.0).abs() < 1e-14);
    }

    #[test]
    fn what_is_not_known_is_said_with_every_spread_and_rate() {
        let mut working = Working::default();
        let (litres, depth) = (Volume::of(20.0, L), Length::of(10.0, MM));
        let found = pool(litres, depth, &mut working).unwrap();
        let nu = AreaRate::of(0.6, MM2_S);
        viscous_spread(litres, nu, Time::of(60.0, S), &mut working).unwrap();
        let wind = Velocity::of(2.0, M_S);
        evaporation(&liquid(68.0, 290.0, 20.0), wind, found.area, &mut working).unwrap();
        assert_eq!(working.steps.len(), 3);
        for step in working.steps {
            assert_eq!(step.remark.as_deref(), Some(UNKNOWN), "{}", step.what);
        }
    }

    #[test]
    fn both_sides_of_the_bounds_of_a_spread() {
        for (litres, nu, seconds, ok) in [
            (0.01, 0.1, 1.0, true),
            (0.009, 1.0, 60.0, false),
            (20_000.0, 1000.0, 86_400.0, true),
            (20_001.0, 1.0, 60.0, false),
            (1.0, 0.09, 60.0, false),
            (1.0, 1001.0, 60.0, false),
            (1.0, 1.0, 0.9, false),
            (1.0, 1.0, 86_401.0, false),
            (f64::NAN, 1.0, 60.0, false),
            (1.0, f64::INFINITY, 60.0, false),
            (1.0, 1.0, f64::NAN, false),
        ] {
            assert_eq!(spread(litres, nu, seconds).is_ok(), ok, "{litres} {nu} {seconds}");
        }
        for (depth, ok) in [(0.1, true), (0.09, false), (1000.0, true), (1001.0, false)] {
            let found = pool(Volume::of(1.0, L), Length::of(depth, MM), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{depth}");
        }
    }

    #[test]
    fn both_sides_of_the_bounds_of_evaporation() {
        for (wind, molar, vapour, celsius, area, ok) in [
            (0.5, 16.0, 0.0, -40.0, 0.01, true),
            (15.0, 400.0, 760.0, 60.0, 10_000.0, true),
            (0.49, 68.0, 290.0, 20.0, 1.0, false),
            (15.1, 68.0, 290.0, 20.0, 1.0, false),
            (2.0, 15.9, 290.0, 20.0, 1.0, false),
            (2.0, 401.0, 290.0, 20.0, 1.0, false),
            (2.0, 68.0, -0.1, 20.0, 1.0, false),
            (2.0, 68.0, 760.1, 20.0, 1.0, false),
            (2.0, 68.0, 290.0, -40.1, 1.0, false),
            (2.0, 68.0, 290.0, 60.1, 1.0, false),
            (2.0, 68.0, 290.0, 20.0, 0.009, false),
            (2.0, 68.0, 290.0, 20.0, 10_001.0, false),
            (f64::NAN, 68.0, 290.0, 20.0, 1.0, false),
            (2.0, 68.0, f64::INFINITY, 20.0, 1.0, false),
        ] {
            let found = rate(&liquid(molar, vapour, celsius), wind, area);
            assert_eq!(found.is_ok(), ok, "{wind} {molar} {vapour} {celsius} {area}");
        }
        for (mass, wind, liquid, density, ok) in [
            (100.0, 0.1, 0.018, 1e-3, true),
            (0.01, 1.4, 0.018, 0.61, false),
            (110_300.0, 1.4, 0.018, 0.61, false),
            (100.0, 0.09, 0.018, 0.61, false),
            (100.0, 10.1, 0.018, 0.61, false),
            (100.0, 1.4, 0.0, 0.61, false),
            (100.0, 1.4, 10.1, 0.61, false),
            (100.0, 1.4, 0.018, 0.9e-3, false),
            (100.0, 1.4, 0.018, 10.1, false),
            (f64::NAN, 1.4, 0.018, 0.61, false),
        ] {
            let found = factors(mass, wind, liquid, density);
            assert_eq!(found.is_ok(), ok, "{mass} {wind} {liquid} {density}");
        }
    }

    #[test]
    fn both_sides_of_the_bounds_of_sorbents_and_densities() {
        let spilt = Volume::of(20.0, L);
        for (takes, ok) in
            [(0.01, true), (0.009, false), (200.0, true), (200.1, false), (f64::NAN, false)]
        {
            let takes = SpecificVolume::of(takes, L_KG);
            assert_eq!(sorbent_by_volume(spilt, takes, &mut Silent).is_ok(), ok, "{takes:?}");
        }
        for (density, takes, ok) in [
            (0.72, 0.01, true),
            (0.72, 0.009, false),
            (0.72, 100.0, true),
            (0.72, 100.1, false),
            (0.59, 13.0, false),
            (0.72, f64::INFINITY, false),
        ] {
            let density = MassDensity::of(density, KG_L);
            let found = sorbent_by_mass(spilt, density, Ratio::from_si(takes), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{density:?} {takes}");
        }
        for (density, ok) in [(0.5, true), (0.49, false), (2.0, true), (2.01, false)] {
            let found = density_factor(MassDensity::of(density, KG_L), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{density}");
        }
    }

    proptest! {
        #[test]
        fn a_spill_only_ever_spreads_and_keeps_its_volume(
            litres in 0.1..500.0_f64, nu in 0.3..10.0_f64, seconds in 1.0..3600.0_f64,
        ) {
            let (now, later) = (spread(litres, nu, seconds).unwrap(),
                spread(litres, nu, seconds * 2.0).unwrap());
            // An eighth power: twice the time is 9 % more radius, whatever the spill.
            let grown = later.radius.si() / now.radius.si();
            prop_assert!((grown - 2.0_f64.powf(0.125)).abs() < 1e-12);
            prop_assert!(((now.area * now.depth).count(L) / litres - 1.0).abs() < 1e-12);
            let thicker = spread(litres, nu * 2.0, seconds).unwrap();
            prop_assert!(thicker.radius < now.radius);
        }

        #[test]
        fn more_wind_area_or_vapour_never_evaporates_less(
            wind in 0.5..7.0_f64, vapour in 1.0..380.0_f64, area in 0.1..100.0_f64,
        ) {
            let one = rate(&liquid(68.0, vapour, 20.0), wind, area).unwrap();
            prop_assert!(rate(&liquid(68.0, vapour, 20.0), wind * 2.0, area).unwrap() > one);
            prop_assert!(rate(&liquid(68.0, vapour * 2.0, 20.0), wind, area).unwrap() > one);
            let twice = rate(&liquid(68.0, vapour, 20.0), wind, area * 2.0).unwrap();
            prop_assert!((twice.si() / one.si() - 2.0).abs() < 1e-12);
        }
    }
}
