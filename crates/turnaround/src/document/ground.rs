//! What stands where: the apron in the strip document, the plan shape and the start in the
//! aircraft document, today's parking place and start in the turnaround document.
//!
//! Places are pairs of numbers in the length unit that the table names once, as the values of a
//! chart are. On the apron they count east and true north from a mark that words describe; on
//! the aeroplane forward and right from the point between its main wheels.

use schemars::JsonSchema;
use serde::Deserialize;
use stillprop_calc::quantity::{
    Angle, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalConductivity, Force,
    Length, MolarMass, Power, Pressure, Ratio, Time, Volume, VolumeRate,
};
use stillprop_rules::{
    document::{At, Bearing, Day, Given},
    situation::Surface,
};

/// A place: east and north on an apron, forward and right on an aeroplane.
pub type Spot = [f64; 2];

/// The ground where aeroplanes are parked and fuelled.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Apron {
    /// Length unit of every place below.
    pub unit: At<String>,
    /// The mark that places are measured from, in words. They count east and true north.
    pub origin: String,
    /// Where passengers wait, and come back to.
    pub gate: Option<At<Spot>>,
    /// The line an aeroplane rolls along from its place to the strip.
    pub way_out: Option<At<Vec<Spot>>>,
    /// What the ground is like under the wheels.
    pub surface: Option<Surface>,
    /// What always stands or lies there.
    #[serde(default)]
    pub things: Vec<Thing>,
    /// What is kept there to work with.
    #[serde(default)]
    pub equipment: Vec<Equipment>,
}

/// Something that stands or lies on an apron.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Thing {
    /// What people call it.
    pub what: At<String>,
    /// What it is to the rules.
    pub is: ThingKind,
    /// One place, the ends and bends of a line, or the corners of an area in order around it.
    pub corners: At<Vec<Spot>>,
    /// Where its nose points, when its engine runs: nobody walks in its wake.
    pub engine_running: Option<Bearing>,
}

/// What a thing is to the rules.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[serde(rename_all = "kebab-case")]
pub enum ThingKind {
    /// A building without an opening on any side that faces the aeroplane.
    SealedBuilding,
    /// A building with an opening: a door, a window, a vent.
    UnsealedBuilding,
    /// Another aeroplane that stands still.
    Aircraft,
    /// Where the public may be.
    PublicArea,
    /// Somebody who takes no part.
    Person,
    /// A road or track with engines on it.
    Road,
    /// An engine, generator, motor, switch or battery.
    Engine,
    /// A flame, a stove, somebody smoking.
    Flame,
    /// A telephone, camera or other device with a battery.
    Device,
    /// A drain or gutter.
    Drain,
    /// Open water.
    Water,
    /// Anything else that is in the way: a fence, a tree, a ditch.
    Obstacle,
}

impl ThingKind {
    /// Every kind.
    pub const ALL: [Self; 12] = [
        Self::SealedBuilding,
        Self::UnsealedBuilding,
        Self::Aircraft,
        Self::PublicArea,
        Self::Person,
        Self::Road,
        Self::Engine,
        Self::Flame,
        Self::Device,
        Self::Drain,
        Self::Water,
        Self::Obstacle,
    ];

    /// The kind as a person says it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::SealedBuilding => "sealed building",
            Self::UnsealedBuilding => "unsealed building",
            Self::Aircraft => "other aircraft",
            Self::PublicArea => "public area",
            Self::Person => "person",
            Self::Road => "road",
            Self::Engine => "engine or switch",
            Self::Flame => "flame",
            Self::Device => "electronic device",
            Self::Drain => "drain",
            Self::Water => "open water",
            Self::Obstacle => "obstacle",
        }
    }

    /// True when neither a wing nor a person passes through it.
    #[must_use]
    pub const fn solid(self) -> bool {
        matches!(
            self,
            Self::SealedBuilding | Self::UnsealedBuilding | Self::Aircraft | Self::Obstacle
        )
    }
}

/// Something to work with.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Equipment {
    /// What it is.
    pub what: EquipmentKind,
    /// Where it is.
    pub at: At<Spot>,
}

/// A kind of equipment.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum EquipmentKind {
    /// A fire extinguisher of a type and size for fuel.
    Extinguisher,
    /// What soaks up a spill.
    SpillKit,
    /// The switch that stops the pump.
    EmergencyStop,
}

