//! Places, shapes, equipment, start and battery: what their shape cannot say.

use std::ops::Range;

use stillprop_calc::{
    battery,
    bounds::{Bounds, OutOfRange},
    charge, load,
    plane::{Point, Shape},
    propeller,
    quantity::{FromAmount, Length},
    restraint, spill,
    unit::{self, Kind, Unit},
};
use stillprop_rules::document::{At, Bearing, North, Problem};

use super::Findings;
use crate::document::{
    aircraft::Aircraft,
    ground::{
        Apron, Electrical, Flow, Ground, Part, PlanShape, Spill, Spot, Start, StartBy, Starting,
        Thing, ThingKind,
    },
    strip::Strip,
    turnaround::Turnaround,
};

/// Accepted places. Ours: no apron is larger.
const PLACE: Bounds = Bounds::new("the place", -2000.0, 2000.0, unit::M);
/// Accepted lengths of a hose.
const HOSE: Bounds = Bounds::new("the hose", 0.5, 100.0, unit::M);
/// Accepted shares.
const SHARE: Bounds = Bounds::new("the share", 0.0, 100.0, unit::PERCENT);
/// Accepted widths of a spill. What has no width is no spill: it was cleaned.
const ACROSS: Bounds = Bounds::new("the width", 0.01, 200.0, unit::M);
/// Accepted voltages. Ours: 12 V to 28 V systems with room on both sides.
const VOLTS: Bounds = Bounds::new("the voltage", 6.0, 48.0, unit::V);

/// The unit of a table of places.
///
/// # Errors
///
/// A word that is no unit of length.
pub fn length_unit(unit: &At<String>) -> Result<Unit, Problem> {
    Unit::named(&unit.value).filter(|unit| unit.kind == Kind::Length).ok_or_else(|| {
        let units: Vec<_> = Kind::Length.units().map(|unit| unit.symbol).collect();
        let message = format!("`{}` is not a unit of length", unit.value);
        Problem::new(unit.at.clone(), message).help(format!("units: {}", units.join(", ")))
    })
}

/// A place in typed metres.
pub(crate) fn point(spot: Spot, unit: Unit) -> Result<Point, OutOfRange> {
    Point::new(Length::of(spot[0], unit), Length::of(spot[1], unit))
}

/// The corners of an area as a checked shape.
pub(crate) fn outline(corners: &At<Vec<Spot>>, unit: Unit) -> Result<Shape, Problem> {
    let problem = |message: String| {
        Problem::new(corners.at.clone(), message)
            .help("give the corners in order around the area, each once")
    };
    let points = corners.value.iter().map(|spot| point(*spot, unit));
    let points =
        points.collect::<Result<Vec<_>, _>>().map_err(|error| problem(error.to_string()))?;
    Shape::new(&points).map_err(|error| problem(error.to_string()))
}

impl Thing {
    /// True when the corners enclose an area; a drain is a line however it bends.
    pub(crate) fn encloses(&self) -> bool {
        self.is != ThingKind::Drain && self.corners.value.len() >= 3
    }
}

impl Findings {
    fn spot(&mut self, spot: Spot, at: &Range<usize>, unit: Unit) {
        let bad = spot.iter().any(|number| PLACE.check(Length::of(*number, unit)).is_err());
        if bad {
            let message = format!("[{}, {}] is not a place on an apron", spot[0], spot[1]);
            self.add(at, message, "give two numbers, and check the unit of the table");
        }
    }

    /// Every corner a place; an area a whole one.
    fn corners(&mut self, corners: &At<Vec<Spot>>, area: bool, unit: Unit) {
        if corners.value.is_empty() {
            self.add(&corners.at, "no place is given", "give at least one place");
            return;
        }
        let before = self.0.len();
        for spot in &corners.value {
            self.spot(*spot, &corners.at, unit);
        }
        if area
            && self.0.len() == before
            && let Err(problem) = outline(corners, unit)
        {
            self.0.push(problem);
        }
    }

    /// The unit, or the problem noted.
    fn unit(&mut self, written: &At<String>) -> Option<Unit> {
        length_unit(written).map_err(|problem| self.0.push(problem)).ok()
    }

    fn things(&mut self, things: &[Thing], unit: Unit) {
        self.distinct("thing", things.iter().map(|thing| &thing.what));
        for thing in things {
            self.corners(&thing.corners, thing.encloses(), unit);
        }
    }
}

