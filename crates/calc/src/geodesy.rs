//! How far and which way: the shortest line on the ellipsoid, and magnetic bearings.
//!
//! # Method
//!
//! The inverse problem (two positions to distance and bearings) and the direct problem
//! (position, bearing and distance to the other end) by the series of `[karney-2013]`, from the
//! library `geographiclib-rs`, which holds everywhere, nearly opposite points included.
//!
//! ```text
//! magnetic = true - variation          variation counted positive to the east
//! ```
//!
//! # Units and accepted range
//!
//! | quantity | unit | accepted |
//! |---|---|---|
//! | latitude | deg, north positive | -90 to 90 |
//! | longitude | deg, east positive | -360 to 360, answered in -180 to 180 |
//! | bearing | deg, clockwise from north | -360 to 360, answered in 0 to 360 |
//! | distance | m | 0 to 20 100 000, a little over half a meridian |
//! | variation | deg, east positive | -180 to 180 |
//!
//! # Accuracy
//!
//! `[karney-2013]` states 15 nm of distance. Against twelve lines of the GeodTest set the
//! error is below a micrometre; against the five lines of `[vincenty-1975]` it is 0.8 mm, their
//! print rounding.
//!
//! # Left out on purpose
//!
//! Height: lines run on the ellipsoid. A model of the magnetic field: the variation is an
//! input, from the chart, because a model goes out of date without saying so.
//!
//! # Sources
//!
//! `karney-2013`, `vincenty-1975`, `navigation-algebra`.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{Angle, FromAmount, Length},
    source,
    trace::{Step, Trace},
    unit::{DEG, M},
};

/// Latitudes, north positive.
pub const LATITUDE: Bounds = Bounds::new("latitude", -90.0, 90.0, DEG);
/// Longitudes, east positive.
pub const LONGITUDE: Bounds = Bounds::new("longitude", -360.0, 360.0, DEG);
/// Directions, clockwise from north.
pub const DIRECTION: Bounds = Bounds::new("direction", -360.0, 360.0, DEG);
/// Distances along a line.
pub const DISTANCE: Bounds = Bounds::new("distance", 0.0, 20.1e6, M);
/// Magnetic variation, east positive.
pub const VARIATION: Bounds = Bounds::new("magnetic variation", -180.0, 180.0, DEG);

/// A place on the ellipsoid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// Latitude, north positive.
    pub latitude: Angle,
    /// Longitude, east positive.
    pub longitude: Angle,
}

impl Position {
    /// Latitude and longitude in degrees, the longitude brought into -180 to 180.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] outside [`LATITUDE`] or [`LONGITUDE`].
    pub(crate) fn degrees(self) -> Result<(f64, f64), OutOfRange> {
        let latitude = LATITUDE.check(self.latitude)?.count(DEG);
        let longitude = LONGITUDE.check(self.longitude)?.count(DEG);
        // The conversion may leave 90 degrees one rounding too far.
        Ok((latitude.clamp(-90.0, 90.0), half_circle(longitude)))
    }
}

/// The figure of the Earth a line is drawn on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ellipsoid {
    /// World Geodetic System 1984, used by satellite positions and charts.
    #[default]
    Wgs84,
    /// Bessel 1841.
    Bessel1841,
    /// International (Hayford) 1924.
    International1924,
}

impl Ellipsoid {
    /// Half the equatorial diameter in metres, and the flattening. `[vincenty-1975]` for the
    /// older two.
    fn geodesic(self) -> Geodesic {
        match self {
            Self::Wgs84 => Geodesic::wgs84(),
            Self::Bessel1841 => Geodesic::new(6_377_397.155, 1.0 / 299.152_812_8),
            Self::International1924 => Geodesic::new(6_378_388.0, 1.0 / 297.0),
        }
    }
}

/// The shortest line between two positions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Its length.
    pub distance: Length,
    /// True bearings at the start and at the end, both onward; none where the two positions
    /// are one.
    pub bearings: Option<Bearings>,
}

