//! `sum`: one calculation, or a batch of them.

use std::fmt::Write;

use clap::Args;
use serde_json::{Map, Value, json};
use stillprop_calc::catalogue::{self, Answer as Done, Input, Raw, Shape, Sum, SumError};
use stillprop_rules::document::did_you_mean;

use super::Answer;
use crate::{
    problem::Failure,
    report::{json as shown, system::UnitSystem, text::CAUTION, working},
    world,
};

/// Options of `sum`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// Name of the calculation
    #[arg(required_unless_present = "list")]
    name: Option<String>,
    /// Inputs, each with its unit: qnh="1013.25 hPa"
    #[arg(value_name = "KEY=VALUE")]
    values: Vec<String>,
    /// Inputs from a JSON file: an object, or a list of objects for a batch
    #[arg(long, value_name = "FILE.json")]
    input: Option<String>,
    /// List every calculation with inputs, units, accepted ranges and source
    #[arg(long)]
    list: bool,
    /// Units to show
    #[arg(long, value_enum, default_value_t)]
    units: UnitSystem,
    /// Answer as JSON
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(options: &Options) -> Result<Answer, Failure> {
    let Some(name) = &options.name else { return Ok(list(None, options.json)) };
    let sum = catalogue::named(name).ok_or_else(|| {
        let known: Vec<&str> = catalogue::all().map(|sum| sum.name).collect();
        Failure::asked(format!("there is no calculation `{name}`"), did_you_mean(name, &known))
    })?;
    if options.list {
        return Ok(list(Some(sum), options.json));
    }
    let typed = typed(&options.values)?;
    let from_file = options.input.as_deref().map(read_json).transpose()?;
    match from_file {
        Some(Value::Array(cases)) if !is_rows(sum, &cases) => batch(sum, &typed, cases, options),
        Some(Value::Object(fields)) => {
            let mut given = raw_fields(fields);
            given.extend(typed);
            single(sum, &given, options)
        }
        // A bare list is the one list input that the calculation has.
        Some(other) => {
            let key = list_key(sum).ok_or_else(|| {
                Failure::asked(format!("{} takes no list", sum.name), "give a JSON object")
            })?;
            let mut given = vec![(key.to_owned(), raw(other))];
            given.extend(typed);
            single(sum, &given, options)
        }
        None => single(sum, &typed, options),
    }
}

/// The key of the calculation's only list of records.
fn list_key(sum: &Sum) -> Option<&'static str> {
    let mut lists = sum.inputs.iter().filter(|input| matches!(input.shape, Shape::Rows(_)));
    let first = lists.find(|input| input.required)?;
    Some(first.key)
}

/// True when the objects of a list are rows of the list input, not cases of a batch.
fn is_rows(sum: &Sum, cases: &[Value]) -> bool {
    let rows = sum.inputs.iter().find_map(|input| match input.shape {
        Shape::Rows(rows) if input.required => Some(rows),
        _ => None,
    });
    let Some(rows) = rows else { return false };
    let fits = |case: &Value, inputs: &[Input]| {
        case.as_object().is_some_and(|fields| {
            fields.keys().all(|key| inputs.iter().any(|input| input.key == key))
        })
    };
    !cases.is_empty() && cases.iter().all(|case| fits(case, rows) && !fits(case, sum.inputs))
}

fn single(sum: &Sum, given: &[(String, Raw)], options: &Options) -> Result<Answer, Failure> {
    let done = sum.run(given).map_err(|error| failure(&error))?;
    if options.json {
        return Ok(Answer::json(shown::sum(sum, given, &done, options.units)));
    }
    let mut out = format!("{}\n\n", sum.answers);
    for row in shown::outputs_as_text(&done.outs, options.units) {
        let _ = writeln!(out, "  {row}");
    }
    let _ = write!(out, "\n{}", working::steps(&done.working, None));
    let _ = writeln!(out, "{CAUTION}");
    Ok(Answer::text(out))
}

fn failure(error: &SumError) -> Failure {
    Failure::asked(error.to_string(), error.hint())
}

/// Each case gets an answer or an error of its own; exit code 2 when any failed.
fn batch(
    sum: &Sum,
    typed: &[(String, Raw)],
    cases: Vec<Value>,
    options: &Options,
) -> Result<Answer, Failure> {
    let mut failed = false;
    let mut answer = |case: Value| {
        let mut given = match case {
            Value::Object(fields) => raw_fields(fields),
            _ => Vec::new(),
        };
        given.extend(typed.iter().cloned());
        let done: Result<Done, SumError> = sum.run(&given);
        match done {
            Ok(done) => shown::sum(sum, &given, &done, options.units),
            Err(error) => {
                failed = true;
                json!({ "error": { "message": error.to_string(), "help": error.hint() } })
            }
        }
    };
    let answers: Vec<Value> = cases.into_iter().map(&mut answer).collect();
    Ok(Answer::json(answers.into()).code(if failed { 2 } else { 0 }))
}

