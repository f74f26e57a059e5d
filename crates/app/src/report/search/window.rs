//! The window as a page and as JSON.

use std::fmt::Write;

use jiff::Timestamp;
use schemars::JsonSchema;
use serde::Serialize;
use stillprop_plan::{
    forecast::Basis,
    window::{Shut, Stretch, Window},
};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::{Verdict, light::clock},
    stage::Choice,
    units::Units,
};

use crate::report::{
    answer::{
        Instant, instant,
        ready::{self, limit},
    },
    text::{head, list, section, wrapped},
};

/// Columns of what is wrapped.
const WIDTH: usize = 86;
/// Limits shown with the hours in which they do not hold.
const SHOWN: usize = 6;

/// The window as a person reads it.
pub(crate) fn page(
    window: &Window,
    choice: &Choice,
    assessment: &Assessment,
    drawn: Option<&str>,
) -> String {
    let at = |instant| clock(instant, window.offset);
    let (word, counts) = headline(window, choice);
    let mut out = head(assessment, word, &counts);
    section(&mut out, "CHOCKS OFF");
    for open in &window.open {
        let _ = writeln!(out, "  {} to {}", at(open.from), at(open.until));
        edge(&mut out, ("from", "a minute earlier"), &open.opens, "the day begins");
        edge(&mut out, ("to", "a minute later"), &open.closes, "the day ends");
    }
    if window.open.is_empty() {
        out.push_str("  at no time of this day does every limit hold\n");
    }
    closed(&mut out, window);
    if let Some(file) = drawn {
        let _ = writeln!(out, "\nday ribbon: {file}");
    }
    list(&mut out, "WEATHER THROUGH THE DAY", weather(window).iter().map(String::as_str));
    list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
    out
}

/// Whether the planned time lies in it, and which does.
pub(crate) fn headline(window: &Window, choice: &Choice) -> (&'static str, String) {
    let planned = clock(choice.departs, window.offset);
    match window.nearest(choice.departs) {
        None => ("NO WINDOW", format!("planned {planned}")),
        Some(_) if window.holds(choice.departs) => {
            ("IN THE WINDOW", format!("planned {planned} lies in it"))
        }
        Some(nearest) => {
            let way = if nearest < choice.departs { "before" } else { "after" };
            let minutes = nearest.duration_since(choice.departs).abs().as_mins();
            let minutes = minutes.max(1);
            let at = clock(nearest, window.offset);
            ("NOT IN THE WINDOW", format!("planned {planned}; nearest {at}, {minutes} min {way}"))
        }
    }
}

fn edge(out: &mut String, (word, beyond): (&str, &str), limits: &[Limit], none: &str) {
    if limits.is_empty() {
        let _ = writeln!(out, "    {word:<5}{none}");
    }
    for limit in limits {
        let _ = writeln!(out, "    {word:<5}{}", limit.id);
        let how = how(limit);
        for row in wrapped(&format!("{beyond}: {how}"), WIDTH) {
            let _ = writeln!(out, "         {row}");
        }
    }
}

/// How a limit stands, or what is missing for it.
pub(crate) fn how(limit: &Limit) -> &str {
    match &limit.words.act {
        Some(missing) if limit.verdict == Verdict::Unknown => missing,
        _ => &limit.words.stands,
    }
}

fn closed(out: &mut String, window: &Window) {
    if window.shut.is_empty() {
        return;
    }
    section(out, "DOES NOT HOLD");
    for shut in window.shut.iter().take(SHOWN) {
        let _ = writeln!(out, "  {:<35} {}", shut.limit.id, times(window, shut));
    }
    let more = window.shut.len().saturating_sub(SHOWN);
    if more > 0 {
        let _ = writeln!(out, "  and {more} more (--json names them)");
    }
}

/// When a limit does not hold.
pub(crate) fn times(window: &Window, shut: &Shut) -> String {
    if shut.minutes == stillprop_plan::window::MINUTES {
        return "all day: no other time mends it".into();
    }
    let at = |instant| clock(instant, window.offset);
    let each =
        shut.stretches.iter().map(|(from, until)| format!("{} to {}", at(*from), at(*until)));
    each.collect::<Vec<_>>().join(", ")
}

