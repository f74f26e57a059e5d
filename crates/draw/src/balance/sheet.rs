//! The whole sheet, and mass against arm in words.

use super::{BalancePicture, Ceiling, Edge, Stage, figure};
use crate::{
    ADVICE, Limit, Verdict, Width,
    page::{Page, STRONG, WORDS, said, sentence},
    svg::Type,
};

const READING: &str = "The grey area is the envelope. The heavy line is the burn, from take-off down \
    to empty tanks. A ring is a stage of the flight inside it, a full square one outside. A numbered \
    line is the distance from the nearest point of the burn to an edge. Dotted level lines are \
    greatest masses. Dashed is unknown.";

const BOLD: Type = STRONG.sized(11.0);

pub(super) fn draw(picture: &BalancePicture, width: Width) -> String {
    let mut page = Page::new(width);
    let edges: Vec<Limit> = picture.edges.iter().map(Edge::shown).collect();
    let ceilings: Vec<Limit> = picture.ceilings.iter().map(Ceiling::shown).collect();
    let verdicts: Vec<_> = edges.iter().chain(&ceilings).map(|limit| limit.verdict).collect();
    page.head(&picture.place, &format!("mass against arm, {}", picture.day), &verdicts);
    let wide = !page.narrow();
    let tall = if wide { 430.0 } else { 340.0 };
    let mut room = page.room(tall);
    if wide {
        // A wide sheet has the distances beside the figure.
        let right = room.left + room.width() * 0.68;
        page.limits_beside(&edges, (right + 16.0, room.top + 16.0));
        room.right = right;
    }
    let left_out = figure::figure(&mut page.svg, picture, room);
    if !wide && !edges.is_empty() {
        page.rule("To the edges");
        page.limits(&edges, true);
    }
    if !ceilings.is_empty() {
        page.rule("Greatest masses");
        let lines: Vec<_> = ceilings.iter().map(mass).collect();
        page.table(&lines);
    }
    page.rule("Stages");
    let stages = picture.stages.iter().enumerate();
    let lines: Vec<_> = stages.map(|(at, stage)| line(stage, left_out.contains(&at))).collect();
    page.table(&lines);
    page.notes(&picture.notes);
    let title = format!("Mass against arm of {}, {}", picture.place, picture.day);
    page.finish(READING, &title, &in_words(picture))
}

/// One greatest mass; bold with its verdict where it does not hold.
fn mass(limit: &Limit) -> (String, Type) {
    match limit.verdict {
        Verdict::Holds => (format!("{}: {}", limit.name, limit.stands), WORDS),
        verdict => {
            let word = verdict.word().to_uppercase();
            (format!("{} {word}: {}", limit.name, limit.stands), BOLD)
        }
    }
}

fn line(stage: &Stage, left_out: bool) -> (String, Type) {
    let left_out = if left_out { " (no room for its name)" } else { "" };
    let words = format!("{}: {}{left_out}", stage.name, at(stage));
    match stage.shown() {
        Verdict::Holds => (words, WORDS),
        Verdict::Breaks => (format!("{words}, OUTSIDE"), BOLD),
        Verdict::Unknown if stage.sound().is_none() => (format!("{}: UNKNOWN", stage.name), BOLD),
        Verdict::Unknown => (format!("{words}, UNKNOWN whether inside"), BOLD),
    }
}

fn at(stage: &Stage) -> &str {
    if stage.sound().is_some() { &stage.words } else { "not known" }
}

fn in_words(picture: &BalancePicture) -> String {
    let mut words = Vec::new();
    for stage in &picture.stages {
        let inside = match stage.shown() {
            Verdict::Holds => "inside the envelope",
            Verdict::Breaks => "outside the envelope",
            Verdict::Unknown => "unknown whether inside",
        };
        words.push(format!("{}: {}, {inside}.", sentence(&stage.name), at(stage)));
    }
    for (place, edge) in picture.edges.iter().enumerate() {
        let drawn = if edge.sound().is_some() { "" } else { " Not drawn." };
        words.push(format!("{}: {}{drawn}", place + 1, said(&edge.shown())));
    }
    words.extend(picture.ceilings.iter().map(|ceiling| said(&ceiling.shown())));
    if picture.sound_envelope().is_none() {
        words.push("The envelope is unknown.".into());
    }
    if picture.sound_path().is_none() {
        words.push("The burn is not drawn.".into());
    }
    words.extend(picture.notes.iter().cloned());
    words.push(ADVICE.into());
    words.join(" ")
}
