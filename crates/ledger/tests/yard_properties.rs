//! What holds for every history of a yard.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod yard_log;

use std::{
    collections::{BTreeMap, BTreeSet},
    convert::Infallible,
};

use proptest::{collection::vec, prelude::*};
use stillprop_ledger::{
    event::{Body, Day, Event, v1::*, v2},
    record::{Draft, Hash, Order, Record, RecordId, Subject},
    yard::{Destination, Touch, Yard},
};
use uuid::Uuid;
use yard_log::*;

const DRUMS: u8 = 4;
const PEOPLE: [&str; 3] = ["Odrin Kestow", "Hesper Quillane", "Lio Marrenk"];

/// One thing that happens, as numbers.
#[derive(Clone, Copy, Debug)]
struct Deed {
    kind: u8,
    drum: u8,
    other: u8,
    litres: i64,
    on: u8,
    wait_ms: i64,
}

fn deed(kinds: std::ops::Range<u8>) -> impl Strategy<Value = Deed> {
    (kinds, 0..DRUMS, 0..DRUMS, 0..250i64, 1..3u8, 0..5i64).prop_map(
        |(kind, drum, other, litres, on, wait_ms)| Deed { kind, drum, other, litres, on, wait_ms },
    )
}

/// Everything but corrections.
const PLAIN: std::ops::Range<u8> = 0..14;
/// With corrections.
const ALL: std::ops::Range<u8> = 0..17;

impl Deed {
    fn event(self) -> Event {
        let (container, litres) = (drum(self.drum), self.litres);
        let (batch, flight) = (format!("B{}", self.other), format!("F{}", self.litres % 3));
        let seals = if litres % 2 == 0 { Seals::Intact } else { Seals::Broken };
        match self.kind {
            0 | 1 => received(container, &format!("drum {}", self.drum), &batch, litres),
            2 => stored(container, &batch, &flight, Posture::OnSide),
            3 => stood(container, Posture::Tilted),
            4 => sampled(container, Paste::Dry),
            5 => Event::Opened(Opened { container, seals }),
            6 => drawn(container, litres, &flight),
            7 => poured(container, litres, drum(self.other)),
            8 => wasted(container, litres),
            9 => counted(container, litres),
            10 => emptied(container),
            11 => condemned(container, "dents"),
            12 => recalled(&batch),
            13 => Event::BatchRetested(BatchRetested {
                batch,
                on: Day(jiff::civil::date(2026, 11, 1)),
                passed: litres % 2 == 0,
            }),
            other => panic!("kind {other}"),
        }
    }

    fn author(self) -> &'static str {
        PEOPLE[usize::from(self.other) % PEOPLE.len()]
    }
}

/// Writes deeds; a correction is of a record written before, of whatever device.
fn write(deeds: &[Deed]) -> Log {
    let mut log = Log::default();
    let mut clocks = [0i64; 3];
    for (place, deed) in deeds.iter().enumerate() {
        let clock = &mut clocks[usize::from(deed.on)];
        *clock += deed.wait_ms;
        let of = (place > 0).then(|| log.records[deed.litres as usize % place].clone());
        let event = match (deed.kind, of) {
            (14, Some(of)) => corrected(of.id.0, None),
            (15, Some(of)) => {
                let instead = Deed { kind: deed.litres as u8 % 14, ..*deed }.event();
                corrected(of.id.0, Some(instead))
            }
            // A correction is withdrawn or comes to correct something of the same subject.
            (16, Some(of)) => {
                let about = log.records.iter().find(|it| it.subject == of.subject);
                let inner = about.map(|it| corrected(it.id.0, None));
                corrected(of.id.0, inner)
            }
            (14.., None) => Deed { kind: 0, ..*deed }.event(),
            _ => deed.event(),
        };
        log.write(deed.on, *clock, deed.author(), event);
    }
    log
}

fn yard_event(record: &Record) -> Event {
    record.event().unwrap().yard().unwrap()
}

fn on_sheet() -> Subject {
    Subject::sheet(Uuid::from_u128(5))
}

