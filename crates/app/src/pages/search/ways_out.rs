//! Ways out as cards, the cheapest first.

use maud::{Markup, html};
use stillprop_plan::ways_out::{Edit, Way, WaysOut};
use stillprop_turnaround::limits::Verdict;

use super::{About, Ask, Tone, in_the_way, notes};
use crate::{
    pages::bits,
    report::search::ways_out::{NONE, ORDER, VERIFIED, asks, capital, headline},
};

/// The page. `marks` say which way is which when one is to be written.
pub(crate) fn page(about: &About<'_>, found: &WaysOut, marks: &[String]) -> Markup {
    let a = about.assessment;
    let (word, detail) = headline(found, a);
    let rest = || a.limits.iter().filter(|limit| limit.verdict == Verdict::Breaks);
    let body = html! {
        @if !found.ways.is_empty() {
            section aria-labelledby="ways" {
                h2 id="ways" { "Any one of these mends it" }
                ol.ways { @for (number, (way, mark)) in found.ways.iter().zip(marks).enumerate() { (card(about, number + 1, way, mark)) } }
            }
        } @else if !found.broken.is_empty() {
            section aria-labelledby="ways" {
                h2 id="ways" { "Ways out" }
                p { (NONE) }
            }
        } @else if a.ready() {
            p { "Every limit that is assessed holds. The other pages here say how much room there is: for another time, another loading, another place." }
        }
        @if !found.asks.is_empty() {
            section aria-labelledby="ask" {
                h2 id="ask" { "Find out first" }
                ul.limits {
                    @for ask in &found.asks {
                        li {
                            p { (bits::verdict(Verdict::Unknown)) " " (capital(&ask.words)) "." }
                            @if let Some(enough) = &ask.enough { p.act { (capital(enough)) "." } }
                        }
                    }
                }
            }
        }
        @if rest().next().is_some() {
            section aria-labelledby="way" {
                h2 id="way" { "In the way" }
                (in_the_way(about, rest()))
            }
        }
        @if !found.ways.is_empty() {
            (notes("notes", "Notes", said(found)))
        }
    };
    about.page(Ask::WaysOut, (word, &detail), Tone::of(a.ready()), &body)
}

fn said(found: &WaysOut) -> impl Iterator<Item = &'static str> {
    let unknown = "What is unknown stays unknown until it is found out: that is not ready.";
    [VERIFIED, ORDER].into_iter().chain((!found.asks.is_empty()).then_some(unknown))
}

fn card(about: &About<'_>, number: usize, way: &Way, mark: &str) -> Markup {
    let field = ("way".to_owned(), mark.to_owned());
    html! {
        li.way {
            h3 { (number) ". " (capital(&way.words)) "." }
            @if let Some(remark) = &way.remark { p { (capital(remark)) "." } }
            p { "Asks: " strong { (asks(&way.burden, about.units).join(", ")) } "." }
            @if let Some(limit) = &way.tightest {
                p { "Then tightest: " (limit.id) " " (bits::room(limit)) }
                p { (limit.words.stands) }
            }
            @if done_first(way) { p { "Do it first, then write it." } }
            (about.write(Ask::WaysOut, "Write it into a new version", &[field]))
        }
    }
}

/// True for what is done on the ground: written before it is done, the document would say what is
/// not so.
fn done_first(way: &Way) -> bool {
    let deed = |edit: &Edit| {
        matches!(edit, Edit::Carry(..) | Edit::TieTail(..) | Edit::TakeUp(_) | Edit::Park(_))
    };
    way.edits.iter().any(deed)
}

/// The first ways, for the page of the stop.
pub(crate) fn short(found: &WaysOut) -> Markup {
    html! {
        @if !found.ways.is_empty() {
            p { "Any one of these mends it:" }
            ol { @for way in found.ways.iter().take(SHORT) { li { (capital(&way.words)) "." } } }
        }
        @for ask in &found.asks { p { "Find out first: " (ask.words) "." } }
    }
}

/// Ways shown on the page of the stop.
const SHORT: usize = 3;
