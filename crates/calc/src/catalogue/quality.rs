//! The sums of [`crate::density`], [`crate::grade`], [`crate::settle`], [`crate::water`] and
//! [`crate::reconcile`] by name.

use super::{Args, Input, Output, Outs, Sum, SumError};
use crate::{
    density, fuel,
    grade::{self, Pure, Reading},
    humid,
    quantity::{FromAmount, Mass, MassDensity, Volume},
    reconcile, settle,
    settle::{Droplet, Policy},
    source,
    trace::Working,
    unit::{G, H, KG, KG_M3, L, M_H, ML, ONE, PER_K, PERCENT, PPM},
    water,
};

const DENSITY: Input =
    Input::quantity("density", density::READING, "density as read, at the temperature");
const TEMPERATURE: Input =
    Input::quantity("temperature", density::TEMPERATURE, "temperature of the fuel");
const DENSITY_15: Input =
    Input::quantity("density_15", density::DENSITY_15, "density of the fuel at 15 degC");
const DEPTH: Input = Input::quantity("depth", settle::DEPTH, "depth of the fuel");
const POLICY_TIME: Input =
    Input::quantity("policy_time", settle::POLICY_TIME, "time the policy asks for its depth");
const POLICY_DEPTH: Input =
    Input::quantity("policy_depth", settle::POLICY_DEPTH, "depth the policy's time is for");

const DENSITY_15_OUT: Output = Output::new("density_15", KG_M3, "density at 15 degC");
const GROUP_OUT: Output =
    Output::other("group", "group of the tables: gasoline, transition, jet, fuel oil");
