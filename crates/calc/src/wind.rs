//! What the wind does: components on a runway, and the heading and speed over the ground.
//!
//! # Formula
//!
//! With `a` the angle from the runway or course to where the wind comes from, and `W` its speed:
//!
//! ```text
//! head  = W cos a            negative: a tailwind
//! cross = W sin a            positive: from the right
//! WCA   = asin(cross / TAS)  wind correction angle, positive to the right
//! TH    = TC + WCA           true heading
//! GS    = TAS cos WCA - head
//! ```
//!
//! # Units and accepted range
//!
//! | quantity | unit | accepted | whose limit |
//! |---|---|---|---|
//! | runway, course, wind direction | deg | -360 to 360 | one turn either way |
//! | wind speed | kt | 0 to 250 | ours |
//! | true airspeed | kt | 0 to 600 | ours |
//!
//! All directions from one north. METAR winds are true, runway numbers and towers magnetic: the
//! caller brings them together with [`crate::geodesy::true_bearing`]. A gust is the caller's
//! too: it passes the gust as the speed.
//!
//! A crosswind as strong as the airspeed, or a speed over the ground of nothing or less, is
//! an answer and not an error: [`Triangle::CannotBeFlown`].
//!
//! # Accuracy
//!
//! Algebra: 1e-12. The chart of `[phak-wind]` is met within its reading of 1 kt, the
//! triangle of `[wind-algebra]` within 1 kt and 1 degree.
//!
//! # Left out on purpose
//!
//! Change of wind with height and along the leg; credit for headwind, which belongs to a pack.
//!
//! # Sources
//!
//! `phak-wind`, `wind-algebra`.

use crate::{
    bounds::{Bounds, OutOfRange},
    geodesy::{DIRECTION, full_circle, half_circle},
    quantity::{Angle, FromAmount, Velocity},
    source,
    trace::{Step, Trace},
    unit::{DEG, KT},
};

/// Wind speeds.
pub const WIND_SPEED: Bounds = Bounds::new("wind speed", 0.0, 250.0, KT);
/// True airspeeds.
pub const AIRSPEED: Bounds = Bounds::new("true airspeed", 0.0, 600.0, KT);
/// A crosswind below this is the rounding of a wind straight down the runway. \[kt\]
const ROUNDING_KT: f64 = 1e-9;

/// A steady wind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wind {
    /// Where it comes from.
    pub from: Angle,
    /// How fast.
    pub speed: Velocity,
}

/// A wind taken apart along a runway or a course.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Components {
    /// From the runway to where the wind comes from, -180 to 180 degrees, right positive.
    pub angle: Angle,
    /// Along the runway; negative for a tailwind.
    pub head: Velocity,
    /// Across it; positive from the right.
    pub cross: Velocity,
}

/// The side a crosswind comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// From the left.
    Left,
    /// From the right.
    Right,
    /// No crosswind.
    Neither,
}

impl Side {
    /// The side as a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Neither => "neither",
        }
    }
}

impl Components {
    /// The side the wind comes from.
    #[must_use]
    pub fn side(&self) -> Side {
        match self.cross.count(KT) {
            cross if cross > ROUNDING_KT => Side::Right,
            cross if cross < -ROUNDING_KT => Side::Left,
            _ => Side::Neither,
        }
    }
}

/// The answer of [`wind_triangle`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Triangle {
    /// The course can be held.
    Flown(Solution),
    /// It cannot.
    CannotBeFlown(Hindrance),
}

/// How a course is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solution {
    /// Wind correction angle, positive to the right.
    pub correction: Angle,
    /// True heading, 0 to 360 degrees.
    pub heading: Angle,
    /// Speed over the ground.
    pub groundspeed: Velocity,
}

/// What keeps a course from being held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hindrance {
    /// The crosswind is as strong as the true airspeed, or stronger.
    Crosswind,
    /// The wind blows the aeroplane back, or holds it still.
    NoProgress,
}

