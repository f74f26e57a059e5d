//! Broken documents: each gives a problem at its place with a way out, and none a panic.
//!
//! The cases are data, `bad/cases.toml`: an edit of a document of `bad/base`, and what the
//! reader must say of it. What is too large for a file is made here.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod bad;

use std::cell::Cell;

use proptest::{
    prelude::*,
    test_runner::{Config, TestRunner},
};
use serde::Deserialize;
use stillprop_rules::{
    builtin,
    document::{LARGEST, Problem},
};
use stillprop_turnaround::{
    document::{
        Document, check_against, read_aircraft, read_any, read_day, read_strip, read_turnaround,
    },
    stage::Documents,
};

/// One row of `bad/cases.toml`, whose head says what each part means.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    base: Option<String>,
    replace: Option<String>,
    with: Option<String>,
    text: Option<String>,
    line: usize,
    covers: String,
    message: String,
    help: String,
}

#[derive(Deserialize)]
struct Cases {
    case: Vec<Case>,
}

const PACK: &str = include_str!("bad/base/pack.toml");
const DAY: &str = include_str!("bad/base/day.toml");

impl Case {
    fn text(&self) -> String {
        if let Some(text) = &self.text {
            return text.clone();
        }
        let base = bad::base();
        let base = match self.base.as_deref().unwrap() {
            "aircraft" => base.aircraft,
            "strip" => base.strip,
            "turnaround" => base.turnaround,
            "pack" => PACK.to_owned(),
            "day" => DAY.to_owned(),
            other => panic!("{}: there is no base {other}", self.name),
        };
        let (from, to) = (self.replace.as_ref().unwrap(), self.with.as_ref().unwrap());
        assert_eq!(base.matches(from).count(), 1, "{}: `{from}` stands there once", self.name);
        base.replacen(from, to, 1)
    }

    /// The first thing that is not as it should be.
    fn fault(&self) -> Option<String> {
        let text = self.text();
        let problems = problems(&text);
        let Some(first) = problems.first() else { return Some("it is read without a word".into()) };
        if let Some(unfit) = problems.iter().find_map(|problem| unfit(problem, &text)) {
            return Some(unfit);
        }
        let about_it = |problem: &&Problem| problem.message.contains(&self.message);
        let Some(problem) = problems.iter().find(about_it) else {
            return Some(format!("it says \"{}\"", first.message));
        };
        let (line, _) = problem.line_column(&text);
        let line = if problem.at.is_empty() { 0 } else { line };
        let help = problem.help.as_deref().unwrap_or_default();
        let covers = &text[problem.at.clone()];
        if line != self.line || covers != self.covers {
            Some(format!("\"{}\" points to {line}: `{covers}`", problem.message))
        } else if !help.contains(&self.help) || self.help.is_empty() || self.message.is_empty() {
            Some(format!("\"{}\" helps with \"{help}\"", problem.message))
        } else {
            None
        }
    }
}

/// Every problem of a text: alone, then, for a turnaround, with the documents of `base`.
fn problems(text: &str) -> Vec<Problem> {
    let turnaround = match read_any(text) {
        Err(problems) => return problems,
        Ok(Document::Turnaround(turnaround)) => turnaround,
        Ok(_) => return Vec::new(),
    };
    let valid = bad::read(&bad::base()).expect("the bases are valid");
    let problems = check_against(&turnaround, &valid.aircraft, &valid.strip, &valid.legs);
    let pack = builtin::rules(&turnaround.pack.value).err().into_iter().map(|problem| {
        let help = problem.help.clone().unwrap_or_default();
        Problem::new(turnaround.pack.at.clone(), problem.message).help(help)
    });
    problems.into_iter().chain(pack).collect()
}

/// Why a problem would not help a reader: no place, no words, no way out.
fn unfit(problem: &Problem, text: &str) -> Option<String> {
    let Problem { at, message, help } = problem;
    let about_the_whole = *at == (0..0);
    let visible = text.get(at.clone()).is_some_and(|covered| !covered.is_empty());
    let tells = |words: &str| !words.trim().is_empty() && !words.contains(char::is_control);
    if !about_the_whole && !visible {
        Some(format!("\"{message}\" has no place: {at:?}"))
    } else if !tells(message) || !help.as_deref().is_some_and(tells) {
        Some(format!("no words or no way out: {problem:?}"))
    } else if message.len() > 2000 {
        Some(format!("nobody reads {} bytes", message.len()))
    } else {
        None
    }
}

#[test]
fn every_broken_document_shows_its_place_and_a_way_out() {
    let Cases { case } = toml::from_str(include_str!("bad/cases.toml")).unwrap();
    let faults: Vec<String> =
        case.iter().filter_map(|case| Some(format!("{}: {}", case.name, case.fault()?))).collect();
    assert!(faults.is_empty(), "{} of {}:\n{}", faults.len(), case.len(), faults.join("\n"));
    assert!(case.len() >= 200, "{} cases: some were lost", case.len());
}

