//! Verbs that look at the yard: list, show, due, picture.

use std::fmt::Write;

use clap::{Args, ValueEnum};
use serde_json::json;
use stillprop_draw::{Width, rack, tag};
use stillprop_turnaround::drums;

use super::Common;
use crate::{
    cli::Answer,
    problem::Failure,
    report::{bars, text::CAUTION},
    world,
    yard::{
        convert, find, history,
        judge::{Due, due_json, due_rows, finding, judged, list_json, one_json},
        picture::{self, Judged},
        something_at,
    },
};

/// Options of `list` and `due`.
#[derive(Args, Debug)]
pub(super) struct ListOptions {
    /// One place only
    place: Option<String>,
}

/// Options of `show`.
#[derive(Args, Debug)]
pub(super) struct OneOptions {
    /// Label, id or code of the container
    drum: String,
}

/// What to draw.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Kind {
    /// The rack of a place
    Rack,
    /// The tag of one drum
    Tag,
    /// Labels for the racks of a place, a sheet each
    Labels,
}

/// Options of `picture`.
#[derive(Args, Debug)]
pub(super) struct PictureOptions {
    /// What to draw
    #[arg(value_enum)]
    kind: Kind,
    /// The place, or the drum for its tag
    of: String,
    /// File to write; labels that need several sheets get a number each
    #[arg(long, short, value_name = "FILE.svg")]
    out: String,
    /// Width of a rack picture in pixels
    #[arg(long, default_value_t = 1080)]
    width: u16,
}

pub(super) fn list(options: &ListOptions, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    something_at(&ledger, options.place.as_deref())?;
    let judge = common.judge()?;
    let all = judged(&ledger, &judge, options.place.as_deref());
    if common.json {
        return Ok(Answer::json(list_json(&ledger.yard, &all)));
    }
    let mut out = String::new();
    let mut place = "";
    for one in &all {
        if one.facts.place != place {
            place = &one.facts.place;
            let _ = writeln!(out, "{}", bars::heading(place));
        }
        row(&mut out, one);
    }
    let _ = writeln!(out, "\n{} containers, judged at {}\n{CAUTION}", all.len(), judge.at);
    Ok(Answer::text(out))
}

fn row(out: &mut String, one: &Judged) {
    let facts = &one.facts;
    let filled = facts.filled.map_or("unknown".to_owned(), |day| day.to_string());
    let _ = writeln!(
        out,
        "  {:<9} {:<9} {:<12} {:<12} {:>6} filled {filled}  {:<9} {}",
        facts.label,
        facts.rack.as_deref().unwrap_or("-"),
        facts.grade,
        facts.batch,
        picture::litres(facts.left),
        one.state().word(),
        one.reason()
    );
}

pub(super) fn one(options: &OneOptions, common: &Common) -> Result<Answer, Failure> {
    let mut ledger = common.read()?;
    let judge = common.judge()?;
    let container = find(&ledger, &options.drum)?;
    let id = container.id;
    let facts = convert::container(&ledger.yard, container).ok_or_else(|| {
        Failure::asked("this container was never received", "stillprop yard receive records it")
    })?;
    let one = judge.judge(facts);
    let history = history::read(&mut ledger, id)?;
    if common.json {
        return Ok(Answer::json(one_json(&ledger.yard, &one, &history)));
    }
    let mut out = String::new();
    row(&mut out, &one);
    let _ = writeln!(out, "  id {id}, code {}", stillprop_draw::code::code_text(id));
    let _ = writeln!(out, "\n{}", bars::heading("LIMITS"));
    for limit in &one.limits {
        let verdict = bars::verdict(limit.verdict);
        let act = limit.words.act.as_ref().map_or(String::new(), |act| format!(": {act}"));
        let _ = writeln!(out, "  {verdict} {:<24} {}{act}", limit.id, limit.words.stands);
    }
    let _ = writeln!(out, "\n{}", bars::heading("HISTORY"));
    for row in &history {
        let _ = writeln!(out, "  {}", row.line);
    }
    let findings = ledger.yard.findings(id);
    if !findings.is_empty() {
        let _ = writeln!(out, "\n{}", bars::heading("DOES NOT ADD UP"));
        for it in &findings {
            let _ = writeln!(out, "  {}", finding(&ledger.yard, it));
        }
    }
    let _ = writeln!(out, "\n{CAUTION}");
    Ok(Answer::text(out))
}

pub(super) fn due(options: &ListOptions, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    something_at(&ledger, options.place.as_deref())?;
    let judge = common.judge()?;
    let rows = due_rows(&ledger, &judge, options.place.as_deref());
    if common.json {
        return Ok(Answer::json(due_json(&rows)));
    }
    let line = |row: &Due| {
        let mark = row.verdict.map_or("! look   ".to_owned(), bars::verdict);
        format!("{mark} {}: {}\n", row.label, row.words)
    };
    let lines: String = rows.iter().map(line).collect();
    Ok(Answer::text(format!("{lines}\n{} to see to\n{CAUTION}\n", rows.len())))
}

pub(super) fn picture(options: &PictureOptions, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    let place = (!matches!(options.kind, Kind::Tag)).then_some(options.of.as_str());
    something_at(&ledger, place)?;
    let judge = common.judge()?;
    let day = judge.offset.to_datetime(judge.at).date();
    let sheets = match options.kind {
        Kind::Rack => {
            let all = judged(&ledger, &judge, Some(&options.of));
            let grade = all.first().map_or("avgas", |one| one.facts.grade.as_str());
            let figures = judge.figures(grade);
            let data = picture::rack(&ledger.yard, &options.of, day, &all, &figures);
            vec![rack::rack(&data, Width::of(options.width))]
        }
        Kind::Tag => {
            let container = find(&ledger, &options.of)?;
            let facts = convert::container(&ledger.yard, container);
            let facts =
                facts.ok_or_else(|| Failure::asked("never received", "receive it first"))?;
            let data = picture::tag(container, &facts, &judge.figures(&facts.grade));
            vec![tag::drum_tag(&data, tag::TagSize::A6).map_err(code_failure)?]
        }
        Kind::Labels => {
            let there = convert::containers(&ledger.yard, Some(&options.of));
            let label = |facts: &drums::Container| {
                let container = ledger.yard.container(facts.id.parse().ok()?)?;
                Some(picture::label(container, facts, &judge.figures(&facts.grade)))
            };
            let labels: Vec<_> = there.iter().filter_map(label).collect();
            tag::label_sheets(&labels).map_err(code_failure)?
        }
    };
    let several = sheets.len() > 1;
    let mut written = Vec::new();
    for (number, sheet) in sheets.iter().enumerate() {
        let name = if several { numbered(&options.out, number + 1) } else { options.out.clone() };
        world::write(&name, sheet)?;
        written.push(name);
    }
    let lines = written.iter().map(|name| format!("drawn to {name}\n"));
    Ok(if common.json {
        Answer::json(json!({ "drawn": written, "caution": CAUTION }))
    } else {
        Answer::text(format!("{}{CAUTION}\n", lines.collect::<String>()))
    })
}

fn code_failure(error: stillprop_draw::code::CodeError) -> Failure {
    Failure::asked(error.to_string(), "report this: an id always fits a code")
}

/// `labels-2.svg` for the second sheet of `labels.svg`.
fn numbered(name: &str, number: usize) -> String {
    match name.rsplit_once('.') {
        Some((stem, ending)) => format!("{stem}-{number}.{ending}"),
        None => format!("{name}-{number}"),
    }
}
