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
mod generated;
mod ground;
mod packs;
mod pictures;
mod program;
mod reasons;
mod searches;
mod sheet;
mod sums;
mod verdicts;
mod working;
mod yard;
