//! The sums of [`crate::air`] and [`crate::humid`] by name.

use super::{Args, Input, Output, Outs, Sum, SumError};
use crate::{
    air::{self, Air, AirError},
    bounds::{Bounds, OutOfRange},
    humid,
    quantity::{Length, Pressure},
    source,
    trace::Working,
    unit::{DEGC, FT, HPA, KG_M3, ONE, PA},
};

impl From<AirError> for SumError {
    fn from(error: AirError) -> Self {
        match error {
            AirError::OutOfRange(error) => error.into(),
            other @ AirError::DewPointAboveTemperature { .. } => Self::NoAnswer(other.to_string()),
        }
    }
}

const ELEVATION: Input = Input::quantity("elevation", air::ELEVATION, "elevation of the place");
const QNH: Input = Input::quantity("qnh", air::QNH, "altimeter setting");
const PRESSURE: Input = Input::quantity("pressure", air::PRESSURE, "station pressure");
const TEMPERATURE: Input = Input::quantity("temperature", air::TEMPERATURE, "air temperature");
const DEW_POINT: Input =
    Input::quantity("dew_point", air::DEW_POINT, "dew point; left out: dry air").optional();
const PRESSURE_ALTITUDE: Input = Input::quantity(
    "pressure_altitude",
    Bounds { quantity: "pressure altitude", ..air::HEIGHT },
    "pressure altitude, instead of elevation and qnh",
);
/// Instead of elevation and QNH.
const OR_PRESSURE: Input =
    Input::quantity("pressure", air::PRESSURE, "station pressure, instead of elevation and qnh")
        .optional();

