//! What keeps a ledger: verify, export, import, backup, restore, lists of drums.

use std::collections::BTreeSet;

use serde_json::Value;

use super::{BY, LEDGER, PACK, Yard, rows};
use crate::program::{Answer, text};

const MORNING: &str = "2025-06-20T05:00:00";
const NOON: &str = "2025-06-20T12:00:00";

impl Yard {
    /// Runs a verb on another ledger in the same folder.
    fn on(&self, ledger: &str, args: &[&str]) -> Answer {
        let common = ["--ledger", ledger, "--by", BY, "--pack", PACK, "--at"];
        self.0.run(&[&["yard"], args, &common, &["2025-06-20T12:00:00+05:30"]].concat())
    }
}

/// Two drums, one of them drawn from.
fn two_drums() -> Yard {
    let yard = Yard::new();
    yard.receive(MORNING, "NT-01", "Nessow Top");
    yard.receive(MORNING, "NT-02", "Nessow Top");
    yard.prepare("2025-06-20", "NT-01");
    yard.tell(NOON, &["draw", "NT-01", "--volume", "20 L", "--waste"]);
    yard
}

/// The devices that wrote an export, and its records.
fn exported(yard: &Yard, file: &str) -> (BTreeSet<String>, usize) {
    let text = String::from_utf8(yard.0.read(file)).unwrap();
    let lines = text.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    let devices: Vec<String> =
        lines.filter_map(|line| Some(line["device"].as_str()?.to_owned())).collect();
    (devices.iter().cloned().collect(), devices.len())
}

#[test]
fn a_whole_ledger_is_sound() {
    let yard = two_drums();
    let report = yard.json(NOON, &["verify"], 0);
    assert_eq!(report["sound"], true);
    assert_eq!(report["records"], 6);
    assert_eq!(report["devices"], 1);
    assert!(yard.run(NOON, &["verify"]).ends(0).out.contains("every chain is whole"));
}

#[test]
fn one_flipped_bit_in_a_record_is_named() {
    let yard = two_drums();
    let whole = yard.0.read(LEDGER);
    // As it stands in a body and nowhere else.
    let body = b"\"label\":\"NT-02\"";
    let at = whole.windows(body.len()).position(|part| part == body).unwrap();
    let mut damaged = whole.clone();
    damaged[at + body.len() - 2] ^= 1;
    yard.0.write("damaged.ledger", &damaged);
    let said = yard.on("damaged.ledger", &["verify"]).ends(1).out;
    assert!(said.contains("DAMAGED: ") && said.contains("restore a backup"), "{said}");
    let report = yard.on("damaged.ledger", &["verify", "--json"]).ends(1).json();
    assert_eq!(report["sound"], false);
    assert_eq!(rows(&report, "bad").len(), 1, "{report}");
    // What is damaged is not copied as if it were whole.
    yard.on("damaged.ledger", &["backup", "copy.ledger"]).ends(2);
    assert!(!yard.0.path("copy.ledger").exists());
}

#[test]
fn a_flipped_bit_anywhere_is_named_or_changes_nothing() {
    let yard = two_drums();
    let whole = yard.0.read(LEDGER);
    let list = yard.on(LEDGER, &["list", "--json"]).ends(0).out;
    let (mut named, step) = (0, whole.len() / 60);
    for at in (0..whole.len()).step_by(step) {
        let mut damaged = whole.clone();
        damaged[at] ^= 0x10;
        yard.0.write("damaged.ledger", &damaged);
        let said = yard.on("damaged.ledger", &["verify"]);
        if said.code == 0 {
            let seen = yard.on("damaged.ledger", &["list", "--json"]).ends(0).out;
            assert_eq!(seen, list, "byte {at}");
        } else {
            let words = format!("{}{}", said.out, said.err).to_lowercase();
            let plain = ["damaged", "no ledger of this program", "newer version"];
            assert!(plain.iter().any(|plain| words.contains(plain)), "byte {at}: {words}");
            named += 1;
        }
    }
    assert!(named > 0, "no flip met anything that matters");
}

