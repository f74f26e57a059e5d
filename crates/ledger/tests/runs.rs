//! Run sheets in the ledger: stories of single sheets, and what holds for every history.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod drafts;
mod sheet_log;

use std::collections::BTreeSet;

use drafts::{all, device, draft, draft_of, id};
use jiff::Timestamp;
use proptest::{collection::vec, prelude::*};
use sheet_log::*;
use stillprop_ledger::{
    chain,
    event::{
        Body,
        v1::{self, BatchRecalled},
        v2::{Corrected, Entry, Event, Outcome, Stop},
    },
    record::{Draft, Flaw, Hash, Order, Record, RecordId, Subject},
    runs::{self, Oddity, Run, Standing},
    store::{Memory, Refusal, Store, StoreError},
    transfer,
    yard::Yard,
};
use uuid::Uuid;

/// Appends events a second apart, from draft `from` on.
fn tell(store: &mut Memory, from: u64, events: Vec<Event>) {
    for (n, event) in (from..).zip(events) {
        store.append(device(1), vec![draft_of(n, event)]).unwrap();
    }
}

fn told(events: Vec<Event>) -> Run {
    let mut store = Memory::new();
    tell(&mut store, 0, events);
    runs::read(&store, sheet(0)).unwrap().unwrap()
}

fn entries(entries: &[Entry]) -> Vec<Event> {
    entries.iter().cloned().map(Event::from).collect()
}

fn odd(run: &Run) -> Vec<Oddity> {
    run.findings.iter().map(|it| it.what.clone()).collect()
}

#[test]
fn a_sheet_gone_through_without_a_hitch_adds_up() {
    let on = sheet(0);
    let lines = [
        opened(on, "QK-CSX"),
        done(on, "chocks", None),
        refused(on, "density", None),
        done(on, "density", Some(read("0.7065 kg/L", &[]))),
        interrupted(on, None),
        resumed(on, None),
        stop(on, Stop::Spill, None),
        step(on, Stop::Spill, 1, "control"),
        resumed(on, None),
        done(on, "cap", None),
        closed(on, Outcome::Finished),
    ];
    let run = told(entries(&lines));
    let whats: Vec<Entry> = run.lines.iter().map(|line| line.what.clone()).collect();
    assert_eq!(whats, lines);
    assert_eq!((odd(&run), run.standing.clone()), (vec![], Standing::Closed(Outcome::Finished)));
    assert_eq!(run.opened().unwrap().aircraft, "QK-CSX");
    assert_eq!(run.done("cap").unwrap().record, id(9));
    assert_eq!(run.done("caps"), None);
}

#[test]
fn where_a_sheet_stands_is_what_was_said_last() {
    let on = sheet(0);
    let spill = || stop(on, Stop::Spill, None);
    let fire = || stop(on, Stop::Fire, None);
    for (more, standing) in [
        (vec![], Standing::Open),
        (vec![interrupted(on, None)], Standing::Interrupted),
        (vec![interrupted(on, None), resumed(on, None)], Standing::Open),
        (vec![spill(), spill(), fire()], Standing::Stopped(vec![Stop::Spill, Stop::Fire])),
        (vec![spill(), interrupted(on, None)], Standing::Stopped(vec![Stop::Spill])),
        (vec![spill(), resumed(on, None)], Standing::Open),
        (
            vec![closed(on, Outcome::Abandoned), resumed(on, None), spill()],
            Standing::Closed(Outcome::Abandoned),
        ),
    ] {
        let run = told(entries(&[vec![opened(on, "QK-CSX")], more].concat()));
        assert_eq!(run.standing, standing);
    }
}

