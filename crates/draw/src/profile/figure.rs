//! The strip from the side: ground, run, way up, obstacles.

use super::{
    Against, Climb, Obstacle, ProfilePicture,
    track::{Track, WayUp, shown},
};
use crate::{
    Verdict,
    board::{Board, Label, around, leader},
    mark::{HALF, dimension, head, mark, mark_width},
    plane::{Point, Rect, clip, hatch, polyline},
    svg::{GREY, INK, PALE, PAPER, Paint, Path, Svg, Type},
    words::{shorten, whole_up},
};

const EARTH: &str = "#ececec";
const WAY: &str = "#0b3d78";
const NAME: Type = Type::bold(10.5);
const SMALL: Type = Type::plain(10.5);

/// Draws the figure into the frame of the track.
pub(super) fn figure(svg: &mut Svg, picture: &ProfilePicture, track: &Track) {
    let frame = track.frame;
    let mut board = Board::new(frame);
    let size = (frame.width(), frame.height());
    svg.rect((frame.left, frame.top), size, 0.0, Paint::fill(PAPER));
    ground(svg, &mut board, picture, track);
    let obstacles: Vec<_> =
        picture.obstacles.iter().enumerate().filter(|(_, one)| shown(picture, one)).collect();
    for (_, obstacle) in &obstacles {
        post(svg, &mut board, track, obstacle);
    }
    let way = picture.climb.as_ref().map(|climb| track.way_up(climb)).unwrap_or_default();
    way_up(svg, &mut board, track, way);
    svg.rect((frame.left, frame.top), size, 0.0, Paint::line(INK, 1.0));
    for (place, obstacle) in obstacles {
        gap(svg, &mut board, picture, track, (place, obstacle));
    }
    if let Some(climb) = &picture.climb {
        points(svg, &mut board, track, climb, way);
    }
}

/// The strip itself, the clearway behind it, and ground that nobody described.
fn ground(svg: &mut Svg, board: &mut Board, picture: &ProfilePicture, track: &Track) {
    let (left, right) = (track.frame.left, track.frame.right);
    let start = track.on_ground(0.0);
    let beyond = track.on_ground(track.end());
    let (left_edge, right_edge) = ((left, start.1), (right, beyond.1));
    let mut earth = vec![left_edge, start, beyond, right_edge];
    board.ink(&earth, false, 4);
    earth.extend([(right, track.frame.bottom), (left, track.frame.bottom)]);
    svg.path(&polyline(&earth).close(), Paint::fill(EARTH));
    let known = picture.sound_slope().is_some();
    let unknown = Paint::line(GREY, 1.2).dashed("5 4");
    svg.path(&polyline(&[left_edge, start]), unknown);
    svg.path(&polyline(&[start, beyond, right_edge]), unknown);

    let strip = picture.tora.metres().or(picture.lda.metres());
    let end = track.on_ground(strip.unwrap_or(track.longest));
    if let Some(toda) = picture.toda.metres().filter(|toda| strip.is_some_and(|all| *toda > all)) {
        svg.line(end, track.on_ground(toda), Paint::line(GREY, 3.0));
        svg.line(end, track.on_ground(toda), Paint::line(PAPER, 1.2));
    }
    let pen = Paint::line(INK, 5.0);
    let sure = strip.is_some() && known;
    svg.line(start, end, if sure { pen } else { pen.dashed("9 5") });
    for (x, y) in [start, end] {
        svg.line((x, y - 1.0), (x, y + 9.0), Paint::line(INK, 1.6));
    }
    board.ink(&[start, end], false, 6);
}

/// An obstacle: from the ground to its top.
fn post(svg: &mut Svg, board: &mut Board, track: &Track, obstacle: &Obstacle) {
    let Some((distance, height)) = obstacle.place() else { return };
    let (foot, top) = (track.on_ground(distance), track.at((distance, height)));
    let half = 6.0;
    let shape = [(foot.0 - half, foot.1), (top.0, top.1), (foot.0 + half, foot.1)];
    svg.path(&polyline(&shape).close(), Paint::line(INK, 1.4).filled(PALE));
    let lines = hatch(&shape, crate::plane::Lean::Rising, 4.0);
    if !lines.is_empty() {
        svg.path(&lines, Paint::line(INK, 0.8));
    }
    board.ink(&shape, true, 4);
}

