//! The fit of the demonstration turnarounds, from documents to a choice that is assessed again.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use demo::stage;
use stillprop_calc::{
    quantity::{FromAmount, Mass, Volume},
    unit,
};
use stillprop_plan::{
    budget::Budget,
    fit::{Answer, Asked, FuelMay, Proof, Question, arranged, ask, fit, offer_ballast, possible},
};
use stillprop_turnaround::stage::{Choice, Stage};

fn question(fuel: FuelMay) -> Question {
    Question {
        fuel,
        step: Volume::of(1.0, unit::L),
        seated: Vec::new(),
        fixed: Vec::new(),
        together: Vec::new(),
        not_at_exit: Vec::new(),
        reachable: Vec::new(),
        out_of_reach: Vec::new(),
    }
}

fn answered(asked: &Asked) -> Answer {
    fit(&asked.case, &mut Budget::new(1 << 24, &mut || false))
}

/// What is found is what the full assessment finds.
fn confirmed(stage: &Stage, choice: &Choice, asked: &Asked) -> Choice {
    let Answer::Fits(found, Proof::Best) = answered(asked) else {
        panic!("{stage:?} does not fit")
    };
    let after = arranged(asked, choice, &found);
    let again = asked.margin(stage, &after).expect("every limit of the question holds");
    assert!((again - found.margin).abs() < 1e-9, "{stage:?}: {again} against {}", found.margin);
    // What is planned in gallons is no whole number of litres: then it was not among the choices.
    let whole = asked.case.fills.iter().all(|fill| fill.now.is_some());
    if let Some(before) = asked.margin(stage, choice).filter(|_| whole) {
        assert!(found.margin > before - 1e-4, "{stage:?} was better before: {before}");
    }
    after
}

#[test]
fn balance_broken_in_mid_burn_is_mended_by_moving_one_thing() {
    let (stage, choice) = stage("mid-burn");
    let asked = ask(&stage, &choice, &question(FuelMay::Stay)).unwrap();
    assert_eq!(asked.margin(&stage, &choice), None, "it is broken as it is");
    let after = confirmed(&stage, &choice, &asked);
    let moved = |(a, b): (&usize, &usize)| a != b;
    assert!(
        choice.place_of.iter().zip(&after.place_of).any(moved) || choice.seat_of != after.seat_of
    );
    assert_eq!(choice.fuel, after.fuel);
}

#[test]
fn whatever_is_found_holds_in_the_full_assessment() {
    for name in ["ready", "over-mass", "mid-burn", "last-light", "crowded-apron", "hand-start"] {
        let (stage, choice) = stage(name);
        for fuel in [FuelMay::Stay, FuelMay::Change] {
            let asked = ask(&stage, &choice, &question(fuel)).unwrap();
            if name == "over-mass" && fuel == FuelMay::Stay {
                assert!(matches!(answered(&asked), Answer::NothingFits(_)));
            } else {
                confirmed(&stage, &choice, &asked);
            }
        }
    }
}

#[test]
fn a_conflict_names_limits_and_wishes_of_which_none_can_be_spared() {
    let (stage, choice) = stage("mid-burn");
    let mut question = question(FuelMay::Stay);
    question.seated = (0..stage.people.len()).collect();
    question.fixed = (0..stage.items.len()).collect();
    let asked = ask(&stage, &choice, &question).unwrap();
    let Answer::NothingFits(set) = answered(&asked) else { panic!("nothing may move") };
    let names: Vec<String> = set.iter().map(|limit| asked.name(*limit)).collect();
    assert!(names.iter().any(|name| name == "load.cg-aft"), "{names:?}");
    let all = asked.case.limits();
    for left_out in &set {
        let kept: Vec<bool> =
            all.iter().map(|limit| set.contains(limit) && limit != left_out).collect();
        let mut idle = || false;
        let mut budget = Budget::new(1 << 24, &mut idle);
        assert_eq!(possible(&asked.case, &kept, &mut budget), Some(true), "{names:?}");
    }
}

#[test]
fn ballast_is_left_here_unless_it_helps() {
    let (mut stage, choice) = stage("ready");
    offer_ballast(&mut stage, Mass::from_si(10.0), 2);
    let asked = ask(&stage, &choice, &question(FuelMay::Stay)).unwrap();
    assert_eq!(asked.case.most_pieces(), 2);
    let after = confirmed(&stage, &choice, &asked);
    assert_eq!(after.place_of.len(), choice.place_of.len());
}

#[test]
fn a_search_that_is_stopped_says_so() {
    let (stage, choice) = stage("mid-burn");
    let asked = ask(&stage, &choice, &question(FuelMay::Change)).unwrap();
    let none = fit(&asked.case, &mut Budget::new(3, &mut || false));
    assert_eq!(none, Answer::NotKnown);
    let mut stopped = 0;
    for steps in (100..20_000).step_by(100) {
        match fit(&asked.case, &mut Budget::new(steps, &mut || false)) {
            Answer::Fits(found, Proof::SoFar(bound)) => {
                assert!(found.margin <= bound + 1e-9);
                stopped += 1;
            }
            Answer::Fits(_, Proof::Margin) | Answer::NotKnown => stopped += 1,
            Answer::Fits(_, Proof::Best) => break,
            Answer::NothingFits(_) => panic!("it fits"),
        }
    }
    assert!(stopped > 0);
}

#[test]
fn what_is_not_known_is_no_question() {
    let (stage, choice) = stage("missing");
    assert!(ask(&stage, &choice, &question(FuelMay::Stay)).is_err());
}
