//! The yard: its racks, what is due, batches, and what people record. All judged and recorded by
//! the code of the command line.

use std::sync::Arc;

use axum::{
    extract::{Path, State},
    response::Response,
};
use jiff::tz::Offset;
use stillprop_draw::{Width, rack, trace as drawing};
use stillprop_ledger::yard::{Batch, Yard};

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
        offered::Against,
        record::{Errors, Form, RecordPage},
        yard::{BatchPage, DrumRow, PlaceRow, YardPage},
    },
    problem::Failure,
    world,
    yard::{
        Ledger, convert, find,
        history::{self, Past},
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
    let records = author.records_yard;
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
        let page = YardPage { rules, places, due, records };
        Ok(Reply::page(Place::Yard, "Yard", page.markup()))
    })
    .await
}

fn places(ledger: &Ledger, judge: &Judge) -> Vec<PlaceRow> {
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
    let records = author.records_yard;
    answer(shop, author, move |shop| {
        let name = pairs.text("name").to_owned();
        let page = shop.yard(|ledger| Ok(batch_page(&ledger.yard, &name, records)))?.flatten();
        let page = page.ok_or_else(|| {
            Failure::asked(format!("nothing is recorded of batch `{name}`"), "look at its spelling")
        })?;
        Ok(Reply::page(Place::Yard, format!("Batch {name}"), page.markup()))
    })
    .await
}

fn batch_page(yard: &Yard, name: &str, records: bool) -> Option<BatchPage> {
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
        said: found.batch.into_iter().flat_map(said).collect(),
        records,
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

/// What was said of a batch as a whole: whether it is a recall, the words, the record.
fn said(batch: &Batch) -> Vec<(bool, String, String)> {
    let recalls = batch.recalls.iter().map(|said| {
        let words = format!("{}: {}", trace::at(said.stamp.at_ms), said.what);
        (true, words, said.stamp.record.to_string())
    });
    let tests = batch.retests.iter().map(|said| {
        let what = if said.what.passed { "passed its test" } else { "FAILED its test" };
        (false, format!("{what} on {}", said.what.on.0), said.stamp.record.to_string())
    });
    recalls.chain(tests).collect()
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
        let mut pairs = pairs;
        pairs.0.extend(known(shop, form, &pairs)?);
        let page = recording(shop, form, &pairs, Vec::new())?;
        Ok(Reply::page(Place::Yard, form.title(), page.markup()))
    })
    .await
}

fn no_verb() -> Failure {
    Failure::asked("nothing of that name is recorded", "choose one on the page of a drum")
}

/// What the ledger knows already of what a form asks, for fields that nobody has filled in.
fn known(shop: &Shop, form: Form, pairs: &Pairs) -> Result<Vec<(String, String)>, Failure> {
    let pair = |name: &str, text: String| (name.to_owned(), text);
    Ok(match form {
        // A drum holds what a drum holds until somebody says otherwise.
        Form::Receive => vec![pair("capacity", "216.5".into())],
        Form::Move => {
            let here = shop.yard(|ledger| {
                let found = find(ledger, pairs.text("drum"));
                Ok(found.ok().map(|it| (it.place.clone(), it.rack.clone())))
            })?;
            let (place, rack) = here.flatten().unwrap_or_default();
            vec![pair("place", place.unwrap_or_default()), pair("rack", rack.unwrap_or_default())]
        }
        Form::Correct => {
            let event = wrong(shop, pairs)?.and_then(|past| past.answer.event);
            let event = event.map(|event| format!("{event:#}"));
            vec![pair("instead", event.unwrap_or_default())]
        }
        _ => Vec::new(),
    })
}

/// The record that is said to be wrong; `None` when there is none of that id in the yard.
fn wrong(shop: &Shop, pairs: &Pairs) -> Result<Option<Past>, Failure> {
    let Ok(id) = pairs.text("record").parse() else { return Ok(None) };
    Ok(shop.yard(|ledger| history::one(ledger, id))?.flatten())
}

fn recording<'a>(
    shop: &Shop,
    form: Form,
    pairs: &'a Pairs,
    errors: Errors,
) -> Result<RecordPage<'a>, Failure> {
    let (label, against) = about(shop, form, pairs)?;
    Ok(RecordPage { form, pairs, errors, label, against, token: world::new_id() })
}

/// What a form is about, in words, and why it is not offered now.
fn about(
    shop: &Shop,
    form: Form,
    pairs: &Pairs,
) -> Result<(Option<String>, Option<Against>), Failure> {
    if form == Form::Correct {
        let wrong = wrong(shop, pairs)?.map(|past| past.said);
        let against = wrong.is_none().then(|| {
            (
                "there is no such record in the yard".to_owned(),
                "choose one in the history of a container, or on the page of its batch".to_owned(),
            )
        });
        return Ok((wrong, against));
    }
    let drum = pairs.text("drum");
    let found = shop.yard(|ledger| {
        let found = if drum.is_empty() { None } else { find(ledger, drum).ok() };
        Ok(found.map(|it| (trace::label(it), form.against(it))))
    })?;
    Ok(found.flatten().map_or((None, None), |(label, against)| (Some(label), against)))
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
        let again = |errors| {
            let page = recording(shop, form, &pairs, errors)?;
            Ok(Reply::page(Place::Yard, form.title(), page.markup()).wrong())
        };
        let what = match form.stated(&pairs) {
            Ok(what) => what,
            Err(errors) => return again(errors),
        };
        let token = pairs.text("token").parse::<uuid::Uuid>().ok();
        let recorded = shop.yard_recording(|ledger| {
            // Sent twice it is kept once: what stood against it then does not count.
            if token.is_some_and(|token| matches!(history::one(ledger, token), Ok(Some(_)))) {
                return Ok(Some(None));
            }
            if about_now(ledger, form, &pairs) {
                return Ok(None);
            }
            let event = stated::event(&what, ledger, world::now())?;
            let subject = container(&event);
            ledger.record_once(&by, world::now(), event, token)?;
            ledger.keep_snapshot();
            Ok(Some(subject))
        });
        match recorded {
            Ok(Some(id)) => Ok(Reply::Go(back(id.as_deref(), &pairs))),
            Ok(None) => again(Vec::new()),
            Err(failure) => {
                let told = failure.told();
                let words = told.iter().map(|told| {
                    let help = told.help.as_deref().unwrap_or_default();
                    ("", format!("{}: {help}", told.message))
                });
                again(words.collect())
            }
        }
    })
    .await
}

/// Whether something stands against a form as the ledger is now.
fn about_now(ledger: &Ledger, form: Form, pairs: &Pairs) -> bool {
    if form == Form::Correct {
        let id = pairs.text("record").parse().unwrap_or_default();
        return !matches!(history::one(ledger, id), Ok(Some(_)));
    }
    find(ledger, pairs.text("drum")).is_ok_and(|it| form.against(it).is_some())
}

/// Where somebody goes on who has recorded something.
fn back(container: Option<&str>, pairs: &Pairs) -> String {
    match (container.or_else(|| pairs.given("drum")), pairs.given("batch")) {
        (Some(id), _) => format!("/drum/{}", encoded(id)),
        (None, Some(batch)) => format!("/yard/batch?name={}", encoded(batch)),
        (None, None) => "/yard".to_owned(),
    }
}

/// The container that an event is about.
fn container(event: &stillprop_ledger::event::Event) -> Option<String> {
    let value = serde_json::to_value(event).ok()?;
    let fields = value.as_object()?.values().next()?;
    Some(fields.get("container")?.as_str()?.to_owned())
}
