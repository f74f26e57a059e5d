//! One flipped bit in a stored event is noticed. So is a record that was changed or removed.
//!
//! `STILLPROP_FLIPS` asks for more than a thousand. The file is looked at as bytes: where a record lies is worked out from the layout of
//! SQLite's index pages (file format 3, sections 1.6 and 2.1, from memory) and checked
//! against the bytes found there.

#![cfg(feature = "sqlite")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use std::{collections::BTreeSet, fs, ops::Range, path::Path};

use drafts::{Dice, Folder, all, device, draft, id};
use stillprop_ledger::{
    chain::{self, Fault},
    record::{Flaw, Record},
    store::{Access, Memory, Sqlite, Store, StoreError},
};

/// Records 0 to 29 of device 1 and 30 to 49 of device 2, and one beside the log.
fn ledger(path: &Path) -> Vec<Record> {
    let mut store = Sqlite::create(path).unwrap();
    store.append(device(1), (0..30).map(draft).collect()).unwrap();
    store.append(device(2), (30..50).map(draft).collect()).unwrap();
    let other = Memory::new().append(device(2), vec![draft(60)]).unwrap();
    assert_eq!(store.insert_foreign(&other).unwrap().forks.len(), 1);
    all(&store)
}

/// What opening, reading and verifying say: a fault in words, or the records.
fn look(path: &Path) -> Result<(Vec<Record>, Vec<Record>), String> {
    let look = || -> Result<_, StoreError> {
        let store = Sqlite::open(path, Access::Read)?;
        let report = chain::verify(&store)?;
        Ok((store, report))
    };
    let (store, report) = look().map_err(|error| error.to_string())?;
    if report.is_sound() {
        Ok((all(&store), store.forks().unwrap()))
    } else {
        Err(report.to_string())
    }
}

fn varint(mut value: u64) -> Vec<u8> {
    let mut bytes = vec![u8::try_from(value & 0x7f).unwrap()];
    while value > 0x7f {
        value >>= 7;
        bytes.insert(0, u8::try_from(value & 0x7f).unwrap() | 0x80);
    }
    bytes
}

/// A record as the bytes of its row: length, kinds of the columns, columns.
fn row(record: &Record, no: u64) -> Vec<u8> {
    let text = |text: &str| 13 + 2 * text.len() as u64;
    let six_bytes = 5;
    let kinds = [
        six_bytes,
        12 + 2 * 16,
        six_bytes,
        text(&record.author),
        text(&record.subject.0),
        text(&record.body),
        12 + 2 * 32,
        12 + 2 * 32,
    ];
    let kinds: Vec<u8> = kinds.into_iter().flat_map(varint).collect();
    let mut payload = varint(kinds.len() as u64 + 1);
    payload.extend(kinds);
    payload.extend(&((no << 40) + record.order.seq).to_be_bytes()[2..]);
    payload.extend(record.id.0.as_bytes());
    payload.extend(&record.order.at_ms.to_be_bytes()[2..]);
    payload.extend(record.author.as_bytes());
    payload.extend(record.subject.0.as_bytes());
    payload.extend(record.body.as_bytes());
    payload.extend(record.previous.0);
    payload.extend(record.hash.0);
    let mut row = varint(payload.len() as u64);
    row.extend(payload);
    row
}

/// Where the rows of all records lie in the file; each is there once. A page that was split
/// may hold what is left of rows that moved, which no pointer names.
fn rows(bytes: &[u8], records: &[Record]) -> Vec<Range<usize>> {
    let named: BTreeSet<usize> = bytes
        .chunks(4096)
        .enumerate()
        .flat_map(|(number, page)| {
            let two = |at: usize| usize::from(u16::from_be_bytes([page[at], page[at + 1]]));
            // Inner pages have a longer head, and before each row the number of a page.
            let (cells, head, before) = match page[0] {
                2 => (two(3), 12, 4),
                10 => (two(3), 8, 0),
                _ => (0, 0, 0),
            };
            let cells = (0..cells).map(move |cell| 4096 * number + two(head + 2 * cell) + before);
            cells.collect::<Vec<_>>()
        })
        .collect();
    let places = records.iter().map(|record| {
        let no = if record.order.device == device(1) { 1 } else { 2 };
        let row = row(record, no);
        let found = named.iter().filter(|at| bytes[**at..].starts_with(&row));
        let found: Vec<_> = found.map(|at| *at..at + row.len()).collect();
        assert_eq!(found.len(), 1, "{}", record.id);
        found[0].clone()
    });
    places.collect()
}

#[test]
fn a_thousand_flips_in_stored_events_are_all_noticed() {
    let folder = Folder::new("flips-events");
    let path = folder.file("yard.ledger");
    let records = ledger(&path);
    let whole = fs::read(&path).unwrap();
    let rows = rows(&whole, &records);
    let mut dice = Dice(0x5eed_0001);
    let mut bits = BTreeSet::new();
    let flips = std::env::var("STILLPROP_FLIPS").map_or(1000, |n| n.parse().unwrap());
    while bits.len() < flips {
        let row = &rows[dice.below(rows.len())];
        bits.insert((row.start + dice.below(row.len()), dice.below(8)));
    }
    let mut bytes = whole.clone();
    let mut unnoticed = Vec::new();
    for &(at, bit) in &bits {
        bytes[at] ^= 1 << bit;
        fs::write(&path, &bytes).unwrap();
        if look(&path).is_ok() {
            let row = rows.iter().find(|row| row.contains(&at)).unwrap();
            unnoticed.push((at - row.start, bit));
        }
        assert_eq!(folder.content(), [("yard.ledger".into(), bytes.clone())], "was touched");
        bytes[at] ^= 1 << bit;
    }
    assert_eq!(unnoticed, [], "byte of its row, bit");
    fs::write(&path, &whole).unwrap();
    assert_eq!(look(&path).unwrap().0, records);
}

