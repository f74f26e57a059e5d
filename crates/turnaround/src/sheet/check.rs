//! Tries every order there is, and proves what must never be.
//!
//! # How
//!
//! From the beginning of the sheet, breadth first, through [`Sheet::apply`]: every task that
//! its guards allow, with its reading passed and not passed, every stop called in every state
//! in which it can be called, each step of a stop action, every pause and every return. Each
//! transition is held against every invariant. Breadth first, so the first transition that
//! breaks one ends a shortest bad order.
//!
//! # What is reduced
//!
//! A state is the flags, the tasks done and the step of the stop in force, and two states are
//! one only when all three are the same, with one exception: from the moment at which nothing
//! can keep the sheet from being stopped for good (a fire, or bad fuel in a tank), the tasks
//! done are forgotten. No task can be done any more (where a sheet does not bar every task, it
//! is not reduced), and neither an invariant nor a step of a stop action looks at them, so
//! nothing that follows can differ.
//!
//! After a fire nothing can be done at all, so such a state is not told from another: no
//! transition begins there.
//!
//! What keeps the number small beside that is the sheet: tanks are filled one after the other,
//! because one nozzle and one open cap at a time is the rule.
//!
//! # What is proven beside the invariants
//!
//! - from every state that is not stopped for good, the end can be reached;
//! - from every state in which a stop action is in force, it can be carried through, and the
//!   state after it is safe;
//!
//! Work broken off without a word is a pause: it puts nothing down, and nothing goes on before
//! somebody said of each thing that it is down.

use std::{
    collections::HashMap,
    hash::{BuildHasherDefault, Hasher},
};

use super::{
    flag::{Flag, Flags},
    invariant::{Before, INVARIANTS},
    machine::{Action, Sheet},
    state::{Done, State},
    stop::Stop,
};

/// More states than this, and the sheet counts as not proven.
const MOST_STATES: usize = 4_000_000;

/// What was tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Checked {
    /// States that can be reached.
    pub states: usize,
    /// Transitions between them.
    pub transitions: usize,
    /// States among them in which a stop action is in force.
    pub stopped: usize,
    /// States among them in which work is paused.
    pub paused: usize,
}

/// What is wrong with a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The id of the invariant that is broken, or `dead-end`, `unsafe-stop`, `too-large`.
    pub id: &'static str,
    /// In a sentence.
    pub sentence: &'static str,
    /// A shortest order of actions that leads there, each in words.
    pub order: Vec<String>,
}

/// One state as it was first reached.
struct Reached {
    state: State,
    from: usize,
    by: Action,
}

/// Hashes a state fast; no input of a person reaches it.
#[derive(Default)]
struct Mix(u64);

impl Hasher for Mix {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        // A whole array comes as its bytes: eight at a time.
        let (words, rest) = bytes.as_chunks::<8>();
        for word in words {
            self.write_u64(u64::from_ne_bytes(*word));
        }
        for &byte in rest {
            self.write_u64(u64::from(byte));
        }
    }

    fn write_u8(&mut self, value: u8) {
        self.write_u64(u64::from(value));
    }

    fn write_usize(&mut self, _: usize) {
        // The length of a fixed array tells nothing apart.
    }

    fn write_u64(&mut self, value: u64) {
        // Fibonacci hashing: an odd multiplier spreads, the rotation carries high bits down.
        self.0 = (self.0.rotate_left(29) ^ value).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

/// Tries every order.
///
/// # Errors
///
/// The first [`Trouble`] there is, with a shortest order that leads to it.
pub fn check(sheet: &Sheet) -> Result<Checked, Trouble> {
    let mut search = Search::of(sheet);
    search.run()?;
    search.ends()?;
    let count = |which: fn(&State) -> bool| {
        search.reached.iter().filter(|reached| which(&reached.state)).count()
    };
    Ok(Checked {
        states: search.reached.len(),
        transitions: search.edges.len(),
        stopped: count(|state| state.stop().is_some()),
        paused: count(|state| state.is(Flag::Paused)),
    })
}

struct Search<'a> {
    sheet: &'a Sheet,
    reached: Vec<Reached>,
    places: HashMap<State, usize, BuildHasherDefault<Mix>>,
    edges: Vec<Edge>,
}

/// A transition. Only what is done to come on counts as a way out: nobody may have to call a
/// stop, or to pause, in order to come to the end.
struct Edge {
    from: u32,
    to: u32,
    onward: bool,
}

impl<'a> Search<'a> {
    fn of(sheet: &'a Sheet) -> Self {
        let state = sheet.start();
        let mut places = HashMap::default();
        places.insert(state, 0);
        let first = Reached { state, from: 0, by: Action::Resume };
        Self { sheet, reached: vec![first], places, edges: Vec::new() }
    }

