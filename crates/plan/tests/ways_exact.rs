//! The ways out of small stops against trying every change of each kind, each assessed in full.
//!
//! The changes are worked into the documents here, not by the search. Kinds that need a place on
//! the ground, a yard or a second leg are left to `ways_out.rs`.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

mod cases;
#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use cases::{
    many,
    stop::{RULES, STEP, given, judged, named, small},
};
use jiff::SignedDuration;
use stillprop_calc::{
    quantity::{FromAmount, Mass, Volume},
    unit,
};
use stillprop_plan::ways_out::{Burden, Kind, WaysOut, ways_out};
use stillprop_turnaround::{
    document::turnaround::Role,
    limits::Verdict,
    stage::{Documents, Stage, prepare, prepare_again},
    units::Units,
};

/// A stop, and what is unknown of it.
struct Stop {
    documents: Documents,
    stage: Stage,
    unknown: Vec<String>,
    judged: std::cell::Cell<u64>,
}

impl Stop {
    fn of(documents: Documents) -> Self {
        let (stage, choice) = prepare(documents.clone(), &RULES);
        let unknown = judged(&stage, &choice)
            .into_iter()
            .filter(|(_, verdict, _)| *verdict == Verdict::Unknown)
            .map(|(name, ..)| name)
            .collect();
        Self { documents, stage, unknown, judged: 0.into() }
    }

    /// The smallest share of a margin when changed documents hold; what was unknown may stay so.
    fn mends(&self, change: impl FnOnce(&mut Documents)) -> Option<f64> {
        self.judged.set(self.judged.get() + 1);
        let mut documents = self.documents.clone();
        change(&mut documents);
        let (stage, choice) = prepare_again(documents, &RULES, &self.stage);
        let mut least = f64::INFINITY;
        for (name, verdict, share) in judged(&stage, &choice) {
            let fine = match verdict {
                Verdict::Holds => true,
                Verdict::Unknown => self.unknown.contains(&name),
                Verdict::Breaks => false,
            };
            if !fine {
                return None;
            }
            least = least.min(share);
        }
        Some(least)
    }

    /// Take-off, coming back and landing in every combination; the fewest that change.
    fn directions(&self) -> Option<Burden> {
        let here: Vec<&str> =
            self.documents.strip.directions.iter().map(|way| way.name.value.as_str()).collect();
        let there = &self.documents.legs[0].as_ref().unwrap().directions;
        let turnaround = &self.documents.turnaround;
        let mut fewest = None;
        for off in &here {
            for back in &here {
                for land in there.iter().map(|way| way.name.value.as_str()) {
                    let changes = usize::from(*off != turnaround.take_off.value)
                        + usize::from(
                            turnaround.back_here.as_ref().is_none_or(|b| b.value != *back),
                        )
                        + usize::from(
                            turnaround.legs[0].landing.as_ref().is_none_or(|l| l.value != land),
                        );
                    let changed = |documents: &mut Documents| {
                        documents.turnaround.take_off = named(off);
                        documents.turnaround.back_here = Some(named(back));
                        documents.turnaround.legs[0].landing = Some(named(land));
                    };
                    if changes > 0
                        && fewest.is_none_or(|few| changes < few)
                        && self.mends(changed).is_some()
                    {
                        fewest = Some(changes);
                    }
                }
            }
        }
        fewest.map(|few| Burden { directions: few as f64, ..Burden::default() })
    }

