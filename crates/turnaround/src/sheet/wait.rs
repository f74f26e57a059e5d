//! Since when each drum has stood, by the ledger and by what is said on the sheet, and so when
//! the wait for them is over.
//!
//! A drum is mostly stood up hours before anybody opens a sheet, and whoever did it recorded it.
//! So the wait counts from there. The later of two statements counts, because it asks the longer
//! wait, and after a stop for wrong fuel the ledger no longer does: another drum may stand there.

use jiff::{Timestamp, ToSpan as _, tz::Offset};
use stillprop_calc::{
    quantity::{FromAmount, Time},
    unit,
};

use super::{facts::Drum, progress::Kept, reading::Value};
use crate::{
    limits::light::clock,
    stage::{Unknown, later},
};

/// A drum that has to stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Awaited {
    /// Its name.
    pub label: String,
    /// How long it must stand; `None` when not known.
    pub settles: Option<Time>,
    /// Since when it stands by the ledger, or why the ledger does not say.
    pub since: Result<Timestamp, Unknown>,
    /// The task at which somebody says that it stands.
    pub stood: usize,
}

/// The wait for the drums of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Wait {
    /// Each drum.
    pub drums: Vec<Awaited>,
    /// Offset of the clock on the spot.
    pub offset: Offset,
    /// When the fuelling of invented documents begins: on another day they may be gone through
    /// as on theirs.
    pub rehearsed: Option<Timestamp>,
}

/// Since when a drum stands, and who says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Since {
    /// The ledger.
    Ledger(Timestamp),
    /// Somebody at the sheet, to the minute of a clock.
    Sheet(Timestamp),
}

impl Since {
    /// When that was.
    #[must_use]
    pub const fn instant(self) -> Timestamp {
        match self {
            Self::Ledger(at) | Self::Sheet(at) => at,
        }
    }

    const fn by(self) -> &'static str {
        match self {
            Self::Ledger(_) => "by the ledger",
            Self::Sheet(_) => "by the sheet",
        }
    }

    /// A clock that was read without seconds is given the minute.
    fn grace(self) -> Time {
        match self {
            Self::Ledger(_) => Time::of(0.0, unit::MIN),
            Self::Sheet(_) => Time::of(1.0, unit::MIN),
        }
    }
}

/// What people have said on the sheet so far, as far as the wait asks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Told<'a> {
    /// Tasks that are done.
    pub(super) kept: &'a [Kept],
    /// Another drum may stand there than the one that the ledger knows.
    pub(super) set_aside: bool,
}

impl Wait {
    /// Of these drums; `stood` has the task of each at which it is said that it stands.
    pub(super) fn of(
        drums: &[Drum],
        stood: &[usize],
        offset: Offset,
        rehearsed: Option<Timestamp>,
    ) -> Self {
        let standing = |(drum, stood): (&Drum, &usize)| Awaited {
            label: drum.label.clone(),
            settles: drum.settles.as_ref().ok().map(|cited| cited.value),
            since: drum.stands.clone(),
            stood: *stood,
        };
        Self { drums: drums.iter().zip(stood).map(standing).collect(), offset, rehearsed }
    }

    /// Since when a drum stands; `None` when neither ledger nor sheet says.
    pub(super) fn since(&self, drum: &Awaited, told: Told<'_>) -> Option<Since> {
        let ledger = drum.since.as_ref().ok().copied().filter(|_| !told.set_aside);
        let kept = told.kept.iter().find(|kept| kept.task == drum.stood);
        let stated = kept.and_then(|kept| match kept.value {
            Value::Clock(hour, minute) => self.last(kept.at, hour, minute),
            // That it stands, and no more: since when, the ledger says, or it was stood up now.
            _ => ledger.is_none().then_some(kept.at),
        });
        match (ledger, stated) {
            (Some(ledger), Some(stated)) if ledger < stated => Some(Since::Sheet(stated)),
            (Some(ledger), _) => Some(Since::Ledger(ledger)),
            (None, stated) => stated.map(Since::Sheet),
        }
    }