const PURITY_OUT: Output = Output::other("purity", "what no density can show");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "density-at-15",
        answers: "The density at 15 degC of a fuel whose density was read at another temperature.",
        inputs: &[DENSITY, TEMPERATURE],
        outputs: &[
            Output::new("density_15", KG_M3, "the reading taken as the density there and then"),
            Output::new("density_15_hydrometer", KG_M3, "the reading taken off a glass hydrometer"),
            GROUP_OUT,
        ],
        sources: &[source::MPMS_11_1],
        run: density_at_15,
    },
    Sum {
        name: "volume-correction",
        answers: "The factor that turns a volume at a temperature into the volume at 15 degC.",
        inputs: &[DENSITY_15, TEMPERATURE],
        outputs: &[
            Output::new("vcf", ONE, "volume at 15 degC for one at the temperature"),
            Output::new("alpha", PER_K, "growth of volume per degree, at 15 degC"),
            Output::new("density", KG_M3, "density at the temperature"),
            GROUP_OUT,
        ],
        sources: &[source::MPMS_11_1],
        run: volume_correction,
    },
    Sum {
        name: "volume-at-15",
        answers: "The volume that a volume at a temperature would be at 15 degC.",
        inputs: &[
            Input::quantity("volume", fuel::VOLUME, "volume at the temperature"),
            TEMPERATURE,
            DENSITY_15,
        ],
        outputs: &[Output::new("volume_15", L, "volume at 15 degC")],
        sources: &[source::MPMS_11_1],
        run: volume_at_15,
    },
    Sum {
        name: "fuel-mass-at-temperature",
        answers: "Litres to kilograms, or back, of a fuel at its temperature.",
        inputs: &[
            DENSITY_15,
            TEMPERATURE,
            Input::quantity("volume", fuel::VOLUME, "volume at the temperature; or give the mass")
                .optional(),
            Input::quantity("mass", crate::load::MASS, "mass, instead of the volume").optional(),
        ],
        outputs: &[
            Output::new("density", KG_M3, "density at the temperature"),
            Output::new("mass", KG, "mass"),
            Output::new("volume", L, "volume at the temperature"),
            Output::new("volume_15", L, "volume at 15 degC"),
        ],
        sources: &[source::MPMS_11_1, source::PHAK_BALANCE],
        run: fuel_mass_at_temperature,
    },
    Sum {
        name: "grade-by-density",
        answers: "The grade that a density is consistent with: avgas, Jet A-1 or neither.",
        inputs: &[DENSITY, TEMPERATURE],
        outputs: &[
            DENSITY_15_OUT,
            Output::other("consistent_with", "avgas, Jet A-1 or neither"),
            PURITY_OUT,
        ],
        sources: &[source::MPMS_11_1, source::JET_A1_DENSITY, source::AVGAS_DENSITY],
        run: grade_by_density,
    },
    Sum {
        name: "jet-in-avgas",
        answers: "The share of jet fuel in avgas that a density would mean, and how sure that is.",
        inputs: JET_INPUTS,
        outputs: &[
            DENSITY_15_OUT,
            Output::new("density_15_error", KG_M3, "its standard uncertainty"),
            Output::new("share", PERCENT, "jet fuel by volume at 15 degC; negative: too light"),
            Output::new("share_error", PERCENT, "its standard uncertainty"),
            Output::new("visible", PERCENT, "least share that the readings tell from none"),
            Output::other("means", "the share against its uncertainty"),
            Output::other("counts", "which uncertainties are in it"),
            PURITY_OUT,
        ],
        sources: &[source::MPMS_11_1, source::FUEL_ARITHMETIC, source::GUM],
        run: jet_in_avgas,
    },
    Sum {
        name: "settling-time",
        answers: "How long to let a fuel stand: by a falling droplet and by policy, the longer one.",
        inputs: &[
            DEPTH,
            Input::quantity("droplet", settle::DROPLET, "diameter of the smallest droplet"),
            Input::quantity("density", fuel::DENSITY, "density of the fuel at its temperature"),
            Input::quantity("viscosity", settle::VISCOSITY, "dynamic viscosity of the fuel"),
            Input::quantity(
                "density_water",
                settle::WATER,
                "left out: 998 kg/m3, fresh at 21 degC",
            )
            .optional(),
            POLICY_TIME.optional(),
            POLICY_DEPTH.optional(),
        ],
        outputs: &[
            Output::new("velocity", M_H, "fall of the droplet"),
            Output::new("stokes", H, "time of its fall through the depth"),
            Output::new("policy", H, "time the policy asks; when there is one"),
            Output::new("time", H, "the longer of them"),
            Output::other("used", "stokes or policy"),
        ],
        sources: &[source::STOKES_1851, source::FUEL_ARITHMETIC, source::IAPWS_95],
        run: settling_time,
    },
    Sum {
        name: "settling-depth-policy",
        answers: "The settling time that a policy asks for a depth.",
        inputs: &[DEPTH, POLICY_TIME, POLICY_DEPTH],
        outputs: &[Output::new("time", H, "time to let it stand")],
        sources: &[source::FUEL_ARITHMETIC],
        run: settling_depth_policy,
    },
    Sum {
        name: "water-from-cooling",
        answers: "The water that kerosene gives up on cooling, saturated before.",
        inputs: &[
            Input::quantity("volume", fuel::VOLUME, "kerosene"),
            Input::quantity("temperature", water::KEROSENE, "of the kerosene before"),
            Input::quantity("cooled_to", water::KEROSENE, "of the kerosene after"),
        ],
        outputs: &[
            Output::new("dissolved_before", PPM, "by volume"),
            Output::new("dissolved_after", PPM, "by volume"),
            Output::new("water", ML, "given up"),
        ],
        sources: &[source::WATER_IN_KEROSENE],
        run: water_from_cooling,
    },
    Sum {
        name: "water-breathed",
        answers: "The water that the air above a fuel leaves in the tank when it cools overnight.",
        inputs: &[
            Input::quantity("ullage", water::ULLAGE, "air above the fuel"),
            Input::quantity("temperature", water::AIR, "of that air before"),
            Input::quantity("cooled_to", water::AIR, "of that air after"),
            Input::quantity("relative_humidity", humid::HUMIDITY, "of that air before"),
        ],
        outputs: &[
            Output::new("water", G, "from the air that was in the tank"),
            Output::new("water_most", G, "with what the air drawn in may bring"),
            Output::new("air_drawn_in", L, "measured at the first temperature"),
        ],
        sources: &[source::GAS_LAW, source::WMO_8],
        run: water_breathed,
    },
    Sum {
        name: "reconcile-fuel",
        answers: "Dip, gauge and delivered less burned against each other.",
        inputs: &[
            Input::quantity("dip", fuel::VOLUME, "by the dipstick"),
            Input::quantity("gauge", fuel::VOLUME, "by the gauge"),
            Input::quantity("delivered", fuel::VOLUME, "aboard before and put in since"),
            Input::quantity("burned", fuel::VOLUME, "burned since"),
        ],
        outputs: &[
            Output::new("reckoned", L, "delivered less burned"),
            Output::new("dip_over_gauge", L, "dip less gauge"),
            Output::new("dip_over_reckoned", L, "dip less reckoned"),
            Output::new("gauge_over_reckoned", L, "gauge less reckoned"),
            Output::new("disagreement", L, "highest less lowest"),
            Output::new("share", PERCENT, "that, as a share of the highest"),
            Output::other("best_agreement", "the pair with the least difference"),
        ],
        sources: &[source::FUEL_ARITHMETIC],
        run: reconcile_fuel,
    },
];

