//! Envelope, path, stages and distances on two scales.

use super::{BalancePicture, Ceiling, Edge, Point, Stage};
use crate::{
    Verdict,
    board::{Board, Label, around, leader},
    mark::{HALF, dimension, half_width, head, mark},
    plane::{self, Rect, between, polyline},
    scale::{Scale, spread},
    svg::{GREY, INK, PAPER, Paint, Path, Svg, Type},
    words::{shorten, width},
};

const INSIDE: &str = "#ececec";
const WAY: &str = "#0b3d78";
const TICK: Type = Type::plain(10.0).colour(GREY);
const NAME: Type = Type::bold(10.5);
const CEILING: Type = Type::plain(10.0);
/// Room for the numbers of masses, for those of arms, and for the names of ceilings.
const LEFT: f64 = 36.0;
const BELOW: f64 = 34.0;
const RIGHT: f64 = 92.0;
const LINE: f64 = 12.0;
/// How far an upright distance stands beside its point.
const ASIDE: f64 = 18.0;

/// Both scales and the frame inside them.
#[derive(Clone, Copy, Debug)]
struct Field {
    frame: Rect,
    across: Scale,
    up: Scale,
    /// Whether any arm and any mass is known; else its scale has no numbers.
    known: (bool, bool),
}

impl Field {
    fn new(picture: &BalancePicture, room: Rect) -> Self {
        let frame = Rect {
            left: room.left + LEFT,
            top: room.top + 16.0,
            right: room.right - RIGHT,
            bottom: room.bottom - BELOW,
        };
        let points: Vec<Point> = points(picture).collect();
        let arms = range(points.iter().map(|point| point.arm));
        let ceilings = picture.ceilings.iter().filter_map(Ceiling::sound);
        let masses = range(points.iter().map(|point| point.mass).chain(ceilings));
        let inset = 14.0;
        Self {
            frame,
            known: (arms.is_some(), masses.is_some()),
            across: Scale::new(
                arms.unwrap_or((0.0, 1.0)),
                (frame.left + inset, frame.right - inset),
            ),
            up: Scale::new(masses.unwrap_or((0.0, 1.0)), (frame.bottom - inset, frame.top + inset)),
        }
    }

    fn at(&self, point: Point) -> plane::Point {
        (self.across.at(point.arm), self.up.at(point.mass))
    }

    fn all(&self, points: &[Point]) -> Vec<plane::Point> {
        points.iter().map(|point| self.at(*point)).collect()
    }
}

/// A distance to an edge, on the sheet.
#[derive(Clone, Copy, Debug)]
struct Span {
    /// The point it is measured from.
    point: plane::Point,
    /// Where its line is drawn.
    ends: (plane::Point, plane::Point),
}

impl Span {
    /// Upright lines stand beside the burn, which is upright itself as a rule.
    fn of(edge: &Edge, field: &Field) -> Option<Self> {
        let (from, to) = edge.sound()?;
        let (point, to) = (field.at(from), field.at(to));
        let upright = (point.0 - to.0).abs() < (point.1 - to.1).abs();
        let room = point.0 - ASIDE > field.frame.left + 4.0;
        let by = match (upright, room) {
            (false, _) => 0.0,
            (true, true) => -ASIDE,
            (true, false) => ASIDE,
        };
        Some(Self { point, ends: ((point.0 + by, point.1), (to.0 + by, to.1)) })
    }

    fn draw(&self, svg: &mut Svg, board: &mut Board, verdict: Verdict, frame: Rect) {
        let (from, to) = self.ends;
        svg.line(self.point, from, Paint::line(verdict.colour(), 0.9));
        dimension(svg, verdict, self.ends, frame);
        board.ink(&[from, to], false, 3);
    }
}

fn points(picture: &BalancePicture) -> impl Iterator<Item = Point> {
    let edges = picture.edges.iter().filter_map(Edge::sound);
    let lines = [picture.sound_envelope(), picture.sound_path()];
    lines
        .into_iter()
        .flatten()
        .flatten()
        .chain(picture.stages.iter().filter_map(Stage::sound))
        .chain(edges.flat_map(|(from, to)| [from, to]))
}

fn range(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    (low <= high).then_some((low, high))
}

