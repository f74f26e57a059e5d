//! The fuel record: what is needed, where it comes from, what was seen in the jar.

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_papers::{Block, Cell, Column, Paper, Row, Table};
use stillprop_turnaround::{
    assess::LadderView,
    document::turnaround::{FuelKnown, Method},
    drums::{
        Appearance, Container, Paste, Sample, Seals,
        order::{By, order},
    },
    limits::{Family, light::clock},
    units::{Round, show},
};

use super::{Kind, Stop, fact, limits, notes, of_stop};
use crate::pictures::Kind as Picture;

/// The fuel record of a stop.
pub(crate) fn fuel(stop: &Stop<'_>) -> Paper {
    let mut paper = of_stop(Kind::Fuel, stop);
    let stage = stop.stage;
    paper.blocks = vec![Block::Facts(vec![
        fact("Grade", stage.documents.turnaround.fuel.grade.value.clone()),
        fact("Taken from", method(stage.method)),
        fact("Density used", density(stop)),
        fact("Says so", stage.density.as_ref().map_or_else(Clone::clone, |d| d.citation.clone())),
    ])];
    paper.blocks.extend(tanks(stop));
    paper.blocks.extend(ordered(stop));
    if !stage.drums.drums.is_empty() {
        paper.blocks.extend(drums(stop));
    }
    paper.blocks.extend(samples());
    paper.blocks.push(Block::Heading("Fuel ladder".into()));
    match &stop.assessment.ladder {
        Ok(view) => paper.blocks.push(Block::Table(ladder(stop, view))),
        Err(why) => paper.blocks.push(Block::Text(format!("unknown: {why}"))),
    }
    paper.blocks.push(stop.picture(Picture::Ladder));
    paper.blocks.extend(limits(stop, &[Family::Fuel, Family::Drum, Family::Sample]));
    paper.blocks.extend(notes(stop));
    paper.blocks.push(Block::Blanks(
        ["Fuelled by", "Checked by, name and signature", "Date and time"]
            .map(str::to_owned)
            .to_vec(),
    ));
    paper
}

const fn method(method: Option<Method>) -> &'static str {
    match method {
        Some(Method::Tanker) => "a tanker with its crew",
        Some(Method::SelfServe) => "a pump the pilot works",
        Some(Method::Drum) => "drums",
        Some(Method::None) => "no fuel is taken here",
        None => "unknown: nobody has said",
    }
}

fn density(stop: &Stop<'_>) -> String {
    match &stop.stage.density {
        Ok(density) => stillprop_turnaround::units::density_line(stop.units, density.value),
        Err(why) => format!("unknown: {why}"),
    }
}

const fn known(known: Option<FuelKnown>) -> &'static str {
    match known {
        Some(FuelKnown::Dip) => "dip",
        Some(FuelKnown::Gauge) => "gauge",
        Some(FuelKnown::Full) => "filled to a mark",
        Some(FuelKnown::Reckoned) => "reckoned",
        None => "unknown",
    }
}

fn tanks(stop: &Stop<'_>) -> Vec<Block> {
    let Stop { stage, choice, units, .. } = *stop;
    let litres = |volume: Option<Volume>, round| {
        volume.map_or_else(|| "unknown".to_owned(), |volume| units.fuel(volume, round))
    };
    let rows = stage.tanks.iter().enumerate().map(|(index, tank)| {
        let now = stage.fuel_now.get(index).copied().flatten();
        let after = choice.fuel.get(index).copied().flatten();
        Row::from_iter([
            tank.label.clone(),
            litres(Some(tank.usable), Round::Down),
            litres(now, Round::Down),
            known(stage.fuel_known.get(index).copied().flatten()).to_owned(),
            litres(stage.uplift(choice, index), Round::Up),
            litres(after, Round::Down),
        ])
    });
    let columns = vec![
        Column::words("Tank"),
        Column::number("Holds usable"),
        Column::number("In it now"),
        Column::words("Known by"),
        Column::number("To take"),
        Column::number("Then"),
        Column::blank("Dip before", 46.0),
        Column::blank("Taken", 46.0),
        Column::blank("Dip after", 46.0),
    ];
    vec![Block::Heading("Tanks".into()), Block::Table(Table { columns, rows: rows.collect() })]
}

/// What is said to whoever delivers, and what must be on the ticket.
fn ordered(stop: &Stop<'_>) -> Option<Block> {
    match order(stop.stage, stop.units)?.by {
        By::Tanker { read_back, ticket } => {
            Some(Block::List(vec![format!("Say: \u{201C}{read_back}\u{201D}"), capital(&ticket)]))
        }
        By::SelfServe { before, ticket } => {
            Some(Block::List(vec![format!("Before the first litre: {before}"), capital(&ticket)]))
        }
        By::Drums(_) | By::Unknown => None,
    }
}

fn capital(words: &str) -> String {
    super::capital(words)
}

