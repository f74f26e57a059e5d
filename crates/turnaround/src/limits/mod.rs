//! Limits: named conditions with a bound.
//!
//! One function per family computes its limits, generic over a [`Sink`]. The same code runs
//! in a search a million times ([`Margins`], no allocation) and once for a person
//! ([`crate::assess`], with words; [`crate::assess::why`], with the working). There is no
//! second implementation.

pub mod charge;
pub mod drum;
pub mod due;
pub mod fuel;
mod gap;
pub mod light;
pub mod load;
pub mod open;
pub mod people;
pub mod reconcile;
pub mod sample;
pub mod site;
pub mod start;
pub mod strip;

use std::fmt;

pub(crate) use gap::Gap;
use stillprop_calc::{
    quantity::Amount,
    table::Sense,
    trace::{Silent, Trace},
};

use crate::{
    stage::{Choice, Stage},
    units::Units,
};

impl Stage {
    /// Runs every limit into a sink, in one order that does not depend on the choice.
    pub fn evaluate<S: Sink>(&self, choice: &Choice, sink: &mut S) {
        let masses = load::limits(self, choice, sink);
        fuel::limits(self, choice, sink);
        reconcile::limits(self, sink);
        strip::limits(self, choice, &masses, sink);
        open::limits(self, choice, sink);
        light::limits(self, choice, sink);
        people::limits(self, choice, sink);
        due::limits(self, choice, sink);
        drum::limits(self, choice, sink);
        sample::limits(self, choice, sink);
        site::limits(self, choice, sink);
        charge::limits(self, sink);
        start::limits(self, choice, sink);
    }

    /// The fast path: margins into a buffer that is reused.
    pub fn margins(&self, choice: &Choice, margins: &mut Margins) {
        margins.limits.clear();
        self.evaluate(choice, margins);
    }
}

/// A family of limits, in the order they are asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Mass and balance.
    Load,
    /// Fuel.
    Fuel,
    /// The strip.
    Strip,
    /// Daylight.
    Light,
    /// People aboard.
    People,
    /// Equipment and qualifications.
    Due,
    /// Drums of the yard.
    Drum,
    /// Fuel samples.
    Sample,
    /// The parking place.
    Site,
    /// Static electricity.
    Static,
    /// Starting the engine.
    Start,
    /// The onward flight: numbers, and no limit of its own.
    Flight,
}

impl Family {
    /// Families that this version assesses.
    pub const ASSESSED: [Self; 11] = [
        Self::Load,
        Self::Fuel,
        Self::Strip,
        Self::Light,
        Self::People,
        Self::Due,
        Self::Drum,
        Self::Sample,
        Self::Site,
        Self::Static,
        Self::Start,
    ];

    /// The first part of a limit's name.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Load => "load",
            Self::Fuel => "fuel",
            Self::Strip => "strip",
            Self::Light => "light",
            Self::People => "people",
            Self::Due => "due",
            Self::Drum => "drum",
            Self::Sample => "sample",
            Self::Site => "site",
            Self::Static => "static",
            Self::Start => "start",
            Self::Flight => "flight",
        }
    }
}

/// The name of a limit, borrowed from the stage: `load.seat.2L`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Id<'a> {
    /// The family.
    pub family: Family,
    /// The limit.
    pub name: &'static str,
    /// Which of several, where there are several.
    pub of: Option<&'a str>,
}

impl<'a> Id<'a> {
    /// A limit there is one of.
    #[must_use]
    pub const fn new(family: Family, name: &'static str) -> Self {
        Self { family, name, of: None }
    }

    /// A limit there is one of for each seat, leg, tank.
    #[must_use]
    pub const fn of(family: Family, name: &'static str, of: &'a str) -> Self {
        Self { family, name, of: Some(of) }
    }
}

impl fmt::Display for Id<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.family.word(), self.name)?;
        if let Some(of) = self.of {
            f.write_str(".")?;
            for c in of.chars() {
                fmt::Write::write_char(f, if c.is_whitespace() { '-' } else { c })?;
            }
        }
        Ok(())
    }
}

/// What became of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// The bound is passed.
    Breaks,
    /// Something is missing; not ready.
    Unknown,
    /// The bound is kept.
    Holds,
}

impl Verdict {
    /// The verdict as a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Breaks => "breaks",
            Self::Unknown => "unknown",
            Self::Holds => "holds",
        }
    }
}

/// A value against its bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// The value.
    pub value: Amount,
    /// The bound, of the same kind.
    pub bound: Amount,
    /// Which way the bound lies.
    pub sense: Sense,
    /// What the margin is a share of: the bound itself for a mass, the width of the
    /// envelope for a balance, the time there is for an arrival. \[SI\]
    pub whole: f64,
}

/// Part of the whole by which rounding may touch a bound without passing it.
const ROUNDING: f64 = 1e-9;

impl Measure {
    /// A value that must not be more than its bound, as a share of the bound.
    #[must_use]
    pub fn at_most(value: impl Into<Amount>, bound: impl Into<Amount>) -> Self {
        let (value, bound) = (value.into(), bound.into());
        Self { value, bound, sense: Sense::AtMost, whole: bound.si.abs() }
    }

