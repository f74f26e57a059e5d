//! The list beside or below the plan: every clearance in full, and all that has no room on it.

use super::{ApronPicture, Walk, key, key::Swatch, marks::Marked, names, say, view::View};
use crate::{
    Verdict, mark,
    plane::{Point, Rect},
    svg::{GREY, INK, Paint, Svg, Type},
    verdict::{BADGE, badge, badge_width},
    words::{shorten, wrap},
};

const HEADING: Type = Type::bold(12.0);
const STRONG: Type = Type::bold(12.5);
const WORDS: Type = Type::plain(11.0);
const SMALL: Type = Type::plain(10.5).colour(GREY);
const LINE: f64 = 13.5;
/// From the left edge of the list to its words.
const INDENT: f64 = key::ROOM;

/// What stands to the left of a row.
#[derive(Clone, Debug)]
enum Marker {
    Number(usize, Verdict),
    Letter(String),
    Swatch(Swatch),
    None,
}

#[derive(Clone, Debug)]
struct Row {
    marker: Marker,
    badge: Option<Verdict>,
    strong: String,
    lines: Vec<(String, Type)>,
}

/// The list, laid out for its width.
#[derive(Debug)]
pub(super) struct List {
    width: f64,
    parts: Vec<(&'static str, Vec<Row>)>,
}

impl List {
    pub(super) fn new(picture: &ApronPicture, marked: &Marked, view: &View, width: f64) -> Self {
        let mut list = Self { width, parts: Vec::new() };
        list.add("Clearances", clearances(picture, marked, list.room()));
        list.add("Fuel and people", ways(picture, list.room()));
        list.add("Names on the plan", lettered(picture, marked, list.room()));
        list.add("Not on the plan", not_drawn(picture, marked, view, list.room()));
        let note = |words: &String| plain(Marker::None, None, words, list.room(), 6);
        let notes = picture.notes.iter().map(note).collect();
        list.add("Notes", notes);
        list
    }

    fn room(&self) -> f64 {
        self.width - INDENT
    }

    fn add(&mut self, heading: &'static str, rows: Vec<Row>) {
        if !rows.is_empty() {
            self.parts.push((heading, rows));
        }
    }

    pub(super) fn height(&self) -> f64 {
        self.parts.iter().map(|(_, rows)| part_height(rows)).sum()
    }

    /// How many parts fit into a column; always the first.
    pub(super) fn fitting(&self, room: f64) -> usize {
        let heights = self.parts.iter().scan(0.0, |sum, (_, rows)| {
            *sum += part_height(rows);
            Some(*sum)
        });
        heights.take_while(|sum| *sum <= room).count().max(1).min(self.parts.len())
    }

    /// The first parts alone, or all but them.
    pub(super) fn cut(mut self, first: usize, keep_first: bool) -> Self {
        let rest = self.parts.split_off(first.min(self.parts.len()));
        if !keep_first {
            self.parts = rest;
        }
        self
    }

