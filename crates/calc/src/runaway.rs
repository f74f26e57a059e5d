//! If it breaks loose with nobody at the controls: how fast, how far, how soon?
//!
//! # Formula
//!
//! ```text
//! a = T / m - c g                     nothing when the rolling resistance holds it
//! v = a t          s = a t^2 / 2
//! t = sqrt(2 s / a)    v = sqrt(2 a s)    at a distance
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `T` | thrust | N | 0 to 50 000 | ours |
//! | `m` | mass | kg | 50 to 10 000 | ours |
//! | `c` | rolling resistance, as a share of the weight | 1 | 0 to 0.5 | ours |
//! | `t` | time | s | 0 to 120 | ours |
//! | `s` | distance | m | 0 to 1000 | ours |
//!
//! # Accuracy
//!
//! A bound and not a forecast: the thrust of standing still is kept for good, while a real one
//! falls as the aeroplane gathers speed, and drag is left out. So it is never faster than this on
//! level ground, and reaches no place sooner. Downhill it may be.
//!
//! # Left out on purpose
//!
//! Slope, wind, obstacles, that it swings; the seconds in which somebody notices.
//!
//! # Sources
//!
//! `steady-force`; free fall from `icao-7488`.

use crate::{
    bounds::{Bounds, OutOfRange},
    constants::G0,
    quantity::{Acceleration, Force, FromAmount, Length, Mass, Ratio, Time, Velocity},
    source,
    trace::{Step, Trace},
    unit::{KG, M, N, ONE, S},
};

/// Accepted thrusts.
pub const THRUST: Bounds = Bounds::new("thrust", 0.0, 50_000.0, N);
/// Accepted masses of an aeroplane.
pub const MASS: Bounds = Bounds::new("mass of the aeroplane", 50.0, 10_000.0, KG);
/// Accepted rolling resistances.
pub const ROLLING: Bounds = Bounds::new("rolling resistance", 0.0, 0.5, ONE);
/// Accepted times.
pub const AFTER: Bounds = Bounds::new("time since it broke loose", 0.0, 120.0, S);
/// Accepted distances.
pub const AWAY: Bounds = Bounds::new("distance", 0.0, 1000.0, M);

/// An aeroplane that broke loose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loose {
    acceleration: Acceleration,
}

/// Where it is and how fast, or when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reached {
    /// Since it broke loose.
    pub time: Time,
    /// From where it stood.
    pub distance: Length,
    /// Its speed there.
    pub velocity: Velocity,
}

impl Loose {
    /// An aeroplane that its thrust moves against its rolling resistance.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`THRUST`], [`MASS`] or [`ROLLING`].
    pub fn new(
        thrust: Force,
        mass: Mass,
        rolling: Ratio,
        trace: &mut impl Trace,
    ) -> Result<Self, OutOfRange> {
        let pull = THRUST.check(thrust)?.si() / MASS.check(mass)?.si();
        let acceleration =
            Acceleration::from_si((pull - ROLLING.check(rolling)?.si() * G0).max(0.0));
        trace.step(|| {
            Step::new("acceleration", "a = T / m - c g")
                .with("T", thrust)
                .with("m", mass)
                .with("c", rolling)
                .gives("a", acceleration)
                .from(source::STEADY_FORCE)
                .remark("the thrust of standing still, kept for good: never faster on level ground")
        });
        Ok(Self { acceleration })
    }

    /// How fast it gathers speed; nothing when it stays.
    #[must_use]
    pub const fn acceleration(&self) -> Acceleration {
        self.acceleration
    }

    /// Where it is after a time.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`AFTER`].
    pub fn after(&self, time: Time, trace: &mut impl Trace) -> Result<Reached, OutOfRange> {
        let velocity = self.acceleration * AFTER.check(time)?;
        let found = Reached { time, distance: velocity * time * 0.5, velocity };
        trace.step(|| {
            Step::new("loose for a time", "v = a t, s = a t^2 / 2")
                .with("a", self.acceleration)
                .with("after", time)
                .gives("v", velocity)
                .gives("s", found.distance)
                .from(source::STEADY_FORCE)
        });
        Ok(found)
    }

