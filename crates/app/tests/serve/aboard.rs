//! Dangerous goods, who is aboard, what falls due, and after an event: on pages and for programs.

use std::fs;

use serde_json::Value;

use super::server::Server;

const READY: &str = "turnarounds/ready";

fn api(server: &Server, path: &str) -> Value {
    serde_json::from_str(&server.get(path).is(200).body).unwrap()
}

#[test]
fn what_is_typed_is_answered_with_conditions_sources_and_how_they_were_read() {
    let server = Server::demo();
    let first = server.get("/goods").is(200).body;
    assert!(first.contains("What is it?") && first.contains("Ask aloud, then look"));
    assert!(!first.contains("may come"), "nothing was asked yet");
    let body = server.get("/goods?what=hairspray+300+mL;petrol&in=cabin&pack=us").is(200).body;
    for words in [
        "1 of 2 may come",
        "NOT AS IT IS",
        "allowed with conditions",
        "forbidden",
        "taken for: toiletries and medicines",
        "release button under a cap",
        "175.10(a)(1)(i), (iii)",
        "read: source",
    ] {
        assert!(body.contains(words), "{words}");
    }
    let all = server.get("/goods?what=hairspray+300+mL&in=cabin").is(200).body;
    assert!(all.contains("MAY COME") && all.contains("strictest(au,nz,uk,us)"), "{all}");
    // What is said beside the words counts: the hold, the number.
    let hold = server.get("/goods?what=power+bank+74+Wh&in=hold&pack=au").is(200).body;
    assert!(hold.contains("forbidden"));
    let three = "/goods?what=power+bank+74+Wh&in=cabin&pack=au&count=3";
    assert!(server.get(three).is(200).body.contains("NOT AS IT IS"));
    let two = "/goods?what=power+bank+74+Wh&in=cabin&pack=au&count=2";
    assert!(server.get(two).is(200).body.contains("MAY COME"));
}

#[test]
fn what_cannot_be_used_is_said_beside_its_field() {
    let server = Server::demo();
    let many = format!("what={}", ["phone"; 41].join(";"));
    for (query, field) in [
        ("what=phone&in=moon", "in-error"),
        ("what=phone&count=0", "count-error"),
        ("what=phone&count=many", "count-error"),
        (many.as_str(), "what-error"),
    ] {
        let body = server.get(&format!("/goods?{query}")).is(422).body;
        assert!(body.contains(&format!("id=\"{field}\"")), "{query}");
        assert!(!body.contains("may come"), "{query}");
    }
    let body = server.get(&format!("/report/{READY}?event=fire")).is(422).body;
    assert!(body.contains("id=\"event-error\""));
    let body = server.get(&format!("/report/{READY}?event=spill&at=noon")).is(422).body;
    assert!(body.contains("id=\"at-error\"") && !body.contains("Who is told"));
    server.get("/goods?pack=nothing").is(422);
}

#[test]
fn a_stop_shows_beside_everybody_what_was_declared_and_the_answer() {
    let server = Server::demo();
    let stop = server.get(&format!("/stop/{READY}")).is(200).body;
    let people = &stop[stop.find("id=\"people\"").unwrap()..stop.find("id=\"start\"").unwrap()];
    assert!(people.contains("power bank") && people.contains("read: "), "{people}");
    let asked = api(&server, &format!("/api/screen/{READY}"));
    let things = asked["things"].as_array().unwrap();
    assert!(!things.is_empty());
    for thing in things {
        let (said, answer) = (thing["said"].as_str().unwrap(), thing["answer"].as_str().unwrap());
        assert!(people.contains(said) && people.contains(answer), "{said}: {answer}");
        let page = server.get(&format!("/goods/{READY}")).is(200).body;
        assert!(page.contains(said) && page.contains(answer), "{said}: {answer}");
    }
}

#[test]
fn goods_of_somebody_left_out_are_said_to_be_nobodys() {
    let server = Server::demo();
    let file = server.folder.join(format!("{READY}.toml"));
    let text = fs::read_to_string(&file).unwrap();
    let whose = "Ane Borrelk";
    let mut people = text.split("[[people]]").skip(1).map(|own| own.split("[[").next().unwrap());
    let place = people.position(|own| own.contains(&format!("\"{whose}\"")));
    let words = "left out: what they had in a bag stays in it, with nobody&#39;s name";
    let plain = words.replace("&#39;", "'");
    let has = |body: &str| body.contains(words) || body.contains(&plain);
    assert!(!has(&server.get(&format!("/stop/{READY}")).is(200).body));
    let away = format!("/stop/{READY}?people.{}.away=on", place.unwrap());
    assert!(has(&server.get(&away).is(200).body), "{whose}");
}

