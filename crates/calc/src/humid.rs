//! How much water the air can hold, and how heavy moist air is.
//!
//! # Formulas
//!
//! Saturation vapour pressure over a plane surface of pure water or ice, `t` in degC, `e` in
//! hPa. Five published fits, each its own function; none is chosen behind the caller's back.
//!
//! ```text
//! [wmo-8]      water  e = 6.112 exp(17.62 t / (243.12 + t))
//! [wmo-8]      ice    e = 6.112 exp(22.46 t / (272.62 + t))
//! [buck-1981]  water  e = 6.1121 exp(17.502 t / (240.97 + t))
//! [buck-1996]  water  e = 6.1121 exp((18.678 - t/234.5) t / (257.14 + t))
//! [nws-density-altitude] e = 6.11 * 10^(7.5 t / (237.7 + t))
//! ```
//!
//! Density of moist air, `[cipm-2007]`, with `p` in Pa, `T = t + 273.15` in K, humidity `h`
//! from 0 to 1 and 400 ppm of carbon dioxide:
//!
//! ```text
//! psv = exp(1.2378847e-5 T2 - 1.9121316e-2 T + 33.93711047 - 6343.1645 / T)
//! f   = 1.00062 + 3.14e-8 p + 5.6e-7 t2
//! xv  = h f psv / p
//! Z   = 1 - (p/T) (a0 + a1 t + a2 t2 + (b0 + b1 t) xv + (c0 + c1 t) xv2)
//!         + (p/T)2 (d + e xv2)
//! rho = p Ma / (Z R T) * (1 - xv (1 - Mv/Ma))
//! ```
//!
//! # Units and accepted range
//!
//! | function | temperature | whose limit |
//! |---|---|---|
//! | [`wmo_water`] | -45 to 60 degC | the source's |
//! | [`wmo_ice`] | -65 to 0 degC | the source's |
//! | [`buck_1981`] | -20 to 50 degC | the source's |
//! | [`buck_1996`] | -40 to 50 degC | the source's above, ours below: water does not stay liquid |
//! | [`nws`] | -45 to 60 degC | ours, the source states none |
//! | [`cipm_2007`] | 15 to 27 degC, 600 to 1100 hPa, 0 to 100 % | the source's |
//!
//! # Accuracy
//!
//! `[cipm-2007]` states a relative uncertainty of 2.2e-5 for its equation. The five fits of
//! vapour pressure lie within 0.6 % of IAPWS-95 from 10 to 45 degC in the reference cases.
//!
//! # Left out on purpose
//!
//! The enhancement factor in the five fits: they are for the pure phase. Other fractions of
//! carbon dioxide in `[cipm-2007]`: 100 ppm more changes the density by 4e-5. Outside its range
//! the equation is refused; [`crate::air`] has the plain gas law for any weather.
//!
//! # Sources
//!
//! `wmo-8`, `buck-1981`, `buck-1996`, `nws-density-altitude`, `cipm-2007`.

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{FromAmount, MassDensity, Pressure, Ratio, ThermodynamicTemperature},
    source::{self, Source},
    trace::{Step, Trace},
    unit::{DEGC, HPA, PERCENT},
};

/// Range of [`wmo_water`].
pub const WMO_WATER: Bounds = Bounds::new("temperature over water (WMO)", -45.0, 60.0, DEGC);
/// Range of [`wmo_ice`].
pub const WMO_ICE: Bounds = Bounds::new("temperature over ice (WMO)", -65.0, 0.0, DEGC);
/// Range of [`buck_1981`].
pub const BUCK_1981: Bounds = Bounds::new("temperature (Buck 1981)", -20.0, 50.0, DEGC);
/// Range of [`buck_1996`].
pub const BUCK_1996: Bounds = Bounds::new("temperature (Buck 1996)", -40.0, 50.0, DEGC);
/// Range of [`nws`].
pub const NWS: Bounds = Bounds::new("temperature (NWS)", -45.0, 60.0, DEGC);
/// Pressures of [`cipm_2007`].
pub const CIPM_PRESSURE: Bounds = Bounds::new("pressure (CIPM-2007)", 600.0, 1100.0, HPA);
/// Temperatures of [`cipm_2007`].
pub const CIPM_TEMPERATURE: Bounds = Bounds::new("temperature (CIPM-2007)", 15.0, 27.0, DEGC);
/// Relative humidity, by definition.
pub const HUMIDITY: Bounds = Bounds::new("relative humidity", 0.0, 100.0, PERCENT);

