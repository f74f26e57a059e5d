//! Papers of the yard: tags, rack labels, the fuel register of a month.

use std::collections::BTreeMap;

use jiff::{
    Timestamp,
    civil::{Date, date},
    tz::Offset,
};
use stillprop_draw::tag::{self, TagSize};
use stillprop_ledger::yard::{Cause, Container, Yard};
use stillprop_papers::{Block, Cell, Column, Paper, Pieces, Row, Table};

use super::{Kind, capital, paper};
use crate::{
    problem::Failure,
    yard::{Ledger, convert, judge::Judge, picture, something_at, trace},
};

/// Tags for all drums of a place, four on a page; or the large tag of one drum.
pub(crate) fn tags(ledger: &Ledger, judge: &Judge, of: &str) -> Result<Paper, Failure> {
    let place = ledger.yard.at(of).next().is_some();
    let (size, containers): (_, Vec<&Container>) = if place {
        (TagSize::A7, there(ledger, of))
    } else {
        (TagSize::A6, vec![crate::yard::find(ledger, of)?])
    };
    let mut pieces = Vec::new();
    for container in containers {
        let Some(facts) = convert::container(&ledger.yard, container) else { continue };
        let data = picture::tag(container, &facts, &judge.figures(&facts.grade));
        pieces.push(tag::drum_tag(&data, size).map_err(code_failure)?);
    }
    Ok(cut(Kind::Tags, of, judge, Pieces { size: small(size.millimetres()), pieces }))
}

/// Labels for the racks of a place.
pub(crate) fn labels(ledger: &Ledger, judge: &Judge, place: &str) -> Result<Paper, Failure> {
    something_at(ledger, Some(place))?;
    let mut pieces = Vec::new();
    for container in there(ledger, place) {
        let Some(facts) = convert::container(&ledger.yard, container) else { continue };
        let data = picture::label(container, &facts, &judge.figures(&facts.grade));
        pieces.push(tag::one_label(&data).map_err(code_failure)?);
    }
    Ok(cut(Kind::Labels, place, judge, Pieces { size: small(tag::LABEL_MM), pieces }))
}

/// The containers of a place in the order of their racks.
fn there<'a>(ledger: &'a Ledger, place: &str) -> Vec<&'a Container> {
    let facts = convert::containers(&ledger.yard, Some(place));
    let of = facts.iter().filter_map(|facts| ledger.yard.container(facts.id.parse().ok()?));
    of.collect()
}

#[expect(clippy::cast_possible_truncation, reason = "millimetres of a sheet")]
const fn small((width, height): (f64, f64)) -> (f32, f32) {
    (width as f32, height as f32)
}

fn code_failure(error: stillprop_draw::code::CodeError) -> Failure {
    Failure::asked(error.to_string(), "report this: an id always fits a code")
}

fn cut(kind: Kind, of: &str, judge: &Judge, pieces: Pieces) -> Paper {
    let lines = vec![format!(
        "{} to cut out. Print at 100 %, not fitted to the page. Use-by days by the rules {}.",
        pieces.pieces.len(),
        judge.rules_name()
    )];
    let mut paper = paper(&capital(kind.words()), of, lines, String::new());
    paper.blocks.push(Block::Pieces(pieces));
    paper
}

/// Something that changed what a container holds.
struct Movement<'a> {
    at_ms: i64,
    nth: u32,
    container: &'a Container,
    what: String,
    by: &'a str,
    change_ml: i64,
}

/// A month as written: `2026-05`.
pub(crate) fn month(text: &str) -> Option<Date> {
    let (year, month) = text.split_once('-')?;
    (month.len() == 2).then_some(())?;
    Date::new(year.parse().ok()?, month.parse().ok()?, 1).ok()
}

