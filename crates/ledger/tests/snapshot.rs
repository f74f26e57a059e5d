//! A snapshot is loaded as it was kept, or not at all.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use drafts::{device, draft};
use stillprop_ledger::{
    snapshot::{self, Snapshot},
    store::{Heads, Memory, Store},
};

fn ledger() -> Memory {
    let mut store = Memory::new();
    store.append(device(1), [0, 2, 4].map(draft).to_vec()).unwrap();
    store.append(device(2), [1, 3].map(draft).to_vec()).unwrap();
    store
}

fn kept() -> (Memory, Snapshot) {
    let mut store = ledger();
    let snapshot = Snapshot { heads: store.heads().unwrap(), bytes: b"two drums".to_vec() };
    snapshot::keep(&mut store, "yard", &snapshot).unwrap();
    (store, snapshot)
}

#[test]
fn it_is_loaded_as_it_was_kept_also_after_more_events() {
    let (mut store, snapshot) = kept();
    assert_eq!(snapshot::load(&store, "yard").unwrap().as_ref(), Some(&snapshot));
    store.append(device(1), vec![draft(9)]).unwrap();
    store.append(device(3), vec![draft(5)]).unwrap();
    assert_eq!(snapshot::load(&store, "yard").unwrap().as_ref(), Some(&snapshot));
    let since = drafts::collect(|take| store.read_since(&snapshot.heads, take));
    assert_eq!(since.iter().map(|r| r.id).collect::<Vec<_>>(), [drafts::id(5), drafts::id(9)]);
}

#[test]
fn one_of_nothing_is_one() {
    let mut store = Memory::new();
    let snapshot = Snapshot { heads: Heads::new(), bytes: Vec::new() };
    snapshot::keep(&mut store, "yard", &snapshot).unwrap();
    assert_eq!(snapshot::load(&store, "yard").unwrap(), Some(snapshot));
    assert_eq!(snapshot::load(&store, "trip").unwrap(), None);
}

#[test]
fn one_of_other_records_is_not_used() {
    let (store, _) = kept();
    let bytes = store.kept("yard").unwrap().unwrap();
    let load = |mut other: Memory| {
        other.keep("yard", &bytes).unwrap();
        snapshot::load(&other, "yard").unwrap()
    };
    assert!(load(ledger()).is_some());
    // A log that was set back, one that went another way, one that is not here.
    let mut back = Memory::new();
    back.append(device(1), [0, 2].map(draft).to_vec()).unwrap();
    back.append(device(2), [1, 3].map(draft).to_vec()).unwrap();
    assert_eq!(load(back), None);
    let mut other = Memory::new();
    other.append(device(1), [0, 2, 5].map(draft).to_vec()).unwrap();
    other.append(device(2), [1, 3].map(draft).to_vec()).unwrap();
    assert_eq!(load(other), None);
    let mut without = Memory::new();
    without.append(device(1), [0, 2, 4].map(draft).to_vec()).unwrap();
    assert_eq!(load(without), None);
}

#[test]
fn one_with_any_bit_flipped_or_any_end_missing_is_not_used() {
    let (mut store, _) = kept();
    let whole = store.kept("yard").unwrap().unwrap();
    for bit in 0..8 * whole.len() {
        let mut bytes = whole.clone();
        bytes[bit / 8] ^= 1 << (bit % 8);
        store.keep("yard", &bytes).unwrap();
        assert_eq!(snapshot::load(&store, "yard").unwrap(), None, "bit {bit}");
    }
    for end in 0..whole.len() {
        store.keep("yard", &whole[..end]).unwrap();
        assert_eq!(snapshot::load(&store, "yard").unwrap(), None, "cut at {end}");
    }
    store.keep("yard", &whole).unwrap();
    assert!(snapshot::load(&store, "yard").unwrap().is_some());
    store.keep("trip", &whole).unwrap();
    assert_eq!(snapshot::load(&store, "trip").unwrap(), None, "under another name");
}
