//! Many draws side by side: rows of values, and the normal numbers they are drawn from.
//!
//! Everything here is plain arithmetic without a branch, so that a compiler does several draws in one
//! instruction; and the same on every machine, because it uses nothing but what IEEE 754 rounds
//! exactly: sums, products, quotients and square roots.
//!
//! # Formula
//!
//! - Uniform numbers: `xoshiro256++`, eight streams side by side, seeded by `SplitMix64` (D. Blackman,
//!   S. Vigna, Scrambled linear pseudorandom number generators, ACM Transactions on Mathematical
//!   Software 47 (2021) no. 36; from memory, and compared with the library `rand_xoshiro` in the tests).
//! - Normal numbers in pairs: `sqrt(-2 ln u) cos 2 pi v` and `sqrt(-2 ln u) sin 2 pi v` (G. E. P. Box,
//!   M. E. Muller, A note on the generation of random normal deviates, Annals of Mathematical
//!   Statistics 29 (1958) 610-611; from memory).
//! - `ln`: the series of `2 artanh((m - 1) / (m + 1))`; `sin` and `cos`: their series up to an eighth of
//!   a turn. Plain algebra.
//!
//! # Accuracy
//!
//! Logarithm, sine and cosine within 1e-15 of their values, or of 1 where they are smaller. No normal
//! number lies beyond 8.5, because the least `u` is 2^-52.

#![allow(
    clippy::needless_range_loop,
    clippy::inline_always,
    reason = "rows are worked lane by lane, within one loop that the compiler widens"
)]

use std::{
    f64::consts::{FRAC_PI_2, LN_2, SQRT_2},
    ops::Index,
};

/// Draws side by side.
pub(super) const LANES: usize = 64;

/// A value of each draw.
#[derive(Clone, Copy, Debug)]
#[repr(align(64))]
pub(super) struct Row(pub(super) [f64; LANES]);

impl Row {
    /// Nothing anywhere.
    pub(super) const ZERO: Self = Self::all(0.0);

    /// The same value for each.
    pub(super) const fn all(value: f64) -> Self {
        Self([value; LANES])
    }

    /// Reckons each anew.
    #[inline(always)]
    pub(super) fn set(&mut self, of: impl Fn(usize) -> f64) {
        for (lane, value) in self.0.iter_mut().enumerate() {
            *value = of(lane);
        }
    }

    /// Reckons each from what it was.
    #[inline(always)]
    pub(super) fn change(&mut self, of: impl Fn(usize, f64) -> f64) {
        for (lane, value) in self.0.iter_mut().enumerate() {
            *value = of(lane, *value);
        }
    }

    /// Keeps the lesser.
    #[inline(always)]
    pub(super) fn least(&mut self, of: impl Fn(usize) -> f64) {
        self.change(|lane, value| lesser(of(lane), value));
    }
}

impl Index<usize> for Row {
    type Output = f64;

    #[inline(always)]
    fn index(&self, lane: usize) -> &f64 {
        &self.0[lane]
    }
}

/// The lesser; the first when it is no number, so that what is not known is not lost.
#[inline(always)]
pub(super) fn lesser(a: f64, b: f64) -> f64 {
    if a > b { b } else { a }
}

/// The greater; the first when it is no number.
#[inline(always)]
pub(super) fn greater(a: f64, b: f64) -> f64 {
    if a < b { b } else { a }
}

/// Streams side by side.
const STREAMS: usize = 8;
const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;

/// Random bits, eight streams at a time.
#[derive(Clone, Debug)]
pub(super) struct Bits {
    state: [[u64; STREAMS]; 4],
}

