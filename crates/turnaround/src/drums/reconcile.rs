//! Dip, gauge and reckoning of one tank against each other, and which to believe.
//!
//! The sum is [`stillprop_calc::reconcile`]; what disagreement is accepted comes from the pack.
//! The dip is the only one that looks at the fuel, so it is believed where it agrees with
//! another. Where it stands alone against two that agree, the two are believed and the dip is
//! taken again. Until a disagreement is explained the lowest is planned with.

use stillprop_calc::{
    bounds::OutOfRange,
    quantity::{FromAmount, Ratio, Volume},
    reconcile::{Agreement, Pair, reconcile as three_ways},
    trace::Trace,
};

use crate::limits::{Measure, Verdict};

/// What each way says; `None` where it was not asked.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Readings {
    /// By dipstick.
    pub dip: Option<Volume>,
    /// By gauge.
    pub gauge: Option<Volume>,
    /// Delivered less burned.
    pub reckoned: Option<Volume>,
}

/// A way to know how much is in a tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// By dipstick.
    Dip,
    /// By gauge.
    Gauge,
    /// Delivered less burned.
    Reckoned,
}

impl Way {
    /// The way as a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dip => "dip",
            Self::Gauge => "gauge",
            Self::Reckoned => "reckoning",
        }
    }
}

/// Which way to believe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Believe {
    /// All agree: this one, because it is the most direct.
    All(Way),
    /// Two agree against a third, which is doubted; the first of the two is believed.
    TwoAgainst(Way, Way),
    /// No two agree; the lowest is planned with until it is explained.
    None(Way),
}

/// What became of the comparison.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reconciled {
    /// Highest less lowest.
    pub disagreement: Volume,
    /// That as a share of the highest.
    pub share: Ratio,
    /// Which to believe.
    pub believe: Believe,
    /// What to plan with: what is believed, or the lowest.
    pub plan_with: Volume,
}

/// Compares what is known of a tank; `None` with fewer than two ways.
///
/// # Errors
///
/// [`OutOfRange`] for a volume that is none.
pub fn reconcile(
    readings: &Readings,
    limit: Ratio,
    trace: &mut impl Trace,
) -> Result<Option<Reconciled>, OutOfRange> {
    let ways = [
        (Way::Dip, readings.dip),
        (Way::Gauge, readings.gauge),
        (Way::Reckoned, readings.reckoned),
    ];
    let mut known = ways.iter().filter_map(|(way, volume)| Some((*way, (*volume)?)));
    let (Some(first), Some(second)) = (known.next(), known.next()) else { return Ok(None) };
    // A way that was not asked takes the value of another and so adds no disagreement.
    let or_first = |volume: Option<Volume>| volume.unwrap_or(first.1);
    let none = Volume::from_si(0.0);
    let (dip, gauge) = (or_first(readings.dip), or_first(readings.gauge));
    let agreement = three_ways(dip, gauge, or_first(readings.reckoned), none, trace)?;
    let lowest = ways
        .iter()
        .filter_map(|(way, volume)| Some((*way, (*volume)?)))
        .fold(first, |low, next| if next.1 < low.1 { next } else { low });
    // The same rounding as the limit, so that words and verdict never differ.
    let within = |share| Measure::at_most(share, limit).verdict() == Verdict::Holds;
    let (believe, plan_with) = if within(agreement.share) {
        (Believe::All(first.0), first.1)
    } else if let (Some(third), true) = (known.next(), within(best_share(&agreement, dip, gauge))) {
        two_against(&agreement, [first, second, third])
    } else {
        (Believe::None(lowest.0), lowest.1)
    };
    let Agreement { disagreement, share, .. } = agreement;
    Ok(Some(Reconciled { disagreement, share, believe, plan_with }))
}

/// Difference of the pair that agrees best, as a share of its higher.
fn best_share(agreement: &Agreement, dip: Volume, gauge: Volume) -> Ratio {
    let (difference, higher) = match agreement.best {
        Pair::DipAndGauge => (agreement.dip_over_gauge, dip.max(gauge)),
        Pair::DipAndReckoned => (agreement.dip_over_reckoned, dip.max(agreement.reckoned)),
        Pair::GaugeAndReckoned => (agreement.gauge_over_reckoned, gauge.max(agreement.reckoned)),
    };
    if higher.value > 0.0 { difference.abs() / higher } else { Ratio::from_si(0.0) }
}

