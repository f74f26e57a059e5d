//! Mass and balance: how heavy the aeroplane is and where it balances.
//!
//! # Formula
//!
//! Moments about the datum add like masses; the centre of gravity is their quotient:
//!
//! ```text
//! M = sum(m_i x_i)      x = M / sum(m_i)
//! shift    x' = x + m (b - a) / W            mass m moved from arm a to arm b
//! add      x' = (W x + m a) / (W + m)        mass m added at arm a
//! change   dx = m (b - a) / W                the same shift, whatever x was
//! ballast  m  = W (x_t - x) / (a - x_t)      mass at arm a that brings x to x_t
//! room     m  = W_max - W                    mass that may still be added
//! %MAC     p  = (x - lemac) / mac
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted |
//! |---|---|---|---|
//! | `m`, `W` | mass | kg | 0 to 600 000 (ours: beyond any aeroplane) |
//! | `x`, `a`, `b` | arm from the datum, aft positive | m | -100 to 100 (ours) |
//! | `mac` | mean aerodynamic chord | m | 0.1 to 20 (ours) |
//!
//! # Left out on purpose
//!
//! Rounding of each moment to whole lb in, which some printed examples do; see the
//! tolerances of the reference cases.
//!
//! # Sources
//!
//! - `[phak-balance]` FAA-H-8083-25, chapter 10: computation method, shift, addition.
//! - `[faa-8083-1]` FAA-H-8083-1, ballast and per cent of mean aerodynamic chord.

use std::{
    fmt,
    ops::{Add, Sub},
};

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{FromAmount, Length, Mass, Moment, Ratio},
    source,
    trace::{Step, Trace},
    unit,
};

/// Accepted masses.
pub const MASS: Bounds = Bounds::new("mass", 0.0, 600_000.0, unit::KG);
/// Accepted arms, longitudinal or lateral.
pub const ARM: Bounds = Bounds::new("arm", -100.0, 100.0, unit::M);
/// Accepted mean aerodynamic chords.
pub const CHORD: Bounds = Bounds::new("mean aerodynamic chord", 0.1, 20.0, unit::M);

/// Masses added up with their moments about the datum and the plane of symmetry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loading {
    /// Total mass.
    pub mass: Mass,
    /// Moment about the datum, aft positive.
    pub moment: Moment,
    /// Moment about the plane of symmetry, right positive.
    pub lateral_moment: Moment,
}

/// Why a loading has no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum LoadError {
    /// There is no mass to balance.
    NoMass,
    /// The arm of the ballast, or of the added mass, is at the target itself or on the side
    /// of it where adding mass cannot help.
    CannotHelp,
    /// More mass is moved than there is.
    MoreThanThereIs,
    /// The mass is already above its limit.
    OverAlready,
    /// An input outside its range.
    OutOfRange(OutOfRange),
}

impl From<OutOfRange> for LoadError {
    fn from(error: OutOfRange) -> Self {
        Self::OutOfRange(error)
    }
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoMass => f.write_str("there is no mass, so there is no centre of gravity"),
            Self::CannotHelp => f.write_str("a mass at that arm cannot bring the balance there"),
            Self::MoreThanThereIs => f.write_str("more mass is moved than there is"),
            Self::OverAlready => f.write_str("the mass is already above its limit"),
            Self::OutOfRange(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for LoadError {}

/// Both loadings together.
impl Add for Loading {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            mass: self.mass + other.mass,
            moment: self.moment + other.moment,
            lateral_moment: self.lateral_moment + other.lateral_moment,
        }
    }
}

/// What is left when the other is taken off.
impl Sub for Loading {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            mass: self.mass - other.mass,
            moment: self.moment - other.moment,
            lateral_moment: self.lateral_moment - other.lateral_moment,
        }
    }
}

impl Loading {
    /// Nothing at all.
    #[must_use]
    pub fn empty() -> Self {
        Self {
            mass: Mass::from_si(0.0),
            moment: Moment::from_si(0.0),
            lateral_moment: Moment::from_si(0.0),
        }
    }

    /// This loading with `mass` added at `arm` and `lateral` arm (right positive).
    #[must_use]
    pub fn add(self, mass: Mass, arm: Length, lateral: Length) -> Self {
        Self {
            mass: self.mass + mass,
            moment: self.moment + mass * arm,
            lateral_moment: self.lateral_moment + mass * lateral,
        }
    }

