//! The sums of [`crate::plane`] and [`crate::walk`] by name.

use super::{Args, Input, Output, Outs, Shape as Takes, Sum, SumError};
use crate::{
    plane::{self, Nearest, Point, Shape, ShapeError, nearest},
    quantity::{FromAmount, Length},
    source,
    trace::{Step, Trace, Working},
    unit::{M, M2},
    walk::{Forbidden, Walk, WalkError, walk},
};

impl From<ShapeError> for SumError {
    fn from(error: ShapeError) -> Self {
        match error {
            ShapeError::OutOfRange(error) => error.into(),
            other => Self::NoAnswer(other.to_string()),
        }
    }
}

impl From<WalkError> for SumError {
    fn from(error: WalkError) -> Self {
        Self::NoAnswer(error.to_string())
    }
}

const CORNER: &[Input] = &[
    Input::quantity("east", plane::COORDINATE, "east of the origin of the apron"),
    Input::quantity("north", plane::COORDINATE, "north of it"),
];
const CORNERS: Input =
    Input::shaped("corners", Takes::Rows(CORNER), "corners of the shape, in order around it");
const EAST: Input = Input::quantity("east", plane::COORDINATE, "the point, east of the origin");
const NORTH: Input = Input::quantity("north", plane::COORDINATE, "the point, north of the origin");
const FORBIDDEN: &[Input] = &[
    CORNERS,
    Input::quantity("margin", plane::OFFSET, "how far to keep from it; left out: its border")
        .optional(),
];

const DISTANCE_OUT: Output = Output::new("distance", M, "least distance; 0 where they touch");

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "shape",
        answers: "Area, way around, balance point and hull of a shape on the apron.",
        inputs: &[CORNERS],
        outputs: &[
            Output::new("area", M2, "its area"),
            Output::new("perimeter", M, "the way around it"),
            Output::new("centroid_east", M, "where a plate of that shape balances"),
            Output::new("centroid_north", M, "the same, north"),
            Output::other("convex", "yes, or no when a corner points inwards"),
            Output::new("hull_area", M2, "area of the smallest convex shape around it"),
        ],
        sources: &[source::PLANE_GEOMETRY, source::SHEWCHUK_1997],
        run: shape,
    },
    Sum {
        name: "shape-distance",
        answers: "How near two shapes come to each other, where, and how much they overlap.",
        inputs: &[
            Input { key: "shape", says: "corners of one shape, in order around it", ..CORNERS },
            Input { key: "other", says: "corners of the other one", ..CORNERS },
        ],
        outputs: &[
            DISTANCE_OUT,
            Output::other("overlaps", "yes when they touch, overlap, or one lies in the other"),
            Output::new("from_east", M, "nearest point of the one"),
            Output::new("from_north", M, "the same, north"),
            Output::new("to_east", M, "nearest point of the other"),
            Output::new("to_north", M, "the same, north"),
            Output::new("overlap_area", M2, "area that lies in both"),
        ],
        sources: &[source::PLANE_GEOMETRY, source::SHEWCHUK_1997],
        run: shape_distance,
    },
    Sum {
        name: "point-distance",
        answers: "How near a point is to a shape, and whether it lies inside.",
        inputs: &[EAST, NORTH, CORNERS],
        outputs: &[
            DISTANCE_OUT,
            Output::other("position", "inside, outside, or border"),
            Output::new("to_east", M, "nearest point of the shape"),
            Output::new("to_north", M, "the same, north"),
        ],
        sources: &[source::PLANE_GEOMETRY, source::SHEWCHUK_1997],
        run: point_distance,
    },
    Sum {
        name: "shape-offset",
        answers: "The ground within a distance of a shape, with round corners.",
        inputs: &[CORNERS, Input::quantity("by", plane::OFFSET, "the distance")],
        outputs: &[
            Output::new("area", M2, "area of that ground, with the shape, without holes"),
            Output::new("outline", M, "the way around it"),
            Output::other("holes", "area of each hole, where a bay closes behind its mouth"),
            Output::new("grown_area", M2, "area of the straight-sided shape used for walking"),
        ],
        sources: &[source::PLANE_GEOMETRY, source::STEINER_1840],
        run: shape_offset,
    },
    Sum {
        name: "walking-path",
        answers: "The shortest way on foot from a gate to a door that enters nothing forbidden.",
        inputs: &[
            Input { key: "gate_east", says: "the gate, east of the origin", ..EAST },
            Input { key: "gate_north", says: "the gate, north of the origin", ..NORTH },
            Input { key: "door_east", says: "the door, east of the origin", ..EAST },
            Input { key: "door_north", says: "the door, north of the origin", ..NORTH },
            Input::shaped("forbidden", Takes::Rows(FORBIDDEN), "shapes that may not be entered")
                .optional(),
        ],
        outputs: &[
            Output::other("way", "open or blocked"),
            Output::new("length", M, "length of the shortest way"),
            Output::other("points", "where it begins, bends and ends: east, north"),
            Output::new("closest", M, "how near it comes to the border of what is forbidden"),
            Output::other("closest_to", "of which one, counted from 1"),
            Output::other("blocked_at", "gate, door or between; when there is no way"),
            Output::other("blocked_by", "number of what closes it, counted from 1"),
        ],
        sources: &[source::LOZANO_PEREZ_1979, source::SHEWCHUK_1997],
        run: walking_path,
    },
];