    /// The last time before an entry that a clock on the spot showed this.
    fn last(&self, before: Timestamp, hour: u8, minute: u8) -> Option<Timestamp> {
        let time = jiff::civil::time(i8::try_from(hour).ok()?, i8::try_from(minute).ok()?, 0, 0);
        let day = self.offset.to_datetime(before).date();
        let on = |day: jiff::civil::Date| self.offset.to_timestamp(day.to_datetime(time)).ok();
        on(day).filter(|at| *at <= before).or_else(|| on(day.checked_sub(1.day()).ok()?))
    }

    /// The time that a wait is counted to: that of the entry, or, where invented drums are stood
    /// up on a day to come, the time at which their fuelling begins.
    fn counted_to(&self, since: Since, at: Timestamp) -> Timestamp {
        let ahead = since.instant() > at;
        self.rehearsed.filter(|_| ahead).map_or(at, |begins| begins.max(at))
    }

    /// How long a drum has stood at a time; `None` when that is not known then: it was stirred
    /// afterwards, or nobody says since when it stands.
    fn stood(&self, drum: &Awaited, told: Told<'_>, at: Timestamp) -> Option<(Since, Time)> {
        let since = self.since(drum, told)?;
        let to = self.counted_to(since, at);
        if since.instant() > to {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "milliseconds of a year")]
        let passed = to.duration_since(since.instant()).as_millis() as f64 / 1000.0;
        Some((since, Time::of(passed, unit::S)))
    }

    /// How long every drum has stood at least; `None` when that is not known of one of them.
    pub(super) fn least_stood(&self, told: Told<'_>, at: Timestamp) -> Option<Time> {
        let all: Option<Vec<Time>> =
            self.drums.iter().map(|drum| Some(self.stood(drum, told, at)?.1)).collect();
        all?.into_iter().reduce(|least, time| if time < least { time } else { least })
    }

    /// Why a wait that somebody states is not over, at the time of that entry. What the ledger
    /// has from later says nothing of what was so then.
    pub(super) fn too_soon(&self, waited: Time, told: Told<'_>, at: Timestamp) -> Option<String> {
        let mut short = Vec::new();
        let mut longest: Option<(Since, Time)> = None;
        for drum in &self.drums {
            let Some(since) = self.since(drum, told) else {
                short.push(format!(
                    "{}: unknown since when it stands: stand it up and say when",
                    drum.label
                ));
                continue;
            };
            let Some((since, passed)) = self.stood(drum, told, at) else {
                longest = longest.or(Some((since, waited)));
                continue;
            };
            let open = drum.settles.filter(|settles| passed + since.grace() < *settles);
            if let Some(settles) = open {
                short.push(format!(
                    "{}: {:.0} min of {:.0} min have passed: {}",
                    drum.label,
                    passed.count(unit::MIN).floor(),
                    settles.count(unit::MIN).ceil(),
                    self.words(since, Some(settles))
                ));
            }
            if longest.is_none_or(|(_, longest)| longest < passed) {
                longest = Some((since, passed));
            }
        }
        if !short.is_empty() {
            return Some(short.join("; "));
        }
        let (since, passed) = longest?;
        let told = waited > passed + Time::of(1.0, unit::MIN);
        let by = if matches!(since, Since::Ledger(_)) { "ledger" } else { "entries" };
        told.then(|| {
            format!("only {:.0} min have passed by the {by}", passed.count(unit::MIN).floor())
        })
    }

    /// What of the ledger lies ahead of a clock: one of the two is wrong.
    pub(super) fn ahead(&self, told: Told<'_>, at: Timestamp) -> Option<String> {
        let ahead = |drum: &&Awaited| {
            self.since(drum, told).is_some_and(|since| since.instant() > self.counted_to(since, at))
        };
        self.drums.iter().find(ahead).map(|drum| {
            let since = drum.since.as_ref().ok().map(|since| self.moment(*since));
            format!(
                "{}: by the ledger it stands only from {} on, which is still to come: look at \
                 the clocks",
                drum.label,
                since.unwrap_or_default()
            )
        })
    }

    /// Since when each drum stands and when it is ready, as it is known now.
    pub(super) fn remarks(&self, told: Told<'_>) -> Vec<String> {
        let remark = |drum: &Awaited| match self.since(drum, told) {
            Some(since) => format!("{}: {}", drum.label, self.words(since, drum.settles)),
            None => format!("{}: unknown since when it stands", drum.label),
        };
        self.drums.iter().map(remark).collect()
    }

    fn words(&self, since: Since, settles: Option<Time>) -> String {
        let from = format!("standing since {} {}", self.moment(since.instant()), since.by());
        match settles {
            // Up to the whole minute: nobody is told to begin early.
            Some(settles) => {
                let ready = later(since.instant(), settles + since.grace());
                let ready = later(ready, Time::of(59.0, unit::S));
                format!("{from}, ready at {}", self.moment(ready))
            }
            None => format!("{from}, ready unknown"),
        }
    }

    fn moment(&self, at: Timestamp) -> String {
        moment(at, self.offset)
    }
}

