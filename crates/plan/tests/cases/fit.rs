//! Aeroplanes to be loaded.

use stillprop_calc::{
    burn::{ArmCurve, Tank},
    envelope::{Corner, Envelope},
    load::Loading,
    quantity::{FromAmount, Length, Mass, Moment},
};
use stillprop_plan::{
    fit::{Ballast, Case, Fill, Thing, Total, Wish},
    stow::Place,
};

use super::Dice;

/// How large a case is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    pub(crate) seats: usize,
    pub(crate) people: usize,
    pub(crate) bags: usize,
    pub(crate) lockers: usize,
    pub(crate) tanks: usize,
    pub(crate) steps: u32,
    pub(crate) pieces: usize,
    /// Upright envelope, fixed arms, tanks one after the other: what is linear.
    pub(crate) straight: bool,
}

/// Limits of mass as written, from which the totals of the case are reckoned. \[kg\]
#[derive(Clone, Debug)]
pub(crate) struct Masses {
    pub(crate) ramp: f64,
    pub(crate) take_off: f64,
    pub(crate) landing: f64,
    /// Fuel gone at landing.
    pub(crate) used: f64,
    pub(crate) zero_fuel: f64,
    /// Fuel required at chocks off.
    pub(crate) required: f64,
}

/// A case with what it was made from.
#[derive(Clone, Debug)]
pub(crate) struct Made {
    pub(crate) case: Case,
    pub(crate) masses: Masses,
    /// Arm, lateral arm and order of each tank, when its arm is fixed.
    pub(crate) tanks: Vec<(f64, f64, u8)>,
    /// Corners of the envelope: arm, mass.
    pub(crate) corners: Vec<(f64, f64)>,
}

const TAXI: f64 = 4.0;

pub(crate) fn small(number: u64) -> Made {
    let mut dice = Dice::new(number);
    let seats = dice.whole(2, 5) as usize;
    let people = dice.whole(1, seats.min(3) as i64) as usize;
    let size = Size {
        seats,
        people,
        bags: dice.whole(0, 3) as usize,
        lockers: dice.whole(1, 2) as usize,
        tanks: dice.whole(1, 2) as usize,
        steps: dice.whole(1, 3) as u32,
        pieces: dice.whole(0, 4).saturating_sub(2).max(0) as usize,
        straight: false,
    };
    made(&mut dice, size)
}

pub(crate) fn large(number: u64, seats: usize) -> Made {
    let mut dice = Dice::new(1_000_000 + number);
    let size = Size {
        seats,
        people: (seats - 1).max(2),
        bags: seats + 3,
        lockers: 3,
        tanks: 4,
        steps: 12,
        pieces: 0,
        straight: true,
    };
    made(&mut dice, size)
}

pub(crate) fn made(dice: &mut Dice, size: Size) -> Made {
    let places = places(dice, size);
    let things = things(dice, size);
    let tanks = tanks(dice, size);
    let step = dice.whole(4, 9) as f64;
    let fills: Vec<Fill> =
        tanks.iter().map(|(_, lateral, _)| fill(dice, size, *lateral, step)).collect();
    let empty = dice.whole(700, 900) as f64 + 60.0 * size.seats as f64;
    let arm = dice.milli(1.1, 1.4);
    let load: f64 = things.iter().map(|thing| thing.mass).sum();
    let middle = fills.iter().map(|f| f.base + f.step * f64::from(f.most) / 2.0).sum::<f64>();
    let masses = masses(dice, empty + load, middle);
    let (arms, mean) = middle_arm(&places, size, load);
    let centre = (empty * arm + arms + middle * 1.3) / (empty + mean + middle);
    let corners = corners(dice, size, centre, masses.ramp);
    let most = places.iter().map(|place| most(dice, place)).collect();
    let ballast = (size.pieces > 0).then(|| Ballast {
        mass: dice.whole(8, 25) as f64,
        pieces: size.pieces,
        places: ((1 << size.lockers) - 1) << size.seats,
    });
    let mut case = Case {
        empty: Loading {
            mass: Mass::from_si(empty),
            moment: Moment::from_si(empty * arm),
            lateral_moment: Moment::from_si(empty * dice.milli(-0.004, 0.004)),
        },
        wishes: wishes(dice, size, &places),
        places,
        most,
        ballast,
        things,
        tanks: tanks.iter().map(|tank| burn_tank(dice, *tank, size)).collect(),
        fills,
        taxi: TAXI,
        later: Vec::new(),
        totals: Vec::new(),
        envelope: envelope(&corners),
        lateral: dice.percent(60).then(|| dice.milli(0.03, 0.09)),
        imbalance: dice.percent(60).then(|| dice.whole(15, 50) as f64),
    };
    case.totals = totals(&case, &masses);
    Made { case, masses, tanks, corners }
}

