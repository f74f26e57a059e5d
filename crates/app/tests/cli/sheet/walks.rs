//! What is typed at a sheet, and what becomes of it.

use super::{answer, short, tasks, walk};
use crate::program::{Folder, file, text};

const SHORT: &str = "demo/turnarounds/last-light.toml";

/// Lines that take the short sheet to its end.
fn through(folder: &Folder) -> Vec<String> {
    let sheet = folder.run(&["sheet", SHORT, "--json"]).ends(0).json();
    sheet["tasks"].as_array().unwrap().iter().map(answer).collect()
}

fn refs(lines: &[String]) -> Vec<&str> {
    lines.iter().map(String::as_str).collect()
}

#[test]
fn a_sheet_gone_through_to_its_end_is_finished() {
    let folder = short();
    let lines = through(&folder);
    let said = walk(&folder, &[SHORT], &refs(&lines)).ends(0).out;
    assert!(said.contains("every task of this sheet is done"), "{said}");
    assert_eq!(said.matches("  kept\n").count(), lines.len(), "{said}");
    // Once more is a new sheet, and that must be said.
    let again = walk(&folder, &[SHORT], &[""]).ends(0).out;
    assert!(again.contains("was finished") && again.contains("--anew"), "{again}");
    let anew = walk(&folder, &[SHORT, "--anew"], &["recap"]).ends(1).out;
    assert!(anew.contains("0 of"), "{anew}");
}

#[test]
fn an_end_of_input_is_a_break_and_the_recap_comes_first_next_time() {
    let folder = short();
    let lines = through(&folder);
    let said = walk(&folder, &[SHORT], &refs(&lines[..4])).ends(1).out;
    assert!(said.contains("the sheet is not finished"), "{said}");
    let next = walk(&folder, &[SHORT], &["", &lines[4], "recap"]).ends(1).out;
    let recap = next.find("RECAP   4 of ").unwrap_or_else(|| panic!("{next}"));
    assert!(recap < next.find("paused: Enter when the work goes on").unwrap(), "{next}");
    let (before, after) = next.split_once("RECAP   5 of ").unwrap_or_else(|| panic!("{next}"));
    assert!(before.contains("the work goes on"), "{next}");
    // The end of the input shut no cap: it is asked for, and then to look in is to be done again.
    assert!(after.contains("RECAP   5 of ") && after.contains("a fuel cap is open"), "{next}");
    let rest = [&["yes".to_owned(), String::new()], &lines[4..]].concat();
    walk(&folder, &[SHORT], &refs(&rest)).ends(0);
}

#[test]
fn a_hold_point_is_not_passed_without_its_reading() {
    for (typed, said) in [
        ("", "NOT TAKEN: nothing was read"),
        ("done", "NOT TAKEN: nothing was read"),
        ("fine", "NOT TAKEN: \"fine\" is no answer here"),
        ("fine", "write clear, haze, sediment or water"),
        ("list", "[H]   3 "),
        ("help", "stop WHAT"),
    ] {
        let answer = walk(&short(), &[SHORT], &["", "", typed]).ends(1).out;
        assert!(answer.contains(said), "{typed}: {answer}");
        assert!(answer.contains("2 of "), "{typed}: {answer}");
        assert_eq!(answer.matches("  kept\n").count(), 2, "{typed}: {answer}");
    }
    let passed = walk(&short(), &[SHORT], &["", "", "clear, blue"]).ends(1).out;
    assert!(passed.contains("3 of "), "{passed}");
}

#[test]
fn a_reading_that_does_not_pass_is_kept_with_the_reason() {
    let folder = short();
    let said = walk(&folder, &[SHORT], &["", "", "clear, blue", "wet"]).ends(1).out;
    assert!(said.contains("DOES NOT PASS: the paste is wet"), "{said}");
    let next = walk(&folder, &[SHORT], &[]).ends(1).out;
    assert!(next.contains("held: "), "{next}");
    // It was mistyped: taken back, the first sample stands as it did.
    let undone = walk(&folder, &[SHORT], &["undo slip of the finger", "", "dry"]).ends(1).out;
    assert!(undone.contains("taken back: "), "{undone}");
    assert!(undone.contains("RECAP   4 of "), "{undone}");
}