/// How the weather of each strip is known, a sentence each.
pub(crate) fn weather(window: &Window) -> Vec<String> {
    let ways = [
        (
            Basis::Typed,
            "as typed for the planned time, all day long. A warmer hour needs more strip: type minimum \
             and maximum, or hours, under its weather",
        ),
        (Basis::Hours, "from hour to hour as typed; outside them unknown"),
        (
            Basis::Curve,
            "temperature from minimum to maximum along the curve of Parton and Logan 1981 (read: second \
             hand); wind and setting as typed",
        ),
    ];
    let line = |(basis, how): (Basis, &str)| {
        let mut places: Vec<&str> = Vec::new();
        for (place, _) in window.weather.iter().filter(|(_, known)| *known == basis) {
            if !places.contains(&place.as_str()) {
                places.push(place);
            }
        }
        (!places.is_empty()).then(|| format!("{}: {how}.", places.join(", ")))
    };
    let mut lines: Vec<String> = ways.into_iter().filter_map(line).collect();
    lines.push(
        "Winds at cruise stay as typed. Terrain is not reckoned: a valley darkens earlier.".into(),
    );
    lines
}

/// The window, for programs.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "Window")]
pub(crate) struct Answer<'a> {
    title: &'a str,
    /// Chocks off as planned.
    planned: Instant,
    /// Every limit holds then.
    planned_holds: bool,
    /// The nearest time at which every limit holds.
    nearest: Option<Instant>,
    /// Times at which every limit holds.
    windows: Vec<Open<'a>>,
    /// Limits that do not hold at some time of the day.
    shut: Vec<Closed<'a>>,
    /// How the weather through the day is known.
    weather: Vec<Known<'a>>,
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// Times of chocks off at which every limit holds.
#[derive(Debug, JsonSchema, Serialize)]
struct Open<'a> {
    /// First minute.
    from: Instant,
    /// Last minute.
    until: Instant,
    /// What does not hold a minute before; empty where the day begins.
    opens: Vec<ready::Limit<'a>>,
    /// What does not hold a minute after; empty where the day ends.
    closes: Vec<ready::Limit<'a>>,
}

/// A limit that does not hold at some time.
#[derive(Debug, JsonSchema, Serialize)]
struct Closed<'a> {
    limit: &'a str,
    /// Minutes of the day.
    minutes: usize,
    stretches: Vec<Between>,
}

/// A stretch of the day.
#[derive(Debug, JsonSchema, Serialize)]
struct Between {
    /// First minute.
    from: Instant,
    /// Last minute.
    until: Instant,
}

/// How the weather of a strip is known.
#[derive(Debug, JsonSchema, Serialize)]
struct Known<'a> {
    place: &'a str,
    /// `typed`, `hours` or `curve`.
    known: &'static str,
}

/// The same for programs.
pub(crate) fn answer<'a>(
    window: &'a Window,
    choice: &Choice,
    assessment: &'a Assessment,
    units: &Units,
) -> Answer<'a> {
    let at = |at: Timestamp| instant(at, window.offset);
    let limits = |limits: &'a [Limit]| limits.iter().map(|one| limit(one, units)).collect();
    let open = |open: &'a Stretch| Open {
        from: at(open.from),
        until: at(open.until),
        opens: limits(&open.opens),
        closes: limits(&open.closes),
    };
    let between =
        |(from, until): &(Timestamp, Timestamp)| Between { from: at(*from), until: at(*until) };
    let shut = |shut: &'a Shut| Closed {
        limit: &shut.limit.id,
        minutes: shut.minutes,
        stretches: shut.stretches.iter().map(between).collect(),
    };
    let known = |(place, basis): &'a (String, Basis)| Known {
        place,
        known: match basis {
            Basis::Typed => "typed",
            Basis::Hours => "hours",
            Basis::Curve => "curve",
        },
    };
    Answer {
        title: &assessment.title,
        planned: at(choice.departs),
        planned_holds: window.holds(choice.departs),
        nearest: window.nearest(choice.departs).map(at),
        windows: window.open.iter().map(open).collect(),
        shut: window.shut.iter().map(shut).collect(),
        weather: window.weather.iter().map(known).collect(),
        cautions: &assessment.cautions,
    }
}
