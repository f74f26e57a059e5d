//! The sums of [`crate::charge`] and [`crate::spill`] by name.

use super::{Args, Input, Output, Outs, Sum, SumError};
use crate::{
    charge::{self, AfterFilter, FlowLimits, Rest},
    fuel,
    quantity::{
        Area, AreaRate, ElectricalConductivity, Energy, FromAmount, Mass, Ratio, SpecificVolume,
        Time, Velocity, Volume,
    },
    source,
    spill::{self, Liquid, Spread},
    trace::{Step, Trace, Working},
    unit::{
        FT2_LB, KG, L, L_MIN, LB_FT2_MIN, LB_MIN, M, M_S, M2, M2_S, MILLIJ, MIN, MM, ONE, PERCENT,
        S, UC,
    },
};

const CONDUCTIVITY: Input =
    Input::quantity("conductivity", charge::CONDUCTIVITY, "conductivity of the fuel");
const AFTER: Input = Input::quantity("after", charge::WAIT, "time to wait");
const TAU_OUT: Output = Output::new("relaxation", S, "time in which all but 1/e is gone");
const LEFT_OUT: Output = Output::new("charge_left", PERCENT, "share left after that time");
const BORE: Input = Input::quantity("bore", charge::BORE, "inside diameter of the hose");
const FLOW: Input = Input::quantity("flow", charge::FLOW, "rate of flow");
const SPILT: Input = Input::quantity("volume", spill::SPILT, "fuel spilt");
const MOLAR_MASS: Input =
    Input::quantity("molar_mass", spill::MOLAR_MASS, "of the liquid; of a fuel, of its vapour");
const VAPOUR: Input =
    Input::quantity("vapour_pressure", spill::VAPOUR, "of the liquid at its temperature");
