//! `ways-out`: the smallest changes that mend a turnaround.

use stillprop_plan::ways_out::ways_out;
use stillprop_turnaround::assess::assess;

use super::{super::Answer, Asked, Subject};
use crate::{load, problem::Failure, report::search::ways_out as page};

pub(crate) fn run(options: &Asked) -> Result<Answer, Failure> {
    let Subject { source, stage, choice, units } = options.subject()?;
    let pack = &stage.documents.turnaround.pack.value;
    let rules = match &options.pack {
        Some(selected) => load::rules(selected)?,
        None => load::rules_for(pack, Some(&source))?,
    };
    let found = ways_out(&stage.documents, &rules, &units);
    let assessment = assess(&stage, &choice, &units);
    let answer = if options.json {
        Answer::json(page::json(&found, &assessment, &units))
    } else {
        Answer::text(page::page(&found, &assessment))
    };
    Ok(answer.code(u8::from(!assessment.ready() && found.ways.is_empty())))
}
