//! `start.*`: each gate holds, breaks and is unknown; a lone pilot meets every condition or none.

use super::{bad::AU_AS_IT_WAS, *};
use Verdict::{Breaks, Holds, Unknown};

fn without(line: &str) -> Edit {
    day(&format!("{line}\n"), "")
}

const CHOCKS: &str =
    "chocks = { height = \"3 in\", face = \"30 deg\", ahead_of = [\"left main\", \"right main\"] }";
const TIE: &str = "tail_tie = { strength = \"6 kN\", slope = \"10 deg\" }";

fn gates() -> Vec<Case> {
    vec![
        row("base", [], "start.permitted", Holds, "the flight manual permits it"),
        row(
            "base",
            [craft("hand_start = true", "hand_start = false")],
            "start.permitted",
            Breaks,
            "do not turn",
        ),
        row(
            "base",
            [craft("hand_start = true\n", "")],
            "start.permitted",
            Unknown,
            "hand_start in [starting]",
        ),
        row("base", [], "start.trained", Holds, "a neighbour, trained"),
        row(
            "base",
            [day("trained = true", "trained = false")],
            "start.trained",
            Breaks,
            "not trained",
        ),
        row(
            "base",
            [without("trained = true")],
            "start.trained",
            Unknown,
            "whether a neighbour was trained",
        ),
        row(
            "base",
            [without("at_propeller = \"a neighbour\"")],
            "start.trained",
            Unknown,
            "at_propeller in [start]",
        ),
        row("base", [], "start.controls", Holds, "Pilot at the controls"),
        row(
            "base",
            [day("qualified = true", "qualified = false")],
            "start.controls",
            Breaks,
            "may not start and stop",
        ),
        row(
            "base",
            [without("qualified = true")],
            "start.controls",
            Unknown,
            "qualified in [start]",
        ),
        row(
            "base",
            [day("at_controls = \"Pilot\"", "at_controls = \"Second guest\"")],
            "start.controls",
            Breaks,
            "has no controls",
        ),
        row("base", [], "start.aboard", Holds, "nobody else is aboard"),
        row(
            "base",
            [day("others_aboard = false", "others_aboard = true")],
            "start.aboard",
            Breaks,
            "everyone out",
        ),
        row(
            "base",
            [without("others_aboard = false")],
            "start.aboard",
            Unknown,
            "others_aboard in [start]",
        ),
        row("base", [], "start.clear", Holds, "nobody stands in the arc"),
        row(
            "base",
            [day("clear_ahead = true", "clear_ahead = false")],
            "start.clear",
            Breaks,
            "wait until nobody does",
        ),
        row(
            "base",
            [without("clear_ahead = true")],
            "start.clear",
            Unknown,
            "clear_ahead in [start]",
        ),
        row("base", [], "start.footing", Holds, "firm, level and dry"),
        row(
            "base",
            [day("footing = \"firm\"", "footing = \"loose\"")],
            "start.footing",
            Breaks,
            "move the aeroplane",
        ),
        row(
            "base",
            [day("footing = \"firm\"", "footing = \"slippery\"")],
            "start.footing",
            Breaks,
            "move the aeroplane",
        ),
        row(
            "base",
            [day("footing = \"firm\"", "footing = \"sloping\"")],
            "start.footing",
            Breaks,
            "move the aeroplane",
        ),
        row(
            "base",
            [without("footing = \"firm\"")],
            "start.footing",
            Unknown,
            "footing in [start]",
        ),
        row("base", [], "start.throttle", Holds, "both have said"),
        row(
            "base",
            [day("throttle_confirmed = true", "throttle_confirmed = false")],
            "start.throttle",
            Breaks,
            "have it answered",
        ),
        row(
            "base",
            [without("throttle_confirmed = true")],
            "start.throttle",
            Unknown,
            "throttle_confirmed in [start]",
        ),
        row("base", [], "start.dead-cut", Holds, "treat the propeller as live"),
        row(
            "base",
            [without("dead_cut = 2026-06-20")],
            "start.dead-cut",
            Unknown,
            "dead_cut in [start]",
        ),
    ]
}

