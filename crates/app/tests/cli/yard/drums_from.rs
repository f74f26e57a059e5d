//! Which drums to draw from, asked from outside.

use super::{LEDGER, PACK, Yard, labels, rows};
use crate::program::{file, limit, text, with_verdict};

const NOON: &str = "2025-06-20T12:00:00";

fn ask(litres: &str) -> [&str; 6] {
    ["choose", "Nessow Top", "--grade", "avgas 100LL", "--needed", litres]
}

/// An old drum and a younger one that are fit, one that nobody looked at, one elsewhere.
fn four_drums() -> Yard {
    let yard = Yard::new();
    let at = "2025-06-20T05:00:00";
    yard.receive_of(at, "NT-02", "Nessow Top", "VF-2", "2025-03-01");
    yard.receive_of(at, "NT-01", "Nessow Top", "VF-1", "2025-01-14");
    yard.receive_of(at, "NT-03", "Nessow Top", "VF-1", "2024-12-01");
    yard.receive_of(at, "TB-01", "Taskel Bend", "VF-1", "2025-01-14");
    for label in ["NT-01", "NT-02"] {
        yard.tell("2025-06-20T06:00:00", &super::inspected(label));
    }
    for label in ["NT-01", "NT-02"] {
        yard.tell("2025-06-20T06:10:00", &["stand", label, "--tilted"]);
    }
    for label in ["NT-01", "NT-02"] {
        yard.tell("2025-06-20T11:00:00", &super::sampled(label));
    }
    yard
}

#[test]
fn the_older_drum_comes_first_and_what_is_not_known_is_refused_with_the_reason() {
    let yard = four_drums();
    let answer = yard.json(NOON, &ask("105 L"), 0);
    assert_eq!(labels(&answer, "picks"), ["NT-01"]);
    let pick = &answer["picks"][0];
    assert_eq!(pick["draw"]["value"], 105.0);
    assert_eq!(pick["leaves"]["value"], 95.0);
    assert_eq!(answer["short"]["value"], 0.0);
    assert_eq!(labels(&answer, "refused"), ["NT-03"]);
    let refused = answer["refused"][0]["reasons"].to_string();
    assert!(refused.contains("nobody has looked"), "{refused}");
    let page = yard.run(NOON, &ask("105 L")).ends(0).out;
    for words in ["1. 105 L from NT-01", "95 L left: mark it", "NOT THESE", "NT-03"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(!page.contains("TB-01"), "{page}");
}

#[test]
fn more_than_one_drum_holds_comes_from_two_and_adds_up() {
    let answer = four_drums().json(NOON, &ask("250 L"), 0);
    assert_eq!(labels(&answer, "picks"), ["NT-01", "NT-02"]);
    let drawn = rows(&answer, "picks").iter().map(|pick| pick["draw"]["value"].as_f64().unwrap());
    let sum: f64 = drawn.sum();
    assert!((sum - 250.0).abs() < 1e-9, "{sum}");
}

#[test]
fn too_little_is_not_ready_and_says_how_much_is_missing() {
    let yard = four_drums();
    let answer = yard.json(NOON, &ask("1000 L"), 1);
    let short = answer["short"]["value"].as_f64().unwrap();
    let drawn = rows(&answer, "picks").iter().map(|pick| pick["draw"]["value"].as_f64().unwrap());
    assert!((short + drawn.sum::<f64>() - 1000.0).abs() < 1e-9, "{answer}");
    // Two drums of 200 L, and the pump leaves something in each.
    assert!(short > 600.0 && short < 640.0, "{short}");
    assert!(yard.run(NOON, &ask("1000 L")).ends(1).out.contains("short"));
}

#[test]
fn a_drum_of_another_grade_is_never_picked() {
    let mut args = ask("50 L");
    args[3] = "jet A-1";
    let answer = four_drums().json(NOON, &args, 1);
    assert!(labels(&answer, "picks").is_empty(), "{answer}");
}

#[test]
fn a_sample_that_is_too_old_must_be_drawn_again() {
    let yard = four_drums();
    let reasons = |at| yard.json(at, &ask("105 L"), 0)["picks"][0]["reasons"].to_string();
    assert!(!reasons(NOON).contains("sample it"), "{}", reasons(NOON));
    let later = "2025-06-25T12:00:00";
    assert!(reasons(later).contains("sample it"), "{}", reasons(later));
}

#[test]
fn what_is_open_is_used_up_before_an_older_one_is_opened() {
    let yard = four_drums();
    yard.tell(NOON, &["open", "NT-02", "--seals", "intact"]);
    yard.tell(NOON, &["draw", "NT-02", "--volume", "20 L", "--waste"]);
    let answer = yard.json("2025-06-20T12:10:00", &ask("50 L"), 0);
    assert_eq!(labels(&answer, "picks"), ["NT-02"]);
}

/// `ready` on the files of the demonstration, with its yard in a file too.
#[test]
fn a_turnaround_on_disk_draws_from_the_ledger_that_is_named() {
    let yard = Yard::with_demo();
    let ready = |code: i32| {
        let args = ["ready", &file("ready"), "--ledger", LEDGER, "--json"];
        yard.0.run(&args).ends(code).json()
    };
    let answer = ready(0);
    assert_eq!(text(limit(&answer, "drum.age.NT-09"), "verdict"), "holds");

    // A recall that is recorded now is what the next assessment says.
    let recall = ["yard", "recall", "VF-26-031", "--reason", "water at the depot"];
    yard.0.run(&[&recall[..], &["--ledger", LEDGER, "--by", super::BY]].concat()).ends(0);
    let broken = with_verdict(&ready(1), "breaks");
    assert_eq!(broken, ["drum.recall.NT-09"]);
}

#[test]
fn a_turnaround_that_draws_from_a_bad_or_unknown_drum_is_not_ready() {
    let yard = Yard::with_demo();
    yard.0.edit_all(&file("ready"), "\"NT-09\"", "\"NT-14\"");
    let args = ["ready", &file("ready"), "--ledger", LEDGER, "--json"];
    let broken = with_verdict(&yard.0.run(&args).ends(1).json(), "breaks");
    assert!(broken.contains(&"sample.density.NT-14".to_owned()), "{broken:?}");

    yard.0.edit_all(&file("ready"), "\"NT-14\"", "\"NT-99\"");
    let answer = yard.0.run(&args).ends(1).json();
    let unknown = with_verdict(&answer, "unknown");
    assert!(unknown.iter().any(|id| id.ends_with("NT-99")), "{unknown:?}");
}

#[test]
fn the_drum_that_the_demonstration_draws_from_is_the_one_that_is_chosen() {
    let at = "2026-12-03T12:58:00+05:30";
    let args = [&["yard"][..], &ask("105 L"), &["--pack", PACK, "--at", at]].concat();
    let answer = crate::program::json(&args, 0);
    assert_eq!(labels(&answer, "picks"), ["NT-09"]);
}
