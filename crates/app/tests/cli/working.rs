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
            let measured = !limit["measure"].is_null();
            assert!(!measured || !steps.is_empty(), "{name} {id}: a number without steps");
        }
    }
}

#[test]
fn every_number_of_every_demo_turnaround_opens_and_says_what_the_answer_says() {
    let mut count = 0;
    for (name, code) in DEMO {
        let assessment = json(&["ready", &demo(name)], code);
        for number in assessment["numbers"].as_array().unwrap() {
            let id = text(number, "id");
            // What is also a limit opens that. Each of the first, some of the others.
            if id == "fuel.required" || name != "ready" && !id.len().is_multiple_of(5) {
                continue;
            }
            let why = json(&["ready", &demo(name), "--why", id], 0);
            assert_eq!(&why["number"], number, "{name} {id}");
            let steps = why["working"].as_array().unwrap();
            let says = text(number, "says");
            assert!(!steps.is_empty() || says.contains("unknown"), "{name} {id}: {says}");
            count += 1;
        }
    }
    assert!(count > 80, "{count}");
}

#[test]
fn the_last_steps_of_a_number_give_what_it_says() {
    for id in [
        "load.mass.take-off",
        "load.balance.landing-Oumbrel",
        "load.forward.zero-fuel",
        "load.fuel.ramp",
        "fuel.trip",
        "fuel.contingency",
        "fuel.final-reserve",
        "fuel.aboard",
        "strip.pressure-altitude",
        "strip.density-altitude",
        "strip.mass-allowed",
        "flight.distance.Oumbrel",
        "flight.time.Oumbrel",
        "flight.endurance",
        "people.mass.Marro-Teel",
    ] {
        let why = json(&["ready", "demo", "--why", id], 0);
        let amount = why["number"]["amount"]["value"].as_f64().unwrap();
        let steps = why["working"].as_array().unwrap();
        let given = steps.iter().flat_map(|step| step["gives"].as_object().unwrap().values());
        let found = given.filter_map(|each| each["value"].as_f64());
        let near = |value: &f64| (value - amount).abs() <= 1e-9 * amount.abs().max(1.0);
        assert!(
            found.clone().any(|value| near(&value)),
            "{id}: {amount} {:?}",
            found.collect::<Vec<_>>()
        );
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
