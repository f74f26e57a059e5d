//! What the shape of a document cannot say: ranges, names that must be known, tables that
//! must be whole. All problems of a document are found, not only the first.

mod day;
mod ground;
mod people;

use std::{collections::HashSet, ops::Range};

use stillprop_calc::{
    bounds::Bounds,
    burn::MOST_TANKS,
    envelope::{Corner, Envelope},
    fuel, load,
    quantity::{FromAmount, Length, Mass, ThermodynamicTemperature},
    strip as strip_sums,
    table::{Axis, Chart, ChartError},
    unit::{self, Kind, Unit},
};
use stillprop_rules::{
    document::{At, Given, Problem, Stated, did_you_mean},
    selection,
};

pub(super) use day::day;
pub use ground::length_unit;
pub(crate) use ground::{outline, point};

use super::{
    aircraft::{Aircraft, Cause, ChartTable, Correction, Distance, TankTable},
    strip::{Direction, Open, Position, Strip},
    turnaround::{Alternate, FuelKnown, Leg, Method, TankFuel, Turnaround, Weather, Wind},
};

/// Accepted airspeeds. Ours: any light aeroplane.
const AIRSPEED: Bounds = Bounds::new("airspeed", 20.0, 450.0, unit::KT);
/// Accepted wind speeds.
const WIND_SPEED: Bounds = Bounds::new("wind speed", 0.0, 200.0, unit::KT);
/// Accepted elevations of a strip.
const ELEVATION: Bounds = Bounds::new("elevation", -500.0, 6000.0, unit::M);
/// Accepted slopes of a strip.
const SLOPE: Bounds = Bounds::new("slope", -30.0, 30.0, unit::PERCENT);
/// Accepted altimeter settings.
const QNH: Bounds = Bounds::new("QNH", 850.0, 1090.0, unit::HPA);
/// Accepted air temperatures.
const TEMPERATURE: Bounds = Bounds::new("air temperature", -60.0, 60.0, unit::DEGC);
/// Accepted fuel densities.
const DENSITY: Bounds = Bounds::new("fuel density", 0.6, 0.9, unit::KG_L);
/// Accepted latitudes.
const LATITUDE: Bounds = Bounds::new("latitude", -90.0, 90.0, unit::DEG);
/// Accepted longitudes.
const LONGITUDE: Bounds = Bounds::new("longitude", -180.0, 180.0, unit::DEG);
/// Accepted masses of an aeroplane and its limits.
const AEROPLANE: Bounds = Bounds::new("mass", 50.0, 600_000.0, unit::KG);
/// Accepted heights of an obstacle.
const HEIGHT: Bounds = Bounds::new("height", -500.0, 5000.0, unit::M);

/// Words that limits already use where a leg's name would stand.
const TAKEN: [&str; 2] = ["alternate", "take-off"];

/// Collects problems.
#[derive(Default)]
struct Findings(Vec<Problem>);

impl Findings {
    fn add(&mut self, at: &Range<usize>, message: impl Into<String>, help: impl Into<String>) {
        self.0.push(Problem::new(at.clone(), message).help(help));
    }

    fn range<Q: FromAmount>(&mut self, given: &Given<Q>, bounds: &Bounds) {
        given.check(bounds, &mut self.0);
    }

    fn range_if<Q: FromAmount>(&mut self, given: Option<&Given<Q>>, bounds: &Bounds) {
        if let Some(given) = given {
            self.range(given, bounds);
        }
    }

    fn stated<Q: FromAmount>(&mut self, stated: Option<&Stated<Q>>, bounds: &Bounds) {
        if let Some(Stated::Is(given)) = stated {
            self.range(given, bounds);
        }
    }

    /// Names must differ; the second of two equal ones is the problem.
    fn distinct<'a>(&mut self, what: &str, names: impl Iterator<Item = &'a At<String>>) {
        let mut seen: Vec<&str> = Vec::new();
        for name in names {
            if name.value.trim().is_empty() {
                self.add(&name.at, format!("a {what} without a name"), "give it a name");
            } else if seen.contains(&name.value.as_str()) {
                let message = format!("{what} `{}` is named twice", name.value);
                self.add(&name.at, message, "give each its own name");
            }
            seen.push(&name.value);
        }
    }

    /// A name must be one of those known.
    fn known(&mut self, what: &str, name: &At<String>, known: &[&str]) {
        if !known.contains(&name.value.as_str()) {
            let message = format!("there is no {what} `{}`", name.value);
            self.add(&name.at, message, did_you_mean(&name.value, known));
        }
    }
}

