//! The aeroplane seen from above, and the same at one place on the apron.

use stillprop_calc::{
    bounds::OutOfRange,
    plane::{Disc, Extent, Point, Pose, Shape},
    quantity::{Angle, Length, Ratio},
};

use super::End;
use crate::document::ground::{PartKind, WingPlace};

/// A place on the aeroplane with its name.
#[derive(Clone, Debug)]
pub struct Named {
    /// `left vent`.
    pub what: String,
    /// Forward and right of the point between the main wheels.
    pub at: Point,
}

/// A wheel.
#[derive(Clone, Debug)]
pub struct Wheel {
    /// `left main`.
    pub what: String,
    /// Where it stands.
    pub at: Point,
    /// Its radius.
    pub radius: Length,
    /// Share of the mass on it.
    pub share: Ratio,
    /// It has a brake.
    pub brake: bool,
}

/// The aeroplane in its own axes.
#[derive(Clone, Debug)]
pub struct Airframe {
    /// Where the wing sits.
    pub wing: WingPlace,
    /// Wing, fuselage, tail.
    pub parts: Vec<(PartKind, Shape)>,
    /// Propeller discs.
    pub propellers: Vec<Disc>,
    /// Where fuel goes in, by tank.
    pub fillers: Vec<Named>,
    /// Where vapour comes out.
    pub vents: Vec<Named>,
    /// Where people climb in.
    pub doors: Vec<Named>,
    /// Struts, from end to end.
    pub struts: Vec<[Point; 2]>,
    /// Wheels.
    pub wheels: Vec<Wheel>,
}

/// The aeroplane at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Parked {
    /// Where the point between the main wheels stands.
    pub at: Point,
    /// Where the nose points, from true north.
    pub heading: Angle,
    /// Wing, fuselage, tail.
    pub parts: Vec<Shape>,
    /// Propeller discs.
    pub propellers: Vec<Disc>,
    /// Fillers, in the order of the airframe.
    pub fillers: Vec<Point>,
    /// Vents.
    pub vents: Vec<Point>,
    /// Doors.
    pub doors: Vec<Point>,
    /// Struts.
    pub struts: Vec<[Point; 2]>,
}

impl Parked {
    /// Puts the aeroplane down.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for a heading that is none.
    pub fn new(airframe: &Airframe, at: Point, heading: Angle) -> Result<Self, OutOfRange> {
        let pose = Pose::new(at, heading)?;
        let points = |named: &[Named]| named.iter().map(|named| named.at.placed(pose)).collect();
        Ok(Self {
            at,
            heading,
            parts: airframe.parts.iter().map(|(_, shape)| shape.placed(pose)).collect(),
            propellers: airframe.propellers.iter().map(|disc| disc.placed(pose)).collect(),
            fillers: points(&airframe.fillers),
            vents: points(&airframe.vents),
            doors: points(&airframe.doors),
            struts: airframe.struts.iter().map(|ends| ends.map(|end| end.placed(pose))).collect(),
        })
    }

    /// Moves it, in the memory it has.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for a heading that is none; it then stays where it was.
    pub fn put(
        &mut self,
        airframe: &Airframe,
        at: Point,
        heading: Angle,
    ) -> Result<(), OutOfRange> {
        fn refill<T>(into: &mut Vec<T>, from: impl Iterator<Item = T>) {
            into.clear();
            into.extend(from);
        }
        let pose = Pose::new(at, heading)?;
        (self.at, self.heading) = (at, heading);
        for ((_, shape), into) in airframe.parts.iter().zip(&mut self.parts) {
            shape.place_into(pose, into);
        }
        refill(&mut self.propellers, airframe.propellers.iter().map(|disc| disc.placed(pose)));
        for (named, into) in [
            (&airframe.fillers, &mut self.fillers),
            (&airframe.vents, &mut self.vents),
            (&airframe.doors, &mut self.doors),
        ] {
            refill(into, named.iter().map(|named| named.at.placed(pose)));
        }
        let struts = airframe.struts.iter().map(|ends| ends.map(|end| end.placed(pose)));
        refill(&mut self.struts, struts);
        Ok(())
    }

    /// Outline of the whole aeroplane, propellers too, piece by piece.
    pub fn outline<'a>(
        &'a self,
        airframe: &'a Airframe,
    ) -> impl Iterator<Item = (End<'a>, Extent<'a>)> + Clone {
        let parts = airframe.parts.iter().zip(&self.parts);
        let parts = parts.map(|((part, _), shape)| (End::Named(part.word()), Extent::from(shape)));
        let propellers = self.propellers.iter();
        parts.chain(propellers.map(|disc| (End::Named("propeller"), Extent::from(*disc))))
    }

    /// Where fuel goes in and vapour comes out.
    pub fn openings<'a>(
        &'a self,
        airframe: &'a Airframe,
    ) -> impl Iterator<Item = (End<'a>, Point)> {
        let fillers = airframe.fillers.iter().map(|filler| End::Filler(&filler.what));
        let vents = airframe.vents.iter().map(|vent| End::Named(&vent.what));
        fillers.zip(self.fillers.iter().copied()).chain(vents.zip(self.vents.iter().copied()))
    }
}

/// A shape without fillers or vents does not say that there are none: fuel goes in and air
/// comes out of every aeroplane.
const NO_OPENINGS: &str = "where fuel goes in and vapour comes out is not described: \
    add fillers and vents to [shape]";

impl Airframe {
    /// That both fillers and vents are described.
    ///
    /// # Errors
    ///
    /// What is missing, in words.
    pub fn has_openings(&self) -> Result<(), &'static str> {
        if self.fillers.is_empty() || self.vents.is_empty() { Err(NO_OPENINGS) } else { Ok(()) }
    }

    /// How far it reaches to either side of its line of symmetry.
    #[must_use]
    pub fn half_width(&self) -> Length {
        let corners = self.parts.iter().flat_map(|(_, shape)| shape.corners());
        // In its own axes east is right.
        corners.map(|corner| corner.east().abs()).fold(Length::default(), Length::max)
    }
}
