//! The turnaround document: one stop of one aeroplane and the legs it must serve.

use schemars::JsonSchema;
use serde::Deserialize;
use stillprop_calc::quantity::{
    Length, Mass, MassDensity, Pressure, ThermodynamicTemperature, Time, Velocity, Volume,
};
use stillprop_rules::{
    document::{At, Bearing, Given, Moment},
    situation::{Category, FlightRules, Operation},
};

use super::{
    Format,
    aircraft::Due,
    ground::{Ground, Start},
    strip::Position,
};

/// One turnaround.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Turnaround {
    /// Version of the format; 1.
    pub format: Format,
    /// The word `turnaround`.
    pub kind: KindWord,
    /// True for demonstration data.
    #[serde(default)]
    pub invented: bool,
    /// A line that says which stop this is.
    pub title: String,
    /// File of the aircraft document, from the folder of this one.
    pub aircraft: At<String>,
    /// File of the strip document, from the folder of this one.
    pub strip: At<String>,
    /// Rule pack: `au`, `demo-operator+au`, `strictest(au,nz)`.
    pub pack: At<String>,
    /// Kind of operation.
    pub operation: Operation,
    /// Flight rules.
    pub flight_rules: FlightRules,
    /// Category of the envelope; `normal` when left out.
    pub category: Option<At<String>>,
    /// Planned time of chocks off.
    pub departs: Moment,
    /// Direction of take-off.
    pub take_off: At<String>,
    /// Direction of landing if the flight comes straight back.
    pub back_here: Option<At<String>>,
    /// Weather here.
    #[serde(default)]
    pub weather: Weather,
    /// Onward legs, in order.
    #[serde(default)]
    pub legs: Vec<Leg>,
    /// Alternate of the last leg, when one is planned.
    pub alternate: Option<Alternate>,
    /// Whether the flight goes over water so that life jackets are called for; `unknown` when
    /// left out.
    pub over_water: Option<bool>,
    /// Time to hold before the last landing.
    pub holding: Option<Given<Time>>,
    /// The pilot's own extra fuel.
    pub extra: Option<Given<Volume>>,
    /// People aboard.
    #[serde(default)]
    pub people: Vec<Person>,
    /// Baggage and freight.
    #[serde(default)]
    pub items: Vec<Item>,
    /// Fuel.
    pub fuel: Fuel,
    /// Where the aeroplane stands, and what stands around it today.
    pub ground: Option<Ground>,
    /// How the engine will be started.
    pub start: Option<Start>,
    /// Who on the ground is told of the flight before it begins.
    #[serde(default)]
    pub tell: Vec<Tell>,
    /// Things that fall due, beside those of the aircraft: qualifications, equipment.
    #[serde(default)]
    pub due: Vec<Due>,
}

/// The word that says which document this is.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum KindWord {
    /// A turnaround document.
    Turnaround,
}

/// Weather: a METAR line, typed values, or both. Typed values override the line.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Weather {
    /// A METAR line as received.
    pub metar: Option<At<String>>,
    /// Altimeter setting.
    pub qnh: Option<Given<Pressure>>,
    /// Outside air temperature.
    pub temperature: Option<Given<ThermodynamicTemperature>>,
    /// Dew point.
    pub dew_point: Option<Given<ThermodynamicTemperature>>,
    /// Surface wind.
    pub wind: Option<Wind>,
    /// True when the strip is wet.
    pub wet: Option<bool>,
    /// Lowest temperature of the day, for departures at other times.
    pub minimum: Option<Given<ThermodynamicTemperature>>,
    /// Highest temperature of the day.
    pub maximum: Option<Given<ThermodynamicTemperature>>,
    /// The forecast through the day, in order of time; it replaces minimum and maximum.
    #[serde(default)]
    pub hours: Vec<Hour>,
}

/// The weather forecast for one time. Temperature is taken along a straight line to the next hour
/// that gives one, wind and setting stay until another hour gives them.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hour {
    /// When.
    pub at: At<Moment>,
    /// Outside air temperature.
    pub temperature: Option<Given<ThermodynamicTemperature>>,
    /// Surface wind.
    pub wind: Option<Wind>,
    /// Altimeter setting.
    pub qnh: Option<Given<Pressure>>,
}

