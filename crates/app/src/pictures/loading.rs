//! A stage and a choice as the loading picture.

use stillprop_calc::{
    quantity::{FromAmount, Length, Mass, Moment, Volume},
    unit::Unit,
};
use stillprop_draw::{
    Verdict,
    loading::{Balance, LoadingPicture, Most, Place, PlaceKind, Station},
};
use stillprop_turnaround::{
    assess::{Assessment, LoadState},
    document::{aircraft::TankTable, ground::PlanShape},
    limits::{Family, Id, load::seat_of},
    stage::{Choice, Setting, Stage},
    units::{Round, Units},
};

use super::{aeroplane, find, turnaround};
use crate::ground::verdict;

/// The loading at take-off, but for fuel, which is that at chocks off.
pub(crate) fn picture(
    stage: &Stage,
    choice: &Choice,
    assessment: &Assessment,
    units: &Units,
) -> LoadingPicture {
    let mut places: Vec<Place> = (0..stage.places.len())
        .map(|index| seat_or_locker(stage, choice, assessment, index, units))
        .collect();
    places
        .extend((0..stage.tanks.len()).map(|index| tank(stage, choice, assessment, index, units)));
    let shape = stage.documents.aircraft.shape.as_ref();
    LoadingPicture {
        place: aeroplane(assessment),
        day: turnaround(assessment),
        arm_unit: units.arm.symbol.to_owned(),
        mass_unit: units.mass.symbol.to_owned(),
        outlines: shape.map(|shape| outlines(shape, units)).unwrap_or_default(),
        places,
        balance: balance(assessment, units),
        notes: Vec::new(),
    }
}

fn station(arm: Length, lateral: Length, units: &Units) -> Station {
    Station { arm: arm.count(units.arm), lateral: lateral.count(units.arm) }
}

/// Wing, fuselage and tail among the arms; none when nobody said where the wheels are.
fn outlines(shape: &PlanShape, units: &Units) -> Vec<Vec<Station>> {
    let (Some(wheels), Some(unit)) = (&shape.wheels_arm, Unit::named(&shape.unit.value)) else {
        return Vec::new();
    };
    let of = |[forward, right]: [f64; 2]| {
        station(wheels.value - Length::of(forward, unit), Length::of(right, unit), units)
    };
    shape.parts.iter().map(|part| part.corners.value.iter().copied().map(of).collect()).collect()
}

fn seat_or_locker(
    stage: &Stage,
    choice: &Choice,
    assessment: &Assessment,
    index: usize,
    units: &Units,
) -> Place {
    let place = &stage.places[index];
    let people = (0..stage.people.len())
        .filter(|person| seat_of(stage, choice, *person) == Some(index))
        .map(|person| (&stage.people[person].name, &stage.people[person].mass));
    let items = stage.items.iter().zip(&choice.place_of);
    let items = items.filter(|(_, at)| **at == index).map(|(item, _)| (&item.what, &item.mass));
    let mut inside = Vec::new();
    let mut load = Some(Mass::from_si(0.0));
    for (name, mass) in people.chain(items) {
        load = load.zip(mass.as_ref().ok()).map(|(sum, mass)| sum + *mass);
        inside.push(match mass {
            Ok(mass) => (name, units.mass(*mass, Round::Up)),
            Err(_) => (name, "of unknown mass".into()),
        });
    }
    // Where there is one thing alone its mass stands before it already.
    let inside: Vec<String> = match &inside[..] {
        [(name, _)] => vec![(*name).clone()],
        several => several.iter().map(|(name, mass)| format!("{name} {mass}")).collect(),
    };
    let name = if place.seat.is_some() { "seat" } else { "locker" };
    let limit = find(assessment, Id::of(Family::Load, name, &place.label));
    let words = load.map_or_else(|| "mass unknown".into(), |load| units.mass(load, Round::Up));
    let (most, bound) = bound(place.max_mass, |most| units.mass(most, Round::Down));
    let stands = match (load, most) {
        (None, Most::Is(_)) => format!("{words},{}", bound.replacen(" of", " greatest", 1)),
        _ => format!("{words}{bound}"),
    };
    Place {
        kind: if place.seat.is_some() { PlaceKind::Seat } else { PlaceKind::Locker },
        name: place.label.clone(),
        at: Some(station(place.arm, place.lateral, units)),
        load: load.map(|load| load.si()),
        most,
        figure: load.map_or_else(String::new, |load| number(load, units)),
        stands,
        inside: inside.join(", "),
        verdict: limit.map_or(Verdict::Holds, |limit| verdict(limit.verdict)),
    }
}

