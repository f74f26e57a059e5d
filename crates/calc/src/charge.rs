//! Static electricity where fuel flows: how fast charge leaves the fuel and the things around
//! it, how fast fuel may run in a hose, how long it must rest after a filter, and what a spark
//! would carry.
//!
//! # Formula
//!
//! ```text
//! tau  = eps_r eps0 / kappa          relaxation of a liquid    [iec-60079-32-1]
//! tau  = R C                         of a body with its bond   [electrostatics]
//! left = exp(-after / tau)           share of the charge that stays
//! v    = 4 q / (pi d^2)              in a full hose            [pipe-flow]
//! v <= v_most   and   v d <= vd_most, so  q_most = pi d^2 / 4 min(v_most, vd_most / d)
//! stay = (pi d^2 / 4 l + chamber) / q     from the filter to the outlet
//! Q    = C V        E = C V^2 / 2    charge and energy of a body
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `eps_r` | permittivity of the liquid against that of free space | 1 | 1 to 100 | ours; fuel has about 2 |
//! | `kappa` | conductivity | pS/m | 0.001 to 1e6 | ours |
//! | `after` | time | s | 0 to a day | ours |
//! | `d`, `l` | bore and length of the hose | mm, m | 1 to 500, 0 to 500 | ours |
//! | `q` | rate | L/min | above 0 (0.001) to 20 000 | ours |
//! | `C`, `V` | capacitance, voltage | pF, kV | 0.1 to 1e6, 0 to 500 | ours |
//! | `R` | resistance of the bond | ohm | 0.001 to 1e15 | ours |
//!
//! The limits themselves (a speed, speed times bore, seconds of rest, a conductivity) are
//! arguments: they belong to a pack.
//!
//! # Accuracy
//!
//! Exact for the model. Below a few pS/m a real fuel sheds charge faster than `tau` says, since
//! the charge itself carries current; the answer errs to the long side. Conductivity falls with
//! temperature, and a value read at a depot says little about a drum.
//!
//! # Left out on purpose
//!
//! How much charge a filter or a pump makes, which no formula gives beforehand. Water and dirt in
//! the fuel, which make far more. Whether a spark jumps, and whether vapour above the fuel would
//! burn: jet fuel below its flash point makes mist and foam that do. Brush discharges from
//! plastic, which have no capacitance to reckon with.
//!
//! # Sources
//!
//! `iec-60079-32-1`, `electrostatics`, `pipe-flow`, `mil-hdbk-1022a`; `codata-2018` for `eps0`.

use std::f64::consts::PI;

use crate::{
    bounds::{Bounds, OutOfRange},
    constants::EPSILON0,
    quantity::{
        Area, AreaRate, Capacitance, ElectricCharge, ElectricPotential, ElectricalConductivity,
        ElectricalResistance, Energy, FromAmount, Length, Ratio, Time, Velocity, Volume,
        VolumeRate,
    },
    source,
    trace::{Step, Trace},
    unit::{KV, L, L_MIN, M, M_S, M2_S, MM, OHM, ONE, PF, PS_M, S},
};

