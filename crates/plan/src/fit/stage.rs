//! From a prepared turnaround to a case, and from its answer back to a choice that the limits of
//! the turnaround judge again.

use stillprop_calc::{
    burn::MOST_TANKS,
    quantity::{Mass, MassDensity, Volume},
    trace::Silent,
};
use stillprop_turnaround::{
    document::turnaround::Role,
    limits::{Family, Found, Id, Sink, Verdict, Words, load::seat_of},
    stage::{Choice, Item, Setting, Stage},
    units::Units,
};

use super::{Ballast, Case, Fill, Fit, Later, Limit, Thing, Total, Wish};
use crate::stow::{MOST_PLACES, Place};

/// What may be done with the fuel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FuelMay {
    /// Each tank as it is planned.
    Stay,
    /// The planned total, in whichever tanks.
    Spread,
    /// As much as the limits allow and ask for, in whichever tanks.
    Change,
}

/// What a person asks of a fit. Indices are those of the stage.
#[derive(Clone, Debug)]
pub struct Question {
    /// What may be done with the fuel.
    pub fuel: FuelMay,
    /// Fuel is taken in whole steps of this.
    pub step: Volume,
    /// People who keep their seat.
    pub seated: Vec<usize>,
    /// Items that stay where they are.
    pub fixed: Vec<usize>,
    /// People who sit in one row.
    pub together: Vec<(usize, usize)>,
    /// People who do not sit next to an exit.
    pub not_at_exit: Vec<usize>,
    /// Items that must be reached in flight.
    pub reachable: Vec<usize>,
    /// Items that must not be.
    pub out_of_reach: Vec<usize>,
}

/// Why there is no case to answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unfit {
    /// Something is not known, in words.
    Unknown(String),
    /// The planned fuel is no whole number of steps.
    Step,
    /// More people, items, places or tanks than a case takes.
    TooMany,
}

/// A case, with the names of what is in it.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The question in numbers.
    pub case: Case,
    /// Index of the person behind each seated thing; items follow in their order.
    pub people: Vec<usize>,
    totals: Vec<String>,
    wishes: Vec<String>,
    places: Vec<String>,
    tanks: Vec<String>,
    base: Vec<Volume>,
    step: Volume,
}

impl Asked {
    /// The name of a limit as it stands in an assessment, or of a wish in words.
    #[must_use]
    pub fn name(&self, limit: Limit) -> String {
        match limit {
            Limit::Wish(at) => self.wishes[at].clone(),
            Limit::Place(at) => self.places[at].clone(),
            Limit::Tank(at) => self.tanks[at].clone(),
            Limit::Total(at) => self.totals[at].clone(),
            Limit::Forward => "load.cg-forward".into(),
            Limit::Aft => "load.cg-aft".into(),
            Limit::Lateral => "load.cg-lateral".into(),
            Limit::Imbalance => "fuel.imbalance".into(),
        }
    }

    /// Names of the limits that have a say in the smallest margin.
    #[must_use]
    pub fn counted(&self) -> Vec<String> {
        let moved = self.case.moved_places();
        let free = self.case.fills.iter().any(|fill| fill.most > 0);
        let counts = |limit: &Limit| match *limit {
            Limit::Wish(_) => false,
            Limit::Place(at) => moved[at],
            Limit::Tank(at) => self.case.fills[at].most > 0,
            Limit::Total(at) => self.case.totals[at].counted,
            Limit::Imbalance => free,
            Limit::Forward | Limit::Aft | Limit::Lateral => true,
        };
        self.case.limits().into_iter().filter(counts).map(|limit| self.name(limit)).collect()
    }

    /// The smallest margin that an assessment of the choice finds among the limits of this
    /// question; `None` when one of them does not hold.
    #[must_use]
    pub fn margin(&self, stage: &Stage, choice: &Choice) -> Option<f64> {
        let counted = self.counted();
        let asked: Vec<String> =
            self.case.limits().into_iter().map(|limit| self.name(limit)).collect();
        let mut least = 1.0_f64;
        for (name, verdict, share) in named(stage, choice) {
            if asked.contains(&name) {
                if verdict != Verdict::Holds {
                    return None;
                }
                least = if counted.contains(&name) { least.min(share) } else { least };
            }
        }
        Some(least)
    }
}

