//! Full citations behind the ids that calculations carry.

use std::collections::BTreeMap;

use serde::Deserialize;
use stillprop_calc::source::{SOURCES_TOML, Source};

/// A row of the source list.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Row {
    /// Title of the document.
    pub(crate) title: String,
    /// Edition or year.
    pub(crate) edition: Option<String>,
    /// Clause, page or equation.
    pub(crate) place: Option<String>,
    /// How it was read.
    pub(crate) read: String,
}

/// The rows by id. The list is part of the program and was checked when it was built.
pub(crate) fn rows() -> BTreeMap<String, Row> {
    stillprop_rules::document::read(SOURCES_TOML).unwrap_or_default()
}

impl Row {
    /// The citation in one line.
    pub(crate) fn line(&self) -> String {
        let parts = [Some(&self.title), self.edition.as_ref(), self.place.as_ref()];
        let said: Vec<&str> = parts.into_iter().flatten().map(String::as_str).collect();
        format!("{} (read: {})", said.join(", "), self.read)
    }
}

/// The citation of an id; the id itself when it has no row.
pub(crate) fn line(rows: &BTreeMap<String, Row>, source: Source) -> String {
    rows.get(source.0).map_or_else(|| source.0.to_owned(), Row::line)
}
