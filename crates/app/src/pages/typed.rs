//! What was typed into a form or an address.

/// Names and texts, in the order they came.
#[derive(Clone, Debug, Default)]
pub(crate) struct Pairs(pub(crate) Vec<(String, String)>);

impl Pairs {
    /// What was typed into a field, without the spaces around it; empty when nothing.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.0.iter().find(|(field, _)| field == name).map_or("", |(_, text)| text.trim())
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
