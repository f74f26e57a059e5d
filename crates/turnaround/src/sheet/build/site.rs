//! Before any fuel: the aeroplane dead, held and empty, and what is needed when it goes wrong
//! within reach.

use super::{Draft, metres_down, metres_up, told};
use crate::sheet::{
    facts::Fuelling,
    flag::Flag,
    reading::Reads,
    task::{Phase, Task},
};

pub(super) fn add(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    draft.add(
        Task::new("chocks", Phase::Site, "Chock both main wheels, front and back")
            .why("brakes leak off; a nudge from a drum or a gust is enough")
            .sets(&[Flag::Chocks]),
    );
    draft.add(
        Task::new("switches", Phase::Site, "Switches off, key out and in your pocket")
            .why("a magneto that is not grounded fires when the propeller is moved")
            .on(&[Flag::Chocks])
            .sets(&[Flag::SwitchesOff]),
    );
    draft.add(
        Task::new("master", Phase::Site, "Master off; no switch is touched until the gear is away")
            .why("a relay or a pump makes a spark where the vapour is")
            .on(&[Flag::SwitchesOff])
            .sets(&[Flag::MasterOff]),
    );
    if facts.aboard {
        draft.add(
            Task::new("people-off", Phase::Site, "Everybody out, and to the gate with somebody")
                .why("nobody sits in an aeroplane that takes gasoline; and nobody wanders")
                .clears(&[Flag::Aboard]),
        );
    }
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
    let (title, who) = match facts.fuelling {
        Fuelling::Tanker => ("Let the refueller show you the emergency stop", "tanker"),
        Fuelling::SelfServe => ("Find the emergency stop and lay a hand on it", "pump"),
        Fuelling::Drum | Fuelling::None | Fuelling::Unknown => {
            ("Say how the pump is stopped, and by whom", "drum pump")
        }
    };
    draft.add(
        Task::new("emergency-stop", Phase::Site, title)
            .why(format!("whoever sees it first stops the {who}"))
            .on(&[Flag::SpillKit])
            .sets(&[Flag::Shutoff])
            .reads(Reads::Words),
    );
}
