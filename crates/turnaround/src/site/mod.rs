//! The aeroplane on the ground: where it stands, what stands around it, what the pack asks.
//!
//! [`Site`] is what does not change while somebody looks for a better place: the things around,
//! the gear, the wind, the figures. [`Parked`] is the aeroplane at one place; moving it takes no
//! memory, so that a search can try a million places.

pub mod figures;
pub mod grip;
mod parked;
mod prepare;
pub mod start;
pub mod walk;

use std::fmt;

pub use figures::GroundFigures;
pub use parked::{Airframe, Named, Parked, Wheel};
pub use prepare::{Basis, prepare};
use stillprop_calc::{
    plane::{Disc, Extent, Nearest, Point, Polyline, Shape, nearest_within},
    quantity::{
        Angle, ElectricalConductivity, FromAmount, Length, MolarMass, Pressure, Velocity, Volume,
        VolumeRate,
    },
};

use crate::{
    document::ground::{EquipmentKind, ThingKind},
    stage::Unknown,
};

/// Everything around the aeroplane.
#[derive(Clone, Debug)]
pub struct Site {
    /// The aeroplane seen from above.
    pub airframe: Airframe,
    /// What stands or lies around it.
    pub things: Vec<Thing>,
    /// What there is to work with.
    pub equipment: Vec<(EquipmentKind, Point)>,
    /// Where passengers wait.
    pub gate: Option<Point>,
    /// From the parking place to the strip.
    pub way_out: Option<Polyline>,
    /// What the fuel comes from.
    pub source: Option<Source>,
    /// How it flows.
    pub flow: Flow,
    /// Fuel on the ground.
    pub spills: Vec<Spilt>,
    /// Where the wind comes from and how strong it is; no direction when it varies.
    pub wind: Result<(Option<Angle>, Velocity), Unknown>,
}

/// Something that stands or lies on the apron.
#[derive(Clone, Debug)]
pub struct Thing {
    /// What people call it.
    pub what: String,
    /// What it is to the rules.
    pub kind: ThingKind,
    /// The ground it takes.
    pub body: Body,
    /// Ground behind its running engine.
    pub wake: Option<Result<Shape, Unknown>>,
}

/// The ground a thing takes.
#[derive(Clone, Debug)]
pub enum Body {
    /// A place.
    Spot(Point),
    /// A line.
    Line(Polyline),
    /// An area.
    Area(Shape),
}

impl Body {
    /// The same for measuring.
    #[must_use]
    pub fn extent(&self) -> Extent<'_> {
        match self {
            Self::Spot(point) => Extent::from(*point),
            Self::Line(line) => Extent::from(line),
            Self::Area(shape) => Extent::from(shape),
        }
    }
}

pub(crate) const NO_SOURCE: &str = "where the fuel comes from is not given: add source to [ground]";

/// What the fuel comes from.
#[derive(Clone, Debug)]
pub struct Source {
    /// What people call it.
    pub what: String,
    /// Where it stands.
    pub at: Point,
    /// Length of its hose.
    pub hose: Option<Length>,
    /// It can be moved away, or shut off, at once.
    pub clears_away: Option<bool>,
}

/// How the fuel flows.
#[derive(Clone, Copy, Debug, Default)]
pub struct Flow {
    /// Volume per time.
    pub rate: Option<VolumeRate>,
    /// Inner diameter of the hose.
    pub bore: Option<Length>,
    /// Hose behind the last filter.
    pub behind_filter: Option<Length>,
    /// Conductivity of the fuel.
    pub conductivity: Option<ElectricalConductivity>,
}

/// Fuel on the ground that was not taken up.
#[derive(Clone, Debug)]
pub struct Spilt {
    /// What people call it.
    pub what: String,
    /// How much it was.
    pub volume: Volume,
    /// Vapour pressure and molar mass, when both are given.
    pub vapour: Option<(Pressure, MolarMass)>,
    /// The wet ground, when its width was measured.
    pub pool: Result<Disc, Unknown>,
}

/// The near end of a distance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End<'a> {
    /// The filler of a tank, which bears the name of the tank.
    Filler(&'a str),
    /// What has a name of its own: `left vent`, `wing`, `pump`.
    Named(&'a str),
}

impl fmt::Display for End<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Filler(tank) => write!(f, "filler of {tank}"),
            Self::Named(what) => f.write_str(what),
        }
    }
}

/// The nearest of several pairs, and which of the first it was.
#[derive(Clone, Copy, Debug)]
pub struct Closest<'a> {
    /// From where.
    pub from: End<'a>,
    /// The two nearest points.
    pub nearest: Nearest,
}

/// The nearest of several things to a body. `None` when there are none.
pub fn closest<'a, 'b>(
    froms: impl Iterator<Item = (End<'a>, Extent<'a>)>,
    to: Extent<'b>,
) -> Option<Closest<'a>> {
    let mut best: Option<Closest<'a>> = None;
    for (from, extent) in froms {
        let limit = best.map_or(Length::from_si(f64::INFINITY), |best| best.nearest.distance);
        if let Some(nearest) = nearest_within(extent, to, limit) {
            best = Some(Closest { from, nearest });
        }
    }
    best
}

impl Site {
    /// Another wind.
    pub(crate) fn set_wind(&mut self, wind: Option<crate::weather::SurfaceWind>) {
        self.wind = wind
            .map(|wind| (wind.from, wind.speed))
            .ok_or_else(|| "the wind is not given".to_owned());
    }

    /// From where fuel vapour or fuel may come: fillers, vents, and what the fuel comes from.
    pub fn outlets<'a>(
        &'a self,
        parked: &'a Parked,
    ) -> impl Iterator<Item = (End<'a>, Extent<'a>)> {
        let source = self.source.iter();
        let source = source.map(|source| (End::Named(&source.what), Extent::from(source.at)));
        parked.openings(&self.airframe).map(|(end, at)| (end, at.into())).chain(source)
    }
}
