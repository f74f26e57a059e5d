//! Hostile text in every text of every record, and in what is typed: text on every page.

use std::collections::{BTreeMap, BTreeSet};

use proptest::{
    strategy::{Strategy as _, ValueTree as _},
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};
use stillprop_ledger::{
    event::{Body, v2},
    record::{DeviceId, Draft, RecordId},
    store::{Sqlite, Store as _},
};
use uuid::Uuid;

use crate::{
    client::{encoded, field, form},
    fields::each_word,
    judge::{judged, plain},
    markup::{EVIL, MARK, hostile, links},
    program::{Folder, Server},
};

const STOP: &str = "turnarounds/over-mass";

/// What may happen on a sheet, each with every text it can have.
fn of_a_sheet() -> Vec<v2::Event> {
    let sheet = Uuid::from_u128(7);
    let text = |text: &str| text.to_owned();
    let some = |text: &str| Some(text.to_owned());
    let by = || v2::Doer { role: text("helper"), person: some("Ansa Verrel") };
    let reading = || Some(v2::Reading { typed: text("12 L"), whole: Vec::new() });
    vec![
        v2::Event::SheetOpened(v2::SheetOpened {
            sheet,
            turnaround: text("TITLE"),
            aircraft: text("REGISTRATION"),
            place: text("PLACE"),
            documents: text("00"),
            method: text("from a pump"),
            people: 2,
        }),
        v2::Event::TaskDone(v2::TaskDone {
            sheet,
            task: text("chocks"),
            by: by(),
            reading: reading(),
            note: some("as found"),
        }),
        v2::Event::HoldRefused(v2::HoldRefused {
            sheet,
            task: text("sample"),
            by: by(),
            reading: reading(),
            why: text("hazy"),
        }),
        v2::Event::Interrupted(v2::Interrupted { sheet, note: some("rain") }),
        v2::Event::Resumed(v2::Resumed { sheet, note: some("dry again") }),
        v2::Event::StopCalled(v2::StopCalled { sheet, stop: v2::Stop::Fire, note: some("smoke") }),
        v2::Event::StopStepDone(v2::StopStepDone {
            sheet,
            stop: v2::Stop::Fire,
            step: 1,
            what: text("people away"),
            by: by(),
            note: some("to the gate"),
        }),
        v2::Event::SheetClosed(v2::SheetClosed {
            sheet,
            outcome: v2::Outcome::Stopped,
            note: some("all well"),
        }),
    ]
}

/// What is recorded of the demonstration's yard, and of a sheet.
fn bodies() -> Vec<(i64, String, serde_json::Value)> {
    let yard = include_str!("../../../../demo/yard.jsonl");
    let mut all = Vec::new();
    for line in yard.lines().skip(1) {
        let record: serde_json::Value = serde_json::from_str(line).unwrap();
        let (Some(at), Some(id)) = (record["at_ms"].as_i64(), record["id"].as_str()) else {
            continue;
        };
        all.push((at, id.to_owned(), record["body"].clone()));
    }
    let last = all.iter().map(|(at, ..)| *at).max().unwrap();
    for (number, event) in (0_i64..).zip(of_a_sheet()) {
        let id = Uuid::from_u128(0x7000_0000_0000_0000_8000_0000_0000_0000 + number as u128 + 1);
        let body = serde_json::to_value(Body::V2(event)).unwrap();
        all.push((last + 1000 * (number + 1), id.to_string(), body));
    }
    all
}

