//! The spill report: what the documents, the packs and the ledger know is filled in, lines to
//! write on where they are silent.

use jiff::Timestamp;
use stillprop_calc::{quantity::FromAmount, unit};
use stillprop_ledger::event::v2;
use stillprop_papers::{Block, Column, Paper, Row, Table, Tick};
use stillprop_turnaround::{
    assess::ground::SpillView,
    sheet::{Facts, Sheet, Stop as StopAction},
    stage::Figure,
    units::{Round, text as number},
};

use super::{Kind, Stop, fact, of_stop};
use crate::yard::story::{Said, Story};

/// The spill report of a stop, with what the ledger tells of it; `None` without a ledger.
pub(crate) fn spill(stop: &Stop<'_>, sheet: &Sheet, story: Option<&Story>) -> Paper {
    let mut paper = of_stop(Kind::Spill, stop);
    paper.head.stamp = if stop.assessment.invented { "invented data" } else { "" }.to_owned();
    let fuel = &stop.stage.documents.turnaround.fuel;
    let mut facts = vec![
        fact("Place", stop.stage.here.name.clone()),
        fact("Aeroplane", stop.assessment.aircraft.clone()),
        fact("Grade", fuel.grade.value.clone()),
    ];
    let called = story.and_then(|story| story.called(v2::Stop::Spill));
    if let Some(called) = called {
        facts.push(fact("Stop called", format!("{} by {}", local(stop, called.at), called.by)));
    }
    let weather = stop.stage.documents.turnaround.weather.metar.as_ref();
    facts.extend(weather.map(|line| fact("Weather", line.value.clone())));
    paper.blocks.push(Block::Facts(facts));
    let spills = stop.assessment.ground.as_ref().map_or(&[][..], |view| &view.spills[..]);
    if spills.is_empty() {
        paper.blocks.push(Block::Text(
            "The documents tell of no spill: how much and where is to be filled in.".into(),
        ));
    }
    for one in spills {
        paper.blocks.extend(known(stop, one));
    }
    paper.blocks.extend(recorded(stop, story));
    let steps = story.is_some_and(|story| story.steps.iter().any(|it| it.stop == v2::Stop::Spill));
    if !steps {
        paper.blocks.extend(done(sheet));
    }
    paper.blocks.extend([Block::Heading("To be told".into()), Block::List(told(stop))]);
    paper.blocks.extend(blanks(&Known {
        when: called.is_some(),
        // The steps before the stop stand above, with their times.
        doing: called.is_some() && story.is_some_and(|story| !story.readings.is_empty()),
        width: !spills.is_empty() && spills.iter().all(|spill| spill.area.is_some()),
        much: !spills.is_empty(),
        weather: weather.is_some(),
    }));
    paper
}

fn local(stop: &Stop<'_>, at: Option<Timestamp>) -> String {
    let at = at.map(|at| stop.stage.here.offset.to_datetime(at));
    at.map_or_else(|| "unknown".into(), |at| at.strftime("%Y-%m-%d %H:%M").to_string())
}

/// What the ledger tells: fuel that went in, readings, stops and what was done, with who and when.
fn recorded(stop: &Stop<'_>, story: Option<&Story>) -> Vec<Block> {
    let Some(story) = story else {
        return vec![Block::Text(
            "No ledger was looked in: nothing of it is filled in here.".into(),
        )];
    };
    let table = |what: &str, rows: Vec<Row>| {
        let columns = ["When, local", what, "Recorded by"].map(Column::words).to_vec();
        Block::Table(Table { columns, rows })
    };
    let row =
        |said: &Said| Row::from_iter([local(stop, said.at), said.what.clone(), said.by.clone()]);
    let mut blocks = Vec::new();
    let mut part = |title: &str, what: &str, rows: Vec<Row>| {
        if !rows.is_empty() {
            blocks.extend([Block::Heading(title.into()), table(what, rows)]);
        }
    };
    let drawn = story.drawn.iter().map(|it| {
        let fuel = it.fuel.join(" and ");
        Row::from_iter([local(stop, it.at), format!("{}: {fuel}", it.what), it.by.clone()])
    });
    part("Fuel that went in, by the ledger", "Litres, from what, of what batch", drawn.collect());
    let readings = story.readings.iter().map(row);
    part("Read on the run sheet", "Task and reading", readings.collect());
    part("Stops called", "What", story.stops.iter().map(|it| row(&it.said)).collect());
    part(
        "What was done, by the records",
        "Step",
        story.steps.iter().map(|it| row(&it.said)).collect(),
    );
    if blocks.is_empty() {
        let none = "The ledger has nothing of this aeroplane within a day of it.";
        blocks.push(Block::Text(none.into()));
    }
    if story.beside > 0 {
        blocks.push(Block::Small(format!(
            "{} records of this place and time about other drums and aeroplanes are left out.",
            story.beside
        )));
    }
    blocks
}