#[test]
fn a_wait_that_the_clock_does_not_bear_out_is_refused() {
    // A drum that the ledger does not have: since when it stands is unknown.
    let folder = Folder::with_demo();
    let name = file("ready");
    folder.edit_all(&name, "NT-09", "NT-99");
    let all = folder.run(&["sheet", &name, "--json"]).json()["tasks"].as_array().unwrap().clone();
    let lines: Vec<String> = all.iter().map(answer).collect();
    let settle = all.iter().position(|task| task["id"] == "settle-drums").unwrap();
    let mut lines = lines[..settle].to_vec();
    // Nobody says when it was stood up: it counts from now.
    lines[settle - 1] = String::new();
    lines.push("49 min".to_owned());
    let said = walk(&folder, &[&name], &refs(&lines)).ends(1).out;
    let folded = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(folded.contains("only 0 min have passed by the entries"), "{said}");
    assert!(folded.contains(&format!("{settle} of ")), "{said}");
}

#[test]
fn a_refuel_from_drums_is_gone_through_in_one_sitting_by_the_time_the_ledger_has() {
    let folder = Folder::new();
    let all = tasks(&["demo"]);
    let lines: Vec<String> = all.iter().map(drum_answer).collect();
    let settle = all.iter().position(|task| task["id"] == "settle-drums").unwrap();
    let away = all.iter().position(|task| task["id"] == "gear-away").unwrap();
    let said = walk(&folder, &["demo"], &refs(&lines[..settle])).ends(1).out;
    let folded = said.split_whitespace().collect::<Vec<_>>().join(" ");
    // Stood up at 06:45; 49 min are 48.8 min, rounded up.
    let standing = "NT-09: standing since 06:45 on 2026-12-03 by the ledger, ready at 07:34";
    assert!(folded.contains(standing), "{said}");
    let folder = Folder::new();
    let said = walk(&folder, &["demo"], &refs(&lines[..=away])).ends(1).out;
    assert_eq!(said.matches("  kept\n").count(), away + 1, "{said}");
    assert!(!said.contains("DOES NOT PASS"), "{said}");
    // Sooner than the pack lets it is no wait, whatever the ledger says.
    let mut short = lines[..settle].to_vec();
    short.push("48 min".into());
    let said = walk(&Folder::new(), &["demo"], &refs(&short)).ends(1).out;
    assert!(said.contains("DOES NOT PASS: 48 min is not yet 49 min"), "{said}");
}

/// What has to be typed at the demonstration's refuel from a drum.
fn drum_answer(task: &serde_json::Value) -> String {
    match text(task, "id") {
        "dip-left-wing" => "81 L".into(),
        "dip-right-wing" => "82 L".into(),
        "stand-nt-09" => String::new(),
        _ => answer(task),
    }
}

#[test]
fn wrong_fuel_stops_everything_until_its_steps_are_done() {
    let folder = Folder::new();
    let all = tasks(&["demo"]);
    let look = all.iter().position(|task| text(task, "id").starts_with("look-")).unwrap();
    let mut lines: Vec<String> = all[..look].iter().map(answer).collect();
    lines.push("jet A-1".into());
    let said = walk(&folder, &["demo"], &refs(&lines)).ends(1).out;
    assert!(said.contains("DOES NOT PASS: jet A-1 is not avgas 100LL"), "{said}");
    assert!(said.contains("STOP: WRONG, WET OR DIRTY FUEL"), "{said}");
    assert!(said.contains("STOP in force"), "{said}");
    // Misread: the stop goes with the reading.
    let undone = walk(&folder, &["demo"], &["undo", "avgas 100LL"]).ends(1).out;
    let (before, after) = undone.split_once("taken back").unwrap();
    assert!(before.contains("STOP: WRONG") && !after.contains("STOP"), "{undone}");
    assert!(after.contains(&format!("{} of ", look + 1)), "{undone}");
}

