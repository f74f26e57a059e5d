//! What was recorded, in plain words: the only place that has words for events.
//!
//! History of a drum, traces, records of a stop, drafts and papers all say an event in these
//! words. Numbers are said as they were recorded, to the last digit.

use stillprop_ledger::{
    event::{
        Body, Event,
        v1::{
            Appearance, ContainerKind, Drawn, Inspected, Into, Paste, Posture, Received, Sampled,
            Seals, Severity, Stored,
        },
        v2::{self, Entry, Outcome, Reading, Stop},
    },
    runs::{self, Standing},
};
use stillprop_turnaround::sheet::Task;
use uuid::Uuid;

use super::trace::label;
use crate::sheet::enter;

/// What names stand for: containers of a yard, tasks of a sheet. What is not known keeps its id.
#[derive(Clone, Copy, Default)]
pub(crate) struct Names<'a> {
    pub(crate) yard: Option<&'a stillprop_ledger::yard::Yard>,
    pub(crate) tasks: &'a [Task],
}

impl Names<'_> {
    /// A container as people call it.
    pub(crate) fn container(self, id: Uuid) -> String {
        let known = self.yard.and_then(|yard| yard.container(id)).map(label);
        known.unwrap_or_else(|| format!("container {id}"))
    }

    /// A task as the sheet calls it; one that the sheet of today has no more keeps its name.
    fn task(self, id: &str) -> String {
        let task = self.tasks.iter().find(|task| task.id == id);
        task.map_or_else(|| id.to_owned(), |task| task.title.clone())
    }
}

/// A record of which no more can be said.
pub(crate) const UNREADABLE: &str = "a record that this program cannot read";

/// An event of whatever version, without the container or sheet that it is about.
pub(crate) fn body(body: &Body, names: Names<'_>) -> String {
    match body {
        Body::V1(event) => of_yard(event, names),
        Body::V2(event) => of_sheet(event, names),
    }
}

/// An event of the yard.
pub(crate) fn of_yard(event: &Event, names: Names<'_>) -> String {
    match event {
        Event::Received(it) => received(it),
        Event::Stored(it) => stored(it),
        Event::Inspected(it) => inspected(it),
        Event::Stood(it) => match it.posture {
            Posture::OnSide => "laid on its side".into(),
            Posture::Upright => "stood upright".into(),
            Posture::Tilted => "stood upright and tilted".into(),
        },
        Event::Sampled(it) => sampled(it),
        Event::Opened(it) => format!("opened, seals {} before", seals(it.seals)),
        Event::Drawn(it) => drawn(it, names),
        Event::PartMarked(it) => format!("marked: {} left", litres(it.left_ml)),
        Event::Emptied(_) => "emptied: nothing usable is left".into(),
        Event::Condemned(it) => format!("condemned: {}", it.reason),
        Event::Counted(it) => format!("counted: {} in it", litres(it.contents_ml)),
        Event::BatchRecalled(it) => format!("batch {} recalled: {}", it.batch, it.reason),
        Event::BatchRetested(it) => {
            let passed = if it.passed { "passed" } else { "did NOT pass" };
            format!("batch {} tested again on {}: {passed}", it.batch, it.on.0)
        }
        Event::Corrected(it) => {
            let instead = it.instead.as_deref().map(|event| of_yard(event, names));
            corrected(it.of, instead, &it.reason)
        }
    }
}

/// An event of a run sheet.
pub(crate) fn of_sheet(event: &v2::Event, names: Names<'_>) -> String {
    let entry_of = |entry: &Entry| self::entry(entry, names);
    match event {
        v2::Event::Corrected(it) => {
            corrected(it.of, it.instead.as_deref().map(entry_of), &it.reason)
        }
        v2::Event::SheetOpened(it) => entry_of(&Entry::SheetOpened(it.clone())),
        v2::Event::TaskDone(it) => entry_of(&Entry::TaskDone(it.clone())),
        v2::Event::HoldRefused(it) => entry_of(&Entry::HoldRefused(it.clone())),
        v2::Event::Interrupted(it) => entry_of(&Entry::Interrupted(it.clone())),
        v2::Event::Resumed(it) => entry_of(&Entry::Resumed(it.clone())),
        v2::Event::StopCalled(it) => entry_of(&Entry::StopCalled(it.clone())),
        v2::Event::StopStepDone(it) => entry_of(&Entry::StopStepDone(it.clone())),
        v2::Event::SheetClosed(it) => entry_of(&Entry::SheetClosed(it.clone())),
    }
}

