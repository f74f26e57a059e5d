//! Whether a straight line enters a shape, decided without rounding.
//!
//! A line that enters the inside of a polygon does so through an edge it crosses, or at a
//! corner, or at its own beginning or end. All three are questions of sides, which are exact.
//! A line that only touches is remembered with the side on which the shape lies: between two
//! shapes that touch each other there is no way through.

use crate::plane::{Position, Rect, Shape, Xy, opposite, side};

/// True when the point lies inside, not on the border.
pub(super) fn inside(p: Xy, shape: &Shape) -> bool {
    shape.locate(p) == Position::Inside
}

/// A straight line from one place to another, with what it has touched.
pub(super) struct Sight {
    p: Xy,
    q: Xy,
    bounds: Rect,
    touched: Vec<Touch>,
}

/// A stretch of the line, as places along it, that lies on the border of a shape.
struct Touch {
    from: f64,
    to: f64,
    /// True when the shape lies to the left of the line.
    left: bool,
}

impl Sight {
    pub(super) fn new(p: Xy, q: Xy) -> Self {
        Self { p, q, bounds: Rect::of(p, q), touched: Vec::new() }
    }

    /// True when the line enters `shape`, or passes between it and one that was asked before.
    pub(super) fn enters(&mut self, shape: &Shape) -> bool {
        if !shape.bounds().meets(&self.bounds) {
            return false;
        }
        let (p, q) = (self.p, self.q);
        let open = shape.open();
        let count = open.len();
        let mut before = side(p, q, open[count - 1]);
        for n in 0..count {
            let (prev, at) = (open[if n == 0 { count - 1 } else { n - 1 }], open[n]);
            let here = side(p, q, at);
            if opposite(before, here) && self.goes_through(prev, at) {
                return true;
            }
            if here == 0.0 && self.bounds.holds(at) {
                let next = open[(n + 1) % count];
                if self.enters_at(prev, at, next) {
                    return true;
                }
            }
            if here == 0.0 && before == 0.0 {
                self.runs_along(prev, at);
            }
            before = here;
        }
        self.squeezes()
    }

    /// For an edge whose ends lie on either side of the line: whether they cross, or the line
    /// begins or ends on the edge and leads inwards.
    fn goes_through(&self, a: Xy, b: Xy) -> bool {
        // Inside is to the left of each edge.
        let (from, to) = (side(a, b, self.p), side(a, b, self.q));
        opposite(from, to) || from == 0.0 && to > 0.0 || to == 0.0 && from > 0.0
    }

    /// For a corner on the line: whether the line leads inwards from there, either way.
    fn enters_at(&mut self, prev: Xy, at: Xy, next: Xy) -> bool {
        let ends = at == self.p || at == self.q;
        for other in [self.p, self.q] {
            if other != at && leads_in(prev, at, next, other) {
                return true;
            }
        }
        if !ends {
            // The shape keeps to one side here, so either neighbour off the line shows which.
            let (a, b) = (side(self.p, self.q, prev), side(self.p, self.q, next));
            let left = a > 0.0 || b > 0.0;
            // A corner in the middle of a straight edge is part of a stretch, noted there.
            if a != 0.0 || b != 0.0 {
                let place = self.along(at);
                self.touched.push(Touch { from: place, to: place, left });
            }
        }
        false
    }

    /// For an edge along the line: the stretch that both have.
    fn runs_along(&mut self, a: Xy, b: Xy) {
        let (from, to) = (self.along(a), self.along(b));
        let (low, high) = (self.along(self.p), self.along(self.q));
        let stretch =
            Touch { from: from.min(to).max(low), to: from.max(to).min(high), left: from < to };
        if stretch.from < stretch.to {
            self.touched.push(stretch);
        }
    }

    /// Place along the line: the coordinate that changes more, rising towards `q`. It is
    /// taken as it is, so that equal places are equal.
    fn along(&self, at: Xy) -> f64 {
        let way = self.q - self.p;
        let (value, rises) =
            if way.x.abs() >= way.y.abs() { (at.x, way.x >= 0.0) } else { (at.y, way.y >= 0.0) };
        if rises { value } else { -value }
    }

    /// True when something lies to the left and something to the right of one place, other
    /// than the two ends.
    fn squeezes(&self) -> bool {
        let (first, last) = (self.along(self.p), self.along(self.q));
        let lefts = || self.touched.iter().filter(|touch| touch.left);
        self.touched.iter().filter(|touch| !touch.left).any(|right| {
            lefts().any(|left| {
                let (low, high) = (left.from.max(right.from), left.to.min(right.to));
                low <= high && high > first && low < last
            })
        })
    }
}

/// True when the way from the corner `at` towards `to` leads into the shape.
fn leads_in(prev: Xy, at: Xy, next: Xy, to: Xy) -> bool {
    let (from_next, from_prev) = (side(at, next, to), side(at, prev, to));
    match side(prev, at, next) {
        turn if turn > 0.0 => from_next > 0.0 && from_prev < 0.0,
        turn if turn < 0.0 => !(from_prev >= 0.0 && from_next <= 0.0),
        _ => from_next > 0.0,
    }
}
