//! What is wrong, where, and a way out.

use maud::{Markup, html};

use crate::problem::Told;

/// A failure as a page.
pub(crate) struct Fault {
    /// The status of the answer.
    pub(crate) status: u16,
    /// What is wrong.
    pub(crate) told: Vec<Told>,
}

impl Fault {
    /// The title of the page.
    pub(crate) fn title(&self) -> &'static str {
        match self.status {
            404 => "There is no such page",
            403 | 421 => "Not taken",
            408 => "It took too long",
            413 => "Too much was sent",
            503 => "Too much is asked at once",
            _ => "This cannot be done as it is",
        }
    }

    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { (self.title()) }
            (problems(&self.told))
            p { a href="/" { "The stops of this folder" } }
        }
    }
}

/// Problems, each with its place and a way out.
pub(crate) fn problems(told: &[Told]) -> Markup {
    html! {
        ul.problems {
            @for each in told {
                li {
                    @if let Some(file) = &each.file {
                        span.where { (file) @if let Some(line) = each.line { ", line " (line) } }
                        " "
                    }
                    strong { (each.message) }
                    @if let Some(written) = &each.written { pre { (written) } }
                    @if let Some(help) = &each.help { p { "Way out: " (help) } }
                }
            }
        }
    }
}
