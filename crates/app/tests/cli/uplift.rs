//! `uplift`: what to take at each stop of a day.

use std::{fs, path::Path};

use serde_json::Value;

use crate::program::{Folder, json, stillprop, text};

const DAY: &str = "demo/days/seed-round.toml";

/// The pages as a person last saw them; `UPDATE=1` writes them anew, to be read.
#[test]
fn the_days_of_the_demonstration_look_as_they_did() {
    for (name, code) in [("seed-round", 0), ("hot-hill", 1)] {
        let page = stillprop(&["uplift", &format!("demo/{name}")]).ends(code).out;
        let golden = format!("tests/golden/uplift-{name}.txt");
        let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join(golden);
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&golden, &page).unwrap();
        }
        assert_eq!(page, fs::read_to_string(&golden).unwrap(), "{name}");
        assert!(page.lines().all(|line| line.chars().count() <= 100), "{name}: {page}");
    }
}

fn litres(value: &Value) -> f64 {
    assert_eq!(value["unit"], "L", "{value}");
    value["value"].as_f64().unwrap()
}

#[test]
fn the_answer_for_programs_adds_up_from_stop_to_stop() {
    let answer = json(&["uplift", "demo/seed-round"], 0);
    assert_eq!((&answer["answer"], &answer["proof"]), (&"take".into(), &"best".into()));
    let stops = answer["stops"].as_array().unwrap();
    assert_eq!(stops.len(), 3);
    let (mut cost, mut left) = (0.0, None);
    for stop in stops {
        let litres = |key: &str| litres(&stop[key]);
        assert!((litres("aboard") + litres("takes") - litres("leaves")).abs() < 1e-9, "{stop}");
        assert!((litres("leaves") - litres("burns") - litres("left")).abs() < 1e-9, "{stop}");
        assert!(left.is_none_or(|left: f64| (left - litres("aboard")).abs() < 1e-9), "{stop}");
        let sum = |list: &str, of: &dyn Fn(&Value) -> f64| {
            stop[list].as_array().unwrap().iter().map(of).sum::<f64>()
        };
        let drawn = sum("draws", &|draw| self::litres(&draw["takes"]));
        assert!((drawn - litres("takes")).abs() < 1e-9, "{stop}");
        let filled = |tank: &Value| self::litres(&tank["after"]) - self::litres(&tank["before"]);
        assert!((sum("tanks", &filled) - litres("takes")).abs() < 1e-9, "{stop}");
        assert!(stop["holds"].as_u64().unwrap() > 60, "{stop}");
        cost += stop["cost"].as_f64().unwrap();
        left = Some(litres("left"));
    }
    assert!((answer["cost"].as_f64().unwrap() - cost).abs() < 1e-9);
    // Every drum is old enough to be asked for a sample of its day.
    let first = &stops[1]["still_to_do"][0];
    assert!(text(first, "id").starts_with("sample.taken."), "{first}");
    let refused = stops[1]["not_offered"].as_array().unwrap();
    let recalled = refused.iter().find(|one| one["name"] == "NT-24").unwrap();
    assert!(recalled["why"].to_string().contains("recalled"), "{recalled}");
}

#[test]
fn without_prices_the_least_fuel_is_taken() {
    let folder = Folder::with_demo();
    for price in [", price = 2.10", ", price = 4.60", ", price = 3.20"] {
        folder.edit(DAY, price, "");
    }
    let answer = folder.run(&["uplift", DAY, "--json"]).ends(0).json();
    assert_eq!(answer["cost"], Value::Null);
    let taken = answer["stops"].as_array().unwrap().iter().map(|stop| litres(&stop["takes"]));
    // 208 L are burnt and kept to the end, 65 L are there: 120 L is the least in steps of 5 L.
    assert!((taken.sum::<f64>() - 120.0).abs() < 0.5);
    let page = folder.run(&["uplift", DAY]).ends(0).out;
    assert!(page.contains("least fuel") && page.contains("no prices are given"), "{page}");
}

/// A whole drum on the hill is dearer, and leaves nothing in it.
#[test]
fn whole_drums_are_emptied_or_left_alone() {
    let folder = Folder::with_demo();
    folder.edit(DAY, "price = 4.60", "price = 4.60, whole = true");
    let answer = folder.run(&["uplift", DAY, "--json"]).ends(0).json();
    let draw = &answer["stops"][1]["draws"][0];
    assert_eq!((litres(&draw["takes"]), &draw["leaves"]), (190.0, &Value::Null));
    assert_eq!(answer["part_drums"], 0);
}

