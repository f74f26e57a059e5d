//! The sums of [`crate::load`], [`crate::envelope`] and [`crate::burn`] by name.

use super::{Args, Input, Output, Outs, Shape, Sum, SumError};
use crate::{
    bounds::Bounds,
    burn::{self, ArmCurve, Tank, Worst},
    envelope::{Corner, Envelope, EnvelopeError},
    load::{self, LoadError, Loading},
    quantity::{FromAmount, Length, Mass, Moment},
    source,
    trace::{Silent, Step, Trace, Working},
    unit::{KG, KG_M, Kind, M, PERCENT},
};

impl From<LoadError> for SumError {
    fn from(error: LoadError) -> Self {
        match error {
            LoadError::OutOfRange(error) => error.into(),
            other => Self::NoAnswer(other.to_string()),
        }
    }
}

impl From<EnvelopeError> for SumError {
    fn from(error: EnvelopeError) -> Self {
        Self::NoAnswer(error.to_string())
    }
}

const MASS: Input = Input::quantity("mass", load::MASS, "mass of the aeroplane");
const CENTRE_OF_GRAVITY: Input =
    Input::quantity("centre_of_gravity", load::ARM, "its arm; or give the moment").optional();
const MOMENT: Input =
    Input::any("moment", Kind::Moment, "mass times arm, instead of the arm").optional();
const LEMAC: Input =
    Input::quantity("lemac", load::ARM, "arm of the leading edge of the mean chord");
const MAC: Input = Input::quantity("mac", load::CHORD, "length of the mean aerodynamic chord");
const ITEM: &[Input] = &[
    Input::quantity("mass", load::MASS, "mass of the item"),
    Input::quantity("arm", load::ARM, "its arm, aft of the datum; or give the moment").optional(),
    MOMENT,
    LATERAL,
];
const LATERAL: Input =
    Input::quantity("lateral", load::ARM, "arm to the right; for every item or for none")
        .optional();
const CORNERS: Input = Input::shaped(
    "corners",
    Shape::Rows(&[
        Input::quantity("arm", load::ARM, "arm of the corner"),
        Input::quantity("mass", load::MASS, "mass of the corner"),
    ]),
    "corners of the envelope, in order around it",
);
const TANK: &[Input] = &[
    Input::quantity("fuel", load::MASS, "mass of usable fuel in the tank"),
    Input::quantity("arm", load::ARM, "arm of its fuel; or give arm_points").optional(),
    Input::shaped(
        "arm_points",
        Shape::Rows(&[
            Input::quantity("fuel", load::MASS, "mass of fuel in the tank"),
            Input::quantity("arm", load::ARM, "arm of that fuel"),
        ]),
        "arm by how much is in it, instead of one arm",
    )
    .optional(),
    Input::shaped(
        "order",
        Shape::Word(&["1", "2", "3", "4", "5", "6", "7", "8"]),
        "place in the burn order; equal numbers feed together, in equal shares",
    ),
    LATERAL,
];

const MASS_OUT: Output = Output::new("mass", KG, "total mass");
const MOMENT_OUT: Output = Output::new("moment", KG_M, "total moment about the datum");
const CENTRE_OF_GRAVITY_OUT: Output = Output::new("centre_of_gravity", M, "its arm");
const CHANGE_OUT: Output =
    Output::new("change", M, "change of the centre of gravity, aft positive");
