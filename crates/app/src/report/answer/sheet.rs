//! The run sheet.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_turnaround::sheet::{self, Checked, INVARIANTS, Need, Reads, Trouble};

use crate::report::sheet::{Head, cautions};

/// The run sheet, or the order in which it would come to harm.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
pub(crate) enum Answer<'a> {
    /// Every order was tried.
    Sheet(Box<Sheet<'a>>),
    /// Some order breaks an invariant: no tasks, so that nobody works by it.
    Trouble(Harm<'a>),
}

/// The run sheet.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Sheet<'a> {
    /// What the turnaround is called.
    title: &'a str,
    /// Registration.
    aircraft: &'a str,
    /// The strip.
    place: &'a str,
    /// How it is fuelled and started.
    method: &'a str,
    /// Rules it is judged by.
    rules: &'a str,
    /// Demonstration data.
    invented: bool,
    /// Who does what.
    people: Vec<Person<'a>>,
    /// Limits that break.
    breaks: Vec<Broken<'a>>,
    tasks: Vec<Task<'a>>,
    /// The ids of the tasks in order.
    order: Vec<&'a str>,
    /// What is asked again after a break.
    after_a_break: Vec<Put>,
    stop_actions: Vec<Plan<'a>>,
    /// What is never otherwise, whatever the order.
    invariants: Vec<Invariant>,
    check: Tried,
    /// What every answer carries.
    cautions: Vec<&'static str>,
}

/// Somebody with a part in it.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Person<'a> {
    role: &'static str,
    name: &'a str,
}

/// A limit that breaks.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Broken<'a> {
    id: &'a str,
    words: &'a str,
}

/// A task.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Task<'a> {
    id: &'a str,
    phase: &'static str,
    title: &'a str,
    /// The role that does it.
    who: &'static str,
    why: &'a str,
    notes: &'a [String],
    /// What is read and typed; none when nothing is.
    reads: Option<Reading>,
    /// It cannot be passed without its reading.
    hold: bool,
    /// What must be so before.
    needs: Vec<Needed<'a>>,
}

/// What is read.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Reading {
    /// Which kind.
    kind: &'static str,
    /// How it is written.
    write: String,
}

/// What must be so before a task.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Needed<'a> {
    words: String,
    /// The task that must be done, where it is one.
    after: Option<&'a str>,
}

/// What is put down in a break.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Put {
    id: &'static str,
    title: &'static str,
    note: &'static str,
    /// How its reading is written.
    write: String,
}

/// A stop action.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Plan<'a> {
    /// What it answers.
    stop: &'static str,
    title: &'static str,
    steps: Vec<Step<'a>>,
    /// How the work goes on.
    afterwards: &'a str,
}

/// A step of a stop action.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Step<'a> {
    title: &'a str,
    notes: &'a [String],
}

/// What is never otherwise.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Invariant {
    id: &'static str,
    words: &'static str,
    source: &'static str,
}

/// What trying every order found.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Tried {
    states: usize,
    steps: usize,
    /// Always true here.
    holds: bool,
}

/// A sheet that is not given.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Harm<'a> {
    check: Found<'a>,
    /// What every answer carries.
    cautions: Vec<&'static str>,
}

/// The order that breaks an invariant.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Found<'a> {
    /// Always false here.
    holds: bool,
    /// The id of the invariant.
    breaks: &'static str,
    /// The invariant in words.
    words: &'static str,
    /// A shortest order that leads there.
    order: &'a [String],
}

/// The sheet, with what the checker found.
pub(crate) fn sheet<'a>(head: &'a Head, sheet: &'a sheet::Sheet, checked: &Checked) -> Answer<'a> {
    let order: Vec<&str> = sheet.tasks.iter().map(|task| task.id.as_str()).collect();
    let people = sheet.roles.iter().map(|(role, name)| Person { role: role.word(), name });
    let invariants = INVARIANTS.iter().map(|each| Invariant {
        id: each.id,
        words: each.sentence,
        source: each.source,
    });
    Answer::Sheet(Box::new(Sheet {
        title: &head.title,
        aircraft: &head.aircraft,
        place: &head.place,
        method: &head.method,
        rules: &head.rules,
        invented: head.invented,
        people: people.collect(),
        breaks: sheet
            .broken
            .iter()
            .map(|each| Broken { id: &each.id, words: &each.words })
            .collect(),
        tasks: sheet.tasks.iter().map(|each| task(sheet, each)).collect(),
        order,
        after_a_break: sheet.puts.iter().map(put).collect(),
        stop_actions: sheet.plans.iter().map(plan).collect(),
        invariants: invariants.collect(),
        check: Tried { states: checked.states, steps: checked.transitions, holds: true },
        cautions: cautions(head),
    }))
}

/// A sheet in which some order breaks an invariant.
pub(crate) fn trouble<'a>(head: &Head, trouble: &'a Trouble) -> Answer<'a> {
    Answer::Trouble(Harm {
        check: Found {
            holds: false,
            breaks: trouble.id,
            words: trouble.sentence,
            order: &trouble.order,
        },
        cautions: cautions(head),
    })
}

fn task<'a>(sheet: &'a sheet::Sheet, task: &'a sheet::Task) -> Task<'a> {
    let reads = match &task.reads {
        Reads::Nothing => None,
        reads => Some(Reading { kind: reads.name(), write: reads.help() }),
    };
    let needs = task.needs.iter().map(|need| {
        let after = match need {
            Need::Done(place) => sheet.tasks.get(*place).map(|task| task.id.as_str()),
            Need::On(_) | Need::Off(_) => None,
        };
        Needed { words: sheet.need(*need), after }
    });
    Task {
        id: &task.id,
        phase: task.phase.title(),
        title: &task.title,
        who: task.who.word(),
        why: &task.why,
        notes: &task.notes,
        reads,
        hold: task.hold,
        needs: needs.collect(),
    }
}

fn put(put: &sheet::Put) -> Put {
    Put { id: put.id, title: put.title, note: put.note, write: put.reads.help() }
}

fn plan(plan: &sheet::Plan) -> Plan<'_> {
    let steps = plan.steps.iter().map(|step| Step { title: &step.title, notes: &step.notes });
    Plan {
        stop: plan.stop.id(),
        title: plan.stop.title(),
        steps: steps.collect(),
        afterwards: &plan.afterwards,
    }
}
