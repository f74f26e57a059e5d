//! The pictures of a turnaround: what `draw` takes, made from a prepared stage, a choice and what
//! the assessment says of them. The ground has its own in [`crate::ground`].

pub(crate) mod balance;
pub(crate) mod day;
pub(crate) mod ladder;
pub(crate) mod loading;

use stillprop_draw::{Limit, Verdict};
use stillprop_turnaround::{
    assess::{Assessment, Limit as Assessed},
    limits::Id,
};

use crate::ground::verdict;

/// Which aeroplane.
fn aeroplane(assessment: &Assessment) -> String {
    assessment.aircraft.clone()
}

/// Which turnaround, said once for every picture.
fn turnaround(assessment: &Assessment) -> String {
    let invented = if assessment.invented { " (invented data)" } else { "" };
    format!("{}{invented}", assessment.title)
}

/// The limit of that name; `None` where the manual sets none.
fn find<'a>(assessment: &'a Assessment, id: Id<'_>) -> Option<&'a Assessed> {
    let id = id.to_string();
    assessment.limits.iter().find(|limit| limit.id == id)
}

/// A limit as a picture shows it, under a name that a person says.
fn limit(name: impl Into<String>, of: &Assessed) -> Limit {
    let verdict = verdict(of.verdict);
    let act = of.words.act.as_deref();
    let stands = match (verdict, act) {
        (Verdict::Unknown, Some(missing)) => missing.to_owned(),
        (_, Some(act)) => format!("{}; {act}", of.words.stands),
        (_, None) => of.words.stands.clone(),
    };
    Limit { name: name.into(), stands, verdict }
}