/// Adds pieces of ballast that a fit may take, after the items there are. A choice takes the
/// first of them for which it has a place.
pub fn offer_ballast(stage: &mut Stage, mass: Mass, pieces: usize) {
    let piece = |n: usize| Item { what: format!("ballast {n}"), mass: Ok(mass) };
    stage.items.extend((1..=pieces).map(piece));
}

/// The choice that a fit makes of another.
#[must_use]
pub fn arranged(asked: &Asked, choice: &Choice, fit: &Fit) -> Choice {
    let mut to = choice.clone();
    let (people, items) = fit.place_of.split_at(asked.people.len());
    for (person, seat) in asked.people.iter().zip(people) {
        to.seat_of[*person] = Some(*seat);
    }
    to.place_of = items.iter().chain(&fit.ballast).copied().collect();
    for ((fuel, base), steps) in to.fuel.iter_mut().zip(&asked.base).zip(&fit.steps) {
        *fuel = Some(*base + asked.step * f64::from(*steps));
    }
    to
}

/// Asks how a turnaround is best arranged. Items of the stage beyond those that the choice places
/// are ballast that may be taken.
///
/// # Errors
///
/// [`Unfit`] when something is not known without which no limit can be judged.
pub fn ask(stage: &Stage, choice: &Choice, question: &Question) -> Result<Asked, Unfit> {
    if stage.places.len() > MOST_PLACES || stage.tanks.len() > MOST_TANKS {
        return Err(Unfit::TooMany);
    }
    let unknown = |why: &String| Unfit::Unknown(why.clone());
    let density = stage.density.as_ref().map_err(unknown)?.value;
    let envelope = stage.envelope.as_ref().map_err(unknown)?.clone();
    stage.plan.as_ref().map_err(unknown)?;
    let (people, things) = things(stage, choice)?;
    let tanks = Tanks::of(stage, choice, question, density)?;
    let (wishes, words) = wishes(stage, choice, question, &people);
    let most = |setting: Setting<Mass>| match setting {
        Setting::Is(most) => Some(most.value),
        Setting::None | Setting::Missing => None,
    };
    let mut case = Case {
        empty: stage.empty,
        places: places(stage),
        most: stage.places.iter().map(|place| most(place.max_mass)).collect(),
        ballast: ballast(stage, choice)?,
        things,
        wishes,
        tanks: stage.burn_tanks.clone(),
        fills: tanks.fills,
        taxi: (stage.documents.aircraft.burn.start_and_taxi.value * density).value,
        later: Vec::new(),
        totals: Vec::new(),
        envelope,
        lateral: set(stage.limits.lateral).map(|arm| arm.value),
        imbalance: set(stage.limits.fuel_imbalance).map(|most| (most * density).value),
    };
    case.later = later(stage, choice, &people, density)?;
    let place = |place: &stillprop_turnaround::stage::Place| {
        let family = if place.seat.is_some() { "seat" } else { "locker" };
        Id::of(Family::Load, family, &place.label).to_string()
    };
    let tank = |tank: &stillprop_turnaround::stage::TankFacts| {
        Id::of(Family::Fuel, "tank", &tank.label).to_string()
    };
    let mut asked = Asked {
        places: stage.places.iter().map(place).collect(),
        tanks: stage.tanks.iter().map(tank).collect(),
        totals: Vec::new(),
        wishes: words,
        people,
        base: tanks.base,
        step: question.step,
        case: case.clone(),
    };
    (asked.totals, case.totals) = totals(stage, choice, &case, &asked);
    if let Some(steps) = tanks.total {
        asked.totals.push("the total of fuel as planned".into());
        let per = case.most_steps() + 1;
        let share = |at: usize| if at % per == steps { 1.0 } else { -1.0 };
        let shares = (0..per * (case.most_pieces() + 1)).map(share).collect();
        case.totals.push(Total { counted: false, shares });
    }
    asked.case = case;
    Ok(asked)
}

