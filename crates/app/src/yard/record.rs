//! What can be stated of a container or a batch, and the event it becomes. The command line and
//! the pages both go through here.

use std::collections::BTreeSet;

use clap::{ArgGroup, Args, Subcommand, ValueEnum};
use jiff::{Timestamp, civil::Date};
use stillprop_calc::{
    quantity::{FromAmount, MassDensity, ThermodynamicTemperature, Volume},
    unit,
};
use stillprop_ledger::event::{
    Day, Event,
    v1::{
        Appearance, BatchRecalled, BatchRetested, Condemned, ContainerKind, Corrected, Counted,
        Drawn, Emptied, Inspected, Into, Opened, PartMarked, Paste, Posture, Received, Sampled,
        Seals, Severity, Stood, Stored,
    },
};
use stillprop_rules::document::did_you_mean;
use uuid::Uuid;

use super::{
    Ledger,
    convert::{self, millilitres},
    find, picture, receipt, typed,
};
use crate::{problem::Failure, world};

/// What can be recorded.
#[derive(Debug, Subcommand)]
pub(crate) enum Verb {
    /// A container came in with fuel
    Receive(ReceiveOptions),
    /// It was moved or put down
    Move(MoveOptions),
    /// It was looked over from outside
    Inspect(InspectOptions),
    /// It was stood up or tilted; the settling clock starts
    Stand(StandOptions),
    /// A sample was drawn and judged
    Sample(SampleOptions),
    /// It was opened
    Open(OpenOptions),
    /// Fuel was drawn from it
    Draw(DrawOptions),
    /// What is left was written on it
    Mark(VolumeOptions),
    /// Nothing usable is left
    Empty(DrumOption),
    /// It must not be used
    Condemn(ReasonOptions),
    /// Its contents were counted
    Count(VolumeOptions),
    /// A batch was called back
    Recall(RecallOptions),
    /// A batch was tested again
    Retest(RetestOptions),
    /// An earlier record was wrong
    Correct(CorrectOptions),
}

/// One container.
#[derive(Args, Debug)]
pub(crate) struct DrumOption {
    /// Label, id or code of the container
    pub(crate) drum: String,
}

/// Options of `receive`.
#[derive(Args, Debug)]
pub(crate) struct ReceiveOptions {
    /// What people call it
    #[arg(long, value_parser = typed::name)]
    pub(crate) label: String,
    /// The yard it is in
    #[arg(long, value_parser = typed::name)]
    pub(crate) place: String,
    /// Grade as written on it: "avgas 100LL"
    #[arg(long, value_parser = typed::name)]
    pub(crate) grade: String,
    /// The supplier's lot
    #[arg(long, value_parser = typed::name)]
    pub(crate) batch: String,
    /// The supplier
    #[arg(long, value_parser = typed::name)]
    pub(crate) supplier: String,
    /// Day it was filled: 2026-03-14
    #[arg(long)]
    pub(crate) filled: Date,
    /// Contents: "200 L"
    #[arg(long, value_parser = typed::volume)]
    pub(crate) contents: Volume,
    /// What it holds when full
    #[arg(long, value_parser = typed::volume, default_value = "216.5 L")]
    pub(crate) capacity: Volume,
    /// Temperature of the contents: "24 degC"
    #[arg(long, value_parser = typed::temperature)]
    pub(crate) temperature: Option<ThermodynamicTemperature>,
    /// Number of a seal; once for each
    #[arg(long = "seal")]
    pub(crate) seals: Vec<String>,
    /// Number given by the maker of the drum
    #[arg(long)]
    pub(crate) maker_number: Option<String>,
    /// Kind of container
    #[arg(long, value_enum, default_value_t = Kind::Drum)]
    pub(crate) kind: Kind,
    /// Record it although a container of that label is at that place already
    #[arg(long)]
    pub(crate) anyway: bool,
}