/// Run, screen and climb.
fn way_up(svg: &mut Svg, board: &mut Board, track: &Track, way: WayUp) {
    let pen = Paint::line(WAY, 2.6);
    let start = track.on_ground(0.0);
    // Above the strip, so that both can be seen.
    let lifted = |(x, y): Point| (x, y - 6.0);
    if let Some(lift_off) = way.lift_off {
        let end = lifted(track.at(lift_off));
        let tip = head(lifted(start), end, 10.0);
        svg.line(lifted(start), end, Paint::line(WAY, 3.2));
        svg.path(&tip, Paint::fill(WAY));
        board.ink(&[lifted(start), end], false, 4);
        if let Some(screen) = way.screen.map(|screen| track.at(screen)) {
            line(svg, board, track, (end, screen), pen);
        }
    }
    if let Some((distance, height)) = way.screen {
        let (foot, top) = (track.on_ground(distance), track.at((distance, height)));
        svg.line(foot, top, Paint::line(WAY, 1.2).dashed("3 3"));
        board.ink(&[foot, top], false, 3);
        match way.far.map(|far| track.at(far)) {
            Some(far) => line(svg, board, track, (top, far), pen),
            None => {
                // A stub that goes nowhere: nobody knows how steep.
                let end = ((top.0 + 34.0).min(track.frame.right - 4.0), top.1);
                svg.line(top, end, Verdict::Unknown.line());
            }
        }
        svg.circle(top, 3.6, Paint::line(PAPER, 1.2).filled(WAY));
    }
}

fn line(svg: &mut Svg, board: &mut Board, track: &Track, ends: (Point, Point), pen: Paint) {
    if let Some((from, to)) = clip(ends.0, ends.1, track.frame) {
        svg.line(from, to, pen);
        board.ink(&[from, to], false, 4);
    }
}

/// How high an obstacle is passed: a line from its top to the way up, and its number.
fn gap(
    svg: &mut Svg,
    board: &mut Board,
    picture: &ProfilePicture,
    track: &Track,
    (place, obstacle): (usize, &Obstacle),
) {
    let Some((distance, height)) = obstacle.place() else { return };
    let verdict = obstacle.shown_verdict();
    let top = track.at((distance, height));
    let passes = picture.climb.as_ref().and_then(|climb| track.passes(climb, distance));
    if let Some(passes) = passes {
        // Beside the obstacle, so that its top stays in sight; to the left of the last one.
        let room = track.frame.right - top.0 > 24.0;
        let aside = |(x, y): Point| (if room { x + 10.0 } else { x - 10.0 }, y);
        let (top, over) = (aside(top), aside(track.at((distance, passes))));
        let short = Paint::line(verdict.colour(), 0.9);
        svg.line(track.at((distance, height)), top, short);
        dimension(svg, verdict, (top, over), track.frame);
        board.ink(&[top, over], false, 3);
    }
    let number = place + 1;
    let small = mark_width(number, verdict);
    let name = shorten(&obstacle.name, 120.0, NAME);
    let label = Label::new(vec![(name, NAME)]);
    for (full, most) in [(true, 40.0), (false, f64::INFINITY)] {
        let wide = if full { small + 2.0 + label.size().0 } else { small };
        let size = (wide, 2.0 * HALF);
        let places = around(top, size, 6.0, 90.0);
        let Some(rect) = board.place(size, places, most) else { continue };
        if let Some((from, to)) = leader(rect, top, 9.0) {
            svg.line(from, to, Paint::line(verdict.colour(), 0.9));
        }
        svg.rect((rect.left, rect.top), size, HALF, Paint::fill(PAPER));
        mark(svg, number, verdict, (rect.left + small / 2.0, rect.middle().1));
        if full {
            let middle = (rect.left + small + 2.0 + rect.right) / 2.0;
            let words = Rect::around((middle, rect.middle().1), label.size());
            label.write(svg, words);
        }
        return;
    }
}

