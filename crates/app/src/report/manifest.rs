//! The manifest as text and as JSON.

use std::fmt::Write;

use serde_json::Value;
use stillprop_calc::quantity::Mass;
use stillprop_turnaround::{
    assess::Assessment,
    document::turnaround::{Need, Role},
    limits::Verdict,
    manifest::{Aboard, Leg, Manifest},
    stage::Unknown,
    units::{Round, Units},
};

use super::{
    answer::{manifest as answers, value},
    bars,
    text::{CAUTION, WIDTH, head, standing_in_the_way, wrapped},
};

/// A manifest with the verdict of everything it changes.
pub(crate) struct Listed<'a> {
    /// The manifest.
    pub(crate) manifest: &'a Manifest,
    /// Everything judged with it.
    pub(crate) assessment: &'a Assessment,
    /// Everything judged before the changes, when there are any.
    pub(crate) before: Option<Assessment>,
    /// Units of the reader.
    pub(crate) units: &'a Units,
}

const fn word(ready: bool) -> &'static str {
    if ready { "READY on what is assessed" } else { "NOT READY" }
}

fn counts(a: &Assessment) -> String {
    let (breaks, unknown) = (a.count(Verdict::Breaks), a.count(Verdict::Unknown));
    format!("breaks {breaks}, unknown {unknown}, holds {}", a.count(Verdict::Holds))
}

/// The page.
pub(crate) fn text(listed: &Listed<'_>) -> String {
    let a = listed.assessment;
    let mut out = head(a, word(a.ready()), &counts(a));
    if let Some(before) = &listed.before {
        let _ = writeln!(out, "before the change: {}, {}", word(before.ready()), counts(before));
    }
    if !a.ready() {
        let _ = writeln!(out);
        standing_in_the_way(&mut out, a.limits.iter());
    }
    for leg in &listed.manifest.legs {
        one_leg(&mut out, leg, listed.units);
    }
    if !listed.manifest.told.is_empty() {
        let _ = writeln!(out, "\n{}", bars::heading("WHO IS TOLD WHAT"));
        for told in &listed.manifest.told {
            let said = format!("{}: {}", told.who, told.what);
            rows(&mut out, &format!("[ ] {said}"), 2);
            rows(&mut out, told.source, 6);
        }
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

fn rows(out: &mut String, text: &str, indent: usize) {
    for row in wrapped(text, WIDTH - indent) {
        let _ = writeln!(out, "{:indent$}{row}", "");
    }
}

/// A mass in words, or that it is not known.
pub(crate) fn mass(mass: &Result<Mass, Unknown>, units: &Units) -> String {
    mass.as_ref().map_or_else(|_| "unknown".to_owned(), |mass| units.mass(*mass, Round::Up))
}

fn one_leg(out: &mut String, leg: &Leg, units: &Units) {
    let name = if leg.name.is_empty() { "NO ONWARD LEG".into() } else { leg.name.to_uppercase() };
    let (people, items) = (leg.people.len(), leg.items.len());
    let all = mass(&leg.mass, units);
    let _ = writeln!(
        out,
        "\n{}: {people} aboard, items {items}, together {all}",
        bars::heading(&format!("TO {name}"))
    );
    for person in &leg.people {
        let mass = mass(&person.mass, units);
        let (name, place) = (&person.name, &person.place);
        let _ = writeln!(out, "  {name:<32} {place:<18} {mass:>8}  {}", role(person));
        let restraint = if person.restrained { "held by" } else { "NOT HELD" };
        let mut more = vec![person.basis.clone(), format!("{restraint}: {}", person.restraint)];
        if let Err(why) = &person.mass {
            more.push(format!("mass unknown: {why}"));
        }
        more.extend(person.needs.iter().map(|need| format!("needs: {}", need_words(*need))));
        more.extend(person.language.iter().map(|language| format!("speaks {language}")));
        rows(out, &more.join("; "), 6);
    }
    for item in &leg.items {
        let goods = match &item.goods {
            None => "dangerous goods: not asked".to_owned(),
            Some(goods) if goods.is_empty() => "no dangerous goods declared".to_owned(),
            Some(goods) => format!("dangerous goods: {}", goods.join(", ")),
        };
        let mass = mass(&item.mass, units);
        let _ = writeln!(out, "  {:<32} {:<18} {mass:>8}  {goods}", item.what, item.place);
    }
}

/// What somebody is aboard.
pub(crate) const fn role(person: &Aboard) -> &'static str {
    match person.role {
        _ if person.infant => "infant",
        Role::Pilot => "pilot",
        Role::Crew => "crew",
        Role::Passenger => "passenger",
    }
}

/// A need in words.
pub(crate) const fn need_words(need: Need) -> &'static str {
    match need {
        Need::Mobility => "help to walk, board and get out",
        Need::Hearing => "hears badly or not at all",
        Need::Sight => "sees badly or not at all",
        Need::Language => "another language",
        Need::ChildAlone => "a child travelling alone",
    }
}

/// The same as JSON.
pub(crate) fn json(listed: &Listed<'_>) -> Value {
    value(&answers::manifest(listed))
}
