//! Progress of run sheets in a file, where there is no ledger: the same records, one a line,
//! as an export whose end is still missing. So a ledger can take it in later.
//!
//! Each line is on the disk before it is acknowledged. A line cut off by a flat battery was
//! never acknowledged, and is taken off when the file is opened again; anything else that does
//! not fit is damage, and the file is left as it is.

use std::{
    fs::{File, OpenOptions, TryLockError},
    io::{Read as _, Seek as _, SeekFrom, Write as _},
    path::{Path, PathBuf},
};

use stillprop_ledger::{
    record::{DeviceId, Draft, Record},
    store::{Memory, Store},
    transfer::{self, Reason, TransferError},
};

use crate::{problem::Failure, world};

/// A file of progress, open for more.
pub(crate) struct Progress {
    path: PathBuf,
    file: File,
    /// What is in the file.
    store: Memory,
    /// The device that writes here: this file and no other.
    device: DeviceId,
    /// How much of the file is whole lines. \[bytes\]
    whole: u64,
}

impl Progress {
    /// Opens a file, or makes it. Another program that has it open keeps it.
    pub(crate) fn open(path: &Path) -> Result<Self, Failure> {
        let name = path.display().to_string();
        let stuck = |error: std::io::Error| {
            Failure::file(&name, error.to_string(), "name another place with --progress FILE")
        };
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        let mut file = options.open(path).map_err(stuck)?;
        // Where a disk knows no locks, the hashes still tell of a second writer.
        if matches!(file.try_lock(), Err(TryLockError::WouldBlock)) {
            let help = "go on there, or end it first";
            return Err(Failure::file(&name, "another program has this sheet open", help));
        }
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map_err(stuck)?;
        let (store, whole) = read(&name, &bytes)?;
        let device = store.heads()?.into_keys().next().unwrap_or(DeviceId(world::new_id()));
        let path = path.to_owned();
        Ok(Self { path, file, store, device, whole: whole as u64 })
    }

    /// What is in it.
    pub(crate) fn store(&self) -> &dyn Store {
        &self.store
    }

    /// Where it lies.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Records events. What is returned is on the disk.
    pub(crate) fn note(&mut self, drafts: Vec<Draft>) -> Result<Vec<Record>, Failure> {
        let mut lines = Vec::new();
        if self.whole == 0 {
            transfer::begin(&mut lines)?;
        }
        let records = self.store.append(self.device, drafts)?;
        for record in &records {
            transfer::write_record(&mut lines, record.as_ref())?;
        }
        let path = self.path.display().to_string();
        self.write(&lines).map_err(|error| {
            let help = "nothing of this step was recorded; make room, or name another place with \
                --progress FILE";
            Failure::file(&path, error.to_string(), help)
        })?;
        Ok(records)
    }

    fn write(&mut self, lines: &[u8]) -> std::io::Result<()> {
        let new = self.whole == 0;
        self.file.set_len(self.whole)?;
        self.file.seek(SeekFrom::Start(self.whole))?;
        self.file.write_all(lines)?;
        self.file.sync_all()?;
        if new && let Some(folder) = self.path.parent() {
            // The name of a new file is on the disk only with its folder. Not every system can.
            let folder = if folder == Path::new("") { Path::new(".") } else { folder };
            let _ = File::open(folder).and_then(|folder| folder.sync_all());
        }
        self.whole += lines.len() as u64;
        Ok(())
    }
}

/// The records of a file, and how much of it they fill.
pub(super) fn read(name: &str, bytes: &[u8]) -> Result<(Memory, usize), Failure> {
    let mut store = Memory::new();
    let whole = bytes.iter().rposition(|byte| *byte == b'\n').map_or(0, |end| end + 1);
    let lines = bytes.get(..whole).unwrap_or_default();
    if lines.is_empty() {
        // Nothing was ever acknowledged here; what is not ours all the same stays.
        let mut first = Vec::new();
        transfer::begin(&mut first)?;
        return if first.starts_with(bytes) {
            Ok((store, 0))
        } else {
            Err(Failure::file(name, "this is no progress of a run sheet", "name another file"))
        };
    }
    match transfer::import(&mut store, &mut &*lines) {
        Err(TransferError::Line(_, Reason::Ends)) => Ok((store, whole)),
        Ok(_) => {
            let message = "this is a whole export, and no progress of a run sheet";
            Err(Failure::file(name, message, "name another file"))
        }
        Err(error) => {
            let help = "keep the file as it is, and go on with another: --progress FILE";
            Err(Failure::file(name, error.to_string(), help))
        }
    }
}

#[cfg(test)]
mod tests {
    use stillprop_ledger::event::v2;

    use super::*;
    use crate::yard::drafts;

    fn records(bytes: &[u8]) -> Option<(usize, usize)> {
        let (store, whole) = read("p", bytes).ok()?;
        let mut count = 0;
        let mut take = |_: stillprop_ledger::record::RecordRef<'_>| {
            count += 1;
            std::ops::ControlFlow::Continue(())
        };
        store.read_all(&mut take).unwrap();
        Some((count, whole))
    }

    fn three() -> Vec<u8> {
        let sheet = uuid::Uuid::from_u128(7);
        let event = |note: &str| {
            v2::Event::Interrupted(v2::Interrupted { sheet, note: Some(note.to_owned()) })
        };
        let mut store = Memory::new();
        let events = ["a", "b", "c"].map(event).to_vec();
        let drafts = drafts("A", jiff::Timestamp::UNIX_EPOCH, events);
        let mut bytes = Vec::new();
        transfer::begin(&mut bytes).unwrap();
        for record in store.append(DeviceId(sheet), drafts).unwrap() {
            transfer::write_record(&mut bytes, record.as_ref()).unwrap();
        }
        bytes
    }

    #[test]
    fn cut_off_anywhere_the_whole_lines_before_it_are_read() {
        let bytes = three();
        let ends: Vec<usize> =
            (0..bytes.len()).filter(|at| bytes[*at] == b'\n').map(|at| at + 1).collect();
        for cut in 0..=bytes.len() {
            let lines = ends.iter().filter(|end| **end <= cut).count();
            let whole = lines.checked_sub(1).map_or(0, |last| ends[last]);
            assert_eq!(records(&bytes[..cut]), Some((lines.saturating_sub(1), whole)), "{cut}");
        }
    }

    #[test]
    fn what_is_damaged_or_something_else_is_refused() {
        let bytes = three();
        for at in (0..bytes.len()).step_by(3) {
            let mut other = bytes.clone();
            other[at] ^= 2;
            assert_eq!(records(&other), None, "{at}");
        }
        for other in
            ["x", "x\n", "[pack]\n", "{\"ledger\":{\"format\":1}}\n{\"end\":{\"records\":0}}\n"]
        {
            assert_eq!(records(other.as_bytes()), None, "{other}");
        }
    }
}
