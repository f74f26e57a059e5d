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
    papers::{self, Kind, Language, Sheets, Stop},
    problem::Failure,
    report::{system::UnitSystem, text::CAUTION},
    sheet::{begin::Made, progress},
    world,
    yard::{Ledger, Which, judge::Judge},
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
    #[arg(long, value_name = "TIMES", value_parser = scale)]
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
    /// For tags and labels: judged at this instant, with offset. Else now
    #[arg(long, value_name = "INSTANT", value_parser = moment)]
    at: Option<Moment>,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

fn scale(text: &str) -> Result<f32, String> {
    let read: Result<f32, _> = text.parse();
    read.ok()
        .filter(|scale| (0.7..=3.0).contains(scale))
        .ok_or_else(|| "from 0.7 to 3; 1.5 is large print".into())
}

fn offset(text: &str) -> Result<Offset, String> {
    offset_of(text).ok_or_else(|| "write it as +05:30".into())
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let mut paper = match options.kind {
        Kind::Tags | Kind::Labels | Kind::Register => of_yard(options)?,
        _ => of_stop(options)?,
    };
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
    if options.kind == Kind::Register {
        let offset = options.offset.unwrap_or(Offset::UTC);
        return papers::register(&ledger, &options.of, options.place.as_deref(), offset);
    }
    let pack = match (&options.pack, Which::of(named)?) {
        (Some(pack), _) => pack,
        (None, Which::Demo) => "demo-operator+au",
        (None, Which::File(_)) => {
            let help = "add --pack au, or your operator's pack over it";
            return Err(Failure::asked("it is not said which rules give the use-by day", help));
        }
    };
    let at = options.at.map_or_else(world::now, |moment| moment.instant);
    let judge = Judge::of(load::rules(pack)?, at, Offset::UTC);
    match options.kind {
        Kind::Labels => papers::labels(&ledger, &judge, &options.of),
        _ => papers::tags(&ledger, &judge, &options.of),
    }
}

fn of_stop(options: &Options) -> Result<Paper, Failure> {
    let source = world::read(&options.of)?;
    let (stage, choice) =
        load::turnaround(&source, options.pack.as_deref(), options.ledger.as_deref())?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let stop = Stop { stage: &stage, choice: &choice, assessment: &assessment, units: &units };
    let made = || Made::of(&source, &stage, &choice, None);
    Ok(match options.kind {
        Kind::Fuel => papers::fuel(&stop),
        Kind::Sheet => {
            let made = made()?;
            papers::sheet(&made.head, &made.sheet)
        }
        Kind::Briefing => papers::cards(&stop, options.language)?,
        Kind::Apron => papers::apron(&stop),
        Kind::Spill => papers::spill(&stop, &made()?.sheet),
        Kind::Record => record(options, &stop, &made()?)?,
        _ => papers::load(&stop),
    })
}

/// The record of a stop, from a file of progress or from the ledger.
fn record(options: &Options, stop: &Stop<'_>, made: &Made) -> Result<Paper, Failure> {
    let kept = if let Some(file) = &options.progress {
        papers::kept(&progress(&world::read(file)?)?, made)?
    } else if options.ledger.is_some() || Which::of(None).is_ok_and(|which| which.exists()) {
        papers::kept(Ledger::read(options.ledger.as_deref())?.store_ref(), made)?
    } else {
        None
    };
    Ok(papers::record(stop, made, kept.as_ref()))
}
