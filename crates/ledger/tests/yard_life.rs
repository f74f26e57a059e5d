//! The life of drums, tanks and bowsers, told event by event.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[path = "../examples/demo_yard.rs"]
mod demo_yard;
mod yard_log;

use std::collections::BTreeSet;

use stillprop_ledger::{
    event::{Day, Event, v1::*},
    record::{Draft, Order, RecordId, Subject},
    snapshot,
    store::{Memory, Store},
    transfer,
    yard::{Container, Finding, Oddity, Sought, Yard, fold},
};
use uuid::Uuid;
use yard_log::*;

const HOUR: i64 = 3_600_000;

fn only(yard: &Yard) -> &Container {
    let mut all = yard.containers();
    let one = all.next().unwrap();
    assert_eq!(all.len(), 0);
    one
}

fn oddities(yard: &Yard, id: Uuid) -> Vec<Oddity> {
    yard.findings(id).into_iter().map(|Finding { what, .. }| what).collect()
}

/// A log on device 1, an event each hour, by one person.
fn log(events: impl IntoIterator<Item = Event>) -> Log {
    let mut log = Log::default();
    for (hour, event) in events.into_iter().enumerate() {
        log.write(1, hour as i64 * HOUR, "Odrin Kestow", event);
    }
    log
}

fn set<'a>(words: &[&'a str]) -> BTreeSet<&'a str> {
    words.iter().copied().collect()
}

#[test]
fn a_drum_from_receipt_to_empty() {
    let id = drum(1);
    let log = log([
        received(id, "NT-01", "VF-7", 200),
        stored(id, "Nessow Top", "A1", Posture::OnSide),
        Event::Inspected(Inspected {
            container: id,
            dents: Severity::Slight,
            rust: Severity::None,
            lining_sound: None,
            label_legible: true,
            seals: Seals::Intact,
            note: None,
        }),
        stood(id, Posture::Tilted),
        sampled(id, Paste::Dry),
        Event::Opened(Opened { container: id, seals: Seals::Intact }),
        drawn(id, 105, "clinic round"),
        Event::PartMarked(PartMarked { container: id, left_ml: 94_000 }),
        counted(id, 93),
        emptied(id),
    ]);
    let yard = log.yard();
    let drum = only(&yard);
    assert_eq!(drum.label(), Some("NT-01"));
    assert_eq!(drum.grade(), Some("avgas 100LL"));
    assert_eq!((drum.place.as_deref(), drum.rack.as_deref()), (Some("Nessow Top"), Some("A1")));
    assert_eq!(drum.posture, Some(Posture::Tilted));
    assert_eq!(drum.still_since_ms, Some(3 * HOUR));
    assert_eq!(
        drum.seals.as_ref().map(|it| (it.what, it.stamp.at_ms)),
        Some((Seals::Intact, 5 * HOUR))
    );
    assert_eq!(drum.sample().map(|it| it.stamp.at_ms), Some(4 * HOUR));
    assert_eq!(yard.text(drum.samples[0].stamp.by), "Odrin Kestow");
    assert_eq!(drum.opened.map(|it| it.at_ms), Some(5 * HOUR));
    assert_eq!(drum.draws[0].volume_ml, 105_000);
    let mark = drum.part_mark.as_ref().unwrap().what;
    assert_eq!((mark.left_ml, mark.book_ml), (94_000, 95_000));
    let differences: Vec<_> = drum.differences.iter().map(|it| (it.book_ml, it.found_ml)).collect();
    assert_eq!(differences, [(95_000, 93_000), (93_000, 0)]);
    assert_eq!(drum.differences.iter().map(|it| it.change_ml()).sum::<i64>(), -95_000);
    assert_eq!((drum.contents_ml, drum.emptied.map(|it| it.at_ms)), (0, Some(9 * HOUR)));
    assert_eq!(oddities(&yard, id), []);
    assert_eq!(fold(id, &log.records), *drum);
}

