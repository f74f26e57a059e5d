//! Dangerous goods: things with their answers, and what to ask.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_rules::{builtin, goods, pack};
use stillprop_turnaround::goods::{Judged, Thing as Said};

use crate::report::{
    screen::{Asked, Screened, item, mildest},
    text::CAUTION,
};

/// Things that people want to carry, with their answers.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Screening<'a> {
    /// The turnaround they are of, when they are of one.
    title: Option<&'a str>,
    /// The rules asked.
    rules: &'a str,
    /// Everything may come where it is said to lie, and everybody was asked.
    may_all_come: bool,
    things: Vec<Thing<'a>>,
    /// People and bags that nobody asked about.
    unasked: &'a [String],
    /// Exceptions to be read; the program uses none.
    may_apply: Vec<Exception<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A thing.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "CarriedThing")]
pub(crate) struct Thing<'a> {
    /// As it was said.
    said: &'a str,
    /// The short name of what it was taken for; none when it was not understood.
    item: Option<&'a str>,
    /// The same in words.
    title: Option<&'a str>,
    /// Short names of what it may be, when it was not understood.
    may_be: &'a [String],
    /// Size of each.
    each: Option<String>,
    /// How many; none when several were said without a number.
    count: Option<u32>,
    /// Whose it is; none when it is nobody's, and then it counts with everybody's.
    of: Option<&'a str>,
    /// Where it lies.
    place: Option<&'static str>,
    /// The operator, or the pilot where there is none, approved it.
    approved: bool,
    /// Allowed, allowed with conditions, approval needed, unknown or forbidden.
    answer: &'static str,
    may_come: bool,
    reasons: &'a [String],
    conditions: &'a [String],
    /// What to ask aloud.
    ask: Option<&'a str>,
    /// What to look for.
    look: Option<&'a str>,
    sources: Vec<Source<'a>>,
}

/// Where an answer comes from.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "GoodsSource")]
pub(crate) struct Source<'a> {
    /// The table.
    table: &'a str,
    citation: String,
    /// Law, guidance and the like.
    status: &'static str,
    /// How it was read.
    read: &'static str,
    note: Option<&'a str>,
}

/// An exception that may apply.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "GoodsException")]
pub(crate) struct Exception<'a> {
    pack: &'a str,
    about: &'a str,
    citation: String,
    /// Law, guidance and the like.
    status: &'static str,
    /// How it was read.
    read: &'static str,
    note: Option<&'a str>,
}

/// What to ask aloud and what to look for.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Questions<'a> {
    /// The rules asked.
    rules: &'a str,
    items: Vec<Question<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A question.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Question<'a> {
    /// Short name of what it is about.
    item: &'a str,
    title: &'a str,
    ask: &'a str,
    look: &'a str,
    /// The mildest answer; size, number and place may make it stricter.
    mildest_answer: &'static str,
}

/// The answer of `screen`.
pub(crate) fn screening(screened: &Screened) -> Screening<'_> {
    Screening {
        title: screened.title.as_deref(),
        rules: &screened.rules,
        may_all_come: screened.may_all_come(),
        things: screened.things.iter().map(|(said, judged)| thing(said, judged)).collect(),
        unasked: &screened.unasked,
        may_apply: screened.exceptions.iter().map(|(pack, one)| exception(pack, one)).collect(),
        caution: CAUTION,
    }
}

fn thing<'a>(said: &'a Said, judged: &'a Judged) -> Thing<'a> {
    let found = item(said);
    let sources = judged.grounds.iter().map(|ground| Source {
        table: &ground.table,
        citation: ground.citation.to_string(),
        status: ground.status.word(),
        read: ground.read.word(),
        note: ground.note.as_deref(),
    });
    Thing {
        said: &said.said,
        item: said.item.as_ref().ok().map(String::as_str),
        title: found.map(|item| item.title.as_str()),
        may_be: said.item.as_ref().err().map(|unsure| unsure.may_be.as_slice()).unwrap_or_default(),
        each: said.each.map(|each| each.to_string()),
        count: said.count,
        of: said.of.as_deref(),
        place: said.place.map(goods::Place::word),
        approved: said.approved,
        answer: judged.answer.word(),
        may_come: judged.answer.may_come(),
        reasons: &judged.reasons,
        conditions: &judged.conditions,
        ask: found.map(|item| item.ask.as_str()),
        look: found.map(|item| item.look.as_str()),
        sources: sources.collect(),
    }
}

fn exception<'a>(pack: &'a str, one: &'a pack::Exception) -> Exception<'a> {
    Exception {
        pack,
        about: &one.about,
        citation: one.citation.to_string(),
        status: one.status.word(),
        read: one.read.word(),
        note: one.note.as_deref(),
    }
}

/// The answer of `screen --ask`.
pub(crate) fn questions<'a>(asked: &'a Asked<'a>) -> Questions<'a> {
    let question = |item: &'a goods::Item| Question {
        item: &item.id,
        title: &item.title,
        ask: &item.ask,
        look: &item.look,
        mildest_answer: mildest(asked.goods.strictness(&item.id)),
    };
    Questions {
        rules: &asked.rules,
        items: asked.items.iter().map(question).collect(),
        caution: CAUTION,
    }
}

/// The title of an article by its short name.
pub(crate) fn title(id: &str) -> &str {
    let found = builtin::vocabulary().ok().and_then(|vocabulary| vocabulary.item(id));
    found.map_or(id, |item| item.title.as_str())
}