fn known(stop: &Stop<'_>, spill: &SpillView) -> Vec<Block> {
    let units = stop.units;
    let litres = units.fuel(spill.volume, Round::Up);
    let area = spill.area.map_or("unknown: width not measured".into(), |area| {
        number(area.count(unit::M2), 1, Round::Up, unit::M2)
    });
    let room = match &spill.nothing_starts {
        Ok(room) => units.apron(*room, Round::Up),
        Err(why) => format!("unknown: {why}"),
    };
    let call = match spill.call {
        None => "no pack says from what size: call when it grows, runs away or frightens you",
        Some(true) => "CALL: it is larger than the pack's bound",
        Some(false) => "below the pack's bound: call all the same when it grows or runs away",
    };
    let mut facts = vec![
        fact("How much", litres.clone()),
        fact("Wet ground", area),
        fact("Nothing starts within", room),
        fact("Sorbent must take up", litres),
        fact("Fire service", call),
    ];
    facts.extend(spill.call_from.iter().map(|from| fact("Called from", from.clone())));
    vec![Block::Heading(format!("Spill: {}", spill.what)), Block::Facts(facts)]
}

/// The stop actions of a spill, to be ticked for the report.
fn done(sheet: &Sheet) -> Vec<Block> {
    let Some(plan) = sheet.plans.iter().find(|plan| plan.stop == StopAction::Spill) else {
        return Vec::new();
    };
    let ticks = (1..).zip(&plan.steps).map(|(number, step)| Tick {
        mark: number.to_string(),
        title: step.title.clone(),
        ..Tick::default()
    });
    vec![Block::Heading("What is done, in this order".into()), Block::Ticks(ticks.collect())]
}

fn told(stop: &Stop<'_>) -> Vec<String> {
    let facts = Facts::of(stop.stage, stop.choice);
    let reports = [
        ("A spill", facts.report_spill),
        ("A fire", facts.report_fire),
        ("An injury", facts.report_injury),
    ];
    let line = |(what, report): (&str, Figure<String>)| match report {
        Ok(report) => format!("{what}: {} ({})", report.value, report.citation),
        Err(why) => format!("{what}: unknown, {why}"),
    };
    reports.map(line).to_vec()
}

/// What is known, and so needs no line.
struct Known {
    /// When it was seen.
    when: bool,
    /// What was being done.
    doing: bool,
    /// How wide it is.
    width: bool,
    /// How much it is.
    much: bool,
    /// Wind and weather.
    weather: bool,
}

fn blanks(known: &Known) -> Vec<Block> {
    let part = |title: &str, lines: &[(bool, &str)]| {
        let lines = lines.iter().filter(|(known, _)| !known);
        let lines = lines.map(|(_, line)| (*line).to_owned()).collect();
        [Block::Heading(title.into()), Block::Blanks(lines)]
    };
    [
        part(
            "When and who",
            &[
                (known.when, "Date and time it was seen"),
                (false, "Seen by"),
                (false, "Report written by"),
            ],
        ),
        part(
            "What happened",
            &[
                (known.doing, "What was being done"),
                (false, "What leaked, and why as far as known"),
                (known.much, "How much, and how that is known"),
                (known.width, "Longest width of the wet ground"),
                (false, "What kind of ground"),
                (false, "Drains, water or soil it reached"),
                (known.weather, "Wind and weather"),
            ],
        ),
        part(
            "People and things",
            &[
                (false, "Anybody splashed, breathing vapour or hurt"),
                (false, "Fuel on or in the aeroplane"),
                (false, "Photos kept where"),
            ],
        ),
        part(
            "Afterwards",
            &[
                (false, "Who was told, when and how"),
                (false, "Sorbent and soil taken up, and where it is"),
                (false, "Ground dry and without smell at"),
                (false, "Who said that work goes on, when"),
                (false, "Name and signature"),
            ],
        ),
    ]
    .concat()
}
