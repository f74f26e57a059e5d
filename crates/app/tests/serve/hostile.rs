//! Hostile text in every text field of every document comes out escaped on every page.

use std::fs;

use super::server::{Server, folder};

/// Breaks out of text, of an attribute, of a picture and of a comment, where nothing is escaped.
const EVIL: &str = "x\"'><script>boo()</script><svg onload=boo()><!--]]>&amp;{{7*7}}";

/// The strings of a document that are free text: their line, and the text with one replaced.
fn variants(text: &str) -> Vec<(String, String)> {
    // A TOML string of its own kind, with nothing of it read as an escape.
    let evil = EVIL.replace('\\', "\\\\").replace('"', "\\\"");
    let mut found = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let free = line.split('#').next().unwrap_or_default();
        let mut from = 0;
        while let Some(start) = free[from..].find('"').map(|start| from + start) {
            let Some(end) = free[start + 1..].find('"').map(|end| start + 1 + end) else { break };
            let mut changed = text.to_owned();
            changed.replace_range(at + start + 1..at + end, &evil);
            found.push((line.trim().to_owned(), changed));
            from = end + 1;
        }
        at += line.len();
    }
    found
}

#[track_caller]
fn escaped(what: &str, body: &str) {
    let lower = body.to_lowercase();
    for part in ["<script>", "onload=boo()>", "<!--", "'><"] {
        assert!(!lower.contains(part), "{what}: {part}");
    }
}

#[test]
fn hostile_text_in_every_field_of_every_document_is_escaped() {
    let folder = folder();
    let server = Server::demo_in(&folder);
    let mut shown = 0;
    let mut tried = 0;
    for (name, stops) in [
        ("turnarounds/ready", &["turnarounds/ready"][..]),
        ("turnarounds/hand-start", &["turnarounds/hand-start"]),
        ("turnarounds/spill", &["turnarounds/spill"]),
        ("aircraft/comfrey-six", &["turnarounds/ready"]),
        ("strips/nessow-top", &["turnarounds/ready"]),
        ("strips/oumbrel", &["turnarounds/spill"]),
    ] {
        let path = folder.join(format!("{name}.toml"));
        let before = fs::read_to_string(&path).unwrap();
        for (line, text) in variants(&before) {
            fs::write(&path, &text).unwrap();
            tried += 1;
            for stop in stops {
                for page in ["/stop/", "/sheet/", "/document/"] {
                    let body = server.get(&format!("{page}{stop}")).body;
                    escaped(&format!("{name}: {line}"), &body);
                    shown += usize::from(page == "/stop/" && body.contains("boo()"));
                }
            }
        }
        let body = server.get("/").body;
        escaped(name, &body);
        fs::write(&path, before).unwrap();
    }
    // Most come out somewhere, as a name or in an error; else this would show nothing.
    assert!(tried > 300 && shown > tried / 2, "{shown} of {tried}");
    drop(server);
    fs::remove_dir_all(folder).unwrap();
}

#[test]
fn hostile_text_in_a_name_a_field_and_a_reading_is_escaped() {
    let server = Server::demo();
    let reply = server.post("/name", &[("by", EVIL), ("back", "/")]).is(303);
    let cookie = reply.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
    let get = |path: &str| {
        let text = super::http::request("GET", &server.address, path, &[("Cookie", &cookie)]);
        super::http::raw(&server.address, text.as_bytes()).body
    };
    escaped("name", &get("/"));
    for field in [
        "people.0.name",
        "people.new.name",
        "items.0.what",
        "weather.temperature",
        "departs",
        "take_off",
        "x",
    ] {
        let query = super::http::form(&[(field, EVIL)]);
        escaped(field, &get(&format!("/stop/turnarounds/ready?{query}")));
        escaped(field, &get(&format!("/part/stop/turnarounds/ready?{query}")));
        escaped(field, &get(&format!("/stop/turnarounds/ready?why=load.ramp-mass&{query}")));
    }
    let evil = super::http::encoded(EVIL);
    for path in [
        format!("/stop/{evil}"),
        format!("/drum/{evil}"),
        format!("/yard?pack={evil}"),
        format!("/yard/batch?name={evil}"),
        format!("/stop/turnarounds/ready?why={evil}"),
        format!("/sheet/turnarounds/ready?as={evil}&said={evil}"),
        format!("/packs?pack={evil}"),
        format!("/yard/record/draw?drum={evil}"),
        format!("/{evil}"),
    ] {
        escaped(&path, &get(&path));
    }
    let page = server.get("/sheet/turnarounds/ready").body;
    let token =
        page.split("name=\"token\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let send = |fields: &[(&str, &str)]| {
        let origin = format!("http://{}", server.address);
        server.post_as(
            "/sheet/turnarounds/ready",
            fields,
            &[("Cookie", &cookie), ("Origin", &origin)],
        )
    };
    send(&[("do", "begin"), ("token", &token)]).is(303);
    let reply = send(&[("do", "done"), ("task", "chocks"), ("r", EVIL), ("token", "")]);
    escaped("reading", &reply.body);
    escaped("sheet", &get("/sheet/turnarounds/ready"));
    escaped("record", &get("/stop/turnarounds/ready"));
    escaped("first", &get("/"));
}
