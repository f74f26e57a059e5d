//! Bytes that were written once stay readable and stay what they are.
//!
//! `frozen/events.txt` holds every kind of event of version 1, `frozen/records.jsonl` records
//! with their hashes, `frozen/1.ledger` the same in a file with tables of version 1. When a test here fails, the encoding has drifted and files of
//! users would no longer verify: mend the code, never the files. A new kind of event is a new
//! line; a new meaning is a new version.
//!
//! The hashes in `records.jsonl` were not made by this program but by another implementation
//! of SHA-256 (Python's `hashlib`) from the layout in `record.rs`; `frozen/hashes.py` makes
//! them again.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use drafts::{all, container, corrected, device, draft, draft_of, drawn, event, id};
use stillprop_ledger::{
    chain,
    event::{
        Body, Event,
        v1::{Appearance, ContainerKind, Paste, Posture, Seals, Severity, Stood},
    },
    record::{Hash, Order, Record, Subject},
    store::{Memory, Store},
    transfer,
};

const EVENTS: &str = include_str!("frozen/events.txt");
const RECORDS: &str = include_str!("frozen/records.jsonl");

/// One of each kind, with every optional field both given and left out somewhere.
fn events() -> Vec<Event> {
    let mut events: Vec<_> = (0..8).chain(9..16).map(event).collect();
    events.push(drawn(container(1), 4));
    events.push(drawn(container(1), 5));
    events.push(bare(event(0)));
    events.push(bare(event(1)));
    events.push(bare(event(2)));
    events.push(bare(event(4)));
    events.push(corrected(id(3), None));
    events.push(corrected(id(3), Some(corrected(id(1), Some(event(13))))));
    events.extend(every_word());
    events
}

/// Every word of every closed list that the events above leave out.
fn every_word() -> Vec<Event> {
    let with = |n: u64, change: &dyn Fn(&mut Event)| {
        let mut event = event(n);
        change(&mut event);
        event
    };
    let received = |kind| {
        with(0, &|event| {
            if let Event::Received(of) = event {
                of.kind = kind;
            }
        })
    };
    let inspected = |dents, rust, seals| {
        with(2, &|event| {
            if let Event::Inspected(of) = event {
                (of.dents, of.rust, of.seals) = (dents, rust, seals);
            }
        })
    };
    let stood = |posture| Event::Stood(Stood { container: container(0), posture });
    let sampled = |appearance, paste| {
        with(4, &|event| {
            if let Event::Sampled(of) = event {
                (of.appearance, of.paste) = (appearance, paste);
            }
        })
    };
    vec![
        received(ContainerKind::Tank),
        received(ContainerKind::Bowser),
        inspected(Severity::Severe, Severity::Slight, Seals::Broken),
        stood(Posture::OnSide),
        stood(Posture::Upright),
        sampled(Appearance::Haze, Paste::Wet),
        sampled(Appearance::Sediment, Paste::NotUsed),
        sampled(Appearance::Water, Paste::Dry),
    ]
}

/// The same with nothing optional.
fn bare(mut event: Event) -> Event {
    match &mut event {
        Event::Received(of) => {
            (of.temperature_mdegc, of.maker_number) = (None, None);
            of.seals.clear();
        }
        Event::Stored(of) => (of.rack, of.bungs) = (None, None),
        Event::Inspected(of) => (of.lining_sound, of.note) = (Some(false), None),
        Event::Sampled(of) => (of.density_g_m3, of.temperature_mdegc) = (None, None),
        _ => {}
    }
    event
}

#[test]
fn every_event_is_written_as_it_was_and_old_bytes_are_read() {
    let events = events();
    let lines: Vec<_> = EVENTS.lines().collect();
    assert_eq!(lines.len(), events.len());
    for (event, line) in events.into_iter().zip(lines) {
        let body = Body::V1(event);
        assert_eq!(serde_json::to_string(&body).unwrap(), line);
        assert_eq!(serde_json::from_str::<Body>(line).unwrap(), body);
    }
}

