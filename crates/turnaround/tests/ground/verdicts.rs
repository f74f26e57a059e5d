//! `site.*` and `static.*`: each holds, breaks and is unknown.

use super::*;
use Verdict::{Breaks, Holds, Unknown};

const SPILT: &str = "across = \"1 m\", cleaned = true";
const WIND: &str = "wind = { from = \"120 degT\", speed = \"8 kt\", gust = \"14 kt\" }";
const METAR: &str = "metar = \"YXXX 210400Z 12008G14KT 9999 FEW040 27/19 Q1012\"";
const FLOW: &str = "flow = { rate = \"40 L/min\", bore = \"25 mm\", behind_filter = \"8 m\", \
                    conductivity = \"120 pS/m\" }\n";
const EXTINGUISHERS: &str =
    "[{ what = \"extinguisher\", at = [12, -3] }, { what = \"extinguisher\", at = [-3, 4] }]";

fn moved_to(east: f64, north: f64) -> Edit {
    day("at = [5, 2]", format!("at = [{east}, {north}]"))
}

fn packs(name: &str) -> Edit {
    day("pack = \"demo-operator+au\"", format!("pack = \"{name}\""))
}

fn wind(written: &str) -> Edit {
    day(WIND, format!("wind = {written}"))
}

fn distances() -> Vec<Case> {
    vec![
        row("base", [], "site.fuel.shed", Holds, "20.8 m of 9.0 m: left vent to shed"),
        row("base", [moved_to(-8.0, 14.0)], "site.fuel.shed", Breaks, "too near: move the"),
        row("base", [packs("nz")], "site.fuel.shed", Unknown, "no figure for"),
        // The name of a tank alone would read like a side.
        row("base", [moved_to(20.0, 27.0)], "site.fuel.visitor", Holds, "filler of right to"),
        row(
            "base",
            [craft(
                "fillers = [{ what = \"left\", at = [0, -6] }, { what = \"right\", at = [0, 6] }]",
                "",
            )],
            "site.fuel.shed",
            Unknown,
            "add fillers and vents to [shape]",
        ),
        row(
            "base",
            [craft("vents = [{ what = \"left vent\", at = [-1, -12] }]", "")],
            "site.fuel.shed",
            Unknown,
            "add fillers and vents to [shape]",
        ),
        row("base", [], "site.run.visitor", Holds, "of 8.0 m: wing to visitor (other aircraft)"),
        row("base", [moved_to(24.0, 18.0)], "site.run.visitor", Breaks, "pull it clear before"),
        row("base", [packs("nz")], "site.run.visitor", Unknown, "no figure for"),
        row("base", [], "site.room.visitor", Holds, "of 3.0 m: wing to visitor"),
        row("base", [moved_to(28.0, 20.0)], "site.room.visitor", Breaks, "move the aeroplane"),
        row("base", [moved_to(33.0, 22.0)], "site.room.visitor", Breaks, "they meet at"),
        row("base", [packs("au")], "site.room.visitor", Unknown, "no figure for"),
        row("base", [day(SPILT, "across = \"1 m\"")], "site.spill.drips", Holds, "(drips)"),
        row(
            "spill",
            [],
            "site.spill.overflow-at-the-pump",
            Breaks,
            "13.3 m too near: start nothing",
        ),
        row(
            "base",
            [moved_to(15.0, 2.0), day(SPILT, "across = \"1 m\"")],
            "site.spill.drips",
            Breaks,
            "clean it up, or push",
        ),
        row("base", [day(SPILT, "cleaned = false")], "site.spill.drips", Unknown, "measure it"),
        row("base", [], "site.way-out", Holds, "beside the wingtip: shed"),
        row(
            "base",
            [strip("[40, -10]]", "[40, 13]]")],
            "site.way-out",
            Breaks,
            "roll another way, or push",
        ),
        row(
            "base",
            [strip("way_out = [[8, 0], [40, -10]]\n", "")],
            "site.way-out",
            Unknown,
            "add way_out to [apron]",
        ),
        row("base", [packs("au")], "site.way-out", Unknown, "no figure for"),
    ]
}

