//! One story, told to every store: what goes in, what is refused, what comes out.

#![cfg(feature = "sqlite")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use std::{collections::BTreeSet, ops::ControlFlow};

use drafts::{Folder, all, collect, container, corrected, device, draft, draft_of, drawn, id};
use proptest::prelude::*;
use stillprop_ledger::{
    chain,
    record::{Draft, Flaw, Hash, Record, RecordRef, Subject},
    store::{Access, Head, Heads, Inserted, Memory, Refusal, Sqlite, Store, StoreError},
};

/// Runs a chapter on both stores.
fn tell(name: &str, chapter: impl Fn(&mut dyn Store)) {
    chapter(&mut Memory::new());
    let folder = Folder::new(&format!("story-{name}"));
    let mut file = Sqlite::create(&folder.file("yard.ledger")).unwrap();
    chapter(&mut file);
    let told = (all(&file), file.heads().unwrap(), file.forks().unwrap());
    drop(file);
    let again = Sqlite::open(&folder.file("yard.ledger"), Access::Write).unwrap();
    assert_eq!((all(&again), again.heads().unwrap(), again.forks().unwrap()), told, "reopened");
    assert!(chain::verify(&again).unwrap().is_sound());
}

fn why(result: Result<impl Sized, StoreError>) -> (usize, Refusal) {
    match result.map(drop).unwrap_err() {
        StoreError::Refused { index, why, .. } => (index, why),
        other => panic!("{other}"),
    }
}

/// Drafts of a device at these seconds. Ids differ; times need not.
fn drafts_at(n: u8, seconds: &[u64]) -> Vec<Draft> {
    let first = 1000 * u64::from(n);
    seconds.iter().zip(first..).map(|(at, of)| Draft { id: id(of), ..draft(*at) }).collect()
}

/// A log of a device, written elsewhere.
fn log(n: u8, seconds: &[u64]) -> Vec<Record> {
    Memory::new().append(device(n), drafts_at(n, seconds)).unwrap()
}

/// The same record with another author, and a hash that belongs to it.
fn other(record: &Record) -> Record {
    let mut other = Record { author: "Somebody Else".into(), ..record.clone() };
    other.hash = other.as_ref().digest();
    other
}

#[test]
fn an_empty_store_has_nothing_and_is_sound() {
    tell("empty", |store| {
        assert_eq!(all(store), []);
        assert_eq!(store.heads().unwrap(), Heads::new());
        assert_eq!(store.get(id(0)).unwrap(), None);
        assert_eq!(store.hash_at(device(1), 0).unwrap(), None);
        assert_eq!(store.append(device(1), Vec::new()).unwrap(), []);
        let report = chain::verify(store).unwrap();
        assert_eq!((report.records, report.is_sound()), (0, true));
    });
}

#[test]
fn what_is_appended_is_read_back_and_chained() {
    tell("append", |store| {
        let first = store.append(device(1), vec![draft(0)]).unwrap().remove(0);
        let rest = store.append(device(1), vec![draft(1), draft(2)]).unwrap();
        let records = [vec![first.clone()], rest].concat();
        assert_eq!(all(store), records);
        assert_eq!(first.previous, Hash::NONE);
        for (seq, pair) in records.windows(2).enumerate() {
            assert_eq!((pair[0].order.seq, pair[1].order.seq), (seq as u64, seq as u64 + 1));
            assert_eq!(pair[1].previous, pair[0].hash);
        }
        for record in &records {
            assert_eq!(store.get(record.id).unwrap().as_ref(), Some(record));
            let Record { order, hash, .. } = record;
            assert_eq!(store.hash_at(order.device, order.seq).unwrap(), Some(*hash));
        }
        let head = Head { seq: 2, hash: records[2].hash };
        assert_eq!(store.heads().unwrap(), Heads::from([(device(1), head)]));
        assert_eq!(records[1].event().unwrap(), draft(1).event);
    });
}

#[test]
fn a_clock_that_goes_back_does_not_take_the_record_with_it() {
    tell("clock", |store| {
        let records = store.append(device(1), vec![draft(9), draft(3), draft(10)]).unwrap();
        let at: Vec<_> =
            records.iter().map(|record| (record.order.at_ms - drafts::START_MS) / 1000).collect();
        assert_eq!(at, [9, 9, 10]);
    });
}

