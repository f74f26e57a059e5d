//! A day of flying, from its documents: each stop's limits are asked for every amount of fuel.
//!
//! Nothing here has a formula of its own. What a leg burns is the plan that `ready` shows; what is
//! left in which tank is the burn path of the aircraft document; whether a limit holds with so much
//! aboard is what `limits` says of a prepared stage. So a limit need be no bound on the fuel.
//!
//! **Where the fuel goes.** Step by step into the emptiest tank that has room for it, among those into
//! which the turnaround plans an uplift; among all where it plans none. Only where no tank has room is
//! one filled beyond what it holds, so that an answer can say that the tanks are too small.
//!
//! **Limits that wait.** Whether a drum has been sampled is no matter of how much is taken. Limits of
//! drums and samples do not count here: what is unfit is not offered, and what is still to be done
//! at a stop is found when the proposal is assessed in full.

mod proposal;
mod states;
mod supply;

use jiff::{Timestamp, civil::Date};
pub use proposal::Proposal;
use stillprop_calc::quantity::{FromAmount, Volume};
use stillprop_rules::{document::Given, rules::Rules};
use stillprop_turnaround::{
    assess::{Limit as Judged, assess},
    document::day as document,
    drums::Container,
    limits::Verdict,
    stage::{Choice, Documents, Stage, later, prepare},
    units::Units,
};

use self::states::{Column, States};
use super::{Answer, At, Case, Leads, Source, Uplift, solve};
use crate::budget::Budget;

/// A price is reckoned in whole parts of the money, for each step.
pub const PARTS_OF_MONEY: f64 = 1000.0;

/// Most states of one stop, and most entries of a table from stop to stop.
const MOST_STATES: usize = 20_000;
const MOST_ENTRIES: usize = 40_000_000;

/// Why a day cannot be asked about.
#[derive(Clone, Debug, PartialEq)]
pub enum Unfit {
    /// The documents of a stop do not belong to this day.
    Stop {
        /// Which stop.
        stop: usize,
        /// What it is about.
        about: About,
        /// What is wrong.
        message: String,
        /// A way out.
        help: String,
    },
    /// Something is not known without which no fuel can be reckoned: reasons by stop.
    Unknown(Vec<(usize, String)>),
    /// Somebody asked to stop.
    Stopped,
}

/// The part of a stop that a problem is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// Its turnaround.
    Turnaround,
    /// The place of its yard.
    Place,
    /// One of the drums that it names.
    Drum(usize),
}

/// What may be had at a stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The drum, tank, bowser or pump.
    pub name: String,
    /// What can be drawn, where that is bounded.
    pub usable: Option<Volume>,
    /// The day it was filled.
    pub filled: Option<Date>,
    /// It still has to be stood up, no later than this.
    pub stand_by: Option<Timestamp>,
    /// A sample must be drawn first.
    pub sample: bool,
    /// As the search sees it.
    pub source: Source,
}

/// A container that is not offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// What it is called.
    pub name: String,
    /// Nothing can be drawn from it; else it is unfit, or not known to be fit.
    pub empty: bool,
    /// Why not.
    pub why: Vec<String>,
}

/// A stop, prepared.
#[derive(Debug)]
pub struct Stop<'a> {
    /// Its rules.
    rules: &'a Rules,
    /// Ready to take fuel, and the choice its document makes.
    pub stage: Stage,
    /// That choice.
    pub choice: Choice,
    /// Where it takes no fuel.
    resting: Stage,
    /// Tanks that fuel may be put into.
    fills: Vec<bool>,
    /// Steps that are poured at once.
    stride: usize,
    /// Fuel from chocks off to the last landing.
    pub used: Volume,
    /// When that landing is.
    pub lands: Timestamp,
    /// What may be had.
    pub offers: Vec<Offer>,
    /// What may not.
    pub refused: Vec<Refused>,
    /// Drums are emptied or left alone because the pack does not allow to use what is left in them.
    pub whole_by_rule: bool,
}

/// A limit at a stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limit {
    /// Which stop.
    pub stop: usize,
    /// Its name.
    pub id: String,
}

/// A day, prepared.
#[derive(Debug)]
pub struct Day<'a> {
    /// Stops in order.
    pub stops: Vec<Stop<'a>>,
    /// Fuel is taken in whole steps of this.
    pub step: Volume,
    /// Prices were given; without them the least fuel costs least.
    pub priced: bool,
    states: Vec<States>,
    limits: Vec<Limit>,
    /// What is not known counts as broken, and as held.
    cases: [Case; 2],
}

