//! The sum of the greatest of a shrinking set of numbers, in logarithmic time.

/// Numbers by rank, greatest first, of which some may be removed.
///
/// Two binary indexed trees over the ranks: how many are there, and their sum.
pub(super) struct Ranks {
    rank_of: Vec<usize>,
    value_of: Vec<i64>,
    count: Vec<usize>,
    sum: Vec<i64>,
}

impl Ranks {
    /// All of `values`.
    pub(super) fn of(values: &[i64]) -> Self {
        let mut order: Vec<usize> = (0..values.len()).collect();
        order.sort_by_key(|index| std::cmp::Reverse(values[*index]));
        let mut rank_of = vec![0; values.len()];
        let (mut count, mut sum) = (vec![0; values.len() + 1], vec![0; values.len() + 1]);
        for (rank, index) in order.into_iter().enumerate() {
            rank_of[index] = rank + 1;
            count[rank + 1] = 1;
            sum[rank + 1] = values[index];
        }
        for place in 1..=values.len() {
            let above = place + lowest_bit(place);
            if above <= values.len() {
                count[above] += count[place];
                sum[above] += sum[place];
            }
        }
        Self { rank_of, value_of: values.to_vec(), count, sum }
    }

    /// Removes the number at `index` of what it was made from, once.
    pub(super) fn remove(&mut self, index: usize) {
        let mut place = self.rank_of[index];
        while place < self.count.len() {
            self.count[place] -= 1;
            self.sum[place] -= self.value_of[index];
            place += lowest_bit(place);
        }
    }

    /// Sum of the `many` greatest that are left, or of all when there are fewer.
    pub(super) fn greatest(&self, many: usize) -> i64 {
        self.descend(|count, _| count <= many).1
    }

    /// How few of the greatest add up to `least`; `None` when all do not.
    pub(super) fn fewest(&self, least: i64) -> Option<usize> {
        let (count, sum) = self.descend(|_, sum| sum < least);
        let total = self.descend(|_, _| true).1;
        debug_assert!(sum < least || least <= 0, "the way down keeps below");
        (total >= least).then_some(count + 1)
    }

    /// Count and sum of the longest run from the greatest that `keeps`.
    fn descend(&self, keeps: impl Fn(usize, i64) -> bool) -> (usize, i64) {
        let (mut place, mut count, mut sum) = (0, 0, 0);
        let mut step = self.count.len().next_power_of_two();
        while step > 0 {
            let next = place + step;
            if next < self.count.len() && keeps(count + self.count[next], sum + self.sum[next]) {
                place = next;
                count += self.count[next];
                sum += self.sum[next];
            }
            step /= 2;
        }
        (count, sum)
    }
}

/// The lowest bit that is set.
const fn lowest_bit(place: usize) -> usize {
    place & place.wrapping_neg()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn sums_equal_sorting_what_is_left(
            values in prop::collection::vec(1..300_i64, 0..40),
            gone in prop::collection::vec(any::<prop::sample::Index>(), 0..20),
            many in 0..45_usize,
            least in 1..5000_i64,
        ) {
            let mut ranks = Ranks::of(&values);
            let mut left: Vec<Option<i64>> = values.iter().copied().map(Some).collect();
            for index in gone {
                if !values.is_empty() && left[index.index(values.len())].take().is_some() {
                    ranks.remove(index.index(values.len()));
                }
            }
            let mut sorted: Vec<i64> = left.into_iter().flatten().collect();
            sorted.sort_by_key(|value| std::cmp::Reverse(*value));
            prop_assert_eq!(ranks.greatest(many), sorted.iter().take(many).sum::<i64>());
            let fewest = (1..=sorted.len()).find(|n| sorted[..*n].iter().sum::<i64>() >= least);
            prop_assert_eq!(ranks.fewest(least), fewest);
        }
    }
}