pub(super) fn aircraft(document: &Aircraft) -> Vec<Problem> {
    let mut f = Findings::default();
    f.range(&document.empty.mass, &AEROPLANE);
    f.range(&document.empty.arm, &load::ARM);
    f.range_if(document.empty.lateral.as_ref(), &load::ARM);
    limits(document, &mut f);
    for table in &document.envelopes {
        for corner in &table.corners.value {
            f.range(&corner.mass, &load::MASS);
            f.range(&corner.arm, &load::ARM);
        }
        if let Err(problem) = envelope(&table.corners) {
            f.0.push(problem);
        }
    }
    f.distinct("category", document.envelopes.iter().map(|table| &table.category));
    seats_and_lockers(document, &mut f);
    tanks(document, &mut f);
    burn(document, &mut f);
    performance(document, &mut f);
    grades(&document.fuel_grades, &mut f);
    ground::aircraft(document, &mut f);
    people::due(&document.due, &mut f);
    f.0
}

fn limits(document: &Aircraft, f: &mut Findings) {
    let limits = &document.limits;
    f.range(&limits.take_off_mass, &AEROPLANE);
    for stated in [&limits.ramp_mass, &limits.landing_mass, &limits.zero_fuel_mass] {
        f.stated(stated.as_ref(), &AEROPLANE);
    }
    f.stated(limits.lateral.as_ref(), &load::ARM);
    f.stated(limits.fuel_imbalance.as_ref(), &fuel::VOLUME);
    f.stated(limits.crosswind.as_ref(), &WIND_SPEED);
    f.stated(limits.tailwind.as_ref(), &WIND_SPEED);
    if document.empty.mass.value >= limits.take_off_mass.value {
        f.add(
            &limits.take_off_mass.at,
            "the greatest take-off mass is not above the empty mass",
            "check both masses and their units",
        );
    }
}

/// The corners as a checked envelope.
pub(crate) fn envelope(
    corners: &At<Vec<super::aircraft::CornerTable>>,
) -> Result<Envelope, Problem> {
    let points = corners.value.iter();
    let points = points.map(|c| Corner { arm: c.arm.value, mass: c.mass.value }).collect();
    Envelope::new(points).map_err(|error| {
        let corner = error.corner().and_then(|index| corners.value.get(index));
        let at = corner.map_or_else(|| corners.at.clone(), |corner| corner.mass.at.clone());
        Problem::new(at, error.to_string())
            .help("give the corners in order around the polygon, each once, as the manual draws it")
    })
}

fn seats_and_lockers(document: &Aircraft, f: &mut Findings) {
    for seat in &document.seats {
        f.range(&seat.arm, &load::ARM);
        f.range_if(seat.lateral.as_ref(), &load::ARM);
        f.stated(seat.max_mass.as_ref(), &load::MASS);
    }
    for locker in &document.lockers {
        f.range(&locker.arm, &load::ARM);
        f.range_if(locker.lateral.as_ref(), &load::ARM);
        f.stated(locker.max_mass.as_ref(), &load::MASS);
    }
    let seats = document.seats.iter().map(|seat| &seat.label);
    f.distinct("place", seats.chain(document.lockers.iter().map(|locker| &locker.label)));
    if !document.seats.iter().any(|seat| seat.controls) {
        let help = "add a seat with controls = true";
        f.add(&(0..0), "there is no seat to fly the aeroplane from", help);
    }
}