fn gear() -> Vec<Case> {
    let flow = |conductivity: &str| {
        day("conductivity = \"120 pS/m\"", format!("conductivity = \"{conductivity}\""))
    };
    let put = |places: [(f64, f64); 2]| {
        let one = |(east, north)| format!("{{ what = \"extinguisher\", at = [{east}, {north}] }}");
        day(EXTINGUISHERS, format!("[{}, {}]", one(places[0]), one(places[1])))
    };
    let source = |replace, with: &str| day(replace, with);
    vec![
        row("base", [], "site.hose", Holds, "to the filler of left"),
        row(
            "base",
            [source("at = [4, -5]", "at = [4, -8]")],
            "site.hose",
            Breaks,
            "too short: move the aeroplane",
        ),
        row(
            "base",
            [source(", hose = \"10 m\"", "")],
            "site.hose",
            Unknown,
            "how long the hose of trolley is",
        ),
        row(
            "base",
            [craft("{ what = \"left\", at = [0, -6] }, ", "")],
            "site.hose",
            Unknown,
            "where the filler of left is, is not given",
        ),
        row("base", [], "site.extinguishers", Holds, "2 of 2 between 6.0 m and 15.0 m"),
        row(
            "base",
            [put([(7.0, 2.0), (-3.0, 4.0)])],
            "site.extinguishers",
            Breaks,
            "1 of 2 between",
        ),
        row(
            "base",
            [put([(12.0, -3.0), (-15.0, 4.0)])],
            "site.extinguishers",
            Breaks,
            "2 described: put 2 where",
        ),
        row(
            "base",
            [day(EXTINGUISHERS, "[]")],
            "site.extinguishers",
            Breaks,
            "0 described: put 2 where",
        ),
        row("base", [packs("nz")], "site.extinguishers", Unknown, "no figure for"),
        row(
            "base",
            [craft("{ what = \"left\", at = [0, -6] }, ", "")],
            "site.extinguishers",
            Unknown,
            "where the filler of left is, is not given",
        ),
        row("base", [], "site.spill-kit", Holds, "there is one"),
        row(
            "base",
            [strip("[{ what = \"spill-kit\", at = [4, 4] }]", "[]")],
            "site.spill-kit",
            Breaks,
            "none is described",
        ),
        row("base", [], "site.clears-away", Holds, "trolley can be moved away"),
        row(
            "base",
            [source("clears_away = true", "clears_away = false")],
            "site.clears-away",
            Breaks,
            "cannot be moved away or shut off",
        ),
        row(
            "base",
            [source(", clears_away = true", "")],
            "site.clears-away",
            Unknown,
            "add clears_away",
        ),
        // The trolley stands 7 m south of the aeroplane.
        row("base", [], "site.wind-side", Holds, "trolley stands upwind or abeam"),
        row(
            "base",
            [wind("{ from = \"180 degT\", speed = \"8 kt\" }")],
            "site.wind-side",
            Holds,
            "upwind or abeam",
        ),
        row(
            "base",
            [wind("{ from = \"90 degT\", speed = \"8 kt\" }")],
            "site.wind-side",
            Holds,
            "upwind or abeam",
        ),
        row(
            "base",
            [wind("{ from = \"0 degT\", speed = \"8 kt\" }")],
            "site.wind-side",
            Breaks,
            "vapour from the filler of left drifts to trolley",
        ),
        row(
            "base",
            [wind("{ from = \"0 degT\", speed = \"2.9 kt\" }")],
            "site.wind-side",
            Holds,
            "hardly any wind",
        ),
        row(
            "base",
            [wind("{ from = \"0 degT\", speed = \"3 kt\" }")],
            "site.wind-side",
            Breaks,
            "put it upwind or abeam",
        ),
        row("base", [wind("{ speed = \"8 kt\" }")], "site.wind-side", Unknown, "the wind varies"),
        row("base", [wind("{ speed = \"2 kt\" }")], "site.wind-side", Holds, "hardly any wind"),
        row(
            "base",
            [day(WIND, ""), day(METAR, "")],
            "site.wind-side",
            Unknown,
            "the wind is not given",
        ),
        row("base", [], "static.velocity", Holds, "of 7.0 m/s in the hose"),
        row(
            "base",
            [day("40 L/min", "300 L/min")],
            "static.velocity",
            Breaks,
            "pump no faster than 206 L/min",
        ),
        row("base", [day(FLOW, "")], "static.velocity", Unknown, "add flow to [ground]"),
        row("base", [], "static.velocity-bore", Holds, "speed times bore"),
        row(
            "base",
            [day(
                "rate = \"40 L/min\", bore = \"25 mm\"",
                "rate = \"2500 L/min\", bore = \"100 mm\"",
            )],
            "static.velocity-bore",
            Breaks,
            "pump no faster than 2356 L/min",
        ),
        row("base", [day(FLOW, "")], "static.velocity-bore", Unknown, "add flow to [ground]"),
        row("base", [], "static.residence", Holds, "the fuel conducts: 120 pS/m of 50 pS/m"),
        row("base", [flow("20 pS/m")], "static.residence", Breaks, "pump no faster than 7 L/min"),
        row(
            "base",
            [flow("20 pS/m"), day("40 L/min", "5 L/min")],
            "static.residence",
            Holds,
            "47 s of 30 s in the hose after the filter",
        ),
        // What nobody measured keeps its charge.
        row(
            "base",
            [day(", conductivity = \"120 pS/m\"", "")],
            "static.residence",
            Breaks,
            "measure how well the fuel conducts",
        ),
        row(
            "base",
            [day("behind_filter = \"8 m\", conductivity = \"120 pS/m\"", "")],
            "static.residence",
            Unknown,
            "hose behind the filter",
        ),
    ]
}

