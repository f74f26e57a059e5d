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
