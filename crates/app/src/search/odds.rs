//! How likely every limit holds: blocks of draws on threads.

use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

use jiff::Timestamp;
use stillprop_plan::odds::{Chance, Measurement, Model, Tally, measurements};
use stillprop_turnaround::{
    stage::{Choice, Stage},
    units::Units,
};

/// Of the draws, so many parts are spent on each measurement.
const EACH: u64 = 5;

/// How often, and on what.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Draws {
    /// How often everything is drawn.
    pub(crate) count: u64,
    /// The same seed gives the same answer.
    pub(crate) seed: u64,
    /// The answer is the same with any.
    pub(crate) threads: usize,
}

/// What was drawn.
#[derive(Debug)]
pub(crate) struct Drawn {
    pub(crate) model: Model,
    pub(crate) tally: Tally,
    /// What measuring each input would do.
    pub(crate) measurements: Vec<Measurement>,
    pub(crate) seed: u64,
    /// Chocks off.
    pub(crate) departs: Timestamp,
    /// Somebody asked to stop.
    pub(crate) stopped: bool,
}

/// Draws, then draws again with each input measured.
pub(crate) fn run(
    stage: &Stage,
    choice: &Choice,
    units: &Units,
    draws: Draws,
    stop: &(dyn Fn() -> bool + Sync),
) -> Drawn {
    let model = Model::of(stage, choice, units);
    let draw = |model: &Model, count| work(model, Draws { count, ..draws }, stop);
    let tally = draw(&model, draws.count);
    let few = draws.count.div_ceil(EACH);
    let all = Chance::of(tally.all, tally.draws);
    // What always holds, or never, no measurement helps.
    let helps = all.share > 0.0 && all.share < 1.0 && !stop();
    let found =
        if helps { measurements(&model, &mut |model| draw(model, few)) } else { Vec::new() };
    Drawn {
        model,
        tally,
        measurements: found,
        seed: draws.seed,
        departs: choice.departs,
        stopped: stop(),
    }
}

/// Every block once, by whichever thread is free, until somebody asks to stop.
fn work(model: &Model, draws: Draws, stop: &(dyn Fn() -> bool + Sync)) -> Tally {
    let blocks: Vec<_> = Model::blocks(draws.count).collect();
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut sum = Tally::default();
        while let Some(block) = blocks.get(next.fetch_add(1, Ordering::Relaxed)) {
            // The first block is always worked, so that there is an answer.
            if stop() && sum.draws > 0 {
                break;
            }
            sum = sum.and(&model.block(draws.seed, *block));
        }
        sum
    };
    if draws.threads <= 1 {
        return worker();
    }
    thread::scope(|scope| {
        let all: Vec<_> = (0..draws.threads).map(|_| scope.spawn(worker)).collect();
        // A block does not panic; if one did, the others still count.
        let sums = all.into_iter().filter_map(|each| each.join().ok());
        sums.fold(Tally::default(), |sum, each| sum.and(&each))
    })
}