/// Kind of container.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Kind {
    /// A drum of about 200 L
    Drum,
    /// A fixed tank
    Tank,
    /// A tank on wheels
    Bowser,
}

/// How it lies or stands.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum How {
    /// On its side
    OnSide,
    /// Upright
    Upright,
    /// Upright and leaning, low point away from the bung
    Tilted,
}

impl From<How> for Posture {
    fn from(how: How) -> Self {
        match how {
            How::OnSide => Self::OnSide,
            How::Upright => Self::Upright,
            How::Tilted => Self::Tilted,
        }
    }
}

/// Options of `move`.
#[derive(Args, Debug)]
pub(crate) struct MoveOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// The yard; where it is when left out
    #[arg(long, value_parser = typed::name)]
    pub(crate) place: Option<String>,
    /// Rack and row
    #[arg(long, value_parser = typed::name)]
    pub(crate) rack: Option<String>,
    /// How it lies now
    #[arg(long, value_enum)]
    pub(crate) posture: How,
    /// Where the two bungs point, as hours of a clock: 3,9
    #[arg(long, value_parser = typed::bungs)]
    pub(crate) bungs: Option<[u8; 2]>,
    /// Chocked against rolling
    #[arg(long)]
    pub(crate) chocked: bool,
    /// Off the ground, on timber
    #[arg(long)]
    pub(crate) off_ground: bool,
    /// In the shade
    #[arg(long)]
    pub(crate) shaded: bool,
}

/// How bad something looks.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Look {
    /// None
    None,
    /// Some, on the surface
    Slight,
    /// Enough that the lining may have come loose
    Severe,
}

impl From<Look> for Severity {
    fn from(look: Look) -> Self {
        match look {
            Look::None => Self::None,
            Look::Slight => Self::Slight,
            Look::Severe => Self::Severe,
        }
    }
}

/// What the seals look like.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum SealLook {
    /// All there and whole
    Intact,
    /// Broken or missing
    Broken,
}

impl From<SealLook> for Seals {
    fn from(look: SealLook) -> Self {
        match look {
            SealLook::Intact => Self::Intact,
            SealLook::Broken => Self::Broken,
        }
    }
}

/// Options of `inspect`.
#[derive(Args, Debug)]
pub(crate) struct InspectOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// Dents
    #[arg(long, value_enum)]
    pub(crate) dents: Look,
    /// Rust
    #[arg(long, value_enum)]
    pub(crate) rust: Look,
    /// Seals
    #[arg(long, value_enum)]
    pub(crate) seals: SealLook,
    /// The lining is sound; left out when it was not looked at
    #[arg(long)]
    pub(crate) lining_sound: Option<bool>,
    /// The label cannot be read
    #[arg(long)]
    pub(crate) label_lost: bool,
    /// Anything else
    #[arg(long)]
    pub(crate) note: Option<String>,
}

/// Options of `stand`.
#[derive(Args, Debug)]
pub(crate) struct StandOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// Leaning, low point away from the bung
    #[arg(long)]
    pub(crate) tilted: bool,
}

/// How a sample looked.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum SampleLook {
    /// Clear and bright
    Clear,
    /// Hazy or cloudy
    Haze,
    /// Sediment
    Sediment,
    /// Free water
    Water,
}

/// What the water-finding paste said.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum PasteLook {
    /// No change of colour
    Dry,
    /// It changed colour
    Wet,
    /// It was not used
    NotUsed,
}

/// Options of `sample`.
#[derive(Args, Debug)]
pub(crate) struct SampleOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// How it looked
    #[arg(long, value_enum)]
    pub(crate) appearance: SampleLook,
    /// Colour in a word: blue, straw
    #[arg(long, value_parser = typed::name)]
    pub(crate) colour: String,
    /// Water paste
    #[arg(long, value_enum)]
    pub(crate) paste: PasteLook,
    /// Density as read: "0.712 kg/L"
    #[arg(long, value_parser = typed::density, requires = "temperature")]
    pub(crate) density: Option<MassDensity>,
    /// Temperature of the sample: "24 degC"
    #[arg(long, value_parser = typed::temperature)]
    pub(crate) temperature: Option<ThermodynamicTemperature>,
    /// Not drawn from the low point
    #[arg(long)]
    pub(crate) not_low_point: bool,
}

