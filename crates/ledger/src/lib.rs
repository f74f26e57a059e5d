//! The ledger: append-only events, one writer to a log, state folded from events.
//!
//! | module | holds |
//! |---|---|
//! | [`event`] | what may be recorded, in frozen versions |
//! | [`record`] | an event with author, time and its place in a device's hash chain |
//! | [`yard`] | the fuel held at each place, folded from events |

pub mod event;
pub mod record;
