//! `report`: what must be told to whom after an event, what to keep, and a draft.

use clap::{Args, ValueEnum};
use jiff::SignedDuration;
use stillprop_rules::{builtin, pack::Event};

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::event::{self as page, Happened},
    world,
    yard::{Ledger, Which, history},
};

/// Options of `report`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What happened
    #[arg(value_enum)]
    kind: Kind,
    /// The turnaround at which it happened; `demo` means a built-in one
    file: String,
    /// When it happened, as `2026-12-03T13:20:00+05:30`; the planned departure when left out
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

/// Records this long before and after the event go into the draft.
const AROUND: SignedDuration = SignedDuration::from_hours(24);
/// At most so many.
const MOST: usize = 40;

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let source = world::read(&options.file)?;
    let (pack, named) = (options.pack.as_deref(), options.ledger.as_deref());
    let (stage, choice) = load::turnaround(&source, pack, named)?;
    let rules = match pack {
        Some(pack) => load::rules(pack)?,
        None => load::rules_for(&stage.documents.turnaround.pack.value, Some(&source))?,
    };
    let at = match &options.at {
        None => choice.departs,
        Some(text) => text.parse().map_err(|_| {
            let help = "write day, time and offset: 2026-12-03T13:20:00+05:30";
            Failure::asked(format!("`{text}` is no time"), help)
        })?,
    };
    let around = (at.saturating_sub(AROUND), at.saturating_add(AROUND));
    let (Ok(from), Ok(to)) = around else {
        return Err(Failure::asked("no such time", "write a time of these years"));
    };
    let demo = source.built_in.then_some(crate::yard::DEMO);
    let named = named.or(demo);
    let records = match named.is_some() || Which::of(None).is_ok_and(|which| which.exists()) {
        true => Some(history::between(&Ledger::read(named)?, (from, to), MOST)?),
        false => None,
    };
    let guides = builtin::events()?;
    let happened = Happened {
        event: options.kind.event(),
        guides,
        rules: &rules,
        stage: &stage,
        choice: &choice,
        at,
        said: options.at.is_some(),
        seen: &options.seen,
        records,
    };
    Ok(match options.json {
        true => Answer::json(page::json(&happened)),
        false => Answer::text(page::text(&happened)),
    })
}