/// Options of `open`.
#[derive(Args, Debug)]
pub(crate) struct OpenOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// The seals just before
    #[arg(long, value_enum)]
    pub(crate) seals: SealLook,
}

/// Options of `draw`.
#[derive(Args, Debug)]
#[command(group(ArgGroup::new("where").args(["aircraft", "container", "waste"]).required(true)))]
pub(crate) struct DrawOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// How much: "105 L"
    #[arg(long, value_parser = typed::volume)]
    pub(crate) volume: Volume,
    /// Registration of the aircraft it went into
    #[arg(long, value_parser = typed::name, requires = "tank")]
    pub(crate) aircraft: Option<String>,
    /// Tank of that aircraft
    #[arg(long, value_parser = typed::name)]
    pub(crate) tank: Option<String>,
    /// Another container it went into
    #[arg(long)]
    pub(crate) container: Option<String>,
    /// Samples, flushing, waste
    #[arg(long)]
    pub(crate) waste: bool,
    /// The flight it is for
    #[arg(long, value_parser = typed::name)]
    pub(crate) flight: Option<String>,
    /// Record it although the book says it cannot be
    #[arg(long)]
    pub(crate) anyway: bool,
}

/// A container and a volume.
#[derive(Args, Debug)]
pub(crate) struct VolumeOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// How much is in it: "95 L"
    #[arg(long, value_parser = typed::volume)]
    pub(crate) volume: Volume,
}

/// A container and a reason.
#[derive(Args, Debug)]
pub(crate) struct ReasonOptions {
    /// Label, id or code of the container
    pub(crate) drum: String,
    /// Why
    #[arg(long, value_parser = typed::name)]
    pub(crate) reason: String,
}

/// Options of `recall`.
#[derive(Args, Debug)]
pub(crate) struct RecallOptions {
    /// The batch
    pub(crate) batch: String,
    /// Why
    #[arg(long, value_parser = typed::name)]
    pub(crate) reason: String,
    /// Record it although no container here was filled from that batch
    #[arg(long)]
    pub(crate) anyway: bool,
}

/// Options of `retest`.
#[derive(Args, Debug)]
pub(crate) struct RetestOptions {
    /// The batch
    pub(crate) batch: String,
    /// Day of the test
    #[arg(long)]
    pub(crate) on: Date,
    /// It may still be used
    #[arg(long, action = clap::ArgAction::Set)]
    pub(crate) passed: bool,
    /// Record it although no container here was filled from that batch
    #[arg(long)]
    pub(crate) anyway: bool,
}

/// Options of `correct`.
#[derive(Args, Debug)]
#[command(group(ArgGroup::new("what").args(["void", "instead"]).required(true)))]
pub(crate) struct CorrectOptions {
    /// Id of the record that was wrong
    pub(crate) record: Uuid,
    /// Why
    #[arg(long, value_parser = typed::name)]
    pub(crate) reason: String,
    /// It did not happen at all
    #[arg(long)]
    pub(crate) void: bool,
    /// A JSON file with the event that should have been recorded, as `yard show --json` prints it
    #[arg(long, value_name = "FILE.json")]
    pub(crate) instead: Option<String>,
    /// The event itself, from a page: no page names a file.
    #[arg(skip)]
    pub(crate) event: Option<Box<Event>>,
}