#[test]
fn what_is_exported_can_be_brought_in_any_number_of_times() {
    let yard = two_drums();
    let said = yard.on(LEDGER, &["export", "all.jsonl"]).ends(0).out;
    assert!(said.starts_with("wrote 6 records"), "{said}");
    let new = yard.on("other.ledger", &["import", "all.jsonl"]).ends(0).out;
    assert!(new.starts_with("6 new records, 0 known already"), "{new}");
    let again = yard.on("other.ledger", &["import", "all.jsonl"]).ends(0).out;
    assert!(again.starts_with("0 new records, 6 known already"), "{again}");
    yard.on("other.ledger", &["export", "again.jsonl"]).ends(0);
    assert_eq!(yard.0.read("all.jsonl"), yard.0.read("again.jsonl"));
    for verb in [&["list", "--json"][..], &["show", "NT-01", "--json"]] {
        let (here, there) = (yard.on(LEDGER, verb), yard.on("other.ledger", verb));
        assert_eq!(here.ends(0).out, there.ends(0).out, "{verb:?}");
    }
    yard.on("other.ledger", &["verify"]).ends(0);
}

#[test]
fn two_devices_bring_their_records_together_in_one_yard() {
    let yard = two_drums();
    yard.on(LEDGER, &["export", "one.jsonl"]).ends(0);
    yard.on("other.ledger", &["import", "one.jsonl"]).ends(0);
    for (ledger, litres) in [(LEDGER, "100 L"), ("other.ledger", "90 L")] {
        yard.on(ledger, &["draw", "NT-01", "--volume", litres, "--waste"]).ends(0);
    }
    yard.on("other.ledger", &["export", "two.jsonl"]).ends(0);
    let said = yard.on(LEDGER, &["import", "two.jsonl"]).ends(0).out;
    assert!(said.starts_with("1 new records, 6 known already"), "{said}");
    // Each device saw enough in it. Together they drew more than it held: found, not refused.
    let shown = yard.show(NOON, "NT-01");
    let found = shown["findings"].to_string();
    assert!(found.contains("10 L more was drawn than it held"), "{found}");
    assert!(found.contains("2 device(s)"), "{found}");
    assert_eq!(yard.json(NOON, &["verify"], 0)["devices"], 2);
}

#[test]
fn a_file_that_was_cut_off_or_changed_is_refused_with_the_line() {
    let yard = two_drums();
    yard.on(LEDGER, &["export", "all.jsonl"]).ends(0);
    let all = String::from_utf8(yard.0.read("all.jsonl")).unwrap();
    let lines: Vec<&str> = all.lines().collect();
    let cut = lines[..lines.len() - 1].join("\n");
    let changed = all.replacen("200000", "300000", 1);
    for (name, text, words) in [
        ("cut.jsonl", cut.as_str(), "line 8"),
        ("changed.jsonl", &changed, "line 2"),
        ("no-export.jsonl", "{\"a\": 1}\n", "line 1"),
        ("empty.jsonl", "", "line 1"),
    ] {
        yard.0.write(name, text.as_bytes());
        let said = yard.on("other.ledger", &["import", name]).ends(2);
        assert!(said.err.contains(words), "{name}: {}", said.err);
    }
    yard.on("other.ledger", &["import", "nowhere.jsonl"]).ends(2);
    yard.on("other.ledger", &["verify"]).ends(0);
}

#[test]
fn nothing_that_is_written_takes_the_place_of_a_file() {
    let yard = two_drums();
    let before = yard.0.read(LEDGER);
    for args in [["export", LEDGER].as_slice(), &["backup", LEDGER], &["restore", LEDGER, LEDGER]] {
        yard.on(LEDGER, args).ends(2);
    }
    assert_eq!(yard.0.read(LEDGER), before);
}

#[test]
fn a_backup_is_restored_under_another_name_with_everything_in_it() {
    let yard = two_drums();
    let said = yard.on(LEDGER, &["backup", "copy.ledger"]).ends(0).out;
    assert!(said.starts_with("copied 6 records"), "{said}");
    yard.on(LEDGER, &["empty", "NT-02"]).ends(0);
    let said = yard.on(LEDGER, &["restore", "copy.ledger", "again.ledger"]).ends(0).out;
    assert!(said.starts_with("restored 6 records"), "{said}");
    let shown = yard.on("again.ledger", &["show", "NT-02", "--json"]).ends(0).json();
    assert_eq!(shown["left"]["value"], 200.0);
    let value = yard.on(LEDGER, &["backup", "second.ledger", "--json"]).ends(0).json();
    assert!(text(&value, "done").starts_with("copied 7 records"));
}