const UNKNOWN_OUT: Output = Output::other("unknown", "what no formula here can know");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "charge-relaxation",
        answers: "How fast a fuel sheds its charge.",
        inputs: &[
            Input::quantity("permittivity", charge::PERMITTIVITY, "against free space; fuel: 2"),
            CONDUCTIVITY,
            AFTER.optional(),
        ],
        outputs: &[TAU_OUT, LEFT_OUT],
        sources: &[source::STATIC_CONTROL, source::CODATA_2018],
        run: charge_relaxation,
    },
    Sum {
        name: "bond-relaxation",
        answers: "How fast a charged body sheds its charge through its bond.",
        inputs: &[
            Input::quantity("resistance", charge::RESISTANCE, "from the body to earth"),
            Input::quantity("capacitance", charge::CAPACITANCE, "of the body"),
            AFTER.optional(),
        ],
        outputs: &[TAU_OUT, LEFT_OUT],
        sources: &[source::ELECTROSTATICS],
        run: bond_relaxation,
    },
    Sum {
        name: "hose-flow",
        answers: "How fast fuel runs in a hose, and the greatest rate that limits allow.",
        inputs: &[
            BORE,
            FLOW.optional(),
            Input::quantity("speed_limit", charge::SPEED_LIMIT, "greatest speed").optional(),
            Input::quantity("speed_bore_limit", charge::SPEED_BORE_LIMIT, "of speed times bore")
                .optional(),
            Input::quantity("first_speed_limit", charge::SPEED_LIMIT, "greatest speed at first")
                .optional(),
        ],
        outputs: &[
            Output::new("velocity", M_S, "speed in the hose; when a rate is given"),
            Output::new("velocity_bore", M2_S, "speed times bore"),
            Output::new("greatest_velocity", M_S, "that limits allow; when they are given"),
            Output::new("greatest_flow", L_MIN, "rate at that speed"),
            Output::other("held_down_by", "the limit that decides"),
            Output::new("first_flow", L_MIN, "greatest rate at first; when that limit is given"),
        ],
        sources: &[source::PIPE_FLOW, source::STATIC_CONTROL],
        run: hose_flow,
    },
    Sum {
        name: "filter-residence",
        answers: "How long fuel rests between the last filter and the outlet, and the rate for it.",
        inputs: &[
            BORE,
            Input::quantity("length", charge::HOSE, "from the filter to the outlet"),
            Input::quantity("chamber", charge::CHAMBER, "volume of a chamber between them")
                .optional(),
            FLOW.optional(),
            Input::quantity("rest", charge::REST, "time the fuel must rest").optional(),
            CONDUCTIVITY.optional(),
            Input::quantity("conducts_above", charge::CONDUCTIVITY, "no rest is asked above it")
                .optional(),
        ],
        outputs: &[
            Output::new("contents", L, "between the filter and the outlet"),
            Output::new("residence", S, "time it rests; when a rate is given"),
            Output::new("greatest_flow", L_MIN, "rate that leaves it the rest; when that is given"),
            Output::other("rest_asked", "by its conductivity; when conducts_above is given"),
            Output::other("enough", "yes or no; when rate and rest are given"),
        ],
        sources: &[source::PIPE_FLOW, source::MIL_HDBK_1022],
        run: filter_residence,
    },
    Sum {
        name: "spark-energy",
        answers: "Charge and energy of a charged body, the most that one spark can carry.",
        inputs: &[
            Input::quantity("capacitance", charge::CAPACITANCE, "a person: some 100 pF"),
            Input::quantity("voltage", charge::VOLTAGE, "voltage against earth"),
            Input::any("ignition", crate::unit::Kind::Energy, "least energy that ignites")
                .optional(),
        ],
        outputs: &[
            Output::new("charge", UC, "charge"),
            Output::new("energy", MILLIJ, "energy"),
            Output::new("times_ignition", ONE, "energy by that which ignites; when given"),
        ],
        sources: &[source::ELECTROSTATICS],
        run: spark_energy,
    },
    Sum {
        name: "spill-spread",
        answers: "How far a spill has run over smooth level ground.",
        inputs: &[
            SPILT,
            Input::quantity("viscosity", spill::KINEMATIC, "kinematic viscosity of the fuel"),
            Input::quantity("since", spill::SINCE, "time since the spill"),
        ],
        outputs: SPREAD_OUT,
        sources: &[source::HUPPERT_1982],
        run: spill_spread,
    },
    Sum {
        name: "spill-pool",
        answers: "The pool that a spill makes at a depth.",
        inputs: &[
            SPILT,
            Input::quantity("depth", spill::POOL_DEPTH, "depth of the pool; guidance: 1 cm"),
        ],
        outputs: SPREAD_OUT,
        sources: &[source::EPA_OFFSITE],
        run: spill_pool,
    },
    Sum {
        name: "spill-evaporation",
        answers: "How fast a pool evaporates, and the least time that it lasts.",
        inputs: &[
            Input::quantity("wind", spill::POOL_WIND, "wind over the pool"),
            MOLAR_MASS,
            VAPOUR,
            Input::quantity("temperature", spill::SPILL_TEMPERATURE, "of the liquid"),
            Input::quantity("area", spill::POOL_AREA, "of the pool"),
            Input::quantity("mass", spill::SPILT_MASS, "mass spilt").optional(),
        ],
        outputs: &[
            Output::new("rate", LB_MIN, "mass that evaporates"),
            Output::new("time", MIN, "least time it lasts; when the mass is given"),
            UNKNOWN_OUT,
        ],
        sources: &[source::EPA_OFFSITE],
        run: spill_evaporation,
    },
    Sum {
        name: "spill-factors",
        answers: "The factors of a liquid in the guidance on releases.",
        inputs: &[
            MOLAR_MASS,
            VAPOUR,
            Input::quantity("density", spill::LIQUID, "density of the liquid"),
        ],
        outputs: &[
            Output::new("liquid_factor", LB_FT2_MIN, "liquid factor ambient, LFA"),
            Output::new("density_factor", FT2_LB, "density factor, DF"),
        ],
        sources: &[source::EPA_OFFSITE],
        run: spill_factors,
    },
    Sum {
        name: "spill-release",
        answers: "Rate and duration of a release by the factors of the guidance.",
        inputs: &[
            Input::quantity("mass", spill::SPILT_MASS, "mass spilt"),
            Input::quantity("wind_factor", spill::WIND_FACTOR, "1.4 at 1.5 m/s, 2.4 at 3 m/s"),
            Input::quantity("liquid_factor", spill::LIQUID_FACTOR, "liquid factor ambient, LFA"),
            Input::quantity("density_factor", spill::DENSITY_FACTOR, "density factor, DF"),
        ],
        outputs: &[
            Output::new("area", M2, "of the pool"),
            Output::new("rate", LB_MIN, "mass that evaporates"),
            Output::new("time", MIN, "least time it lasts"),
            UNKNOWN_OUT,
        ],
        sources: &[source::EPA_OFFSITE],
        run: spill_release,
    },
    Sum {
        name: "sorbent",
        answers: "How much sorbent a spill needs.",
        inputs: &[
            SPILT,
            Input::quantity("takes_volume", spill::SORBENT_VOLUME, "volume a mass of it takes")
                .optional(),
            Input::quantity("takes_mass", spill::SORBENT_MASS, "or mass a mass of it takes")
                .optional(),
            Input::quantity("density", fuel::DENSITY, "of the fuel; with takes_mass").optional(),
        ],
        outputs: &[Output::new("sorbent", KG, "mass of sorbent")],
        sources: &[source::FUEL_ARITHMETIC],
        run: sorbent,
    },
];