/// One published fit of saturation vapour pressure.
struct Fit {
    what: &'static str,
    formula: &'static str,
    range: Bounds,
    source: Source,
    /// From degC to hPa.
    curve: fn(f64) -> f64,
}

impl Fit {
    fn at(
        &self,
        temperature: ThermodynamicTemperature,
        trace: &mut impl Trace,
    ) -> Result<Pressure, OutOfRange> {
        let t = self.range.check(temperature)?;
        let e = Pressure::of((self.curve)(t.count(DEGC)), HPA);
        trace.step(|| {
            Step::new(self.what, self.formula).with("t", t).gives("e", e).from(self.source)
        });
        Ok(e)
    }
}

/// Saturation vapour pressure over water, WMO-No. 8.
///
/// # Errors
///
/// [`OutOfRange`] outside [`WMO_WATER`].
pub fn wmo_water(
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    let fit = Fit {
        what: "saturation vapour pressure over water, WMO",
        formula: "e = 6.112 exp(17.62 t / (243.12 + t))",
        range: WMO_WATER,
        source: source::WMO_8,
        curve: |t| 6.112 * (17.62 * t / (243.12 + t)).exp(),
    };
    fit.at(temperature, trace)
}

/// Saturation vapour pressure over ice, WMO-No. 8.
///
/// # Errors
///
/// [`OutOfRange`] outside [`WMO_ICE`].
pub fn wmo_ice(
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    let fit = Fit {
        what: "saturation vapour pressure over ice, WMO",
        formula: "e = 6.112 exp(22.46 t / (272.62 + t))",
        range: WMO_ICE,
        source: source::WMO_8,
        curve: |t| 6.112 * (22.46 * t / (272.62 + t)).exp(),
    };
    fit.at(temperature, trace)
}

/// Saturation vapour pressure over water, Buck 1981.
///
/// # Errors
///
/// [`OutOfRange`] outside [`BUCK_1981`].
pub fn buck_1981(
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    let fit = Fit {
        what: "saturation vapour pressure over water, Buck 1981",
        formula: "e = 6.1121 exp(17.502 t / (240.97 + t))",
        range: BUCK_1981,
        source: source::BUCK_1981,
        curve: |t| 6.1121 * (17.502 * t / (240.97 + t)).exp(),
    };
    fit.at(temperature, trace)
}

/// Saturation vapour pressure over water, Buck 1996.
///
/// # Errors
///
/// [`OutOfRange`] outside [`BUCK_1996`].
pub fn buck_1996(
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    let fit = Fit {
        what: "saturation vapour pressure over water, Buck 1996",
        formula: "e = 6.1121 exp((18.678 - t/234.5) t / (257.14 + t))",
        range: BUCK_1996,
        source: source::BUCK_1996,
        curve: |t| 6.1121 * ((18.678 - t / 234.5) * t / (257.14 + t)).exp(),
    };
    fit.at(temperature, trace)
}

/// Saturation vapour pressure as the NWS density-altitude note writes it.
///
/// # Errors
///
/// [`OutOfRange`] outside [`NWS`].
pub fn nws(
    temperature: ThermodynamicTemperature,
    trace: &mut impl Trace,
) -> Result<Pressure, OutOfRange> {
    let fit = Fit {
        what: "saturation vapour pressure, NWS",
        formula: "e = 6.11 * 10^(7.5 t / (237.7 + t))",
        range: NWS,
        source: source::NWS_DENSITY_ALTITUDE,
        curve: |t| 6.11 * 10_f64.powf(7.5 * t / (237.7 + t)),
    };
    fit.at(temperature, trace)
}

/// Moist air by CIPM-2007, with the intermediate values the paper prints.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistAir {
    /// Saturation vapour pressure, `psv`.
    pub saturation_vapour_pressure: Pressure,
    /// Enhancement factor, `f`.
    pub enhancement_factor: Ratio,
    /// Mole fraction of water vapour, `xv`.
    pub vapour_fraction: Ratio,
    /// Compressibility factor, `Z`.
    pub compressibility: Ratio,
    /// Density, `rho`.
    pub density: MassDensity,
}

