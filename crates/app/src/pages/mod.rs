//! Pages: pure functions from plain data to markup. No page reads a file, a clock or a record;
//! `serve` hands each what it shows. Everything a person wrote is escaped by `maud`; only
//! pictures of `draw` go in as they are.
//!
//! | module | is |
//! |---|---|
//! | `frame` | what surrounds every page |
//! | `assets` | the style sheet and the scripts, built in |
//! | `bits` | verdicts, bars, fields: what several pages show |
//! | `fault` | what is wrong |
//! | `first`, `begin` | the stops of the week; the way to own data |
//! | `steady` | signs that turn or hide text, made to be seen |
//! | `stop` | one turnaround |
//! | `pictures` | every picture of a turnaround |
//! | `search` | what to change at a stop: five questions, a page each |
//! | `working` | one number with its steps and sources |
//! | `sheet` | the run sheet |
//! | `goods`, `manifest`, `due`, `aftermath` | dangerous goods, who is aboard, what falls due, after an event |
//! | `typed` | what was typed |
//! | `yard`, `drum`, `record` | the yard, one container, what is recorded |
//! | `papers` | papers to print |
//! | `documents`, `packs` | documents as text; packs side by side |

pub(crate) mod aftermath;
pub(crate) mod assets;
pub(crate) mod begin;
pub(crate) mod bits;
pub(crate) mod documents;
pub(crate) mod drum;
pub(crate) mod due;
pub(crate) mod fault;
pub(crate) mod first;
pub(crate) mod frame;
pub(crate) mod goods;
pub(crate) mod manifest;
pub(crate) mod offered;
pub(crate) mod packs;
pub(crate) mod papers;
pub(crate) mod pictures;
pub(crate) mod record;
pub(crate) mod search;
pub(crate) mod sheet;
pub(crate) mod steady;
pub(crate) mod stop;
pub(crate) mod typed;
pub(crate) mod working;
pub(crate) mod yard;
