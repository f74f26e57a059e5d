//! The run sheet: the tasks of this turnaround in an order that cannot hurt anybody, with what
//! is read at each, and what is done when something goes wrong.
//!
//! The way through: [`Facts`] decide what a sheet contains, [`Sheet::build`] makes it,
//! [`Sheet::apply`] is the one function that goes from one [`State`] to the next, [`INVARIANTS`]
//! say what must never be, [`check()`] tries every order there is and proves it, and
//! [`Progress`] folds what people state.
//!
//! | module | is |
//! |---|---|
//! | `facts` | what decides the contents |
//! | `build` | the tasks: of the site, of each fuelling method, samples, walk round, start |
//! | `task`, `reading` | a task; what is read at it |
//! | `flag`, `state` | what is so; that with the tasks done |
//! | `stop` | stop actions |
//! | `put` | what is put down in a break |
//! | `wait` | since when the drums stand, and when that is long enough |
//! | `amount` | litres and dips against plan and tank |
//! | `machine` | one step from state to state, or why not |
//! | `invariant` | what must never be |
//! | `check` | every order tried |
//! | `progress` | what was done by whom, what is next, what lies open |

mod amount;
#[cfg(test)]
mod broken;
mod build;
mod check;
mod facts;
#[cfg(test)]
mod fixture;
mod flag;
mod ground;
mod invariant;
mod machine;
mod people;
mod progress;
#[cfg(test)]
mod properties;
mod put;
mod reading;
mod state;
mod stop;
#[cfg(test)]
mod stories;
mod task;
mod wait;

pub use amount::{Amounts, Filling, Holds, Taken};
pub use build::Unbuilt;
pub use check::{Checked, Trouble, check};
pub use facts::{Broken, Drum, Facts, Fuelling, Someone, Start, Tank, Worker};
pub use flag::{Flag, Flags, Rest};
pub use invariant::{Before, INVARIANTS, Invariant};
pub use machine::{Action, Refusal, Sheet, Terms};
pub use progress::{Entry, Event, Finding, Kept, Next, Open, Progress, Sort};
pub use put::Put;
pub use reading::{Deed, Judged, Named, Reads, Unread, Value, unnamed};
pub use state::{Done, MOST_TASKS, State};
pub use stop::{Move, Plan, Step, Stop};
pub use task::{Effect, Fails, Need, Phase, Role, Task};
pub use wait::{Awaited, Since, Wait};
