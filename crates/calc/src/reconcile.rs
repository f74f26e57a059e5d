//! Do three ways of knowing the fuel aboard agree: the dipstick, the gauge, and what was
//! delivered less what was burned?
//!
//! # Formula
//!
//! ```text
//! reckoned     = delivered - burned
//! difference   = first - second                       (for each pair)
//! disagreement = highest - lowest
//! share        = disagreement / highest
//! ```
//!
//! The pair that agrees best is the one with the least difference; of equals the first in the
//! order dip and gauge, dip and reckoned, gauge and reckoned.
//!
//! # Units and accepted range
//!
//! Volumes from 0 to 50 000 L as [`crate::fuel::VOLUME`]; no more burned than delivered.
//!
//! # Left out on purpose
//!
//! What disagreement may be accepted, and which of the three to believe: a pack and the pilot
//! say that. Two that agree may share one error.
//!
//! # Sources
//!
//! `fuel-arithmetic`.

use crate::{
    bounds::{Bounds, OutOfRange},
    fuel::VOLUME,
    quantity::{FromAmount, Ratio, Volume},
    source,
    trace::{Step, Trace},
    unit::M3,
};

/// Differences nearer than this are alike: a rounding must not choose the pair. \[m3\]
const ALIKE: f64 = 1e-12;

/// Two of the three ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pair {
    /// Dipstick and gauge.
    DipAndGauge,
    /// Dipstick and reckoning.
    DipAndReckoned,
    /// Gauge and reckoning.
    GaugeAndReckoned,
}

impl Pair {
    /// The pair as words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::DipAndGauge => "dip and gauge",
            Self::DipAndReckoned => "dip and reckoned",
            Self::GaugeAndReckoned => "gauge and reckoned",
        }
    }
}

/// How three ways of knowing a quantity agree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Delivered less burned.
    pub reckoned: Volume,
    /// Dip less gauge.
    pub dip_over_gauge: Volume,
    /// Dip less reckoned.
    pub dip_over_reckoned: Volume,
    /// Gauge less reckoned.
    pub gauge_over_reckoned: Volume,
    /// Highest less lowest.
    pub disagreement: Volume,
    /// That as a share of the highest; nothing when all three are nothing.
    pub share: Ratio,
    /// The pair with the least difference.
    pub best: Pair,
}

/// Compares dip, gauge and delivered less burned.
///
/// # Errors
///
/// [`OutOfRange`] for [`VOLUME`], or when more was burned than delivered.
pub fn reconcile(
    dip: Volume,
    gauge: Volume,
    delivered: Volume,
    burned: Volume,
    trace: &mut impl Trace,
) -> Result<Agreement, OutOfRange> {
    let (dip, gauge) = (VOLUME.check(dip)?, VOLUME.check(gauge)?);
    let delivered = VOLUME.check(delivered)?;
    let most = Bounds::new("fuel burned", 0.0, delivered.si(), M3);
    let reckoned = delivered - most.check(burned)?;
    let highest = dip.max(gauge).max(reckoned);
    let disagreement = highest - dip.min(gauge).min(reckoned);
    let share = if highest.si() > 0.0 { disagreement / highest } else { Ratio::from_si(0.0) };
    let agreement = Agreement {
        reckoned,
        dip_over_gauge: dip - gauge,
        dip_over_reckoned: dip - reckoned,
        gauge_over_reckoned: gauge - reckoned,
        disagreement,
        share,
        best: best(dip, gauge, reckoned),
    };
    trace.step(|| {
        Step::new("reckoned", "reckoned = delivered - burned")
            .with("delivered", delivered)
            .with("burned", burned)
            .gives("reckoned", reckoned)
            .from(source::FUEL_ARITHMETIC)
    });
    trace.step(|| {
        Step::new("disagreement", "share = (highest - lowest) / highest")
            .with("dip", dip)
            .with("gauge", gauge)
            .with("reckoned", reckoned)
            .gives("disagreement", disagreement)
            .gives("share", share)
            .from(source::FUEL_ARITHMETIC)
            .remark(format!("best agreement: {}", agreement.best.words()))
    });
    Ok(agreement)
}

