//! The ribbons under one clock, with the flight running down from one to the next.

use super::{DayPicture, Hours, Moment, MomentKind, Ribbon, Sky, sound, stretch};
use crate::{
    Verdict,
    plane::{Lean, Point, Rect, hatch},
    scale::Scale,
    svg::{GREY, INK, PALE, PAPER, Paint, Path, Svg, Type},
    words::{shorten, width, wrap},
};

const NIGHT: &str = "#3c3c3c";
const TWILIGHT: &str = "#b4b4b4";
const WAY: &str = "#0b3d78";
const PLACE: Type = Type::bold(12.5);
const SMALL: Type = Type::plain(10.5).colour(GREY);
const TICK: Type = Type::plain(10.0).colour(GREY);
const WHEN: Type = Type::bold(10.5);
/// Height of a ribbon and of a line of words above it.
const RIBBON: f64 = 24.0;
const LINE: f64 = 13.0;
const WINDOW: f64 = 9.0;
/// Between two ribbons.
const GAP: f64 = 20.0;
/// Height of the hours at the top.
const HOURS: f64 = 30.0;

/// One ribbon, laid out: its words, and where those of its moments stand.
struct Lane<'a> {
    ribbon: &'a Ribbon,
    words: Vec<String>,
    /// Moments with how far across they are, and their words.
    labels: Vec<(&'a Moment, f64, Option<Words>)>,
    lanes: usize,
    windows: bool,
    top: f64,
}

/// Words of a moment.
struct Words {
    /// Which line of them, from the top.
    line: usize,
    /// How far across they begin.
    from: f64,
    text: String,
}

/// All of it, laid out.
pub(super) struct Figure<'a> {
    picture: &'a DayPicture,
    frame: Rect,
    scale: Scale,
    lanes: Vec<Lane<'a>>,
    view: (Hours, Hours),
}

/// The hours that matter: what happens, with some light around it.
fn view(picture: &DayPicture) -> (Hours, Hours) {
    let moments = picture.ribbons.iter().flat_map(|ribbon| &ribbon.moments);
    let happens: Vec<Hours> = moments.filter_map(Moment::sound).collect();
    let windows = picture.windows.iter().flatten();
    let windows = windows.filter_map(|window| stretch(window.from, window.to));
    let happens = happens.into_iter().chain(windows.flat_map(|(from, to)| [from, to]));
    let (low, high) = happens
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
    let (low, high) = if low <= high { (low, high) } else { (6.0, 18.0) };
    // The day around it, from the end of the night before to the beginning of the next.
    let nights = |ribbon: &Ribbon| -> Vec<(Hours, Hours)> {
        let nights = ribbon.sky.iter().filter(|one| one.sky == Sky::Night);
        nights.filter_map(|one| stretch(one.from, one.to)).collect()
    };
    let ends = picture.ribbons.iter().filter_map(|ribbon| {
        let ends = nights(ribbon).into_iter().map(|(_, to)| to);
        ends.filter(|to| (low - 14.0..=low).contains(to)).reduce(f64::max)
    });
    let begins = picture.ribbons.iter().filter_map(|ribbon| {
        let begins = nights(ribbon).into_iter().map(|(from, _)| from);
        begins.filter(|from| (high..=high + 14.0).contains(from)).reduce(f64::min)
    });
    let (first, last) = (ends.fold(low, f64::min), begins.fold(high, f64::max));
    ((first - 0.7).floor(), (last + 0.7).ceil())
}

impl<'a> Figure<'a> {
    pub(super) fn new(picture: &'a DayPicture, top: f64, (left, right): (f64, f64)) -> Self {
        let view = view(picture);
        let scale = Scale::new(view, (left, right));
        let mut y = top + HOURS;
        let mut lanes = Vec::new();
        for (place, ribbon) in picture.ribbons.iter().enumerate() {
            let windows = place == 0 && picture.windows.is_some();
            let lane = Lane::new(ribbon, windows, &scale, (left, right), y);
            y = lane.bottom() + GAP;
            lanes.push(lane);
        }
        let bottom = f64::max(y - GAP, top + HOURS) + 4.0;
        Self { picture, frame: Rect { left, top, right, bottom }, scale, lanes, view }
    }

    pub(super) const fn bottom(&self) -> f64 {
        self.frame.bottom
    }

    pub(super) fn draw(&self, svg: &mut Svg) {
        self.hours(svg);
        for lane in &self.lanes {
            self.sky(svg, lane);
        }
        for hop in &self.picture.hops {
            self.hop(svg, hop.from, hop.to);
        }
        for lane in &self.lanes {
            self.words(svg, lane);
        }
        if let Some(lane) = self.lanes.first().filter(|lane| lane.windows) {
            self.windows(svg, lane);
        }
    }

