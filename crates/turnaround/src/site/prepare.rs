//! From documents to a [`Site`] and the place the aeroplane stands on.

use super::{
    Airframe, Body, Flow, GroundFigures, Named, Parked, Site, Source, Spilt, Thing, Wheel,
};
use crate::{
    document::{
        aircraft::Aircraft,
        ground::{self, Apron, Ground, Opening, PartKind, PlanShape, Spot},
        length_unit, outline, point,
        strip::Strip,
        turnaround::Turnaround,
    },
    stage::Unknown,
    weather::{Weather, full_circle},
};
use stillprop_calc::{
    plane::{Disc, Point, Polyline, Shape},
    quantity::{Angle, Length},
    unit::Unit,
};

/// What the ground is prepared from.
#[derive(Clone, Copy)]
pub struct Basis<'a> {
    /// The turnaround.
    pub turnaround: &'a Turnaround,
    /// Its aircraft.
    pub aircraft: &'a Aircraft,
    /// Its strip.
    pub strip: &'a Strip,
    /// The weather on the strip.
    pub weather: &'a Weather,
    /// What the pack says of the ground.
    pub figures: &'a GroundFigures,
}

/// The site, and the aeroplane on it as the turnaround document parks it; why not, when a
/// document says nothing of it.
///
/// # Errors
///
/// What is missing, in words.
pub fn prepare(from: Basis<'_>) -> Result<(Site, Parked), Unknown> {
    let Basis { turnaround, aircraft, strip, weather, figures } = from;
    let ground = turnaround.ground.as_ref();
    let ground = ground.ok_or("where the aeroplane stands is not given: add [ground]")?;
    let apron = strip.apron.as_ref();
    let apron = apron.ok_or_else(|| {
        format!("the apron of {} is not described: add [apron] to its strip document", strip.name)
    })?;
    let shape = aircraft.shape.as_ref().ok_or_else(|| {
        let of = &aircraft.registration;
        format!("the shape of {of} is not described: add [shape] to its aircraft document")
    })?;
    let variation = strip.variation_east.as_ref().map(|given| given.value);
    let (of_apron, of_ground) = (unit(&apron.unit)?, unit(&ground.unit)?);
    let airframe = airframe(shape)?;
    let heading = ground.heading.to_true(variation).map(full_circle);
    let heading = heading.ok_or("the heading is magnetic without a variation")?;
    let at = place(ground.at.value, of_ground)?;
    let parked = Parked::new(&airframe, at, heading).map_err(|error| error.to_string())?;
    let things = |things: &[ground::Thing], unit| {
        things
            .iter()
            .map(|each| thing(each, unit, variation, figures))
            .collect::<Result<Vec<_>, _>>()
    };
    let mut around = things(&apron.things, of_apron)?;
    around.extend(things(&ground.things, of_ground)?);
    let site = Site {
        things: around,
        equipment: equipment(apron, of_apron, ground, of_ground)?,
        gate: apron.gate.as_ref().map(|gate| place(gate.value, of_apron)).transpose()?,
        way_out: way_out(apron, of_apron)?,
        source: ground.source.as_ref().map(|each| source(each, of_ground)).transpose()?,
        flow: flow(ground),
        spills: spills(ground, of_ground)?,
        wind: weather
            .wind
            .map(|wind| (wind.from, wind.speed))
            .ok_or_else(|| "the wind is not given".to_owned()),
        airframe,
    };
    Ok((site, parked))
}

fn unit(written: &stillprop_rules::document::At<String>) -> Result<Unit, Unknown> {
    length_unit(written).map_err(|problem| problem.message)
}

fn place(spot: Spot, unit: Unit) -> Result<Point, Unknown> {
    point(spot, unit).map_err(|error| error.to_string())
}

/// On the aeroplane forward comes first; a point has what lies to the right first.
fn on_aeroplane([forward, right]: Spot, unit: Unit) -> Result<Point, Unknown> {
    place([right, forward], unit)
}

fn airframe(shape: &PlanShape) -> Result<Airframe, Unknown> {
    let unit = unit(&shape.unit)?;
    let named = |openings: &[Opening]| -> Result<Vec<Named>, Unknown> {
        let one = |opening: &Opening| {
            Ok(Named {
                what: opening.what.value.clone(),
                at: on_aeroplane(opening.at.value, unit)?,
            })
        };
        openings.iter().map(one).collect()
    };
    let part = |part: &ground::Part| -> Result<(PartKind, Shape), Unknown> {
        let corners = part.corners.value.iter().map(|spot| on_aeroplane(*spot, unit));
        let corners: Vec<Point> = corners.collect::<Result<_, _>>()?;
        Ok((part.is, Shape::new(&corners).map_err(|error| error.to_string())?))
    };
    let propeller = |propeller: &ground::Propeller| -> Result<Disc, Unknown> {
        let hub = on_aeroplane(propeller.at.value, unit)?;
        Disc::new(hub, propeller.diameter.value / 2.0).map_err(|error| error.to_string())
    };
    let wheel = |wheel: &ground::Wheel| -> Result<Wheel, Unknown> {
        Ok(Wheel {
            what: wheel.what.value.clone(),
            at: on_aeroplane(wheel.at.value, unit)?,
            radius: wheel.radius.value,
            share: wheel.share.value,
            brake: wheel.brake,
        })
    };
    let strut = |ends: &stillprop_rules::document::At<[Spot; 2]>| -> Result<[Point; 2], Unknown> {
        let [a, b] = ends.value;
        Ok([on_aeroplane(a, unit)?, on_aeroplane(b, unit)?])
    };
    Ok(Airframe {
        wing: shape.wing,
        parts: shape.parts.iter().map(part).collect::<Result<_, _>>()?,
        propellers: shape.propellers.iter().map(propeller).collect::<Result<_, _>>()?,
        fillers: named(&shape.fillers)?,
        vents: named(&shape.vents)?,
        doors: named(&shape.doors)?,
        struts: shape.struts.iter().map(strut).collect::<Result<_, _>>()?,
        wheels: shape.wheels.iter().map(wheel).collect::<Result<_, _>>()?,
    })
}

