//! Rule packs side by side.

use std::{collections::BTreeMap, sync::Arc};

use axum::{extract::State, response::Response};

use super::{
    author::Author,
    form::Asked,
    reply::{Reply, answer},
    shop::Shop,
};
use crate::{
    pages::{
        frame::Place,
        packs::{Cell, Column, PacksPage},
    },
    report::packs::built_in,
};

/// `GET /packs?pack=au&pack=nz`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |_| {
        let packs = built_in()?;
        let chosen: Vec<&str> =
            pairs.0.iter().filter(|(name, _)| name == "pack").map(|(_, id)| id.as_str()).collect();
        let column = |pack: &stillprop_rules::pack::Pack| Column {
            id: pack.id.clone(),
            title: pack.title.clone(),
            edition: pack.edition.clone(),
            checked: pack.checked.0.to_string(),
            shown: chosen.is_empty() || chosen.contains(&pack.id.as_str()),
        };
        let columns: Vec<Column> = packs.iter().map(column).collect();
        let mut rows: BTreeMap<String, Vec<Vec<Cell>>> = BTreeMap::new();
        let shown: Vec<_> = packs
            .iter()
            .zip(&columns)
            .filter(|(_, column)| column.shown)
            .map(|(pack, _)| pack)
            .collect();
        for (place, pack) in shown.iter().enumerate() {
            for figure in &pack.figures {
                let cells = rows
                    .entry(figure.key.id().to_owned())
                    .or_insert_with(|| (0..shown.len()).map(|_| Vec::new()).collect());
                if let Some(own) = cells.get_mut(place) {
                    own.push(Cell {
                        says: figure.says.to_string(),
                        when: figure.when.to_string(),
                        source: figure.citation.to_string(),
                        status: format!("{}, read: {}", figure.status, figure.read),
                        note: figure.note.clone(),
                    });
                }
            }
        }
        let page = PacksPage { columns, rows: rows.into_iter().collect() };
        Ok(Reply::page(Place::Packs, "Packs side by side", page.markup()))
    })
    .await
}
