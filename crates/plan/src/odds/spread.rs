//! How far each input may lie from what is typed, by how it is known.
//!
//! | input | standard deviation | source |
//! |---|---|---|
//! | mass, weighed | 0.5 kg | a bathroom or luggage scale; common practice, no source |
//! | person, stated | 3 kg | common practice, no source |
//! | person, standard mass | 15 kg | surveys of passengers for EASA (2009, 2022); from memory |
//! | item, stated | 15 % | common practice, no source |
//! | fuel by dip | 2 % of what the tank holds | common practice, no source |
//! | fuel by gauge | 6 % of what the tank holds | common practice, no source |
//! | fuel full or to a mark | 1 % of what the tank holds | common practice, no source |
//! | fuel reckoned, or not said how | 5 % of what the tank holds | common practice, no source |
//! | fuel taken by a meter | 0.25 % | OIML R 117: at most 0.5 %, taken as two deviations; from memory |
//! | fuel taken from drums | 3 % | common practice, no source |
//! | burn | 5 % | common practice, no source |
//! | wind at cruise | 9.3 kt in each component | ICAO Annex 3, attachment on desirable accuracy: 20 kt in 90 % of cases; from memory |
//! | temperature observed, forecast | 0.6 degC, 1 degC | rounding and shade; ICAO Annex 3 as above: 1 degC in 70 % of cases; from memory |
//! | surface wind forecast | 3.9 kt and 16 deg | ICAO Annex 3 as above: 5 kt and 20 deg in 80 % of cases; from memory |
//! | surface wind observed | half of it | common practice, no source |
//!
//! The wind at cruise: a vector difference that exceeds 20 kt in 10 % of cases, with equal independent
//! components, has `20 / sqrt(2 ln 10) = 9.3` kt in each.

use stillprop_calc::{
    quantity::{FromAmount, Velocity},
    unit,
};
use stillprop_turnaround::{
    document::turnaround::{FuelKnown, MassKnown, Method},
    stage::{Choice, Stage},
};

/// What varies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// Mass of a person.
    Person(usize),
    /// Mass of an item.
    Item(usize),
    /// Fuel in a tank at chocks off.
    Tank(usize),
    /// Burn, on every leg.
    Burn,
    /// Wind at cruise on a leg.
    WindAloft(usize),
    /// Temperature here (0) and at the end of each leg (1 and on).
    Temperature(usize),
    /// Wind near the ground, numbered in the same way.
    SurfaceWind(usize),
}

/// An input with its spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What varies.
    pub subject: Subject,
    /// What people call it.
    pub what: String,
    /// How it is known.
    pub known: &'static str,
    /// Standard deviation, in SI or as a part.
    pub deviation: f64,
    /// The same once it is measured.
    pub measured: f64,
    /// How it is measured: `weigh Ane Borrelk`; empty where nobody can.
    pub measure: String,
    /// Where the spread is from.
    pub source: &'static str,
}

impl Input {
    /// Its spread as a part of that of a forecast.
    pub(super) fn share(&self) -> f64 {
        self.deviation / (WIND_SPEED * KT)
    }
}

const KT: f64 = 1852.0 / 3600.0;
/// Weighed, in kilograms.
const WEIGHED: f64 = 0.5;
/// Stated by a person, in kilograms.
const STATED: f64 = 3.0;
/// Standard mass, in kilograms.
const STANDARD: f64 = 15.0;
/// Stated of an item, as a part.
const ITEM: f64 = 0.15;
/// Burn, as a part.
const BURN: f64 = 0.05;
/// Wind at cruise in each component, in knots.
const ALOFT: f64 = 9.3;
/// Temperature observed and forecast, in degrees.
const TEMPERATURE: [f64; 2] = [0.6, 1.0];
/// Speed of a surface wind forecast, in knots.
const WIND_SPEED: f64 = 3.9;
/// Direction of a surface wind forecast, in radians.
pub(super) const WIND_DIRECTION: (f64,) = (16.0 * std::f64::consts::PI / 180.0,);

const PRACTICE: &str = "common practice, no source";
const SURVEYS: &str = "surveys of passengers for EASA, 2009 and 2022 (from memory)";
const OIML: &str = "OIML R 117, at most 0.5 % (from memory)";
const ANNEX: &str = "ICAO Annex 3, attachment on desirable accuracy (from memory)";

/// Every input that varies, in one order.
#[must_use]
pub fn inputs(stage: &Stage, choice: &Choice) -> Vec<Input> {
    let mut all = Vec::new();
    people(stage, &mut all);
    items(stage, &mut all);
    tanks(stage, choice, &mut all);
    all.push(Input {
        subject: Subject::Burn,
        what: "burn".into(),
        known: "by the book",
        deviation: BURN,
        measured: BURN / 2.5,
        measure: "keep a record of what this aeroplane burns".into(),
        source: PRACTICE,
    });
    for (leg, each) in stage.onward.legs.iter().enumerate() {
        if each.wind.is_some_and(|wind| wind.from.is_some()) {
            all.push(Input {
                subject: Subject::WindAloft(leg),
                what: format!("wind on the way to {}", each.name),
                known: "forecast",
                deviation: ALOFT * KT,
                measured: ALOFT * KT,
                measure: String::new(),
                source: ANNEX,
            });
        }
    }
    air(stage, &mut all);
    all
}

