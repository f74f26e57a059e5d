//! One container, opened by its code, its id or its label.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};

use super::{
    author::Author,
    reply::{Reply, answer},
    shop::Shop,
    yard,
};
use crate::{
    pages::{drum::DrumPage, frame::Place, record::Form},
    problem::Failure,
    yard::{convert, find, history, judge::finding, picture},
};

/// `GET /drum/ID`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(id): Path<String>,
) -> Response {
    let records = author.records_yard;
    answer(shop, author, move |shop| {
        let judge = yard::judge(shop, None)?;
        let page = shop.yard(|ledger| {
            let container = find(ledger, &id)?;
            let (own, batch) = (container.id, container.received.as_ref());
            let batch = batch.map(|received| received.what.batch.clone());
            let facts = convert::container(&ledger.yard, container).ok_or_else(|| {
                Failure::asked("this container was never received", "record that it came in")
            })?;
            let findings = ledger.yard.findings(own);
            let findings: Vec<String> =
                findings.iter().map(|it| finding(&ledger.yard, it)).collect();
            let one = judge.as_ref().map(|judge| judge.judge(facts.clone()));
            let offered = if records { Form::offered(container) } else { Vec::new() };
            let history = history::read(ledger, own)?;
            Ok(DrumPage {
                id: own.to_string(),
                code: stillprop_draw::code::code_text(own),
                label: facts.label.clone(),
                place: facts.place.clone(),
                rack: facts.rack.clone(),
                grade: facts.grade.clone(),
                batch: batch.unwrap_or_default(),
                supplier: facts.supplier.clone(),
                filled: facts.filled.map(|day| day.to_string()),
                left: picture::litres(facts.left),
                state: one.as_ref().map(|one| (one.state().word(), one.reason())),
                limits: one.map(|one| one.limits).unwrap_or_default(),
                findings,
                history: history
                    .into_iter()
                    .rev()
                    .map(|past| (past.said, past.answer.record))
                    .collect(),
                offered,
                records,
            })
        })?;
        let page = page.ok_or_else(|| {
            Failure::asked("nothing is recorded of any drum yet", "record that one came in")
        })?;
        Ok(Reply::page(Place::Yard, format!("{} at {}", page.label, page.place), page.markup()))
    })
    .await
}