#[test]
fn what_does_not_add_up_is_a_finding_and_the_fold_goes_on() {
    let on = sheet(0);
    let task = |name: &str| done(on, name, None);
    let open = || opened(on, "QK-CSX");
    let spill = || stop(on, Stop::Spill, None);
    let cases = [
        (vec![task("a"), open()], vec![Oddity::BeforeOpened]),
        (vec![open(), open()], vec![Oddity::OpenedTwice]),
        (vec![open(), closed(on, Outcome::Finished), task("a")], vec![Oddity::AfterClosed]),
        (vec![open(), task("a"), task("a")], vec![Oddity::DoneTwice { task: "a".into() }]),
        (vec![open(), task("a"), refused(on, "b", None), task("a")], vec![]),
        (vec![open(), task("a"), spill(), resumed(on, None), task("a")], vec![]),
        (vec![open(), spill(), task("a")], vec![Oddity::DoneWhileStopped { task: "a".into() }]),
        (
            vec![open(), spill(), step(on, Stop::Fire, 1, "call")],
            vec![Oddity::StepWithoutStop { stop: Stop::Fire }],
        ),
        (
            vec![open(), spill(), resumed(on, None), step(on, Stop::Spill, 1, "call")],
            vec![Oddity::StepWithoutStop { stop: Stop::Spill }],
        ),
    ];
    for (lines, wanted) in cases {
        let run = told(entries(&lines));
        assert_eq!((odd(&run), run.lines.len()), (wanted, lines.len()));
    }
}

#[test]
fn a_correction_takes_back_or_puts_right_at_its_own_place() {
    let on = sheet(0);
    let mut events = entries(&[
        opened(on, "QK-CSX"),
        done(on, "a", Some(read("105 L", &[]))),
        done(on, "b", None),
    ]);
    let right = done(on, "a", Some(read("150 L", &[])));
    events.push(corrected(on, id(1).0, Some(right.clone())));
    events.push(corrected(on, id(2).0, None));
    let run = told(events.clone());
    let whats: Vec<_> = run.lines.iter().map(|line| (line.record, line.what.clone())).collect();
    assert_eq!(whats, [(id(0), opened(on, "QK-CSX")), (id(1), right.clone())]);
    assert_eq!(run.findings, []);
    // The taking back was a mistake, and so was the putting right.
    events.push(corrected(on, id(4).0, None));
    events.push(corrected(on, id(3).0, None));
    let run = told(events.clone());
    assert_eq!(run.lines.len(), 3);
    assert_eq!(run.done("a").unwrap().what, done(on, "a", Some(read("105 L", &[]))));
    // Of two corrections of one record the later counts.
    events.push(corrected(on, id(1).0, None));
    events.push(corrected(on, id(1).0, Some(right.clone())));
    assert_eq!(told(events).done("a").unwrap().what, right);
}

#[test]
fn a_task_taken_back_may_be_done_again() {
    let on = sheet(0);
    let mut events = entries(&[opened(on, "QK-CSX"), done(on, "a", None)]);
    events.push(corrected(on, id(1).0, None));
    events.extend(entries(&[done(on, "a", None)]));
    let run = told(events);
    assert_eq!((odd(&run), run.done("a").unwrap().record), (vec![], id(3)));
}

