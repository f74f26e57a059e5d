//! Writing, inside a transaction that the caller holds.

use rusqlite::{CachedStatement, Connection, OptionalExtension, Params, params};

use super::{
    fault::{fault, wrong_kind},
    rows::{parts, read_hash, slot},
};
use crate::{
    record::{DeviceId, Hash, Record, RecordId, SEQ_MAX, Subject},
    store::{
        Head, StoreError,
        slot::{Slots, Tip},
    },
};

/// The log of a file, as the rules of slots see it.
pub(super) struct Log<'a>(pub(super) &'a Connection);

impl Log<'_> {
    fn number(&self, device: DeviceId) -> Result<Option<i64>, StoreError> {
        let mut statement = prepare(self.0, "SELECT no FROM device WHERE id = ?1")?;
        let no = statement.query_row([device.0.as_bytes()], |row| row.get(0));
        no.optional().map_err(fault)
    }
}

impl Slots for Log<'_> {
    fn tip(&self, device: DeviceId) -> Result<Option<Tip>, StoreError> {
        let Some(no) = self.number(device)? else { return Ok(None) };
        let sql = "SELECT slot, at_ms, hash FROM record WHERE slot BETWEEN ?1 AND ?2 \
                   ORDER BY slot DESC LIMIT 1";
        let mut statement = prepare(self.0, sql)?;
        let mut rows = statement.query([slot(no, 0)?, slot(no, SEQ_MAX)?]).map_err(fault)?;
        let Some(row) = rows.next().map_err(fault)? else { return Ok(None) };
        let slot = row.get(0).map_err(fault)?;
        let (_, seq) = parts(slot);
        let hash = row.get_ref(2).map_err(fault)?;
        let hash = read_hash(hash).map_err(|error| wrong_kind(slot, &error))?;
        Ok(Some(Tip { head: Head { seq, hash }, at_ms: row.get(1).map_err(fault)? }))
    }

    fn hash_in(&self, device: DeviceId, seq: u64) -> Result<Option<Hash>, StoreError> {
        let Some(no) = self.number(device)?.filter(|_| seq <= SEQ_MAX) else { return Ok(None) };
        let mut statement = prepare(self.0, "SELECT hash FROM record WHERE slot = ?1")?;
        let hash =
            statement.query_row([slot(no, seq)?], |row| Ok(read_hash(row.get_ref(0)?)?)).optional();
        hash.map_err(fault)
    }

    fn is_fork(&self, hash: Hash) -> Result<bool, StoreError> {
        let mut statement = prepare(self.0, "SELECT 1 FROM fork WHERE hash = ?1")?;
        statement.exists([&hash.0]).map_err(fault)
    }

    fn subject_of(&self, id: RecordId) -> Result<Option<Subject>, StoreError> {
        let sql = "SELECT subject FROM place JOIN record USING (slot) WHERE place.id = ?1";
        let mut statement = prepare(self.0, sql)?;
        let subject = statement.query_row([id.0.as_bytes()], |row| row.get(0)).optional();
        Ok(subject.map_err(fault)?.map(Subject))
    }
}

/// Writes a record into its slot, with all that is derived from it.
pub(super) fn write(connection: &Connection, record: &Record) -> Result<(), StoreError> {
    let device = record.order.device;
    let log = Log(connection);
    let no = match log.number(device)? {
        Some(no) => no,
        None => {
            let sql = "INSERT INTO device (id) VALUES (?1)";
            run(connection, sql, [device.0.as_bytes()])?;
            connection.last_insert_rowid()
        }
    };
    let slot = slot(no, record.order.seq)?;
    let Record { id, order, author, subject, body, previous, hash } = record;
    run(
        connection,
        "INSERT INTO record VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        params![slot, id.0.as_bytes(), order.at_ms, author, subject.0, body, previous.0, hash.0],
    )?;
    run(connection, "INSERT INTO place VALUES (?1, ?2)", params![id.0.as_bytes(), slot])?;
    for key in record.as_ref().mentions() {
        run(connection, "INSERT INTO key (text) VALUES (?1) ON CONFLICT DO NOTHING", [&key])?;
        let sql = "INSERT INTO mention SELECT no, ?2 FROM key WHERE text = ?1";
        run(connection, sql, params![key, slot])?;
    }
    Ok(())
}

/// Writes a record beside the log.
pub(super) fn write_fork(connection: &Connection, record: &Record) -> Result<(), StoreError> {
    let Record { id, order, author, subject, body, previous, hash } = record;
    let (device, seq) = (order.device.0, order.seq.cast_signed());
    run(
        connection,
        "INSERT INTO fork (hash, device, seq, id, at_ms, author, subject, body, previous) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        params![
            hash.0,
            device.as_bytes(),
            seq,
            id.0.as_bytes(),
            order.at_ms,
            author,
            subject.0,
            body,
            previous.0
        ],
    )
}

fn prepare<'a>(
    connection: &'a Connection,
    sql: &'static str,
) -> Result<CachedStatement<'a>, StoreError> {
    connection.prepare_cached(sql).map_err(fault)
}

fn run(connection: &Connection, sql: &'static str, params: impl Params) -> Result<(), StoreError> {
    prepare(connection, sql)?.execute(params).map(drop).map_err(fault)
}
