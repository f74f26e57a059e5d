//! The closed vocabulary of figures that a pack may give.

use std::{cmp::Ordering, fmt};

use stillprop_calc::{
    bounds::Bounds,
    quantity::Amount,
    unit::{D, H, KG, KG_L, Kind, L, M, M_S, M2, M2_S, MIN, ONE, PERCENT, PS_M},
};

/// Which way a figure becomes more cautious.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stricter {
    /// The greater value.
    More,
    /// The smaller value.
    Less,
    /// "Not allowed".
    NotAllowed,
}

/// The value of a figure at one situation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// A quantity.
    Amount(Amount),
    /// Yes or no.
    Allowed(bool),
}

impl Stricter {
    /// `Greater` when `a` is the more cautious. Values of different sorts are equal: a pack
    /// with such a pair is refused when it is read.
    #[must_use]
    pub fn compare(self, a: Value, b: Value) -> Ordering {
        match (self, a, b) {
            (Self::More, Value::Amount(a), Value::Amount(b)) => a.si.total_cmp(&b.si),
            (Self::Less, Value::Amount(a), Value::Amount(b)) => b.si.total_cmp(&a.si),
            (Self::NotAllowed, Value::Allowed(a), Value::Allowed(b)) => b.cmp(&a),
            _ => Ordering::Equal,
        }
    }
}

/// Something a condition may name beyond the situation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aspect {
    /// `surface`
    Surface,
    /// `wet`
    Wet,
    /// `grade`
    Grade,
    /// `category`
    Category,
}

impl Aspect {
    /// The name in `when`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Surface => "surface",
            Self::Wet => "wet",
            Self::Grade => "grade",
            Self::Category => "category",
        }
    }
}

/// What is fixed about a key.
struct Spec {
    id: &'static str,
    meaning: &'static str,
    /// None for yes or no.
    bounds: Option<Bounds>,
    stricter: Stricter,
    aspects: &'static [Aspect],
}

/// Names each figure once.
macro_rules! keys {
    ($($key:ident = $id:literal $stricter:ident $range:expr, [$($aspect:ident)*], $meaning:literal;)*) => {
        /// A figure that a pack may give.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Key {
            $(#[doc = concat!("`", $id, "`: ", $meaning)] $key,)*
        }

        impl Key {
            /// Every key, in the order of the documents.
            pub const ALL: &'static [Self] = &[$(Self::$key),*];

            const fn spec(self) -> Spec {
                match self {
                    $(Self::$key => Spec {
                        id: $id,
                        meaning: $meaning,
                        bounds: $range,
                        stricter: Stricter::$stricter,
                        aspects: &[$(Aspect::$aspect),*],
                    },)*
                }
            }
        }
    };
}

// The accepted ranges are ours: wide enough for any rule we know, narrow enough that a slip of
// the decimal point or a factor below one is caught.
const DURATION: Option<Bounds> = Some(Bounds::new("the duration", 0.0, 6.0, H));
const PART: Option<Bounds> = Some(Bounds::new("the part", 0.0, 100.0, PERCENT));
const CHARGE: Option<Bounds> = Some(Bounds::new("the charge", 100.0, 500.0, PERCENT));
const FACTOR: Option<Bounds> = Some(Bounds::new("the factor", 1.0, 5.0, ONE));
const DENSITY: Option<Bounds> = Some(Bounds::new("the density", 0.6, 0.9, KG_L));
const PERSON: Option<Bounds> = Some(Bounds::new("the mass", 0.0, 200.0, KG));
/// Five years: ten times one year is refused.
const AGE: Option<Bounds> = Some(Bounds::new("the age", 1.0, 1830.0, D));
const SETTLING: Option<Bounds> = Some(Bounds::new("the settling time", 0.0, 24.0, H));
const FRESH: Option<Bounds> = Some(Bounds::new("the time", 0.0, 72.0, H));
const REMAINDER: Option<Bounds> = Some(Bounds::new("the remainder", 0.0, 60.0, L));
/// The widest distance we know of is 30 m: ten times 15 m is refused.
const DISTANCE: Option<Bounds> = Some(Bounds::new("the distance", 0.0, 100.0, M));
const ROOM: Option<Bounds> = Some(Bounds::new("the room", 0.0, 20.0, M));
const COUNT: Option<Bounds> = Some(Bounds::new("the number", 0.0, 10.0, ONE));
const RESIDENCE: Option<Bounds> = Some(Bounds::new("the residence", 0.0, 10.0, MIN));
const FLOW: Option<Bounds> = Some(Bounds::new("the velocity", 0.1, 20.0, M_S));
/// Ten times the 50 pS/m of every source is refused, and so is ten times 0.5 m2/s.
const CONDUCTIVITY: Option<Bounds> = Some(Bounds::new("the conductivity", 1.0, 400.0, PS_M));
const FLOW_BORE: Option<Bounds> = Some(Bounds::new("velocity times bore", 0.01, 4.0, M2_S));
const SPILL_AREA: Option<Bounds> = Some(Bounds::new("the area", 0.0, 40.0, M2));
const SPILL_WIDTH: Option<Bounds> = Some(Bounds::new("the width", 0.0, 20.0, M));
const DEADLINE: Option<Bounds> = Some(Bounds::new("the time", 0.0, 60.0, D));
const KEPT: Option<Bounds> = Some(Bounds::new("the time", 0.0, 1830.0, D));

