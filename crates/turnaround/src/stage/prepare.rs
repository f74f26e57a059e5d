//! From documents and rules to a [`Stage`] and the [`Choice`] the turnaround document makes.

use stillprop_calc::{
    air, burn,
    burn::ArmCurve,
    fuel,
    geodesy::Position,
    load::Loading,
    quantity::{Angle, FromAmount, Length, Mass, MassDensity, Time, Volume},
    table::Chart,
    trace::{Silent, Step, Trace},
    unit,
};
use stillprop_rules::{
    document::{At, Given},
    key::Key,
    rules::Rules,
    situation::{Category, Situation},
};

use super::{
    Choice, DueDate, Figure, Figures, Item, Leaves, MassLimits, Person, Place, SeatFacts, Setting,
    Spot, Stage, TankFacts, Unknown, figures, flight, grade_of, light, offset_of, runway, time_of,
};
use crate::{
    document::{
        aircraft::{Aircraft, ChartTable, Side, TankTable},
        chart,
        strip::{self, Strip},
        turnaround::{FuelKnown, MassKnown, Method, Role, Turnaround},
    },
    drums::{Container, figures::DrumFigures, named::named, reconcile::Readings},
    goods::Screening,
    site,
    units::Units,
    weather,
};

/// The documents of one turnaround, each read and checked.
#[derive(Clone, Debug)]
pub struct Documents {
    /// The turnaround.
    pub turnaround: Turnaround,
    /// Its aircraft.
    pub aircraft: Aircraft,
    /// Its strip.
    pub strip: Strip,
    /// The strip of each leg's destination, where one is named.
    pub legs: Vec<Option<Strip>>,
    /// Every container of every yard; `None` when no ledger was opened.
    pub yard: Option<Vec<Container>>,
}

/// Prepares a stage and the choice its turnaround document makes.
#[must_use]
pub fn prepare(documents: Documents, rules: &Rules) -> (Stage, Choice) {
    prepared(documents, rules, &[])
}

/// The same for documents that were changed, faster: where the sun rises and sets, which takes
/// most of the time, is taken from the stage of the documents before where place and day are the
/// same. The answer is the same to the last digit.
#[must_use]
pub fn prepare_again(documents: Documents, rules: &Rules, before: &Stage) -> (Stage, Choice) {
    let lights = &before.light;
    let known: Vec<&light::Light> =
        std::iter::once(&lights.here).chain(lights.there.iter().flatten()).collect();
    prepared(documents, rules, &known)
}

fn prepared(documents: Documents, rules: &Rules, known: &[&light::Light]) -> (Stage, Choice) {
    let Documents { turnaround, aircraft, strip, legs, yard } = &documents;
    let situation = situation(turnaround, aircraft);
    let figures = Figures::find(rules, &situation);
    let performance = performance(aircraft);
    let density = density(turnaround, rules, &situation);
    let day = Day { performance: &performance, figures: &figures, rules, situation: &situation };
    let here = spot(strip, &turnaround.weather, day);
    let there: Vec<Option<Spot>> = legs
        .iter()
        .zip(&turnaround.legs)
        .map(|(strip, leg)| Some(spot(strip.as_ref()?, &leg.weather, day)))
        .collect();
    let onward = onward(turnaround, aircraft, &here, &there);
    let plan = flight::plan(&onward, &aircraft.burn, &figures, &mut Silent);
    let light = lights(turnaround, &here, &there, known);
    let grade = grade_of(&turnaround.fuel.grade.value);
    let on_ground = site::GroundFigures::find(rules, &situation, grade);
    let ground =
        site::Basis { turnaround, aircraft, strip, weather: &here.weather, figures: &on_ground };
    let (site, parked) = match site::prepare(ground) {
        Ok((site, parked)) => (Ok(site), Some(parked)),
        Err(why) => (Err(why), None),
    };
    let walks = match (&site, &parked) {
        (Ok(site), Some(parked)) => site::walk::to_doors(site, &on_ground, parked),
        _ => Vec::new(),
    };
    let choice = choice(turnaround, aircraft, strip, parked.clone());
    let stage = Stage {
        document_units: Units::of_documents(aircraft, strip, turnaround),
        briefing: rules.briefing(&situation),
        rules_name: rules.name(),
        empty: empty(aircraft),
        places: places(aircraft),
        tanks: aircraft.tanks.iter().map(tank_facts).collect(),
        burn_tanks: burn_tanks(aircraft, &density),
        people: people(turnaround, rules, &situation, &figures),
        items: items(turnaround),
        leaves: leaves(turnaround),
        limits: mass_limits(aircraft),
        envelope: envelope(turnaround, aircraft),
        landing_way: landing_ways(turnaround, &there),
        back_here: turnaround.back_here.as_ref().and_then(|name| way_index(&here, &name.value)),
        due: due(turnaround, aircraft),
        screening: Screening::of(turnaround, aircraft, rules),
        fuel_known: by_tank(turnaround, aircraft, |fuel| fuel.known),
        fuel_now: by_tank(turnaround, aircraft, |fuel| fuel.on_board.as_ref().map(|g| g.value)),
        method: turnaround.fuel.method,
        drums: named(
            turnaround,
            aircraft,
            yard.as_deref(),
            DrumFigures::find(rules, &situation, grade),
        ),
        readings: readings(turnaround, aircraft),
        start: site::start::Start::of(ground, &here),
        ground: on_ground,
        site,
        parked,
        walks,
        situation,
        figures,
        density,
        performance,
        onward,
        plan,
        here,
        there,
        light,
        documents,
    };
    (stage, choice)
}

