//! `cargo xtask bench`: how long the sums take, and the whole program beside another one.
//!
//! Times mean little on a machine one does not know, so the program is measured against
//! something everybody has, run by run in turn, and the answer is a ratio.

use std::{
    fmt::Write,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use crate::repo::{self, Profile};

/// Runs of each program, in turn.
const RUNS: usize = 60;
/// Runs before the first that counts, so that both programs are in memory.
const WARM_UP: usize = 5;
/// The program takes at most this part of the other's time.
const MOST_RATIO: f64 = 0.5;

/// The most that a median may be. \[us\]
const TARGETS_US: [(&str, f64); 2] = [("margins", 5.0), ("assess", 200.0)];

/// A benchmark and its median.
#[derive(Clone, Debug, PartialEq)]
struct Timed {
    /// `margins / ready`.
    name: String,
    median_us: f64,
}

/// Runs everything and prints one table; fails where a target is missed.
pub(crate) fn run() -> Result<String, String> {
    let mut benches = repo::cargo(&["bench", "--package", "stillprop-turnaround"]);
    let printed = repo::output(benches.args(["--bench", "turnaround"]))?;
    let timed = read(&printed);
    for (name, _) in TARGETS_US {
        if !timed.iter().any(|timed| timed.is_of(name)) {
            return Err(format!("{printed}\nno benchmark is called {name}"));
        }
    }
    let (ours, other) = programs()?;
    let mut missed = 0;
    let mut table = String::from("| what | median | target | |\n|---|---|---|---|\n");
    for timed in &timed {
        let most = TARGETS_US.iter().find(|(name, _)| timed.is_of(name)).map(|target| target.1);
        let verdict = verdict(timed.median_us, most, &mut missed);
        let target = most.map_or(String::new(), |most| format!("under {most} us"));
        let _ = writeln!(
            table,
            "| {} | {:.2} us | {target} | {verdict} |",
            timed.name, timed.median_us
        );
    }
    let ratio = ours.as_secs_f64() / other.as_secs_f64();
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    let verdict = verdict(ratio, Some(MOST_RATIO), &mut missed);
    let _ = writeln!(table, "| `stillprop ready demo` | {:.2} ms | | |", ms(ours));
    let _ = writeln!(table, "| `python3 -c 'import json'` | {:.2} ms | | |", ms(other));
    let _ = writeln!(
        table,
        "| the first as part of the second | {ratio:.2} | at most {MOST_RATIO} | {verdict} |"
    );
    if missed > 0 {
        return Err(format!("{table}\nbench: {missed} missed; is the machine busy?"));
    }
    Ok(format!("{table}\n{RUNS} runs of each program in turn; medians"))
}

/// Counts what is missed, and says so.
fn verdict(found: f64, most: Option<f64>, missed: &mut usize) -> &'static str {
    match most {
        None => "",
        Some(most) if found <= most => "met",
        Some(_) => {
            *missed += 1;
            "MISSED"
        }
    }
}

impl Timed {
    fn is_of(&self, benchmark: &str) -> bool {
        self.name.split(" / ").next() == Some(benchmark)
    }
}

/// Reads the tree that the benchmarks print: one line each, names by depth, the columns
/// fastest, slowest, median, mean, samples, iterations.
fn read(printed: &str) -> Vec<Timed> {
    let mut timed = Vec::new();
    let mut group = String::new();
    for line in printed.lines() {
        let Some(at) = line.find(['├', '╰']) else { continue };
        let nested = line[..at].contains('│') || line[..at].ends_with("   ");
        let row = line[at..].trim_start_matches(['├', '╰', '─', ' ']);
        let name = row.split_whitespace().next().unwrap_or_default();
        let columns: Vec<&str> = row.split('│').map(str::trim).collect();
        let median = columns.get(2).copied().and_then(microseconds);
        let name = if nested { format!("{group} / {name}") } else { name.to_owned() };
        match median {
            Some(median_us) => timed.push(Timed { name, median_us }),
            None => group = name,
        }
    }
    timed
}

/// `1.234 µs`, in microseconds.
fn microseconds(text: &str) -> Option<f64> {
    let (number, unit) = text.split_once(' ')?;
    let scale = match unit {
        "ns" => 1e-3,
        "µs" | "us" => 1.0,
        "ms" => 1e3,
        "s" => 1e6,
        _ => return None,
    };
    Some(number.parse::<f64>().ok()? * scale)
}

/// The median wall time of our program and of the other, run in turn.
fn programs() -> Result<(Duration, Duration), String> {
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

    const PRINTED: &str = "\
Timer precision: 20 ns
turnaround      fastest       │ slowest       │ median        │ mean          │ samples │ iters
├─ assess                     │               │               │               │         │
│  ├─ mid-burn  52.1 µs       │ 90.2 µs       │ 54.25 µs      │ 55.1 µs       │ 100     │ 100
│  ╰─ ready     61.3 µs       │ 99.9 µs       │ 63.5 µs       │ 64.0 µs       │ 100     │ 100
├─ rules        1.9 ms        │ 3.2 ms        │ 2.125 ms      │ 2.2 ms        │ 100     │ 100
╰─ margins                    │               │               │               │         │
   ╰─ ready     812.5 ns      │ 1.2 µs        │ 850.5 ns      │ 861 ns        │ 100     │ 800
";

    #[test]
    fn medians_are_read_with_the_group_they_are_in() {
        let read = read(PRINTED);
        let rows: Vec<_> = read.iter().map(|t| (t.name.as_str(), t.median_us)).collect();
        let wanted = [
            ("assess / mid-burn", 54.25),
            ("assess / ready", 63.5),
            ("rules", 2125.0),
            ("margins / ready", 0.8505),
        ];
        assert_eq!(rows, wanted);
        assert!(read[0].is_of("assess") && !read[0].is_of("ready"));
    }

    #[test]
    fn what_is_no_time_is_not_read() {
        for text in ["", "median", "1.2", "1.2 kB", "x µs"] {
            assert_eq!(microseconds(text), None, "{text}");
        }
        assert_eq!(microseconds("1.5 s"), Some(1.5e6));
    }

    #[test]
    fn the_median_does_not_heed_an_outlier() {
        let times = |all: &[u64]| all.iter().map(|ms| Duration::from_millis(*ms)).collect();
        assert_eq!(median(times(&[900, 1, 3])), Some(Duration::from_millis(3)));
        assert_eq!(median(times(&[900, 1, 3, 5])), Some(Duration::from_millis(4)));
        assert_eq!(median(Vec::new()), None);
    }

    #[test]
    fn both_sides_of_a_target() {
        let mut missed = 0;
        assert_eq!(verdict(5.0, Some(5.0), &mut missed), "met");
        assert_eq!((verdict(5.1, Some(5.0), &mut missed), missed), ("MISSED", 1));
        assert_eq!(verdict(f64::NAN, Some(5.0), &mut missed), "MISSED");
        assert_eq!(verdict(9.0, None, &mut missed), "");
    }
}
