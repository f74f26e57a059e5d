//! Ways out really mend, none beats another, and each demonstration gets its answer.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use std::fmt::Write;

use stillprop_calc::quantity::FromAmount;
use stillprop_plan::ways_out::{Edit, WaysOut, changed, ways_out};
use stillprop_rules::{builtin, rules::Rules};
use stillprop_turnaround::{
    assess::{assess, limits},
    limits::Verdict,
    stage::{Documents, prepare},
    units::Units,
};

const NOT_READY: [&str; 7] =
    ["over-mass", "mid-burn", "last-light", "missing", "crowded-apron", "spill", "hand-start"];

fn rules(documents: &Documents) -> Rules {
    builtin::rules(&documents.turnaround.pack.value).unwrap()
}

fn answer(name: &str) -> (Documents, Rules, WaysOut) {
    let documents = demo::documents(&demo::texts(name));
    let rules = rules(&documents);
    let units = Units::of_documents(&documents.aircraft, &documents.strip, &documents.turnaround);
    let found = ways_out(&documents, &rules, &units);
    (documents, rules, found)
}

/// What a pilot would be told, one line each.
fn told(name: &str, found: &WaysOut) -> String {
    let mut out = format!("{name}\n");
    for ask in &found.asks {
        let _ = writeln!(out, "  first: {}", ask.words);
        if let Some(enough) = &ask.enough {
            let _ = writeln!(out, "         {enough}");
        }
    }
    for way in &found.ways {
        let _ = writeln!(out, "  {}", way.words);
        if let Some(remark) = &way.remark {
            let _ = writeln!(out, "         {remark}");
        }
    }
    out
}

#[test]
fn every_demonstration_that_is_not_ready_gets_its_answer() {
    let mut all = String::new();
    for name in NOT_READY {
        let (documents, rules, found) = answer(name);
        assert!(!found.ways.is_empty() || !found.asks.is_empty(), "{name}");
        for way in &found.ways {
            let (stage, choice) = prepare(changed(&documents, &way.edits, &rules), &rules);
            let units = stage.document_units;
            assert!(assess(&stage, &choice, &units).ready(), "{name}: {}", way.words);
        }
        for (index, way) in found.ways.iter().enumerate() {
            for other in &found.ways[index + 1..] {
                assert!(!way.burden.beats(&other.burden), "{name}: {} {}", way.words, other.words);
                assert!(!other.burden.beats(&way.burden), "{name}: {} {}", way.words, other.words);
                assert!(way.burden.cost() <= other.burden.cost());
            }
        }
        all += &told(name, &found);
    }
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/ways_out.txt");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::create_dir_all(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden")).unwrap();
        std::fs::write(file, &all).unwrap();
    }
    assert_eq!(all, std::fs::read_to_string(file).unwrap_or_default());
}

#[test]
fn a_ready_turnaround_needs_no_way_out() {
    // Without its yard the drums are unknown, and are asked for.
    let (_, _, found) = answer("ready");
    assert!(found.broken.is_empty() && found.ways.is_empty());
    assert!(found.asks.iter().any(|ask| ask.limits.iter().any(|id| id.starts_with("drum."))));
}

/// Two things wrong that have nothing to do with each other take two changes.
#[test]
fn two_changes_only_where_no_single_one_mends() {
    let mut documents = demo::documents(&demo::texts("last-light"));
    let spill = demo::documents(&demo::texts("spill")).turnaround.ground.unwrap().spills;
    documents.turnaround.ground.as_mut().unwrap().spills = spill;
    let rules = rules(&documents);
    let found = ways_out(&documents, &rules, &Units::METRIC);
    assert_eq!(found.broken.len(), 2);
    assert!(!found.ways.is_empty());
    for way in &found.ways {
        assert_eq!(way.kind.word(), "pair", "{}", way.words);
        let (stage, choice) = prepare(changed(&documents, &way.edits, &rules), &rules);
        let all = limits(&stage, &choice, &Units::METRIC);
        assert!(all.iter().all(|limit| limit.verdict == Verdict::Holds), "{}", way.words);
        // Neither half alone is enough.
        for half in &way.edits {
            let (stage, choice) =
                prepare(changed(&documents, std::slice::from_ref(half), &rules), &rules);
            assert!(!assess(&stage, &choice, &Units::METRIC).ready());
        }
    }
}

