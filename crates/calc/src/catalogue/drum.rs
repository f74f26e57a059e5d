//! The sums of [`crate::drum`] and [`crate::warming`] by name.

use super::{Args, Input, Output, Outs, Shape, Sum, SumError};
use crate::{
    bounds::Bounds,
    density,
    drum::{self, Drum, Pose},
    quantity::{Angle, FromAmount, Length, TemperatureCoefficient, Volume},
    source,
    trace::Working,
    unit::{L, M, MM, PERCENT},
    warming::{self, Filled},
};

/// Where a stick may go in; the measures of the drum set the bound that counts.
const AT_BOUNDS: Bounds = Bounds::new("place of the dip", -12.0, 12.0, M);

const DIAMETER: Input = Input::quantity("diameter", drum::DIAMETER, "inside diameter");
const LENGTH: Input =
    Input::quantity("length", drum::LENGTH, "inside length; its height when upright");
const TILT: Input = Input::quantity(
    "tilt",
    drum::SLANT,
    "on its side: angle of its axis from level; left out: level",
)
.optional();
const LEAN: Input =
    Input::quantity("lean", drum::SLANT, "upright: angle of its axis from plumb; left out: plumb")
        .optional();
const AT_SIDE: Input = Input::quantity(
    "at",
    AT_BOUNDS,
    "distance of the stick from the low end, along the axis; needed with a tilt",
)
.optional();
const AT_UPRIGHT: Input = Input::quantity(
    "at",
    AT_BOUNDS,
    "distance of the stick from the axis towards the low side, negative to the high side; needed with a lean",
)
.optional();
const AT_EITHER: Input = Input::quantity(
    "at",
    AT_BOUNDS,
    "place of the stick: from the low end on its side, from the axis towards the low side upright; needed with a slant",
)
.optional();
const POSES: &[&str] = &["side", "upright"];

const VOLUME_OUT: Output = Output::new("volume", L, "contents");
const SHARE_OUT: Output = Output::new("share", PERCENT, "contents as a share of what it holds");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "drum-dip-side",
        answers: "What a dip means in a drum on its side, level or tilted.",
        inputs: &[
            DIAMETER,
            LENGTH,
            Input::any("dip", crate::unit::Kind::Length, "wet length, square to the axis"),
            TILT,
            AT_SIDE,
        ],
        outputs: &[VOLUME_OUT, SHARE_OUT],
        sources: &[source::SOLID_GEOMETRY],
        run: dip_side,
    },
    Sum {
        name: "drum-dip-upright",
        answers: "What a dip means in a drum on its end, plumb or leaning.",
        inputs: &[
            DIAMETER,
            LENGTH,
            Input::any("dip", crate::unit::Kind::Length, "wet length, along the axis").optional(),
            LEAN,
            AT_UPRIGHT,
            Input::quantity(
                "axis_level",
                drum::AXIS_LEVEL,
                "instead of dip and place: where the surface, carried on, meets the axis",
            )
            .optional(),
        ],
        outputs: &[VOLUME_OUT, SHARE_OUT],
        sources: &[source::SOLID_GEOMETRY],
        run: dip_upright,
    },
    Sum {
        name: "drum-dip-for-volume",
        answers: "The dip that a volume gives.",
        inputs: &[
            Input::shaped("pose", Shape::Word(POSES), "how the drum stands"),
            DIAMETER,
            LENGTH,
            Input::quantity("volume", crate::fuel::VOLUME, "contents"),
            TILT,
            LEAN,
            AT_EITHER,
        ],
        outputs: &[
            Output::new("dip", MM, "where the surface, carried on, meets the stick"),
            Output::other("stick", "reads, stays dry, or is covered"),
        ],
        sources: &[source::SOLID_GEOMETRY],
        run: dip_for_volume,
    },
    Sum {
        name: "standpipe-remainder",
        answers: "What a stand-pipe kept off the bottom leaves in an upright drum.",
        inputs: &[
            DIAMETER,
            LENGTH,
            Input::any("clearance", crate::unit::Kind::Length, "mouth above the bottom"),
            LEAN,
            AT_UPRIGHT,
        ],
        outputs: &[
            Output::new("left", L, "left behind"),
            Output::new("left_turned", L, "if the pipe stood on the other side"),
            Output::new("left_plumb", L, "if the drum did not lean"),
        ],
        sources: &[source::SOLID_GEOMETRY],
        run: standpipe_remainder,
    },
    Sum {
        name: "drum-warming",
        answers: "What happens in a full drum that warms in the sun.",
        inputs: &[
            Input::quantity("capacity", warming::CAPACITY, "what the drum holds to the brim"),
            Input::quantity("volume", crate::fuel::VOLUME, "fuel in it"),
            Input::quantity("temperature", density::TEMPERATURE, "of the fuel now"),
            Input::quantity("warmed_to", density::TEMPERATURE, "of the fuel later"),
            Input::quantity("density_15", density::DENSITY_15, "density of the fuel at 15 degC"),
            Input::quantity(
                "shell",
                warming::SHELL,
                "growth of the drum per degree; left out: none, which leaves least room",
            )
            .optional(),
        ],
        outputs: &[
            Output::new("volume", L, "of the fuel, as if it had room"),
            Output::new("growth", L, "of the fuel"),
            Output::new("ullage", L, "space left above it"),
            Output::new("ullage_share", PERCENT, "that, as a share of the capacity"),
            Output::new("overflow", L, "fuel that has no room"),
        ],
        sources: &[source::MPMS_11_1, source::FUEL_ARITHMETIC],
        run: drum_warming,
    },
];

