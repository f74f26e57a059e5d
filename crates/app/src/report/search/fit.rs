//! The page and the JSON of `fit`: how things are, and how they are best.

use std::fmt::Write;

use serde_json::{Value, json};
use stillprop_plan::fit::{Answer, Asked, Proof};
use stillprop_turnaround::{
    assess::{Assessment, Limit},
    limits::Verdict,
    stage::{Choice, Stage},
    units::{Round, Units},
};

use crate::report::{
    answer::quantity,
    bars,
    text::{CAUTION, WIDTH, head, list, section, standing_in_the_way, wrapped},
};

/// An answer with what it was asked of.
pub(crate) struct Fitted<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) asked: &'a Asked,
    pub(crate) answer: Answer,
    /// The choice that was found, assessed anew.
    pub(crate) after: Option<Choice>,
    /// Smallest margin as things are now; `None` when something does not hold.
    pub(crate) before: Option<f64>,
}

/// What is moved: name, mass or nothing, where it is, where it would be.
struct Row {
    what: String,
    from: String,
    to: String,
}

impl Fitted<'_> {
    /// Names of what conflicts.
    fn conflict(&self) -> Vec<String> {
        match &self.answer {
            Answer::NothingFits(limits) => {
                limits.iter().map(|limit| self.asked.name(*limit)).collect()
            }
            Answer::Fits(..) | Answer::NotKnown => Vec::new(),
        }
    }

    fn rows(&self, after: &Choice, units: &Units) -> Vec<Row> {
        let stage = self.stage;
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
                .map_or_else(|| "left here".to_owned(), |place| stage.places[*place].label.clone()),
            to: after
                .place_of
                .get(at)
                .map_or_else(|| "left here".to_owned(), |place| stage.places[*place].label.clone()),
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
    fitted: &Fitted<'_>,
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

fn headline(fitted: &Fitted<'_>) -> (&'static str, String) {
    match &fitted.answer {
        Answer::Fits(found, proof) => {
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
        Answer::NothingFits(_) => ("NOTHING FITS", "proved".to_owned()),
        Answer::NotKnown => {
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
fn limits(out: &mut String, fitted: &Fitted<'_>, before: &Assessment, after: &Assessment) {
    section(out, "LIMITS THAT THE ARRANGEMENT MOVES");
    let (is, would) = ("now", "then");
    let _ = writeln!(out, "    {:<44} {is:<20} {would}", "");
    for (limit, now) in moved(fitted, before, after) {
        let now = now.map_or_else(|| "unknown".into(), stands);
        let _ = writeln!(out, "    {:<44} {now:<20} {}", limit.id, stands(limit));
    }
}

fn stands(limit: &Limit) -> String {
    limit.share().map_or_else(|| limit.verdict.word().to_owned(), bars::share)
}

fn moved<'a>(
    fitted: &Fitted<'_>,
    before: &'a Assessment,
    after: &'a Assessment,
) -> Vec<(&'a Limit, Option<&'a Limit>)> {
    let counted = fitted.asked.counted();
    let of = |id: &str| before.limits.iter().find(|limit| limit.id == id);
    let ours = after.limits.iter().filter(|limit| counted.contains(&limit.id));
    ours.map(|limit| (limit, of(&limit.id))).collect()
}

fn conflict(out: &mut String, fitted: &Fitted<'_>) {
    let names = fitted.conflict();
    if names.is_empty() {
        if matches!(fitted.answer, Answer::NothingFits(_)) {
            let _ = writeln!(out, "\n  There are too few places, whatever the limits.");
        }
        return;
    }
    section(out, "THESE CANNOT ALL BE KEPT");
    for name in &names {
        let _ = writeln!(out, "  - {name}");
    }
    let why = "Something fits when any one of them is left out. That is for finding out what to \
        change: leave a load, take less fuel, go when it is cooler. No limit of the manual is to be \
        left out.";
    for row in wrapped(why, WIDTH - 2) {
        let _ = writeln!(out, "  {row}");
    }
}

/// The answer of `--json`.
pub(crate) fn json(
    fitted: &Fitted<'_>,
    before: &Assessment,
    after: Option<&Assessment>,
    units: &Units,
) -> Value {
    let (margin, bound, proof, changes) = match &fitted.answer {
        Answer::Fits(found, Proof::Best) => {
            (Some(found.margin), Some(found.margin), "best", Some(found.changes))
        }
        Answer::Fits(found, Proof::Margin) => {
            (Some(found.margin), Some(found.margin), "margin", Some(found.changes))
        }
        Answer::Fits(found, Proof::SoFar(bound)) => {
            (Some(found.margin), Some(*bound), "so far", Some(found.changes))
        }
        Answer::NothingFits(_) => (None, None, "nothing fits", None),
        Answer::NotKnown => (None, None, "not known", None),
    };
    let limits = after.map(|after| {
        let row = |(limit, now): (&Limit, Option<&Limit>)| {
            json!({
                "id": limit.id,
                "before": now.and_then(Limit::share),
                "after": limit.share(),
            })
        };
        moved(fitted, before, after).into_iter().map(row).collect::<Vec<_>>()
    });
    json!({
        "title": before.title,
        "fits": margin.is_some(),
        "proof": proof,
        "margin": margin,
        "margin_at_most": bound,
        "margin_before": fitted.before,
        "changes": changes,
        "where": fitted.after.as_ref().map(|after| places_json(fitted, after, units)),
        "limits": limits,
        "conflict": fitted.conflict(),
        "ready": after.map(Assessment::ready),
        "caution": CAUTION,
    })
}

fn places_json(fitted: &Fitted<'_>, after: &Choice, units: &Units) -> Value {
    let stage = fitted.stage;
    let label = |place: Option<usize>| place.map(|place| stage.places[place].label.as_str());
    let people = stage.people.iter().enumerate().map(|(at, person)| {
        json!({
            "name": person.name,
            "before": label(fitted.choice.seat_of[at]),
            "after": label(after.seat_of[at]),
        })
    });
    let items = stage.items.iter().enumerate().map(|(at, item)| {
        json!({
            "what": item.what,
            "before": label(fitted.choice.place_of.get(at).copied()),
            "after": label(after.place_of.get(at).copied()),
        })
    });
    let tanks = stage.tanks.iter().enumerate().map(|(at, tank)| {
        let fuel = |fuel: Option<_>| fuel.map(|fuel| quantity(fuel, units.fuel));
        json!({
            "tank": tank.label,
            "before": fuel(fitted.choice.fuel[at]),
            "after": fuel(after.fuel[at]),
        })
    });
    json!({
        "people": people.collect::<Vec<_>>(),
        "items": items.collect::<Vec<_>>(),
        "fuel": tanks.collect::<Vec<_>>(),
    })
}
