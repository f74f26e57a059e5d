//! Odds are repeatable, agree with what is known exactly, and grow with what is not known.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

#[allow(dead_code, reason = "each test uses another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use stillprop_plan::odds::{BLOCK, Chance, Model, Tally, measurements, spread::Subject};
use stillprop_turnaround::units::Units;

fn model(name: &str) -> Model {
    let (stage, choice) = demo::stage(name);
    Model::of(&stage, &choice, &Units::METRIC)
}

#[test]
fn the_same_seed_gives_the_same_counts_in_any_order_of_blocks() {
    let model = model("ready");
    let draws = 2 * BLOCK + 17;
    let forward = model.run(7, draws);
    let mut blocks: Vec<_> = Model::blocks(draws).collect();
    blocks.reverse();
    let back = blocks
        .into_iter()
        .map(|block| model.block(7, block))
        .fold(Tally::default(), |sum, block| sum.and(&block));
    assert_eq!(forward, back);
    assert_eq!(forward.draws, draws);
    assert_ne!(forward, model.run(8, draws));
}

/// Only masses weighed and fuel dipped: the take-off mass is a sum of normals, so its chance is known.
#[test]
fn the_take_off_mass_of_normal_parts_has_the_chance_of_a_normal() {
    let mut model = model("over-mass");
    let mut variance = 0.0;
    for input in &mut model.inputs {
        match input.subject {
            Subject::Person(_) | Subject::Item(_) => {
                input.deviation = 4.0;
                variance += 16.0;
            }
            _ => input.deviation = 0.0,
        }
    }
    let at = model.varied.iter().position(|limit| limit.id == "load.take-off-mass").unwrap();
    let measure = model.varied[at].measure.unwrap();
    let tally = model.run(1, 12 * BLOCK);
    let chance = Chance::of(tally.each[at], tally.draws);
    let normal = 0.5 * libm_erfc(-measure.margin() / f64::sqrt(2.0 * variance));
    assert!((chance.share - normal).abs() < 0.01, "{chance:?} {normal}");
}

/// Complementary error function by Simpson's rule, which needs no library.
fn libm_erfc(x: f64) -> f64 {
    let (steps, far) = (20_000, 12.0);
    let f = |t: f64| (-t * t).exp();
    let h = (far - x) / f64::from(steps);
    let mut sum = f(x) + f(far);
    for step in 1..steps {
        let weight = if step % 2 == 1 { 4.0 } else { 2.0 };
        sum += weight * f(x + h * f64::from(step));
    }
    sum * h / 3.0 * 2.0 / std::f64::consts::PI.sqrt()
}

#[test]
fn with_nothing_to_vary_every_draw_is_the_assessment() {
    for name in ["ready", "over-mass", "last-light", "mid-burn", "crowded-apron", "missing"] {
        let mut model = model(name);
        model.inputs.iter_mut().for_each(|input| input.deviation = 0.0);
        let tally = model.run(3, 5);
        for (limit, count) in model.varied.iter().zip(&tally.each) {
            let holds = limit.verdict == stillprop_turnaround::limits::Verdict::Holds;
            assert_eq!(*count, if holds { 5 } else { 0 }, "{name} {}", limit.id);
        }
    }
}

/// Exact: Wilson's interval of 8 in 10 is 0.4901625 to 0.9433178.
#[test]
fn the_interval_equals_exact_arithmetic() {
    let chance = Chance::of(8, 10);
    assert!((chance.low - 0.490_162_5).abs() < 1e-6, "{chance:?}");
    assert!((chance.high - 0.943_317_8).abs() < 1e-6, "{chance:?}");
    let none = Chance::of(0, 100);
    assert!(none.low < 1e-12 && none.high > 0.03);
}

#[test]
fn measuring_never_makes_what_nearly_holds_less_likely() {
    let (stage, choice) = demo::stage("ready");
    let mut stage = stage;
    for person in &mut stage.people {
        person.known = stillprop_turnaround::document::turnaround::MassKnown::Standard;
    }
    let model = Model::of(&stage, &choice, &Units::METRIC);
    let base = model.run(5, BLOCK);
    let base = Chance::of(base.all, base.draws);
    let found = measurements(&model, &mut |model| model.run(5, BLOCK));
    let best = &found[0];
    assert!(best.words.starts_with("weigh ") && best.inputs.len() > 1, "{best:?}");
    assert!(best.all.share > base.share, "{base:?} {best:?}");
}
