//! Documents as text: what is wrong stands beside its line, and nobody's work is written over.

use std::fs;

use super::server::Server;

const DOCUMENT: &str = "/document/strips/oumbrel";

#[test]
fn a_document_is_checked_saved_and_kept_as_it_was_beside() {
    let server = Server::demo();
    let before = server.text("strips/oumbrel");
    let text = before.replace("elevation = ", "elevation  = ");
    assert_ne!(text, before);
    let page =
        server.post(DOCUMENT, &[("text", &text), ("before", &before), ("do", "check")]).is(200);
    assert!(page.body.contains("Reads well") && page.body.contains("Not saved yet"));
    assert_eq!(server.text("strips/oumbrel"), before);
    // As a browser sends it.
    let (sent, was) = (text.replace('\n', "\r\n"), before.replace('\n', "\r\n"));
    server.post(DOCUMENT, &[("text", &sent), ("before", &was), ("do", "save")]).is(303);
    assert_eq!(server.text("strips/oumbrel"), text);
    let kept = fs::read_to_string(server.folder.join("strips/oumbrel.toml.before")).unwrap();
    assert_eq!(kept, before);
    // Somebody who opened it before that is told.
    let late =
        server.post(DOCUMENT, &[("text", &text), ("before", &before), ("do", "save")]).is(422);
    assert!(late.body.contains("somebody else has changed"));
    let reply =
        server.post(DOCUMENT, &[("text", &before), ("before", &text), ("do", "new")]).is(303);
    assert_eq!(reply.header("location"), Some("/document/strips/oumbrel-2"));
}

#[test]
fn what_is_wrong_is_said_with_its_line_and_not_saved() {
    let server = Server::demo();
    let before = server.text("strips/oumbrel");
    let text = before.replacen("elevation = \"", "elevation = \"x", 1);
    let page =
        server.post(DOCUMENT, &[("text", &text), ("before", &before), ("do", "save")]).is(422);
    assert!(page.body.contains("strips/oumbrel.toml, line "), "{}", page.body);
    assert!(!page.body.contains(&*server.folder.to_string_lossy()));
    assert_eq!(server.text("strips/oumbrel"), before);
}

#[test]
fn documents_come_in_and_go_out_as_they_are() {
    let server = Server::demo();
    let text = server.text("strips/oumbrel");
    let out = server.get("/export/strips/oumbrel").is(200);
    assert_eq!(out.body, text);
    assert!(out.header("content-disposition").unwrap().contains("oumbrel.toml"));
    let reply =
        server.post("/documents", &[("name", "strips/other.toml"), ("text", &text)]).is(303);
    assert_eq!(reply.header("location"), Some("/document/strips/other"));
    assert_eq!(server.text("strips/other"), text);
    for (name, text, words) in [
        ("strips/other", text.as_str(), "already"),
        ("../out", text.as_str(), "no document"),
        ("strips/third", "kind = \"strip\"", ""),
    ] {
        let reply = server.post("/documents", &[("name", name), ("text", text)]);
        assert!(matches!(reply.status, 404 | 422), "{name}: {}", reply.status);
        assert!(reply.body.contains(words), "{name}: {}", reply.body);
    }
    assert!(!server.folder.join("strips/third.toml").exists());
}

#[test]
fn no_document_reads_a_file_outside_its_folder() {
    let server = Server::demo();
    let outside = super::server::folder();
    fs::write(outside.join("secret.toml"), "secret = \"of the house\"\n").unwrap();
    let secret = outside.join("secret.toml").to_string_lossy().into_owned();
    let before = server.text("turnarounds/ready");
    for (key, value) in [
        ("aircraft = \"../aircraft/comfrey-six.toml\"", format!("aircraft = \"{secret}\"")),
        ("strip = \"../strips/nessow-top.toml\"", format!("strip = \"../../..{secret}\"")),
        ("pack = \"demo-operator+au\"", format!("pack = \"{secret}\"")),
        ("aircraft = \"../aircraft/comfrey-six.toml\"", "aircraft = \"../link.toml\"".to_owned()),
    ] {
        #[cfg(unix)]
        let _ = std::os::unix::fs::symlink(&secret, server.folder.join("link.toml"));
        let text = before.replacen(key, &value, 1);
        assert_ne!(text, before);
        let fields = [("text", text.as_str()), ("before", before.as_str()), ("do", "check")];
        let body = server.post("/document/turnarounds/ready", &fields).is(422).body;
        assert!(!body.contains("of the house"), "{value}: {body}");
    }
    fs::remove_dir_all(outside).unwrap();
}