    /// This loading with `mass` taken off at `arm` and `lateral` arm.
    #[must_use]
    pub fn remove(self, mass: Mass, arm: Length, lateral: Length) -> Self {
        self.add(-mass, arm, lateral)
    }

    /// This loading with `mass` moved along the aeroplane.
    #[must_use]
    pub fn shift(self, mass: Mass, from: Length, to: Length) -> Self {
        Self { moment: self.moment + mass * (to - from), ..self }
    }

    /// Arm of the centre of gravity.
    ///
    /// # Errors
    ///
    /// [`LoadError::NoMass`] when nothing is loaded.
    pub fn centre_of_gravity(self, trace: &mut impl Trace) -> Result<Length, LoadError> {
        let arm = self.over_mass(self.moment)?;
        trace.step(|| {
            Step::new("centre of gravity", "x = M / W")
                .with("M", self.moment)
                .with("W", self.mass)
                .gives("x", arm)
                .from(source::PHAK_BALANCE)
        });
        Ok(arm)
    }

    /// Lateral arm of the centre of gravity, right positive.
    ///
    /// # Errors
    ///
    /// [`LoadError::NoMass`] when nothing is loaded.
    pub fn lateral_centre_of_gravity(self) -> Result<Length, LoadError> {
        self.over_mass(self.lateral_moment)
    }

    fn over_mass(self, moment: Moment) -> Result<Length, LoadError> {
        if self.mass.value > 0.0 { Ok(moment / self.mass) } else { Err(LoadError::NoMass) }
    }
}

/// The centre of gravity as a share of the mean aerodynamic chord behind its leading edge.
///
/// # Errors
///
/// [`OutOfRange`] when the chord is outside [`CHORD`].
pub fn percent_mac(
    arm: Length,
    leading_edge: Length,
    chord: Length,
    trace: &mut impl Trace,
) -> Result<Ratio, OutOfRange> {
    let share = (ARM.check(arm)? - ARM.check(leading_edge)?) / CHORD.check(chord)?;
    trace.step(|| {
        Step::new("share of mean aerodynamic chord", "p = (x - lemac) / mac")
            .with("x", arm)
            .with("lemac", leading_edge)
            .with("mac", chord)
            .gives("p", share)
            .from(source::FAA_8083_1)
    });
    Ok(share)
}

/// The change of the centre of gravity when `moved` of `mass` goes from one arm to another.
///
/// # Errors
///
/// [`LoadError::NoMass`], [`LoadError::MoreThanThereIs`], or a value outside [`MASS`] or
/// [`ARM`].
pub fn shift_change(
    mass: Mass,
    moved: Mass,
    from: Length,
    to: Length,
    trace: &mut impl Trace,
) -> Result<Length, LoadError> {
    let (mass, moved) = (MASS.check(mass)?, MASS.check(moved)?);
    if mass.value <= 0.0 {
        return Err(LoadError::NoMass);
    }
    if moved > mass {
        return Err(LoadError::MoreThanThereIs);
    }
    let change = (ARM.check(to)? - ARM.check(from)?) * (moved / mass);
    trace.step(|| {
        Step::new("change of the centre of gravity", "dx = m (b - a) / W")
            .with("m", moved)
            .with("a", from)
            .with("b", to)
            .with("W", mass)
            .gives("dx", change)
            .from(source::PHAK_BALANCE)
    });
    Ok(change)
}

/// The ballast at `ballast_arm` that brings the centre of gravity to `target`.
///
/// # Errors
///
/// [`LoadError::CannotHelp`] when that would take a negative or endless mass.
pub fn ballast(
    loading: Loading,
    target: Length,
    ballast_arm: Length,
    trace: &mut impl Trace,
) -> Result<Mass, LoadError> {
    mass_at("ballast", loading, target, ballast_arm, trace)
}

/// The mass at `arm` that balances what is loaded about `target`.
fn mass_at(
    what: &'static str,
    loading: Loading,
    target: Length,
    arm: Length,
    trace: &mut impl Trace,
) -> Result<Mass, LoadError> {
    ARM.check(target)?;
    ARM.check(arm)?;
    let now = loading.centre_of_gravity(trace)?;
    let lever = arm - target;
    let mass = loading.mass.value * (target - now).value / lever.value;
    if !mass.is_finite() || mass < 0.0 {
        return Err(LoadError::CannotHelp);
    }
    let mass = Mass::from_si(mass);
    trace.step(|| {
        Step::new(what, "m = W (xt - x) / (a - xt)")
            .with("W", loading.mass)
            .with("xt", target)
            .with("x", now)
            .with("a", arm)
            .gives("m", mass)
            .from(source::FAA_8083_1)
    });
    Ok(mass)
}

