//! A stage and a choice as mass against arm.

use stillprop_calc::{
    burn::{self, Worst, state_at},
    envelope::{Corner, Envelope},
    load::Loading,
    quantity::{FromAmount, Length, Mass},
    trace::Silent,
};
use stillprop_draw::{
    Limit, Verdict,
    balance::{BalancePicture, Ceiling, Edge, Point, Stage as At},
};
use stillprop_turnaround::{
    assess::{Assessment, LoadState},
    limits::{
        Family, Id,
        load::{Masses, loads, masses, worst},
    },
    stage::{Choice, Setting, Stage},
    units::{Round, Units},
};

use super::{aeroplane, find, limit, turnaround};

/// Points of the burn beside its bends: enough for its curve.
const POINTS: u32 = 8;

/// Mass against arm from the ramp to empty tanks.
pub(crate) fn picture(
    stage: &Stage,
    choice: &Choice,
    assessment: &Assessment,
    units: &Units,
) -> BalancePicture {
    let masses = masses(stage, choice, &mut Silent);
    let envelope = stage.envelope.as_ref().ok();
    let worst = worst(stage, choice, &masses);
    let states = assessment.states.as_deref().unwrap_or_default();
    let corners = envelope.map(Envelope::corners).unwrap_or_default();
    let mut notes: Vec<String> = Vec::new();
    notes.extend(
        stage.envelope.as_ref().err().map(|why| format!("The envelope is unknown: {why}.")),
    );
    notes
        .extend(assessment.states.as_ref().err().map(|why| format!("The burn is unknown: {why}.")));
    BalancePicture {
        place: aeroplane(assessment),
        day: turnaround(assessment),
        arm_unit: units.arm.symbol.to_owned(),
        mass_unit: units.mass.symbol.to_owned(),
        envelope: corners.iter().map(|corner| point(corner.arm, corner.mass, units)).collect(),
        path: path(stage, choice, &masses, units),
        stages: stages(states, envelope, units),
        edges: edges(assessment, worst, envelope, states, units),
        ceilings: ceilings(stage, assessment, units),
        notes,
    }
}

fn point(arm: Length, mass: Mass, units: &Units) -> Point {
    Point { arm: arm.count(units.arm), mass: mass.count(units.mass) }
}

/// From take-off down to empty tanks. Where somebody or something leaves it goes on from there with
/// what is left.
fn path(stage: &Stage, choice: &Choice, masses: &Masses, units: &Units) -> Vec<Point> {
    let loads = loads(stage, choice, masses);
    let begins: Vec<Mass> = loads.iter().map(|(_, fuel)| fuel.iter().copied().sum()).collect();
    let mut all = Vec::new();
    for (at, (loading, fuel)) in loads.iter().enumerate() {
        let until = begins.get(at + 1).copied().unwrap_or_else(|| Mass::from_si(0.0));
        all.extend(stretch(stage, *loading, fuel, until, units));
    }
    all
}

/// One load from its fuel down to another.
fn stretch(
    stage: &Stage,
    loading: Loading,
    fuel: &[Mass],
    until: Mass,
    units: &Units,
) -> Vec<Point> {
    let tanks = &stage.burn_tanks;
    let from: Mass = fuel.iter().copied().sum();
    let mut stops: Vec<Mass> = (0..=POINTS)
        .map(|part| until + (from - until) * (f64::from(part) / f64::from(POINTS)))
        .collect();
    burn::walk(loading, tanks, fuel, until, |stretch| {
        stops.push(stretch.light.mass - loading.mass);
    });
    stops.sort_by(|one, other| other.si().total_cmp(&one.si()));
    stops.dedup_by(|one, other| (one.si() - other.si()).abs() < 1e-6);
    let at = |stop: Mass| {
        let state: Loading = state_at(loading, tanks, fuel, stop);
        let arm = state.centre_of_gravity(&mut Silent).ok()?;
        Some(point(arm, state.mass, units))
    };
    stops.into_iter().filter_map(at).collect()
}

/// True for the states that are places on the flight, not worst points of it. What is left when
/// somebody leaves is seen from the path; the load table has it in numbers.
fn planned(state: &LoadState) -> bool {
    ["farthest ", "leaving ", "zero fuel to "].iter().all(|name| !state.name.starts_with(name))
}

