//! A line break in what becomes a header makes no header; and what every answer carries.

use crate::{
    client::{Answer, encoded},
    program::{Folder, PILOT, Server},
};

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
        server.get("/papers", &[inside.header()]),
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

/// Texts that would begin another header, however they are written.
const BREAKS: [&str; 8] = [
    "a\r\nX-Evil: 1",
    "a\nX-Evil: 1",
    "a\rX-Evil: 1",
    "a\r\n\r\n<b>",
    "a%0d%0aX-Evil: 1",
    "a\u{85}X-Evil: 1",
    "a\u{2028}X-Evil: 1",
    "\u{560d}\u{560a}X-Evil: 1",
];

/// The one answer that came has none of our strange headers, and no more than one cookie.
#[track_caller]
fn whole(what: &str, answer: &Answer) {
    assert!(answer.all("x-evil").is_empty(), "{what}: {}", answer.head);
    assert!(!answer.head.contains('\u{0}') && !answer.body.contains("HTTP/1.1"), "{what}");
    assert!(answer.all("set-cookie").len() <= 1, "{what}: {}", answer.head);
    for line in answer.head.lines().skip(1) {
        assert!(line.is_ascii() && line.contains(": "), "{what}: {line:?}");
    }
    for to in answer.all("location") {
        assert!(to.starts_with('/') && !to.starts_with("//"), "{what}: {to}");
    }
}

#[test]
fn a_line_break_makes_no_header_wherever_it_is_typed() {
    let folder = Folder::new();
    let server = Server::demo(&folder);
    let mut tried = 0;
    let mut look = |what: &str, answer: Answer| {
        whole(what, &answer);
        tried += 1;
        answer
    };
    let sheet = "/sheet/turnarounds/over-mass";
    let strip = std::fs::read_to_string(folder.path("strips/oumbrel.toml")).unwrap();
    for text in BREAKS {
        // Set-Cookie and Location.
        look(text, server.fill("/name", &[("by", text), ("back", text)], &[]));
        look(text, server.fill("/name", &[("by", "A"), ("back", &format!("/{text}"))], &[]));
        look(text, server.fill("/name", &[("by", "A"), ("back", &format!("/\\{text}"))], &[]));
        let begin = [("do", "pause"), ("as", text), ("token", text), ("task", text)];
        look(text, server.fill(sheet, &begin, &[]));
        let fields = [("name", text), ("text", strip.as_str())];
        look(text, server.fill("/documents", &fields, &[]));
        look(text, server.fill("/begin", &[("aircraft", text)], &[]));
        look(
            text,
            server.fill("/save/stop/turnarounds/ready", &[("departs", text), (text, "x")], &[]),
        );
        let drum = [
            ("label", text),
            ("place", text),
            ("grade", "avgas 100LL"),
            ("batch", text),
            ("supplier", text),
            ("filled", "2025-03-14"),
            ("contents", "200 L"),
            ("capacity", "216.5 L"),
        ];
        look(text, server.fill("/yard/record/receive", &drum, &[]));
        // Addresses, as typed and twice encoded; a cookie.
        let typed = encoded(text);
        for path in [
            format!("/{typed}"),
            format!("/export/{typed}"),
            format!("/drum/{typed}"),
            format!("{sheet}?as={typed}&said={typed}"),
            format!("/enter?to=/{typed}"),
            format!("/export/{}", encoded(&typed)),
        ] {
            look(text, server.get(&path, &[]));
        }
    }
    // The file name of what is taken out.
    for name in ["Bögen 1", "a.b", "x_y-z 2"] {
        let file = folder.path(&format!("strips/{name}.toml"));
        std::fs::write(file, &strip).unwrap();
        let answer =
            look(name, server.get(&format!("/export/strips/{}", encoded(name)), &[]).is(200));
        let file = answer.header("content-disposition");
        let inside =
            file.strip_prefix("attachment; filename=\"").and_then(|it| it.strip_suffix(".toml\""));
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        assert!(inside.is_some_and(|name| !name.is_empty() && name.chars().all(plain)), "{file}");
    }
    assert!(tried > 100, "{tried}");
}
