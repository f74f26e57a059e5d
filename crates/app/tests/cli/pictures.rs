//! `picture`: the pictures of a stop, from the demonstration.

use std::{env, fs, path::Path};

use crate::program::{Folder, json, stillprop, text};

const KINDS: [&str; 6] = ["loading", "balance", "ladder", "day", "apron", "profile"];

/// What a screen reader says.
fn said(kind: &str, of: &str) -> String {
    let folder = Folder::new();
    folder.run(&["picture", kind, of, "-o", "one.svg"]).ends(0);
    let drawn = fs::read_to_string(folder.path("one.svg")).unwrap();
    let (_, rest) = drawn.split_once("<desc>").unwrap();
    let (words, _) = rest.split_once("</desc>").unwrap();
    words.replace("&#39;", "'")
}

/// Of each kind the picture that a person last looked at, on a phone and on a laptop.
#[test]
fn the_pictures_of_the_demonstration_look_as_they_did() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let folder = Folder::new();
    for (kind, name) in [
        ("loading", "ready"),
        ("loading", "missing"),
        ("balance", "ready"),
        ("balance", "mid-burn"),
        ("ladder", "ready"),
        ("ladder", "missing"),
        ("day", "ready"),
        ("day", "last-light"),
    ] {
        for (size, width) in [("phone", "390"), ("laptop", "1080")] {
            let picture = format!("{kind}-{name}-{size}.svg");
            let of = format!("demo/{name}");
            folder.run(&["picture", kind, &of, "-o", &picture, "--width", width]).ends(0);
            let drawn = fs::read_to_string(folder.path(&picture)).unwrap();
            if env::var_os("UPDATE").is_some() {
                fs::write(golden.join(&picture), &drawn).unwrap();
            }
            let wanted = fs::read_to_string(golden.join(&picture)).unwrap();
            assert!(drawn == wanted, "{picture} changed: look at it, then UPDATE=1");
            assert!(drawn.len() < 14_000, "{picture}: {} bytes", drawn.len());
        }
    }
}

#[test]
fn the_ground_has_the_same_pictures_under_both_verbs() {
    let folder = Folder::new();
    let of = "demo/crowded-apron";
    folder.run(&["ground", of, "--apron", "a.svg", "--profile", "p.svg"]).ends(1);
    folder.run(&["picture", "apron", of, "-o", "apron.svg"]).ends(0);
    folder.run(&["picture", "profile", of, "-o", "profile.svg"]).ends(0);
    let read = |name: &str| fs::read_to_string(folder.path(name)).unwrap();
    assert_eq!(read("a.svg"), read("apron.svg"));
    assert_eq!(read("p.svg"), read("profile.svg"));
}

#[test]
fn every_kind_is_drawn_of_every_demonstration() {
    let folder = Folder::new();
    for name in crate::program::DEMO.map(|(name, _)| name) {
        for kind in KINDS {
            let of = format!("demo/{name}");
            folder.run(&["picture", kind, &of, "-o", "one.svg", "--width", "390"]).ends(0);
            let drawn = fs::read_to_string(folder.path("one.svg")).unwrap();
            assert!(drawn.starts_with("<svg") && !drawn.contains("NaN"), "{kind} {name}");
        }
    }
}

#[test]
fn a_picture_says_the_verdicts_that_the_assessment_says() {
    for (kind, of, words) in [
        ("balance", "demo/mid-burn", "Aft edge breaks: 1.415 m against 1.410 m with 106 L left"),
        ("balance", "demo/over-mass", "Take-off mass breaks: 2682 lb of 2650 lb"),
        ("balance", "demo/ready", "Landing mass holds: 1496 kg of 1620 kg"),
        ("ladder", "demo/ready", "Enough aboard holds: 163 L aboard, 148 L required"),
        ("ladder", "demo/ready", "Required 148 L, aboard 163 L usable, tanks hold 430 L"),
        ("day", "demo/last-light", "Arrival Oumbrel breaks: lands 18:10, last light 18:21"),
        ("day", "demo/ready", "take-off 13:48 (holds); METAR 13:30"),
        ("loading", "demo/ready", "Seat 1L holds: 79 kg of 120 kg, Marro Teel, at 0.95 m"),
        ("loading", "demo/ready", "Balance holds: take-off 1521 kg at 1.215 m"),
    ] {
        let said = said(kind, of);
        assert!(said.contains(words), "{kind} of {of}: {words}\n{said}");
    }
}

#[test]
fn a_mass_that_nobody_knows_is_unknown_in_every_picture_that_needs_it() {
    let of = "demo/missing";
    let loading = said("loading", of);
    assert!(loading.contains("Seat 2L unknown: mass unknown, greatest 240 lb"), "{loading}");
    assert!(loading.contains("Balance unknown"), "{loading}");
    let balance = said("balance", of);
    for words in ["Aft edge unknown", "Take-off mass unknown", "Zero fuel: not known"] {
        assert!(balance.contains(words), "{words}: {balance}");
    }
    assert!(balance.contains("The burn is not drawn."), "{balance}");
}

#[test]
fn a_distance_to_an_edge_is_that_of_the_limit() {
    let margin = |id: &str| {
        let answer = json(&["ready", "demo"], 0);
        let limits = answer["limits"].as_array().unwrap().clone();
        let limit = limits.into_iter().find(|each| text(each, "id") == id).unwrap();
        limit["measure"]["margin"]["value"].as_f64().unwrap()
    };
    let said = said("balance", "demo/ready");
    for (edge, id) in [("Forward edge", "load.cg-forward"), ("Aft edge", "load.cg-aft")] {
        let millimetres = (margin(id) * 1000.0).floor();
        let words = format!("{edge} holds: {millimetres:.0} mm inside");
        assert!(said.contains(&words), "{words}: {said}");
    }
}

#[test]
fn every_answer_says_who_decides_and_what_was_written() {
    let folder = Folder::new();
    for kind in KINDS {
        let args = ["picture", kind, "demo", "-o", "one.svg"];
        let page = folder.run(&args).ends(0).out;
        assert!(page.to_lowercase().contains("the pilot in command decides"), "{page}");
        let answer = folder.run(&[&args[..], &["--json"]].concat()).ends(0).json();
        assert_eq!(text(&answer, "file"), "one.svg");
        let caution = text(&answer, "caution").to_lowercase();
        assert!(caution.contains("the pilot in command decides"), "{answer}");
        let drawn = fs::read_to_string(folder.path("one.svg")).unwrap();
        assert!(drawn.contains("The pilot in command decides."), "{kind}");
    }
}

#[test]
fn what_cannot_be_drawn_or_written_is_refused_with_a_way_out() {
    let refused = stillprop(&["picture", "day", "demo", "-o", "no/such/folder/day.svg"]).ends(2);
    assert!(refused.err.contains("name another file"), "{}", refused.err);
    let refused = stillprop(&["picture", "sky", "demo", "-o", "sky.svg"]).ends(2);
    assert!(refused.err.contains("loading"), "{}", refused.err);
}
