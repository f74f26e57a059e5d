//! Searches over a turnaround: what to change so that it holds.
//!
//! Each search is a function from a prepared [`Stage`](stillprop_turnaround::stage::Stage) and what
//! may vary to an answer that says how sure it is: exact, or the best so far. No clock, thread, file
//! or randomness here; a search counts its steps, and whoever calls it may stop it between two.

pub mod budget;
pub mod conflict;
pub mod fit;
pub mod forecast;
pub mod odds;
pub mod park;
pub mod stow;
pub mod uplift;
pub mod ways_out;
pub mod window;