    /// Hours at the top, and a faint line down from each.
    fn hours(&self, svg: &mut Svg) {
        let (from, to) = self.view;
        let across = self.frame.width() / (to - from);
        let steps = [1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0];
        let step = steps.into_iter().find(|step| step * across >= 30.0).unwrap_or(24.0);
        let clock = shorten(&format!("hours by {}", self.picture.clock), self.frame.width(), TICK);
        svg.words((self.frame.left, self.frame.top + 9.0), TICK, &clock);
        let y = self.frame.top + 22.0;
        let mut lines = Path::default();
        let mut hour = (from / step).ceil() * step;
        while hour <= to {
            let x = self.scale.at(hour);
            let words = format!("{:02.0}", hour.rem_euclid(24.0));
            let half = width(&words, TICK) / 2.0;
            if x - half >= self.frame.left && x + half <= self.frame.right {
                svg.words((x, y), TICK.middle(), &words);
            }
            lines = lines.go(x, y + 4.0).down(self.frame.bottom);
            hour += step;
        }
        if !lines.is_empty() {
            svg.path(&lines, Paint::line(PALE, 1.0));
        }
    }

    fn inside(&self, from: Hours, to: Hours) -> Option<(f64, f64)> {
        let (from, to) = stretch(from, to)?;
        let (from, to) = (from.max(self.view.0), to.min(self.view.1));
        (from < to).then(|| (self.scale.at(from), self.scale.at(to)))
    }

    /// The sky, the buffers, and the edge around both.
    fn sky(&self, svg: &mut Svg, lane: &Lane<'_>) {
        let (left, right, y) = (self.frame.left, self.frame.right, lane.ribbon_top());
        let size = (right - left, RIBBON);
        svg.rect((left, y), size, 0.0, Paint::fill(PAPER));
        let mut known = 0.0;
        for one in &lane.ribbon.sky {
            let Some((from, to)) = self.inside(one.from, one.to) else { continue };
            known += to - from;
            let paint = match one.sky {
                Sky::Night => Paint::fill(NIGHT),
                Sky::Twilight => Paint::fill(TWILIGHT),
                Sky::Day => continue,
            };
            svg.rect((from, y), (to - from, RIBBON), 0.0, paint);
        }
        for buffer in &lane.ribbon.buffers {
            let Some((from, to)) = self.inside(buffer.from, buffer.to) else { continue };
            let bottom = y + RIBBON;
            let lines =
                hatch(&[(from, y), (to, y), (to, bottom), (from, bottom)], Lean::Rising, 3.6);
            svg.rect((from, y), (to - from, RIBBON), 0.0, Paint::line(INK, 1.0).filled(PAPER));
            if !lines.is_empty() {
                svg.path(&lines, Paint::line(INK, 1.0));
            }
        }
        let unknown = known < size.0 - 0.5;
        let edge = Paint::line(INK, 1.2);
        svg.rect((left, y), size, 0.0, if unknown { edge.dashed("5 3") } else { edge });
        if unknown && known < 0.5 {
            svg.words(((left + right) / 2.0, y + 16.0), WHEN.middle(), "?");
        }
    }

    /// A flight from one ribbon down to another.
    fn hop(&self, svg: &mut Svg, from: (usize, Hours), to: (usize, Hours)) {
        let end = |(place, at): (usize, Hours)| {
            let lane = self.lanes.get(place)?;
            let at = sound(at).filter(|at| (self.view.0..=self.view.1).contains(at))?;
            Some((self.scale.at(at), lane.ribbon_top() + RIBBON / 2.0))
        };
        if let (Some(from), Some(to)) = (end(from), end(to)) {
            svg.line(from, to, Paint::line(PAPER, 5.0));
            svg.line(from, to, Paint::line(WAY, 2.4));
        }
    }

    fn words(&self, svg: &mut Svg, lane: &Lane<'_>) {
        let left = self.frame.left;
        let room = self.frame.width();
        let place = shorten(&lane.ribbon.place, room, PLACE);
        let over = |svg: &mut Svg, at: Point, kind: Type, words: &str| {
            // On paper, so that no line runs through the words.
            let size = (width(words, kind) + 2.0, 12.0);
            svg.rect((at.0 - 1.0, at.1 - 9.5), size, 0.0, Paint::fill(PAPER));
            svg.words(at, kind, words);
        };
        over(svg, (left + 1.0, lane.top + 11.0), PLACE, &place);
        for (line, words) in lane.words.iter().enumerate() {
            let y = lane.top + 11.0 + LINE * (line + 1) as f64;
            over(svg, (left + 1.0, y), SMALL, words);
        }
        let top = lane.ribbon_top();
        let y = |line: usize| lane.labels_top() + LINE * line as f64 + 10.0;
        let mut strokes = Path::default();
        for (_, at, label) in &lane.labels {
            if let Some(words) = label {
                // Beside its words, or below them where these had to move over it.
                let start = if words.from > *at { y(words.line) - 8.0 } else { y(words.line) };
                strokes = strokes.go(*at, start).down(top);
            }
        }
        if !strokes.is_empty() {
            svg.path(&strokes, Paint::line(INK, 0.8));
        }
        for (moment, at, label) in &lane.labels {
            if let Some(words) = label {
                let kind = WHEN.colour(moment.shown().map_or(INK, colour));
                over(svg, (words.from, y(words.line)), kind, &words.text);
            }
            happens(svg, moment, (*at, top));
        }
    }

