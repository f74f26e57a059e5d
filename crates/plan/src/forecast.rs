//! The weather through one day at one strip, from what its document forecasts.
//!
//! # Method
//!
//! Typed hours: the temperature goes along a straight line from hour to hour; wind and setting stay
//! as the last hour gave them, as the change groups of an aerodrome forecast do. Before the first
//! hour and after the last nothing is known.
//!
//! Minimum and maximum: the curve of W. J. Parton and J. A. Logan, A model for diurnal variation in
//! soil and air temperature, Agricultural Meteorology 23 (1981) 205-216, with their figures for air
//! 1.5 m above ground; formula and figures second hand, from the documentation of a library.
//!
//! ```text
//! by day     T = Tn + (Tx - Tn) sin(pi (t - rise - c) / (Y + 2 (a - c)))    rise + c <= t < set
//! by night   T = Tn + (Ts - Tn) exp(-b n / (24 h - Y + c))
//! a = 1.86 h   the maximum after solar noon      Y   length of the day, sunrise to sunset
//! b = 2.20     the cooling by night              Ts  temperature at sunset
//! c = -0.17 h  the minimum after sunrise         n   time since sunset
//! ```
//!
//! The figures were fitted in Colorado; a valley, a coast or a cloudy day goes another way. The night
//! before sunrise is taken to cool from the same day's sunset. A day without sunrise or sunset has no
//! curve.
//!
//! Neither: the weather stays as typed, which the answer says.

use jiff::Timestamp;
use stillprop_calc::{
    quantity::{FromAmount, Pressure, ThermodynamicTemperature},
    sun::Daylight,
};
use stillprop_turnaround::{
    document::turnaround,
    stage::{Spot, light::Light},
    weather::{SurfaceWind, Weather, of_document, typed_wind},
};

/// How the weather at other times than the planned one is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// As typed for the planned time, all day.
    Typed,
    /// From hour to hour.
    Hours,
    /// Temperature along the daily curve; the rest as typed.
    Curve,
}

/// The weather through one day at one strip.
#[derive(Clone, Debug)]
pub struct Forecast {
    typed: Weather,
    course: Course,
}

#[derive(Clone, Debug)]
enum Course {
    Typed,
    Hours(Vec<Hour>),
    Curve(Option<Curve>),
}

#[derive(Clone, Copy, Debug)]
struct Hour {
    at: Timestamp,
    temperature: Option<ThermodynamicTemperature>,
    wind: Option<SurfaceWind>,
    qnh: Option<Pressure>,
}

/// The daily curve of one place and day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    /// Lowest temperature.
    pub minimum: ThermodynamicTemperature,
    /// Highest temperature.
    pub maximum: ThermodynamicTemperature,
    /// Sunrise.
    pub rise: Timestamp,
    /// Sunset.
    pub set: Timestamp,
}

/// Hours from solar noon to the maximum.
const AFTER_NOON: f64 = 1.86;
/// Cooling by night.
const COOLING: f64 = 2.20;
/// Hours from sunrise to the minimum.
const AFTER_SUNRISE: f64 = -0.17;

fn hours(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64() / 3600.0
}

impl Curve {
    /// The temperature at an instant of the day.
    #[must_use]
    pub fn at(&self, instant: Timestamp) -> ThermodynamicTemperature {
        let (low, high) = (self.minimum.value, self.maximum.value);
        let day = hours(self.rise, self.set);
        let by_day = |since: f64| {
            let phase = since / (day + 2.0 * (AFTER_NOON - AFTER_SUNRISE));
            low + (high - low) * (std::f64::consts::PI * phase).sin()
        };
        // Counted from the minimum; other days go the same way.
        let since = (hours(self.rise, instant) - AFTER_SUNRISE).rem_euclid(24.0);
        let sunset = day - AFTER_SUNRISE;
        let at = if since < sunset {
            by_day(since)
        } else {
            let night = 24.0 - day + AFTER_SUNRISE;
            low + (by_day(sunset) - low) * (-COOLING * (since - sunset) / night).exp()
        };
        ThermodynamicTemperature::from_si(at)
    }
}

impl Forecast {
    /// The weather of a day at a strip, from its part of the document.
    #[must_use]
    pub fn of(
        document: &turnaround::Weather,
        spot: &Spot,
        light: Option<&Light>,
        around: Timestamp,
    ) -> Self {
        let variation = spot.variation_east;
        let course = if !document.hours.is_empty() {
            let hour = |hour: &turnaround::Hour| Hour {
                at: hour.at.value.instant,
                temperature: hour.temperature.as_ref().map(|given| given.value),
                wind: hour.wind.as_ref().and_then(|wind| typed_wind(wind, variation)),
                qnh: hour.qnh.as_ref().map(|given| given.value),
            };
            Course::Hours(document.hours.iter().map(hour).collect())
        } else if let (Some(low), Some(high)) = (&document.minimum, &document.maximum) {
            let sun = light.and_then(|light| light.sun(around).ok());
            let curve = |sun: Daylight| {
                let (rise, set) = (sun.rise()?, sun.set()?);
                let curve = Curve { minimum: low.value, maximum: high.value, rise, set };
                (rise < set).then_some(curve)
            };
            Course::Curve(sun.and_then(curve))
        } else {
            Course::Typed
        };
        Self { typed: of_document(document, variation), course }
    }

    /// How it is known.
    #[must_use]
    pub const fn basis(&self) -> Basis {
        match self.course {
            Course::Typed => Basis::Typed,
            Course::Hours(_) => Basis::Hours,
            Course::Curve(_) => Basis::Curve,
        }
    }