fn held() -> Vec<Case> {
    vec![
        row("base", [], "start.hold", Holds, "needed at full throttle"),
        row("base", [without(TIE)], "start.hold", Breaks, "N too little: tie the tail"),
        row(
            "base",
            [without(TIE), without(CHOCKS), without("brakes_set = true")],
            "start.hold",
            Breaks,
            "0 N holds",
        ),
        // A chock on one side alone: the aeroplane swings about that wheel.
        row(
            "base",
            [
                without(TIE),
                without("brakes_set = true"),
                day("[\"left main\", \"right main\"]", "[\"left main\"]"),
            ],
            "start.hold",
            Breaks,
            "0 N holds",
        ),
        row("hand-start", [], "start.hold", Breaks, "the tail lifts, so nothing holds"),
        row(
            "hand-start",
            [day(
                "throttle = \"5 %\"",
                "throttle = \"5 %\"\ntail_tie = { strength = \"6 kN\", slope = \"30 deg\" }",
            )],
            "start.hold",
            Holds,
            "slope and wind from behind are not reckoned",
        ),
        row("hand-start", [], "start.hold-as-set", Holds, "before the tie is tight"),
        row(
            "hand-start",
            [day("throttle = \"5 %\"", "throttle = \"80 %\"")],
            "start.hold-as-set",
            Breaks,
            "it rolls at once",
        ),
        row(
            "hand-start",
            [day("throttle = \"5 %\"\n", "")],
            "start.hold-as-set",
            Unknown,
            "throttle in",
        ),
        row(
            "base",
            [craft("power = \"160 hp\"\n", "")],
            "start.hold",
            Unknown,
            "the power at full throttle",
        ),
        row(
            "base",
            [craft("hub_height = \"4 ft\"\n", "")],
            "start.hold",
            Unknown,
            "the height of the propeller hub",
        ),
        row(
            "base",
            [strip("surface = \"short grass\"\nthings", "things")],
            "start.hold",
            Unknown,
            "what the ground of the apron is",
        ),
        row(
            "base",
            [strip("surface = \"short grass\"\nthings", "surface = \"coral\"\nthings")],
            "start.hold",
            Unknown,
            "no figure was found for the grip on coral",
        ),
        row(
            "base",
            [day("height = \"3 in\"", "height = \"7 in\"")],
            "start.hold",
            Unknown,
            "the chock is not lower than the axle",
        ),
        row("base", [Edit::NoCraftTable("[starting]")], "start.hold", Unknown, "no [starting]"),
    ]
}

fn electrical() -> Vec<Case> {
    let flat = |name: &str| match name {
        "base" => day("brakes_set = true", "brakes_set = true\nbattery_flat = true"),
        _ => day("by = \"starter\"", "by = \"starter\"\nbattery_flat = true"),
    };
    vec![
        row("crowded-apron", [], "start.starter", Holds, "electric starter"),
        row("crowded-apron", [flat("")], "start.starter", Breaks, "charge it or change it"),
        row(
            "crowded-apron",
            [craft("starter = true", "starter = false")],
            "start.starter",
            Breaks,
            "no starter is fitted",
        ),
        row("base", [], "start.battery", Holds, "min of 30 min on the battery alone"),
        row("base", [flat("base")], "start.battery", Breaks, "30 min too short: charge or change"),
        // A flat battery is flat, whatever else is known of it.
        row(
            "base",
            [flat("base"), craft("exponent = \"1.2 1\"\n", "")],
            "start.battery",
            Breaks,
            "0 min of 30 min",
        ),
        row(
            "base",
            [craft("exponent = \"1.2 1\"\n", "")],
            "start.battery",
            Unknown,
            "Peukert's exponent",
        ),
        row(
            "base",
            [craft("aged_to = \"80 %\"\n", "")],
            "start.battery",
            Unknown,
            "what age has left",
        ),
        row(
            "base",
            [craft("cold_to = \"100 %\"\n", "")],
            "start.battery",
            Unknown,
            "what the cold leaves",
        ),
        row(
            "base",
            [craft(", essential = true", "")],
            "start.battery",
            Unknown,
            "mark them essential",
        ),
        row(
            "base",
            [Edit::NoCraftTable("[electrical]")],
            "start.battery",
            Unknown,
            "add [electrical]",
        ),
        row(
            "base",
            [day("pack = \"demo-operator+au\"", "pack = \"au\"")],
            "start.battery",
            Unknown,
            "no figure for",
        ),
        row("base", [], "start.generator-load", Holds, "12 A of 48 A"),
        row(
            "base",
            [craft("\"8 A\"", "\"50 A\"")],
            "start.generator-load",
            Breaks,
            "leave 6 A off",
        ),
        row(
            "base",
            [craft("generator = \"60 A\"\n", "")],
            "start.generator-load",
            Unknown,
            "what the generator is rated for",
        ),
        row(
            "base",
            [flat("base"), craft("field_from_battery = true", "field_from_battery = false")],
            "start.generator",
            Holds,
            "needs no battery",
        ),
        row(
            "base",
            [flat("base"), craft(", essential = true", "")],
            "start.generator",
            Holds,
            "nothing essential",
        ),
        row("base", [flat("base")], "start.generator", Breaks, "do not count on radio"),
        row(
            "base",
            [flat("base"), craft("field_from_battery = true\n", "")],
            "start.generator",
            Unknown,
            "comes on line",
        ),
    ]
}

