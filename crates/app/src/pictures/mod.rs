//! The pictures of a turnaround: what `draw` takes, made from a prepared stage, a choice and what
//! the assessment says of them. The ground has its own in [`crate::ground`].

pub(crate) mod balance;
pub(crate) mod day;
pub(crate) mod ladder;
pub(crate) mod loading;
pub(crate) mod odds;

use clap::ValueEnum;
use stillprop_draw::{self as draw, Limit, Verdict, Width};
use stillprop_turnaround::{
    assess::{Assessment, Limit as Assessed},
    limits::Id,
    stage::{Choice, Stage},
    units::Units,
};

use crate::{
    ground::{self, verdict},
    problem::Failure,
};

/// What to draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    /// The aeroplane from above: what each place carries
    Loading,
    /// Mass against arm: envelope, burn, distance to each edge
    Balance,
    /// The fuel ladder against what is aboard
    Ladder,
    /// Light at the strip and at each destination
    Day,
    /// The aeroplane on the ground: clearances, hose, walking path
    Apron,
    /// The strip from the side
    Profile,
}

impl Kind {
    /// The picture as a person says it.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Loading => "loading",
            Self::Balance => "mass against arm",
            Self::Ladder => "fuel ladder",
            Self::Day => "day ribbon",
            Self::Apron => "apron plan",
            Self::Profile => "strip profile",
        }
    }

    /// The picture as SVG text; `Err` says what is missing.
    pub(crate) fn draw(self, from: &Drawn<'_>, width: Width) -> Result<String, String> {
        let Drawn { stage, choice, assessment, units } = *from;
        Ok(match self {
            Self::Loading => {
                draw::loading::loading(&loading::picture(stage, choice, assessment, units), width)
            }
            Self::Balance => {
                draw::balance::balance(&balance::picture(stage, choice, assessment, units), width)
            }
            Self::Ladder => {
                draw::ladder::ladder(&ladder::picture(stage, choice, assessment, units), width)
            }
            Self::Day => draw::day::day(&day::picture(stage, choice, assessment, None), width),
            Self::Apron => {
                let view = assessment.ground.as_ref().map_err(Clone::clone)?;
                let limits = &assessment.limits;
                let picture = ground::apron::picture(stage, choice, view, limits, units)?;
                draw::apron::apron(&picture, width)
            }
            Self::Profile => {
                draw::profile::profile(&ground::profile::picture(stage, choice, units), width)
            }
        })
    }
}

/// What a picture is drawn from.
#[derive(Clone, Copy)]
pub(crate) struct Drawn<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) assessment: &'a Assessment,
    pub(crate) units: &'a Units,
}

/// Why there is no picture, for whoever asked for it.
pub(crate) fn none(kind: Kind, why: &str) -> Failure {
    Failure::asked(format!("there is no {}: {why}", kind.words()), "describe it, then ask again")
}

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