const ENVELOPE_OUT: Output = Output::other("envelope", "inside or outside");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "centre-of-gravity",
        answers: "How heavy a loaded aeroplane is and where it balances.",
        inputs: &[
            Input::shaped("items", Shape::Rows(ITEM), "what is aboard, the empty aeroplane first"),
            Input::shaped("removed", Shape::Rows(ITEM), "what was counted and is taken off")
                .optional(),
            LEMAC.optional(),
            MAC.optional(),
            CORNERS.optional(),
        ],
        outputs: &[
            MASS_OUT,
            MOMENT_OUT,
            CENTRE_OF_GRAVITY_OUT,
            Output::new("lateral", M, "lateral arm, right positive; when the items have one"),
            Output::new("percent_mac", PERCENT, "share of the mean chord; when that is given"),
            Output::other("envelope", "inside or outside; when corners are given"),
        ],
        sources: &[source::PHAK_BALANCE, source::AC_43_13],
        run: centre_of_gravity,
    },
    Sum {
        name: "mass-shift",
        answers: "How far the centre of gravity moves when a mass is moved along the aeroplane.",
        inputs: &[
            MASS,
            Input { says: "before; left out: only the change is answered", ..CENTRE_OF_GRAVITY },
            MOMENT,
            Input::quantity("moved", load::MASS, "mass that is moved"),
            Input::quantity("from", load::ARM, "arm it is moved from"),
            Input::quantity("to", load::ARM, "arm it is moved to"),
        ],
        outputs: &[CHANGE_OUT, CENTRE_OF_GRAVITY_OUT, MOMENT_OUT],
        sources: &[source::PHAK_BALANCE],
        run: mass_shift,
    },
    Sum {
        name: "mass-add",
        answers: "Mass and balance after something is put aboard.",
        inputs: &[
            MASS,
            CENTRE_OF_GRAVITY,
            MOMENT,
            Input::quantity("added", load::MASS, "mass that is added"),
            Input::quantity("arm", load::ARM, "arm it is added at"),
        ],
        outputs: &[MASS_OUT, CENTRE_OF_GRAVITY_OUT, CHANGE_OUT, MOMENT_OUT],
        sources: &[source::PHAK_BALANCE],
        run: mass_add,
    },
    Sum {
        name: "mass-remove",
        answers: "Mass and balance after something is taken off.",
        inputs: &[
            MASS,
            CENTRE_OF_GRAVITY,
            MOMENT,
            Input::quantity("removed", load::MASS, "mass that is taken off"),
            Input::quantity("arm", load::ARM, "arm it is taken off at"),
        ],
        outputs: &[MASS_OUT, CENTRE_OF_GRAVITY_OUT, CHANGE_OUT, MOMENT_OUT],
        sources: &[source::PHAK_BALANCE],
        run: mass_remove,
    },
    Sum {
        name: "ballast",
        answers: "The ballast that brings the centre of gravity to a target.",
        inputs: &[
            MASS,
            CENTRE_OF_GRAVITY,
            MOMENT,
            Input::quantity("target", load::ARM, "centre of gravity that is wanted"),
            Input::quantity("ballast_arm", load::ARM, "arm of the ballast"),
        ],
        outputs: &[
            Output::new("ballast", KG, "mass of the ballast"),
            Output::new("mass", KG, "total mass with it"),
        ],
        sources: &[source::FAA_8083_1],
        run: ballast,
    },
    Sum {
        name: "greatest-added-mass",
        answers: "The greatest mass that can be added at one place before a limit is reached.",
        inputs: &[
            MASS,
            CENTRE_OF_GRAVITY,
            MOMENT,
            Input::quantity("limit", load::ARM, "limit the centre of gravity moves towards"),
            Input::quantity("added_arm", load::ARM, "arm of the place"),
            Input::quantity("greatest_mass", load::MASS, "limit of the total; left out: not asked")
                .optional(),
        ],
        outputs: &[
            Output::new("added", KG, "mass that can be added"),
            Output::other("set_by", "balance or mass, whichever limit is reached first"),
        ],
        sources: &[source::FAA_8083_1, source::PHAK_BALANCE],
        run: greatest_added_mass,
    },
    Sum {
        name: "percent-mac",
        answers: "The centre of gravity as a share of the mean aerodynamic chord.",
        inputs: &[
            Input { required: true, says: "arm from the datum", ..CENTRE_OF_GRAVITY },
            LEMAC,
            MAC,
        ],
        outputs: &[Output::new("percent_mac", PERCENT, "behind the leading edge of the chord")],
        sources: &[source::FAA_8083_1],
        run: percent_mac,
    },
    Sum {
        name: "envelope",
        answers: "Whether a mass and arm lie inside the envelope, and how far from each edge.",
        inputs: &[CORNERS, Input::quantity("arm", load::ARM, "arm of the centre of gravity"), MASS],
        outputs: &[
            ENVELOPE_OUT,
            Output::new("forward_limit", M, "foremost arm at that mass"),
            Output::new("aft_limit", M, "aftmost arm at that mass"),
            Output::new("to_forward", M, "distance to it, inside positive"),
            Output::new("to_aft", M, "distance to it, inside positive"),
            Output::new("below_top", KG, "mass below the highest corner"),
            Output::new("above_bottom", KG, "mass above the lowest corner"),
            Output::other("edges", "along_arm and along_mass to each edge, where it reaches"),
        ],
        sources: &[source::PLANE_GEOMETRY],
        run: envelope,
    },
    Sum {
        name: "burn-path",
        answers: "The worst balance anywhere between full and empty tanks, not only at the ends.",
        inputs: &[
            Input::quantity("zero_fuel_mass", load::MASS, "mass without usable fuel"),
            Input::quantity("zero_fuel_arm", load::ARM, "centre of gravity without usable fuel"),
            Input::quantity("zero_fuel_lateral", load::ARM, "its lateral arm, with lateral tanks")
                .optional(),
            Input::shaped("tanks", Shape::Rows(TANK), "tanks with fuel, at most eight"),
            CORNERS,
            Input::quantity("stop", load::MASS, "fuel aboard at the end; left out: none")
                .optional(),
        ],
        outputs: BURN_PATH_OUT,
        sources: &[source::PLANE_GEOMETRY],
        run: burn_path,
    },
];

