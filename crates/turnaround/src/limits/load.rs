//! `load.*`: masses, and the balance at every point of the burn.

use stillprop_calc::{
    burn::{self, MOST_TANKS, Worst, WorstPoints, fuel_after, lateral_extremes, with_fuel},
    envelope::Envelope,
    load::Loading,
    quantity::{FromAmount, Length, Mass, Volume},
    trace::{Step, Trace},
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
    let loading = zero_fuel(stage, choice, trace);
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

/// Empty aeroplane with people and items; `None` when a mass is not known.
fn zero_fuel(stage: &Stage, choice: &Choice, trace: &mut impl Trace) -> Option<Loading> {
    let mut sum = stage.empty;
    trace.step(|| Step::new("empty aeroplane", "").gives("m", sum.mass).gives("M", sum.moment));
    for index in 0..stage.people.len() {
        let place = &stage.places[seat_of(stage, choice, index)?];
        let mass = *stage.people[index].mass.as_ref().ok()?;
        sum = sum.add(mass, place.arm, place.lateral);
        trace.step(|| at_place(&stage.people[index].name, mass, place.arm));
    }
    for (item, place) in stage.items.iter().zip(&choice.place_of) {
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
    balance(stage, &masses, sink);
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
        let mass = used.and_then(|used| landing_mass(stage, masses, used, sink.trace()));
        let id = Id::of(Family::Load, "landing-mass", &leg.name.value);
        mass_limit(id, mass, limit, || plan_or_load(stage), sink);
    }
}

/// Mass after `used` fuel is gone.
pub(crate) fn landing_mass(
    stage: &Stage,
    masses: &Masses,
    used: Volume,
    trace: &mut impl Trace,
) -> Option<Mass> {
    let density = stage.density.as_ref().ok()?;
    let (ramp, used) = (masses.ramp?, used * density.value);
    trace.step(|| {
        Step::new("landing mass", "ramp - fuel used")
            .with("ramp", ramp)
            .with("fuel used", used)
            .gives("m", ramp - used)
    });
    Some(ramp - used)
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

/// Worst points of the flight from take-off down to empty tanks: the reserve is there to be
/// burnt.
///
/// # Errors
///
/// What is not known.
pub(crate) fn worst_points<'a>(
    stage: &'a Stage,
    masses: &Masses,
    trace: &mut impl Trace,
) -> Result<(&'a Envelope, Loading, WorstPoints), Gap<'a>> {
    let envelope = stage.envelope.as_ref().map_err(|why| Gap::Said(why))?;
    let tanks = &stage.burn_tanks;
    let loading =
        masses.loading.filter(|_| masses.ramp.is_some() && tanks.len() == stage.tanks.len());
    let loading = loading.ok_or(Gap::Mass(stage))?;
    let fuel = masses.take_off_fuel(tanks.len());
    let worst = burn::worst(loading, tanks, fuel, Mass::from_si(0.0), envelope, trace);
    worst.map(|worst| (envelope, loading, worst)).ok_or(Gap::Said("the aeroplane has no mass"))
}

/// Forward, aft, top of the envelope and lateral.
fn balance<S: Sink>(stage: &Stage, masses: &Masses, sink: &mut S) {
    let [forward, aft, top, bottom] =
        ["cg-forward", "cg-aft", "envelope-mass", "envelope-least-mass"]
            .map(|name| Id::new(Family::Load, name));
    match worst_points(stage, masses, sink.trace()) {
        Err(gap) => {
            for id in [forward, aft, top, bottom] {
                sink.limit(id, Found::Unknown, |_| Words::missing(gap.words()));
            }
        }
        Ok((envelope, loading, worst)) => {
            sink.share();
            let points = [(forward, worst.forward, "forward"), (aft, worst.aft, "aft")];
            for ((id, point, side), measure) in points.into_iter().zip(balances(envelope, &worst)) {
                let words = |units: &Units| balance_words(stage, &point, side, loading.mass, units);
                sink.limit(id, Found::Measured(measure), words);
            }
            let limit = Setting::Is(envelope.top());
            mass_limit(top, Some(worst.heaviest), limit, || missing(stage), sink);
            least_mass(stage, masses, bottom, envelope, sink);
        }
    }
    lateral(stage, masses, sink);
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
    let Some(mass) = used.and_then(|used| landing_mass(stage, masses, used, sink.trace())) else {
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
    let share = |measure: Measure, point: &Worst| {
        let cut = envelope.cut(point.mass);
        measure.share_of(cut.aft - cut.forward)
    };
    let (forward, aft) = (&worst.forward, &worst.aft);
    [
        share(Measure::at_least(forward.arm, forward.boundary), forward),
        share(Measure::at_most(aft.arm, aft.boundary), aft),
    ]
}

fn balance_words(stage: &Stage, point: &Worst, side: &str, dry: Mass, units: &Units) -> Words {
    let left = point.mass - dry;
    let fuel = stage.density.as_ref().map_or_else(
        |_| units.mass(left, Round::Near),
        |density| units.fuel(left / density.value, Round::Near),
    );
    let limit = units.arm(point.boundary);
    let at = units.arm(point.arm);
    let stands = format!("{at} against {limit} with {fuel} left");
    let outside = units.arm_step(-point.margin, Round::Up);
    let held = point
        .held
        .then(|| "the mass there is outside the envelope; its nearest boundary is used".into());
    Words::stands(stands).act(format!("{outside} too far {side} with {fuel} left")).remark(held)
}

fn lateral<S: Sink>(stage: &Stage, masses: &Masses, sink: &mut S) {
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
    let tanks = &stage.burn_tanks;
    let fuel = masses.take_off_fuel(tanks.len());
    let known = masses.loading.filter(|_| masses.ramp.is_some());
    let extremes =
        known.and_then(|loading| lateral_extremes(loading, tanks, fuel, Mass::from_si(0.0)));
    let Some((left, right)) = extremes else {
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