    /// A value that must not be less than its bound, as a share of the bound.
    #[must_use]
    pub fn at_least(value: impl Into<Amount>, bound: impl Into<Amount>) -> Self {
        let (value, bound) = (value.into(), bound.into());
        Self { value, bound, sense: Sense::AtLeast, whole: bound.si.abs() }
    }

    /// The same with the margin as a share of something else.
    #[must_use]
    pub fn share_of(self, whole: impl Into<Amount>) -> Self {
        Self { whole: whole.into().si.abs(), ..self }
    }

    /// Distance to the bound, negative when it is passed. \[SI\]
    #[must_use]
    pub fn margin(&self) -> f64 {
        match self.sense {
            Sense::AtMost => self.bound.si - self.value.si,
            Sense::AtLeast => self.value.si - self.bound.si,
        }
    }

    /// The margin as a share of the whole.
    #[must_use]
    pub fn share(&self) -> f64 {
        let margin = self.margin();
        if self.whole > 0.0 {
            margin / self.whole
        } else if margin >= 0.0 {
            1.0
        } else {
            -1.0
        }
    }

    /// Holds or breaks; a value that is no number is unknown.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        let slack = ROUNDING * self.whole.max(self.bound.si.abs());
        match self.margin() {
            margin if margin.is_nan() => Verdict::Unknown,
            margin if margin >= -slack => Verdict::Holds,
            _ => Verdict::Breaks,
        }
    }
}

/// What a limit says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// A value against its bound.
    Measured(Measure),
    /// A condition without a number.
    Condition(bool),
    /// Something is missing.
    Unknown,
}

impl Found {
    /// Holds, breaks or unknown.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        match self {
            Self::Measured(measure) => measure.verdict(),
            Self::Condition(true) => Verdict::Holds,
            Self::Condition(false) => Verdict::Breaks,
            Self::Unknown => Verdict::Unknown,
        }
    }
}

/// The words of a limit, made only when somebody will read them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// How things stand, in one line: `1 583 kg of 1 633 kg`.
    pub stands: String,
    /// What a pilot would act on when it breaks: `34 kg over`; when it is unknown, what is
    /// missing.
    pub act: Option<String>,
    /// Anything to know about how it was found.
    pub remark: Option<String>,
}

impl Words {
    /// Words that need nothing done.
    #[must_use]
    pub fn stands(stands: impl Into<String>) -> Self {
        Self { stands: stands.into(), act: None, remark: None }
    }

    /// Words for something missing.
    #[must_use]
    pub fn missing(what: impl Into<String>) -> Self {
        Self { stands: "unknown".into(), act: Some(what.into()), remark: None }
    }

    /// Adds what to do.
    #[must_use]
    pub fn act(mut self, act: impl Into<String>) -> Self {
        self.act = Some(act.into());
        self
    }

    /// Adds a remark.
    #[must_use]
    pub fn remark(mut self, remark: Option<String>) -> Self {
        self.remark = remark.or(self.remark);
        self
    }
}

/// Takes limits as they are computed.
pub trait Sink {
    /// Where the steps go.
    type Trace: Trace;

    /// The tracer for the calculations of the next limit.
    fn trace(&mut self) -> &mut Self::Trace;

    /// Takes a limit. `words` is called only when somebody will read them.
    fn limit(&mut self, id: Id<'_>, found: Found, words: impl FnOnce(&Units) -> Words);

    /// Takes a number that has no bound, with the quantity it is, where it is one. `says` is
    /// called only when somebody will read it.
    fn number(
        &mut self,
        _id: Id<'_>,
        _amount: Option<Amount>,
        _says: impl FnOnce(&Units) -> String,
    ) {
    }

    /// Marks the steps so far as shared by the limits that follow.
    fn share(&mut self) {}

    /// Forgets every step so far: what follows shares nothing with it.
    fn fresh(&mut self) {}
}

/// One limit of the fast path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Holds, breaks or unknown.
    pub verdict: Verdict,
    /// Distance to the bound, negative when passed; NaN when unknown. \[SI\]
    pub margin: f64,
    /// The same as a share of the whole; a condition counts as 1 or -1.
    pub share: f64,
}

/// The fast path: margins only, in the order of the limits, into a buffer that is reused.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Margins {
    /// One for each limit.
    pub limits: Vec<Margin>,
    silent: Silent,
}

impl Margins {
    /// A buffer that takes `count` limits without growing.
    #[must_use]
    pub fn with_room(count: usize) -> Self {
        Self { limits: Vec::with_capacity(count), silent: Silent }
    }

    /// The tightest: broken before unknown before held, then by share.
    #[must_use]
    pub fn tightest(&self) -> Option<Margin> {
        let before =
            |a: &Margin, b: &Margin| a.verdict.cmp(&b.verdict).then(a.share.total_cmp(&b.share));
        self.limits.iter().copied().min_by(before)
    }
}

impl Sink for Margins {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, _: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        let (margin, share) = match found {
            Found::Measured(measure) => (measure.margin(), measure.share()),
            Found::Condition(true) => (1.0, 1.0),
            Found::Condition(false) => (-1.0, -1.0),
            Found::Unknown => (f64::NAN, f64::NAN),
        };
        self.limits.push(Margin { verdict: found.verdict(), margin, share });
    }
}
