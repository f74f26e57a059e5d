//! Odds as a page and as JSON: dots and counts of flights, no false decimals.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_plan::odds::{Chance, Measurement, Tally, spread::Input};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::Verdict,
};

use crate::{
    report::text::{head, list, section, standing_in_the_way, wrapped},
    search::odds::Drawn,
};

/// Limits shown one by one.
const SHOWN: usize = 6;
/// Measurements shown.
const BEST: usize = 3;

impl Drawn {
    /// How often every limit holds.
    pub(crate) fn all(&self) -> Chance {
        Chance::of(self.tally.all, self.tally.draws)
    }

    /// How often any limit breaks.
    pub(crate) fn breaks(&self) -> Chance {
        let all = self.all();
        Chance { share: 1.0 - all.share, low: 1.0 - all.high, high: 1.0 - all.low }
    }

    /// Of a hundred flights, those on which a limit breaks: none only if none, all only if all.
    pub(crate) fn dots(&self) -> usize {
        let share = self.breaks().share;
        let least = usize::from(share > 0.0);
        let most = if share < 1.0 { 99 } else { 100 };
        ((share * 100.0).round() as usize).clamp(least, most)
    }

    /// What to measure, the most helpful first: `read the wind: about 13 in 100 becomes about 6 in 100`.
    pub(crate) fn advice(&self, breaks: Chance) -> Vec<String> {
        let helps = self.measurements.iter().filter(|each| each.all.low > 1.0 - breaks.share);
        let words = |each: &Measurement| {
            let after = Chance {
                share: 1.0 - each.all.share,
                low: 1.0 - each.all.high,
                high: 1.0 - each.all.low,
            };
            let words = format!("{}: {} becomes {}", each.words, in_words(breaks), in_words(after));
            let mut letters = words.chars();
            let first = letters.next().map(|first| first.to_uppercase().to_string());
            format!("{}{}", first.unwrap_or_default(), letters.as_str())
        };
        helps.take(BEST).map(words).collect()
    }

    /// Limits that are broken in some draw, the likeliest first.
    pub(crate) fn broken(&self) -> Vec<(&Limit, Chance)> {
        let chance = |count: &u64| Chance::of(self.tally.draws - count, self.tally.draws);
        let each = self.model.varied.iter().zip(self.tally.each.iter().map(chance));
        let mut some: Vec<_> = each.filter(|(_, chance)| chance.share > 0.0).collect();
        some.sort_by(|a, b| b.1.share.total_cmp(&a.1.share));
        some
    }

    pub(crate) fn fixed_broken(&self) -> impl Iterator<Item = &Limit> + Clone {
        self.model.fixed.iter().filter(|limit| limit.verdict != Verdict::Holds)
    }
}

/// A chance of breaking as one says it: `about 4 in 100`, `fewer than 1 in 5000`.
pub(crate) fn in_words(chance: Chance) -> String {
    if chance.share <= 0.0 {
        return format!("fewer than 1 in {:.0}", round_down(1.0 / chance.high));
    }
    if chance.share >= 1.0 {
        return "always".into();
    }
    let of = [100.0, 1000.0, 10_000.0, 100_000.0, 1_000_000.0];
    let of = of.into_iter().find(|of| chance.share * of >= 0.95).unwrap_or(1e6);
    let count = (chance.share * of).round().max(1.0);
    // Of a hundred, ninety-nine and a half are not a hundred.
    let count = if count >= of { of - 1.0 } else { count };
    format!("about {count:.0} in {of:.0}")
}

/// One figure and noughts.
fn round_down(number: f64) -> f64 {
    let power = 10_f64.powf(number.max(1.0).log10().floor());
    (number / power).floor() * power
}

/// A hundred flights like this: `o` holds, `X` breaks.
fn dots(bad: usize) -> Vec<String> {
    let dot = |at: usize| if at < 100 - bad { "o" } else { "X" };
    (0..4).map(|row| (0..25).map(|at| dot(row * 25 + at)).collect::<Vec<_>>().join(" ")).collect()
}

/// The odds as a person reads them.
pub(crate) fn page(answer: &Drawn, assessment: &Assessment, drawn: Option<&str>) -> String {
    let breaks = answer.breaks();
    let (word, counts) = headline(answer, breaks);
    let mut out = head(assessment, word, &counts);
    if answer.fixed_broken().next().is_some() {
        section(&mut out, "NO MATTER OF CHANCE");
        standing_in_the_way(&mut out, answer.fixed_broken());
    }
    section(&mut out, "OF A HUNDRED FLIGHTS LIKE THIS");
    for row in dots(answer.dots()) {
        let _ = writeln!(out, "  {row}");
    }
    out.push_str("  o every limit of load, fuel, strip and light holds   X one breaks\n");
    let broken = answer.broken();
    if !broken.is_empty() {
        section(&mut out, "WHAT BREAKS");
        for (limit, chance) in broken.iter().take(SHOWN) {
            let _ = writeln!(out, "  {:<35} {}", limit.id, in_words(*chance));
        }
        if broken.len() > SHOWN {
            let _ = writeln!(out, "  and {} more, less often", broken.len() - SHOWN);
        }
    }
    measured(&mut out, answer, breaks);
    section(&mut out, "HOW EACH INPUT IS KNOWN");
    for input in &answer.model.inputs {
        let spread = spread(input);
        let _ =
            writeln!(out, "  {:<34} {:<14} {spread:<17} {}", input.what, input.known, input.source);
    }
    if let Some(file) = drawn {
        let _ = writeln!(out, "\ndots: {file}");
    }
    let notes = notes(answer);
    list(&mut out, "NOTES", notes.iter().map(String::as_str));
    list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
    out
}

