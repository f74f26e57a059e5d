//! `odds`: how likely every limit holds, given how well each input is known.

use std::{
    num::NonZeroUsize,
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

use clap::Args;
use stillprop_draw::Width;
use stillprop_plan::odds::{Chance, Model, Tally, measurements};
use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject, interrupt::Interrupt};
use crate::{pictures::odds::picture, problem::Failure, report::search::odds as page, world};

/// Options of `odds`.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    pub(crate) asked: Asked,
    /// How often everything is drawn
    #[arg(long, default_value_t = 200_000, value_parser = clap::value_parser!(u64).range(1..=1_000_000_000))]
    draws: u64,
    /// The same seed gives the same answer
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many threads work; the answer is the same with any
    #[arg(long)]
    threads: Option<NonZeroUsize>,
    /// Draw the dots into this file
    #[arg(long, value_name = "FILE.svg")]
    dots: Option<String>,
    /// Width of the picture in pixels
    #[arg(long, default_value_t = 1080)]
    width: u16,
}

/// Of the draws, so many parts are spent on each measurement.
const EACH: u64 = 5;

pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let Subject { stage, choice, units, .. } = options.asked.subject()?;
    let model = Model::of(&stage, &choice, &units);
    let threads = options.threads.or_else(|| thread::available_parallelism().ok());
    let threads = threads.map_or(1, NonZeroUsize::get);
    let interrupt = Interrupt::watch();
    let draw = |model: &Model, draws| work(model, options.seed, draws, threads, &interrupt);
    let tally = draw(&model, options.draws);
    let few = options.draws.div_ceil(EACH);
    let all = Chance::of(tally.all, tally.draws);
    // What always holds, or never, no measurement helps.
    let helps = all.share > 0.0 && all.share < 1.0 && !interrupt.came();
    let found =
        if helps { measurements(&model, &mut |model| draw(model, few)) } else { Vec::new() };
    let assessment = assess(&stage, &choice, &units);
    let answer = page::Answer {
        model: &model,
        tally: &tally,
        measurements: &found,
        seed: options.seed,
        departs: choice.departs,
    };
    if let Some(file) = &options.dots {
        let drawn = picture(&answer, &stage, &assessment);
        world::write(file, stillprop_draw::odds::odds(&drawn, Width::of(options.width)))?;
    }
    let fixed = model.fixed_hold();
    let shown = if options.asked.json {
        Answer::json(page::json(&answer, &assessment))
    } else {
        Answer::text(page::page(&answer, &assessment, interrupt.came(), options.dots.as_deref()))
    };
    Ok(shown.code(u8::from(!fixed || tally.all == 0)))
}

/// Every block once, by whichever thread is free, until somebody asks to stop.
fn work(model: &Model, seed: u64, draws: u64, threads: usize, interrupt: &Interrupt) -> Tally {
    let blocks: Vec<_> = Model::blocks(draws).collect();
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut sum = Tally::default();
        while let Some(block) = blocks.get(next.fetch_add(1, Ordering::Relaxed)) {
            // The first block is always worked, so that there is an answer.
            if interrupt.came() && sum.draws > 0 {
                break;
            }
            sum = sum.and(&model.block(seed, *block));
        }
        sum
    };
    thread::scope(|scope| {
        let all: Vec<_> = (0..threads).map(|_| scope.spawn(worker)).collect();
        // A block does not panic; if one did, the others still count.
        let sums = all.into_iter().filter_map(|each| each.join().ok());
        sums.fold(Tally::default(), |sum, each| sum.and(&each))
    })
}
