//! Whether all chains are whole: every record says what was written, in the order it was
//! written, with none missing between.
//!
//! What cannot be seen in one file: that its last records are gone. Another device that knows
//! a later head can see it.

use std::{collections::BTreeMap, fmt, ops::ControlFlow};

use crate::{
    record::{DeviceId, Flaw, Hash, Order, RecordId, RecordRef},
    store::{Head, Heads, Store, StoreError},
};

/// What a walk over all chains found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// Records seen in the log.
    pub records: u64,
    /// Of these, those of a newer version, which this program keeps and cannot fold.
    pub newer: u64,
    /// The last sound record of each device.
    pub heads: Heads,
    /// The first bad record of each device that has one, in the order of the fold.
    pub bad: Vec<Bad>,
    /// Records beside the log: same slot, another record. For a person to look at.
    pub forks: Vec<RecordId>,
    /// What the store finds wrong with itself.
    pub damage: Vec<String>,
}

impl Report {
    /// True when nothing is damaged. Forks are not damage: both records are whole.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.bad.is_empty() && self.damage.is_empty()
    }
}

/// A bad record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bad {
    /// Its id, as stored.
    pub id: RecordId,
    /// Its place, as stored.
    pub order: Order,
    /// What is wrong with it.
    pub fault: Fault,
}

/// What is wrong with a record, by itself or where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// By itself.
    Flawed(Flaw),
    /// Records before it are missing, from this sequence number on.
    Gap(u64),
    /// It does not follow the record before it.
    Previous,
    /// Its time lies before that of the record before it.
    TimeFell,
}

/// Walks every chain.
///
/// # Errors
///
/// [`StoreError`] when the store cannot be read for another reason than damage, which goes
/// into the report.
pub fn verify(store: &dyn Store) -> Result<Report, StoreError> {
    let mut report = Report::default();
    let mut walks: BTreeMap<DeviceId, Walk> = BTreeMap::new();
    let read = store.read_all(&mut |record| {
        report.records += 1;
        report.newer += u64::from(is_newer(record));
        let walk = walks.entry(record.order.device).or_default();
        if let Err(fault) = walk.step(record) {
            report.bad.push(Bad { id: record.id, order: record.order, fault });
        }
        ControlFlow::Continue(())
    });
    or_damage(read, &mut report.damage)?;
    let heads = walks.into_iter().filter_map(|(device, walk)| Some((device, walk.head?)));
    report.heads = heads.collect();
    if let Some(forks) = or_damage(store.forks(), &mut report.damage)? {
        for fork in &forks {
            if let Err(flaw) = fork.as_ref().check() {
                let fault = Fault::Flawed(flaw);
                report.bad.push(Bad { id: fork.id, order: fork.order, fault });
            }
        }
        report.forks = forks.iter().map(|fork| fork.id).collect();
    }
    let found = or_damage(store.examine(), &mut report.damage)?;
    report.damage.extend(found.unwrap_or_default());
    Ok(report)
}

fn is_newer(record: RecordRef<'_>) -> bool {
    let known = ["{\"v1\":", "{\"v2\":"].iter().any(|key| record.body.starts_with(key));
    !known && matches!(record.event(), Err(crate::record::BodyError::Newer(_)))
}

/// Damage is what is looked for; any other error ends the walk.
fn or_damage<T>(
    read: Result<T, StoreError>,
    damage: &mut Vec<String>,
) -> Result<Option<T>, StoreError> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(StoreError::Damaged(place)) => {
            damage.push(place);
            Ok(None)
        }
        Err(error) => Err(error),
    }
}

/// One device's chain as far as it was walked.
#[derive(Debug, Default)]
struct Walk {
    head: Option<Head>,
    at_ms: Option<i64>,
    /// After the first bad record nothing more is said: what follows hangs on it.
    broken: bool,
}

impl Walk {
    fn step(&mut self, record: RecordRef<'_>) -> Result<(), Fault> {
        if self.broken {
            return Ok(());
        }
        let fault = self.fault(record);
        self.broken = fault.is_some();
        if let Some(fault) = fault {
            return Err(fault);
        }
        self.head = Some(Head { seq: record.order.seq, hash: record.hash });
        self.at_ms = Some(record.order.at_ms);
        Ok(())
    }

    fn fault(&self, record: RecordRef<'_>) -> Option<Fault> {
        let (next, previous) = self.head.map_or((0, Hash::NONE), |head| (head.seq + 1, head.hash));
        if record.order.seq != next {
            return Some(Fault::Gap(next));
        }
        if let Err(flaw) = record.check() {
            return Some(Fault::Flawed(flaw));
        }
        if record.previous != previous {
            return Some(Fault::Previous);
        }
        self.at_ms.is_some_and(|before| before > record.order.at_ms).then_some(Fault::TimeFell)
    }
}

impl fmt::Display for Bad {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Order { device, seq, .. } = self.order;
        write!(f, "record {seq} of device {device} (id {}): ", self.id)?;
        match &self.fault {
            Fault::Flawed(flaw) => flaw.fmt(f),
            Fault::Gap(missing) => write!(f, "record {missing} is missing before it"),
            Fault::Previous => f.write_str("it does not follow the record before it"),
            Fault::TimeFell => f.write_str("its time lies before that of the record before it"),
        }
    }
}

impl fmt::Display for Report {
    /// The first thing that is wrong, or that all is well.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.bad.first(), self.damage.first()) {
            (Some(bad), _) => bad.fmt(f),
            (None, Some(damage)) => f.write_str(damage),
            (None, None) => write!(f, "{} records, all chains whole", self.records),
        }
    }
}
