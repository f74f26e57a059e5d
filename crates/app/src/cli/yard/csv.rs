//! A list of drums as comma-separated text, as a supplier or a spreadsheet gives it.

use csv::StringRecord;
use jiff::{Timestamp, civil::Date};
use stillprop_calc::quantity::Volume;
use stillprop_ledger::{
    event::{
        Day, Event,
        v1::{ContainerKind, Received},
    },
    yard::Yard,
};

use crate::{
    problem::Failure,
    world::{self, Source},
    yard::{convert::millilitres, receipt, typed},
};

/// The columns, in any order; the last two may be left out.
const COLUMNS: [&str; 9] =
    ["label", "place", "grade", "batch", "supplier", "filled", "contents", "capacity", "seals"];
const OPTIONAL: [&str; 2] = ["capacity", "seals"];

/// A drum and the line it stands on.
pub(super) struct Line {
    number: u64,
    drum: Received,
}

/// What is wrong, and a way out.
type Wrong = (String, String);

/// Reads drums, one a line under a line of column names.
pub(super) fn read(source: &Source, at: Timestamp) -> Result<Vec<Line>, Failure> {
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(source.text.as_bytes());
    let head = reader.headers().map_err(|error| {
        failure(source, 1, (error.to_string(), format!("columns: {}", COLUMNS.join(", "))))
    })?;
    let head = head.clone();
    columns(&head).map_err(|wrong| failure(source, 1, wrong))?;
    let mut lines = Vec::new();
    for row in reader.records() {
        let row = row.map_err(|error| {
            let number = error.position().map_or(0, |at| line(&source.text, at));
            failure(source, number, (error.to_string(), "give every line all columns".into()))
        })?;
        let number = row.position().map_or(0, |at| line(&source.text, at));
        let drum = received(&head, &row, at).map_err(|wrong| failure(source, number, wrong))?;
        lines.push(Line { number, drum });
    }
    Ok(lines)
}

/// The drums as events, unless one of them is there already or comes twice.
pub(super) fn events(
    source: &Source,
    lines: Vec<Line>,
    yard: &Yard,
) -> Result<Vec<Event>, Failure> {
    for (index, Line { number, drum }) in lines.iter().enumerate() {
        let there = format!("`{}` is at {} already", drum.label, drum.place);
        if let Some(twin) = receipt::twin(drum, yard) {
            let help = format!("leave the line out, or choose another label; it is {}", twin.id);
            return Err(failure(source, *number, (there, help)));
        }
        let same = |line: &&Line| {
            line.drum.place == drum.place && receipt::same_label(&line.drum.label, &drum.label)
        };
        if let Some(first) = lines.iter().take(index).find(same) {
            let help = format!("it stands on line {} too", first.number);
            return Err(failure(source, *number, (there, help)));
        }
    }
    Ok(lines.into_iter().map(|line| Event::Received(line.drum)).collect())
}

fn failure(source: &Source, line: u64, (message, help): Wrong) -> Failure {
    Failure::file(&source.name, format!("line {line}: {message}"), help)
}

/// The line of a row. Its position lies before the empty lines, or the rest of a line end, that
/// come before it.
fn line(text: &str, at: &csv::Position) -> u64 {
    let before = text.bytes().skip(usize::try_from(at.byte()).unwrap_or(usize::MAX));
    let ends = before.take_while(|byte| matches!(byte, b'\r' | b'\n'));
    at.line() + ends.filter(|byte| *byte == b'\n').count() as u64
}

/// Every column is one of ours and there once, and none is missing that is needed.
fn columns(head: &StringRecord) -> Result<(), Wrong> {
    let wrong = |message: String| Err((message, format!("columns: {}", COLUMNS.join(", "))));
    for (index, name) in head.iter().enumerate() {
        if !COLUMNS.contains(&name) {
            return wrong(format!("`{name}` is not a column"));
        }
        if head.iter().take(index).any(|before| before == name) {
            return wrong(format!("the column `{name}` is there twice"));
        }
    }
    let missing = |name: &&&str| !OPTIONAL.contains(name) && !head.iter().any(|it| it == **name);
    match COLUMNS.iter().find(missing) {
        Some(name) => wrong(format!("the column `{name}` is missing")),
        None => Ok(()),
    }
}

/// One line, or what is wrong with it.
fn received(head: &StringRecord, row: &StringRecord, at: Timestamp) -> Result<Received, Wrong> {
    let cell = |name: &str| {
        let column = head.iter().position(|column| column == name);
        column.and_then(|column| row.get(column)).unwrap_or("")
    };
    let name = |column: &str| {
        typed::name(cell(column)).map_err(|why| (format!("{column}: {why}"), "fill it in".into()))
    };
    let volume = |column: &str, text: &str| -> Result<Volume, Wrong> {
        let example = "write number and unit: 200 L";
        typed::volume(text).map_err(|why| (format!("{column}: {why}"), example.into()))
    };
    let filled: Date = cell("filled").parse().map_err(|_| {
        let message = format!("filled: `{}` is not a day", cell("filled"));
        (message, "write 2026-03-14".to_owned())
    })?;
    let capacity = Some(cell("capacity")).filter(|text| !text.is_empty());
    let drum = Received {
        container: world::new_id(),
        kind: ContainerKind::Drum,
        label: name("label")?,
        place: name("place")?,
        grade: name("grade")?,
        batch: name("batch")?,
        supplier: name("supplier")?,
        filled: Day(filled),
        contents_ml: millilitres(volume("contents", cell("contents"))?),
        temperature_mdegc: None,
        capacity_ml: millilitres(volume("capacity", capacity.unwrap_or("216.5 L"))?),
        seals: cell("seals").split_whitespace().map(str::to_owned).collect(),
        maker_number: None,
    };
    match receipt::fault(&drum, at) {
        Some((message, help)) => Err((message, help.into())),
        None => Ok(drum),
    }
}
