//! The run sheet with boxes to tick.

use stillprop_papers::{Block, Paper, Tick};
use stillprop_turnaround::{
    assess::HAND_START_CAUTION,
    sheet::{Flag, Reads, Sheet, Task},
};

use super::{Kind, capital, paper};
use crate::report::sheet::{Head, cautions, person};

/// The run sheet, as it was made for the stop.
pub(crate) fn sheet(head: &Head, sheet: &Sheet) -> Paper {
    let people: Vec<String> = sheet.roles.iter().map(|(role, name)| person(*role, name)).collect();
    let lines = vec![
        format!("{} at {}, {}", head.aircraft, head.place, head.method),
        format!("Rules: {}", head.rules),
        people.join("; "),
    ];
    let stamp = if head.invented { "invented data" } else { "" };
    let mut paper = paper(&capital(Kind::Sheet.words()), &head.title, lines, stamp.into());
    let blocks = &mut paper.blocks;
    blocks.push(Block::Text(explained(sheet)));
    blocks.push(Block::List(cautions(head).into_iter().map(str::to_owned).collect()));
    if sheet.begins.has(Flag::Spill) {
        blocks.push(Block::Warning(
            "FUEL LIES ON THE GROUND: first the steps of FUEL IS SPILLED, at the end.".into(),
        ));
    }
    if !sheet.broken.is_empty() {
        let broken = sheet.broken.iter().map(|broken| format!("{}: {}", broken.id, broken.words));
        blocks.push(Block::Heading("Breaks by the documents: mend it first".into()));
        blocks.push(Block::List(broken.collect()));
    }
    if head.hand {
        blocks.push(Block::Warning(HAND_START_CAUTION.into()));
    }
    let mut number = 0;
    for (phase, tasks) in sheet.phases() {
        blocks.push(Block::Heading(capital(phase.title())));
        let ticks = tasks.into_iter().map(|task| {
            number += 1;
            tick(number, task)
        });
        blocks.push(Block::Ticks(ticks.collect()));
    }
    blocks.push(Block::Heading("After any break: each of these, before the work goes on".into()));
    let puts = (1..).zip(&sheet.puts);
    let step = |number: usize, title: &str| Tick {
        mark: number.to_string(),
        title: title.to_owned(),
        ..Tick::default()
    };
    blocks.push(Block::Ticks(puts.map(|(number, put)| step(number, put.title)).collect()));
    blocks.push(Block::Heading("Stop actions: at once, in this order".into()));
    for plan in &sheet.plans {
        blocks.push(Block::Heading(plan.stop.title().to_uppercase()));
        let steps = (1..)
            .zip(&plan.steps)
            .map(|(number, one)| Tick { notes: one.notes.clone(), ..step(number, &one.title) });
        blocks.push(Block::Ticks(steps.collect()));
        blocks.push(Block::Text(format!("Then: {}", plan.afterwards)));
    }
    paper
}

fn explained(sheet: &Sheet) -> String {
    let holds = sheet.tasks.iter().filter(|task| task.hold).count();
    format!(
        "{} tasks in this order, {holds} of them hold points (heavy box): not passed without their \
         reading. After a break: what the list before the stop actions asks for, then on. In doubt, \
         read the sheet from the top. When something goes wrong: the stop actions at the end, at once.",
        sheet.tasks.len()
    )
}

fn tick(number: usize, task: &Task) -> Tick {
    let notes = std::iter::once(task.why.clone()).filter(|why| !why.is_empty());
    let reads = task.reads != Reads::Nothing;
    Tick {
        mark: number.to_string(),
        title: task.title.clone(),
        who: task.who.word().into(),
        notes: notes.chain(task.notes.iter().map(|note| format!("– {note}"))).collect(),
        reading: reads.then(|| task.reads.help()),
        hold: (reads && task.hold).then(|| "HOLD".into()),
    }
}
