//! `strip.*`: the distances the aeroplane needs against those there are.

use stillprop_calc::{
    quantity::{FromAmount, Length, Mass, Ratio, Velocity},
    strip::factored,
    table::{Chart, Conditions, GreatestMass, Held, Sense, greatest_mass},
    trace::{Step, Trace},
};

use super::{Family, Found, Gap, Id, Measure, Sink, Words, load::Masses};
use crate::{
    document::aircraft::Distance,
    stage::{Choice, Setting, Spot, Stage, Unknown, runway, runway::Way},
    units::{Round, Units},
};

/// Computes the family.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, masses: &Masses, sink: &mut S) {
    take_off(stage, choice, masses, sink);
    winds(stage, &stage.here, &stage.here.ways[choice.take_off], "take-off", sink);
    back_here(stage, masses, sink);
    destinations(stage, masses, sink);
}

/// One distance to be judged.
#[derive(Clone, Copy)]
struct Ask<'a> {
    on: Distance,
    chart: Option<&'a Chart<Length>>,
    mass: Result<Mass, Gap<'a>>,
    available: Setting<Length>,
    /// Name of the distance there is: `TODA`.
    declared: &'static str,
}

fn take_off<S: Sink>(stage: &Stage, choice: &Choice, masses: &Masses, sink: &mut S) {
    let (spot, way) = (&stage.here, &stage.here.ways[choice.take_off]);
    let p = &stage.performance;
    let mass = masses.take_off.ok_or(Gap::Mass(stage));
    let (run, distance) = (run(stage, mass, way), distance(stage, mass, way));
    judge(stage, spot, way, Id::new(Family::Strip, "take-off-run"), &run, sink);
    judge(stage, spot, way, Id::new(Family::Strip, "take-off-distance"), &distance, sink);
    if p.accelerate_stop.is_some() {
        let stop = Ask {
            on: Distance::AccelerateStop,
            chart: p.accelerate_stop.as_ref(),
            available: way.asda,
            declared: "ASDA",
            ..run
        };
        judge(stage, spot, way, Id::new(Family::Strip, "accelerate-stop"), &stop, sink);
    }
    climb(stage, spot, way, &distance, sink);
}

/// A distance of the strip as a picture shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// Which distance.
    pub on: Distance,
    /// What must be long enough.
    pub available: Setting<Length>,
    /// By the manual, and with all factors; or why it is not known.
    pub needed: Result<(Length, Length), Unknown>,
}

/// Take-off run, take-off distance, and the landing straight back here.
#[must_use]
pub fn reaches(stage: &Stage, choice: &Choice) -> Vec<Reach> {
    let masses = super::load::masses(stage, choice, &mut stillprop_calc::trace::Silent);
    let mass = || masses.take_off.ok_or(Gap::Mass(stage));
    let way = &stage.here.ways[choice.take_off];
    let mut asks = vec![(run(stage, mass(), way), way), (distance(stage, mass(), way), way)];
    if let Some(back) = stage.back_here.and_then(|index| stage.here.ways.get(index)) {
        asks.push((landing(stage, mass(), back), back));
    }
    let reach = |(ask, way): (Ask<'_>, &Way)| {
        let found = needed(stage, &stage.here, way, &ask, &mut stillprop_calc::trace::Silent);
        let factor = way.factor(ask.on).clone();
        let needed =
            found.map_err(Gap::words).and_then(|(needed, _)| Ok((needed / factor?, needed)));
        Reach { on: ask.on, available: ask.available, needed }
    };
    asks.into_iter().map(reach).collect()
}

/// The gradient of climb there is, and the one that is asked.
///
/// # Errors
///
/// What is missing, in words.
pub fn gradients(stage: &Stage, choice: &Choice) -> Result<(Ratio, Ratio), Unknown> {
    let masses = super::load::masses(stage, choice, &mut stillprop_calc::trace::Silent);
    let way = &stage.here.ways[choice.take_off];
    let ask = distance(stage, masses.take_off.ok_or(Gap::Mass(stage)), way);
    climb_answer(stage, &stage.here, way, &ask, &mut stillprop_calc::trace::Silent)
        .map_err(Gap::words)
}

fn run<'a>(stage: &'a Stage, mass: Result<Mass, Gap<'a>>, way: &Way) -> Ask<'a> {
    Ask {
        on: Distance::TakeOffRun,
        chart: stage.performance.take_off_run.as_ref(),
        mass,
        available: way.tora,
        declared: "TORA",
    }
}

fn distance<'a>(stage: &'a Stage, mass: Result<Mass, Gap<'a>>, way: &Way) -> Ask<'a> {
    Ask {
        on: Distance::TakeOffDistance,
        chart: stage.performance.take_off_distance.as_ref(),
        mass,
        available: way.toda,
        declared: "TODA",
    }
}

