//! `ready` and `demo`: assess a turnaround.

use std::path::PathBuf;

use clap::Args;
use stillprop_turnaround::{
    assess::assess,
    limits::Verdict,
    stage::{Choice, Stage},
};

use super::{Answer, serve};
use crate::{
    load,
    problem::Failure,
    report::{answer, system::UnitSystem, text, working},
    world,
};

/// Options of `ready`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// A turnaround document; `demo` or `demo/over-mass` means a built-in one
    file: String,
    /// Show the working of a limit or a number, with sources: `load.cg-aft`, `fuel.trip`
    #[arg(long, value_name = "NAME")]
    why: Option<String>,
    /// Rules to use instead of the document's: `nz`, `demo-operator+au`, `strictest(au,nz)`
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from; else `STILLPROP_LEDGER`, else the data folder
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Show every limit, not only the tightest
    #[arg(long)]
    all: bool,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Options of `demo`.
#[derive(Args, Debug)]
pub(super) struct DemoOptions {
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long, conflicts_with = "serve")]
    pub(super) json: bool,
    /// Serve it as pages, in a folder of its own where it can be changed and recorded in
    #[arg(long)]
    serve: bool,
    /// Port to serve at; 0 for any that is free
    #[arg(long, default_value_t = crate::serve::PORT, requires = "serve")]
    port: u16,
    /// Let people in from other devices, encrypted; see `stillprop people`
    #[arg(long, requires = "serve", conflicts_with = "by")]
    lan: bool,
    /// The folder it is laid out in; else one in the data folder
    #[arg(long, value_name = "FOLDER", requires = "serve")]
    folder: Option<PathBuf>,
    /// Who records when a page does not say; else `STILLPROP_BY`
    #[arg(long, value_name = "NAME", requires = "serve")]
    by: Option<String>,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let (stage, choice) = load::turnaround(
        &world::read(&options.file)?,
        options.pack.as_deref(),
        options.ledger.as_deref(),
    )?;
    if let Some(limit) = &options.why {
        return explain(&stage, &choice, limit, options);
    }
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let code = u8::from(!assessment.ready());
    let answer = if options.json {
        Answer::json(answer::value(&answer::ready::ready(&assessment, &units)))
    } else {
        Answer::text(text::page(&assessment, options.all))
    };
    Ok(answer.code(code))
}

fn explain(
    stage: &Stage,
    choice: &Choice,
    limit: &str,
    options: &Options,
) -> Result<Answer, Failure> {
    let units = options.units.choose(&stage.document_units);
    let explained = working::find(stage, choice, &units, limit)?;
    let holds = explained.limit().is_none_or(|limit| limit.verdict == Verdict::Holds);
    let answer = if options.json {
        Answer::json(answer::value(&answer::ready::why(&explained, &units)))
    } else {
        Answer::text(working::page(&explained, &units))
    };
    Ok(answer.code(u8::from(!holds)))
}

/// The ready turnaround in full, the others by their headline and what breaks.
pub(super) fn demo(options: &DemoOptions) -> Result<Answer, Failure> {
    if options.serve {
        let opening = serve::opening(options.port, options.lan, &[]);
        return serve::demo(options.folder.as_deref(), options.by.clone(), &opening);
    }
    let mut pages = Vec::new();
    let mut answers = Vec::new();
    let others = world::DEMO.iter().map(|(name, _)| *name);
    let others = others.filter(|name| name.contains("/turnarounds/") && *name != world::FIRST_DEMO);
    for (index, name) in std::iter::once(world::FIRST_DEMO).chain(others).enumerate() {
        // By its short name, which is no file: the full path may be one.
        let (stage, choice) = load::turnaround(&world::read(&short(name))?, None, None)?;
        let units = options.units.choose(&stage.document_units);
        let assessment = assess(&stage, &choice, &units);
        pages.push(match index {
            0 => text::page(&assessment, false),
            _ => text::summary(&assessment, &short(name)),
        });
        answers.push(answer::value(&answer::ready::ready(&assessment, &units)));
    }
    Ok(if options.json {
        Answer::json(answers.into())
    } else {
        Answer::text(format!("{}{}", pages.join("\n"), text::demo_footer()))
    })
}

/// `demo/over-mass` for `demo/turnarounds/over-mass.toml`.
fn short(name: &str) -> String {
    let file = name.rsplit('/').next().unwrap_or(name);
    format!("demo/{}", file.trim_end_matches(".toml"))
}