const JET_INPUTS: &[Input] = &[
    DENSITY,
    TEMPERATURE,
    Input::quantity(
        "density_error",
        grade::DENSITY_ERROR,
        "standard uncertainty of the hydrometer",
    ),
    Input::quantity(
        "temperature_error",
        grade::TEMPERATURE_ERROR,
        "standard uncertainty of the thermometer",
    ),
    Input::quantity("avgas", grade::PURE_AVGAS, "density of this avgas at 15 degC, when pure"),
    Input::quantity("jet", grade::JET_A1, "density of the jet fuel at 15 degC"),
    Input::quantity("avgas_error", grade::DENSITY_ERROR, "standard uncertainty of avgas")
        .optional(),
    Input::quantity("jet_error", grade::DENSITY_ERROR, "standard uncertainty of jet").optional(),
];

fn density_at_15(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (reading, temperature) = (args.quantity("density")?, args.quantity("temperature")?);
    let plain = density::density_at_15(reading, temperature, working)?;
    let behind_glass = density::glass_corrected(reading, temperature, working)?;
    let hydrometer = density::density_at_15(behind_glass, temperature, working)?;
    Ok(Outs::default()
        .put("density_15", KG_M3, plain.density)
        .put("density_15_hydrometer", KG_M3, hydrometer.density)
        .word("group", plain.group.words()))
}

fn volume_correction(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let density_15 = args.quantity("density_15")?;
    let correction =
        density::volume_correction(density_15, args.quantity("temperature")?, working)?;
    Ok(Outs::default()
        .put("vcf", ONE, correction.factor)
        .put("alpha", PER_K, correction.expansion)
        .put("density", KG_M3, density_15 * correction.factor)
        .word("group", correction.group.words()))
}

fn volume_at_15(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (density_15, temperature) = (args.quantity("density_15")?, args.quantity("temperature")?);
    let volume = density::volume_at_15(args.quantity("volume")?, density_15, temperature, working)?;
    Ok(Outs::default().put("volume_15", L, volume))
}

fn fuel_mass_at_temperature(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (density_15, temperature) = (args.quantity("density_15")?, args.quantity("temperature")?);
    let density = density::density_at(density_15, temperature, working)?;
    let (mass, volume) = match (args.optional::<Mass>("mass"), args.optional::<Volume>("volume")) {
        (Some(mass), None) => (mass, fuel::volume_of(mass, density, working)?),
        (None, Some(volume)) => (fuel::mass_of(volume, density, working)?, volume),
        _ => {
            let one = "give the volume or the mass, one of them";
            return Err(SumError::NoAnswer(one.into()));
        }
    };
    let volume_15 = density::volume_at_15(volume, density_15, temperature, working)?;
    Ok(Outs::default()
        .put("density", KG_M3, density)
        .put("mass", KG, mass)
        .put("volume", L, volume)
        .put("volume_15", L, volume_15))
}

fn grade_by_density(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (reading, temperature) = (args.quantity("density")?, args.quantity("temperature")?);
    let at_15 = density::density_at_15(reading, temperature, working)?;
    let grade = grade::consistent_with(at_15.density, &grade::AVGAS, working)?;
    Ok(Outs::default()
        .put("density_15", KG_M3, at_15.density)
        .word("consistent_with", grade.words())
        .word("purity", grade::PURITY))
}

