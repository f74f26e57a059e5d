//! The manifest of a stop: who and what is aboard on each leg, and who is told what.

use maud::{Markup, html};
use stillprop_turnaround::{
    limits::Verdict,
    manifest::{Aboard, Leg, Loaded},
    units::Units,
};

use super::{
    bits::{self, encoded},
    goods::marked,
    stop::parts::of_stop,
};
use crate::report::manifest::{Listed, mass, need_words, role};

/// The page.
pub(crate) fn markup(name: &str, listed: &Listed<'_>) -> Markup {
    let a = listed.assessment;
    html! {
        h1 { "Manifest: " (a.title) }
        p.large role="status" { (bits::ready(a.ready())) }
        p { (a.aircraft) " at " (a.strip) ", rules: " (a.rules) }
        (of_stop(name))
        @if !a.ready() { p { "What stands in the way: " a href={ "/stop/" (encoded(name)) "#tightest" } { "the limits of the stop" } } }
        @for (at, leg) in listed.manifest.legs.iter().enumerate() { (one_leg(at, leg, listed.units)) }
        section aria-labelledby="told" {
            h2 id="told" { "Who is told what" }
            @if listed.manifest.told.is_empty() { p { "Nobody more than the briefing says." } }
            ul {
                @for told in &listed.manifest.told {
                    li { p { strong { (told.who) } ": " (told.what) } p.source { (told.source) } }
                }
            }
        }
        p { a href={ "/api/manifest/" (encoded(name)) } { "The same as JSON" } }
    }
}

fn one_leg(at: usize, leg: &Leg, units: &Units) -> Markup {
    let id = format!("leg-{at}");
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { @if leg.name.is_empty() { "No onward leg" } @else { "To " (leg.name) } }
            p { (leg.people.len()) " aboard, " (leg.items.len()) " items, together " strong { (mass(&leg.mass, units)) } }
            ul.limits {
                @for one in &leg.people { (person(one, units)) }
                @for one in &leg.items { (loaded(one, units)) }
            }
        }
    }
}

fn person(of: &Aboard, units: &Units) -> Markup {
    html! {
        li {
            p { strong { (of.name) } ", " (role(of)) ", " (of.place) ", " (mass(&of.mass, units)) }
            p {
                "mass: " (of.basis)
                @if let Err(why) = &of.mass { "; unknown: " (why) }
            }
            p {
                @if of.restrained { "held by: " } @else { (marked(Verdict::Breaks, "not held")) ": " }
                (of.restraint)
            }
            @if !of.needs.is_empty() {
                p.act { "needs: " (of.needs.iter().map(|need| need_words(*need)).collect::<Vec<_>>().join("; ")) }
            }
            @if let Some(language) = &of.language { p { "speaks " (language) } }
        }
    }
}

fn loaded(of: &Loaded, units: &Units) -> Markup {
    html! {
        li {
            p { strong { (of.what) } ", " (of.place) ", " (mass(&of.mass, units)) }
            @match &of.goods {
                None => p { (marked(Verdict::Unknown, "not asked")) " about dangerous goods" },
                Some(goods) if goods.is_empty() => p { "no dangerous goods declared" },
                Some(goods) => p { "dangerous goods: " (goods.join(", ")) },
            }
        }
    }
}
