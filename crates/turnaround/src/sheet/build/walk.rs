//! Walk round: what must be seen, and how it hurts the one who looks.

use super::Draft;
use crate::sheet::{
    flag::Flag,
    reading::Reads,
    task::{Phase, Task},
};

/// Id, title, why.
const ROUND: [(&str, &str, &str); 5] = [
    (
        "walk-edges",
        "Go round outside the wing tips; mind flaps, tips, aerials and pitot",
        "edges at the height of a head, sharp, and hardest to see against the sun",
    ),
    (
        "walk-controls",
        "Nobody at the controls; then move each surface by hand",
        "a surface that somebody moves from the seat takes fingers",
    ),
    (
        "walk-wind",
        "Look at the wind: doors, cowls and surfaces held when they are opened",
        "a gust throws a door or a surface at whoever stands there",
    ),
    (
        "walk-wheels",
        "Tyres, brakes, legs; hands off what is hot",
        "a brake that has just worked burns for a long time",
    ),
    (
        "walk-propeller",
        "Propeller: look from the side, touch nothing, count it as live",
        "a magneto with a broken lead fires whatever the switch says",
    ),
];

pub(super) fn add(draft: &mut Draft<'_>) {
    // While the tanks settle there is time to go round; nobody does while fuel is taken.
    let fuelled = super::terms(draft.facts).fuelled;
    let needs: &[Flag] = if fuelled { &[Flag::CapsSeen] } else { &[] };
    if !fuelled {
        look_in(draft);
    }
    let mut before = None;
    for (id, title, why) in ROUND {
        let mut task = Task::new(id, Phase::Walk, title).why(why);
        // One way round, so that nothing is passed twice and nothing left out.
        task = match before {
            None => task.on(needs),
            Some(before) => task.after(before),
        };
        before = Some(draft.add(task));
    }
    draft.add(
        Task::new(
            "covers-off",
            Phase::Walk,
            "Covers, locks, tow bar and tie-downs off, each counted",
        )
        .why("what was put on in parts is left on in parts")
        .holds(Reads::Yes)
        .on(needs)
        .sets(&[Flag::CoversOff]),
    );
    let mut all =
        Task::new("walk-done", Phase::Walk, "Step back ten paces and look at the whole of it")
            .why("what is wrong with the whole is not seen from near")
            .holds(Reads::Yes)
            .sets(&[Flag::Walked]);
    if let Some(before) = before {
        all = all.after(before);
    }
    draft.add(all);
}

/// Where no fuel is taken, nobody has looked into the tanks yet.
fn look_in(draft: &mut Draft<'_>) {
    draft.add(
        Task::new("tanks-open", Phase::Walk, "Caps off, one after the other: look in, dip")
            .why("a gauge is one opinion; eye and dip are another")
            .reads(Reads::Dip)
            .sets(&[Flag::CapOpen]),
    );
    draft.add(
        Task::new("tanks-shut", Phase::Walk, "Hand on each cap: shut and locked")
            .why("samples that ran clear did not help the one whose cap was loose")
            .holds(Reads::Yes)
            .on(&[Flag::CapOpen])
            .clears(&[Flag::CapOpen])
            .sets(&[Flag::CapsSeen]),
    );
}
