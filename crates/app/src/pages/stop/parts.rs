//! The parts below the tightest limits, each with its own limits.

use jiff::tz::Offset;
use maud::{Markup, html};
use stillprop_calc::{quantity::FromAmount as _, unit};
use stillprop_turnaround::{
    assess::{HAND_START_CAUTION, Number, Table, ground::ClearanceView, single, table},
    document::length_unit,
    limits::{Family, light::clock},
    units::Round,
};

use super::{StopPage, View, declared};
use crate::{
    ground::apron,
    pages::{
        bits::{self, encoded},
        pictures::{self, Part},
    },
    report::ground::ALTERNATIVES,
};

/// Where the links within the page lead.
pub(super) const ANCHORS: [(&str, &str); 9] = [
    ("tightest", "Tightest"),
    ("load", "Load"),
    ("fuel", "Fuel"),
    ("strip", "Strip and light"),
    ("ground", "Ground"),
    ("people", "People"),
    ("start", "Start"),
    ("change", "Change"),
    ("record", "Record"),
];

/// All parts in their order.
pub(super) fn all(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let drawn = view.pictures;
    let part = |id: &str, title: &str, families: &[Family], body: Markup| {
        html! {
            section aria-labelledby=(id) {
                h2 id=(id) { (title) }
                (body)
                (limits(page, view, families))
            }
        }
    };
    html! {
        (part("load", "Load", &[Family::Load], html! {
            (load(page, view)) (pictures::of(Part::Load, drawn))
        }))
        (part("fuel", "Fuel", &[Family::Fuel, Family::Drum, Family::Sample], html! {
            div.beside { div { (fuel(page, view)) } (pictures::of(Part::Fuel, drawn)) }
        }))
        (part("strip", "Strip and light", &[Family::Strip, Family::Light], html! {
            (strip(page, view)) (flight(page, view)) (pictures::of(Part::Strip, drawn))
        }))
        (part("ground", "Ground", &[Family::Site, Family::Static], html! {
            div.beside { div.distances { (ground(page, view)) } (plan(page, view)) }
        }))
        (part("people", "People", &[Family::People, Family::Due], people(page, view)))
        (part("start", "Start", &[Family::Start], start(view)))
    }
}

/// Every limit of these families, in short.
fn limits(page: &StopPage<'_>, view: &View<'_>, families: &[Family]) -> Markup {
    let own: Vec<_> =
        view.assessment.limits.iter().filter(|limit| families.contains(&limit.family)).collect();
    html! {
        @if !own.is_empty() {
            details {
                summary { "All " (own.len()) " limits of this part" }
                ul.short {
                    @for limit in own {
                        li { (bits::verdict(limit.verdict)) " " (page.why(&limit.id)) " " (limit.words.stands) }
                    }
                }
            }
        }
    }
}

fn unknown(why: &str) -> Markup {
    html! { p { "Unknown: " (why) } }
}

/// A table of numbers, each leading to its working.
fn grid(page: &StopPage<'_>, table: &Table<'_>, what: &str) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label={ (what) " table" } {
            table.figures {
                thead { tr {
                    th scope="col" { (what) }
                    @for column in &table.columns { th scope="col" { (column.label()) } }
                } }
                tbody {
                    @for (name, cells) in &table.rows {
                        tr {
                            th scope="row" { (name) }
                            @for cell in cells { td { (page.number(cell)) } }
                        }
                    }
                }
            }
        }
    }
}

/// Numbers there is one of, each with its name.
fn list<'a>(page: &StopPage<'_>, numbers: impl Iterator<Item = &'a Number> + Clone) -> Markup {
    html! {
        @if numbers.clone().next().is_some() {
            dl { @for number in numbers { dt { (number.label()) } dd { (page.number(number)) } } }
        }
    }
}

fn load(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    match &view.assessment.states {
        Ok(_) => grid(page, &table(&view.assessment.numbers, Family::Load), "state"),
        Err(why) => unknown(why),
    }
}

fn fuel(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    match &view.assessment.ladder {
        Ok(_) => list(page, single(&view.assessment.numbers, Family::Fuel)),
        Err(why) => unknown(why),
    }
}

fn strip(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let a = view.assessment;
    html! {
        p { "Take-off " strong { (a.here.direction) } }
        (list(page, single(&a.numbers, Family::Strip)))
    }
}

fn flight(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let a = view.assessment;
    let here = a.light.first().map_or(Offset::UTC, |light| light.offset);
    html! {
        @match &a.flight {
            Ok(flight) => {
                p { "Chocks off " strong { (clock(flight.departs, here)) } }
                (grid(page, &table(&a.numbers, Family::Flight), "leg"))
                (list(page, single(&a.numbers, Family::Flight)))
            },
            Err(why) => p { "Flight unknown: " (why) },
        }
        ul {
            @for (place, cells) in table(&a.numbers, Family::Light).rows {
                li { (place) ": " @for cell in cells { (page.number(cell)) } }
            }
        }
    }
}

