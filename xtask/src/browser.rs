//! `cargo xtask browser` and `cargo xtask screenshots`: the pages in a real browser.
//!
//! The browser, its driver and a clock that can be set are packages of Debian; they are installed
//! when they are missing and this runs as root. The engine that judges access is a package of npm,
//! put below `target/`. None of them is part of the program or of the tree. Where they cannot be
//! had, the step fails: pages that nobody looked at are not said to hold.

use std::{
    env,
    fmt::Write as _,
    fs,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use crate::{
    repo::{self, Profile},
    tally::Tally,
};

/// A program that the tests need: names it goes by, the package of Debian it is in, and the
/// variable that tells the tests where it is.
struct Need {
    names: &'static [&'static str],
    package: &'static str,
    variable: &'static str,
}

const NEEDS: [Need; 4] = [
    Need {
        names: &["chromium", "chromium-browser", "google-chrome"],
        package: "chromium",
        variable: "STILLPROP_CHROMIUM",
    },
    Need {
        names: &["chromedriver"],
        package: "chromium-driver",
        variable: "STILLPROP_CHROMEDRIVER",
    },
    Need { names: &["faketime"], package: "faketime", variable: "STILLPROP_FAKETIME" },
    // It fetches the engine, and its package brings what runs it.
    Need { names: &["npm"], package: "npm", variable: "STILLPROP_NPM" },
];

/// The engine and its edition, as npm names them. One edition, so that the same pages get the same
/// answer tomorrow.
const ENGINE: &str = "axe-core@4.14.1";
/// Where the tests are: a workspace of its own.
const MANIFEST: &str = "tests/browser/Cargo.toml";
/// Measures how soon one phone sees what another confirms, so nothing else runs beside it.
const MEASURED: &str = "two_phones::";
/// Makes pictures.
const PICTURES: &str = "every_page::screenshots";
/// Says that the browser cannot be had and that this is known.
const WITHOUT: &str = "STILLPROP_WITHOUT_BROWSER";

/// Runs the tests: the measured ones alone, the others two browsers at a time.
pub(crate) fn run() -> Result<String, String> {
    if let Some(said) = without(env::var_os(WITHOUT).is_some(), env::var_os("CI").is_some())? {
        return Ok(said);
    }
    let tests = Tests::ready()?;
    repo::show(cargo(&["fmt", "--check"])?.args(["--manifest-path", MANIFEST]))?;
    let lints = ["--all-targets", "--", "-D", "warnings"];
    repo::show(cargo(&["clippy", "--locked"])?.args(["--manifest-path", MANIFEST]).args(lints))?;
    let mut tally = Tally::default();
    tests.count(&["--test-threads", "1", MEASURED], &mut tally)?;
    if tally.is_empty() {
        return Err(format!("no test ran of {MEASURED}"));
    }
    let before = tally;
    tests.count(&["--test-threads", "2", "--skip", MEASURED, "--skip", PICTURES], &mut tally)?;
    if tally == before {
        return Err("no test ran in the browser".into());
    }
    Ok(tally.to_string())
}

/// What is said in place of the tests, when somebody knows that the browser cannot be had; nowhere
/// that others rely on the answer.
fn without(said: bool, relied_on: bool) -> Result<Option<String>, String> {
    match (said, relied_on) {
        (false, _) => Ok(None),
        (true, true) => Err(format!("{WITHOUT} is set where CI is: the pages must be looked at")),
        (true, false) => Ok(Some(format!(
            "WARNING: {WITHOUT} is set, so no page was opened in a browser, and 0 tests ran"
        ))),
    }
}

/// Writes a picture of every page at both sizes, and a page that shows them all.
pub(crate) fn screenshots() -> Result<String, String> {
    let folder = repo::target()?.join("screenshots");
    let tests = Tests::ready()?;
    let mut command = tests.command(&["--exact", PICTURES, "--ignored"])?;
    repo::show(command.env("STILLPROP_SCREENSHOTS", &folder))?;
    let mut all = Vec::new();
    for size in ["phone", "laptop"] {
        all.push((size, pictures(&folder.join(size))?));
    }
    let count: usize = all.iter().map(|(_, names)| names.len()).sum();
    let index = folder.join("index.html");
    fs::write(&index, shown(&all)).map_err(|error| format!("{}: {error}", index.display()))?;
    Ok(format!("{count} pictures; look at them in {}", index.display()))
}

