//! The answer of `report`: duties by pack, what to keep, and a draft from documents and records.

use std::fmt::Write;

use jiff::{SignedDuration, Timestamp};
use serde_json::{Value, json};
use stillprop_calc::{quantity::FromAmount, unit};
use stillprop_rules::{
    events::Guides,
    pack::{Duty, Event, Pack},
    rules::{Found, Rules},
    situation::Detail,
};
use stillprop_turnaround::{
    manifest::Manifest,
    stage::{Choice, Stage},
};

use super::{
    bars,
    text::{CAUTION, WIDTH, wrapped},
};
use crate::yard::history::Past;

/// An event at a stop.
pub(crate) struct Happened<'a> {
    pub(crate) event: Event,
    pub(crate) guides: &'a Guides,
    pub(crate) rules: &'a Rules,
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    /// When it happened.
    pub(crate) at: Timestamp,
    /// The time was said; else it is the planned departure.
    pub(crate) said: bool,
    pub(crate) seen: &'a [String],
    /// Records around that time; `None` without a ledger.
    pub(crate) records: Option<Vec<Past>>,
}

/// A duty with its time worked out.
struct Due<'a> {
    pack: &'a Pack,
    duty: &'a Duty,
    /// The figure of the time, as the rules in force give it.
    found: Option<Found<'a>>,
    /// The instant, and in local words.
    until: Option<Timestamp>,
}

impl Happened<'_> {
    fn duties(&self) -> Vec<Due<'_>> {
        let of = |(pack, duty): (&'_ Pack, &'_ Duty)| (pack.id.clone(), duty.citation.to_string());
        let mut seen = Vec::new();
        let all = self.rules.duties(self.event).filter(|both| {
            let key = (of(*both), both.1.how.clone());
            let new = !seen.contains(&key);
            seen.push(key);
            new
        });
        let all: Vec<(&Pack, &Duty)> = all.collect();
        all.into_iter().map(|(pack, duty)| self.due(pack, duty)).collect()
    }

    fn due<'b>(&'b self, pack: &'b Pack, duty: &'b Duty) -> Due<'b> {
        let situation = &self.stage.situation;
        let found =
            duty.deadline.and_then(|key| self.rules.find(key, situation, Detail::NONE).ok());
        let until = found.as_ref().and_then(|found| {
            let time: stillprop_calc::quantity::Time = found.quantity()?;
            // Down: a time is never shown later than it is.
            #[expect(clippy::cast_possible_truncation, reason = "at most sixty days")]
            let span = SignedDuration::from_secs(time.count(unit::S).floor() as i64);
            self.at.checked_add(span).ok()
        });
        Due { pack, duty, found, until }
    }

    fn local(&self, at: Timestamp) -> String {
        let offset = self.stage.here.offset;
        format!("{} {offset}", offset.to_datetime(at).strftime("%Y-%m-%d %H:%M"))
    }

    /// Lines of the draft, what is not known in square brackets.
    pub(crate) fn draft(&self) -> Vec<(&'static str, String)> {
        let documents = &self.stage.documents;
        let (aircraft, turnaround) = (&documents.aircraft, &documents.turnaround);
        let manifest = Manifest::of(self.stage, self.choice);
        let aboard = manifest.legs.first().map_or(0, |leg| leg.people.len());
        let pilot =
            self.stage.people.iter().find(|person| {
                person.role == stillprop_turnaround::document::turnaround::Role::Pilot
            });
        let legs: Vec<&str> = turnaround.legs.iter().map(|leg| leg.name.value.as_str()).collect();
        let goods: Vec<&str> =
            self.stage.screening.things.iter().map(|one| one.thing.said.as_str()).collect();
        let asked = self.stage.screening.people_unasked.is_empty()
            && self.stage.screening.items_unasked.is_empty();
        let drums: Vec<&str> =
            turnaround.fuel.drums.iter().map(|draw| draw.drum.value.as_str()).collect();
        let when = match self.said {
            true => self.local(self.at),
            false => "[when?]".to_owned(),
        };
        let or = |text: String, none: &str| if text.is_empty() { none.to_owned() } else { text };
        vec![
            ("aeroplane", format!("{}, {}", aircraft.registration, aircraft.type_name)),
            ("owner and operator", "[who?]".to_owned()),
            ("pilot in command", pilot.map_or("[who?]".into(), |pilot| pilot.name.clone())),
            ("aboard or to board", format!("{aboard}; hurt: [how many, how badly?]")),
            (
                "from and to",
                format!("{} to {}", self.stage.here.name, or(legs.join(", "), "[where?]")),
            ),
            ("place", format!("{}, [where on it?]", self.stage.here.name)),
            ("day and time", when),
            ("fuel", {
                let drums = or(drums.join(", "), "[from what?]");
                format!("{}, from {drums}; [how much?]", turnaround.fuel.grade.value)
            }),
            (
                "dangerous goods on board",
                match (asked, goods.is_empty()) {
                    (false, _) => "[not everybody was asked]".to_owned(),
                    (true, true) => "none declared".to_owned(),
                    (true, false) => goods.join(", "),
                },
            ),
            ("weather", weather(self.stage)),
            (
                "what happened",
                or(self.seen.join(" "), "[what was seen, in order, without guesses]"),
            ),
            ("damage", "[to the aeroplane, to other things]".to_owned()),
            ("seen by", "[names, and what each says]".to_owned()),
        ]
    }
}

