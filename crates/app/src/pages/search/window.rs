//! The window: the day with the times at which every limit holds, and what makes each edge.

use maud::{Markup, html};
use stillprop_plan::window::{Stretch, Window};
use stillprop_turnaround::{assess::Limit, limits::light::clock, stage::Choice};

use super::{About, Ask, Tone, notes, picture};
use crate::{
    pages::bits,
    report::search::window::{headline, how, times, weather},
};

/// The page.
pub(crate) fn page(about: &About<'_>, window: &Window, choice: &Choice, drawn: &str) -> Markup {
    let (word, detail) = headline(window, choice);
    let inside = window.holds(choice.departs);
    let body = html! {
        section aria-labelledby="open" {
            h2 id="open" { "Chocks off" }
            @if window.open.is_empty() { p { "At no time of this day does every limit hold." } }
            @for open in &window.open { (stretch(window, open)) }
            @if let Some(at) = window.nearest(choice.departs).filter(|_| !inside) {
                p { "Nearest to the planned time: " strong { (clock(at, window.offset)) } "." }
                (about.write(Ask::Window, &format!("Write {} into a new version", clock(at, window.offset)), &[]))
            }
        }
        (picture("day-ribbon", drawn))
        @if !window.shut.is_empty() {
            section aria-labelledby="shut" {
                h2 id="shut" { "Does not hold" }
                ul.short {
                    @for shut in &window.shut {
                        li { (bits::verdict(shut.limit.verdict)) " " (about.why(&shut.limit)) " " (times(window, shut)) }
                    }
                }
            }
        }
        @let lines = weather(window);
        (notes("weather", "Weather through the day", lines.iter().map(String::as_str)))
        p { "Every whole minute of the day is judged; nothing narrower than a minute is found." }
    };
    about.page(Ask::Window, (word, &detail), Tone::of(inside), &body)
}

fn stretch(window: &Window, open: &Stretch) -> Markup {
    let at = |instant| clock(instant, window.offset);
    html! {
        h3.window { (at(open.from)) " to " (at(open.until)) }
        dl {
            (edge("A minute earlier", &open.opens, "the day before"))
            (edge("A minute later", &open.closes, "the day after"))
        }
    }
}

/// What does not hold a minute beyond.
fn edge(beyond: &str, limits: &[Limit], none: &str) -> Markup {
    html! {
        dt { (beyond) }
        dd {
            @if limits.is_empty() { (none) }
            @for limit in limits {
                p { (limit.id) " " (limit.verdict.word()) ": " (how(limit)) }
            }
        }
    }
}
