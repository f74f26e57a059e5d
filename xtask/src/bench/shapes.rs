//! All distances of one position on an apron, beside GEOS through shapely, run by run in turn.

use std::process::Command;

use super::{Figure, printed};
use crate::{live, repo};

/// Runs of each, in turn.
const RUNS: usize = 7;
const OURS: &[&str] =
    &["run", "--quiet", "--release", "--package", "stillprop-calc", "--example", "apron_speed"];
const THEIRS: &str = "tests/live/apron_speed.py";
const APRON: &str = "crates/calc/benches/apron.txt";

/// The medians of both and the one as part of the other.
pub(super) fn figures() -> Result<Vec<Figure>, String> {
    let python = live::libraries(&repo::target()?)?;
    let (mut us, mut them) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let our = Measured::of(&mut repo::cargo(OURS))?;
        let their = Measured::of(python.python().args([THEIRS, APRON]))?;
        // Fast and wrong would be no feat: both must have measured the same distances.
        if (our.sum - their.sum).abs() > 1e-6 {
            return Err(format!("{} m and {} m: not the same distances", our.sum, their.sum));
        }
        us.push(our.us);
        them.push(their.us);
    }
    let (us, them) = (median(us), median(them));
    Ok(vec![
        Figure::time("all distances of one position", us),
        Figure::time("shapely, the fastest form it has", them),
        Figure::share("ours as part of shapely's", us / them),
    ])
}

/// What one run printed.
struct Measured {
    us: f64,
    sum: f64,
}

impl Measured {
    fn of(command: &mut Command) -> Result<Self, String> {
        let said = repo::output(command)?;
        match printed::lines(&said).as_slice() {
            [time, sum] => Ok(Self { us: time.value, sum: sum.value }),
            _ => Err(format!("not a time and a sum: {said}")),
        }
    }
}

pub(super) fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_of_the_runs_counts() {
        assert!((median(vec![9.0, 1.0, 2.0]) - 2.0).abs() < 1e-12);
        assert!(median(Vec::new()).is_nan());
    }
}
