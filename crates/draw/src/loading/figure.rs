//! The aeroplane from above with a box at each place, and the scale of arms below it.

use super::{Balance, LoadingPicture, Most, Place, PlaceKind, Station};
use crate::{
    Verdict,
    board::{Board, around, leader},
    plane::{Point, Rect, clip_area, path_inside, polyline},
    scale::Scale,
    svg::{GREY, INK, PAPER, Paint, Path, Svg, Type},
    words::{shorten, width, wrap},
};

const SKIN: &str = "#e9e9e9";
/// What is in a place. Pale, so that the words over it stay readable.
const LOAD: &str = "#bcd6ea";
const NAME: Type = Type::plain(9.0).middle();
const NUMBER: Type = Type::bold(10.5).middle();
const TICK: Type = Type::plain(10.0).colour(GREY).middle();
const WORDS: Type = Type::plain(10.5);
/// Height of a box.
const BOX: f64 = 23.0;
const WIDEST: f64 = 62.0;
/// Room around what is drawn.
const MARGIN: f64 = 8.0;
/// Height of the scale of arms.
const AXIS: f64 = 26.0;

/// Arms across, sides up and down, one scale for both.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    frame: Rect,
    low: f64,
    high: f64,
    /// Pixels for one unit of length.
    pixels: f64,
}

impl View {
    /// The whole length of the aeroplane, and as much of its wings as carries something.
    pub(super) fn new(
        picture: &LoadingPicture,
        top: f64,
        (left, right): (f64, f64),
        tallest: f64,
    ) -> Self {
        let sound = picture.sound_outlines();
        let outlines = || sound.iter().flatten();
        let places = || picture.places.iter().filter_map(Place::sound_at);
        let balance = picture.balance.arms();
        let arms = outlines().copied().chain(places()).map(|station| station.arm).chain(balance);
        let (low, high) = arms.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), arm| {
            (low.min(arm), high.max(arm))
        });
        // One arm alone, or none.
        let (low, high) = if low <= high { (low, high) } else { (0.0, 0.0) };
        let (low, high) = if high - low < 1e-3 { (low - 1.0, high + 1.0) } else { (low, high) };
        let room = right - left - 2.0 * MARGIN;
        let side = places().map(|place| place.lateral.abs()).fold(0.0, f64::max);
        // Wings run on past the frame; what carries something does not.
        let body = outlines().filter(|one| one.lateral.abs() < (high - low) * 0.15);
        let body = body.map(|one| one.lateral.abs()).fold(0.0, f64::max);
        let side = f64::max(side, body);
        let pixels = (room / (high - low))
            .min((tallest - 2.0 * (BOX / 2.0 + MARGIN)) / (2.0 * side).max(1e-9));
        let tall = (2.0 * side * pixels + BOX + 2.0 * MARGIN).clamp(110.0, tallest);
        // In the middle where the height decides.
        let spare = (room - (high - low) * pixels) / 2.0 / pixels;
        let frame = Rect { left, top, right, bottom: top + tall };
        Self { frame, low: low - spare, high: high + spare, pixels }
    }

    pub(super) fn bottom(&self) -> f64 {
        self.frame.bottom + AXIS
    }

    pub(super) fn scale(&self) -> Scale {
        let ends = (self.frame.left + MARGIN, self.frame.right - MARGIN);
        Scale::new((self.low, self.high), ends)
    }

    pub(super) fn at(&self, station: Station) -> Point {
        let x = self.frame.left + MARGIN + (station.arm - self.low) * self.pixels;
        // Seen from above with the nose to the left, the right side is up.
        (x, self.frame.middle().1 - station.lateral * self.pixels)
    }
}

