//! A straight scale with round numbers on it, and labels beside it that keep apart.

/// From values to the sheet.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// `low` lies at `from`, `high` at `to`. Values that are all the same get some room around
    /// them.
    pub(crate) fn new((low, high): (f64, f64), (from, to): (f64, f64)) -> Self {
        let least = f64::max(1e-3, low.abs().max(high.abs()) * 1e-6);
        let short = (least - (high - low)).max(0.0) / 2.0;
        Self { low: low - short, high: high + short, from, to }
    }

    pub(crate) fn at(&self, value: f64) -> f64 {
        self.from + (value - self.low) / (self.high - self.low) * (self.to - self.from)
    }

    /// Round values inside, at most so many, each with its place and its words.
    pub(crate) fn ticks(&self, most: usize) -> Vec<(f64, String)> {
        let rough = (self.high - self.low) / most.max(1) as f64;
        let power = 10.0_f64.powf(rough.log10().floor());
        let steps = [1.0, 2.0, 5.0, 10.0].map(|step| step * power);
        let step = steps.into_iter().find(|step| *step >= rough * 0.999).unwrap_or(10.0 * power);
        let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
        let (first, last) = ((self.low / step).ceil(), (self.high / step).floor());
        let count = (last - first).clamp(-1.0, 60.0) as i32;
        let values = (0..=count).map(|place| (first + f64::from(place)) * step);
        // Nought has no sign.
        values.map(|value| (self.at(value), format!("{:.decimals$}", value + 0.0))).collect()
    }
}

/// Moves places apart until each is `gap` from the next, in the order they have, between `low`
/// and `high` as far as there is room.
pub(crate) fn spread(places: &[f64], gap: f64, (low, high): (f64, f64)) -> Vec<f64> {
    let mut order: Vec<usize> = (0..places.len()).collect();
    order.sort_by(|one, other| places[*one].total_cmp(&places[*other]));
    let mut spread = places.to_vec();
    let mut least = low;
    for place in &order {
        spread[*place] = spread[*place].max(least);
        least = spread[*place] + gap;
    }
    let mut most = high;
    for place in order.iter().rev() {
        spread[*place] = spread[*place].min(most);
        most = spread[*place] - gap;
    }
    spread
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn ticks_are_round_and_carry_the_decimals_they_need() {
        let scale = Scale::new((0.9, 1.45), (0.0, 100.0));
        let words: Vec<String> = scale.ticks(6).into_iter().map(|(_, words)| words).collect();
        assert_eq!(words, ["0.9", "1.0", "1.1", "1.2", "1.3", "1.4"]);
        let scale = Scale::new((-20.0, 430.0), (0.0, 100.0));
        let words: Vec<String> = scale.ticks(5).into_iter().map(|(_, words)| words).collect();
        assert_eq!(words, ["0", "100", "200", "300", "400"]);
    }

    #[test]
    fn labels_keep_apart_and_in_order() {
        let apart = spread(&[50.0, 51.0, 10.0, 52.0], 10.0, (0.0, 60.0));
        assert_eq!(apart, [40.0, 50.0, 10.0, 60.0]);
    }

    proptest! {
        #[test]
        fn a_scale_keeps_its_values_inside(
            low in -1e5..1e5_f64, size in 0.0..1e5_f64, share in 0.0..1.0_f64, most in 1_usize..9,
        ) {
            let scale = Scale::new((low, low + size), (10.0, 90.0));
            let at = scale.at(low + size * share);
            prop_assert!((10.0 - 1e-6..=90.0 + 1e-6).contains(&at));
            let ticks = scale.ticks(most);
            prop_assert!(ticks.len() <= most + 1);
            for (at, words) in ticks {
                prop_assert!((10.0 - 1e-6..=90.0 + 1e-6).contains(&at), "{words}");
            }
        }

        #[test]
        fn labels_that_fit_are_all_apart(places in proptest::collection::vec(0.0..200.0, 0..15)) {
            let mut apart = spread(&places, 13.0, (0.0, 200.0));
            apart.sort_by(f64::total_cmp);
            prop_assert!(apart.windows(2).all(|pair| pair[1] - pair[0] >= 13.0 - 1e-9));
            prop_assert!(apart.iter().all(|place| (-1e-9..=200.0 + 1e-9).contains(place)));
        }
    }
}
