//! The tables, and the file they are in.

use std::{fs, io, path::Path, time::Duration};

use rusqlite::Connection;

use super::StoreError;

/// Version of the tables, kept in the file.
const VERSION: i64 = 1;

/// How long one program waits for another that writes.
const PATIENCE: Duration = Duration::from_secs(5);

const TABLES: &str = "
    CREATE TABLE person (
        folded TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL, phrase TEXT,
        failures INTEGER NOT NULL DEFAULT 0, added_ms INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE session (
        hash BLOB PRIMARY KEY, begun_ms INTEGER NOT NULL, used_ms INTEGER NOT NULL,
        person TEXT NOT NULL REFERENCES person ON DELETE CASCADE
    ) STRICT, WITHOUT ROWID;
    CREATE INDEX session_person ON session (person);
    CREATE TABLE code (
        person TEXT PRIMARY KEY REFERENCES person ON DELETE CASCADE,
        hash BLOB NOT NULL, made_ms INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE tried (id INTEGER PRIMARY KEY CHECK (id = 1), tries INTEGER NOT NULL) STRICT;
    CREATE TABLE own (id INTEGER PRIMARY KEY CHECK (id = 1), token BLOB NOT NULL) STRICT;
    CREATE TABLE certificate (
        id INTEGER PRIMARY KEY CHECK (id = 1), certificate BLOB NOT NULL, pem TEXT NOT NULL,
        key BLOB NOT NULL, ends_ms INTEGER NOT NULL
    ) STRICT;
";

/// Makes the file for its owner alone before anything is in it. SQLite gives its side files the
/// same rights.
pub(super) fn private(path: &Path) -> io::Result<()> {
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        fs::create_dir_all(folder)?;
    }
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    match options.open(path) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => tighten(path),
        made => made.map(drop),
    }
}

/// A file that was copied may have come with wider rights.
#[cfg(unix)]
fn tighten(path: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let rights = fs::metadata(path)?.permissions();
    if rights.mode() & 0o077 == 0 {
        return Ok(());
    }
    fs::set_permissions(path, fs::Permissions::from_mode(0o600))
}

/// On other systems the rights of the folder hold.
#[cfg(not(unix))]
fn tighten(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Makes the tables where there are none.
pub(super) fn prepare(connection: &Connection) -> Result<(), StoreError> {
    connection.busy_timeout(PATIENCE)?;
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // What is deleted, a session or a code, is not to be found in the file either.
    connection.pragma_update(None, "secure_delete", true)?;
    let version = || connection.query_row("PRAGMA user_version", [], |row| row.get::<_, i64>(0));
    if version()? == 0 {
        connection.execute_batch("BEGIN IMMEDIATE")?;
        // Another program may have been quicker.
        let made = if version()? == 0 {
            connection.execute_batch(&format!("{TABLES} PRAGMA user_version = {VERSION};"))
        } else {
            Ok(())
        };
        connection.execute_batch(if made.is_ok() { "COMMIT" } else { "ROLLBACK" })?;
        made?;
    }
    match version()? {
        VERSION => Ok(()),
        other => Err(StoreError(format!("it is of another version of the program ({other})"))),
    }
}
