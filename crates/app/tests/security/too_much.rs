//! What is too long is refused before it is read.

use std::time::{Duration, Instant};

use crate::{
    kept::{kept, unchanged},
    program::{Folder, PILOT, Server},
};

#[test]
fn what_is_too_long_is_refused_before_it_is_read() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let (host, cookie) = (server.host(), &inside.cookie);
    let announce = |path: &str, cookie: &str, length: &str| {
        let text = format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\n\
            Content-Type: application/x-www-form-urlencoded\r\n{length}\r\n\r\n"
        );
        let start = Instant::now();
        let status = server.send(text.as_bytes()).status;
        assert!(start.elapsed() < Duration::from_secs(4), "{:?}", start.elapsed());
        status
    };
    assert_eq!(announce("/yard", cookie, "Content-Length: 10000000"), 413);
    assert_eq!(announce("/enter", "", "Content-Length: 4097"), 413);
    assert_eq!(announce("/enter", "", "Content-Length: 99999999999999999999"), 400);
    assert_eq!(announce("/enter", "", "Content-Length: -1"), 400);
    // Without a length it is counted.
    let chunk = format!("1000\r\n{}\r\n", "a".repeat(4096));
    let many = format!("Transfer-Encoding: chunked\r\n\r\n{}", chunk.repeat(3));
    assert_eq!(announce("/enter", "", &many), 413);
    let many = format!("Transfer-Encoding: chunked\r\n\r\n{}", chunk.repeat(1030));
    assert_eq!(announce("/yard", cookie, &many), 413);
    let broken = format!("Transfer-Encoding: chunked\r\n\r\n{chunk}no length\r\n");
    assert_eq!(announce("/yard", cookie, &broken), 400);
    // Two lengths that do not agree would be two requests to somebody.
    let both = "Content-Length: 3\r\nContent-Length: 4";
    assert_eq!(announce("/enter", "", both), 400);
    let head = format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: {}\r\n\r\n", "a".repeat(20_000));
    assert_eq!(server.send(head.as_bytes()).status, 431);
    let head = format!("GET / HTTP/1.1\r\nHost: {host}\r\n{}\r\n", "X: a\r\n".repeat(70));
    assert_eq!(server.send(head.as_bytes()).status, 431);
    server.get("/", &[inside.header()]).is(200);
}

#[test]
fn a_form_that_is_too_long_records_nothing_on_this_machine_either() {
    let folder = Folder::new();
    let server = Server::demo(&folder);
    let before = kept(&folder);
    let host = server.host();
    let token = server.get("/documents", &[]).is(200).token();
    let begin = format!("form-token={token}&name=strips/new&text=");
    let long = "a".repeat(4_000_000);
    for path in ["/documents", "/document/turnarounds/ready", "/yard/record/receive", "/name"] {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\
            Content-Type: application/x-www-form-urlencoded\r\n"
        );
        let said =
            format!("{head}Content-Length: {}\r\n\r\n{begin}{long}", begin.len() + long.len());
        server.send(said.as_bytes()).is(413);
        // Of a length that is not said; and of one that is said to be short.
        let chunk = format!("{:x}\r\n{begin}\r\n10000\r\n{}\r\n", begin.len(), "a".repeat(0x10000));
        let more = format!("10000\r\n{}\r\n", "a".repeat(0x10000)).repeat(60);
        let chunks = format!("{head}Transfer-Encoding: chunked\r\n\r\n{chunk}{more}0\r\n\r\n");
        server.send(chunks.as_bytes()).is(413);
        let short = format!("{head}Content-Length: 3\r\n\r\n{begin}{long}");
        server.send(short.as_bytes()).is(403);
        let never = format!("{head}Content-Length: 9999999\r\nExpect: 100-continue\r\n\r\n");
        server.send(never.as_bytes()).is(413);
    }
    let answer = server.get(&format!("/?{}", "a".repeat(1 << 20)), &[]);
    assert!([0, 400, 414, 431].contains(&answer.status), "{}", answer.head);
    let head = format!("GET / HTTP/1.1\r\nHost: {host}\r\n{}\r\n", "X: a\r\n".repeat(100));
    server.send(head.as_bytes()).is(431);
    unchanged(&folder, &before, "too long a form");
    server.get("/", &[]).is(200);
}
