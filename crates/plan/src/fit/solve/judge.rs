//! What an arrangement is worth: the limits themselves, asked of whatever the search comes upon.

use stillprop_calc::{
    burn::{self, fuel_after, lateral_extremes},
    load::Loading,
    quantity::{FromAmount, Length, Mass, Moment},
    trace::Silent,
};
use stillprop_turnaround::limits::{Measure, Verdict, load::balances};

use super::Solver;
use crate::{
    fit::{Later, fuel::Filling},
    stow::Found,
};

impl Solver<'_> {
    /// The limits of tanks and sides: `None` where one does not hold.
    pub(super) fn tanks(&self, filling: &Filling) -> Option<f64> {
        let mut least = 1.0_f64;
        for ((fill, steps), kept) in self.case.fills.iter().zip(filling.steps).zip(&self.kept.tanks)
        {
            if *kept {
                let fuel = fill.base + fill.step * f64::from(steps);
                let share = at_most(fuel, fill.usable)?;
                least = if fill.most > 0 { least.min(share) } else { least };
            }
        }
        match self.case.imbalance {
            Some(limit) if self.kept.imbalance => {
                let share = at_most(filling.leaning, limit)?;
                let fixed = self.case.fills.iter().all(|fill| fill.most == 0);
                Some(if fixed { least } else { least.min(share) })
            }
            _ => Some(least),
        }
    }

    /// The smallest margin of an arrangement; `None` when it does not hold.
    pub(super) fn judge(&self, filling: &Filling, pieces: usize, found: &Found) -> Option<f64> {
        let mut least = self.rooms_of(found)?;
        let loading = Loading {
            mass: Mass::from_si(self.zero_fuel(pieces)),
            moment: self.case.empty.moment + Moment::from_si(found.moment),
            lateral_moment: self.case.empty.lateral_moment + Moment::from_si(found.lateral),
        };
        let fuel = &filling.take_off[..self.case.fills.len()];
        least = least.min(self.balance(loading, fuel)?);
        // Bounds look at the first load alone: what is left of it can only lower a margin.
        for later in &self.case.later {
            let aboard: Mass = fuel.iter().copied().sum();
            let used = Mass::from_si((later.used - self.case.taxi).min(aboard.value).max(0.0));
            let left = fuel_after(&self.case.tanks, fuel, used);
            least = least.min(self.balance(self.later(later, found), &left[..fuel.len()])?);
        }
        Some(least)
    }

    /// The aeroplane without fuel from a landing on.
    fn later(&self, later: &Later, found: &Found) -> Loading {
        let things = self.case.things.len();
        let mut all = self.case.empty;
        let piece = self.case.ballast.as_ref().map_or(0.0, |ballast| ballast.mass);
        for (thing, place) in found.place_of.iter().enumerate() {
            // Ballast comes after the things, and stays.
            let mass = if thing < things { later.mass[thing] } else { piece };
            let place = &self.case.places[*place];
            let (arm, lateral) = (Length::from_si(place.arm), Length::from_si(place.lateral));
            all = all.add(Mass::from_si(mass), arm, lateral);
        }
        all
    }

    /// The smallest margin of the balance with some load and fuel, down to empty tanks.
    fn balance(&self, loading: Loading, fuel: &[Mass]) -> Option<f64> {
        let mut least = 1.0_f64;
        let none = Mass::from_si(0.0);
        let (tanks, envelope) = (&self.case.tanks, &self.case.envelope);
        let worst = burn::worst(loading, tanks, fuel, none, envelope, &mut Silent)?;
        for (kept, measure) in
            [self.kept.forward, self.kept.aft].iter().zip(balances(envelope, &worst))
        {
            if *kept {
                least = least.min(held(&measure)?);
            }
        }
        if let Some(limit) = self.case.lateral.filter(|_| self.kept.lateral) {
            let (left, right) = lateral_extremes(loading, tanks, fuel, none)?;
            let most = if -left > right { -left } else { right };
            least = least.min(held(&Measure::at_most(most, Length::from_si(limit)))?);
        }
        Some(least)
    }
}

pub(super) fn at_most(mass: f64, most: f64) -> Option<f64> {
    held(&Measure::at_most(Mass::from_si(mass), Mass::from_si(most)))
}

/// The share of a limit that holds.
fn held(measure: &Measure) -> Option<f64> {
    (measure.verdict() == Verdict::Holds).then(|| measure.share())
}