fn shape(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let shape = corners(args, "corners")?;
    let (area, centroid) = (shape.area(), shape.centroid());
    working.step(|| {
        Step::new("area of the shape", "A = sum of (x1 y2 - x2 y1) / 2 around it")
            .gives("A", area)
            .from(source::PLANE_GEOMETRY)
    });
    working.step(|| {
        let what = "x = sum of (x1 + x2) (x1 y2 - x2 y1) / (6 A), y in the same way";
        Step::new("balance point", what)
            .with("A", area)
            .gives("x", centroid.east())
            .gives("y", centroid.north())
            .from(source::PLANE_GEOMETRY)
    });
    Ok(Outs::default()
        .put("area", M2, area)
        .put("perimeter", M, shape.perimeter())
        .put("centroid_east", M, centroid.east())
        .put("centroid_north", M, centroid.north())
        .word("convex", yes_or_no(shape.convex()))
        .put("hull_area", M2, shape.hull().area()))
}

fn shape_distance(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let (one, other) = (corners(args, "shape")?, corners(args, "other")?);
    let found = nearest(&one, &other);
    measured(&found, working);
    let shared = one.overlap_area(&other);
    working.step(|| {
        Step::new("area in both", "sum over pairs of edges of the area below both")
            .gives("area", shared)
            .from(source::PLANE_GEOMETRY)
    });
    let outs = Outs::default()
        .put("distance", M, found.distance)
        .word("overlaps", yes_or_no(found.overlaps))
        .put("from_east", M, found.from.east())
        .put("from_north", M, found.from.north());
    Ok(put_to(outs, &found).put("overlap_area", M2, shared))
}

fn point_distance(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let point = Point::new(args.quantity("east")?, args.quantity("north")?)?;
    let shape = corners(args, "corners")?;
    let found = nearest(point, &shape);
    measured(&found, working);
    let position = shape.position(point).word();
    let outs = Outs::default().put("distance", M, found.distance).word("position", position);
    Ok(put_to(outs, &found))
}

fn shape_offset(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let shape = corners(args, "corners")?;
    let by: Length = args.quantity("by")?;
    let offset = shape.offset(by)?;
    let convex = shape.convex();
    working.step(|| {
        let (what, source) = if convex {
            ("A + P d + pi d^2", source::STEINER_1840)
        } else {
            ("half of the sum of x dy - y dx along lines and arcs", source::PLANE_GEOMETRY)
        };
        Step::new("ground within d", what)
            .with("d", by)
            .with("A", shape.area())
            .with("P", shape.perimeter())
            .gives("area", offset.area())
            .from(source)
    });
    let holes = offset.holes.iter().map(|hole| Outs::default().put("area", M2, hole.area()));
    Ok(Outs::default()
        .put("area", M2, offset.area())
        .put("outline", M, offset.outline.length())
        .rows("holes", holes.collect())
        .put("grown_area", M2, shape.grown(by)?.area()))
}

fn walking_path(args: &Args, working: &mut Working) -> Result<Outs, SumError> {
    let gate = Point::new(args.quantity("gate_east")?, args.quantity("gate_north")?)?;
    let door = Point::new(args.quantity("door_east")?, args.quantity("door_north")?)?;
    let rows = args.rows("forbidden").iter().enumerate();
    let shapes: Vec<Shape> =
        rows.map(|(place, row)| forbidden(place, row)).collect::<Result<_, _>>()?;
    let one = |(place, shape)| Forbidden { index: place + 1, shape };
    let all: Vec<Forbidden<'_>> = shapes.iter().enumerate().map(one).collect();
    Ok(match walk(gate, door, &all, working)? {
        Walk::Path { points, length, closest } => {
            let at = |point: Point| {
                Outs::default().put("east", M, point.east()).put("north", M, point.north())
            };
            let outs = Outs::default()
                .word("way", "open")
                .put("length", M, length)
                .rows("points", points.into_iter().map(at).collect());
            match closest {
                Some(closest) => outs
                    .put("closest", M, closest.nearest.distance)
                    .word("closest_to", closest.index.to_string()),
                None => outs,
            }
        }
        Walk::Blocked { by, closed } => {
            let by: Vec<String> = by.iter().map(usize::to_string).collect();
            Outs::default()
                .word("way", "blocked")
                .word("blocked_at", closed.word())
                .word("blocked_by", by.join(", "))
        }
    })
}

/// One forbidden shape with its margin around it.
fn forbidden(place: usize, row: &Args) -> Result<Shape, SumError> {
    let shape = corners(row, "corners");
    let margin = row.optional("margin").unwrap_or(Length::from_si(0.0));
    shape.and_then(|shape| Ok(shape.grown(margin)?)).map_err(|error| match error {
        SumError::NoAnswer(why) => SumError::NoAnswer(format!("forbidden[{place}]: {why}")),
        other => other,
    })
}

fn corners(args: &Args, key: &str) -> Result<Shape, SumError> {
    let rows = args.rows(key).iter();
    let corner = |row: &Args| Ok(Point::new(row.quantity("east")?, row.quantity("north")?)?);
    let corners: Vec<Point> = rows.map(corner).collect::<Result<_, SumError>>()?;
    Shape::new(&corners).map_err(|error| match error {
        ShapeError::OutOfRange(error) => error.into(),
        other => SumError::NoAnswer(format!("{key}: {other}")),
    })
}

fn measured(found: &Nearest, working: &mut Working) {
    working.step(|| {
        let what = "least distance of a corner of one to an edge of the other";
        let step = Step::new("nearest points", what)
            .with("from east", found.from.east())
            .with("from north", found.from.north())
            .with("to east", found.to.east())
            .with("to north", found.to.north())
            .gives("distance", found.distance)
            .from(source::PLANE_GEOMETRY);
        if found.overlaps {
            step.remark("they touch or overlap: this is a place in both")
        } else {
            step
        }
    });
}

fn put_to(outs: Outs, found: &Nearest) -> Outs {
    outs.put("to_east", M, found.to.east()).put("to_north", M, found.to.north())
}

const fn yes_or_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}