keys! {
    FinalReserve = "fuel.final-reserve" More DURATION, [],
        "flying time that must be left in the tanks after landing";
    Contingency = "fuel.contingency" More PART, [],
        "fuel for the unforeseen, as part of the trip fuel";
    // More is stricter: the density turns litres into load, and a heavier litre loads more.
    PlanningDensity = "fuel.planning-density" More DENSITY, [Grade],
        "density of the fuel where none was measured";
    ReconcileLimit = "fuel.reconcile-limit" Less PART, [],
        "greatest difference of two ways to know the fuel in a tank, as part of the higher";
    DrumMaxAge = "drum.max-age" Less AGE, [Grade],
        "time from filling within which the fuel of a drum is used";
    DrumRetestInterval = "drum.retest-interval" Less AGE, [Grade],
        "time from filling, or from the last laboratory test, until the batch is tested again";
    DrumBrokenSealAllowed = "drum.broken-seal-allowed" NotAllowed None, [],
        "whether a drum may be used whose seal was broken before it was opened";
    DrumPartUsedAllowed = "drum.part-used-allowed" NotAllowed None, [],
        "whether a drum may be used that was opened for an earlier fuelling";
    DrumPartUsedMaxAge = "drum.part-used-max-age" Less AGE, [Grade],
        "time from its first opening within which a part-used drum is used";
    DrumUnpumpedRemainder = "drum.unpumped-remainder" More REMAINDER, [],
        "what the pump leaves in a drum, because the pipe is kept off the bottom";
    DrumSettlingRate = "drum.settling-rate" More SETTLING, [Grade],
        "time a drum stands for each metre of fuel before it is sampled";
    DrumSettlingLeast = "drum.settling-least" More SETTLING, [Grade],
        "time a drum stands at least, however little is in it";
    SampleMaxAge = "sample.max-age" Less FRESH, [],
        "time for which a sample of a drum counts";
    TakeOffFactor = "strip.take-off-factor" More FACTOR, [],
        "safety factor on the take-off distance of the manual";
    LandingFactor = "strip.landing-factor" More FACTOR, [],
        "safety factor on the landing distance of the manual";
    SurfaceTakeOff = "strip.surface-take-off" More FACTOR, [Surface Wet],
        "factor on the take-off distance for the surface";
    SurfaceLanding = "strip.surface-landing" More FACTOR, [Surface Wet],
        "factor on the landing distance for the surface";
    UpslopeTakeOff = "strip.upslope-take-off" More PART, [],
        "extra take-off distance for each 1 % of slope up";
    DownslopeLanding = "strip.downslope-landing" More PART, [],
        "extra landing distance for each 1 % of slope down";
    SoftTakeOff = "strip.soft-take-off" More FACTOR, [],
        "factor on the take-off distance for soft ground or snow";
    SoftLanding = "strip.soft-landing" More FACTOR, [],
        "factor on the landing distance for soft ground or snow";
    HeadwindCredit = "strip.headwind-credit" Less PART, [],
        "part of the headwind that may be counted";
    TailwindCharge = "strip.tailwind-charge" More CHARGE, [],
        "part of the tailwind that must be counted";
    TailwindTakeOff = "strip.tailwind-take-off" More PART, [],
        "extra take-off distance for a tailwind of 10 % of the lift-off speed";
    TailwindLanding = "strip.tailwind-landing" More PART, [],
        "extra landing distance for a tailwind of 10 % of the landing speed";
    ClimbTakeOff = "strip.climb-take-off" More PART, [],
        "least gradient of climb after take-off";
    ClimbLanding = "strip.climb-landing" More PART, [],
        "least gradient of climb in the landing configuration";
    StandardMass = "people.standard-mass" More PERSON, [Category],
        "mass of a person who was neither weighed nor asked";
    StandardMassAllowed = "people.standard-mass-allowed" NotAllowed None, [],
        "whether a standard mass may be used at all";
    ClothingAllowance = "people.clothing-allowance" More PERSON, [],
        "added to a stated mass for clothing";
    HandBaggageAllowance = "people.hand-baggage-allowance" More PERSON, [],
        "added to a stated mass for hand baggage";
    UnscreenedAllowed = "people.unscreened-allowed" NotAllowed None, [],
        "whether people and their bags may go without being asked about dangerous goods";
    LastLightBuffer = "light.last-light-buffer" More DURATION, [],
        "time by which the arrival must come before last light";
    FirstLightBuffer = "light.first-light-buffer" More DURATION, [],
        "time by which the departure must come after first light";
    SiteFuelSealed = "site.fuel-sealed-building" More DISTANCE, [],
        "from filler, vent and fuelling gear to a building with no opening on that side";
    SiteFuelUnsealed = "site.fuel-unsealed-building" More DISTANCE, [],
        "from filler, vent and fuelling gear to a building with an opening on that side";
    SiteFuelAircraft = "site.fuel-other-aircraft" More DISTANCE, [],
        "from filler, vent and fuelling gear to another aircraft that stands";
    SiteFuelPublic = "site.fuel-public-area" More DISTANCE, [],
        "from filler, vent and fuelling gear to where the public may be";
    SiteFuelIgnition = "site.fuel-ignition" More DISTANCE, [],
        "from filler, vent and fuelling gear to engines, motors, switches and batteries";
    SiteFuelFlame = "site.fuel-flame" More DISTANCE, [],
        "from filler, vent and fuelling gear to smoking and open flames";
    SiteFuelDevice = "site.fuel-device" More DISTANCE, [],
        "from filler, vent and fuelling gear to telephones, cameras and the like in use";
    SiteFuelDrain = "site.fuel-drain" More DISTANCE, [],
        "from filler, vent and fuelling gear to a drain that a spill could run into";
    SiteFuelWater = "site.fuel-water" More DISTANCE, [],
        "from filler, vent and fuelling gear to open water";
    SiteRunSealed = "site.run-sealed-building" More DISTANCE, [],
        "from a running engine to a building with no opening on that side";
    SiteRunUnsealed = "site.run-unsealed-building" More DISTANCE, [],
        "from a running engine to a building with an opening on that side";
    SiteRunAircraft = "site.run-other-aircraft" More DISTANCE, [],
        "from a running engine to another aircraft";
    SiteRunPublic = "site.run-public-area" More DISTANCE, [],
        "from a running engine to where the public may be";
    SiteRunSpill = "site.run-spill" More DISTANCE, [],
        "from spilt fuel within which no engine is started or run";
    SitePropeller = "site.propeller-margin" More ROOM, [],
        "room that people on foot leave around a propeller disc, still or turning";
    SiteWake = "site.wake-length" More DISTANCE, [],
        "length behind a running engine in which nobody walks or stands";
    SiteWingtip = "site.wingtip-room" More ROOM, [],
        "room beside the wingtips on the way out";
    SiteHoseSlack = "site.hose-slack" More PART, [],
        "part of the hose that stays slack when the nozzle is in the filler";
    SiteExtinguishers = "site.extinguishers" More COUNT, [],
        "number of fire extinguishers at hand for fuelling";
    SiteExtinguisherNear = "site.extinguisher-near" More DISTANCE, [],
        "from the fuelling point, nearer than which an extinguisher does not stand";
    SiteExtinguisherFar = "site.extinguisher-far" Less DISTANCE, [],
        "from the fuelling point, farther than which an extinguisher does not stand";
    SitePeopleAboardAllowed = "site.people-aboard-allowed" NotAllowed None, [Grade],
        "whether people may be aboard, board or leave while fuel flows";
    StaticResidence = "static.filter-residence" More RESIDENCE, [],
        "time the fuel stays in pipe and hose after the filter, to lose its charge";
    StaticConductive = "static.conductivity-enough" More CONDUCTIVITY, [],
        "conductivity above which fuel sheds its charge so fast that no residence is asked";
    StaticFirstVelocity = "static.first-velocity" Less FLOW, [],
        "greatest velocity of the fuel until the outlet is covered";
    StaticVelocity = "static.velocity" Less FLOW, [],
        "greatest velocity of the fuel in pipe and hose";
    StaticVelocityBore = "static.velocity-bore" Less FLOW_BORE, [],
        "greatest velocity of the fuel times the bore of pipe or hose";
    SpillCallArea = "spill.call-area" Less SPILL_AREA, [],
        "area of a spill above which the fire service is called";
    SpillCallWidth = "spill.call-width" Less SPILL_WIDTH, [],
        "width of a spill in any direction above which the fire service is called";
    HandStartAloneAllowed = "start.alone-allowed" NotAllowed None, [],
        "whether a lone pilot may turn the propeller by hand, under the conditions of the rule";
    HandStartUntrainedAllowed = "start.untrained-allowed" NotAllowed None, [],
        "whether somebody who was not trained for it may turn the propeller by hand";
    StartHoldFactor = "start.hold-factor" More FACTOR, [],
        "what holds the aeroplane, over its thrust at full throttle";
    BatteryEndurance = "start.battery-endurance" More DURATION, [],
        "time for which the battery alone feeds what must stay on";
    BatteryLoadPart = "start.generator-load-part" Less PART, [],
        "greatest steady load, as part of what the generator is rated for";
    SampleAircraftSettling = "sample.aircraft-settling" More SETTLING, [Grade],
        "time the aeroplane stands after fuelling, at least, before its drains are sampled";
    SampleAircraftSettlingRate = "sample.aircraft-settling-rate" More SETTLING, [Grade],
        "time the aeroplane stands for each metre of fuel before its drains are sampled";
    ReportAccidentForm = "report.accident-form" Less DEADLINE, [],
        "time within which an accident is reported in writing";
    ReportIncidentForm = "report.incident-form" Less DEADLINE, [],
        "time within which an incident is reported in writing";
    ReportDangerousGoodsPhone = "report.dangerous-goods-phone" Less DEADLINE, [],
        "time within which an event with dangerous goods is reported by telephone";
    ReportDangerousGoodsForm = "report.dangerous-goods-form" Less DEADLINE, [],
        "time within which an event with dangerous goods is reported in writing";
    RecordsKept = "report.records-kept" More KEPT, [],
        "time for which the papers of a flight are kept";
}

