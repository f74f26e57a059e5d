//! What is so, of the aeroplane and of what stands around it, as far as it is known: one bit
//! each. A bit is on only when somebody has stated it or the sheet has brought it about.

use std::ops::{BitAnd, BitOr, Not};

/// A set of [`Flag`]s.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Flags(u64);

impl Flags {
    /// None of them.
    pub const NONE: Self = Self(0);

    /// These.
    #[must_use]
    pub const fn of(flags: &[Flag]) -> Self {
        let (mut bits, mut at) = (0, 0);
        while at < flags.len() {
            bits |= 1 << flags[at] as u64;
            at += 1;
        }
        Self(bits)
    }

    /// The first so many drums whose sample passed.
    #[must_use]
    pub fn drums_passed(count: usize) -> Self {
        Flag::PASSED.iter().take(count).fold(Self::NONE, |all, &flag| all.with(flag))
    }

    /// Whether it is among them.
    #[must_use]
    pub const fn has(self, flag: Flag) -> bool {
        self.0 >> flag as u64 & 1 == 1
    }

    /// Whether all of `other` are among them.
    #[must_use]
    pub const fn holds(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Whether any of `other` is among them.
    #[must_use]
    pub const fn meets(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// With one more.
    #[must_use]
    pub const fn with(self, flag: Flag) -> Self {
        Self(self.0 | 1 << flag as u64)
    }

    /// Without one.
    #[must_use]
    pub const fn without(self, flag: Flag) -> Self {
        Self(self.0 & !(1 << flag as u64))
    }

    /// Those of `self` that are not among `other`.
    #[must_use]
    pub const fn less(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// The place of each in the table.
    pub(super) fn places(self) -> impl Iterator<Item = usize> {
        let mut left = self.0;
        std::iter::from_fn(move || {
            let place = left.trailing_zeros() as usize;
            // The lowest of them goes.
            (left != 0).then(|| {
                left &= left - 1;
                place
            })
        })
    }

    /// Each of them, in the order of the table.
    pub fn iter(self) -> impl Iterator<Item = Flag> {
        Flag::ALL.iter().copied().filter(move |&flag| self.has(flag))
    }
}

impl BitOr for Flags {
    type Output = Self;
    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitAnd for Flags {
    type Output = Self;
    fn bitand(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}

impl Not for Flags {
    type Output = Self;
    fn not(self) -> Self {
        Self(!self.0)
    }
}

/// How a flag stands when the aeroplane is left alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// On: a recap names it when it is off.
    On,
    /// Off: a recap names it when it is on.
    Off,
    /// Nothing that lies open.
    Any,
}

macro_rules! flags {
    ($($flag:ident $rest:ident $on:literal, $off:literal;)*) => {
        /// One thing that is so or is not.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Flag {
            $(#[doc = $on] $flag,)*
        }

        impl Flag {
            /// Every flag.
            pub const ALL: &'static [Self] = &[$(Self::$flag),*];

            /// What is the case when it is on, or off.
            #[must_use]
            pub const fn words(self, on: bool) -> &'static str {
                match (self, on) {
                    $((Self::$flag, true) => $on, (Self::$flag, false) => $off,)*
                }
            }

            /// How it stands when the aeroplane is left alone.
            #[must_use]
            pub const fn rest(self) -> Rest {
                match self { $(Self::$flag => Rest::$rest,)* }
            }

            /// Its name in a file.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$flag => stringify!($flag),)* }
            }
        }
    };
}

flags! {
    Fire Off "there is a fire", "there is no fire";
    Burnt Off "there was a fire, and everything lies as it was left", "there was no fire";
    Injured Off "somebody is hurt", "nobody is hurt";
    Spill Off "fuel is spilled", "no fuel is spilled";
    BondLost Off "a bond is lost", "no bond is lost";
    BadFuel Off "wrong, wet or dirty fuel was found", "no wrong, wet or dirty fuel was found";
    Controlled Any "the spill is stopped at its source", "the spill is not stopped at its source";
    Contained Any "the spill is kept from spreading", "the spill is not kept from spreading";
    TakenUp Any "the spill is taken up", "the spill is not taken up";
    ForGood Off "this sheet is stopped for good", "this sheet is not stopped for good";
    TanksBad Off "what is in the tanks cannot be trusted", "nothing speaks against what is in the tanks";
    Paused Off "work is paused", "work goes on";
    EngineRuns Off "the engine runs", "the engine is stopped";
    Contact Off "the switches are at contact", "the switches are not at contact";
    ContactCalled Off "contact was called at the propeller", "contact was not called at the propeller";
    AtPropeller Off "somebody stands at the propeller", "nobody stands at the propeller";
    AtControls Off "somebody is at the controls", "nobody is at the controls";
    CapOpen Off "a fuel cap is open", "no fuel cap is open";
    PumpRuns Off "the pump runs", "the pump is stopped";
    NozzleIn Off "the nozzle is in the filler", "the nozzle is not in a filler";
    AtNozzle Off "somebody is at the nozzle", "nobody is at the nozzle";
    AtPump Off "somebody is at the pump", "nobody is at the pump";
    BondNozzle Off "the lead from the nozzle to the aeroplane is on", "the lead from the nozzle to the aeroplane is not on";
    BondAircraft Off "the lead to the aeroplane is on", "the lead to the aeroplane is not on";
    BondPump Off "the lead from the drum to the pump is on", "the lead from the drum to the pump is not on";
    BondEarth Off "the lead from the drum to earth is on", "the lead from the drum to earth is not on";
    PumpIn Off "the pump stands in a drum", "the pump is not in a drum";
    SampleEarth Off "what is sampled has its lead on", "nothing that is sampled has a lead on";
    BungOpen Off "a bung is out", "no bung is out";
    GearOut Off "fuelling gear lies at the aeroplane", "the fuelling gear is not laid out";
    Aboard Off "passengers are aboard", "no passenger is aboard";
    SwitchesOff On "the switches are off and the key is out", "the switches are not known to be off, nor the key out";
    MasterOff On "the master switch is off", "the master switch is not known to be off";
    Chocks On "the chocks are set", "the chocks are not set";
    TailTied Off "the tail is tied", "the tail is not tied";
    Brake Any "the brake is set", "the brake is not set";
    CoversOff Any "covers, locks and tow bar are off", "covers, locks and tow bar were not seen off";
    Extinguishers Any "the extinguishers are in place", "the extinguishers are not in place";
    SpillKit Any "the spill kit is at hand", "the spill kit was not found";
    Shutoff Any "everybody knows how the pump is stopped", "it was not shown how the pump is stopped";
    Grade Any "the grade is confirmed", "the grade is not confirmed";
    Filter Any "the filter was looked at", "the filter was not looked at";
    DrumsSettled Any "the drums have settled", "the drums have not settled";
    FuelIn Any "new fuel went into a tank", "no new fuel went into a tank";
    CapsSeen Any "every cap was seen shut", "not every cap was seen shut";
    Settled Any "the tanks have settled", "the tanks have not settled";
    SampleBad Any "a sample of the tanks was bad once", "no sample of the tanks was bad";
    Sampled Any "the aeroplane's own sample passed", "the aeroplane's own sample has not passed";
    RunClear Any "it stands clear of what a running engine must not be near", "it was not pulled clear of what a running engine must not be near";
    RoomClear Any "what stood too near for fuelling is gone", "what stands too near for fuelling is not gone";
    Walked Any "the walk round is done", "the walk round is not done";
    Briefed Any "the passengers are briefed", "the passengers are not briefed";
    Held Any "it was answered whether it would hold at full throttle", "nobody has answered whether it would hold at full throttle";
    OffSaid Any "switches off was said and answered since the last swing and the last break", "switches off was not said and answered since the last swing or the last break";
    Throttle Any "the throttle is set and was said back", "the throttle was not set and said back";
    ArcClear Any "the arc of the propeller is clear", "the arc of the propeller was not seen clear";
    Idle Any "the engine idles", "the engine does not idle";
    SourceKnown Any "it is known which fuel was bad", "it is not known which fuel was bad";
    Passed0 Any "the sample of the first source passed", "the sample of the first source has not passed";
    Passed1 Any "the sample of the second drum passed", "the sample of the second drum has not passed";
    Passed2 Any "the sample of the third drum passed", "the sample of the third drum has not passed";
    Passed3 Any "the sample of the fourth drum passed", "the sample of the fourth drum has not passed";
    Passed4 Any "the sample of the fifth drum passed", "the sample of the fifth drum has not passed";
    Passed5 Any "the sample of the sixth drum passed", "the sample of the sixth drum has not passed";
}

const _: () = assert!(Flag::ALL.len() <= 64, "one bit each");

impl Flag {
    /// Whether the sample of each source passed.
    pub const PASSED: [Self; 6] =
        [Self::Passed0, Self::Passed1, Self::Passed2, Self::Passed3, Self::Passed4, Self::Passed5];
}

impl Flags {
    /// Every bond.
    pub const BONDS: Self =
        Self::of(&[Flag::BondNozzle, Flag::BondAircraft, Flag::BondPump, Flag::BondEarth]);
    /// What calls for a stop action.
    pub const STOPS: Self =
        Self::of(&[Flag::Fire, Flag::Injured, Flag::Spill, Flag::BondLost, Flag::BadFuel]);
    /// People at a post, and what they have just said: gone when they turn away.
    pub const POSTS: Self = Self::of(&[
        Flag::AtNozzle,
        Flag::AtPump,
        Flag::AtControls,
        Flag::AtPropeller,
        Flag::ContactCalled,
        Flag::Throttle,
        Flag::ArcClear,
        Flag::OffSaid,
    ]);
    /// What somebody has just seen or said: it holds for those who were there, and no longer
    /// once they were called away.
    pub const STALE: Self = Self::of(&[Flag::ArcClear, Flag::Throttle, Flag::OffSaid]);
    /// What runs or sits where fire is: gone when everybody is out and away.
    pub const MOVING: Self =
        Self::of(&[Flag::PumpRuns, Flag::Aboard, Flag::EngineRuns, Flag::Idle, Flag::Contact]);
    /// Everything that a recap names when it is not as it is on an aeroplane left alone.
    pub const NAMED: Self = {
        let (mut bits, mut at) = (0, 0);
        while at < Flag::ALL.len() {
            if !matches!(Flag::ALL[at].rest(), Rest::Any) {
                bits |= 1 << Flag::ALL[at] as u64;
            }
            at += 1;
        }
        Self(bits)
    };
    /// Fuel is being taken.
    pub const TAKING: Self = Self::of(&[Flag::CapOpen, Flag::NozzleIn, Flag::PumpRuns]);

    /// Those that do not stand as they do when the aeroplane is left alone.
    #[must_use]
    pub fn open(self) -> Vec<Flag> {
        let open = |&&flag: &&Flag| match flag.rest() {
            Rest::On => !self.has(flag),
            Rest::Off => self.has(flag),
            Rest::Any => false,
        };
        Flag::ALL.iter().filter(open).copied().collect()
    }
}
