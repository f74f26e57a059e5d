//! Pictures are whole files that a viewer can read, and a tag leads back to its drum.

use roxmltree::Document;

use super::Yard;
use crate::program::{Folder, text};

const AT: &str = "2026-12-03T13:00:00+05:30";

/// Runs a verb on the yard of the demonstration.
fn demo(folder: &Folder, args: &[&str]) {
    folder.run(&[&["yard"], args, &["--ledger", "demo", "--at", AT]].concat()).ends(0);
}

/// The words of a picture: all text that stands in it.
fn words(folder: &Folder, file: &str) -> String {
    let picture = String::from_utf8(folder.read(file)).unwrap();
    let tree = Document::parse(&picture).unwrap_or_else(|why| panic!("{file}: {why}"));
    let root = tree.root_element();
    assert_eq!(root.tag_name().name(), "svg", "{file}");
    assert!(root.attribute("viewBox").is_some(), "{file}");
    tree.descendants().filter_map(|node| node.text()).collect::<Vec<_>>().join("\n")
}

#[test]
fn the_rack_names_every_drum_of_its_place_and_no_other() {
    let folder = Folder::new();
    demo(&folder, &["picture", "rack", "Nessow Top", "--out", "rack.svg"]);
    demo(&folder, &["picture", "rack", "Nessow Top", "--out", "phone.svg", "--width", "390"]);
    for file in ["rack.svg", "phone.svg"] {
        let said = words(&folder, file);
        for number in 1..=24 {
            assert!(said.contains(&format!("NT-{number:02}")), "{file}: NT-{number:02}");
        }
        assert!(!said.contains("TB-01"), "{file}");
    }
    assert_ne!(folder.read("rack.svg"), folder.read("phone.svg"));
}

#[test]
fn the_tag_says_what_came_in_and_its_code_finds_the_drum_again() {
    let yard = Yard::new();
    let at = "2025-06-20T06:00:00";
    yard.receive(at, "NT-01", "Nessow Top");
    yard.receive(at, "NT-02", "Nessow Top");
    yard.tell(at, &["draw", "NT-02", "--volume", "60 L", "--waste"]);
    yard.run(at, &["picture", "tag", "NT-02", "--out", "tag.svg"]).ends(0);
    let said = words(&yard.0, "tag.svg");
    for word in ["NT-02", "VF-1", "2025-01-14", "Filled with: 200 L", "Vessary Fuels"] {
        assert!(said.contains(word), "{word}: {said}");
    }
    let at_code = said.find("stillprop:drum:").unwrap();
    let code: String = said[at_code..].chars().take("stillprop:drum:".len() + 36).collect();
    let found = yard.show(at, &code);
    assert_eq!(text(&found, "label"), "NT-02");
    // One letter of it misread finds nothing, rather than another drum.
    let misread = code.replace("drum:0", "drum:f");
    assert_ne!(code, misread);
    yard.run(at, &["show", &misread]).ends(2);
}

#[test]
fn labels_of_a_place_fill_as_many_sheets_as_they_need() {
    let folder = Folder::new();
    let args = ["yard", "picture", "labels", "Nessow Top", "--out", "labels.svg", "--json"];
    let answer = folder.run(&[&args[..], &["--ledger", "demo", "--at", AT]].concat()).ends(0);
    let answer = answer.json();
    let sheets: Vec<&str> =
        answer["drawn"].as_array().unwrap().iter().map(|name| name.as_str().unwrap()).collect();
    assert!(sheets.len() > 1, "{sheets:?}");
    let all: String = sheets.iter().map(|sheet| words(&folder, sheet)).collect();
    for number in 1..=24 {
        assert!(all.contains(&format!("NT-{number:02}")), "NT-{number:02}");
    }
}

#[test]
fn the_trace_of_a_batch_names_its_drums_and_flights() {
    let folder = Folder::new();
    demo(&folder, &["trace", "--batch", "OC-1180", "--svg", "trace.svg"]);
    let said = words(&folder, "trace.svg");
    for word in ["OC-1180", "TB-01", "NT-23"] {
        assert!(said.contains(word), "{word}: {said}");
    }
}

#[test]
fn a_name_with_signs_of_xml_spoils_no_picture() {
    let yard = Yard::new();
    let at = "2025-06-20T06:00:00";
    yard.receive_of(at, "<N&1>\"'", "Top & <Bend>", "B<1>&amp;", "2025-01-14");
    yard.run(at, &["picture", "rack", "Top & <Bend>", "--out", "rack.svg"]).ends(0);
    yard.run(at, &["picture", "tag", "<N&1>\"'", "--out", "tag.svg"]).ends(0);
    yard.run(at, &["trace", "--batch", "B<1>&amp;", "--svg", "trace.svg"]).ends(0);
    for file in ["rack.svg", "tag.svg", "trace.svg"] {
        assert!(words(&yard.0, file).contains("<N&1>\"'"), "{file}");
    }
}

#[test]
fn a_picture_that_cannot_be_written_says_so() {
    let yard = Yard::new();
    let at = "2025-06-20T06:00:00";
    yard.receive(at, "NT-01", "Nessow Top");
    let said = yard.run(at, &["picture", "tag", "NT-01", "--out", "nowhere/tag.svg"]).ends(2);
    assert!(said.err.contains("nowhere/tag.svg: "), "{}", said.err);
}
