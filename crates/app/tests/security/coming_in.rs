//! Coming in and going out, over the network; and that nobody has to on this machine alone.

use std::{
    fs,
    io::Write as _,
    thread,
    time::{Duration, Instant},
};

use crate::{
    client::{Inside, to_end},
    program::{Folder, PHRASE, PILOT, Server},
};

#[test]
fn nobody_has_to_come_in_and_no_other_machine_can() {
    let folder = Folder::new();
    let server = Server::loopback(&folder);
    server.get("/", &[]).is(200);
    assert_eq!(server.get("/enter", &[]).is(303).header("location"), "/");
    assert_eq!(server.try_phrase("a", "b").is(303).header("location"), "/");
    // An address of this machine that is not loopback has nobody listening.
    let towards = std::net::UdpSocket::bind("0.0.0.0:0").unwrap();
    if towards.connect("192.0.2.1:9").is_ok() {
        let own = towards.local_addr().unwrap().ip();
        assert!(own.is_loopback() || std::net::TcpStream::connect((own, server.port)).is_err());
    }
}

#[test]
fn the_clear_is_answered_in_the_clear_and_rubbish_is_hung_up_on() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let ask = |bytes: &[u8]| {
        let mut wire = server.wire();
        wire.write_all(bytes).unwrap();
        String::from_utf8_lossy(&to_end(&mut wire).unwrap_or_default()).into_owned()
    };
    let host = format!("GET / HTTP/1.1\r\nHost: strange.example:{}\r\n\r\n", server.port);
    let answer = ask(host.as_bytes());
    assert!(answer.starts_with("HTTP/1.1 400 "), "{answer}");
    assert!(answer.contains("https://") && !answer.contains("strange.example"), "{answer}");
    assert!(!answer.to_lowercase().contains("location:"), "{answer}");
    // Looks like the beginning of an encrypted greeting and is none.
    let answer = ask(&[22, 3, 1, 0, 5, 0, 0, 0, 0, 0]);
    assert!(!answer.contains("HTTP"), "{answer}");
    server.come_in(PILOT);
}

#[test]
fn a_stranger_sees_nothing_and_is_shown_where_to_come_in() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let answer = server.get("/yard", &[]).is(303);
    assert_eq!(answer.header("location"), "/enter?to=/yard");
    assert_eq!(answer.body, "");
    server.get("/enter?to=/yard", &[]).is(200);
    server.get("/yard", &[("Sec-Fetch-Mode", "cors"), ("Sec-Fetch-Site", "same-origin")]).is(401);
    server.post("/yard/record/draw", &[], "x=1").is(401);
    server.post("/leave", &[], "").is(401);
    let answer = server.get("/api/yard", &[]).is(401);
    assert!(answer.body.contains("\"caution\""), "{}", answer.body);
    for cookie in ["", "x", "__Host-stillprop=", &format!("__Host-stillprop={}", "0".repeat(64))] {
        server.get("/", &[("Cookie", cookie)]).is(303);
    }
}

#[test]
fn the_passphrase_lets_in_and_every_wrong_claim_gets_the_same_answer() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let answer = server.post(
        "/enter",
        &[("Origin", &server.origin())],
        &format!("name=ODRIN++kestow&phrase={}&to=/yard", PHRASE.replace(' ', "+")),
    );
    assert_eq!(answer.clone().is(303).header("location"), "/yard");
    let set = answer.header("set-cookie");
    for part in ["__Host-stillprop=", "; Path=/", "; Secure", "; HttpOnly", "; SameSite=Strict"] {
        assert!(set.contains(part), "{set}");
    }
    server.get("/", &[Inside::of(&answer).header()]).is(200);
    let wrong = server.try_phrase(PILOT, "kestrel over nine grey stone").is(403);
    let unknown = server.try_phrase("Nobody Here", PHRASE).is(403);
    let without_date = |head: &str| {
        head.lines().filter(|line| !line.starts_with("date")).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(wrong.body, unknown.body);
    assert_eq!(without_date(&wrong.head), without_date(&unknown.head));
    assert!(wrong.all("set-cookie").is_empty());
}

#[test]
fn somebody_unknown_is_answered_no_quicker() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let time = |name: &str| {
        let start = Instant::now();
        server.try_phrase(name, "a wrong passphrase").is(403);
        start.elapsed()
    };
    let (mut known, mut unknown) = (Duration::MAX, Duration::MAX);
    for _ in 0..3 {
        known = known.min(time(PILOT));
        unknown = unknown.min(time("Nobody Here"));
        // Whoever comes in is forgiven, so nobody has to wait.
        server.come_in(PILOT);
    }
    // What costs is the hash. Without it an answer takes a small part of the time.
    assert!(unknown * 2 > known, "{unknown:?} against {known:?}");
}

#[test]
fn a_code_lets_in_once_and_expires() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let code = folder.code(PILOT);
    let inside = Inside::of(&server.try_code(&code.to_lowercase().replace('-', "+")).is(303));
    server.get("/", &[inside.header()]).is(200);
    server.try_code(&code).is(403);
    let late = folder.code(PILOT);
    folder.sql("UPDATE code SET made_ms = made_ms - 600001");
    server.try_code(&late).is(403);
    let first = folder.code(PILOT);
    let second = folder.code(PILOT);
    server.try_code(&first).is(403);
    thread::sleep(Duration::from_millis(1100));
    server.try_code(&second).is(303);
}

#[test]
fn nothing_that_lets_in_is_kept_as_it_is() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let code = folder.code(PILOT);
    let token = inside.cookie.split_once('=').unwrap().1;
    let raw: Vec<u8> = (0..token.len())
        .step_by(2)
        .map(|at| u8::from_str_radix(&token[at..at + 2], 16).unwrap())
        .collect();
    let form = inside.token(&server);
    let plain = code.replace('-', "");
    let secrets = [
        PHRASE.as_bytes(),
        token.as_bytes(),
        &raw,
        form.as_bytes(),
        code.as_bytes(),
        plain.as_bytes(),
    ];
    let mut looked_at = 0;
    for entry in fs::read_dir(folder.path("")).unwrap() {
        let path = entry.unwrap().path();
        let bytes = fs::read(&path).unwrap_or_default();
        looked_at += bytes.len();
        for secret in secrets {
            let found = bytes.windows(secret.len()).any(|part| part == secret);
            assert!(!found, "{}", path.display());
        }
    }
    assert!(looked_at > 10_000, "{looked_at}");
}
