//! What was searched for in a turnaround, kept beside it while its documents are the same.
//!
//! Every search is bounded in steps, not in time, so that the same question has the same answer
//! wherever it is asked.

use std::{
    sync::{
        Arc, Mutex, OnceLock, PoisonError,
        atomic::{AtomicBool, Ordering},
        mpsc,
    },
    thread,
    time::Duration,
};

use stillprop_plan::{
    ways_out::WaysOut,
    window::{Window, window},
};

use super::turns::Turns;
use crate::{
    problem::Failure,
    search::{
        fit::{self, Fitted, Wishes},
        odds::{self, Drawn, Draws},
        park::{self, Parking},
        ways_out,
    },
    serve::shop::Worked,
};

/// Steps of a fit, boxes of an apron and draws, for a page. Ours: about a second of each on a slow
/// machine.
const STEPS: u64 = 3_000_000;
const BOXES: usize = 4_000;
const DRAWS: Draws = Draws { count: 12_288, seed: 1, threads: 1 };
/// How long the page of a stop waits for its ways out. Ours.
const SOON: Duration = Duration::from_millis(150);
/// Questions of a fit that are kept for one turnaround.
const QUESTIONS: usize = 8;

/// A question of a fit with its answer.
type Asked = (Wishes, Result<Arc<Fitted>, Failure>);

/// What was found, each when somebody first asked.
#[derive(Debug, Default)]
pub(crate) struct Searched {
    ways: OnceLock<Result<WaysOut, Failure>>,
    /// Somebody seeks them beside the pages.
    sought: AtomicBool,
    window: OnceLock<Window>,
    odds: OnceLock<Drawn>,
    parking: OnceLock<Result<Parking, Failure>>,
    fits: Mutex<Vec<Asked>>,
}

/// What is kept, or what is found when it is this search's turn.
fn kept<'a, T>(
    cell: &'a OnceLock<T>,
    turns: &Turns,
    find: impl FnOnce() -> T,
) -> Result<&'a T, Failure> {
    if let Some(found) = cell.get() {
        return Ok(found);
    }
    let _turn = turns.take()?;
    Ok(cell.get_or_init(find))
}

impl Worked {
    /// The smallest changes that mend it.
    pub(crate) fn ways_out(&self, turns: &Turns) -> Result<&WaysOut, Failure> {
        let find = || ways_out::run(&self.source, &self.stage, &self.units, None);
        kept(&self.searched.ways, turns, find)?.as_ref().map_err(Clone::clone)
    }

    /// The same where it is known, or comes in no time. The page of a stop asks so: whoever comes
    /// first waits for [`SOON`] at most, and nobody after.
    pub(crate) fn ways_out_soon(self: &Arc<Self>, turns: &Arc<Turns>) -> Option<&WaysOut> {
        let (ways, sought) = (&self.searched.ways, &self.searched.sought);
        if ways.get().is_none() && !sought.swap(true, Ordering::AcqRel) {
            let (worked, turns) = (Arc::clone(self), Arc::clone(turns));
            let (done, soon) = mpsc::channel();
            let seek = move || {
                let found = worked.ways_out(&turns).map(drop);
                // Where too many search, the next who comes tries again.
                worked.searched.sought.store(found.is_ok(), Ordering::Release);
                let _nobody_waits = done.send(());
            };
            if thread::Builder::new().spawn(seek).is_ok() {
                let _late = soon.recv_timeout(SOON);
            }
        }
        self.searched.ways.get()?.as_ref().ok()
    }

    /// When every limit holds.
    pub(crate) fn window(&self, turns: &Turns) -> Result<&Window, Failure> {
        kept(&self.searched.window, turns, || window(&self.stage, &self.choice, &self.units))
    }

    /// How likely every limit holds.
    pub(crate) fn odds(&self, turns: &Turns) -> Result<&Drawn, Failure> {
        let draw = || odds::run(&self.stage, &self.choice, &self.units, DRAWS, &|| false);
        kept(&self.searched.odds, turns, draw)
    }

    /// Where it stands with the most room.
    pub(crate) fn parking(&self, turns: &Turns) -> Result<&Parking, Failure> {
        let find = || park::run(&self.stage, &self.choice, BOXES, || false);
        kept(&self.searched.parking, turns, find)?.as_ref().map_err(Clone::clone)
    }

    /// Who sits where, what lies where, how much fuel in which tank. The last questions are kept.
    pub(crate) fn fitted(&self, turns: &Turns, wishes: &Wishes) -> Result<Arc<Fitted>, Failure> {
        let fits = || self.searched.fits.lock().unwrap_or_else(PoisonError::into_inner);
        let known = || fits().iter().find(|(asked, _)| asked == wishes).map(|(_, it)| it.clone());
        if let Some(known) = known() {
            return known;
        }
        let _turn = turns.take()?;
        // Somebody else may have asked the same while this waited.
        if let Some(known) = known() {
            return known;
        }
        let found = fit::run(&self.stage, &self.choice, wishes, STEPS, &mut || false).map(Arc::new);
        let mut fits = fits();
        if fits.len() >= QUESTIONS {
            drop(fits.remove(0));
        }
        fits.push((wishes.clone(), found.clone()));
        found
    }
}
