//! Who and what is aboard, and who is told what.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_calc::quantity::Mass;
use stillprop_turnaround::{
    assess::Assessment,
    limits::Verdict,
    manifest::{Aboard, Leg as OfLeg, Loaded, Told as OfTold},
    stage::Unknown,
    units::Units,
};

use super::{OrUnknown, Quantity, or_unknown, quantity, ready};
use crate::report::{
    manifest::{Listed, need_words, role},
    text::CAUTION,
};

/// A manifest, with everything that it changes judged.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Manifest<'a> {
    title: &'a str,
    /// The rules in force.
    rules: &'a str,
    /// Ready on what is assessed.
    ready: bool,
    /// The same before the change; none without one.
    ready_before_the_change: Option<bool>,
    /// Limits that break or are unknown.
    in_the_way: Vec<ready::Limit<'a>>,
    /// Everybody is held by something that is known.
    all_restrained: bool,
    legs: Vec<Leg<'a>>,
    /// Who is told what.
    told: Vec<Told<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A leg.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "ManifestLeg")]
pub(crate) struct Leg<'a> {
    /// Where it leads; empty when no onward leg is planned.
    leg: &'a str,
    people: Vec<Person<'a>>,
    items: Vec<Item<'a>>,
    /// Of all of them together.
    mass: OrUnknown<Quantity>,
}

/// Somebody aboard.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "PersonAboard")]
pub(crate) struct Person<'a> {
    name: &'a str,
    /// Pilot, crew, passenger or infant.
    role: &'static str,
    /// Seat, or who holds them.
    place: &'a str,
    /// What holds them.
    restraint: &'a str,
    restrained: bool,
    mass: OrUnknown<Quantity>,
    /// How the mass is known.
    basis: &'a str,
    infant: bool,
    /// What they need.
    needs: Vec<&'static str>,
    /// What they speak, where that matters.
    language: Option<&'a str>,
}

/// Something aboard.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "ItemAboard")]
pub(crate) struct Item<'a> {
    what: &'a str,
    place: &'a str,
    mass: OrUnknown<Quantity>,
    /// Dangerous goods declared in it; none when nobody asked.
    dangerous_goods: Option<&'a [String]>,
}

/// Somebody who is told something.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Told<'a> {
    who: &'a str,
    what: &'a str,
    source: &'static str,
}

/// The answer of `manifest`.
pub(crate) fn manifest<'a>(listed: &'a Listed<'a>) -> Manifest<'a> {
    let a = listed.assessment;
    let limits = a.limits.iter().filter(|limit| limit.verdict != Verdict::Holds);
    Manifest {
        title: &a.title,
        rules: &a.rules,
        ready: a.ready(),
        ready_before_the_change: listed.before.as_ref().map(Assessment::ready),
        in_the_way: limits.map(|limit| ready::limit(limit, listed.units)).collect(),
        all_restrained: listed.manifest.all_restrained(),
        legs: listed.manifest.legs.iter().map(|of| leg(of, listed.units)).collect(),
        told: listed.manifest.told.iter().map(told).collect(),
        caution: CAUTION,
    }
}

fn told(of: &OfTold) -> Told<'_> {
    Told { who: &of.who, what: &of.what, source: of.source }
}

fn mass(of: &Result<Mass, Unknown>, units: &Units) -> OrUnknown<Quantity> {
    or_unknown(of, |mass| quantity(*mass, units.mass))
}

fn leg<'a>(of: &'a OfLeg, units: &Units) -> Leg<'a> {
    Leg {
        leg: &of.name,
        people: of.people.iter().map(|one| person(one, units)).collect(),
        items: of.items.iter().map(|one| item(one, units)).collect(),
        mass: mass(&of.mass, units),
    }
}

fn person<'a>(of: &'a Aboard, units: &Units) -> Person<'a> {
    Person {
        name: &of.name,
        role: role(of),
        place: &of.place,
        restraint: &of.restraint,
        restrained: of.restrained,
        mass: mass(&of.mass, units),
        basis: &of.basis,
        infant: of.infant,
        needs: of.needs.iter().map(|need| need_words(*need)).collect(),
        language: of.language.as_deref(),
    }
}

fn item<'a>(of: &'a Loaded, units: &Units) -> Item<'a> {
    Item {
        what: &of.what,
        place: &of.place,
        mass: mass(&of.mass, units),
        dangerous_goods: of.goods.as_deref(),
    }
}
