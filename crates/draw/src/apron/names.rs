//! Names of what lies on the plan.

use super::{ApronPicture, Extent, Thing, ThingKind, Walk, marks::Marked, scene::Canvas};
use crate::{
    Verdict,
    board::{Label, around},
    plane::{Point, Rect, along, clip_area, distance, inside, stretches},
    svg::{GREY, INK, PAPER, Paint, Svg, Type},
    words::{shorten, width, wrap},
};

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
            let places = around(all.middle(), label.size(), reach * 0.3, reach + 60.0);
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
    for spill in &picture.spills {
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
    let reaches = |verdict| match verdict {
        Verdict::Holds => "hose",
        Verdict::Breaks => "hose too short",
        Verdict::Unknown => "hose unknown",
    };
    said.extend(hose.filter_map(|hose| Some((reaches(hose.verdict), view.line(&hose.points)?))));
    // One of several says what all of them are.
    let mut zones = picture.zones.iter().filter_map(|zone| view.area(&zone.outline));
    said.extend(zones.next().map(|area| ("fuelling zone", area)));
    for (words, points) in said {
        let label = Label::new(vec![(words.to_owned(), Type::plain(10.5))]);
        let places = beside(&points, words != "walk" && !words.starts_with("hose"), label.size());
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
}
