//! `check` and `schema`: the demonstration against both.

use std::fs;

use boon::{Compiler, SchemaIndex, Schemas};
use serde_json::{Value, json};
use stillprop_rules::builtin;

use crate::program::{Folder, documents, root, stillprop, text};

const KINDS: [&str; 5] = ["aircraft", "strip", "turnaround", "day", "pack"];

/// The schemas of the program, ready to judge.
struct Judge {
    schemas: Schemas,
    of: Vec<(&'static str, SchemaIndex)>,
}

impl Judge {
    fn new() -> Self {
        let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
        let of = KINDS.map(|kind| {
            let schema = stillprop(&["schema", kind]).ends(0).json();
            let name = format!("{kind}.schema.json");
            compiler.add_resource(&name, schema).unwrap();
            let index = compiler.compile(&name, &mut schemas);
            (kind, index.unwrap_or_else(|why| panic!("{kind}: {why:#}")))
        });
        Self { schemas, of: of.to_vec() }
    }

    /// Ok, or what the schema of that kind finds wrong.
    fn judge(&self, kind: &str, document: &Value) -> Result<(), String> {
        let (_, index) = self.of.iter().find(|(of, _)| *of == kind).unwrap();
        self.schemas.validate(document, *index).map_err(|error| format!("{error:#}"))
    }
}

/// A TOML text as the JSON a schema sees; a date is a text there.
fn as_json(text: &str) -> Value {
    fn value(toml: toml::Value) -> Value {
        match toml {
            toml::Value::String(text) => json!(text),
            toml::Value::Integer(number) => json!(number),
            toml::Value::Float(number) => json!(number),
            toml::Value::Boolean(truth) => json!(truth),
            toml::Value::Datetime(date) => json!(date.to_string()),
            toml::Value::Array(list) => list.into_iter().map(value).collect(),
            toml::Value::Table(fields) => {
                fields.into_iter().map(|(key, field)| (key, value(field))).collect()
            }
        }
    }
    value(toml::Value::Table(text.parse().unwrap()))
}

/// Path and text of every document there is: the demonstration and the packs.
fn all() -> Vec<(String, String)> {
    let read = |path: String| {
        let text = fs::read_to_string(root().join(&path)).unwrap();
        (path, text)
    };
    let packs = builtin::builtin().iter();
    let packs = packs.map(|(id, text)| (format!("packs/{id}/pack.toml"), (*text).to_owned()));
    documents().into_iter().map(read).chain(packs).collect()
}

#[test]
fn every_demo_document_and_pack_passes_check() {
    let folder = Folder::new();
    for (path, text) in all() {
        folder.write(&path, text.as_bytes());
    }
    let all = all();
    let paths: Vec<&str> = all.iter().map(|(path, _)| path.as_str()).collect();
    assert!(paths.len() >= 16, "{paths:?}");
    let args = [&["check"][..], &paths].concat();
    let page = folder.run(&args).ends(0).out;
    for (path, text) in &all {
        let kind = as_json(text)["kind"].as_str().unwrap().to_owned();
        assert!(page.contains(&format!("reads well  {kind:<10}  {path}\n")), "{page}");
    }
    let answer = folder.run(&[&args[..], &["--json"]].concat()).ends(0).json();
    assert_eq!(answer["read"].as_array().unwrap().len(), all.len());
}

#[test]
fn one_bad_document_among_good_ones_fails_the_check_and_only_it_is_named() {
    let folder = Folder::with_demo();
    folder.edit("demo/strips/oumbrel.toml", "kind = \"strip\"", "kind = \"strip\"\nlenght = 1");
    let args = ["check", "demo/strips/oumbrel.toml", "demo/strips/nessow-top.toml"];
    let page = folder.run(&args).ends(2);
    assert!(page.err.contains("lenght") && !page.err.contains("nessow"), "{}", page.err);
}

#[test]
fn every_document_meets_the_schema_of_its_kind() {
    let judge = Judge::new();
    for (path, text) in all() {
        let document = as_json(&text);
        let kind = document["kind"].as_str().unwrap().to_owned();
        judge.judge(&kind, &document).unwrap_or_else(|why| panic!("{path}: {why}"));
    }
}

#[test]
fn a_document_meets_the_schema_of_no_other_kind() {
    let judge = Judge::new();
    for (path, text) in all() {
        let document = as_json(&text);
        for kind in KINDS.iter().filter(|kind| document["kind"] != **kind) {
            assert!(judge.judge(kind, &document).is_err(), "{path} as {kind}");
        }
    }
}

#[test]
fn a_schema_refuses_what_the_reader_refuses() {
    let judge = Judge::new();
    let texts: Vec<(String, String)> = all();
    let text = |path: &str| &texts.iter().find(|(name, _)| name == path).unwrap().1;
    for (path, from, to) in [
        ("demo/turnarounds/ready.toml", "stop = \"35 min\"", "stop = 35"),
        ("demo/turnarounds/ready.toml", "role = \"pilot\"", "role = \"stoker\""),
        ("demo/turnarounds/ready.toml", "format = 1", "format = 2"),
        ("demo/turnarounds/ready.toml", "title = ", "titel = "),
        ("demo/turnarounds/ready.toml", "take_off = \"15\"\n", ""),
        ("demo/turnarounds/ready.toml", "kind = \"turnaround\"", "kind = \"strip\""),
        ("demo/strips/oumbrel.toml", "format = 1", "format = 1\nlength = \"900 m\""),
    ] {
        let text = text(path);
        assert_eq!(text.matches(from).count(), 1, "{path}: {from}");
        let edited = text.replace(from, to);
        let folder = Folder::with_demo();
        folder.write(path, edited.as_bytes());
        folder.run(&["check", path]).ends(2);
        let kind = as_json(text)["kind"].as_str().unwrap().to_owned();
        assert!(judge.judge(&kind, &as_json(&edited)).is_err(), "{path}: {to}");
    }
}

#[test]
fn the_schemas_in_the_docs_are_the_ones_the_program_prints() {
    for kind in KINDS {
        let file = root().join("docs/schema").join(format!("{kind}.schema.json"));
        let written = fs::read_to_string(&file).unwrap();
        let said = stillprop(&["schema", kind]).ends(0).out;
        assert!(written == said, "{kind}: mend with cargo xtask schemas");
        let schema: Value = serde_json::from_str(&said).unwrap();
        assert!(text(&schema, "$schema").ends_with("2020-12/schema"), "{kind}");
    }
}