/// A stretch of amounts; without an end where no smaller or greater one could be aboard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// The least.
    pub from: Option<Volume>,
    /// The most.
    pub to: Option<Volume>,
}

/// How sure the answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// Nothing better exists.
    Best,
    /// Nothing better is known to hold; where a limit is unknown there might be.
    BestKnown,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// What to take.
    Take(Uplift, Proof),
    /// These cannot all be kept; without any one of them something does. Empty when the legs cannot
    /// be flown with the fuel there is, whatever the limits.
    Nothing(Vec<Limit>),
    /// Whether anything holds hangs on limits that are not known, each as it stands at a stop.
    Unknown(Vec<(usize, Judged)>),
    /// The search was stopped.
    Stopped,
}

/// Prepares a day. `stops` are the documents of each stop with its rules, as read.
///
/// # Errors
///
/// [`Unfit`].
pub fn day<'a>(
    document: &document::Day,
    stops: Vec<(Documents, &'a Rules)>,
    units: &Units,
    budget: &mut Budget<'_>,
) -> Result<Day<'a>, Unfit> {
    let mut prepared: Vec<Stop<'a>> = Vec::with_capacity(stops.len());
    let mut unknown: Vec<(usize, String)> = Vec::new();
    let first = stops.first().map(|(documents, rules)| prepare(documents.clone(), rules).0);
    let unit = Volume::from_si(first.map_or(0.001, |stage| stage.document_units.fuel.scale));
    let step = document.step.as_ref().map_or(unit, |given| given.value);
    for (at, (of, (documents, rules))) in document.stops.iter().zip(stops).enumerate() {
        match stop(at, of, documents, rules, prepared.last(), step)? {
            Ok(stop) => prepared.push(stop),
            Err(why) => {
                unknown.extend(why.into_iter().map(|why| (at, why)));
                break;
            }
        }
    }
    if !unknown.is_empty() {
        return Err(Unfit::Unknown(unknown));
    }
    let money = supply::Money::of(document, step);
    let cap = states::cap(&prepared, document, step);
    for (at, of) in document.stops.iter().enumerate() {
        let arrives = at.checked_sub(1).map(|before| prepared[before].lands);
        match supply::supply(of, &prepared[at], arrives, &money, cap[at], units) {
            Ok(found) => found.fill(&mut prepared[at]),
            Err(supply::Fault::Unknown(why)) => unknown.push((at, why)),
            Err(supply::Fault::Named(about, message, help)) => {
                return Err(Unfit::Stop { stop: at, about, message, help });
            }
        }
    }
    if !unknown.is_empty() {
        return Err(Unfit::Unknown(unknown));
    }
    supply::none_twice(document, &prepared)?;
    by_states(prepared, step, money.priced, &cap, budget)
}

/// A stop without its supply; or what is not known of it.
fn stop<'a>(
    at: usize,
    of: &document::Stop,
    documents: Documents,
    rules: &'a Rules,
    before: Option<&Stop<'a>>,
    step: Volume,
) -> Result<Result<Stop<'a>, Vec<String>>, Unfit> {
    let taking = proposal::taking(documents.clone(), of, at > 0);
    let (stage, choice) = prepare(taking, rules);
    let (resting, _) = prepare(proposal::resting(documents, at > 0), rules);
    let wrong = |message: String, help: &str| Unfit::Stop {
        stop: at,
        about: About::Turnaround,
        message,
        help: help.to_owned(),
    };
    if let Some((message, help)) = before.and_then(|before| parted(before, &stage)) {
        return Err(wrong(message, help));
    }
    let stride = match (&of.pump, &stage.documents.turnaround.fuel.step) {
        (Some(_), Some(dispenser)) => strides(dispenser, step).ok_or_else(|| {
            let message = "the dispenser of this turnaround has a step that is no whole number of \
                steps of the day, nor the other way round";
            wrong(message.into(), "write the same `step` in the day")
        })?,
        _ => 1,
    };
    let mut unknown: Vec<String> = Vec::new();
    unknown.extend(stage.density.as_ref().err().cloned());
    if at == 0 {
        let tanks = stage.tanks.iter().zip(&stage.fuel_now);
        let missing = tanks.filter(|(_, fuel)| fuel.is_none());
        unknown.extend(missing.map(|(tank, _)| format!("the fuel in {} is not given", tank.label)));
    }
    let landing = match &stage.plan {
        Ok(plan) => plan.legs.last().map(|last| (last.used, last.lands_after)),
        Err(why) => {
            unknown.push(why.clone());
            None
        }
    };
    let Some((used, after)) = landing.filter(|_| unknown.is_empty()) else {
        return Ok(Err(unknown));
    };
    let planned = |tank: &str| {
        let mut all = stage.documents.turnaround.fuel.tanks.iter();
        all.any(|fuel| fuel.tank.value == tank && fuel.uplift.is_some())
    };
    let fills: Vec<bool> = stage.tanks.iter().map(|tank| planned(&tank.label)).collect();
    let none = fills.iter().all(|fills| !fills);
    Ok(Ok(Stop {
        rules,
        fills: fills.iter().map(|fills| *fills || none).collect(),
        stride,
        used,
        lands: later(choice.departs, after),
        stage,
        choice,
        resting,
        offers: Vec::new(),
        refused: Vec::new(),
        whole_by_rule: false,
    }))
}

