//! The project's own chores: `cargo xtask check | tidy | validation [--check] | schemas [--check] |
//! live | browser | screenshots | bench | load`.
//!
//! Each command is one module; `check` runs all of them but `screenshots`, `bench` and `load`, and
//! the compiler's own checks.

mod bench;
mod browser;
mod check;
mod live;
mod repo;
mod schemas;
mod tally;
mod tidy;
mod validation;

use std::process::ExitCode;

const HELP: &str = "\
cargo xtask COMMAND

  check               everything below but screenshots, bench and load, and format, lints, tests and docs; what CI runs
  tidy                the house rules that a compiler does not know
  validation          run every reference case, write VALIDATION.md
  validation --check  run every reference case, fail when VALIDATION.md is stale
  schemas             write docs/schema from the types of the documents
  schemas --check     fail when docs/schema is stale
  live                compare the program with general-purpose libraries
  browser             the pages in a real browser
  screenshots         a picture of every page at both sizes, below target/
  bench               how fast it is; not part of check, since a busy machine spoils it
  load                the pages, asked 300 times a second; not part of check either
";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = args.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["check"] => check::run(),
        ["tidy"] => tidy::run(),
        ["validation"] => validation::run(validation::Page::Write),
        ["validation", "--check"] => validation::run(validation::Page::Compare),
        ["schemas"] => schemas::run(schemas::Files::Write),
        ["schemas", "--check"] => schemas::run(schemas::Files::Compare),
        ["live"] => live::run(),
        ["browser"] => browser::run(),
        ["screenshots"] => browser::screenshots(),
        ["bench"] => bench::run(),
        ["load"] => bench::load(),
        [] | ["help" | "--help" | "-h"] => Ok(HELP.to_owned()),
        _ => Err(format!("no such command: {}\n\n{HELP}", words.join(" "))),
    };
    match done {
        Ok(summary) => {
            println!("{}", summary.trim_end());
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{}", why.trim_end());
            ExitCode::FAILURE
        }
    }
}
