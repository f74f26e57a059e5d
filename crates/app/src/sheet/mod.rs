//! Run sheets as the program works through them: made, begun, gone through, and kept in the
//! ledger of this machine or in a file.

pub(crate) mod begin;
pub(crate) mod enter;
mod file;
pub(crate) mod work;

use std::{
    ops::ControlFlow,
    path::{Path, PathBuf},
};

use jiff::Timestamp;
use stillprop_ledger::{
    event::v2,
    record::{Record, RecordId, Subject},
    runs::{self, Run},
    store::{Memory, Store},
};
use uuid::Uuid;

use crate::{
    problem::Failure,
    world::{self, Source},
    yard::{Ledger, Which, drafts},
};

/// Who states something, and when.
#[derive(Clone, Debug)]
pub(crate) struct Stated {
    /// Who.
    pub(crate) author: String,
    /// When; now where it is not said.
    pub(crate) at: Option<Timestamp>,
}

impl Stated {
    /// When it is stated.
    pub(crate) fn now(&self) -> Timestamp {
        self.at.unwrap_or_else(world::now)
    }
}

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
                Self::ledger_at(ledger, &path)
            }
            // What is invented never goes into a ledger that nobody named.
            (None, Ok(Which::File(path))) if path.exists() && !document.built_in => {
                Self::ledger_at(None, &path)
            }
            _ => Self::file(&beside(document)),
        }
    }

    /// In a ledger, which is made where there is none.
    pub(crate) fn in_ledger(name: &str) -> Result<Self, Failure> {
        Self::ledger_at(Some(name), Path::new(name))
    }

    /// The ledger it is, if it is one.
    pub(crate) fn ledger(&mut self) -> Option<&mut Ledger> {
        match self {
            Self::Ledger { ledger, .. } => Some(ledger),
            Self::File(_) => None,
        }
    }

    /// How many records there are; grows with each.
    pub(crate) fn count(&self) -> Result<u64, Failure> {
        Ok(self.store().heads()?.values().map(|head| head.seq + 1).sum())
    }

    /// How many records speak of a sheet; grows with each.
    pub(crate) fn count_of(&self, sheet: Uuid) -> Result<u64, Failure> {
        let mut count = 0;
        self.store().read_subject(&Subject::sheet(sheet), &mut |_| {
            count += 1;
            ControlFlow::Continue(())
        })?;
        Ok(count)
    }

    fn ledger_at(named: Option<&str>, path: &Path) -> Result<Self, Failure> {
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

    /// Records events of a sheet, all or none; the first takes the id that is given. What is
    /// returned is on the disk.
    pub(crate) fn note(
        &mut self,
        stated: &Stated,
        id: Option<Uuid>,
        events: Vec<v2::Event>,
    ) -> Result<Vec<Record>, Failure> {
        let mut drafts = drafts(&stated.author, stated.now(), events);
        if let (Some(first), Some(id)) = (drafts.first_mut(), id) {
            first.id = RecordId(id);
        }
        match self {
            Self::Ledger { ledger, .. } => ledger.note(drafts),
            Self::File(file) => file.note(drafts),
        }
    }

    /// True when there is a record of this id.
    pub(crate) fn has(&self, id: Uuid) -> Result<bool, Failure> {
        Ok(self.store().get(RecordId(id))?.is_some())
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

/// What is in a file of progress, for reading only.
pub(crate) fn progress(source: &Source) -> Result<Memory, Failure> {
    Ok(file::read(&source.name, source.text.as_bytes())?.0)
}

/// The file beside a document; in this folder for one that is built in.
fn beside(document: &Source) -> PathBuf {
    let path = Path::new(&document.name);
    let stem = path.file_stem().map_or("turnaround".into(), |stem| stem.to_string_lossy());
    let name = format!("{stem}.progress.jsonl");
    if document.built_in { PathBuf::from(name) } else { path.with_file_name(name) }
}
