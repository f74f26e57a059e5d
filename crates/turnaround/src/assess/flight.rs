//! The onward flight, light and the strip, as a person reads them.

use jiff::{Timestamp, tz::Offset};
use stillprop_calc::{
    fuel::{WayPoint, endurance, equal_time_point, point_of_no_return},
    quantity::{FromAmount, Length, Time, Volume},
    sun::Daylight,
    table::GreatestMass,
    trace::Silent,
};

use crate::{
    limits::strip::mass_allowed,
    stage::{
        Choice, Stage, Unknown,
        flight::{LegPlan, Plan, home},
        later,
        runway::Components,
    },
};

/// A landing with its time.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrival {
    /// The leg.
    pub leg: LegPlan,
    /// When it lands.
    pub at: Timestamp,
    /// Offset of the clock there.
    pub offset: Offset,
}

/// Point of no return and equal time point of the first leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Critical {
    /// Last point from which this strip is still reached with the final reserve intact.
    pub no_return: WayPoint,
    /// Point from which on and back take the same time.
    pub equal_time: WayPoint,
}

/// The onward flight.
#[derive(Clone, Debug, PartialEq)]
pub struct FlightView {
    /// Chocks off.
    pub departs: Timestamp,
    /// Landings.
    pub arrivals: Vec<Arrival>,
    /// Time from take-off until the tanks are empty, at the burn of the reserve; `None` when
    /// the fuel is not known.
    pub endurance: Option<Time>,
    /// Time until the final reserve is reached.
    pub above_reserve: Option<Time>,
    /// Critical points of the first leg, where it can be flown both ways.
    pub critical: Option<Critical>,
}

pub(super) fn view(stage: &Stage, choice: &Choice) -> Result<FlightView, Unknown> {
    let plan = stage.plan.as_ref().map_err(Clone::clone)?;
    let arrivals = plan.legs.iter().enumerate().map(|(index, leg)| Arrival {
        leg: leg.clone(),
        at: later(choice.departs, leg.lands_after),
        offset: stage.there[index].as_ref().map_or(stage.here.offset, |spot| spot.offset),
    });
    let taxi = stage.documents.aircraft.burn.start_and_taxi.value;
    let aboard = stage.fuel_aboard(choice).map(|aboard| aboard - taxi);
    let lasts = |fuel: Volume| {
        let none = Volume::from_si(0.0);
        let fuel = if fuel > none { fuel } else { none };
        endurance(fuel, plan.reserve_burn, &mut Silent).ok()
    };
    Ok(FlightView {
        departs: choice.departs,
        arrivals: arrivals.collect(),
        endurance: aboard.and_then(lasts),
        above_reserve: aboard.and_then(|aboard| lasts(aboard - plan.ladder.final_reserve)),
        critical: aboard.and_then(|aboard| critical(stage, plan, aboard)),
    })
}

fn critical(stage: &Stage, plan: &Plan, at_take_off: Volume) -> Option<Critical> {
    let leg = plan.legs.first()?;
    let back = home(stage.onward.legs.first()?)?;
    let free = at_take_off - plan.ladder.final_reserve;
    let time = endurance(free, plan.reserve_burn, &mut Silent).ok()?;
    Some(Critical {
        no_return: point_of_no_return(time, leg.groundspeed, back, &mut Silent).ok()?,
        equal_time: equal_time_point(leg.distance, leg.groundspeed, back, &mut Silent).ok()?,
    })
}

/// Light at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct LightView {
    /// The place.
    pub place: String,
    /// What the sun does there on the day.
    pub day: Result<Daylight, Unknown>,
    /// Offset of the clock there.
    pub offset: Offset,
}

pub(super) fn light(stage: &Stage, choice: &Choice) -> Vec<LightView> {
    let here = LightView {
        place: stage.here.name.clone(),
        day: stage.light.here.on(choice.departs, &mut Silent),
        offset: stage.here.offset,
    };
    let legs = stage.documents.turnaround.legs.iter().enumerate();
    let there = legs.map(|(index, leg)| {
        let spot = stage.there[index].as_ref();
        let lands = stage.plan.as_ref().ok().map(|plan| plan.legs[index].lands_after);
        let at = lands.map_or(choice.departs, |after| later(choice.departs, after));
        let light = stage.light.there[index].as_ref();
        LightView {
            place: spot.map_or_else(|| leg.name.value.clone(), |spot| spot.name.clone()),
            day: light
                .ok_or_else(|| "the position is not given".to_owned())
                .and_then(|light| light.on(at, &mut Silent)),
            offset: spot.map_or(stage.here.offset, |spot| spot.offset),
        }
    });
    let mut views: Vec<LightView> = Vec::new();
    for view in std::iter::once(here).chain(there) {
        // A flight that comes back here would say the same twice.
        if !views.contains(&view) {
            views.push(view);
        }
    }
    views
}

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

pub(super) fn strip(stage: &Stage, choice: &Choice) -> StripView {
    let way = &stage.here.ways[choice.take_off];
    StripView {
        direction: way.name.clone(),
        pressure_altitude: stage.here.pressure_altitude.clone(),
        density_altitude: stage.here.density_altitude.clone(),
        wind: way.wind.clone(),
        mass_allowed: mass_allowed(stage, choice.take_off),
    }
}
