//! The yard of the demonstration: both places, and what is wrong with which drum.

use serde_json::Value;

use super::{labels, rows};
use crate::program::{json, stillprop, text};

const AT: &str = "2026-12-03T13:00:00+05:30";

fn look(args: &[&str]) -> Value {
    json(&[&["yard"], args, &["--ledger", "demo", "--at", AT]].concat(), 0)
}

/// The labels of the containers in a state.
fn in_state(list: &Value, state: &str) -> Vec<String> {
    let all = rows(list, "containers").iter().filter(|row| text(row, "state") == state);
    let mut found: Vec<String> = all.map(|row| text(row, "label").to_owned()).collect();
    found.sort();
    found
}

#[test]
fn the_demonstration_lists_both_places_with_every_state() {
    let list = look(&["list"]);
    let places: std::collections::BTreeSet<&str> =
        rows(&list, "containers").iter().map(|row| text(row, "place")).collect();
    assert_eq!(places.into_iter().collect::<Vec<_>>(), ["Nessow Top", "Taskel Bend"]);
    assert_eq!(in_state(&list, "condemned"), ["TB-07"]);
    assert_eq!(in_state(&list, "empty"), ["NT-05", "TB-06"]);
    let recalled = ["NT-23", "NT-24", "TB trolley", "TB-01", "TB-02", "TB-03", "TB-04"];
    assert_eq!(in_state(&list, "recalled"), recalled);
    let old = ["NT-01", "NT-02", "NT-03", "NT-04", "NT-06", "NT-07", "NT-08"];
    let other = ["NT-14", "NT-15", "TB-12"];
    assert_eq!(in_state(&list, "not fit"), [&old[..], &other].concat());
    let fit = in_state(&list, "fit");
    assert!(fit.contains(&"NT-09".to_owned()) && fit.contains(&"TB-16".to_owned()), "{fit:?}");
    let page = stillprop(&["yard", "list", "--ledger", "demo", "--at", AT]).ends(0).out;
    for place in ["\nTaskel Bend", "Nessow Top\n"] {
        assert!(page.contains(place), "{page}");
    }
}

#[test]
fn one_place_is_listed_alone() {
    let list = look(&["list", "Taskel Bend"]);
    let found = labels(&list, "containers");
    assert_eq!(found.len(), 15);
    assert!(found.iter().all(|label| label.starts_with("TB")), "{found:?}");
}

#[test]
fn what_is_due_names_the_limit_or_what_does_not_add_up() {
    let due = look(&["due"]);
    let of = |label: &str| -> Vec<String> {
        let all = rows(&due, "due").iter().filter(|row| text(row, "label") == label);
        all.map(|row| row["limit"].as_str().or(row["finding"].as_str()).unwrap().to_owned())
            .collect()
    };
    assert_eq!(of("NT-01"), ["drum.age.NT-01"]);
    assert_eq!(of("NT-14"), ["sample.density.NT-14"]);
    assert_eq!(of("NT-15"), ["drum.seal.NT-15"]);
    assert_eq!(of("TB-12"), ["sample.appearance.TB-12", "sample.water.TB-12"]);
    assert_eq!(of("TB-07"), ["drum.condition.TB-07"]);
    assert!(of("TB-06")[0].contains("more was drawn than it held"), "{:?}", of("TB-06"));
    assert!(of("NT-09").is_empty());
}

/// A misspelt yard must not look like one with nothing due.
#[test]
fn a_place_where_nothing_is_is_not_in_order() {
    let out = ["--out", "x.svg"];
    let choose = ["choose", "Nesow Top", "--grade", "avgas 100LL", "--needed", "5 L"];
    for args in [
        &["list", "Nesow Top"][..],
        &["due", "Nesow Top"],
        &choose,
        &[&["picture", "rack", "Nesow Top"][..], &out].concat(),
        &[&["picture", "labels", "Nesow Top"][..], &out].concat(),
    ] {
        let said = stillprop(&[&["yard"], args, &["--ledger", "demo"]].concat()).ends(2);
        assert!(said.err.contains("did you mean `Nessow Top`?"), "{args:?}: {}", said.err);
    }
}
