//! Tables of dangerous goods: those of the program are whole, broken ones are refused.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

use std::collections::HashSet;

use stillprop_rules::{
    builtin,
    goods::{Place, Table, measured},
};

const RIGHT: &str = r#"format = 1
kind = "goods"
id = "test"
title = "A table for a test"
jurisdiction = "nowhere"
edition = "1"
checked = 2026-11-28

[sources.book]
document = "The book"
edition = "first"

[[row]]
item = "fuel"
places = []
source = "book"
clause = "1"
status = "law"
read = "source"

[[row]]
item = "lithium-spare"
places = ["person", "cabin"]
each = ["100 Wh"]
count = 20
source = "book"
clause = "2"
status = "law"
read = "source"
"#;

#[test]
fn the_tables_of_the_program_are_whole() {
    let vocabulary = builtin::vocabulary().unwrap();
    for (id, text) in builtin::goods_texts() {
        let table = Table::read(text, vocabulary).unwrap();
        assert_eq!(table.id, *id);
        assert!(table.rows.len() >= 45, "{id}: {} rows", table.rows.len());
        for row in &table.rows {
            assert!(!row.citation.clause.is_empty() && !row.citation.source.edition.is_empty());
            assert_eq!(row.forbids(), Place::ALL.iter().all(|p| row.at(*p) == Some(false)));
        }
        for item in &vocabulary.item {
            // Bands rise and leave no gap.
            let rows: Vec<_> = table.rows_of(&item.id).collect();
            for pair in rows.windows(2) {
                assert_eq!(pair[1].over, pair[0].each.first().copied(), "{id}: {}", item.id);
            }
        }
    }
    assert!(builtin::goods("icoa").is_err());
}

/// The page says how many rows were read how.
#[test]
fn the_page_counts_the_rows_as_they_were_read() {
    let page = include_str!("../../../docs/dangerous-goods.md");
    let vocabulary = builtin::vocabulary().unwrap();
    for (id, text) in builtin::goods_texts() {
        let table = Table::read(text, vocabulary).unwrap();
        let of = |word: &str| table.rows.iter().filter(|row| row.read.word() == word).count();
        let (source, second, memory) = (of("source"), of("second hand"), of("memory"));
        assert_eq!(source + second + memory, table.rows.len(), "{id}");
        let row = format!("| `{id}` | {} | {source} | {second} | {memory} |", table.rows.len());
        assert!(page.contains(&row), "{row}");
    }
}

#[test]
fn items_and_hints_are_named_once_and_known() {
    let vocabulary = builtin::vocabulary().unwrap();
    let ids: HashSet<_> = vocabulary.item.iter().map(|item| item.id.as_str()).collect();
    assert_eq!(ids.len(), vocabulary.item.len());
    for item in &vocabulary.item {
        assert!(item.ask.ends_with(['?', '.']) && !item.look.is_empty(), "{}", item.id);
    }
    let named = vocabulary.hint.iter().flat_map(|hint| &hint.items);
    named.for_each(|id| assert!(ids.contains(id.as_str()), "{id}"));
    // Every item has a row somewhere.
    for id in ids {
        let has =
            |(table, _): &(&str, &str)| builtin::goods(table).unwrap().rows_of(id).next().is_some();
        assert!(builtin::goods_texts().iter().any(has), "{id}");
    }
}

#[test]
fn every_slip_in_a_table_is_shown_with_its_place_and_a_way_out() {
    let vocabulary = builtin::vocabulary().unwrap();
    assert!(Table::read(RIGHT, vocabulary).is_ok());
    for (of, slip, covers, words) in [
        ("format = 1", "format = 2", "2", "format 2"),
        ("\"fuel\"", "\"fule\"", "\"fule\"", "unknown item"),
        ("\"100 Wh\"", "\"100\"", "\"100\"", "no quantity of goods"),
        ("\"100 Wh\"", "\"0 Wh\"", "\"0 Wh\"", "not above zero"),
        ("\"100 Wh\"", "\"100 m\"", "\"100 m\"", "no quantity of goods"),
        ("\"cabin\"]", "\"cabine\"]", "\"cabine\"", "unknown word"),
        ("clause = \"1\"", "clause = \" \"", "\" \"", "no clause"),
        ("\"source\"\n", "\"memory\"\n", "\"fuel\"", "needs a note"),
        ("source = \"book\"", "source = \"bok\"", "\"bok\"", "unknown source"),
    ] {
        assert!(RIGHT.contains(of), "{of}");
        let text = RIGHT.replacen(of, slip, 1);
        let problems = Table::read(&text, vocabulary).unwrap_err();
        let problem = problems.iter().find(|p| p.message.contains(words));
        let problem = problem.unwrap_or_else(|| panic!("{slip}: {problems:?}"));
        assert_eq!(&text[problem.at.clone()], covers, "{slip}");
        assert!(problem.help.is_some(), "{slip}");
    }
}

#[test]
fn goods_are_measured_in_three_kinds_above_zero() {
    for text in ["0.5 kg", "300 mL", "74 Wh", "2 g", "118 mL"] {
        assert!(measured(text).is_ok(), "{text}");
    }
    for text in ["", "300", "-1 kg", "0 g", "3 m", "NaN kg", "some"] {
        let (message, help) = measured(text).unwrap_err();
        assert!(!message.is_empty() && !help.is_empty(), "{text}");
    }
}
