//! The same answers as `--json` of the command line, under `/api`. One table has every address,
//! what answers it and what it says; the description for programs is made from it.

use std::sync::Arc;

use axum::{
    Router,
    extract::{RawPathParams, State},
    http::StatusCode,
    response::Response,
    routing::get,
};
use schemars::{JsonSchema, Schema, SchemaGenerator, generate::SchemaSettings, json_schema};
use serde::Serialize;
use serde_json::{Map, Value, json};
use stillprop_turnaround::sheet::check;

use super::{
    aboard, aftermath,
    author::Author,
    dates,
    form::{Asked, Pairs},
    reply::{Reply, answer, status},
    search,
    shop::{Shop, Worked},
    yard::judge,
};
use crate::{
    edit::stop::applied,
    load,
    problem::Failure,
    report::{
        answer::{self as answers, ground, ready, value},
        packs::built_in,
        search as searches,
        text::CAUTION,
        working,
    },
    sheet::begin::Made,
    yard::{
        convert, find, history,
        judge::{due_json, due_rows, judged, list_json, one_json},
        something_at, trace,
    },
};

/// An address and what answers it.
struct Endpoint {
    /// As the router has it.
    path: &'static str,
    /// What it answers.
    says: &'static str,
    /// The same on the command line.
    same_as: &'static str,
    /// What may be asked: name, whether it must be, what it is.
    asks: &'static [(&'static str, bool, &'static str)],
    answer: fn(&Shop, &str, &Pairs) -> Result<Value, Failure>,
    /// What the answer consists of.
    shape: fn(&mut SchemaGenerator) -> Schema,
}

/// An answer that consists of these.
fn shape<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// An answer whose parts are described elsewhere.
fn any(_: &mut SchemaGenerator) -> Schema {
    json_schema!({ "type": "object" })
}

const PACK: (&str, bool, &str) = ("pack", false, "rules to judge by; else those of the last stop");

/// What may be asked of a fit, as the options of the verb; names more than once where there are
/// several.
const FIT: [(&str, bool, &str); 10] = [
    ("fuel", false, "`stay`, `spread` or `change`"),
    ("step", false, "fuel is taken in whole steps of this"),
    ("seats-stay", false, "`on` where everyone keeps their seat"),
    ("keep", false, "a person or an item that stays"),
    ("together", false, "two people in one row, a comma between"),
    ("not-at-exit", false, "a person who does not sit next to an exit"),
    ("reach", false, "an item that must be reached in flight"),
    ("out-of-reach", false, "an item that must not be reached in flight"),
    ("ballast", false, "mass of one piece of ballast that could be taken"),
    ("pieces", false, "how many pieces there are, 1 to 9"),
];

