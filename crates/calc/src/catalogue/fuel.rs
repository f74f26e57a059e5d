//! The sums of [`crate::fuel`] by name.

use super::{Args, Input, Output, Outs, Sum, SumError};
use crate::{
    fuel::{self, Ladder, WayPoint},
    load,
    quantity::Volume,
    source,
    trace::Working,
    unit::{H, KG, L, MIN, NM},
};

const DISTANCE: Input = Input::quantity("distance", fuel::DISTANCE, "distance over ground");
const GROUNDSPEED: Input = Input::quantity("groundspeed", fuel::GROUNDSPEED, "speed over ground");
const GROUNDSPEED_OUT: Input =
    Input::quantity("groundspeed_out", fuel::GROUNDSPEED, "speed over ground, going on");
const GROUNDSPEED_HOME: Input =
    Input::quantity("groundspeed_home", fuel::GROUNDSPEED, "speed over ground, going back");
const BURN: Input = Input::quantity("burn", fuel::BURN, "fuel burnt in a time");
const DENSITY: Input = Input::quantity("density", fuel::DENSITY, "density of the fuel");
const STEP: Input =
    Input::quantity("step", fuel::STEP, "smallest amount the dispenser can give or show");

const TIME_OUT: Output = Output::new("time", MIN, "time needed");
const FUEL_OUT: Output = Output::new("fuel", L, "fuel burnt");
const ROUNDED_OUT: Output = Output::new("rounded_up", L, "rounded up to the step");
const POINT_OUT: &[Output] = &[
    Output::new("distance", NM, "of the point from the start"),
    Output::new("time", MIN, "to the point from the start"),
];

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "leg-time",
        answers: "How long a leg takes.",
        inputs: &[DISTANCE, GROUNDSPEED],
        outputs: &[TIME_OUT],
        sources: &[source::PHAK_FUEL],
        run: leg_time,
    },
    Sum {
        name: "leg-fuel",
        answers: "How long a leg takes and what it burns.",
        inputs: &[DISTANCE, GROUNDSPEED, BURN],
        outputs: &[TIME_OUT, FUEL_OUT],
        sources: &[source::PHAK_FUEL],
        run: leg_fuel,
    },
    Sum {
        name: "time-fuel",
        answers: "What a time burns: holding, a final reserve.",
        inputs: &[Input::quantity("time", fuel::TIME, "how long"), BURN],
        outputs: &[FUEL_OUT],
        sources: &[source::PHAK_FUEL],
        run: time_fuel,
    },
    Sum {
        name: "contingency",
        answers: "The share of the trip fuel kept for what the plan did not foresee.",
        inputs: &[
            Input::quantity("trip", fuel::VOLUME, "trip fuel"),
            Input::quantity("share", fuel::SHARE, "share of it, as the rule says"),
        ],
        outputs: &[Output::new("contingency", L, "contingency fuel")],
        sources: &[source::PHAK_FUEL],
        run: contingency,
    },
    Sum {
        name: "fuel-required",
        answers: "The usable fuel that must be aboard: the whole ladder added up.",
        inputs: LADDER,
        outputs: &[Output::new("required", L, "usable fuel required")],
        sources: &[source::PHAK_FUEL],
        run: fuel_required,
    },
    Sum {
        name: "endurance",
        answers: "How long a volume of fuel lasts.",
        inputs: &[Input::quantity("fuel", fuel::VOLUME, "fuel that may be burnt"), BURN],
        outputs: &[Output::new("endurance", H, "time until it is burnt")],
        sources: &[source::PHAK_FUEL],
        run: endurance,
    },
    Sum {
        name: "point-of-no-return",
        answers: "The farthest point from which the start can still be reached.",
        inputs: &[
            Input::quantity("endurance", fuel::TIME, "time for which fuel may be burnt"),
            GROUNDSPEED_OUT,
            GROUNDSPEED_HOME,
        ],
        outputs: POINT_OUT,
        sources: &[source::NAVIGATION_ALGEBRA],
        run: point_of_no_return,
    },
    Sum {
        name: "equal-time-point",
        answers: "The point from which going on and going back take the same time.",
        inputs: &[
            Input::quantity("distance", fuel::DISTANCE, "whole distance, start to destination"),
            GROUNDSPEED_OUT,
            GROUNDSPEED_HOME,
        ],
        outputs: POINT_OUT,
        sources: &[source::NAVIGATION_ALGEBRA],
        run: equal_time_point,
    },
    Sum {
        name: "round-up",
        answers: "The next whole step of the dispenser at or above a volume.",
        inputs: &[Input::quantity("volume", fuel::VOLUME, "volume needed"), STEP],
        outputs: &[ROUNDED_OUT],
        sources: &[source::CALC_PROMISE],
        run: round_up,
    },
    Sum {
        name: "mass-of-fuel",
        answers: "The mass of a volume of fuel.",
        inputs: &[Input::quantity("volume", fuel::VOLUME, "volume of fuel"), DENSITY],
        outputs: &[Output::new("mass", KG, "its mass")],
        sources: &[source::PHAK_BALANCE],
        run: mass_of_fuel,
    },
    Sum {
        name: "mass-over-to-fuel",
        answers: "The fuel to leave out, or to take off, when the aeroplane is too heavy.",
        inputs: &[
            Input::quantity("over", load::MASS, "mass above the limit"),
            DENSITY,
            Input { required: false, ..STEP },
        ],
        outputs: &[
            Output::new("volume", L, "volume of that mass of fuel"),
            Output::new("rounded_up", L, "rounded up to the step; when that is given"),
        ],
        sources: &[source::PHAK_BALANCE, source::CALC_PROMISE],
        run: mass_over_to_fuel,
    },
];

