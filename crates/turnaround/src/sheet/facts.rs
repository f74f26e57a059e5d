//! What decides the contents of a sheet: plain data.

use stillprop_calc::quantity::{FromAmount, Length, Time, Volume};
use stillprop_rules::situation::{Engine, Grade};

use crate::{
    document::turnaround::{Method, Role},
    stage::{Choice, Cited, Figure, Stage, grade_of},
};

/// How fuel is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Fuelling {
    /// From a tanker with its crew.
    Tanker,
    /// From a pump the pilot works.
    SelfServe,
    /// From drums.
    Drum,
    /// None is taken here.
    None,
    /// Fuel is taken, and nobody has said how.
    Unknown,
}

/// How the engine is started.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Start {
    /// By its starter.
    Electric,
    /// By hand.
    Hand,
    /// Not on this sheet.
    None,
}

/// A tank to be filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Tank {
    /// Its name.
    pub label: String,
    /// How much goes in.
    pub litres: Volume,
}

/// A drum to be drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Drum {
    /// Its name.
    pub label: String,
    /// How much into which tank, by its place in [`Facts::tanks`].
    pub into: Vec<(usize, Volume)>,
    /// How long it must stand, or why that is not known.
    pub settles: Figure<Time>,
}

/// A person who works.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worker {
    /// Name.
    pub name: String,
    /// What they may do: `pilot, trained to swing a propeller`.
    pub may: String,
}

/// What decides the contents of a sheet. A figure that is missing holds the words that say so.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Registration of the aeroplane.
    pub registration: String,
    /// Kind of engine.
    pub engine: Engine,
    /// How fuel is taken.
    pub fuelling: Fuelling,
    /// Grade as written.
    pub grade: String,
    /// Tanks to be filled, in the order of filling.
    pub tanks: Vec<Tank>,
    /// Drums, in the order of drawing; empty unless fuel comes from drums.
    pub drums: Vec<Drum>,
    /// Passengers sit in it now.
    pub aboard: bool,
    /// Passengers go with it.
    pub expected: bool,
    /// The pilot.
    pub pilot: Worker,
    /// A second person who works; `None` when the pilot is alone.
    pub second: Option<Worker>,
    /// How the engine is started.
    pub start: Start,
    /// Whether the flight manual permits a start by hand; `None` when nobody has looked.
    pub hand_permitted: Option<bool>,
    /// Whether the rules let a pilot who is alone start by hand.
    pub alone_permitted: Figure<bool>,
    /// Tail wheel; `None` when not known.
    pub tail_wheel: Option<bool>,
    /// Time the tanks stand before their drains are sampled.
    pub settling: Figure<Time>,
    /// Number of extinguishers.
    pub extinguishers: Figure<u32>,
    /// Nearest place of an extinguisher.
    pub extinguisher_near: Figure<Length>,
    /// Farthest place of an extinguisher.
    pub extinguisher_far: Figure<Length>,
    /// Distance from a spill within which nothing is started.
    pub spill_distance: Figure<Length>,
    /// Distance kept clear of a running propeller.
    pub running_distance: Figure<Length>,
    /// Time after a lost bond before it is put on again.
    pub charge_wait: Figure<Time>,
    /// Within what time a spill is reported, and to whom.
    pub report_spill: Figure<String>,
    /// The same for a fire.
    pub report_fire: Figure<String>,
    /// The same for an injury.
    pub report_injury: Figure<String>,
    /// The same for wrong fuel.
    pub report_fuel: Figure<String>,
    /// When the magneto was last proven dead, and how; `None` when nobody has said.
    pub dead_cut: Option<String>,
    /// Whether it would hold at full throttle, in words; `None` when nobody has worked it out.
    pub holds_full: Option<String>,
}

fn missing<Q>(what: &str) -> Figure<Q> {
    Err(format!("no pack gives {what}"))
}