/// Every text of a body that can be another one, is: the same text becomes the same one, so that
/// places, batches and labels go on meaning each other.
fn poisoned(
    body: &serde_json::Value,
    known: &mut BTreeMap<String, String>,
    text: &mut impl FnMut(usize) -> String,
) -> Body {
    let mut count = 0;
    each_word(&mut body.clone(), &mut |_, _| count += 1);
    let mut body = body.clone();
    for place in 0..count {
        let mut other = body.clone();
        let mut here = 0;
        each_word(&mut other, &mut |key, word| {
            // By these a stop finds its sheets: they are texts of documents.
            let named = match word.as_str() {
                "TITLE" => Some("Four up from Oumbrel to Taskel Bend with the bags for a week"),
                "REGISTRATION" => Some("QK-FFR"),
                "PLACE" => Some("Oumbrel"),
                _ => None,
            };
            if here == place {
                let number = known.len();
                *word = match named {
                    Some(named) => named.to_owned(),
                    None => known
                        .get(word)
                        .cloned()
                        .unwrap_or_else(|| format!("{key} {}", text(number))),
                };
            }
            here += 1;
        });
        // Kinds, days and ids are no free text.
        if serde_json::from_value::<Body>(other.clone()).is_ok() {
            let (mut old, mut new) = (Vec::new(), Vec::new());
            each_word(&mut body, &mut |_, word| old.push(word.clone()));
            each_word(&mut other, &mut |_, word| new.push(word.clone()));
            if new[place].contains(MARK) {
                known.insert(old[place].clone(), new[place].clone());
            }
            body = other;
        }
    }
    serde_json::from_value(body).unwrap()
}

/// A ledger whose every text is hostile; gives how many different texts there are.
fn poison(folder: &Folder, text: &mut impl FnMut(usize) -> String) -> usize {
    let mut store = Sqlite::create(&folder.path("yard.ledger")).unwrap();
    let mut known = BTreeMap::new();
    let drafts = bodies().into_iter().map(|(at, id, body)| Draft {
        id: RecordId(id.parse().unwrap()),
        at: jiff::Timestamp::from_millisecond(at).unwrap(),
        author: format!("{MARK}9999q{EVIL}"),
        event: poisoned(&body, &mut known, text),
    });
    let drafts: Vec<Draft> = drafts.collect();
    store.append(DeviceId(Uuid::from_u128(5)), drafts).unwrap();
    known.len()
}

/// Looks at every page that shows records; gives the numbers of the texts that came out.
fn look(server: &Server) -> BTreeSet<usize> {
    let mut open: Vec<String> =
        ["/", "/yard", "/stop/turnarounds/over-mass"].map(String::from).into();
    open.push(format!("/sheet/{STOP}"));
    open.push(format!("/sheet/{STOP}?recap=1"));
    let mut known: BTreeSet<String> = open.iter().cloned().collect();
    let mut marks = BTreeSet::new();
    let mut pages = 0;
    while let Some(path) = open.pop() {
        let answer = server.get(&path, &[]).is(200);
        let seen = judged(&path, &answer.body);
        pages += 1;
        let numbers = seen.texts.iter().flat_map(|text| text.split(MARK).skip(1));
        marks.extend(numbers.filter_map(|rest| rest.split('q').next()?.parse::<usize>().ok()));
        for to in links(&answer.body) {
            if (to.starts_with("/drum/") || to.starts_with("/yard")) && known.insert(to.clone()) {
                open.push(to);
            }
        }
    }
    assert!(pages > 40, "{pages}");
    marks
}

/// Not longer than a record may be with many of them.
fn short(text: &str) -> String {
    text.chars().take(400).collect()
}

#[test]
fn hostile_text_in_every_text_of_every_record_is_text() {
    let mut runner = TestRunner::new_with_rng(
        Config::default(),
        TestRng::deterministic_rng(RngAlgorithm::ChaCha),
    );
    for case in 0..3 {
        let mut text = |number: usize| match case {
            0 => format!("{MARK}{number}q{EVIL}"),
            _ => format!(
                "{MARK}{number}q{}",
                short(&hostile().new_tree(&mut runner).unwrap().current())
            ),
        };
        let folder = Folder::new();
        let tried = poison(&folder, &mut text);
        let server = Server::demo(&folder);
        let shown = look(&server);
        println!("case {case}: {} of {tried} texts of records shown", shown.len());
        // The author of each record came out as well.
        let enough = tried >= 200 && shown.len() >= 195 && shown.contains(&9999);
        assert!(enough, "{} of {tried}", shown.len());
    }
}

