//! What is too long, too slow, too many, or not for this port.

use std::{
    io::{Read as _, Write as _},
    thread,
    time::{Duration, Instant},
};

use crate::{
    client::to_end,
    program::{Folder, PILOT, Server},
};

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
fn no_path_leads_to_a_file() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    for path in [
        "/../../../../etc/passwd",
        "/web/../../etc/passwd",
        "/web/..%2f..%2fetc/passwd",
        "/web/%2e%2e/%2e%2e/etc/passwd",
        "/web/..%5c..%5cetc%5cpasswd",
        "/%00",
        "/web/%2e%2e%00.css",
        "/yard.ledger.access",
        "/web/yard.ledger.access",
        "/export/..%2fyard.ledger.access",
        "//etc/passwd",
    ] {
        for headers in [&[inside.header()][..], &[]] {
            let answer = server.get(path, headers);
            let strange = ["..", "%2e%2e", "%2f", "%5c", "%00"].iter().any(|it| path.contains(it));
            let wanted = if strange { &[400][..] } else { &[303, 404] };
            assert!(wanted.contains(&answer.status), "{path}: {}", answer.head);
            assert!(!answer.body.contains("root:") && !answer.body.contains("SQLite"), "{path}");
        }
    }
}

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
fn what_is_too_slow_is_hung_up_on() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let host = server.host();
    let body = format!(
        "POST /enter HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nContent-Length: 100\r\n\
        Content-Type: application/x-www-form-urlencoded\r\n\r\nname="
    );
    let head = format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: ");
    // One letter a second keeps nobody's patience: the time is for all of it.
    let slow = |begin: &str| {
        let (mut line, start) = (server.line(), Instant::now());
        line.write_all(begin.as_bytes()).unwrap();
        while start.elapsed() < Duration::from_secs(14) {
            thread::sleep(Duration::from_secs(1));
            if line.write_all(b"a").and_then(|()| line.flush()).is_err() {
                break;
            }
        }
        let answer = to_end(line.as_mut()).unwrap_or_default();
        (String::from_utf8_lossy(&answer).into_owned(), start.elapsed())
    };
    thread::scope(|scope| {
        let bodies = scope.spawn(|| slow(&body));
        let heads = scope.spawn(|| slow(&head));
        let silent = scope.spawn(|| {
            // Says nothing at all, not even the greeting.
            let start = Instant::now();
            let _ = server.wire().read(&mut [0]);
            start.elapsed()
        });
        // Others are served meanwhile.
        server.come_in(PILOT);
        for (who, seconds) in [(bodies, 4..12), (heads, 9..20)] {
            // The answer may be lost when letters were still on their way; the end is not.
            let (answer, took) = who.join().unwrap();
            assert!(answer.is_empty() || answer.starts_with("HTTP/1.1 408 "), "{answer}");
            assert!(seconds.contains(&took.as_secs()), "{seconds:?} and {took:?}");
        }
        let silence = silent.join().unwrap();
        assert!((8..20).contains(&silence.as_secs()), "{silence:?}");
    });
}

#[test]
fn one_address_cannot_hold_every_connection() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let mut idle: Vec<_> = (0..40).map(|_| server.wire()).collect();
    thread::sleep(Duration::from_millis(300));
    let hung_up = |wire: &mut std::net::TcpStream| {
        wire.set_read_timeout(Some(Duration::from_millis(50))).unwrap();
        matches!(wire.read(&mut [0]), Ok(0))
            || wire
                .take_error()
                .unwrap()
                .is_some_and(|it| it.kind() == std::io::ErrorKind::ConnectionReset)
    };
    let gone = idle.iter_mut().filter_map(|wire| hung_up(wire).then_some(())).count();
    assert_eq!(gone, 8);
    idle.clear();
    thread::sleep(Duration::from_millis(300));
    server.come_in(PILOT);
}
