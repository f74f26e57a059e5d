//! Records as JSON lines, out and in.
//!
//! The first line says what it is, the last how many records there are; between them is one
//! record a line, each device's in its order, records beside the log at the end. Bodies stand
//! in it byte for byte.
//!
//! ```text
//! {"ledger":{"format":1}}
//! {"id":"...","device":"...","seq":0,"at_ms":0,"author":"...","subject":"...","previous":"...","hash":"...","body":{...}}
//! {"end":{"records":1}}
//! ```

use std::{
    error::Error,
    fmt,
    io::{self, BufRead, Read, Write},
    ops::ControlFlow,
};

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use uuid::Uuid;

use crate::{
    record::{BODY_MAX, DeviceId, NAME_MAX, Order, Record, RecordId, RecordRef, Subject},
    store::{Inserted, Store, StoreError},
};

const FORMAT: u32 = 1;
/// Records brought in at a time.
const BATCH: usize = 4096;
/// The longest line: every letter of the names may be written as six. \[bytes\]
const LINE_MAX: usize = BODY_MAX + 12 * NAME_MAX + 1024;

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
enum Edge {
    Ledger { format: u32 },
    End { records: u64 },
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct Line<'a> {
    id: Uuid,
    device: Uuid,
    seq: u64,
    at_ms: i64,
    author: String,
    subject: String,
    previous: String,
    hash: String,
    #[serde(borrow)]
    body: &'a RawValue,
}

/// Why an export or import ended early.
#[derive(Debug)]
pub enum TransferError {
    /// A line, from 1, is wrong. The lines of batches before it may be in; bringing the
    /// mended file in again is harmless.
    Line(u64, Reason),
    /// The store said no.
    Store(StoreError),
    /// The file could not be read or written.
    File(io::Error),
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// The text is no export of this program.
    NotAnExport,
    /// It is of a newer format.
    Newer(u32),
    /// It is no record, in the reader's words.
    NotARecord(String),
    /// It is longer than a record can be.
    TooLong,
    /// The store did not take the record.
    Refused(StoreError),
    /// The file ends before its last line.
    Ends,
    /// The last line counts other records than there are.
    Count(u64),
    /// Something follows the last line.
    AfterEnd,
}

/// Writes the first line of an export.
///
/// # Errors
///
/// [`TransferError`] when the text cannot be written.
pub fn begin(to: &mut dyn Write) -> Result<(), TransferError> {
    write_line(to, &Edge::Ledger { format: FORMAT })
}

/// Writes the last line of an export of so many records.
///
/// # Errors
///
/// [`TransferError`] when the text cannot be written.
pub fn end(to: &mut dyn Write, records: u64) -> Result<(), TransferError> {
    write_line(to, &Edge::End { records })
}

/// Writes all records, and returns how many.
///
/// # Errors
///
/// [`TransferError`] when the store cannot be read or the text not be written.
pub fn export(store: &dyn Store, to: &mut dyn Write) -> Result<u64, TransferError> {
    begin(to)?;
    let mut records = 0;
    let mut failed = None;
    store.read_all(&mut |record| match write_record(to, record) {
        Ok(()) => {
            records += 1;
            ControlFlow::Continue(())
        }
        Err(error) => {
            failed = Some(error);
            ControlFlow::Break(())
        }
    })?;
    if let Some(error) = failed {
        return Err(error);
    }
    for fork in store.forks()? {
        write_record(to, fork.as_ref())?;
        records += 1;
    }
    end(to, records)?;
    to.flush()?;
    Ok(records)
}

/// Writes the line of one record.
///
/// # Errors
///
/// [`TransferError`] when the text cannot be written, or the record is no record.
pub fn write_record(to: &mut dyn Write, record: RecordRef<'_>) -> Result<(), TransferError> {
    let Order { at_ms, device, seq } = record.order;
    let line = Line {
        id: record.id.0,
        device: device.0,
        seq,
        at_ms,
        author: record.author.to_owned(),
        subject: record.subject.to_owned(),
        previous: record.previous.to_string(),
        hash: record.hash.to_string(),
        body: serde_json::from_str(record.body).map_err(|error| {
            StoreError::Damaged(format!("the event of record {}: {error}", record.id))
        })?,
    };
    write_line(to, &line)
}

fn write_line(to: &mut dyn Write, line: &impl Serialize) -> Result<(), TransferError> {
    serde_json::to_writer(&mut *to, line).map_err(io::Error::from)?;
    Ok(to.write_all(b"\n")?)
}