#[test]
fn the_unbroken_documents_are_right() {
    let documents = bad::read(&bad::base()).unwrap();
    let (stage, choice) = bad::stage(documents).unwrap();
    let limits = bad::judge(&stage, &choice);
    let unknown: Vec<_> = limits
        .iter()
        .filter(|(_, found)| found.verdict() == stillprop_turnaround::limits::Verdict::Unknown)
        .map(|(id, _)| id)
        .collect();
    assert!(unknown.is_empty(), "{unknown:?}");
    assert!(stillprop_rules::pack::Pack::read(PACK).is_ok());
    assert!(read_day(DAY).is_ok());
}

#[test]
fn a_document_of_another_kind_is_named_as_that() {
    let base = bad::base();
    for (problems, found, wanted) in [
        (read_aircraft(&base.strip).err(), "strip", "aircraft"),
        (read_strip(&base.turnaround).err(), "turnaround", "strip"),
        (read_turnaround(&base.aircraft).err(), "aircraft", "turnaround"),
        (read_turnaround(PACK).err(), "pack", "turnaround"),
        (read_day(&base.turnaround).err(), "turnaround", "day"),
    ] {
        let problems = problems.unwrap();
        let said = format!("this is a document of kind `{found}`, not `{wanted}`");
        assert_eq!(problems[0].message, said);
        assert!(!problems[0].at.is_empty());
        assert!(problems[0].help.as_ref().unwrap().contains(wanted));
    }
}

#[test]
fn a_document_too_large_is_refused_before_it_is_read() {
    let line = "# ten megabytes of remarks\n";
    let text = line.repeat(10 * 1024 * 1024 / line.len() + 1) + &bad::base().strip;
    let problems = read_any(&text).unwrap_err();
    assert!(problems[0].message.contains(&text.len().to_string()), "{}", problems[0].message);
    assert!(problems[0].help.as_ref().unwrap().contains("a few kilobytes"));
    assert_eq!(problems[0].at, 0..0);
    // Both sides of the bound, with a document that is right but for its length.
    let strip = bad::base().strip;
    let full = strip.clone() + &"#".repeat(LARGEST - strip.len());
    assert!(read_strip(&full).is_ok());
    assert!(read_strip(&(full + "#")).is_err());
}

#[test]
fn deep_nesting_is_refused() {
    for levels in [1_000, 10_000, LARGEST / 8] {
        let nested = [
            format!("x = {}1{}", "[".repeat(levels), "]".repeat(levels)),
            format!("x = {}", "[".repeat(levels)),
            format!("x = {}1{}", "{a=".repeat(levels), "}".repeat(levels)),
            format!("x = {}", "{a=".repeat(levels)),
            format!("x = {}", "[{a=".repeat(levels)),
            format!("x{} = 1", ".a".repeat(levels)),
            format!("[x{}]", ".a".repeat(levels)),
            format!("[[x{}]]", ".a".repeat(levels)),
            "[".repeat(levels),
        ];
        for tail in nested {
            let text = format!("kind = \"aircraft\"\n{tail}\n");
            let problems = problems(&text);
            let what = &tail[..20.min(tail.len())];
            assert!(!problems.is_empty(), "{levels} levels of {what} are read without a word");
            for problem in &problems {
                assert_eq!(unfit(problem, &text), None, "{levels} levels of {what}");
            }
        }
    }
}

/// `count` corners up the forward side and as many down the aft side.
fn corners(count: u32) -> String {
    let corner = |step: u32, arm: f64| {
        let mass = 1400.0 + 910.0 * f64::from(step) / f64::from(count);
        format!("  {{ mass = \"{mass} lb\", arm = \"{arm} in\" }},\n")
    };
    let up = (0..=count).map(|step| corner(step, 35.0));
    let down = (0..=count).rev().map(|step| corner(step, 47.0));
    up.chain(down).collect()
}

#[test]
fn many_of_everything_is_judged_too() {
    let base = bad::base();
    let start = base.aircraft.find("  { mass = \"1400 lb\"").unwrap();
    let end = start + base.aircraft[start..].find("]\n").unwrap();
    let mut aircraft = base.aircraft.clone();
    aircraft.replace_range(start..end, &corners(1_000));
    let seats: String = (0..2_000)
        .map(|n| format!("[[seats]]\nlabel = \"{n}\"\nrow = 2\narm = \"40 in\"\nbelt = true\n\n"))
        .collect();
    let aircraft = aircraft.replacen("[[lockers]]", &format!("{seats}[[lockers]]"), 1);
    let items: String = (0..2_000)
        .map(|n| {
            format!(
                "[[items]]\nwhat = \"box\"\nin = \"{n}\"\nmass = \"1 g\"\nknown = \"weighed\"\n\n"
            )
        })
        .collect();
    let turnaround = base.turnaround.replacen("[fuel]", &format!("{items}[fuel]"), 1);
    let documents = bad::read(&bad::Texts { aircraft, turnaround, ..base }).unwrap();
    assert_eq!(documents.aircraft.envelopes[0].corners.value.len(), 2_002);
    let (stage, choice) = bad::stage(documents).unwrap();
    assert!(bad::judge(&stage, &choice).len() > 2_000);
}

