//! Between the sheet and its records: what is typed as an event, and a run as it was told.

use stillprop_calc::{
    quantity::{FromAmount, ThermodynamicTemperature, Volume},
    unit,
};
use stillprop_ledger::{
    event::v2::{self, Entry},
    runs::Run,
};
use stillprop_turnaround::sheet::{self, Progress, Reads, Sheet, Stop, Value};

use crate::yard::convert;

/// The note of a break that nobody stated: it was found when the sheet was opened again.
pub(super) const BROKEN_OFF: &str = "broken off without a word; found when it was opened again";

/// A reading as it is kept.
pub(crate) fn reading(typed: &str, value: &Value) -> Option<v2::Reading> {
    let typed = typed.trim();
    (!typed.is_empty()).then(|| v2::Reading { typed: typed.to_owned(), whole: wholes(value) })
}

fn wholes(value: &Value) -> Vec<v2::Whole> {
    use v2::Whole;
    let volume = |volume: Volume| Whole::VolumeMl(whole(volume.count(unit::L) * 1000.0));
    match value {
        Value::Litres(litres) | Value::Dipped(litres) => vec![volume(*litres)],
        Value::Density(density, temperature) => vec![
            Whole::DensityGM3(whole(density.count(unit::KG_M3) * 1000.0)),
            Whole::TemperatureMdegc(mdegc(*temperature)),
        ],
        Value::Depth(depth) => vec![Whole::LengthMm(whole(depth.count(unit::M) * 1000.0))],
        Value::Waited(time) => vec![Whole::TimeMs(whole(time.count(unit::MIN) * 60_000.0))],
        Value::Ohms(ohms) => vec![Whole::ResistanceMohm(whole(ohms * 1000.0))],
        Value::Nothing
        | Value::Yes(_)
        | Value::Dry(_)
        | Value::Look { .. }
        | Value::Grade(_)
        | Value::Words(_)
        | Value::Clock(..)
        | Value::Named(_) => Vec::new(),
    }
}

/// Whether what is said of a task names people.
fn names_people(sheet: &Sheet, event: &sheet::Event) -> bool {
    let sheet::Event::Done { task, .. } = event else { return false };
    let task = sheet.find(task).and_then(|place| sheet.tasks.get(place));
    task.is_some_and(|task| matches!(task.reads, Reads::Named { .. }))
}

fn mdegc(temperature: ThermodynamicTemperature) -> i64 {
    whole(temperature.count(unit::DEGC) * 1000.0)
}

#[expect(clippy::cast_possible_truncation, reason = "what is beyond any number stays the largest")]
fn whole(number: f64) -> i64 {
    number.round() as i64
}

/// A stop as it is kept.
pub(crate) fn kept(stop: Stop) -> v2::Stop {
    match stop {
        Stop::Fire => v2::Stop::Fire,
        Stop::Injury => v2::Stop::Injury,
        Stop::Spill => v2::Stop::Spill,
        Stop::LostBond => v2::Stop::LostBond,
        Stop::WrongFuel => v2::Stop::WrongFuel,
    }
}

/// A stop as the sheet has it.
pub(crate) const fn called(stop: v2::Stop) -> Stop {
    match stop {
        v2::Stop::Fire => Stop::Fire,
        v2::Stop::Injury => Stop::Injury,
        v2::Stop::Spill => Stop::Spill,
        v2::Stop::LostBond => Stop::LostBond,
        v2::Stop::WrongFuel => Stop::WrongFuel,
    }
}

/// The lines of a run as the sheet takes them, in the order of the fold. Corrections are worked
/// in already.
pub(crate) fn entries(sheet: &Sheet, run: &Run) -> Vec<sheet::Entry> {
    let mut stopped = false;
    let mut entries = Vec::new();
    for line in &run.lines {
        let event = match &line.what {
            Entry::SheetOpened(_) => continue,
            Entry::TaskDone(it) => {
                sheet::Event::Done { task: it.task.clone(), reading: typed(it.reading.as_ref()) }
            }
            Entry::HoldRefused(it) => {
                sheet::Event::Done { task: it.task.clone(), reading: typed(it.reading.as_ref()) }
            }
            Entry::Interrupted(it) if it.note.as_deref() == Some(BROKEN_OFF) => {
                sheet::Event::BrokenOff
            }
            Entry::Interrupted(_) => sheet::Event::Paused,
            // The sheet knows by itself when a stop is over.
            Entry::Resumed(_) if std::mem::take(&mut stopped) => continue,
            Entry::Resumed(_) => sheet::Event::Resumed,
            Entry::StopCalled(it) => {
                stopped = true;
                sheet::Event::Called { stop: called(it.stop) }
            }
            Entry::StopStepDone(it) => sheet::Event::Stepped {
                stop: called(it.stop),
                step: it.step.saturating_sub(1),
                note: it.note.clone().unwrap_or_default(),
            },
            Entry::SheetClosed(_) => sheet::Event::Closed,
        };
        let (id, by) = (line.record.to_string(), line.author.clone());
        let at = convert::instant(line.at_ms).unwrap_or_default();
        // What was refused then never counts as done, though other documents would let it pass. But
        // a reading that named some and not all stands: those were briefed, asked or told then.
        if matches!(line.what, Entry::HoldRefused(_))
            && !names_people(sheet, &event)
            && Progress::fold(sheet, &entries).would(sheet, &event, at).is_ok()
        {
            continue;
        }
        entries.push(sheet::Entry { id, at, by, event });
    }
    entries
}

