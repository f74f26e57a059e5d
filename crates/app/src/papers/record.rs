//! The record of a stop: every record on its run sheet, with its hash.

use std::ops::ControlFlow;

use stillprop_ledger::{
    record::{Record, RecordId, Subject},
    runs::Run,
    store::Store,
};
use stillprop_papers::{Block, Column, Paper, Row, Table};

use super::{Kind, Stop, fact, limits, notes, of_stop};
use crate::{
    problem::Failure,
    sheet::begin::Made,
    yard::{
        convert,
        words::{self, Names},
    },
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
                fact("Stands", words::standing(&kept.run.standing)),
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
            paper.blocks.extend(done(stop, made, kept));
        }
    }
    paper.blocks.extend(limits(stop, &stillprop_turnaround::limits::Family::ASSESSED));
    paper.blocks.extend(notes(stop));
    paper.blocks.push(Block::Blanks(
        ["Pilot in command, name and signature", "Date and time"].map(str::to_owned).to_vec(),
    ));
    paper
}

fn done(stop: &Stop<'_>, made: &Made, kept: &Kept) -> Vec<Block> {
    let names = Names { yard: None, tasks: &made.sheet.tasks };
    let rows = kept.records.iter().map(|record| {
        let what = match record.event() {
            Ok(event) => words::body(&event, names),
            Err(_) => words::UNREADABLE.to_owned(),
        };
        Row::from_iter([
            local(stop, record.order.at_ms),
            record.author.clone(),
            what,
            grouped(&record.hash.to_string()),
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
        blocks.push(Block::Heading("Does not add up".into()));
        blocks.push(Block::Table(findings(stop, kept, names)));
    }
    blocks
}

/// What does not add up, each with the record that it is about and its hash.
fn findings(stop: &Stop<'_>, kept: &Kept, names: Names<'_>) -> Table {
    let hash = |id: RecordId| {
        let record = kept.records.iter().find(|record| record.id == id);
        record.map_or_else(|| "not here".to_owned(), |record| grouped(&record.hash.to_string()))
    };
    let rows = kept.run.findings.iter().map(|finding| {
        Row::from_iter([
            local(stop, finding.at_ms),
            words::oddity(&finding.what, names),
            finding.record.to_string(),
            hash(finding.record),
        ])
    });
    let columns = ["When, local", "What", "Record", "Its hash"];
    Table { columns: columns.map(Column::words).to_vec(), rows: rows.collect() }
}

/// A hash in groups of sixteen digits: for the eye, and so that a line may break between them.
fn grouped(hash: &str) -> String {
    let digits: Vec<char> = hash.chars().collect();
    let groups: Vec<String> = digits.chunks(16).map(|group| group.iter().collect()).collect();
    groups.join(" ")
}

fn local(stop: &Stop<'_>, at_ms: i64) -> String {
    let at = convert::instant(at_ms).map(|at| stop.stage.here.offset.to_datetime(at));
    let at = at.map(|at| at.strftime("%Y-%m-%d %H:%M:%S").to_string());
    at.unwrap_or_else(|| "unknown".into())
}

#[cfg(test)]
mod tests {
    use stillprop_ledger::{
        event::v2::{Doer, Event, SheetOpened, TaskDone},
        record::DeviceId,
        store::Memory,
    };
    use stillprop_turnaround::assess::assess;

    use super::*;
    use crate::{load, world, yard::drafts};

    #[test]
    fn what_does_not_add_up_is_said_in_words_with_record_and_hash() {
        let source = world::read("demo").unwrap();
        let (stage, choice) = load::turnaround(&source, None, Some("demo")).unwrap();
        let units = stage.document_units;
        let assessment = assess(&stage, &choice, &units);
        let stop = Stop { stage: &stage, choice: &choice, assessment: &assessment, units: &units };
        let made = Made::of(&source, &stage, &choice, None).unwrap();
        let sheet = world::new_id();
        let opened = Event::SheetOpened(SheetOpened {
            sheet,
            turnaround: made.head.title.clone(),
            aircraft: made.head.aircraft.clone(),
            place: made.head.place.clone(),
            documents: made.documents.clone(),
            method: made.head.method.clone(),
            people: 1,
        });
        let task = made.sheet.tasks[0].clone();
        let done = || {
            let by = Doer { role: "pilot".into(), person: None };
            let (reading, note) = (None, None);
            Event::TaskDone(TaskDone { sheet, task: task.id.clone(), by, reading, note })
        };
        let at = "2026-11-01T08:00:00Z".parse().unwrap();
        let mut store = Memory::new();
        let events = drafts("Odrin Kestow", at, vec![opened, done(), done()]);
        store.append(DeviceId(world::new_id()), events).unwrap();
        let kept = kept(&store, &made).unwrap().unwrap();
        let paper = record(&stop, &made, Some(&kept));
        let heading = Block::Heading("Does not add up".into());
        let place = paper.blocks.iter().position(|block| *block == heading).unwrap();
        let Block::Table(table) = &paper.blocks[place + 1] else { panic!("no table") };
        let cells: Vec<&str> = table.rows[0].cells.iter().map(|cell| cell.words.as_str()).collect();
        assert_eq!(cells[1], format!("done though it was done already: {}", task.title));
        let last = kept.records.last().unwrap();
        assert_eq!(cells[2], last.id.to_string());
        assert_eq!(cells[3].replace(' ', ""), last.hash.to_string());
        assert_eq!(cells[3].split(' ').map(str::len).collect::<Vec<_>>(), [16; 4]);
    }
}
