//! What was acknowledged is kept: in a file, in a ledger, and when the battery goes flat.

use std::{thread, time::Duration};

use super::{BY, Walker, short, walk};
use crate::program::{Folder, command, text};

const SHORT: &str = "demo/turnarounds/last-light.toml";
/// Of the short sheet, beside its document.
const BESIDE: &str = "demo/turnarounds/last-light.progress.jsonl";

/// Records in a file of progress.
fn lines(folder: &Folder, file: &str) -> usize {
    String::from_utf8(folder.read(file)).unwrap().lines().count() - 1
}

/// Breaks and takes up again, over and over, and is killed while one more is under way; how
/// much was acknowledged.
fn go_round(folder: &Folder, args: &[&str], first: bool, round: u64) -> usize {
    let mut walker = Walker::new(folder, args);
    let mut acknowledged = 0;
    // What is asked first: the task in hand, or whether the work goes on.
    let mut paused = walker.until(" > ").contains("paused");
    if first {
        walker.types("");
        walker.until("kept");
        acknowledged += 1;
    }
    for _ in 0..=round % 5 {
        let (typed, said) = if paused { ("", "goes on") } else { ("pause", "broken off") };
        walker.types(typed);
        walker.until(said);
        acknowledged += 1;
        paused = !paused;
    }
    walker.types(if paused { "" } else { "pause" });
    thread::sleep(Duration::from_micros(350 * round));
    walker.killed();
    acknowledged
}

#[test]
fn a_kill_at_any_moment_loses_nothing_that_was_acknowledged() {
    let ledger = ["--ledger", "yard.ledger"];
    for (args, count) in [(&[SHORT][..], 30), (&[&[SHORT][..], &ledger].concat(), 15)] {
        let folder = short();
        let (mut kept, mut in_flight) = (1, 0);
        for round in 0..count {
            let acknowledged = go_round(&folder, args, round == 0, round);
            let records = recorded(&folder, args);
            // Besides what was under way: taking up what was broken off without a pause.
            let least = kept + acknowledged;
            assert!((least..=least + 2).contains(&records), "{round}: {records} of {least}");
            in_flight += usize::from(records > least);
            kept = records;
        }
        assert!(in_flight > 0, "no kill met a record under way");
        // Everything still adds up, and goes on to the end.
        let said = walk(&folder, args, &["", ""]).ends(1).out;
        assert!(said.contains("RECAP   2 of "), "{said}");
        assert!(!said.contains("do not fit the others"), "{said}");
    }
}

/// How many records of the sheet there are.
fn recorded(folder: &Folder, args: &[&str]) -> usize {
    if args.contains(&"--ledger") {
        if !folder.path("yard.ledger").exists() {
            return 0;
        }
        let report = folder.run(&["yard", "verify", "--ledger", "yard.ledger", "--json"]).ends(0);
        return usize::try_from(report.json()["records"].as_u64().unwrap()).unwrap();
    }
    if folder.path(BESIDE).exists() { lines(folder, BESIDE) } else { 0 }
}

#[test]
fn a_line_that_was_cut_off_is_taken_off_and_the_rest_stays() {
    let folder = short();
    walk(&folder, &[SHORT], &["", ""]).ends(1);
    let whole = folder.read(BESIDE);
    let cut = whole.len() - 40;
    folder.write(BESIDE, &whole[..cut]);
    let said = walk(&folder, &[SHORT], &[]).ends(1).out;
    assert!(said.contains("RECAP   2 of "), "{said}");
    // The pause was cut off: it is as if the battery had gone flat before it.
    assert!(said.contains("broken off without a pause"), "{said}");
    let again = walk(&folder, &[SHORT], &["", "clear, blue", "recap"]).ends(1).out;
    assert!(again.contains("RECAP   3 of "), "{again}");
}

#[test]
fn a_file_that_was_changed_by_hand_is_refused_and_left_alone() {
    let folder = short();
    walk(&folder, &[SHORT], &["", "", "clear, blue"]).ends(1);
    let text = String::from_utf8(folder.read(BESIDE)).unwrap();
    let changed = text.replace("clear, blue", "clear, red");
    assert_ne!(changed, text);
    folder.write(BESIDE, changed.as_bytes());
    let said = walk(&folder, &[SHORT], &[""]).ends(2).err;
    assert!(said.contains("line 5") && said.contains("altered"), "{said}");
    assert_eq!(folder.read(BESIDE), changed.as_bytes());
    for other in ["notes\n", "notes", "[pack]\nid = \"x\"\n"] {
        folder.write("notes.txt", other.as_bytes());
        let said = walk(&folder, &[SHORT, "--progress", "notes.txt"], &[""]).ends(2).err;
        assert!(said.contains("notes.txt"), "{said}");
        assert_eq!(folder.read("notes.txt"), other.as_bytes());
    }
}

