//! The start by the starter. The start by hand has a file of its own.

use super::{Draft, hand, metres_up, people, told};
use crate::sheet::{
    facts::{Facts, Start},
    flag::Flag,
    reading::Reads,
    task::{Phase, Task},
};

/// How this sheet starts the engine: by hand only where the manual does not forbid it, where it
/// would not be pulled away by its own propeller, and where somebody may do it.
pub(super) fn way(facts: &Facts) -> Start {
    let somebody =
        facts.second.is_some() || facts.alone_permitted.as_ref().is_ok_and(|cited| cited.value);
    match facts.start {
        Start::Hand
            if facts.hand_permitted == Some(false) || facts.gives_way.is_some() || !somebody =>
        {
            Start::None
        }
        start => start,
    }
}

/// The tanks that were looked into are shut again: a start waits for it.
pub(super) fn shut(draft: &Draft<'_>, task: Task) -> Task {
    match draft.tasks.iter().position(|task| task.id == "tanks-shut") {
        Some(shut) => task.after(shut),
        None => task,
    }
}

pub(super) fn add(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    match way(facts) {
        Start::Electric => {
            let told = people::tell(draft);
            people::brief(draft);
            let aboard = people::board(draft);
            electric(draft, [told, aboard]);
        }
        Start::Hand => hand::add(draft),
        Start::None => {
            people::tell(draft);
            people::brief(draft);
            if facts.start == Start::Hand {
                hand::not_here(draft);
            }
        }
    }
}

/// How far people and things stay from an engine that runs.
pub(super) fn room(facts: &Facts) -> Vec<String> {
    let told = |figure, ask: &str| told(figure, metres_up, ask);
    let people = told(&facts.running_distance, "read the rule on running engines");
    let public = told(&facts.running_public, "read the rule on running engines");
    let aircraft = told(&facts.running_aircraft, "read the rule on running engines");
    vec![
        format!("nobody on foot nearer to the propeller than: {people}"),
        format!("no place of the public nearer than: {public}"),
        format!("no other aircraft nearer than: {aircraft}"),
    ]
}

fn electric(draft: &mut Draft<'_>, before: [Option<usize>; 2]) {
    let brake = if draft.facts.brake == Some(false) {
        Task::new("brake", Phase::Start, "No brake is fitted: somebody holds it at the wing tip")
            .why("once the chocks are away nothing else holds it; behind the strut, clear of the arc")
    } else {
        Task::new("brake", Phase::Start, "Brake set and held")
            .why("from here on the brake alone holds it")
    };
    let mut brake = brake.on(&[Flag::Walked]).sets(&[Flag::Brake]);
    if super::terms(draft.facts).near_run {
        brake = brake.on(&[Flag::RunClear]);
    }
    draft.add(brake);
    draft.add(
        Task::new("chocks-away", Phase::Start, "Chocks away, counted and stowed")
            .why("nobody goes to the wheels once it runs")
            .on(&[Flag::Brake])
            .clears(&[Flag::Chocks]),
    );
    let chocks = draft.tasks.len() - 1;
    let mut seat =
        Task::new("seat", Phase::Start, "At the controls, doors shut, checklist of the manual")
            .why("an engine that runs has somebody at its controls")
            .off(&[Flag::Chocks])
            .sets(&[Flag::AtControls]);
    for before in before.into_iter().flatten() {
        seat = seat.after(before);
    }
    draft.add(seat);
    draft.add(
        Task::new(
            "arc",
            Phase::Start,
            "Look all round, call out, wait for an answer or for nobody",
        )
        .why("a child or a dog stands where you cannot see it")
        .notes(room(draft.facts))
        .after(chocks)
        .sets(&[Flag::ArcClear])
        .again(&[Flag::EngineRuns]),
    );
    let start = shut(
        draft,
        Task::new("start", Phase::Start, "Start by the manual")
            .why("the manual has the order of switches; this sheet has what must be so before")
            .holds(Reads::Yes)
            .on(&[Flag::CoversOff, Flag::ArcClear, Flag::AtControls, Flag::Sampled])
            .off(&[Flag::GearOut])
            .sets(&[Flag::EngineRuns, Flag::Contact])
            .clears(&[Flag::MasterOff, Flag::SwitchesOff]),
    );
    draft.add(start);
}