/// How it stands, and how often a limit breaks.
pub(crate) fn headline(answer: &Drawn, breaks: Chance) -> (&'static str, String) {
    let word = if answer.fixed_broken().next().is_some() || answer.tally.all == 0 {
        "NOT READY"
    } else {
        "ODDS"
    };
    let words = match breaks.share {
        share if share <= 0.0 => {
            format!("a limit breaks in {} flights like this", in_words(breaks))
        }
        share if share >= 1.0 => "a limit breaks in every flight like this".into(),
        _ => format!("a limit breaks in {} flights like this", in_words(breaks)),
    };
    (word, words)
}

fn measured(out: &mut String, answer: &Drawn, breaks: Chance) {
    let advice = answer.advice(breaks);
    if advice.is_empty() {
        return;
    }
    section(out, "WHAT TO MEASURE");
    for words in advice {
        for (row, line) in wrapped(&words, 92).iter().enumerate() {
            let _ = writeln!(out, "  {} {line}", if row == 0 { '-' } else { ' ' });
        }
    }
}

/// One deviation in the unit of the input.
pub(crate) fn spread(input: &Input) -> String {
    use stillprop_plan::odds::spread::Subject;
    const KT: f64 = 1852.0 / 3600.0;
    match input.subject {
        Subject::Person(_) | Subject::Item(_) => format!("+- {:.1} kg", input.deviation),
        Subject::Tank(_) => format!("+- {:.1} L", input.deviation * 1000.0),
        Subject::Burn => format!("+- {:.0} %", input.deviation * 100.0),
        Subject::Temperature(_) => format!("+- {:.1} degC", input.deviation),
        Subject::WindAloft(_) | Subject::SurfaceWind(_) => {
            format!("+- {:.1} kt", input.deviation / KT)
        }
    }
}

/// How sure the count is, and what it leaves out.
pub(crate) fn notes(answer: &Drawn) -> Vec<String> {
    let Tally { draws, .. } = answer.tally;
    let all = answer.all();
    let mut notes = vec![format!(
        "{draws} draws, seed {}: the same on any machine and any number of threads. Between {} and {} \
         of the draws hold, with 95 % confidence (Wilson): that is how sure the count is, not how good the \
         spreads are.",
        answer.seed,
        percent(all.low, f64::floor),
        percent(all.high, f64::ceil),
    )];
    if answer.stopped {
        notes.insert(0, "Stopped: these are the draws so far, and another stop has others.".into());
    }
    notes.push("The spread behind +- is one standard deviation.".into());
    notes.push(
        "Reckoned as if what is measured came out as typed. The empty mass, the setting of the \
         altimeter and the manual's charts are taken as they are: the factors of the pack are for those."
            .into(),
    );
    notes
}

fn percent(share: f64, round: fn(f64) -> f64) -> String {
    format!("{} %", round(share * 1000.0) / 10.0)
}

/// The odds, for programs.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "Odds")]
pub(crate) struct Answer<'a> {
    title: &'a str,
    /// How often everything was drawn.
    draws: u64,
    /// The same seed gives the same answer.
    seed: u64,
    /// How often every limit holds.
    all_hold: Share,
    /// Limits that are no matter of chance hold.
    fixed_hold: bool,
    /// Those of them that do not.
    fixed_broken: Vec<&'a str>,
    /// Each limit that depends on what was drawn.
    limits: Vec<LimitOdds<'a>>,
    /// What measuring would do, the most helpful first.
    measurements: Vec<Measured<'a>>,
    /// What was drawn, and how far it may lie off.
    inputs: Vec<Drawing<'a>>,
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// A share of the draws with its interval of 95 % confidence (Wilson).
#[derive(Debug, JsonSchema, Serialize)]
struct Share {
    share: f64,
    low: f64,
    high: f64,
}

/// How often a limit holds.
#[derive(Debug, JsonSchema, Serialize)]
struct LimitOdds<'a> {
    limit: &'a str,
    holds: Share,
}

/// What measuring something would do.
#[derive(Debug, JsonSchema, Serialize)]
struct Measured<'a> {
    /// What to do.
    words: &'a str,
    /// How often every limit holds then, as if it came out as typed.
    all_hold: Share,
}

/// Something that is drawn.
#[derive(Debug, JsonSchema, Serialize)]
struct Drawing<'a> {
    what: &'a str,
    /// How it is known.
    known: &'a str,
    /// One standard deviation, in its unit.
    spread: String,
    /// Where the spread is from.
    source: &'a str,
}

/// The same for programs.
pub(crate) fn answer<'a>(drawn: &'a Drawn, assessment: &'a Assessment) -> Answer<'a> {
    let odds = |chance: Chance| Share { share: chance.share, low: chance.low, high: chance.high };
    let draws = drawn.tally.draws;
    let limits = drawn.model.varied.iter().zip(&drawn.tally.each);
    let limits = limits.map(|(limit, count)| LimitOdds {
        limit: &limit.id,
        holds: odds(Chance::of(*count, draws)),
    });
    let drawing = |input: &'a Input| Drawing {
        what: &input.what,
        known: input.known,
        spread: spread(input),
        source: input.source,
    };
    let measured =
        |each: &'a Measurement| Measured { words: &each.words, all_hold: odds(each.all) };
    Answer {
        title: &assessment.title,
        draws,
        seed: drawn.seed,
        all_hold: odds(drawn.all()),
        fixed_hold: drawn.model.fixed_hold(),
        fixed_broken: drawn.fixed_broken().map(|limit| limit.id.as_str()).collect(),
        limits: limits.collect(),
        measurements: drawn.measurements.iter().map(measured).collect(),
        inputs: drawn.model.inputs.iter().map(drawing).collect(),
        cautions: &assessment.cautions,
    }
}
