//! Rule packs: a state alone never borrows from another, an operator only adds.

use serde_json::Value;

use crate::program::{Folder, file, json, limit, limits, stillprop, text, with_verdict};

const STATES: [&str; 4] = ["au", "nz", "uk", "us"];

/// The ready turnaround with every mass weighed and the fuel's density measured, so that only
/// the figures of the pack can be missing.
fn measured() -> Folder {
    let folder = Folder::with_demo();
    folder.edit_all(&file("ready"), "known = \"stated\"", "known = \"weighed\"");
    folder.edit(&file("ready"), "[fuel]\n", "[fuel]\ndensity = \"0.72 kg/L\"\n");
    folder
}

fn ready(folder: &Folder, pack: &str) -> Value {
    folder.run(&["ready", &file("ready"), "--json", "--pack", pack]).json()
}

#[test]
fn a_figure_the_state_lacks_is_unknown_and_named() {
    let folder = measured();
    for (pack, id, key) in [
        ("au", "strip.landing-distance.Taskel-Bend", "strip.surface-landing"),
        ("au", "strip.landing-back-here", "strip.tailwind-charge"),
        ("nz", "light.departure", "light.first-light-buffer"),
        ("nz", "light.arrival.Oumbrel", "light.last-light-buffer"),
        ("uk", "strip.landing-distance.Taskel-Bend", "strip.surface-landing"),
        ("us", "strip.landing-distance.Taskel-Bend", "strip.surface-landing"),
    ] {
        let answer = ready(&folder, pack);
        let found = limit(&answer, id);
        assert_eq!(text(found, "verdict"), "unknown", "{pack}: {found}");
        let act = text(found, "act");
        assert!(act.contains(&format!("no figure for `{key}`")), "{pack}: {act}");
        assert!(act.ends_with(&format!(" in {pack}")), "{pack}: {act}");
        assert_eq!(answer["ready"], Value::Bool(false));
    }
}

#[test]
fn without_a_density_every_limit_that_weighs_fuel_says_so() {
    let answer = json(&["ready", "demo", "--pack", "nz"], 1);
    for id in ["load.ramp-mass", "load.cg-aft", "fuel.imbalance", "strip.take-off-run"] {
        let act = text(limit(&answer, id), "act");
        assert!(act.contains("no figure for `fuel.planning-density`"), "{id}: {act}");
    }
}

#[test]
fn every_unknown_of_a_state_alone_is_a_figure_it_lacks() {
    let folder = measured();
    for pack in STATES {
        let answer = ready(&folder, pack);
        // The drum of the demonstration is older than the six months after which the UK asks
        // for a new test of avgas.
        let breaks: &[&str] = if pack == "uk" { &["drum.retest.NT-09"] } else { &[] };
        assert_eq!(with_verdict(&answer, "breaks"), breaks, "{pack}");
        let unknown = limits(&answer).iter().filter(|limit| text(limit, "verdict") == "unknown");
        for limit in unknown {
            let act = text(limit, "act");
            assert!(
                act.contains("no figure for `") && act.ends_with(&format!(" in {pack}")),
                "{act}"
            );
        }
    }
}

/// Pack named by each step of a working that cites one.
fn cited(working: &Value) -> Vec<String> {
    let remarks = working.as_array().unwrap().iter().filter_map(|step| step["remark"].as_str());
    let packs = remarks.filter_map(|remark| remark.strip_prefix("pack "));
    packs.map(|said| said.split(':').next().unwrap().to_owned()).collect()
}

#[test]
fn no_working_of_a_state_alone_cites_another_pack() {
    let folder = measured();
    for pack in STATES {
        let answer = ready(&folder, pack);
        let mut all = Vec::new();
        let strip_and_fuel = limits(&answer)
            .iter()
            .map(|limit| text(limit, "id"))
            .filter(|id| ["strip.", "fuel.", "light."].iter().any(|family| id.starts_with(family)));
        for id in strip_and_fuel {
            let args = ["ready", &file("ready"), "--json", "--pack", pack, "--why", id];
            all.extend(cited(&folder.run(&args).json()["working"]));
        }
        assert!(all.len() >= 5, "{pack}: {} figures cited", all.len());
        assert!(all.iter().all(|cited| cited == pack), "{pack}: {all:?}");
    }
}

#[test]
fn an_operator_over_a_state_is_never_laxer_and_fills_what_the_state_lacks() {
    let folder = measured();
    let (state, both) = (ready(&folder, "au"), ready(&folder, "demo-operator+au"));
    let mut stricter = Vec::new();
    // What the state's pack says of drums is common practice, which does not bind an operator.
    let binding = limits(&state).iter().filter(|limit| text(limit, "family") != "drum");
    for limit in binding {
        let id = text(limit, "id");
        let share = |limit: &Value| limit["measure"]["share"].as_f64();
        let same = self::limit(&both, id);
        if let (Some(alone), Some(over)) = (share(limit), share(same)) {
            assert!(over <= alone + 1e-12, "{id}: {over} against {alone}");
            if over < alone - 1e-12 {
                stricter.push(id);
            }
        }
    }
    for id in ["fuel.required", "strip.take-off-distance", "light.arrival.Oumbrel"] {
        assert!(stricter.contains(&id), "{id} is not stricter: {stricter:?}");
    }
    assert!(!with_verdict(&state, "unknown").is_empty(), "the state lacks figures");
    assert_eq!(with_verdict(&both, "unknown"), [""; 0]);
}

#[test]
fn the_late_arrival_breaks_the_operators_buffer_and_keeps_the_states() {
    let why = |pack| {
        stillprop(&["ready", "demo/last-light", "--why", "light.arrival.Oumbrel", "--pack", pack])
    };
    assert!(why("au").ends(0).out.contains("less 10 min"));
    assert!(why("demo-operator+au").ends(1).out.contains("less 20 min"));
}

#[test]
fn strictest_of_two_is_never_laxer_than_either() {
    let folder = measured();
    let both = ready(&folder, "strictest(au,nz)");
    let mut compared = 0;
    for pack in ["au", "nz"] {
        let one = ready(&folder, pack);
        for limit in limits(&one) {
            let share = |limit: &Value| limit["measure"]["share"].as_f64();
            let twin = limits(&both).iter().find(|twin| twin["id"] == limit["id"]);
            let twin = twin.unwrap_or_else(|| panic!("{pack}: {limit} is gone"));
            if let (Some(alone), Some(both)) = (share(limit), share(twin)) {
                assert!(both <= alone + 1e-12, "{pack}: {limit}, {twin}");
                compared += 1;
            }
        }
    }
    assert!(compared > 60, "{compared}");
}

#[test]
fn every_figure_of_every_pack_names_document_clause_status_and_how_it_was_read() {
    let packs = json(&["packs"], 0);
    let ids: Vec<&str> =
        packs["packs"].as_array().unwrap().iter().map(|pack| text(pack, "id")).collect();
    assert!(STATES.iter().all(|state| ids.contains(state)), "{ids:?}");
    for id in ids {
        let pack = json(&["packs", id], 0);
        let figures = pack["figures"].as_array().unwrap();
        assert!(figures.len() > 10, "{id}");
        for figure in figures {
            for key in ["pack", "key", "value", "document", "edition", "clause", "status", "read"] {
                assert_ne!(text(figure, key), "", "{id}: {key} of {figure}");
            }
        }
        let page = stillprop(&["packs", id]).ends(0).out;
        assert!(figures.iter().all(|figure| page.contains(text(figure, "key"))), "{id}");
    }
}
