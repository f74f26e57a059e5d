//! What all requests share: the folder of documents, the ledger, and what was worked out from
//! them and still holds.

use std::{
    collections::{HashMap, HashSet},
    path::PathBuf,
    sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError},
};

use stillprop_turnaround::{
    assess::{Assessment, assess},
    document::read_turnaround,
    sheet::{Checked, Trouble},
    stage::{Choice, Stage},
    units::Units,
};
use uuid::Uuid;

use super::{
    folder::{Folder, Stamp},
    search::{found::Searched, turns::Turns},
};
use crate::{
    edit::stop::{Group, groups},
    load,
    pages::pictures::{Pictures, drawn},
    pictures::Drawn,
    problem::Failure,
    sheet::Journal,
    world::Source,
    yard::{Ledger, convert},
};

/// What all requests share.
pub(crate) struct Shop {
    /// The documents.
    pub(crate) folder: Folder,
    /// Where the ledger lies or will lie.
    pub(crate) ledger: PathBuf,
    /// Who records when nobody says.
    pub(crate) by: Option<String>,
    /// Everything here is the demonstration.
    pub(crate) demo: bool,
    journal: Mutex<Option<Journal>>,
    worked: Mutex<HashMap<String, (Stamps, Arc<Worked>)>>,
    /// So many searches run at once.
    pub(crate) turns: Arc<Turns>,
    /// Sheets that somebody has taken up since the program started.
    taken_up: Mutex<HashSet<Uuid>>,
}

/// What a turnaround was worked out from.
#[derive(Clone, Debug, PartialEq)]
struct Stamps {
    files: Vec<(PathBuf, Option<Stamp>)>,
    /// Changes with every record; `None` where no drum is drawn from.
    records: Option<u64>,
}

/// A turnaround, worked out.
pub(crate) struct Worked {
    /// Its document.
    pub(crate) source: Source,
    /// What is fixed.
    pub(crate) stage: Stage,
    /// What is chosen.
    pub(crate) choice: Choice,
    /// The units of its documents.
    pub(crate) units: Units,
    /// The answer.
    pub(crate) assessment: Assessment,
    pictures: OnceLock<Pictures>,
    fields: OnceLock<Vec<Group>>,
    /// Every order of its run sheet, tried when somebody first asks.
    pub(crate) checked: OnceLock<Result<Checked, Trouble>>,
    /// What was searched for in it.
    pub(crate) searched: Searched,
}

impl Worked {
    /// Its pictures, drawn when somebody first looks.
    pub(crate) fn pictures(&self) -> &Pictures {
        let Self { stage, choice, assessment, units, .. } = self;
        self.pictures.get_or_init(|| drawn(&Drawn { stage, choice, assessment, units }))
    }

    /// What may be changed in it, read when somebody first looks.
    pub(crate) fn fields(&self) -> &[Group] {
        self.fields.get_or_init(|| groups(&self.source.text))
    }
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // A request that failed half way leaves nothing by half here: all of it can be made again.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Shop {
    pub(crate) fn of(folder: Folder, ledger: PathBuf, by: Option<String>, demo: bool) -> Self {
        Self {
            folder,
            ledger,
            by,
            demo,
            journal: Mutex::new(None),
            worked: Mutex::new(HashMap::new()),
            turns: Arc::default(),
            taken_up: Mutex::new(HashSet::new()),
        }
    }

    /// Does something with the journal, which is opened the first time. `None` where nothing
    /// was ever recorded.
    pub(crate) fn journal<T>(
        &self,
        read: impl FnOnce(&mut Journal) -> Result<T, Failure>,
    ) -> Result<Option<T>, Failure> {
        let mut journal = lock(&self.journal);
        if journal.is_none() && self.ledger.exists() {
            *journal = Some(self.open()?);
        }
        journal.as_mut().map(read).transpose()
    }

    /// The same for recording: a ledger is made where there is none.
    pub(crate) fn recording<T>(
        &self,
        record: impl FnOnce(&mut Journal) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        let mut journal = lock(&self.journal);
        if journal.is_none() {
            *journal = Some(self.open()?);
        }
        match journal.as_mut() {
            Some(journal) => record(journal),
            None => Err(Failure::asked("the ledger cannot be opened", "look at its place")),
        }
    }