/// Wind.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wind {
    /// Direction it comes from; left out when variable.
    pub from: Option<Bearing>,
    /// Mean speed.
    pub speed: Given<Velocity>,
    /// Gust.
    pub gust: Option<Given<Velocity>>,
}

/// One onward leg.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Leg {
    /// Name of the leg.
    pub name: At<String>,
    /// File of the destination's strip document; without one its landing is `unknown`.
    pub strip: Option<At<String>>,
    /// Position of the destination, when there is no strip document.
    pub position: Option<Position>,
    /// Distance; from the positions when left out.
    pub distance: Option<Given<Length>>,
    /// Track; from the positions when left out.
    pub track: Option<Bearing>,
    /// Wind at cruise.
    pub wind: Option<Wind>,
    /// Cruise setting.
    pub cruise: At<String>,
    /// Direction of landing.
    pub landing: Option<At<String>>,
    /// Weather for the landing.
    #[serde(default)]
    pub weather: Weather,
    /// Time on the ground before the next leg.
    pub stop: Option<Given<Time>>,
}

/// An alternate.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Alternate {
    /// Name.
    pub name: At<String>,
    /// Position, for distance and track when they are left out.
    pub position: Option<Position>,
    /// Distance from the destination.
    pub distance: Option<Given<Length>>,
    /// Track from the destination.
    pub track: Option<Bearing>,
    /// Wind at cruise.
    pub wind: Option<Wind>,
    /// Cruise setting.
    pub cruise: At<String>,
}

/// How a mass is known.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum MassKnown {
    /// On a scale, as loaded.
    Weighed,
    /// Said by the person; the pack's allowances for clothing and hand baggage are added.
    Stated,
    /// The pack's standard mass.
    Standard,
}

/// What a person does aboard.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Pilot in command.
    Pilot,
    /// Other crew.
    Crew,
    /// Passenger.
    #[default]
    Passenger,
}

/// What somebody needs on the way in, aboard and out.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq, PartialOrd, Ord)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// Help to walk, to board or to get out.
    Mobility,
    /// Hears badly or not at all.
    Hearing,
    /// Sees badly or not at all.
    Sight,
    /// Does not speak the pilot's language.
    Language,
    /// A child that travels without an adult of its own.
    ChildAlone,
}

/// A person aboard.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// Name, or a word that tells them apart.
    pub name: At<String>,
    /// Seat; an infant may be held instead.
    pub seat: Option<At<String>>,
    /// Name of the person who holds this infant.
    pub held_by: Option<At<String>>,
    /// Mass, unless it is a standard mass.
    pub mass: Option<Given<Mass>>,
    /// How the mass is known.
    pub known: At<MassKnown>,
    /// Class, for a standard mass.
    pub class: Option<At<Category>>,
    /// What they do aboard.
    #[serde(default)]
    pub role: Role,
    /// The leg at whose end they leave; the last one when left out.
    pub to: Option<At<String>>,
    /// What whoever helps them must know.
    #[serde(default)]
    pub needs: Vec<Need>,
    /// The language they understand, where it is not the pilot's.
    pub language: Option<String>,
    /// Name of the person aboard who sits beside them and helps them, in an emergency too.
    pub helped_by: Option<At<String>>,
    /// Dangerous goods on them or in their hands; an empty list when they were asked and have
    /// none, left out when nobody asked.
    pub carries: Option<Vec<Carried>>,
}

/// Somebody on the ground who is told of the flight, and acts when nothing was heard of it.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tell {
    /// Who: a name, or the service that follows the flight.
    pub who: At<String>,
    /// How they are reached; `unknown` when left out.
    pub reach: Option<String>,
    /// From when on they call for help when nothing was heard; `unknown` when left out.
    pub alarm: Option<At<Moment>>,
}

