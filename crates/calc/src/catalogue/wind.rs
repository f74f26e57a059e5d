//! The sums of [`crate::wind`] and [`crate::geodesy`] by name.

use super::{Args, Input, Output, Outs, Shape, Sum, SumError};
use crate::{
    geodesy::{self, Ellipsoid, Position},
    quantity::Angle,
    source,
    trace::Working,
    unit::{DEG, KT, M, NM},
    wind::{self, Hindrance, Triangle, Wind},
};

const WIND_DIRECTION: Input =
    Input::quantity("wind_direction", geodesy::DIRECTION, "where the wind comes from");
const WIND_SPEED: Input = Input::quantity("wind_speed", wind::WIND_SPEED, "wind speed");
const FROM_LATITUDE: Input =
    Input::quantity("from_latitude", geodesy::LATITUDE, "latitude of the start, north positive");
const FROM_LONGITUDE: Input =
    Input::quantity("from_longitude", geodesy::LONGITUDE, "longitude of the start, east positive");
const ELLIPSOID: Input = Input::shaped(
    "ellipsoid",
    Shape::Word(&["WGS84", "Bessel 1841", "International 1924"]),
    "figure of the Earth; left out: WGS84",
)
.optional();
const VARIATION: Input =
    Input::quantity("variation", geodesy::VARIATION, "magnetic variation, east positive");
const FINAL_BEARING: Output = Output::new("final_bearing", DEG, "true bearing onward at the end");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "runway-wind",
        answers: "Head and cross components of a wind on a runway.",
        inputs: &[
            Input::quantity("runway", geodesy::DIRECTION, "bearing of the runway"),
            WIND_DIRECTION,
            WIND_SPEED,
        ],
        outputs: &[
            Output::new("headwind", KT, "along the runway; negative for a tailwind"),
            Output::new("crosswind", KT, "across the runway"),
            Output::other("crosswind_from", "left, right or neither"),
            Output::new("wind_angle", DEG, "from runway to wind, right positive"),
        ],
        sources: &[source::PHAK_WIND],
        run: runway_wind,
    },
    Sum {
        name: "wind-triangle",
        answers: "Heading and groundspeed that hold a course in a wind, or that none does.",
        inputs: &[
            Input::quantity("course", geodesy::DIRECTION, "true course"),
            Input::quantity("true_airspeed", wind::AIRSPEED, "true airspeed"),
            WIND_DIRECTION,
            WIND_SPEED,
        ],
        outputs: &[
            Output::other("status", "can be flown, or cannot be flown"),
            Output::new("wind_correction_angle", DEG, "positive to the right"),
            Output::new("heading", DEG, "true heading"),
            Output::new("groundspeed", KT, "speed over the ground"),
            Output::other("reason", "why it cannot be flown"),
        ],
        sources: &[source::WIND_ALGEBRA, source::PHAK_WIND],
        run: wind_triangle,
    },
    Sum {
        name: "geodesic-inverse",
        answers: "Distance and bearings between two positions on the ellipsoid.",
        inputs: &[
            FROM_LATITUDE,
            FROM_LONGITUDE,
            Input::quantity("to_latitude", geodesy::LATITUDE, "latitude of the end"),
            Input::quantity("to_longitude", geodesy::LONGITUDE, "longitude of the end"),
            ELLIPSOID,
        ],
        outputs: &[
            Output::new("distance", NM, "length of the shortest line"),
            Output::new("distance_metres", M, "the same in metres"),
            Output::new("initial_bearing", DEG, "true bearing at the start; none at no distance"),
            FINAL_BEARING,
        ],
        sources: &[source::KARNEY_2013, source::VINCENTY_1975],
        run: geodesic_inverse,
    },
    Sum {
        name: "geodesic-direct",
        answers: "Where a line of known bearing and length ends.",
        inputs: &[
            FROM_LATITUDE,
            FROM_LONGITUDE,
            Input::quantity("bearing", geodesy::DIRECTION, "true bearing at the start"),
            Input::quantity("distance", geodesy::DISTANCE, "length of the line"),
            ELLIPSOID,
        ],
        outputs: &[
            Output::new("latitude", DEG, "latitude of the end, north positive"),
            Output::new("longitude", DEG, "longitude of the end, east positive"),
            FINAL_BEARING,
        ],
        sources: &[source::KARNEY_2013, source::VINCENTY_1975],
        run: geodesic_direct,
    },
    Sum {
        name: "magnetic-bearing",
        answers: "Magnetic bearing of a true one, or true bearing of a magnetic one.",
        inputs: &[
            Input::quantity("true_bearing", geodesy::DIRECTION, "true bearing").optional(),
            Input::quantity("magnetic_bearing", geodesy::DIRECTION, "or magnetic bearing")
                .optional(),
            VARIATION,
        ],
        outputs: &[
            Output::new("magnetic_bearing", DEG, "from magnetic north"),
            Output::new("true_bearing", DEG, "from true north"),
        ],
        sources: &[source::NAVIGATION_ALGEBRA],
        run: magnetic_bearing,
    },
];

fn runway_wind(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let components = wind::runway_wind(args.quantity("runway")?, wind_given(args)?, working)?;
    Ok(Outs::default()
        .put("headwind", KT, components.head)
        .put("crosswind", KT, components.cross.abs())
        .word("crosswind_from", components.side().word())
        .put("wind_angle", DEG, components.angle))
}

fn wind_triangle(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (course, airspeed) = (args.quantity("course")?, args.quantity("true_airspeed")?);
    let outs = Outs::default();
    Ok(match wind::wind_triangle(course, airspeed, wind_given(args)?, working)? {
        Triangle::Flown(solution) => outs
            .word("status", "can be flown")
            .put("wind_correction_angle", DEG, solution.correction)
            .put("heading", DEG, solution.heading)
            .put("groundspeed", KT, solution.groundspeed),
        Triangle::CannotBeFlown(hindrance) => {
            outs.word("status", "cannot be flown").word("reason", reason(hindrance))
        }
    })
}

