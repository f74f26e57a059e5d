//! Every task in its order, with what is done and what each waits for; the stop actions in full.

use maud::{Markup, html};
use stillprop_ledger::{event::v2::Entry, runs::Run};
use stillprop_turnaround::sheet::{Reads, Task};

use super::{SheetPage, reading};
use crate::sheet::work::is_amount;

/// The whole sheet, folded away.
pub(super) fn all(page: &SheetPage<'_>) -> Markup {
    let mut number = 0;
    html! {
        details.all {
            summary { "All tasks" }
            @for (phase, tasks) in page.sheet.phases() {
                h3 { (phase.title()) }
                ul.tasks {
                    @for task in tasks {
                        @let place = { number += 1; number - 1 };
                        (one(page, place, task))
                    }
                }
            }
            @if !page.sheet.puts.is_empty() {
                h3 { "After any break: each of these, before the work goes on" }
                ol { @for put in &page.sheet.puts { li { (put.title) } } }
            }
            h3 { "Stop actions" }
            @for plan in &page.sheet.plans {
                details {
                    summary { (plan.stop.title()) }
                    ol {
                        @for step in &plan.steps {
                            li { (step.title) @if !step.notes.is_empty() { ul { @for note in &step.notes { li { (note) } } } } }
                        }
                    }
                    p { "Then: " (plan.afterwards) }
                }
            }
        }
    }
}

fn one(page: &SheetPage<'_>, place: usize, task: &Task) -> Markup {
    let told = page.told;
    let done = told.is_some_and(|(_, progress)| progress.state.done.has(place));
    let kept = told.and_then(|(_, progress)| progress.kept.iter().rfind(|kept| kept.task == place));
    let (mark, word) = match (done, task.hold) {
        (true, _) => ("\u{2713}", "done"),
        (false, true) => ("H", "hold point, to do"),
        (false, false) => ("\u{25a1}", "to do"),
    };
    html! {
        li {
            span.mark aria-hidden="true" { (mark) } " " (place + 1) ". " (task.title) " "
            span.state { "(" (word)
                @if let Some(kept) = kept {
                    @if let Some(typed) = told.and_then(|(run, _)| typed(run, &task.id)) { ": " (typed) }
                    ", " (page.clock(kept.at)) ", " (kept.by)
                }
                ")" }
            @if done && is_amount(task) {
                details {
                    summary { "It was misread" }
                    (page.form("reread", &[("task", &task.id)], &again(page, place, task)))
                }
            }
        }
    }
}

/// The right reading of litres or a dip.
fn again(page: &SheetPage<'_>, place: usize, task: &Task) -> Markup {
    let id = format!("again-{place}");
    let units = if matches!(task.reads, Reads::Dip) { reading::DEPTHS } else { reading::VOLUMES };
    html! {
        label for=(id) { "The right reading" }
        input id=(id) name="r" inputmode="decimal" autocomplete="off" required;
        (reading::unit("u", "unit", units, reading::of_fuel(page.fuel)))
        button { "Keep the right reading" }
    }
}

/// What was typed with the entry that did a task.
fn typed<'a>(run: &'a Run, id: &str) -> Option<&'a str> {
    match &run.done(id)?.what {
        Entry::TaskDone(done) => done.reading.as_ref().map(|reading| reading.typed.as_str()),
        _ => None,
    }
}