fn people(stage: &Stage, all: &mut Vec<Input>) {
    for (index, person) in stage.people.iter().enumerate() {
        if person.mass.is_err() {
            continue;
        }
        let (known, deviation, source) = match person.known {
            MassKnown::Weighed => ("weighed", WEIGHED, PRACTICE),
            MassKnown::Stated => ("stated", STATED, PRACTICE),
            MassKnown::Standard => ("standard", STANDARD, SURVEYS),
        };
        all.push(Input {
            subject: Subject::Person(index),
            what: person.name.clone(),
            known,
            deviation,
            measured: WEIGHED,
            measure: format!("weigh {}", person.name),
            source,
        });
    }
}

fn items(stage: &Stage, all: &mut Vec<Input>) {
    for (index, (item, document)) in
        stage.items.iter().zip(&stage.documents.turnaround.items).enumerate()
    {
        let Ok(mass) = item.mass else { continue };
        let (known, deviation) = match document.known.value {
            MassKnown::Weighed => ("weighed", WEIGHED),
            MassKnown::Stated | MassKnown::Standard => ("stated", ITEM * mass.count(unit::KG)),
        };
        all.push(Input {
            subject: Subject::Item(index),
            what: item.what.clone(),
            known,
            deviation,
            measured: WEIGHED.min(deviation),
            measure: format!("weigh the {}", item.what),
            source: PRACTICE,
        });
    }
}

/// What is in a tank and what is taken err apart from each other.
fn tanks(stage: &Stage, choice: &Choice, all: &mut Vec<Input>) {
    for (index, tank) in stage.tanks.iter().enumerate() {
        if choice.fuel[index].is_none() {
            continue;
        }
        let usable = tank.usable.si();
        let (known, part) = match stage.fuel_known[index] {
            Some(FuelKnown::Dip) => ("dip", 0.02),
            Some(FuelKnown::Gauge) => ("gauge", 0.06),
            Some(FuelKnown::Full) => ("full", 0.01),
            Some(FuelKnown::Reckoned) => ("reckoned", 0.05),
            None => ("not said how", 0.05),
        };
        let taken = stage.uplift(choice, index).map_or(0.0, |up| up.si().max(0.0));
        let meter = if stage.method == Some(Method::Drum) { 0.03 } else { 0.0025 };
        let both = |part: f64| (part * usable).hypot(meter * taken);
        let empty = stage.fuel_now[index].is_some_and(|now| now.si() <= 0.0);
        let source = if part * usable > meter * taken { PRACTICE } else { OIML };
        let deviation = if empty { both(0.0) } else { both(part) };
        if deviation > 0.0 {
            all.push(Input {
                subject: Subject::Tank(index),
                what: format!("fuel in {}", tank.label),
                known,
                deviation,
                measured: deviation.min(both(0.02)),
                measure: format!("dip {}", tank.label),
                source,
            });
        }
    }
}

fn air(stage: &Stage, all: &mut Vec<Input>) {
    let spots = std::iter::once(Some(&stage.here)).chain(stage.there.iter().map(Option::as_ref));
    for (index, spot) in spots.enumerate() {
        let Some(spot) = spot else { continue };
        let (known, degrees) =
            if index == 0 { ("observed", TEMPERATURE[0]) } else { ("forecast", TEMPERATURE[1]) };
        if spot.weather.temperature.is_some() {
            all.push(Input {
                subject: Subject::Temperature(index),
                what: format!("temperature at {}", spot.name),
                known,
                deviation: degrees,
                measured: degrees / 2.0,
                measure: if index == 0 {
                    "read a thermometer in the shade".into()
                } else {
                    String::new()
                },
                source: if index == 0 { PRACTICE } else { ANNEX },
            });
        }
        if spot.weather.wind.is_some() {
            let forecast = Velocity::of(WIND_SPEED, unit::KT).si();
            let deviation = if index == 0 { forecast / 2.0 } else { forecast };
            all.push(Input {
                subject: Subject::SurfaceWind(index),
                what: format!("wind at {}", spot.name),
                known,
                deviation,
                measured: forecast / 4.0,
                measure: if index == 0 {
                    "read the wind where the aeroplane will lift off".into()
                } else {
                    format!("ask {} for its wind", spot.name)
                },
                source: if index == 0 { PRACTICE } else { ANNEX },
            });
        }
    }
}

/// Measurements that people make, each with the inputs it makes known: one by one, and everybody who
/// was not weighed together.
#[must_use]
pub fn groups(inputs: &[Input]) -> Vec<(String, Vec<usize>)> {
    let worth = |input: &Input| input.measured < input.deviation && !input.measure.is_empty();
    let one = inputs.iter().enumerate().filter(|(_, input)| worth(input));
    let mut all: Vec<(String, Vec<usize>)> =
        one.map(|(index, input)| (input.measure.clone(), vec![index])).collect();
    let people: Vec<usize> = (0..inputs.len())
        .filter(|index| {
            let input = &inputs[*index];
            matches!(input.subject, Subject::Person(_)) && worth(input)
        })
        .collect();
    if people.len() > 1 {
        let names: Vec<&str> = people.iter().map(|index| inputs[*index].what.as_str()).collect();
        all.push((format!("weigh {}", names.join(" and ")), people));
    }
    all
}
