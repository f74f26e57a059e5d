//! An event with author, time and its place in a device's hash chain.
//!
//! # Bytes under the hash
//!
//! SHA-256 (FIPS 180-4; the crate `sha2`, checked against another implementation in
//! `tests/frozen.rs`) over these fields in this order, each with its length in bytes before it
//! as an unsigned 64-bit big-endian number:
//!
//! | field | bytes |
//! |---|---|
//! | tag | `stillprop.record.1` |
//! | id | 16 |
//! | device | 16 |
//! | seq | 8, unsigned big-endian |
//! | at | 8, signed big-endian, milliseconds since 1970-01-01 UTC |
//! | author | UTF-8 |
//! | subject | UTF-8 |
//! | body | UTF-8, exactly as stored |
//! | previous | 32 |
//!
//! The lengths keep one field from running into the next; the tag keeps a record from ever
//! having the hash of something else.

use std::{collections::BTreeSet, error::Error, fmt, str::FromStr};

use jiff::Timestamp;
use serde::{Deserialize, Serialize, de::IgnoredAny};
use serde_json::value::RawValue;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::event::{Body, Event, NEWEST, v1::Into, v2};

/// The longest body. Ours are below a kilobyte; more is a mistake. \[bytes\]
pub const BODY_MAX: usize = 1 << 20;
/// The longest author or subject. \[bytes\]
pub const NAME_MAX: usize = 1 << 10;
/// The highest sequence number, far beyond what a device can write.
pub const SEQ_MAX: u64 = (1 << 40) - 1;

const TAG: &str = "stillprop.record.1";

/// A device that writes a log.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct DeviceId(pub Uuid);

/// A record.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct RecordId(pub Uuid);

/// What records are about; the unit that is folded by itself.
///
/// `container:<uuid>`, `batch:<name>` or `sheet:<uuid>`. A correction has the subject of what it
/// corrects.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Subject(pub String);

impl Subject {
    /// What an event of whatever version is about. `None` for a correction that does not say, and
    /// whose subject is that of the record it corrects.
    #[must_use]
    pub fn of_body(body: &Body) -> Option<Self> {
        match body {
            Body::V1(event) => Self::of(event),
            Body::V2(event) => Some(Self::sheet(event.sheet())),
        }
    }

    /// What an event of the yard is about. `None` for a correction, whose subject is that of the
    /// record it corrects.
    #[must_use]
    pub fn of(event: &Event) -> Option<Self> {
        let container = match event {
            Event::Received(of) => of.container,
            Event::Stored(of) => of.container,
            Event::Inspected(of) => of.container,
            Event::Stood(of) => of.container,
            Event::Sampled(of) => of.container,
            Event::Opened(of) => of.container,
            Event::Drawn(of) => of.container,
            Event::PartMarked(of) => of.container,
            Event::Emptied(of) => of.container,
            Event::Condemned(of) => of.container,
            Event::Counted(of) => of.container,
            Event::BatchRecalled(of) => return Some(Self::batch(&of.batch)),
            Event::BatchRetested(of) => return Some(Self::batch(&of.batch)),
            Event::Corrected(_) => return None,
        };
        Some(Self::container(container))
    }

    /// A container.
    #[must_use]
    pub fn container(id: Uuid) -> Self {
        Self(format!("container:{id}"))
    }

    /// A batch.
    #[must_use]
    pub fn batch(name: &str) -> Self {
        Self(format!("batch:{name}"))
    }

    /// A run sheet.
    #[must_use]
    pub fn sheet(id: Uuid) -> Self {
        Self(format!("sheet:{id}"))
    }

    /// True for a run sheet.
    pub(crate) fn is_sheet(&self) -> bool {
        self.0.starts_with("sheet:")
    }
}

/// Everything an event names, as keys to find it by: `container:<uuid>`, `batch:<name>`,
/// `place:<name>`, `flight:<name>`, `aircraft:<registration>`, `sheet:<uuid>`, and for a correction
/// `record:<uuid>` of what it corrects and all that the replacement names.
#[must_use]
pub fn mentions(body: &Body) -> BTreeSet<String> {
    match body {
        Body::V1(event) => yard_mentions(event),
        Body::V2(event) => sheet_mentions(event),
    }
}

fn sheet_mentions(event: &v2::Event) -> BTreeSet<String> {
    let mut keys = BTreeSet::from([Subject::sheet(event.sheet()).0]);
    let opened = match event {
        v2::Event::SheetOpened(opened) => Some(opened),
        v2::Event::Corrected(of) => {
            keys.insert(format!("record:{}", of.of));
            match of.instead.as_deref() {
                Some(v2::Entry::SheetOpened(opened)) => Some(opened),
                _ => None,
            }
        }
        _ => None,
    };
    if let Some(opened) = opened {
        keys.insert(format!("aircraft:{}", opened.aircraft));
        keys.insert(format!("place:{}", opened.place));
    }
    keys
}

