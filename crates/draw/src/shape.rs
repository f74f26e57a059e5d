//! The containers: a drum seen on its end, a drum from above, a tank, a bowser.

use std::f64::consts::PI;

use crate::{
    rack::{Container, Form, on_clock},
    svg::{GREY, INK, PALE, PAPER, Paint, Path, Svg, Type},
    words::known,
};

/// Fuel. Pale, so that what lies over it stays readable; grey in print.
const FUEL: &str = "#bcd6ea";
/// Timber and earth.
const GROUND: &str = "#8a6d46";

/// Rim of a drum, from its middle.
pub(crate) const RIM: f64 = 34.0;
/// From the middle of a shape down to what it rests on.
const REST: f64 = RIM + 1.0;

/// How far up the end of a drum on its side the fuel stands, as a share of its diameter.
///
/// The wetted part of a circle: `share = (a - sin a) / 2 pi`, height `(1 - cos(a / 2)) / 2`,
/// with `a` the angle at the middle that the surface spans. Elementary geometry of a segment; the
/// dished ends and the slope of a real drum are left out, because this is a picture. Halving
/// 50 times is exact to the last decimal that the picture writes.
pub(crate) fn level_on_side(share: f64) -> f64 {
    let (mut low, mut high) = (0.0, 2.0 * PI);
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if middle - f64::sin(middle) < 2.0 * PI * share {
            low = middle;
        } else {
            high = middle;
        }
    }
    (1.0 - f64::cos(low / 2.0)) / 2.0
}

/// Draws the container around `at`.
pub(crate) fn draw(svg: &mut Svg, container: &Container, at: (f64, f64)) {
    let fill = known(container.fill).map(|share| share.min(1.0));
    match &container.form {
        Form::OnSide { bungs, chocked, .. } => on_side(svg, at, fill, on_clock(*bungs), *chocked),
        Form::Upright => from_above(svg, at, fill),
        Form::Tilted => {
            from_above(svg, at, fill);
            low_side(svg, at);
        }
        Form::Tank => tank(svg, at, fill),
        Form::Bowser => bowser(svg, at, fill),
    }
}

/// An outline is dashed when nobody knows what is inside.
fn outline(fill: Option<f64>, width: f64) -> Paint {
    let paint = Paint::line(INK, width);
    if fill.is_some() { paint } else { paint.dashed("5 3") }
}

fn on_side(
    svg: &mut Svg,
    (x, y): (f64, f64),
    fill: Option<f64>,
    bungs: Option<[u8; 2]>,
    chocked: Option<bool>,
) {
    let inner = RIM - 4.0;
    svg.circle((x, y), inner, Paint::fill(PAPER));
    match fill {
        Some(share) if share > 0.995 => svg.circle((x, y), inner, Paint::fill(FUEL)),
        Some(share) if share > 0.005 => {
            let height = level_on_side(share) * 2.0 * inner;
            let surface = y + inner - height;
            let half = f64::sqrt((height * (2.0 * inner - height)).max(0.0));
            let wet = Path::from(x + half, surface);
            let wet = wet.arc(inner, share > 0.5, x - half, surface).close();
            svg.path(&wet, Paint::fill(FUEL));
            svg.line((x - half, surface), (x + half, surface), Paint::line(INK, 1.0));
        }
        _ => {}
    }
    svg.circle((x, y), inner, Paint::line(INK, 0.8));
    svg.circle((x, y), RIM - 1.0, outline(fill, 2.0));
    for (place, hour) in bungs.iter().flatten().enumerate() {
        let angle = f64::from(*hour) * PI / 6.0;
        let reach = RIM * 0.66;
        let at = (x + reach * f64::sin(angle), y - reach * f64::cos(angle));
        bung(svg, at, place == 0);
    }
    if chocked == Some(true) {
        let mut wedges = Path::default();
        for side in [-1.0, 1.0] {
            let wedge = wedges.go(x + side * 14.0, y + REST).across(x + side * 31.0);
            wedges = wedge.line(x + side * 29.0, y + REST - 15.0).close();
        }
        svg.path(&wedges, Paint::line(INK, 1.0).filled(GROUND));
    }
}

/// The large bung with its hollow, or the small one.
fn bung(svg: &mut Svg, at: (f64, f64), large: bool) {
    if large {
        svg.circle(at, 5.5, Paint::line(PAPER, 1.0).filled(INK));
        svg.circle(at, 2.2, Paint::fill(PAPER));
    } else {
        svg.circle(at, 3.4, Paint::line(PAPER, 1.0).filled(INK));
    }
}

/// From above no level can be seen, so a gauge stands beside it.
fn from_above(svg: &mut Svg, (x, y): (f64, f64), fill: Option<f64>) {
    let x = x - 8.0;
    svg.circle((x, y), RIM - 3.0, outline(fill, 2.0).filled(PAPER));
    svg.circle((x, y), RIM - 8.0, Paint::line(GREY, 0.8));
    bung(svg, (x - 20.0, y), true);
    bung(svg, (x + 20.5, y), false);
    gauge(svg, (x + RIM + 3.0, y - RIM + 4.0), (11.0, 2.0 * RIM - 8.0), fill);
}

fn gauge(svg: &mut Svg, (x, y): (f64, f64), (width, height): (f64, f64), fill: Option<f64>) {
    svg.rect((x, y), (width, height), 0.0, Paint::fill(PAPER));
    if let Some(share) = fill {
        let top = y + height * (1.0 - share);
        svg.rect((x, top), (width, height * share), 0.0, Paint::fill(FUEL));
        svg.line((x, top), (x + width, top), Paint::line(INK, 1.0));
    }
    svg.rect((x, y), (width, height), 0.0, outline(fill, 1.2));
}