fn why(result: Result<Vec<Record>, StoreError>) -> Refusal {
    match result {
        Err(StoreError::Refused { why, .. }) => why,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_correction_stays_with_its_sheet_and_its_version() {
    let (one, other) = (sheet(0), sheet(1));
    let mut store = Memory::new();
    tell(&mut store, 0, entries(&[opened(one, "QK-CSX"), opened(other, "QK-CSX")]));
    store.append(device(1), vec![draft(5)]).unwrap();
    let mut tried = |event: Body| why(store.append(device(1), vec![draft_of(9, event)]));
    let instead = Some(done(other, "a", None));
    assert_eq!(tried(corrected(other, id(0).0, None).into()), Refusal::CorrectsToOther);
    assert_eq!(tried(corrected(one, id(0).0, instead).into()), Refusal::CorrectsToOther);
    assert_eq!(tried(corrected(one, id(5).0, None).into()), Refusal::CorrectsToOther);
    assert_eq!(tried(corrected(one, id(7).0, None).into()), Refusal::CorrectsUnknown(id(7)));
    // A correction of the yard does not reach a sheet.
    assert_eq!(tried(drafts::corrected(id(0), None).into()), Refusal::CorrectsToOther);
    store.append(device(1), vec![draft_of(9, corrected(one, id(0).0, None))]).unwrap();
}

#[test]
fn what_should_stand_instead_is_of_the_same_sheet_wherever_it_comes_from() {
    let make = |event: Event, subject| {
        let order = Order { at_ms: 0, device: device(1), seq: 0 };
        Record::make(draft_of(0, event), order, subject, Hash::NONE).map(drop)
    };
    let (one, other) = (sheet(0), sheet(1));
    let instead = |of| corrected(one, id(0).0, Some(done(of, "a", None)));
    assert_eq!(make(instead(one), Subject::sheet(one)), Ok(()));
    assert_eq!(make(instead(other), Subject::sheet(one)), Err(Flaw::Subject));
    assert_eq!(make(instead(one), Subject::sheet(other)), Err(Flaw::Subject));
    assert_eq!(make(done(one, "a", None).into(), Subject::batch("B")), Err(Flaw::Subject));
}

#[test]
fn what_an_older_program_took_back_is_taken_back() {
    // It knew no sheets, but could name any record.
    let on = sheet(0);
    let mut store = Memory::new();
    tell(&mut store, 0, entries(&[opened(on, "QK-CSX"), done(on, "a", None), done(on, "b", None)]));
    let old = |n: u64, instead| {
        let order = Order { at_ms: drafts::START_MS + 99_000, device: device(2), seq: n };
        let previous = Hash::NONE;
        let event = drafts::corrected(id(n), instead);
        Record::make(draft_of(90 + n, event), order, Subject::sheet(on), previous).unwrap()
    };
    let mut records = all(&store);
    records.push(old(1, None));
    records.push(old(2, Some(drafts::event(0))));
    let run = &runs::fold(&records)[&on];
    let names: Vec<_> = ["a", "b"].map(|task| run.done(task).is_some()).into();
    assert_eq!((names, odd(run)), (vec![false, true], vec![Oddity::Unreadable]));
}

#[test]
fn sheets_are_found_by_aircraft_the_last_one_last() {
    let mut store = Memory::new();
    for n in [3, 1, 2] {
        let aircraft = if n == 1 { "QK-DEN" } else { "QK-CSX" };
        tell(&mut store, u64::from(10 - n), entries(&[opened(sheet(n), aircraft)]));
    }
    store.append(device(1), vec![draft(10)]).unwrap();
    let found = |aircraft| -> Vec<Uuid> {
        runs::of_aircraft(&store, aircraft).unwrap().iter().map(|it| it.sheet).collect()
    };
    assert_eq!(found("QK-CSX"), [sheet(3), sheet(2)]);
    assert_eq!(found("QK-DEN"), [sheet(1)]);
    assert_eq!(found("QK-ZZZ"), [] as [Uuid; 0]);
    assert_eq!(runs::read(&store, sheet(9)).unwrap(), None);
}

/// One thing that happens on one of three sheets, as numbers.
#[derive(Clone, Copy, Debug)]
struct Deed {
    kind: u8,
    on: u8,
    task: u8,
    of: usize,
    by: u8,
    wait_ms: i64,
}

fn deed() -> impl Strategy<Value = Deed> {
    (0..14u8, 0..3u8, 0..4u8, any::<usize>(), 1..3u8, 0..3i64)
        .prop_map(|(kind, on, task, of, by, wait_ms)| Deed { kind, on, task, of, by, wait_ms })
}

impl Deed {
    fn entry(self) -> Entry {
        let on = sheet(self.on);
        let task = format!("task {}", self.task);
        match self.kind % 9 {
            0 => opened(on, "QK-CSX"),
            1 | 2 => done(on, &task, None),
            3 => refused(on, &task, None),
            4 => interrupted(on, None),
            5 => resumed(on, None),
            6 => stop(on, STOPS[usize::from(self.task)], None),
            7 => step(on, STOPS[usize::from(self.task)], 1, "call"),
            _ => closed(on, OUTCOMES[usize::from(self.task) % 3]),
        }
    }

    /// Corrections name any record, also one of another sheet, one to come and themselves.
    fn event(self, ids: &[Uuid]) -> Event {
        let of = ids[self.of % ids.len()];
        match self.kind {
            9 | 10 => corrected(sheet(self.on), of, None),
            11..14 => corrected(sheet(self.on), of, Some(self.entry())),
            _ => self.entry().into(),
        }
    }
}

/// Records of two devices in the order of their chains. A few claim a place or an id twice.
fn written(deeds: &[Deed]) -> Vec<Record> {
    let ids: Vec<Uuid> = (0..deeds.len()).map(|n| id(n as u64 / 9 * 9 + n as u64 % 8).0).collect();
    let (mut clocks, mut seqs) = ([0_i64; 3], [0_u64; 3]);
    let mut records = Vec::new();
    for (deed, id) in deeds.iter().zip(&ids) {
        let by = usize::from(deed.by);
        clocks[by] += deed.wait_ms;
        seqs[by] += u64::from(deed.of % 16 != 0);
        let order = Order { at_ms: clocks[by], device: device(deed.by), seq: seqs[by] };
        let at = Timestamp::from_millisecond(clocks[by]).unwrap();
        let author = format!("author {}", deed.by);
        let event = Body::from(deed.event(&ids));
        let subject = Subject::of_body(&event).unwrap();
        let draft = Draft { id: RecordId(*id), at, author, event };
        records.push(Record::make(draft, order, subject, Hash::NONE).unwrap());
    }
    records
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn any_order_of_arrival_gives_the_same_runs(
        (told, arrival) in vec(deed(), 1..40)
            .prop_map(|deeds| written(&deeds))
            .prop_flat_map(|records| (Just(records.clone()), Just(records).prop_shuffle())),
        twice in any::<prop::sample::Index>(),
    ) {
        let runs = runs::fold(&told);
        prop_assert_eq!(&runs::fold(&arrival), &runs);
        let mut again = arrival;
        again.push(again[twice.index(again.len())].clone());
        prop_assert_eq!(&runs::fold(&again), &runs);
        let sheets: BTreeSet<_> = told.iter().map(|it| it.subject.clone()).collect();
        prop_assert_eq!(runs.len(), sheets.len());
        // Nothing is entered that nobody told, and every line stands in the order of the fold.
        let ids: BTreeSet<RecordId> = told.iter().map(|it| it.id).collect();
        for run in runs.values() {
            prop_assert!(run.lines.iter().all(|line| ids.contains(&line.record)));
            prop_assert!(run.lines.is_sorted_by_key(|line| line.at_ms));
        }
    }

    /// A history in which some entries were told wrongly and put right, or never happened and
    /// were taken back, is the history told rightly.
    #[test]
    fn a_corrected_sheet_is_the_sheet_told_rightly(
        history in vec((deed(), deed(), 0..5u8), 1..20),
    ) {
        let on = |deed: Deed| Deed { on: 0, kind: deed.kind % 9, ..deed };
        let (mut right, mut slipped, mut late) = (Vec::new(), Vec::new(), Vec::new());
        let mut number = 0;
        let mut next = || { number += 1; number };
        for (deed, wrong, slip) in history {
            let (deed, wrong, n) = (on(deed).entry(), on(wrong).entry(), next());
            let put = |n, it: &Entry| (n, Event::from(it.clone()));
            let of = |of: u64, instead| corrected(sheet(0), id(of).0, instead);
            match slip {
                0 | 1 => slipped.push(put(n, &deed)),
                2 => {
                    slipped.push(put(n, &wrong));
                    late.push((next(), of(n, Some(deed.clone()))));
                }
                3 => {
                    // Taken back by mistake, and that taken back in turn.
                    slipped.push(put(n, &deed));
                    let (first, second) = (next(), next());
                    late.push((first, of(n, None)));
                    late.push((second, of(first, None)));
                }
                _ => {
                    slipped.push(put(n, &wrong));
                    late.push((next(), of(n, None)));
                    continue;
                }
            }
            right.push(put(n, &deed));
        }
        slipped.extend(late);
        let fold = |told: &[(u64, Event)]| {
            let records: Vec<Record> = told.iter().zip(0..).map(|((n, event), seq)| {
                let order = Order { at_ms: seq, device: device(1), seq: seq.cast_unsigned() };
                let draft = draft_of(*n, event.clone());
                Record::make(draft, order, Subject::sheet(sheet(0)), Hash::NONE).unwrap()
            }).collect();
            runs::fold(&records).remove(&sheet(0)).map(|run| {
                let lines: Vec<_> =
                    run.lines.iter().map(|line| (line.record, line.what.clone())).collect();
                let findings: Vec<_> =
                    run.findings.into_iter().map(|it| (it.record, it.what)).collect();
                (lines, findings.into_iter().collect::<std::collections::BTreeMap<_, _>>(), run.standing)
            })
        };
        if right.is_empty() {
            prop_assert!(fold(&slipped).is_none_or(|it| it.0.is_empty()));
        } else {
            prop_assert_eq!(fold(&slipped), fold(&right));
        }
    }
}

/// Two devices that record drums and sheets by turns.
fn mixed() -> Memory {
    let mut store = Memory::new();
    let on = sheet(0);
    let mut sheet_events = entries(&[
        opened(on, "QK-CSX"),
        done(on, "a", None),
        stop(on, Stop::Spill, None),
        resumed(on, None),
        closed(on, Outcome::Stopped),
    ])
    .into_iter();
    for n in 0..20 {
        let by = device(1 + u8::from(n % 3 == 0));
        store.append(by, vec![draft(n)]).unwrap();
        if n % 4 == 1 {
            let event = sheet_events.next().unwrap();
            store.append(by, vec![draft_of(100 + n, event)]).unwrap();
        }
    }
    store.append(device(2), vec![draft_of(200, corrected(on, id(105).0, None))]).unwrap();
    store
}

#[test]
fn the_yard_is_the_same_with_sheets_between_its_records() {
    let store = mixed();
    // The same records without the sheets; their places in the logs stay what they are.
    let (drums, sheets): (Vec<_>, Vec<_>) =
        all(&store).into_iter().partition(|it| it.event().unwrap().yard().is_some());
    assert_eq!((drums.len(), sheets.len()), (20, 6));
    let mut intake = Yard::default().intake();
    drums.iter().for_each(|it| intake.push(it.as_ref()));
    let wanted = intake
        .settle(&mut |subject| {
            let about = drums.iter().filter(|it| it.subject == *subject);
            Ok::<_, std::convert::Infallible>(about.cloned().collect())
        })
        .unwrap();
    let yard = Yard::open(&store).unwrap();
    assert!(yard.encode() == wanted.encode());
    let findings = |yard: &Yard| -> Vec<usize> {
        yard.containers().map(|it| yard.findings(it.id).len()).collect()
    };
    assert_eq!(findings(&yard), findings(&wanted));
}

#[test]
fn a_snapshot_of_the_yard_stays_good_when_only_sheets_follow() {
    let mut store = mixed();
    let yard = Yard::open(&store).unwrap();
    yard.keep(&mut store).unwrap();
    tell(&mut store, 300, entries(&[done(sheet(0), "b", None), opened(sheet(1), "QK-DEN")]));
    assert!(stillprop_ledger::snapshot::load(&store, "yard").unwrap().is_some());
    assert!(Yard::open(&store).unwrap().encode() == yard.encode());
    assert!(yard.clone().refresh(&store).unwrap().encode() == yard.encode());
    store.append(device(1), vec![draft(400)]).unwrap();
    let whole = Yard::default().refresh(&store).unwrap();
    assert!(whole != yard);
    assert!(Yard::open(&store).unwrap() == whole);
}

#[test]
fn sheets_go_out_and_come_in_with_the_drums() {
    let store = mixed();
    let mut text = Vec::new();
    transfer::export(&store, &mut text).unwrap();
    let mut again = Memory::new();
    assert_eq!(transfer::import(&mut again, &mut text.as_slice()).unwrap().new, 26);
    assert_eq!(all(&again), all(&store));
    assert_eq!(runs::read(&again, sheet(0)).unwrap(), runs::read(&store, sheet(0)).unwrap());
    let report = chain::verify(&again).unwrap();
    assert_eq!((report.records, report.newer, report.is_sound()), (26, 0, true));
}

#[cfg(feature = "sqlite")]
#[test]
fn a_file_with_sheets_is_backed_up_restored_and_verified() {
    use stillprop_ledger::store::{Access, Sqlite, restore};

    let folder = drafts::Folder::new("runs-file");
    let mut file = Sqlite::create(&folder.file("yard.ledger")).unwrap();
    file.insert_foreign(&all(&mixed())).unwrap();
    file.backup(&folder.file("copy.ledger")).unwrap();
    restore(&folder.file("copy.ledger"), &folder.file("again.ledger")).unwrap();
    for name in ["yard.ledger", "copy.ledger", "again.ledger"] {
        let file = Sqlite::open(&folder.file(name), Access::Read).unwrap();
        let report = chain::verify(&file).unwrap();
        assert_eq!((report.records, report.is_sound()), (26, true), "{name}: {report}");
        let found = runs::of_aircraft(&file, "QK-CSX").unwrap();
        assert_eq!(found, runs::of_aircraft(&mixed(), "QK-CSX").unwrap(), "{name}");
        assert_eq!((found.len(), found[0].lines.len()), (1, 4));
    }
}

#[test]
fn records_of_other_subjects_pass_by() {
    let mut store = mixed();
    let recall = v1::Event::BatchRecalled(BatchRecalled { batch: "B".into(), reason: "-".into() });
    store.append(device(1), vec![draft_of(400, recall)]).unwrap();
    assert_eq!(runs::fold(&all(&store)).len(), 1);
}

#[test]
fn corrections_in_a_circle_are_cut_at_the_latest() {
    let on = sheet(0);
    let make = |n: u64, event: Event| {
        let order = Order { at_ms: n.cast_signed(), device: device(1), seq: n };
        Record::make(draft_of(n, event), order, Subject::sheet(on), Hash::NONE).unwrap()
    };
    let of = |of: u64| {
        Event::Corrected(Corrected { sheet: on, of: id(of).0, instead: None, reason: "-".into() })
    };
    let records =
        [make(0, opened(on, "QK-CSX").into()), make(1, of(2)), make(2, of(1)), make(3, of(3))];
    let run = &runs::fold(&records)[&on];
    assert_eq!(run.lines.len(), 1);
    let loops: Vec<_> = run.findings.iter().map(|it| (it.record, it.what.clone())).collect();
    assert_eq!(loops, [(id(2), Oddity::CorrectionLoop), (id(3), Oddity::CorrectionLoop)]);
    // Where the circle is broken from outside, what counts is told.
    let out = [make(0, opened(on, "QK-CSX").into()), make(1, of(0)), make(2, of(1))];
    assert_eq!(runs::fold(&out)[&on].lines.len(), 1);
}
