//! `screen`, `manifest`, `due` and `report`: what people carry, who they are, what runs out, what
//! must be told.

use crate::program::{Folder, file, json, stillprop, text};

#[test]
fn words_are_screened_with_exit_codes() {
    for (words, code, answer) in [
        ("hairspray 300 ml", 0, "allowed with conditions"),
        ("hairspary 300ml", 0, "allowed with conditions"),
        ("hairspray 600 ml", 1, "forbidden"),
        ("hairspray", 1, "unknown"),
        ("power bank 74 Wh", 0, "allowed with conditions"),
        ("power bank 20000 mAh 3.7 V", 0, "allowed with conditions"),
        ("power bank 20000 mAh", 1, "unknown"),
        ("power bank 120 Wh", 1, "approval needed"),
        ("bear spray not hair spray", 1, "forbidden"),
        ("petrol", 1, "forbidden"),
        ("wine", 0, "allowed"),
        ("a box of books", 1, "unknown"),
    ] {
        let args = ["screen", words, "--in", "cabin", "--pack", "au"];
        let value = json(&args, code);
        assert_eq!(text(&value["things"][0], "answer"), answer, "{words}: {value}");
        let page = stillprop(&args).ends(code).out;
        assert!(page.contains(answer), "{page}");
    }
}

#[test]
fn several_things_are_added_up_and_a_place_is_asked_for() {
    let bag = "hairspray 500 ml; perfume 500 ml; deodorant 500 ml; insect repellent 500 ml";
    let args = ["screen", bag, "--in", "hold", "--pack", "us"];
    assert_eq!(json(&args, 0)["may_all_come"], true);
    let more = format!("{bag}; shaving foam 10 ml");
    let value = json(&["screen", &more, "--in", "hold", "--pack", "us"], 1);
    assert!(value["things"].as_array().unwrap().iter().all(|thing| thing["answer"] == "forbidden"));
    let value = json(&["screen", "power bank 74 Wh"], 1);
    let reason = value["things"][0]["reasons"][0].as_str().unwrap();
    assert!(reason.contains("say where it travels"), "{reason}");
}

#[test]
fn an_exception_is_shown_to_be_read_and_changes_no_answer() {
    let page = stillprop(&["screen", "petrol 10 l", "--pack", "au"]).ends(1).out;
    assert!(page.contains("forbidden") && page.contains("MAY APPLY: READ THE RULE"), "{page}");
    assert!(page.contains("92.175"), "{page}");
    let page = stillprop(&["screen", "wine", "--in", "cabin", "--pack", "au"]).ends(0).out;
    assert!(!page.contains("MAY APPLY"), "{page}");
}

#[test]
fn every_thing_of_a_turnaround_is_screened_where_its_bag_lies() {
    let value = json(&["screen", "demo"], 0);
    assert_eq!(value["things"].as_array().unwrap().len(), 5);
    assert_eq!(value["unasked"].as_array().unwrap().len(), 0);
    let folder = Folder::with_demo();
    let file = file("ready");
    folder.edit(&file, "role = \"pilot\"\ncarries = []", "role = \"pilot\"");
    let value = folder.run(&["screen", &file, "--json"]).ends(1).json();
    assert_eq!(value["unasked"][0], "Marro Teel");
    let page = folder.run(&["ready", &file]).ends(1).out;
    assert!(page.contains("people.screened"), "{page}");
}

#[test]
fn the_questions_to_ask_aloud_cover_every_item() {
    let value = json(&["screen", "--ask"], 0);
    assert!(value["items"].as_array().unwrap().len() >= 45);
    for item in value["items"].as_array().unwrap() {
        assert!(!text(item, "ask").is_empty() && !text(item, "look").is_empty());
    }
}

#[test]
fn the_manifest_changes_with_a_change_and_so_does_the_verdict() {
    let value = json(&["manifest", "demo"], 0);
    assert_eq!(value["legs"][0]["people"].as_array().unwrap().len(), 5);
    assert_eq!(value["legs"][1]["people"].as_array().unwrap().len(), 4);
    assert_eq!(value["all_restrained"], true);
    let value = json(&["manifest", "demo", "--stays", "Wenna Dannuv"], 0);
    assert_eq!(value["legs"][0]["people"].as_array().unwrap().len(), 4);
    // She was to help somebody and has things in a bag: both are left without her.
    let value = json(&["manifest", "demo", "--stays", "Ane Borrelk"], 0);
    assert_eq!(value["legs"][0]["people"].as_array().unwrap().len(), 4);
    let value = json(&["manifest", "demo", "--weighs", "Ane Borrelk=250kg"], 1);
    assert_eq!(value["ready_before_the_change"], true);
    assert_eq!(value["ready"], false);
    for args in [
        ["--stays", "Wena Dannuv"],
        ["--seat", "Wenna Dannuv=1L"],
        ["--seat", "Wenna Dannuv"],
        ["--seat", "Wenna Dannuv=9Z"],
        ["--weighs", "Ane Borrelk=250"],
        ["--without", "bagz"],
    ] {
        stillprop(&["manifest", "demo", args[0], args[1]]).ends(2);
    }
}

