//! `cargo xtask live`: the program against general-purpose libraries.
//!
//! The libraries are Python packages, installed under `target/`. Where they cannot be had
//! (no network, no pip), the values they gave when they were last asked are used instead;
//! either way the same script compares them with what the program prints, and says which
//! of the two it did. A wrong value fails in both.

use std::{
    fs,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use crate::{
    bench::planners,
    repo::{self, Profile},
};

const FOLDER: &str = "tests/live";
const REQUIREMENTS: &str = "tests/live/requirements.txt";
const SCRIPT: &str = "tests/live/crosscheck.py";

/// Cases of each planner that are solved again; `bench` solves more.
const SOME_PLANS: u32 = 30;

/// Asks each library for its name, so that a package that will not load counts as missing.
const TRIAL: &str =
    "import skyfield, skyfield_data, numpy, CoolProp, geographiclib, icalendar, shapely, highspy";

/// A Python that can load the libraries.
pub(crate) struct Libraries {
    python: PathBuf,
    /// Where the packages are, when not beside `python`.
    packages: Option<PathBuf>,
}

/// Compares, and returns the script's own summary.
pub(crate) fn run() -> Result<String, String> {
    repo::output(python3().arg("--version"))
        .map_err(|why| format!("live needs python3, with or without its libraries: {why}"))?;
    // The comparison is code too: it must notice a miss before it may find none.
    repo::output(python3().args(["-m", "unittest", "discover", "--quiet", "-s", FOLDER]))?;
    let libraries = libraries(&repo::target()?);
    let program = repo::program(Profile::Release)?;
    // Optima are not kept: without the solver the tests of `plan` try every arrangement.
    if let Ok(libraries) = &libraries {
        print!("{}", planners::compared(libraries, SOME_PLANS)?);
    }
    let mut script = match &libraries {
        Ok(libraries) => libraries.python(),
        Err(why) => {
            eprintln!("live: THE LIBRARIES ARE NOT TO BE HAD: {}", why.trim_end());
            eprintln!("live: comparing with the committed values instead");
            python3()
        }
    };
    script.arg(SCRIPT).arg(&program);
    if libraries.is_err() {
        script.arg("--committed");
    }
    follow(&mut script)
}

impl Libraries {
    pub(crate) fn python(&self) -> Command {
        let mut command = Command::new(&self.python);
        command.current_dir(repo::root());
        if let Some(packages) = &self.packages {
            command.env("PYTHONPATH", packages);
        }
        command
    }
}

fn python3() -> Command {
    let mut command = Command::new("python3");
    command.current_dir(repo::root());
    command
}

/// The libraries, installed now or by an earlier run; `Err` says why they are not to be had.
pub(crate) fn libraries(target: &Path) -> Result<Libraries, String> {
    let venv = target.join("live-venv");
    match in_venv(&venv) {
        Ok(libraries) => Ok(libraries),
        Err(first) => {
            // Some systems ship python3 without the part that makes a venv, but with pip.
            let beside = target.join("live-packages");
            in_folder(&beside).map_err(|second| format!("{first}\n{second}"))
        }
    }
}

fn in_venv(venv: &Path) -> Result<Libraries, String> {
    let bin = if cfg!(windows) { "Scripts" } else { "bin" };
    let libraries = Libraries { python: venv.join(bin).join("python"), packages: None };
    install(&libraries, venv, || {
        repo::output(python3().args(["-m", "venv", "--clear"]).arg(venv))?;
        pip(libraries.python())
    })?;
    Ok(libraries)
}

fn in_folder(folder: &Path) -> Result<Libraries, String> {
    let libraries = Libraries { python: "python3".into(), packages: Some(folder.into()) };
    install(&libraries, folder, || {
        let mut python = python3();
        // The folder is not on the path yet, or pip would find its own half-made packages.
        python.env_remove("PYTHONPATH");
        pip_into(python, Some(folder))
    })?;
    Ok(libraries)
}

/// Runs `how` unless the same requirements are already in `folder`; then tries the packages.
fn install(
    libraries: &Libraries,
    folder: &Path,
    how: impl FnOnce() -> Result<(), String>,
) -> Result<(), String> {
    let wanted = fs::read_to_string(repo::root().join(REQUIREMENTS))
        .map_err(|error| format!("{REQUIREMENTS}: {error}"))?;
    let stamp = folder.join("installed.txt");
    if fs::read_to_string(&stamp).ok().as_deref() != Some(&wanted) {
        println!("live: installing the libraries of {REQUIREMENTS}");
        how()?;
        fs::write(&stamp, &wanted).map_err(|error| format!("{}: {error}", stamp.display()))?;
    }
    repo::output(libraries.python().args(["-c", TRIAL])).map(|_| ())
}

fn pip(python: Command) -> Result<(), String> {
    pip_into(python, None)
}

fn pip_into(mut python: Command, folder: Option<&Path>) -> Result<(), String> {
    // Without a network this must give up soon; without wheels it must not start to compile.
    python.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check"]);
    python.args(["--retries", "1", "--timeout", "20", "--only-binary", ":all:"]);
    if let Some(folder) = folder {
        python.arg("--upgrade").arg("--target").arg(folder);
    }
    repo::output(python.arg("--requirement").arg(REQUIREMENTS)).map(|_| ())
}

/// Runs the script with its output on the screen; its last line is the summary.
fn follow(script: &mut Command) -> Result<String, String> {
    let fault = |error: std::io::Error| format!("{SCRIPT}: {error}");
    let mut child = script.stdout(Stdio::piped()).spawn().map_err(fault)?;
    let mut last = String::new();
    if let Some(stdout) = child.stdout.take() {
        for line in BufReader::new(stdout).lines() {
            let line = line.map_err(fault)?;
            if !last.is_empty() {
                println!("{last}");
            }
            last = line;
        }
    }
    let status = child.wait().map_err(fault)?;
    if status.success() { Ok(last) } else { Err(format!("{last}\n{SCRIPT}: {status}")) }
}
