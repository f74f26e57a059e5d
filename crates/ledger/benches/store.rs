//! `cargo bench -p stillprop-ledger --bench store`: the file beside bare SQLite, and a million
//! events.
//!
//! Times mean little on a machine one does not know, so appending is measured against a bare
//! insert of the same bytes with the same settings, in turn in one run, and the answer is a
//! ratio. `STILLPROP_BENCH_EVENTS` asks for another number of events, `STILLPROP_BENCH_FOLDER`
//! for another disk.

#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a benchmark may stop where it cannot go on"
)]

#[path = "../tests/drafts/mod.rs"]
mod drafts;

use std::{
    fs,
    ops::ControlFlow,
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

use drafts::{container, device, draft, event, id};
use rusqlite::{Connection, TransactionBehavior, params};
use stillprop_ledger::{
    chain,
    event::{Body, Event},
    record::{Draft, Record, Subject},
    snapshot::{self, Snapshot},
    store::{Access, Memory, Sqlite, Store},
};

/// Appends of each kind in one turn, and turns.
const APPENDS: u64 = 40;
const TURNS: u64 = 25;
/// At least this part of the rate of a bare insert.
const LEAST_RATIO: f64 = 0.8;
/// Bytes of a snapshot of ten thousand drums, or so.
const SNAPSHOT: usize = 10 << 20;

fn main() {
    let folder = std::env::var_os("STILLPROP_BENCH_FOLDER");
    let folder = PathBuf::from(folder.unwrap_or_else(|| env!("CARGO_TARGET_TMPDIR").into()));
    let folder = folder.join(format!("store-bench-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    println!("| what | found | target |\n|---|---|---|");
    let ratio = appends(&folder);
    a_million(&folder);
    fs::remove_dir_all(&folder).unwrap();
    let verdict = if ratio >= LEAST_RATIO { "met" } else { "MISSED" };
    println!("\nappends: {verdict}");
}

fn row(what: &str, found: &str, target: &str) {
    println!("| {what} | {found} | {target} |");
}

#[expect(clippy::disallowed_methods, reason = "this is what a benchmark does")]
fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let done = work();
    (start.elapsed(), done)
}

/// The rate of durable appends of one event, as part of that of bare inserts.
fn appends(folder: &Path) -> f64 {
    let mut ours = Sqlite::create(&folder.join("ours")).unwrap();
    let mut bare = bare(&folder.join("bare"));
    let all = Memory::new().append(device(1), (0..APPENDS * TURNS).map(draft).collect()).unwrap();
    let (mut our, mut their) = (Vec::new(), Vec::new());
    for turn in all.chunks(usize::try_from(APPENDS).unwrap()) {
        let drafts: Vec<_> = turn.iter().map(|record| draft(record.order.seq)).collect();
        let appended = timed(|| {
            for draft in drafts {
                ours.append(device(1), vec![draft]).unwrap();
            }
        });
        our.push(appended.0.as_secs_f64());
        their.push(
            timed(|| turn.iter().for_each(|record| insert(&mut bare, record))).0.as_secs_f64(),
        );
    }
    // Turn by turn, because a disk that is busy with something else is so for a while.
    let ratios = our.iter().zip(&their).map(|(our, their)| their / our).collect();
    let ratio = median(ratios);
    let rate = |times| format!("{:.0} a second", APPENDS as f64 / median(times));
    row("durable appends of one event", &rate(our), "");
    row("bare inserts of the same bytes, same settings", &rate(their), "");
    row("the first as part of the second", &format!("{ratio:.2}"), "0.80 or more");
    ratio
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// A table without any index, and the settings of a ledger.
fn bare(path: &Path) -> Connection {
    let connection = Connection::open(path).unwrap();
    connection
        .execute_batch(
            "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; \
             PRAGMA checkpoint_fullfsync = ON; CREATE TABLE bare (slot INTEGER PRIMARY KEY, \
             id BLOB, at INTEGER, author TEXT, subject TEXT, body TEXT, previous BLOB, hash BLOB)",
        )
        .unwrap();
    connection
}

fn insert(connection: &mut Connection, record: &Record) {
    let immediate = TransactionBehavior::Immediate;
    let transaction = connection.transaction_with_behavior(immediate).unwrap();
    let Record { id, order, author, subject, body, previous, hash } = record;
    transaction
        .prepare_cached("INSERT INTO bare VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")
        .unwrap()
        .execute(params![
            order.seq.cast_signed(),
            id.0.as_bytes(),
            order.at_ms,
            author,
            subject.0,
            body,
            previous.0,
            hash.0
        ])
        .unwrap();
    transaction.commit().unwrap();
}

/// Event `n` of ten thousand drums with a hundred events each.
fn of_many(n: u64) -> Draft {
    let of = container(n / 160 * 16 + n % 16);
    let mut event = event(n);
    match &mut event {
        Event::Received(e) => e.container = of,
        Event::Stored(e) => e.container = of,
        Event::Inspected(e) => e.container = of,
        Event::Stood(e) => e.container = of,
        Event::Sampled(e) => e.container = of,
        Event::Opened(e) => e.container = of,
        Event::Drawn(e) => e.container = of,
        Event::PartMarked(e) => e.container = of,
        Event::Emptied(e) => e.container = of,
        Event::Condemned(e) => e.container = of,
        Event::Counted(e) => e.container = of,
        Event::BatchRecalled(e) => e.batch = format!("HW-{}", n % 400),
        Event::BatchRetested(e) => e.batch = format!("HW-{}", n % 400),
        Event::Corrected(_) => {}
    }
    Draft { id: id(n), event: event.into(), ..draft(n) }
}

fn a_million(folder: &Path) {
    let events = std::env::var("STILLPROP_BENCH_EVENTS").map_or(1_000_000, |n| n.parse().unwrap());
    let path = folder.join("million");
    let mut store = Sqlite::create(&path).unwrap();
    let (took, ()) = timed(|| {
        for from in (0..events).step_by(10_000) {
            let drafts = (from..events.min(from + 10_000)).map(of_many).collect();
            store.append(device(1), drafts).unwrap();
        }
    });
    row(&format!("{events} events appended, 10,000 at a time"), &seconds(took), "");
    let snapshot = Snapshot { heads: store.heads().unwrap(), bytes: vec![7; SNAPSHOT] };
    snapshot::keep(&mut store, "state", &snapshot).unwrap();
    drop(store);
    let bytes = fs::metadata(&path).unwrap().len();
    row("file", &format!("{} MB, {} bytes an event", bytes >> 20, bytes / events), "");

    let (took, store) = timed(|| Sqlite::open(&path, Access::Write).unwrap());
    row("open", &milliseconds(took), "");
    let (took, found) = timed(|| snapshot::load(&store, "state").unwrap().unwrap());
    assert_eq!(found.bytes.len(), SNAPSHOT);
    row("a snapshot of 10 MB loaded", &milliseconds(took), "with open under 200 ms");
    row("memory after that, at most", &memory(), "");
    read(&store, events);
    let subject = Subject::container(container(16));
    let (took, count) = timed(|| {
        let mut count = 0;
        let read = store.read_subject(&subject, &mut |_| {
            count += 1;
            ControlFlow::Continue(())
        });
        read.map(|()| count).unwrap()
    });
    row(&format!("one subject of {count} events read"), &milliseconds(took), "");
    let (took, report) = timed(|| chain::verify(&store).unwrap());
    assert!(report.is_sound() && report.records == events);
    row("verified: every hash, every page, the index", &seconds(took), "");
    row("memory after all, at most", &memory(), "");
}

fn read(store: &Sqlite, events: u64) {
    let (took, (count, bytes)) = timed(|| {
        let (mut count, mut bytes) = (0, 0);
        store
            .read_all(&mut |record| {
                count += 1;
                bytes += record.body.len();
                ControlFlow::Continue(())
            })
            .unwrap();
        (count, bytes)
    });
    assert_eq!(count, events);
    row(&format!("{events} records read, {} MB of bodies", bytes >> 20), &seconds(took), "");
    let (took, drawn) = timed(|| {
        let mut drawn = 0_u64;
        store
            .read_all(&mut |record| {
                drawn += u64::from(matches!(record.event(), Ok(Body::V1(Event::Drawn(_)))));
                ControlFlow::Continue(())
            })
            .unwrap();
        drawn
    });
    assert!(drawn > events / 10);
    row("the same, with each event decoded", &seconds(took), "with the fold under 3 s");
}

fn seconds(time: Duration) -> String {
    format!("{:.2} s", time.as_secs_f64())
}

fn milliseconds(time: Duration) -> String {
    format!("{:.2} ms", time.as_secs_f64() * 1e3)
}

/// The most memory that the process has held, where the system tells.
fn memory() -> String {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.map_or("not told by this system".into(), |text| text.trim().to_owned())
}
