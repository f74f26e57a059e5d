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
    amount::Taken,
    facts::litres,
    flag::{Flag, Rest},
    machine::{Action, Refusal, Sheet},
    reading::{self, Judged, Named, Reads, Value, unnamed},
    state::State,
    stop::Stop,
    task::{Effect, Need, Role, Task},
    wait::{Told, Wait},
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
    /// Work was broken off. Nothing is put down by that: each thing is said by itself.
    Paused,
    /// It was found that work had been broken off without a word.
    BrokenOff,
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
    /// What went in, by filling.
    taken: Vec<Taken>,
    /// What of it does not agree.
    amiss: Vec<String>,
    doubts: Vec<Doubt>,
    /// A drum was set aside: what the ledger says may be of another.
    set_aside: bool,
    /// Who was named at which task, with the time, whether that was everybody or not.
    named: Vec<(usize, Named)>,
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
            taken: vec![Taken::default(); sheet.amounts.fillings.len()],
            amiss: Vec::new(),
            doubts: Vec::new(),
            set_aside: false,
            named: Vec::new(),
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
            Event::BrokenOff => Ok(()),
            Event::Resumed => sheet.apply(&self.state, Action::Resume).map(drop),
            _ => {
                let (action, _, held) = self.action(sheet, event, at)?;
                sheet.apply(&self.state, action)?;
                let ahead = self.waits(sheet, action).and_then(|wait| wait.ahead(self.told(), at));
                held.or(ahead).map_or(Ok(()), |why| Err(Refusal::of(why)))
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
        let amiss = self.amiss.iter();
        all.extend(amiss.map(|words| Open {
            flag: None,
            words: format!("in doubt: {words}"),
            task: None,
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
            Event::BrokenOff => self.unannounced(sheet, entry),
            Event::Resumed if !self.state.is(Flag::Paused) => self.unannounced(sheet, entry),
            _ => self.act(sheet, entry),
        }
    }

    /// Broken off without a word: it is a break like any other, and what lay open is named.
    fn unannounced(&mut self, sheet: &Sheet, entry: &Entry) {
        if self.state.is(Flag::Paused) {
            return;
        }
        let open: Vec<String> = self.recap(sheet).into_iter().map(|open| open.words).collect();
        let open = if open.is_empty() { "nothing".to_owned() } else { open.join("; ") };
        self.find(
            Sort::Noted,
            entry,
            format!("work was broken off without a pause; what lay open then: {open}"),
        );
        // While a stop is in force its steps are what comes next, and nothing else does.
        if let Ok(paused) = sheet.apply(&self.state, Action::Pause) {
            self.state = paused;
            self.kept.retain(|kept| paused.done.has(kept.task));
        }
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
        let value = match (action, value) {
            (Action::Task(task, _), Value::Named(said)) => self.name(task, said),
            (_, value) => value,
        };
        let before = std::mem::replace(&mut self.state, next);
        self.count(sheet, &before, action, &value);
        self.kept.retain(|kept| next.done.has(kept.task));
        if let Action::Task(task, true) = action {
            let by = entry.by.clone();
            self.kept.push(Kept { task, value, at: entry.at, by, entry: entry.id.clone() });
            self.doubts.retain(|doubt| doubt.task != task);
        }
        self.set_aside |= next.is(Stop::WrongFuel.flag());
        if matches!(action, Action::Step(..)) && next.stop().is_none() {
            self.doubts.clear();
        }
        let said = sheet.amounts.doubts(&self.taken);
        let known = std::mem::replace(&mut self.amiss, said.clone());
        for words in said.into_iter().filter(|words| !known.contains(words)) {
            self.find(Sort::Noted, entry, words);
        }
    }

    /// What went in, and what a dip said.
    fn count(&mut self, sheet: &Sheet, before: &State, action: Action, value: &Value) {
        let run = |task: usize| sheet.tasks.get(task).and_then(|task| task.run);
        let pumping = self.brought(sheet, Flag::PumpRuns, true).and_then(run);
        let stopped = before.is(Flag::PumpRuns) && !self.state.is(Flag::PumpRuns);
        let ends = matches!(action, Action::Task(..));
        if let Some(taken) = pumping.filter(|_| stopped).and_then(|run| self.taken.get_mut(run)) {
            match value {
                Value::Litres(litres) => taken.counted += *litres,
                // A stop, or a counter that nobody read.
                _ => taken.unread = true,
            }
            taken.over |= ends;
        }
        let Action::Task(task, true) = action else { return };
        if let (Some(run), Value::Dipped(dip)) = (run(task), value)
            && let Some(taken) = self.taken.get_mut(run)
        {
            taken.dipped = Some(*dip);
        }
    }

    /// Keeps who was named; gives everybody named at the task so far.
    fn name(&mut self, task: usize, said: Vec<Named>) -> Value {
        self.named.extend(said.into_iter().map(|named| (task, named)));
        Value::Named(self.named(task).cloned().collect())
    }

    /// Who was named at a task so far, with the time.
    pub fn named(&self, task: usize) -> impl Iterator<Item = &Named> {
        self.named.iter().filter(move |(at, _)| *at == task).map(|(_, named)| named)
    }

    /// Who was named at a task so far, and who was not yet.
    fn naming(&self, task: usize, people: &[String]) -> Vec<String> {
        let named: Vec<Named> = self.named(task).cloned().collect();
        if named.is_empty() {
            return Vec::new();
        }
        let said: Vec<String> = named.iter().map(ToString::to_string).collect();
        let left = unnamed(people, &named);
        let left = if left.is_empty() { "nobody".to_owned() } else { left.join(", ") };
        vec![format!("said already: {}; left: {left}", said.join(", "))]
    }

    /// What is to be known at a task from what went in before.
    #[must_use]
    pub fn remarks(&self, sheet: &Sheet, task: usize) -> Vec<String> {
        if let Some(wait) = self.waits(sheet, Action::Task(task, true)) {
            return wait.remarks(self.told());
        }
        let Some(facts) = sheet.tasks.get(task) else { return Vec::new() };
        if let Reads::Named { people, .. } = &facts.reads {
            return self.naming(task, people);
        }
        let task = facts;
        let pumps = (task.effect.sets | task.effect.clears).has(Flag::PumpRuns);
        let run = task.run.filter(|_| pumps);
        let of = |run: usize| Some((self.taken.get(run)?, sheet.amounts.fillings.get(run)?));
        let Some((taken, filling)) = run.and_then(of) else { return Vec::new() };
        let mut remarks = Vec::new();
        if taken.unread {
            remarks.push(
                "it was stopped on the way and its counter was not read: what went in is \
                 unknown; read the counter and dip before it goes on"
                    .to_owned(),
            );
        }
        if taken.counted.value > 0.0 {
            let left = filling.planned - taken.counted;
            let left = if left.value > 0.0 { litres(left) } else { "nothing".into() };
            remarks.push(format!(
                "{} went in before the break: {left} is left to go in, not the whole",
                litres(taken.counted)
            ));
        }
        remarks
    }

    /// The wait for the drums, at the task that asks for it.
    fn waits<'a>(&self, sheet: &'a Sheet, action: Action) -> Option<&'a Wait> {
        let Action::Task(task, _) = action else { return None };
        let task = sheet.tasks.get(task)?;
        sheet.wait.as_ref().filter(|_| task.effect.sets.has(Flag::DrumsSettled))
    }

    fn told(&self) -> Told<'_> {
        Told { kept: &self.kept, set_aside: self.set_aside }
    }

    /// How long every drum has stood at least, at the task that asks for it; `None` at any other
    /// and when it is not known.
    #[must_use]
    pub fn stood(&self, sheet: &Sheet, task: usize, at: Timestamp) -> Option<Time> {
        self.waits(sheet, Action::Task(task, true))?.least_stood(self.told(), at)
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
                if let Some(put) = sheet.puts.iter().position(|put| put.id == task) {
                    return put_down(sheet, put, reading);
                }
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
                let judged = match self.judge(place, &facts.reads, &value) {
                    Judged::Fails(why) => Some(why),
                    Judged::Passes => {
                        self.disagrees(facts).or_else(|| self.too_soon(sheet, place, &value, at))
                    }
                };
                Ok((Action::Task(place, judged.is_none()), value, judged))
            }
            Event::Called { stop } => plain(Action::Call(*stop)),
            Event::Stepped { stop, step, .. } => plain(Action::Step(*stop, *step)),
            Event::Paused => plain(Action::Pause),
            Event::Resumed => plain(Action::Resume),
            Event::Corrected { .. } | Event::Closed | Event::BrokenOff => {
                Err(Refusal::of("it moves nothing"))
            }
        }
    }

    /// Judges a reading; one that names people together with who was named before.
    fn judge(&self, task: usize, reads: &Reads, value: &Value) -> Judged {
        match (reads, value) {
            (Reads::Named { deed, people }, Value::Named(said)) => {
                let all: Vec<Named> = self.named(task).chain(said).cloned().collect();
                reading::each(*deed, people, &all)
            }
            _ => reads.judge(value),
        }
    }

    /// What does not agree yet, at the task that asks whether it does.
    fn disagrees(&self, task: &Task) -> Option<String> {
        (task.agrees && !self.amiss.is_empty()).then(|| self.amiss.join("; "))
    }

    /// A wait that is longer than the time since what it waits for.
    fn too_soon(
        &self,
        sheet: &Sheet,
        place: usize,
        value: &Value,
        at: Timestamp,
    ) -> Option<String> {
        let task = sheet.tasks.get(place)?;
        let (Reads::Waited { .. }, Value::Waited(waited)) = (&task.reads, value) else {
            return None;
        };
        if let Some(wait) = self.waits(sheet, Action::Task(place, true)) {
            return wait.too_soon(*waited, self.told(), at);
        }
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

/// Something that is said to be put down, with what was read.
fn put_down(
    sheet: &Sheet,
    put: usize,
    reading: &str,
) -> Result<(Action, Value, Option<String>), Refusal> {
    let Some(facts) = sheet.puts.get(put) else { return Err(Refusal::of("no such thing")) };
    let value = facts.reads.read(reading).map_err(|error| Refusal::of(error.to_string()))?;
    match facts.reads.judge(&value) {
        Judged::Passes => Ok((Action::Put(put), value, None)),
        Judged::Fails(why) => Err(Refusal::of(format!("{}: {why}", facts.title))),
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

#[cfg(test)]
mod tests {
    use jiff::SignedDuration;

    use super::{
        super::{Flags, Fuelling, Start, fixture},
        *,
    };

    fn sheet() -> Sheet {
        fixture::sheet(&fixture::facts(Fuelling::SelfServe, Start::Electric, 1, 0))
    }

    /// Entries half an hour apart; `-` before a task leaves its reading out.
    fn told(lines: &[(&str, &str)]) -> Vec<Entry> {
        let begin: Timestamp = "2026-06-21T04:00:00Z".parse().unwrap();
        let entry = |(number, (what, reading)): (usize, &(&str, &str))| {
            let reading = (*reading).to_owned();
            let event = match *what {
                "pause" => Event::Paused,
                "broken off" => Event::BrokenOff,
                "resume" => Event::Resumed,
                "close" => Event::Closed,
                "correct" => Event::Corrected { entry: reading },
                what => match what.strip_prefix("stop ").and_then(Stop::named) {
                    Some(stop) => match reading.parse() {
                        Ok(step) => Event::Stepped { stop, step, note: String::new() },
                        Err(_) => Event::Called { stop },
                    },
                    None => Event::Done { task: what.into(), reading },
                },
            };
            let minutes = 30 * i64::try_from(number).unwrap();
            let at = begin + SignedDuration::from_mins(minutes);
            Entry { id: format!("e{number}"), at, by: "Heron".into(), event }
        };
        lines.iter().enumerate().map(entry).collect()
    }

    const FUELLED: [(&str, &str); 25] = [
        ("chocks", ""),
        ("switches", ""),
        ("master", ""),
        ("people-off", ""),
        ("spill-kit", ""),
        ("extinguishers", ""),
        ("emergency-stop", "red knob"),
        ("grade", "Avgas 100LL"),
        ("hose-out", ""),
        ("sample-lead", ""),
        ("sample-source", "clear, blue"),
        ("paste-source", "dry"),
        ("density-source", "0.712 kg/L at 20 degC"),
        ("filter", "yes"),
        ("aircraft-lead-on", ""),
        ("nozzle-lead-on-left", ""),
        ("cap-off-left", ""),
        ("nozzle-in-left", ""),
        ("pump-on-left", ""),
        ("pump-off-left", "54 L"),
        ("nozzle-out-left", ""),
        ("dip-left", "112 mm"),
        ("cap-on-left", ""),
        ("nozzle-lead-off-left", ""),
        ("caps-seen", "yes"),
    ];

    #[test]
    fn a_day_as_it_should_be_has_no_finding_and_says_who_did_what() {
        let sheet = sheet();
        let progress = Progress::fold(&sheet, &told(&FUELLED));
        assert_eq!(progress.findings, []);
        assert_eq!(progress.kept.len(), FUELLED.len());
        let litres = &progress.kept[19];
        assert_eq!(litres.value, Value::Litres(fixture::litres(54.0)));
        assert_eq!((litres.by.as_str(), litres.entry.as_str()), ("Heron", "e19"));
        let next: Vec<&str> = progress
            .next(&sheet)
            .iter()
            .flat_map(|next| &next.tasks)
            .map(|&task| sheet.tasks[task].id.as_str())
            .collect();
        let want = ["aircraft-lead-off", "ticket", "walk-edges", "covers-off"];
        assert_eq!(next, want);
    }

    #[test]
    fn what_breaks_a_guard_is_refused_in_words_kept_as_a_finding_and_named_by_the_recap() {
        let sheet = sheet();
        let progress = Progress::fold(&sheet, &told(&[("chocks", ""), ("cap-off-left", "")]));
        assert!(!progress.state.is(Flag::CapOpen));
        let [finding] = &progress.findings[..] else { panic!("{:?}", progress.findings) };
        assert_eq!(finding.sort, Sort::Refused);
        for words in
            ["nozzle to the aeroplane is not on", "master switch is not", "passengers are aboard"]
        {
            assert!(finding.words.contains(words), "{}", finding.words);
        }
        let doubt = progress.recap(&sheet).into_iter().find(|open| open.flag.is_none()).unwrap();
        assert!(doubt.words.contains("left: wipe round the filler, cap off"), "{}", doubt.words);
        // Corrected, it was never said.
        let corrected = told(&[("chocks", ""), ("cap-off-left", ""), ("correct", "e1")]);
        let progress = Progress::fold(&sheet, &corrected);
        assert_eq!(progress.findings, []);
        assert!(progress.recap(&sheet).iter().all(|open| open.flag.is_some()));
    }

    #[test]
    fn a_bad_reading_does_not_pass_and_leads_to_the_stop() {
        let sheet = sheet();
        for (task, bad) in [
            ("grade", "jet A-1"),
            ("sample-source", "haze, blue"),
            ("sample-source", "clear, straw"),
            ("paste-source", "wet"),
            ("density-source", "0.800 kg/L at 20 degC"),
        ] {
            let place = FUELLED.iter().position(|(id, _)| *id == task).unwrap();
            let mut lines = FUELLED[..place].to_vec();
            lines.push((task, bad));
            let progress = Progress::fold(&sheet, &told(&lines));
            assert_eq!(progress.step(), Some((Stop::WrongFuel, 0)), "{task} {bad}");
            assert_eq!(progress.findings.last().unwrap().sort, Sort::Held);
            assert!(!progress.state.done.has(sheet.find(task).unwrap()));
            assert!(progress.next(&sheet).iter().all(|next| next.tasks.is_empty()));
            // Set aside, and the source is looked at from the beginning.
            lines.extend([("stop wrong-fuel", "0"), ("stop wrong-fuel", "1")]);
            let progress = Progress::fold(&sheet, &told(&lines));
            assert_eq!(progress.step(), None);
            assert!(!progress.state.is(Flag::Passed0) && !progress.state.is(Flag::Grade));
        }
    }

    #[test]
    fn what_was_misread_moves_nothing() {
        let sheet = sheet();
        for (task, bad, words) in [
            ("density-source", "0.712 kg/L", "temperature of the sample is missing"),
            ("density-source", "712 at 20 degC", "no unit"),
            ("density-source", "", "nothing was read"),
            ("paste-source", "damp", "write dry or wet"),
            ("no-such-task", "", "no task no-such-task"),
        ] {
            let place = FUELLED.iter().position(|(id, _)| *id == task).unwrap_or(0);
            let mut lines = FUELLED[..place].to_vec();
            let before = Progress::fold(&sheet, &told(&lines)).state;
            lines.push((task, bad));
            let progress = Progress::fold(&sheet, &told(&lines));
            assert_eq!(progress.state, before);
            let finding = progress.findings.last().unwrap();
            assert!(finding.words.contains(words), "{}", finding.words);
        }
    }

    #[test]
    fn bad_fuel_in_a_tank_ends_the_sheet() {
        let sheet = sheet();
        let mut lines = FUELLED[..19].to_vec();
        lines.extend([
            ("stop wrong-fuel", "x"),
            ("stop wrong-fuel", "0"),
            ("stop wrong-fuel", "1"),
        ]);
        let progress = Progress::fold(&sheet, &told(&lines));
        assert!(progress.state.is(Flag::ForGood) && progress.state.is(Flag::TanksBad));
        assert!(!progress.state.flags.meets(Flags::TAKING));
        let event = Event::Done { task: "drain".into(), reading: "clear, blue".into() };
        let why = progress.would(&sheet, &event, "2026-06-22T04:00:00Z".parse().unwrap());
        assert_eq!(why.unwrap_err().because, ["this sheet is stopped for good"]);
        lines.push(("close", ""));
        assert!(Progress::fold(&sheet, &told(&lines)).closed);
    }

    /// What a break asks for, in its order, until nothing is left.
    fn asked(sheet: &Sheet, lines: &[(&str, &str)]) -> Vec<&'static str> {
        let mut state = Progress::fold(sheet, &told(lines)).state;
        let mut asked = Vec::new();
        while let Some(put) = sheet.next_put(&state) {
            asked.push(sheet.puts[put].id);
            state = sheet.apply(&state, Action::Put(put)).unwrap();
        }
        asked
    }

    #[test]
    fn a_break_puts_nothing_down_and_each_thing_is_said_by_itself_in_a_safe_order() {
        let sheet = sheet();
        let mut lines = FUELLED[..19].to_vec();
        let before = Progress::fold(&sheet, &told(&lines)).state;
        lines.push(("pause", ""));
        let progress = Progress::fold(&sheet, &told(&lines));
        assert_eq!(progress.state.flags.without(Flag::Paused), before.flags);
        let recap: Vec<String> =
            progress.recap(&sheet).into_iter().map(|open| open.words).collect();
        for words in ["the pump runs", "a fuel cap is open", "the nozzle is in the filler"] {
            assert!(recap.iter().any(|open| open.contains(words)), "{words}: {recap:?}");
        }
        let order = ["put-down-pump", "put-down-nozzle", "put-down-cap"];
        assert_eq!(asked(&sheet, &lines), order);
        // Neither the next nor the work itself before it was said.
        for early in [("put-down-cap", "yes"), ("resume", ""), ("put-down-pump", "")] {
            let early = Progress::fold(&sheet, &told(&[&lines[..], &[early]].concat()));
            assert_eq!(early.state, progress.state);
            assert_eq!(early.findings.last().unwrap().sort, Sort::Refused);
        }
        lines.extend([
            ("put-down-pump", "20 L"),
            ("put-down-nozzle", "yes"),
            ("put-down-cap", "no"),
            ("put-down-cap", "yes"),
            ("resume", ""),
        ]);
        let progress = Progress::fold(&sheet, &told(&lines));
        assert_eq!(progress.findings.len(), 1, "{:?}", progress.findings);
        assert!(
            !progress.state.flags.meets(Flags::TAKING | Flags::POSTS | Flags::of(&[Flag::Paused]))
        );
        let next = progress.next(&sheet);
        assert!(next[0].tasks.contains(&sheet.find("cap-off-left").unwrap()));
        // What went in before is not asked for again.
        let remarks = progress.remarks(&sheet, sheet.find("pump-on-left").unwrap());
        assert!(remarks[0].contains("20 L went in before the break: 34 L is left"), "{remarks:?}");
    }

    #[test]
    fn work_broken_off_without_a_word_puts_nothing_down_and_goes_on_by_what_is_said() {
        let sheet = sheet();
        let mut lines = FUELLED[..19].to_vec();
        let before = Progress::fold(&sheet, &told(&lines)).state;
        for how in ["broken off", "resume"] {
            let mut lines = lines.clone();
            lines.push((how, ""));
            let progress = Progress::fold(&sheet, &told(&lines));
            assert_eq!(progress.state.flags, before.flags.with(Flag::Paused), "{how}");
            let finding = progress.findings.last().unwrap();
            assert_eq!(finding.sort, Sort::Noted);
            for words in ["the pump runs", "a fuel cap is open", "the nozzle is in the filler"] {
                assert!(finding.words.contains(words), "{}", finding.words);
            }
        }
        // A stop in force goes on with its steps.
        lines.extend([("stop spill", "x"), ("broken off", "")]);
        let progress = Progress::fold(&sheet, &told(&lines));
        assert_eq!(progress.step(), Some((Stop::Spill, 0)));
        assert!(!progress.state.is(Flag::Paused));
    }

    #[test]
    fn a_wait_is_held_against_the_figure_and_against_the_clock_of_the_entries() {
        let sheet = sheet();
        let with = |waited: &'static str| {
            let mut lines = FUELLED.to_vec();
            lines.push(("ticket", "4711"));
            lines.push(("settle-tanks", waited));
            Progress::fold(&sheet, &told(&lines))
        };
        assert!(with("15 min").state.is(Flag::Settled));
        assert!(with("31 min").state.is(Flag::Settled));
        let short = with("14 min");
        assert!(!short.state.is(Flag::Settled));
        assert!(short.findings[0].words.contains("14 min is not yet 15 min"));
        let long = with("32 min");
        assert!(!long.state.is(Flag::Settled));
        assert!(long.findings[0].words.contains("only 30 min have passed by the entries"));
    }

    #[test]
    fn the_drains_are_drained_again_once_and_not_twice() {
        let sheet = sheet();
        let mut lines = FUELLED.to_vec();
        lines.extend([
            ("ticket", "4711"),
            ("settle-tanks", "20 min"),
            ("drain", "clear, blue"),
            ("drain-paste", "wet"),
        ]);
        let once = Progress::fold(&sheet, &told(&lines));
        assert_eq!(once.step(), None);
        assert!(!once.state.done.has(sheet.find("drain").unwrap()));
        lines.push(("drain", "water"));
        let twice = Progress::fold(&sheet, &told(&lines));
        assert_eq!(twice.step(), Some((Stop::WrongFuel, 0)));
        assert!(twice.state.is(Flag::TanksBad));
    }

    #[test]
    fn a_sheet_is_not_put_away_while_something_lies_open() {
        let sheet = sheet();
        let mut lines = FUELLED.to_vec();
        lines.push(("close", ""));
        let progress = Progress::fold(&sheet, &told(&lines));
        assert!(!progress.closed);
        assert!(progress.findings[0].words.contains("the lead to the aeroplane is on"));
        lines.pop();
        lines.extend([
            ("aircraft-lead-off", ""),
            ("hose-away", ""),
            ("close", ""),
            ("ticket", "1"),
        ]);
        let progress = Progress::fold(&sheet, &told(&lines));
        assert!(progress.closed);
        assert_eq!(progress.findings.len(), 1);
    }

    #[test]
    fn a_correction_of_a_correction_brings_the_entry_back() {
        let sheet = sheet();
        let lines = [("chocks", ""), ("correct", "e0"), ("correct", "e1")];
        assert!(Progress::fold(&sheet, &told(&lines)).state.is(Flag::Chocks));
        assert!(!Progress::fold(&sheet, &told(&lines[..2])).state.is(Flag::Chocks));
        let unknown = Progress::fold(&sheet, &told(&[("correct", "e9")]));
        assert!(unknown.findings[0].words.contains("e9"));
    }
}
