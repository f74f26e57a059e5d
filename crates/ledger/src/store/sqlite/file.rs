//! The file itself: made whole, looked at before it is touched, opened.

use std::{
    fs::{self, File},
    io::{ErrorKind, Read},
    path::{Path, PathBuf},
    time::Duration,
};

use rusqlite::{Connection, MAIN_DB, OpenFlags, config::DbConfig};

use super::fault::fault;
use crate::store::StoreError;

/// "SPLG": says in the header of the file whose it is.
const APPLICATION: u32 = 0x5350_4c47;
/// Version of the tables.
const VERSION: u32 = 1;
const SCHEMA: &str = include_str!("schema.sql");

/// How long to wait while another program writes.
const PATIENCE: Duration = Duration::from_secs(5);
/// Statements kept ready; more than there are.
const STATEMENTS: usize = 32;

/// A connection is never shared between threads, so SQLite need not lock it: twice as fast.
const UNSHARED: OpenFlags = OpenFlags::SQLITE_OPEN_NO_MUTEX;

/// What a file is opened for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Reading and writing. Files of SQLite lie beside it while it is open.
    Write,
    /// Reading what nobody writes meanwhile: a backup, or a disk that cannot be written to.
    /// Nothing is made beside it.
    Read,
}

/// Makes an empty ledger under a name that is free.
pub(super) fn create(path: &Path) -> Result<(), StoreError> {
    let fill = |connection: &mut Connection| {
        connection.execute_batch(&format!(
            "PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {VERSION}; \
             PRAGMA journal_mode = WAL; BEGIN; {SCHEMA} COMMIT;"
        ))
    };
    publish(path, fill, |_| Ok(()))
}

/// Fills a new file beside its place, judges it, and only then puts it there: what was begun
/// and not ended never has the name of a ledger, and a file that is there is never replaced.
pub(super) fn publish<T>(
    path: &Path,
    fill: impl FnOnce(&mut Connection) -> rusqlite::Result<()>,
    judge: impl FnOnce(&Path) -> Result<T, StoreError>,
) -> Result<T, StoreError> {
    if path.symlink_metadata().is_ok() {
        return Err(StoreError::Exists(path.display().to_string()));
    }
    let made = beside(path, &format!(".new-{}", std::process::id()));
    let judged = fill_file(&made, fill).and_then(|()| {
        let judged = judge(&made)?;
        name(&made, path)?;
        Ok(judged)
    });
    for rest in ["", "-wal", "-shm", "-journal"] {
        // After a rename there is nothing left to remove.
        let _ = fs::remove_file(beside(&made, rest));
    }
    // The name too must outlast a power cut. Not every system can sync a folder.
    if let Some(folder) = path.parent().and_then(|folder| File::open(folder).ok()) {
        let _ = folder.sync_all();
    }
    judged
}

/// Gives a file its name, unless another has it.
fn name(made: &Path, path: &Path) -> Result<(), StoreError> {
    let exists = || StoreError::Exists(path.display().to_string());
    match fs::hard_link(made, path) {
        Ok(()) => Ok(()),
        Err(_) if path.symlink_metadata().is_ok() => Err(exists()),
        // Some disks have no links.
        Err(_) => fs::rename(made, path).map_err(system),
    }
}

fn fill_file(
    made: &Path,
    fill: impl FnOnce(&mut Connection) -> rusqlite::Result<()>,
) -> Result<(), StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | UNSHARED;
    let mut connection = Connection::open_with_flags(made, flags).map_err(fault)?;
    fill(&mut connection).map_err(fault)?;
    connection.close().map_err(|(_, error)| fault(error))?;
    File::open(made).and_then(|file| file.sync_all()).map_err(system)
}

/// Opens a ledger after looking at it.
pub(super) fn open(path: &Path, access: Access) -> Result<Connection, StoreError> {
    look_at_header(path)?;
    let unfinished = has_unfinished(path);
    if !unfinished {
        // Nothing else holds part of the content, so that looking at it leaves no trace.
        let connection = open_still(path)?;
        look_at_tables(&connection)?;
        if access == Access::Read {
            connection.set_prepared_statement_cache_capacity(STATEMENTS);
            return Ok(connection);
        }
    }
    let flags = match access {
        Access::Write => OpenFlags::SQLITE_OPEN_READ_WRITE,
        Access::Read => OpenFlags::SQLITE_OPEN_READ_ONLY,
    };
    let connection = Connection::open_with_flags(path, flags | UNSHARED).map_err(fault)?;
    if access == Access::Write && connection.is_readonly(MAIN_DB).map_err(fault)? {
        return Err(StoreError::ReadOnly);
    }
    connection.busy_timeout(PATIENCE).map_err(fault)?;
    connection.set_prepared_statement_cache_capacity(STATEMENTS);
    if unfinished {
        // Until it proves to be ours, closing must not tidy it up.
        let keep = DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE;
        connection.set_db_config(keep, true).map_err(fault)?;
        look_at_tables(&connection)?;
        connection.set_db_config(keep, false).map_err(fault)?;
    }
    settle(&connection)?;
    Ok(connection)
}