/// A turnaround of the demonstration with faults of random size, small enough that some way may mend it.
fn faulty(seed: u64) -> Documents {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut random = |most: u64| {
        // xorshift64: any scatter will do here.
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state % most
    };
    let names = ["over-mass", "mid-burn", "last-light", "spill", "hand-start", "crowded-apron"];
    let mut documents = demo::documents(&demo::texts(names[usize::try_from(random(6)).unwrap()]));
    let turnaround = &mut documents.turnaround;
    let kg = |kg: u64| stillprop_calc::quantity::Mass::from_si(kg as f64);
    for item in &mut turnaround.items {
        if let Some(mass) = &mut item.mass {
            mass.value += kg(random(25));
        }
    }
    for person in &mut turnaround.people {
        if let Some(mass) = &mut person.mass {
            mass.value += kg(random(15));
        }
    }
    let minutes = i64::try_from(random(50)).unwrap() - 20;
    turnaround.departs.instant += jiff::SignedDuration::from_mins(minutes);
    documents
}

/// `PLAN_CASES` asks for more.
fn cases() -> u64 {
    std::env::var("PLAN_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(24)
}

#[test]
fn what_is_offered_for_random_faults_mends_and_nothing_beats_it() {
    let (mut broke, mut mended) = (0, 0);
    for seed in 1..=cases() {
        let documents = faulty(seed);
        let rules = rules(&documents);
        let before = documents.turnaround.extra.clone();
        let found = ways_out(&documents, &rules, &Units::METRIC);
        broke += u64::from(!found.broken.is_empty());
        mended += u64::from(!found.ways.is_empty());
        for way in &found.ways {
            let changed = changed(&documents, &way.edits, &rules);
            // Neither pack nor manual nor the pilot's own reserve is touched.
            assert_eq!(changed.turnaround.pack.value, documents.turnaround.pack.value);
            assert_eq!(changed.turnaround.extra, before);
            assert_eq!(format!("{:?}", changed.aircraft), format!("{:?}", documents.aircraft));
            let (stage, choice) = prepare(changed, &rules);
            let all = limits(&stage, &choice, &Units::METRIC);
            assert!(
                all.iter().all(|limit| limit.verdict == Verdict::Holds),
                "{seed}: {}",
                way.words
            );
            assert!(found.ways.iter().all(|other| !other.burden.beats(&way.burden)), "{seed}");
        }
    }
    assert!(broke * 2 >= cases() && mended > 0, "{broke} broke, {mended} mended");
}

/// The least of one item that must stay behind, against taking a kilogram at a time off the documents.
#[test]
fn a_kilogram_less_left_behind_does_not_mend() {
    let mut tried = 0;
    for seed in 1..=cases() {
        let documents = faulty(seed);
        let rules = rules(&documents);
        let found = ways_out(&documents, &rules, &Units::METRIC);
        for way in found.ways.iter().filter(|way| way.kind.word() == "leave") {
            let [Edit::Lighten(item, mass)] = way.edits.as_slice() else { continue };
            let more = *mass + stillprop_calc::quantity::Mass::from_si(1.0);
            let edits = [Edit::Lighten(*item, more)];
            let (stage, choice) = prepare(changed(&documents, &edits, &rules), &rules);
            assert!(!assess(&stage, &choice, &Units::METRIC).ready(), "{seed}: {}", way.words);
            tried += 1;
        }
    }
    assert!(tried > 0);
}