#[test]
fn drafts_go_in_all_or_none() {
    tell("all-or-none", |store| {
        store.append(device(1), vec![draft(0)]).unwrap();
        let before = (all(store), store.heads().unwrap());
        let taken = store.append(device(2), vec![draft(1), draft(2), draft(0)]);
        assert_eq!(why(taken), (2, Refusal::IdTaken));
        let unknown = draft_of(4, corrected(id(77), None));
        let taken = store.append(device(1), vec![draft(3), unknown]);
        assert_eq!(why(taken), (1, Refusal::CorrectsUnknown(id(77))));
        let nobody = Draft { author: " ".into(), ..draft(5) };
        let taken = store.append(device(1), vec![draft(3), nobody]);
        assert_eq!(why(taken), (1, Refusal::Flawed(Flaw::NoAuthor)));
        assert_eq!((all(store), store.heads().unwrap()), before);
        let key = "place:Taskel Bend";
        assert_eq!(collect(|take| store.read_mentions(key, take)), []);
        store.append(device(2), vec![draft(1)]).unwrap();
        assert_eq!(collect(|take| store.read_mentions(key, take)).len(), 1);
    });
}

#[test]
fn a_correction_stays_with_its_subject() {
    tell("correction", |store| {
        let wrong = draft_of(0, drawn(container(1), 0));
        let right = draft_of(1, corrected(id(0), Some(drawn(container(1), 3))));
        let again = draft_of(2, corrected(id(1), None));
        let records = store.append(device(1), vec![wrong, right, again]).unwrap();
        let subject = Subject::container(container(1));
        assert!(records.iter().all(|record| record.subject == subject));
        assert_eq!(collect(|take| store.read_subject(&subject, take)), records);
        let key = format!("record:{}", id(0));
        assert_eq!(collect(|take| store.read_mentions(&key, take)), records[1..2]);
        let other = draft_of(3, corrected(id(0), Some(drawn(container(2), 3))));
        assert_eq!(why(store.append(device(1), vec![other])), (0, Refusal::CorrectsToOther));
    });
}

#[test]
fn records_of_all_devices_are_read_in_one_order_and_since_any_heads() {
    tell("order", |store| {
        for (n, seconds) in [(2, &[1, 4, 4, 6][..]), (1, &[0, 4, 5]), (3, &[9])] {
            store.append(device(n), drafts_at(n, seconds)).unwrap();
        }
        let records = all(store);
        let places: Vec<_> = records
            .iter()
            .map(|r| ((r.order.at_ms - drafts::START_MS) / 1000, r.order.device))
            .collect();
        let wanted = [(0, 1), (1, 2), (4, 1), (4, 2), (4, 2), (5, 1), (6, 2), (9, 3)];
        assert_eq!(places, wanted.map(|(at, n)| (at, device(n))));

        let head = |n, seq| (device(n), Head { seq, hash: Hash::NONE });
        let known = Heads::from([head(2, 1), head(1, 2)]);
        let since = collect(|take| store.read_since(&known, take));
        assert_eq!(since, [&records[4], &records[6], &records[7]].map(Clone::clone));
        let none = Heads::from([head(1, 2), head(2, u64::MAX - 1), head(3, 0)]);
        assert_eq!(collect(|take| store.read_since(&none, take)), []);

        let mut seen = 0;
        let third = &mut |_: RecordRef<'_>| {
            seen += 1;
            if seen == 3 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        };
        store.read_all(third).unwrap();
        assert_eq!(seen, 3);
    });
}

#[test]
fn who_reads_may_ask_for_more_meanwhile() {
    tell("nested", |store| {
        store.append(device(1), (0..4).map(draft).collect()).unwrap();
        store.append(device(2), (4..8).map(draft).collect()).unwrap();
        let store = &*store;
        let mut found = 0;
        let ask = &mut |record: RecordRef<'_>| {
            let subject = Subject(record.subject.to_owned());
            let same = collect(|take| store.read_subject(&subject, take));
            assert!(same.contains(&store.get(record.id).unwrap().unwrap()));
            found += all(store).len();
            ControlFlow::Continue(())
        };
        store.read_all(ask).unwrap();
        assert_eq!(found, 64);
    });
}

