//! What was done, by whom and when; what is next; what lies open.
//!
//! A fold over entries, and nothing else: the same entries always give the same answer, and an
//! entry that was corrected counts as never made.
//!
//! # What is refused, and what is only noted
//!
//! People state facts, and a fact cannot be forbidden; but the sheet must never stand in a
//! state that was not proven. So an entry that would break a guard does not move the sheet,
//! and is kept as a [`Finding`] with what stood against it. What it says may be lying open is
//! named by every recap as a doubt, until the task is done in its turn, the entry is
//! corrected, or a stop action has made everything safe.

use jiff::Timestamp;
use stillprop_calc::{
    quantity::{FromAmount, Time},
    unit,
};

use super::{
    flag::{Flag, Rest},
    machine::{Action, Refusal, Sheet},
    reading::{Judged, Reads, Value},
    state::State,
    stop::Stop,
    task::{Effect, Need, Role},
};

/// Something that was stated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// A task was done.
    Done {
        /// Its id.
        task: String,
        /// What was read, as typed; may be empty where nothing is asked.
        reading: String,
    },
    /// An earlier entry was a mistake: it counts as never made.
    Corrected {
        /// Its id.
        entry: String,
    },
    /// Work was put down: pump off, nozzle out, cap on, switches off, everybody from their post.
    Paused,
    /// Work was taken up again.
    Resumed,
    /// A stop was called.
    Called {
        /// Which.
        stop: Stop,
    },
    /// A step of a stop action was done.
    Stepped {
        /// Of which.
        stop: Stop,
        /// Its place, the first 0.
        step: u8,
        /// What there is to say: litres, time, who was called.
        note: String,
    },
    /// The sheet is put away.
    Closed,
}

/// An entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its id; no two are the same.
    pub id: String,
    /// When it happened.
    pub at: Timestamp,
    /// Who says so.
    pub by: String,
    /// What happened.
    pub event: Event,
}

/// A task that is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// Its place on the sheet.
    pub task: usize,
    /// What was read.
    pub value: Value,
    /// When.
    pub at: Timestamp,
    /// Who says so.
    pub by: String,
    /// The entry.
    pub entry: String,
}

/// What sort of finding it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sort {
    /// Out of order: the sheet did not move.
    Refused,
    /// A reading that did not pass.
    Held,
    /// Something to look at, which stopped nothing.
    Noted,
}

/// Something that a person must look at.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What sort.
    pub sort: Sort,
    /// The entry it comes from.
    pub entry: String,
    /// When.
    pub at: Timestamp,
    /// Who said so.
    pub by: String,
    /// What it is, in words.
    pub words: String,
}

/// What lies open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open {
    /// What; `None` for a doubt.
    pub flag: Option<Flag>,
    /// In words.
    pub words: String,
    /// The task that brought it about, if one did.
    pub task: Option<usize>,
}

/// What somebody may do next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Next {
    /// Who.
    pub role: Role,
    /// Tasks that their guards allow, in the order of the sheet.
    pub tasks: Vec<usize>,
}

/// A task that was said to be done out of its turn, and what may lie open because of it.
#[derive(Clone, Debug, PartialEq)]
struct Doubt {
    task: usize,
    effect: Effect,
}

/// Where a sheet stands after its entries.
#[derive(Clone, Debug, PartialEq)]
pub struct Progress {
    /// The state that was proven.
    pub state: State,
    /// What is done now, in the order in which it was.
    pub kept: Vec<Kept>,
    /// What a person must look at.
    pub findings: Vec<Finding>,
    /// Whether the sheet was put away.
    pub closed: bool,
    doubts: Vec<Doubt>,
    last: Option<Timestamp>,
}

impl Progress {
    /// Before the first entry.
    #[must_use]
    pub fn begin(sheet: &Sheet) -> Self {
        Self {
            state: sheet.start(),
            kept: Vec::new(),
            findings: Vec::new(),
            closed: false,
            doubts: Vec::new(),
            last: None,
        }
    }

    /// After these entries, in the order given.
    #[must_use]
    pub fn fold(sheet: &Sheet, entries: &[Entry]) -> Self {
        let void = corrected(entries);
        let mut progress = Self::begin(sheet);
        for (entry, void) in entries.iter().zip(&void) {
            if !void {
                progress.take(sheet, entry, entries);
            }
        }
        progress
    }

    /// Whether an entry would move the sheet, asked before it is recorded.
    ///
    /// # Errors
    ///
    /// [`Refusal`] with what stands against it.
    pub fn would(&self, sheet: &Sheet, event: &Event, at: Timestamp) -> Result<(), Refusal> {
        match event {
            Event::Corrected { .. } => Ok(()),
            _ if self.closed => Err(Refusal::of("the sheet was put away")),
            Event::Closed => self.may_close(sheet),
            Event::Resumed => sheet.apply(&self.state, Action::Resume).map(drop),
            _ => {
                let (action, _, held) = self.action(sheet, event, at)?;
                sheet.apply(&self.state, action)?;
                held.map_or(Ok(()), |why| Err(Refusal::of(why)))
            }
        }
    }

