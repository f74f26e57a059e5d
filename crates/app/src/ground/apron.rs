//! A stage and a choice as an apron plan.

use stillprop_calc::{
    plane::{Contour, Piece, Point, Shape},
    quantity::{FromAmount, Length},
    unit,
    walk::Walk as Found,
};
use stillprop_draw::apron::{
    Aeroplane, ApronPicture, Clearance, Corner, Door, Extent, Hose, Outline, Propeller, Side,
    Spill, Spot, Thing, ThingKind, Walk, Wind, Zone,
};
use stillprop_turnaround::{
    assess::{
        HAND_START_CAUTION, Limit,
        ground::{ClearanceView, GroundView},
    },
    document::{
        ground::{EquipmentKind, StartBy, ThingKind as Kind},
        turnaround::Method,
    },
    limits::{Family, Verdict, site::Need},
    site::{Body, Parked, Site, Spilt, walk::Way},
    stage::{Choice, Stage},
    units::{Round, Units},
};

use super::verdict;

/// Clearances with more than this left, as a share of their bound, are counted and not drawn.
const WIDE: f64 = 1.0;

/// The apron plan; `Err` says what is missing.
pub(crate) fn picture(
    stage: &Stage,
    choice: &Choice,
    view: &GroundView,
    limits: &[Limit],
    units: &Units,
) -> Result<ApronPicture, String> {
    let site = stage.site.as_ref().map_err(Clone::clone)?;
    let parked = choice.parked.as_ref().ok_or("no place is chosen")?;
    let (drawn, wide): (Vec<_>, Vec<_>) = view.clearances.iter().partition(|each| narrow(each));
    let mut notes = Vec::new();
    if !wide.is_empty() {
        notes.push(format!("{} more distances hold by twice their bound or more.", wide.len()));
    }
    notes.extend(not_drawn(limits));
    notes.extend(not_measured(site));
    notes.extend(other_doors(view));
    if stage.start.by == StartBy::Hand {
        notes.push(HAND_START_CAUTION.to_owned());
    }
    let documents = &stage.documents;
    Ok(ApronPicture {
        place: stage.here.name.clone(),
        day: documents.turnaround.title.clone(),
        ground: None,
        things: things(site, stage.method),
        aeroplane: Some(aeroplane(stage, site, parked)),
        zones: zone(stage, site, parked).into_iter().collect(),
        spills: spills(stage, site),
        hose: hose(stage, choice, limits, (site, parked), units),
        walk: walk(site, view, units),
        clearances: drawn.into_iter().map(clearance).collect(),
        wind: Some(wind(site, units)),
        notes,
    })
}

/// Limits of the ground that do not hold and have no line on the plan.
fn not_drawn(limits: &[Limit]) -> Vec<String> {
    const DRAWN: [&str; 6] =
        ["site.fuel.", "site.run.", "site.room.", "site.spill.", "site.hose", "site.walk."];
    let ground = [Family::Site, Family::Static, Family::Start];
    let stands = limits.iter().filter(|limit| {
        ground.contains(&limit.family)
            && limit.verdict != Verdict::Holds
            && !DRAWN.iter().any(|drawn| limit.id.starts_with(drawn))
    });
    let words = |limit: &Limit| {
        let act = limit.words.act.as_deref().unwrap_or_default();
        format!("{} {}: {}. {act}", limit.id, limit.verdict.word(), limit.words.stands)
    };
    stands.map(words).collect()
}

/// Doors without a way, when another door is drawn.
fn other_doors(view: &GroundView) -> Vec<String> {
    let open = |way: &Result<Way, String>| way.as_ref().is_ok_and(Way::open);
    if !view.walks.iter().any(|(_, way)| open(way)) {
        return Vec::new();
    }
    let shut = view.walks.iter().filter(|(_, way)| !open(way));
    let words = |(door, way): &(String, Result<Way, String>)| match way {
        Err(why) => format!("Way to {door} unknown: {why}."),
        Ok(way) => {
            let by: Vec<&str> = way.closed_by().collect();
            format!("No safe path to {door}: {}.", by.join(", "))
        }
    };
    shut.map(words).collect()
}

fn narrow(view: &ClearanceView) -> bool {
    match (view.measured, view.bound) {
        (Some(measured), Some(bound)) => measured.si() < bound.si() * (1.0 + WIDE),
        _ => true,
    }
}

fn spot(point: Point) -> Spot {
    Spot::new(point.east().si(), point.north().si())
}

fn outline(shape: &Shape) -> Outline {
    let corners: Vec<Spot> = shape.corners().map(spot).collect();
    Outline::of(&corners)
}

