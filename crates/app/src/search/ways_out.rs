//! The smallest changes that mend a turnaround.

use stillprop_plan::ways_out::{WaysOut, ways_out};
use stillprop_rules::rules::Rules;
use stillprop_turnaround::{stage::Stage, units::Units};

use crate::{load, problem::Failure, world::Source};

/// Seeks them, judged by the rules of the document or by those of `pack`.
pub(crate) fn run(
    source: &Source,
    stage: &Stage,
    units: &Units,
    pack: Option<&str>,
) -> Result<WaysOut, Failure> {
    Ok(ways_out(&stage.documents, &rules(source, stage, pack)?, units))
}

/// The rules that a turnaround is judged by.
pub(crate) fn rules(source: &Source, stage: &Stage, pack: Option<&str>) -> Result<Rules, Failure> {
    match pack {
        Some(selected) => load::rules(selected),
        None => load::rules_for(&stage.documents.turnaround.pack.value, Some(source)),
    }
}
