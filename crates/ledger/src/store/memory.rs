//! Records in memory: for tests, for folding an export, and where there are no files.

use std::{
    collections::{BTreeMap, BTreeSet, HashMap},
    ops::ControlFlow,
};

use super::{
    Head, Heads, Inserted, Store, StoreError, Take,
    slot::{self, Place, Slots, Tip},
};
use crate::record::{DeviceId, Draft, Hash, Order, Record, RecordId, Subject};

/// A store that lives as long as the program does.
#[derive(Debug, Default)]
pub struct Memory {
    /// All records, as they are folded.
    log: BTreeMap<Order, Record>,
    /// Where each record is.
    ids: HashMap<RecordId, Order>,
    /// Times and hashes of each device's records, by sequence number.
    devices: BTreeMap<DeviceId, Vec<(i64, Hash)>>,
    mentions: BTreeMap<String, BTreeSet<Order>>,
    forks: BTreeMap<(Order, Hash), Record>,
    fork_hashes: BTreeSet<Hash>,
    kept: BTreeMap<String, Vec<u8>>,
}

impl Memory {
    /// An empty store.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    fn write(&mut self, record: Record) {
        let order = record.order;
        for key in record.as_ref().mentions() {
            self.mentions.entry(key).or_default().insert(order);
        }
        self.ids.insert(record.id, order);
        self.devices.entry(order.device).or_default().push((order.at_ms, record.hash));
        self.log.insert(order, record);
    }

    fn write_fork(&mut self, record: Record) {
        self.fork_hashes.insert(record.hash);
        self.forks.insert((record.order, record.hash), record);
    }

    /// Takes a record out again that was written last, when one after it was refused.
    fn unwrite(&mut self, record: &Record) {
        let order = record.order;
        if let Some(entries) = self.devices.get_mut(&order.device) {
            entries.pop();
            if entries.is_empty() {
                self.devices.remove(&order.device);
            }
        }
        for key in record.as_ref().mentions() {
            if let Some(orders) = self.mentions.get_mut(&key) {
                orders.remove(&order);
            }
        }
        self.ids.remove(&record.id);
        self.log.remove(&order);
    }

    fn unwrite_fork(&mut self, record: &Record) {
        self.fork_hashes.remove(&record.hash);
        self.forks.remove(&(record.order, record.hash));
    }

    fn insert_until_refused(
        &mut self,
        records: &[Record],
        written: &mut Vec<(Place, usize)>,
    ) -> Result<Inserted, StoreError> {
        let mut inserted = Inserted::default();
        for (index, record) in records.iter().enumerate() {
            let place = slot::place(self, index, record)?;
            match place {
                Place::Log => {
                    self.write(record.clone());
                    inserted.new += 1;
                }
                Place::Fork => {
                    self.write_fork(record.clone());
                    inserted.forks.push(record.id);
                }
                Place::Repeat => inserted.repeats += 1,
            }
            written.push((place, index));
        }
        Ok(inserted)
    }
}

impl Slots for Memory {
    fn tip(&self, device: DeviceId) -> Result<Option<Tip>, StoreError> {
        let Some(entries) = self.devices.get(&device) else { return Ok(None) };
        let seq = entries.len().saturating_sub(1) as u64;
        Ok(entries.last().map(|&(at_ms, hash)| Tip { head: Head { seq, hash }, at_ms }))
    }

    fn hash_in(&self, device: DeviceId, seq: u64) -> Result<Option<Hash>, StoreError> {
        let entries = self.devices.get(&device);
        let entry = usize::try_from(seq).ok().and_then(|seq| entries?.get(seq));
        Ok(entry.map(|&(_, hash)| hash))
    }

    fn is_fork(&self, hash: Hash) -> Result<bool, StoreError> {
        Ok(self.fork_hashes.contains(&hash))
    }

    fn subject_of(&self, id: RecordId) -> Result<Option<Subject>, StoreError> {
        Ok(self.get(id)?.map(|record| record.subject))
    }
}

impl Store for Memory {
    fn last_time(&self, device: DeviceId) -> Result<Option<i64>, StoreError> {
        Ok(self.tip(device)?.map(|tip| tip.at_ms))
    }

    fn append(&mut self, device: DeviceId, drafts: Vec<Draft>) -> Result<Vec<Record>, StoreError> {
        let mut written: Vec<Record> = Vec::new();
        for (index, draft) in drafts.into_iter().enumerate() {
            match slot::next(self, device, index, draft) {
                Ok(record) => {
                    self.write(record.clone());
                    written.push(record);
                }
                Err(error) => {
                    written.iter().rev().for_each(|record| self.unwrite(record));
                    return Err(error);
                }
            }
        }
        Ok(written)
    }

    fn insert_foreign(&mut self, records: &[Record]) -> Result<Inserted, StoreError> {
        let mut written = Vec::new();
        let inserted = self.insert_until_refused(records, &mut written);
        if inserted.is_err() {
            for (place, index) in written.into_iter().rev() {
                match (place, records.get(index)) {
                    (Place::Log, Some(record)) => self.unwrite(record),
                    (Place::Fork, Some(record)) => self.unwrite_fork(record),
                    _ => {}
                }
            }
        }
        inserted
    }

    fn get(&self, id: RecordId) -> Result<Option<Record>, StoreError> {
        Ok(self.ids.get(&id).and_then(|order| self.log.get(order)).cloned())
    }

    fn hash_at(&self, device: DeviceId, seq: u64) -> Result<Option<Hash>, StoreError> {
        self.hash_in(device, seq)
    }

    fn heads(&self) -> Result<Heads, StoreError> {
        let mut heads = Heads::new();
        for device in self.devices.keys() {
            heads.extend(self.tip(*device)?.map(|tip| (*device, tip.head)));
        }
        Ok(heads)
    }

    fn read_since(&self, heads: &Heads, take: &mut Take<'_>) -> Result<(), StoreError> {
        let is_new = |order: &Order| heads.get(&order.device).is_none_or(|h| h.seq < order.seq);
        for (_, record) in self.log.iter().filter(|(order, _)| is_new(order)) {
            if take(record.as_ref()) == ControlFlow::Break(()) {
                break;
            }
        }
        Ok(())
    }

    fn read_mentions(&self, key: &str, take: &mut Take<'_>) -> Result<(), StoreError> {
        let orders = self.mentions.get(key).into_iter().flatten();
        for record in orders.filter_map(|order| self.log.get(order)) {
            if take(record.as_ref()) == ControlFlow::Break(()) {
                break;
            }
        }
        Ok(())
    }

    fn forks(&self) -> Result<Vec<Record>, StoreError> {
        Ok(self.forks.values().cloned().collect())
    }

    fn examine(&self) -> Result<Vec<String>, StoreError> {
        // Nothing but this program's own code can reach its memory; the chains say the rest.
        Ok(Vec::new())
    }

    fn keep(&mut self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        self.kept.insert(name.to_owned(), bytes.to_owned());
        Ok(())
    }

    fn kept(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.kept.get(name).cloned())
    }
}
