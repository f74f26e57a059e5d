//! The apron plan: the aeroplane where it stands, what stands around it, and how far that is.
//!
//! To scale, north up. Every clearance is a line between its two nearest points, with a number
//! that stands again in the list, beside what was measured, what it must be and by which rule.
//! Where a place is missing nothing is drawn, and the picture says what is left out.

mod glyph;
mod key;
mod list;
mod look;
mod marks;
mod names;
mod outline;
mod say;
mod scene;
mod sheet;
#[cfg(test)]
mod tests;
mod view;

use crate::{Verdict, Width};

/// A place on the ground, in metres from the origin of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// East of the origin. \[m\]
    pub east: f64,
    /// North of the origin. \[m\]
    pub north: f64,
}

/// One apron at one moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ApronPicture {
    /// The place: `Nessow Top`.
    pub place: String,
    /// What is going on and when: `fuelling from drums, 14 March 2026`.
    pub day: String,
    /// The edge of the ground one may stand on.
    pub ground: Option<Outline>,
    /// All that stands or lies around: buildings, water, equipment, people.
    pub things: Vec<Thing>,
    /// The aeroplane that is looked after.
    pub aeroplane: Option<Aeroplane>,
    /// Where nothing may spark while fuel flows; several where tanks lie apart.
    pub zones: Vec<Zone>,
    /// Fuel on the ground.
    pub spills: Vec<Spill>,
    /// The fuel hose.
    pub hose: Option<Hose>,
    /// How passengers walk.
    pub walk: Option<Walk>,
    /// Distances that somebody demands, tightest first; numbered in this order.
    pub clearances: Vec<Clearance>,
    /// The wind, when it was given.
    pub wind: Option<Wind>,
    /// What else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

/// A closed line: corner to corner, and from the last back to the first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Its corners, in either direction of turn.
    pub corners: Vec<Corner>,
}

/// A corner and how the outline goes on from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Where it is.
    pub at: Spot,
    /// The way to the next corner.
    pub then: Side,
}

/// The way from one corner to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Side {
    /// Straight.
    Straight,
    /// Part of a circle around this middle, turning left: anticlockwise seen from above.
    Left(Spot),
    /// Part of a circle around this middle, turning right.
    Right(Spot),
}

/// How much ground a thing takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Extent {
    /// Small; drawn as a sign of fixed size.
    Spot(Spot),
    /// Long and narrow: a drain, the edge of a road.
    Line(Vec<Spot>),
    /// An area.
    Area(Outline),
}

/// Something on or beside the apron.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// What it is.
    pub kind: ThingKind,
    /// What people call it; may be empty.
    pub name: String,
    /// Where it is.
    pub extent: Extent,
}

/// What a thing is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ThingKind {
    /// A building without openings towards the aeroplane.
    SealedBuilding,
    /// A building with openings.
    UnsealedBuilding,
    /// Where people come and go who are not part of the work.
    PublicArea,
    /// Another aircraft.
    Aircraft,
    /// A road.
    Road,
    /// A drain.
    Drain,
    /// Open water.
    Water,
    /// Anything else to keep away from.
    Obstacle,
    /// Where people wait.
    Gate,
    /// A fire extinguisher.
    Extinguisher,
    /// What takes up a spill.
    SpillKit,
    /// The emergency stop of the pump.
    EmergencyStop,
    /// A drum of fuel.
    Drum,
    /// A trolley with drums.
    Trolley,
    /// A tank on wheels.
    Bowser,
    /// A pump, by hand or fixed.
    Pump,
    /// A person at work.
    Person,
    /// What may set fire to fuel: an engine, a switch, a stove.
    Ignition,
}

/// The aeroplane, as it stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aeroplane {
    /// Registration and type.
    pub name: String,
    /// Where its nose points, clockwise from north. \[deg\]
    pub heading: Option<f64>,
    /// Fuselage, wing and tail, in the order to draw them.
    pub outlines: Vec<Outline>,
    /// Its propellers.
    pub propellers: Vec<Propeller>,
    /// Where the wheels stand.
    pub wheels: Vec<Spot>,
    /// Where fuel goes in.
    pub fillers: Vec<Spot>,
    /// Where tanks breathe.
    pub vents: Vec<Spot>,
    /// Where people get in.
    pub doors: Vec<Door>,
}