/// The same records, after each of them one of a run sheet by the same device. Corrections of
/// the sheet name records of drums, and may not reach them.
fn with_sheets(records: &[Record]) -> Vec<Record> {
    let (sheet, mut all) = (Uuid::from_u128(5), Vec::new());
    for (record, n) in records.iter().zip(0u128..) {
        let order = Order { seq: 2 * record.order.seq, ..record.order };
        let (id, author) = (record.id.0, record.author.as_str());
        let mut put = |id, order, event: Body, subject| {
            let at = jiff::Timestamp::from_millisecond(record.order.at_ms).unwrap();
            let draft = Draft { id: RecordId(id), at, author: author.to_owned(), event };
            all.push(Record::make(draft, order, subject, Hash::NONE).unwrap());
        };
        put(id, order, record.event().unwrap(), record.subject.clone());
        let event = match n % 2 {
            0 => v2::Event::Interrupted(v2::Interrupted { sheet, note: None }),
            _ => v2::Event::Corrected(v2::Corrected {
                sheet,
                of: id,
                instead: None,
                reason: "-".into(),
            }),
        };
        let order = Order { seq: order.seq + 1, ..order };
        put(Uuid::from_u128(0xf0 << 64 | n), order, event.into(), on_sheet());
    }
    all
}

fn in_order(mut records: Vec<Record>) -> Vec<Record> {
    records.sort_by_key(|it| it.order);
    records
}

/// Takes records one by one; only what has arrived can be read again.
fn one_by_one(start: Yard, before: &[Record], records: &[Record]) -> Yard {
    let mut arrived = before.to_vec();
    records.iter().fold(start, |yard, record| {
        arrived.push(record.clone());
        yard.take(record.as_ref(), &mut |subject| of_subject(&arrived, subject)).unwrap()
    })
}

/// Asks everything that can be asked; gives how much was answered.
fn ask(yard: &Yard) -> usize {
    let mut answers = 0;
    for container in yard.containers() {
        let id = container.id;
        answers += yard.findings(id).len() + yard.recalls(id).len() + yard.touches(id).len();
        answers += usize::from(container.sample().is_some());
        answers += usize::from(yard.find(&id.to_string()) == yard.find(&id.simple().to_string()));
    }
    for number in 0..DRUMS {
        answers += yard.trace_batch(&format!("B{number}")).map_or(0, |it| it.draws.len());
        answers += yard.trace_flight(&format!("F{number}")).map_or(0, |it| it.draws.len());
        answers += yard.batch_findings(&format!("B{number}")).len();
    }
    answers
}