/// Local time of day and day.
fn moment(at: Timestamp, offset: Offset) -> String {
    format!("{} on {}", clock(at, offset), offset.to_datetime(at).date())
}

/// What the ledger says of a drum, for the sheet on paper.
pub(super) fn by_ledger(drum: &Drum, offset: Offset) -> Result<String, &Unknown> {
    let since = drum.stands.as_ref()?;
    let wait = Wait { drums: Vec::new(), offset, rehearsed: None };
    let settles = drum.settles.as_ref().ok().map(|cited| cited.value);
    Ok(wait.words(Since::Ledger(*since), settles))
}

#[cfg(test)]
mod tests {
    use super::{
        super::{
            Entry, Event, Facts, Fuelling, Progress, Reads, Sheet, Sort, Start, Stop, fixture,
            flag::Flag,
        },
        *,
    };

    /// Local time here is two hours ahead of UTC.
    const EAST: Offset = Offset::constant(2);

    fn at(text: &str) -> Timestamp {
        format!("2026-06-21T{text}+02:00").parse().unwrap()
    }

    /// Drums that stand since these times by the ledger; each has to stand an hour.
    fn facts(since: &[Option<&str>]) -> Facts {
        let mut facts = fixture::facts(Fuelling::Drum, Start::Electric, since.len(), since.len());
        facts.offset = EAST;
        for (drum, since) in facts.drums.iter_mut().zip(since) {
            drum.stands = since.map(at).ok_or_else(|| "it was moved".to_owned());
        }
        facts
    }

    /// Everything up to the wait is done at a time, with these readings where others are not
    /// asked; then these entries at their own.
    fn after(sheet: &Sheet, opened: &str, stood: &str, then: &[(&str, &str, &str)]) -> Vec<Entry> {
        let entry = |number: usize, at: Timestamp, task: &str, reading: &str| {
            let event = match task.strip_prefix("stop ") {
                Some(step) => match step.parse() {
                    Ok(step) => Event::Stepped { stop: Stop::WrongFuel, step, note: String::new() },
                    Err(_) => Event::Called { stop: Stop::WrongFuel },
                },
                None => Event::Done { task: task.into(), reading: reading.into() },
            };
            Entry { id: format!("e{number}"), at, by: "Heron".into(), event }
        };
        let settle = sheet.find("settle-drums").unwrap();
        let before = sheet.tasks[..settle].iter().map(|task| {
            let reading = match task.reads {
                Reads::Grade { .. } => fixture::GRADE,
                Reads::Yes => "yes",
                Reads::Clock => stood,
                _ => "",
            };
            (opened, task.id.as_str(), reading)
        });
        before
            .chain(then.iter().copied())
            .enumerate()
            .map(|(number, (when, task, reading))| entry(number, at(when), task, reading))
            .collect()
    }

    fn settled(
        sheet: &Sheet,
        opened: &str,
        stood: &str,
        when: &str,
        waited: &str,
    ) -> Result<(), String> {
        let progress = Progress::fold(sheet, &after(sheet, opened, stood, &[]));
        assert!(progress.findings.is_empty(), "{:?}", progress.findings);
        let event = Event::Done { task: "settle-drums".into(), reading: waited.into() };
        let would = progress.would(sheet, &event, at(when)).map_err(|why| why.because.join("; "));
        // What is asked before is what the fold says afterwards.
        let entries = after(sheet, opened, stood, &[(when, "settle-drums", waited)]);
        let folded = Progress::fold(sheet, &entries);
        assert_eq!(would.is_ok(), folded.state.is(Flag::DrumsSettled), "{:?}", folded.findings);
        would
    }

