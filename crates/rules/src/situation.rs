//! What a rule may depend on: the flight as a whole ([`Situation`]) and the one thing that is
//! asked about ([`Detail`]).

use stillprop_calc::quantity::Mass;

use crate::words::words;

words! {
    /// For whom the flight is made.
    Operation {
        /// Nobody pays for carriage.
        Private = "private",
        /// Passengers or goods for reward: air transport.
        Charter = "charter",
    }
}

words! {
    /// By what, and in what light, the pilot finds the way.
    FlightRules {
        /// By sight, between first and last light.
        VfrDay = "VFR day",
        /// By sight, at night.
        VfrNight = "VFR night",
        /// By instruments.
        Ifr = "IFR",
    }
}

words! {
    /// What turns the propeller.
    Engine {
        /// Reciprocating.
        Piston = "piston",
        /// Gas turbine.
        Turbine = "turbine",
    }
}

words! {
    /// What the wheels roll on. All are firm; soft ground has figures of its own.
    Surface {
        /// Asphalt or concrete.
        Paved = "paved",
        /// Loose stones.
        Gravel = "gravel",
        /// Bare rolled earth.
        Dirt = "dirt",
        /// Grass up to 20 cm.
        ShortGrass = "short grass",
        /// Grass above 20 cm.
        LongGrass = "long grass",
        /// Crushed coral.
        Coral = "coral",
        /// Crushed stone, bound and rolled; "metal" in New Zealand.
        Metalled = "metalled",
    }
}

words! {
    /// The family of fuel, as far as its density goes.
    Grade {
        /// Any grade of aviation gasoline.
        Avgas = "avgas",
        /// Any grade of aviation kerosene.
        Jet = "jet",
        /// Motor gasoline, where the aeroplane may burn it.
        Mogas = "mogas",
    }
}

words! {
    /// Of whom a standard mass speaks.
    Category {
        /// An adult man.
        Man = "man",
        /// An adult woman.
        Woman = "woman",
        /// An adult, either.
        Adult = "adult",
        /// A child with a seat.
        Child = "child",
        /// An infant in arms.
        Infant = "infant",
        /// A member of the flight crew.
        Crew = "crew",
    }
}

/// The flight, as far as rules ask about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Situation {
    /// For whom.
    pub operation: Operation,
    /// By what rules it is flown.
    pub flight_rules: FlightRules,
    /// What turns the propeller.
    pub engine: Engine,
    /// Greatest take-off mass of the type, not the mass today.
    pub mtow: Mass,
    /// Seats for passengers, installed or not taken out: the count the rule speaks of.
    pub seats: u8,
}

/// The one thing asked about. What is left out was not said, and a figure that depends on it
/// is then not found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Detail {
    /// For the surface factors.
    pub surface: Option<Surface>,
    /// For the surface factors.
    pub wet: Option<bool>,
    /// For the planning density.
    pub grade: Option<Grade>,
    /// For the standard mass.
    pub category: Option<Category>,
}

impl Detail {
    /// Nothing more to say.
    pub const NONE: Self = Self { surface: None, wet: None, grade: None, category: None };

    /// A surface, wet or dry.
    #[must_use]
    pub const fn surface(surface: Surface, wet: bool) -> Self {
        Self { surface: Some(surface), wet: Some(wet), ..Self::NONE }
    }

    /// A family of fuel.
    #[must_use]
    pub const fn grade(grade: Grade) -> Self {
        Self { grade: Some(grade), ..Self::NONE }
    }

    /// A person.
    #[must_use]
    pub const fn category(category: Category) -> Self {
        Self { category: Some(category), ..Self::NONE }
    }
}
