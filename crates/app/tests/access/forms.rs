//! What is sent from elsewhere, and what each role may send.

use crate::program::{Folder, PILOT, Server};

#[test]
fn each_role_may_send_what_it_is_here_for_and_no_more() {
    let folder = Folder::with_pilot();
    for role in ["viewer", "refueller", "keeper"] {
        folder.add(&format!("A {role}"), role);
    }
    let server = Server::lan(&folder);
    for (name, yard, sheet, document, stop) in [
        ("A viewer", false, false, false, false),
        ("A refueller", true, true, false, false),
        ("A keeper", true, false, true, false),
        (PILOT, true, true, true, true),
    ] {
        let inside = server.come_in(name);
        let may = |path: &str| {
            let answer = inside.post(&server, path, "x=1");
            assert!(answer.status == 403 || answer.status == 404, "{name} {path}: {}", answer.head);
            assert_eq!(answer.status == 403, answer.body.contains("may not"), "{}", answer.body);
            answer.status == 404
        };
        // No page is there, so who may pass finds nothing.
        assert_eq!(may("/yard/nowhere/at/all"), yard, "{name}");
        assert_eq!(may("/api/yard/nowhere/at/all"), yard, "{name}");
        assert_eq!(may("/drum/a/b/c"), yard, "{name}");
        assert_eq!(may("/packs/a/b/c"), document, "{name}");
        assert_eq!(may("/sheet"), sheet, "{name}");
        assert_eq!(may("/nowhere"), stop, "{name}");
        server.get("/", &[inside.header()]).is(200);
    }
}

#[test]
fn a_page_shows_each_role_what_it_may_use_and_says_what_that_is() {
    let folder = Folder::with_pilot();
    for role in ["viewer", "refueller", "keeper"] {
        folder.add(&format!("A {role}"), role);
    }
    let text = include_str!("../../../../demo/strips/oumbrel.toml");
    std::fs::create_dir_all(folder.path("strips")).unwrap();
    std::fs::write(folder.path("strips/oumbrel.toml"), text).unwrap();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    let drum = "label=ONE&place=P&grade=avgas+100LL&batch=B&supplier=S&filled=2025-03-14&\
        contents=200+L&capacity=216.5+L";
    let made = inside.post(&server, "/yard/record/receive", drum).is(303);
    let drum = made.header("location").to_owned();
    for (name, yard, document) in [
        ("A viewer", false, false),
        ("A refueller", true, false),
        ("A keeper", true, true),
        (PILOT, true, true),
    ] {
        let inside = server.come_in(name);
        let page = |path: &str| server.get(path, &[inside.header()]).is(200).body;
        let says = |page: &str| page.contains("What you may not do is not shown here");
        for (path, what, may) in [
            ("/yard", "/yard/record/receive", yard),
            (drum.as_str(), "/yard/record/move", yard),
            (drum.as_str(), "was wrong", yard),
            ("/yard/batch?name=B", "/yard/record/recall", yard),
            ("/yard/record/receive", "Record it", yard),
            ("/documents", "Bring a document in", true),
            ("/documents", "bring it in</button>", document),
            ("/document/strips/oumbrel", "value=\"save\"", document),
        ] {
            let page = page(path);
            assert_eq!(page.contains(what), may, "{name} {path}: {page}");
            // Whoever leaves needs no right for it.
            assert!(page.contains("action=\"/leave\""), "{name} {path}");
        }
        assert_eq!(says(&page("/yard/record/receive")), !yard, "{name}");
        assert_eq!(says(&page("/documents")), !document, "{name}");
        // What is not shown is refused all the same.
        if !yard {
            let said = inside.post(&server, "/yard/record/empty", "drum=ONE").is(403).body;
            assert!(said.contains("may not record in the yard"), "{said}");
        }
    }
}

