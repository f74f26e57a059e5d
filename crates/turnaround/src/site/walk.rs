//! The way people walk between the gate and a door, and where the wind carries vapour.
//!
//! Nobody walks through a propeller disc or its margin, treated as live even when it stands;
//! through what the fuel comes from and three metres around it; over spilt fuel; behind a
//! running engine, nor closer ahead of one than the propeller margin; under a wing strut; through
//! water or anything solid, to which a low wing belongs and a high one does not.
//!
//! Three metres: New York City Fire Code 2006.13 to 2006.17, 10 ft around fuelling equipment,
//! read in a copy. 0.3 m from anything solid and from a strut, and 45 degrees of wind: common
//! practice, no source.

use stillprop_calc::{
    plane::{Disc, Nearest, Point, Polyline, Pose, Shape, nearest},
    quantity::{Angle, FromAmount, Length},
    trace::Silent,
    unit,
    walk::{Closed, Forbidden, Walk, walk},
};

use super::{Body, End, GroundFigures, Parked, Site, Thing};
use crate::{
    document::ground::{PartKind, ThingKind, WingPlace},
    limits::Words,
    stage::Unknown,
    units::{Round, Units},
};

/// Around what the fuel comes from, in metres.
const AROUND_SOURCE: f64 = 3.048;
/// From anything solid and to either side of a strut, in metres: half the width of a person.
const BESIDE: f64 = 0.3;
/// Sides of the shapes drawn around circles.
const SIDES: usize = 32;
/// To either side of straight downwind, in degrees.
pub const DOWNWIND: f64 = 45.0;
/// Below this the wind has no side, in knots.
pub const CALM: f64 = 3.0;

/// Ground that nobody walks on.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// What it is: `propeller`, `drum trolley`.
    pub what: String,
    /// The ground.
    pub shape: Shape,
    /// The first zone of the same thing: all zones of one thing close a way together.
    first: usize,
}

/// The way to one door, or what closes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The door.
    pub door: usize,
    /// What nobody walks through, in the order of the indices of `walk`.
    pub zones: Vec<Zone>,
    /// The path.
    pub walk: Walk,
    /// Where it comes nearest to a propeller disc; `None` without a path or a propeller.
    pub propeller: Option<Nearest>,
}

impl Way {
    /// True when there is a path.
    #[must_use]
    pub const fn open(&self) -> bool {
        matches!(self.walk, Walk::Path { .. })
    }

    /// The names of what closes it.
    pub fn closed_by(&self) -> impl Iterator<Item = &str> {
        let by = match &self.walk {
            Walk::Blocked { by, .. } => by.as_slice(),
            Walk::Path { .. } => &[],
        };
        by.iter().filter_map(|index| Some(self.zones.get(*index)?.what.as_str()))
    }

    /// The first thing that closes it.
    #[must_use]
    pub fn closing(&self) -> Option<&Zone> {
        match &self.walk {
            Walk::Blocked { by, .. } => self.zones.get(*by.first()?),
            Walk::Path { .. } => None,
        }
    }

    pub(crate) fn words(&self, site: &Site, units: &Units) -> Words {
        let door = site.airframe.doors.get(self.door).map_or("the door", |door| &door.what);
        match &self.walk {
            Walk::Path { length, .. } => {
                let near = self.propeller.map(|nearest| {
                    let room = units.apron(nearest.distance, Round::Down);
                    format!("nowhere nearer than {room} to the propeller; the same way back; walked when \
                             nothing flows and the hose is away")
                });
                Words::stands(format!(
                    "{} from the gate to {door}",
                    units.apron(*length, Round::Up)
                ))
                .remark(near)
            }
            Walk::Blocked { closed, .. } => {
                let by: Vec<&str> = self.closed_by().collect();
                let by = by.join(", ");
                let (where_, way_out) = match closed {
                    Closed::Gate => {
                        ("the gate lies where nobody walks", "have people wait elsewhere")
                    }
                    Closed::Door => {
                        ("the door lies where nobody walks", "move the aeroplane or what is there")
                    }
                    Closed::Between => {
                        ("every way is closed by", "move the aeroplane or what is there")
                    }
                };
                let colon = if *closed == Closed::Between { "" } else { ":" };
                Words::stands(format!("no safe path from the gate to {door}"))
                    .act(format!("{where_}{colon} {by}; {way_out}"))
            }
        }
    }
}

