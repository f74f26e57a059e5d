//! The rungs, each where the one before it ends, under the tank they come out of.

use super::{Amount, LadderPicture};
use crate::{
    Verdict,
    plane::{Lean, Point, Rect, hatch},
    scale::Scale,
    svg::{GREY, INK, PALE, PAPER, Paint, Svg, Type},
    words::{shorten, width},
};

const NAME: Type = Type::plain(11.5);
const AMOUNT: Type = Type::bold(11.5);
/// Height of one rung with its words above it.
const RUNG: f64 = 33.0;
/// The same with its words beside it, and the room that these take.
const FLAT: f64 = 25.0;
const WORDS: f64 = 290.0;
/// Height of a bar.
const BAR: f64 = 14.0;
/// Fuel. Pale, so that what lies over it stays readable; grey in print.
const FUEL: &str = "#bcd6ea";
/// Room for the words of the two lines above everything.
const ABOVE: f64 = 4.0;

/// How high the figure is.
pub(super) fn height(picture: &LadderPicture, narrow: bool) -> f64 {
    // The tank above the rungs and the sum below them.
    ABOVE + rung(narrow) * (picture.rungs.len() + 2) as f64 + 8.0
}

/// A wide sheet has the words of a rung at its left, a narrow one above it.
const fn rung(narrow: bool) -> f64 {
    if narrow { RUNG } else { FLAT }
}

/// Where a rung stands: from, to; `None` at its end when nobody knows how much it is.
#[derive(Clone, Copy, Debug)]
struct Span {
    from: f64,
    to: Option<f64>,
    /// False when what lies below it is not known, so that it may begin further up.
    sure: bool,
}

struct Figure<'a> {
    picture: &'a LadderPicture,
    /// The bars.
    frame: Rect,
    /// From and to where words stand.
    words: (f64, f64),
    rung: f64,
    scale: Scale,
    unusable: f64,
}

pub(super) fn figure(svg: &mut Svg, picture: &LadderPicture, room: Rect, narrow: bool) {
    let left = if narrow { room.left } else { room.left + WORDS };
    let frame = Rect { left, ..room };
    let words = (room.left, if narrow { room.right } else { left - 14.0 });
    let spans = spans(picture);
    let unusable = picture.unusable.sound().unwrap_or(0.0);
    let above = [&picture.required, &picture.aboard, &picture.capacity];
    let ends = above.into_iter().filter_map(Amount::sound).map(|value| value + unusable);
    let ends = ends.chain(spans.iter().filter_map(|span| span.to));
    let most = ends.fold(unusable, f64::max).max(1.0);
    let scale = Scale::new((0.0, most), (frame.left, frame.right - 2.0));
    let figure = Figure { picture, frame, words, rung: rung(narrow), scale, unusable };
    figure.down(svg, spans.len());
    figure.tank(svg);
    let mut top = frame.top + ABOVE + figure.rung;
    for (rung, span) in picture.rungs.iter().zip(&spans) {
        figure.words(svg, top, &rung.name, rung.amount.said());
        figure.rung(svg, top + figure.rung - BAR - 3.0, *span, rung.kept);
        top += figure.rung;
    }
    figure.sum(svg, top);
}

fn spans(picture: &LadderPicture) -> Vec<Span> {
    let (mut at, mut sure) = (picture.unusable.sound().unwrap_or(0.0), true);
    let mut spans = Vec::new();
    for rung in &picture.rungs {
        let to = rung.amount.sound().map(|amount| at + amount);
        spans.push(Span { from: at, to, sure });
        at = to.unwrap_or(at);
        sure &= to.is_some();
    }
    spans
}

