//! The aeroplane where it stands.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_calc::{
    plane,
    quantity::{ElectricCurrent, Time, VolumeRate},
    spill::UNKNOWN,
    unit,
    walk::Walk as Found,
};
use stillprop_turnaround::{
    assess::{
        Assessment,
        ground::{
            BatteryView, ClearanceView, GroundView, HoldView, PumpView, SpillView, StartView,
        },
    },
    document::ground::StartBy,
    site::walk::Way,
    units::Units,
};

use super::{OrUnknown, Quantity, or_unknown, quantity, ready};
use crate::report::ground::{ours, stands};

/// The aeroplane where it stands.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Ground<'a> {
    /// What the turnaround is called.
    title: &'a str,
    /// True when every limit of the ground holds.
    holds: bool,
    /// The limits of the ground, tightest first.
    limits: Vec<ready::Limit<'a>>,
    /// The place, distances, ways on foot, fuel flow and spills.
    ground: OrUnknown<Place<'a>>,
    /// How the engine is started.
    start: Start<'a>,
    /// What every answer carries.
    cautions: &'a [&'static str],
}

/// The place and what is around it.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Place<'a> {
    /// Where the point between the main wheels stands: east and north of the mark.
    at: [Quantity; 2],
    /// Where the nose points, from true north.
    heading: Quantity,
    /// Distances that somebody demands, tightest first.
    clearances: Vec<Clearance<'a>>,
    /// The way from the gate to each door.
    walks: Vec<Walk<'a>>,
    /// How fast to pump.
    pumping: OrUnknown<Pumping>,
    /// Fuel on the ground.
    spills: Vec<Spill<'a>>,
}

/// A distance that somebody demands.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Clearance<'a> {
    /// The name of its limit.
    limit: &'a str,
    from: &'a str,
    to: &'a str,
    /// `holds`, `breaks` or `unknown`.
    verdict: &'static str,
    /// What there is.
    measured: Option<Quantity>,
    /// What is asked.
    bound: Option<Quantity>,
    /// Its two ends, each east and north of the mark.
    nearest_points: Option<[[Quantity; 2]; 2]>,
    /// Who asks it; what is missing, where nobody does.
    rule: &'a str,
}

/// The way to a door.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Walk<'a> {
    door: &'a str,
    path: OrUnknown<Path<'a>>,
}

/// A way on foot, or what closes it.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
pub(crate) enum Path<'a> {
    /// There is one.
    Open {
        length: Quantity,
        /// Corner by corner, east and north of the mark.
        points: Vec<[Quantity; 2]>,
        /// None where no propeller is described.
        nearest_to_propeller: Option<Quantity>,
    },
    /// There is none.
    Closed {
        /// What closes it.
        no_safe_path: Vec<&'a str>,
    },
}

/// How fast to pump.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Pumping {
    /// Until the outlet is covered.
    first: Option<Quantity>,
    /// After that.
    most: Option<Quantity>,
    /// For the rest after the filter.
    for_rest: Option<Quantity>,
    /// How long its charge takes to fall to 37 %.
    relaxation: Option<Quantity>,
}

/// Fuel on the ground.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Spill<'a> {
    what: &'a str,
    volume: Quantity,
    /// As its width was measured.
    area: Option<Quantity>,
    /// On flat, tight ground.
    spread: Vec<Spread>,
    /// None when no pack says from what size.
    call_fire_service: Option<bool>,
    /// From what size, and who says so.
    called_from: &'a [String],
    drying: OrUnknown<Drying>,
    /// From its edge.
    nothing_starts_within: OrUnknown<Quantity>,
    /// In this order.
    actions: [&'static str; 3],
    /// What nobody can reckon.
    not_known: &'static str,
}

/// How far a spill has spread after a time.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Spread {
    after: Quantity,
    radius: Quantity,
    area: Quantity,
}

/// How fast a spill dries up.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Drying {
    /// Of vapour.
    rate: Quantity,
    /// At that rate.
    time: Quantity,
}

/// How the engine is started.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Start<'a> {
    /// `starter` or `hand`.
    by: &'static str,
    /// What holds the aeroplane, when it is started by hand.
    hold: Option<OrUnknown<Hold>>,
    /// What the battery carries without a generator.
    battery: Option<Battery<'a>>,
}

/// What pulls and what holds, at full throttle.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Hold {
    thrust: Quantity,
    /// As the throttle is set.
    as_set: Option<Quantity>,
    /// Thrust with the factor of the pack.
    needed: Quantity,
    holds: Quantity,
    tail_lifts: bool,
    /// What holds before the tie is tight.
    without_tie: Quantity,
    /// `holds` or `breaks`.
    verdict: &'static str,
    /// Where it is if it breaks loose.
    loose: Vec<Loose>,
}

/// An aeroplane that broke loose, after a time.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Loose {
    after: Quantity,
    distance: Quantity,
    speed: Quantity,
}

/// What the battery carries.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Battery<'a> {
    everything: OrUnknown<Lasts>,
    essential: OrUnknown<Lasts>,
    /// The largest first.
    switch_off: &'a [String],
    /// When the generator does not come on line.
    lost_without_generator: &'a [String],
    /// The generator needs the battery to begin.
    field_from_battery: Option<bool>,
}