    fn run(&mut self) -> Result<(), Trouble> {
        let mut at = 0;
        while at < self.reached.len() {
            let state = self.reached[at].state;
            for action in self.sheet.actions(&state) {
                let Ok(next) = self.sheet.apply(&state, action) else { continue };
                self.judge(at, action, &next)?;
                self.note(at, action, self.essence(next))?;
            }
            at += 1;
        }
        Ok(())
    }

    fn judge(&self, at: usize, action: Action, next: &State) -> Result<(), Trouble> {
        let before = Before { sheet: self.sheet, state: &self.reached[at].state, action };
        for invariant in INVARIANTS {
            if !(invariant.keeps)(&before, next) {
                return Err(self.trouble(invariant.id, invariant.sentence, at, Some(action)));
            }
        }
        if let Action::Step(stop, _) = action
            && !next.is(stop.flag())
            && !safe(stop, next)
        {
            let sentence = "after a stop action nothing runs, nothing is open and nobody is aboard";
            return Err(self.trouble("unsafe-stop", sentence, at, Some(action)));
        }
        Ok(())
    }

    fn note(&mut self, at: usize, by: Action, next: State) -> Result<(), Trouble> {
        let to = match self.places.get(&next) {
            Some(&to) => to,
            None if self.reached.len() >= MOST_STATES => {
                let sentence = "there are too many orders to try them all";
                return Err(self.trouble("too-large", sentence, at, Some(by)));
            }
            None => {
                let to = self.reached.len();
                self.places.insert(next, to);
                self.reached.push(Reached { state: next, from: at, by });
                to
            }
        };
        let narrow = |place: usize| u32::try_from(place).unwrap_or(u32::MAX);
        let onward = !matches!(by, Action::Call(_) | Action::Pause);
        self.edges.push(Edge { from: narrow(at), to: narrow(to), onward });
        Ok(())
    }

    /// What still matters of a state: once a sheet will be stopped for good no task can be
    /// done any more, so which were done is forgotten.
    fn essence(&self, state: State) -> State {
        if state.is(Flag::Burnt) && self.sheet.actions(&state).is_empty() {
            let flags = Flags::of(&[Flag::Burnt, Flag::ForGood]);
            return State { flags, done: Done::NONE, step: 0 };
        }
        let over = state.is(Flag::ForGood) || doomed(&state);
        let barred = self.sheet.bars_every_task();
        if over && barred { State { done: Done::NONE, ..state } } else { state }
    }

    /// From every state that is not stopped for good the end can be reached, and every stop
    /// action can be carried through: walked backwards from where that is so.
    fn ends(&self) -> Result<(), Trouble> {
        let good = |state: &State| {
            self.sheet.ended(state) || (state.is(Flag::ForGood) && state.stop().is_none())
        };
        let mut into: Vec<Vec<u32>> = vec![Vec::new(); self.reached.len()];
        for edge in self.edges.iter().filter(|edge| edge.onward) {
            if let Some(into) = into.get_mut(edge.to as usize) {
                into.push(edge.from);
            }
        }
        let mut reaches = vec![false; self.reached.len()];
        // A sheet that is not stopped must come to its real end; only one that is stopped for
        // good may come to rest as it is.
        let mut open: Vec<usize> = Vec::new();
        for (place, reached) in self.reached.iter().enumerate() {
            if good(&reached.state) {
                reaches[place] = true;
                open.push(place);
            }
        }
        while let Some(place) = open.pop() {
            let lost = self.reached[place].state.is(Flag::ForGood);
            for &from in &into[place] {
                let from = from as usize;
                let was = &self.reached[from].state;
                // The way to "stopped for good" is a way out only for what is lost already.
                let out = !lost || was.is(Flag::ForGood) || doomed(was);
                if out && !reaches[from] {
                    reaches[from] = true;
                    open.push(from);
                }
            }
        }
        match reaches.iter().position(|reaches| !reaches) {
            None => Ok(()),
            Some(stuck) => {
                let sentence = "from every state that is not stopped for good the end is reached";
                Err(self.trouble("dead-end", sentence, stuck, None))
            }
        }
    }

    fn trouble(
        &self,
        id: &'static str,
        sentence: &'static str,
        at: usize,
        last: Option<Action>,
    ) -> Trouble {
        let mut order: Vec<String> = last.iter().map(|&last| self.sheet.title(last)).collect();
        let mut place = at;
        while place != 0 {
            let reached = &self.reached[place];
            order.push(self.sheet.title(reached.by));
            place = reached.from;
        }
        order.reverse();
        Trouble { id, sentence, order }
    }
}