fn jet_in_avgas(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let reading = Reading {
        density: args.quantity("density")?,
        temperature: args.quantity("temperature")?,
        density_error: args.quantity("density_error")?,
        temperature_error: args.quantity("temperature_error")?,
    };
    let exact = MassDensity::from_si(0.0);
    let (avgas_error, jet_error) = (args.optional("avgas_error"), args.optional("jet_error"));
    let pure = Pure {
        avgas: args.quantity("avgas")?,
        avgas_error: avgas_error.unwrap_or(exact),
        jet: args.quantity("jet")?,
        jet_error: jet_error.unwrap_or(exact),
    };
    let found = grade::jet_in_avgas(&reading, &pure, working)?;
    let counts = match (avgas_error, jet_error) {
        (None, None) => "the readings; both pure densities are taken as exact",
        (Some(_), None) => "the readings and the avgas; the jet fuel is taken as exact",
        (None, Some(_)) => "the readings and the jet fuel; the avgas is taken as exact",
        (Some(_), Some(_)) => "the readings and both pure densities",
    };
    Ok(Outs::default()
        .put("density_15", KG_M3, found.at_15.density)
        .put("density_15_error", KG_M3, found.density_15_error)
        .put("share", PERCENT, found.share)
        .put("share_error", PERCENT, found.share_error)
        .put("visible", PERCENT, found.visible)
        .word("means", found.words())
        .word("counts", counts)
        .word("purity", grade::PURITY))
}

/// The policy, when there is one; half of one is a mistake.
fn policy(args: &Args) -> Result<Option<Policy>, SumError> {
    if args.has("policy_time") || args.has("policy_depth") {
        let (time, depth) = (args.quantity("policy_time")?, args.quantity("policy_depth")?);
        return Ok(Some(Policy { time, depth }));
    }
    Ok(None)
}

fn settling_time(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let droplet = Droplet {
        diameter: args.quantity("droplet")?,
        water: args.optional("density_water").unwrap_or_else(settle::fresh_water),
        fuel: args.quantity("density")?,
        viscosity: args.quantity("viscosity")?,
    };
    let policy = policy(args)?;
    let found = settle::settling(args.quantity("depth")?, &droplet, policy.as_ref(), working)?;
    let outs = Outs::default().put("velocity", M_H, found.velocity).put("stokes", H, found.stokes);
    let outs = match found.policy {
        Some(policy) => outs.put("policy", H, policy),
        None => outs,
    };
    Ok(outs.put("time", H, found.time).word("used", found.used.words()))
}

fn settling_depth_policy(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let policy =
        Policy { time: args.quantity("policy_time")?, depth: args.quantity("policy_depth")? };
    let time = settle::by_policy(args.quantity("depth")?, &policy, working)?;
    Ok(Outs::default().put("time", H, time))
}

fn water_from_cooling(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (from, to) = (args.quantity("temperature")?, args.quantity("cooled_to")?);
    let found = water::from_cooling(args.quantity("volume")?, from, to, working)?;
    Ok(Outs::default()
        .put("dissolved_before", PPM, found.before)
        .put("dissolved_after", PPM, found.after)
        .put("water", ML, found.water))
}

fn water_breathed(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (from, to) = (args.quantity("temperature")?, args.quantity("cooled_to")?);
    let humidity = args.quantity("relative_humidity")?;
    let found = water::breathed(args.quantity("ullage")?, from, to, humidity, working)?;
    Ok(Outs::default().put("water", G, found.own).put("water_most", G, found.all).put(
        "air_drawn_in",
        L,
        found.air,
    ))
}

fn reconcile_fuel(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (dip, gauge) = (args.quantity("dip")?, args.quantity("gauge")?);
    let (delivered, burned) = (args.quantity("delivered")?, args.quantity("burned")?);
    let found = reconcile::reconcile(dip, gauge, delivered, burned, working)?;
    Ok(Outs::default()
        .put("reckoned", L, found.reckoned)
        .put("dip_over_gauge", L, found.dip_over_gauge)
        .put("dip_over_reckoned", L, found.dip_over_reckoned)
        .put("gauge_over_reckoned", L, found.gauge_over_reckoned)
        .put("disagreement", L, found.disagreement)
        .put("share", PERCENT, found.share)
        .word("best_agreement", found.best.words()))
}
