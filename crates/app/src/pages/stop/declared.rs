//! What people declared of dangerous goods, beside each person and each item.

use maud::{Markup, html};
use stillprop_turnaround::{
    goods::{Bag, Declared},
    limits::Verdict,
};

use super::{StopPage, View};
use crate::{
    pages::goods::{because, marked},
    report::screen::{described, sign},
};

/// Beside a person.
pub(super) fn with_person(view: &View<'_>, index: usize) -> Markup {
    let screening = &view.stage.screening;
    let held = view.stage.people.get(index).is_some_and(|person| person.held_by.is_some());
    let asked = !screening.people_unasked.contains(&index);
    of_bag(view, Bag::Person(index), asked, held)
}

/// Every item with what is in it.
pub(super) fn items(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let (stage, choice) = (view.stage, view.choice);
    let place = |index: usize| choice.place_of.get(index).and_then(|at| stage.places.get(*at));
    html! {
        @if !stage.items.is_empty() {
            h3 { "Items and what is declared in them" }
            ul {
                @for (index, item) in stage.items.iter().enumerate() {
                    li {
                        (item.what)
                        @if let Some(place) = place(index) { ", " (place.label) }
                        (of_bag(view, Bag::Item(index), !stage.screening.items_unasked.contains(&index), false))
                    }
                }
            }
        }
        (nobodys(page, view))
    }
}

fn of_bag(view: &View<'_>, bag: Bag, asked: bool, held: bool) -> Markup {
    let things: Vec<&Declared> =
        view.stage.screening.things.iter().filter(|one| one.bag == bag).collect();
    html! {
        @if !asked {
            p { (marked(Verdict::Unknown, "not asked")) " about dangerous goods" }
        } @else if things.is_empty() && !held {
            p { "no dangerous goods declared" }
        }
        @for one in things { (thing(view, one)) }
    }
}

fn thing(view: &View<'_>, one: &Declared) -> Markup {
    let place = view.stage.screening.place(one.bag, &view.choice.place_of);
    let judged = one.at(place);
    html! {
        details {
            summary { (marked(sign(judged.answer), judged.answer.word())) " " (described(&one.thing)) }
            (because(&one.thing, judged))
        }
    }
}

/// Goods with nobody's name, and that somebody who is left out on the page leaves some.
fn nobodys(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let nobodys = |one: &&Declared| matches!(one.bag, Bag::Item(_)) && one.thing.of.is_none();
    let all: Vec<&str> = view
        .stage
        .screening
        .things
        .iter()
        .filter(nobodys)
        .map(|one| one.thing.said.as_str())
        .collect();
    let left = page.left_out.iter().any(|name| name.starts_with("people."));
    html! {
        @if !all.is_empty() {
            p.act {
                @if left { "Somebody is left out: what they had in a bag stays in it, with nobody's name. " }
                "With nobody's name, so counted with everybody's goods: " (all.join(", ")) "."
            }
        }
    }
}