#[test]
fn the_settling_clock_restarts_when_stirred_and_not_otherwise() {
    let id = drum(1);
    let still = |event: Event| {
        let log = log([
            received(id, "NT-01", "VF-7", 200),
            stored(id, "Nessow Top", "A1", Posture::OnSide),
            event,
        ]);
        log.yard().container(id).unwrap().still_since_ms.unwrap() / HOUR
    };
    for (event, since) in [
        (stood(id, Posture::OnSide), 2),
        (stood(id, Posture::Tilted), 2),
        (stored(id, "Nessow Top", "A1", Posture::OnSide), 1),
        (stored(id, "Nessow Top", "A1", Posture::Upright), 2),
        (stored(id, "Nessow Top", "A2", Posture::OnSide), 2),
        (stored(id, "Taskel Bend", "A1", Posture::OnSide), 2),
        (poured(drum(2), 5, id), 2),
        (drawn(id, 5, "a"), 1),
        (sampled(id, Paste::Dry), 1),
        (counted(id, 200), 1),
    ] {
        assert_eq!(still(event.clone()), since, "{event:?}");
    }
}

#[test]
fn two_devices_that_draw_too_much_are_a_finding_with_both_named() {
    let id = drum(1);
    let mut log = log([received(id, "NT-01", "VF-7", 200)]);
    log.write(1, HOUR, "Odrin Kestow", drawn(id, 120, "a"));
    log.write(2, 2 * HOUR, "Hesper Quillane", drawn(id, 80, "b"));
    assert_eq!(oddities(&log.yard(), id), [], "drawn to the last drop is no finding");
    log.write(2, 3 * HOUR, "Hesper Quillane", wasted(id, 1));
    let yard = log.yard();
    assert_eq!(only(&yard).contents_ml, -1_000);
    let devices = vec![device(1), device(2)];
    assert_eq!(oddities(&yard, id), [Oddity::Overdrawn { short_ml: 1_000, devices }]);
}

#[test]
fn fuel_used_when_it_must_not_be_is_found_and_waste_is_not() {
    let id = drum(1);
    for (event, oddity) in [
        (condemned(id, "hole at the seam"), Oddity::DrawnAfterCondemned),
        (emptied(id), Oddity::DrawnAfterEmptied),
    ] {
        let start = [received(id, "NT-01", "VF-7", 200), event];
        let used = |last| log(start.iter().cloned().chain([counted(id, 50), last])).yard();
        assert_eq!(oddities(&used(drawn(id, 5, "a")), id), std::slice::from_ref(&oddity));
        assert_eq!(oddities(&used(poured(id, 5, drum(2))), id), [oddity]);
        assert_eq!(oddities(&used(wasted(id, 5)), id), []);
    }
    let mut log = log([
        received(id, "NT-01", "VF-7", 200),
        drawn(id, 20, "before"),
        recalled("VF-7"),
        drawn(id, 20, "after"),
        wasted(id, 20),
    ]);
    let after = log.records[3].id;
    let found = log.yard().findings(id);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(matches!(found[0].what, Oddity::DrawnAfterRecall { .. }));
    assert_eq!(found[0].stamp.record, after);
    let mut emptied_since = log.clone();
    emptied_since.write(1, 4 * HOUR, "Odrin Kestow", emptied(id));
    emptied_since.write(1, 5 * HOUR, "Odrin Kestow", received(id, "NT-01", "VF-8", 200));
    emptied_since.write(1, 6 * HOUR, "Odrin Kestow", drawn(id, 20, "of another batch"));
    assert_eq!(emptied_since.yard().findings(id).len(), 1);
    // What is said twice is not found twice.
    log.write(1, 2 * HOUR, "Odrin Kestow", recalled("VF-7"));
    assert_eq!(log.yard().findings(id).len(), 1);
}