fn corrected(of: Uuid, instead: Option<String>, reason: &str) -> String {
    match instead {
        None => format!("record {of} was wrong ({reason}): it did not happen"),
        Some(instead) => format!("record {of} was wrong ({reason}); right is: {instead}"),
    }
}

/// A line of a run sheet.
pub(crate) fn entry(entry: &Entry, names: Names<'_>) -> String {
    match entry {
        Entry::SheetOpened(it) => {
            format!("run sheet begun: {} at {}, {}", it.aircraft, it.place, it.method)
        }
        Entry::TaskDone(it) => format!(
            "{}{}, {}{}",
            names.task(&it.task),
            read(it.reading.as_ref()),
            doer(&it.by),
            note(it.note.as_deref())
        ),
        Entry::HoldRefused(it) => format!(
            "{}{}, did not pass: {} ({})",
            names.task(&it.task),
            read(it.reading.as_ref()),
            it.why,
            doer(&it.by)
        ),
        Entry::Interrupted(it) => format!("work broken off{}", note(it.note.as_deref())),
        Entry::Resumed(it) => format!("work taken up again{}", note(it.note.as_deref())),
        Entry::StopCalled(it) => format!("STOP: {}{}", stop(it.stop), note(it.note.as_deref())),
        Entry::StopStepDone(it) => format!(
            "{}, step {}: {}, {}{}",
            stop(it.stop),
            it.step,
            it.what,
            doer(&it.by),
            note(it.note.as_deref())
        ),
        Entry::SheetClosed(it) => {
            format!("run sheet put away: {}{}", outcome(it.outcome), note(it.note.as_deref()))
        }
    }
}

fn note(note: Option<&str>) -> String {
    note.map_or_else(String::new, |note| format!("; {note}"))
}

/// A reading as it was typed.
fn read(reading: Option<&Reading>) -> String {
    reading.map_or_else(String::new, |reading| format!(": {}", reading.typed))
}

fn doer(by: &v2::Doer) -> String {
    // A role stands with its article; "whoever is there" is none.
    let the = if by.role.contains(' ') { "" } else { "the " };
    match &by.person {
        Some(person) => format!("by {the}{}, {person}", by.role),
        None => format!("by {the}{}", by.role),
    }
}

/// What stops everything.
pub(crate) const fn stop(stop: Stop) -> &'static str {
    enter::called(stop).title()
}

const fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Finished => "finished",
        Outcome::Abandoned => "given up before its end",
        Outcome::Stopped => "ended with a stop",
    }
}

/// How a run sheet stands.
pub(crate) fn standing(standing: &Standing) -> String {
    match standing {
        Standing::Open => "work goes on".into(),
        Standing::Interrupted => "broken off".into(),
        Standing::Stopped(stops) => {
            let stops: Vec<&str> = stops.iter().map(|it| stop(*it)).collect();
            format!("STOP in force: {}", stops.join(", "))
        }
        Standing::Closed(how) => outcome(*how).into(),
    }
}

/// What does not add up on a run sheet.
pub(crate) fn oddity(odd: &runs::Oddity, names: Names<'_>) -> String {
    use runs::Oddity;
    match odd {
        Oddity::BeforeOpened => "recorded before the sheet was begun, or it never was".into(),
        Oddity::OpenedTwice => "the sheet was begun a second time".into(),
        Oddity::AfterClosed => "recorded after the sheet was put away".into(),
        Oddity::DoneTwice { task } => {
            format!("done though it was done already: {}", names.task(task))
        }
        Oddity::DoneWhileStopped { task } => {
            format!("done while everything was stopped: {}", names.task(task))
        }
        Oddity::StepWithoutStop { stop: of } => {
            format!("a step of a stop that nobody called: {}", stop(*of))
        }
        Oddity::CorrectsNothing { of } => format!("corrects record {of}, which is not here"),
        Oddity::CorrectionLoop => "corrections that correct each other: the latest counts".into(),
        Oddity::SamePlace => "two records claim one place of a device, or one id".into(),
        Oddity::Unreadable => "it cannot be read, and counts as not recorded".into(),
    }
}

