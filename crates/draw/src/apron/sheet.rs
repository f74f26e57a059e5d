//! The whole sheet: head, plan, scale and wind, list, key.

use super::{
    ApronPicture, key,
    list::List,
    look,
    marks::{self, Marked},
    say,
    scene::{self, Canvas},
    view::View,
};
use crate::{
    ADVICE, Verdict, Width,
    board::Board,
    plane::Point,
    svg::{GREY, INK, PAPER, Paint, Path, Sheet, Svg, Type},
    verdict::{BADGE, badge, badge_width},
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
const HEAD: f64 = 78.0;
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
    let highest = layout.plan * if layout.wide { 1.0 } else { 1.3 };
    let view = View::new(picture, (EDGE, HEAD), layout.plan, highest);
    let says = say::in_words(picture, &view);
    let title = format!("Apron plan of {}, {}", picture.place, picture.day);

    // The plan is drawn first, on its own, because what finds no room on it makes the list
    // longer and so the sheet higher.
    let mut plan = Svg::part();
    let mut board = Board::new(view.frame);
    let mut canvas = Canvas { svg: &mut plan, board: &mut board, view };
    scene::scene(&mut canvas, picture);
    let crowded = scene::signs(&mut canvas, picture);
    let mut marked = Marked { crowded, ..Marked::default() };
    marked.numbered = marks::clearances(&mut canvas, picture);
    marks::names(&mut canvas, picture, &mut marked);

    let list = List::new(picture, &marked, &view, layout.list);
    let below = view.frame.bottom + STRIP + 4.0;
    let (list_at, key_at) = if layout.wide {
        ((EDGE + layout.plan + 16.0, HEAD), below)
    } else {
        ((EDGE, below + 4.0), below + list.height() + 8.0)
    };
    let ends = f64::max(list_at.1 + list.height(), key_at + key::height(picture, layout.plan));
    let height = ends + 22.0;

    let mut svg = Svg::new(Sheet { width: layout.across, height, unit: "" }, &title, &says);
    head(&mut svg, picture, layout);
    svg.append(plan);
    strip(&mut svg, picture, &view);
    list.draw(&mut svg, list_at);
    key::draw(&mut svg, picture, (EDGE, key_at), layout.plan);
    let advice = shorten(ADVICE, layout.across - 2.0 * EDGE, SMALL);
    svg.words((EDGE, height - 9.0), SMALL.colour(GREY), &advice);
    svg.finish()
}

fn head(svg: &mut Svg, picture: &ApronPicture, layout: Layout) {
    let inner = layout.across - 2.0 * EDGE;
    svg.words((EDGE, 22.0), HEADING, &shorten(&picture.place, inner, HEADING));
    svg.words((EDGE, 39.0), SECOND, &shorten(&picture.day, inner, SECOND));
    let mut x = EDGE;
    for (verdict, number) in say::tallied(picture).into_iter().filter(|(_, number)| *number > 0) {
        let number = number.to_string();
        svg.words((x, 63.5), COUNT, &number);
        x += width(&number, COUNT) + 5.0;
        badge(svg, verdict, (x, 50.0));
        x += badge_width(verdict) + 12.0;
    }
    if picture.clearances.is_empty() {
        badge(svg, Verdict::Unknown, (x, 50.0));
        x += badge_width(Verdict::Unknown) + 7.0;
        svg.words((x, 50.0 + BADGE * 0.75), SECOND, "no clearances were given");
    } else if let Some(aeroplane) = &picture.aeroplane {
        let room = layout.across - EDGE - x;
        let words = say::nose(aeroplane);
        if width(&words, SECOND) < room {
            svg.words((layout.across - EDGE, 63.5), SECOND.end(), &words);
        }
    }
}

/// Scale in metres and feet, north, wind.
fn strip(svg: &mut Svg, picture: &ApronPicture, view: &View) {
    let (left, top, width) = (view.frame.left, view.frame.bottom + 8.0, view.frame.width());
    let room = f64::min(140.0, width * 0.34);
    bar(svg, (left + 4.0, top + 15.0), view.scale, "m", room);
    // The international foot, exactly.
    bar(svg, (left + 4.0, top + 43.0), view.scale * 0.3048, "ft", room);
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
    const ROUND: [f64; 16] =
        [2.0, 4.0, 10.0, 20.0, 40.0, 100.0, 200.0, 400.0, 1e3, 2e3, 4e3, 1e4, 2e4, 4e4, 1e5, 2e5];
    let longest = |length: &&f64| **length * scale <= room - 26.0;
    let length = ROUND.iter().rev().find(longest).copied().unwrap_or(ROUND[0]);
    let half = length * scale / 2.0;
    svg.rect((x, y), (half, 6.0), 0.0, Paint::line(INK, 1.0).filled(INK));
    svg.rect((x + half, y), (half, 6.0), 0.0, Paint::line(INK, 1.0).filled(PAPER));
    let kind = Type::plain(10.0);
    svg.words((x, y - 4.0), kind.middle(), "0");
    svg.words((x + half, y - 4.0), kind.middle(), &format!("{:.0}", length / 2.0));
    svg.words((x + 2.0 * half, y - 4.0), kind.middle(), &format!("{length:.0}"));
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
    svg.path(&look::head(tail, tip, 13.0), Paint::fill(INK));
    for along in [REACH - 3.0, REACH - 9.0] {
        svg.line(at(along, 0.0), at(along + 3.0, 7.0), Paint::line(INK, 1.6));
    }
}
