//! The shortest way on foot from the gate to the door, around everything that is forbidden.
//!
//! # Formula
//!
//! A shortest way among polygons is straight except where it bends around an outward corner of
//! one of them. So the places are gate, door and those corners; two places are joined when
//! the straight line between them enters no shape; the shortest chain of such lines, found by
//! A* with the straight line to the door as the estimate, is the shortest way of all.
//! `[lozano-perez-1979]`
//!
//! # What is forbidden
//!
//! The inside of each shape. Its border may be walked along, so the caller makes the shapes as
//! large as the margin asks, with [`Shape::grown`]. Where two shapes touch there is no way
//! between them, not even along the seam: nobody walks through a gap without width.
//!
//! # Accepted range
//!
//! At most [`MOST_SHAPES`] shapes with [`MOST_CORNERS`] corners together, ours: every pair of
//! corners may have to be looked along, and a blocked way is looked for once more for each. The
//! worst that we found takes under a second.
//!
//! # Accuracy
//!
//! Whether a line enters a shape is decided exactly, on the corners as they are
//! `[shewchuk-1997]`; the path runs through those corners, so it is never inside by rounding.
//! Lengths are sums of square roots. The same input gives the same path: of two equally short
//! ones, the one whose corners come first.
//!
//! # Left out on purpose
//!
//! The width of a person and the margins, which are in the shapes; the ground underfoot; the
//! way a crowd spreads.
//!
//! # Sources
//!
//! `lozano-perez-1979`, `shewchuk-1997`.

mod corner;
mod search;
mod sight;

use std::fmt;

use crate::{
    plane::{Nearest, Point, Polyline, Shape, nearest},
    quantity::{FromAmount, Length},
    source,
    trace::{Step, Trace},
};

/// Forbidden shapes, at most.
pub const MOST_SHAPES: usize = 100;
/// Corners of all forbidden shapes together, at most.
pub const MOST_CORNERS: usize = 1000;

/// A shape that may not be entered.
#[derive(Clone, Copy, Debug)]
pub struct Forbidden<'a> {
    /// What the caller calls it; several shapes may bear the same number and are one thing then.
    pub index: usize,
    /// The shape, margin included.
    pub shape: &'a Shape,
}

/// The answer of [`walk`].
#[derive(Clone, Debug, PartialEq)]
pub enum Walk {
    /// There is a way, and this is the shortest.
    Path {
        /// Gate, corners it bends around, door.
        points: Vec<Point>,
        /// Its length.
        length: Length,
        /// Where it comes nearest to a forbidden shape; `None` when there is none.
        closest: Option<Approach>,
    },
    /// There is none.
    Blocked {
        /// What closes it, by the caller's index and in order: the one whose removal opens the
        /// shortest way. Several when no single one would do; then each of them is needed.
        by: Vec<usize>,
        /// Where it is closed.
        closed: Closed,
    },
}

/// Where a way is closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closed {
    /// The gate itself lies inside something forbidden.
    Gate,
    /// The door does.
    Door,
    /// Somewhere between them.
    Between,
}

/// How near the path comes to one forbidden shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Approach {
    /// The shape, by the caller's index.
    pub index: usize,
    /// How near, and where: from the path to the shape.
    pub nearest: Nearest,
}

/// Why no way was looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkError {
    /// More shapes than [`MOST_SHAPES`]: so many.
    TooManyShapes(usize),
    /// More corners than [`MOST_CORNERS`]: so many.
    TooManyCorners(usize),
}

impl fmt::Display for WalkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooManyShapes(found) => {
                write!(f, "{found} forbidden shapes; at most {MOST_SHAPES}")
            }
            Self::TooManyCorners(found) => {
                write!(f, "forbidden shapes with {found} corners; at most {MOST_CORNERS}")
            }
        }
    }
}

impl std::error::Error for WalkError {}

impl Closed {
    /// The place as a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gate => "gate",
            Self::Door => "door",
            Self::Between => "between",
        }
    }
}

