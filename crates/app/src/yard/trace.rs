//! Where a batch went and what a flight flew on, in words and as JSON.

use serde_json::{Value, json};
use stillprop_ledger::yard::{BatchTrace, Container, Destination, Draw, FlightTrace, Sample, Yard};

use super::{convert, words};
use crate::report::text::CAUTION;

pub(crate) fn at(at_ms: i64) -> String {
    convert::instant(at_ms).map_or("unknown".into(), |at| at.to_string())
}

pub(crate) fn label(container: &Container) -> String {
    let place = container.place.as_deref().unwrap_or("nowhere");
    format!("{} at {place}", container.label().unwrap_or("unknown"))
}

pub(crate) fn into(yard: &Yard, draw: &Draw) -> String {
    let into = match draw.into {
        Destination::Aircraft { registration, tank } => {
            words::aircraft(yard.text(registration), yard.text(tank))
        }
        Destination::Container(id) => yard.container(id).map_or("another container".into(), label),
        Destination::Waste => words::WASTE.into(),
    };
    words::into_for(&into, draw.flight.map(|name| yard.text(name)))
}

pub(crate) fn sample_words(sample: &Sample) -> String {
    words::looks(sample.appearance, sample.paste)
}

pub(crate) fn batch_json(yard: &Yard, batch: &str, trace: &BatchTrace<'_>) -> Value {
    json!({
        "batch": batch,
        "recalls": trace.batch.iter().flat_map(|batch| &batch.recalls)
            .map(|said| json!({ "at": at(said.stamp.at_ms), "reason": said.what }))
            .collect::<Vec<_>>(),
        "containers": trace.containers.iter().map(|(container, _)| json!({
            "id": container.id.to_string(),
            "label": container.label(),
            "place": container.place,
        })).collect::<Vec<_>>(),
        "samples": trace.samples.iter().map(|it| sample_json(yard, it)).collect::<Vec<_>>(),
        "draws": trace.draws.iter().map(|it| draw_json(yard, it)).collect::<Vec<_>>(),
        "flights": trace.flights,
        "aircraft": trace.aircraft,
        "hands": trace.hands,
        "caution": CAUTION,
    })
}

fn sample_json(yard: &Yard, (container, sample): &(&Container, &Sample)) -> Value {
    json!({
        "container": container.label(),
        "at": at(sample.stamp.at_ms),
        "by": yard.text(sample.stamp.by),
        "says": sample_words(sample),
    })
}

fn draw_json(yard: &Yard, (container, draw): &(&Container, &Draw)) -> Value {
    json!({
        "container": container.label(),
        "at": at(draw.stamp.at_ms),
        "by": yard.text(draw.stamp.by),
        "volume": { "value": convert::litres(convert::volume(draw.volume_ml)), "unit": "L" },
        "into": into(yard, draw),
        "flight": draw.flight.map(|name| yard.text(name)),
    })
}

pub(crate) fn flight_json(yard: &Yard, flight: &str, trace: &FlightTrace<'_>) -> Value {
    let draws = trace.draws.iter().map(|it| {
        json!({
            "draw": draw_json(yard, &(it.container, it.draw)),
            "batches": it.fills.iter().map(|(container, fill)| json!({
                "batch": yard.text(fill.batch),
                "grade": yard.text(fill.grade),
                "container": container.label(),
            })).collect::<Vec<_>>(),
            "samples": it.samples.iter().map(|it| sample_json(yard, it)).collect::<Vec<_>>(),
        })
    });
    json!({
        "flight": flight,
        "draws": draws.collect::<Vec<_>>(),
        "hands": trace.hands,
        "caution": CAUTION,
    })
}
