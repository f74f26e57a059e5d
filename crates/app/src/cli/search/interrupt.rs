//! Ctrl-C while a search runs: the best so far is the answer.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use signal_hook::{consts::SIGINT, flag};

/// Whether somebody asked to stop. A second time ends the program at once.
pub(super) struct Interrupt(Arc<AtomicBool>);

impl Interrupt {
    /// Watches from now on. Where that cannot be, the program ends as ever.
    pub(super) fn watch() -> Self {
        let asked = Arc::new(AtomicBool::new(false));
        let _ends_on_the_second =
            flag::register_conditional_shutdown(SIGINT, 130, Arc::clone(&asked));
        let _watched = flag::register(SIGINT, Arc::clone(&asked));
        Self(asked)
    }

    /// True once somebody asked.
    pub(super) fn came(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}
