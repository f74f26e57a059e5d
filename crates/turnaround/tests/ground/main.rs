//! The limits of the ground through documents: each holds, breaks and is unknown; both sides of
//! every bound; the published check values; laws that no apron may break; and every distance
//! against a library that shares no code with ours.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[path = "../bad/mod.rs"]
mod bad;

mod edges;
mod independent;
mod laws;
mod start;
mod verdicts;
mod views;
mod walking;

use std::{collections::BTreeMap, path::Path};

use bad::Texts;
use stillprop_turnaround::{
    assess::assess,
    limits::{Found, Measure, Verdict, Words},
    stage::{Choice, Documents, Stage},
    units::Units,
};

/// Every demonstration turnaround that parks somewhere, and the documents of `bad/base`.
const PARKED: [&str; 8] = [
    "base",
    "crowded-apron",
    "hand-start",
    "spill",
    "ready",
    "over-mass",
    "mid-burn",
    "last-light",
];

/// The texts of a turnaround of the demo, or those of `bad/base`.
fn texts(name: &str) -> Texts {
    if name == "base" {
        return bad::base();
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/turnarounds");
    bad::beside(&folder.join(name).with_extension("toml"))
}

fn documents(name: &str) -> Documents {
    read(name, &texts(name))
}

fn read(name: &str, texts: &Texts) -> Documents {
    bad::read(texts).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
}

fn stage(documents: Documents) -> (Stage, Choice) {
    bad::stage(documents).unwrap()
}

/// A change of a document.
#[derive(Clone, Debug)]
enum Edit {
    /// In the turnaround: what stands there once, and what comes in its place.
    Day(String, String),
    /// In the aircraft.
    Craft(String, String),
    /// In the strip.
    Strip(String, String),
    /// A table of the turnaround, from its head to the next head.
    NoDayTable(&'static str),
    /// A table of the aircraft.
    NoCraftTable(&'static str),
}

fn day(replace: &str, with: impl Into<String>) -> Edit {
    Edit::Day(replace.into(), with.into())
}

fn craft(replace: &str, with: impl Into<String>) -> Edit {
    Edit::Craft(replace.into(), with.into())
}

fn strip(replace: &str, with: impl Into<String>) -> Edit {
    Edit::Strip(replace.into(), with.into())
}

fn edited(name: &str, edits: &[Edit]) -> Texts {
    fn once(text: &mut String, replace: &str, with: &str) {
        assert_eq!(text.matches(replace).count(), 1, "`{replace}` must stand there once");
        *text = text.replace(replace, with);
    }
    fn without(text: &mut String, head: &str) {
        let start = text.find(&format!("\n{head}\n")).unwrap_or_else(|| panic!("no {head}"));
        let rest = &text[start + 1..];
        let end = rest.find("\n[").map_or(text.len(), |end| start + 1 + end);
        text.replace_range(start..end, "");
    }
    let mut texts = texts(name);
    for edit in edits {
        match edit {
            Edit::Day(replace, with) => once(&mut texts.turnaround, replace, with),
            Edit::Craft(replace, with) => once(&mut texts.aircraft, replace, with),
            Edit::Strip(replace, with) => once(&mut texts.strip, replace, with),
            Edit::NoDayTable(head) => without(&mut texts.turnaround, head),
            Edit::NoCraftTable(head) => without(&mut texts.aircraft, head),
        }
    }
    texts
}

/// Every limit of a turnaround with its words.
struct Judged {
    found: BTreeMap<String, Found>,
    words: BTreeMap<String, Words>,
}

impl Judged {
    fn of(documents: Documents) -> Self {
        let (stage, choice) = stage(documents);
        let found = bad::judge(&stage, &choice);
        let said = assess(&stage, &choice, &Units::METRIC);
        let words = said.limits.into_iter().map(|limit| (limit.id, limit.words)).collect();
        Self { found, words }
    }

    fn after(name: &str, edits: &[Edit]) -> Self {
        Self::of(read(&format!("{name} {edits:?}"), &edited(name, edits)))
    }

    fn verdict(&self, id: &str) -> Verdict {
        let found = self.found.get(id);
        found.unwrap_or_else(|| panic!("no limit {id} in {:?}", self.found.keys())).verdict()
    }

    fn measure(&self, id: &str) -> Measure {
        match self.found.get(id) {
            Some(Found::Measured(measure)) => *measure,
            other => panic!("{id} is not measured: {other:?}"),
        }
    }

    /// How it stands, what to do and what to know, in one line.
    fn said(&self, id: &str) -> String {
        let Words { stands, act, remark } = &self.words[id];
        [Some(stands), act.as_ref(), remark.as_ref()].map(|text| text.map_or("", |t| t)).join(" | ")
    }

    /// Names of the limits that begin so.
    fn named(&self, begin: &str) -> Vec<&str> {
        self.found.keys().map(String::as_str).filter(|id| id.starts_with(begin)).collect()
    }
}

/// One row: a turnaround, what is changed, a limit, what becomes of it, and part of its words.
struct Case {
    on: &'static str,
    edits: Vec<Edit>,
    id: &'static str,
    verdict: Verdict,
    says: &'static str,
}

/// A row of a table.
fn row(
    on: &'static str,
    edits: impl IntoIterator<Item = Edit>,
    id: &'static str,
    verdict: Verdict,
    says: &'static str,
) -> Case {
    Case { on, edits: edits.into_iter().collect(), id, verdict, says }
}

/// Runs a table.
fn run(cases: &[Case]) {
    let mut wrong = Vec::new();
    for Case { on, edits, id, verdict, says } in cases {
        let judged = Judged::after(on, edits);
        let (is, said) = (judged.verdict(id), judged.said(id));
        if is != *verdict || !said.contains(says) {
            wrong.push(format!("{on} {edits:?}\n  {id} {}: {said}\n  wanted {says}", is.word()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Limits that a table shows holding, breaking and unknown, each with what it lacks.
fn lacking(cases: &[Case], ids: &[&str]) -> Vec<String> {
    let seen =
        |id: &str, verdict| cases.iter().any(|case| case.id == id && case.verdict == verdict);
    let all = [Verdict::Holds, Verdict::Breaks, Verdict::Unknown];
    let each = ids.iter().flat_map(|id| all.map(|verdict| (*id, verdict)));
    each.filter(|(id, verdict)| !seen(id, *verdict))
        .map(|(id, verdict)| format!("{id} {}", verdict.word()))
        .collect()
}