/// Where a tilted drum is lowest.
fn low_side(svg: &mut Svg, (x, y): (f64, f64)) {
    let x = x - 8.0;
    svg.words((x, y + RIM - 14.0), Type::bold(9.5).middle(), "low");
    let wedge = Path::from(x - 6.0, y + RIM - 12.0).line(x + 6.0, y + RIM - 12.0);
    svg.path(&wedge.line(x, y + RIM - 5.0).close(), Paint::fill(INK));
}

/// Seen from the side: a long vessel on legs.
fn tank(svg: &mut Svg, (x, y): (f64, f64), fill: Option<f64>) {
    for side in [-1.0, 1.0] {
        svg.rect((x + side * 26.0 - 4.0, y + 18.0), (8.0, REST - 18.0), 0.0, Paint::fill(GREY));
    }
    vessel(svg, (x - 46.0, y - 24.0), (92.0, 44.0), fill);
    svg.rect((x - 5.0, y - 31.0), (10.0, 7.0), 1.0, Paint::line(INK, 1.2).filled(PAPER));
}

/// Seen from the side: a vessel on wheels with a bar to tow it.
fn bowser(svg: &mut Svg, (x, y): (f64, f64), fill: Option<f64>) {
    svg.line((x + 40.0, y + 20.0), (x + 56.0, y + 20.0), Paint::line(INK, 2.5));
    vessel(svg, (x - 46.0, y - 26.0), (88.0, 44.0), fill);
    for wheel in [-26.0, 22.0] {
        svg.circle((x + wheel, y + REST - 11.0), 10.0, Paint::line(PAPER, 1.5).filled(INK));
        svg.circle((x + wheel, y + REST - 11.0), 3.5, Paint::fill(PAPER));
    }
}

/// Its level is drawn as a share of its height: the shape of a real one is not known here.
fn vessel(svg: &mut Svg, (x, y): (f64, f64), (width, height): (f64, f64), fill: Option<f64>) {
    svg.rect((x, y), (width, height), 9.0, Paint::fill(PAPER));
    if let Some(share) = fill.filter(|share| *share > 0.005) {
        // Inside the rounded corners, so that the fuel never shows outside the vessel.
        let inner = height - 6.0;
        let top = y + 3.0 + inner * (1.0 - share);
        svg.rect((x + 3.0, top), (width - 6.0, inner * share), 4.0, Paint::fill(FUEL));
        svg.line((x + 3.0, top), (x + width - 3.0, top), Paint::line(INK, 1.0));
    }
    svg.rect((x, y), (width, height), 9.0, outline(fill, 2.0));
}

/// What the row rests on: a timber where the container is off the ground, earth where it is
/// not, nothing where that is not known.
pub(crate) fn ground(svg: &mut Svg, off_ground: Option<bool>, (x, y): (f64, f64), width: f64) {
    let top = y + REST;
    match off_ground {
        Some(true) => {
            // No ends drawn: the timber runs on below the next drum.
            svg.rect((x, top), (width, 7.0), 0.0, Paint::fill(GROUND));
            let edges = Path::from(x, top).across(x + width).go(x, top + 7.0).across(x + width);
            svg.path(&edges, Paint::line(INK, 0.8));
        }
        Some(false) => {
            svg.line((x, top), (x + width, top), Paint::line(INK, 1.2));
            let mut tufts = Path::default();
            let mut at = x + 4.0;
            while at < x + width {
                tufts = tufts.go(at, top + 1.0).line(at - 4.0, top + 6.0);
                at += 8.0;
            }
            svg.path(&tufts, Paint::line(GREY, 0.8));
        }
        None => {
            let line = Paint::line(PALE, 1.5).dashed("4 3");
            svg.line((x, top), (x + width, top), line);
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// mpmath 1.3.0, 30 digits: findroot of `a - sin(a) - 2 pi share`, then the height.
    #[test]
    fn the_level_on_side_equals_exact_arithmetic() {
        for (share, height) in [
            (0.1, 0.156_475_586_933_729_7),
            (0.25, 0.298_013_623_350_241_4),
            (0.37, 0.397_168_656_594_274_9),
            (0.8, 0.745_930_916_381_855),
            (0.93, 0.877_560_437_718_754_8),
        ] {
            let got = level_on_side(share);
            assert!((got - height).abs() < 1e-12, "{share}: {got}, exact {height}");
        }
    }

    #[test]
    fn the_ends_and_the_middle_of_the_level_are_exact() {
        assert!(level_on_side(0.0).abs() < 1e-9);
        assert!((level_on_side(0.5) - 0.5).abs() < 1e-12);
        assert!((level_on_side(1.0) - 1.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn the_wetted_share_comes_back_from_the_level(share in 0.001..0.999) {
            // The other way round: the area below a chord, by its height.
            let h = 2.0 * level_on_side(share);
            let area = f64::acos(1.0 - h) - (1.0 - h) * f64::sqrt(2.0 * h - h * h);
            prop_assert!((area / PI - share).abs() < 1e-9);
        }

        #[test]
        fn more_fuel_never_stands_lower(a in 0.0..1.0, b in 0.0..1.0) {
            let (less, more) = if a < b { (a, b) } else { (b, a) };
            prop_assert!(level_on_side(less) <= level_on_side(more));
        }
    }
}
