//! The run sheet on paper: phases, boxes to tick, hold points with room for the reading, and
//! what is done at once when something goes wrong.

use std::fmt::Write;

use jiff::tz::Offset;
use stillprop_turnaround::{
    assess::{CAUTIONS, HAND_START_CAUTION},
    sheet::{Checked, Flag, INVARIANTS, Plan, Reads, Role, Sheet, Task},
};

use super::{bars, text::wrapped};

/// Columns of a page when nobody says otherwise: fits a small terminal, and paper.
pub(crate) const WIDTH: usize = 80;
/// Under a task, its further words start here.
const INDENT: usize = 9;

/// What a sheet is for.
pub(crate) struct Head {
    /// Title of the turnaround.
    pub(crate) title: String,
    /// Registration.
    pub(crate) aircraft: String,
    /// The strip.
    pub(crate) place: String,
    /// How it is fuelled and started.
    pub(crate) method: String,
    /// No starter is fitted.
    pub(crate) hand: bool,
    /// Name of the rules.
    pub(crate) rules: String,
    /// Demonstration data.
    pub(crate) invented: bool,
    /// Of local time.
    pub(crate) offset: Offset,
}

/// What every answer about a sheet carries.
pub(crate) fn cautions(head: &Head) -> Vec<&'static str> {
    let mut cautions = CAUTIONS.to_vec();
    cautions.extend(head.hand.then_some(HAND_START_CAUTION));
    cautions
}

/// The whole page.
pub(crate) fn page(head: &Head, sheet: &Sheet, checked: Option<&Checked>, width: usize) -> String {
    let mut out = String::new();
    top(&mut out, head, sheet, width);
    breaks(&mut out, sheet, width);
    if head.hand {
        let _ = writeln!(out);
        paragraph(&mut out, "  !! ", HAND_START_CAUTION, width);
    }
    let mut number = 0;
    for (phase, tasks) in sheet.phases() {
        let title = phase.title().to_uppercase();
        let _ = writeln!(out, "\n{}", bars::heading(&title));
        for task in tasks {
            number += 1;
            one(&mut out, number, task, width);
        }
    }
    puts(&mut out, sheet, width);
    stops(&mut out, &sheet.plans, width);
    if let Some(checked) = checked {
        let _ = writeln!(out, "\n{}", bars::heading("CHECKED"));
        paragraph(&mut out, "  ", &proven(checked), width);
    }
    let _ = writeln!(out, "\n{}", bars::heading("CAUTIONS"));
    for caution in cautions(head) {
        paragraph(&mut out, "  - ", caution, width);
    }
    out
}

/// What breaks by the documents: it heads the sheet.
pub(crate) fn breaks(out: &mut String, sheet: &Sheet, width: usize) {
    if sheet.begins.has(Flag::Spill) {
        let words = "FUEL LIES ON THE GROUND: first the steps of FUEL IS SPILLED, at the end";
        let _ = writeln!(out, "\n{}", bars::heading(words));
    }
    if sheet.broken.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{}", bars::heading("BREAKS BY THE DOCUMENTS: mend it first"));
    for broken in &sheet.broken {
        paragraph(out, "  X ", &format!("{}: {}", broken.id, broken.words), width);
    }
}

/// What the checker found when nothing broke.
pub(crate) fn proven(checked: &Checked) -> String {
    format!(
        "{} states: every order in which these tasks can be done, with every break and every stop; \
         none breaks any of the {} invariants",
        checked.states,
        INVARIANTS.len()
    )
}

fn top(out: &mut String, head: &Head, sheet: &Sheet, width: usize) {
    let invented = if head.invented { "  (invented data)" } else { "" };
    let _ = writeln!(out, "{}", bars::heading(&format!("RUN SHEET  {}", head.method)));
    paragraph(out, "", &format!("{}{invented}", head.title), width);
    let _ = writeln!(out, "{} at {}, rules: {}", head.aircraft, head.place, head.rules);
    let people: Vec<String> = sheet.roles.iter().map(|(role, name)| person(*role, name)).collect();
    paragraph(out, "", &people.join("; "), width);
    let holds = sheet.tasks.iter().filter(|task| task.hold).count();
    let words = format!(
        "{} tasks in this order, {holds} of them hold points: not passed without their reading. \
         After a break: what the list before the stop actions asks for, then on. In doubt, read \
         the sheet from the top. When something goes wrong: \
         the stop actions at the end, at once.",
        sheet.tasks.len()
    );
    let _ = writeln!(out);
    paragraph(out, "", &words, width);
}