const STATION_PRESSURE_OUT: Output = Output::new("station_pressure", HPA, "pressure at the place");
const PRESSURE_ALTITUDE_OUT: Output = Output::new("pressure_altitude", FT, "pressure altitude");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "standard-atmosphere",
        answers: "Temperature, pressure and density of the standard atmosphere at a height.",
        inputs: &[Input::quantity("height", air::HEIGHT, "geopotential height")],
        outputs: &[
            Output::new("temperature", DEGC, "standard temperature"),
            Output::new("pressure", HPA, "standard pressure"),
            Output::new("density", KG_M3, "standard density"),
        ],
        sources: &[source::ICAO_7488],
        run: standard_atmosphere,
    },
    Sum {
        name: "station-pressure",
        answers: "Pressure at a place from its elevation and the altimeter setting.",
        inputs: &[ELEVATION, QNH],
        outputs: &[STATION_PRESSURE_OUT],
        sources: &[source::ICAO_7488],
        run: station_pressure,
    },
    Sum {
        name: "pressure-altitude",
        answers: "Pressure altitude from elevation and altimeter setting, or from the pressure.",
        inputs: &[ELEVATION.optional(), QNH.optional(), OR_PRESSURE],
        outputs: &[PRESSURE_ALTITUDE_OUT, STATION_PRESSURE_OUT],
        sources: &[source::ICAO_7488],
        run: pressure_altitude,
    },
    Sum {
        name: "density-altitude",
        answers: "Exact density altitude of the air as it is, dry or moist.",
        inputs: &[
            ELEVATION.optional(),
            QNH.optional(),
            PRESSURE_ALTITUDE.optional(),
            OR_PRESSURE,
            TEMPERATURE,
            DEW_POINT,
        ],
        outputs: &[
            Output::new("density_altitude", FT, "density altitude"),
            STATION_PRESSURE_OUT,
            PRESSURE_ALTITUDE_OUT,
            Output::new("air_density", KG_M3, "density of the air"),
        ],
        sources: &[source::ICAO_7488, source::WMO_8],
        run: density_altitude,
    },
    Sum {
        name: "density-altitude-nws",
        answers: "Density altitude as the NWS note computes it; 11 to 18 ft above the exact value.",
        inputs: &[
            ELEVATION.optional(),
            QNH.optional(),
            PRESSURE_ALTITUDE.optional(),
            OR_PRESSURE,
            TEMPERATURE,
            DEW_POINT,
        ],
        outputs: &[
            Output::new("density_altitude", FT, "by the note, with the dew point where given"),
            Output::new("density_altitude_dry", FT, "by its dry form in degrees Fahrenheit"),
            STATION_PRESSURE_OUT,
        ],
        sources: &[source::NWS_DENSITY_ALTITUDE],
        run: density_altitude_nws,
    },
    Sum {
        name: "density-altitude-rule",
        answers: "Density altitude by the rule of thumb of 120 ft per degree.",
        inputs: &[
            Input {
                says: "its standard temperature is used; left out: that of the pressure altitude",
                ..ELEVATION.optional()
            },
            QNH.optional(),
            PRESSURE_ALTITUDE.optional(),
            TEMPERATURE,
        ],
        outputs: &[
            Output::new("density_altitude", FT, "by the rule, 100 to 250 ft high when hot"),
            PRESSURE_ALTITUDE_OUT,
        ],
        sources: &[source::DENSITY_ALTITUDE_RULE, source::ICAO_7488],
        run: density_altitude_rule,
    },
    Sum {
        name: "moist-air-density",
        answers: "Density of moist air by CIPM-2007, in laboratory conditions only.",
        inputs: &[
            Input { bounds: Some(humid::CIPM_PRESSURE), ..PRESSURE },
            Input { bounds: Some(humid::CIPM_TEMPERATURE), ..TEMPERATURE },
            Input::quantity("relative_humidity", humid::HUMIDITY, "relative humidity"),
        ],
        outputs: &[
            Output::new("density", KG_M3, "density of the moist air"),
            Output::new("saturation_vapour_pressure", PA, "over water at that temperature"),
            Output::new("enhancement_factor", ONE, "of vapour in air against pure vapour"),
            Output::new("vapour_fraction", ONE, "mole fraction of water vapour"),
            Output::new("compressibility", ONE, "compressibility factor"),
        ],
        sources: &[source::CIPM_2007],
        run: moist_air_density,
    },
    Sum {
        name: "saturation-vapour-pressure",
        answers: "Saturation vapour pressure by each published fit that covers the temperature.",
        inputs: &[Input::quantity("temperature", ANY_FIT, "temperature of the surface")],
        outputs: &[
            Output::new("wmo_water", HPA, "over water, WMO-No. 8, -45 to 60 degC"),
            Output::new("wmo_ice", HPA, "over ice, WMO-No. 8, -65 to 0 degC"),
            Output::new("buck_1981", HPA, "over water, Buck 1981, -20 to 50 degC"),
            Output::new("buck_1996", HPA, "over water, Buck 1996, -40 to 50 degC"),
            Output::new("nws", HPA, "over water, NWS, -45 to 60 degC"),
        ],
        sources: &[
            source::WMO_8,
            source::BUCK_1981,
            source::BUCK_1996,
            source::NWS_DENSITY_ALTITUDE,
        ],
        run: saturation_vapour_pressure,
    },
];

/// Where at least one fit is published.
const ANY_FIT: Bounds = Bounds::new("temperature", -65.0, 60.0, DEGC);

fn standard_atmosphere(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let air = air::standard_air(args.quantity("height")?, working)?;
    Ok(Outs::default()
        .put("temperature", DEGC, air.temperature)
        .put("pressure", HPA, air.pressure)
        .put("density", KG_M3, air.density))
}

fn station_pressure(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let pressure =
        air::station_pressure(args.quantity("elevation")?, args.quantity("qnh")?, working)?;
    Ok(Outs::default().put("station_pressure", HPA, pressure))
}

fn pressure_altitude(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let pressure = pressure_given(args, working)?;
    let altitude = air::pressure_altitude(pressure, working)?;
    Ok(Outs::default().put("pressure_altitude", FT, altitude).put(
        "station_pressure",
        HPA,
        pressure,
    ))
}

