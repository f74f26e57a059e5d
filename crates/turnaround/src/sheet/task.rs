//! A task of the sheet: who does what, why, what is read, what must be so before, and what is
//! so afterwards.

use super::{
    flag::{Flag, Flags},
    reading::Reads,
    stop::Stop,
};

/// A part of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Phase {
    /// Make the aeroplane dead and held, and for fuel its surroundings fit.
    Site,
    /// Make sure of the fuel.
    Fuel,
    /// Lay out gear, bond, open, fill, shut.
    Fill,
    /// Leads off, gear away.
    Clear,
    /// The aeroplane's own drain samples.
    Sample,
    /// Walk round.
    Walk,
    /// Passengers.
    People,
    /// Start.
    Start,
}

impl Phase {
    /// Every phase in its order.
    pub const ALL: [Self; 8] = [
        Self::Site,
        Self::Fuel,
        Self::Fill,
        Self::Clear,
        Self::Sample,
        Self::Walk,
        Self::People,
        Self::Start,
    ];

    /// Its name.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Site => "make ready",
            Self::Fuel => "make sure of the fuel",
            Self::Fill => "fill",
            Self::Clear => "leads off, gear away",
            Self::Sample => "drain and look",
            Self::Walk => "walk round",
            Self::People => "passengers",
            Self::Start => "start",
        }
    }
}

/// Who does it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// The pilot in command; also the one who is alone.
    Pilot,
    /// The second person who works.
    Second,
    /// The refueller of a tanker.
    Refueller,
}

impl Role {
    /// The role in words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pilot => "pilot",
            Self::Second => "second person",
            Self::Refueller => "refueller",
        }
    }
}

/// One thing that must be so before a task, and which the task itself waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Need {
    /// The flag is on.
    On(Flag),
    /// The flag is off.
    Off(Flag),
    /// The task at this place of the sheet is done.
    Done(usize),
}

/// What a task brings about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Effect {
    /// On afterwards.
    pub sets: Flags,
    /// Off afterwards.
    pub clears: Flags,
}

impl Effect {
    /// The flags afterwards.
    #[must_use]
    pub fn on(self, flags: Flags) -> Flags {
        flags.less(self.clears) | self.sets
    }
}

/// What follows a reading that does not pass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fails {
    /// The task stays to be done.
    Stays,
    /// A stop action.
    Stop(Stop),
    /// Once: all of it again. Twice: what is in the tanks cannot be trusted, and a stop action.
    AgainThenStop,
    /// The engine did not fire: switches off, and the calls from the start.
    NoStart,
}

/// A task.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// Its id on this sheet: `cap-off-left`.
    pub id: String,
    /// The part of the work.
    pub phase: Phase,
    /// What to do.
    pub title: String,
    /// Who does it.
    pub who: Role,
    /// Why.
    pub why: String,
    /// More to know: figures with their source, words to say. May be empty.
    pub notes: Vec<String>,
    /// What is read.
    pub reads: Reads,
    /// Whether it cannot be passed without its reading.
    pub hold: bool,
    /// What must be so before.
    pub needs: Vec<Need>,
    /// What it brings about.
    pub effect: Effect,
    /// What follows a reading that does not pass.
    pub fails: Fails,
    /// It is to be done again when one of these goes off otherwise than by a task; what it
    /// sets itself need not be named.
    pub again: Flags,
    /// The drum, or other source of fuel, that it looks at; done again for another.
    pub source: Option<usize>,
    /// The filling of one tank that it belongs to.
    pub run: Option<usize>,
    /// It is passed only when counter, dip, tank and plan agree.
    pub agrees: bool,
    /// Somebody who flies along goes aboard.
    pub boards: bool,
}

/// Short ways to write a task down.
impl Task {
    pub(super) fn new(id: impl Into<String>, phase: Phase, title: impl Into<String>) -> Self {
        Self {
            id: id.into(),
            phase,
            title: title.into(),
            who: Role::Pilot,
            why: String::new(),
            notes: Vec::new(),
            reads: Reads::Nothing,
            hold: false,
            needs: Vec::new(),
            effect: Effect::default(),
            fails: Fails::Stays,
            again: Flags::NONE,
            source: None,
            run: None,
            agrees: false,
            boards: false,
        }
    }

    pub(super) fn who(mut self, who: Role) -> Self {
        self.who = who;
        self
    }

    pub(super) fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }

    pub(super) fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    pub(super) fn notes(mut self, notes: Vec<String>) -> Self {
        self.notes.extend(notes);
        self
    }

    /// Asks for a reading that may be left out.
    pub(super) fn reads(mut self, reads: Reads) -> Self {
        self.reads = reads;
        self
    }

    /// Asks for a reading without which the task is not passed.
    pub(super) fn holds(mut self, reads: Reads) -> Self {
        self.reads = reads;
        self.hold = true;
        self
    }

    pub(super) fn on(mut self, flags: &[Flag]) -> Self {
        self.needs.extend(flags.iter().map(|&flag| Need::On(flag)));
        self
    }

    pub(super) fn off(mut self, flags: &[Flag]) -> Self {
        self.needs.extend(flags.iter().map(|&flag| Need::Off(flag)));
        self
    }

    pub(super) fn after(mut self, task: usize) -> Self {
        self.needs.push(Need::Done(task));
        self
    }

    pub(super) fn sets(mut self, flags: &[Flag]) -> Self {
        self.effect.sets = self.effect.sets | Flags::of(flags);
        self
    }

    pub(super) fn clears(mut self, flags: &[Flag]) -> Self {
        self.effect.clears = self.effect.clears | Flags::of(flags);
        self
    }

    pub(super) fn fails(mut self, fails: Fails) -> Self {
        self.fails = fails;
        self
    }

    pub(super) fn again(mut self, flags: &[Flag]) -> Self {
        self.again = self.again | Flags::of(flags);
        self
    }

    pub(super) fn source(mut self, source: usize) -> Self {
        self.source = Some(source);
        self
    }

    /// Passed only when the amounts agree.
    pub(super) fn agrees(mut self) -> Self {
        self.agrees = true;
        self
    }

    /// Somebody goes aboard.
    pub(super) fn boards(mut self) -> Self {
        self.boards = true;
        self
    }

    pub(super) fn run(mut self, run: usize) -> Self {
        self.run = Some(run);
        self
    }
}