#[test]
fn every_mention_finds_every_record_that_has_it() {
    tell("mentions", |store| {
        store.append(device(1), (0..40).map(draft).collect()).unwrap();
        store.append(device(2), (40..60).map(draft).collect()).unwrap();
        let records = all(store);
        let keys: BTreeSet<String> = records.iter().flat_map(|r| r.as_ref().mentions()).collect();
        for kind in ["container:", "batch:", "place:", "flight:", "aircraft:"] {
            assert!(keys.iter().any(|key| key.starts_with(kind)), "{kind}");
        }
        for key in &keys {
            let wanted: Vec<_> =
                records.iter().filter(|r| r.as_ref().mentions().contains(key)).cloned().collect();
            assert_eq!(collect(|take| store.read_mentions(key, take)), wanted, "{key}");
            let subject = Subject(key.clone());
            let wanted: Vec<_> = wanted.into_iter().filter(|r| r.subject == subject).collect();
            assert_eq!(collect(|take| store.read_subject(&subject, take)), wanted, "{key}");
        }
        assert_eq!(collect(|take| store.read_mentions("place:nowhere", take)), []);
    });
}

#[test]
fn a_record_brought_in_twice_is_there_once() {
    let theirs = log(7, &[0, 1, 2, 3, 4, 5]);
    tell("repeat", |store| {
        let inserted = store.insert_foreign(&theirs[..4]).unwrap();
        assert_eq!(inserted, Inserted { new: 4, ..Inserted::default() });
        let inserted = store.insert_foreign(&theirs).unwrap();
        assert_eq!(inserted, Inserted { new: 2, repeats: 4, forks: Vec::new() });
        assert_eq!(all(store), theirs);
    });
}

#[test]
fn another_record_in_a_slot_that_is_held_is_kept_beside_it() {
    let theirs = log(7, &[0, 1, 2, 3]);
    let mut fork = other(&theirs[2]);
    fork.id = id(50);
    fork.hash = fork.as_ref().digest();
    let mut next = Record { previous: fork.hash, ..other(&theirs[3]) };
    next.hash = next.as_ref().digest();
    let mut beyond = Record { previous: next.hash, ..other(&theirs[3]) };
    beyond.order.seq = 4;
    beyond.hash = beyond.as_ref().digest();
    tell("fork", |store| {
        store.insert_foreign(&theirs).unwrap();
        let branch = [fork.clone(), next.clone(), beyond.clone()];
        let inserted = store.insert_foreign(&branch).unwrap();
        let forks = branch.each_ref().map(|record| record.id).to_vec();
        assert_eq!(inserted, Inserted { new: 0, repeats: 0, forks: forks.clone() });
        assert_eq!(all(store), theirs, "the first that came is folded");
        assert_eq!(store.forks().unwrap(), branch);
        assert_eq!(store.insert_foreign(&branch).unwrap().repeats, 3);
        let report = chain::verify(store).unwrap();
        assert_eq!((report.is_sound(), report.forks), (true, forks));
    });
}

#[test]
fn a_record_that_does_not_fit_is_refused_with_all_that_came_with_it() {
    let theirs = log(7, &[0, 1, 2, 3]);
    let altered = Record { author: "Somebody Else".into(), ..theirs[1].clone() };
    let flawed = |flaw| Refusal::Flawed(flaw);
    let early = |mut record: Record| {
        record.order.at_ms -= 10_000;
        record.hash = record.as_ref().digest();
        record
    };
    let about = |mut record: Record| {
        record.subject = Subject::container(container(99));
        record.hash = record.as_ref().digest();
        record
    };
    let mut taken = theirs[1].clone();
    taken.id = theirs[0].id;
    taken.hash = taken.as_ref().digest();
    let gap = Refusal::Gap { device: device(7), missing: 1 };
    let cases = [
        (vec![theirs[0].clone(), altered], 1, flawed(Flaw::Hash)),
        (vec![theirs[0].clone(), theirs[2].clone()], 1, gap),
        (vec![theirs[0].clone(), early(theirs[1].clone())], 1, Refusal::TimeFell),
        (vec![about(theirs[0].clone())], 0, flawed(Flaw::Subject)),
        (vec![theirs[0].clone(), taken], 1, Refusal::IdTaken),
    ];
    tell("refused", |store| {
        for (records, index, refusal) in &cases {
            let found = why(store.insert_foreign(records));
            assert_eq!(found, (*index, refusal.clone()));
            assert_eq!(all(store), []);
            assert_eq!(store.heads().unwrap(), Heads::new());
        }
        let fork = other(&theirs[0]);
        let mixed = [theirs[0].clone(), fork, theirs[3].clone()];
        let gap = Refusal::Gap { device: device(7), missing: 1 };
        assert_eq!(why(store.insert_foreign(&mixed)), (2, gap));
        assert_eq!(store.forks().unwrap(), []);
        store.insert_foreign(&theirs).unwrap();
        assert_eq!(all(store), theirs);
    });
}

