//! Changing single values in the text of a TOML document. Everything that was not changed stays
//! as its author wrote it: comments, order, spacing.
//!
//! The parser says where each value stands; a change replaces those bytes, adds a line, or takes
//! lines away. Whether the changed document makes sense is for its reader to say.

pub(crate) mod stop;

use std::{fmt::Write as _, ops::Range};

use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

/// A step on the way to a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Step<'a> {
    /// The value of a key.
    Key(&'a str),
    /// One of several, from 0.
    At(usize),
}

/// What stands at a place, and where.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Found {
    /// As a person reads it: text without its quotes, anything else as written.
    pub(crate) text: String,
    /// The bytes it fills.
    pub(crate) at: Range<usize>,
}

/// A text as a TOML string.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A key as TOML writes it.
fn key(name: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if !name.is_empty() && name.chars().all(bare) { name.to_owned() } else { quoted(name) }
}

/// A document, parsed once for many looks.
pub(crate) struct Parsed<'a> {
    text: &'a str,
    table: Spanned<DeTable<'a>>,
}

impl<'a> Parsed<'a> {
    /// `None` when the text is no TOML.
    pub(crate) fn of(text: &'a str) -> Option<Self> {
        Some(Self { text, table: DeTable::parse(text).ok()? })
    }

    /// The value at a path; `None` when there is none.
    pub(crate) fn value(&self, path: &[Step<'_>]) -> Option<Found> {
        let value = self.at(path)?;
        let text = match value.get_ref() {
            DeValue::String(text) => text.to_string(),
            _ => self.text.get(value.span())?.to_owned(),
        };
        Some(Found { text, at: value.span() })
    }

    /// How many entries a list of tables has.
    pub(crate) fn count(&self, path: &[Step<'_>]) -> usize {
        match self.at(path).map(Spanned::get_ref) {
            Some(DeValue::Array(all)) => all.len(),
            _ => 0,
        }
    }

    fn at(&self, path: &[Step<'_>]) -> Option<&Spanned<DeValue<'a>>> {
        let mut table = Some(self.table.get_ref());
        let mut value: Option<&Spanned<DeValue<'a>>> = None;
        for step in path {
            let next = match (step, table, value.map(Spanned::get_ref)) {
                (Step::Key(name), Some(table), _) => {
                    table.iter().find(|(key, _)| key.get_ref() == name).map(|(_, value)| value)
                }
                (Step::At(place), _, Some(DeValue::Array(all))) => all.get(*place),
                _ => None,
            }?;
            table = match next.get_ref() {
                DeValue::Table(table) => Some(table),
                _ => None,
            };
            value = Some(next);
        }
        value
    }
}

/// The value at a path; `None` when there is none, or when the text is no TOML.
pub(crate) fn value(text: &str, path: &[Step<'_>]) -> Option<Found> {
    Parsed::of(text)?.value(path)
}

/// How many entries a list of tables has.
pub(crate) fn count(text: &str, path: &[Step<'_>]) -> usize {
    Parsed::of(text).map_or(0, |parsed| parsed.count(path))
}

/// A header with the lines below it.
struct Block {
    /// Where its tables lie: `people`, `0`.
    path: Vec<Part>,
    /// One of a list: `[[people]]`.
    listed: bool,
    /// From its header to the next, or the end.
    all: Range<usize>,
    /// Past its last line that is neither empty nor a comment.
    filled: usize,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Part {
    Key(String),
    At(usize),
}

impl Part {
    fn of(step: &Step<'_>) -> Self {
        match step {
            Step::Key(name) => Self::Key((*name).to_owned()),
            Step::At(place) => Self::At(*place),
        }
    }
}

/// The blocks of a text, the one above the first header first.
fn blocks(text: &str) -> Vec<Block> {
    let inside = DeTable::parse(text).map(|table| leaves(table.get_ref())).unwrap_or_default();
    let mut blocks = vec![Block { path: Vec::new(), listed: false, all: 0..0, filled: 0 }];
    let mut counts: Vec<(Vec<Part>, usize)> = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let begins = start + (line.len() - line.trim_start().len());
        // A bracket within a value opens no block.
        let free = !inside.iter().any(|at| at.start < begins && begins < at.end);
        let words = line.trim();
        if free && words.starts_with('[') {
            if let Some(last) = blocks.last_mut() {
                last.all.end = start;
            }
            let (path, listed) = header(words, &mut counts);
            let all = start..text.len();
            blocks.push(Block { path, listed, all, filled: start + line.len() });
        } else if let Some(last) = blocks.last_mut()
            && !words.is_empty()
            && (!words.starts_with('#') || !free)
        {
            last.filled = start + line.len();
        }
        start += line.len();
    }
    if let Some(last) = blocks.last_mut() {
        last.all.end = text.len();
    }
    blocks
}

/// The places of all values that are no tables with a header of their own.
fn leaves(table: &DeTable<'_>) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    for (_, value) in table {
        match value.get_ref() {
            DeValue::Table(inner) => found.extend(leaves(inner)),
            DeValue::Array(all)
                if all.iter().all(|each| matches!(each.get_ref(), DeValue::Table(_))) =>
            {
                for each in all {
                    if let DeValue::Table(inner) = each.get_ref() {
                        found.extend(leaves(inner));
                    }
                }
            }
            _ => found.push(value.span()),
        }
    }
    found
}

/// The path that a header names; entries of a list are counted.
fn header(words: &str, counts: &mut Vec<(Vec<Part>, usize)>) -> (Vec<Part>, bool) {
    let listed = words.starts_with("[[");
    let inner = words.trim_start_matches('[');
    let inner = inner.split_once(']').map_or(inner, |(inner, _)| inner);
    let keys: Vec<&str> =
        inner.split('.').map(|key| key.trim().trim_matches(['"', '\''])).collect();
    let mut path = Vec::new();
    for (number, key) in keys.iter().enumerate() {
        path.push(Part::Key((*key).to_owned()));
        let last = number + 1 == keys.len();
        let known = counts.iter_mut().find(|(list, _)| *list == path);
        match known {
            Some((_, count)) => {
                *count += usize::from(last && listed);
                path.push(Part::At(*count));
            }
            None if last && listed => {
                counts.push((path.clone(), 0));
                path.push(Part::At(0));
            }
            None => {}
        }
    }
    (path, listed)
}

/// Sets a value; `literal` is TOML. `None` when there is no table it could stand in.
pub(crate) fn set(text: &str, path: &[Step<'_>], literal: &str) -> Option<String> {
    if let Some(found) = value(text, path) {
        return Some(replaced(text, found.at, literal));
    }
    let (last, parent) = path.split_last()?;
    let Step::Key(name) = last else { return None };
    let wanted: Vec<Part> = parent.iter().map(Part::of).collect();
    if let Some(block) = blocks(text).into_iter().find(|block| block.path == wanted) {
        let line = format!("{} = {literal}\n", key(name));
        let before = text.get(..block.filled)?;
        let gap = if before.is_empty() || before.ends_with('\n') { "" } else { "\n" };
        return Some(replaced(text, block.filled..block.filled, &format!("{gap}{line}")));
    }
    if let Some(table) = value(text, parent).filter(|table| table.text.starts_with('{')) {
        // A table in line, with something in it or nothing.
        let inner = table.text.trim_start_matches('{').trim_end_matches('}').trim();
        let inner = inner.trim_end_matches(',');
        let comma = if inner.is_empty() { "" } else { ", " };
        let filled = format!("{{ {inner}{comma}{} = {literal} }}", key(name));
        return Some(replaced(text, table.at, &filled));
    }
    match parent {
        [Step::Key(_)] => {
            // A block of its own at the end, but never one of a list that is not there.
            let gap = if text.ends_with('\n') { "\n" } else { "\n\n" };
            let Some(Step::Key(table)) = parent.first() else { return None };
            Some(format!("{text}{gap}[{}]\n{} = {literal}\n", key(table), key(name)))
        }
        [.., Step::Key(_)] => set(text, parent, &format!("{{ {} = {literal} }}", key(name))),
        _ => None,
    }
}

/// Takes a value away with its key; the text as it is when there is none.
pub(crate) fn unset(text: &str, path: &[Step<'_>]) -> String {
    let Some(found) = value(text, path) else { return text.to_owned() };
    let start = text[..found.at.start].rfind('\n').map_or(0, |at| at + 1);
    let end = text[found.at.end..].find('\n').map_or(text.len(), |at| found.at.end + at + 1);
    let before = text.get(start..found.at.start).unwrap_or_default();
    if !before.contains(['{', ',']) {
        return replaced(text, start..end, "");
    }
    // In a table in line: from the comma before it, or to the one after it.
    let key_at = text[..found.at.start].rfind(['{', ',']).unwrap_or(start);
    let after = text[found.at.end..].find([',', '}']).map(|at| found.at.end + at);
    match (text.as_bytes().get(key_at), after) {
        (Some(b','), _) => replaced(text, key_at..found.at.end, ""),
        (_, Some(after)) if text.as_bytes().get(after) == Some(&b',') => {
            replaced(text, key_at + 1..after + 1, "")
        }
        _ => replaced(text, key_at + 1..found.at.end, ""),
    }
}

/// The way to a list: `fuel.drums` is one within a table.
fn list_path(list: &str) -> Vec<Part> {
    list.split('.').map(|key| Part::Key(key.to_owned())).collect()
}

/// Adds an entry to a list of tables, after its last one.
pub(crate) fn add(text: &str, list: &str, lines: &[(&str, String)]) -> String {
    let path = list_path(list);
    let of = |block: &&Block| block.listed && block.path.starts_with(&path);
    let name: Vec<String> = list.split('.').map(key).collect();
    let mut entry = format!("\n[[{}]]\n", name.join("."));
    for (name, literal) in lines {
        let _ = writeln!(entry, "{} = {literal}", key(name));
    }
    match blocks(text).iter().rfind(of) {
        Some(last) => {
            let gap = if text[..last.filled].ends_with('\n') { "" } else { "\n" };
            replaced(text, last.filled..last.filled, &format!("{gap}{entry}"))
        }
        None => {
            let gap = if text.ends_with('\n') { "" } else { "\n" };
            format!("{text}{gap}{entry}")
        }
    }
}

/// Takes an entry of a list of tables away, with the tables inside it. A comment above its
/// header stays.
pub(crate) fn take_away(text: &str, list: &str, place: usize) -> String {
    let mut path = list_path(list);
    path.push(Part::At(place));
    without(text, &path)
}

/// Takes a table away, whether it has a header of its own or stands in line.
pub(crate) fn take_table(text: &str, name: &str) -> String {
    let path = [Part::Key(name.to_owned())];
    if blocks(text).iter().any(|block| block.path.starts_with(&path)) {
        return without(text, &path);
    }
    unset(text, &[Step::Key(name)])
}

/// The text without the blocks below a path.
fn without(text: &str, path: &[Part]) -> String {
    let blocks = blocks(text);
    let mut out = text.to_owned();
    for block in blocks.iter().rev().filter(|block| block.path.starts_with(path)) {
        // What stands between its last line and the next header belongs to that header.
        let next = text[block.filled..block.all.end].find(|c: char| !c.is_whitespace());
        let end = next.map_or(block.all.end, |at| block.filled + at);
        out.replace_range(block.all.start..end.min(block.all.end), "");
    }
    out
}

fn replaced(text: &str, at: Range<usize>, with: &str) -> String {
    let mut out = text.to_owned();
    out.replace_range(at, with);
    out
}

#[cfg(test)]
mod tests {
    use super::{
        Step::{At, Key},
        *,
    };

    const TEXT: &str = r#"# A stop.
title = "A \"stop\"" # its name
departs = 2026-12-03T13:40:00+05:30

[weather]
wind = { from = "070 degT", speed = "6 kt" } # typed

# The pilot.
[[people]]
name = "A"
mass = "79 kg" # on the scale

[[people]]
name = "B"

# Below the people.
[[items]]
what = "bags"

[fuel]
grade = "avgas 100LL"

[[fuel.tanks]]
tank = "left"
corners = [
  [0, 1],
]

[[fuel.tanks]]
tank = "right"
"#;

    #[test]
    fn a_value_is_found_with_its_place() {
        let read = |path: &[Step<'_>]| value(TEXT, path).map(|found| found.text);
        assert_eq!(read(&[Key("title")]).as_deref(), Some("A \"stop\""));
        assert_eq!(read(&[Key("departs")]).as_deref(), Some("2026-12-03T13:40:00+05:30"));
        assert_eq!(read(&[Key("people"), At(1), Key("name")]).as_deref(), Some("B"));
        assert_eq!(read(&[Key("weather"), Key("wind"), Key("speed")]).as_deref(), Some("6 kt"));
        assert_eq!(
            read(&[Key("fuel"), Key("tanks"), At(1), Key("tank")]).as_deref(),
            Some("right")
        );
        assert_eq!(read(&[Key("people"), At(2), Key("name")]), None);
        assert_eq!(count(TEXT, &[Key("people")]), 2);
        assert_eq!(count(TEXT, &[Key("fuel"), Key("tanks")]), 2);
    }

    #[test]
    fn setting_changes_these_bytes_and_no_others() {
        let path = [Key("people"), At(0), Key("mass")];
        let changed = set(TEXT, &path, "\"81 kg\"").unwrap();
        assert_eq!(changed, TEXT.replace("\"79 kg\" # on", "\"81 kg\" # on"));
        let path = [Key("weather"), Key("wind"), Key("speed")];
        let changed = set(TEXT, &path, "\"9 kt\"").unwrap();
        assert_eq!(changed, TEXT.replace("6 kt", "9 kt"));
    }

    #[test]
    fn a_value_that_was_not_there_is_added_in_its_own_table() {
        for (path, line, after) in [
            (vec![Key("people"), At(1), Key("mass")], "mass = 1\n", "name = \"B\"\n"),
            (vec![Key("people"), At(0), Key("seat")], "seat = 1\n", "# on the scale\n"),
            (vec![Key("weather"), Key("wet")], "wet = 1\n", "# typed\n"),
            (vec![Key("fuel"), Key("tanks"), At(0), Key("dip")], "dip = 1\n", "],\n]\n"),
            (vec![Key("pack")], "pack = 1\n", "departs = 2026-12-03T13:40:00+05:30\n"),
        ] {
            let changed = set(TEXT, &path, "1").unwrap();
            assert_eq!(changed, TEXT.replacen(after, &format!("{after}{line}"), 1), "{path:?}");
            assert_eq!(value(&changed, &path).unwrap().text, "1");
        }
        let path = [Key("weather"), Key("wind"), Key("gust")];
        let changed = set(TEXT, &path, "\"9 kt\"").unwrap();
        assert!(changed.contains("speed = \"6 kt\", gust = \"9 kt\" } # typed"), "{changed}");
    }

    #[test]
    fn a_table_that_was_not_there_is_added_at_the_end() {
        let path = [Key("ground"), Key("heading")];
        let changed = set(TEXT, &path, "\"090 degT\"").unwrap();
        assert_eq!(changed, format!("{TEXT}\n[ground]\nheading = \"090 degT\"\n"));
        let text = "a = 1\n[weather]\nwet = true";
        let path = [Key("weather"), Key("wind"), Key("speed")];
        let changed = set(text, &path, "\"9 kt\"").unwrap();
        assert_eq!(changed, "a = 1\n[weather]\nwet = true\nwind = { speed = \"9 kt\" }\n");
    }

    #[test]
    fn taking_away_leaves_no_trace_and_nothing_else() {
        let gone = unset(TEXT, &[Key("people"), At(0), Key("mass")]);
        assert_eq!(gone, TEXT.replace("mass = \"79 kg\" # on the scale\n", ""));
        let gone = unset(TEXT, &[Key("weather"), Key("wind"), Key("speed")]);
        assert!(gone.contains("wind = { from = \"070 degT\" } # typed"), "{gone}");
        let gone = unset(TEXT, &[Key("weather"), Key("wind"), Key("from")]);
        assert!(gone.contains("wind = { speed = \"6 kt\" } # typed"), "{gone}");
        assert_eq!(unset(TEXT, &[Key("nothing")]), TEXT);
    }

    #[test]
    fn entries_are_added_after_the_last_and_taken_away_alone() {
        let added = add(TEXT, "people", &[("name", quoted("C")), ("mass", quoted("60 kg"))]);
        let entry = "name = \"B\"\n\n[[people]]\nname = \"C\"\nmass = \"60 kg\"\n";
        assert_eq!(added, TEXT.replace("name = \"B\"\n", entry));
        assert_eq!(take_away(&added, "people", 2), TEXT);
        let fewer = take_away(TEXT, "people", 0);
        assert_eq!(value(&fewer, &[Key("people"), At(0), Key("name")]).unwrap().text, "B");
        assert!(fewer.contains("# The pilot.") && fewer.contains("# Below the people."));
        let first = add("title = \"x\"", "people", &[("name", quoted("C"))]);
        assert_eq!(first, "title = \"x\"\n\n[[people]]\nname = \"C\"\n");
    }

    #[test]
    fn any_text_survives_as_a_string() {
        for text in ["", "a\"b\\c", "line\nbreak\ttab", "\u{1}\u{7f}", "bögen", "'''\"\"\""] {
            let document = format!("a = {}", quoted(text));
            assert_eq!(value(&document, &[Key("a")]).unwrap().text, text);
        }
    }
}
