//! A yard and the store its records are in.

use std::ops::ControlFlow;

use super::Yard;
use crate::{
    record::{Record, Subject},
    snapshot::{self, Snapshot},
    store::{Store, StoreError},
};

/// Under which the snapshot is kept.
const NAME: &str = "yard";

impl Yard {
    /// The yard of all records in `store`, from its snapshot where one can be trusted.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    pub fn open(store: &dyn Store) -> Result<Self, StoreError> {
        let kept = snapshot::load(store, NAME)?;
        let yard = kept.and_then(|Snapshot { heads, bytes }| {
            Some(Self { heads, ..Self::decode(&bytes).ok()? })
        });
        yard.unwrap_or_default().refresh(store)
    }

    /// Takes what came into `store` since, of this device or others.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read; the yard is gone then.
    pub fn refresh(self, store: &dyn Store) -> Result<Self, StoreError> {
        let heads = self.heads.clone();
        let mut intake = self.intake();
        store.read_since(&heads, &mut |record| {
            intake.push(record);
            ControlFlow::Continue(())
        })?;
        intake.settle(&mut |subject| records_of(store, subject))
    }

    /// Keeps a snapshot beside the records.
    ///
    /// # Errors
    ///
    /// [`StoreError`]; then the snapshot before is still there.
    pub fn keep(&self, store: &mut dyn Store) -> Result<(), StoreError> {
        let (heads, bytes) = (self.heads.clone(), self.encode());
        snapshot::keep(store, NAME, &Snapshot { heads, bytes })
    }
}

fn records_of(store: &dyn Store, subject: &Subject) -> Result<Vec<Record>, StoreError> {
    let mut records = Vec::new();
    store.read_subject(subject, &mut |record| {
        records.push(record.to_record());
        ControlFlow::Continue(())
    })?;
    Ok(records)
}
