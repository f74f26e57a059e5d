//! `packs`: the rule packs and their figures.

use std::fmt::Write;

use clap::Args;

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::{answer, packs::built_in, text::CAUTION},
};

/// Options of `packs`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// A pack or a combination; all packs are listed when left out
    name: Option<String>,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    match &options.name {
        None => list(options.json),
        Some(name) => figures(name, options.json),
    }
}

fn list(as_json: bool) -> Result<Answer, Failure> {
    let packs = built_in()?;
    if as_json {
        return Ok(Answer::json(answer::value(&answer::packs::list(&packs))));
    }
    let mut out = String::new();
    for pack in &packs {
        let over = pack.over.as_ref().map_or(String::new(), |over| format!(", over {over}"));
        let _ = writeln!(
            out,
            "{:<14} {}{over}; edition {}, checked {}, {} figures",
            pack.id,
            pack.title,
            pack.edition,
            pack.checked.0,
            pack.figures.len()
        );
    }
    let _ = writeln!(out, "\n{CAUTION}");
    Ok(Answer::text(out))
}

fn figures(name: &str, as_json: bool) -> Result<Answer, Failure> {
    let rules = load::rules(name)?;
    if as_json {
        return Ok(Answer::json(answer::value(&answer::packs::figures(&rules))));
    }
    let mut out = String::new();
    for pack in rules.packs() {
        let _ = writeln!(out, "{}: {} (edition {})", pack.id, pack.title, pack.edition);
        for figure in &pack.figures {
            let when = figure.when.to_string();
            let when = if when.is_empty() { String::new() } else { format!("  when {when}") };
            let _ = writeln!(out, "\n  {} = {}{when}", figure.key, figure.says);
            let _ = writeln!(out, "    {}", figure.citation);
            let _ = writeln!(out, "    {}, read: {}", figure.status, figure.read);
            if let Some(note) = &figure.note {
                let _ = writeln!(out, "    {note}");
            }
        }
        let lacks: Vec<_> = pack.lacks().iter().map(ToString::to_string).collect();
        if !lacks.is_empty() {
            let _ = writeln!(out, "\n  no figure at all for: {}\n", lacks.join(", "));
        }
    }
    let _ = writeln!(out, "{CAUTION}");
    Ok(Answer::text(out))
}