const SPREAD_OUT: &[Output] = &[
    Output::new("radius", M, "from the middle to the edge"),
    Output::new("area", M2, "ground it covers"),
    Output::new("depth", MM, "mean depth"),
    UNKNOWN_OUT,
];

fn charge_relaxation(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (permittivity, kappa) = (args.quantity("permittivity")?, args.quantity("conductivity")?);
    relaxation(charge::liquid_relaxation(permittivity, kappa, working)?, args, working)
}

fn bond_relaxation(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (resistance, capacitance) = (args.quantity("resistance")?, args.quantity("capacitance")?);
    relaxation(charge::body_relaxation(resistance, capacitance, working)?, args, working)
}

fn relaxation(tau: Time, args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let outs = Outs::default().put("relaxation", S, tau);
    Ok(match args.optional("after") {
        Some(after) => outs.put("charge_left", PERCENT, charge::charge_left(tau, after, working)?),
        None => outs,
    })
}

fn hose_flow(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let bore = args.quantity("bore")?;
    let limit = args.optional::<Velocity>("speed_limit");
    let limit_bore = args.optional::<AreaRate>("speed_bore_limit");
    let mut outs = Outs::default();
    if let Some(flow) = args.optional("flow") {
        let found = charge::hose_flow(flow, bore, working)?;
        outs = outs.put("velocity", M_S, found.velocity).put(
            "velocity_bore",
            M2_S,
            found.velocity_bore,
        );
    }
    match (limit, limit_bore) {
        (Some(velocity), velocity_bore) => {
            let limits = FlowLimits { velocity, velocity_bore };
            let found = charge::greatest_flow(bore, &limits, working)?;
            outs = outs
                .put("greatest_velocity", M_S, found.velocity)
                .put("greatest_flow", L_MIN, found.flow)
                .word("held_down_by", found.governs.words());
        }
        (None, Some(_)) => {
            let says = "a limit of speed times bore never stands alone";
            return Err(SumError::Missing { key: "speed_limit", says });
        }
        (None, None) => {}
    }
    if let Some(velocity) = args.optional("first_speed_limit") {
        let limits = FlowLimits { velocity, velocity_bore: limit_bore };
        let first = charge::greatest_flow(bore, &limits, working)?;
        outs = outs.put("first_flow", L_MIN, first.flow);
    }
    if outs.0.is_empty() {
        return Err(SumError::NoAnswer("give a rate, a limit or both".into()));
    }
    Ok(outs)
}

fn filter_residence(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let after = AfterFilter {
        bore: args.quantity("bore")?,
        length: args.quantity("length")?,
        chamber: args.optional("chamber").unwrap_or(Volume::from_si(0.0)),
    };
    let rest = args.optional::<Time>("rest");
    let mut outs = Outs::default().put("contents", L, after.contents()?);
    let mut stays = None;
    if let Some(flow) = args.optional("flow") {
        let stay = charge::residence(&after, flow, working)?;
        outs = outs.put("residence", S, stay);
        stays = Some(stay);
    }
    if let Some(rest) = rest {
        let flow = charge::flow_for_residence(&after, rest, working)?;
        outs = outs.put("greatest_flow", L_MIN, flow);
    }
    let measured = args.optional::<ElectricalConductivity>("conductivity");
    let asked = match args.optional("conducts_above") {
        Some(enough) => Some(Rest::by_conductivity(measured, enough, working)?),
        None => None,
    };
    if let Some(asked) = asked {
        outs = outs.word("rest_asked", asked.words());
    }
    if let (Some(stay), Some(rest)) = (stays, rest) {
        let enough = stay >= rest || asked == Some(Rest::NotAsked);
        outs = outs.word("enough", if enough { "yes" } else { "no" });
    }
    Ok(outs)
}

