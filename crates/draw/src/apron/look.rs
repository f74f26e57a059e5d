//! How areas and lines look: pattern first, tint second, so that print loses nothing.

use super::ThingKind;
use crate::{
    plane::{Lean, Point, Rect, along, clip_area, distance, hatch, path_inside},
    svg::{GREY, INK, PALE, PAPER, Paint, Path, Svg},
};

/// Water and what runs to it.
const WET: &str = "#0b3d6b";
/// Ground with fuel on it. Grey in print.
const SPILT: &str = "#e2c48f";
/// Ground inside a fuelling zone.
const TINT: &str = "#fbf1d8";
/// Edges of zones around fuel.
pub(super) const FUEL: &str = "#5e4200";
/// The way people walk.
pub(super) const WAY: &str = "#0b3d78";

/// Fill, hatches and edge of an area.
pub(super) struct Look {
    fill: &'static str,
    hatches: &'static [(Lean, f64, Paint)],
    edge: Option<Paint>,
}

impl Look {
    /// Paints an area, cut to the frame. Its edge is drawn only where it is its own.
    pub(super) fn area(&self, svg: &mut Svg, points: &[Point], frame: Rect) {
        let cut = clip_area(points, frame);
        if cut.len() < 3 {
            return;
        }
        if self.fill != "none" {
            svg.path(&crate::plane::polyline(&cut).close(), Paint::fill(self.fill));
        }
        for (lean, step, paint) in self.hatches {
            let lines = hatch(&cut, *lean, *step);
            if !lines.is_empty() {
                svg.path(&lines, *paint);
            }
        }
        if let Some(paint) = self.edge {
            let edge = path_inside(points, true, frame);
            if !edge.is_empty() {
                svg.path(&edge, paint);
            }
        }
    }
}

const fn plain(fill: &'static str, edge: Paint) -> Look {
    Look { fill, hatches: &[], edge: Some(edge) }
}

pub(super) const GROUND: Look = plain("none", Paint::line(GREY, 1.0).dashed("10 3"));
pub(super) const AEROPLANE: Look = plain(PAPER, Paint::line(INK, 1.8));
pub(super) const ZONE: Look = plain("none", Paint::line(FUEL, 1.6).dashed("9 3 2 3"));
/// The zone before anything stands on it.
pub(super) const ZONE_GROUND: Look = Look { fill: TINT, hatches: &[], edge: None };
pub(super) const NO_START_EDGE: Paint = Paint::line(INK, 2.2).dashed("14 5");
pub(super) const NO_START: Look = plain("none", NO_START_EDGE);
pub(super) const SPILL: Look = Look {
    fill: SPILT,
    hatches: &[(Lean::Level, 4.0, Paint::line(INK, 1.2).dashed("1.2 3.6"))],
    edge: Some(Paint::line(INK, 1.8)),
};
pub(super) const DISC: Look = Look {
    fill: PAPER,
    hatches: &[(Lean::Rising, 3.0, Paint::line(INK, 0.9))],
    edge: Some(Paint::line(INK, 1.2)),
};
pub(super) const MARGIN: Look = Look {
    fill: "none",
    hatches: &[(Lean::Falling, 5.0, Paint::line(GREY, 0.8))],
    edge: Some(Paint::line(INK, 1.4).dashed("3 2")),
};
pub(super) const BLOCKS: Look = Look {
    fill: "none",
    hatches: &[
        (Lean::Falling, 9.0, Paint::line("#8f1408", 1.2)),
        (Lean::Rising, 9.0, Paint::line("#8f1408", 1.2)),
    ],
    edge: Some(Paint::line("#8f1408", 3.2)),
};
/// The edge of a spill where it lies below the aeroplane.
pub(super) const SPILL_BELOW: Look =
    Look { fill: "none", hatches: &[], edge: Some(Paint::line(INK, 1.0).dashed("2 2")) };

