//! Containers judged by the rules: their state, what is due, and both as JSON.

use jiff::{Timestamp, tz::Offset};
use serde_json::Value;
use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit,
};
use stillprop_ledger::yard::{Finding, Oddity, Yard};
use stillprop_rules::{
    rules::Rules,
    situation::{Engine, FlightRules, Operation, Situation},
};
use stillprop_turnaround::{
    drums::{self, Occasion, figures::DrumFigures, fitness::fitness},
    limits::Verdict,
    stage::grade_of,
    units::Units,
};

use super::{
    Ledger, convert,
    history::Past,
    picture::{self, Judged},
};
use crate::report::{
    answer::{
        counted,
        ready::limit,
        value,
        yard::{self, Container, Containers, Dues, One, What},
    },
    text::CAUTION,
};

/// What judging needs beside the containers: figures differ by grade.
pub(crate) struct Judge {
    rules: Rules,
    /// When.
    pub(crate) at: Timestamp,
    /// Offset of the clock on the spot, as the moment was typed; UTC when it was not.
    pub(crate) offset: Offset,
}

impl Judge {
    /// With these rules, at this time, where the clock has this offset.
    pub(crate) fn of(rules: Rules, at: Timestamp, offset: Offset) -> Self {
        Self { rules, at, offset }
    }

    /// The name of the rules.
    pub(crate) fn rules_name(&self) -> String {
        self.rules.name().to_owned()
    }

    /// What the pack says of a grade, as written.
    pub(crate) fn figures(&self, grade: &str) -> DrumFigures {
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
    pub(crate) fn judge(&self, facts: drums::Container) -> Judged {
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

/// The containers of a place, or all, judged.
pub(crate) fn judged(ledger: &Ledger, judge: &Judge, place: Option<&str>) -> Vec<Judged> {
    let all = convert::containers(&ledger.yard, place);
    all.into_iter().map(|facts| judge.judge(facts)).collect()
}

/// The answer of `yard list`.
pub(crate) fn list_json(yard: &Yard, all: &[Judged]) -> Value {
    let containers = all.iter().map(|one| row(yard, one)).collect();
    value(&Containers { containers, caution: CAUTION })
}

/// The answer of `yard show`.
pub(crate) fn one_json(yard: &Yard, one: &Judged, history: &[Past]) -> Value {
    let history = history.iter().map(|past| &past.answer).collect();
    value(&One { container: row(yard, one), history, caution: CAUTION })
}

fn row<'a>(yard: &Yard, one: &'a Judged) -> Container<'a> {
    let facts = &one.facts;
    let id = facts.id.parse().unwrap_or_default();
    Container {
        id: &facts.id,
        label: &facts.label,
        place: &facts.place,
        rack: facts.rack.as_deref(),
        grade: &facts.grade,
        batch: &facts.batch,
        supplier: &facts.supplier,
        filled: facts.filled.map(|day| day.to_string()),
        left: counted(convert::litres(facts.left), unit::L),
        state: one.state().word(),
        limits: one.limits.iter().map(|each| limit(each, &Units::METRIC)).collect(),
        findings: yard.findings(id).iter().map(|it| finding(yard, it)).collect(),
    }
}

/// Something to see to.
pub(crate) struct Due {
    /// Id of the container.
    pub(crate) id: String,
    /// What people call it, and where it is.
    pub(crate) label: String,
    /// What to do, or what does not add up.
    pub(crate) words: String,
    /// Of the limit behind it, if one is.
    pub(crate) verdict: Option<Verdict>,
    answer: yard::Due,
}

/// The answer of `yard due`.
pub(crate) fn due_json(rows: &[Due]) -> Value {
    value(&Dues { due: rows.iter().map(|row| &row.answer).collect(), caution: CAUTION })
}

/// What is due or needs a hand, at a place or everywhere.
pub(crate) fn due_rows(ledger: &Ledger, judge: &Judge, place: Option<&str>) -> Vec<Due> {
    let mut rows = Vec::new();
    for one in judged(ledger, judge, place) {
        let facts = &one.facts;
        let label = format!("{} at {}", facts.label, facts.place);
        let mut add = |verdict, words: String, what: What| {
            let (container, place) = (facts.id.clone(), facts.place.clone());
            let answer = yard::Due { container, label: facts.label.clone(), place, what };
            let (id, label) = (facts.id.clone(), label.clone());
            rows.push(Due { id, label, words, verdict, answer });
        };
        // An empty drum is out of date without anybody having to see to it.
        let empty = facts.left.value <= 0.0;
        let bad = one.limits.iter().filter(|limit| limit.verdict != Verdict::Holds && !empty);
        for limit in bad {
            let act = limit.words.act.as_deref().unwrap_or("");
            let (limit, verdict) = (limit.id.clone(), limit.verdict);
            let what = What::Limit { limit, verdict: verdict.word(), act: act.to_owned() };
            add(Some(verdict), act.to_owned(), what);
        }
        let id = facts.id.parse().unwrap_or_default();
        let lies = ledger.yard.container(id).and_then(convert::storage);
        for what in lies.iter().flat_map(drums::storage::put_right) {
            let storage = What::Storage { storage: what.to_owned() };
            add(None, format!("{what} (common practice, no source)"), storage);
        }
        for it in ledger.yard.findings(id) {
            let words = finding(&ledger.yard, &it);
            add(None, words.clone(), What::Finding { finding: words });
        }
    }
    rows
}

/// A finding in words.
pub(crate) fn finding(yard: &Yard, finding: &Finding) -> String {
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
