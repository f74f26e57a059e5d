//! A process that appends acknowledged events is killed at any moment; nothing acknowledged is
//! lost, nothing is there by half, and every chain verifies.
//!
//! This program runs itself as the one that is killed. 100 rounds; `STILLPROP_CRASH_ROUNDS`
//! asks for more. Killing a process shows that the order of writing is right; that the disk
//! keeps what it synced is the disk's promise.

#![cfg(all(unix, feature = "sqlite"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;

use std::{
    collections::BTreeSet,
    io::{BufRead as _, BufReader, Write as _},
    os::unix::process::ExitStatusExt as _,
    path::Path,
    process::{Command, Stdio},
    sync::mpsc,
    thread,
    time::Duration,
};

use drafts::{Dice, Folder, all, device, draft, id};
use stillprop_ledger::{
    chain, snapshot,
    snapshot::Snapshot,
    store::{Access, Sqlite, Store},
};

const FILE: &str = "STILLPROP_CRASH_FILE";
/// Rounds on one file before the next is begun, so that verifying stays quick.
const ROUNDS_PER_FILE: usize = 20;
/// What is appended in one go: one event, and now and then several.
const PORTIONS: [u64; 4] = [1, 1, 5, 1];

/// Run by the test below, and killed.
#[test]
#[ignore = "run by what_was_acknowledged_survives_a_kill_at_any_moment"]
fn append_until_killed() {
    let path = std::env::var(FILE).expect(FILE);
    let path = Path::new(&path);
    let mut store = Sqlite::open(path, Access::Write).or_else(|_| Sqlite::create(path)).unwrap();
    let mut next = store.heads().unwrap().get(&device(1)).map_or(0, |head| head.seq + 1);
    let mut out = std::io::stdout();
    for portion in PORTIONS.into_iter().cycle() {
        let drafts = (next..next + portion).map(draft).collect();
        store.append(device(1), drafts).unwrap();
        next += portion;
        writeln!(out, "\nacknowledged {}", next - 1).unwrap();
        out.flush().unwrap();
        if portion > 1 {
            let snapshot = Snapshot { heads: store.heads().unwrap(), bytes: vec![7; 3000] };
            snapshot::keep(&mut store, "state", &snapshot).unwrap();
        }
    }
}

/// Lets a child append and kills it; the last event that it acknowledged.
fn one_round(path: &Path, dice: &mut Dice) -> Option<u64> {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "append_until_killed", "--ignored", "--nocapture"])
        .env(FILE, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let out = child.stdout.take().unwrap();
    let (first, appending) = mpsc::channel();
    let reader = thread::spawn(move || {
        let lines = BufReader::new(out).lines().map_while(Result::ok);
        let acknowledged =
            lines.filter_map(|line| line.strip_prefix("acknowledged ")?.parse().ok());
        // Nobody may be waiting for it.
        acknowledged.inspect(|_| first.send(()).unwrap_or_default()).last()
    });
    // One in four may die before it is well begun, the others while they append.
    if dice.below(4) > 0 {
        appending.recv().expect("the child ended by itself");
    }
    thread::sleep(Duration::from_micros(dice.below(60_000) as u64));
    child.kill().unwrap();
    let status = child.wait().unwrap();
    assert_eq!(status.signal(), Some(9), "the child ended by itself: {status}");
    reader.join().unwrap()
}

/// Opens what is left, and holds it against what was acknowledged.
fn look(path: &Path, acknowledged: Option<u64>) -> u64 {
    if !path.exists() {
        assert_eq!(acknowledged, None, "the file is gone");
        return 0;
    }
    let store = Sqlite::open(path, Access::Write).unwrap();
    let records = all(&store);
    let report = chain::verify(&store).unwrap();
    assert!(report.is_sound(), "{report}");
    assert_eq!(report.records, records.len() as u64);
    let ids: BTreeSet<_> = records.iter().map(|record| record.id).collect();
    for n in 0..acknowledged.map_or(0, |last| last + 1) {
        assert!(ids.contains(&id(n)), "event {n} was acknowledged and is gone");
    }
    for (n, record) in (0..).zip(&records) {
        assert_eq!(record.event().unwrap(), draft(n).event, "event {n}");
    }
    report.records
}

#[test]
fn what_was_acknowledged_survives_a_kill_at_any_moment() {
    let rounds = std::env::var("STILLPROP_CRASH_ROUNDS").map_or(100, |n| n.parse().unwrap());
    let folder = Folder::new("crash");
    let mut dice = Dice(0x5eed_0003);
    let (mut events, mut unacknowledged, mut in_flight) = (0, 0, 0);
    let mut records = 0;
    for round in 0..rounds {
        let path = folder.file(&format!("{}.ledger", round / ROUNDS_PER_FILE));
        if round % ROUNDS_PER_FILE == 0 {
            records = 0;
        }
        let acknowledged = one_round(&path, &mut dice);
        let known = acknowledged.map_or(records, |last| last + 1);
        let found = look(&path, known.checked_sub(1));
        // At most what was under way is there beyond it, and that as a whole.
        let beyond = found - known;
        assert!(beyond == 0 || PORTIONS.contains(&beyond), "{beyond} beyond in round {round}");
        in_flight += u64::from(beyond > 0);
        unacknowledged += u64::from(acknowledged.is_none());
        events += found - records;
        records = found;
    }
    assert!(events > 3 * rounds as u64, "only {events} events: killed too early to mean anything");
    let mut out = std::io::stdout();
    let said = format!(
        "{rounds} kills, {events} events, {in_flight} of them between writing and acknowledging, \
         {unacknowledged} before the first event"
    );
    writeln!(out, "{said}").unwrap();
}