fn back_here<S: Sink>(stage: &Stage, masses: &Masses, sink: &mut S) {
    let id = Id::new(Family::Strip, "landing-back-here");
    let Some(way) = stage.back_here.and_then(|index| stage.here.ways.get(index)) else {
        return sink.limit(id, Found::Unknown, |_| {
            Words::missing("the direction for coming straight back (back_here) is not given")
        });
    };
    // Straight after take-off nothing has been burnt.
    let ask = landing(stage, masses.take_off.ok_or(Gap::Mass(stage)), way);
    judge(stage, &stage.here, way, id, &ask, sink);
}

fn landing<'a>(stage: &'a Stage, mass: Result<Mass, Gap<'a>>, way: &Way) -> Ask<'a> {
    Ask {
        on: Distance::LandingDistance,
        chart: stage.performance.landing_distance.as_ref(),
        mass,
        available: way.lda,
        declared: "LDA",
    }
}

fn destinations<S: Sink>(stage: &Stage, masses: &Masses, sink: &mut S) {
    let legs = &stage.documents.turnaround.legs;
    for (index, leg) in legs.iter().enumerate() {
        let name = leg.name.value.as_str();
        let id = Id::of(Family::Strip, "landing-distance", name);
        let spot = stage.there[index].as_ref();
        let way = stage.landing_way[index].zip(spot).and_then(|(way, spot)| spot.ways.get(way));
        let (Some(spot), Some(way)) = (spot, way) else {
            let what = if spot.is_none() { "strip document" } else { "landing direction" };
            let words = |_: &Units| Words::missing(format!("the {what} of `{name}` is not given"));
            sink.limit(id, Found::Unknown, words);
            continue;
        };
        let mass = mass_there(stage, masses, index, sink.trace());
        judge(stage, spot, way, id, &landing(stage, mass, way), sink);
        winds(stage, spot, way, name, sink);
    }
}

/// Mass at the end of a leg.
fn mass_there<'a>(
    stage: &'a Stage,
    masses: &Masses,
    index: usize,
    trace: &mut impl Trace,
) -> Result<Mass, Gap<'a>> {
    let plan = stage.plan.as_ref().map_err(|why| Gap::Said(why))?;
    let leg = plan.legs.get(index).ok_or(Gap::Said("the leg is not reckoned"))?;
    super::load::landing_mass(stage, masses, index, leg.used, trace).ok_or(Gap::Mass(stage))
}

/// The chart, the factor and the answer for one distance.
fn needed<'a>(
    stage: &Stage,
    spot: &'a Spot,
    way: &'a Way,
    ask: &Ask<'a>,
    trace: &mut impl Trace,
) -> Result<(Length, Held), Gap<'a>> {
    let chart = ask.chart.ok_or(NO_CHART)?;
    let at = conditions(spot, ask.mass?)?;
    replay_air(spot, trace);
    let reading = chart
        .read(&at, "chart of the manual", trace)
        .map_err(|beyond| Gap::Beyond(beyond, "distance"))?;
    replay_factor(stage, spot, way, ask.on, trace);
    let factor = *way.factor(ask.on).as_ref().map_err(|why| Gap::Said(why))?;
    let needed = factored(reading.value, factor, trace).map_err(Gap::OutOfRange)?;
    Ok((needed, reading.held))
}

const NO_CHART: Gap<'_> = Gap::Said("the aircraft document has no chart for it");

fn conditions(spot: &Spot, mass: Mass) -> Result<Conditions, Gap<'_>> {
    Ok(Conditions {
        mass,
        pressure_altitude: *spot.pressure_altitude.as_ref().map_err(|why| Gap::Said(why))?,
        temperature: spot.weather.temperature.ok_or(Gap::Temperature(spot))?,
    })
}

/// Pressure altitude was found while preparing; a reader sees it found again.
pub(crate) fn replay_air<T: Trace>(spot: &Spot, trace: &mut T) {
    if let (true, Some(qnh)) = (T::RECORDS, spot.weather.qnh) {
        let _again = stillprop_calc::air::pressure_altitude_at(spot.elevation, qnh, trace);
    }
}

/// The wind on a direction was found while preparing, by the same function.
pub(crate) fn replay_wind<T: Trace>(spot: &Spot, way: &Way, trace: &mut T) {
    if T::RECORDS {
        let _again = runway::components(&way.bearing, spot.weather.wind, trace);
    }
}

/// So was the factor.
fn replay_factor<T: Trace>(stage: &Stage, spot: &Spot, way: &Way, on: Distance, trace: &mut T) {
    replay_wind(spot, way, trace);
    if T::RECORDS {
        let (performance, figures) = (&stage.performance, &stage.figures);
        let _again = runway::factor(on, way, &spot.weather, performance, figures, trace);
    }
}

