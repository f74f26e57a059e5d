//! The fit against trying every arrangement, and its conflicts against leaving each limit out.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

mod cases;

use cases::fit::{Made, small};
use stillprop_calc::{
    burn::{self, fuel_after, lateral_extremes},
    load::Loading,
    quantity::{FromAmount, Length, Mass},
    trace::Silent,
};
use stillprop_plan::{
    budget::Budget,
    fit::{Answer, Case, Later, Proof, Wish, fit, possible},
};
use stillprop_turnaround::limits::{Measure, Verdict, load::balances};

fn answered(case: &Case) -> Answer {
    fit(case, &mut Budget::new(u64::MAX, &mut || false))
}

/// What an arrangement is worth: margin in hundredths, ballast, changes.
type Worth = (i64, std::cmp::Reverse<usize>, std::cmp::Reverse<usize>);

/// The best of every arrangement that holds, by the plainest means.
fn tried(case: &Case) -> Option<Worth> {
    let mut best = None;
    let mut steps = vec![0; case.fills.len()];
    loop {
        for pieces in 0..=case.most_pieces() {
            let mut places = Vec::new();
            every_place(case, pieces, &mut places, &mut |places| {
                best = best.max(worth(case, pieces, places, &steps));
            });
        }
        if !counted_up(&mut steps, case) {
            return best;
        }
    }
}

fn counted_up(steps: &mut [u32], case: &Case) -> bool {
    for (n, fill) in steps.iter_mut().zip(&case.fills) {
        if *n < fill.most {
            *n += 1;
            return true;
        }
        *n = 0;
    }
    false
}

fn every_place(case: &Case, pieces: usize, at: &mut Vec<usize>, each: &mut dyn FnMut(&[usize])) {
    if at.len() == case.things.len() + pieces {
        return each(at);
    }
    for place in 0..case.places.len() {
        let thing = case.things.get(at.len());
        let may = thing.map_or_else(|| case.ballast.unwrap().places, |thing| thing.places);
        let seated = |n: usize| case.things.get(n).is_some_and(|thing| thing.seated);
        let taken =
            seated(at.len()) && at.iter().enumerate().any(|(n, p)| *p == place && seated(n));
        if may >> place & 1 == 1 && !taken {
            at.push(place);
            every_place(case, pieces, at, each);
            at.pop();
        }
    }
}

fn worth(case: &Case, pieces: usize, places: &[usize], steps: &[u32]) -> Option<Worth> {
    for wish in &case.wishes {
        let kept = match wish {
            Wish::Within { thing, places: within } => within >> places[*thing] & 1 == 1,
            Wish::Together(a, b) => case.places[places[*a]].row == case.places[places[*b]].row,
        };
        if !kept {
            return None;
        }
    }
    let margin = margin(case, pieces, places, steps)?;
    let things = case.things.iter().zip(places).filter(|(thing, p)| thing.now != Some(**p)).count();
    let tanks = case.fills.iter().zip(steps).filter(|(fill, n)| fill.now != Some(**n)).count();
    let hundredths = (margin * 1e4).round() as i64;
    Some((hundredths, std::cmp::Reverse(pieces), std::cmp::Reverse(things + tanks)))
}

fn margin(case: &Case, pieces: usize, places: &[usize], steps: &[u32]) -> Option<f64> {
    let mut least = 1.0_f64;
    let mut hold = |measure: Measure, counted: bool| {
        if counted {
            least = least.min(measure.share());
        }
        (measure.verdict() == Verdict::Holds).then_some(())
    };
    let mass = |n: usize| {
        case.things.get(n).map_or_else(|| case.ballast.unwrap().mass, |thing| thing.mass)
    };
    let kg = Mass::from_si;
    let mut loading = case.empty;
    let mut loads = vec![0.0; case.places.len()];
    for (n, place) in places.iter().enumerate() {
        loads[*place] += mass(n);
        let place = &case.places[*place];
        let (arm, lateral) = (Length::from_si(place.arm), Length::from_si(place.lateral));
        loading = loading.add(kg(mass(n)), arm, lateral);
    }
    for ((load, most), counted) in loads.iter().zip(&case.most).zip(case.moved_places()) {
        if let Some(most) = most {
            hold(Measure::at_most(kg(*load), kg(*most)), counted)?;
        }
    }
    let mut fuel = Vec::new();
    for (fill, n) in case.fills.iter().zip(steps) {
        fuel.push(kg(fill.base + fill.step * f64::from(*n)));
        hold(Measure::at_most(fuel[fuel.len() - 1], kg(fill.usable)), fill.most > 0)?;
    }
    if let Some(limit) = case.imbalance {
        hold(Measure::at_most(kg(leaning(case, &fuel)), kg(limit)), true)?;
    }
    let fuel = &fuel_after(&case.tanks, &fuel, kg(case.taxi))[..case.fills.len()];
    let none = kg(0.0);
    let mut flown = vec![(loading, fuel.to_vec())];
    for later in &case.later {
        let mut loading = case.empty;
        for (n, place) in places.iter().enumerate() {
            let place = &case.places[*place];
            let (arm, lateral) = (Length::from_si(place.arm), Length::from_si(place.lateral));
            let mass = later.mass.get(n).copied().unwrap_or_else(|| mass(n));
            loading = loading.add(kg(mass), arm, lateral);
        }
        let aboard: f64 = fuel.iter().map(|fuel| fuel.value).sum();
        let gone = kg((later.used - case.taxi).min(aboard));
        flown.push((loading, fuel_after(&case.tanks, fuel, gone)[..fuel.len()].to_vec()));
    }
    for (loading, fuel) in &flown {
        let worst = burn::worst(*loading, &case.tanks, fuel, none, &case.envelope, &mut Silent)?;
        for measure in balances(&case.envelope, &worst) {
            hold(measure, true)?;
        }
        if let Some(limit) = case.lateral {
            let (left, right) = lateral_extremes(*loading, &case.tanks, fuel, none)?;
            let most = if -left > right { -left } else { right };
            hold(Measure::at_most(most, Length::from_si(limit)), true)?;
        }
    }
    let total: u32 = steps.iter().sum();
    for limit in &case.totals {
        let share = limit.shares[pieces * (case.most_steps() + 1) + total as usize];
        if share < -1e-9 {
            return None;
        }
        least = if limit.counted { least.min(share) } else { least };
    }
    Some(least)
}

