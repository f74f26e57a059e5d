//! The answer of `report`: duties by pack, what to keep, and a draft from documents and records.

use std::fmt::Write;

use jiff::{SignedDuration, Timestamp};
use serde_json::Value;
use stillprop_calc::{quantity::FromAmount, unit};
use stillprop_ledger::{
    event::v2::{Entry, Stop as Called},
    runs,
};
use stillprop_rules::{
    events::Guides,
    pack::{Duty, Event, Pack},
    rules::{Found, Rules},
    situation::Detail,
};
use stillprop_turnaround::{
    manifest::Manifest,
    stage::{Choice, Stage},
    units::Round,
};

use super::{
    answer::{self, event as answers},
    bars,
    text::{CAUTION, WIDTH, wrapped},
};
use crate::{
    problem::Failure,
    sheet::begin::Made,
    world::Source,
    yard::{
        Ledger, convert,
        history::Past,
        story::{Said, Sought, Story},
    },
};

/// An event at a stop.
pub(crate) struct Happened<'a> {
    pub(crate) event: Event,
    pub(crate) guides: &'a Guides,
    pub(crate) rules: &'a Rules,
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    /// When it happened.
    pub(crate) at: Timestamp,
    /// The time was said, or a stop was recorded; else it is the planned departure.
    pub(crate) said: bool,
    pub(crate) seen: &'a [String],
    /// What the records around that time tell; `None` without a ledger.
    pub(crate) records: Option<Story>,
}

/// What the ledger tells of a stop around a time.
pub(crate) fn story(
    ledger: &Ledger,
    source: &Source,
    (stage, choice): (&Stage, &Choice),
    at: Timestamp,
) -> Result<Story, Failure> {
    // Without a sheet the tasks keep their short names.
    let made = Made::of(source, stage, choice, None).ok();
    let drums = &stage.documents.turnaround.fuel.drums;
    let sought = Sought {
        registration: &stage.documents.aircraft.registration,
        place: &stage.documents.strip.name,
        drums: drums.iter().map(|draw| draw.drum.value.as_str()).collect(),
        at,
        tasks: made.as_ref().map_or(&[], |made| &made.sheet.tasks),
    };
    Story::read(ledger, &sought)
}

/// The stop of a run sheet that goes with an event.
const fn stop_of(event: Event) -> Option<Called> {
    match event {
        Event::Spill => Some(Called::Spill),
        Event::WrongFuel => Some(Called::WrongFuel),
        Event::Injury => Some(Called::Injury),
        Event::PropellerStrike | Event::Runaway => None,
    }
}

/// When the stop of this event was last called on a run sheet of this turnaround.
pub(crate) fn called_at(
    ledger: &Ledger,
    stage: &Stage,
    event: Event,
) -> Result<Option<Timestamp>, Failure> {
    let Some(stop) = stop_of(event) else { return Ok(None) };
    let documents = &stage.documents;
    let runs = runs::of_aircraft(ledger.store_ref(), &documents.aircraft.registration)?;
    let same = runs.iter().filter(|run| {
        run.opened().is_some_and(|it| {
            it.turnaround == documents.turnaround.title && it.place == documents.strip.name
        })
    });
    let lines = same.flat_map(|run| &run.lines);
    let called =
        lines.filter(|line| matches!(&line.what, Entry::StopCalled(called) if called.stop == stop));
    Ok(called.map(|line| line.at_ms).max().and_then(convert::instant))
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

    /// Something recorded: when, what, who.
    fn line(&self, said: &Said) -> String {
        let at = said.at.map_or_else(|| "[when?]".to_owned(), |at| self.local(at));
        format!("{at}: {} (recorded by {})", said.what, said.by)
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
        let when = match self.said {
            true => self.local(self.at),
            false => "[when?]".to_owned(),
        };
        let mut draft = vec![
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
            ("fuel", self.fuel()),
        ];
        if self.event == Event::Spill {
            draft.push(("spilt", self.spilt()));
        }
        draft.extend([
            ("dangerous goods on board", self.goods()),
            ("weather", weather(self.stage)),
            ("what happened", self.happened()),
            ("read on the run sheet", self.read()),
            ("done after it", self.after()),
            ("damage", "[to the aeroplane, to other things]".to_owned()),
            ("seen by", self.seen_by()),
        ]);
        draft
    }

    /// What went into it by the records; else what the documents plan.
    fn fuel(&self) -> String {
        let fuel = &self.stage.documents.turnaround.fuel;
        let drawn = self.records.iter().flat_map(|story| &story.drawn);
        let drawn: Vec<String> = drawn
            .map(|it| {
                let said = Said { at: it.at, by: it.by.clone(), what: it.what.clone() };
                format!("{}, {}", or(it.fuel.join(" and "), "[what fuel?]"), self.line(&said))
            })
            .collect();
        if !drawn.is_empty() {
            return drawn.join("; ");
        }
        let drums: Vec<&str> = fuel.drums.iter().map(|draw| draw.drum.value.as_str()).collect();
        let drums = or(drums.join(", "), "[from what?]");
        format!("planned {} from {drums}; [how much went in?]", fuel.grade.value)
    }

    fn spilt(&self) -> String {
        let ground = self.stage.documents.turnaround.ground.as_ref();
        let spills = ground.map_or(&[][..], |ground| &ground.spills);
        let units = self.stage.document_units;
        let words = spills.iter().map(|spill| {
            format!("{}: {}", spill.what.value, units.fuel(spill.volume.value, Round::Up))
        });
        or(words.collect::<Vec<_>>().join("; "), "[how much, and how is that known?]")
    }

    fn goods(&self) -> String {
        let screening = &self.stage.screening;
        let goods: Vec<&str> = screening.things.iter().map(|it| it.thing.said.as_str()).collect();
        if !screening.people_unasked.is_empty() || !screening.items_unasked.is_empty() {
            return "[not everybody was asked]".to_owned();
        }
        or(goods.join(", "), "none declared")
    }

    /// What was seen, after what was called on the run sheet.
    fn happened(&self) -> String {
        let called = self.records.iter().flat_map(|story| &story.stops);
        let all = called.map(|it| self.line(&it.said)).chain(self.seen.iter().cloned());
        let none = "[what was seen, in order, without guesses]";
        or(all.collect::<Vec<_>>().join("; "), none)
    }

    fn read(&self) -> String {
        let readings = self.records.iter().flat_map(|story| &story.readings);
        let all: Vec<String> = readings.map(|it| self.line(it)).collect();
        or(all.join("; "), "[no reading is recorded: what was read, by whom?]")
    }

    fn after(&self) -> String {
        let steps = self.records.iter().flat_map(|story| &story.steps);
        let all: Vec<String> = steps.map(|it| self.line(&it.said)).collect();
        or(all.join("; "), "[what was done, when, by whom?]")
    }

    fn seen_by(&self) -> String {
        let said = self.records.iter().flat_map(|story| story.stops.iter().chain(&story.steps));
        let mut hands: Vec<&str> = said.map(|it| it.said.by.as_str()).collect();
        hands.sort_unstable();
        hands.dedup();
        match hands.is_empty() {
            true => "[names, and what each says]".to_owned(),
            false => format!("{} made the records; [others, and what each says]", hands.join(", ")),
        }
    }
}