/// The more direct of the two that agree, with what it says, and the one that is doubted.
fn two_against(
    agreement: &Agreement,
    [dip, gauge, reckoned]: [(Way, Volume); 3],
) -> (Believe, Volume) {
    let (believed, doubted) = match agreement.best {
        Pair::DipAndGauge => (dip, reckoned),
        Pair::DipAndReckoned => (dip, gauge),
        Pair::GaugeAndReckoned => (gauge, dip),
    };
    (Believe::TwoAgainst(believed.0, doubted.0), believed.1)
}

impl Reconciled {
    /// Which to believe and why, for a person.
    #[must_use]
    pub fn words(&self) -> String {
        match self.believe {
            Believe::All(way) => format!("they agree: believe the {}", way.word()),
            Believe::TwoAgainst(way, Way::Dip) => format!(
                "the other two agree against the dip: dip again, until then believe the {}",
                way.word()
            ),
            Believe::TwoAgainst(way, doubted) => format!(
                "believe the {}: another agrees with it, the {} does not",
                way.word(),
                doubted.word()
            ),
            Believe::None(lowest) => format!(
                "no two agree: dip again, until then plan with the {}, the lowest",
                lowest.word()
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use stillprop_calc::{trace::Silent, unit};

    use super::*;
    use crate::drums::fixture::litres;

    fn limit() -> Ratio {
        Ratio::of(3.0, unit::PERCENT)
    }

    fn of(dip: f64, gauge: f64, reckoned: f64) -> Reconciled {
        let volume = |value: f64| (!value.is_nan()).then(|| litres(value));
        let readings =
            Readings { dip: volume(dip), gauge: volume(gauge), reckoned: volume(reckoned) };
        reconcile(&readings, limit(), &mut Silent).unwrap().unwrap()
    }

    const NOT: f64 = f64::NAN;

    /// (100 - 97) / 100 = 3 % is accepted, (100 - 96.9) / 100 = 3.1 % is not.
    #[test]
    fn both_sides_of_the_limit() {
        assert_eq!(of(100.0, 97.0, NOT).believe, Believe::All(Way::Dip));
        assert_eq!(of(100.0, 96.9, NOT).believe, Believe::None(Way::Gauge));
        assert!((of(100.0, 96.9, NOT).share.count(unit::PERCENT) - 3.1).abs() < 1e-9);
    }

    #[test]
    fn the_one_that_stands_alone_is_doubted() {
        for (readings, believe, plan_with) in [
            ([100.0, 99.0, 98.0], Believe::All(Way::Dip), 100.0),
            ([100.0, 99.0, 80.0], Believe::TwoAgainst(Way::Dip, Way::Reckoned), 100.0),
            ([100.0, 80.0, 101.0], Believe::TwoAgainst(Way::Dip, Way::Gauge), 100.0),
            ([60.0, 99.0, 100.0], Believe::TwoAgainst(Way::Gauge, Way::Dip), 99.0),
            ([100.0, 80.0, 60.0], Believe::None(Way::Reckoned), 60.0),
            ([0.0, 0.0, 0.0], Believe::All(Way::Dip), 0.0),
        ] {
            let [dip, gauge, reckoned] = readings;
            let found = of(dip, gauge, reckoned);
            assert_eq!(found.believe, believe, "{readings:?}");
            assert!((found.plan_with - litres(plan_with)).abs() < litres(1e-9), "{readings:?}");
            assert!(found.words().contains("believe") || found.words().contains("plan with"));
        }
    }

    #[test]
    fn two_ways_are_compared_and_one_alone_is_not() {
        assert_eq!(of(NOT, 100.0, 99.0).believe, Believe::All(Way::Gauge));
        assert_eq!(of(100.0, NOT, 50.0).believe, Believe::None(Way::Reckoned));
        let alone = Readings { dip: Some(litres(50.0)), ..Readings::default() };
        assert_eq!(reconcile(&alone, limit(), &mut Silent), Ok(None));
        assert_eq!(reconcile(&Readings::default(), limit(), &mut Silent), Ok(None));
        let wrong = Readings { gauge: Some(litres(-1.0)), ..alone };
        assert!(reconcile(&wrong, limit(), &mut Silent).is_err());
    }

    proptest! {
        /// What is planned with is one of the readings, and the lowest where none agree.
        #[test]
        fn nothing_is_averaged(dip in 0.0..200.0_f64, gauge in 0.0..200.0_f64, reckoned in 0.0..200.0_f64) {
            let found = of(dip, gauge, reckoned);
            let all = [dip, gauge, reckoned].map(litres);
            prop_assert!(all.contains(&found.plan_with));
            if let Believe::None(_) = found.believe {
                prop_assert!(all.iter().all(|each| found.plan_with <= *each));
            }
            prop_assert_eq!(matches!(found.believe, Believe::All(_)), found.share <= limit());
        }
    }
}
