//! The aeroplane at each stage of the flight.

use stillprop_calc::{
    burn::{Worst, state_at},
    load::Loading,
    quantity::{FromAmount, Length, Mass, Volume},
    trace::Silent,
};

use crate::{
    limits::load::{Masses, masses, missing, worst_points},
    stage::{Choice, Stage, Unknown},
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
pub(super) fn states(stage: &Stage, choice: &Choice) -> Result<Vec<LoadState>, Unknown> {
    let masses = masses(stage, choice, &mut Silent);
    let density = stage.density.as_ref().map_err(Clone::clone)?.value;
    let (Some(loading), Some(ramp)) = (masses.zero_fuel_loading(), masses.ramp) else {
        return Err(missing(stage));
    };
    let aboard = (ramp - loading.mass) / density;
    let taxi = stage.documents.aircraft.burn.start_and_taxi.value;
    let mut stops = vec![("ramp".to_owned(), aboard), ("take-off".to_owned(), aboard - taxi)];
    if let Ok(plan) = &stage.plan {
        stops.extend(
            plan.legs.iter().map(|leg| (format!("landing {}", leg.name), aboard - leg.used)),
        );
    }
    stops.push(("zero fuel".to_owned(), Volume::from_si(0.0)));
    let state = |(name, fuel): (String, Volume)| {
        let at = at(stage, loading, &masses, fuel * density);
        load_state(stage, name, at, fuel)
    };
    let mut states: Vec<LoadState> = stops
        .into_iter()
        .filter(|(_, fuel)| fuel.value >= 0.0)
        .map(state)
        .collect::<Result<_, Unknown>>()?;
    states.extend(between(stage, &masses, &states));
    Ok(states)
}

/// The worst points of the burn that are none of the states: outside in mid-burn, or nearest
/// to it.
fn between(stage: &Stage, masses: &Masses, states: &[LoadState]) -> Vec<LoadState> {
    let Ok((envelope, loading, worst)) = worst_points(stage, masses, &mut Silent) else {
        return Vec::new();
    };
    let Ok(density) = &stage.density else { return Vec::new() };
    let points = [("farthest forward", worst.forward), ("farthest aft", worst.aft)];
    let fresh = points.into_iter().filter(|(_, point)| {
        states.iter().all(|state| (state.mass - point.mass).value.abs() > 0.5)
    });
    let state = |(name, point): (&str, Worst)| {
        let cut = envelope.cut(point.mass);
        LoadState {
            name: name.into(),
            mass: point.mass,
            arm: point.arm,
            allowed: Some((cut.forward, cut.aft)),
            fuel: (point.mass - loading.mass) / density.value,
        }
    };
    fresh.map(state).collect()
}

fn at(stage: &Stage, loading: Loading, masses: &Masses, stop: Mass) -> Loading {
    let fuel = masses.tank_fuel(stage.burn_tanks.len());
    state_at(loading, &stage.burn_tanks, fuel, stop)
}

fn load_state(
    stage: &Stage,
    name: String,
    loading: Loading,
    fuel: Volume,
) -> Result<LoadState, Unknown> {
    let arm = loading.centre_of_gravity(&mut Silent).map_err(|error| error.to_string())?;
    let allowed = stage.envelope.as_ref().ok().map(|envelope| {
        let cut = envelope.cut(loading.mass);
        (cut.forward, cut.aft)
    });
    Ok(LoadState { name, mass: loading.mass, arm, allowed, fuel })
}
