//! The local pages from outside: the program is started, and asked over plain HTTP.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod api;
mod change;
mod documents;
mod hostile;
mod http;
mod packs;
mod pages;
mod refused;
mod server;
mod sheet;
mod yard;