impl Key {
    /// The name in packs.
    #[must_use]
    pub const fn id(self) -> &'static str {
        self.spec().id
    }

    /// What the figure says, in one line.
    #[must_use]
    pub const fn meaning(self) -> &'static str {
        self.spec().meaning
    }

    /// The accepted range; `None` for a figure that is yes or no.
    #[must_use]
    pub const fn bounds(self) -> Option<Bounds> {
        self.spec().bounds
    }

    /// What is measured; `None` for a figure that is yes or no.
    #[must_use]
    pub fn kind(self) -> Option<Kind> {
        self.bounds().map(|bounds| bounds.unit.kind)
    }

    /// Which way is more cautious.
    #[must_use]
    pub const fn stricter(self) -> Stricter {
        self.spec().stricter
    }

    /// What a condition may name beyond the situation.
    #[must_use]
    pub const fn aspects(self) -> &'static [Aspect] {
        self.spec().aspects
    }

    /// Whether the figure may be a curve over the greatest take-off mass.
    #[must_use]
    pub const fn takes_curve(self) -> bool {
        matches!(self, Self::TakeOffFactor | Self::LandingFactor)
    }

    /// The key with this name.
    #[must_use]
    pub fn named(id: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|key| key.id() == id)
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.id())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_is_found_by_its_own_name_and_no_other() {
        for key in Key::ALL {
            assert_eq!(Key::named(key.id()), Some(*key));
            assert!(!key.meaning().is_empty());
            assert!(key.id().chars().all(|c| c.is_ascii_lowercase() || matches!(c, '.' | '-')));
        }
        assert_eq!(Key::named("fuel.final-reserves"), None);
    }

    #[test]
    fn both_sides_of_every_range() {
        for key in Key::ALL {
            let Some(bounds) = key.bounds() else { continue };
            let width = bounds.max - bounds.min;
            for (value, accepted) in [
                (bounds.min, true),
                (bounds.max, true),
                (bounds.min - width * 1e-6, false),
                (bounds.max + width * 1e-6, false),
                (f64::NAN, false),
                (f64::INFINITY, false),
            ] {
                let amount = Amount { kind: bounds.unit.kind, si: bounds.unit.si_of(value) };
                assert_eq!(bounds.check_amount(amount).is_ok(), accepted, "{key} {value}");
            }
        }
    }

    #[test]
    fn the_more_cautious_value_wins_each_way() {
        let part = |si| Value::Amount(Amount { kind: Kind::Ratio, si });
        assert_eq!(Stricter::More.compare(part(1.2), part(1.1)), Ordering::Greater);
        assert_eq!(Stricter::Less.compare(part(1.2), part(1.1)), Ordering::Less);
        let (yes, no) = (Value::Allowed(true), Value::Allowed(false));
        assert_eq!(Stricter::NotAllowed.compare(no, yes), Ordering::Greater);
        assert_eq!(Stricter::NotAllowed.compare(no, no), Ordering::Equal);
    }

    #[test]
    fn only_yes_or_no_keys_have_no_range() {
        for key in Key::ALL {
            assert_eq!(key.bounds().is_none(), key.stricter() == Stricter::NotAllowed, "{key}");
        }
    }
}