fn best(dip: Volume, gauge: Volume, reckoned: Volume) -> Pair {
    let mut best = (Pair::DipAndGauge, (dip - gauge).abs());
    for next in [
        (Pair::DipAndReckoned, (dip - reckoned).abs()),
        (Pair::GaugeAndReckoned, (gauge - reckoned).abs()),
    ] {
        if next.1.si() < best.1.si() - ALIKE {
            best = next;
        }
    }
    best.0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{trace::Silent, unit::L};

    fn of(dip: f64, gauge: f64, delivered: f64, burned: f64) -> Result<Agreement, OutOfRange> {
        let [dip, gauge, delivered, burned] =
            [dip, gauge, delivered, burned].map(|volume| Volume::of(volume, L));
        reconcile(dip, gauge, delivered, burned, &mut Silent)
    }

    /// By hand: 142, 138 and 230 - 84.5 = 145.5; highest less lowest 7.5, of 145.5 5.154 639... %.
    #[test]
    fn the_differences_equal_exact_arithmetic() {
        let found = of(142.0, 138.0, 230.0, 84.5).unwrap();
        for (name, got, exact) in [
            ("reckoned", found.reckoned, 145.5),
            ("dip over gauge", found.dip_over_gauge, 4.0),
            ("dip over reckoned", found.dip_over_reckoned, -3.5),
            ("gauge over reckoned", found.gauge_over_reckoned, -7.5),
            ("disagreement", found.disagreement, 7.5),
        ] {
            assert!((got.count(L) - exact).abs() < 1e-9, "{name}: {got:?}, exact {exact}");
        }
        assert!((found.share.si() - 0.051_546_391_752_577_32).abs() < 1e-12);
        assert_eq!(found.best, Pair::DipAndReckoned);
    }

    #[test]
    fn each_pair_can_agree_best_and_the_first_wins_a_draw() {
        for (dip, gauge, delivered, best) in [
            (100.0, 101.0, 90.0, Pair::DipAndGauge),
            (100.0, 110.0, 101.0, Pair::DipAndReckoned),
            (90.0, 100.0, 101.0, Pair::GaugeAndReckoned),
            (50.0, 60.0, 70.0, Pair::DipAndGauge),
            (60.0, 50.0, 70.0, Pair::DipAndGauge),
            (60.0, 70.0, 50.0, Pair::DipAndGauge),
        ] {
            let found = of(dip, gauge, delivered, 0.0).unwrap();
            assert_eq!(found.best, best, "{dip} {gauge} {delivered}");
        }
    }

    #[test]
    fn three_times_nothing_agree() {
        let found = of(0.0, 0.0, 60.0, 60.0).unwrap();
        assert!(found.share.si().abs() < 1e-15 && found.disagreement.si().abs() < 1e-15);
    }

    #[test]
    fn both_sides_of_every_bound() {
        for (dip, gauge, delivered, burned, ok) in [
            (50_000.0, 0.0, 0.0, 0.0, true),
            (50_000.1, 0.0, 0.0, 0.0, false),
            (0.0, 50_000.1, 0.0, 0.0, false),
            (-0.1, 0.0, 0.0, 0.0, false),
            (0.0, 0.0, 50_000.1, 0.0, false),
            (10.0, 10.0, 20.0, 20.0, true),
            (10.0, 10.0, 20.0, 20.1, false),
            (10.0, 10.0, 20.0, -0.1, false),
            (f64::NAN, 10.0, 20.0, 10.0, false),
            (10.0, f64::INFINITY, 20.0, 10.0, false),
            (10.0, 10.0, 20.0, f64::NAN, false),
        ] {
            assert_eq!(of(dip, gauge, delivered, burned).is_ok(), ok, "{dip} {gauge} {burned}");
        }
    }

    proptest! {
        #[test]
        fn no_pair_differs_by_more_than_the_disagreement(
            dip in 0.0..500.0_f64, gauge in 0.0..500.0_f64, delivered in 0.0..500.0_f64,
        ) {
            let found = of(dip, gauge, delivered, 0.0).unwrap();
            let pairs = [found.dip_over_gauge, found.dip_over_reckoned, found.gauge_over_reckoned];
            let greatest = pairs.iter().fold(Volume::from_si(0.0), |most, pair| most.max(pair.abs()));
            prop_assert!((greatest - found.disagreement).si().abs() < 1e-12);
        }
    }
}
