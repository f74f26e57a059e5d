//! Ways out as a page and as JSON.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_calc::{
    quantity::{FromAmount, Length, Mass, Volume},
    unit,
};
use stillprop_plan::ways_out::{self, Burden, Way, WaysOut};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::Verdict,
    units::{Round, Units},
};

use crate::report::{
    answer::ready::{self, limit},
    bars,
    text::{head, list, section, standing_in_the_way, wrapped},
};

/// Columns of what is wrapped.
const WIDTH: usize = 92;

/// Where nothing mends.
pub(crate) const NONE: &str = "None was found: neither one change nor two mend it. What is tried: \
    direction, seats and lockers, fuel, time, drums, place on the apron, things carried away, a tied \
    tail, spills, items and people left behind, a stop for fuel.";
/// How sure they are.
pub(crate) const VERIFIED: &str = "Each was worked into the documents and assessed in full.";
/// How they are ordered.
pub(crate) const ORDER: &str = "Cheapest first, by a pilot's work: common practice, no source.";

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
        rows(&mut out, "  ", NONE);
    }
    let mut notes = vec![VERIFIED, "The documents stay as they are.", ORDER];
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

/// How it stands, and how many ways there are.
pub(crate) fn headline(found: &WaysOut, assessment: &Assessment) -> (&'static str, String) {
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

/// What is tightest once it is done; empty where nothing has a margin.
pub(crate) fn afterwards(way: &Way) -> String {
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

/// The first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What a change asks of people, one respect after the other: `32 lb left behind`.
pub(crate) fn asks(burden: &Burden, units: &Units) -> Vec<String> {
    let Burden { people, kilograms, litres, minutes, metres, degrees, moves, jobs, directions } =
        *burden;
    let count = |much: f64, one: &str, many: &str| {
        format!("{much:.0} {}", if (much - 1.0).abs() < 0.5 { one } else { many })
    };
    let mass = || format!("{} left behind", units.mass(Mass::from_si(kilograms), Round::Up));
    let fuel = || format!("{} of fuel", units.fuel(Volume::of(litres, unit::L), Round::Up));
    let moved = || format!("{} to move", units.apron(Length::from_si(metres), Round::Up));
    let all: [(f64, &dyn Fn() -> String); 9] = [
        (people, &|| count(people, "person left behind", "people left behind")),
        (kilograms, &mass),
        (litres, &fuel),
        (minutes, &|| format!("{:.0} min", minutes.ceil())),
        (metres, &moved),
        (degrees, &|| format!("{:.0} degrees to turn", degrees.ceil())),
        (moves, &|| count(moves, "person or thing to move", "people or things to move")),
        (jobs, &|| count(jobs, "job", "jobs")),
        (directions, &|| count(directions, "other direction", "other directions")),
    ];
    all.into_iter().filter(|(much, _)| *much > 0.0).map(|(_, words)| words()).collect()
}

/// The ways out, for programs.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "WaysOut")]
pub(crate) struct Answer<'a> {
    title: &'a str,
    /// Ready on what is assessed: no change is needed.
    ready: bool,
    /// Limits that break now.
    broken: Vec<ready::Limit<'a>>,
    /// What must be found out first.
    find_out: Vec<FindOut<'a>>,
    /// Changes, any one of which mends what breaks, cheapest first.
    ways: Vec<WayOut<'a>>,
    /// Stages and choices judged.
    judged: u64,
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// Something that must be found out.
#[derive(Debug, JsonSchema, Serialize)]
struct FindOut<'a> {
    /// What to do.
    words: &'a str,
    /// What answer would let everything hold.
    enough: Option<&'a str>,
    /// Limits that wait for it.
    limits: &'a [String],
}

/// A change that mends.
#[derive(Debug, JsonSchema, Serialize)]
struct WayOut<'a> {
    /// Its kind as one word.
    kind: &'static str,
    /// What to do.
    words: &'a str,
    /// What else to know.
    remark: Option<&'a str>,
    /// In minutes of a pilot's work: common practice, no source.
    cost: f64,
    burden: Asks,
    /// The tightest limit once it is done.
    tightest: Option<ready::Limit<'a>>,
}

/// What a change asks of people.
#[derive(Debug, JsonSchema, Serialize)]
struct Asks {
    /// People left behind.
    people: f64,
    /// Kilograms left behind.
    kg: f64,
    /// Litres less or more.
    #[serde(rename = "L")]
    litres: f64,
    /// Minutes earlier or later.
    min: f64,
    /// Metres moved.
    m: f64,
    /// Degrees turned.
    deg: f64,
    /// People or things that change places.
    moves: f64,
    jobs: f64,
    /// Directions that change.
    directions: f64,
}

/// The same for programs.
pub(crate) fn answer<'a>(
    found: &'a WaysOut,
    assessment: &'a Assessment,
    units: &Units,
) -> Answer<'a> {
    let way = |way: &'a Way| {
        let burden = &way.burden;
        WayOut {
            kind: way.kind.word(),
            words: &way.words,
            remark: way.remark.as_deref(),
            cost: burden.cost(),
            burden: Asks {
                people: burden.people,
                kg: burden.kilograms,
                litres: burden.litres,
                min: burden.minutes,
                m: burden.metres,
                deg: burden.degrees,
                moves: burden.moves,
                jobs: burden.jobs,
                directions: burden.directions,
            },
            tightest: way.tightest.as_ref().map(|each| limit(each, units)),
        }
    };
    let find_out = |ask: &'a ways_out::Ask| FindOut {
        words: &ask.words,
        enough: ask.enough.as_deref(),
        limits: &ask.limits,
    };
    Answer {
        title: &assessment.title,
        ready: assessment.ready(),
        broken: found.broken.iter().map(|each| limit(each, units)).collect(),
        find_out: found.asks.iter().map(find_out).collect(),
        ways: found.ways.iter().map(way).collect(),
        judged: found.judged,
        cautions: &assessment.cautions,
    }
}