fn yard_mentions(event: &Event) -> BTreeSet<String> {
    let mut keys = BTreeSet::new();
    let mut next = Some(event);
    while let Some(event) = next.take() {
        keys.extend(Subject::of(event).map(|Subject(subject)| subject));
        match event {
            Event::Received(of) => {
                keys.insert(format!("batch:{}", of.batch));
                keys.insert(format!("place:{}", of.place));
            }
            Event::Stored(of) => {
                keys.insert(format!("place:{}", of.place));
            }
            Event::Drawn(of) => {
                keys.extend(of.flight.iter().map(|flight| format!("flight:{flight}")));
                keys.extend(match &of.into {
                    Into::Aircraft { registration, .. } => Some(format!("aircraft:{registration}")),
                    Into::Container(id) => Some(format!("container:{id}")),
                    Into::Waste => None,
                });
            }
            Event::Corrected(of) => {
                keys.insert(format!("record:{}", of.of));
                next = of.instead.as_deref();
            }
            _ => {}
        }
    }
    keys
}

/// Place in the one order in which records of all devices are folded: by time, then device,
/// then sequence number. A device's own times never fall, so its records keep their order.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Order {
    /// When it was recorded, whole milliseconds.
    pub at_ms: i64,
    /// By which device.
    pub device: DeviceId,
    /// Which of its records, from 0.
    pub seq: u64,
}

/// SHA-256 of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Hash(pub [u8; 32]);

impl Hash {
    /// What stands before the first record of a device.
    pub const NONE: Self = Self([0; 32]);

    /// Of texts in their order, each with its length before it: stands for documents.
    #[must_use]
    pub fn of(parts: &[&[u8]]) -> Self {
        let mut sha = Sha256::new();
        for part in parts {
            sha.update((part.len() as u64).to_be_bytes());
            sha.update(part);
        }
        Self(sha.finalize().into())
    }
}

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

/// A record inside a store, read without copying.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RecordRef<'a> {
    /// [`Record::id`].
    pub id: RecordId,
    /// [`Record::order`].
    pub order: Order,
    /// [`Record::author`].
    pub author: &'a str,
    /// [`Record::subject`].
    pub subject: &'a str,
    /// [`Record::body`].
    pub body: &'a str,
    /// [`Record::previous`].
    pub previous: Hash,
    /// [`Record::hash`].
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
    pub event: Body,
}

impl Record {
    /// Makes a record of a draft at its place in a chain. The time is that of `order`, which a
    /// store never lets fall behind the record before.
    ///
    /// # Errors
    ///
    /// [`Flaw`] when nobody could read it again as it is.
    pub fn make(
        draft: Draft,
        order: Order,
        subject: Subject,
        previous: Hash,
    ) -> Result<Self, Flaw> {
        let Draft { id, author, event, .. } = draft;
        let body = serde_json::to_string(&event)
            .map_err(|error| Flaw::Body(BodyError::Unreadable(error.to_string())))?;
        let mut record = Self { id, order, author, subject, body, previous, hash: Hash::NONE };
        record.hash = record.as_ref().digest();
        record.as_ref().check()?;
        Ok(record)
    }

    /// The same, borrowed.
    #[must_use]
    pub fn as_ref(&self) -> RecordRef<'_> {
        RecordRef {
            id: self.id,
            order: self.order,
            author: &self.author,
            subject: &self.subject.0,
            body: &self.body,
            previous: self.previous,
            hash: self.hash,
        }
    }

    /// The event, in the version it was written in.
    ///
    /// # Errors
    ///
    /// [`BodyError`] when the body is no event that this program knows.
    pub fn event(&self) -> Result<Body, BodyError> {
        self.as_ref().event()
    }
}

