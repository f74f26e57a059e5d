//! The pictures from outside: frozen looks, hostile text, codes that can be read.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test that cannot read its own input must stop"
)]

mod aprons;
mod decode;
mod golden;
mod hostile;
mod profiles;
mod samples;
mod stops;
