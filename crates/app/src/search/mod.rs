//! Searches as they are run, for a verb, a page and a program alike: `plan` is pure and only here is
//! said how long it may look, on how many threads, and when it stops.
//!
//! | module | is |
//! |---|---|
//! | `fit` | who sits where, what lies where, how much fuel in which tank |
//! | `odds` | draws on threads |
//! | `park` | the place with the most room |
//! | `ways_out` | the smallest changes that mend; a window of departure is one function of `plan` |
//! | `write` | what was found, written into the text of a document |

pub(crate) mod fit;
pub(crate) mod odds;
pub(crate) mod park;
pub(crate) mod ways_out;
pub(crate) mod write;
