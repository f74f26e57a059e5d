//! `yard`: the fuel in drums, tanks and bowsers, recorded as it happens.

mod choose;
mod csv;
mod history;
mod keep;
mod receipt;
mod record;
mod show;
mod trace;
mod typed;

use std::collections::BTreeSet;

use clap::{Args, Subcommand};
use jiff::{Timestamp, fmt::temporal::Pieces, tz::Offset};
use stillprop_ledger::yard::{Container, Sought};
use stillprop_rules::document::did_you_mean;

use super::Answer;
use crate::{
    problem::Failure,
    world,
    yard::{Ledger, Which},
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
    Record(record::Verb),
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

/// Fails when a place is named and nothing is there: a misspelt yard must not look like one that
/// is in order.
fn something_at(ledger: &Ledger, place: Option<&str>) -> Result<(), Failure> {
    let Some(place) = place.filter(|place| ledger.yard.at(place).next().is_none()) else {
        return Ok(());
    };
    let known = ledger.yard.containers().filter_map(|container| container.place.as_deref());
    let known: Vec<&str> = known.collect::<BTreeSet<_>>().into_iter().collect();
    Err(Failure::asked(format!("nothing is at `{place}`"), did_you_mean(place, &known)))
}

/// The one container that is meant by a label, an id or the text of a code.
fn find<'a>(ledger: &'a Ledger, sought: &str) -> Result<&'a Container, Failure> {
    let by_code = stillprop_draw::code::read_code(sought).ok().map(|id| id.to_string());
    let sought = by_code.as_deref().unwrap_or(sought);
    match ledger.yard.find(sought) {
        Sought::One(container) => Ok(container),
        Sought::Nothing => Err(Failure::asked(
            format!("there is no container `{sought}`"),
            "stillprop yard list names them all",
        )),
        Sought::Several(found) => {
            let one = |container: &&Container| {
                let place = container.place.as_deref().unwrap_or("nowhere");
                format!("{} at {place}", container.id)
            };
            let ids: Vec<String> = found.iter().map(one).collect();
            Err(Failure::asked(
                format!("`{sought}` may be any of {}", found.len()),
                format!("use the id: {}", ids.join("; ")),
            ))
        }
    }
}
