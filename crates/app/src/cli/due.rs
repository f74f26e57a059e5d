//! `due`: what must be in date, by day, and a calendar of it.

use clap::Args;
use stillprop_turnaround::assess::assess;

use super::Answer;
use crate::{
    load,
    problem::Failure,
    report::{
        due::{self as page, Dated},
        system::UnitSystem,
    },
    world,
};

/// Options of `due`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// A turnaround document; `demo` means a built-in one
    file: String,
    /// Write a calendar (iCalendar) of the days into this file; `-` for standard output
    #[arg(long, value_name = "FILE.ics", conflicts_with = "json")]
    calendar: Option<String>,
    /// Days before the last day on which the calendar reminds
    #[arg(long, value_name = "DAYS", default_value_t = 14)]
    remind: u16,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let (stage, choice) = load::turnaround(&world::read(&options.file)?, None, None)?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let dated = Dated::of(&stage, &choice, &assessment);
    if let Some(file) = &options.calendar {
        let calendar = page::calendar(&[&dated], options.remind);
        if file == "-" {
            return Ok(Answer::text(calendar));
        }
        world::write(file, &calendar)?;
    }
    let code = u8::from(!dated.all_hold());
    Ok(match options.json {
        true => Answer::json(page::json(&dated, &units)),
        false => Answer::text(page::text(&dated, options.calendar.as_deref())),
    }
    .code(code))
}
