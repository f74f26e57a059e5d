//! What a strip asks of a distance: the manual's corrections, the pack's factors, and how
//! much of the wind may be counted.
//!
//! # Formula
//!
//! ```text
//! correction   k = 1 + change * (amount / per)         "10 % for each 12 kt"
//! graded       f = f1 + (f2 - f1) (m - m1) / (m2 - m1)  held at both ends
//! wind         w = credit * headwind,  or  charge * tailwind
//! required     chart * k1 * k2 * ... * f
//! ```
//!
//! # Units and accepted range
//!
//! | Symbol | Quantity | Unit | Accepted (ours) |
//! |---|---|---|---|
//! | `change` | change of distance | % | -90 to 300 |
//! | `amount / per` | how many steps | 1 | 0 to 100 |
//! | `k`, `f` | factor on a distance | 1 | 0.1 to 10 |
//! | `credit`, `charge` | share of the wind counted | % | 0 to 300 |
//!
//! A correction that would leave nothing of the distance is refused, not used.
//!
//! # Left out on purpose
//!
//! Choice of factors: manuals and rule packs give them; this module only multiplies.
//!
//! # Sources
//!
//! - `[phak-performance]` FAA-H-8083-25, performance chapter: corrections in per cent.
//! - `[cat-pol-a-400]` wind credit, the form of the rule; the figures come from packs.

use crate::{
    bounds::{Bounds, OutOfRange},
    quantity::{FromAmount, Length, Mass, Ratio, Velocity},
    source,
    trace::{Step, Trace},
    unit,
};

/// Accepted changes of a distance for one step.
pub const CHANGE: Bounds = Bounds::new("change of distance", -90.0, 300.0, unit::PERCENT);
/// Accepted numbers of steps.
pub const STEPS: Bounds = Bounds::new("steps of a correction", 0.0, 100.0, unit::ONE);
/// Accepted factors on a distance.
pub const FACTOR: Bounds = Bounds::new("factor on a distance", 0.1, 10.0, unit::ONE);
/// Accepted shares of the wind.
pub const WIND_SHARE: Bounds = Bounds::new("share of the wind", 0.0, 300.0, unit::PERCENT);
/// Accepted distances on a strip.
pub const DISTANCE: Bounds = Bounds::new("distance on the strip", 0.0, 20_000.0, unit::M);

/// The factor of a correction of `change` for each of `steps`.
///
/// # Errors
///
/// [`OutOfRange`] for [`CHANGE`], [`STEPS`], or a factor outside [`FACTOR`].
pub fn correction(
    what: &'static str,
    change: Ratio,
    steps: Ratio,
    trace: &mut impl Trace,
) -> Result<Ratio, OutOfRange> {
    let (change, steps) = (CHANGE.check(change)?, STEPS.check(steps)?);
    let factor = FACTOR.check(Ratio::from_si(1.0 + change.value * steps.value))?;
    trace.step(|| {
        Step::new(what, "k = 1 + change * (amount / per)")
            .with("change", change)
            .with("amount / per", steps)
            .gives("k", factor)
            .from(source::PHAK_PERFORMANCE)
    });
    Ok(factor)
}

/// A factor that changes with mass: linear between its points, held at both ends.
#[derive(Clone, Debug, PartialEq)]
pub struct GradedFactor {
    points: Vec<(Mass, Ratio)>,
}

impl GradedFactor {
    /// Checks points; masses rise, factors lie within [`FACTOR`].
    ///
    /// # Errors
    ///
    /// The place of the first point that is wrong, or 0 when there is none at all.
    pub fn new(points: Vec<(Mass, Ratio)>) -> Result<Self, usize> {
        if points.is_empty() {
            return Err(0);
        }
        let ok = |at: usize| {
            let (mass, factor) = points[at];
            mass.value.is_finite()
                && FACTOR.check(factor).is_ok()
                && (at == 0 || mass > points[at - 1].0)
        };
        match (0..points.len()).find(|at| !ok(*at)) {
            Some(at) => Err(at),
            None => Ok(Self { points }),
        }
    }

    /// The points, masses rising.
    #[must_use]
    pub fn points(&self) -> &[(Mass, Ratio)] {
        &self.points
    }

    /// The factor at `mass`; NaN for a mass that is none.
    #[must_use]
    pub fn at(&self, mass: Mass, trace: &mut impl Trace) -> Ratio {
        let above = self.points.partition_point(|point| point.0 <= mass);
        let factor = match (above.checked_sub(1).map(|at| self.points[at]), self.points.get(above))
        {
            (Some(low), Some(high)) => {
                let share = (mass - low.0) / (high.0 - low.0);
                low.1 + (high.1 - low.1) * share
            }
            (Some(last), None) => last.1,
            (None, Some(first)) if mass < first.0 => first.1,
            (None, _) => Ratio::from_si(f64::NAN),
        };
        trace.step(|| {
            Step::new("factor for this mass", "f = f1 + (f2 - f1) (m - m1) / (m2 - m1)")
                .with("m", mass)
                .gives("f", factor)
                .from(source::PLANE_GEOMETRY)
        });
        factor
    }
}

