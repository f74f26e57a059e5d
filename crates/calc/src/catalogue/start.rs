//! The sums of [`crate::propeller`], [`crate::restraint`], [`crate::runaway`] and
//! [`crate::battery`] by name.

use super::{Args, Input, Output, Outs, Shape, Sum, SumError};
use crate::{
    battery::{self, BatteryError, Fixed, Rating, Shares},
    propeller,
    quantity::{ElectricCurrent, Force, FromAmount, Length, Mass, Ratio, Time},
    restraint::{self, Brake, Chock, HoldError, Place, Stance, Surface, Third, Tie, Wheel},
    runaway::{self, Loose},
    source,
    trace::{Silent, Working},
    unit::{A, A_MIN, AH, H, Kind, M, M_S, M_S2, MIN, N, ONE, S},
};

impl From<HoldError> for SumError {
    fn from(error: HoldError) -> Self {
        match error {
            HoldError::OutOfRange(error) => error.into(),
            other => Self::NoAnswer(other.to_string()),
        }
    }
}

impl From<BatteryError> for SumError {
    fn from(error: BatteryError) -> Self {
        match error {
            BatteryError::OutOfRange(error) => error.into(),
            other => Self::NoAnswer(other.to_string()),
        }
    }
}

const LOAD: Input = Input::quantity("load", restraint::WHEEL_LOAD, "what the wheel carries");
const RADIUS: Input = Input::quantity("radius", restraint::WHEEL_RADIUS, "of the wheel, unloaded");
const HEIGHT: Input =
    Input::quantity("chock_height", restraint::CHOCK_HEIGHT, "height of the chock");
const FACE: Input =
    Input::quantity("chock_face", restraint::CHOCK_FACE, "slope of its face; left out: upright")
        .optional();
const THRUST: Input = Input::quantity("thrust", runaway::THRUST, "thrust; from static-thrust");
const CAPACITY: Input = Input::quantity("capacity", battery::CAPACITY, "rated capacity");
const RATED_TIME: Input =
    Input::quantity("rated_time", battery::RATED_TIME, "time over which that is given");
const EXPONENT: Input =
    Input::quantity("exponent", battery::EXPONENT, "of the battery; from peukert-exponent");