fn places(dice: &mut Dice, size: Size) -> Vec<Place> {
    let mut places = Vec::new();
    for seat in 0..size.seats {
        let row = seat / 2;
        let side = if seat % 2 == 0 { -1.0 } else { 1.0 };
        let alone = seat + 1 == size.seats && seat % 2 == 0;
        places.push(Place {
            arm: 0.95 + 0.82 * row as f64,
            lateral: if alone { 0.0 } else { 0.32 * side },
            seats: 1,
            row: row as u8 + 1,
        });
    }
    let last = 0.95 + 0.82 * (size.seats as f64 / 2.0).ceil();
    for locker in 0..size.lockers {
        let arm = match locker {
            0 => last + dice.milli(0.0, 0.4),
            1 => dice.milli(0.3, 0.6),
            _ => dice.milli(1.3, 1.9),
        };
        places.push(Place { arm, lateral: 0.0, seats: 0, row: 0 });
    }
    places
}

fn most(dice: &mut Dice, place: &Place) -> Option<f64> {
    let most = if place.seats > 0 { dice.whole(110, 136) } else { dice.whole(30, 140) };
    dice.percent(85).then_some(most as f64)
}

fn things(dice: &mut Dice, size: Size) -> Vec<Thing> {
    let seats = (1u64 << size.seats) - 1;
    let lockers = ((1u64 << size.lockers) - 1) << size.seats;
    let mut free: Vec<usize> = (0..size.seats).collect();
    dice.shuffle(&mut free);
    let mut things = Vec::new();
    for seat in free.iter().take(size.people) {
        let mass = dice.whole(48, 108) as f64;
        things.push(Thing { mass, seated: true, places: seats, now: Some(*seat) });
    }
    for _ in 0..size.bags {
        let mass = dice.whole(2, 24) as f64;
        let now = Some(size.seats + dice.index(size.lockers));
        things.push(Thing { mass, seated: false, places: lockers, now });
    }
    things
}

/// Arm, lateral arm, order.
fn tanks(dice: &mut Dice, size: Size) -> Vec<(f64, f64, u8)> {
    let tank = |n: usize| {
        let side = if n.is_multiple_of(2) { -1.0 } else { 1.0 };
        let arm = dice.milli(1.0, 1.5) + if n >= 2 { 0.6 } else { 0.0 };
        let order = if size.straight { n as u8 + 1 } else { dice.whole(1, 2) as u8 };
        (arm, if n >= 2 { 0.0 } else { side * 1.8 }, order)
    };
    (0..size.tanks).map(tank).collect()
}

fn fill(dice: &mut Dice, size: Size, lateral: f64, step: f64) -> Fill {
    let base = dice.whole(6, 20) as f64;
    let room = dice.whole(0, 12) as f64;
    Fill {
        base,
        step,
        most: size.steps,
        now: dice.percent(90).then(|| dice.whole(0, i64::from(size.steps)) as u32),
        usable: base + step * f64::from(size.steps) + room,
        side: if lateral < 0.0 { -1 } else { i8::from(lateral > 0.0) },
    }
}

fn burn_tank(dice: &mut Dice, (arm, lateral, order): (f64, f64, u8), size: Size) -> Tank {
    let m = Length::from_si;
    let curved = !size.straight && dice.percent(50);
    let arm = if curved {
        let points = [(10.0, arm - 0.05), (30.0, arm), (60.0, arm + 0.09)];
        let points = points.map(|(q, a)| (Mass::from_si(q), m(a)));
        ArmCurve::by_quantity(&points).unwrap_or_else(|_| ArmCurve::fixed(m(arm)))
    } else {
        ArmCurve::fixed(m(arm))
    };
    Tank { arm, lateral: m(lateral), order }
}