/// The wind along the strip that may be counted: part of a headwind, more than all of a
/// tailwind. Positive is a headwind.
///
/// # Errors
///
/// [`OutOfRange`] for [`WIND_SHARE`].
pub fn counted_wind(
    headwind: Velocity,
    credit: Ratio,
    charge: Ratio,
    trace: &mut impl Trace,
) -> Result<Velocity, OutOfRange> {
    let share = if headwind.value >= 0.0 { credit } else { charge };
    let counted = headwind * WIND_SHARE.check(share)?;
    trace.step(|| {
        Step::new("wind that may be counted", "w = credit * headwind, or charge * tailwind")
            .with("headwind", headwind)
            .with("share", share)
            .gives("w", counted)
            .from(source::CAT_POL_A_400)
    });
    Ok(counted)
}

/// A distance with one more factor.
///
/// # Errors
///
/// [`OutOfRange`] for [`DISTANCE`] or [`FACTOR`].
pub fn factored(
    distance: Length,
    factor: Ratio,
    trace: &mut impl Trace,
) -> Result<Length, OutOfRange> {
    let required = DISTANCE.check(distance)? * FACTOR.check(factor)?;
    trace.step(|| {
        Step::new("distance required", "required = chart * factors")
            .with("chart", distance)
            .with("factors", factor)
            .gives("required", required)
            .from(source::PHAK_PERFORMANCE)
    });
    Ok(required)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::trace::Silent;

    fn one(value: f64) -> Ratio {
        Ratio::from_si(value)
    }

    fn kg(value: f64) -> Mass {
        Mass::from_si(value)
    }

    fn kt(value: f64) -> Velocity {
        Velocity::of(value, unit::KT)
    }

    fn points() -> Vec<(Mass, Ratio)> {
        vec![(kg(2000.0), one(1.15)), (kg(3500.0), one(1.25))]
    }

    /// Exact: 1176 * 0.95 * 0.86 = 960.792.
    #[test]
    fn chain_of_corrections_equals_exact_arithmetic() {
        let wind = correction("headwind", one(-0.10), one(0.5), &mut Silent).unwrap();
        let slope = correction("slope", one(-0.07), one(2.0), &mut Silent).unwrap();
        let base = Length::of(1176.0, unit::FT);
        let required = factored(base, wind * slope, &mut Silent).unwrap();
        assert!((required.count(unit::FT) - 960.792).abs() < 1e-9);
    }

    /// The superseded Australian order 20.7.4: 1.20 at 2 750 kg between 1.15 and 1.25, from
    /// memory; the ends hold.
    #[test]
    fn graded_factor_between_and_beyond_its_points() {
        let graded = GradedFactor::new(points()).unwrap();
        for (mass, factor) in
            [(1000.0, 1.15), (2000.0, 1.15), (2750.0, 1.20), (3500.0, 1.25), (5700.0, 1.25)]
        {
            assert!((graded.at(kg(mass), &mut Silent).value - factor).abs() < 1e-12, "{mass}");
        }
        assert!(graded.at(kg(f64::NAN), &mut Silent).value.is_nan());
        assert_eq!(GradedFactor::new(vec![]), Err(0));
        assert_eq!(GradedFactor::new(vec![(kg(2.0), one(1.0)), (kg(2.0), one(1.1))]), Err(1));
        assert_eq!(GradedFactor::new(vec![(kg(2.0), one(f64::NAN))]), Err(0));
    }

    #[test]
    fn bounds_from_both_sides() {
        for (change, ok) in
            [(-0.9, true), (-0.91, false), (3.0, true), (3.1, false), (f64::NAN, false)]
        {
            let got = correction("x", one(change), one(0.5), &mut Silent);
            assert_eq!(got.is_ok(), ok, "{change}");
        }
        // Nothing would be left of the distance.
        assert!(correction("x", one(-0.1), one(9.5), &mut Silent).is_err());
        for (share, ok) in [(0.0, true), (3.0, true), (3.1, false), (-0.1, false)] {
            assert_eq!(counted_wind(kt(10.0), one(share), one(1.5), &mut Silent).is_ok(), ok);
        }
    }

    proptest! {
        /// The wind rule never makes a wind look better than it is.
        #[test]
        fn counted_wind_is_never_better_than_the_wind(
            wind in -40.0..40.0f64, credit in 0.0..1.0f64, charge in 1.0..3.0f64,
        ) {
            let counted = counted_wind(kt(wind), one(credit), one(charge), &mut Silent).unwrap();
            prop_assert!(counted.count(unit::KT) <= wind + 1e-9);
        }

        /// A heavier aeroplane never gets a smaller factor when the points rise.
        #[test]
        fn graded_factor_rises(mass in 500.0..6000.0f64, more in 0.0..2000.0f64) {
            let graded = GradedFactor::new(points()).unwrap();
            let lighter = graded.at(kg(mass), &mut Silent);
            prop_assert!(graded.at(kg(mass + more), &mut Silent).value >= lighter.value - 1e-12);
        }
    }
}
