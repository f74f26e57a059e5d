//! Where the progress of run sheets is kept: in the ledger of this machine, or in a file.

mod file;

use std::path::{Path, PathBuf};

use jiff::Timestamp;
use stillprop_ledger::{
    event::v2,
    record::Record,
    runs::{self, Run},
    store::Store,
};
use uuid::Uuid;

use crate::{
    problem::Failure,
    world::Source,
    yard::{Ledger, Which},
};

/// Where the progress of run sheets is kept.
pub(crate) enum Journal {
    /// With the drums, in the ledger.
    Ledger {
        /// The ledger.
        ledger: Box<Ledger>,
        /// Its name.
        name: String,
    },
    /// In a file of its own.
    File(Box<file::Progress>),
}

impl Journal {
    /// As named: a file of progress, or a ledger. Else the usual ledger where it is there, and a
    /// file beside the document where it is not.
    pub(crate) fn open(
        ledger: Option<&str>,
        progress: Option<&str>,
        document: &Source,
    ) -> Result<Self, Failure> {
        if let Some(path) = progress {
            return Self::file(Path::new(path));
        }
        match (ledger, Which::of(ledger)) {
            (Some(_), which) => {
                let path = which?.file()?;
                Self::ledger(ledger, &path)
            }
            // What is invented never goes into a ledger that nobody named.
            (None, Ok(Which::File(path))) if path.exists() && !document.built_in => {
                Self::ledger(None, &path)
            }
            _ => Self::file(&beside(document)),
        }
    }

    fn ledger(named: Option<&str>, path: &Path) -> Result<Self, Failure> {
        let ledger = Box::new(Ledger::write(named)?);
        Ok(Self::Ledger { ledger, name: path.display().to_string() })
    }

    fn file(path: &Path) -> Result<Self, Failure> {
        Ok(Self::File(Box::new(file::Progress::open(path)?)))
    }

    /// Where it is, in words.
    pub(crate) fn place(&self) -> String {
        match self {
            Self::Ledger { name, .. } => format!("the ledger {name}"),
            Self::File(file) => format!("the file {}", file.path().display()),
        }
    }

    /// Records events of a sheet, all or none. What is returned is on the disk.
    pub(crate) fn note(
        &mut self,
        author: &str,
        at: Timestamp,
        events: Vec<v2::Event>,
    ) -> Result<Vec<Record>, Failure> {
        match self {
            Self::Ledger { ledger, .. } => ledger.note(author, at, events),
            Self::File(file) => file.note(author, at, events),
        }
    }

    fn store(&self) -> &dyn Store {
        match self {
            Self::Ledger { ledger, .. } => ledger.store_ref(),
            Self::File(file) => file.store(),
        }
    }

    /// One sheet, as it is now told.
    pub(crate) fn run(&self, sheet: Uuid) -> Result<Option<Run>, Failure> {
        Ok(runs::read(self.store(), sheet)?)
    }

    /// The sheets of an aircraft, the one opened last at the end.
    pub(crate) fn runs_of(&self, registration: &str) -> Result<Vec<Run>, Failure> {
        Ok(runs::of_aircraft(self.store(), registration)?)
    }
}

/// The file beside a document; in this folder for one that is built in.
fn beside(document: &Source) -> PathBuf {
    let path = Path::new(&document.name);
    let stem = path.file_stem().map_or("turnaround".into(), |stem| stem.to_string_lossy());
    let name = format!("{stem}.progress.jsonl");
    if document.built_in { PathBuf::from(name) } else { path.with_file_name(name) }
}
