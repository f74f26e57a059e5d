//! Both ways along the fuel, recalls, and records that were wrong.

use serde_json::Value;

use super::{Yard, labels, rows};
use crate::program::text;

const MORNING: &str = "2025-06-20T05:00:00";
const NOON: &str = "2025-06-20T12:00:00";

/// Batch VF-1 goes from NT-01 into an aeroplane, and by way of NT-02, which holds VF-2, into
/// another.
fn poured() -> Yard {
    let yard = Yard::new();
    yard.receive_of(MORNING, "NT-01", "Nessow Top", "VF-1", "2025-01-14");
    let part = super::received("NT-02", "Nessow Top", "VF-2", "2025-03-01");
    let part: Vec<&str> =
        part.iter().map(|arg| if *arg == "200 L" { "60 L" } else { arg }).collect();
    yard.tell(MORNING, &part);
    yard.prepare("2025-06-20", "NT-01");
    let into = |drum, litres, rest: &[&str]| {
        yard.tell(NOON, &[&["draw", drum, "--volume", litres], rest].concat());
    };
    into("NT-01", "50 L", &["--aircraft", "QK-CSX", "--tank", "left wing", "--flight", "F-1"]);
    into("NT-01", "40.5 L", &["--container", "NT-02"]);
    into("NT-02", "30 L", &["--aircraft", "QK-FFR", "--tank", "right", "--flight", "F-2"]);
    into("NT-01", "0.5 L", &["--waste"]);
    yard
}