fn drums(stop: &Stop<'_>) -> Vec<Block> {
    let Stop { stage, units, .. } = *stop;
    let from = match order(stage, units).map(|order| order.by) {
        Some(By::Drums(drums)) => drums,
        _ => Vec::new(),
    };
    let rows = stage.drums.drums.iter().map(|drum| {
        let own = from.iter().find(|from| from.drum == drum.label);
        let draws = own.map_or_else(String::new, |own| {
            let into = own.into.iter();
            let parts: Vec<String> = into
                .map(|line| format!("{} into {}", units.fuel(line.volume, Round::Up), line.tank))
                .collect();
            parts.join(", ")
        });
        let leaves = own.and_then(|own| own.leaves);
        let leaves = leaves.map_or("unknown".to_owned(), |left| units.fuel(left, Round::Down));
        let mut cells = vec![Cell { words: drum.label.clone(), strong: true }];
        cells.extend(match &drum.container {
            Ok(container) => is(container).map(Cell::from).to_vec(),
            Err(why) => vec![format!("unknown: {why}").into(), "".into(), "".into(), "".into()],
        });
        cells.extend([draws.into(), leaves.into()]);
        Row { cells, sum: false }
    });
    let columns = vec![
        Column::words("Drum"),
        Column::words("Grade, batch"),
        Column::words("Supplier"),
        Column::words("Filled"),
        Column::words("Seals"),
        Column::words("Draw"),
        Column::number("Stays in it"),
        Column::blank("Drawn", 44.0),
    ];
    let seen = stage.drums.drums.iter().filter_map(|drum| {
        let sample = drum.container.as_ref().ok()?.sample.as_ref()?;
        Some(jar(stop, &drum.label, sample))
    });
    let jars: Vec<Row> = seen.collect();
    let mut blocks =
        vec![Block::Heading("Drums".into()), Block::Table(Table { columns, rows: rows.collect() })];
    if !jars.is_empty() {
        let columns = ["Drum", "Sampled", "Looks", "Colour", "Water paste", "Density", "Low point"];
        blocks.push(Block::Heading("Last samples of these drums, as recorded".into()));
        blocks
            .push(Block::Table(Table { columns: columns.map(Column::words).to_vec(), rows: jars }));
    }
    blocks
}

fn is(container: &Container) -> [String; 4] {
    let seals = match container.seals {
        Some(Seals::Intact) => "whole",
        Some(Seals::Broken) => "BROKEN",
        None => "unknown",
    };
    [
        format!("{}, {}", container.grade, container.batch),
        container.supplier.clone(),
        container.filled.map_or_else(|| "unknown".into(), |day| day.to_string()),
        seals.into(),
    ]
}

fn jar(stop: &Stop<'_>, drum: &str, sample: &Sample) -> Row {
    let looks = match sample.appearance {
        Appearance::ClearAndBright => "clear and bright",
        Appearance::Haze => "HAZE",
        Appearance::Sediment => "SEDIMENT",
        Appearance::Water => "WATER",
    };
    let paste = match sample.paste {
        Paste::Dry => "dry",
        Paste::Wet => "WET",
        Paste::NotUsed => "not used",
    };
    let density = sample.density.map_or_else(
        || "not read".to_owned(),
        |read| {
            let at = read.temperature().map_or_else(String::new, |at| {
                format!(" at {}", show(at, stop.units.temperature, Round::Near))
            });
            format!("{}{at}", show(read.density(), unit::KG_L, Round::Near))
        },
    );
    let offset = stop.stage.here.offset;
    let day = offset.to_datetime(sample.at).date();
    Row::from_iter([
        drum.to_owned(),
        format!("{day} {}", clock(sample.at, offset)),
        looks.into(),
        sample.colour.clone(),
        paste.into(),
        density,
        if sample.low_point { "yes" } else { "NO" }.to_owned(),
    ])
}

/// Room for what is seen today.
fn samples() -> Vec<Block> {
    let columns = vec![
        Column::blank("Drum or drain", 70.0),
        Column::blank("Looks", 58.0),
        Column::blank("Colour", 46.0),
        Column::blank("Water paste", 50.0),
        Column::blank("Density at temperature", 70.0),
        Column::blank("By", 50.0),
        Column::blank("At", 40.0),
    ];
    let rows = (0..8).map(|_| Row::from_iter([" "])).collect();
    vec![
        Block::Heading("Samples of today, each drum and each drain".into()),
        Block::Table(Table { columns, rows }),
    ]
}

fn ladder(stop: &Stop<'_>, view: &LadderView) -> Table {
    let units = stop.units;
    let p = &view.parts;
    let parts = [
        ("start and taxi", p.start_and_taxi),
        ("trip", p.trip),
        ("contingency", p.contingency),
        ("alternate", p.alternate),
        ("holding", p.holding),
        ("final reserve", p.final_reserve),
        ("extra", p.extra),
    ];
    let row = |name: &str, volume: Volume, round, sum| Row {
        cells: vec![name.into(), units.fuel(volume, round).into()],
        sum,
    };
    let mut rows: Vec<Row> = parts
        .into_iter()
        .filter(|part| part.1 > Volume::from_si(0.0))
        .map(|(name, volume)| row(name, volume, Round::Up, false))
        .collect();
    rows.push(row("required", view.required, Round::Up, true));
    rows.push(match view.aboard {
        Some(aboard) => row("aboard at chocks off, usable", aboard, Round::Down, false),
        None => Row::from_iter(["aboard at chocks off, usable", "unknown"]),
    });
    rows.push(row("tanks hold, usable", view.capacity, Round::Down, false));
    rows.push(row("not usable, beside that", view.unusable, Round::Up, false));
    Table { columns: vec![Column::words("For"), Column::number("Fuel")], rows }
}
