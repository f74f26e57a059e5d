//! The verbs of `people`, and that they hold at once.

use crate::program::{Folder, PHRASE, PILOT, Server};

#[test]
fn without_people_the_network_stays_closed() {
    let folder = Folder::new();
    let answer = folder.run(&["serve", "--lan", "--port", "0"], "").ends(2);
    assert!(answer.err.contains("people add"), "{}", answer.err);
}

#[test]
fn a_change_on_the_laptop_holds_with_the_next_request() {
    let folder = Folder::with_pilot();
    folder.add("Ansa Verrel", "pilot");
    let server = Server::lan(&folder);
    let inside = server.come_in("Ansa Verrel");
    inside.post(&server, "/nowhere", "").is(404);
    folder.run(&["people", "role", "ansa verrel", "viewer"], "").ends(0);
    inside.post(&server, "/nowhere", "").is(403);
    folder.run(&["people", "passphrase", "Ansa Verrel"], "another quite long phrase\n").ends(0);
    server.get("/", &[inside.header()]).is(303);
    server.try_phrase("Ansa Verrel", PHRASE).is(403);
    let inside = crate::client::Inside::of(
        &server.try_phrase("Ansa Verrel", "another quite long phrase").is(303),
    );
    let code = folder.code("Ansa Verrel");
    folder.run(&["people", "remove", "Ansa Verrel"], "").ends(0);
    server.get("/", &[inside.header()]).is(303);
    server.try_code(&code).is(403);
    server.come_in(PILOT);
}

/// `script` makes a terminal; it is in Debian's essential `bsdutils`.
#[cfg(target_os = "linux")]
#[test]
fn a_passphrase_that_is_typed_at_a_terminal_is_not_shown() {
    use std::{
        io::{Read as _, Write as _},
        process::{Command, Stdio},
    };
    let folder = Folder::new();
    let ledger = folder.path("yard.ledger");
    let line = format!(
        "{} people add Heron --role pilot --passphrase --ledger {}",
        env!("CARGO_BIN_EXE_stillprop"),
        ledger.display()
    );
    let mut script = Command::new("script");
    script.args(["-qefc", &line, "/dev/null"]).stdin(Stdio::piped()).stdout(Stdio::piped());
    let mut child = script.spawn().unwrap();
    let mut out = child.stdout.take().unwrap();
    let mut said = Vec::new();
    let mut bytes = [0; 256];
    // Typed when it is asked for: before that, the terminal still shows everything.
    while !String::from_utf8_lossy(&said).contains("passphrase (") {
        let count = out.read(&mut bytes).unwrap();
        assert!(count > 0, "{}", String::from_utf8_lossy(&said));
        said.extend_from_slice(&bytes[..count]);
    }
    std::thread::sleep(std::time::Duration::from_millis(300));
    let mut input = child.stdin.take().unwrap();
    input.write_all(format!("{PHRASE}\n").as_bytes()).unwrap();
    input.flush().unwrap();
    out.read_to_end(&mut said).unwrap();
    drop(input);
    let said = String::from_utf8_lossy(&said).into_owned();
    assert!(child.wait().unwrap().success(), "{said}");
    assert!(said.contains("not shown as it is typed") && said.contains("may come in"), "{said}");
    assert!(!said.contains(PHRASE), "{said}");
    let server = Server::lan(&folder);
    server.try_phrase("Heron", PHRASE).is(303);
}

#[test]
fn what_is_no_name_or_no_passphrase_is_refused_with_a_way_out() {
    let folder = Folder::with_pilot();
    let add = |name: &str, phrase: &str| {
        let args = ["people", "add", name, "--role", "viewer", "--passphrase"];
        folder.run(&args, &format!("{phrase}\n"))
    };
    for (name, phrase, why) in [
        ("ODRIN KESTOW", PHRASE, "already"),
        ("", PHRASE, "empty"),
        ("a\u{202e}b", PHRASE, "cannot be seen"),
        ("Ansa Verrel", "too short", "fewer than 15"),
        ("Ansa Verrel", "", "fewer than 15"),
        ("Ansa Verrel", "aaaaaaaaaaaaaaaaaaaa", "guessed"),
    ] {
        let answer = add(name, phrase).ends(2);
        assert!(answer.err.contains(why) && answer.err.contains("help"), "{}", answer.err);
    }
    let list = folder.run(&["people", "list", "--json"], "").ends(0).out;
    let list: serde_json::Value = serde_json::from_str(&list).unwrap();
    assert_eq!(list["people"].as_array().unwrap().len(), 1, "{list}");
    assert!(list["caution"].is_string());
    for verb in ["code", "remove", "passphrase"] {
        folder.run(&["people", verb, "Ansa Verrel"], "").ends(2);
    }
    folder.run(&["people", "certificate"], "").ends(2);
}

#[test]
fn the_certificate_that_is_printed_is_the_one_that_is_shown() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let printed = folder.run(&["people", "certificate", "--json"], "").ends(0).out;
    let printed: serde_json::Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(printed["sha256"].as_str(), server.fingerprint.as_deref());
    // Close to its end it is made anew with the next start.
    server.kill();
    folder.sql("UPDATE certificate SET ends_ms = ends_ms - 360 * 86400000");
    let renewed = Server::lan(&folder);
    assert_ne!(renewed.fingerprint.as_deref(), printed["sha256"].as_str());
    renewed.get("/enter", &[]).is(200);
}
