//! Units a person reads, and rounding against the user: required up, available down.

use stillprop_calc::{
    quantity::{Amount, FromAmount, Length, Mass, MassDensity, Velocity, Volume},
    unit::{self, Kind, Unit},
};
use stillprop_rules::document::Stated;

use crate::document::{aircraft::Aircraft, strip::Strip, turnaround::Turnaround};

/// The units of one reader.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Units {
    /// Mass.
    pub mass: Unit,
    /// Arms of balance.
    pub arm: Unit,
    /// Distances on a strip.
    pub strip: Unit,
    /// Elevation and altitude.
    pub altitude: Unit,
    /// Distances of a flight.
    pub distance: Unit,
    /// Fuel.
    pub fuel: Unit,
    /// Fuel burn.
    pub burn: Unit,
    /// Speeds.
    pub speed: Unit,
    /// Temperatures.
    pub temperature: Unit,
    /// Pressures.
    pub pressure: Unit,
    /// Densities.
    pub density: Unit,
}

/// Which way a number is rounded when it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Round {
    /// A required quantity.
    Up,
    /// An available quantity.
    Down,
    /// One that is neither.
    Near,
}

impl Units {
    /// Kilograms, metres, litres.
    pub const METRIC: Self = Self {
        mass: unit::KG,
        arm: unit::M,
        strip: unit::M,
        altitude: unit::FT,
        distance: unit::NM,
        fuel: unit::L,
        burn: unit::L_H,
        speed: unit::KT,
        temperature: unit::DEGC,
        pressure: unit::HPA,
        density: unit::KG_L,
    };

    /// Pounds, inches, feet, US gallons.
    pub const US: Self = Self {
        mass: unit::LB,
        arm: unit::IN,
        strip: unit::FT,
        fuel: unit::USGAL,
        burn: unit::USGAL_H,
        pressure: unit::INHG,
        density: unit::LB_USGAL,
        ..Self::METRIC
    };

    /// The units the documents were written in.
    #[must_use]
    pub fn of_documents(aircraft: &Aircraft, strip: &Strip, turnaround: &Turnaround) -> Self {
        let tank = aircraft.tanks.first().map(|tank| tank.capacity.unit);
        let tora = strip.directions.iter().find_map(|direction| match &direction.tora {
            Some(Stated::Is(given)) => Some(given.unit),
            _ => None,
        });
        let weather = &turnaround.weather;
        Self {
            mass: aircraft.limits.take_off_mass.unit,
            arm: aircraft.empty.arm.unit,
            strip: tora.unwrap_or(unit::M),
            fuel: tank.unwrap_or(unit::L),
            burn: aircraft.burn.hold.unit,
            temperature: weather.temperature.as_ref().map_or(unit::DEGC, |given| given.unit),
            pressure: weather.qnh.as_ref().map_or(unit::HPA, |given| given.unit),
            ..Self::METRIC
        }
    }

    /// A mass.
    #[must_use]
    pub fn mass(&self, mass: Mass, round: Round) -> String {
        show(mass, self.mass, round)
    }

    /// A difference of arms, in a unit small enough to act on: millimetres for metres.
    #[must_use]
    pub fn arm_step(&self, step: Length, round: Round) -> String {
        let unit = if self.arm == unit::M || self.arm == unit::CM { unit::MM } else { self.arm };
        show(step, unit, round)
    }

    /// An arm.
    #[must_use]
    pub fn arm(&self, arm: Length) -> String {
        show(arm, self.arm, Round::Near)
    }

    /// A distance on a strip.
    #[must_use]
    pub fn strip(&self, distance: Length, round: Round) -> String {
        let decimals = 0;
        text(distance.count(self.strip), decimals, round, self.strip)
    }

    /// A distance on an apron, to the tenth.
    #[must_use]
    pub fn apron(&self, distance: Length, round: Round) -> String {
        text(distance.count(self.strip), 1, round, self.strip)
    }