    /// Every arrangement in which one or two people or items are elsewhere: the fewest, and the
    /// widest smallest margin of those.
    fn seats(&self) -> Option<(Burden, f64)> {
        let seats: Vec<&str> =
            self.documents.aircraft.seats.iter().map(|seat| seat.label.value.as_str()).collect();
        let mut places = seats.clone();
        places.push(&self.documents.aircraft.lockers[0].label.value);
        let turnaround = &self.documents.turnaround;
        let people = turnaround.people.len();
        let now: Vec<&str> = turnaround
            .people
            .iter()
            .map(|person| person.seat.as_ref().unwrap().value.as_str())
            .chain(turnaround.items.iter().map(|item| item.place.value.as_str()))
            .collect();
        let mut best: Option<(usize, f64)> = None;
        let mut at = vec![0; now.len()];
        loop {
            let there: Vec<&str> = at.iter().map(|p| places[*p]).collect();
            let moved = there.iter().zip(&now).filter(|(a, b)| a != b).count();
            let sits = |place: &str| there[..people].contains(&place);
            let fine = there[..people]
                .iter()
                .enumerate()
                .all(|(n, seat)| seats.contains(seat) && !there[..n].contains(seat))
                && there[people..].iter().all(|place| !sits(place));
            if fine && (1..=2).contains(&moved) && best.is_none_or(|(few, _)| moved <= few) {
                let share = self.mends(|documents| {
                    for (person, seat) in documents.turnaround.people.iter_mut().zip(&there) {
                        person.seat = Some(named(seat));
                    }
                    for (item, place) in documents.turnaround.items.iter_mut().zip(&there[people..])
                    {
                        item.place = named(place);
                    }
                });
                let better = |share: f64| {
                    best.is_none_or(|(few, wide)| moved < few || moved == few && share > wide)
                };
                if let Some(share) = share.filter(|share| better(*share)) {
                    best = Some((moved, share));
                }
            }
            let Some(next) = at.iter().position(|p| *p + 1 < places.len()) else { break };
            at[next] += 1;
            at[..next].fill(0);
        }
        best.map(|(few, share)| (Burden { moves: few as f64, ..Burden::default() }, share))
    }

    /// Whole steps less, or whole steps more, in every tank: the fewest of all tanks together.
    fn fuel(&self) -> Option<Burden> {
        let tanks = &self.documents.turnaround.fuel.tanks;
        let litres = |tank: usize| {
            let tank = &tanks[tank];
            let count = |given: &Option<stillprop_rules::document::Given<Volume>>| {
                given.as_ref().unwrap().value.count(unit::L)
            };
            (count(&tank.on_board), count(&tank.uplift))
        };
        let usable = |tank: usize| self.documents.aircraft.tanks[tank].usable.value.count(unit::L);
        let mut fewest: Option<i64> = None;
        for sign in [-1_i64, 1] {
            let room = |tank: usize| {
                let (aboard, up) = litres(tank);
                let room = if sign < 0 { up } else { usable(tank) - aboard - up };
                (room / STEP + 1e-9).floor() as i64
            };
            for left in 0..=room(0) {
                for right in 0..=room(1) {
                    let count = left + right;
                    if count == 0 || fewest.is_some_and(|few| few <= count) {
                        continue;
                    }
                    let mends = self.mends(|documents| {
                        for (tank, steps) in [left, right].into_iter().enumerate() {
                            let up = litres(tank).1 + (sign * steps) as f64 * STEP;
                            documents.turnaround.fuel.tanks[tank].uplift =
                                Some(given(Volume::of(up, unit::L), unit::L));
                        }
                    });
                    fewest = if mends.is_some() { Some(count) } else { fewest };
                }
            }
        }
        fewest.map(|few| Burden { litres: few as f64 * STEP, ..Burden::default() })
    }

    /// Whole kilograms of one item; where no single item will do, every set of whole items.
    fn leave(&self) -> Option<Burden> {
        let items = &self.documents.turnaround.items;
        let mass = |item: usize| items[item].mass.as_ref().unwrap().value.value;
        let mut least: Option<f64> = None;
        let better = |least: Option<f64>, kg: f64| least.is_none_or(|least| kg < least);
        for item in 0..items.len() {
            for kg in (1..).map(f64::from).take_while(|kg| *kg <= mass(item)) {
                if !better(least, kg) {
                    break;
                }
                let mends = self.mends(|documents| {
                    if kg < mass(item) {
                        documents.turnaround.items[item].mass =
                            Some(given(Mass::from_si(mass(item) - kg), unit::KG));
                    } else {
                        documents.turnaround.items.remove(item);
                    }
                });
                least = if mends.is_some() { Some(kg) } else { least };
            }
        }
        if least.is_none() {
            for set in 1..1_usize << items.len() {
                let members = || (0..items.len()).filter(|item| set >> item & 1 == 1);
                let kg: f64 = members().map(mass).sum();
                let mends = self.mends(|documents| {
                    members().rev().for_each(|item| {
                        documents.turnaround.items.remove(item);
                    });
                });
                least = if mends.is_some() && better(least, kg) { Some(kg) } else { least };
            }
        }
        least.map(|kilograms| Burden { kilograms, ..Burden::default() })
    }

