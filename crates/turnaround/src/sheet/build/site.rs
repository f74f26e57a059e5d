//! Before anything else: the aeroplane dead and held; for fuel also empty, with room around it,
//! and what is needed when it goes wrong within reach.

use stillprop_rules::situation::Engine;

use super::{Draft, metres_down, metres_up, told};
use crate::sheet::{
    facts::Fuelling,
    flag::Flag,
    reading::Reads,
    task::{Phase, Task},
};

/// What every sheet begins with: nobody goes round or under an aeroplane that can roll or fire.
pub(super) fn dead(draft: &mut Draft<'_>) {
    draft.add(
        Task::new("chocks", Phase::Site, "Chock both main wheels, front and back")
            .why("brakes leak off; a nudge from a drum or a gust is enough")
            .sets(&[Flag::Chocks]),
    );
    let switches = if draft.facts.engine == Engine::Piston {
        Task::new("switches", Phase::Site, "Switches off, key out and in your pocket")
            .why("a magneto that is not grounded fires when the propeller is moved")
    } else {
        Task::new("switches", Phase::Site, "Start and ignition switches off, fuel lever shut")
            .why("an igniter is a spark, and a starter turns the propeller")
    };
    draft.add(switches.on(&[Flag::Chocks]).sets(&[Flag::SwitchesOff]));
}

pub(super) fn add(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    draft.add(
        Task::new("master", Phase::Site, "Master off; no switch is touched until the gear is away")
            .why("a relay or a pump makes a spark where the vapour is")
            .on(&[Flag::SwitchesOff])
            .sets(&[Flag::MasterOff]),
    );
    if facts.aboard {
        let why = if facts.gasoline() {
            "nobody sits in an aeroplane that takes gasoline; and nobody wanders"
        } else {
            "whoever sits inside gets out too late; and nobody wanders"
        };
        draft.add(
            Task::new("people-off", Phase::Site, "Everybody out, and to the gate with somebody")
                .why(why)
                .clears(&[Flag::Aboard]),
        );
    }
    room(draft);
    draft.add(
        Task::new("spill-kit", Phase::Site, "Find the spill kit and open it")
            .why("what must be looked for comes too late")
            .sets(&[Flag::SpillKit]),
    );
    let count = told(
        &facts.extinguishers,
        |count| format!("{count} of them"),
        "ask the field, or read the fuelling rule",
    );
    let near = told(&facts.extinguisher_near, metres_up, "read the fuelling rule");
    let far = told(&facts.extinguisher_far, metres_down, "read the fuelling rule");
    draft.add(
        Task::new("extinguishers", Phase::Site, "Put the extinguishers out, pins seen, upwind")
            .why("a fire is small for some seconds only")
            .on(&[Flag::SpillKit])
            .note(format!("how many: {count}"))
            .note(format!("not nearer to the filler than: {near}"))
            .note(format!("not farther than: {far}"))
            .sets(&[Flag::Extinguishers]),
    );
    stop(draft);
}

/// What the documents say stands too near for fuelling.
fn room(draft: &mut Draft<'_>) {
    let near = super::near(draft.facts, super::FUEL_ROOM);
    if near.is_empty() {
        return;
    }
    let mut task = Task::new(
        "fuel-room",
        Phase::Site,
        "Take away what is too near for fuelling, or move the aeroplane: is it so?",
    )
    .why("vapour finds the spark; by the documents these are too near")
    .holds(Reads::Yes)
    .sets(&[Flag::RoomClear]);
    for words in near {
        task = task.note(words);
    }
    draft.add(task);
}

/// How the pump is stopped; for one person with a drum also from where.
fn stop(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    let lone = facts.fuelling == Fuelling::Drum && facts.second.is_none();
    let (title, who) = match facts.fuelling {
        Fuelling::Tanker => ("Let the refueller show you the emergency stop", "tanker"),
        Fuelling::SelfServe => ("Find the emergency stop and lay a hand on it", "pump"),
        _ if lone => (
            "One person alone: the pump has power of its own, and its switch is in reach of the \
             one at the nozzle",
            "drum pump",
        ),
        _ => ("Say how the pump is stopped, and by whom", "drum pump"),
    };
    let task = Task::new("emergency-stop", Phase::Site, title)
        .why(format!("whoever sees it first stops the {who}"))
        .notes(facts.may_fuel.clone())
        .on(&[Flag::SpillKit])
        .sets(&[Flag::Shutoff]);
    draft.add(if lone {
        task.note("a pump worked by hand needs two: one at the pump, one who holds the nozzle")
            .note("not so: no fuel is taken; find a second person, and make the sheet for two")
            .holds(Reads::Yes)
    } else {
        task.reads(Reads::Words)
    });
}