    /// Bars under the first ribbon: when a departure keeps every limit.
    fn windows(&self, svg: &mut Svg, lane: &Lane<'_>) {
        let y = lane.ribbon_top() + RIBBON + 4.0;
        let (left, right) = (self.frame.left, self.frame.right);
        svg.line((left, y + WINDOW / 2.0), (right, y + WINDOW / 2.0), Paint::line(GREY, 0.8));
        let mut words = Vec::new();
        for window in self.picture.windows.iter().flatten() {
            if let Some((from, to)) = self.inside(window.from, window.to) {
                let paint = Paint::line(INK, 1.0).filled(Verdict::Holds.colour());
                svg.rect((from, y), (to - from, WINDOW), 0.0, paint);
                words.push(window.words.as_str());
            }
        }
        let words = match &words[..] {
            [] => "no time of departure keeps every limit".to_owned(),
            words => format!("every limit holds for a departure {}", words.join(", ")),
        };
        let room = right - left - 2.0;
        let y = y + WINDOW + 11.0;
        for (line, words) in wrap(&words, room, SMALL, 2).iter().enumerate() {
            let y = y + LINE * line as f64;
            let size = (width(words, SMALL) + 2.0, 12.0);
            svg.rect((left, y - 9.5), size, 0.0, Paint::fill(PAPER));
            svg.words((left + 1.0, y), SMALL, words);
        }
    }
}

fn colour(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => INK,
        other => other.colour(),
    }
}

/// The sign of what happens, on its ribbon: up for a take-off, down for a landing, a flag for
/// the weather. Full where the light does not allow it, dashed where nobody knows.
fn happens(svg: &mut Svg, moment: &Moment, (x, top): Point) {
    let middle = top + RIBBON / 2.0;
    let verdict = moment.shown();
    if moment.kind == MomentKind::Weather {
        svg.line((x, top), (x, top + RIBBON), Paint::line(PAPER, 4.0));
        svg.line((x, top), (x, top + RIBBON), Paint::line(INK, 1.4).dashed("2 2"));
        return;
    }
    let turn = if moment.kind == MomentKind::TakeOff { -1.0 } else { 1.0 };
    let (tip, foot) = (middle + 8.0 * turn, middle - 6.0 * turn);
    let shape = Path::from(x, tip).line(x - 7.0, foot).line(x + 7.0, foot).close();
    let paint = match verdict {
        Some(Verdict::Breaks) => Paint::line(PAPER, 1.6).filled(Verdict::Breaks.colour()),
        Some(Verdict::Unknown) => {
            Paint::line(Verdict::Unknown.colour(), 1.8).filled(PAPER).dashed("3 2")
        }
        Some(Verdict::Holds) | None => Paint::line(INK, 1.8).filled(PAPER),
    };
    svg.path(&shape, paint);
}

impl<'a> Lane<'a> {
    fn new(
        ribbon: &'a Ribbon,
        windows: bool,
        scale: &Scale,
        (left, right): (f64, f64),
        top: f64,
    ) -> Self {
        let mut moments: Vec<(&Moment, f64)> = ribbon
            .moments
            .iter()
            .filter_map(|moment| Some((moment, scale.at(moment.sound()?))))
            .collect();
        // From the right, nearest to the ribbon first: no stroke runs through another's words.
        moments.sort_by(|one, other| other.1.total_cmp(&one.1));
        let mut ends: Vec<f64> = Vec::new();
        let mut labels = Vec::new();
        for (moment, at) in moments {
            let text = shorten(&moment.words, (right - left) * 0.6, WHEN);
            if text.is_empty() {
                labels.push((moment, at, None));
                continue;
            }
            let wide = width(&text, WHEN) + 2.0;
            let from = (at + 4.0).clamp(left + 1.0, right - wide);
            let free = ends.iter().position(|end| from + wide + 3.0 < *end);
            let line = free.unwrap_or(ends.len());
            if line == ends.len() {
                ends.push(from);
            }
            ends[line] = f64::min(from, at);
            labels.push((moment, at, Some(Words { line, from, text })));
        }
        let lanes = ends.len();
        for words in labels.iter_mut().filter_map(|(_, _, words)| words.as_mut()) {
            words.line = lanes - 1 - words.line;
        }
        let words = wrap(&ribbon.words, right - left - 2.0, SMALL, 2);
        Self { ribbon, words, labels, lanes, windows, top }
    }

    fn labels_top(&self) -> f64 {
        self.top + 15.0 + LINE * self.words.len() as f64
    }

    fn ribbon_top(&self) -> f64 {
        self.labels_top() + LINE * self.lanes as f64 + 3.0
    }

    fn bottom(&self) -> f64 {
        // Two lines of words below the bars.
        let windows = if self.windows { 4.0 + WINDOW + 4.0 + 2.0 * LINE } else { 0.0 };
        self.ribbon_top() + RIBBON + windows
    }
}
