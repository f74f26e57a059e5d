//! How the engine is started: what the documents say, and what holds the aeroplane.

use jiff::civil::Date;
use stillprop_calc::{
    air::{self, Air},
    battery::{Endurance, Rating, Shares},
    bounds::OutOfRange,
    propeller,
    quantity::{ElectricCurrent, Force, FromAmount, Length, Mass, MassDensity, Ratio},
    restraint,
    restraint::{Brake, Chock, HoldError, Place, Restraint, Stance, Surface, Third, Tie, Wheel},
    trace::{Silent, Trace},
    unit,
};

use super::{Basis, figures::StartFigures, grip::grip};
use crate::{
    document::{
        aircraft::Aircraft,
        ground::{self, Footing, StartBy},
        length_unit,
    },
    limits::Gap,
    limits::Measure,
    stage::{Spot, Unknown},
    units::{Round, show},
};

/// How the engine is started, with all that was said of it.
#[derive(Clone, Debug)]
pub struct Start {
    /// With the starter or by hand.
    pub by: StartBy,
    /// A starter is fitted.
    pub starter: bool,
    /// The manual permits the propeller to be turned by hand.
    pub hand_permitted: Option<bool>,
    /// The throttle is in reach of the one at the propeller.
    pub throttle_in_reach: bool,
    /// Who turns the propeller.
    pub at_propeller: Option<String>,
    /// That person was trained to.
    pub trained: Option<bool>,
    /// Who sits at the controls.
    pub at_controls: Option<String>,
    /// That person may start and stop this engine.
    pub qualified: Option<bool>,
    /// Help could be had.
    pub help_at_hand: Option<bool>,
    /// Somebody else sits in the aeroplane.
    pub others_aboard: Option<bool>,
    /// Nobody stands in the arc, ahead or beside.
    pub clear_ahead: Option<bool>,
    /// What the feet stand on.
    pub footing: Option<Footing>,
    /// Throttle as part of full power.
    pub throttle: Option<Ratio>,
    /// Both said how it stands.
    pub throttle_confirmed: Option<bool>,
    /// Day of the last dead-cut check.
    pub dead_cut: Option<Date>,
    /// The battery is flat.
    pub battery_flat: bool,
    /// What holds the aeroplane; why that is not known.
    pub hold: Result<Hold, Unknown>,
    /// Battery and loads; `None` when the documents have none.
    pub electrical: Option<Electrical>,
}

/// What pulls the aeroplane and what holds it.
#[derive(Clone, Debug)]
pub struct Hold {
    power: stillprop_calc::quantity::Power,
    diameter: Length,
    density: MassDensity,
    merit: Ratio,
    /// Mass that presses the wheels on the ground: empty, which presses least.
    pub mass: Mass,
    wheels: Vec<Wheel>,
    surface: Surface,
    tie: Option<Tie>,
    stance: Stance,
}

/// Battery, generator, loads.
#[derive(Clone, Debug)]
pub struct Electrical {
    /// What the battery is rated for.
    pub rating: Rating,
    /// What the law needs beyond that, or what is missing.
    pub law: Result<(Ratio, Shares), Unknown>,
    /// The generator gives nothing without current from the battery.
    pub field_from_battery: Option<bool>,
    /// What the generator is rated for.
    pub generator: Option<ElectricCurrent>,
    /// Loads: what, current, essential.
    pub loads: Vec<(String, ElectricCurrent, bool)>,
}

impl Start {
    /// What the documents say.
    #[must_use]
    pub fn of(basis: Basis<'_>, here: &Spot) -> Self {
        let Basis { turnaround, aircraft, .. } = basis;
        let said = turnaround.start.as_ref();
        let starting = aircraft.starting.as_ref();
        let name = |at: &Option<stillprop_rules::document::At<String>>| {
            at.as_ref().map(|at| at.value.clone())
        };
        let fitted = if aircraft.starter { StartBy::Starter } else { StartBy::Hand };
        Self {
            by: said.map_or(fitted, |said| said.by.value),
            starter: aircraft.starter,
            hand_permitted: starting.and_then(|starting| starting.hand_start),
            throttle_in_reach: starting.is_some_and(|starting| starting.throttle_in_reach),
            at_propeller: said.and_then(|said| name(&said.at_propeller)),
            trained: said.and_then(|said| said.trained),
            at_controls: said.and_then(|said| name(&said.at_controls)),
            qualified: said.and_then(|said| said.qualified),
            help_at_hand: said.and_then(|said| said.help_at_hand),
            others_aboard: said.and_then(|said| said.others_aboard),
            clear_ahead: said.and_then(|said| said.clear_ahead),
            footing: said.and_then(|said| said.footing),
            throttle: said.and_then(|said| said.throttle.as_ref()).map(|given| given.value),
            throttle_confirmed: said.and_then(|said| said.throttle_confirmed),
            dead_cut: said.and_then(|said| said.dead_cut.as_ref()).map(|day| day.0),
            battery_flat: said.is_some_and(|said| said.battery_flat),
            hold: hold(basis, here),
            electrical: aircraft.electrical.as_ref().map(electrical),
        }
    }

