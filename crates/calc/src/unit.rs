//! Every unit the trade writes, in one table: reading `"54 USgal"` and printing it again.
//!
//! Base factors are exact by definition: the international yard and pound agreement of 1959
//! (1 lb = 0.453 592 37 kg, 1 ft = 0.3048 m), the US gallon of 231 cubic inches, the UK
//! gallon of 4.546 09 L, the nautical mile of 1852 m. `[nist-sp811]`
//! The inch of mercury is the conventional 3386.39 Pa used by the reference tables
//! `[nist-sp811]` (3 386.389 Pa at 0 degC, rounded there to six figures).
//!
//! The pound-force is a pound at standard free fall, the kilogram-force a kilogram; the
//! horsepower is 550 foot pound-force per second, 745.699 87 W, never the metric one. Electrical
//! units are those of the SI, and the ampere-hour is 3600 coulomb. `[nist-sp811]`

use std::fmt;

use crate::{constants::G0, quantity::Amount};

/// What a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Mass, also called weight by the trade.
    Mass,
    /// Length, height, distance.
    Length,
    /// Area.
    Area,
    /// Volume.
    Volume,
    /// Duration.
    Time,
    /// Speed.
    Velocity,
    /// Pressure.
    Pressure,
    /// Temperature on a scale.
    Temperature,
    /// Difference of two temperatures.
    TemperatureStep,
    /// Plane angle.
    Angle,
    /// Volume per time: fuel burn, pump rate.
    VolumeRate,
    /// Mass per volume.
    Density,
    /// Part of a whole: per cent, gradient, relative humidity, factor.
    Ratio,
    /// Mass times arm.
    Moment,
    /// Dynamic viscosity.
    Viscosity,
    /// Growth as a share, for each degree.
    Expansion,
    /// Area per time: kinematic viscosity, and speed times bore.
    AreaRate,
    /// Mass per time: evaporation.
    MassRate,
    /// Mass per area and time: evaporation of a surface.
    MassFlux,
    /// Area per mass: how far a spill of so much spreads.
    SpecificArea,
    /// Volume per mass: what a sorbent takes up.
    SpecificVolume,
    /// Mass of a mole.
    MolarMass,
    /// Force.
    Force,
    /// Power.
    Power,
    /// Energy.
    Energy,
    /// Change of speed per time.
    Acceleration,
    /// Electric current.
    Current,
    /// Electric charge: of a battery, of a charged thing.
    Charge,
    /// Electric potential difference.
    Voltage,
    /// Electric capacitance.
    Capacitance,
    /// Electric resistance.
    Resistance,
    /// Electric conductivity.
    Conductivity,
}

impl Kind {
    /// The kind as a person would say it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mass => "a mass",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Time => "a duration",
            Self::Velocity => "a speed",
            Self::Pressure => "a pressure",
            Self::Temperature => "a temperature",
            Self::TemperatureStep => "a temperature difference",
            Self::Angle => "an angle",
            Self::VolumeRate => "a volume per time",
            Self::Density => "a density",
            Self::Ratio => "a ratio",
            Self::Moment => "a moment",
            Self::Viscosity => "a dynamic viscosity",
            Self::Expansion => "an expansion per degree",
            Self::AreaRate => "an area per time",
            Self::MassRate => "a mass per time",
            Self::MassFlux => "a mass per area and time",
            Self::SpecificArea => "an area per mass",
            Self::SpecificVolume => "a volume per mass",
            Self::MolarMass => "a molar mass",
            Self::Force => "a force",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::Acceleration => "an acceleration",
            Self::Current => "an electric current",
            Self::Charge => "an electric charge",
            Self::Voltage => "a voltage",
            Self::Capacitance => "a capacitance",
            Self::Resistance => "an electric resistance",
            Self::Conductivity => "an electric conductivity",
        }
    }

    /// An example of how such a quantity is written.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Self::Mass => "86 kg",
            Self::Length => "640 m",
            Self::Area => "12 m2",
            Self::Volume => "54 USgal",
            Self::Time => "45 min",
            Self::Velocity => "12 kt",
            Self::Pressure => "1013.25 hPa",
            Self::Temperature => "31 degC",
            Self::TemperatureStep => "10 degC_step",
            Self::Angle => "170 deg",
            Self::VolumeRate => "52 L/h",
            Self::Density => "0.72 kg/L",
            Self::Ratio => "15 %",
            Self::Moment => "1200 kg.m",
            Self::Viscosity => "0.5 mPa.s",
            Self::Expansion => "0.000036 1/K",
            Self::AreaRate => "1.6 mm2/s",
            Self::MassRate => "20 g/s",
            Self::MassFlux => "0.5 g/m2/s",
            Self::SpecificArea => "0.12 m2/kg",
            Self::SpecificVolume => "1.5 L/kg",
            Self::MolarMass => "100 g/mol",
            Self::Force => "2600 N",
            Self::Power => "100 hp",
            Self::Energy => "0.25 mJ",
            Self::Acceleration => "1.2 m/s2",
            Self::Current => "12 A",
            Self::Charge => "35 Ah",
            Self::Voltage => "12 V",
            Self::Capacitance => "100 pF",
            Self::Resistance => "10 ohm",
            Self::Conductivity => "50 pS/m",
        }
    }

    /// Every unit of this kind.
    pub fn units(self) -> impl Iterator<Item = Unit> {
        UNITS.iter().copied().filter(move |unit| unit.kind == self)
    }
}