fn tanks(document: &Aircraft, f: &mut Findings) {
    if document.tanks.is_empty() || document.tanks.len() > MOST_TANKS {
        let message =
            format!("there are {} tanks; 1 to {MOST_TANKS} are handled", document.tanks.len());
        f.add(&(0..0), message, "add tanks that feed together as one");
    }
    f.distinct("tank", document.tanks.iter().map(|tank| &tank.label));
    for tank in &document.tanks {
        f.range(&tank.capacity, &fuel::VOLUME);
        f.range(&tank.usable, &fuel::VOLUME);
        f.range_if(tank.arm.as_ref(), &load::ARM);
        f.range_if(tank.lateral.as_ref(), &load::ARM);
        if tank.usable.value > tank.capacity.value {
            f.add(&tank.usable.at, "more is usable than the tank holds", "check both volumes");
        }
        tank_arm(tank, f);
    }
}

fn tank_arm(tank: &TankTable, f: &mut Findings) {
    let points = &tank.arm_by_quantity;
    match (&tank.arm, points.as_slice()) {
        (None, []) => f.add(
            &tank.label.at,
            "the tank has no arm",
            "give arm = \"...\", or arm_by_quantity = [{ quantity = \"...\", arm = \"...\" }, ...]",
        ),
        (Some(arm), [_, ..]) => {
            f.add(&arm.at, "the tank has an arm and an arm by quantity", "give one of the two");
        }
        _ => {}
    }
    for point in points {
        f.range(&point.quantity, &fuel::VOLUME);
        f.range(&point.arm, &load::ARM);
    }
    for pair in points.windows(2) {
        if pair[1].quantity.value <= pair[0].quantity.value {
            let help = "list the points from little fuel to much";
            f.add(&pair[1].quantity.at, "the quantity does not rise", help);
        }
    }
}

fn burn(document: &Aircraft, f: &mut Findings) {
    let burn = &document.burn;
    f.range(&burn.start_and_taxi, &fuel::VOLUME);
    f.range(&burn.taxi_time, &fuel::TIME);
    f.range(&burn.hold, &fuel::BURN);
    if let Some(climb) = &burn.climb {
        f.range(&climb.fuel, &fuel::VOLUME);
        f.range(&climb.time, &fuel::TIME);
        f.range(&climb.distance, &fuel::DISTANCE);
    }
    f.distinct("cruise setting", burn.cruise.iter().map(|cruise| &cruise.setting));
    for cruise in &burn.cruise {
        f.range(&cruise.tas, &AIRSPEED);
        f.range(&cruise.burn, &fuel::BURN);
    }
}

fn performance(document: &Aircraft, f: &mut Findings) {
    let p = &document.performance;
    for table in [&p.take_off_run, &p.take_off_distance, &p.accelerate_stop, &p.landing_distance] {
        if let Some(Err(problem)) = table.as_ref().map(chart::<Length>) {
            f.0.push(problem);
        }
    }
    if let Some(Err(problem)) = p.climb.as_ref().map(chart::<stillprop_calc::quantity::Velocity>) {
        f.0.push(problem);
    }
    for speed in [&p.climb_speed, &p.lift_off_speed, &p.landing_speed] {
        f.range_if(speed.as_ref(), &AIRSPEED);
    }
    for (at, correction) in p.corrections.iter().enumerate() {
        one_correction(correction, f);
        let twin = |other: &&Correction| {
            (other.cause, other.surface, other.wet)
                == (correction.cause, correction.surface, correction.wet)
                && other.on.iter().any(|distance| correction.on.contains(distance))
        };
        if p.corrections[..at].iter().any(|other| twin(&other)) {
            f.add(
                &correction.change.at,
                "a second correction for the same distance and the same cause",
                "keep one of the two",
            );
        }
    }
}

fn one_correction(correction: &Correction, f: &mut Findings) {
    f.range(&correction.change, &strip_sums::CHANGE);
    let at = &correction.change.at;
    match correction.cause.kind() {
        Some(kind) => {
            match &correction.per {
                None => f.add(at, "the correction does not say for how much", "add per = \"...\""),
                Some(per) => amount_of(per, kind, true, f),
            }
            if let Some(up_to) = &correction.up_to {
                amount_of(up_to, kind, true, f);
            }
        }
        None if correction.surface.is_none() && !correction.wet => {
            f.add(at, "the correction does not say for which surface", "add surface = \"...\"");
        }
        None => {}
    }
    wrong_way(correction, f);
    if correction.cause != Cause::Surface && correction.surface.is_some() {
        f.add(at, "a surface is given for a correction that is not for one", "remove it");
    }
}

