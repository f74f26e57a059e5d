//! What is refused, and that nothing was recorded then.

use std::fs;

use super::{BY, LEDGER, PACK, Yard, received};

const AT: &str = "2025-06-20T06:00:00";

/// A drum here, one of the same label elsewhere, and one alone.
fn three_drums() -> Yard {
    let yard = Yard::new();
    yard.receive(AT, "NT-01", "Nessow Top");
    yard.receive(AT, "NT-01", "Taskel Bend");
    yard.receive(AT, "NT-02", "Nessow Top");
    yard
}

/// Each refusal with words of its message and of its way out.
const REFUSED: [(&str, &[&str], [&str; 2]); 17] = [
    (
        "2025-06-20T05:59:59",
        &["stand", "NT-02"],
        ["lies before the last record", "in the order things happened"],
    ),
    ("2125-01-01T00:00:00", &["stand", "NT-02"], ["lies in the future", "correct --at"]),
    (
        AT,
        &["draw", "NT-02", "--volume", "200.001 L", "--waste"],
        ["only 200 L is in it", "add --anyway"],
    ),
    (
        AT,
        &["draw", "NT-02", "--volume", "5 L", "--container", "NT-02"],
        ["into itself", "another container"],
    ),
    (AT, &["draw", "NT-02", "--volume", "5 L"], ["required", "--waste"]),
    (AT, &["draw", "NT-02", "--volume", "5 L", "--aircraft", "QK-CSX"], ["required", "--tank"]),
    (AT, &["draw", "NT-02", "--volume=-5 L", "--waste"], ["accepted: 0 to 50000 L", "--help"]),
    (AT, &["draw", "NT-02", "--volume", "5", "--waste"], ["no unit", "--help"]),
    (AT, &["stand", "NT-77"], ["there is no container `NT-77`", "yard list"]),
    (AT, &["stand", "NT-01"], ["may be any of 2", "at Taskel Bend"]),
    (AT, &["stand", ""], ["there is no container", "yard list"]),
    (AT, &["count", "NT-02", "--volume", "NaN L"], ["not a finite number", "--help"]),
    (
        AT,
        &["move", "NT-02", "--posture", "on-side", "--bungs", "3,13"],
        ["two hours of a clock", "--help"],
    ),
    (
        AT,
        &["recall", "VF-2", "--reason", "water"],
        ["filled from batch `VF-2`", "did you mean `VF-1`"],
    ),
    (
        AT,
        &["retest", "VF-1", "--on", "2025-06-22", "--passed", "true"],
        ["yet to come", "check --on"],
    ),
    (AT, &["condemn", "NT-02", "--reason", " "], ["it is empty", "--help"]),
    (
        AT,
        &["correct", "01a21272-0000-7000-8000-000000000000", "--void", "--reason", "x"],
        ["which is not here", "bring that in first"],
    ),
];

#[test]
fn what_cannot_be_is_refused_with_a_way_out_and_not_recorded() {
    let yard = three_drums();
    for (at, args, words) in REFUSED {
        let said = yard.run(at, args).ends(2);
        for words in words {
            assert!(said.err.contains(words), "{args:?}: {}", said.err);
        }
        assert_eq!(said.out, "", "{args:?}");
        assert_eq!(yard.json(AT, &["verify"], 0)["records"], 3, "{args:?}");
    }
}

#[test]
fn a_receipt_that_cannot_be_is_refused() {
    let yard = three_drums();
    let changed = |from: &str, to: &'static str| -> Vec<String> {
        let args = received("NT-03", "Nessow Top", "VF-1", "2025-01-14");
        args.iter().map(|arg| if *arg == from { to } else { arg }.to_owned()).collect()
    };
    for (from, to, words) in [
        ("NT-03", "nt-02", "`nt-02` is at Nessow Top already"),
        ("NT-03", " ", "it is empty"),
        ("200 L", "216.501 L", "more is in it than it holds"),
        ("200 L", "200", "no unit"),
        ("2025-01-14", "2025-06-21", "yet to come"),
        ("2025-01-14", "14.1.2025", "invalid value"),
    ] {
        let args = changed(from, to);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let said = yard.run(AT, &args).ends(2);
        assert!(said.err.contains(words), "{to}: {}", said.err);
    }
    assert_eq!(yard.json(AT, &["verify"], 0)["records"], 3);
    // The other side of each bound.
    let full = changed("200 L", "216.5 L");
    yard.tell(AT, &full.iter().map(String::as_str).collect::<Vec<_>>());
    let today = received("NT-04", "Nessow Top", "VF-1", "2025-06-20");
    yard.tell(AT, &today);
}

#[test]
fn what_looks_wrong_is_recorded_when_a_person_insists_and_is_found() {
    let yard = three_drums();
    yard.tell(AT, &["draw", "NT-02", "--volume", "210 L", "--waste", "--anyway"]);
    let found = yard.show(AT, "NT-02")["findings"].to_string();
    assert!(found.contains("10 L more was drawn than it held"), "{found}");
    let twin = received("NT-02", "Nessow Top", "VF-1", "2025-01-14");
    yard.tell(AT, &[&twin[..], &["--anyway"]].concat());
    yard.run(AT, &["show", "NT-02"]).ends(2);
    yard.tell(AT, &["recall", "VF-2", "--reason", "heard on the radio", "--anyway"]);
}

