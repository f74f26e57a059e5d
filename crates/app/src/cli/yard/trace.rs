//! `yard trace`: a batch into its flights, a flight back to its batches.

use std::{fmt::Write, fs};

use clap::{ArgGroup, Args};
use jiff::tz::Offset;
use serde_json::{Value, json};
use stillprop_draw::{Width, trace as drawing};
use stillprop_ledger::{
    event::v1::{Appearance, Paste},
    yard::{BatchTrace, Container, Destination, Draw, FlightTrace, Sample, Yard},
};

use super::Common;
use crate::{
    cli::Answer,
    problem::Failure,
    report::{bars, text::CAUTION},
    yard::{convert, picture},
};

/// Options of `trace`.
#[derive(Args, Debug)]
#[command(group(ArgGroup::new("way").args(["batch", "flight"]).required(true)))]
pub(super) struct Options {
    /// Where this batch went
    #[arg(long)]
    batch: Option<String>,
    /// What this flight flew on
    #[arg(long)]
    flight: Option<String>,
    /// Draw the trace of a batch
    #[arg(long, value_name = "FILE.svg", requires = "batch")]
    svg: Option<String>,
}

pub(super) fn run(options: &Options, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    let yard = &ledger.yard;
    if let Some(batch) = &options.batch {
        let trace = yard.trace_batch(batch).ok_or_else(|| nothing("batch", batch))?;
        if let Some(file) = &options.svg {
            let day = Offset::UTC.to_datetime(common.at()).date();
            let svg = drawing::trace(&picture::trace(yard, batch, day, &trace), Width::LAPTOP);
            fs::write(file, svg)
                .map_err(|error| Failure::file(file, error.to_string(), "name another file"))?;
        }
        return Ok(match common.json {
            true => Answer::json(batch_json(yard, batch, &trace)),
            false => Answer::text(batch_text(yard, batch, &trace)),
        });
    }
    let flight = options.flight.as_deref().unwrap_or_default();
    let trace = yard.trace_flight(flight).ok_or_else(|| nothing("flight", flight))?;
    Ok(match common.json {
        true => Answer::json(flight_json(yard, flight, &trace)),
        false => Answer::text(flight_text(yard, flight, &trace)),
    })
}

fn nothing(kind: &str, name: &str) -> Failure {
    Failure::asked(format!("nothing is recorded of {kind} `{name}`"), "look at its spelling")
}

fn at(at_ms: i64) -> String {
    convert::instant(at_ms).map_or("unknown".into(), |at| at.to_string())
}

fn label(container: &Container) -> String {
    let place = container.place.as_deref().unwrap_or("nowhere");
    format!("{} at {place}", container.label().unwrap_or("unknown"))
}

fn into(yard: &Yard, draw: &Draw) -> String {
    let flight = draw.flight.map_or(String::new(), |name| format!(" for {}", yard.text(name)));
    let into = match draw.into {
        Destination::Aircraft { registration, tank } => {
            format!("{} {}", yard.text(registration), yard.text(tank))
        }
        Destination::Container(id) => yard.container(id).map_or("another container".into(), label),
        Destination::Waste => "waste".into(),
    };
    format!("into {into}{flight}")
}

fn sample_words(sample: &Sample) -> String {
    let appearance = match sample.appearance {
        Appearance::ClearAndBright => "clear and bright",
        Appearance::Haze => "haze",
        Appearance::Sediment => "sediment",
        Appearance::Water => "water",
    };
    let paste = match sample.paste {
        Paste::Dry => "paste dry",
        Paste::Wet => "paste wet",
        Paste::NotUsed => "paste not used",
    };
    format!("{appearance}, {paste}")
}

fn batch_text(yard: &Yard, batch: &str, trace: &BatchTrace<'_>) -> String {
    let mut out = format!("{}\n", bars::heading(&format!("BATCH {batch}")));
    for said in trace.batch.iter().flat_map(|batch| &batch.recalls) {
        let _ = writeln!(out, "  RECALLED {}: {}", at(said.stamp.at_ms), said.what);
    }
    for (container, _) in &trace.containers {
        let held = picture::litres(convert::volume(container.contents_ml));
        let _ = writeln!(out, "  in {}, {held} left", label(container));
    }
    for (container, sample) in &trace.samples {
        let by = yard.text(sample.stamp.by);
        let words = sample_words(sample);
        let _ = writeln!(
            out,
            "  sampled {}: {words}, {} by {by}",
            label(container),
            at(sample.stamp.at_ms)
        );
    }
    for (container, draw) in &trace.draws {
        let volume = picture::litres(convert::volume(draw.volume_ml));
        let (by, when) = (yard.text(draw.stamp.by), at(draw.stamp.at_ms));
        let _ = writeln!(
            out,
            "  drawn {volume} from {} {}, {when} by {by}",
            label(container),
            into(yard, draw)
        );
    }
    let join = |names: &std::collections::BTreeSet<&str>| {
        names.iter().copied().collect::<Vec<_>>().join(", ")
    };
    let _ = writeln!(out, "  flights: {}", join(&trace.flights));
    let _ = writeln!(out, "  aircraft: {}", join(&trace.aircraft));
    let _ = writeln!(out, "  hands: {}", join(&trace.hands));
    let _ = writeln!(out, "{CAUTION}");
    out
}

fn batch_json(yard: &Yard, batch: &str, trace: &BatchTrace<'_>) -> Value {
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

fn flight_text(yard: &Yard, flight: &str, trace: &FlightTrace<'_>) -> String {
    let mut out = format!("{}\n", bars::heading(&format!("FLIGHT {flight}")));
    for it in &trace.draws {
        let volume = picture::litres(convert::volume(it.draw.volume_ml));
        let by = yard.text(it.draw.stamp.by);
        let _ = writeln!(
            out,
            "  {volume} from {} {} by {by}",
            label(it.container),
            into(yard, it.draw)
        );
        for (container, fill) in &it.fills {
            let (batch, grade) = (yard.text(fill.batch), yard.text(fill.grade));
            let _ = writeln!(out, "    batch {batch}, {grade}, in {}", label(container));
        }
        for (container, sample) in &it.samples {
            let words = sample_words(sample);
            let by = yard.text(sample.stamp.by);
            let _ = writeln!(
                out,
                "    sample of {}: {words}, {} by {by}",
                label(container),
                at(sample.stamp.at_ms)
            );
        }
    }
    let hands: Vec<&str> = trace.hands.iter().copied().collect();
    let _ = writeln!(out, "  hands: {}\n{CAUTION}", hands.join(", "));
    out
}

fn flight_json(yard: &Yard, flight: &str, trace: &FlightTrace<'_>) -> Value {
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
