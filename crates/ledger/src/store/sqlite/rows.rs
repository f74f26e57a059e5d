//! Rows of the file as records.

use std::{cmp::Reverse, collections::BinaryHeap, ops::ControlFlow};

use rusqlite::{
    Connection, OptionalExtension, Row,
    fallible_streaming_iterator::FallibleStreamingIterator as _,
    params,
    types::{FromSqlResult, ValueRef},
};
use uuid::Uuid;

use super::fault::{fault, wrong_kind};
use crate::{
    record::{DeviceId, Hash, Order, Record, RecordId, RecordRef, SEQ_MAX},
    store::{StoreError, Take},
};

/// Bits of a slot that are the sequence number.
const SEQ_BITS: u32 = SEQ_MAX.count_ones();

const COLUMNS: &str = "slot, record.id, at_ms, author, subject, body, previous, hash";

/// The slot of a record, given the number of its device.
pub(super) fn slot(no: i64, seq: u64) -> Result<i64, StoreError> {
    i64::try_from(seq)
        .ok()
        .filter(|_| seq <= SEQ_MAX)
        .and_then(|seq| no.checked_mul(1 << SEQ_BITS)?.checked_add(seq))
        .ok_or_else(|| StoreError::System("no slot is left".into()))
}

/// The number of the device and the sequence number.
pub(super) fn parts(slot: i64) -> (i64, u64) {
    (slot >> SEQ_BITS, slot.cast_unsigned() & SEQ_MAX)
}

/// Devices with their numbers here.
pub(super) fn devices(connection: &Connection) -> Result<Vec<(i64, DeviceId)>, StoreError> {
    let mut statement =
        connection.prepare_cached("SELECT no, id FROM device ORDER BY no").map_err(fault)?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, uuid(row.get_ref(1)?)?)));
    let rows = rows.and_then(Iterator::collect::<Result<Vec<_>, _>>).map_err(fault)?;
    Ok(rows.into_iter().map(|(no, id)| (no, DeviceId(id))).collect())
}

/// All records from a sequence number on, in the order of the fold: each device's records lie
/// in that order already, so they only need merging.
pub(super) fn merged(
    connection: &Connection,
    from: impl Fn(DeviceId) -> u64,
    take: &mut Take<'_>,
) -> Result<(), StoreError> {
    // All devices are read as of one moment. Inside a caller's reading, that moment is taken.
    let _moment = connection.is_autocommit().then(|| connection.unchecked_transaction());
    let devices = devices(connection)?;
    let sql = format!("SELECT {COLUMNS} FROM record WHERE slot BETWEEN ?1 AND ?2 ORDER BY slot");
    let mut statements = Vec::with_capacity(devices.len());
    for _ in &devices {
        statements.push(connection.prepare_cached(&sql).map_err(fault)?);
    }
    let mut logs = Vec::with_capacity(devices.len());
    let mut next = BinaryHeap::with_capacity(devices.len());
    for (statement, (no, device)) in statements.iter_mut().zip(devices) {
        let range = params![slot(no, from(device).min(SEQ_MAX))?, slot(no, SEQ_MAX)?];
        let mut rows = statement.query(range).map_err(fault)?;
        rows.advance().map_err(fault)?;
        if let Some(row) = rows.get() {
            next.push(Reverse((order(row, device)?, logs.len())));
        }
        logs.push((device, rows));
    }
    while let Some(Reverse((_, log))) = next.pop() {
        let Some((device, rows)) = logs.get_mut(log) else { break };
        if let Some(row) = rows.get()
            && take(record(row, *device)?) == ControlFlow::Break(())
        {
            break;
        }
        rows.advance().map_err(fault)?;
        if let Some(row) = rows.get() {
            next.push(Reverse((order(row, *device)?, log)));
        }
    }
    Ok(())
}