#[test]
fn somebody_who_comes_late_is_weighed_and_briefed_and_everything_is_judged_at_once() {
    let folder = Folder::with_demo();
    let file = file("ready");
    let named = |task: &str| {
        let sheet = folder.run(&["sheet", &file, "--json"]).ends(0).json();
        let tasks = sheet["tasks"].as_array().unwrap();
        let task = tasks.iter().find(|one| one["id"] == task).unwrap();
        assert_eq!(task["hold"], true);
        task["reads"]["write"].as_str().unwrap().to_owned()
    };
    for task in ["ask-goods", "brief"] {
        let write = named(task);
        for name in ["Ane Borrelk 14:05", "Isko Dannuv 14:05", "Pirrit Dannuv 14:05"] {
            assert!(write.contains(name), "{write}");
        }
        assert!(!write.contains("Marro Teel") && !write.contains("Toll Ammet"), "{write}");
    }
    assert!(named("tell").contains("night desk of the clinic 14:05"));
    // A heavy guest comes running: every limit is judged with them.
    folder.run(&["manifest", &file]).ends(0);
    let late = "[[people]]\nname = \"Toll Ammet\"\nseat = \"3R\"\nmass = \"160 kg\"\n\
                known = \"weighed\"\ncarries = []\n\n[[items]]\nwhat = \"clinic chests\"";
    folder.edit(&file, "[[items]]\nwhat = \"clinic chests\"", late);
    let value = folder.run(&["manifest", &file, "--json"]).ends(1).json();
    assert_eq!(value["ready"], false);
    assert!(named("brief").contains("Toll Ammet 14:05"));
    let value = folder.run(&["manifest", &file, "--stays", "Toll Ammet", "--json"]).ends(0).json();
    assert_eq!((&value["ready"], &value["ready_before_the_change"]), (&true.into(), &false.into()));
}

#[test]
fn the_calendar_has_a_day_for_each_date_and_the_same_bytes_twice() {
    let calendar = stillprop(&["due", "demo", "--calendar", "-"]).ends(0).out;
    assert_eq!(calendar, stillprop(&["due", "demo", "--calendar", "-"]).ends(0).out);
    let days = json(&["due", "demo"], 0);
    let dated = days["due"].as_array().unwrap().iter().filter(|one| !one["until"].is_null());
    assert_eq!(calendar.matches("BEGIN:VEVENT").count(), dated.count());
    assert_eq!(calendar.matches("PRODID").count(), 1);
    assert!(calendar.contains("DTSTART;VALUE=DATE:20270131"), "{calendar}");
    assert!(!calendar.contains("DTEND"), "{calendar}");
    assert!(calendar.lines().all(|line| line.len() <= 75), "{calendar}");
}

#[test]
fn a_report_says_who_is_told_by_when_in_every_pack_and_keeps_the_records() {
    let at = "2026-12-03T08:10:00+05:30";
    for kind in ["spill", "wrong-fuel", "injury", "propeller-strike", "runaway"] {
        for pack in ["au", "nz", "uk", "us", "demo-operator+au", "strictest(au,us)"] {
            let value = json(&["report", kind, "demo", "--at", at, "--pack", pack], 0);
            assert!(value["keep"].as_array().unwrap().len() >= 4, "{kind} {pack}");
            for duty in value["duties"].as_array().unwrap() {
                assert!(!text(duty, "citation").is_empty(), "{kind} {pack}");
                assert_eq!(duty["time_unknown"], false, "{kind} {pack}: {duty}");
            }
        }
    }
    // Ten days after an accident in the United States, Form 6120.1.
    let value = json(&["report", "injury", "demo", "--at", at, "--pack", "us"], 0);
    let form = value["duties"].as_array().unwrap().iter().find(|duty| duty["within"] == "10 d");
    assert_eq!(form.unwrap()["until"], "2026-12-13T02:40:00Z");
    let value = json(&["report", "spill", "demo", "--at", at], 0);
    assert!(!value["records"].as_array().unwrap().is_empty());
    assert!(text(&value["records"][0], "hash").len() == 64, "{}", value["records"][0]);
    let page = stillprop(&["report", "spill", "demo"]).ends(0).out;
    assert!(
        page.contains("day and time: [when?]") && page.contains("nobody has sent it"),
        "{page}"
    );
    stillprop(&["report", "spill", "demo", "--at", "yesterday"]).ends(2);
}
