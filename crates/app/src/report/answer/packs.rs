//! Rule packs and their figures.

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_rules::{
    pack::{self, Citation, Read, Status},
    rules::Rules,
};

use crate::report::text::CAUTION;

/// The rule packs in the program.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "PackList")]
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
#[schemars(rename = "PackFigures")]
pub(crate) struct Figures<'a> {
    name: String,
    figures: Vec<Figure<'a>>,
    /// What passengers are told.
    briefing: Vec<Briefing<'a>>,
    /// Who is told after an event.
    duties: Vec<Duty<'a>>,
    /// Exceptions for goods: to be read, never used.
    exceptions: Vec<Exception<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A figure of a pack.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "PackFigure")]
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

/// Where something comes from.
#[derive(Debug, JsonSchema, Serialize)]
struct Said<'a> {
    pack: &'a str,
    document: &'a str,
    edition: &'a str,
    clause: &'a str,
    /// Law, guidance and the like.
    status: &'static str,
    /// How it was read.
    read: &'static str,
    note: Option<&'a str>,
}

/// Something that passengers are told.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "PackBriefing")]
struct Briefing<'a> {
    item: &'static str,
    /// Where it applies; empty when everywhere.
    when: String,
    #[serde(flatten)]
    said: Said<'a>,
}

/// Somebody who is told after an event.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "PackDuty")]
struct Duty<'a> {
    events: Vec<&'static str>,
    /// How bad it must be.
    when: &'a str,
    tell: &'a str,
    how: &'a str,
    /// The figure that says how soon.
    deadline: Option<&'static str>,
    #[serde(flatten)]
    said: Said<'a>,
}

/// An exception for goods.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "PackException")]
struct Exception<'a> {
    about: &'a str,
    /// For which operation; none for any.
    operation: Option<&'static str>,
    #[serde(flatten)]
    said: Said<'a>,
}

fn said<'a>(
    pack: &'a pack::Pack,
    citation: &'a Citation,
    (status, read): (Status, Read),
    note: Option<&'a String>,
) -> Said<'a> {
    Said {
        pack: &pack.id,
        document: &citation.source.document,
        edition: &citation.source.edition,
        clause: &citation.clause,
        status: status.word(),
        read: read.word(),
        note: note.map(String::as_str),
    }
}

fn briefing<'a>(rules: &'a Rules) -> Vec<Briefing<'a>> {
    let of = |pack: &'a pack::Pack| {
        pack.briefing.iter().map(move |it| Briefing {
            item: it.item.word(),
            when: it.when.to_string(),
            said: said(pack, &it.citation, (it.status, it.read), it.note.as_ref()),
        })
    };
    rules.packs().into_iter().flat_map(of).collect()
}

fn duties<'a>(rules: &'a Rules) -> Vec<Duty<'a>> {
    let of = |pack: &'a pack::Pack| {
        pack.duties.iter().map(move |it| Duty {
            events: it.events.iter().map(|event| event.word()).collect(),
            when: &it.when,
            tell: &it.tell,
            how: &it.how,
            deadline: it.deadline.map(|key| key.id()),
            said: said(pack, &it.citation, (it.status, it.read), it.note.as_ref()),
        })
    };
    rules.packs().into_iter().flat_map(of).collect()
}

fn exceptions<'a>(rules: &'a Rules) -> Vec<Exception<'a>> {
    let of = |pack: &'a pack::Pack| {
        pack.exceptions.iter().map(move |it| Exception {
            about: &it.about,
            operation: it.operation.map(|operation| operation.word()),
            said: said(pack, &it.citation, (it.status, it.read), it.note.as_ref()),
        })
    };
    rules.packs().into_iter().flat_map(of).collect()
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
    Figures {
        name: rules.name(),
        figures: rules.figures().map(row).collect(),
        briefing: briefing(rules),
        duties: duties(rules),
        exceptions: exceptions(rules),
        caution: CAUTION,
    }
}
