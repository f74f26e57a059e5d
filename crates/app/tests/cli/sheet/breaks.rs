//! What lay open when somebody went away, what went wrong, and how the work goes on.

use super::{Walker, answer, short, walk};
use crate::program::{Folder, file, text};

const SHORT: &str = "demo/turnarounds/last-light.toml";
const APRON: &str = "demo/turnarounds/crowded-apron.toml";

/// Lines for the tasks of a sheet before this one.
fn before(folder: &Folder, document: &str, task: &str) -> Vec<String> {
    let sheet = folder.run(&["sheet", document, "--json"]).ends(0).json();
    let tasks = sheet["tasks"].as_array().unwrap();
    let place = tasks.iter().position(|it| text(it, "id") == task).unwrap();
    tasks[..place].iter().map(answer).collect()
}

fn refs(lines: &[String]) -> Vec<&str> {
    lines.iter().map(String::as_str).collect()
}

/// As one line, for words that are wrapped.
fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn an_end_of_input_with_the_pump_on_puts_nothing_down_and_asks_for_each_thing_and_the_counter() {
    let folder = Folder::with_demo();
    let lines = before(&folder, APRON, "pump-off-left");
    let said = folded(&walk(&folder, &[APRON], &refs(&lines)).ends(1).out);
    for words in ["the pump runs", "a fuel cap is open", "the nozzle is in the filler"] {
        assert!(said.rsplit("RECAP").next().unwrap().contains(words), "{words}: {said}");
    }
    assert!(said.contains("That puts nothing down"), "{said}");
    // Enter says of nothing that it is down.
    let typed = ["", "8", "8 L", "", "no", "yes", "yes", "", "", "", "", ""];
    let said = folded(&walk(&folder, &[APRON], &typed).ends(1).out);
    let recap = said.split("PUT IT DOWN").next().unwrap();
    assert!(recap.contains("* the pump runs") && recap.contains("* a fuel cap is open"), "{said}");
    let places: Vec<usize> = ["The pump is off; read", "The nozzle is out", "Every cap is on"]
        .iter()
        .map(|words| said.find(words).unwrap_or_else(|| panic!("{words}: {said}")))
        .collect();
    assert!(places.is_sorted(), "{said}");
    assert_eq!(said.matches("NOT TAKEN").count(), 5, "{said}");
    // What went in is not asked for again.
    assert!(said.contains("8 L went in before the break: 15 L is left to go in"), "{said}");
}

#[test]
fn a_kill_at_the_propeller_goes_back_to_switches_off_before_the_approach() {
    let folder = short();
    let lines = before(&folder, SHORT, "swing");
    let mut walker = Walker::new(&folder, &[SHORT]);
    for line in &lines {
        walker.types(line);
        walker.until("kept");
    }
    walker.until("Swing it once");
    walker.killed();
    let typed = ["yes", "yes", "yes", "", "", ""];
    let said = folded(&walk(&folder, &[SHORT], &typed).ends(1).out);
    let recap = said.split("PUT IT DOWN").next().unwrap();
    for words in ["the switches are at contact", "somebody stands at the propeller"] {
        assert!(recap.contains(words), "{words}: {said}");
    }
    assert!(said.contains("broken off without a pause"), "{said}");
    let places: Vec<usize> = [
        "Everybody is back from the propeller",
        "The engine stands still; switches off",
        "Nobody is at the controls any more",
        ">> At the controls",
        ">> Nobody at the propeller; switches off, key out: said",
        ">> Throttle: closed",
    ]
    .iter()
    .map(|words| said.find(words).unwrap_or_else(|| panic!("{words}: {said}")))
    .collect();
    assert!(places.is_sorted() && !said.contains(">> Swing it once"), "{said}");
}

#[test]
fn after_a_swing_that_does_not_fire_switches_off_is_said_before_anything_else() {
    let folder = short();
    let mut lines = before(&folder, SHORT, "swing");
    lines.push("no".into());
    let said = folded(&walk(&folder, &[SHORT], &refs(&lines)).ends(1).out);
    let after = said.split("DOES NOT PASS").nth(1).unwrap();
    let next = after.find(">> ").unwrap();
    assert!(after[next..].starts_with(">> Nobody at the propeller; switches off"), "{after}");
    assert!(after.contains("the switches are at contact"), "nobody said off: {after}");
}

#[test]
fn a_fire_after_a_lost_bond_ends_the_sheet_and_nothing_goes_on() {
    let folder = Folder::with_demo();
    let lines = before(&folder, APRON, "nozzle-in-left");
    walk(&folder, &[APRON], &refs(&lines)).ends(1);
    let typed = ["stop bond", "stop fire", "", "", "", "", ""];
    let said = folded(&walk(&folder, &[APRON], &typed).ends(1).out);
    let after = said.rsplit("Count heads").next().unwrap();
    for words in ["this sheet is at its end", "stopped for good", "nothing more is done by it"] {
        assert!(after.contains(words), "{words}: {after}");
    }
    for words in ["A BOND IS LOST", "goes on", "not finished"] {
        assert!(!after.contains(words), "{words}: {after}");
    }
}

