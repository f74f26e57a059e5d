//! Who and what leaves on the way: every leg is judged with the load of that leg. Invented data.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    dead_code,
    reason = "clippy spares test functions but not their helpers; other tests use the rest of `demo`"
)]

mod demo;

use proptest::prelude::*;
use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit::KG,
};
use stillprop_rules::{
    builtin,
    document::{At, Given},
};
use stillprop_turnaround::{
    assess::{Assessment, assess},
    document::turnaround::Turnaround,
    limits::Verdict,
    stage::{Choice, Stage, prepare},
    units::Units,
};

fn at<T>(value: T) -> At<T> {
    At { value, at: 0..0 }
}

/// The ready demonstration, two legs, with its turnaround changed.
fn changed(change: impl FnOnce(&mut Turnaround)) -> (Stage, Choice) {
    let mut documents = demo::documents(&demo::texts("ready"));
    let turnaround = &mut documents.turnaround;
    turnaround.people.iter_mut().for_each(|person| person.to = None);
    turnaround.items.iter_mut().for_each(|item| item.to = None);
    change(turnaround);
    prepare(documents, &builtin::rules("demo-operator+au").unwrap())
}

fn judged(of: &(Stage, Choice)) -> Assessment {
    assess(&of.0, &of.1, &Units::METRIC)
}

/// The share left of a limit; `None` when it has no number.
fn share(of: &Assessment, id: &str) -> Option<f64> {
    let limit = of.limits.iter().find(|limit| limit.id == id);
    limit.unwrap_or_else(|| panic!("no limit {id}")).measure.map(|measure| measure.share())
}

fn value(of: &Assessment, id: &str) -> f64 {
    let limit = of.limits.iter().find(|limit| limit.id == id).unwrap();
    limit.measure.unwrap().value.si
}

const LANDINGS: [&str; 2] = ["load.landing-mass.Oumbrel", "load.landing-mass.Taskel-Bend"];

#[test]
fn whoever_left_is_weighed_up_to_that_landing_and_not_after_it() {
    let all = judged(&changed(|_| {}));
    let left = changed(|turnaround| turnaround.people[2].to = Some(at("Oumbrel".into())));
    let mass = left.0.people[2].mass.clone().unwrap();
    assert!((mass.si() - 74.0).abs() < 1e-9);
    let left = judged(&left);
    for same in [LANDINGS[0], "load.take-off-mass", "load.zero-fuel-mass", "load.ramp-mass"] {
        assert!((value(&all, same) - value(&left, same)).abs() < 1e-9, "{same}");
    }
    assert!((value(&all, LANDINGS[1]) - value(&left, LANDINGS[1]) - 74.0).abs() < 1e-9);
    let lightest = "load.envelope-least-mass";
    assert!((value(&all, lightest) - value(&left, lightest) - 74.0).abs() < 1e-9);
    // The strip of the last landing is judged with that mass too; a shorter landing roll.
    let strip = "strip.landing-distance.Taskel-Bend";
    assert!(share(&all, strip) <= share(&left, strip));
}

#[test]
fn an_item_that_leaves_is_no_longer_there() {
    let all = judged(&changed(|_| {}));
    let left = judged(&changed(|turnaround| turnaround.items[0].to = Some(at("Oumbrel".into()))));
    assert!((value(&all, LANDINGS[1]) - value(&left, LANDINGS[1]) - 52.0).abs() < 1e-9);
}

/// Moment about the datum over mass, from the documents alone, with everybody of the last leg
/// and all of `fuel` \[kg\] in the tanks, given by tank.
fn arm_by_hand(stage: &Stage, choice: &Choice, fuel: &[f64]) -> f64 {
    let aircraft = &stage.documents.aircraft;
    let turnaround = &stage.documents.turnaround;
    let mut mass = aircraft.empty.mass.value.si();
    let mut moment = mass * aircraft.empty.arm.value.si();
    for (index, person) in turnaround.people.iter().enumerate() {
        if person.to.is_none() {
            let of = stage.people[index].mass.as_ref().unwrap().si();
            let arm = stage.places[choice.seat_of[index].unwrap()].arm.si();
            (mass, moment) = (mass + of, moment + of * arm);
        }
    }
    for (index, item) in turnaround.items.iter().enumerate() {
        if item.to.is_none() {
            let of = item.mass.as_ref().unwrap().value.si();
            let arm = stage.places[choice.place_of[index]].arm.si();
            (mass, moment) = (mass + of, moment + of * arm);
        }
    }
    for (of, tank) in fuel.iter().zip(&stage.burn_tanks) {
        mass += of;
        moment += tank.arm.moment(Mass::from_si(*of)).value;
    }
    moment / mass
}