/// Reads a changed text in the place of the document it was, and judges what comes of it.
/// True when it was read without a problem.
fn survives(texts: &[String; 6], valid: &Documents, which: usize, text: &str) -> bool {
    let mut documents = valid.clone();
    let read = match which {
        0 => read_aircraft(text).map(|read| documents.aircraft = read),
        1 => read_strip(text).map(|read| documents.strip = read),
        2 => read_strip(text).map(|read| documents.legs[0] = Some(read)),
        3 => read_turnaround(text).map(|read| documents.turnaround = read),
        _ => read_any(text).map(|_| ()),
    };
    // Problems between documents have their place in the turnaround.
    let turnaround = if which == 3 { text } else { &texts[3] };
    let legs = documents.turnaround.legs.len();
    documents.legs.resize(legs, None);
    let (problems, text) = match read.map(|()| bad::whole(documents)) {
        Err(problems) => (problems, text),
        Ok(Err(problems)) => (problems, turnaround),
        Ok(Ok(documents)) => {
            if let Ok((stage, choice)) = bad::stage(documents) {
                bad::judge(&stage, &choice);
            }
            return which < 4;
        }
    };
    assert!(!problems.is_empty());
    for problem in problems {
        assert_eq!(unfit(&problem, text), None);
    }
    false
}

fn texts() -> [String; 6] {
    let mut base = bad::base();
    let there = base.legs.remove(0).unwrap();
    [base.aircraft, base.strip, there, base.turnaround, PACK.to_owned(), DAY.to_owned()]
}

/// One edit of bytes: where, how many are taken out, what is put in.
fn edit() -> impl Strategy<Value = (prop::sample::Index, usize, Vec<u8>)> {
    let marks = prop::sample::select(b"\"'[]{}=,.#\n\\ -+0e9xT:".to_vec());
    let byte = prop_oneof![3 => marks, 1 => any::<u8>()];
    (any::<prop::sample::Index>(), 0..6_usize, prop::collection::vec(byte, 0..4))
}

#[test]
fn random_edits_of_valid_documents_never_panic() {
    let (texts, valid) = (texts(), bad::read(&bad::base()).unwrap());
    let cases = 3_000;
    let read = Cell::new(0);
    let inputs = (0..texts.len(), prop::collection::vec(edit(), 1..3));
    let mut runner =
        TestRunner::new(Config { cases, failure_persistence: None, ..Config::default() });
    runner
        .run(&inputs, |(which, edits)| {
            let mut bytes = texts[which].clone().into_bytes();
            for (place, taken, put) in edits {
                let at = place.index(bytes.len() + 1);
                let end = (at + taken).min(bytes.len());
                bytes.splice(at..end, put);
            }
            if survives(&texts, &valid, which, &String::from_utf8_lossy(&bytes)) {
                read.set(read.get() + 1);
            }
            Ok(())
        })
        .unwrap();
    // Were nothing read, the second half of the way would not have been tried.
    assert!(read.get() > cases / 40, "only {} were read", read.get());
}

/// Where the quantities of a text stand, without their quotation marks.
fn quantities(text: &str) -> Vec<std::ops::Range<usize>> {
    let starts = |found: &str| found.starts_with(|c: char| c.is_ascii_digit() || c == '-');
    let mut places = Vec::new();
    for (line, at) in text.lines().scan(0, |at, line| {
        let start = *at;
        *at += line.len() + 1;
        Some((line, start))
    }) {
        let mut from = 0;
        for (index, part) in line.split('"').enumerate() {
            if index % 2 == 1 && starts(part) {
                places.push(at + from..at + from + part.len());
            }
            from += part.len() + 1;
        }
    }
    places
}

#[test]
fn whatever_reads_fine_can_be_judged() {
    let (texts, valid) = (texts(), bad::read(&bad::base()).unwrap());
    let cases = 2_000;
    let read = Cell::new(0);
    let number = prop_oneof![
        4 => -1000.0..10_000.0_f64,
        2 => prop::sample::select(vec![0.0, -0.0, 1e-300, 1e300, f64::MIN_POSITIVE, 50.0, 90.0, 180.0]),
        1 => prop::num::f64::NORMAL,
    ];
    let change = (any::<prop::sample::Index>(), number, any::<bool>());
    let inputs = (0..4_usize, prop::collection::vec(change, 1..4));
    let mut runner =
        TestRunner::new(Config { cases, failure_persistence: None, ..Config::default() });
    runner
        .run(&inputs, |(which, changes)| {
            let mut text = texts[which].clone();
            for (place, number, scaled) in changes {
                let places = quantities(&text);
                let at = places[place.index(places.len())].clone();
                let written = text[at.clone()].to_owned();
                let (old, unit) = written.split_once(' ').unwrap_or((&written, ""));
                let old: f64 = old.parse().unwrap_or(1.0);
                let new = if scaled { old * number / 1000.0 } else { number };
                text.replace_range(at, &format!("{new:e} {unit}"));
            }
            if survives(&texts, &valid, which, &text) {
                read.set(read.get() + 1);
            }
            Ok(())
        })
        .unwrap();
    assert!(read.get() > cases / 10, "only {} were read", read.get());
}