    pub(super) fn draw(&self, svg: &mut Svg, (x, top): Point) {
        let mut y = top;
        for (heading, rows) in &self.parts {
            svg.words((x, y + 11.0), HEADING, heading);
            svg.line((x, y + 16.0), (x + self.width, y + 16.0), Paint::line(INK, 1.0));
            y += 22.0;
            for row in rows {
                draw_row(svg, row, (x, y));
                y += row_height(row);
            }
            y += 2.0;
        }
    }
}

fn part_height(rows: &[Row]) -> f64 {
    24.0 + rows.iter().map(row_height).sum::<f64>()
}

fn row_height(row: &Row) -> f64 {
    let head = if row.badge.is_some() { BADGE + 3.0 } else { 1.0 };
    head + LINE * row.lines.len() as f64 + 7.0
}

fn draw_row(svg: &mut Svg, row: &Row, (x, top): Point) {
    let middle = top + BADGE / 2.0;
    match &row.marker {
        Marker::Number(number, verdict) => {
            // Wide numbers grow to the left of the words, never into them.
            let half = mark::mark_width(*number, *verdict) / 2.0;
            mark::mark(svg, *number, *verdict, (x + half.max(INDENT / 2.0 - 3.0), middle));
        }
        Marker::Letter(letter) => {
            let rect = Rect::around((x + INDENT / 2.0 - 3.0, middle - 1.0), (22.0, 14.0));
            names::letter_mark(svg, letter, rect);
        }
        Marker::Swatch(swatch) => swatch.draw(svg, (x + INDENT / 2.0 - 2.0, middle)),
        Marker::None => {}
    }
    let x = x + INDENT;
    let mut y = top + 11.5;
    if let Some(verdict) = row.badge {
        badge(svg, verdict, (x, top));
        svg.words((x + badge_width(verdict) + 7.0, middle + 4.4), STRONG, &row.strong);
        y += BADGE + 2.0;
    }
    for (words, kind) in &row.lines {
        svg.words((x, y), *kind, words);
        y += LINE;
    }
}

fn plain(marker: Marker, badge: Option<Verdict>, words: &str, room: f64, most: usize) -> Row {
    let lines = wrap(words, room, WORDS, most).into_iter().map(|line| (line, WORDS)).collect();
    Row { marker, badge, strong: String::new(), lines }
}

fn clearances(picture: &ApronPicture, marked: &Marked, room: f64) -> Vec<Row> {
    let row = |(place, clearance): (usize, &super::Clearance)| {
        let verdict = say::verdict(clearance);
        let mut lines: Vec<_> =
            wrap(&clearance.what, room, WORDS, 2).into_iter().map(|line| (line, WORDS)).collect();
        lines.extend(wrap(&clearance.rule, room, SMALL, 2).into_iter().map(|line| (line, SMALL)));
        if marked.numbered.get(place) != Some(&true) {
            let why = if super::drawable(clearance) {
                "its number has no room on the plan"
            } else {
                "not drawn: its points are unknown"
            };
            lines.push((shorten(why, room, SMALL), SMALL));
        }
        let strong = shorten(&say::both(clearance), room - badge_width(verdict) - 7.0, STRONG);
        Row { marker: Marker::Number(place + 1, verdict), badge: Some(verdict), strong, lines }
    };
    picture.clearances.iter().enumerate().map(row).collect()
}

fn ways(picture: &ApronPicture, room: f64) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(hose) = &picture.hose {
        let swatch = Marker::Swatch(Swatch::Hose(hose.verdict));
        rows.push(titled(swatch, hose.verdict, "hose", &hose.words, room));
    }
    rows.extend(picture.walk.iter().map(|walk| match walk {
        Walk::Path { words, .. } => plain(Marker::Swatch(Swatch::Walk), None, words, room, 4),
        Walk::Blocked { words, by, .. } => {
            let marker = if by.is_some() { Marker::Swatch(Swatch::Blocks) } else { Marker::None };
            titled(marker, Verdict::Breaks, "no walking path", words, room)
        }
        Walk::Unknown { words } => {
            titled(Marker::None, Verdict::Unknown, "walking path", words, room)
        }
    }));
    for spill in &picture.spills {
        rows.push(plain(Marker::Swatch(Swatch::Spill), None, &spill.words, room, 4));
        let known = spill.ring.as_ref().is_some_and(|ring| ring.flat().is_some());
        rows.push(if known {
            plain(Marker::Swatch(Swatch::NoStart), None, &spill.ring_words, room, 4)
        } else {
            titled(Marker::None, Verdict::Unknown, "no start inside", &spill.ring_words, room)
        });
    }
    // Zones that say the same are said once.
    let mut said: Vec<&str> = Vec::new();
    for zone in &picture.zones {
        if !said.contains(&zone.words.as_str()) {
            said.push(&zone.words);
            rows.push(plain(Marker::Swatch(Swatch::Zone), None, &zone.words, room, 4));
        }
    }
    rows
}

fn titled(marker: Marker, verdict: Verdict, strong: &str, words: &str, room: f64) -> Row {
    let strong = shorten(strong, room - badge_width(verdict) - 7.0, STRONG);
    Row { strong, ..plain(marker, Some(verdict), words, room, 4) }
}

fn lettered(picture: &ApronPicture, marked: &Marked, room: f64) -> Vec<Row> {
    let row = |(letter, place): &(String, usize)| {
        let thing = picture.things.get(*place)?;
        Some(plain(Marker::Letter(letter.clone()), None, &say::named(thing), room, 2))
    };
    marked.lettered.iter().filter_map(row).collect()
}

/// What a person would look for on the plan in vain.
fn not_drawn(picture: &ApronPicture, marked: &Marked, view: &View, room: f64) -> Vec<Row> {
    let mut rows = Vec::new();
    for name in say::missing(picture) {
        rows.push(titled(Marker::None, Verdict::Unknown, "place unknown", &name, room));
    }
    let mut say = |words: String| rows.push(plain(Marker::None, None, &words, room, 3));
    for thing in say::beyond(picture, view) {
        say(format!("further out than drawn: {}", say::named(thing)));
    }
    for thing in marked.unnamed.iter().filter_map(|place| picture.things.get(*place)) {
        say(format!("no room for its name: {}", say::named(thing)));
    }
    for thing in marked.crowded.iter().filter_map(|place| picture.things.get(*place)) {
        say(format!("no room for its sign: {}", say::named(thing)));
    }
    rows
}
