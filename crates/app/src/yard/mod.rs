//! The ledger of this machine, and the yard folded from it, as the program uses them.

pub(crate) mod convert;
pub(crate) mod history;
pub(crate) mod judge;
pub(crate) mod picture;
pub(crate) mod receipt;
pub(crate) mod record;
pub(crate) mod story;
pub(crate) mod trace;
pub(crate) mod typed;
pub(crate) mod words;

use std::{
    collections::BTreeSet,
    fs, io,
    path::{Path, PathBuf},
};

use jiff::{SignedDuration, Timestamp};
use stillprop_ledger::{
    event::Body,
    record::{DeviceId, Draft, Record, RecordId},
    store::{Access, Memory, Sqlite, Store, StoreError},
    transfer,
    yard::{Container, Sought, Yard},
};
use stillprop_rules::document::did_you_mean;
use uuid::Uuid;

use crate::{problem::Failure, world};

/// The name that means the built-in demonstration yard.
pub(crate) const DEMO: &str = "demo";

/// How far ahead of this machine's clock a record may be: two clocks may differ.
const AHEAD: SignedDuration = SignedDuration::from_mins(10);

/// Opens for reading while others may write; a disk that cannot be written to is read as it is.
pub(crate) fn open(path: &Path) -> Result<Sqlite, StoreError> {
    match Sqlite::open(path, Access::Write) {
        Err(StoreError::ReadOnly) => Sqlite::open(path, Access::Read),
        opened => opened,
    }
}

/// An open ledger.
pub(crate) struct Ledger {
    store: Box<dyn Store + Send>,
    /// Where it lies; `None` for the demonstration.
    path: Option<PathBuf>,
    /// The yard as it stands.
    pub(crate) yard: Yard,
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        let help = match &error {
            StoreError::Missing(_)
            | StoreError::Exists(_)
            | StoreError::NotALedger(_)
            | StoreError::Newer(_) => "name another file",
            StoreError::Damaged(_) => "stillprop yard verify looks at every record",
            StoreError::Refused { .. } => "mend what it says and record it again",
            StoreError::ReadOnly | StoreError::Full | StoreError::Busy | StoreError::System(_) => {
                "nothing that was recorded before is lost"
            }
        };
        Self::asked(error.to_string(), help)
    }
}

impl From<transfer::TransferError> for Failure {
    fn from(error: transfer::TransferError) -> Self {
        Self::asked(error.to_string(), "bring the same file in again once it is mended")
    }
}

/// Which ledger is meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Which {
    /// The built-in demonstration.
    Demo,
    /// A file.
    File(PathBuf),
}

impl Which {
    /// As named, else from the environment, else in the data folder.
    pub(crate) fn of(named: Option<&str>) -> Result<Self, Failure> {
        match named.map(str::to_owned).or_else(world::ledger_named) {
            Some(name) if name == DEMO => Ok(Self::Demo),
            Some(name) => Ok(Self::File(PathBuf::from(name))),
            None => world::ledger_path().map(Self::File).ok_or_else(|| {
                Failure::asked("it is not said where the ledger lies", "add --ledger FILE")
            }),
        }
    }

    /// True when there is something to read.
    pub(crate) fn exists(&self) -> bool {
        match self {
            Self::Demo => true,
            Self::File(path) => path.exists(),
        }
    }

    /// The file, which must be there.
    fn there(self) -> Result<PathBuf, Failure> {
        let path = self.file()?;
        if path.exists() {
            return Ok(path);
        }
        let message = format!("there is no ledger at {}", path.display());
        let help = "record something first (stillprop yard receive ...), or look at \
            the demonstration with --ledger demo";
        Err(Failure::asked(message, help))
    }

    /// The file; the demonstration has none.
    pub(crate) fn file(self) -> Result<PathBuf, Failure> {
        match self {
            Self::File(path) => Ok(path),
            Self::Demo => {
                let help = "name a file: --ledger my.ledger; stillprop yard import demo brings \
                    the demonstration into it";
                Err(Failure::asked("the demonstration is built in and not a file", help))
            }
        }
    }
}

