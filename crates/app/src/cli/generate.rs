//! Completions and manual page, generated from the one description of the command line.

use clap::{Args, Command};
use clap_complete::Shell;

use super::Answer;
use crate::problem::Failure;

/// Options of `completions`.
#[derive(Args, Debug)]
pub(super) struct CompletionOptions {
    /// Which shell
    shell: Shell,
}

pub(super) fn completions(options: &CompletionOptions, mut command: Command) -> Answer {
    let mut out = Vec::new();
    clap_complete::generate(options.shell, &mut command, "stillprop", &mut out);
    Answer::text(String::from_utf8_lossy(&out))
}

pub(super) fn man(command: Command) -> Result<Answer, Failure> {
    let mut out = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut out)
        .map_err(|error| Failure::asked(error.to_string(), "try again"))?;
    Ok(Answer::text(String::from_utf8_lossy(&out)))
}