#[test]
fn litres_that_cannot_be_are_in_doubt_at_once_and_hold_the_sheet() {
    let folder = Folder::with_demo();
    let lines = before(&folder, APRON, "pump-off-left");
    let lines = [&lines[..], &["90 L".to_owned(), String::new(), "3 L".to_owned()]].concat();
    let said = folded(&walk(&folder, &[APRON], &refs(&lines)).ends(1).out);
    assert!(
        said.contains("IN DOUBT: left: 90 L went in by the counter, 23 L are planned"),
        "{said}"
    );
    assert!(said.contains("IN DOUBT: left: 3 L by the dip"), "{said}");
    assert!(said.rsplit("RECAP").next().unwrap().contains("in doubt: left: 90 L"), "{said}");
    // Misread: what is taken back is in doubt no longer.
    let number = |id: &str| before(&folder, APRON, id).len() + 1;
    let (litres, dip) = (number("pump-off-left"), number("dip-left"));
    let typed = [
        "reread 1 57 L".to_owned(),
        format!("reread {litres} 23"),
        format!("reread {litres} 23 L"),
        format!("reread {dip} 57 L"),
    ];
    let said = folded(&walk(&folder, &[APRON], &refs(&typed)).ends(1).out);
    assert!(said.contains("only litres and dips are read again"), "{said}");
    assert!(said.contains("NOT TAKEN: \"23\" has no unit"), "{said}");
    let recap = said.rsplit("RECAP").next().unwrap();
    assert!(!recap.contains("in doubt") && recap.contains("a fuel cap is open"), "{said}");
}

#[test]
fn what_the_documents_forbid_is_said_with_the_key_to_change() {
    let folder = Folder::with_demo();
    let name = file("mid-burn");
    let grade = "grade = \"avgas 100LL\"";
    folder.edit(&name, grade, "grade = \"jet A-1\"");
    let said = folded(&folder.run(&["sheet", &name]).ends(2).err);
    assert!(said.contains("jet A-1 is not a grade the manual allows"), "{said}");
    assert!(said.contains("grade under [fuel]"), "{said}");
    folder.edit(&name, "grade = \"jet A-1\"", grade);
    folder.edit(&name, "method = \"tanker\"\n", "");
    let said = folded(&folder.run(&["sheet", &name]).ends(2).err);
    assert!(said.contains("nobody has said how fuel is taken"), "{said}");
    assert!(said.contains("add method = \"tanker\""), "{said}");
}

#[test]
fn what_breaks_by_the_documents_heads_the_page_and_the_data() {
    let folder = Folder::with_demo();
    let page = folded(&folder.run(&["sheet", APRON]).ends(0).out);
    let heads = page.split("MAKE READY").next().unwrap();
    assert!(heads.contains("site.run.visiting-twin") && heads.contains("pull it clear"), "{heads}");
    assert!(page.contains("AFTER ANY BREAK"), "{page}");
    let data = folder.run(&["sheet", APRON, "--json"]).ends(0).json();
    assert_eq!(data["breaks"][0]["id"], "site.fuel.survey-camera");
    assert_eq!(data["after_a_break"][0]["id"], "put-down-pump");
    // Fuel on the ground comes before any task.
    let spill = file("spill");
    let page = folder.run(&["sheet", &spill]).ends(0).out;
    assert!(page.contains("FUEL LIES ON THE GROUND"), "{page}");
    let walked = folded(&walk(&folder, &[&spill], &[]).ends(1).out);
    assert!(walked.contains("STOP: FUEL IS SPILLED"), "{walked}");
    assert!(walked.contains("overflow at the pump: 6"), "{walked}");
}

#[test]
fn a_whole_fuelling_sheet_is_gone_through_to_its_end() {
    let folder = Folder::with_demo();
    let all = before(&folder, SHORT, "settle-tanks");
    let first = ["--at", "2025-12-03T14:00:00+05:30"];
    let said = walk(&folder, &[&[SHORT][..], &first].concat(), &refs(&all)).ends(1).out;
    assert_eq!(said.matches("  kept\n").count(), all.len(), "{said}");
    assert!(!said.contains("IN DOUBT") && !said.contains("DOES NOT PASS"), "{said}");
    let sheet = folder.run(&["sheet", SHORT, "--json"]).ends(0).json();
    let tasks = sheet["tasks"].as_array().unwrap();
    let rest: Vec<String> = tasks[all.len()..].iter().map(answer).collect();
    // An hour later the tanks have settled; nothing lay open but the leads.
    let later = ["--at", "2025-12-03T15:00:00+05:30"];
    let lines = [&[String::new()], &rest[..], &[String::new()]].concat();
    let said = walk(&folder, &[&[SHORT][..], &later].concat(), &refs(&lines)).ends(0).out;
    assert!(said.contains("every task of this sheet is done"), "{said}");
    assert!(!said.contains("DOES NOT PASS"), "{said}");
    // A day that is still to come is not stated.
    let folder = Folder::with_demo();
    let said = walk(&folder, &[SHORT, "--at", "2999-01-01T00:00:00+00:00"], &[]).ends(2).err;
    assert!(said.contains("lies in the future"), "{said}");
}