    /// The pull of the propeller in other air.
    pub(crate) fn set_air(&mut self, basis: Basis<'_>, here: &Spot) {
        self.hold = hold(basis, here);
    }

    /// True when a lone pilot turns the propeller.
    #[must_use]
    pub fn alone(&self) -> bool {
        self.at_controls.is_none()
    }
}

/// What pulls at full throttle and what holds against it. The throttle may be set wide open by
/// mistake.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Thrust at full throttle.
    pub full: Force,
    /// What the pack wants to be held: the thrust itself, where it asks for no reserve.
    pub needed: Force,
    /// What holds; nothing when the tail lifts, whatever the wheels hold.
    pub holds: Force,
    /// The tail lifts.
    pub lifts: bool,
    /// What each wheel and the tie hold.
    pub parts: Restraint,
}

impl Held {
    /// What holds against what is needed.
    #[must_use]
    pub fn measure(&self) -> Measure {
        Measure::at_least(self.holds, self.needed)
    }

    /// How it stands: `3410 N holds; 3571 N needed at full throttle (2381 N of thrust)`.
    pub(crate) fn words(&self) -> String {
        let newton = |force: Force, round| show(force, unit::N, round);
        let holds = if self.lifts {
            "the tail lifts, so nothing holds".to_owned()
        } else {
            format!("{} holds", newton(self.holds, Round::Down))
        };
        format!(
            "{holds}; {} needed at full throttle ({} of thrust)",
            newton(self.needed, Round::Up),
            newton(self.full, Round::Up),
        )
    }
}

impl Hold {
    /// Would it hold at full throttle?
    ///
    /// # Errors
    ///
    /// What keeps it from being reckoned.
    pub(crate) fn at_full(
        &self,
        figures: &StartFigures,
        trace: &mut impl Trace,
    ) -> Result<Held, Gap<'static>> {
        let full = self.thrust(Ratio::from_si(1.0), trace).map_err(Gap::OutOfRange)?;
        let parts = self.against(full, trace).map_err(Gap::Hold)?;
        let factor = figures.hold_factor.as_ref().map_or(Ratio::from_si(1.0), |cited| cited.value);
        let lifts = parts.tail.is_some_and(|tail| tail.si() < 0.0);
        let holds = if lifts { Force::from_si(0.0) } else { parts.total };
        Ok(Held { full, needed: full * factor, holds, lifts, parts })
    }

    /// Thrust at a share of full power.
    ///
    /// # Errors
    ///
    /// The range that was left.
    pub fn thrust(&self, share: Ratio, trace: &mut impl Trace) -> Result<Force, OutOfRange> {
        let power = self.power * share;
        propeller::static_thrust(power, self.diameter, self.density, self.merit, trace)
            .map(|found| found.thrust)
    }

    /// What holds against a thrust.
    ///
    /// # Errors
    ///
    /// What keeps it from being reckoned.
    pub fn against(&self, thrust: Force, trace: &mut impl Trace) -> Result<Restraint, HoldError> {
        let stance = Some(&self.stance);
        restraint::restraint(thrust, &self.wheels, &self.surface, self.tie.as_ref(), stance, trace)
    }
}

impl Electrical {
    /// Current of what must stay on, or of everything.
    #[must_use]
    pub fn current(&self, only_essential: bool) -> ElectricCurrent {
        let counted = self.loads.iter().filter(|(_, _, essential)| *essential || !only_essential);
        counted.map(|(_, current, _)| *current).sum()
    }

    /// How long the battery alone feeds a current.
    ///
    /// # Errors
    ///
    /// What is missing.
    pub(crate) fn endurance(
        &self,
        current: ElectricCurrent,
        trace: &mut impl Trace,
    ) -> Result<Endurance, Gap<'_>> {
        let (exponent, shares) = self.law.as_ref().map_err(|why| Gap::Said(why))?;
        stillprop_calc::battery::endurance(&self.rating, shares, current, *exponent, trace)
            .map_err(Gap::OutOfRange)
    }
}

