//! `check` and `schema`: documents without an assessment.

use clap::Args;
use serde_json::{Value, json};
use stillprop_turnaround::document::{Document, KINDS, read_any, schema as schema_of};

use super::Answer;
use crate::{
    load::{self, in_source},
    problem::Failure,
    report::text::CAUTION,
    world,
};

/// Options of `check`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// Documents of any kind; a turnaround or a day is checked with everything it names
    #[arg(required = true)]
    files: Vec<String>,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Options of `schema`.
#[derive(Args, Debug)]
pub(super) struct SchemaOptions {
    /// Which kind of document
    #[arg(value_parser = KINDS)]
    kind: String,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let mut failure = Failure::default();
    let mut read = Vec::new();
    for file in &options.files {
        match one(file) {
            Ok(kind) => read.push((file.clone(), kind)),
            Err(other) => failure.join(other),
        }
    }
    failure.or_ok()?;
    Ok(if options.json {
        let rows = read.iter().map(|(file, kind)| json!({ "file": file, "kind": kind }));
        Answer::json(json!({ "read": rows.collect::<Vec<Value>>(), "caution": CAUTION }))
    } else {
        let rows = read.iter().map(|(file, kind)| format!("reads well  {kind:<10}  {file}\n"));
        let rows = rows.collect::<String>();
        Answer::text(format!("{rows}Read, not assessed. {CAUTION}\n"))
    })
}

fn one(file: &str) -> Result<&'static str, Failure> {
    let source = world::read(file)?;
    Ok(match in_source(&source, read_any(&source.text))? {
        Document::Aircraft(_) => "aircraft",
        Document::Strip(_) => "strip",
        Document::Pack(_) => "pack",
        Document::Day(_) => {
            load::day(&source, None, None)?;
            "day"
        }
        Document::Turnaround(_) => {
            load::turnaround(&source, None, None)?;
            "turnaround"
        }
    })
}

pub(super) fn schema(options: &SchemaOptions) -> Result<Answer, Failure> {
    let schema = schema_of(&options.kind).ok_or_else(|| {
        Failure::asked(format!("there is no kind `{}`", options.kind), KINDS.join(", "))
    })?;
    Ok(Answer::json(schema.to_value()))
}
