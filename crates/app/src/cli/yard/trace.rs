//! `yard trace`: a batch into its flights, a flight back to its batches.

use std::{fmt::Write, fs};

use clap::{ArgGroup, Args};
use jiff::tz::Offset;
use stillprop_draw::{Width, trace as drawing};
use stillprop_ledger::yard::{BatchTrace, FlightTrace, Yard};

use super::Common;
use crate::{
    cli::Answer,
    problem::Failure,
    report::{bars, text::CAUTION},
    yard::{
        convert, picture,
        trace::{at, batch_json, flight_json, into, label, sample_words},
    },
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
