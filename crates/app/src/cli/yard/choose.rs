//! `yard choose`: which drums to draw from now.

use std::fmt::Write;

use clap::Args;
use jiff::Timestamp;
use serde_json::{Value, json};
use stillprop_calc::quantity::Volume;
use stillprop_turnaround::{
    drums::{Occasion, choose::choose},
    units::Units,
};

use super::Common;
use crate::{
    cli::Answer,
    problem::Failure,
    report::{bars, text::CAUTION},
    yard::{convert, something_at, typed},
};

/// Options of `choose`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// The yard
    place: String,
    /// Grade to be taken: "avgas 100LL"
    #[arg(long)]
    grade: String,
    /// How much is needed: "105 L"
    #[arg(long, value_parser = typed::volume)]
    needed: Volume,
    /// When fuelling begins; else now
    #[arg(long, value_name = "INSTANT")]
    begins: Option<Timestamp>,
}

pub(super) fn run(options: &Options, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    something_at(&ledger, Some(&options.place))?;
    let judge = common.judge()?;
    let begins = options.begins.unwrap_or(judge.at);
    let figures = judge.figures(&options.grade);
    let occasion = Occasion {
        grade: &options.grade,
        begins: Some(begins),
        latest: begins,
        offset: judge.offset,
        figures: &figures,
    };
    let there = convert::containers(&ledger.yard, Some(&options.place));
    let drawing = choose(&there, options.needed, judge.at, &occasion)
        .map_err(|error| Failure::asked(error.to_string(), "ask for less"))?;
    let units = Units::METRIC;
    let short = drawing.short_words(&units);
    let code = u8::from(short.is_some());
    if common.json {
        let picks = drawing.picks.iter().map(|pick| {
            json!({
                "id": pick.container.id,
                "label": pick.container.label,
                "draw": { "value": convert::litres(pick.draw), "unit": "L" },
                "leaves": { "value": convert::litres(pick.leaves), "unit": "L" },
                "settled": pick.settled.to_string(),
                "reasons": pick.reasons(&occasion, &units),
            })
        });
        let refused = drawing.refused.iter().map(|refused| {
            json!({
                "id": refused.container.id,
                "label": refused.container.label,
                "reasons": refused.reasons(&occasion, &units),
            })
        });
        let value = json!({
            "picks": picks.collect::<Vec<Value>>(),
            "refused": refused.collect::<Vec<Value>>(),
            "short": { "value": convert::litres(drawing.short), "unit": "L" },
            "caution": CAUTION,
        });
        return Ok(Answer::json(value).code(code));
    }
    let mut out = format!("{}\n", bars::heading("DRAW"));
    for (number, pick) in drawing.picks.iter().enumerate() {
        let _ = writeln!(out, "  {}. {}", number + 1, pick.what(&units));
        for reason in pick.reasons(&occasion, &units) {
            let _ = writeln!(out, "       {reason}");
        }
    }
    if let Some(short) = short {
        let _ = writeln!(out, "  {short}");
    }
    if !drawing.refused.is_empty() {
        let _ = writeln!(out, "\n{}", bars::heading("NOT THESE"));
        for refused in &drawing.refused {
            let reasons = refused.reasons(&occasion, &units).join("; ");
            let _ = writeln!(out, "  {:<9} {reasons}", refused.container.label);
        }
    }
    let _ = writeln!(out, "\n{CAUTION}");
    Ok(Answer::text(out).code(code))
}