/// Sets what the promise to lose nothing rests on.
fn settle(connection: &Connection) -> Result<(), StoreError> {
    let mode = "PRAGMA journal_mode";
    let mode: String = connection.query_row(mode, [], |row| row.get(0)).map_err(fault)?;
    if mode != "wal" {
        return Err(StoreError::Damaged(format!("its journal is {mode}, and was made as wal")));
    }
    // The full syncs are for systems whose plain sync leaves data in the disk's own memory.
    connection
        .execute_batch(
            "PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; PRAGMA checkpoint_fullfsync = ON; \
             PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF;",
        )
        .map_err(fault)
}

/// Reads the header as plain bytes (SQLite file format 3, section 1.3, from memory).
fn look_at_header(path: &Path) -> Result<(), StoreError> {
    let name = || path.display().to_string();
    let mut file = File::open(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => StoreError::Missing(name()),
        _ => system(error),
    })?;
    let about = file.metadata().map_err(system)?;
    let mut header = [0_u8; 100];
    if !about.is_file() || file.read_exact(&mut header).is_err() {
        return Err(StoreError::NotALedger(name()));
    }
    let number = |at: usize| {
        let bytes = header.get(at..at + 4).and_then(|bytes| bytes.try_into().ok());
        bytes.map_or(0, u32::from_be_bytes)
    };
    if !header.starts_with(b"SQLite format 3\0") || number(68) != APPLICATION {
        return Err(StoreError::NotALedger(name()));
    }
    match number(60) {
        VERSION => {}
        0 => return Err(StoreError::NotALedger(name())),
        _ => return Err(StoreError::Newer(name())),
    }
    let page = u64::from(number(16) >> 16);
    let pages = u64::from(number(28));
    // Unfinished work may hold what the file itself lacks.
    if about.len() < page * pages && !has_unfinished(path) {
        return Err(StoreError::Damaged(format!("{} is cut off", name())));
    }
    Ok(())
}

/// True when a write-ahead log with content lies beside the file.
fn has_unfinished(path: &Path) -> bool {
    fs::metadata(beside(path, "-wal")).is_ok_and(|about| about.len() > 0)
}

/// Opens a file that is all there is, leaving no trace.
fn open_still(path: &Path) -> Result<Connection, StoreError> {
    let path = std::path::absolute(path).map_err(system)?;
    let Some(text) = path.to_str() else {
        let what = format!("the name {} cannot be used", path.display());
        return Err(StoreError::System(what));
    };
    let mut uri = String::from("file:");
    if cfg!(windows) {
        uri.push('/');
    }
    for letter in text.chars() {
        match letter {
            '%' => uri.push_str("%25"),
            '?' => uri.push_str("%3f"),
            '#' => uri.push_str("%23"),
            '\\' if cfg!(windows) => uri.push('/'),
            other => uri.push(other),
        }
    }
    uri.push_str("?immutable=1");
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
    Connection::open_with_flags(uri, flags | UNSHARED).map_err(fault)
}

/// The tables are those of this version.
fn look_at_tables(connection: &Connection) -> Result<(), StoreError> {
    let ours = Connection::open_in_memory().map_err(fault)?;
    ours.execute_batch(SCHEMA).map_err(fault)?;
    if tables(connection)? == tables(&ours)? {
        Ok(())
    } else {
        Err(StoreError::Damaged("its tables are not those it was made with".into()))
    }
}

fn tables(connection: &Connection) -> Result<Vec<String>, StoreError> {
    let sql = "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name";
    let mut statement = connection.prepare(sql).map_err(fault)?;
    let rows = statement.query_map([], |row| row.get(0));
    rows.and_then(Iterator::collect).map_err(fault)
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

fn system(error: std::io::Error) -> StoreError {
    match error.kind() {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => StoreError::ReadOnly,
        ErrorKind::StorageFull => StoreError::Full,
        _ => StoreError::System(error.to_string()),
    }
}
