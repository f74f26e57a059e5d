//! The yard: its racks, what is due, batches, and what people record. All judged and recorded by
//! the code of the command line.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use jiff::tz::Offset;
use stillprop_draw::{Width, rack, trace as drawing};
use stillprop_ledger::yard::Yard;

use super::{
    author::Author,
    form::{Asked, Pairs, Sent},
    reply::{Reply, answer},
    shop::Shop,
};
use crate::{
    load,
    pages::{
        bits::encoded,
        frame::Place,
        record::{Form, RecordPage},
        yard::{BatchPage, DrumRow, PlaceRow, YardPage},
    },
    problem::Failure,
    world,
    yard::{
        convert, find,
        judge::{Due, Judge, due_rows as due, judged},
        picture,
        record::{self as stated},
        trace,
    },
};

/// What judges the yard; `None` when nobody said by which rules.
pub(super) fn judge(shop: &Shop, pack: Option<&str>) -> Result<Option<Judge>, Failure> {
    let Some(pack) = pack.map(str::to_owned).or_else(|| usual_pack(shop)) else { return Ok(None) };
    // A pack that is a file lies in the folder, as for every document in it.
    let here = shop.folder.draft("yard", String::new())?;
    let rules = load::rules_for(&pack, Some(&here))?;
    Ok(Some(Judge::of(rules, world::now(), Offset::UTC)))
}

/// The pack of the stop that leaves last: the rules that people here work by now.
fn usual_pack(shop: &Shop) -> Option<String> {
    let names = shop.folder.list().into_iter().filter(|entry| entry.kind == "turnaround");
    let stops = names.filter_map(|entry| shop.worked(&entry.name).ok());
    let last = stops.max_by_key(|worked| worked.choice.departs)?;
    Some(last.stage.documents.turnaround.pack.value.clone())
}

/// What is due; `None` where nothing was ever recorded.
pub(super) fn due_rows(shop: &Shop) -> Result<Option<Vec<Due>>, Failure> {
    let Some(judge) = judge(shop, None)? else { return Ok(None) };
    shop.yard(|ledger| Ok(due(ledger, &judge, None)))
}

/// `GET /yard?pack=PACK`
pub(super) async fn page(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let judge = judge(shop, pairs.given("pack"))?;
        let places = match &judge {
            Some(judge) => {
                shop.yard(|ledger| Ok((places(ledger, judge), due(ledger, judge, None))))?
            }
            None => None,
        };
        let (places, due) = places.unwrap_or_default();
        let rules = judge.map(|judge| judge.rules_name());
        let page = YardPage { rules, places, due };
        Ok(Reply::page(Place::Yard, "Yard", page.markup()))
    })
    .await
}

fn places(ledger: &crate::yard::Ledger, judge: &Judge) -> Vec<PlaceRow> {
    let mut names: Vec<String> =
        ledger.yard.containers().filter_map(|container| container.place.clone()).collect();
    names.sort();
    names.dedup();
    let day = judge.offset.to_datetime(judge.at).date();
    let place = |name: String| {
        let all = judged(ledger, judge, Some(&name));
        let grade = all.first().map_or("avgas", |one| one.facts.grade.as_str());
        let figures = judge.figures(grade);
        let data = picture::rack(&ledger.yard, &name, day, &all, &figures);
        let row = |one: &picture::Judged| DrumRow {
            id: one.facts.id.clone(),
            label: one.facts.label.clone(),
            batch: one.facts.batch.clone(),
            left: picture::litres(one.facts.left),
            state: one.state().word(),
            reason: one.reason(),
        };
        PlaceRow {
            picture: rack::rack(&data, Width::PHONE),
            drums: all.iter().map(row).collect(),
            name,
        }
    };
    names.into_iter().map(place).collect()
}

/// `GET /yard/batch?name=BATCH`
pub(super) async fn batch(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let name = pairs.text("name").to_owned();
        let page = shop.yard(|ledger| Ok(batch_page(&ledger.yard, &name)))?.flatten();
        let page = page.ok_or_else(|| {
            Failure::asked(format!("nothing is recorded of batch `{name}`"), "look at its spelling")
        })?;
        Ok(Reply::page(Place::Yard, format!("Batch {name}"), page.markup()))
    })
    .await
}