/// Draws the figure; gives the names of places for which there was no room.
pub(super) fn figure(svg: &mut Svg, picture: &LoadingPicture, view: &View) -> Vec<usize> {
    let frame = view.frame;
    let size = (frame.width(), frame.height());
    svg.rect((frame.left, frame.top), size, 0.0, Paint::fill(PAPER));
    skin(svg, picture, view);
    svg.rect((frame.left, frame.top), size, 0.0, Paint::line(INK, 1.0));
    let mut board = Board::new(frame);
    let mut left_out = Vec::new();
    let mut boxes = Vec::new();
    for (index, place) in picture.places.iter().enumerate() {
        let Some(at) = place.sound_at().map(|station| view.at(station)) else { continue };
        let size = (wide(place), BOX);
        let places = near(at).chain(around(at, size, 0.0, 70.0));
        match board.place(size, places, f64::INFINITY) {
            Some(rect) => boxes.push((place, at, rect)),
            None => left_out.push(index),
        }
    }
    for (_, at, rect) in &boxes {
        if let Some((from, to)) = leader(*rect, *at, 1.0) {
            svg.line(from, to, Paint::line(INK, 1.0));
            svg.circle(to, 2.6, Paint::line(PAPER, 0.6).filled(INK));
        }
    }
    for (place, _, rect) in boxes {
        carry(svg, place, rect);
    }
    axis(svg, picture, view);
    left_out
}

/// Places for a box: its own, then those of the same arm, for the arm is what it weighs by.
fn near((x, y): Point) -> impl Iterator<Item = (Point, f64)> {
    let aside = (0..26).map(|step| f64::from(step) * 3.0);
    aside.flat_map(move |by| [((x, y - by), by * 0.5), ((x, y + by), by * 0.5)])
}

/// The outlines as one shape; a dashed line where nobody said where they lie.
fn skin(svg: &mut Svg, picture: &LoadingPicture, view: &View) {
    let frame = view.frame;
    let outlines: Vec<Vec<Point>> = picture
        .sound_outlines()
        .into_iter()
        .map(|corners| corners.into_iter().map(|corner| view.at(corner)).collect())
        .collect();
    if outlines.is_empty() {
        let y = frame.middle().1;
        let line = Paint::line(GREY, 1.2).dashed("6 4");
        svg.line((frame.left + MARGIN, y), (frame.right - MARGIN, y), line);
        return;
    }
    // All edges first, then all areas: inner edges vanish.
    for outline in &outlines {
        let path = path_inside(outline, true, frame);
        if !path.is_empty() {
            svg.path(&path, Paint::line(INK, 2.4));
        }
    }
    for outline in &outlines {
        let area = clip_area(outline, frame);
        if area.len() > 2 {
            svg.path(&polyline(&area).close(), Paint::fill(SKIN));
        }
    }
}

fn wide(place: &Place) -> f64 {
    let words = width(&place.name, NAME).max(width(&place.figure, NUMBER));
    (words + 8.0).clamp(BOX + 2.0, WIDEST)
}

/// One place: as full as its share of what it may carry.
fn carry(svg: &mut Svg, place: &Place, rect: Rect) {
    let verdict = place.shown();
    let (corner, size) = ((rect.left, rect.top), (rect.width(), rect.height()));
    let round = match place.kind {
        PlaceKind::Seat => 4.0,
        PlaceKind::Locker => 0.0,
        PlaceKind::Tank => BOX / 2.0,
    };
    let breaks = verdict == Verdict::Breaks;
    let colour = if breaks { verdict.colour() } else { PAPER };
    svg.rect(corner, size, round, Paint::fill(colour));
    if let Some(share) = place.share().filter(|_| !breaks) {
        // Between the roundings, so that a level stays inside its outline.
        let inset = if place.kind == PlaceKind::Tank { 5.0 } else { 1.0 };
        let tall = (rect.height() - 2.0) * share.clamp(0.0, 1.0);
        if tall > 0.2 {
            let at = (rect.left + inset, rect.bottom - 1.0 - tall);
            svg.rect(at, (rect.width() - 2.0 * inset, tall), 0.0, Paint::fill(LOAD));
        }
    }
    let line = match verdict {
        Verdict::Breaks => Paint::line(PAPER, 1.2),
        Verdict::Unknown => Paint::line(verdict.colour(), 1.8).dashed("4 3"),
        Verdict::Holds => Paint::line(INK, 1.3),
    };
    svg.rect(corner, size, round, line);
    if place.most == Most::None {
        // Open at the top: the manual sets no bound.
        let (left, right) = (rect.left + 5.0, rect.right - 5.0);
        svg.line((left, rect.top), (right, rect.top), Paint::line(PAPER, 3.0));
    }
    let ink = if breaks { PAPER } else { INK };
    let middle = rect.middle().0;
    let name = shorten(&place.name, rect.width() - 5.0, NAME);
    svg.words((middle, rect.top + 8.8), NAME.colour(ink), &name);
    let known = place.sound_load().is_some();
    let figure = if known { place.figure.as_str() } else { "?" };
    let figure = shorten(figure, rect.width() - 5.0, NUMBER);
    svg.words((middle, rect.top + 19.7), NUMBER.colour(ink), &figure);
}

