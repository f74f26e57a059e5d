//! One turnaround: tightest limits first, then what is behind them, and a form to change it.

mod change;
mod declared;
pub(super) mod parts;

use std::collections::HashMap;

use maud::{Markup, html};
use stillprop_plan::ways_out::WaysOut;
use stillprop_turnaround::{
    assess::{Assessment, Limit, Number},
    limits::Verdict,
    stage::{Choice, Stage},
    units::Units,
};

use super::{bits, bits::encoded, fault, pictures::Pictures, search};
use crate::{edit::stop::Group, problem::Told, report::bars};

/// Limits that hold shown at the top.
const SHOWN: usize = 8;

/// What the page shows.
pub(crate) struct StopPage<'a> {
    /// Name of the document.
    pub(crate) name: &'a str,
    /// What is shown: as saved, or as changed.
    pub(crate) view: Option<View<'a>>,
    /// As saved, when what is shown was changed.
    pub(crate) saved: Option<&'a Assessment>,
    /// What was changed, as it stands in an address; empty when nothing.
    pub(crate) changes: String,
    /// What is wrong with the change: the field, where there is one, and the words.
    pub(crate) errors: Vec<(Option<String>, Told)>,
    /// The fields, with what was typed.
    pub(crate) groups: Vec<Group>,
    /// Boxes that were ticked to leave something out.
    pub(crate) left_out: Vec<String>,
    /// Seats, lockers and directions to choose from.
    pub(crate) choices: Choices,
    /// What was recorded of it.
    pub(crate) runs: Vec<RunRow>,
    /// What would mend it, where somebody has looked for it already.
    pub(crate) ways: Option<&'a WaysOut>,
}

/// A turnaround, worked out.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) assessment: &'a Assessment,
    pub(crate) units: &'a Units,
    pub(crate) pictures: &'a Pictures,
}

/// What the fields offer.
#[derive(Clone, Debug, Default)]
pub(crate) struct Choices {
    pub(crate) seats: Vec<String>,
    pub(crate) places: Vec<String>,
    pub(crate) directions: Vec<String>,
}

/// A run of the sheet of this stop.
pub(crate) struct RunRow {
    /// When it was begun, and by whom.
    pub(crate) begun: String,
    /// Where it stands.
    pub(crate) standing: String,
    /// What was stated, oldest first.
    pub(crate) lines: Vec<String>,
}

