//! `picture`: one picture of a turnaround, into a file.

use clap::Args;
use serde_json::json;
use stillprop_draw::Width;
use stillprop_turnaround::assess::assess;

use super::Answer;
use crate::{
    load,
    pictures::{self, Drawn, Kind},
    problem::Failure,
    report::{system::UnitSystem, text::CAUTION},
    world,
};

/// Options of `picture`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What to draw
    #[arg(value_enum)]
    kind: Kind,
    /// A turnaround document; `demo/mid-burn` means a built-in one
    file: String,
    /// File to write
    #[arg(long, short, value_name = "FILE.svg")]
    out: String,
    /// Width in pixels
    #[arg(long, default_value_t = 1080)]
    width: u16,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let source = world::read(&options.file)?;
    let (stage, choice) =
        load::turnaround(&source, options.pack.as_deref(), options.ledger.as_deref())?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let from = Drawn { stage: &stage, choice: &choice, assessment: &assessment, units: &units };
    let drawn = options.kind.draw(&from, Width::of(options.width));
    let drawn = drawn.map_err(|why| pictures::none(options.kind, &why))?;
    world::write(&options.out, &drawn)?;
    let words = options.kind.words();
    Ok(if options.json {
        Answer::json(json!({ "picture": words, "file": options.out, "caution": CAUTION }))
    } else {
        Answer::text(format!("{words}: {}\n{CAUTION}\n", options.out))
    })
}