    fn open(&self) -> Result<Journal, Failure> {
        let name = self.ledger.to_string_lossy().into_owned();
        Journal::in_ledger(&name)
    }

    /// Does something with the yard as it stands, with what other programs recorded since.
    pub(crate) fn yard<T>(
        &self,
        read: impl FnOnce(&mut Ledger) -> Result<T, Failure>,
    ) -> Result<Option<T>, Failure> {
        let found = self.journal(|journal| match journal.ledger() {
            Some(ledger) => {
                ledger.refresh()?;
                read(ledger).map(Some)
            }
            None => Ok(None),
        })?;
        Ok(found.flatten())
    }

    /// The same for recording.
    pub(crate) fn yard_recording<T>(
        &self,
        record: impl FnOnce(&mut Ledger) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        self.recording(|journal| match journal.ledger() {
            Some(ledger) => {
                ledger.refresh()?;
                record(ledger)
            }
            None => Err(Failure::asked("the ledger cannot be opened", "look at its place")),
        })
    }

    /// A turnaround of the folder, worked out. What was worked out before is given again while
    /// its documents and the drums it draws from are the same.
    pub(crate) fn worked(&self, name: &str) -> Result<Arc<Worked>, Failure> {
        let known = lock(&self.worked).get(name).cloned();
        if let Some((stamps, worked)) = known
            && self.stamps(&stamps)? == stamps
        {
            return Ok(worked);
        }
        let source = self.folder.read(name)?;
        let stamps = self.named(&source)?;
        let worked = Arc::new(self.work(source)?);
        lock(&self.worked).insert(name.to_owned(), (stamps, Arc::clone(&worked)));
        Ok(worked)
    }

    /// Works a document out, saved or not.
    pub(crate) fn work(&self, source: Source) -> Result<Worked, Failure> {
        let (stage, choice) = load::with_drums(&source, None, |turnaround| {
            if !load::draws(turnaround) {
                return Ok(None);
            }
            self.yard(|ledger| Ok(convert::containers(&ledger.yard, None)))
        })?;
        let units = stage.document_units;
        let assessment = assess(&stage, &choice, &units);
        Ok(Worked {
            source,
            stage,
            choice,
            units,
            assessment,
            pictures: OnceLock::new(),
            fields: OnceLock::new(),
            checked: OnceLock::new(),
            searched: Searched::default(),
        })
    }

    /// The stamps of the files that a turnaround names, and of the ledger if it needs one.
    fn named(&self, source: &Source) -> Result<Stamps, Failure> {
        let turnaround = load::in_source(source, read_turnaround(&source.text))?;
        let here = PathBuf::from(&source.name);
        let beside = |name: &String| {
            here.parent().map_or_else(|| PathBuf::from(name), |folder| folder.join(name))
        };
        let legs = turnaround.legs.iter().filter_map(|leg| leg.strip.as_ref());
        let named = [&turnaround.aircraft, &turnaround.strip].into_iter().chain(legs);
        let mut files: Vec<PathBuf> = named.map(|at| beside(&at.value)).collect();
        let packs = turnaround.pack.value.split(['+', '(', ')', ',']).map(str::trim);
        files.extend(
            packs.filter(|pack| pack.ends_with(".toml")).map(|pack| self.folder.root().join(pack)),
        );
        files.push(here);
        let files = files.into_iter().map(|path| (path, None)).collect();
        let records = load::draws(&turnaround).then_some(0);
        self.stamps(&Stamps { files, records })
    }

    fn stamps(&self, of: &Stamps) -> Result<Stamps, Failure> {
        let stamp = |(path, _): &(PathBuf, _)| (path.clone(), Folder::stamp(path));
        let records = match of.records {
            Some(_) => Some(self.journal(|journal| journal.count())?.unwrap_or(0)),
            None => None,
        };
        Ok(Stamps { files: of.files.iter().map(stamp).collect(), records })
    }

    /// Whether somebody has taken this sheet up since the program started.
    pub(crate) fn is_taken_up(&self, sheet: Uuid) -> bool {
        lock(&self.taken_up).contains(&sheet)
    }

    /// Somebody has taken it up; or, with `false`, everybody is to see the recap again.
    pub(crate) fn take_up(&self, sheet: Uuid, up: bool) {
        let mut taken = lock(&self.taken_up);
        if up {
            taken.insert(sheet);
        } else {
            taken.remove(&sheet);
        }
    }
}