/// Anywhere in the file: noticed, or in bytes that hold nothing.
#[test]
fn a_flip_anywhere_is_noticed_or_changes_nothing() {
    let folder = Folder::new("flips-anywhere");
    let path = folder.file("yard.ledger");
    ledger(&path);
    let whole = fs::read(&path).unwrap();
    let told = look(&path).unwrap();
    let mut dice = Dice(0x5eed_0002);
    let mut bytes = whole;
    let mut noticed = 0;
    for _ in 0..600 {
        let (at, bit) = (dice.below(bytes.len()), dice.below(8));
        bytes[at] ^= 1 << bit;
        fs::write(&path, &bytes).unwrap();
        match look(&path) {
            Ok(found) => assert_eq!(found, told, "bit {bit} of byte {at}"),
            Err(_) => noticed += 1,
        }
        bytes[at] ^= 1 << bit;
    }
    assert!(noticed > 150, "{noticed}");
}

/// Changes a ledger by hand and verifies it.
fn after(name: &str, sql: &str) -> chain::Report {
    let folder = Folder::new(&format!("flips-{name}"));
    let path = folder.file("yard.ledger");
    ledger(&path);
    let connection = rusqlite::Connection::open(&path).unwrap();
    connection.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    connection.execute_batch(sql).unwrap();
    connection.close().unwrap();
    chain::verify(&Sqlite::open(&path, Access::Read).unwrap()).unwrap()
}

/// The first slot of device 1.
const SLOT: u64 = 1 << 40;

#[test]
fn the_first_bad_record_of_each_device_is_named() {
    let sql = format!(
        "UPDATE record SET author = 'X' WHERE slot IN ({}, {}, {})",
        SLOT + 4,
        SLOT + 9,
        2 * SLOT
    );
    let report = after("named", &sql);
    let bad: Vec<_> = report.bad.iter().map(|bad| (bad.id, bad.fault.clone())).collect();
    let fault = Fault::Flawed(Flaw::Hash);
    assert_eq!(bad, [(id(4), fault.clone()), (id(30), fault)]);
    assert_eq!(report.records, 50);
    assert_eq!(report.heads[&device(1)].seq, 3);
    let words = report.to_string();
    assert!(words.contains("record 4 of device") && words.contains("altered"), "{words}");
}

#[test]
fn a_removed_record_leaves_a_gap() {
    for (name, seq) in [("gap-first", 0), ("gap-inside", 7)] {
        let report = after(name, &format!("DELETE FROM record WHERE slot = {}", SLOT + seq));
        assert_eq!(report.bad[0].fault, Fault::Gap(seq));
        assert_eq!(report.bad[0].id, id(seq + 1));
    }
    // The last record leaves none; its traces in the index do.
    let report = after("gap-last", &format!("DELETE FROM record WHERE slot = {}", SLOT + 29));
    assert!(report.bad.is_empty());
    assert_eq!(report.damage, ["the index does not agree with the log"]);
}

#[test]
fn a_record_with_a_hash_of_its_own_that_follows_another_is_noticed() {
    let folder = Folder::new("flips-previous");
    let path = folder.file("yard.ledger");
    let records = ledger(&path);
    let forge = |change: &dyn Fn(&mut Record)| {
        let mut forged = records[5].clone();
        change(&mut forged);
        forged.hash = forged.as_ref().digest();
        let connection = rusqlite::Connection::open(&path).unwrap();
        let sql = "UPDATE record SET at_ms = ?2, previous = ?3, hash = ?4 WHERE slot = ?1";
        let Record { order, previous, hash, .. } = forged;
        let slot = SLOT.cast_signed() + 5;
        connection.execute(sql, (slot, order.at_ms, previous.0, hash.0)).unwrap();
        connection.close().unwrap();
        let report = chain::verify(&Sqlite::open(&path, Access::Read).unwrap()).unwrap();
        assert_eq!(report.bad.len(), 1);
        (report.bad[0].order.seq, report.bad[0].fault.clone())
    };
    assert_eq!(forge(&|record| record.previous = records[3].hash), (5, Fault::Previous));
    assert_eq!(forge(&|record| record.order.at_ms -= 5000), (5, Fault::TimeFell));
    // Rewritten in place with all that belongs to it: the record after it does not follow.
    assert_eq!(forge(&|record| record.order.at_ms -= 1), (6, Fault::Previous));
}

#[test]
fn an_index_that_does_not_agree_is_noticed() {
    for (n, sql) in [
        "DELETE FROM mention WHERE slot = (SELECT max(slot) FROM mention)",
        "UPDATE key SET text = 'place:Elsewhere' WHERE text = 'place:Nessow Top'",
        "DELETE FROM place WHERE slot = (SELECT max(slot) FROM place)",
        "UPDATE place SET slot = slot + 1 WHERE slot = (SELECT max(slot) FROM place)",
    ]
    .into_iter()
    .enumerate()
    {
        let report = after(&format!("index-{n}"), sql);
        assert_eq!(report.damage, ["the index does not agree with the log"], "{sql}");
    }
}

#[test]
fn records_without_a_device_are_noticed() {
    let report = after("device", "UPDATE device SET no = 9 WHERE no = 2");
    assert_eq!(report.records, 30);
    assert!(report.damage.contains(&"20 records are of no known device".into()), "{report:?}");
}
