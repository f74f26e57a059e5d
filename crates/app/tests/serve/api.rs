//! Answers for programs: each is what the description of the API says, to the field.

use boon::{Compiler, Schemas};
use serde_json::{Value, json};

use super::server::Server;

/// Names and questions for every address that takes any, several for those whose answers differ.
const ASKED: [(&str, &str); 49] = [
    ("/api/stops", "/api/stops"),
    ("/api/stop/{name}", "/api/stop/turnarounds/ready"),
    ("/api/stop/{name}", "/api/stop/turnarounds/missing"),
    ("/api/stop/{name}", "/api/stop/turnarounds/last-light"),
    ("/api/why/{name}", "/api/why/turnarounds/ready?limit=strip.take-off-distance"),
    ("/api/why/{name}", "/api/why/turnarounds/ready?limit=load.balance.ramp"),
    ("/api/ground/{name}", "/api/ground/turnarounds/ready"),
    ("/api/ground/{name}", "/api/ground/turnarounds/missing"),
    ("/api/ground/{name}", "/api/ground/turnarounds/crowded-apron"),
    ("/api/ground/{name}", "/api/ground/turnarounds/spill"),
    ("/api/ground/{name}", "/api/ground/turnarounds/hand-start"),
    ("/api/sheet/{name}", "/api/sheet/turnarounds/ready"),
    ("/api/yard", "/api/yard"),
    ("/api/due", "/api/due"),
    ("/api/drum/{name}", "/api/drum/B-1"),
    ("/api/batch", "/api/batch?name=BATCH"),
    ("/api/screen", "/api/screen?what=hairspray%20300%20mL;petrol;wooden%20leg&in=cabin"),
    ("/api/screen", "/api/screen"),
    ("/api/screen", "/api/screen?what=phone&in=moon"),
    ("/api/screen/{name}", "/api/screen/turnarounds/ready"),
    ("/api/ask", "/api/ask?pack=au"),
    ("/api/manifest/{name}", "/api/manifest/turnarounds/ready"),
    ("/api/manifest/{name}", "/api/manifest/turnarounds/missing"),
    ("/api/due/{name}", "/api/due/turnarounds/ready"),
    ("/api/due/{name}", "/api/due/turnarounds/missing"),
    ("/api/due-everything", "/api/due-everything"),
    ("/api/report/{name}", "/api/report/turnarounds/ready?event=spill&at=2026-12-03%2013:20"),
    ("/api/report/{name}", "/api/report/turnarounds/ready?event=nothing"),
    ("/api/manifest/{name}", "/api/manifest/nothing"),
    ("/api/packs", "/api/packs"),
    ("/api/pack/{name}", "/api/pack/demo-operator+au"),
    ("/api/openapi.json", "/api/openapi.json"),
    ("/api/flight", "/api/flight?name=FLIGHT"),
    ("/api/stop/{name}", "/api/stop/nothing"),
    ("/api/pack/{name}", "/api/pack/nothing"),
    ("/api/ways-out/{name}", "/api/ways-out/turnarounds/over-mass"),
    ("/api/ways-out/{name}", "/api/ways-out/turnarounds/missing"),
    ("/api/window/{name}", "/api/window/turnarounds/last-light"),
    ("/api/window/{name}", "/api/window/turnarounds/over-mass"),
    ("/api/odds/{name}", "/api/odds/turnarounds/ready"),
    ("/api/odds/{name}", "/api/odds/turnarounds/over-mass"),
    ("/api/fit/{name}", "/api/fit/turnarounds/mid-burn"),
    ("/api/fit/{name}", "/api/fit/turnarounds/mid-burn?ballast=10+kg&pieces=2"),
    ("/api/fit/{name}", "/api/fit/turnarounds/over-mass?fuel=stay"),
    ("/api/fit/{name}", "/api/fit/turnarounds/missing"),
    ("/api/fit/{name}", "/api/fit/turnarounds/mid-burn?fuel=nonsense"),
    ("/api/park/{name}", "/api/park/turnarounds/crowded-apron"),
    ("/api/park/{name}", "/api/park/turnarounds/spill"),
    ("/api/park/{name}", "/api/park/nothing"),
];

/// The schema of an answer, with all that it refers to.
fn schema(description: &Value, path: &str, status: u16) -> Value {
    let answer = &description["paths"][path]["get"]["responses"][status.to_string()];
    let mut schema = answer["content"]["application/json"]["schema"].clone();
    assert!(schema.is_object(), "{path} says nothing of {status}");
    schema["components"] = description["components"].clone();
    schema
}

/// No other field is taken than those that are described.
fn closed(schema: &mut Value) {
    let Value::Object(fields) = schema else {
        if let Value::Array(all) = schema {
            all.iter_mut().for_each(closed);
        }
        return;
    };
    if !fields.contains_key("properties") {
        return fields.values_mut().for_each(closed);
    }
    if !fields.contains_key("additionalProperties") {
        fields.insert("unevaluatedProperties".to_owned(), json!(false));
    }
    // Alternatives beside fields see the fields too: they stay open, what is in them does not.
    for (key, inner) in fields.iter_mut() {
        match inner {
            Value::Array(all) if key == "anyOf" || key == "oneOf" => {
                for one in all.iter_mut().filter_map(|one| one.get_mut("properties")) {
                    closed(one);
                }
            }
            inner => closed(inner),
        }
    }
}

#[test]
fn every_answer_is_what_the_description_says() {
    let server = Server::demo();
    let description: Value =
        serde_json::from_str(&server.get("/api/openapi.json").is(200).body).unwrap();
    let paths = description["paths"].as_object().unwrap();
    let named = |path: &str| ASKED.iter().any(|(of, _)| *of == path);
    assert!(paths.keys().all(|path| named(path)), "an address is not asked");
    for (path, ask) in ASKED {
        let reply = server.search(ask);
        let answer: Value = serde_json::from_str(&reply.body).unwrap();
        let mut schema = schema(&description, path, reply.status);
        let described = schema["type"] != "object" || schema["properties"].is_object();
        if described {
            closed(&mut schema);
        }
        let mut compiler = Compiler::new();
        compiler.add_resource("answer.json", schema).unwrap();
        let mut schemas = Schemas::new();
        let index = compiler.compile("answer.json", &mut schemas).unwrap();
        if let Err(wrong) = schemas.validate(&answer, index) {
            panic!("{ask}: {wrong:#}");
        }
    }
}
