//! A picture with words above and below it: head, figure, rows of limits, notes, advice.
//!
//! It grows downwards; how high the sheet is follows from what was written on it.

use crate::{
    ADVICE, Limit, Verdict, Width,
    mark::{mark, mark_width},
    plane::Rect,
    svg::{GREY, INK, Paint, Sheet, Svg, Type},
    verdict::{BADGE, Tally, badge, badge_width},
    words::{shorten, width, wrap},
};

pub(crate) const EDGE: f64 = 10.0;
pub(crate) const STRONG: Type = Type::bold(12.5);
pub(crate) const WORDS: Type = Type::plain(11.0);
pub(crate) const SMALL: Type = Type::plain(10.5).colour(GREY);
pub(crate) const LINE: f64 = 13.5;
const HEADING: Type = Type::bold(18.0);
const SECOND: Type = Type::plain(12.0).colour(GREY);
/// Least width of one column of rows.
const COLUMN: f64 = 330.0;
/// Between two columns.
const GUTTER: f64 = 16.0;
/// Between a name and what stands beside it.
const APART: f64 = 10.0;

#[derive(Debug)]
pub(crate) struct Page {
    pub(crate) svg: Svg,
    across: f64,
    /// Where the next thing begins.
    y: f64,
}

impl Page {
    pub(crate) fn new(width: Width) -> Self {
        Self { svg: Svg::part(), across: width.pixels(), y: 0.0 }
    }

    pub(crate) const fn narrow(&self) -> bool {
        self.across < 760.0
    }

    pub(crate) fn inner(&self) -> f64 {
        self.across - 2.0 * EDGE
    }

    /// Heading, what it is and of which day, and how many limits of each kind there are.
    pub(crate) fn head(&mut self, heading: &str, second: &str, verdicts: &[Verdict]) {
        let inner = self.inner();
        self.svg.words((EDGE, 22.0), HEADING, &shorten(heading, inner, HEADING));
        let mut lines = wrap(second, inner, SECOND, 3);
        if verdicts.is_empty() {
            lines.push(shorten("no limit is given: unknown", inner, SECOND));
        }
        let top = self.svg.lines((EDGE, 39.0), 15.0, SECOND, &lines) - 6.0;
        let count = |of| verdicts.iter().filter(|verdict| **verdict == of).count();
        let counts = Verdict::ALL.map(|of| (of, count(of)));
        let tally = Tally::new(counts, (EDGE, EDGE + inner), top);
        tally.draw(&mut self.svg);
        self.y = tally.bottom(top) + 10.0;
    }

    /// Takes room for a figure across the whole sheet.
    pub(crate) fn room(&mut self, height: f64) -> Rect {
        let top = self.y;
        self.y += height;
        Rect { left: EDGE, top, right: self.across - EDGE, bottom: self.y }
    }

    /// A heading with a line below it.
    pub(crate) fn rule(&mut self, words: &str) {
        let right = self.across - EDGE;
        self.svg.words((EDGE, self.y + 16.0), STRONG, words);
        let y = self.y + 21.0;
        self.svg.line((EDGE, y), (right, y), Paint::line(INK, 1.0));
        self.y += 29.0;
    }

    /// Lines of words, as many as `most`.
    pub(crate) fn words(&mut self, words: &str, kind: Type, most: usize) {
        let lines = wrap(words, self.inner(), kind, most);
        self.y = self.svg.lines((EDGE, self.y + 9.0), LINE, kind, &lines) - 9.0;
    }

    /// One row for each limit, side by side where there is room. Those with a number carry the
    /// mark that stands in the figure.
    pub(crate) fn limits(&mut self, limits: &[Limit], numbered: bool) {
        let columns = ((self.inner() / COLUMN).floor() as usize).clamp(1, limits.len().max(1));
        let column = self.inner() / columns as f64;
        let room = column - if columns > 1 { GUTTER } else { 0.0 };
        for (row, some) in limits.chunks(columns).enumerate() {
            let mut bottom = self.y;
            for (place, limit) in some.iter().enumerate() {
                let number = numbered.then_some(row * columns + place + 1);
                let left = EDGE + column * place as f64;
                bottom = bottom.max(self.limit((left, room), number, limit));
            }
            self.y = bottom + 8.0;
        }
    }

