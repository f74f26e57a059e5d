//! Whether the file is sound: its pages, and whether the index agrees with the log.

use std::{
    hash::{DefaultHasher, Hash as _, Hasher},
    ops::ControlFlow,
};

use rusqlite::Connection;
use uuid::Uuid;

use super::{
    fault::fault,
    rows::{devices, merged, slot},
};
use crate::{record::DeviceId, store::StoreError};

/// Everything that is wrong with the file; the chains are walked elsewhere.
pub(super) fn examine(connection: &Connection) -> Result<Vec<String>, StoreError> {
    let mut found = pages(connection)?;
    if !found.is_empty() {
        // What hangs on broken pages would only be named twice.
        return Ok(found);
    }
    let devices = devices(connection)?;
    let (log, records) = of_log(connection, &devices)?;
    let (index, places) = of_index(connection)?;
    if log != index || places != records {
        found.push("the index does not agree with the log".into());
    }
    let all: u64 = count(connection, "SELECT count(*) FROM record")?;
    if all != records {
        found.push(format!("{} records are of no known device", all.abs_diff(records)));
    }
    Ok(found)
}

fn pages(connection: &Connection) -> Result<Vec<String>, StoreError> {
    let mut statement = connection.prepare("PRAGMA integrity_check").map_err(fault)?;
    let lines = statement.query_map([], |row| row.get(0));
    let mut lines: Vec<String> = lines.and_then(Iterator::collect).map_err(fault)?;
    lines.retain(|line| line != "ok");
    Ok(lines)
}

/// A sum over entries that does not heed their order. Two different sets have the same sum
/// once in 2^64.
#[derive(Debug, Default, PartialEq)]
struct Tally(u64);

impl Tally {
    fn add(&mut self, key: &str, slot: i64) {
        let mut hasher = DefaultHasher::new();
        (key, slot).hash(&mut hasher);
        self.0 = self.0.wrapping_add(hasher.finish());
    }

    /// The id of a record, as a key that no event can have.
    fn add_id(&mut self, id: Uuid, slot: i64) {
        self.add(&format!("id {id}"), slot);
    }
}

/// What the index should hold, and how many records there are.
fn of_log(
    connection: &Connection,
    devices: &[(i64, DeviceId)],
) -> Result<(Tally, u64), StoreError> {
    let (mut tally, mut records, mut lost) = (Tally::default(), 0, None);
    merged(connection, |_| 0, &mut |record| {
        let no = devices.iter().find(|(_, device)| *device == record.order.device);
        match no.map(|(no, _)| slot(*no, record.order.seq)) {
            Some(Ok(slot)) => {
                records += 1;
                tally.add_id(record.id.0, slot);
                record.mentions().iter().for_each(|key| tally.add(key, slot));
                ControlFlow::Continue(())
            }
            other => {
                lost = other;
                ControlFlow::Break(())
            }
        }
    })?;
    match lost {
        Some(Err(error)) => Err(error),
        _ => Ok((tally, records)),
    }
}

/// What the index holds, and how many records it places.
fn of_index(connection: &Connection) -> Result<(Tally, u64), StoreError> {
    let mut tally = Tally::default();
    let sql = "SELECT text, slot FROM mention JOIN key ON no = key";
    let mut statement = connection.prepare(sql).map_err(fault)?;
    let mut rows = statement.query([]).map_err(fault)?;
    while let Some(row) = rows.next().map_err(fault)? {
        let key = row.get_ref(0).and_then(|text| Ok(text.as_str()?)).map_err(fault)?;
        tally.add(key, row.get(1).map_err(fault)?);
    }
    let mut statement = connection.prepare("SELECT id, slot FROM place").map_err(fault)?;
    let mut rows = statement.query([]).map_err(fault)?;
    let mut places = 0;
    while let Some(row) = rows.next().map_err(fault)? {
        let id: [u8; 16] = row.get(0).map_err(fault)?;
        tally.add_id(Uuid::from_bytes(id), row.get(1).map_err(fault)?);
        places += 1;
    }
    Ok((tally, places))
}

fn count(connection: &Connection, sql: &str) -> Result<u64, StoreError> {
    let count: i64 = connection.query_row(sql, [], |row| row.get(0)).map_err(fault)?;
    Ok(count.unsigned_abs())
}
