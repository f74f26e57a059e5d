//! The onward flight, light and the strip, as a person reads them.

use jiff::{Timestamp, tz::Offset};
use stillprop_calc::{
    fuel::{WayPoint, endurance, equal_time_point, point_of_no_return},
    quantity::{FromAmount, Time, Volume},
    sun::Daylight,
    trace::{Step, Trace},
    unit,
};

use crate::{
    limits::{Family, Id, Sink, light::clock},
    stage::{
        Choice, Stage, Unknown,
        flight::{LegPlan, Plan, home, takes},
        later, leg_course,
    },
    units::{Round, Units, show},
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

pub(super) fn view<S: Sink>(
    stage: &Stage,
    choice: &Choice,
    sink: &mut S,
) -> Result<FlightView, Unknown> {
    let plan = stage.plan.as_ref().map_err(Clone::clone)?;
    let arrivals = plan.legs.iter().enumerate().map(|(index, leg)| Arrival {
        leg: leg.clone(),
        at: later(choice.departs, leg.lands_after),
        offset: stage.there[index].as_ref().map_or(stage.here.offset, |spot| spot.offset),
    });
    let arrivals: Vec<Arrival> = arrivals.collect();
    for (index, arrival) in arrivals.iter().enumerate() {
        leg(stage, choice, (index, arrival), sink);
    }
    let aboard = aboard_at_take_off(stage, choice, sink.trace());
    sink.share();
    let mut lasts = |name, fuel: Volume| {
        let none = Volume::from_si(0.0);
        let fuel = if fuel > none { fuel } else { none };
        let time = endurance(fuel, plan.reserve_burn, sink.trace()).ok()?;
        let says = |_: &Units| hours(time, Round::Down);
        sink.number(Id::new(Family::Flight, name), Some(time.into()), says);
        Some(time)
    };
    let all = aboard.and_then(|aboard| lasts("endurance", aboard));
    let reserve = plan.ladder.final_reserve;
    let above_reserve = aboard.and_then(|aboard| lasts("above-reserve", aboard - reserve));
    let critical = aboard.and_then(|aboard| critical(stage, plan, aboard, sink));
    sink.fresh();
    Ok(FlightView { departs: choice.departs, arrivals, endurance: all, above_reserve, critical })
}

fn aboard_at_take_off(stage: &Stage, choice: &Choice, trace: &mut impl Trace) -> Option<Volume> {
    let (aboard, taxi) =
        (stage.fuel_aboard(choice)?, stage.documents.aircraft.burn.start_and_taxi.value);
    trace.step(|| {
        Step::new("usable fuel at take-off", "V = aboard - taxi")
            .with("aboard", aboard)
            .with("taxi", taxi)
            .gives("V", aboard - taxi)
    });
    Some(aboard - taxi)
}

/// The numbers of a leg, reckoned again for a reader of the working.
fn leg<S: Sink>(stage: &Stage, choice: &Choice, (index, arrival): (usize, &Arrival), sink: &mut S) {
    let leg = &arrival.leg;
    let id = |name| Id::of(Family::Flight, name, &leg.name);
    if S::Trace::RECORDS {
        let turnaround = &stage.documents.turnaround;
        let _again = leg_course(turnaround, &stage.here, &stage.there, index, sink.trace());
    }
    sink.number(id("distance"), Some(leg.distance.into()), |units| {
        show(leg.distance, units.distance, Round::Near)
    });
    if let (true, Some(onward)) = (S::Trace::RECORDS, stage.onward.legs.get(index)) {
        let _again = takes(onward, &stage.documents.aircraft.burn, sink.trace());
        sink.share();
    }
    sink.number(id("groundspeed"), Some(leg.groundspeed.into()), |units| {
        units.speed(leg.groundspeed, Round::Down)
    });
    sink.number(id("time"), Some(leg.time.into()), |_| hours(leg.time, Round::Up));
    sink.number(id("fuel"), Some(leg.fuel.into()), |units| units.fuel(leg.fuel, Round::Up));
    sink.trace().step(|| {
        Step::new("landing", "chocks off + taxi and legs so far, with stops and holding")
            .gives("elapsed", leg.lands_after)
            .remark(format!("chocks off {}, lands {}", choice.departs, arrival.at))
    });
    sink.number(id("lands"), None, |_| clock(arrival.at, arrival.offset));
    sink.fresh();
}

fn critical<S: Sink>(
    stage: &Stage,
    plan: &Plan,
    at_take_off: Volume,
    sink: &mut S,
) -> Option<Critical> {
    let leg = plan.legs.first()?;
    let back = home(stage.onward.legs.first()?)?;
    let free = at_take_off - plan.ladder.final_reserve;
    let time = endurance(free, plan.reserve_burn, sink.trace()).ok()?;
    let (far, speed) = (leg.distance, leg.groundspeed);
    let no_return = point_of_no_return(time, speed, back, sink.trace()).ok()?;
    let out = |point: WayPoint, units: &Units| {
        format!("{} out", show(point.distance, units.distance, Round::Down))
    };
    let id = |name| Id::new(Family::Flight, name);
    sink.number(id("no-return"), Some(no_return.distance.into()), |units| {
        if no_return.distance > far {
            "not before the end of the first leg".to_owned()
        } else {
            out(no_return, units)
        }
    });
    let equal_time = equal_time_point(far, speed, back, sink.trace()).ok()?;
    sink.number(id("equal-time"), Some(equal_time.distance.into()), |units| out(equal_time, units));
    Some(Critical { no_return, equal_time })
}

/// Hours and minutes, rounded against the user.
#[must_use]
pub fn hours(time: Time, round: Round) -> String {
    let minutes = time.count(unit::MIN);
    let whole = match round {
        Round::Up => (minutes - 1e-6).ceil(),
        Round::Down => (minutes + 1e-6).floor(),
        Round::Near => minutes.round(),
    };
    format!("{} h {:02} min", (whole / 60.0).floor(), whole % 60.0)
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

impl LightView {
    /// First and last light, or why there is neither.
    #[must_use]
    pub fn words(&self) -> String {
        let day = match &self.day {
            Ok(day) => day,
            Err(why) => return format!("light unknown: {why}"),
        };
        let at = |instant: Option<Timestamp>| {
            instant.map_or_else(|| "none".to_owned(), |at| clock(at, self.offset))
        };
        match (day.rise(), day.set()) {
            (None, None) => format!("the sun is {}", day.words()),
            (rise, set) => {
                format!("first light {}, last light {} (UTC{})", at(rise), at(set), self.offset)
            }
        }
    }
}

pub(super) fn light<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) -> Vec<LightView> {
    let mut views: Vec<LightView> = Vec::new();
    let mut add = |place: &str, day, offset, sink: &mut S| {
        let view = LightView { place: place.to_owned(), day, offset };
        // A flight that comes back here would say the same twice.
        if views.contains(&view) {
            return sink.fresh();
        }
        let id = Id::of(Family::Light, "day", &view.place);
        sink.number(id, None, |_| view.words());
        views.push(view);
    };
    let here = &stage.here;
    let day = stage.light.here.on(choice.departs, sink.trace());
    add(&here.name, day, here.offset, sink);
    for (index, leg) in stage.documents.turnaround.legs.iter().enumerate() {
        let spot = stage.there[index].as_ref();
        let lands = stage.plan.as_ref().ok().map(|plan| plan.legs[index].lands_after);
        let at = lands.map_or(choice.departs, |after| later(choice.departs, after));
        let light = stage.light.there[index].as_ref();
        let day = light
            .ok_or_else(|| "the position is not given".to_owned())
            .and_then(|light| light.on(at, sink.trace()));
        let place = spot.map_or(leg.name.value.as_str(), |spot| spot.name.as_str());
        add(place, day, spot.map_or(here.offset, |spot| spot.offset), sink);
    }
    views
}
