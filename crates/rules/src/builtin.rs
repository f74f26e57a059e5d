//! The packs that come with the program, and its tables of dangerous goods.

use std::sync::OnceLock;

use crate::{
    document::{Problem, did_you_mean},
    events::Guides,
    goods::{Table, Vocabulary},
    pack::Pack,
    rules::Rules,
    selection::{self, Selection},
};

const PACKS: &[(&str, &str)] = &[
    ("au", include_str!("../../../packs/au/pack.toml")),
    ("nz", include_str!("../../../packs/nz/pack.toml")),
    ("uk", include_str!("../../../packs/uk/pack.toml")),
    ("us", include_str!("../../../packs/us/pack.toml")),
    ("demo-operator", include_str!("../../../packs/demo-operator/pack.toml")),
];

const GOODS: &[(&str, &str)] = &[
    ("icao", include_str!("../../../packs/goods/icao.toml")),
    ("us", include_str!("../../../packs/goods/us.toml")),
];

const GOODS_WORDS: &str = include_str!("../../../packs/goods/words.toml");

const EVENTS: &str = include_str!("../../../packs/events.toml");

/// What to keep and to say after each event.
///
/// # Errors
///
/// When the guides of the program cannot be read, which its tests exclude.
pub fn events() -> Result<&'static Guides, Problem> {
    static READ: OnceLock<Result<Guides, Problem>> = OnceLock::new();
    READ.get_or_init(|| Guides::read(EVENTS)).as_ref().map_err(Clone::clone)
}

/// Name and text of every table of goods that comes with the program.
#[must_use]
pub const fn goods_texts() -> &'static [(&'static str, &'static str)] {
    GOODS
}

/// The items of dangerous goods and the words for them.
///
/// # Errors
///
/// When the vocabulary of the program cannot be read, which its tests exclude.
pub fn vocabulary() -> Result<&'static Vocabulary, Problem> {
    static READ: OnceLock<Result<Vocabulary, Problem>> = OnceLock::new();
    READ.get_or_init(|| Vocabulary::read(GOODS_WORDS)).as_ref().map_err(Clone::clone)
}

/// A table of goods by its short name.
///
/// # Errors
///
/// When there is none of that name.
pub fn goods(id: &str) -> Result<&'static Table, Problem> {
    static READ: OnceLock<Result<Vec<Table>, Problem>> = OnceLock::new();
    let read = READ.get_or_init(|| {
        let vocabulary = vocabulary()?;
        let read = |(id, text): &(&str, &str)| {
            Table::read(text, vocabulary).map_err(|problems| {
                let what = problems.into_iter().next().map_or(String::new(), |p| p.message);
                Problem::new(0..0, format!("the table of goods `{id}` cannot be read: {what}"))
            })
        };
        GOODS.iter().map(read).collect()
    });
    let tables = read.as_ref().map_err(Clone::clone)?;
    let known: Vec<_> = GOODS.iter().map(|(id, _)| *id).collect();
    tables.iter().find(|table| table.id == id).ok_or_else(|| {
        Problem::new(0..id.len(), format!("there is no table of goods `{id}`"))
            .help(did_you_mean(id, &known))
    })
}

/// Name and text of every pack that comes with the program.
#[must_use]
pub const fn builtin() -> &'static [(&'static str, &'static str)] {
    PACKS
}

/// Reads one of them.
///
/// # Errors
///
/// When there is none of that name.
pub fn pack(id: &str) -> Result<Pack, Problem> {
    let Some((_, text)) = PACKS.iter().find(|(known, _)| *known == id) else {
        let known: Vec<_> = PACKS.iter().map(|(id, _)| *id).collect();
        return Err(Problem::new(0..id.len(), format!("there is no pack `{id}`"))
            .help(did_you_mean(id, &known)));
    };
    // Every built-in pack is read in the tests, so this is never taken; it is here so that no
    // path panics.
    Pack::read(text).map_err(|problems| {
        let what = problems.into_iter().next().map_or(String::new(), |problem| problem.message);
        Problem::new(0..0, format!("the built-in pack `{id}` cannot be read: {what}"))
    })
}

/// The rules that a selection of built-in packs names.
///
/// # Errors
///
/// When the selection cannot be read, or names a pack that is not there.
pub fn rules(selection: &str) -> Result<Rules, Problem> {
    let selection: Selection = selection::parse(selection)?;
    selection.resolve(&mut pack)
}
