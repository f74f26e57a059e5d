//! A turnaround prepared once: [`Stage`] holds what is fixed, [`Choice`] what may still be
//! chosen. Everything that does not depend on the choice is computed here, by the same
//! functions that later explain it.

mod figures;
pub mod flight;
pub mod light;
mod prepare;
pub mod runway;
mod weather;

use std::fmt;

pub use figures::{Allowed, Cited, Figure, Figures};
pub(crate) use figures::{allowed, allowed_for, quantity};
use jiff::{Timestamp, tz::Offset};
pub use prepare::{Documents, prepare, prepare_again};
pub(crate) use prepare::{density_altitude, leg_course, person_mass};
use stillprop_calc::{
    burn,
    envelope::Envelope,
    geodesy::Position,
    load::Loading,
    quantity::{Angle, ElectricalResistance, FromAmount, Length, Mass, MassDensity, Time, Volume},
    unit,
};
use stillprop_rules::{
    briefing::Item as Told,
    document::Stated,
    situation::{Category, FlightRules, Grade, Situation},
};
pub use weather::Air;

use crate::{
    document::aircraft::{Lets, Sort},
    document::turnaround::{FuelKnown, MassKnown, Method, Role},
    drums::{Occasion, named::Named, reconcile::Readings},
    goods::Screening,
    site::{GroundFigures, Parked, Site, start::Start, walk::Way},
    units::Units,
    weather::Weather,
};

/// Something that is not known, with the reason in words for a person.
pub type Unknown = String;

/// An error of a calculation as the reason why something is not known.
pub(crate) fn words(error: impl fmt::Display) -> Unknown {
    error.to_string()
}

/// A limit of the manual.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Setting<Q> {
    /// Nobody has looked.
    Missing,
    /// The manual sets none.
    None,
    /// The manual sets this.
    Is(Q),
}

impl<Q: FromAmount> Setting<Q> {
    fn of(stated: Option<&Stated<Q>>) -> Self {
        match stated {
            None => Self::Missing,
            Some(Stated::None) => Self::None,
            Some(Stated::Is(given)) => Self::Is(given.value),
        }
    }
}

/// A seat or a locker.
#[derive(Clone, Debug)]
pub struct Place {
    /// Its name.
    pub label: String,
    /// Arm of what is in it.
    pub arm: Length,
    /// Lateral arm.
    pub lateral: Length,
    /// Greatest mass.
    pub max_mass: Setting<Mass>,
    /// What it is beyond a place for mass; `None` for a locker.
    pub seat: Option<SeatFacts>,
}

/// What a seat is beyond a place for mass.
#[derive(Clone, Copy, Debug)]
pub struct SeatFacts {
    /// It has a belt or harness.
    pub belt: bool,
    /// The aeroplane can be flown from it.
    pub controls: bool,
}

/// A tank.
#[derive(Clone, Debug)]
pub struct TankFacts {
    /// Its name.
    pub label: String,
    /// What can be used of it.
    pub usable: Volume,
    /// What cannot.
    pub unusable: Volume,
    /// -1 left, 0 middle, 1 right.
    pub side: i8,
}

/// A person aboard.
#[derive(Clone, Debug)]
pub struct Person {
    /// Name.
    pub name: String,
    /// Mass with what belongs to it.
    pub mass: Result<Mass, Unknown>,
    /// How it is known.
    pub known: MassKnown,
    /// Class of a standard mass.
    pub class: Option<Category>,
    /// The standard mass of the pack, where it stands for their own.
    pub standard: Option<Figure<Mass>>,
    /// Role.
    pub role: Role,
    /// Index of the person who holds this one.
    pub held_by: Option<usize>,
}

/// An item aboard.
#[derive(Clone, Debug)]
pub struct Item {
    /// What it is.
    pub what: String,
    /// Mass.
    pub mass: Result<Mass, Unknown>,
}

/// Limits of mass and balance.
#[derive(Clone, Debug)]
pub struct MassLimits {
    /// Ramp mass.
    pub ramp: Setting<Mass>,
    /// Take-off mass.
    pub take_off: Mass,
    /// Landing mass.
    pub landing: Setting<Mass>,
    /// Zero-fuel mass.
    pub zero_fuel: Setting<Mass>,
    /// Lateral arm to either side.
    pub lateral: Setting<Length>,
    /// Difference of fuel between the sides.
    pub fuel_imbalance: Setting<Volume>,
}

