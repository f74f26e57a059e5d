//! What the passengers of this flight are told: the items that the packs ask for, as far as they
//! apply to this aeroplane and this flight, filled from the documents.
//!
//! An item that the documents show not to apply (oxygen where none is carried) is left out. One of
//! which nobody knows whether it applies, or what to say, stays and says what to ask: silence would
//! look like nothing to say.
//!
//! No language here: [`Say`] names a sentence and what stands in it, and whoever prints it has the
//! sentence in each language.
//!
//! What is asked for is the pack's. What is then said of it is common practice, no source, except
//! where a sentence names its source below.

use stillprop_calc::walk::Walk;
pub use stillprop_rules::briefing::Item;

use crate::{
    document::{
        aircraft::{Belts, Cabin},
        ground::{StartBy, WingPlace},
        turnaround::{Need, Person, Role},
    },
    limits::load::seat_of,
    manifest::Helper,
    stage::{Choice, Stage},
    units::{Round, Units},
};

/// A sentence, by its name, with what stands in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Say {
    /// Its name.
    pub sentence: &'static str,
    /// Names and values of what stands in it, in the words of the documents.
    pub with: Vec<(&'static str, String)>,
}

/// Every sentence there is; a language must have them all.
pub const SENTENCES: &[&str] = &[
    "boarding-wait",
    "boarding-leave",
    "path-far",
    "path-only",
    "path-closed",
    "path-ask",
    "propeller-still",
    "propeller-side",
    "propeller-unseen",
    "propeller-hand",
    "wing-high",
    "wing-struts",
    "wing-low",
    "wing-ask",
    "balance-seat",
    "balance-stay",
    "doors-which",
    "doors-open",
    "doors-leave",
    "doors-ask",
    "belts-lap",
    "belts-shoulder",
    "belts-ask",
    "belts-when",
    "belts-held",
    "exits-are",
    "exits-try",
    "exits-ask",
    "headsets-wear",
    "headsets-ask",
    "smoking-never",
    "devices-fuel",
    "devices-flight",
    "baggage-stow",
    "baggage-clear",
    "brace-lap",
    "brace-shoulder",
    "brace-ask",
    "emergency-stop",
    "emergency-away",
    "emergency-extinguisher",
    "emergency-first-aid",
    "emergency-beacon",
    "survival-where",
    "survival-ask",
    "jackets-where",
    "jackets-outside",
    "jackets-ask-water",
    "jackets-none",
    "jackets-ask-where",
    "oxygen-use",
    "oxygen-ask",
    "water-where",
    "water-none",
    "water-ask",
    "mobility-tell",
    "need-helped",
    "need-child",
    "need-helper-ask",
    "need-hearing",
    "need-sight",
    "need-card",
    "need-card-ask",
];

/// Languages in which there is a card: tag, then its names in English and in itself.
pub const CARDS: &[&[&str]] = &[
    &["en", "English"],
    &["fr", "French", "français"],
    &["es", "Spanish", "español"],
    &["pt", "Portuguese", "português"],
    &["ar", "Arabic", "العربية"],
];

/// Whether there is a card in a language, as a document names it.
#[must_use]
pub fn has_card(language: &str) -> bool {
    let said = language.trim().to_lowercase();
    CARDS.iter().any(|names| names.iter().any(|name| name.to_lowercase() == said))
}

/// One item of the briefing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Which.
    pub item: Item,
    /// What is said.
    pub says: Vec<Say>,
    /// Something is not known, and one of the sentences says what to ask.
    pub unknown: bool,
    /// Who asks for it: pack, document, clause, status, how it was read.
    pub asked_by: Vec<String>,
}

/// What is said of one person's needs, beside the items.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needs {
    /// Whose.
    pub person: String,
    /// What is said.
    pub says: Vec<Say>,
    /// Something is not known, and one of the sentences says what to ask.
    pub unknown: bool,
}

