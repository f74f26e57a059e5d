//! A page of another site in the same browser: its forms are refused, and a name of its own that it
//! points at this machine is not answered.

use crate::{
    client::{encoded, field},
    kept::{kept, unchanged},
    program::{Folder, PILOT, Server},
};

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
fn a_form_from_elsewhere_is_refused_whatever_it_knows() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let other = server.come_in(PILOT);
    let token = inside.token(&server);
    let body = format!("form-token={token}");
    let own = server.origin();
    let send = |headers: &[(&str, &str)], body: &str| {
        server.post("/yard/nowhere/at/all", &[&[inside.header()], headers].concat(), body).status
    };
    assert_eq!(send(&[("Origin", &own), ("Sec-Fetch-Site", "same-origin")], &body), 404);
    assert_eq!(send(&[("X-Form-Token", &token)], "x=1"), 404);
    for origin in
        ["null", "https://strange.example", &own.replace("https", "http"), "https://127.0.0.1"]
    {
        assert_eq!(send(&[("Origin", origin)], &body), 403, "{origin}");
    }
    for site in ["cross-site", "same-site", "none"] {
        assert_eq!(send(&[("Origin", &own), ("Sec-Fetch-Site", site)], &body), 403, "{site}");
    }
    assert_eq!(send(&[("Origin", &own), ("Origin", "https://strange.example")], &body), 403);
    for body in ["", "x=1", "form-token=", &format!("form-token={}", other.token(&server))] {
        assert_eq!(send(&[("Origin", &own)], body), 403, "{body}");
    }
    let parts = |first: &str| {
        format!(
            "--zz\r\nContent-Disposition: form-data; name=\"{first}\"\r\n\r\n{token}\r\n--zz--\r\n"
        )
    };
    let files = ("Content-Type", "multipart/form-data; boundary=zz");
    assert_eq!(send(&[files], &parts("form-token")), 404);
    assert_eq!(send(&[files], &parts("other")), 403);
    assert_eq!(send(&[("Content-Type", "text/plain")], &body), 415);
    assert_eq!(send(&[("Content-Type", "application/json")], "{}"), 404);
    assert_eq!(send(&[("Content-Type", "application/json"), ("Origin", "null")], "{}"), 403);
    // Nobody is made to come in as somebody else, and no page pulls in a part of ours.
    let strange = [("Origin", "https://strange.example")];
    server.post("/enter", &strange, "name=a&phrase=b").is(403);
    let pulled = [inside.header(), ("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Mode", "no-cors")];
    server.get("/", &pulled).is(403);
    let led = [inside.header(), ("Sec-Fetch-Site", "cross-site"), ("Sec-Fetch-Mode", "navigate")];
    server.get("/", &led).is(200);
}

/// Every form of the pages, filled in so that it would record, change or end something.
fn forms(server: &Server, inside: &[(&str, &str)]) -> Vec<(&'static str, String)> {
    let sheet = server.get("/sheet/turnarounds/over-mass", inside).is(200).body;
    let drum = "label=NEW&place=P&grade=avgas+100LL&batch=B&supplier=S&filled=2025-03-14&\
        contents=200+L&capacity=216.5+L";
    let strip = encoded("format = 1\nkind = \"strip\"\n");
    vec![
        ("/sheet/turnarounds/over-mass", format!("do=begin&token={}", field(&sheet, "token"))),
        ("/yard/record/receive", drum.to_owned()),
        ("/save/stop/turnarounds/ready", "take_off=33".to_owned()),
        ("/document/turnarounds/ready", format!("do=new&text={strip}")),
        ("/documents", format!("name=strips/new&text={strip}")),
        ("/begin", "aircraft=fennel-four".to_owned()),
        ("/name", "by=Somebody+Else&back=/".to_owned()),
        ("/leave", String::new()),
    ]
}

/// Sends each form as a page of another site might; none may come through.
#[track_caller]
fn refused(server: &Server, folder: &Folder, inside: &[(&str, &str)]) {
    let before = kept(folder);
    let token = server.get("/documents", inside).is(200).token();
    let (own, near) = (server.origin(), format!("{}0", server.origin()));
    let swapped = if own.starts_with("https") {
        own.replace("https", "http")
    } else {
        own.replace("http", "https")
    };
    let stale: String = token.chars().rev().collect();
    let from: [&[(&str, &str)]; 9] = [
        &[("Origin", "https://strange.example")],
        &[("Origin", "null")],
        &[("Origin", &near)],
        &[("Origin", &swapped)],
        &[("Sec-Fetch-Site", "cross-site")],
        &[("Sec-Fetch-Site", "same-site"), ("Origin", &own)],
        &[("Sec-Fetch-Site", "none")],
        &[("Origin", &own), ("Origin", "https://strange.example")],
        &[("Origin", "https://strange.example"), ("X-Form-Token", &token)],
    ];
    let tokens = ["", "form-token=&", "form-token=0&", &format!("form-token={stale}&")];
    let mut tried = 0;
    for (path, fields) in forms(server, inside) {
        let good = format!("form-token={token}&{fields}");
        let mut send = |headers: &[(&str, &str)], body: &str, status: u16, what: &str| {
            let answer = server.post(path, &[inside, headers].concat(), body);
            assert_eq!(answer.status, status, "{path} {what}: {}", answer.head);
            assert!(answer.all("set-cookie").is_empty(), "{path} {what}: {}", answer.head);
            tried += 1;
        };
        for headers in from {
            send(headers, &good, 403, &format!("{headers:?}"));
        }
        for token in tokens {
            let body = format!("{token}{fields}");
            send(&[("Origin", &own)], &body, 403, token);
            send(&[], &body, 403, token);
        }
        send(&[("Content-Type", "text/plain"), ("Origin", &own)], &good, 415, "text/plain");
        // A name of the strange page, pointed at this machine: its pages would be of that origin.
        for host in ["strange.example", &format!("strange.example:{}", server.port)] {
            let origin = format!("http://{host}");
            send(&[("Host", host), ("Origin", &origin)], &good, 421, host);
        }
    }
    assert!(tried > 150, "{tried}");
    unchanged(folder, &before, "a form of another site");
    // The same form of our own page does record: what was refused was not refused for its fields.
    let (path, fields) = forms(server, inside).swap_remove(1);
    let body = format!("form-token={token}&{fields}");
    server.post(path, &[inside, &[("Origin", &own)]].concat(), &body).is(303);
    assert_eq!(kept(folder).count(), before.count() + 1);
}

#[test]
fn no_form_of_another_site_records_anything_on_this_machine() {
    let folder = Folder::new();
    let server = Server::demo(&folder);
    refused(&server, &folder, &[]);
}

#[test]
fn no_form_of_another_site_records_anything_over_the_network() {
    let folder = Folder::with_pilot().with_demo();
    let server = Server::lan_demo(&folder);
    let inside = server.come_in(PILOT);
    refused(&server, &folder, &[inside.header()]);
    // Nor does the token of somebody else's session, or of one that is over.
    let over = server.come_in(PILOT);
    let token = over.token(&server);
    let own = server.origin();
    let body = format!("form-token={token}&aircraft=fennel-four");
    let send = || server.post("/begin", &[inside.header(), ("Origin", &own)], &body).is(403);
    send();
    over.post(&server, "/leave", "").is(303);
    send();
}