/// What parts a stop from the one before: another aeroplane, another place, an earlier time, another
/// fuel.
fn parted(before: &Stop<'_>, stage: &Stage) -> Option<(String, &'static str)> {
    let (was, is) = (&before.stage.documents, &stage.documents);
    let registered = |documents: &Documents| documents.aircraft.registration.clone();
    if registered(was) != registered(is) {
        let message =
            format!("this stop has {}, the one before {}", registered(is), registered(was));
        return Some((message, "name the same aircraft; two aeroplanes are two days"));
    }
    let end = before.stage.there.last().and_then(Option::as_ref).map(|spot| &spot.name);
    if end != Some(&stage.here.name) {
        let end = end.map_or("a place without a strip document", |name| name.as_str());
        let message =
            format!("this stop is at {}, the legs before it end at {end}", stage.here.name);
        return Some((
            message,
            "let the last leg of the stop before lead to the strip of this one",
        ));
    }
    let departs = is.turnaround.departs.instant;
    if departs < before.lands {
        let lands = stage.here.offset.to_datetime(before.lands).strftime("%H:%M");
        let message = format!("chocks off before the landing at {lands} of the legs before it");
        return Some((message, "correct `departs` of one of the two turnarounds"));
    }
    let grade = |documents: &Documents| documents.turnaround.fuel.grade.value.to_lowercase();
    (grade(was) != grade(is)).then(|| {
        let message = format!("{} here, {} before", grade(is), grade(was));
        (message, "name one grade of fuel for the whole day")
    })
}

/// Steps of the day that a dispenser gives at once; `None` when neither divides the other.
fn strides(dispenser: &Given<Volume>, step: Volume) -> Option<usize> {
    let whole = |ratio: f64| (ratio - ratio.round()).abs() < 1e-6 && ratio > 0.5;
    let ratio = (dispenser.value / step).value;
    if whole(1.0 / ratio) {
        return Some(1);
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few steps")]
    whole(ratio).then_some(ratio.round() as usize)
}

/// Every state of every stop, and the two cases made of them.
fn by_states<'a>(
    mut stops: Vec<Stop<'a>>,
    step: Volume,
    priced: bool,
    cap: &[usize],
    budget: &mut Budget<'_>,
) -> Result<Day<'a>, Unfit> {
    let mut states: Vec<States> = Vec::new();
    let mut columns: Vec<Vec<Column>> = Vec::new();
    for (at, stop) in stops.iter_mut().enumerate() {
        let arrivals = match states.last() {
            None => vec![stop.stage.fuel_now.iter().copied().flatten().collect()],
            Some(before) => before.left.clone(),
        };
        let found = States::of(stop, &arrivals, step, cap[at]).ok_or_else(|| Unfit::Stop {
            stop: at,
            about: About::Turnaround,
            message: "there are too many amounts of fuel to try".into(),
            help: "write a greater `step` in the day".into(),
        })?;
        columns.push(found.judge(stop, step, budget).ok_or(Unfit::Stopped)?);
        states.push(found);
    }
    let mut limits: Vec<Limit> = Vec::new();
    // Those that say how little come before those that say how much: a conflict then names both.
    for of in [states::reserve, states::required, states::other] {
        for (stop, columns) in columns.iter().enumerate() {
            let some = columns.iter().filter(|column| of(&column.id));
            limits.extend(some.map(|column| Limit { stop, id: column.id.clone() }));
        }
    }
    let case = |held: fn(Verdict) -> bool| Case {
        limits: limits.len(),
        stops: (stops.iter().zip(&states).zip(&columns).enumerate())
            .map(|(at, ((stop, states), columns))| At {
                sources: stop.offers.iter().map(|offer| offer.source).collect(),
                leads: Leads::Table(states.rows.clone()),
                open: states.open.clone(),
                keeps: (limits.iter().enumerate().filter(|(_, limit)| limit.stop == at))
                    .filter_map(|(number, limit)| {
                        let column = columns.iter().find(|column| column.id == limit.id)?;
                        Some((number, column.verdicts.iter().map(|v| held(*v)).collect()))
                    })
                    .collect(),
            })
            .collect(),
    };
    let cases = [case(|v| v == Verdict::Holds), case(|v| v != Verdict::Breaks)];
    Ok(Day { stops, step, priced, states, limits, cases })
}

