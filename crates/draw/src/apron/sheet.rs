//! The whole sheet: head, plan, scale and wind, list, key.

use super::{
    ApronPicture, key,
    list::List,
    marks::{self, Marked},
    names, say,
    scene::{self, Canvas},
    view::View,
};
use crate::{
    ADVICE, Width,
    board::Board,
    mark,
    plane::{Point, Rect},
    svg::{GREY, INK, PAPER, Paint, Path, Sheet, Svg, Type},
    verdict::Tally,
    words::{shorten, width, wrap},
};

const EDGE: f64 = 10.0;
const HEADING: Type = Type::bold(18.0);
const SECOND: Type = Type::plain(12.0).colour(GREY);
const COUNT: Type = Type::bold(14.0);
const SMALL: Type = Type::plain(10.5);
/// From here on the list stands beside the plan, not below it. \[px\]
const WIDE: f64 = 760.0;
const LIST: f64 = 336.0;
/// The international foot, exactly. \[m\]
const FOOT: f64 = 0.3048;
/// Height of the strip with scale and wind.
const STRIP: f64 = 62.0;

/// Where everything stands.
#[derive(Clone, Copy, Debug)]
struct Layout {
    across: f64,
    /// Width of the plan, of the list, and where the list begins.
    plan: f64,
    list: f64,
    wide: bool,
}

impl Layout {
    fn inner(self) -> f64 {
        self.across - 2.0 * EDGE
    }

    fn of(width: Width) -> Self {
        let across = width.pixels();
        let inner = across - 2.0 * EDGE;
        if across >= WIDE {
            Self { across, plan: inner - LIST - 16.0, list: LIST, wide: true }
        } else {
            Self { across, plan: inner, list: inner, wide: false }
        }
    }
}

pub(super) fn draw(picture: &ApronPicture, width: Width) -> String {
    let layout = Layout::of(width);
    let mut day = wrap(&format!("apron plan, {}", picture.day), layout.inner(), SECOND, 2);
    if picture.clearances.is_empty() {
        day.push(shorten("no clearances were given: unknown", layout.inner(), SECOND));
    }
    let top = 33.0 + 15.0 * day.len() as f64;
    let tally = Tally::new(say::tallied(picture), (EDGE, EDGE + layout.inner()), top);
    let top = tally.bottom(top) + 11.0;
    let plans = Plans::new(picture, layout, top);
    let view = &plans.view;
    let says = say::in_words(picture, view);
    let title = format!("Apron plan of {}, {}", picture.place, picture.day);

    let list = |width| List::new(picture, &plans.marked, view, width);
    let key_height = key::height(picture, view, layout.plan);
    let (mut lists, key_at);
    if layout.wide {
        key_at = plans.bottom;
        let beside = list(layout.list);
        let first = beside.fitting(key_at + key_height - top);
        let at = (EDGE + layout.plan + 16.0, top);
        lists = vec![(at, beside.cut(first, true))];
        let below = (EDGE, key_at + key_height + 6.0);
        lists.push((below, list(layout.plan).cut(first, false)));
    } else {
        lists = vec![((EDGE, plans.bottom + 4.0), list(layout.list))];
        key_at = plans.bottom + lists[0].1.height() + 8.0;
    }
    let ends = lists.iter().map(|((_, top), list)| top + list.height());
    let height = ends.fold(key_at + key_height, f64::max) + 22.0;

    let mut svg = Svg::new(Sheet { width: layout.across, height, unit: "" }, &title, &says);
    head(&mut svg, picture, layout, &day, &tally);
    svg.append(plans.drawn);
    strip(&mut svg, picture, view);
    for (at, list) in &lists {
        list.draw(&mut svg, *at);
    }
    key::draw(&mut svg, picture, view, (EDGE, key_at), layout.plan);
    let advice = shorten(ADVICE, layout.inner(), SMALL);
    svg.words((EDGE, height - 9.0), SMALL.colour(GREY), &advice);
    svg.finish()
}

