//! `ways-out`: the smallest changes that mend a turnaround.

use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject};
use crate::{
    problem::Failure,
    report::{answer::value, search::ways_out as page},
    search::ways_out,
};

pub(crate) fn run(options: &Asked) -> Result<Answer, Failure> {
    let Subject { source, stage, choice, units } = options.subject()?;
    let found = ways_out::run(&source, &stage, &units, options.pack.as_deref())?;
    let assessment = assess(&stage, &choice, &units);
    let answer = if options.json {
        Answer::json(value(&page::answer(&found, &assessment, &units)))
    } else {
        Answer::text(page::page(&found, &assessment))
    };
    Ok(answer.code(u8::from(!assessment.ready() && found.ways.is_empty())))
}