#[test]
fn the_manifest_has_every_leg_with_everybody_on_it() {
    let server = Server::demo();
    let page = server.get(&format!("/manifest/{READY}")).is(200).body;
    let answer = api(&server, &format!("/api/manifest/{READY}"));
    let legs = answer["legs"].as_array().unwrap();
    assert!(!legs.is_empty());
    assert_eq!(page.matches("id=\"leg-").count(), legs.len());
    for person in legs.iter().flat_map(|leg| leg["people"].as_array().unwrap()) {
        for key in ["name", "place", "basis", "restraint"] {
            let words = person[key].as_str().unwrap();
            assert!(page.contains(words), "{key}: {words}");
        }
    }
    for told in answer["told"].as_array().unwrap() {
        assert!(page.contains(told["what"].as_str().unwrap()));
    }
    // A change on the page of the stop changes the answer for programs too.
    let fewer = api(&server, &format!("/api/manifest/{READY}?people.1.away=on"));
    let aboard = |of: &Value| of["legs"][0]["people"].as_array().unwrap().len();
    assert_eq!(aboard(&fewer) + 1, aboard(&answer));
}

#[test]
fn days_are_listed_by_stop_and_of_every_stop_and_kept_as_a_calendar() {
    let server = Server::demo();
    let one = api(&server, &format!("/api/due/{READY}"));
    let things = one["due"].as_array().unwrap();
    let page = server.get(&format!("/due/{READY}")).is(200).body;
    let all = server.get("/due").is(200).body;
    let days: Vec<&str> = things.iter().filter_map(|thing| thing["until"].as_str()).collect();
    assert!(!days.is_empty());
    for day in &days {
        assert!(page.contains(day) && all.contains(day), "{day}");
    }
    let calendar = server.get(&format!("/calendar/{READY}")).is(200);
    assert_eq!(calendar.header("content-type"), Some("text/calendar; charset=utf-8"));
    let kept = calendar.header("content-disposition").unwrap();
    assert!(kept.starts_with("attachment; filename=") && kept.ends_with(".ics\""), "{kept}");
    assert_eq!(calendar.body.matches("BEGIN:VEVENT").count(), days.len());
    assert!(calendar.body.contains("TRIGGER"));
    // Of every stop: each thing once, though several stops ask for it.
    let everything = server.get("/calendar").is(200).body;
    let ids: Vec<&str> = everything
        .lines()
        .filter(|line| line.starts_with("UID:") && !line.contains("remind-"))
        .collect();
    let mut once = ids.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), ids.len());
    assert!(ids.len() >= days.len());
    let folder = api(&server, "/api/due-everything");
    assert!(
        folder["due"]
            .as_array()
            .unwrap()
            .iter()
            .any(|row| { row["stops"].as_array().unwrap().len() > 1 })
    );
    server.get("/calendar/nothing").is(404);
}

#[test]
fn after_an_event_the_page_says_who_is_told_by_when() {
    let server = Server::demo();
    let empty = server.get(&format!("/report/{READY}")).is(200).body;
    assert!(empty.contains("What happened?") && !empty.contains("Who is told"));
    let asked = "event=injury&at=2026-12-03+13:20&seen=a+hand+was+caught";
    let page = server.get(&format!("/report/{READY}?{asked}")).is(200).body;
    let answer = api(&server, &format!("/api/report/{READY}?{asked}"));
    let duties = answer["duties"].as_array().unwrap();
    assert!(!duties.is_empty());
    for duty in duties {
        for key in ["tell", "how", "when", "until"] {
            let words = duty[key].as_str().unwrap_or_default();
            assert!(page.contains(words), "{key}: {words}");
        }
    }
    assert!(duties.iter().any(|duty| duty["until"].is_string()));
    assert!(page.contains("a hand was caught") && page.contains("Nobody has sent it"));
    // Without a time none is worked out.
    let open = api(&server, &format!("/api/report/{READY}?event=injury"));
    assert!(open["duties"].as_array().unwrap().iter().all(|duty| duty["until"].is_null()));
}