fn batch_page(yard: &Yard, name: &str) -> Option<BatchPage> {
    let found = yard.trace_batch(name)?;
    let day = Offset::UTC.to_datetime(world::now()).date();
    let list = |names: &std::collections::BTreeSet<&str>| {
        names.iter().map(|name| (*name).to_owned()).collect()
    };
    let drum = |container: &stillprop_ledger::yard::Container| {
        (container.id.to_string(), trace::label(container))
    };
    Some(BatchPage {
        name: name.to_owned(),
        picture: drawing::trace(&picture::trace(yard, name, day, &found), Width::PHONE),
        recalls: found
            .batch
            .iter()
            .flat_map(|batch| &batch.recalls)
            .map(|said| format!("{}: {}", trace::at(said.stamp.at_ms), said.what))
            .collect(),
        drums: found.containers.iter().map(|(container, _)| drum(container)).collect(),
        draws: found
            .draws
            .iter()
            .map(|(container, draw)| {
                let volume = picture::litres(convert::volume(draw.volume_ml));
                let (from, into) = (trace::label(container), trace::into(yard, draw));
                format!(
                    "{volume} from {from} {into}, {} by {}",
                    trace::at(draw.stamp.at_ms),
                    yard.text(draw.stamp.by)
                )
            })
            .collect(),
        flights: list(&found.flights),
        aircraft: list(&found.aircraft),
        hands: list(&found.hands),
    })
}

/// `GET /yard/record/VERB?drum=ID`
pub(super) async fn form(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(verb): Path<String>,
    Asked(pairs): Asked,
) -> Response {
    answer(shop, author, move |shop| {
        let form = Form::named(&verb).ok_or_else(no_verb)?;
        let page = recording(shop, form, &pairs, Vec::new())?;
        Ok(Reply::page(Place::Yard, form.title(), page.markup()))
    })
    .await
}

fn no_verb() -> Failure {
    Failure::asked("nothing of that name is recorded", "choose one on the page of a drum")
}

fn recording<'a>(
    shop: &Shop,
    form: Form,
    pairs: &'a Pairs,
    errors: Vec<(&'static str, String)>,
) -> Result<RecordPage<'a>, Failure> {
    let drum = pairs.text("drum");
    let label = shop.yard(|ledger| {
        let found = if drum.is_empty() { None } else { find(ledger, drum).ok() };
        Ok(found.map(trace::label))
    })?;
    Ok(RecordPage { form, pairs, errors, label: label.flatten(), token: world::new_id() })
}

/// `POST /yard/record/VERB`
pub(super) async fn record(
    State(shop): State<Arc<Shop>>,
    author: Author,
    Path(verb): Path<String>,
    Sent(pairs): Sent,
) -> Response {
    let by = author.clone();
    answer(shop, author, move |shop| {
        let form = Form::named(&verb).ok_or_else(no_verb)?;
        let by = by.required()?;
        let what = match form.stated(&pairs) {
            Ok(what) => what,
            Err(errors) => {
                let page = recording(shop, form, &pairs, errors)?;
                return Ok(Reply::page(Place::Yard, form.title(), page.markup()).wrong());
            }
        };
        let token = pairs.text("token").parse::<uuid::Uuid>().ok();
        let recorded = shop.yard_recording(|ledger| {
            let event = stated::event(&what, ledger, world::now())?;
            let subject = container(&event);
            ledger.record_once(&by, world::now(), event, token)?;
            ledger.keep_snapshot();
            Ok(subject)
        });
        match recorded {
            Ok(Some(id)) => Ok(Reply::Go(format!("/drum/{}", encoded(&id)))),
            Ok(None) => Ok(Reply::Go("/yard".to_owned())),
            Err(failure) => {
                let told = failure.told();
                let words = told.iter().map(|told| {
                    let help = told.help.as_deref().unwrap_or_default();
                    ("", format!("{}: {help}", told.message))
                });
                let page = recording(shop, form, &pairs, words.collect())?;
                Ok(Reply::page(Place::Yard, form.title(), page.markup()).wrong())
            }
        }
    })
    .await
}

/// The container that an event is about.
fn container(event: &stillprop_ledger::event::Event) -> Option<String> {
    let value = serde_json::to_value(event).ok()?;
    let fields = value.as_object()?.values().next()?;
    Some(fields.get("container")?.as_str()?.to_owned())
}
