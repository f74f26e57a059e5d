//! What falls due, as text, JSON and a calendar.

use std::fmt::Write;

use chrono::NaiveDate;
use icalendar::{Alarm, Calendar, Component, Event, EventLike, Property};
use jiff::civil::Date;
use serde_json::Value;
use sha2::{Digest, Sha256};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::{Family, Verdict, due::last_day},
    stage::{Choice, DueDate, Stage},
    units::Units,
};

use super::{
    answer::{due as answers, value},
    bars,
    text::{CAUTION, line},
};

/// What falls due at a stop.
pub(crate) struct Dated<'a> {
    pub(crate) title: &'a str,
    pub(crate) aircraft: &'a str,
    /// The day until which everything must be good.
    pub(crate) day: Date,
    departs: jiff::Timestamp,
    /// Things, the earliest day first; without a day last.
    pub(crate) things: Vec<&'a DueDate>,
    pub(crate) limits: Vec<&'a Limit>,
}

impl<'a> Dated<'a> {
    /// What falls due at a stop, with its limits.
    pub(crate) fn of(stage: &'a Stage, choice: &Choice, assessment: &'a Assessment) -> Self {
        let limits = assessment.limits.iter().filter(|limit| limit.family == Family::Due);
        let mut things: Vec<&DueDate> = stage.due.iter().collect();
        things.sort_by_key(|thing| (thing.until.is_none(), thing.until));
        Self {
            title: &stage.documents.turnaround.title,
            aircraft: &stage.documents.aircraft.registration,
            day: last_day(stage, choice),
            departs: choice.departs,
            things,
            limits: limits.collect(),
        }
    }

    /// Nothing is out of date, and nothing unknown.
    pub(crate) fn all_hold(&self) -> bool {
        self.limits.iter().all(|limit| limit.verdict == Verdict::Holds)
    }

    /// Days from the stop to the last day, negative when it is past.
    pub(crate) fn days_left(&self, until: Date) -> i64 {
        until.duration_since(self.day).as_hours() / 24
    }
}