/// The event that was stated, held against what the ledger knows.
pub(crate) fn event(verb: &Verb, ledger: &Ledger, at: Timestamp) -> Result<Event, Failure> {
    let id = |sought: &str| find(ledger, sought).map(|container| container.id);
    Ok(match verb {
        Verb::Receive(options) => Event::Received(received(options, ledger, at)?),
        Verb::Move(options) => Event::Stored(stored(options, ledger)?),
        Verb::Inspect(options) => Event::Inspected(Inspected {
            container: id(&options.drum)?,
            dents: options.dents.into(),
            rust: options.rust.into(),
            lining_sound: options.lining_sound,
            label_legible: !options.label_lost,
            seals: options.seals.into(),
            note: options.note.clone(),
        }),
        Verb::Stand(options) => Event::Stood(Stood {
            container: id(&options.drum)?,
            posture: if options.tilted { Posture::Tilted } else { Posture::Upright },
        }),
        Verb::Sample(options) => Event::Sampled(sampled(options, id(&options.drum)?)),
        Verb::Open(options) => {
            let container = id(&options.drum)?;
            Event::Opened(Opened { container, seals: options.seals.into() })
        }
        Verb::Draw(options) => Event::Drawn(drawn(options, ledger)?),
        Verb::Mark(options) => {
            let left_ml = millilitres(options.volume);
            Event::PartMarked(PartMarked { container: id(&options.drum)?, left_ml })
        }
        Verb::Empty(options) => Event::Emptied(Emptied { container: id(&options.drum)? }),
        Verb::Condemn(options) => {
            let reason = options.reason.clone();
            Event::Condemned(Condemned { container: id(&options.drum)?, reason })
        }
        Verb::Count(options) => {
            let contents_ml = millilitres(options.volume);
            Event::Counted(Counted { container: id(&options.drum)?, contents_ml })
        }
        Verb::Recall(options) => {
            let batch = batch(&options.batch, options.anyway, ledger)?;
            let reason = options.reason.clone();
            Event::BatchRecalled(BatchRecalled { batch, reason })
        }
        Verb::Retest(options) => {
            let batch = batch(&options.batch, options.anyway, ledger)?;
            if options.on > receipt::last_day(at) {
                let message = format!("{} is yet to come", options.on);
                return Err(Failure::asked(message, "check --on"));
            }
            Event::BatchRetested(BatchRetested {
                batch,
                on: Day(options.on),
                passed: options.passed,
            })
        }
        Verb::Correct(options) => Event::Corrected(corrected(options)?),
    })
}

/// A batch that something here was filled from: a recall under a misspelt name would go nowhere.
fn batch(name: &str, anyway: bool, ledger: &Ledger) -> Result<String, Failure> {
    if anyway || ledger.yard.trace_batch(name).is_some() {
        return typed::name(name).map_err(|why| Failure::asked(why, "name the batch"));
    }
    let known =
        ledger.yard.containers().filter_map(|it| Some(it.received.as_ref()?.what.batch.as_str()));
    let known: Vec<&str> = known.collect::<BTreeSet<_>>().into_iter().collect();
    let message = format!("no container here was filled from batch `{name}`");
    let help = format!("{}; or add --anyway", did_you_mean(name, &known));
    Err(Failure::asked(message, help))
}

fn received(options: &ReceiveOptions, ledger: &Ledger, at: Timestamp) -> Result<Received, Failure> {
    let received = Received {
        container: world::new_id(),
        kind: match options.kind {
            Kind::Drum => ContainerKind::Drum,
            Kind::Tank => ContainerKind::Tank,
            Kind::Bowser => ContainerKind::Bowser,
        },
        label: options.label.clone(),
        place: options.place.clone(),
        grade: options.grade.clone(),
        batch: options.batch.clone(),
        supplier: options.supplier.clone(),
        filled: Day(options.filled),
        contents_ml: millilitres(options.contents),
        temperature_mdegc: options.temperature.map(mdegc),
        capacity_ml: millilitres(options.capacity),
        seals: options.seals.clone(),
        maker_number: options.maker_number.clone(),
    };
    if let Some((message, help)) = receipt::fault(&received, at) {
        return Err(Failure::asked(message, help));
    }
    let twin = receipt::twin(&received, &ledger.yard).filter(|_| !options.anyway);
    if let Some(twin) = twin {
        let message = format!("`{}` is at {} already", received.label, received.place);
        let help = format!("choose another label, or add --anyway; the other is {}", twin.id);
        return Err(Failure::asked(message, help));
    }
    Ok(received)
}

