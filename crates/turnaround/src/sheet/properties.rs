//! Laws of [`Progress`], tried on random days. All invented.

use std::cell::Cell;

use jiff::{SignedDuration, Timestamp};
use proptest::{prelude::*, test_runner::TestRunner};

use super::{
    Action, Before, Deed, Entry, Event, Facts, Flag, Fuelling, INVARIANTS, Progress, Reads, Rest,
    Sheet, Sort, Start, Stop, fixture,
};

fn sheets() -> Vec<Sheet> {
    let facts: [Facts; 4] = [
        fixture::facts(Fuelling::Tanker, Start::Electric, 2, 0),
        fixture::asking(fixture::two(fixture::facts(Fuelling::SelfServe, Start::Hand, 1, 0))),
        fixture::two(fixture::facts(Fuelling::Drum, Start::Hand, 2, 2)),
        fixture::alone_allowed(fixture::facts(Fuelling::None, Start::Hand, 0, 0)),
    ];
    facts.iter().map(fixture::sheet).collect()
}

/// A reading that passes, and one that does not or is no reading at all.
fn readings(reads: &Reads) -> (&'static str, &'static str) {
    match reads {
        Reads::Nothing => ("", ""),
        Reads::Yes => ("yes", "no"),
        Reads::Litres { .. } => ("54 L", "54"),
        Reads::Counter => ("12 L", "twelve"),
        Reads::Density { .. } => ("0.712 kg/L at 20 degC", "0.800 kg/L at 20 degC"),
        Reads::Paste => ("dry", "wet"),
        Reads::Look { .. } => ("clear, blue", "haze, blue"),
        Reads::Grade { .. } => ("avgas 100LL", "jet A-1"),
        Reads::Dip => ("112 mm", "deep"),
        Reads::Ticket | Reads::Words => ("4711", ""),
        Reads::Clock => ("14:05", "25:00"),
        Reads::Waited { .. } => ("90 min", "1 min"),
        Reads::Resistance => ("4 ohm", "4"),
        Reads::Named { deed: Deed::Told, .. } => ("Sarin 14:05", "somebody 14:05"),
        Reads::Named { .. } => ("passenger 14:05", "somebody 14:05"),
    }
}

/// What a number makes somebody say, given where the sheet stands: mostly what is next, now
/// and then anything at all.
fn event(sheet: &Sheet, progress: &Progress, number: u32, earlier: &[Entry]) -> Event {
    let any = number as usize;
    let done = |task: usize, good: bool| {
        let task = &sheet.tasks[task];
        let (passes, fails) = readings(&task.reads);
        let reading = if good { passes } else { fails };
        Event::Done { task: task.id.clone(), reading: reading.into() }
    };
    let next: Vec<usize> = progress.next(sheet).into_iter().flat_map(|next| next.tasks).collect();
    match number % 32 {
        0 => Event::Called { stop: Stop::ALL[any / 32 % 5] },
        1 => Event::Paused,
        2 => Event::Resumed,
        3 => Event::Stepped { stop: Stop::ALL[any / 32 % 5], step: 1, note: String::new() },
        4 | 5 => done(any / 32 % sheet.tasks.len(), true),
        6 if !earlier.is_empty() => {
            Event::Corrected { entry: earlier[any / 32 % earlier.len()].id.clone() }
        }
        7 if !next.is_empty() => done(next[any / 32 % next.len()], false),
        8 if any % 64 == 8 => Event::Closed,
        9 => Event::BrokenOff,
        _ if progress.state.is(Flag::Paused) => match sheet.next_put(&progress.state) {
            Some(put) => {
                let put = &sheet.puts[put];
                let (passes, fails) = readings(&put.reads);
                let reading = if any % 64 < 60 { passes } else { fails };
                Event::Done { task: put.id.into(), reading: reading.into() }
            }
            None => Event::Resumed,
        },
        _ => match progress.step() {
            Some((stop, step)) => Event::Stepped { stop, step, note: String::new() },
            None if next.is_empty() => Event::Paused,
            None => done(next[any / 32 % next.len()], true),
        },
    }
}

fn entry(number: usize, event: Event) -> Entry {
    let begin: Timestamp = "2026-06-21T04:00:00Z".parse().unwrap();
    // Two hours between entries, so that no wait is too short.
    let at = begin + SignedDuration::from_hours(2 * i64::try_from(number).unwrap());
    Entry { id: format!("e{number}"), at, by: "Heron".into(), event }
}

/// A random day, told as the sheet allows or not.
fn day(sheet: &Sheet, numbers: &[u32]) -> Vec<Entry> {
    let mut entries = Vec::new();
    for (number, &choice) in numbers.iter().enumerate() {
        let progress = Progress::fold(sheet, &entries);
        let event = event(sheet, &progress, choice, &entries);
        entries.push(entry(number, event));
    }
    entries
}

