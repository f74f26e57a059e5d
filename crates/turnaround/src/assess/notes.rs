//! Things to know that no bound says.

use stillprop_calc::{
    geodesy::{Ellipsoid, inverse},
    quantity::{FromAmount, Length},
    trace::Silent,
    unit,
};

use crate::{
    document::turnaround::{FuelKnown, Method, Role},
    drums::order::{By, FromDrum, order},
    limits::load::masses,
    stage::{Choice, Stage},
    units::{Round, Units},
};

pub(super) fn notes(stage: &Stage, choice: &Choice, units: &Units) -> Vec<String> {
    let mut notes = Vec::new();
    below_envelope(stage, choice, units, &mut notes);
    uplift(stage, units, &mut notes);
    fuel_known(stage, &mut notes);
    people(stage, &mut notes);
    flight(stage, units, &mut notes);
    figures(stage, &mut notes);
    operators_figures(stage, &mut notes);
    notes.extend(
        stage.documents.strip.remarks.iter().map(|said| format!("{}: {said}", stage.here.name)),
    );
    notes.push(
        "Not assessed by this version: soft ground, climb on landing, cloud and visibility.".into(),
    );
    notes
}

/// No state gives every figure of the ground; who flies there has to.
fn operators_figures(stage: &Stage, notes: &mut Vec<String>) {
    let moving = &stage.ground.moving_room;
    let missing = [
        moving.propeller_margin.as_ref().err(),
        moving.wingtip_room.as_ref().err(),
        stage.ground.fuelling.hose_slack.as_ref().err(),
    ];
    if stage.site.is_ok() && missing.iter().any(Option::is_some) {
        notes.push(
            "Some figures of the ground are an operator's to give: write them in a pack of your \
             own and name it before the state's, as in mine.toml+au. `stillprop packs \
             demo-operator` shows which."
                .into(),
        );
    }
}

/// With dry tanks the aeroplane may be lighter than its envelope, where the lowest boundary is
/// held.
fn below_envelope(stage: &Stage, choice: &Choice, units: &Units, notes: &mut Vec<String>) {
    let dry = masses(stage, choice, &mut Silent).zero_fuel;
    if let (Ok(envelope), Some(dry)) = (&stage.envelope, dry)
        && dry < envelope.bottom()
    {
        notes.push(format!(
            "With dry tanks the aeroplane weighs {}, below the envelope ({}): its lowest line is used there.",
            units.mass(dry, Round::Down),
            units.mass(envelope.bottom(), Round::Up)
        ));
    }
}

/// The fuel to order, in the words of its method.
fn uplift(stage: &Stage, units: &Units, notes: &mut Vec<String>) {
    let Some(order) = order(stage, units) else { return };
    for line in &order.lines {
        notes.push(format!("Take {} into {}.", units.fuel(line.volume, Round::Up), line.tank));
    }
    match order.by {
        By::Tanker { read_back, ticket } => {
            notes.push(format!("Say to the refueller: \"{read_back}\" Then look: {ticket}."));
        }
        By::SelfServe { before, ticket } => {
            notes.push(format!("Before the first litre: {before}. Then {ticket}."));
        }
        By::Drums(drums) => notes.extend(drums.iter().map(|drum| from_drum(drum, units))),
        By::Unknown => {}
    }
}

fn from_drum(drum: &FromDrum, units: &Units) -> String {
    let into = drum.into.iter();
    let parts: Vec<String> = into
        .map(|line| format!("{} into {}", units.fuel(line.volume, Round::Up), line.tank))
        .collect();
    let leaves = drum.leaves.map_or_else(
        || "what it leaves is not known".to_owned(),
        |left| format!("{} stays in it", units.fuel(left, Round::Down)),
    );
    format!("From drum {}: {}; {leaves}.", drum.drum, parts.join(", "))
}

fn fuel_known(stage: &Stage, notes: &mut Vec<String>) {
    notes.push(
        "Fuel aboard is usable fuel: take what cannot be used off a dip that reads the whole tank."
            .into(),
    );
    if matches!(stage.method, Some(Method::Tanker | Method::SelfServe)) {
        notes.push(
            "The fuel taken here is sampled on the run sheet, not judged here: sample it.".into(),
        );
    }
    weather_line(stage, notes);
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

/// What a METAR says beside wind, temperature and pressure is not read, nor how old it is.
fn weather_line(stage: &Stage, notes: &mut Vec<String>) {
    let turnaround = &stage.documents.turnaround;
    let here = turnaround.weather.metar.as_ref();
    let there = turnaround.legs.iter().find_map(|leg| leg.weather.metar.as_ref());
    if here.or(there).is_some() {
        notes.push(
            "Of a METAR only mean wind, gust, temperature and QNH are used: look at its time, its \
             place, its trend and the weather itself."
                .into(),
        );
    }
}

fn people(stage: &Stage, notes: &mut Vec<String>) {
    let passengers = stage.people.iter().filter(|person| person.role == Role::Passenger).count();
    if passengers > 0 {
        notes.push(format!(
            "{passengers} to be briefed before boarding; the run sheet asks for it."
        ));
    }
    for person in stage.people.iter().filter(|person| person.held_by.is_some()) {
        notes.push(format!("{} is held: read the rule on infants.", person.name));
    }
}

fn flight(stage: &Stage, units: &Units, notes: &mut Vec<String>) {
    let turnaround = &stage.documents.turnaround;
    notes.push(match &turnaround.alternate {
        None => "No alternate is planned.".into(),
        Some(alternate) => format!(
            "{}: only the fuel to it is reckoned; its strip, wind and light are not judged.",
            alternate.name.value
        ),
    });
    if turnaround.legs.len() > 1 {
        notes.push(
            "Take-offs after the first are not assessed: each stop has its own turnaround.".into(),
        );
    }
    if !stage.needs_light() {
        notes.push(format!("Light is not judged under {}.", turnaround.flight_rules));
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

/// Figures in use whose rule is no longer in force.
fn figures(stage: &Stage, notes: &mut Vec<String>) {
    for (what, citation) in stage.figures.citations() {
        if citation.contains("(superseded") {
            notes.push(format!("The {what} comes from a superseded rule: {citation}."));
        }
    }
}
