//! Every answer about flying says who decides; a reader that goes away is no reason to fail.

use std::io;

use serde_json::Value;

use crate::program::{DEMO, command, demo, json, stillprop};

/// What every text says.
const DECIDES: &str = "the pilot in command decides";

const SUM: [&str; 4] = ["sum", "runway-wind", "runway=150 deg", "wind_direction=70 deg"];

/// Verbs that answer in text and in JSON, with their exit codes.
fn answers() -> Vec<(Vec<String>, i32)> {
    let owned = |args: &[&str]| args.iter().map(|arg| (*arg).to_owned()).collect::<Vec<_>>();
    let mut all = vec![
        (owned(&["demo"]), 0),
        (owned(&["ready", "demo", "--all"]), 0),
        (owned(&[&SUM[..], &["wind_speed=12 kt"]].concat()), 0),
        (owned(&["sum", "--list"]), 0),
        (owned(&["sum", "ballast", "--list"]), 0),
        (owned(&["packs"]), 0),
        (owned(&["packs", "nz"]), 0),
        (owned(&["packs", "strictest(au,nz)"]), 0),
        (owned(&["check", "demo"]), 0),
    ];
    for (name, code) in DEMO {
        all.push((owned(&["ready", &demo(name)]), code));
        all.push((
            owned(&["ready", &demo(name), "--why", "load.take-off-mass"]),
            match name {
                "over-mass" | "missing" => 1,
                _ => 0,
            },
        ));
    }
    all
}

#[test]
fn every_text_says_who_decides() {
    for (args, code) in answers() {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let answer = stillprop(&args).ends(code);
        assert!(answer.out.to_lowercase().contains(DECIDES), "{args:?}: {}", answer.out);
    }
}

#[test]
fn every_json_answer_says_who_decides() {
    for (args, code) in answers() {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let answer = json(&args, code);
        // A list is several answers, each of which may be read alone.
        let each = answer.as_array().map_or_else(|| vec![&answer], |list| list.iter().collect());
        assert!(!each.is_empty(), "{args:?}");
        for one in each {
            assert!(says_who_decides(one), "{args:?}: {one}");
        }
    }
}

fn says_who_decides(answer: &Value) -> bool {
    let says = |text: &Value| text.as_str().is_some_and(|t| t.to_lowercase().contains(DECIDES));
    says(&answer["caution"])
        || answer["cautions"].as_array().is_some_and(|all| all.iter().any(says))
}

#[test]
fn help_and_manual_say_who_decides() {
    for args in [&["--help"][..], &["man"]] {
        assert!(stillprop(args).ends(0).out.contains(DECIDES), "{args:?}");
    }
}

#[test]
fn an_aeroplane_without_a_starter_gets_the_stronger_caution() {
    let hand = "propeller that is turned by hand kills";
    let folded = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (name, code) in DEMO {
        let page = folded(&stillprop(&["ready", &demo(name)]).ends(code).out);
        assert_eq!(page.contains(hand), name == "last-light", "{name}");
        let answer = json(&["ready", &demo(name)], code);
        assert_eq!(answer["cautions"].to_string().contains(hand), name == "last-light", "{name}");
    }
    // The demonstration names the hand-started one too.
    assert!(folded(&stillprop(&["demo"]).out).contains(hand));
}

#[test]
fn a_reader_that_has_gone_away_changes_no_exit_code() {
    for (args, code) in [
        (&["ready", "demo", "--all"][..], 0),
        (&["ready", "demo/over-mass", "--json"], 1),
        (&["ready", "nowhere.toml", "--json"], 2),
        (&["ready", "nowhere.toml"], 2),
        (&["demo"], 0),
        (&["sum", "--list"], 0),
        (&["schema", "aircraft"], 0),
        (&["completions", "bash"], 0),
        (&["man"], 0),
        (&["--help"], 0),
    ] {
        let (reader, writer) = io::pipe().unwrap();
        drop(reader);
        let output = command().args(args).stdout(writer).output().unwrap();
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(code), "{args:?}: {err}");
        assert!(!err.contains("panicked"), "{args:?}: {err}");

        let (reader, writer) = io::pipe().unwrap();
        drop(reader);
        let output = command().args(args).stderr(writer).output().unwrap();
        assert_eq!(output.status.code(), Some(code), "{args:?}, standard error");
    }
}
