//! What was recorded of one container, record by record.

use std::ops::ControlFlow;

use jiff::Timestamp;
use serde_json::{Map, Value};
use stillprop_ledger::{
    event::Body,
    record::{RecordId, RecordRef, Subject},
};
use uuid::Uuid;

use super::{Ledger, convert};
use crate::{problem::Failure, report::answer::yard};

/// One record of a container, for a person and for a program.
pub(crate) struct Past {
    /// When, who and what.
    pub(crate) said: String,
    /// Both for the terminal.
    pub(crate) line: String,
    pub(crate) answer: yard::Past,
}

/// The records of a container, oldest first.
pub(crate) fn read(ledger: &mut Ledger, id: Uuid) -> Result<Vec<Past>, Failure> {
    let mut rows = Vec::new();
    ledger.store().read_subject(&Subject::container(id), &mut |record| {
        rows.push(past(record));
        ControlFlow::Continue(())
    })?;
    Ok(rows)
}

/// One record of the yard by its id; `None` when there is none.
pub(crate) fn one(ledger: &Ledger, id: Uuid) -> Result<Option<Past>, Failure> {
    let record = ledger.store_ref().get(RecordId(id))?;
    let of_yard = record.filter(|record| record.event().is_ok_and(|body| body.yard().is_some()));
    Ok(of_yard.map(|record| past(record.as_ref())))
}

/// The records of a stretch of time about anything, oldest first, at most `most` of them: the
/// latest when there are more.
pub(crate) fn between(
    ledger: &Ledger,
    (from, to): (Timestamp, Timestamp),
    most: usize,
) -> Result<Vec<Past>, Failure> {
    let mut rows = Vec::new();
    ledger.store_ref().read_all(&mut |record| {
        if (from.as_millisecond()..=to.as_millisecond()).contains(&record.order.at_ms) {
            rows.push((record.order.at_ms, past_with_hash(record)));
        }
        ControlFlow::Continue(())
    })?;
    rows.sort_by_key(|(at, _)| *at);
    let skip = rows.len().saturating_sub(most);
    Ok(rows.into_iter().skip(skip).map(|(_, past)| past).collect())
}

/// A record with the hash that proves it was not changed.
fn past_with_hash(record: RecordRef<'_>) -> Past {
    let hash = record.digest().to_string();
    let mut past = past(record);
    past.line.push_str(&format!(", hash {}", hash.get(..16).unwrap_or(&hash)));
    past.answer.hash = Some(hash);
    past
}

fn past(record: RecordRef<'_>) -> Past {
    let at = convert::instant(record.order.at_ms).map_or(String::new(), |at| at.to_string());
    let event = record.event().ok().and_then(Body::yard);
    let event = event.and_then(|event| serde_json::to_value(event).ok());
    let what = event.as_ref().map_or("unreadable".to_owned(), plain);
    Past {
        said: format!("{at} {}: {what}", record.author),
        line: format!("{at}  {:<14} {what}\n    record {}", record.author, record.id),
        answer: yard::Past {
            record: record.id.to_string(),
            author: record.author.to_owned(),
            at,
            event,
            hash: None,
        },
    }
}

/// An event as `drawn: volume 105 L, flight F-12`, without the container that it is about.
pub(crate) fn plain(event: &Value) -> String {
    let Some((name, fields)) = event.as_object().and_then(|event| event.iter().next()) else {
        return event.to_string();
    };
    let mut fields = fields.as_object().cloned().unwrap_or_default();
    fields.shift_remove("container");
    if fields.is_empty() { name.clone() } else { format!("{name}: {}", said(&fields)) }
}

fn said(fields: &Map<String, Value>) -> String {
    let known = fields.iter().filter(|(_, value)| !value.is_null());
    known.map(|(key, value)| field(key, value)).collect::<Vec<_>>().join(", ")
}

/// Endings of the names of whole numbers, and the unit of which each is a thousandth.
const THOUSANDTHS: [(&str, &str); 3] = [("_ml", "L"), ("_mdegc", "degC"), ("_g_m3", "kg/m3")];

fn field(key: &str, value: &Value) -> String {
    let unit = THOUSANDTHS.iter().find_map(|(end, unit)| Some((key.strip_suffix(end)?, unit)));
    match (unit, value.as_f64()) {
        (Some((key, unit)), Some(number)) => {
            format!("{} {} {unit}", key.replace('_', " "), number / 1000.0)
        }
        _ => format!("{} {}", key.replace('_', " "), spelled(value)),
    }
}

fn spelled(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(all) if all.is_empty() => "none".into(),
        Value::Array(all) => all.iter().map(spelled).collect::<Vec<_>>().join(" "),
        Value::Object(fields) => said(fields),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn an_event_reads_like_a_line_of_a_log_book() {
        for (event, words) in [
            (json!({ "emptied": { "container": "a" } }), "emptied"),
            (
                json!({ "drawn": { "container": "a", "volume_ml": 105_400, "flight": "F-7",
                    "into": { "aircraft": { "registration": "QK-CSX", "tank": "left" } } } }),
                "drawn: volume 105.4 L, flight F-7, \
                 into aircraft registration QK-CSX, tank left",
            ),
            (
                json!({ "drawn": { "container": "a", "into": { "container": "b" } } }),
                "drawn: into container b",
            ),
            (
                json!({ "sampled": { "low_point": true, "density_g_m3": 706_500,
                    "temperature_mdegc": -2500, "colour": null } }),
                "sampled: low point true, density 706.5 kg/m3, temperature -2.5 degC",
            ),
            (
                json!({ "received": { "seals": ["1", "2"], "left_ml": 1 } }),
                "received: seals 1 2, left 0.001 L",
            ),
            (json!({ "received": { "seals": [] } }), "received: seals none"),
            (json!("odd"), "\"odd\""),
        ] {
            assert_eq!(plain(&event), words);
        }
    }
}