/// Accepted permittivities of a liquid.
pub const PERMITTIVITY: Bounds = Bounds::new("relative permittivity", 1.0, 100.0, ONE);
/// Accepted conductivities.
pub const CONDUCTIVITY: Bounds = Bounds::new("conductivity of the fuel", 1e-3, 1e6, PS_M);
/// Accepted times to wait.
pub const WAIT: Bounds = Bounds::new("time", 0.0, 86_400.0, S);
/// Accepted bores.
pub const BORE: Bounds = Bounds::new("bore of the hose", 1.0, 500.0, MM);
/// Accepted lengths of hose.
pub const HOSE: Bounds = Bounds::new("length of the hose", 0.0, 500.0, M);
/// Accepted contents of a chamber in which the fuel rests.
pub const CHAMBER: Bounds = Bounds::new("volume of the chamber", 0.0, 20_000.0, L);
/// Accepted rates of flow.
pub const FLOW: Bounds = Bounds::new("rate of flow", 1e-3, 20_000.0, L_MIN);
/// Accepted limits of speed.
pub const SPEED_LIMIT: Bounds = Bounds::new("limit of the speed in the hose", 0.01, 50.0, M_S);
/// Accepted limits of speed times bore.
pub const SPEED_BORE_LIMIT: Bounds = Bounds::new("limit of speed times bore", 1e-3, 50.0, M2_S);
/// Accepted times to rest after the filter.
pub const REST: Bounds = Bounds::new("time to rest after the filter", 0.1, 3600.0, S);
/// Accepted capacitances of a body.
pub const CAPACITANCE: Bounds = Bounds::new("capacitance", 0.1, 1e6, PF);
/// Accepted voltages.
pub const VOLTAGE: Bounds = Bounds::new("voltage", 0.0, 500.0, KV);
/// Accepted resistances of a bond.
pub const RESISTANCE: Bounds = Bounds::new("resistance to earth", 1e-3, 1e15, OHM);

/// The time in which a liquid sheds all but 1/e of its charge.
///
/// # Errors
///
/// [`OutOfRange`] for [`PERMITTIVITY`] or [`CONDUCTIVITY`].
pub fn liquid_relaxation(
    permittivity: Ratio,
    conductivity: ElectricalConductivity,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let eps_r = PERMITTIVITY.check(permittivity)?.si();
    let kappa = CONDUCTIVITY.check(conductivity)?.si();
    let tau = Time::from_si(eps_r * EPSILON0 / kappa);
    trace.step(|| {
        Step::new("relaxation of the fuel", "tau = eps_r eps0 / kappa")
            .with("eps_r", permittivity)
            .with("kappa", conductivity)
            .gives("tau", tau)
            .from(source::STATIC_CONTROL)
    });
    Ok(tau)
}

/// The time in which a body sheds all but 1/e of its charge through what joins it to earth.
///
/// # Errors
///
/// [`OutOfRange`] for [`RESISTANCE`] or [`CAPACITANCE`].
pub fn body_relaxation(
    resistance: ElectricalResistance,
    capacitance: Capacitance,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let r = RESISTANCE.check(resistance)?.si();
    let c = CAPACITANCE.check(capacitance)?.si();
    let tau = Time::from_si(r * c);
    trace.step(|| {
        Step::new("relaxation of a body", "tau = R C")
            .with("R", resistance)
            .with("C", capacitance)
            .gives("tau", tau)
            .from(source::ELECTROSTATICS)
    });
    Ok(tau)
}

/// The share of a charge that is left after a time.
///
/// # Errors
///
/// [`OutOfRange`] for [`WAIT`].
pub fn charge_left(
    relaxation: Time,
    after: Time,
    trace: &mut impl Trace,
) -> Result<Ratio, OutOfRange> {
    let t = WAIT.check(after)?;
    let left = Ratio::from_si((-t.si() / relaxation.si()).exp());
    trace.step(|| {
        Step::new("charge left", "left = exp(-after / tau)")
            .with("after", after)
            .with("tau", relaxation)
            .gives("left", left)
            .from(source::STATIC_CONTROL)
    });
    Ok(left)
}

/// How fuel runs in a hose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoseFlow {
    /// Its speed.
    pub velocity: Velocity,
    /// Speed times bore.
    pub velocity_bore: AreaRate,
}

/// The inside of a round hose, cut across.
fn inside(bore: Length) -> Area {
    bore * bore * (PI / 4.0)
}

/// How fast fuel runs in a hose at a rate.
///
/// # Errors
///
/// [`OutOfRange`] for [`FLOW`] or [`BORE`].
pub fn hose_flow(
    flow: VolumeRate,
    bore: Length,
    trace: &mut impl Trace,
) -> Result<HoseFlow, OutOfRange> {
    let velocity = FLOW.check(flow)? / inside(BORE.check(bore)?);
    let found = HoseFlow { velocity, velocity_bore: velocity * bore };
    trace.step(|| {
        Step::new("speed in the hose", "v = 4 q / (pi d^2)")
            .with("flow", flow)
            .with("bore", bore)
            .gives("v", found.velocity)
            .gives("v d", found.velocity_bore)
            .from(source::PIPE_FLOW)
    });
    Ok(found)
}

