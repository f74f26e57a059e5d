//! `ground`: the aeroplane where it stands, in figures and in pictures.

use clap::Args;
use stillprop_draw::Width;
use stillprop_turnaround::assess::assess;

use super::Answer;
use crate::{
    load,
    pictures::{self, Drawn, Kind},
    problem::Failure,
    report::{answer, ground as page, system::UnitSystem},
    world,
};

/// Options of `ground`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// A turnaround document; `demo/crowded-apron` means a built-in one
    file: String,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
    /// Draw the apron plan into this file
    #[arg(long, value_name = "FILE.svg")]
    apron: Option<String>,
    /// Draw the strip profile into this file
    #[arg(long, value_name = "FILE.svg")]
    profile: Option<String>,
    /// Width of a picture in pixels
    #[arg(long, default_value_t = 1080)]
    width: u16,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let (stage, choice) = load::turnaround(
        &world::read(&options.file)?,
        options.pack.as_deref(),
        options.ledger.as_deref(),
    )?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let width = Width::of(options.width);
    let mut drawn = Vec::new();
    let from = Drawn { stage: &stage, choice: &choice, assessment: &assessment, units: &units };
    for (kind, file) in [(Kind::Apron, &options.apron), (Kind::Profile, &options.profile)] {
        let Some(file) = file else { continue };
        let picture = kind.draw(&from, width).map_err(|why| pictures::none(kind, &why))?;
        world::write(file, &picture)?;
        drawn.push(format!("{}: {file}", kind.words()));
    }
    let stands = page::stands(&assessment);
    let answer = if options.json {
        Answer::json(answer::value(&answer::ground::ground(&assessment, &units)))
    } else {
        Answer::text(page::page(&assessment, &units, &drawn))
    };
    Ok(answer.code(u8::from(!stands)))
}
