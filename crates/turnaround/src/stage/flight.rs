//! The onward flight: what each leg takes in time and fuel, and the fuel ladder.
//!
//! Computed once while a turnaround is prepared, with the same function that later leaves
//! the working.

use stillprop_calc::{
    fuel::{self, Ladder},
    geodesy::{self, Ellipsoid, Position},
    quantity::{Angle, FromAmount, Length, Ratio, Time, Velocity, Volume, VolumeRate},
    trace::{Silent, Step, Trace},
    unit,
    wind::{Triangle, Wind, wind_triangle},
};

use super::{Figures, Unknown, words};
use crate::{
    document::{
        aircraft::{Burn, Cruise},
        turnaround,
    },
    weather::{SurfaceWind, full_circle},
};

/// What a leg needs to be reckoned.
#[derive(Clone, Debug)]
pub struct Leg {
    /// Name.
    pub name: String,
    /// Distance and true track, typed or from positions.
    pub course: Result<(Length, Angle), Unknown>,
    /// Wind at cruise.
    pub wind: Option<SurfaceWind>,
    /// True airspeed.
    pub tas: Velocity,
    /// Burn in cruise.
    pub burn: VolumeRate,
    /// Time on the ground after it.
    pub stop: Time,
}

/// What a leg takes.
#[derive(Clone, Debug, PartialEq)]
pub struct LegPlan {
    /// Name.
    pub name: String,
    /// Distance.
    pub distance: Length,
    /// True track.
    pub track: Angle,
    /// Groundspeed outbound.
    pub groundspeed: Velocity,
    /// Time in the air.
    pub time: Time,
    /// Trip fuel.
    pub fuel: Volume,
    /// From chocks off here to this landing, holding included.
    pub lands_after: Time,
    /// Fuel used from chocks off here to this landing, holding included.
    pub used: Volume,
}

/// What one leg takes by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Takes {
    /// Distance.
    pub distance: Length,
    /// True track.
    pub track: Angle,
    /// Groundspeed outbound.
    pub groundspeed: Velocity,
    /// Time in the air.
    pub time: Time,
    /// Trip fuel.
    pub fuel: Volume,
}

impl LegPlan {
    /// A leg of which nothing is reckoned yet.
    fn blank(leg: &Leg) -> Self {
        let none = Time::from_si(0.0);
        Self {
            name: leg.name.clone(),
            distance: Length::from_si(0.0),
            track: Angle::from_si(0.0),
            groundspeed: Velocity::from_si(0.0),
            time: none,
            fuel: Volume::from_si(0.0),
            lands_after: none,
            used: Volume::from_si(0.0),
        }
    }

    fn take(&mut self, takes: Takes) {
        let Takes { distance, track, groundspeed, time, fuel } = takes;
        (self.distance, self.track, self.groundspeed) = (distance, track, groundspeed);
        (self.time, self.fuel) = (time, fuel);
    }
}

/// The whole flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Legs.
    pub legs: Vec<LegPlan>,
    /// The ladder.
    pub ladder: Ladder,
    /// Sum of the ladder.
    pub required: Volume,
    /// Burn that the final reserve is reckoned with.
    pub reserve_burn: VolumeRate,
}

/// Inputs of [`plan`] that do not come from the pack.
#[derive(Clone, Debug)]
pub struct Onward {
    /// Legs in order.
    pub legs: Vec<Leg>,
    /// From the last destination.
    pub alternate: Option<Leg>,
    /// Time to hold.
    pub holding: Time,
    /// The pilot's extra.
    pub extra: Volume,
}

/// Reckons legs and ladder.
///
/// # Errors
///
/// The first thing that is not known, in words.
pub fn plan(
    onward: &Onward,
    burn: &Burn,
    figures: &Figures,
    trace: &mut impl Trace,
) -> Result<Plan, Unknown> {
    let none = Volume::from_si(0.0);
    let mut plan = Plan {
        legs: onward.legs.iter().map(LegPlan::blank).collect(),
        ladder: Ladder {
            start_and_taxi: none,
            trip: none,
            contingency: none,
            alternate: none,
            holding: none,
            final_reserve: none,
            extra: none,
        },
        required: none,
        reserve_burn: burn.hold.value,
    };
    replan(&mut plan, onward, burn, figures, trace)?;
    Ok(plan)
}

/// Reckons the legs of a plan anew, in the memory it has: the same legs in another wind or with
/// another burn.
///
/// # Errors
///
/// The first thing that is not known, in words; the plan is then worth nothing.
pub fn replan(
    plan: &mut Plan,
    onward: &Onward,
    burn: &Burn,
    figures: &Figures,
    trace: &mut impl Trace,
) -> Result<(), Unknown> {
    fly(&mut plan.legs, onward, burn, trace)?;
    let trip: Volume = plan.legs.iter().map(|leg| leg.fuel).sum();
    let alternate = alternate(onward, burn, trace)?;
    let contingency = contingency(trip, figures, trace)?;
    let (final_reserve, reserve_burn) = final_reserve(onward, burn, figures, trace)?;
    let held = holding(onward, burn, trace)?;
    // Holding comes before the last landing: it is later and lighter by that much.
    if let Some(last) = plan.legs.last_mut() {
        last.lands_after += onward.holding;
        last.used += held;
    }
    plan.ladder = Ladder {
        start_and_taxi: start_and_taxi(onward, burn, trace),
        trip,
        contingency,
        alternate,
        holding: held,
        final_reserve,
        extra: onward.extra,
    };
    plan.required = plan.ladder.required(trace);
    plan.reserve_burn = reserve_burn;
    Ok(())
}