/// Density of moist air by CIPM-2007, 400 ppm of carbon dioxide.
///
/// # Errors
///
/// [`OutOfRange`] outside the range the equation was published for.
pub fn cipm_2007(
    pressure: Pressure,
    temperature: ThermodynamicTemperature,
    humidity: Ratio,
    trace: &mut impl Trace,
) -> Result<MoistAir, OutOfRange> {
    let pressure = CIPM_PRESSURE.check(pressure)?;
    let temperature = CIPM_TEMPERATURE.check(temperature)?;
    let humidity = HUMIDITY.check(humidity)?;
    let [psv, f, xv, z, rho] =
        picard_2008(pressure.si(), temperature.count(DEGC), temperature.si(), humidity.si());
    let air = MoistAir {
        saturation_vapour_pressure: Pressure::from_si(psv),
        enhancement_factor: Ratio::from_si(f),
        vapour_fraction: Ratio::from_si(xv),
        compressibility: Ratio::from_si(z),
        density: MassDensity::from_si(rho),
    };
    trace.step(|| {
        Step::new("water vapour in the air", "xv = h f psv / p")
            .with("h", humidity)
            .with("p", pressure)
            .gives("psv", air.saturation_vapour_pressure)
            .gives("f", air.enhancement_factor)
            .gives("xv", air.vapour_fraction)
            .from(source::CIPM_2007)
    });
    trace.step(|| {
        Step::new("density of moist air", "rho = p Ma / (Z R T) * (1 - xv (1 - Mv/Ma))")
            .with("p", pressure)
            .with("T", temperature)
            .with("xv", air.vapour_fraction)
            .with("Z", air.compressibility)
            .gives("rho", air.density)
            .from(source::CIPM_2007)
    });
    Ok(air)
}

