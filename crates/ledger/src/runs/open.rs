//! Sheets and the store their records are in.

use std::{collections::BTreeSet, ops::ControlFlow};

use uuid::Uuid;

use super::{Run, fold, sheet_of};
use crate::{
    record::{Record, Subject},
    store::{Store, StoreError},
};

/// One sheet; `None` when no record speaks of it.
///
/// # Errors
///
/// [`StoreError`] when the store cannot be read.
pub fn read(store: &dyn Store, sheet: Uuid) -> Result<Option<Run>, StoreError> {
    let mut records: Vec<Record> = Vec::new();
    store.read_subject(&Subject::sheet(sheet), &mut |record| {
        records.push(record.to_record());
        ControlFlow::Continue(())
    })?;
    Ok(fold(&records).remove(&sheet))
}

/// Every sheet that was ever opened for an aircraft, the one opened last at the end.
///
/// # Errors
///
/// [`StoreError`] when the store cannot be read.
pub fn of_aircraft(store: &dyn Store, registration: &str) -> Result<Vec<Run>, StoreError> {
    let mut sheets = BTreeSet::new();
    store.read_mentions(&format!("aircraft:{registration}"), &mut |record| {
        sheets.extend(sheet_of(record.subject));
        ControlFlow::Continue(())
    })?;
    let mut runs = Vec::new();
    for sheet in sheets {
        runs.extend(read(store, sheet)?);
    }
    runs.sort_by_key(|run| (run.lines.first().map(|line| line.at_ms), run.sheet));
    Ok(runs)
}