#[test]
fn what_cannot_be_is_found_and_left_out_of_the_book() {
    let id = drum(1);
    let start = || received(id, "NT-01", "VF-7", 200);
    for (events, expected) in [
        (vec![counted(id, 5)], vec![Oddity::BeforeReceipt]),
        (vec![drawn(id, 5, "a"), start()], vec![Oddity::BeforeReceipt]),
        (
            vec![start(), start()],
            vec![Oddity::ReceivedTwice, Oddity::OverCapacity { over_ml: 192_000 }],
        ),
        (vec![start(), emptied(id), start()], vec![]),
        (vec![start(), counted(id, 208)], vec![]),
        (vec![start(), counted(id, 209)], vec![Oddity::OverCapacity { over_ml: 1_000 }]),
        (vec![start(), wasted(id, 0)], vec![]),
        (vec![start(), wasted(id, -1)], vec![Oddity::NoSuchVolume { volume_ml: -1_000 }]),
        (vec![start(), drawn(id, -9, "a")], vec![Oddity::NoSuchVolume { volume_ml: -9_000 }]),
        (vec![start(), counted(id, -1)], vec![Oddity::NoSuchVolume { volume_ml: -1_000 }]),
        (
            vec![start(), wasted(id, 1_000_000_001)],
            vec![Oddity::NoSuchVolume { volume_ml: 1_000_000_001_000 }],
        ),
    ] {
        let yard = log(events.clone()).yard();
        assert_eq!(oddities(&yard, id), expected, "{events:?}");
        if matches!(expected[..], [Oddity::NoSuchVolume { .. }]) {
            assert_eq!(only(&yard).contents_ml, 200_000, "{events:?}");
        }
    }
}

#[test]
fn a_device_whose_clock_fell_back_is_found() {
    let id = drum(1);
    let mut log = log([received(id, "NT-01", "VF-7", 200), counted(id, 199)]);
    log.write(2, HOUR / 2, "Hesper Quillane", counted(id, 200));
    assert_eq!(oddities(&log.yard(), id), []);
    log.write(1, HOUR / 2, "Odrin Kestow", counted(id, 198));
    assert_eq!(oddities(&log.yard(), id), [Oddity::OutOfOrder]);
}

#[test]
fn a_refilled_tank_adds_and_forgets_what_was_said_of_the_fuel_before() {
    let id = drum(1);
    let tank = |litres, batch: &str| match received(id, "tank 1", batch, litres) {
        Event::Received(it) => {
            Event::Received(Received { kind: ContainerKind::Tank, capacity_ml: 5_000_000, ..it })
        }
        other => other,
    };
    let yard = log([tank(2_000, "VF-7"), sampled(id, Paste::Dry), tank(1_500, "VF-8")]).yard();
    let it = only(&yard);
    assert_eq!(it.contents_ml, 3_500_000);
    assert_eq!(it.sample(), None);
    assert_eq!(it.samples.len(), 1);
    assert_eq!(oddities(&yard, id), []);
    let batches: Vec<_> = yard.touches(id).iter().map(|it| yard.text(it.batch)).collect();
    assert_eq!(batches, ["VF-7", "VF-8"]);
}

#[test]
fn an_emptied_drum_into_which_fuel_is_poured_is_no_longer_empty() {
    let start = [received(drum(1), "NT-01", "VF-7", 200), emptied(drum(1))];
    let poured = [poured(drum(2), 50, drum(1)), drawn(drum(1), 20, "a")];
    let empty = log(start.clone()).yard();
    assert!(empty.container(drum(1)).unwrap().emptied.is_some());
    let yard = log(start.into_iter().chain(poured)).yard();
    let it = yard.container(drum(1)).unwrap();
    assert_eq!((it.emptied, it.contents_ml), (None, 30_000));
    assert_eq!(oddities(&yard, drum(1)), []);
}

#[test]
fn a_grade_poured_onto_another_is_found() {
    let jet = match received(drum(2), "NT-02", "JA-1", 200) {
        Event::Received(it) => Event::Received(Received { grade: "Jet A-1".into(), ..it }),
        other => other,
    };
    let events = |first| {
        [received(drum(1), "NT-01", "VF-7", 100), jet.clone(), first, poured(drum(2), 50, drum(1))]
    };
    let yard = log(events(wasted(drum(1), 5))).yard();
    let found = oddities(&yard, drum(1));
    let [Oddity::GradesMixed { grade, onto }] = found[..] else { panic!("{found:?}") };
    assert_eq!((yard.text(grade), yard.text(onto)), ("Jet A-1", "avgas 100LL"));
    assert_eq!(oddities(&yard, drum(2)), []);
    assert_eq!(oddities(&log(events(emptied(drum(1)))).yard(), drum(1)), []);
}

