//! `fit`: who sits where, what lies where, how much fuel in which tank.

use clap::Args;
use stillprop_turnaround::assess::{Assessment, assess};

use super::interrupt::Interrupt;
use crate::{
    cli::Answer,
    load,
    problem::Failure,
    report::{answer::value, search::fit as page, system::UnitSystem},
    search::fit::{self, Fuel, PIECES, STEPS, Wishes},
    world,
};

/// Options of `fit`.
#[derive(Args, Debug)]
pub(in crate::cli) struct Options {
    /// A turnaround document; `demo/mid-burn` means a built-in one
    file: String,
    /// What may be done with the fuel; without fuel to be taken it stays
    #[arg(long, value_enum)]
    fuel: Option<Fuel>,
    /// Fuel is taken in whole steps of this; else the step of the document, else 5 L
    #[arg(long, value_name = "VOLUME")]
    step: Option<String>,
    /// Everyone keeps their seat
    #[arg(long)]
    seats_stay: bool,
    /// A person or an item that stays in place
    #[arg(long, value_name = "NAME")]
    keep: Vec<String>,
    /// Two people who sit in one row: "Ansa Verrel, Lio Marrenk"
    #[arg(long, value_name = "NAME, NAME")]
    together: Vec<String>,
    /// A person who does not sit next to an exit
    #[arg(long, value_name = "NAME")]
    not_at_exit: Vec<String>,
    /// An item that must be reached in flight
    #[arg(long, value_name = "ITEM")]
    reach: Vec<String>,
    /// An item that must not be reached in flight
    #[arg(long, value_name = "ITEM")]
    out_of_reach: Vec<String>,
    /// Mass of one piece of ballast that could be taken
    #[arg(long, value_name = "MASS")]
    ballast: Option<String>,
    /// How many pieces of ballast there are
    #[arg(long, default_value_t = PIECES, requires = "ballast", value_parser = clap::value_parser!(u8).range(1..=9))]
    pieces: u8,
    /// Steps after which the best so far must do
    #[arg(long, value_name = "COUNT", default_value_t = STEPS)]
    steps: u64,
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
    pub(in crate::cli) json: bool,
}

impl Options {
    fn wishes(&self) -> Wishes {
        Wishes {
            fuel: self.fuel,
            step: self.step.clone(),
            seats_stay: self.seats_stay,
            keep: self.keep.clone(),
            together: self.together.clone(),
            not_at_exit: self.not_at_exit.clone(),
            reach: self.reach.clone(),
            out_of_reach: self.out_of_reach.clone(),
            ballast: self.ballast.clone(),
            pieces: Some(self.pieces),
        }
    }
}

pub(in crate::cli) fn run(options: &Options) -> Result<Answer, Failure> {
    let (stage, choice) = load::turnaround(
        &world::read(&options.file)?,
        options.pack.as_deref(),
        options.ledger.as_deref(),
    )?;
    let interrupt = Interrupt::watch();
    let mut stop = || interrupt.came();
    let fitted = fit::run(&stage, &choice, &options.wishes(), options.steps, &mut stop)?;
    let units = options.units.choose(&stage.document_units);
    let before = assess(&fitted.stage, &choice, &units);
    let after = fitted.after.as_ref().map(|after| assess(&fitted.stage, after, &units));
    let answer = if options.json {
        Answer::json(value(&page::answer(&fitted, &before, after.as_ref(), &units)))
    } else {
        Answer::text(page::page(&fitted, &before, after.as_ref(), &units))
    };
    // A limit that no arrangement moves may still break: then nothing is ready.
    let ready = after.as_ref().is_some_and(Assessment::ready);
    Ok(answer.code(u8::from(!ready)))
}
