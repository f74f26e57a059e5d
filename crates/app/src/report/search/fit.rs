//! The page and the JSON of `fit`: how things are, and how they are best.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_plan::fit::{Answer as Found, Proof};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::Verdict,
    stage::Choice,
    units::{Round, Units},
};

use crate::{
    report::{
        answer::{Quantity, quantity},
        bars,
        text::{CAUTION, WIDTH, head, list, section, standing_in_the_way, wrapped},
    },
    search::fit::Fitted,
};

/// Where ballast is that is not taken.
pub(crate) const LEFT: &str = "left here";

/// What a conflict says.
pub(crate) const ANY_ONE: &str = "Something fits when any one of them is left out. That is for \
    finding out what to change: leave a load, take less fuel, go when it is cooler. No limit of the \
    manual is to be left out.";

/// What is moved: name, mass or nothing, where it is, where it would be.
pub(crate) struct Row {
    pub(crate) what: String,
    pub(crate) from: String,
    pub(crate) to: String,
}

impl Fitted {
    /// Names of what conflicts.
    pub(crate) fn conflict(&self) -> Vec<String> {
        match &self.answer {
            Found::NothingFits(limits) => {
                limits.iter().map(|limit| self.asked.name(*limit)).collect()
            }
            Found::Fits(..) | Found::NotKnown => Vec::new(),
        }
    }

    /// Everything that may move, as it is now and as it would be.
    pub(crate) fn rows(&self, after: &Choice, units: &Units) -> Vec<Row> {
        let stage = &self.stage;
        let label = |place: Option<usize>| {
            place.map_or_else(|| "no seat".to_owned(), |place| stage.places[place].label.clone())
        };
        let with_mass = |name: &str, mass: &Result<_, String>| match mass {
            Ok(mass) => format!("{name}, {}", units.mass(*mass, Round::Up)),
            Err(_) => name.to_owned(),
        };
        let people =
            stage.people.iter().enumerate().filter(|(at, person)| {
                person.held_by.is_none() || self.choice.seat_of[*at].is_some()
            });
        let people = people.map(|(at, person)| Row {
            what: with_mass(&person.name, &person.mass),
            from: label(self.choice.seat_of[at]),
            to: label(after.seat_of[at]),
        });
        let items = stage.items.iter().enumerate().map(|(at, item)| Row {
            what: with_mass(&item.what, &item.mass),
            from: self
                .choice
                .place_of
                .get(at)
                .map_or_else(|| LEFT.to_owned(), |place| stage.places[*place].label.clone()),
            to: after
                .place_of
                .get(at)
                .map_or_else(|| LEFT.to_owned(), |place| stage.places[*place].label.clone()),
        });
        let fuel = |fuel: Option<_>| {
            fuel.map_or_else(|| "unknown".to_owned(), |fuel| units.fuel(fuel, Round::Near))
        };
        let tanks = stage.tanks.iter().enumerate().map(|(at, tank)| Row {
            what: format!("fuel in {}", tank.label),
            from: fuel(self.choice.fuel[at]),
            to: fuel(after.fuel[at]),
        });
        people.chain(items).chain(tanks).collect()
    }
}

/// The whole page.
pub(crate) fn page(
    fitted: &Fitted,
    before: &Assessment,
    after: Option<&Assessment>,
    units: &Units,
) -> String {
    let (word, proof) = headline(fitted);
    let mut out = head(before, word, &proof);
    match (&fitted.after, after) {
        (Some(choice), Some(after)) => {
            places(&mut out, &fitted.rows(choice, units));
            limits(&mut out, fitted, before, after);
            let left = after.limits.iter().filter(|limit| limit.verdict != Verdict::Holds);
            if left.clone().next().is_some() {
                section(&mut out, "OTHER LIMITS THAT DO NOT HOLD THEN");
                standing_in_the_way(&mut out, left);
            }
        }
        _ => conflict(&mut out, fitted),
    }
    list(&mut out, "CAUTIONS", before.cautions.iter().copied());
    out
}

