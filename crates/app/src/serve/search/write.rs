//! What was found, written into a new version of the document. It is found again, written as text,
//! worked out from that text, and kept only where every limit then stands as it was promised to.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use stillprop_plan::ways_out::Edit;
use stillprop_turnaround::{
    assess::{Limit, assess, limits},
    stage::prepare,
};

use super::{Subject, mark, wishes};
use crate::{
    pages::bits::encoded,
    problem::Failure,
    search::{ways_out::rules, write},
    serve::{
        author::Author,
        form::{Pairs, Sent},
        reply::{Reply, answer},
        shop::Shop,
    },
};

/// `POST /save/ways-out/NAME`
pub(in crate::serve) async fn way(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = seen(shop, &name, &pairs)?;
        let found = subject.of.ways_out(&shop.turns)?;
        let way = found.ways.iter().find(|way| mark(&way.words) == pairs.text("way"));
        let way = way.ok_or_else(changed)?;
        edited(shop, &name, &subject, &way.edits)
    })
    .await
}

/// `POST /save/window/NAME`: the time nearest to the planned one at which every limit holds.
pub(in crate::serve) async fn time(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = seen(shop, &name, &pairs)?;
        let departs = subject.of.choice.departs;
        let nearest = subject.of.window(&shop.turns)?.nearest(departs);
        let nearest = nearest.ok_or_else(changed)?;
        edited(shop, &name, &subject, &[Edit::Depart(nearest)])
    })
    .await
}

/// `POST /save/park/NAME`
pub(in crate::serve) async fn place(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = seen(shop, &name, &pairs)?;
        let place = subject.of.parking(&shop.turns)?.place.as_ref().ok_or_else(changed)?;
        edited(shop, &name, &subject, &[Edit::Park(place.pose)])
    })
    .await
}

/// `POST /save/fit/NAME`
pub(in crate::serve) async fn fit(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(name): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    answer(shop, author, move |shop| {
        let subject = seen(shop, &name, &pairs)?;
        let of = &*subject.of;
        let fitted = of.fitted(&shop.turns, &wishes(&pairs)?)?;
        let after = fitted.after.as_ref().ok_or_else(changed)?;
        let (edits, ballast) = write::of_fit(&fitted, &of.units);
        let rules = rules(&of.source, &of.stage, None)?;
        let (text, _) =
            write::edited(&of.source.text, &of.stage.documents, &rules, &of.units, &edits)
                .ok_or_else(no_place)?;
        let text = write::with_ballast(&text, &ballast);
        kept(shop, &name, text, &assess(&fitted.stage, after, &of.units).limits)
    })
    .await
}

/// The turnaround as whoever sent the form has seen it.
fn seen(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Subject, Failure> {
    let subject = Subject::of(shop, name, pairs)?;
    if subject.seen == pairs.text("seen") { Ok(subject) } else { Err(changed()) }
}

fn changed() -> Failure {
    let help = "open the page again and look at what it says now";
    Failure::asked("the documents or the yard have changed since this was found", help)
}

fn no_place() -> Failure {
    let help = "make the change on the page of the stop, or in the text of the document";
    Failure::asked("the text of the document has no place for this", help)
}

/// A new version with these changes.
fn edited(shop: &Shop, name: &str, subject: &Subject, edits: &[Edit]) -> Result<Reply, Failure> {
    let of = &*subject.of;
    let rules = rules(&of.source, &of.stage, None)?;
    let (text, documents) =
        write::edited(&of.source.text, &of.stage.documents, &rules, &of.units, edits)
            .ok_or_else(no_place)?;
    let (stage, choice) = prepare(documents, &rules);
    kept(shop, name, text, &limits(&stage, &choice, &of.units))
}

/// Keeps a text as a new version, where it stands to what was promised.
fn kept(shop: &Shop, name: &str, text: String, promised: &[Limit]) -> Result<Reply, Failure> {
    let written = shop.work(shop.folder.draft(name, text.clone())?)?;
    let worse = write::kept(promised, &written.assessment.limits);
    if !worse.is_empty() {
        let names: Vec<&str> = worse.iter().map(|limit| limit.id.as_str()).collect();
        let help = "make the change on the page of the stop, where each limit is shown";
        return Err(Failure::asked(
            format!("written down it would not hold: {}", names.join(", ")),
            help,
        ));
    }
    let next = shop.folder.next_version(name, &text)?;
    Ok(Reply::Go(format!("/stop/{}", encoded(&next))))
}
