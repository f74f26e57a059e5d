//! Verbs that record what happened to a container or a batch.

use serde_json::json;
use stillprop_ledger::record::Record;

use super::Common;
use crate::{
    cli::Answer,
    problem::Failure,
    report::text::CAUTION,
    yard::{
        convert,
        record::{Verb, event},
    },
};

/// Records one event and says so.
pub(super) fn run(verb: &Verb, common: &Common) -> Result<Answer, Failure> {
    let author = common.author()?;
    let mut ledger = match verb {
        Verb::Receive(_) => common.write()?,
        // Nothing else can happen in a yard that has nothing; the name may be misspelt.
        _ => common.go_on()?,
    };
    let event = event(verb, &ledger, common.at())?;
    let records = ledger.record(&author, common.at(), vec![event])?;
    ledger.keep_snapshot();
    if common.json {
        let rows: Vec<_> = records
            .iter()
            .map(|record| {
                json!({
                    "id": record.id.to_string(),
                    "subject": record.subject.0,
                    "author": record.author,
                    "at": convert::instant(record.order.at_ms).map(|at| at.to_string()),
                    "hash": record.hash.to_string(),
                })
            })
            .collect();
        return Ok(Answer::json(json!({ "recorded": rows, "caution": CAUTION })));
    }
    let line = |record: &Record| {
        let at = convert::instant(record.order.at_ms).map_or(String::new(), |at| at.to_string());
        format!("recorded {} at {at} by {}\n", record.id, record.author)
    };
    let lines: String = records.iter().map(line).collect();
    Ok(Answer::text(format!("{lines}{CAUTION}\n")))
}