    /// The weather at an instant. What the forecast does not reach is missing.
    #[must_use]
    pub fn at(&self, instant: Timestamp) -> Weather {
        let typed = self.typed;
        match &self.course {
            Course::Typed => typed,
            Course::Curve(curve) => {
                Weather { temperature: curve.map(|curve| curve.at(instant)), ..typed }
            }
            Course::Hours(hours) => Weather {
                temperature: match hours.iter().any(|hour| hour.temperature.is_some()) {
                    true => along(hours, instant),
                    false => typed.temperature,
                },
                wind: kept(hours, instant, typed.wind, |hour| hour.wind),
                qnh: kept(hours, instant, typed.qnh, |hour| hour.qnh),
                ..typed
            },
        }
    }
}

/// Along the straight line between the hours around an instant.
fn along(all: &[Hour], instant: Timestamp) -> Option<ThermodynamicTemperature> {
    let given = || all.iter().filter_map(|hour| Some((hour.at, hour.temperature?)));
    let (before, low) = given().take_while(|(at, _)| *at <= instant).last()?;
    let (after, high) = given().find(|(at, _)| *at >= instant)?;
    let whole = hours(before, after);
    let part = if whole > 0.0 { hours(before, instant) / whole } else { 0.0 };
    Some(ThermodynamicTemperature::from_si(low.value + (high.value - low.value) * part))
}

/// As the last hour gave it; as typed where no hour does.
fn kept<T: Copy>(
    hours: &[Hour],
    instant: Timestamp,
    typed: Option<T>,
    of: impl Fn(&Hour) -> Option<T>,
) -> Option<T> {
    if hours.iter().all(|hour| of(hour).is_none()) {
        return typed;
    }
    if hours.last().is_none_or(|last| last.at < instant) {
        return None;
    }
    hours.iter().take_while(|hour| hour.at <= instant).filter_map(of).last()
}

#[cfg(test)]
mod tests {
    use stillprop_calc::unit;

    use super::*;

    fn curve() -> Curve {
        Curve {
            minimum: ThermodynamicTemperature::of(10.0, unit::DEGC),
            maximum: ThermodynamicTemperature::of(30.0, unit::DEGC),
            rise: "2026-12-03T00:00:00Z".parse().unwrap(),
            set: "2026-12-03T12:00:00Z".parse().unwrap(),
        }
    }

    fn degc(at: &str) -> f64 {
        curve().at(format!("2026-12-03T{at}Z").parse().unwrap()).count(unit::DEGC)
    }

    /// Exact: the maximum 1.86 h after noon; 10 + 20 sin(pi 12.17/16.06) at sunset = 23.80585;
    /// then 10 + 13.80585 exp(-2.2 * 3/11.83) three hours later.
    #[test]
    fn the_curve_equals_exact_arithmetic() {
        assert!((degc("07:51:36") - 30.0).abs() < 1e-9);
        let at_sunset = 10.0 + 20.0 * (std::f64::consts::PI * 12.17 / 16.06).sin();
        assert!((degc("12:00:00") - at_sunset).abs() < 1e-9);
        let later = 10.0 + (at_sunset - 10.0) * (-2.2_f64 * 3.0 / 11.83).exp();
        assert!((degc("15:00:00") - later).abs() < 1e-9);
    }

    #[test]
    fn it_never_leaves_minimum_and_maximum() {
        for minute in 0..2 * 24 * 60 {
            let at = curve().rise + jiff::SignedDuration::from_mins(minute - 24 * 60);
            let found = curve().at(at).count(unit::DEGC);
            assert!((10.0 - 1e-9..=30.0 + 1e-9).contains(&found), "{minute}: {found}");
        }
    }

    #[test]
    fn hours_go_straight_and_end_where_they_end() {
        let hour = |at: &str, degc: Option<f64>, kt: Option<f64>| Hour {
            at: at.parse().unwrap(),
            temperature: degc.map(|degc| ThermodynamicTemperature::of(degc, unit::DEGC)),
            wind: kt.map(|kt| SurfaceWind {
                from: None,
                speed: stillprop_calc::quantity::Velocity::of(kt, unit::KT),
                gust: None,
            }),
            qnh: None,
        };
        let forecast = Forecast {
            typed: Weather { qnh: Some(Pressure::of(1013.0, unit::HPA)), ..Weather::default() },
            course: Course::Hours(vec![
                hour("2026-12-03T06:00:00Z", Some(10.0), Some(5.0)),
                hour("2026-12-03T08:00:00Z", None, Some(9.0)),
                hour("2026-12-03T10:00:00Z", Some(30.0), None),
            ]),
        };
        let at = |at: &str| {
            let weather = forecast.at(format!("2026-12-03T{at}:00Z").parse().unwrap());
            let temperature = weather.temperature.map(|t| t.count(unit::DEGC).round());
            (temperature, weather.wind.map(|wind| wind.speed.count(unit::KT).round()), weather.qnh)
        };
        let qnh = Some(Pressure::of(1013.0, unit::HPA));
        assert_eq!(at("05:59"), (None, None, qnh));
        assert_eq!(at("06:00"), (Some(10.0), Some(5.0), qnh));
        assert_eq!(at("07:59"), (Some(20.0), Some(5.0), qnh));
        assert_eq!(at("09:00"), (Some(25.0), Some(9.0), qnh));
        assert_eq!(at("10:00"), (Some(30.0), Some(9.0), qnh));
        assert_eq!(at("10:01"), (None, None, qnh));
    }
}