const BURN_PATH_OUT: &[Output] = &[
    Output::other("envelope", "inside or outside, the whole path with its masses"),
    Output::new("forward_margin", M, "least distance to the forward limit, inside positive"),
    Output::new("forward_mass", KG, "mass of the aeroplane there"),
    Output::new("forward_arm", M, "centre of gravity there"),
    Output::new("forward_limit", M, "forward limit there"),
    Output::new("forward_fuel", KG, "fuel aboard there"),
    Output::new("aft_margin", M, "least distance to the aft limit, inside positive"),
    Output::new("aft_mass", KG, "mass of the aeroplane there"),
    Output::new("aft_arm", M, "centre of gravity there"),
    Output::new("aft_limit", M, "aft limit there"),
    Output::new("aft_fuel", KG, "fuel aboard there"),
    Output::new("start_mass", KG, "mass at the start of the path"),
    Output::new("end_mass", KG, "mass at its end"),
    Output::new("leftmost", M, "least lateral arm; when lateral arms are given"),
    Output::new("rightmost", M, "greatest lateral arm; when lateral arms are given"),
];

fn centre_of_gravity(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (items, removed) = (args.rows("items"), args.rows("removed"));
    let lateral = all_or_none(items.iter().chain(removed).map(|row| row.optional("lateral")))?;
    let mut loading = Loading::empty();
    for (place, row) in items.iter().enumerate() {
        loading = loading + item("items", place, row, working)?;
    }
    for (place, row) in removed.iter().enumerate() {
        loading = loading - item("removed", place, row, working)?;
    }
    let arm = loading.centre_of_gravity(working)?;
    let mut outs = Outs::default()
        .put("mass", KG, loading.mass)
        .put("moment", KG_M, loading.moment)
        .put("centre_of_gravity", M, arm);
    if lateral {
        outs = outs.put("lateral", M, loading.lateral_centre_of_gravity()?);
    }
    if args.has("lemac") || args.has("mac") {
        let (edge, chord) = (args.quantity("lemac")?, args.quantity("mac")?);
        outs = outs.put("percent_mac", PERCENT, load::percent_mac(arm, edge, chord, working)?);
    }
    if args.has("corners") {
        let inside = corners(args)?.contains(Corner { arm, mass: loading.mass });
        outs = outs.word("envelope", inside_or_outside(inside));
    }
    Ok(outs)
}

