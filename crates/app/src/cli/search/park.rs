//! `park`: where the aeroplane stands with the most room.

use clap::Args;
use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject, interrupt::Interrupt};
use crate::{
    problem::Failure,
    report::{answer::value, search::park as page},
    search::park,
};

/// Options of `park`.
#[derive(Args, Debug)]
pub(crate) struct Options {
    #[command(flatten)]
    pub(crate) asked: Asked,
}

pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let Subject { stage, choice, units, .. } = options.asked.subject()?;
    let interrupt = Interrupt::watch();
    let parking = park::run(&stage, &choice, park::MOST, || interrupt.came())?;
    let assessment = assess(&stage, &choice, &units);
    let place = parking.place.as_ref();
    let from = page::Found { stage: &stage, choice: &choice, place, units: &units };
    let answer = if options.asked.json {
        Answer::json(value(&page::answer(&from, &assessment)))
    } else {
        Answer::text(page::page(&from, &assessment, parking.stopped))
    };
    Ok(answer.code(u8::from(place.is_none_or(|place| place.ratio < 1.0))))
}
