//! Every picture of a turnaround: a new one is a line in the table.

use maud::{Markup, PreEscaped, html};
use stillprop_draw::Width;

use crate::pictures::{Drawn, Kind};

/// The part of the page that a picture belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// Mass and balance.
    Load,
    /// The fuel ladder.
    Fuel,
    /// Where it stands.
    Ground,
    /// The strip and its light.
    Strip,
}

/// Part and picture. All are drawn as for a phone: on a laptop they grow, and one drawing serves
/// both.
const PICTURES: &[(Part, Kind)] = &[
    (Part::Load, Kind::Loading),
    (Part::Load, Kind::Balance),
    (Part::Fuel, Kind::Ladder),
    (Part::Strip, Kind::Profile),
    (Part::Strip, Kind::Day),
    (Part::Ground, Kind::Apron),
];

/// The pictures of a turnaround, drawn: the part of each, its name, and itself or why there is
/// none.
pub(crate) type Pictures = Vec<(Part, String, Result<String, String>)>;

/// Draws all of them.
pub(crate) fn drawn(from: &Drawn<'_>) -> Pictures {
    let drawn = |(part, kind): &(Part, Kind)| {
        (*part, kind.words().replace(' ', "-"), kind.draw(from, Width::PHONE))
    };
    PICTURES.iter().map(drawn).collect()
}

/// The pictures of a part.
pub(crate) fn of(part: Part, all: &Pictures) -> Markup {
    html! {
        div.pictures {
            @for (_, name, drawn) in all.iter().filter(|(own, ..)| *own == part) {
                @match drawn {
                    Ok(svg) => figure class={ "picture " (name) } { (PreEscaped(svg)) },
                    Err(why) => p { "There is no picture: " (why) },
                }
            }
        }
    }
}