impl Facts {
    /// Nothing known but grade, method and start: what a sheet is made from when nobody has
    /// looked anything up.
    #[must_use]
    pub fn bare(fuelling: Fuelling, grade: &str, start: Start) -> Self {
        Self {
            registration: "the aeroplane".into(),
            engine: Engine::Piston,
            fuelling,
            grade: grade.into(),
            tanks: Vec::new(),
            drums: Vec::new(),
            aboard: true,
            expected: true,
            pilot: Worker { name: "pilot".into(), may: "pilot in command".into() },
            second: None,
            start,
            hand_permitted: None,
            alone_permitted: missing("whether a pilot who is alone may start by hand"),
            tail_wheel: None,
            settling: missing("how long the tanks settle"),
            extinguishers: missing("the number of extinguishers"),
            extinguisher_near: missing("how near an extinguisher may stand"),
            extinguisher_far: missing("how far an extinguisher may stand"),
            spill_distance: missing("the distance from a spill"),
            running_distance: missing("the distance from a running propeller"),
            charge_wait: missing("how long to wait after a lost bond"),
            report_spill: missing("when a spill is reported"),
            report_fire: missing("when a fire is reported"),
            report_injury: missing("when an injury is reported"),
            report_fuel: missing("when wrong fuel is reported"),
            dead_cut: None,
            holds_full: None,
        }
    }

    /// What a stage and a choice say today.
    #[must_use]
    pub fn of(stage: &Stage, choice: &Choice) -> Self {
        let documents = &stage.documents;
        let fuel = &documents.turnaround.fuel;
        let fuelling = match stage.method {
            Some(Method::Tanker) => Fuelling::Tanker,
            Some(Method::SelfServe) => Fuelling::SelfServe,
            Some(Method::Drum) => Fuelling::Drum,
            Some(Method::None) => Fuelling::None,
            None => Fuelling::Unknown,
        };
        let start = if documents.aircraft.starter { Start::Electric } else { Start::Hand };
        let mut facts = Self::bare(fuelling, &fuel.grade.value, start);
        facts.registration.clone_from(&documents.aircraft.registration);
        facts.engine = documents.aircraft.engine;
        let uplifts = stage.tanks.iter().enumerate().filter_map(|(index, tank)| {
            // Where it is not known what is in it, what the document plans to add still is.
            let planned = || stage.drums.uplift.get(index).map(|uplift| uplift.planned);
            let litres = stage.uplift(choice, index).or_else(planned)?;
            (litres.value > 0.0).then(|| Tank { label: tank.label.clone(), litres })
        });
        facts.tanks = uplifts.collect();
        if fuelling == Fuelling::Unknown && facts.tanks.is_empty() {
            facts.fuelling = Fuelling::None;
        }
        facts.drums =
            stage.drums.drums.iter().map(|drum| drum_of(stage, &facts.tanks, drum)).collect();
        let passengers = stage.people.iter().any(|person| person.role == Role::Passenger);
        facts.aboard = passengers;
        facts.expected = passengers;
        if let Some(pilot) = stage.people.iter().find(|person| person.role == Role::Pilot) {
            facts.pilot.name.clone_from(&pilot.name);
        }
        super::ground::fill(&mut facts, stage);
        facts
    }

    /// Whether the grade is a gasoline. A grade that is not known counts as one: that is the
    /// more careful way.
    #[must_use]
    pub fn gasoline(&self) -> bool {
        grade_of(&self.grade) != Some(Grade::Jet)
    }
}

fn drum_of(stage: &Stage, tanks: &[Tank], drum: &crate::drums::named::Drum) -> Drum {
    let draws = &stage.documents.turnaround.fuel.drums;
    let into = draws
        .iter()
        .filter(|draw| drum.is_called(&draw.drum.value))
        .filter_map(|draw| {
            let tank = tanks.iter().position(|tank| tank.label == draw.tank.value)?;
            Some((tank, draw.draw.value))
        })
        .collect();
    let figures = &stage.drums.figures;
    let settles = match &drum.container {
        Err(why) => Err(why.clone()),
        Ok(container) => {
            crate::drums::settle::time(container, figures, &mut stillprop_calc::trace::Silent)
                .map_err(crate::drums::settle::Unsettled::words)
                .map(|value| Cited {
                    value,
                    citation: figures
                        .settling_rate
                        .as_ref()
                        .map_or_else(Clone::clone, |cited| cited.citation.clone()),
                    remark: None,
                })
        }
    };
    Drum { label: drum.label.clone(), into, settles }
}

/// Litres for a title, up: what is asked for is never shown smaller.
pub(super) fn litres(volume: Volume) -> String {
    format!("{:.0} L", (volume.count(stillprop_calc::unit::L) - 1e-9).ceil())
}
