//! `yard`: the fuel in drums, tanks and bowsers, recorded as it happens.

mod choose;
mod csv;
mod keep;
mod record;
mod show;
mod trace;

use clap::{Args, Subcommand};
use jiff::{Timestamp, fmt::temporal::Pieces, tz::Offset};

use super::Answer;
use crate::{
    load,
    problem::Failure,
    world,
    yard::{self, Ledger, Which, judge::Judge, typed},
};

/// Options of `yard`.
#[derive(Args, Debug)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Verb,
    #[command(flatten)]
    common: Common,
}

/// Options that every verb of the yard takes.
#[derive(Args, Clone, Debug)]
pub(super) struct Common {
    /// The ledger; `demo` is the built-in one. Else `STILLPROP_LEDGER`, else the data folder
    #[arg(long, global = true, value_name = "FILE")]
    ledger: Option<String>,
    /// Who states it; else `STILLPROP_BY`
    #[arg(long, global = true, value_name = "NAME")]
    by: Option<String>,
    /// When, with offset: 2026-06-21T07:30:00+05:30. Else now
    #[arg(long, global = true, value_name = "INSTANT", value_parser = moment)]
    at: Option<Moment>,
    /// Rules to judge by
    #[arg(long, global = true, value_name = "PACK")]
    pack: Option<String>,
    /// Answer as JSON
    #[arg(long, global = true)]
    pub(super) json: bool,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// List containers with their state
    List(show::ListOptions),
    /// Show one container: facts, limits, history, what does not add up
    Show(show::OneOptions),
    /// What is due or needs a hand: age, tests, seals, samples, findings
    Due(show::ListOptions),
    /// Which drums to draw from now, in order, with reasons
    Choose(choose::Options),
    /// Where a batch went, or what a flight flew on
    Trace(trace::Options),
    /// Draw the rack of a place, or a tag or labels with codes, as SVG
    Picture(show::PictureOptions),
    #[command(flatten)]
    Record(yard::record::Verb),
    #[command(flatten)]
    Keep(keep::Verb),
}

impl Options {
    /// True when the answer is wanted as JSON.
    pub(super) fn json(&self) -> bool {
        self.common.json
    }
}

/// Does what was asked.
pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let common = &options.common;
    match &options.verb {
        Verb::List(options) => show::list(options, common),
        Verb::Show(options) => show::one(options, common),
        Verb::Due(options) => show::due(options, common),
        Verb::Choose(options) => choose::run(options, common),
        Verb::Trace(options) => trace::run(options, common),
        Verb::Picture(options) => show::picture(options, common),
        Verb::Record(verb) => record::run(verb, common),
        Verb::Keep(verb) => keep::run(verb, common),
    }
}

impl Common {
    fn read(&self) -> Result<Ledger, Failure> {
        Ledger::read(self.ledger.as_deref())
    }

    fn write(&self) -> Result<Ledger, Failure> {
        Ledger::write(self.ledger.as_deref())
    }

    fn go_on(&self) -> Result<Ledger, Failure> {
        Ledger::go_on(self.ledger.as_deref())
    }

    fn at(&self) -> Timestamp {
        self.at.map_or_else(world::now, |moment| moment.instant)
    }

    /// Offset of the clock that the moment was read from; UTC when none was typed.
    fn offset(&self) -> Offset {
        self.at.map_or(Offset::UTC, |moment| moment.offset)
    }

    fn author(&self) -> Result<String, Failure> {
        let by = self.by.clone().or_else(world::author);
        by.and_then(|name| typed::name(&name).ok()).ok_or_else(|| {
            Failure::asked("it is not said who records this", "add --by NAME, or set STILLPROP_BY")
        })
    }

    fn judge(&self) -> Result<Judge, Failure> {
        Ok(Judge::of(load::rules(self.pack()?)?, self.at(), self.offset()))
    }

    /// The rules to judge by: as named, else those of the demonstration for its own yard.
    fn pack(&self) -> Result<&str, Failure> {
        match (&self.pack, Which::of(self.ledger.as_deref())?) {
            (Some(pack), _) => Ok(pack),
            (None, Which::Demo) => Ok("demo-operator+au"),
            _ => Err(Failure::asked(
                "it is not said which rules to judge by",
                "add --pack au, or your operator's pack over it",
            )),
        }
    }
}

/// An instant with the offset it was typed in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) instant: Timestamp,
    offset: Offset,
}

pub(super) fn moment(text: &str) -> Result<Moment, String> {
    let offset = Pieces::parse(text).ok().and_then(|pieces| pieces.to_numeric_offset());
    match (text.parse(), offset) {
        (Ok(instant), Some(offset)) => Ok(Moment { instant, offset }),
        (Ok(instant), None) => Ok(Moment { instant, offset: Offset::UTC }),
        (Err(_), _) => Err("write date, time and offset: 2026-06-21T07:30:00+05:30".into()),
    }
}
