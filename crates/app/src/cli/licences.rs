//! `licences`: the notices that go along with a built program.

use std::fmt::Write;

use clap::Args;
use serde_json::json;

use super::Answer;
use crate::{problem::Failure, report::text::CAUTION};

/// Options of `licences`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

const PROGRAM: &str = "MIT OR Apache-2.0";

const CRATES: &str = "The program is built from the crates that Cargo.lock names, each with its \
                      own licence in its own folder: cargo metadata lists them. Whoever hands out \
                      a built program adds their notices too.";

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let letters = stillprop_papers::notices();
    if letters.len() < 2 {
        let message = "the letters of the program say nothing of their licence";
        return Err(Failure::asked(message, "report this, and hand this program to nobody"));
    }
    if options.json {
        return Ok(Answer::json(json!({
            "program": PROGRAM,
            "letters": letters,
            "crates": CRATES,
            "caution": CAUTION,
        })));
    }
    let mut out = format!("Stillprop: {PROGRAM}\n\n{CRATES}\n\nTHE LETTERS OF THE PAPERS\n");
    for notice in &letters {
        let _ = writeln!(out, "\n{notice}");
    }
    let _ = writeln!(out, "\n{CAUTION}");
    Ok(Answer::text(out))
}