/// One unit: `si = value * scale + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// How it is written.
    pub symbol: &'static str,
    /// What it measures.
    pub kind: Kind,
    /// SI units in one of these.
    pub scale: f64,
    /// SI value of zero; only temperatures on a scale have one.
    pub offset: f64,
}

impl Unit {
    const fn new(symbol: &'static str, kind: Kind, scale: f64) -> Self {
        Self { symbol, kind, scale, offset: 0.0 }
    }

    /// The SI value of `value` of this unit.
    #[must_use]
    pub fn si_of(self, value: f64) -> f64 {
        value * self.scale + self.offset
    }

    /// The value in this unit of an SI value.
    #[must_use]
    pub fn value_of(self, si: f64) -> f64 {
        (si - self.offset) / self.scale
    }

    /// The unit written `symbol`, exactly or by an accepted other spelling.
    #[must_use]
    pub fn named(symbol: &str) -> Option<Self> {
        let symbol = SPELLINGS.iter().find(|(other, _)| *other == symbol).map_or(symbol, |s| s.1);
        UNITS.iter().copied().find(|unit| unit.symbol == symbol)
    }
}

/// Names each unit once, as a constant and as a row of the table.
macro_rules! units {
    ($($name:ident = $symbol:literal $kind:ident $scale:expr;)*) => {
        $(
            #[doc = concat!("`", $symbol, "`")]
            pub const $name: Unit = Unit::new($symbol, Kind::$kind, $scale);
        )*
        const UNITS: &[Unit] = &[DEGC, DEGF, $($name),*];
    };
}

/// `degC`
pub const DEGC: Unit = Unit { symbol: "degC", kind: Kind::Temperature, scale: 1.0, offset: 273.15 };
/// `degF`
pub const DEGF: Unit = Unit {
    symbol: "degF",
    kind: Kind::Temperature,
    scale: 5.0 / 9.0,
    offset: 273.15 - 32.0 * 5.0 / 9.0,
};

const LB_KG: f64 = 0.453_592_37;
const IN_M: f64 = 0.0254;
const FT_M: f64 = 0.3048;
const NM_M: f64 = 1852.0;
const USGAL_M3: f64 = 231.0 * IN_M * IN_M * IN_M;
const IMPGAL_M3: f64 = 4.546_09e-3;
const LBF_N: f64 = LB_KG * G0;

