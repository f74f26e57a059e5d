//! Which papers there are to print.

use clap::ValueEnum;
use maud::{Markup, html};

use super::bits::encoded;
use crate::papers::{Kind, Language};

/// A month as an address has it: `2026-05`.
pub(crate) type Month = String;

/// The papers of a stop and of the yard.
pub(crate) struct PapersPage {
    /// Names of all stops.
    pub(crate) stops: Vec<String>,
    /// The stop that was chosen: its name and its title.
    pub(crate) stop: Option<(String, String)>,
    /// Places of the yard.
    pub(crate) places: Vec<String>,
    /// Months of the register, the last first.
    pub(crate) months: Vec<Month>,
    /// On US letter; else on A4.
    pub(crate) letter: bool,
    /// In large print.
    pub(crate) large: bool,
}

/// What large print is.
const LARGE: &str = "1.5";

impl PapersPage {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "Papers" }
            p { "Each is a PDF to look at, print or keep. A paper reckons nothing of its own: it says what the pages say." }
            (self.choose())
            @if let Some((name, title)) = &self.stop {
                section aria-labelledby="stop" {
                    h2 id="stop" { (title) }
                    ul.short {
                        @for kind in Kind::value_variants().iter().filter(|kind| kind.of_stop()) {
                            @if *kind == Kind::Briefing {
                                @for language in Language::value_variants() {
                                    (self.link(*kind, name, Some(*language), kind.words()))
                                }
                            } @else {
                                (self.link(*kind, name, None, kind.words()))
                            }
                        }
                    }
                    p { a href={ "/stop/" (encoded(name)) } { "The stop" } ", " a href={ "/sheet/" (encoded(name)) } { "its run sheet" } }
                }
            }
            @if !self.places.is_empty() {
                section aria-labelledby="yard" {
                    h2 id="yard" { "Yard" }
                    ul.short {
                        @for place in &self.places {
                            (self.link(Kind::Tags, place, None, &format!("drum tags, {place}")))
                            (self.link(Kind::Labels, place, None, &format!("rack labels, {place}")))
                        }
                    }
                    p { "Print tags and labels at 100 %, not fitted to the page. The tag of one drum is on its own page." }
                    h3 { "Monthly fuel register, by the days of UTC" }
                    ul.short {
                        @for month in &self.months {
                            (self.link(Kind::Register, month, None, month))
                        }
                    }
                }
            }
        }
    }

    fn choose(&self) -> Markup {
        let chosen = self.stop.as_ref().map(|(name, _)| name.as_str());
        html! {
            form method="get" action="/papers" {
                div.fields {
                    div.field {
                        label for="of" { "Of the stop" }
                        select id="of" name="stop" {
                            @for name in &self.stops { option value=(name) selected[chosen == Some(name)] { (name) } }
                        }
                    }
                    div.field {
                        label for="paper" { "Sheet in the printer" }
                        select id="paper" name="paper" {
                            option value="a4" selected[!self.letter] { "A4, 210 x 297 mm" }
                            option value="letter" selected[self.letter] { "US letter, 8.5 x 11 in" }
                        }
                    }
                    div.field {
                        label for="scale" { "Letters" }
                        select id="scale" name="scale" {
                            option value="1" selected[!self.large] { "as usual" }
                            option value=(LARGE) selected[self.large] { "large print" }
                        }
                    }
                }
                button { "Show these papers" }
            }
        }
    }

    fn link(&self, kind: Kind, of: &str, language: Option<Language>, words: &str) -> Markup {
        let mut asked: Vec<String> = Vec::new();
        if self.letter {
            asked.push("paper=letter".into());
        }
        if self.large {
            asked.push(format!("scale={LARGE}"));
        }
        asked.extend(language.map(|language| format!("language={}", language.tag())));
        let mark = if asked.is_empty() { "" } else { "?" };
        let to = address(kind, of);
        html! {
            li {
                a href={ (to) (mark) (asked.join("&")) } {
                    (words)
                    @if let Some(language) = language { ", " span lang=(language.tag()) { (language.own_name()) } }
                }
            }
        }
    }
}

/// Where a paper is.
pub(crate) fn address(kind: Kind, of: &str) -> String {
    let word = kind.to_possible_value();
    let word = word.as_ref().map_or("", |word| word.get_name());
    format!("/print/{word}/{}.pdf", encoded(of))
}
