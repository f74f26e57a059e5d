//! What people record on the pages of the yard: every verb of the command line, only what makes
//! sense for a container as it stands, and taken back by a later record.

use std::fs;

use super::server::{Server, folder};

fn drum(server: &Server, label: &str) -> String {
    let body = server.get("/yard").is(200).body;
    let before = body.split(&format!("\">{label}</a>")).next().unwrap();
    before.rsplit("/drum/").next().unwrap().to_owned()
}

/// The page of a drum.
fn page(server: &Server, id: &str) -> String {
    server.get(&format!("/drum/{id}")).is(200).body
}

/// Records something of a drum, and gives its page.
fn record(server: &Server, id: &str, verb: &str, fields: &[(&str, &str)]) -> String {
    let fields = [&[("drum", id)], fields].concat();
    let reply = server.post(&format!("/yard/record/{verb}"), &fields).is(303);
    assert_eq!(reply.header("location"), Some(format!("/drum/{id}").as_str()), "{verb}");
    page(server, id)
}

fn offers(page: &str, verb: &str) -> bool {
    page.contains(&format!("/yard/record/{verb}?drum="))
}

/// The last record of a page whose line holds the words.
fn record_of(page: &str, words: &str) -> String {
    let lines = page.split("<li>").filter(|line| line.contains("record=")).collect::<Vec<_>>();
    let line = lines.iter().find(|line| line.contains(words)).unwrap_or_else(|| panic!("{page}"));
    line.split("record=").nth(1).unwrap().split('"').next().unwrap().to_owned()
}

#[test]
fn a_drum_is_moved_looked_over_opened_marked_emptied_and_condemned_on_its_page() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    for (verb, fields, words) in [
        (
            "move",
            &[("rack", "row 3"), ("posture", "on-side"), ("bungs", "3, 9"), ("chocked", "on")][..],
            "put down at Nessow Top, rack row 3, on its side, bungs at 3 and 9 o'clock, chocked, on \
             the ground, in the sun",
        ),
        (
            "inspect",
            &[("dents", "slight"), ("rust", "none"), ("seals", "intact"), ("lining", "true")],
            "looked over: dents slight, rust none, lining sound, label legible, seals whole",
        ),
        ("open", &[("seals", "intact")], "opened, seals whole before"),
        (
            "draw",
            &[("volume", "20"), ("volume-unit", "USgal"), ("waste", "on")],
            "drawn: 75.708 L into waste",
        ),
        ("mark", &[("volume", "120"), ("volume-unit", "L")], "marked: 120 L left"),
        ("empty", &[], "emptied: nothing usable is left"),
        ("condemn", &[("reason", "flakes in the <can>")], "condemned: flakes in the &lt;can&gt;"),
    ] {
        let page = record(&server, &id, verb, fields);
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(page.contains(&words), "{words}: {page}");
    }
}

#[test]
fn what_makes_no_sense_for_a_drum_is_neither_offered_nor_taken() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    let at_first = page(&server, &id);
    assert!(offers(&at_first, "open") && offers(&at_first, "condemn"));
    // Nobody writes on a drum what is left that was never opened.
    assert!(!offers(&at_first, "mark"));
    let opened = record(&server, &id, "open", &[("seals", "intact")]);
    assert!(!offers(&opened, "open") && offers(&opened, "mark"));
    let condemned = record(&server, &id, "condemn", &[("reason", "water in it")]);
    for verb in ["open", "stand", "mark", "condemn"] {
        assert!(!offers(&condemned, verb), "{verb}");
        let form = server.get(&format!("/yard/record/{verb}?drum={id}")).is(200).body;
        assert!(form.contains("Not now: it was ") && !form.contains("Record it"), "{form}");
    }
    for verb in ["move", "inspect", "sample", "draw", "count", "empty"] {
        assert!(offers(&condemned, verb), "{verb}");
    }
    let fields = [("drum", id.as_str()), ("volume", "9 L")];
    let body = server.post("/yard/record/mark", &fields).is(422).body;
    assert!(body.contains("Not now: it was condemned"), "{body}");
    assert_eq!(page(&server, &id), condemned, "nothing was recorded");
    let emptied = record(&server, &id, "empty", &[]);
    assert!(!offers(&emptied, "draw") && !offers(&emptied, "sample") && offers(&emptied, "count"));
}