#[test]
fn every_kind_of_event_is_among_the_frozen() {
    // No wildcard: a new kind does not compile until it is counted here and frozen.
    let kind = |event: &Event| match event {
        Event::Received(_) => 0,
        Event::Stored(_) => 1,
        Event::Inspected(_) => 2,
        Event::Stood(_) => 3,
        Event::Sampled(_) => 4,
        Event::Opened(_) => 5,
        Event::Drawn(_) => 6,
        Event::PartMarked(_) => 7,
        Event::Emptied(_) => 8,
        Event::Condemned(_) => 9,
        Event::Counted(_) => 10,
        Event::BatchRecalled(_) => 11,
        Event::BatchRetested(_) => 12,
        Event::Corrected(_) => 13,
    };
    let kinds: std::collections::BTreeSet<_> = EVENTS
        .lines()
        .map(|line| kind(&serde_json::from_str::<Body>(line).unwrap().yard().unwrap()))
        .collect();
    assert_eq!(kinds, (0..14).collect());
}

#[test]
fn a_key_that_was_never_written_is_not_read() {
    let line = EVENTS.lines().next().unwrap();
    for (from, to) in [("\"place\"", "\"site\""), ("{\"v1\"", "{\"v0\""), ("\"drum\"", "\"keg\"")] {
        assert!(line.contains(from));
        assert!(serde_json::from_str::<Body>(&line.replacen(from, to, 1)).is_err(), "{to}");
    }
}

#[test]
fn records_are_hashed_and_exported_as_they_were() {
    let mut store = Memory::new();
    store.append(device(1), vec![draft(0), draft(2)]).unwrap();
    store.append(device(2), vec![draft_of(1, corrected(id(2), Some(event(2))))]).unwrap();
    let mut exported = Vec::new();
    transfer::export(&store, &mut exported).unwrap();
    assert_eq!(String::from_utf8(exported).unwrap(), RECORDS);
}

#[test]
fn old_records_are_read_and_verify() {
    let mut store = Memory::new();
    assert_eq!(transfer::import(&mut store, &mut RECORDS.as_bytes()).unwrap().new, 3);
    let report = chain::verify(&store).unwrap();
    assert_eq!((report.records, report.is_sound(), report.newer), (3, true, 0));
    assert_eq!(all(&store)[0].event().unwrap(), draft(0).event);
}

/// A file as version 1 of the tables had it. What opens it must go on reading it: tables are
/// never changed, only followed by a next version.
#[cfg(feature = "sqlite")]
#[test]
fn an_old_file_is_read_and_written_to() {
    use stillprop_ledger::store::{Access, Sqlite};

    let frozen = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/frozen/1.ledger");
    let store = Sqlite::open(&frozen, Access::Read).unwrap();
    let mut exported = Vec::new();
    transfer::export(&store, &mut exported).unwrap();
    assert_eq!(String::from_utf8(exported).unwrap(), RECORDS);
    assert!(chain::verify(&store).unwrap().is_sound());
    let folder = drafts::Folder::new("frozen-file");
    std::fs::copy(&frozen, folder.file("yard.ledger")).unwrap();
    let mut store = Sqlite::open(&folder.file("yard.ledger"), Access::Write).unwrap();
    store.append(device(1), vec![draft(5)]).unwrap();
    assert_eq!(chain::verify(&store).unwrap().records, 4);
}

/// Worked by hand from the layout in `record.rs`, with another implementation of SHA-256.
#[test]
fn the_hash_equals_that_of_another_implementation() {
    let order = Order { at_ms: -2, device: device(9), seq: 258 };
    let draft = draft_of(7, event(7));
    let subject = Subject::of_body(&draft.event).unwrap();
    let previous = Hash(std::array::from_fn(|n| u8::try_from(n).unwrap()));
    let record = Record::make(draft, order, subject, previous).unwrap();
    let wanted = "647d7539b1d98a5cd21b0db1653ad2015eeef841f2306b8143c21aa85c1f5d63";
    assert_eq!(record.hash.to_string(), wanted);
}