/// Drum 1 of the batch is poured into a bowser; drum 2 is of another batch.
fn poured_on() -> Log {
    let bowser = drum(9);
    let mut log = Log::default();
    let mut write = |on, hour, who, event| log.write(on, hour * HOUR, who, event);
    write(1, 0, "Odrin Kestow", received(drum(1), "NT-01", "VF-7", 200));
    write(1, 1, "Odrin Kestow", received(drum(2), "NT-02", "VF-8", 200));
    write(1, 2, "Lio Marrenk", poured(drum(2), 100, bowser));
    write(1, 3, "Lio Marrenk", sampled(bowser, Paste::Dry));
    write(1, 4, "Lio Marrenk", drawn(bowser, 20, "before"));
    write(1, 5, "Ulla Vennet", sampled(drum(1), Paste::Wet));
    write(1, 6, "Lio Marrenk", poured(drum(1), 100, bowser));
    write(1, 7, "Brask Oddery", drawn(bowser, 20, "through"));
    write(2, 8, "Hesper Quillane", drawn(drum(1), 20, "straight"));
    write(1, 9, "Brask Oddery", emptied(bowser));
    write(1, 10, "Lio Marrenk", poured(drum(2), 50, bowser));
    write(1, 11, "Jory Ammet", drawn(bowser, 20, "afterwards"));
    log
}

#[test]
fn a_recall_marks_every_container_it_touched_and_names_the_flights() {
    let mut log = poured_on();
    assert_eq!(log.yard().recalls(drum(9)), []);
    log.write(2, 20 * HOUR, "Hesper Quillane", recalled("VF-7"));
    let yard = log.yard();
    let trace = yard.trace_batch("VF-7").unwrap();
    assert_eq!(trace.batch.unwrap().recalls[0].what, "water found");
    let touched: Vec<_> = trace.containers.iter().map(|(it, _)| it.id).collect();
    assert_eq!(touched, [drum(1), drum(9)]);
    assert_eq!(trace.flights, set(&["straight", "through"]));
    assert_eq!(trace.aircraft, set(&["QK-CSX"]));
    let hands = ["Odrin Kestow", "Ulla Vennet", "Lio Marrenk", "Brask Oddery", "Hesper Quillane"];
    assert_eq!(trace.hands, set(&hands));
    assert_eq!(trace.samples.len(), 1, "the bowser was sampled before it came in");
    assert_eq!(trace.draws.len(), 3);
    for (id, marks) in [(drum(1), 1), (drum(2), 0), (drum(9), 1)] {
        assert_eq!(yard.recalls(id).len(), marks);
    }
    assert_eq!(yard.recalls(drum(1))[0].touch.left, None);
    let left = yard.recalls(drum(9))[0].touch.left.unwrap();
    assert_eq!(left.at_ms, 9 * HOUR, "emptied since");
}

#[test]
fn a_flight_leads_back_to_batches_samples_and_hands() {
    let yard = poured_on().yard();
    let batches = |flight: &str| -> BTreeSet<_> {
        let trace = yard.trace_flight(flight).unwrap();
        let fills = trace.draws.iter().flat_map(|it| it.fills.clone());
        fills.map(|(_, fill)| yard.text(fill.batch)).collect()
    };
    assert_eq!(batches("before"), set(&["VF-8"]));
    assert_eq!(batches("through"), set(&["VF-7", "VF-8"]));
    assert_eq!(batches("straight"), set(&["VF-7"]));
    assert_eq!(batches("afterwards"), set(&["VF-8"]));
    let trace = yard.trace_flight("through").unwrap();
    let samples: Vec<_> =
        trace.draws[0].samples.iter().map(|(it, sample)| (it.id, sample.paste)).collect();
    assert_eq!(samples, [(drum(1), Paste::Wet), (drum(9), Paste::Dry)]);
    let hands = ["Brask Oddery", "Lio Marrenk", "Odrin Kestow", "Ulla Vennet"];
    assert_eq!(trace.hands, set(&hands));
    assert_eq!(yard.trace_flight("never flown"), None);
    assert_eq!(yard.trace_batch("never bought"), None);
}

