//! The best place on an apron as a page and as JSON.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_calc::{
    quantity::{FromAmount, Length},
    unit,
};
use stillprop_plan::park::{Place, Pose, STRIDE};
use stillprop_turnaround::{
    assess::Assessment,
    limits::{Found as Says, site},
    site::Parked,
    stage::{Choice, Stage},
    units::{Round, Units},
};

use crate::report::{
    answer::{Quantity, counted},
    text::{head, list, section},
};

/// What was found, and where.
pub(crate) struct Found<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) place: Option<&'a Place>,
    pub(crate) units: &'a Units,
}

impl Found<'_> {
    /// The smallest clearance ratio of a choice.
    pub(crate) fn ratio(&self, choice: &Choice) -> Option<f64> {
        let mut least = f64::INFINITY;
        site::clearances(self.stage, choice, |each| {
            if let Says::Measured(measure) = each.found() {
                least = least.min(measure.value.si / measure.bound.si);
            }
        });
        least.is_finite().then_some(least)
    }

    /// The clearances of a place, tightest first, in words.
    pub(crate) fn clearances(&self, place: &Place) -> Vec<(f64, String)> {
        let mut choice = self.choice.clone();
        let (Ok(site), Some(at)) = (&self.stage.site, place.pose.at()) else { return Vec::new() };
        choice.parked = Parked::new(&site.airframe, at, place.pose.heading()).ok();
        let mut all = Vec::new();
        site::clearances(self.stage, &choice, |each| {
            if let (Says::Measured(measure), Ok(closest)) = (each.found(), &each.closest) {
                let found = closest.nearest.distance;
                let has = self.units.apron(found, Round::Down);
                let needs = self.units.apron(Length::from_si(measure.bound.si), Round::Up);
                let words = format!(
                    "{:<28} {has} of {needs}, from the {}",
                    each.id().to_string(),
                    closest.from
                );
                all.push((measure.value.si / measure.bound.si, words));
            }
        });
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all
    }

    pub(crate) fn stands(&self, pose: &Pose) -> String {
        let axis = |metres: f64, plus: &str, minus: &str| {
            let word = if metres < 0.0 { minus } else { plus };
            format!("{} {word}", self.units.apron(Length::from_si(metres.abs()), Round::Near))
        };
        format!(
            "{} and {} of the mark, nose {:03.0} true",
            axis(pose.east, "east", "west"),
            axis(pose.north, "north", "south"),
            pose.heading().count(unit::DEG)
        )
    }

    /// How far it is from where the aeroplane stands, in words.
    pub(crate) fn away(&self, pose: &Pose) -> Option<String> {
        let far = self.units.apron(Length::from_si(self.moved(pose)?), Round::Near);
        Some(format!("{far} from where it stands now"))
    }

    /// The same in metres.
    fn moved(&self, pose: &Pose) -> Option<f64> {
        let from = Pose::of(self.choice.parked.as_ref()?);
        Some((pose.east - from.east).hypot(pose.north - from.north))
    }
}

/// What else is so there.
pub(crate) const NOTES: [&str; 3] = [
    "Hose, way out, wind side and the ways on foot hold there too.",
    "Put the extinguishers out anew: they are not part of the search.",
    "An apron has no edge in the documents: see that the ground bears the wheels.",
];
/// Why there is none.
pub(crate) const NOWHERE: &str =
    "hose, way out, wind or the way on foot fail everywhere that was looked at";

/// Whether it holds, and how it compares with where the aeroplane stands.
pub(crate) fn headline(place: &Place, now: Option<f64>) -> (&'static str, String) {
    let said = |ratio: Option<f64>| {
        ratio.map_or_else(|| "unknown".to_owned(), |ratio| format!("{:.0} %", floor(ratio * 100.0)))
    };
    let word = if place.ratio >= 1.0 { "A PLACE THAT HOLDS" } else { "NO PLACE HOLDS" };
    let counts = format!(
        "its tightest clearance is {} of what is asked; now {}",
        said(Some(place.ratio)),
        said(now)
    );
    (word, counts)
}