/// The shortest way from `gate` to `door` that enters no forbidden shape.
///
/// # Errors
///
/// [`WalkError`] above [`MOST_SHAPES`] or [`MOST_CORNERS`].
pub fn walk(
    gate: Point,
    door: Point,
    forbidden: &[Forbidden<'_>],
    trace: &mut impl Trace,
) -> Result<Walk, WalkError> {
    let corners = forbidden.iter().map(|one| one.shape.corners().len()).sum();
    if forbidden.len() > MOST_SHAPES {
        return Err(WalkError::TooManyShapes(forbidden.len()));
    }
    if corners > MOST_CORNERS {
        return Err(WalkError::TooManyCorners(corners));
    }
    let answer = answer(gate, door, forbidden);
    trace.step(|| {
        let what = "shortest path over the corners that can be seen from each other";
        let step = Step::new("walking path", what).from(source::LOZANO_PEREZ_1979);
        let step = step.with("straight line", gate.distance(door));
        match &answer {
            Walk::Path { length, .. } => step.gives("length", *length),
            Walk::Blocked { .. } => step.remark("every way enters something forbidden"),
        }
    });
    Ok(answer)
}

fn answer(gate: Point, door: Point, forbidden: &[Forbidden<'_>]) -> Walk {
    for (place, closed) in [(gate, Closed::Gate), (door, Closed::Door)] {
        let by = indices(forbidden.iter().filter(|one| sight::inside(place.0, one.shape)));
        if !by.is_empty() {
            return Walk::Blocked { by, closed };
        }
    }
    match search::shortest(gate.0, door.0, forbidden) {
        Some(found) => path(found.points.into_iter().map(Point).collect(), found.length, forbidden),
        None => Walk::Blocked { by: closing(gate, door, forbidden), closed: Closed::Between },
    }
}

fn path(points: Vec<Point>, length: f64, forbidden: &[Forbidden<'_>]) -> Walk {
    // No path has more points than there are corners, so this cannot fail.
    let closest = Polyline::new(&points).ok().and_then(|line| {
        let approach =
            |one: &Forbidden<'_>| Approach { index: one.index, nearest: nearest(&line, one.shape) };
        let less = |a: &Approach, b: &Approach| {
            a.nearest.distance.si().total_cmp(&b.nearest.distance.si())
        };
        forbidden.iter().map(approach).min_by(less)
    });
    Walk::Path { points, length: Length::from_si(length), closest }
}

/// What closes the way: the one thing whose removal opens the shortest one, or several none
/// of which may stay.
fn closing(gate: Point, door: Point, forbidden: &[Forbidden<'_>]) -> Vec<usize> {
    let all = indices(forbidden.iter());
    let without = |gone: &[usize]| {
        let left: Vec<_> =
            forbidden.iter().filter(|one| !gone.contains(&one.index)).copied().collect();
        search::shortest(gate.0, door.0, &left).map(|found| found.length)
    };
    let opens = |index: &usize| Some((*index, without(&[*index])?));
    let shortest = all.iter().filter_map(opens).min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((index, _)) = shortest {
        return vec![index];
    }
    // Everything gone opens it. What can come back without closing it did not close it.
    let mut gone = all.clone();
    for index in all {
        let fewer: Vec<usize> = gone.iter().copied().filter(|other| *other != index).collect();
        if without(&fewer).is_some() {
            gone = fewer;
        }
    }
    gone
}

fn indices<'a>(some: impl Iterator<Item = &'a Forbidden<'a>>) -> Vec<usize> {
    let mut all: Vec<usize> = some.map(|one| one.index).collect();
    all.sort_unstable();
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::Silent;

    fn point(east: f64, north: f64) -> Point {
        Point::new(Length::from_si(east), Length::from_si(north)).unwrap()
    }

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let corners: Vec<_> = corners.iter().map(|(east, north)| point(*east, *north)).collect();
        Shape::new(&corners).unwrap()
    }

    fn block(west: f64, south: f64, east: f64, north: f64) -> Shape {
        shape(&[(west, south), (east, south), (east, north), (west, north)])
    }

    fn ask(gate: Point, door: Point, shapes: &[Shape]) -> Walk {
        let forbidden: Vec<_> =
            shapes.iter().enumerate().map(|(index, shape)| Forbidden { index, shape }).collect();
        walk(gate, door, &forbidden, &mut Silent).unwrap()
    }

    fn length(walk: &Walk) -> f64 {
        match walk {
            Walk::Path { length, .. } => length.value,
            Walk::Blocked { .. } => panic!("{walk:?}"),
        }
    }

    #[test]
    fn nothing_in_the_way_is_a_straight_line() {
        let walk = ask(point(0.0, 0.0), point(3.0, 4.0), &[]);
        let Walk::Path { points, length, closest } = walk else { panic!("{walk:?}") };
        assert_eq!(points, [point(0.0, 0.0), point(3.0, 4.0)]);
        assert!((length.value - 5.0).abs() < 1e-12);
        assert_eq!(closest, None);
    }

    #[test]
    fn a_block_is_walked_around_by_the_shorter_side_and_its_border_is_allowed() {
        // Corners at (4, 3) and (6, 3): 5 + 2 + 5.
        let walk = ask(point(0.0, 0.0), point(10.0, 0.0), &[block(4.0, -4.0, 6.0, 3.0)]);
        assert!((length(&walk) - 12.0).abs() < 1e-12, "{walk:?}");
        let Walk::Path { points, closest, .. } = walk else { panic!() };
        assert_eq!(points[1..3], [point(4.0, 3.0), point(6.0, 3.0)]);
        assert_eq!(closest.unwrap().index, 0);
        assert!(closest.unwrap().nearest.overlaps, "it touches the corner");
        // Along the border the line is straight.
        let walk = ask(point(0.0, 3.0), point(10.0, 3.0), &[block(4.0, -4.0, 6.0, 3.0)]);
        assert!((length(&walk) - 10.0).abs() < 1e-12, "{walk:?}");
    }

    fn blocked(walk: &Walk) -> (Vec<usize>, Closed) {
        match walk {
            Walk::Blocked { by, closed } => (by.clone(), *closed),
            Walk::Path { .. } => panic!("{walk:?}"),
        }
    }

    /// Four walls around the door at the origin, 3 m by 3 m inside; `gap` opens the west wall.
    fn yard(gap: f64) -> Vec<Shape> {
        vec![
            block(-4.0, 3.0, 4.0, 4.0),
            block(-4.0, -4.0, 4.0, -3.0),
            block(3.0, -3.0, 4.0, 3.0),
            block(-4.0, -3.0 + gap, -3.0, 3.0),
        ]
    }

    #[test]
    fn nobody_walks_along_a_seam_or_through_a_touching_corner() {
        let (gate, door) = (point(-10.0, 0.0), point(0.0, 0.0));
        // Every wall touches its neighbours in a seam of some length.
        assert_eq!(blocked(&ask(gate, door, &yard(0.0))), (vec![3], Closed::Between));
        // A gap of a millimetre is a way; whoever needs more makes the walls larger.
        assert!(length(&ask(gate, door, &yard(0.001))) > 10.0);
        // Corner to corner, on the straight line and around a bend.
        let touching = |east: f64| {
            vec![
                block(-4.0, 0.0, -3.0, 30.0),
                block(-3.0, -30.0, -2.0, 0.0),
                block(-4.0, 29.0, east, 30.0),
                block(-4.0, -30.0, east, -29.0),
                block(9.0, -30.0, 10.0, 30.0),
            ]
        };
        for (gate, door) in [((-4.0, 1.0), (-2.0, -1.0)), ((-6.0, -2.0), (0.0, 2.0))] {
            let (gate, door) = (point(gate.0 - 1.0, gate.1), point(door.0 + 1.0, door.1));
            let (by, closed) = blocked(&ask(gate, door, &touching(10.0)));
            assert_eq!((by.len(), closed), (1, Closed::Between), "{by:?}");
            assert!(length(&ask(gate, door, &touching(0.0))) > 50.0);
        }
    }

    #[test]
    fn a_seam_on_the_way_is_passed_outside() {
        // Two blocks side by side; along their common top the way is straight.
        let blocks = [block(0.0, 0.0, 2.0, 2.0), block(2.0, 0.0, 4.0, 2.0)];
        assert!((length(&ask(point(-1.0, 2.0), point(5.0, 2.0), &blocks)) - 6.0).abs() < 1e-12);
        // From the foot of the seam to its head there is no way but around.
        let around = length(&ask(point(2.0, 0.0), point(2.0, 2.0), &blocks));
        assert!((around - 6.0).abs() < 1e-12, "{around}");
        // The same shape twice is one shape.
        let twice = [block(0.0, 0.0, 2.0, 2.0), block(0.0, 0.0, 2.0, 2.0)];
        let around = length(&ask(point(0.0, 0.0), point(2.0, 2.0), &twice));
        assert!((around - 4.0).abs() < 1e-12, "{around}");
        // Two that share a corner and point outwards together: the way bends there.
        let shared = [
            shape(&[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)]),
            shape(&[(2.0, 2.0), (2.0, 0.0), (4.0, 1.0)]),
        ];
        let way = length(&ask(point(1.0, 2.0), point(3.0, 2.0), &shared));
        let want = 1.0 + 1.0;
        assert!((way - want).abs() < 1e-12, "{way}");
    }

    #[test]
    fn an_end_inside_is_blocked_there_and_an_end_on_the_border_is_not() {
        let blocks = [block(0.0, 0.0, 2.0, 2.0), block(1.0, 1.0, 3.0, 3.0)];
        let out = point(-5.0, 1.0);
        let twice = point(1.5, 1.5);
        assert_eq!(blocked(&ask(twice, out, &blocks)), (vec![0, 1], Closed::Gate));
        assert_eq!(blocked(&ask(out, point(2.5, 2.5), &blocks)), (vec![1], Closed::Door));
        assert!((length(&ask(out, point(0.0, 1.0), &blocks)) - 5.0).abs() < 1e-12);
        // From one side of the border to the other, around two corners.
        let way = length(&ask(point(0.0, 0.5), point(2.0, 0.5), &blocks[..1]));
        assert!((way - 3.0).abs() < 1e-12, "{way}");
        assert!((length(&ask(out, out, &blocks))).abs() < 1e-12);
    }

    /// A waist between two notches: straight from one to the other leads through the inside, and
    /// touches nothing but the two corners it begins and ends at.
    #[test]
    fn from_notch_to_notch_the_way_leads_around() {
        let waist =
            [shape(&[(0.0, 0.0), (2.0, 1.0), (4.0, 0.0), (4.0, 4.0), (2.0, 3.0), (0.0, 4.0)])];
        let way = length(&ask(point(2.0, 3.0), point(2.0, 1.0), &waist));
        assert!((way - (4.0 + 2.0 * 5_f64.sqrt())).abs() < 1e-12, "{way}");
        // And through both corners from outside.
        let way = length(&ask(point(2.0, 9.0), point(2.0, -5.0), &waist));
        assert!((way - (4.0 + 2.0 * 29_f64.sqrt())).abs() < 1e-12, "{way}");
    }

    #[test]
    fn what_closes_the_way_is_named_once_and_by_the_callers_number() {
        let (gate, door) = (point(-10.0, 0.0), point(0.0, 0.0));
        let walls = yard(0.0);
        // Two walls bear one number, so they go together.
        let numbers = [70, 7, 8, 70];
        let forbidden: Vec<_> =
            walls.iter().zip(numbers).map(|(shape, index)| Forbidden { index, shape }).collect();
        let walk_ = walk(gate, door, &forbidden, &mut Silent).unwrap();
        assert_eq!(blocked(&walk_), (vec![70], Closed::Between));
        // A second yard around the first: one wall of each.
        let mut both = yard(0.0);
        both.extend([
            block(-8.0, 7.0, 8.0, 8.0),
            block(-8.0, -8.0, 8.0, -7.0),
            block(7.0, -8.0, 8.0, 8.0),
            block(-8.0, -8.0, -7.0, 8.0),
        ]);
        let (by, closed) = blocked(&ask(gate, door, &both));
        assert_eq!((by.len(), closed), (2, Closed::Between), "{by:?}");
        assert!(by[0] < 4 && by[1] >= 4, "{by:?}");
    }

    #[test]
    fn counts_above_the_bound_are_refused_and_at_the_bound_answered() {
        let corners: Vec<_> = (0..500_u32)
            .map(|n| (f64::from(n) / 500.0 * std::f64::consts::TAU).sin_cos())
            .collect();
        let round = shape(&corners);
        let small = block(3.0, 3.0, 4.0, 4.0);
        let ask = |shapes: &[&Shape]| {
            let forbidden: Vec<_> = shapes
                .iter()
                .enumerate()
                .map(|(index, shape)| Forbidden { index, shape })
                .collect();
            walk(point(-2.0, 0.0), point(2.0, 0.1), &forbidden, &mut Silent)
        };
        assert!(matches!(ask(&[&round, &round]), Ok(Walk::Path { .. })));
        assert_eq!(ask(&[&round, &round, &small]), Err(WalkError::TooManyCorners(1004)));
        assert!(matches!(ask(&[&small; 100]), Ok(Walk::Path { .. })));
        assert_eq!(ask(&[&small; 101]), Err(WalkError::TooManyShapes(101)));
    }
}