/// The equations of `[cipm-2007]` in their order: `[psv, f, xv, Z, rho]`, SI.
fn picard_2008(p: f64, t: f64, kelvin: f64, h: f64) -> [f64; 5] {
    const GAS_CONSTANT: f64 = 8.314_472;
    const MA: f64 = 28.965_46e-3;
    const MV: f64 = 18.015_28e-3;
    let psv = (1.237_884_7e-5 * kelvin * kelvin - 1.912_131_6e-2 * kelvin + 33.937_110_47
        - 6.343_164_5e3 / kelvin)
        .exp();
    let f = 1.000_62 + 3.14e-8 * p + 5.6e-7 * t * t;
    let xv = h * f * psv / p;
    let p_t = p / kelvin;
    let z = 1.0
        - p_t
            * (1.581_23e-6 - 2.933_1e-8 * t
                + 1.104_3e-10 * t * t
                + (5.707e-6 - 2.051e-8 * t) * xv
                + (1.989_8e-4 - 2.376e-6 * t) * xv * xv)
        + p_t * p_t * (1.83e-11 - 0.765e-8 * xv * xv);
    let rho = p * MA / (z * GAS_CONSTANT * kelvin) * (1.0 - xv * (1.0 - MV / MA));
    [psv, f, xv, z, rho]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn celsius(t: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::of(t, DEGC)
    }

    type Vapour = fn(ThermodynamicTemperature, &mut Silent) -> Result<Pressure, OutOfRange>;

    /// Every fit with its range and its value at one temperature from 40-digit arithmetic.
    const FITS: [(&str, Vapour, Bounds, f64, f64); 5] = [
        ("wmo_water", wmo_water, WMO_WATER, 22.5, 27.188_655_086_910_16),
        ("wmo_ice", wmo_ice, WMO_ICE, -17.5, 1.309_449_098_740_804),
        ("buck_1981", buck_1981, BUCK_1981, 22.5, 27.246_328_008_488_25),
        ("buck_1996", buck_1996, BUCK_1996, 22.5, 27.259_259_306_215_04),
        ("nws", nws, NWS, 22.5, 27.200_744_756_223_33),
    ];

    #[test]
    fn each_fit_equals_exact_arithmetic() {
        for (name, fit, _, t, exact) in FITS {
            let e = fit(celsius(t), &mut Silent).unwrap().count(HPA);
            assert!((e - exact).abs() < 1e-12 * exact, "{name}: {e}, exact {exact}");
        }
    }

    /// IAPWS-95 as published values: an independent physical standard, not a sixth fit.
    #[test]
    fn water_fits_agree_with_iapws_95_within_what_each_is_known_for() {
        for (t, iapws) in [(10.0, 12.281_99), (25.0, 31.699_29), (35.0, 56.290_16)] {
            for (name, fit, within) in [
                ("wmo_water", wmo_water as Vapour, 4e-3),
                ("buck_1981", buck_1981, 1.2e-3),
                ("buck_1996", buck_1996, 6e-4),
                ("nws", nws, 5e-3),
            ] {
                let e = fit(celsius(t), &mut Silent).unwrap().count(HPA);
                assert!((e / iapws - 1.0).abs() < within, "{name} at {t}: {e}, IAPWS {iapws}");
            }
        }
    }

    #[test]
    fn each_fit_stops_at_both_ends_of_its_range() {
        for (name, fit, range, ..) in FITS {
            for (t, ok) in [
                (range.min, true),
                (range.min - 0.1, false),
                (range.max, true),
                (range.max + 0.1, false),
                (f64::NAN, false),
                (f64::INFINITY, false),
            ] {
                assert_eq!(fit(celsius(t), &mut Silent).is_ok(), ok, "{name} at {t}");
            }
        }
    }

    fn cipm(p: f64, t: f64, h: f64) -> Result<MoistAir, OutOfRange> {
        cipm_2007(Pressure::of(p, HPA), celsius(t), Ratio::of(h, PERCENT), &mut Silent)
    }

    #[test]
    fn cipm_2007_equals_exact_arithmetic() {
        let air = cipm(935.17, 22.5, 65.0).unwrap();
        for (name, got, exact) in [
            ("psv", air.saturation_vapour_pressure.si(), 2_726.942_269_143_248),
            ("f", air.enhancement_factor.si(), 1.003_839_933_8),
            ("xv", air.vapour_fraction.si(), 0.019_026_688_254_612_18),
            ("Z", air.compressibility.si(), 0.999_644_227_176_024_1),
            ("rho", air.density.si(), 1.094_404_448_622_005),
        ] {
            assert!((got - exact).abs() < 1e-12 * exact, "{name}: {got}, exact {exact}");
        }
    }

    /// 20 degC, 1013.25 hPa, 50 %: the value commonly quoted for the formula.
    #[test]
    fn cipm_2007_gives_the_quoted_density_of_laboratory_air() {
        let air = cipm(1013.25, 20.0, 50.0).unwrap();
        assert!((air.density.si() - 1.199_31).abs() < 5e-6, "{:?}", air.density);
    }

    #[test]
    fn cipm_2007_stops_at_every_end_of_its_range() {
        for (p, t, h, ok) in [
            (600.0, 20.0, 50.0, true),
            (599.9, 20.0, 50.0, false),
            (1100.0, 20.0, 50.0, true),
            (1100.1, 20.0, 50.0, false),
            (1000.0, 15.0, 50.0, true),
            (1000.0, 14.9, 50.0, false),
            (1000.0, 27.0, 50.0, true),
            (1000.0, 27.1, 50.0, false),
            (1000.0, 20.0, 0.0, true),
            (1000.0, 20.0, -0.1, false),
            (1000.0, 20.0, 100.0, true),
            (1000.0, 20.0, 100.1, false),
            (f64::NAN, 20.0, 50.0, false),
            (1000.0, f64::INFINITY, 50.0, false),
        ] {
            assert_eq!(cipm(p, t, h).is_ok(), ok, "{p} hPa {t} degC {h} %");
        }
    }

    #[test]
    fn the_working_holds_what_was_answered() {
        let mut working = Working::default();
        let e = buck_1996(celsius(20.0), &mut working).unwrap();
        assert_eq!(working.steps[0].gives[0].amount, e.into());
        assert_eq!(working.steps[0].source, Some(source::BUCK_1996));
    }

    proptest! {
        #[test]
        fn warmer_air_holds_more_water(t in -20.0..0.0_f64, step in 0.01..40.0_f64) {
            for (name, fit, range, ..) in FITS {
                let warmer = t + step;
                if warmer <= range.max {
                    let cold = fit(celsius(t), &mut Silent).unwrap();
                    prop_assert!(fit(celsius(warmer), &mut Silent).unwrap() > cold, "{}", name);
                }
            }
        }

        #[test]
        fn damp_air_is_lighter(p in 600.0..1100.0_f64, t in 15.0..27.0_f64, h in 0.0..99.0_f64) {
            let (drier, damper) = (cipm(p, t, h).unwrap(), cipm(p, t, h + 1.0).unwrap());
            prop_assert!(damper.density < drier.density);
        }
    }
}
