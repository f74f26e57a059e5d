//! The manifest: who and what is aboard on each leg, how every mass is known, what holds every
//! person, what they need, and who is told what. And changes at the last minute, made to the
//! documents so that everything is judged anew.

use jiff::Timestamp;
use stillprop_calc::quantity::{FromAmount, Mass};
use stillprop_rules::{
    document::{At, Given, Problem, did_you_mean},
    situation::Category,
};

use crate::{
    document::turnaround::{MassKnown, Need, Role, Tell, Turnaround},
    stage::{Choice, Stage, Unknown, later},
};

/// A person on a leg.
#[derive(Clone, Debug, PartialEq)]
pub struct Aboard {
    /// Name.
    pub name: String,
    /// Pilot, crew or passenger.
    pub role: Role,
    /// Where they sit, or who holds them.
    pub place: String,
    /// What holds them.
    pub restraint: String,
    /// False when nothing that is known holds them.
    pub restrained: bool,
    /// Mass with what belongs to it.
    pub mass: Result<Mass, Unknown>,
    /// How it is known.
    pub basis: String,
    /// What they need.
    pub needs: Vec<Need>,
    /// The language they understand.
    pub language: Option<String>,
    /// Held by somebody: an infant.
    pub infant: bool,
}

/// An item on a leg.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// What it is.
    pub what: String,
    /// Where it lies.
    pub place: String,
    /// Mass.
    pub mass: Result<Mass, Unknown>,
    /// Dangerous goods in it as declared; `None` when nobody asked.
    pub goods: Option<Vec<String>>,
}

/// Everybody and everything on one leg.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// The leg.
    pub name: String,
    /// People.
    pub people: Vec<Aboard>,
    /// Items.
    pub items: Vec<Loaded>,
    /// Mass of all of them together.
    pub mass: Result<Mass, Unknown>,
}

/// Somebody, and what they are told before boarding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Who.
    pub who: String,
    /// What.
    pub what: String,
    /// Where that comes from.
    pub source: &'static str,
}

/// Who is aboard, what they need, and who is told what.
#[derive(Clone, Debug, PartialEq)]
pub struct Manifest {
    /// Each leg; one without a name when no onward leg is planned.
    pub legs: Vec<Leg>,
    /// Who is told what.
    pub told: Vec<Told>,
}

/// The Australian rule of [`Manifest::told`].
const ALL_TOLD: &str =
    "CASR 92.175 (c) asks it of private flights in Australia (law, read: source)";
/// Help is asked for.
const HELP: &str = "Visual Flight Guide on CAO 20.11: ask how best to help (guidance, superseded, read: second hand)";
/// Oxygen and batteries of mobility aids.
const PILOT: &str = "ICAO Technical Instructions, Table 8-1 (law, read: second hand)";
/// What the trade does.
const PRACTICE: &str = "common practice, no source";

impl Manifest {
    /// The manifest of a choice.
    #[must_use]
    pub fn of(stage: &Stage, choice: &Choice) -> Self {
        let turnaround = &stage.documents.turnaround;
        let names: Vec<&str> = turnaround.legs.iter().map(|leg| leg.name.value.as_str()).collect();
        let last = stage.leaves.last;
        let leg = |index: usize| {
            let people = turnaround.people.iter().enumerate();
            let people = people.filter(|(at, _)| stage.leaves.rides(*at, index));
            let people: Vec<_> = people.map(|(at, _)| aboard(stage, choice, at)).collect();
            let items = turnaround.items.iter().enumerate();
            let items = items.filter(|(at, _)| stage.leaves.lies(*at, index));
            let items: Vec<_> = items.map(|(at, _)| loaded(stage, choice, at)).collect();
            let masses =
                people.iter().map(|one| &one.mass).chain(items.iter().map(|one| &one.mass));
            let mass = masses.cloned().try_fold(Mass::from_si(0.0), |sum, mass| Ok(sum + mass?));
            let name = names.get(index).copied().unwrap_or("").to_owned();
            Leg { name, people, items, mass }
        };
        Self { legs: (0..=last).map(leg).collect(), told: told(stage, choice) }
    }

