//! Dangerous goods: one field for what somebody wants to carry, the answer with its conditions and
//! sources, and what to ask aloud; and what a stop declares.

use maud::{Markup, html};
use stillprop_rules::{goods::Place, pack::Exception};
use stillprop_turnaround::{
    goods::{Judged, Thing},
    limits::Verdict,
};

use super::{
    bits::{Input, encoded},
    stop::parts::of_stop,
};
use crate::report::{
    answer::screen::title,
    screen::{Asked, Screened, described, item, mildest, sign},
};

/// The page with the field.
pub(crate) struct GoodsPage<'a> {
    /// What was typed.
    pub(crate) what: &'a str,
    /// Where it would travel; empty when it is not said.
    pub(crate) place: &'a str,
    /// How many.
    pub(crate) count: &'a str,
    pub(crate) approved: bool,
    /// The rules asked, as they are named.
    pub(crate) pack: &'a str,
    /// Rules to choose from, each with its words.
    pub(crate) packs: Vec<(String, String)>,
    /// What cannot be used: the field, and what is wrong with it.
    pub(crate) wrong: Option<(&'static str, String)>,
    /// The answer; none when nothing was typed.
    pub(crate) screened: Option<&'a Screened>,
    pub(crate) asked: &'a Asked<'a>,
}

impl GoodsPage<'_> {
    /// The page.
    pub(crate) fn markup(&self) -> Markup {
        html! {
            h1 { "Dangerous goods" }
            (self.form())
            @if let Some(screened) = self.screened { (answer(screened)) }
            (questions(self.asked))
        }
    }

    fn form(&self) -> Markup {
        let wrong = |name: &str| {
            self.wrong.as_ref().filter(|(field, _)| *field == name).map(|(_, words)| words.as_str())
        };
        let input = |name, label, value, hint| Input {
            name,
            label,
            value,
            mode: None,
            required: name == "what",
            hint,
            error: wrong(name),
        };
        let mut places = vec![(String::new(), "not said: each place is shown".to_owned())];
        let word = |place: &Place| (place.word().to_owned(), place_words(*place).to_owned());
        places.extend(Place::ALL.iter().map(word));
        let count = Input { mode: Some("numeric"), ..input("count", "How many", self.count, "") };
        html! {
            form method="get" action="/goods" {
                (input("what", "What is it?", self.what, "In everyday words, with its size: hairspray 300 mL. Several things with ; between.").text())
                div.fields {
                    (input("in", "Where would it travel?", self.place, "").choice(&places))
                    (count.text())
                    (input("pack", "Rules", self.pack, "").choice(&self.packs))
                    div.field {
                        label { input type="checkbox" name="approved" value="on" checked[self.approved]; " the operator, or the pilot where there is none, approved it" }
                    }
                }
                p { button { "Ask the tables" } }
            }
        }
    }
}

const fn place_words(place: Place) -> &'static str {
    match place {
        Place::Person => "on somebody's body",
        Place::Cabin => "in the cabin, at hand",
        Place::Reachable => "in a locker that can be reached in flight",
        Place::Hold => "in a locker that cannot be reached",
    }
}

/// All answers, and whether everything may come.
fn answer(screened: &Screened) -> Markup {
    let come = screened.things.iter().filter(|(_, judged)| judged.answer.may_come()).count();
    let word = if screened.may_all_come() { "MAY COME" } else { "NOT AS IT IS" };
    let verdict = if screened.may_all_come() { Verdict::Holds } else { Verdict::Breaks };
    html! {
        section aria-labelledby="answer" {
            h2 id="answer" { "Answer" }
            p.large role="status" { (marked(verdict, word)) " " (come) " of " (screened.things.len()) " may come" }
            p { "rules: " (screened.rules) }
            ul.limits { @for (said, judged) in &screened.things { (thing(said, judged)) } }
            @if !screened.unasked.is_empty() {
                p { (marked(Verdict::Unknown, "not asked yet")) " " (screened.unasked.join(", ")) }
            }
            @if !screened.may_all_come() && !screened.exceptions.is_empty() {
                h3 { "May apply: read the rule (not used here)" }
                ul { @for (pack, one) in &screened.exceptions { (exception(pack, one)) } }
            }
        }
    }
}

/// A shape and a word.
pub(super) fn marked(verdict: Verdict, words: &str) -> Markup {
    let mark = match verdict {
        Verdict::Breaks => "\u{2715}",
        Verdict::Unknown => "?",
        Verdict::Holds => "\u{25cb}",
    };
    html! {
        span class={ "verdict " (verdict.word()) } { span aria-hidden="true" { (mark) } " " (words) }
    }
}

/// A thing with its answer, conditions and sources.
fn thing(said: &Thing, judged: &Judged) -> Markup {
    html! {
        li {
            p { (marked(sign(judged.answer), judged.answer.word())) " " strong { (described(said)) } }
            (because(said, judged))
        }
    }
}

/// Why, on what conditions, and by which rules.
pub(super) fn because(said: &Thing, judged: &Judged) -> Markup {
    let found = item(said);
    html! {
        @if let Some(found) = found { p { "taken for: " (found.title) } }
        @for reason in &judged.reasons { p.act { (reason) } }
        @if !judged.conditions.is_empty() {
            p { "When all of this is so:" }
            ul { @for condition in &judged.conditions { li { (condition) } } }
        }
        @match &said.item {
            Err(unsure) if !unsure.may_be.is_empty() => {
                p { "It may be: " (unsure.may_be.iter().map(|id| title(id)).collect::<Vec<_>>().join("; ")) }
            },
            Ok(_) => @if let Some(found) = found { p { "look for: " (found.look) } },
            Err(_) => {},
        }
        @for ground in &judged.grounds {
            p.source {
                (ground.citation) " (" (ground.status) ", read: " (ground.read) ")."
                @if let Some(note) = &ground.note { " " (note) }
            }
        }
    }
}

fn exception(pack: &str, one: &Exception) -> Markup {
    html! {
        li {
            p { (pack) ": " (one.about) }
            p.source {
                (one.citation) " (" (one.status) ", read: " (one.read) ")"
                @if let Some(note) = &one.note { "; " (note) }
            }
        }
    }
}

/// What to ask aloud, each question once.
fn questions(asked: &Asked<'_>) -> Markup {
    let first = |at: usize| {
        at == 0 || asked.items.get(at - 1).is_none_or(|before| before.ask != asked.items[at].ask)
    };
    html! {
        section aria-labelledby="ask" {
            h2 id="ask" { "Ask aloud, then look" }
            p { "The answer shown is the mildest of " (asked.rules) "; size, number and place may make it stricter. What is in no table is not known, and does not come." }
            details {
                summary { (asked.items.len()) " questions" }
                @for (at, item) in asked.items.iter().enumerate() {
                    @if first(at) { h3 { (item.ask) } }
                    p { (item.title) ": " strong { (mildest(asked.goods.strictness(&item.id))) } "; look for: " (item.look) }
                }
            }
        }
    }
}

/// What a stop declares.
pub(crate) fn declared(name: &str, screened: &Screened) -> Markup {
    html! {
        h1 { "Dangerous goods: " (screened.title.as_deref().unwrap_or(name)) }
        (of_stop(name))
        @if screened.things.is_empty() { p { "Nothing is declared." } }
        (answer(screened))
        p { a href="/goods" { "Ask about something else" } ", " a href={ "/api/screen/" (encoded(name)) } { "the same as JSON" } }
    }
}
