//! Going through a sheet: what is shown, what is typed, and what becomes of it.
//!
//! Nothing is said to be done before it is on the disk. What stands is read from the records
//! again after each of them, so that what is shown is what would be shown after a flat battery.

use std::{cell::Cell, io::Write as _};

use jiff::Timestamp;
use stillprop_ledger::{
    event::v2::{self, Entry, Outcome},
    runs::Run,
};
use stillprop_turnaround::sheet::{self, Flag, Progress, Reads, Sheet, Sort, Stop, Task};
use uuid::Uuid;

use super::{
    enter,
    screen::View,
    words::{STOPS, Said, understand},
};
use crate::{
    problem::Failure,
    report::{
        sheet::{Head, WIDTH},
        text::CAUTION,
    },
    sheet::Journal,
    world,
};

/// A sheet that is gone through.
pub(super) struct Walk<'a> {
    head: &'a Head,
    sheet: &'a Sheet,
    journal: Journal,
    id: Uuid,
    stated: Stated,
    width: usize,
    run: Run,
    progress: Progress,
    /// How many of the tasks that could be done now were put off.
    put_off: usize,
    /// The reader has gone away: nobody sees what is said.
    gone: Cell<bool>,
}

/// Who states it, and when.
pub(super) struct Stated {
    /// Who.
    pub(super) author: String,
    /// When; now where it is not said.
    pub(super) at: Option<Timestamp>,
}

/// What a break means: nothing is put down by it.
const BREAK: &str = "kept: the work is broken off. That puts nothing down: what stands open stands \
    open until it is said that it is not.";

/// What is on the screen.
#[derive(Clone, Copy)]
enum Shown {
    Task(usize),
    Step(Stop, u8),
    /// Something that is to be put down in a break.
    Put(usize),
    /// All of it is put down.
    Paused,
    /// Every task is done.
    End,
    /// Stopped for good.
    ForGood,
    /// Nothing can be done now, and it is not the end.
    Stuck,
}

impl<'a> Walk<'a> {
    pub(super) fn of(
        head: &'a Head,
        sheet: &'a Sheet,
        journal: Journal,
        id: Uuid,
        stated: Stated,
    ) -> Result<Self, Failure> {
        let width = world::columns().unwrap_or(WIDTH);
        let (run, progress) = told(&journal, sheet, id)?;
        let (put_off, gone) = (0, Cell::new(false));
        Ok(Self { head, sheet, journal, id, stated, width, run, progress, put_off, gone })
    }

    /// Goes on until its end, or until somebody leaves it; gives the exit code.
    pub(super) fn go(mut self) -> Result<u8, Failure> {
        let place = self.journal.place();
        self.say(&self.view().begin(&place));
        if self.run.lines.len() > 1 {
            // Nobody said what became of the work: that is a break, and puts nothing down.
            let unsaid = matches!(self.shown(), Shown::Task(_) | Shown::Stuck);
            if unsaid {
                let note = Some(enter::BROKEN_OFF.to_owned());
                let found = v2::Interrupted { sheet: self.id, note };
                self.note(vec![v2::Event::Interrupted(found)])?;
            }
            self.say(&self.view().recap());
        }
        let mut again = true;
        loop {
            let shown = self.shown();
            if std::mem::take(&mut again) {
                self.show(shown);
            }
            self.say("> ");
            let line = if self.gone.get() { None } else { world::line().unwrap_or(None) };
            let Some(line) = line else { return self.leave(shown) };
            let said = understand(&line);
            if said == Said::Quit {
                return self.leave(shown);
            }
            let over = matches!(shown, Shown::End | Shown::ForGood);
            if over && matches!(said, Said::Enter | Said::Done(_)) {
                return self.close(shown);
            }
            again = self.answer(shown, said)?;
        }
    }

