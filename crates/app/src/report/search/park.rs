//! The best place on an apron as a page and as JSON.

use std::fmt::Write;

use serde_json::{Value, json};
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

use crate::report::text::{head, list, section};

/// What was found, and where.
pub(crate) struct Found<'a> {
    pub(crate) stage: &'a Stage,
    pub(crate) choice: &'a Choice,
    pub(crate) place: Option<&'a Place>,
    pub(crate) units: &'a Units,
}

impl Found<'_> {
    /// The smallest clearance ratio of a choice.
    fn ratio(&self, choice: &Choice) -> Option<f64> {
        let mut least = f64::INFINITY;
        site::clearances(self.stage, choice, |each| {
            if let Says::Measured(measure) = each.found() {
                least = least.min(measure.value.si / measure.bound.si);
            }
        });
        least.is_finite().then_some(least)
    }

    /// The clearances of a place, tightest first, in words.
    fn clearances(&self, place: &Place) -> Vec<(f64, String)> {
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

    fn stands(&self, pose: &Pose) -> String {
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

    /// How far it is from where the aeroplane stands.
    fn moved(&self, pose: &Pose) -> Option<f64> {
        let from = Pose::of(self.choice.parked.as_ref()?);
        Some((pose.east - from.east).hypot(pose.north - from.north))
    }
}

/// Clearances that are shown.
const SHOWN: usize = 5;

/// The place as a person reads it.
pub(crate) fn page(found: &Found<'_>, assessment: &Assessment, stopped: bool) -> String {
    let now = found.ratio(found.choice);
    let said = |ratio: Option<f64>| {
        ratio.map_or_else(|| "unknown".to_owned(), |ratio| format!("{:.0} %", floor(ratio * 100.0)))
    };
    let Some(place) = found.place else {
        let counts = "hose, way out, wind or the way on foot fail everywhere that was looked at";
        let mut out = head(assessment, "NO PLACE FOUND", counts);
        list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
        return out;
    };
    let word = if place.ratio >= 1.0 { "A PLACE THAT HOLDS" } else { "NO PLACE HOLDS" };
    let counts = format!(
        "its tightest clearance is {} of what is asked; now {}",
        said(Some(place.ratio)),
        said(now)
    );
    let mut out = head(assessment, word, &counts);
    section(&mut out, "STAND IT HERE");
    let _ = writeln!(out, "  {}", found.stands(&place.pose));
    if let Some(moved) = found.moved(&place.pose) {
        let far = found.units.apron(Length::from_si(moved), Round::Near);
        let _ = writeln!(out, "  {far} from where it stands now");
    }
    let out_by = if place.under_power {
        "out to the strip under power: the distances for a running engine hold there"
    } else {
        "out by hand: too near to something to run the engine there"
    };
    let _ = writeln!(out, "  {out_by}");
    section(&mut out, "TIGHTEST CLEARANCES THERE");
    for (ratio, words) in found.clearances(place).into_iter().take(SHOWN) {
        let _ = writeln!(out, "  {:>5.0} % {words}", floor(ratio * 100.0));
    }
    let mut notes = vec![proof(place, stopped)];
    notes.push("Hose, way out, wind side and the ways on foot hold there too.".into());
    notes.push("Put the extinguishers out anew: they are not part of the search.".into());
    notes.push(
        "An apron has no edge in the documents: see that the ground bears the wheels.".into(),
    );
    list(&mut out, "NOTES", notes.iter().map(String::as_str));
    list(&mut out, "CAUTIONS", assessment.cautions.iter().copied());
    out
}

fn floor(percent: f64) -> f64 {
    (percent + 1e-9).floor()
}

fn proof(place: &Place, stopped: bool) -> String {
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

/// The same for programs.
pub(crate) fn json(found: &Found<'_>, assessment: &Assessment) -> Value {
    let place = found.place.map(|place| {
        json!({
            "east": { "value": place.pose.east, "unit": "m" },
            "north": { "value": place.pose.north, "unit": "m" },
            "heading": { "value": place.pose.heading().count(unit::DEG), "unit": "deg" },
            "ratio": place.ratio,
            "bound": place.bound,
            "proven": place.proven,
            "ways_on_foot_in_boxes": place.grainy,
            "under_power": place.under_power,
            "places_measured": place.poses,
        })
    });
    json!({
        "title": assessment.title,
        "ratio_now": found.ratio(found.choice),
        "place": place,
        "cautions": assessment.cautions,
    })
}
