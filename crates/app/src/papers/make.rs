//! Which paper is asked for, put together from wherever its records are; the terminal and the
//! pages both come here.

use jiff::{Timestamp, tz::Offset};
use stillprop_ledger::store::Store;
use stillprop_papers::Paper;
use stillprop_rules::pack::Event;

use super::{Kind, Language, Stop};
use crate::{
    problem::Failure,
    report::event,
    sheet::begin::Made,
    world::Source,
    yard::{Ledger, judge::Judge},
};

/// Where records are looked in.
pub(crate) enum Records<'a> {
    /// There are none.
    None,
    /// A ledger.
    Ledger(&'a Ledger),
    /// Progress of a run sheet in a file of its own.
    Progress(&'a dyn Store),
}

/// A paper of a stop. `at` is when something happened, for the spill report; else when the stop was
/// called on the run sheet, else the planned departure.
pub(crate) fn of_stop(
    kind: Kind,
    stop: &Stop<'_>,
    source: &Source,
    language: Language,
    at: Option<Timestamp>,
    records: &Records<'_>,
) -> Result<Paper, Failure> {
    let made = || Made::of(source, stop.stage, stop.choice, None);
    Ok(match kind {
        Kind::Fuel => super::fuel(stop),
        Kind::Sheet => {
            let made = made()?;
            super::sheet(&made.head, &made.sheet)
        }
        Kind::Briefing => super::cards(stop, language)?,
        Kind::Apron => super::apron(stop),
        Kind::Spill => {
            let story = match records {
                Records::Ledger(ledger) => {
                    let at = match at {
                        Some(at) => Some(at),
                        None => event::called_at(ledger, stop.stage, Event::Spill)?,
                    };
                    let at = at.unwrap_or(stop.choice.departs);
                    Some(event::story(ledger, source, (stop.stage, stop.choice), at)?)
                }
                Records::None | Records::Progress(_) => None,
            };
            super::spill(stop, &made()?.sheet, story.as_ref())
        }
        Kind::Record => {
            let made = made()?;
            let kept = match records {
                Records::None => None,
                Records::Ledger(ledger) => super::kept(ledger.store_ref(), &made)?,
                Records::Progress(store) => super::kept(*store, &made)?,
            };
            super::record(stop, &made, kept.as_ref())
        }
        Kind::Load | Kind::Tags | Kind::Labels | Kind::Register => super::load(stop),
    })
}

/// A paper of the yard: of a place, a drum or a month. The judge gives the use-by days of tags and
/// labels.
pub(crate) fn of_yard(
    kind: Kind,
    of: &str,
    ledger: &Ledger,
    judge: impl FnOnce() -> Result<Judge, Failure>,
    (place, offset): (Option<&str>, Offset),
) -> Result<Paper, Failure> {
    match kind {
        Kind::Register => super::register(ledger, of, place, offset),
        Kind::Labels => super::labels(ledger, &judge()?, of),
        _ => super::tags(ledger, &judge()?, of),
    }
}
