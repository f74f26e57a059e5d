//! `ready` and `demo`: verdicts, exit codes and units.

use serde_json::Value;

use crate::program::{DEMO, Folder, demo, file, json, limits, stillprop, text, with_verdict};

#[test]
fn each_demo_turnaround_ends_with_its_code_and_says_the_same_in_json() {
    for (name, code) in DEMO {
        let page = stillprop(&["ready", &demo(name)]).ends(code);
        let headline = if code == 0 { "READY on what is assessed: " } else { "NOT READY: " };
        assert!(page.out.starts_with(headline), "{}", page.out);
        assert_eq!(page.err, "");

        let answer = json(&["ready", &demo(name)], code);
        assert_eq!(answer["ready"], Value::Bool(code == 0), "{name}");
        assert_eq!(answer["invented"], Value::Bool(true), "{name}");
        assert!(limits(&answer).len() > 20, "{name}");
        let count = |verdict| with_verdict(&answer, verdict).len();
        let counts = format!(
            "breaks {}, unknown {}, holds {}\n",
            count("breaks"),
            count("unknown"),
            count("holds")
        );
        assert!(page.out.starts_with(&format!("{headline}{counts}")), "{name}: {counts}");
    }
}

#[test]
fn a_file_on_disk_and_the_built_in_document_get_the_same_answer() {
    let folder = Folder::with_demo();
    for (name, code) in DEMO {
        let disk = folder.run(&["ready", &file(name)]).ends(code);
        assert_eq!(disk.out, stillprop(&["ready", &demo(name)]).out, "{name}");
        assert_eq!(disk.out, stillprop(&["ready", &file(name)]).out, "{name}");
    }
}

#[test]
fn the_demo_assesses_all_of_it_and_the_first_is_the_ready_one() {
    let answer = json(&["demo"], 0);
    let ready: Vec<bool> =
        answer.as_array().unwrap().iter().map(|each| each["ready"].as_bool().unwrap()).collect();
    assert_eq!(ready.len(), DEMO.len());
    assert!(ready[0] && !ready[1..].contains(&true), "{ready:?}");
    assert_eq!(answer[0], json(&["ready", "demo"], 0));
}

#[test]
fn limits_come_tightest_first() {
    let rank = |limit: &Value| {
        let verdict = match text(limit, "verdict") {
            "breaks" => 0,
            "unknown" => 1,
            _ => 2,
        };
        (verdict, limit["measure"]["share"].as_f64().unwrap_or(f64::INFINITY))
    };
    for (name, code) in DEMO {
        let answer = json(&["ready", &demo(name)], code);
        assert!(limits(&answer).is_sorted_by_key(rank), "{name}");
    }
}

#[test]
fn every_limit_has_words_and_one_that_does_not_hold_says_what_to_do() {
    for (name, code) in DEMO {
        for limit in limits(&json(&["ready", &demo(name)], code)) {
            assert_ne!(text(limit, "stands"), "", "{name}: {limit}");
            let act = limit["act"].as_str();
            assert_eq!(act.is_some(), text(limit, "verdict") != "holds", "{name}: {limit}");
            assert_ne!(act, Some(""), "{name}: {limit}");
        }
    }
}

#[test]
fn all_shows_every_limit_and_the_short_page_says_how_many_it_hides() {
    let names: Vec<String> = with_verdict(&json(&["ready", "demo"], 0), "holds");
    let all = stillprop(&["ready", "demo", "--all"]).ends(0).out;
    let short = stillprop(&["ready", "demo"]).ends(0).out;
    let shown =
        |page: &str| names.iter().filter(|name| page.contains(&format!(" {name} "))).count();
    assert_eq!(shown(&all), names.len());
    let hidden = names.len() - shown(&short);
    assert!(hidden > 0 && short.contains(&format!("and {hidden} more that hold")), "{short}");
}

#[test]
fn units_change_the_numbers_and_no_verdict() {
    for (name, code) in DEMO {
        let [metric, us, document] = ["metric", "us", "document"]
            .map(|units| json(&["ready", &demo(name), "--units", units], code));
        assert_eq!(document, json(&["ready", &demo(name)], code));
        for (a, b) in limits(&metric).iter().zip(limits(&us)) {
            assert_eq!((&a["id"], &a["verdict"]), (&b["id"], &b["verdict"]), "{name}");
            assert_eq!(a["measure"]["share"], b["measure"]["share"], "{name}: {a}");
            if unit(a) == Some("kg") {
                // 1 lb = 0.453 592 37 kg exactly, by the international agreement of 1959.
                assert_eq!(unit(b), Some("lb"));
                let (kg, lb) = (value(a), value(b));
                assert!((lb * 0.453_592_37 - kg).abs() < 1e-9 * kg.max(1.0), "{kg} kg, {lb} lb");
            }
        }
        let units = |answer| limits(answer).iter().filter_map(unit).collect::<Vec<_>>().join(" ");
        assert!(!units(&metric).contains("lb") && !units(&us).contains("kg"), "{name}");
    }
}

fn unit(limit: &Value) -> Option<&str> {
    limit["measure"]["value"]["unit"].as_str()
}

fn value(limit: &Value) -> f64 {
    limit["measure"]["value"]["value"].as_f64().unwrap()
}

#[test]
fn us_pages_have_no_kilograms_and_metric_pages_no_pounds() {
    for (name, code) in DEMO {
        let page = |units| stillprop(&["ready", &demo(name), "--all", "--units", units]).ends(code);
        let words =
            |page: &str| page.split([' ', '\n', ',']).map(str::to_owned).collect::<Vec<_>>();
        // The notes quote rules, which keep the units they were written in.
        let [metric, us] = ["metric", "us"].map(|units| {
            let page = page(units).out;
            words(page.split_once("\nNOTES\n").unwrap().0)
        });
        for word in ["lb", "USgal"].map(str::to_owned) {
            assert!(us.contains(&word) && !metric.contains(&word), "{name}: {word}");
        }
        assert!(!us.contains(&"kg".to_owned()) && metric.contains(&"kg".to_owned()), "{name}");
    }
}