fn set<Q>(setting: Setting<Q>) -> Option<Q> {
    match setting {
        Setting::Is(value) => Some(value),
        Setting::None | Setting::Missing => None,
    }
}

fn places(stage: &Stage) -> Vec<Place> {
    let rows = stage.documents.aircraft.seats.iter().map(|seat| seat.row);
    let rows = rows.chain(std::iter::repeat(0));
    let place = |(place, row): (&stillprop_turnaround::stage::Place, u8)| Place {
        arm: place.arm.value,
        lateral: place.lateral.value,
        seats: u8::from(place.seat.is_some()),
        row,
    };
    stage.places.iter().zip(rows).map(place).collect()
}

/// Places that pass a test, one bit each.
fn mask(stage: &Stage, mut passes: impl FnMut(usize) -> bool) -> u64 {
    (0..stage.places.len()).filter(|p| passes(*p)).fold(0, |mask, p| mask | 1 << p)
}

fn seats(stage: &Stage) -> u64 {
    mask(stage, |p| stage.places[p].seat.is_some())
}

/// People with what they hold, then items; and the person behind each of the first.
fn things(stage: &Stage, choice: &Choice) -> Result<(Vec<usize>, Vec<Thing>), Unfit> {
    let unknown = |why: &String| Unfit::Unknown(why.clone());
    let mut people = Vec::new();
    let mut things = Vec::new();
    for (index, person) in stage.people.iter().enumerate() {
        if person.held_by.is_some() && choice.seat_of[index].is_none() {
            continue;
        }
        let mut mass = person.mass.as_ref().map_err(unknown)?.value;
        for (held, infant) in stage.people.iter().enumerate() {
            if infant.held_by == Some(index) && choice.seat_of[held].is_none() {
                mass += infant.mass.as_ref().map_err(unknown)?.value;
            }
        }
        people.push(index);
        let now = seat_of(stage, choice, index);
        things.push(Thing { mass, seated: true, places: seats(stage), now });
    }
    for (item, now) in stage.items.iter().zip(&choice.place_of) {
        let mass = item.mass.as_ref().map_err(unknown)?.value;
        let places = !seats(stage) & mask(stage, |_| true) | 1 << now;
        things.push(Thing { mass, seated: false, places, now: Some(*now) });
    }
    if things.len() > MOST_PLACES { Err(Unfit::TooMany) } else { Ok((people, things)) }
}

/// The loads after each landing at which somebody or something leaves.
fn later(
    stage: &Stage,
    choice: &Choice,
    people: &[usize],
    density: MassDensity,
) -> Result<Vec<Later>, Unfit> {
    let unknown = |why: &String| Unfit::Unknown(why.clone());
    let plan = stage.plan.as_ref().map_err(unknown)?;
    let on = |leg: usize| {
        let mut mass = Vec::new();
        for index in people {
            let mut sum = 0.0;
            for (other, person) in stage.people.iter().enumerate() {
                let held = person.held_by == Some(*index) && choice.seat_of[other].is_none();
                if (other == *index || held) && stage.leaves.rides(other, leg) {
                    sum += person.mass.as_ref().map_err(unknown)?.value;
                }
            }
            mass.push(sum);
        }
        for (index, (item, _)) in stage.items.iter().zip(&choice.place_of).enumerate() {
            let lies = stage.leaves.lies(index, leg);
            mass.push(if lies { item.mass.as_ref().map_err(unknown)?.value } else { 0.0 });
        }
        let used = plan.legs.get(leg - 1).map_or(0.0, |leg| (leg.used * density).value);
        Ok(Later { mass, used })
    };
    stage.leaves.later().map(on).collect()
}

fn ballast(stage: &Stage, choice: &Choice) -> Result<Option<Ballast>, Unfit> {
    let offered = &stage.items[choice.place_of.len().min(stage.items.len())..];
    let Some(first) = offered.first() else { return Ok(None) };
    let mass = first.mass.as_ref().map_err(|why| Unfit::Unknown(why.clone()))?.value;
    let places = mask(stage, |p| stage.places[p].seat.is_none());
    Ok(Some(Ballast { mass, pieces: offered.len(), places }))
}

