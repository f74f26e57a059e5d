//! How long a battery lasts without charging.
//!
//! # Formula
//!
//! ```text
//! t = H (C / (I H))^k               Peukert, referred to the rating    [peukert-1897]
//! k = ln(H1 / H2) / ln(I2 / I1)     from two ratings, I = C / H
//! s C                               usable: s is the product of the shares given
//! t = least of H (s C / (I H))^k and s C / I                           endurance
//! t cruise = (s C - sum of I t of the fixed loads) / I cruise          [battery-load-analysis]
//! ```
//!
//! The law is also written `t = C / I^k`. That is the same law for a battery rated at one ampere,
//! and for no other: of 100 Ah over 20 h, with `k = 1.2`, it answers 14.5 h at the 5 A at which
//! the battery lasts 20 h by its own rating. It is not offered; give `H = C / 1 A` to have it.
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted | whose limit |
//! |---|---|---|---|---|
//! | `C`, `H` | rated capacity, and the time of the rating | Ah, h | 0.1 to 1000, 0.05 to 1000 | ours |
//! | `I` | current | A | above 0 (0.001) to 1000 | ours |
//! | `k` | exponent | 1 | 1 to 2 | 1 is the ideal battery |
//! | `s` | each share: by temperature, by age | 1 | 0.01 to 1 | ours |
//! | `t` | time of a fixed load | min | 0 to 1440 | ours |
//!
//! # Accuracy
//!
//! The law is a fit to lead-acid batteries near the currents of their ratings, from full to flat
//! at 25 degC. Below the rated current it promises more than the rated capacity; endurance never
//! counts that. The shares are of the capacity, and stand inside the power of `k`, which is the
//! shorter answer. Lithium batteries end at once and follow another law.
//!
//! # Left out on purpose
//!
//! What a battery really holds after a start by hand: nobody knows, and an alternator may not come
//! on line without field current from it. Which equipment then is lost is for the documents of the
//! aeroplane. The voltage at the end, loads that come and go, wiring.
//!
//! # Sources
//!
//! `peukert-1897`, `battery-load-analysis`.

use std::fmt;

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{ElectricCharge, ElectricCurrent, FromAmount, Ratio, Time},
    source,
    trace::{Step, Trace},
    unit::{A, AH, H, MIN, ONE},
};

/// Accepted capacities.
pub const CAPACITY: Bounds = Bounds::new("rated capacity", 0.1, 1000.0, AH);
/// Accepted times of a rating.
pub const RATED_TIME: Bounds = Bounds::new("time of the rating", 0.05, 1000.0, H);
/// Accepted currents.
pub const CURRENT: Bounds = Bounds::new("current", 1e-3, 1000.0, A);
/// Accepted exponents.
pub const EXPONENT: Bounds = Bounds::new("exponent of the battery", 1.0, 2.0, ONE);
/// Accepted shares of the capacity.
pub const SHARE: Bounds = Bounds::new("usable share of the capacity", 0.01, 1.0, ONE);
/// Accepted currents of a fixed load.
pub const FIXED: Bounds = Bounds::new("current of a fixed load", 0.0, 1000.0, A);
/// Accepted times of a fixed load.
pub const FIXED_TIME: Bounds = Bounds::new("time of a fixed load", 0.0, 1440.0, MIN);

/// Why there is no answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BatteryError {
    /// Two ratings of the same current say nothing of the exponent.
    SameCurrent,
    /// The fixed loads alone take more than there is.
    FixedTakeAll,
    /// An input outside its range.
    OutOfRange(OutOfRange),
}

impl From<OutOfRange> for BatteryError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl fmt::Display for BatteryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SameCurrent => f.write_str("both ratings are of the same current"),
            Self::FixedTakeAll => f.write_str("the fixed loads take more than the battery holds"),
            Self::OutOfRange(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for BatteryError {}

/// What a battery is rated at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Its capacity.
    pub capacity: ElectricCharge,
    /// The time over which it gives that.
    pub time: Time,
}

impl Rating {
    fn checked(&self) -> Result<(f64, f64), OutOfRange> {
        Ok((CAPACITY.check(self.capacity)?.si(), RATED_TIME.check(self.time)?.si()))
    }
}

/// How long a battery gives a current, by the law alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharge {
    /// The time.
    pub time: Time,
    /// All it gives in that time; more than rated below the rated current.
    pub delivered: ElectricCharge,
}

/// How long a full battery gives a current, by the law referred to its rating.
///
/// # Errors
///
/// [`OutOfRange`] for [`CAPACITY`], [`RATED_TIME`], [`CURRENT`] or [`EXPONENT`].
pub fn peukert(
    rating: &Rating,
    current: ElectricCurrent,
    exponent: Ratio,
    trace: &mut impl Trace,
) -> Result<Discharge, OutOfRange> {
    let (c, h) = rating.checked()?;
    let i = CURRENT.check(current)?.si();
    let k = EXPONENT.check(exponent)?.si();
    let time = Time::from_si(referred(c, h, i, k));
    let found = Discharge { time, delivered: current * time };
    trace.step(|| {
        let step = Step::new("discharge", "t = H (C / (I H))^k")
            .with("C", rating.capacity)
            .with("H", rating.time)
            .with("I", current)
            .with("k", exponent)
            .gives("t", time)
            .gives("delivered", found.delivered)
            .from(source::PEUKERT_1897);
        if i * h < c {
            step.remark("below the rated current: the law promises more than the rated capacity")
        } else {
            step
        }
    });
    Ok(found)
}