/// The page.
pub(crate) fn text(dated: &Dated<'_>, calendar: Option<&str>) -> String {
    let word = if dated.all_hold() { "IN DATE" } else { "NOT IN DATE" };
    let mut out = format!("{}: until the last landing on {}\n", bars::heading(word), dated.day);
    let _ = writeln!(out, "{}\n{}\n", dated.title, dated.aircraft);
    for limit in &dated.limits {
        line(&mut out, limit);
    }
    let _ = writeln!(out, "\n{}", bars::heading("BY DAY"));
    for thing in &dated.things {
        let day = thing.until.map_or_else(|| "no day".to_owned(), |until| until.to_string());
        let left = thing.until.map_or_else(String::new, |until| left(dated.days_left(until)));
        let _ = writeln!(out, "  {day:<12} {left:<16} {}", described(thing));
    }
    if let Some(file) = calendar {
        let _ = writeln!(out, "\ncalendar: {file}");
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

/// Days to a day, in words.
pub(crate) fn left(days: i64) -> String {
    match days {
        days if days < 0 => format!("{} days ago", -days),
        days => format!("{days} days left"),
    }
}

/// `pilot's medical (papers, of Marro Teel)`.
pub(crate) fn described(thing: &DueDate) -> String {
    let sort = thing.sort.map(|sort| sort.words().to_owned());
    let sort = sort.filter(|sort| !thing.what.contains(sort));
    let of = thing.of.as_ref().map(|of| format!("of {of}"));
    let more: Vec<String> = sort.into_iter().chain(of).collect();
    match more.is_empty() {
        true => thing.what.clone(),
        false => format!("{} ({})", thing.what, more.join(", ")),
    }
}

/// The same as JSON.
pub(crate) fn json(dated: &Dated<'_>, units: &Units) -> Value {
    value(&answers::of_stop(dated, units))
}

/// Something with a last day, and the stops that it matters to.
pub(crate) struct Row {
    pub(crate) aircraft: String,
    /// What it is and whose.
    pub(crate) what: String,
    pub(crate) until: Option<Date>,
    pub(crate) stops: Vec<AtStop>,
}

/// A stop and how far off the day is there.
pub(crate) struct AtStop {
    /// Name of its document.
    pub(crate) name: String,
    pub(crate) days_left: Option<i64>,
}

/// What falls due at several stops, the same thing once.
pub(crate) struct Everything {
    /// The earliest day first; without a day last.
    pub(crate) rows: Vec<Row>,
}

impl Everything {
    /// What falls due at these stops, each with the name of its document.
    pub(crate) fn of(stops: &[(String, Dated<'_>)]) -> Self {
        let mut rows: Vec<Row> = Vec::new();
        for (name, dated) in stops {
            for thing in &dated.things {
                let (what, until) = (described(thing), thing.until);
                let days_left = until.map(|until| dated.days_left(until));
                let stop = AtStop { name: name.clone(), days_left };
                let same = |row: &&mut Row| {
                    row.aircraft == dated.aircraft && row.what == what && row.until == until
                };
                match rows.iter_mut().find(same) {
                    Some(row) => row.stops.push(stop),
                    None => {
                        let aircraft = dated.aircraft.to_owned();
                        rows.push(Row { aircraft, what, until, stops: vec![stop] });
                    }
                }
            }
        }
        rows.sort_by_key(|row| (row.until.is_none(), row.until));
        Self { rows }
    }
}

/// A calendar with a whole day for each thing of these stops, the same thing once. The same
/// stops give the same bytes: what the crate would take from clock and chance is set.
pub(crate) fn calendar(stops: &[&Dated<'_>], remind: u16) -> String {
    let mut calendar = Calendar::empty();
    for (name, value) in
        [("VERSION", "2.0"), ("PRODID", "-//Stillprop//Due//EN"), ("CALSCALE", "GREGORIAN")]
    {
        calendar.append_property(Property::new(name, value));
    }
    let mut there: Vec<String> = Vec::new();
    for dated in stops {
        let stamp = dated.departs.strftime("%Y%m%dT%H%M%SZ").to_string();
        for thing in &dated.things {
            let Some(day) = thing.until.and_then(naive) else { continue };
            let id = id(dated, thing, day);
            if !there.contains(&id) {
                calendar.push(event(dated, thing, day, (&id, &stamp), remind));
                there.push(id);
            }
        }
    }
    calendar.to_string()
}

fn event(
    dated: &Dated<'_>,
    thing: &DueDate,
    day: NaiveDate,
    (id, stamp): (&str, &str),
    remind: u16,
) -> Event {
    let before = chrono::Duration::days(i64::from(remind));
    let mut alarm = Alarm::display(&format!("{} runs out", described(thing)), -before);
    alarm.append_property(Property::new("DTSTAMP", stamp));
    alarm.uid(&format!("remind-{id}"));
    let mut event = Event::new();
    event.append_property(Property::new("DTSTAMP", stamp));
    event.uid(id);
    event.summary(&format!("{}: last day of {}", dated.aircraft, described(thing)));
    event.description(CAUTION);
    event.starts(day);
    event.alarm(alarm);
    event.done()
}

fn naive(day: Date) -> Option<NaiveDate> {
    let (month, date) = (u32::try_from(day.month()).ok()?, u32::try_from(day.day()).ok()?);
    NaiveDate::from_ymd_opt(i32::from(day.year()), month, date)
}

/// The same thing on the same day keeps its identity, so that a second import adds nothing.
fn id(dated: &Dated<'_>, thing: &DueDate, day: NaiveDate) -> String {
    let of = thing.of.as_deref().unwrap_or("");
    let text = format!("{}\0{}\0{of}\0{day}", dated.aircraft, thing.what);
    let hash = Sha256::digest(text.as_bytes());
    let hex: String = hash.iter().take(16).map(|byte| format!("{byte:02x}")).collect();
    format!("{hex}@stillprop")
}