    /// Everybody is held by something that is known.
    #[must_use]
    pub fn all_restrained(&self) -> bool {
        self.legs.iter().flat_map(|leg| &leg.people).all(|person| person.restrained)
    }
}

fn aboard(stage: &Stage, choice: &Choice, index: usize) -> Aboard {
    let person = &stage.people[index];
    let written = &stage.documents.turnaround.people[index];
    let seat = choice.seat_of[index].and_then(|seat| stage.places.get(seat));
    let (place, restraint, restrained) = match (seat, person.held_by) {
        (Some(place), _) => match place.seat.is_some_and(|seat| seat.belt) {
            true => (place.label.clone(), "belt or harness of the seat".to_owned(), true),
            false => (place.label.clone(), "none: the seat has no belt".to_owned(), false),
        },
        (None, Some(holder)) => {
            let holder = &stage.people[holder].name;
            let holds = format!("held by {holder}: read the rule on infants");
            (format!("held by {holder}"), holds, true)
        }
        (None, None) => ("none".to_owned(), "none: no seat".to_owned(), false),
    };
    Aboard {
        name: person.name.clone(),
        role: person.role,
        place,
        restraint,
        restrained,
        mass: person.mass.clone(),
        basis: basis(stage, index),
        needs: written.needs.clone(),
        language: written.language.clone(),
        infant: person.held_by.is_some() || person.class == Some(Category::Infant),
    }
}

/// How the mass of a person is known, with what the pack adds.
fn basis(stage: &Stage, index: usize) -> String {
    let person = &stage.people[index];
    match person.known {
        MassKnown::Weighed => "weighed".to_owned(),
        MassKnown::Stated => {
            let add = |figure: &crate::stage::Figure<Mass>| match figure {
                Ok(cited) => format!("{:.0} kg", cited.value.count(stillprop_calc::unit::KG)),
                Err(_) => "unknown".to_owned(),
            };
            let figures = &stage.figures;
            let (clothing, bags) = (add(&figures.clothing), add(&figures.hand_baggage));
            format!("stated, with {clothing} clothing and {bags} hand baggage")
        }
        MassKnown::Standard => match &stage.figures.standard_mass_allowed {
            Ok((true, _)) => "standard".to_owned(),
            Ok((false, _)) => "standard, which the pack refuses: weigh or ask".to_owned(),
            Err(_) => "standard, and it is not known whether the pack allows it".to_owned(),
        },
    }
}

fn loaded(stage: &Stage, choice: &Choice, index: usize) -> Loaded {
    let item = &stage.items[index];
    let written = &stage.documents.turnaround.items[index];
    let place = choice.place_of.get(index).and_then(|place| stage.places.get(*place));
    let goods = written.contains.as_ref();
    Loaded {
        what: item.what.clone(),
        place: place.map_or_else(|| "none".to_owned(), |place| place.label.clone()),
        mass: item.mass.clone(),
        goods: goods.map(|goods| goods.iter().map(|one| one.what.value.clone()).collect()),
    }
}