#[test]
fn fuel_that_came_by_two_ways_is_followed_along_both() {
    let [tank, early, late, bowser] = [1, 2, 3, 9].map(drum);
    for [first, second] in [[early, late], [late, early]] {
        let yard = log([
            received(tank, "tank", "VF-7", 200),
            poured(tank, 50, early),
            received(tank, "tank", "VF-8", 100),
            poured(tank, 50, late),
            poured(first, 50, bowser),
            poured(second, 50, bowser),
            drawn(bowser, 100, "a"),
        ])
        .yard();
        let trace = yard.trace_flight("a").unwrap();
        let batches: Vec<_> = trace.draws[0].fills.iter().map(|it| yard.text(it.1.batch)).collect();
        assert_eq!(batches, ["VF-7", "VF-8"]);
        for batch in ["VF-7", "VF-8"] {
            assert_eq!(yard.trace_batch(batch).unwrap().flights, set(&["a"]));
        }
    }
}

#[test]
fn a_retested_batch_is_kept_with_its_day() {
    let day = Day(jiff::civil::date(2026, 11, 30));
    let retested =
        |passed| Event::BatchRetested(BatchRetested { batch: "VF-7".into(), on: day, passed });
    let yard = log([retested(true), retested(false)]).yard();
    let retests = &yard.batch("VF-7").unwrap().retests;
    let told: Vec<_> = retests.iter().map(|it| (it.what.on, it.what.passed)).collect();
    assert_eq!(told, [(day, true), (day, false)]);
    assert_eq!(yard.batch("VF-8"), None);
}

#[test]
fn a_search_says_when_it_found_more_than_one() {
    let yard = log([
        received(drum(1), "NT-01", "VF-7", 200),
        received(drum(2), "NT-02", "VF-7", 200),
        received(drum(3), "nt-02", "VF-7", 200),
    ])
    .yard();
    let id = drum(3).to_string();
    assert_eq!(yard.find("NT-01"), Sought::One(yard.container(drum(1)).unwrap()));
    assert_eq!(yard.find(" nt-01 "), Sought::One(yard.container(drum(1)).unwrap()));
    assert_eq!(yard.find(&id), Sought::One(yard.container(drum(3)).unwrap()));
    assert_eq!(yard.find(&id.to_uppercase()), Sought::One(yard.container(drum(3)).unwrap()));
    assert!(matches!(yard.find("nt-02"), Sought::Several(all) if all.len() == 2));
    assert!(matches!(yard.find(&id[..20]), Sought::Several(all) if all.len() == 3));
    for nothing in ["NT-0", "", "-", "NT-03"] {
        assert_eq!(yard.find(nothing), Sought::Nothing, "{nothing:?}");
    }
    let moved = log([
        received(drum(1), "NT-01", "VF-7", 200),
        stored(drum(1), "Taskel Bend", "B", Posture::OnSide),
    ])
    .yard();
    assert_eq!((moved.at("Nessow Top").count(), moved.at("Taskel Bend").count()), (0, 1));
}

/// Litres in drum 1 after one draw of 50 L and what was said about it since.
fn left_after(say: impl FnOnce(&mut Log, Uuid)) -> i64 {
    let mut log = log([received(drum(1), "NT-01", "VF-7", 200)]);
    let draw = log.write(1, HOUR, "Odrin Kestow", drawn(drum(1), 50, "a"));
    say(&mut log, draw);
    log.yard().container(drum(1)).unwrap().contents_ml / 1000
}

#[test]
fn the_latest_correction_of_a_record_counts() {
    let say = |log: &mut Log, on, hour, of, litres: Option<i64>| {
        let instead = litres.map(|litres| drawn(drum(1), litres, "a"));
        log.write(on, hour * HOUR, "Odrin Kestow", corrected(of, instead))
    };
    assert_eq!(left_after(|_, _| {}), 150);
    let once = |log: &mut Log, draw| {
        say(log, 1, 2, draw, Some(40));
    };
    assert_eq!(left_after(once), 160);
    let taken_back = |log: &mut Log, draw| {
        say(log, 1, 2, draw, None);
    };
    assert_eq!(left_after(taken_back), 200);
    let two = |log: &mut Log, draw| {
        say(log, 1, 2, draw, None);
        say(log, 1, 3, draw, Some(30));
    };
    assert_eq!(left_after(two), 170);
    let correction_withdrawn = |log: &mut Log, draw| {
        let correction = say(log, 1, 2, draw, Some(40));
        say(log, 1, 3, correction, None);
    };
    assert_eq!(left_after(correction_withdrawn), 150);
    let correction_corrected = |log: &mut Log, draw| {
        let correction = say(log, 1, 2, draw, Some(40));
        let instead = corrected(draw, Some(drawn(drum(1), 10, "a")));
        log.write(1, 3 * HOUR, "Odrin Kestow", corrected(correction, Some(instead)));
    };
    assert_eq!(left_after(correction_corrected), 190);
    let by_a_clock_that_is_slow = |log: &mut Log, draw| {
        say(log, 2, 0, draw, Some(40));
    };
    assert_eq!(left_after(by_a_clock_that_is_slow), 160);
}

