//! How much ground two shapes share.
//!
//! Every edge stands on the ground like a wall, with the area between it and the bottom of the
//! picture counted plus or minus by the direction of the edge. A shape is the sum of its
//! walls, so the shared area is the sum over pairs of edges of what lies below both, which
//! is a trapezium or two. `[plane-geometry]` No point of crossing decides anything, so there
//! is no touching, no shared edge and no sliver that could be judged wrongly.

use super::{Rect, Shape, Xy, nearest};
use crate::quantity::{Area, FromAmount};

impl Shape {
    /// The area that lies in both shapes; nothing at all when they do not touch.
    #[must_use]
    pub fn overlap_area(&self, other: &Self) -> Area {
        let (a, b) = (&self.bounds, &other.bounds);
        // Near each other, the sum may leave a trace of rounding on either side of nothing.
        if !a.meets(b) || !nearest(self, other).overlaps {
            return Area::from_si(0.0);
        }
        // Only what both boxes hold can be shared; the rest would cost digits.
        let window = Rect {
            low: Xy { x: a.low.x.max(b.low.x), y: a.low.y.max(b.low.y) },
            high: Xy { x: a.high.x.min(b.high.x), y: a.high.y.min(b.high.y) },
        };
        let (mut area, mut terms) = (0.0, 0.0);
        for one in self.ring.windows(2) {
            for two in other.ring.windows(2) {
                let part = below_both((one[0], one[1]), (two[0], two[1]), &window);
                area += part;
                terms += part.abs();
            }
        }
        // Of shapes that only touch, the terms cancel but for their last digits. What is
        // smaller than those is nothing.
        Area::from_si(if area > terms * ROUNDING { area } else { 0.0 })
    }
}

/// The last digits of a sum, as a share of its terms: each has some ten roundings behind it.
const ROUNDING: f64 = 16.0 * f64::EPSILON;

/// The area of the window below both edges; positive when both run the same way.
fn below_both(one: (Xy, Xy), two: (Xy, Xy), window: &Rect) -> f64 {
    let (a, sign_a) = rightwards(one);
    let (b, sign_b) = rightwards(two);
    let left = a.0.x.max(b.0.x).max(window.low.x);
    let right = a.1.x.min(b.1.x).min(window.high.x);
    if left >= right {
        return 0.0;
    }
    let heights = |x: f64| (height(a, x), height(b, x));
    let ((a0, b0), (a1, b1)) = (heights(left), heights(right));
    let (low, high) = (window.low.y, window.high.y);
    let (over0, over1) = (a0 - b0, a1 - b1);
    let area = if over0 * over1 < 0.0 {
        let share = over0 / (over0 - over1);
        let (middle, crossing) = (left + (right - left) * share, a0 + (a1 - a0) * share);
        below(a0.min(b0), crossing, middle - left, low, high)
            + below(crossing, a1.min(b1), right - middle, low, high)
    } else {
        below(a0.min(b0), a1.min(b1), right - left, low, high)
    };
    area * sign_a * sign_b
}

/// The edge from left to right, and -1 where it had to be turned round.
fn rightwards((a, b): (Xy, Xy)) -> ((Xy, Xy), f64) {
    if a.x <= b.x { ((a, b), 1.0) } else { ((b, a), -1.0) }
}

/// Height of an edge at `x`, from the end that is nearer.
fn height((a, b): (Xy, Xy), x: f64) -> f64 {
    let slope = (b.y - a.y) / (b.x - a.x);
    if x - a.x < b.x - x { a.y + slope * (x - a.x) } else { b.y - slope * (b.x - x) }
}

/// The area under a straight line from height `y0` to `y1` over `width`, between `low` and `high`.
fn below(y0: f64, y1: f64, width: f64, low: f64, high: f64) -> f64 {
    let over = |floor: f64| {
        // The area of what rises above `floor`.
        let (h0, h1) = (y0 - floor, y1 - floor);
        match (h0 > 0.0, h1 > 0.0) {
            (true, true) => width * (h0 + h1) / 2.0,
            (true, false) => width * h0 * (h0 / (h0 - h1)) / 2.0,
            (false, true) => width * h1 * (h1 / (h1 - h0)) / 2.0,
            (false, false) => 0.0,
        }
    };
    over(low) - over(high)
}
