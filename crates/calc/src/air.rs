//! What the air does to the aeroplane: standard atmosphere, pressure and density altitude.
//!
//! # Formulas
//!
//! Standard atmosphere up to the tropopause, `[icao-7488]`, `H` geopotential height,
//! `n = g0 / (L R) = 5.25588`:
//!
//! ```text
//! T   = T0 - L H            p = p0 (T/T0)^n              rho = p / (R T)
//! PA  = (T0/L) (1 - (p/p0)^(1/n))                        pressure altitude
//! DA  = (T0/L) (1 - (rho/rho0)^(1/(n - 1)))              density altitude
//! p   = p0 ((QNH/p0)^(1/n) - L H/T0)^n                   station pressure
//! rho = p / (R Tv),  Tv = T / (1 - 0.378 e/p)            air as it is, `[wmo-8]`
//! ```
//!
//! `e` is the vapour pressure at the dew point, [`humid::wmo_water`]; dry air has `e = 0`.
//!
//! Two older forms, each with its own name because they do not agree with the exact value:
//!
//! ```text
//! [nws-density-altitude] h = 145366 (1 - (17.326 p / TR)^0.235), p in inHg, h in ft,
//!                        TR = 9/5 T / (1 - (e/p) (1 - 0.622)), e by the same note
//!                        dry form: 145442.16 (1 - (17.326 p / (459.67 + F))^0.235)
//! [density-altitude-rule] DA = PA + 120 (t - (15 - 2 H/1000)), t in degC, PA and H in ft
//! ```
//!
//! # Units and accepted range
//!
//! | symbol | quantity | unit | accepted | whose limit |
//! |---|---|---|---|---|
//! | `H`, `PA`, `DA` | height | m, geopotential | -5000 to 11000 | tables' start, tropopause |
//! | `H` | elevation | ft | -2000 to 30000 | ours: every place on land |
//! | `QNH` | altimeter setting | hPa | 850 to 1090 | ours: beyond the records |
//! | `p` | station pressure | hPa | 226.4 to 1200 | tropopause; ours: what those above give |
//! | `t` | air temperature | degC | -90 to 60 | ours: beyond the records |
//! | dew point | | degC | -45 to 60, not above `t` | the range of the vapour formula |
//!
//! # Accuracy
//!
//! The exact forms are algebra: 1e-9 relative. Against the reference cases the worst error is
//! 0.05 ft, their print rounding. The FAA altimeter-setting table is met within 1.6 ft.
//!
//! # Left out on purpose
//!
//! - Geometric height: an elevation is taken as geopotential. At 3000 m they differ by 1.4 m.
//! - The enhancement factor of vapour in air: 0.4 % of `e`, under 3 ft of `DA` up to a dew
//!   point of 30 degC.
//! - The two older forms differ from the exact value on purpose: the NWS note lies 11 to 18 ft
//!   above it, the rule 100 to 250 ft when hot and high. Tests hold both disagreements.
//!
//! # Sources
//!
//! `icao-7488`, `wmo-8`, `nws-density-altitude`, `density-altitude-rule`.

use std::{error::Error, fmt};

use crate::{
    bounds::{Bounds, OutOfRange},
    constants::{LAPSE, P0, PRESSURE_EXPONENT, R_AIR, RHO0, T0},
    humid,
    quantity::{FromAmount, Length, MassDensity, Pressure, ThermodynamicTemperature},
    source,
    trace::{Step, Trace},
    unit::{DEGC, DEGF, FT, HPA, INHG, M},
};

/// Heights at which the standard atmosphere is used.
pub const HEIGHT: Bounds = Bounds::new("height in the standard atmosphere", -5e3, 11e3, M);
/// Elevations of aerodromes.
pub const ELEVATION: Bounds = Bounds::new("elevation", -2e3, 30e3, FT);
/// Altimeter settings.
pub const QNH: Bounds = Bounds::new("QNH", 850.0, 1090.0, HPA);
/// Pressures at a station.
pub const PRESSURE: Bounds = Bounds::new("pressure", 226.4, 1200.0, HPA);
/// Air temperatures.
pub const TEMPERATURE: Bounds = Bounds::new("temperature", -90.0, 60.0, DEGC);
/// Dew points.
pub const DEW_POINT: Bounds = Bounds::new("dew point", -45.0, 60.0, DEGC);

