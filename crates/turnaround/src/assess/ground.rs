//! The ground in figures: distances with their two nearest points, the way to each door, how
//! fast to pump, what a spill does, what holds the propeller, what a battery carries.

use stillprop_calc::{
    charge::{self, AfterFilter, FlowLimits},
    plane::Point,
    quantity::{
        Angle, Area, AreaRate, ElectricCurrent, Force, FromAmount, Length, MassRate, Ratio, Time,
        Volume, VolumeRate,
    },
    runaway::{Loose, Reached},
    spill::{self, Spread},
    trace::Silent,
    unit,
};
use stillprop_rules::situation::Grade;

use crate::{
    document::ground::StartBy,
    limits::{
        Gap, Verdict,
        site::{Clearance, Need, clearances},
    },
    site::figures::SpillFigures,
    site::start::Held,
    site::{Site, Spilt, walk::Way},
    stage::words,
    stage::{Choice, Stage, Unknown, grade_of},
    units::Round,
};

/// The ground around one choice.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundView {
    /// Where the point between the main wheels stands.
    pub at: Point,
    /// Where the nose points, from true north.
    pub heading: Angle,
    /// Distances, tightest first.
    pub clearances: Vec<ClearanceView>,
    /// The way to each door, by its name.
    pub walks: Vec<(String, Result<Way, Unknown>)>,
    /// How fast to pump; why that is not known.
    pub pumping: Result<PumpView, Unknown>,
    /// What lies on the ground.
    pub spills: Vec<SpillView>,
}

/// A distance that somebody demands.
#[derive(Clone, Debug, PartialEq)]
pub struct ClearanceView {
    /// Its limit.
    pub id: String,
    /// Why it is kept.
    pub need: Need,
    /// From what: `left vent`.
    pub from: String,
    /// To what: `hangar (unsealed building)`.
    pub to: String,
    /// Its two ends.
    pub between: Option<(Point, Point)>,
    /// What there is.
    pub measured: Option<Length>,
    /// What there must be.
    pub bound: Option<Length>,
    /// Who says so; what is missing, where nobody does.
    pub rule: String,
    /// Holds, breaks or unknown.
    pub verdict: Verdict,
}

/// How fast to pump.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpView {
    /// Until the outlet is covered.
    pub first: Option<VolumeRate>,
    /// After that.
    pub most: Option<VolumeRate>,
    /// For the rest after the filter, where the fuel hardly conducts.
    pub for_rest: Option<VolumeRate>,
    /// How long its charge takes to fall to 37 %.
    pub relaxation: Option<Time>,
}

/// Fuel on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct SpillView {
    /// What people call it.
    pub what: String,
    /// How much it was.
    pub volume: Volume,
    /// Its area, when its width was measured.
    pub area: Option<Area>,
    /// How far it spreads on flat, tight ground, by time.
    pub spread: Vec<(Time, Spread)>,
    /// Whether the fire service is called; `None` when the pack or the width does not say.
    pub call: Option<bool>,
    /// From what size it is called, and who says so.
    pub call_from: Vec<String>,
    /// How fast it dries up and how long that takes; or what is missing.
    pub drying: Result<(MassRate, Time), Unknown>,
    /// Nothing is started within this of its edge.
    pub nothing_starts: Result<Length, Unknown>,
}

/// How the engine is started, in figures.
#[derive(Clone, Debug, PartialEq)]
pub struct StartView {
    /// With the starter or by hand.
    pub by: StartBy,
    /// What holds the aeroplane at full throttle, when it is started by hand.
    pub hold: Option<Result<HoldView, Unknown>>,
    /// What the battery carries.
    pub battery: Option<BatteryView>,
}

/// What pulls and what holds.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldView {
    /// At full throttle.
    pub held: Held,
    /// Thrust as the throttle is set, when that was said.
    pub set: Option<Force>,
    /// If it breaks loose: where it is after 1, 2, 3, 5 and 8 seconds.
    pub loose: Vec<Reached>,
}

/// What the battery carries without a generator.
#[derive(Clone, Debug, PartialEq)]
pub struct BatteryView {
    /// With everything on.
    pub all: Result<(ElectricCurrent, Time), Unknown>,
    /// With what is essential.
    pub essential: Result<(ElectricCurrent, Time), Unknown>,
    /// What to switch off, the largest first.
    pub shed: Vec<String>,
    /// What is lost when the generator does not come on line.
    pub lost: Vec<String>,
    /// The generator needs the battery to begin.
    pub field_from_battery: Option<bool>,
    /// The battery is flat.
    pub flat: bool,
}