    /// Every passenger.
    fn leave_person(&self) -> Option<Burden> {
        let people = &self.documents.turnaround.people;
        let passengers = (0..people.len()).filter(|person| people[*person].role == Role::Passenger);
        let mending = passengers.filter(|person| {
            self.mends(|documents| drop(documents.turnaround.people.remove(*person))).is_some()
        });
        let mass = mending.map(|person| people[person].mass.as_ref().unwrap().value.value);
        let kilograms = mass.min_by(f64::total_cmp)?;
        Some(Burden { people: 1.0, kilograms, ..Burden::default() })
    }

    /// Chocks off at another time, in the same weather.
    fn at(&self, minutes: i64) -> bool {
        let by = SignedDuration::from_mins(minutes);
        self.mends(|documents| documents.turnaround.departs.instant += by).is_some()
    }
}

fn same(a: Burden, b: Burden) -> bool {
    (a.cost() - b.cost()).abs() < 1e-6
        && (a.kilograms - b.kilograms).abs() < 1e-6
        && (a.litres - b.litres).abs() < 1e-6
}

/// What is offered of a kind is the smallest; what is not offered of it does not exist, or is beaten.
fn compare(number: u64, found: &WaysOut, kind: Kind, want: Option<Burden>) {
    let offered = found.ways.iter().find(|way| way.kind == kind);
    match (offered, want) {
        (Some(way), Some(want)) => {
            assert!(same(way.burden, want), "case {number}: {} against {want:?}", way.words);
        }
        (Some(way), None) => panic!("case {number}: {} does not mend", way.words),
        (None, Some(want)) => assert!(
            found.ways.iter().any(|way| way.burden.beats(&want) || same(way.burden, want)),
            "case {number}: {kind:?} {want:?} is missing"
        ),
        (None, None) => {}
    }
}

#[test]
fn two_thousand_small_stops_have_the_smallest_change_of_each_kind() {
    let base = demo::documents(&demo::texts("over-mass"));
    let mut kinds = [0_u32; 6];
    let (mut broken, mut mended, mut pairs, mut tried) = (0, 0, 0, 0);
    for number in 0..many() {
        let stop = Stop::of(small(number, &base));
        let found = ways_out(&stop.documents, &RULES, &Units::METRIC);
        if found.broken.is_empty() {
            assert!(found.ways.is_empty());
            continue;
        }
        broken += 1;
        let seats = stop.seats();
        let want = [
            (Kind::Direction, stop.directions()),
            (Kind::Seats, seats.map(|(burden, _)| burden)),
            (Kind::Fuel, stop.fuel()),
            (Kind::Leave, stop.leave()),
            (Kind::LeavePerson, stop.leave_person()),
        ];
        for (kind, burden) in want {
            compare(number, &found, kind, burden);
        }
        for (kinds, (_, burden)) in kinds.iter_mut().zip(&want) {
            *kinds += u32::from(burden.is_some());
        }
        for way in &found.ways {
            assert!(!found.ways.iter().any(|other| other.burden.beats(&way.burden)));
            if way.kind == Kind::Seats {
                let share = way.tightest.as_ref().unwrap().share().unwrap();
                let widest = seats.unwrap().1;
                assert!((share - widest).abs() < 1e-9, "case {number}: {share} {widest}");
            }
            if way.kind == Kind::Time {
                let minutes = way.burden.minutes.round() as i64;
                assert!(stop.at(minutes) || stop.at(-minutes), "case {number}");
                // Each nearer minute, but no more than an hour of them.
                for nearer in (0..minutes).rev().take(60) {
                    assert!(!stop.at(nearer) && !stop.at(-nearer), "case {number}: {nearer}");
                }
                kinds[5] += 1;
            }
            if way.kind == Kind::Pair {
                assert!(want.iter().all(|(_, burden)| burden.is_none()), "case {number}");
                pairs += 1;
            }
        }
        mended += u32::from(!found.ways.is_empty());
        tried += stop.judged.get();
    }
    println!("{broken} broke, {mended} mended, {pairs} pairs, kinds {kinds:?}, {tried} tried");
    // All kinds of answers must have come up.
    let cases = many() as u32;
    assert!(broken > cases / 3 && mended > cases / 6 && pairs > cases / 400);
    assert!(kinds.iter().all(|count| *count > cases / 1000), "{kinds:?}");
}
