//! Numbered marks and lines between two points, in the look of their verdict.

use crate::{
    Verdict,
    plane::{Point, Rect, between, clip, distance},
    svg::{PAPER, Paint, Path, Svg, Type},
    words::width,
};

const NUMBER: Type = Type::bold(10.5);
/// Half the height of a mark.
pub(crate) const HALF: f64 = 8.5;

/// Half the width of a mark with this number in it.
pub(crate) fn half_width(number: usize, verdict: Verdict) -> f64 {
    f64::max(HALF, width(&words(number, verdict), NUMBER) / 2.0 + 2.5)
}

/// The question mark stands in the mark as well, so that no verdict is a colour alone.
fn words(number: usize, verdict: Verdict) -> String {
    if verdict == Verdict::Unknown { format!("{number}?") } else { number.to_string() }
}

/// The mark of a clearance: a full block where it breaks, a round outline where it holds, a
/// dashed one with a question mark where nobody knows.
pub(crate) fn mark(svg: &mut Svg, number: usize, verdict: Verdict, at: Point) {
    let half = half_width(number, verdict);
    let colour = verdict.colour();
    let (paint, ink, corner) = match verdict {
        Verdict::Breaks => (Paint::line(PAPER, 1.2).filled(colour), PAPER, 1.0),
        Verdict::Unknown => (Paint::line(colour, 1.5).filled(PAPER).dashed("3 2"), colour, HALF),
        Verdict::Holds => (Paint::line(colour, 1.5).filled(PAPER), colour, HALF),
    };
    let size = (2.0 * half, 2.0 * HALF);
    svg.rect((at.0 - half, at.1 - HALF), size, corner, paint);
    let middle = (at.0, at.1 + NUMBER.size * 0.36);
    svg.words(middle, NUMBER.colour(ink).middle(), &words(number, verdict));
}

/// Width of the widest mark, for a list.
pub(crate) fn mark_width(number: usize, verdict: Verdict) -> f64 {
    2.0 * half_width(number, verdict)
}

/// A line between two points, with ends that tell its verdict, as far as the frame shows it.
pub(crate) fn dimension(
    svg: &mut Svg,
    verdict: Verdict,
    (start, stop): (Point, Point),
    frame: Rect,
) {
    let Some((from, to)) = clip(start, stop, frame) else { return };
    if distance(start, stop) < 5.0 {
        // They touch, or nearly so: a ring around the place.
        let middle = between(start, stop, 0.5);
        if frame.grown(-9.0).holds(middle) {
            svg.circle(middle, 6.5, Paint::line(PAPER, 4.5));
            svg.circle(middle, 6.5, verdict.line());
        }
        return;
    }
    let casing = Paint::line(PAPER, if verdict == Verdict::Breaks { 5.6 } else { 4.0 });
    svg.line(from, to, casing);
    // An end that lies outside has no head: the line goes on there.
    let ends = [(to, from, start), (from, to, stop)];
    let ends = ends.into_iter().filter(|(_, end, true_end)| distance(*end, *true_end) < 1e-6);
    let ends: Vec<(Point, Point)> = ends.map(|(tail, tip, _)| (tail, tip)).collect();
    let length = distance(from, to).max(1e-9);
    let (dx, dy) = ((to.0 - from.0) / length, (to.1 - from.1) / length);
    let size = f64::min(10.0, length * 0.4);
    let mut line = [from, to];
    if verdict == Verdict::Breaks {
        // The line ends inside its heads, so that they stay sharp.
        for end in &mut line {
            if let Some((tail, tip)) = ends.iter().find(|(_, tip)| tip == end) {
                *end = between(*tip, *tail, size * 0.7 / length);
            }
        }
    }
    svg.line(line[0], line[1], verdict.line());
    for (tail, tip) in ends {
        match verdict {
            Verdict::Breaks => {
                svg.path(&head(tail, tip, size), Paint::fill(verdict.colour()));
            }
            Verdict::Unknown => {
                svg.circle(tip, 2.6, Paint::line(verdict.colour(), 1.4).filled(PAPER));
            }
            Verdict::Holds => {
                let (x, y) = tip;
                let tick = Path::from(x - 4.0 * dy, y + 4.0 * dx);
                svg.path(&tick.line(x + 4.0 * dy, y - 4.0 * dx), verdict.line());
            }
        }
    }
}

/// The head of an arrow that arrives at `to`.
pub(crate) fn head(from: Point, to: Point, size: f64) -> Path {
    let length = distance(from, to).max(1e-9);
    let (dx, dy) = ((to.0 - from.0) / length * size, (to.1 - from.1) / length * size);
    Path::from(to.0, to.1)
        .line(to.0 - dx - dy * 0.55, to.1 - dy + dx * 0.55)
        .line(to.0 - dx + dy * 0.55, to.1 - dy - dx * 0.55)
        .close()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_grows_with_its_number() {
        assert!(mark_width(9, Verdict::Holds) < mark_width(128, Verdict::Holds));
        assert!(mark_width(12, Verdict::Holds) < mark_width(12, Verdict::Unknown));
    }

    #[test]
    fn a_line_that_goes_on_outside_has_no_head_there() {
        let frame = Rect { left: 0.0, top: 0.0, right: 100.0, bottom: 100.0 };
        let heads = |to: Point| {
            let mut svg = Svg::part();
            dimension(&mut svg, Verdict::Unknown, ((50.0, 50.0), to), frame);
            svg.finish().matches("<circle").count()
        };
        assert_eq!((heads((90.0, 50.0)), heads((190.0, 50.0))), (2, 1));
    }
}
