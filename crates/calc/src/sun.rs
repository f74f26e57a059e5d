//! When it is light: civil twilight, sunrise and sunset of a place and date, and where the
//! sun stands.
//!
//! # Method
//!
//! The solar position algorithm of `[reda-andreas-2008]`, from the library
//! `solar-positioning`. By the definitions of `[usno-definitions]`, civil dawn and dusk are the
//! instants when the centre of the sun, without refraction, is 6 degrees below the level
//! horizon of a place at sea level; sunrise and sunset when it is 50 minutes of arc below.
//!
//! The day of a date is its local mean solar day, whatever zone the clocks keep:
//!
//! ```text
//! noon  = date, 12:00 UTC - longitude / 15 deg per hour
//! day   = noon - 12 h  to  noon + 12 h
//! rise  = first upward crossing within the day,  set = last downward crossing
//! ```
//!
//! So an instant may carry the UTC date before or after. Near the polar circles a set may
//! come before the rise of the same day: the night then lies around local midnight. A day
//! without any crossing is [`Daylight::AlwaysAbove`] or [`Daylight::AlwaysBelow`], and a day may
//! have only one: all of these are answers, not errors.
//!
//! # Units and accepted range
//!
//! | quantity | unit | accepted | whose limit |
//! |---|---|---|---|
//! | latitude, longitude | deg | as [`crate::geodesy`] | |
//! | date, instant | | years 1900 to 2100 | ours: delta T is a guess beyond |
//! | delta T, TT - UT | s | -60 to 300 | ours |
//! | elevation, pressure, temperature | | as [`crate::air`] | |
//!
//! Delta T not given is estimated by the polynomials of `[espenak-meeus]` in the library.
//!
//! # Accuracy
//!
//! `[reda-andreas-2008]` states 0.0003 degrees. Against the JPL ephemeris DE421 the worst
//! error in the reference cases is 0.7 s for civil twilight, half a second of it the print
//! rounding of the reference, and 0.0004 degrees for the elevation of the sun. Where the sun
//! grazes the horizon the same angle is worth more time. Refraction varies with the
//! weather by minutes of time: sunrise is a convention, not an observation.
//!
//! # Left out on purpose
//!
//! Terrain and dip of the horizon: a valley darkens earlier, and no number here knows it.
//! UT1 - UTC (under 0.9 s).
//!
//! # Sources
//!
//! `reda-andreas-2008`, `usno-definitions`, `espenak-meeus`.

use std::{error::Error, fmt};

use jiff::{Timestamp, civil::Date};
use solar_positioning::{
    Horizon as Target, HorizonState, Location, RefractionCorrection, SolarEvents, SolarPosition,
    SolarPositions, delta_t, time::JulianDate,
};

use crate::{
    air,
    bounds::{Bounds, OutOfRange},
    geodesy::Position,
    quantity::{Angle, FromAmount, Length, Pressure, ThermodynamicTemperature, Time},
    source,
    trace::{Step, Trace},
    unit::{DEG, DEGC, HPA, KM, M, S},
};

/// TT - UT.
pub const DELTA_T: Bounds = Bounds::new("delta T", -60.0, 300.0, S);

const FIRST_YEAR: f64 = 1900.0;
const END_YEAR: f64 = 2101.0;
/// Julian date of 1970-01-01T00:00Z.
const UNIX_EPOCH: f64 = 2_440_587.5;
/// Julian date of 2000-01-01T00:00Z.
const YEAR_2000: f64 = 2_451_544.5;
const DAY_S: f64 = 86_400.0;
/// The astronomical unit, exact since 2012. \[km\]
const AU_KM: f64 = 149_597_870.7;

/// How far below the level horizon the centre of the sun counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Horizon {
    /// 50 minutes of arc: sunrise and sunset.
    Sun,
    /// 6 degrees: civil dawn and dusk, first and last light.
    Civil,
}

/// What the sun does at one horizon on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Daylight {
    /// It crosses the horizon.
    Crosses(Crossings),
    /// It stays above all day.
    AlwaysAbove,
    /// It stays below all day.
    AlwaysBelow,
}

