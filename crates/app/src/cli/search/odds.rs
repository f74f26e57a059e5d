//! `odds`: how likely every limit holds, given how well each input is known.

use std::{num::NonZeroUsize, thread};

use clap::Args;
use stillprop_draw::Width;
use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject, interrupt::Interrupt};
use crate::{
    pictures::odds::picture,
    problem::Failure,
    report::{answer::value, search::odds as page},
    search::odds::{self, Draws},
    world,
};

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

pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let Subject { stage, choice, units, .. } = options.asked.subject()?;
    let threads = options.threads.or_else(|| thread::available_parallelism().ok());
    let threads = threads.map_or(1, NonZeroUsize::get);
    let interrupt = Interrupt::watch();
    let draws = Draws { count: options.draws, seed: options.seed, threads };
    let drawn = odds::run(&stage, &choice, &units, draws, &|| interrupt.came());
    let assessment = assess(&stage, &choice, &units);
    if let Some(file) = &options.dots {
        let dots = picture(&drawn, &stage, &assessment);
        world::write(file, stillprop_draw::odds::odds(&dots, Width::of(options.width)))?;
    }
    let shown = if options.asked.json {
        Answer::json(value(&page::answer(&drawn, &assessment)))
    } else {
        Answer::text(page::page(&drawn, &assessment, options.dots.as_deref()))
    };
    Ok(shown.code(u8::from(!drawn.model.fixed_hold() || drawn.tally.all == 0)))
}