fn bound<Q: FromAmount + Copy>(setting: Setting<Q>, words: impl Fn(Q) -> String) -> (Most, String) {
    match setting {
        Setting::Is(most) => (Most::Is(most.si()), format!(" of {}", words(most))),
        Setting::None => (Most::None, ", no greatest mass is set".into()),
        Setting::Missing => (Most::Unknown, ", greatest mass unknown".into()),
    }
}

/// Without its unit, for the box.
fn number(mass: Mass, units: &Units) -> String {
    let words = units.mass(mass, Round::Up);
    words.split(' ').next().unwrap_or_default().to_owned()
}

fn tank(
    stage: &Stage,
    choice: &Choice,
    assessment: &Assessment,
    index: usize,
    units: &Units,
) -> Place {
    let facts = &stage.tanks[index];
    let fuel = choice.fuel.get(index).copied().flatten();
    let density = stage.density.as_ref().ok().map(|density| density.value);
    let mass = fuel.zip(density).map(|(fuel, density)| fuel * density);
    let limit = find(assessment, Id::of(Family::Fuel, "tank", &facts.label));
    let words = fuel.map_or_else(|| "fuel unknown".into(), |fuel| units.fuel(fuel, Round::Down));
    let (most, bound) = bound(Setting::Is(facts.usable), |most| units.fuel(most, Round::Down));
    Place {
        kind: PlaceKind::Tank,
        name: facts.label.clone(),
        at: tank_at(stage, index, mass, units),
        load: fuel.map(|fuel: Volume| fuel.si()),
        most,
        figure: mass.map_or_else(|| "?".into(), |mass| number(mass, units)),
        stands: format!("{words}{bound} usable"),
        inside: mass.map_or_else(|| "mass unknown".into(), |mass| units.mass(mass, Round::Up)),
        verdict: limit.map_or(Verdict::Holds, |limit| verdict(limit.verdict)),
    }
}

/// Where the fuel of a tank is: by what is in it, else where its first litre goes.
fn tank_at(stage: &Stage, index: usize, mass: Option<Mass>, units: &Units) -> Option<Station> {
    let table: &TankTable = stage.documents.aircraft.tanks.get(index)?;
    let lateral = table.lateral.as_ref().map_or(Length::from_si(0.0), |given| given.value);
    let filled = mass.filter(|mass| mass.si() > 0.0).zip(stage.burn_tanks.get(index));
    let arm = match filled {
        Some((mass, tank)) => {
            let moment: Moment = tank.arm.moment(mass);
            moment / mass
        }
        None => {
            let first = table.arm_by_quantity.first().map(|point| &point.arm);
            table.arm.as_ref().or(first)?.value
        }
    };
    Some(station(arm, lateral, units))
}

fn balance(assessment: &Assessment, units: &Units) -> Balance {
    let unknown = |why: &str| Balance {
        arm: None,
        allowed: None,
        words: format!("where it balances is unknown: {why}"),
        verdict: Verdict::Unknown,
    };
    let states = match &assessment.states {
        Ok(states) => states,
        Err(why) => return unknown(why),
    };
    let Some(state) = states.iter().find(|state| state.name == "take-off") else {
        return unknown("more is burnt to taxi than is aboard");
    };
    let LoadState { mass, arm, allowed, .. } = state;
    let at = format!("take-off {} at {}", units.mass(*mass, Round::Up), units.arm(*arm));
    let (words, verdict) = match allowed {
        None => (format!("{at}, what is allowed is unknown"), Verdict::Unknown),
        Some((forward, aft)) => {
            // A load that adds up to a limit exactly lies on it, not outside.
            let slack = Length::from_si(1e-9);
            let inside = *arm >= *forward - slack && *arm <= *aft + slack;
            let words = format!("{at}, allowed {} to {}", units.arm(*forward), units.arm(*aft));
            (words, if inside { Verdict::Holds } else { Verdict::Breaks })
        }
    };
    Balance {
        arm: Some(arm.count(units.arm)),
        allowed: allowed.map(|(forward, aft)| (forward.count(units.arm), aft.count(units.arm))),
        words,
        verdict,
    }
}