fn stages(states: &[LoadState], envelope: Option<&Envelope>, units: &Units) -> Vec<At> {
    let one = |state: &LoadState| At {
        name: state.name.clone(),
        at: Some(point(state.arm, state.mass, units)),
        words: format!(
            "{} at {}, {} of fuel",
            units.mass(state.mass, Round::Up),
            units.arm(state.arm),
            units.fuel(state.fuel, Round::Down)
        ),
        verdict: match envelope {
            None => Verdict::Unknown,
            Some(envelope) if envelope.contains(Corner { arm: state.arm, mass: state.mass }) => {
                Verdict::Holds
            }
            Some(_) => Verdict::Breaks,
        },
    };
    if states.is_empty() {
        let unknown = |name: &str| At {
            name: name.to_owned(),
            at: None,
            words: String::new(),
            verdict: Verdict::Unknown,
        };
        return ["ramp", "take-off", "landing", "zero fuel"].map(unknown).to_vec();
    }
    states.iter().filter(|state| planned(state)).map(one).collect()
}

/// Forward, aft, top and bottom, each from the point that comes nearest.
fn edges(
    assessment: &Assessment,
    worst: Option<[Worst; 2]>,
    envelope: Option<&Envelope>,
    states: &[LoadState],
    units: &Units,
) -> Vec<Edge> {
    let level = |of: &Worst| (point(of.arm, of.mass, units), point(of.boundary, of.mass, units));
    let upright = |name: fn(&LoadState) -> bool, edge: Option<Mass>| {
        let state = states.iter().rfind(|state| name(state))?;
        Some((point(state.arm, state.mass, units), point(state.arm, edge?, units)))
    };
    let top = upright(|state| state.name == "take-off", envelope.map(Envelope::top));
    let last = |state: &LoadState| state.name.starts_with("landing ");
    let bottom = upright(last, envelope.map(Envelope::bottom));
    let all = [
        ("forward edge", "cg-forward", worst.map(|[forward, _]| level(&forward))),
        ("aft edge", "cg-aft", worst.map(|[_, aft]| level(&aft))),
        ("top", "envelope-mass", top),
        ("bottom", "envelope-least-mass", bottom),
    ];
    let edge = |(name, id, ends): (&str, &'static str, Option<(Point, Point)>)| {
        let of = find(assessment, Id::new(Family::Load, id))?;
        let mut limit = limit(name, of);
        if let (Some((from, to)), true) = (ends, limit.verdict == Verdict::Holds) {
            limit.stands = format!("{} inside, {}", inside(from, to, units), limit.stands);
        }
        Some(Edge { from: ends.map(|(from, _)| from), to: ends.map(|(_, to)| to), limit })
    };
    all.into_iter().filter_map(edge).collect()
}

/// How far two points lie apart, along the one axis they differ on.
fn inside(from: Point, to: Point, units: &Units) -> String {
    let arm = Length::of((to.arm - from.arm).abs(), units.arm);
    let mass = Mass::of((to.mass - from.mass).abs(), units.mass);
    if arm.si() > 0.0 { units.arm_step(arm, Round::Down) } else { units.mass(mass, Round::Down) }
}

/// The greatest masses that the manual sets.
fn ceilings(stage: &Stage, assessment: &Assessment, units: &Units) -> Vec<Ceiling> {
    let limits = &stage.limits;
    let one = |name: &str, id: &str, setting: Setting<Mass>| -> Option<Ceiling> {
        let mass = match setting {
            Setting::None => return None,
            Setting::Missing => None,
            Setting::Is(mass) => Some(mass),
        };
        // Several landings have one ceiling: the tightest comes first.
        let of = assessment.limits.iter().find(|limit| limit.id.starts_with(id));
        let limit = of.map_or_else(
            || Limit { name: name.into(), stands: "not judged".into(), verdict: Verdict::Unknown },
            |of| limit(format!("{name} mass"), of),
        );
        let figure = mass.map(|mass| units.mass(mass, Round::Down));
        let figure = figure.as_deref().and_then(|words| words.split(' ').next()).unwrap_or("?");
        Some(Ceiling {
            name: format!("{name} {figure}"),
            mass: mass.map(|mass| mass.count(units.mass)),
            limit,
        })
    };
    let all = [
        one("ramp", "load.ramp-mass", limits.ramp),
        one("take-off", "load.take-off-mass", Setting::Is(limits.take_off)),
        one("landing", "load.landing-mass.", limits.landing),
        one("zero-fuel", "load.zero-fuel-mass", limits.zero_fuel),
    ];
    all.into_iter().flatten().collect()
}