fn situation(turnaround: &Turnaround, aircraft: &Aircraft) -> Situation {
    Situation {
        operation: turnaround.operation,
        flight_rules: turnaround.flight_rules,
        engine: aircraft.engine,
        mtow: aircraft.limits.take_off_mass.value,
        // Rules count the seats of passengers; one seat is the pilot's.
        seats: u8::try_from(aircraft.seats.len().saturating_sub(1)).unwrap_or(u8::MAX),
    }
}

fn empty(aircraft: &Aircraft) -> Loading {
    let empty = &aircraft.empty;
    Loading::empty().add(empty.mass.value, empty.arm.value, length_or_zero(empty.lateral.as_ref()))
}

fn length_or_zero(given: Option<&stillprop_rules::document::Given<Length>>) -> Length {
    given.map_or_else(|| Length::from_si(0.0), |given| given.value)
}

fn places(aircraft: &Aircraft) -> Vec<Place> {
    let seats = aircraft.seats.iter().map(|seat| Place {
        label: seat.label.value.clone(),
        arm: seat.arm.value,
        lateral: length_or_zero(seat.lateral.as_ref()),
        max_mass: Setting::of(seat.max_mass.as_ref()),
        seat: Some(SeatFacts { belt: seat.belt, controls: seat.controls }),
    });
    let lockers = aircraft.lockers.iter().map(|locker| Place {
        label: locker.label.value.clone(),
        arm: locker.arm.value,
        lateral: length_or_zero(locker.lateral.as_ref()),
        max_mass: Setting::of(locker.max_mass.as_ref()),
        seat: None,
    });
    seats.chain(lockers).collect()
}

fn tank_facts(tank: &TankTable) -> TankFacts {
    TankFacts {
        label: tank.label.value.clone(),
        usable: tank.usable.value,
        unusable: tank.capacity.value - tank.usable.value,
        side: match tank.side {
            Side::Left => -1,
            Side::Middle => 0,
            Side::Right => 1,
        },
    }
}

/// Tanks with their arm by fuel mass; none when the density is not known.
fn burn_tanks(aircraft: &Aircraft, density: &Figure<MassDensity>) -> Vec<burn::Tank> {
    let Ok(density) = density else { return Vec::new() };
    let curve = |tank: &TankTable| {
        if let Some(arm) = &tank.arm {
            return Some(ArmCurve::fixed(arm.value));
        }
        let points: Vec<(Mass, Length)> = tank
            .arm_by_quantity
            .iter()
            .map(|point| (point.quantity.value * density.value, point.arm.value))
            .collect();
        ArmCurve::by_quantity(&points).ok()
    };
    let tank = |tank: &TankTable| {
        Some(burn::Tank {
            arm: curve(tank)?,
            lateral: length_or_zero(tank.lateral.as_ref()),
            order: tank.order,
        })
    };
    aircraft.tanks.iter().filter_map(tank).collect()
}

