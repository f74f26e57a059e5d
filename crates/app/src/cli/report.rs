//! `report`: what must be told to whom after an event, what to keep, and a draft.

use clap::{Args, ValueEnum};
use jiff::Timestamp;
use stillprop_rules::{builtin, pack::Event};

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::event::{self as page, Happened},
    world,
    yard::{Ledger, Which},
};

/// Options of `report`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What happened
    #[arg(value_enum)]
    kind: Kind,
    /// The turnaround at which it happened; `demo` means a built-in one
    file: String,
    /// When it happened, as `2026-12-03T13:20:00+05:30`; that of the stop on the run sheet, else the planned
    /// departure, when left out
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// What was seen, in a sentence; may be given several times
    #[arg(long, value_name = "WORDS")]
    seen: Vec<String>,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose records of the day go into the draft
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Kind {
    /// Fuel was spilt
    Spill,
    /// The wrong fuel went into the aeroplane
    WrongFuel,
    /// Somebody was hurt
    Injury,
    /// A propeller hit somebody or something
    PropellerStrike,
    /// The aeroplane moved with nobody in control
    Runaway,
}

impl Kind {
    const fn event(self) -> Event {
        match self {
            Self::Spill => Event::Spill,
            Self::WrongFuel => Event::WrongFuel,
            Self::Injury => Event::Injury,
            Self::PropellerStrike => Event::PropellerStrike,
            Self::Runaway => Event::Runaway,
        }
    }
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let source = world::read(&options.file)?;
    let (pack, named) = (options.pack.as_deref(), options.ledger.as_deref());
    let (stage, choice) = load::turnaround(&source, pack, named)?;
    let rules = match pack {
        Some(pack) => load::rules(pack)?,
        None => load::rules_for(&stage.documents.turnaround.pack.value, Some(&source))?,
    };
    let said = options.at.as_ref().map(|text| {
        text.parse::<Timestamp>().map_err(|_| {
            let help = "write day, time and offset: 2026-12-03T13:20:00+05:30";
            Failure::asked(format!("`{text}` is no time"), help)
        })
    });
    let said = said.transpose()?;
    let event = options.kind.event();
    let demo = source.built_in.then_some(crate::yard::DEMO);
    let named = named.or(demo);
    let there = named.is_some() || Which::of(None).is_ok_and(|which| which.exists());
    let ledger = there.then(|| Ledger::read(named)).transpose()?;
    let known = match (said, &ledger) {
        (None, Some(ledger)) => page::called_at(ledger, &stage, event)?,
        _ => said,
    };
    let at = known.unwrap_or(choice.departs);
    let records = match &ledger {
        Some(ledger) => Some(page::story(ledger, &source, (&stage, &choice), at)?),
        None => None,
    };
    let guides = builtin::events()?;
    let happened = Happened {
        event,
        guides,
        rules: &rules,
        stage: &stage,
        choice: &choice,
        at,
        said: known.is_some(),
        seen: &options.seen,
        records,
    };
    Ok(match options.json {
        true => Answer::json(page::json(&happened)),
        false => Answer::text(page::text(&happened)),
    })
}
