//! Going through a sheet at a terminal: what is shown, what is typed, and what is answered.

use std::{cell::Cell, io::Write as _};

use stillprop_turnaround::sheet::{Reads, Sheet, Stop};

use super::{
    screen::View,
    words::{STOPS, Said, understand},
};
use crate::{
    problem::Failure,
    report::{
        sheet::{Head, WIDTH},
        text::CAUTION,
    },
    sheet::work::{self, BREAK, Reread, Shown, Undone, Work},
    world,
};

/// A sheet that is gone through.
pub(super) struct Walk<'a> {
    head: &'a Head,
    sheet: &'a Sheet,
    work: Work<'a>,
    width: usize,
    /// How many of the tasks that could be done now were put off.
    put_off: usize,
    /// The reader has gone away: nobody sees what is said.
    gone: Cell<bool>,
}

impl<'a> Walk<'a> {
    pub(super) fn of(head: &'a Head, sheet: &'a Sheet, work: Work<'a>) -> Self {
        let width = world::columns().unwrap_or(WIDTH);
        Self { head, sheet, work, width, put_off: 0, gone: Cell::new(false) }
    }

    /// Goes on until its end, or until somebody leaves it; gives the exit code.
    pub(super) fn go(mut self, kept_in: &str) -> Result<u8, Failure> {
        self.say(&self.view().begin(kept_in));
        if self.work.run.lines.len() > 1 {
            self.work.unsaid()?;
            self.say(&self.view().recap());
        }
        let mut again = true;
        loop {
            let shown = self.work.shown(self.put_off);
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
        let Self { head, sheet, width, .. } = self;
        let Work { run, progress, .. } = &self.work;
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
            (Said::Reread(place, text), _) => self.reread(place, &text),
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

    /// A task is said to be done.
    fn done(&mut self, place: usize, text: Option<String>) -> Result<bool, Failure> {
        let said = self.work.done(place, text)?;
        self.became(said)
    }

    /// Something is said to be put down.
    fn put(&mut self, place: usize, text: Option<String>) -> Result<bool, Failure> {
        let said = self.work.put(place, text)?;
        self.became(said)
    }

    /// What became of what was said; true when the screen is to be shown again.
    fn became(&mut self, said: Option<work::Said>) -> Result<bool, Failure> {
        match said {
            None => {}
            Some(work::Said::Kept(doubts)) => {
                self.line("kept");
                self.doubts(&doubts);
                self.put_off = 0;
            }
            Some(work::Said::NotPut(why)) => {
                self.line(&format!("NOT TAKEN: {why}"));
                self.line("do it, then say yes; it cannot be done, or fuel ran out: stop WHAT");
                return Ok(false);
            }
            Some(work::Said::DoesNotPass(why)) => {
                self.line(&format!("DOES NOT PASS: {why}"));
                self.line("kept; if it was misread or mistyped: undo, then the right reading");
            }
            Some(work::Said::NotTaken(why)) => {
                self.line(&format!("NOT TAKEN: {}", why.message));
                self.line(&why.help);
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn reads_nothing(&self, place: usize) -> bool {
        self.sheet.tasks.get(place).is_some_and(|task| task.reads == Reads::Nothing)
    }

    fn call(&mut self, stop: Stop) -> Result<bool, Failure> {
        if let Err(refusal) = self.work.call(stop)? {
            self.line(&refusal.because.join("; "));
            return Ok(false);
        }
        Ok(true)
    }

    fn step(&mut self, stop: Stop, step: u8, note: Option<String>) -> Result<bool, Failure> {
        if !self.work.step(stop, step, note)? {
            return Ok(true);
        }
        self.line("kept");
        if self.work.progress.step().is_none_or(|(now, _)| now != stop) {
            self.say(&self.view().afterwards(stop));
        }
        if self.work.progress.step().is_none() {
            self.say(&self.view().recap());
        }
        Ok(true)
    }

    fn pause(&mut self) -> Result<bool, Failure> {
        if let Err(refusal) = self.work.pause()? {
            self.line(&format!("not paused: {}", refusal.because.join("; ")));
            return Ok(false);
        }
        self.line(BREAK);
        self.say(&self.view().recap());
        Ok(true)
    }

    fn resume(&mut self) -> Result<bool, Failure> {
        if let Err(refusal) = self.work.resume()? {
            self.line(&refusal.because.join("; "));
            return Ok(false);
        }
        self.line("kept: the work goes on");
        Ok(true)
    }

    fn doubts(&self, doubts: &[String]) {
        for doubt in doubts {
            self.line(&format!("IN DOUBT: {doubt}"));
        }
    }

    fn reread(&mut self, place: usize, typed: &str) -> Result<bool, Failure> {
        match self.work.reread(place, typed)? {
            Reread::Kept(title, doubts) => {
                self.line(&format!(
                    "kept: {title}: {typed} (what was read before stays on record)"
                ));
                self.doubts(&doubts);
                return Ok(true);
            }
            Reread::NotTaken(why) => {
                self.line(&format!("NOT TAKEN: {}", why.message));
                self.line(&why.help);
            }
            Reread::NoAmount => {
                self.line("only litres and dips are read again; for anything else: undo");
            }
            Reread::NotDone => self.line("it is not done yet: there is nothing to read again"),
        }
        Ok(false)
    }

    fn undo(&mut self, why: Option<String>) -> Result<bool, Failure> {
        match self.work.undo(why)? {
            Undone::Taken(title) => {
                self.line(&format!("taken back: {title} (it stays on record, as corrected)"));
                self.put_off = 0;
                return Ok(true);
            }
            Undone::Stop => self.line("a stop is not taken back: go through its steps"),
            Undone::Nothing => self.line("nothing is done yet"),
        }
        Ok(false)
    }

    /// Ends for now; a sheet that is at its end is put away.
    fn leave(&mut self, shown: Shown) -> Result<u8, Failure> {
        self.say("\n");
        if matches!(shown, Shown::End | Shown::ForGood) {
            return self.close(shown);
        }
        if self.work.pause()?.is_ok() {
            self.line(BREAK);
        }
        self.say(&self.view().recap());
        self.line(match self.work.progress.step() {
            Some(_) => "the stop is not over: its steps go on, and the sheet after them",
            None => "the sheet is not finished; it goes on when everything is said to be put down",
        });
        self.line(CAUTION);
        Ok(1)
    }

    fn close(&mut self, shown: Shown) -> Result<u8, Failure> {
        let finished = matches!(shown, Shown::End);
        self.work.close(finished)?;
        self.line(if finished {
            "kept: every task of this sheet is done"
        } else {
            "kept: the sheet ended with a stop; nothing more is done by it"
        });
        self.line(CAUTION);
        Ok(u8::from(!finished))
    }
}
