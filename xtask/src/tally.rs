//! The count of tests, read from the lines that the test programs print.

use std::fmt;

/// Tests summed over every test program of a run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Tally {
    programs: u32,
    passed: u32,
    failed: u32,
    ignored: u32,
}

impl Tally {
    /// Takes one line of output; only `test result:` lines count.
    pub(crate) fn read(&mut self, line: &str) {
        let Some(result) = line.trim().strip_prefix("test result: ") else { return };
        self.programs += 1;
        // `ok. 12 passed; 0 failed; 1 ignored; ...`
        for part in result.split(['.', ';']) {
            match part.trim().split_once(' ') {
                Some((count, "passed")) => self.passed += count.parse().unwrap_or(0),
                Some((count, "failed")) => self.failed += count.parse().unwrap_or(0),
                Some((count, "ignored")) => self.ignored += count.parse().unwrap_or(0),
                _ => {}
            }
        }
    }

    /// True when nothing ran: a suite that finds no test proves nothing.
    pub(crate) fn is_empty(self) -> bool {
        self.passed + self.failed == 0
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { programs, passed, failed, ignored } = self;
        write!(f, "{passed} tests passed, {failed} failed, {ignored} ignored, {programs} programs")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_the_result_lines_and_nothing_else() {
        let mut tally = Tally::default();
        for line in [
            "running 14 tests",
            "test air::tests::x ... ok",
            "test result: ok. 12 passed; 0 failed; 2 ignored; 0 measured; finished in 0.05s",
            "   Doc-tests stillprop_calc",
            "test result: FAILED. 4 passed; 1 failed; 0 ignored; finished in 1.00s",
            "the words test result: ok. 99 passed in the middle of a line",
        ] {
            tally.read(line);
        }
        assert_eq!(tally, Tally { programs: 2, passed: 16, failed: 1, ignored: 2 });
        assert!(!tally.is_empty());
        assert!(Tally::default().is_empty());
    }
}