/// A stray minus turns a danger into a help, so a correction may only go the way that nature
/// goes: less for what helps, more for what hinders.
fn wrong_way(correction: &Correction, f: &mut Findings) {
    let change = correction.change.value.value;
    let landing = correction.on.contains(&Distance::LandingDistance);
    let take_off = correction.on.iter().any(|on| *on != Distance::LandingDistance);
    let at = &correction.change.at;
    if landing && take_off && matches!(correction.cause, Cause::Upslope | Cause::Downslope) {
        let help = "give take-off and landing a correction each";
        return f.add(at, "a slope helps one and hinders the other", help);
    }
    let hinders = match correction.cause {
        Cause::Headwind => false,
        Cause::Tailwind | Cause::Surface => true,
        Cause::Upslope => take_off,
        Cause::Downslope => landing,
    };
    if (hinders && change < 0.0) || (!hinders && change > 0.0) {
        let (way, sign) = if hinders { ("hinders", "+") } else { ("helps", "-") };
        let message = format!("this {way}, so the change of distance goes the other way");
        f.add(at, message, format!("write it with {sign}, as the manual means it"));
    }
}

fn amount_of(text: &At<String>, kind: Kind, positive: bool, f: &mut Findings) {
    match unit::read(&text.value, kind) {
        Err(error) => f.add(&text.at, error.to_string(), error.hint()),
        Ok((amount, _)) if positive && amount.si <= 0.0 => {
            f.add(&text.at, format!("\"{}\" is not more than nothing", text.value), "correct it");
        }
        Ok(_) => {}
    }
}

/// A table of the manual as a checked chart.
///
/// # Errors
///
/// The problem, at the place it stands.
pub fn chart<Q: FromAmount>(table: &ChartTable) -> Result<Chart<Q>, Problem> {
    let unit = Unit::named(&table.unit.value).filter(|unit| unit.kind == Q::KIND);
    let Some(unit) = unit else {
        let units: Vec<_> = Q::KIND.units().map(|unit| unit.symbol).collect();
        let message = format!("`{}` is not a unit of {}", table.unit.value, Q::KIND.words());
        return Err(Problem::new(table.unit.at.clone(), message)
            .help(format!("units: {}", units.join(", "))));
    };
    let at = &table.values.at;
    let masses: Vec<Mass> = table.masses.iter().map(|line| line.value).collect();
    let altitudes: Vec<Length> = table.pressure_altitudes.iter().map(|line| line.value).collect();
    let temperatures: Vec<ThermodynamicTemperature> =
        table.temperatures.iter().map(|line| line.value).collect();
    let lengths: Vec<usize> = [masses.len(), altitudes.len(), temperatures.len()]
        .into_iter()
        .filter(|length| *length > 0)
        .collect();
    let numbers = table.values.value.flat(&lengths).map_err(|error| {
        Problem::new(at.clone(), error.to_string()).help(
            "write a list for each mass of lists for each altitude of numbers for each temperature",
        )
    })?;
    if let Some(number) = numbers.iter().find(|number| !number.is_finite() || **number < 0.0) {
        return Err(Problem::new(at.clone(), format!("{number} is not a value of a chart"))
            .help("write the numbers as the manual prints them"));
    }
    let values: Vec<Q> = numbers.into_iter().map(|number| Q::of(number, unit)).collect();
    Chart::new(&masses, &altitudes, &temperatures, &values).map_err(|error| {
        let line = match error {
            ChartError::NotRising(axis, index) => line_of(table, axis, index),
            ChartError::WrongCount { .. } | ChartError::BadValue(_) => None,
        };
        Problem::new(line.unwrap_or_else(|| at.clone()), error.to_string())
            .help("write each axis from its smallest line to its greatest, each line once")
    })
}

/// Where a line of an axis stands.
fn line_of(table: &ChartTable, axis: Axis, index: usize) -> Option<Range<usize>> {
    match axis {
        Axis::Mass => table.masses.get(index).map(|line| line.at.clone()),
        Axis::PressureAltitude => table.pressure_altitudes.get(index).map(|line| line.at.clone()),
        Axis::Temperature => table.temperatures.get(index).map(|line| line.at.clone()),
    }
}

