//! `site.walk.*`: what closes the way on foot, and by what name.

use stillprop_calc::{
    plane::{Point, Polyline, nearest},
    walk::Walk,
};

use super::*;
use Verdict::{Breaks, Holds, Unknown};

const ID: &str = "site.walk.step";
const STOVE: &str = "{ what = \"stove\", is = \"flame\", corners = [[-40, -10]] }";

fn things(more: &str) -> Edit {
    day(STOVE, more)
}

fn door(forward: f64, right: f64) -> Edit {
    craft("at = [-5, 3.5]", format!("at = [{forward}, {right}]"))
}

/// Four fences around the gate at (-20, 10), each a line, a little beyond the corners.
fn fences(leave_out: &str, kind: &str) -> String {
    let all = [
        ("north fence", "[[-25, 13], [-15, 13]]"),
        ("south fence", "[[-25, 7], [-15, 7]]"),
        ("west fence", "[[-24, 5], [-24, 15]]"),
        ("east fence", "[[-16, 5], [-16, 15]]"),
    ];
    let one = |(what, corners): &(&str, &str)| {
        format!("{{ what = \"{what}\", is = \"{kind}\", corners = {corners} }}")
    };
    let fences: Vec<String> = all.iter().filter(|each| each.0 != leave_out).map(one).collect();
    fences.join(", ")
}

fn cases() -> Vec<Case> {
    let twin = "{ what = \"twin\", is = \"aircraft\", \
                corners = [[-22, 14], [-18, 14], [-18, 18], [-22, 18]], \
                engine_running = \"0 degT\" }";
    vec![
        row("base", [], ID, Holds, "25.1 m from the gate to step"),
        row(
            "base",
            [door(6.5, 6.0)],
            ID,
            Breaks,
            "the door lies where nobody walks: the propeller",
        ),
        row(
            "base",
            [day("at = [4, -5]", "at = [3.4, 1.1]")],
            ID,
            Breaks,
            "the door lies where nobody walks: trolley",
        ),
        row(
            "base",
            [craft("wing = \"low\"", "wing = \"high\""), door(0.0, -5.0)],
            ID,
            Breaks,
            "a wing strut; move the aeroplane or what is there",
        ),
        row(
            "base",
            [craft("wing = \"low\"", "wing = \"high\""), door(-1.5, 6.0)],
            ID,
            Holds,
            "to step",
        ),
        row("base", [door(-1.5, 6.0)], ID, Breaks, "the door lies where nobody walks: wing"),
        row(
            "base",
            [things(twin)],
            ID,
            Breaks,
            "the gate lies where nobody walks: the wake of twin",
        ),
        row(
            "base",
            [strip("gate = [-20, 10]", "gate = [-15, 23]")],
            ID,
            Breaks,
            "nobody walks: shed; have people wait elsewhere",
        ),
        row(
            "base",
            [day(
                "at = [28, -4], across = \"1 m\", cleaned = true",
                "at = [-20, 10], across = \"3 m\"",
            )],
            ID,
            Breaks,
            "the gate lies where nobody walks: drips",
        ),
        row("base", [strip("gate = [-20, 10]\n", "")], ID, Unknown, "add gate to [apron]"),
        row(
            "base",
            [day("across = \"1 m\", cleaned = true", "cleaned = false")],
            ID,
            Unknown,
            "measure it",
        ),
        row(
            "base",
            [craft("propellers = [{ at = [6.5, 0], diameter = \"76 in\" }]", "propellers = []")],
            ID,
            Unknown,
            "the propeller is not described",
        ),
        row(
            "base",
            [day("pack = \"demo-operator+au\"", "pack = \"au\"")],
            ID,
            Unknown,
            "no figure for",
        ),
        row(
            "base",
            [strip("[[30, 20], [40, 20], [40, 30]]", "[[30, 20]]")],
            ID,
            Unknown,
            "how wide its wake is",
        ),
    ]
}

#[test]
fn what_closes_the_way_is_named() {
    run(&cases());
    assert!(lacking(&cases(), &[ID]).is_empty());
}

#[test]
fn a_fence_is_a_line_and_closes_the_way_as_a_shed_does() {
    for kind in ["obstacle", "water"] {
        let closed = Judged::after("base", &[things(&fences("", kind))]);
        assert_eq!(closed.verdict(ID), Breaks, "{kind}: {}", closed.said(ID));
        // The one whose removal opens the shortest way, by its own name and once.
        let said = closed.said(ID);
        assert!(said.contains("no safe path from the gate to step"), "{said}");
        assert!(said.contains("every way is closed by east fence; move"), "{said}");
        for left_out in ["north fence", "south fence", "west fence", "east fence"] {
            let open = Judged::after("base", &[things(&fences(left_out, kind))]);
            assert_eq!(open.verdict(ID), Holds, "{kind} without {left_out}: {}", open.said(ID));
        }
    }
    // A drain is stepped over, a road is crossed.
    for kind in ["drain", "road"] {
        let judged = Judged::after("base", &[things(&fences("", kind))]);
        assert_eq!(judged.verdict(ID), Holds, "{kind}");
    }
}