#[test]
fn balance_is_judged_with_the_load_that_is_left() {
    // A heavy tail that whoever sits in front holds up, until they leave.
    let heavy = |to: bool| {
        changed(move |turnaround| {
            let aft = turnaround.items.iter_mut().find(|it| it.place.value == "aft locker");
            let item = aft.unwrap();
            item.mass = Some(Given { value: Mass::of(130.0, KG), unit: KG, at: 0..0 });
            for person in turnaround.people.iter_mut().skip(1).take(1) {
                person.to = to.then(|| at("Oumbrel".into()));
            }
        })
    };
    let (stays, leaves) = (heavy(false), heavy(true));
    let before = share(&judged(&stays), "load.cg-aft").unwrap();
    let answer = judged(&leaves);
    let after = share(&answer, "load.cg-aft").unwrap();
    assert!(after < before, "{after} {before}");
    let limit = answer.limits.iter().find(|limit| limit.id == "load.cg-aft").unwrap();
    assert!(limit.words.stands.contains("on the leg to Taskel Bend"), "{}", limit.words.stands);
    // The worst point of that leg, by hand: at empty tanks or full, whichever is farther aft.
    let empty = arm_by_hand(&leaves.0, &leaves.1, &vec![0.0; leaves.0.tanks.len()]);
    let worst = limit.measure.unwrap().value.si;
    assert!(worst >= empty - 1e-9, "{worst} {empty}");
    let states = answer.states.as_ref().unwrap();
    let state = |name: &str| states.iter().find(|state| state.name == name).unwrap();
    assert!((state("zero fuel to Taskel Bend").arm.si() - empty).abs() < 1e-9);
    let (landing, leaving) = (state("landing Oumbrel"), state("leaving Oumbrel"));
    assert_eq!(landing.fuel, leaving.fuel);
    let gone: f64 = leaves.0.people[1..2].iter().map(|one| one.mass.as_ref().unwrap().si()).sum();
    assert!(((landing.mass - leaving.mass).si() - gone).abs() < 1e-9);
    assert!(leaving.arm > landing.arm, "whoever sat in front left");
    // At the last landing the flight is over.
    assert!(!states.iter().any(|state| state.name == "leaving Taskel Bend"));
}

#[test]
fn a_pilot_who_leaves_leaves_a_leg_without_one() {
    let answer =
        judged(&changed(|turnaround| turnaround.people[0].to = Some(at("Oumbrel".into()))));
    let limit = answer.limits.iter().find(|limit| limit.id == "people.pilot").unwrap();
    assert_eq!(limit.verdict, Verdict::Breaks);
    assert_eq!(limit.words.stands, "nobody on the leg to Taskel Bend");
}

#[test]
fn an_infant_whose_holder_leaves_first_has_no_place() {
    let held = |to: bool| {
        judged(&changed(|turnaround| {
            let holder = turnaround.people[3].name.value.clone();
            turnaround.people[4].seat = None;
            turnaround.people[4].held_by = Some(at(holder));
            turnaround.people[3].to = to.then(|| at("Oumbrel".into()));
        }))
    };
    let verdict = |answer: &Assessment| {
        answer.limits.iter().find(|limit| limit.id == "people.seats").unwrap().verdict
    };
    assert_eq!(verdict(&held(false)), Verdict::Holds);
    assert_eq!(verdict(&held(true)), Verdict::Breaks);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// The first leg is flown with everybody, so leaving makes no balance better and no landing
    /// heavier, whoever it is.
    #[test]
    fn leaving_makes_no_balance_better_and_no_landing_heavier(
        people in prop::collection::vec(any::<bool>(), 4),
        items in prop::collection::vec(any::<bool>(), 2),
    ) {
        let all = judged(&changed(|_| {}));
        let left = judged(&changed(|turnaround| {
            for (person, leaves) in turnaround.people.iter_mut().skip(1).zip(&people) {
                person.to = leaves.then(|| at("Oumbrel".into()));
            }
            for (item, leaves) in turnaround.items.iter_mut().zip(&items) {
                item.to = leaves.then(|| at("Oumbrel".into()));
            }
        }));
        for id in ["load.cg-forward", "load.cg-aft", "load.cg-lateral"] {
            if all.limits.iter().any(|limit| limit.id == id) {
                prop_assert!(share(&left, id) <= share(&all, id), "{}", id);
            }
        }
        for id in LANDINGS {
            prop_assert!(value(&left, id) <= value(&all, id) + 1e-9);
        }
        let names = |of: &Assessment| {
            let mut names: Vec<String> = of.limits.iter().map(|limit| limit.id.clone()).collect();
            names.sort();
            names
        };
        prop_assert_eq!(names(&left), names(&all), "limits do not come and go");
    }
}
