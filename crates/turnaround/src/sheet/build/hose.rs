//! Fuel from a tanker or from a pump that the pilot works: the grade settled in words or by
//! eye, a sample, two leads, the tanks.

use super::{
    Draft,
    fill::{self, Run},
};
use crate::sheet::{
    facts::{Facts, Fuelling, Tank, with_asked},
    flag::Flag,
    reading::Reads,
    stop::Stop,
    task::{Fails, Phase, Role, Task},
};

const BAD: Fails = Fails::Stop(Stop::WrongFuel);

pub(super) fn add(draft: &mut Draft<'_>) {
    if draft.facts.fuelling == Fuelling::Tanker {
        order(draft)
    } else {
        compare(draft)
    }
    sample(draft);
    let facts = draft.facts;
    let mut after = leads_on(draft);
    for (number, tank) in facts.tanks.iter().enumerate() {
        let run = Run {
            number,
            tank: &tank.label,
            place: number,
            mark: String::new(),
            volume: tank.litres,
            asked: tank.asked.as_ref(),
            after,
        };
        after = fill::add(draft, &run);
    }
    leads_off(draft, after);
}

/// What is said to the refueller, and heard again.
fn order(draft: &mut Draft<'_>) {
    let facts = draft.facts;
    let grade = facts.grade.clone();
    draft.add(
        Task::new("order", Phase::Fuel, "Say the order; the refueller reads it back")
            .why(if facts.gasoline() {
                "a grade that was only nodded at is how jet fuel gets into a gasoline engine"
            } else {
                "a grade that was only nodded at is how gasoline gets into a turbine"
            })
            .note(format!("say: {}", said(facts)))
            .note("the tanker's own placard, hose and nozzle must say the same; look at them")
            .holds(Reads::Grade { grade })
            .fails(BAD)
            .sets(&[Flag::Grade]),
    );
    draft.add(
        Task::new("tanker-in", Phase::Fuel, "Tanker stands with its nose to the way out")
            .why("it must drive off without backing, past no wing")
            .who(Role::Refueller)
            .on(&[Flag::SwitchesOff, Flag::Extinguishers])
            .sets(&[Flag::GearOut]),
    );
}

fn said(facts: &Facts) -> String {
    let said =
        |tank: &Tank| format!("{} {}", tank.label, with_asked(tank.litres, tank.asked.as_ref()));
    let tanks: Vec<String> = facts.tanks.iter().map(said).collect();
    format!("{}, {}, {}", facts.registration, facts.grade, tanks.join(", "))
}

/// What a pilot alone with a pump compares.
fn compare(draft: &mut Draft<'_>) {
    let grade = draft.facts.grade.clone();
    draft.add(
        Task::new(
            "grade",
            Phase::Fuel,
            "Manual, filler placard, pump and nozzle: one grade, read aloud",
        )
        .why("nobody else is there to notice")
        .note("colour of the nozzle and shape of the spout must fit as well")
        .note("a spout that must be held askew to go in is the wrong spout")
        .holds(Reads::Grade { grade })
        .fails(BAD)
        .sets(&[Flag::Grade]),
    );
    draft.add(
        Task::new(
            "hose-out",
            Phase::Fuel,
            "Draw the hose out, clear of wheels, no loop under the wing",
        )
        .why("a hose under strain tears the nozzle out")
        .on(&[Flag::SwitchesOff, Flag::Extinguishers])
        .sets(&[Flag::GearOut]),
    );
}

