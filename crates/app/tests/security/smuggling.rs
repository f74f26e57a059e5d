//! One request that somebody else may read as two: it gets one answer, and what follows is never
//! taken for a request.
//!
//! Source: RFC 9112, sections 6.1, 6.3, 7.1 and 11.2, memory. There is no other server in front of ours, so
//! that nobody else reads the same bytes; this holds should somebody put one there.

use crate::{
    client::to_end,
    kept::{kept, unchanged},
    program::{Folder, PILOT, Server},
};
use std::io::Write as _;

/// What is sent, and the statuses it may get; none where the connection may just end.
const TRICKS: [(&str, &[u16]); 20] = [
    // Two lengths, or a length and chunks.
    ("Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", &[403]),
    ("Transfer-Encoding: chunked\r\nContent-Length: 5\r\n\r\n0\r\n\r\n", &[403]),
    ("Content-Length: 3\r\nContent-Length: 4\r\n\r\nabcd", &[400]),
    ("Content-Length: 3, 4\r\n\r\nabcd", &[400]),
    ("Content-Length: +3\r\n\r\nabc", &[400]),
    ("Content-Length: -1\r\n\r\n", &[400]),
    ("Content-Length: 0x3\r\n\r\nabc", &[400]),
    ("Content-Length: 99999999999999999999\r\n\r\n", &[400]),
    // Chunks that are none, or that only some would see.
    ("Transfer-Encoding: identity\r\n\r\n", &[400]),
    ("Transfer-Encoding: xchunked\r\n\r\n", &[400]),
    ("Transfer-Encoding: chunked, identity\r\n\r\n0\r\n\r\n", &[400]),
    ("Transfer-Encoding : chunked\r\n\r\n0\r\n\r\n", &[400]),
    ("Transfer-Encoding:\u{b}chunked\r\nContent-Length: 5\r\n\r\n0\r\n\r\n", &[400]),
    ("Transfer-Encoding: chunked\r\nTransfer-Encoding: identity\r\n\r\n0\r\n\r\n", &[400]),
    ("X: a\r\n Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n", &[400]),
    ("Transfer-Encoding: chunked\r\n\r\nFFFFFFFFFFFFFFFFF\r\n", &[400]),
    ("Transfer-Encoding: chunked\r\n\r\n-1\r\n\r\n", &[400]),
    ("Transfer-Encoding: chunked\r\n\r\n3\r\nabcd\r\n0\r\n\r\n", &[400]),
    ("Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n", &[403]),
    ("Content-Length: 0\r\n\rX: a\r\n\r\n", &[400]),
];

/// The second request: it would record a drum, had it come by itself.
fn second(server: &Server, token: &str, cookie: &str) -> String {
    let body = format!(
        "form-token={token}&label=NEW&place=P&grade=avgas+100LL&batch=B&supplier=S&\
        filled=2025-03-14&contents=200+L&capacity=216.5+L"
    );
    format!(
        "POST /yard/record/receive HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nConnection: close\r\n\
        Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
        server.host(),
        body.len()
    )
}

#[track_caller]
fn one_answer_each(server: &Server, folder: &Folder, cookie: &str) {
    let token = server.get("/documents", &[("Cookie", cookie)]).is(200).token();
    let hidden = second(server, &token, cookie);
    let before = kept(folder);
    for (trick, statuses) in TRICKS {
        let first = format!(
            "POST /name HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\n\
            Content-Type: application/x-www-form-urlencoded\r\n{trick}",
            server.host()
        );
        let mut line = server.line();
        let _ = line.write_all(format!("{first}{hidden}").as_bytes());
        let _ = line.flush();
        let answer =
            String::from_utf8_lossy(&to_end(line.as_mut()).unwrap_or_default()).into_owned();
        assert_eq!(answer.matches("HTTP/1.1 ").count(), 1, "{trick:?}: {answer}");
        let status = answer.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        assert!(statuses.contains(&status), "{trick:?}: {answer}");
    }
    unchanged(folder, &before, "a request within another");
    // A whole form of ours in chunks is taken, and the connection ends with it, whatever else it says.
    let fields = format!("form-token={token}");
    for more in ["", "Content-Length: 5\r\n", "Connection: keep-alive\r\n"] {
        let first = format!(
            "POST /nowhere HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\n{more}\
            Content-Type: application/x-www-form-urlencoded\r\nTransfer-Encoding: chunked\r\n\r\n\
            {:x}\r\n{fields}\r\n0\r\n\r\n",
            server.host(),
            fields.len()
        );
        let answer = server.send(format!("{first}{hidden}").as_bytes()).is(404);
        assert_eq!(answer.header("connection"), "close");
        assert!(!answer.body.contains("HTTP/1.1"), "{more}: {}", answer.body);
    }
    unchanged(folder, &before, "a request behind another");
    server.send(hidden.as_bytes()).is(303);
    assert_eq!(kept(folder).count(), before.count() + 1);
}

#[test]
fn one_request_is_never_two_on_this_machine() {
    let folder = Folder::new();
    let server = Server::demo(&folder);
    one_answer_each(&server, &folder, "a=b");
}

#[test]
fn one_request_is_never_two_over_the_network() {
    let folder = Folder::with_pilot().with_demo();
    let server = Server::lan_demo(&folder);
    let inside = server.come_in(PILOT);
    one_answer_each(&server, &folder, &inside.cookie);
}
