//! The apron plan.

use stillprop_calc::{quantity::FromAmount, unit, walk::Walk};
use stillprop_papers::{Block, Cell, Column, Paper, Row, Table};
use stillprop_turnaround::{
    assess::ground::{ClearanceView, GroundView},
    limits::{Family, Verdict},
    units::Round,
};

use super::{Kind, Stop, fact, limits, of_stop, verdict};
use crate::pictures::Kind as Picture;

/// Where it stands, to scale, with every distance and the way on foot; then the strip.
pub(crate) fn apron(stop: &Stop<'_>) -> Paper {
    let mut paper = of_stop(Kind::Apron, stop);
    match &stop.assessment.ground {
        Ok(view) => paper.blocks.extend(ground(stop, view)),
        Err(why) => paper.blocks.push(Block::Text(format!("The ground: unknown, {why}"))),
    }
    // On a page of its own, as large as it goes.
    paper.blocks.push(stop.picture(Picture::Apron));
    paper.blocks.extend([Block::Heading("The strip".into()), stop.picture(Picture::Profile)]);
    paper.blocks.extend(limits(stop, &[Family::Site, Family::Static, Family::Start]));
    let cautions = stop.assessment.cautions.iter().map(|caution| (*caution).to_owned());
    paper.blocks.extend([Block::Heading("Cautions".into()), Block::List(cautions.collect())]);
    paper
}

fn ground(stop: &Stop<'_>, view: &GroundView) -> Vec<Block> {
    let units = stop.units;
    let heading = view.heading.count(unit::DEG).round().rem_euclid(360.0);
    let mut facts = vec![
        fact("East of the mark", units.apron(view.at.east(), Round::Near)),
        fact("North of the mark", units.apron(view.at.north(), Round::Near)),
        fact("Nose points", format!("{heading:03.0} deg true")),
    ];
    for (door, way) in &view.walks {
        let words = match way {
            Err(why) => format!("unknown, {why}"),
            Ok(way) => match &way.walk {
                Walk::Path { length, .. } => {
                    format!("{} from the gate", units.apron(*length, Round::Up))
                }
                Walk::Blocked { .. } => {
                    let by: Vec<&str> = way.closed_by().collect();
                    format!("NO SAFE PATH, closed by {}", by.join(", "))
                }
            },
        };
        facts.push(fact(&format!("On foot to {door}"), words));
    }
    let rows = view.clearances.iter().map(|clearance| row(stop, clearance)).collect();
    let columns = vec![
        Column::words("Verdict"),
        Column::words("From"),
        Column::words("To"),
        Column::number("There is"),
        Column::number("Must be"),
        Column::words("Who says so"),
    ];
    vec![
        Block::Facts(facts),
        Block::Heading("Distances, tightest first".into()),
        Block::Table(Table { columns, rows }),
    ]
}

fn row(stop: &Stop<'_>, clearance: &ClearanceView) -> Row {
    let units = stop.units;
    let unknown = || "unknown".to_owned();
    let (has, needs) = match (clearance.measured, clearance.bound) {
        (Some(has), Some(needs)) => units.apron_pair(has, needs),
        (has, needs) => (
            has.map_or_else(unknown, |has| units.apron(has, Round::Down)),
            needs.map_or_else(unknown, |needs| units.apron(needs, Round::Up)),
        ),
    };
    let strong = clearance.verdict != Verdict::Holds;
    let judged = Cell { words: verdict(clearance.verdict).into(), strong };
    let words = [clearance.from.clone(), clearance.to.clone(), has, needs, clearance.rule.clone()];
    let cells = std::iter::once(judged).chain(words.map(Cell::from)).collect();
    Row { cells, sum: false }
}
