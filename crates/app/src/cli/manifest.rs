//! `manifest`: who and what is aboard, and who is told what; changes judged at once.

use clap::Args;
use stillprop_calc::{quantity::Mass, unit};
use stillprop_rules::document::Given;
use stillprop_turnaround::{
    assess::assess,
    manifest::{Change, Manifest},
};

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::{
        manifest::{self as page, Listed},
        system::UnitSystem,
    },
    world,
};

/// Options of `manifest`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// A turnaround document; `demo` means a built-in one
    file: String,
    /// Somebody does not come; may be given several times
    #[arg(long, value_name = "NAME")]
    stays: Vec<String>,
    /// An item is left behind; may be given several times
    #[arg(long, value_name = "ITEM")]
    without: Vec<String>,
    /// Somebody sits elsewhere: `NAME=SEAT`
    #[arg(long, value_name = "NAME=SEAT")]
    seat: Vec<String>,
    /// Somebody was weighed: `NAME=85kg`
    #[arg(long, value_name = "NAME=MASS")]
    weighs: Vec<String>,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let source = world::read(&options.file)?;
    let (pack, ledger) = (options.pack.as_deref(), options.ledger.as_deref());
    let changes = changes(options)?;
    let before = match changes.is_empty() {
        true => None,
        false => Some(load::turnaround(&source, pack, ledger)?),
    };
    let (stage, choice) = load::changed(&source, pack, ledger, &changes)?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let listed = Listed {
        manifest: &Manifest::of(&stage, &choice),
        assessment: &assessment,
        before: before.map(|(stage, choice)| assess(&stage, &choice, &units)),
        units: &units,
    };
    let code = u8::from(!assessment.ready());
    let answer = if options.json {
        Answer::json(page::json(&listed))
    } else {
        Answer::text(page::text(&listed))
    };
    Ok(answer.code(code))
}

fn changes(options: &Options) -> Result<Vec<Change>, Failure> {
    let mut changes = Vec::new();
    changes.extend(options.stays.iter().cloned().map(Change::PersonStays));
    changes.extend(options.without.iter().cloned().map(Change::ItemStays));
    for text in &options.seat {
        let (name, seat) = pair(text, "NAME=SEAT")?;
        changes.push(Change::Moves(name, seat));
    }
    for text in &options.weighs {
        let (name, mass) = pair(text, "NAME=85kg")?;
        let (amount, unit) = unit::read(&mass, unit::Kind::Mass)
            .map_err(|error| Failure::asked(error.to_string(), error.hint()))?;
        let value = <Mass as stillprop_calc::quantity::FromAmount>::from_si(amount.si);
        changes.push(Change::Weighs(name, Given { value, unit, at: 0..0 }));
    }
    Ok(changes)
}

fn pair(text: &str, form: &str) -> Result<(String, String), Failure> {
    let (name, value) = text.split_once('=').ok_or_else(|| {
        Failure::asked(format!("`{text}` names no change"), format!("write {form}"))
    })?;
    Ok((name.trim().to_owned(), value.trim().to_owned()))
}