/// The plan and, where the aeroplane is small on it, its close-up: drawn before the sheet is,
/// because what finds no room on them makes the list longer and so the sheet higher.
struct Plans {
    view: View,
    drawn: Svg,
    marked: Marked,
    /// Where the key or list may begin.
    bottom: f64,
}

impl Plans {
    fn new(picture: &ApronPicture, layout: Layout, top: f64) -> Self {
        let highest = layout.plan * if layout.wide { 1.0 } else { 1.3 };
        let view = View::new(picture, (EDGE, top), layout.plan, highest);
        let mut bottom = view.frame.bottom + STRIP + 4.0;
        let at = (EDGE, bottom + CLOSE_HEAD);
        let close = view.close_up(picture, at, layout.plan, layout.plan);
        let shown = close.as_ref().map(|close| view.seen(close));
        let (mut drawn, mut marked) = (Svg::part(), Marked::default());
        plan(&mut drawn, picture, view, shown, &mut marked);
        if let Some(close) = close {
            let larger = close.scale / view.scale;
            close_head(&mut drawn, &close, larger);
            plan(&mut drawn, picture, close, None, &mut marked);
            bottom = close.frame.bottom + 12.0;
        }
        Self { view, drawn, marked, bottom }
    }
}

fn plan(
    svg: &mut Svg,
    picture: &ApronPicture,
    view: View,
    close_up: Option<Rect>,
    marked: &mut Marked,
) {
    let mut board = Board::new(view.frame);
    let mut canvas = Canvas { svg, board: &mut board, view, close_up };
    scene::scene(&mut canvas, picture);
    marks::lines(&mut canvas, picture);
    let crowded = scene::signs(&mut canvas, picture);
    marked.crowded.extend(crowded);
    marks::numbers(&mut canvas, picture, marked);
    names::names(&mut canvas, picture, marked);
}

/// Height of the line above a close-up.
const CLOSE_HEAD: f64 = 40.0;

fn close_head(svg: &mut Svg, close: &View, larger: f64) {
    let (left, top) = (close.frame.left, close.frame.top - CLOSE_HEAD);
    svg.line((left, top), (close.frame.right, top), Paint::line(INK, 1.0));
    svg.words((left, top + 17.0), COUNT, "Close-up");
    let words = format!("{larger:.1} times larger");
    svg.words((left, top + 32.0), SMALL, &words);
    let room = f64::min(110.0, close.frame.width() * 0.3);
    let x = close.frame.right - 2.0 * room - 12.0;
    bar(svg, (x, top + 24.0), close.scale, "m", room);
    bar(svg, (x + room + 10.0, top + 24.0), close.scale * FOOT, "ft", room);
}

fn head(svg: &mut Svg, picture: &ApronPicture, layout: Layout, day: &[String], tally: &Tally) {
    svg.words((EDGE, 22.0), HEADING, &shorten(&picture.place, layout.inner(), HEADING));
    let below = svg.lines((EDGE, 39.0), 15.0, SECOND, day);
    tally.draw(svg);
    let words = picture.aeroplane.as_ref().map(say::nose).unwrap_or_default();
    let right = layout.across - EDGE;
    if tally.end().is_some_and(|end| end + 12.0 + width(&words, SECOND) < right) {
        svg.words((right, below + 7.5), SECOND.end(), &words);
    }
}

/// Scale in metres and feet, north, wind.
fn strip(svg: &mut Svg, picture: &ApronPicture, view: &View) {
    let (left, top, width) = (view.frame.left, view.frame.bottom + 8.0, view.frame.width());
    let room = f64::min(140.0, width * 0.34);
    bar(svg, (left + 4.0, top + 15.0), view.scale, "m", room);
    bar(svg, (left + 4.0, top + 43.0), view.scale * FOOT, "ft", room);
    north(svg, (left + room + 34.0, top + 26.0));
    let dial = (left + room + 74.0, top + 26.0);
    wind(svg, picture, dial);
    let words = picture.wind.as_ref().map_or("unknown", |wind| wind.words.as_str());
    let x = dial.0 + 26.0;
    let lines = wrap(&format!("wind {words}"), view.frame.right - x, SMALL, 3);
    svg.lines((x, top + 30.0 - 6.5 * (lines.len().max(1) - 1) as f64), 13.0, SMALL, &lines);
}