#[test]
fn a_conflict_names_the_stop_and_the_amounts_of_each_limit() {
    let answer = json(&["uplift", "demo/hot-hill"], 1);
    assert_eq!(answer["answer"], "nothing fits");
    let rows = answer["conflict"].as_array().unwrap();
    let named: Vec<(&str, &str)> =
        rows.iter().map(|row| (text(row, "place"), text(row, "limit"))).collect();
    let wanted = [
        ("Nessow Top", "fuel.required"),
        ("Oumbrel", "load.landing-mass.Nessow-Top"),
        ("Nessow Top", "strip.take-off-distance"),
    ];
    assert_eq!(named, wanted);
    // Without any one of the three something fits: a cooler hill, for one.
    let folder = Folder::with_demo();
    folder.edit("demo/stops/seed-2-hot-hill.toml", "27/13", "18/13");
    folder.run(&["uplift", "demo/days/hot-hill.toml"]).ends(0);
}

#[test]
fn a_limit_that_no_amount_keeps_is_said_with_what_it_says() {
    let folder = Folder::with_demo();
    folder.edit("demo/stops/seed-2-nessow-top.toml", "mass = \"80 kg\"", "mass = \"130 kg\"");
    let page = folder.run(&["uplift", DAY]).ends(1).out;
    assert!(page.contains("NOTHING FITS"), "{page}");
    assert!(page.contains("Nessow Top, load.locker.pod: no amount of fuel keeps it: "), "{page}");
}

#[test]
fn what_is_missing_is_asked_for_and_nothing_is_proposed() {
    let folder = Folder::with_demo();
    let stop = "demo/stops/seed-2-nessow-top.toml";
    let text = String::from_utf8(folder.read(stop)).unwrap();
    folder.write(stop, text.replacen("mass = \"74 kg\"\n", "", 1).as_bytes());
    let page = folder.run(&["uplift", DAY]).ends(1).out;
    assert!(page.contains("NOT KNOWN"), "{page}");
    assert!(page.contains("? Nessow Top: the mass of Isko Dannuv is not given"), "{page}");
    assert!(!page.contains("WHAT TO TAKE"), "{page}");
    let answer = folder.run(&["uplift", DAY, "--json"]).ends(1).json();
    assert_eq!(answer["answer"], "not known");
    assert_eq!(answer["find_out"][0]["stop"], 2);
    assert_eq!(answer["stops"][0]["takes"], Value::Null);

    // What is in the tanks at the first stop is never guessed.
    let folder = Folder::with_demo();
    folder.edit("demo/stops/seed-1-oumbrel.toml", "on_board = \"33 L\"\n", "");
    let page = folder.run(&["uplift", DAY]).ends(1).out;
    assert!(page.contains("? Oumbrel: the fuel in left wing is not given"), "{page}");
}

#[test]
fn what_is_wrong_with_a_day_is_shown_in_its_line() {
    for (from, to, words, way_out) in [
        ("seed-3-taskel-bend.toml", "seed-1-oumbrel.toml", "this stop is at Oumbrel", "last leg"),
        ("place = \"Taskel Bend\"", "place = \"Taskel\"", "no container is known", "Taskel Bend"),
        ("price = 3.20", "price = 3.20, drums = [\"TB-5\"]", "there is no `TB-5`", "did you mean"),
        ("price = 3.20", "price = \"3.20\"", "is meant", "write"),
        ("seed-3-taskel-bend.toml", "none.toml", "cannot be opened", "from the folder"),
        ("step = \"5 L\"", "step = \"7 L\"", "dispenser", "step"),
    ] {
        let folder = Folder::with_demo();
        folder.edit(DAY, from, to);
        let failed = folder.run(&["uplift", DAY]).ends(2);
        for part in [words, way_out, "seed-round.toml:"] {
            assert!(failed.err.contains(part), "{to}: {part}: {}", failed.err);
        }
        let errors = folder.run(&["uplift", DAY, "--json"]).ends(2).json();
        assert!(errors["errors"][0]["line"].as_u64().unwrap() > 3, "{errors}");
    }
    let failed = stillprop(&["uplift", "demo"]).ends(2);
    assert!(failed.err.contains("of kind `turnaround`, not `day`"), "{}", failed.err);
    // And the other way round.
    let failed = stillprop(&["ready", "demo/seed-round"]).ends(2);
    assert!(failed.err.contains("of kind `day`, not `turnaround`"), "{}", failed.err);
}

#[test]
fn every_drum_that_is_not_offered_says_why_where_asked() {
    let page = stillprop(&["uplift", "demo/seed-round", "--all"]).ends(0).out;
    assert!(page.contains("- Taskel Bend, TB-07: condemned"), "{page}");
    assert!(page.contains("- Nessow Top, NT-04: filled 2025-10-14"), "{page}");
}
