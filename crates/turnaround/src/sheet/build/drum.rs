//! Fuel from drums: look, stand, settle, sample; bond from earth to aeroplane; fill; and all
//! of it off again in the reverse order.

use super::{
    Draft,
    fill::{self, Run, kebab},
    minutes, told,
};
use crate::sheet::{
    facts::{Drum, Facts, litres},
    flag::{Flag, Flags},
    reading::Reads,
    stop::Stop,
    task::{Fails, Phase, Task},
    wait::{self, Wait},
};

/// Said where invented drums are stood up on a day to come.
const REHEARSED: &str = "invented data: gone through before that day, the time counts to the \
    beginning of its fuelling";

const BAD: Fails = Fails::Stop(Stop::WrongFuel);

pub(super) fn add(draft: &mut Draft<'_>) {
    let drums = &draft.facts.drums;
    let stood: Vec<usize> =
        drums.iter().enumerate().map(|(place, drum)| look(draft, place, drum)).collect();
    settle(draft, &stood);
    for (place, drum) in drums.iter().enumerate() {
        sample(draft, place, drum);
    }
    gear(draft);
    let (mut before, mut number) = (None, 0);
    for drum in drums {
        let on = bond(draft, drum, before);
        let last = fill_from(draft, drum, on, &mut number);
        before = Some(unbond(draft, drum, last));
    }
    away(draft);
}

/// Look it over and stand it up; gives the place of the second.
fn look(draft: &mut Draft<'_>, place: usize, drum: &Drum) -> usize {
    let (label, id) = (&drum.label, kebab(&drum.label));
    let grade = draft.facts.grade.clone();
    draft.add(
        Task::new(format!("look-{id}"), Phase::Fuel, format!("{label}: read its grade, look it over"))
            .why("print and colour of a drum may be wrong, and a broken seal proves nothing is wrong or right")
            .note("both seals whole, no dent that creases, no bulge, no cross on the end, date of filling")
            .note("in doubt about any of these: say the fuel is wrong, and take another drum")
            .holds(Reads::Grade { grade })
            .fails(BAD)
            .source(place),
    );
    let looked = draft.tasks.len() - 1;
    let known = wait::by_ledger(drum, draft.facts.offset);
    let title = match known {
        Ok(_) => format!("{label}: see that it stands, high side at the bung"),
        Err(_) => format!("{label}: stand it up, high side at the bung"),
    };
    let mut task = Task::new(format!("stand-{id}"), Phase::Fuel, title)
        .why("water and dirt gather at the low side, away from the pump")
        .reads(Reads::Clock)
        .after(looked)
        .source(place);
    task = match known {
        Ok(known) => task
            .note(known)
            .note("it lay, was moved, or is another drum: stand it up and write when that was"),
        Err(why) => task
            .note(format!("unknown by the ledger since when it stands: {why}"))
            .note("it stands since earlier: write since when; else it counts from now"),
    };
    draft.add(task)
}

fn settle(draft: &mut Draft<'_>, stood: &[usize]) {
    let waits: Vec<String> = draft
        .facts
        .drums
        .iter()
        .map(|drum| {
            let time = told(&drum.settles, minutes, "ask the supplier, or read the pack");
            format!("{}: {time}", drum.label)
        })
        .collect();
    let known = draft.facts.drums.iter().any(|drum| drum.stands.is_ok());
    let rehearsed = draft.facts.rehearsed.filter(|_| known);
    // The longest, where all are known: one drum that is unknown leaves the wait unknown.
    let known: Option<Vec<_>> =
        draft.facts.drums.iter().map(|drum| drum.settles.as_ref().ok().map(|c| c.value)).collect();
    let least = known.and_then(|times| {
        times.into_iter().reduce(|longest, time| if time > longest { time } else { longest })
    });
    let mut task = Task::new("settle-drums", Phase::Fuel, "Let the drums stand; nobody moves them")
        .why("a drop of water takes its time to the bottom, in jet fuel several times as long")
        .holds(Reads::Waited { least })
        .sets(&[Flag::DrumsSettled]);
    for wait in waits {
        task = task.note(wait);
    }
    if rehearsed.is_some() {
        task = task.note(REHEARSED);
    }
    for &place in stood {
        task = task.after(place);
    }
    draft.add(task);
    let Facts { drums, offset, rehearsed, .. } = draft.facts;
    draft.wait = Some(Wait::of(drums, stood, *offset, *rehearsed));
}