/// The crossings of a day; at least one is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crossings {
    /// The first upward one.
    pub rise: Option<Timestamp>,
    /// The last downward one.
    pub set: Option<Timestamp>,
}

impl Daylight {
    /// The first upward crossing, if there is one.
    #[must_use]
    pub fn rise(&self) -> Option<Timestamp> {
        if let Self::Crosses(crossings) = self { crossings.rise } else { None }
    }

    /// The last downward crossing, if there is one.
    #[must_use]
    pub fn set(&self) -> Option<Timestamp> {
        if let Self::Crosses(crossings) = self { crossings.set } else { None }
    }

    /// The case as words.
    #[must_use]
    pub const fn words(&self) -> &'static str {
        match self {
            Self::Crosses(Crossings { rise: Some(_), set: Some(_) }) => "rises and sets",
            Self::Crosses(Crossings { rise: Some(_), set: None }) => "rises only",
            Self::Crosses(_) => "sets only",
            Self::AlwaysAbove => "always above",
            Self::AlwaysBelow => "always below",
        }
    }
}

/// The air that bends the light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refraction {
    /// Station pressure.
    pub pressure: Pressure,
    /// Air temperature.
    pub temperature: ThermodynamicTemperature,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sun {
    /// Clockwise from true north.
    pub azimuth: Angle,
    /// Of its centre above the level horizon, as without air.
    pub elevation: Angle,
    /// The same through the air, when the air was given.
    pub apparent_elevation: Option<Angle>,
    /// Seen from the centre of the Earth.
    pub declination: Angle,
    /// Seen from the centre of the Earth.
    pub right_ascension: Angle,
    /// From the centre of the Earth.
    pub distance: Length,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum SunError {
    /// A value outside its range.
    OutOfRange(OutOfRange),
    /// A date outside the years accepted.
    Year(f64),
    /// The library could not answer.
    Method(String),
}

impl From<OutOfRange> for SunError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl From<solar_positioning::Error> for SunError {
    fn from(error: solar_positioning::Error) -> Self {
        Self::Method(error.to_string())
    }
}

impl fmt::Display for SunError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange(error) => error.fmt(f),
            Self::Year(year) => write!(f, "the year is {year:.0}; accepted: 1900 to 2100"),
            Self::Method(why) => write!(f, "the position of the sun is not known: {why}"),
        }
    }
}

impl Error for SunError {}

/// What the sun does at `horizon` on the local mean solar day of `date`.
///
/// # Errors
///
/// [`SunError`] for a place or date that is not accepted.
pub fn daylight(
    horizon: Horizon,
    place: Position,
    date: Date,
    delta_t: Option<Time>,
    trace: &mut impl Trace,
) -> Result<Daylight, SunError> {
    let day = Day::of(place, date, delta_t, trace)?;
    let target = match horizon {
        Horizon::Sun => Target::SunriseSunset,
        Horizon::Civil => Target::CivilTwilight,
    };
    let (start, end) = (day.noon - 0.5, day.noon + 0.5);
    let found = SolarEvents::new().for_interval_from_julian(
        start,
        end,
        day.location,
        day.delta_t.si(),
        target,
    )?;
    let rise = found.rises.first().copied().map(instant).transpose()?;
    let set = found.sets.last().copied().map(instant).transpose()?;
    let daylight = match (rise, set, found.state_at_start) {
        (None, None, HorizonState::Above) => Daylight::AlwaysAbove,
        // Just on the horizon all day is not light enough to be called above.
        (None, None, HorizonState::Below | HorizonState::OnHorizon) => Daylight::AlwaysBelow,
        (rise, set, _) => Daylight::Crosses(Crossings { rise, set }),
    };
    trace.step(|| {
        let what = match horizon {
            Horizon::Sun => "sunrise and sunset",
            Horizon::Civil => "civil dawn and dusk",
        };
        let text = |at: Option<Timestamp>| at.map_or("none".into(), |at| at.to_string());
        Step::new(what, "first upward and last downward crossing of the local mean solar day")
            .with("latitude", place.latitude)
            .with("longitude", place.longitude)
            .gives("horizon", Angle::of(target.elevation_angle(), DEG))
            .remark(format!("{}: rise {}, set {}", daylight.words(), text(rise), text(set)))
            .from(source::USNO_DEFINITIONS)
    });
    Ok(daylight)
}