impl RecordRef<'_> {
    /// The same, owned.
    #[must_use]
    pub fn to_record(self) -> Record {
        Record {
            id: self.id,
            order: self.order,
            author: self.author.to_owned(),
            subject: Subject(self.subject.to_owned()),
            body: self.body.to_owned(),
            previous: self.previous,
            hash: self.hash,
        }
    }

    /// The event, in the version it was written in.
    ///
    /// # Errors
    ///
    /// [`BodyError`] when the body is no event that this program knows.
    pub fn event(self) -> Result<Body, BodyError> {
        serde_json::from_str(self.body).map_err(|error| BodyError::of(self.body, &error))
    }

    /// Everything the record names, its subject among it. Of an event that this program
    /// cannot read, the subject alone.
    #[must_use]
    pub fn mentions(self) -> BTreeSet<String> {
        let mut keys = self.event().as_ref().map(mentions).unwrap_or_default();
        keys.insert(self.subject.to_owned());
        keys
    }

    /// The hash that belongs to the other fields.
    #[must_use]
    pub fn digest(self) -> Hash {
        let mut sha = Sha256::new();
        let mut field = |bytes: &[u8]| {
            sha.update((bytes.len() as u64).to_be_bytes());
            sha.update(bytes);
        };
        let Order { at_ms, device: DeviceId(device), seq } = self.order;
        field(TAG.as_bytes());
        field(self.id.0.as_bytes());
        field(device.as_bytes());
        field(&seq.to_be_bytes());
        field(&at_ms.to_be_bytes());
        field(self.author.as_bytes());
        field(self.subject.as_bytes());
        field(self.body.as_bytes());
        field(&self.previous.0);
        Hash(sha.finalize().into())
    }

    /// Checks what can be seen in the record alone. An event of a newer version passes: a
    /// store keeps and hands on what only a newer program can fold.
    ///
    /// # Errors
    ///
    /// The first [`Flaw`].
    pub fn check(self) -> Result<(), Flaw> {
        if self.author.trim().is_empty() {
            return Err(Flaw::NoAuthor);
        }
        if self.author.len().max(self.subject.len()) > NAME_MAX || self.body.len() > BODY_MAX {
            return Err(Flaw::TooLong);
        }
        if self.order.seq > SEQ_MAX {
            return Err(Flaw::Seq);
        }
        if self.digest() != self.hash {
            return Err(Flaw::Hash);
        }
        // A record is one line of an export, with its body inside it byte for byte.
        let raw = serde_json::from_str::<&RawValue>(self.body)
            .map_err(|error| Flaw::Body(BodyError::Unreadable(error.to_string())))?;
        if raw.get() != self.body || self.body.contains(['\n', '\r']) {
            return Err(Flaw::Body(BodyError::Unreadable("it is not on one line".into())));
        }
        match self.event() {
            Ok(Body::V2(v2::Event::Corrected(of)))
                if of.instead.as_ref().is_some_and(|instead| instead.sheet() != of.sheet) =>
            {
                Err(Flaw::Subject)
            }
            Ok(event) => match Subject::of_body(&event) {
                Some(Subject(subject)) if subject != self.subject => Err(Flaw::Subject),
                _ => Ok(()),
            },
            Err(BodyError::Newer(_)) => Ok(()),
            Err(unreadable) => Err(Flaw::Body(unreadable)),
        }
    }
}

/// Why a body cannot be read as an event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BodyError {
    /// A newer program wrote it, in the version named.
    Newer(String),
    /// It is no event, for the reason given.
    Unreadable(String),
}

impl BodyError {
    /// A body that could not be read is of a newer version when its only key says so.
    fn of(body: &str, error: &serde_json::Error) -> Self {
        let outer: Option<std::collections::BTreeMap<String, IgnoredAny>> =
            serde_json::from_str(body).ok();
        let version = outer.filter(|map| map.len() == 1).and_then(|mut map| map.pop_first());
        match version {
            Some((key, _)) if is_newer(&key) => Self::Newer(key),
            _ => Self::Unreadable(error.to_string()),
        }
    }
}

/// Beyond the newest version known here.
fn is_newer(key: &str) -> bool {
    let digits = key.strip_prefix('v').filter(|digits| !digits.starts_with(['0', '+']));
    digits.and_then(|digits| digits.parse::<u32>().ok()).is_some_and(|version| version > NEWEST)
}

/// What is wrong with a record by itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// Nobody states it.
    NoAuthor,
    /// A field is longer than any that is meant.
    TooLong,
    /// The sequence number is beyond [`SEQ_MAX`].
    Seq,
    /// The hash is not that of the other fields: something was altered.
    Hash,
    /// The event is about something else than the record says.
    Subject,
    /// The body is no event.
    Body(BodyError),
}

impl fmt::Display for BodyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Newer(version) => {
                write!(f, "the event is of version {version}; a newer program can read it")
            }
            Self::Unreadable(why) => write!(f, "the event cannot be read: {why}"),
        }
    }
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoAuthor => f.write_str("it has no author"),
            Self::TooLong => f.write_str("a field is too long"),
            Self::Seq => f.write_str("its sequence number is too high"),
            Self::Hash => f.write_str("its hash does not belong to it: something was altered"),
            Self::Subject => f.write_str("the event is about another subject"),
            Self::Body(error) => error.fmt(f),
        }
    }
}

