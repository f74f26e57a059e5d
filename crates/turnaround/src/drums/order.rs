//! The fuel to order, by fuelling method: what to say, what to take, what stays behind.

use stillprop_calc::{
    fuel::round_up,
    quantity::{FromAmount, Volume},
    trace::Silent,
};

use crate::{
    document::turnaround::Method,
    stage::Stage,
    units::{Round, Units},
};

/// Fuel into one tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The tank.
    pub tank: String,
    /// How much, in whole steps of the dispenser where it has any.
    pub volume: Volume,
}

/// Fuel out of one drum.
#[derive(Clone, Debug, PartialEq)]
pub struct FromDrum {
    /// The drum, as the document names it.
    pub drum: String,
    /// How much into which tank.
    pub into: Vec<Line>,
    /// What is left in it by the book; `None` when the drum is not known.
    pub leaves: Option<Volume>,
}

/// The fuel to be taken at this stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// Grade as written.
    pub grade: String,
    /// Each tank that gets any.
    pub lines: Vec<Line>,
    /// All tanks.
    pub total: Volume,
    /// How it is taken.
    pub by: By,
}

/// How fuel is taken.
#[derive(Clone, Debug, PartialEq)]
pub enum By {
    /// From a tanker.
    Tanker {
        /// What to say, and to hear again.
        read_back: String,
        /// What the ticket must show.
        ticket: String,
    },
    /// From a pump that the pilot works.
    SelfServe {
        /// What to look at before the first litre.
        before: String,
        /// What to write down.
        ticket: String,
    },
    /// From drums.
    Drums(Vec<FromDrum>),
    /// Nobody has said how.
    Unknown,
}

/// The order of the turnaround as its document plans it; `None` when no fuel is taken.
#[must_use]
pub fn order(stage: &Stage, units: &Units) -> Option<Order> {
    let fuel = &stage.documents.turnaround.fuel;
    let step = fuel.step.as_ref().map(|step| step.value);
    let whole = |volume: Volume| {
        step.and_then(|step| round_up(volume, step, &mut Silent).ok()).unwrap_or(volume)
    };
    let planned = stage.tanks.iter().zip(&stage.drums.uplift);
    let lines: Vec<Line> = planned
        .filter(|(_, uplift)| uplift.planned.value > 0.0)
        .map(|(tank, uplift)| Line { tank: tank.label.clone(), volume: whole(uplift.planned) })
        .collect();
    if lines.is_empty() || fuel.method == Some(Method::None) {
        return None;
    }
    let total = lines.iter().fold(Volume::from_si(0.0), |sum, line| sum + line.volume);
    let grade = fuel.grade.value.clone();
    let registration = &stage.documents.aircraft.registration;
    let litres = units.fuel(total, Round::Up);
    let ticket =
        format!("on the ticket: {grade}, {litres}, {registration}, date, time, who delivered");
    let by = match fuel.method {
        Some(Method::Tanker) => {
            let tanks: Vec<String> = lines
                .iter()
                .map(|line| format!("{} {}", line.tank, units.fuel(line.volume, Round::Up)))
                .collect();
            let tanks = tanks.join(", ");
            let read_back =
                format!("{registration}: {grade}, {litres} in all. {tanks}. Please read it back.");
            By::Tanker { read_back, ticket }
        }
        Some(Method::SelfServe) => By::SelfServe {
            before: format!("pump, nozzle and filler each say {grade}; sample first"),
            ticket,
        },
        Some(Method::Drum) => By::Drums(from_drums(stage)),
        Some(Method::None) | None => By::Unknown,
    };
    Some(Order { grade, lines, total, by })
}

/// Each named drum with its draws, in the order of the document.
fn from_drums(stage: &Stage) -> Vec<FromDrum> {
    let draws = &stage.documents.turnaround.fuel.drums;
    let of = |drum: &super::named::Drum| FromDrum {
        drum: drum.label.clone(),
        into: draws
            .iter()
            .filter(|draw| drum.is_called(&draw.drum.value))
            .map(|draw| Line { tank: draw.tank.value.clone(), volume: draw.draw.value })
            .collect(),
        leaves: drum
            .container
            .as_ref()
            .ok()
            .map(|container| Volume::from_si((container.left - drum.draw).value.max(0.0))),
    };
    stage.drums.drums.iter().map(of).collect()
}
