//! Records in one SQLite file: write-ahead log, full sync, one writer at a time.
//!
//! Everything that is true of the log is read inside the transaction that writes, so several
//! programs may have the file open.

mod backup;
mod examine;
mod fault;
mod file;
mod rows;
mod write;

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};

pub use self::{backup::restore, file::Access};
use self::{
    fault::fault,
    write::{Log, write, write_fork},
};
use super::{
    Head, Heads, Inserted, Store, StoreError, Take,
    slot::{self, Place, Slots},
};
use crate::record::{DeviceId, Draft, Hash, Record, RecordId};

/// A store in a file.
#[derive(Debug)]
pub struct Sqlite {
    connection: Connection,
}

impl Sqlite {
    /// Makes a new, empty ledger. Either it is there whole or not at all.
    ///
    /// # Errors
    ///
    /// [`StoreError::Exists`] when the name is taken; others when it cannot be written.
    pub fn create(path: &Path) -> Result<Self, StoreError> {
        file::create(path)?;
        Self::open(path, Access::Write)
    }

    /// Opens a ledger. A file that is none, or is damaged so that it shows, is not touched.
    ///
    /// # Errors
    ///
    /// [`StoreError`], which says what a person can do.
    pub fn open(path: &Path, access: Access) -> Result<Self, StoreError> {
        Ok(Self { connection: file::open(path, access)? })
    }

    /// Lets the file grow to `pages` pages of 4096 bytes and no further, for as long as it is
    /// open. What would need more is refused as [`StoreError::Full`], as on a full disk.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the file cannot be read.
    pub fn cap(&mut self, pages: u32) -> Result<(), StoreError> {
        let now = |row: &rusqlite::Row<'_>| row.get::<_, i64>(0);
        let sql = format!("PRAGMA max_page_count = {pages}");
        self.connection.query_row(&sql, [], now).map(drop).map_err(fault)
    }

    /// Runs `work` in one durable transaction; all of it happens, or none.
    fn durably<T>(
        &mut self,
        work: impl FnOnce(&Connection) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let behavior = TransactionBehavior::Immediate;
        let transaction = self.connection.transaction_with_behavior(behavior).map_err(fault)?;
        let done = work(&transaction)?;
        transaction.commit().map_err(fault)?;
        Ok(done)
    }
}

impl Store for Sqlite {
    fn last_time(&self, device: DeviceId) -> Result<Option<i64>, StoreError> {
        Ok(Log(&self.connection).tip(device)?.map(|tip| tip.at_ms))
    }

    fn append(&mut self, device: DeviceId, drafts: Vec<Draft>) -> Result<Vec<Record>, StoreError> {
        self.durably(|connection| {
            let drafts = drafts.into_iter().enumerate();
            drafts
                .map(|(index, draft)| {
                    let record = slot::next(&Log(connection), device, index, draft)?;
                    write(connection, &record)?;
                    Ok(record)
                })
                .collect()
        })
    }

    fn insert_foreign(&mut self, records: &[Record]) -> Result<Inserted, StoreError> {
        self.durably(|connection| {
            let mut inserted = Inserted::default();
            for (index, record) in records.iter().enumerate() {
                match slot::place(&Log(connection), index, record)? {
                    Place::Log => {
                        write(connection, record)?;
                        inserted.new += 1;
                    }
                    Place::Fork => {
                        write_fork(connection, record)?;
                        inserted.forks.push(record.id);
                    }
                    Place::Repeat => inserted.repeats += 1,
                }
            }
            Ok(inserted)
        })
    }

    fn get(&self, id: RecordId) -> Result<Option<Record>, StoreError> {
        rows::one(&self.connection, id)
    }

    fn hash_at(&self, device: DeviceId, seq: u64) -> Result<Option<Hash>, StoreError> {
        Log(&self.connection).hash_in(device, seq)
    }

    fn heads(&self) -> Result<Heads, StoreError> {
        let mut heads = Heads::new();
        for (_, device) in rows::devices(&self.connection)? {
            let tip = Log(&self.connection).tip(device)?;
            heads.extend(tip.map(|tip| (device, tip.head)));
        }
        Ok(heads)
    }

    fn read_since(&self, heads: &Heads, take: &mut Take<'_>) -> Result<(), StoreError> {
        let from = |device| heads.get(&device).map_or(0, |Head { seq, .. }| seq + 1);
        rows::merged(&self.connection, from, take)
    }

    fn read_mentions(&self, key: &str, take: &mut Take<'_>) -> Result<(), StoreError> {
        rows::mentioning(&self.connection, key, take)
    }

    fn forks(&self) -> Result<Vec<Record>, StoreError> {
        rows::forks(&self.connection)
    }

    fn examine(&self) -> Result<Vec<String>, StoreError> {
        examine::examine(&self.connection)
    }

    fn keep(&mut self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        let sql = "INSERT INTO kept VALUES (?1, ?2) ON CONFLICT DO UPDATE SET bytes = ?2";
        self.durably(|connection| {
            connection.execute(sql, params![name, bytes]).map(drop).map_err(fault)
        })
    }

    fn kept(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let sql = "SELECT bytes FROM kept WHERE name = ?1";
        let bytes = self.connection.query_row(sql, [name], |row| row.get(0)).optional();
        bytes.map_err(fault)
    }
}