fn spark_energy(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let found = charge::spark(args.quantity("capacitance")?, args.quantity("voltage")?, working)?;
    let outs = Outs::default().put("charge", UC, found.charge).put("energy", MILLIJ, found.energy);
    match args.optional::<Energy>("ignition") {
        Some(least) if least.si() > 0.0 => {
            let times: Ratio = found.energy / least;
            working.step(|| {
                Step::new("against the least that ignites", "E / E ignition")
                    .with("E", found.energy)
                    .with("E ignition", least)
                    .gives("times", times)
            });
            Ok(outs.put("times_ignition", ONE, times))
        }
        Some(_) => Err(SumError::NoAnswer("the energy that ignites must be above nothing".into())),
        None => Ok(outs),
    }
}

fn put_spread(found: &Spread) -> Outs {
    Outs::default()
        .put("radius", M, found.radius)
        .put("area", M2, found.area)
        .put("depth", MM, found.depth)
        .word("unknown", spill::UNKNOWN)
}

fn spill_spread(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (viscosity, since) = (args.quantity("viscosity")?, args.quantity("since")?);
    let found = spill::viscous_spread(args.quantity("volume")?, viscosity, since, working)?;
    Ok(put_spread(&found))
}

fn spill_pool(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let found = spill::pool(args.quantity("volume")?, args.quantity("depth")?, working)?;
    Ok(put_spread(&found))
}

fn spill_evaporation(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let liquid = Liquid {
        molar_mass: args.quantity("molar_mass")?,
        vapour_pressure: args.quantity("vapour_pressure")?,
        temperature: args.quantity("temperature")?,
    };
    let area: Area = args.quantity("area")?;
    let rate = spill::evaporation(&liquid, args.quantity("wind")?, area, working)?;
    let outs = Outs::default().put("rate", LB_MIN, rate);
    let outs = match args.optional::<Mass>("mass") {
        Some(mass) => outs.put("time", MIN, spill::time_to_evaporate(mass, rate, working)?),
        None => outs,
    };
    Ok(outs.word("unknown", spill::UNKNOWN))
}

fn spill_factors(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (molar_mass, vapour) = (args.quantity("molar_mass")?, args.quantity("vapour_pressure")?);
    let liquid = spill::liquid_factor_ambient(molar_mass, vapour, working)?;
    let density = spill::density_factor(args.quantity("density")?, working)?;
    Ok(Outs::default().put("liquid_factor", LB_FT2_MIN, liquid).put(
        "density_factor",
        FT2_LB,
        density,
    ))
}

fn spill_release(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (liquid, density) = (args.quantity("liquid_factor")?, args.quantity("density_factor")?);
    let (mass, wind) = (args.quantity("mass")?, args.quantity("wind_factor")?);
    let found = spill::release(mass, wind, liquid, density, working)?;
    Ok(Outs::default()
        .put("area", M2, found.area)
        .put("rate", LB_MIN, found.rate)
        .put("time", MIN, found.time)
        .word("unknown", spill::UNKNOWN))
}

fn sorbent(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let volume = args.quantity("volume")?;
    let by_volume = args.optional::<SpecificVolume>("takes_volume");
    let sorbent = match (by_volume, args.optional::<Ratio>("takes_mass")) {
        (Some(takes), None) => spill::sorbent_by_volume(volume, takes, working)?,
        (None, Some(takes)) => {
            spill::sorbent_by_mass(volume, args.quantity("density")?, takes, working)?
        }
        _ => {
            let one = "give takes_volume or takes_mass, one of them";
            return Err(SumError::NoAnswer(one.into()));
        }
    };
    Ok(Outs::default().put("sorbent", KG, sorbent))
}