/// Draws the figure; says which stages found no room for their names.
pub(super) fn figure(svg: &mut Svg, picture: &BalancePicture, room: Rect) -> Vec<usize> {
    let field = Field::new(picture, room);
    let frame = field.frame;
    let mut board = Board::new(frame);
    svg.rect((frame.left, frame.top), (frame.width(), frame.height()), 0.0, Paint::line(INK, 1.0));
    axes(svg, picture, &field, room);
    envelope(svg, &mut board, picture, &field);
    ceilings(svg, picture, &field, room);
    let spans: Vec<Option<Span>> =
        picture.edges.iter().map(|edge| Span::of(edge, &field)).collect();
    for (edge, span) in picture.edges.iter().zip(&spans) {
        if let Some(span) = span {
            span.draw(svg, &mut board, edge.shown().verdict, frame);
        }
    }
    path(svg, &mut board, picture, &field);
    for (edge, span) in picture.edges.iter().zip(&spans) {
        if let (Some(span), Verdict::Breaks) = (span, edge.shown().verdict) {
            dot(svg, Verdict::Breaks, span.point);
        }
    }
    for stage in &picture.stages {
        if let Some(at) = stage.sound() {
            let at = field.at(at);
            dot(svg, stage.shown(), at);
            board.take(Rect::around(at, (9.0, 9.0)));
        }
    }
    for (place, (edge, span)) in picture.edges.iter().zip(&spans).enumerate() {
        if let Some(span) = span {
            number(svg, &mut board, (place + 1, edge), span);
        }
    }
    let mut left_out = Vec::new();
    for (place, stage) in picture.stages.iter().enumerate() {
        let at = stage.sound().map(|at| field.at(at));
        if at.is_some_and(|at| !name(svg, &mut board, stage, at)) {
            left_out.push(place);
        }
    }
    left_out
}

fn axes(svg: &mut Svg, picture: &BalancePicture, field: &Field, room: Rect) {
    let frame = field.frame;
    let narrow = frame.width() < 400.0;
    let arms = field.across.ticks(if narrow { 6 } else { 12 });
    let arms = arms.into_iter().filter(|_| field.known.0);
    let masses = field.up.ticks(6).into_iter().filter(|_| field.known.1);
    let mut last = f64::NEG_INFINITY;
    let mut ticks = Path::default();
    for (x, words) in arms {
        ticks = ticks.go(x, frame.bottom).down(frame.bottom + 4.0);
        let half = width(&words, TICK) / 2.0;
        if x - half > last + 3.0 {
            svg.words((x, frame.bottom + 14.0), TICK.middle(), &words);
            last = x + half;
        }
    }
    for (y, words) in masses {
        ticks = ticks.go(frame.left - 4.0, y).across(frame.left);
        let words = shorten(&words, LEFT - 5.0, TICK);
        svg.words((frame.left - 5.0, y + 3.5), TICK.end(), &words);
    }
    if !ticks.is_empty() {
        svg.path(&ticks, Paint::line(INK, 1.0));
    }
    let unit = shorten(&format!("arm, {}", picture.arm_unit), frame.width(), TICK);
    svg.words((frame.middle().0, frame.bottom + 27.0), TICK.middle(), &unit);
    let unit = shorten(&format!("mass, {}", picture.mass_unit), frame.width(), TICK);
    svg.words((room.left, room.top + 10.0), TICK, &unit);
}

fn envelope(svg: &mut Svg, board: &mut Board, picture: &BalancePicture, field: &Field) {
    let Some(corners) = picture.sound_envelope().map(|corners| field.all(&corners)) else {
        let frame = field.frame.grown(-10.0);
        let size = (frame.width(), frame.height());
        svg.rect((frame.left, frame.top), size, 0.0, Paint::line(GREY, 1.2).dashed("6 4"));
        let at = (frame.left + 6.0, frame.bottom - 6.0);
        let words = shorten("envelope unknown", frame.width() - 12.0, NAME);
        svg.words(at, NAME, &words);
        let wide = width(&words, NAME);
        board.take(Rect { left: at.0, top: at.1 - 10.0, right: at.0 + wide, bottom: at.1 + 2.0 });
        return;
    };
    svg.path(&polyline(&corners).close(), Paint::line(INK, 2.0).filled(INSIDE));
    board.ink(&corners, true, 5);
}

