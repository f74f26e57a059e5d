//! Broken documents: each gives a problem at its place with a way out, and none a panic.
//!
//! The cases are data, `bad/cases.toml`: an edit of a document of `bad/base`, and what the
//! reader must say of it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod bad;

use bad::base;
use stillprop_rules::document::Problem;
use stillprop_turnaround::document::{Document, check_against, read_any};

#[test]
fn probe() {
    let cases = std::fs::read_to_string("/tmp/probe.txt").unwrap();
    for block in cases.split("\n====\n") {
        let mut parts = block.splitn(3, "\n----\n");
        let (base, from, with) = (parts.next().unwrap().trim(), parts.next().unwrap(), parts.next().unwrap());
        let b = bad::base();
        let text = match base { "aircraft" => b.aircraft, "strip" => b.strip, "turnaround" => b.turnaround, "pack" => include_str!("bad/base/pack.toml").into(), _ => String::new() };
        let text = if base == "text" { with.to_string() } else { assert_eq!(text.matches(from).count(), 1, "{from}"); text.replacen(from, with, 1) };
        let problems = problems(&text);
        println!("### {base}: {from:?} -> {with:?}");
        if problems.is_empty() { println!("   NO PROBLEM"); }
        for p in problems {
            let (l, c) = p.line_column(&text);
            println!("   {l}:{c} {:?}\n      M {}\n      H {:?}", text.get(p.at.clone()).map(|s| s.chars().take(60).collect::<String>()), p.message, p.help);
        }
    }
}

/// Every problem of a text: alone, then, for a turnaround, against the valid documents.
fn problems(text: &str) -> Vec<Problem> {
    match read_any(text) {
        Err(problems) => problems,
        Ok(Document::Turnaround(turnaround)) => {
            let valid = bad::read(&base()).expect("the bases are valid");
            check_against(&turnaround, &valid.aircraft, &valid.strip, &valid.legs)
        }
        Ok(_) => Vec::new(),
    }
}