/// Every leg, with what is used and how long it takes up to its landing; holding is not in it.
///
/// # Errors
///
/// The first thing that is not known, in words.
pub fn flown(
    onward: &Onward,
    burn: &Burn,
    trace: &mut impl Trace,
) -> Result<Vec<LegPlan>, Unknown> {
    let mut legs: Vec<LegPlan> = onward.legs.iter().map(LegPlan::blank).collect();
    fly(&mut legs, onward, burn, trace)?;
    Ok(legs)
}

fn fly(
    legs: &mut [LegPlan],
    onward: &Onward,
    burn: &Burn,
    trace: &mut impl Trace,
) -> Result<(), Unknown> {
    if onward.legs.is_empty() {
        return Err("no onward leg is given".into());
    }
    let (mut elapsed, mut used) = (Time::from_si(0.0), Volume::from_si(0.0));
    for (leg, planned) in onward.legs.iter().zip(legs) {
        planned.take(takes(leg, burn, trace)?);
        elapsed += burn.taxi_time.value + planned.time;
        used += burn.start_and_taxi.value + planned.fuel;
        (planned.lands_after, planned.used) = (elapsed, used);
        elapsed += leg.stop;
    }
    Ok(())
}

/// Fuel to the alternate; none where none is planned.
///
/// # Errors
///
/// The first thing that is not known, in words.
pub fn alternate(onward: &Onward, burn: &Burn, trace: &mut impl Trace) -> Result<Volume, Unknown> {
    let leg = onward.alternate.as_ref();
    leg.map_or_else(|| Ok(Volume::from_si(0.0)), |leg| Ok(takes(leg, burn, trace)?.fuel))
}

/// The share of the trip that the pack asks for.
///
/// # Errors
///
/// Why there is no share.
pub fn contingency(
    trip: Volume,
    figures: &Figures,
    trace: &mut impl Trace,
) -> Result<Volume, Unknown> {
    let share = figures.contingency.as_ref().map_err(Clone::clone)?;
    trace.step(|| share.step("contingency share of the pack", "share"));
    fuel::contingency(trip, share.value, trace).map_err(words)
}

/// The reserve of the pack, with the burn it is reckoned with.
///
/// # Errors
///
/// Why there is no reserve.
pub fn final_reserve(
    onward: &Onward,
    burn: &Burn,
    figures: &Figures,
    trace: &mut impl Trace,
) -> Result<(Volume, VolumeRate), Unknown> {
    let reserve = figures.final_reserve.as_ref().map_err(Clone::clone)?;
    trace.step(|| reserve.step("final reserve of the pack", "t"));
    let greatest = onward.legs.iter().map(|leg| leg.burn).fold(burn.hold.value, greater);
    let volume = fuel::time_fuel(reserve.value, greatest, trace).map_err(words)?;
    Ok((volume, greatest))
}

/// Fuel for the holding that was asked for.
///
/// # Errors
///
/// When the time or the burn is beyond what is accepted.
pub fn holding(onward: &Onward, burn: &Burn, trace: &mut impl Trace) -> Result<Volume, Unknown> {
    fuel::time_fuel(onward.holding, burn.hold.value, trace).map_err(words)
}

/// Start and taxi once for each leg.
#[expect(clippy::cast_precision_loss, reason = "a handful of legs")]
pub fn start_and_taxi(onward: &Onward, burn: &Burn, trace: &mut impl Trace) -> Volume {
    let (once, count) = (burn.start_and_taxi.value, onward.legs.len() as f64);
    trace.step(|| {
        Step::new("start and taxi, once for each leg", "V = legs * once")
            .with("legs", Ratio::from_si(count))
            .with("once", once)
            .gives("V", once * count)
            .remark("once: the aircraft document")
    });
    once * count
}

/// The final reserve is reckoned with the greatest of holding and cruise burns, so that it is
/// enough whichever of them a rule means.
fn greater(a: VolumeRate, b: VolumeRate) -> VolumeRate {
    if a > b { a } else { b }
}