#[test]
fn records_carry_the_name_of_who_came_in_and_nobody_can_type_another() {
    let folder = Folder::with_pilot();
    folder.add("A refueller", "refueller");
    folder.add("A viewer", "viewer");
    let server = Server::lan(&folder);
    let receive = |name: &str, label: &str| {
        let inside = server.come_in(name);
        let fields = format!(
            "form-token={}&label={label}&place=P&grade=avgas+100LL&batch=B&supplier=S&\
            filled=2025-03-14&contents=200+L&capacity=216.5+L&by=Somebody+Else",
            inside.token(&server)
        );
        // The cookie that keeps a name where nobody comes in: "Somebody".
        let cookie = format!("{}; stillprop-name=536f6d65626f6479", inside.cookie);
        let headers = [("Cookie", cookie.as_str()), ("Origin", &server.origin())];
        server.post("/yard/record/receive", &headers, &fields)
    };
    assert!(receive(PILOT, "ONE").is(303).header("location").starts_with("/drum/"));
    receive("A refueller", "TWO").is(303);
    receive("A viewer", "THREE").is(403);
    folder.run(&["yard", "export", "out.jsonl"], "").ends(0);
    let text = std::fs::read_to_string(folder.path("out.jsonl")).unwrap();
    let lines =
        text.lines().filter_map(|line| serde_json::from_str::<serde_json::Value>(line).ok());
    let authors: Vec<_> =
        lines.filter_map(|line| Some(line.get("author")?.as_str()?.to_owned())).collect();
    assert_eq!(authors, [PILOT, "A refueller"], "{text}");
    assert!(!text.contains("Somebody") && !text.contains("THREE"));
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

#[test]
fn nothing_that_is_typed_becomes_a_header_or_a_part_of_a_page() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let evil = "%0d%0aSet-Cookie:%20__Host-stillprop=evil%0d%0aX-Evil:%20yes";
    let phrase = crate::program::PHRASE.replace(' ', "+");
    for form in [
        format!("name=odrin+kestow&phrase={phrase}&to=/a{evil}"),
        format!("name=odrin+kestow&phrase={phrase}&to=//strange.example"),
        format!("name=odrin+kestow&phrase={phrase}&to=https://strange.example/"),
    ] {
        let answer = server.post("/enter", &[], &form).is(303);
        assert_eq!(answer.header("location"), "/");
        assert!(!answer.header("set-cookie").contains("evil"));
        assert!(answer.all("x-evil").is_empty());
    }
    let answer = server.post("/enter", &[], &format!("name=a{evil}&phrase=b{evil}")).is(403);
    assert!(answer.all("x-evil").is_empty() && answer.all("set-cookie").is_empty());
    let script = "%22%3E%3Cscript%3Ealert(1)%3C/script%3E";
    let answer = server.get(&format!("/enter?to=/{script}{evil}"), &[]).is(200);
    assert!(!answer.body.contains("<script>alert"), "{}", answer.body);
    assert!(answer.all("x-evil").is_empty());
    let answer = server.get(&format!("/{script}{evil}"), &[]);
    assert!(
        answer.all("x-evil").is_empty() && answer.all("set-cookie").is_empty(),
        "{}",
        answer.head
    );
    // In a cookie such an end of line begins another header; half of one is none at all.
    let host = server.host();
    for line in ["__Host-stillprop=a\rb", "__Host-stillprop=a\0b", "__Host-stillprop=a\nX: b"] {
        let text = format!(
            "GET / HTTP/1.1\r\nHost: {host}\r\nCookie: {line}\r\nConnection: close\r\n\r\n"
        );
        let answer = server.send(text.as_bytes());
        assert!([303, 400].contains(&answer.status), "{line:?}: {}", answer.head);
        assert!(!answer.body.contains("name=\"form-token\""));
    }
}

#[test]
fn every_answer_carries_what_browsers_need_to_protect_it() {
    let folder = Folder::with_pilot();
    let server = Server::lan(&folder);
    let inside = server.come_in(PILOT);
    for answer in [
        server.get("/", &[]),
        server.get("/", &[inside.header()]),
        server.get("/enter", &[]),
        server.get("/nowhere", &[inside.header()]),
        server.get("/", &[("Host", "strange.example")]),
        server.post("/nowhere", &[inside.header()], ""),
        server.try_phrase("Nobody Here", "a wrong passphrase"),
    ] {
        let policy = answer.header("content-security-policy");
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
        for part in ["frame-ancestors 'none'", "form-action 'self'", "base-uri 'none'"] {
            assert!(policy.contains(part), "{policy}");
        }
        assert_eq!(answer.header("x-content-type-options"), "nosniff");
        assert_eq!(answer.header("x-frame-options"), "DENY");
        // With no-referrer a browser would send `Origin: null` with our own forms.
        assert_eq!(answer.header("referrer-policy"), "same-origin");
        assert_eq!(answer.header("cross-origin-opener-policy"), "same-origin");
        assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin");
        assert_eq!(answer.header("cache-control"), "no-store");
        assert!(answer.all("access-control-allow-origin").is_empty());
        assert!(answer.all("strict-transport-security").is_empty());
    }
}