/// A magnetic direction needs the variation of the strip.
fn north(bearing: &Bearing, variation: bool, f: &mut Findings) {
    if bearing.north == North::Magnetic && !variation {
        f.add(
            &bearing.at,
            "the direction is magnetic and the strip has no variation",
            "add variation_east = \"5.5 deg\" to the strip, or write the true direction",
        );
    }
}

pub(super) fn apron(apron: &Apron, variation: bool, f: &mut Findings) {
    let Some(unit) = f.unit(&apron.unit) else { return };
    for running in apron.things.iter().filter_map(|thing| thing.engine_running.as_ref()) {
        north(running, variation, f);
    }
    if let Some(gate) = &apron.gate {
        f.spot(gate.value, &gate.at, unit);
    }
    if let Some(way) = &apron.way_out {
        f.corners(way, false, unit);
        if way.value.len() < 2 {
            f.add(&way.at, "the way out has no second place", "give two places or more");
        }
    }
    f.things(&apron.things, unit);
    for equipment in &apron.equipment {
        f.spot(equipment.at.value, &equipment.at.at, unit);
    }
}

pub(super) fn aircraft(document: &Aircraft, f: &mut Findings) {
    if let Some(shape) = &document.shape {
        let tanks: Vec<&str> =
            document.tanks.iter().map(|tank| tank.label.value.as_str()).collect();
        plan_shape(shape, &tanks, f);
    }
    if let Some(starting) = &document.starting {
        self::starting(starting, f);
    }
    if let Some(electrical) = &document.electrical {
        self::electrical(electrical, f);
    }
}

fn plan_shape(shape: &PlanShape, tanks: &[&str], f: &mut Findings) {
    let Some(unit) = f.unit(&shape.unit) else { return };
    if shape.parts.is_empty() {
        f.add(&shape.unit.at, "the shape has no outline", "add parts: wing, fuselage, tail");
    }
    f.range_if(shape.wheels_arm.as_ref(), &load::ARM);
    for Part { corners, .. } in &shape.parts {
        f.corners(corners, true, unit);
    }
    for propeller in &shape.propellers {
        f.spot(propeller.at.value, &propeller.at.at, unit);
        f.range(&propeller.diameter, &propeller::DIAMETER);
    }
    for (what, openings) in
        [("filler", &shape.fillers), ("vent", &shape.vents), ("door", &shape.doors)]
    {
        f.distinct(what, openings.iter().map(|opening| &opening.what));
        for opening in openings {
            f.spot(opening.at.value, &opening.at.at, unit);
        }
    }
    for filler in &shape.fillers {
        f.known("tank", &filler.what, tanks);
    }
    for strut in &shape.struts {
        for end in strut.value {
            f.spot(end, &strut.at, unit);
        }
        let [[a, b], [c, d]] = strut.value;
        if (a - c).hypot(b - d) <= 0.0 {
            f.add(&strut.at, "the strut has no length", "give both ends of it");
        }
    }
    wheels(shape, unit, f);
}

fn wheels(shape: &PlanShape, unit: Unit, f: &mut Findings) {
    f.distinct("wheel", shape.wheels.iter().map(|wheel| &wheel.what));
    let mut sum = 0.0;
    for wheel in &shape.wheels {
        f.spot(wheel.at.value, &wheel.at.at, unit);
        f.range(&wheel.radius, &restraint::WHEEL_RADIUS);
        f.range(&wheel.share, &SHARE);
        sum += wheel.share.value.value;
    }
    if let Some(last) = shape.wheels.last()
        && (sum - 1.0).abs() > 0.02
    {
        let message = format!("the wheels carry {:.0} % of the mass together", sum * 100.0);
        f.add(&last.share.at, message, "the shares of all wheels make 100 %");
    }
}

fn starting(starting: &Starting, f: &mut Findings) {
    f.range_if(starting.power.as_ref(), &propeller::POWER);
    f.range_if(starting.figure_of_merit.as_ref(), &propeller::MERIT);
    f.range_if(starting.hub_height.as_ref(), &restraint::THRUST_HEIGHT);
}

fn electrical(electrical: &Electrical, f: &mut Findings) {
    f.range(&electrical.volts, &VOLTS);
    f.range(&electrical.capacity, &battery::CAPACITY);
    f.range(&electrical.rated_over, &battery::RATED_TIME);
    f.range_if(electrical.exponent.as_ref(), &battery::EXPONENT);
    f.range_if(electrical.aged_to.as_ref(), &battery::SHARE);
    f.range_if(electrical.cold_to.as_ref(), &battery::SHARE);
    f.range_if(electrical.generator.as_ref(), &battery::CURRENT);
    f.distinct("load", electrical.loads.iter().map(|load| &load.what));
    for load in &electrical.loads {
        f.range(&load.current, &battery::CURRENT);
    }
}