impl Figure<'_> {
    fn bar(&self, from: f64, to: f64, y: f64) -> (Point, Point) {
        let (left, right) = (self.scale.at(from), self.scale.at(to));
        ((left, y), (right - left, BAR))
    }

    /// Name at the left, amount at the right.
    fn words(&self, svg: &mut Svg, top: f64, name: &str, amount: &str) {
        let (from, to) = self.words;
        let amount = shorten(amount, (to - from) * 0.5, AMOUNT);
        let name = shorten(name, to - from - width(&amount, AMOUNT) - 10.0, NAME);
        // Level with the bar where it stands beside it.
        let y = if self.rung < RUNG { top + self.rung - 6.5 } else { top + 12.0 };
        // On paper, so that no line from above runs through the words.
        for (from, words, kind) in
            [(from, &name, NAME), (to - width(&amount, AMOUNT), &amount, AMOUNT)]
        {
            let size = (width(words, kind), 13.0);
            svg.rect((from, y - 10.5), size, 0.0, Paint::fill(PAPER));
        }
        svg.words((from, y), NAME, &name);
        svg.words((to, y), AMOUNT.end(), &amount);
    }

    /// The lines that run down through all rungs: where usable fuel begins, and what is aboard.
    fn down(&self, svg: &mut Svg, rungs: usize) {
        let top = self.frame.top + ABOVE + self.rung - BAR - 3.0;
        let bottom = top + self.rung * (rungs + 1) as f64 + BAR;
        if self.unusable > 0.0 {
            let x = self.scale.at(self.unusable);
            svg.line((x, top), (x, bottom), Paint::line(GREY, 0.8).dashed("2 3"));
        }
        if let Some(x) = self.aboard() {
            svg.line((x, top), (x, bottom + 4.0), Paint::line(INK, 2.4));
        }
    }

    fn aboard(&self) -> Option<f64> {
        self.picture.aboard.sound().map(|aboard| self.scale.at(aboard + self.unusable))
    }

    /// What the tanks hold, what is in them, and what of it cannot be used.
    fn tank(&self, svg: &mut Svg) {
        let picture = self.picture;
        let top = self.frame.top + ABOVE;
        let name = format!("aboard, usable {}", picture.aboard.said());
        self.words(svg, top, &name, &format!("tanks hold {}", picture.capacity.said()));
        let y = top + self.rung - BAR - 3.0;
        let frame = picture.capacity.sound().map(|capacity| capacity + self.unusable);
        if let Some(aboard) = picture.aboard.sound() {
            let (at, size) = self.bar(self.unusable, self.unusable + aboard, y);
            svg.rect(at, size, 0.0, Paint::fill(FUEL));
        }
        if self.unusable > 0.0 {
            let (at, size) = self.bar(0.0, self.unusable, y);
            svg.rect(at, size, 0.0, Paint::fill(GREY));
        }
        let known = frame.is_some() && picture.aboard.sound().is_some();
        let (at, size) = match frame {
            Some(frame) => self.bar(0.0, frame, y),
            None => (self.frame_at(y), (self.frame.width() - 2.0, BAR)),
        };
        let line = Paint::line(INK, 1.4);
        svg.rect(at, size, 0.0, if known { line } else { line.dashed("5 3") });
        if let (Some(x), Some(frame)) = (self.aboard(), frame) {
            let end = self.scale.at(frame);
            if x > end + 0.05 {
                let over = Paint::fill(Verdict::Breaks.colour());
                svg.rect((end, y), (x - end, BAR), 0.0, over);
            }
            svg.line((x, y - 3.0), (x, y + BAR), Paint::line(INK, 2.4));
        }
    }

    const fn frame_at(&self, y: f64) -> Point {
        (self.frame.left, y)
    }

    fn rung(&self, svg: &mut Svg, y: f64, span: Span, kept: bool) {
        let start = self.scale.at(span.from);
        // A thin line from where the one below ended.
        svg.line((start, y - self.rung + BAR), (start, y), Paint::line(GREY, 0.8));
        let Some(to) = span.to else {
            let room = (self.frame.right - start - 2.0).clamp(14.0, 60.0);
            let from = start.min(self.frame.right - room - 2.0);
            svg.rect((from, y), (room, BAR), 0.0, Verdict::Unknown.line().filled(PAPER));
            let middle = (from + room / 2.0, y + 11.0);
            svg.words(middle, AMOUNT.colour(Verdict::Unknown.colour()).middle(), "?");
            return;
        };
        let (at, size) = self.bar(span.from, to, y);
        if size.0 < 0.05 {
            // Nothing: a stroke, so that the rung is not lost.
            svg.line((start, y), (start, y + BAR), Paint::line(INK, 1.4));
            return;
        }
        svg.rect(at, size, 0.0, Paint::fill(if kept { PAPER } else { PALE }));
        if kept {
            let (right, bottom) = (at.0 + size.0, at.1 + size.1);
            let lines =
                hatch(&[at, (right, at.1), (right, bottom), (at.0, bottom)], Lean::Rising, 5.0);
            if !lines.is_empty() {
                svg.path(&lines, Paint::line(INK, 0.9));
            }
        }
        let short =
            self.aboard().map(|aboard| aboard.max(at.0)).filter(|from| from + 0.05 < at.0 + size.0);
        if let Some(from) = short {
            let over = Paint::fill(Verdict::Breaks.colour());
            svg.rect((from, y), (at.0 + size.0 - from, BAR), 0.0, over);
        }
        let line = Paint::line(INK, 1.2);
        let sure = span.sure && self.picture.unusable.sound().is_some();
        svg.rect(at, size, 0.0, if sure { line } else { line.dashed("4 3") });
    }

    /// The sum against what is aboard: what is left or short as a bar between the two.
    fn sum(&self, svg: &mut Svg, top: f64) {
        let picture = self.picture;
        let verdict = picture.shown().first().map_or(Verdict::Unknown, |limit| limit.verdict);
        let name = match verdict {
            Verdict::Unknown => "required against aboard: unknown".to_owned(),
            _ => format!("required {}", picture.required.said()),
        };
        self.words(svg, top, &name, &format!("aboard {}", picture.aboard.said()));
        let y = top + self.rung - BAR - 3.0;
        let (required, aboard) = (picture.required.sound(), picture.aboard.sound());
        let (Some(required), Some(aboard)) = (required, aboard) else {
            let size = (self.frame.width() - 2.0, BAR);
            svg.rect(self.frame_at(y), size, 0.0, Verdict::Unknown.line().filled(PAPER));
            return;
        };
        let (at, size) = self.bar(self.unusable, self.unusable + required.min(aboard), y);
        svg.rect(at, size, 0.0, Paint::fill(GREY));
        let (at, size) =
            self.bar(self.unusable + required.min(aboard), self.unusable + required.max(aboard), y);
        if required > aboard {
            svg.rect(at, size, 0.0, Paint::fill(Verdict::Breaks.colour()));
        } else {
            svg.rect(at, size, 0.0, Paint::line(INK, 1.2).filled(PAPER));
        }
        let x = self.scale.at(self.unusable + aboard);
        svg.line((x, y - 3.0), (x, y + BAR + 4.0), Paint::line(INK, 2.4));
    }
}