/// The action that an entry was, if it moved the sheet.
fn action(sheet: &Sheet, before: &Progress, after: &Progress, event: &Event) -> Option<Action> {
    if before.state == after.state {
        return None;
    }
    let put = |id: &String| sheet.puts.iter().position(|put| put.id == *id);
    Some(match event {
        Event::Done { task, .. } if put(task).is_some() => Action::Put(put(task).unwrap()),
        Event::Done { task, .. } => {
            let task = sheet.find(task).unwrap();
            Action::Task(task, after.state.done.has(task))
        }
        Event::Called { stop } => Action::Call(*stop),
        Event::Stepped { stop, step, .. } => Action::Step(*stop, *step),
        Event::Paused | Event::BrokenOff => Action::Pause,
        Event::Resumed if before.state.is(Flag::Paused) => Action::Resume,
        Event::Resumed => Action::Pause,
        // A correction tells the day anew: every step of it is looked at on its own.
        Event::Corrected { .. } | Event::Closed => return None,
    })
}

/// Every step of random days is held against every invariant; and they are days on which
/// something was done.
#[test]
fn no_day_breaks_an_invariant() {
    let sheets = sheets();
    let (moved, said) = (Cell::new(0), Cell::new(0));
    let days = (0..sheets.len(), prop::collection::vec(any::<u32>(), 1..110));
    let mut runner = TestRunner::new(ProptestConfig::with_cases(64));
    let tried = runner.run(&days, |(which, numbers)| {
        let sheet = &sheets[which];
        let mut entries = day(sheet, &numbers);
        entries.retain(|entry| !matches!(entry.event, Event::Corrected { .. }));
        let mut before = Progress::begin(sheet);
        for end in 1..=entries.len() {
            let after = Progress::fold(sheet, &entries[..end]);
            if let Some(action) = action(sheet, &before, &after, &entries[end - 1].event) {
                moved.set(moved.get() + 1);
                let step = Before { sheet, state: &before.state, action };
                for invariant in INVARIANTS {
                    prop_assert!((invariant.keeps)(&step, &after.state), "{}", invariant.id);
                }
            }
            before = after;
        }
        said.set(said.get() + entries.len());
        Ok(())
    });
    tried.unwrap();
    assert!(moved.get() * 3 > said.get(), "{} of {} moved the sheet", moved.get(), said.get());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_corrected_entry_was_never_made(which in 0..4usize, numbers in prop::collection::vec(any::<u32>(), 2..80), pick in any::<prop::sample::Index>()) {
        let sheet = &sheets()[which];
        let entries = day(sheet, &numbers);
        let wrong = pick.index(entries.len());
        let mut corrected = entries.clone();
        let name = entries[wrong].id.clone();
        corrected.push(entry(entries.len(), Event::Corrected { entry: name.clone() }));
        // What named the entry that was never made has nothing to correct either.
        let without: Vec<Entry> =
            entries.iter().filter(|entry| entry.id != name).cloned().collect();
        let (told, never) = (Progress::fold(sheet, &corrected), Progress::fold(sheet, &without));
        prop_assert_eq!(told.state, never.state);
        prop_assert_eq!(&told.kept, &never.kept);
        prop_assert_eq!(told.closed, never.closed);
        let about = |progress: &Progress| -> Vec<(Sort, String)> {
            let real = progress.findings.iter().filter(|finding| !finding.words.contains(&name));
            real.map(|finding| (finding.sort, finding.words.clone())).collect()
        };
        prop_assert_eq!(about(&told), about(&never));
    }

    #[test]
    fn a_recap_is_the_difference_from_an_aeroplane_left_alone(which in 0..4usize, numbers in prop::collection::vec(any::<u32>(), 1..110)) {
        let sheet = &sheets()[which];
        let progress = Progress::fold(sheet, &day(sheet, &numbers));
        let said: Vec<Flag> = progress.recap(sheet).iter().filter_map(|open| open.flag).collect();
        for &flag in Flag::ALL {
            let on = progress.state.is(flag);
            let differs = match flag.rest() {
                Rest::On => !on,
                Rest::Off => on,
                Rest::Any => false,
            };
            prop_assert_eq!(said.contains(&flag), differs, "{:?}", flag);
        }
    }

    #[test]
    fn what_is_next_is_never_refused(which in 0..4usize, numbers in prop::collection::vec(any::<u32>(), 1..80)) {
        let sheet = &sheets()[which];
        let progress = Progress::fold(sheet, &day(sheet, &numbers));
        for next in progress.next(sheet) {
            for task in next.tasks {
                prop_assert_eq!(sheet.tasks[task].who, next.role);
                prop_assert!(progress.refused(sheet, task).is_none());
            }
        }
    }
}