units! {
    KG = "kg" Mass 1.0;
    G = "g" Mass 1e-3;
    TONNE = "t" Mass 1e3;
    LB = "lb" Mass LB_KG;
    OZ = "oz" Mass LB_KG / 16.0;
    M = "m" Length 1.0;
    UM = "um" Length 1e-6;
    MM = "mm" Length 1e-3;
    CM = "cm" Length 1e-2;
    KM = "km" Length 1e3;
    IN = "in" Length IN_M;
    FT = "ft" Length FT_M;
    YD = "yd" Length 3.0 * FT_M;
    MI = "mi" Length 5280.0 * FT_M;
    NM = "NM" Length NM_M;
    M2 = "m2" Area 1.0;
    FT2 = "ft2" Area FT_M * FT_M;
    M3 = "m3" Volume 1.0;
    L = "L" Volume 1e-3;
    ML = "mL" Volume 1e-6;
    USGAL = "USgal" Volume USGAL_M3;
    USQT = "USqt" Volume USGAL_M3 / 4.0;
    IMPGAL = "impgal" Volume IMPGAL_M3;
    S = "s" Time 1.0;
    MIN = "min" Time 60.0;
    H = "h" Time 3600.0;
    D = "d" Time 86_400.0;
    M_S = "m/s" Velocity 1.0;
    KM_H = "km/h" Velocity 1.0 / 3.6;
    KT = "kt" Velocity NM_M / 3600.0;
    MPH = "mph" Velocity 5280.0 * FT_M / 3600.0;
    FT_MIN = "ft/min" Velocity FT_M / 60.0;
    M_H = "m/h" Velocity 1.0 / 3600.0;
    PA = "Pa" Pressure 1.0;
    HPA = "hPa" Pressure 100.0;
    KPA = "kPa" Pressure 1e3;
    INHG = "inHg" Pressure 3386.39;
    MMHG = "mmHg" Pressure 133.322_387_415;
    PSI = "psi" Pressure LBF_N / (IN_M * IN_M);
    K = "K" Temperature 1.0;
    K_STEP = "K_step" TemperatureStep 1.0;
    DEGC_STEP = "degC_step" TemperatureStep 1.0;
    DEGF_STEP = "degF_step" TemperatureStep 5.0 / 9.0;
    RAD = "rad" Angle 1.0;
    DEG = "deg" Angle std::f64::consts::PI / 180.0;
    M3_S = "m3/s" VolumeRate 1.0;
    L_H = "L/h" VolumeRate 1e-3 / 3600.0;
    L_MIN = "L/min" VolumeRate 1e-3 / 60.0;
    USGAL_H = "USgal/h" VolumeRate USGAL_M3 / 3600.0;
    IMPGAL_H = "impgal/h" VolumeRate IMPGAL_M3 / 3600.0;
    KG_M3 = "kg/m3" Density 1.0;
    KG_L = "kg/L" Density 1e3;
    LB_USGAL = "lb/USgal" Density LB_KG / USGAL_M3;
    LB_IMPGAL = "lb/impgal" Density LB_KG / IMPGAL_M3;
    LB_FT3 = "lb/ft3" Density LB_KG / (FT_M * FT_M * FT_M);
    ONE = "1" Ratio 1.0;
    PERCENT = "%" Ratio 1e-2;
    PPM = "ppm" Ratio 1e-6;
    KG_M = "kg.m" Moment 1.0;
    KG_MM = "kg.mm" Moment 1e-3;
    LB_IN = "lb.in" Moment LB_KG * IN_M;
    PA_S = "Pa.s" Viscosity 1.0;
    MPA_S = "mPa.s" Viscosity 1e-3;
    PER_K = "1/K" Expansion 1.0;
    M2_S = "m2/s" AreaRate 1.0;
    MM2_S = "mm2/s" AreaRate 1e-6;
    KG_S = "kg/s" MassRate 1.0;
    G_S = "g/s" MassRate 1e-3;
    KG_MIN = "kg/min" MassRate 1.0 / 60.0;
    KG_H = "kg/h" MassRate 1.0 / 3600.0;
    LB_MIN = "lb/min" MassRate LB_KG / 60.0;
    KG_M2_S = "kg/m2/s" MassFlux 1.0;
    G_M2_S = "g/m2/s" MassFlux 1e-3;
    LB_FT2_MIN = "lb/ft2/min" MassFlux LB_KG / (FT_M * FT_M * 60.0);
    M2_KG = "m2/kg" SpecificArea 1.0;
    FT2_LB = "ft2/lb" SpecificArea FT_M * FT_M / LB_KG;
    M3_KG = "m3/kg" SpecificVolume 1.0;
    L_KG = "L/kg" SpecificVolume 1e-3;
    USGAL_LB = "USgal/lb" SpecificVolume USGAL_M3 / LB_KG;
    KG_MOL = "kg/mol" MolarMass 1.0;
    G_MOL = "g/mol" MolarMass 1e-3;
    N = "N" Force 1.0;
    KN = "kN" Force 1e3;
    LBF = "lbf" Force LBF_N;
    KGF = "kgf" Force G0;
    W = "W" Power 1.0;
    KW = "kW" Power 1e3;
    HP = "hp" Power 550.0 * FT_M * LBF_N;
    J = "J" Energy 1.0;
    MILLIJ = "mJ" Energy 1e-3;
    WH = "Wh" Energy 3600.0;
    M_S2 = "m/s2" Acceleration 1.0;
    A = "A" Current 1.0;
    MA = "mA" Current 1e-3;
    AH = "Ah" Charge 3600.0;
    A_MIN = "A.min" Charge 60.0;
    UC = "uC" Charge 1e-6;
    NC = "nC" Charge 1e-9;
    V = "V" Voltage 1.0;
    KV = "kV" Voltage 1e3;
    UF = "uF" Capacitance 1e-6;
    NF = "nF" Capacitance 1e-9;
    PF = "pF" Capacitance 1e-12;
    OHM = "ohm" Resistance 1.0;
    KOHM = "kohm" Resistance 1e3;
    MOHM = "Mohm" Resistance 1e6;
    S_M = "S/m" Conductivity 1.0;
    PS_M = "pS/m" Conductivity 1e-12;
}