impl Ledger {
    /// Opens the ledger for reading: the built-in demonstration, or a file.
    pub(crate) fn read(named: Option<&str>) -> Result<Self, Failure> {
        let which = Which::of(named)?;
        if which == Which::Demo {
            return demo();
        }
        let path = which.there()?;
        Self::of(Box::new(open(&path)?), Some(path))
    }

    /// Opens a ledger that is there for recording.
    pub(crate) fn go_on(named: Option<&str>) -> Result<Self, Failure> {
        let path = Which::of(named)?.there()?;
        Self::of(Box::new(Sqlite::open(&path, Access::Write)?), Some(path))
    }

    /// Opens the ledger for recording; a new one is made where there is none.
    pub(crate) fn write(named: Option<&str>) -> Result<Self, Failure> {
        let path = Which::of(named)?.file()?;
        let store = if path.exists() {
            Sqlite::open(&path, Access::Write)?
        } else {
            if let Some(folder) = path.parent() {
                fs::create_dir_all(folder).map_err(|error| {
                    Failure::asked(error.to_string(), "name another place with --ledger FILE")
                })?;
            }
            Sqlite::create(&path)?
        };
        Self::of(Box::new(store), Some(path))
    }

    fn of(store: Box<dyn Store + Send>, path: Option<PathBuf>) -> Result<Self, Failure> {
        let yard = Yard::open(store.as_ref())?;
        Ok(Self { store, path, yard })
    }

    /// Records events in one durable transaction and folds them in.
    ///
    /// A time before the device's last record would silently become that record's time and
    /// make a sample look fresher than it is, and one in the future would drag every later
    /// record along. Both are refused.
    pub(crate) fn record(
        &mut self,
        author: &str,
        at: Timestamp,
        events: Vec<impl Into<Body>>,
    ) -> Result<Vec<Record>, Failure> {
        self.keep(at, drafts(author, at, events))
    }

    fn keep(&mut self, at: Timestamp, drafts: Vec<Draft>) -> Result<Vec<Record>, Failure> {
        let path = self.path.clone().unwrap_or_default();
        let device = device(&path)?;
        let last = self.store.last_time(device)?.and_then(convert::instant);
        if let Some(last) = last.filter(|last| at < *last) {
            let message = format!("{at} lies before the last record of this device, {last}");
            let help = "record in the order things happened; without --at it is now";
            return Err(Failure::asked(message, help));
        }
        if at > world::now().saturating_add(AHEAD).unwrap_or(at) {
            let message = format!("{at} lies in the future");
            return Err(Failure::asked(message, "correct --at, or the clock of this machine"));
        }
        let records = self.store.append(device, drafts)?;
        self.yard = std::mem::take(&mut self.yard).refresh(self.store.as_ref())?;
        Ok(records)
    }

    /// Records one event, whose record takes an id that is given. A record of that id is this
    /// statement sent again, and nothing is recorded.
    pub(crate) fn record_once(
        &mut self,
        author: &str,
        at: Timestamp,
        event: impl Into<Body>,
        id: Option<Uuid>,
    ) -> Result<(), Failure> {
        if let Some(id) = id
            && self.store.get(RecordId(id))?.is_some()
        {
            return Ok(());
        }
        let mut drafts = drafts(author, at, vec![event]);
        if let (Some(draft), Some(id)) = (drafts.first_mut(), id) {
            draft.id = RecordId(id);
        }
        self.keep(at, drafts).map(drop)
    }

    /// Records events of a run sheet in one durable transaction. Where the clock of this
    /// machine has gone back, they take the time of the last record: work at an aeroplane does
    /// not wait for a clock.
    pub(crate) fn note(&mut self, drafts: Vec<Draft>) -> Result<Vec<Record>, Failure> {
        let device = device(&self.path.clone().unwrap_or_default())?;
        Ok(self.store.append(device, drafts)?)
    }

    /// Folds in what others have recorded since.
    pub(crate) fn refresh(&mut self) -> Result<(), Failure> {
        self.yard = std::mem::take(&mut self.yard).refresh(self.store.as_ref())?;
        Ok(())
    }