/// What one leg takes by itself.
///
/// # Errors
///
/// The first thing that is not known, in words.
pub fn takes(leg: &Leg, burn: &Burn, trace: &mut impl Trace) -> Result<Takes, Unknown> {
    let (distance, track) = *leg.course.as_ref().map_err(Clone::clone)?;
    let wind = leg.wind.ok_or_else(|| {
        format!(
            "the wind on `{}` is not known: not given, or magnetic without a variation",
            leg.name
        )
    })?;
    trace.step(|| {
        Step::new(format!("leg {}", leg.name), "")
            .with("D", distance)
            .with("track", track)
            .with("TAS", leg.tas)
    });
    let groundspeed = groundspeed(track, leg.tas, wind, trace)?
        .ok_or_else(|| format!("`{}` cannot be flown in that wind at that airspeed", leg.name))?;
    let none = (Volume::from_si(0.0), Time::from_si(0.0), Length::from_si(0.0));
    let (climb_fuel, climb_time, climbed) = burn
        .climb
        .as_ref()
        .map_or(none, |climb| (climb.fuel.value, climb.time.value, climb.distance.value));
    let level =
        in_cruise([distance.si(), leg.tas.si(), groundspeed.si(), climb_time.si(), climbed.si()]);
    let cruise = Length::from_si(level);
    let cruise_time = fuel::leg_time(cruise, groundspeed, trace).map_err(words)?;
    let cruise_fuel = fuel::time_fuel(cruise_time, leg.burn, trace).map_err(words)?;
    let (time, fuel) = (climb_time + cruise_time, climb_fuel + cruise_fuel);
    trace.step(|| {
        Step::new("leg with its climb", "climb + cruise")
            .with("climb fuel", climb_fuel)
            .with("climb time", climb_time)
            .gives("t", time)
            .gives("V", fuel)
    });
    Ok(Takes { distance, track, groundspeed, time, fuel })
}

/// The part of a leg that is flown in cruise, in SI: distance, true airspeed, groundspeed, and time and
/// distance of the climb.
///
/// The manual's climb distance is through the air: a headwind makes it shorter over the ground. A
/// tailwind is not counted.
#[must_use]
#[inline(always)]
pub fn in_cruise([distance, tas, groundspeed, climb_time, climbed]: [f64; 5]) -> f64 {
    let drift = (groundspeed - tas) * climb_time;
    let climbed = climbed + if drift < 0.0 { drift } else { 0.0 };
    let level = distance - if climbed > 0.0 { climbed } else { 0.0 };
    if level > 0.0 { level } else { 0.0 }
}

/// Groundspeed on the way back along a leg in the same wind, when it can be flown.
#[must_use]
pub fn home(leg: &Leg) -> Option<Velocity> {
    let (_, track) = *leg.course.as_ref().ok()?;
    let back = full_circle(track + Angle::of(180.0, unit::DEG));
    groundspeed(back, leg.tas, leg.wind?, &mut Silent).ok()?
}

/// Groundspeed on a track; `None` when it cannot be flown. A wind whose direction is not
/// known is taken as blowing straight from ahead.
fn groundspeed(
    track: Angle,
    tas: Velocity,
    wind: SurfaceWind,
    trace: &mut impl Trace,
) -> Result<Option<Velocity>, Unknown> {
    let wind = Wind { from: wind.from.unwrap_or(track), speed: wind.speed };
    Ok(match wind_triangle(track, tas, wind, trace).map_err(words)? {
        Triangle::Flown(solution) => Some(solution.groundspeed),
        Triangle::CannotBeFlown(_) => None,
    })
}

/// Course of a leg: what is typed, else from the positions of its ends.
///
/// # Errors
///
/// What is missing, in words.
pub fn course(
    name: &str,
    distance: Option<Length>,
    track: Option<Option<Angle>>,
    ends: (Option<Position>, Option<Position>),
    trace: &mut impl Trace,
) -> Result<(Length, Angle), Unknown> {
    let line = match ends {
        (Some(from), Some(to)) => {
            Some(geodesy::inverse(Ellipsoid::Wgs84, from, to, trace).map_err(words)?)
        }
        _ => None,
    };
    let bearing = line.and_then(|line| line.bearings).map(|bearings| bearings.initial);
    if let Some(typed) = distance {
        trace.step(|| {
            let step = Step::new("distance as typed", "").gives("D", typed);
            step.remark("the turnaround document; it goes before the line between the positions")
        });
    }
    let distance = distance.or(line.map(|line| line.distance));
    let track = match track {
        Some(typed) => Some(typed.ok_or_else(|| {
            format!("the track of `{name}` is magnetic and the variation is not known")
        })?),
        None => bearing,
    };
    match (distance, track) {
        (Some(distance), Some(track)) => Ok((distance, full_circle(track))),
        (None, _) => Err(format!("the distance of `{name}` is not given")),
        (_, None) => Err(format!("the track of `{name}` is not given")),
    }
}

/// The cruise setting of a name.
#[must_use]
pub fn cruise<'a>(burn: &'a Burn, setting: &str) -> Option<&'a Cruise> {
    burn.cruise.iter().find(|cruise| cruise.setting.value == setting)
}

/// A typed wind with its true direction.
#[must_use]
pub fn wind(typed: Option<&turnaround::Wind>, variation: Option<Angle>) -> Option<SurfaceWind> {
    crate::weather::typed_wind(typed?, variation)
}