fn grades(grades: &[At<String>], f: &mut Findings) {
    if grades.is_empty() {
        f.add(&(0..0), "no fuel grade is allowed", "list the grades of the flight manual");
    }
    for grade in grades {
        one_grade(grade, f);
    }
}

fn one_grade(grade: &At<String>, f: &mut Findings) {
    if crate::stage::grade_of(&grade.value).is_none() {
        let message = format!("`{}` is not a grade of fuel", grade.value);
        f.add(&grade.at, message, "begin with avgas, jet or mogas: \"avgas 100LL\", \"jet A-1\"");
    }
}

pub(super) fn strip(document: &Strip) -> Vec<Problem> {
    let mut f = Findings::default();
    position(&document.position, &mut f);
    f.range(&document.elevation, &ELEVATION);
    f.range_if(document.variation_east.as_ref(), &LONGITUDE);
    if crate::stage::offset_of(&document.utc_offset.value).is_none() {
        let message = format!("`{}` is not an offset from UTC", document.utc_offset.value);
        f.add(&document.utc_offset.at, message, "write \"+10:00\" or \"-03:30\"");
    }
    if let Some(open) = &document.open {
        opening(open, &mut f);
    }
    f.distinct("direction", document.directions.iter().map(|direction| &direction.name));
    if document.directions.is_empty() {
        f.add(&(0..0), "the strip has no direction", "add [[directions]]");
    }
    for each in &document.directions {
        direction(each, document.variation_east.is_some(), &mut f);
    }
    if let Some(apron) = &document.apron {
        ground::apron(apron, document.variation_east.is_some(), &mut f);
    }
    f.0
}

fn opening(open: &Open, f: &mut Findings) {
    let [from, until] = [&open.from, &open.until].map(|written| {
        let time = crate::stage::time_of(&written.value);
        if time.is_none() {
            let message = format!("`{}` is not a time of day", written.value);
            f.add(&written.at, message, "write \"06:30\", by the clock of the strip");
        }
        time
    });
    if let (Some(from), Some(until)) = (from, until)
        && until <= from
    {
        f.add(&open.until.at, "it shuts before it opens", "give the hours of one day");
    }
}

fn direction(direction: &Direction, variation: bool, f: &mut Findings) {
    for distance in [&direction.tora, &direction.toda, &direction.asda, &direction.lda] {
        f.stated(distance.as_ref(), &strip_sums::DISTANCE);
    }
    f.range_if(direction.slope.as_ref(), &SLOPE);
    for obstacle in &direction.obstacles {
        f.range(&obstacle.distance, &strip_sums::DISTANCE);
        f.range(&obstacle.height, &HEIGHT);
    }
    let magnetic = direction.bearing.to_true(None).is_none();
    if magnetic && !variation {
        f.add(
            &direction.bearing.at,
            "the bearing is magnetic and the strip has no variation",
            "add variation_east = \"5.5 deg\" (west negative), or write the true bearing",
        );
    }
}

fn position(position: &Position, f: &mut Findings) {
    f.range(&position.latitude, &LATITUDE);
    f.range(&position.longitude, &LONGITUDE);
}

