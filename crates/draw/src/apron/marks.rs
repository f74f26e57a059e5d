//! Clearances as numbered lines, and the names of things.

use super::{ApronPicture, Clearance, Extent, Thing, ThingKind, Walk, say, scene::Canvas};
use crate::{
    Verdict,
    board::{CELL, Label, around, leader},
    plane::{
        Point, Rect, along, between, clip, clip_area, distance, inside, nearest_on, stretches,
    },
    svg::{GREY, INK, PAPER, Paint, Path, Svg, Type},
    words::{shorten, width, wrap},
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

const NUMBER: Type = Type::bold(10.5);
/// Half the height of a mark.
const HALF: f64 = 8.5;

/// Half the width of a mark with this number in it.
fn half_width(number: usize, verdict: Verdict) -> f64 {
    f64::max(HALF, width(&words(number, verdict), NUMBER) / 2.0 + 2.5)
}

/// The question mark stands in the mark as well, so that no verdict is a colour alone.
fn words(number: usize, verdict: Verdict) -> String {
    if verdict == Verdict::Unknown { format!("{number}?") } else { number.to_string() }
}

/// The mark of a clearance: a full block where it breaks, a round outline where it holds, a
/// dashed one with a question mark where nobody knows.
pub(super) fn mark(svg: &mut Svg, number: usize, verdict: Verdict, at: Point) {
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
pub(super) fn mark_width(number: usize, verdict: Verdict) -> f64 {
    2.0 * half_width(number, verdict)
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

/// A line between two points, with ends that tell its verdict, as far as the frame shows it.
pub(super) fn dimension(
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
                svg.path(&super::look::head(tail, tip, size), Paint::fill(verdict.colour()));
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

const NAME: Type = Type::bold(10.5);
const KIND: Type = Type::plain(10.0).colour(GREY);
const LETTER: Type = Type::bold(10.0);

/// Names what lies on the plan; what has no room gets a letter.
pub(super) fn names(canvas: &mut Canvas<'_>, picture: &ApronPicture, marked: &mut Marked) {
    if let Some(aeroplane) = &picture.aeroplane {
        let outlines = aeroplane.outlines.iter().filter_map(|one| canvas.view.area(one));
        let points: Vec<_> = outlines.flatten().collect();
        let name = shorten(&aeroplane.name, 150.0, NAME);
        if let Some(all) = Rect::of(points.iter().copied()).filter(|_| !name.is_empty()) {
            let label = Label::new(vec![(name, NAME)]);
            let reach = f64::min(all.width(), all.height()) / 2.0;
            let places = around(all.middle(), label.size(), reach * 0.3, reach + 30.0);
            write(canvas, &label, places, f64::INFINITY);
        }
    }
    let mut order: Vec<usize> = (0..picture.things.len()).collect();
    // Areas first: their names say what their pattern means.
    order.sort_by_key(|place| matches!(picture.things[*place].extent, Extent::Spot(_)));
    for place in order {
        name(canvas, &picture.things[place], place, marked);
    }
    ways(canvas, picture);
}

/// Names of the lines that are no thing: path, hose, edge of a spill.
fn ways(canvas: &mut Canvas<'_>, picture: &ApronPicture) {
    let view = canvas.view;
    let mut said: Vec<(&str, Vec<Point>)> = Vec::new();
    if let Some(spill) = &picture.spill {
        said.extend(view.area(&spill.outline).map(|points| ("spill", points)));
        said.extend(
            spill.ring.as_ref().and_then(|ring| view.area(ring)).map(|ring| ("no start", ring)),
        );
    }
    match &picture.walk {
        Some(Walk::Path { points, .. }) => {
            said.extend(view.line(points).map(|line| ("walk", line)))
        }
        Some(Walk::Blocked { by: Some(by), .. }) => {
            said.extend(view.area(by).map(|area| ("no path", area)));
        }
        _ => {}
    }
    let hose = picture.hose.iter().filter(|_| canvas.close_up.is_none());
    said.extend(hose.filter_map(|hose| view.line(&hose.points)).map(|line| ("hose", line)));
    // One of several says what all of them are.
    let mut zones = picture.zones.iter().filter_map(|zone| view.area(&zone.outline));
    said.extend(zones.next().map(|area| ("fuelling zone", area)));
    for (words, points) in said {
        let label = Label::new(vec![(words.to_owned(), Type::plain(10.5))]);
        let places = beside(&points, words != "walk" && words != "hose", label.size());
        write(canvas, &label, places, 60.0);
    }
}

fn name(canvas: &mut Canvas<'_>, thing: &Thing, place: usize, marked: &mut Marked) {
    let Some(points) = thing.extent.flat().map(|points| canvas.view.all(&points)) else { return };
    let spot = matches!(thing.extent, Extent::Spot(_));
    let elsewhere = canvas.close_up.is_some_and(|close| close.holds(points[0]));
    if !canvas.view.shows(&points, &thing.extent) || (spot && (thing.name.is_empty() || elsewhere))
    {
        return;
    }
    let room = f64::min(130.0, canvas.view.frame.width() * 0.28);
    let mut lines: Vec<_> =
        wrap(&thing.name, room, NAME, 2).into_iter().map(|line| (line, NAME)).collect();
    if !spot && !says_its_kind(thing) {
        lines.push((thing.kind.word().to_owned(), KIND));
    }
    let label = Label::new(lines);
    let places = match thing.extent {
        Extent::Area(_) => in_or_beside(&points, canvas.view.frame, label.size()),
        Extent::Line(_) => beside(&points, false, label.size()),
        Extent::Spot(_) => around(points[0], label.size(), 9.0, 18.0),
    };
    if write(canvas, &label, places, if spot { 34.0 } else { 70.0 }) {
        marked.named.push(place);
        return;
    }
    if marked.named.contains(&place) || marked.lettered.iter().any(|(_, other)| *other == place) {
        return;
    }
    let letter = letter(marked.lettered.len());
    let size = (width(&letter, LETTER) + 6.0, 14.0);
    let places = match thing.extent {
        Extent::Area(_) => in_or_beside(&points, canvas.view.frame, size),
        Extent::Line(_) => beside(&points, false, size),
        Extent::Spot(_) => around(points[0], size, 8.0, 20.0),
    };
    let Some(rect) = canvas.board.place(size, places, f64::INFINITY) else {
        marked.unnamed.push(place);
        return;
    };
    letter_mark(canvas.svg, &letter, rect);
    marked.lettered.push((letter, place));
}

/// True when its name need not be followed by what it is. Of buildings it always is: whether
/// they are sealed decides.
fn says_its_kind(thing: &Thing) -> bool {
    let building = matches!(thing.kind, ThingKind::SealedBuilding | ThingKind::UnsealedBuilding);
    !building && thing.name.to_lowercase().contains(thing.kind.word())
}

pub(super) fn letter_mark(svg: &mut Svg, letter: &str, rect: Rect) {
    let size = (rect.width(), rect.height());
    svg.rect((rect.left, rect.top), size, 0.0, Paint::line(INK, 1.0).filled(PAPER));
    let (x, y) = rect.middle();
    svg.words((x, y + LETTER.size * 0.36), LETTER.middle(), letter);
}

/// `A` to `Z`, then `AA`.
fn letter(place: usize) -> String {
    let sign = |place: usize| char::from(b'A' + u8::try_from(place % 26).unwrap_or(0));
    let last = sign(place).to_string();
    if place < 26 { last } else { format!("{}{last}", letter(place / 26 - 1)) }
}

fn write(canvas: &mut Canvas<'_>, label: &Label, places: Vec<(Point, f64)>, most: f64) -> bool {
    let Some(rect) = canvas.board.place(label.size(), places, most) else { return false };
    label.write(canvas.svg, rect);
    true
}

/// Places inside an area, its middle first, then beside its edge.
fn in_or_beside(points: &[Point], frame: Rect, size: (f64, f64)) -> Vec<(Point, f64)> {
    let cut = clip_area(points, frame);
    let mut places = Vec::new();
    if let Some(all) = Rect::of(cut.iter().copied()) {
        let middle = all.middle();
        let steps = |length: f64| (length / 9.0).ceil().clamp(1.0, 40.0) as usize;
        let (columns, rows) = (steps(all.width()), steps(all.height()));
        for row in 0..=rows {
            for column in 0..=columns {
                let x = all.left + all.width() * column as f64 / columns as f64;
                let y = all.top + all.height() * row as f64 / rows as f64;
                if inside(&cut, (x, y)) {
                    places.push(((x, y), distance((x, y), middle) * 0.1));
                }
            }
        }
        places.sort_by(|one, other| one.1.total_cmp(&other.1));
    }
    let edge = beside(&cut, true, size);
    places.extend(edge.into_iter().map(|(at, cost)| (at, cost + 6.0)));
    places
}

/// Places beside a line, all along it.
fn beside(points: &[Point], closed: bool, size: (f64, f64)) -> Vec<(Point, f64)> {
    let length: f64 = stretches(points, closed).map(|(from, to)| distance(from, to)).sum();
    // Enough to find room, not so many that a long river takes long.
    let step = f64::max(14.0, length / 60.0);
    let along = along(points, closed, step);
    along.into_iter().flat_map(|at| around(at, size, 2.0, 7.0)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!([0, 25, 26, 52].map(letter), ["A", "Z", "AA", "BA"]);
    }

    #[test]
    fn a_mark_grows_with_its_number() {
        assert!(mark_width(9, Verdict::Holds) < mark_width(128, Verdict::Holds));
        assert!(mark_width(12, Verdict::Holds) < mark_width(12, Verdict::Unknown));
    }
}
