//! Where a sheet stands: flags, tasks done, and how far a stop action has gone. Small and
//! `Copy`, because a checker keeps a great many.

use super::{
    flag::{Flag, Flags},
    stop::Stop,
};

/// Most tasks a sheet may have.
pub const MOST_TASKS: usize = 256;

/// A set of tasks, by their place on the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Done([u64; MOST_TASKS / 64]);

impl Done {
    /// None.
    pub const NONE: Self = Self([0; MOST_TASKS / 64]);

    /// Whether the task is among them.
    #[must_use]
    pub fn has(&self, task: usize) -> bool {
        self.0.get(task / 64).is_some_and(|word| word >> (task % 64) & 1 == 1)
    }

    /// Adds a task.
    pub fn insert(&mut self, task: usize) {
        if let Some(word) = self.0.get_mut(task / 64) {
            *word |= 1 << (task % 64);
        }
    }

    /// Takes a task out.
    pub fn remove(&mut self, task: usize) {
        if let Some(word) = self.0.get_mut(task / 64) {
            *word &= !(1 << (task % 64));
        }
    }

    /// Whether all of `other` are among them.
    #[must_use]
    pub fn holds(&self, other: &Self) -> bool {
        // Written out: the checker asks this a great many times.
        let ([a, b, c, d], [w, x, y, z]) = (self.0, other.0);
        a & w == w && b & x == x && c & y == y && d & z == z
    }

    /// Whether any of `other` is among them.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        let ([a, b, c, d], [w, x, y, z]) = (self.0, other.0);
        a & w != 0 || b & x != 0 || c & y != 0 || d & z != 0
    }

    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }
}

/// Where a sheet stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct State {
    /// What is so.
    pub flags: Flags,
    /// Tasks that are done, and not undone by what came after.
    pub done: Done,
    /// The next step of the stop action in force.
    pub step: u8,
}

impl State {
    /// The stop action in force: the gravest that was called and is not over. After a fire
    /// nobody goes back for what lay open before it: none is in force any more.
    #[must_use]
    pub fn stop(&self) -> Option<Stop> {
        if self.is(Flag::Burnt) || !self.flags.meets(Flags::STOPS) {
            return None;
        }
        Stop::ALL.iter().copied().find(|stop| self.flags.has(stop.flag()))
    }

    /// Whether it is so.
    #[must_use]
    pub const fn is(&self, flag: Flag) -> bool {
        self.flags.has(flag)
    }
}