/// How it rolls out.
pub(crate) const fn out_by(place: &Place) -> &'static str {
    if place.under_power {
        "out to the strip under power: the distances for a running engine hold there"
    } else {
        "out by hand: too near to something to run the engine there"
    }
}

/// Clearances that are shown.
const SHOWN: usize = 5;

/// The place as a person reads it.
pub(crate) fn page(found: &Found<'_>, assessment: &Assessment, stopped: bool) -> String {
    let Some(place) = found.place else {
        let mut out = head(assessment, "NO PLACE FOUND", NOWHERE);
        list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
        return out;
    };
    let (word, counts) = headline(place, found.ratio(found.choice));
    let mut out = head(assessment, word, &counts);
    section(&mut out, "STAND IT HERE");
    let _ = writeln!(out, "  {}", found.stands(&place.pose));
    if let Some(far) = found.away(&place.pose) {
        let _ = writeln!(out, "  {far}");
    }
    let _ = writeln!(out, "  {}", out_by(place));
    section(&mut out, "TIGHTEST CLEARANCES THERE");
    for (ratio, words) in found.clearances(place).into_iter().take(SHOWN) {
        let _ = writeln!(out, "  {:>5.0} % {words}", floor(ratio * 100.0));
    }
    let proof = proof(place, stopped);
    list(&mut out, "NOTES", std::iter::once(proof.as_str()).chain(NOTES));
    list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
    out
}

/// Whole percent, never more than there is.
pub(crate) fn floor(percent: f64) -> f64 {
    (percent + 1e-9).floor()
}

/// How sure it is that there is no better place.
pub(crate) fn proof(place: &Place, stopped: bool) -> String {
    let bound = place.bound * 100.0;
    let mut said = if place.proven {
        format!(
            "No place within reach has a tightest clearance above {bound:.1} %: proven over {} places measured.",
            place.poses
        )
    } else if stopped {
        format!("Stopped: the best so far. None can be above {bound:.1} %.")
    } else {
        format!(
            "The best that was found in {} places; none can be above {bound:.1} %.",
            place.poses
        )
    };
    if place.grainy {
        let _ = write!(said, " Ways on foot were sought in boxes of {STRIDE} m.");
    }
    said
}

/// The place, for programs.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "Parking")]
pub(crate) struct Answer<'a> {
    title: &'a str,
    /// Smallest clearance where it stands now, as a part of what is asked.
    ratio_now: Option<f64>,
    /// The best place found; `null` where none fits.
    place: Option<Stand>,
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// A place on the apron.
#[derive(Debug, JsonSchema, Serialize)]
struct Stand {
    /// East of the mark.
    east: Quantity,
    /// North of the mark.
    north: Quantity,
    /// Where the nose points, true.
    heading: Quantity,
    /// Smallest clearance there, as a part of what is asked.
    ratio: f64,
    /// No place within reach has a greater one.
    bound: f64,
    /// The bound lies close enough to be a proof.
    proven: bool,
    /// Somewhere better only the way on foot was missing, and it was sought in boxes.
    ways_on_foot_in_boxes: bool,
    /// It rolls out with its engine running.
    under_power: bool,
    places_measured: u64,
}

/// The same for programs.
pub(crate) fn answer<'a>(found: &Found<'_>, assessment: &'a Assessment) -> Answer<'a> {
    let stand = |place: &Place| Stand {
        east: counted(place.pose.east, unit::M),
        north: counted(place.pose.north, unit::M),
        heading: counted(place.pose.heading().count(unit::DEG), unit::DEG),
        ratio: place.ratio,
        bound: place.bound,
        proven: place.proven,
        ways_on_foot_in_boxes: place.grainy,
        under_power: place.under_power,
        places_measured: place.poses,
    };
    Answer {
        title: &assessment.title,
        ratio_now: found.ratio(found.choice),
        place: found.place.map(stand),
        cautions: &assessment.cautions,
    }
}
