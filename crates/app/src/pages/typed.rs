//! What was typed into a form or an address.

/// Names and texts, in the order they came.
#[derive(Clone, Debug, Default)]
pub(crate) struct Pairs(pub(crate) Vec<(String, String)>);

impl Pairs {
    /// What was typed into a field, without the spaces around it; empty when nothing.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.0.iter().find(|(field, _)| field == name).map_or("", |(_, text)| text.trim())
    }

    /// Everything that was typed or ticked under a name.
    pub(crate) fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.0.iter().filter(move |(field, _)| field == name).map(|(_, text)| text.trim())
    }

    /// Whether this was typed or ticked under a name.
    pub(crate) fn has(&self, name: &str, text: &str) -> bool {
        self.all(name).any(|said| said == text)
    }

    /// A number with the unit from another field. One that came with its unit is left as it is.
    pub(crate) fn amount(&self, name: &str, unit: &str) -> String {
        let (number, unit) = (self.text(name), self.text(unit));
        let whole = number.is_empty() || unit.is_empty() || number.chars().any(char::is_alphabetic);
        if whole { number.to_owned() } else { format!("{number} {unit}") }
    }

    /// The same, `None` when nothing was typed.
    pub(crate) fn given(&self, name: &str) -> Option<&str> {
        Some(self.text(name)).filter(|text| !text.is_empty())
    }
}