const ENDPOINTS: &[Endpoint] = &[
    Endpoint {
        path: "/api/stops",
        says: "The turnarounds of the folder",
        same_as: "",
        asks: &[],
        answer: |shop, _, _| Ok(stops(shop)),
        shape: shape::<Stops>,
    },
    Endpoint {
        path: "/api/stop/{*name}",
        says: "One turnaround, assessed; fields of the page's form change it first",
        same_as: "stillprop ready FILE --json",
        asks: &[],
        answer: |shop, name, pairs| {
            let of = worked(shop, name, pairs)?;
            Ok(value(&ready::ready(&of.assessment, &of.units)))
        },
        shape: shape::<ready::Ready<'_>>,
    },
    Endpoint {
        path: "/api/why/{*name}",
        says: "The working of a limit or a number",
        same_as: "stillprop ready FILE --why NAME --json",
        asks: &[("limit", true, "name of the limit or number")],
        answer: explained,
        shape: shape::<ready::Why<'_>>,
    },
    Endpoint {
        path: "/api/ground/{*name}",
        says: "The aeroplane where it stands",
        same_as: "stillprop ground FILE --json",
        asks: &[],
        answer: |shop, name, pairs| {
            let of = worked(shop, name, pairs)?;
            Ok(value(&ground::ground(&of.assessment, &of.units)))
        },
        shape: shape::<ground::Ground<'_>>,
    },
    Endpoint {
        path: "/api/sheet/{*name}",
        says: "The run sheet",
        same_as: "stillprop sheet FILE --json",
        asks: &[],
        answer: sheet,
        shape: shape::<answers::sheet::Answer<'_>>,
    },
    Endpoint {
        path: "/api/ways-out/{*name}",
        says: "The smallest changes that mend it; fields of the page's form change it first",
        same_as: "stillprop ways-out FILE --json",
        asks: &[],
        answer: search::api::ways_out,
        shape: shape::<searches::ways_out::Answer<'_>>,
    },
    Endpoint {
        path: "/api/window/{*name}",
        says: "Times of departure at which every limit holds; fields as above",
        same_as: "stillprop window FILE --json",
        asks: &[],
        answer: search::api::window,
        shape: shape::<searches::window::Answer<'_>>,
    },
    Endpoint {
        path: "/api/odds/{*name}",
        says: "How likely every limit holds, by fewer draws; fields as above",
        same_as: "stillprop odds FILE --draws 12288 --json",
        asks: &[],
        answer: search::api::odds,
        shape: shape::<searches::odds::Answer<'_>>,
    },
    Endpoint {
        path: "/api/fit/{*name}",
        says: "Who sits where, what lies where, how much fuel in which tank; fields as above",
        same_as: "stillprop fit FILE --json",
        asks: &FIT,
        answer: search::api::fit,
        shape: shape::<searches::fit::Answer<'_>>,
    },
    Endpoint {
        path: "/api/park/{*name}",
        says: "Where it stands with the most room; fields as above",
        same_as: "stillprop park FILE --json",
        asks: &[],
        answer: search::api::park,
        shape: shape::<searches::park::Answer<'_>>,
    },
    Endpoint {
        path: "/api/yard",
        says: "The containers with their state",
        same_as: "stillprop yard list --json",
        asks: &[("place", false, "one place only"), PACK],
        answer: |shop, _, pairs| {
            let judge = judged_by(shop, pairs)?;
            recorded(shop.yard(|ledger| {
                something_at(ledger, pairs.given("place"))?;
                let all = judged(ledger, &judge, pairs.given("place"));
                Ok(list_json(&ledger.yard, &all))
            })?)
        },
        shape: shape::<answers::yard::Containers<'_>>,
    },
    Endpoint {
        path: "/api/due",
        says: "What is due or needs a hand",
        same_as: "stillprop yard due --json",
        asks: &[("place", false, "one place only"), PACK],
        answer: |shop, _, pairs| {
            let judge = judged_by(shop, pairs)?;
            recorded(shop.yard(|ledger| {
                something_at(ledger, pairs.given("place"))?;
                Ok(due_json(&due_rows(ledger, &judge, pairs.given("place"))))
            })?)
        },
        shape: shape::<answers::yard::Dues<'_>>,
    },
    Endpoint {
        path: "/api/drum/{*name}",
        says: "One container: facts, limits, history",
        same_as: "stillprop yard show DRUM --json",
        asks: &[PACK],
        answer: drum,
        shape: shape::<answers::yard::One<'_>>,
    },
    Endpoint {
        path: "/api/batch",
        says: "Where a batch went",
        same_as: "stillprop yard trace --batch BATCH --json",
        asks: &[("name", true, "the batch")],
        answer: |shop, _, pairs| {
            let name = pairs.text("name");
            let found = shop.yard(|ledger| {
                let found = ledger.yard.trace_batch(name);
                Ok(found.map(|found| trace::batch_json(&ledger.yard, name, &found)))
            })?;
            found.flatten().ok_or_else(|| nothing("batch", name))
        },
        shape: any,
    },
    Endpoint {
        path: "/api/flight",
        says: "What a flight flew on",
        same_as: "stillprop yard trace --flight FLIGHT --json",
        asks: &[("name", true, "the flight")],
        answer: |shop, _, pairs| {
            let name = pairs.text("name");
            let found = shop.yard(|ledger| {
                let found = ledger.yard.trace_flight(name);
                Ok(found.map(|found| trace::flight_json(&ledger.yard, name, &found)))
            })?;
            found.flatten().ok_or_else(|| nothing("flight", name))
        },
        shape: any,
    },
    Endpoint {
        path: "/api/screen",
        says: "Things in everyday words, against the tables of dangerous goods",
        same_as: "stillprop screen WORDS --json",
        asks: &[
            ("what", true, "what it is, several things with ; between"),
            ("in", false, "`person`, `cabin`, `reachable hold` or `hold`"),
            ("count", false, "how many"),
            ("approved", false, "`on` when it was approved"),
            ("pack", false, "rules; the strictest of all states when left out"),
        ],
        answer: aboard::api::words,
        shape: shape::<answers::screen::Screening<'_>>,
    },
    Endpoint {
        path: "/api/screen/{*name}",
        says: "What a turnaround declares of dangerous goods, with the answers",
        same_as: "stillprop screen FILE --json",
        asks: &[],
        answer: aboard::api::of_stop,
        shape: shape::<answers::screen::Screening<'_>>,
    },
    Endpoint {
        path: "/api/ask",
        says: "Questions to ask aloud about dangerous goods, and what to look for",
        same_as: "stillprop screen --ask --json",
        asks: &[("pack", false, "rules; the strictest of all states when left out")],
        answer: aboard::api::ask,
        shape: shape::<answers::screen::Questions<'_>>,
    },
    Endpoint {
        path: "/api/manifest/{*name}",
        says: "Who and what is aboard, and who is told what; fields of the page's form change it first",
        same_as: "stillprop manifest FILE --json",
        asks: &[],
        answer: aboard::api::manifest,
        shape: shape::<answers::manifest::Manifest<'_>>,
    },
    Endpoint {
        path: "/api/due/{*name}",
        says: "What must be in date at a stop",
        same_as: "stillprop due FILE --json",
        asks: &[],
        answer: dates::api::one,
        shape: shape::<answers::due::OfStop<'_>>,
    },
    Endpoint {
        path: "/api/due-everything",
        says: "What must be in date at every stop of the folder, the same thing once",
        same_as: "",
        asks: &[],
        answer: dates::api::all,
        shape: shape::<answers::due::OfFolder>,
    },
    Endpoint {
        path: "/api/report/{*name}",
        says: "After an event at a stop: who is told by when, what to keep, a draft",
        same_as: "stillprop report EVENT FILE --json",
        asks: &[
            ("event", true, "`spill`, `wrong-fuel`, `injury`, `propeller-strike` or `runaway`"),
            ("at", false, "day and time, by the clock of the place or with an offset"),
            ("seen", false, "what was seen, a line for each"),
        ],
        answer: aftermath::api,
        shape: shape::<answers::event::Report<'_>>,
    },
    Endpoint {
        path: "/api/packs",
        says: "The rule packs in the program",
        same_as: "stillprop packs --json",
        asks: &[],
        answer: |_, _, _| Ok(value(&answers::packs::list(&built_in()?))),
        shape: shape::<answers::packs::Packs<'_>>,
    },
    Endpoint {
        path: "/api/pack/{*name}",
        says: "The figures of a pack or a combination",
        same_as: "stillprop packs NAME --json",
        asks: &[],
        answer: |shop, name, _| {
            let here = shop.folder.draft("pack", String::new())?;
            Ok(value(&answers::packs::figures(&load::rules_for(name, Some(&here))?)))
        },
        shape: shape::<answers::packs::Figures<'_>>,
    },
    Endpoint {
        path: "/api/openapi.json",
        says: "This description",
        same_as: "",
        asks: &[],
        answer: |_, _, _| Ok(description()),
        shape: any,
    },
];