#[test]
fn a_draw_written_to_the_wrong_drum_moves_to_the_right_one() {
    let mut log = log([
        received(drum(1), "NT-01", "VF-7", 200),
        received(drum(2), "NT-02", "VF-7", 200),
        drawn(drum(1), 50, "a"),
        drawn(drum(2), 10, "a"),
    ]);
    let draw = log.records[2].id.0;
    log.write(1, 4 * HOUR, "Odrin Kestow", corrected(draw, Some(drawn(drum(2), 50, "a"))));
    let left = |log: &Log| -> Vec<i64> {
        log.yard().containers().map(|it| it.contents_ml / 1000).collect()
    };
    assert_eq!(left(&log), [200, 140]);
    assert_eq!(log.yard().container(drum(2)).unwrap().draws[0].volume_ml, 50_000);
    log.write(1, 5 * HOUR, "Odrin Kestow", corrected(draw, None));
    assert_eq!(left(&log), [200, 190]);
}

#[test]
fn corrections_of_nothing_and_of_each_other_are_findings() {
    let id = drum(1);
    let mut log = log([received(id, "NT-01", "VF-7", 200)]);
    let (nobody, first, second) = (Uuid::from_u128(7), Uuid::from_u128(8), Uuid::from_u128(9));
    for (seq, id, of) in [(1, first, second), (2, second, first), (3, Uuid::from_u128(10), nobody)]
    {
        let order = Order { at_ms: 10 + seq as i64, device: device(1), seq };
        log.push(id, order, "Odrin Kestow", corrected(of, None), Subject::container(drum(1)));
    }
    let yard = log.yard();
    // The later of the loop takes back the earlier, and nothing else is changed.
    let expected = [Oddity::CorrectionLoop, Oddity::CorrectsNothing { of: RecordId(nobody) }];
    assert_eq!(oddities(&yard, id), expected);
    assert_eq!(yard.findings(id)[0].stamp.record, RecordId(second));
    assert_eq!(only(&yard).contents_ml, 200_000);
}

#[test]
fn a_body_nobody_can_read_is_a_finding_and_no_more() {
    let id = drum(1);
    let mut log = log([received(id, "NT-01", "VF-7", 200), drawn(id, 10, "a"), drawn(id, 20, "b")]);
    log.records[1].body = r#"{"v9":{"sipped":{}}}"#.into();
    let yard = log.yard();
    assert_eq!(oddities(&yard, id), [Oddity::Unreadable]);
    assert_eq!(only(&yard).contents_ml, 180_000);
}

#[test]
fn an_event_moved_to_another_drum_and_taken_back_leaves_no_trace_there() {
    let mut log = log([
        received(drum(1), "NT-01", "VF-7", 200),
        received(drum(2), "NT-02", "VF-7", 200),
        counted(drum(1), 90),
    ]);
    let count = log.records[2].id.0;
    let mut yard = log.yard();
    let mut counts = Vec::new();
    for instead in [Some(counted(drum(2), 90)), None] {
        log.write(1, 5 * HOUR, "Odrin Kestow", corrected(count, instead));
        let newest = log.records.last().unwrap().as_ref();
        yard = yard.take(newest, &mut |it| of_subject(&log.records, it)).unwrap();
        counts.push(yard.container(drum(2)).unwrap().differences.len());
    }
    assert_eq!(counts, [1, 0]);
}

