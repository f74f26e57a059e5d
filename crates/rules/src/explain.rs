//! What the TOML reader reports, in words a pilot understands, with its place and a way out.

use std::ops::Range;

use crate::document::{Problem, did_you_mean};

/// Turns an error of the reader into a problem. `message` is the reader's, `span` its place.
pub(crate) fn explain(text: &str, message: &str, span: Option<Range<usize>>) -> Problem {
    let missing = message.starts_with("missing field");
    let at = match span {
        // A key that the document itself lacks has no place in it.
        Some(span) if missing && span.is_empty() => 0..0,
        Some(span) => shown(text, &span),
        None => 0..0,
    };
    let (message, help) = unknown_word(message)
        .or_else(|| missing_key(message))
        .or_else(|| wrong_type(message))
        .or_else(|| our_own(message))
        .unwrap_or_else(|| syntax(message, text.get(at.clone()).unwrap_or("")));
    Problem::new(at, message).help(help)
}

/// A place one can point at: an empty one is widened to the character after it, at the end
/// of a line to the one before it.
fn shown(text: &str, span: &Range<usize>) -> Range<usize> {
    if !span.is_empty() && text.get(span.clone()).is_some() {
        return span.clone();
    }
    let start = text.floor_char_boundary(span.start);
    let (before, after) = text.split_at(start);
    let next = after.chars().next();
    let last = before.chars().next_back();
    let visible = |c: Option<char>| c.filter(|c| !matches!(c, '\n' | '\r'));
    match (visible(next), visible(last)) {
        (Some(c), _) => start..start + c.len_utf8(),
        (None, Some(c)) => start - c.len_utf8()..start,
        (None, None) => match (next, last) {
            (Some(_), _) => start..start + 1,
            (None, Some(_)) => start - 1..start,
            (None, None) => 0..0,
        },
    }
}

/// A key or a word that is not in the vocabulary.
fn unknown_word(message: &str) -> Option<(String, String)> {
    let (kind, rest) = if let Some(rest) = message.strip_prefix("unknown field `") {
        ("key", rest)
    } else {
        ("word", message.strip_prefix("unknown variant `")?)
    };
    // The word may itself hold anything, so the reader's own words are taken from the end.
    let (wrong, known) = rest.rsplit_once("`, expected ").or_else(|| rest.rsplit_once("`, "))?;
    let known: Vec<&str> = known.split('`').skip(1).step_by(2).collect();
    let help = if known.is_empty() {
        "remove it: nothing is written here".to_owned()
    } else {
        did_you_mean(wrong, &known)
    };
    Some((format!("unknown {kind} `{wrong}`"), help))
}

fn missing_key(message: &str) -> Option<(String, String)> {
    let key = message.strip_prefix("missing field ")?;
    Some((format!("missing key {key}"), format!("add {} = ...", key.trim_matches('`'))))
}

/// A value of another sort than its key takes.
fn wrong_type(message: &str) -> Option<(String, String)> {
    if message == "wanted string or table" {
        let help = "write one of the known words in quotation marks";
        return Some(("something else stands where a word is meant".into(), help.into()));
    }
    let (sort, rest) = ["invalid type: ", "invalid value: ", "invalid length "]
        .into_iter()
        .find_map(|sort| Some((sort, message.strip_prefix(sort)?)))?;
    let (found, wanted) = rest.rsplit_once(", expected ")?;
    let found = match sort {
        "invalid length " => &format!("a list of {found}"),
        _ => was(found),
    };
    let (meant, help) = meant(wanted);
    Some((format!("{found} stands where {meant} is meant"), help))
}

/// What was found, without the reader's name for its sort.
fn was(found: &str) -> &str {
    match found {
        "map" => return "a table",
        "sequence" => return "a list",
        _ => {}
    }
    let sorts = ["integer ", "floating point ", "boolean ", "string "];
    let value = sorts.into_iter().find_map(|sort| found.strip_prefix(sort)).unwrap_or(found);
    value.trim_end_matches(" as i128").trim_end_matches(" as u128")
}

/// What was wanted, in words, and how it is written.
fn meant(wanted: &str) -> (&str, String) {
    let (meant, help) = match wanted {
        "a string" => ("text", "put it in quotation marks"),
        "a boolean" => ("true or false", "write true or false without quotation marks"),
        "u8" => ("a whole number from 0 to 255", "write such a number without quotation marks"),
        "u32" | "i64" => ("a whole number", "write such a number without quotation marks"),
        "a sequence" => ("a list", "put its entries in square brackets: [..., ...]"),
        "a map" => ("a table", TABLE),
        "a TOML datetime" => (
            "a date or time",
            "write it without quotation marks: 2026-12-01, or 2026-06-21T15:20:00+10:00",
        ),
        _ if wanted.starts_with("struct ") => ("a table", TABLE),
        "a pair" => (wanted, "put two values in square brackets: [\"2000 kg\", \"1.15 1\"]"),
        _ => return (wanted, format!("write {}", wanted.trim_end_matches(','))),
    };
    (meant, help.into())
}

const TABLE: &str = "write { key = value, ... }, or the keys under a heading of their own";

/// An error of our own quantities and dates: the way out stands on its last line.
fn our_own(message: &str) -> Option<(String, String)> {
    let (message, help) = message.rsplit_once('\n')?;
    Some((message.to_owned(), help.to_owned()))
}