#[test]
fn each_gate_of_a_start_holds_breaks_and_is_unknown() {
    let cases: Vec<Case> = gates().into_iter().chain(held()).chain(electrical()).collect();
    run(&cases);
    let ids = [
        "start.permitted",
        "start.trained",
        "start.controls",
        "start.aboard",
        "start.clear",
        "start.footing",
        "start.throttle",
        "start.hold",
        "start.hold-as-set",
        "start.dead-cut",
        "start.starter",
        "start.battery",
        "start.generator-load",
        "start.generator",
    ];
    // A day proves nothing, so none breaks; and whether there is a starter is always written.
    assert_eq!(lacking(&cases, &ids), ["start.dead-cut breaks", "start.starter unknown"]);
}

#[test]
fn a_battery_that_is_not_flat_asks_nothing_of_the_generator() {
    assert!(Judged::after("base", &[]).named("start.generator") == ["start.generator-load"]);
}

#[test]
fn a_starter_asks_no_gate_of_a_start_by_hand_and_the_other_way_round() {
    let starter = Judged::after("crowded-apron", &[]);
    assert_eq!(starter.named("start."), ["start.battery", "start.generator-load", "start.starter"]);
    let hand = Judged::after("base", &[]);
    assert!(hand.named("start.starter").is_empty() && hand.named("start.").len() == 12);
}

/// The pilot turns the propeller and nobody sits at the controls; then some edits.
fn alone(pack: &str, edits: &[Edit]) -> Judged {
    let mut all = vec![
        day("pack = \"demo-operator+au\"", format!("pack = \"{pack}\"")),
        day("at_propeller = \"a neighbour\"", "at_propeller = \"Pilot\""),
        day("at_controls = \"Pilot\"\nqualified = true\n", ""),
    ];
    all.extend_from_slice(edits);
    Judged::after("base", &all)
}

#[test]
fn a_lone_pilot_meets_every_condition_of_the_pack_or_does_not_turn_the_propeller() {
    let no_help = || day("help_at_hand = true", "help_at_hand = false");
    let id = "start.controls";
    for (what, pack, edits, verdict, says) in [
        ("all conditions", AU_AS_IT_WAS, vec![no_help()], Holds, "nobody at the controls | "),
        ("help at hand", AU_AS_IT_WAS, vec![], Breaks, "help can be had"),
        (
            "help not said",
            AU_AS_IT_WAS,
            vec![without("help_at_hand = true")],
            Unknown,
            "help_at_hand in",
        ),
        (
            "somebody aboard",
            AU_AS_IT_WAS,
            vec![no_help(), day("others_aboard = false", "others_aboard = true")],
            Breaks,
            "everyone out",
        ),
        (
            "nobody said who is aboard",
            AU_AS_IT_WAS,
            vec![no_help(), without("others_aboard = false")],
            Unknown,
            "others_aboard in",
        ),
        (
            "not kept from moving",
            AU_AS_IT_WAS,
            vec![no_help(), without(TIE), without(CHOCKS), without("brakes_set = true")],
            Breaks,
            "not kept from moving forward",
        ),
        (
            "not known whether it is held",
            AU_AS_IT_WAS,
            vec![no_help(), craft("power = \"160 hp\"\n", "")],
            Unknown,
            "see start.hold",
        ),
        (
            "somebody else turns it",
            AU_AS_IT_WAS,
            vec![no_help(), day("at_propeller = \"Pilot\"", "at_propeller = \"a neighbour\"")],
            Breaks,
            "lets a pilot do both, nobody else",
        ),
        (
            "nobody said who turns it",
            AU_AS_IT_WAS,
            vec![no_help(), day("at_propeller = \"Pilot\"\n", "")],
            Unknown,
            "at_propeller in",
        ),
        // What took the place of the rule nobody has read.
        ("a rule that was replaced", "au", vec![no_help()], Unknown, "was replaced, read today's"),
        ("another pack", "demo-operator+au", vec![no_help()], Breaks, "wait for a second person"),
        ("a pack that says nothing", "nz", vec![no_help()], Unknown, "no figure for"),
        // One condition that fails is enough, whatever nobody said of the others.
        (
            "help at hand and nobody said who is aboard",
            AU_AS_IT_WAS,
            vec![without("others_aboard = false")],
            Breaks,
            "help can be had",
        ),
    ] {
        let judged = alone(pack, &edits);
        assert_eq!(judged.verdict(id), verdict, "{what}: {}", judged.said(id));
        assert!(judged.said(id).contains(says), "{what}: {}", judged.said(id));
    }
}

#[test]
fn without_a_reserve_in_the_pack_what_holds_is_measured_against_the_bare_thrust() {
    let with = Judged::after("base", &[]).measure("start.hold");
    let au = Judged::after("base", &[day("pack = \"demo-operator+au\"", "pack = \"au\"")]);
    let without = au.measure("start.hold");
    assert!((with.bound.si / without.bound.si - 1.5).abs() < 1e-12);
    assert!((with.value.si - without.value.si).abs() < 1e-9);
    assert!(au.said("start.hold").contains("no pack asks for a reserve"));
}
