//! The whole program beside another one, run by run in turn.

use std::{
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use super::Figure;
use crate::repo::{self, Profile};

/// Runs of each program, in turn.
pub(super) const RUNS: usize = 60;
/// Runs before the first that counts, so that both programs are in memory.
const WARM_UP: usize = 5;

/// The medians of both and the one as part of the other.
pub(super) fn figures() -> Result<Vec<Figure>, String> {
    let (ours, other) = run()?;
    let us = |time: Duration| time.as_secs_f64() * 1e6;
    Ok(vec![
        Figure::time("stillprop ready demo", us(ours)),
        Figure::time("python3 -c 'import json'", us(other)),
        Figure::share("the first as part of the second", ours.as_secs_f64() / other.as_secs_f64()),
    ])
}

/// The median wall time of our program and of the other, run in turn.
fn run() -> Result<(Duration, Duration), String> {
    let ours = repo::program(Profile::Release)?;
    let python = python()?;
    let (mut us, mut them) = (Vec::new(), Vec::new());
    for round in 0..WARM_UP + RUNS {
        let our = wall_time(&ours, &["ready", "demo"])?;
        let their = wall_time(&python, &["-c", "import json"])?;
        if round >= WARM_UP {
            us.push(our);
            them.push(their);
        }
    }
    match (median(us), median(them)) {
        (Some(us), Some(them)) => Ok((us, them)),
        _ => Err("no program was run".into()),
    }
}

/// Papers of the demonstration, and how each is asked for.
const PAPERS: [(&str, &[&str]); 9] = [
    ("load", &["load", "demo"]),
    ("fuel", &["fuel", "demo"]),
    ("sheet", &["sheet", "demo"]),
    ("briefing in Arabic", &["briefing", "demo", "--language", "ar"]),
    ("apron", &["apron", "demo"]),
    ("record", &["record", "demo", "--ledger", "demo"]),
    ("spill", &["spill", "demo/spill"]),
    ("tags of a place", &["tags", "Nessow Top", "--ledger", "demo"]),
    ("register", &["register", "2026-11", "--ledger", "demo"]),
];
/// Runs of each paper.
const PRINTS: usize = 15;

/// The median wall time of each paper; fails when one is not the same every time.
pub(super) fn papers() -> Result<Vec<Figure>, String> {
    let ours = repo::program(Profile::Release)?;
    let mut figures = Vec::new();
    for (name, args) in PAPERS {
        let out = std::env::temp_dir().join(format!("stillprop-bench-{}.pdf", std::process::id()));
        let path = out.to_string_lossy().into_owned();
        let (mut times, mut first) = (Vec::new(), None);
        for _ in 0..PRINTS {
            times.push(wall_time(&ours, &[&["print"], args, &["-o", &path]].concat())?);
            let bytes = std::fs::read(&out).map_err(|error| format!("{path}: {error}"))?;
            if first.get_or_insert_with(|| bytes.clone()) != &bytes {
                return Err(format!("the paper {name} is not the same twice"));
            }
        }
        std::fs::remove_file(&out).map_err(|error| format!("{path}: {error}"))?;
        let time = median(times).ok_or("no paper was printed")?;
        figures.push(Figure::time(format!("print / {name}"), time.as_secs_f64() * 1e6));
    }
    Ok(figures)
}

/// The interpreter itself: `python3` may be a script that looks for it, which takes longer
/// than the interpreter does.
fn python() -> Result<PathBuf, String> {
    let ask = ["-c", "import sys; print(sys.executable)"];
    let said = repo::output(Command::new("python3").args(ask))?;
    Ok(PathBuf::from(said.trim_end()))
}

#[expect(clippy::disallowed_methods, reason = "this is what a benchmark does")]
fn wall_time(program: &Path, args: &[&str]) -> Result<Duration, String> {
    let mut command = Command::new(program);
    // Away from the work tree, so that the built-in demonstration is what is assessed.
    command.args(args).current_dir(std::env::temp_dir()).stdout(Stdio::null());
    let start = Instant::now();
    let status = command.status().map_err(|error| format!("{}: {error}", program.display()))?;
    let took = start.elapsed();
    if status.success() { Ok(took) } else { Err(format!("{}: {status}", program.display())) }
}

/// The middle one, or the mean of the two in the middle.
fn median(mut times: Vec<Duration>) -> Option<Duration> {
    times.sort_unstable();
    let upper = *times.get(times.len() / 2)?;
    let lower = *times.get((times.len() - 1) / 2)?;
    Some((lower + upper) / 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_does_not_heed_an_outlier() {
        let times = |all: &[u64]| all.iter().map(|ms| Duration::from_millis(*ms)).collect();
        assert_eq!(median(times(&[900, 1, 3])), Some(Duration::from_millis(3)));
        assert_eq!(median(times(&[900, 1, 3, 5])), Some(Duration::from_millis(4)));
        assert_eq!(median(Vec::new()), None);
    }
}
