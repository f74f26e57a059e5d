//! `print`: every paper of the demonstration, read back by a reader made by others.

use std::fmt::Write as _;

use crate::{
    program::{Folder, file, json, stillprop, text},
    reader::pages,
};

/// Papers of a stop, then those of the yard with what they are of.
const STOP: [&str; 7] = ["load", "fuel", "sheet", "briefing", "apron", "record", "spill"];
const YARD: [(&str, &str); 4] =
    [("tags", "Nessow Top"), ("tags", "NT-09"), ("labels", "Nessow Top"), ("register", "2026-11")];

fn print(folder: &Folder, args: &[&str]) -> Vec<String> {
    folder.run(&[&["print"], args, &["-o", "paper.pdf"]].concat()).ends(0);
    pages(&folder.read("paper.pdf"))
}

#[test]
fn every_paper_is_the_same_twice_on_both_sizes_and_says_on_every_page_who_decides() {
    let folder = Folder::new();
    let stop = STOP.iter().map(|kind| (*kind, "demo"));
    let at = "2026-11-28T10:00:00+05:30";
    for (kind, of) in stop.chain(YARD) {
        for size in ["a4", "letter"] {
            let args = ["print", kind, of, "--paper", size, "--ledger", "demo", "--at", at];
            for name in ["one.pdf", "two.pdf"] {
                let answer = folder.run(&[&args[..], &["-o", name]].concat()).ends(0);
                assert!(answer.out.to_lowercase().contains("the pilot in command decides"));
            }
            let bytes = folder.read("one.pdf");
            assert_eq!(bytes, folder.read("two.pdf"), "{kind} on {size}");
            let pages = pages(&bytes);
            for (place, words) in pages.iter().enumerate() {
                assert!(words.contains("the pilot in command decides"), "{kind} {size}: {words}");
                let number = format!("page {} of {}", place + 1, pages.len());
                assert!(words.contains(&number), "{kind} {size}: {words}");
            }
        }
    }
}

#[test]
fn the_words_of_a_stop_are_found_in_its_papers() {
    let folder = Folder::new();
    for (kind, words) in [
        (
            "load",
            &["Clinic round", "Marro Teel", "clinic chests", "1521 kg", "load.take-off-mass"][..],
        ),
        ("fuel", &["NT-09", "VF-26-031", "final reserve", "148 L", "clear and bright"]),
        (
            "sheet",
            &["Chock both main wheels", "HOLD: ", "Stop actions", "NT-09: see that it stands"],
        ),
        ("apron", &["Distances, tightest first", "From", "Must be"]),
        ("record", &["No run sheet of this stop is in the records"]),
        ("spill", &["The documents tell of no spill", "Drains, water or soil it reached"]),
        ("briefing", &["The wing is above the door", "aft locker, orange pack", "Ane Borrelk: 1R"]),
    ] {
        let whole = print(&folder, &[kind, "demo", "--ledger", "demo"]).join(" ");
        for part in words {
            assert!(whole.contains(part), "{kind} lacks {part}: {whole}");
        }
    }
    let spilt = print(&folder, &["spill", "demo/spill"]).join(" ");
    assert!(spilt.contains("Sorbent must take up"), "{spilt}");
    let missing = print(&folder, &["load", "demo/missing"]).join(" ");
    assert!(missing.contains("UNKNOWN") && missing.contains("NOT READY"), "{missing}");
}

#[test]
fn what_was_done_stands_in_the_record_with_its_hashes() {
    let folder = Folder::new();
    let walk = ["sheet", "demo", "--walk", "--progress", "run.jsonl", "--by", "Odrin Kestow"];
    folder.run_with(&walk, "\n\nq\n");
    let records = String::from_utf8(folder.read("run.jsonl")).unwrap();
    let words =
        print(&folder, &["record", "demo", "--progress", "run.jsonl"]).concat().replace(' ', "");
    let mut found = 0;
    for line in records.lines().skip(1) {
        let record: serde_json::Value = serde_json::from_str(line).unwrap();
        if let Some(hash) = record["hash"].as_str() {
            assert!(words.contains(hash), "{hash}: {words}");
            found += 1;
        }
    }
    assert!(found >= 2, "{found} records");
    assert!(words.contains("OdrinKestow"));
}

