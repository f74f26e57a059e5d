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

/// The pictures of a part, or why there are none.
pub(crate) fn of(part: Part, from: &Drawn<'_>) -> Markup {
    html! {
        @for (_, kind) in PICTURES.iter().filter(|(own, _)| *own == part) {
            @match kind.draw(from, Width::PHONE) {
                Ok(svg) => figure class={ "picture " (kind.words().replace(' ', "-")) } { (PreEscaped(svg)) },
                Err(why) => p { "There is no picture: " (why) },
            }
        }
    }
}
