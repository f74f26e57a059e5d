//! One turnaround: its documents, its limits and what an assessment says of them.
//!
//! The way through: [`document`] reads what a person wrote, [`stage`] prepares it once with
//! the rules in force, [`limits`] judge a choice, [`assess`] says it to a person. [`sheet`] is
//! the order of the work on the ground, with its interlocks; [`goods`] is what people may carry,
//! [`briefing`] what they are told. No file, clock or thread here; the
//! program hands texts in.

pub mod assess;
pub mod briefing;
pub mod document;
pub mod drums;
pub mod goods;
pub mod limits;
pub mod manifest;
pub mod sheet;
pub mod site;
pub mod stage;
pub mod units;
pub mod weather;
