//! Lines and grids of straight pieces as sums, without a branch: the form that many values are read
//! from at once.
//!
//! # Formula
//!
//! With corners `(x0, f0), (x1, f1), ...` and the share of the way that `x` has gone on each piece,
//!
//! ```text
//! s_i(x) = (x - x_(i-1)) / (x_i - x_(i-1)), held between 0 and 1
//! f(x)   = f0 + sum (f_i - f_(i-1)) s_i(x)
//! ```
//!
//! is the line through the corners, level beyond both ends. On a grid, with `s_0 = 1`,
//!
//! ```text
//! f(x, y) = sum over i, j of d_ij s_i(x) s_j(y)
//! d_ij    = v_ij - v_(i-1)j - v_i(j-1) + v_(i-1)(j-1), what lies before the first line being none
//! ```
//!
//! is linear between its lines in each direction in turn. Plain algebra of linear interpolation, the
//! same that `table` and `burn` of `calc` do piece by piece.
//!
//! # Accuracy
//!
//! Within some 1e-13 of the piecewise form: another order of the same sums.

/// One straight piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ramp {
    /// Where it begins.
    pub(super) low: f64,
    /// Where it ends.
    pub(super) high: f64,
    /// One over its length.
    pub(super) scale: f64,
}

impl Ramp {
    /// Between two values, the second greater.
    pub(super) fn between(low: f64, high: f64) -> Self {
        Self { low, high, scale: 1.0 / (high - low) }
    }

    /// The share of it that lies below `x`, 0 to 1; 0 for a value that is no number.
    #[inline(always)]
    pub(super) fn share(&self, x: f64) -> f64 {
        let part = (x - self.low) * self.scale;
        let part = if part > 0.0 { part } else { 0.0 };
        if part < 1.0 { part } else { 1.0 }
    }
}

/// The pieces between rising lines.
pub(super) fn between(lines: &[f64]) -> Vec<Ramp> {
    lines.windows(2).map(|pair| Ramp::between(pair[0], pair[1])).collect()
}

/// A line through corners, level beyond them.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    /// Its value before the first piece.
    pub(super) first: f64,
    /// Each piece with what it rises.
    pub(super) rises: Vec<(Ramp, f64)>,
}

impl Line {
    /// Through corners whose first coordinate rises; `None` without a corner.
    pub(super) fn through(corners: &[(f64, f64)]) -> Option<Self> {
        let first = corners.first()?.1;
        let rise =
            |pair: &[(f64, f64)]| (Ramp::between(pair[0].0, pair[1].0), pair[1].1 - pair[0].1);
        Some(Self { first, rises: corners.windows(2).map(rise).collect() })
    }

    /// Its value at `x`; a batch sums the same row by row.
    #[cfg(test)]
    fn at(&self, x: f64) -> f64 {
        self.rises.iter().fold(self.first, |sum, (ramp, rise)| sum + rise * ramp.share(x))
    }
}

/// A grid of two directions; a direction without lines has one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Grid {
    /// Lines of the first direction, rising.
    pub(super) x: Vec<f64>,
    /// Lines of the second.
    pub(super) y: Vec<f64>,
    /// Values, the second direction running fastest.
    pub(super) values: Vec<f64>,
}

impl Grid {
    /// The part of it that reaches around these ranges.
    pub(super) fn around(&self, x: (f64, f64), y: (f64, f64)) -> Self {
        let (i, j) = (reach(&self.x, x), reach(&self.y, y));
        let width = self.y.len().max(1);
        let rows = i.clone().flat_map(|row| self.values[row * width..][j.clone()].iter().copied());
        let values = rows.collect();
        let of = |lines: &[f64], range: std::ops::Range<usize>| {
            lines.get(range).map_or_else(Vec::new, <[f64]>::to_vec)
        };
        Self { x: of(&self.x, i), y: of(&self.y, j), values }
    }