/// What came into the drums, tanks and bowsers of a place (or all) in a month, what went, what
/// was left. Days are those of a clock with this offset.
pub(crate) fn register(
    ledger: &Ledger,
    written: &str,
    place: Option<&str>,
    offset: Offset,
) -> Result<Paper, Failure> {
    let first = month(written)
        .ok_or_else(|| Failure::asked(format!("`{written}` is no month"), "write it as 2026-05"))?;
    something_at(ledger, place)?;
    let next = match first.month() {
        12 => date(first.year().saturating_add(1), 1, 1),
        month => date(first.year(), month + 1, 1),
    };
    let (from, to) = (start(first, offset)?, start(next, offset)?);
    let subject = match place {
        Some(place) => format!("{written}, {place}"),
        None => format!("{written}, all places"),
    };
    let lines = vec![
        format!("Containers by where they stand now. Days of a clock at UTC{offset}."),
        "From the records as corrected. Fuel moved between these containers stands on both sides."
            .to_owned(),
    ];
    let mut paper = paper(&capital(Kind::Register.words()), &subject, lines, String::new());
    let yard = &ledger.yard;
    let containers: Vec<&Container> = yard
        .containers()
        .filter(|it| place.is_none_or(|place| it.place.as_deref() == Some(place)))
        .collect();
    let mut grades: BTreeMap<&str, Vec<&Container>> = BTreeMap::new();
    for container in containers {
        grades.entry(container.grade().unwrap_or("grade unknown")).or_default().push(container);
    }
    for (grade, containers) in grades {
        paper.blocks.push(Block::Heading(grade.to_owned()));
        paper.blocks.push(Block::Table(movements(yard, &containers, (from, to), offset)));
        paper
            .blocks
            .push(Block::Heading(format!("{grade}: what each held at the end of the month")));
        paper.blocks.push(Block::Table(held(yard, &containers, to)));
    }
    let blanks = ["Counted by, and differences found", "Name and signature", "Date"];
    paper.blocks.push(Block::Blanks(blanks.map(str::to_owned).to_vec()));
    Ok(paper)
}

fn start(day: Date, offset: Offset) -> Result<i64, Failure> {
    let instant = offset.to_timestamp(day.at(0, 0, 0, 0));
    let instant =
        instant.map_err(|error| Failure::asked(error.to_string(), "name another month"))?;
    Ok(instant.as_millisecond())
}

/// Everything that changed what a container holds, in the order of the fold.
fn of_container<'a>(yard: &'a Yard, container: &'a Container) -> Vec<Movement<'a>> {
    let movement = |stamp: &stillprop_ledger::yard::Stamp, what: String, change_ml| Movement {
        at_ms: stamp.at_ms,
        nth: stamp.nth,
        container,
        what,
        by: yard.text(stamp.by),
        change_ml,
    };
    let mut all: Vec<Movement<'a>> = Vec::new();
    for fill in &container.fills {
        let what = format!("received, batch {}", yard.text(fill.batch));
        all.push(movement(&fill.stamp, what, fill.volume_ml));
    }
    for inflow in &container.inflows {
        let from = yard.container(inflow.from).map_or("another container".into(), trace::label);
        all.push(movement(&inflow.stamp, format!("out of {from}"), inflow.volume_ml));
    }
    for draw in &container.draws {
        all.push(movement(&draw.stamp, trace::into(yard, draw), draw.volume_ml.saturating_neg()));
    }
    for row in &container.differences {
        let what = match row.cause {
            Cause::Counted => "counted: the book follows",
            Cause::Emptied => "empty: the rest is written off",
        };
        all.push(movement(&row.stamp, what.into(), row.change_ml()));
    }
    all.sort_by_key(|movement| (movement.at_ms, movement.nth));
    all
}

fn litres(ml: i64) -> String {
    picture::litres(convert::volume(ml))
}

