//! Reference cases whose input is a list, as JSON.

use serde_json::{Map, Value};
use stillprop_calc::catalogue::Raw;

use super::case_file::{Case, Draft, Tolerance};

/// The keys of a file; `note` is for people.
const HEAD: &[&str] = &["sum", "source", "read", "note", "tolerance", "count", "cases"];

/// Reads a record of head and cases; faults are kept in the draft.
pub(super) fn read(text: &str) -> Draft {
    let mut draft = Draft::default();
    match serde_json::from_str(text) {
        Ok(Value::Object(record)) => fill(&mut draft, &record),
        Ok(_) => draft.faults.push("the file must be one record".into()),
        Err(error) => draft.faults.push(format!("not JSON: {error}")),
    }
    draft
}

fn fill(draft: &mut Draft, record: &Map<String, Value>) {
    for key in record.keys().filter(|key| !HEAD.contains(&key.as_str())) {
        draft.faults.push(format!("`{key}` is not part of the head"));
    }
    let text = |key: &str| record.get(key).and_then(Value::as_str).map(str::to_owned);
    draft.sum = text("sum");
    draft.source = text("source");
    draft.read = text("read");
    draft.count = record.get("count").map(Value::to_string);
    for (key, pair) in record.get("tolerance").and_then(Value::as_object).into_iter().flatten() {
        let part = |place: usize| pair.get(place).and_then(Value::as_str).unwrap_or_default();
        let (limit, why) = (part(0).into(), part(1).into());
        draft.tolerances.push(Tolerance { key: key.clone(), limit, why });
    }
    let cases = record.get("cases").and_then(Value::as_array).map(Vec::as_slice);
    for (place, value) in cases.unwrap_or_default().iter().enumerate() {
        case(draft, place, value);
    }
}

fn case(draft: &mut Draft, place: usize, value: &Value) {
    let name = value.get("name").and_then(Value::as_str).unwrap_or("unnamed");
    let mut case = Case { place: format!("case {} ({name})", place + 1), ..Case::default() };
    for (key, value) in value.get("inputs").and_then(Value::as_object).into_iter().flatten() {
        match raw(value) {
            Some(raw) => case.inputs.push((key.clone(), raw)),
            None => draft.faults.push(format!("{}: `{key}` must hold texts", case.place)),
        }
    }
    for (key, value) in value.get("expect").and_then(Value::as_object).into_iter().flatten() {
        if !expect(key, value, &mut case.expect) {
            draft.faults.push(format!("{}: expected `{key}` must be text", case.place));
        }
    }
    draft.cases.push(case);
}

/// An argument; bare numbers are refused, because every quantity says its unit.
fn raw(value: &Value) -> Option<Raw> {
    match value {
        Value::String(text) => Some(Raw::Text(text.clone())),
        Value::Array(list) => list.iter().map(raw).collect::<Option<_>>().map(Raw::List),
        Value::Object(record) => {
            let fields = record.iter().map(|(key, value)| Some((key.clone(), raw(value)?)));
            fields.collect::<Option<_>>().map(Raw::Record)
        }
        _ => None,
    }
}

/// Expected records are laid out flat: `load[0].mass`, and `load` for how many there are.
fn expect(path: &str, value: &Value, all: &mut Vec<(String, String)>) -> bool {
    match value {
        Value::String(text) => {
            all.push((path.into(), text.clone()));
            true
        }
        Value::Array(rows) => {
            all.push((path.into(), format!("{} records", rows.len())));
            rows.iter().enumerate().all(|(place, row)| {
                row.as_object().is_some_and(|row| {
                    row.iter()
                        .all(|(key, value)| expect(&format!("{path}[{place}].{key}"), value, all))
                })
            })
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_become_raw_lists_and_expected_records_lie_flat() {
        let draft = read(
            r#"{"sum":"s","source":"t","read":"memory","count":1,
                "tolerance":{"mass":["0.5 lb","print rounding"]},
                "cases":[{"name":"n","inputs":{"items":[{"mass":"340 lb"}]},
                          "expect":{"mass":"3320 lb","rows":[{"arm":"1 m"}]}}]}"#,
        );
        assert_eq!(draft.faults, [""; 0]);
        assert_eq!(draft.count.as_deref(), Some("1"));
        assert_eq!(draft.tolerances[0].why, "print rounding");
        let [case] = draft.cases.as_slice() else { panic!("{draft:?}") };
        let item = Raw::Record(vec![("mass".into(), Raw::Text("340 lb".into()))]);
        assert_eq!(case.inputs, [("items".into(), Raw::List(vec![item]))]);
        let wanted = [("mass", "3320 lb"), ("rows", "1 records"), ("rows[0].arm", "1 m")];
        let found: Vec<_> = case.expect.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
        assert_eq!(found, wanted);
    }

    #[test]
    fn bare_numbers_and_strange_keys_are_faults() {
        let draft = read(r#"{"sums":"s","cases":[{"inputs":{"mass":340},"expect":{"mass":1.5}}]}"#);
        assert_eq!(
            draft.faults,
            [
                "`sums` is not part of the head",
                "case 1 (unnamed): `mass` must hold texts",
                "case 1 (unnamed): expected `mass` must be text",
            ]
        );
        assert!(read("[]").faults[0].contains("one record"));
        assert!(read("{").faults[0].contains("not JSON"));
    }
}
