//! Rule packs as JSON.

use serde_json::{Value, json};
use stillprop_rules::{
    builtin,
    pack::{Figure, Pack},
    rules::Rules,
};

use super::text::CAUTION;
use crate::{load, problem::Failure};

/// The packs in the program.
pub(crate) fn built_in() -> Result<Vec<Pack>, Failure> {
    let mut packs = Vec::new();
    for (id, _) in builtin::builtin() {
        let rules = load::rules(id)?;
        let own = rules.packs().into_iter().find(|pack| pack.id == *id).cloned();
        packs.extend(own);
    }
    Ok(packs)
}

/// The answer of `packs`.
pub(crate) fn list_json(packs: &[Pack]) -> Value {
    let rows: Vec<Value> = packs.iter().map(head).collect();
    json!({ "packs": rows, "caution": CAUTION })
}

/// The answer of `packs NAME`.
pub(crate) fn figures_json(rules: &Rules) -> Value {
    let rows: Vec<Value> = rules.figures().map(|(pack, figure)| row(pack, figure)).collect();
    json!({ "name": rules.name(), "figures": rows, "caution": CAUTION })
}

fn head(pack: &Pack) -> Value {
    json!({
        "id": pack.id,
        "title": pack.title,
        "jurisdiction": pack.jurisdiction,
        "edition": pack.edition,
        "checked": pack.checked.0.to_string(),
        "over": pack.over,
        "figures": pack.figures.len(),
    })
}

fn row(pack: &Pack, figure: &Figure) -> Value {
    json!({
        "pack": pack.id,
        "key": figure.key.id(),
        "when": figure.when.to_string(),
        "value": figure.says.to_string(),
        "document": figure.citation.source.document,
        "edition": figure.citation.source.edition,
        "clause": figure.citation.clause,
        "status": figure.status.to_string(),
        "read": figure.read.to_string(),
        "note": figure.note,
    })
}