/// A strip with its weather on the day.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Name.
    pub name: String,
    /// Position.
    pub position: Position,
    /// Offset of local time from UTC.
    pub offset: Offset,
    /// Magnetic variation, east positive.
    pub variation_east: Option<Angle>,
    /// Elevation.
    pub elevation: Length,
    /// Opening hours by its own clock; `None` where it is never shut.
    pub open: Option<(jiff::civil::Time, jiff::civil::Time)>,
    /// Weather.
    pub weather: Weather,
    /// Pressure altitude, when the setting is known.
    pub pressure_altitude: Result<Length, Unknown>,
    /// Density altitude, when setting and temperature are known.
    pub density_altitude: Result<Length, Unknown>,
    /// Its directions.
    pub ways: Vec<runway::Way>,
}

/// Something that falls due.
#[derive(Clone, Debug)]
pub struct DueDate {
    /// What.
    pub what: String,
    /// Last day.
    pub until: Option<jiff::civil::Date>,
    /// What sort of thing it is.
    pub sort: Option<Sort>,
    /// Whose it is.
    pub of: Option<String>,
    /// What it lets them do.
    pub lets: Option<Lets>,
    /// Greatest hours of use, and the hours it was used.
    pub hours: Option<(Time, Option<Time>)>,
    /// Greatest resistance, and the resistance as measured.
    pub resistance: Option<(ElectricalResistance, Option<ElectricalResistance>)>,
}

impl DueDate {
    /// True when a date is asked: always, unless something else is measured of it.
    #[must_use]
    pub const fn has_date(&self) -> bool {
        self.until.is_some() || self.hours.is_none() && self.resistance.is_none()
    }
}

/// The last leg of each person and item: whoever leaves at a landing is not aboard after it.
/// Who comes aboard on the way is of the next stop's own document.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Leaves {
    /// By person.
    pub people: Vec<usize>,
    /// By item.
    pub items: Vec<usize>,
    /// The last leg of all; 0 where no onward leg is planned.
    pub last: usize,
}

impl Leaves {
    /// Whether a person is aboard on a leg.
    #[must_use]
    pub fn rides(&self, person: usize, leg: usize) -> bool {
        self.people.get(person).is_none_or(|last| *last >= leg)
    }

    /// Whether an item is. One that the document does not have, as ballast, stays.
    #[must_use]
    pub fn lies(&self, item: usize, leg: usize) -> bool {
        self.items.get(item).is_none_or(|last| *last >= leg)
    }

    /// Whether somebody or something left at the landing before this leg; false of a leg that
    /// there is not.
    #[must_use]
    pub fn lighter(&self, leg: usize) -> bool {
        let left = |last: &usize| *last + 1 == leg && leg <= self.last;
        self.people.iter().any(left) || self.items.iter().any(left)
    }

    /// The legs that begin with another load than the one before them.
    pub fn later(&self) -> impl Iterator<Item = usize> + '_ {
        (1..=self.last).filter(|leg| self.lighter(*leg))
    }

    /// The first leg of those with the load of this one.
    #[must_use]
    pub fn since(&self, leg: usize) -> usize {
        self.later().take_while(|later| *later <= leg).last().unwrap_or(0)
    }
}

/// Everything fixed about a turnaround, prepared once.
#[derive(Clone)]
pub struct Stage {
    /// The documents it was made from.
    pub documents: Documents,
    /// Units the documents were written in.
    pub document_units: Units,
    /// The situation as the rules see it.
    pub situation: Situation,
    /// Figures of the pack.
    pub figures: Figures,
    /// What the packs ask to be told to passengers, and who asks.
    pub briefing: Vec<(Told, Vec<String>)>,
    /// Name of the pack selection.
    pub rules_name: String,
    /// Empty aeroplane.
    pub empty: Loading,
    /// Seats first, then lockers.
    pub places: Vec<Place>,
    /// Tanks.
    pub tanks: Vec<TankFacts>,
    /// The same tanks as the burn path sees them; unknown without a density.
    pub burn_tanks: Vec<burn::Tank>,
    /// Density of the fuel.
    pub density: Figure<MassDensity>,
    /// People.
    pub people: Vec<Person>,
    /// Items.
    pub items: Vec<Item>,
    /// Who and what leaves on the way.
    pub leaves: Leaves,
    /// Limits of mass and balance.
    pub limits: MassLimits,
    /// The envelope of the category.
    pub envelope: Result<Envelope, Unknown>,
    /// The aeroplane on a strip.
    pub performance: runway::Performance,
    /// What the onward flight was reckoned from.
    pub onward: flight::Onward,
    /// Onward legs with what they take.
    pub plan: Result<flight::Plan, Unknown>,
    /// The strip of this turnaround.
    pub here: Spot,
    /// The destination of each leg; `None` without a strip document.
    pub there: Vec<Option<Spot>>,
    /// Index of the landing direction at each destination.
    pub landing_way: Vec<Option<usize>>,
    /// Index of the direction for coming straight back.
    pub back_here: Option<usize>,
    /// Things that fall due.
    pub due: Vec<DueDate>,
    /// What everybody said of dangerous goods.
    pub screening: Screening,
    /// Light at this strip and at each destination.
    pub light: light::Lights,
    /// How the fuel of each tank is known.
    pub fuel_known: Vec<Option<FuelKnown>>,
    /// Fuel in each tank before any is taken.
    pub fuel_now: Vec<Option<Volume>>,
    /// Where the fuel comes from.
    pub method: Option<Method>,
    /// The drums it comes from.
    pub drums: Named,
    /// What each way to know the fuel of each tank says.
    pub readings: Vec<Readings>,
    /// What the pack says of the ground.
    pub ground: GroundFigures,
    /// What stands around the aeroplane.
    pub site: Result<Site, Unknown>,
    /// The aeroplane as the turnaround document parks it.
    pub parked: Option<Parked>,
    /// The way from the gate to each door of it.
    pub walks: Vec<Result<Way, Unknown>>,
    /// How the engine is started.
    pub start: Start,
}

