//! `packs`: the rule packs and their figures.

use std::fmt::Write;

use clap::Args;
use stillprop_rules::pack::{Citation, Pack, Read, Status};

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
            let when = when(&figure.when.to_string());
            let _ = writeln!(out, "\n  {} = {}{when}", figure.key, figure.says);
            let _ = writeln!(out, "    {}", figure.citation);
            let _ = writeln!(out, "    {}, read: {}", figure.status, figure.read);
            if let Some(note) = &figure.note {
                let _ = writeln!(out, "    {note}");
            }
        }
        briefing(&mut out, pack);
        duties(&mut out, pack);
        exceptions(&mut out, pack);
        let lacks: Vec<_> = pack.lacks().iter().map(ToString::to_string).collect();
        if !lacks.is_empty() {
            let _ = writeln!(out, "\n  no figure at all for: {}\n", lacks.join(", "));
        }
    }
    let _ = writeln!(out, "{CAUTION}");
    Ok(Answer::text(out))
}

fn title(out: &mut String, any: bool, words: &str) {
    if any {
        let _ = writeln!(out, "\n  {words}");
    }
}

/// Where something comes from, how binding it is and how it was read.
fn said(out: &mut String, citation: &Citation, how: (Status, Read), note: Option<&String>) {
    let (status, read) = how;
    let _ = writeln!(out, "      {citation}\n      {status}, read: {read}");
    if let Some(note) = note {
        let _ = writeln!(out, "      {note}");
    }
}

fn briefing(out: &mut String, pack: &Pack) {
    title(out, !pack.briefing.is_empty(), "WHAT PASSENGERS ARE TOLD");
    for asked in &pack.briefing {
        let _ = writeln!(out, "    {}{}", asked.item.word(), when(&asked.when.to_string()));
        said(out, &asked.citation, (asked.status, asked.read), asked.note.as_ref());
    }
}

fn duties(out: &mut String, pack: &Pack) {
    title(out, !pack.duties.is_empty(), "WHO IS TOLD AFTER AN EVENT");
    for duty in &pack.duties {
        let events: Vec<&str> = duty.events.iter().map(|event| event.word()).collect();
        let _ = writeln!(out, "    {}: {}: {}", events.join(", "), duty.tell, duty.how);
        let _ = writeln!(out, "      when: {}", duty.when);
        if let Some(key) = duty.deadline {
            let _ = writeln!(out, "      how soon: {key}");
        }
        said(out, &duty.citation, (duty.status, duty.read), duty.note.as_ref());
    }
}

fn exceptions(out: &mut String, pack: &Pack) {
    title(out, !pack.exceptions.is_empty(), "EXCEPTIONS FOR GOODS: to be read, never used");
    for exception in &pack.exceptions {
        let operation = exception.operation.map(|it| it.word().to_owned()).unwrap_or_default();
        let _ = writeln!(out, "    {}{}", exception.about, when(&operation));
        said(out, &exception.citation, (exception.status, exception.read), exception.note.as_ref());
    }
}

fn when(when: &str) -> String {
    if when.is_empty() { String::new() } else { format!("  when {when}") }
}
