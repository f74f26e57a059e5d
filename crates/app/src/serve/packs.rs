//! Rule packs side by side: those of the program and those of the folder.

use std::{collections::BTreeMap, sync::Arc};

use axum::{extract::State, response::Response};
use stillprop_rules::pack::{Figure, Pack};

use super::{
    author::Author,
    first,
    form::{Asked, Pairs},
    reply::{Reply, answer},
    shop::Shop,
};
use crate::{
    load::in_source,
    pages::{
        frame::Place,
        packs::{Agreement, Cell, Column, Narrowed, PacksPage, Row},
    },
    problem::{Failure, Told},
    report::packs::built_in,
};

/// `GET /packs?pack=au&pack=packs/mine.toml&only=differ&about=reserve`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let page = beside(shop, &pairs)?;
        Ok(Reply::page(Place::Packs, "Packs side by side", page.markup()))
    })
    .await
}

fn beside(shop: &Shop, pairs: &Pairs) -> Result<PacksPage, Failure> {
    let (own, broken) = of_folder(shop);
    let built_in = built_in()?.into_iter().map(|pack| (pack.id.clone(), None, pack));
    let own = own.into_iter().map(|(name, pack)| (format!("{name}.toml"), Some(name), pack));
    let all: Vec<(String, Option<String>, Pack)> = built_in.chain(own).collect();
    let chosen: Vec<&str> =
        pairs.0.iter().filter(|(name, _)| name == "pack").map(|(_, id)| id.as_str()).collect();
    let columns = all.iter().map(|(id, document, pack)| Column {
        id: id.clone(),
        title: pack.title.clone(),
        edition: pack.edition.clone(),
        checked: pack.checked.0.to_string(),
        document: document.clone(),
        shown: chosen.is_empty() || chosen.contains(&id.as_str()),
    });
    let columns: Vec<Column> = columns.collect();
    let shown = all.iter().zip(&columns).filter(|(_, column)| column.shown);
    let shown: Vec<&Pack> = shown.map(|((_, _, pack), _)| pack).collect();
    let only = Agreement::ALL.into_iter().find(|one| one.word() == pairs.text("only"));
    let narrowed = Narrowed { only, about: pairs.text("about").to_owned() };
    let rows = rows(&shown).into_iter().filter(|row| {
        narrowed.only.is_none_or(|only| only == row.agreement)
            && row.key.contains(&narrowed.about.to_lowercase())
    });
    Ok(PacksPage { rows: rows.collect(), columns, narrowed, broken })
}

/// Packs that cannot be read: the document, and what is wrong with it.
type Broken = Vec<(String, Vec<Told>)>;

/// The packs of the folder by name.
fn of_folder(shop: &Shop) -> (Vec<(String, Pack)>, Broken) {
    let (mut packs, mut broken) = (Vec::new(), Vec::new());
    for entry in shop.folder.list().into_iter().filter(|entry| entry.kind == "pack") {
        let read = shop.folder.read(&entry.name);
        match read.and_then(|source| in_source(&source, Pack::read(&source.text))) {
            Ok(pack) => packs.push((entry.name, pack)),
            Err(failure) => broken.push((entry.name, first::told(shop, &failure))),
        }
    }
    (packs, broken)
}

/// Every figure that one of them gives, those first in which they differ.
fn rows(shown: &[&Pack]) -> Vec<Row> {
    let mut found: BTreeMap<&str, Vec<Vec<Cell>>> = BTreeMap::new();
    for (place, pack) in shown.iter().enumerate() {
        for figure in &pack.figures {
            let cells =
                found.entry(figure.key.id()).or_insert_with(|| vec![Vec::new(); shown.len()]);
            cells[place].push(cell(figure));
        }
    }
    let row = |(key, cells): (&str, Vec<Vec<Cell>>)| Row {
        key: key.to_owned(),
        agreement: agreement(&cells),
        cells,
    };
    let mut rows: Vec<Row> = found.into_iter().map(row).collect();
    // A stable sort: within each the names stay in their order.
    rows.sort_by_key(|row| row.agreement);
    rows
}

fn cell(figure: &Figure) -> Cell {
    Cell {
        says: figure.says.to_string(),
        when: Some(figure.when.to_string()).filter(|when| when != "always").unwrap_or_default(),
        source: figure.citation.to_string(),
        status: figure.status.to_string(),
        read: figure.read.to_string(),
        note: figure.note.clone(),
    }
}

/// By value and condition alone: two states never cite the same page.
fn agreement(cells: &[Vec<Cell>]) -> Agreement {
    let mut says: Vec<Vec<(&str, &str)>> = cells
        .iter()
        .map(|own| own.iter().map(|cell| (cell.says.as_str(), cell.when.as_str())).collect())
        .collect();
    says.iter_mut().for_each(|own| own.sort_unstable());
    let mut given = says.iter().filter(|own| !own.is_empty());
    let first = given.next();
    match first {
        Some(first) if given.any(|other| other != first) => Agreement::Differ,
        _ if says.iter().any(Vec::is_empty) => Agreement::Some,
        _ => Agreement::Same,
    }
}