#[test]
fn drawing_to_the_last_drop_is_no_overdraw() {
    let yard = three_drums();
    yard.tell(AT, &["draw", "NT-02", "--volume", "200 L", "--waste"]);
    assert_eq!(yard.stands(AT, "NT-02"), ("empty".to_owned(), 0.0));
    yard.run(AT, &["draw", "NT-02", "--volume", "1 ml", "--waste"]).ends(2);
}

#[test]
fn somebody_must_state_it_and_rules_must_be_named() {
    let yard = three_drums();
    let plain = |args: &[&str]| yard.0.run(&[&["yard"], args, &["--ledger", LEDGER]].concat());
    for by in [&[][..], &["--by", " "]] {
        let said = plain(&[&["stand", "NT-02"], by].concat()).ends(2);
        assert!(said.err.contains("who records this"), "{}", said.err);
        assert!(said.err.contains("STILLPROP_BY"), "{}", said.err);
    }
    for args in [&["list"][..], &["show", "NT-02"], &["due"]] {
        let said = plain(args).ends(2);
        assert!(said.err.contains("which rules to judge by"), "{args:?}: {}", said.err);
    }
    let said = plain(&["list", "--pack", "atlantis"]).ends(2);
    assert!(said.err.contains("there is no pack `atlantis`"), "{}", said.err);
}

#[test]
fn the_demonstration_is_looked_at_and_not_recorded_in() {
    let yard = Yard::new();
    for args in [&["stand", "NT-09"][..], &["backup", "copy.ledger"], &["import", "demo"]] {
        let said = yard.0.run(&[&["yard"], args, &["--by", BY, "--ledger", "demo"]].concat());
        let said = said.ends(2);
        assert!(said.err.contains("yard import demo"), "{args:?}: {}", said.err);
    }
}

#[test]
fn a_foreign_file_and_a_folder_are_no_ledgers_and_are_not_touched() {
    let yard = three_drums();
    let poem = b"The pump leaves something in each of them.\n".repeat(20);
    yard.0.write("poem.ledger", &poem);
    fs::create_dir(yard.0.path("folder.ledger")).unwrap();
    for ledger in ["poem.ledger", "folder.ledger"] {
        for verb in [&["list"][..], &["stand", "NT-01"], &received("N", "P", "B", "2025-01-14")] {
            let common = ["--ledger", ledger, "--by", BY, "--pack", PACK];
            let said = yard.0.run(&[&["yard"], verb, &common].concat()).ends(2);
            let words = "no ledger of this program and was not touched";
            assert!(said.err.contains(words), "{ledger} {verb:?}: {}", said.err);
        }
    }
    assert_eq!(yard.0.read("poem.ledger"), poem);
}

#[test]
fn a_ledger_that_is_not_there_is_not_made_by_looking_or_going_on() {
    let yard = Yard::new();
    for args in [&["list"][..], &["show", "NT-01"], &["stand", "NT-01"], &["empty", "NT-01"]] {
        let said = yard.run(AT, args).ends(2);
        assert!(said.err.contains("there is no ledger at"), "{args:?}: {}", said.err);
        assert!(!yard.0.path(LEDGER).exists(), "{args:?}");
    }
}

#[test]
fn a_place_that_cannot_be_written_to_is_named() {
    let yard = Yard::new();
    yard.0.write("file", b"no folder");
    let args = received("NT-01", "Nessow Top", "VF-1", "2025-01-14");
    let to =
        |ledger: &'static str| [&["yard"], &args[..], &["--ledger", ledger, "--by", BY]].concat();
    yard.0.run(&to("file/yard.ledger")).ends(2);
    assert_eq!(yard.0.read("file"), b"no folder");
    assert!(yard.0.run(&to("made/for/it/yard.ledger")).ends(0).out.contains("recorded "));
}

/// Whoever may do everything is kept out by no rights, so this says nothing then.
#[cfg(unix)]
#[test]
fn a_write_protected_folder_is_read_and_not_recorded_in() {
    use std::os::unix::fs::PermissionsExt;
    let yard = three_drums();
    let list = yard.run(AT, &["list"]).ends(0).out;
    let folder = yard.0.path("");
    let allow = |mode| fs::set_permissions(&folder, fs::Permissions::from_mode(mode)).unwrap();
    fs::set_permissions(yard.0.path(LEDGER), fs::Permissions::from_mode(0o444)).unwrap();
    allow(0o555);
    let bound = fs::write(yard.0.path("probe"), b"").is_err();
    let read = yard.run(AT, &["list"]);
    let told = yard.run(AT, &["stand", "NT-02"]);
    allow(0o755);
    assert_eq!(read.ends(0).out, list);
    if bound {
        assert!(told.ends(2).err.contains("may not be written to"));
    }
}