/// What it comes to, and what that is worth.
pub(crate) fn headline(fitted: &Fitted) -> (&'static str, String) {
    match &fitted.answer {
        Found::Fits(found, proof) => {
            let now = fitted.before.map_or_else(|| "not held now".into(), bars::share);
            let margin = bars::share(found.margin);
            let worth = match proof {
                Proof::Best => "proved best".to_owned(),
                Proof::Margin => {
                    "no margin is greater; the search was stopped before it had the fewest changes"
                        .to_owned()
                }
                Proof::SoFar(bound) => {
                    format!("best so far, the search was stopped; {} at most", bars::share(*bound))
                }
            };
            ("FITS", format!("smallest margin {margin} ({now}); {worth}"))
        }
        Found::NothingFits(_) => ("NOTHING FITS", "proved".to_owned()),
        Found::NotKnown => {
            ("NOT KNOWN", "the search was stopped before anything was found".to_owned())
        }
    }
}

fn places(out: &mut String, rows: &[Row]) {
    section(out, "WHERE");
    let (is, would) = ("now", "then");
    let _ = writeln!(out, "    {:<44} {is:<20} {would}", "");
    for row in rows {
        let moved = row.from != row.to;
        let mark = if moved { '>' } else { ' ' };
        let to = if moved { row.to.as_str() } else { "stays" };
        let _ = writeln!(out, "  {mark} {:<44} {:<20} {to}", row.what, row.from);
    }
}

/// The limits of the question, tightest first as they would be.
fn limits(out: &mut String, fitted: &Fitted, before: &Assessment, after: &Assessment) {
    section(out, "LIMITS THAT THE ARRANGEMENT MOVES");
    let (is, would) = ("now", "then");
    let _ = writeln!(out, "    {:<44} {is:<20} {would}", "");
    for (limit, now) in moved(fitted, before, after) {
        let now = now.map_or_else(|| "unknown".into(), stands);
        let _ = writeln!(out, "    {:<44} {now:<20} {}", limit.id, stands(limit));
    }
}

pub(crate) fn stands(limit: &Limit) -> String {
    limit.share().map_or_else(|| limit.verdict.word().to_owned(), bars::share)
}

/// The limits of the question, tightest first as they would be, each with how it is now.
pub(crate) fn moved<'a>(
    fitted: &Fitted,
    before: &'a Assessment,
    after: &'a Assessment,
) -> Vec<(&'a Limit, Option<&'a Limit>)> {
    let counted = fitted.asked.counted();
    let of = |id: &str| before.limits.iter().find(|limit| limit.id == id);
    let ours = after.limits.iter().filter(|limit| counted.contains(&limit.id));
    ours.map(|limit| (limit, of(&limit.id))).collect()
}

fn conflict(out: &mut String, fitted: &Fitted) {
    let names = fitted.conflict();
    if names.is_empty() {
        if matches!(fitted.answer, Found::NothingFits(_)) {
            let _ = writeln!(out, "\n  There are too few places, whatever the limits.");
        }
        return;
    }
    section(out, "THESE CANNOT ALL BE KEPT");
    for name in &names {
        let _ = writeln!(out, "  - {name}");
    }
    for row in wrapped(ANY_ONE, WIDTH - 2) {
        let _ = writeln!(out, "  {row}");
    }
}

/// The fit, for programs.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "Fit")]
pub(crate) struct Answer<'a> {
    title: &'a str,
    fits: bool,
    /// `best`, `margin`, `so far`, `nothing fits` or `not known`.
    proof: &'static str,
    /// Smallest margin, as a share.
    margin: Option<f64>,
    /// No arrangement has a greater one.
    margin_at_most: Option<f64>,
    /// Smallest margin as things are now; `null` when something does not hold.
    margin_before: Option<f64>,
    /// How much is moved.
    changes: Option<u64>,
    /// Where everything would be.
    #[serde(rename = "where")]
    places: Option<Places<'a>>,
    /// Limits of the question.
    limits: Option<Vec<Margin<'a>>>,
    /// Limits and wishes that cannot all be kept.
    conflict: Vec<String>,
    /// Every limit of the turnaround holds then.
    ready: Option<bool>,
    /// What every answer carries.
    caution: &'static str,
}

