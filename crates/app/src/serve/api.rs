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
use serde_json::{Map, Value, json};
use stillprop_rules::document::did_you_mean;
use stillprop_turnaround::{assess::why, sheet::check};

use super::{
    author::Author,
    form::{Asked, Pairs},
    reply::{Reply, answer, status},
    shop::{Shop, Worked},
    yard::judge,
};
use crate::{
    edit::stop::applied,
    load,
    problem::Failure,
    report::{ground, json as shown, packs, sheet_json, text::CAUTION},
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
}

const PACK: (&str, bool, &str) = ("pack", false, "rules to judge by; else those of the last stop");

const ENDPOINTS: &[Endpoint] = &[
    Endpoint {
        path: "/api/stops",
        says: "The turnarounds of the folder",
        same_as: "",
        asks: &[],
        answer: |shop, _, _| Ok(stops(shop)),
    },
    Endpoint {
        path: "/api/stop/{*name}",
        says: "One turnaround, assessed; fields of the page's form change it first",
        same_as: "stillprop ready FILE --json",
        asks: &[],
        answer: |shop, name, pairs| {
            let of = worked(shop, name, pairs)?;
            Ok(shown::assessment(&of.assessment, &of.units))
        },
    },
    Endpoint {
        path: "/api/why/{*name}",
        says: "The working of one limit",
        same_as: "stillprop ready FILE --why LIMIT --json",
        asks: &[("limit", true, "name of the limit")],
        answer: explained,
    },
    Endpoint {
        path: "/api/ground/{*name}",
        says: "The aeroplane where it stands",
        same_as: "stillprop ground FILE --json",
        asks: &[],
        answer: |shop, name, pairs| {
            let of = worked(shop, name, pairs)?;
            Ok(ground::json(&of.assessment, &of.units))
        },
    },
    Endpoint {
        path: "/api/sheet/{*name}",
        says: "The run sheet",
        same_as: "stillprop sheet FILE --json",
        asks: &[],
        answer: sheet,
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
    },
    Endpoint {
        path: "/api/drum/{*name}",
        says: "One container: facts, limits, history",
        same_as: "stillprop yard show DRUM --json",
        asks: &[PACK],
        answer: drum,
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
    },
    Endpoint {
        path: "/api/packs",
        says: "The rule packs in the program",
        same_as: "stillprop packs --json",
        asks: &[],
        answer: |_, _, _| Ok(packs::list_json(&packs::built_in()?)),
    },
    Endpoint {
        path: "/api/pack/{*name}",
        says: "The figures of a pack or a combination",
        same_as: "stillprop packs NAME --json",
        asks: &[],
        answer: |shop, name, _| {
            let here = shop.folder.draft("pack", String::new())?;
            Ok(packs::figures_json(&load::rules_for(name, Some(&here))?))
        },
    },
    Endpoint {
        path: "/api/openapi.json",
        says: "This description",
        same_as: "",
        asks: &[],
        answer: |_, _, _| Ok(description()),
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

fn stops(shop: &Shop) -> Value {
    let names = shop.folder.list().into_iter().filter(|entry| entry.kind == "turnaround");
    let row = |entry: super::folder::Entry| match shop.worked(&entry.name) {
        Ok(of) => json!({
            "name": entry.name,
            "title": of.assessment.title,
            "ready": of.assessment.ready(),
            "departs": of.choice.departs.to_string(),
            "tightest": of.assessment.limits.first().map(|limit| shown::limit(limit, &of.units)),
        }),
        Err(failure) => json!({ "name": entry.name, "errors": failure.json().len() }),
    };
    json!({ "stops": names.map(row).collect::<Vec<_>>(), "caution": CAUTION })
}

/// A turnaround as saved, or as the fields of an address change it.
fn worked(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Arc<Worked>, Failure> {
    let saved = shop.worked(name)?;
    let text = applied(&saved.source.text, &pairs.0);
    if text == saved.source.text {
        return Ok(saved);
    }
    Ok(Arc::new(shop.work(shop.folder.draft(name, text)?)?))
}

fn explained(shop: &Shop, name: &str, pairs: &Pairs) -> Result<Value, Failure> {
    let (of, limit) = (worked(shop, name, pairs)?, pairs.text("limit"));
    let found = why(&of.stage, &of.choice, &of.units, limit).map_err(|names| {
        let known: Vec<&str> = names.iter().map(String::as_str).collect();
        Failure::asked(format!("there is no limit `{limit}` here"), did_you_mean(limit, &known))
    })?;
    Ok(shown::explained(&found, &of.units))
}

fn sheet(shop: &Shop, name: &str, _: &Pairs) -> Result<Value, Failure> {
    // As saved alone: trying every order takes long, and is done once for each document.
    let of = shop.worked(name)?;
    let made = Made::of(&of.source, &of.stage, &of.choice, None)?;
    Ok(match of.checked.get_or_init(|| check(&made.sheet)) {
        Ok(checked) => sheet_json::sheet(&made.head, &made.sheet, checked),
        Err(trouble) => sheet_json::trouble(&made.head, trouble),
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

/// The description of all this for programs, as OpenAPI 3.1.
fn description() -> Value {
    let mut paths = Map::new();
    for endpoint in ENDPOINTS {
        let named = endpoint.path.contains("{*name}");
        let mut asks: Vec<Value> = Vec::new();
        if named {
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
        let answer = |says: &str| {
            json!({
                "description": says,
                "content": { "application/json": { "schema": { "type": "object" } } },
            })
        };
        let mut operation = json!({
            "summary": endpoint.says,
            "parameters": asks,
            "responses": {
                "200": answer("the answer; quantities are objects with value and unit"),
                "404": answer("there is nothing of that name"),
                "422": answer("errors, each with file, line, message and help"),
            },
        });
        if !endpoint.same_as.is_empty() {
            operation["description"] = format!("the same as `{}`", endpoint.same_as).into();
        }
        let path = endpoint.path.replace("{*name}", "{name}");
        paths.insert(path, json!({ "get": operation }));
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Stillprop",
            "version": env!("CARGO_PKG_VERSION"),
            "description": CAUTION,
        },
        "paths": paths,
    })
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
