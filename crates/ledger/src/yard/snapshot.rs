//! A yard as bytes, so that it opens without reading every record again.
//!
//! The bytes are canonical: the same facts give the same bytes, however they came about. They
//! are no archive. Another version, or bytes that do not fit, mean a fold from the records.

use std::{collections::BTreeMap, error::Error, fmt};

use serde::{Serialize, de::DeserializeOwned};

use super::{Container, Home, Name, Stamp, Yard, names::Names, told::Topic};

/// Raised by every change of the layout, and of what the fold makes of records.
const VERSION: u32 = 1;

/// Why bytes are not a yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SnapshotError {
    /// Written by a program that lays it out in another way.
    Version(u32),
    /// Not what was written.
    Damaged,
}

impl fmt::Display for SnapshotError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Version(version) => write!(
                f,
                "the snapshot of the yard has version {version}, this program writes {VERSION}; \
                 fold the yard from its records"
            ),
            Self::Damaged => {
                f.write_str("the snapshot of the yard is damaged; fold the yard from its records")
            }
        }
    }
}

impl Error for SnapshotError {}

impl Yard {
    /// The yard as bytes.
    #[must_use]
    pub fn encode(&self) -> Vec<u8> {
        self.write(&self.homes)
    }

    /// The containers and batches as bytes, without what is only kept to take more records.
    pub(super) fn facts(&self) -> Vec<u8> {
        self.write(&BTreeMap::new())
    }

    fn write(&self, homes: &BTreeMap<Topic, Home>) -> Vec<u8> {
        let (words, numbers) = self.words(homes);
        let mut rename = |name: &mut Name| {
            if let Some(number) = numbers.get(name) {
                *name = *number;
            }
        };
        let mut bytes = Vec::new();
        put(&mut bytes, &VERSION);
        put(&mut bytes, &words);
        put(&mut bytes, &self.containers.len());
        for container in self.containers.values() {
            let mut container = container.clone();
            container.each_name(&mut rename);
            put(&mut bytes, &container);
        }
        let mut batches = self.batches.clone();
        for batch in batches.values_mut() {
            batch.each_stamp(&mut |stamp: &mut Stamp| rename(&mut stamp.by));
        }
        put(&mut bytes, &batches);
        let mut homes = homes.clone();
        homes.values_mut().for_each(|home| home.each_name(&mut rename));
        put(&mut bytes, &homes);
        bytes
    }

    /// The yard of [`Yard::encode`].
    ///
    /// # Errors
    ///
    /// [`SnapshotError`] when the bytes are of another version or not of a yard.
    pub fn decode(bytes: &[u8]) -> Result<Self, SnapshotError> {
        let mut bytes = bytes;
        let version = get::<u32>(&mut bytes)?;
        if version != VERSION {
            return Err(SnapshotError::Version(version));
        }
        let mut yard = Self::default();
        for word in get::<Vec<String>>(&mut bytes)? {
            yard.names.of(&word);
        }
        for _ in 0..get::<usize>(&mut bytes)? {
            let container: Container = get(&mut bytes)?;
            yard.containers.insert(container.id, container);
        }
        yard.batches = get(&mut bytes)?;
        yard.homes = get(&mut bytes)?;
        if !bytes.is_empty() {
            return Err(SnapshotError::Damaged);
        }
        let by_flight = yard.containers.values().flat_map(|it| {
            it.draws.iter().filter_map(|draw| draw.flight.map(|flight| (flight, it.id)))
        });
        yard.by_flight = by_flight.collect();
        let by_batch = yard.containers.values();
        let by_batch = by_batch.flat_map(|it| it.fills.iter().map(|fill| (fill.batch, it.id)));
        yard.by_batch = by_batch.collect();
        Ok(yard)
    }

    /// Every word in use, sorted, and the number each name has among them. Words that a
    /// correction made idle are left behind.
    fn words(&self, homes: &BTreeMap<Topic, Home>) -> (Vec<&str>, BTreeMap<Name, Name>) {
        let mut used = BTreeMap::new();
        let mut note = |name: &mut Name| {
            used.insert(*name, *name);
        };
        for container in self.containers.values() {
            container.clone().each_name(&mut note);
        }
        for batch in self.batches.values() {
            batch.clone().each_stamp(&mut |stamp: &mut Stamp| note(&mut stamp.by));
        }
        homes.values().for_each(|home| home.clone().each_name(&mut note));
        let mut words: Vec<&str> = used.keys().map(|name| self.text(*name)).collect();
        words.sort_unstable();
        let mut names = Names::default();
        words.iter().for_each(|word| {
            names.of(word);
        });
        for (old, new) in &mut used {
            *new = names.of(self.text(*old));
        }
        (words, used)
    }
}