const DENSITY_ALTITUDE: Bounds = Bounds { quantity: "density altitude", ..HEIGHT };
/// 1 - 0.622, the ratio of the molar masses of water and air, as `[wmo-8]` rounds it.
const VAPOUR_DEFICIT: f64 = 0.378;

/// The standard atmosphere at one height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandardAir {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Pressure.
    pub pressure: Pressure,
    /// Density.
    pub density: MassDensity,
}

/// The air as measured at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Station pressure.
    pub pressure: Pressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Dew point; `None` takes the air as dry.
    pub dew_point: Option<ThermodynamicTemperature>,
}

/// Why the density of some air is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AirError {
    /// A value outside its range.
    OutOfRange(OutOfRange),
    /// Air cannot hold that much water.
    DewPointAboveTemperature {
        /// The dew point.
        dew_point: ThermodynamicTemperature,
        /// The temperature of the air.
        temperature: ThermodynamicTemperature,
    },
}

impl From<OutOfRange> for AirError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl fmt::Display for AirError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfRange(error) => error.fmt(f),
            Self::DewPointAboveTemperature { dew_point, temperature } => write!(
                f,
                "dew point {:.1} degC is above the temperature {:.1} degC",
                dew_point.count(DEGC),
                temperature.count(DEGC)
            ),
        }
    }
}

impl Error for AirError {}

impl Air {
    fn checked(self) -> Result<Self, AirError> {
        PRESSURE.check(self.pressure)?;
        TEMPERATURE.check(self.temperature)?;
        if let Some(dew_point) = self.dew_point {
            DEW_POINT.check(dew_point)?;
            if dew_point > self.temperature {
                let temperature = self.temperature;
                return Err(AirError::DewPointAboveTemperature { dew_point, temperature });
            }
        }
        Ok(self)
    }
}

/// Temperature, pressure and density of the standard atmosphere at `height`.
///
/// # Errors
///
/// [`OutOfRange`] outside [`HEIGHT`].
pub fn standard_air(height: Length, trace: &mut impl Trace) -> Result<StandardAir, OutOfRange> {
    let h = HEIGHT.check(height)?.si();
    let kelvin = T0 - LAPSE * h;
    let pascal = P0 * (kelvin / T0).powf(PRESSURE_EXPONENT);
    let air = StandardAir {
        temperature: ThermodynamicTemperature::from_si(kelvin),
        pressure: Pressure::from_si(pascal),
        density: MassDensity::from_si(pascal / (R_AIR * kelvin)),
    };
    trace.step(|| {
        Step::new("standard atmosphere", "T = T0 - L H; p = p0 (T/T0)^(g0/(L R)); rho = p/(R T)")
            .with("H", height)
            .gives("T", air.temperature)
            .gives("p", air.pressure)
            .gives("rho", air.density)
            .from(source::ICAO_7488)
    });
    Ok(air)
}

/// Pressure at a place of known elevation when the altimeter setting is `qnh`.
///
/// # Errors
///
/// [`OutOfRange`] outside [`ELEVATION`] or [`QNH`].
pub fn station_pressure(
    elevation: Length,
    qnh: Pressure,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    let h = ELEVATION.check(elevation)?.si();
    let q = QNH.check(qnh)?.si();
    let root = (q / P0).powf(1.0 / PRESSURE_EXPONENT) - LAPSE * h / T0;
    let pressure = Pressure::from_si(P0 * root.powf(PRESSURE_EXPONENT));
    trace.step(|| {
        Step::new("station pressure", "p = p0 ((QNH/p0)^(1/n) - L H/T0)^n, n = g0/(L R)")
            .with("QNH", qnh)
            .with("H", elevation)
            .gives("p", pressure)
            .from(source::ICAO_7488)
    });
    Ok(pressure)
}

/// Height in the standard atmosphere at which the pressure is `pressure`.
///
/// # Errors
///
/// [`OutOfRange`] outside [`PRESSURE`].
pub fn pressure_altitude(pressure: Pressure, trace: &mut impl Trace) -> Result<Length, OutOfRange> {
    let p = PRESSURE.check(pressure)?.si();
    let altitude = Length::from_si(T0 / LAPSE * (1.0 - (p / P0).powf(1.0 / PRESSURE_EXPONENT)));
    trace.step(|| {
        Step::new("pressure altitude", "PA = (T0/L) (1 - (p/p0)^(1/n)), n = g0/(L R)")
            .with("p", pressure)
            .gives("PA", altitude)
            .from(source::ICAO_7488)
    });
    Ok(altitude)
}

