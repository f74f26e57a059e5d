//! The aircraft document: what the flight manual and the weighing record say.

use schemars::JsonSchema;
use serde::Deserialize;
use stillprop_calc::{
    quantity::{
        ElectricalResistance, Length, Mass, Ratio, ThermodynamicTemperature, Time, Velocity,
        Volume, VolumeRate,
    },
    unit::Kind,
};
use stillprop_rules::{
    document::{At, Day, Given, Stated},
    situation::{Engine, Surface},
};

use super::{
    Format,
    ground::{Electrical, PlanShape, Starting},
    nested::Nested,
};

/// One aeroplane.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Aircraft {
    /// Version of the format; 1.
    pub format: Format,
    /// The word `aircraft`.
    pub kind: KindWord,
    /// True for demonstration data that belongs to no real aeroplane.
    #[serde(default)]
    pub invented: bool,
    /// Registration mark.
    pub registration: String,
    /// Name of the type.
    pub type_name: String,
    /// The flight manual these figures come from.
    pub manual: Manual,
    /// Kind of engine.
    pub engine: Engine,
    /// True when an electric starter is fitted; without one the engine is started by hand.
    pub starter: bool,
    /// Grades the manual allows.
    pub fuel_grades: Vec<At<String>>,
    /// Basic empty mass and balance from the weighing record.
    pub empty: Empty,
    /// Limits of mass, balance and wind.
    pub limits: Limits,
    /// Envelopes by category.
    pub envelopes: Vec<EnvelopeTable>,
    /// Seats.
    pub seats: Vec<Seat>,
    /// Baggage places.
    #[serde(default)]
    pub lockers: Vec<Locker>,
    /// Fuel tanks.
    pub tanks: Vec<TankTable>,
    /// Fuel burn.
    pub burn: Burn,
    /// Distances and climb from the manual.
    #[serde(default)]
    pub performance: Performance,
    /// The aeroplane seen from above.
    pub shape: Option<PlanShape>,
    /// How the engine is started.
    pub starting: Option<Starting>,
    /// Battery, alternator and what hangs on them.
    pub electrical: Option<Electrical>,
    /// What passengers meet in the cabin, for their briefing.
    #[serde(default)]
    pub cabin: Cabin,
    /// Things that fall due.
    #[serde(default)]
    pub due: Vec<Due>,
}

/// What passengers meet in the cabin. A key left out is asked for in the briefing; where a key
/// is a place, `"none"` says that there is none aboard.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cabin {
    /// The belts of the passengers.
    pub belts: Option<Belts>,
    /// How a door is opened from inside, in a few words: `lift the red handle, push`.
    pub door_opens: Option<String>,
    /// The ways out, in a few words: `both front doors, and the hatch behind the last row`.
    pub exits: Option<String>,
    /// Passengers wear headsets.
    pub headsets: Option<bool>,
    /// Passengers may need oxygen, and it is aboard.
    pub oxygen: Option<bool>,
    /// Where life jackets are.
    pub life_jackets: Option<String>,
    /// Where the survival gear is.
    pub survival_gear: Option<String>,
    /// Where water to drink is.
    pub water: Option<String>,
    /// Where the fire extinguisher is.
    pub extinguisher: Option<String>,
    /// Where the first-aid kit is.
    pub first_aid: Option<String>,
    /// Where the emergency beacon is.
    pub beacon: Option<String>,
}

/// The belts of the passengers.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Belts {
    /// Across the lap.
    Lap,
    /// Across lap and shoulder.
    Shoulder,
}

/// The word that says which document this is.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum KindWord {
    /// An aircraft document.
    Aircraft,
}

/// Where the figures come from.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Manual {
    /// Title or number of the flight manual.
    pub title: String,
    /// Edition or date.
    pub edition: String,
}

/// Basic empty mass and balance.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Empty {
    /// Basic empty mass: with unusable fuel and full oil, as the manual defines it.
    pub mass: Given<Mass>,
    /// Arm of the centre of gravity, aft of the datum positive.
    pub arm: Given<Length>,
    /// Lateral arm, right positive; left out when the manual has none.
    pub lateral: Option<Given<Length>>,
    /// Date of weighing.
    pub weighed: Day,
    /// What the arms are measured from, in words.
    pub datum: String,
}

/// Limits of mass, balance and wind. `"none"` where the manual sets none; a key left out is
/// `unknown`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Greatest mass on the ground with engines running.
    pub ramp_mass: Option<Stated<Mass>>,
    /// Greatest take-off mass.
    pub take_off_mass: Given<Mass>,
    /// Greatest landing mass.
    pub landing_mass: Option<Stated<Mass>>,
    /// Greatest mass without usable fuel.
    pub zero_fuel_mass: Option<Stated<Mass>>,
    /// Greatest lateral arm of the centre of gravity to either side.
    pub lateral: Option<Stated<Length>>,
    /// Greatest difference of fuel between left and right.
    pub fuel_imbalance: Option<Stated<Volume>>,
    /// Greatest crosswind component, limit or demonstrated.
    pub crosswind: Option<Stated<Velocity>>,
    /// Greatest tailwind component.
    pub tailwind: Option<Stated<Velocity>>,
}

