//! The typed quantities of every public signature, and the one untyped form, [`Amount`].
//!
//! A [`Mass`] cannot be added to a [`Length`]: `uom` keeps everything in SI and checks the
//! dimensions when the program is built. [`Amount`] is for the places where the kind is
//! only known when the program runs: text that a person typed, and a working to be shown.

pub use uom::si::f64::{
    Acceleration, Angle, Area, Capacitance, DynamicViscosity, ElectricCharge, ElectricCurrent,
    ElectricPotential, ElectricalConductivity, ElectricalResistance, Energy, Force, Length, Mass,
    MassDensity, MassFlux, MassRate, MolarMass, Power, Pressure, Ratio, SpecificArea,
    SpecificVolume, TemperatureCoefficient, TemperatureInterval, ThermodynamicTemperature, Time,
    Velocity, Volume, VolumeRate,
};

use uom::{
    si::{ISQ, Quantity, SI},
    typenum::{N1, P1, P2, Z0},
};

use crate::unit::{Kind, Unit};

/// Mass times arm: length and mass to the first power. \[kg m\]
pub type Moment = Quantity<ISQ<P1, P1, Z0, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Area per time, one type for kinematic viscosity and for speed times bore. \[m2/s\]
pub type AreaRate = Quantity<ISQ<P2, Z0, N1, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// A quantity whose kind is known only at run time, held in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// What is measured.
    pub kind: Kind,
    /// The value in the SI unit of `kind` (kelvin for temperature, radian for angle).
    pub si: f64,
}

impl Amount {
    /// The value expressed in `unit`.
    ///
    /// The caller picks a unit of the right kind; another kind gives NaN, never a wrong number.
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> f64 {
        if unit.kind == self.kind { unit.value_of(self.si) } else { f64::NAN }
    }
}

/// Ties a typed quantity to its [`Kind`], both ways.
macro_rules! amounts {
    ($($quantity:ty => $kind:ident;)*) => {$(
        impl From<$quantity> for Amount {
            fn from(quantity: $quantity) -> Self {
                Self { kind: Kind::$kind, si: quantity.value }
            }
        }

        impl FromAmount for $quantity {
            const KIND: Kind = Kind::$kind;

            fn from_si(si: f64) -> Self {
                Self { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value: si }
            }
        }
    )*};
}

/// A typed quantity that can be made from an SI value of its kind.
pub trait FromAmount: Sized + Copy + Into<Amount> {
    /// The kind this quantity measures.
    const KIND: Kind;

    /// The quantity holding `si`, a value in the SI unit of [`Self::KIND`].
    fn from_si(si: f64) -> Self;

    /// `value` counted in `unit`; NaN when the unit is of another kind.
    #[must_use]
    fn of(value: f64, unit: Unit) -> Self {
        Self::from_si(if unit.kind == Self::KIND { unit.si_of(value) } else { f64::NAN })
    }

    /// The number of `unit`s in this quantity; NaN when the unit is of another kind.
    #[must_use]
    fn count(self, unit: Unit) -> f64 {
        self.into().in_unit(unit)
    }

    /// The value in the SI unit of the kind.
    #[must_use]
    fn si(self) -> f64 {
        self.into().si
    }
}

amounts! {
    Mass => Mass;
    Length => Length;
    Area => Area;
    Volume => Volume;
    Time => Time;
    Velocity => Velocity;
    Pressure => Pressure;
    ThermodynamicTemperature => Temperature;
    TemperatureInterval => TemperatureStep;
    Angle => Angle;
    VolumeRate => VolumeRate;
    MassDensity => Density;
    Ratio => Ratio;
    Moment => Moment;
    DynamicViscosity => Viscosity;
    TemperatureCoefficient => Expansion;
    AreaRate => AreaRate;
    MassRate => MassRate;
    MassFlux => MassFlux;
    SpecificArea => SpecificArea;
    SpecificVolume => SpecificVolume;
    MolarMass => MolarMass;
    Force => Force;
    Power => Power;
    Energy => Energy;
    Acceleration => Acceleration;
    ElectricCurrent => Current;
    ElectricCharge => Charge;
    ElectricPotential => Voltage;
    Capacitance => Capacitance;
    ElectricalResistance => Resistance;
    ElectricalConductivity => Conductivity;
}
