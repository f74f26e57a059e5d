//! What is shown while a sheet is gone through: one thing at a time, large and plain.

use std::fmt::Write;

use jiff::Timestamp;
use stillprop_ledger::runs::Run;
use stillprop_turnaround::{
    limits::light::clock,
    sheet::{Flag, Progress, Reads, Role, Sheet, Sort, Stop, Task},
};

use super::words::HELP;
use crate::report::{
    bars::heading,
    sheet::{Head, breaks, cautions, paragraph, person},
};

/// What a screen is made from.
pub(super) struct View<'a> {
    pub(super) head: &'a Head,
    pub(super) sheet: &'a Sheet,
    pub(super) run: &'a Run,
    pub(super) progress: &'a Progress,
    pub(super) width: usize,
}

/// Findings of the last entries shown in a recap.
const FINDINGS: usize = 8;

impl View<'_> {
    fn rule(&self) -> String {
        "=".repeat(self.width)
    }

    fn clock(&self, at: Timestamp) -> String {
        clock(at, self.head.offset)
    }

    /// What stands above a walk: what it is, who works, and the cautions.
    pub(super) fn begin(&self, kept_in: &str) -> String {
        let mut out = String::new();
        let Head { title, aircraft, place, method, invented, offset, .. } = self.head;
        let invented = if *invented { "  (invented data)" } else { "" };
        let _ = writeln!(out, "{}{invented}", heading(&format!("RUN SHEET  {method}")));
        paragraph(&mut out, "", title, self.width);
        let _ = writeln!(out, "{aircraft} at {place}, times UTC{offset}");
        let people = self.sheet.roles.iter().map(|(role, name)| person(*role, name));
        paragraph(&mut out, "", &people.collect::<Vec<_>>().join("; "), self.width);
        paragraph(&mut out, "", &format!("every step is kept in {kept_in}"), self.width);
        breaks(&mut out, self.sheet, self.width);
        for caution in cautions(self.head) {
            paragraph(&mut out, "  ! ", caution, self.width);
        }
        let _ = writeln!(out, "help shows what can be typed");
        out
    }

    /// What was done and what lies open: the first thing after any break.
    pub(super) fn recap(&self) -> String {
        let (sheet, progress) = (self.sheet, self.progress);
        let mut out = format!("\n{}\n", self.rule());
        let (done, all) = (progress.state.done.count(), sheet.tasks.len());
        let _ = writeln!(out, "{}   {done} of {all} tasks done", heading("RECAP"));
        if let Some(kept) = progress.kept.last() {
            let title = sheet.tasks.get(kept.task).map_or("?", |task| task.title.as_str());
            let words = format!("last: {title} ({}, {})", self.clock(kept.at), kept.by);
            paragraph(&mut out, "", &words, self.width);
        }
        let open = progress.recap(sheet);
        let open = open.iter().filter(|open| open.flag != Some(Flag::Paused));
        let open: Vec<&str> = open.map(|open| open.words.as_str()).collect();
        if open.is_empty() {
            let _ = writeln!(out, "nothing lies open");
        } else {
            let _ = writeln!(out, "{}", heading("AS IT STANDS NOW: go and look"));
            open.iter().for_each(|words| paragraph(&mut out, "  * ", words, self.width));
        }
        if let Some((stop, step)) = progress.step() {
            let words = format!("STOP in force: {}, step {}", stop.title(), usize::from(step) + 1);
            let _ = writeln!(out, "{}", heading(&words));
        }
        self.findings(&mut out);
        let _ = writeln!(out, "{}", self.rule());
        out
    }

    fn findings(&self, out: &mut String) {
        let findings = &self.progress.findings;
        if findings.is_empty() && self.run.findings.is_empty() {
            return;
        }
        let _ = writeln!(out, "{}", heading("DID NOT PASS, OR DOES NOT ADD UP"));
        let more = findings.len().saturating_sub(FINDINGS);
        for finding in findings.iter().skip(more) {
            let word = match finding.sort {
                Sort::Refused => "refused",
                Sort::Held => "held",
                Sort::Noted => "noted",
            };
            let at = self.clock(finding.at);
            let words = format!("{at} {word}: {} ({})", finding.words, finding.by);
            paragraph(out, "  ? ", &words, self.width);
        }
        if more > 0 {
            let _ = writeln!(out, "  and {more} before these");
        }
        // What the records themselves do not add up to, whatever the sheet says.
        if !self.run.findings.is_empty() {
            let words = format!("{} records do not fit the others", self.run.findings.len());
            paragraph(out, "  ? ", &words, self.width);
        }
    }

    /// One task, large.
    pub(super) fn task(&self, place: usize) -> String {
        let Some(task) = self.sheet.tasks.get(place) else { return String::new() };
        let mut out = format!("\n{}\n", self.rule());
        let number = format!("{} of {}", place + 1, self.sheet.tasks.len());
        self.between(&mut out, &format!("{number}   {}", task.phase.title()), &self.who(task.who));
        let _ = writeln!(out);
        self.large(&mut out, &task.title);
        let _ = writeln!(out);
        paragraph(&mut out, "   ", &task.why, self.width);
        for note in &task.notes {
            paragraph(&mut out, "   - ", note, self.width);
        }
        for remark in self.progress.remarks(self.sheet, place) {
            paragraph(&mut out, "   ! ", &remark, self.width);
        }
        self.asks(&mut out, task);
        self.meanwhile(&mut out, place);
        out
    }

    /// Something that is to be put down in a break, large.
    pub(super) fn put(&self, place: usize) -> String {
        let Some(put) = self.sheet.puts.get(place) else { return String::new() };
        let mut out = format!("\n{}\n", self.rule());
        self.between(&mut out, "PUT IT DOWN: before the work goes on", "whoever is there");
        let _ = writeln!(out);
        self.large(&mut out, put.title);
        let _ = writeln!(out);
        paragraph(&mut out, "   - ", put.note, self.width);
        let words = format!("HOLD: {}, when it is so", put.reads.help());
        paragraph(&mut out, " > ", &words, self.width);
        out
    }

    fn asks(&self, out: &mut String, task: &Task) {
        match (&task.reads, task.hold) {
            (Reads::Nothing, _) => paragraph(out, " > ", "Enter when it is done", self.width),
            (reads, true) => {
                let words = format!("HOLD: {}", reads.help());
                paragraph(out, " > ", &words, self.width);
            }
            (reads, false) => {
                let words = format!("{}; or Enter when it is done without", reads.help());
                paragraph(out, " > ", &words, self.width);
            }
        }
    }

    /// What others may do at the same time.
    fn meanwhile(&self, out: &mut String, shown: usize) {
        let own = self.sheet.tasks.get(shown).map(|task| task.who);
        for next in self.progress.next(self.sheet) {
            let task = next.tasks.first().and_then(|task| self.sheet.tasks.get(*task));
            if let Some(task) = task.filter(|_| Some(next.role) != own) {
                let words = format!("meanwhile {}: {}", self.who(next.role), task.title);
                paragraph(out, "   ", &words, self.width);
            }
        }
    }

    /// A step of the stop action in force, as loud as text can be.
    pub(super) fn stop(&self, stop: Stop, step: usize) -> String {
        let mut out = format!("\n{}\n", "!".repeat(self.width));
        let plan = self.sheet.plan(stop);
        let count = plan.map_or(0, |plan| plan.steps.len());
        let title = format!("STOP: {}", stop.title().to_uppercase());
        self.between(&mut out, &title, &format!("step {} of {count}", step + 1));
        let _ = writeln!(out, "{}\n", "!".repeat(self.width));
        if let Some(step) = plan.and_then(|plan| plan.steps.get(step)) {
            self.large(&mut out, &step.title);
            let _ = writeln!(out);
            for note in &step.notes {
                paragraph(&mut out, "   - ", note, self.width);
            }
        }
        let words = "Enter when it is done; or done WORDS to keep a note with it";
        paragraph(&mut out, " > ", words, self.width);
        out
    }

    /// How the work goes on after a stop.
    pub(super) fn afterwards(&self, stop: Stop) -> String {
        let mut out = String::new();
        if let Some(plan) = self.sheet.plan(stop) {
            paragraph(&mut out, "  then: ", &plan.afterwards, self.width);
        }
        out
    }

    /// Every task in its order, with what is done.
    pub(super) fn list(&self) -> String {
        let mut out = String::from("\n[x] done   [H] hold point, open   [ ] to do\n");
        let mut phase = None;
        for (place, task) in self.sheet.tasks.iter().enumerate() {
            if phase.replace(task.phase) != Some(task.phase) {
                let _ = writeln!(out, "\n{}", heading(&task.phase.title().to_uppercase()));
            }
            let kept = self.progress.kept.iter().rfind(|kept| kept.task == place);
            let mark = match (self.progress.state.done.has(place), task.hold) {
                (true, _) => "[x]",
                (false, true) => "[H]",
                (false, false) => "[ ]",
            };
            let said = kept.map_or_else(String::new, |kept| {
                let reading = self.run.done(&task.id).and_then(typed);
                let reading = reading.map_or_else(String::new, |typed| format!("{typed}, "));
                format!("  ({reading}{}, {})", self.clock(kept.at), kept.by)
            });
            let words = format!("{}{said}", task.title);
            paragraph(&mut out, &format!(" {mark} {:>3} ", place + 1), &words, self.width);
        }
        out
    }

    /// What can be typed.
    pub(super) fn help(&self) -> String {
        let mut out = String::new();
        for (word, does) in HELP {
            paragraph(&mut out, &format!("  {word:<14}"), does, self.width);
        }
        out
    }

    fn who(&self, role: Role) -> String {
        let name = self.sheet.roles.iter().find(|(other, _)| *other == role);
        name.map_or_else(|| role.word().to_owned(), |(role, name)| person(*role, name))
    }

    /// Words at the left and at the right edge.
    fn between(&self, out: &mut String, left: &str, right: &str) {
        let (one, other) = (left.chars().count(), right.chars().count());
        let _ = match self.width.checked_sub(one + other + 2) {
            Some(room) => writeln!(out, "{}{:room$}  {right}", heading(left), ""),
            None => writeln!(out, "{}\n{right}", heading(left)),
        };
    }

    fn large(&self, out: &mut String, words: &str) {
        let mut rows = String::new();
        paragraph(&mut rows, ">> ", words, self.width);
        for row in rows.lines() {
            let _ = writeln!(out, "{}", heading(row));
        }
    }
}

/// What was typed with an entry.
fn typed(line: &stillprop_ledger::runs::Line) -> Option<&str> {
    use stillprop_ledger::event::v2::Entry;
    match &line.what {
        Entry::TaskDone(done) => done.reading.as_ref().map(|reading| reading.typed.as_str()),
        _ => None,
    }
}