/// A current, and how long it lasts.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Lasts {
    current: Quantity,
    time: Quantity,
}

/// The answer of `ground`.
pub(crate) fn ground<'a>(a: &'a Assessment, units: &Units) -> Ground<'a> {
    Ground {
        title: &a.title,
        holds: stands(a),
        limits: ours(a).map(|limit| ready::limit(limit, units)).collect(),
        ground: or_unknown(&a.ground, |view| place(view, units)),
        start: start(&a.start, units),
        cautions: &a.cautions,
    }
}

fn point(point: plane::Point, units: &Units) -> [Quantity; 2] {
    [quantity(point.east(), units.strip), quantity(point.north(), units.strip)]
}

fn place<'a>(view: &'a GroundView, units: &Units) -> Place<'a> {
    Place {
        at: point(view.at, units),
        heading: quantity(view.heading, unit::DEG),
        clearances: view.clearances.iter().map(|each| clearance(each, units)).collect(),
        walks: view.walks.iter().map(|(door, way)| walk(door, way, units)).collect(),
        pumping: or_unknown(&view.pumping, pumping),
        spills: view.spills.iter().map(|each| spill(each, units)).collect(),
    }
}

fn clearance<'a>(each: &'a ClearanceView, units: &Units) -> Clearance<'a> {
    Clearance {
        limit: &each.id,
        from: &each.from,
        to: &each.to,
        verdict: each.verdict.word(),
        measured: each.measured.map(|length| quantity(length, units.strip)),
        bound: each.bound.map(|length| quantity(length, units.strip)),
        nearest_points: each.between.map(|(from, to)| [point(from, units), point(to, units)]),
        rule: &each.rule,
    }
}

fn walk<'a>(door: &'a str, way: &'a Result<Way, String>, units: &Units) -> Walk<'a> {
    let path = or_unknown(way, |way| match &way.walk {
        Found::Path { points, length, .. } => Path::Open {
            length: quantity(*length, units.strip),
            points: points.iter().map(|each| point(*each, units)).collect(),
            nearest_to_propeller: way
                .propeller
                .map(|nearest| quantity(nearest.distance, units.strip)),
        },
        Found::Blocked { .. } => Path::Closed { no_safe_path: way.closed_by().collect() },
    });
    Walk { door, path }
}

fn pumping(pump: &PumpView) -> Pumping {
    let flow = |flow: Option<VolumeRate>| flow.map(|flow| quantity(flow, unit::L_MIN));
    Pumping {
        first: flow(pump.first),
        most: flow(pump.most),
        for_rest: flow(pump.for_rest),
        relaxation: pump.relaxation.map(|time| quantity(time, unit::S)),
    }
}

fn spill<'a>(each: &'a SpillView, units: &Units) -> Spill<'a> {
    let spread = each.spread.iter().map(|(time, spread)| Spread {
        after: quantity(*time, unit::MIN),
        radius: quantity(spread.radius, unit::M),
        area: quantity(spread.area, unit::M2),
    });
    Spill {
        what: &each.what,
        volume: quantity(each.volume, units.fuel),
        area: each.area.map(|area| quantity(area, unit::M2)),
        spread: spread.collect(),
        call_fire_service: each.call,
        called_from: &each.call_from,
        drying: or_unknown(&each.drying, |(rate, time)| Drying {
            rate: quantity(*rate, unit::G_S),
            time: quantity(*time, unit::MIN),
        }),
        nothing_starts_within: or_unknown(&each.nothing_starts, |room| {
            quantity(*room, units.strip)
        }),
        actions: ["control", "contain", "clean up"],
        not_known: UNKNOWN,
    }
}

fn start<'a>(view: &'a StartView, units: &Units) -> Start<'a> {
    Start {
        by: match view.by {
            StartBy::Starter => "starter",
            StartBy::Hand => "hand",
        },
        hold: view.hold.as_ref().map(|found| or_unknown(found, |found| hold(found, units))),
        battery: view.battery.as_ref().map(battery),
    }
}

fn hold(found: &HoldView, units: &Units) -> Hold {
    let held = &found.held;
    let loose = found.loose.iter().map(|at| Loose {
        after: quantity(at.time, unit::S),
        distance: quantity(at.distance, units.strip),
        speed: quantity(at.velocity, units.speed),
    });
    Hold {
        thrust: quantity(held.full, unit::N),
        as_set: found.set.map(|set| quantity(set, unit::N)),
        needed: quantity(held.needed, unit::N),
        holds: quantity(held.holds, unit::N),
        tail_lifts: held.lifts,
        without_tie: quantity(held.parts.without_tie, unit::N),
        verdict: held.measure().verdict().word(),
        loose: loose.collect(),
    }
}

fn battery(view: &BatteryView) -> Battery<'_> {
    let lasts = |found: &Result<(ElectricCurrent, Time), String>| {
        or_unknown(found, |(current, time)| Lasts {
            current: quantity(*current, unit::A),
            time: quantity(*time, unit::MIN),
        })
    };
    Battery {
        everything: lasts(&view.all),
        essential: lasts(&view.essential),
        switch_off: &view.shed,
        lost_without_generator: &view.lost,
        field_from_battery: view.field_from_battery,
    }
}
