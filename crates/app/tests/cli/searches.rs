//! The verbs that search: what they say, how they end.

use crate::program::{DEMO, Folder, demo, json, stillprop};

#[test]
fn the_window_names_its_edges_and_what_makes_them() {
    let page = stillprop(&["window", "demo/last-light"]).ends(0).out;
    for words in [
        "NOT IN THE WINDOW: planned 16:56; nearest 16:47, 9 min before",
        "  05:07 to 16:47\n",
        "light.departure",
        "a minute later: lands 18:02, last light 18:21 less 20 min",
        "as typed for the planned time",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let answer = json(&["window", "demo/last-light"], 0);
    assert_eq!(answer["planned_holds"], false);
    assert_eq!(answer["windows"][0]["closes"][0]["id"], "light.arrival.Oumbrel");
    assert_eq!(answer["weather"][0]["known"], "typed");
}

#[test]
fn what_no_time_mends_is_said() {
    let page = stillprop(&["window", "demo/over-mass"]).ends(1).out;
    assert!(page.contains("NO WINDOW"), "{page}");
    assert!(page.contains("load.take-off-mass                  all day: no other time mends it"));
}

#[test]
fn the_day_is_drawn_with_its_window() {
    let folder = Folder::new();
    let page = folder.run(&["window", "demo", "--day", "day.svg"]).ends(0).out;
    assert!(page.contains("day ribbon: day.svg"), "{page}");
    let drawn = String::from_utf8(folder.read("day.svg")).unwrap();
    assert!(drawn.contains("13:35 to 16:01"), "the window is named");
}

/// A strip that is hot at noon has two windows, and the curve says so.
#[test]
fn minimum_and_maximum_make_a_window_of_the_cool_hours() {
    let folder = Folder::with_demo();
    let path = "demo/turnarounds/ready.toml";
    let text = String::from_utf8(folder.read(path)).unwrap();
    let hot = text.replacen(
        "temperature = \"26 degC\"",
        "temperature = \"26 degC\"\nminimum = \"12 degC\"\nmaximum = \"38 degC\"",
        1,
    );
    folder.write(path, hot.as_bytes());
    let page = folder.run(&["window", path]).out;
    assert!(page.contains("curve of Parton and Logan 1981"), "{page}");
    assert!(page.contains("strip.take-off-distance"), "{page}");
}

#[test]
fn every_demonstration_is_mended_or_asks_what_is_missing() {
    for (name, code) in DEMO {
        let found = json(&["ways-out", &demo(name)], i32::from(name == "missing"));
        let ways = found["ways"].as_array().unwrap();
        let asks = found["find_out"].as_array().unwrap();
        assert_eq!(found["ready"], code == 0, "{name}");
        assert_eq!(ways.is_empty(), code == 0 || name == "missing", "{name}");
        assert_eq!(asks.is_empty(), name != "missing", "{name}");
    }
    let page = stillprop(&["ways-out", "demo/over-mass"]).ends(0).out;
    assert!(page.contains("2 Leave 32 lb of the bags behind."), "{page}");
    assert!(page.contains("ANY ONE OF THESE MENDS IT"), "{page}");
}

#[test]
fn odds_are_the_same_on_any_number_of_threads() {
    let answer = |threads: &str, seed: &str| {
        let args = ["odds", "demo", "--draws", "9000", "--threads", threads, "--seed", seed];
        json(&args, 0)
    };
    let one = answer("1", "4");
    assert_eq!(one, answer("3", "4"));
    assert_ne!(one["limits"], answer("1", "5")["limits"]);
    let all = one["all_hold"]["share"].as_f64().unwrap();
    assert!((0.80..0.95).contains(&all), "{all}");
    assert!(!one["measurements"].as_array().unwrap().is_empty());
}

#[test]
fn the_place_has_its_bound() {
    let place = &json(&["park", "demo/crowded-apron"], 0)["place"];
    assert_eq!(place["proven"], true);
    let (ratio, bound) = (place["ratio"].as_f64().unwrap(), place["bound"].as_f64().unwrap());
    assert!(ratio > 1.2 && bound >= ratio && bound <= ratio * 1.005);
    // Without an apron there is nothing to search.
    let folder = Folder::with_demo();
    let path = "demo/turnarounds/spill.toml";
    let text = String::from_utf8(folder.read(path)).unwrap();
    let (before, rest) = text.split_once("[ground]").unwrap();
    let (_, after) = rest.split_once("[start]").unwrap();
    folder.write(path, format!("{before}[start]{after}").as_bytes());
    let failed = folder.run(&["park", path]).ends(2);
    assert!(failed.err.contains("add [ground]"), "{}", failed.err);
}