fn received(it: &Received) -> String {
    let kind = match it.kind {
        ContainerKind::Drum => "drum",
        ContainerKind::Tank => "tank",
        ContainerKind::Bowser => "bowser",
    };
    let at = it.temperature_mdegc.map_or_else(String::new, degrees);
    let numbers = match it.seals.as_slice() {
        [] => "no seals".to_owned(),
        numbers => format!("seals {}", numbers.join(" ")),
    };
    let maker =
        it.maker_number.as_ref().map_or_else(String::new, |no| format!(", maker's number {no}"));
    format!(
        "received: {kind} {} at {}, {} of {}, batch {} of {}, {}{at}, filled {}, {numbers}{maker}",
        it.label,
        it.place,
        litres(it.contents_ml),
        litres(it.capacity_ml),
        it.batch,
        it.supplier,
        it.grade,
        it.filled.0
    )
}

fn stored(it: &Stored) -> String {
    let rack = it.rack.as_ref().map_or_else(String::new, |rack| format!(", rack {rack}"));
    let bungs = it
        .bungs
        .map_or_else(String::new, |[one, other]| format!(", bungs at {one} and {other} o'clock"));
    let or = |so: bool, yes: &'static str, no: &'static str| if so { yes } else { no };
    format!(
        "put down at {}{rack}, {}{bungs}, {}, {}, {}",
        it.place,
        posture(it.posture),
        or(it.chocked, "chocked", "NOT chocked"),
        or(it.off_ground, "off the ground", "on the ground"),
        or(it.shaded, "in the shade", "in the sun")
    )
}

/// How a container lies or stands.
const fn posture(posture: Posture) -> &'static str {
    match posture {
        Posture::OnSide => "on its side",
        Posture::Upright => "upright",
        Posture::Tilted => "upright and tilted",
    }
}

fn inspected(it: &Inspected) -> String {
    let how = |severity| match severity {
        Severity::None => "none",
        Severity::Slight => "slight",
        Severity::Severe => "SEVERE",
    };
    let lining = match it.lining_sound {
        Some(true) => "lining sound",
        Some(false) => "lining NOT sound",
        None => "lining not looked at",
    };
    let label = if it.label_legible { "label legible" } else { "label NOT legible" };
    format!(
        "looked over: dents {}, rust {}, {lining}, {label}, seals {}{}",
        how(it.dents),
        how(it.rust),
        seals(it.seals),
        note(it.note.as_deref())
    )
}

const fn seals(seals: Seals) -> &'static str {
    match seals {
        Seals::Intact => "whole",
        Seals::Broken => "BROKEN",
    }
}

/// How a sample looked and what the paste said.
pub(crate) fn looks(appearance: Appearance, paste: Paste) -> String {
    let appearance = match appearance {
        Appearance::ClearAndBright => "clear and bright",
        Appearance::Haze => "haze",
        Appearance::Sediment => "sediment",
        Appearance::Water => "water",
    };
    let paste = match paste {
        Paste::Dry => "paste dry",
        Paste::Wet => "paste wet",
        Paste::NotUsed => "paste not used",
    };
    format!("{appearance}, {paste}")
}

fn sampled(it: &Sampled) -> String {
    let from = if it.low_point { "from the low point" } else { "NOT from the low point" };
    let density = it.density_g_m3.map_or_else(
        || ", density not read".to_owned(),
        |density| format!(", density {} kg/m3", thousandths(density)),
    );
    let at = it.temperature_mdegc.map_or_else(String::new, degrees);
    format!("sampled {from}: {}, {}{density}{at}", looks(it.appearance, it.paste), it.colour)
}

fn drawn(it: &Drawn, names: Names<'_>) -> String {
    let into = match &it.into {
        Into::Aircraft { registration, tank } => aircraft(registration, tank),
        Into::Container(id) => names.container(*id),
        Into::Waste => WASTE.to_owned(),
    };
    format!("drawn: {} {}", litres(it.volume_ml), into_for(&into, it.flight.as_deref()))
}

/// Samples, flushing, waste.
pub(crate) const WASTE: &str = "waste";

/// A tank of an aircraft.
pub(crate) fn aircraft(registration: &str, tank: &str) -> String {
    format!("{registration} {tank}")
}

