//! What must never be, each said once as a test of one step: the state before, the action,
//! the state after.
//!
//! Where two are broken by one step, the one that stands first is named: the particular one
//! before the general one.

use super::{
    flag::{Flag, Flags},
    machine::{Action, Sheet},
    reading::{Deed, Reads, same_name},
    state::State,
    stop::{Move, Stop},
    task::{Fails, Task},
};

/// Something that must never be.
pub struct Invariant {
    /// Its id.
    pub id: &'static str,
    /// The sentence.
    pub sentence: &'static str,
    /// Where it comes from, and how that was read.
    pub source: &'static str,
    /// Whether a step keeps it.
    pub keeps: fn(&Before<'_>, &State) -> bool,
}

/// What a step begins with.
#[derive(Clone, Copy)]
pub struct Before<'a> {
    /// The sheet.
    pub sheet: &'a Sheet,
    /// The state before.
    pub state: &'a State,
    /// The action.
    pub action: Action,
}

impl Before<'_> {
    fn is(&self, flag: Flag) -> bool {
        self.state.is(flag)
    }

    /// Whether the step turns the flag on.
    fn on(&self, next: &State, flag: Flag) -> bool {
        !self.is(flag) && next.is(flag)
    }

    /// Whether the step turns the flag off.
    fn off(&self, next: &State, flag: Flag) -> bool {
        self.is(flag) && !next.is(flag)
    }

    /// Whether the step starts the engine.
    fn starts(&self, next: &State) -> bool {
        self.on(next, Flag::EngineRuns)
    }

    /// The task that the step does.
    fn does(&self) -> Option<&Task> {
        let Action::Task(task, true) = self.action else { return None };
        self.sheet.tasks.get(task)
    }

    /// Whether somebody who flies along goes aboard with the step.
    fn boards(&self, next: &State) -> bool {
        self.on(next, Flag::Aboard) || self.does().is_some_and(|task| task.boards)
    }

    /// Whether every task that does this with people is done.
    fn all(&self, deed: Deed) -> bool {
        let mut tasks = self.sheet.tasks.iter().enumerate();
        tasks.all(|(place, task)| {
            !matches!(task.reads, Reads::Named { deed: is, .. } if is == deed)
                || self.state.done.has(place)
        })
    }

    /// The move of a stop action that the step is.
    fn moves(&self) -> Option<Move> {
        let Action::Step(stop, step) = self.action else { return None };
        self.sheet.plan(stop)?.steps.get(usize::from(step)).map(|step| step.does)
    }
}

const DESIGN: &str = "design rule of this program";
const BONDING: &str =
    "Australia, CAO 20.9 4.3.4 as amended by instrument 2011 No. 1 (superseded; read: source)";
const REVERSE: &str = "common practice; that leads come off in the reverse order was read in a US airport rule (read: second hand)";
const FILTERED: &str =
    "CASA Visual Flight Guide on CAO 20.2 and 20.9, page 17 (superseded; read: source)";
const EMPTY: &str = "Part 91 rules of Australia and New Zealand and Part-NCO of the UK and EU agree for avgas (read: memory)";
const EXTINGUISHERS: &str =
    "Australia, Part 91 fuelling rule as quoted in April 2018 (read: second hand)";
const ELECTRICS: &str = "India, Aircraft Rules 25A (read: second hand); CAP 74 (read: memory)";
const GRADES: &str = "bulletins of the Joint Inspection Group on misfuelling (read: second hand)";
const RUNNING: &str =
    "Australia, engine ground operations after CAO 20.9 (superseded; read: second hand)";
const SEAT: &str = "Australia, CAR 230 and 231(1) (repealed 2021; read: second hand)";
const SWING: &str = "FAA, Airplane Flying Handbook, on starting by hand (read: second hand)";
const CALLS: &str = "calls as they are common at a propeller; common practice, no source";
const RIDERS: &str = "Australia, CAR 231(1): nobody aboard (repealed 2021; read: second hand)";
const DRAINS: &str =
    "ATSB occurrence brief, Groote Eylandt, 28 March 2023 (published 2024; read: source)";
const DRUMS: &str =
    "Aviation Fuel at Aerodromes, chapter 6, of the CAP 748 line (read: second hand)";
const BOARDING: &str = "FAA Safety Team on propellers (read: second hand)";
const ROOM: &str =
    "fuelling distances of the Australian rules from 2021 on (read: memory), as the pack has them";
const SPILLS: &str = "common practice, no source";

