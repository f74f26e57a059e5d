//! `window`: times of departure at which every limit holds.

use clap::Args;
use stillprop_draw::{Width, day::day};
use stillprop_plan::window::window;
use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject};
use crate::{
    pictures::day::picture,
    problem::Failure,
    report::{answer::value, search::window as page},
    world,
};

/// Options of `window`.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    pub(crate) asked: Asked,
    /// Draw the day ribbon with the window into this file
    #[arg(long, value_name = "FILE.svg")]
    day: Option<String>,
    /// Width of the picture in pixels
    #[arg(long, default_value_t = 1080)]
    width: u16,
}

pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let Subject { stage, choice, units, .. } = options.asked.subject()?;
    let found = window(&stage, &choice, &units);
    let assessment = assess(&stage, &choice, &units);
    if let Some(file) = &options.day {
        let open: Vec<_> = found.open.iter().map(|open| (open.from, open.until)).collect();
        let drawn = picture(&stage, &choice, &assessment, Some(&open));
        world::write(file, day(&drawn, Width::of(options.width)))?;
    }
    let answer = if options.asked.json {
        Answer::json(value(&page::answer(&found, &choice, &assessment, &units)))
    } else {
        Answer::text(page::page(&found, &choice, &assessment, options.day.as_deref()))
    };
    Ok(answer.code(u8::from(found.open.is_empty())))
}
