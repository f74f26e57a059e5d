//! Ways out as a page and as JSON.

use std::fmt::Write;

use serde_json::{Value, json};
use stillprop_plan::ways_out::{Way, WaysOut};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::Verdict,
    units::Units,
};

use crate::report::{
    answer::ready::limit,
    bars,
    text::{head, list, section, standing_in_the_way, wrapped},
};

/// Columns of what is wrapped.
const WIDTH: usize = 92;

/// The ways out as a person reads them.
pub(crate) fn page(found: &WaysOut, assessment: &Assessment) -> String {
    let (word, counts) = headline(found, assessment);
    let mut out = head(assessment, word, &counts);
    if !assessment.ready() {
        section(&mut out, "IN THE WAY");
        let rest = assessment.limits.iter().filter(|limit| limit.verdict != Verdict::Holds);
        standing_in_the_way(&mut out, rest);
    }
    if !found.asks.is_empty() {
        section(&mut out, "FIND OUT FIRST");
        for ask in &found.asks {
            rows(&mut out, "  ? ", &format!("{}.", capital(&ask.words)));
            if let Some(enough) = &ask.enough {
                rows(&mut out, "    ", &format!("{}.", capital(enough)));
            }
        }
    }
    if !found.ways.is_empty() {
        section(&mut out, "ANY ONE OF THESE MENDS IT");
        for (number, way) in found.ways.iter().enumerate() {
            rows(&mut out, &format!("  {} ", number + 1), &format!("{}.", capital(&way.words)));
            if let Some(remark) = &way.remark {
                rows(&mut out, "    ", &format!("{}.", capital(remark)));
            }
            rows(&mut out, "    ", &afterwards(way));
        }
    } else if !found.broken.is_empty() {
        section(&mut out, "WAYS OUT");
        rows(
            &mut out,
            "  ",
            "None was found: neither one change nor two mend it. What is tried: \
             direction, seats and lockers, fuel, time, drums, place on the apron, things carried away, \
             a tied tail, spills, items and people left behind, a stop for fuel.",
        );
    }
    let mut notes = vec![
        "Each was worked into the documents and assessed in full. The documents stay as they are.",
        "Cheapest first, by a pilot's work: common practice, no source.",
    ];
    if !found.asks.is_empty() && !found.ways.is_empty() {
        notes.push("What is unknown stays unknown until it is found out: that is not ready.");
    }
    if found.ways.is_empty() {
        notes.clear();
    }
    if !notes.is_empty() {
        list(&mut out, "NOTES", notes.into_iter());
    }
    list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
    out
}

fn headline(found: &WaysOut, assessment: &Assessment) -> (&'static str, String) {
    let count = found.ways.len();
    if assessment.ready() {
        return ("READY on what is assessed", "no change is needed".into());
    }
    match (count, found.asks.len()) {
        (0, 0) => ("NO WAY OUT FOUND", "nothing that is tried mends it".into()),
        (0, _) => ("NOT READY", "something must be found out first".into()),
        (1, _) => ("NOT READY", "1 way out".into()),
        _ => ("NOT READY", format!("{count} ways out")),
    }
}

/// What is tightest once it is done.
fn afterwards(way: &Way) -> String {
    let of = |limit: &Limit| {
        let share = limit.share().map_or(String::new(), bars::share);
        format!("Then tightest: {}, {share}: {}.", limit.id, limit.words.stands)
    };
    way.tightest.as_ref().map_or_else(String::new, of)
}

fn rows(out: &mut String, mark: &str, text: &str) {
    if text.is_empty() {
        return;
    }
    for (row, words) in wrapped(text, WIDTH).iter().enumerate() {
        let lead = if row == 0 { mark.to_owned() } else { " ".repeat(mark.len()) };
        let _ = writeln!(out, "{lead}{words}");
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The same for programs.
pub(crate) fn json(found: &WaysOut, assessment: &Assessment, units: &Units) -> Value {
    let way = |way: &Way| {
        let burden = &way.burden;
        json!({
            "kind": way.kind.word(),
            "words": way.words,
            "remark": way.remark,
            "cost": burden.cost(),
            "burden": {
                "people": burden.people, "kg": burden.kilograms, "L": burden.litres,
                "min": burden.minutes, "m": burden.metres, "deg": burden.degrees,
                "moves": burden.moves, "jobs": burden.jobs, "directions": burden.directions,
            },
            "tightest": way.tightest.as_ref().map(|each| limit(each, units)),
        })
    };
    json!({
        "title": assessment.title,
        "ready": assessment.ready(),
        "broken": found.broken.iter().map(|each| limit(each, units)).collect::<Vec<_>>(),
        "find_out": found.asks.iter().map(|ask| json!({
            "words": ask.words, "enough": ask.enough, "limits": ask.limits,
        })).collect::<Vec<_>>(),
        "ways": found.ways.iter().map(way).collect::<Vec<_>>(),
        "judged": found.judged,
        "cautions": assessment.cautions,
    })
}