/// When the sun crosses the meridian on the local mean solar day of `date`.
///
/// # Errors
///
/// [`SunError`] for a place or date that is not accepted.
pub fn noon(
    place: Position,
    date: Date,
    delta_t: Option<Time>,
    trace: &mut impl Trace,
) -> Result<Timestamp, SunError> {
    let day = Day::of(place, date, delta_t, trace)?;
    // The sun is never more than 17 minutes off its mean.
    let transit = SolarEvents::new().next_transit_from_julian(
        day.noon - 0.25,
        day.noon + 0.25,
        day.location.longitude,
        day.delta_t.si(),
    )?;
    let noon = instant(transit.ok_or_else(|| SunError::Method("no transit".into()))?)?;
    trace.step(|| {
        Step::new("noon", "upper transit of the local mean solar day")
            .with("longitude", place.longitude)
            .remark(noon.to_string())
            .from(source::REDA_ANDREAS_2008)
    });
    Ok(noon)
}

/// Where the sun stands at an instant, seen from `place` at `elevation`.
///
/// # Errors
///
/// [`SunError`] for a place, instant or air that is not accepted.
pub fn sun_position(
    place: Position,
    elevation: Length,
    at: Timestamp,
    refraction: Option<Refraction>,
    delta_t: Option<Time>,
    trace: &mut impl Trace,
) -> Result<Sun, SunError> {
    let (latitude, longitude) = place.degrees()?;
    let location = Location { latitude, longitude };
    let height = air::ELEVATION.check(elevation)?.count(M);
    let julian = UNIX_EPOCH + at.as_duration().as_secs_f64() / DAY_S;
    let delta_t = delta_t_at(julian, delta_t, trace)?;
    let prepared =
        SolarPositions::new().for_time_from_julian(JulianDate::new(julian, delta_t.si())?)?;
    let airless = prepared.at(location, height, None)?;
    let apparent = match refraction {
        Some(refraction) => Some(prepared.at(location, height, Some(refraction.checked()?))?),
        None => None,
    };
    let above = |position: SolarPosition| Angle::of(position.elevation_angle(), DEG);
    let sun = Sun {
        azimuth: Angle::of(airless.azimuth(), DEG),
        elevation: above(airless),
        apparent_elevation: apparent.map(above),
        declination: Angle::of(prepared.declination(), DEG),
        right_ascension: Angle::of(prepared.right_ascension(), DEG),
        distance: Length::of(prepared.earth_radius_vector().unwrap_or(f64::NAN) * AU_KM, KM),
    };
    trace.step(|| {
        let step = Step::new("position of the sun", "")
            .with("latitude", place.latitude)
            .with("longitude", place.longitude)
            .with("H", elevation)
            .with("delta T", delta_t)
            .gives("azimuth", sun.azimuth)
            .gives("elevation", sun.elevation)
            .from(source::REDA_ANDREAS_2008)
            .remark(at.to_string());
        match sun.apparent_elevation {
            Some(apparent) => step.gives("apparent elevation", apparent),
            None => step,
        }
    });
    Ok(sun)
}

/// The local mean solar day of a date at a place.
struct Day {
    location: Location,
    /// Julian date of mean noon, UT.
    noon: f64,
    delta_t: Time,
}

impl Day {
    fn of(
        place: Position,
        date: Date,
        delta_t: Option<Time>,
        trace: &mut impl Trace,
    ) -> Result<Self, SunError> {
        let (latitude, longitude) = place.degrees()?;
        let midnight = date.duration_since(jiff::civil::date(1970, 1, 1)).as_secs_f64() / DAY_S;
        let noon = UNIX_EPOCH + midnight + 0.5 - longitude / 360.0;
        let delta_t = delta_t_at(noon, delta_t, trace)?;
        Ok(Self { location: Location { latitude, longitude }, noon, delta_t })
    }
}