    /// The same one below the other, beside a figure that takes its room from `top` on.
    pub(crate) fn limits_beside(&mut self, limits: &[Limit], (left, top): (f64, f64)) {
        let (below, room) = (self.y, self.across - EDGE - left);
        self.y = top;
        for (place, limit) in limits.iter().enumerate() {
            self.y = self.limit((left, room), Some(place + 1), limit) + 10.0;
        }
        self.y = self.y.max(below);
    }

    fn limit(&mut self, (left, room): (f64, f64), number: Option<usize>, limit: &Limit) -> f64 {
        let (top, verdict) = (self.y, limit.verdict);
        let mut x = left;
        if let Some(number) = number {
            let wide = mark_width(number, verdict);
            mark(&mut self.svg, number, verdict, (x + wide / 2.0, top + BADGE / 2.0));
            x += wide + 8.0;
        }
        badge(&mut self.svg, verdict, (x, top));
        x += badge_width(verdict) + 8.0;
        let (y, free) = (top + BADGE / 2.0 + 4.4, left + room - x);
        let name = shorten(&limit.name, free, STRONG);
        self.svg.words((x, y), STRONG, &name);
        let beside = width(&name, STRONG) + APART;
        if beside + width(&limit.stands, WORDS) <= free {
            self.svg.words((x + beside, y), WORDS, &limit.stands);
            return top + BADGE;
        }
        let lines = wrap(&limit.stands, room, WORDS, 4);
        self.svg.lines((left, top + BADGE + 12.0), LINE, WORDS, &lines) - 9.0
    }

    /// Short lines in columns, read downwards.
    pub(crate) fn table(&mut self, lines: &[(String, Type)]) {
        let columns = ((self.inner() / COLUMN).floor() as usize).clamp(1, lines.len().max(1));
        let column = self.inner() / columns as f64;
        let room = column - if columns > 1 { GUTTER } else { 0.0 };
        let (top, mut bottom) = (self.y, self.y);
        for (place, some) in lines.chunks(lines.len().div_ceil(columns).max(1)).enumerate() {
            let left = EDGE + column * place as f64;
            bottom = f64::max(bottom, self.column(some, (left, top), room));
        }
        self.y = bottom + 4.0;
    }

    /// The same in one column beside a figure that takes its room from `top` on.
    pub(crate) fn table_beside(&mut self, lines: &[(String, Type)], (left, top): (f64, f64)) {
        let bottom = self.column(lines, (left, top), self.across - EDGE - left);
        self.y = self.y.max(bottom);
    }

    fn column(&mut self, lines: &[(String, Type)], (left, top): (f64, f64), room: f64) -> f64 {
        let mut y = top + 10.0;
        for (words, kind) in lines {
            let mut indent = 0.0;
            for line in wrap(words, room - 10.0, *kind, 3) {
                self.svg.words((left + indent, y), *kind, &line);
                indent = 10.0;
                y += LINE;
            }
            y += 2.0;
        }
        y - 10.0
    }

    pub(crate) fn notes(&mut self, notes: &[String]) {
        if notes.is_empty() {
            return;
        }
        self.rule("Notes");
        for note in notes {
            self.words(note, WORDS, 6);
            self.y += 2.0;
        }
    }

    /// How to read the figure, the advice, and the sheet around it all.
    pub(crate) fn finish(mut self, reading: &str, title: &str, says: &str) -> String {
        let right = self.across - EDGE;
        self.y += 6.0;
        self.svg.line((EDGE, self.y), (right, self.y), Paint::line(INK, 1.0));
        self.y += 6.0;
        self.words(reading, SMALL, 12);
        let inner = self.inner();
        self.svg.words((EDGE, self.y + 11.0), SMALL, &shorten(ADVICE, inner, SMALL));
        let sheet = Sheet { width: self.across, height: self.y + 20.0, unit: "" };
        let mut all = Svg::new(sheet, title, says);
        all.append(self.svg);
        all.finish()
    }
}

/// With a capital at its start.
pub(crate) fn sentence(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

/// A limit as it is read out.
pub(crate) fn said(limit: &Limit) -> String {
    format!("{} {}: {}.", sentence(&limit.name), limit.verdict.word(), limit.stands)
}
