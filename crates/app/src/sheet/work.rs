//! Working through a sheet: what a person states, and what becomes of it. The terminal and the
//! page both go through here.
//!
//! Nothing is said to be done before it is on the disk. What stands is read from the records
//! again after each of them, so that what is shown is what would be shown after a flat battery.

use stillprop_ledger::{
    event::v2::{self, Entry, Outcome},
    runs::{Line, Run},
};
use stillprop_turnaround::sheet::{
    self, Action, Flag, Progress, Put, Reads, Refusal, Sheet, Sort, Stop, Task, Unread, Value,
};
use uuid::Uuid;

use super::{Journal, Stated, enter};
use crate::problem::Failure;

/// What a break means: nothing is put down by it.
pub(crate) const BREAK: &str = "kept: the work is broken off. That puts nothing down: what stands \
    open stands open until it is said that it is not.";

/// Somebody at a sheet.
pub(crate) struct Work<'a> {
    sheet: &'a Sheet,
    journal: &'a mut Journal,
    id: Uuid,
    stated: Stated,
    /// The id that the next record takes, so that the same statement sent twice is kept once.
    token: Option<Uuid>,
    /// What the records tell.
    pub(crate) run: Run,
    /// Where the sheet stands by them.
    pub(crate) progress: Progress,
}

/// Where the work stands now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shown {
    /// A task may be done.
    Task(usize),
    /// A step of a stop action is due.
    Step(Stop, u8),
    /// Something is to be put down in a break.
    Put(usize),
    /// The work is broken off, and all of it is put down.
    Paused,
    /// Every task is done.
    End,
    /// Stopped for good.
    ForGood,
    /// Nothing can be done now, and it is not the end.
    Stuck,
}

/// What became of a task that was said to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Said {
    /// It is kept, and passed; with what came to be in doubt by it.
    Kept(Vec<String>),
    /// It is kept, and did not pass.
    DoesNotPass(String),
    /// It is no answer, and nothing was kept.
    NotTaken(Unread),
    /// It is not put down, and nothing was kept.
    NotPut(String),
}

/// What became of a reading that was read again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Reread {
    /// It is corrected; with the task, and all that is in doubt now.
    Kept(String, Vec<String>),
    /// It is no answer, and nothing was kept.
    NotTaken(Unread),
    /// Only litres and dips are read again.
    NoAmount,
    /// It is not done yet.
    NotDone,
}

/// What became of an undo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Undone {
    /// This was taken back.
    Taken(String),
    /// A stop is not taken back.
    Stop,
    /// Nothing is done yet.
    Nothing,
}

/// Where a sheet stands. `put_off` counts the tasks that could be done now and were passed over.
pub(crate) fn shown(sheet: &Sheet, progress: &Progress, put_off: usize) -> Shown {
    let state = &progress.state;
    if let Some((stop, step)) = progress.step() {
        return Shown::Step(stop, step);
    }
    if sheet.ended(state) {
        return Shown::End;
    }
    if state.is(Flag::ForGood) {
        return Shown::ForGood;
    }
    if state.is(Flag::Paused) {
        return sheet.next_put(state).map_or(Shown::Paused, Shown::Put);
    }
    let mut tasks: Vec<usize> =
        progress.next(sheet).into_iter().flat_map(|next| next.tasks).collect();
    tasks.sort_unstable();
    let place = put_off.checked_rem(tasks.len());
    place.and_then(|place| tasks.get(place)).map_or(Shown::Stuck, |task| Shown::Task(*task))
}

/// Whether litres or a dip are read at it: what can be read again.
pub(crate) const fn is_amount(task: &Task) -> bool {
    matches!(task.reads, Reads::Litres { .. } | Reads::Dip)
}

/// What the records tell now, and where the sheet stands by it.
pub(crate) fn told(journal: &Journal, sheet: &Sheet, id: Uuid) -> Result<(Run, Progress), Failure> {
    let run = journal.run(id)?.ok_or_else(|| {
        Failure::asked("the records of this sheet are gone", "bring them in, or begin anew")
    })?;
    let progress = Progress::fold(sheet, &enter::entries(sheet, &run));
    Ok((run, progress))
}

impl<'a> Work<'a> {
    /// Takes up a sheet.
    pub(crate) fn of(
        sheet: &'a Sheet,
        journal: &'a mut Journal,
        id: Uuid,
        stated: Stated,
    ) -> Result<Self, Failure> {
        let (run, progress) = told(journal, sheet, id)?;
        Ok(Self { sheet, journal, id, stated, token: None, run, progress })
    }

    /// The next record takes this id, so that the same statement sent twice is kept once.
    pub(crate) fn once(&mut self, token: Option<Uuid>) {
        self.token = token;
    }

    /// Where the work stands now.
    pub(crate) fn shown(&self, put_off: usize) -> Shown {
        shown(self.sheet, &self.progress, put_off)
    }