fn hold(basis: Basis<'_>, here: &Spot) -> Result<Hold, Unknown> {
    let Basis { turnaround, aircraft, strip, .. } = basis;
    let starting = aircraft.starting.as_ref().ok_or("the aircraft document has no [starting]")?;
    let shape = aircraft.shape.as_ref().ok_or("the shape of the aeroplane is not described")?;
    let power = starting.power.as_ref().ok_or("the power at full throttle is not given")?.value;
    let widest = shape.propellers.iter().map(|propeller| propeller.diameter.value);
    let diameter = widest.reduce(Length::max).ok_or("the propeller is not described")?;
    let surface = strip.apron.as_ref().and_then(|apron| apron.surface);
    let friction = grip(surface, here.weather.wet)?;
    let said = turnaround.start.as_ref();
    Ok(Hold {
        power,
        diameter,
        density: density(here)?,
        merit: starting.figure_of_merit.as_ref().map_or(Ratio::from_si(1.0), |given| given.value),
        mass: aircraft.empty.mass.value,
        wheels: wheels(aircraft, shape, said)?,
        surface: Surface { tyre: friction, chock: friction },
        tie: said
            .and_then(|said| said.tail_tie.as_ref())
            .map(|tie| Tie { strength: tie.strength.value, slope: tie.slope.value }),
        stance: stance(shape, starting)?,
    })
}

fn density(here: &Spot) -> Result<MassDensity, Unknown> {
    let qnh = here.weather.qnh.ok_or_else(|| format!("the QNH at {} is not given", here.name))?;
    let temperature = here.weather.temperature;
    let temperature =
        temperature.ok_or_else(|| format!("the temperature at {} is not given", here.name))?;
    let pressure =
        air::station_pressure(here.elevation, qnh, &mut Silent).map_err(|e| e.to_string())?;
    // Dry air is denser and pulls more.
    let air = Air { pressure, temperature, dew_point: None };
    air::air_density(air, &mut Silent).map_err(|error| error.to_string())
}

fn wheels(
    aircraft: &Aircraft,
    shape: &ground::PlanShape,
    said: Option<&ground::Start>,
) -> Result<Vec<Wheel>, Unknown> {
    if shape.wheels.is_empty() {
        return Err("the wheels are not described".into());
    }
    let chocks = said.and_then(|said| said.chocks.as_ref());
    let brakes = said.and_then(|said| said.brakes_set) == Some(true);
    let wheel = |wheel: &ground::Wheel| {
        let chocked = chocks
            .filter(|chocks| chocks.ahead_of.iter().any(|what| what.value == wheel.what.value));
        Wheel {
            place: place(wheel.at.value[1]),
            load: aircraft.empty.mass.value * wheel.share.value,
            brake: if brakes && wheel.brake { Brake::Locks } else { Brake::Off },
            chock: chocked.map(|chocks| Chock {
                radius: wheel.radius.value,
                height: chocks.height.value,
                face: chocks.face.as_ref().map(|given| given.value),
            }),
        }
    };
    Ok(shape.wheels.iter().map(wheel).collect())
}

fn place(right: f64) -> Place {
    match right {
        right if right < 0.0 => Place::Left,
        right if right > 0.0 => Place::Right,
        _ => Place::Middle,
    }
}

/// The third wheel is the one in the middle.
fn stance(shape: &ground::PlanShape, starting: &ground::Starting) -> Result<Stance, Unknown> {
    let unit = length_unit(&shape.unit).map_err(|problem| problem.message)?;
    let third = shape.wheels.iter().find(|wheel| place(wheel.at.value[1]) == Place::Middle);
    let third = third.ok_or("no nose or tail wheel is described")?;
    let forward = Length::of(third.at.value[0], unit);
    let height = starting.hub_height.as_ref();
    Ok(Stance {
        third: if forward.si() > 0.0 { Third::Nose } else { Third::Tail },
        thrust_height: height.ok_or("the height of the propeller hub is not given")?.value,
        wheelbase: forward.abs(),
    })
}

fn electrical(electrical: &ground::Electrical) -> Electrical {
    let law = || {
        let exponent = electrical.exponent.as_ref().ok_or("Peukert's exponent is not given")?;
        let age = electrical.aged_to.as_ref().ok_or("what age has left of it is not given")?;
        let cold = electrical.cold_to.as_ref().ok_or("what the cold leaves of it is not given")?;
        Ok((exponent.value, Shares { temperature: cold.value, age: age.value }))
    };
    let load = |load: &ground::Load| (load.what.value.clone(), load.current.value, load.essential);
    Electrical {
        rating: Rating { capacity: electrical.capacity.value, time: electrical.rated_over.value },
        law: law().map_err(|why: &str| format!("battery: {why}")),
        field_from_battery: electrical.field_from_battery,
        generator: electrical.generator.as_ref().map(|given| given.value),
        loads: electrical.loads.iter().map(load).collect(),
    }
}
