//! The whole sheet, and the loading in words.

use super::{LoadingPicture, Place, figure};
use crate::{
    ADVICE, Verdict, Width,
    page::{EDGE, Page, SMALL, STRONG, sentence},
    svg::Type,
};

const READING: &str = "Seen from above, nose to the left, to scale. A box is a place with what is in \
    it, filled as far as its greatest mass: rounded corners are seats, square ones lockers, round \
    ends tanks. Open at the top: no greatest mass is set. Full is too much, dashed is unknown. \
    The frame below the scale is where the whole may balance.";
/// Where nobody said how the outline lies among the arms.
const NO_OUTLINE: &str = "The outline is not drawn: where it lies among the arms is not given.";

pub(super) fn draw(picture: &LoadingPicture, width: Width) -> String {
    let mut page = Page::new(width);
    let shown = picture.places.iter().map(Place::shown);
    let verdicts: Vec<_> = shown.chain([picture.balance.shown()]).collect();
    page.head(
        &picture.place,
        &format!("loading in {}, {}", picture.mass_unit, picture.day),
        &verdicts,
    );
    let top = page.room(0.0).top;
    let wide = !page.narrow();
    // A wide sheet has its list beside the figure.
    let part = if wide { 0.64 } else { 1.0 };
    let across = (EDGE, EDGE + page.inner() * part);
    let tallest = if wide { 380.0 } else { 300.0 };
    let view = figure::View::new(picture, top, across, tallest);
    page.room(view.bottom() - top);
    let left_out = figure::figure(&mut page.svg, picture, &view);
    let below = page.room(figure::BALANCE).top;
    figure::balance(&mut page.svg, &picture.balance, &view, below);
    let lines = picture.places.iter().enumerate();
    let lines: Vec<_> = lines.map(|(at, one)| line(one, left_out.contains(&at))).collect();
    if wide {
        page.table_beside(&lines, (across.1 + 16.0, top));
    } else {
        page.rule("Places");
        page.table(&lines);
    }
    if picture.sound_outlines().is_empty() {
        page.words(NO_OUTLINE, SMALL, 3);
    }
    page.notes(&picture.notes);
    let title = format!("Loading of {}, {}", picture.place, picture.day);
    page.finish(READING, &title, &in_words(picture))
}

/// `seat 1L: 79 kg of 120 kg, Marro Teel`; bold with its verdict where it does not hold.
fn line(place: &Place, left_out: bool) -> (String, Type) {
    let verdict = place.shown();
    let stands = match verdict {
        Verdict::Holds => place.stands.clone(),
        _ => format!("{}: {}", verdict.word().to_uppercase(), place.stands),
    };
    let mut words = format!("{} {}: {stands}", place.kind.word(), place.name);
    if !place.inside.is_empty() {
        words += &format!(", {}", place.inside);
    }
    if left_out || place.sound_at().is_none() {
        words += if left_out { " (no room to draw it)" } else { " (its arm is unknown)" };
    }
    let kind = if verdict == Verdict::Holds { crate::page::WORDS } else { STRONG.sized(11.0) };
    (words, kind)
}

fn in_words(picture: &LoadingPicture) -> String {
    let mut words = Vec::new();
    for place in &picture.places {
        let inside =
            if place.inside.is_empty() { String::new() } else { format!(", {}", place.inside) };
        let at = match place.sound_at() {
            Some(at) => format!("at {} {}", round(at.arm), picture.arm_unit),
            None => "arm unknown".into(),
        };
        let (kind, verdict) = (sentence(place.kind.word()), place.shown().word());
        words.push(format!("{kind} {} {verdict}: {}{inside}, {at}.", place.name, place.stands));
    }
    let balance = &picture.balance;
    words.push(format!("Balance {}: {}.", balance.shown().word(), balance.words));
    if picture.sound_outlines().is_empty() {
        words.push(NO_OUTLINE.into());
    }
    words.extend(picture.notes.iter().cloned());
    words.push(ADVICE.into());
    words.join(" ")
}

/// Three decimals at most.
fn round(arm: f64) -> f64 {
    (arm * 1000.0).round() / 1000.0 + 0.0
}
