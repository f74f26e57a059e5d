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

/// What the sky is like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sky {
    /// Before first light or after last light.
    Night,
    /// Civil twilight.
    Twilight,
    /// The sun is up.
    Day,
}

/// A stretch of one sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// From.
    pub from: Timestamp,
    /// To.
    pub to: Timestamp,
    /// Which.
    pub sky: Sky,
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

    /// True when it is what [`Self::at`] would prepare.
    pub(super) fn is_of(&self, position: Position, around: Timestamp) -> bool {
        let date = solar_date(position, around);
        self.position == position
            && date.is_some_and(|date| self.days[1].is_some_and(|(day, _)| day == date))
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

    /// Sunrise and sunset on the solar day of an instant.
    ///
    /// # Errors
    ///
    /// When the place or the year is not accepted.
    pub fn sun(&self, instant: Timestamp) -> Result<Daylight, Unknown> {
        let date = solar_date(self.position, instant)
            .ok_or_else(|| "the date is outside the calendar".to_owned())?;
        daylight(Horizon::Sun, self.position, date, None, &mut Silent)
            .map_err(|error| error.to_string())
    }

    /// The sky through the whole solar day of an instant, without gaps.
    ///
    /// # Errors
    ///
    /// When the place or the year is not accepted.
    pub fn sky(&self, instant: Timestamp) -> Result<Vec<Stretch>, Unknown> {
        let (civil, sun) = (self.on(instant, &mut Silent)?, self.sun(instant)?);
        let (from, to) = solar_day(self.position, instant)
            .ok_or_else(|| "the date is outside the calendar".to_owned())?;
        let cuts = [civil.rise(), sun.rise(), sun.set(), civil.set()];
        let inside = cuts.into_iter().flatten().filter(|cut| from < *cut && *cut < to);
        let mut cuts: Vec<Timestamp> = inside.chain([from, to]).collect();
        cuts.sort();
        let stretch = |pair: &[Timestamp]| {
            let sky = match (above(civil, pair[0]), above(sun, pair[0])) {
                (_, true) => Sky::Day,
                (true, false) => Sky::Twilight,
                (false, false) => Sky::Night,
            };
            Stretch { from: pair[0], to: pair[1], sky }
        };
        Ok(cuts.windows(2).map(stretch).collect())
    }
}

/// True when the sun is above that horizon from this instant on.
fn above(light: Daylight, from: Timestamp) -> bool {
    match light {
        Daylight::AlwaysAbove => true,
        Daylight::AlwaysBelow => false,
        Daylight::Crosses(crossings) => match (crossings.rise, crossings.set) {
            (Some(rise), Some(set)) if rise < set => rise <= from && from < set,
            // A night around local midnight: it sets first.
            (Some(rise), Some(set)) => from < set || rise <= from,
            (Some(rise), None) => rise <= from,
            (None, Some(set)) => from < set,
            (None, None) => false,
        },
    }
}

/// Beginning and end of the solar day of an instant.
fn solar_day(position: Position, instant: Timestamp) -> Option<(Timestamp, Timestamp)> {
    let ahead = mean_time(position);
    let local = instant.checked_add(ahead).ok()?.as_second();
    let begins = Timestamp::from_second(local - local.rem_euclid(86_400)).ok()?;
    let begins = begins.checked_sub(ahead).ok()?;
    Some((begins, begins.checked_add(SignedDuration::from_hours(24)).ok()?))
}

/// How far local mean solar time is ahead of UTC.
fn mean_time(position: Position) -> SignedDuration {
    #[expect(clippy::cast_possible_truncation, reason = "within a day")]
    SignedDuration::from_secs((position.longitude.count(unit::DEG) * 240.0).round() as i64)
}

/// The date by local mean solar time, which is the day that [`daylight`] looks at.
fn solar_date(position: Position, instant: Timestamp) -> Option<Date> {
    let shifted = instant.checked_add(mean_time(position)).ok()?;
    Some(Offset::UTC.to_datetime(shifted).date())
}

#[cfg(test)]
mod tests {
    use stillprop_calc::quantity::Angle;

    use super::*;

    fn light(latitude: f64, longitude: f64, at: &str) -> (Light, Timestamp) {
        let position = Position {
            latitude: Angle::of(latitude, unit::DEG),
            longitude: Angle::of(longitude, unit::DEG),
        };
        let at: Timestamp = at.parse().unwrap();
        (Light::at(position, at), at)
    }

    #[test]
    fn a_day_is_night_twilight_day_twilight_night_without_gaps() {
        for longitude in [-179.0, -60.0, 0.0, 82.5, 179.0] {
            let (light, at) = light(-6.0, longitude, "2026-12-03T08:10:00Z");
            let sky = light.sky(at).unwrap();
            let kinds: Vec<Sky> = sky.iter().map(|one| one.sky).collect();
            let wanted = [Sky::Night, Sky::Twilight, Sky::Day, Sky::Twilight, Sky::Night];
            assert_eq!(kinds, wanted, "{longitude}");
            assert!(sky.windows(2).all(|pair| pair[0].to == pair[1].from));
            let whole = sky[4].to.duration_since(sky[0].from);
            assert_eq!(whole, SignedDuration::from_hours(24));
            assert!(sky[0].from <= at && at < sky[4].to, "{longitude}");
            // The same instants as the limits of light are held against.
            let civil = light.on(at, &mut Silent).unwrap();
            assert_eq!((civil.rise(), civil.set()), (Some(sky[1].from), Some(sky[3].to)));
        }
    }

    #[test]
    fn light_is_taken_again_only_for_the_same_place_and_solar_day() {
        let (light, at) = light(-6.0, 82.5, "2026-12-03T08:10:00Z");
        for minutes in (-2000..2000).step_by(50) {
            let other = at + SignedDuration::from_mins(minutes);
            let anew = Light::at(light.position, other);
            let same = format!("{anew:?}") == format!("{light:?}");
            assert_eq!(light.is_of(light.position, other), same, "{minutes}");
        }
        let position = Position { latitude: Angle::of(-6.1, unit::DEG), ..light.position };
        assert!(!light.is_of(position, at));
    }

    #[test]
    fn polar_night_polar_day_and_a_day_of_twilight_alone_are_answers() {
        for (latitude, day, wanted) in [
            (85.0, "2026-06-21T12:00:00Z", vec![Sky::Day]),
            (85.0, "2026-12-21T12:00:00Z", vec![Sky::Night]),
            (70.0, "2026-12-21T12:00:00Z", vec![Sky::Night, Sky::Twilight, Sky::Night]),
            (63.0, "2026-06-21T12:00:00Z", vec![Sky::Twilight, Sky::Day, Sky::Twilight]),
        ] {
            let (light, at) = light(latitude, 0.0, day);
            let kinds: Vec<Sky> = light.sky(at).unwrap().iter().map(|one| one.sky).collect();
            assert_eq!(kinds, wanted, "{latitude} {day}");
        }
    }
}
