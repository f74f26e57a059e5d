//! Where words and marks may stand: never over one another, never off the board, and away from
//! lines where they can.
//!
//! Deterministic and greedy: the first comer has its pick, so callers ask in order of weight.

use crate::{
    plane::{Point, Rect, along, distance},
    svg::{PAPER, Paint, Svg, Type},
    words::width,
};

/// Side of a cell in which lines are counted.
pub(crate) const CELL: f64 = 4.0;
/// What stays free between two things that were placed.
const GAP: f64 = 1.5;

#[derive(Debug)]
pub(crate) struct Board {
    frame: Rect,
    columns: usize,
    /// How much is drawn in each cell.
    ink: Vec<u16>,
    taken: Vec<Rect>,
}

impl Board {
    pub(crate) fn new(frame: Rect) -> Self {
        let cells = |length: f64| (length / CELL).ceil().clamp(1.0, 1000.0) as usize;
        let (columns, rows) = (cells(frame.width()), cells(frame.height()));
        Self { frame, columns, ink: vec![0; columns * rows], taken: Vec::new() }
    }

    fn cell(&self, (x, y): Point) -> (usize, usize) {
        // Below zero ends as zero.
        (((x - self.frame.left) / CELL) as usize, ((y - self.frame.top) / CELL) as usize)
    }

    /// Says that a line is drawn here; the more weight, the less it should be covered.
    pub(crate) fn ink(&mut self, points: &[Point], closed: bool, weight: u16) {
        for point in along(points, closed, CELL * 0.8) {
            if self.frame.holds(point) {
                let (column, row) = self.cell(point);
                if let Some(cell) = self.ink.get_mut(row * self.columns + column) {
                    *cell = (*cell).max(weight);
                }
            }
        }
    }

    /// Says that nothing else may stand here.
    pub(crate) fn take(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    pub(crate) fn free(&self, rect: Rect) -> bool {
        let wide = rect.grown(GAP);
        self.frame.covers(wide) && !self.taken.iter().any(|taken| taken.overlaps(wide))
    }

    /// How much of what is drawn a box would cover.
    fn covered(&self, rect: Rect) -> f64 {
        let (left, top) = self.cell((rect.left, rect.top));
        let (right, bottom) = self.cell((rect.right, rect.bottom));
        let row = |row: usize| {
            let cells = (row * self.columns + left)..=(row * self.columns + right);
            self.ink.get(cells).unwrap_or_default().iter().map(|cell| f64::from(*cell)).sum::<f64>()
        };
        (top..=bottom).map(row).sum()
    }

    /// Takes the best of the candidates, each the middle of a box and what it costs to be there.
    pub(crate) fn place(
        &mut self,
        size: (f64, f64),
        candidates: impl IntoIterator<Item = (Point, f64)>,
        most: f64,
    ) -> Option<Rect> {
        let mut best: Option<(f64, Rect)> = None;
        for (middle, cost) in candidates {
            let rect = Rect::around(middle, size);
            if cost > most || best.is_some_and(|(least, _)| cost >= least) || !self.free(rect) {
                continue;
            }
            let cost = cost + self.covered(rect);
            if cost <= most && best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, rect));
            }
        }
        let (_, rect) = best?;
        self.take(rect);
        Some(rect)
    }
}

/// Places for a box of `size` around a point, `from` to `to` away from it, near ones first.
pub(crate) fn around(at: Point, size: (f64, f64), from: f64, to: f64) -> Vec<(Point, f64)> {
    const TURNS: usize = 16;
    let mut places = Vec::new();
    let mut gap = from;
    while gap <= to {
        for turn in 0..TURNS {
            let angle = std::f64::consts::TAU * turn as f64 / TURNS as f64;
            let x = at.0 + f64::cos(angle) * (size.0 / 2.0 + gap);
            let y = at.1 + f64::sin(angle) * (size.1 / 2.0 + gap);
            places.push(((x, y), gap * 0.8));
        }
        gap += 5.0;
    }
    places
}

/// A few lines of words that are placed as one.
#[derive(Clone, Debug)]
pub(crate) struct Label {
    lines: Vec<(String, Type)>,
}

/// Free space around the words of a label.
const PAD: f64 = 1.5;

impl Label {
    pub(crate) fn new(lines: Vec<(String, Type)>) -> Self {
        Self { lines }
    }

    pub(crate) fn size(&self) -> (f64, f64) {
        let across = self.lines.iter().map(|(words, kind)| width(words, *kind)).fold(0.0, f64::max);
        let down: f64 = self.lines.iter().map(|(_, kind)| kind.size * 1.15).sum();
        (across + 2.0 * PAD, down + 2.0 * PAD)
    }

    /// Writes it into its box, on paper so that no line runs through the words.
    pub(crate) fn write(&self, svg: &mut Svg, rect: Rect) {
        svg.rect((rect.left, rect.top), (rect.width(), rect.height()), 2.0, Paint::fill(PAPER));
        let mut y = rect.top + PAD;
        for (words, kind) in &self.lines {
            let at = (rect.middle().0, y + kind.size * 0.9);
            svg.words(at, kind.middle(), words);
            y += kind.size * 1.15;
        }
    }
}

/// The way from a placed box to what it belongs to, where they are apart.
pub(crate) fn leader(rect: Rect, to: Point, least: f64) -> Option<(Point, Point)> {
    let from = rect.nearest(to);
    (distance(from, to) > least).then_some((from, to))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect { left: 10.0, top: 10.0, right: 110.0, bottom: 60.0 };

    #[test]
    fn what_is_placed_never_overlaps_and_never_leaves_the_board() {
        let mut board = Board::new(FRAME);
        let mut placed = Vec::new();
        for _ in 0..40 {
            let places = around((60.0, 35.0), (18.0, 9.0), 0.0, 80.0);
            placed.extend(board.place((18.0, 9.0), places, f64::INFINITY));
        }
        assert!((8..40).contains(&placed.len()), "{}", placed.len());
        for (place, one) in placed.iter().enumerate() {
            assert!(FRAME.covers(*one));
            assert!(placed[place + 1..].iter().all(|other| !one.overlaps(*other)));
        }
    }

    #[test]
    fn a_line_is_left_open_where_there_is_room_beside_it() {
        let mut board = Board::new(FRAME);
        board.ink(&[(10.0, 35.0), (110.0, 35.0)], false, 4);
        let places = around((60.0, 35.0), (20.0, 8.0), 0.0, 12.0);
        let rect = board.place((20.0, 8.0), places, f64::INFINITY).unwrap();
        assert!(rect.bottom < 35.0 || rect.top > 35.0, "{rect:?}");
    }

    #[test]
    fn what_costs_too_much_is_not_placed() {
        let mut board = Board::new(FRAME);
        board.ink(&[(10.0, 35.0), (110.0, 35.0)], false, 4);
        assert_eq!(board.place((90.0, 8.0), [((60.0, 35.0), 0.0)], 10.0), None);
        assert!(board.place((90.0, 8.0), [((60.0, 35.0), 0.0)], 1000.0).is_some());
    }
}