/// Where fuel went, and for which flight.
pub(crate) fn into_for(into: &str, flight: Option<&str>) -> String {
    let flight = flight.map_or_else(String::new, |flight| format!(" for {flight}"));
    format!("into {into}{flight}")
}

fn degrees(mdegc: i32) -> String {
    format!(" at {} degC", thousandths(mdegc.into()))
}

/// Millilitres in litres, exactly.
pub(crate) fn litres(ml: i64) -> String {
    format!("{} L", thousandths(ml))
}

/// A whole number of thousandths, exactly.
fn thousandths(number: i64) -> String {
    let sign = if number < 0 { "-" } else { "" };
    let (whole, rest) = (number.unsigned_abs() / 1000, number.unsigned_abs() % 1000);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let rest = format!("{rest:03}");
    format!("{sign}{whole}.{}", rest.trim_end_matches('0'))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn says(body: serde_json::Value) -> String {
        self::body(&serde_json::from_value(body).unwrap(), Names::default())
    }

    #[test]
    fn an_event_reads_like_a_line_of_a_log_book() {
        let id = "0190b3c4-5d6e-7f80-9a1b-2c3d4e5f6071";
        for (event, words) in [
            (
                json!({ "v1": { "emptied": { "container": id } } }),
                "emptied: nothing usable is left",
            ),
            (
                json!({ "v1": { "drawn": { "container": id, "volume_ml": 105_400, "flight": "F-7",
                    "into": { "aircraft": { "registration": "QK-CSX", "tank": "left" } } } } }),
                "drawn: 105.4 L into QK-CSX left for F-7",
            ),
            (
                json!({ "v1": { "drawn": { "container": id, "volume_ml": 75_708, "into": "waste",
                    "flight": null } } }),
                "drawn: 75.708 L into waste",
            ),
            (
                json!({ "v1": { "sampled": { "container": id, "low_point": true, "paste": "dry",
                    "appearance": "clear-and-bright", "colour": "blue", "density_g_m3": 706_500,
                    "temperature_mdegc": -2500 } } }),
                "sampled from the low point: clear and bright, paste dry, blue, \
                 density 706.5 kg/m3 at -2.5 degC",
            ),
            (
                json!({ "v1": { "corrected": { "of": id, "instead": null, "reason": "wrong drum" } } }),
                "record 0190b3c4-5d6e-7f80-9a1b-2c3d4e5f6071 was wrong (wrong drum): it did not \
                 happen",
            ),
            (
                json!({ "v2": { "task-done": { "sheet": id, "task": "chocks", "note": "brakes leak",
                    "by": { "role": "pilot", "person": null },
                    "reading": { "typed": "12 L", "whole": [{ "volume_ml": 12_000 }] } } } }),
                "chocks: 12 L, by the pilot; brakes leak",
            ),
            (
                json!({ "v2": { "stop-step-done": { "sheet": id, "stop": "spill", "step": 2,
                    "what": "Close the valve", "by": { "role": "helper", "person": "Ane" },
                    "note": null } } }),
                "fuel is spilled, step 2: Close the valve, by the helper, Ane",
            ),
            (
                json!({ "v2": { "sheet-closed": { "sheet": id, "outcome": "abandoned", "note": null } } }),
                "run sheet put away: given up before its end",
            ),
        ] {
            assert_eq!(says(event), words);
        }
    }

    #[test]
    fn every_event_of_the_frozen_files_has_words_without_marks_of_a_program() {
        let mut said = 0;
        for file in [
            include_str!("../../../ledger/tests/frozen/events.txt"),
            include_str!("../../../ledger/tests/frozen/events2.txt"),
        ] {
            for line in file.lines() {
                let words = says(serde_json::from_str(line).unwrap());
                assert!(!words.contains(['{', '_']), "{words}");
                said += 1;
            }
        }
        assert!(said >= 20, "{said} events");
    }

    #[test]
    fn thousandths_are_said_to_the_last_digit() {
        for (number, words) in
            [(0, "0"), (1, "0.001"), (-2500, "-2.5"), (105_400, "105.4"), (200_000, "200")]
        {
            assert_eq!(thousandths(number), words);
        }
        assert_eq!(thousandths(i64::MIN), "-9223372036854775.808");
    }
}
