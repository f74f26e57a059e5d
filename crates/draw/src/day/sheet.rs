//! The whole sheet, and the day in words.

use super::{DayPicture, Moment, Ribbon, figure::Figure};
use crate::{
    ADVICE, Width,
    page::{EDGE, Page, said},
};

const READING: &str = "White is day, grey civil twilight, dark night; hatched is the buffer that the \
    rules keep. A triangle up is a take-off, one down a landing, the blue line the flight between \
    them; a dashed stroke is weather. Full where the light does not allow it; dashed is unknown.";

pub(super) fn draw(picture: &DayPicture, width: Width) -> String {
    let mut page = Page::new(width);
    let verdicts: Vec<_> = picture.limits.iter().map(|limit| limit.verdict).collect();
    page.head(&picture.place, &format!("day ribbon, {}", picture.day), &verdicts);
    let top = page.room(0.0).top;
    let figure = Figure::new(picture, top, (EDGE, EDGE + page.inner()));
    page.room(figure.bottom() - top);
    figure.draw(&mut page.svg);
    if !picture.limits.is_empty() {
        page.rule("Limits");
        page.limits(&picture.limits, false);
    }
    page.notes(&picture.notes);
    let title = format!("Day ribbon of {}, {}", picture.place, picture.day);
    page.finish(READING, &title, &in_words(picture))
}

fn in_words(picture: &DayPicture) -> String {
    let mut words = vec![format!("Hours by {}.", picture.clock)];
    words.extend(picture.ribbons.iter().map(ribbon));
    match picture.windows.as_deref() {
        None => {}
        Some([]) => words.push("No time of departure keeps every limit.".into()),
        Some(windows) => {
            let windows: Vec<_> = windows.iter().map(|window| window.words.as_str()).collect();
            words.push(format!("Every limit holds for a departure {}.", windows.join(", ")));
        }
    }
    words.extend(picture.limits.iter().map(said));
    words.extend(picture.notes.iter().cloned());
    words.push(ADVICE.into());
    words.join(" ")
}

fn ribbon(ribbon: &Ribbon) -> String {
    let mut words = vec![ribbon.words.clone()];
    if ribbon.sky.is_empty() {
        words.push("light unknown".into());
    }
    words.extend(ribbon.buffers.iter().map(|buffer| buffer.words.clone()));
    words.extend(ribbon.moments.iter().map(moment));
    format!("{}: {}.", ribbon.place, words.join("; "))
}

fn moment(moment: &Moment) -> String {
    let known = if moment.sound().is_some() { "" } else { " at an unknown time" };
    match moment.shown() {
        Some(verdict) => format!("{}{known} ({})", moment.words, verdict.word()),
        None => format!("{}{known}", moment.words),
    }
}