impl Turnaround {
    /// Somebody stays behind. What they have in the bags stays there and is nobody's, so that it counts
    /// with everybody's; whoever they were to help has no helper, which the briefing then asks for.
    pub fn leave_person(&mut self, index: usize) {
        let left = self.people.remove(index).name.value;
        let names = |name: &Option<At<String>>| name.as_ref().is_some_and(|it| it.value == left);
        let bags = self.items.iter_mut().filter_map(|item| item.contains.as_mut());
        for thing in bags.flatten().filter(|thing| names(&thing.of)) {
            thing.of = None;
        }
        for other in self.people.iter_mut().filter(|other| names(&other.helped_by)) {
            other.helped_by = None;
        }
    }
}

/// Something that may be dangerous, in everyday words.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Carried {
    /// What it is: `hairspray`, `power bank`.
    pub what: At<String>,
    /// Size of each: `300 mL`, `0.5 kg`, `74 Wh`.
    pub each: Option<At<String>>,
    /// How many; one when left out.
    pub count: Option<At<u32>>,
    /// Whose it is, in a bag; a thing of nobody counts with everybody's.
    pub of: Option<At<String>>,
    /// True on the body; else in the cabin. In a bag it is where the bag is.
    #[serde(default)]
    pub on_person: bool,
    /// True when the operator, or the pilot where there is none, approved it.
    #[serde(default)]
    pub approved: bool,
}

/// Baggage or freight.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// What it is.
    pub what: At<String>,
    /// Locker or seat it is in.
    #[serde(rename = "in")]
    pub place: At<String>,
    /// Mass; `unknown` when left out.
    pub mass: Option<Given<Mass>>,
    /// How the mass is known; an item has no standard mass.
    pub known: At<MassKnown>,
    /// The leg at whose end it leaves; the last one when left out.
    pub to: Option<At<String>>,
    /// Dangerous goods in it; an empty list when it was asked and there are none, left out when
    /// nobody asked.
    pub contains: Option<Vec<Carried>>,
}

/// Fuel aboard and to be taken.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fuel {
    /// Grade in the tanks and to be taken.
    pub grade: At<String>,
    /// Density, when it was measured; the pack's planning figure when left out.
    pub density: Option<Given<MassDensity>>,
    /// Where it comes from.
    pub method: Option<Method>,
    /// Smallest step of the dispenser.
    pub step: Option<Given<Volume>>,
    /// When fuelling begins.
    pub begins: Option<At<Moment>>,
    /// The yard whose drums are drawn from.
    pub yard: Option<At<String>>,
    /// Each draw from a drum.
    #[serde(default)]
    pub drums: Vec<Draw>,
    /// Each tank.
    #[serde(default)]
    pub tanks: Vec<TankFuel>,
}

/// Fuel out of one drum into one tank.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Draw {
    /// The drum, as its label or the id on its tag says.
    pub drum: At<String>,
    /// How much.
    pub draw: Given<Volume>,
    /// Into which tank.
    pub tank: At<String>,
}

/// Fuelling method.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// From a tanker with its crew.
    Tanker,
    /// From a pump the pilot works.
    SelfServe,
    /// From drums.
    Drum,
    /// No fuel is taken here.
    None,
}

/// How a quantity of fuel is known.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum FuelKnown {
    /// By dipstick.
    Dip,
    /// By gauge.
    Gauge,
    /// Filled to a mark or to the top.
    Full,
    /// By what was delivered less what was burnt.
    Reckoned,
}

/// Fuel of one tank.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TankFuel {
    /// The tank.
    pub tank: At<String>,
    /// Usable fuel in it now; `unknown` when left out.
    pub on_board: Option<Given<Volume>>,
    /// How that is known.
    pub known: Option<FuelKnown>,
    /// Fuel to be taken here.
    pub uplift: Option<Given<Volume>>,
    /// What the dipstick says, when `on_board` is not it.
    pub dip: Option<Given<Volume>>,
    /// What the gauge says, when `on_board` is not it.
    pub gauge: Option<Given<Volume>>,
    /// What was delivered less what was burnt, when `on_board` is not it.
    pub reckoned: Option<Given<Volume>>,
}