fn shuffled(kinds: std::ops::Range<u8>) -> impl Strategy<Value = (Vec<Record>, Vec<Record>)> {
    vec(deed(kinds), 1..40).prop_flat_map(|deeds| {
        let records = write(&deeds).records;
        (Just(in_order(records.clone())), Just(records).prop_shuffle())
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn any_arrival_of_two_devices_logs_gives_the_same_yard((told, arrival) in shuffled(ALL)) {
        let yard = fold_all(&told);
        let bytes = yard.encode();
        prop_assert_eq!(&fold_all(&arrival).encode(), &bytes);
        prop_assert_eq!(&one_by_one(Yard::default(), &[], &arrival).encode(), &bytes);
        let (one, other): (Vec<_>, Vec<_>) =
            told.into_iter().partition(|it| it.order.device == device(1));
        for (first, then) in [(&one, &other), (&other, &one)] {
            let yard = one_by_one(fold_all(first), first, then);
            prop_assert_eq!(&yard.encode(), &bytes);
        }
        let repeated = one_by_one(yard, &arrival[1..], &arrival[..1]);
        prop_assert_eq!(&repeated.encode(), &bytes);
    }

    #[test]
    fn run_sheets_between_the_records_change_nothing_in_the_yard(
        records in vec(deed(ALL), 1..40).prop_map(|deeds| with_sheets(&write(&deeds).records)),
        arrival in any::<prop::sample::Index>(),
    ) {
        let drums: Vec<_> =
            records.iter().filter(|it| it.subject != on_sheet()).cloned().collect();
        prop_assert_eq!(records.len(), 2 * drums.len());
        let bytes = fold_all(&drums).encode();
        prop_assert!(fold_all(&records).encode() == bytes);
        let (late, early) = records.split_at(arrival.index(records.len()));
        let arrived = [early, late].concat();
        prop_assert!(one_by_one(Yard::default(), &[], &arrived).encode() == bytes);
        prop_assert_eq!(stillprop_ledger::runs::fold(&records).len(), 1);
    }

    #[test]
    fn a_snapshot_and_the_rest_is_the_whole((told, arrival) in shuffled(ALL), cut in 0.0..1.0f64) {
        let bytes = fold_all(&told).encode();
        let cut = (arrival.len() as f64 * cut) as usize;
        let (before, after) = arrival.split_at(cut);
        let snapshot = fold_all(before).encode();
        let opened = Yard::decode(&snapshot).unwrap();
        prop_assert_eq!(&opened.encode(), &snapshot);
        let yard = one_by_one(opened, before, after);
        prop_assert_eq!(&yard.encode(), &bytes);
        let (yard, fresh) = (Yard::decode(&bytes).unwrap(), fold_all(&told));
        prop_assert_eq!(ask(&yard), ask(&fresh));
        for flight in ["F0", "F1", "F2"] {
            let draws = |yard: &Yard| yard.trace_flight(flight).map(|it| it.draws.len());
            prop_assert_eq!(draws(&yard), draws(&fresh));
        }
    }

    #[test]
    fn damaged_snapshots_never_panic(
        (told, _) in shuffled(ALL),
        flips in vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = fold_all(&told).encode();
        for (place, flip) in flips {
            let place = place.index(bytes.len());
            bytes[place] ^= flip;
        }
        if let Ok(yard) = Yard::decode(&bytes) {
            ask(&yard);
            prop_assert!(!yard.encode().is_empty());
        }
    }
}

/// What a yard must come to, reckoned from the events alone: fuel that came, fuel that went,
/// and what counting changed, with one running book for each drum.
fn reckoned(told: &[Record]) -> (BTreeMap<Uuid, i64>, [i64; 3]) {
    let mut book: BTreeMap<Uuid, i64> = BTreeMap::new();
    let [mut came, mut went, mut changed] = [0; 3];
    for record in told {
        match yard_event(record) {
            Event::Received(it) => {
                *book.entry(it.container).or_default() += it.contents_ml;
                came += it.contents_ml;
            }
            Event::Drawn(it) => {
                *book.entry(it.container).or_default() -= it.volume_ml;
                match it.into {
                    Into::Container(id) => *book.entry(id).or_default() += it.volume_ml,
                    _ => went += it.volume_ml,
                }
            }
            Event::Counted(it) => {
                changed += it.contents_ml - book.insert(it.container, it.contents_ml).unwrap_or(0);
            }
            Event::Emptied(it) => changed -= book.insert(it.container, 0).unwrap_or(0),
            _ => {}
        }
    }
    (book, [came, went, changed])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    #[test]
    fn litres_are_conserved(deeds in vec(deed(PLAIN), 1..24)) {
        let log = write(&deeds);
        let (book, [came, went, changed]) = reckoned(&in_order(log.records.clone()));
        let yard = log.yard();
        let mut sums = [0; 4];
        for it in yard.containers() {
            let received: i64 = it.fills.iter().map(|it| it.volume_ml).sum();
            let poured: i64 = it.inflows.iter().map(|it| it.volume_ml).sum();
            let drawn: i64 = it.draws.iter().map(|it| it.volume_ml).sum();
            let used = it.draws.iter().filter(|it| !matches!(it.into, Destination::Container(_)));
            let counted: i64 = it.differences.iter().map(|it| it.change_ml()).sum();
            prop_assert_eq!(received + poured, drawn + it.contents_ml - counted);
            prop_assert_eq!(it.contents_ml, book.get(&it.id).copied().unwrap_or(0));
            let used: i64 = used.map(|it| it.volume_ml).sum();
            for (sum, part) in sums.iter_mut().zip([received, used, counted, it.contents_ml]) {
                *sum += part;
            }
        }
        prop_assert_eq!(sums, [came, went, changed, came - went + changed]);
    }
}

/// Walks through a history event by event: which batches are in each drum, and so in each flight.
#[derive(Default)]
struct Walk {
    inside: BTreeMap<Uuid, BTreeSet<String>>,
    ever: BTreeMap<Uuid, BTreeSet<String>>,
    flown: BTreeSet<(String, String)>,
}

impl Walk {
    fn through(told: &[Record]) -> Self {
        let mut walk = Self::default();
        for record in told {
            match yard_event(record) {
                Event::Received(it) => walk.enter(it.container, &BTreeSet::from([it.batch])),
                Event::Emptied(it) => drop(walk.inside.remove(&it.container)),
                Event::Drawn(it) => {
                    let batches = walk.inside.get(&it.container).cloned().unwrap_or_default();
                    if let Into::Container(into) = it.into {
                        walk.enter(into, &batches);
                    }
                    if let Some(flight) = it.flight {
                        walk.flown.extend(batches.iter().map(|it| (flight.clone(), it.clone())));
                    }
                }
                _ => {}
            }
        }
        walk
    }

    fn enter(&mut self, drum: Uuid, batches: &BTreeSet<String>) {
        for held in [&mut self.inside, &mut self.ever] {
            held.entry(drum).or_default().extend(batches.iter().cloned());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn traces_agree_with_a_walk_through_history(deeds in vec(deed(PLAIN), 1..60)) {
        let log = write(&deeds);
        let walk = Walk::through(&in_order(log.records.clone()));
        let yard = log.yard();
        let (mut ahead, mut behind) = (BTreeSet::new(), BTreeSet::new());
        for number in 0..DRUMS {
            let (batch, flight) = (format!("B{number}"), format!("F{number}"));
            for flown in yard.trace_batch(&batch).into_iter().flat_map(|it| it.flights) {
                ahead.insert((flown.to_owned(), batch.clone()));
            }
            let draws = yard.trace_flight(&flight).map(|it| it.draws).unwrap_or_default();
            for (_, fill) in draws.iter().flat_map(|it| &it.fills) {
                behind.insert((flight.clone(), yard.text(fill.batch).to_owned()));
            }
        }
        prop_assert_eq!(&ahead, &walk.flown);
        prop_assert_eq!(&behind, &walk.flown);
        for it in yard.containers() {
            let touches = yard.touches(it.id);
            let named = |all: &[&Touch]| -> BTreeSet<String> {
                all.iter().map(|it| yard.text(it.batch).to_owned()).collect()
            };
            let ever: Vec<_> = touches.iter().collect();
            let inside: Vec<_> = touches.iter().filter(|it| it.left.is_none()).collect();
            let of = |held: &BTreeMap<Uuid, BTreeSet<String>>| {
                held.get(&it.id).cloned().unwrap_or_default()
            };
            prop_assert_eq!(named(&ever), of(&walk.ever));
            prop_assert_eq!(named(&inside), of(&walk.inside));
        }
    }
}

/// How one record came to be told wrongly and put right.
#[derive(Clone, Copy, Debug)]
enum Slip {
    /// Told rightly at once.
    None,
    /// Told as something else, then corrected.
    Wrong(Deed),
    /// Told as something else, corrected wrongly, then corrected again.
    WrongTwice(Deed, Deed),
    /// Told as something else; the correction was wrong and was itself corrected.
    WrongCorrection(Deed, Deed),
    /// Told though it never happened, then taken back.
    Invented(Deed),
}

fn slip() -> impl Strategy<Value = Slip> {
    let deed = || deed(PLAIN);
    prop_oneof![
        3 => Just(Slip::None),
        1 => deed().prop_map(Slip::Wrong),
        1 => (deed(), deed()).prop_map(|(first, second)| Slip::WrongTwice(first, second)),
        1 => (deed(), deed()).prop_map(|(first, second)| Slip::WrongCorrection(first, second)),
        1 => deed().prop_map(Slip::Invented),
    ]
}

/// The same history told rightly, and told with slips that later records put right.
fn told_both_ways(history: &[(Deed, Slip)], by_other: bool) -> (Log, Log) {
    let (mut right, mut slipped) = (Log::default(), Log::default());
    let mut late = Vec::new();
    let number = |place: usize| Uuid::from_u128(0xab << 64 | place as u128);
    let (mut clock, mut seqs) = (0, [0u64; 3]);
    for (place, (deed, slip)) in history.iter().enumerate() {
        clock += deed.wait_ms;
        let seq = &mut seqs[usize::from(deed.on)];
        let order = Order { at_ms: clock, device: device(deed.on), seq: *seq };
        *seq += 1;
        let put = |log: &mut Log, deed: &Deed, author| {
            let event = deed.event();
            let subject = Subject::of(&event).unwrap();
            log.push(number(place), order, author, event, subject);
        };
        let author = deed.author();
        match slip {
            Slip::Invented(wrong) => put(&mut slipped, wrong, author),
            _ => put(&mut right, deed, author),
        }
        match slip {
            Slip::None => put(&mut slipped, deed, author),
            Slip::Wrong(wrong) | Slip::WrongTwice(wrong, _) | Slip::WrongCorrection(wrong, _) => {
                put(&mut slipped, wrong, author);
            }
            Slip::Invented(_) => {}
        }
        late.push((number(place), *deed, *slip));
    }
    for (of, deed, slip) in late {
        let mut say = |of, event: Option<Event>| {
            clock += 1;
            let on = 1 + u8::from(by_other);
            let seq = &mut seqs[usize::from(on)];
            let order = Order { at_ms: clock, device: device(on), seq: *seq };
            *seq += 1;
            let id = Uuid::from_u128(0xac << 64 | slipped.records.len() as u128);
            let subject = slipped.subject(of);
            slipped.push(id, order, "Ulla Vennet", corrected(of, event), subject);
            id
        };
        let right = deed.event();
        match slip {
            Slip::None => {}
            Slip::Wrong(_) => {
                say(of, Some(right));
            }
            Slip::WrongTwice(_, second) => {
                say(of, Some(second.event()));
                say(of, Some(right));
            }
            Slip::WrongCorrection(_, second) => {
                let correction = say(of, Some(second.event()));
                say(correction, Some(corrected(of, Some(right))));
            }
            Slip::Invented(_) => {
                say(of, None);
            }
        }
    }
    (right, slipped)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn a_corrected_history_is_the_history_told_rightly(
        history in vec((deed(PLAIN), slip()), 1..20),
        by_other in any::<bool>(),
    ) {
        let (right, slipped) = told_both_ways(&history, by_other);
        let (right, slipped) = (right.yard(), slipped.yard());
        let findings = |yard: &Yard| -> Vec<_> {
            yard.containers().map(|it| yard.findings(it.id).len()).collect()
        };
        prop_assert_eq!(findings(&right), findings(&slipped));
        prop_assert!(right == slipped);
    }
}

/// Anything at all: volumes beyond reason, corrections in circles, slots claimed twice.
fn anything() -> impl Strategy<Value = Vec<Record>> {
    let volume = prop_oneof![
        Just(i64::MIN),
        Just(i64::MAX),
        Just(0),
        Just(1_000_000_000_000),
        Just(1_000_000_000_001),
        any::<i64>(),
    ];
    let event = (deed(ALL), volume, 0..12u128, 0..12u128).prop_map(|(deed, volume, of, inner)| {
        let plain = Deed { kind: deed.kind % 14, ..deed }.event();
        match deed.kind {
            14 => corrected(Uuid::from_u128(of), None),
            15 => corrected(Uuid::from_u128(of), Some(plain)),
            16 => {
                let inner = corrected(Uuid::from_u128(inner), Some(plain));
                corrected(Uuid::from_u128(of), Some(inner))
            }
            _ => with_volume(plain, volume),
        }
    });
    let record = (event, 0..12u128, any::<i8>(), 0..4u8, 0..6u64, 0..DRUMS);
    vec(record, 1..30).prop_map(|all| {
        let mut log = Log::default();
        for (event, id, at_ms, on, seq, about) in all {
            let order = Order { at_ms: i64::from(at_ms), device: device(on), seq };
            let subject = Subject::of(&event).unwrap_or_else(|| Subject::container(drum(about)));
            log.push(Uuid::from_u128(id), order, "Odrin Kestow", event, subject);
        }
        log.records
    })
}

fn with_volume(event: Event, volume_ml: i64) -> Event {
    match event {
        Event::Received(it) => {
            Event::Received(Received { contents_ml: volume_ml, capacity_ml: volume_ml, ..it })
        }
        Event::Drawn(it) => Event::Drawn(Drawn { volume_ml, ..it }),
        Event::Counted(it) => Event::Counted(Counted { contents_ml: volume_ml, ..it }),
        other => other,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn no_sequence_of_events_panics_and_none_depends_on_arrival(records in anything()) {
        let yard = fold_all(&records);
        ask(&yard);
        let mut reversed = records.clone();
        reversed.reverse();
        prop_assert_eq!(&fold_all(&reversed).encode(), &yard.encode());
        prop_assert_eq!(&Yard::decode(&yard.encode()).unwrap().encode(), &yard.encode());
        prop_assert!(one_by_one(Yard::default(), &[], &reversed) == yard);
    }
}

#[test]
fn an_error_while_reading_leaves_no_half_of_a_yard() {
    let mut log = Log::default();
    let of = log.write(1, 0, "Odrin Kestow", received(drum(1), "NT-01", "VF-7", 200));
    log.write(1, 1, "Odrin Kestow", corrected(of, None));
    let mut intake = Yard::default().intake();
    log.records.iter().for_each(|it| intake.push(it.as_ref()));
    assert_eq!(intake.settle(&mut |_| Err("the disk is gone")).unwrap_err(), "the disk is gone");
    let read: &mut dyn FnMut(&Subject) -> Result<Vec<Record>, Infallible> =
        &mut |subject| of_subject(&log.records, subject);
    assert_eq!(log.yard().take(log.records[0].as_ref(), read).unwrap().containers().len(), 0);
}
