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
