//! Bytes of run sheets that were written once stay readable and stay what they are.
//!
//! `frozen/events2.txt` holds every kind of event of version 2, `frozen/records2.jsonl` records
//! with their hashes, some of version 1 between them. As with `frozen.rs`: mend the code, never
//! the files.
//!
//! Neither file was written by this program: the bytes of the events were typed, and the hashes
//! come from another implementation of SHA-256 (Python's `hashlib`); `frozen/hashes2.py` makes
//! them again.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;
mod sheet_log;

use std::collections::BTreeSet;

use drafts::{device, draft, draft_of, id};
use sheet_log::*;
use stillprop_ledger::{
    chain,
    event::{
        Body,
        v2::{Event, Whole},
    },
    store::{Memory, Store},
    transfer,
    yard::Yard,
};

const EVENTS: &str = include_str!("frozen/events2.txt");
const RECORDS: &str = include_str!("frozen/records2.jsonl");

/// One of each kind, with every optional field both given and left out somewhere, and every
/// word of every closed list.
fn events() -> Vec<Event> {
    let on = sheet(0);
    let wholes = [
        ("105 L", Whole::VolumeMl(105_000)),
        ("0.7065 kg/L", Whole::DensityGM3(706_500)),
        ("-2.5 degC", Whole::TemperatureMdegc(-2_500)),
        ("14.5 in", Whole::LengthMm(368)),
        ("0.2 kg", Whole::MassG(200)),
        ("10 min", Whole::TimeMs(600_000)),
        ("12.6 V", Whole::PotentialMv(12_600)),
        ("4 ohm", Whole::ResistanceMohm(4_000)),
        ("2", Whole::Count(2)),
    ];
    let mut entries = vec![opened(on, "QK-CSX"), done(on, "chocks", None)];
    entries.push(done(on, "ticket", Some(read("T 4417", &[]))));
    entries.extend(wholes.map(|(typed, whole)| done(on, "read", Some(read(typed, &[whole])))));
    let both = [Whole::DensityGM3(790_000), Whole::TemperatureMdegc(24_000)];
    let density = read("0.79 kg/L at 24 degC", &both);
    entries.push(refused(on, "density", Some(density)));
    entries.push(refused(on, "colour", None));
    for note in [None, Some("rain")] {
        entries.push(interrupted(on, note));
        entries.push(resumed(on, note));
    }
    entries.extend(STOPS.map(|why| stop(on, why, None)));
    entries.push(stop(on, STOPS[0], Some("under the left wing")));
    entries.push(step(on, STOPS[0], 1, "control"));
    entries.push(step(on, STOPS[4], 2, "call"));
    entries.extend(OUTCOMES.map(|outcome| closed(on, outcome)));
    let mut events: Vec<Event> = entries.iter().cloned().map(Event::from).collect();
    events.push(corrected(on, id(3).0, None));
    // Each kind once more in the place of what was wrong.
    for entry in entries {
        let first = |it: &Event| std::mem::discriminant(it);
        let event = Event::from(entry.clone());
        let place = events.iter().position(|it| first(it) == first(&event)).unwrap();
        if events[place] == event {
            events.push(corrected(on, id(3).0, Some(entry)));
        }
    }
    events
}

#[test]
fn every_event_is_written_as_it_was_and_old_bytes_are_read() {
    let events = events();
    let lines: Vec<_> = EVENTS.lines().collect();
    assert_eq!(lines.len(), events.len());
    for (event, line) in events.into_iter().zip(lines) {
        let body = Body::V2(event);
        assert_eq!(serde_json::to_string(&body).unwrap(), line);
        assert_eq!(serde_json::from_str::<Body>(line).unwrap(), body);
    }
}

#[test]
fn every_kind_of_event_is_among_the_frozen() {
    // No wildcard: a new kind does not compile until it is counted here and frozen.
    let kind = |event: &Event| match event {
        Event::SheetOpened(_) => 0,
        Event::TaskDone(_) => 1,
        Event::HoldRefused(_) => 2,
        Event::Interrupted(_) => 3,
        Event::Resumed(_) => 4,
        Event::StopCalled(_) => 5,
        Event::StopStepDone(_) => 6,
        Event::SheetClosed(_) => 7,
        Event::Corrected(_) => 8,
    };
    let read = |line| serde_json::from_str::<Body>(line).unwrap().sheet().unwrap();
    let kinds: BTreeSet<_> = EVENTS.lines().map(|line| kind(&read(line))).collect();
    assert_eq!(kinds, (0..9).collect());
    let instead: BTreeSet<_> = EVENTS
        .lines()
        .filter_map(|line| match read(line) {
            Event::Corrected(it) => it.instead.map(|it| kind(&Event::from(*it))),
            _ => None,
        })
        .collect();
    assert_eq!(instead, (0..8).collect());
}

#[test]
fn a_key_that_was_never_written_is_not_read() {
    let line = EVENTS.lines().next().unwrap();
    for (from, to) in [("\"place\"", "\"site\""), ("{\"v2\"", "{\"v1\""), ("-opened", "-begun")] {
        assert!(line.contains(from));
        assert!(serde_json::from_str::<Body>(&line.replacen(from, to, 1)).is_err(), "{to}");
    }
    // A correction of a correction has no place in what stands instead.
    let line = EVENTS.lines().last().unwrap().replace("sheet-closed", "corrected");
    assert!(serde_json::from_str::<Body>(&line).is_err());
}

#[test]
fn records_are_hashed_and_exported_as_they_were() {
    let on = sheet(0);
    let mut store = Memory::new();
    let task = Event::from(done(on, "ticket", Some(read("T 4417", &[]))));
    let opening = draft_of(1, Event::from(opened(on, "QK-CSX")));
    store.append(device(1), vec![draft(0), opening, draft(2), draft_of(3, task)]).unwrap();
    let right = done(on, "ticket", Some(read("T 4471", &[])));
    store.append(device(2), vec![draft_of(4, corrected(on, id(3).0, Some(right)))]).unwrap();
    let mut exported = Vec::new();
    transfer::export(&store, &mut exported).unwrap();
    assert_eq!(String::from_utf8(exported).unwrap(), RECORDS);
}

#[test]
fn old_records_are_read_and_verify() {
    let mut store = Memory::new();
    assert_eq!(transfer::import(&mut store, &mut RECORDS.as_bytes()).unwrap().new, 5);
    let report = chain::verify(&store).unwrap();
    assert_eq!((report.records, report.is_sound(), report.newer), (5, true, 0));
    assert_eq!(Yard::open(&store).unwrap().containers().len(), 1);
    let run = stillprop_ledger::runs::read(&store, sheet(0)).unwrap().unwrap();
    assert_eq!((run.lines.len(), run.findings.len()), (2, 0));
}