fn sample(draft: &mut Draft<'_>, place: usize, drum: &Drum) {
    let (label, id) = (&drum.label, kebab(&drum.label));
    let grade = draft.facts.grade.clone();
    let passed = Flag::PASSED.get(place).copied().unwrap_or(Flag::Passed0);
    draft.add(
        Task::new(
            format!("sample-lead-{id}"),
            Phase::Fuel,
            format!("{label}: lead to earth, and from the drum to the metal can for the sample"),
        )
        .why("fuel that falls into a can that is not bonded makes the spark itself")
        .note("no can or funnel of plastic")
        .source(place)
        .on(&[Flag::DrumsSettled])
        .off(&[Flag::SampleEarth])
        .sets(&[Flag::SampleEarth]),
    );
    let first = draft.add(
        Task::new(
            format!("sample-{id}"),
            Phase::Fuel,
            format!("{label}: bung out, sample from the bottom"),
        )
        .why("what is wrong lies at the bottom")
        .holds(Reads::Look { grade: grade.clone() })
        .fails(BAD)
        .source(place)
        .on(&[Flag::SampleEarth])
        .off(&[Flag::BungOpen])
        .sets(&[Flag::BungOpen]),
    );
    let paste = draft.add(
        Task::new(format!("paste-{id}"), Phase::Fuel, format!("{label}: water paste on a dry rod"))
            .why("eye and nose alone mislead")
            .holds(Reads::Paste)
            .fails(BAD)
            .source(place)
            .after(first),
    );
    let density = draft.add(
        Task::new(
            format!("density-{id}"),
            Phase::Fuel,
            format!("{label}: density and temperature"),
        )
        .why(super::mixed(draft.facts))
        .note("a density in the band does not prove that the fuel is pure")
        .holds(Reads::Density { grade })
        .fails(BAD)
        .source(place)
        .after(paste),
    );
    draft.add(
        Task::new(
            format!("bung-in-{id}"),
            Phase::Fuel,
            format!("{label}: bung in until it is its turn; then its leads off"),
        )
        .why("an open drum takes in rain, dust and damp air")
        .source(place)
        .after(density)
        .sets(&[passed])
        .clears(&[Flag::BungOpen, Flag::SampleEarth]),
    );
}

fn gear(draft: &mut Draft<'_>) {
    let grade = draft.facts.grade.clone();
    draft.add(
        Task::new(
            "gear-out",
            Phase::Fuel,
            "Bring pump and hose to the drums, which stay as they stand; leave a way out",
        )
            .why("a drum that is moved now stirs up what has settled; what burns or leaks must have a way out")
            .on(&[Flag::SwitchesOff, Flag::Extinguishers])
            .sets(&[Flag::GearOut]),
    );
    draft.add(
        Task::new(
            "filter",
            Phase::Fuel,
            "Look into the filter: right element, whole, dry, no flakes",
        )
        .why("drum sealant comes off in white flakes; the filter is what stops it")
        .holds(Reads::Yes)
        .on(&[Flag::GearOut])
        .sets(&[Flag::Filter]),
    );
    draft.add(
        Task::new(
            "grade",
            Phase::Fuel,
            "Manual, filler placard and drum: the same grade, read aloud",
        )
        .why("an engine may run on the wrong fuel just long enough to leave the ground")
        .holds(Reads::Grade { grade })
        .fails(BAD)
        .on(&[Flag::GearOut])
        .sets(&[Flag::Grade]),
    );
}

/// Earth, pump, aeroplane; gives the place of the last lead.
fn bond(draft: &mut Draft<'_>, drum: &Drum, before: Option<usize>) -> usize {
    let (label, id) = (&drum.label, kebab(&drum.label));
    // Every drum of the sheet: when one fails, another may have to take its place.
    let passed: Vec<Flag> = Flags::drums_passed(draft.facts.drums.len()).iter().collect();
    let mut earth = Task::new(
        format!("earth-on-{id}"),
        Phase::Fill,
        format!("{label}: lead from the drum to earth"),
    )
    .why("first of the leads, and the last to come off")
    .reads(Reads::Resistance)
    .on(&[Flag::GearOut])
    .sets(&[Flag::BondEarth]);
    if let Some(before) = before {
        earth = earth.after(before);
    }
    let earth = draft.add(earth);
    let lead = draft.add(
        Task::new(
            format!("pump-lead-on-{id}"),
            Phase::Fill,
            format!("{label}: lead from the drum to the pump, before the bung"),
        )
        .why("a hand pump counts as fuelling equipment; drum and pump come to one potential where there is no vapour yet")
        .after(earth)
        .sets(&[Flag::BondPump]),
    );
    let pump = draft.add(
        Task::new(
            format!("pump-in-{id}"),
            Phase::Fill,
            format!("{label}: bung out, pump in, pipe off the bottom"),
        )
        .why("the last of a drum is where the water is")
        .on(&passed)
        .off(&[Flag::BungOpen])
        .after(lead)
        .sets(&[Flag::BungOpen, Flag::PumpIn]),
    );
    draft.add(
        Task::new(
            format!("aircraft-lead-on-{id}"),
            Phase::Fill,
            format!("{label}: lead from the drum to bare metal of the aeroplane"),
        )
        .why("paint insulates: exhaust, tie-down ring or bonding post")
        .after(pump)
        .sets(&[Flag::BondAircraft]),
    )
}