fn mass_shift(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (moved, from, to) = (args.quantity("moved")?, args.quantity("from")?, args.quantity("to")?);
    let change = load::shift_change(args.quantity("mass")?, moved, from, to, working)?;
    let outs = Outs::default().put("change", M, change);
    if !args.has("centre_of_gravity") && !args.has("moment") {
        return Ok(outs);
    }
    let after = loaded(args)?.shift(moved, from, to);
    let arm = after.centre_of_gravity(working)?;
    Ok(outs.put("centre_of_gravity", M, arm).put("moment", KG_M, after.moment))
}

fn mass_add(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let before = loaded(args)?;
    let after = before.add(args.quantity("added")?, args.quantity("arm")?, Length::from_si(0.0));
    changed(before, after, working)
}

fn mass_remove(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let before = loaded(args)?;
    let (removed, arm) = (args.quantity("removed")?, args.quantity("arm")?);
    changed(before, before.remove(removed, arm, Length::from_si(0.0)), working)
}

fn changed(before: Loading, after: Loading, working: &mut Working) -> Result<Outs, SumError> {
    let was = before.centre_of_gravity(working)?;
    let is = after.centre_of_gravity(working)?;
    Ok(Outs::default()
        .put("mass", KG, after.mass)
        .put("centre_of_gravity", M, is)
        .put("change", M, is - was)
        .put("moment", KG_M, after.moment))
}

fn ballast(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let loading = loaded(args)?;
    let (target, arm) = (args.quantity("target")?, args.quantity("ballast_arm")?);
    let ballast = load::ballast(loading, target, arm, working)?;
    Ok(Outs::default().put("ballast", KG, ballast).put("mass", KG, loading.mass + ballast))
}

fn greatest_added_mass(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let loading = loaded(args)?;
    let (limit, arm) = (args.quantity("limit")?, args.quantity("added_arm")?);
    let by_balance = load::greatest_added_mass(loading, limit, arm, working);
    let by_mass = match args.optional("greatest_mass") {
        Some(greatest) => Some(load::room_for_mass(loading, greatest, working)?),
        None => None,
    };
    let (added, set_by) = match (by_balance, by_mass) {
        (Ok(balance), Some(mass)) if mass < balance => (mass, "mass"),
        (Ok(balance), _) => (balance, "balance"),
        // Adding there never reaches the limit of balance, so only the mass can set one.
        (Err(LoadError::CannotHelp), Some(mass)) => (mass, "mass"),
        (Err(error), _) => return Err(error.into()),
    };
    Ok(Outs::default().put("added", KG, added).word("set_by", set_by))
}

fn percent_mac(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (edge, chord) = (args.quantity("lemac")?, args.quantity("mac")?);
    let share = load::percent_mac(args.quantity("centre_of_gravity")?, edge, chord, working)?;
    Ok(Outs::default().put("percent_mac", PERCENT, share))
}