/// Other spellings the trade uses, each meaning exactly one unit. Short forms with two
/// readings (`gal`, `C` for coulomb or Celsius, `M`) are left out on purpose: see `hint`.
const SPELLINGS: &[(&str, &str)] = &[
    ("°C", "degC"),
    ("°F", "degF"),
    ("°", "deg"),
    ("mb", "hPa"),
    ("mbar", "hPa"),
    ("nmi", "NM"),
    ("kn", "kt"),
    ("lbs", "lb"),
    ("kgs", "kg"),
    ("l", "L"),
    ("litre", "L"),
    ("litres", "L"),
    ("l/h", "L/h"),
    ("m³", "m3"),
    ("m²", "m2"),
    ("kg/m³", "kg/m3"),
    ("sec", "s"),
    ("minute", "min"),
    ("minutes", "min"),
    ("hour", "h"),
    ("hours", "h"),
    ("hr", "h"),
    ("days", "d"),
    ("kg m", "kg.m"),
    ("kg mm", "kg.mm"),
    ("lb in", "lb.in"),
    ("lb-in", "lb.in"),
    ("in-lb", "lb.in"),
    ("kg-m", "kg.m"),
    ("µm", "um"),
    ("cP", "mPa.s"),
    ("1/degC", "1/K"),
    ("cSt", "mm2/s"),
    ("m²/s", "m2/s"),
    ("mm²/s", "mm2/s"),
    ("l/kg", "L/kg"),
    ("A min", "A.min"),
    ("A-min", "A.min"),
    ("A.h", "Ah"),
    ("µC", "uC"),
    ("µF", "uF"),
    ("Ω", "ohm"),
    ("kΩ", "kohm"),
    ("MΩ", "Mohm"),
    ("CU", "pS/m"),
];

/// Why a text is not a quantity of the kind that was asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum ReadError {
    /// Nothing was written.
    Empty,
    /// A number stands alone where the unit must be said.
    NoUnit {
        /// What was wanted.
        kind: Kind,
        /// The number as typed.
        number: String,
    },
    /// The text does not start with a number.
    NotANumber {
        /// What was typed.
        text: String,
        /// What was wanted.
        kind: Kind,
    },
    /// NaN or infinity, or a number too large to hold.
    NotFinite {
        /// What was typed.
        text: String,
    },
    /// The unit is not in the table.
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// What was wanted.
        kind: Kind,
    },
    /// The unit measures something else.
    WrongKind {
        /// The unit as typed.
        unit: String,
        /// What that unit measures.
        found: Kind,
        /// What was wanted.
        kind: Kind,
    },
}

impl ReadError {
    /// What to type instead, in one sentence.
    #[must_use]
    pub fn hint(&self) -> String {
        let list = |kind: Kind| {
            let units: Vec<_> = kind.units().map(|unit| unit.symbol).collect();
            format!("write {} as \"{}\"; units: {}", kind.words(), kind.example(), units.join(", "))
        };
        match self {
            Self::Empty => "write a number and its unit, for example \"86 kg\"".into(),
            Self::NoUnit { kind: Kind::Ratio, number } => {
                format!("write a ratio as \"{number} %\", or \"{number} 1\" for a plain factor")
            }
            Self::NoUnit { kind, number } => {
                let example = kind.example();
                let unit = example.split_once(' ').map_or("", |(_, unit)| unit);
                format!("say the unit, for example \"{number} {unit}\"; {}", list(*kind))
            }
            Self::UnknownUnit { unit, kind } => match unit.as_str() {
                "gal" | "gals" | "gallon" | "gallons" => {
                    "say which gallon: \"USgal\" or \"impgal\"".into()
                }
                "gph" => "say which gallon: \"USgal/h\" or \"impgal/h\"".into(),
                "C" if *kind != Kind::Charge => "write degrees Celsius as \"degC\"".into(),
                "F" if *kind != Kind::Capacitance => "write degrees Fahrenheit as \"degF\"".into(),
                "M" => "write metres as \"m\", nautical miles as \"NM\"".into(),
                _ if unit.starts_with(parts_a_number) => format!(
                    "write the number in one piece, with a point before decimals: \"{}\"",
                    kind.example()
                ),
                _ => list(*kind),
            },
            Self::NotANumber { kind, .. } | Self::WrongKind { kind, .. } => list(*kind),
            Self::NotFinite { .. } => "write an ordinary decimal number".into(),
        }
    }
}

