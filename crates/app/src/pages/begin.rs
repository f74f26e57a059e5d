//! The way to own data: copy, change, check, first turnaround.

use maud::{Markup, html};

/// What the page needs.
pub(crate) struct Begin {
    /// Everything here is the demonstration.
    pub(crate) demo: bool,
    /// Where the documents lie.
    pub(crate) folder: String,
    /// Aircraft of the demonstration that may be copied.
    pub(crate) aircraft: Vec<String>,
}

impl Begin {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "Begin with your own data" }
            @if self.demo {
                p { "This is the demonstration, in its own folder. Nothing of it comes into your own
                    data, and nothing you do here is lost when you leave." }
                ol {
                    li { "End this program: Ctrl-C in its terminal." }
                    li { "Make a folder for your documents, and start " code { "stillprop serve FOLDER" } "." }
                    li { "Open the address it prints. This page comes up there with the next steps." }
                }
            } @else {
                p { "Documents are text files in " code { (self.folder) } ". Four steps:" }
                ol {
                    li {
                        "Copy an invented aeroplane, its strips and one turnaround, to have something to change."
                        form method="post" action="/begin" {
                            label for="aircraft" { "Like" }
                            select id="aircraft" name="aircraft" {
                                @for name in &self.aircraft { option value=(name) { (name) } }
                            }
                            button { "Copy it into this folder" }
                        }
                    }
                    li { "Change it: under " a href="/documents" { "Documents" } ", put the figures of your own
                        flight manual in the place of the invented ones, and take the line
                        " code { "invented = true" } " out when none is left." }
                    li { "Check it: every document is checked as you save, with what is wrong beside its line." }
                    li { "Your first turnaround: open it under " a href="/" { "Stops" } ", change people, fuel and time,
                        and save it as a new version." }
                }
            }
        }
    }
}
