//! The whole sheet, and the ladder in words.

use super::{LadderPicture, figure};
use crate::{
    ADVICE, Width,
    page::{Page, said, sentence},
};

const READING: &str = "Each rung begins where the one before it ends. Dark grey at the left is fuel \
    that cannot be used, pale what the flight burns, hatched what must still be there at the last \
    landing. The thick line is what is aboard; full past it is short. In the last bar pale is \
    required and white is to spare. Dashed is unknown. Needed is rounded up, what there is down.";

pub(super) fn draw(picture: &LadderPicture, width: Width) -> String {
    let mut page = Page::new(width);
    let limits = picture.shown();
    let verdicts: Vec<_> = limits.iter().map(|limit| limit.verdict).collect();
    page.head(&picture.place, &format!("fuel ladder, {}", picture.day), &verdicts);
    let narrow = page.narrow();
    let frame = page.room(figure::height(picture, narrow));
    figure::figure(&mut page.svg, picture, frame, narrow);
    page.rule("Limits");
    page.limits(&limits, false);
    page.notes(&picture.notes);
    let title = format!("Fuel ladder of {}, {}", picture.place, picture.day);
    page.finish(READING, &title, &in_words(picture))
}

fn in_words(picture: &LadderPicture) -> String {
    let mut words = vec![format!("Not usable: {}.", picture.unusable.said())];
    for rung in &picture.rungs {
        let kept = if rung.kept { ", to be there at the last landing" } else { "" };
        words.push(format!("{}: {}{kept}.", sentence(&rung.name), rung.amount.said()));
    }
    words.push(format!(
        "Required {}, aboard {} usable, tanks hold {}.",
        picture.required.said(),
        picture.aboard.said(),
        picture.capacity.said()
    ));
    words.extend(picture.shown().iter().map(said));
    words.extend(picture.notes.iter().cloned());
    words.push(ADVICE.into());
    words.join(" ")
}