/// The words at lift-off and screen, and what is unknown of them.
fn points(svg: &mut Svg, board: &mut Board, track: &Track, climb: &Climb, way: WayUp) {
    let metres = |at: Point| whole_up(Some(at.0)).unwrap_or_default();
    let screen = shorten(&climb.screen_words, 120.0, NAME);
    let mut said = Vec::new();
    match way.lift_off {
        Some(at) => said.push((track.at(at), "lift-off".to_owned(), metres(at))),
        None => said.push((track.on_ground(0.0), "lift-off".to_owned(), "unknown".to_owned())),
    }
    match (way.screen, way.lift_off) {
        (Some(at), _) => {
            said.push((track.at(at), screen, format!("at {}", metres(at))));
            if way.far.is_none() {
                let (x, y) = track.at(at);
                said.push(((x + 17.0, y), "climb".to_owned(), "unknown".to_owned()));
            }
        }
        (None, Some(at)) => {
            let from = track.at(at);
            let from = (from.0, from.1 - 6.0);
            let to = ((from.0 + 34.0).min(track.frame.right - 4.0), from.1);
            svg.line(from, to, Verdict::Unknown.line());
            board.ink(&[from, to], false, 3);
            said.push((to, screen, "unknown".to_owned()));
        }
        (None, None) => {}
    }
    for (at, strong, plain) in said {
        let label = Label::new(vec![(strong, NAME), (plain, SMALL)]);
        let places = around((at.0, at.1 - 6.0), label.size(), 6.0, 60.0);
        if let Some(rect) = board.place(label.size(), places, 120.0) {
            if let Some((from, to)) = leader(rect, (at.0, at.1 - 6.0), 14.0) {
                svg.line(from, to, Paint::line(WAY, 0.9));
            }
            label.write(svg, rect);
        }
    }
}

/// Metres and feet along the strip.
pub(super) fn axis(svg: &mut Svg, track: &Track, top: f64) {
    /// The international foot, exactly. \[m\]
    const FOOT: f64 = 0.3048;
    let mut y = top;
    for (unit, metres) in [("m", 1.0), ("ft", FOOT)] {
        let kind = Type::plain(10.0).colour(GREY);
        let step = step(track, metres);
        let line = (track.x(0.0), track.x(track.longest));
        svg.line((line.0, y), (line.1, y), Paint::line(GREY, 0.8));
        let mut ticks = Path::default();
        let mut count = 0.0;
        while count * step * metres <= track.longest {
            let x = track.x(count * step * metres);
            ticks = ticks.go(x, y).down(y + 4.0);
            svg.words((x, y + 14.0), kind.middle(), &format!("{:.0}", count * step));
            count += 1.0;
        }
        svg.path(&ticks, Paint::line(GREY, 0.8));
        svg.words((track.frame.left, y + 3.0), kind, unit);
        y += 22.0;
    }
}

/// A round step whose words do not touch.
fn step(track: &Track, unit: f64) -> f64 {
    const STEPS: [f64; 14] =
        [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 1e4, 2e4];
    let pixels = |step: f64| track.x(step * unit) - track.x(0.0);
    STEPS.into_iter().find(|step| pixels(*step) >= 44.0).unwrap_or(5e4)
}

/// The declared lengths, one line each.
pub(super) fn declared(svg: &mut Svg, picture: &ProfilePicture, track: &Track, top: f64) {
    let mut y = top;
    for against in Against::ALL {
        let given = picture.declared(against);
        let words = super::say::declared(against, given);
        let length = given.metres();
        let from = (track.x(0.0), y);
        let kind = Type::bold(11.0);
        if given == super::Declared::NotUsed {
            svg.words((from.0, y + 4.0), Type::plain(11.0).colour(GREY), &words);
        } else {
            let to = (track.x(length.unwrap_or(track.longest)), y);
            let verdict = if length.is_some() { Verdict::Holds } else { Verdict::Unknown };
            let label = Label::new(vec![(words, kind)]);
            let (wide, high) = label.size();
            let inner = to.0 - from.0;
            let pen = if length.is_some() { Paint::line(INK, 1.3) } else { verdict.line() };
            svg.line(from, to, pen);
            let ends = Path::from(from.0, y - 5.0).down(y + 5.0).go(to.0, y - 5.0).down(y + 5.0);
            svg.path(&ends, Paint::line(INK, 1.3));
            // A short one has its words behind it.
            let middle = if inner > wide + 12.0 {
                f64::midpoint(from.0, to.0)
            } else {
                to.0 + 6.0 + wide / 2.0
            };
            label.write(svg, Rect::around((middle, y), (wide, high)));
        }
        y += super::sheet::DECLARED;
    }
}
