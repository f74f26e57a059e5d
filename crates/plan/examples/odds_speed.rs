//! How long odds take, and what they count: the figures that `tests/live/odds_speed.py` compares.
//!
//!     cargo run --release -p stillprop-plan --example odds_speed -- DRAWS THREADS

#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a benchmark: without its input it is over, and it measures time"
)]

#[allow(dead_code, reason = "the tests use another part of it")]
#[path = "../../turnaround/tests/demo/mod.rs"]
mod demo;

use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
    time::Instant,
};

use stillprop_calc::quantity::{FromAmount, Mass};
use stillprop_plan::odds::{Model, Tally};
use stillprop_turnaround::{
    stage::{Figure, Stage},
    units::Units,
};

fn main() {
    let mut asked = std::env::args().skip(1).map(|word| word.parse::<u64>().expect("a number"));
    let (draws, threads) = (asked.next().unwrap_or(1_000_000), asked.next().unwrap_or(2));
    // With everybody aboard to the last landing: neither the other model nor the batch form has legs
    // with loads of their own.
    let stays = &mut |_: usize, text: &str| text.replace("\nto = \"Oumbrel\"\n", "\n");
    let changed = demo::changed("ready", "demo-operator+au", stays);
    let (stage, choice) = changed.expect("the clinic round");
    assert!(stage.leaves.later().next().is_none(), "somebody leaves on the way");
    let model = Model::of(&stage, &choice, &Units::METRIC);
    let begun = Instant::now();
    let tally = work(&model, draws, threads);
    println!("seconds {}", begun.elapsed().as_secs_f64());
    for input in &model.inputs {
        println!("input {:?} {}", input.subject, input.deviation);
    }
    for limit in &model.varied {
        if let Some(measure) = limit.measure {
            println!("base {} {} {}", limit.id, measure.margin(), measure.bound.si);
        }
    }
    figures(&stage, &model);
    println!("all {} {}", tally.all, tally.draws);
    for (limit, count) in model.varied.iter().zip(&tally.each) {
        println!("limit {} {count} {}", limit.id, tally.draws);
    }
}

/// What the other model takes from this one.
fn figures(stage: &Stage, model: &Model) {
    let plan = stage.plan.as_ref().expect("a plan");
    for (index, (leg, onward)) in plan.legs.iter().zip(&stage.onward.legs).enumerate() {
        println!("leg {} {} {}", leg.distance.si(), leg.track.si(), onward.stop.si());
        let arrivals = model.varied.iter().filter(|limit| limit.id.starts_with("light.arrival."));
        let spare = arrivals.filter_map(|limit| limit.measure).nth(index).expect("daylight");
        println!("latest{index} {}", spare.margin() + leg.lands_after.si().ceil());
    }
    let figures = &stage.figures;
    let mass = |cited: &Figure<Mass>| cited.as_ref().map_or(0.0, |cited| cited.value.si());
    println!("allowance {}", mass(&figures.clothing) + mass(&figures.hand_baggage));
    println!("reserve {}", figures.final_reserve.as_ref().expect("a reserve").value.si());
    println!("contingency {}", figures.contingency.as_ref().expect("a share").value.si());
    let density = stage.density.as_ref().expect("a density").value;
    println!("density {}", density.si() / 1000.0);
}

/// Every block once, by whichever thread is free.
fn work(model: &Model, draws: u64, threads: u64) -> Tally {
    let blocks: Vec<_> = Model::blocks(draws).collect();
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        let worker = || {
            let mut sum = Tally::default();
            while let Some(block) = blocks.get(next.fetch_add(1, Ordering::Relaxed)) {
                sum = sum.and(&model.block(1, *block));
            }
            sum
        };
        let all: Vec<_> = (0..threads).map(|_| scope.spawn(worker)).collect();
        all.into_iter()
            .map(|each| each.join().expect("no block panics"))
            .fold(Tally::default(), |sum, each| sum.and(&each))
    })
}
