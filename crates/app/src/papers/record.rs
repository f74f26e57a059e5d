//! The record of a stop: every record on its run sheet, with its hash.

use std::ops::ControlFlow;

use stillprop_ledger::{
    event::{Body, v2::Outcome},
    record::{Record, Subject},
    runs::{Run, Standing},
    store::Store,
};
use stillprop_papers::{Block, Column, Paper, Row, Table};

use super::{Kind, Stop, fact, limits, notes, of_stop};
use crate::{
    problem::Failure,
    sheet::begin::Made,
    yard::{convert, history},
};

/// What a store holds of the last sheet of a stop.
pub(crate) struct Kept {
    run: Run,
    records: Vec<Record>,
    /// The documents have changed since it was begun.
    changed: bool,
}

/// The last sheet of this stop in a store; `None` when there is none.
pub(crate) fn kept(store: &dyn Store, made: &Made) -> Result<Option<Kept>, Failure> {
    let runs = stillprop_ledger::runs::of_aircraft(store, &made.head.aircraft)?;
    let Some(last) = made.last_of(runs) else { return Ok(None) };
    let mut records = Vec::new();
    store.read_subject(&Subject::sheet(last.run.sheet), &mut |record| {
        records.push(record.to_record());
        ControlFlow::Continue(())
    })?;
    Ok(Some(Kept { run: last.run, records, changed: last.changed }))
}

/// The record of a stop.
pub(crate) fn record(stop: &Stop<'_>, made: &Made, kept: Option<&Kept>) -> Paper {
    let mut paper = of_stop(Kind::Record, stop);
    let mut facts = vec![fact("Hash of the documents", made.documents.clone())];
    match kept {
        None => {
            paper.blocks.push(Block::Facts(facts));
            paper.blocks.push(Block::Warning(
                "No run sheet of this stop is in the records that were looked in: nothing is proven \
                 to have been done."
                    .into(),
            ));
        }
        Some(kept) => {
            facts.extend([
                fact("Run sheet", kept.run.sheet.to_string()),
                fact("Stands", standing(&kept.run.standing)),
                fact("Records", kept.records.len().to_string()),
            ]);
            paper.blocks.push(Block::Facts(facts));
            if kept.changed {
                paper.blocks.push(Block::Warning(
                    "The documents have changed since this sheet was begun: the limits below are of \
                     the documents as they are now."
                        .into(),
                ));
            }
            paper.blocks.extend(done(stop, kept));
        }
    }
    paper.blocks.extend(limits(stop, &stillprop_turnaround::limits::Family::ASSESSED));
    paper.blocks.extend(notes(stop));
    paper.blocks.push(Block::Blanks(
        ["Pilot in command, name and signature", "Date and time"].map(str::to_owned).to_vec(),
    ));
    paper
}

fn standing(standing: &Standing) -> String {
    match standing {
        Standing::Open => "open".into(),
        Standing::Interrupted => "broken off".into(),
        Standing::Stopped(stops) => format!("STOPPED, {} stop(s) called", stops.len()),
        Standing::Closed(Outcome::Finished) => "finished".into(),
        Standing::Closed(_) => "ended before its end".into(),
    }
}

fn done(stop: &Stop<'_>, kept: &Kept) -> Vec<Block> {
    let offset = stop.stage.here.offset;
    let rows = kept.records.iter().map(|record| {
        let at = convert::instant(record.order.at_ms).map(|at| offset.to_datetime(at));
        let at = at.map(|at| at.strftime("%Y-%m-%d %H:%M:%S").to_string());
        let event = record.event().ok();
        let event = event.and_then(|event| match event {
            Body::V1(event) => serde_json::to_value(event).ok(),
            Body::V2(event) => serde_json::to_value(event).ok(),
        });
        let mut event = event.unwrap_or_else(|| "a record that cannot be read".into());
        if let Some(fields) = event.as_object_mut().and_then(|event| event.values_mut().next())
            && let Some(fields) = fields.as_object_mut()
        {
            // It stands at the head of the paper.
            fields.remove("sheet");
        }
        Row::from_iter([
            at.unwrap_or_else(|| "unknown".into()),
            record.author.clone(),
            history::plain(&event),
            record.hash.to_string(),
        ])
    });
    let columns = ["When, local", "Who", "What", "Hash of the record"];
    let mut blocks = vec![
        Block::Heading("What was recorded".into()),
        Block::Table(Table { columns: columns.map(Column::words).to_vec(), rows: rows.collect() }),
        Block::Small(
            "Each record holds the hash of the one before it from the same device; \
             stillprop yard verify looks at every one in the ledger."
                .into(),
        ),
    ];
    if !kept.run.findings.is_empty() {
        let findings = kept.run.findings.iter().map(|it| format!("{:?} ({})", it.what, it.record));
        blocks.push(Block::Heading("Does not add up".into()));
        blocks.push(Block::List(findings.collect()));
    }
    blocks
}