/// The records that mention a key, in the order of the fold.
pub(super) fn mentioning(
    connection: &Connection,
    key: &str,
    take: &mut Take<'_>,
) -> Result<(), StoreError> {
    let sql = format!(
        "SELECT {COLUMNS}, device.id FROM key JOIN mention ON mention.key = key.no \
         JOIN record USING (slot) JOIN device ON device.no = slot >> {SEQ_BITS} \
         WHERE key.text = ?1 ORDER BY at_ms, device.id, slot"
    );
    let mut statement = connection.prepare_cached(&sql).map_err(fault)?;
    let mut rows = statement.query([key]).map_err(fault)?;
    while let Some(row) = rows.next().map_err(fault)? {
        let device = DeviceId(row.get_ref(8).and_then(|value| Ok(uuid(value)?)).map_err(fault)?);
        if take(record(row, device)?) == ControlFlow::Break(()) {
            break;
        }
    }
    Ok(())
}

/// The record with an id.
pub(super) fn one(connection: &Connection, id: RecordId) -> Result<Option<Record>, StoreError> {
    let sql = format!(
        "SELECT {COLUMNS}, device.id FROM place JOIN record USING (slot) \
         JOIN device ON device.no = slot >> {SEQ_BITS} WHERE place.id = ?1"
    );
    let mut statement = connection.prepare_cached(&sql).map_err(fault)?;
    let found = statement
        .query_row([id.0.as_bytes()], |row| {
            let device = DeviceId(uuid(row.get_ref(8)?)?);
            Ok(record(row, device).map(RecordRef::to_record))
        })
        .optional();
    found.map_err(fault)?.transpose()
}

/// The records beside the log.
pub(super) fn forks(connection: &Connection) -> Result<Vec<Record>, StoreError> {
    let sql = "SELECT seq, id, at_ms, author, subject, body, previous, hash, device FROM fork \
               ORDER BY at_ms, device, seq, hash";
    let mut statement = connection.prepare_cached(sql).map_err(fault)?;
    let mut rows = statement.query([]).map_err(fault)?;
    let mut forks = Vec::new();
    while let Some(row) = rows.next().map_err(fault)? {
        let device = DeviceId(row.get_ref(8).and_then(|value| Ok(uuid(value)?)).map_err(fault)?);
        // The sequence number stands where a slot would; its upper part is then empty.
        forks.push(record(row, device)?.to_record());
    }
    Ok(forks)
}

fn order(row: &Row<'_>, device: DeviceId) -> Result<Order, StoreError> {
    let (_, seq) = parts(row.get(0).map_err(fault)?);
    Ok(Order { at_ms: row.get(2).map_err(fault)?, device, seq })
}

fn record<'a>(row: &'a Row<'_>, device: DeviceId) -> Result<RecordRef<'a>, StoreError> {
    let order = order(row, device)?;
    let value = |column| row.get_ref(column).map_err(fault);
    let (id, author, subject) = (value(1)?, value(3)?, value(4)?);
    let (body, previous, hash) = (value(5)?, value(6)?, value(7)?);
    let read = || -> FromSqlResult<RecordRef<'a>> {
        Ok(RecordRef {
            id: RecordId(uuid(id)?),
            order,
            author: author.as_str()?,
            subject: subject.as_str()?,
            body: body.as_str()?,
            previous: read_hash(previous)?,
            hash: read_hash(hash)?,
        })
    };
    read().map_err(|error| wrong_kind(row.get(0).unwrap_or(-1), &error))
}

fn uuid(value: ValueRef<'_>) -> FromSqlResult<Uuid> {
    let blob = value.as_blob()?;
    Uuid::from_slice(blob).map_err(rusqlite::types::FromSqlError::other)
}

/// A hash in a column.
pub(super) fn read_hash(value: ValueRef<'_>) -> FromSqlResult<Hash> {
    let blob = value.as_blob()?;
    blob.try_into().map(Hash).map_err(rusqlite::types::FromSqlError::other)
}
