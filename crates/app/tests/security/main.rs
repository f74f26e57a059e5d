//! What is tried against the pages, attack by attack: the real program on loopback, in the clear for
//! this machine alone and encrypted for others, and a client that sends whatever bytes a test wants.
//!
//! | attack | file | is |
//! |---|---|---|
//! | a page of another site sends a form, or points a name here | `cross_site` | refused |
//! | a session that was stolen, or is over | `stolen_session` | refused |
//! | guessing passphrases and codes; locking somebody out | `guessing` | slowed, then refused |
//! | more than one's role allows; another's name in a record | `roles` | refused |
//! | a way out of the folder | `ways_out` | refused |
//! | too long a body or head | `too_much` | refused |
//! | too slow a body or head, too many connections | `too_slow` | hung up on |
//! | a line break in what becomes a header | `headers` | no header |
//! | one request that is two | `smuggling` | refused |
//! | markup in documents, in records and in what is typed | `markup`, `records` | text |
//!
//! `coming_in` and `people` have what is to work. Every server of these tests is looked at when it
//! ends: had it panicked at anything that was sent, the test fails. `kept` says whether anything was
//! recorded.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]
#![expect(clippy::disallowed_methods, reason = "what is slow is measured")]

mod client;
mod coming_in;
mod cross_site;
mod fields;
mod guessing;
mod headers;
mod judge;
mod kept;
mod markup;
mod people;
mod program;
mod records;
mod roles;
mod smuggling;
mod stolen_session;
mod too_much;
mod too_slow;
mod ways_out;
