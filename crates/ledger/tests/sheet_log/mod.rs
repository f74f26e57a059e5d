//! Invented events of run sheets for the tests, the same on every run.

#![allow(dead_code, reason = "each test uses its own part")]

use stillprop_ledger::event::v2::*;
use uuid::Uuid;

pub(crate) const STOPS: [Stop; 5] =
    [Stop::Spill, Stop::Fire, Stop::LostBond, Stop::WrongFuel, Stop::Injury];
pub(crate) const OUTCOMES: [Outcome; 3] = [Outcome::Finished, Outcome::Abandoned, Outcome::Stopped];

pub(crate) fn sheet(n: u8) -> Uuid {
    Uuid::from_u128(0x01a0_0000_0000_7000_8000_0000_0000_0000 + u128::from(n))
}

pub(crate) fn opened(sheet: Uuid, aircraft: &str) -> Entry {
    Entry::SheetOpened(SheetOpened {
        sheet,
        turnaround: "Nessow Top, noon".into(),
        aircraft: aircraft.into(),
        place: "Nessow Top".into(),
        documents: "5a".repeat(32),
        method: "drum".into(),
        people: 2,
    })
}

pub(crate) fn doer(person: Option<&str>) -> Doer {
    Doer { role: "helper".into(), person: person.map(str::to_owned) }
}

pub(crate) fn done(sheet: Uuid, task: &str, reading: Option<Reading>) -> Entry {
    let by = doer(reading.as_ref().map(|_| "Odrin Kestow"));
    let note = reading.is_none().then(|| "paint gone \u{2013} \"sun\" side".into());
    Entry::TaskDone(TaskDone { sheet, task: task.into(), by, reading, note })
}

pub(crate) fn read(typed: &str, whole: &[Whole]) -> Reading {
    Reading { typed: typed.into(), whole: whole.to_vec() }
}

pub(crate) fn refused(sheet: Uuid, task: &str, reading: Option<Reading>) -> Entry {
    let why = "the density is not that of the grade".into();
    Entry::HoldRefused(HoldRefused { sheet, task: task.into(), by: doer(None), reading, why })
}

pub(crate) fn interrupted(sheet: Uuid, note: Option<&str>) -> Entry {
    Entry::Interrupted(Interrupted { sheet, note: note.map(str::to_owned) })
}

pub(crate) fn resumed(sheet: Uuid, note: Option<&str>) -> Entry {
    Entry::Resumed(Resumed { sheet, note: note.map(str::to_owned) })
}

pub(crate) fn stop(sheet: Uuid, stop: Stop, note: Option<&str>) -> Entry {
    Entry::StopCalled(StopCalled { sheet, stop, note: note.map(str::to_owned) })
}

pub(crate) fn step(sheet: Uuid, stop: Stop, step: u8, what: &str) -> Entry {
    let by = doer(Some("Lio Marrenk"));
    let note = (stop == Stop::Spill).then(|| "two litres".into());
    Entry::StopStepDone(StopStepDone { sheet, stop, step, what: what.into(), by, note })
}

pub(crate) fn closed(sheet: Uuid, outcome: Outcome) -> Entry {
    let note = (outcome == Outcome::Abandoned).then(|| "weather".into());
    Entry::SheetClosed(SheetClosed { sheet, outcome, note })
}

pub(crate) fn corrected(sheet: Uuid, of: Uuid, instead: Option<Entry>) -> Event {
    let instead = instead.map(Box::new);
    Event::Corrected(Corrected { sheet, of, instead, reason: "misread".into() })
}