/// The envelope of one category.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EnvelopeTable {
    /// Category: `normal`, `utility`.
    pub category: At<String>,
    /// Corners in order around the polygon.
    pub corners: At<Vec<CornerTable>>,
}

/// One corner.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CornerTable {
    /// Mass.
    pub mass: Given<Mass>,
    /// Arm.
    pub arm: Given<Length>,
}

/// A seat.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Seat {
    /// Name used in turnarounds.
    pub label: At<String>,
    /// Row from the front, 1 first.
    pub row: u8,
    /// Arm of a person in it.
    pub arm: Given<Length>,
    /// Lateral arm, right positive.
    pub lateral: Option<Given<Length>>,
    /// Greatest mass on it.
    pub max_mass: Option<Stated<Mass>>,
    /// True when it has a belt or harness.
    pub belt: bool,
    /// True next to an exit.
    #[serde(default)]
    pub exit: bool,
    /// True when the aeroplane can be flown from it.
    #[serde(default)]
    pub controls: bool,
}

/// A place for baggage.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Locker {
    /// Name used in turnarounds.
    pub label: At<String>,
    /// Arm of what is in it.
    pub arm: Given<Length>,
    /// Lateral arm, right positive.
    pub lateral: Option<Given<Length>>,
    /// Greatest mass in it.
    pub max_mass: Option<Stated<Mass>>,
    /// True when it can be reached from a seat in flight.
    #[serde(default)]
    pub reachable_in_flight: bool,
}

/// A fuel tank.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TankTable {
    /// Name used in turnarounds.
    pub label: At<String>,
    /// All it holds.
    pub capacity: Given<Volume>,
    /// What can be used in flight.
    pub usable: Given<Volume>,
    /// Arm of its fuel, when it does not depend on how much there is.
    pub arm: Option<Given<Length>>,
    /// Arm by quantity, when it does.
    #[serde(default)]
    pub arm_by_quantity: Vec<ArmPoint>,
    /// Lateral arm, right positive.
    pub lateral: Option<Given<Length>>,
    /// Side, for the limit of imbalance.
    #[serde(default)]
    pub side: Side,
    /// Place in the burn order: 1 first; tanks with the same number feed together.
    pub order: u8,
}

/// Side of the aeroplane.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Left of the plane of symmetry.
    Left,
    /// In the middle.
    #[default]
    Middle,
    /// Right of the plane of symmetry.
    Right,
}

/// Arm at a quantity of fuel.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ArmPoint {
    /// Usable fuel in the tank.
    pub quantity: Given<Volume>,
    /// Its arm.
    pub arm: Given<Length>,
}

/// Fuel burn.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Burn {
    /// Fuel for start, taxi and run-up.
    pub start_and_taxi: Given<Volume>,
    /// Time from chocks off to take-off.
    pub taxi_time: Given<Time>,
    /// Climb to cruise, once a leg.
    pub climb: Option<Climb>,
    /// Burn while holding. The final reserve takes the greatest of this and the cruise burns.
    pub hold: Given<VolumeRate>,
    /// Cruise by setting.
    pub cruise: Vec<Cruise>,
}

/// What the climb to cruise takes.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Climb {
    /// Fuel from take-off to top of climb.
    pub fuel: Given<Volume>,
    /// Time.
    pub time: Given<Time>,
    /// Distance covered in still air.
    pub distance: Given<Length>,
}

/// One cruise setting.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cruise {
    /// Name used in turnarounds.
    pub setting: At<String>,
    /// True airspeed.
    pub tas: Given<Velocity>,
    /// Fuel burn.
    pub burn: Given<VolumeRate>,
}

/// Distances and climb from the manual.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Performance {
    /// Surface the distances were measured on; `paved` in most manuals.
    pub surface: Option<Surface>,
    /// Ground run to lift-off.
    pub take_off_run: Option<ChartTable>,
    /// Distance to 50 ft (15 m).
    pub take_off_distance: Option<ChartTable>,
    /// Distance to accelerate and stop.
    pub accelerate_stop: Option<ChartTable>,
    /// Distance from 50 ft (15 m) to a stop.
    pub landing_distance: Option<ChartTable>,
    /// Rate of climb.
    pub climb: Option<ChartTable>,
    /// True airspeed of that climb, for its gradient.
    pub climb_speed: Option<Given<Velocity>>,
    /// Speed at lift-off, for tailwind factors.
    pub lift_off_speed: Option<Given<Velocity>>,
    /// Speed at touch-down, for tailwind factors.
    pub landing_speed: Option<Given<Velocity>>,
    /// Corrections the manual gives.
    #[serde(default)]
    pub corrections: Vec<Correction>,
}