fn or(text: String, none: &str) -> String {
    if text.is_empty() { none.to_owned() } else { text }
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
    records(&mut out, happened);
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

fn records(out: &mut String, happened: &Happened<'_>) {
    let Some(story) = &happened.records else {
        rows(out, "records: no ledger is here", 2);
        return;
    };
    if story.records.is_empty() {
        rows(out, "records: none of this aeroplane within a day of it", 2);
    } else {
        let _ = writeln!(out, "  records of this aeroplane within a day of it:");
    }
    if story.more > 0 {
        rows(out, &format!("{} earlier ones are left out here", story.more), 4);
    }
    for past in &story.records {
        let Past { at, about, what, answer, .. } = past;
        let at = at.map_or_else(|| "time unknown".to_owned(), |at| happened.local(at));
        let hash = answer.hash.as_deref().map_or("", |hash| hash.get(..16).unwrap_or(hash));
        rows(out, &format!("{at}  {}: {about}: {what}", answer.author), 4);
        rows(out, &format!("record {}, hash {hash}", answer.record), 8);
    }
    if story.beside > 0 {
        let beside = story.beside;
        let words = format!(
            "{beside} records of this place and time are about other drums and aeroplanes and are \
             left out: stillprop yard show DRUM has them"
        );
        rows(out, &words, 2);
    }
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
    let all = happened.duties();
    let duties = all.iter().map(|due| answers::Duty {
        pack: &due.pack.id,
        tell: &due.duty.tell,
        how: &due.duty.how,
        when: &due.duty.when,
        within: due.found.as_ref().map(Found::text),
        until: due.until.filter(|_| happened.said).map(|until| until.to_string()),
        time_unknown: due.duty.deadline.is_some() && due.found.is_none(),
        citation: due.duty.citation.to_string(),
        status: due.duty.status.word(),
        read: due.duty.read.word(),
        note: due.duty.note.as_deref(),
    });
    let draft = happened.draft().into_iter().map(|(what, says)| (what.replace(' ', "_"), says));
    let story = happened.records.as_ref();
    answer::value(&answers::Report {
        event: happened.event.word(),
        title: guide.map(|guide| guide.title.as_str()),
        rules: happened.rules.name(),
        at: happened.said.then(|| happened.at.to_string()),
        first: guide.map(|guide| guide.first.as_slice()),
        duties: duties.collect(),
        keep: guide.map(|guide| guide.keep.as_slice()),
        say: &happened.guides.say,
        draft: draft.collect(),
        records: story.map(|story| story.records.iter().map(|past| &past.answer).collect()),
        records_before: story.map_or(0, |story| story.more),
        records_beside: story.map_or(0, |story| story.beside),
        caution: CAUTION,
    })
}