    fn view(&self) -> View<'_> {
        let Self { head, sheet, run, progress, width, .. } = self;
        View { head, sheet, run, progress, width: *width }
    }

    fn say(&self, words: &str) {
        let mut out = anstream::stdout().lock();
        if out.write_all(words.as_bytes()).and_then(|()| out.flush()).is_err() {
            // Nobody reads it: the walk ends at the next question.
            self.gone.set(true);
        }
    }

    fn line(&self, words: &str) {
        let mut out = String::new();
        crate::report::sheet::paragraph(&mut out, "  ", words, self.width);
        self.say(&out);
    }

    fn shown(&self) -> Shown {
        let state = &self.progress.state;
        if let Some((stop, step)) = self.progress.step() {
            return Shown::Step(stop, step);
        }
        if self.sheet.ended(state) {
            return Shown::End;
        }
        if state.is(Flag::ForGood) {
            return Shown::ForGood;
        }
        if state.is(Flag::Paused) {
            return self.sheet.next_put(state).map_or(Shown::Paused, Shown::Put);
        }
        let mut tasks: Vec<usize> =
            self.progress.next(self.sheet).into_iter().flat_map(|next| next.tasks).collect();
        tasks.sort_unstable();
        let place = self.put_off.checked_rem(tasks.len());
        place.and_then(|place| tasks.get(place)).map_or(Shown::Stuck, |task| Shown::Task(*task))
    }

    fn show(&self, shown: Shown) {
        let view = self.view();
        match shown {
            Shown::Task(task) => self.say(&view.task(task)),
            Shown::Step(stop, step) => self.say(&view.stop(stop, usize::from(step))),
            Shown::Put(put) => self.say(&view.put(put)),
            Shown::Paused => self.say("\n > paused: Enter when the work goes on\n"),
            Shown::End => {
                self.line(
                    "every task is done; Enter puts the sheet away, undo takes the last back",
                );
            }
            Shown::ForGood => {
                self.line("this sheet is stopped for good: nothing more is done by it");
                self.line("Enter puts it away");
            }
            Shown::Stuck => self.line(
                "nothing can be done now: recap says what lies open, undo takes the last back",
            ),
        }
    }

    /// Does what was said; true when the screen is to be shown again.
    fn answer(&mut self, shown: Shown, said: Said) -> Result<bool, Failure> {
        match (said, shown) {
            (Said::Stop(stop), _) => self.call(stop),
            (Said::StopWhat, _) => {
                self.line(&format!("stop what? {STOPS}"));
                Ok(false)
            }
            (Said::Undo(why), _) => self.undo(why),
            (Said::Reread(place, text), _) => self.reread(place, text),
            (Said::List, _) => {
                self.say(&self.view().list());
                Ok(false)
            }
            (Said::Recap, _) => {
                self.say(&self.view().recap());
                Ok(false)
            }
            (Said::Help, _) => {
                self.say(&self.view().help());
                Ok(false)
            }
            (Said::Pause, _) => self.pause(),
            (Said::Next, Shown::Task(_)) => {
                self.put_off += 1;
                Ok(true)
            }
            (Said::Enter, Shown::Task(task)) => self.done(task, None),
            (Said::Done(text), Shown::Task(task)) => self.done(task, text),
            (Said::Reading(_), Shown::Task(task)) if self.reads_nothing(task) => {
                self.line(
                    "nothing is read here: Enter when it is done, or done WORDS to keep a note",
                );
                Ok(false)
            }
            (Said::Reading(text), Shown::Task(task)) => self.done(task, Some(text)),
            (Said::Enter, Shown::Step(stop, step)) => self.step(stop, step, None),
            (Said::Done(note), Shown::Step(stop, step)) => self.step(stop, step, note),
            (Said::Enter, Shown::Put(put)) => self.put(put, None),
            (Said::Done(text), Shown::Put(put)) => self.put(put, text),
            (Said::Reading(text), Shown::Put(put)) => self.put(put, Some(text)),
            (Said::Enter | Said::Done(_), Shown::Paused) => self.resume(),
            _ => {
                self.line("that has no meaning here; help shows what can be typed");
                Ok(false)
            }
        }
    }

    /// Records, and reads again what stands.
    fn note(&mut self, events: Vec<v2::Event>) -> Result<(), Failure> {
        let at = self.now();
        self.journal.note(&self.stated.author, at, events)?;
        (self.run, self.progress) = told(&self.journal, self.sheet, self.id)?;
        Ok(())
    }

    fn now(&self) -> Timestamp {
        self.stated.at.unwrap_or_else(world::now)
    }

    /// What came to be in doubt with the last record.
    fn doubts(&self, before: usize) {
        let new = self.progress.findings.iter().skip(before);
        for finding in new.filter(|finding| finding.sort == Sort::Noted) {
            self.line(&format!("IN DOUBT: {}", finding.words));
        }
    }

    /// Something is said to be put down.
    fn put(&mut self, place: usize, text: Option<String>) -> Result<bool, Failure> {
        let Some(put) = self.sheet.puts.get(place) else { return Ok(true) };
        let typed = text.unwrap_or_default();
        let event = sheet::Event::Done { task: put.id.to_owned(), reading: typed.clone() };
        let read = put.reads.read(&typed).map_err(|why| (why.message, why.help));
        let would = self.progress.would(self.sheet, &event, self.now());
        let value = match (read, would) {
            (Ok(value), Ok(())) => value,
            (Err((message, help)), _) => {
                self.line(&format!("NOT TAKEN: {message}"));
                self.line(&help);
                return Ok(false);
            }
            (Ok(_), Err(refusal)) => {
                self.line(&format!("NOT TAKEN: {}", refusal.because.join("; ")));
                self.line("do it, then say yes; it cannot be done, or fuel ran out: stop WHAT");
                return Ok(false);
            }
        };
        let by = v2::Doer { role: "whoever is there".into(), person: None };
        let reading = enter::reading(&typed, &value);
        let (sheet, task, note) = (self.id, put.id.to_owned(), Some(put.title.to_owned()));
        let done = v2::TaskDone { sheet, task, by, reading, note };
        self.note(vec![v2::Event::TaskDone(done)])?;
        self.line("kept");
        Ok(true)
    }

    fn doer(&self, task: &Task) -> v2::Doer {
        let role = task.who;
        let name = self.sheet.roles.iter().find(|(other, _)| *other == role);
        let name = name.map(|(_, name)| name.clone());
        let person = name.filter(|name| *name != self.stated.author && name != role.word());
        v2::Doer { role: role.word().to_owned(), person }
    }

    /// A task is said to be done.
    fn done(&mut self, place: usize, text: Option<String>) -> Result<bool, Failure> {
        let Some(task) = self.sheet.tasks.get(place) else { return Ok(true) };
        let (note, typed) = match (&task.reads, text) {
            (Reads::Nothing, note) => (note, String::new()),
            (_, typed) => (None, typed.unwrap_or_default()),
        };
        let left_out = typed.is_empty() && !task.hold;
        let value = if left_out { Ok(sheet::Value::Nothing) } else { task.reads.read(&typed) };
        let value = match value {
            Ok(value) => value,
            Err(why) => {
                self.line(&format!("NOT TAKEN: {}", why.message));
                self.line(&why.help);
                return Ok(false);
            }
        };
        let reading = enter::reading(&typed, &value);
        let (sheet, id, by) = (self.id, task.id.clone(), self.doer(task));
        let event = sheet::Event::Done { task: id.clone(), reading: typed };
        match self.progress.would(self.sheet, &event, self.now()) {
            Ok(()) => {
                let before = self.progress.findings.len();
                let done = v2::TaskDone { sheet, task: id, by, reading, note };
                self.note(vec![v2::Event::TaskDone(done)])?;
                self.line("kept");
                self.doubts(before);
                self.put_off = 0;
            }
            Err(refusal) => {
                let why = refusal.because.join("; ");
                let refused = v2::HoldRefused { sheet, task: id, by, reading, why: why.clone() };
                self.note(vec![v2::Event::HoldRefused(refused)])?;
                self.line(&format!("DOES NOT PASS: {why}"));
                self.line("kept; if it was misread or mistyped: undo, then the right reading");
            }
        }
        Ok(true)
    }

    fn reads_nothing(&self, place: usize) -> bool {
        self.sheet.tasks.get(place).is_some_and(|task| task.reads == Reads::Nothing)
    }

    fn call(&mut self, stop: Stop) -> Result<bool, Failure> {
        let event = sheet::Event::Called { stop };
        if let Err(refusal) = self.progress.would(self.sheet, &event, self.now()) {
            self.line(&refusal.because.join("; "));
            return Ok(false);
        }
        let called = v2::StopCalled { sheet: self.id, stop: enter::kept(stop), note: None };
        self.note(vec![v2::Event::StopCalled(called)])?;
        Ok(true)
    }

    fn step(&mut self, stop: Stop, step: u8, note: Option<String>) -> Result<bool, Failure> {
        let plan = self.sheet.plan(stop);
        let Some(plan_step) = plan.and_then(|plan| plan.steps.get(usize::from(step))) else {
            return Ok(true);
        };
        let by = v2::Doer { role: "whoever is there".into(), person: None };
        let what = plan_step.title.clone();
        let (sheet, kept) = (self.id, enter::kept(stop));
        let number = step.saturating_add(1);
        let done = v2::StopStepDone { sheet, stop: kept, step: number, what, by, note };
        let mut events = vec![v2::Event::StopStepDone(done)];
        // The last step of the last stop ends it; the ledger is told so in the same breath.
        let action = sheet::Action::Step(stop, step);
        let over = self.sheet.apply(&self.progress.state, action);
        if over.is_ok_and(|state| state.stop().is_none()) {
            events.push(v2::Event::Resumed(v2::Resumed { sheet, note: None }));
        }
        self.note(events)?;
        self.line("kept");
        if self.progress.step().is_none_or(|(now, _)| now != stop) {
            self.say(&self.view().afterwards(stop));
        }
        if self.progress.step().is_none() {
            self.say(&self.view().recap());
        }
        Ok(true)
    }

    fn pause(&mut self) -> Result<bool, Failure> {
        if let Err(refusal) = self.would_pause() {
            self.line(&format!("not paused: {}", refusal.because.join("; ")));
            return Ok(false);
        }
        self.note(vec![v2::Event::Interrupted(v2::Interrupted { sheet: self.id, note: None })])?;
        self.line(BREAK);
        self.say(&self.view().recap());
        Ok(true)
    }

    fn would_pause(&self) -> Result<(), sheet::Refusal> {
        self.progress.would(self.sheet, &sheet::Event::Paused, self.now())
    }

    fn resume(&mut self) -> Result<bool, Failure> {
        self.note(vec![v2::Event::Resumed(v2::Resumed { sheet: self.id, note: None })])?;
        self.line("kept: the work goes on");
        Ok(true)
    }

    /// The last entry was wrong. It is corrected by a record; nothing is taken off.
    fn undo(&mut self, why: Option<String>) -> Result<bool, Failure> {
        let lines = &self.run.lines;
        let between = |entry: &Entry| matches!(entry, Entry::Interrupted(_) | Entry::Resumed(_));
        let place = lines.iter().rposition(|line| !between(&line.what));
        let Some(last) = place.and_then(|place| lines.get(place)) else { return Ok(false) };
        let (title, ends_stop) = match &last.what {
            Entry::TaskDone(it) => (self.title(&it.task), false),
            Entry::HoldRefused(it) => (self.title(&it.task), false),
            Entry::StopStepDone(it) => (it.what.clone(), true),
            Entry::StopCalled(_) => {
                self.line("a stop is not taken back: go through its steps");
                return Ok(false);
            }
            _ => {
                self.line("nothing is done yet");
                return Ok(false);
            }
        };
        // With the last step of a stop, that the work goes on is taken back too.
        let after = lines.iter().skip(place.unwrap_or(0) + 1);
        let after = after.filter(|line| ends_stop && matches!(line.what, Entry::Resumed(_)));
        let reason = why.unwrap_or_else(|| "entered by mistake".into());
        let correct = |line: &stillprop_ledger::runs::Line| {
            let (sheet, of, reason) = (self.id, line.record.0, reason.clone());
            v2::Event::Corrected(v2::Corrected { sheet, of, instead: None, reason })
        };
        let events = std::iter::once(last).chain(after).map(correct).collect();
        self.note(events)?;
        self.line(&format!("taken back: {title} (it stays on record, as corrected)"));
        self.put_off = 0;
        Ok(true)
    }

    /// Litres or a dip were misread: the record is corrected, and keeps its place among the others.
    fn reread(&mut self, place: usize, typed: String) -> Result<bool, Failure> {
        let task = self.sheet.tasks.get(place);
        let amount = |task: &&Task| matches!(task.reads, Reads::Litres { .. } | Reads::Dip);
        let Some(task) = task.filter(amount) else {
            self.line("only litres and dips are read again; for anything else: undo");
            return Ok(false);
        };
        let line = self.run.done(&task.id).filter(|_| self.progress.state.done.has(place));
        let Some((line, Entry::TaskDone(done))) = line.map(|line| (line, &line.what)) else {
            self.line("it is not done yet: there is nothing to read again");
            return Ok(false);
        };
        let value = match task.reads.read(&typed) {
            Ok(value) => value,
            Err(why) => {
                self.line(&format!("NOT TAKEN: {}", why.message));
                self.line(&why.help);
                return Ok(false);
            }
        };
        let right = v2::TaskDone { reading: enter::reading(&typed, &value), ..done.clone() };
        let (sheet, of, reason) = (self.id, line.record.0, "misread".to_owned());
        let instead = Some(Box::new(Entry::TaskDone(right)));
        let title = task.title.clone();
        let corrected = v2::Corrected { sheet, of, instead, reason };
        self.note(vec![v2::Event::Corrected(corrected)])?;
        self.line(&format!("kept: {title}: {typed} (what was read before stays on record)"));
        self.doubts(0);
        Ok(true)
    }

    fn title(&self, task: &str) -> String {
        if let Some(put) = self.sheet.puts.iter().find(|put| put.id == task) {
            return put.title.to_owned();
        }
        let task = self.sheet.find(task).and_then(|place| self.sheet.tasks.get(place));
        task.map_or_else(|| "a task of another sheet".into(), |task| task.title.clone())
    }

    /// Ends for now; a sheet that is at its end is put away.
    fn leave(&mut self, shown: Shown) -> Result<u8, Failure> {
        self.say("\n");
        if matches!(shown, Shown::End | Shown::ForGood) {
            return self.close(shown);
        }
        if self.would_pause().is_ok() {
            let paused = v2::Interrupted { sheet: self.id, note: None };
            self.note(vec![v2::Event::Interrupted(paused)])?;
            self.line(BREAK);
        }
        self.say(&self.view().recap());
        self.line(match self.progress.step() {
            Some(_) => "the stop is not over: its steps go on, and the sheet after them",
            None => "the sheet is not finished; it goes on when everything is said to be put down",
        });
        self.line(CAUTION);
        Ok(1)
    }

    fn close(&mut self, shown: Shown) -> Result<u8, Failure> {
        let finished = matches!(shown, Shown::End);
        let outcome = if finished { Outcome::Finished } else { Outcome::Stopped };
        let closed = v2::SheetClosed { sheet: self.id, outcome, note: None };
        self.note(vec![v2::Event::SheetClosed(closed)])?;
        self.line(if finished {
            "kept: every task of this sheet is done"
        } else {
            "kept: the sheet ended with a stop; nothing more is done by it"
        });
        self.line(CAUTION);
        Ok(u8::from(!finished))
    }
}

/// What the records tell now, and where the sheet stands by it.
fn told(journal: &Journal, sheet: &Sheet, id: Uuid) -> Result<(Run, Progress), Failure> {
    let run = journal.run(id)?.ok_or_else(|| {
        Failure::asked("the records of this sheet are gone", "bring them in, or add --anew")
    })?;
    let progress = Progress::fold(sheet, &enter::entries(sheet, &run));
    Ok((run, progress))
}
