//! `picture`: one picture of a turnaround, into a file.

use clap::{Args, ValueEnum};
use serde_json::json;
use stillprop_draw::{
    Width, apron::apron, balance::balance, day::day, ladder::ladder, loading::loading,
    profile::profile,
};
use stillprop_turnaround::{
    assess::{Assessment, assess},
    stage::{Choice, Stage},
    units::Units,
};

use super::{Answer, load};
use crate::{
    ground, pictures,
    problem::Failure,
    report::{system::UnitSystem, text::CAUTION},
    world,
};

/// What to draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Kind {
    /// The aeroplane from above: what each place carries
    Loading,
    /// Mass against arm: envelope, burn, distance to each edge
    Balance,
    /// The fuel ladder against what is aboard
    Ladder,
    /// Light at the strip and at each destination
    Day,
    /// The aeroplane on the ground: clearances, hose, walking path
    Apron,
    /// The strip from the side
    Profile,
}

impl Kind {
    const fn words(self) -> &'static str {
        match self {
            Self::Loading => "loading",
            Self::Balance => "mass against arm",
            Self::Ladder => "fuel ladder",
            Self::Day => "day ribbon",
            Self::Apron => "apron plan",
            Self::Profile => "strip profile",
        }
    }
}

/// Options of `picture`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What to draw
    #[arg(value_enum)]
    kind: Kind,
    /// A turnaround document; `demo/mid-burn` means a built-in one
    file: String,
    /// File to write
    #[arg(long, short, value_name = "FILE.svg")]
    out: String,
    /// Width in pixels
    #[arg(long, default_value_t = 1080)]
    width: u16,
    /// Rules to use instead of the document's
    #[arg(long, value_name = "PACK")]
    pack: Option<String>,
    /// The ledger whose drums it draws from
    #[arg(long, value_name = "FILE")]
    ledger: Option<String>,
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
    let drawn = draw(options.kind, (&stage, &choice, &assessment), &units, width)?;
    world::write(&options.out, &drawn)?;
    let words = options.kind.words();
    Ok(if options.json {
        Answer::json(json!({ "picture": words, "file": options.out, "caution": CAUTION }))
    } else {
        Answer::text(format!("{words}: {}\n{CAUTION}\n", options.out))
    })
}

/// The picture as SVG text.
fn draw(
    kind: Kind,
    (stage, choice, assessment): (&Stage, &Choice, &Assessment),
    units: &Units,
    width: Width,
) -> Result<String, Failure> {
    Ok(match kind {
        Kind::Loading => {
            loading(&pictures::loading::picture(stage, choice, assessment, units), width)
        }
        Kind::Balance => {
            balance(&pictures::balance::picture(stage, choice, assessment, units), width)
        }
        Kind::Ladder => ladder(&pictures::ladder::picture(stage, choice, assessment, units), width),
        Kind::Day => day(&pictures::day::picture(stage, choice, assessment, None), width),
        Kind::Apron => {
            let view = assessment.ground.as_ref().map_err(|why| super::ground::no_plan(why))?;
            let picture = ground::apron::picture(stage, choice, view, &assessment.limits, units);
            apron(&picture.map_err(|why| super::ground::no_plan(&why))?, width)
        }
        Kind::Profile => profile(&ground::profile::picture(stage, choice, units), width),
    })
}
