//! The whole sheet: head, wind, figure, lengths, needs, obstacles.

use super::{
    ProfilePicture,
    bars::{Block, READING, STRONG},
    figure, say,
    track::{Track, shown},
};
use crate::{
    ADVICE, Width,
    mark::head as arrow_head,
    plane::{Point, Rect},
    svg::{GREY, INK, Paint, Sheet, Svg, Type},
    verdict::Tally,
    words::{shorten, wrap},
};

const EDGE: f64 = 10.0;
const HEADING: Type = Type::bold(18.0);
const SECOND: Type = Type::plain(12.0).colour(GREY);
const WORDS: Type = Type::plain(11.0);
const SMALL: Type = Type::plain(10.5).colour(GREY);
const LINE: f64 = 13.5;
/// Height of the line of one declared length.
pub(super) const DECLARED: f64 = 20.0;
/// Least width of one obstacle where several stand side by side.
const COLUMN: f64 = 330.0;
/// Height of the two scales.
const AXIS: f64 = 46.0;

/// What stands below the figure, laid out.
struct Below {
    words: Vec<String>,
    needs: Vec<Block>,
    obstacles: Vec<Block>,
    notes: Vec<String>,
    reading: Vec<String>,
    /// In how many columns the obstacles stand.
    columns: usize,
}

impl Below {
    fn new(picture: &ProfilePicture, track: &Track, room: f64) -> Self {
        let mut words = vec![format!("{}, {}", say::slope(picture), say::times(track))];
        words.extend(picture.climb.iter().map(say::climb));
        let lines = |words: &String, most| wrap(words, room, WORDS, most);
        // Obstacles have no bar, so they may stand side by side.
        let columns = ((room / COLUMN).floor() as usize).max(1);
        let each = room / columns as f64 - if columns > 1 { 16.0 } else { 0.0 };
        let obstacle = |(place, one)| Block::of_obstacle(place, one, shown(picture, one), each);
        Self {
            words: words.iter().flat_map(|words| lines(words, 3)).collect(),
            needs: picture.needs.iter().map(|need| Block::of_need(picture, need, room)).collect(),
            obstacles: picture.obstacles.iter().enumerate().map(obstacle).collect(),
            notes: picture.notes.iter().flat_map(|note| lines(note, 6)).collect(),
            reading: wrap(READING, room, SMALL, 8),
            columns,
        }
    }
}

pub(super) fn draw(picture: &ProfilePicture, width: Width) -> String {
    let across = width.pixels();
    let inner = across - 2.0 * EDGE;
    let mut day = wrap(&format!("strip profile, {}", picture.day), inner, SECOND, 3);
    if picture.needs.is_empty() {
        day.push(shorten("what is needed: unknown", inner, SECOND));
    }
    let top = 33.0 + 15.0 * day.len() as f64;
    let tally = Tally::new(say::tallied(picture), (EDGE, EDGE + inner), top);
    let top = tally.bottom(top) + 11.0;
    let wind = wind_lines(picture, inner);
    let frame_top = top + f64::max(24.0, 8.0 + LINE * wind.len() as f64);
    let tall = if across < 760.0 { 210.0 } else { 290.0 };
    let frame = Rect { left: EDGE, top: frame_top, right: across - EDGE, bottom: frame_top + tall };
    let track = Track::new(picture, frame);
    let title = format!("Strip profile of {}, {}", picture.place, picture.day);
    let says = say::in_words(picture, &track);
    let below = Below::new(picture, &track, inner);

    // Drawn before the sheet is: how high it is follows from what it holds.
    let mut body = Svg::part();
    let bottom = write_below(&mut body, &below, &track, frame.bottom);
    let height = bottom + 22.0;
    let mut svg = Svg::new(Sheet { width: across, height, unit: "" }, &title, &says);
    head(&mut svg, picture, inner, &day, &tally);
    movement(&mut svg, picture, (EDGE, top), &wind);
    figure::figure(&mut svg, picture, &track);
    figure::axis(&mut svg, &track, frame.bottom + 8.0);
    figure::declared(&mut svg, picture, &track, frame.bottom + AXIS + 16.0);
    svg.append(body);
    let advice = shorten(ADVICE, inner, SMALL);
    svg.words((EDGE, height - 9.0), SMALL, &advice);
    svg.finish()
}