    /// When it reaches a distance; `None` when it never does.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for [`AWAY`].
    pub fn at(
        &self,
        distance: Length,
        trace: &mut impl Trace,
    ) -> Result<Option<Reached>, OutOfRange> {
        let s = AWAY.check(distance)?.si();
        let a = self.acceleration.si();
        let found = (a > 0.0 || s <= 0.0).then(|| Reached {
            time: Time::from_si(if s > 0.0 { (2.0 * s / a).sqrt() } else { 0.0 }),
            distance,
            velocity: Velocity::from_si((2.0 * a * s).sqrt()),
        });
        trace.step(|| {
            let step = Step::new("loose to a distance", "t = sqrt(2 s / a), v = sqrt(2 a s)")
                .with("a", self.acceleration)
                .with("s", distance)
                .from(source::STEADY_FORCE);
            match &found {
                Some(found) => step.gives("after", found.time).gives("v", found.velocity),
                None => step.remark("it does not move"),
            }
        });
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{trace::Silent, unit::M_S};

    fn loose(thrust: f64, mass: f64, rolling: f64) -> Result<Loose, OutOfRange> {
        let (thrust, mass) = (Force::of(thrust, N), Mass::of(mass, KG));
        Loose::new(thrust, mass, Ratio::from_si(rolling), &mut Silent)
    }

    fn after(loose: &Loose, seconds: f64) -> Result<Reached, OutOfRange> {
        loose.after(Time::of(seconds, S), &mut Silent)
    }

    fn at(loose: &Loose, metres: f64) -> Result<Option<Reached>, OutOfRange> {
        loose.at(Length::of(metres, M), &mut Silent)
    }

    /// Fractions: 1950 / 520 - 0.05 * 9.80665 = 3.259 667 5 m/s2; roots by mpmath.
    #[test]
    fn running_away_equals_exact_arithmetic() {
        let loose = loose(1950.0, 520.0, 0.05).unwrap();
        assert!((loose.acceleration().si() - 3.259_667_5).abs() < 1e-14);
        let found = after(&loose, 3.0).unwrap();
        assert!((found.velocity.count(M_S) - 9.779_002_5).abs() < 1e-13);
        assert!((found.distance.si() - 14.668_503_75).abs() < 1e-13);
        let found = at(&loose, 15.0).unwrap().unwrap();
        assert!((found.time.si() - 3.033_709_392_364_505).abs() < 1e-13);
        assert!((found.velocity.si() - 9.888_883_910_735_326).abs() < 1e-13);
    }

    /// The table of free fall, from memory: 4.9, 19.6, 44.1 m after 1, 2, 3 s.
    #[test]
    fn a_thrust_equal_to_the_weight_falls_like_a_stone() {
        let loose = loose(980.665, 100.0, 0.0).unwrap();
        for (seconds, metres) in [(1.0, 4.9), (2.0, 19.6), (3.0, 44.1)] {
            let found = after(&loose, seconds).unwrap().distance.si();
            assert!((found - metres).abs() < 0.05, "{seconds}: {found}");
        }
    }

    #[test]
    fn what_rolling_resistance_holds_does_not_move() {
        let held = loose(200.0, 600.0, 0.08).unwrap();
        assert!(held.acceleration().si().abs() < 1e-300);
        assert_eq!(at(&held, 10.0).unwrap(), None);
        assert!(after(&held, 60.0).unwrap().distance.si().abs() < 1e-300);
        let here = at(&held, 0.0).unwrap().unwrap();
        assert!(here.time.si().abs() < 1e-300 && here.velocity.si().abs() < 1e-300);
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (thrust, mass, rolling, ok) in [
            (0.0, 50.0, 0.0, true),
            (50_000.0, 10_000.0, 0.5, true),
            (-0.1, 500.0, 0.05, false),
            (50_001.0, 500.0, 0.05, false),
            (1000.0, 49.9, 0.05, false),
            (1000.0, 10_001.0, 0.05, false),
            (1000.0, 500.0, -0.01, false),
            (1000.0, 500.0, 0.51, false),
            (f64::NAN, 500.0, 0.05, false),
            (1000.0, f64::INFINITY, 0.05, false),
        ] {
            assert_eq!(loose(thrust, mass, rolling).is_ok(), ok, "{thrust} {mass} {rolling}");
        }
        let loose = loose(1950.0, 520.0, 0.05).unwrap();
        for (seconds, ok) in
            [(0.0, true), (-0.1, false), (120.0, true), (120.1, false), (f64::NAN, false)]
        {
            assert_eq!(after(&loose, seconds).is_ok(), ok, "{seconds}");
        }
        for (metres, ok) in
            [(0.0, true), (-0.1, false), (1000.0, true), (1000.1, false), (f64::NAN, false)]
        {
            assert_eq!(at(&loose, metres).is_ok(), ok, "{metres}");
        }
    }

    proptest! {
        #[test]
        fn where_it_is_then_it_reaches_then(
            thrust in 500.0..5000.0_f64, mass in 300.0..900.0_f64, seconds in 0.5..15.0_f64,
        ) {
            let loose = loose(thrust, mass, 0.02).unwrap();
            let then = after(&loose, seconds).unwrap();
            prop_assume!(then.distance.si() <= 1000.0);
            let there = at(&loose, then.distance.si()).unwrap().unwrap();
            prop_assert!((there.time.si() / seconds - 1.0).abs() < 1e-12);
            prop_assert!((there.velocity.si() / then.velocity.si() - 1.0).abs() < 1e-12);
        }

        #[test]
        fn more_thrust_never_reaches_later(
            thrust in 500.0..4000.0_f64, more in 0.0..1000.0_f64, metres in 1.0..100.0_f64,
        ) {
            let one = at(&loose(thrust, 600.0, 0.02).unwrap(), metres).unwrap().unwrap();
            let two = at(&loose(thrust + more, 600.0, 0.02).unwrap(), metres).unwrap().unwrap();
            prop_assert!(two.time <= one.time);
        }
    }
}