    /// What each person may do next. Empty while a stop action is in force, after the end, and
    /// while work is paused.
    #[must_use]
    pub fn next(&self, sheet: &Sheet) -> Vec<Next> {
        let of = |role: Role| {
            let mine = |&task: &usize| sheet.tasks.get(task).is_some_and(|task| task.who == role);
            let all = (0..sheet.tasks.len()).filter(mine);
            let tasks = all.filter(|&task| !self.closed && sheet.allows(&self.state, task));
            Next { role, tasks: tasks.collect() }
        };
        sheet.roles.iter().map(|(role, _)| of(*role)).collect()
    }

    /// The next step of the stop action in force.
    #[must_use]
    pub fn step(&self) -> Option<(Stop, u8)> {
        self.state.stop().map(|stop| (stop, self.state.step))
    }

    /// Why a task is not to be done now; `None` when it may be, or is done.
    #[must_use]
    pub fn refused(&self, sheet: &Sheet, task: usize) -> Option<Refusal> {
        if self.state.done.has(task) {
            return None;
        }
        sheet.apply(&self.state, Action::Task(task, true)).err()
    }

    /// What lies open right now: everything that is not as it is when the aeroplane is left
    /// alone. Shown first after any interruption.
    #[must_use]
    pub fn recap(&self, sheet: &Sheet) -> Vec<Open> {
        let open = |flag: Flag| {
            let on = self.state.is(flag);
            let task = self.brought(sheet, flag, on);
            let title = task.and_then(|task| sheet.tasks.get(task)).map(|task| &task.title);
            let words = flag.words(on);
            let words =
                title.map_or_else(|| words.to_owned(), |title| format!("{words} ({title})"));
            Open { flag: Some(flag), words, task }
        };
        let mut all: Vec<Open> = self.state.flags.open().into_iter().map(open).collect();
        all.extend(self.doubts.iter().map(|doubt| {
            let title = sheet.tasks.get(doubt.task).map_or("?", |task| task.title.as_str());
            Open {
                flag: None,
                words: format!("in doubt: somebody said \"{title}\" out of its turn; go and look"),
                task: Some(doubt.task),
            }
        }));
        all
    }

    /// The last task done that brought a flag to where it stands.
    fn brought(&self, sheet: &Sheet, flag: Flag, on: bool) -> Option<usize> {
        let brings = |kept: &&Kept| {
            sheet.tasks.get(kept.task).is_some_and(|task| {
                let effect = if on { task.effect.sets } else { task.effect.clears };
                effect.has(flag)
            })
        };
        self.kept.iter().rev().find(brings).map(|kept| kept.task)
    }

    fn take(&mut self, sheet: &Sheet, entry: &Entry, all: &[Entry]) {
        if self.last.is_some_and(|last| entry.at < last) {
            self.find(Sort::Noted, entry, "it is said to have happened before the entry above it");
        }
        self.last = Some(self.last.map_or(entry.at, |last| last.max(entry.at)));
        match &entry.event {
            Event::Corrected { entry: id } => {
                if !all.iter().any(|other| other.id == *id) {
                    self.find(Sort::Noted, entry, format!("it corrects {id}, which is not there"));
                }
            }
            _ if self.closed => self.find(Sort::Refused, entry, "the sheet was put away before"),
            Event::Closed => match self.may_close(sheet) {
                Ok(()) => self.closed = true,
                Err(why) => self.find(Sort::Refused, entry, why.to_string()),
            },
            Event::Resumed if !self.state.is(Flag::Paused) => self.unannounced(sheet, entry),
            _ => self.act(sheet, entry),
        }
    }

    /// Taken up again without having been put down: nothing moves, and what lay open is named.
    fn unannounced(&mut self, sheet: &Sheet, entry: &Entry) {
        let open: Vec<String> = self.recap(sheet).into_iter().map(|open| open.words).collect();
        let open = if open.is_empty() { "nothing".to_owned() } else { open.join("; ") };
        self.find(
            Sort::Noted,
            entry,
            format!("work was broken off without a pause; what lay open then: {open}"),
        );
    }

    fn act(&mut self, sheet: &Sheet, entry: &Entry) {
        let (action, value, held) = match self.action(sheet, &entry.event, entry.at) {
            Ok(action) => action,
            Err(why) => return self.refuse(sheet, entry, &why),
        };
        let next = match sheet.apply(&self.state, action) {
            Ok(next) => next,
            Err(why) => return self.refuse(sheet, entry, &why),
        };
        if let Some(why) = held {
            self.find(Sort::Held, entry, format!("{}: {why}", sheet.title(action)));
        }
        self.state = next;
        self.kept.retain(|kept| next.done.has(kept.task));
        if let Action::Task(task, true) = action {
            let by = entry.by.clone();
            self.kept.push(Kept { task, value, at: entry.at, by, entry: entry.id.clone() });
            self.doubts.retain(|doubt| doubt.task != task);
        }
        if matches!(action, Action::Step(..)) && next.stop().is_none() {
            self.doubts.clear();
        }
    }