/// What the old device recorded since the backup may be known elsewhere.
#[test]
fn after_a_restore_under_the_same_name_the_device_is_a_new_one() {
    let yard = two_drums();
    yard.on(LEDGER, &["backup", "copy.ledger"]).ends(0);
    yard.on(LEDGER, &["empty", "NT-02"]).ends(0);
    yard.on(LEDGER, &["export", "known-elsewhere.jsonl"]).ends(0);
    std::fs::rename(yard.0.path(LEDGER), yard.0.path("damaged.ledger")).unwrap();
    yard.on("copy.ledger", &["restore", "copy.ledger", LEDGER]).ends(0);
    yard.on(LEDGER, &["count", "NT-02", "--volume", "199 L"]).ends(0);
    yard.on(LEDGER, &["export", "after.jsonl"]).ends(0);
    let (devices, records) = exported(&yard, "after.jsonl");
    assert_eq!((devices.len(), records), (2, 7));
    let said = yard.on(LEDGER, &["import", "known-elsewhere.jsonl"]).ends(0).out;
    assert!(said.starts_with("1 new records, 6 known already\n"), "{said}");
}

const HEAD: &str = "label,place,grade,batch,supplier,filled,contents";

fn row(label: &str) -> String {
    format!("{label},Nessow Top,avgas 100LL,VF-1,Vessary Fuels (invented),2025-01-14,200 L")
}

#[test]
fn a_list_of_drums_is_received_as_it_stands() {
    let yard = Yard::new();
    // As spreadsheets write it: a mark at the start, other line ends, quotes, another order.
    let list = "\u{feff}place,label,seals,contents,capacity,grade,batch,supplier,filled\r\n\
        Nessow Top, NT-01 ,71204 71205,200 L,218.3 L,avgas 100LL,VF-1,\"Vessary, Fuels\",2025-01-14\r\n\
        Nessow Top,NT-02,,53 USgal,,avgas 100LL,VF-1,Vessary,2025-01-14\r\n";
    yard.0.write("drums.csv", list.as_bytes());
    let said = yard.on(LEDGER, &["import", "drums.csv"]).ends(0).out;
    assert!(said.starts_with("received 2 drums"), "{said}");
    let event = yard.show(NOON, "NT-01")["history"][0]["event"]["received"].clone();
    assert_eq!(event["seals"].to_string(), "[\"71204\",\"71205\"]");
    assert_eq!(event["capacity_ml"], 218_300);
    assert_eq!(text(&event, "supplier"), "Vessary, Fuels");
    // 53 US gallons of 3.785411784 L are 200.626824552 L.
    assert_eq!(yard.show(NOON, "NT-02")["left"]["value"], 200.627);
}

#[test]
fn a_bad_list_of_drums_names_the_line_and_none_is_received() {
    let yard = Yard::new();
    yard.receive(MORNING, "NT-09", "Nessow Top");
    let good = row("NT-01");
    let bad =
        |from: &str, to: &str| format!("{HEAD}\n{good}\n\n{}\n", row("NT-02").replace(from, to));
    for (text, line, words) in [
        (format!("{HEAD},colour\n{good},blue\n"), 1, "`colour` is not a column"),
        (format!("{HEAD},label\n{good},NT-02\n"), 1, "the column `label` is there twice"),
        (HEAD.replace(",batch", "") + "\n", 1, "the column `batch` is missing"),
        (String::new(), 1, "is missing"),
        (bad("200 L", "200"), 4, "contents: "),
        (bad("200 L", "-1 L"), 4, "contents: "),
        (bad("200 L", "200 kg"), 4, "contents: "),
        (bad("200 L", "300 L"), 4, "more is in it than it holds"),
        (bad("2025-01-14", "14/01/2025"), 4, "`14/01/2025` is not a day"),
        (bad("2025-01-14", "2025-02-30"), 4, "`2025-02-30` is not a day"),
        (bad("2025-01-14", "2025-12-24"), 4, "yet to come"),
        (bad("NT-02", ""), 4, "label: it is empty"),
        (bad("NT-02", "nt-01"), 4, "`nt-01` is at Nessow Top already"),
        (bad("NT-02", "NT-09"), 4, "`NT-09` is at Nessow Top already"),
        (format!("{HEAD}\n{good}\nNT-02,Nessow Top\n"), 3, "fields"),
    ] {
        yard.0.write("drums.csv", text.as_bytes());
        let said = yard.on(LEDGER, &["import", "drums.csv"]).ends(2);
        let at = format!("drums.csv: line {line}: ");
        assert!(said.err.contains(&at) && said.err.contains(words), "{text}\n{}", said.err);
        assert_eq!(yard.json(NOON, &["verify"], 0)["records"], 1, "{text}");
    }
}