const WHEEL: &[Input] = &[
    Input::shaped("place", Shape::Word(&["left", "right", "middle"]), "middle: nose or tail wheel"),
    LOAD,
    Input::shaped("brake", Shape::Word(&["off", "locks"]), "whether it locks the wheel"),
    Input::quantity("brake_holds", restraint::STRENGTH, "least that the locked brake holds")
        .optional(),
    RADIUS.optional(),
    HEIGHT.optional(),
    FACE,
];

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "static-thrust",
        answers: "How hard a propeller pulls while the aeroplane stands still.",
        inputs: &[
            Input::quantity("power", propeller::POWER, "at the propeller, at that throttle"),
            Input::quantity("diameter", propeller::DIAMETER, "of the propeller"),
            Input::quantity("air_density", propeller::AIR, "density of the air"),
            Input::quantity("merit", propeller::MERIT, "figure of merit; 1 is the ideal"),
        ],
        outputs: &[
            Output::new("ideal", N, "of the ideal disc: no propeller exceeds it"),
            Output::new("thrust", N, "with the figure of merit"),
        ],
        sources: &[source::ACTUATOR_DISC],
        run: static_thrust,
    },
    Sum {
        name: "chock-hold",
        answers: "The force at which a wheel that is free to turn climbs its chock, and what holds.",
        inputs: &[
            LOAD,
            RADIUS,
            HEIGHT,
            FACE,
            Input::quantity("friction", restraint::FRICTION, "least of block, tyre and ground")
                .optional(),
        ],
        outputs: &[
            Output::new("climb_ratio", ONE, "force by load"),
            Output::new("climb_force", N, "force at which it climbs, if the chock stays"),
            Output::new("holds", N, "force it holds; when the friction is given"),
            Output::other("gives_way", "how, beyond that force"),
        ],
        sources: &[source::WHEEL_OVER_STEP, source::CHOCK_STATICS],
        run: chock_hold,
    },
    Sum {
        name: "restraint",
        answers: "What chocks, brakes and a tie hold against a thrust: would it hold?",
        inputs: &[
            THRUST,
            Input::shaped("wheels", Shape::Rows(WHEEL), "every wheel, standing still"),
            Input::quantity("tyre_friction", restraint::FRICTION, "locked tyre on this ground"),
            Input::quantity("chock_friction", restraint::FRICTION, "chock on this ground"),
            Input::quantity("tie", restraint::STRENGTH, "weakest of rope, fitting and anchor")
                .optional(),
            Input::quantity("tie_slope", restraint::TIE_SLOPE, "down from level; with a tie")
                .optional(),
            Input::shaped("third_wheel", Shape::Word(&["nose", "tail"]), "left out: no shift")
                .optional(),
            Input::quantity("thrust_height", restraint::THRUST_HEIGHT, "with third_wheel")
                .optional(),
            Input::quantity("wheelbase", restraint::WHEELBASE, "with third_wheel").optional(),
        ],
        outputs: &[
            Output::new("left", N, "left main wheels"),
            Output::new("right", N, "right main wheels"),
            Output::new("middle", N, "nose or tail wheel"),
            Output::new("tie", N, "along the ground"),
            Output::new("total", N, "twice the weaker side, middle and tie"),
            Output::new("without_tie", N, "before the tie is tight"),
            Output::new("margin", N, "total less thrust"),
            Output::new("tail", N, "what the tail still presses; negative: it lifts"),
            Output::other("held", "yes or no"),
            Output::other("load_shift", "whether thrust was let shift the load"),
        ],
        sources: &[source::CHOCK_STATICS, source::WHEEL_OVER_STEP],
        run: restraint,
    },
    Sum {
        name: "runaway",
        answers: "How fast and how far an aeroplane goes that breaks loose: never faster than this.",
        inputs: &[
            THRUST,
            Input::quantity("mass", runaway::MASS, "mass of the aeroplane"),
            Input::quantity("rolling_resistance", runaway::ROLLING, "share of its weight"),
            Input::quantity("after", runaway::AFTER, "time since it broke loose").optional(),
            Input::quantity("distance", runaway::AWAY, "to somebody or something").optional(),
        ],
        outputs: &[
            Output::new("acceleration", M_S2, "gathering speed; nothing when it stays"),
            Output::new("distance_after", M, "after that time"),
            Output::new("velocity_after", M_S, "after that time"),
            Output::new("time_to", S, "to reach the distance"),
            Output::new("velocity_at", M_S, "at the distance"),
            Output::other("moves", "yes or no"),
        ],
        sources: &[source::STEADY_FORCE],
        run: runaway,
    },
    Sum {
        name: "peukert-time",
        answers: "How long a full battery gives a current, by the law referred to its rating.",
        inputs: &[
            CAPACITY,
            RATED_TIME,
            EXPONENT,
            Input::quantity("current", battery::CURRENT, "that is drawn"),
        ],
        outputs: &[
            Output::new("time", H, "until it is flat"),
            Output::new("delivered", AH, "all it gives; below the rated current more than rated"),
        ],
        sources: &[source::PEUKERT_1897],
        run: peukert_time,
    },
    Sum {
        name: "peukert-exponent",
        answers: "The exponent of a battery from two of its ratings.",
        inputs: &[
            CAPACITY,
            RATED_TIME,
            Input::quantity("other_capacity", battery::CAPACITY, "at the other rating"),
            Input::quantity("other_rated_time", battery::RATED_TIME, "of the other rating"),
        ],
        outputs: &[Output::new("exponent", ONE, "exponent")],
        sources: &[source::PEUKERT_1897],
        run: peukert_exponent,
    },
    Sum {
        name: "battery-endurance",
        answers: "How long a battery lasts without charging, with all loads on and with some shed.",
        inputs: &[
            CAPACITY,
            RATED_TIME,
            EXPONENT,
            Input::quantity("share_temperature", battery::SHARE, "of the capacity, when this cold"),
            Input::quantity("share_age", battery::SHARE, "of the capacity, at this age"),
            Input::shaped("essential", Shape::Quantities(Kind::Current), "loads that stay on"),
            Input::shaped("shed", Shape::Quantities(Kind::Current), "loads to be shed").optional(),
        ],
        outputs: &[
            Output::new("usable", AH, "of the capacity"),
            Output::new("current", A, "of all loads"),
            Output::new("endurance", MIN, "with all loads on"),
            Output::new("current_shed", A, "of the essential loads"),
            Output::new("endurance_shed", MIN, "with the others shed"),
            Output::new("by_law", MIN, "that without counting no more than is usable"),
        ],
        sources: &[source::PEUKERT_1897],
        run: battery_endurance,
    },
    Sum {
        name: "battery-load",
        answers: "How long an emergency battery lasts: known loads first, the rest in cruise.",
        inputs: &[
            CAPACITY,
            Input::quantity("share", battery::SHARE, "usable share of the capacity"),
            Input::shaped(
                "fixed",
                Shape::Rows(&[
                    Input::quantity("current", battery::FIXED, "while it is on"),
                    Input::quantity("time", battery::FIXED_TIME, "how long it is on"),
                ]),
                "loads of a known time: before shedding, approach and landing",
            ),
            Input::quantity("cruise", battery::CURRENT, "load in cruise"),
            Input::quantity("wanted", battery::FIXED_TIME, "time it must last").optional(),
        ],
        outputs: &[
            Output::new("usable", A_MIN, "of the capacity"),
            Output::new("fixed", A_MIN, "what the known loads take"),
            Output::new("left", A_MIN, "for the cruise"),
            Output::new("cruise_time", MIN, "how long that lasts"),
            Output::new("total", MIN, "known loads and cruise"),
            Output::new("margin", MIN, "total less the time it must last"),
            Output::other("enough", "yes or no; when that time is given"),
        ],
        sources: &[source::BATTERY_ANALYSIS],
        run: battery_load,
    },
];