/// The briefing of a flight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Briefing {
    /// The passengers, by name, with their seats.
    pub passengers: Vec<String>,
    /// The items, in the order in which they are met.
    pub items: Vec<Told>,
    /// What is said for those who need something, in the order of the document; nobody else is
    /// among them. Common practice, no source.
    pub needs: Vec<Needs>,
    /// No pack says what must be told: then nobody can say that this is enough.
    pub nothing_asked: bool,
}

/// What is known of an item.
enum Known {
    /// The documents show that it does not apply.
    Not,
    /// This is said.
    Says(Vec<Say>),
    /// This is said, and the last sentence asks for what is missing.
    Asks(Vec<Say>),
}

/// The briefing of a choice.
#[must_use]
pub fn briefing(stage: &Stage, choice: &Choice, units: &Units) -> Briefing {
    let flight = Flight { stage, choice, units, cabin: &stage.documents.aircraft.cabin };
    let items = stage.briefing.iter().filter_map(|(item, asked_by)| {
        let (says, unknown) = match flight.known(*item) {
            Known::Not => return None,
            Known::Says(says) => (says, false),
            Known::Asks(says) => (says, true),
        };
        Some(Told { item: *item, says, unknown, asked_by: asked_by.clone() })
    });
    Briefing {
        passengers: flight.passengers(),
        items: items.collect(),
        needs: needs(stage),
        nothing_asked: stage.briefing.is_empty(),
    }
}

/// What is said for each person who needs something.
fn needs(stage: &Stage) -> Vec<Needs> {
    let people = stage.documents.turnaround.people.iter().enumerate();
    let of = |(index, person): (usize, &Person)| {
        let name = person.name.value.as_str();
        let about = |sentence| with(sentence, "person", name);
        let (mut says, mut unknown) = (Vec::new(), false);
        for need in &person.needs {
            match need {
                Need::Hearing => says.push(about("need-hearing")),
                Need::Sight => says.push(about("need-sight")),
                Need::Language => {
                    let language = person.language.as_deref().map(str::trim).unwrap_or_default();
                    let card = has_card(language);
                    let mut said = about(if card { "need-card" } else { "need-card-ask" });
                    if card {
                        said.with.push(("language", language.to_owned()));
                    }
                    says.push(said);
                    unknown |= !card;
                }
                // Both are about whoever helps.
                Need::Mobility | Need::ChildAlone => {}
            }
        }
        let sentence =
            if person.needs.contains(&Need::ChildAlone) { "need-child" } else { "need-helped" };
        match Helper::of(stage, index) {
            Helper::NotNeeded => {}
            Helper::Is(helper) => {
                let mut said = about(sentence);
                said.with.push(("helper", helper.to_owned()));
                says.push(said);
            }
            Helper::Unknown | Helper::Leaves(_) => {
                says.push(about("need-helper-ask"));
                unknown = true;
            }
        }
        (!says.is_empty()).then(|| Needs { person: name.to_owned(), says, unknown })
    };
    people.filter_map(of).collect()
}

fn say(sentence: &'static str) -> Say {
    Say { sentence, with: Vec::new() }
}

fn with(sentence: &'static str, name: &'static str, value: impl Into<String>) -> Say {
    Say { sentence, with: vec![(name, value.into())] }
}

/// A place as the documents give it.
enum Place<'a> {
    Unknown,
    None,
    At(&'a str),
}

fn place(written: Option<&String>) -> Place<'_> {
    match written.map(|written| written.trim()) {
        None | Some("") => Place::Unknown,
        Some(none) if none.eq_ignore_ascii_case("none") => Place::None,
        Some(at) => Place::At(at),
    }
}

struct Flight<'a> {
    stage: &'a Stage,
    choice: &'a Choice,
    units: &'a Units,
    cabin: &'a Cabin,
}

