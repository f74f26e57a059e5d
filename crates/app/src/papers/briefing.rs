//! The briefing cards, in the language of those who are briefed.

use stillprop_draw::pictogram::{Pictogram, pictogram};
use stillprop_papers::{Block, Card, Footer, Head, Paper};
use stillprop_turnaround::briefing::{Item, Needs, Told, briefing};

use super::{
    Stop,
    language::{Language, Words},
};
use crate::problem::Failure;

/// Names of the words around the sentences.
#[cfg(test)]
pub(super) const FRAME: &[&str] = &[
    "title",
    "checked",
    "passengers",
    "rules",
    "caution",
    "page",
    "invented",
    "unknown",
    "nothing-asked",
    "own-words",
    "briefed-by",
    "briefed-at",
    "understood",
    "need-title",
];

/// The name of an item's title among the sentences.
pub(super) fn title_of(item: Item) -> String {
    format!("item-{}", item.word().replace(' ', "-"))
}

/// The cards of a flight.
pub(crate) fn cards(stop: &Stop<'_>, language: Language) -> Result<Paper, Failure> {
    let told = briefing(stop.stage, stop.choice, stop.units);
    let mut words = Words::of(language)?;
    let a = stop.assessment;
    let mut lines = vec![a.aircraft.clone()];
    if !told.passengers.is_empty() {
        let names = told.passengers.join(", ");
        lines.push(format!("{}: {names}", words.say("passengers", &[])));
    }
    lines.push(words.say("checked", &[]));
    let stamp = if a.invented { words.say("invented", &[]) } else { String::new() };
    let mut blocks = Vec::new();
    if told.nothing_asked {
        blocks.push(Block::Warning(words.say("nothing-asked", &[])));
    }
    let mut cards: Vec<Card> = told.items.iter().map(|told| card(&mut words, told)).collect();
    cards.extend(told.needs.iter().map(|needs| help(&mut words, needs)));
    blocks.push(Block::Cards(cards));
    if language != Language::En {
        blocks.push(Block::Small(words.say("own-words", &[])));
    }
    let blanks = ["briefed-by", "briefed-at", "understood"];
    blocks.push(Block::Blanks(blanks.map(|name| words.say(name, &[])).to_vec()));
    blocks.push(Block::Small(asked_by(&mut words, &told.items)));
    let paper = Paper {
        head: Head { title: words.say("title", &[]), subject: a.title.clone(), lines, stamp },
        footer: Footer { caution: words.say("caution", &[]), page: words.say("page", &[]) },
        language: language.tag().into(),
        right_to_left: language == Language::Ar,
        // Read aloud and handed round: a little larger than the papers of the office.
        scale: 1.08,
        blocks,
        ..Paper::default()
    };
    match words.missing.first() {
        None => Ok(paper),
        Some(name) => {
            let message = format!("the language {} lacks `{name}`", language.tag());
            Err(Failure::asked(message, "report this, and print it in another language"))
        }
    }
}

fn card(words: &mut Words, told: &Told) -> Card {
    let mut says: Vec<String> =
        told.says.iter().map(|say| words.say(say.sentence, &say.with)).collect();
    if told.unknown {
        says.push(words.say("unknown", &[]));
    }
    Card {
        picture: Some(pictogram(picture(told))),
        title: words.say(&title_of(told.item), &[]),
        words: says,
        missing: told.unknown,
    }
}

/// What is said for somebody who needs something.
fn help(words: &mut Words, needs: &Needs) -> Card {
    let mut says: Vec<String> =
        needs.says.iter().map(|say| words.say(say.sentence, &say.with)).collect();
    if needs.unknown {
        says.push(words.say("unknown", &[]));
    }
    Card {
        picture: Some(pictogram(Pictogram::Help)),
        title: words.say("need-title", &[("person", needs.person.clone())]),
        words: says,
        missing: needs.unknown,
    }
}

/// Who asks for the items: each document once.
fn asked_by(words: &mut Words, items: &[Told]) -> String {
    let mut all: Vec<&str> = Vec::new();
    for by in items.iter().flat_map(|told| &told.asked_by) {
        if !all.contains(&by.as_str()) {
            all.push(by);
        }
    }
    format!("{}: {}.", words.say("rules", &[]), all.join("; "))
}

fn picture(told: &Told) -> Pictogram {
    match told.item {
        Item::Boarding => Pictogram::Wait,
        Item::Path => Pictogram::Way,
        Item::Propeller => Pictogram::Propeller,
        Item::Wing if told.says.iter().any(|say| say.sentence == "wing-low") => Pictogram::LowWing,
        Item::Wing => Pictogram::HighWing,
        Item::Balance => Pictogram::Seat,
        Item::Doors => Pictogram::Door,
        Item::Belts => Pictogram::Belt,
        Item::Exits => Pictogram::Exit,
        Item::Headsets => Pictogram::Headset,
        Item::Smoking => Pictogram::NoSmoking,
        Item::Devices => Pictogram::NoPhone,
        Item::HandBaggage => Pictogram::Bag,
        Item::Brace => Pictogram::Brace,
        Item::Emergency => Pictogram::Away,
        Item::SurvivalGear => Pictogram::Kit,
        Item::LifeJackets => Pictogram::LifeJacket,
        Item::Oxygen => Pictogram::Mask,
        Item::Water => Pictogram::Water,
        Item::Mobility => Pictogram::Help,
    }
}