fn thing(
    thing: &ground::Thing,
    unit: Unit,
    variation: Option<Angle>,
    figures: &GroundFigures,
) -> Result<Thing, Unknown> {
    let corners = &thing.corners.value;
    let points: Vec<Point> =
        corners.iter().map(|spot| place(*spot, unit)).collect::<Result<_, _>>()?;
    let body = match points.as_slice() {
        [only] => Body::Spot(*only),
        _ if thing.encloses() => {
            Body::Area(outline(&thing.corners, unit).map_err(|problem| problem.message)?)
        }
        _ => Body::Line(Polyline::new(&points).map_err(|error| error.to_string())?),
    };
    let wake = thing.engine_running.as_ref().map(|bearing| {
        // A magnetic direction and its variation may be more than a whole turn together.
        let nose = bearing.to_true(variation).map(full_circle);
        let nose = nose.ok_or("the heading is magnetic without a variation")?;
        let room = &figures.moving_room;
        let behind = room.wake_length.as_ref().map_err(Clone::clone)?.value;
        let ahead = room.propeller_margin.as_ref().map_err(Clone::clone)?.value;
        super::walk::wake(&points, nose, behind, ahead)
    });
    Ok(Thing { what: thing.what.value.clone(), kind: thing.is, body, wake })
}

fn equipment(
    apron: &Apron,
    of_apron: Unit,
    ground: &Ground,
    of_ground: Unit,
) -> Result<Vec<(ground::EquipmentKind, Point)>, Unknown> {
    let always = apron.equipment.iter().map(|each| (each, of_apron));
    let today = ground.equipment.iter().map(|each| (each, of_ground));
    let one =
        |(each, unit): (&ground::Equipment, Unit)| Ok((each.what, place(each.at.value, unit)?));
    always.chain(today).map(one).collect()
}

fn way_out(apron: &Apron, unit: Unit) -> Result<Option<Polyline>, Unknown> {
    let Some(way) = &apron.way_out else { return Ok(None) };
    let points: Vec<Point> =
        way.value.iter().map(|spot| place(*spot, unit)).collect::<Result<_, _>>()?;
    Polyline::new(&points).map(Some).map_err(|error| error.to_string())
}

fn source(source: &ground::FuelSource, unit: Unit) -> Result<Source, Unknown> {
    Ok(Source {
        what: source.what.value.clone(),
        at: place(source.at.value, unit)?,
        hose: source.hose.as_ref().map(|given| given.value),
        clears_away: source.clears_away,
    })
}

fn flow(ground: &Ground) -> Flow {
    let Some(flow) = &ground.flow else { return Flow::default() };
    Flow {
        rate: flow.rate.as_ref().map(|given| given.value),
        bore: flow.bore.as_ref().map(|given| given.value),
        behind_filter: flow.behind_filter.as_ref().map(|given| given.value),
        conductivity: flow.conductivity.as_ref().map(|given| given.value),
    }
}

/// What was taken up is no spill any more.
fn spills(ground: &Ground, unit: Unit) -> Result<Vec<Spilt>, Unknown> {
    let pool = |spill: &ground::Spill| -> Result<Disc, Unknown> {
        let across: Option<Length> = spill.across.as_ref().map(|given| given.value);
        let across = across.ok_or_else(|| {
            format!("how far `{}` reaches across is not given: measure it", spill.what.value)
        })?;
        let at = place(spill.at.value, unit)?;
        Disc::new(at, across / 2.0).map_err(|error| error.to_string())
    };
    let left = ground.spills.iter().filter(|spill| !spill.cleaned);
    let one = |spill: &ground::Spill| Spilt {
        what: spill.what.value.clone(),
        volume: spill.volume.value,
        vapour: spill
            .vapour_pressure
            .as_ref()
            .zip(spill.molar_mass.as_ref())
            .map(|(pressure, mass)| (pressure.value, mass.value)),
        pool: pool(spill),
    };
    Ok(left.map(one).collect())
}