impl EquipmentKind {
    /// The kind as a person says it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Extinguisher => "extinguisher",
            Self::SpillKit => "spill kit",
            Self::EmergencyStop => "emergency stop",
        }
    }
}

/// The aeroplane seen from above.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanShape {
    /// Length unit of every place below. They count forward and right from the point between
    /// the main wheels.
    pub unit: At<String>,
    /// Where the wing sits.
    pub wing: WingPlace,
    /// Outlines of wing, fuselage and tail.
    pub parts: Vec<Part>,
    /// Propellers.
    pub propellers: Vec<Propeller>,
    /// Where fuel goes in.
    #[serde(default)]
    pub fillers: Vec<Opening>,
    /// Where fuel vapour comes out.
    #[serde(default)]
    pub vents: Vec<Opening>,
    /// Doors that people use.
    #[serde(default)]
    pub doors: Vec<Opening>,
    /// Struts under the wing, each from end to end.
    #[serde(default)]
    pub struts: Vec<At<[Spot; 2]>>,
    /// Wheels.
    #[serde(default)]
    pub wheels: Vec<Wheel>,
}

/// Where the wing sits.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum WingPlace {
    /// Above the door: people walk under it.
    High,
    /// Below the door: people step on it.
    Low,
}

/// One outline.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Wing, fuselage or tail.
    pub is: PartKind,
    /// Its corners in order around it.
    pub corners: At<Vec<Spot>>,
}

/// A part of the aeroplane.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum PartKind {
    /// A wing, or two above each other.
    Wing,
    /// The body.
    Fuselage,
    /// The tailplane.
    Tail,
}

impl PartKind {
    /// The part as a person says it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wing => "wing",
            Self::Fuselage => "fuselage",
            Self::Tail => "tail",
        }
    }
}

/// A propeller.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Propeller {
    /// Its hub.
    pub at: At<Spot>,
    /// Its diameter.
    pub diameter: Given<Length>,
}

/// A filler, vent or door.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Opening {
    /// Its name; for a filler that of its tank.
    pub what: At<String>,
    /// Where it is.
    pub at: At<Spot>,
}

/// A wheel.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wheel {
    /// Its name.
    pub what: At<String>,
    /// Where it stands.
    pub at: At<Spot>,
    /// Its radius, tyre included.
    pub radius: Given<Length>,
    /// Share of the aeroplane's mass that stands on it.
    pub share: Given<Ratio>,
    /// True when it has a brake.
    #[serde(default)]
    pub brake: bool,
}

/// What the flight manual says of starting the engine.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Starting {
    /// True when the flight manual permits the propeller to be turned by hand.
    pub hand_start: Option<bool>,
    /// Power at full throttle, standing still.
    pub power: Option<Given<Power>>,
    /// Figure of merit of the propeller standing still; left out: the ideal one, which pulls most.
    pub figure_of_merit: Option<Given<Ratio>>,
    /// Height of the propeller hub above the ground, as the aeroplane stands.
    pub hub_height: Option<Given<Length>>,
    /// True when the throttle can be reached from where the propeller is turned.
    #[serde(default)]
    pub throttle_in_reach: bool,
}

/// Battery, alternator and what hangs on them.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Electrical {
    /// Voltage of the system.
    pub volts: Given<ElectricPotential>,
    /// What the battery is rated for.
    pub capacity: Given<ElectricCharge>,
    /// Over which time it was rated.
    pub rated_over: Given<Time>,
    /// Exponent of Peukert's law for this battery.
    pub exponent: Option<Given<Ratio>>,
    /// Part of the rated capacity that age has left.
    pub aged_to: Option<Given<Ratio>>,
    /// Part of the rated capacity that the cold leaves.
    pub cold_to: Option<Given<Ratio>>,
    /// What the generator is rated for.
    pub generator: Option<Given<ElectricCurrent>>,
    /// True when the alternator gives nothing without current from the battery.
    pub field_from_battery: Option<bool>,
    /// What takes current.
    #[serde(default)]
    pub loads: Vec<Load>,
}

/// Something that takes current.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Load {
    /// What it is.
    pub what: At<String>,
    /// What it takes.
    pub current: Given<ElectricCurrent>,
    /// True when the flight cannot do without it.
    #[serde(default)]
    pub essential: bool,
}

