//! Plane geometry on the sheet: boxes, clipping, hatching. All in the units of the sheet.

use crate::svg::Path;

pub(crate) type Point = (f64, f64);

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rect {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

impl Rect {
    pub(crate) fn around((x, y): Point, (width, height): (f64, f64)) -> Self {
        let (dx, dy) = (width / 2.0, height / 2.0);
        Self { left: x - dx, top: y - dy, right: x + dx, bottom: y + dy }
    }

    /// The smallest box around points; `None` without any.
    pub(crate) fn of(points: impl IntoIterator<Item = Point>) -> Option<Self> {
        points.into_iter().fold(None, |sofar, (x, y)| {
            let one = Self { left: x, top: y, right: x, bottom: y };
            Some(sofar.map_or(one, |all: Self| all.with(one)))
        })
    }

    pub(crate) fn with(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    /// What both share; `None` when they are apart.
    pub(crate) fn shared(self, other: Self) -> Option<Self> {
        let both = Self {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        };
        (both.left <= both.right && both.top <= both.bottom).then_some(both)
    }

    pub(crate) fn grown(self, by: f64) -> Self {
        Self {
            left: self.left - by,
            top: self.top - by,
            right: self.right + by,
            bottom: self.bottom + by,
        }
    }

    pub(crate) fn width(self) -> f64 {
        self.right - self.left
    }

    pub(crate) fn height(self) -> f64 {
        self.bottom - self.top
    }

    pub(crate) fn middle(self) -> Point {
        (f64::midpoint(self.left, self.right), f64::midpoint(self.top, self.bottom))
    }

    /// The point of this box nearest to `point`.
    pub(crate) fn nearest(self, (x, y): Point) -> Point {
        (x.clamp(self.left, self.right), y.clamp(self.top, self.bottom))
    }

    pub(crate) fn holds(self, (x, y): Point) -> bool {
        self.left <= x && x <= self.right && self.top <= y && y <= self.bottom
    }

    pub(crate) fn covers(self, other: Self) -> bool {
        self.holds((other.left, other.top)) && self.holds((other.right, other.bottom))
    }

    /// True when they share more than an edge.
    pub(crate) fn overlaps(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

pub(crate) fn distance(from: Point, to: Point) -> f64 {
    f64::hypot(to.0 - from.0, to.1 - from.1)
}

/// The point a share of the way from one to the other.
pub(crate) fn between(from: Point, to: Point, share: f64) -> Point {
    (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share)
}

/// The point of a stretch nearest to `point`.
pub(crate) fn nearest_on(from: Point, to: Point, point: Point) -> Point {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let square = dx * dx + dy * dy;
    if square <= 0.0 {
        return from;
    }
    let share = ((point.0 - from.0) * dx + (point.1 - from.1) * dy) / square;
    between(from, to, share.clamp(0.0, 1.0))
}

/// The stretches of a line; those of an outline go back to its start.
pub(crate) fn stretches(points: &[Point], closed: bool) -> impl Iterator<Item = (Point, Point)> {
    let back = points.last().copied().zip(points.first().copied()).filter(|_| closed);
    points.windows(2).map(|pair| (pair[0], pair[1])).chain(back)
}

/// Points along a line, at most `step` apart.
pub(crate) fn along(points: &[Point], closed: bool, step: f64) -> Vec<Point> {
    let mut found: Vec<_> = points.first().copied().into_iter().collect();
    for (from, to) in stretches(points, closed) {
        let parts = (distance(from, to) / step).ceil().clamp(1.0, 4000.0) as usize;
        found.extend((1..=parts).map(|part| between(from, to, part as f64 / parts as f64)));
    }
    found
}

/// The part of a stretch inside a box.
pub(crate) fn clip(from: Point, to: Point, frame: Rect) -> Option<(Point, Point)> {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    for (step, room) in [
        (-dx, from.0 - frame.left),
        (dx, frame.right - from.0),
        (-dy, from.1 - frame.top),
        (dy, frame.bottom - from.1),
    ] {
        if step == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if step < 0.0 {
            enter = enter.max(room / step);
        } else {
            leave = leave.min(room / step);
        }
    }
    (enter <= leave).then(|| (between(from, to, enter), between(from, to, leave)))
}

/// The part of an area inside a box. Where the area is cut in two, the pieces stay joined along
/// the edge of the box, which a fill does not show.
pub(crate) fn clip_area(points: &[Point], frame: Rect) -> Vec<Point> {
    let sides = [
        (true, frame.left, 1.0),
        (true, frame.right, -1.0),
        (false, frame.top, 1.0),
        (false, frame.bottom, -1.0),
    ];
    let mut area = points.to_vec();
    for (across, edge, inward) in sides {
        let of = |point: Point| if across { point.0 } else { point.1 };
        let mut kept = Vec::with_capacity(area.len() + 4);
        for (from, to) in stretches(&area, true) {
            let (start, end) = ((of(from) - edge) * inward, (of(to) - edge) * inward);
            if start >= 0.0 {
                kept.push(from);
            }
            if (start >= 0.0) != (end >= 0.0) {
                kept.push(between(from, to, start / (start - end)));
            }
        }
        area = kept;
    }
    area
}

/// A line as a path, only inside a box.
pub(crate) fn path_inside(points: &[Point], closed: bool, frame: Rect) -> Path {
    if points.iter().all(|point| frame.holds(*point)) {
        let path = polyline(points);
        return if closed { path.close() } else { path };
    }
    let mut path = Path::default();
    let mut end: Option<Point> = None;
    for (from, to) in stretches(points, closed) {
        let Some((start, stop)) = clip(from, to, frame) else { continue };
        if end.is_none_or(|end| distance(end, start) > 1e-6) {
            path = path.go(start.0, start.1);
        }
        path = path.line(stop.0, stop.1);
        end = Some(stop);
    }
    path
}

pub(crate) fn polyline(points: &[Point]) -> Path {
    points.iter().enumerate().fold(Path::default(), |path, (place, (x, y))| {
        if place == 0 { path.go(*x, *y) } else { path.line(*x, *y) }
    })
}

/// Which way the lines of a hatch lean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lean {
    /// Like a stroke: rising to the right.
    Rising,
    /// Falling to the right.
    Falling,
    /// Level.
    Level,
}

/// Lines that fill an area, `step` apart.
pub(crate) fn hatch(area: &[Point], lean: Lean, step: f64) -> Path {
    // Turned so that the lines of the hatch lie level, then turned back.
    let h = std::f64::consts::FRAC_1_SQRT_2;
    let (sin, cos) = match lean {
        Lean::Rising => (h, h),
        Lean::Falling => (-h, h),
        Lean::Level => (0.0, 1.0),
    };
    let turned: Vec<Point> =
        area.iter().map(|(x, y)| (cos * x - sin * y, sin * x + cos * y)).collect();
    let Some(all) = Rect::of(turned.iter().copied()) else { return Path::default() };
    let mut path = Path::default();
    // Lines at whole steps, so that the hatch of neighbours lies in one line.
    let mut row = (all.top / step).ceil();
    while row * step < all.bottom {
        let y = row * step;
        let mut cuts: Vec<f64> = stretches(&turned, true)
            .filter(|(from, to)| (from.1 <= y) != (to.1 <= y))
            .map(|(from, to)| between(from, to, (y - from.1) / (to.1 - from.1)).0)
            .collect();
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.chunks_exact(2).filter(|pair| pair[1] - pair[0] > 0.3) {
            let back = |x: f64| (cos * x + sin * y, cos * y - sin * x);
            let (from, to) = (back(pair[0]), back(pair[1]));
            path = path.go(from.0, from.1).line(to.0, to.1);
        }
        row += 1.0;
    }
    path
}

/// True when `point` lies inside the area, by the even-odd rule.
pub(crate) fn inside(area: &[Point], (x, y): Point) -> bool {
    let crossings = stretches(area, true).filter(|(from, to)| {
        (from.1 > y) != (to.1 > y) && x < between(*from, *to, (y - from.1) / (to.1 - from.1)).0
    });
    crossings.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const FRAME: Rect = Rect { left: 0.0, top: 0.0, right: 100.0, bottom: 50.0 };

    /// Twice the area, by the shoelace formula.
    fn twice_area(points: &[Point]) -> f64 {
        let sum: f64 = stretches(points, true).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
        sum.abs()
    }

    #[test]
    fn a_stretch_is_cut_where_it_leaves_the_box() {
        let cut = clip((-50.0, 10.0), (150.0, 10.0), FRAME);
        assert_eq!(cut, Some(((0.0, 10.0), (100.0, 10.0))));
        assert_eq!(clip((10.0, 10.0), (20.0, 20.0), FRAME), Some(((10.0, 10.0), (20.0, 20.0))));
        assert_eq!(clip((10.0, -1.0), (20.0, -1.0), FRAME), None);
        assert_eq!(clip((-10.0, 40.0), (20.0, 90.0), FRAME), None);
    }

    #[test]
    fn an_area_is_cut_to_what_lies_inside() {
        let square = [(-20.0, -20.0), (30.0, -20.0), (30.0, 10.0), (-20.0, 10.0)];
        assert!((twice_area(&clip_area(&square, FRAME)) - 600.0).abs() < 1e-9);
        let apart = square.map(|(x, y)| (x - 200.0, y));
        assert!(clip_area(&apart, FRAME).is_empty());
    }

    #[test]
    fn the_nearest_point_of_a_stretch_is_its_foot_or_an_end() {
        assert_eq!(nearest_on((0.0, 0.0), (10.0, 0.0), (3.0, 4.0)), (3.0, 0.0));
        assert_eq!(nearest_on((0.0, 0.0), (10.0, 0.0), (13.0, 4.0)), (10.0, 0.0));
        assert_eq!(nearest_on((2.0, 2.0), (2.0, 2.0), (3.0, 4.0)), (2.0, 2.0));
    }

    proptest! {
        #[test]
        fn whatever_is_clipped_lies_in_the_box(
            points in proptest::collection::vec((-300.0..300.0, -300.0..300.0), 3..9),
        ) {
            let frame = FRAME.grown(1e-6);
            for point in clip_area(&points, FRAME) {
                prop_assert!(frame.holds(point), "{point:?}");
            }
            for (from, to) in stretches(&points, true) {
                if let Some((from, to)) = clip(from, to, FRAME) {
                    prop_assert!(frame.holds(from) && frame.holds(to));
                }
            }
        }

        #[test]
        fn a_hatch_stays_inside_its_area(
            points in proptest::collection::vec((0.0..90.0, 0.0..45.0), 3..7),
            lean in prop::sample::select(vec![Lean::Rising, Lean::Falling, Lean::Level]),
        ) {
            let text = format!("{:?}", hatch(&points, lean, 4.0));
            let steps = text.trim_start_matches("Path(\"").trim_end_matches("\")");
            for line in steps.split('M').filter(|line| !line.is_empty()) {
                let ends: Vec<Point> = line.split('L').map(|end| {
                    let end = end.replace('-', " -");
                    let numbers: Vec<f64> =
                        end.split_whitespace().map(|one| one.parse().unwrap()).collect();
                    (numbers[0], numbers[1])
                }).collect();
                let middle = between(ends[0], ends[1], 0.5);
                // Two decimals in the text, so a point on the very edge may fall either way.
                let near = stretches(&points, true)
                    .any(|(from, to)| distance(nearest_on(from, to, middle), middle) < 0.02);
                prop_assert!(near || inside(&points, middle), "{middle:?}");
            }
        }
    }
}
