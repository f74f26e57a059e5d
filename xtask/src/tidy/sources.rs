//! Every source id has a row, every row has an id, and every id is cited.

use std::collections::BTreeMap;

use super::{Finding, rust};
use crate::repo::TextFile;

const IDS: &str = "crates/calc/src/source.rs";
const ROWS: &str = "crates/calc/sources.toml";

/// How a formula may have reached us.
const READ: &[&str] = &["source", "second hand", "memory"];

pub(super) fn check(files: &[TextFile]) -> Vec<Finding> {
    let find = |path: &str| files.iter().find(|file| file.path == path);
    let (Some(ids), Some(rows)) = (find(IDS), find(ROWS)) else { return Vec::new() };
    let ids = declared(&ids.text);
    let rows = match toml::from_str::<toml::Table>(&rows.text) {
        Ok(rows) => rows,
        Err(error) => return vec![Finding::new(ROWS, 0, error.to_string(), "mend the TOML")],
    };
    let mut found = Vec::new();
    for (id, (line, name)) in &ids {
        if !rows.contains_key(id) {
            let what = format!("\"{id}\" has no row in sources.toml");
            found.push(Finding::new(IDS, *line, what, format!("add [{id}] with title and read")));
        }
        if !files.iter().any(|file| cites(file, name, id)) {
            let what = format!("{name} is cited nowhere");
            found.push(Finding::new(IDS, *line, what, "cite it or remove it"));
        }
    }
    for (id, row) in &rows {
        if !ids.contains_key(id) {
            let what = format!("[{id}] is declared nowhere");
            found.push(Finding::new(ROWS, 0, what, "declare it in source.rs or remove it"));
        }
        found.extend(faults(id, row));
    }
    found
}

/// `NAME = "id";` lines: id to line and name.
fn declared(text: &str) -> BTreeMap<String, (usize, String)> {
    let mut ids = BTreeMap::new();
    for (place, line) in text.lines().enumerate() {
        let Some((name, rest)) = line.trim().split_once(" = \"") else { continue };
        let Some(id) = rest.strip_suffix("\";") else { continue };
        if name.chars().all(|letter| letter.is_ascii_uppercase() || "_0123456789".contains(letter))
        {
            ids.insert(id.to_owned(), (place + 1, name.to_owned()));
        }
    }
    ids
}

/// True when `file` uses the constant, or a comment of it cites the `[id]`.
fn cites(file: &TextFile, name: &str, id: &str) -> bool {
    let bracketed = format!("[{id}]");
    file.path.starts_with("crates/")
        && file.is("rs")
        && file.path != IDS
        && rust::code(file).any(|(_, line)| {
            rust::has_word(rust::without_comment(line), name) || line.contains(&bracketed)
        })
}

fn faults(id: &str, row: &toml::Value) -> Vec<Finding> {
    let text = |key: &str| row.get(key).and_then(toml::Value::as_str).unwrap_or_default();
    let mut found = Vec::new();
    if text("title").is_empty() {
        found.push(Finding::new(ROWS, 0, format!("[{id}] has no title"), "name the document"));
    }
    if !READ.contains(&text("read")) {
        let what = format!("[{id}] does not say how it was read");
        found.push(Finding::new(ROWS, 0, what, format!("read = one of: {}", READ.join(", "))));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(ids: &str, rows: &str, code: &str) -> Vec<String> {
        let file = |path: &str, text: &str| TextFile { path: path.into(), text: text.into() };
        let files = [file(IDS, ids), file(ROWS, rows), file("crates/calc/src/air.rs", code)];
        check(&files).iter().map(|finding| finding.what.clone()).collect()
    }

    const ID: &str = "sources! {\n    ICAO_7488 = \"icao-7488\";\n}\n";
    const ROW: &str = "[icao-7488]\ntitle = \"Manual\"\nread = \"memory\"\n";
    const USE: &str = "step.from(ICAO_7488)\n";

    #[test]
    fn a_resolved_and_cited_source_is_fine() {
        assert_eq!(found(ID, ROW, USE), [""; 0]);
        assert_eq!(found(ID, ROW, "/// Heat of water. `[icao-7488]`\n"), [""; 0]);
    }

    #[test]
    fn orphans_on_either_side_are_found() {
        assert_eq!(found(ID, "", USE), ["\"icao-7488\" has no row in sources.toml"]);
        assert_eq!(found("", ROW, USE), ["[icao-7488] is declared nowhere"]);
        assert_eq!(found(ID, ROW, "// ICAO_7488\n"), ["ICAO_7488 is cited nowhere"]);
    }

    #[test]
    fn a_row_says_what_it_is_and_how_it_was_read() {
        let told = found(ID, "[icao-7488]\nread = \"somewhere\"\n", USE);
        assert_eq!(told, ["[icao-7488] has no title", "[icao-7488] does not say how it was read"]);
        assert_eq!(found(ID, "[icao", USE).len(), 1);
    }
}
