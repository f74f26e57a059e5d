//! Rule packs side by side, with those of the folder among them.

use std::fs;

use super::server::Server;

const PACKS: &str = "/packs?pack=au&pack=packs/mine.toml";

/// A pack of the folder: that of the demonstration under another name, with one figure changed.
fn with_own_pack() -> Server {
    let server = Server::demo();
    let built_in = concat!(env!("CARGO_MANIFEST_DIR"), "/../../packs/au/pack.toml");
    let text = fs::read_to_string(built_in).unwrap();
    let changed = text.replacen("value = \"30 min\"", "value = \"47 min\"", 1);
    assert_ne!(changed, text);
    fs::create_dir_all(server.folder.join("packs")).unwrap();
    fs::write(server.folder.join("packs/mine.toml"), changed).unwrap();
    server
}

#[test]
fn a_pack_of_the_folder_stands_beside_those_of_the_program_and_differences_come_first() {
    let server = with_own_pack();
    let all = server.get("/packs").is(200).body;
    for id in ["au", "nz", "us", "uk", "demo-operator", "packs/mine.toml"] {
        assert!(all.contains(&format!("name=\"pack\" value=\"{id}\" checked")), "{id}");
    }
    assert!(all.contains("href=\"/document/packs/mine\""));
    let body = server.get(PACKS).is(200).body;
    let differ = body.find("They differ: 1<").unwrap();
    let same = body.find("All say the same: ").unwrap();
    let changed = body.find("47 min").unwrap();
    assert!(differ < changed && changed < same);
    // Each with its source, its status, and how it was read.
    assert_eq!(body.matches("class=\"source\"").count(), body.matches(", read: ").count());
    assert!(body.matches(", read: ").count() > 40);
}

#[test]
fn figures_are_narrowed_by_agreement_and_by_name() {
    let server = with_own_pack();
    let few = server.get(&format!("{PACKS}&only=differ")).is(200).body;
    assert_eq!(few.matches("<article").count(), 1);
    let named = server.get("/packs?about=RESERVE").is(200).body;
    assert!(named.matches("<article").count() >= 1 && named.contains("reserve"));
    assert!(named.matches("<article").count() < 10);
    assert!(server.get("/packs?about=nothing").is(200).body.contains("No figure is like that"));
    let alone = server.get("/packs?pack=nz").is(200).body;
    assert!(!alone.contains("id=\"differ\"") && !alone.contains("id=\"some\""));
}

#[test]
fn a_pack_that_cannot_be_read_is_named_with_what_is_wrong() {
    let server = Server::demo();
    fs::create_dir_all(server.folder.join("packs")).unwrap();
    let text = "kind = \"pack\"\nid = 7\n";
    fs::write(server.folder.join("packs/mine.toml"), text).unwrap();
    let body = server.get("/packs").is(200).body;
    assert!(body.contains("cannot be read, so it is not shown"), "{body}");
    assert!(body.contains("packs/mine.toml, line "), "{body}");
    assert!(!body.contains(&*server.folder.to_string_lossy()));
}
