//! `load.*`: masses, and the balance at every point of the burn.
//!
//! Who or what leaves on the way is aboard up to that landing and not after it. Balance is judged
//! with each load that the flight has: the first from take-off, each other from the beginning of
//! its first leg, all down to empty tanks. The greatest masses are those of the first leg.

use stillprop_calc::{
    burn::{self, MOST_TANKS, Worst, WorstPoints, fuel_after, lateral_extremes, with_fuel},
    envelope::Envelope,
    load::Loading,
    quantity::{FromAmount, Length, Mass, Volume},
    trace::{Silent, Step, Trace},
};

use super::{Family, Found, Gap, Id, Measure, Sink, Words};
use crate::{
    stage::{Choice, Setting, Stage},
    units::{Round, Units},
};

/// The masses that other families need.
#[derive(Clone, Copy, Debug, Default)]
pub struct Masses {
    /// Without usable fuel.
    pub zero_fuel: Option<Mass>,
    /// At chocks off.
    pub ramp: Option<Mass>,
    /// At take-off.
    pub take_off: Option<Mass>,
    /// Fuel mass in each tank at chocks off.
    fuel: [Mass; MOST_TANKS],
    /// Fuel mass in each tank at take-off.
    fuel_at_take_off: [Mass; MOST_TANKS],
    loading: Option<Loading>,
}

impl Masses {
    /// The loading without usable fuel, when every mass is known.
    #[must_use]
    pub fn zero_fuel_loading(&self) -> Option<Loading> {
        self.loading
    }

    /// Fuel mass of each tank at chocks off.
    #[must_use]
    pub fn tank_fuel(&self, tanks: usize) -> &[Mass] {
        &self.fuel[..tanks.min(MOST_TANKS)]
    }

    /// Fuel mass of each tank at take-off.
    #[must_use]
    pub fn take_off_fuel(&self, tanks: usize) -> &[Mass] {
        &self.fuel_at_take_off[..tanks.min(MOST_TANKS)]
    }
}

/// The masses of a choice, without judging them.
pub fn masses(stage: &Stage, choice: &Choice, trace: &mut impl Trace) -> Masses {
    let loading = zero_fuel(stage, choice, 0, trace);
    let mut masses = Masses { loading, ..Masses::default() };
    masses.zero_fuel = loading.map(|loading| loading.mass);
    let Ok(density) = &stage.density else { return masses };
    trace.step(|| density.step("fuel density", "density"));
    let mut known = true;
    for (mass, fuel) in masses.fuel.iter_mut().zip(&choice.fuel) {
        match fuel {
            Some(fuel) => *mass = *fuel * density.value,
            None => known = false,
        }
    }
    if let (Some(loading), true) = (loading, known) {
        let ramp = with_fuel(loading, &stage.burn_tanks, masses.tank_fuel(choice.fuel.len()));
        let taxi = stage.documents.aircraft.burn.start_and_taxi.value * density.value;
        trace.step(|| {
            Step::new("ramp and take-off mass", "ramp = zero fuel + fuel; take-off = ramp - taxi")
                .with("zero fuel", loading.mass)
                .with("taxi", taxi)
                .gives("ramp", ramp.mass)
                .gives("take-off", ramp.mass - taxi)
        });
        masses.ramp = Some(ramp.mass);
        masses.take_off = Some(ramp.mass - taxi);
        let fuel = masses.tank_fuel(choice.fuel.len());
        masses.fuel_at_take_off = fuel_after(&stage.burn_tanks, fuel, taxi);
    }
    masses
}

/// Empty aeroplane with the people and items of a leg; `None` when a mass is not known.
pub(crate) fn zero_fuel(
    stage: &Stage,
    choice: &Choice,
    leg: usize,
    trace: &mut impl Trace,
) -> Option<Loading> {
    let mut sum = stage.empty;
    trace.step(|| Step::new("empty aeroplane", "").gives("m", sum.mass).gives("M", sum.moment));
    for index in (0..stage.people.len()).filter(|index| stage.leaves.rides(*index, leg)) {
        let place = &stage.places[seat_of(stage, choice, index)?];
        let mass = *stage.people[index].mass.as_ref().ok()?;
        sum = sum.add(mass, place.arm, place.lateral);
        trace.step(|| at_place(&stage.people[index].name, mass, place.arm));
    }
    let items = stage.items.iter().zip(&choice.place_of).enumerate();
    for (_, (item, place)) in items.filter(|(index, _)| stage.leaves.lies(*index, leg)) {
        let place = &stage.places[*place];
        let mass = *item.mass.as_ref().ok()?;
        sum = sum.add(mass, place.arm, place.lateral);
        trace.step(|| at_place(&item.what, mass, place.arm));
    }
    Some(sum)
}

