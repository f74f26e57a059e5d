//! What must be in date: of one stop, and of every stop of the folder.

use maud::{Markup, html};
use stillprop_turnaround::limits::Verdict;

use super::{
    bits::{self, encoded},
    fault,
    goods::marked,
    stop::parts::of_stop,
};
use crate::{
    problem::Told,
    report::due::{Dated, Everything, described, left},
};

/// The page of one stop.
pub(crate) fn of_one(name: &str, dated: &Dated<'_>) -> Markup {
    let words = if dated.all_hold() { "IN DATE" } else { "NOT IN DATE" };
    let verdict = if dated.all_hold() { Verdict::Holds } else { Verdict::Breaks };
    html! {
        h1 { "Due: " (dated.title) }
        p.large role="status" { (marked(verdict, words)) " until the last landing on " (dated.day) }
        p { (dated.aircraft) }
        (of_stop(name))
        section aria-labelledby="limits" {
            h2 id="limits" { "Limits" }
            @if dated.limits.is_empty() { p { "No document gives a day." } }
            ul.limits {
                @for limit in &dated.limits {
                    li {
                        p { (bits::verdict(limit.verdict)) " " a href={ "/stop/" (encoded(name)) "?why=" (encoded(&limit.id)) } { (limit.id) } }
                        p { (limit.words.stands) }
                        @for words in [&limit.words.act, &limit.words.remark].into_iter().flatten() { p.act { (words) } }
                    }
                }
            }
        }
        section aria-labelledby="days" {
            h2 id="days" { "By day" }
            ul {
                @for thing in &dated.things {
                    li {
                        @match thing.until {
                            Some(until) => { strong { (until) } ", " (left(dated.days_left(until))) },
                            None => strong { "no day" },
                        }
                        ": " (described(thing))
                    }
                }
            }
            p { a.button href={ "/calendar/" (encoded(name)) } download { "Calendar of these days" } " It reminds 14 days before." }
        }
        p { a href="/due" { "Of every stop" } ", " a href={ "/api/due/" (encoded(name)) } { "the same as JSON" } }
    }
}

/// The page of every stop.
pub(crate) fn of_all(all: &Everything, broken: &[(String, Vec<Told>)]) -> Markup {
    html! {
        h1 { "Due" }
        p { "What must be in date, of every stop of this folder; the days are counted from the last landing of each." }
        @for (name, told) in broken {
            section.wrong aria-label={ "What is wrong with " (name) } {
                p { a href={ "/document/" (encoded(name)) } { (name) } " cannot be worked out, so its days are not known." }
                (fault::problems(told))
            }
        }
        @if all.rows.is_empty() { p { "No document gives a day." } }
        ul.limits {
            @for row in &all.rows {
                li {
                    p { strong { @match row.until { Some(until) => (until), None => "no day" } } ": " (row.what) ", " (row.aircraft) }
                    @let past = row.stops.iter().any(|stop| stop.days_left.is_some_and(|days| days < 0));
                    @if past { p { (marked(Verdict::Breaks, "past at a stop")) } }
                    @if row.until.is_none() { p { (marked(Verdict::Unknown, "not known")) } }
                    details {
                        summary { (row.stops.len()) @if row.stops.len() == 1 { " stop" } @else { " stops" } }
                        ul {
                            @for stop in &row.stops {
                                li {
                                    a href={ "/due/" (encoded(&stop.name)) } { (stop.name) }
                                    @if let Some(days) = stop.days_left { ": " (left(days)) }
                                }
                            }
                        }
                    }
                }
            }
        }
        p { a.button href="/calendar" download { "Calendar of all these days" } " It reminds 14 days before." }
        p { a href="/api/due-everything" { "The same as JSON" } }
    }
}