fn judge<S: Sink>(stage: &Stage, spot: &Spot, way: &Way, id: Id<'_>, ask: &Ask<'_>, sink: &mut S) {
    let available = match ask.available {
        Setting::Is(available) => available,
        Setting::None => {
            return sink.limit(id, Found::Condition(false), |_| {
                Words::stands(format!("{} has no {}", way.name, ask.declared))
                    .act(format!("{} is not used that way: take another direction", way.name))
            });
        }
        Setting::Missing => {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing(format!("the {} of {} is not given", ask.declared, way.name))
            });
        }
    };
    let found = needed(stage, spot, way, ask, sink.trace());
    let (needed, held) = match found {
        Ok(found) => found,
        Err(gap) => return unknown_or_beyond(id, gap, sink),
    };
    sink.limit(id, Found::Measured(Measure::at_most(needed, available)), |units| {
        let short = units.strip(needed - available, Round::Up);
        let stands = format!(
            "needs {} of {} {}",
            units.strip(needed, Round::Up),
            units.strip(available, Round::Down),
            ask.declared
        );
        let leave = leave_words(spot, way, ask, units);
        let remark = held.remark().or_else(|| overweight(stage, ask));
        Words::stands(stands).act(format!("{short} short{leave}")).remark(remark)
    });
}

/// Straight back after take-off may mean landing above the landing mass.
fn overweight(stage: &Stage, ask: &Ask<'_>) -> Option<String> {
    match (ask.on, stage.limits.landing, ask.mass) {
        (Distance::LandingDistance, Setting::Is(limit), Ok(mass)) if mass > limit => Some(
            "this landing is above the landing mass: see the manual on overweight landings".into(),
        ),
        _ => None,
    }
}

/// Beyond the chart the distance is not known, which is not ready; the words say which end.
fn unknown_or_beyond<S: Sink>(id: Id<'_>, gap: Gap<'_>, sink: &mut S) {
    if matches!(gap, Gap::Beyond(..)) {
        sink.limit(id, Found::Condition(false), |_| {
            Words::stands("outside the chart").act(gap.words())
        });
    } else {
        sink.limit(id, Found::Unknown, |_| Words::missing(gap.words()));
    }
}

/// `; the strip allows 1 480 kg now: leave 92 kg`.
fn leave_words(spot: &Spot, way: &Way, ask: &Ask<'_>, units: &Units) -> String {
    let allowed = allowed(spot, way, ask, &mut stillprop_calc::trace::Silent);
    match (allowed, ask.mass) {
        (Ok(GreatestMass::Some(allowed)), Ok(mass)) if allowed < mass => format!(
            "; the strip allows {} now: leave {}",
            units.mass(allowed, Round::Down),
            units.mass(mass - allowed, Round::Up)
        ),
        (Ok(GreatestMass::None), _) => "; not even the lightest line of the chart fits".into(),
        _ => String::new(),
    }
}

fn allowed(
    spot: &Spot,
    way: &Way,
    ask: &Ask<'_>,
    trace: &mut impl Trace,
) -> Result<GreatestMass, Unknown> {
    let chart = ask.chart.ok_or_else(|| NO_CHART.words())?;
    let available = match ask.available {
        Setting::Is(available) => available,
        Setting::None => return Ok(GreatestMass::None),
        Setting::Missing => return Err(format!("the {} is not given", ask.declared)),
    };
    let at = conditions(spot, Mass::from_si(0.0)).map_err(Gap::words)?;
    let factor = way.factor(ask.on).clone()?;
    let (altitude, temperature) = (at.pressure_altitude, at.temperature);
    greatest_mass(chart, altitude, temperature, factor, Sense::AtMost, available, trace)
        .map_err(|beyond| Gap::Beyond(beyond, "distance").words())
}

/// The greatest take-off mass that a direction allows now, over every chart there is.
///
/// # Errors
///
/// The first thing that is not known.
pub fn mass_allowed(
    stage: &Stage,
    take_off: usize,
    trace: &mut impl Trace,
) -> Result<GreatestMass, Unknown> {
    let (spot, way) = (&stage.here, &stage.here.ways[take_off]);
    replay_air(spot, trace);
    let p = &stage.performance;
    let asks = [
        (Distance::TakeOffRun, p.take_off_run.as_ref(), way.tora, "TORA", true),
        (Distance::TakeOffDistance, p.take_off_distance.as_ref(), way.toda, "TODA", true),
        (Distance::AccelerateStop, p.accelerate_stop.as_ref(), way.asda, "ASDA", false),
    ];
    let mut least = GreatestMass::AnyMass;
    for (on, chart, available, declared, always) in asks {
        if chart.is_none() && !always {
            continue;
        }
        let mass = Err(Gap::Mass(stage));
        let ask = Ask { on, chart, mass, available, declared };
        replay_factor(stage, spot, way, on, trace);
        least = lesser(least, allowed(spot, way, &ask, trace)?);
    }
    Ok(least)
}