impl Error for BodyError {}
impl Error for Flaw {}

impl fmt::Display for DeviceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for RecordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl FromStr for Hash {
    type Err = NotAHash;

    /// Reads what `Display` writes, and nothing else.
    fn from_str(text: &str) -> Result<Self, NotAHash> {
        let digit = |byte: u8| match byte {
            b'0'..=b'9' => Ok(byte - b'0'),
            b'a'..=b'f' => Ok(byte - b'a' + 10),
            _ => Err(NotAHash),
        };
        let mut bytes = [0; 32];
        let (pairs, rest) = text.as_bytes().as_chunks::<2>();
        if pairs.len() != bytes.len() || !rest.is_empty() {
            return Err(NotAHash);
        }
        for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
            *byte = digit(*high)? << 4 | digit(*low)?;
        }
        Ok(Self(bytes))
    }
}

/// A text that is not 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAHash;

impl fmt::Display for NotAHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a hash is 64 lower-case hexadecimal digits")
    }
}

impl Error for NotAHash {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::v1::{BatchRecalled, Corrected, Drawn};

    fn record() -> Record {
        let event =
            Event::BatchRecalled(BatchRecalled { batch: "HW-1".into(), reason: "-".into() });
        let draft = Draft {
            id: RecordId(Uuid::from_u128(1)),
            at: Timestamp::UNIX_EPOCH,
            author: "A".into(),
            event: event.into(),
        };
        let order = Order { at_ms: 5, device: DeviceId(Uuid::from_u128(2)), seq: 3 };
        Record::make(draft, order, Subject::batch("HW-1"), Hash::NONE).unwrap()
    }

    /// `record` changed, with the hash that belongs to it.
    fn flaw(change: impl FnOnce(&mut Record)) -> Option<Flaw> {
        let mut record = record();
        change(&mut record);
        record.hash = record.as_ref().digest();
        record.as_ref().check().err()
    }

    #[test]
    fn every_field_is_under_the_hash() {
        let changes: [fn(&mut Record); 8] = [
            |r| r.id = RecordId(Uuid::from_u128(9)),
            |r| r.order.device = DeviceId(Uuid::from_u128(9)),
            |r| r.order.seq = 9,
            |r| r.order.at_ms = -5,
            |r| r.author = "B".into(),
            |r| r.subject = Subject::batch("HW-2"),
            |r| r.body.push(' '),
            |r| r.previous = Hash([1; 32]),
        ];
        let hash = record().hash;
        for change in changes {
            let mut changed = record();
            change(&mut changed);
            assert_ne!(changed.as_ref().digest(), hash, "{changed:?}");
            assert_eq!(changed.as_ref().check(), Err(Flaw::Hash));
        }
    }

    #[test]
    fn one_field_never_runs_into_the_next() {
        let hash = |author: &str, subject: &str| {
            let record =
                Record { author: author.into(), subject: Subject(subject.into()), ..record() };
            record.as_ref().digest()
        };
        assert_ne!(hash("ab", "c"), hash("a", "bc"));
        assert_ne!(hash("", "abc"), hash("abc", ""));
    }

    #[test]
    fn both_sides_of_what_a_record_may_be() {
        assert_eq!(flaw(|_| {}), None);
        assert_eq!(flaw(|r| r.author = " \t".into()), Some(Flaw::NoAuthor));
        assert_eq!(flaw(|r| r.author = "x".repeat(NAME_MAX)), None);
        assert_eq!(flaw(|r| r.author = "x".repeat(NAME_MAX + 1)), Some(Flaw::TooLong));
        assert_eq!(flaw(|r| r.order.seq = SEQ_MAX), None);
        assert_eq!(flaw(|r| r.order.seq = SEQ_MAX + 1), Some(Flaw::Seq));
        assert_eq!(flaw(|r| r.subject = Subject::batch("HW-2")), Some(Flaw::Subject));
        let newer = |length: usize| format!("{{\"v3\":\"{}\"}}", "x".repeat(length - 9));
        assert_eq!(flaw(|r| r.body = newer(BODY_MAX)), None);
        assert_eq!(flaw(|r| r.body = newer(BODY_MAX + 1)), Some(Flaw::TooLong));
    }