/// The true bearings of a line at its two ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearings {
    /// At the start.
    pub initial: Angle,
    /// At the end, onward.
    pub last: Angle,
}

/// The far end of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrival {
    /// Where it ends.
    pub position: Position,
    /// The true bearing there, onward.
    pub bearing: Angle,
}

/// Distance and bearings from one position to another.
///
/// # Errors
///
/// [`OutOfRange`] for a latitude or longitude that is none.
pub fn inverse(
    ellipsoid: Ellipsoid,
    from: Position,
    to: Position,
    trace: &mut impl Trace,
) -> Result<Line, OutOfRange> {
    let (lat1, lon1) = from.degrees()?;
    let (lat2, lon2) = to.degrees()?;
    let (metres, initial, last, _arc): (f64, f64, f64, f64) =
        ellipsoid.geodesic().inverse(lat1, lon1, lat2, lon2);
    let distance = Length::of(metres, M);
    let bearings = (metres > 0.0).then(|| Bearings {
        initial: Angle::of(full_circle(initial), DEG),
        last: Angle::of(full_circle(last), DEG),
    });
    trace.step(|| {
        let step = Step::new("shortest line", "")
            .with("lat1", from.latitude)
            .with("lon1", from.longitude)
            .with("lat2", to.latitude)
            .with("lon2", to.longitude)
            .gives("s12", distance)
            .from(source::KARNEY_2013);
        match bearings {
            Some(Bearings { initial, last }) => step.gives("azi1", initial).gives("azi2", last),
            None => step.remark("the two positions are one: no bearing"),
        }
    });
    Ok(Line { distance, bearings })
}

/// The far end of a line of known bearing and length.
///
/// # Errors
///
/// [`OutOfRange`] for a position, bearing or distance that is none.
pub fn direct(
    ellipsoid: Ellipsoid,
    from: Position,
    bearing: Angle,
    distance: Length,
    trace: &mut impl Trace,
) -> Result<Arrival, OutOfRange> {
    let (lat1, lon1) = from.degrees()?;
    let azi1 = half_circle(DIRECTION.check(bearing)?.count(DEG));
    let s12 = DISTANCE.check(distance)?.si();
    let (lat2, lon2, azi2): (f64, f64, f64) = ellipsoid.geodesic().direct(lat1, lon1, azi1, s12);
    let arrival = Arrival {
        position: Position { latitude: Angle::of(lat2, DEG), longitude: Angle::of(lon2, DEG) },
        bearing: Angle::of(full_circle(azi2), DEG),
    };
    trace.step(|| {
        Step::new("end of a line", "")
            .with("lat1", from.latitude)
            .with("lon1", from.longitude)
            .with("azi1", bearing)
            .with("s12", distance)
            .gives("lat2", arrival.position.latitude)
            .gives("lon2", arrival.position.longitude)
            .gives("azi2", arrival.bearing)
            .from(source::KARNEY_2013)
    });
    Ok(arrival)
}

/// The magnetic bearing of a true one.
///
/// # Errors
///
/// [`OutOfRange`] outside [`DIRECTION`] or [`VARIATION`].
pub fn magnetic_bearing(
    true_bearing: Angle,
    variation: Angle,
    trace: &mut impl Trace,
) -> Result<Angle, OutOfRange> {
    let (t, v) = (DIRECTION.check(true_bearing)?, VARIATION.check(variation)?);
    let magnetic = Angle::of(full_circle(t.count(DEG) - v.count(DEG)), DEG);
    trace.step(|| {
        Step::new("magnetic bearing", "magnetic = true - variation, east positive")
            .with("true", t)
            .with("variation", v)
            .gives("magnetic", magnetic)
            .from(source::NAVIGATION_ALGEBRA)
    });
    Ok(magnetic)
}