/// Where everything is and would be.
#[derive(Debug, JsonSchema, Serialize)]
struct Places<'a> {
    people: Vec<PersonMoves<'a>>,
    items: Vec<ItemMoves<'a>>,
    fuel: Vec<FuelMoves<'a>>,
}

/// A person.
#[derive(Debug, JsonSchema, Serialize)]
struct PersonMoves<'a> {
    name: &'a str,
    /// The seat now.
    before: Option<&'a str>,
    /// The seat then.
    after: Option<&'a str>,
}

/// An item.
#[derive(Debug, JsonSchema, Serialize)]
struct ItemMoves<'a> {
    what: &'a str,
    /// The place now; `null` for ballast that is not aboard.
    before: Option<&'a str>,
    /// The place then.
    after: Option<&'a str>,
}

/// A tank.
#[derive(Debug, JsonSchema, Serialize)]
struct FuelMoves<'a> {
    tank: &'a str,
    /// What is in it as planned.
    before: Option<Quantity>,
    /// What would be.
    after: Option<Quantity>,
}

/// The margin of a limit.
#[derive(Debug, JsonSchema, Serialize)]
struct Margin<'a> {
    id: &'a str,
    /// As a share, now.
    before: Option<f64>,
    /// As a share, then.
    after: Option<f64>,
}

/// The same for programs.
pub(crate) fn answer<'a>(
    fitted: &'a Fitted,
    before: &'a Assessment,
    after: Option<&'a Assessment>,
    units: &Units,
) -> Answer<'a> {
    let (margin, bound, proof, changes) = match &fitted.answer {
        Found::Fits(found, Proof::Best) => {
            (Some(found.margin), Some(found.margin), "best", Some(found.changes))
        }
        Found::Fits(found, Proof::Margin) => {
            (Some(found.margin), Some(found.margin), "margin", Some(found.changes))
        }
        Found::Fits(found, Proof::SoFar(bound)) => {
            (Some(found.margin), Some(*bound), "so far", Some(found.changes))
        }
        Found::NothingFits(_) => (None, None, "nothing fits", None),
        Found::NotKnown => (None, None, "not known", None),
    };
    let limits = after.map(|after| {
        let row = |(limit, now): (&'a Limit, Option<&'a Limit>)| Margin {
            id: &limit.id,
            before: now.and_then(Limit::share),
            after: limit.share(),
        };
        moved(fitted, before, after).into_iter().map(row).collect()
    });
    Answer {
        title: &before.title,
        fits: margin.is_some(),
        proof,
        margin,
        margin_at_most: bound,
        margin_before: fitted.before,
        changes,
        places: fitted.after.as_ref().map(|after| places_of(fitted, after, units)),
        limits,
        conflict: fitted.conflict(),
        ready: after.map(Assessment::ready),
        caution: CAUTION,
    }
}

fn places_of<'a>(fitted: &'a Fitted, after: &Choice, units: &Units) -> Places<'a> {
    let stage = &fitted.stage;
    let label = |place: Option<usize>| place.map(|place| stage.places[place].label.as_str());
    let people = stage.people.iter().enumerate().map(|(at, person)| PersonMoves {
        name: &person.name,
        before: label(fitted.choice.seat_of[at]),
        after: label(after.seat_of[at]),
    });
    let items = stage.items.iter().enumerate().map(|(at, item)| ItemMoves {
        what: &item.what,
        before: label(fitted.choice.place_of.get(at).copied()),
        after: label(after.place_of.get(at).copied()),
    });
    let fuel = |fuel: Option<_>| fuel.map(|fuel| quantity(fuel, units.fuel));
    let tanks = stage.tanks.iter().enumerate().map(|(at, tank)| FuelMoves {
        tank: &tank.label,
        before: fuel(fitted.choice.fuel[at]),
        after: fuel(after.fuel[at]),
    });
    Places { people: people.collect(), items: items.collect(), fuel: tanks.collect() }
}
