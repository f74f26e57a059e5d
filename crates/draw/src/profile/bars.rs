//! What is needed against what there is, and the obstacles: in words, with a bar to scale.

use super::{Against, Need, Obstacle, ProfilePicture, length, say, track::Track};
use crate::{
    Verdict,
    mark::{mark, mark_width},
    plane::{Lean, Point, hatch},
    svg::{GREY, INK, PAPER, Paint, Svg, Type},
    verdict::{BADGE, badge, badge_width},
    words::{shorten, width, wrap},
};

pub(super) const STRONG: Type = Type::bold(12.5);
const WORDS: Type = Type::plain(11.0);
const SMALL: Type = Type::plain(10.5).colour(GREY);
const LINE: f64 = 13.5;
const BAR: f64 = 14.0;

/// One need or obstacle, laid out.
#[derive(Debug)]
pub(super) struct Block {
    number: Option<usize>,
    verdict: Verdict,
    strong: String,
    /// The margin, behind the name where it has room there, else above the bar.
    beside: String,
    above: Vec<String>,
    below: Vec<(String, Type)>,
    bar: Option<Bar>,
}

#[derive(Clone, Copy, Debug)]
struct Bar {
    manual: Option<f64>,
    factored: Option<f64>,
    available: Option<f64>,
    used: bool,
}

impl Block {
    pub(super) fn of_need(picture: &ProfilePicture, need: &Need, room: f64) -> Self {
        let verdict = picture.verdict(need);
        let declared = picture.declared(need.against);
        let lines = |words: &str, kind: Type, most| {
            wrap(words, room, kind, most).into_iter().map(move |line| (line, kind))
        };
        let mut below: Vec<_> = lines(&say::need(picture, need), WORDS, 3).collect();
        below.extend(lines(&need.factors, SMALL, 4));
        let left = room - badge_width(verdict) - 8.0;
        let (strong, beside, above) = title(&need.name, &need.margin, left, room);
        Self {
            number: None,
            verdict,
            strong,
            beside,
            above,
            below,
            bar: Some(Bar {
                manual: length(need.manual),
                factored: length(need.factored),
                available: declared.metres(),
                used: declared != super::Declared::NotUsed,
            }),
        }
    }

    pub(super) fn of_obstacle(place: usize, obstacle: &Obstacle, drawn: bool, room: f64) -> Self {
        let verdict = obstacle.shown_verdict();
        let mut below: Vec<_> = wrap(&say::obstacle(obstacle), room, WORDS, 2)
            .into_iter()
            .map(|line| (line, WORDS))
            .collect();
        if !drawn {
            let why = match obstacle.place() {
                Some(_) => "further out than drawn",
                None => "not drawn: its place is unknown",
            };
            below.push((shorten(why, room, SMALL), SMALL));
        }
        let taken = mark_width(place + 1, verdict) + badge_width(verdict) + 16.0;
        let (strong, beside, above) = title(&obstacle.name, &obstacle.margin, room - taken, room);
        Self { number: Some(place + 1), verdict, strong, beside, above, below, bar: None }
    }

    pub(super) fn height(&self) -> f64 {
        let lines = (self.above.len() + self.below.len()) as f64;
        let bar = if self.bar.is_some() { BAR + 12.0 } else { 0.0 };
        BADGE + 3.0 + LINE * lines + bar + 9.0
    }

    pub(super) fn draw(&self, svg: &mut Svg, track: Option<&Track>, (left, top): Point) {
        let mut x = left;
        if let Some(number) = self.number {
            let wide = mark_width(number, self.verdict);
            mark(svg, number, self.verdict, (x + wide / 2.0, top + BADGE / 2.0));
            x += wide + 8.0;
        }
        badge(svg, self.verdict, (x, top));
        x += badge_width(self.verdict) + 8.0;
        let y = top + BADGE / 2.0 + 4.4;
        svg.words((x, y), STRONG, &self.strong);
        svg.words((x + width(&self.strong, STRONG) + APART, y), WORDS, &self.beside);
        let mut y = top + BADGE + 14.0;
        y = svg.lines((left, y), LINE, WORDS, &self.above);
        if let Some((bar, track)) = self.bar.zip(track) {
            draw_bar(svg, bar, track, y - 4.0);
            y += BAR + 12.0;
        }
        for (words, kind) in &self.below {
            svg.words((left, y), *kind, words);
            y += LINE;
        }
    }
}