fn envelope(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let envelope = corners(args)?;
    let (arm, mass) = (args.quantity("arm")?, args.quantity("mass")?);
    let point = Corner { arm, mass };
    let cut = envelope.cut(mass);
    working.step(|| {
        let step = Step::new("limits at that mass", "x = x1 + (x2 - x1) (m - m1) / (m2 - m1)")
            .with("m", mass)
            .gives("forward limit", cut.forward)
            .gives("aft limit", cut.aft)
            .from(source::PLANE_GEOMETRY);
        let remark = "the mass is outside the envelope: the limits of its nearest mass are held";
        if cut.held { step.remark(remark) } else { step }
    });
    let edges = envelope.edge_distances(point).into_iter().map(|edge| {
        let outs = match edge.along_arm {
            Some(distance) => Outs::default().put("along_arm", M, distance),
            None => Outs::default(),
        };
        match edge.along_mass {
            Some(distance) => outs.put("along_mass", KG, distance),
            None => outs,
        }
    });
    Ok(Outs::default()
        .word("envelope", inside_or_outside(envelope.contains(point)))
        .put("forward_limit", M, cut.forward)
        .put("aft_limit", M, cut.aft)
        .put("to_forward", M, arm - cut.forward)
        .put("to_aft", M, cut.aft - arm)
        .put("below_top", KG, envelope.top() - mass)
        .put("above_bottom", KG, mass - envelope.bottom())
        .rows("edges", edges.collect()))
}

fn burn_path(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let envelope = corners(args)?;
    let rows = args.rows("tanks");
    if rows.len() > burn::MOST_TANKS {
        let most = burn::MOST_TANKS;
        return Err(SumError::NoAnswer(format!("{} tanks; at most {most}", rows.len())));
    }
    let lateral = args.optional::<Length>("zero_fuel_lateral");
    let sides = rows.iter().map(|row| row.optional("lateral"));
    let lateral_given = all_or_none(sides.chain([lateral]))?;
    let zero_fuel = Loading::empty().add(
        args.quantity("zero_fuel_mass")?,
        args.quantity("zero_fuel_arm")?,
        lateral.unwrap_or(Length::from_si(0.0)),
    );
    let tanks: Vec<Tank> =
        rows.iter().enumerate().map(|(place, row)| tank(place, row)).collect::<Result<_, _>>()?;
    let fuel: Vec<Mass> = rows.iter().map(|row| row.quantity("fuel")).collect::<Result<_, _>>()?;
    let stop = args.optional("stop").unwrap_or(Mass::from_si(0.0));
    let worst =
        burn::worst(zero_fuel, &tanks, &fuel, stop, &envelope, working).ok_or(LoadError::NoMass)?;
    let dry = zero_fuel.mass;
    let outs = Outs::default().word("envelope", inside_or_outside(worst.inside(&envelope)));
    let outs = put_worst(outs, FORWARD, &worst.forward, dry);
    let outs = put_worst(outs, AFT, &worst.aft, dry).put("start_mass", KG, worst.heaviest).put(
        "end_mass",
        KG,
        worst.lightest,
    );
    match burn::lateral_extremes(zero_fuel, &tanks, &fuel, stop) {
        Some((left, right)) if lateral_given => {
            Ok(outs.put("leftmost", M, left).put("rightmost", M, right))
        }
        _ => Ok(outs),
    }
}