/// Fire, and bad fuel in a tank, end a sheet; nothing else does.
fn doomed(state: &State) -> bool {
    state.is(Flag::Fire)
        || state.is(Flag::BadFuel) && state.flags.meets(Flags::of(&[Flag::FuelIn, Flag::TanksBad]))
}

/// What a state is after a stop action. After a fire nobody goes back for nozzle and cap;
/// while another stop is still in force, it comes to that.
fn safe(stop: Stop, state: &State) -> bool {
    let still = !state.flags.meets(Flags::of(&[
        Flag::PumpRuns,
        Flag::EngineRuns,
        Flag::Contact,
        Flag::AtPropeller,
    ]));
    let empty = !state.is(Flag::Aboard);
    let shut = !state.flags.meets(Flags::TAKING);
    match stop {
        Stop::Fire => still && empty && state.is(Flag::ForGood) && state.stop().is_none(),
        Stop::LostBond => !state.is(Flag::PumpRuns),
        Stop::Injury | Stop::Spill | Stop::WrongFuel => {
            still && empty && (shut || state.is(Flag::BondLost))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{
        super::{Facts, Fuelling, Someone, Start, fixture},
        *,
    };

    const PAGE: &str = include_str!("../../../../docs/runsheet.md");

    /// A row of the table in the page.
    fn row(name: &str, sheet: &Sheet) -> String {
        match check(sheet) {
            Ok(checked) => format!(
                "| {name} | {} | {} | {} | {} | {} |",
                sheet.tasks.len(),
                checked.states,
                checked.stopped,
                checked.paused,
                checked.transitions
            ),
            Err(trouble) => panic!("{name}: {trouble:#?}"),
        }
    }

    /// Prints the rows, and holds them against the page.
    fn prove(fuelling: Fuelling) {
        let rows: Vec<String> =
            fixture::all(fuelling).iter().map(|(name, sheet)| row(name, sheet)).collect();
        for row in &rows {
            println!("{row}");
        }
        for row in rows {
            assert!(PAGE.contains(&row), "docs/runsheet.md has other numbers than {row}");
        }
    }

    #[test]
    fn a_tanker_sheet_keeps_every_invariant_in_every_order() {
        prove(Fuelling::Tanker);
    }

    #[test]
    fn a_self_serve_sheet_keeps_every_invariant_in_every_order() {
        prove(Fuelling::SelfServe);
    }

    #[test]
    fn a_drum_sheet_keeps_every_invariant_in_every_order() {
        prove(Fuelling::Drum);
    }

    #[test]
    fn a_sheet_without_fuelling_keeps_every_invariant_in_every_order() {
        prove(Fuelling::None);
    }

    #[test]
    fn several_drums_are_tried_as_well() {
        let facts = fixture::two(fixture::facts(Fuelling::Drum, Start::Electric, 2, 2));
        let row = row("two drums into two tanks, starter, two", &fixture::sheet(&facts));
        println!("{row}");
        assert!(PAGE.contains(&row), "docs/runsheet.md has other numbers than {row}");
    }

    #[test]
    fn people_who_are_asked_and_told_are_tried_as_well() {
        for (name, start) in [("starter", Start::Electric), ("by hand", Start::Hand)] {
            let facts = fixture::two(fixture::facts(Fuelling::Drum, start, 2, 1));
            let sheet = fixture::sheet(&fixture::asking(facts));
            let row = row(&format!("drum, {name}, two, people asked and told"), &sheet);
            println!("{row}");
            assert!(PAGE.contains(&row), "docs/runsheet.md has other numbers than {row}");
        }
    }

    #[test]
    fn any_number_of_people_makes_no_more_states() {
        let one = fixture::facts(Fuelling::None, Start::Electric, 0, 0);
        let mut eight = one.clone();
        eight.riders =
            (0..8).map(|at| Someone { name: format!("guest {at}"), notes: Vec::new() }).collect();
        let states = |facts: &Facts| check(&fixture::sheet(facts)).unwrap().states;
        assert_eq!(states(&one), states(&eight));
    }

    #[test]
    fn the_page_has_every_invariant_with_its_sentence_and_source() {
        for invariant in INVARIANTS {
            let (id, sentence, source) = (invariant.id, invariant.sentence, invariant.source);
            let row = format!("| `{id}` | {sentence} | {source} |");
            assert!(PAGE.contains(&row), "docs/runsheet.md lacks:\n{row}");
        }
        let rows = PAGE.lines().filter(|line| line.starts_with("| `")).count();
        assert_eq!(rows, INVARIANTS.len());
    }
}
