//! Where records are kept. A store is small: append, read since, read by subject.
//!
//! Two stores keep one contract, told as one story in `tests/store_story.rs`: [`Memory`], and
//! [`Sqlite`] with the feature `sqlite`. What may go into a slot is decided in one place for
//! both.

mod error;
mod memory;
mod slot;
#[cfg(feature = "sqlite")]
mod sqlite;

use std::{collections::BTreeMap, ops::ControlFlow};

#[cfg(feature = "sqlite")]
pub use self::sqlite::{Access, Sqlite, restore};
pub use self::{
    error::{Refusal, StoreError},
    memory::Memory,
};
use crate::record::{DeviceId, Draft, Hash, Record, RecordId, RecordRef, Subject};

/// The last record of a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// Its sequence number.
    pub seq: u64,
    /// Its hash, which stands for everything before it.
    pub hash: Hash,
}

/// How far each device's log is known.
pub type Heads = BTreeMap<DeviceId, Head>;

/// Takes records one by one, and may stop.
pub type Take<'a> = dyn FnMut(RecordRef<'_>) -> ControlFlow<()> + 'a;

/// What became of records that were brought in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Inserted {
    /// New here.
    pub new: u64,
    /// Already here.
    pub repeats: u64,
    /// Records that claim a slot which another record holds, or that follow one that does.
    /// Both are kept; the one that came first is folded.
    pub forks: Vec<RecordId>,
}

/// A store of records. Only ever added to.
///
/// All reading by `read_*` is in the order of the fold ([`crate::record::Order`]). Forks are
/// read by [`forks`](Self::forks) alone.
pub trait Store {
    /// Appends drafts of this device, all or none, in one durable transaction. What is
    /// returned was acknowledged by the disk.
    ///
    /// The time of a record is that of its draft, or that of the device's record before when
    /// the clock has gone back since.
    ///
    /// # Errors
    ///
    /// [`StoreError`]; then nothing was recorded.
    fn append(&mut self, device: DeviceId, drafts: Vec<Draft>) -> Result<Vec<Record>, StoreError>;

    /// Brings in records of other devices, each device's in its own order; all or none.
    ///
    /// # Errors
    ///
    /// [`StoreError::Refused`] names the first record that cannot be taken; then none was.
    fn insert_foreign(&mut self, records: &[Record]) -> Result<Inserted, StoreError>;

    /// One record.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn get(&self, id: RecordId) -> Result<Option<Record>, StoreError>;

    /// The hash of the record in a slot.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn hash_at(&self, device: DeviceId, seq: u64) -> Result<Option<Hash>, StoreError>;

    /// When a device last recorded, in milliseconds; nothing it records later lies before.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn last_time(&self, device: DeviceId) -> Result<Option<i64>, StoreError>;

    /// How far each device's log is known.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn heads(&self) -> Result<Heads, StoreError>;

    /// All records.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn read_all(&self, take: &mut Take<'_>) -> Result<(), StoreError> {
        self.read_since(&Heads::new(), take)
    }

    /// The records after `heads`; all records of a device that is not in `heads`.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn read_since(&self, heads: &Heads, take: &mut Take<'_>) -> Result<(), StoreError>;

    /// The records about a subject.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn read_subject(&self, subject: &Subject, take: &mut Take<'_>) -> Result<(), StoreError> {
        // A record mentions its own subject, so one index serves both.
        self.read_mentions(&subject.0, &mut |record| {
            if record.subject == subject.0 { take(record) } else { ControlFlow::Continue(()) }
        })
    }

    /// The records that mention a key: [`crate::record::mentions`].
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn read_mentions(&self, key: &str, take: &mut Take<'_>) -> Result<(), StoreError>;

    /// Records kept beside the log because their slot, or a slot before, holds another.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn forks(&self) -> Result<Vec<Record>, StoreError>;

    /// What the store finds wrong with itself, in words; nothing when it is sound.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn examine(&self) -> Result<Vec<String>, StoreError>;

    /// Keeps bytes beside the records under a name, in place of those before. Not a record:
    /// see [`crate::snapshot`].
    ///
    /// # Errors
    ///
    /// [`StoreError`]; then the bytes before are still there.
    fn keep(&mut self, name: &str, bytes: &[u8]) -> Result<(), StoreError>;

    /// The bytes kept under a name.
    ///
    /// # Errors
    ///
    /// [`StoreError`] when the store cannot be read.
    fn kept(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError>;
}
