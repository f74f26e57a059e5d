//! Stop actions: what is done at once, in what order, and how the work goes on afterwards.

use super::flag::{Flag, Flags};

/// Why work stops.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stop {
    /// Fire.
    Fire,
    /// Somebody is hurt.
    Injury,
    /// Fuel is spilled.
    Spill,
    /// A bond came off or is doubted.
    LostBond,
    /// The fuel is of the wrong grade, wet or dirty.
    WrongFuel,
}

impl Stop {
    /// Every stop, the gravest first.
    pub const ALL: [Self; 5] =
        [Self::Fire, Self::Injury, Self::Spill, Self::LostBond, Self::WrongFuel];

    /// Its id.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Fire => "fire",
            Self::Injury => "injury",
            Self::Spill => "spill",
            Self::LostBond => "lost-bond",
            Self::WrongFuel => "wrong-fuel",
        }
    }

    /// The stop with this id.
    #[must_use]
    pub fn named(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|stop| stop.id() == id)
    }

    /// What is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Fire => "fire",
            Self::Injury => "somebody is hurt",
            Self::Spill => "fuel is spilled",
            Self::LostBond => "a bond is lost",
            Self::WrongFuel => "wrong, wet or dirty fuel",
        }
    }

    /// The flag that is on while it is in force.
    #[must_use]
    pub const fn flag(self) -> Flag {
        match self {
            Self::Fire => Flag::Fire,
            Self::Injury => Flag::Injured,
            Self::Spill => Flag::Spill,
            Self::LostBond => Flag::BondLost,
            Self::WrongFuel => Flag::BadFuel,
        }
    }
}

/// What a step of a stop action does to the state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Move {
    /// Everybody out and away; the pump is stopped from where it is reached, nothing else is
    /// touched.
    Flee,
    /// Stop what moves fuel and what turns; people off and away.
    MakeSafe,
    /// The same, and the spill is stopped at its source.
    Control,
    /// The spill is kept from spreading.
    Contain,
    /// The spill is taken up.
    CleanUp,
    /// The pump is stopped, and nothing else is touched.
    PumpOff,
    /// Lost bond: waited for the charge to run off.
    Wait,
    /// The bond is on again.
    Rebond,
    /// Wrong fuel: set aside, or the aeroplane stays where it is.
    SetAside,
    /// Help is called, or the deadline for a report is read; changes nothing.
    Say,
}

/// A step of a stop action.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What it does to the state.
    pub does: Move,
    /// What to do.
    pub title: String,
    /// What to know: deadlines with their source, what cannot be known.
    pub notes: Vec<String>,
}

/// A stop action.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What it answers.
    pub stop: Stop,
    /// Its steps, in order.
    pub steps: Vec<Step>,
    /// How the work goes on afterwards.
    pub afterwards: String,
}

/// The flags after an engine was shut down. What was taken away for it is not there again by
/// that: the break that follows asks for it.
fn shut_down(flags: Flags) -> Flags {
    let live =
        [Flag::ContactCalled, Flag::Throttle, Flag::AtPropeller, Flag::EngineRuns, Flag::Idle];
    let flags = flags.less(Flags::of(&live));
    if flags.has(Flag::Contact) {
        flags.without(Flag::Contact).with(Flag::SwitchesOff)
    } else {
        flags
    }
}

/// Pump off, nozzle out, cap on, engine off, everybody off and away. While a bond is lost
/// neither nozzle nor cap is touched: that would be the spark.
fn make_safe(flags: Flags) -> Flags {
    let mut safe = flags.without(Flag::PumpRuns).without(Flag::Aboard);
    if !safe.has(Flag::BondLost) {
        safe = safe.less(Flags::TAKING);
    }
    shut_down(safe).less(Flags::POSTS)
}

impl Move {
    /// The flags after the step.
    #[must_use]
    pub fn on(self, flags: Flags) -> Flags {
        match self {
            Self::Flee => flags.less(Flags::MOVING).less(Flags::POSTS),
            Self::MakeSafe => make_safe(flags),
            Self::Control => make_safe(flags).with(Flag::Controlled),
            Self::Contain => flags.with(Flag::Contained),
            Self::CleanUp => flags.with(Flag::TakenUp),
            Self::PumpOff => flags.without(Flag::PumpRuns),
            Self::Wait | Self::Say => flags,
            Self::Rebond => {
                let flags = flags.without(Flag::BondLost);
                // A nozzle that nobody holds comes out first thing.
                if flags.has(Flag::AtNozzle) { flags } else { flags.without(Flag::NozzleIn) }
            }
            Self::SetAside => set_aside(flags),
        }
    }
}

/// Bad fuel in a tank ends the sheet. Before that, its source is taken away, in order: cap is
/// on already, lead off the aeroplane, pump out, bung in, the other leads off.
fn set_aside(flags: Flags) -> Flags {
    if flags.meets(Flags::of(&[Flag::FuelIn, Flag::TanksBad])) {
        return flags.with(Flag::TanksBad).with(Flag::ForGood);
    }
    let away = [Flag::PumpIn, Flag::BungOpen, Flag::SampleEarth, Flag::Grade];
    let away = Flags::BONDS | Flags::of(&away);
    flags.less(away)
}