#[test]
fn hostile_text_that_is_typed_is_text() {
    let folder = Folder::new();
    let server = Server::demo(&folder);
    let reply = server.fill("/name", &[("by", &EVIL[..70]), ("back", "/")], &[]).is(303);
    let cookie = reply.header("set-cookie").split(';').next().unwrap().to_owned();
    let (mut tried, mut whole) = (0, 0);
    let mut look = |what: &str, path: &str| {
        let answer = server.get(path, &[("Cookie", &cookie)]);
        let seen = judged(&format!("{what} {path}"), &answer.body);
        tried += 1;
        let evil = plain(EVIL);
        whole += usize::from(seen.texts.iter().any(|text| plain(text).contains(&evil)));
        seen
    };
    let seen = look("name", "/");
    assert!(seen.texts.iter().any(|text| text == &EVIL[..70]), "the name is kept as it is");
    let stop = "turnarounds/ready";
    for name in [
        "people.0.name",
        "people.0.seat",
        "people.new.name",
        "items.0.what",
        "items.new.what",
        "weather.temperature",
        "departs",
        "take_off",
        "fuel.0.volume",
        "x",
    ] {
        let query = form(&[(name, EVIL)]);
        look(name, &format!("/stop/{stop}?{query}"));
        look(name, &format!("/part/stop/{stop}?{query}"));
        look(name, &format!("/stop/{stop}?why=load.ramp-mass&{query}"));
    }
    let evil = encoded(EVIL);
    for path in [
        format!("/stop/{evil}"),
        format!("/drum/{evil}"),
        format!("/document/{evil}"),
        format!("/export/{evil}"),
        format!("/yard?pack={evil}"),
        format!("/yard/batch?name={evil}"),
        format!("/stop/{stop}?why={evil}"),
        format!("/sheet/{stop}?as={evil}&said={evil}&put={evil}"),
        format!("/packs?pack={evil}"),
        format!("/goods?what={evil};{evil}&in={evil}&count={evil}&pack=au"),
        format!("/goods?what={evil};{evil}"),
        format!("/goods?pack={evil}"),
        format!("/goods/{evil}"),
        format!("/manifest/{evil}"),
        format!("/due/{evil}"),
        format!("/report/{stop}?event=spill&at={evil}&seen={evil}"),
        format!("/report/{stop}?event=spill&seen={evil}"),
        format!("/report/{stop}?event={evil}"),
        format!("/yard/record/draw?drum={evil}"),
        format!("/yard/record/receive?label={evil}&place={evil}&batch={evil}&grade={evil}"),
        format!("/{evil}?{evil}"),
    ] {
        look("path", &path);
    }
    println!("typed: {tried} tried, {whole} shown whole");
    assert!(whole >= 24, "{whole} of {tried}");
    let headers = [("Cookie", cookie.as_str())];
    let send = |path: &str, fields: &[(&str, &str)]| {
        let answer = server.fill(path, fields, &headers);
        if answer.status != 303 {
            judged(path, &answer.body);
        }
        answer
    };
    let sheet = format!("/sheet/{stop}");
    let token = field(&server.get(&sheet, &[]).body, "token");
    send(&sheet, &[("do", "begin"), ("token", &token)]).is(303);
    for does in ["done", "reread", "put", "stop", "step", "undo", EVIL] {
        let fields = [("do", does), ("task", "chocks"), ("r", EVIL), ("note", EVIL), ("why", EVIL)];
        send(&sheet, &fields);
    }
    send("/documents", &[("name", EVIL), ("text", EVIL)]).is(404);
    send("/documents", &[("name", "strips/new"), ("text", EVIL)]).is(422);
    send("/document/turnarounds/ready", &[("do", "check"), ("text", EVIL), ("before", EVIL)])
        .is(422);
    send("/begin", &[("aircraft", EVIL)]).is(422);
    for verb in ["receive", "stand", "sample", "draw", "count", "condemn", EVIL] {
        let all = [
            "drum", "label", "place", "grade", "batch", "supplier", "filled", "contents",
            "capacity", "seals", "note", "why", "by", "reason", "into", "aircraft", "volume",
        ];
        let fields: Vec<(&str, &str)> = all.iter().map(|name| (*name, EVIL)).collect();
        assert!(send(&format!("/yard/record/{}", encoded(verb)), &fields).status >= 400);
    }
    for path in [&sheet, "/stop/turnarounds/ready", "/", "/yard"] {
        judged(path, &server.get(path, &headers).is(200).body);
    }
}