    /// Nobody said what became of the work before this: where it was under way, that is a
    /// break like any other, and puts nothing down.
    pub(crate) fn unsaid(&mut self) -> Result<(), Failure> {
        if !matches!(self.shown(0), Shown::Task(_) | Shown::Stuck) {
            return Ok(());
        }
        let note = Some(enter::BROKEN_OFF.to_owned());
        self.note(vec![v2::Event::Interrupted(v2::Interrupted { sheet: self.id, note })])
    }

    /// Records, and reads again what stands.
    fn note(&mut self, events: Vec<v2::Event>) -> Result<(), Failure> {
        self.journal.note(&self.stated, self.token.take(), events)?;
        (self.run, self.progress) = told(self.journal, self.sheet, self.id)?;
        Ok(())
    }

    fn would(&self, event: &sheet::Event) -> Result<(), Refusal> {
        self.progress.would(self.sheet, event, self.stated.now())
    }

    fn doer(&self, task: &Task) -> v2::Doer {
        let role = task.who;
        let name = self.sheet.roles.iter().find(|(other, _)| *other == role);
        let name = name.map(|(_, name)| name.clone());
        let person = name.filter(|name| *name != self.stated.author && name != role.word());
        v2::Doer { role: role.word().to_owned(), person }
    }

    /// A task is said to be done; `None` when there is no such task.
    pub(crate) fn done(
        &mut self,
        place: usize,
        text: Option<String>,
    ) -> Result<Option<Said>, Failure> {
        let Some(task) = self.sheet.tasks.get(place) else { return Ok(None) };
        let (note, typed) = match (&task.reads, text) {
            (Reads::Nothing, note) => (note, String::new()),
            (_, typed) => (None, typed.unwrap_or_default()),
        };
        let left_out = typed.is_empty() && !task.hold;
        let value = if left_out { Ok(Value::Nothing) } else { task.reads.read(&typed) };
        let value = match value {
            Ok(value) => value,
            Err(why) => return Ok(Some(Said::NotTaken(why))),
        };
        let reading = enter::reading(&typed, &value);
        let (sheet, id, by) = (self.id, task.id.clone(), self.doer(task));
        let event = sheet::Event::Done { task: id.clone(), reading: typed };
        match self.would(&event) {
            Ok(()) => {
                let before = self.progress.findings.len();
                let done = v2::TaskDone { sheet, task: id, by, reading, note };
                self.note(vec![v2::Event::TaskDone(done)])?;
                Ok(Some(Said::Kept(self.doubts(before))))
            }
            Err(refusal) => {
                let why = refusal.because.join("; ");
                let refused = v2::HoldRefused { sheet, task: id, by, reading, why: why.clone() };
                self.note(vec![v2::Event::HoldRefused(refused)])?;
                Ok(Some(Said::DoesNotPass(why)))
            }
        }
    }

    /// What came to be in doubt with the last record.
    fn doubts(&self, before: usize) -> Vec<String> {
        let new = self.progress.findings.iter().skip(before);
        let new = new.filter(|finding| finding.sort == Sort::Noted);
        new.map(|finding| finding.words.clone()).collect()
    }

    /// Something is said to be put down; `None` when there is no such thing.
    pub(crate) fn put(
        &mut self,
        place: usize,
        text: Option<String>,
    ) -> Result<Option<Said>, Failure> {
        let Some(put) = self.sheet.puts.get(place) else { return Ok(None) };
        let typed = text.unwrap_or_default();
        let value = match put.reads.read(&typed) {
            Ok(value) => value,
            Err(why) => return Ok(Some(Said::NotTaken(why))),
        };
        let event = sheet::Event::Done { task: put.id.to_owned(), reading: typed.clone() };
        if let Err(refusal) = self.would(&event) {
            return Ok(Some(Said::NotPut(refusal.because.join("; "))));
        }
        let before = self.progress.findings.len();
        self.note(vec![self.down(put, &typed, &value)])?;
        Ok(Some(Said::Kept(self.doubts(before))))
    }

    fn down(&self, put: &Put, typed: &str, value: &Value) -> v2::Event {
        let by = v2::Doer { role: "whoever is there".into(), person: None };
        let (task, note) = (put.id.to_owned(), Some(put.title.to_owned()));
        let reading = enter::reading(typed, value);
        v2::Event::TaskDone(v2::TaskDone { sheet: self.id, task, by, reading, note })
    }

    /// A stop is called; or why it is not.
    pub(crate) fn call(&mut self, stop: Stop) -> Result<Result<(), Refusal>, Failure> {
        let event = sheet::Event::Called { stop };
        if let Err(refusal) = self.would(&event) {
            return Ok(Err(refusal));
        }
        let called = v2::StopCalled { sheet: self.id, stop: enter::kept(stop), note: None };
        self.note(vec![v2::Event::StopCalled(called)])?;
        Ok(Ok(()))
    }

