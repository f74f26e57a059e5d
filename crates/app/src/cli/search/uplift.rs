//! `uplift`: what to take at each stop of a day.

use clap::Args;

use super::interrupt::Interrupt;
use crate::{
    cli::Answer,
    day::{self, Outcome},
    problem::Failure,
    report::{answer::value, search::uplift as page, system::UnitSystem},
    world,
};

/// Options of `uplift`.
#[derive(Args, Debug)]
pub(in crate::cli) struct Options {
    /// A day document; `demo/seed-round` means a built-in one
    file: String,
    /// Rules to use instead of the documents'
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Every drum that is not offered, with why
    #[arg(long)]
    all: bool,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(in crate::cli) json: bool,
}

pub(in crate::cli) fn run(options: &Options) -> Result<Answer, Failure> {
    let source = world::read(&options.file)?;
    let interrupt = Interrupt::watch();
    let found = day::reckon(
        &source,
        options.pack.as_deref(),
        options.ledger.as_deref(),
        options.units,
        &mut || interrupt.came(),
    )?;
    let answer = if options.json {
        Answer::json(value(&page::answer(&found)))
    } else {
        Answer::text(page::page(&found, options.all))
    };
    Ok(answer.code(u8::from(!matches!(found.outcome, Outcome::Take(_)))))
}