impl StopPage<'_> {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            div #figures aria-live="off" { (self.figures()) }
            (self.change())
            (self.record())
        }
    }

    /// The part that changes as one types.
    pub(crate) fn figures(&self) -> Markup {
        html! {
            @if !self.errors.is_empty() {
                section.wrong role="alert" aria-labelledby="wrong" {
                    h2 id="wrong" { "What was typed cannot be used" }
                    ul.problems {
                        @for (field, told) in &self.errors {
                            li data-field=[field.as_deref()] {
                                @if let Some(field) = field { a href={ "#" (field) } { "Go to the field" } ": " }
                                strong { (told.message) }
                                @if let Some(help) = &told.help { p { "Way out: " (help) } }
                            }
                        }
                    }
                    @if self.view.is_some() { p { "Below it stands as it is saved." } }
                }
            }
            @if let Some(view) = &self.view { (self.answer(view)) }
        }
    }

    fn answer(&self, view: &View<'_>) -> Markup {
        let a = view.assessment;
        let counts = [Verdict::Breaks, Verdict::Unknown, Verdict::Holds]
            .map(|verdict| format!("{} {}", verdict.word(), a.count(verdict)));
        html! {
            h1 { (a.title) }
            p.large role="status" { (bits::ready(a.ready())) " " (counts.join(", ")) }
            @if !self.changes.is_empty() && self.errors.is_empty() {
                p.changed { "As changed below, not saved. " (self.was_ready()) a href={ "/stop/" (encoded(self.name)) } { "Back to what is saved" } }
            }
            p {
                (a.aircraft) " at " (a.strip) ", rules: " (a.rules)
                @if a.invented { " (invented data)" }
            }
            (self.what_to_change(a))
            nav.within aria-label="On this page" {
                ul {
                    @for (id, words) in parts::ANCHORS { li { a href={ "#" (id) } { (words) } } }
                }
            }
            section aria-labelledby="tightest" {
                h2 id="tightest" { "Tightest limits" }
                (self.limits(a))
            }
            (parts::all(self, view))
            section aria-labelledby="notes" {
                h2 id="notes" { "Notes and cautions" }
                ul { @for note in &a.notes { li { (note) } } }
                ul.cautions { @for caution in &a.cautions { li { (caution) } } }
            }
        }
    }

    /// The way to the searches; their first answers where they are known.
    fn what_to_change(&self, a: &Assessment) -> Markup {
        let asked = self.changes.replacen('&', "?", 1);
        let to = |path: &str| format!("/{path}/{}{asked}", encoded(self.name));
        html! {
            @if let Some(ways) = self.ways.filter(|_| !a.ready()) { (search::ways_out::short(ways)) }
            p { a.button href=(to(if a.ready() { "window" } else { "ways-out" })) { "What to change?" } }
        }
    }

    fn was_ready(&self) -> Markup {
        html! {
            @if let Some(saved) = self.saved {
                "As saved it is " (if saved.ready() { "READY on what is assessed" } else { "NOT READY" }) ". "
            }
        }
    }

    /// Broken ones, unknown ones by what is missing, then those that hold least.
    fn limits(&self, a: &Assessment) -> Markup {
        let before = self.before();
        let of = |verdict| a.limits.iter().filter(move |limit| limit.verdict == verdict);
        let mut reasons: Vec<&str> = Vec::new();
        for reason in of(Verdict::Unknown).filter_map(|limit| limit.words.act.as_deref()) {
            if !reasons.contains(&reason) {
                reasons.push(reason);
            }
        }
        let holds = of(Verdict::Holds).filter(|limit| limit.measure.is_some()).take(SHOWN);
        html! {
            ul.limits {
                @for limit in of(Verdict::Breaks) { (self.limit(limit, &before)) }
                @for reason in reasons {
                    li {
                        p { (bits::verdict(Verdict::Unknown)) " " (reason) }
                        p.ids {
                            "so unknown: "
                            @for limit in of(Verdict::Unknown).filter(|limit| limit.words.act.as_deref() == Some(reason)) {
                                (self.why(&limit.id)) " "
                            }
                        }
                    }
                }
                @for limit in holds { (self.limit(limit, &before)) }
            }
            p { "Every limit stands in its part below." }
        }
    }

    fn limit(&self, limit: &Limit, before: &HashMap<&str, &Limit>) -> Markup {
        html! {
            li {
                p { (bits::verdict(limit.verdict)) " " (self.why(&limit.id)) " " (bits::room(limit)) }
                p { (self.link(&limit.id, &limit.words.stands)) }
                @if let Some(was) = before.get(limit.id.as_str()) { (change(was, limit)) }
                @for words in [&limit.words.act, &limit.words.remark].into_iter().flatten() {
                    p.act { (words) }
                }
            }
        }
    }

    /// The limits as saved, when what is shown is not that.
    fn before(&self) -> HashMap<&str, &Limit> {
        let saved = self.saved.map(|saved| saved.limits.as_slice()).unwrap_or_default();
        saved.iter().map(|limit| (limit.id.as_str(), limit)).collect()
    }

    /// A limit by its name, which opens its working.
    fn why(&self, id: &str) -> Markup {
        self.link(id, id)
    }

    /// A number that opens its working.
    fn number(&self, number: &Number) -> Markup {
        self.link(&number.id, &number.says)
    }

    /// Words that open the working of a limit or a number.
    fn link(&self, id: &str, words: &str) -> Markup {
        let name = encoded(self.name);
        html! { a href={ "/stop/" (name) "?why=" (encoded(id)) (self.changes) } { (words) } }
    }

    fn record(&self) -> Markup {
        html! {
            section aria-labelledby="record" {
                h2 id="record" { "Record" }
                p { a.button href={ "/sheet/" (encoded(self.name)) } { "Run sheet" } }
                @if self.runs.is_empty() { p { "Nothing was recorded of this stop yet." } }
                @for run in &self.runs {
                    details {
                        summary { (run.begun) ": " (run.standing) }
                        ol { @for line in &run.lines { li { (line) } } }
                    }
                }
                (parts::more_of_stop(self.name))
                p {
                    a href={ "/document/" (encoded(self.name)) } { "The document" } ", "
                    a href={ "/api/stop/" (encoded(self.name)) } { "the same as JSON" } ", "
                    a href={ "/papers?stop=" (encoded(self.name)) } { "papers" }
                }
            }
        }
    }
}

/// How a limit has moved since it was saved; nothing when it has not.
fn change(was: &Limit, now: &Limit) -> Markup {
    let said =
        |limit: &Limit| limit.share().map_or_else(|| limit.verdict.word().to_owned(), bars::share);
    let moved = was.verdict != now.verdict
        || match (was.share(), now.share()) {
            (Some(was), Some(now)) => (was - now).abs() > 1e-9,
            (was, now) => was.is_some() != now.is_some(),
        };
    let direction = match (was.share(), now.share()) {
        (Some(was), Some(now)) if now > was => "more room",
        (Some(was), Some(now)) if now < was => "less room",
        _ => "changed",
    };
    html! {
        @if moved {
            p.moved { (direction) ": was " (said(was)) ", now " (said(now))
                @if was.verdict != now.verdict { " (" (was.verdict.word()) " before)" } }
        }
    }
}

/// The page for a document that cannot be worked out.
pub(crate) fn broken(name: &str, told: &[Told]) -> Markup {
    html! {
        h1 { (name) }
        (fault::problems(told))
        p { a href={ "/document/" (encoded(name)) } { "Mend it in its text" } }
    }
}
