//! First and last light where the flight leaves and lands.

use jiff::{SignedDuration, Timestamp, civil::Date, tz::Offset};
use stillprop_calc::{
    geodesy::Position,
    quantity::FromAmount,
    sun::{Daylight, Horizon, daylight},
    trace::{Silent, Trace},
    unit,
};

use super::Unknown;

/// Light at one place around one day.
#[derive(Clone, Debug)]
pub struct Light {
    position: Position,
    /// The planned day and its neighbours.
    days: [Option<(Date, Daylight)>; 3],
}

/// Light here and at each destination.
#[derive(Clone, Debug)]
pub struct Lights {
    /// Where the flight leaves.
    pub here: Light,
    /// Where each leg lands; unknown without a position.
    pub there: Vec<Option<Light>>,
}

impl Light {
    /// Prepares the day of `around` and its neighbours.
    #[must_use]
    pub fn at(position: Position, around: Timestamp) -> Self {
        let date = solar_date(position, around);
        let day = |date: Option<Date>| {
            let date = date?;
            let light = daylight(Horizon::Civil, position, date, None, &mut Silent).ok()?;
            Some((date, light))
        };
        let days = [
            day(date.and_then(|date| date.yesterday().ok())),
            day(date),
            day(date.and_then(|date| date.tomorrow().ok())),
        ];
        Self { position, days }
    }

    /// What the sun does on the solar day of an instant.
    ///
    /// # Errors
    ///
    /// When the place or the year is not accepted.
    pub fn on<T: Trace>(&self, instant: Timestamp, trace: &mut T) -> Result<Daylight, Unknown> {
        let date = solar_date(self.position, instant)
            .ok_or_else(|| "the date is outside the calendar".to_owned())?;
        match self.days.iter().flatten().find(|(day, _)| *day == date) {
            Some((_, light)) if !T::RECORDS => Ok(*light),
            _ => daylight(Horizon::Civil, self.position, date, None, trace)
                .map_err(|error| error.to_string()),
        }
    }
}

/// The date by local mean solar time, which is the day that [`daylight`] looks at.
fn solar_date(position: Position, instant: Timestamp) -> Option<Date> {
    #[expect(clippy::cast_possible_truncation, reason = "within a day")]
    let seconds = (position.longitude.count(unit::DEG) * 240.0).round() as i64;
    let shifted = instant.checked_add(SignedDuration::from_secs(seconds)).ok()?;
    Some(Offset::UTC.to_datetime(shifted).date())
}
