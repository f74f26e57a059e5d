//! What surrounds every page: the way about, the cautions, who records.

use maud::{DOCTYPE, Markup, html};

use super::assets;
use crate::report::text::CAUTION;

/// Where in the program a page lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// Under stops.
    Stops,
    /// Under the yard.
    Yard,
    /// Under documents.
    Documents,
    /// Under packs.
    Packs,
    /// Under dangerous goods.
    Goods,
    /// Under what falls due.
    Due,
    /// Nowhere.
    None,
}

const WAYS: [(Place, &str, &str); 6] = [
    (Place::Stops, "/", "Stops"),
    (Place::Yard, "/yard", "Yard"),
    (Place::Documents, "/documents", "Documents"),
    (Place::Packs, "/packs", "Packs"),
    (Place::Goods, "/goods", "Goods"),
    (Place::Due, "/due", "Due"),
];

/// Who a request is from, when that is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Author {
    /// The name.
    pub(crate) name: Option<String>,
    /// They have logged in: the name is not for the page to change.
    pub(crate) known: bool,
    /// They may record in the yard.
    pub(crate) records_yard: bool,
    /// The address they are at.
    pub(crate) here: String,
}

/// What a page is set into.
pub(crate) struct Frame<'a> {
    /// What the page is called.
    pub(crate) title: &'a str,
    /// Where it lies.
    pub(crate) place: Place,
    /// Its script.
    pub(crate) script: Option<&'static str>,
    /// Everything here is the demonstration.
    pub(crate) demo: bool,
    /// Who looks at it; `None` where that does not matter.
    pub(crate) author: Option<&'a Author>,
}

/// The whole page.
pub(crate) fn page(frame: &Frame<'_>, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                title { (frame.title) " - Stillprop" }
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light";
                link rel="stylesheet" href=(assets::address("style"));
                link rel="icon" type="image/svg+xml" href=(assets::address("mark"));
                @if let Some(script) = frame.script {
                    script src=(assets::address(script)) defer {}
                }
            }
            body {
                a.skip href="#main" { "To the page itself" }
                header.top {
                    nav aria-label="Pages" {
                        ul {
                            @for (place, to, words) in WAYS {
                                li { a href=(to) aria-current=[(place == frame.place).then_some("true")] { (words) } }
                            }
                        }
                    }
                }
                @if frame.demo { (demo()) }
                main id="main" tabindex="-1" { (body) }
                (foot(frame.author))
            }
        }
    }
}

fn demo() -> Markup {
    html! {
        aside.demo aria-label="Demonstration" {
            strong { "Demonstration. " }
            "Everything here is invented: people, strips, aeroplanes, fuel. "
            a href="/begin" { "Leave it for your own data" }
        }
    }
}

fn foot(author: Option<&Author>) -> Markup {
    html! {
        footer {
            p.caution { (CAUTION) }
            @if let Some(author) = author {
                @match (&author.name, author.known) {
                    (Some(name), true) => form.name method="post" action="/leave" {
                        span { "Records carry the name " strong { (name) } "." }
                        button { "Leave" }
                    },
                    (name, _) => form.name method="post" action="/name" {
                        input type="hidden" name="back" value=(author.here);
                        label for="by" { "Records carry the name" }
                        input id="by" name="by" required maxlength="80" autocomplete="name"
                            value=(name.as_deref().unwrap_or(""));
                        button { "Keep this name" }
                    },
                }
            }
        }
    }
}