fn head(svg: &mut Svg, picture: &ProfilePicture, inner: f64, day: &[String], tally: &Tally) {
    svg.words((EDGE, 22.0), HEADING, &shorten(&picture.place, inner, HEADING));
    svg.lines((EDGE, 39.0), 15.0, SECOND, day);
    tally.draw(svg);
}

/// Room for the arrow of movement and its word.
const MOVEMENT: f64 = 128.0;

fn wind_lines(picture: &ProfilePicture, inner: f64) -> Vec<String> {
    let words = picture.wind.as_ref().map_or("wind unknown", |wind| wind.words.as_str());
    wrap(words, inner - MOVEMENT - 60.0, WORDS, 3)
}

/// Which way is forward, and where the wind pushes.
fn movement(svg: &mut Svg, picture: &ProfilePicture, (x, top): Point, lines: &[String]) {
    let y = top + 8.0;
    let arrow = |svg: &mut Svg, from: Point, to: Point, paint: Paint, colour| {
        let back = if to.0 > from.0 { -6.0 } else { 6.0 };
        svg.line(from, (to.0 + back, to.1), paint);
        svg.path(&arrow_head(from, to, 11.0), Paint::fill(colour));
    };
    arrow(svg, (x, y), (x + 40.0, y), Paint::line(INK, 2.2), INK);
    svg.words((x + 46.0, y + 4.0), WORDS, "movement");
    let left = x + MOVEMENT;
    let head = picture.wind.as_ref().and_then(|wind| wind.head).filter(|head| head.is_finite());
    match head {
        Some(head) if head > 0.0 => {
            arrow(svg, (left + 44.0, y), (left, y), Paint::line(GREY, 3.0), GREY);
        }
        Some(head) if head < 0.0 => {
            arrow(svg, (left, y), (left + 44.0, y), Paint::line(GREY, 3.0), GREY);
        }
        Some(_) => svg.circle((left + 22.0, y), 6.0, Paint::line(GREY, 2.0)),
        None => {
            svg.line((left, y), (left + 44.0, y), Paint::line(GREY, 2.0).dashed("4 3"));
            svg.circle((left + 22.0, y), 7.5, Paint::line(GREY, 1.0).filled(crate::svg::PAPER));
            svg.words((left + 22.0, y + 4.5), Type::bold(12.0).middle(), "?");
        }
    }
    svg.lines((left + 54.0, y + 4.0), LINE, WORDS, lines);
}

/// Everything below the figure. Returns where it ends.
fn write_below(svg: &mut Svg, below: &Below, track: &Track, top: f64) -> f64 {
    let x = EDGE;
    let mut y = top + AXIS + 16.0 + 3.0 * DECLARED + 4.0;
    y = svg.lines((x, y), LINE, WORDS, &below.words) - LINE + 10.0;
    let rule = |svg: &mut Svg, y: f64, words: &str| {
        svg.words((x, y + 12.0), STRONG, words);
        let right = track.frame.right;
        svg.line((x, y + 17.0), (right, y + 17.0), Paint::line(INK, 1.0));
        y + 26.0
    };
    if !below.needs.is_empty() {
        y = rule(svg, y, "Needed");
        for block in &below.needs {
            block.draw(svg, Some(track), (x, y));
            y += block.height();
        }
    }
    if !below.obstacles.is_empty() {
        y = rule(svg, y, "Obstacles");
        let column = track.frame.width() / below.columns as f64;
        for row in below.obstacles.chunks(below.columns) {
            for (place, block) in row.iter().enumerate() {
                block.draw(svg, None, (x + column * place as f64, y));
            }
            y += row.iter().map(Block::height).fold(0.0, f64::max);
        }
    }
    if !below.notes.is_empty() {
        y = rule(svg, y, "Notes");
        y = svg.lines((x, y + 8.0), LINE, WORDS, &below.notes) - LINE + 8.0;
    }
    let right = track.frame.right;
    svg.line((x, y + 2.0), (right, y + 2.0), Paint::line(INK, 1.0));
    svg.lines((x, y + 16.0), LINE, SMALL, &below.reading) - LINE + 8.0
}