/// What may be in the tanks.
struct Tanks {
    fills: Vec<Fill>,
    base: Vec<Volume>,
    /// Steps of all tanks together, where the total stays.
    total: Option<usize>,
}

impl Tanks {
    fn of(
        stage: &Stage,
        choice: &Choice,
        question: &Question,
        density: MassDensity,
    ) -> Result<Self, Unfit> {
        let step = question.step;
        let stays = question.fuel == FuelMay::Stay;
        let (mut fills, mut base, mut planned) = (Vec::new(), Vec::new(), 0.0);
        for (index, tank) in stage.tanks.iter().enumerate() {
            let missing = || Unfit::Unknown(format!("the fuel in {} is not given", tank.label));
            let now = choice.fuel[index].ok_or_else(missing)?;
            let from = if stays { now } else { stage.fuel_now[index].ok_or_else(missing)? };
            let room = ((tank.usable - from) / step).value;
            let taken = ((now - from) / step).value;
            planned += taken;
            base.push(from);
            fills.push(Fill {
                base: (from * density).value,
                step: (step * density).value,
                most: if stays { 0 } else { whole(room + WHOLE) },
                now: is_whole(taken).then(|| whole(taken + WHOLE)),
                usable: (tank.usable * density).value,
                side: tank.side,
            });
        }
        let total = match question.fuel {
            FuelMay::Spread if !is_whole(planned) => return Err(Unfit::Step),
            FuelMay::Spread => Some(whole(planned + WHOLE) as usize),
            FuelMay::Stay | FuelMay::Change => None,
        };
        Ok(Self { fills, base, total })
    }
}

/// A number of steps within this of a whole one is that one: litres and gallons do not divide.
const WHOLE: f64 = 1e-6;

