//! Turns: how many searches run at once. The others wait, and too many are refused, so that whoever
//! opens a page that needs no search is not kept waiting by those who do.

use std::{
    num::NonZeroUsize,
    sync::{Condvar, Mutex, MutexGuard, PoisonError},
    thread,
};

use crate::problem::Failure;

/// Searches that may wait. Ours: each takes about a second, and nobody waits for more than some.
const WAITING: usize = 8;

/// Hands out turns.
#[derive(Debug)]
pub(crate) struct Turns {
    state: Mutex<State>,
    freed: Condvar,
    most: usize,
}

#[derive(Debug, Default)]
struct State {
    running: usize,
    waiting: usize,
}

/// A turn; the next may begin when it is dropped.
#[derive(Debug)]
pub(crate) struct Turn<'a>(&'a Turns);

impl Default for Turns {
    /// Half of the machine, so that the other half answers.
    fn default() -> Self {
        let all = thread::available_parallelism().map_or(1, NonZeroUsize::get);
        Self::of((all / 2).max(1))
    }
}

impl Turns {
    fn of(most: usize) -> Self {
        Self { state: Mutex::default(), freed: Condvar::new(), most }
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Waits for a turn.
    pub(crate) fn take(&self) -> Result<Turn<'_>, Failure> {
        let mut state = self.state();
        if state.running >= self.most {
            if state.waiting >= WAITING {
                let help = "wait some seconds, then open the page again";
                return Err(Failure::busy("too many searches run already", help));
            }
            state.waiting += 1;
            while state.running >= self.most {
                state = self.freed.wait(state).unwrap_or_else(PoisonError::into_inner);
            }
            state.waiting -= 1;
        }
        state.running += 1;
        Ok(Turn(self))
    }
}

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        self.0.state().running -= 1;
        self.0.freed.notify_one();
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    #[test]
    fn no_more_run_at_once_than_may_and_all_get_their_turn() {
        let turns = Turns::of(2);
        let (running, most, done) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
        thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    let _turn = turns.take().unwrap();
                    most.fetch_max(running.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
                    thread::yield_now();
                    running.fetch_sub(1, Ordering::SeqCst);
                    done.fetch_add(1, Ordering::SeqCst);
                });
            }
        });
        assert_eq!(done.into_inner(), 8);
        assert!(most.into_inner() <= 2);
    }

    #[test]
    fn who_finds_too_many_waiting_is_refused_at_once() {
        let turns = Turns::of(1);
        let first = turns.take().unwrap();
        thread::scope(|scope| {
            for _ in 0..WAITING {
                scope.spawn(|| turns.take().map(drop).unwrap());
            }
            while turns.state().waiting < WAITING {
                thread::yield_now();
            }
            assert!(turns.take().unwrap_err().is_busy());
            drop(first);
        });
        assert!(turns.take().is_ok(), "a turn that was over is free again");
    }
}
