//! The papers: what `stillprop_papers` prints, put together from what the assessment, the run
//! sheet and the yard say. Nothing is reckoned here.

mod apron;
mod briefing;
mod fuel;
mod language;
mod load;
pub(crate) mod make;
mod record;
mod sheet;
mod spill;
mod yard;

use clap::ValueEnum;
use stillprop_papers::{Block, Cell, Column, Footer, Head, Paper, Picture, Row, Size, Table};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    document::turnaround::MassKnown,
    limits::{Family, Verdict},
    stage::{Choice, Stage},
    units::Units,
};

pub(crate) use self::language::Language;
use self::{
    apron::apron,
    briefing::cards,
    fuel::fuel,
    load::load,
    record::{kept, record},
    sheet::sheet,
    spill::spill,
    yard::{labels, register, tags},
};
use crate::{
    pictures::{self, Drawn},
    problem::Failure,
    report::text::CAUTION,
};

/// What is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    /// Load sheet: who and what is where, masses, balance
    Load,
    /// Fuel record: ladder, tanks, drums, samples, with room for readings
    Fuel,
    /// Run sheet with boxes to tick
    Sheet,
    /// Briefing cards for the passengers of this flight
    Briefing,
    /// Apron plan: where it stands, clearances, the way on foot, the strip
    Apron,
    /// Record of the stop: what was done by whom when, with the hash of every record
    Record,
    /// Spill report, filled as far as the documents know
    Spill,
    /// Tags for the drums of a place, or the tag of one drum, with codes
    Tags,
    /// Rack labels for the drums of a place, with codes
    Labels,
    /// Fuel register of a month: what came, what went, what is left
    Register,
}

impl Kind {
    /// Of a stop; else of the yard.
    pub(crate) const fn of_stop(self) -> bool {
        !matches!(self, Self::Tags | Self::Labels | Self::Register)
    }

    /// The paper as a person says it.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Load => "load sheet",
            Self::Fuel => "fuel record",
            Self::Sheet => "run sheet",
            Self::Briefing => "briefing cards",
            Self::Apron => "apron plan",
            Self::Record => "turnaround record",
            Self::Spill => "spill report",
            Self::Tags => "drum tags",
            Self::Labels => "rack labels",
            Self::Register => "monthly fuel register",
        }
    }
}

/// The sheet in the printer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Sheets {
    /// 210 x 297 mm
    #[default]
    A4,
    /// 8.5 x 11 in
    Letter,
}

impl From<Sheets> for Size {
    fn from(sheets: Sheets) -> Self {
        match sheets {
            Sheets::A4 => Self::A4,
            Sheets::Letter => Self::Letter,
        }
    }
}

/// A stop with all that was worked out of it.
#[derive(Clone, Copy)]
pub(crate) struct Stop<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) assessment: &'a Assessment,
    pub(crate) units: &'a Units,
}

impl<'a> Stop<'a> {
    const fn drawn(&self) -> Drawn<'a> {
        let Self { stage, choice, assessment, units } = *self;
        Drawn { stage, choice, assessment, units }
    }

    /// A picture across the page, or in words why there is none.
    fn picture(&self, kind: pictures::Kind) -> Block {
        // So wide that the smallest words of a picture are some 7 points on paper; the apron has
        // more below it, and is largest on a page when it is drawn a little wider.
        let width = if kind == pictures::Kind::Apron { 760 } else { 680 };
        let width = stillprop_draw::Width::of(width);
        match kind.draw(&self.drawn(), width) {
            Ok(svg) => Block::Picture(Picture { svg }),
            Err(why) => Block::Text(format!("{}: unknown, {why}", kind.words())),
        }
    }
}

/// An empty paper in English with its head and foot.
fn paper(title: &str, subject: &str, lines: Vec<String>, stamp: String) -> Paper {
    Paper {
        head: Head { title: title.into(), subject: subject.into(), lines, stamp },
        footer: Footer { caution: CAUTION.into(), page: "page {n} of {m}".into() },
        language: "en".into(),
        scale: 1.0,
        ..Paper::default()
    }
}

/// An empty paper of a stop.
fn of_stop(kind: Kind, stop: &Stop<'_>) -> Paper {
    let a = stop.assessment;
    let lines = vec![format!("{} at {}", a.aircraft, a.strip), format!("Rules: {}", a.rules)];
    let ready = if a.ready() { "READY on what is assessed" } else { "NOT READY" };
    let invented = if a.invented { " · invented data" } else { "" };
    let counts = format!(
        "breaks {}, unknown {}, holds {}",
        a.count(Verdict::Breaks),
        a.count(Verdict::Unknown),
        a.count(Verdict::Holds)
    );
    paper(&capital(kind.words()), &a.title, lines, format!("{ready}: {counts}{invented}"))
}

/// With a capital at its start.
fn capital(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breaks => "BREAKS",
        Verdict::Unknown => "UNKNOWN",
        Verdict::Holds => "holds",
    }
}

/// The limits of some families, tightest first, as the assessment has them.
fn limits<'a>(stop: &Stop<'a>, families: &[Family]) -> Vec<Block> {
    let of = |limit: &&'a Limit| families.contains(&limit.family);
    let rows = stop.assessment.limits.iter().filter(of).map(|limit| Row {
        cells: vec![
            Cell { words: verdict(limit.verdict).into(), strong: limit.verdict != Verdict::Holds },
            limit.id.as_str().into(),
            stands(limit).into(),
        ],
        sum: false,
    });
    let rows: Vec<Row> = rows.collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let columns = ["Verdict", "Limit", "How it stands"].map(Column::words).to_vec();
    vec![Block::Heading("Limits, tightest first".into()), Block::Table(Table { columns, rows })]
}

fn stands(limit: &Limit) -> String {
    let words = &limit.words;
    let more = [&words.act, &words.remark].into_iter().flatten();
    let all: Vec<&str> =
        std::iter::once(words.stands.as_str()).chain(more.map(String::as_str)).collect();
    all.join("; ")
}

/// Notes and cautions at the end of a paper.
fn notes(stop: &Stop<'_>) -> Vec<Block> {
    let a = stop.assessment;
    let cautions = a.cautions.iter().map(|caution| (*caution).to_owned()).collect();
    vec![
        Block::Heading("Notes".into()),
        Block::List(a.notes.clone()),
        Block::Heading("Cautions".into()),
        Block::List(cautions),
    ]
}

fn fact(name: &str, value: impl Into<String>) -> (String, String) {
    (name.to_owned(), value.into())
}

const fn mass_known(known: MassKnown) -> &'static str {
    match known {
        MassKnown::Weighed => "weighed",
        MassKnown::Stated => "stated",
        MassKnown::Standard => "standard",
    }
}

/// Letters as many times larger as a person may ask for.
pub(crate) fn scale(text: &str) -> Result<f32, String> {
    let read: Result<f32, _> = text.parse();
    read.ok()
        .filter(|scale| (0.7..=3.0).contains(scale))
        .ok_or_else(|| "from 0.7 to 3; 1.5 is large print".into())
}

/// The bytes of a paper.
pub(crate) fn bytes(paper: &Paper) -> Result<Vec<u8>, Failure> {
    stillprop_papers::print(paper)
        .map_err(|why| Failure::asked(why.to_string(), "report this with the documents"))
}
