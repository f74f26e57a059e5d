//! What each role may send, and whose name records carry.

use crate::{
    client::encoded,
    kept::{kept, unchanged},
    program::{Folder, PILOT, Server},
};

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
fn a_turnaround_is_changed_by_nobody_but_the_pilot_whatever_form_it_comes_in() {
    let folder = Folder::with_pilot().with_demo();
    for role in ["viewer", "refueller", "keeper"] {
        folder.add(&format!("A {role}"), role);
    }
    let server = Server::lan_demo(&folder);
    let read = |name: &str| std::fs::read_to_string(folder.path(&format!("{name}.toml"))).unwrap();
    let (stop, strip) = (read("turnarounds/ready"), read("strips/nessow-top"));
    let before = kept(&folder);
    let (stop_text, strip_text) = (encoded(&stop), encoded(&strip));
    let as_stop = format!("do=new&before={stop_text}&text={stop_text}");
    for role in ["viewer", "refueller", "keeper"] {
        let inside = server.come_in(&format!("A {role}"));
        for (path, fields) in [
            ("/save/stop/turnarounds/ready", "take_off=33".to_owned()),
            ("/document/turnarounds/ready", as_stop.clone()),
            ("/document/turnarounds/ready", as_stop.replace("do=new", "do=save")),
            // A strip that becomes a turnaround, and a turnaround that becomes a strip.
            (
                "/document/strips/nessow-top",
                format!("do=save&before={strip_text}&text={stop_text}"),
            ),
            (
                "/document/turnarounds/ready",
                format!("do=save&before={stop_text}&text={strip_text}"),
            ),
            ("/documents", format!("name=turnarounds/other&text={stop_text}")),
            ("/begin", "aircraft=fennel-four".to_owned()),
            ("/save/ways-out/turnarounds/over-mass", "seen=x&way=x".to_owned()),
            ("/save/window/turnarounds/last-light", "seen=x".to_owned()),
            ("/save/fit/turnarounds/mid-burn", "seen=x".to_owned()),
            ("/save/park/turnarounds/crowded-apron", "seen=x".to_owned()),
        ] {
            let answer = inside.post(&server, path, &fields);
            // In its own folder a turnaround finds its strips; elsewhere it is wrong, and not saved.
            let refused = [403, 422].contains(&answer.status);
            assert!(refused, "{role} {path}: {}", answer.head);
            assert!(answer.status == 403 || path.ends_with("nessow-top"), "{role} {path}");
            assert!(
                !path.starts_with("/save/") || answer.body.contains("may not"),
                "{role} {path}"
            );
        }
    }
    unchanged(&folder, &before, "what a role may not");
    // A keeper keeps strips, and a pilot plans.
    let keeper = server.come_in("A keeper");
    let text = format!("do=new&before={strip_text}&text={strip_text}");
    keeper.post(&server, "/document/strips/nessow-top", &text).is(303);
    server.come_in(PILOT).post(&server, "/document/turnarounds/ready", &as_stop).is(303);
    assert!(folder.path("turnarounds/ready-2.toml").exists());
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
        // Whoever may read may print what they read.
        let paper = server.get("/print/register/2026-11.pdf", &[inside.header()]);
        assert_eq!(paper.header("content-type"), "application/pdf", "{name}: {}", paper.head);
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
fn what_to_change_is_looked_at_by_everybody_and_written_by_the_pilot() {
    let folder = Folder::with_pilot().with_demo();
    for role in ["viewer", "refueller", "keeper"] {
        folder.add(&format!("A {role}"), role);
    }
    let server = Server::lan_demo(&folder);
    let before = kept(&folder);
    let pages = [
        ("/ways-out/turnarounds/over-mass", "Leave 32 lb of the bags behind"),
        ("/window/turnarounds/last-light", "05:07 to 16:47"),
        ("/fit/turnarounds/mid-burn", "survival pack and water"),
        ("/park/turnarounds/crowded-apron", "A PLACE THAT HOLDS"),
        ("/odds/turnarounds/over-mass", "Of a hundred flights like this"),
    ];
    for (name, may) in
        [("A viewer", false), ("A refueller", false), ("A keeper", false), (PILOT, true)]
    {
        let inside = server.come_in(name);
        for (path, words) in pages {
            let page = server.get(path, &[inside.header()]).is(200).body;
            assert!(page.contains(words), "{name} {path}: {page}");
            let written = page.contains(&format!("action=\"/save{path}\""));
            // The odds find nothing that could be written.
            assert_eq!(written, may && !path.starts_with("/odds"), "{name} {path}");
            let api = server.get(&format!("/api{path}"), &[inside.header()]);
            assert_eq!(api.is(200).header("content-type"), "application/json");
        }
    }
    unchanged(&folder, &before, "looking");
    // Who has not come in sees none of it.
    for (path, words) in pages {
        for path in [path.to_owned(), format!("/api{path}")] {
            let answer = server.get(&path, &[]);
            assert!(
                answer.status != 200 && !answer.body.contains(words),
                "{path}: {}",
                answer.head
            );
        }
    }
}