fn typed(reading: Option<&v2::Reading>) -> String {
    reading.map_or_else(String::new, |reading| reading.typed.clone())
}

#[cfg(test)]
mod tests {
    use stillprop_ledger::{
        record::RecordId,
        runs::{Line, Standing},
    };
    use stillprop_turnaround::sheet::{Facts, Fuelling, Reads, Start};
    use uuid::Uuid;

    use super::*;

    #[test]
    fn a_reading_is_kept_as_typed_and_as_whole_numbers_with_their_unit() {
        use v2::Whole;
        let grade = || "avgas 100LL".to_owned();
        for (reads, typed, whole) in [
            (Reads::Litres { about: None }, "14.5 USgal", vec![Whole::VolumeMl(54_888)]),
            (
                Reads::Density { grade: grade() },
                "0.7065 kg/L at -2.5 degC",
                vec![Whole::DensityGM3(706_500), Whole::TemperatureMdegc(-2_500)],
            ),
            (Reads::Dip, "112 mm", vec![Whole::LengthMm(112)]),
            (Reads::Dip, "70 L", vec![Whole::VolumeMl(70_000)]),
            (Reads::Waited { least: None }, "1 h", vec![Whole::TimeMs(3_600_000)]),
            (Reads::Resistance, "0.25 ohm", vec![Whole::ResistanceMohm(250)]),
            (Reads::Ticket, "T 4417", vec![]),
            (Reads::Grade { grade: grade() }, "Avgas  100LL", vec![]),
            (Reads::Clock, "14:05", vec![]),
            (Reads::Paste, "dry", vec![]),
        ] {
            let value = reads.read(typed).unwrap();
            let wanted = v2::Reading { typed: typed.into(), whole };
            assert_eq!(reading(typed, &value), Some(wanted));
        }
        assert_eq!(reading(" ", &Value::Nothing), None);
    }

    #[test]
    fn every_stop_comes_back_as_it_was_kept() {
        for stop in Stop::ALL {
            assert_eq!(called(kept(stop)), stop);
        }
    }

    #[test]
    fn what_was_refused_never_counts_as_done_whatever_the_documents_say_later() {
        let sheet = Sheet::build(&Facts::bare(Fuelling::None, "avgas 100LL", Start::None)).unwrap();
        let id = Uuid::from_u128(1);
        let entry = |refused: bool, typed: &str| {
            let (task, by) = ("drain".to_owned(), v2::Doer { role: "pilot".into(), person: None });
            let reading = Some(v2::Reading { typed: typed.into(), whole: vec![] });
            let (sheet, why) = (id, "the sample is not clear and bright".to_owned());
            if refused {
                Entry::HoldRefused(v2::HoldRefused { sheet, task, by, reading, why })
            } else {
                Entry::TaskDone(v2::TaskDone { sheet, task, by, reading, note: None })
            }
        };
        let ready = ["chocks", "switches"].map(|task| {
            let (task, by) = (task.to_owned(), v2::Doer { role: "pilot".into(), person: None });
            Entry::TaskDone(v2::TaskDone { sheet: id, task, by, reading: None, note: None })
        });
        let done = |what: Entry| {
            let line = |what| Line { record: RecordId(id), at_ms: 0, author: "A".into(), what };
            let lines = ready.iter().cloned().chain([what]).map(line).collect();
            let findings = Vec::new();
            let run = Run { sheet: id, lines, findings, standing: Standing::Open };
            Progress::fold(&sheet, &entries(&sheet, &run)).state.done.count()
        };
        assert_eq!(done(entry(false, "clear, blue")), 3);
        assert_eq!(done(entry(true, "clear, blue")), 2);
        assert_eq!(done(entry(true, "haze, blue")), 2);
    }
}
