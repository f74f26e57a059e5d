//! Answers as JSON. Values are not rounded; each carries its unit.

use jiff::{Timestamp, tz::Offset};
use serde_json::{Map, Value, json};
use stillprop_calc::{
    catalogue::{Answer, Out, Outs, Raw, Sum},
    quantity::Amount,
    source::Source,
    table::{GreatestMass, Sense},
    trace::{Named, Working},
    unit::{self, Kind, Unit},
};
use stillprop_turnaround::{
    assess::{
        Assessment, CAUTIONS, Explained, FlightView, LadderView, LightView, Limit, LoadState,
        StripView,
    },
    units::Units,
};

use super::{sources, system::UnitSystem, working};

pub(super) fn quantity(amount: impl Into<Amount>, unit: Unit) -> Value {
    // Adding nothing turns a negative zero into zero.
    let value = amount.into().in_unit(unit) + 0.0;
    json!({ "value": value, "unit": unit.symbol })
}

pub(super) fn or_reason<T>(result: &Result<T, String>, show: impl FnOnce(&T) -> Value) -> Value {
    match result {
        Ok(value) => show(value),
        Err(why) => json!({ "unknown": why }),
    }
}

pub(super) fn instant(at: Timestamp, offset: Offset) -> Value {
    let local = offset.to_datetime(at);
    json!({ "utc": at.to_string(), "local": format!("{local}{offset}") })
}

/// The full answer of `ready`.
pub(crate) fn assessment(a: &Assessment, units: &Units) -> Value {
    json!({
        "title": a.title,
        "ready": a.ready(),
        "aircraft": a.aircraft,
        "strip": a.strip,
        "rules": a.rules,
        "invented": a.invented,
        "limits": a.limits.iter().map(|each| limit(each, units)).collect::<Vec<_>>(),
        "fuel_ladder": or_reason(&a.ladder, |view| ladder(view, units)),
        "load_states": or_reason(&a.states, |states| {
            states.iter().map(|each| state(each, units)).collect()
        }),
        "strip_now": strip(&a.here, units),
        "flight": or_reason(&a.flight, |view| flight(view, a, units)),
        "light": a.light.iter().map(light).collect::<Vec<_>>(),
        "notes": a.notes,
        "cautions": a.cautions,
    })
}

/// One limit.
pub(crate) fn limit(limit: &Limit, units: &Units) -> Value {
    let measure = limit.measure.as_ref().map(|measure| {
        let unit = units.unit_for(balance_symbol(limit), measure.value);
        let margin = Amount { kind: measure.value.kind, si: measure.margin() };
        json!({
            "value": quantity(measure.value, unit),
            "bound": quantity(measure.bound, unit),
            "sense": match measure.sense { Sense::AtMost => "at most", Sense::AtLeast => "at least" },
            "margin": { "value": margin.si / unit.scale, "unit": unit.symbol },
            "share": limit.share(),
        })
    });
    json!({
        "id": limit.id,
        "family": limit.family.word(),
        "verdict": limit.verdict.word(),
        "stands": limit.words.stands,
        "act": limit.words.act,
        "remark": limit.words.remark,
        "measure": measure,
    })
}

/// Lengths of the load family are arms, others lie on the strip.
fn balance_symbol(limit: &Limit) -> &'static str {
    if limit.id.starts_with("load.") { "arm" } else { "" }
}

fn ladder(view: &LadderView, units: &Units) -> Value {
    let fuel = |volume| quantity(volume, units.fuel);
    let p = &view.parts;
    json!({
        "start_and_taxi": fuel(p.start_and_taxi),
        "trip": fuel(p.trip),
        "contingency": fuel(p.contingency),
        "alternate": fuel(p.alternate),
        "holding": fuel(p.holding),
        "final_reserve": fuel(p.final_reserve),
        "extra": fuel(p.extra),
        "required": fuel(view.required),
        "aboard": view.aboard.map(fuel),
        "capacity": fuel(view.capacity),
        "unusable": fuel(view.unusable),
    })
}

fn state(state: &LoadState, units: &Units) -> Value {
    json!({
        "state": state.name,
        "mass": quantity(state.mass, units.mass),
        "centre_of_gravity": quantity(state.arm, units.arm),
        "forward_limit": state.allowed.map(|allowed| quantity(allowed.0, units.arm)),
        "aft_limit": state.allowed.map(|allowed| quantity(allowed.1, units.arm)),
        "fuel": quantity(state.fuel, units.fuel),
    })
}

fn strip(view: &StripView, units: &Units) -> Value {
    let allowed = |found: &GreatestMass| match found {
        GreatestMass::None => json!("none"),
        GreatestMass::AnyMass => json!("any mass"),
        GreatestMass::Some(mass) | GreatestMass::WholeChart(mass) => quantity(*mass, units.mass),
    };
    json!({
        "take_off": view.direction,
        "pressure_altitude": or_reason(&view.pressure_altitude, |h| quantity(*h, units.altitude)),
        "density_altitude": or_reason(&view.density_altitude, |h| quantity(*h, units.altitude)),
        "headwind": or_reason(&view.wind, |wind| quantity(wind.head, units.speed)),
        "crosswind": or_reason(&view.wind, |wind| quantity(wind.cross, units.speed)),
        "mass_allowed": or_reason(&view.mass_allowed, allowed),
    })
}