const SEALED: Look = Look {
    fill: "#ececec",
    hatches: &[(Lean::Rising, 5.0, Paint::line(GREY, 0.9))],
    edge: Some(Paint::line(INK, 2.4)),
};
const UNSEALED: Look = Look {
    fill: PAPER,
    hatches: &[(Lean::Rising, 11.0, Paint::line(GREY, 0.9))],
    edge: Some(Paint::line(INK, 2.4).dashed("8 5")),
};
const PUBLIC: Look = Look {
    fill: "#f6f6f6",
    hatches: &[(Lean::Level, 8.0, Paint::line(GREY, 1.6).dashed("1.6 6.4"))],
    edge: Some(Paint::line(GREY, 1.2)),
};
const WATER: Look = Look {
    fill: "#d5e6f2",
    hatches: &[(Lean::Level, 6.0, Paint::line(WET, 0.9).dashed("12 8"))],
    edge: Some(Paint::line(WET, 1.4)),
};
const DRAIN: Look = Look {
    fill: "#d5e6f2",
    hatches: &[(Lean::Falling, 4.0, Paint::line(WET, 0.9))],
    edge: Some(Paint::line(WET, 1.4)),
};
const OTHER: Look = Look {
    fill: PAPER,
    hatches: &[
        (Lean::Rising, 7.0, Paint::line(GREY, 0.8)),
        (Lean::Falling, 7.0, Paint::line(GREY, 0.8)),
    ],
    edge: Some(Paint::line(INK, 1.6)),
};

impl ThingKind {
    /// How an area of this kind looks.
    pub(super) const fn look(self) -> Look {
        match self {
            Self::SealedBuilding => SEALED,
            Self::UnsealedBuilding => UNSEALED,
            Self::PublicArea => PUBLIC,
            Self::Road => plain("#ebebeb", Paint::line(GREY, 1.2)),
            Self::Water => WATER,
            Self::Drain => DRAIN,
            Self::Aircraft => plain(PALE, Paint::line(GREY, 1.4)),
            Self::Bowser | Self::Trolley => plain(PAPER, Paint::line(INK, 1.8)),
            _ => OTHER,
        }
    }

    /// Draws a long and narrow thing.
    pub(super) fn line(self, svg: &mut Svg, points: &[Point], frame: Rect) {
        let path = path_inside(points, false, frame);
        if path.is_empty() {
            return;
        }
        match self {
            Self::Road => {
                svg.path(&path, Paint::line(GREY, 9.0));
                svg.path(&path, Paint::line("#ebebeb", 6.6));
            }
            Self::Drain => {
                svg.path(&path, Paint::line(WET, 1.4));
                svg.path(&comb(points, frame), Paint::line(WET, 1.2));
            }
            Self::Water => svg.path(&path, Paint::line(WET, 3.0)),
            _ => {
                svg.path(&path, Paint::line(INK, 1.4));
                svg.path(&comb(points, frame.grown(-3.0)), Paint::line(INK, 1.0));
            }
        }
    }
}

/// Short strokes across a line.
fn comb(points: &[Point], frame: Rect) -> Path {
    let mut path = Path::default();
    let spots = along(points, false, 6.0);
    for pair in spots.windows(2).filter(|pair| frame.grown(-4.0).holds(pair[1])) {
        let length = distance(pair[0], pair[1]);
        if length > 1.0 {
            let (dx, dy) = ((pair[1].0 - pair[0].0) / length, (pair[1].1 - pair[0].1) / length);
            let (x, y) = pair[1];
            path = path.go(x - 3.0 * dy, y + 3.0 * dx).line(x + 3.0 * dy, y - 3.0 * dx);
        }
    }
    path
}

/// The way people walk: steps.
pub(super) fn walk(svg: &mut Svg, path: &Path) {
    svg.path(path, Paint::line(PAPER, 7.0));
    svg.path(path, Paint::line(WAY, 4.0).dashed("3 4"));
}