fn density(turnaround: &Turnaround, rules: &Rules, situation: &Situation) -> Figure<MassDensity> {
    if let Some(given) = &turnaround.fuel.density {
        let citation = "measured, turnaround document".into();
        return Ok(super::Cited { value: given.value, citation, remark: None });
    }
    let written = &turnaround.fuel.grade.value;
    let grade = grade_of(written).ok_or_else(|| format!("`{written}` is not a grade of fuel"))?;
    let detail = stillprop_rules::situation::Detail::grade(grade);
    figures::quantity(rules, Key::PlanningDensity, situation, detail)
}

fn people(
    turnaround: &Turnaround,
    rules: &Rules,
    situation: &Situation,
    figures: &Figures,
) -> Vec<Person> {
    let index = |name: &str| turnaround.people.iter().position(|other| other.name.value == name);
    let standard = |class| figures::standard_mass(rules, situation, class);
    let person = |person: &crate::document::turnaround::Person| {
        let standard = mass_class(person).map(standard);
        let mass = person_mass(person, standard.as_ref(), figures, &mut Silent);
        Person {
            name: person.name.value.clone(),
            mass,
            standard,
            known: person.known.value,
            class: person.class.as_ref().map(|class| class.value),
            role: person.role,
            held_by: person.held_by.as_ref().and_then(|holder| index(&holder.value)),
        }
    };
    turnaround.people.iter().map(person).collect()
}

/// The class whose standard mass stands for a person's own.
fn mass_class(person: &crate::document::turnaround::Person) -> Option<Category> {
    match (person.known.value, person.role) {
        (MassKnown::Weighed | MassKnown::Stated, _) => None,
        (MassKnown::Standard, Role::Pilot | Role::Crew) => Some(Category::Crew),
        (MassKnown::Standard, Role::Passenger) => person.class.as_ref().map(|class| class.value),
    }
}

/// A person with what belongs to them.
pub(crate) fn person_mass(
    person: &crate::document::turnaround::Person,
    standard: Option<&Figure<Mass>>,
    figures: &Figures,
    trace: &mut impl Trace,
) -> Result<Mass, Unknown> {
    let name = &person.name.value;
    let given = || {
        let mass = person.mass.as_ref().map(|given| given.value);
        mass.ok_or_else(|| format!("the mass of {name} is not given"))
    };
    match person.known.value {
        MassKnown::Weighed => {
            let mass = given()?;
            trace.step(|| {
                let step = Step::new("weighed with what belongs to them", "").gives("m", mass);
                step.remark("the turnaround document")
            });
            Ok(mass)
        }
        MassKnown::Stated => stated(given()?, figures, trace),
        MassKnown::Standard => {
            let standard = standard.ok_or_else(|| format!("the class of {name} is not given"))?;
            let standard = standard.as_ref().map_err(Clone::clone)?;
            trace.step(|| standard.step("standard mass of the pack", "m"));
            Ok(standard.value)
        }
    }
}

/// A stated mass is without clothes and hand baggage; the pack says what to add.
fn stated(mass: Mass, figures: &Figures, trace: &mut impl Trace) -> Result<Mass, Unknown> {
    let clothing = figures.clothing.as_ref().map_err(Clone::clone)?;
    let baggage = figures.hand_baggage.as_ref().map_err(Clone::clone)?;
    trace.step(|| clothing.step("clothing of the pack", "clothing"));
    trace.step(|| baggage.step("hand baggage of the pack", "baggage"));
    let whole = mass + clothing.value + baggage.value;
    trace.step(|| {
        Step::new("stated mass with what belongs to it", "m = stated + clothing + baggage")
            .with("stated", mass)
            .with("clothing", clothing.value)
            .with("baggage", baggage.value)
            .gives("m", whole)
    });
    Ok(whole)
}