fn sample(draft: &mut Draft<'_>) {
    let grade = draft.facts.grade.clone();
    let tanker = draft.facts.fuelling == Fuelling::Tanker;
    let (title, who) = if tanker {
        ("See the sample of the tanker drawn, clear and bright; its lead off last", Role::Refueller)
    } else {
        ("Draw a sample from the pump, clear and bright; its lead off last", Role::Pilot)
    };
    let from = if tanker { "tanker" } else { "pump" };
    draft.add(
        Task::new(
            "sample-lead",
            Phase::Fuel,
            format!("Lead from the {from} to the metal can for the sample"),
        )
        .why("fuel that falls into a can that is not bonded makes the spark itself")
        .note("no can or funnel of plastic")
        .who(who)
        .source(0)
        .on(&[Flag::GearOut])
        .sets(&[Flag::SampleEarth]),
    );
    let first = draft.add(
        Task::new("sample-source", Phase::Fuel, title)
            .why("what comes out of the hose goes into the tank")
            .who(who)
            .holds(Reads::Look { grade: grade.clone() })
            .fails(BAD)
            .source(0)
            .on(&[Flag::SampleEarth])
            .clears(&[Flag::SampleEarth]),
    );
    let paste = draft.add(
        Task::new("paste-source", Phase::Fuel, "Water paste in the sample")
            .why("eye and nose alone mislead")
            .holds(Reads::Paste)
            .fails(BAD)
            .source(0)
            .after(first),
    );
    draft.add(
        Task::new("density-source", Phase::Fuel, "Density and temperature of the sample")
            .why(super::mixed(draft.facts))
            .note("a density in the band does not prove that the fuel is pure")
            .holds(Reads::Density { grade })
            .fails(BAD)
            .source(0)
            .after(paste)
            .sets(&[Flag::Passed0]),
    );
    let filter = if tanker {
        "See the filter record of the day on the tanker"
    } else {
        "Look at the filter of the pump: in date, gauge in its range"
    };
    draft.add(
        Task::new("filter", Phase::Fuel, filter)
            .why("all fuel is filtered for water and dirt before it goes in")
            .holds(Reads::Yes)
            .on(&[Flag::GearOut])
            .sets(&[Flag::Filter]),
    );
}

fn leads_on(draft: &mut Draft<'_>) -> usize {
    let tanker = draft.facts.fuelling == Fuelling::Tanker;
    let who = if tanker { Role::Refueller } else { Role::Pilot };
    let from = if tanker { "tanker" } else { "pump" };
    draft.add(
        Task::new(
            "aircraft-lead-on",
            Phase::Fill,
            format!("Lead from the {from} to bare metal of the aeroplane"),
        )
        .why("paint insulates: exhaust, tie-down ring or bonding post")
        .who(who)
        .on(&[Flag::GearOut])
        .sets(&[Flag::BondAircraft]),
    )
}

fn leads_off(draft: &mut Draft<'_>, last: usize) {
    let tanker = draft.facts.fuelling == Fuelling::Tanker;
    let who = if tanker { Role::Refueller } else { Role::Pilot };
    let seen = draft.add(
        Task::new("caps-seen", Phase::Clear, "Hand on each cap yourself: shut and locked")
            .why("whoever opened them, the pilot flies with them")
            .holds(Reads::Yes)
            .after(last)
            .sets(&[Flag::CapsSeen]),
    );
    let off = draft.add(
        Task::new("aircraft-lead-off", Phase::Clear, "Lead off the aeroplane")
            .why("cap before lead")
            .who(who)
            .on(&[Flag::CapsSeen])
            .after(last)
            .clears(&[Flag::BondAircraft]),
    );
    let grade = &draft.facts.grade;
    let ticket = format!("Read the ticket: {grade}, litres, registration, date");
    draft.add(
        Task::new("ticket", Phase::Clear, ticket)
            .why("the last chance to notice the wrong grade, or that not all of it is where it should be")
            .note(super::AGREE)
            .holds(Reads::Ticket)
            .after(seen)
            .agrees(),
    );
    let (id, title) = if tanker {
        ("tanker-away", "Tanker away before anybody comes back")
    } else {
        ("hose-away", "Nozzle back and capped, hose rolled up")
    };
    draft.add(
        Task::new(id, Phase::Clear, title)
            .why("nothing lies where the propeller will turn")
            .who(who)
            .after(off)
            .clears(&[Flag::GearOut]),
    );
}