/// Keys of margin, mass, arm, limit and fuel towards one boundary.
type WorstKeys = [&'static str; 5];

const FORWARD: WorstKeys =
    ["forward_margin", "forward_mass", "forward_arm", "forward_limit", "forward_fuel"];
const AFT: WorstKeys = ["aft_margin", "aft_mass", "aft_arm", "aft_limit", "aft_fuel"];

fn put_worst(outs: Outs, keys: WorstKeys, worst: &Worst, dry: Mass) -> Outs {
    let [margin, mass, arm, limit, fuel] = keys;
    outs.put(margin, M, worst.margin)
        .put(mass, KG, worst.mass)
        .put(arm, M, worst.arm)
        .put(limit, M, worst.boundary)
        .put(fuel, KG, worst.mass - dry)
}

fn tank(place: usize, row: &Args) -> Result<Tank, SumError> {
    let wanted = |wanted: &str| SumError::WrongShape {
        key: format!("tanks[{place}]"),
        wanted: wanted.into(),
    };
    let points: Vec<(Mass, Length)> = row
        .rows("arm_points")
        .iter()
        .map(|point| Ok((point.quantity("fuel")?, point.quantity("arm")?)))
        .collect::<Result<_, SumError>>()?;
    let arm = match row.optional("arm") {
        Some(arm) if !row.has("arm_points") => ArmCurve::fixed(arm),
        None if row.has("arm_points") => ArmCurve::by_quantity(&points)
            .map_err(|error| SumError::NoAnswer(format!("tanks[{place}].arm_points: {error}")))?,
        _ => return Err(wanted("a tank with its arm or its arm_points, one of the two")),
    };
    let order = row.word("order").and_then(|word| word.parse().ok());
    let order = order.ok_or_else(|| wanted("a tank with its order"))?;
    let lateral = row.optional("lateral").unwrap_or(Length::from_si(0.0));
    Ok(Tank { arm, lateral, order })
}

/// One item as a loading of its own, by its arm or its moment.
fn item(list: &str, place: usize, row: &Args, working: &mut Working) -> Result<Loading, SumError> {
    let mass: Mass = row.quantity("mass")?;
    let lateral = row.optional("lateral").unwrap_or(Length::from_si(0.0));
    let (arm, moment) = (row.optional::<Length>("arm"), row.optional::<Moment>("moment"));
    let loading = match (arm, moment) {
        (Some(arm), None) => Loading::empty().add(mass, arm, lateral),
        (None, Some(moment)) => {
            Loading { moment, ..Loading::empty().add(mass, Length::from_si(0.0), lateral) }
        }
        _ => {
            let wanted = "a mass with its arm or its moment, one of the two".into();
            return Err(SumError::WrongShape { key: format!("{list}[{place}]"), wanted });
        }
    };
    working.step(|| {
        let step = Step::new(format!("moment of {list}[{place}]"), "M = m x").with("m", mass);
        let step = match arm {
            Some(arm) => step.with("x", arm),
            None => step.remark("the moment was given"),
        };
        step.gives("M", loading.moment).from(source::PHAK_BALANCE)
    });
    Ok(loading)
}

/// The loaded aeroplane by its mass and either its centre of gravity or its moment.
fn loaded(args: &Args) -> Result<Loading, SumError> {
    let mass: Mass = args.quantity("mass")?;
    let arm = args.optional::<Length>("centre_of_gravity");
    let loading = match (arm, args.optional::<Moment>("moment")) {
        (Some(arm), None) => Loading::empty().add(mass, arm, Length::from_si(0.0)),
        (None, Some(moment)) => Loading { mass, moment, ..Loading::empty() },
        (None, None) => {
            let says = "arm of the centre of gravity; or give the moment";
            return Err(SumError::Missing { key: "centre_of_gravity", says });
        }
        (Some(_), Some(_)) => {
            let one = "centre_of_gravity and moment say the same: give one of the two";
            return Err(SumError::NoAnswer(one.into()));
        }
    };
    // A moment must be one that an aeroplane can have.
    let arm = loading.centre_of_gravity(&mut Silent)?;
    Bounds { quantity: "centre of gravity", ..load::ARM }.check(arm)?;
    Ok(loading)
}

fn corners(args: &Args) -> Result<Envelope, SumError> {
    let corner = |row: &Args| Ok(Corner { arm: row.quantity("arm")?, mass: row.quantity("mass")? });
    let corners = args.rows("corners").iter().map(corner).collect::<Result<_, SumError>>()?;
    Ok(Envelope::new(corners)?)
}

/// True when every lateral arm is given, false when none is.
fn all_or_none(mut arms: impl Iterator<Item = Option<Length>>) -> Result<bool, SumError> {
    let Some(first) = arms.next() else { return Ok(false) };
    let given = first.is_some();
    if arms.all(|arm| arm.is_some() == given) {
        return Ok(given);
    }
    let some = "lateral arms are given for some and not for all; on the centre line it is \"0 m\"";
    Err(SumError::NoAnswer(some.into()))
}

fn inside_or_outside(inside: bool) -> &'static str {
    if inside { "inside" } else { "outside" }
}