impl Flight<'_> {
    fn known(&self, item: Item) -> Known {
        match item {
            Item::Boarding => Known::Says(vec![say("boarding-wait"), say("boarding-leave")]),
            Item::Path => self.path(),
            Item::Propeller => Known::Says(self.propeller()),
            Item::Wing => self.wing(),
            Item::Balance => Known::Says(self.balance()),
            Item::Doors => self.doors(),
            Item::Belts => self.belts(),
            Item::Exits => self.exits(),
            Item::Headsets => match self.cabin.headsets {
                Some(true) => Known::Says(vec![say("headsets-wear")]),
                Some(false) => Known::Not,
                None => Known::Asks(vec![say("headsets-ask")]),
            },
            Item::Smoking => Known::Says(vec![say("smoking-never")]),
            Item::Devices => Known::Says(vec![say("devices-fuel"), say("devices-flight")]),
            Item::HandBaggage => Known::Says(vec![say("baggage-stow"), say("baggage-clear")]),
            Item::Brace => self.brace(),
            Item::Emergency => Known::Says(self.emergency()),
            Item::SurvivalGear => match place(self.cabin.survival_gear.as_ref()) {
                Place::At(at) => Known::Says(vec![with("survival-where", "place", at)]),
                Place::None => Known::Not,
                Place::Unknown => Known::Asks(vec![say("survival-ask")]),
            },
            Item::LifeJackets => self.life_jackets(),
            Item::Oxygen => match self.cabin.oxygen {
                Some(true) => Known::Says(vec![say("oxygen-use")]),
                Some(false) => Known::Not,
                None => Known::Asks(vec![say("oxygen-ask")]),
            },
            Item::Water => match place(self.cabin.water.as_ref()) {
                Place::At(at) => Known::Says(vec![with("water-where", "place", at)]),
                // To be told before the flight, not to be found out during it.
                Place::None => Known::Says(vec![say("water-none")]),
                Place::Unknown => Known::Asks(vec![say("water-ask")]),
            },
            Item::Mobility => Known::Says(vec![say("mobility-tell")]),
        }
    }

    fn passengers(&self) -> Vec<String> {
        let of = |(index, person): (usize, &crate::stage::Person)| {
            let held = person.held_by.and_then(|by| self.stage.people.get(by));
            let at = held.map(|by| by.name.clone()).or_else(|| {
                let seat = seat_of(self.stage, self.choice, index)?;
                self.stage.places.get(seat).map(|place| place.label.clone())
            });
            at.map_or_else(|| person.name.clone(), |at| format!("{}: {at}", person.name))
        };
        let people = self.stage.people.iter().enumerate();
        people.filter(|(_, person)| person.role == Role::Passenger).map(of).collect()
    }

    /// The way that was found on the apron, or that there is none.
    fn path(&self) -> Known {
        let known = self.stage.parked == self.choice.parked;
        let ways: Vec<_> = self.stage.walks.iter().filter_map(|way| way.as_ref().ok()).collect();
        if !known || ways.is_empty() || ways.len() < self.stage.walks.len() {
            return Known::Asks(vec![say("path-only"), say("path-ask")]);
        }
        let lengths = ways.iter().filter_map(|way| match &way.walk {
            Walk::Path { length, .. } => Some(*length),
            Walk::Blocked { .. } => None,
        });
        // The longest: nobody is told that it is nearer than it is.
        match lengths.reduce(|a, b| if a > b { a } else { b }) {
            Some(length) => {
                let far = with("path-far", "length", self.units.apron(length, Round::Up));
                Known::Says(vec![far, say("path-only")])
            }
            None => Known::Asks(vec![say("path-closed"), say("path-ask")]),
        }
    }

    /// FAA Safety Team, propeller safety, second hand: from behind the wing; clear of it whether
    /// it runs or not; hardly seen when it turns; nobody untrained touches it.
    fn propeller(&self) -> Vec<Say> {
        let mut says = vec![say("propeller-still"), say("propeller-side"), say("propeller-unseen")];
        if self.stage.start.by == StartBy::Hand || !self.stage.documents.aircraft.starter {
            says.push(say("propeller-hand"));
        }
        says
    }

    fn wing(&self) -> Known {
        match &self.stage.documents.aircraft.shape {
            None => Known::Asks(vec![say("wing-ask")]),
            Some(shape) => Known::Says(match shape.wing {
                WingPlace::Low => vec![say("wing-low")],
                WingPlace::High if shape.struts.is_empty() => vec![say("wing-high")],
                WingPlace::High => vec![say("wing-high"), say("wing-struts")],
            }),
        }
    }

    fn balance(&self) -> Vec<Say> {
        let seats = self.passengers().join(", ");
        if seats.is_empty() {
            return vec![say("balance-stay")];
        }
        vec![with("balance-seat", "seats", seats), say("balance-stay")]
    }

    fn doors(&self) -> Known {
        let shape = self.stage.documents.aircraft.shape.as_ref();
        let doors = shape.map_or(&[][..], |shape| &shape.doors);
        let names: Vec<&str> = doors.iter().map(|door| door.what.value.as_str()).collect();
        let mut says = vec![say("doors-leave")];
        if !names.is_empty() {
            says.insert(0, with("doors-which", "doors", names.join(", ")));
        }
        match &self.cabin.door_opens {
            Some(how) => {
                says.push(with("doors-open", "how", how));
                Known::Says(says)
            }
            None => {
                says.push(say("doors-ask"));
                Known::Asks(says)
            }
        }
    }

    fn belts(&self) -> Known {
        let mut says = vec![say("belts-when")];
        let held = self.stage.people.iter().filter_map(|person| {
            Some((&person.name, &self.stage.people.get(person.held_by?)?.name))
        });
        says.extend(held.map(|(child, by)| Say {
            sentence: "belts-held",
            with: vec![("child", child.clone()), ("by", by.clone())],
        }));
        match self.cabin.belts {
            Some(Belts::Lap) => says.insert(0, say("belts-lap")),
            Some(Belts::Shoulder) => says.insert(0, say("belts-shoulder")),
            None => {
                says.push(say("belts-ask"));
                return Known::Asks(says);
            }
        }
        Known::Says(says)
    }

    fn exits(&self) -> Known {
        match &self.cabin.exits {
            Some(exits) => Known::Says(vec![with("exits-are", "exits", exits), say("exits-try")]),
            None => Known::Asks(vec![say("exits-try"), say("exits-ask")]),
        }
    }

    fn brace(&self) -> Known {
        match self.cabin.belts {
            Some(Belts::Lap) => Known::Says(vec![say("brace-lap")]),
            Some(Belts::Shoulder) => Known::Says(vec![say("brace-shoulder")]),
            None => Known::Asks(vec![say("brace-ask")]),
        }
    }

    fn emergency(&self) -> Vec<Say> {
        let mut says = vec![say("emergency-stop"), say("emergency-away")];
        let things = [
            ("emergency-extinguisher", &self.cabin.extinguisher),
            ("emergency-first-aid", &self.cabin.first_aid),
            ("emergency-beacon", &self.cabin.beacon),
        ];
        for (sentence, thing) in things {
            if let Place::At(at) = place(thing.as_ref()) {
                says.push(with(sentence, "place", at));
            }
        }
        says
    }

    fn life_jackets(&self) -> Known {
        let over_water = self.stage.documents.turnaround.over_water;
        match (over_water, place(self.cabin.life_jackets.as_ref())) {
            (Some(false), _) => Known::Not,
            (None, _) => Known::Asks(vec![say("jackets-ask-water")]),
            (Some(true), Place::At(at)) => {
                Known::Says(vec![with("jackets-where", "place", at), say("jackets-outside")])
            }
            (Some(true), Place::None) => Known::Asks(vec![say("jackets-none")]),
            (Some(true), Place::Unknown) => {
                Known::Asks(vec![say("jackets-outside"), say("jackets-ask-where")])
            }
        }
    }
}
