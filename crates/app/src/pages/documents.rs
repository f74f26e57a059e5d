//! Documents: the list, and one as text with what is wrong beside its line.

use maud::{Markup, html};

use super::{bits::encoded, fault};
use crate::problem::Told;

const KINDS: [(&str, &str); 5] = [
    ("turnaround", "Turnarounds"),
    ("aircraft", "Aircraft"),
    ("strip", "Strips"),
    ("pack", "Packs"),
    ("", "Say no kind"),
];

/// The documents of a folder: kind and name of each.
pub(crate) fn list(rows: Vec<(String, String)>, folder: &str) -> Markup {
    html! {
        h1 { "Documents" }
        p { "Text files in " code { (folder) } "." }
        @for (kind, title) in KINDS {
            @let own: Vec<_> = rows.iter().filter(|(of, _)| of == kind).collect();
            @if !own.is_empty() {
                h2 { (title) }
                ul {
                    @for (_, name) in own {
                        li {
                            a href={ "/document/" (encoded(name)) } { (name) }
                            @if kind == "turnaround" { ", " a href={ "/stop/" (encoded(name)) } { "worked out" } }
                        }
                    }
                }
            }
        }
        section aria-labelledby="bring" {
            h2 id="bring" { "Bring a document in" }
            form method="post" action="/documents" {
                div.field {
                    label for="name" { "Its name here, a folder before it if you like" }
                    input id="name" name="name" required maxlength="120" autocomplete="off";
                    small { "aircraft/my-aeroplane" }
                }
                label for="text" { "Its text" }
                textarea id="text" name="text" required spellcheck="false" {}
                p { button { "Check it and bring it in" } }
            }
        }
    }
}

/// One document.
pub(crate) struct DocumentPage<'a> {
    pub(crate) name: &'a str,
    /// The text as shown.
    pub(crate) text: &'a str,
    /// The text as it was when it was opened.
    pub(crate) before: &'a str,
    /// What is wrong.
    pub(crate) told: &'a [Told],
    /// What is shown is what is saved.
    pub(crate) saved: bool,
}

impl DocumentPage<'_> {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        let name = encoded(self.name);
        html! {
            p { a href="/documents" { "Documents" } }
            h1 { (self.name) }
            @if self.told.is_empty() {
                p role="status" { "Reads well. " (if self.saved { "As saved." } else { "Not saved yet." }) }
            } @else {
                section.wrong role="alert" aria-labelledby="wrong" {
                    h2 id="wrong" { "What is wrong" }
                    (fault::problems(self.told))
                }
            }
            form method="post" action={ "/document/" (name) } {
                textarea.before hidden name="before" aria-hidden="true" tabindex="-1" { "\n" (self.before) }
                label for="text" { "Text" }
                textarea id="text" name="text" spellcheck="false"
                    rows=(self.text.lines().count().clamp(20, 60)) { "\n" (self.text) }
                p.buttons {
                    button name="do" value="check" { "Check it" }
                    button name="do" value="save" { "Save it" }
                    button name="do" value="new" { "Save as a new version" }
                }
            }
            p { a href={ "/export/" (name) } { "Take it out as a file" } }
        }
    }
}