/// Where the aeroplane stands today, and what stands around it only today.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ground {
    /// Length unit of every place below.
    pub unit: At<String>,
    /// Where the point between the main wheels stands, on the apron of the strip document.
    pub at: At<Spot>,
    /// Where the nose points.
    pub heading: Bearing,
    /// The drum, trolley, bowser or pump that the fuel comes from.
    pub source: Option<FuelSource>,
    /// How the fuel flows.
    pub flow: Option<Flow>,
    /// What stands or lies there today and is not in the strip document.
    #[serde(default)]
    pub things: Vec<Thing>,
    /// Equipment put out today.
    #[serde(default)]
    pub equipment: Vec<Equipment>,
    /// Fuel that was spilt.
    #[serde(default)]
    pub spills: Vec<Spill>,
}

/// The drum, trolley, bowser or pump that the fuel comes from.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FuelSource {
    /// What people call it.
    pub what: At<String>,
    /// Where it stands.
    pub at: At<Spot>,
    /// Length of its hose.
    pub hose: Option<Given<Length>>,
    /// True when it can be moved away at once; a fixed pump with an emergency stop counts.
    pub clears_away: Option<bool>,
}

/// How the fuel flows.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Flow {
    /// Volume per time.
    pub rate: Option<Given<VolumeRate>>,
    /// Inner diameter of the hose.
    pub bore: Option<Given<Length>>,
    /// Length of the hose behind the last filter.
    pub behind_filter: Option<Given<Length>>,
    /// Conductivity of the fuel.
    pub conductivity: Option<Given<ElectricalConductivity>>,
}

/// Fuel on the ground.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Spill {
    /// What was spilt, and how.
    pub what: At<String>,
    /// How much.
    pub volume: Given<Volume>,
    /// Its middle.
    pub at: At<Spot>,
    /// How far it reaches across, as measured; nobody can reckon it on real ground.
    pub across: Option<Given<Length>>,
    /// True when it was taken up and the ground is dry.
    #[serde(default)]
    pub cleaned: bool,
    /// Vapour pressure of the fuel at today's temperature, for how fast it dries up.
    pub vapour_pressure: Option<Given<Pressure>>,
    /// Molar mass of its vapour.
    pub molar_mass: Option<Given<MolarMass>>,
}

/// How the engine will be started today.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Start {
    /// With the starter or by hand.
    pub by: At<StartBy>,
    /// Who turns the propeller.
    pub at_propeller: Option<At<String>>,
    /// True when that person was trained to.
    pub trained: Option<bool>,
    /// Who sits at the controls.
    pub at_controls: Option<At<String>>,
    /// True when that person may start and stop this engine.
    pub qualified: Option<bool>,
    /// True when help could be had.
    pub help_at_hand: Option<bool>,
    /// True when somebody sits in the aeroplane beside the one at the controls.
    pub others_aboard: Option<bool>,
    /// True when nobody stands in the arc of the propeller, ahead of it or beside it.
    pub clear_ahead: Option<bool>,
    /// What the feet stand on.
    pub footing: Option<Footing>,
    /// Chocks.
    pub chocks: Option<Chocks>,
    /// The rope or chain at the tail.
    pub tail_tie: Option<TailTie>,
    /// True when the brakes are set and hold.
    pub brakes_set: Option<bool>,
    /// Part of full power that the throttle is set to.
    pub throttle: Option<Given<Ratio>>,
    /// True when both have said how the throttle stands.
    pub throttle_confirmed: Option<bool>,
    /// Day of the last dead-cut check of the magnetos.
    pub dead_cut: Option<Day>,
    /// True when the battery is flat.
    #[serde(default)]
    pub battery_flat: bool,
}

/// With the starter or by hand.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum StartBy {
    /// With the electric starter.
    Starter,
    /// The propeller is turned by hand.
    Hand,
}

/// What the feet stand on.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Footing {
    /// Firm, level and dry.
    Firm,
    /// Gravel, sand, long grass.
    Loose,
    /// Wet, muddy, icy, oily.
    Slippery,
    /// It slopes.
    Sloping,
}

/// The rope or chain at the tail.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TailTie {
    /// What the weakest of rope, fitting and anchor holds.
    pub strength: Given<Force>,
    /// How far it leads down from level.
    pub slope: Given<Angle>,
}

/// Chocks ahead of wheels.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Chocks {
    /// Height where the tyre meets them.
    pub height: Given<Length>,
    /// Slope of the face that the tyre meets; left out: upright.
    pub face: Option<Given<Angle>>,
    /// The wheels they stand ahead of.
    pub ahead_of: Vec<At<String>>,
}
