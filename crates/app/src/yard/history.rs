//! What was recorded, record by record.

use std::ops::ControlFlow;

use jiff::Timestamp;
use stillprop_ledger::{
    event::Body,
    record::{RecordId, RecordRef, Subject},
};
use uuid::Uuid;

use super::{
    Ledger, convert,
    words::{self, Names},
};
use crate::{problem::Failure, report::answer::yard};

/// One record, for a person and for a program.
pub(crate) struct Past {
    /// When.
    pub(crate) at: Option<Timestamp>,
    /// What it is about: a container, a batch, a run sheet.
    pub(crate) about: String,
    /// What happened.
    pub(crate) what: String,
    /// When, who and what.
    pub(crate) said: String,
    /// Both for the terminal.
    pub(crate) line: String,
    pub(crate) answer: yard::Past,
}

/// The records of a container, oldest first.
pub(crate) fn read(ledger: &mut Ledger, id: Uuid) -> Result<Vec<Past>, Failure> {
    let names = Names { yard: Some(&ledger.yard), tasks: &[] };
    let mut rows = Vec::new();
    ledger.store_ref().read_subject(&Subject::container(id), &mut |record| {
        rows.push(past(record, names));
        ControlFlow::Continue(())
    })?;
    Ok(rows)
}

/// One record of the yard by its id; `None` when there is none.
pub(crate) fn one(ledger: &Ledger, id: Uuid) -> Result<Option<Past>, Failure> {
    let names = Names { yard: Some(&ledger.yard), tasks: &[] };
    let record = ledger.store_ref().get(RecordId(id))?;
    let of_yard = record.filter(|record| record.event().is_ok_and(|body| body.yard().is_some()));
    Ok(of_yard.map(|record| past(record.as_ref(), names)))
}

/// A record in words, with the hash that proves it was not changed.
pub(super) fn with_hash(record: RecordRef<'_>, names: Names<'_>) -> Past {
    let mut past = past(record, names);
    past.answer.hash = Some(record.digest().to_string());
    past
}

/// A record in words.
fn past(record: RecordRef<'_>, names: Names<'_>) -> Past {
    let instant = convert::instant(record.order.at_ms);
    let at = instant.map_or(String::new(), |at| at.to_string());
    let event = record.event().ok();
    let what = match &event {
        Some(event) => words::body(event, names),
        None => words::UNREADABLE.to_owned(),
    };
    let event = event.and_then(|event| match event {
        Body::V1(event) => serde_json::to_value(event).ok(),
        Body::V2(event) => serde_json::to_value(event).ok(),
    });
    Past {
        at: instant,
        about: about(record.subject, names),
        said: format!("{at} {}: {what}", record.author),
        line: format!("{at}  {:<14} {what}\n    record {}", record.author, record.id),
        answer: yard::Past {
            record: record.id.to_string(),
            author: record.author.to_owned(),
            at,
            says: what.clone(),
            event,
            hash: None,
        },
        what,
    }
}

/// What a record is about, as people call it.
fn about(subject: &str, names: Names<'_>) -> String {
    match subject.split_once(':') {
        Some(("container", id)) => {
            Uuid::try_parse(id).map_or_else(|_| subject.to_owned(), |id| names.container(id))
        }
        Some(("batch", batch)) => format!("batch {batch}"),
        Some(("sheet", _)) => "run sheet".to_owned(),
        _ => subject.to_owned(),
    }
}