fn items(turnaround: &Turnaround) -> Vec<Item> {
    let item = |item: &crate::document::turnaround::Item| {
        let what = item.what.value.clone();
        let mass = item.mass.as_ref().map(|given| given.value);
        Item { mass: mass.ok_or_else(|| format!("the mass of {what} is not given")), what }
    };
    turnaround.items.iter().map(item).collect()
}

fn mass_limits(aircraft: &Aircraft) -> MassLimits {
    let limits = &aircraft.limits;
    MassLimits {
        ramp: Setting::of(limits.ramp_mass.as_ref()),
        take_off: limits.take_off_mass.value,
        landing: Setting::of(limits.landing_mass.as_ref()),
        zero_fuel: Setting::of(limits.zero_fuel_mass.as_ref()),
        lateral: Setting::of(limits.lateral.as_ref()),
        fuel_imbalance: Setting::of(limits.fuel_imbalance.as_ref()),
    }
}

fn envelope(
    turnaround: &Turnaround,
    aircraft: &Aircraft,
) -> Result<stillprop_calc::envelope::Envelope, Unknown> {
    let category = turnaround.category.as_ref().map_or("normal", |category| &category.value);
    let table = aircraft.envelopes.iter().find(|table| table.category.value == category);
    let table = table.ok_or_else(|| format!("there is no envelope for category {category}"))?;
    crate::document::envelope(&table.corners).map_err(|problem| problem.message)
}

fn performance(aircraft: &Aircraft) -> runway::Performance {
    fn read<Q: FromAmount>(table: Option<&ChartTable>) -> Option<Chart<Q>> {
        table.and_then(|table| chart(table).ok())
    }
    let p = &aircraft.performance;
    let value =
        |given: &Option<stillprop_rules::document::Given<_>>| given.as_ref().map(|g| g.value);
    let correction = |c: &crate::document::aircraft::Correction| {
        let amount = |text: &stillprop_rules::document::At<String>| {
            Some(unit::read(&text.value, c.cause.kind()?).ok()?.0.si)
        };
        runway::Correction {
            on: c.on.clone(),
            cause: c.cause,
            change: c.change.value,
            per: c.per.as_ref().and_then(amount).unwrap_or(1.0),
            up_to: c.up_to.as_ref().and_then(amount),
            surface: c.surface,
            wet: c.wet,
        }
    };
    runway::Performance {
        take_off_run: read(p.take_off_run.as_ref()),
        take_off_distance: read(p.take_off_distance.as_ref()),
        accelerate_stop: read(p.accelerate_stop.as_ref()),
        landing_distance: read(p.landing_distance.as_ref()),
        climb: read(p.climb.as_ref()),
        climb_speed: value(&p.climb_speed),
        lift_off_speed: value(&p.lift_off_speed),
        landing_speed: value(&p.landing_speed),
        surface: p.surface,
        corrections: p.corrections.iter().map(correction).collect(),
        crosswind: Setting::of(aircraft.limits.crosswind.as_ref()),
        tailwind: Setting::of(aircraft.limits.tailwind.as_ref()),
    }
}

/// What every direction of every strip needs to be prepared.
#[derive(Clone, Copy)]
struct Day<'a> {
    performance: &'a runway::Performance,
    figures: &'a Figures,
    rules: &'a Rules,
    situation: &'a Situation,
}

fn spot(strip: &Strip, reported: &crate::document::turnaround::Weather, day: Day<'_>) -> Spot {
    let variation = strip.variation_east.as_ref().map(|given| given.value);
    let weather = weather::of_document(reported, variation);
    let elevation = strip.elevation.value;
    let pressure_altitude =
        weather.qnh.ok_or_else(|| format!("the QNH at {} is not given", strip.name)).and_then(
            |qnh| air::pressure_altitude_at(elevation, qnh, &mut Silent).map_err(|e| e.to_string()),
        );
    Spot {
        name: strip.name.clone(),
        position: position(&strip.position),
        offset: offset_of(&strip.utc_offset.value).unwrap_or(jiff::tz::Offset::UTC),
        variation_east: variation,
        elevation,
        open: strip
            .open
            .as_ref()
            .and_then(|open| Some((time_of(&open.from.value)?, time_of(&open.until.value)?))),
        density_altitude: density_altitude(&weather, elevation, &strip.name, &mut Silent),
        ways: strip.directions.iter().map(|d| way(d, variation, &weather, day)).collect(),
        weather,
        pressure_altitude,
    }
}

