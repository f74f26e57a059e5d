//! Small stops, made from a demonstration turnaround: few people, few items, two tanks, no ground.

use std::sync::LazyLock;

use jiff::SignedDuration;
use stillprop_calc::{
    quantity::{FromAmount, Length, Mass, Volume},
    trace::Silent,
    unit::{self, Unit},
};
use stillprop_rules::{
    builtin,
    document::{At, Given, Stated},
    rules::Rules,
};
use stillprop_turnaround::{
    limits::{Found, Id, Sink, Verdict, Words},
    stage::{Choice, Documents, Stage},
    units::Units,
};

use super::Dice;

/// The rules that the demonstration is judged by.
pub(crate) static RULES: LazyLock<Rules> =
    LazyLock::new(|| builtin::rules("demo-operator+au").unwrap_or_else(|why| panic!("{why:?}")));

/// A limit by its name.
pub(crate) type Judged = (String, Verdict, f64);

/// Every limit of a choice by name, with the share of its margin.
pub(crate) fn judged(stage: &Stage, choice: &Choice) -> Vec<Judged> {
    let mut names = Names::default();
    stage.evaluate(choice, &mut names);
    names.all
}

#[derive(Default)]
struct Names {
    all: Vec<Judged>,
    silent: Silent,
}

impl Sink for Names {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        let share = match found {
            Found::Measured(measure) => measure.share(),
            Found::Condition(_) | Found::Unknown => f64::INFINITY,
        };
        self.all.push((id.to_string(), found.verdict(), share));
    }
}

pub(crate) fn given<Q: FromAmount>(value: Q, unit: Unit) -> Given<Q> {
    Given { value, unit, at: 0..0 }
}

pub(crate) fn named(value: &str) -> At<String> {
    At { value: value.to_owned(), at: 0..0 }
}

/// Litres of one step of the dispenser in every small stop.
pub(crate) const STEP: f64 = 15.0;

/// A small stop in which mostly one thing is wrong, sometimes none or several.
pub(crate) fn small(number: u64, base: &Documents) -> Documents {
    let mut dice = Dice::new(3_000_000 + number);
    let mut documents = base.clone();
    let load = load(&mut dice, &mut documents);
    let mut fuel = fuel(&mut dice, &mut documents);
    let faults = if dice.percent(75) { 1 } else { dice.whole(0, 3) };
    let mut spare = 120;
    for _ in 0..faults {
        match dice.whole(0, 6) {
            0 => spare = dice.whole(-45, -1),
            1 => {
                let by = dice.milli(0.03, 0.16);
                envelope(&mut documents, if dice.percent(50) { by } else { -by });
            }
            2 => {
                let most = Mass::from_si(dice.whole(1, 14) as f64);
                documents.aircraft.lockers[0].max_mass = Some(Stated::Is(given(most, unit::KG)));
            }
            3 => {
                let lean = Volume::of(dice.whole(3, 25) as f64, unit::L);
                documents.aircraft.limits.fuel_imbalance = Some(Stated::Is(given(lean, unit::L)));
            }
            4 => strips(&mut dice, &mut documents),
            5 => {
                let late = SignedDuration::from_mins(dice.whole(-250, 700));
                documents.turnaround.departs.instant += late;
            }
            _ => {
                for tank in &mut documents.turnaround.fuel.tanks {
                    let up = tank.uplift.as_mut().map_or(Volume::from_si(0.0), |up| {
                        std::mem::replace(&mut up.value, Volume::from_si(0.0))
                    });
                    fuel -= up.count(unit::L);
                }
            }
        }
    }
    let aircraft = &mut documents.aircraft;
    let most = aircraft.empty.mass.value.value + load + fuel * 0.72 + spare as f64;
    aircraft.limits.take_off_mass = given(Mass::from_si(most), unit::KG);
    documents
}

/// The whole envelope further aft, or further forward.
fn envelope(documents: &mut Documents, by: f64) {
    for envelope in &mut documents.aircraft.envelopes {
        for corner in &mut envelope.corners.value {
            corner.arm.value += Length::from_si(by);
        }
    }
}

/// People and items; what they weigh. \[kg\]
fn load(dice: &mut Dice, documents: &mut Documents) -> f64 {
    let seats: Vec<String> =
        documents.aircraft.seats.iter().map(|seat| seat.label.value.clone()).collect();
    let turnaround = &mut documents.turnaround;
    turnaround.people.truncate(dice.whole(1, 3) as usize);
    turnaround.items.truncate(dice.whole(0, 2) as usize);
    let mut free = seats[1..].to_vec();
    dice.shuffle(&mut free);
    let mut load = 0.0;
    for (n, person) in turnaround.people.iter_mut().enumerate() {
        let mass = dice.whole(48, 105) as f64;
        load += mass;
        person.mass = Some(given(Mass::from_si(mass), unit::KG));
        if n > 0 {
            person.seat = Some(named(&free[n - 1]));
        }
    }
    for item in &mut turnaround.items {
        let mass = dice.whole(2, 14) as f64;
        load += mass;
        item.mass = Some(given(Mass::from_si(mass), unit::KG));
        if dice.percent(20) {
            item.place = named(&free[2]);
        }
    }
    load
}

/// What is in the tanks and taken into them; all of it. \[L\]
fn fuel(dice: &mut Dice, documents: &mut Documents) -> f64 {
    let fuel = &mut documents.turnaround.fuel;
    fuel.step = Some(given(Volume::of(STEP, unit::L), unit::L));
    let mut all = 0.0;
    for (tank, table) in fuel.tanks.iter_mut().zip(&mut documents.aircraft.tanks) {
        let (aboard, up) = (dice.whole(25, 50) as f64, dice.whole(0, 2) as f64 * STEP);
        tank.on_board = Some(given(Volume::of(aboard, unit::L), unit::L));
        tank.uplift = Some(given(Volume::of(up, unit::L), unit::L));
        let room = dice.whole(0, 32) as f64;
        table.usable = given(Volume::of(aboard + up + room, unit::L), unit::L);
        all += aboard + up;
    }
    all
}

/// Some directions of the strips are short.
fn strips(dice: &mut Dice, documents: &mut Documents) {
    let legs = documents.legs.iter_mut().flatten();
    for strip in std::iter::once(&mut documents.strip).chain(legs) {
        for direction in &mut strip.directions {
            let part = if dice.percent(50) { dice.milli(0.25, 0.6) } else { 1.0 };
            let lengths =
                [&mut direction.tora, &mut direction.toda, &mut direction.asda, &mut direction.lda];
            for length in lengths {
                if let Some(Stated::Is(length)) = length {
                    length.value *= part;
                }
            }
        }
    }
}