#[test]
fn a_tree_is_a_place_and_is_walked_around() {
    let tree =
        |at: &str| things(&format!("{{ what = \"tree\", is = \"obstacle\", corners = [{at}] }}"));
    let path = |edits: &[Edit]| {
        let (stage, _) = stage(read("tree", &edited("base", edits)));
        match stage.walks[0].as_ref().unwrap().walk.clone() {
            Walk::Path { points, length, .. } => (points, length.value),
            blocked => panic!("{blocked:?}"),
        }
    };
    // In the middle of the first straight stretch.
    let (points, free) = path(&[]);
    let middle = [points[0].east() + points[1].east(), points[0].north() + points[1].north()];
    let [east, north] = middle.map(|sum| sum.value / 2.0);
    let (_, around) = path(&[tree(&format!("[{east}, {north}]"))]);
    assert!((free + 1e-3..free + 1.0).contains(&around), "{free} m, then {around} m");
    let at_gate = Judged::after("base", &[tree("[-20, 10.2]")]);
    assert!(at_gate.said(ID).contains("the gate lies where nobody walks: tree"));
}

#[test]
fn ahead_of_a_running_engine_the_margin_of_a_propeller_is_kept() {
    // Its nose ends at 12 m north; 2 m ahead of that nobody walks.
    let twin = |gate: f64| {
        let twin = "{ what = \"twin\", is = \"aircraft\", \
                    corners = [[-22, 4], [-18, 4], [-18, 12], [-22, 12]], \
                    engine_running = \"0 degT\" }";
        let gate = strip("gate = [-20, 10]", format!("gate = [-20, {gate}]"));
        Judged::after("base", &[things(twin), gate]).verdict(ID)
    };
    assert_eq!((twin(13.999), twin(14.001)), (Breaks, Holds));
    // And 15 m behind its tail.
    assert_eq!((twin(-10.999), twin(-11.001)), (Breaks, Holds));
}

/// 358 degM and 6.5 degrees of variation are more than a whole turn.
#[test]
fn a_running_engine_that_points_just_west_of_magnetic_north_has_a_wake() {
    for nose in ["358 degM", "4.5 degT"] {
        let turned = strip("engine_running = \"10 degM\"", format!("engine_running = \"{nose}\""));
        let judged = Judged::after("base", &[turned]);
        assert_eq!(judged.verdict(ID), Holds, "{nose}: {}", judged.said(ID));
    }
}

#[test]
fn people_keep_half_their_width_from_a_wall() {
    // The shed begins at 20 m north; people wait south of it.
    for (gate, verdict) in [(19.701, Breaks), (19.699, Holds)] {
        let judged =
            Judged::after("base", &[strip("gate = [-20, 10]", format!("gate = [-15, {gate}]"))]);
        assert_eq!(judged.verdict(ID), verdict, "{gate}: {}", judged.said(ID));
    }
}

fn between(a: Point, b: Point, share: f64) -> Point {
    let part = |a, b| a + (b - a) * share;
    Point::new(part(a.east(), b.east()), part(a.north(), b.north())).unwrap()
}

/// Distances of the path itself, not of the shapes that were grown to keep it off.
#[test]
fn no_path_comes_nearer_than_it_may_to_propeller_fuel_spill_and_strut() {
    let mut tried = 0;
    for name in PARKED {
        let (stage, _) = stage(documents(name));
        let margin = stage.ground.moving_room.propeller_margin.as_ref().unwrap().value;
        for way in stage.walks.iter().map(|way| way.as_ref().unwrap()) {
            let near = way.propeller.expect("every demonstration has a way and a propeller");
            assert!(near.distance.value >= margin.value - 1e-9, "{name}: {near:?}");
            let Walk::Path { points, .. } = &way.walk else { panic!("{name}: {way:?}") };
            let line = Polyline::new(points).unwrap();
            let site = stage.site.as_ref().unwrap();
            let parked = stage.parked.as_ref().unwrap();
            if let Some(source) = &site.source {
                assert!(nearest(&line, source.at).distance.value >= 3.048 - 1e-9, "{name}");
            }
            for spilt in &site.spills {
                let pool = *spilt.pool.as_ref().unwrap();
                assert!(nearest(&line, pool).distance.value > 0.0, "{name}");
            }
            for [a, b] in &parked.struts {
                // Round its ends one may walk, under it not.
                let strut = [0.01, 0.99].map(|share| between(*a, *b, share));
                let under = nearest(&line, &Polyline::new(&strut).unwrap());
                assert!(!under.overlaps, "{name}: {under:?}");
            }
            tried += 1;
        }
    }
    assert!(tried >= 10, "{tried}");
}