/// The bare law.
fn referred(c: f64, h: f64, i: f64, k: f64) -> f64 {
    h * (c / (i * h)).powf(k)
}

/// The exponent of a battery from two of its ratings.
///
/// # Errors
///
/// [`BatteryError::SameCurrent`]; [`CAPACITY`], [`RATED_TIME`]; [`EXPONENT`] when the two
/// contradict each other.
pub fn exponent(
    first: &Rating,
    second: &Rating,
    trace: &mut impl Trace,
) -> Result<Ratio, BatteryError> {
    let ((c1, h1), (c2, h2)) = (first.checked()?, second.checked()?);
    let currents = (c2 / h2) / (c1 / h1);
    if (currents - 1.0).abs() < 1e-9 {
        return Err(BatteryError::SameCurrent);
    }
    let k = EXPONENT.check(Ratio::from_si((h1 / h2).ln() / currents.ln()))?;
    trace.step(|| {
        Step::new("exponent", "k = ln(H1 / H2) / ln((C2 / H2) / (C1 / H1))")
            .with("C1", first.capacity)
            .with("H1", first.time)
            .with("C2", second.capacity)
            .with("H2", second.time)
            .gives("k", k)
            .from(source::PEUKERT_1897)
    });
    Ok(k)
}

/// Which parts of the rated capacity are there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shares {
    /// At this temperature.
    pub temperature: Ratio,
    /// At this age.
    pub age: Ratio,
}

/// How long a battery lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Endurance {
    /// What is usable of its capacity.
    pub usable: ElectricCharge,
    /// By the law, which may count more than that.
    pub by_law: Time,
    /// The time to count on: never more than `usable` in all.
    pub time: Time,
}

/// How long a battery lasts against a current, with what temperature and age leave of it.
///
/// # Errors
///
/// [`OutOfRange`] as for [`peukert`], and [`SHARE`].
pub fn endurance(
    rating: &Rating,
    shares: &Shares,
    current: ElectricCurrent,
    exponent: Ratio,
    trace: &mut impl Trace,
) -> Result<Endurance, OutOfRange> {
    let (c, h) = rating.checked()?;
    let i = CURRENT.check(current)?.si();
    let k = EXPONENT.check(exponent)?.si();
    let share = SHARE.check(shares.temperature)? * SHARE.check(shares.age)?.si();
    let usable = c * share.si();
    let by_law = referred(usable, h, i, k);
    let found = Endurance {
        usable: ElectricCharge::from_si(usable),
        by_law: Time::from_si(by_law),
        time: Time::from_si(by_law.min(usable / i)),
    };
    trace.step(|| {
        Step::new("endurance", "t = least of H (s C / (I H))^k and s C / I")
            .with("C", rating.capacity)
            .with("H", rating.time)
            .with("s", share)
            .with("I", current)
            .with("k", exponent)
            .gives("s C", found.usable)
            .gives("t", found.time)
            .from(source::PEUKERT_1897)
    });
    Ok(found)
}

/// A load that is on for a known time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fixed {
    /// Its current.
    pub current: ElectricCurrent,
    /// How long it is on.
    pub time: Time,
}

/// How a battery is shared out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Analysis {
    /// What is usable of its capacity.
    pub usable: ElectricCharge,
    /// What the fixed loads take.
    pub fixed: ElectricCharge,
    /// What is left for the cruise.
    pub left: ElectricCharge,
    /// How long that lasts.
    pub cruise: Time,
    /// Fixed loads and cruise together.
    pub total: Time,
}

/// How long an emergency battery lasts: known loads first, the rest over the load in cruise.
///
/// # Errors
///
/// [`BatteryError::FixedTakeAll`]; [`CAPACITY`], [`SHARE`], [`FIXED`], [`FIXED_TIME`] or
/// [`CURRENT`].
pub fn load_analysis(
    capacity: ElectricCharge,
    share: Ratio,
    fixed: &[Fixed],
    cruise: ElectricCurrent,
    trace: &mut impl Trace,
) -> Result<Analysis, BatteryError> {
    let usable = CAPACITY.check(capacity)? * SHARE.check(share)?;
    let cruise_current = CURRENT.check(cruise)?;
    let (mut taken, mut on) = (ElectricCharge::from_si(0.0), Time::from_si(0.0));
    for load in fixed {
        let takes = FIXED.check(load.current)? * FIXED_TIME.check(load.time)?;
        trace.step(|| {
            Step::new("fixed load", "I t")
                .with("I", load.current)
                .with("t", load.time)
                .gives("takes", takes)
                .from(source::BATTERY_ANALYSIS)
        });
        taken += takes;
        on += load.time;
    }
    if taken > usable {
        return Err(BatteryError::FixedTakeAll);
    }
    let left = usable - taken;
    let cruise = left / cruise_current;
    let found = Analysis { usable, fixed: taken, left, cruise, total: on + cruise };
    trace.step(|| {
        Step::new("rest over the cruise", "t cruise = (s C - sum of I t) / I cruise")
            .with("C", capacity)
            .with("s", share)
            .with("I cruise", cruise_current)
            .gives("s C", usable)
            .gives("left", left)
            .gives("t cruise", cruise)
            .gives("t", found.total)
            .from(source::BATTERY_ANALYSIS)
    });
    Ok(found)
}
