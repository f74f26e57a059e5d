//! Made-up cases of the planners as JSON, each with our answer and how long it took, for the
//! comparison with a solver in `tests/live`.
//!
//! `plan_cases fit COUNT SEATS`, `plan_cases uplift COUNT STOPS DRUMS`

#![allow(clippy::panic, clippy::disallowed_methods, reason = "a tool for tests, which measures")]

#[path = "../tests/cases/mod.rs"]
mod cases;

use std::time::Instant;

use cases::{
    fit::{Made, large},
    uplift::large as large_trip,
};
use stillprop_plan::{
    budget::Budget,
    fit::{Answer, Proof, Wish, fit},
    uplift::{self, uplift},
};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize| arguments.get(at).and_then(|text| text.parse::<u64>().ok());
    let count = number(1).unwrap_or(200);
    for case in 0..count {
        match arguments.first().map(String::as_str) {
            Some("fit") => fit_case(case, number(2).unwrap_or(9) as usize),
            Some("uplift") => {
                uplift_case(
                    case,
                    number(2).unwrap_or(8) as usize,
                    number(3).unwrap_or(30) as usize,
                );
            }
            _ => return eprintln!("plan_cases fit COUNT SEATS | uplift COUNT STOPS DRUMS"),
        }
    }
}

/// The answer, and the median time of several runs in milliseconds.
fn timed<T>(mut run: impl FnMut() -> T) -> (T, f64) {
    let mut times = Vec::new();
    let start = Instant::now();
    loop {
        let begun = Instant::now();
        let answer = run();
        times.push(begun.elapsed().as_secs_f64() * 1e3);
        if times.len() >= 5 || start.elapsed().as_secs_f64() > 0.5 {
            times.sort_by(f64::total_cmp);
            return (answer, times[times.len() / 2]);
        }
    }
}

fn json<T: std::fmt::Debug>(value: Option<T>) -> String {
    value.map_or_else(|| "null".into(), |value| format!("{value:?}"))
}

fn list(all: impl Iterator<Item = String>) -> String {
    format!("[{}]", all.collect::<Vec<_>>().join(","))
}

fn fit_case(number: u64, seats: usize) {
    let Made { case, masses, tanks, corners } = large(number, seats);
    let (answer, ms) = timed(|| fit(&case, &mut Budget::new(1 << 22, &mut || false)));
    let ours = match answer {
        Answer::Fits(found, proof) => format!(
            "{{\"margin\":{:?},\"changes\":{},\"proved\":{},\"ms\":{ms:?}}}",
            found.margin,
            found.changes,
            proof == Proof::Best
        ),
        Answer::NothingFits(set) => format!("{{\"conflict\":{},\"ms\":{ms:?}}}", set.len()),
        Answer::NotKnown => format!("{{\"unknown\":true,\"ms\":{ms:?}}}"),
    };
    let within = case.wishes.iter().filter_map(|wish| match wish {
        Wish::Within { thing, places } => Some(format!("[{thing},{places}]")),
        Wish::Together(..) => None,
    });
    let together = case.wishes.iter().filter_map(|wish| match wish {
        Wish::Together(a, b) => Some(format!("[{a},{b}]")),
        Wish::Within { .. } => None,
    });
    let places = case.places.iter().zip(&case.most).zip(case.moved_places()).map(
        |((place, most), moved)| {
            let (arm, lateral, most) = (place.arm, place.lateral, json(*most));
            format!("[{arm:?},{lateral:?},{},{},{most},{moved}]", place.seats, place.row)
        },
    );
    let things = case.things.iter().map(|thing| {
        let (mass, now) = (thing.mass, json(thing.now));
        format!("[{mass:?},{},{},{now}]", thing.seated, thing.places)
    });
    let fills = case.fills.iter().zip(&tanks).map(|(fill, (arm, lateral, _))| {
        let (base, step, most, usable) = (fill.base, fill.step, fill.most, fill.usable);
        let (now, side) = (json(fill.now), fill.side);
        format!("[{arm:?},{lateral:?},{base:?},{step:?},{most},{now},{usable:?},{side}]")
    });
    let empty = &case.empty;
    println!(
        "{{\"number\":{number},\"empty\":[{:?},{:?},{:?}],\"places\":{},\"things\":{},\"within\":{},\
         \"together\":{},\"tanks\":{},\"taxi\":{:?},\"masses\":[{:?},{:?},{:?},{:?},{:?},{:?}],\
         \"corners\":{},\"lateral\":{},\"imbalance\":{},\"ours\":{ours}}}",
        empty.mass.value,
        empty.moment.value,
        empty.lateral_moment.value,
        list(places),
        list(things),
        list(within),
        list(together),
        list(fills),
        case.taxi,
        masses.ramp,
        masses.take_off,
        masses.landing,
        masses.used,
        masses.zero_fuel,
        masses.required,
        list(corners.iter().map(|(arm, mass)| format!("[{arm:?},{mass:?}]"))),
        json(case.lateral),
        json(case.imbalance),
    );
}

fn uplift_case(number: u64, stops: usize, drums: usize) {
    let trip = large_trip(number, stops, drums);
    let (answer, ms) = timed(|| uplift(&trip, &mut Budget::new(u64::MAX, &mut || false)));
    let ours = match answer {
        uplift::Answer::Best(best) => format!(
            "{{\"cost\":{},\"parts\":{},\"step_days\":{},\"ms\":{ms:?}}}",
            best.cost, best.parts, best.step_days
        ),
        uplift::Answer::Nothing(set) => format!("{{\"conflict\":{},\"ms\":{ms:?}}}", set.len()),
        uplift::Answer::NotKnown => format!("{{\"unknown\":true,\"ms\":{ms:?}}}"),
    };
    let stops = trip.stops.iter().map(|stop| {
        let sources = stop.sources.iter().map(|from| {
            let (age, most) = (from.age, json(from.most_age));
            let (open, step) = (from.to_open, from.per_step);
            format!("[{},{},{open},{step},{age},{most},{}]", from.drum, from.holds, from.whole)
        });
        format!(
            "[{:?},{:?},{:?},{:?},{:?},{:?},{}]",
            stop.zero_fuel,
            stop.most_mass,
            stop.most_landing,
            stop.required,
            stop.burn,
            stop.reserve,
            list(sources)
        )
    });
    println!(
        "{{\"number\":{number},\"aboard\":{:?},\"capacity\":{:?},\"density\":{:?},\"step\":{:?},\
         \"stops\":{},\"ours\":{ours}}}",
        trip.aboard,
        trip.capacity,
        trip.density,
        trip.step,
        list(stops)
    );
}