fn density_altitude(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let air = air_given(args, working)?;
    let pressure_altitude = air::pressure_altitude(air.pressure, working)?;
    // Silent: the working of the density altitude holds this step too.
    let density = air::air_density(air, &mut crate::trace::Silent)?;
    let altitude = air::density_altitude(air, working)?;
    Ok(Outs::default()
        .put("density_altitude", FT, altitude)
        .put("station_pressure", HPA, air.pressure)
        .put("pressure_altitude", FT, pressure_altitude)
        .put("air_density", KG_M3, density))
}

fn density_altitude_nws(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let air = air_given(args, working)?;
    let altitude = air::density_altitude_nws(air, working)?;
    let dry = air::density_altitude_nws_dry(air.pressure, air.temperature, working)?;
    Ok(Outs::default()
        .put("density_altitude", FT, altitude)
        .put("density_altitude_dry", FT, dry)
        .put("station_pressure", HPA, air.pressure))
}

fn density_altitude_rule(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let elevation = args.optional::<Length>("elevation");
    let pressure_altitude = match (args.optional("pressure_altitude"), elevation) {
        (Some(_), _) if args.optional::<Pressure>("qnh").is_some() => return Err(one_way()),
        (Some(given), _) => given,
        (None, _) => {
            let elevation = args.quantity("elevation")?;
            air::pressure_altitude_at(elevation, args.quantity("qnh")?, working)?
        }
    };
    let standard_at = elevation.unwrap_or(pressure_altitude);
    let temperature = args.quantity("temperature")?;
    let altitude =
        air::density_altitude_rule(pressure_altitude, standard_at, temperature, working)?;
    Ok(Outs::default().put("density_altitude", FT, altitude).put(
        "pressure_altitude",
        FT,
        pressure_altitude,
    ))
}

fn moist_air_density(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (pressure, temperature) = (args.quantity("pressure")?, args.quantity("temperature")?);
    let humidity = args.quantity("relative_humidity")?;
    let air = humid::cipm_2007(pressure, temperature, humidity, working)?;
    Ok(Outs::default()
        .put("density", KG_M3, air.density)
        .put("saturation_vapour_pressure", PA, air.saturation_vapour_pressure)
        .put("enhancement_factor", ONE, air.enhancement_factor)
        .put("vapour_fraction", ONE, air.vapour_fraction)
        .put("compressibility", ONE, air.compressibility))
}

fn saturation_vapour_pressure(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let t = args.quantity("temperature")?;
    let fits = [
        ("wmo_water", humid::wmo_water(t, working)),
        ("wmo_ice", humid::wmo_ice(t, working)),
        ("buck_1981", humid::buck_1981(t, working)),
        ("buck_1996", humid::buck_1996(t, working)),
        ("nws", humid::nws(t, working)),
    ];
    // A fit that is not published for the temperature stays unknown; the others answer.
    Ok(fits.into_iter().fold(Outs::default(), |outs, (key, fit): (_, Result<_, OutOfRange>)| {
        match fit {
            Ok(pressure) => outs.put(key, HPA, pressure),
            Err(_) => outs,
        }
    }))
}

fn air_given(args: &Args, working: &mut Working) -> Result<Air, SumError> {
    Ok(Air {
        pressure: pressure_given(args, working)?,
        temperature: args.quantity("temperature")?,
        dew_point: args.optional("dew_point"),
    })
}