#[test]
fn a_stop_is_called_in_plain_words_and_gone_through_in_order() {
    let folder = short();
    let said = walk(&folder, &[SHORT], &["stop"]).ends(1).out;
    assert!(said.contains("stop spill, stop fire, stop bond, stop wrong fuel"), "{said}");
    let called = walk(&folder, &[SHORT], &["", "stop spill", "", "done called 14:05"]).ends(1).out;
    assert!(called.contains("STOP: FUEL IS SPILLED"), "{called}");
    assert!(called.contains("step 3 of"), "{called}");
    // It outlasts the end of the program, is not paused, and not taken back.
    let next = walk(&folder, &[SHORT], &["pause", "undo", "undo", "undo"]).ends(1).out;
    assert!(next.contains("not paused"), "{next}");
    assert!(next.contains("taken back: Call") && next.contains("taken back: Control"), "{next}");
    assert!(next.contains("a stop is not taken back"), "{next}");
    let rest = walk(&folder, &[SHORT], &["", "", "", "", "", ""]).ends(1).out;
    assert!(rest.contains("then: "), "{rest}");
    assert!(rest.contains("RECAP   1 of "), "{rest}");
    assert!(!rest.contains("without a pause"), "a stop is no pause: {rest}");
}

#[test]
fn a_fire_ends_the_sheet() {
    let folder = short();
    let steps = folder.run(&["sheet", SHORT, "--json"]).json();
    let fire = steps["stop_actions"].as_array().unwrap().iter().find(|it| it["stop"] == "fire");
    let steps = fire.unwrap()["steps"].as_array().unwrap().len();
    let lines = [&["stop fire"][..], &vec![""; steps], &["clear, blue", ""]].concat();
    let said = walk(&folder, &[SHORT], &lines).ends(1).out;
    assert!(said.contains("stopped for good"), "{said}");
    assert!(said.contains("the sheet ended with a stop"), "{said}");
    let next = walk(&folder, &[SHORT], &["clear, blue"]).ends(1).out;
    assert!(next.contains("ended before its end"), "{next}");
}

#[test]
fn tasks_can_be_put_off_for_others_that_can_be_done_now() {
    let folder = Folder::new();
    let said = walk(&folder, &["demo"], &["next", "", "list"]).ends(1).out;
    assert!(said.contains(" [ ]   1 ") && said.matches(" [x] ").count() == 1, "{said}");
}

#[test]
fn words_that_mean_nothing_here_do_nothing() {
    let folder = Folder::new();
    // The first task reads nothing: a word is no way to say that it is done.
    let said = walk(&folder, &["demo"], &["yes", "chocks set", "undo"]).ends(1).out;
    assert_eq!(said.matches("nothing is read here").count(), 2, "{said}");
    assert!(said.contains("nothing is done yet") && said.contains("0 of "), "{said}");
    let noted = walk(&folder, &["demo"], &["", "done borrowed the field's"]).ends(1).out;
    assert!(noted.contains("1 of "), "{noted}");
    let file = String::from_utf8(folder.read("ready.progress.jsonl")).unwrap();
    assert!(file.contains("\"note\":\"borrowed the field's\""), "{file}");
}

#[test]
fn a_sheet_of_changed_documents_is_not_taken_for_the_same() {
    let folder = short();
    walk(&folder, &[SHORT], &[""]).ends(1);
    folder.edit(&file("last-light"), "mass = \"57 kg\"", "mass = \"58 kg\"");
    let said = walk(&folder, &[SHORT], &[]).ends(2).err;
    assert!(said.contains("changed since it was begun"), "{said}");
    assert!(said.contains("--go-on") && said.contains("--anew"), "{said}");
    let gone_on = walk(&folder, &[SHORT, "--go-on"], &[]).ends(1).out;
    assert!(gone_on.contains("1 of "), "{gone_on}");
    let anew = walk(&folder, &[SHORT, "--anew"], &["recap"]).ends(1).out;
    assert!(anew.contains("0 of "), "{anew}");
    // The new one is that of the documents as they are, and is gone on with.
    let next = walk(&folder, &[SHORT], &[]).ends(1).out;
    assert!(next.contains("0 of "), "{next}");
}

#[test]
fn a_line_without_end_and_bytes_that_are_no_text_do_no_harm() {
    let folder = short();
    let long = "x".repeat(100_000);
    let said =
        walk(&folder, &[SHORT], &["", "", &long, "\u{0}\u{1b}[2J", "clear, blue"]).ends(1).out;
    assert_eq!(said.matches("NOT TAKEN").count(), 2, "{said}");
    assert!(!said.contains('\u{1b}'), "what was typed is never a command to the terminal");
    assert!(said.contains("3 of "), "{said}");
}