fn lesser(a: GreatestMass, b: GreatestMass) -> GreatestMass {
    let mass = |of: &GreatestMass| match of {
        GreatestMass::None => f64::NEG_INFINITY,
        GreatestMass::Some(mass) | GreatestMass::WholeChart(mass) => mass.value,
        GreatestMass::AnyMass => f64::INFINITY,
    };
    if mass(&b) < mass(&a) { b } else { a }
}

/// Gradient of climb against what the pack and the obstacles ask.
fn climb<S: Sink>(stage: &Stage, spot: &Spot, way: &Way, distance: &Ask<'_>, sink: &mut S) {
    let id = Id::new(Family::Strip, "climb");
    let answer = climb_answer(stage, spot, way, distance, sink.trace());
    let (gradient, wanted) = match answer {
        Ok(answer) => answer,
        Err(gap) => return unknown_or_beyond(id, gap, sink),
    };
    sink.limit(id, Found::Measured(Measure::at_least(gradient, wanted)), |_| {
        let percent = |ratio: Ratio, round| {
            crate::units::text(
                ratio.count(stillprop_calc::unit::PERCENT),
                1,
                round,
                stillprop_calc::unit::PERCENT,
            )
        };
        Words::stands(format!(
            "{} climb, {} asked",
            percent(gradient, Round::Down),
            percent(wanted, Round::Up)
        ))
        .act(format!("{} too shallow", percent(wanted - gradient, Round::Up)))
    });
}

fn climb_answer<'a>(
    stage: &'a Stage,
    spot: &'a Spot,
    way: &'a Way,
    distance: &Ask<'a>,
    trace: &mut impl Trace,
) -> Result<(Ratio, Ratio), Gap<'a>> {
    let p = &stage.performance;
    let chart = p.climb.as_ref().ok_or(Gap::Said("the aircraft document has no climb chart"))?;
    let speed = p.climb_speed.ok_or(Gap::Said("the aircraft document has no climb speed"))?;
    let at = conditions(spot, distance.mass?)?;
    let rate: Velocity = chart
        .read(&at, "rate of climb of the manual", trace)
        .map_err(|beyond| Gap::Beyond(beyond, "climb"))?
        .value;
    let gradient = rate / speed;
    trace.step(|| {
        Step::new("gradient of climb in still air", "rate / true airspeed")
            .with("rate", rate)
            .with("TAS", speed)
            .gives("gradient", gradient)
            .from(stillprop_calc::source::PLANE_GEOMETRY)
    });
    let (used, _) = needed(stage, spot, way, distance, trace)?;
    let over = runway::obstacle_gradient(way, used, trace).map_err(Gap::Obstacle)?;
    let pack = stage.figures.climb_take_off.as_ref().map_err(|why| Gap::Said(why))?;
    trace.step(|| pack.step("gradient asked by the pack", "gradient"));
    Ok((gradient, if pack.value > over { pack.value } else { over }))
}

/// Crosswind and tailwind on one direction.
fn winds<S: Sink>(stage: &Stage, spot: &Spot, way: &Way, of: &str, sink: &mut S) {
    sink.fresh();
    replay_wind(spot, way, sink.trace());
    sink.share();
    let wind = way.wind.as_ref();
    let cross = wind.map(|c| c.cross);
    let tail = wind.map(|c| if c.head.value < 0.0 { -c.head } else { Velocity::from_si(0.0) });
    let p = &stage.performance;
    wind_limit(Id::of(Family::Strip, "crosswind", of), cross, p.crosswind, way, sink);
    wind_limit(Id::of(Family::Strip, "tailwind", of), tail, p.tailwind, way, sink);
    sink.fresh();
}

fn wind_limit<S: Sink>(
    id: Id<'_>,
    wind: Result<Velocity, &Unknown>,
    limit: Setting<Velocity>,
    way: &Way,
    sink: &mut S,
) {
    match (limit, wind) {
        (Setting::None, _) => {}
        (Setting::Missing, _) => sink.limit(id, Found::Unknown, |_| {
            Words::missing("the aircraft document does not say what the manual sets")
        }),
        (_, Err(why)) => sink.limit(id, Found::Unknown, |_| Words::missing(why.clone())),
        (Setting::Is(limit), Ok(wind)) => {
            let found = Found::Measured(Measure::at_most(wind, limit));
            sink.limit(id, found, |units| {
                let over = units.speed(wind - limit, Round::Up);
                Words::stands(format!(
                    "{} of {} on {}",
                    units.speed(wind, Round::Up),
                    units.speed(limit, Round::Down),
                    way.name
                ))
                .act(format!("{over} too much on {}: wait, or use another direction", way.name))
            });
        }
    }
}
