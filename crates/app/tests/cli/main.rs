//! The program from outside: what it prints, how it ends, what it makes of bad input.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod bad_input;
mod cautions;
mod documents;
mod event;
mod generated;
mod ground;
mod packs;
mod people;
mod pictures;
mod print;
mod program;
#[path = "../../../papers/tests/reader/mod.rs"]
mod reader;
mod reasons;
mod searches;
mod sheet;
mod sums;
mod uplift;
mod verdicts;
mod working;
mod yard;
