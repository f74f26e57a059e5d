//! Things to know that no bound says.

use stillprop_calc::{
    fuel::round_up,
    geodesy::{Ellipsoid, inverse},
    quantity::{FromAmount, Length},
    trace::Silent,
    unit,
};

use crate::{
    document::turnaround::{FuelKnown, Role},
    limits::Family,
    stage::{Choice, Stage},
    units::{Round, Units},
};

pub(super) fn notes(stage: &Stage, _: &Choice, units: &Units) -> Vec<String> {
    let mut notes = Vec::new();
    uplift(stage, units, &mut notes);
    fuel_known(stage, &mut notes);
    people(stage, &mut notes);
    flight(stage, units, &mut notes);
    figures(stage, &mut notes);
    notes.extend(
        stage.documents.strip.remarks.iter().map(|said| format!("{}: {said}", stage.here.name)),
    );
    let words: Vec<_> = Family::NOT_YET.iter().map(|family| family.word()).collect();
    notes.push(format!("Not assessed by this version: {}.", words.join(", ")));
    notes
}

/// What to take, rounded up to what the dispenser can give.
fn uplift(stage: &Stage, units: &Units, notes: &mut Vec<String>) {
    let fuel = &stage.documents.turnaround.fuel;
    for tank in &fuel.tanks {
        let Some(uplift) = &tank.uplift else { continue };
        let rounded = fuel
            .step
            .as_ref()
            .and_then(|step| round_up(uplift.value, step.value, &mut Silent).ok());
        let take = units.fuel(rounded.unwrap_or(uplift.value), Round::Up);
        notes.push(match rounded {
            Some(rounded) if rounded.value > uplift.value.value + 1e-9 => format!(
                "Take {take} into {}: the dispenser gives no smaller step.",
                tank.tank.value
            ),
            _ => format!("Take {take} into {}.", tank.tank.value),
        });
    }
}

fn fuel_known(stage: &Stage, notes: &mut Vec<String>) {
    let by_gauge: Vec<&str> = stage
        .tanks
        .iter()
        .zip(&stage.fuel_known)
        .filter(|(_, known)| matches!(known, Some(FuelKnown::Gauge | FuelKnown::Reckoned) | None))
        .map(|(tank, _)| tank.label.as_str())
        .collect();
    if !by_gauge.is_empty() {
        notes.push(format!("Fuel not dipped: {}. Dip before relying on it.", by_gauge.join(", ")));
    }
}

fn people(stage: &Stage, notes: &mut Vec<String>) {
    let passengers = stage.people.iter().filter(|person| person.role == Role::Passenger).count();
    if passengers > 0 {
        notes.push(format!(
            "{passengers} to be briefed before boarding; briefing is not recorded by this version."
        ));
    }
    for person in stage.people.iter().filter(|person| person.held_by.is_some()) {
        notes.push(format!("{} is held: read the rule on infants.", person.name));
    }
}

fn flight(stage: &Stage, units: &Units, notes: &mut Vec<String>) {
    let turnaround = &stage.documents.turnaround;
    if turnaround.alternate.is_none() {
        notes.push("No alternate is planned.".into());
    }
    if turnaround.legs.len() > 1 {
        notes.push(
            "Take-offs after the first are not assessed: each stop has its own turnaround.".into(),
        );
    }
    if !stage.needs_light() {
        notes.push(format!("Light is not judged under {}.", turnaround.flight_rules));
    }
    if !stage.documents.aircraft.starter {
        notes.push("No starter: the start is by hand, and is not assessed by this version.".into());
    }
    shorter_than_it_is(stage, units, notes);
}

/// A typed distance that is shorter than the way there is a slip of the pen.
fn shorter_than_it_is(stage: &Stage, units: &Units, notes: &mut Vec<String>) {
    let Ok(plan) = &stage.plan else { return };
    let mut from = stage.here.position;
    for (leg, spot) in plan.legs.iter().zip(&stage.there) {
        let Some(spot) = spot else { return };
        let line = inverse(Ellipsoid::Wgs84, from, spot.position, &mut Silent);
        let slack = Length::of(0.5, unit::NM);
        if let Ok(line) = line
            && leg.distance + slack < line.distance
        {
            let show = |length: Length| crate::units::show(length, units.distance, Round::Near);
            notes.push(format!(
                "The distance typed for `{}` is {}, but its ends are {} apart.",
                leg.name,
                show(leg.distance),
                show(line.distance)
            ));
        }
        from = spot.position;
    }
}

/// Figures in use that are not law or guidance in force.
fn figures(stage: &Stage, notes: &mut Vec<String>) {
    let f = &stage.figures;
    let all = [
        ("take-off factor", f.take_off_factor.as_ref().ok().map(|c| &c.citation)),
        ("landing factor", f.landing_factor.as_ref().ok().map(|c| &c.citation)),
        ("climb gradient", f.climb_take_off.as_ref().ok().map(|c| &c.citation)),
        ("final reserve", f.final_reserve.as_ref().ok().map(|c| &c.citation)),
    ];
    for (what, citation) in all {
        if let Some(citation) = citation
            && citation.contains("(superseded")
        {
            notes.push(format!("The {what} comes from a superseded rule: {citation}."));
        }
    }
}
