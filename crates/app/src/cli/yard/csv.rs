//! A list of drums as comma-separated text, as a supplier or a spreadsheet gives it.

use jiff::civil::Date;
use stillprop_calc::unit::{self, Kind};
use stillprop_ledger::event::{
    Day, Event,
    v1::{ContainerKind, Received},
};

use crate::{
    problem::Failure,
    world::{self, Source},
    yard::convert::millilitres,
};

/// The columns, in any order; the last two may be left out.
const COLUMNS: [&str; 9] =
    ["label", "place", "grade", "batch", "supplier", "filled", "contents", "capacity", "seals"];
const OPTIONAL: [&str; 2] = ["capacity", "seals"];

/// Reads drums, one a line under a line of column names. All or none are taken.
pub(super) fn read(source: &Source) -> Result<Vec<Event>, Failure> {
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(source.text.as_bytes());
    let wrong = |line: u64, message: String, help: &str| {
        Failure::file(&source.name, format!("line {line}: {message}"), help)
    };
    let head =
        reader.headers().map_err(|error| wrong(1, error.to_string(), "see the columns"))?.clone();
    let listed = COLUMNS.join(", ");
    if let Some(name) = head.iter().find(|name| !COLUMNS.contains(name)) {
        return Err(wrong(1, format!("`{name}` is not a column"), &format!("columns: {listed}")));
    }
    let place = |name: &str| head.iter().position(|column| column == name);
    let needed = COLUMNS.iter().filter(|name| !OPTIONAL.contains(name));
    if let Some(name) = needed.clone().find(|name| place(name).is_none()) {
        return Err(wrong(
            1,
            format!("the column `{name}` is missing"),
            &format!("columns: {listed}"),
        ));
    }
    let mut events = Vec::new();
    for (number, row) in reader.records().enumerate() {
        let line = number as u64 + 2;
        let row =
            row.map_err(|error| wrong(line, error.to_string(), "give every line all columns"))?;
        let cell = |name: &str| place(name).and_then(|at| row.get(at)).unwrap_or("");
        let event = received(&cell).map_err(|(message, help)| wrong(line, message, &help))?;
        events.push(Event::Received(event));
    }
    Ok(events)
}

/// One line, or what is wrong with it and a way out.
fn received<'a>(cell: &impl Fn(&str) -> &'a str) -> Result<Received, (String, String)> {
    let text = |name: &str| match cell(name) {
        "" => Err((format!("`{name}` is empty"), "fill it in".to_owned())),
        text => Ok(text.to_owned()),
    };
    let volume = |name: &str, otherwise: &str| {
        let text = if cell(name).is_empty() { otherwise } else { cell(name) };
        let (amount, _) = unit::read(text, Kind::Volume)
            .map_err(|error| (format!("{name}: {error}"), error.hint()))?;
        Ok::<i64, (String, String)>(millilitres(stillprop_calc::quantity::FromAmount::from_si(
            amount.si,
        )))
    };
    let filled: Date = cell("filled").parse().map_err(|_| {
        (format!("`{}` is not a day", cell("filled")), "write 2026-03-14".to_owned())
    })?;
    Ok(Received {
        container: world::new_id(),
        kind: ContainerKind::Drum,
        label: text("label")?,
        place: text("place")?,
        grade: text("grade")?,
        batch: text("batch")?,
        supplier: text("supplier")?,
        filled: Day(filled),
        contents_ml: volume("contents", "")?,
        temperature_mdegc: None,
        capacity_ml: volume("capacity", "216.5 L")?,
        seals: cell("seals").split_whitespace().map(str::to_owned).collect(),
        maker_number: None,
    })
}
