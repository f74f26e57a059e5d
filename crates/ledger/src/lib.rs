//! The ledger: append-only events, one writer to a log, state folded from events.
//!
//! What is acknowledged is never lost and never changed; a record is corrected by a later
//! record. How the parts hold together is told in `docs/ledger.md`.
//!
//! | module | holds |
//! |---|---|
//! | [`event`] | what may be recorded, in frozen versions |
//! | [`record`] | an event with author, time and its place in a device's hash chain |
//! | [`store`] | where records are kept: in memory, in SQLite |
//! | [`chain`] | whether all chains are whole |
//! | [`transfer`] | records as JSON lines, out and in |
//! | [`snapshot`] | folded state kept beside the records, never trusted blindly |
//! | [`yard`] | the fuel held at each place, folded from events |
//! | [`runs`] | what was done on each run sheet, folded from events |

pub mod chain;
pub mod event;
pub mod record;
pub mod runs;
pub mod snapshot;
pub mod store;
pub mod transfer;
pub mod yard;