/// What people put inside a number: a second group of digits, or a mark between groups.
fn parts_a_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, ',' | '.' | '\'' | '_' | '\u{2019}')
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "nothing is written where a quantity is meant"),
            Self::NoUnit { kind, number } => {
                write!(f, "\"{number}\" has no unit where {} is meant", kind.words())
            }
            Self::NotANumber { text, kind } => {
                write!(f, "\"{text}\" does not start with a number where {} is meant", kind.words())
            }
            Self::NotFinite { text } => write!(f, "\"{text}\" is not a finite number"),
            Self::UnknownUnit { unit, .. } => write!(f, "\"{unit}\" is not a known unit"),
            Self::WrongKind { unit, found, kind } => {
                write!(f, "\"{unit}\" measures {}, not {}", found.words(), kind.words())
            }
        }
    }
}

impl std::error::Error for ReadError {}

/// Reads a number and its unit: `"54 USgal"`, `"-5 degC"`, `"15%"`.
///
/// A decimal point is a point. A comma or a space inside the number is refused, because
/// `"1,500"` is fifteen hundred to one reader and one and a half to another.
///
/// # Errors
///
/// [`ReadError`] when the unit is missing, unknown or of another kind than `kind`, or the
/// number is not an ordinary finite decimal.
pub fn read(text: &str, kind: Kind) -> Result<(Amount, Unit), ReadError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ReadError::Empty);
    }
    let end = number_end(text);
    let (number, unit) = (&text[..end], text[end..].trim());
    if number.is_empty() {
        let lower = text.trim_start_matches(['+', '-']).to_ascii_lowercase();
        return Err(if lower.starts_with("nan") || lower.starts_with("inf") {
            ReadError::NotFinite { text: text.into() }
        } else {
            ReadError::NotANumber { text: text.into(), kind }
        });
    }
    let Ok(value) = number.parse::<f64>() else {
        return Err(ReadError::NotANumber { text: text.into(), kind });
    };
    if !value.is_finite() {
        return Err(ReadError::NotFinite { text: text.into() });
    }
    if unit.is_empty() {
        return Err(ReadError::NoUnit { kind, number: number.into() });
    }
    let Some(found) = Unit::named(unit) else {
        return Err(ReadError::UnknownUnit { unit: unit.into(), kind });
    };
    if found.kind != kind {
        return Err(ReadError::WrongKind { unit: unit.into(), found: found.kind, kind });
    }
    let si = found.si_of(value);
    if si.is_finite() {
        Ok((Amount { kind, si }, found))
    } else {
        Err(ReadError::NotFinite { text: text.into() })
    }
}