    /// Kept as a finding; what it says may lie open is a doubt.
    fn refuse(&mut self, sheet: &Sheet, entry: &Entry, why: &Refusal) {
        self.find(Sort::Refused, entry, why.to_string());
        let Event::Done { task, .. } = &entry.event else { return };
        let Some(task) = sheet.find(task).filter(|&task| !self.state.done.has(task)) else {
            return;
        };
        let Some(effect) = sheet.tasks.get(task).map(|task| task.effect) else { return };
        let opens = |flag: &Flag| match flag.rest() {
            Rest::On => effect.clears.has(*flag),
            Rest::Off => effect.sets.has(*flag),
            Rest::Any => false,
        };
        if Flag::ALL.iter().any(opens) && self.doubts.iter().all(|doubt| doubt.task != task) {
            self.doubts.push(Doubt { task, effect });
        }
    }

    fn find(&mut self, sort: Sort, entry: &Entry, words: impl Into<String>) {
        let (entry, at, by) = (entry.id.clone(), entry.at, entry.by.clone());
        self.findings.push(Finding { sort, entry, at, by, words: words.into() });
    }

    /// The action that an event is, with its reading and why that does not pass.
    fn action(
        &self,
        sheet: &Sheet,
        event: &Event,
        at: Timestamp,
    ) -> Result<(Action, Value, Option<String>), Refusal> {
        let plain = |action| Ok((action, Value::Nothing, None));
        match event {
            Event::Done { task, reading } => {
                let place = sheet.find(task);
                let facts = place.and_then(|place| sheet.tasks.get(place));
                let (Some(place), Some(facts)) = (place, facts) else {
                    return Err(Refusal::of(format!("there is no task {task} on this sheet")));
                };
                if reading.trim().is_empty() && !facts.hold {
                    return Ok((Action::Task(place, true), Value::Nothing, None));
                }
                let value =
                    facts.reads.read(reading).map_err(|error| Refusal::of(error.to_string()))?;
                let judged = match facts.reads.judge(&value) {
                    Judged::Fails(why) => Some(why),
                    Judged::Passes => self.too_soon(sheet, place, &value, at),
                };
                Ok((Action::Task(place, judged.is_none()), value, judged))
            }
            Event::Called { stop } => plain(Action::Call(*stop)),
            Event::Stepped { stop, step, .. } => plain(Action::Step(*stop, *step)),
            Event::Paused => plain(Action::Pause),
            Event::Resumed => plain(Action::Resume),
            Event::Corrected { .. } | Event::Closed => Err(Refusal::of("it moves nothing")),
        }
    }

    /// A wait that is longer than the time since what it waits for.
    fn too_soon(&self, sheet: &Sheet, task: usize, value: &Value, at: Timestamp) -> Option<String> {
        let task = sheet.tasks.get(task)?;
        let (Reads::Waited { .. }, Value::Waited(waited)) = (&task.reads, value) else {
            return None;
        };
        let since = |kept: &&Kept| task.needs.contains(&Need::Done(kept.task));
        let since = self.kept.iter().filter(since).map(|kept| kept.at).max()?;
        #[expect(clippy::cast_precision_loss, reason = "seconds of a day")]
        let passed = Time::of(at.duration_since(since).as_secs().max(0) as f64, unit::S);
        // A minute for the clock that was read without seconds.
        let short = *waited > passed + Time::of(1.0, unit::MIN);
        short.then(|| {
            let passed = passed.count(unit::MIN).floor();
            format!("only {passed:.0} min have passed by the entries")
        })
    }

    /// A sheet is put away at its end, when it was stopped for good, or when nothing lies open.
    fn may_close(&self, sheet: &Sheet) -> Result<(), Refusal> {
        if let Some(stop) = self.state.stop() {
            return Err(Refusal::of(format!("finish the steps first: {}", stop.title())));
        }
        if sheet.ended(&self.state) || self.state.is(Flag::ForGood) {
            return Ok(());
        }
        let open: Vec<String> = self
            .recap(sheet)
            .into_iter()
            .filter(|open| open.flag != Some(Flag::Paused))
            .map(|open| open.words)
            .collect();
        if open.is_empty() { Ok(()) } else { Err(Refusal { because: open }) }
    }
}

/// For each entry, whether a later one that stands corrects it.
fn corrected(entries: &[Entry]) -> Vec<bool> {
    let mut void = vec![false; entries.len()];
    for at in (0..entries.len()).rev() {
        let (false, Event::Corrected { entry: id }) = (void[at], &entries[at].event) else {
            continue;
        };
        for (earlier, void) in entries.iter().zip(&mut void).take(at) {
            if earlier.id == *id {
                *void = true;
            }
        }
    }
    void
}
