//! The verbs that search: what to change, who sits where, when to leave, how likely it holds, where
//! to park, how much fuel to take at each stop of a day.

pub(super) mod fit;
mod interrupt;
pub(super) mod odds;
pub(super) mod park;
pub(super) mod uplift;
pub(super) mod ways_out;
pub(super) mod window;

use clap::Args;
use stillprop_turnaround::{
    stage::{Choice, Stage},
    units::Units,
};

use crate::{
    load,
    problem::Failure,
    report::system::UnitSystem,
    world::{self, Source},
};

/// What every search is asked with.
#[derive(Args, Debug)]
pub(crate) struct Asked {
    /// A turnaround document; `demo/last-light` means a built-in one
    file: String,
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

/// A turnaround to search over.
struct Subject {
    source: Source,
    stage: Stage,
    choice: Choice,
    units: Units,
}

impl Asked {
    fn subject(&self) -> Result<Subject, Failure> {
        let source = world::read(&self.file)?;
        let (stage, choice) =
            load::turnaround(&source, self.pack.as_deref(), self.ledger.as_deref())?;
        let units = self.units.choose(&stage.document_units);
        Ok(Subject { source, stage, choice, units })
    }
}