/// Brings all records in. Those that are here already are counted and left alone, so the same
/// file may be brought in any number of times.
///
/// # Errors
///
/// [`TransferError`] names the line.
pub fn import(store: &mut dyn Store, from: &mut dyn BufRead) -> Result<Inserted, TransferError> {
    let mut lines = Lines { from, number: 0, text: Vec::new() };
    match lines.next()?.map(serde_json::from_slice) {
        Some(Ok(Edge::Ledger { format: FORMAT })) => {}
        Some(Ok(Edge::Ledger { format })) => return Err(lines.wrong(Reason::Newer(format))),
        _ => return Err(lines.wrong(Reason::NotAnExport)),
    }
    let mut total = Inserted::default();
    let mut batch = Vec::new();
    let mut records = 0;
    loop {
        let Some(text) = lines.next()? else {
            lines.number += 1;
            take(store, &mut batch, lines.number, &mut total)?;
            return Err(lines.wrong(Reason::Ends));
        };
        if let Ok(Edge::End { records: counted }) = serde_json::from_slice(text) {
            take(store, &mut batch, lines.number, &mut total)?;
            if counted != records {
                return Err(lines.wrong(Reason::Count(counted)));
            }
            return match lines.next()? {
                None => Ok(total),
                Some(_) => Err(lines.wrong(Reason::AfterEnd)),
            };
        }
        match read_record(text) {
            Ok(record) => batch.push(record),
            Err(why) => {
                // What was whole before it is brought in: the rest can follow later.
                take(store, &mut batch, lines.number, &mut total)?;
                return Err(lines.wrong(Reason::NotARecord(why)));
            }
        }
        records += 1;
        if batch.len() == BATCH {
            take(store, &mut batch, lines.number + 1, &mut total)?;
        }
    }
}

/// Hands a batch to the store. `after` is the line after its last.
fn take(
    store: &mut dyn Store,
    batch: &mut Vec<Record>,
    after: u64,
    total: &mut Inserted,
) -> Result<(), TransferError> {
    let first = after.saturating_sub(batch.len() as u64);
    match store.insert_foreign(batch) {
        Ok(inserted) => {
            total.new += inserted.new;
            total.repeats += inserted.repeats;
            total.forks.extend(inserted.forks);
            batch.clear();
            Ok(())
        }
        Err(error @ StoreError::Refused { index, .. }) => {
            Err(TransferError::Line(first + index as u64, Reason::Refused(error)))
        }
        Err(error) => Err(error.into()),
    }
}

fn read_record(text: &[u8]) -> Result<Record, String> {
    let line: Line<'_> = serde_json::from_slice(text).map_err(|error| error.to_string())?;
    let hash = |text: &str| text.parse().map_err(|error| format!("{error}: `{text}`"));
    Ok(Record {
        id: RecordId(line.id),
        order: Order { at_ms: line.at_ms, device: DeviceId(line.device), seq: line.seq },
        previous: hash(&line.previous)?,
        hash: hash(&line.hash)?,
        author: line.author,
        subject: Subject(line.subject),
        body: line.body.get().to_owned(),
    })
}

/// Lines with their numbers, none longer than a record can be.
struct Lines<'a> {
    from: &'a mut dyn BufRead,
    number: u64,
    text: Vec<u8>,
}

impl Lines<'_> {
    fn next(&mut self) -> Result<Option<&[u8]>, TransferError> {
        self.text.clear();
        let limit = LINE_MAX as u64 + 1;
        let read = Read::take(&mut *self.from, limit).read_until(b'\n', &mut self.text)?;
        if read == 0 {
            return Ok(None);
        }
        self.number += 1;
        if read > LINE_MAX {
            return Err(self.wrong(Reason::TooLong));
        }
        Ok(Some(&self.text))
    }

    fn wrong(&self, reason: Reason) -> TransferError {
        TransferError::Line(self.number.max(1), reason)
    }
}

impl From<StoreError> for TransferError {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

impl From<io::Error> for TransferError {
    fn from(error: io::Error) -> Self {
        Self::File(error)
    }
}

impl fmt::Display for TransferError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line(number, reason) => write!(f, "line {number}: {reason}"),
            Self::Store(error) => error.fmt(f),
            Self::File(error) => write!(f, "the file could not be read or written: {error}"),
        }
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAnExport => f.write_str("this is no export of a ledger"),
            Self::Newer(format) => {
                write!(f, "the export is of format {format}; a newer program can read it")
            }
            Self::NotARecord(why) => write!(f, "this is no record ({why}); export it again"),
            Self::TooLong => f.write_str("the line is longer than a record can be"),
            Self::Refused(error) => error.fmt(f),
            Self::Ends => f.write_str(
                "the file ends here, and its end is missing; what was whole is in; \
                 export it again for the rest",
            ),
            Self::Count(counted) => {
                write!(f, "{counted} records were exported, and the file holds others")
            }
            Self::AfterEnd => f.write_str("something follows the end of the export"),
        }
    }
}

impl Error for TransferError {}