/// Every address of the table.
pub(super) fn router() -> Router<Arc<Shop>> {
    ENDPOINTS.iter().fold(Router::new(), |router, endpoint| {
        let handler = move |State(shop): State<Arc<Shop>>,
                            author: Author,
                            params: RawPathParams,
                            Asked(pairs): Asked| async move {
            let name = params.iter().next().map_or_else(String::new, |(_, name)| name.to_owned());
            given(shop, author, endpoint, name, pairs).await
        };
        router.route(endpoint.path, get(handler))
    })
}

async fn given(
    shop: Arc<Shop>,
    author: Author,
    endpoint: &'static Endpoint,
    name: String,
    pairs: Pairs,
) -> Response {
    answer(shop, author, move |shop| {
        Ok(match (endpoint.answer)(shop, &name, &pairs) {
            Ok(value) => Reply::Json(value, StatusCode::OK),
            Err(failure) => {
                let mut errors = failure.json();
                for error in &mut errors {
                    if let Some(file) = error["file"].as_str() {
                        error["file"] = shop.folder.shown(file).into();
                    }
                }
                let value = json!({ "errors": errors, "caution": CAUTION });
                Reply::Json(value, status(&failure))
            }
        })
    })
    .await
}

/// The turnarounds of the folder.
#[derive(Debug, JsonSchema, Serialize)]
struct Stops {
    stops: Vec<Stop>,
    /// What every answer carries.
    caution: &'static str,
}