/// Distances on the ground, tightest first; the limits below have all of them.
fn ground(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let (units, found) = (view.units, &view.assessment.ground);
    let found = match found {
        Ok(found) => found,
        Err(why) => return unknown(why),
    };
    let saved = page.saved.and_then(|saved| saved.ground.as_ref().ok());
    // What it was as saved, when that is something else.
    let was = |each: &ClearanceView| {
        let before = saved?.clearances.iter().find(|before| before.id == each.id)?.measured?;
        let moved = each.measured.is_none_or(|now| (now.si() - before.si()).abs() > 1e-6);
        moved.then(|| units.apron(before, Round::Down))
    };
    let row = |each: &ClearanceView| {
        let (has, asked) = match (each.measured, each.bound) {
            (Some(has), Some(asked)) => units.apron_pair(has, asked),
            (has, asked) => {
                let one = |length: Option<_>, round| {
                    length.map_or("unknown".to_owned(), |length| units.apron(length, round))
                };
                (one(has, Round::Down), one(asked, Round::Up))
            }
        };
        html! {
            tr {
                th scope="row" { (apron::what(each)) " " (bits::verdict(each.verdict)) }
                td { (page.link(&each.id, &has)) @if let Some(was) = was(each) { br; small { "was " (was) } } }
                td { (page.link(&each.id, &asked)) }
            }
        }
    };
    html! {
        @if !found.clearances.is_empty() {
            div.wide tabindex="0" role="region" aria-label="Distances table" {
                table.figures {
                    thead { tr { th scope="col" { "distance" }
                        th scope="col" { "there is" } th scope="col" { "asked" } } }
                    tbody { @for each in found.clearances.iter().take(NEAREST) { (row(each)) } }
                }
            }
            @if found.clearances.len() > NEAREST {
                p { "The " (NEAREST) " tightest of " (found.clearances.len()) "; the rest stands among the limits below." }
            }
        }
    }
}

/// The apron plan, with what a script needs to move the aeroplane on it: where it stands, and in
/// which unit the form has that. Without a script the form has fields for both.
fn plan(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let drawn = pictures::of(Part::Ground, view.pictures);
    let fields = page.groups.iter().flat_map(|group| &group.fields);
    let form = fields.into_iter().any(|field| field.name == "ground.at");
    let unit = view.stage.documents.turnaround.ground.as_ref();
    let unit = unit.and_then(|ground| length_unit(&ground.unit).ok());
    let (true, Ok(found), Some(unit)) = (form, &view.assessment.ground, unit) else {
        return drawn;
    };
    let (east, north) = (found.at.east().count(unit), found.at.north().count(unit));
    html! {
        div.movable data-east=(format!("{east:.2}")) data-north=(format!("{north:.2}"))
            data-nose=(format!("{:.1}", found.heading.count(unit::DEG))) data-unit=(unit.scale) {
            (drawn)
        }
    }
}

/// Distances shown in the table of the ground.
const NEAREST: usize = 8;

/// The way back to a stop, and to what else is known of it.
pub(in crate::pages) fn of_stop(name: &str) -> Markup {
    html! {
        p { a href={ "/stop/" (encoded(name)) } { "The stop" } }
        (more_of_stop(name))
    }
}

/// Ways to what else is known of a stop.
pub(super) fn more_of_stop(name: &str) -> Markup {
    let name = encoded(name);
    html! {
        p {
            a href={ "/goods/" (name) } { "Dangerous goods" } ", "
            a href={ "/manifest/" (name) } { "manifest" } ", "
            a href={ "/due/" (name) } { "due" } ", "
            a href={ "/report/" (name) } { "after an event" }
        }
    }
}

fn people(page: &StopPage<'_>, view: &View<'_>) -> Markup {
    let (stage, choice) = (view.stage, view.choice);
    let masses = table(&view.assessment.numbers, Family::People).rows;
    html! {
        ul {
            @for (place, person) in stage.people.iter().enumerate() {
                @let seat = choice.seat_of.get(place).copied().flatten().and_then(|seat| stage.places.get(seat));
                li {
                    (person.name) ", "
                    @match (seat, person.held_by.and_then(|by| stage.people.get(by))) {
                        (Some(seat), _) => { "seat " (seat.label) },
                        (None, Some(by)) => { "held by " (by.name) },
                        (None, None) => { "no seat" },
                    }
                    ", with what belongs to them "
                    @for cell in masses.iter().filter(|(name, _)| *name == person.name).flat_map(|(_, cells)| cells) {
                        (page.number(cell))
                    }
                    (declared::with_person(view, place))
                }
            }
        }
        (declared::items(page, view))
    }
}

fn start(view: &View<'_>) -> Markup {
    let hand = view.assessment.cautions.contains(&HAND_START_CAUTION);
    html! {
        @if hand {
            p.caution { strong { (HAND_START_CAUTION) } }
            p { "First:" }
            ul { @for row in ALTERNATIVES { li { (row) } } }
        } @else {
            p { "With the starter." }
        }
    }
}