/// Of the air at a strip, moist where the dew point is known.
pub(crate) fn density_altitude(
    weather: &weather::Weather,
    elevation: Length,
    name: &str,
    trace: &mut impl Trace,
) -> Result<Length, Unknown> {
    let qnh = weather.qnh.ok_or_else(|| format!("the QNH at {name} is not given"))?;
    let temperature =
        weather.temperature.ok_or_else(|| format!("the temperature at {name} is not given"))?;
    let pressure = air::station_pressure(elevation, qnh, trace).map_err(|e| e.to_string())?;
    let moist = air::Air { pressure, temperature, dew_point: weather.dew_point };
    air::density_altitude(moist, trace).map_err(|e| e.to_string())
}

fn way(
    direction: &strip::Direction,
    variation: Option<Angle>,
    weather: &weather::Weather,
    day: Day<'_>,
) -> runway::Way {
    let declared = |stated: &Option<_>| Setting::of(stated.as_ref());
    let bearing = direction.bearing.to_true(variation).map(weather::full_circle).ok_or_else(|| {
        format!("the bearing of {} is magnetic without a variation", direction.name.value)
    });
    let mut way = runway::Way {
        name: direction.name.value.clone(),
        wind: Err(String::new()),
        bearing,
        tora: declared(&direction.tora),
        toda: declared(&direction.toda),
        asda: declared(&direction.asda),
        lda: declared(&direction.lda),
        slope: direction.slope.as_ref().map(|given| given.value),
        surface: direction.surface,
        obstacles: direction
            .obstacles
            .iter()
            .map(|o| (o.what.value.clone(), o.distance.value, o.height.value))
            .collect(),
        surface_figures: surface_figures(direction, weather, day),
        factors: std::array::from_fn(|_| Err(String::new())),
    };
    way.blow(weather, day.performance, day.figures);
    way
}

/// The pack's factors for a surface, take-off and landing.
fn surface_figures(
    direction: &strip::Direction,
    weather: &weather::Weather,
    day: Day<'_>,
) -> [Figure<stillprop_calc::quantity::Ratio>; 2] {
    [Key::SurfaceTakeOff, Key::SurfaceLanding].map(|key| {
        let surface = direction.surface.ok_or("the surface is not given")?;
        let wet = weather.wet.ok_or("it is not said whether the strip is wet")?;
        figures::surface(day.rules, day.situation, key, surface, wet)
    })
}

fn position(position: &strip::Position) -> Position {
    Position { latitude: position.latitude.value, longitude: position.longitude.value }
}

/// The position of each end: the strip documents, or what the leg types.
fn destination(leg: &crate::document::turnaround::Leg, there: Option<&Spot>) -> Option<Position> {
    there.map(|spot| spot.position).or_else(|| leg.position.as_ref().map(position))
}

fn onward(
    turnaround: &Turnaround,
    aircraft: &Aircraft,
    here: &Spot,
    there: &[Option<Spot>],
) -> flight::Onward {
    let mut legs = Vec::new();
    for (index, leg) in turnaround.legs.iter().enumerate() {
        let (_, variation) = leaves_from(turnaround, here, there, index);
        let course = leg_course(turnaround, here, there, index, &mut Silent);
        let stop = leg.stop.as_ref().map_or_else(|| Time::from_si(0.0), |given| given.value);
        let wind = flight::wind(leg.wind.as_ref(), variation);
        legs.extend(flight_leg(aircraft, &leg.name.value, course, wind, &leg.cruise.value, stop));
    }
    let (from, variation) = leaves_from(turnaround, here, there, turnaround.legs.len());
    let alternate = turnaround.alternate.as_ref().and_then(|alternate| {
        let name = &alternate.name.value;
        let track = alternate.track.as_ref().map(|bearing| bearing.to_true(variation));
        let distance = alternate.distance.as_ref().map(|given| given.value);
        let to = alternate.position.as_ref().map(position);
        let course = flight::course(name, distance, track, (from, to), &mut Silent);
        let wind = flight::wind(alternate.wind.as_ref(), variation);
        let none = Time::from_si(0.0);
        flight_leg(aircraft, name, course, wind, &alternate.cruise.value, none)
    });
    let or_none = |given: Option<Volume>| given.unwrap_or_else(|| Volume::from_si(0.0));
    flight::Onward {
        legs,
        alternate,
        holding: turnaround.holding.as_ref().map_or_else(|| Time::from_si(0.0), |g| g.value),
        extra: or_none(turnaround.extra.as_ref().map(|given| given.value)),
    }
}

