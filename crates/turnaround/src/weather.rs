//! Weather at a strip: a METAR line, typed values, or both, the typed ones winning.

use metar::{Data, Metar, Pressure as Setting, Wind as Report, WindDirection, WindSpeed};
use stillprop_calc::{
    quantity::{Angle, FromAmount, Pressure, ThermodynamicTemperature, Velocity},
    unit,
};

use crate::document::turnaround;

/// What is known of the weather at a place. Every part may be missing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Weather {
    /// Altimeter setting.
    pub qnh: Option<Pressure>,
    /// Outside air temperature.
    pub temperature: Option<ThermodynamicTemperature>,
    /// Dew point.
    pub dew_point: Option<ThermodynamicTemperature>,
    /// Surface wind.
    pub wind: Option<SurfaceWind>,
    /// Whether the strip is wet.
    pub wet: Option<bool>,
}

/// A wind near the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfaceWind {
    /// True direction it comes from; `None` when variable.
    pub from: Option<Angle>,
    /// Mean speed.
    pub speed: Velocity,
    /// Gust.
    pub gust: Option<Velocity>,
}

impl SurfaceWind {
    /// The strongest it blows.
    #[must_use]
    pub fn strongest(&self) -> Velocity {
        match self.gust {
            Some(gust) if gust > self.speed => gust,
            _ => self.speed,
        }
    }
}

/// Why a METAR line was not accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineError {
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
}

impl LineError {
    fn new(message: impl Into<String>) -> Self {
        let help = "correct the line, or leave it out and type wind, temperature and qnh";
        Self { message: message.into(), help: help.into() }
    }
}

/// The longest METAR line that is read. Ours; real ones are under 200 characters.
const LONGEST: usize = 600;

/// Reads a METAR line.
///
/// A report header (`METAR`, `SPECI`, `COR`) and the closing `=` are taken off; when the
/// setting is given twice, in hectopascals and in inches, the hectopascals are read.
///
/// # Errors
///
/// [`LineError`] when the line is not a report, or says something that cannot be.
pub fn read_metar(line: &str) -> Result<Weather, LineError> {
    let odd = |c: char| !c.is_ascii() || c.is_control() && !c.is_ascii_whitespace();
    if line.len() > LONGEST || line.contains(odd) {
        return Err(LineError::new("this is not a METAR line"));
    }
    let body = plain_body(line);
    let report = Metar::parse(body.as_str()).map_err(|errors| {
        // The place may lie inside a word; the reader is shown the whole of it.
        let (before, _) = errors
            .first()
            .and_then(|error| body.split_at_checked(error.start))
            .unwrap_or((&body, ""));
        let start = before.rfind(' ').map_or(0, |space| space + 1);
        let word = body[start..].split_whitespace().next().unwrap_or("its end");
        LineError::new(format!("the METAR line cannot be read at `{word}`"))
    })?;
    let weather = Weather {
        qnh: qnh(report.pressure),
        temperature: known(report.temperature).map(degc),
        dew_point: known(report.dewpoint).map(degc),
        wind: wind(report.wind)?,
        wet: None,
    };
    possible(&weather)?;
    Ok(weather)
}

/// The line without header and end mark, one space between words, one pressure group.
fn plain_body(line: &str) -> String {
    let header = |word: &&str| matches!(*word, "METAR" | "SPECI" | "COR");
    let words: Vec<&str> =
        line.trim().trim_end_matches('=').split_ascii_whitespace().skip_while(header).collect();
    let digits = |word: &str, letter: char| {
        word.strip_prefix(letter).is_some_and(|rest| rest.len() == 4 && rest.parse::<u16>().is_ok())
    };
    let both = words.iter().any(|word| digits(word, 'Q'));
    let kept: Vec<&str> = words.into_iter().filter(|word| !(both && digits(word, 'A'))).collect();
    kept.join(" ")
}

fn known<T>(data: Data<T>) -> Option<T> {
    match data {
        Data::Known(value) => Some(value),
        Data::Unknown => None,
    }
}

fn degc(value: i32) -> ThermodynamicTemperature {
    ThermodynamicTemperature::of(f64::from(value), unit::DEGC)
}

fn qnh(setting: Setting) -> Option<Pressure> {
    match setting {
        Setting::Hectopascals(data) => {
            known(data).map(|value| Pressure::of(f64::from(value), unit::HPA))
        }
        Setting::InchesOfMercury(data) => {
            // The library holds hundredths of an inch in single precision.
            let hundredths = |value: f32| (f64::from(value) * 100.0).round() / 100.0;
            known(data).map(|value| Pressure::of(hundredths(value), unit::INHG))
        }
    }
}

fn wind(report: Report) -> Result<Option<SurfaceWind>, LineError> {
    let (dir, speed) = match report {
        Report::Calm => {
            let calm = SurfaceWind { from: None, speed: Velocity::from_si(0.0), gust: None };
            return Ok(Some(calm));
        }
        Report::Present { dir, speed, .. } => (dir, speed),
    };
    let (mean, gust, unit) = match speed {
        WindSpeed::Knots { speed, gusting } => (speed, gusting, unit::KT),
        WindSpeed::MetresPerSecond { speed, gusting } => (speed, gusting, unit::M_S),
        WindSpeed::KilometresPerHour { speed, gusting } => (speed, gusting, unit::KM_H),
        // "Above 99 kt" is no number to reckon with.
        WindSpeed::Greater => return Ok(None),
    };
    let Some(mean) = known(mean) else { return Ok(None) };
    let of = |value: u32| Velocity::of(f64::from(value), unit);
    let from = match dir {
        WindDirection::Variable => None,
        WindDirection::Heading(data) => match known(data) {
            Some(degrees) if degrees <= 360 => Some(Angle::of(f64::from(degrees), unit::DEG)),
            Some(degrees) => {
                return Err(LineError::new(format!("the METAR wind direction is {degrees}")));
            }
            // A speed without its direction may blow from anywhere.
            None => None,
        },
    };
    Ok(Some(SurfaceWind { from, speed: of(mean), gust: gust.and_then(known).map(of) }))
}

