//! Documents: the list, and one as text with what is wrong beside its line.

use maud::{Markup, html};

use super::{bits::encoded, fault};
use crate::problem::Told;

const KINDS: [(&str, &str); 6] = [
    ("turnaround", "Turnarounds"),
    ("day", "Days"),
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
                            ", " a href={ "/export/" (encoded(name)) } download
                                aria-label={ (name) " as a file" } { "as a file" }
                        }
                    }
                }
            }
        }
        (bring())
    }
}

/// What is done where there is a document of that name.
const THERE: [(&str, &str); 3] = [
    ("", "say so, and change nothing"),
    ("beside", "keep both: this one is a new version beside it"),
    ("over", "this one takes its place, and what it says now is kept beside it"),
];

fn there() -> Markup {
    html! {
        div.field {
            label for="there" { "Where there is one of that name" }
            select id="there" name="there" {
                @for (value, words) in THERE { option value=(value) { (words) } }
            }
        }
    }
}

/// The form that brings a file in. Text is brought in where a file cannot be.
fn bring() -> Markup {
    html! {
        section aria-labelledby="bring" {
            h2 id="bring" { "Bring a document in" }
            form.record method="post" action="/documents/file" enctype="multipart/form-data" {
                div.fields {
                    div.field {
                        label for="file" { "A TOML file" }
                        input id="file" name="file" type="file" accept=".toml,application/toml" required;
                    }
                    div.field {
                        label for="name" { "Its name here" }
                        input id="name" name="name" maxlength="120" autocomplete="off" aria-describedby="name-hint";
                        small id="name-hint" { "empty for that of the file; aircraft/my-aeroplane puts it into a folder" }
                    }
                    (there())
                }
                p { button { "Check it and bring it in" } }
            }
            details {
                summary { "Or write it here" }
                (text_form("", ""))
            }
        }
    }
}

fn text_form(name: &str, text: &str) -> Markup {
    html! {
        form method="post" action="/documents" {
            div.field {
                label for="text-name" { "Its name here, a folder before it if you like" }
                input id="text-name" name="name" required maxlength="120" autocomplete="off" value=(name);
                small { "aircraft/my-aeroplane" }
            }
            label for="text" { "Its text" }
            textarea id="text" name="text" required spellcheck="false" { "\n" (text) }
            p { button { "Check the text and bring it in" } }
        }
    }
}

/// What was to be brought in, and was not.
pub(crate) struct Bring<'a> {
    pub(crate) name: &'a str,
    pub(crate) text: &'a str,
    /// What is wrong with it.
    pub(crate) told: &'a [Told],
    /// There is one of that name.
    pub(crate) there: bool,
}

/// The same again: what is wrong, and what was sent.
pub(crate) fn bring_again(brought: &Bring<'_>) -> Markup {
    let Bring { name, text, told, there } = brought;
    html! {
        p { a href="/documents" { "Documents" } }
        h1 { "Not brought in: " (name) }
        @if *there { (taken(name, text)) } @else {
            section.wrong role="alert" aria-labelledby="wrong" {
                h2 id="wrong" { "What is wrong" }
                (beside(told, text))
            }
            (text_form(name, text))
        }
    }
}

/// There is a document of that name: what may be done.
fn taken(name: &str, text: &str) -> Markup {
    html! {
        p.error role="alert" { "There is a document " (name) " already, and nothing was changed." }
        p { a href={ "/document/" (encoded(name)) } { "Look at the one that is there" } }
        form method="post" action="/documents" {
            textarea.before hidden name="text" aria-hidden="true" tabindex="-1" { "\n" (text) }
            div.field {
                label for="taken-name" { "Its name here" }
                input id="taken-name" name="name" required maxlength="120" autocomplete="off" value=(name);
            }
            p.choices {
                button name="there" value="" { "Bring it in under this name" }
                button name="there" value="beside" { "Keep both: as a new version" }
                button name="there" value="over" { "Take its place, and keep what it says now" }
            }
        }
    }
}

/// What is wrong, each beside its line with those around it.
fn beside(told: &[Told], text: &str) -> Markup {
    // What is wrong in another document, or in none of its lines, has no line here.
    let here = |each: &&Told| {
        each.line.zip(each.written.as_deref()).is_some_and(|(line, written)| {
            text.lines().nth(line.saturating_sub(1)) == Some(written)
        })
    };
    let (own, other): (Vec<&Told>, Vec<&Told>) = told.iter().partition(here);
    let other: Vec<Told> = other.into_iter().cloned().collect();
    html! {
        @if !other.is_empty() { (fault::problems(&other)) }
        @for each in own {
            @let line = each.line.unwrap_or(1);
            div.excerpt {
                @if let Some(file) = &each.file { p.where { (file) ", line " (line) } }
                @for (number, written) in around(text, line) {
                    @if number == line {
                        p.line { b.number { (number) } code { (written) } }
                        p.error { (each.message) @if let Some(help) = &each.help { span { ". Way out: " (help) } } }
                    } @else {
                        p.line { span.number { (number) } code { (written) } }
                    }
                }
            }
        }
    }
}

/// A line with its number, and the two before and after it.
fn around(text: &str, line: usize) -> impl Iterator<Item = (usize, &str)> {
    let from = line.saturating_sub(3);
    text.lines().enumerate().map(|(at, line)| (at + 1, line)).skip(from).take(line + 2 - from)
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
                    (beside(self.told, self.text))
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
            p { a href={ "/export/" (name) } download { "Take it out as a file" } }
        }
    }
}