/// Where a leg begins, and the variation its bearings are read with; past the last leg, where
/// the alternate begins.
fn leaves_from(
    turnaround: &Turnaround,
    here: &Spot,
    there: &[Option<Spot>],
    index: usize,
) -> (Option<Position>, Option<Angle>) {
    let flown = turnaround.legs.iter().zip(there).take(index);
    flown.fold((Some(here.position), here.variation_east), |(_, variation), (leg, spot)| {
        let own = spot.as_ref().and_then(|spot| spot.variation_east);
        (destination(leg, spot.as_ref()), own.or(variation))
    })
}

/// Distance and true track of a leg, as typed or from the positions of its ends.
pub(crate) fn leg_course(
    turnaround: &Turnaround,
    here: &Spot,
    there: &[Option<Spot>],
    index: usize,
    trace: &mut impl Trace,
) -> Result<(Length, Angle), Unknown> {
    let leg = turnaround.legs.get(index).ok_or("there is no such leg")?;
    let (from, variation) = leaves_from(turnaround, here, there, index);
    let to = destination(leg, there.get(index).and_then(Option::as_ref));
    let track = leg.track.as_ref().map(|bearing| bearing.to_true(variation));
    let distance = leg.distance.as_ref().map(|given| given.value);
    flight::course(&leg.name.value, distance, track, (from, to), trace)
}

fn flight_leg(
    aircraft: &Aircraft,
    name: &str,
    course: Result<(Length, Angle), Unknown>,
    wind: Option<weather::SurfaceWind>,
    setting: &str,
    stop: Time,
) -> Option<flight::Leg> {
    let cruise = flight::cruise(&aircraft.burn, setting)?;
    let (tas, burn) = (cruise.tas.value, cruise.burn.value);
    Some(flight::Leg { name: name.to_owned(), course, wind, tas, burn, stop })
}

fn lights(
    turnaround: &Turnaround,
    here: &Spot,
    there: &[Option<Spot>],
    known: &[&light::Light],
) -> light::Lights {
    let departs = turnaround.departs.instant;
    let at = |position| {
        let same = known.iter().find(|light| light.is_of(position, departs));
        same.map_or_else(|| light::Light::at(position, departs), |light| (*light).clone())
    };
    light::Lights {
        here: at(here.position),
        there: turnaround
            .legs
            .iter()
            .zip(there)
            .map(|(leg, spot)| destination(leg, spot.as_ref()).map(at))
            .collect(),
    }
}

fn landing_ways(turnaround: &Turnaround, there: &[Option<Spot>]) -> Vec<Option<usize>> {
    let way = |(leg, spot): (&crate::document::turnaround::Leg, &Option<Spot>)| {
        way_index(spot.as_ref()?, &leg.landing.as_ref()?.value)
    };
    turnaround.legs.iter().zip(there).map(way).collect()
}

fn way_index(spot: &Spot, name: &str) -> Option<usize> {
    spot.ways.iter().position(|way| way.name == name)
}

fn leaves(turnaround: &Turnaround) -> Leaves {
    let last = turnaround.legs.len().saturating_sub(1);
    let until = |to: Option<&At<String>>| {
        let named =
            |to: &At<String>| turnaround.legs.iter().position(|leg| leg.name.value == to.value);
        to.and_then(named).unwrap_or(last)
    };
    Leaves {
        people: turnaround.people.iter().map(|person| until(person.to.as_ref())).collect(),
        items: turnaround.items.iter().map(|item| until(item.to.as_ref())).collect(),
        last,
    }
}