/// A bar of a round length, full and hollow in turn.
fn bar(svg: &mut Svg, (x, y): Point, scale: f64, unit: &str, room: f64) {
    const ROUND: [f64; 19] = [
        0.2, 0.4, 1.0, 2.0, 4.0, 10.0, 20.0, 40.0, 100.0, 200.0, 400.0, 1e3, 2e3, 4e3, 1e4, 2e4,
        4e4, 1e5, 2e5,
    ];
    let kind = Type::plain(10.0);
    let longest = |length: &&f64| **length * scale <= room - 26.0;
    let length = ROUND.iter().rev().find(longest).copied().unwrap_or(ROUND[0]);
    let half = length * scale / 2.0;
    svg.rect((x, y), (half, 6.0), 0.0, Paint::line(INK, 1.0).filled(INK));
    svg.rect((x + half, y), (half, 6.0), 0.0, Paint::line(INK, 1.0).filled(PAPER));
    let (middle, end) = (format!("{}", length / 2.0), format!("{length}"));
    svg.words((x, y - 4.0), kind.middle(), "0");
    // A long number in the middle would run into its neighbours.
    if width(&middle, kind) + width(&end, kind) < 2.0 * half - 4.0 {
        svg.words((x + half, y - 4.0), kind.middle(), &middle);
    }
    svg.words((x + 2.0 * half, y - 4.0), kind.middle(), &end);
    svg.words((x + 2.0 * half + 5.0, y + 6.5), kind, unit);
}

fn north(svg: &mut Svg, (x, y): Point) {
    let needle = Path::from(x, y - 8.0).line(x + 6.0, y + 18.0).line(x, y + 13.0).close();
    svg.path(&needle, Paint::line(INK, 1.0).filled(INK));
    let other = Path::from(x, y - 8.0).line(x - 6.0, y + 18.0).line(x, y + 13.0).close();
    svg.path(&other, Paint::line(INK, 1.0).filled(PAPER));
    svg.words((x, y - 12.0), Type::bold(12.0).middle(), "N");
}

/// An arrow that flies with the wind.
fn wind(svg: &mut Svg, picture: &ApronPicture, (x, y): Point) {
    const REACH: f64 = 19.0;
    let given = picture.wind.as_ref();
    let Some(from) = given.and_then(|wind| wind.from).filter(|from| from.is_finite()) else {
        svg.circle((x, y), REACH, Paint::line(GREY, 1.2).dashed("3 2"));
        let sign = if given.is_some_and(|wind| wind.from.is_none()) { "" } else { "?" };
        svg.words((x, y + 6.0), Type::bold(16.0).middle(), sign);
        return;
    };
    let angle = from.rem_euclid(360.0).to_radians();
    let (dx, dy) = (f64::sin(angle), -f64::cos(angle));
    let at = |along: f64, aside: f64| (x + dx * along - dy * aside, y + dy * along + dx * aside);
    svg.circle((x, y), REACH, Paint::line(GREY, 0.8));
    let (tail, tip) = (at(REACH - 2.0, 0.0), at(2.0 - REACH, 0.0));
    svg.line(tail, at(4.0 - REACH, 0.0), Paint::line(INK, 2.4));
    svg.path(&mark::head(tail, tip, 13.0), Paint::fill(INK));
    for along in [REACH - 3.0, REACH - 9.0] {
        svg.line(at(along, 0.0), at(along + 3.0, 7.0), Paint::line(INK, 1.6));
    }
}
