//! Access from outside: the real program, over encrypted connections on loopback, asked by a client
//! that sends whatever bytes a test wants.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]
#![expect(clippy::disallowed_methods, reason = "what is slow is measured")]

mod bounds;
mod client;
mod coming_in;
mod forms;
mod loopback;
mod people;
mod program;