/// Refuses what the library lets through but the air does not.
fn possible(weather: &Weather) -> Result<(), LineError> {
    if let Some(wind) = &weather.wind {
        if wind.gust.is_some_and(|gust| gust < wind.speed) {
            return Err(LineError::new("the METAR gust is below its mean wind"));
        }
        if wind.strongest().count(unit::KT) > 200.0 {
            return Err(LineError::new("the METAR wind is above 200 kt"));
        }
    }
    if let (Some(air), Some(dew)) = (weather.temperature, weather.dew_point)
        && dew > air
    {
        return Err(LineError::new("the METAR dew point is above its temperature"));
    }
    if weather.qnh.is_some_and(|qnh| !(850.0..=1090.0).contains(&qnh.count(unit::HPA))) {
        return Err(LineError::new("the METAR pressure is outside 850 to 1090 hPa"));
    }
    if weather.temperature.is_some_and(|air| !(-60.0..=60.0).contains(&air.count(unit::DEGC))) {
        return Err(LineError::new("the METAR temperature is outside -60 to 60 degC"));
    }
    Ok(())
}

/// The weather of a document: its METAR line with the typed values over it.
///
/// A magnetic wind direction needs the variation of the strip; without one it stays unknown.
#[must_use]
pub fn of_document(document: &turnaround::Weather, variation_east: Option<Angle>) -> Weather {
    let line = document.metar.as_ref().and_then(|line| read_metar(&line.value).ok());
    let line = line.unwrap_or_default();
    Weather {
        qnh: document.qnh.as_ref().map(|given| given.value).or(line.qnh),
        temperature: document.temperature.as_ref().map(|given| given.value).or(line.temperature),
        dew_point: document.dew_point.as_ref().map(|given| given.value).or(line.dew_point),
        wind: match &document.wind {
            Some(typed) => typed_wind(typed, variation_east),
            None => line.wind,
        },
        wet: document.wet,
    }
}

/// A typed wind with a true direction; `None` when the direction is magnetic and the
/// variation is not known.
#[must_use]
pub fn typed_wind(typed: &turnaround::Wind, variation_east: Option<Angle>) -> Option<SurfaceWind> {
    let from = match &typed.from {
        Some(bearing) => Some(full_circle(bearing.to_true(variation_east)?)),
        None => None,
    };
    let gust = typed.gust.as_ref().map(|given| given.value);
    Some(SurfaceWind { from, speed: typed.speed.value, gust })
}

/// An angle brought into 0 to 360 degrees.
#[must_use]
pub(crate) fn full_circle(angle: Angle) -> Angle {
    Angle::of(angle.count(unit::DEG).rem_euclid(360.0), unit::DEG)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_reports_of_several_countries() {
        for (line, from, kt, gust, temperature, qnh_hpa) in [
            (
                "METAR YXXX 210500Z 14008KT 9999 FEW040 24/14 Q1016=",
                Some(140.0),
                8.0,
                None,
                24.0,
                1016.0,
            ),
            (
                "SPECI KXXX 210500Z 14008G19KT 10SM CLR 24/14 A3000",
                Some(140.0),
                8.0,
                Some(19.0),
                24.0,
                1015.917,
            ),
            ("KXXX 210500Z VRB04KT 10SM SKC M02/M05 A2992 Q1013", None, 4.0, None, -2.0, 1013.0),
            (
                "METAR COR UXXX 210500Z 27005MPS CAVOK 31/02 Q1009",
                Some(270.0),
                9.719,
                None,
                31.0,
                1009.0,
            ),
        ] {
            let weather = read_metar(line).unwrap();
            let wind = weather.wind.unwrap();
            assert_eq!(wind.from.map(|from| from.count(unit::DEG).round()), from, "{line}");
            assert!((wind.speed.count(unit::KT) - kt).abs() < 1e-3, "{line}");
            assert_eq!(wind.gust.map(|gust| gust.count(unit::KT).round()), gust, "{line}");
            assert!((weather.temperature.unwrap().count(unit::DEGC) - temperature).abs() < 1e-9);
            assert!((weather.qnh.unwrap().count(unit::HPA) - qnh_hpa).abs() < 1e-3, "{line}");
        }
    }

    #[test]
    fn refuses_what_cannot_be() {
        for (line, words) in [
            ("YXXX 210500Z 14018G09KT 9999 FEW040 24/14 Q1016", "gust"),
            ("YXXX 210500Z 14008KT 9999 FEW040 14/24 Q1016", "dew point"),
            ("YXXX 210500Z 47008KT 9999 FEW040 24/14 Q1016", "at `47008KT`"),
            ("YXXX 210500Z 14008KT 9999 FEW040 24/14 Q0016", "pressure"),
            ("the weather is fine", "cannot be read"),
            ("", "cannot be read"),
            ("YXXX 210500Z 14008KT \u{fe0f}", "not a METAR"),
            ("YXXX 210500Z \u{1b}[2J", "not a METAR"),
        ] {
            let error = read_metar(line).unwrap_err();
            assert!(error.message.contains(words), "{line}: {}", error.message);
        }
    }

    #[test]
    fn missing_groups_stay_missing() {
        let weather = read_metar("YXXX 210500Z /////KT //// // ////// ///// Q////").unwrap();
        assert_eq!(weather, Weather::default());
    }
}