/// The scale of arms, with what is allowed and where the whole balances.
fn axis(svg: &mut Svg, picture: &LoadingPicture, view: &View) {
    let scale = view.scale();
    let frame = view.frame;
    let y = frame.bottom;
    let unit = shorten(&format!("arm, {}", picture.arm_unit), 70.0, TICK);
    let taken = width(&unit, TICK) + 6.0;
    let mut last = f64::NEG_INFINITY;
    let mut ticks = Path::default();
    for (x, words) in scale.ticks(if frame.width() < 500.0 { 8 } else { 14 }) {
        ticks = ticks.go(x, y).down(y + 5.0);
        let half = width(&words, TICK) / 2.0;
        if x - half > last + 3.0 && x - half > frame.left && x + half < frame.right - taken {
            svg.words((x, y + 16.0), TICK, &words);
            last = x + half;
        }
    }
    if !ticks.is_empty() {
        svg.path(&ticks, Paint::line(INK, 1.0));
    }
    svg.words((frame.right, y + 16.0), Type::plain(10.0).colour(GREY).end(), &unit);
}

/// Height of the line of balance.
pub(super) const BALANCE: f64 = 50.0;

/// Foremost and aftmost arm allowed as a frame, and the centre of gravity as a point below.
pub(super) fn balance(svg: &mut Svg, one: &Balance, view: &View, top: f64) {
    let scale = view.scale();
    let verdict = one.shown();
    let y = top + 6.0;
    let (left, right) = (view.frame.left, view.frame.right);
    match one.sound_allowed() {
        Some((forward, aft)) => {
            let (from, to) = (scale.at(forward), scale.at(aft));
            svg.line((left, y), (right, y), Paint::line(GREY, 0.8));
            svg.rect((from, y - 4.0), (to - from, 8.0), 0.0, Paint::line(INK, 1.4).filled(PAPER));
        }
        None => svg.line((left, y), (right, y), Paint::line(GREY, 1.2).dashed("5 3")),
    }
    if let Some(arm) = one.sound_arm() {
        let x = scale.at(arm);
        let at = (x, y);
        let colour = verdict.colour();
        svg.circle(at, 6.0, Paint::line(colour, 1.6).filled(PAPER));
        let quarter = |turn: f64| {
            let (dx, dy) = (6.0 * f64::cos(turn), 6.0 * f64::sin(turn));
            (x + dx, y + dy)
        };
        let half_pi = std::f64::consts::FRAC_PI_2;
        let mut path = Path::default();
        for turn in [0.0, 2.0 * half_pi] {
            let (from, to) = (quarter(turn), quarter(turn + half_pi));
            path = path.go(x, y).line(from.0, from.1).arc(6.0, false, to.0, to.1).close();
        }
        svg.path(&path, Paint::fill(colour));
    }
    let mut x = left;
    crate::verdict::badge(svg, verdict, (x, y + 14.0));
    x += crate::verdict::badge_width(verdict) + 8.0;
    let lines = wrap(&one.words, right - x, WORDS, 2);
    svg.lines((x, y + 26.5), 13.0, WORDS, &lines);
}

impl Place {
    pub(super) fn sound_at(&self) -> Option<Station> {
        self.at.and_then(Station::sound)
    }
}

impl Balance {
    fn arms(&self) -> impl Iterator<Item = f64> {
        let allowed = self.sound_allowed();
        let ends = allowed.into_iter().flat_map(|(forward, aft)| [forward, aft]);
        self.sound_arm().into_iter().chain(ends)
    }
}