/// Limits on how fuel may run in a hose; a pack says which.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowLimits {
    /// The greatest speed.
    pub velocity: Velocity,
    /// The greatest speed times bore, where there is such a limit.
    pub velocity_bore: Option<AreaRate>,
}

/// Which of two limits holds the rate down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Governs {
    /// That of the speed.
    Velocity,
    /// That of speed times bore.
    VelocityBore,
}

impl Governs {
    /// The limit as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Velocity => "speed",
            Self::VelocityBore => "speed times bore",
        }
    }
}

/// The greatest rate that limits allow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GreatestFlow {
    /// The rate.
    pub flow: VolumeRate,
    /// The speed at that rate.
    pub velocity: Velocity,
    /// The limit that decides; the speed when both agree.
    pub governs: Governs,
}

/// The greatest rate through a hose under limits of speed and of speed times bore.
///
/// # Errors
///
/// [`OutOfRange`] for [`BORE`], [`SPEED_LIMIT`] or [`SPEED_BORE_LIMIT`].
pub fn greatest_flow(
    bore: Length,
    limits: &FlowLimits,
    trace: &mut impl Trace,
) -> Result<GreatestFlow, OutOfRange> {
    let area = inside(BORE.check(bore)?);
    let cap = SPEED_LIMIT.check(limits.velocity)?;
    let by_bore = limits.velocity_bore.map(|limit| SPEED_BORE_LIMIT.check(limit)).transpose()?;
    let (velocity, governs) = match by_bore.map(|limit| limit / bore) {
        Some(velocity) if velocity < cap => (velocity, Governs::VelocityBore),
        _ => (cap, Governs::Velocity),
    };
    let found = GreatestFlow { flow: velocity * area, velocity, governs };
    trace.step(|| {
        let step = Step::new("greatest rate", "q_most = pi d^2 / 4 min(v_most, vd_most / d)")
            .with("bore", bore)
            .with("v", limits.velocity);
        let step = match by_bore {
            Some(limit) => step.with("v d", limit),
            None => step,
        };
        step.gives("v", velocity)
            .gives("flow", found.flow)
            .from(source::STATIC_CONTROL)
            .remark(format!("held down by the limit of {}", governs.words()))
    });
    Ok(found)
}

/// What the fuel passes between the last filter and the outlet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AfterFilter {
    /// Bore of the hose.
    pub bore: Length,
    /// Its length.
    pub length: Length,
    /// Volume of a chamber before it; nothing where there is none.
    pub chamber: Volume,
}

impl AfterFilter {
    /// All the fuel between filter and outlet.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`BORE`], [`HOSE`] or [`CHAMBER`].
    pub fn contents(&self) -> Result<Volume, OutOfRange> {
        let hose = inside(BORE.check(self.bore)?) * HOSE.check(self.length)?;
        Ok(hose + CHAMBER.check(self.chamber)?)
    }
}

/// How long the fuel rests between the last filter and the outlet.
///
/// # Errors
///
/// [`OutOfRange`] for [`BORE`], [`HOSE`], [`CHAMBER`] or [`FLOW`].
pub fn residence(
    after: &AfterFilter,
    flow: VolumeRate,
    trace: &mut impl Trace,
) -> Result<Time, OutOfRange> {
    let contents = after.contents()?;
    let stay = contents / FLOW.check(flow)?;
    trace.step(|| {
        Step::new("rest after the filter", "stay = (pi d^2 / 4 l + chamber) / q")
            .with("bore", after.bore)
            .with("l", after.length)
            .with("chamber", after.chamber)
            .with("flow", flow)
            .gives("stay", stay)
            .from(source::PIPE_FLOW)
    });
    Ok(stay)
}