fn the_drum(args: &Args) -> Result<Drum, SumError> {
    Ok(Drum::new(args.quantity("diameter")?, args.quantity("length")?)?)
}

/// The slant under `key` and the place of the stick, which may be left out only without a slant.
fn slant(args: &Args, key: &str) -> Result<(Angle, Length), SumError> {
    let slant = args.optional::<Angle>(key).unwrap_or(Angle::from_si(0.0));
    let at = match args.optional("at") {
        None if slant.si() > 0.0 => {
            let says = "where the stick goes in, because the drum slants";
            return Err(SumError::Missing { key: "at", says });
        }
        at => at.unwrap_or(Length::from_si(0.0)),
    };
    Ok((slant, at))
}

fn on_side(args: &Args) -> Result<Pose, SumError> {
    let (tilt, at) = slant(args, "tilt")?;
    Ok(Pose::OnSide { tilt, at })
}

fn upright(args: &Args) -> Result<Pose, SumError> {
    let (lean, at) = slant(args, "lean")?;
    Ok(Pose::Upright { lean, at })
}

fn put_contents(drum: &Drum, volume: Volume) -> Outs {
    Outs::default().put("volume", L, volume).put("share", PERCENT, volume / drum.capacity())
}

fn dip_side(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let drum = the_drum(args)?;
    let volume = drum.contents(on_side(args)?, args.quantity("dip")?, working)?;
    Ok(put_contents(&drum, volume))
}

fn dip_upright(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let drum = the_drum(args)?;
    let volume = match args.optional("axis_level") {
        Some(_) if args.has("dip") || args.has("at") => {
            let one = "give dip and at, or axis_level alone";
            return Err(SumError::NoAnswer(one.into()));
        }
        Some(level) => {
            let lean = args.optional("lean").unwrap_or(Angle::from_si(0.0));
            drum.contents_at_level(lean, level, working)?
        }
        None => drum.contents(upright(args)?, args.quantity("dip")?, working)?,
    };
    Ok(put_contents(&drum, volume))
}

fn dip_for_volume(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let drum = the_drum(args)?;
    let is_upright = args.word("pose") == Some("upright");
    if args.has(if is_upright { "tilt" } else { "lean" }) {
        let one = "a drum on its side has a tilt, an upright one a lean";
        return Err(SumError::NoAnswer(one.into()));
    }
    let pose = if is_upright { upright(args)? } else { on_side(args)? };
    let found = drum.dip_for(pose, args.quantity("volume")?, working)?;
    Ok(Outs::default().put("dip", MM, found.dip).word("stick", found.stick.words()))
}

fn standpipe_remainder(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (lean, at) = slant(args, "lean")?;
    let left = the_drum(args)?.left_by_pipe(args.quantity("clearance")?, lean, at, working)?;
    Ok(Outs::default().put("left", L, left.left).put("left_turned", L, left.turned).put(
        "left_plumb",
        L,
        left.plumb,
    ))
}

fn drum_warming(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let filled = Filled {
        capacity: args.quantity("capacity")?,
        volume: args.quantity("volume")?,
        temperature: args.quantity("temperature")?,
        density_15: args.quantity("density_15")?,
    };
    let shell = args.optional("shell").unwrap_or(TemperatureCoefficient::from_si(0.0));
    let warmed = warming::warm(&filled, args.quantity("warmed_to")?, shell, working)?;
    Ok(Outs::default()
        .put("volume", L, warmed.volume)
        .put("growth", L, warmed.growth)
        .put("ullage", L, warmed.ullage)
        .put("ullage_share", PERCENT, warmed.ullage / filled.capacity)
        .put("overflow", L, warmed.overflow))
}
