//! What decides the contents of a sheet: plain data.

use jiff::{Timestamp, tz::Offset};
use stillprop_calc::{
    quantity::{Area, FromAmount, Length, Ratio, Time, Volume, VolumeRate},
    unit,
};
use stillprop_rules::{
    document::Given,
    situation::{Engine, Grade},
};

use crate::{
    document::turnaround::{Method, Role},
    stage::{Choice, Cited, Figure, Stage, Unknown, grade_of},
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
    /// The same as the document writes it, where that is not litres: `6 USgal`.
    pub asked: Option<String>,
    /// What it can hold for use; `None` when nobody has said.
    pub usable: Option<Volume>,
    /// What stays in it beside that.
    pub unusable: Option<Volume>,
    /// Usable fuel in it now; `None` when not known.
    pub aboard: Option<Volume>,
}

impl Tank {
    /// A tank of which nothing is known but what goes in.
    #[must_use]
    pub fn bare(label: &str, litres: Volume) -> Self {
        let (label, asked) = (label.to_owned(), None);
        Self { label, litres, asked, usable: None, unusable: None, aboard: None }
    }
}

/// A limit that breaks by the documents, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// Its name: `site.run.visiting-twin`.
    pub id: String,
    /// How it stands and what is done about it.
    pub words: String,
}

/// A drum to be drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Drum {
    /// Its name.
    pub label: String,
    /// How much into which tank, by its place in [`Facts::tanks`].
    pub into: Vec<(usize, Volume)>,
    /// The same as the document writes it, where that is not litres, in the same order.
    pub asked: Vec<Option<String>>,
    /// How long it must stand, or why that is not known.
    pub settles: Figure<Time>,
    /// Since when it stands by the ledger, or why that is not known.
    pub stands: Result<Timestamp, Unknown>,
}

/// A person who works.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worker {
    /// Name.
    pub name: String,
    /// What they may do: `pilot, trained to swing a propeller`.
    pub may: String,
}

/// Somebody who flies along and is briefed, or who is told of the flight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Someone {
    /// Name.
    pub name: String,
    /// What whoever briefs or tells them must know.
    pub notes: Vec<String>,
}