/// How the reader's message begins, what we say instead, and the way out.
const SYNTAX: &[(&str, &str, &str)] = &[
    (
        "duplicate key",
        "this is written twice",
        "remove one; tables of a list have [[two brackets]]",
    ),
    ("key with no value", "a key without a value", "write key = value"),
    ("missing assignment", "a key without a value", "write key = value"),
    ("missing value", "a key without a value", "write key = value"),
    (
        "string values must be quoted",
        "a value is missing, or is text without quotation marks",
        "put text and quantities in quotation marks: \"86 kg\"",
    ),
    (
        "invalid basic string",
        "the text does not end, or holds a character that cannot stand in it",
        "close it with a quotation mark on the same line",
    ),
    (
        "invalid literal string",
        "the text does not end, or holds a character that cannot stand in it",
        "close it with a quotation mark on the same line",
    ),
    (
        "missing escaped value",
        "a backslash with nothing known behind it",
        "write the backslash twice, or put the text in single quotation marks",
    ),
    (
        "invalid multi-line",
        "the text of several lines does not end",
        "close it with three quotation marks, or use one before and behind a single line",
    ),
    (
        "missing key for inline table element",
        "the table does not end, or something stands in it that is not key = value",
        "put } behind the last value",
    ),
    (
        "floating-point number overflowed",
        "the number is too large",
        "write an ordinary decimal number",
    ),
    ("unclosed table", "the heading does not end", "close it with ]"),
    ("unclosed array table", "the heading does not end", "close it with ]]"),
    (
        "missing comma between array elements",
        "the list does not end, or a comma is missing before this",
        "put a comma between its entries and ] behind the last",
    ),
    ("unclosed array", "the list does not end", "put a comma between its entries and ] at its end"),
    (
        "missing comma between key-value pairs",
        "the table does not end, or a comma is missing before this",
        "put a comma between its entries and } behind the last",
    ),
    ("unclosed inline table", "the table does not end", "close it with }"),
    (
        "cannot recurse further",
        "lists or tables are nested deeper than any document needs",
        "is this the right file?",
    ),
    (
        "recursion limit",
        "the key has more parts than any document needs",
        "is this the right file?",
    ),
    (
        "unexpected key or value",
        "something stands behind the value",
        "write each key = value on a line of its own",
    ),
];

/// A break of TOML's own rules.
fn syntax(message: &str, found: &str) -> (String, String) {
    let known = SYNTAX.iter().find(|(begins, _, _)| message.starts_with(begins));
    if let Some((_, says, help)) = known {
        let says = match *says {
            "this is written twice" => format!("`{found}` is written twice"),
            says => says.to_owned(),
        };
        return (says, (*help).to_owned());
    }
    let help = if message.starts_with("invalid date") || message.starts_with("invalid time") {
        "write a day of the calendar and a time of day: 2026-06-21T15:20:00+10:00"
    } else {
        "write one key = value on each line, text and quantities in quotation marks"
    };
    (message.to_owned(), help.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_place_is_widened_to_something_visible_on_its_line() {
        for (text, start, covers) in [
            ("ab\ncd", 0, 0..1),
            ("ab\ncd", 2, 1..2),
            ("ab\ncd", 5, 4..5),
            ("ab\n\ncd", 3, 3..4),
            ("ab\n", 3, 2..3),
            ("ab\r\n", 2, 1..2),
            ("a\u{e9}", 2, 1..3),
            ("", 0, 0..0),
            ("ab", 99, 1..2),
        ] {
            assert_eq!(shown(text, &(start..start)), covers, "{text:?} {start}");
        }
        assert_eq!(shown("abc", &(1..3)), 1..3);
        assert_eq!(shown("abc", &(2..9)), 2..3, "a place beyond the text is brought into it");
    }

    #[test]
    fn a_key_may_hold_the_readers_own_marks() {
        let message = "unknown field `a`b, expected c\nd`, expected one of `format`, `kind`";
        let (said, help) = unknown_word(message).unwrap();
        assert_eq!(said, "unknown key `a`b, expected c\nd`");
        assert_eq!(help, "known here: format, kind");
    }

    #[test]
    fn the_readers_words_become_ours() {
        for (theirs, ours, help) in [
            (
                "invalid type: map, expected a string",
                "a table stands where text is meant",
                "quotation",
            ),
            (
                "invalid value: integer `300`, expected u8",
                "`300` stands where a whole number from 0 to 255 is meant",
                "without quotation marks",
            ),
            (
                "invalid type: string \"x, expected y\", expected struct Leg",
                "\"x, expected y\" stands where a table is meant",
                "heading",
            ),
            ("unclosed table, expected `]`", "the heading does not end", "]"),
            (
                "unexpected sign, expected nothing",
                "unexpected sign, expected nothing",
                "key = value",
            ),
        ] {
            let problem = explain("text", theirs, Some(0..4));
            assert_eq!(problem.message, ours);
            assert!(problem.help.unwrap().contains(help), "{theirs}");
        }
    }

    #[test]
    fn the_way_out_is_the_last_line_even_when_the_value_has_lines() {
        let problem = explain("text", "\"a\nb\" is no mass\nwrite a mass", Some(0..4));
        assert_eq!(problem.help.as_deref(), Some("write a mass"));
        assert_eq!(problem.message, "\"a\\nb\" is no mass");
    }
}