    /// `d_ij` in the order of the values.
    pub(super) fn differences(&self) -> Vec<f64> {
        let width = self.y.len().max(1);
        let value = |i: usize, j: usize| self.values[i * width + j];
        let along = |i: usize, j: usize| value(i, j) - if j > 0 { value(i, j - 1) } else { 0.0 };
        let across = |at: usize| {
            let (i, j) = (at / width, at % width);
            along(i, j) - if i > 0 { along(i - 1, j) } else { 0.0 }
        };
        (0..self.values.len()).map(across).collect()
    }

    /// Its value at a point; beyond its ends that of the nearest line. A batch sums the same row by row.
    #[cfg(test)]
    fn at(&self, x: f64, y: f64) -> f64 {
        let shares = |lines: &[f64], at: f64| -> Vec<f64> {
            std::iter::once(1.0).chain(between(lines).iter().map(|ramp| ramp.share(at))).collect()
        };
        let (s, t) = (shares(&self.x, x), shares(&self.y, y));
        let weights = s.iter().flat_map(|s| t.iter().map(move |t| s * t));
        self.differences().iter().zip(weights).map(|(d, weight)| d * weight).sum()
    }
}

/// The lines that reach around a range: from the last at or below it to the first at or above.
fn reach(lines: &[f64], (low, high): (f64, f64)) -> std::ops::Range<usize> {
    if lines.is_empty() {
        return 0..1;
    }
    let first = lines.partition_point(|line| *line <= low).saturating_sub(1);
    let last = lines.partition_point(|line| *line < high).min(lines.len() - 1).max(first);
    first..last + 1
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Exact: half-way from 2 to 4 and a quarter of the way from 4 to 8.
    #[test]
    fn a_line_passes_its_corners_and_is_level_beyond() {
        let line = Line::through(&[(1.0, 2.0), (3.0, 4.0), (7.0, 8.0)]).unwrap();
        for (x, wanted) in [(-9.0, 2.0), (1.0, 2.0), (2.0, 3.0), (3.0, 4.0), (4.0, 5.0), (9.0, 8.0)]
        {
            assert!((line.at(x) - wanted).abs() < 1e-15, "{x}");
        }
        assert!(Line::through(&[]).is_none());
    }

    /// Exact: x y is linear in each direction, so a grid of it gives it back.
    #[test]
    fn a_grid_of_a_product_gives_the_product() {
        let (x, y) = (vec![0.0, 1.0, 4.0], vec![2.0, 3.0]);
        let values = x.iter().flat_map(|x| y.iter().map(move |y| x * y)).collect();
        let grid = Grid { x, y, values };
        assert!((grid.at(2.5, 2.25) - 2.5 * 2.25).abs() < 1e-14);
        assert!((grid.at(-1.0, 9.0) - 0.0).abs() < 1e-14);
        let cut = grid.around((1.5, 2.0), (2.0, 2.0));
        assert_eq!((cut.x.as_slice(), cut.y.as_slice()), (&[1.0, 4.0][..], &[2.0][..]));
        let flat = Grid { x: Vec::new(), y: vec![0.0, 1.0], values: vec![5.0, 7.0] };
        assert!((flat.at(99.0, 0.5) - 6.0).abs() < 1e-15);
    }

    proptest! {
        #[test]
        fn a_part_of_a_grid_reads_as_the_whole_within_its_range(
            values in prop::collection::vec(-9.0..9.0_f64, 12),
            low in 0.0..3.0_f64, wide in 0.0..1.0_f64, part in 0.0..1.0_f64, y in 0.0..2.0_f64,
        ) {
            let grid = Grid { x: vec![0.0, 1.0, 2.5, 4.0], y: vec![0.0, 0.5, 2.0], values };
            let cut = grid.around((low, low + wide), (y, y));
            let x = low + wide * part;
            prop_assert!((cut.at(x, y) - grid.at(x, y)).abs() < 1e-12);
        }
    }
}
