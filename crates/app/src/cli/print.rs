//! `print`: one paper, as a PDF.

use clap::Args;
use jiff::tz::Offset;
use serde_json::json;
use stillprop_papers::Paper;
use stillprop_turnaround::{assess::assess, stage::offset_of};

use super::{
    Answer,
    yard::{Moment, moment},
};
use crate::{
    load,
    papers::{
        self, Kind, Language, Sheets, Stop,
        make::{self, Records},
    },
    problem::Failure,
    report::{system::UnitSystem, text::CAUTION},
    sheet::progress,
    world::{self, Source},
    yard::{DEMO, Ledger, Which, judge::Judge},
};

/// Options of `print`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What to print
    #[arg(value_enum)]
    kind: Kind,
    /// A turnaround document (`demo` is built in); for tags and labels a place or a drum of the
    /// ledger; for the register a month, as 2026-05
    of: String,
    /// File to write
    #[arg(long, short, value_name = "FILE.pdf")]
    out: String,
    /// The sheet in the printer
    #[arg(long, value_enum, default_value_t)]
    paper: Sheets,
    /// For the briefing: the language of those who are briefed
    #[arg(long, value_enum, default_value_t)]
    language: Language,
    /// Letters this much larger: 1.5 is large print
    #[arg(long, value_name = "TIMES", value_parser = papers::scale)]
    scale: Option<f32>,
    /// Rules to use instead of the document's; for tags and labels those that say the use-by day
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger; `demo` is the built-in one. Else `STILLPROP_LEDGER`, else the data folder
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// For the record: a file of progress, where the sheet is not in a ledger
    #[arg(long, value_name = "FILE", conflicts_with = "ledger")]
    progress: Option<String>,
    /// For the register: one place only
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,
    /// For the register: the clock whose days count, as +05:30; else UTC
    #[arg(long, value_name = "OFFSET", value_parser = offset, allow_hyphen_values = true)]
    offset: Option<Offset>,
    /// With offset. For tags and labels: judged at this instant, else now. For the spill report:
    /// when it was, else the planned departure
    #[arg(long, value_name = "INSTANT", value_parser = moment)]
    at: Option<Moment>,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

fn offset(text: &str) -> Result<Offset, String> {
    offset_of(text).ok_or_else(|| "write it as +05:30".into())
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let mut paper = if options.kind.of_stop() { of_stop(options)? } else { of_yard(options)? };
    paper.size = options.paper.into();
    if let Some(scale) = options.scale {
        paper.scale *= scale;
    }
    world::write(&options.out, papers::bytes(&paper)?)?;
    let words = options.kind.words();
    Ok(if options.json {
        Answer::json(json!({ "paper": words, "file": options.out, "caution": CAUTION }))
    } else {
        Answer::text(format!("{words}: {}\n{CAUTION}\n", options.out))
    })
}

fn of_yard(options: &Options) -> Result<Paper, Failure> {
    let named = options.ledger.as_deref();
    let ledger = Ledger::read(named)?;
    let judge = || {
        let pack = match (&options.pack, Which::of(named)?) {
            (Some(pack), _) => pack,
            (None, Which::Demo) => "demo-operator+au",
            (None, Which::File(_)) => {
                let help = "add --pack au, or your operator's pack over it";
                return Err(Failure::asked("it is not said which rules give the use-by day", help));
            }
        };
        let at = options.at.map_or_else(world::now, |moment| moment.instant);
        Ok(Judge::of(load::rules(pack)?, at, Offset::UTC))
    };
    let clock = (options.place.as_deref(), options.offset.unwrap_or(Offset::UTC));
    make::of_yard(options.kind, &options.of, &ledger, judge, clock)
}

fn of_stop(options: &Options) -> Result<Paper, Failure> {
    let source = world::read(&options.of)?;
    let (stage, choice) =
        load::turnaround(&source, options.pack.as_deref(), options.ledger.as_deref())?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let stop = Stop { stage: &stage, choice: &choice, assessment: &assessment, units: &units };
    let progress = match &options.progress {
        Some(file) => Some(progress(&world::read(file)?)?),
        None => None,
    };
    let ledger = match progress {
        None if matches!(options.kind, Kind::Record | Kind::Spill) => ledger(options, &source)?,
        _ => None,
    };
    let records = match (&progress, &ledger) {
        (Some(progress), _) => Records::Progress(progress),
        (None, Some(ledger)) => Records::Ledger(ledger),
        (None, None) => Records::None,
    };
    let at = options.at.map(|moment| moment.instant);
    make::of_stop(options.kind, &stop, &source, options.language, at, &records)
}

/// The ledger that is named, that of the demonstration, or the usual one where it is there.
fn ledger(options: &Options, source: &Source) -> Result<Option<Ledger>, Failure> {
    let named = options.ledger.as_deref().or(source.built_in.then_some(DEMO));
    let there = named.is_some() || Which::of(None).is_ok_and(|which| which.exists());
    there.then(|| Ledger::read(named)).transpose()
}
