//! The sums of [`crate::sun`] by name.

use super::{Args, Input, Output, Outs, Shape, Sum, SumError};
use crate::{
    air,
    geodesy::{self, Position},
    quantity::{FromAmount, Length},
    source,
    sun::{self, Horizon, Refraction, SunError},
    trace::Working,
    unit::{DEG, KM},
};

impl From<SunError> for SumError {
    fn from(error: SunError) -> Self {
        match error {
            SunError::OutOfRange(error) => error.into(),
            other => Self::NoAnswer(other.to_string()),
        }
    }
}

const LATITUDE: Input = Input::quantity("latitude", geodesy::LATITUDE, "north positive");
const LONGITUDE: Input = Input::quantity("longitude", geodesy::LONGITUDE, "east positive");
const DELTA_T: Input =
    Input::quantity("delta_t", sun::DELTA_T, "TT - UT; left out: estimated").optional();

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "sun-events",
        answers: "Civil dawn and dusk, sunrise, noon and sunset of a place and date, in UTC.",
        inputs: &[
            LATITUDE,
            LONGITUDE,
            Input::shaped("date", Shape::Date, "local date: the day around local mean noon"),
            DELTA_T,
        ],
        outputs: &[
            Output::other(
                "case",
                "of civil twilight: rises and sets, rises only, sets only, always above, \
                 always below",
            ),
            Output::other("dawn", "civil dawn: first rise to 6 degrees below the horizon"),
            Output::other("sunrise", "first rise to 50 minutes of arc below the horizon"),
            Output::other("noon", "the sun crosses the meridian"),
            Output::other("sunset", "last set to 50 minutes of arc below the horizon"),
            Output::other("dusk", "civil dusk: last set to 6 degrees below the horizon"),
            Output::other("sunrise_case", "the case of sunrise and sunset"),
        ],
        sources: &[source::REDA_ANDREAS_2008, source::USNO_DEFINITIONS, source::ESPENAK_MEEUS],
        run: sun_events,
    },
    Sum {
        name: "sun-position",
        answers: "Where the sun stands at an instant.",
        inputs: &[
            LATITUDE,
            LONGITUDE,
            Input::shaped("instant", Shape::Instant, "with its offset from UTC"),
            Input::quantity("elevation", air::ELEVATION, "of the place; left out: sea level")
                .optional(),
            Input::quantity("pressure", air::PRESSURE, "for refraction, with temperature")
                .optional(),
            Input::quantity("temperature", air::TEMPERATURE, "for refraction, with pressure")
                .optional(),
            DELTA_T,
        ],
        outputs: &[
            Output::new("azimuth", DEG, "clockwise from true north"),
            Output::new("sun_elevation", DEG, "of the centre, as without air"),
            Output::new("apparent_sun_elevation", DEG, "through the air, when it is given"),
            Output::new("declination", DEG, "geocentric"),
            Output::new("right_ascension", DEG, "geocentric"),
            Output::new("distance", KM, "from the centre of the Earth"),
        ],
        sources: &[source::REDA_ANDREAS_2008, source::ESPENAK_MEEUS],
        run: sun_position,
    },
];

fn place(args: &Args) -> Result<Position, SumError> {
    Ok(Position { latitude: args.quantity("latitude")?, longitude: args.quantity("longitude")? })
}

fn sun_events(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (place, date, delta_t) = (place(args)?, args.date("date")?, args.optional("delta_t"));
    let civil = sun::daylight(Horizon::Civil, place, date, delta_t, working)?;
    let sun = sun::daylight(Horizon::Sun, place, date, delta_t, working)?;
    let noon = sun::noon(place, date, delta_t, working)?;
    Ok(Outs::default()
        .word("case", civil.words())
        .instant("dawn", civil.rise())
        .instant("sunrise", sun.rise())
        .instant("noon", Some(noon))
        .instant("sunset", sun.set())
        .instant("dusk", civil.set())
        .word("sunrise_case", sun.words()))
}

fn sun_position(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let refraction = match (args.optional("pressure"), args.optional("temperature")) {
        (Some(pressure), Some(temperature)) => Some(Refraction { pressure, temperature }),
        (None, None) => None,
        _ => {
            let both = "refraction needs both pressure and temperature";
            return Err(SumError::NoAnswer(both.into()));
        }
    };
    let elevation = args.optional("elevation").unwrap_or(Length::from_si(0.0));
    let (place, at, delta_t) = (place(args)?, args.instant("instant")?, args.optional("delta_t"));
    let sun = sun::sun_position(place, elevation, at, refraction, delta_t, working)?;
    let outs =
        Outs::default().put("azimuth", DEG, sun.azimuth).put("sun_elevation", DEG, sun.elevation);
    let outs = match sun.apparent_elevation {
        Some(apparent) => outs.put("apparent_sun_elevation", DEG, apparent),
        None => outs,
    };
    Ok(outs
        .put("declination", DEG, sun.declination)
        .put("right_ascension", DEG, sun.right_ascension)
        .put("distance", KM, sun.distance))
}

#[cfg(test)]
mod tests {
    use crate::catalogue::{Answer, Out, Raw, SumError, named};

    fn run(sum: &str, given: &[(&str, &str)]) -> Result<Answer, SumError> {
        let given: Vec<_> =
            given.iter().map(|(k, v)| ((*k).to_owned(), Raw::Text((*v).to_owned()))).collect();
        named(sum).unwrap().run(&given)
    }

    #[test]
    fn polar_day_answers_with_its_case_and_no_instants_but_noon() {
        let given =
            [("latitude", "-77.85 deg"), ("longitude", "166.67 deg"), ("date", "2026-12-21")];
        let outs = run("sun-events", &given).unwrap().outs;
        let at = |key: &str| outs.0.iter().find(|(k, ..)| *k == key).map(|(_, _, out)| out);
        assert_eq!(at("case"), Some(&Out::Word("always above".into())));
        assert_eq!(at("sunrise_case"), Some(&Out::Word("always above".into())));
        for key in ["dawn", "sunrise", "sunset", "dusk"] {
            assert_eq!(at(key), Some(&Out::Instant(None)), "{key}");
        }
        assert!(matches!(at("noon"), Some(Out::Instant(Some(_)))));
    }

    #[test]
    fn refraction_needs_both_pressure_and_temperature() {
        let mut given = vec![
            ("latitude", "10 deg"),
            ("longitude", "20 deg"),
            ("instant", "2026-06-21T12:00:00Z"),
        ];
        let outs = run("sun-position", &given).unwrap().outs;
        assert_eq!(outs.amount("apparent_sun_elevation"), None);
        given.push(("pressure", "1000 hPa"));
        assert!(run("sun-position", &given).unwrap_err().to_string().contains("both"));
        given.push(("temperature", "20 degC"));
        let outs = run("sun-position", &given).unwrap().outs;
        let (airless, apparent) =
            (outs.amount("sun_elevation"), outs.amount("apparent_sun_elevation"));
        assert!(apparent.unwrap().si > airless.unwrap().si);
    }

    #[test]
    fn a_year_that_is_not_accepted_is_named() {
        let given = [("latitude", "1 deg"), ("longitude", "2 deg"), ("date", "2500-01-01")];
        let error = run("sun-events", &given).unwrap_err().to_string();
        assert_eq!(error, "the year is 2500; accepted: 1900 to 2100");
    }
}