#[test]
fn two_programs_do_not_write_one_file() {
    let folder = short();
    let mut walker = Walker::new(&folder, &[SHORT]);
    walker.until("help shows");
    let said = walk(&folder, &[SHORT], &[""]).ends(2).err;
    assert!(said.contains("another program has this sheet open"), "{said}");
    walker.killed();
    walk(&folder, &[SHORT], &[]).ends(1);
}

#[test]
fn where_there_is_a_ledger_the_sheet_is_kept_in_it() {
    let folder = short();
    let ledger = ["--ledger", "yard.ledger"];
    folder.run(&["yard", "import", "demo", "--ledger", "yard.ledger"]).ends(0);
    let list = || {
        folder
            .run(&[
                "yard",
                "list",
                "--ledger",
                "yard.ledger",
                "--pack",
                "au",
                "--json",
                "--at",
                "2026-12-03T13:00:00+05:30",
            ])
            .json()
    };
    let before = list();
    let in_env = |lines: &str| {
        let mut command = command();
        command.env("STILLPROP_LEDGER", "yard.ledger");
        let args = ["sheet", SHORT, "--walk", "--by", BY];
        folder.run_of(command, &args, lines)
    };
    let said = in_env("\n\n").ends(1).out;
    assert!(said.contains("the ledger yard.ledger"), "{said}");
    assert!(!folder.path(BESIDE).exists());
    // Named or from the environment, it is the same sheet.
    let next = walk(&folder, &[&[SHORT][..], &ledger].concat(), &["", "undo misread"]).ends(1).out;
    assert!(next.contains("RECAP   2 of ") && next.contains("RECAP   1 of "), "{next}");
    // The yard does not know of it, and the ledger is whole, goes out and comes in.
    assert_eq!(list(), before);
    let report = folder.run(&["yard", "verify", "--ledger", "yard.ledger"]).ends(0).out;
    assert!(report.contains("every chain is whole"), "{report}");
    folder.run(&["yard", "export", "all.jsonl", "--ledger", "yard.ledger"]).ends(0);
    folder.run(&["yard", "import", "all.jsonl", "--ledger", "other.ledger"]).ends(0);
    let other = walk(&folder, &[SHORT, "--ledger", "other.ledger"], &[]).ends(1).out;
    assert!(other.contains("RECAP   1 of "), "{other}");
    // A record of a sheet is not corrected as one of the yard.
    let all = String::from_utf8(folder.read("all.jsonl")).unwrap();
    let done = all.lines().find(|line| line.contains("task-done")).unwrap();
    let done: serde_json::Value = serde_json::from_str(done).unwrap();
    let args = ["yard", "correct", text(&done, "id"), "--void", "--reason", "x", "--by", BY];
    let said = folder.run(&[&args[..], &ledger].concat()).ends(2).err;
    assert!(said.contains("a correction stays with its"), "{said}");
}

#[test]
fn the_demonstration_is_not_recorded_in() {
    let folder = Folder::new();
    let said = walk(&folder, &["demo", "--ledger", "demo"], &[""]).ends(2).err;
    assert!(said.contains("built in"), "{said}");
    // With nothing named, what is invented goes into a file in this folder, whatever ledger there is.
    let said = walk(&folder, &["demo"], &[""]).ends(1).out;
    assert!(said.contains("the file ready.progress.jsonl"), "{said}");
    assert_eq!(lines(&folder, "ready.progress.jsonl"), 3);
}

#[test]
fn progress_can_be_kept_in_a_file_of_any_name_though_there_is_a_ledger() {
    let folder = short();
    folder.run(&["yard", "import", "demo", "--ledger", "yard.ledger"]).ends(0);
    let mut command = command();
    command.env("STILLPROP_LEDGER", "yard.ledger");
    let args = ["sheet", SHORT, "--walk", "--by", BY, "--progress", "my.jsonl"];
    folder.run_of(command, &args, "\n").ends(1);
    assert_eq!(lines(&folder, "my.jsonl"), 3);
    assert!(!folder.path(BESIDE).exists());
}

#[test]
fn what_was_kept_in_a_file_can_be_brought_into_a_ledger() {
    let folder = short();
    walk(&folder, &[SHORT], &[""]).ends(1);
    let said = folder.run(&["yard", "import", BESIDE, "--ledger", "new.ledger"]);
    assert!(said.err.contains("its end is missing; what was whole is in"), "{said:?}");
    let next = walk(&folder, &[SHORT, "--ledger", "new.ledger"], &[]).ends(1).out;
    assert!(next.contains("RECAP   1 of "), "{next}");
}
