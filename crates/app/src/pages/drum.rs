//! One container: what is in it, whether it may be used and why not, and what can be recorded.

use maud::{Markup, html};
use stillprop_turnaround::assess::Limit;

use super::{bits, bits::encoded, papers, record::Form};
use crate::papers::Kind;

/// One container.
pub(crate) struct DrumPage {
    pub(crate) id: String,
    pub(crate) code: String,
    pub(crate) label: String,
    pub(crate) place: String,
    pub(crate) rack: Option<String>,
    pub(crate) grade: String,
    pub(crate) batch: String,
    pub(crate) supplier: String,
    pub(crate) filled: Option<String>,
    pub(crate) left: String,
    /// Its state and the reason; `None` when nobody said by which rules.
    pub(crate) state: Option<(&'static str, String)>,
    pub(crate) limits: Vec<Limit>,
    pub(crate) findings: Vec<String>,
    /// Each record and its id, the last first.
    pub(crate) history: Vec<(String, String)>,
    /// What can be recorded of it now.
    pub(crate) offered: Vec<Form>,
    /// Whoever looks may record in the yard.
    pub(crate) records: bool,
}

impl DrumPage {
    /// The way to take a record back.
    fn wrong(&self, record: &str) -> Markup {
        html! {
            @if self.records {
                " "
                a href={ "/yard/record/correct?drum=" (self.id) "&record=" (record) }
                    aria-describedby={ "r-" (record) } { "was wrong" }
            }
        }
    }

    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            p { a href="/yard" { "Yard" } }
            h1 { (self.label) " at " (self.place) }
            @match &self.state {
                Some((word, reason)) => p.large { strong { (word) } @if !reason.is_empty() { ": " (reason) } },
                None => p { "Not judged: it is not said by which rules." },
            }
            dl {
                dt { "left" } dd { (self.left) }
                dt { "grade" } dd { (self.grade) }
                dt { "batch" } dd { a href={ "/yard/batch?name=" (encoded(&self.batch)) } { (self.batch) } }
                dt { "supplier" } dd { (self.supplier) }
                dt { "filled" } dd { (self.filled.as_deref().unwrap_or("unknown")) }
                dt { "rack" } dd { (self.rack.as_deref().unwrap_or("not said")) }
                dt { "code" } dd { (self.code) }
            }
            p { a href=(papers::address(Kind::Tags, &self.id)) { "Its tag to print" } ", " a href="/papers" { "papers" } }
            @if self.records {
                section aria-labelledby="record" {
                    h2 id="record" { "Record" }
                    p.choices {
                        @for form in &self.offered {
                            a.button href={ "/yard/record/" (form.word()) "?drum=" (self.id) } { (form.title()) }
                        }
                    }
                }
            }
            section aria-labelledby="limits" {
                h2 id="limits" { "Limits" }
                ul.short {
                    @for limit in &self.limits {
                        li {
                            (bits::verdict(limit.verdict)) " " (limit.id) " " (limit.words.stands)
                            @if let Some(act) = &limit.words.act { ": " (act) }
                        }
                    }
                }
            }
            @if !self.findings.is_empty() {
                section { h2 { "Does not add up" } ul { @for finding in &self.findings { li { (finding) } } } }
            }
            section aria-labelledby="history" {
                h2 id="history" { "History, the last first" }
                ol.history { @for (line, record) in &self.history { li { span id={ "r-" (record) } { (line) } (self.wrong(record)) } } }
            }
        }
    }
}