/// What may still be chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Index of the seat of each person; `None` for an infant that is held.
    pub seat_of: Vec<Option<usize>>,
    /// Index of the place of each item.
    pub place_of: Vec<usize>,
    /// Usable fuel in each tank at chocks off; `None` when not known.
    pub fuel: Vec<Option<Volume>>,
    /// Chocks off.
    pub departs: Timestamp,
    /// Index of the direction of take-off.
    pub take_off: usize,
    /// Where the aeroplane stands; `None` when that is not known.
    pub parked: Option<Parked>,
}

impl Stage {
    /// Usable fuel aboard at chocks off; unknown when any tank is.
    #[must_use]
    pub fn fuel_aboard(&self, choice: &Choice) -> Option<Volume> {
        choice.fuel.iter().try_fold(Volume::from_si(0.0), |sum, fuel| fuel.map(|fuel| sum + fuel))
    }

    /// Fuel that a choice takes into a tank here; unknown when it is not known what is in it.
    #[must_use]
    pub fn uplift(&self, choice: &Choice, tank: usize) -> Option<Volume> {
        Some((*choice.fuel.get(tank)?)? - (*self.fuel_now.get(tank)?)?)
    }

    /// The fuelling that drums are judged for.
    #[must_use]
    pub fn occasion(&self, choice: &Choice) -> Occasion<'_> {
        Occasion {
            grade: &self.documents.turnaround.fuel.grade.value,
            begins: self.drums.begins,
            latest: choice.departs,
            offset: self.here.offset,
            figures: &self.drums.figures,
        }
    }

    /// True when daylight limits the flight.
    #[must_use]
    pub fn needs_light(&self) -> bool {
        self.situation.flight_rules == FlightRules::VfrDay
    }

    /// Time from chocks off to take-off.
    #[must_use]
    pub fn taxi_time(&self) -> Time {
        self.documents.aircraft.burn.taxi_time.value
    }
}

impl fmt::Debug for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Stage({})", self.documents.turnaround.title)
    }
}

/// The rule grade behind a grade as written: `avgas 100LL` is avgas.
#[must_use]
pub fn grade_of(written: &str) -> Option<Grade> {
    let word = written.split_whitespace().next()?;
    Grade::ALL.iter().copied().find(|grade| grade.word().eq_ignore_ascii_case(word))
}

/// An offset from UTC as written: `+10:00`.
#[must_use]
pub fn offset_of(written: &str) -> Option<Offset> {
    let (sign, rest) = match written.trim().split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = rest.split_once(':')?;
    let digits = |text: &str| -> Option<i32> {
        (text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok())?
    };
    let (hours, minutes) = (digits(hours)?, digits(minutes)?);
    (hours <= 14 && minutes < 60)
        .then(|| Offset::from_seconds(sign * (hours * 3600 + minutes * 60)).ok())?
}

/// A time of day as written: `06:30`.
#[must_use]
pub fn time_of(written: &str) -> Option<jiff::civil::Time> {
    let (hours, minutes) = written.trim().split_once(':')?;
    let digits = |text: &str| -> Option<i8> {
        (text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok())?
    };
    jiff::civil::Time::new(digits(hours)?, digits(minutes)?, 0, 0).ok()
}

/// An instant moved by a duration, whole seconds up: arrivals are never shown early.
#[must_use]
pub fn later(instant: Timestamp, by: Time) -> Timestamp {
    let seconds = by.count(unit::S).ceil();
    #[expect(clippy::cast_possible_truncation, reason = "durations are bounded to days")]
    let span = jiff::SignedDuration::from_secs(seconds as i64);
    instant.saturating_add(span).unwrap_or(instant)
}
