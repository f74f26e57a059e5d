//! What to change at a stop: one small page for each question, with the same words as the command
//! line and with pictures. Each works without scripts, and is asked by an address alone.
//!
//! | module | asks |
//! |---|---|
//! | `ways_out` | what is the least that mends it? |
//! | `window` | when does every limit hold? |
//! | `fit` | who sits where, what lies where, how much fuel in which tank? |
//! | `odds` | how likely does it hold? |
//! | `park` | where on the apron is most room? |

pub(crate) mod fit;
pub(crate) mod odds;
pub(crate) mod park;
pub(crate) mod ways_out;
pub(crate) mod window;

use maud::{Markup, PreEscaped, html};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::Verdict,
    units::Units,
};

use super::{bits, bits::encoded, fault};
use crate::problem::Told;

/// One of the questions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ask {
    /// The smallest changes that mend.
    WaysOut,
    /// Times of departure.
    Window,
    /// Who and what goes where.
    Fit,
    /// How likely it holds.
    Odds,
    /// Where it stands best.
    Park,
}

impl Ask {
    /// Every question, in the order of the way between them.
    const ALL: [Self; 5] = [Self::WaysOut, Self::Window, Self::Fit, Self::Odds, Self::Park];

    /// Its name in an address.
    pub(crate) const fn path(self) -> &'static str {
        match self {
            Self::WaysOut => "ways-out",
            Self::Window => "window",
            Self::Fit => "fit",
            Self::Odds => "odds",
            Self::Park => "park",
        }
    }

    /// Its name on a page.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::WaysOut => "Ways out",
            Self::Window => "Window",
            Self::Fit => "Fit",
            Self::Odds => "Odds",
            Self::Park => "Park",
        }
    }

    /// What it asks.
    const fn words(self) -> &'static str {
        match self {
            Self::WaysOut => "Ways out: the least that mends it",
            Self::Window => "Window: when every limit holds",
            Self::Fit => "Fit: who and what goes where, how much fuel",
            Self::Odds => "Odds: how likely it holds",
            Self::Park => "Park: where there is most room",
        }
    }
}

/// What sort of answer it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tone {
    /// Something holds, or is found.
    Good,
    /// It does not, or nothing is.
    Bad,
    /// Neither.
    Plain,
    /// It could not be asked.
    Unanswered,
}

impl Tone {
    const fn of(good: bool) -> Self {
        if good { Self::Good } else { Self::Bad }
    }
}

/// The turnaround that is asked about.
pub(crate) struct About<'a> {
    /// Name of its document.
    pub(crate) name: &'a str,
    /// As it is now.
    pub(crate) assessment: &'a Assessment,
    /// Its units.
    pub(crate) units: &'a Units,
    /// What was changed on the page of the stop and not saved: fields and what was typed.
    pub(crate) carried: &'a [(String, String)],
    /// Says which text it is, so that what was found is written into no other.
    pub(crate) seen: &'a str,
}

impl About<'_> {
    /// The page of a question: what is asked, how it stands, and the answer.
    fn page(&self, ask: Ask, (word, detail): (&str, &str), tone: Tone, body: &Markup) -> Markup {
        let (class, mark) = match tone {
            Tone::Good => ("verdict holds", "\u{25cb} "),
            Tone::Bad => ("verdict breaks", "\u{2715} "),
            Tone::Plain => ("verdict", ""),
            Tone::Unanswered => ("verdict unknown", "? "),
        };
        html! {
            h1 { (ask.words()) }
            p {
                "Of " a href=(self.address("stop")) { (self.assessment.title) }
                // The answer of the ways out begins with the same word.
                @if ask != Ask::WaysOut { ": " (bits::ready(self.assessment.ready())) }
            }
            @if !self.carried.is_empty() {
                p.changed { "As changed on its page, not saved. " a href={ "/" (ask.path()) "/" (encoded(self.name)) } { "Ask of what is saved" } }
            }
            nav.within.asks aria-label="What to change" {
                ul {
                    @for one in Ask::ALL {
                        li { a href=(self.address(one.path())) aria-current=[(one == ask).then_some("page")] { (one.word()) } }
                    }
                }
            }
            p.found role="status" {
                span class=(class) { span aria-hidden="true" { (mark) } (word) } " " (detail)
            }
            (body)
            section aria-labelledby="cautions" {
                h2 id="cautions" { "Cautions" }
                ul.cautions { @for caution in &self.assessment.cautions { li { (caution) } } }
                @if tone != Tone::Unanswered {
                    p { a href=(self.address(&format!("api/{}", ask.path()))) { "The same as JSON" } }
                }
            }
        }
    }

    /// Another page of the same turnaround, as changed.
    pub(crate) fn address(&self, of: &str) -> String {
        let pair = |(name, said): &(String, String)| format!("{}={}", encoded(name), encoded(said));
        let pairs: Vec<String> = self.carried.iter().map(pair).collect();
        let end = if pairs.is_empty() { String::new() } else { format!("?{}", pairs.join("&")) };
        format!("/{of}/{}{end}", encoded(self.name))
    }

    /// The working of a limit as it stands now.
    fn why(&self, limit: &Limit) -> Markup {
        let to = self.address("stop");
        let mark = if to.contains('?') { '&' } else { '?' };
        html! { a href={ (to) (mark) "why=" (encoded(&limit.id)) } { (limit.id) } }
    }

    /// What was changed and not saved, as fields of a form.
    fn carried(&self) -> Markup {
        html! { @for (name, said) in self.carried { input type="hidden" name=(name) value=(said); } }
    }

    /// A button that writes what was found into a new version of the document.
    fn write(&self, ask: Ask, words: &str, fields: &[(String, String)]) -> Markup {
        html! {
            form.write method="post" action={ "/save/" (ask.path()) "/" (encoded(self.name)) } {
                input type="hidden" name="seen" value=(self.seen);
                (self.carried())
                @for (name, said) in fields { input type="hidden" name=(name) value=(said); }
                button { (words) }
            }
        }
    }
}

/// Limits that do not hold, each with what to do.
fn in_the_way<'a>(about: &About<'_>, limits: impl Iterator<Item = &'a Limit>) -> Markup {
    html! {
        ul.limits {
            @for limit in limits {
                li {
                    p { (bits::verdict(limit.verdict)) " " (about.why(limit)) " " (bits::room(limit)) }
                    p { (limit.words.stands) }
                    @if let Some(act) = &limit.words.act { p.act { (act) } }
                }
            }
        }
    }
}

/// Limits that do not hold after a change, where it leaves any.
fn left(about: &About<'_>, after: &Assessment) -> Markup {
    let left = || after.limits.iter().filter(|limit| limit.verdict != Verdict::Holds);
    html! {
        @if left().next().is_some() {
            section aria-labelledby="left" {
                h2 id="left" { "Limits that do not hold then" }
                (in_the_way(about, left()))
            }
        }
    }
}

/// What is missing for the question to be asked.
fn unanswered(told: &[Told]) -> Markup {
    html! {
        section.wrong aria-labelledby="wrong" {
            h2 id="wrong" { "This cannot be asked" }
            (fault::problems(told))
        }
    }
}

/// A picture of ours.
fn picture(name: &str, svg: &str) -> Markup {
    html! { figure class={ "picture " (name) } { (PreEscaped(svg)) } }
}

/// Sentences, each in a row of its own.
fn notes<'a>(id: &str, title: &str, all: impl Iterator<Item = &'a str>) -> Markup {
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (title) }
            ul { @for one in all { li { (one) } } }
        }
    }
}