fn typed(values: &[String]) -> Result<Vec<(String, Raw)>, Failure> {
    let one = |text: &String| match text.split_once('=') {
        Some((key, value)) => Ok((key.trim().to_owned(), Raw::Text(value.trim().to_owned()))),
        None => Err(Failure::asked(
            format!("`{text}` is not KEY=VALUE"),
            "write each input as key=\"value with unit\"",
        )),
    };
    values.iter().map(one).collect()
}

fn read_json(name: &str) -> Result<Value, Failure> {
    let source = world::read(name)?;
    serde_json::from_str(&source.text).map_err(|error| {
        Failure::file(name, format!("this is not JSON: {error}"), "correct the file")
    })
}

fn raw_fields(fields: Map<String, Value>) -> Vec<(String, Raw)> {
    let given = fields.into_iter().filter(|(_, value)| !value.is_null());
    given.map(|(key, value)| (key, raw(value))).collect()
}

/// JSON as an argument. A number is kept as its text, so that a missing unit is noticed.
fn raw(value: Value) -> Raw {
    match value {
        Value::String(text) => Raw::Text(text),
        Value::Array(list) => Raw::List(list.into_iter().map(raw).collect()),
        Value::Object(fields) => Raw::Record(raw_fields(fields)),
        other => Raw::Text(other.to_string()),
    }
}

fn list(only: Option<&Sum>, as_json: bool) -> Answer {
    let sums: Vec<&Sum> = match only {
        Some(sum) => vec![sum],
        None => catalogue::all().collect(),
    };
    if as_json {
        let rows: Vec<Value> = sums.into_iter().map(described).collect();
        return Answer::json(json!({ "sums": rows, "caution": CAUTION }));
    }
    let mut out = String::new();
    for sum in sums {
        let _ = writeln!(out, "{}\n  {}", sum.name, sum.answers);
        for input in sum.inputs {
            let needed = if input.required { "" } else { " (optional)" };
            let _ = writeln!(out, "  {}{needed}: {}; {}", input.key, input.says, shape(input));
        }
        for output in sum.outputs {
            let unit = output.unit.map_or(String::new(), |unit| format!(" [{}]", unit.symbol));
            let _ = writeln!(out, "  -> {}{unit}: {}", output.key, output.says);
        }
        let sources: Vec<_> = sum.sources.iter().map(|source| source.0).collect();
        let _ = writeln!(out, "  source: {}\n", sources.join(", "));
    }
    let _ = writeln!(out, "{CAUTION}");
    Answer::text(out)
}

fn shape(input: &Input) -> String {
    let range = input.bounds.map_or(String::new(), |bounds| {
        format!(", {} to {} {}", bounds.min, bounds.max, bounds.unit.symbol)
    });
    match &input.shape {
        Shape::Quantity(kind) => format!("{}{range}", kind.words()),
        Shape::Quantities(kind) => format!("a list, each {}{range}", kind.words()),
        Shape::Word(words) => format!("one of: {}", words.join(", ")),
        Shape::Date => "a date, 2026-06-21".into(),
        Shape::Instant => "an instant, 2026-06-21T07:30:00Z".into(),
        Shape::Rows(rows) => {
            let keys: Vec<_> = rows.iter().map(|row| row.key).collect();
            format!("a list of records with {}", keys.join(", "))
        }
    }
}

fn described(sum: &Sum) -> Value {
    let input = |input: &Input| input_json(input);
    json!({
        "name": sum.name,
        "answers": sum.answers,
        "inputs": sum.inputs.iter().map(input).collect::<Vec<_>>(),
        "outputs": sum.outputs.iter().map(|output| json!({
            "key": output.key,
            "unit": output.unit.map(|unit| unit.symbol),
            "says": output.says,
        })).collect::<Vec<_>>(),
        "sources": sum.sources.iter().map(|source| shown::source(*source)).collect::<Vec<_>>(),
    })
}

fn input_json(input: &Input) -> Value {
    let rows = match &input.shape {
        Shape::Rows(rows) => Some(rows.iter().map(input_json).collect::<Vec<_>>()),
        _ => None,
    };
    let kind = match &input.shape {
        Shape::Quantity(kind) | Shape::Quantities(kind) => Some(kind),
        _ => None,
    };
    json!({
        "key": input.key,
        "required": input.required,
        "says": input.says,
        "takes": shape(input),
        "units": kind.map(|kind| kind.units().map(|unit| unit.symbol).collect::<Vec<_>>()),
        "min": input.bounds.map(|bounds| json!({ "value": bounds.min, "unit": bounds.unit.symbol })),
        "max": input.bounds.map(|bounds| json!({ "value": bounds.max, "unit": bounds.unit.symbol })),
        "records": rows,
    })
}