impl Home {
    fn each_name(&mut self, visit: &mut impl FnMut(&mut Name)) {
        self.findings.iter_mut().for_each(|found| visit(&mut found.stamp.by));
    }
}

fn put<T: Serialize + ?Sized>(bytes: &mut Vec<u8>, value: &T) {
    // Writing to memory cannot fail, and no type of the yard refuses to be written; an empty
    // snapshot would be refused when read.
    *bytes = postcard::to_extend(value, std::mem::take(bytes)).unwrap_or_default();
}

fn get<T: DeserializeOwned>(bytes: &mut &[u8]) -> Result<T, SnapshotError> {
    let (value, rest) = postcard::take_from_bytes(bytes).map_err(|_| SnapshotError::Damaged)?;
    *bytes = rest;
    Ok(value)
}

#[cfg(test)]
mod tests {
    use sha2::{Digest, Sha256};

    use super::*;
    use crate::record::{DeviceId, Hash, Order, Record, RecordId, Subject};

    /// A drum that is filled, poured into another and corrected, and its batch recalled.
    fn yard() -> Yard {
        let drum = uuid::Uuid::from_u128(1);
        let bodies = [
            r#"{"v1":{"received":{"container":"00000000-0000-0000-0000-000000000001","kind":"drum","label":"NT-01","place":"Nessow Top","grade":"avgas 100LL","batch":"VF-7","supplier":"Vessary Fuels","filled":"2026-07-01","contents_ml":200000,"temperature_mdegc":21500,"capacity_ml":208000,"seals":["1"],"maker_number":null}}}"#,
            r#"{"v1":{"drawn":{"container":"00000000-0000-0000-0000-000000000001","volume_ml":50000,"into":{"container":"00000000-0000-0000-0000-000000000002"},"flight":"a"}}}"#,
            r#"{"v1":{"corrected":{"of":"00000000-0000-0000-0000-000000000009","instead":null,"reason":"typed wrongly"}}}"#,
            r#"{"v1":{"batch-recalled":{"batch":"VF-7","reason":"water found"}}}"#,
        ];
        let records: Vec<Record> = bodies
            .iter()
            .zip(0..)
            .map(|(body, seq)| Record {
                id: RecordId(uuid::Uuid::from_u128(u128::from(seq) + 7)),
                order: Order { at_ms: 1000, device: DeviceId(drum), seq },
                author: "Odrin Kestow".into(),
                subject: if seq == 3 { Subject::batch("VF-7") } else { Subject::container(drum) },
                body: (*body).into(),
                previous: Hash::NONE,
                hash: Hash::NONE,
            })
            .collect();
        let mut intake = Yard::default().intake();
        records.iter().for_each(|it| intake.push(it.as_ref()));
        let read = |subject: &Subject| -> Result<Vec<Record>, std::convert::Infallible> {
            Ok(records.iter().filter(|it| it.subject == *subject).cloned().collect())
        };
        intake.settle(&mut { read }).unwrap()
    }

    /// If this fails, the layout changed: raise [`VERSION`], then take the new digest.
    #[test]
    fn the_layout_changes_only_with_the_version() {
        let digest: String =
            Sha256::digest(yard().encode()).iter().map(|byte| format!("{byte:02x}")).collect();
        let frozen = (1, "58f3a729f80329dbaaf963ec3d7946e2a5e620b9f6fe5576863e61ec5cec645c");
        assert_eq!((VERSION, digest.as_str()), frozen);
    }

    #[test]
    fn what_is_not_a_snapshot_of_this_version_is_refused() {
        let bytes = yard().encode();
        assert_eq!(Yard::decode(&bytes).map(|it| it.encode()), Ok(bytes.clone()));
        for end in 0..bytes.len() {
            assert_eq!(Yard::decode(&bytes[..end]).unwrap_err(), SnapshotError::Damaged, "{end}");
        }
        let longer = [&bytes[..], &[0]].concat();
        assert_eq!(Yard::decode(&longer).unwrap_err(), SnapshotError::Damaged);
        let mut other = bytes;
        other[0] += 1;
        let error = Yard::decode(&other).unwrap_err();
        assert_eq!(error, SnapshotError::Version(2));
        assert!(error.to_string().contains("fold the yard from its records"));
    }
}