pub(super) fn turnaround(document: &Turnaround) -> Vec<Problem> {
    let mut f = Findings::default();
    if let Err(problem) = selection::parse(&document.pack.value) {
        let help = problem.help.unwrap_or_default();
        f.add(&document.pack.at, problem.message, help);
    }
    weather(&document.weather, &mut f);
    f.distinct("leg", document.legs.iter().map(|leg| &leg.name));
    for leg in document.legs.iter().filter(|leg| TAKEN.contains(&leg.name.value.as_str())) {
        let message = format!("`{}` is the name of something else in the answer", leg.name.value);
        f.add(&leg.name.at, message, "name the leg after where it goes");
    }
    for each in &document.legs {
        leg(each, &mut f);
    }
    if let Some(alternate) = &document.alternate {
        self::alternate(alternate, &mut f);
    }
    f.range_if(document.holding.as_ref(), &fuel::TIME);
    f.range_if(document.extra.as_ref(), &fuel::VOLUME);
    people::check(document, &mut f);
    one_grade(&document.fuel.grade, &mut f);
    f.range_if(document.fuel.density.as_ref(), &DENSITY);
    f.range_if(document.fuel.step.as_ref(), &fuel::STEP);
    f.distinct("tank", document.fuel.tanks.iter().map(|tank| &tank.tank));
    if document.fuel.method == Some(Method::None) {
        for uplift in document.fuel.tanks.iter().filter_map(|tank| tank.uplift.as_ref()) {
            if uplift.value.value > 0.0 {
                let help = "say tanker, self-serve or drum, or take the uplift out";
                f.add(&uplift.at, "fuel is taken although the method is none", help);
            }
        }
    }
    for tank in &document.fuel.tanks {
        tank_fuel(tank, &mut f);
    }
    drums(document, &mut f);
    ground::turnaround(document, &mut f);
    people::due(&document.due, &mut f);
    f.0
}

fn tank_fuel(tank: &TankFuel, f: &mut Findings) {
    let readings = [
        (&tank.dip, FuelKnown::Dip, "dip"),
        (&tank.gauge, FuelKnown::Gauge, "gauge"),
        (&tank.reckoned, FuelKnown::Reckoned, "reckoned"),
    ];
    for given in [&tank.on_board, &tank.uplift].into_iter().chain(readings.map(|reading| reading.0))
    {
        f.range_if(given.as_ref(), &fuel::VOLUME);
    }
    for (given, known, word) in readings {
        if let (Some(given), Some(_), true) = (given, &tank.on_board, tank.known == Some(known)) {
            let message = format!("`on_board` is known by `{word}` already");
            f.add(
                &given.at,
                message,
                format!("remove `{word}`, or say how else `on_board` is known"),
            );
        }
    }
}

fn drums(document: &Turnaround, f: &mut Findings) {
    let fuel = &document.fuel;
    if let Some(begins) = &fuel.begins
        && begins.value.instant > document.departs.instant
    {
        f.add(&begins.at, "fuelling begins after chocks off", "check both times and their offsets");
    }
    let mut seen = HashSet::new();
    for draw in &fuel.drums {
        f.range(&draw.draw, &fuel::VOLUME);
        if draw.draw.value.value == 0.0 {
            f.add(&draw.draw.at, "nothing is drawn", "say how much, or remove the drum");
        }
        if !seen.insert((&draw.drum.value, &draw.tank.value)) {
            let message =
                format!("drum `{}` into {} stands twice", draw.drum.value, draw.tank.value);
            f.add(&draw.drum.at, message, "write their sum once");
        }
    }
    let Some(first) = fuel.drums.first() else { return };
    if fuel.method != Some(Method::Drum) {
        let help = "write method = \"drum\", or remove the drums";
        f.add(&first.drum.at, "drums are named where the fuel does not come from drums", help);
    }
    if fuel.yard.is_none() {
        let help = "add yard = \"...\" under [fuel]";
        f.add(&first.drum.at, "it is not said in which yard the drum is", help);
    }
}

/// What is forecast for other times of the day.
fn through_the_day(weather: &Weather, f: &mut Findings) {
    f.range_if(weather.minimum.as_ref(), &TEMPERATURE);
    f.range_if(weather.maximum.as_ref(), &TEMPERATURE);
    match (&weather.minimum, &weather.maximum) {
        (Some(low), Some(high)) if low.value > high.value => {
            f.add(&low.at, "the minimum is above the maximum", "check both");
        }
        (Some(alone), None) | (None, Some(alone)) => {
            f.add(&alone.at, "one of minimum and maximum alone says nothing", "give both");
        }
        _ => {}
    }
    for hour in &weather.hours {
        f.range_if(hour.temperature.as_ref(), &TEMPERATURE);
        f.range_if(hour.qnh.as_ref(), &QNH);
        wind(hour.wind.as_ref(), f);
    }
    for pair in weather.hours.windows(2) {
        if pair[1].at.value.instant <= pair[0].at.value.instant {
            f.add(&pair[1].at.at, "the hours do not follow each other", "list them in order");
        }
    }
}