/// A propeller from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Propeller {
    /// What the blades sweep.
    pub disc: Outline,
    /// What people keep out of; none when no margin is known.
    pub margin: Option<Outline>,
}

/// A door and its step.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    /// `left door, step behind the wing`.
    pub name: String,
    /// Middle of the door.
    pub at: Spot,
    /// Where the foot goes first.
    pub step: Option<Spot>,
}

/// A zone around fillers and vents.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// `fuelling zone, 3 m around fillers and vents, operator manual 4.2`.
    pub words: String,
    /// Its edge.
    pub outline: Outline,
}

/// Fuel on the ground and where nothing is started because of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Spill {
    /// `avgas, about 20 L, spreading`.
    pub words: String,
    /// The wet ground.
    pub outline: Outline,
    /// Inside it no engine is started or run; none when no distance is known.
    pub ring: Option<Outline>,
    /// `no start within 15 m, au: CAO 20.9 superseded`.
    pub ring_words: String,
}

/// The fuel hose from drum, pump or bowser to the filler.
#[derive(Clone, Debug, PartialEq)]
pub struct Hose {
    /// The way it lies.
    pub points: Vec<Spot>,
    /// `hose 15 m, 9.4 m to the far filler, 5.6 m slack`.
    pub words: String,
    /// Does it reach?
    pub verdict: Verdict,
}

/// How passengers get from the gate to the door.
#[derive(Clone, Debug, PartialEq)]
pub enum Walk {
    /// A path that keeps out of all it must.
    Path {
        /// From gate to door.
        points: Vec<Spot>,
        /// `31 m from the gate to the left door, nowhere nearer than 2.0 m to the propeller`.
        words: String,
    },
    /// There is no such path.
    Blocked {
        /// Where people wait.
        from: Option<Spot>,
        /// Where they would get in.
        to: Option<Spot>,
        /// What is in the way.
        by: Option<Outline>,
        /// `no path: the fuelling zone lies before the left door`.
        words: String,
    },
    /// Something needed to look for one is missing.
    Unknown {
        /// `the place of the gate is missing`.
        words: String,
    },
}

/// A distance that somebody demands.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearance {
    /// From what to what: `left filler to the hangar, sealed building`.
    pub what: String,
    /// The two nearest points.
    pub between: Option<(Spot, Spot)>,
    /// How far they are apart. \[m\]
    pub measured: Option<f64>,
    /// How far they must be apart. \[m\]
    pub bound: Option<f64>,
    /// Who says so: `au: CAO 20.9 4.1.1, superseded`.
    pub rule: String,
    /// Does it hold? Without `measured` and `bound` nothing does.
    pub verdict: Verdict,
}

/// The wind over the apron.
#[derive(Clone, Debug, PartialEq)]
pub struct Wind {
    /// Where it comes from, clockwise from north; none when that is unknown or calm. \[deg\]
    pub from: Option<f64>,
    /// `from 040, 12 kt gusting 18`.
    pub words: String,
}

impl Spot {
    /// A place east and north of the origin. \[m\]
    #[must_use]
    pub const fn new(east: f64, north: f64) -> Self {
        Self { east, north }
    }
}

impl Outline {
    /// Straight from point to point and back to the first.
    #[must_use]
    pub fn of(points: &[Spot]) -> Self {
        let corner = |&at| Corner { at, then: Side::Straight };
        Self { corners: points.iter().map(corner).collect() }
    }

    /// A circle. \[m\]
    #[must_use]
    pub fn circle(middle: Spot, radius: f64) -> Self {
        let at = |side: f64| Corner {
            at: Spot::new(middle.east + side * radius, middle.north),
            then: Side::Left(middle),
        };
        Self { corners: vec![at(1.0), at(-1.0)] }
    }
}

/// True when both points of a clearance can be drawn.
fn drawable(clearance: &Clearance) -> bool {
    clearance.between.is_some_and(|(from, to)| from.sound().is_some() && to.sound().is_some())
}

/// Draws the plan.
#[must_use]
pub fn apron(picture: &ApronPicture, width: Width) -> String {
    sheet::draw(picture, width)
}
