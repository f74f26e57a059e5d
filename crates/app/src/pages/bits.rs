//! What several pages show: verdicts, shares, fields. State is a word and a shape; colour only
//! repeats it.

use maud::{Markup, html};
use stillprop_turnaround::{assess::Limit, limits::Verdict};

use crate::report::bars;

/// Mark and word of a verdict.
pub(crate) fn verdict(verdict: Verdict) -> Markup {
    let mark = match verdict {
        Verdict::Breaks => "\u{2715}",
        Verdict::Unknown => "?",
        Verdict::Holds => "\u{25cb}",
    };
    html! {
        span class={ "verdict " (verdict.word()) } {
            span aria-hidden="true" { (mark) } " " (verdict.word())
        }
    }
}

/// The headline of a stop: the words of every other answer, and a shape.
pub(crate) fn ready(ready: bool) -> Markup {
    html! {
        @if ready {
            span class="verdict holds" { span aria-hidden="true" { "\u{25cb}" } " READY on what is assessed" }
        } @else {
            span class="verdict breaks" { span aria-hidden="true" { "\u{2715}" } " NOT READY" }
        }
    }
}

/// How much of the room of a limit is used, as a bar and in words.
pub(crate) fn room(limit: &Limit) -> Markup {
    html! {
        @if let Some(share) = limit.share() {
            @let used = ((1.0 - share) * 100.0).clamp(0.0, 100.0);
            svg.bar viewBox="0 0 100 10" aria-hidden="true" preserveAspectRatio="none" {
                rect width="100" height="10" fill="none" stroke="#555" {}
                rect width=(format!("{used:.0}")) height="10" fill=(if share < 0.0 { "#8a1f11" } else { "#444" }) {}
            }
            span.share { (bars::share(share)) }
        }
    }
}

/// A field with its label, and what is wrong with it.
pub(crate) struct Input<'a> {
    /// Its name, and its id.
    pub(crate) name: &'a str,
    /// What it asks for.
    pub(crate) label: &'a str,
    /// What is in it.
    pub(crate) value: &'a str,
    /// Which keyboard a phone shows.
    pub(crate) mode: Option<&'a str>,
    /// Whether it must be filled in.
    pub(crate) required: bool,
    /// More to know, or an example.
    pub(crate) hint: &'a str,
    /// What is wrong with it.
    pub(crate) error: Option<&'a str>,
}

impl Input<'_> {
    /// The field as text.
    pub(crate) fn text(&self) -> Markup {
        self.of("text", false)
    }

    /// The field as this type of input; a browser that does not know it shows text. With `first` a
    /// browser begins there, without a script.
    pub(crate) fn of(&self, kind: &str, first: bool) -> Markup {
        self.around(&html! {
            input type=(kind) id=(self.name) name=(self.name) value=(self.value) autofocus[first]
                required[self.required] inputmode=[self.mode] autocomplete="off" maxlength="400"
                aria-describedby=[self.described()]
                aria-invalid=[self.error.map(|_| "true")];
        })
    }

    /// The field as a day.
    pub(crate) fn day(&self) -> Markup {
        self.of("date", false)
    }

    /// The field as a text of several lines.
    pub(crate) fn lines(&self) -> Markup {
        self.around(&html! {
            textarea id=(self.name) name=(self.name) rows="8" spellcheck="false"
                autocomplete="off" aria-describedby=[self.described()]
                aria-invalid=[self.error.map(|_| "true")] { (self.value) }
        })
    }

    /// The field as a number, with its unit beside it.
    pub(crate) fn amount(&self, units: &[&str], unit: &str, chosen: &str) -> Markup {
        self.around(&html! {
            span.amount {
                input id=(self.name) name=(self.name) value=(self.value) inputmode=[self.mode]
                    autocomplete="off" maxlength="40" aria-describedby=[self.described()]
                    aria-invalid=[self.error.map(|_| "true")];
                select name=(unit) aria-label={ "Unit: " (self.label) } {
                    @for one in units { option value=(one) selected[*one == chosen] { (one) } }
                }
            }
        })
    }

    /// Label before a field; hint and what is wrong after it.
    fn around(&self, field: &Markup) -> Markup {
        let (hint, error) = (self.hint_id(), self.error_id());
        html! {
            div.field {
                label for=(self.name) { (self.label) }
                (field)
                @if !self.hint.is_empty() { small id=(hint) { (self.hint) } }
                @if let Some(words) = self.error { p.error id=(error) { (words) } }
            }
        }
    }

    /// The field as a choice among these, each with its value and its words.
    pub(crate) fn choice(&self, of: &[(String, String)]) -> Markup {
        self.among(of, false)
    }

    /// The same; with `first` a browser begins there.
    pub(crate) fn among(&self, of: &[(String, String)], first: bool) -> Markup {
        let error = self.error_id();
        // What stands there is offered too, so that nothing changes by looking at it.
        let known = of.iter().any(|(value, _)| value == self.value);
        html! {
            div.field {
                label for=(self.name) { (self.label) }
                select id=(self.name) name=(self.name) autofocus[first] aria-describedby=[self.described()]
                    aria-invalid=[self.error.map(|_| "true")] {
                    @if !known { option value=(self.value) selected { (self.value) } }
                    @for (value, words) in of {
                        option value=(value) selected[value == self.value] { (words) }
                    }
                }
                @if let Some(words) = self.error { p.error id=(error) { (words) } }
            }
        }
    }

    fn hint_id(&self) -> String {
        format!("{}-hint", self.name)
    }

    fn error_id(&self) -> String {
        format!("{}-error", self.name)
    }

    fn described(&self) -> Option<String> {
        match (self.error, self.hint) {
            (Some(_), _) => Some(self.error_id()),
            (None, "") => None,
            _ => Some(self.hint_id()),
        }
    }
}

/// A text as a part of an address.
pub(crate) fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' | b'/' => {
                out.push(char::from(byte));
            }
            byte => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}
