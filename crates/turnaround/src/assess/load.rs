//! The aeroplane at each stage of the flight.

use stillprop_calc::{
    burn::state_at,
    load::Loading,
    quantity::{FromAmount, Length, Mass, MassDensity, Volume},
    source,
    trace::{Silent, Step, Trace},
};

use crate::{
    limits::{
        Family, Id, Sink,
        load::{Masses, Nearest, leg_name, masses, missing, worst_points, zero_fuel},
    },
    stage::{Choice, Stage, Unknown},
    units::Round,
};

/// Mass and balance at one point of the flight.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadState {
    /// Which: `take-off`, `landing Oumbrel`.
    pub name: String,
    /// Mass.
    pub mass: Mass,
    /// Arm of the centre of gravity.
    pub arm: Length,
    /// Foremost and aftmost arm allowed at that mass; `None` without an envelope.
    pub allowed: Option<(Length, Length)>,
    /// Usable fuel aboard.
    pub fuel: Volume,
}

/// Ramp, take-off, each landing, empty tanks.
pub(super) fn states<S: Sink>(
    stage: &Stage,
    choice: &Choice,
    sink: &mut S,
) -> Result<Vec<LoadState>, Unknown> {
    let masses = masses(stage, choice, sink.trace());
    sink.share();
    let density = stage.density.as_ref().map_err(Clone::clone)?.value;
    let (Some(loading), Some(ramp)) = (masses.zero_fuel_loading(), masses.ramp) else {
        return Err(missing(stage));
    };
    let aboard = (ramp - loading.mass) / density;
    let taxi = stage.documents.aircraft.burn.start_and_taxi.value;
    let none = Volume::from_si(0.0);
    let mut stops = vec![("ramp".to_owned(), none, 0), ("take-off".to_owned(), taxi, 0)];
    for (index, leg) in stage.plan.iter().flat_map(|plan| plan.legs.iter().enumerate()) {
        stops.push((format!("landing {}", leg.name), leg.used, index));
        if stage.leaves.lighter(index + 1) {
            stops.push((format!("leaving {}", leg.name), leg.used, index + 1));
        }
    }
    stops.push(("zero fuel".to_owned(), aboard, 0));
    if let Some(last) = stage.leaves.later().last() {
        let name = format!("zero fuel to {}", leg_name(stage, last));
        stops.push((name, aboard, last));
    }
    let mut states = Vec::with_capacity(stops.len() + 2);
    for (name, used, leg) in stops.into_iter().filter(|(_, used, _)| *used <= aboard) {
        let on = match leg {
            0 => Some(loading),
            leg => zero_fuel(stage, choice, leg, sink.trace()),
        };
        let Some(loading) = on else { return Err(missing(stage)) };
        let left = aboard - used;
        let fuel = masses.tank_fuel(stage.burn_tanks.len());
        let at = state_at(loading, &stage.burn_tanks, fuel, left * density);
        let arm = at.centre_of_gravity(&mut Silent).map_err(|error| error.to_string())?;
        let allowed = stage.envelope.as_ref().ok().map(|envelope| {
            let cut = envelope.cut(at.mass);
            (cut.forward, cut.aft)
        });
        let state = LoadState { name, mass: at.mass, arm, allowed, fuel: left };
        let before = (aboard, used);
        numbers(
            &state,
            sink,
            |trace| left_step(trace, before, left, density),
            |trace| {
                trace.step(|| at_step(loading, left * density, at));
                let _again = at.centre_of_gravity(trace);
            },
        );
        states.push(state);
    }
    states.extend(between(stage, choice, &masses, &states, sink));
    sink.fresh();
    Ok(states)
}

/// The five numbers of a state. `fuel` and `arm` leave the steps behind its fuel, and behind its
/// mass and balance.
fn numbers<S: Sink>(
    state: &LoadState,
    sink: &mut S,
    fuel: impl Fn(&mut S::Trace),
    arm: impl Fn(&mut S::Trace),
) {
    let id = |name| Id::of(Family::Load, name, &state.name);
    let (mass, at, left) = (state.mass, state.arm, state.fuel);
    arm(sink.trace());
    sink.number(id("mass"), Some(mass.into()), |units| units.mass(mass, Round::Up));
    arm(sink.trace());
    sink.number(id("balance"), Some(at.into()), |units| units.arm(at));
    for (name, allowed) in
        [("forward", state.allowed.map(|both| both.0)), ("aft", state.allowed.map(|both| both.1))]
    {
        if let Some(allowed) = allowed {
            sink.trace().step(|| {
                Step::new(
                    format!("{name} boundary of the envelope at that mass"),
                    "straight between the corners of the envelope",
                )
                .with("m", mass)
                .gives("limit", allowed)
                .from(source::PLANE_GEOMETRY)
            });
        }
        sink.number(id(name), allowed.map(Into::into), |units| {
            allowed.map_or_else(|| "unknown".to_owned(), |arm| units.arm(arm))
        });
    }
    fuel(sink.trace());
    sink.number(id("fuel"), Some(left.into()), |units| units.fuel(left, Round::Down));
}

fn left_step(
    trace: &mut impl Trace,
    (aboard, used): (Volume, Volume),
    left: Volume,
    density: MassDensity,
) {
    trace.step(|| {
        Step::new("usable fuel left", "left = aboard - used")
            .with("aboard", aboard)
            .with("used", used)
            .gives("left", left)
            .gives("m", left * density)
    });
}

fn at_step(dry: Loading, left: Mass, at: Loading) -> Step {
    let what = "with the fuel that is left, each tank at its arm";
    Step::new(what, "W = zero fuel + fuel; M = the sum of m x")
        .with("zero fuel", dry.mass)
        .with("fuel", left)
        .gives("W", at.mass)
        .gives("M", at.moment)
        .from(source::PHAK_BALANCE)
}

/// The worst points of the burn that are none of the states: outside in mid-burn, or nearest
/// to it.
fn between<S: Sink>(
    stage: &Stage,
    choice: &Choice,
    masses: &Masses,
    states: &[LoadState],
    sink: &mut S,
) -> Vec<LoadState> {
    let Ok(along) = worst_points(stage, choice, masses, sink.trace()) else {
        return Vec::new();
    };
    sink.share();
    let Ok(density) = &stage.density else { return Vec::new() };
    let points = ["farthest forward", "farthest aft"].into_iter().zip(along.sides);
    // With another load the same mass may have another balance.
    let sheds = stage.leaves.later().next().is_some();
    let fresh = points.filter(|(_, Nearest { point, .. })| {
        states.iter().all(|state| {
            let apart = sheds && (state.arm - point.arm).value.abs() > 0.001;
            apart || (state.mass - point.mass).value.abs() > 0.5
        })
    });
    let state = |(name, nearest): (&str, Nearest)| {
        let (point, loading) = (nearest.point, nearest.dry);
        let cut = along.envelope.cut(point.mass);
        let left = (point.mass - loading.mass) / density.value;
        let state = LoadState {
            name: name.into(),
            mass: point.mass,
            arm: point.arm,
            allowed: Some((cut.forward, cut.aft)),
            fuel: left,
        };
        let step = |trace: &mut S::Trace| {
            trace.step(|| {
                Step::new("usable fuel left", "V = (m - zero fuel) / density")
                    .with("m", point.mass)
                    .with("zero fuel", loading.mass)
                    .with("density", density.value)
                    .gives("V", left)
            });
        };
        numbers(&state, sink, step, |_| {});
        state
    };
    fresh.map(state).collect()
}