#[expect(clippy::cast_possible_truncation, reason = "temperatures are bounded by their reader")]
fn mdegc(temperature: ThermodynamicTemperature) -> i32 {
    (temperature.count(unit::DEGC) * 1000.0).round() as i32
}

fn stored(options: &MoveOptions, ledger: &Ledger) -> Result<Stored, Failure> {
    let container = find(ledger, &options.drum)?;
    let place = options.place.clone().or_else(|| container.place.clone()).ok_or_else(|| {
        Failure::asked("it is not known where the container is", "add --place NAME")
    })?;
    Ok(Stored {
        container: container.id,
        place,
        rack: options.rack.clone().or_else(|| container.rack.clone()),
        posture: options.posture.into(),
        bungs: options.bungs,
        chocked: options.chocked,
        off_ground: options.off_ground,
        shaded: options.shaded,
    })
}

fn sampled(options: &SampleOptions, container: Uuid) -> Sampled {
    #[expect(clippy::cast_possible_truncation, reason = "densities are bounded by their reader")]
    let g_m3 = |density: MassDensity| (density.count(unit::KG_M3) * 1000.0).round() as i64;
    Sampled {
        container,
        low_point: !options.not_low_point,
        appearance: match options.appearance {
            SampleLook::Clear => Appearance::ClearAndBright,
            SampleLook::Haze => Appearance::Haze,
            SampleLook::Sediment => Appearance::Sediment,
            SampleLook::Water => Appearance::Water,
        },
        colour: options.colour.clone(),
        paste: match options.paste {
            PasteLook::Dry => Paste::Dry,
            PasteLook::Wet => Paste::Wet,
            PasteLook::NotUsed => Paste::NotUsed,
        },
        density_g_m3: options.density.map(g_m3),
        temperature_mdegc: options.temperature.map(mdegc),
    }
}

fn drawn(options: &DrawOptions, ledger: &Ledger) -> Result<Drawn, Failure> {
    let into = match (&options.aircraft, &options.tank, &options.container) {
        (Some(registration), Some(tank), _) => {
            Into::Aircraft { registration: registration.clone(), tank: tank.clone() }
        }
        (_, _, Some(other)) => Into::Container(find(ledger, other)?.id),
        _ => Into::Waste,
    };
    let container = find(ledger, &options.drum)?;
    let volume_ml = millilitres(options.volume);
    if into == Into::Container(container.id) {
        return Err(Failure::asked("nothing can be drawn into itself", "name another container"));
    }
    if volume_ml > container.contents_ml && !options.anyway {
        let held = picture::litres(convert::volume(container.contents_ml));
        let message = format!("the book says that only {held} is in it");
        return Err(Failure::asked(message, "count it first (yard count), or add --anyway"));
    }
    Ok(Drawn { container: container.id, volume_ml, into, flight: options.flight.clone() })
}

fn corrected(options: &CorrectOptions) -> Result<Corrected, Failure> {
    let instead = match (&options.event, &options.instead) {
        (Some(event), _) => Some(event.clone()),
        (None, None) => None,
        (None, Some(file)) => {
            let source = world::read(file)?;
            let event: Event = serde_json::from_str(&source.text).map_err(|error| {
                let help = "take the event from `stillprop yard show DRUM --json` and change it";
                Failure::file(file, format!("this is no event: {error}"), help)
            })?;
            Some(Box::new(event))
        }
    };
    Ok(Corrected { of: options.record, instead, reason: options.reason.clone() })
}
