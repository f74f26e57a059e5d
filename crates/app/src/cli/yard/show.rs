//! Verbs that look at the yard: list, show, due, picture.

use std::fmt::Write;

use clap::{Args, ValueEnum};
use jiff::{Timestamp, tz::Offset};
use serde_json::{Value, json};
use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit,
};
use stillprop_draw::{Width, rack, tag};
use stillprop_ledger::yard::{Finding, Oddity, Yard};
use stillprop_rules::situation::{Engine, FlightRules, Operation, Situation};
use stillprop_turnaround::{
    drums::{self, Occasion, figures::DrumFigures, fitness::fitness},
    limits::Verdict,
    stage::grade_of,
    units::Units,
};

use super::{Common, find, history, something_at};
use crate::{
    cli::Answer,
    load,
    problem::Failure,
    report::{bars, json as shown, text::CAUTION},
    world,
    yard::{
        Ledger, convert,
        picture::{self, Judged},
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

/// What judging needs beside the containers: figures differ by grade.
pub(super) struct Judge {
    rules: stillprop_rules::rules::Rules,
    /// When.
    pub(super) at: Timestamp,
    /// Offset of the clock on the spot, as the moment was typed; UTC when it was not.
    pub(super) offset: Offset,
}

impl Judge {
    /// From the common options.
    pub(super) fn of(common: &Common) -> Result<Self, Failure> {
        Ok(Self { rules: load::rules(common.pack()?)?, at: common.at(), offset: common.offset() })
    }

    /// What the pack says of a grade, as written.
    pub(super) fn figures(&self, grade: &str) -> DrumFigures {
        // Figures of the yard hang on the grade alone; the rest is the least asking.
        let situation = Situation {
            operation: Operation::Private,
            flight_rules: FlightRules::VfrDay,
            engine: Engine::Piston,
            mtow: Mass::of(1000.0, unit::KG),
            seats: 0,
        };
        DrumFigures::find(&self.rules, &situation, grade_of(grade))
    }

    /// A container with its limits.
    pub(super) fn judge(&self, facts: drums::Container) -> Judged {
        let figures = self.figures(&facts.grade);
        let occasion = Occasion {
            grade: &facts.grade,
            begins: Some(self.at),
            latest: self.at,
            offset: self.offset,
            figures: &figures,
        };
        let limits = fitness(&facts, &occasion, &Units::METRIC);
        Judged { facts, limits }
    }
}

fn judged(ledger: &Ledger, judge: &Judge, place: Option<&str>) -> Vec<Judged> {
    let all = convert::containers(&ledger.yard, place);
    all.into_iter().map(|facts| judge.judge(facts)).collect()
}

pub(super) fn list(options: &ListOptions, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    something_at(&ledger, options.place.as_deref())?;
    let judge = Judge::of(common)?;
    let all = judged(&ledger, &judge, options.place.as_deref());
    if common.json {
        let rows: Vec<Value> = all.iter().map(|one| row_json(&ledger.yard, one)).collect();
        return Ok(Answer::json(json!({ "containers": rows, "caution": CAUTION })));
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

fn row_json(yard: &Yard, one: &Judged) -> Value {
    let facts = &one.facts;
    let id = facts.id.parse().unwrap_or_default();
    json!({
        "id": facts.id,
        "label": facts.label,
        "place": facts.place,
        "rack": facts.rack,
        "grade": facts.grade,
        "batch": facts.batch,
        "supplier": facts.supplier,
        "filled": facts.filled.map(|day| day.to_string()),
        "left": { "value": convert::litres(facts.left), "unit": "L" },
        "state": one.state().word(),
        "limits": one.limits.iter().map(|limit| shown::limit(limit, &Units::METRIC)).collect::<Vec<_>>(),
        "findings": yard.findings(id).iter().map(|it| finding(yard, it)).collect::<Vec<_>>(),
    })
}

pub(super) fn one(options: &OneOptions, common: &Common) -> Result<Answer, Failure> {
    let mut ledger = common.read()?;
    let judge = Judge::of(common)?;
    let container = find(&ledger, &options.drum)?;
    let id = container.id;
    let facts = convert::container(&ledger.yard, container).ok_or_else(|| {
        Failure::asked("this container was never received", "stillprop yard receive records it")
    })?;
    let one = judge.judge(facts);
    let history = history::read(&mut ledger, id)?;
    if common.json {
        let mut value = row_json(&ledger.yard, &one);
        value["history"] = history.iter().map(|row| row.json.clone()).collect();
        value["caution"] = CAUTION.into();
        return Ok(Answer::json(value));
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

/// A finding in words.
fn finding(yard: &Yard, finding: &Finding) -> String {
    let at = convert::instant(finding.stamp.at_ms).map_or(String::new(), |at| at.to_string());
    let litres = |ml: i64| picture::litres(convert::volume(ml));
    let what = match &finding.what {
        Oddity::Overdrawn { short_ml, devices } => {
            format!(
                "{} more was drawn than it held, recorded on {} device(s)",
                litres(*short_ml),
                devices.len()
            )
        }
        Oddity::DrawnAfterEmptied => "drawn after it was empty".into(),
        Oddity::DrawnAfterCondemned => "drawn after it was condemned".into(),
        Oddity::DrawnAfterRecall { batch } => {
            format!("drawn after batch {} was recalled", yard.text(*batch))
        }
        Oddity::GradesMixed { grade, onto } => {
            format!("{} came onto {}", yard.text(*grade), yard.text(*onto))
        }
        Oddity::BeforeReceipt => "something happened before it was received".into(),
        Oddity::ReceivedTwice => "received again though it was not empty".into(),
        Oddity::OverCapacity { over_ml } => {
            format!("the book says {} more than it holds", litres(*over_ml))
        }
        Oddity::OutOfOrder => "records out of order".into(),
        Oddity::NoSuchVolume { .. } => "a volume that cannot be; it is left out".into(),
        Oddity::CorrectsNothing { of } => format!("corrects record {of}, which is not here"),
        Oddity::CorrectionLoop => "corrections that correct each other".into(),
        Oddity::Unreadable => "a record that cannot be read".into(),
    };
    format!("{at}: {what}")
}

pub(super) fn due(options: &ListOptions, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    something_at(&ledger, options.place.as_deref())?;
    let judge = Judge::of(common)?;
    let mut rows: Vec<(String, Value)> = Vec::new();
    for one in judged(&ledger, &judge, options.place.as_deref()) {
        let label = format!("{} at {}", one.facts.label, one.facts.place);
        // An empty drum is out of date without anybody having to see to it.
        let empty = one.facts.left.value <= 0.0;
        let bad = one.limits.iter().filter(|limit| limit.verdict != Verdict::Holds && !empty);
        for limit in bad {
            let act = limit.words.act.as_deref().unwrap_or("");
            rows.push((
                format!("{} {label}: {act}", bars::verdict(limit.verdict)),
                json!({ "container": one.facts.id, "label": one.facts.label,
                    "place": one.facts.place, "limit": limit.id,
                    "verdict": limit.verdict.word(), "act": act }),
            ));
        }
        let id = one.facts.id.parse().unwrap_or_default();
        let lies = ledger.yard.container(id).and_then(convert::storage);
        for what in lies.iter().flat_map(drums::storage::put_right) {
            let json = json!({ "container": one.facts.id, "label": one.facts.label,
                "place": one.facts.place, "storage": what });
            rows.push((format!("! look    {label}: {what} (common practice, no source)"), json));
        }
        for it in ledger.yard.findings(id) {
            let words = finding(&ledger.yard, &it);
            let json = json!({ "container": one.facts.id, "label": one.facts.label,
                "place": one.facts.place, "finding": words });
            rows.push((format!("! look    {label}: {words}"), json));
        }
    }
    if common.json {
        let rows: Vec<Value> = rows.into_iter().map(|row| row.1).collect();
        return Ok(Answer::json(json!({ "due": rows, "caution": CAUTION })));
    }
    let lines: String = rows.iter().map(|row| format!("{}\n", row.0)).collect();
    Ok(Answer::text(format!("{lines}\n{} to see to\n{CAUTION}\n", rows.len())))
}

pub(super) fn picture(options: &PictureOptions, common: &Common) -> Result<Answer, Failure> {
    let ledger = common.read()?;
    let place = (!matches!(options.kind, Kind::Tag)).then_some(options.of.as_str());
    something_at(&ledger, place)?;
    let judge = Judge::of(common)?;
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