fn things(site: &Site, method: Option<Method>) -> Vec<Thing> {
    let around = site.things.iter().map(|thing| Thing {
        kind: kind(thing.kind),
        name: thing.what.clone(),
        extent: match &thing.body {
            Body::Spot(point) => Extent::Spot(spot(*point)),
            Body::Line(line) => Extent::Line(line.points().map(spot).collect()),
            Body::Area(shape) => Extent::Area(outline(shape)),
        },
    });
    let small = |kind, name: &str, at| Thing {
        kind,
        name: name.to_owned(),
        extent: Extent::Spot(spot(at)),
    };
    let gear = site.equipment.iter().map(|(kind, at)| match kind {
        EquipmentKind::Extinguisher => small(ThingKind::Extinguisher, "", *at),
        EquipmentKind::SpillKit => small(ThingKind::SpillKit, "", *at),
        EquipmentKind::EmergencyStop => small(ThingKind::EmergencyStop, "", *at),
    });
    let gate = site.gate.iter().map(|at| small(ThingKind::Gate, "gate", *at));
    let source = site.source.iter().map(|source| {
        let kind = match method {
            Some(Method::Tanker) => ThingKind::Bowser,
            Some(Method::SelfServe) => ThingKind::Pump,
            _ if source.what.contains("trolley") => ThingKind::Trolley,
            _ => ThingKind::Drum,
        };
        small(kind, &source.what, source.at)
    });
    around.chain(gear).chain(gate).chain(source).collect()
}

const fn kind(kind: Kind) -> ThingKind {
    match kind {
        Kind::SealedBuilding => ThingKind::SealedBuilding,
        Kind::UnsealedBuilding => ThingKind::UnsealedBuilding,
        Kind::Aircraft => ThingKind::Aircraft,
        Kind::PublicArea => ThingKind::PublicArea,
        Kind::Person => ThingKind::Person,
        Kind::Road => ThingKind::Road,
        Kind::Engine | Kind::Flame | Kind::Device => ThingKind::Ignition,
        Kind::Drain => ThingKind::Drain,
        Kind::Water => ThingKind::Water,
        Kind::Obstacle => ThingKind::Obstacle,
    }
}

fn aeroplane(stage: &Stage, site: &Site, parked: &Parked) -> Aeroplane {
    let margin = stage.ground.moving_room.propeller_margin.as_ref().ok();
    let aircraft = &stage.documents.aircraft;
    let propeller = |disc: &stillprop_calc::plane::Disc| {
        let (middle, radius) = (spot(disc.centre()), disc.radius().si());
        Propeller {
            disc: Outline::circle(middle, radius),
            margin: margin.map(|margin| Outline::circle(middle, radius + margin.value.si())),
        }
    };
    let pose = stillprop_calc::plane::Pose::new(parked.at, parked.heading).ok();
    let wheel = |wheel: &stillprop_turnaround::site::Wheel| Some(spot(wheel.at.placed(pose?)));
    let doors = site.airframe.doors.iter().zip(&parked.doors);
    Aeroplane {
        name: format!("{} {}", aircraft.registration, aircraft.type_name),
        heading: Some(parked.heading.count(unit::DEG)),
        outlines: parked.parts.iter().map(outline).collect(),
        propellers: parked.propellers.iter().map(propeller).collect(),
        wheels: site.airframe.wheels.iter().filter_map(wheel).collect(),
        fillers: parked.fillers.iter().copied().map(spot).collect(),
        vents: parked.vents.iter().copied().map(spot).collect(),
        doors: doors
            .map(|(door, at)| Door { name: door.what.clone(), at: spot(*at), step: None })
            .collect(),
    }
}

/// Around everything that fuel or vapour comes out of: the hull of it, and as far from that as
/// the pack keeps engines and switches away. It is never smaller than what the rule means.
fn zone(stage: &Stage, site: &Site, parked: &Parked) -> Option<Zone> {
    if stage.method == Some(Method::None) {
        return None;
    }
    let room = stage.ground.fuelling_room.ignition.as_ref().ok()?;
    let source = site.source.iter().map(|source| source.at);
    let outlets: Vec<Point> =
        parked.fillers.iter().chain(&parked.vents).copied().chain(source).collect();
    let offset = Shape::around(&outlets).ok()?.offset(room.value).ok()?;
    let metres = room.value.count(unit::M);
    Some(Zone {
        words: format!(
            "no engine or switch within {metres:.0} m of fillers, vents and fuel source"
        ),
        outline: pieces(&offset.outline),
    })
}

fn pieces(contour: &Contour) -> Outline {
    let corner = |piece: &Piece| match piece {
        Piece::Line { from, .. } => Corner { at: spot(*from), then: Side::Straight },
        Piece::Arc { from, centre, .. } => {
            Corner { at: spot(*from), then: Side::Left(spot(*centre)) }
        }
    };
    Outline { corners: contour.pieces.iter().map(corner).collect() }
}

