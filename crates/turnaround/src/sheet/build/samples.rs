//! The aeroplane's own drains, after its tanks have settled.
//!
//! Highest drain first; any contamination, and every point is drained again; a second time,
//! and the aeroplane stays where it is. The rule is that of an occurrence brief of the ATSB on
//! fuel contamination at Groote Eylandt, 28 March 2023 (published 2024; read: source).

use super::{Draft, minutes, told};
use crate::sheet::{
    flag::Flag,
    reading::Reads,
    task::{Fails, Phase, Task},
};

pub(super) fn add(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    let fuelled = super::terms(facts).fuelled;
    let settling = told(&facts.settling, minutes, "read the flight manual or ask the operator");
    let least = facts.settling.as_ref().ok().map(|cited| cited.value);
    let mut needs = Vec::new();
    if fuelled {
        // Waits for the amounts, and by them for the last cap.
        let last = draft.tasks.iter().rposition(|task| task.agrees);
        let mut settle = Task::new("settle-tanks", Phase::Sample, "Let the tanks settle")
            .why("a sample drawn too early runs clear and proves nothing")
            .note(format!("at least: {settling}"))
            .holds(Reads::Waited { least })
            .sets(&[Flag::Settled]);
        if let Some(last) = last {
            settle = settle.after(last);
        }
        draft.add(settle);
        needs.push(Flag::Settled);
    }
    let drained = draft.add(
        Task::new("drain", Phase::Sample, "Drain every point, the highest first, a full cup each")
            .why("water moves with the attitude: rock the wings, think of what lies beside the drain")
            .note("any water, dirt or haze: drain every point again, from the highest")
            .note("again bad: the aeroplane stays here until an engineer has found out why")
            .holds(Reads::Look { grade: facts.grade.clone() })
            .fails(Fails::AgainThenStop)
            // Nobody goes under an aeroplane that may roll or fire.
            .on(&[Flag::SwitchesOff])
            .on(&needs),
    );
    draft.add(
        Task::new("drain-paste", Phase::Sample, "Water paste in the cups")
            .why(if facts.gasoline() {
                "dyed fuel hides a cup that is all water"
            } else {
                "jet fuel and water look alike, and water hangs in it for long"
            })
            .holds(Reads::Paste)
            .fails(Fails::AgainThenStop)
            .after(drained)
            .sets(&[Flag::Sampled]),
    );
}
