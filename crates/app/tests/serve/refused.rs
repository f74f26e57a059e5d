//! What is refused: other sites, other hosts, too much, too slow, ways out of the folder.

use std::{
    io::Write as _,
    net::TcpStream,
    time::{Duration, Instant},
};

use super::{
    http::{raw, read, request},
    server::Server,
};

#[test]
fn a_post_from_another_site_changes_nothing() {
    let server = Server::demo();
    let own = format!("http://{}", server.address);
    for headers in [
        vec![("Origin", "http://evil.example")],
        vec![("Origin", "null")],
        vec![("Sec-Fetch-Site", "cross-site")],
        vec![("Origin", own.as_str()), ("Sec-Fetch-Site", "same-site")],
    ] {
        for path in ["/sheet/turnarounds/ready", "/name", "/save/stop/turnarounds/ready", "/begin"]
        {
            let reply = server.post_as(path, &[("do", "begin"), ("by", "A")], &headers);
            let reply = reply.is(403);
            assert!(reply.body.contains("page of another site"), "{headers:?}");
        }
    }
    assert!(server.get("/sheet/turnarounds/ready").body.contains("Begin the sheet"));
}

#[test]
fn a_request_to_another_name_is_not_answered() {
    let server = Server::demo();
    for host in ["evil.example", "127.0.0.1", "127.0.0.1:1", ""] {
        let text = format!("GET / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
        let reply = raw(&server.address, text.as_bytes());
        assert!(matches!(reply.status, 421 | 400), "{host}: {}", reply.status);
        assert!(!reply.body.contains("Nessow"));
    }
}

#[test]
fn no_path_leads_out_of_the_folder() {
    let server = Server::demo();
    for path in [
        "/stop/../../etc/passwd",
        "/document/..%2f..%2fetc%2fpasswd",
        "/document/%2e%2e/x",
        "/export/..%2F..%2F..%2Fetc%2Fhostname",
        "/export//etc/hostname",
        "/document/%2fetc%2fpasswd",
        "/document/.hidden",
        "/export/turnarounds%5c..%5cready",
        "/stop/a%00b",
        "/web/..%2fstyle.css",
        "/api/stop/..%2f..%2fx",
        "/export/yard.ledger",
    ] {
        let reply = server.get(path);
        assert!(matches!(reply.status, 400 | 404), "{path}: {} {}", reply.status, reply.body);
        assert!(!reply.body.contains("root:"));
    }
    let reply = server.post("/documents", &[("name", "../../x"), ("text", "kind = \"strip\"")]);
    assert!(reply.status >= 400);
}

#[test]
fn a_body_that_is_too_large_is_refused_before_it_is_read() {
    let server = Server::demo();
    let headers =
        [("Content-Type", "application/x-www-form-urlencoded"), ("Content-Length", "4000000")];
    let head = request("POST", &server.address, "/documents", &headers);
    let body = "a".repeat(4_000_000);
    let reply = raw(&server.address, format!("{head}{body}").as_bytes());
    assert_eq!(reply.status, 413, "{}", reply.head);
    // Of a length that is not said.
    let headers =
        [("Content-Type", "application/x-www-form-urlencoded"), ("Transfer-Encoding", "chunked")];
    let head = request("POST", &server.address, "/documents", &headers);
    let chunk = format!("10000\r\n{}\r\n", "a".repeat(0x10000));
    let reply = raw(&server.address, format!("{head}{}0\r\n\r\n", chunk.repeat(64)).as_bytes());
    assert_eq!(reply.status, 413, "{}", reply.head);
    server.get("/").is(200);
}

#[test]
fn a_head_that_is_too_long_is_refused() {
    let server = Server::demo();
    let long = "a".repeat(1 << 20);
    let reply = server.get(&format!("/?{long}"));
    assert!(matches!(reply.status, 0 | 400 | 414 | 431), "{}", reply.status);
    let many: Vec<(String, String)> = (0..100).map(|n| (format!("X-{n}"), "a".into())).collect();
    let many: Vec<(&str, &str)> = many.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let reply = raw(&server.address, request("GET", &server.address, "/", &many).as_bytes());
    assert_eq!(reply.status, 431);
    server.get("/").is(200);
}

#[test]
#[expect(clippy::disallowed_methods, reason = "how long it takes is what is tested")]
fn a_slow_head_and_a_slow_body_end_and_hold_nobody_up() {
    let server = Server::demo();
    let began = Instant::now();
    let mut head = TcpStream::connect(&server.address).unwrap();
    head.write_all(b"GET / HTTP/1.1\r\nHost: ").unwrap();
    let mut body = TcpStream::connect(&server.address).unwrap();
    let headers =
        [("Content-Type", "application/x-www-form-urlencoded"), ("Content-Length", "1000")];
    let text = request("POST", &server.address, "/name", &headers);
    body.write_all(text.as_bytes()).unwrap();
    body.write_all(b"by=").unwrap();
    // Others are answered meanwhile.
    server.get("/").is(200);
    for stream in [&head, &body] {
        stream.set_read_timeout(Some(Duration::from_secs(25))).unwrap();
    }
    let slow = read(&mut body);
    assert_eq!(slow.status, 408, "{}", slow.head);
    assert!(matches!(read(&mut head).status, 0 | 408));
    let took = began.elapsed();
    assert!(took > Duration::from_secs(8) && took < Duration::from_secs(24), "{took:?}");
}

#[test]
fn nothing_typed_becomes_a_header() {
    let server = Server::demo();
    for evil in ["A\r\nSet-Cookie: x=1", "A\nX-Evil: 1"] {
        let reply = server.post("/name", &[("by", evil), ("back", "/\r\nX-Evil: 1")]);
        assert!(reply.header("x-evil").is_none());
        assert_eq!(reply.head.to_lowercase().matches("set-cookie").count(), 1);
    }
    let reply = server.get("/sheet/turnarounds/ready?as=%0d%0aX-Evil:%201");
    assert!(reply.header("x-evil").is_none());
    let token = [("do", "pause"), ("as", "x\r\nX-Evil: 1"), ("token", "")];
    let reply = server.post("/sheet/turnarounds/ready", &token);
    assert!(reply.header("x-evil").is_none(), "{}", reply.head);
}
