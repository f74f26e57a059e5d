//! What must be in date, by day.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_turnaround::{document::aircraft::Sort, units::Units};

use super::ready;
use crate::report::{
    due::{Dated, Everything},
    text::CAUTION,
};

/// What falls due at a stop.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "DueOfStop")]
pub(crate) struct OfStop<'a> {
    title: &'a str,
    aircraft: &'a str,
    /// The day of the last landing, until which everything must be good.
    until: String,
    all_hold: bool,
    limits: Vec<ready::Limit<'a>>,
    /// The earliest day first; without a day last.
    due: Vec<Thing<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// Something with a last day.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "DueThing")]
pub(crate) struct Thing<'a> {
    what: &'a str,
    sort: Option<&'static str>,
    /// Whose it is.
    of: Option<&'a str>,
    /// Its last day; none when it is not said.
    until: Option<String>,
    /// Days from the stop to it, negative when it is past.
    days_left: Option<i64>,
}

/// What falls due at every stop of a folder.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "DueOfFolder")]
pub(crate) struct OfFolder {
    /// The earliest day first; without a day last.
    due: Vec<Row>,
    /// Stops that could not be worked out.
    not_read: Vec<String>,
    /// What every answer carries.
    caution: &'static str,
}

/// Something with a last day, and the stops that it matters to.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "DueRow")]
pub(crate) struct Row {
    aircraft: String,
    what: String,
    /// Its last day; none when it is not said.
    until: Option<String>,
    stops: Vec<Stop>,
}

/// A stop and how far off the day is there.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "DueStop")]
pub(crate) struct Stop {
    name: String,
    /// Days from the stop to it, negative when it is past.
    days_left: Option<i64>,
}

/// The answer of `due`.
pub(crate) fn of_stop<'a>(dated: &'a Dated<'a>, units: &Units) -> OfStop<'a> {
    let thing = |of: &&'a stillprop_turnaround::stage::DueDate| Thing {
        what: &of.what,
        sort: of.sort.map(Sort::words),
        of: of.of.as_deref(),
        until: of.until.map(|until| until.to_string()),
        days_left: of.until.map(|until| dated.days_left(until)),
    };
    OfStop {
        title: dated.title,
        aircraft: dated.aircraft,
        until: dated.day.to_string(),
        all_hold: dated.all_hold(),
        limits: dated.limits.iter().map(|limit| ready::limit(limit, units)).collect(),
        due: dated.things.iter().map(thing).collect(),
        caution: CAUTION,
    }
}

/// The same of every stop of a folder.
pub(crate) fn of_folder(all: &Everything, not_read: Vec<String>) -> OfFolder {
    let row = |of: &crate::report::due::Row| Row {
        aircraft: of.aircraft.clone(),
        what: of.what.clone(),
        until: of.until.map(|until| until.to_string()),
        stops: of
            .stops
            .iter()
            .map(|stop| Stop { name: stop.name.clone(), days_left: stop.days_left })
            .collect(),
    };
    OfFolder { due: all.rows.iter().map(row).collect(), not_read, caution: CAUTION }
}
