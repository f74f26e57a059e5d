//! Small documents without a fault, and the way from texts to verdicts, for tests that break
//! or rewrite them.

use stillprop_rules::{builtin, document::Problem, rules::Rules};
use stillprop_turnaround::{
    document::{check_against, read_aircraft, read_strip, read_turnaround},
    stage::{Choice, Documents, Stage, prepare},
};

/// The texts of one turnaround.
#[derive(Clone, Debug)]
pub struct Texts {
    pub aircraft: String,
    pub strip: String,
    /// The strip document of each leg that names one.
    pub legs: Vec<Option<String>>,
    pub turnaround: String,
}

/// The valid documents of this folder.
pub fn base() -> Texts {
    Texts {
        aircraft: include_str!("base/aircraft.toml").into(),
        strip: include_str!("base/strip.toml").into(),
        legs: vec![Some(include_str!("base/there.toml").into())],
        turnaround: include_str!("base/turnaround.toml").into(),
    }
}

/// Reads texts as the program does: each alone, then the turnaround against the others.
pub fn read(texts: &Texts) -> Result<Documents, Vec<Problem>> {
    let aircraft = read_aircraft(&texts.aircraft)?;
    let strip = read_strip(&texts.strip)?;
    let legs = texts
        .legs
        .iter()
        .map(|leg| leg.as_deref().map(read_strip).transpose())
        .collect::<Result<Vec<_>, _>>()?;
    let turnaround = read_turnaround(&texts.turnaround)?;
    let problems = check_against(&turnaround, &aircraft, &strip, &legs);
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(Documents { turnaround, aircraft, strip, legs })
}

/// The rules that a turnaround names.
pub fn rules(documents: &Documents) -> Result<Rules, Problem> {
    builtin::rules(&documents.turnaround.pack.value)
}

/// Reads and prepares texts that must be without a fault.
pub fn stage(texts: &Texts) -> (Stage, Choice) {
    let documents = read(texts).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let rules = rules(&documents).unwrap_or_else(|problem| panic!("{problem:?}"));
    prepare(documents, &rules)
}