/// A turnaround in short.
#[derive(Debug, JsonSchema, Serialize)]
#[serde(untagged)]
enum Stop {
    /// It is worked out.
    Worked {
        /// Its name, for the other addresses.
        name: String,
        title: String,
        /// Ready on what is assessed.
        ready: bool,
        /// Chocks off, in universal time.
        departs: String,
        /// Its tightest limit.
        #[schemars(with = "Option<ready::Limit<'_>>")]
        tightest: Option<Value>,
    },
    /// It cannot be read.
    Broken {
        name: String,
        /// How many things are wrong with it.
        errors: usize,
    },
}

fn stops(shop: &Shop) -> Value {
    let names = shop.folder.list().into_iter().filter(|entry| entry.kind == "turnaround");
    let row = |entry: super::folder::Entry| match shop.worked(&entry.name) {
        Ok(of) => Stop::Worked {
            name: entry.name,
            title: of.assessment.title.clone(),
            ready: of.assessment.ready(),
            departs: of.choice.departs.to_string(),
            tightest: (of.assessment.limits.first())
                .map(|limit| value(&ready::limit(limit, &of.units))),
        },
        Err(failure) => Stop::Broken { name: entry.name, errors: failure.json().len() },
    };
    value(&Stops { stops: names.map(row).collect(), caution: CAUTION })
}