/// The wind along and across a runway.
///
/// # Errors
///
/// [`OutOfRange`] outside [`DIRECTION`] or [`WIND_SPEED`].
pub fn runway_wind(
    runway: Angle,
    wind: Wind,
    trace: &mut impl Trace,
) -> Result<Components, OutOfRange> {
    let along = DIRECTION.check(runway)?.count(DEG);
    let from = DIRECTION.check(wind.from)?.count(DEG);
    let speed = WIND_SPEED.check(wind.speed)?.si();
    let angle = half_circle(from - along);
    let (sin, cos) = angle.to_radians().sin_cos();
    let components = Components {
        angle: Angle::of(angle, DEG),
        head: Velocity::from_si(speed * cos),
        cross: Velocity::from_si(speed * sin),
    };
    trace.step(|| {
        Step::new("wind components", "head = W cos a; cross = W sin a, positive from the right")
            .with("runway", runway)
            .with("wind from", wind.from)
            .with("W", wind.speed)
            .gives("a", components.angle)
            .gives("head", components.head)
            .gives("cross", components.cross)
            .from(source::PHAK_WIND)
    });
    Ok(components)
}

/// `GS = TAS cos WCA - head` for whoever has the components; NaN where the crosswind is stronger than
/// the airspeed. The range is the caller's: [`wind_triangle`] checks it.
#[must_use]
#[inline(always)]
pub fn over_ground(tas: Velocity, head: Velocity, cross: Velocity) -> Velocity {
    // The two factors keep the digits that 1 - sin^2 would lose near 90 degrees.
    Velocity {
        value: ((tas.value - cross.value) * (tas.value + cross.value)).sqrt() - head.value,
        ..tas
    }
}