fn due(turnaround: &Turnaround, aircraft: &Aircraft) -> Vec<DueDate> {
    let all = aircraft.due.iter().chain(&turnaround.due);
    let with = |due: &crate::document::aircraft::Due| DueDate {
        what: due.what.value.clone(),
        until: due.until.map(|day| day.0),
        sort: due.sort,
        of: due.of.as_ref().map(|of| of.value.clone()),
        lets: due.lets,
        hours: measured(due.used_most.as_ref(), due.used.as_ref()),
        resistance: measured(due.resistance_most.as_ref(), due.resistance.as_ref()),
    };
    all.map(with).collect()
}

/// A bound with what was measured against it.
fn measured<Q: Copy>(most: Option<&Given<Q>>, is: Option<&Given<Q>>) -> Option<(Q, Option<Q>)> {
    most.map(|most| (most.value, is.map(|is| is.value)))
}

/// What each way says of each tank: the readings, and `on_board` by the way it is known.
fn readings(turnaround: &Turnaround, aircraft: &Aircraft) -> Vec<Readings> {
    let of = |fuel: &crate::document::turnaround::TankFuel| {
        let value = |given: &Option<Given<Volume>>| given.as_ref().map(|given| given.value);
        let by = |known| value(&fuel.on_board).filter(|_| fuel.known == Some(known));
        Some(Readings {
            dip: value(&fuel.dip).or_else(|| by(FuelKnown::Dip)),
            gauge: value(&fuel.gauge).or_else(|| by(FuelKnown::Gauge)),
            reckoned: value(&fuel.reckoned).or_else(|| by(FuelKnown::Reckoned)),
        })
    };
    by_tank(turnaround, aircraft, of).into_iter().map(Option::unwrap_or_default).collect()
}

/// Something of each tank, in the order of the aircraft document.
fn by_tank<T>(
    turnaround: &Turnaround,
    aircraft: &Aircraft,
    read: impl Fn(&crate::document::turnaround::TankFuel) -> Option<T>,
) -> Vec<Option<T>> {
    let of = |tank: &TankTable| {
        let fuels = &turnaround.fuel.tanks;
        fuels.iter().find(|fuel| fuel.tank.value == tank.label.value).and_then(&read)
    };
    aircraft.tanks.iter().map(of).collect()
}

/// The choice a document makes. Names were checked, so every one is found.
fn choice(
    turnaround: &Turnaround,
    aircraft: &Aircraft,
    strip: &Strip,
    parked: Option<site::Parked>,
) -> Choice {
    let seat = |label: &str| aircraft.seats.iter().position(|seat| seat.label.value == label);
    let locker = |label: &str| {
        let found = aircraft.lockers.iter().position(|locker| locker.label.value == label);
        found.map(|index| aircraft.seats.len() + index)
    };
    let place = |label: &str| seat(label).or_else(|| locker(label)).unwrap_or(0);
    let take_off = &turnaround.take_off.value;
    Choice {
        seat_of: turnaround
            .people
            .iter()
            .map(|person| person.seat.as_ref().and_then(|label| seat(&label.value)))
            .collect(),
        place_of: turnaround.items.iter().map(|item| place(&item.place.value)).collect(),
        fuel: by_tank(turnaround, aircraft, |fuel| {
            let taken = fuel.uplift.as_ref().map(|given| dispensed(turnaround, given.value));
            let taken = taken.unwrap_or_else(|| Volume::from_si(0.0));
            fuel.on_board.as_ref().map(|given| given.value + taken)
        }),
        departs: turnaround.departs.instant,
        take_off: strip.directions.iter().position(|d| d.name.value == *take_off).unwrap_or(0),
        parked,
    }
}

/// What a tank really gets: whole steps of the dispenser. From drums it is what is drawn.
fn dispensed(turnaround: &Turnaround, uplift: Volume) -> Volume {
    let step = turnaround.fuel.step.as_ref().map(|given| given.value);
    match (turnaround.fuel.method, step) {
        (Some(Method::Drum), _) | (_, None) => uplift,
        (_, Some(step)) => fuel::round_up(uplift, step, &mut Silent).unwrap_or(uplift),
    }
}
