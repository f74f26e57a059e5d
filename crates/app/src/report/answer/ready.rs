//! One turnaround, assessed; and the working behind one of its numbers.

use std::collections::BTreeMap;

use jiff::tz::Offset;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value};
use stillprop_calc::{
    fuel::WayPoint,
    quantity::Amount,
    table::{GreatestMass, Sense},
    trace::{self, Named},
    unit::{self, Unit},
};
use stillprop_turnaround::{
    assess::{self, About, Assessment, CAUTIONS, FlightView, LadderView, LoadState},
    limits::Family,
    units::Units,
};

use super::{Instant, OrUnknown, Quantity, difference, instant, or_unknown, quantity, value};

/// One turnaround, assessed.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Ready<'a> {
    /// What it is called.
    title: &'a str,
    /// True when every limit holds: ready on what is assessed.
    ready: bool,
    /// Registration and type.
    aircraft: &'a str,
    /// Where it stands.
    strip: &'a str,
    /// Rules it is judged by.
    rules: &'a str,
    /// Demonstration data.
    invented: bool,
    /// Every limit, tightest first.
    limits: Vec<Limit<'a>>,
    /// What fuel is required and what there is.
    fuel_ladder: OrUnknown<Ladder>,
    /// The aeroplane at each point of the flight.
    load_states: OrUnknown<Vec<State<'a>>>,
    /// Air, wind and what the strip allows.
    strip_now: Strip<'a>,
    /// The onward flight.
    flight: OrUnknown<Flight<'a>>,
    /// Light here and at each destination.
    light: Vec<Light<'a>>,
    /// Every number beside the limits; its name opens its working.
    numbers: Vec<Number<'a>>,
    /// Things to know that no bound says.
    notes: &'a [String],
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// A limit.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Limit<'a> {
    /// Its name, which opens its working.
    id: &'a str,
    /// Its family.
    family: &'static str,
    /// `holds`, `breaks` or `unknown`.
    verdict: &'static str,
    /// How things stand, in words.
    stands: &'a str,
    /// What to do, or what is missing.
    act: Option<&'a str>,
    /// Anything to know about how it was found.
    remark: Option<&'a str>,
    /// Value and bound; none for a condition or an unknown.
    measure: Option<Measure>,
}

/// A value against its bound.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Measure {
    /// The value.
    value: Quantity,
    /// The bound.
    bound: Quantity,
    /// `at most` or `at least`.
    sense: &'static str,
    /// Distance to the bound, negative when it is passed.
    margin: Quantity,
    /// The margin as a share of its whole.
    share: Option<f64>,
}

/// The fuel ladder.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Ladder {
    start_and_taxi: Quantity,
    /// All legs.
    trip: Quantity,
    /// Share of the trip.
    contingency: Quantity,
    /// To the alternate.
    alternate: Quantity,
    holding: Quantity,
    /// Never planned to be used.
    final_reserve: Quantity,
    /// The pilot's own.
    extra: Quantity,
    /// The sum.
    required: Quantity,
    /// Usable fuel aboard; none when not known.
    aboard: Option<Quantity>,
    /// What all tanks hold usable.
    capacity: Quantity,
    /// What cannot be used.
    unusable: Quantity,
}

/// Mass and balance at one point of the flight.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct State<'a> {
    /// Which: `take-off`, `zero fuel`.
    state: &'a str,
    mass: Quantity,
    /// Its arm.
    centre_of_gravity: Quantity,
    /// Foremost arm allowed; none without an envelope.
    forward_limit: Option<Quantity>,
    /// Aftmost arm allowed.
    aft_limit: Option<Quantity>,
    /// Usable fuel aboard.
    fuel: Quantity,
}

/// The strip on the day.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Strip<'a> {
    /// Direction of take-off.
    take_off: &'a str,
    pressure_altitude: OrUnknown<Quantity>,
    density_altitude: OrUnknown<Quantity>,
    /// Negative for a tailwind.
    headwind: OrUnknown<Quantity>,
    crosswind: OrUnknown<Quantity>,
    /// The greatest take-off mass that it allows.
    mass_allowed: OrUnknown<Allowed>,
}

/// A greatest mass.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
pub(crate) enum Allowed {
    /// This much.
    Mass(Quantity),
    /// `none`, or `any mass`.
    Word(&'static str),
}

/// The onward flight.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Flight<'a> {
    /// Chocks off.
    departs: Instant,
    legs: Vec<Leg<'a>>,
    /// From take-off until the tanks are empty.
    endurance: Option<Quantity>,
    /// From take-off to the final reserve.
    above_final_reserve: Option<Quantity>,
    /// Of the first leg.
    point_of_no_return: Option<Point>,
    /// Of the first leg.
    equal_time_point: Option<Point>,
}