fn at_place(what: &str, mass: Mass, arm: Length) -> Step {
    Step::new(what, "m x").with("m", mass).with("x", arm).gives("M", mass * arm)
}

/// Seat of a person, or of the one who holds them.
#[must_use]
pub fn seat_of(stage: &Stage, choice: &Choice, person: usize) -> Option<usize> {
    choice.seat_of[person].or_else(|| {
        let holder = stage.people[person].held_by?;
        choice.seat_of.get(holder).copied().flatten()
    })
}

/// Computes the family and hands on the masses.
pub fn limits<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) -> Masses {
    sink.fresh();
    let masses = masses(stage, choice, sink.trace());
    sink.share();
    whole_masses(stage, &masses, sink);
    landing_masses(stage, &masses, sink);
    balance(stage, choice, &masses, sink);
    for (index, place) in stage.places.iter().enumerate() {
        place_mass(stage, choice, index, place, sink);
    }
    masses
}

fn whole_masses<S: Sink>(stage: &Stage, masses: &Masses, sink: &mut S) {
    let limits = &stage.limits;
    let all = [
        ("zero-fuel-mass", masses.zero_fuel, limits.zero_fuel),
        ("ramp-mass", masses.ramp, limits.ramp),
        ("take-off-mass", masses.take_off, Setting::Is(limits.take_off)),
    ];
    for (name, mass, limit) in all {
        mass_limit(Id::new(Family::Load, name), mass, limit, || missing(stage), sink);
    }
}

/// Landing mass at the end of each leg.
fn landing_masses<S: Sink>(stage: &Stage, masses: &Masses, sink: &mut S) {
    let limit = stage.limits.landing;
    for (index, leg) in stage.documents.turnaround.legs.iter().enumerate() {
        let used = stage.plan.as_ref().ok().map(|plan| plan.legs[index].used);
        let mass = used.and_then(|used| landing_mass(stage, masses, index, used, sink.trace()));
        let id = Id::of(Family::Load, "landing-mass", &leg.name.value);
        mass_limit(id, mass, limit, || plan_or_load(stage), sink);
    }
}

/// Mass of everybody and everything that left at a landing before this leg.
fn gone(stage: &Stage, leg: usize) -> Option<Mass> {
    let people = stage.people.iter().enumerate();
    let people = people.filter(|(index, _)| !stage.leaves.rides(*index, leg));
    let items = stage.items.iter().enumerate();
    let items = items.filter(|(index, _)| !stage.leaves.lies(*index, leg));
    let masses = people.map(|(_, one)| &one.mass).chain(items.map(|(_, one)| &one.mass));
    masses.into_iter().try_fold(Mass::from_si(0.0), |sum, mass| Some(sum + *mass.as_ref().ok()?))
}

/// Mass at the end of a leg, after `used` fuel is gone, and everybody who left before it.
pub(crate) fn landing_mass(
    stage: &Stage,
    masses: &Masses,
    leg: usize,
    used: Volume,
    trace: &mut impl Trace,
) -> Option<Mass> {
    let density = stage.density.as_ref().ok()?;
    let (ramp, used) = (masses.ramp?, used * density.value);
    let gone = gone(stage, leg)?;
    trace.step(|| {
        let step = match gone.value > 0.0 {
            true => Step::new("landing mass", "ramp - fuel used - left on the way")
                .with("left on the way", gone),
            false => Step::new("landing mass", "ramp - fuel used"),
        };
        step.with("ramp", ramp).with("fuel used", used).gives("m", ramp - used - gone)
    });
    Some(ramp - used - gone)
}

fn mass_limit<S: Sink>(
    id: Id<'_>,
    mass: Option<Mass>,
    limit: Setting<Mass>,
    reason: impl FnOnce() -> String,
    sink: &mut S,
) {
    match (limit, mass) {
        (Setting::None, _) => {}
        (Setting::Missing, _) => sink.limit(id, Found::Unknown, |_| {
            Words::missing("the aircraft document does not say what the manual sets")
        }),
        (_, None) => sink.limit(id, Found::Unknown, |_| Words::missing(reason())),
        (Setting::Is(limit), Some(mass)) => {
            let measure = Measure::at_most(mass, limit);
            sink.limit(id, Found::Measured(measure), |units| mass_words(mass, limit, units));
        }
    }
}

