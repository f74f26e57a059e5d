//! `cargo xtask check`: every check of the project, in the order that fails soonest.

use std::{
    io::{BufRead, BufReader},
    process::Stdio,
    time::{Duration, Instant},
};

use crate::{browser, live, repo, schemas, tally::Tally, tidy, validation};

/// One check: its name, the command that runs it alone, and what it does.
struct Step {
    name: &'static str,
    alone: &'static str,
    run: fn() -> Result<String, String>,
}

const STEPS: &[Step] = &[
    Step { name: "format", alone: "cargo fmt --all --check", run: format },
    Step {
        name: "lints",
        alone: "cargo clippy --workspace --all-targets -- -D warnings",
        run: lints,
    },
    Step { name: "tests", alone: "cargo test --workspace", run: tests },
    Step {
        name: "docs",
        alone: "RUSTDOCFLAGS='-D warnings' cargo doc --workspace --no-deps",
        run: docs,
    },
    Step { name: "tidy", alone: "cargo xtask tidy", run: tidy::run },
    Step {
        name: "validation",
        alone: "cargo xtask validation --check",
        run: || validation::run(validation::Page::Compare),
    },
    Step {
        name: "schemas",
        alone: "cargo xtask schemas --check",
        run: || schemas::run(schemas::Files::Compare),
    },
    Step { name: "live", alone: "cargo xtask live", run: live::run },
    Step { name: "browser", alone: "cargo xtask browser", run: browser::run },
];

/// Runs the steps in order and stops at the first that fails.
pub(crate) fn run() -> Result<String, String> {
    let mut summary = String::from("check: all steps hold\n");
    let mut total = Duration::ZERO;
    for step in STEPS {
        println!("== {} ==", step.name);
        let watch = Stopwatch::start();
        let said = (step.run)().map_err(|why| {
            format!("{why}\ncheck stopped at {}; alone: {}", step.name, step.alone)
        })?;
        let took = watch.read();
        total += took;
        // The last line of a step is its summary; the rest was for the moment.
        let last = said.trim_end().lines().last().unwrap_or_default();
        println!("{}", said.trim_end());
        summary += &format!("  {:<12}{:>7.1} s  {last}\n", step.name, took.as_secs_f64());
    }
    Ok(format!("\n{summary}  {:<12}{:>7.1} s", "together", total.as_secs_f64()))
}

/// Measures how long a step takes; nothing else in the project reads a clock like this.
struct Stopwatch(Instant);

impl Stopwatch {
    #[expect(clippy::disallowed_methods, reason = "a person wants to know which step is slow")]
    fn start() -> Self {
        Self(Instant::now())
    }

    fn read(&self) -> Duration {
        self.0.elapsed()
    }
}

fn format() -> Result<String, String> {
    repo::show(&mut repo::cargo(&["fmt", "--all", "--check"]))?;
    Ok("every file is formatted".into())
}

fn lints() -> Result<String, String> {
    let args = ["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"];
    repo::show(&mut repo::cargo(&args))?;
    Ok("no warning".into())
}

/// Unit, integration and documentation tests, counted while their output goes by.
fn tests() -> Result<String, String> {
    let mut command = repo::cargo(&["test", "--workspace"]);
    let mut child =
        command.stdout(Stdio::piped()).spawn().map_err(|error| format!("cargo test: {error}"))?;
    let mut tally = Tally::default();
    if let Some(stdout) = child.stdout.take() {
        for line in BufReader::new(stdout).lines() {
            let line = line.map_err(|error| format!("cargo test: {error}"))?;
            println!("{line}");
            tally.read(&line);
        }
    }
    let status = child.wait().map_err(|error| format!("cargo test: {error}"))?;
    if !status.success() {
        return Err(format!("cargo test: {status}; {tally}"));
    }
    if tally.is_empty() {
        return Err("cargo test ran no test at all".into());
    }
    Ok(tally.to_string())
}

fn docs() -> Result<String, String> {
    let mut command = repo::cargo(&["doc", "--workspace", "--no-deps"]);
    repo::show(command.env("RUSTDOCFLAGS", "-D warnings"))?;
    Ok("no warning".into())
}