    #[test]
    fn a_body_is_one_line_and_an_event() {
        for body in [
            "",
            "null",
            "{}",
            "{\"v1\":{}}",
            "{\"v2\":{}}",
            "{\"v3\":\n1}",
            " {\"v3\":1}",
            "{\"v3\":1}x",
        ] {
            let found = flaw(|r| r.body = body.into());
            assert!(matches!(found, Some(Flaw::Body(BodyError::Unreadable(_)))), "{body:?}");
        }
    }

    #[test]
    fn a_newer_version_is_told_from_what_is_no_version() {
        for (key, newer) in [
            ("v2", false),
            ("v3", true),
            ("v10", true),
            ("v4294967295", true),
            ("v4294967296", false),
            ("v0", false),
            ("v01", false),
            ("v02", false),
            ("v+2", false),
            ("v", false),
            ("w2", false),
        ] {
            let record = Record { body: format!("{{\"{key}\":{{}}}}"), ..record() };
            let found = matches!(record.event(), Err(BodyError::Newer(of)) if of == key);
            assert_eq!(found, newer, "{key}");
        }
        let two = Record { body: "{\"v3\":1,\"v4\":1}".into(), ..record() };
        assert!(matches!(two.event(), Err(BodyError::Unreadable(_))));
    }

    #[test]
    fn a_correction_mentions_what_it_corrects_and_all_that_it_puts_there() {
        let drawn = Event::Drawn(Drawn {
            container: Uuid::from_u128(3),
            volume_ml: 1,
            into: Into::Container(Uuid::from_u128(4)),
            flight: Some("F1".into()),
        });
        let correct = |of, instead| {
            let (of, instead) = (Uuid::from_u128(of), Some(Box::new(instead)));
            Event::Corrected(Corrected { of, instead, reason: "-".into() })
        };
        let event = correct(1, correct(2, drawn));
        assert_eq!(Subject::of(&event), None);
        let keys: Vec<_> = mentions(&event.into()).into_iter().collect();
        let of = |n: u128| Uuid::from_u128(n);
        let mut wanted = vec![
            format!("container:{}", of(3)),
            format!("container:{}", of(4)),
            "flight:F1".to_owned(),
            format!("record:{}", of(1)),
            format!("record:{}", of(2)),
        ];
        wanted.sort();
        assert_eq!(keys, wanted);
    }

    #[test]
    fn documents_are_told_apart_wherever_one_ends_and_the_next_begins() {
        let one = Hash::of(&[b"ab", b"c"]);
        for other in [&[&b"a"[..], b"bc"][..], &[b"abc"], &[b"ab", b"c", b""], &[b"c", b"ab"]] {
            assert_ne!(Hash::of(other), one);
        }
        // SHA-256 of eight zero bytes, which is one empty text (Python's `hashlib`).
        let empty = "af5570f5a1810b7af78caf4bc70a660f0df51e42baf91d4de5b2328de0e83dfc";
        assert_eq!(Hash::of(&[b""]).to_string(), empty);
    }

    #[test]
    fn a_sheet_is_found_by_its_aeroplane_and_its_place() {
        let of = |n: u128| Uuid::from_u128(n);
        let opened = |aircraft: &str| v2::SheetOpened {
            sheet: of(3),
            turnaround: "t".into(),
            aircraft: aircraft.into(),
            place: "P".into(),
            documents: "0".into(),
            method: "drum".into(),
            people: 1,
        };
        let corrected = v2::Event::Corrected(v2::Corrected {
            sheet: of(3),
            of: of(1),
            instead: Some(Box::new(v2::Entry::SheetOpened(opened("B")))),
            reason: "-".into(),
        });
        for (event, aircraft, more) in
            [(v2::Event::SheetOpened(opened("A")), "A", None), (corrected, "B", Some(of(1)))]
        {
            let body = Body::from(event);
            let mut wanted = BTreeSet::from([format!("sheet:{}", of(3)), "place:P".into()]);
            wanted.insert(format!("aircraft:{aircraft}"));
            wanted.extend(more.map(|record| format!("record:{record}")));
            assert_eq!(mentions(&body), wanted);
            assert_eq!(Subject::of_body(&body), Some(Subject::sheet(of(3))));
        }
    }

    #[test]
    fn a_hash_is_read_as_it_is_written_and_not_otherwise() {
        let hash = record().hash;
        let text = hash.to_string();
        assert_eq!(text.len(), 64);
        assert_eq!(text.parse(), Ok(hash));
        for wrong in [&text[1..], &format!("{text}0"), &text.replace(&text[..1], "G"), "", "é"] {
            assert_eq!(wrong.parse::<Hash>(), Err(NotAHash), "{wrong}");
        }
        assert_eq!("A".repeat(64).parse::<Hash>(), Err(NotAHash));
    }
}