    /// A distance there is, rounded down, and one there must be, rounded up. Where tenths would
    /// make enough look like too little, hundredths are shown.
    #[must_use]
    pub fn apron_pair(&self, has: Length, needs: Length) -> (String, String) {
        let pair = |decimals| {
            let one = |length: Length, round| rounded(length.count(self.strip), decimals, round);
            (one(has, Round::Down), one(needs, Round::Up))
        };
        let misleads = |(has, needs): &(String, String)| {
            has.parse::<f64>().ok().zip(needs.parse::<f64>().ok()).is_some_and(|(h, n)| h < n)
        };
        let enough = has >= needs;
        let shown = [1, 2].into_iter().map(pair).find(|pair| !(enough && misleads(pair)));
        let (has, needs) = shown.unwrap_or_else(|| pair(3));
        let unit = self.strip.symbol;
        (format!("{has} {unit}"), format!("{needs} {unit}"))
    }

    /// A volume of fuel.
    #[must_use]
    pub fn fuel(&self, volume: Volume, round: Round) -> String {
        show(volume, self.fuel, round)
    }

    /// A speed.
    #[must_use]
    pub fn speed(&self, speed: Velocity, round: Round) -> String {
        show(speed, self.speed, round)
    }

    /// The unit a quantity of this kind is shown in.
    #[must_use]
    pub fn unit_of(&self, kind: Kind) -> Unit {
        match kind {
            Kind::Mass => self.mass,
            Kind::Length => self.strip,
            Kind::Area => unit::M2,
            Kind::Volume => self.fuel,
            Kind::Time => unit::MIN,
            Kind::Velocity => self.speed,
            Kind::Pressure => self.pressure,
            Kind::Temperature => self.temperature,
            Kind::TemperatureStep => unit::DEGC_STEP,
            Kind::Angle => unit::DEG,
            Kind::VolumeRate => self.burn,
            Kind::Density => self.density,
            Kind::Ratio => unit::ONE,
            Kind::Moment if self.mass == unit::LB => unit::LB_IN,
            Kind::Moment => unit::KG_M,
            Kind::Viscosity => unit::MPA_S,
            Kind::Expansion => unit::PER_K,
            Kind::AreaRate => unit::M2_S,
            Kind::MassRate => unit::G_S,
            Kind::MassFlux => unit::G_M2_S,
            Kind::SpecificArea => unit::M2_KG,
            Kind::SpecificVolume => unit::L_KG,
            Kind::MolarMass => unit::G_MOL,
            Kind::Force => unit::N,
            Kind::Power => unit::KW,
            Kind::Energy => unit::MILLIJ,
            Kind::Acceleration => unit::M_S2,
            Kind::Current => unit::A,
            Kind::Charge => unit::AH,
            Kind::Voltage => unit::V,
            Kind::Capacitance => unit::PF,
            Kind::Resistance => unit::OHM,
            Kind::Conductivity => unit::PS_M,
        }
    }

    /// True for the times of a working that pass in seconds: relaxation, rest after a filter, and
    /// those since something happened.
    #[must_use]
    pub fn in_seconds(symbol: &str) -> bool {
        matches!(symbol, "tau" | "stay" | "after")
    }

    /// The unit of a named step of a working: arms, altitudes and flown distances are
    /// lengths too, but nobody reads them in the unit of the strip.
    #[must_use]
    pub fn unit_for(&self, symbol: &str, amount: Amount) -> Unit {
        match (amount.kind, symbol) {
            (Kind::Length, _) => {}
            // Air is reckoned in kilograms to the cubic metre, fuel by the litre or gallon.
            (Kind::Density, "rho" | "rho0") => return unit::KG_M3,
            // What runs in a hose or drives off is read in its own units, not those of a flight.
            (Kind::Velocity, "v") => return unit::M_S,
            (Kind::VolumeRate, "flow") => return unit::L_MIN,
            (Kind::AreaRate, "nu") => return unit::MM2_S,
            (Kind::Charge, "Q") => return unit::UC,
            (Kind::Time, symbol) if Self::in_seconds(symbol) => return unit::S,
            // Ages and dates run to years, flights to hours.
            (Kind::Time, _) if amount.si.abs() >= 2.0 * 86_400.0 => return unit::D,
            (kind, _) => return self.unit_of(kind),
        }
        match symbol {
            "x" | "limit" | "d" | "arm" | "lemac" | "mac" => self.arm,
            "PA" | "H" | "pressure altitude" | "elevation" | "DA" => self.altitude,
            "D" | "s12" => self.distance,
            _ => self.strip,
        }
    }
}