/// The greatest rate at which the fuel still rests so long after the filter.
///
/// # Errors
///
/// [`OutOfRange`] for [`BORE`], [`HOSE`], [`CHAMBER`] or [`REST`].
pub fn flow_for_residence(
    after: &AfterFilter,
    wanted: Time,
    trace: &mut impl Trace,
) -> Result<VolumeRate, OutOfRange> {
    let flow = after.contents()? / REST.check(wanted)?;
    trace.step(|| {
        Step::new("rate for the rest", "q = (pi d^2 / 4 l + chamber) / stay")
            .with("bore", after.bore)
            .with("l", after.length)
            .with("chamber", after.chamber)
            .with("stay", wanted)
            .gives("flow", flow)
            .from(source::PIPE_FLOW)
    });
    Ok(flow)
}

/// Whether fuel must rest after the filter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// It conducts well enough without.
    NotAsked,
    /// It conducts too badly.
    Asked,
    /// Nobody measured it, so it must.
    AskedUnmeasured,
}

impl Rest {
    /// Judges a conductivity against that above which no rest is asked. Exactly that one is not
    /// above it.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`CONDUCTIVITY`], of either.
    pub fn by_conductivity(
        measured: Option<ElectricalConductivity>,
        enough: ElectricalConductivity,
        trace: &mut impl Trace,
    ) -> Result<Self, OutOfRange> {
        let enough = CONDUCTIVITY.check(enough)?;
        let found = match measured.map(|kappa| CONDUCTIVITY.check(kappa)).transpose()? {
            None => Self::AskedUnmeasured,
            Some(kappa) if kappa > enough => Self::NotAsked,
            Some(_) => Self::Asked,
        };
        trace.step(|| {
            let step = Step::new("rest asked", "not asked where kappa > kappa enough");
            let step = match measured {
                Some(kappa) => step.with("kappa", kappa),
                None => step,
            };
            step.with("kappa enough", enough).from(source::MIL_HDBK_1022).remark(found.words())
        });
        Ok(found)
    }

    /// The answer as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotAsked => "not asked: the fuel conducts",
            Self::Asked => "asked",
            Self::AskedUnmeasured => "asked: the conductivity is not known",
        }
    }
}

/// What a charged body carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spark {
    /// Its charge.
    pub charge: ElectricCharge,
    /// The energy that a spark from it can set free.
    pub energy: Energy,
}