    #[test]
    fn the_wait_counts_from_the_ledger_to_the_second() {
        let sheet = fixture::sheet(&facts(&[Some("06:30:00")]));
        // Opened a quarter of an hour before the drum has settled.
        assert_eq!(settled(&sheet, "07:15:00", "", "07:30:00", "60 min"), Ok(()));
        let short = settled(&sheet, "07:15:00", "", "07:29:59", "60 min").unwrap_err();
        assert_eq!(
            short,
            "drum 1: 59 min of 60 min have passed: standing since 06:30 on 2026-06-21 by the \
             ledger, ready at 07:30 on 2026-06-21"
        );
        // And long after it has.
        assert_eq!(
            settled(&sheet, "16:00:00", "", "16:00:00", "9 h 30 min").map_err(drop),
            Err(())
        );
        assert_eq!(settled(&sheet, "16:00:00", "", "16:00:00", "9.5 h"), Ok(()));
    }

    #[test]
    fn nobody_claims_to_have_waited_longer_than_the_ledger_bears_out() {
        let sheet = fixture::sheet(&facts(&[Some("06:30:00")]));
        assert_eq!(settled(&sheet, "08:00:00", "", "08:00:00", "91 min"), Ok(()));
        let long = settled(&sheet, "08:00:00", "", "08:00:00", "92 min").unwrap_err();
        assert_eq!(long, "only 90 min have passed by the ledger");
        let short = settled(&sheet, "08:00:00", "", "08:00:00", "59 min").unwrap_err();
        assert_eq!(short, "59 min is not yet 60 min");
    }

    #[test]
    fn a_standing_that_is_stated_on_the_sheet_counts_where_the_ledger_has_none() {
        let sheet = fixture::sheet(&facts(&[None]));
        // Stood up now.
        assert!(settled(&sheet, "09:00:00", "", "09:58:59", "60 min").is_err());
        assert_eq!(settled(&sheet, "09:00:00", "", "09:59:00", "60 min"), Ok(()));
        // Stood up earlier, as somebody says: a clock without seconds is given the minute.
        assert!(settled(&sheet, "09:00:00", "08:10", "09:08:59", "60 min").is_err());
        assert_eq!(settled(&sheet, "09:00:00", "08:10", "09:09:00", "60 min"), Ok(()));
        // Yesterday evening, not this evening.
        assert_eq!(settled(&sheet, "09:00:00", "21:00", "09:00:00", "12 h"), Ok(()));
    }

    #[test]
    fn the_later_of_ledger_and_sheet_counts() {
        let sheet = fixture::sheet(&facts(&[Some("06:30:00")]));
        let later = settled(&sheet, "09:00:00", "08:10", "09:00:00", "60 min").unwrap_err();
        assert!(later.contains("since 08:10 on 2026-06-21 by the sheet"), "{later}");
        let earlier = settled(&sheet, "07:00:00", "05:00", "07:00:00", "60 min").unwrap_err();
        assert!(earlier.contains("since 06:30 on 2026-06-21 by the ledger"), "{earlier}");
    }

    #[test]
    fn each_drum_has_its_own_time() {
        let mut facts = facts(&[Some("06:30:00"), Some("07:00:00")]);
        facts.drums[1].settles = fixture::cited(Time::of(45.0, unit::MIN));
        let sheet = fixture::sheet(&facts);
        assert_eq!(settled(&sheet, "07:45:00", "", "07:45:00", "60 min"), Ok(()));
        let second = settled(&sheet, "07:44:59", "", "07:44:59", "60 min").unwrap_err();
        assert!(second.starts_with("drum 2: 44 min of 45 min"), "{second}");
        facts.drums[1].settles = Err("no pack gives it".into());
        let sheet = fixture::sheet(&facts);
        assert_eq!(settled(&sheet, "07:45:00", "", "07:45:00", "60 min"), Ok(()));
    }

    #[test]
    fn since_when_is_unknown_until_ledger_or_sheet_says() {
        let sheet = fixture::sheet(&facts(&[None]));
        let settle = sheet.find("settle-drums").unwrap();
        let begun = Progress::begin(&sheet);
        assert_eq!(begun.remarks(&sheet, settle), ["drum 1: unknown since when it stands"]);
        assert_eq!(begun.stood(&sheet, settle, at("09:00:00")), None);
        let told = Progress::fold(&sheet, &after(&sheet, "09:00:00", "", &[]));
        assert_eq!(
            told.remarks(&sheet, settle),
            [
                "drum 1: standing since 09:00 on 2026-06-21 by the sheet, ready at 10:01 on 2026-06-21"
            ]
        );
        let stood = told.stood(&sheet, settle, at("09:25:00")).unwrap();
        assert!((stood.count(unit::MIN) - 25.0).abs() < 1e-9);
        assert_eq!(told.stood(&sheet, 0, at("09:25:00")), None, "no other task waits for drums");
    }

