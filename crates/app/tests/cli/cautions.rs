//! Every answer about flying says who decides; a reader that goes away is no reason to fail.

use std::{collections::BTreeSet, io};

use serde_json::Value;

use crate::program::{DEMO, Folder, command, demo, json, stillprop, text};

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
        (owned(&["screen", "demo"]), 0),
        (owned(&["screen", "petrol"]), 1),
        (owned(&["screen", "--ask"]), 0),
        (owned(&["manifest", "demo"]), 0),
        (owned(&["due", "demo"]), 0),
        (owned(&["report", "spill", "demo/spill"]), 0),
        (owned(&["fit", "demo/mid-burn"]), 0),
        (owned(&["fit", "demo/mid-burn", "--fuel", "stay", "--seats-stay"]), 0),
        (owned(&["uplift", "demo/seed-round"]), 0),
        (owned(&["uplift", "demo/hot-hill"]), 1),
        (owned(&["ground", "demo"]), 0),
        (owned(&["ground", "demo/hand-start"]), 1),
        (owned(&["sheet", "demo/last-light"]), 0),
        (owned(&["window", "demo/last-light"]), 0),
        (owned(&["window", "demo/over-mass"]), 1),
        (owned(&["ways-out", "demo"]), 0),
        (owned(&["ways-out", "demo/crowded-apron"]), 0),
        (owned(&["ways-out", "demo/missing"]), 1),
        (owned(&["park", "demo/crowded-apron"]), 0),
        (owned(&["odds", "demo", "--draws", "500"]), 0),
        (owned(&["odds", "demo/over-mass", "--draws", "100"]), 1),
        (owned(&["sheet", "demo/last-light", "--check"]), 0),
        (owned(&["licences"]), 0),
        (owned(&["print", "load", "demo", "-o", "load.pdf"]), 0),
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

/// Every verb of the yard in an order in which each has something to answer. `RECORD` stands
/// for the record before.
const YARD: [&str; 28] = [
    "receive --label N-1 --place P --grade avgas --batch B --supplier S --filled 2025-01-14 \
     --contents 200L",
    "move N-1 --posture on-side",
    "inspect N-1 --dents none --rust none --seals intact",
    "stand N-1",
    "sample N-1 --appearance clear --colour blue --paste dry",
    "open N-1 --seals intact",
    "draw N-1 --volume 20L --aircraft QK-CSX --tank left --flight F-1",
    "mark N-1 --volume 180L",
    "count N-1 --volume 179L",
    "correct RECORD --void --reason misread",
    "retest B --on 2025-01-20 --passed true",
    "recall B --reason water",
    "list",
    "show N-1",
    "due",
    "trace --batch B",
    "trace --flight F-1",
    "picture rack P --out rack.svg",
    "picture tag N-1 --out tag.svg",
    "picture labels P --out labels.svg",
    "verify",
    "export all.jsonl",
    "import all.jsonl",
    "backup copy.ledger",
    "restore copy.ledger again.ledger",
    "condemn N-1 --reason rust",
    "empty N-1",
    // Nothing is left: not ready, and the caution stands there all the same.
    "choose P --grade avgas --needed 5L",
];

#[test]
fn every_verb_of_the_yard_says_who_decides() {
    for as_json in [true, false] {
        let (folder, mut record) = (Folder::new(), String::new());
        for line in YARD {
            let line = line.replace("RECORD", &record);
            let mut args = vec!["yard"];
            args.extend(line.split_whitespace());
            args.extend(["--ledger", "yard.ledger", "--by", "Odrin", "--pack", "au"]);
            args.extend(["--at", "2025-06-20T12:00:00Z"]);
            args.extend(as_json.then_some("--json"));
            let answer = folder.run(&args).ends(i32::from(line.starts_with("choose")));
            if as_json {
                let value = answer.json();
                assert!(says_who_decides(&value), "{line}: {value}");
                if let Some(recorded) = value["recorded"].get(0) {
                    text(recorded, "id").clone_into(&mut record);
                }
            } else {
                assert!(answer.out.to_lowercase().contains(DECIDES), "{line}: {}", answer.out);
                if let Some(said) = answer.out.strip_prefix("recorded ") {
                    record = said.split(' ').next().unwrap().to_owned();
                }
            }
        }
    }
}

/// A new verb is not forgotten above.
#[test]
fn the_verbs_of_the_yard_are_those_that_its_help_lists() {
    let help = stillprop(&["yard", "--help"]).ends(0).out;
    let (_, commands) = help.split_once("Commands:\n").unwrap();
    let (commands, _) = commands.split_once("\n\n").unwrap();
    let named = commands.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let named: BTreeSet<&str> = named.map(|line| line.split_whitespace().next().unwrap()).collect();
    let tried = YARD.iter().map(|line| line.split(' ').next().unwrap()).chain(["help"]);
    assert_eq!(tried.collect::<BTreeSet<_>>(), named);
}

#[test]
fn a_refusal_in_json_says_who_decides() {
    let answer = json(&["yard", "show", "nothing", "--ledger", "demo"], 2);
    assert!(says_who_decides(&answer), "{answer}");
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
        let by_hand = ["last-light", "hand-start"].contains(&name);
        assert_eq!(page.contains(hand), by_hand, "{name}");
        let answer = json(&["ready", &demo(name)], code);
        assert_eq!(answer["cautions"].to_string().contains(hand), by_hand, "{name}");
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
        (&["sheet", "demo"], 0),
        (&["sheet", "demo", "--walk", "--progress", "/dev/null/none", "--by", "Odrin"], 2),
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
