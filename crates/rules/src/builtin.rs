//! The packs that come with the program.

use crate::{
    document::{Problem, did_you_mean},
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