/// A leg.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Leg<'a> {
    name: &'a str,
    distance: Quantity,
    /// True.
    track: Quantity,
    groundspeed: Quantity,
    time: Quantity,
    fuel: Quantity,
    lands: Instant,
}

/// A point on the way out.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Point {
    /// From the start.
    distance: Quantity,
    /// From the start.
    time: Quantity,
}

/// Light at a place.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Light<'a> {
    place: &'a str,
    day: OrUnknown<Day>,
}

/// What the sun does on the day.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Day {
    /// Whether it rises and sets.
    case: &'static str,
    first_light: Option<Instant>,
    last_light: Option<Instant>,
}

/// A number without a bound.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Number<'a> {
    /// Its name, which opens its working.
    id: &'a str,
    /// What it says, rounded against the user.
    says: &'a str,
    /// The same, not rounded, where it is a quantity.
    amount: Option<Quantity>,
}

/// The working of a limit or a number: one of the two is there.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Why<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    limit: Option<Limit<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    number: Option<Number<'a>>,
    /// The steps, in order.
    working: Vec<Step<'a>>,
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// A step of a working.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Step<'a> {
    /// What it answers.
    what: &'a str,
    /// In plain text; empty for what was looked up or typed.
    formula: &'static str,
    /// What went in, by symbol.
    #[schemars(with = "BTreeMap<String, Quantity>")]
    with: Map<String, Value>,
    /// What came out, by symbol.
    #[schemars(with = "BTreeMap<String, Quantity>")]
    gives: Map<String, Value>,
    /// The id of its source.
    source: Option<&'static str>,
    /// Anything to know.
    remark: Option<&'a str>,
}

/// The answer of `ready`.
pub(crate) fn ready<'a>(a: &'a Assessment, units: &Units) -> Ready<'a> {
    Ready {
        title: &a.title,
        ready: a.ready(),
        aircraft: &a.aircraft,
        strip: &a.strip,
        rules: &a.rules,
        invented: a.invented,
        limits: a.limits.iter().map(|each| limit(each, units)).collect(),
        fuel_ladder: or_unknown(&a.ladder, |view| ladder(view, units)),
        load_states: or_unknown(&a.states, |states| {
            states.iter().map(|each| state(each, units)).collect()
        }),
        strip_now: strip(&a.here, units),
        flight: or_unknown(&a.flight, |view| flight(view, a, units)),
        light: a.light.iter().map(light).collect(),
        numbers: a.numbers.iter().map(|each| number(each, units)).collect(),
        notes: &a.notes,
        cautions: &a.cautions,
    }
}

/// One limit.
pub(crate) fn limit<'a>(limit: &'a assess::Limit, units: &Units) -> Limit<'a> {
    let measure = limit.measure.as_ref().map(|measure| {
        let unit = units.unit_for(balance_symbol(limit), measure.value);
        Measure {
            value: quantity(measure.value, unit),
            bound: quantity(measure.bound, unit),
            sense: match measure.sense {
                Sense::AtMost => "at most",
                Sense::AtLeast => "at least",
            },
            margin: difference(measure.margin(), unit),
            share: limit.share(),
        }
    });
    Limit {
        id: &limit.id,
        family: limit.family.word(),
        verdict: limit.verdict.word(),
        stands: &limit.words.stands,
        act: limit.words.act.as_deref(),
        remark: limit.words.remark.as_deref(),
        measure,
    }
}

/// Lengths of the load family are arms, others lie on the strip.
fn balance_symbol(limit: &assess::Limit) -> &'static str {
    if limit.id.starts_with("load.") { "arm" } else { "" }
}

fn ladder(view: &LadderView, units: &Units) -> Ladder {
    let fuel = |volume| quantity(volume, units.fuel);
    let p = &view.parts;
    Ladder {
        start_and_taxi: fuel(p.start_and_taxi),
        trip: fuel(p.trip),
        contingency: fuel(p.contingency),
        alternate: fuel(p.alternate),
        holding: fuel(p.holding),
        final_reserve: fuel(p.final_reserve),
        extra: fuel(p.extra),
        required: fuel(view.required),
        aboard: view.aboard.map(fuel),
        capacity: fuel(view.capacity),
        unusable: fuel(view.unusable),
    }
}

fn state<'a>(state: &'a LoadState, units: &Units) -> State<'a> {
    State {
        state: &state.name,
        mass: quantity(state.mass, units.mass),
        centre_of_gravity: quantity(state.arm, units.arm),
        forward_limit: state.allowed.map(|allowed| quantity(allowed.0, units.arm)),
        aft_limit: state.allowed.map(|allowed| quantity(allowed.1, units.arm)),
        fuel: quantity(state.fuel, units.fuel),
    }
}

