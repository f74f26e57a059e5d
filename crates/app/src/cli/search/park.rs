//! `park`: where the aeroplane stands with the most room.

use clap::Args;
use stillprop_plan::park::Search;
use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject, interrupt::Interrupt};
use crate::{problem::Failure, report::search::park as page};

/// Boxes between two looks at whether somebody wants it to stop.
const BETWEEN: usize = 2000;
/// Boxes after which the best so far is the answer. Ours: some seconds on a slow machine.
const MOST: usize = 2_000_000;

/// Options of `park`.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    pub(crate) asked: Asked,
}

pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let Subject { stage, choice, units, .. } = options.asked.subject()?;
    let missing = |why: String| Failure::asked(why, "describe it, then ask again");
    let mut search = Search::new(&stage, &choice).map_err(missing)?;
    let interrupt = Interrupt::watch();
    let mut boxes = 0;
    while !search.step(BETWEEN) && boxes < MOST && !interrupt.came() {
        boxes += BETWEEN;
    }
    let place = search.place();
    let assessment = assess(&stage, &choice, &units);
    let from = page::Found { stage: &stage, choice: &choice, place: place.as_ref(), units: &units };
    let answer = if options.asked.json {
        Answer::json(page::json(&from, &assessment))
    } else {
        Answer::text(page::page(&from, &assessment, interrupt.came()))
    };
    Ok(answer.code(u8::from(place.is_none_or(|place| place.ratio < 1.0))))
}