/// Decimals that the trade reads a unit with.
fn decimals(unit: Unit) -> usize {
    match unit.symbol {
        "m" | "kg/L" => 3,
        "in" | "USgal" | "impgal" | "lb/USgal" | "inHg" | "USgal/h" | "cm" => 1,
        "1" => 4,
        _ => 0,
    }
}

/// A quantity in a unit, with that unit's decimals.
#[must_use]
pub fn show<Q: FromAmount>(quantity: Q, unit: Unit, round: Round) -> String {
    text(quantity.count(unit), decimals(unit), round, unit)
}

/// A difference that vanishes when rounded down would read as nothing at all; this keeps
/// one more digit for it.
#[must_use]
pub fn text(value: f64, decimals: usize, round: Round, unit: Unit) -> String {
    let number = rounded(value, decimals, round);
    format!("{number} {}", unit.symbol)
}

/// Rounds for display. Within a billionth of a step the value is taken as standing on it.
fn rounded(value: f64, decimals: usize, round: Round) -> String {
    let scale = [1.0, 10.0, 100.0, 1000.0, 10_000.0][decimals.min(4)];
    let scaled = value * scale;
    let steps = match round {
        Round::Near => scaled.round(),
        Round::Up => (scaled - 1e-6).ceil(),
        Round::Down => (scaled + 1e-6).floor(),
    };
    // Zero has no sign.
    let steps = if steps.abs() < 0.5 { 0.0 } else { steps };
    format!("{:.*}", decimals, steps / scale)
}

/// A density for a line of the report.
#[must_use]
pub fn density_line(units: &Units, density: MassDensity) -> String {
    show(density, units.density, Round::Near)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn required_rounds_up_and_available_down() {
        let mass = Mass::of(34.2, unit::KG);
        assert_eq!(Units::METRIC.mass(mass, Round::Up), "35 kg");
        assert_eq!(Units::METRIC.mass(mass, Round::Down), "34 kg");
        assert_eq!(Units::US.fuel(Volume::of(10.0, unit::USGAL), Round::Up), "10.0 USgal");
        assert_eq!(Units::METRIC.arm_step(Length::of(0.0231, unit::M), Round::Up), "24 mm");
    }

    #[test]
    fn enough_never_looks_like_too_little() {
        let feet = Length::of(25.0, unit::FT);
        let shown = |has: Length, needs| Units::METRIC.apron_pair(has, needs);
        assert_eq!(shown(feet, feet), ("7.62 m".into(), "7.62 m".into()));
        let metres = |count| Length::of(count, unit::M);
        assert_eq!(shown(metres(8.07), metres(8.0)), ("8.0 m".into(), "8.0 m".into()));
        assert_eq!(shown(metres(7.99), metres(8.0)), ("7.9 m".into(), "8.0 m".into()));
        assert_eq!(shown(metres(1.0 / 3.0), metres(1.0 / 3.0)).0, "0.333 m");
    }

    #[test]
    fn a_whole_number_is_not_rounded_away_by_noise() {
        let nearly = Mass::of(35.000_000_000_1, unit::KG);
        assert_eq!(Units::METRIC.mass(nearly, Round::Up), "35 kg");
        assert_eq!(Units::METRIC.mass(Mass::of(-0.2, unit::KG), Round::Near), "0 kg");
    }
}