fn leaning(case: &Case, fuel: &[Mass]) -> f64 {
    let of = |fuel: &[Mass]| {
        let sides = case.fills.iter().zip(fuel);
        sides.map(|(fill, fuel)| fuel.value * f64::from(fill.side)).sum::<f64>().abs()
    };
    let mut most = of(fuel);
    burn::walk(Loading::empty(), &case.tanks, fuel, Mass::from_si(0.0), |stretch| {
        most = most.max(of(&stretch.left));
    });
    most
}

#[test]
fn two_thousand_small_cases_have_the_answer_of_trying_everything() {
    let (mut fits, mut changed, mut ballast) = (0, 0, 0);
    for number in 0..2000 {
        let Made { case, .. } = small(number);
        let want = tried(&case);
        match (answered(&case), want) {
            (Answer::Fits(found, proof), Some((hundredths, pieces, changes))) => {
                assert_eq!(proof, Proof::Best);
                let got = (found.hundredths(), found.ballast.len(), found.changes as usize);
                assert_eq!(got, (hundredths, pieces.0, changes.0), "case {number}");
                let places: Vec<usize> =
                    found.place_of.iter().chain(&found.ballast).copied().collect();
                let again = worth(&case, found.ballast.len(), &places, &found.steps);
                assert_eq!(again, want, "case {number}: not what it claims");
                fits += 1;
                changed += usize::from(changes.0 > 0);
                ballast += usize::from(pieces.0 > 0);
            }
            (Answer::NothingFits(_), None) => {}
            (found, want) => panic!("case {number}: {found:?} against {want:?}"),
        }
    }
    // All kinds of answers must have come up.
    println!("{fits} fit, {changed} with changes, {ballast} with ballast");
    assert!(
        fits > 600 && fits < 1800 && changed > 300 && ballast > 30,
        "{fits} {changed} {ballast}"
    );
}

#[test]
fn where_somebody_leaves_on_the_way_the_answer_is_that_of_trying_everything_too() {
    let (mut fits, mut lower) = (0, 0);
    for number in 0..400 {
        let Made { mut case, .. } = small(20_000 + number);
        let without = answered(&case);
        // Half of them have two alike, of whom one leaves.
        if number % 2 == 0 && case.things.len() > 2 {
            case.things[1].mass = case.things[0].mass;
        }
        let leaves = |n: usize| (number as usize + n).is_multiple_of(3);
        let mass = case.things.iter().enumerate();
        let mass = mass.map(|(n, thing)| if leaves(n) { 0.0 } else { thing.mass }).collect();
        case.later = vec![Later { mass, used: case.taxi + (number % 40) as f64 }];
        match (answered(&case), tried(&case)) {
            (Answer::Fits(found, proof), Some((hundredths, pieces, changes))) => {
                assert_eq!(proof, Proof::Best);
                let got = (found.hundredths(), found.ballast.len(), found.changes as usize);
                assert_eq!(got, (hundredths, pieces.0, changes.0), "case {number}");
                fits += 1;
                if let Answer::Fits(without, _) = without {
                    lower += usize::from(found.hundredths() < without.hundredths());
                }
            }
            (Answer::NothingFits(_), None) => {}
            (found, want) => panic!("case {number}: {found:?} against {want:?}"),
        }
    }
    println!("{fits} fit, {lower} with less margin than if everybody stayed");
    assert!(fits > 60 && lower > 20, "{fits} {lower}");
}

#[test]
fn each_limit_of_a_conflict_is_needed_for_it() {
    let (mut conflicts, mut of_several) = (0, 0);
    for number in 0.. {
        let Made { case, .. } = small(10_000 + number);
        let Answer::NothingFits(set) = answered(&case) else { continue };
        cases::each_is_needed(&format!("case {number}"), &set, &case.limits(), |kept| {
            possible(&case, kept, &mut Budget::new(u64::MAX, &mut || false)).expect("an answer")
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
