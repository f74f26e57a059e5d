//! The parts below the tightest limits, each with its own limits.

use jiff::tz::Offset;
use maud::{Markup, html};
use stillprop_calc::{quantity::Volume, table::GreatestMass};
use stillprop_turnaround::{
    assess::{FlightView, HAND_START_CAUTION},
    limits::{Family, light::clock},
    units::{Round, Units, show},
};

use super::{StopPage, View};
use crate::{
    pages::{
        bits,
        pictures::{self, Part},
    },
    report::{
        ground::ALTERNATIVES,
        text::{height, hours, wind},
    },
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
            (load(view)) (pictures::of(Part::Load, drawn))
        }))
        (part("fuel", "Fuel", &[Family::Fuel, Family::Drum, Family::Sample], html! {
            (fuel(view)) (pictures::of(Part::Fuel, drawn))
        }))
        (part("strip", "Strip and light", &[Family::Strip, Family::Light], html! {
            (strip(view)) (flight(view)) (pictures::of(Part::Strip, drawn))
        }))
        (part("ground", "Ground", &[Family::Site, Family::Static], pictures::of(Part::Ground, drawn)))
        (part("people", "People", &[Family::People, Family::Due], people(view)))
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

fn load(view: &View<'_>) -> Markup {
    let units = view.units;
    let states = match &view.assessment.states {
        Ok(states) => states,
        Err(why) => return unknown(why),
    };
    let allowed = |allowed: Option<_>| match allowed {
        Some((forward, aft)) => (units.arm(forward), units.arm(aft)),
        None => ("unknown".to_owned(), "unknown".to_owned()),
    };
    html! {
        div.wide tabindex="0" role="region" aria-label="Load table" {
            table {
                thead { tr { th scope="col" { "state" } th scope="col" { "mass" } th scope="col" { "balance" }
                    th scope="col" { "forward" } th scope="col" { "aft" } th scope="col" { "fuel" } } }
                tbody {
                    @for state in states {
                        @let (forward, aft) = allowed(state.allowed);
                        tr {
                            th scope="row" { (state.name) }
                            td { (units.mass(state.mass, Round::Up)) }
                            td { (units.arm(state.arm)) }
                            td { (forward) }
                            td { (aft) }
                            td { (units.fuel(state.fuel, Round::Down)) }
                        }
                    }
                }
            }
        }
    }
}

fn fuel(view: &View<'_>) -> Markup {
    let ladder = match &view.assessment.ladder {
        Ok(ladder) => ladder,
        Err(why) => return unknown(why),
    };
    let p = &ladder.parts;
    let rows: [(&str, Option<Volume>, Round); 11] = [
        ("start and taxi", Some(p.start_and_taxi), Round::Up),
        ("trip", Some(p.trip), Round::Up),
        ("contingency", Some(p.contingency), Round::Up),
        ("alternate", Some(p.alternate), Round::Up),
        ("holding", Some(p.holding), Round::Up),
        ("final reserve", Some(p.final_reserve), Round::Up),
        ("extra", Some(p.extra), Round::Up),
        ("required", Some(ladder.required), Round::Up),
        ("aboard, usable", ladder.aboard, Round::Down),
        ("tanks hold", Some(ladder.capacity), Round::Down),
        ("not usable", Some(ladder.unusable), Round::Up),
    ];
    html! {
        table {
            tbody {
                @for (name, volume, round) in rows {
                    @if volume.is_none_or(|volume| volume.value > 0.0) {
                        tr {
                            th scope="row" { (name) }
                            td { (volume.map_or("unknown".to_owned(), |volume| view.units.fuel(volume, round))) }
                        }
                    }
                }
            }
        }
    }
}

fn strip(view: &View<'_>) -> Markup {
    let (here, units) = (&view.assessment.here, view.units);
    let allows = match &here.mass_allowed {
        Ok(GreatestMass::Some(mass)) => units.mass(*mass, Round::Down),
        Ok(GreatestMass::WholeChart(mass)) => {
            format!("the whole chart, to {}", units.mass(*mass, Round::Down))
        }
        Ok(GreatestMass::AnyMass) => "any mass".to_owned(),
        Ok(GreatestMass::None) => "no mass of the chart".to_owned(),
        Err(why) => format!("unknown ({why})"),
    };
    html! {
        dl {
            dt { "take-off" } dd { (here.direction) }
            dt { "pressure altitude" } dd { (height(&here.pressure_altitude, units)) }
            dt { "density altitude" } dd { (height(&here.density_altitude, units)) }
            dt { "wind" } dd { (wind(&here.wind, units)) }
            dt { "mass the strip allows now" } dd { (allows) }
        }
    }
}

fn flight(view: &View<'_>) -> Markup {
    let a = view.assessment;
    let here = a.light.first().map_or(Offset::UTC, |light| light.offset);
    html! {
        @match &a.flight {
            Ok(flight) => (legs(flight, here, view.units)),
            Err(why) => p { "Flight unknown: " (why) },
        }
        ul {
            @for light in &a.light {
                li {
                    (light.place) ": "
                    @match &light.day {
                        Ok(day) => @match (day.rise(), day.set()) {
                            (None, None) => { "the sun is " (day.words()) },
                            (rise, set) => {
                                @let at = |at: Option<_>| at.map_or("none".to_owned(), |at| clock(at, light.offset));
                                "first light " (at(rise)) ", last light " (at(set)) " (UTC" (light.offset) ")"
                            },
                        },
                        Err(why) => { "light unknown: " (why) },
                    }
                }
            }
        }
    }
}

fn legs(flight: &FlightView, here: Offset, units: &Units) -> Markup {
    html! {
        p { "Chocks off " strong { (clock(flight.departs, here)) } }
        ul {
            @for arrival in &flight.arrivals {
                @let leg = &arrival.leg;
                li {
                    (leg.name) ": " (show(leg.distance, units.distance, Round::Near)) ", "
                    (units.speed(leg.groundspeed, Round::Down)) " over the ground, "
                    (hours(leg.time, Round::Up)) ", " (units.fuel(leg.fuel, Round::Up)) ", lands "
                    strong { (clock(arrival.at, arrival.offset)) }
                }
            }
        }
        @if let (Some(all), Some(above)) = (flight.endurance, flight.above_reserve) {
            p { "Endurance " (hours(all, Round::Down)) ", to the final reserve " (hours(above, Round::Down)) }
        }
    }
}

fn people(view: &View<'_>) -> Markup {
    let (stage, choice, units) = (view.stage, view.choice, view.units);
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
                    ", "
                    @match &person.mass {
                        Ok(mass) => { (units.mass(*mass, Round::Up)) " with what belongs to it" },
                        Err(why) => { "mass unknown: " (why) },
                    }
                }
            }
        }
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