/// A turnaround as saved, or as the fields of an address change it.
pub(super) fn worked(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Arc<Worked>, Failure> {
    let saved = shop.worked(name)?;
    let text = applied(&saved.source.text, &pairs.0);
    if text == saved.source.text {
        return Ok(saved);
    }
    Ok(Arc::new(shop.work(shop.folder.draft(name, text)?)?))
}

fn explained(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
    let (of, limit) = (worked(shop, name, pairs)?, pairs.text("limit"));
    let found = working::find(&of.stage, &of.choice, &of.units, limit)?;
    Ok(value(&ready::why(&found, &of.units)))
}

fn sheet(shop: &Shop, name: &str, _: &Pairs) -> Result<Value, Failure> {
    // As saved alone: trying every order takes long, and is done once for each document.
    let of = shop.worked(name)?;
    let made = Made::of(&of.source, &of.stage, &of.choice, None)?;
    Ok(match of.checked.get_or_init(|| check(&made.sheet)) {
        Ok(checked) => value(&answers::sheet::sheet(&made.head, &made.sheet, checked)),
        Err(trouble) => value(&answers::sheet::trouble(&made.head, trouble)),
    })
}

fn drum(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
    let judge = judged_by(shop, pairs)?;
    recorded(shop.yard(|ledger| {
        let container = find(ledger, name)?;
        let id = container.id;
        let facts = convert::container(&ledger.yard, container);
        let facts = facts.ok_or_else(|| {
            Failure::asked("this container was never received", "record that it came in")
        })?;
        let one = judge.judge(facts);
        let history = history::read(ledger, id)?;
        Ok(one_json(&ledger.yard, &one, &history))
    })?)
}

fn judged_by(shop: &Shop, pairs: &Pairs) -> Result<crate::yard::judge::Judge, Failure> {
    judge(shop, pairs.given("pack"))?.ok_or_else(|| {
        Failure::asked(
            "it is not said by which rules",
            "add ?pack=au, or a turnaround that names some",
        )
    })
}

fn recorded(value: Option<Value>) -> Result<Value, Failure> {
    value.ok_or_else(|| {
        Failure::asked("nothing is recorded of a yard yet", "record something first")
    })
}

fn nothing(kind: &str, name: &str) -> Failure {
    Failure::asked(format!("nothing is recorded of {kind} `{name}`"), "look at its spelling")
}

/// The description of all this for programs, as OpenAPI 3.1. Every schema is made from the type
/// that the answer is made of.
fn description() -> Value {
    let settings = SchemaSettings::draft2020_12()
        .with(|settings| settings.definitions_path = "/components/schemas".into())
        .for_serialize();
    let mut generator = SchemaGenerator::new(settings);
    let paths: Map<String, Value> = ENDPOINTS
        .iter()
        .map(|endpoint| {
            let path = endpoint.path.replace("{*name}", "{name}");
            (path, json!({ "get": operation(endpoint, &mut generator) }))
        })
        .collect();
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Stillprop",
            "version": env!("CARGO_PKG_VERSION"),
            "description": CAUTION,
        },
        "paths": paths,
        "components": { "schemas": generator.take_definitions(true) },
    })
}

fn operation(endpoint: &Endpoint, generator: &mut SchemaGenerator) -> Value {
    let mut asks: Vec<Value> = Vec::new();
    if endpoint.path.contains("{*name}") {
        asks.push(json!({
            "name": "name", "in": "path", "required": true, "schema": { "type": "string" },
            "description": "a name of the folder, parts between slashes as they are",
        }));
    }
    asks.extend(endpoint.asks.iter().map(|(name, required, says)| {
        json!({
            "name": name, "in": "query", "required": required, "description": says,
            "schema": { "type": "string" },
        })
    }));
    let answer = |says: &str, schema: &Schema| {
        json!({
            "description": says,
            "content": { "application/json": { "schema": schema } },
        })
    };
    let (own, errors) = ((endpoint.shape)(generator), shape::<answers::Errors>(generator));
    let mut operation = json!({
        "summary": endpoint.says,
        "parameters": asks,
        "responses": {
            "200": answer("the answer; quantities are objects with value and unit", &own),
            "404": answer("there is nothing of that name", &errors),
            "422": answer("errors, each with file, line, message and help", &errors),
        },
    });
    if !endpoint.same_as.is_empty() {
        operation["description"] = format!("the same as `{}`", endpoint.same_as).into();
    }
    operation
}

#[cfg(test)]
mod tests {
    use std::{env, fs, path::Path};

    use super::*;

    /// Written anew with `UPDATE=1`.
    #[test]
    fn the_committed_description_is_current() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/openapi.json");
        let now = format!("{:#}\n", description());
        if env::var_os("UPDATE").is_some() {
            fs::write(&path, &now).unwrap();
        }
        assert_eq!(fs::read_to_string(&path).unwrap_or_default(), now, "run it with UPDATE=1");
    }
}