impl Day<'_> {
    /// What to take.
    #[must_use]
    pub fn answer(&self, units: &Units, budget: &mut Budget<'_>) -> Found {
        let [known, hoped] = &self.cases;
        let named = |set: Vec<usize>| set.into_iter().map(|at| self.limits[at].clone()).collect();
        match (solve(known, budget), solve(hoped, budget)) {
            (Answer::NotKnown, _) | (_, Answer::NotKnown) => Found::Stopped,
            (Answer::Best(best), Answer::Best(other)) => {
                let same = (best.cost, best.parts, best.step_days)
                    == (other.cost, other.parts, other.step_days);
                Found::Take(best, if same { Proof::Best } else { Proof::BestKnown })
            }
            (_, Answer::Nothing(set)) => Found::Nothing(named(set)),
            (Answer::Nothing(_), Answer::Best(best)) => Found::Unknown(self.unknown(&best, units)),
        }
    }

    /// What would have to be known: the unknown limits where they hold if they are held to.
    fn unknown(&self, hoped: &Uplift, units: &Units) -> Vec<(usize, Judged)> {
        let at = hoped.states.iter().enumerate();
        at.flat_map(|(stop, state)| {
            let (stage, choice) = self.states[stop].staged(&self.stops[stop], *state, self.step);
            let limits = assess(&stage, &choice, units).limits.into_iter();
            let counts = limits.filter(|limit| states::counts(&limit.id));
            let some = counts.filter(|limit| limit.verdict == Verdict::Unknown);
            some.map(|limit| (stop, limit)).collect::<Vec<_>>()
        })
        .collect()
    }

    /// Amounts aboard at chocks off with which a limit holds, as stretches of whole steps. Where not
    /// only the amount counts but also the tanks it is in, one way to have it is enough.
    #[must_use]
    pub fn holds_with(&self, limit: &Limit) -> Vec<Stretch> {
        let Some(number) = self.limits.iter().position(|own| own == limit) else {
            return vec![Stretch { from: None, to: None }];
        };
        let at = &self.cases[1].stops[limit.stop];
        let keeps = at.keeps.iter().find(|(own, _)| *own == number).map(|(_, keeps)| keeps);
        self.states[limit.stop].stretches(|state| keeps.is_none_or(|keeps| keeps[state]))
    }

    /// A limit as it stands with the first amount that could be aboard, in words.
    #[must_use]
    pub fn judged(&self, limit: &Limit, units: &Units) -> Option<Judged> {
        let states = &self.states[limit.stop];
        let first = states.open.iter().position(|open| *open)?;
        let (stage, choice) = states.staged(&self.stops[limit.stop], first, self.step);
        assess(&stage, &choice, units).limits.into_iter().find(|judged| judged.id == limit.id)
    }

    /// The proposal worked into the documents of every stop.
    #[must_use]
    pub fn proposal(&self, uplift: &Uplift) -> Vec<Proposal> {
        let of = |(at, state): (usize, &usize)| {
            let stop = &self.stops[at];
            let taken = uplift.draws.iter().filter(|draw| draw.stop == at);
            let draws: Vec<(usize, u32)> = taken.map(|draw| (draw.source, draw.steps)).collect();
            let fuel = &self.states[at].all[*state].fuel;
            let arrives = match at.checked_sub(1) {
                None => stop.stage.fuel_now.iter().copied().flatten().collect(),
                Some(before) => self.states[before].left[uplift.states[before]].clone(),
            };
            proposal::proposal(stop, &arrives, fuel, &draws, self.step)
        };
        uplift.states.iter().enumerate().map(of).collect()
    }
}

/// The containers of a yard at a place.
fn at_place<'a>(yard: &'a [Container], place: &str) -> impl Iterator<Item = &'a Container> {
    yard.iter().filter(move |container| container.place == place)
}
