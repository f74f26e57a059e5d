//! The pages in a real browser, from outside: what a person sees, types and presses.
//!
//! `cargo xtask browser` finds a browser and its driver, says where they are, and runs the tests.
//!
//! | module | is |
//! |---|---|
//! | `world` | the program served in a folder of its own, its clock set, and the driver of the browser |
//! | `phone` | one browser: opens, reads, types, waits |
//! | `rules` | what holds for every page: answer, width, access, contrast, requests, console |
//! | `routes` | every page there is, read from the program's own table |
//! | `tour` | every page and every state of the run sheet, one after the other |
//! | `walk` | the answer to each task of a run sheet |
//! | the others | stories |

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod every_page;
mod found_out;
mod keyboard;
mod lan;
mod main_job;
mod no_scripts;
mod phone;
mod policy;
mod routes;
mod rules;
mod tour;
mod two_phones;
mod walk;
mod what_to_change;
mod world;