/// Pressure altitude of a place of known elevation when the altimeter setting is `qnh`.
///
/// # Errors
///
/// [`OutOfRange`] outside [`ELEVATION`] or [`QNH`].
pub fn pressure_altitude_at(
    elevation: Length,
    qnh: Pressure,
    trace: &mut impl Trace,
) -> Result<Length, OutOfRange> {
    let pressure = station_pressure(elevation, qnh, trace)?;
    pressure_altitude(pressure, trace)
}

/// Pressure at a pressure altitude: the inverse of [`pressure_altitude`].
///
/// # Errors
///
/// [`OutOfRange`] outside [`HEIGHT`].
pub fn pressure_at(
    pressure_altitude: Length,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    standard_air(pressure_altitude, trace).map(|air| air.pressure)
}

/// Density of the air by the ideal gas law with the virtual temperature.
///
/// # Errors
///
/// [`AirError`] outside [`PRESSURE`], [`TEMPERATURE`] or [`DEW_POINT`], or when the dew point is
/// above the temperature.
pub fn air_density(air: Air, trace: &mut impl Trace) -> Result<MassDensity, AirError> {
    let Air { pressure, temperature, dew_point } = air.checked()?;
    let vapour = match dew_point {
        Some(dew_point) => humid::wmo_water(dew_point, trace)?,
        None => Pressure::from_si(0.0),
    };
    let dry_share = 1.0 - VAPOUR_DEFICIT * vapour.si() / pressure.si();
    let virtual_temperature = ThermodynamicTemperature::from_si(temperature.si() / dry_share);
    let density = MassDensity::from_si(pressure.si() / (R_AIR * virtual_temperature.si()));
    trace.step(|| {
        let step = Step::new("density of the air", "rho = p / (R Tv); Tv = T / (1 - 0.378 e/p)")
            .with("p", pressure)
            .with("T", temperature)
            .with("e", vapour)
            .gives("Tv", virtual_temperature)
            .gives("rho", density)
            .from(source::WMO_8);
        if dew_point.is_none() { step.remark("no dew point given: taken as dry") } else { step }
    });
    Ok(density)
}

/// Height in the standard atmosphere at which the density is that of `air`: exact.
///
/// # Errors
///
/// [`AirError`] as for [`air_density`], and when the answer lies outside [`HEIGHT`].
pub fn density_altitude(air: Air, trace: &mut impl Trace) -> Result<Length, AirError> {
    let density = air_density(air, trace)?;
    let ratio = density.si() / RHO0;
    let altitude = T0 / LAPSE * (1.0 - ratio.powf(1.0 / (PRESSURE_EXPONENT - 1.0)));
    let altitude = DENSITY_ALTITUDE.check(Length::from_si(altitude))?;
    trace.step(|| {
        Step::new("density altitude", "DA = (T0/L) (1 - (rho/rho0)^(1/(n - 1))), n = g0/(L R)")
            .with("rho", density)
            .with("rho0", MassDensity::from_si(RHO0))
            .gives("DA", altitude)
            .from(source::ICAO_7488)
    });
    Ok(altitude)
}

/// Density altitude as the NWS note computes it, with or without moisture.
///
/// Its publisher rounds to 100 ft.
///
/// # Errors
///
/// [`AirError`] as for [`air_density`].
pub fn density_altitude_nws(air: Air, trace: &mut impl Trace) -> Result<Length, AirError> {
    let Air { pressure, temperature, dew_point } = air.checked()?;
    let vapour = match dew_point {
        Some(dew_point) => humid::nws(dew_point, trace)?,
        None => Pressure::from_si(0.0),
    };
    let moist = temperature.si() / (1.0 - vapour.si() / pressure.si() * (1.0 - 0.622));
    let rankine = moist * 9.0 / 5.0;
    let feet = 145_366.0 * (1.0 - (17.326 * pressure.count(INHG) / rankine).powf(0.235));
    let altitude = Length::of(feet, FT);
    trace.step(|| {
        Step::new(
            "density altitude, NWS",
            "h = 145366 (1 - (17.326 p / TR)^0.235); TR = 9/5 T / (1 - (e/p) (1 - 0.622))",
        )
        .with("p", pressure)
        .with("T", temperature)
        .with("e", vapour)
        .gives("h", altitude)
        .from(source::NWS_DENSITY_ALTITUDE)
    });
    Ok(altitude)
}