fn strip<'a>(view: &'a assess::StripView, units: &Units) -> Strip<'a> {
    let allowed = |found: &GreatestMass| match found {
        GreatestMass::None => Allowed::Word("none"),
        GreatestMass::AnyMass => Allowed::Word("any mass"),
        GreatestMass::Some(mass) | GreatestMass::WholeChart(mass) => {
            Allowed::Mass(quantity(*mass, units.mass))
        }
    };
    Strip {
        take_off: &view.direction,
        pressure_altitude: or_unknown(&view.pressure_altitude, |h| quantity(*h, units.altitude)),
        density_altitude: or_unknown(&view.density_altitude, |h| quantity(*h, units.altitude)),
        headwind: or_unknown(&view.wind, |wind| quantity(wind.head, units.speed)),
        crosswind: or_unknown(&view.wind, |wind| quantity(wind.cross, units.speed)),
        mass_allowed: or_unknown(&view.mass_allowed, allowed),
    }
}

fn flight<'a>(view: &'a FlightView, a: &Assessment, units: &Units) -> Flight<'a> {
    let here = a.light.first().map_or(Offset::UTC, |light| light.offset);
    let leg = |arrival: &'a assess::Arrival| {
        let leg = &arrival.leg;
        Leg {
            name: &leg.name,
            distance: quantity(leg.distance, units.distance),
            track: quantity(leg.track, unit::DEG),
            groundspeed: quantity(leg.groundspeed, units.speed),
            time: quantity(leg.time, unit::MIN),
            fuel: quantity(leg.fuel, units.fuel),
            lands: instant(arrival.at, arrival.offset),
        }
    };
    let point = |point: WayPoint| Point {
        distance: quantity(point.distance, units.distance),
        time: quantity(point.time, unit::MIN),
    };
    Flight {
        departs: instant(view.departs, here),
        legs: view.arrivals.iter().map(leg).collect(),
        endurance: view.endurance.map(|time| quantity(time, unit::MIN)),
        above_final_reserve: view.above_reserve.map(|time| quantity(time, unit::MIN)),
        point_of_no_return: view.critical.map(|critical| point(critical.no_return)),
        equal_time_point: view.critical.map(|critical| point(critical.equal_time)),
    }
}

fn light(view: &assess::LightView) -> Light<'_> {
    let day = or_unknown(&view.day, |day| Day {
        case: day.words(),
        first_light: day.rise().map(|at| instant(at, view.offset)),
        last_light: day.set().map(|at| instant(at, view.offset)),
    });
    Light { place: &view.place, day }
}

/// The answer of `ready --why`.
pub(crate) fn why<'a>(explained: &'a assess::Explained, units: &Units) -> Why<'a> {
    let (own, other) = match &explained.about {
        About::Limit(own) => (Some(limit(own, units)), None),
        About::Number(own) => (None, Some(number(own, units))),
    };
    let unit = |named: &Named| units.unit_for(named.symbol, named.amount);
    Why { limit: own, number: other, working: steps(&explained.working, unit), cautions: &CAUTIONS }
}

fn number<'a>(number: &'a assess::Number, units: &Units) -> Number<'a> {
    let amount = number.amount.map(|amount| quantity(amount, unit_of(number, amount, units)));
    Number { id: &number.id, says: &number.says, amount }
}

/// Lengths are arms on the scale, altitudes at the strip, distances in flight.
fn unit_of(number: &assess::Number, amount: Amount, units: &Units) -> Unit {
    let symbol = match number.family {
        Family::Load => "arm",
        Family::Strip => "PA",
        Family::Flight => "D",
        _ => "",
    };
    units.unit_for(symbol, amount)
}

/// The steps of a working.
pub(crate) fn steps(working: &trace::Working, unit: impl Fn(&Named) -> Unit) -> Vec<Step<'_>> {
    // In the order of the formula.
    let named = |all: &[Named]| -> Map<String, Value> {
        let one =
            |each: &Named| (each.symbol.to_owned(), value(&quantity(each.amount, unit(each))));
        all.iter().map(one).collect()
    };
    let step = |step| -> Step<'_> {
        let step: &trace::Step = step;
        Step {
            what: &step.what,
            formula: step.formula,
            with: named(&step.with),
            gives: named(&step.gives),
            source: step.source.map(|source| source.0),
            remark: step.remark.as_deref(),
        }
    };
    working.steps.iter().map(step).collect()
}
