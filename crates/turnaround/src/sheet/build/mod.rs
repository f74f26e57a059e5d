//! From facts to a sheet. Each file writes the tasks of one part of the work; here they are
//! put in order.
//!
//! Guards are few and each stands at one task only: where a guard were doubled by another, the
//! checker could not show that it is needed.

mod drum;
mod fill;
mod hand;
mod hose;
mod samples;
mod site;
mod start;
mod stops;
mod walk;

use std::fmt;

use stillprop_calc::{
    quantity::{FromAmount, Length, Time},
    unit,
};
use stillprop_rules::situation::Engine;

use super::{
    facts::{Facts, Fuelling, Start},
    flag::{Flag, Flags},
    machine::{Sheet, Terms},
    state::MOST_TASKS,
    task::{Role, Task},
};
use crate::stage::Figure;

/// Most drums of one sheet.
const MOST_DRUMS: usize = Flag::PASSED.len();

/// Why no sheet can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unbuilt {
    /// What stands against it.
    pub message: String,
    /// What to do.
    pub help: String,
}

impl fmt::Display for Unbuilt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for Unbuilt {}

/// Tasks as they are written.
struct Draft<'a> {
    facts: &'a Facts,
    tasks: Vec<Task>,
}

impl Draft<'_> {
    /// Adds a task; gives its place, so that others can wait for it.
    fn add(&mut self, task: Task) -> usize {
        self.tasks.push(task);
        self.tasks.len() - 1
    }

    /// The second person, or the pilot where there is none.
    fn second(&self) -> Role {
        if self.facts.second.is_some() { Role::Second } else { Role::Pilot }
    }
}

impl Sheet {
    /// Makes the sheet of a turnaround.
    ///
    /// # Errors
    ///
    /// [`Unbuilt`] when fuel is to be taken and it is not said into which tank or from which
    /// drum, or when there are more of them than a sheet holds.
    pub fn build(facts: &Facts) -> Result<Self, Unbuilt> {
        possible(facts)?;
        let mut draft = Draft { facts, tasks: Vec::new() };
        match facts.fuelling {
            Fuelling::None => {}
            Fuelling::Drum => {
                site::add(&mut draft);
                drum::add(&mut draft);
            }
            Fuelling::Tanker | Fuelling::SelfServe => {
                site::add(&mut draft);
                hose::add(&mut draft);
            }
        }
        samples::add(&mut draft);
        walk::add(&mut draft);
        start::add(&mut draft);
        let tasks = draft.tasks;
        if tasks.len() > MOST_TASKS {
            return Err(too_long());
        }
        let begins = if facts.aboard { Flags::of(&[Flag::Aboard]) } else { Flags::NONE };
        Ok(Self::assemble(tasks, stops::plans(facts), terms(facts), begins, roles(facts)))
    }
}

fn too_long() -> Unbuilt {
    Unbuilt {
        message: "there is more to do than one sheet holds".into(),
        help: "fuel in two parts, each with its own sheet".into(),
    }
}

fn possible(facts: &Facts) -> Result<(), Unbuilt> {
    let unbuilt =
        |message: &str, help: &str| Err(Unbuilt { message: message.into(), help: help.into() });
    if facts.fuelling == Fuelling::None {
        return Ok(());
    }
    if facts.tanks.is_empty() {
        return unbuilt("no tank is to be filled", "say how much goes into which tank");
    }
    if facts.fuelling != Fuelling::Drum {
        return Ok(());
    }
    if facts.drums.is_empty() {
        return unbuilt("no drum is named", "name the drums and what each tank gets from them");
    }
    if facts.drums.len() > MOST_DRUMS {
        return Err(too_long());
    }
    let mut into = facts.drums.iter().flat_map(|drum| &drum.into);
    if facts.drums.iter().any(|drum| drum.into.is_empty())
        || into.any(|(tank, _)| *tank >= facts.tanks.len())
    {
        return unbuilt("a drum goes into no tank", "say how much of it goes into which tank");
    }
    Ok(())
}

fn terms(facts: &Facts) -> Terms {
    let hose = Flags::of(&[Flag::BondAircraft, Flag::BondNozzle]);
    let (bonds, samples) = match facts.fuelling {
        Fuelling::None => (Flags::NONE, Flags::NONE),
        Fuelling::Drum => (Flags::BONDS, Flags::drums_passed(facts.drums.len())),
        Fuelling::Tanker | Fuelling::SelfServe => (hose, Flags::drums_passed(1)),
    };
    let way = start::way(facts);
    Terms {
        bonds,
        samples,
        empty: facts.engine == Engine::Piston && facts.gasoline(),
        attended: facts.fuelling == Fuelling::Tanker || facts.second.is_some(),
        fuelled: facts.fuelling != Fuelling::None,
        hand: way == Start::Hand,
        alone: way == Start::Hand && facts.second.is_none(),
        tail: way == Start::Hand,
    }
}

fn roles(facts: &Facts) -> Vec<(Role, String)> {
    let mut roles = vec![(Role::Pilot, facts.pilot.name.clone())];
    roles.extend(facts.second.iter().map(|second| (Role::Second, second.name.clone())));
    if facts.fuelling == Fuelling::Tanker {
        roles.push((Role::Refueller, "refueller".into()));
    }
    roles
}

/// A figure in words, or that it is missing and where to look. Never a number of our own.
fn told<Q>(figure: &Figure<Q>, words: impl Fn(&Q) -> String, ask: &str) -> String {
    match figure {
        Ok(cited) => format!("{} ({})", words(&cited.value), cited.citation),
        Err(why) => format!("unknown: {ask} ({why})"),
    }
}

fn minutes(time: &Time) -> String {
    format!("{:.0} min", (time.count(unit::MIN) - 1e-9).ceil())
}

fn metres_up(length: &Length) -> String {
    format!("{:.0} m", (length.count(unit::M) - 1e-9).ceil())
}

fn metres_down(length: &Length) -> String {
    format!("{:.0} m", (length.count(unit::M) + 1e-9).floor())
}