fn masses(dice: &mut Dice, zero_fuel: f64, middle: f64) -> Masses {
    let full = zero_fuel + middle;
    // Half of them roomy, so that balance decides.
    let roomy = dice.percent(50);
    let (low, high) = if roomy { (1.2, 1.5) } else { (0.985, 1.2) };
    let take_off = (full * dice.milli(low, high)).round();
    Masses {
        ramp: take_off + 5.0,
        take_off,
        landing: (take_off * dice.milli(0.95, 1.0)).round(),
        used: (middle * dice.milli(0.3, 0.6)).round(),
        zero_fuel: (zero_fuel * dice.milli(low + 0.01, high)).round(),
        required: (middle * if roomy { dice.milli(0.3, 0.6) } else { dice.milli(0.5, 1.1) })
            .round(),
    }
}

/// Moment and mass of the load if people sat and items lay in the mean of their places.
fn middle_arm(places: &[Place], size: Size, load: f64) -> (f64, f64) {
    let mean = places.iter().take(size.seats).map(|p| p.arm).sum::<f64>() / size.seats as f64;
    (load * mean, load)
}

fn corners(dice: &mut Dice, size: Size, centre: f64, top: f64) -> Vec<(f64, f64)> {
    let width = dice.milli(0.06, 0.45);
    let forward = ((centre - width * dice.milli(0.2, 0.8)) * 1e3).round() / 1e3;
    let aft = forward + width;
    let top = top + 50.0;
    let lean = if size.straight || dice.percent(30) { 0.0 } else { dice.milli(0.0, width / 2.0) };
    let mut corners = vec![(forward, 300.0)];
    if lean > 0.0 {
        corners.push((forward, (top * 0.85).round()));
    }
    corners.extend([(forward + lean, top), (aft, top), (aft, 300.0)]);
    corners
}

fn envelope(corners: &[(f64, f64)]) -> Envelope {
    let corner = |(arm, mass): &(f64, f64)| Corner {
        arm: Length::from_si(*arm),
        mass: Mass::from_si(*mass),
    };
    Envelope::new(corners.iter().map(corner).collect()).unwrap_or_else(|why| panic!("{why}"))
}

fn wishes(dice: &mut Dice, size: Size, places: &[Place]) -> Vec<Wish> {
    let front = places.iter().take(2).enumerate().fold(0, |mask, (p, _)| mask | 1 << p);
    let mut wishes = vec![Wish::Within { thing: 0, places: front }];
    if size.people >= 3 && dice.percent(40) {
        wishes.push(Wish::Together(1, 2));
    }
    if size.people >= 2 && dice.percent(30) {
        wishes.push(Wish::Within { thing: 1, places: !(1 << dice.index(size.seats)) });
    }
    if size.bags >= 1 && size.lockers >= 2 && dice.percent(40) {
        let locker = size.seats + dice.index(size.lockers);
        wishes.push(Wish::Within { thing: size.people, places: !(1 << locker) });
    }
    wishes
}

fn totals(case: &Case, masses: &Masses) -> Vec<Total> {
    let dry: f64 = case.empty.mass.value + case.things.iter().map(|thing| thing.mass).sum::<f64>();
    let most = case.most_steps();
    let mut all: Vec<Vec<f64>> = vec![Vec::new(); 5];
    for pieces in 0..=case.most_pieces() {
        let dry = dry + case.ballast.map_or(0.0, |ballast| ballast.mass * pieces as f64);
        for steps in 0..=most {
            let fuel = total_fuel(case, steps);
            let under = |mass: f64, limit: f64| (limit - mass) / limit;
            all[0].push(under(dry + fuel, masses.ramp));
            all[1].push(under(dry + fuel - TAXI, masses.take_off));
            all[2].push(under(dry + fuel - masses.used, masses.landing));
            all[3].push(under(dry, masses.zero_fuel));
            all[4].push((fuel - masses.required) / masses.required);
        }
    }
    all.into_iter()
        .map(|shares| {
            let counted = shares.iter().any(|share| (share - shares[0]).abs() > 1e-12);
            Total { counted, shares }
        })
        .collect()
}

/// Fuel with so many steps in all; every tank of a case has the same step.
pub(crate) fn total_fuel(case: &Case, steps: usize) -> f64 {
    let base: f64 = case.fills.iter().map(|fill| fill.base).sum();
    base + case.fills[0].step * steps as f64
}