    /// Keeps a snapshot, so that the next opening is quick. Failing to is no loss.
    pub(crate) fn keep_snapshot(&mut self) {
        let _ = self.yard.keep(self.store.as_mut());
    }

    /// The store behind it, for reading.
    pub(crate) fn store_ref(&self) -> &dyn Store {
        self.store.as_ref()
    }

    /// The store behind it.
    pub(crate) fn store(&mut self) -> &mut dyn Store {
        self.store.as_mut()
    }
}

/// Fails when a place is named and nothing is there: a misspelt yard must not look like one that
/// is in order.
pub(crate) fn something_at(ledger: &Ledger, place: Option<&str>) -> Result<(), Failure> {
    let Some(place) = place.filter(|place| ledger.yard.at(place).next().is_none()) else {
        return Ok(());
    };
    let known = ledger.yard.containers().filter_map(|container| container.place.as_deref());
    let known: Vec<&str> = known.collect::<BTreeSet<_>>().into_iter().collect();
    Err(Failure::asked(format!("nothing is at `{place}`"), did_you_mean(place, &known)))
}

/// The one container that is meant by a label, an id or the text of a code.
pub(crate) fn find<'a>(ledger: &'a Ledger, sought: &str) -> Result<&'a Container, Failure> {
    let by_code = stillprop_draw::code::read_code(sought).ok().map(|id| id.to_string());
    let sought = by_code.as_deref().unwrap_or(sought);
    match ledger.yard.find(sought) {
        Sought::One(container) => Ok(container),
        Sought::Nothing => Err(Failure::missing(
            format!("there is no container `{sought}`"),
            "stillprop yard list names them all",
        )),
        Sought::Several(found) => {
            let one = |container: &&Container| {
                let place = container.place.as_deref().unwrap_or("nowhere");
                format!("{} at {place}", container.id)
            };
            let ids: Vec<String> = found.iter().map(one).collect();
            Err(Failure::asked(
                format!("`{sought}` may be any of {}", found.len()),
                format!("use the id: {}", ids.join("; ")),
            ))
        }
    }
}

/// Events as drafts, each with an id of its own.
pub(crate) fn drafts(author: &str, at: Timestamp, events: Vec<impl Into<Body>>) -> Vec<Draft> {
    let draft =
        |event: Body| Draft { id: RecordId(world::new_id()), at, author: author.to_owned(), event };
    events.into_iter().map(|event| draft(event.into())).collect()
}

/// The demonstration yard, in memory.
fn demo() -> Result<Ledger, Failure> {
    let mut store = Memory::new();
    transfer::import(&mut store, &mut world::DEMO_YARD.as_bytes())?;
    Ledger::of(Box::new(store), None)
}

/// The device that writes here. It is kept beside the ledger and not in it, so that a copy of
/// the ledger on another machine writes a log of its own.
fn device(ledger: &Path) -> Result<DeviceId, Failure> {
    let path = device_file(ledger);
    if let Some(id) = fs::read_to_string(&path).ok().and_then(|text| text.trim().parse().ok()) {
        return Ok(DeviceId(id));
    }
    let id: Uuid = world::new_id();
    fs::write(&path, format!("{id}\n")).map_err(|error| {
        let message = format!("{} cannot be written: {error}", path.display());
        Failure::asked(message, "name another place with --ledger FILE")
    })?;
    Ok(DeviceId(id))
}

/// Lets whoever records next in this ledger be a new device. After a restore the old one must
/// not go on: what it recorded since the backup may be known elsewhere.
pub(crate) fn forget_device(ledger: &Path) -> Result<(), Failure> {
    let path = device_file(ledger);
    match fs::remove_file(&path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            let message = format!("{} cannot be removed: {error}", path.display());
            Err(Failure::asked(message, "remove it before anything is recorded"))
        }
        _ => Ok(()),
    }
}

fn device_file(ledger: &Path) -> PathBuf {
    let mut name = ledger.as_os_str().to_owned();
    name.push(".device");
    PathBuf::from(name)
}
