//! The trip uplift against trying every draw.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

mod cases;

use std::cmp::Reverse;

use cases::uplift::{by_states, small};
use stillprop_plan::{
    budget::Budget,
    uplift::{Answer, Case, Leads, NOWHERE, Trip, Uplift, can_keep, possible, solve, uplift},
};

/// Cost, part-drums, age: the least is the best.
type Worth = (u64, u64, Reverse<u64>);

fn answered(trip: &Trip) -> Answer {
    uplift(trip, &mut Budget::new(u64::MAX, &mut || false))
}

/// Every draw at every stop, flown one after the other.
fn tried(trip: &Trip) -> Option<Worth> {
    let mut best = None;
    flown(trip, 0, trip.aboard, (0, 0, 0), &mut best);
    best
}

fn flown(trip: &Trip, at: usize, aboard: f64, so_far: (u64, u64, u64), best: &mut Option<Worth>) {
    let Some(stop) = trip.stops.get(at) else {
        let worth = (so_far.0, so_far.1, Reverse(so_far.2));
        *best = Some(best.map_or(worth, |best| best.min(worth)));
        return;
    };
    let mut drawn = vec![0; stop.sources.len()];
    loop {
        let steps: u32 = drawn.iter().sum();
        let out = aboard + trip.step * f64::from(steps);
        let landing = out - stop.burn;
        let mass = |fuel: f64| stop.zero_fuel + fuel * trip.density;
        let holds = out >= stop.required - 1e-9
            && out <= trip.capacity + 1e-9
            && landing >= stop.reserve - 1e-9
            && mass(out) <= stop.most_mass + 1e-6
            && mass(landing) <= stop.most_landing + 1e-6;
        if holds {
            let mut with = so_far;
            for (source, n) in stop.sources.iter().zip(&drawn).filter(|(_, n)| **n > 0) {
                with.0 += u64::from(source.to_open) + u64::from(source.per_step * n);
                with.1 += u64::from(source.drum && *n < source.holds);
                with.2 += u64::from(source.age * n);
            }
            flown(trip, at + 1, landing, with, best);
        }
        if !counted_up(&mut drawn, &stop.sources) {
            return;
        }
    }
}

fn counted_up(drawn: &mut [u32], sources: &[stillprop_plan::uplift::Source]) -> bool {
    for (n, source) in drawn.iter_mut().zip(sources) {
        let old = source.most_age.is_some_and(|most| source.age > most);
        if !old && *n < source.holds {
            *n = if source.whole { source.holds } else { *n + 1 };
            return true;
        }
        *n = 0;
    }
    false
}

fn worth(found: &Uplift) -> Worth {
    (found.cost, found.parts, Reverse(found.step_days))
}

#[test]
fn two_thousand_small_trips_have_the_answer_of_trying_everything() {
    let (mut found, mut parts, mut none) = (0, 0, 0);
    for number in 0..2000 {
        let trip = small(number);
        match (answered(&trip), tried(&trip)) {
            (Answer::Best(best), Some(want)) => {
                assert_eq!(worth(&best), want, "trip {number}: {best:?}");
                found += 1;
                parts += usize::from(best.parts > 0);
            }
            (Answer::Nothing(_), None) => none += 1,
            (got, want) => panic!("trip {number}: {got:?} against {want:?}"),
        }
    }
    println!("{found} found, {parts} with part-drums, {none} without an answer");
    assert!(found > 500 && parts > 200 && none > 200, "{found} {parts} {none}");
}

#[test]
fn each_limit_of_a_conflict_is_needed_for_it() {
    let (mut conflicts, mut of_several) = (0, 0);
    for number in 0.. {
        let trip = small(50_000 + number);
        let Answer::Nothing(set) = answered(&trip) else { continue };
        cases::each_is_needed(&format!("trip {number}"), &set, &trip.limits(), |kept| {
            possible(&trip, kept, &mut Budget::new(u64::MAX, &mut || false)).expect("an answer")
        });
        conflicts += 1;
        of_several += usize::from(set.len() > 1);
        if conflicts == 500 {
            break;
        }
    }
    println!("{of_several} of {conflicts} conflicts have several limits");
    assert!(of_several > 100, "{of_several}");
}

