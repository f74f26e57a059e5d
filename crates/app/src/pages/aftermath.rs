//! After an event: what comes first, who is told by when, what to keep, and the draft.

use jiff::{Timestamp, tz::Offset};
use maud::{Markup, html};
use serde_json::Value;
use stillprop_rules::{events::Guides, pack::Event};

use super::{
    bits::{Input, encoded},
    stop::parts::of_stop,
};

/// What the page shows.
pub(crate) struct Aftermath<'a> {
    /// Name of the stop.
    pub(crate) name: &'a str,
    /// What it is called.
    pub(crate) title: &'a str,
    pub(crate) guides: &'a Guides,
    /// The clock of the place.
    pub(crate) offset: Offset,
    /// What happened, as its word; empty when it is not chosen yet.
    pub(crate) event: &'a str,
    /// When, as it was typed.
    pub(crate) at: &'a str,
    /// What was seen, as it was typed.
    pub(crate) seen: &'a str,
    /// What cannot be used: the field, and what is wrong with it.
    pub(crate) wrong: Option<(&'static str, String)>,
    /// The answer, as programs get it, and the draft in its order.
    pub(crate) answer: Option<(Value, Vec<(&'static str, String)>)>,
}

impl Aftermath<'_> {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "After an event: " (self.title) }
            (of_stop(self.name))
            (self.form())
            @if let Some((answer, draft)) = &self.answer { (self.told(answer, draft)) }
        }
    }

    fn form(&self) -> Markup {
        let input = |name, label, value, hint| Input {
            name,
            label,
            value,
            mode: None,
            required: false,
            hint,
            error: self
                .wrong
                .as_ref()
                .filter(|(field, _)| *field == name)
                .map(|(_, words)| words.as_str()),
        };
        let events: Vec<(String, String)> = Event::ALL
            .iter()
            .map(|event| {
                let title = self.guides.of(*event).map_or(event.word(), |guide| &guide.title);
                (event.word().to_owned(), title.to_owned())
            })
            .collect();
        let event = if self.event.is_empty() { Event::Spill.word() } else { self.event };
        html! {
            form method="get" action={ "/report/" (encoded(self.name)) } {
                div.fields {
                    (input("event", "What happened?", event, "").choice(&events))
                    (input("at", "When, by the clock of the place", self.at, "2026-12-03 13:20; without it no time is worked out").text())
                }
                (input("seen", "What was seen, in order, without guesses; a line for each", self.seen, "").lines())
                p { button { "Show who is told" } }
            }
        }
    }

    fn told(&self, answer: &Value, draft: &[(&'static str, String)]) -> Markup {
        let duties = answer["duties"].as_array().map(Vec::as_slice).unwrap_or_default();
        html! {
            section aria-labelledby="answer" {
                h2 id="answer" { (text(&answer["title"])) }
                p { "rules: " (text(&answer["rules"])) }
                h3 { "First" }
                (list(&answer["first"]))
            }
            section aria-labelledby="told" {
                h2 id="told" { "Who is told, by when" }
                @if duties.is_empty() { p { "The pack names nobody: find out, it is not known to be nobody." } }
                ul.limits { @for one in duties { (duty(one, self.offset)) } }
            }
            section aria-labelledby="keep" {
                h2 id="keep" { "What to keep" }
                p { "Common practice, no source." }
                (list(&answer["keep"]))
            }
            section aria-labelledby="says" {
                h2 id="says" { "What a report says" }
                (list(&answer["say"]))
                p.source { (self.guides.say_source) }
            }
            section aria-labelledby="draft" {
                h2 id="draft" { "Draft" }
                p { "Fill in what stands in brackets. Nobody has sent it." }
                dl { @for (what, says) in draft { dt { (what) } dd { (says) } } }
                (records(&answer["records"]))
            }
            p { a href={ "/api/report/" (encoded(self.name)) "?event=" (encoded(self.event)) } { "The same as JSON" } }
        }
    }
}

fn text(of: &Value) -> &str {
    of.as_str().unwrap_or_default()
}

fn list(of: &Value) -> Markup {
    let all = of.as_array().map(Vec::as_slice).unwrap_or_default();
    html! { ul { @for one in all { li { (text(one)) } } } }
}

/// A time by the clock of the place, and in universal time.
fn both(until: &str, offset: Offset) -> String {
    let Ok(at) = until.parse::<Timestamp>() else { return until.to_owned() };
    let local = offset.to_datetime(at).strftime("%Y-%m-%d %H:%M");
    format!("{local} by the clock of the place, {offset} ({until})")
}

fn duty(of: &Value, offset: Offset) -> Markup {
    html! {
        li {
            p { strong { (text(&of["tell"])) } ": " (text(&of["how"])) }
            p { "when: " (text(&of["when"])) }
            @match (of["within"].as_str(), of["until"].as_str()) {
                (Some(within), Some(until)) => p.act { "within " (within) ": by " (both(until, offset)) },
                (Some(within), None) => p.act { "within " (within) " of it" },
                _ => @if of["time_unknown"] == true { p.act { "The time is not known: the pack has no figure for it." } },
            }
            p.source {
                "pack " (text(&of["pack"])) ": " (text(&of["citation"]))
                " (" (text(&of["status"])) ", read: " (text(&of["read"])) ")."
                @if let Some(note) = of["note"].as_str() { " " (note) }
            }
        }
    }
}

/// What was recorded around that time.
fn records(of: &Value) -> Markup {
    html! {
        @match of.as_array().map(Vec::as_slice) {
            None => p { "Records: no ledger is here." },
            Some([]) => p { "Records: none within a day of it." },
            Some(all) => details {
                summary { (all.len()) " records within a day of it" }
                ul {
                    @for one in all {
                        li { (text(&one["at"])) ", " (text(&one["author"])) @if let Some(says) = one["says"].as_str() { ": " (says) } " (record " (text(&one["record"])) ")" }
                    }
                }
            },
        }
    }
}