#[test]
fn a_yard_opens_from_its_snapshot_and_takes_what_came_since() {
    let mut store = Memory::default();
    let log = poured_on();
    let append = |store: &mut Memory, range: std::ops::Range<usize>| {
        for record in &log.records[range] {
            let at = jiff::Timestamp::from_millisecond(record.order.at_ms).unwrap();
            let (id, author) = (record.id, record.author.clone());
            let draft = Draft { id, at, author, event: record.event().unwrap() };
            store.append(record.order.device, vec![draft]).unwrap();
        }
    };
    append(&mut store, 0..7);
    let early = Yard::open(&store).unwrap();
    early.keep(&mut store).unwrap();
    append(&mut store, 7..12);
    let whole = log.yard();
    assert!(early != whole);
    assert!(Yard::open(&store).unwrap() == whole);
    assert!(early.clone().refresh(&store).unwrap() == whole);
    let again = whole.clone().refresh(&store).unwrap();
    assert!(again == whole, "nothing is taken twice");

    // Whole bytes that this program cannot read as a yard are as if there were none.
    let mut kept = snapshot::load(&store, "yard").unwrap().unwrap();
    kept.bytes.truncate(20);
    snapshot::keep(&mut store, "yard", &kept).unwrap();
    assert!(Yard::open(&store).unwrap() == whole);

    // It does open from the snapshot: one of an empty yard, said to be up to date, is believed.
    kept.bytes = Yard::default().encode();
    kept.heads = store.heads().unwrap();
    snapshot::keep(&mut store, "yard", &kept).unwrap();
    assert_eq!(Yard::open(&store).unwrap().containers().len(), 0);
}

fn demo() -> Yard {
    let bytes = include_bytes!("../../../demo/yard.jsonl");
    let mut store = Memory::default();
    transfer::import(&mut store, &mut &bytes[..]).unwrap();
    Yard::open(&store).unwrap()
}

fn one<'a>(yard: &'a Yard, label: &str) -> &'a Container {
    match yard.find(label) {
        Sought::One(container) => container,
        other => panic!("{label}: {other:?}"),
    }
}

#[test]
fn the_demo_yard_is_what_its_generator_makes() {
    let made = String::from_utf8(demo_yard::export().unwrap()).unwrap();
    let kept = include_str!("../../../demo/yard.jsonl");
    assert!(made == kept, "run the example `demo_yard` again and look at what changed");
}

#[test]
fn the_demo_yard_holds_one_of_each_trouble() {
    let yard = demo();
    assert_eq!((yard.at("Nessow Top").count(), yard.at("Taskel Bend").count()), (26, 15));
    let recalled: Vec<_> = yard
        .containers()
        .filter(|it| !yard.recalls(it.id).is_empty())
        .filter_map(Container::label)
        .collect();
    assert_eq!(recalled, ["NT-23", "NT-24", "TB-01", "TB-02", "TB-03", "TB-04", "TB trolley"]);
    let trace = yard.trace_batch("OC-1180").unwrap();
    assert_eq!(trace.flights, set(&["mail 11-23", "river count 11-22"]));
    let over_age = |it: &&Container| it.received.as_ref().unwrap().what.filled.0.year() == 2025;
    assert_eq!(yard.containers().filter(over_age).count(), 8);
    assert_eq!(one(&yard, "TB-12").sample().unwrap().paste, Paste::Wet);
    assert_eq!(one(&yard, "NT-14").sample().unwrap().density_g_m3, Some(733_500));
    assert_eq!(one(&yard, "NT-15").seals.as_ref().unwrap().what, Seals::Broken);
    assert!(one(&yard, "TB-07").condemned.is_some());
    let part: Vec<_> = ["NT-06", "TB-05", "TB-01", "TB trolley"]
        .map(|label| one(&yard, label).contents_ml / 100)
        .into();
    assert_eq!(part, [935, 600, 1_200, 100]);
    let chocks_off: jiff::Timestamp = "2026-12-03T13:40:00+05:30".parse().unwrap();
    let unsettled = yard.containers().filter(|it| {
        it.still_since_ms.is_some_and(|ms| chocks_off.as_millisecond() - ms < HOUR / 2)
    });
    assert_eq!(unsettled.count(), 2);
    let found: Vec<_> = yard
        .containers()
        .flat_map(|it| yard.findings(it.id).into_iter().map(|found| (it.label(), found.what)))
        .collect();
    let [(Some("TB-06"), Oddity::Overdrawn { short_ml: 10_000, devices })] = &found[..] else {
        panic!("{found:?}")
    };
    assert_eq!(devices.len(), 2);
}