/// Between a name and its margin.
const APART: f64 = 10.0;

/// Name and margin: in one line where both have room, else the margin in lines of its own.
fn title(name: &str, margin: &str, left: f64, room: f64) -> (String, String, Vec<String>) {
    let strong = shorten(name, left, STRONG);
    if width(&strong, STRONG) + APART + width(margin, WORDS) <= left {
        (strong, margin.to_owned(), Vec::new())
    } else {
        (strong, String::new(), wrap(margin, room, WORDS, 3))
    }
}

/// What there is as a frame, what is needed inside it; a black end past it is too much.
fn draw_bar(svg: &mut Svg, bar: Bar, track: &Track, top: f64) {
    let start = track.x(0.0);
    let middle = top + BAR / 2.0;
    let rect = |svg: &mut Svg, from: f64, to: f64, half: f64, paint: Paint| {
        svg.rect((from, middle - half), (to - from, 2.0 * half), 0.0, paint);
    };
    let frame = Paint::line(INK, 1.2).filled(PAPER);
    match bar.available {
        Some(metres) => rect(svg, start, track.x(metres), BAR / 2.0, frame),
        None if bar.used => {
            let end = track.x(track.longest);
            rect(svg, start, end, BAR / 2.0, Paint::line(GREY, 1.2).filled(PAPER).dashed("5 3"));
        }
        None => {}
    }
    let limit = bar.available.map(|metres| track.x(metres));
    let manual = bar.manual.map_or(start, |metres| track.x(metres));
    let inside = |x: f64| limit.map_or(x, |limit| x.min(limit));
    if let Some(metres) = bar.factored {
        let end = track.x(metres);
        let (from, to) = (inside(manual), inside(end));
        if to > from {
            let corners = [
                (from, middle - 4.0),
                (to, middle - 4.0),
                (to, middle + 4.0),
                (from, middle + 4.0),
            ];
            rect(svg, from, to, 4.0, Paint::fill(PAPER));
            let lines = hatch(&corners, Lean::Rising, 3.5);
            if !lines.is_empty() {
                svg.path(&lines, Paint::line(INK, 1.0));
            }
            rect(svg, from, to, 4.0, Paint::line(INK, 1.0));
        }
    }
    if bar.manual.is_some() && inside(manual) > start {
        rect(svg, start, inside(manual), 4.0, Paint::fill(GREY));
    }
    let over = [bar.manual, bar.factored].into_iter().flatten().reduce(f64::max);
    if let Some((limit, over)) = limit.zip(over.map(|metres| track.x(metres))) {
        if over > limit + 0.05 {
            rect(svg, limit, over, BAR / 2.0, Paint::fill(Verdict::Breaks.colour()));
        }
        svg.line((limit, middle - 10.0), (limit, middle + 10.0), Paint::line(INK, 2.4));
    }
    if bar.factored.is_none() {
        let end = limit.unwrap_or_else(|| track.x(track.longest));
        let from = inside(manual);
        if end > from {
            svg.line((from, middle), (end, middle), Verdict::Unknown.line());
        }
    }
}

/// Which lengths the needs are held against is drawn once above; this says what the bars mean.
pub(super) const READING: &str = "In a bar the frame is what there is, up to the thick stroke; grey \
    is what the manual says, hatched what the factors add, full past the stroke what is too much. \
    Dashed is unknown. Bars and figure share their scale. Needed is rounded up, what there is \
    down.";

impl Against {
    /// `TORA` in full, for those who read it aloud.
    pub(super) const fn in_full(self) -> &'static str {
        match self {
            Self::Tora => "take-off run available",
            Self::Toda => "take-off distance available",
            Self::Lda => "landing distance available",
        }
    }
}
