//! The window as a page and as JSON.

use std::fmt::Write;

use jiff::Timestamp;
use serde_json::{Value, json};
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
    answer::{instant, ready::limit, value},
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

fn headline(window: &Window, choice: &Choice) -> (&'static str, String) {
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
        let how = match &limit.words.act {
            Some(missing) if limit.verdict == Verdict::Unknown => missing,
            _ => &limit.words.stands,
        };
        for row in wrapped(&format!("{beyond}: {how}"), WIDTH) {
            let _ = writeln!(out, "         {row}");
        }
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

fn times(window: &Window, shut: &Shut) -> String {
    if shut.minutes == stillprop_plan::window::MINUTES {
        return "all day: no other time mends it".into();
    }
    let at = |instant| clock(instant, window.offset);
    let each =
        shut.stretches.iter().map(|(from, until)| format!("{} to {}", at(*from), at(*until)));
    each.collect::<Vec<_>>().join(", ")
}

/// How the weather of each strip is known, a sentence each.
fn weather(window: &Window) -> Vec<String> {
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

/// The same for programs.
pub(crate) fn json(
    window: &Window,
    choice: &Choice,
    assessment: &Assessment,
    units: &Units,
) -> Value {
    let at = |at: Timestamp| instant(at, window.offset);
    let limits =
        |limits: &[Limit]| limits.iter().map(|one| value(&limit(one, units))).collect::<Vec<_>>();
    let open = |open: &Stretch| {
        json!({
            "from": at(open.from), "until": at(open.until),
            "opens": limits(&open.opens), "closes": limits(&open.closes),
        })
    };
    let shut = |shut: &Shut| {
        let stretches = shut.stretches.iter();
        let stretches =
            stretches.map(|(from, until)| json!({ "from": at(*from), "until": at(*until) }));
        json!({
            "limit": shut.limit.id, "minutes": shut.minutes,
            "stretches": stretches.collect::<Vec<_>>(),
        })
    };
    let weather = |(place, basis): &(String, Basis)| {
        let known = match basis {
            Basis::Typed => "typed",
            Basis::Hours => "hours",
            Basis::Curve => "curve",
        };
        json!({ "place": place, "known": known })
    };
    json!({
        "title": assessment.title,
        "planned": at(choice.departs),
        "planned_holds": window.holds(choice.departs),
        "nearest": window.nearest(choice.departs).map(at),
        "windows": window.open.iter().map(open).collect::<Vec<_>>(),
        "shut": window.shut.iter().map(shut).collect::<Vec<_>>(),
        "weather": window.weather.iter().map(weather).collect::<Vec<_>>(),
        "cautions": assessment.cautions,
    })
}