impl Refraction {
    fn checked(self) -> Result<RefractionCorrection, SunError> {
        let pressure = air::PRESSURE.check(self.pressure)?.count(HPA);
        let temperature = air::TEMPERATURE.check(self.temperature)?.count(DEGC);
        Ok(RefractionCorrection::new(pressure, temperature)?)
    }
}

/// `given`, or the estimate for a Julian date within the years accepted.
fn delta_t_at(julian: f64, given: Option<Time>, trace: &mut impl Trace) -> Result<Time, SunError> {
    let year = 2000.0 + (julian - YEAR_2000) / 365.2425;
    if !(FIRST_YEAR..END_YEAR).contains(&year) {
        return Err(SunError::Year(year.floor()));
    }
    if let Some(given) = given {
        return Ok(DELTA_T.check(given)?);
    }
    let estimate = Time::of(delta_t::estimate(year)?, S);
    trace.step(|| {
        Step::new("delta T, estimated", "polynomial in the year")
            .gives("delta T", estimate)
            .from(source::ESPENAK_MEEUS)
    });
    Ok(estimate)
}

/// The instant of a Julian date, to the millisecond.
fn instant(julian: f64) -> Result<Timestamp, SunError> {
    let milliseconds = ((julian - UNIX_EPOCH) * DAY_S * 1000.0).round();
    // Within the years accepted this is far from the ends of an i64.
    #[allow(clippy::cast_possible_truncation)]
    Timestamp::from_millisecond(milliseconds as i64)
        .map_err(|error| SunError::Method(error.to_string()))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn place(latitude: f64, longitude: f64) -> Position {
        Position { latitude: Angle::of(latitude, DEG), longitude: Angle::of(longitude, DEG) }
    }

    fn day(text: &str) -> Date {
        text.parse().unwrap()
    }

    fn civil(latitude: f64, longitude: f64, date: &str) -> Daylight {
        daylight(Horizon::Civil, place(latitude, longitude), day(date), None, &mut Silent).unwrap()
    }

    fn seconds_between(got: Option<Timestamp>, want: &str) -> f64 {
        let want: Timestamp = want.parse().unwrap();
        got.unwrap().duration_since(want).as_secs_f64().abs()
    }

    /// The worked example of the report, each value as table A5.1 prints it.
    #[test]
    fn nrel_example_agrees_to_every_printed_digit() {
        let air = Refraction {
            pressure: Pressure::of(820.0, HPA),
            temperature: ThermodynamicTemperature::of(11.0, DEGC),
        };
        let sun = sun_position(
            place(39.742_476, -105.178_6),
            Length::of(1830.14, M),
            "2003-10-17T12:30:30-07:00".parse().unwrap(),
            Some(air),
            Some(Time::of(67.0, S)),
            &mut Silent,
        )
        .unwrap();
        let apparent = sun.apparent_elevation.unwrap().count(DEG);
        for (name, got, want, printed) in [
            ("azimuth", sun.azimuth.count(DEG), 194.340_24, 1e-5),
            ("e0", sun.elevation.count(DEG), 39.872_046, 1e-6),
            ("zenith", 90.0 - apparent, 50.111_62, 1e-5),
            ("refraction", apparent - sun.elevation.count(DEG), 0.016_332, 1e-6),
            ("declination", sun.declination.count(DEG), -9.314_34, 1e-5),
            ("right ascension", sun.right_ascension.count(DEG), 202.227_41, 1e-5),
            ("R", sun.distance.count(KM) / AU_KM, 0.996_542_297_4, 1e-10),
        ] {
            assert!((got - want).abs() <= 0.51 * printed, "{name}: {got}, printed {want}");
        }
    }

    /// Example 25.b, in dynamical time.
    #[test]
    fn meeus_radius_vector_agrees_within_the_terms_left_out() {
        let sun = sun_position(
            place(0.0, 0.0),
            Length::of(0.0, M),
            "1992-10-13T00:00:00Z".parse().unwrap(),
            None,
            Some(Time::of(0.0, S)),
            &mut Silent,
        )
        .unwrap();
        assert!((sun.distance.count(KM) / AU_KM - 0.997_608_53).abs() < 2e-6, "{sun:?}");
        assert_eq!(sun.apparent_elevation, None);
    }

    /// 2 January 2015, 39.0 N 105.0 W: 07:19 and 16:49 mountain standard time.
    #[test]
    fn usno_sunrise_and_sunset_agree_within_whole_minutes() {
        let found =
            daylight(Horizon::Sun, place(39.0, -105.0), day("2015-01-02"), None, &mut Silent)
                .unwrap();
        assert!(seconds_between(found.rise(), "2015-01-02T07:19:00-07:00") < 31.0, "{found:?}");
        assert!(seconds_between(found.set(), "2015-01-02T16:49:00-07:00") < 31.0, "{found:?}");
    }

    /// JPL DE421 to whole seconds; the second row falls on the UTC date before.
    #[test]
    fn civil_twilight_agrees_with_the_jpl_ephemeris() {
        for (latitude, longitude, date, dawn, dusk) in [
            (0.0, -78.5, "2025-03-20", "2025-03-20T10:57:23Z", "2025-03-20T23:45:12Z"),
            (-41.3, 174.8, "2024-02-29", "2024-02-28T17:32:16Z", "2024-02-29T07:33:28Z"),
            (-68.58, 77.97, "2024-06-20", "2024-06-20T04:19:42Z", "2024-06-20T09:19:51Z"),
        ] {
            let found = civil(latitude, longitude, date);
            assert!(seconds_between(found.rise(), dawn) < 1.0, "{latitude}: {found:?}");
            assert!(seconds_between(found.set(), dusk) < 1.0, "{latitude}: {found:?}");
        }
    }

    #[test]
    fn polar_day_and_polar_night_are_values() {
        assert_eq!(civil(-77.85, 166.67, "2026-12-21"), Daylight::AlwaysAbove);
        assert_eq!(civil(-77.85, 166.67, "2027-07-25"), Daylight::AlwaysBelow);
        assert_eq!(civil(90.0, 0.0, "2026-06-21"), Daylight::AlwaysAbove);
    }

    /// Some day between polar day and ordinary days has one crossing only.
    #[test]
    fn a_day_may_have_a_rise_without_a_set() {
        let mut seen = Vec::new();
        let mut date = day("2026-03-01");
        while date < day("2026-06-01") {
            seen.push(
                daylight(Horizon::Civil, place(72.0, 20.0), date, None, &mut Silent)
                    .unwrap()
                    .words(),
            );
            date = date.tomorrow().unwrap();
        }
        assert_eq!(seen.first(), Some(&"rises and sets"));
        assert_eq!(seen.last(), Some(&"always above"));
        assert!(seen.contains(&"rises only"), "{seen:?}");
    }

    /// Mean noon at 174.8 E is 00:20:48 UTC; the equation of time then adds 12.6 minutes.
    #[test]
    fn noon_lies_within_the_day_it_is_named_after() {
        let found = noon(place(-41.3, 174.8), day("2024-02-29"), None, &mut Silent).unwrap();
        assert!(seconds_between(Some(found), "2024-02-29T00:33:22Z") < 20.0, "{found}");
    }

    #[test]
    fn every_bound_from_both_sides() {
        let rise = |latitude: f64, longitude: f64, date: &str, delta_t: Option<f64>| {
            let delta_t = delta_t.map(|s| Time::of(s, S));
            daylight(Horizon::Sun, place(latitude, longitude), day(date), delta_t, &mut Silent)
        };
        for (latitude, longitude, date, delta_t, ok) in [
            (90.0, 180.0, "2026-01-01", None, true),
            (90.1, 0.0, "2026-01-01", None, false),
            (0.0, 360.1, "2026-01-01", None, false),
            (f64::NAN, 0.0, "2026-01-01", None, false),
            (0.0, f64::INFINITY, "2026-01-01", None, false),
            (0.0, 0.0, "1900-01-02", None, true),
            (0.0, 0.0, "1899-12-30", None, false),
            (0.0, 0.0, "2100-12-30", None, true),
            (0.0, 0.0, "2101-01-02", None, false),
            (0.0, 0.0, "9999-12-31", None, false),
            (0.0, 0.0, "-009999-01-01", None, false),
            (0.0, 0.0, "2026-01-01", Some(300.0), true),
            (0.0, 0.0, "2026-01-01", Some(300.1), false),
            (0.0, 0.0, "2026-01-01", Some(-60.0), true),
            (0.0, 0.0, "2026-01-01", Some(-60.1), false),
            (0.0, 0.0, "2026-01-01", Some(f64::NAN), false),
        ] {
            let found = rise(latitude, longitude, date, delta_t);
            assert_eq!(found.is_ok(), ok, "{latitude} {longitude} {date} {delta_t:?}: {found:?}");
        }
        let error = rise(0.0, 0.0, "2101-06-01", None).unwrap_err();
        assert_eq!(error.to_string(), "the year is 2101; accepted: 1900 to 2100");
    }

    #[test]
    fn air_outside_its_range_is_refused() {
        for (pressure, temperature, ok) in
            [(226.4, 60.0, true), (226.3, 15.0, false), (1000.0, 61.0, false)]
        {
            let air = Refraction {
                pressure: Pressure::of(pressure, HPA),
                temperature: ThermodynamicTemperature::of(temperature, DEGC),
            };
            let (at, sea) = ("2026-06-21T12:00:00Z".parse().unwrap(), Length::of(0.0, M));
            let found = sun_position(place(10.0, 0.0), sea, at, Some(air), None, &mut Silent);
            assert_eq!(found.is_ok(), ok, "{pressure} hPa {temperature} degC");
        }
    }

    #[test]
    fn the_working_names_the_estimate_and_the_instants() {
        let mut working = Working::default();
        let found =
            daylight(Horizon::Civil, place(0.0, -78.5), day("2025-03-20"), None, &mut working)
                .unwrap();
        assert_eq!(working.steps[0].source, Some(source::ESPENAK_MEEUS));
        let remark = working.steps[1].remark.as_deref().unwrap();
        assert!(remark.contains(&found.rise().unwrap().to_string()), "{remark}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        #[test]
        fn the_sun_stands_on_the_horizon_when_it_rises_and_sets(
            latitude in -65.0..65.0_f64, longitude in -180.0..180.0_f64, ahead in 0..3650_i64,
        ) {
            let date = day("2024-01-01").saturating_add(jiff::ToSpan::days(ahead));
            let here = place(latitude, longitude);
            for (horizon, depth) in [(Horizon::Civil, -6.0), (Horizon::Sun, -50.0 / 60.0)] {
                let found = daylight(horizon, here, date, None, &mut Silent).unwrap();
                for at in [found.rise(), found.set()].into_iter().flatten() {
                    let sea = Length::of(0.0, M);
                    let sun = sun_position(here, sea, at, None, None, &mut Silent).unwrap();
                    prop_assert!((sun.elevation.count(DEG) - depth).abs() < 1e-4, "{at} {sun:?}");
                }
            }
        }

        #[test]
        fn dawn_sunrise_noon_sunset_dusk_come_in_that_order(
            latitude in -55.0..55.0_f64, longitude in -180.0..180.0_f64, ahead in 0..3650_i64,
        ) {
            let date = day("2024-01-01").saturating_add(jiff::ToSpan::days(ahead));
            let here = place(latitude, longitude);
            let civil = daylight(Horizon::Civil, here, date, None, &mut Silent).unwrap();
            let sun = daylight(Horizon::Sun, here, date, None, &mut Silent).unwrap();
            let noon = Some(noon(here, date, None, &mut Silent).unwrap());
            let order = [civil.rise(), sun.rise(), noon, sun.set(), civil.set()];
            prop_assert!(order.is_sorted() && order.iter().all(Option::is_some), "{order:?}");
        }
    }
}