fn is_whole(steps: f64) -> bool {
    steps > -WHOLE && (steps - steps.round()).abs() < WHOLE
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn whole(steps: f64) -> u32 {
    steps.clamp(0.0, 1e6).floor() as u32
}

/// What is asked beside the limits, each with words.
fn wishes(
    stage: &Stage,
    choice: &Choice,
    question: &Question,
    people: &[usize],
) -> (Vec<Wish>, Vec<String>) {
    let mut all = Vec::new();
    let thing = |person: usize| people.iter().position(|other| *other == person);
    let name = |person: usize| stage.people[person].name.as_str();
    let mut person = |index: usize, places: u64, words: String| {
        if let Some(thing) = thing(index) {
            all.push((Wish::Within { thing, places }, words));
        }
    };
    let facts = |p: usize| stage.places[p].seat;
    if let Some(pilot) = pilot(stage, choice) {
        let controls = mask(stage, |p| facts(p).is_some_and(|seat| seat.controls));
        person(pilot, controls, format!("{} at the controls", name(pilot)));
    }
    let belts = mask(stage, |p| facts(p).is_some_and(|seat| seat.belt));
    for index in people.iter().filter(|_| belts != seats(stage)) {
        person(*index, belts, format!("a belt for {}", name(*index)));
    }
    for index in &question.seated {
        if let Some(seat) = choice.seat_of[*index] {
            let words = format!("{} stays in {}", name(*index), stage.places[seat].label);
            person(*index, 1 << seat, words);
        }
    }
    let table = &stage.documents.aircraft;
    let inside = mask(stage, |p| table.seats.get(p).is_some_and(|seat| !seat.exit));
    for index in &question.not_at_exit {
        person(*index, inside, format!("{} not next to an exit", name(*index)));
    }
    for (a, b) in &question.together {
        if let (Some(one), Some(other)) = (thing(*a), thing(*b)) {
            let words = format!("{} and {} in one row", name(*a), name(*b));
            all.push((Wish::Together(one, other), words));
        }
    }
    let reached = mask(stage, |p| {
        let locker = p.checked_sub(table.seats.len()).and_then(|at| table.lockers.get(at));
        locker.is_none_or(|locker| locker.reachable_in_flight)
    });
    let mut item = |index: usize, places: u64, words: String| {
        let thing = people.len() + index;
        all.push((Wish::Within { thing, places }, words));
    };
    for index in &question.fixed {
        let place = choice.place_of[*index];
        let (what, label) = (&stage.items[*index].what, &stage.places[place].label);
        item(*index, 1 << place, format!("{what} stays in {label}"));
    }
    for index in &question.reachable {
        item(*index, reached, format!("{} within reach", stage.items[*index].what));
    }
    for index in &question.out_of_reach {
        item(*index, !reached, format!("{} out of reach", stage.items[*index].what));
    }
    all.into_iter().unzip()
}

/// The pilot at the controls now, else the first pilot.
fn pilot(stage: &Stage, choice: &Choice) -> Option<usize> {
    let pilots =
        || (0..stage.people.len()).filter(|index| stage.people[*index].role == Role::Pilot);
    let flies = |index: &usize| {
        let seat = choice.seat_of[*index].and_then(|seat| stage.places[seat].seat);
        seat.is_some_and(|seat| seat.controls)
    };
    pilots().find(flies).or_else(|| pilots().next())
}

/// Limits that depend on the total mass and fuel alone, judged by the turnaround itself for each
/// number of pieces and steps.
fn totals(stage: &Stage, choice: &Choice, case: &Case, asked: &Asked) -> (Vec<String>, Vec<Total>) {
    let per = case.most_steps() + 1;
    let count = per * (case.most_pieces() + 1);
    let locker = case.ballast.map_or(0, |ballast| ballast.places.trailing_zeros() as usize);
    let mut names: Vec<String> = Vec::new();
    let mut shares: Vec<Vec<f64>> = Vec::new();
    let mut known: Vec<bool> = Vec::new();
    for at in 0..count {
        let mut choice = choice.clone();
        choice.place_of.extend(std::iter::repeat_n(locker, at / per));
        let mut left = at % per;
        for ((fuel, fill), base) in choice.fuel.iter_mut().zip(&case.fills).zip(&asked.base) {
            let steps = left.min(fill.most as usize);
            left -= steps;
            *fuel = Some(*base + asked.step * steps as f64);
        }
        let found = named(stage, &choice);
        for (index, (name, verdict, share)) in
            found.into_iter().filter(|l| by_total(&l.0)).enumerate()
        {
            if index == names.len() {
                names.push(name);
                shares.push(Vec::with_capacity(count));
                known.push(false);
            }
            known[index] |= verdict != Verdict::Unknown;
            let share = if verdict == Verdict::Holds { share.max(0.0) } else { -1.0 };
            shares[index].push(share);
        }
    }
    let total = |shares: Vec<f64>| {
        let counted = shares.iter().any(|share| share.total_cmp(&shares[0]).is_ne());
        Total { counted, shares }
    };
    let all = names.into_iter().zip(shares).zip(known).filter(|(_, known)| *known);
    all.map(|((name, shares), _)| (name, total(shares))).unzip()
}

/// Limits of masses, of fuel and of strips that neither depend on where something lies nor are
/// fixed for the day.
fn by_total(name: &str) -> bool {
    const ALL: [&str; 13] = [
        "load.zero-fuel-mass",
        "load.ramp-mass",
        "load.take-off-mass",
        "load.landing-mass.",
        "load.envelope-mass",
        "load.envelope-least-mass",
        "fuel.required",
        "fuel.final-reserve.",
        "strip.take-off-",
        "strip.accelerate-stop",
        "strip.climb",
        "strip.landing-back-here",
        "strip.landing-distance.",
    ];
    ALL.iter().any(|start| name.starts_with(start))
}

/// Every limit by name.
fn named(stage: &Stage, choice: &Choice) -> Vec<(String, Verdict, f64)> {
    let mut sink = Names::default();
    stage.evaluate(choice, &mut sink);
    sink.all
}

#[derive(Default)]
struct Names {
    all: Vec<(String, Verdict, f64)>,
    silent: Silent,
}

impl Sink for Names {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        let share = match found {
            Found::Measured(measure) => measure.share(),
            Found::Condition(_) | Found::Unknown => 1.0,
        };
        self.all.push((id.to_string(), found.verdict(), share));
    }
}
