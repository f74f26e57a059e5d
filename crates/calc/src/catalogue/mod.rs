//! Every calculation by name: what it answers, what it needs, within what range, from
//! which source. The command line, `VALIDATION.md` and the reference cases all read this
//! one list.
//!
//! Nothing is computed here: each entry reads its arguments, calls the public function of
//! its module with a recording tracer, and names what came out.

mod air;
mod args;
mod drum;
mod fuel;
mod ground;
mod load;
mod plane;
mod quality;
mod start;
mod strip;
mod sun;
mod wind;

pub use args::{Args, Raw, SumError, Value};
use jiff::{Timestamp, civil::Date};

use crate::{
    bounds::Bounds,
    quantity::{Amount, FromAmount},
    source::Source,
    trace::Working,
    unit::{Kind, Unit},
};

/// One named calculation.
pub struct Sum {
    /// What it is called on the command line.
    pub name: &'static str,
    /// What it answers, in one sentence.
    pub answers: &'static str,
    /// The inputs, in the order a person would say them.
    pub inputs: &'static [Input],
    /// The outputs.
    pub outputs: &'static [Output],
    /// The sources of the formulas.
    pub sources: &'static [Source],
    /// Reads the arguments, calls the calculation, names the results.
    run: fn(&Args, &mut Working) -> Result<Outs, SumError>,
}

/// One input of a [`Sum`].
pub struct Input {
    /// Its key.
    pub key: &'static str,
    /// What may be given.
    pub shape: Shape,
    /// The accepted range, where there is one.
    pub bounds: Option<Bounds>,
    /// True when the calculation has no meaning without it.
    pub required: bool,
    /// What it is, in a few words.
    pub says: &'static str,
}

/// What may be given for an input.
pub enum Shape {
    /// A quantity with its unit.
    Quantity(Kind),
    /// Several quantities of one kind; nested lists are read row by row.
    Quantities(Kind),
    /// One of a few words.
    Word(&'static [&'static str]),
    /// A date, `2026-06-21`.
    Date,
    /// An instant with its offset, `2026-06-21T07:30:00Z`.
    Instant,
    /// A list of records.
    Rows(&'static [Input]),
}

impl Input {
    /// A required quantity with its accepted range.
    const fn quantity(key: &'static str, bounds: Bounds, says: &'static str) -> Self {
        let shape = Shape::Quantity(bounds.unit.kind);
        Self { key, shape, bounds: Some(bounds), required: true, says }
    }

    /// A required quantity of any finite value.
    const fn any(key: &'static str, kind: Kind, says: &'static str) -> Self {
        Self { key, shape: Shape::Quantity(kind), bounds: None, required: true, says }
    }

    /// A required input of another shape.
    const fn shaped(key: &'static str, shape: Shape, says: &'static str) -> Self {
        Self { key, shape, bounds: None, required: true, says }
    }

    /// The same input, but it may be left out.
    const fn optional(mut self) -> Self {
        self.required = false;
        self
    }
}

/// One output of a [`Sum`].
pub struct Output {
    /// Its key.
    pub key: &'static str,
    /// The unit it is given in; `None` for a word, an instant or rows.
    pub unit: Option<Unit>,
    /// What it is, in a few words.
    pub says: &'static str,
}

impl Output {
    const fn new(key: &'static str, unit: Unit, says: &'static str) -> Self {
        Self { key, unit: Some(unit), says }
    }

    const fn other(key: &'static str, says: &'static str) -> Self {
        Self { key, unit: None, says }
    }
}

/// A result value.
#[derive(Clone, Debug, PartialEq)]
pub enum Out {
    /// A quantity.
    Amount(Amount),
    /// A word: `inside`, `cannot be flown`, `polar night`.
    Word(String),
    /// An instant in UTC, or nothing where none exists on that day.
    Instant(Option<Timestamp>),
    /// A record for each of several things.
    Rows(Vec<Outs>),
}

/// Results by key, in the order of [`Sum::outputs`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outs(pub Vec<(&'static str, Option<Unit>, Out)>);

impl Outs {
    /// Adds a quantity, to be shown in `unit`.
    fn put<Q: FromAmount>(mut self, key: &'static str, unit: Unit, quantity: Q) -> Self {
        self.0.push((key, Some(unit), Out::Amount(quantity.into())));
        self
    }

    /// Adds a word.
    fn word(mut self, key: &'static str, word: impl Into<String>) -> Self {
        self.0.push((key, None, Out::Word(word.into())));
        self
    }

    /// Adds an instant.
    fn instant(mut self, key: &'static str, instant: Option<Timestamp>) -> Self {
        self.0.push((key, None, Out::Instant(instant)));
        self
    }

    /// Adds records.
    fn rows(mut self, key: &'static str, rows: Vec<Self>) -> Self {
        self.0.push((key, None, Out::Rows(rows)));
        self
    }

    /// The quantity under `key` in its own unit, for a reference case.
    #[must_use]
    pub fn amount(&self, key: &str) -> Option<Amount> {
        self.0.iter().find_map(|(k, _, out)| match out {
            Out::Amount(amount) if *k == key => Some(*amount),
            _ => None,
        })
    }
}

/// What a calculation answered.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The results.
    pub outs: Outs,
    /// The steps.
    pub working: Working,
}

impl Sum {
    /// Reads the arguments and does the calculation.
    ///
    /// # Errors
    ///
    /// [`SumError`] names the argument and what is wrong with it.
    pub fn run(&self, given: &[(String, Raw)]) -> Result<Answer, SumError> {
        let args = args::read(self.inputs, given)?;
        let mut working = Working::default();
        let outs = (self.run)(&args, &mut working)?;
        Ok(Answer { outs, working })
    }
}

/// Every calculation, in the order of the modules.
pub fn all() -> impl Iterator<Item = &'static Sum> {
    let topics = [
        air::SUMS,
        wind::SUMS,
        sun::SUMS,
        load::SUMS,
        fuel::SUMS,
        quality::SUMS,
        drum::SUMS,
        strip::SUMS,
        ground::SUMS,
        start::SUMS,
        plane::SUMS,
    ];
    topics.into_iter().flatten()
}

/// The calculation called `name`.
#[must_use]
pub fn named(name: &str) -> Option<&'static Sum> {
    all().find(|sum| sum.name == name)
}

/// A date as typed.
fn read_date(text: &str) -> Option<Date> {
    text.trim().parse().ok()
}

/// An instant as typed; the offset is required, because a time without one is a guess.
fn read_instant(text: &str) -> Option<Timestamp> {
    text.trim().parse().ok()
}