/// Level lines, each with its name at the right, kept apart.
fn ceilings(svg: &mut Svg, picture: &BalancePicture, field: &Field, room: Rect) {
    let frame = field.frame;
    let known: Vec<(&Ceiling, f64)> =
        picture.ceilings.iter().filter_map(|one| Some((one, field.up.at(one.sound()?)))).collect();
    let heights: Vec<f64> = known.iter().map(|(_, y)| *y).collect();
    let most = ((frame.height() - 8.0) / LINE).floor() as usize;
    let apart = spread(&heights, LINE, (frame.top + 4.0, frame.bottom - 4.0));
    let mut leads = Path::default();
    for (place, ((one, y), words)) in known.iter().zip(apart).enumerate() {
        let verdict = one.shown().verdict;
        let line = match verdict {
            Verdict::Breaks => Paint::line(verdict.colour(), 2.6),
            Verdict::Unknown => Paint::line(verdict.colour(), 1.2).dashed("5 3"),
            Verdict::Holds => Paint::line(INK, 0.9).dashed("1 3"),
        };
        svg.line((frame.left, *y), (frame.right, *y), line);
        if place >= most {
            continue;
        }
        leads = leads.go(frame.right, *y).line(frame.right + 7.0, words);
        let kind =
            if verdict == Verdict::Breaks { CEILING.colour(verdict.colour()) } else { CEILING };
        let room = room.right - frame.right - 9.0;
        svg.words((frame.right + 9.0, words + 3.5), kind, &shorten(&one.name, room, kind));
    }
    if !leads.is_empty() {
        svg.path(&leads, Paint::line(INK, 0.8));
    }
}

fn path(svg: &mut Svg, board: &mut Board, picture: &BalancePicture, field: &Field) {
    let Some(points) = picture.sound_path().map(|points| field.all(&points)) else { return };
    svg.path(&polyline(&points), Paint::line(PAPER, 5.0));
    svg.path(&polyline(&points), Paint::line(WAY, 2.6));
    board.ink(&points, false, 6);
    let corners = picture.sound_envelope().map(|corners| field.all(&corners));
    for pair in points.windows(2) {
        let middle = between(pair[0], pair[1], 0.5);
        if corners.as_ref().is_some_and(|corners| !plane::inside(corners, middle)) {
            svg.line(pair[0], pair[1], Paint::line(Verdict::Breaks.colour(), 5.0));
        }
    }
    // An arrow in the middle of the longest stretch: which way the fuel goes.
    let longest = points.windows(2).max_by(|one, other| {
        plane::distance(one[0], one[1]).total_cmp(&plane::distance(other[0], other[1]))
    });
    if let Some([from, to]) = longest
        && plane::distance(*from, *to) > 24.0
    {
        svg.path(&head(*from, between(*from, *to, 0.55), 10.0), Paint::fill(WAY));
    }
}

/// A ring inside the envelope, a full square outside, a dashed ring where nobody knows.
fn dot(svg: &mut Svg, verdict: Verdict, at: plane::Point) {
    let colour = verdict.colour();
    match verdict {
        Verdict::Breaks => {
            let corner = (at.0 - 4.5, at.1 - 4.5);
            svg.rect(corner, (9.0, 9.0), 0.0, Paint::line(PAPER, 1.0).filled(colour));
        }
        Verdict::Unknown => {
            svg.circle(at, 4.5, Paint::line(colour, 1.4).filled(PAPER).dashed("2 1.5"))
        }
        Verdict::Holds => svg.circle(at, 4.0, Paint::line(INK, 1.6).filled(PAPER)),
    }
}

fn number(svg: &mut Svg, board: &mut Board, (number, edge): (usize, &Edge), span: &Span) {
    let (from, to) = span.ends;
    let verdict = edge.shown().verdict;
    let size = (2.0 * half_width(number, verdict), 2.0 * HALF);
    let on = [0.5, 0.35, 0.65, 0.2, 0.8].map(|share| (between(from, to, share), 0.0));
    let middle = between(from, to, 0.5);
    let places = on.into_iter().chain(around(middle, size, 2.0, 60.0));
    if let Some(rect) = board.place(size, places, f64::INFINITY) {
        if let Some((start, stop)) = leader(rect, middle, 9.0) {
            svg.line(start, stop, Paint::line(verdict.colour(), 0.9));
        }
        mark(svg, number, verdict, rect.middle());
    }
}

fn name(svg: &mut Svg, board: &mut Board, stage: &Stage, at: plane::Point) -> bool {
    let label = Label::new(vec![(shorten(&stage.name, 130.0, NAME), NAME)]);
    let size = label.size();
    let Some(rect) = board.place(size, around(at, size, 6.0, 110.0), f64::INFINITY) else {
        return false;
    };
    if let Some((start, stop)) = leader(rect, at, 7.0) {
        svg.line(
            start,
            between(start, stop, 1.0 - 4.5 / plane::distance(start, stop)),
            Paint::line(INK, 0.8),
        );
    }
    label.write(svg, rect);
    true
}