/// A grid of the manual: lines of up to three axes and a value at each crossing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChartTable {
    /// Mass lines, rising; left out when the chart does not depend on mass.
    #[serde(default)]
    pub masses: Vec<Given<Mass>>,
    /// Pressure-altitude lines, rising.
    #[serde(default)]
    pub pressure_altitudes: Vec<Given<Length>>,
    /// Temperature lines, rising.
    #[serde(default)]
    pub temperatures: Vec<Given<ThermodynamicTemperature>>,
    /// Unit of all values.
    pub unit: At<String>,
    /// Values: a list for each mass of lists for each altitude of numbers for each
    /// temperature, in the unit above.
    pub values: At<Nested>,
}

/// A correction that the manual gives to its distances.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// Distances it applies to.
    pub on: Vec<Distance>,
    /// What it corrects for.
    #[serde(rename = "for")]
    pub cause: Cause,
    /// Change of the distance, `"-10 %"`.
    pub change: Given<Ratio>,
    /// For each so much, `"12 kt"` of wind or `"1 %"` of slope; not used for a surface.
    pub per: Option<At<String>>,
    /// The most it may be used for.
    pub up_to: Option<At<String>>,
    /// The surface, when it corrects for one.
    pub surface: Option<Surface>,
    /// True when it is for a wet surface.
    #[serde(default)]
    pub wet: bool,
}

/// A distance of the manual.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Distance {
    /// Ground run to lift-off.
    TakeOffRun,
    /// Distance to 50 ft.
    TakeOffDistance,
    /// Accelerate and stop.
    AccelerateStop,
    /// From 50 ft to a stop.
    LandingDistance,
}

/// What a correction is for.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Cause {
    /// Wind from ahead.
    Headwind,
    /// Wind from behind.
    Tailwind,
    /// Strip rising ahead.
    Upslope,
    /// Strip falling ahead.
    Downslope,
    /// Another surface, or a wet one.
    Surface,
}

impl Cause {
    /// The kind of `per`; `None` for a surface, which has none.
    #[must_use]
    pub const fn kind(self) -> Option<Kind> {
        match self {
            Self::Headwind | Self::Tailwind => Some(Kind::Velocity),
            Self::Upslope | Self::Downslope => Some(Kind::Ratio),
            Self::Surface => None,
        }
    }
}

/// Something that falls due.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Due {
    /// What, in a few words: `maintenance release`.
    pub what: At<String>,
    /// Last day it is good for. Left out it is unknown, unless hours or a resistance are asked.
    pub until: Option<Day>,
    /// What sort of thing it is.
    pub sort: Option<Sort>,
    /// Whose it is: a qualification.
    pub of: Option<At<String>>,
    /// What a qualification lets its owner do here.
    pub lets: Option<Lets>,
    /// Hours it was used.
    pub used: Option<Given<Time>>,
    /// Hours after which it is changed.
    pub used_most: Option<Given<Time>>,
    /// Resistance as measured: of a bonding lead, end to end.
    pub resistance: Option<Given<ElectricalResistance>>,
    /// Greatest resistance.
    pub resistance_most: Option<Given<ElectricalResistance>>,
}

/// What a qualification lets its owner do.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord)]
#[serde(rename_all = "kebab-case")]
pub enum Lets {
    /// Fly this type.
    Fly,
    /// Take fuel.
    Fuel,
    /// Start by hand at the propeller.
    Swing,
    /// Accept dangerous goods.
    DangerousGoods,
}

/// What sort of thing falls due.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord)]
#[serde(rename_all = "kebab-case")]
pub enum Sort {
    /// A fire extinguisher.
    Extinguisher,
    /// A bonding lead.
    BondingLead,
    /// A filter of fuel.
    Filter,
    /// Paste or paper that shows water.
    WaterPaste,
    /// A hose.
    Hose,
    /// A life jacket.
    LifeJacket,
    /// A first-aid kit.
    FirstAidKit,
    /// Something a person may do: a type, a hand start, dangerous goods, fuelling.
    Qualification,
    /// Papers of the aeroplane or of its crew.
    Papers,
}

impl Sort {
    /// The sort in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Extinguisher => "fire extinguisher",
            Self::BondingLead => "bonding lead",
            Self::Filter => "filter",
            Self::WaterPaste => "water paste",
            Self::Hose => "hose",
            Self::LifeJacket => "life jacket",
            Self::FirstAidKit => "first-aid kit",
            Self::Qualification => "qualification",
            Self::Papers => "papers",
        }
    }
}