/// The ground; why nothing is known of it.
///
/// # Errors
///
/// What is missing, in words.
pub fn ground(stage: &Stage, choice: &Choice) -> Result<GroundView, Unknown> {
    let site = stage.site.as_ref().map_err(Clone::clone)?;
    let parked = choice.parked.as_ref().ok_or("no place is chosen")?;
    let known = stage.parked.as_ref() == Some(parked);
    let ways = if known {
        stage.walks.clone()
    } else {
        crate::site::walk::to_doors(site, &stage.ground, parked)
    };
    let doors = site.airframe.doors.iter().map(|door| door.what.clone());
    Ok(GroundView {
        at: parked.at,
        heading: parked.heading,
        clearances: distances(stage, choice),
        walks: doors.zip(ways).collect(),
        pumping: pumping(stage, site),
        spills: site.spills.iter().map(|spilt| spill(stage, spilt)).collect(),
    })
}

fn distances(stage: &Stage, choice: &Choice) -> Vec<ClearanceView> {
    let mut views = Vec::new();
    clearances(stage, choice, |clearance| views.push(distance(&clearance)));
    // Tightest first; a stable sort, so equals stay in the order of the documents.
    let share = |view: &ClearanceView| match (view.measured, view.bound) {
        (Some(measured), Some(bound)) => (measured.si() - bound.si()) / bound.si().max(1e-9),
        _ => f64::INFINITY,
    };
    views.sort_by(|a, b| a.verdict.cmp(&b.verdict).then(share(a).total_cmp(&share(b))));
    views
}

fn distance(clearance: &Clearance<'_>) -> ClearanceView {
    let closest = clearance.closest.ok();
    let rule = match (&clearance.closest, clearance.room) {
        (Err(why), _) => (*why).to_owned(),
        (_, Ok(room)) => room.citation.clone(),
        (_, Err(why)) => why.clone(),
    };
    ClearanceView {
        id: clearance.id().to_string(),
        need: clearance.need,
        from: closest.map_or_else(String::new, |closest| closest.from.to_string()),
        to: clearance.to(),
        between: closest.map(|closest| (closest.nearest.from, closest.nearest.to)),
        measured: closest.map(|closest| closest.nearest.distance),
        bound: clearance.room.as_ref().ok().map(|room| room.value),
        rule,
        verdict: clearance.found().verdict(),
    }
}

fn pumping(stage: &Stage, site: &Site) -> Result<PumpView, Unknown> {
    let flow = site.flow;
    let bore = flow.bore.ok_or("the bore of the hose is not given")?;
    let figures = &stage.ground.charge;
    let by_bore = figures.velocity_bore.as_ref().ok().map(|cited| cited.value);
    let at = |velocity, velocity_bore| {
        let limits = FlowLimits { velocity, velocity_bore };
        charge::greatest_flow(bore, &limits, &mut Silent).ok().map(|found| found.flow)
    };
    let first = figures.first_velocity.as_ref().ok();
    let most = figures.velocity.as_ref().ok();
    let conducts = match (flow.conductivity, &figures.conductivity_enough) {
        (Some(conducts), Ok(enough)) => conducts > enough.value,
        _ => false,
    };
    let rest = figures.filter_residence.as_ref().ok().filter(|_| !conducts);
    let for_rest = rest.zip(flow.behind_filter).and_then(|(rest, length)| {
        let after = AfterFilter { bore, length, chamber: Volume::from_si(0.0) };
        charge::flow_for_residence(&after, rest.value, &mut Silent).ok()
    });
    let relaxation = flow.conductivity.and_then(|conducts| {
        charge::liquid_relaxation(Ratio::from_si(PERMITTIVITY), conducts, &mut Silent).ok()
    });
    Ok(PumpView {
        first: first.and_then(|first| at(first.value, None)),
        most: most.and_then(|most| at(most.value, by_bore)),
        for_rest,
        relaxation,
    })
}

/// Relative permittivity of petroleum fuels: about 2 (API RP 2003, IEC TS 60079-32-1, from
/// memory).
pub(crate) const PERMITTIVITY: f64 = 2.0;

/// Minutes for which the spread of a spill is shown.
const SPREAD_MINUTES: [f64; 3] = [1.0, 5.0, 15.0];