/// A role with the name of who has it, where that says more.
pub(crate) fn person(role: Role, name: &str) -> String {
    if name == role.word() { name.to_owned() } else { format!("{}: {name}", role.word()) }
}

fn one(out: &mut String, number: usize, task: &Task, width: usize) {
    let who = task.who.word();
    // Room for who does it, at the right edge of the first line.
    let room = width.saturating_sub(INDENT + 2 + who.len());
    let mut rows = wrapped(&task.title, room).into_iter();
    let first = rows.next().unwrap_or_default();
    let _ = writeln!(
        out,
        " [ ] {number:>3} {:<room$}  {who}",
        bars::heading(&first).padded(&first, room)
    );
    for row in rows {
        let _ = writeln!(out, "{:INDENT$}{}", "", bars::heading(&row));
    }
    paragraph(out, &" ".repeat(INDENT), &task.why, width);
    for note in &task.notes {
        paragraph(out, &format!("{:INDENT$}- ", ""), note, width);
    }
    if task.reads != Reads::Nothing {
        let mark = if task.hold { "  HOLD   " } else { "  read   " };
        paragraph(out, mark, &task.reads.help(), width);
        if let Reads::Named { people, .. } = &task.reads {
            for person in people {
                let row = format!("{person} ").chars().take(width - INDENT - AT.len()).collect();
                let _ = writeln!(out, "{:INDENT$}{}", "", dots(row, width - INDENT));
            }
        } else {
            let _ = writeln!(out, "{:INDENT$}{}", "", blank(width - INDENT));
        }
    }
}

/// What a break asks for, one after the other.
fn puts(out: &mut String, sheet: &Sheet, width: usize) {
    let _ = writeln!(
        out,
        "\n{}",
        bars::heading("AFTER ANY BREAK: each of these, before the work goes on")
    );
    for (number, put) in (1..).zip(&sheet.puts) {
        paragraph(out, &format!(" [ ] {number:>3} "), put.title, width);
    }
}

/// Where the time is written.
const AT: &str = " at .......";

/// A name, dots, and room for the time.
fn dots(name: String, width: usize) -> String {
    let room = width.saturating_sub(AT.len() + name.chars().count());
    format!("{name}{}{AT}", ".".repeat(room))
}

/// Room to write a reading, who read it and when.
fn blank(width: usize) -> String {
    let by = " by ............";
    format!("{}{by}{AT}", ".".repeat(width.saturating_sub(by.len() + AT.len())))
}

fn stops(out: &mut String, plans: &[Plan], width: usize) {
    let _ = writeln!(out, "\n{}", bars::heading("STOP ACTIONS: at once, in this order"));
    for plan in plans {
        let _ = writeln!(out, "\n {}", bars::heading(&plan.stop.title().to_uppercase()));
        for (number, step) in (1..).zip(&plan.steps) {
            paragraph(out, &format!(" [ ] {number:>3} "), &step.title, width);
            for note in &step.notes {
                paragraph(out, &format!("{:INDENT$}- ", ""), note, width);
            }
        }
        paragraph(out, "  then   ", &plan.afterwards, width);
    }
}

/// Words with a mark before the first row, and as much room before the others.
pub(crate) fn paragraph(out: &mut String, mark: &str, words: &str, width: usize) {
    // Words of other people are never a command to the terminal.
    let words: String =
        words.chars().map(|c| if c.is_control() && !c.is_whitespace() { '?' } else { c }).collect();
    let room = mark.chars().count();
    for (number, row) in wrapped(&words, width.saturating_sub(room).max(20)).iter().enumerate() {
        let row = if number == 0 { format!("{mark}{row}") } else { format!("{:room$}{row}", "") };
        let _ = writeln!(out, "{}", row.trim_end());
    }
}

/// Text that is longer than it looks, because of the marks of its style.
trait Padded {
    fn padded(self, plain: &str, width: usize) -> String;
}

impl Padded for String {
    fn padded(self, plain: &str, width: usize) -> String {
        let room = width.saturating_sub(plain.chars().count());
        format!("{self}{:room$}", "")
    }
}