const fn yes_or_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn static_thrust(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (power, diameter) = (args.quantity("power")?, args.quantity("diameter")?);
    let (density, merit) = (args.quantity("air_density")?, args.quantity("merit")?);
    let found = propeller::static_thrust(power, diameter, density, merit, working)?;
    Ok(Outs::default().put("ideal", N, found.ideal).put("thrust", N, found.thrust))
}

/// The chock, when there is one; half of one is a mistake.
fn chock(args: &Args) -> Result<Option<Chock>, SumError> {
    let keys = ["radius", "chock_height", "chock_face"];
    if keys.iter().all(|key| !args.has(key)) {
        return Ok(None);
    }
    let (radius, height) = (args.quantity("radius")?, args.quantity("chock_height")?);
    Ok(Some(Chock { radius, height, face: args.optional("chock_face") }))
}

fn chock_hold(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let load = args.quantity("load")?;
    let chock = Chock {
        radius: args.quantity("radius")?,
        height: args.quantity("chock_height")?,
        face: args.optional("chock_face"),
    };
    let Some(friction) = args.optional::<Ratio>("friction") else {
        let ratio = chock.climb_ratio(working)?;
        let climb = restraint::weight(load)? * ratio;
        return Ok(Outs::default().put("climb_ratio", ONE, ratio).put("climb_force", N, climb));
    };
    let ratio = chock.climb_ratio(&mut Silent)?;
    let found = restraint::chock_hold(load, &chock, friction, working)?;
    Ok(Outs::default()
        .put("climb_ratio", ONE, ratio)
        .put("climb_force", N, found.climb)
        .put("holds", N, found.force)
        .word("gives_way", found.gives_way.words()))
}

fn wheel(place: usize, row: &Args) -> Result<Wheel, SumError> {
    let wanted = |wanted: &str| SumError::WrongShape {
        key: format!("wheels[{place}]"),
        wanted: wanted.into(),
    };
    let brake = match (row.word("brake"), row.optional::<Force>("brake_holds")) {
        (Some("locks"), None) => Brake::Locks,
        (Some("locks"), Some(force)) => Brake::Holds(force),
        (_, None) => Brake::Off,
        (_, Some(_)) => return Err(wanted("a brake that is off, or one that holds something")),
    };
    let at = match row.word("place") {
        Some("left") => Place::Left,
        Some("right") => Place::Right,
        _ => Place::Middle,
    };
    Ok(Wheel { place: at, load: row.quantity("load")?, brake, chock: chock(row)? })
}

fn stance(args: &Args) -> Result<Option<Stance>, SumError> {
    let third = match args.word("third_wheel") {
        Some("nose") => Third::Nose,
        Some(_) => Third::Tail,
        None if args.has("thrust_height") || args.has("wheelbase") => {
            return Err(SumError::Missing { key: "third_wheel", says: "nose or tail" });
        }
        None => return Ok(None),
    };
    let thrust_height: Length = args.quantity("thrust_height")?;
    Ok(Some(Stance { third, thrust_height, wheelbase: args.quantity("wheelbase")? }))
}