/// Every rung is asked for: a rung that was forgotten must not pass for one that is empty.
const LADDER: &[Input] = &[
    Input::quantity("start_and_taxi", fuel::VOLUME, "start, taxi and run-up"),
    Input::quantity("trip", fuel::VOLUME, "all legs to the last landing"),
    Input::quantity("contingency", fuel::VOLUME, "for what the plan did not foresee"),
    Input::quantity("alternate", fuel::VOLUME, "destination to alternate; \"0 L\" without one"),
    Input::quantity("holding", fuel::VOLUME, "holding that was asked for; \"0 L\" without"),
    Input::quantity("final_reserve", fuel::VOLUME, "never planned to be used"),
    Input::quantity("extra", fuel::VOLUME, "the pilot's own; \"0 L\" without"),
];

fn leg_time(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let time = fuel::leg_time(args.quantity("distance")?, args.quantity("groundspeed")?, working)?;
    Ok(Outs::default().put("time", MIN, time))
}

fn leg_fuel(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let time = fuel::leg_time(args.quantity("distance")?, args.quantity("groundspeed")?, working)?;
    let fuel = fuel::time_fuel(time, args.quantity("burn")?, working)?;
    Ok(Outs::default().put("time", MIN, time).put("fuel", L, fuel))
}

fn time_fuel(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let fuel = fuel::time_fuel(args.quantity("time")?, args.quantity("burn")?, working)?;
    Ok(Outs::default().put("fuel", L, fuel))
}

fn contingency(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let fuel = fuel::contingency(args.quantity("trip")?, args.quantity("share")?, working)?;
    Ok(Outs::default().put("contingency", L, fuel))
}

fn fuel_required(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let ladder = Ladder {
        start_and_taxi: args.quantity("start_and_taxi")?,
        trip: args.quantity("trip")?,
        contingency: args.quantity("contingency")?,
        alternate: args.quantity("alternate")?,
        holding: args.quantity("holding")?,
        final_reserve: args.quantity("final_reserve")?,
        extra: args.quantity("extra")?,
    };
    Ok(Outs::default().put("required", L, ladder.required(working)))
}

fn endurance(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let time = fuel::endurance(args.quantity("fuel")?, args.quantity("burn")?, working)?;
    Ok(Outs::default().put("endurance", H, time))
}

fn point_of_no_return(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (out, home) = (args.quantity("groundspeed_out")?, args.quantity("groundspeed_home")?);
    Ok(put_point(fuel::point_of_no_return(args.quantity("endurance")?, out, home, working)?))
}

fn equal_time_point(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (out, home) = (args.quantity("groundspeed_out")?, args.quantity("groundspeed_home")?);
    Ok(put_point(fuel::equal_time_point(args.quantity("distance")?, out, home, working)?))
}

fn put_point(point: WayPoint) -> Outs {
    Outs::default().put("distance", NM, point.distance).put("time", MIN, point.time)
}

fn round_up(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let rounded = fuel::round_up(args.quantity("volume")?, args.quantity("step")?, working)?;
    Ok(Outs::default().put("rounded_up", L, rounded))
}

fn mass_of_fuel(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let mass = fuel::mass_of(args.quantity("volume")?, args.quantity("density")?, working)?;
    Ok(Outs::default().put("mass", KG, mass))
}

fn mass_over_to_fuel(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let volume = fuel::volume_of(args.quantity("over")?, args.quantity("density")?, working)?;
    let outs = Outs::default().put("volume", L, volume);
    match args.optional::<Volume>("step") {
        Some(step) => Ok(outs.put("rounded_up", L, fuel::round_up(volume, step, working)?)),
        None => Ok(outs),
    }
}