fn mass_words(mass: Mass, limit: Mass, units: &Units) -> Words {
    let of = units.mass(limit, Round::Down);
    let words = Words::stands(format!("{} of {of}", units.mass(mass, Round::Up)));
    let over = units.mass(mass - limit, Round::Up);
    words.act(format!("{over} over: leave {over}"))
}

/// Why a mass is not known.
pub(crate) fn missing(stage: &Stage) -> String {
    let people = stage.people.iter().filter_map(|person| person.mass.as_ref().err());
    let items = stage.items.iter().filter_map(|item| item.mass.as_ref().err());
    let density = stage.density.as_ref().err();
    let mut all: Vec<String> = people.chain(items).chain(density).cloned().collect();
    let unfilled = stage.tanks.iter().zip(&stage.fuel_now).filter(|(_, fuel)| fuel.is_none());
    all.extend(unfilled.map(|(tank, _)| format!("the fuel in {} is not given", tank.label)));
    if all.is_empty() {
        return "someone has no seat".into();
    }
    all.join("; ")
}

fn plan_or_load(stage: &Stage) -> String {
    stage.plan.as_ref().err().cloned().unwrap_or_else(|| missing(stage))
}

/// Fuel in each tank when a leg begins; at take-off where the flight is not reckoned, which is
/// never less.
pub(crate) fn fuel_on(stage: &Stage, masses: &Masses, leg: usize) -> [Mass; MOST_TANKS] {
    let before = leg.checked_sub(1);
    let plan = stage.plan.as_ref().ok();
    let used = before.and_then(|before| plan?.legs.get(before)).map(|leg| leg.used);
    match (used, &stage.density) {
        (Some(used), Ok(density)) => {
            let fuel = masses.tank_fuel(stage.burn_tanks.len());
            let aboard: Mass = fuel.iter().copied().sum();
            let used = used * density.value;
            fuel_after(&stage.burn_tanks, fuel, if used < aboard { used } else { aboard })
        }
        _ => masses.fuel_at_take_off,
    }
}

/// The worst point towards one boundary, with the load and the leg of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Nearest {
    /// Where it is.
    pub(crate) point: Worst,
    /// The aeroplane without fuel on that leg.
    pub(crate) dry: Loading,
    /// The first leg with that load.
    pub(crate) leg: usize,
}

/// Worst points of the whole flight.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Along<'a> {
    /// The envelope.
    pub(crate) envelope: &'a Envelope,
    /// Towards the forward and the aft boundary.
    pub(crate) sides: [Nearest; 2],
    /// Greatest mass: at take-off.
    pub(crate) heaviest: Mass,
}

/// Worst points of the flight: with each load from the beginning of its first leg down to empty
/// tanks, since the reserve is there to be burnt.
///
/// # Errors
///
/// What is not known.
pub(crate) fn worst_points<'a>(
    stage: &'a Stage,
    choice: &Choice,
    masses: &Masses,
    trace: &mut impl Trace,
) -> Result<Along<'a>, Gap<'a>> {
    let envelope = stage.envelope.as_ref().map_err(|why| Gap::Said(why))?;
    let tanks = &stage.burn_tanks;
    let loading =
        masses.loading.filter(|_| masses.ramp.is_some() && tanks.len() == stage.tanks.len());
    let dry = loading.ok_or(Gap::Mass(stage))?;
    let none = Mass::from_si(0.0);
    let no_mass = Gap::Said("the aeroplane has no mass");
    let fuel = masses.take_off_fuel(tanks.len());
    let worst = burn::worst(dry, tanks, fuel, none, envelope, trace).ok_or(no_mass)?;
    let nearest = |point| Nearest { point, dry, leg: 0 };
    let sides = [nearest(worst.forward), nearest(worst.aft)];
    let mut along = Along { envelope, sides, heaviest: worst.heaviest };
    let mut shares = balances(envelope, &worst).map(|measure| measure.share());
    for leg in stage.leaves.later() {
        trace.step(|| {
            Step::new(format!("from the leg to {} on", leg_name(stage, leg)), "")
                .remark("without who and what left before it")
        });
        let dry = zero_fuel(stage, choice, leg, trace).ok_or(Gap::Mass(stage))?;
        let fuel = fuel_on(stage, masses, leg);
        let fuel = &fuel[..tanks.len().min(MOST_TANKS)];
        let worst = burn::worst(dry, tanks, fuel, none, envelope, trace)
            .ok_or(Gap::Said("the aeroplane has no mass"))?;
        let found = [worst.forward, worst.aft].into_iter().zip(balances(envelope, &worst));
        for ((side, share), (point, measure)) in along.sides.iter_mut().zip(&mut shares).zip(found)
        {
            let found = measure.share();
            if found.is_nan() || found < *share {
                *share = found;
                *side = Nearest { point, dry, leg };
            }
        }
    }
    Ok(along)
}