/// Heading and groundspeed that hold `course` in `wind`.
///
/// # Errors
///
/// [`OutOfRange`] outside [`DIRECTION`], [`WIND_SPEED`] or [`AIRSPEED`].
pub fn wind_triangle(
    course: Angle,
    airspeed: Velocity,
    wind: Wind,
    trace: &mut impl Trace,
) -> Result<Triangle, OutOfRange> {
    let tas = AIRSPEED.check(airspeed)?.si();
    let components = runway_wind(course, wind, trace)?;
    let cross = components.cross.si();
    let answer = if cross.abs() >= tas {
        Triangle::CannotBeFlown(Hindrance::Crosswind)
    } else {
        let correction = (cross / tas).asin().to_degrees();
        let groundspeed = over_ground(airspeed, components.head, components.cross).value;
        if groundspeed > 0.0 {
            Triangle::Flown(Solution {
                correction: Angle::of(correction, DEG),
                heading: Angle::of(full_circle(course.count(DEG) + correction), DEG),
                groundspeed: Velocity::from_si(groundspeed),
            })
        } else {
            Triangle::CannotBeFlown(Hindrance::NoProgress)
        }
    };
    trace.step(|| {
        let formula = "WCA = asin(cross / TAS); TH = TC + WCA; GS = TAS cos WCA - head";
        let step = Step::new("wind triangle", formula)
            .with("TC", course)
            .with("TAS", airspeed)
            .with("head", components.head)
            .with("cross", components.cross)
            .from(source::WIND_ALGEBRA);
        match answer {
            Triangle::Flown(solution) => step
                .gives("WCA", solution.correction)
                .gives("TH", solution.heading)
                .gives("GS", solution.groundspeed),
            Triangle::CannotBeFlown(Hindrance::Crosswind) => {
                step.remark("cannot be flown: the crosswind is not below the airspeed")
            }
            Triangle::CannotBeFlown(Hindrance::NoProgress) => {
                step.remark("cannot be flown: no progress over the ground")
            }
        }
    });
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::{Silent, Working};

    fn degrees(d: f64) -> Angle {
        Angle::of(d, DEG)
    }

    fn knots(v: f64) -> Velocity {
        Velocity::of(v, KT)
    }

    fn on_runway(runway: f64, from: f64, speed: f64) -> Components {
        let wind = Wind { from: degrees(from), speed: knots(speed) };
        runway_wind(degrees(runway), wind, &mut Silent).unwrap()
    }

    fn triangle(course: f64, tas: f64, from: f64, speed: f64) -> Triangle {
        let wind = Wind { from: degrees(from), speed: knots(speed) };
        wind_triangle(degrees(course), knots(tas), wind, &mut Silent).unwrap()
    }

    fn flown(course: f64, tas: f64, from: f64, speed: f64) -> Solution {
        match triangle(course, tas, from, speed) {
            Triangle::Flown(solution) => solution,
            other => panic!("{course} {tas} {from}/{speed}: {other:?}"),
        }
    }

    #[test]
    fn components_equal_exact_arithmetic() {
        let wind = on_runway(173.0, 217.0, 23.0);
        assert!((wind.head.count(KT) - 16.544_815_407_788_98).abs() < 1e-12, "{wind:?}");
        assert!((wind.cross.count(KT) - 15.977_142_520_556_94).abs() < 1e-12, "{wind:?}");
        assert_eq!(wind.side(), Side::Right);
    }

    #[test]
    fn triangle_equals_exact_arithmetic() {
        let got = flown(98.0, 104.0, 217.0, 31.0);
        assert!((got.correction.count(DEG) - 15.111_836_206_511_58).abs() < 1e-11, "{got:?}");
        assert!((got.heading.count(DEG) - 113.111_836_206_511_58).abs() < 1e-11, "{got:?}");
        assert!((got.groundspeed.count(KT) - 115.432_652_913_394_2).abs() < 1e-11, "{got:?}");
    }

    /// Sample problem 10: runway 17, wind 140 at 25; the chart is read to 1 kt.
    #[test]
    fn phak_crosswind_chart_agrees_within_its_reading() {
        let wind = on_runway(170.0, 140.0, 25.0);
        assert!((wind.angle.count(DEG) + 30.0).abs() < 1e-9);
        assert!((wind.head.count(KT) - 22.0).abs() < 1.0, "{wind:?}");
        assert!((wind.cross.count(KT).abs() - 13.0).abs() < 1.0, "{wind:?}");
        assert_eq!(wind.side(), Side::Left);
    }

    /// The dead-reckoning example: course 090, 120 kt, wind 045 at 40.
    #[test]
    fn phak_dead_reckoning_agrees_within_whole_knots_and_degrees() {
        let got = flown(90.0, 120.0, 45.0, 40.0);
        assert!((got.groundspeed.count(KT) - 88.0).abs() < 1.0, "{got:?}");
        assert!((got.correction.count(DEG) + 14.0).abs() < 1.0, "{got:?}");
        assert!((got.heading.count(DEG) - 76.0).abs() < 1.0, "{got:?}");
    }

    #[test]
    fn a_wind_straight_down_the_runway_has_no_side() {
        for (runway, from, head) in
            [(170.0, 170.0, 20.0), (170.0, 350.0, -20.0), (360.0, 0.0, 20.0), (90.0, -270.0, 20.0)]
        {
            let wind = on_runway(runway, from, 20.0);
            assert_eq!(wind.side(), Side::Neither, "{runway} {from}: {wind:?}");
            assert!((wind.head.count(KT) - head).abs() < 1e-9, "{runway} {from}: {wind:?}");
        }
        for runway in 0..=360 {
            let runway = f64::from(runway);
            let wind = on_runway(runway, (runway + 180.0) % 360.0, 60.0);
            assert_eq!(wind.side(), Side::Neither, "{runway}: {wind:?}");
        }
        let breath = on_runway(0.0, 1e-6, 10.0);
        assert_eq!(breath.side(), Side::Right, "{breath:?}");
        let calm = on_runway(123.0, 45.0, 0.0);
        assert_eq!(calm.side(), Side::Neither);
    }

    #[test]
    fn heading_starts_again_at_north() {
        let got = flown(360.0, 80.0, 180.0, 15.0);
        assert!(got.heading.si().abs() < 1e-12 && got.correction.si().abs() < 1e-12, "{got:?}");
        assert!((flown(358.0, 100.0, 88.0, 10.0).heading.count(DEG) - 3.739).abs() < 1e-3);
    }

    #[test]
    fn what_cannot_be_flown_is_a_value_on_both_sides_of_its_edge() {
        let across = Triangle::CannotBeFlown(Hindrance::Crosswind);
        let still = Triangle::CannotBeFlown(Hindrance::NoProgress);
        assert_eq!(triangle(90.0, 40.0, 0.0, 55.0), across);
        assert_eq!(triangle(90.0, 40.0, 0.0, 40.0), across);
        assert!(matches!(triangle(90.0, 40.0, 0.0, 39.9), Triangle::Flown(_)));
        assert_eq!(triangle(90.0, 40.0, 90.0, 40.0), still);
        assert!(matches!(triangle(90.0, 40.0, 90.0, 39.9), Triangle::Flown(_)));
        assert_eq!(triangle(90.0, 0.0, 90.0, 0.0), across);
    }

    #[test]
    fn every_bound_from_both_sides() {
        for (course, tas, from, speed, ok) in [
            (360.0, 100.0, 0.0, 10.0, true),
            (360.1, 100.0, 0.0, 10.0, false),
            (-360.1, 100.0, 0.0, 10.0, false),
            (0.0, 600.0, 0.0, 10.0, true),
            (0.0, 600.1, 0.0, 10.0, false),
            (0.0, -0.1, 0.0, 10.0, false),
            (0.0, 100.0, 360.1, 10.0, false),
            (0.0, 100.0, 0.0, 250.0, true),
            (0.0, 100.0, 0.0, 250.1, false),
            (0.0, 100.0, 0.0, -0.1, false),
            (f64::NAN, 100.0, 0.0, 10.0, false),
            (0.0, f64::INFINITY, 0.0, 10.0, false),
            (0.0, 100.0, f64::NAN, 10.0, false),
            (0.0, 100.0, 0.0, f64::NAN, false),
        ] {
            let wind = Wind { from: degrees(from), speed: knots(speed) };
            let got = wind_triangle(degrees(course), knots(tas), wind, &mut Silent);
            assert_eq!(got.is_ok(), ok, "{course} {tas} {from}/{speed}");
        }
    }

    #[test]
    fn the_working_says_why_a_course_cannot_be_flown() {
        let mut working = Working::default();
        let wind = Wind { from: degrees(0.0), speed: knots(55.0) };
        wind_triangle(degrees(90.0), knots(40.0), wind, &mut working).unwrap();
        assert!(working.steps[1].remark.as_deref().unwrap().contains("crosswind"));
        assert!(working.steps[1].gives.is_empty());
    }

    proptest! {
        #[test]
        fn air_vector_plus_wind_vector_is_the_ground_vector(
            course in 0.0..360.0_f64, tas in 40.0..200.0_f64,
            from in 0.0..360.0_f64, speed in 0.0..39.0_f64,
        ) {
            let got = flown(course, tas, from, speed);
            let vector = |deg: f64, v: f64| {
                let (sin, cos) = deg.to_radians().sin_cos();
                (v * sin, v * cos)
            };
            let (air, wind) = (vector(got.heading.count(DEG), tas), vector(from, -speed));
            let ground = vector(course, got.groundspeed.count(KT));
            prop_assert!((air.0 + wind.0 - ground.0).abs() < 1e-9);
            prop_assert!((air.1 + wind.1 - ground.1).abs() < 1e-9);
        }

        #[test]
        fn the_other_end_of_the_runway_turns_both_signs(
            runway in 0.0..180.0_f64, from in 0.0..360.0_f64, speed in 0.0..60.0_f64,
        ) {
            let one = on_runway(runway, from, speed);
            let other = on_runway(runway + 180.0, from, speed);
            prop_assert!((one.head + other.head).si().abs() < 1e-9);
            prop_assert!((one.cross + other.cross).si().abs() < 1e-9);
        }
    }
}