#[test]
fn each_limit_of_the_place_holds_breaks_and_is_unknown() {
    let cases: Vec<Case> = distances().into_iter().chain(gear()).collect();
    run(&cases);
    let ids = [
        "site.fuel.shed",
        "site.run.visitor",
        "site.room.visitor",
        "site.spill.drips",
        "site.way-out",
        "site.hose",
        "site.extinguishers",
        "site.spill-kit",
        "site.clears-away",
        "site.wind-side",
        "static.velocity",
        "static.velocity-bore",
        "static.residence",
    ];
    // Equipment that is not described is not there, so its limit is never unknown.
    assert_eq!(lacking(&cases, &ids), ["site.spill-kit unknown"]);
}

#[test]
fn where_no_fuel_is_taken_neither_distances_of_fuelling_nor_static_are_asked() {
    let asked = [
        "site.fuel",
        "static.",
        "site.hose",
        "site.extinguishers",
        "site.spill-kit",
        "site.clears-away",
        "site.wind-side",
    ];
    let without = Judged::after("hand-start", &[]);
    let with = Judged::after("hand-start", &[day("method = \"none\"", "method = \"self-serve\"")]);
    for begin in asked {
        assert!(without.named(begin).is_empty(), "{begin}: {:?}", without.named(begin));
        assert!(!with.named(begin).is_empty(), "{begin}");
    }
    // What concerns the engine, the wings and the people stays.
    for begin in ["site.run", "site.room", "site.way-out", "site.walk"] {
        assert!(!without.named(begin).is_empty(), "{begin}");
        assert_eq!(without.named(begin), with.named(begin));
    }
}

#[test]
fn a_method_that_nobody_gave_is_asked_like_fuelling() {
    let silent = Judged::after("hand-start", &[day("method = \"none\"\n", "")]);
    assert!(!silent.named("site.fuel").is_empty() && !silent.named("static.").is_empty());
}

#[test]
fn a_place_apron_or_shape_that_is_missing_is_one_unknown() {
    let whole = documents("base");
    let mut no_ground = whole.clone();
    no_ground.turnaround.ground = None;
    let mut no_apron = whole.clone();
    no_apron.strip.apron = None;
    let mut no_shape = whole;
    no_shape.aircraft.shape = None;
    for (documents, says) in
        [(no_ground, "add [ground]"), (no_apron, "add [apron]"), (no_shape, "add [shape]")]
    {
        let judged = Judged::of(documents);
        assert_eq!(judged.named("site."), ["site.parking"], "{says}");
        assert_eq!(judged.verdict("site.parking"), Unknown);
        assert!(judged.said("site.parking").contains(says), "{}", judged.said("site.parking"));
        assert!(judged.named("static.").is_empty(), "{says}");
    }
    // Not described at all, as a document can be: the same.
    let absent = Judged::after("base", &[Edit::NoDayTable("[ground]")]);
    assert_eq!(absent.named("site."), ["site.parking"]);
    let shapeless = Edit::NoCraftTable("[shape]");
    let chocks = day("ahead_of = [\"left main\", \"right main\"]", "ahead_of = []");
    assert_eq!(Judged::after("base", &[shapeless, chocks]).named("site."), ["site.parking"]);
}

#[test]
fn a_heading_from_magnetic_north_counts_the_variation() {
    // 90 degM is 96.5 degT on this strip.
    let magnetic = Judged::after("base", &[]);
    let of_true = Judged::after("base", &[day("heading = \"90 degM\"", "heading = \"96.5 degT\"")]);
    assert!(magnetic.named("site.fuel").len() > 2);
    for id in magnetic.named("site.") {
        assert_eq!(magnetic.verdict(id), of_true.verdict(id), "{id}");
        if let Some(Found::Measured(a)) = magnetic.found.get(id) {
            let moved = (a.margin() - of_true.measure(id).margin()).abs();
            assert!(moved < 1e-9, "{id}: {moved}");
        }
    }
}

#[test]
fn nothing_to_take_asks_no_hose_and_any_extinguisher_does() {
    let dry = [
        day("known = \"dip\", uplift = \"20 L\"", "known = \"dip\""),
        day("known = \"dip\", uplift = \"5 USgal\"", "known = \"dip\""),
        day("{ drum = \"B-1\", draw = \"20000 mL\", tank = \"left\" },", ""),
        day("{ drum = \"B-2\", draw = \"18.92706 L\", tank = \"right\" },", ""),
        day("at = [4, -5]", "at = [400, -5]"),
    ];
    let judged = Judged::after("base", &dry);
    assert_eq!(judged.verdict("site.hose"), Holds, "{}", judged.said("site.hose"));
    assert!(judged.said("site.hose").contains("no fuel is taken"));
    let no_fillers = craft(
        "fillers = [{ what = \"left\", at = [0, -6] }, { what = \"right\", at = [0, 6] }]",
        "",
    );
    let judged = Judged::after("base", &[no_fillers]);
    assert_eq!(judged.verdict("site.hose"), Unknown, "no filler is not no fuel");
    assert_eq!(judged.verdict("site.wind-side"), Unknown);
}
