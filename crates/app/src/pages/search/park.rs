//! Where the aeroplane stands with the most room: the apron with it there.

use maud::{Markup, html};
use stillprop_turnaround::assess::Assessment;

use super::{About, Ask, Tone, left, notes, picture, unanswered};
use crate::{
    problem::Told,
    report::search::park::{Found, NOTES, NOWHERE, floor, headline, out_by, proof},
    report::search::ways_out::capital,
    search::park::Parking,
};

/// Clearances that are shown.
const SHOWN: usize = 6;

/// The apron with the aeroplane at the place that was found.
pub(crate) struct There {
    /// All of the turnaround with it there.
    pub(crate) assessment: Assessment,
    /// The plan, or why there is none.
    pub(crate) plan: Result<String, String>,
}

/// The page where it cannot be asked.
pub(crate) fn unasked(about: &About<'_>, told: &[Told]) -> Markup {
    let word = ("NOT KNOWN", "something is missing");
    about.page(Ask::Park, word, Tone::Unanswered, &unanswered(told))
}

/// The page.
pub(crate) fn page(
    about: &About<'_>,
    found: &Found<'_>,
    parking: &Parking,
    there: Option<&There>,
) -> Markup {
    let Some((place, there)) = found.place.zip(there) else {
        return about.page(Ask::Park, ("NO PLACE FOUND", NOWHERE), Tone::Bad, &html! {});
    };
    let (word, detail) = headline(place, found.ratio(found.choice));
    let holds = place.ratio >= 1.0;
    let body = html! {
        div.beside {
            section aria-labelledby="here" {
                h2 id="here" { "Stand it here" }
                p.large { (found.stands(&place.pose)) }
                @if let Some(far) = found.away(&place.pose) { p { "That is " (far) "." } }
                p { (capital(out_by(place))) "." }
                h3 { "Tightest clearances there" }
                div.wide tabindex="0" role="region" aria-label="Clearances table" {
                    table {
                        thead { tr { th scope="col" { "of what is asked" } th scope="col" { "distance" } } }
                        tbody {
                            @for (ratio, words) in found.clearances(place).into_iter().take(SHOWN) {
                                tr { td { (format!("{:.0} %", floor(ratio * 100.0))) } td.words { (words) } }
                            }
                        }
                    }
                }
                p { (proof(place, parking.stopped)) }
                @if parking.cut && !place.proven { p { "The search was cut short so that this page comes soon: stillprop park looks further." } }
                @if holds {
                    p { "Move the aeroplane and what was put out for it, then write it." }
                    (about.write(Ask::Park, "Write it into a new version", &[]))
                }
            }
            @match &there.plan {
                Ok(svg) => (picture("apron-plan", svg)),
                Err(why) => p { "There is no picture: " (why) },
            }
        }
        (left(about, &there.assessment))
        (notes("notes", "Notes", NOTES.into_iter()))
    };
    about.page(Ask::Park, (word, &detail), Tone::of(holds), &body)
}
