//! What must never be.
pub use super::machine::Action;
use super::{machine::Sheet, state::State};

/// Something that must never be, as a test of one step.
pub struct Invariant {
    /// Its id.
    pub id: &'static str,
    /// The sentence.
    pub sentence: &'static str,
    /// Where it comes from, and how that was read.
    pub source: &'static str,
    /// True when the step keeps it.
    pub keeps: fn(&Sheet, &State, Action, &State) -> bool,
}
/// All.
pub const INVARIANTS: &[Invariant] = &[];