#[test]
fn a_record_is_taken_back_or_put_right_by_a_later_one() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    let before = page(&server, &id);
    let left = |page: &str| {
        page.split("<dt>left</dt><dd>").nth(1).unwrap().split('<').next().unwrap().to_owned()
    };
    let drawn = record(&server, &id, "draw", &[("volume", "30 L"), ("waste", "on")]);
    let wrong = record_of(&drawn, "drawn: 30 L into waste");
    let form = server.get(&format!("/yard/record/correct?drum={id}&record={wrong}")).is(200).body;
    assert!(
        form.contains("<h1>A record was wrong</h1>") && form.contains("drawn: 30 L into waste")
    );
    // The event stands there to be changed.
    let event = form.split("<textarea").nth(1).unwrap();
    let event = event.split_once('>').unwrap().1.split("</textarea").next().unwrap();
    let event = event.replace("&quot;", "\"");
    assert!(event.contains("30000"), "{event}");
    let right = event.replace("30000", "3000");
    let say = [("record", wrong.as_str()), ("reason", "a nought too many")];
    let none = server
        .post("/yard/record/correct", &[&say[..], &[("how", "instead"), ("instead", "{")]].concat())
        .is(422)
        .body;
    assert!(none.contains("this is no record") && none.contains("a nought too many"), "{none}");
    let put = [&say[..], &[("how", "instead"), ("instead", &right)]].concat();
    let page = record(&server, &id, "correct", &put);
    assert_ne!(left(&page), left(&before));
    assert!(page.contains("a nought too many"), "{page}");
    // And what was put right did not happen at all.
    let fields = [("record", wrong.as_str()), ("reason", "another drum"), ("how", "void")];
    let page = record(&server, &id, "correct", &fields);
    assert_eq!(left(&page), left(&before));
    assert!(page.contains("drawn: 30 L into waste"), "what was said stays: {page}");
    // What is no record of the yard is not corrected.
    for id in ["01980000-0000-7000-8000-000000000000", "x", ""] {
        let body = server.get(&format!("/yard/record/correct?record={id}")).is(200).body;
        assert!(body.contains("Not now: there is no such record"), "{body}");
        let fields = [("record", id), ("reason", "x"), ("how", "void")];
        server.post("/yard/record/correct", &fields).is(422);
    }
}

#[test]
fn a_batch_is_called_back_and_tested_again_on_its_page() {
    let server = Server::demo();
    let batch = "VF-26-031";
    let fields = [("batch", batch), ("reason", "lining comes off")];
    let reply = server.post("/yard/record/recall", &fields).is(303);
    let to = reply.header("location").unwrap().to_owned();
    assert_eq!(to, format!("/yard/batch?name={batch}"));
    let body = server.get(&to).is(200).body;
    assert!(body.contains("RECALLED ") && body.contains("lining comes off"));
    let fields = [("batch", batch), ("on", "2026-11-02"), ("passed", "false")];
    server.post("/yard/record/retest", &fields).is(303);
    let body = server.get(&to).is(200).body;
    assert!(body.contains("FAILED its test on 2026-11-02"), "{body}");
    let wrong = body.split("record=").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let fields = [("record", wrong.as_str()), ("reason", "other lot"), ("batch", batch)];
    let back = server.post("/yard/record/correct", &fields).is(303);
    assert_eq!(back.header("location"), Some(to.as_str()));
    assert!(!server.get(&to).is(200).body.contains("RECALLED "));
    // A misspelt batch would go nowhere.
    let fields = [("batch", "VF-26-O31"), ("reason", "x")];
    let body = server.post("/yard/record/recall", &fields).is(422).body;
    assert!(body.contains("no container here was filled") && body.contains("VF-26-O31"), "{body}");
}

#[test]
fn a_tank_comes_in_with_its_temperature_and_is_no_drum() {
    let server = Server::demo();
    let fields = [
        ("kind", "tank"),
        ("label", "T-1"),
        ("place", "Nessow Top"),
        ("grade", "avgas 100LL"),
        ("batch", "B1"),
        ("supplier", "S"),
        ("filled", "2026-10-01"),
        ("contents", "900"),
        ("contents-unit", "L"),
        ("capacity", "2000"),
        ("capacity-unit", "L"),
        ("temperature", "-4"),
        ("temperature-unit", "degC"),
        ("maker_number", "M 7"),
    ];
    let reply = server.post("/yard/record/receive", &fields).is(303);
    let body = server.get(reply.header("location").unwrap()).is(200).body;
    assert!(
        body.contains("received: tank T-1") && body.contains("avgas 100LL at -4 degC"),
        "{body}"
    );
    assert!(body.contains("number M 7"));
    for verb in ["stand", "open", "mark", "move"] {
        assert!(!offers(&body, verb), "{verb}");
    }
    assert!(offers(&body, "sample") && offers(&body, "draw"));
}

#[test]
fn every_form_keeps_what_was_typed_and_says_beside_the_field_what_is_wrong() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    for (verb, field, typed, words) in [
        ("move", "bungs", "25 o'clock & \"more\"", "two hours of a clock"),
        ("inspect", "note", "a <note>", "say whether it has dents"),
        ("count", "volume", "12 stone", "stone"),
        ("condemn", "reason", "", "it is empty"),
        ("open", "seals", "", "say how the seals were"),
        ("draw", "volume", "-5 L", "Nothing was recorded"),
        ("retest", "on", "yesterday", "write the day"),
        ("recall", "batch", "", "it is empty"),
        ("receive", "filled", "2026-02-30", "write the day"),
        ("sample", "density", "0.7", "say how it looks"),
    ] {
        let fields = [("drum", id.as_str()), (field, typed)];
        let body = server.post(&format!("/yard/record/{verb}"), &fields).is(422).body;
        assert!(body.contains("Nothing was recorded"), "{verb}");
        assert!(body.contains(words), "{verb}: {body}");
        let kept = typed.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
        let kept = kept.replace('"', "&quot;");
        assert!(typed.is_empty() || body.contains(&format!("value=\"{kept}\"")), "{verb}: {body}");
        assert!(body.contains("aria-invalid=\"true\"") && body.contains("-error\""), "{verb}");
    }
}