/// Density altitude of dry air by the form of the NWS rule in degrees Fahrenheit.
///
/// Its constant differs from the one of [`density_altitude_nws`]: 4 ft more at 8000 ft.
///
/// # Errors
///
/// [`OutOfRange`] outside [`PRESSURE`] or [`TEMPERATURE`].
pub fn density_altitude_nws_dry(
    pressure: Pressure,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Length, OutOfRange> {
    let p = PRESSURE.check(pressure)?.count(INHG);
    let fahrenheit = TEMPERATURE.check(temperature)?.count(DEGF);
    let feet = 145_442.16 * (1.0 - (17.326 * p / (459.67 + fahrenheit)).powf(0.235));
    let altitude = Length::of(feet, FT);
    trace.step(|| {
        Step::new(
            "density altitude of dry air, NWS",
            "h = 145442.16 (1 - (17.326 p / (459.67 + F))^0.235)",
        )
        .with("p", pressure)
        .with("F", temperature)
        .gives("h", altitude)
        .from(source::NWS_DENSITY_ALTITUDE)
    });
    Ok(altitude)
}

/// Density altitude by the rule of thumb of 120 ft per degree.
///
/// `standard_at` is the height whose standard temperature is taken: the elevation in the
/// published example, the pressure altitude in other tellings of the rule.
///
/// # Errors
///
/// [`OutOfRange`] outside [`HEIGHT`] or [`TEMPERATURE`].
pub fn density_altitude_rule(
    pressure_altitude: Length,
    standard_at: Length,
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Length, OutOfRange> {
    let pa = HEIGHT.check(pressure_altitude)?.count(FT);
    let h = HEIGHT.check(standard_at)?.count(FT);
    let t = TEMPERATURE.check(temperature)?.count(DEGC);
    let standard = 15.0 - 2.0 * h / 1000.0;
    let altitude = Length::of(pa + 120.0 * (t - standard), FT);
    trace.step(|| {
        Step::new("density altitude, rule of thumb", "DA = PA + 120 (t - (15 - 2 H/1000))")
            .with("PA", pressure_altitude)
            .with("H", standard_at)
            .with("t", temperature)
            .gives("DA", altitude)
            .from(source::DENSITY_ALTITUDE_RULE)
            .remark("100 to 250 ft above the exact value when hot and high")
    });
    Ok(altitude)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn feet(ft: f64) -> Length {
        Length::of(ft, FT)
    }

    fn hpa(p: f64) -> Pressure {
        Pressure::of(p, HPA)
    }

    fn celsius(t: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::of(t, DEGC)
    }

    fn air(p: f64, t: f64, dew_point: Option<f64>) -> Air {
        Air { pressure: hpa(p), temperature: celsius(t), dew_point: dew_point.map(celsius) }
    }

    fn near(name: &str, got: f64, exact: f64) {
        assert!((got - exact).abs() <= 1e-12 * exact.abs(), "{name}: {got}, exact {exact}");
    }

    /// 40-digit arithmetic on the constants of the source; both signs of the height.
    #[test]
    fn standard_air_equals_exact_arithmetic() {
        for (h, t, p, rho) in [
            (3141.0, 267.733_5, 68_860.541_461_695_86, 0.895_995_491_781_251_3),
            (-1234.0, 296.171, 117_054.264_020_377_6, 1.376_837_904_305_409),
        ] {
            let air = standard_air(Length::of(h, M), &mut Silent).unwrap();
            near("T", air.temperature.si(), t);
            near("p", air.pressure.si(), p);
            near("rho", air.density.si(), rho);
        }
    }

    #[test]
    fn station_pressure_and_pressure_altitude_equal_exact_arithmetic() {
        let p = station_pressure(feet(5883.0), hpa(1019.3), &mut Silent).unwrap();
        near("p", p.si(), 82_065.887_335_392_96);
        let pa = pressure_altitude(hpa(835.7), &mut Silent).unwrap();
        near("PA", pa.count(FT), 5_234.505_739_037_376);
    }

    #[test]
    fn density_and_density_altitude_equal_exact_arithmetic() {
        for (dew_point, rho, da) in [
            (None, 0.955_938_394_306_807_5, 8_233.129_349_060_975),
            (Some(18.6), 0.946_693_786_035_953_4, 8_546.071_946_777_186),
        ] {
            let air = air(835.7, 31.4, dew_point);
            near("rho", air_density(air, &mut Silent).unwrap().si(), rho);
            near("DA", density_altitude(air, &mut Silent).unwrap().count(FT), da);
        }
    }

    #[test]
    fn nws_forms_equal_exact_arithmetic() {
        for (dew_point, da) in [(None, 8_245.689_393_810_39), (Some(18.6), 8_558.693_568_258_243)] {
            let got = density_altitude_nws(air(835.7, 31.4, dew_point), &mut Silent).unwrap();
            near("NWS", got.count(FT), da);
        }
        let dry = density_altitude_nws_dry(hpa(835.7), celsius(31.4), &mut Silent).unwrap();
        near("NWS dry", dry.count(FT), 8_250.009_466_621_313);
    }

    /// The worked example of the published lesson, and a second one in exact arithmetic.
    #[test]
    fn rule_of_thumb_gives_the_published_example() {
        for (pa, elevation, t, da) in [(520.0, 50.0, 35.0, 2932.0), (980.0, 150.0, 31.6, 3008.0)] {
            let got =
                density_altitude_rule(feet(pa), feet(elevation), celsius(t), &mut Silent).unwrap();
            assert!((got.count(FT) - da).abs() < 1e-8, "{}", got.count(FT));
        }
    }

    /// Geopotential height, temperature, pressure, density as the ICAO table prints them.
    #[test]
    fn icao_table_agrees_within_one_unit_of_the_last_printed_digit() {
        for (h, t, p, rho) in [
            (0.0, 288.150, 1013.250, 1.225_00),
            (2000.0, 275.150, 794.952, 1.006_49),
            (5000.0, 255.650, 540.199, 0.736_116),
        ] {
            let air = standard_air(Length::of(h, M), &mut Silent).unwrap();
            assert!((air.temperature.si() - t).abs() < 5e-4, "{h} m");
            assert!((air.pressure.count(HPA) - p).abs() < 1e-3, "{h} m");
            assert!((air.density.si() - rho).abs() < 1e-5, "{h} m: {:?}", air.density);
        }
    }

    /// Altimeter setting in inHg against the correction printed on FAA charts.
    #[test]
    fn faa_altimeter_setting_table_agrees_within_its_rounding_of_the_standard_setting() {
        for (setting, correction) in
            [(28.1, 1727.0), (29.1, 768.0), (29.92, 0.0), (30.5, -531.0), (31.0, -983.0)]
        {
            let qnh = Pressure::of(setting, INHG);
            let pa = pressure_altitude_at(feet(0.0), qnh, &mut Silent).unwrap();
            assert!((pa.count(FT) - correction).abs() < 1.6, "{setting} inHg");
        }
    }

    /// If this fails somebody mixed the forms up: see "Left out on purpose".
    #[test]
    fn the_older_forms_keep_their_published_distance_from_the_exact_value() {
        let hot_and_high = air(829.332, 35.0, None);
        let exact = density_altitude(hot_and_high, &mut Silent).unwrap().count(FT);
        let nws = density_altitude_nws(hot_and_high, &mut Silent).unwrap().count(FT);
        let pa = pressure_altitude(hot_and_high.pressure, &mut Silent).unwrap();
        let rule = density_altitude_rule(pa, pa, celsius(35.0), &mut Silent).unwrap().count(FT);
        assert!((11.0..18.0).contains(&(nws - exact)), "{}", nws - exact);
        assert!((100.0..300.0).contains(&(rule - exact)), "{}", rule - exact);
    }

    #[test]
    fn every_bound_from_both_sides() {
        for (h, ok) in [
            (-5000.0, true),
            (-5000.1, false),
            (11_000.0, true),
            (11_000.1, false),
            (f64::NAN, false),
            (f64::INFINITY, false),
        ] {
            assert_eq!(standard_air(Length::of(h, M), &mut Silent).is_ok(), ok, "{h} m");
        }
        for (elevation, qnh, ok) in [
            (-2000.0, 1013.0, true),
            (-2001.0, 1013.0, false),
            (30_000.0, 1013.0, true),
            (30_001.0, 1013.0, false),
            (0.0, 850.0, true),
            (0.0, 849.9, false),
            (0.0, 1090.0, true),
            (0.0, 1090.1, false),
            (f64::NAN, 1013.0, false),
            (0.0, f64::INFINITY, false),
        ] {
            let got = pressure_altitude_at(feet(elevation), hpa(qnh), &mut Silent);
            assert_eq!(got.is_ok(), ok, "{elevation} ft {qnh} hPa");
        }
        for (p, t, dew_point, ok) in [
            (1200.0, 15.0, None, true),
            (1200.1, 15.0, None, false),
            (226.4, 15.0, None, true),
            (226.3, 15.0, None, false),
            (1013.0, 60.0, None, true),
            (1013.0, 60.1, None, false),
            (1013.0, -90.0, None, true),
            (1013.0, -90.1, None, false),
            (1013.0, 20.0, Some(20.0), true),
            (1013.0, 20.0, Some(20.1), false),
            (1013.0, 20.0, Some(-45.0), true),
            (1013.0, 20.0, Some(-45.1), false),
            (f64::NAN, 15.0, None, false),
            (1013.0, f64::INFINITY, None, false),
            (1013.0, 20.0, Some(f64::NAN), false),
        ] {
            let air = air(p, t, dew_point);
            assert_eq!(air_density(air, &mut Silent).is_ok(), ok, "{air:?}");
            assert_eq!(density_altitude_nws(air, &mut Silent).is_ok(), ok, "{air:?}");
        }
    }

    #[test]
    fn an_answer_above_the_tropopause_is_refused_not_extrapolated() {
        let thin = air(230.0, 40.0, None);
        assert!(air_density(thin, &mut Silent).is_ok());
        let error = density_altitude(thin, &mut Silent).unwrap_err();
        assert!(error.to_string().starts_with("density altitude is"), "{error}");
    }

    #[test]
    fn a_dew_point_above_the_temperature_is_named() {
        let error = air_density(air(1000.0, 10.0, Some(11.0)), &mut Silent).unwrap_err();
        assert_eq!(error.to_string(), "dew point 11.0 degC is above the temperature 10.0 degC");
    }

    #[test]
    fn the_working_leads_from_the_dew_point_to_the_answer() {
        let mut working = Working::default();
        let da = density_altitude(air(835.7, 31.4, Some(18.6)), &mut working).unwrap();
        let steps: Vec<_> = working.steps.iter().map(|step| step.what.as_str()).collect();
        let vapour = "saturation vapour pressure over water, WMO";
        assert_eq!(steps, [vapour, "density of the air", "density altitude"]);
        assert_eq!(working.steps[2].gives[0].amount, da.into());
    }

    proptest! {
        #[test]
        fn pressure_altitude_undoes_the_standard_atmosphere(h in -1300.0..10_900.0_f64) {
            let p = pressure_at(Length::of(h, M), &mut Silent).unwrap();
            let back = pressure_altitude(p, &mut Silent).unwrap();
            prop_assert!((back.si() - h).abs() < 1e-7, "{h} {}", back.si());
        }

        #[test]
        fn standard_air_has_density_altitude_equal_to_its_height(h in -1300.0..10_900.0_f64) {
            let StandardAir { temperature, pressure, .. } =
                standard_air(Length::of(h, M), &mut Silent).unwrap();
            let air = Air { pressure, temperature, dew_point: None };
            let da = density_altitude(air, &mut Silent).unwrap();
            prop_assert!((da.si() - h).abs() < 1e-7, "{h} {}", da.si());
        }

        #[test]
        fn hotter_or_damper_air_is_never_denser(
            p in 500.0..1100.0_f64, t in -40.0..50.0_f64, drop in 0.1..5.0_f64,
        ) {
            let dry = air_density(air(p, t, None), &mut Silent).unwrap();
            let hot = air_density(air(p, t + drop, None), &mut Silent).unwrap();
            let damp = air_density(air(p, t, Some(t - drop)), &mut Silent).unwrap();
            prop_assert!(hot < dry);
            prop_assert!(damp < dry);
        }
    }
}
