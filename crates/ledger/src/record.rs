//! An event with author, time and its place in a device's hash chain.

use jiff::Timestamp;
use uuid::Uuid;

use crate::event::Event;

/// A device that writes a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct DeviceId(pub Uuid);

/// A record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RecordId(pub Uuid);

/// What records are about; the unit that is folded by itself.
///
/// `container:<uuid>` or `batch:<name>`. A correction has the subject of what it corrects.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Subject(pub String);

/// Place in the one order in which records of all devices are folded: by time, then device,
/// then sequence number. A device's own times never fall, so its records keep their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Order {
    /// When it was recorded, whole milliseconds.
    pub at_ms: i64,
    /// By which device.
    pub device: DeviceId,
    /// Which of its records, from 0.
    pub seq: u64,
}

/// SHA-256 of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Hash(pub [u8; 32]);

/// A record as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// UUIDv7, made by the device.
    pub id: RecordId,
    /// Place in the fold.
    pub order: Order,
    /// Who states it.
    pub author: String,
    /// What it is about.
    pub subject: Subject,
    /// The event as JSON text, exactly as it was first written: [`crate::event::Body`].
    pub body: String,
    /// Hash of the device's record before; all zero for its first.
    pub previous: Hash,
    /// Hash of this record with everything above.
    pub hash: Hash,
}

/// What is needed to make the next record of a device.
#[derive(Clone, Debug)]
pub struct Draft {
    /// UUIDv7 from outside: this crate has no clock and no chance.
    pub id: RecordId,
    /// Time from outside.
    pub at: Timestamp,
    /// Who states it.
    pub author: String,
    /// What happened.
    pub event: Event,
}
