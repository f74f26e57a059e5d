//! The load sheet.

use stillprop_papers::{Block, Cell, Column, Paper, Row, Table};
use stillprop_turnaround::{
    assess::LoadState,
    document::turnaround::Role,
    limits::{Family, load::seat_of},
    units::Round,
};

use super::{Kind, Stop, fact, limits, mass_known, notes, of_stop};
use crate::pictures::Kind as Picture;

/// Who and what is where, the masses and balances, and both pictures.
pub(crate) fn load(stop: &Stop<'_>) -> Paper {
    let mut paper = of_stop(Kind::Load, stop);
    let aircraft = &stop.stage.documents.aircraft;
    let manual = format!("{}, {}", aircraft.manual.title, aircraft.manual.edition);
    let empty = &aircraft.empty;
    let units = stop.units;
    paper.blocks = vec![Block::Facts(vec![
        fact("Flight manual", manual),
        fact("Weighed", empty.weighed.0.to_string()),
        fact("Basic empty mass", units.mass(empty.mass.value, Round::Up)),
        fact("Arm of it", units.arm(empty.arm.value)),
        fact("Arms from", empty.datum.clone()),
    ])];
    paper.blocks.extend([Block::Heading("People and items".into()), Block::Table(aboard(stop))]);
    paper.blocks.push(Block::Heading("Mass and balance along the flight".into()));
    paper.blocks.push(match &stop.assessment.states {
        Ok(states) => Block::Table(table(stop, states)),
        Err(why) => Block::Text(format!("unknown: {why}")),
    });
    paper.blocks.extend(limits(stop, &[Family::Load, Family::People]));
    paper.blocks.push(Block::Heading("Loading, and mass against arm".into()));
    paper.blocks.extend([stop.picture(Picture::Loading), stop.picture(Picture::Balance)]);
    paper.blocks.extend(notes(stop));
    paper.blocks.push(Block::Blanks(
        ["Changed at the last minute", "Pilot in command, name and signature", "Date and time"]
            .map(str::to_owned)
            .to_vec(),
    ));
    paper
}

fn aboard(stop: &Stop<'_>) -> Table {
    let Stop { stage, choice, units, .. } = *stop;
    let place = |index: Option<usize>| {
        index.and_then(|index| stage.places.get(index)).map(|place| place.label.clone())
    };
    let mass = |mass: &Result<_, String>| match mass {
        Ok(mass) => units.mass(*mass, Round::Up),
        Err(why) => format!("unknown: {why}"),
    };
    let people = stage.people.iter().enumerate().map(|(index, person)| {
        let role = match person.role {
            Role::Pilot => "pilot in command",
            Role::Crew => "crew",
            Role::Passenger => "passenger",
        };
        let held = person.held_by.and_then(|by| stage.people.get(by));
        let at = match held {
            Some(by) => format!("held by {}", by.name),
            None => place(seat_of(stage, choice, index)).unwrap_or_else(|| "unknown".into()),
        };
        [person.name.clone(), role.into(), at, mass(&person.mass), mass_known(person.known).into()]
    });
    let documents = &stage.documents.turnaround.items;
    let items =
        stage.items.iter().zip(documents).zip(&choice.place_of).map(|((item, written), at)| {
            let known = mass_known(written.known.value);
            let at = place(Some(*at)).unwrap_or_else(|| "unknown".into());
            [item.what.clone(), "item".into(), at, mass(&item.mass), known.into()]
        });
    let rows = people.chain(items).map(Row::from_iter).collect();
    let columns = vec![
        Column::words("Who or what"),
        Column::words("As"),
        Column::words("Where"),
        Column::number("Mass"),
        Column::words("Known by"),
        Column::blank("Changed to", 54.0),
    ];
    Table { columns, rows }
}

fn table(stop: &Stop<'_>, states: &[LoadState]) -> Table {
    let units = stop.units;
    let rows = states.iter().map(|state| {
        let (forward, aft) = state.allowed.map_or_else(
            || ("unknown".to_owned(), "unknown".to_owned()),
            |(forward, aft)| (units.arm(forward), units.arm(aft)),
        );
        let cells = [
            state.name.clone(),
            units.mass(state.mass, Round::Up),
            units.arm(state.arm),
            forward,
            aft,
            units.fuel(state.fuel, Round::Down),
        ];
        Row { cells: cells.map(Cell::from).to_vec(), sum: false }
    });
    let columns = vec![
        Column::words("At"),
        Column::number("Mass"),
        Column::number("Balance at"),
        Column::number("Foremost"),
        Column::number("Aftmost"),
        Column::number("Usable fuel"),
    ];
    Table { columns, rows: rows.collect() }
}