pub(super) fn turnaround(document: &Turnaround, f: &mut Findings) {
    if let Some(ground) = &document.ground {
        self::ground(ground, f);
    }
    if let Some(start) = &document.start {
        self::start(start, document, f);
    }
}

fn ground(ground: &Ground, f: &mut Findings) {
    let Some(unit) = f.unit(&ground.unit) else { return };
    f.spot(ground.at.value, &ground.at.at, unit);
    if let Some(source) = &ground.source {
        f.spot(source.at.value, &source.at.at, unit);
        f.range_if(source.hose.as_ref(), &HOSE);
    }
    if let Some(flow) = &ground.flow {
        self::flow(flow, f);
    }
    f.things(&ground.things, unit);
    for equipment in &ground.equipment {
        f.spot(equipment.at.value, &equipment.at.at, unit);
    }
    f.distinct("spill", ground.spills.iter().map(|spill| &spill.what));
    for Spill { volume, at, across, vapour_pressure, molar_mass, .. } in &ground.spills {
        f.range_if(vapour_pressure.as_ref(), &spill::VAPOUR);
        f.range_if(molar_mass.as_ref(), &spill::MOLAR_MASS);
        f.range(volume, &spill::SPILT);
        f.spot(at.value, &at.at, unit);
        f.range_if(across.as_ref(), &ACROSS);
    }
}

fn flow(flow: &Flow, f: &mut Findings) {
    f.range_if(flow.rate.as_ref(), &charge::FLOW);
    f.range_if(flow.bore.as_ref(), &charge::BORE);
    f.range_if(flow.behind_filter.as_ref(), &HOSE);
    f.range_if(flow.conductivity.as_ref(), &charge::CONDUCTIVITY);
}

fn start(start: &Start, document: &Turnaround, f: &mut Findings) {
    let names: Vec<&str> =
        document.people.iter().map(|person| person.name.value.as_str()).collect();
    if let Some(at_controls) = &start.at_controls {
        f.known("person aboard", at_controls, &names);
    }
    if let (Some(propeller), Some(controls)) = (&start.at_propeller, &start.at_controls)
        && propeller.value == controls.value
    {
        f.add(
            &controls.at,
            format!("`{}` cannot be at the propeller and at the controls", controls.value),
            "leave at_controls out when one person does both, and read the rule on that",
        );
    }
    if start.by.value == StartBy::Starter
        && let Some(propeller) = &start.at_propeller
    {
        f.add(&propeller.at, "nobody turns the propeller of a starter", "write by = \"hand\"");
    }
    if let Some(chocks) = &start.chocks {
        f.range(&chocks.height, &restraint::CHOCK_HEIGHT);
        f.range_if(chocks.face.as_ref(), &restraint::CHOCK_FACE);
        f.distinct("wheel", chocks.ahead_of.iter());
    }
    if let Some(tie) = &start.tail_tie {
        f.range(&tie.strength, &restraint::STRENGTH);
        f.range(&tie.slope, &restraint::TIE_SLOPE);
    }
    f.range_if(start.throttle.as_ref(), &SHARE);
}

/// Checks the names of the ground against the aircraft and the strip.
pub(super) fn against(document: &Turnaround, aircraft: &Aircraft, here: &Strip, f: &mut Findings) {
    let (apron, variation) = (here.apron.as_ref(), here.variation_east.is_some());
    if let (Some(start), Some(shape)) = (&document.start, &aircraft.shape) {
        let wheels: Vec<&str> =
            shape.wheels.iter().map(|wheel| wheel.what.value.as_str()).collect();
        for wheel in start.chocks.iter().flat_map(|chocks| &chocks.ahead_of) {
            f.known("wheel", wheel, &wheels);
        }
    }
    if let Some(ground) = &document.ground {
        north(&ground.heading, variation, f);
        for running in ground.things.iter().filter_map(|thing| thing.engine_running.as_ref()) {
            north(running, variation, f);
        }
        let always = apron.map_or(&[][..], |apron| &apron.things);
        for thing in &ground.things {
            if always.iter().any(|other| other.what.value == thing.what.value) {
                let message = format!("`{}` stands in the strip document too", thing.what.value);
                f.add(&thing.what.at, message, "give it another name");
            }
        }
        if apron.is_none() {
            let message = "the strip document has no apron to stand on";
            f.add(&ground.at.at, message, "add [apron] to the strip document");
        }
    }
}
