//! The spill report: what the documents and packs know is filled in, the rest is lines to write on.

use stillprop_calc::{quantity::FromAmount, unit};
use stillprop_papers::{Block, Paper, Tick};
use stillprop_turnaround::{
    assess::ground::SpillView,
    sheet::{Facts, Sheet, Stop as StopAction},
    stage::Figure,
    units::{Round, text as number},
};

use super::{Kind, Stop, fact, of_stop};

/// The spill report of a stop.
pub(crate) fn spill(stop: &Stop<'_>, sheet: &Sheet) -> Paper {
    let mut paper = of_stop(Kind::Spill, stop);
    paper.head.stamp = if stop.assessment.invented { "invented data" } else { "" }.to_owned();
    let fuel = &stop.stage.documents.turnaround.fuel;
    paper.blocks.push(Block::Facts(vec![
        fact("Place", stop.stage.here.name.clone()),
        fact("Aeroplane", stop.assessment.aircraft.clone()),
        fact("Grade", fuel.grade.value.clone()),
    ]));
    let spills = stop.assessment.ground.as_ref().map_or(&[][..], |view| &view.spills[..]);
    if spills.is_empty() {
        paper.blocks.push(Block::Text("The documents tell of no spill: fill in all of it.".into()));
    }
    for one in spills {
        paper.blocks.extend(known(stop, one));
    }
    paper.blocks.extend(done(sheet));
    paper.blocks.extend([Block::Heading("To be told".into()), Block::List(told(stop))]);
    paper.blocks.extend(blanks());
    paper
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
    vec![Block::Heading("What was done, in this order".into()), Block::Ticks(ticks.collect())]
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

fn blanks() -> Vec<Block> {
    let part = |title: &str, lines: &[&str]| {
        let lines = lines.iter().map(|line| (*line).to_owned()).collect();
        [Block::Heading(title.into()), Block::Blanks(lines)]
    };
    [
        part("When and who", &["Date and time it was seen", "Seen by", "Report written by"]),
        part(
            "What happened",
            &[
                "What was being done",
                "What leaked, and why as far as known",
                "How much, and how that is known",
                "Longest width of the wet ground, and what kind of ground",
                "Drains, water or soil it reached",
                "Wind and weather",
            ],
        ),
        part(
            "People and things",
            &[
                "Anybody splashed, breathing vapour or hurt",
                "Fuel on or in the aeroplane",
                "Photos kept where",
            ],
        ),
        part(
            "Afterwards",
            &[
                "Who was told, when and how",
                "Sorbent and soil taken up, and where it is",
                "Ground dry and without smell at",
                "Who said that work goes on, when",
                "Name and signature",
            ],
        ),
    ]
    .concat()
}