/// The worst points towards the forward and the aft boundary; `None` when they are not known.
#[must_use]
pub fn worst(stage: &Stage, choice: &Choice, masses: &Masses) -> Option<[Worst; 2]> {
    let along = worst_points(stage, choice, masses, &mut Silent).ok()?;
    Some(along.sides.map(|side| side.point))
}

/// Each load of the flight, without fuel, with the fuel of each tank when it begins: at take-off
/// for the first, at the landing where somebody or something left for the others. Empty when a mass
/// is not known.
#[must_use]
pub fn loads(stage: &Stage, choice: &Choice, masses: &Masses) -> Vec<(Loading, Vec<Mass>)> {
    let tanks = stage.burn_tanks.len();
    let (Some(first), Some(_)) = (masses.loading, masses.ramp) else { return Vec::new() };
    let later = stage.leaves.later().filter_map(|leg| {
        let fuel = fuel_on(stage, masses, leg);
        Some((zero_fuel(stage, choice, leg, &mut Silent)?, fuel.into_iter().take(tanks).collect()))
    });
    std::iter::once((first, masses.take_off_fuel(tanks).to_vec())).chain(later).collect()
}

/// Name of a leg.
pub(crate) fn leg_name(stage: &Stage, leg: usize) -> &str {
    stage.documents.turnaround.legs.get(leg).map_or("", |leg| leg.name.value.as_str())
}

/// Forward, aft, top of the envelope and lateral.
fn balance<S: Sink>(stage: &Stage, choice: &Choice, masses: &Masses, sink: &mut S) {
    let [forward, aft, top, bottom] =
        ["cg-forward", "cg-aft", "envelope-mass", "envelope-least-mass"]
            .map(|name| Id::new(Family::Load, name));
    match worst_points(stage, choice, masses, sink.trace()) {
        Err(gap) => {
            for id in [forward, aft, top, bottom] {
                sink.limit(id, Found::Unknown, |_| Words::missing(gap.words()));
            }
        }
        Ok(along) => {
            sink.share();
            let envelope = along.envelope;
            let measures = measures(envelope, along.sides.map(|side| side.point));
            let sides = along.sides.iter().zip(["forward", "aft"]).zip(measures);
            for (id, ((nearest, side), measure)) in [forward, aft].into_iter().zip(sides) {
                let words = |units: &Units| balance_words(stage, nearest, side, units);
                sink.limit(id, Found::Measured(measure), words);
            }
            let limit = Setting::Is(envelope.top());
            mass_limit(top, Some(along.heaviest), limit, || missing(stage), sink);
            least_mass(stage, masses, bottom, envelope, sink);
        }
    }
    lateral(stage, choice, masses, sink);
    sink.fresh();
}

/// The lightest planned landing against the lowest line of the envelope: below it the manual
/// says nothing.
fn least_mass<S: Sink>(
    stage: &Stage,
    masses: &Masses,
    id: Id<'_>,
    envelope: &Envelope,
    sink: &mut S,
) {
    let used = stage.plan.as_ref().ok().and_then(|plan| plan.legs.last()).map(|leg| leg.used);
    let last = stage.leaves.last;
    let mass = used.and_then(|used| landing_mass(stage, masses, last, used, sink.trace()));
    let Some(mass) = mass else {
        return sink.limit(id, Found::Unknown, |_| Words::missing(plan_or_load(stage)));
    };
    let bottom = envelope.bottom();
    sink.limit(id, Found::Measured(Measure::at_least(mass, bottom)), |units| {
        let short = units.mass(bottom - mass, Round::Up);
        Words::stands(format!(
            "{} at the last landing, envelope from {}",
            units.mass(mass, Round::Down),
            units.mass(bottom, Round::Up)
        ))
        .act(format!("{short} below the envelope: carry ballast or fuel, as the manual allows"))
    });
}

/// Forward and aft balance at their worst points, each as a share of the width of the envelope
/// at the mass there.
#[must_use]
pub fn balances(envelope: &Envelope, worst: &WorstPoints) -> [Measure; 2] {
    measures(envelope, [worst.forward, worst.aft])
}

fn measures(envelope: &Envelope, [forward, aft]: [Worst; 2]) -> [Measure; 2] {
    let share = |measure: Measure, point: &Worst| {
        let cut = envelope.cut(point.mass);
        measure.share_of(cut.aft - cut.forward)
    };
    [
        share(Measure::at_least(forward.arm, forward.boundary), &forward),
        share(Measure::at_most(aft.arm, aft.boundary), &aft),
    ]
}