/// The station pressure by the one way that was given: itself, by pressure altitude, or by
/// elevation and QNH.
fn pressure_given(args: &Args, working: &mut Working) -> Result<Pressure, SumError> {
    let pressure = args.optional::<Pressure>("pressure");
    let pressure_altitude = args.optional::<Length>("pressure_altitude");
    let elevation = args.optional::<Length>("elevation");
    let qnh = args.optional::<Pressure>("qnh");
    match (pressure, pressure_altitude, elevation, qnh) {
        (Some(pressure), None, None, None) => Ok(pressure),
        (None, Some(altitude), None, None) => Ok(air::pressure_at(altitude, working)?),
        (None, None, Some(elevation), Some(qnh)) => {
            Ok(air::station_pressure(elevation, qnh, working)?)
        }
        (None, None, Some(_), None) => {
            Err(SumError::Missing { key: "qnh", says: "altimeter setting, to go with elevation" })
        }
        (None, None, None, _) => {
            Err(SumError::Missing { key: "elevation", says: "elevation, to go with qnh" })
        }
        _ => Err(one_way()),
    }
}

fn one_way() -> SumError {
    let ways = "give the pressure one way: elevation and qnh, or another, not both";
    SumError::NoAnswer(ways.into())
}

#[cfg(test)]
mod tests {
    use crate::{
        catalogue::{Answer, Raw, SumError, named},
        unit::{FT, HPA},
    };

    fn run(sum: &str, given: &[(&str, &str)]) -> Result<Answer, SumError> {
        let given: Vec<_> =
            given.iter().map(|(k, v)| ((*k).to_owned(), Raw::Text((*v).to_owned()))).collect();
        named(sum).unwrap().run(&given)
    }

    #[test]
    fn every_way_of_giving_the_pressure_leads_to_one_answer() {
        let hot = ("temperature", "30 degC");
        let ways = [
            run("density-altitude", &[("elevation", "0 ft"), ("qnh", "1013.25 hPa"), hot]),
            run("density-altitude", &[("pressure_altitude", "0 ft"), hot]),
            run("density-altitude", &[("pressure", "1013.25 hPa"), hot]),
        ];
        for answer in ways {
            let outs = answer.unwrap().outs;
            let altitude = outs.amount("density_altitude").unwrap().in_unit(FT);
            assert!((altitude - 1723.9).abs() < 0.05, "{altitude}");
            let pressure = outs.amount("station_pressure").unwrap().in_unit(HPA);
            assert!((pressure - 1013.25).abs() < 1e-9, "{pressure}");
        }
    }

    #[test]
    fn two_ways_at_once_or_half_a_way_are_refused_by_name() {
        let hot = ("temperature", "30 degC");
        for (given, says) in [
            (vec![("elevation", "0 ft"), ("pressure", "1013 hPa"), hot], "one way"),
            (vec![("elevation", "0 ft"), hot], "qnh is missing"),
            (vec![("qnh", "1013 hPa"), hot], "elevation is missing"),
            (vec![hot], "elevation is missing"),
        ] {
            let error = run("density-altitude", &given).unwrap_err().to_string();
            assert!(error.contains(says), "{given:?}: {error}");
        }
    }

    #[test]
    fn a_fit_is_left_out_where_it_is_not_published() {
        let keys = |t: &str| -> Vec<_> {
            let outs = run("saturation-vapour-pressure", &[("temperature", t)]).unwrap().outs;
            outs.0.iter().map(|(key, ..)| *key).collect()
        };
        assert_eq!(keys("-60 degC"), ["wmo_ice"]);
        assert_eq!(keys("55 degC"), ["wmo_water", "nws"]);
        assert_eq!(keys("0 degC"), ["wmo_water", "wmo_ice", "buck_1981", "buck_1996", "nws"]);
    }

    #[test]
    fn the_rule_takes_the_standard_temperature_where_it_is_told_to() {
        let (pa, t) = (("pressure_altitude", "520 ft"), ("temperature", "35 degC"));
        let altitude = |given: &[_]| {
            let outs = run("density-altitude-rule", given).unwrap().outs;
            outs.amount("density_altitude").unwrap().in_unit(FT)
        };
        assert!((altitude(&[pa, t, ("elevation", "50 ft")]) - 2932.0).abs() < 1e-6);
        assert!((altitude(&[pa, t]) - 3044.8).abs() < 1e-6);
    }
}
