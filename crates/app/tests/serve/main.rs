//! The local pages from outside: the program is started, and asked over plain HTTP.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod aboard;
mod api;
mod change;
mod documents;
mod http;
mod killed;
mod packs;
mod pages;
mod papers;
mod record;
mod search;
mod server;
mod sheet;
mod yard;