/// Who on the ground is told of the flight: in words, with what is not known said so.
#[must_use]
pub fn of_flight(stage: &Stage, choice: &Choice, tell: &Tell) -> String {
    let offset = stage.here.offset;
    let clock = |at: Timestamp| offset.to_datetime(at).strftime("%H:%M").to_string();
    let mut way = vec![stage.here.name.clone()];
    way.extend(stage.documents.turnaround.legs.iter().map(|leg| leg.name.value.clone()));
    let lands = stage.plan.as_ref().ok().and_then(|plan| plan.legs.last());
    let lands = lands.map(|leg| later(choice.departs, leg.lands_after));
    let last = match lands {
        Some(lands) => format!("last landing {}", clock(lands)),
        None => "when it lands is unknown".to_owned(),
    };
    let alarm = match tell.alarm.as_ref().map(|alarm| alarm.value.instant) {
        None => "from when they call for help is unknown: agree on it".to_owned(),
        Some(alarm) if lands.is_some_and(|lands| alarm <= lands) => {
            format!(
                "help would be called at {}, BEFORE the last landing: agree on a later time",
                clock(alarm)
            )
        }
        Some(alarm) => format!("nothing heard by {}: they call for help", clock(alarm)),
    };
    let reach = tell.reach.as_deref().map(str::trim).filter(|reach| !reach.is_empty());
    let reach = reach.map_or_else(
        || "how they are reached is unknown".to_owned(),
        |reach| format!("reached by {reach}"),
    );
    format!(
        "{}, {} aboard, {}, off at {}, {last}; {alarm}; {reach}",
        stage.documents.aircraft.registration,
        stage.people.len(),
        way.join(" to "),
        clock(choice.departs),
    )
}

/// What each person aboard is told for what they or somebody beside them need.
#[must_use]
pub fn of_people(stage: &Stage) -> Vec<Told> {
    let mut told = Vec::new();
    let mut tell = |who: &str, what: String, source: &'static str| {
        told.push(Told { who: who.to_owned(), what, source });
    };
    for (index, person) in stage.documents.turnaround.people.iter().enumerate() {
        let name = person.name.value.as_str();
        for need in &person.needs {
            let (what, source) = needs(*need, person.language.as_deref());
            tell(name, what, source);
        }
        let alone = person.needs.contains(&Need::ChildAlone);
        match Helper::of(stage, index) {
            Helper::NotNeeded => {}
            Helper::Is(helper) => {
                let what = if alone { ", looks after them, and who meets them" } else { "" };
                let what = format!(
                    "sits beside {name}{what}; belt, door and way out of both in an emergency"
                );
                tell(helper, what, PRACTICE);
            }
            Helper::Leaves(helper) => {
                let what = format!("unknown who sits beside {name} once {helper} has left");
                tell("an adult who is named", what, PRACTICE);
            }
            Helper::Unknown => {
                let what = if alone {
                    ", looks after them, and meets them"
                } else {
                    ", and helps them out in an emergency"
                };
                tell("an adult who is named", format!("who sits beside {name}{what}"), PRACTICE);
            }
        }
        if let Some(holder) = stage.people[index].held_by {
            let what = format!("how to hold {name}, and that the belt is for the holder alone");
            tell(&stage.people[holder].name, what, PRACTICE);
        }
    }
    told
}

