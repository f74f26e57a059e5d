//! Records for tests of the yard, written by hand.
#![allow(unreachable_pub, dead_code, reason = "each test takes what it needs")]

use std::{collections::BTreeMap, convert::Infallible};

use jiff::{Timestamp, civil::date};
use stillprop_ledger::{
    event::{Day, Event, v1::*},
    record::{DeviceId, Draft, Hash, Order, Record, RecordId, Subject},
    yard::Yard,
};
use uuid::Uuid;

/// The device of a small number.
pub fn device(number: u8) -> DeviceId {
    DeviceId(Uuid::from_u128(0xd0 << 64 | u128::from(number)))
}

/// The container of a small number.
pub fn drum(number: u8) -> Uuid {
    Uuid::from_u128(0xc0 << 64 | u128::from(number))
}

/// Records of several devices, in the order in which they were written.
#[derive(Clone, Debug, Default)]
pub struct Log {
    pub records: Vec<Record>,
    seqs: BTreeMap<DeviceId, u64>,
}

impl Log {
    /// Writes an event and gives the id of its record.
    pub fn write(&mut self, on: u8, at_ms: i64, author: &str, event: Event) -> Uuid {
        let subject = match &event {
            Event::Corrected(it) => self.subject(it.of),
            event => Subject::of(event).unwrap(),
        };
        let device = device(on);
        let seq = self.seqs.entry(device).or_insert(0);
        let order = Order { at_ms, device, seq: *seq };
        *seq += 1;
        let id = Uuid::from_u128(0xe0 << 64 | self.records.len() as u128);
        self.push(id, order, author, event, subject);
        id
    }

    /// Leaves a slot of a device free: what stood there is not told.
    pub fn skip(&mut self, on: u8) {
        *self.seqs.entry(device(on)).or_insert(0) += 1;
    }

    /// Writes a record with everything given.
    pub fn push(&mut self, id: Uuid, order: Order, author: &str, event: Event, subject: Subject) {
        let at = Timestamp::from_millisecond(order.at_ms).unwrap();
        let draft = Draft { id: RecordId(id), at, author: author.to_owned(), event: event.into() };
        self.records.push(Record::make(draft, order, subject, Hash::NONE).unwrap());
    }

    /// The subject of a record; that of a container nobody knows when there is no such record.
    pub fn subject(&self, of: Uuid) -> Subject {
        let found = self.records.iter().find(|it| it.id.0 == of);
        found.map_or_else(|| Subject::container(drum(255)), |it| it.subject.clone())
    }

    pub fn yard(&self) -> Yard {
        let mut records = self.records.clone();
        records.sort_by_key(|it| it.order);
        fold_all(&records)
    }
}

/// The yard of records that all arrive at once, in the order given.
pub fn fold_all(records: &[Record]) -> Yard {
    let mut intake = Yard::default().intake();
    records.iter().for_each(|it| intake.push(it.as_ref()));
    intake.settle(&mut |subject| of_subject(records, subject)).unwrap()
}

/// What a store would read.
pub fn of_subject(records: &[Record], subject: &Subject) -> Result<Vec<Record>, Infallible> {
    Ok(records.iter().filter(|it| it.subject == *subject).cloned().collect())
}

pub fn received(container: Uuid, label: &str, batch: &str, litres: i64) -> Event {
    Event::Received(Received {
        container,
        kind: ContainerKind::Drum,
        label: label.into(),
        place: "Nessow Top".into(),
        grade: "avgas 100LL".into(),
        batch: batch.into(),
        supplier: "Vessary Fuels".into(),
        filled: Day(date(2026, 7, 1)),
        contents_ml: litres * 1000,
        temperature_mdegc: Some(21_500),
        capacity_ml: 208_000,
        seals: vec!["V-1001".into(), "V-1002".into()],
        maker_number: None,
    })
}

pub fn stored(container: Uuid, place: &str, rack: &str, posture: Posture) -> Event {
    Event::Stored(Stored {
        container,
        place: place.into(),
        rack: Some(rack.into()),
        posture,
        bungs: Some([3, 9]),
        chocked: true,
        off_ground: true,
        shaded: true,
    })
}

pub fn stood(container: Uuid, posture: Posture) -> Event {
    Event::Stood(Stood { container, posture })
}

pub fn sampled(container: Uuid, paste: Paste) -> Event {
    Event::Sampled(Sampled {
        container,
        low_point: true,
        appearance: Appearance::ClearAndBright,
        colour: "blue".into(),
        paste,
        density_g_m3: Some(716_000),
        temperature_mdegc: Some(24_000),
    })
}

pub fn drawn(container: Uuid, litres: i64, flight: &str) -> Event {
    Event::Drawn(Drawn {
        container,
        volume_ml: litres * 1000,
        into: Into::Aircraft { registration: "QK-CSX".into(), tank: "left wing".into() },
        flight: Some(flight.into()),
    })
}

pub fn poured(container: Uuid, litres: i64, into: Uuid) -> Event {
    let into = Into::Container(into);
    Event::Drawn(Drawn { container, volume_ml: litres * 1000, into, flight: None })
}

pub fn wasted(container: Uuid, litres: i64) -> Event {
    let volume_ml = litres * 1000;
    Event::Drawn(Drawn { container, volume_ml, into: Into::Waste, flight: None })
}

pub fn counted(container: Uuid, litres: i64) -> Event {
    Event::Counted(Counted { container, contents_ml: litres * 1000 })
}

pub fn emptied(container: Uuid) -> Event {
    Event::Emptied(Emptied { container })
}

pub fn condemned(container: Uuid, reason: &str) -> Event {
    Event::Condemned(Condemned { container, reason: reason.into() })
}

pub fn recalled(batch: &str) -> Event {
    Event::BatchRecalled(BatchRecalled { batch: batch.into(), reason: "water found".into() })
}

pub fn corrected(of: Uuid, instead: Option<Event>) -> Event {
    Event::Corrected(Corrected {
        of,
        instead: instead.map(Box::new),
        reason: "typed wrongly".into(),
    })
}