/// Every tank that this drum feeds; gives the place of the last task.
fn fill_from(draft: &mut Draft<'_>, drum: &Drum, on: usize, number: &mut usize) -> usize {
    let facts = draft.facts;
    // A tank that several drums feed appears several times; the drum tells them apart.
    let several = facts.drums.len() > 1;
    let mut after = on;
    for (draw, (place, volume)) in drum.into.iter().enumerate() {
        let place = *place;
        let Some(tank) = facts.tanks.get(place) else { continue };
        let asked = drum.asked.get(draw).and_then(Option::as_ref);
        let mark = if several { format!("-{}", kebab(&drum.label)) } else { String::new() };
        let run =
            Run { number: *number, tank: &tank.label, place, mark, volume: *volume, asked, after };
        after = fill::add(draft, &run);
        *number += 1;
    }
    after
}

/// Leads off in reverse; gives the place of the last.
fn unbond(draft: &mut Draft<'_>, drum: &Drum, last: usize) -> usize {
    let (label, id) = (&drum.label, kebab(&drum.label));
    let task = |verb: &str, title: String| Task::new(format!("{verb}-{id}"), Phase::Clear, title);
    let drawn = drum.into.iter().map(|(_, volume)| *volume).reduce(|a, b| a + b);
    let drawn = drawn.map_or_else(String::new, litres);
    let several = draft.facts.drums.len() > 1;
    let seen = if several { format!("caps-seen-{id}") } else { "caps-seen".into() };
    let seen = draft.add(
        Task::new(seen, Phase::Clear, "Hand on each cap: shut and locked")
            .why("samples that ran clear did not help the one whose cap was loose")
            .holds(Reads::Yes)
            .after(last)
            .sets(&[Flag::CapsSeen]),
    );
    if draft.facts.drums.last() == Some(drum) {
        draft.add(
            Task::new("tally", Phase::Clear, "Counter, dip and plan of each tank agree")
                .why("what is aboard is known now, or it is not known at all")
                .note(super::AGREE)
                .holds(Reads::Yes)
                .after(seen)
                .agrees(),
        );
    }
    let aircraft = draft.add(
        task("aircraft-lead-off", format!("{label}: lead off the aeroplane"))
            .why("leads come off in the reverse order")
            .on(&[Flag::CapsSeen])
            .after(last)
            .clears(&[Flag::BondAircraft]),
    );
    let shut = draft.add(
        task(
            "pump-out",
            format!("{label}: pump out, bung in, write date, registration and {drawn} by the bung"),
        )
        .why("what is left must be known to the next who opens it")
        .reads(Reads::Dip)
        .after(aircraft)
        .clears(&[Flag::PumpIn, Flag::BungOpen]),
    );
    let pump = draft.add(
        task("pump-lead-off", format!("{label}: bung is in, lead off the pump"))
            .why("the pump was bonded as long as it stood in the fuel")
            .after(shut)
            .clears(&[Flag::BondPump]),
    );
    draft.add(
        task("earth-off", format!("{label}: lead off the earth"))
            .why("the last to come off")
            .after(pump)
            .clears(&[Flag::BondEarth]),
    )
}

fn away(draft: &mut Draft<'_>) {
    draft.add(
        Task::new("gear-away", Phase::Clear, "Nozzle capped, hose up, drums and pump well clear")
            .why("dust in the nozzle is dust in the next tank; a drum in the slipstream rolls")
            .after(draft.tasks.len() - 1)
            .clears(&[Flag::GearOut]),
    );
}
