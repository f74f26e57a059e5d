//! One drum from the day it comes in to the day it is empty.

use super::{BY, LEDGER, Yard, inspected, received, sampled};
use crate::program::text;

/// When, what, and how the drum stands afterwards: state and litres.
fn life() -> Vec<(&'static str, Vec<&'static str>, &'static str, f64)> {
    let moved = ["move", "NT-01", "--rack", "row 1", "--posture", "on-side", "--bungs", "3,9"];
    let drawn = ["draw", "NT-01", "--volume", "105.4 L", "--aircraft", "QK-CSX"];
    vec![
        // Nobody has looked at it yet, and unknown is not fit.
        ("06:00", received("NT-01", "Nessow Top", "VF-1", "2025-01-14"), "unknown", 200.0),
        ("06:10", [&moved[..], &["--chocked", "--off-ground"]].concat(), "unknown", 200.0),
        ("06:20", inspected("NT-01"), "fit", 200.0),
        ("06:30", vec!["stand", "NT-01", "--tilted"], "fit", 200.0),
        ("11:30", sampled("NT-01"), "fit", 200.0),
        ("11:40", vec!["open", "NT-01", "--seals", "intact"], "fit", 200.0),
        ("12:00", [&drawn[..], &["--tank", "left wing", "--flight", "F-7"]].concat(), "fit", 94.6),
        ("12:10", vec!["mark", "NT-01", "--volume", "94.6 L"], "fit", 94.6),
        ("17:00", vec!["count", "NT-01", "--volume", "93 L"], "fit", 93.0),
        ("18:00", vec!["empty", "NT-01"], "empty", 0.0),
    ]
}

#[test]
fn a_drum_stands_as_told_after_every_step_of_its_life() {
    let yard = Yard::new();
    for (clock, args, state, litres) in life() {
        let at = format!("2025-06-20T{clock}:00");
        let record = yard.tell(&at, &args);
        assert_eq!(yard.stands(&at, "NT-01"), (state.to_owned(), litres), "{args:?}");
        let history = yard.show(&at, "NT-01")["history"].clone();
        let last = history.as_array().unwrap().last().unwrap().clone();
        assert_eq!((text(&last, "record"), text(&last, "author")), (record.as_str(), BY));
    }
    let shown = yard.show("2025-06-20T18:00:00", "NT-01");
    assert_eq!(shown["history"].as_array().unwrap().len(), life().len());
    // The count came 1.6 L short, which is kept in the history and is no contradiction.
    assert_eq!(shown["findings"].as_array().unwrap().len(), 0, "{shown}");
}

#[test]
fn the_same_life_told_in_text_leads_to_the_same_drum() {
    let (yard, other) = (Yard::new(), Yard::new());
    for (clock, args, ..) in life() {
        let at = format!("2025-06-20T{clock}:00");
        let said = yard.run(&at, &args).ends(0);
        let (hour, minute) = clock.split_once(':').unwrap();
        // 05:30 ahead of UTC.
        let minutes = hour.parse::<i32>().unwrap() * 60 + minute.parse::<i32>().unwrap() - 330;
        let utc = format!("2025-06-20T{:02}:{:02}:00Z by {BY}", minutes / 60, minutes % 60);
        assert!(said.out.starts_with("recorded ") && said.out.contains(&utc), "{}", said.out);
        assert!(said.out.contains("pilot in command decides"), "{}", said.out);
        other.tell(&at, &args);
    }
    let at = "2025-06-20T18:00:00";
    let one = yard.run(at, &["list"]).ends(0);
    assert_eq!(one.out, other.run(at, &["list"]).ends(0).out);
    assert!(one.out.contains("0 L filled 2025-01-14  empty"), "{}", one.out);
    let page = yard.run(at, &["show", "NT-01"]).ends(0).out;
    for words in ["LIMITS", "HISTORY", "drawn: 105.4 L into QK-CSX", "tilted"] {
        assert!(page.contains(words), "{words}: {page}");
    }
}

#[test]
fn every_word_of_a_sample_decides_whether_a_drum_is_fit() {
    let at = "2025-06-20T12:00:00";
    for (instead, state) in [
        (["--appearance", "clear"], "fit"),
        (["--appearance", "haze"], "not fit"),
        (["--appearance", "sediment"], "not fit"),
        (["--appearance", "water"], "not fit"),
        (["--paste", "wet"], "not fit"),
        // Jet fuel has this density.
        (["--density", "0.800 kg/L"], "not fit"),
    ] {
        let yard = Yard::new();
        yard.receive("2025-06-20T05:00:00", "NT-01", "Nessow Top");
        yard.prepare("2025-06-20", "NT-01");
        let mut args = sampled("NT-01");
        let place = args.iter().position(|arg| *arg == instead[0]).unwrap();
        args[place + 1] = instead[1];
        yard.tell("2025-06-20T11:30:00", &args);
        assert_eq!(yard.stands(at, "NT-01").0, state, "{instead:?}");
    }
}

#[test]
fn damage_a_broken_seal_and_condemning_make_a_drum_unfit() {
    let at = "2025-06-20T12:00:00";
    for (args, state) in [
        (vec!["condemn", "NT-01", "--reason", "the seam weeps"], "condemned"),
        (vec!["open", "NT-01", "--seals", "broken"], "not fit"),
        (
            vec!["inspect", "NT-01", "--dents", "severe", "--rust", "none", "--seals", "intact"],
            "not fit",
        ),
    ] {
        let yard = Yard::new();
        yard.receive("2025-06-20T05:00:00", "NT-01", "Nessow Top");
        yard.prepare("2025-06-20", "NT-01");
        assert_eq!(yard.stands(at, "NT-01").0, "fit");
        yard.tell(at, &args);
        assert_eq!(yard.stands(at, "NT-01").0, state, "{args:?}");
        assert!(yard.run(at, &["due"]).ends(0).out.contains("X breaks  NT-01 at Nessow Top"));
    }
}

#[test]
fn a_drum_is_found_by_label_id_the_start_of_an_id_and_code() {
    let yard = Yard::new();
    let at = "2025-06-20T06:00:00";
    yard.receive(at, "NT-01", "Nessow Top");
    yard.receive(at, "NT-02", "Nessow Top");
    let id = yard.id("NT-01");
    let code = format!("stillprop:drum:{id}");
    for sought in ["NT-01", "nt-01", " NT-01 ", &id, &id.to_uppercase(), &id[..35], &code] {
        assert_eq!(text(&yard.show(at, sought), "id"), id, "{sought}");
    }
}

#[test]
fn who_and_where_may_be_said_once_for_all() {
    let yard = Yard::new();
    let mut command = crate::program::command();
    let ledger = yard.0.path(LEDGER);
    command.env("STILLPROP_BY", "Odrin Kestow").env("STILLPROP_LEDGER", &ledger).arg("yard");
    command.args(received("NT-01", "Nessow Top", "VF-1", "2025-01-14"));
    let output = command.args(["--at", "2025-06-20T06:00:00+05:30"]).output().unwrap();
    assert!(output.status.success(), "{output:?}");
    let shown = yard.show("2025-06-20T07:00:00", "NT-01");
    assert_eq!(text(&shown["history"][0], "author"), "Odrin Kestow");
}
