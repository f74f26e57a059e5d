//! The odds of a flight as a hundred dots: nobody counts decimals, everybody counts dots.
//!
//! A ring is a flight on which every limit holds, a full square one on which a limit breaks: the shape
//! says it without colour.

#[cfg(test)]
mod tests;

use crate::{
    ADVICE, Limit, Width,
    page::{Page, said},
    plane::Rect,
    svg::{INK, Paint, Svg},
};

/// The odds of one flight.
#[derive(Clone, Debug, PartialEq)]
pub struct OddsPicture {
    /// Aeroplane: `QK-CSX Comfrey Six`.
    pub place: String,
    /// What for, on which day.
    pub day: String,
    /// Of a hundred flights like this, those on which a limit breaks; `None` when unknown.
    pub breaks: Option<u8>,
    /// The same in words: `about 13 in 100`.
    pub words: String,
    /// All limits together first, then those that break at times, the likeliest first.
    pub limits: Vec<Limit>,
    /// What to measure, and what else a person must know; each a sentence of its own.
    pub notes: Vec<String>,
}

const DOTS: u8 = 100;
/// From dot to dot, and half a dot.
const PITCH: f64 = 26.0;
const HALF: f64 = 7.5;

const READING: &str = "Each sign is one of a hundred flights like this one, with every mass, fuel, wind \
    and temperature as far off as it may be. A ring: every limit of load, fuel, strip and light holds. A \
    full square: one breaks. They are drawn in order, not in time.";

/// Draws the picture as SVG text.
#[must_use]
pub fn odds(picture: &OddsPicture, width: Width) -> String {
    let mut page = Page::new(width);
    let verdicts: Vec<_> = picture.limits.iter().map(|limit| limit.verdict).collect();
    page.head(&picture.place, &format!("odds, {}", picture.day), &verdicts);
    let across = if page.narrow() { 10 } else { 25 };
    let rows = DOTS.div_ceil(across);
    let room = page.room(f64::from(rows) * PITCH + 8.0);
    dots(&mut page.svg, picture.breaks.map(|breaks| breaks.min(DOTS)), across, room);
    page.rule("What breaks");
    page.limits(&picture.limits, false);
    page.notes(&picture.notes);
    let title = format!("Odds of {}, {}", picture.place, picture.day);
    page.finish(READING, &title, &in_words(picture))
}

fn dots(svg: &mut Svg, breaks: Option<u8>, across: u8, room: Rect) {
    for dot in 0..DOTS {
        let x = room.left + (f64::from(dot % across) + 0.5) * PITCH;
        let y = room.top + (f64::from(dot / across) + 0.5) * PITCH;
        match breaks {
            // What is unknown is dashed, as everywhere.
            None => svg.circle((x, y), HALF, Paint::line(INK, 1.2).dashed("3 3")),
            Some(breaks) if dot >= DOTS - breaks => {
                let side = 2.0 * HALF;
                svg.rect((x - HALF, y - HALF), (side, side), 0.0, Paint::fill(INK));
            }
            Some(_) => svg.circle((x, y), HALF, Paint::line(INK, 1.4)),
        }
    }
}

fn in_words(picture: &OddsPicture) -> String {
    let of = match picture.breaks {
        None => "How often a limit breaks is unknown.".to_owned(),
        Some(_) => format!("A limit breaks in {} flights like this.", picture.words),
    };
    let mut words = vec![of];
    words.extend(picture.limits.iter().map(said));
    words.extend(picture.notes.iter().cloned());
    words.push(ADVICE.into());
    words.join(" ")
}
