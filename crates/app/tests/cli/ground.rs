//! `ground`: the demonstration's aprons, and pictures of them.

use std::{env, fs, path::Path};

use serde_json::Value;

use crate::program::{Folder, json, stillprop, text};

fn broken(answer: &Value) -> Vec<&str> {
    let limits = answer["limits"].as_array().unwrap();
    limits
        .iter()
        .filter(|each| text(each, "verdict") == "breaks")
        .map(|each| text(each, "id"))
        .collect()
}

#[test]
fn the_obvious_place_breaks_two_clearances_and_another_place_breaks_none() {
    let answer = json(&["ground", "demo/crowded-apron"], 1);
    assert_eq!(broken(&answer), ["site.fuel.survey-camera", "site.run.visiting-twin"]);
    let folder = Folder::with_demo();
    let file = "demo/turnarounds/crowded-apron.toml";
    let moved = fs::read_to_string(folder.path(file)).unwrap();
    let moved = moved.replace("at = [4, 12]", "at = [6, 6]").replace("at = [6, 4]", "at = [4, -2]");
    folder.write(file, moved.as_bytes());
    folder.run(&["ground", file]).ends(0);
}

#[test]
fn every_distance_has_its_two_nearest_points_that_far_apart() {
    for name in ["demo", "demo/crowded-apron", "demo/spill", "demo/hand-start"] {
        let answer = stillprop(&["ground", name, "--json"]).json();
        let clearances = answer["ground"]["clearances"].as_array().unwrap();
        assert!(clearances.len() >= 6, "{name}: {}", clearances.len());
        for each in clearances {
            let number = |value: &Value| value["value"].as_f64().unwrap();
            let place = |end: usize| {
                let end = &each["nearest_points"][end];
                (number(&end[0]), number(&end[1]))
            };
            let (from, to) = (place(0), place(1));
            let apart = (to.0 - from.0).hypot(to.1 - from.1);
            assert!((apart - number(&each["measured"])).abs() < 1e-9, "{name}: {each}");
            assert!(text(each, "rule").contains("read: "), "{name}: {each}");
        }
    }
}

#[test]
fn a_spill_says_the_three_actions_in_order_and_what_nobody_knows() {
    let page = stillprop(&["ground", "demo/spill"]).ends(1).out;
    let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}: {page}"));
    assert!(at("1 CONTROL") < at("2 CONTAIN") && at("2 CONTAIN") < at("3 CLEAN UP"));
    for words in ["not known here: slope, drains, grass", "nothing is started within 15.0 m"] {
        at(words);
    }
}

#[test]
fn a_start_by_hand_begins_with_do_not_and_asks_whether_it_would_hold() {
    let page = stillprop(&["ground", "demo/hand-start"]).ends(1).out;
    let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}: {page}"));
    assert!(at("DO NOT, UNLESS EVERY GATE HOLDS") < at("first charge the battery"));
    assert!(
        at("first charge the battery") < at("would it hold at full throttle? IT WOULD NOT HOLD")
    );
    at("loose at full throttle, at most: 1 s:");
    at("A propeller that is turned by hand kills");
}

#[test]
fn where_nothing_is_described_the_ground_is_unknown_and_no_plan_is_drawn() {
    let folder = Folder::with_demo();
    let file = "demo/turnarounds/crowded-apron.toml";
    let whole = fs::read_to_string(folder.path(file)).unwrap();
    let (start, end) = (whole.find("[ground]").unwrap(), whole.find("[start]").unwrap());
    folder.write(file, format!("{}{}", &whole[..start], &whole[end..]).as_bytes());
    let answer = folder.run(&["ground", file]).ends(1);
    assert!(answer.out.contains("where the aeroplane stands is not given"), "{}", answer.out);
    let refused = folder.run(&["ground", file, "--apron", "plan.svg"]).ends(2);
    assert!(refused.err.contains("there is no apron plan"), "{}", refused.err);
    assert!(!folder.path("plan.svg").exists());
}

#[test]
fn a_hose_to_a_filler_nobody_described_is_unknown_on_the_page_and_on_the_plan() {
    let folder = Folder::with_demo();
    let file = "demo/aircraft/fennel-four.toml";
    let whole = fs::read_to_string(folder.path(file)).unwrap();
    let filler = "  { what = \"left\", at = [0.1, -1.32] },\n";
    assert_eq!(whole.matches(filler).count(), 1);
    folder.write(file, whole.replace(filler, "").as_bytes());
    let stop = "demo/turnarounds/crowded-apron.toml";
    let answer = folder.run(&["ground", stop, "--json", "--apron", "plan.svg"]).ends(1).json();
    let limits = answer["limits"].as_array().unwrap();
    let hose = limits.iter().find(|limit| text(limit, "id") == "site.hose").unwrap();
    assert_eq!(text(hose, "verdict"), "unknown");
    let plan = fs::read_to_string(folder.path("plan.svg")).unwrap();
    assert!(plan.contains("Hose unknown: hose"), "{plan}");
}

#[test]
fn a_picture_that_cannot_be_written_is_said_with_a_way_out() {
    let args = ["ground", "demo/spill", "--profile", "no/such/folder/strip.svg"];
    let refused = stillprop(&args).ends(2);
    assert!(refused.err.contains("no/such/folder/strip.svg"), "{}", refused.err);
    assert!(refused.err.contains("name another file"), "{}", refused.err);
}

/// The plans and the profile of the demonstration as a person last looked at them.
#[test]
fn the_pictures_of_the_demonstration_look_as_they_did() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    let folder = Folder::new();
    for (name, code) in [("ready", 0), ("crowded-apron", 1), ("spill", 1)] {
        let (apron, profile) = (format!("apron-{name}.svg"), format!("profile-{name}.svg"));
        let of = format!("demo/{name}");
        folder.run(&["ground", &of, "--apron", &apron, "--profile", &profile]).ends(code);
        for picture in [apron, profile] {
            let drawn = fs::read_to_string(folder.path(&picture)).unwrap();
            if env::var_os("UPDATE").is_some() {
                fs::write(golden.join(&picture), &drawn).unwrap();
            }
            let wanted = fs::read_to_string(golden.join(&picture)).unwrap();
            assert!(drawn == wanted, "{picture} changed: look at it, then UPDATE=1");
        }
    }
}