fn movements(
    yard: &Yard,
    containers: &[&Container],
    (from, to): (i64, i64),
    offset: Offset,
) -> Table {
    let mut all: Vec<Movement<'_>> =
        containers.iter().flat_map(|container| of_container(yard, container)).collect();
    all.sort_by_key(|movement| (movement.at_ms, movement.container.id, movement.nth));
    let before = all.iter().filter(|movement| movement.at_ms < from);
    let mut stock: i64 = before.map(|movement| movement.change_ml).sum();
    let (mut came, mut went) = (0_i64, 0_i64);
    let sum = |words: &str, came: String, went: String, stock: i64| Row {
        cells: ["", "", words, &came, &went, "", &litres(stock)].map(Cell::from).to_vec(),
        sum: true,
    };
    let mut rows = vec![sum("at the start", String::new(), String::new(), stock)];
    for movement in all.iter().filter(|movement| (from..to).contains(&movement.at_ms)) {
        stock = stock.saturating_add(movement.change_ml);
        let (mut plus, mut minus) = (String::new(), String::new());
        if movement.change_ml < 0 {
            went = went.saturating_sub(movement.change_ml);
            minus = litres(movement.change_ml.saturating_neg());
        } else {
            came = came.saturating_add(movement.change_ml);
            plus = litres(movement.change_ml);
        }
        let at = Timestamp::from_millisecond(movement.at_ms).ok();
        let at = at.map(|at| offset.to_datetime(at).strftime("%d %H:%M").to_string());
        rows.push(Row::from_iter([
            at.unwrap_or_default(),
            movement.container.label().unwrap_or("unknown").to_owned(),
            movement.what.clone(),
            plus,
            minus,
            movement.by.to_owned(),
            litres(stock),
        ]));
    }
    rows.push(sum("in the month, and at its end", litres(came), litres(went), stock));
    let columns = vec![
        Column::words("Day, time"),
        Column::words("Container"),
        Column::words("What"),
        Column::number("In"),
        Column::number("Out"),
        Column::words("By"),
        Column::number("Stock"),
    ];
    Table { columns, rows }
}

fn held(yard: &Yard, containers: &[&Container], to: i64) -> Table {
    let mut rows: Vec<[String; 5]> = containers
        .iter()
        .map(|container| {
            let all = of_container(yard, container);
            let left: i64 = all.iter().filter(|one| one.at_ms < to).map(|one| one.change_ml).sum();
            let received = container.received.as_ref().map(|said| &said.what);
            let or_unknown = |words: Option<String>| words.unwrap_or_else(|| "unknown".into());
            [
                container.label().unwrap_or("unknown").to_owned(),
                container.place.clone().unwrap_or_else(|| "nowhere".into()),
                or_unknown(received.map(|it| it.batch.clone())),
                or_unknown(received.map(|it| it.filled.0.to_string())),
                litres(left),
            ]
        })
        .collect();
    rows.sort();
    let columns = vec![
        Column::words("Container"),
        Column::words("Where now"),
        Column::words("Batch"),
        Column::words("Filled"),
        Column::number("Held"),
        Column::blank("Counted", 60.0),
    ];
    Table { columns, rows: rows.into_iter().map(Row::from_iter).collect() }
}

/// What the movements of a container add up to; what it holds by the book.
#[cfg(test)]
fn sums(yard: &Yard, container: &Container) -> (i64, i64) {
    let all = of_container(yard, container);
    (all.iter().map(|movement| movement.change_ml).sum(), container.contents_ml)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_movements_of_every_container_add_up_to_what_it_holds() {
        let ledger = Ledger::read(Some("demo")).unwrap();
        let mut tried = 0;
        for container in ledger.yard.containers() {
            let (sum, book) = sums(&ledger.yard, container);
            assert_eq!(sum, book, "{:?}", container.label());
            tried += 1;
        }
        assert!(tried >= 10, "{tried} containers are too few to say anything");
    }

    #[test]
    fn a_month_is_read_as_a_person_writes_it() {
        assert_eq!(month("2026-05"), Some(date(2026, 5, 1)));
        for wrong in ["2026", "2026-5", "2026-13", "May", "2026-05-01"] {
            assert_eq!(month(wrong), None, "{wrong}");
        }
    }
}