#[test]
fn an_event_of_a_newer_program_is_kept_and_handed_on() {
    let mut newer = log(7, &[0]).remove(0);
    newer.body = r#"{"v3":{"weighed":{"container":"x"}}}"#.into();
    newer.hash = newer.as_ref().digest();
    let mut broken = newer.clone();
    broken.body = r#"{"v1":{"weighed":{}}}"#.into();
    broken.hash = broken.as_ref().digest();
    tell("newer", |store| {
        let (_, refusal) = why(store.insert_foreign(std::slice::from_ref(&broken)));
        assert!(matches!(refusal, Refusal::Flawed(Flaw::Body(_))), "{refusal:?}");
        store.insert_foreign(std::slice::from_ref(&newer)).unwrap();
        assert_eq!(all(store), [newer.clone()]);
        let report = chain::verify(store).unwrap();
        assert_eq!((report.records, report.newer, report.is_sound()), (1, 1, true));
    });
}

#[test]
fn kept_bytes_are_those_kept_last() {
    tell("kept", |store| {
        assert_eq!(store.kept("yard").unwrap(), None);
        store.keep("yard", b"one").unwrap();
        store.keep("other", b"").unwrap();
        store.keep("yard", &[0, 255]).unwrap();
        assert_eq!(store.kept("yard").unwrap(), Some(vec![0, 255]));
        assert_eq!(store.kept("other").unwrap(), Some(Vec::new()));
    });
}

#[test]
fn two_programs_with_one_file_write_one_chain() {
    let folder = Folder::new("story-two");
    let path = folder.file("yard.ledger");
    let mut one = Sqlite::create(&path).unwrap();
    let mut two = Sqlite::open(&path, Access::Write).unwrap();
    for n in 0..10 {
        let store = if n % 2 == 0 { &mut one } else { &mut two };
        store.append(device(1), vec![draft(n)]).unwrap();
    }
    assert_eq!(all(&one), all(&two));
    assert_eq!(chain::verify(&one).unwrap().records, 10);
    assert!(chain::verify(&two).unwrap().is_sound());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// In whatever portions the logs of three devices arrive, both stores read the same.
    #[test]
    fn any_arrival_order_is_read_in_the_same_order(
        arrivals in proptest::collection::vec((0_usize..3, 1_usize..5), 0..30),
    ) {
        let logs = [log(1, &[0, 1, 1, 5, 9, 9]), log(2, &[9, 4, 4, 20]), log(3, &[5, 5, 7, 6, 1, 30])];
        let mut wanted = Vec::new();
        let mut from = [0; 3];
        let folder = Folder::new("story-any");
        let mut file = Sqlite::create(&folder.file("yard.ledger")).unwrap();
        let mut memory = Memory::new();
        for (log, count) in arrivals {
            let records = &logs[log][from[log]..(from[log] + count).min(logs[log].len())];
            from[log] += records.len();
            wanted.extend_from_slice(records);
            prop_assert_eq!(
                file.insert_foreign(records).unwrap(),
                memory.insert_foreign(records).unwrap()
            );
        }
        wanted.sort_by_key(|record| record.order);
        prop_assert_eq!(&all(&file), &wanted);
        prop_assert_eq!(&all(&memory), &wanted);
        prop_assert_eq!(file.heads().unwrap(), memory.heads().unwrap());
    }
}