/// The way from the gate to a door.
///
/// # Errors
///
/// What is missing, in words.
pub fn to_door(
    site: &Site,
    figures: &GroundFigures,
    parked: &Parked,
    door: usize,
) -> Result<Way, Unknown> {
    let gate = site.gate.ok_or("where passengers wait is not given: add gate to [apron]")?;
    let at = *parked.doors.get(door).ok_or("the aeroplane has no such door")?;
    let zones = zones(site, figures, parked)?;
    let forbidden: Vec<_> =
        zones.iter().map(|zone| Forbidden { index: zone.first, shape: &zone.shape }).collect();
    let walk = walk(gate, at, &forbidden, &mut Silent).map_err(|error| error.to_string())?;
    let propeller = to_propeller(&walk, parked);
    Ok(Way { door, zones, walk, propeller })
}

/// Where a path comes nearest to a propeller disc.
fn to_propeller(walk: &Walk, parked: &Parked) -> Option<Nearest> {
    let Walk::Path { points, .. } = walk else { return None };
    let line = Polyline::new(points).ok()?;
    let discs = parked.propellers.iter().map(|disc| nearest(&line, *disc));
    discs.min_by(|a, b| a.distance.si().total_cmp(&b.distance.si()))
}

/// Every way to every door.
#[must_use]
pub fn to_doors(
    site: &Site,
    figures: &GroundFigures,
    parked: &Parked,
) -> Vec<Result<Way, Unknown>> {
    (0..site.airframe.doors.len()).map(|door| to_door(site, figures, parked, door)).collect()
}

/// What nobody walks through, one thing after another.
#[derive(Default)]
struct Zones(Vec<Zone>);

impl Zones {
    fn add(&mut self, what: &str, shapes: impl IntoIterator<Item = Shape>) {
        let first = self.0.len();
        let zone = |shape| Zone { what: what.to_owned(), shape, first };
        self.0.extend(shapes.into_iter().map(zone));
    }
}

/// All that nobody walks through.
fn zones(site: &Site, figures: &GroundFigures, parked: &Parked) -> Result<Vec<Zone>, Unknown> {
    let mut zones = Zones::default();
    let margin = figures.moving_room.propeller_margin.as_ref().map_err(Clone::clone)?.value;
    if parked.propellers.is_empty() {
        return Err("the propeller is not described: add propellers to [shape]".into());
    }
    let discs = parked.propellers.iter();
    let discs = discs.map(|disc| around(disc.centre(), disc.radius() + margin));
    zones.add("the propeller", discs.collect::<Result<Vec<_>, _>>()?);
    if let Some(source) = &site.source {
        zones.add(&source.what, [around(source.at, Length::from_si(AROUND_SOURCE))?]);
    }
    for spilt in &site.spills {
        let pool = spilt.pool.as_ref().map_err(Clone::clone)?;
        zones.add(&spilt.what, [around(pool.centre(), pool.radius())?]);
    }
    let fixed = site.airframe.parts.iter().zip(&parked.parts);
    for ((part, _), shape) in fixed {
        if !(*part == PartKind::Wing && site.airframe.wing == WingPlace::High) {
            zones.add(part.word(), [beside(shape)?]);
        }
    }
    let struts = parked.struts.iter().map(|ends| strip(*ends, 0.0));
    zones.add("a wing strut", struts.collect::<Result<Vec<_>, _>>()?);
    for thing in &site.things {
        if thing.kind.solid() || thing.kind == ThingKind::Water {
            zones.add(&thing.what, ground(thing)?);
        }
        if let Some(wake) = &thing.wake {
            let shape = wake.as_ref().map_err(Clone::clone)?.clone();
            zones.add(&format!("the wake of {}", thing.what), [shape]);
        }
    }
    Ok(zones.0)
}

/// The ground that a thing keeps people off: a fence and a tree as much as a shed.
fn ground(thing: &Thing) -> Result<Vec<Shape>, Unknown> {
    match &thing.body {
        Body::Spot(at) => Ok(vec![around(*at, Length::from_si(BESIDE))?]),
        Body::Line(line) => {
            let points: Vec<Point> = line.points().collect();
            points.windows(2).map(|ends| strip([ends[0], ends[1]], BESIDE)).collect()
        }
        Body::Area(shape) if thing.kind.solid() => Ok(vec![beside(shape)?]),
        // Along the water's edge people may walk.
        Body::Area(shape) => Ok(vec![shape.clone()]),
    }
}

fn beside(shape: &Shape) -> Result<Shape, Unknown> {
    shape.grown(Length::from_si(BESIDE)).map_err(|error| error.to_string())
}

fn around(centre: Point, radius: Length) -> Result<Shape, Unknown> {
    let disc = Disc::new(centre, radius).map_err(|error| error.to_string())?;
    Shape::disc(disc, SIDES).map_err(|error| error.to_string())
}