/// What `SplitMix64` makes of a state.
const fn mixed(state: u64) -> u64 {
    let z = (state ^ (state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

impl Bits {
    /// The streams of a block. The number of the block is scrambled first: states that lie a few steps
    /// apart would seed the same streams.
    pub(super) fn of(seed: u64, block: u64) -> Self {
        Self::seeded(mixed(mixed(seed.wrapping_add(GOLDEN)) ^ block.wrapping_mul(GOLDEN)))
    }

    fn seeded(mut state: u64) -> Self {
        let mut all = [[0; STREAMS]; 4];
        for stream in 0..STREAMS {
            for word in &mut all {
                state = state.wrapping_add(GOLDEN);
                word[stream] = mixed(state);
            }
        }
        Self { state: all }
    }

    /// The next of each stream.
    #[inline(always)]
    fn next(&mut self) -> [u64; STREAMS] {
        let [s0, s1, s2, s3] = &mut self.state;
        let mut out = [0; STREAMS];
        for i in 0..STREAMS {
            out[i] = s0[i].wrapping_add(s3[i]).rotate_left(23).wrapping_add(s0[i]);
            let shifted = s1[i] << 17;
            s2[i] ^= s0[i];
            s3[i] ^= s1[i];
            s1[i] ^= s2[i];
            s0[i] ^= s3[i];
            s2[i] ^= shifted;
            s3[i] = s3[i].rotate_left(45);
        }
        out
    }

    /// Fills rows with normal numbers, two rows at a time; what one row too many gives is dropped.
    #[inline(always)]
    pub(super) fn normals(&mut self, rows: &mut [Row]) {
        for pair in rows.chunks_mut(2) {
            let (mut u, mut v) = ([0; LANES], [0; LANES]);
            for words in [&mut u, &mut v] {
                for eight in words.chunks_exact_mut(STREAMS) {
                    eight.copy_from_slice(&self.next());
                }
            }
            let mut second = Row::all(0.0);
            let first = &mut pair[0];
            for lane in 0..LANES {
                (first.0[lane], second.0[lane]) = normal_pair(u[lane], v[lane]);
            }
            if let Some(last) = pair.get_mut(1) {
                *last = second;
            }
        }
    }
}

/// Exponent and sign of 1.
const ONE: u64 = 0x3FF0_0000_0000_0000;

#[inline(always)]
fn normal_pair(a: u64, b: u64) -> (f64, f64) {
    // 52 random bits behind the point, from 1 up to but not 2.
    let from_one = |bits: u64| f64::from_bits(bits >> 12 | ONE);
    let far = (-2.0 * ln(2.0 - from_one(a))).sqrt();
    let (sin, cos) = sin_cos_turns(from_one(b) - 1.0);
    (far * cos, far * sin)
}

/// Natural logarithm of a positive, normal number.
#[inline(always)]
fn ln(x: f64) -> f64 {
    const TWO_52: f64 = 4_503_599_627_370_496.0;
    let bits = x.to_bits();
    let exponent = f64::from_bits(bits >> 52 | 0x4330_0000_0000_0000) - TWO_52 - 1023.0;
    let m = f64::from_bits(bits & 0x000F_FFFF_FFFF_FFFF | ONE);
    let high = m > SQRT_2;
    let m = if high { 0.5 * m } else { m };
    let exponent = if high { exponent + 1.0 } else { exponent };
    let s = (m - 1.0) / (m + 1.0);
    let s2 = s * s;
    let mut series = 1.0 / 19.0;
    for odd in [17.0, 15.0, 13.0, 11.0, 9.0, 7.0, 5.0, 3.0] {
        series = series * s2 + 1.0 / odd;
    }
    exponent * LN_2 + 2.0 * (s + s * s2 * series)
}

/// Sine and cosine of an angle counted in turns; at most a million of them.
#[inline(always)]
pub(super) fn sin_cos_turns(turns: f64) -> (f64, f64) {
    // Adding it leaves whole quarters in the last bits.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    let quarters = 4.0 * turns;
    let sum = quarters + WHOLE;
    let quarter = sum.to_bits();
    let x = (quarters - (sum - WHOLE)) * FRAC_PI_2;
    let x2 = x * x;
    let mut sin = 1.0;
    for n in [14.0, 12.0, 10.0, 8.0, 6.0, 4.0, 2.0] {
        sin = 1.0 - x2 * sin * (1.0 / (n * (n + 1.0)));
    }
    let sin = x * sin;
    let mut cos = 1.0;
    for n in [15.0, 13.0, 11.0, 9.0, 7.0, 5.0, 3.0, 1.0] {
        cos = 1.0 - x2 * cos * (1.0 / (n * (n + 1.0)));
    }
    let odd = quarter & 1 != 0;
    let (s, c) = if odd { (cos, sin) } else { (sin, cos) };
    let signed = |value: f64, quarter: u64| f64::from_bits(value.to_bits() ^ (quarter & 2) << 62);
    (signed(s, quarter), signed(c, quarter.wrapping_add(1)))
}

#[cfg(test)]
mod tests {
    use rand_xoshiro::{
        Xoshiro256PlusPlus,
        rand_core::{Rng, SeedableRng},
    };

    use super::*;

    #[test]
    fn each_stream_is_the_one_of_the_library() {
        let mut ours = Bits::seeded(42);
        let mut first = Xoshiro256PlusPlus::seed_from_u64(42);
        let mut others: Vec<_> = (0..STREAMS)
            .map(|stream| {
                let mut seed = [0; 32];
                for (word, bytes) in ours.state.iter().zip(seed.chunks_exact_mut(8)) {
                    bytes.copy_from_slice(&word[stream].to_le_bytes());
                }
                Xoshiro256PlusPlus::from_seed(seed)
            })
            .collect();
        for _ in 0..100 {
            let found = ours.next();
            assert_eq!(found[0], first.next_u64());
            for (found, other) in found.iter().zip(&mut others) {
                assert_eq!(*found, other.next_u64());
            }
        }
    }

    /// Blocks and seeds next to each other share no stream.
    #[test]
    fn no_two_blocks_share_a_stream() {
        let mut all = std::collections::BTreeSet::new();
        for seed in 0..16 {
            for block in 0..256 {
                let bits = Bits::of(seed, block);
                for stream in 0..STREAMS {
                    assert!(all.insert(bits.state.map(|word| word[stream])), "{seed} {block}");
                }
            }
        }
    }

    #[test]
    fn logarithm_sine_and_cosine_are_those_of_the_standard_library() {
        let mut bits = Bits::of(1, 1);
        for _ in 0..20_000 {
            for word in bits.next() {
                let x = 2.0 - f64::from_bits(word >> 12 | ONE);
                assert!((ln(x) - x.ln()).abs() <= 1e-15 * x.ln().abs().max(1.0), "{x}");
                let turns = 9.0 * x - 4.5;
                let (sin, cos) = sin_cos_turns(turns);
                let (s, c) = (turns * std::f64::consts::TAU).sin_cos();
                assert!((sin - s).abs() < 1e-14 && (cos - c).abs() < 1e-14, "{turns}");
            }
        }
        for x in [2f64.powi(-52), 0.5, SQRT_2 / 2.0, 1.0] {
            assert!((ln(x) - x.ln()).abs() <= 1e-15 * x.ln().abs().max(1.0), "{x}");
        }
        // Exact: whole quarters.
        for (turns, wanted) in
            [(0.0, (0.0, 1.0)), (0.25, (1.0, 0.0)), (-0.5, (0.0, -1.0)), (0.75, (-1.0, 0.0))]
        {
            let found = sin_cos_turns(turns);
            assert!((found.0 - wanted.0).abs() < 1e-300 && (found.1 - wanted.1).abs() < 1e-300);
        }
    }

    /// Moments and tails of a standard normal, each within five deviations of what a sample of this size
    /// has: mean 0, variance 1, third moment 0, fourth 3; 2.275 % beyond 2 and 0.13499 % beyond 3
    /// (tables of the normal distribution, from memory). Pairs do not go together.
    #[test]
    fn normal_numbers_are_normal() {
        let mut bits = Bits::of(7, 3);
        let mut rows = [Row::all(0.0); 6];
        let (mut n, mut sums, mut beyond, mut both) = (0.0, [0.0; 4], [0.0; 4], 0.0);
        for _ in 0..2_000 {
            bits.normals(&mut rows);
            for row in &rows {
                for z in row.0 {
                    n += 1.0;
                    for (power, sum) in sums.iter_mut().enumerate() {
                        *sum += z.powi(i32::try_from(power).unwrap() + 1);
                    }
                    for (at, beyond) in [2.0, 3.0, -2.0, -3.0].into_iter().zip(&mut beyond) {
                        *beyond += f64::from(u8::from(if at > 0.0 { z > at } else { z < at }));
                    }
                }
            }
            both += (0..LANES).map(|lane| rows[0][lane] * rows[1][lane]).sum::<f64>();
        }
        // Variances of z, z^2, z^3, z^4 are 1, 2, 15, 96.
        for ((sum, wanted), variance) in
            sums.iter().zip([0.0, 1.0, 0.0, 3.0]).zip([1.0, 2.0, 15.0, 96.0_f64])
        {
            assert!((sum / n - wanted).abs() < 5.0 * (variance / n).sqrt(), "{sums:?}");
        }
        for (count, p) in beyond.iter().zip([0.022_750, 0.001_349_9, 0.022_750, 0.001_349_9_f64]) {
            assert!((count / n - p).abs() < 5.0 * (p / n).sqrt(), "{beyond:?}");
        }
        assert!((both / (n / 6.0)).abs() < 5.0 / (n / 6.0_f64).sqrt(), "{both}");
    }

    #[test]
    fn an_odd_number_of_rows_is_filled_too() {
        let mut rows = [Row::all(f64::NAN); 3];
        Bits::of(1, 0).normals(&mut rows);
        assert!(rows.iter().flat_map(|row| row.0).all(f64::is_finite));
    }
}
