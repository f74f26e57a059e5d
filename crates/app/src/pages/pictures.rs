//! Every picture of a turnaround: a new one is a line in the table.

use maud::{Markup, PreEscaped, html};
use stillprop_draw::{Width, apron, profile};
use stillprop_turnaround::{
    assess::Assessment,
    stage::{Choice, Stage},
    units::Units,
};

use crate::ground;

/// The part of the page that a picture belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// Where it stands.
    Ground,
    /// The strip.
    Strip,
}

/// What a picture is drawn from.
pub(crate) struct Drawn<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) assessment: &'a Assessment,
    pub(crate) units: &'a Units,
}

type Draw = fn(&Drawn<'_>) -> Result<String, String>;

/// Part, name, and what draws it. All are drawn as for a phone: on a laptop they grow, and one
/// drawing serves both.
const PICTURES: &[(Part, &str, Draw)] = &[
    (Part::Strip, "profile", |of| {
        let picture = ground::profile::picture(of.stage, of.choice, of.units);
        Ok(profile::profile(&picture, Width::PHONE))
    }),
    (Part::Ground, "apron", |of| {
        let view = of.assessment.ground.as_ref().map_err(Clone::clone)?;
        let picture = ground::apron::picture(of.stage, of.choice, view, of.units)?;
        Ok(apron::apron(&picture, Width::PHONE))
    }),
];

/// The pictures of a turnaround, drawn: the part of each, its name, and itself or why there is
/// none.
pub(crate) type Pictures = Vec<(Part, &'static str, Result<String, String>)>;

/// Draws all of them.
pub(crate) fn drawn(from: &Drawn<'_>) -> Pictures {
    PICTURES.iter().map(|(part, name, draw)| (*part, *name, draw(from))).collect()
}

/// The pictures of a part.
pub(crate) fn of(part: Part, all: &Pictures) -> Markup {
    html! {
        @for (_, name, drawn) in all.iter().filter(|(own, ..)| *own == part) {
            @match drawn {
                Ok(svg) => figure class={ "picture " (name) } { (PreEscaped(svg)) },
                Err(why) => p { "There is no picture: " (why) },
            }
        }
    }
}
