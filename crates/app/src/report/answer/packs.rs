//! Rule packs and their figures.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_rules::{pack, rules::Rules};

use crate::report::text::CAUTION;

/// The rule packs in the program.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Packs<'a> {
    packs: Vec<Pack<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A rule pack.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Pack<'a> {
    id: &'a str,
    title: &'a str,
    jurisdiction: &'a str,
    edition: &'a str,
    /// The day it was last checked.
    checked: String,
    /// The pack it is laid over, where there is one.
    over: Option<&'a str>,
    /// How many figures it has.
    figures: usize,
}

/// The figures of a pack or a combination.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Figures<'a> {
    name: String,
    figures: Vec<Figure<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A figure of a pack.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Figure<'a> {
    pack: &'a str,
    key: &'static str,
    /// Where it applies; empty when everywhere.
    when: String,
    value: String,
    document: &'a str,
    edition: &'a str,
    clause: &'a str,
    /// Law, guidance and the like.
    status: String,
    /// How it was read.
    read: String,
    note: Option<&'a str>,
}

/// The answer of `packs`.
pub(crate) fn list(packs: &[pack::Pack]) -> Packs<'_> {
    let head = |pack| -> Pack<'_> {
        let pack: &pack::Pack = pack;
        Pack {
            id: &pack.id,
            title: &pack.title,
            jurisdiction: &pack.jurisdiction,
            edition: &pack.edition,
            checked: pack.checked.0.to_string(),
            over: pack.over.as_deref(),
            figures: pack.figures.len(),
        }
    };
    Packs { packs: packs.iter().map(head).collect(), caution: CAUTION }
}

/// The answer of `packs NAME`.
pub(crate) fn figures(rules: &Rules) -> Figures<'_> {
    let row = |(pack, figure)| -> Figure<'_> {
        let (pack, figure): (&pack::Pack, &pack::Figure) = (pack, figure);
        Figure {
            pack: &pack.id,
            key: figure.key.id(),
            when: figure.when.to_string(),
            value: figure.says.to_string(),
            document: &figure.citation.source.document,
            edition: &figure.citation.source.edition,
            clause: &figure.citation.clause,
            status: figure.status.to_string(),
            read: figure.read.to_string(),
            note: figure.note.as_deref(),
        }
    };
    Figures { name: rules.name(), figures: rules.figures().map(row).collect(), caution: CAUTION }
}