/// The true bearing of a magnetic one.
///
/// # Errors
///
/// [`OutOfRange`] outside [`DIRECTION`] or [`VARIATION`].
pub fn true_bearing(
    magnetic_bearing: Angle,
    variation: Angle,
    trace: &mut impl Trace,
) -> Result<Angle, OutOfRange> {
    let (m, v) = (DIRECTION.check(magnetic_bearing)?, VARIATION.check(variation)?);
    let bearing = Angle::of(full_circle(m.count(DEG) + v.count(DEG)), DEG);
    trace.step(|| {
        Step::new("true bearing", "true = magnetic + variation, east positive")
            .with("magnetic", m)
            .with("variation", v)
            .gives("true", bearing)
            .from(source::NAVIGATION_ALGEBRA)
    });
    Ok(bearing)
}

/// Degrees brought into 0 to 360, the end left out.
pub(crate) fn full_circle(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(360.0);
    // Rounding just short of north must not read as a whole turn to the right.
    if turned < 360.0 - 1e-10 { turned } else { 0.0 }
}

/// Degrees brought into -180 to 180.
pub(crate) fn half_circle(degrees: f64) -> f64 {
    // Inside already: left alone, so that no digit is lost.
    if degrees.abs() <= 180.0 { degrees } else { full_circle(degrees + 180.0) - 180.0 }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn place(latitude: f64, longitude: f64) -> Position {
        Position { latitude: Angle::of(latitude, DEG), longitude: Angle::of(longitude, DEG) }
    }

    fn wgs84(from: Position, to: Position) -> Result<Line, OutOfRange> {
        inverse(Ellipsoid::Wgs84, from, to, &mut Silent)
    }

    /// One meridian from equator to pole: the integral of the meridian radius in 40 digits.
    #[test]
    fn quarter_meridian_equals_exact_arithmetic() {
        let line = wgs84(place(0.0, 17.0), place(90.0, 17.0)).unwrap();
        assert!((line.distance.si() - 10_001_965.729_312_723).abs() < 1e-6, "{line:?}");
        assert!(line.bearings.unwrap().initial.count(DEG).abs() < 1e-12);
    }

    /// The example of the GeographicLib documentation: two almost opposite towns.
    #[test]
    fn wellington_to_salamanca_agrees_with_the_published_line() {
        let line = wgs84(place(-41.32, 174.81), place(40.96, -5.50)).unwrap();
        let Bearings { initial, last } = line.bearings.unwrap();
        assert!((line.distance.si() - 19_959_679.267_353_82).abs() < 1e-6, "{line:?}");
        assert!((initial.count(DEG) - 161.067_669_986_16).abs() < 1e-10, "{line:?}");
        assert!((last.count(DEG) - 18.825_195_123_247).abs() < 1e-10, "{line:?}");
    }

    /// Line b of the table, printed to a millimetre.
    #[test]
    fn vincenty_line_on_the_international_ellipsoid_agrees_within_print_rounding() {
        let (from, to) = (place(37.331_931_575, 0.0), place(26.128_566_516_67, 41.476_529_802_78));
        let line = inverse(Ellipsoid::International1924, from, to, &mut Silent).unwrap();
        assert!((line.distance.si() - 4_085_966.703).abs() < 1e-3, "{line:?}");
    }

    #[test]
    fn one_place_has_no_bearing_to_itself() {
        let line = wgs84(place(12.0, 34.0), place(12.0, 34.0 - 360.0)).unwrap();
        assert_eq!(line.distance.si().to_bits(), 0);
        assert_eq!(line.bearings, None);
    }

    #[test]
    fn variation_east_makes_the_magnetic_bearing_less() {
        for (true_deg, variation, magnetic) in
            [(100.0, 20.0, 80.0), (10.0, 20.0, 350.0), (350.0, -20.0, 10.0), (360.0, 0.0, 0.0)]
        {
            let (t, v) = (Angle::of(true_deg, DEG), Angle::of(variation, DEG));
            let got = magnetic_bearing(t, v, &mut Silent).unwrap();
            assert!((got.count(DEG) - magnetic).abs() < 1e-9, "{true_deg} {variation}");
        }
    }

    #[test]
    fn every_bound_from_both_sides() {
        for (latitude, longitude, ok) in [
            (90.0, 0.0, true),
            (90.1, 0.0, false),
            (-90.0, 0.0, true),
            (-90.1, 0.0, false),
            (0.0, 360.0, true),
            (0.0, 360.1, false),
            (0.0, -360.1, false),
            (f64::NAN, 0.0, false),
            (0.0, f64::INFINITY, false),
        ] {
            let got = wgs84(place(0.0, 0.0), place(latitude, longitude));
            assert_eq!(got.is_ok(), ok, "{latitude} {longitude}");
        }
        for (bearing, distance, ok) in [
            (360.0, 0.0, true),
            (360.1, 0.0, false),
            (0.0, 20.1e6, true),
            (0.0, 20.2e6, false),
            (0.0, -1.0, false),
            (f64::NAN, 0.0, false),
            (0.0, f64::INFINITY, false),
        ] {
            let (b, d) = (Angle::of(bearing, DEG), Length::of(distance, M));
            let got = direct(Ellipsoid::Wgs84, place(0.0, 0.0), b, d, &mut Silent);
            assert_eq!(got.is_ok(), ok, "{bearing} {distance}");
        }
        let due_east = Angle::of(90.0, DEG);
        for (variation, ok) in [(180.0, true), (180.1, false), (-180.1, false), (f64::NAN, false)] {
            let v = Angle::of(variation, DEG);
            assert_eq!(magnetic_bearing(due_east, v, &mut Silent).is_ok(), ok, "{variation}");
            assert_eq!(true_bearing(due_east, v, &mut Silent).is_ok(), ok, "{variation}");
        }
    }

    #[test]
    fn the_working_holds_what_was_answered() {
        let mut working = Working::default();
        let line =
            inverse(Ellipsoid::Wgs84, place(1.0, 2.0), place(3.0, 4.0), &mut working).unwrap();
        assert_eq!(working.steps[0].gives[0].amount, line.distance.into());
    }

    proptest! {
        #[test]
        fn the_direct_line_arrives_where_the_inverse_started_from(
            lat1 in -89.0..89.0_f64, lon1 in -180.0..180.0_f64,
            lat2 in -89.0..89.0_f64, lon2 in -180.0..180.0_f64,
        ) {
            let (from, to) = (place(lat1, lon1), place(lat2, lon2));
            let line = wgs84(from, to).unwrap();
            let Some(Bearings { initial, .. }) = line.bearings else { return Ok(()) };
            let there =
                direct(Ellipsoid::Wgs84, from, initial, line.distance, &mut Silent).unwrap();
            let missed = wgs84(there.position, to).unwrap().distance;
            prop_assert!(missed.si() < 1e-6, "{:?}", missed);
        }

        #[test]
        fn magnetic_and_back_is_the_same_bearing(t in 0.0..360.0_f64, v in -180.0..180.0_f64) {
            let variation = Angle::of(v, DEG);
            let magnetic = magnetic_bearing(Angle::of(t, DEG), variation, &mut Silent).unwrap();
            let back = true_bearing(magnetic, variation, &mut Silent).unwrap();
            prop_assert!(half_circle(back.count(DEG) - t).abs() < 1e-9);
        }

        #[test]
        fn every_direction_has_one_place_on_the_circle(d in -1e4..1e4_f64) {
            let (full, half) = (full_circle(d), half_circle(d));
            prop_assert!((0.0..360.0).contains(&full));
            prop_assert!((-180.0..=180.0).contains(&half));
            prop_assert!(half_circle(full - half).abs() < 1e-9);
        }
    }
}