/// Every draw at every stop of a day by states, from state to state.
fn tried_by_states(case: &Case) -> Option<Worth> {
    let mut best = None;
    led(case, 0, 0, (0, 0, 0), &mut best);
    best
}

fn led(case: &Case, at: usize, from: usize, so_far: (u64, u64, u64), best: &mut Option<Worth>) {
    let Some(stop) = case.stops.get(at) else {
        let worth = (so_far.0, so_far.1, Reverse(so_far.2));
        *best = Some(best.map_or(worth, |best| best.min(worth)));
        return;
    };
    let Leads::Table(rows) = &stop.leads else { panic!("rows") };
    let mut drawn = vec![0; stop.sources.len()];
    loop {
        let steps: u32 = drawn.iter().sum();
        let to = rows[from][steps as usize];
        let holds = to != NOWHERE
            && stop.open[to as usize]
            && stop.keeps.iter().all(|(_, keeps)| keeps[to as usize]);
        if holds {
            let mut with = so_far;
            for (source, n) in stop.sources.iter().zip(&drawn).filter(|(_, n)| **n > 0) {
                with.0 += u64::from(source.to_open) + u64::from(source.per_step * n);
                with.1 += u64::from(source.drum && *n < source.holds);
                with.2 += u64::from(source.age * n);
            }
            led(case, at + 1, to as usize, with, best);
        }
        if !counted_up(&mut drawn, &stop.sources) {
            return;
        }
    }
}

/// What was chosen leads to the states that it names, through states that keep every limit.
fn leads_there(case: &Case, found: &Uplift) {
    let mut from = 0;
    for (at, (stop, state)) in case.stops.iter().zip(&found.states).enumerate() {
        let Leads::Table(rows) = &stop.leads else { panic!("rows") };
        let taken = found.draws.iter().filter(|draw| draw.stop == at);
        let steps: u32 = taken.map(|draw| draw.steps).sum();
        assert_eq!(rows[from][steps as usize] as usize, *state);
        assert!(stop.open[*state] && stop.keeps.iter().all(|(_, keeps)| keeps[*state]));
        from = *state;
    }
}

#[test]
fn two_thousand_days_with_gaps_in_their_limits_have_the_answer_of_trying_everything() {
    let (mut found, mut none) = (0, 0);
    for number in 0..2000 {
        let case = by_states(number);
        match (solve(&case, &mut Budget::new(u64::MAX, &mut || false)), tried_by_states(&case)) {
            (Answer::Best(best), Some(want)) => {
                assert_eq!(worth(&best), want, "day {number}: {best:?}");
                leads_there(&case, &best);
                found += 1;
            }
            (Answer::Nothing(_), None) => none += 1,
            (got, want) => panic!("day {number}: {got:?} against {want:?}"),
        }
    }
    println!("{found} found, {none} without an answer");
    assert!(found > 500 && none > 200, "{found} {none}");
}

#[test]
fn each_limit_of_a_conflict_with_gaps_is_needed_for_it() {
    let (mut conflicts, mut of_several) = (0, 0);
    for number in 0.. {
        let case = by_states(50_000 + number);
        let answer = solve(&case, &mut Budget::new(u64::MAX, &mut || false));
        let Answer::Nothing(set) = answer else { continue };
        let all: Vec<usize> = (0..case.limits).collect();
        let possible = |kept: &[bool]| {
            can_keep(&case, kept, &mut Budget::new(u64::MAX, &mut || false)).expect("an answer")
        };
        if set.is_empty() {
            assert!(!possible(&vec![false; case.limits]), "day {number}");
        } else {
            cases::each_is_needed(&format!("day {number}"), &set, &all, possible);
        }
        conflicts += 1;
        of_several += usize::from(set.len() > 1);
        if conflicts == 500 {
            break;
        }
    }
    println!("{of_several} of {conflicts} conflicts have several limits");
    assert!(of_several > 50, "{of_several}");
}

#[test]
fn who_stops_a_search_gets_no_answer() {
    let case = by_states(1);
    assert_eq!(solve(&case, &mut Budget::new(1, &mut || false)), Answer::NotKnown);
}
