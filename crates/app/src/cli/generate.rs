//! Completions and manual page, generated from the one description of the command line.

use std::io::Write;

use clap::{Args, Command};
use clap_complete::Shell;
use clap_mangen::Man;

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
    page(&command, &mut out).map_err(|error| Failure::asked(error.to_string(), "try again"))?;
    Ok(Answer::text(String::from_utf8_lossy(&out)))
}

/// The page of the program, then the description and options of each verb on the same page.
fn page(command: &Command, out: &mut Vec<u8>) -> std::io::Result<()> {
    Man::new(command.clone()).render(out)?;
    for verb in command.get_subcommands().filter(|verb| verb.get_name() != "help") {
        writeln!(out, ".SH {}", verb.get_name().to_uppercase())?;
        let page = Man::new(verb.clone());
        page.render_description_section(out)?;
        page.render_options_section(out)?;
        if verb.has_subcommands() {
            page.render_subcommands_section(out)?;
        }
    }
    Ok(())
}