fn balance_words(stage: &Stage, nearest: &Nearest, side: &str, units: &Units) -> Words {
    let point = &nearest.point;
    let left = point.mass - nearest.dry.mass;
    let fuel = stage.density.as_ref().map_or_else(
        |_| units.mass(left, Round::Near),
        |density| units.fuel(left / density.value, Round::Near),
    );
    let limit = units.arm(point.boundary);
    let at = units.arm(point.arm);
    let on = match nearest.leg {
        0 => String::new(),
        leg => format!(" on the leg to {}", leg_name(stage, leg)),
    };
    let stands = format!("{at} against {limit} with {fuel} left{on}");
    let outside = units.arm_step(-point.margin, Round::Up);
    let held = point
        .held
        .then(|| "the mass there is outside the envelope; its nearest boundary is used".into());
    Words::stands(stands).act(format!("{outside} too far {side} with {fuel} left{on}")).remark(held)
}

fn lateral<S: Sink>(stage: &Stage, choice: &Choice, masses: &Masses, sink: &mut S) {
    let id = Id::new(Family::Load, "cg-lateral");
    let limit = match stage.limits.lateral {
        Setting::None => return,
        Setting::Missing => {
            return sink.limit(id, Found::Unknown, |_| {
                Words::missing("the aircraft document does not say what the manual sets")
            });
        }
        Setting::Is(limit) => limit,
    };
    let Some((left, right)) = sideways(stage, choice, masses) else {
        return sink.limit(id, Found::Unknown, |_| Words::missing(missing(stage)));
    };
    let most = if -left > right { -left } else { right };
    let side = if -left > right { "left" } else { "right" };
    sink.trace().step(|| {
        Step::new("greatest lateral arm along the burn", "My / m at each end of a stretch")
            .gives("left", left)
            .gives("right", right)
    });
    sink.limit(id, Found::Measured(Measure::at_most(most, limit)), |units| {
        let over = units.arm_step(most - limit, Round::Up);
        Words::stands(format!(
            "{} {side} of {}",
            units.arm_step(most, Round::Up),
            units.arm_step(limit, Round::Down)
        ))
        .act(format!("{over} too far {side}"))
    });
}

/// The greatest lateral arms to either side, with each load that the flight has.
fn sideways(stage: &Stage, choice: &Choice, masses: &Masses) -> Option<(Length, Length)> {
    let tanks = &stage.burn_tanks;
    let none = Mass::from_si(0.0);
    let dry = masses.loading.filter(|_| masses.ramp.is_some())?;
    let fuel = masses.take_off_fuel(tanks.len());
    let (mut left, mut right) = lateral_extremes(dry, tanks, fuel, none)?;
    for leg in stage.leaves.later() {
        let dry = zero_fuel(stage, choice, leg, &mut Silent)?;
        let fuel = fuel_on(stage, masses, leg);
        let fuel = &fuel[..tanks.len().min(MOST_TANKS)];
        let (least, most) = lateral_extremes(dry, tanks, fuel, none)?;
        left = if least < left { least } else { left };
        right = if most > right { most } else { right };
    }
    Some((left, right))
}

/// What sits or lies in one place.
fn place_mass<S: Sink>(
    stage: &Stage,
    choice: &Choice,
    index: usize,
    place: &crate::stage::Place,
    sink: &mut S,
) {
    let name = if place.seat.is_some() { "seat" } else { "locker" };
    let id = Id::of(Family::Load, name, &place.label);
    let mut mass = Some(Mass::from_si(0.0));
    let mut add = |what: &str, of: Option<&Mass>, trace: &mut S::Trace| {
        mass = mass.zip(of).map(|(sum, of)| sum + *of);
        if let Some(of) = of {
            trace.step(|| Step::new(what, "").gives("m", *of));
        }
    };
    for (person, facts) in stage.people.iter().enumerate() {
        if seat_of(stage, choice, person) == Some(index) {
            add(&facts.name, facts.mass.as_ref().ok(), sink.trace());
        }
    }
    for (item, at) in stage.items.iter().zip(&choice.place_of) {
        if *at == index {
            add(&item.what, item.mass.as_ref().ok(), sink.trace());
        }
    }
    if let Some(mass) = mass {
        sink.trace().step(|| Step::new("all that is there", "the sum").gives("m", mass));
    }
    mass_limit(id, mass, place.max_mass, || missing(stage), sink);
}
