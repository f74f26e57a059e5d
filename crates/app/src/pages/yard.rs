//! The yard: racks as pictures, what is due, what can be recorded; and where a batch went.

use maud::{Markup, PreEscaped, html};

use super::{bits, bits::encoded};
use crate::yard::judge::Due;

/// The yard.
pub(crate) struct YardPage {
    /// The rules it is judged by; `None` when nobody said.
    pub(crate) rules: Option<String>,
    /// Each place.
    pub(crate) places: Vec<PlaceRow>,
    /// What is due.
    pub(crate) due: Vec<Due>,
    /// Whoever looks may record in the yard.
    pub(crate) records: bool,
}

/// One place.
pub(crate) struct PlaceRow {
    /// Its name.
    pub(crate) name: String,
    /// Its rack, as `draw` made it.
    pub(crate) picture: String,
    /// What stands there.
    pub(crate) drums: Vec<DrumRow>,
}

/// One container.
pub(crate) struct DrumRow {
    pub(crate) id: String,
    pub(crate) label: String,
    pub(crate) batch: String,
    pub(crate) left: String,
    pub(crate) state: &'static str,
    pub(crate) reason: String,
}

impl YardPage {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "Yard" }
            @match &self.rules {
                Some(rules) => p { "Judged now, by " (rules) "." },
                None => {
                    p { "It is not said by which rules the yard is judged." }
                    form method="get" action="/yard" {
                        label for="pack" { "Pack" }
                        input id="pack" name="pack" required;
                        button { "Judge by these" }
                    }
                },
            }
            @if self.records {
                p.choices {
                    a.button href="/yard/record/receive" { "A container came in" }
                    @if !self.places.is_empty() {
                        a.button href="/yard/record/recall" { "A batch was called back" }
                        a.button href="/yard/record/retest" { "A batch was tested again" }
                    }
                }
            }
            @if self.places.is_empty() {
                p { "Nothing is recorded of any container yet." @if self.records { " The first thing to record is that one came in." } }
            }
            @if !self.places.is_empty() { p { a href="/papers" { "Papers: tags, labels, the register" } } }
            section aria-labelledby="due" {
                h2 id="due" { "Due" }
                @if self.due.is_empty() { p { "Nothing that is known of." } }
                ul.short {
                    @for row in &self.due {
                        li {
                            @if let Some(verdict) = row.verdict { (bits::verdict(verdict)) " " } @else { strong { "! look " } }
                            a href={ "/drum/" (row.id) } { (row.label) } ": " (row.words)
                        }
                    }
                }
            }
            @for place in &self.places { (one(place)) }
        }
    }
}

fn one(place: &PlaceRow) -> Markup {
    html! {
        section {
            h2 { (place.name) }
            figure.picture.rack { (PreEscaped(&place.picture)) }
            details {
                summary { (place.drums.len()) " containers" }
                ul.short {
                    @for drum in &place.drums {
                        li {
                            a href={ "/drum/" (drum.id) } { (drum.label) } ", "
                            a href={ "/yard/batch?name=" (encoded(&drum.batch)) } { "batch " (drum.batch) } ", "
                            (drum.left) ", " strong { (drum.state) }
                            @if !drum.reason.is_empty() { ": " (drum.reason) }
                        }
                    }
                }
            }
        }
    }
}

/// Where a batch went.
pub(crate) struct BatchPage {
    pub(crate) name: String,
    pub(crate) picture: String,
    /// Recalls and tests, each with the id of its record; true for a recall.
    pub(crate) said: Vec<(bool, String, String)>,
    /// Whoever looks may record in the yard.
    pub(crate) records: bool,
    pub(crate) drums: Vec<(String, String)>,
    pub(crate) draws: Vec<String>,
    pub(crate) flights: Vec<String>,
    pub(crate) aircraft: Vec<String>,
    pub(crate) hands: Vec<String>,
}

impl BatchPage {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            p { a href="/yard" { "Yard" } }
            h1 { "Batch " (self.name) }
            @for (recall, words, record) in &self.said {
                p.large {
                    span id={ "r-" (record) } {
                        @if *recall { strong { "RECALLED " (words) } } @else { (words) }
                    }
                    @if self.records {
                        " "
                        a href={ "/yard/record/correct?batch=" (encoded(&self.name)) "&record=" (record) }
                            aria-describedby={ "r-" (record) } { "was wrong" }
                    }
                }
            }
            @if self.records {
                p.choices {
                    a.button href={ "/yard/record/recall?batch=" (encoded(&self.name)) } { "It was called back" }
                    a.button href={ "/yard/record/retest?batch=" (encoded(&self.name)) } { "It was tested again" }
                }
            }
            figure.picture { (PreEscaped(&self.picture)) }
            h2 { "Is or was in" }
            ul { @for (id, label) in &self.drums { li { a href={ "/drum/" (id) } { (label) } } } }
            h2 { "Drawn" }
            ul { @for draw in &self.draws { li { (draw) } } }
            dl {
                dt { "flights" } dd { (self.flights.join(", ")) }
                dt { "aircraft" } dd { (self.aircraft.join(", ")) }
                dt { "hands" } dd { (self.hands.join(", ")) }
            }
        }
    }
}
