//! Every text of a document or a record, one by one.

use std::{collections::BTreeMap, ops::Range};

use toml::{
    Spanned,
    de::{DeTable, DeValue},
};

/// Calls `with` for every text of a record, with the key it stands at.
pub(crate) fn each_word(value: &mut serde_json::Value, with: &mut impl FnMut(&str, &mut String)) {
    use serde_json::Value;
    fn walk(value: &mut Value, key: &str, with: &mut impl FnMut(&str, &mut String)) {
        match value {
            Value::String(text) => with(key, text),
            Value::Array(all) => all.iter_mut().for_each(|one| walk(one, key, with)),
            Value::Object(all) => all.iter_mut().for_each(|(key, one)| walk(one, key, with)),
            _ => {}
        }
    }
    walk(value, "", with);
}

/// A text of a document.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    /// Where it stands: `.people.0.name`.
    pub(crate) at: String,
    /// What it says.
    pub(crate) text: String,
    span: Range<usize>,
}

/// A document whose texts can be replaced; all else stays as written.
#[derive(Clone, Debug)]
pub(crate) struct Fields {
    document: String,
    /// Its texts, as they follow each other.
    pub(crate) all: Vec<Field>,
}

impl Fields {
    pub(crate) fn of(document: &str) -> Self {
        let table = DeTable::parse(document).unwrap();
        let mut all = Vec::new();
        for (key, value) in table.get_ref() {
            walk(value, &format!(".{}", key.get_ref()), &mut all);
        }
        all.sort_by_key(|field| field.span.start);
        Self { document: document.to_owned(), all }
    }

    /// The document with these texts in the place of its own, by their places in `all`.
    pub(crate) fn with(&self, texts: &BTreeMap<usize, String>) -> String {
        let mut document = self.document.clone();
        for (place, text) in texts.iter().rev() {
            document.replace_range(self.all[*place].span.clone(), &quoted(text));
        }
        document
    }
}

fn walk(value: &Spanned<DeValue<'_>>, at: &str, all: &mut Vec<Field>) {
    match value.get_ref() {
        DeValue::String(text) => {
            all.push(Field { at: at.to_owned(), text: text.to_string(), span: value.span() });
        }
        DeValue::Array(list) => {
            list.iter().enumerate().for_each(|(n, one)| walk(one, &format!("{at}.{n}"), all));
        }
        DeValue::Table(table) => {
            table.iter().for_each(|(key, one)| walk(one, &format!("{at}.{}", key.get_ref()), all));
        }
        _ => {}
    }
}

/// A text as TOML writes it, whatever is in it.
fn quoted(text: &str) -> String {
    let one = |sign: char| match sign {
        '"' | '\\' => format!("\\{sign}"),
        sign if sign.is_control() => format!("\\u{:04X}", u32::from(sign)),
        sign => sign.to_string(),
    };
    format!("\"{}\"", text.chars().map(one).collect::<String>())
}