    /// A step of a stop action is done; false when there is no such step.
    pub(crate) fn step(
        &mut self,
        stop: Stop,
        step: u8,
        note: Option<String>,
    ) -> Result<bool, Failure> {
        let plan = self.sheet.plan(stop);
        let Some(plan_step) = plan.and_then(|plan| plan.steps.get(usize::from(step))) else {
            return Ok(false);
        };
        let by = v2::Doer { role: "whoever is there".into(), person: None };
        let what = plan_step.title.clone();
        let (sheet, kept) = (self.id, enter::kept(stop));
        let number = step.saturating_add(1);
        let done = v2::StopStepDone { sheet, stop: kept, step: number, what, by, note };
        let mut events = vec![v2::Event::StopStepDone(done)];
        // The last step of the last stop ends it; the ledger is told so in the same breath.
        let over = self.sheet.apply(&self.progress.state, Action::Step(stop, step));
        if over.is_ok_and(|state| state.stop().is_none()) {
            events.push(v2::Event::Resumed(v2::Resumed { sheet, note: None }));
        }
        self.note(events)?;
        Ok(true)
    }

    /// The work is broken off; or why it is not. That puts nothing down.
    pub(crate) fn pause(&mut self) -> Result<Result<(), Refusal>, Failure> {
        if let Err(refusal) = self.would(&sheet::Event::Paused) {
            return Ok(Err(refusal));
        }
        self.note(vec![v2::Event::Interrupted(v2::Interrupted { sheet: self.id, note: None })])?;
        Ok(Ok(()))
    }

    /// The work is taken up again; or why it is not: something is still to be put down.
    pub(crate) fn resume(&mut self) -> Result<Result<(), Refusal>, Failure> {
        if let Err(refusal) = self.would(&sheet::Event::Resumed) {
            return Ok(Err(refusal));
        }
        self.note(vec![v2::Event::Resumed(v2::Resumed { sheet: self.id, note: None })])?;
        Ok(Ok(()))
    }

    /// The last entry was wrong. It is corrected by a record; nothing is taken off.
    pub(crate) fn undo(&mut self, why: Option<String>) -> Result<Undone, Failure> {
        let lines = &self.run.lines;
        let between = |entry: &Entry| matches!(entry, Entry::Interrupted(_) | Entry::Resumed(_));
        let place = lines.iter().rposition(|line| !between(&line.what));
        let Some(last) = place.and_then(|place| lines.get(place)) else {
            return Ok(Undone::Nothing);
        };
        let (title, ends_stop) = match &last.what {
            Entry::TaskDone(it) => (self.title(&it.task), false),
            Entry::HoldRefused(it) => (self.title(&it.task), false),
            Entry::StopStepDone(it) => (it.what.clone(), true),
            Entry::StopCalled(_) => return Ok(Undone::Stop),
            _ => return Ok(Undone::Nothing),
        };
        // With the last step of a stop, that the work goes on is taken back too.
        let after = lines.iter().skip(place.unwrap_or(0) + 1);
        let after = after.filter(|line| ends_stop && matches!(line.what, Entry::Resumed(_)));
        let reason = why.unwrap_or_else(|| "entered by mistake".into());
        let correct = |line: &Line| {
            let (sheet, of, reason) = (self.id, line.record.0, reason.clone());
            v2::Event::Corrected(v2::Corrected { sheet, of, instead: None, reason })
        };
        let events = std::iter::once(last).chain(after).map(correct).collect();
        self.note(events)?;
        Ok(Undone::Taken(title))
    }

    /// Litres or a dip were misread: the record is corrected, and keeps its place among the others.
    pub(crate) fn reread(&mut self, place: usize, typed: &str) -> Result<Reread, Failure> {
        let task = self.sheet.tasks.get(place);
        let Some(task) = task.filter(|task| is_amount(task)) else { return Ok(Reread::NoAmount) };
        let line = self.run.done(&task.id).filter(|_| self.progress.state.done.has(place));
        let Some((line, Entry::TaskDone(done))) = line.map(|line| (line, &line.what)) else {
            return Ok(Reread::NotDone);
        };
        let value = match task.reads.read(typed) {
            Ok(value) => value,
            Err(why) => return Ok(Reread::NotTaken(why)),
        };
        let right = v2::TaskDone { reading: enter::reading(typed, &value), ..done.clone() };
        let (sheet, of, reason) = (self.id, line.record.0, "misread".to_owned());
        let instead = Some(Box::new(Entry::TaskDone(right)));
        let corrected = v2::Corrected { sheet, of, instead, reason };
        self.note(vec![v2::Event::Corrected(corrected)])?;
        Ok(Reread::Kept(task.title.clone(), self.doubts(0)))
    }

    fn title(&self, task: &str) -> String {
        if let Some(put) = self.sheet.puts.iter().find(|put| put.id == task) {
            return put.title.to_owned();
        }
        let task = self.sheet.find(task).and_then(|place| self.sheet.tasks.get(place));
        task.map_or_else(|| "a task of another sheet".into(), |task| task.title.clone())
    }

    /// The sheet is put away: every task is done, or it was stopped for good.
    pub(crate) fn close(&mut self, finished: bool) -> Result<(), Failure> {
        let outcome = if finished { Outcome::Finished } else { Outcome::Stopped };
        let closed = v2::SheetClosed { sheet: self.id, outcome, note: None };
        self.note(vec![v2::Event::SheetClosed(closed)])
    }
}
