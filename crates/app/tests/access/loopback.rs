//! On this machine alone: nobody logs in, and no strange page gets through.

use crate::program::{Folder, Server};

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
fn a_strange_name_that_was_pointed_here_is_refused() {
    let folder = Folder::new();
    let server = Server::loopback(&folder);
    let port = server.port;
    for host in ["localhost", "127.0.0.1", "[::1]"] {
        server.get("/", &[("Host", &format!("{host}:{port}"))]).is(200);
    }
    for host in [
        "strange.example".to_owned(),
        format!("strange.example:{port}"),
        format!("127.0.0.1.strange.example:{port}"),
        format!("192.0.2.7:{port}"),
        format!("127.0.0.1:{}", port ^ 1),
        "127.0.0.1".to_owned(),
        String::new(),
    ] {
        let answer = server.get("/", &[("Host", &host)]).is(421);
        assert!(!answer.body.contains("name=\"form-token\""), "{host}");
        server.post("/name", &[("Host", &host)], "x=1").is(421);
    }
    let own = server.host();
    let twice = format!(
        "GET / HTTP/1.1\r\nHost: {own}\r\nHost: strange.example\r\nConnection: close\r\n\r\n"
    );
    server.send(twice.as_bytes()).is(421);
    let whole =
        format!("GET http://strange.example/ HTTP/1.1\r\nHost: {own}\r\nConnection: close\r\n\r\n");
    server.send(whole.as_bytes()).is(421);
    server.send(b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n").is(421);
    server.send(b"GET / HTTP/1.0\r\n\r\n").is(421);
}

#[test]
fn a_form_of_a_strange_page_is_refused_and_one_of_ours_survives_a_restart() {
    let folder = Folder::new();
    let server = Server::loopback(&folder);
    let token = server.get("/", &[]).is(200).token();
    let body = format!("form-token={token}");
    let own = server.origin();
    server.post("/nowhere", &[("Origin", &own)], &body).is(404);
    server.post("/nowhere", &[], &body).is(404);
    server.post("/nowhere", &[], "").is(403);
    server.post("/nowhere", &[("Origin", &own)], "form-token=0").is(403);
    server.post("/nowhere", &[("Origin", "http://strange.example")], &body).is(403);
    server.post("/nowhere", &[("Origin", "null")], &body).is(403);
    server.post("/nowhere", &[("Sec-Fetch-Site", "cross-site")], &body).is(403);
    server.kill();
    let server = Server::loopback(&folder);
    server.post("/nowhere", &[], &body).is(404);
}

#[test]
fn a_cookie_means_nothing_here() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(crate::program::PILOT);
    let token = inside.token(&server);
    server.kill();
    let server = Server::loopback(&folder);
    server.get("/", &[inside.header()]).is(200);
    server.post("/nowhere", &[inside.header()], &format!("form-token={token}")).is(403);
}