#[test]
fn every_field_has_a_label_and_the_keyboard_that_fits() {
    let server = Server::demo();
    let id = drum(&server, "NT-09");
    record(&server, &id, "open", &[("seals", "intact")]);
    for verb in [
        "receive", "move", "inspect", "stand", "sample", "draw", "mark", "count", "empty",
        "condemn", "recall", "retest",
    ] {
        let body = server.get(&format!("/yard/record/{verb}?drum={id}")).is(200).body;
        let main = body.split("<main").nth(1).unwrap().split("</main>").next().unwrap();
        for part in ["<input ", "<select ", "<textarea "] {
            for tag in main.split(part).skip(1).map(|tag| tag.split('>').next().unwrap()) {
                let named = |name: &str| {
                    tag.split(&format!("{name}=\""))
                        .nth(1)
                        .map(|rest| rest.split('"').next().unwrap())
                };
                let labelled = named(" id")
                    .or(named("id"))
                    .is_some_and(|id| main.contains(&format!("<label for=\"{id}\">")));
                let hidden = tag.contains("type=\"hidden\"");
                assert!(hidden || labelled || tag.contains("aria-label="), "{verb}: {tag}");
            }
        }
        for number in ["volume", "contents", "capacity", "density"] {
            let tag = main.split(&format!("id=\"{number}\"")).nth(1);
            let decimal =
                |tag: &str| tag.split('>').next().unwrap().contains("inputmode=\"decimal\"");
            assert!(tag.is_none_or(decimal), "{verb}: {number}");
        }
    }
    let body = server.get("/yard/record/receive").is(200).body;
    assert!(body.contains("type=\"date\" id=\"filled\""));
    assert!(body.contains("value=\"216.5\""));
    let body = server.get(&format!("/yard/record/move?drum={id}")).is(200).body;
    assert!(body.contains("value=\"Nessow Top\""), "where it is stands there");
}

#[test]
fn an_empty_yard_says_what_comes_first_and_the_first_drum_opens_it() {
    let folder = folder();
    let server = Server::serve(&folder);
    let body = server.get("/yard").is(200).body;
    assert!(body.contains("Nothing is recorded of any container yet"), "{body}");
    assert!(body.contains("/yard/record/receive") && !body.contains("/yard/record/recall"));
    server.get("/drum/NT-09").is(422);
    server.get("/yard/batch?name=x").is(422);
    let form = server.get("/yard/record/receive").is(200).body;
    assert!(form.contains("A container came in"));
    let odd = "\u{416}-1 / \"A&B\" <x> ?#%";
    receive(&server, odd).is(303);
    let body = server.get("/yard").is(200).body;
    let shown = "\u{416}-1 / &quot;A&amp;B&quot; &lt;x&gt; ?#%";
    // Not judged: nobody said by which rules.
    assert!(body.contains("It is not said by which rules"), "{body}");
    let body = server.get("/yard?pack=au").is(200).body;
    assert!(body.contains(shown) && !body.contains("<x>"), "{body}");
    let to = body.split("href=\"/drum/").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let body = page(&server, &to);
    assert!(body.contains(&format!("{shown} at ")), "{body}");
    let batch = body.split("/yard/batch?name=").nth(1).unwrap().split('"').next().unwrap();
    assert!(server.get(&format!("/yard/batch?name={batch}")).is(200).body.contains(shown));
    drop(server);
    fs::remove_dir_all(folder).unwrap();
}

fn receive(server: &Server, name: &str) -> super::http::Reply {
    server.post(
        "/yard/record/receive",
        &[
            ("label", name),
            ("place", name),
            ("grade", "avgas 100LL"),
            ("batch", name),
            ("supplier", name),
            ("filled", "2026-10-01"),
            ("contents", "200"),
            ("contents-unit", "L"),
            ("capacity", "216.5"),
            ("capacity-unit", "L"),
        ],
    )
}

#[test]
fn forty_drums_of_one_yard_are_all_there() {
    let folder = folder();
    let server = Server::serve(&folder);
    for number in 0..40 {
        let label = format!("F-{number:02}");
        let fields = [
            ("label", label.as_str()),
            ("place", "Far End"),
            ("grade", "avgas 100LL"),
            ("batch", "B-1"),
            ("supplier", "S"),
            ("filled", "2026-10-01"),
            ("contents", "200 L"),
            ("capacity", "216.5 L"),
        ];
        server.post("/yard/record/receive", &fields).is(303);
    }
    let body = server.get("/yard?pack=au").is(200).body;
    assert!(body.contains("40 containers"), "{body}");
    for number in 0..40 {
        assert!(body.contains(&format!("\">F-{number:02}</a>")), "{number}");
    }
    assert_eq!(
        server.get("/yard/batch?name=B-1").is(200).body.matches("href=\"/drum/").count(),
        40
    );
    drop(server);
    fs::remove_dir_all(folder).unwrap();
}
