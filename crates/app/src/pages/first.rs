//! The stops: the next one large, the others by day, and what is due in the yard.

use maud::{Markup, html};

use super::{bits, bits::encoded, fault};
use crate::problem::Told;

/// What the page shows.
pub(crate) struct First {
    /// The stop that leaves next.
    pub(crate) next: Option<Stop>,
    /// The others by day.
    pub(crate) days: Vec<(String, Vec<Stop>)>,
    /// Turnarounds that cannot be read.
    pub(crate) broken: Vec<(String, Vec<Told>)>,
    /// What is due in the yard, or why that is not known.
    pub(crate) due: Result<Vec<Due>, String>,
}

/// One stop.
pub(crate) struct Stop {
    /// Name of its document.
    pub(crate) name: String,
    /// Its title.
    pub(crate) title: String,
    /// Aeroplane and strip.
    pub(crate) of: String,
    /// Chocks off, day and time on the spot.
    pub(crate) departs: String,
    /// Every limit holds.
    pub(crate) ready: bool,
    /// How many break, are unknown, hold.
    pub(crate) counts: String,
    /// The tightest limit.
    pub(crate) tightest: Option<Tightest>,
    /// What is next on its run sheet.
    pub(crate) sheet: String,
}

/// The tightest limit of a stop.
pub(crate) struct Tightest {
    /// Its name.
    pub(crate) id: String,
    /// How it stands.
    pub(crate) stands: String,
    /// What is left, or how far beyond.
    pub(crate) share: Option<String>,
}

/// Something to see to in the yard.
pub(crate) struct Due {
    /// The container.
    pub(crate) id: String,
    /// What people call it, and where it is.
    pub(crate) label: String,
    /// What to do.
    pub(crate) words: String,
}

/// Rows of the yard shown here.
const DUE: usize = 5;

impl First {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        let empty = self.next.is_none() && self.days.is_empty() && self.broken.is_empty();
        html! {
            h1 { "Stops" }
            @if empty {
                p { "There is no turnaround in this folder yet." }
                p { a.button href="/begin" { "Begin with your own data" } }
            }
            @if let Some(next) = &self.next {
                section.next aria-labelledby="next" {
                    h2 id="next" { "Next to leave" }
                    (large(next))
                }
            }
            @for (day, stops) in &self.days {
                section {
                    h2 { (day) }
                    ul.stops { @for stop in stops { (small(stop)) } }
                }
            }
            @if !self.broken.is_empty() {
                section {
                    h2 { "Cannot be read" }
                    @for (name, told) in &self.broken {
                        h3 { a href={ "/document/" (encoded(name)) } { (name) } }
                        (fault::problems(told))
                    }
                }
            }
            (due(&self.due))
        }
    }
}

fn tightest(stop: &Stop) -> Markup {
    html! {
        @if let Some(it) = &stop.tightest {
            p.tightest {
                "Tightest: "
                a href={ "/stop/" (encoded(&stop.name)) "?why=" (encoded(&it.id)) } { (it.id) }
                ", " (it.stands)
                @if let Some(share) = &it.share { " (" (share) ")" }
            }
        }
    }
}

fn large(stop: &Stop) -> Markup {
    html! {
        h3 { a href={ "/stop/" (encoded(&stop.name)) } { (stop.title) } }
        p.large { (bits::ready(stop.ready)) }
        p { (stop.of) ", chocks off " strong { (stop.departs) } }
        (tightest(stop))
        p { (stop.counts) }
        p { a.button href={ "/sheet/" (encoded(&stop.name)) } { "Run sheet" } " " (stop.sheet) }
    }
}

fn small(stop: &Stop) -> Markup {
    html! {
        li {
            h3 { a href={ "/stop/" (encoded(&stop.name)) } { (stop.title) } }
            p { (bits::ready(stop.ready)) " " (stop.counts) }
            p { (stop.of) ", chocks off " (stop.departs) }
            (tightest(stop))
            p { a href={ "/sheet/" (encoded(&stop.name)) } { "Run sheet" } ": " (stop.sheet) }
        }
    }
}

fn due(due: &Result<Vec<Due>, String>) -> Markup {
    html! {
        section aria-labelledby="due" {
            h2 id="due" { "Due in the yard" }
            @match due {
                Err(why) => p { (why) },
                Ok(rows) if rows.is_empty() => p { "Nothing." },
                Ok(rows) => {
                    ul {
                        @for row in rows.iter().take(DUE) {
                            li { a href={ "/drum/" (row.id) } { (row.label) } ": " (row.words) }
                        }
                    }
                    @if rows.len() > DUE {
                        p { a href="/yard#due" { "All " (rows.len()) " in the yard" } }
                    }
                },
            }
        }
    }
}
