//! How much work a search may do, and when it must stop.

/// Steps between two questions whether to stop.
const BETWEEN: u64 = 1 << 10;

/// A number of steps, and somebody who may say `stop` in between.
///
/// A search takes a step wherever it looks at something. When the budget is spent it hands on
/// the best it has and says so. Steps are counted, not timed, so that the same question has the
/// same answer on every machine.
pub struct Budget<'a> {
    most: u64,
    spent: u64,
    stopped: bool,
    should_stop: &'a mut dyn FnMut() -> bool,
}

impl<'a> Budget<'a> {
    /// At most `most` steps; `should_stop` is asked now and then.
    pub fn new(most: u64, should_stop: &'a mut dyn FnMut() -> bool) -> Self {
        Self { most, spent: 0, stopped: false, should_stop }
    }

    /// Takes a step; `false` when the search must end.
    pub fn step(&mut self) -> bool {
        if self.stopped {
            return false;
        }
        self.spent += 1;
        let asked = self.spent.is_multiple_of(BETWEEN) && (self.should_stop)();
        self.stopped = asked || self.spent > self.most;
        !self.stopped
    }

    /// True when the search was cut short.
    #[must_use]
    pub const fn stopped(&self) -> bool {
        self.stopped
    }

    /// Steps so far.
    #[must_use]
    pub const fn spent(&self) -> u64 {
        self.spent
    }
}

impl std::fmt::Debug for Budget<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Budget({} of {})", self.spent, self.most)
    }
}
