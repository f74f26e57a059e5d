//! Odds beside the same model in NumPy: a million draws of each, run by run in turn.

use std::fs;

use super::{Figure, printed};
use crate::{live, repo};

/// Runs of each, in turn.
const RUNS: usize = 5;
const DRAWS: &str = "1000000";
/// Threads of ours. NumPy has one for what this model does.
const THREADS: &str = "2";
const THEIRS: &str = "tests/live/odds_speed.py";

/// The medians of both, and how often ours fits into theirs.
pub(super) fn figures() -> Result<Vec<Figure>, String> {
    let libraries = live::libraries(&repo::target()?)?;
    let file = repo::target()?.join("odds-speed.txt");
    let (mut us, mut them) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let mut ours = repo::cargo(&["run", "--quiet", "--release", "--package", "stillprop-plan"]);
        ours.args(["--example", "odds_speed", "--", DRAWS, THREADS]);
        fs::write(&file, repo::output(&mut ours)?)
            .map_err(|error| format!("{}: {error}", file.display()))?;
        // Fast and wrong would be no feat: the script fails where a chance of one is not that of the
        // other.
        let said = repo::output(libraries.python().arg(THEIRS).arg(&file).arg(DRAWS))?;
        us.push(named(&said, "ours")?);
        them.push(named(&said, "numpy")?);
    }
    let (us, them) = (super::shapes::median(us), super::shapes::median(them));
    Ok(vec![
        Figure::time("a million draws, two threads", us),
        Figure::time("the same in NumPy", them),
        Figure::share("NumPy's time by ours", them / us),
    ])
}

fn named(said: &str, name: &str) -> Result<f64, String> {
    let found = printed::lines(said).into_iter().find(|figure| figure.name == name);
    found.map(|figure| figure.value).ok_or_else(|| format!("no time is called `{name}`: {said}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_times_are_read_and_a_missing_one_is_an_error() {
        let said = "chances  40 compared, worst 1.3 deviations apart\n\
            numpy  0.900 s  for 1000000 draws\nours   0.080 s  for 1000000 draws\nratio  11.2\n";
        assert!((named(said, "numpy").unwrap() - 9e5).abs() < 1e-6);
        assert!((named(said, "ours").unwrap() - 8e4).abs() < 1e-6);
        assert!(named("numpy  fast", "numpy").is_err());
    }
}
