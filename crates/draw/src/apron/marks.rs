//! Clearances as numbered lines.

use super::{ApronPicture, Clearance, say, scene::Canvas};
use crate::{
    Verdict,
    board::{CELL, around, leader},
    mark::{HALF, dimension, half_width, mark},
    plane::{Point, between, clip, distance, nearest_on},
    svg::{PAPER, Paint, Type},
    words::width,
};

/// What the plan shows and what it had no room for.
#[derive(Debug, Default)]
pub(super) struct Marked {
    /// By place in `clearances`: its number stands on the plan.
    pub(super) numbered: Vec<bool>,
    /// Places in `things` of what is named on the plan.
    pub(super) named: Vec<usize>,
    /// Letter and place in `things` of what is named in the list only.
    pub(super) lettered: Vec<(String, usize)>,
    /// Places in `things` of what could not even take a letter.
    pub(super) unnamed: Vec<usize>,
    /// Places in `things` of what could not even take its sign.
    pub(super) crowded: Vec<usize>,
}

/// Draws the lines of the clearances. The worst is drawn last, so that nothing lies over it.
pub(super) fn lines(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    for place in worst_first(picture).into_iter().rev() {
        let clearance = &picture.clearances[place];
        if let Some((from, to)) = ends(canvas, clearance) {
            let frame = canvas.view.frame;
            dimension(canvas.svg, say::verdict(clearance), (from, to), frame);
            canvas.board.ink(&[from, to], false, 3);
        }
    }
}

/// Numbers the clearances; the worst choose their places first.
pub(super) fn numbers(canvas: &mut Canvas<'_>, picture: &ApronPicture, marked: &mut Marked) {
    marked.numbered.resize(picture.clearances.len(), false);
    for place in worst_first(picture) {
        let clearance = &picture.clearances[place];
        let seen = ends(canvas, clearance).and_then(|(a, b)| clip(a, b, canvas.view.frame));
        if let Some((from, to)) = seen {
            let number = (place + 1, say::verdict(clearance), say::measured(clearance));
            marked.numbered[place] |= place_number(canvas, number, from, to);
        }
    }
}

/// Worst first, and in the order given among equals.
fn worst_first(picture: &ApronPicture) -> Vec<usize> {
    let mut order: Vec<usize> = (0..picture.clearances.len()).collect();
    order.sort_by_key(|place| say::verdict(&picture.clearances[*place]));
    order
}

fn ends(canvas: &Canvas<'_>, clearance: &Clearance) -> Option<(Point, Point)> {
    let (from, to) = clearance.between?;
    canvas.view.spot(from).zip(canvas.view.spot(to))
}

/// Puts a number on its line, with what was measured where there is room for it.
fn place_number(
    canvas: &mut Canvas<'_>,
    (number, verdict, measured): (usize, Verdict, Option<String>),
    from: Point,
    to: Point,
) -> bool {
    let small = 2.0 * half_width(number, verdict);
    let kind = Type::bold(11.5).colour(verdict.colour());
    let (alone, full) =
        if verdict == Verdict::Breaks { (f64::INFINITY, 90.0) } else { (f64::INFINITY, 14.0) };
    let mut sizes = Vec::new();
    if let Some(words) = &measured {
        sizes.push((small + 3.0 + width(words, kind) + 2.0, full, words.as_str()));
    }
    sizes.push((small, alone, ""));
    for (wide, most, words) in sizes {
        let size = (wide, 2.0 * HALF);
        let Some(rect) = canvas.board.place(size, places(from, to, size), most) else { continue };
        let foot = nearest_on(from, to, rect.middle());
        if let Some((start, end)) = leader(rect, foot, 5.0) {
            canvas.svg.line(start, end, Paint::line(verdict.colour(), 0.9));
        }
        canvas.svg.rect((rect.left, rect.top), (wide, 2.0 * HALF), HALF, Paint::fill(PAPER));
        let at = (rect.left + small / 2.0, rect.middle().1);
        mark(canvas.svg, number, verdict, at);
        canvas.svg.words((rect.left + small + 3.0, at.1 + kind.size * 0.36), kind, words);
        return true;
    }
    false
}

/// Places for a number: on its line, beside it, then further and further off.
fn places(from: Point, to: Point, size: (f64, f64)) -> Vec<(Point, f64)> {
    let length = distance(from, to).max(1e-9);
    let across = ((to.1 - from.1) / length, (from.0 - to.0) / length);
    let mut places = Vec::new();
    // Half the box as it stands across the line, so that beside is beside.
    let reach = (across.0.abs() * size.0 + across.1.abs() * size.1) / 2.0;
    let along = (across.1.abs() * size.0 + across.0.abs() * size.1) / 2.0;
    // What the line itself will cost a number that stands on it.
    let own = 3.0 * 1.4 * 2.0 * along / CELL;
    for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
        let at = between(from, to, share);
        let skew = (share - 0.5_f64).abs() * 10.0;
        if length * (0.5 - (share - 0.5_f64).abs()) > along + 3.0 {
            places.push((at, skew - own - 10.0));
        }
        for aside in [reach + 3.0, reach + 9.0, reach + 16.0] {
            for side in [aside, -aside] {
                let at = (at.0 + across.0 * side, at.1 + across.1 * side);
                places.push((at, skew + aside - reach));
            }
        }
    }
    let far = around(between(from, to, 0.5), size, 8.0, 120.0);
    places.extend(far.into_iter().map(|(at, cost)| (at, cost + 12.0)));
    places
}
