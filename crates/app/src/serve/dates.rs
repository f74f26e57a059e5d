//! What must be in date, of one stop and of every stop, as pages and as a calendar to keep.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use serde_json::Value;

use super::{
    api::worked,
    author::Author,
    first::told,
    form::{Asked, Pairs},
    reply::{Reply, answer},
    shop::{Shop, Worked},
};
use crate::{
    pages::{due as page, frame::Place},
    problem::{Failure, Told},
    report::{
        answer::{due as answers, value},
        due::{self, Dated, Everything},
    },
};

/// Days before the last day on which a calendar reminds.
const REMIND: u16 = 14;

/// `GET /due/NAME`
pub(super) async fn one(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let of = worked(shop, &name, &pairs)?;
        let dated = dated(&of);
        let title = format!("Due: {}", of.assessment.title);
        Ok(Reply::page(Place::Stops, title, page::of_one(&name, &dated)))
    })
    .await
}

/// `GET /due`
pub(super) async fn all(State(shop): State<Arc<Shop>>, author: Author) -> Response {
    answer(shop, author, |shop| {
        let (stops, broken) = stops(shop);
        let all = Everything::of(&named(&stops));
        Ok(Reply::page(Place::Due, "Due", page::of_all(&all, &broken)))
    })
    .await
}

/// `GET /calendar/NAME`
pub(super) async fn calendar(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
) -> Response {
    answer(shop, author, move |shop| {
        let of = shop.worked(&name)?;
        Ok(Reply::Calendar(name, due::calendar(&[&dated(&of)], REMIND)))
    })
    .await
}

/// `GET /calendar`: of every stop, the same thing once.
pub(super) async fn calendar_of_all(State(shop): State<Arc<Shop>>, author: Author) -> Response {
    answer(shop, author, |shop| {
        let (stops, _) = stops(shop);
        let dated: Vec<Dated<'_>> = stops.iter().map(|(_, of)| dated(of)).collect();
        let text = due::calendar(&dated.iter().collect::<Vec<_>>(), REMIND);
        Ok(Reply::Calendar("due".to_owned(), text))
    })
    .await
}

fn dated(of: &Worked) -> Dated<'_> {
    Dated::of(&of.stage, &of.choice, &of.assessment)
}

fn named(stops: &[(String, Arc<Worked>)]) -> Vec<(String, Dated<'_>)> {
    stops.iter().map(|(name, of)| (name.clone(), dated(of))).collect()
}

/// Stops that are worked out, with their names.
type Stops = Vec<(String, Arc<Worked>)>;

/// Every stop of the folder, and those that cannot be worked out with what is wrong.
fn stops(shop: &Shop) -> (Stops, Vec<(String, Vec<Told>)>) {
    let (mut stops, mut broken) = (Vec::new(), Vec::new());
    for entry in shop.folder.list().into_iter().filter(|entry| entry.kind == "turnaround") {
        match shop.worked(&entry.name) {
            Ok(of) => stops.push((entry.name, of)),
            Err(failure) => broken.push((entry.name, told(shop, &failure))),
        }
    }
    (stops, broken)
}

/// The same for programs.
pub(super) mod api {
    use super::{
        Everything, Failure, Pairs, Shop, Value, answers, dated, due, named, stops, value, worked,
    };

    pub(in crate::serve) fn one(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
        let of = worked(shop, name, pairs)?;
        Ok(due::json(&dated(&of), &of.units))
    }

    pub(in crate::serve) fn all(shop: &Shop, _: &str, _: &Pairs) -> Result<Value, Failure> {
        let (stops, broken) = stops(shop);
        let all = Everything::of(&named(&stops));
        let not_read = broken.into_iter().map(|(name, _)| name).collect();
        Ok(value(&answers::of_folder(&all, not_read)))
    }
}
