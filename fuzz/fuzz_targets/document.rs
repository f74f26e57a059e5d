//! Any bytes as a document: read, put in the place of the valid one of its kind, judged.

#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use stillprop_rules::{builtin, document::Problem};
use stillprop_turnaround::{
    document::{Document, check_against, read_aircraft, read_any, read_strip, read_turnaround},
    limits::{Margins, Verdict},
    stage::{Documents, prepare},
};

macro_rules! base {
    ($name:literal) => {
        include_str!(concat!("../../crates/turnaround/tests/bad/base/", $name, ".toml"))
    };
}

static VALID: LazyLock<Documents> = LazyLock::new(|| Documents {
    aircraft: read_aircraft(base!("aircraft")).expect("a valid aircraft"),
    strip: read_strip(base!("strip")).expect("a valid strip"),
    legs: vec![Some(read_strip(base!("there")).expect("a valid strip"))],
    turnaround: read_turnaround(base!("turnaround")).expect("a valid turnaround"),
    yard: None,
});

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    match read_any(&text) {
        Err(problems) => {
            assert!(!problems.is_empty());
            problems.iter().for_each(|problem| tells(problem, &text));
        }
        Ok(document) => judge(document, &text),
    }
});

/// A problem has a place one can point at, words and a way out.
fn tells(problem: &Problem, text: &str) {
    let covered = text.get(problem.at.clone());
    let visible = covered.is_some_and(|covered| !covered.is_empty());
    assert!(visible || problem.at == (0..0), "{problem:?}");
    let (line, column) = problem.line_column(text);
    assert!(line >= 1 && column >= 1);
    let help = problem.help.as_deref().unwrap_or_default();
    for words in [&problem.message, help] {
        assert!(!words.trim().is_empty() && !words.contains(char::is_control), "{problem:?}");
    }
}

/// Puts the document in the place of the valid one of its kind and runs every limit.
fn judge(document: Document, text: &str) {
    let mut documents = VALID.clone();
    let in_turnaround = match document {
        Document::Aircraft(aircraft) => {
            documents.aircraft = *aircraft;
            base!("turnaround")
        }
        Document::Strip(strip) => {
            documents.legs = vec![Some((*strip).clone())];
            documents.strip = *strip;
            base!("turnaround")
        }
        Document::Turnaround(turnaround) => {
            documents.turnaround = *turnaround;
            let there = documents.legs.first().cloned().flatten();
            documents.legs = vec![there; documents.turnaround.legs.len()];
            text
        }
        Document::Day(_) | Document::Pack(_) => return,
    };
    let Documents { turnaround, aircraft, strip, legs, .. } = &documents;
    let problems = check_against(turnaround, aircraft, strip, legs);
    problems.iter().for_each(|problem| tells(problem, in_turnaround));
    let Ok(rules) = builtin::rules(&turnaround.pack.value) else { return };
    if !problems.is_empty() {
        return;
    }
    let (stage, choice) = prepare(documents, &rules);
    let mut margins = Margins::default();
    stage.margins(&choice, &mut margins);
    for margin in &margins.limits {
        let unknown = margin.verdict == Verdict::Unknown;
        assert!(unknown == margin.margin.is_nan() && !margin.margin.is_infinite(), "{margin:?}");
    }
}