/// Charge and energy of a body by its capacitance and voltage.
///
/// # Errors
///
/// [`OutOfRange`] for [`CAPACITANCE`] or [`VOLTAGE`].
pub fn spark(
    capacitance: Capacitance,
    voltage: ElectricPotential,
    trace: &mut impl Trace,
) -> Result<Spark, OutOfRange> {
    let c = CAPACITANCE.check(capacitance)?.si();
    let v = VOLTAGE.check(voltage)?.si();
    let found =
        Spark { charge: ElectricCharge::from_si(c * v), energy: Energy::from_si(0.5 * c * v * v) };
    trace.step(|| {
        Step::new("energy of a spark", "Q = C V, E = C V^2 / 2")
            .with("C", capacitance)
            .with("V", voltage)
            .gives("Q", found.charge)
            .gives("E", found.energy)
            .from(source::ELECTROSTATICS)
            .remark("all of it in one spark: the most that can be")
    });
    Ok(found)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        trace::Silent,
        unit::{MILLIJ, PERCENT, UC},
    };

    fn kappa(value: f64) -> ElectricalConductivity {
        ElectricalConductivity::of(value, PS_M)
    }

    fn tau(eps_r: f64, conductivity: f64) -> Result<Time, OutOfRange> {
        liquid_relaxation(Ratio::from_si(eps_r), kappa(conductivity), &mut Silent)
    }

    fn bore(value: f64) -> Length {
        Length::of(value, MM)
    }

    fn flow(value: f64) -> VolumeRate {
        VolumeRate::of(value, L_MIN)
    }

    fn limits(velocity: f64, velocity_bore: Option<f64>) -> FlowLimits {
        FlowLimits {
            velocity: Velocity::of(velocity, M_S),
            velocity_bore: velocity_bore.map(AreaRate::from_si),
        }
    }

    fn hose(bore_mm: f64, length: f64, chamber: f64) -> AfterFilter {
        AfterFilter {
            bore: bore(bore_mm),
            length: Length::of(length, M),
            chamber: Volume::of(chamber, L),
        }
    }

    fn body(picofarad: f64, kilovolt: f64) -> Result<Spark, OutOfRange> {
        let capacitance = Capacitance::of(picofarad, PF);
        spark(capacitance, ElectricPotential::of(kilovolt, KV), &mut Silent)
    }

    /// mpmath, 40 digits, permittivity of free space of CODATA 2018.
    #[test]
    fn relaxation_equals_exact_arithmetic() {
        for (eps_r, conductivity, exact) in
            [(2.0, 1.0, 17.708_375_625_6), (2.15, 4.7, 4.050_319_956_918_949)]
        {
            let found = tau(eps_r, conductivity).unwrap().si();
            assert!((found - exact).abs() < 1e-12, "{eps_r} {conductivity}: {found}");
        }
        let left = charge_left(tau(2.0, 1.0).unwrap(), Time::of(30.0, S), &mut Silent).unwrap();
        assert!((left.si() - 0.183_762_043_338_355_3).abs() < 1e-15);
    }

    /// API RP 2003, from memory: 18 by the conductivity, rounded there from 17.7.
    #[test]
    fn relaxation_agrees_with_the_short_form() {
        for conductivity in [1.0, 10.0, 50.0] {
            let found = tau(2.0, conductivity).unwrap().si();
            assert!((found * conductivity - 18.0).abs() < 0.3, "{conductivity}: {found}");
        }
    }

    /// A megohm and a person of 100 pF: a tenth of a millisecond.
    #[test]
    fn a_bond_of_a_megohm_is_fast_enough() {
        let (r, c) = (ElectricalResistance::of(1e6, OHM), Capacitance::of(100.0, PF));
        let found = body_relaxation(r, c, &mut Silent).unwrap();
        assert!((found.si() - 1e-4).abs() < 1e-18);
        let left = charge_left(found, Time::of(1e-4, S), &mut Silent).unwrap();
        assert!((left.si() - (-1.0_f64).exp()).abs() < 1e-15);
    }

    /// mpmath: 212.5 L/min in 38.1 mm.
    #[test]
    fn speed_in_the_hose_equals_exact_arithmetic() {
        let found = hose_flow(flow(212.5), bore(38.1), &mut Silent).unwrap();
        assert!((found.velocity.si() - 3.106_474_917_002_754).abs() < 1e-14);
        assert!((found.velocity_bore.si() - 0.118_356_694_337_804_93).abs() < 1e-15);
    }

    /// Figures computed for this work, four digits; limits of 7 m/s and 0.5 m2/s.
    #[test]
    fn greatest_rates_are_as_quoted() {
        for (bore_mm, velocity, litres, governs) in [
            (25.0, 7.0, 206.2, Governs::Velocity),
            (50.0, 7.0, 824.7, Governs::Velocity),
            (100.0, 5.0, 2356.0, Governs::VelocityBore),
        ] {
            let limits = limits(7.0, Some(0.5));
            let found = greatest_flow(bore(bore_mm), &limits, &mut Silent).unwrap();
            assert!((found.velocity.si() - velocity).abs() < 1e-12, "{bore_mm}");
            assert!((found.flow.count(L_MIN) - litres).abs() < 0.5, "{bore_mm}: {found:?}");
            assert_eq!(found.governs, governs, "{bore_mm}");
        }
        let slow = greatest_flow(bore(25.0), &limits(1.0, None), &mut Silent).unwrap();
        assert!((slow.flow.count(L_MIN) - 29.45).abs() < 0.005);
    }

    /// mpmath: 15 m of 25 mm and a chamber of 12.5 L at 40 L/min.
    #[test]
    fn rest_after_the_filter_equals_exact_arithmetic() {
        let stay = residence(&hose(25.0, 15.0, 12.5), flow(40.0), &mut Silent).unwrap();
        assert!((stay.si() - 29.794_661_672_776_68).abs() < 1e-12);
    }

    /// MIL-HDBK-1022A, second hand: 30 s unless the conductivity is above 50 pS/m.
    #[test]
    fn rest_is_asked_up_to_the_conductivity_and_where_none_was_measured() {
        for (measured, rest) in [
            (Some(50.1), Rest::NotAsked),
            (Some(50.0), Rest::Asked),
            (Some(0.8), Rest::Asked),
            (None, Rest::AskedUnmeasured),
        ] {
            let found = Rest::by_conductivity(measured.map(kappa), kappa(50.0), &mut Silent);
            assert_eq!(found.unwrap(), rest, "{measured:?}");
        }
        for bad in [0.0, f64::NAN] {
            assert!(Rest::by_conductivity(Some(kappa(bad)), kappa(50.0), &mut Silent).is_err());
            assert!(Rest::by_conductivity(None, kappa(bad), &mut Silent).is_err());
        }
    }

    /// 20 pF at 50 kV: 1 uC and 25 mJ. A page prints 30 mJ, which is read off a nomogram.
    #[test]
    fn spark_energy_is_computed_and_not_read_off_a_nomogram() {
        let found = body(20.0, 50.0).unwrap();
        assert!((found.charge.count(UC) - 1.0).abs() < 1e-12);
        assert!((found.energy.count(MILLIJ) - 25.0).abs() < 1e-12);
    }

    /// A person of 100 pF, published with two digits, second hand: 1.3 is printed for 1.25.
    #[test]
    fn sparks_from_a_person_are_as_published() {
        for (kilovolt, printed) in [(3.0, 0.45), (5.0, 1.3), (10.0, 5.0)] {
            let found = body(100.0, kilovolt).unwrap().energy.count(MILLIJ);
            assert!((found - printed).abs() < 0.051, "{kilovolt} kV: {found}");
        }
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (eps_r, conductivity, ok) in [
            (1.0, 1e-3, true),
            (0.99, 1.0, false),
            (100.0, 1e6, true),
            (100.1, 1.0, false),
            (2.0, 0.9e-3, false),
            (2.0, 1.1e6, false),
            (f64::NAN, 1.0, false),
            (2.0, f64::INFINITY, false),
        ] {
            assert_eq!(tau(eps_r, conductivity).is_ok(), ok, "{eps_r} {conductivity}");
        }
        for (after, ok) in
            [(0.0, true), (-1.0, false), (86_400.0, true), (86_401.0, false), (f64::NAN, false)]
        {
            let found = charge_left(Time::of(1.0, S), Time::of(after, S), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{after}");
        }
        for (litres, millimetres, ok) in [
            (1e-3, 1.0, true),
            (0.0, 25.0, false),
            (20_000.0, 500.0, true),
            (20_001.0, 25.0, false),
            (40.0, 0.9, false),
            (40.0, 501.0, false),
            (f64::NAN, 25.0, false),
            (40.0, f64::INFINITY, false),
        ] {
            let found = hose_flow(flow(litres), bore(millimetres), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{litres} {millimetres}");
        }
        for (velocity, velocity_bore, ok) in [
            (0.01, Some(1e-3), true),
            (0.009, None, false),
            (50.0, Some(50.0), true),
            (50.1, None, false),
            (7.0, Some(0.9e-3), false),
            (7.0, Some(50.1), false),
            (f64::NAN, None, false),
            (7.0, Some(f64::NAN), false),
        ] {
            let limits = limits(velocity, velocity_bore);
            let found = greatest_flow(bore(25.0), &limits, &mut Silent);
            assert_eq!(found.is_ok(), ok, "{velocity} {velocity_bore:?}");
        }
    }

    #[test]
    fn both_sides_of_the_bounds_of_hoses_and_bodies() {
        for (length, chamber, rest, ok) in [
            (0.0, 1.0, 0.1, true),
            (-0.1, 1.0, 30.0, false),
            (500.0, 20_000.0, 3600.0, true),
            (500.1, 0.0, 30.0, false),
            (10.0, -0.1, 30.0, false),
            (10.0, 20_001.0, 30.0, false),
            (10.0, 0.0, 0.09, false),
            (10.0, 0.0, 3601.0, false),
            (f64::NAN, 0.0, 30.0, false),
            (10.0, f64::INFINITY, 30.0, false),
        ] {
            let hose = hose(25.0, length, chamber);
            let found = flow_for_residence(&hose, Time::of(rest, S), &mut Silent);
            assert_eq!(found.is_ok(), ok, "{length} {chamber} {rest}");
        }
        for (picofarad, kilovolt, ok) in [
            (0.1, 0.0, true),
            (0.09, 1.0, false),
            (1e6, 500.0, true),
            (1.1e6, 1.0, false),
            (100.0, -0.1, false),
            (100.0, 501.0, false),
            (f64::NAN, 1.0, false),
            (100.0, f64::INFINITY, false),
        ] {
            assert_eq!(body(picofarad, kilovolt).is_ok(), ok, "{picofarad} {kilovolt}");
        }
        for (ohm, picofarad, ok) in [
            (1e-3, 1.0, true),
            (0.9e-3, 1.0, false),
            (1e15, 1.0, true),
            (1.1e15, 1.0, false),
            (f64::NAN, 1.0, false),
            (1.0, 0.0, false),
        ] {
            let (r, c) = (ElectricalResistance::of(ohm, OHM), Capacitance::of(picofarad, PF));
            assert_eq!(body_relaxation(r, c, &mut Silent).is_ok(), ok, "{ohm} {picofarad}");
        }
    }

    proptest! {
        #[test]
        fn the_greatest_rate_keeps_both_limits_and_touches_one(
            bore_mm in 5.0..400.0_f64, cap in 0.1..20.0_f64, cap_bore in 0.01..5.0_f64,
        ) {
            let limits = limits(cap, Some(cap_bore));
            let most = greatest_flow(bore(bore_mm), &limits, &mut Silent).unwrap();
            prop_assume!(FLOW.check(most.flow).is_ok());
            let found = hose_flow(most.flow, bore(bore_mm), &mut Silent).unwrap();
            let (v, vd) = (found.velocity.si() / cap, found.velocity_bore.si() / cap_bore);
            prop_assert!(v < 1.0 + 1e-12 && vd < 1.0 + 1e-12, "{v} {vd}");
            prop_assert!((v.max(vd) - 1.0).abs() < 1e-12, "{v} {vd}");
        }

        #[test]
        fn the_rate_for_a_rest_gives_that_rest(
            bore_mm in 5.0..100.0_f64, length in 1.0..100.0_f64,
            chamber in 0.0..100.0_f64, rest in 1.0..120.0_f64,
        ) {
            let hose = hose(bore_mm, length, chamber);
            let flow = flow_for_residence(&hose, Time::of(rest, S), &mut Silent).unwrap();
            prop_assume!(FLOW.check(flow).is_ok());
            let back = residence(&hose, flow, &mut Silent).unwrap();
            prop_assert!((back.si() / rest - 1.0).abs() < 1e-12);
        }

        #[test]
        fn charge_only_ever_leaves(conductivity in 0.01..1e4_f64, t in 0.0..500.0_f64) {
            let tau = tau(2.0, conductivity).unwrap();
            let left = |t| charge_left(tau, Time::of(t, S), &mut Silent).unwrap().count(PERCENT);
            prop_assert!(left(t + 1.0) <= left(t) && left(t) <= 100.0 && left(t) >= 0.0);
        }
    }
}