/// The names of the pictures in a folder, in order.
fn pictures(folder: &Path) -> Result<Vec<String>, String> {
    let fault = |error: std::io::Error| format!("{}: {error}", folder.display());
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(fault)? {
        names.push(entry.map_err(fault)?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    Ok(names)
}

/// A page with every picture below its name.
fn shown(all: &[(&str, Vec<String>)]) -> String {
    let mut page = String::from(
        "<!DOCTYPE html>\n<html lang=\"en\"><meta charset=\"utf-8\"><title>Every page</title>\n\
         <style>body { font-family: sans-serif } figure { display: inline-block; vertical-align: top; \
         margin: 1rem; border: 1px solid } img { display: block; max-width: 40rem }</style>\n",
    );
    for (size, names) in all {
        let _ = writeln!(page, "<h1>{size}</h1>");
        for name in names {
            let _ = writeln!(
                page,
                "<figure><figcaption><a href=\"{size}/{name}\">{name}</a></figcaption>\
                 <img loading=\"lazy\" src=\"{size}/{name}\" alt=\"{name} at {size} size\"></figure>"
            );
        }
    }
    page
}

/// What the tests are told: where everything is.
struct Tests {
    told: Vec<(&'static str, PathBuf)>,
}

impl Tests {
    /// Finds, installs and builds what they need.
    fn ready() -> Result<Self, String> {
        let mut told: Vec<_> = NEEDS.iter().map(|need| need.variable).zip(programs()?).collect();
        told.push(("STILLPROP_AXE", engine(&repo::target()?)?));
        told.push(("STILLPROP_PROGRAM", repo::program(Profile::Debug)?));
        Ok(Self { told })
    }

    fn command(&self, args: &[&str]) -> Result<Command, String> {
        let mut command = cargo(&["test", "--locked"])?;
        command.args(["--manifest-path", MANIFEST, "--"]).args(args);
        command.envs(self.told.iter().map(|(name, path)| (name, path)));
        Ok(command)
    }

    /// Runs some of them and counts them while their output goes by.
    fn count(&self, args: &[&str], tally: &mut Tally) -> Result<(), String> {
        let mut child = self
            .command(args)?
            .stdout(Stdio::piped())
            .spawn()
            .map_err(|error| format!("cargo test: {error}"))?;
        if let Some(stdout) = child.stdout.take() {
            for line in BufReader::new(stdout).lines() {
                let line = line.map_err(|error| format!("cargo test: {error}"))?;
                println!("{line}");
                tally.read(&line);
            }
        }
        let status = child.wait().map_err(|error| format!("cargo test: {error}"))?;
        if status.success() { Ok(()) } else { Err(format!("cargo test: {status}; {tally}")) }
    }
}

/// `cargo` for the workspace of the tests, which builds beside everything else.
fn cargo(args: &[&str]) -> Result<Command, String> {
    let mut command = repo::cargo(args);
    command.env("CARGO_TARGET_DIR", repo::target()?);
    Ok(command)
}

/// Where each program is, installed now if that can be done here.
fn programs() -> Result<Vec<PathBuf>, String> {
    let missing: Vec<_> =
        NEEDS.iter().filter(|need| find(need).is_none()).map(|need| need.package).collect();
    if !missing.is_empty() {
        install(&missing)?;
    }
    let found = |need| find(need).ok_or_else(|| absent(&[need.package]));
    NEEDS.iter().map(found).collect()
}

/// What is missing, said so that nobody overlooks it, and the ways out.
fn absent(packages: &[&str]) -> String {
    let list = packages.join(" ");
    format!(
        "THE PAGES WERE NOT LOOKED AT: the browser tests need {list}.\n\
         Install by hand (Debian: apt-get install {list}), or name each program by its variable, \
         see docs/testing.md. Where it cannot be had, {WITHOUT}=1 leaves the step out and says so."
    )
}

/// A program by its variable, else by its names along the path.
fn find(need: &Need) -> Option<PathBuf> {
    if let Some(named) = env::var_os(need.variable) {
        return Some(named.into());
    }
    let path = env::var_os("PATH")?;
    let folders: Vec<_> = env::split_paths(&path).collect();
    need.names.iter().find_map(|name| {
        folders.iter().map(|folder| folder.join(name)).find(|program| program.is_file())
    })
}

/// Installs packages of Debian, as root alone.
fn install(packages: &[&str]) -> Result<(), String> {
    let root = repo::output(Command::new("id").arg("-u")).is_ok_and(|id| id.trim() == "0");
    if !root {
        return Err(format!("{}\nThis is not root, so nothing was installed.", absent(packages)));
    }
    println!("browser: installing {}", packages.join(" "));
    let quiet = ["--quiet", "--yes", "--no-install-recommends"];
    let apt = || {
        let mut command = Command::new("apt-get");
        command.env("DEBIAN_FRONTEND", "noninteractive").stdout(Stdio::null());
        command
    };
    repo::show(apt().arg("update"))
        .and_then(|()| repo::show(apt().arg("install").args(quiet).args(packages)))
        .map_err(|why| format!("{}\n{why}", absent(packages)))
}

/// The engine's file, fetched by npm unless an earlier run has.
fn engine(target: &Path) -> Result<PathBuf, String> {
    let folder = target.join("browser").join(ENGINE);
    let file = folder.join("package").join("axe.min.js");
    if file.is_file() {
        return Ok(file);
    }
    let fault = |error: std::io::Error| format!("{}: {error}", folder.display());
    fs::create_dir_all(&folder).map_err(fault)?;
    println!("browser: fetching {ENGINE}");
    let npm = find(&NEEDS[3]).unwrap_or_else(|| "npm".into());
    let packed =
        repo::output(Command::new(npm).args(["pack", ENGINE, "--silent"]).current_dir(&folder))
            .map_err(|why| format!("{}\n{why}", absent(&[ENGINE])))?;
    let archive = packed.lines().last().unwrap_or_default().trim();
    repo::output(Command::new("tar").args(["-xzf", archive]).current_dir(&folder))?;
    if file.is_file() { Ok(file) } else { Err(format!("{ENGINE} has no file axe.min.js")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_is_left_out_only_where_nobody_relies_on_it_and_says_so() {
        assert_eq!(without(false, false), Ok(None));
        assert_eq!(without(false, true), Ok(None));
        assert!(without(true, false).unwrap().unwrap().contains("WARNING"));
        assert!(without(true, true).is_err());
    }

    #[test]
    fn the_index_shows_every_picture() {
        let page =
            shown(&[("phone", vec!["stops.png".into()]), ("laptop", vec!["yard.png".into()])]);
        assert!(
            page.contains("src=\"phone/stops.png\"") && page.contains("src=\"laptop/yard.png\"")
        );
    }
}