fn texts(value: &Value, key: &str) -> Vec<String> {
    rows(value, key).iter().map(|it| it.as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_batch_leads_to_every_flight_that_had_any_of_it() {
    let yard = poured();
    let trace = yard.json(NOON, &["trace", "--batch", "VF-1"], 0);
    assert_eq!(texts(&trace, "flights"), ["F-1", "F-2"]);
    assert_eq!(texts(&trace, "aircraft"), ["QK-CSX", "QK-FFR"]);
    assert_eq!(texts(&trace, "hands"), [super::BY]);
    let mut containers = labels(&trace, "containers");
    containers.sort();
    assert_eq!(containers, ["NT-01", "NT-02"]);
    let litres: Vec<f64> = rows(&trace, "draws")
        .iter()
        .map(|draw| draw["volume"]["value"].as_f64().unwrap())
        .collect();
    assert_eq!(litres.len(), 4);
    assert!(litres.contains(&40.5), "{litres:?}");
    // What was in NT-02 before is in its flight and in no other.
    let other = yard.json(NOON, &["trace", "--batch", "VF-2"], 0);
    assert_eq!(texts(&other, "flights"), ["F-2"]);
    let page = yard.run(NOON, &["trace", "--batch", "VF-1"]).ends(0).out;
    for words in ["BATCH VF-1", "drawn 40.5 L from NT-01", "into NT-02", "for F-2", "paste dry"] {
        assert!(page.contains(words), "{words}: {page}");
    }
}

#[test]
fn a_flight_leads_back_to_every_batch_it_flew_on() {
    let yard = poured();
    let batches = |flight| {
        let trace = yard.json(NOON, &["trace", "--flight", flight], 0);
        let draws = rows(&trace, "draws").clone();
        let all = draws.iter().flat_map(|draw| rows(draw, "batches").clone());
        let mut all: Vec<String> = all.map(|it| text(&it, "batch").to_owned()).collect();
        all.sort();
        all
    };
    assert_eq!(batches("F-1"), ["VF-1"]);
    assert_eq!(batches("F-2"), ["VF-1", "VF-2"]);
    let page = yard.run(NOON, &["trace", "--flight", "F-2"]).ends(0).out;
    for words in ["FLIGHT F-2", "30 L from NT-02", "batch VF-1, avgas 100LL, in NT-01"] {
        assert!(page.contains(words), "{words}: {page}");
    }
}

#[test]
fn what_was_never_recorded_cannot_be_traced() {
    let yard = poured();
    for way in [["--batch", "VF-9"], ["--flight", "F-9"]] {
        let said = yard.run(NOON, &["trace", way[0], way[1]]).ends(2);
        assert!(said.err.contains("nothing is recorded of"), "{}", said.err);
    }
    yard.run(NOON, &["trace"]).ends(2);
    yard.run(NOON, &["trace", "--batch", "VF-1", "--flight", "F-1"]).ends(2);
}

#[test]
fn a_recall_marks_every_drum_that_the_batch_is_in_and_nothing_else() {
    let yard = poured();
    yard.receive_of(NOON, "NT-03", "Nessow Top", "VF-3", "2025-03-01");
    yard.tell("2025-06-20T13:00:00", &["recall", "VF-1", "--reason", "water at the depot"]);
    let after = "2025-06-20T13:10:00";
    for (label, state) in [("NT-01", "recalled"), ("NT-02", "recalled"), ("NT-03", "unknown")] {
        assert_eq!(yard.stands(after, label).0, state, "{label}");
    }
    let ask = ["choose", "Nessow Top", "--grade", "avgas 100LL", "--needed", "20 L"];
    assert!(labels(&yard.json(after, &ask, 1), "picks").is_empty());
    let due = yard.run(after, &["due", "Nessow Top"]).ends(0).out;
    assert_eq!(due.matches("batch VF-1 was recalled: water at the depot").count(), 2, "{due}");

    let draw = ["draw", "NT-01", "--volume", "5 L", "--aircraft", "QK-CSX", "--tank", "left wing"];
    yard.tell(after, &draw);
    let found = yard.show(after, "NT-01")["findings"].to_string();
    assert!(found.contains("drawn after batch VF-1 was recalled"), "{found}");
}

#[test]
fn a_batch_that_failed_its_test_is_not_fit_until_it_passes_one() {
    let yard = poured();
    let state = |passed: &'static str, at: &str| {
        yard.tell(at, &["retest", "VF-1", "--on", "2025-06-19", "--passed", passed]);
        yard.stands(at, "NT-01").0
    };
    assert_eq!(state("false", "2025-06-20T13:00:00"), "recalled");
    assert_eq!(state("true", "2025-06-20T14:00:00"), "fit");
}

#[test]
fn what_did_not_happen_is_taken_back_and_stays_in_the_history() {
    let yard = poured();
    let draw = ["draw", "NT-01", "--volume", "100 L", "--waste"];
    let wrong = yard.tell("2025-06-20T13:00:00", &draw);
    assert_eq!(yard.show(NOON, "NT-01")["left"]["value"], 9.0);
    let void = ["correct", &wrong, "--void", "--reason", "that was the drum beside it"];
    yard.tell("2025-06-20T13:10:00", &void);
    assert_eq!(yard.show(NOON, "NT-01")["left"]["value"], 109.0);
    let history = yard.show(NOON, "NT-01")["history"].to_string();
    assert!(history.contains(&wrong) && history.contains("100000"), "{history}");
}

#[test]
fn what_happened_otherwise_is_replaced_by_the_event_that_should_have_been_recorded() {
    let yard = poured();
    let draw = ["draw", "NT-01", "--volume", "10.5 L", "--waste"];
    let wrong = yard.tell("2025-06-20T13:00:00", &draw);
    // As the help says: the event as `show --json` prints it, changed.
    let shown = yard.show(NOON, "NT-01");
    let last = rows(&shown, "history").last().unwrap();
    let event = last["event"].to_string();
    let mended = event.replace("10500", "15000");
    assert_ne!(event, mended);
    yard.0.write("event.json", mended.as_bytes());
    let instead = ["correct", &wrong, "--instead", "event.json", "--reason", "misread the meter"];
    yard.tell("2025-06-20T13:10:00", &instead);
    assert_eq!(yard.show(NOON, "NT-01")["left"]["value"], 94.0);

    let other = mended.replace(&yard.id("NT-01"), &yard.id("NT-02"));
    yard.0.write("other.json", other.as_bytes());
    yard.0.write("no-event.json", b"{\"drawn\": {}}");
    for (file, words) in [
        ("other.json", "stays with its container"),
        ("no-event.json", "this is no event"),
        ("nowhere.json", "there is no such file"),
    ] {
        let args = ["correct", &wrong, "--instead", file, "--reason", "misread the meter"];
        let said = yard.run("2025-06-20T13:20:00", &args).ends(2);
        assert!(said.err.contains(words), "{file}: {}", said.err);
    }
    assert_eq!(yard.show(NOON, "NT-01")["left"]["value"], 94.0);
}
