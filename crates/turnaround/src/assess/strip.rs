//! The strip on the day: what the air and the wind are, and what mass it allows.

use stillprop_calc::{
    quantity::{Length, Mass},
    table::GreatestMass,
};

use crate::{
    limits::{
        Family, Id, Sink,
        strip::{mass_allowed, replay_air, replay_wind},
    },
    stage::{Choice, Stage, Unknown, density_altitude, runway::Components},
    units::{Round, Units, show},
};

/// A strip on the day.
#[derive(Clone, Debug, PartialEq)]
pub struct StripView {
    /// Direction of take-off.
    pub direction: String,
    /// Pressure altitude.
    pub pressure_altitude: Result<Length, Unknown>,
    /// Density altitude.
    pub density_altitude: Result<Length, Unknown>,
    /// Wind on that direction.
    pub wind: Result<Components, Unknown>,
    /// The greatest take-off mass that the strip allows now.
    pub mass_allowed: Result<GreatestMass, Unknown>,
}

pub(super) fn view<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) -> StripView {
    let (here, way) = (&stage.here, &stage.here.ways[choice.take_off]);
    let id = |name| Id::new(Family::Strip, name);
    let height = |name, height: &Result<Length, Unknown>, sink: &mut S| {
        let amount = height.as_ref().ok().map(|height| (*height).into());
        sink.number(id(name), amount, |units| {
            or_why(height, |height| show(*height, units.altitude, Round::Near))
        });
    };
    replay_air(here, sink.trace());
    height("pressure-altitude", &here.pressure_altitude, sink);
    // Found while preparing, by the same function.
    let density = density_altitude(&here.weather, here.elevation, &here.name, sink.trace());
    height("density-altitude", &density, sink);
    replay_wind(here, way, sink.trace());
    sink.number(id("wind"), None, |units| or_why(&way.wind, |wind| wind_words(wind, units)));
    let allowed = mass_allowed(stage, choice.take_off, sink.trace());
    let amount = allowed.as_ref().ok().and_then(of_mass).map(Into::into);
    sink.number(id("mass-allowed"), amount, |units| {
        or_why(&allowed, |mass| allowed_words(mass, units))
    });
    StripView {
        direction: way.name.clone(),
        pressure_altitude: here.pressure_altitude.clone(),
        density_altitude: density,
        wind: way.wind.clone(),
        mass_allowed: allowed,
    }
}

fn or_why<T>(found: &Result<T, Unknown>, says: impl FnOnce(&T) -> String) -> String {
    found.as_ref().map_or_else(|why| format!("unknown ({why})"), says)
}

/// Along and across the strip, rounded against the user.
fn wind_words(wind: &Components, units: &Units) -> String {
    let cross = units.speed(wind.cross, Round::Up);
    if wind.head.value < 0.0 {
        format!("tailwind {}, across {cross}", units.speed(-wind.head, Round::Up))
    } else {
        format!("headwind {}, across {cross}", units.speed(wind.head, Round::Down))
    }
}

const fn of_mass(found: &GreatestMass) -> Option<Mass> {
    match found {
        GreatestMass::Some(mass) | GreatestMass::WholeChart(mass) => Some(*mass),
        GreatestMass::AnyMass | GreatestMass::None => None,
    }
}

fn allowed_words(found: &GreatestMass, units: &Units) -> String {
    match found {
        GreatestMass::Some(mass) => units.mass(*mass, Round::Down),
        GreatestMass::WholeChart(mass) => {
            format!("the whole chart, to {}", units.mass(*mass, Round::Down))
        }
        GreatestMass::AnyMass => "any mass: the charts do not depend on it".to_owned(),
        GreatestMass::None => "no mass of the chart".to_owned(),
    }
}
