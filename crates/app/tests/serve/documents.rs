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

/// Sends a file as a browser does.
fn upload(
    server: &Server,
    file: &str,
    bytes: &[u8],
    fields: &[(&str, &str)],
) -> super::http::Reply {
    const LINE: &str = "----one-part-and-the-next";
    let token = server.get("/documents").token();
    let mut body = Vec::new();
    for (name, value) in [&[("form-token", token.as_str())], fields].concat() {
        let part = format!(
            "--{LINE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n"
        );
        body.extend_from_slice(part.as_bytes());
    }
    let head = format!(
        "--{LINE}\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{file}\"\r\n\
         Content-Type: application/toml\r\n\r\n"
    );
    body.extend_from_slice(head.as_bytes());
    body.extend_from_slice(bytes);
    body.extend_from_slice(format!("\r\n--{LINE}--\r\n").as_bytes());
    let (origin, length) = (format!("http://{}", server.address), body.len().to_string());
    let kind = format!("multipart/form-data; boundary={LINE}");
    let headers =
        [("Origin", origin.as_str()), ("Content-Type", &kind), ("Content-Length", &length)];
    let head = super::http::request("POST", &server.address, "/documents/file", &headers);
    super::http::raw(&server.address, &[head.as_bytes(), &body].concat())
}

#[test]
fn a_file_comes_in_by_its_own_name_and_never_over_another_without_a_word() {
    let server = Server::demo();
    let text = server.text("strips/oumbrel");
    let reply = upload(&server, "C:\\maps\\oumbrel.toml", text.as_bytes(), &[]).is(303);
    assert_eq!(reply.header("location"), Some("/document/oumbrel"));
    assert_eq!(server.text("oumbrel"), text);
    let other = text.replacen("elevation", "# seen again\nelevation", 1);
    let there = |how: &str| {
        upload(&server, "x.toml", other.as_bytes(), &[("name", "strips/oumbrel"), ("there", how)])
    };
    let said = there("").is(422).body;
    assert!(said.contains("There is a document strips/oumbrel already"), "{said}");
    assert!(said.contains("Take its place") && said.contains("# seen again"), "{said}");
    assert_eq!(server.text("strips/oumbrel"), text);
    let beside = there("beside").is(303);
    assert_eq!(beside.header("location"), Some("/document/strips/oumbrel-2"));
    assert_eq!(server.text("strips/oumbrel"), text);
    there("over").is(303);
    assert_eq!(server.text("strips/oumbrel"), other);
    let kept = |name: &str| fs::read_to_string(server.folder.join(name)).unwrap();
    assert_eq!(kept("strips/oumbrel.toml.before"), text);
    // Nor is what was kept written over.
    let back = [("name", "strips/oumbrel"), ("there", "over"), ("text", text.as_str())];
    server.post("/documents", &back).is(303);
    assert_eq!(kept("strips/oumbrel.toml.before"), text);
    assert_eq!(kept("strips/oumbrel.toml.before-2"), other);
}

#[test]
fn a_file_that_does_not_read_comes_back_with_what_is_wrong_beside_its_line() {
    let server = Server::demo();
    let text = server.text("aircraft/comfrey-six").replacen(" kg\"", " stone\"", 1);
    let line = text.lines().position(|line| line.contains(" stone\"")).unwrap() + 1;
    let said = upload(&server, "new.toml", text.as_bytes(), &[]).is(422).body;
    assert!(said.contains(&format!("new.toml, line {line}")), "{said}");
    assert!(said.contains(&format!("<b class=\"number\">{line}</b>")), "{said}");
    assert!(said.contains("Way out: ") && said.contains("<textarea"), "{said}");
    assert!(!server.folder.join("new.toml").exists());
    for (file, bytes, words) in [
        ("bad.toml", &b"kind = \"strip\"\n\xff\xfe\n"[..], "line 2 is not UTF-8 text"),
        ("empty.toml", b"", "no file was chosen"),
        ("..", text.as_bytes(), "no document"),
        ("a/../../b", b"format = 1", "does not say which kind"),
    ] {
        let reply = upload(&server, file, bytes, &[]);
        assert!(matches!(reply.status, 404 | 422), "{file}: {}", reply.status);
        assert!(reply.body.contains(words), "{file}: {}", reply.body);
    }
    // More than a document may have is not read to its end.
    let large = vec![b'#'; 4 << 20];
    assert!(matches!(upload(&server, "large.toml", &large, &[]).status, 0 | 413));
    server.get("/documents").is(200);
}

#[test]
fn what_is_wrong_in_an_aircraft_a_strip_and_a_pack_stands_beside_its_line_on_their_page() {
    let server = Server::demo();
    let pack = include_str!("../../../../packs/demo-operator/pack.toml");
    server.post("/documents", &[("name", "my-pack"), ("text", pack)]).is(303);
    for name in ["aircraft/comfrey-six", "strips/oumbrel", "my-pack"] {
        let before = server.text(name);
        let text = format!("{before}\nnonsense-here = 1\n");
        let line = text.lines().count();
        let fields = [("text", text.as_str()), ("before", before.as_str()), ("do", "save")];
        let said = server.post(&format!("/document/{name}"), &fields).is(422).body;
        assert!(said.contains(&format!("<b class=\"number\">{line}</b>")), "{name}: {said}");
        assert!(said.contains("<code>nonsense-here = 1</code>"), "{name}: {said}");
        assert_eq!(server.text(name), before);
        assert!(server.get(&format!("/export/{name}")).is(200).body == before, "{name}");
    }
}
