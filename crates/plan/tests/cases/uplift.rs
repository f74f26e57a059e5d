//! Days of flying.

use stillprop_plan::uplift::{At, Case, Leads, NOWHERE, Source, Stop, Trip};

use super::Dice;

/// A litre in cubic metres, and the planning density of such a day.
const LITRE: f64 = 0.001;
const DENSITY: f64 = 720.0;

pub(crate) fn small(number: u64) -> Trip {
    let mut dice = Dice::new(2_000_000 + number);
    let stops = dice.whole(1, 3) as usize;
    let sources = if stops == 3 { 2 } else { 3 };
    // A step of ten litres keeps the number of ways small.
    made(&mut dice, stops, sources, 10.0, (1, 5))
}

pub(crate) fn large(number: u64, stops: usize, drums: usize) -> Trip {
    let mut dice = Dice::new(3_000_000 + number);
    made(&mut dice, stops, drums, 1.0, (20, 208))
}

fn made(dice: &mut Dice, stops: usize, sources: usize, step: f64, holds: (i64, i64)) -> Trip {
    let litre = |litres: i64| litres as f64 * LITRE;
    let size = if step > 1.0 { 1 } else { 4 };
    let capacity = dice.whole(60, 110) * size;
    let stop = |dice: &mut Dice| {
        let burn = dice.whole(12, 45) * size / 2;
        let reserve = dice.whole(4, 12) * size / 2;
        let zero_fuel = dice.whole(900, 1300) as f64;
        // Mostly heavier than full tanks, at times the strip or the landing decides.
        let most = |at: f64| {
            let fuel = litre((capacity as f64 * at) as i64) * DENSITY;
            (zero_fuel + fuel).round()
        };
        let (take_off, landing) = (dice.milli(0.45, 1.3), dice.milli(0.1, 1.0));
        Stop {
            zero_fuel,
            most_mass: most(take_off),
            most_landing: most(landing),
            required: litre(burn + reserve + dice.whole(0, 4) * size),
            burn: litre(burn),
            reserve: litre(reserve),
            sources: (0..sources).map(|_| source(dice, holds)).collect(),
        }
    };
    let aboard = litre(dice.whole(0, 40) * size);
    let stops = (0..stops).map(|_| stop(dice)).collect();
    Trip { aboard, capacity: litre(capacity), density: DENSITY, step: step * LITRE, stops }
}

fn source(dice: &mut Dice, (least, most): (i64, i64)) -> Source {
    let drum = dice.percent(85);
    let paid_whole = drum && dice.percent(25);
    let holds = dice.whole(least, most) as u32;
    let price = dice.whole(190, 420) as u32;
    Source {
        drum,
        holds,
        to_open: if paid_whole { price * holds } else { 0 },
        per_step: if paid_whole { 0 } else { price },
        age: if drum { dice.whole(5, 800) as u32 } else { 0 },
        most_age: dice.percent(60).then(|| dice.whole(365, 730) as u32),
        whole: drum && dice.percent(20),
    }
}

/// A day whose limits are sets of states with gaps, and whose taking of fuel leads anywhere.
pub(crate) fn by_states(number: u64) -> Case {
    let mut dice = Dice::new(4_000_000 + number);
    let stops = dice.whole(1, 3) as usize;
    let sources = if stops == 3 { 2 } else { 3 };
    let each = dice.whole(1, 3) as usize;
    let mut before = 1;
    let stop = |at: usize, dice: &mut Dice| {
        let sources: Vec<Source> = (0..sources).map(|_| source(dice, (1, 4))).collect();
        let most: u32 = sources.iter().map(|source| source.holds).sum();
        let states = dice.whole(3, 9) as usize;
        let leads = |dice: &mut Dice| {
            let some = dice.percent(85);
            if some { dice.index(states) as u32 } else { NOWHERE }
        };
        let row = |dice: &mut Dice| (0..=most).map(|_| leads(dice)).collect();
        let rows = (0..before).map(|_| row(dice)).collect();
        before = states;
        let set = |of: i64, dice: &mut Dice| (0..states).map(|_| dice.percent(of)).collect();
        At {
            open: set(90, dice),
            keeps: (0..each).map(|limit| (at * each + limit, set(60, dice))).collect(),
            leads: Leads::Table(rows),
            sources,
        }
    };
    let mut stop = stop;
    let all = (0..stops).map(|at| stop(at, &mut dice)).collect();
    Case { stops: all, limits: stops * each }
}
