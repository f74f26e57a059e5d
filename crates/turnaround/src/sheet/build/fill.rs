//! Filling one tank: lead on, cap off, fuel, cap on, lead off. The same for every method; who
//! does it differs.

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};

use super::{Draft, told};
use crate::sheet::{
    amount::Filling,
    facts::{Fuelling, litres, with_asked},
    flag::Flag,
    reading::Reads,
    task::{Phase, Role, Task},
};

/// One tank, from one source.
pub(super) struct Run<'a> {
    /// Place of the run on the sheet, the first 0.
    pub number: usize,
    /// The tank, and its place among the tanks.
    pub tank: &'a str,
    /// Its place among the tanks.
    pub place: usize,
    /// How it is told apart from other runs into the same tank; may be empty.
    pub mark: String,
    /// How much.
    pub volume: Volume,
    /// The same as the document writes it, where that is not litres.
    pub asked: Option<&'a String>,
    /// The task that the run waits for.
    pub after: usize,
}

/// Words of a label for an id.
pub(super) fn kebab(label: &str) -> String {
    let words = label.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("-")
}

/// Adds the run; gives the place of its last task.
pub(super) fn add(draft: &mut Draft<'_>, run: &Run<'_>) -> usize {
    draft.fillings.push(Filling { tank: run.place, planned: run.volume });
    let tanker = draft.facts.fuelling == Fuelling::Tanker;
    let who = if tanker { Role::Refueller } else { Role::Pilot };
    let tank = run.tank;
    let id = |verb: &str| format!("{verb}-{}{}", kebab(tank), run.mark);
    let task = |verb: &str, title: String| {
        Task::new(id(verb), Phase::Fill, title).who(who).run(run.number)
    };
    draft.add(
        task("nozzle-lead-on", format!("{tank}: nozzle lead on bare metal, before the cap"))
            .why("nozzle and filler come to one potential where there is no vapour yet")
            .after(run.after)
            .sets(&[Flag::BondNozzle]),
    );
    let mut open = vec![Flag::BondNozzle, Flag::MasterOff];
    if super::terms(draft.facts).near_fuel {
        open.push(Flag::RoomClear);
    }
    draft.add(
        task("cap-off", format!("{tank}: wipe round the filler, cap off"))
            .why("dust on the wing is dust in the tank")
            .on(&open)
            .off(&[Flag::Aboard])
            .after(run.after)
            .sets(&[Flag::CapOpen])
            .clears(&[Flag::CapsSeen]),
    );
    draft.add(
        task("nozzle-in", format!("{tank}: nozzle in, held, against the metal of the filler"))
            .why("a nozzle that nobody holds falls out, or runs over")
            .on(&[Flag::CapOpen])
            .after(run.after)
            .sets(&[Flag::NozzleIn, Flag::AtNozzle]),
    );
    pump(draft, run, who);
    draft.add(
        task("nozzle-out", format!("{tank}: let it drip, nozzle out"))
            .why("what drips onto the wing is a spill")
            .on(&[Flag::NozzleIn])
            .after(draft.tasks.len() - 1)
            .clears(&[Flag::NozzleIn, Flag::AtNozzle]),
    );
    let out = draft.tasks.len() - 1;
    let differ = told(
        &draft.facts.reconcile,
        |part| format!("not more than {:.0} % apart", FromAmount::count(*part, unit::PERCENT)),
        "hold the two against each other yourself",
    );
    let tank_now = draft.facts.tanks.get(run.place).and_then(|tank| tank.aboard);
    let before = tank_now.map_or_else(|| "unknown: nobody said".to_owned(), litres);
    draft.add(
        task("dip", format!("{tank}: dip it before the cap goes on"))
            .why("dip, gauge and litres must agree; now is the moment to find out")
            .note(format!("aboard before: {before}; counter and dip: {differ}"))
            .reads(Reads::Dip)
            .on(&[Flag::CapOpen])
            .after(out),
    );
    let shut = draft.add(
        task("cap-on", format!("{tank}: cap on and locked"))
            .why("a loose cap lets rain in and sucks fuel out in flight")
            .on(&[Flag::CapOpen])
            .after(draft.tasks.len() - 1)
            .clears(&[Flag::CapOpen]),
    );
    draft.add(
        task("nozzle-lead-off", format!("{tank}: cap is shut, nozzle lead off"))
            .why("cap before lead: no clip is touched over an open tank")
            .after(shut)
            .clears(&[Flag::BondNozzle]),
    )
}

/// The pump on and off, with somebody at each end where two are there.
fn pump(draft: &mut Draft<'_>, run: &Run<'_>, who: Role) {
    let facts = draft.facts;
    let tank = run.tank;
    let volume = with_asked(run.volume, run.asked);
    let slowly = told(
        &facts.first_rate,
        super::litres_a_minute,
        "ask what the hose gives at its slowest, and begin with that",
    );
    let attended = facts.fuelling == Fuelling::Tanker || facts.second.is_some();
    let at_pump = if facts.fuelling == Fuelling::Tanker { Role::Pilot } else { Role::Second };
    let id = |verb: &str| format!("{verb}-{}{}", kebab(tank), run.mark);
    if attended {
        draft.add(
            Task::new(
                id("at-pump"),
                Phase::Fill,
                format!("{tank}: stand at the stop, eyes on the nozzle"),
            )
            .why("the one at the nozzle cannot reach the pump")
            .who(at_pump)
            .run(run.number)
            .on(&[Flag::NozzleIn])
            .after(run.after)
            .sets(&[Flag::AtPump]),
        );
    }
    let mut needs = vec![Flag::NozzleIn, Flag::AtNozzle, Flag::Filter, Flag::Grade, Flag::Shutoff];
    if facts.fuelling != Fuelling::Drum {
        needs.push(Flag::Passed0);
    }
    if attended {
        needs.push(Flag::AtPump);
    }
    let on = draft.add(
        Task::new(id("pump-on"), Phase::Fill, format!("{tank}: pump on, slowly, for {volume}"))
            .why("slowly until the spout is covered: splashing makes charge and foam")
            .note(format!("until then not faster than: {slowly}"))
            .who(if attended { at_pump } else { who })
            .run(run.number)
            .on(&needs)
            .after(run.after)
            .sets(&[Flag::PumpRuns, Flag::FuelIn]),
    );
    draft.add(
        Task::new(id("pump-off"), Phase::Fill, format!("{tank}: pump off at {volume}"))
            .why("stop by the counter, not by the overflow")
            .who(if attended { at_pump } else { who })
            .run(run.number)
            .holds(Reads::Litres { about: Some(run.volume) })
            .note("what went in since it was switched on; parts before a break are added to it")
            .on(&[Flag::PumpRuns])
            .after(on)
            .clears(&[Flag::PumpRuns, Flag::AtPump]),
    );
}
