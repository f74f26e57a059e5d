//! After a spill: report and paper are filled from the records of this aeroplane and no other.

use crate::{
    program::{Folder, file, text},
    reader::pages,
};

/// A sheet walked into a spill, and fuel drawn; a drum of another aeroplane at the same place.
fn spilt() -> Folder {
    let folder = Folder::with_demo();
    folder.run(&["yard", "import", "demo", "--ledger", "y.ledger"]).ends(0);
    let sheet = file("ready");
    let walk = ["sheet", &sheet, "--walk", "--ledger", "y.ledger", "--by", "Odrin Kestow"];
    folder.run_with(
        &walk,
        "\n\n\n\ndone kit opened\n\nyes\nstop spill\ndone 3 L on the ground\nquit\n",
    );
    let draw = |drum: &str, aircraft: &str, litres: &str| {
        let args =
            ["yard", "draw", drum, "--volume", litres, "--aircraft", aircraft, "--tank", "left"];
        let rest = ["--flight", "F-12", "--ledger", "y.ledger", "--by", "Marro Teel"];
        folder.run(&[&args[..], &rest].concat()).ends(0);
    };
    draw("NT-09", "QK-CSX", "40 L");
    draw("NT-13", "QK-FFR", "17 L");
    folder
}

#[test]
fn a_report_is_drafted_from_the_records_of_its_aeroplane_alone() {
    let folder = spilt();
    let args = ["report", "spill", &file("ready"), "--ledger", "y.ledger"];
    let page = folder.run(&args).ends(0).out;
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "avgas 100LL, batch VF-26-031",
        "40 L out of NT-09 at Nessow Top into QK-CSX left for F-12 (recorded by Marro Teel)",
        "STOP: fuel is spilled (recorded by Odrin Kestow)",
        "in reach of the one at the nozzle: yes, by the pilot",
        "step 1: Control:",
        "3 L on the ground",
        "Find the spill kit and open it, by the pilot, Marro Teel; kit opened",
        "run sheet begun: QK-CSX at Nessow Top",
        "about other drums and aeroplanes",
        "spilt: [how much",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    for words in ["unreadable", "QK-FFR", "NT-13", "17 L", "[when?]", "[what was done"] {
        assert!(!page.contains(words), "{words}: {page}");
    }
    // The stop on the sheet says when it was, and so by when somebody is told.
    let answer = folder.run(&[&args[..], &["--json"]].concat()).json();
    let until = answer["duties"].as_array().unwrap().iter().filter_map(|it| it["until"].as_str());
    assert!(until.count() > 0, "{answer}");
    assert!(answer["records_beside"].as_u64().unwrap() >= 1);
    for record in answer["records"].as_array().unwrap() {
        assert!(!text(record, "says").is_empty() && text(record, "hash").len() == 64, "{record}");
        assert!(record["event"].is_object(), "{record}");
    }
    // Nobody stops a sheet for a propeller strike: when it was stays open.
    let other = ["report", "propeller-strike", &file("ready"), "--ledger", "y.ledger"];
    assert!(folder.run(&other).ends(0).out.contains("day and time: [when?]"));
}

#[test]
fn the_spill_paper_is_filled_from_the_ledger_and_has_lines_where_it_is_silent() {
    let folder = spilt();
    let print = |ledger: &str| {
        let args = ["print", "spill", &file("ready"), "--ledger", ledger, "-o", "s.pdf"];
        folder.run(&args).ends(0);
        pages(&folder.read("s.pdf")).join(" ")
    };
    let filled = print("y.ledger");
    for words in [
        "Stop called",
        "40 L out of NT-09 at Nessow Top into QK-CSX left for F-12: avgas 100LL, batch VF-26-031",
        "Read on the run sheet",
        "What was done, by the records",
        "3 L on the ground",
        "What leaked, and why as far as known",
    ] {
        assert!(filled.contains(words), "{words}: {filled}");
    }
    for words in ["Date and time it was seen", "What was being done", "17 L", "QK-FFR"] {
        assert!(!filled.contains(words), "{words}: {filled}");
    }
    let bare = print("demo");
    for words in ["Date and time it was seen", "What was being done", "What is done, in this order"]
    {
        assert!(bare.contains(words), "{words}: {bare}");
    }
}

#[test]
fn a_correction_stands_on_the_record_in_words() {
    let folder = Folder::with_demo();
    let sheet = file("ready");
    let walk = ["sheet", &sheet, "--walk", "--progress", "run.jsonl", "--by", "Odrin Kestow"];
    folder.run_with(&walk, "\n\n\nq\n");
    folder.run_with(&walk, "undo misread\nq\n");
    let text = String::from_utf8(folder.read("run.jsonl")).unwrap();
    assert!(text.contains("corrected"), "{text}");
    let print = ["print", "record", &sheet, "--progress", "run.jsonl", "-o", "r.pdf"];
    folder.run(&print).ends(0);
    let words = pages(&folder.read("r.pdf")).join(" ");
    assert!(words.contains("was wrong (misread): it did not happen"), "{words}");
    assert!(!words.contains(['{', '"']), "{words}");
}
