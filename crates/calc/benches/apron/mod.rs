//! The apron of the benchmark, read from the file that the comparison with shapely reads too.

#![allow(clippy::expect_used, reason = "a benchmark without its input is over")]

use stillprop_calc::{
    plane::{Nearest, Point, Pose, Shape, nearest},
    quantity::{Angle, FromAmount, Length},
};

const APRON: &str = include_str!("../apron.txt");

/// What stands on the apron, and what moves.
pub(crate) struct Apron {
    pub(crate) aeroplane: Shape,
    pub(crate) fuelling: Vec<Point>,
    pub(crate) stand: Point,
    pub(crate) areas: Vec<Shape>,
}

impl Apron {
    pub(crate) fn read() -> Self {
        let lines = || APRON.lines().filter(|line| !line.starts_with('#'));
        let of = |kind: &'static str| {
            lines().filter_map(move |line| line.strip_prefix(kind)?.strip_prefix(' ')).map(points)
        };
        let shape = |corners: Vec<Point>| Shape::new(&corners).expect("a shape");
        let single = |kind| of(kind).next().expect("a line of this kind");
        Self {
            aeroplane: shape(single("aeroplane")),
            fuelling: of("fuelling").flatten().collect(),
            stand: single("stand")[0],
            areas: of("area").map(shape).collect(),
        }
    }

    /// The aeroplane on its stand, nose towards 350 degrees.
    pub(crate) fn pose(&self) -> Pose {
        Pose::new(self.stand, Angle::from_si(350_f64.to_radians())).expect("a heading")
    }

    pub(crate) fn placed(&self) -> (Shape, Vec<Point>) {
        let pose = self.pose();
        let fuelling = self.fuelling.iter().map(|point| point.placed(pose)).collect();
        (self.aeroplane.placed(pose), fuelling)
    }
}

/// Every area from the aeroplane and from each fuelling point.
pub(crate) fn all_pairs(
    aeroplane: &Shape,
    fuelling: &[Point],
    areas: &[Shape],
    mut each: impl FnMut(Nearest),
) {
    for area in areas {
        each(nearest(aeroplane, area));
        for point in fuelling {
            each(nearest(*point, area));
        }
    }
}

fn points(line: &str) -> Vec<Point> {
    let metres = |text: &str| Length::from_si(text.parse().expect("a number"));
    let point = |pair: &str| {
        let (east, north) = pair.split_once(',').expect("east,north");
        Point::new(metres(east), metres(north)).expect("near the origin")
    };
    line.split_whitespace().map(point).collect()
}