/// Where the leading decimal number of `text` ends; an exponent counts only with digits.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let start = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let mut end = digits(start);
    let mut seen = end > start;
    if bytes.get(end) == Some(&b'.') {
        let after = digits(end + 1);
        seen |= after > end + 1;
        end = after;
    }
    if !seen {
        return 0;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let after = digits(end + 1 + sign);
        if after > end + 1 + sign {
            end = after;
        }
    }
    end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_the_trade_writes() {
        for (text, kind, si) in [
            ("86 kg", Kind::Mass, 86.0),
            ("190 lb", Kind::Mass, 86.182_550_3),
            ("54USgal", Kind::Volume, 0.204_412_236_336),
            ("30.10 inHg", Kind::Pressure, 101_930.339),
            ("-5 degC", Kind::Temperature, 268.15),
            ("70 degF", Kind::Temperature, 294.261_111_111),
            ("15%", Kind::Ratio, 0.15),
            ("1.5e3 ft", Kind::Length, 457.2),
            (".5 h", Kind::Time, 1800.0),
            ("12 kn", Kind::Velocity, 6.173_333_333),
            ("0.72 kg/L", Kind::Density, 720.0),
            ("20 um", Kind::Length, 2e-5),
            ("45 ppm", Kind::Ratio, 4.5e-5),
            ("0.444 m/h", Kind::Velocity, 1.233_333_333e-4),
            ("1.4 cP", Kind::Viscosity, 1.4e-3),
            ("0.5 1/K", Kind::Expansion, 0.5),
        ] {
            let (amount, _) = read(text, kind).unwrap();
            assert!((amount.si - si).abs() < 1e-6 * si.abs().max(1.0), "{text}: {}", amount.si);
        }
    }

    /// Small quantities too, so the room is a share of the value: factors of SP 811, appendix B,
    /// from memory, and products of those above.
    #[test]
    fn units_of_ground_work_have_the_published_factors() {
        for (text, kind, si) in [
            ("1.6 cSt", Kind::AreaRate, 1.6e-6),
            ("0.5 m2/s", Kind::AreaRate, 0.5),
            ("307 lb/min", Kind::MassRate, 307.0 * 7.559_873e-3),
            ("1 lb/ft2/min", Kind::MassFlux, 4.882_428 / 60.0),
            ("1 ft2/lb", Kind::SpecificArea, 0.204_816_144),
            ("15 L/kg", Kind::SpecificVolume, 0.015),
            ("53.06 g/mol", Kind::MolarMass, 0.053_06),
            ("1 lbf", Kind::Force, 4.448_222),
            ("200 kgf", Kind::Force, 1961.33),
            ("1 hp", Kind::Power, 745.699_87),
            ("0.25 mJ", Kind::Energy, 2.5e-4),
            ("2 m/s2", Kind::Acceleration, 2.0),
            ("40 mA", Kind::Current, 0.04),
            ("35 Ah", Kind::Charge, 126_000.0),
            ("217.5 A.min", Kind::Charge, 13_050.0),
            ("1 µC", Kind::Charge, 1e-6),
            ("50 kV", Kind::Voltage, 5e4),
            ("20 pF", Kind::Capacitance, 2e-11),
            ("1 MΩ", Kind::Resistance, 1e6),
            ("50 CU", Kind::Conductivity, 5e-11),
        ] {
            let (amount, _) = read(text, kind).unwrap();
            assert!((amount.si / si - 1.0).abs() < 2e-7, "{text}: {}", amount.si);
        }
    }

    #[test]
    fn every_kind_reads_its_own_example() {
        for unit in UNITS {
            let example = unit.kind.example();
            assert!(read(example, unit.kind).is_ok(), "{example}");
        }
    }

    #[test]
    fn refuses_what_could_be_misread() {
        for (text, kind, words) in [
            ("86", Kind::Mass, "no unit"),
            ("", Kind::Mass, "nothing"),
            ("kg", Kind::Mass, "start with a number"),
            ("NaN kg", Kind::Mass, "finite"),
            ("inf kg", Kind::Mass, "finite"),
            ("1e999 kg", Kind::Mass, "finite"),
            ("1,500 kg", Kind::Mass, "not a known unit"),
            ("1 500 kg", Kind::Mass, "not a known unit"),
            ("54 gal", Kind::Volume, "not a known unit"),
            ("54 kg", Kind::Volume, "measures a mass"),
            ("--5 kg", Kind::Mass, "start with a number"),
        ] {
            let error = read(text, kind).unwrap_err();
            assert!(error.to_string().contains(words), "{text}: {error}");
            assert!(!error.hint().is_empty());
        }
    }

    #[test]
    fn a_number_in_pieces_is_told_how_to_be_written() {
        for text in ["1,500 kg", "1 500 kg", "1'500 kg", "1_500 kg", "1.500.000 kg"] {
            let hint = read(text, Kind::Mass).unwrap_err().hint();
            assert!(hint.contains("in one piece"), "{text}: {hint}");
        }
        assert!(read("1500 stone", Kind::Mass).unwrap_err().hint().contains("units: kg"));
    }

    #[test]
    fn every_unit_goes_there_and_back() {
        for unit in UNITS {
            for value in [-40.0, 0.0, 1.0, 1234.5] {
                let back = unit.value_of(unit.si_of(value));
                assert!((back - value).abs() < 1e-9, "{} {value} {back}", unit.symbol);
            }
            assert_eq!(Unit::named(unit.symbol), Some(*unit), "{} appears twice", unit.symbol);
        }
    }
}