/// The ground to either side of a straight line and so far beyond its ends.
fn strip([a, b]: [Point; 2], beyond: f64) -> Result<Shape, Unknown> {
    let (east, north) = (b.east().si() - a.east().si(), b.north().si() - a.north().si());
    let length = east.hypot(north);
    if length <= 0.0 {
        return around(a, Length::from_si(BESIDE));
    }
    let (x, y) = (-north / length * BESIDE, east / length * BESIDE);
    let (u, v) = (east / length * beyond, north / length * beyond);
    shape(&[(a, x - u, y - v), (b, x + u, y + v), (b, u - x, v - y), (a, -x - u, -y - v)])
}

fn shape(corners: &[(Point, f64, f64)]) -> Result<Shape, Unknown> {
    let points = corners.iter().map(|(point, east, north)| moved(*point, *east, *north));
    let points: Vec<Point> = points.collect::<Result<_, _>>()?;
    Shape::new(&points).map_err(|error| error.to_string())
}

fn moved(point: Point, east: f64, north: f64) -> Result<Point, Unknown> {
    let at =
        Point::new(point.east() + Length::from_si(east), point.north() + Length::from_si(north));
    at.map_err(|error| error.to_string())
}

/// The ground behind, beside and just ahead of an aircraft whose engine runs, as wide as it is.
/// Where its propeller turns is not described, so the margin is kept ahead of all of it.
pub(super) fn wake(
    corners: &[Point],
    nose: Angle,
    behind: Length,
    ahead: Length,
) -> Result<Shape, Unknown> {
    let (sin, cos) = nose.si().sin_cos();
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for corner in corners {
        let (east, north) = (corner.east().si(), corner.north().si());
        let own = [east * cos - north * sin, east * sin + north * cos];
        for axis in 0..2 {
            low[axis] = low[axis].min(own[axis]);
            high[axis] = high[axis].max(own[axis]);
        }
    }
    // Less than a hand is no aircraft, but one described as a place or a line along its nose.
    if high[0] - low[0] < 0.1 {
        return Err(
            "an engine runs, and how wide its wake is, is not known: give the corners".into()
        );
    }
    let (back, front) = (low[1] - behind.si(), high[1] + ahead.si());
    let origin = Point::new(Length::from_si(0.0), Length::from_si(0.0));
    let pose =
        origin.and_then(|origin| Pose::new(origin, nose)).map_err(|error| error.to_string())?;
    let corner = |right: f64, forward: f64| {
        Point::new(Length::from_si(right), Length::from_si(forward))
            .map(|point| point.placed(pose))
            .map_err(|error| error.to_string())
    };
    let points = [(low[0], back), (high[0], back), (high[0], front), (low[0], front)]
        .map(|(r, f)| corner(r, f));
    let points: Vec<Point> = points.into_iter().collect::<Result<_, _>>()?;
    Shape::new(&points).map_err(|error| error.to_string())
}

/// Whether what the fuel comes from stands clear of drifting vapour.
#[derive(Clone, Copy, Debug)]
pub struct WindSide<'a> {
    /// It does.
    pub holds: bool,
    source: &'a str,
    /// The opening that lies straight upwind of it.
    upwind: Option<End<'a>>,
    calm: bool,
}

impl WindSide<'_> {
    pub(crate) fn words(&self) -> String {
        match (self.calm, self.upwind) {
            (true, _) => "hardly any wind: vapour lies where it comes out".into(),
            (_, Some(opening)) => {
                format!("vapour from the {opening} drifts to {}", self.source)
            }
            (_, None) => format!("{} stands upwind or abeam", self.source),
        }
    }
}

/// Where the source stands in the wind.
pub(crate) fn wind_side<'a>(site: &'a Site, parked: &'a Parked) -> Result<WindSide<'a>, &'a str> {
    let source = site.source.as_ref().ok_or(super::NO_SOURCE)?;
    site.airframe.has_openings()?;
    let (from, speed) = site.wind.as_ref().map_err(String::as_str)?;
    let mut side = WindSide { holds: true, source: &source.what, upwind: None, calm: false };
    if speed.count(unit::KT) < CALM {
        side.calm = true;
        return Ok(side);
    }
    let from = from.ok_or("the wind varies: no side is upwind")?;
    let straight_downwind = |at: &Point| {
        let (east, north) = (source.at.east() - at.east(), source.at.north() - at.north());
        let bearing = east.si().atan2(north.si()).to_degrees();
        let off = (bearing - from.count(unit::DEG) - 180.0).rem_euclid(360.0);
        off.min(360.0 - off) < DOWNWIND
    };
    let mut openings = parked.openings(&site.airframe);
    side.upwind = openings.find(|(_, at)| straight_downwind(at)).map(|(end, _)| end);
    side.holds = side.upwind.is_none();
    Ok(side)
}
