//! Who is too slow, or takes too many connections, is hung up on; others are served meanwhile.

use std::{
    io::{Read as _, Write as _},
    thread,
    time::{Duration, Instant},
};

use crate::{
    client::to_end,
    kept::{kept, unchanged},
    program::{Folder, PILOT, Server},
};

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

/// A page, and how long it took.
fn timed(server: &Server) -> Duration {
    let start = Instant::now();
    server.get("/documents", &[]).is(200);
    start.elapsed()
}

#[test]
fn slow_heads_and_bodies_on_this_machine_end_and_hold_nobody_up() {
    let folder = Folder::new();
    let server = Server::demo(&folder);
    let before = kept(&folder);
    let host = server.host();
    let begun = Instant::now();
    let head = format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: ");
    let body = format!(
        "POST /name HTTP/1.1\r\nHost: {host}\r\nContent-Length: 1000\r\n\
        Content-Type: application/x-www-form-urlencoded\r\n\r\nby="
    );
    // As many as one address gets, but for two.
    let slow: Vec<_> = (0..30)
        .map(|number| {
            let mut wire = server.wire();
            wire.write_all(if number % 2 == 0 { head.as_bytes() } else { body.as_bytes() })
                .unwrap();
            (number % 2 == 0, wire)
        })
        .collect();
    let waits: Vec<Duration> = (0..5).map(|_| timed(&server)).collect();
    assert!(waits.iter().all(|wait| *wait < Duration::from_secs(5)), "{waits:?}");
    for (is_head, mut wire) in slow {
        let answer = String::from_utf8_lossy(&to_end(&mut wire).unwrap_or_default()).into_owned();
        let told = answer.starts_with("HTTP/1.1 408 ");
        assert!(told || is_head && answer.is_empty(), "{answer}");
        let took = begun.elapsed();
        assert!(took > Duration::from_secs(8) && took < Duration::from_secs(40), "{took:?}");
    }
    unchanged(&folder, &before, "a slow form");
}

#[cfg(target_os = "linux")]
#[test]
fn whoever_takes_all_connections_of_an_address_takes_nobody_elses() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let slow: Vec<_> = (0..60).map(|_| server.wire_from([127, 0, 0, 2])).collect();
    let start = Instant::now();
    server.come_in(PILOT);
    assert!(start.elapsed() < Duration::from_secs(8), "{:?}", start.elapsed());
    drop(slow);
}
