//! `stillprop`: ready or not, one turnaround of a light aeroplane.
//!
//! Exit codes: 0 ready (or done), 1 not ready, 2 the input cannot be read.

mod cli;
mod day;
mod edit;
mod ground;
mod load;
mod pages;
mod papers;
mod pictures;
mod problem;
mod report;
mod search;
mod serve;
mod sheet;
mod world;
mod yard;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let arguments = cli::Arguments::parse();
    let outcome = cli::run(&arguments);
    match outcome {
        Ok(answer) => {
            // A closed pipe, as with `| head`, is no reason to complain.
            let _ = answer.print();
            ExitCode::from(answer.code)
        }
        Err(failure) => {
            let _ = failure.print(arguments.json());
            ExitCode::from(2)
        }
    }
}