const fn reason(hindrance: Hindrance) -> &'static str {
    match hindrance {
        Hindrance::Crosswind => "crosswind not below airspeed",
        Hindrance::NoProgress => "no progress over the ground",
    }
}

fn geodesic_inverse(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let to = Position {
        latitude: args.quantity("to_latitude")?,
        longitude: args.quantity("to_longitude")?,
    };
    let line = geodesy::inverse(ellipsoid(args), start(args)?, to, working)?;
    let outs =
        Outs::default().put("distance", NM, line.distance).put("distance_metres", M, line.distance);
    Ok(match line.bearings {
        Some(bearings) => outs.put("initial_bearing", DEG, bearings.initial).put(
            "final_bearing",
            DEG,
            bearings.last,
        ),
        None => outs,
    })
}

fn geodesic_direct(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (bearing, distance) = (args.quantity("bearing")?, args.quantity("distance")?);
    let end = geodesy::direct(ellipsoid(args), start(args)?, bearing, distance, working)?;
    Ok(Outs::default()
        .put("latitude", DEG, end.position.latitude)
        .put("longitude", DEG, end.position.longitude)
        .put("final_bearing", DEG, end.bearing))
}

fn magnetic_bearing(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let variation = args.quantity("variation")?;
    let given = args.optional::<Angle>("true_bearing");
    let (magnetic, bearing) = match (given, args.optional::<Angle>("magnetic_bearing")) {
        (Some(given), None) => (geodesy::magnetic_bearing(given, variation, working)?, given),
        (None, Some(given)) => (given, geodesy::true_bearing(given, variation, working)?),
        _ => {
            let which = "give either true_bearing or magnetic_bearing";
            return Err(SumError::NoAnswer(which.into()));
        }
    };
    Ok(Outs::default().put("magnetic_bearing", DEG, magnetic).put("true_bearing", DEG, bearing))
}

fn wind_given(args: &Args) -> Result<Wind, SumError> {
    Ok(Wind { from: args.quantity("wind_direction")?, speed: args.quantity("wind_speed")? })
}

fn start(args: &Args) -> Result<Position, SumError> {
    Ok(Position {
        latitude: args.quantity("from_latitude")?,
        longitude: args.quantity("from_longitude")?,
    })
}

fn ellipsoid(args: &Args) -> Ellipsoid {
    match args.word("ellipsoid") {
        Some("Bessel 1841") => Ellipsoid::Bessel1841,
        Some("International 1924") => Ellipsoid::International1924,
        _ => Ellipsoid::Wgs84,
    }
}

#[cfg(test)]
mod tests {
    use crate::{
        catalogue::{Answer, Out, Raw, SumError, named},
        unit::{DEG, KT, NM},
    };

    fn run(sum: &str, given: &[(&str, &str)]) -> Result<Answer, SumError> {
        let given: Vec<_> =
            given.iter().map(|(k, v)| ((*k).to_owned(), Raw::Text((*v).to_owned()))).collect();
        named(sum).unwrap().run(&given)
    }

    #[test]
    fn a_course_that_cannot_be_flown_is_an_answer_without_numbers() {
        let given = [
            ("course", "90 deg"),
            ("true_airspeed", "40 kt"),
            ("wind_direction", "0 deg"),
            ("wind_speed", "55 kt"),
        ];
        let outs = run("wind-triangle", &given).unwrap().outs;
        let words: Vec<_> = outs.0.iter().map(|(key, _, out)| (*key, out.clone())).collect();
        let word = |text: &str| Out::Word(text.into());
        assert_eq!(
            words,
            [("status", word("cannot be flown")), ("reason", word("crosswind not below airspeed"))]
        );
    }

    #[test]
    fn crosswind_is_given_without_sign_and_with_its_side() {
        let given = [("runway", "170 deg"), ("wind_direction", "140 deg"), ("wind_speed", "25 kt")];
        let outs = run("runway-wind", &given).unwrap().outs;
        assert!((outs.amount("crosswind").unwrap().in_unit(KT) - 12.5).abs() < 1e-9);
        assert!(outs.0.contains(&("crosswind_from", None, Out::Word("left".into()))));
    }

    #[test]
    fn no_distance_has_no_bearing() {
        let given = [
            ("from_latitude", "12 deg"),
            ("from_longitude", "34 deg"),
            ("to_latitude", "12 deg"),
            ("to_longitude", "34 deg"),
        ];
        let outs = run("geodesic-inverse", &given).unwrap().outs;
        assert!(outs.amount("distance").unwrap().in_unit(NM).abs() < 1e-12);
        assert_eq!(outs.amount("initial_bearing"), None);
    }

    #[test]
    fn a_bearing_is_given_one_way() {
        let (t, m, v) =
            (("true_bearing", "10 deg"), ("magnetic_bearing", "350 deg"), ("variation", "20 deg"));
        for given in [[t, v], [m, v]] {
            let outs = run("magnetic-bearing", &given).unwrap().outs;
            assert!((outs.amount("true_bearing").unwrap().in_unit(DEG) - 10.0).abs() < 1e-9);
            assert!((outs.amount("magnetic_bearing").unwrap().in_unit(DEG) - 350.0).abs() < 1e-9);
        }
        for given in [vec![t, m, v], vec![v]] {
            let error = run("magnetic-bearing", &given).unwrap_err().to_string();
            assert!(error.contains("either"), "{error}");
        }
    }
}
