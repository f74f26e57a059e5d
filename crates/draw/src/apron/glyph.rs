//! Signs of fixed size for what is too small to be drawn to scale.

use super::ThingKind;
use crate::{
    plane::{Point, polyline},
    svg::{INK, PAPER, Paint, Path, Svg},
};

/// Half the side of a sign.
pub(super) const HALF: f64 = 8.0;

const PEN: Paint = Paint::line(INK, 1.5);

/// Draws the sign of a thing around `at`, on a disc of paper that keeps it apart from what lies
/// below.
pub(super) fn glyph(svg: &mut Svg, kind: ThingKind, at: Point) {
    svg.circle(at, HALF, Paint::fill(PAPER));
    match kind {
        ThingKind::Gate => gate(svg, at),
        ThingKind::Extinguisher => extinguisher(svg, at),
        ThingKind::SpillKit => spill_kit(svg, at),
        ThingKind::EmergencyStop => stop(svg, at),
        ThingKind::Drum => drum(svg, at),
        ThingKind::Trolley => trolley(svg, at),
        ThingKind::Bowser => bowser(svg, at),
        ThingKind::Pump => pump(svg, at),
        ThingKind::Person => person(svg, at),
        ThingKind::Ignition => spark(svg, at),
        _ => place(svg, at),
    }
}

/// Two posts and a leaf that stands open.
fn gate(svg: &mut Svg, (x, y): Point) {
    for side in [-6.0, 6.0] {
        svg.rect((x + side - 1.5, y - 5.0), (3.0, 11.0), 0.0, Paint::fill(INK));
    }
    svg.line((x - 5.0, y + 3.0), (x + 2.5, y - 4.0), PEN);
}

/// A bottle with its hose.
fn extinguisher(svg: &mut Svg, (x, y): Point) {
    svg.rect((x - 3.5, y - 3.5), (7.0, 11.0), 2.5, Paint::fill(INK));
    let hose = Path::from(x - 1.0, y - 3.5).down(y - 6.5).across(x + 5.0).down(y + 1.0);
    svg.path(&hose, Paint::line(INK, 1.4));
}

/// A box with a drop on it.
fn spill_kit(svg: &mut Svg, (x, y): Point) {
    svg.rect((x - 6.5, y - 6.0), (13.0, 12.0), 1.5, PEN);
    let drop = Path::from(x, y - 4.5).line(x + 2.8, y + 0.8).arc(2.8, true, x - 2.8, y + 0.8);
    svg.path(&drop.close(), Paint::fill(INK));
}

/// A ring around a full square.
fn stop(svg: &mut Svg, (x, y): Point) {
    svg.circle((x, y), 6.8, Paint::line(INK, 1.8));
    svg.rect((x - 3.2, y - 3.2), (6.4, 6.4), 0.0, Paint::fill(INK));
}

/// From above: two rims and a bung.
fn drum(svg: &mut Svg, (x, y): Point) {
    svg.circle((x, y), 6.8, PEN);
    svg.circle((x, y), 4.6, Paint::line(INK, 0.8));
    svg.circle((x + 2.0, y - 1.0), 1.4, Paint::fill(INK));
}

/// A platform on wheels with its bar.
fn trolley(svg: &mut Svg, (x, y): Point) {
    svg.rect((x - 6.0, y - 4.0), (9.0, 8.0), 0.0, PEN);
    svg.line((x + 3.0, y), (x + 7.5, y), PEN);
    for (dx, dy) in [(-4.5, -5.2), (0.5, -5.2), (-4.5, 5.2), (0.5, 5.2)] {
        svg.circle((x + dx, y + dy), 1.5, Paint::fill(INK));
    }
}

/// A vessel from the side, on wheels.
fn bowser(svg: &mut Svg, (x, y): Point) {
    svg.rect((x - 7.2, y - 5.0), (14.4, 8.0), 4.0, PEN);
    for side in [-3.5, 3.5] {
        svg.circle((x + side, y + 4.6), 2.0, Paint::fill(INK));
    }
}

/// A housing with a window and a nozzle at its side.
fn pump(svg: &mut Svg, (x, y): Point) {
    svg.rect((x - 5.5, y - 6.5), (8.0, 13.0), 1.0, PEN);
    svg.rect((x - 3.5, y - 4.5), (4.0, 3.5), 0.0, Paint::fill(INK));
    let nozzle = Path::from(x + 2.5, y + 3.0).across(x + 5.8).down(y - 3.5);
    svg.path(&nozzle.line(x + 3.6, y - 5.5), Paint::line(INK, 1.3));
}

/// Head and shoulders.
fn person(svg: &mut Svg, (x, y): Point) {
    let shoulders = Path::from(x - 5.8, y + 6.2).arc(5.8, false, x + 5.8, y + 6.2).close();
    svg.path(&shoulders, Paint::fill(INK));
    svg.circle((x, y - 3.2), 3.6, Paint::line(PAPER, 1.2).filled(INK));
}

/// A star with eight points.
fn spark(svg: &mut Svg, (x, y): Point) {
    let corners: Vec<Point> = (0..16)
        .map(|place| {
            let reach = if place % 2 == 0 { 7.6 } else { 3.2 };
            let angle = std::f64::consts::PI * f64::from(place) / 8.0;
            (x + reach * f64::sin(angle), y - reach * f64::cos(angle))
        })
        .collect();
    svg.path(&polyline(&corners).close(), Paint::fill(INK));
    svg.circle((x, y), 1.6, Paint::fill(PAPER));
}

/// Anything whose shape is not known: a cross where it stands.
fn place(svg: &mut Svg, (x, y): Point) {
    let cross = Path::from(x - 5.0, y - 5.0).line(x + 5.0, y + 5.0);
    svg.path(&cross.go(x - 5.0, y + 5.0).line(x + 5.0, y - 5.0), Paint::line(INK, 2.0));
    svg.circle((x, y), 7.2, Paint::line(INK, 1.0));
}
