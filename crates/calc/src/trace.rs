//! One formula, two uses: every calculation takes a tracer.
//!
//! With [`Silent`] the steps cost nothing, so a search can call a calculation a million
//! times; with [`Working`] the same code leaves the steps a person can read. There is no
//! second implementation for either.

use crate::{
    quantity::{Amount, FromAmount},
    source::Source,
};

/// Takes the steps of a calculation as they are made.
pub trait Trace {
    /// True when steps are kept; a prepared result may be used again when they are not.
    const RECORDS: bool;

    /// Notes one step. `make` is called only when somebody will read it.
    fn step(&mut self, make: impl FnOnce() -> Step);
}

/// Keeps nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Silent;

impl Trace for Silent {
    const RECORDS: bool = false;

    #[inline]
    fn step(&mut self, _: impl FnOnce() -> Step) {}
}

/// Keeps every step, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Working {
    /// What was done.
    pub steps: Vec<Step>,
}

impl Trace for Working {
    const RECORDS: bool = true;

    fn step(&mut self, make: impl FnOnce() -> Step) {
        self.steps.push(make());
    }
}

/// A symbol and what it stands for.
#[derive(Clone, Debug, PartialEq)]
pub struct Named {
    /// The symbol as the formula writes it.
    pub symbol: &'static str,
    /// Its value.
    pub amount: Amount,
}

/// One step of a working.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What the step answers.
    pub what: String,
    /// The formula in plain text; empty for a value that was looked up or typed.
    pub formula: &'static str,
    /// What went in.
    pub with: Vec<Named>,
    /// What came out.
    pub gives: Vec<Named>,
    /// Where the formula or the value comes from.
    pub source: Option<Source>,
    /// Anything the reader must know: a value held at a chart's edge, a factor not used.
    pub remark: Option<String>,
}

impl Step {
    /// A step with its name and formula.
    #[must_use]
    pub fn new(what: impl Into<String>, formula: &'static str) -> Self {
        Self {
            what: what.into(),
            formula,
            with: Vec::new(),
            gives: Vec::new(),
            source: None,
            remark: None,
        }
    }

    /// Adds an input.
    #[must_use]
    pub fn with<Q: FromAmount>(mut self, symbol: &'static str, quantity: Q) -> Self {
        self.with.push(Named { symbol, amount: quantity.into() });
        self
    }

    /// Adds a result.
    #[must_use]
    pub fn gives<Q: FromAmount>(mut self, symbol: &'static str, quantity: Q) -> Self {
        self.gives.push(Named { symbol, amount: quantity.into() });
        self
    }

    /// Says where the step comes from.
    #[must_use]
    pub fn from(mut self, source: Source) -> Self {
        self.source = Some(source);
        self
    }

    /// Adds a remark.
    #[must_use]
    pub fn remark(mut self, remark: impl Into<String>) -> Self {
        self.remark = Some(remark.into());
        self
    }
}