fn spill(stage: &Stage, spilt: &Spilt) -> SpillView {
    // Typical at 20 degC, from memory; the thinner one spreads farther, so it stands for what is
    // not known.
    let jet = grade_of(&stage.documents.turnaround.fuel.grade.value) == Some(Grade::Jet);
    let viscosity = AreaRate::from_si(if jet { 1.6e-6 } else { 0.6e-6 });
    let spread = SPREAD_MINUTES.map(|minutes| {
        let time = Time::from_si(minutes * 60.0);
        Some((time, spill::viscous_spread(spilt.volume, viscosity, time, &mut Silent).ok()?))
    });
    let radius = spilt.pool.as_ref().ok().map(|pool| pool.radius());
    let area = radius.map(|radius| radius * radius * std::f64::consts::PI);
    let call = |measured: Option<(Area, Length)>| {
        let (area, across) = measured?;
        let figures = &stage.ground.spill;
        let by_area = figures.call_area.as_ref().ok().map(|most| area > most.value);
        let by_width = figures.call_width.as_ref().ok().map(|most| across > most.value);
        match (by_area, by_width) {
            (None, None) => None,
            (a, b) => Some(a.unwrap_or(false) || b.unwrap_or(false)),
        }
    };
    let room = &stage.ground.running_room.spill;
    SpillView {
        what: spilt.what.clone(),
        volume: spilt.volume,
        area,
        spread: spread.into_iter().flatten().collect(),
        call: call(area.zip(radius.map(|radius| radius * 2.0))),
        call_from: call_from(&stage.ground.spill),
        drying: drying(stage, spilt, area),
        nothing_starts: room.as_ref().map(|room| room.value).map_err(Clone::clone),
    }
}

fn call_from(figures: &SpillFigures) -> Vec<String> {
    let area = figures.call_area.as_ref().ok().map(|most| {
        (crate::units::show(most.value, unit::M2, Round::Down), most.citation.as_str())
    });
    let width = figures.call_width.as_ref().ok().map(|most| {
        let metres = crate::units::text(most.value.count(unit::M), 1, Round::Down, unit::M);
        (format!("{metres} across"), most.citation.as_str())
    });
    area.into_iter().chain(width).map(|(size, citation)| format!("{size}: {citation}")).collect()
}

/// By the wind and temperature of the strip, over the area as it was measured.
fn drying(stage: &Stage, spilt: &Spilt, area: Option<Area>) -> Result<(MassRate, Time), Unknown> {
    let (vapour_pressure, molar_mass) = spilt.vapour.ok_or(
        "vapour pressure and molar mass are not given (vapour_pressure, molar_mass of the spill)",
    )?;
    let area = area.ok_or("how wide it is was not measured")?;
    let weather = &stage.here.weather;
    let temperature = weather.temperature.ok_or("the temperature is not given")?;
    let wind = weather.wind.ok_or("the wind is not given")?.speed;
    let density = stage.density.as_ref().map_err(Clone::clone)?.value;
    let liquid = spill::Liquid { molar_mass, vapour_pressure, temperature };
    let rate = spill::evaporation(&liquid, wind, area, &mut Silent).map_err(words)?;
    let time = spill::time_to_evaporate(spilt.volume * density, rate, &mut Silent);
    Ok((rate, time.map_err(words)?))
}

/// Seconds after breaking loose that are shown.
const LOOSE_SECONDS: [f64; 5] = [1.0, 2.0, 3.0, 5.0, 8.0];

/// How the engine is started.
#[must_use]
pub fn start(stage: &Stage) -> StartView {
    let start = &stage.start;
    let hold = (start.by == StartBy::Hand).then(|| {
        let hold = start.hold.as_ref().map_err(Clone::clone)?;
        let held = hold.at_full(&stage.ground.start, &mut Silent).map_err(Gap::words)?;
        // Without rolling resistance, which nobody knows: it is faster so.
        let loose = Loose::new(held.full, hold.mass, Ratio::from_si(0.0), &mut Silent);
        let loose = loose.map_err(|error| error.to_string())?;
        let after = |seconds: f64| loose.after(Time::from_si(seconds), &mut Silent).ok();
        Ok(HoldView {
            held,
            set: start.throttle.and_then(|share| hold.thrust(share, &mut Silent).ok()),
            loose: LOOSE_SECONDS.into_iter().filter_map(after).collect(),
        })
    });
    StartView { by: start.by, hold, battery: battery(stage) }
}

fn battery(stage: &Stage) -> Option<BatteryView> {
    let electrical = stage.start.electrical.as_ref()?;
    let lasts = |only_essential| {
        let current = electrical.current(only_essential);
        let found = electrical.endurance(current, &mut Silent).map_err(Gap::words)?;
        Ok((current, found.time))
    };
    let mut loads: Vec<_> = electrical.loads.iter().collect();
    loads.sort_by(|a, b| b.1.si().total_cmp(&a.1.si()));
    let named = |essential| {
        loads.iter().filter(|load| load.2 == essential).map(|load| load.0.clone()).collect()
    };
    Some(BatteryView {
        all: lasts(false),
        essential: lasts(true),
        shed: named(false),
        lost: loads.iter().map(|load| load.0.clone()).collect(),
        field_from_battery: electrical.field_from_battery,
        flat: stage.start.battery_flat,
    })
}