    #[test]
    fn after_wrong_fuel_the_ledger_may_speak_of_another_drum() {
        let sheet = fixture::sheet(&facts(&[Some("06:30:00")]));
        let mut then = vec![
            ("09:00:00", "stop wrong-fuel", ""),
            ("09:01:00", "stop 0", ""),
            ("09:02:00", "stop 1", ""),
        ];
        then.extend([
            ("09:10:00", "look-drum-1", fixture::GRADE),
            ("09:11:00", "stand-drum-1", ""),
        ]);
        let progress = Progress::fold(&sheet, &after(&sheet, "08:00:00", "", &then));
        let settle = sheet.find("settle-drums").unwrap();
        let remarks = progress.remarks(&sheet, settle);
        assert!(remarks[0].contains("since 09:11 on 2026-06-21 by the sheet"), "{remarks:?}");
        let event = Event::Done { task: "settle-drums".into(), reading: "60 min".into() };
        assert!(progress.would(&sheet, &event, at("10:09:59")).is_err());
        assert_eq!(progress.would(&sheet, &event, at("10:10:00")), Ok(()));
    }

    #[test]
    fn what_the_ledger_has_from_later_does_not_undo_a_wait_that_was_over() {
        let wait = [("08:00:00", "settle-drums", "60 min")];
        let before = fixture::sheet(&facts(&[Some("06:30:00")]));
        let entries = after(&before, "07:45:00", "", &wait);
        assert!(Progress::fold(&before, &entries).state.is(Flag::DrumsSettled));
        // The drum was rolled away when it was empty, and the same entries are folded again.
        let moved = fixture::sheet(&facts(&[Some("11:00:00")]));
        let folded = Progress::fold(&moved, &entries);
        assert!(folded.state.is(Flag::DrumsSettled), "{:?}", folded.findings);
    }

    #[test]
    fn a_standing_that_is_still_to_come_is_nobodys_wait_but_a_rehearsal_of_invented_data() {
        let ahead = || facts(&[Some("12:00:00")]);
        let sheet = fixture::sheet(&ahead());
        let event = Event::Done { task: "settle-drums".into(), reading: "60 min".into() };
        let progress = Progress::fold(&sheet, &after(&sheet, "08:00:00", "", &[]));
        let why = progress.would(&sheet, &event, at("08:00:00")).unwrap_err().because.join("");
        assert!(why.contains("stands only from 12:00 on 2026-06-21 on"), "{why}");
        for (begins, over) in [("13:00:00", true), ("12:59:59", false)] {
            let sheet = fixture::sheet(&Facts { rehearsed: Some(at(begins)), ..ahead() });
            let would = settled(&sheet, "08:00:00", "", "08:00:00", "60 min");
            assert_eq!(would.is_ok(), over, "{begins}: {would:?}");
        }
        // Once it stands by the clock, that alone counts.
        let sheet = fixture::sheet(&Facts { rehearsed: Some(at("18:00:00")), ..ahead() });
        assert!(settled(&sheet, "12:30:00", "", "12:30:00", "60 min").is_err());
        let noted = sheet.tasks[sheet.find("settle-drums").unwrap()].notes.join("\n");
        assert!(noted.contains("invented data"), "{noted}");
    }

    #[test]
    fn a_wait_without_its_time_held_is_a_finding_and_does_not_move_the_sheet() {
        let sheet = fixture::sheet(&facts(&[Some("06:30:00")]));
        let entries = after(&sheet, "07:00:00", "", &[("07:10:00", "settle-drums", "60 min")]);
        let progress = Progress::fold(&sheet, &entries);
        assert!(!progress.state.is(Flag::DrumsSettled));
        let finding = progress.findings.last().unwrap();
        assert_eq!(finding.sort, Sort::Held);
        assert!(finding.words.contains("40 min of 60 min"), "{}", finding.words);
    }
}
