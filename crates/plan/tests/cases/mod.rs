//! Made-up cases for tests, benchmarks and the comparison with a solver: the same number gives
//! the same case everywhere. Invented; no real aeroplane.

#![allow(dead_code, reason = "each test uses its part")]

pub(crate) mod fit;
pub(crate) mod stop;
pub(crate) mod uplift;

/// How many random cases of a planner are tried; `PLAN_CASES` asks for fewer or more.
pub(crate) fn many() -> u64 {
    std::env::var("PLAN_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(2000)
}

/// A conflict cannot be kept, and can be without any one of its limits. `possible` says whether the
/// marked ones of all limits can be kept together.
pub(crate) fn each_is_needed<L: Copy + PartialEq + std::fmt::Debug>(
    name: &str,
    set: &[L],
    all: &[L],
    possible: impl Fn(&[bool]) -> bool,
) {
    let kept = |limits: &[L]| {
        let kept: Vec<bool> = all.iter().map(|limit| limits.contains(limit)).collect();
        possible(&kept)
    };
    assert!(!kept(set), "{name}: {set:?} can be kept");
    for left_out in set {
        let rest: Vec<L> = set.iter().filter(|l| *l != left_out).copied().collect();
        assert!(kept(&rest), "{name}: {left_out:?} is not needed in {set:?}");
    }
}

/// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014, from memory): small, and the same everywhere.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From `low` to `high`, both included.
    pub(crate) fn whole(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    /// From `low` to `high` in steps of a thousandth.
    pub(crate) fn milli(&mut self, low: f64, high: f64) -> f64 {
        self.whole((low * 1e3).round() as i64, (high * 1e3).round() as i64) as f64 / 1e3
    }

    /// True in so many of a hundred.
    pub(crate) fn percent(&mut self, of: i64) -> bool {
        self.whole(1, 100) <= of
    }

    pub(crate) fn index(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub(crate) fn shuffle<T>(&mut self, all: &mut [T]) {
        for at in (1..all.len()).rev() {
            let other = self.index(at + 1);
            all.swap(at, other);
        }
    }
}
