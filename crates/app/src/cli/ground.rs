//! `ground`: the aeroplane where it stands, in figures and in pictures.

use clap::Args;
use stillprop_draw::{Width, apron, profile};
use stillprop_turnaround::assess::assess;

use super::{Answer, load};
use crate::{
    ground,
    problem::Failure,
    report::{ground as page, system::UnitSystem},
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
    let (stage, choice) =
        load::turnaround(&options.file, options.pack.as_deref(), options.ledger.as_deref())?;
    let units = options.units.choose(&stage.document_units);
    let assessment = assess(&stage, &choice, &units);
    let width = Width::of(options.width);
    let mut drawn = Vec::new();
    if let Some(file) = &options.apron {
        let view = assessment.ground.as_ref().map_err(|why| no_plan(why))?;
        let picture = ground::apron::picture(&stage, &choice, view, &assessment.limits, &units);
        let picture = picture.map_err(|why| no_plan(&why))?;
        world::write(file, &apron::apron(&picture, width))?;
        drawn.push(format!("apron plan: {file}"));
    }
    if let Some(file) = &options.profile {
        let picture = ground::profile::picture(&stage, &choice, &units);
        world::write(file, &profile::profile(&picture, width))?;
        drawn.push(format!("strip profile: {file}"));
    }
    let stands = page::stands(&assessment);
    let answer = if options.json {
        Answer::json(page::json(&assessment, &units))
    } else {
        Answer::text(page::page(&assessment, &units, &drawn))
    };
    Ok(answer.code(u8::from(!stands)))
}

fn no_plan(why: &str) -> Failure {
    Failure::asked(format!("there is no apron plan: {why}"), "describe it, then ask again")
}
