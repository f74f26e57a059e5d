//! Each demonstration turnaround fails for its own reason only, and what it says to do helps.

use crate::program::{DEMO, Folder, demo, file, json, limit, limits, text, with_verdict};

#[test]
fn what_breaks_is_what_the_turnaround_is_named_for_and_nothing_else() {
    let own: [(&str, &[&str]); 5] = [
        ("ready", &[]),
        ("over-mass", &["load.take-off-mass"]),
        ("mid-burn", &["load.cg-aft"]),
        ("last-light", &["light.arrival.Oumbrel"]),
        ("missing", &[]),
    ];
    for ((name, code), (same, breaks)) in DEMO.into_iter().zip(own) {
        assert_eq!(name, same);
        let answer = json(&["ready", &demo(name)], code);
        assert_eq!(with_verdict(&answer, "breaks"), breaks, "{name}");
        let unknown = with_verdict(&answer, "unknown");
        assert_eq!(unknown.is_empty(), name != "missing", "{name}: {unknown:?}");
    }
}

#[test]
fn one_missing_mass_is_the_only_reason_of_every_unknown_limit() {
    let answer = json(&["ready", "demo/missing"], 1);
    for limit in limits(&answer).iter().filter(|limit| text(limit, "verdict") == "unknown") {
        assert_eq!(text(limit, "act"), "the mass of Corrin Sayle is not given", "{limit}");
    }
    for id in ["load.take-off-mass", "load.cg-aft", "load.seat.2L", "strip.take-off-distance"] {
        assert_eq!(text(limit(&answer, id), "verdict"), "unknown");
    }
    assert_eq!(text(limit(&answer, "fuel.required"), "verdict"), "holds");

    let folder = Folder::with_demo();
    let name = "name = \"Corrin Sayle\"\nseat = \"2L\"\n";
    folder.edit(&file("missing"), name, &format!("{name}mass = \"64 kg\"\n"));
    folder.run(&["ready", &file("missing")]).ends(0);
}

#[test]
fn leaving_the_mass_it_names_makes_the_heavy_one_ready_and_two_pounds_less_does_not() {
    let answer = json(&["ready", "demo/over-mass", "--units", "us"], 1);
    let act = text(limit(&answer, "load.take-off-mass"), "act");
    let over: u32 = act.split_whitespace().next().unwrap().parse().unwrap();
    assert_eq!(act, format!("{over} lb over: leave {over} lb"));
    for (left, code) in [(over, 0), (over - 2, 1)] {
        let folder = Folder::with_demo();
        let bags = format!("mass = \"{} lb\"", 118 - left);
        folder.edit(&file("over-mass"), "mass = \"118 lb\"", &bags);
        folder.run(&["ready", &file("over-mass")]).ends(code);
    }
}

#[test]
fn leaving_by_the_time_it_names_makes_the_late_one_ready_and_a_minute_later_does_not() {
    let answer = json(&["ready", "demo/last-light"], 1);
    let act = text(limit(&answer, "light.arrival.Oumbrel"), "act").to_owned();
    let (_, by) = act.rsplit_once("chocks off by ").unwrap();
    let (hour, minute) = by.split_once(':').unwrap();
    let minutes = hour.parse::<u32>().unwrap() * 60 + minute.parse::<u32>().unwrap();
    for (at, code) in [(minutes, 0), (minutes + 1, 1)] {
        let folder = Folder::with_demo();
        let departs = format!("T{:02}:{:02}:00+05:30", at / 60, at % 60);
        folder.edit(&file("last-light"), "T16:56:00+05:30", &departs);
        folder.run(&["ready", &file("last-light")]).ends(code);
    }
}

#[test]
fn the_one_out_of_balance_is_inside_at_both_ends_and_outside_between() {
    let answer = json(&["ready", "demo/mid-burn", "--units", "metric"], 1);
    let states = answer["load_states"].as_array().unwrap();
    for state in states {
        let at = |key: &str| state[key]["value"].as_f64().unwrap();
        assert!(at("forward_limit") < at("centre_of_gravity"), "{state}");
        let inside = at("centre_of_gravity") < at("aft_limit");
        assert_eq!(inside, text(state, "state") != "farthest aft", "{state}");
    }
    let names: Vec<&str> = states.iter().map(|state| text(state, "state")).collect();
    for name in ["take-off", "landing river count", "zero fuel", "farthest aft"] {
        assert!(names.contains(&name), "{names:?}");
    }
    let act = text(limit(&answer, "load.cg-aft"), "act");
    assert!(act.contains("too far aft with") && act.ends_with(" L left"), "{act}");
}