/// Every invariant.
pub const INVARIANTS: &[Invariant] = &[
    Invariant {
        id: "spill-documents",
        sentence: "fuel that lies on the ground by the documents is dealt with before anything else is done",
        source: RUNNING,
        keeps: |b, _| {
            let begins = b.sheet.terms.spilt && *b.state == b.sheet.start();
            !begins || b.is(Flag::Spill)
        },
    },
    Invariant {
        id: "cap-single",
        sentence: "one cap is open at a time",
        source: DESIGN,
        keeps: |b, _| match b.action {
            Action::Task(task, true) => {
                let opens = |task: &super::task::Task| task.effect.sets.has(Flag::CapOpen);
                !b.is(Flag::CapOpen) || !b.sheet.tasks.get(task).is_some_and(opens)
            }
            _ => true,
        },
    },
    Invariant {
        id: "extinguishers",
        sentence: "no cap comes off for fuelling before the extinguishers are in place",
        source: EXTINGUISHERS,
        keeps: |b, n| {
            !(b.sheet.terms.fuelled && b.on(n, Flag::CapOpen)) || n.is(Flag::Extinguishers)
        },
    },
    Invariant {
        id: "fuel-room",
        sentence: "no cap comes off for fuelling before what is too near by the documents was taken away",
        source: ROOM,
        keeps: |b, n| !(b.sheet.terms.near_fuel && b.on(n, Flag::CapOpen)) || b.is(Flag::RoomClear),
    },
    Invariant {
        id: "dead-while-fuelling",
        sentence: "while fuel is taken the engine is stopped, the master is off and the switches are off",
        source: ELECTRICS,
        keeps: |b, n| {
            let dead = n.is(Flag::MasterOff) && n.is(Flag::SwitchesOff) && !n.is(Flag::EngineRuns);
            !(b.sheet.terms.fuelled && n.flags.meets(Flags::TAKING)) || dead
        },
    },
    Invariant {
        id: "nobody-aboard",
        sentence: "nobody is aboard while a piston aeroplane takes gasoline",
        source: EMPTY,
        keeps: |b, n| {
            let fuelling = b.sheet.terms.fuelled && n.flags.meets(Flags::TAKING);
            !(b.sheet.terms.empty && fuelling && n.is(Flag::Aboard))
        },
    },
    Invariant {
        id: "pump-bonded",
        sentence: "a pump goes into a drum, and stays in it, only with its lead and the lead to earth on",
        source: BONDING,
        keeps: |_, n| {
            !n.is(Flag::PumpIn) || n.flags.holds(Flags::of(&[Flag::BondPump, Flag::BondEarth]))
        },
    },
    Invariant {
        id: "sample-bonded",
        sentence: "a sample of a drum or a pump is drawn only with the lead of its can on",
        source: BONDING,
        keeps: |b, _| match b.action {
            Action::Task(task, _) => {
                let draws =
                    |task: &Task| task.source.is_some() && matches!(task.reads, Reads::Look { .. });
                !b.sheet.tasks.get(task).is_some_and(draws) || b.is(Flag::SampleEarth)
            }
            _ => true,
        },
    },
    Invariant {
        id: "leads-in-order",
        sentence: "leads go on from earth to nozzle and come off from nozzle to earth",
        source: REVERSE,
        keeps: |b, n| {
            let used = b.sheet.terms.bonds;
            let chain = [Flag::BondEarth, Flag::BondPump, Flag::BondAircraft, Flag::BondNozzle];
            let mut broken = false;
            // Once one lead is off, none after it may be on.
            let mut off = false;
            for lead in chain {
                broken |= off && n.is(lead);
                off |= used.has(lead) && !n.is(lead);
            }
            !broken
        },
    },
    Invariant {
        id: "cap-bonded",
        sentence: "no cap comes off before every lead is on",
        source: BONDING,
        keeps: |b, n| !b.on(n, Flag::CapOpen) || b.state.flags.holds(b.sheet.terms.bonds),
    },
    Invariant {
        id: "cap-before-lead",
        sentence: "no lead comes off while a cap is open",
        source: BONDING,
        keeps: |b, n| {
            let off = (b.state.flags & Flags::BONDS).less(n.flags);
            off.is_empty() || !b.is(Flag::CapOpen)
        },
    },
    Invariant {
        id: "caps-seen",
        sentence: "after fuel went in, the lead to the aeroplane stays on until every cap was seen shut",
        source: DESIGN,
        keeps: |b, n| {
            let off = b.off(n, Flag::BondAircraft) && b.is(Flag::FuelIn);
            !off || b.is(Flag::CapsSeen)
        },
    },
    Invariant {
        id: "drum-settled",
        sentence: "the sample of a drum counts only after it has settled",
        source: DRUMS,
        keeps: |b, n| {
            let drum = b.sheet.terms.bonds.has(Flag::BondEarth);
            let passed = (n.flags & b.sheet.terms.samples).less(b.state.flags);
            !drum || passed.is_empty() || b.is(Flag::DrumsSettled)
        },
    },
    Invariant {
        id: "pump-sample",
        sentence: "nothing is pumped before every sample passed",
        source: DRUMS,
        keeps: |b, n| !b.on(n, Flag::PumpRuns) || n.flags.holds(b.sheet.terms.samples),
    },
    Invariant {
        id: "pump-filter",
        sentence: "nothing is pumped before the filter was looked at",
        source: FILTERED,
        keeps: |b, n| !b.on(n, Flag::PumpRuns) || n.is(Flag::Filter),
    },
    Invariant {
        id: "grade-allowed",
        sentence: "nothing is pumped of a grade that the manual does not allow",
        source: GRADES,
        keeps: |b, n| !b.on(n, Flag::PumpRuns) || b.sheet.terms.allowed,
    },
    Invariant {
        id: "pump-grade",
        sentence: "nothing is pumped before the grade is confirmed",
        source: GRADES,
        keeps: |b, n| !b.on(n, Flag::PumpRuns) || n.is(Flag::Grade),
    },
    Invariant {
        id: "pump-stop-known",
        sentence: "nothing is pumped before everybody knows how the pump is stopped and where the spill kit is",
        source: DESIGN,
        keeps: |b, n| !b.on(n, Flag::PumpRuns) || (n.is(Flag::Shutoff) && n.is(Flag::SpillKit)),
    },
    Invariant {
        id: "nozzle-held",
        sentence: "a nozzle in a filler is held by somebody, unless a stop action called them away",
        source: DESIGN,
        keeps: |_, n| {
            !n.is(Flag::NozzleIn)
                || n.is(Flag::AtNozzle)
                || n.stop().is_some()
                || n.is(Flag::ForGood)
        },
    },
    Invariant {
        id: "pump-nozzle",
        sentence: "the pump runs only with the nozzle in the filler and somebody at it",
        source: DESIGN,
        keeps: |_, n| !n.is(Flag::PumpRuns) || (n.is(Flag::NozzleIn) && n.is(Flag::AtNozzle)),
    },
    Invariant {
        id: "pump-attended",
        sentence: "where two are there, the pump runs only with one of them at it",
        source: DESIGN,
        keeps: |b, n| !(n.is(Flag::PumpRuns) && b.sheet.terms.attended) || n.is(Flag::AtPump),
    },
    Invariant {
        id: "settle-after-fuel",
        sentence: "the tanks settle after the last fuel went in, not before",
        source: DRAINS,
        keeps: |b, n| !b.on(n, Flag::PumpRuns) || !n.is(Flag::Settled),
    },
    Invariant {
        id: "drain-after-settling",
        sentence: "where fuel was taken, the aeroplane's own sample counts only after the tanks have settled",
        source: DRAINS,
        keeps: |b, n| !(b.sheet.terms.fuelled && b.on(n, Flag::Sampled)) || b.is(Flag::Settled),
    },
    Invariant {
        id: "boarding-gear",
        sentence: "nobody boards before the fuelling gear is away",
        source: EMPTY,
        keeps: |b, n| !b.on(n, Flag::Aboard) || !b.is(Flag::GearOut),
    },
    Invariant {
        id: "boarding-briefed",
        sentence: "nobody boards unbriefed",
        source: DESIGN,
        keeps: |b, n| !b.boards(n) || b.is(Flag::Briefed),
    },
    Invariant {
        id: "boarding-asked",
        sentence: "where the rules want it, nobody boards before everybody was asked about dangerous goods",
        source: "the rule is the pack's, shown at the task; that it comes before boarding is a design rule of this program",
        keeps: |b, n| !(b.sheet.terms.asks && b.boards(n)) || b.all(Deed::Asked),
    },
    Invariant {
        id: "named-each",
        sentence: "who was briefed, asked or told is named one by one: a reading that leaves somebody out does not pass",
        source: DESIGN,
        keeps: |b, n| match b.does().map(|task| (&task.reads, task.hold)) {
            Some((Reads::Named { deed, people }, hold)) => {
                let has = |name: &String| people.iter().any(|person| same_name(person, name));
                let mut named = b.sheet.named.iter().filter(|(is, _)| is == deed);
                hold && named.all(|(_, names)| names.iter().all(has))
            }
            // Nothing but such a reading makes anybody briefed.
            _ => !b.on(n, Flag::Briefed),
        },
    },
    Invariant {
        id: "start-told",
        sentence: "no engine is started before everybody whom the documents name was told of the flight",
        source: DESIGN,
        keeps: |b, n| !b.starts(n) || b.all(Deed::Told),
    },
    Invariant {
        id: "boarding-running",
        sentence: "with the propeller turning nobody boards unless it idles, somebody is at the controls, the chocks are in and the propeller is left",
        source: BOARDING,
        keeps: |b, n| {
            let held = b.is(Flag::Idle) && b.is(Flag::AtControls) && b.is(Flag::Chocks);
            !(b.on(n, Flag::Aboard) && b.is(Flag::EngineRuns)) || (held && !b.is(Flag::AtPropeller))
        },
    },
    Invariant {
        id: "start-spill",
        sentence: "no engine is started while fuel is spilled",
        source: RUNNING,
        keeps: |b, n| !b.starts(n) || !b.is(Flag::Spill),
    },
    Invariant {
        id: "start-bad-fuel",
        sentence: "no engine is started on fuel that cannot be trusted",
        source: DRAINS,
        keeps: |b, n| {
            !b.starts(n) || !b.state.flags.meets(Flags::of(&[Flag::BadFuel, Flag::TanksBad]))
        },
    },
    Invariant {
        id: "start-room",
        sentence: "no engine is started where something is too near by the documents, before it was pulled clear",
        source: RUNNING,
        keeps: |b, n| !(b.sheet.terms.near_run && b.starts(n)) || b.is(Flag::RunClear),
    },
    Invariant {
        id: "start-amounts",
        sentence: "no engine is started before counter, dip and plan of every tank were held against each other",
        source: DESIGN,
        keeps: |b, n| {
            let mut tasks = b.sheet.tasks.iter().enumerate();
            !b.starts(n) || tasks.all(|(place, task)| !task.agrees || b.state.done.has(place))
        },
    },
    Invariant {
        id: "start-gear",
        sentence: "no engine is started while fuelling gear lies at the aeroplane",
        source: DESIGN,
        keeps: |b, n| !b.starts(n) || !b.is(Flag::GearOut),
    },
    Invariant {
        id: "start-bonds",
        sentence: "no engine is started while a lead is on",
        source: DESIGN,
        keeps: |b, n| !b.starts(n) || !b.state.flags.meets(Flags::BONDS),
    },
    Invariant {
        id: "start-cap",
        sentence: "no cap is open while an engine runs",
        source: DESIGN,
        keeps: |_, n| !n.is(Flag::EngineRuns) || !n.is(Flag::CapOpen),
    },
    Invariant {
        id: "start-sample",
        sentence: "no engine is started before the aeroplane's own sample passed",
        source: DRAINS,
        keeps: |b, n| !b.starts(n) || b.is(Flag::Sampled),
    },
    Invariant {
        id: "start-covers",
        sentence: "no engine is started before covers, locks and tow bar were seen off",
        source: DESIGN,
        keeps: |b, n| !b.starts(n) || b.is(Flag::CoversOff),
    },
    Invariant {
        id: "start-arc",
        sentence: "no engine is started before the arc of the propeller was seen clear",
        source: DESIGN,
        keeps: |b, n| !b.starts(n) || b.is(Flag::ArcClear),
    },
    Invariant {
        id: "start-controls",
        sentence: "no engine is started with nobody at the controls, unless the pack lets a pilot who is alone",
        source: SEAT,
        keeps: |b, n| !b.starts(n) || b.sheet.terms.alone || b.is(Flag::AtControls),
    },
    Invariant {
        id: "hand-holds",
        sentence: "no engine is started by hand where it would not hold at full throttle by the documents",
        source: SWING,
        keeps: |b, n| !(b.sheet.terms.gives_way && b.starts(n)),
    },
    Invariant {
        id: "hand-said",
        sentence: "nobody swings unless switches off was said and answered since the last swing, the last break and the last stop",
        source: CALLS,
        keeps: |b, n| {
            let swings = |task: &Task| task.fails == Fails::NoStart;
            let swung = matches!(b.action, Action::Task(task, _)
                if b.sheet.tasks.get(task).is_some_and(swings));
            let over = swung || matches!(b.action, Action::Pause | Action::Call(_));
            (!swung || b.is(Flag::OffSaid)) && !(over && n.is(Flag::OffSaid))
        },
    },
    Invariant {
        id: "hand-chocks",
        sentence: "no engine is started by hand without chocks",
        source: SWING,
        keeps: |b, n| !(b.sheet.terms.hand && b.starts(n)) || b.is(Flag::Chocks),
    },
    Invariant {
        id: "hand-tail",
        sentence: "no engine is started by hand with the tail loose",
        source: SWING,
        keeps: |b, n| !(b.sheet.terms.hand && b.starts(n)) || b.is(Flag::TailTied),
    },
    Invariant {
        id: "hand-throttle",
        sentence: "no engine is started by hand before the throttle was set and said back",
        source: DESIGN,
        keeps: |b, n| !(b.sheet.terms.hand && b.starts(n)) || b.is(Flag::Throttle),
    },
    Invariant {
        id: "hand-riders",
        sentence: "no engine is started by hand with a passenger aboard",
        source: RIDERS,
        keeps: |b, n| !(b.sheet.terms.hand && b.starts(n) && b.is(Flag::Aboard)),
    },
    Invariant {
        id: "hand-switches",
        sentence: "nobody goes to the propeller unless the switches are off",
        source: CALLS,
        keeps: |b, n| {
            !b.on(n, Flag::AtPropeller) || (b.is(Flag::SwitchesOff) && !b.is(Flag::Contact))
        },
    },
    Invariant {
        id: "hand-contact",
        sentence: "the switches go to contact only after the one at the propeller called for it",
        source: CALLS,
        keeps: |b, n| !(b.sheet.terms.hand && b.on(n, Flag::Contact)) || b.is(Flag::ContactCalled),
    },
    Invariant {
        id: "chocks-running",
        sentence: "with the engine running the chocks go only when it idles, somebody is at the controls and nobody at the propeller",
        source: SWING,
        keeps: |b, n| {
            let held = b.is(Flag::Idle) && b.is(Flag::AtControls) && !b.is(Flag::AtPropeller);
            !(b.off(n, Flag::Chocks) && b.is(Flag::EngineRuns)) || held
        },
    },
    Invariant {
        id: "bond-lost",
        sentence: "while a bond is lost nobody touches a cap or takes a nozzle out, and the pump does not start",
        source: BONDING,
        keeps: |b, n| {
            let cap = b.is(Flag::CapOpen) == n.is(Flag::CapOpen);
            let nozzle = !b.off(n, Flag::NozzleIn) || b.moves() == Some(Move::Rebond);
            !b.is(Flag::BondLost) || (cap && nozzle && !b.on(n, Flag::PumpRuns))
        },
    },
    Invariant {
        id: "stop-pump",
        sentence: "after a stop is called the pump is off with the first step",
        source: DESIGN,
        keeps: |b, n| !matches!(b.action, Action::Step(..)) || !n.is(Flag::PumpRuns),
    },
    Invariant {
        id: "spill-order",
        sentence: "a spill is controlled, then contained, then cleaned up, and not before that is it over",
        source: SPILLS,
        keeps: |b, n| {
            let moved = match b.moves() {
                Some(Move::Contain) => b.is(Flag::Controlled),
                Some(Move::CleanUp) => b.is(Flag::Contained),
                _ => true,
            };
            moved && (!b.off(n, Flag::Spill) || b.is(Flag::TakenUp))
        },
    },
    Invariant {
        id: "break-keeps",
        sentence: "a break puts nothing down by itself",
        source: DESIGN,
        keeps: |b, n| {
            let named = |state: &State| (state.flags & Flags::NAMED).without(Flag::Paused);
            b.action != Action::Pause || named(b.state) == named(n)
        },
    },
    Invariant {
        id: "break-asks",
        sentence: "after a break work goes on only when somebody said of everything that it is put down",
        source: DESIGN,
        keeps: |b, n| {
            let up = (Flags::TAKING | Flags::POSTS).less(Flags::STALE);
            let up = up | Flags::of(&[Flag::EngineRuns, Flag::Contact]);
            b.action != Action::Resume || !n.flags.meets(up)
        },
    },
    Invariant {
        id: "stopped-for-good",
        sentence: "no task is done on a sheet that is stopped for good",
        source: DESIGN,
        keeps: |b, _| !matches!(b.action, Action::Task(..)) || !b.is(Flag::ForGood),
    },
    Invariant {
        id: "stop-first",
        sentence: "while a stop is in force no task is done, and the gravest stop comes first",
        source: DESIGN,
        keeps: |b, _| match b.action {
            Action::Task(..) | Action::Pause | Action::Put(_) | Action::Resume => {
                b.state.stop().is_none()
            }
            Action::Step(stop, _) => b.state.stop() == Some(stop) && gravest(b, stop),
            Action::Call(_) => true,
        },
    },
];

/// Whether nothing graver is in force.
fn gravest(before: &Before<'_>, stop: Stop) -> bool {
    !Stop::ALL.into_iter().take_while(|&other| other != stop).any(|other| before.is(other.flag()))
}