fn restraint(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let wheels: Vec<Wheel> = args
        .rows("wheels")
        .iter()
        .enumerate()
        .map(|(place, row)| wheel(place, row))
        .collect::<Result<_, _>>()?;
    let surface =
        Surface { tyre: args.quantity("tyre_friction")?, chock: args.quantity("chock_friction")? };
    let tie = if args.has("tie") || args.has("tie_slope") {
        Some(Tie { strength: args.quantity("tie")?, slope: args.quantity("tie_slope")? })
    } else {
        None
    };
    let stance = stance(args)?;
    let thrust = args.quantity("thrust")?;
    let found =
        restraint::restraint(thrust, &wheels, &surface, tie.as_ref(), stance.as_ref(), working)?;
    let outs = Outs::default()
        .put("left", N, found.left)
        .put("right", N, found.right)
        .put("middle", N, found.middle)
        .put("tie", N, found.tie)
        .put("total", N, found.total)
        .put("without_tie", N, found.without_tie)
        .put("margin", N, found.margin);
    let outs = match found.tail {
        Some(tail) => outs.put("tail", N, tail),
        None => outs,
    };
    let shift = if stance.is_some() { "reckoned" } else { "not reckoned: no stance given" };
    Ok(outs.word("held", yes_or_no(found.held)).word("load_shift", shift))
}

fn runaway(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (mass, rolling): (Mass, Ratio) =
        (args.quantity("mass")?, args.quantity("rolling_resistance")?);
    let loose = Loose::new(args.quantity("thrust")?, mass, rolling, working)?;
    let mut outs = Outs::default().put("acceleration", M_S2, loose.acceleration());
    if let Some(after) = args.optional::<Time>("after") {
        let found = loose.after(after, working)?;
        outs = outs.put("distance_after", M, found.distance).put(
            "velocity_after",
            M_S,
            found.velocity,
        );
    }
    if let Some(distance) = args.optional::<Length>("distance")
        && let Some(found) = loose.at(distance, working)?
    {
        outs = outs.put("time_to", S, found.time).put("velocity_at", M_S, found.velocity);
    }
    Ok(outs.word("moves", yes_or_no(loose.acceleration().si() > 0.0)))
}

fn rating(args: &Args) -> Result<Rating, SumError> {
    Ok(Rating { capacity: args.quantity("capacity")?, time: args.quantity("rated_time")? })
}

fn peukert_time(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (current, exponent) = (args.quantity("current")?, args.quantity("exponent")?);
    let found = battery::peukert(&rating(args)?, current, exponent, working)?;
    Ok(Outs::default().put("time", H, found.time).put("delivered", AH, found.delivered))
}

fn peukert_exponent(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let other = Rating {
        capacity: args.quantity("other_capacity")?,
        time: args.quantity("other_rated_time")?,
    };
    Ok(Outs::default().put("exponent", ONE, battery::exponent(&rating(args)?, &other, working)?))
}

fn battery_endurance(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (rating, exponent) = (rating(args)?, args.quantity("exponent")?);
    let shares = Shares {
        temperature: args.quantity("share_temperature")?,
        age: args.quantity("share_age")?,
    };
    let essential = current(args, "essential")?;
    let all = essential + current(args, "shed")?;
    let on = battery::endurance(&rating, &shares, all, exponent, working)?;
    let outs = Outs::default().put("usable", AH, on.usable).put("current", A, all).put(
        "endurance",
        MIN,
        on.time,
    );
    let shed = battery::endurance(&rating, &shares, essential, exponent, working)?;
    Ok(outs.put("current_shed", A, essential).put("endurance_shed", MIN, shed.time).put(
        "by_law",
        MIN,
        shed.by_law,
    ))
}

/// The sum of the currents under a key.
fn current(args: &Args, key: &'static str) -> Result<ElectricCurrent, SumError> {
    let mut sum = ElectricCurrent::from_si(0.0);
    for load in args.quantities::<ElectricCurrent>(key) {
        sum += battery::FIXED.check(load)?;
    }
    Ok(sum)
}

fn battery_load(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let fixed: Vec<Fixed> = args
        .rows("fixed")
        .iter()
        .map(|row| Ok(Fixed { current: row.quantity("current")?, time: row.quantity("time")? }))
        .collect::<Result<_, SumError>>()?;
    let (capacity, share) = (args.quantity("capacity")?, args.quantity("share")?);
    let found = battery::load_analysis(capacity, share, &fixed, args.quantity("cruise")?, working)?;
    let outs = Outs::default()
        .put("usable", A_MIN, found.usable)
        .put("fixed", A_MIN, found.fixed)
        .put("left", A_MIN, found.left)
        .put("cruise_time", MIN, found.cruise)
        .put("total", MIN, found.total);
    Ok(match args.optional::<Time>("wanted") {
        Some(wanted) => outs
            .put("margin", MIN, found.total - wanted)
            .word("enough", yes_or_no(found.total >= wanted)),
        None => outs,
    })
}