fn flight(view: &FlightView, a: &Assessment, units: &Units) -> Value {
    let here = a.light.first().map_or(Offset::UTC, |light| light.offset);
    let legs = view.arrivals.iter().map(|arrival| {
        let leg = &arrival.leg;
        json!({
            "name": leg.name,
            "distance": quantity(leg.distance, units.distance),
            "track": quantity(leg.track, unit::DEG),
            "groundspeed": quantity(leg.groundspeed, units.speed),
            "time": quantity(leg.time, unit::MIN),
            "fuel": quantity(leg.fuel, units.fuel),
            "lands": instant(arrival.at, arrival.offset),
        })
    });
    let point = |point: stillprop_calc::fuel::WayPoint| {
        json!({
            "distance": quantity(point.distance, units.distance),
            "time": quantity(point.time, unit::MIN),
        })
    };
    json!({
        "departs": instant(view.departs, here),
        "legs": legs.collect::<Vec<_>>(),
        "endurance": view.endurance.map(|time| quantity(time, unit::MIN)),
        "above_final_reserve": view.above_reserve.map(|time| quantity(time, unit::MIN)),
        "point_of_no_return": view.critical.map(|critical| point(critical.no_return)),
        "equal_time_point": view.critical.map(|critical| point(critical.equal_time)),
    })
}

fn light(view: &LightView) -> Value {
    let day = or_reason(&view.day, |day| {
        json!({
            "case": day.words(),
            "first_light": day.rise().map(|at| instant(at, view.offset)),
            "last_light": day.set().map(|at| instant(at, view.offset)),
        })
    });
    json!({ "place": view.place, "day": day })
}

/// The answer of `ready --why`.
pub(crate) fn explained(explained: &Explained, units: &Units) -> Value {
    json!({
        "limit": limit(&explained.limit, units),
        "working": steps(&explained.working, |named| units.unit_for(named.symbol, named.amount)),
        "cautions": CAUTIONS,
    })
}

fn steps(working: &Working, unit: impl Fn(&Named) -> Unit) -> Value {
    let named = |all: &[Named]| -> Map<String, Value> {
        all.iter().map(|each| (each.symbol.to_owned(), quantity(each.amount, unit(each)))).collect()
    };
    let step = |step: &stillprop_calc::trace::Step| {
        json!({
            "what": step.what,
            "formula": step.formula,
            "with": named(&step.with),
            "gives": named(&step.gives),
            "source": step.source.map(|source| source.0),
            "remark": step.remark,
        })
    };
    working.steps.iter().map(step).collect()
}

/// A source with its citation.
pub(crate) fn source(id: Source) -> Value {
    let rows = sources::rows();
    json!({ "id": id.0, "citation": sources::line(&rows, id) })
}

/// The answer of one calculation.
pub(crate) fn sum(sum: &Sum, given: &[(String, Raw)], done: &Answer, system: UnitSystem) -> Value {
    let inputs: Map<String, Value> =
        given.iter().map(|(key, raw)| (key.clone(), raw_json(raw))).collect();
    json!({
        "name": sum.name,
        "inputs": inputs,
        "outputs": outputs(&done.outs, system),
        "sources": sum.sources.iter().map(|each| source(*each)).collect::<Vec<_>>(),
        "working": steps(&done.working, |named| working::trade_unit(named.symbol, named.amount)),
        "caution": super::text::CAUTION,
    })
}

fn raw_json(raw: &Raw) -> Value {
    match raw {
        Raw::Text(text) => json!(text),
        Raw::List(list) => list.iter().map(raw_json).collect(),
        Raw::Record(fields) => {
            Value::Object(fields.iter().map(|(key, raw)| (key.clone(), raw_json(raw))).collect())
        }
    }
}

fn outputs(outs: &Outs, system: UnitSystem) -> Value {
    let one = |(key, unit, out): &(&'static str, Option<Unit>, Out)| {
        let value = match out {
            Out::Amount(amount) => quantity(*amount, output_unit(*amount, *unit, system)),
            Out::Word(word) => json!({ "value": word, "unit": null }),
            Out::Instant(at) => json!({ "value": at.map(|at| at.to_string()), "unit": null }),
            Out::Rows(rows) => {
                let rows: Vec<Value> = rows.iter().map(|row| outputs(row, system)).collect();
                json!({ "value": rows, "unit": null })
            }
        };
        ((*key).to_owned(), value)
    };
    Value::Object(outs.0.iter().map(one).collect())
}

/// The output's own unit, unless another system is asked for that has one of its kind.
fn output_unit(amount: Amount, own: Option<Unit>, system: UnitSystem) -> Unit {
    let own = own.unwrap_or_else(|| working::trade_unit("", amount));
    match (system, amount.kind) {
        (UnitSystem::Us, Kind::Mass) => unit::LB,
        (UnitSystem::Us, Kind::Length) if own == unit::M => unit::FT,
        (UnitSystem::Us, Kind::Volume) => unit::USGAL,
        (UnitSystem::Us, Kind::Pressure) => unit::INHG,
        (UnitSystem::Us, Kind::Moment) => unit::LB_IN,
        (UnitSystem::Metric, Kind::Length) if own == unit::FT => unit::M,
        _ => own,
    }
}

/// The outputs as lines of text.
pub(crate) fn outputs_as_text(outs: &Outs, system: UnitSystem) -> Vec<String> {
    let mut lines = Vec::new();
    for (key, unit, out) in &outs.0 {
        match out {
            Out::Amount(amount) => {
                let unit = output_unit(*amount, *unit, system);
                lines.push(format!("{key} = {}", working::amount_text(*amount, unit)));
            }
            Out::Word(word) => lines.push(format!("{key} = {word}")),
            Out::Instant(Some(at)) => lines.push(format!("{key} = {at}")),
            Out::Instant(None) => lines.push(format!("{key} = none")),
            Out::Rows(rows) => {
                for (number, row) in rows.iter().enumerate() {
                    let inner = outputs_as_text(row, system).join(", ");
                    lines.push(format!("{key} {}: {inner}", number + 1));
                }
            }
        }
    }
    lines
}
