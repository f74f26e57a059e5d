//! Copies of a ledger, made while it is in use.

use std::{path::Path, time::Duration};

use rusqlite::backup::Backup;

use super::{Access, Sqlite, file};
use crate::{
    chain::{self, Report},
    store::StoreError,
};

/// Pages copied at a time. When others write in between, SQLite sees to it that the copy is
/// still that of one moment.
const PAGES: i32 = 4096;

impl Sqlite {
    /// Copies the ledger as of one moment under a name that is free. The copy gets its name
    /// only when it was verified.
    ///
    /// # Errors
    ///
    /// [`StoreError::Exists`] when the name is taken; [`StoreError::Damaged`] when the copy
    /// is not sound, and then there is none.
    pub fn backup(&self, to: &Path) -> Result<Report, StoreError> {
        let copy = |connection: &mut _| {
            let backup = Backup::new(&self.connection, connection)?;
            backup.run_to_completion(PAGES, Duration::ZERO, None)
        };
        file::publish(to, copy, |made| {
            let report = chain::verify(&Self::open(made, Access::Read)?)?;
            if report.is_sound() {
                Ok(report)
            } else {
                Err(StoreError::Damaged(report.to_string()))
            }
        })
    }
}

/// Puts a backup back under a name that is free, and verifies it. The backup is only read.
///
/// A device whose log was set back like this must go on under a new device id: what it wrote
/// since the backup may be known elsewhere, and writing those slots anew would be a fork.
///
/// # Errors
///
/// As for [`Sqlite::backup`].
pub fn restore(backup: &Path, to: &Path) -> Result<Report, StoreError> {
    Sqlite::open(backup, Access::Read)?.backup(to)
}