/// The greatest mass that can be added at `added_arm` before the centre of gravity reaches
/// `limit`; the same balance of moments as [`ballast`].
///
/// # Errors
///
/// [`LoadError::CannotHelp`] when adding there moves the balance away from the limit, so
/// that this limit sets no greatest mass.
pub fn greatest_added_mass(
    loading: Loading,
    limit: Length,
    added_arm: Length,
    trace: &mut impl Trace,
) -> Result<Mass, LoadError> {
    mass_at("mass that brings the balance to its limit", loading, limit, added_arm, trace)
}

/// The mass that can be added before the total reaches `greatest`.
///
/// # Errors
///
/// [`LoadError::OverAlready`] when the total is above it.
pub fn room_for_mass(
    loading: Loading,
    greatest: Mass,
    trace: &mut impl Trace,
) -> Result<Mass, LoadError> {
    let room = MASS.check(greatest)? - MASS.check(loading.mass)?;
    if room.value < 0.0 {
        return Err(LoadError::OverAlready);
    }
    trace.step(|| {
        Step::new("mass that may still be added", "m = Wmax - W")
            .with("Wmax", greatest)
            .with("W", loading.mass)
            .gives("m", room)
            .from(source::PHAK_BALANCE)
    });
    Ok(room)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::Silent;

    fn m(value: f64) -> Length {
        Length::from_si(value)
    }

    fn kg(value: f64) -> Mass {
        Mass::from_si(value)
    }

    fn of(items: &[(f64, f64)]) -> Loading {
        items.iter().fold(Loading::empty(), |sum, (mass, arm)| sum.add(kg(*mass), m(*arm), m(0.0)))
    }

    /// Exact decimal arithmetic: 3320 and 281430 give 84.768 072 289 156 63.
    #[test]
    fn phak_computation_method_equals_exact_arithmetic() {
        let items = [(2100.0, 78.3), (340.0, 85.0), (350.0, 121.0), (450.0, 75.0), (80.0, 150.0)];
        let loading = of(&items);
        assert!((loading.mass.value - 3320.0).abs() < 1e-9);
        assert!((loading.moment.value - 281_430.0).abs() < 1e-7);
        let arm = loading.centre_of_gravity(&mut Silent).unwrap();
        assert!((arm.value - 84.768_072_289_156_63).abs() < 1e-12);
    }

    /// Exact fractions: 180 (142 - 110) / 2700 = 32/15; 100 (150 - 30) / 8000 = 3/2,
    /// both in hundredths here.
    #[test]
    fn shift_change_equals_exact_arithmetic_and_refuses_more_than_there_is() {
        let change =
            |mass, moved, from, to| shift_change(kg(mass), kg(moved), m(from), m(to), &mut Silent);
        assert!((change(2700.0, 180.0, 1.10, 1.42).unwrap().value - 0.32 / 15.0).abs() < 1e-15);
        assert!((change(8000.0, 100.0, 0.30, 1.50).unwrap().value - 0.015).abs() < 1e-15);
        assert!((change(100.0, 100.0, 1.0, 2.0).unwrap().value - 1.0).abs() < 1e-15);
        assert_eq!(change(100.0, 100.1, 1.0, 2.0), Err(LoadError::MoreThanThereIs));
        assert_eq!(change(0.0, 0.0, 1.0, 2.0), Err(LoadError::NoMass));
        for (moved, arm) in [(-1.0, 1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY), (1.0, 100.1)] {
            assert!(matches!(change(100.0, moved, arm, 2.0), Err(LoadError::OutOfRange(_))));
        }
    }

    #[test]
    fn room_for_mass_on_both_sides_of_the_limit() {
        let loading = of(&[(2195.0, 1.1)]);
        let room = |greatest| room_for_mass(loading, kg(greatest), &mut Silent);
        assert!((room(2300.0).unwrap().value - 105.0).abs() < 1e-9);
        assert_eq!(room(2195.0), Ok(kg(0.0)));
        assert_eq!(room(2194.9), Err(LoadError::OverAlready));
        assert!(matches!(room(f64::NAN), Err(LoadError::OutOfRange(_))));
    }

    #[test]
    fn nothing_loaded_has_no_balance() {
        assert_eq!(Loading::empty().centre_of_gravity(&mut Silent), Err(LoadError::NoMass));
    }

    #[test]
    fn ballast_on_the_wrong_side_cannot_help() {
        let loading = of(&[(1876.0, 32.2)]);
        assert_eq!(ballast(loading, m(33.0), m(20.0), &mut Silent), Err(LoadError::CannotHelp));
        assert_eq!(ballast(loading, m(33.0), m(33.0), &mut Silent), Err(LoadError::CannotHelp));
    }

    #[test]
    fn chord_bounds_from_both_sides() {
        for (chord, ok) in
            [(0.1, true), (0.099, false), (20.0, true), (20.1, false), (f64::NAN, false)]
        {
            assert_eq!(percent_mac(m(2.0), m(1.0), m(chord), &mut Silent).is_ok(), ok, "{chord}");
        }
    }

    proptest! {
        /// Moving the datum moves every arm and the answer by the same length.
        #[test]
        fn datum_is_free(
            items in prop::collection::vec((1.0..500.0f64, -3.0..9.0f64), 1..12),
            datum in -20.0..20.0f64,
        ) {
            let here = of(&items).centre_of_gravity(&mut Silent).unwrap();
            let moved: Vec<_> = items.iter().map(|(mass, arm)| (*mass, arm - datum)).collect();
            let there = of(&moved).centre_of_gravity(&mut Silent).unwrap();
            prop_assert!((here.value - datum - there.value).abs() < 1e-9);
        }

        /// Ballast of the computed mass lands on the target.
        #[test]
        fn ballast_reaches_its_target(
            mass in 300.0..3000.0f64, arm in 0.5..3.0f64,
            step in 0.01..0.4f64, reach in 0.5..5.0f64, aft in any::<bool>(),
        ) {
            let sign = if aft { 1.0 } else { -1.0 };
            let target = m(arm + sign * step);
            let place = m(arm + sign * (step + reach));
            let loading = of(&[(mass, arm)]);
            let added = ballast(loading, target, place, &mut Silent).unwrap();
            let after = loading.add(added, place, m(0.0)).centre_of_gravity(&mut Silent).unwrap();
            prop_assert!((after - target).value.abs() < 1e-9);
        }

        /// A shift is a change of the centre of gravity, whatever it was before.
        #[test]
        fn shift_and_its_change_agree(
            mass in 300.0..3000.0f64, arm in -2.0..4.0f64,
            share in 0.0..1.0f64, from in -3.0..9.0f64, to in -3.0..9.0f64,
        ) {
            let loading = of(&[(mass, arm)]);
            let moved = kg(mass * share);
            let after = loading.shift(moved, m(from), m(to)).centre_of_gravity(&mut Silent).unwrap();
            let change = shift_change(kg(mass), moved, m(from), m(to), &mut Silent).unwrap();
            prop_assert!((after.value - arm - change.value).abs() < 1e-9);
        }

        /// Loadings add up like their items, and what is taken off again is gone.
        #[test]
        fn loadings_add_and_subtract(
            one in prop::collection::vec((1.0..500.0f64, -3.0..9.0f64), 1..6),
            two in prop::collection::vec((1.0..500.0f64, -3.0..9.0f64), 1..6),
        ) {
            let both: Vec<_> = one.iter().chain(&two).copied().collect();
            let (sum, all) = (of(&one) + of(&two), of(&both));
            prop_assert!((sum.moment - all.moment).value.abs() < 1e-8);
            prop_assert!(((sum - of(&two)).mass - of(&one).mass).value.abs() < 1e-9);
            prop_assert!(((sum - of(&two)).moment - of(&one).moment).value.abs() < 1e-8);
        }

        /// What is added and taken off again leaves no trace.
        #[test]
        fn add_and_remove_undo_each_other(mass in 1.0..500.0f64, arm in -3.0..9.0f64) {
            let loading = of(&[(1000.0, 1.1)]);
            let back = loading.add(kg(mass), m(arm), m(0.3)).remove(kg(mass), m(arm), m(0.3));
            prop_assert!((back.mass - loading.mass).value.abs() < 1e-9);
            prop_assert!((back.moment - loading.moment).value.abs() < 1e-9);
        }
    }
}
