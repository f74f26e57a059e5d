//! Answers about single sums as JSON; those about a turnaround are in [`super::answer`].

use serde_json::{Map, Value, json};
use stillprop_calc::{
    catalogue::{Answer, Out, Outs, Raw, Sum},
    quantity::Amount,
    source::Source,
    unit::{self, Kind, Unit},
};

use super::{
    answer::{quantity, ready::steps, value},
    sources,
    system::UnitSystem,
    working,
};

/// A source with its citation.
pub(crate) fn source(id: Source) -> Value {
    let rows = sources::rows();
    json!({ "id": id.0, "citation": sources::line(&rows, id) })
}

/// The answer of one calculation.
pub(crate) fn sum(sum: &Sum, given: &[(String, Raw)], done: &Answer, system: UnitSystem) -> Value {
    let inputs: Map<String, Value> =
        given.iter().map(|(key, raw)| (key.clone(), raw_json(raw))).collect();
    json!({
        "name": sum.name,
        "inputs": inputs,
        "outputs": outputs(&done.outs, system),
        "sources": sum.sources.iter().map(|each| source(*each)).collect::<Vec<_>>(),
        "working": steps(&done.working, |named| working::trade_unit(named.symbol, named.amount)),
        "caution": super::text::CAUTION,
    })
}

fn raw_json(raw: &Raw) -> Value {
    match raw {
        Raw::Text(text) => json!(text),
        Raw::List(list) => list.iter().map(raw_json).collect(),
        Raw::Record(fields) => {
            Value::Object(fields.iter().map(|(key, raw)| (key.clone(), raw_json(raw))).collect())
        }
    }
}

fn outputs(outs: &Outs, system: UnitSystem) -> Value {
    let one = |(key, unit, out): &(&'static str, Option<Unit>, Out)| {
        let shown = match out {
            Out::Amount(amount) => value(&quantity(*amount, output_unit(*amount, *unit, system))),
            Out::Word(word) => json!({ "value": word, "unit": null }),
            Out::Instant(at) => json!({ "value": at.map(|at| at.to_string()), "unit": null }),
            Out::Rows(rows) => {
                let rows: Vec<Value> = rows.iter().map(|row| outputs(row, system)).collect();
                json!({ "value": rows, "unit": null })
            }
        };
        ((*key).to_owned(), shown)
    };
    Value::Object(outs.0.iter().map(one).collect())
}

/// The output's own unit, unless another system is asked for that has one of its kind.
fn output_unit(amount: Amount, own: Option<Unit>, system: UnitSystem) -> Unit {
    let own = own.unwrap_or_else(|| working::trade_unit("", amount));
    match (system, amount.kind) {
        (UnitSystem::Us, Kind::Mass) => unit::LB,
        (UnitSystem::Us, Kind::Length) if own == unit::M => unit::FT,
        (UnitSystem::Us, Kind::Volume) => unit::USGAL,
        (UnitSystem::Us, Kind::Pressure) => unit::INHG,
        (UnitSystem::Us, Kind::Moment) => unit::LB_IN,
        (UnitSystem::Metric, Kind::Length) if own == unit::FT => unit::M,
        _ => own,
    }
}

/// The outputs as lines of text.
pub(crate) fn outputs_as_text(outs: &Outs, system: UnitSystem) -> Vec<String> {
    let mut lines = Vec::new();
    for (key, unit, out) in &outs.0 {
        match out {
            Out::Amount(amount) => {
                let unit = output_unit(*amount, *unit, system);
                lines.push(format!("{key} = {}", working::amount_text(*amount, unit)));
            }
            Out::Word(word) => lines.push(format!("{key} = {word}")),
            Out::Instant(Some(at)) => lines.push(format!("{key} = {at}")),
            Out::Instant(None) => lines.push(format!("{key} = none")),
            Out::Rows(rows) => {
                for (number, row) in rows.iter().enumerate() {
                    let inner = outputs_as_text(row, system).join(", ");
                    lines.push(format!("{key} {}: {inner}", number + 1));
                }
            }
        }
    }
    lines
}