/// Every spill whose width was measured.
fn spills(stage: &Stage, site: &Site) -> Vec<Spill> {
    let room = stage.ground.running_room.spill.as_ref();
    let drawn = |spilt: &Spilt| {
        let pool = spilt.pool.as_ref().ok()?;
        let (middle, radius) = (spot(pool.centre()), pool.radius().si());
        Some(Spill {
            words: format!("{}, {:.0} L", spilt.what, spilt.volume.count(unit::L).ceil()),
            outline: Outline::circle(middle, radius),
            ring: room.ok().map(|room| Outline::circle(middle, radius + room.value.si())),
            ring_words: room.map_or_else(Clone::clone, |room| {
                format!("nothing is started within {:.0} m", room.value.count(unit::M))
            }),
        })
    };
    site.spills.iter().filter_map(drawn).collect()
}

/// Spills that cannot be drawn, because nobody measured them.
fn not_measured(site: &Site) -> impl Iterator<Item = String> + '_ {
    let known = site.spills.iter().filter_map(|spilt| Some((spilt, spilt.pool.as_ref().err()?)));
    known.map(|(spilt, why)| format!("Not drawn: the spill {}: {why}.", spilt.what))
}

fn hose(
    stage: &Stage,
    choice: &Choice,
    limits: &[Limit],
    (site, parked): (&Site, &Parked),
    units: &Units,
) -> Option<Hose> {
    if stage.method == Some(Method::None) {
        return None;
    }
    let source = site.source.as_ref()?;
    let far = stillprop_turnaround::limits::site::farthest_filler(stage, choice, site, parked)?;
    let reach = source.at.distance(far.1);
    let words = match source.hose {
        None => format!("hose: length unknown; {} to {}", units.apron(reach, Round::Up), far.0),
        Some(hose) => {
            let slack = hose - reach;
            let slack_words = if slack.si() < 0.0 {
                format!("{} too short", units.apron(-slack, Round::Up))
            } else {
                format!("{} slack", units.apron(slack, Round::Down))
            };
            let (hose, reach) = (units.apron(hose, Round::Down), units.apron(reach, Round::Up));
            format!("hose {hose}, {reach} to {}, {slack_words}", far.0)
        }
    };
    let judged = limits.iter().find(|limit| limit.id == "site.hose");
    let found = judged.map_or(Verdict::Unknown, |limit| limit.verdict);
    Some(Hose { points: vec![spot(source.at), spot(far.1)], words, verdict: verdict(found) })
}

/// The shortest open way, else what closes the first door.
fn walk(site: &Site, view: &GroundView, units: &Units) -> Option<Walk> {
    let length = |way: &Way| match &way.walk {
        Found::Path { length, .. } => length.si(),
        Found::Blocked { .. } => f64::INFINITY,
    };
    let known = view.walks.iter().filter_map(|(door, way)| Some((door, way.as_ref().ok()?)));
    let best = known.min_by(|a, b| length(a.1).total_cmp(&length(b.1)));
    let Some((door, way)) = best else {
        let why = view.walks.iter().find_map(|(_, way)| way.as_ref().err())?;
        return Some(Walk::Unknown { words: why.clone() });
    };
    Some(match &way.walk {
        Found::Path { points, length, .. } => Walk::Path {
            points: points.iter().copied().map(spot).collect(),
            words: path_words(door, way, *length, units),
        },
        Found::Blocked { .. } => Walk::Blocked {
            from: site.gate.map(spot),
            to: None,
            by: way.closing().map(|zone| outline(&zone.shape)),
            words: format!(
                "no safe path to {door}: {}",
                way.closed_by().collect::<Vec<_>>().join(", ")
            ),
        },
    })
}

fn path_words(door: &str, way: &Way, length: Length, units: &Units) -> String {
    let length = units.apron(length, Round::Up);
    match way.propeller {
        None => format!("{length} from the gate to {door}"),
        Some(nearest) => format!(
            "{length} from the gate to {door}, nowhere nearer than {} to the propeller",
            units.apron(nearest.distance, Round::Down)
        ),
    }
}

fn clearance(view: &ClearanceView) -> Clearance {
    let why = match view.need {
        Need::Fuel => "to fuel",
        Need::Run => "to run the engine",
        Need::Room => "for the wings",
        Need::Spill => "to start anything",
    };
    Clearance {
        what: format!("{} to {}, {why}", view.from, view.to),
        between: view.between.map(|(from, to)| (spot(from), spot(to))),
        measured: view.measured.map(|measured| measured.count(unit::M)),
        bound: view.bound.map(|bound| bound.count(unit::M)),
        rule: view.rule.clone(),
        verdict: verdict(view.verdict),
    }
}

fn wind(site: &Site, units: &Units) -> Wind {
    match &site.wind {
        Err(why) => Wind { from: None, words: format!("unknown: {why}") },
        Ok((None, speed)) => Wind {
            from: None,
            words: format!("from all sides, {}", units.speed(*speed, Round::Up)),
        },
        Ok((Some(from), speed)) => {
            let degrees = from.count(unit::DEG).round().rem_euclid(360.0);
            let speed = units.speed(*speed, Round::Up);
            Wind { from: Some(degrees), words: format!("from {degrees:03.0} true, {speed}") }
        }
    }
}
