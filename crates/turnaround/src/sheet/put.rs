//! What is put down in a break. A break by itself puts nothing down: a program that ends, a
//! battery that goes flat or a line that breaks off says nothing of a pump. So each thing is
//! asked for by itself, in an order in which no answer makes the next one dangerous, and stands
//! as it stood until a person says that it is down.

use super::{
    flag::{Flag, Flags},
    reading::Reads,
    state::{Done, State},
    task::{Effect, Task},
};

/// One thing that is put down.
#[derive(Clone, Debug, PartialEq)]
pub struct Put {
    /// Its id, as tasks have one.
    pub id: &'static str,
    /// What must be so; a person says that it is.
    pub title: &'static str,
    /// What to know.
    pub note: &'static str,
    /// What is read.
    pub reads: Reads,
    /// What it brings about.
    pub effect: Effect,
    /// It is asked for when one of these is on.
    open: Flags,
    /// It is asked for when this is off, and a task of `since` took it away.
    gone: Option<Flag>,
    /// Where it is not empty, it is asked for only when one of these is done.
    since: Done,
}

impl Put {
    fn new(id: &'static str, title: &'static str, note: &'static str, open: &[Flag]) -> Self {
        Self {
            id,
            title,
            note,
            reads: Reads::Yes,
            effect: Effect { sets: Flags::NONE, clears: Flags::of(open) },
            open: Flags::of(open),
            gone: None,
            since: Done::NONE,
        }
    }

    /// Something that a task of the sheet took away and that belongs there in a break.
    fn back(
        id: &'static str,
        title: &'static str,
        note: &'static str,
        flag: Flag,
        tasks: &[Task],
    ) -> Self {
        let mut put = Self::new(id, title, note, &[]);
        put.effect.sets = Flags::of(&[flag]);
        put.gone = Some(flag);
        put.since = which(tasks, |task| task.effect.clears.has(flag));
        put
    }

    /// Whether it is still to be put down.
    #[must_use]
    pub fn applies(&self, state: &State) -> bool {
        let stands = state.flags.meets(self.open);
        let gone = self.gone.is_some_and(|flag| !state.is(flag));
        (stands || gone) && (self.since == Done::NONE && !gone || state.done.meets(&self.since))
    }
}

fn which(tasks: &[Task], is: impl Fn(&Task) -> bool) -> Done {
    let mut done = Done::NONE;
    for (place, _) in tasks.iter().enumerate().filter(|(_, task)| is(task)) {
        done.insert(place);
    }
    done
}

/// Everything that these tasks can leave open, in the order in which it is put down.
pub(super) fn all(tasks: &[Task]) -> Vec<Put> {
    let mut pump = Put::new(
        "put-down-pump",
        "The pump is off; read its counter",
        "it ran on in the break? fuel on the ground is a spill: stop spill",
        &[Flag::PumpRuns, Flag::AtPump],
    );
    pump.open = Flags::of(&[Flag::PumpRuns]);
    pump.reads = Reads::Counter;
    let mut engine = Put::new(
        "put-down-engine",
        "The engine stands still; switches off, master off, key out",
        "see it yourself, or have it said and answered; the propeller counts as live all the same",
        &[Flag::EngineRuns, Flag::Idle, Flag::Contact],
    );
    engine.open = Flags::of(&[Flag::EngineRuns, Flag::Contact]);
    engine.effect.sets = Flags::of(&[Flag::SwitchesOff, Flag::MasterOff]);
    // Whoever boarded behind a turning propeller is out again before it is swung again.
    let mut riders = Put::new(
        "put-down-riders",
        "Everybody is out again, and behind the wing tip",
        "nobody rides through a start by hand",
        &[Flag::Aboard],
    );
    riders.since = which(tasks, |task| task.id == "board-running");
    let mut puts = vec![
        pump,
        Put::new(
            "put-down-nozzle",
            "The nozzle is out of the filler and hung up, nobody holds it",
            "wipe up what dripped",
            &[Flag::NozzleIn, Flag::AtNozzle, Flag::AtPump],
        ),
        Put::new(
            "put-down-cap",
            "Every cap is on and locked: a hand on each",
            "rain and dust came in while it was open? say so, and look at the drains twice",
            &[Flag::CapOpen],
        ),
        Put::new(
            "put-down-propeller",
            "Everybody is back from the propeller, clear of its arc",
            "from where you stand; nobody goes in to look",
            &[Flag::AtPropeller, Flag::ContactCalled],
        ),
        engine,
        riders,
        Put::new(
            "put-down-controls",
            "Nobody is at the controls any more",
            "whoever comes back to them begins again with the switches",
            &[Flag::AtControls],
        ),
        Put::back(
            "put-down-chocks",
            "The chocks are in again, both main wheels",
            "with the engine still and the switches off",
            Flag::Chocks,
            tasks,
        ),
        Put::back(
            "put-down-tail",
            "The tail is tied again",
            "with the engine still and the switches off",
            Flag::TailTied,
            tasks,
        ),
    ];
    // A sheet asks only for what it can leave open.
    puts.retain(|put| {
        let sets = tasks.iter().any(|task| task.effect.sets.meets(put.open));
        sets && (put.id != "put-down-riders" || put.since != Done::NONE)
            || put.gone.is_some() && put.since != Done::NONE
    });
    puts
}
