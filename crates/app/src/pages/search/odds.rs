//! The odds: dots and counts of flights, and what to measure first.

use maud::{Markup, html};
use stillprop_plan::odds::Chance;

use super::{About, Ask, Tone, in_the_way, notes, picture};
use crate::{
    report::search::odds::{headline, in_words, notes as said, spread},
    search::odds::Drawn,
};

/// Limits shown one by one.
const SHOWN: usize = 8;

/// The page.
pub(crate) fn page(about: &About<'_>, drawn: &Drawn, dots: &str) -> Markup {
    let breaks = drawn.breaks();
    let (word, detail) = headline(drawn, breaks);
    let advice = drawn.advice(breaks);
    let broken = drawn.broken();
    // A chance is neither good nor bad; what is no matter of chance is.
    let bad = !drawn.model.fixed_hold() || drawn.tally.all == 0;
    let tone = if bad { Tone::Bad } else { Tone::Plain };
    let body = html! {
        @if drawn.fixed_broken().next().is_some() {
            section aria-labelledby="fixed" {
                h2 id="fixed" { "No matter of chance" }
                (in_the_way(about, drawn.fixed_broken()))
            }
        }
        section aria-labelledby="dots" {
            h2 id="dots" { "Of a hundred flights like this" }
            p { (between(breaks)) }
            (picture("odds", dots))
        }
        section aria-labelledby="measure" {
            h2 id="measure" { "What to measure first" }
            @if advice.is_empty() { p { "Nothing that can be measured would change it much." } }
            @else { ol { @for words in &advice { li { (words) "." } } } }
        }
        @if !broken.is_empty() {
            section aria-labelledby="breaks" {
                h2 id="breaks" { "What breaks" }
                ul.short { @for (limit, chance) in broken.iter().take(SHOWN) { li { (about.why(limit)) ": " (in_words(*chance)) } } }
                @if broken.len() > SHOWN { p { "and " (broken.len() - SHOWN) " more, each more seldom" } }
            }
        }
        section aria-labelledby="known" {
            h2 id="known" { "How well each input is known" }
            details {
                summary { "All " (drawn.model.inputs.len()) " inputs" }
                div.wide tabindex="0" role="region" aria-label="Inputs table" {
                    table {
                        thead { tr { th scope="col" { "input" } th scope="col" { "known" } th scope="col" { "spread" } th scope="col" { "source of the spread" } } }
                        tbody {
                            @for input in &drawn.model.inputs {
                                tr { th scope="row" { (input.what) } td { (input.known) } td { (spread(input)) } td { (input.source) } }
                            }
                        }
                    }
                }
            }
        }
        @let lines = said(drawn);
        (notes("notes", "Notes", lines.iter().map(String::as_str)))
    };
    about.page(Ask::Odds, (word, &detail), tone, &body)
}

/// How sure the count is, as one says it.
fn between(breaks: Chance) -> String {
    let (low, high) = (at(breaks.low, breaks), at(breaks.high, breaks));
    match (breaks.share <= 0.0, breaks.share >= 1.0) {
        (true, _) => "It broke in none of the draws.".to_owned(),
        (_, true) => "It broke in every one of the draws.".to_owned(),
        _ if low == high => format!("By the count, with 95 % confidence: {low}."),
        _ => format!("By the count it lies between {low} and {high}, with 95 % confidence."),
    }
}

fn at(share: f64, of: Chance) -> String {
    in_words(Chance { share, ..of })
}