/// Who helps a person aboard.
pub(crate) enum Helper<'a> {
    /// They need none.
    NotNeeded,
    /// Nobody is named.
    Unknown,
    /// This one.
    Is(&'a str),
    /// This one, who leaves the flight before they do.
    Leaves(&'a str),
}

impl<'a> Helper<'a> {
    pub(crate) fn of(stage: &'a Stage, index: usize) -> Self {
        let turnaround = &stage.documents.turnaround;
        let Some(person) = turnaround.people.get(index) else { return Self::NotNeeded };
        // Whoever holds an infant helps it; a child alone has nobody of its own.
        let held = person.held_by.is_some();
        let needs = |need: &Need| match need {
            Need::Mobility | Need::Sight => !held,
            Need::ChildAlone => true,
            Need::Hearing | Need::Language => false,
        };
        let Some(helper) = &person.helped_by else {
            let needed = person.needs.iter().any(needs);
            return if needed { Self::Unknown } else { Self::NotNeeded };
        };
        let last = |person: usize| stage.leaves.people.get(person);
        let other = turnaround.people.iter().position(|one| one.name.value == helper.value);
        match other {
            // Stayed behind at the last minute.
            None => Self::Unknown,
            Some(other) if last(other) < last(index) => Self::Leaves(&helper.value),
            Some(_) => Self::Is(&helper.value),
        }
    }
}

fn told(stage: &Stage, choice: &Choice) -> Vec<Told> {
    let mut told = Vec::new();
    let mut tell = |who: &str, what: String, source: &'static str| {
        told.push(Told { who: who.to_owned(), what, source });
    };
    let screening = &stage.screening;
    let mut goods: Vec<&str> = Vec::new();
    for one in &screening.things {
        let place = screening.place(one.bag, &choice.place_of);
        if one.may_come(place) && !goods.contains(&one.thing.said.as_str()) {
            goods.push(&one.thing.said);
        }
        let judged = one.at(place);
        if judged.conditions.iter().any(|condition| condition.starts_with("the pilot is told")) {
            tell("the pilot", format!("{}: how many, and where", one.thing.said), PILOT);
        }
    }
    if !goods.is_empty() {
        let what = format!("before boarding, what is on board: {}", goods.join(", "));
        tell("everybody aboard", what, ALL_TOLD);
    }
    for one in &stage.documents.turnaround.tell {
        tell(&one.who.value, of_flight(stage, choice, one), PRACTICE);
    }
    told.extend(of_people(stage));
    told
}

fn needs(need: Need, language: Option<&str>) -> (String, &'static str) {
    match need {
        Need::Mobility => ("how they are best helped in and out: they are asked".into(), HELP),
        Need::Hearing => ("the briefing in writing and shown; a sign for brace".into(), PRACTICE),
        Need::Sight => ("the briefing by voice and touch: belt, door, way out".into(), PRACTICE),
        Need::Language => {
            let language = language.unwrap_or("their language");
            (format!("the briefing in {language}, and shown"), PRACTICE)
        }
        Need::ChildAlone => ("the briefing in a child's words, and shown".into(), PRACTICE),
    }
}

/// A change at the last minute.
#[derive(Clone, Debug)]
pub enum Change {
    /// A person does not come.
    PersonStays(String),
    /// An item does not come.
    ItemStays(String),
    /// A person sits elsewhere.
    Moves(String, String),
    /// A person was weighed.
    Weighs(String, Given<Mass>),
}

/// Makes a change in a turnaround document.
///
/// # Errors
///
/// When the person or item is not aboard.
pub fn change(turnaround: &mut Turnaround, change: &Change) -> Result<(), Problem> {
    match change {
        Change::PersonStays(name) => {
            let index = person(turnaround, name)?;
            turnaround.leave_person(index);
        }
        Change::ItemStays(what) => {
            let known: Vec<&str> =
                turnaround.items.iter().map(|item| item.what.value.as_str()).collect();
            let index = known.iter().position(|known| known == what);
            let missing = || {
                Problem::new(0..0, format!("there is no item `{what}`"))
                    .help(did_you_mean(what, &known))
            };
            let index = index.ok_or_else(missing)?;
            turnaround.items.remove(index);
        }
        Change::Moves(name, seat) => {
            let index = person(turnaround, name)?;
            turnaround.people[index].seat = Some(At { value: seat.clone(), at: 0..0 });
            turnaround.people[index].held_by = None;
        }
        Change::Weighs(name, mass) => {
            let index = person(turnaround, name)?;
            turnaround.people[index].mass = Some(mass.clone());
            turnaround.people[index].known.value = MassKnown::Weighed;
            turnaround.people[index].class = None;
        }
    }
    Ok(())
}

fn person(turnaround: &Turnaround, name: &str) -> Result<usize, Problem> {
    let known: Vec<&str> =
        turnaround.people.iter().map(|person| person.name.value.as_str()).collect();
    known.iter().position(|known| *known == name).ok_or_else(|| {
        Problem::new(0..0, format!("there is nobody called `{name}`"))
            .help(did_you_mean(name, &known))
    })
}