fn weather(stage: &Stage) -> String {
    let said = stage.documents.turnaround.weather.metar.as_ref();
    said.map_or_else(|| "[wind, temperature, light]".to_owned(), |line| line.value.clone())
}

/// The page.
pub(crate) fn text(happened: &Happened<'_>) -> String {
    let guide = happened.guides.of(happened.event);
    let title = guide.map_or(happened.event.word(), |guide| guide.title.as_str());
    let mut out = format!("{}\n", bars::heading(&title.to_uppercase()));
    let _ = writeln!(out, "{}", happened.stage.documents.turnaround.title);
    let _ = writeln!(out, "rules: {}", happened.rules.name());
    if let Some(guide) = guide {
        section(&mut out, "FIRST", &guide.first);
    }
    let _ = writeln!(out, "\n{}", bars::heading("WHO IS TOLD, BY WHEN"));
    let duties = happened.duties();
    if duties.is_empty() {
        let _ = writeln!(out, "  the pack names nobody: find out, it is not known to be nobody");
    }
    for due in &duties {
        duty(&mut out, happened, due);
    }
    if let Some(guide) = guide {
        section(&mut out, "WHAT TO KEEP (common practice, no source)", &guide.keep);
    }
    section(&mut out, "WHAT A REPORT SAYS", &happened.guides.say);
    rows(&mut out, &happened.guides.say_source, 6);
    let _ = writeln!(
        out,
        "\n{}",
        bars::heading("DRAFT: fill in what stands in brackets; nobody has sent it")
    );
    for (what, says) in happened.draft() {
        rows(&mut out, &format!("{what}: {says}"), 2);
    }
    match &happened.records {
        None => rows(&mut out, "records: no ledger is here", 2),
        Some(records) if records.is_empty() => {
            rows(&mut out, "records: none within a day of it", 2);
        }
        Some(records) => {
            let _ = writeln!(out, "  records within a day of it:");
            for line in records.iter().flat_map(|past| past.line.lines()) {
                rows(&mut out, line.trim(), 4);
            }
        }
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

fn section(out: &mut String, title: &str, of: &[String]) {
    let _ = writeln!(out, "\n{}", bars::heading(title));
    of.iter().for_each(|one| rows(out, &format!("[ ] {one}"), 2));
}

fn duty(out: &mut String, happened: &Happened<'_>, due: &Due<'_>) {
    let Due { pack, duty, found, until } = due;
    rows(out, &format!("[ ] {}: {}", duty.tell, duty.how), 2);
    rows(out, &format!("when: {}", duty.when), 6);
    match (found, until, duty.deadline) {
        (Some(found), Some(until), _) if happened.said => {
            rows(out, &format!("within {}: by {}", found.text(), happened.local(*until)), 6);
        }
        (Some(found), ..) => rows(out, &format!("within {} of it", found.text()), 6),
        (None, _, Some(key)) => {
            rows(out, &format!("the time is not known: no figure for {key}"), 6)
        }
        (None, _, None) => {}
    }
    let note = duty.note.as_ref().map_or(String::new(), |note| format!(" {note}"));
    let (status, read) = (duty.status, duty.read);
    rows(out, &format!("pack {}: {} ({status}, read: {read}).{note}", pack.id, duty.citation), 6);
}

fn rows(out: &mut String, text: &str, indent: usize) {
    for row in wrapped(text, WIDTH - indent) {
        let _ = writeln!(out, "{:indent$}{row}", "");
    }
}

/// The same as JSON.
pub(crate) fn json(happened: &Happened<'_>) -> Value {
    let guide = happened.guides.of(happened.event);
    let duties: Vec<Value> = happened
        .duties()
        .iter()
        .map(|due| {
            json!({
                "pack": due.pack.id,
                "tell": due.duty.tell,
                "how": due.duty.how,
                "when": due.duty.when,
                "within": due.found.as_ref().map(Found::text),
                "until": due.until.filter(|_| happened.said).map(|until| until.to_string()),
                "time_unknown": due.duty.deadline.is_some() && due.found.is_none(),
                "citation": due.duty.citation.to_string(),
                "status": due.duty.status.word(),
                "read": due.duty.read.word(),
                "note": due.duty.note,
            })
        })
        .collect();
    let draft: serde_json::Map<String, Value> = happened
        .draft()
        .into_iter()
        .map(|(what, says)| (what.replace(' ', "_"), Value::from(says)))
        .collect();
    json!({
        "event": happened.event.word(),
        "title": guide.map(|guide| &guide.title),
        "rules": happened.rules.name(),
        "at": happened.said.then(|| happened.at.to_string()),
        "first": guide.map(|guide| &guide.first),
        "duties": duties,
        "keep": guide.map(|guide| &guide.keep),
        "say": happened.guides.say,
        "draft": draft,
        "records": happened.records.as_ref().map(|records| {
            records.iter().map(|past| &past.answer).collect::<Vec<_>>()
        }),
        "caution": CAUTION,
    })
}
