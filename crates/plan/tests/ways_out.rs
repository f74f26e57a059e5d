//! Ways out really mend, none beats another, and each demonstration gets its answer.

#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use std::fmt::Write;

use stillprop_plan::ways_out::{WaysOut, changed, ways_out};
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
            let (stage, choice) = prepare(changed(&documents, &[half.clone()], &rules), &rules);
            assert!(!assess(&stage, &choice, &Units::METRIC).ready());
        }
    }
}
