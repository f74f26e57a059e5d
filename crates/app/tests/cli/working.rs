//! `--why`: the working of every limit.

use crate::program::{DEMO, demo, json, limits, stillprop, text};

#[test]
fn every_limit_of_every_demo_turnaround_opens_and_ends_by_its_own_verdict() {
    for (name, code) in DEMO {
        let assessment = json(&["ready", &demo(name)], code);
        for limit in limits(&assessment) {
            let id = text(limit, "id");
            let code = i32::from(text(limit, "verdict") != "holds");
            let why = json(&["ready", &demo(name), "--why", id], code);
            assert_eq!(&why["limit"], limit, "{name} {id}");
            let steps = why["working"].as_array().unwrap();
            for step in steps {
                assert_ne!(text(step, "what"), "", "{name} {id}");
                let says = !step["gives"].as_object().unwrap().is_empty()
                    || !step["with"].as_object().unwrap().is_empty()
                    || step["remark"].is_string();
                assert!(says, "{name} {id}: {step}");
            }
            let reason = limit["act"].is_string() || text(limit, "stands") != "unknown";
            assert!(!steps.is_empty() || reason, "{name} {id}: neither steps nor a reason");
        }
    }
}

#[test]
fn the_page_shows_verdict_steps_and_full_citations() {
    for (name, id, verdict, code) in [
        ("over-mass", "load.take-off-mass", "breaks", 1),
        ("mid-burn", "load.cg-aft", "breaks", 1),
        ("last-light", "light.arrival.Oumbrel", "breaks", 1),
        ("missing", "load.take-off-mass", "unknown", 1),
        ("ready", "strip.take-off-distance", "holds", 0),
        ("ready", "fuel.required", "holds", 0),
    ] {
        let page = stillprop(&["ready", &demo(name), "--why", id]).ends(code).out;
        assert!(page.contains(&format!("{verdict:<7} {id}: ")), "{page}");
        if verdict != "unknown" {
            assert!(page.contains("  1. ") && page.contains("-> "), "{name} {id}: {page}");
        }
    }
    let page = stillprop(&["ready", "demo", "--why", "strip.take-off-distance"]).out;
    assert!(page.contains("[icao-7488] ICAO Doc 7488"), "{page}");
    assert!(page.contains("pack au: ") || page.contains("pack demo-operator: "), "{page}");
}

#[test]
fn the_last_step_gives_the_number_that_is_judged() {
    for id in ["fuel.required", "strip.take-off-distance", "strip.landing-back-here"] {
        let why = json(&["ready", "demo", "--why", id], 0);
        let measure = &why["limit"]["measure"];
        let judged = [&measure["value"]["value"], &measure["bound"]["value"]];
        let steps = why["working"].as_array().unwrap();
        let given = steps.iter().flat_map(|step| step["gives"].as_object().unwrap().values());
        let given: Vec<_> = given.map(|amount| &amount["value"]).collect();
        assert!(judged.iter().any(|number| given.contains(number)), "{id}: {judged:?}");
    }
}

#[test]
fn the_working_is_in_the_units_that_were_asked_for() {
    let page = |units| {
        let why = ["ready", "demo/over-mass", "--why", "load.take-off-mass", "--units", units];
        stillprop(&why).ends(1).out
    };
    let (metric, us) = (page("metric"), page("us"));
    assert!(metric.contains(" kg") && !metric.contains(" lb"), "{metric}");
    assert!(us.contains(" lb") && !us.contains(" kg"), "{us}");
}