/// What decides the contents of a sheet. A figure that is missing holds the words that say so.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Registration of the aeroplane.
    pub registration: String,
    /// Offset of the clock on the spot.
    pub offset: Offset,
    /// When fuelling begins, where all of it is invented: see [`super::Wait`].
    pub rehearsed: Option<Timestamp>,
    /// Kind of engine.
    pub engine: Engine,
    /// How fuel is taken.
    pub fuelling: Fuelling,
    /// Grade as written.
    pub grade: String,
    /// Grades that the manual allows; `None` when nobody has looked.
    pub allowed: Option<Vec<String>>,
    /// Tanks to be filled, in the order of filling.
    pub tanks: Vec<Tank>,
    /// Drums, in the order of drawing; empty unless fuel comes from drums.
    pub drums: Vec<Drum>,
    /// How far two ways to know the fuel of a tank may differ, as part of the higher.
    pub reconcile: Figure<Ratio>,
    /// How fast is pumped until the outlet is covered.
    pub first_rate: Figure<VolumeRate>,
    /// Limits of the place, of the start and of the grade that break by the documents.
    pub broken: Vec<Broken>,
    /// Fuel that the documents say lies on the ground, each in words.
    pub spilt: Vec<String>,
    /// Passengers sit in it now.
    pub aboard: bool,
    /// Passengers go with it.
    pub expected: bool,
    /// Who goes with it as a passenger and is briefed. An infant that is held is not among them:
    /// whoever holds it is told. A passenger who swings the propeller is.
    pub riders: Vec<Someone>,
    /// Items that go along of which nobody has said what dangerous goods are in them.
    pub unasked: Vec<String>,
    /// The rules want everybody and every bag asked about dangerous goods: where they say so.
    pub ask_goods: Option<String>,
    /// Who is told of the flight before it begins.
    pub tell: Vec<Someone>,
    /// What the documents say of who may fuel: who, what, until when.
    pub may_fuel: Vec<String>,
    /// The same for swinging the propeller.
    pub may_swing: Vec<String>,
    /// The pilot.
    pub pilot: Worker,
    /// A second person who works; `None` when the pilot is alone.
    pub second: Option<Worker>,
    /// The second person flies along, and boards last.
    pub second_rides: bool,
    /// A starter is fitted; `None` when nobody has said.
    pub starter: Option<bool>,
    /// A brake is fitted; `None` when nobody has said.
    pub brake: Option<bool>,
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
    /// Distance that people on foot keep from a propeller.
    pub running_distance: Figure<Length>,
    /// Distance of a running engine from where the public may be.
    pub running_public: Figure<Length>,
    /// Distance of a running engine from another aircraft.
    pub running_aircraft: Figure<Length>,
    /// The fire service is called to a spill larger than this.
    pub call_area: Figure<Area>,
    /// The same, wider than this.
    pub call_width: Figure<Length>,
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
    /// It would not, by the documents, and what is done about it.
    pub gives_way: Option<String>,
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
            offset: Offset::UTC,
            rehearsed: None,
            engine: Engine::Piston,
            fuelling,
            grade: grade.into(),
            allowed: None,
            tanks: Vec::new(),
            drums: Vec::new(),
            reconcile: missing("how far counter, dip and plan may differ"),
            first_rate: missing("how fast is pumped until the outlet is covered"),
            broken: Vec::new(),
            spilt: Vec::new(),
            aboard: true,
            expected: true,
            riders: vec![Someone { name: "passenger".into(), notes: Vec::new() }],
            unasked: Vec::new(),
            ask_goods: None,
            tell: Vec::new(),
            may_fuel: Vec::new(),
            may_swing: Vec::new(),
            pilot: Worker { name: "pilot".into(), may: "pilot in command".into() },
            second: None,
            second_rides: false,
            starter: None,
            brake: None,
            start,
            hand_permitted: None,
            alone_permitted: missing("whether a pilot who is alone may start by hand"),
            tail_wheel: None,
            settling: missing("how long the tanks settle"),
            extinguishers: missing("the number of extinguishers"),
            extinguisher_near: missing("how near an extinguisher may stand"),
            extinguisher_far: missing("how far an extinguisher may stand"),
            spill_distance: missing("the distance from a spill"),
            running_distance: missing("the distance of people from a propeller"),
            running_public: missing("the distance of a running engine from the public"),
            running_aircraft: missing("the distance of a running engine from other aircraft"),
            call_area: missing("from what area on the fire service is called"),
            call_width: missing("from what width on the fire service is called"),
            charge_wait: missing("how long to wait after a lost bond"),
            report_spill: missing("when a spill is reported"),
            report_fire: missing("when a fire is reported"),
            report_injury: missing("when an injury is reported"),
            report_fuel: missing("when wrong fuel is reported"),
            dead_cut: None,
            holds_full: None,
            gives_way: None,
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
        facts.offset = stage.here.offset;
        facts.rehearsed = stage.drums.begins.filter(|_| documents.turnaround.invented);
        let uplifts = stage.tanks.iter().enumerate().filter_map(|(index, tank)| {
            // Where it is not known what is in it, what the document plans to add still is.
            let planned = || stage.drums.uplift.get(index).map(|uplift| uplift.planned);
            let litres = stage.uplift(choice, index).or_else(planned)?;
            (litres.value > 0.0).then(|| Tank {
                label: tank.label.clone(),
                litres,
                asked: asked(stage, &tank.label),
                usable: Some(tank.usable),
                unusable: Some(tank.unusable),
                aboard: stage.fuel_now.get(index).copied().flatten(),
            })
        });
        facts.tanks = uplifts.collect();
        if fuelling == Fuelling::Unknown && facts.tanks.is_empty() {
            facts.fuelling = Fuelling::None;
        }
        facts.drums =
            stage.drums.drums.iter().map(|drum| drum_of(stage, &facts.tanks, drum)).collect();
        if let Some(pilot) = stage.people.iter().find(|person| person.role == Role::Pilot) {
            facts.pilot.name.clone_from(&pilot.name);
        }
        super::ground::fill(&mut facts, stage, choice);
        facts.people(stage);
        super::people::fill(&mut facts, stage, choice);
        facts
    }

    /// The second person does not work after all; whoever that is rides as a passenger.
    pub fn alone(&mut self) {
        let second = self.second.take();
        if let Some(second) = second.filter(|_| std::mem::take(&mut self.second_rides)) {
            (self.aboard, self.expected) = (true, true);
            if !self.riders.iter().any(|rider| rider.name == second.name) {
                self.riders.push(Someone { name: second.name, notes: Vec::new() });
            }
        }
    }

    /// Passengers are those who do not work at the start; whoever swings boards by a task of
    /// their own.
    fn people(&mut self, stage: &Stage) {
        let second = self.second.as_ref().map(|second| second.name.as_str());
        let works = |name: &str| self.start == Start::Hand && second == Some(name);
        let passengers = stage.people.iter().filter(|person| person.role == Role::Passenger);
        let passengers = passengers.filter(|person| !works(&person.name)).count();
        self.second_rides = stage.people.iter().any(|person| works(&person.name));
        (self.aboard, self.expected) = (passengers > 0, passengers > 0);
    }

    /// Whether gasoline goes in, or into this engine. What is not known counts as gasoline:
    /// that is the more careful way.
    #[must_use]
    pub fn burns_gasoline(&self) -> bool {
        let allowed = self.allowed.as_deref().unwrap_or_default();
        let burns = allowed.iter().any(|grade| grade_of(grade) != Some(Grade::Jet));
        self.gasoline() || burns
    }

    /// Whether the manual forbids the grade.
    #[must_use]
    pub fn grade_forbidden(&self) -> bool {
        let named = |allowed: &Vec<String>| {
            allowed.iter().any(|allowed| allowed.eq_ignore_ascii_case(&self.grade))
        };
        self.allowed.as_ref().is_some_and(|allowed| !named(allowed))
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
    let asked = draws
        .iter()
        .filter(|draw| drum.is_called(&draw.drum.value))
        .filter(|draw| tanks.iter().any(|tank| tank.label == draw.tank.value))
        .map(|draw| written(&draw.draw))
        .collect();
    let stands = drum.container.as_ref().map_err(Clone::clone).and_then(|container| {
        crate::drums::settle::standing(container).map_err(crate::drums::settle::Unsettled::words)
    });
    Drum { label: drum.label.clone(), into, asked, settles, stands }
}

/// What goes into a tank, as the document writes it.
fn asked(stage: &Stage, tank: &str) -> Option<String> {
    let tanks = &stage.documents.turnaround.fuel.tanks;
    let uplift = tanks.iter().find(|fuel| fuel.tank.value == tank)?.uplift.as_ref()?;
    written(uplift)
}

/// As it was written, where that was not in litres.
fn written(given: &Given<Volume>) -> Option<String> {
    (given.unit.symbol != unit::L.symbol)
        .then(|| format!("{} {}", round(given.value.count(given.unit)), given.unit.symbol))
}

/// Three places, and no more than it takes.
fn round(number: f64) -> f64 {
    (number * 1000.0).round() / 1000.0
}

/// Litres for a title, with what the document says.
pub(super) fn with_asked(volume: Volume, asked: Option<&String>) -> String {
    let litres = litres(volume);
    asked.map_or_else(|| litres.clone(), |asked| format!("{litres} ({asked} in the document)"))
}

/// Litres for a title, up: what is asked for is never shown smaller.
pub(super) fn litres(volume: Volume) -> String {
    format!("{:.0} L", (volume.count(unit::L) - 1e-9).ceil())
}
