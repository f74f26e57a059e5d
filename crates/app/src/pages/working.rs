//! One number: the limit, and every step behind it with its source.

use std::collections::BTreeMap;

use maud::{Markup, html};
use stillprop_calc::{
    quantity::Amount,
    trace::{Named, Step},
};
use stillprop_turnaround::{
    assess::{About, Explained, Limit},
    units::Units,
};

use super::bits;
use crate::report::{
    bars,
    sources::{self, Row},
    working::amount_text,
};

/// The working of a limit or a number; `back` leads to its stop.
pub(crate) fn markup(explained: &Explained, units: &Units, back: &str) -> Markup {
    let rows = sources::rows();
    html! {
        p { a href=(back) { "Back to the stop" } }
        @match &explained.about {
            About::Limit(own) => (limit(own, units)),
            About::Number(number) => {
                h1 { "Working of " (number.id) }
                p.large { (number.label()) @if let Some(of) = &number.of { ", " (of) } ": " strong { (number.says) } }
            },
        }
        h2 { "Steps" }
        @if explained.working.steps.is_empty() {
            p { "There is nothing to work out: it is so, or it is not." }
        }
        ol.steps { @for step in &explained.working.steps { (one(step, units, &rows)) } }
    }
}

fn limit(limit: &Limit, units: &Units) -> Markup {
    html! {
        h1 { "Working of " (limit.id) }
        p.large { (bits::verdict(limit.verdict)) " " (limit.words.stands) }
        @for words in [&limit.words.act, &limit.words.remark].into_iter().flatten() { p { (words) } }
        @if let Some(measure) = &limit.measure {
            @let of = |amount: Amount| amount_text(amount, units.unit_for("limit", amount));
            p { "Value " strong { (of(measure.value)) } ", bound " strong { (of(measure.bound)) }
                ", margin " strong { (bars::share(measure.share())) } }
        }
    }
}

fn one(step: &Step, units: &Units, rows: &BTreeMap<String, Row>) -> Markup {
    html! {
        li {
            details open {
                summary { (step.what) }
                @if !step.formula.is_empty() { p.formula { (step.formula) } }
                @if !step.with.is_empty() { p { "with " (named(&step.with, units)) } }
                @if !step.gives.is_empty() { p { "gives " strong { (named(&step.gives, units)) } } }
                @if let Some(remark) = &step.remark { p { (remark) } }
                @if let Some(source) = step.source {
                    p.source { "Source: " (sources::line(rows, source)) }
                }
            }
        }
    }
}

fn named(all: &[Named], units: &Units) -> String {
    let one = |named: &Named| {
        let unit = units.unit_for(named.symbol, named.amount);
        format!("{} = {}", named.symbol, amount_text(named.amount, unit))
    };
    all.iter().map(one).collect::<Vec<_>>().join(", ")
}
