//! The run sheet as JSON.

use serde_json::{Value, json};
use stillprop_turnaround::sheet::{
    Broken, Checked, INVARIANTS, Need, Plan, Put, Reads, Sheet, Task, Trouble,
};

use super::sheet::{Head, cautions};

/// The sheet: tasks, order, what each needs, readings, stop actions, invariants, and what the
/// checker found.
pub(crate) fn sheet(head: &Head, sheet: &Sheet, checked: &Checked) -> Value {
    let order: Vec<&str> = sheet.tasks.iter().map(|task| task.id.as_str()).collect();
    let people = sheet.roles.iter();
    let people = people.map(|(role, name)| json!({ "role": role.word(), "name": name }));
    let invariants = INVARIANTS.iter();
    let invariants = invariants
        .map(|each| json!({ "id": each.id, "words": each.sentence, "source": each.source }));
    json!({
        "title": head.title,
        "aircraft": head.aircraft,
        "place": head.place,
        "method": head.method,
        "rules": head.rules,
        "invented": head.invented,
        "people": people.collect::<Vec<_>>(),
        "breaks": sheet.broken.iter().map(broken).collect::<Vec<_>>(),
        "tasks": sheet.tasks.iter().map(|each| task(sheet, each)).collect::<Vec<_>>(),
        "order": order,
        "after_a_break": sheet.puts.iter().map(put).collect::<Vec<_>>(),
        "stop_actions": sheet.plans.iter().map(plan).collect::<Vec<_>>(),
        "invariants": invariants.collect::<Vec<_>>(),
        "check": { "states": checked.states, "steps": checked.transitions, "holds": true },
        "cautions": cautions(head),
    })
}

/// A sheet in which some order breaks an invariant: no tasks, so that nobody works by it.
pub(crate) fn trouble(head: &Head, trouble: &Trouble) -> Value {
    json!({
        "check": { "holds": false, "breaks": trouble.id, "words": trouble.sentence, "order": trouble.order },
        "cautions": cautions(head),
    })
}

fn task(sheet: &Sheet, task: &Task) -> Value {
    let reads = match &task.reads {
        Reads::Nothing => Value::Null,
        reads => json!({ "kind": reads.name(), "write": reads.help() }),
    };
    let needs = task.needs.iter().map(|need| {
        let after = match need {
            Need::Done(place) => sheet.tasks.get(*place).map(|task| task.id.as_str()),
            Need::On(_) | Need::Off(_) => None,
        };
        json!({ "words": sheet.need(*need), "after": after })
    });
    json!({
        "id": task.id,
        "phase": task.phase.title(),
        "title": task.title,
        "who": task.who.word(),
        "why": task.why,
        "notes": task.notes,
        "reads": reads,
        "hold": task.hold,
        "needs": needs.collect::<Vec<_>>(),
    })
}

fn broken(broken: &Broken) -> Value {
    json!({ "id": broken.id, "words": broken.words })
}

fn put(put: &Put) -> Value {
    json!({ "id": put.id, "title": put.title, "note": put.note, "write": put.reads.help() })
}

fn plan(plan: &Plan) -> Value {
    let steps = plan.steps.iter();
    let steps = steps.map(|step| json!({ "title": step.title, "notes": step.notes }));
    json!({
        "stop": plan.stop.id(),
        "title": plan.stop.title(),
        "steps": steps.collect::<Vec<_>>(),
        "afterwards": plan.afterwards,
    })
}