fn weather(weather: &Weather, f: &mut Findings) {
    f.range_if(weather.qnh.as_ref(), &QNH);
    f.range_if(weather.temperature.as_ref(), &TEMPERATURE);
    f.range_if(weather.dew_point.as_ref(), &TEMPERATURE);
    if let (Some(air), Some(dew)) = (&weather.temperature, &weather.dew_point)
        && dew.value > air.value
    {
        f.add(&dew.at, "the dew point is above the air temperature", "check both");
    }
    wind(weather.wind.as_ref(), f);
    through_the_day(weather, f);
    if let Some(line) = &weather.metar
        && let Err(error) = crate::weather::read_metar(&line.value)
    {
        f.add(&line.at, error.message, error.help);
    }
}

fn wind(wind: Option<&Wind>, f: &mut Findings) {
    let Some(wind) = wind else { return };
    f.range(&wind.speed, &WIND_SPEED);
    f.range_if(wind.gust.as_ref(), &WIND_SPEED);
    if let Some(gust) = &wind.gust
        && gust.value < wind.speed.value
    {
        f.add(&gust.at, "the gust is below the mean wind", "check both");
    }
}

fn leg(leg: &Leg, f: &mut Findings) {
    f.range_if(leg.distance.as_ref(), &fuel::DISTANCE);
    f.range_if(leg.stop.as_ref(), &fuel::TIME);
    if let Some(place) = &leg.position {
        position(place, f);
    }
    weather(&leg.weather, f);
    wind(leg.wind.as_ref(), f);
}

fn alternate(alternate: &Alternate, f: &mut Findings) {
    f.range_if(alternate.distance.as_ref(), &fuel::DISTANCE);
    if let Some(place) = &alternate.position {
        position(place, f);
    }
    wind(alternate.wind.as_ref(), f);
}

/// Checks the names in a turnaround against its aircraft and strips.
#[must_use]
pub fn check_against(
    document: &Turnaround,
    aircraft: &Aircraft,
    here: &Strip,
    legs: &[Option<Strip>],
) -> Vec<Problem> {
    let mut f = Findings::default();
    let seats: Vec<&str> = aircraft.seats.iter().map(|seat| seat.label.value.as_str()).collect();
    let lockers = aircraft.lockers.iter().map(|locker| locker.label.value.as_str());
    let places: Vec<&str> = seats.iter().copied().chain(lockers).collect();
    for seat in document.people.iter().filter_map(|person| person.seat.as_ref()) {
        f.known("seat", seat, &seats);
    }
    for item in &document.items {
        f.known("locker or seat", &item.place, &places);
    }
    let tanks: Vec<&str> = aircraft.tanks.iter().map(|tank| tank.label.value.as_str()).collect();
    let drawn = document.fuel.drums.iter().map(|draw| &draw.tank);
    for tank in document.fuel.tanks.iter().map(|fuel| &fuel.tank).chain(drawn) {
        f.known("tank", tank, &tanks);
    }
    let settings: Vec<&str> =
        aircraft.burn.cruise.iter().map(|cruise| cruise.setting.value.as_str()).collect();
    let of_alternate = document.alternate.iter().map(|alternate| &alternate.cruise);
    for setting in document.legs.iter().map(|leg| &leg.cruise).chain(of_alternate) {
        f.known("cruise setting", setting, &settings);
    }
    let directions = |strip: &Strip, name: &At<String>, f: &mut Findings| {
        let known: Vec<&str> = strip.directions.iter().map(|d| d.name.value.as_str()).collect();
        f.known("direction", name, &known);
    };
    directions(here, &document.take_off, &mut f);
    if let Some(back) = &document.back_here {
        directions(here, back, &mut f);
    }
    for (leg, strip) in document.legs.iter().zip(legs) {
        if let (Some(landing), Some(strip)) = (&leg.landing, strip) {
            directions(strip, landing, &mut f);
        }
    }
    if let Some(category) = &document.category {
        let known: Vec<&str> =
            aircraft.envelopes.iter().map(|table| table.category.value.as_str()).collect();
        f.known("envelope category", category, &known);
    }
    ground::against(document, aircraft, here, &mut f);
    f.0
}