#[test]
fn a_flight_with_twelve_passengers_flows_over_pages_with_headings_again() {
    let folder = Folder::with_demo();
    let (mut seats, mut people) = (String::new(), String::new());
    for row in 4..13 {
        let _ = write!(
            seats,
            "[[seats]]\nlabel = \"{row}L\"\nrow = {row}\narm = \"2.6 m\"\nmax_mass = \"95 kg\"\n\
             belt = true\n\n"
        );
        let _ = write!(
            people,
            "[[people]]\nname = \"Passenger with the long name number {row}\"\nseat = \"{row}L\"\n\
             mass = \"61 kg\"\nknown = \"weighed\"\n\n"
        );
    }
    let aircraft = "demo/aircraft/comfrey-six.toml";
    let pod = "[[lockers]]\nlabel = \"pod\"";
    folder.edit(aircraft, pod, &format!("{seats}{pod}"));
    let chests = "[[items]]\nwhat = \"clinic chests\"";
    folder.edit(&file("ready"), chests, &format!("{people}{chests}"));
    for size in ["a4", "letter"] {
        // Large print, so that both tables are longer than a page.
        let args = ["load", &file("ready"), "--paper", size, "--ledger", "demo", "--scale", "1.8"];
        let pages = print(&folder, &args);
        let whole = pages.join(" ");
        for row in 4..13 {
            assert!(whole.contains(&format!("number {row} ")), "{whole}");
        }
        for (row, head) in [(" passenger ", "Known by"), ("load.", "How it stands")] {
            let with: Vec<_> = pages.iter().filter(|page| page.contains(row)).collect();
            assert!(with.len() >= 2, "{} pages of {row}", with.len());
            assert!(with.iter().all(|page| page.contains(head)), "{head} on {with:?}");
        }
        let cards = print(&folder, &["briefing", &file("ready"), "--paper", size]).join(" ");
        assert!(cards.contains("number 12: 12L"), "{cards}");
    }
}

#[test]
fn a_register_of_forty_drums_flows_over_pages_with_headings_again() {
    let folder = Folder::new();
    for n in 1..=40 {
        let label = format!("F-{n:02}");
        let line = format!(
            "yard receive --label {label} --place P --grade avgas --batch B-{n} --supplier S \
             --filled 2025-01-14 --contents 200L --ledger yard.ledger --by Odrin \
             --at 2025-05-{:02}T12:00:00Z",
            1 + n / 2
        );
        folder.run(&line.split_whitespace().collect::<Vec<_>>()).ends(0);
    }
    for size in ["a4", "letter"] {
        let args = ["register", "2025-05", "--ledger", "yard.ledger", "--paper", size];
        let pages = print(&folder, &args);
        assert!(pages.len() >= 3, "{} pages", pages.len());
        let whole = pages.join(" ");
        for n in 1..=40 {
            // Once as it came, once as it is held.
            assert_eq!(whole.matches(&format!("F-{n:02} ")).count(), 2, "F-{n:02}: {whole}");
        }
        for page in pages.iter().filter(|page| page.contains("received, batch")) {
            assert!(page.contains("Day, time") && page.contains("Stock"), "{page}");
        }
        assert!(whole.contains("8000 L"), "{whole}");
    }
    let before = print(&folder, &["register", "2025-04", "--ledger", "yard.ledger"]).join(" ");
    assert!(before.contains("at the start 0 L"), "{before}");
}

#[test]
fn cards_come_in_five_languages_and_mark_what_nobody_checked() {
    let folder = Folder::new();
    for (language, words) in [
        ("en", "The propeller can kill"),
        ("fr", "Traduction non vérifiée"),
        ("es", "Traducción no revisada"),
        ("pt", "Tradução não verificada"),
    ] {
        let whole = print(&folder, &["briefing", "demo", "--language", language]).join(" ");
        assert!(whole.contains(words), "{language}: {whole}");
    }
    // How a reader orders Arabic is its own affair; that there is some is ours.
    let arabic = print(&folder, &["briefing", "demo", "--language", "ar"]).join(" ");
    assert!(arabic.chars().filter(|sign| ('\u{0600}'..='\u{06FF}').contains(sign)).count() > 500);
    let one = print(&folder, &["briefing", "demo"]).len();
    assert!(print(&folder, &["briefing", "demo", "--scale", "2"]).len() > one);
}

#[test]
fn what_cannot_be_printed_says_why() {
    for (args, why) in [
        (&["print", "register", "May", "-o", "x.pdf"][..], "no month"),
        (&["print", "labels", "Nowhere", "-o", "x.pdf"], "nothing is at"),
        (&["print", "load", "nowhere.toml", "-o", "x.pdf"], "nowhere.toml"),
        (&["print", "load", "demo", "-o", "no/such/folder/x.pdf"], "another"),
        (&["print", "load", "demo", "-o", "x.pdf", "--scale", "9"], "large print"),
    ] {
        let answer = stillprop(args).ends(2);
        assert!(answer.err.contains(why), "{args:?}: {}", answer.err);
    }
    let answer = json(&["print", "sheet", "demo", "-o", "x.pdf"], 0);
    assert_eq!(text(&answer, "paper"), "run sheet");
}
