//! Numbers that an answer shows beside its limits: fuel, balance, light, wind. Each has a name,
//! and under that name its working, from the run of the same function that made it.

use stillprop_calc::quantity::Amount;

use crate::limits::{Family, Id};

/// A number without a bound.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// Its name: `load.mass.take-off`.
    pub id: String,
    /// Its family.
    pub family: Family,
    /// What is measured: `mass`.
    pub name: &'static str,
    /// Of what, where there are several: `take-off`, `landing Oumbrel`.
    pub of: Option<String>,
    /// What it says, in the units of the reader; what is missing.
    pub says: String,
    /// The same as a quantity, where it is one.
    pub amount: Option<Amount>,
}

impl Number {
    pub(super) fn new(id: Id<'_>, amount: Option<Amount>, says: String) -> Self {
        let (family, name, of) = (id.family, id.name, id.of.map(str::to_owned));
        Self { id: id.to_string(), family, name, of, says, amount }
    }

    /// What the number is called in a table: `final reserve`.
    #[must_use]
    pub fn label(&self) -> String {
        match (self.family, self.name) {
            (Family::Fuel, "aboard") => "aboard, usable".to_owned(),
            (Family::Fuel, "capacity") => "tanks hold".to_owned(),
            (Family::Fuel, "unusable") => "(not usable)".to_owned(),
            (Family::Strip, "mass-allowed") => "mass it allows for take-off".to_owned(),
            (Family::Flight, "above-reserve") => "endurance to the final reserve".to_owned(),
            (Family::Flight, "no-return") => "point of no return".to_owned(),
            (Family::Flight, "equal-time") => "equal time point".to_owned(),
            (_, name) => name.replace('-', " "),
        }
    }
}

/// Numbers of one family as rows and columns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table<'a> {
    /// What is measured, in order.
    pub columns: Vec<&'a Number>,
    /// Each thing that is measured, with its numbers in the order of the columns.
    pub rows: Vec<(&'a str, Vec<&'a Number>)>,
}

/// The numbers of a family that are of something, a row for each.
#[must_use]
pub fn table(numbers: &[Number], family: Family) -> Table<'_> {
    let mut table = Table::default();
    for number in numbers.iter().filter(|number| number.family == family) {
        let Some(of) = number.of.as_deref() else { continue };
        match table.rows.iter_mut().find(|(row, _)| *row == of) {
            Some((_, cells)) => cells.push(number),
            None => table.rows.push((of, vec![number])),
        }
    }
    table.columns = table.rows.first().map(|(_, cells)| cells.clone()).unwrap_or_default();
    table
}

/// The numbers of a family there is one of.
pub fn single(numbers: &[Number], family: Family) -> impl Iterator<Item = &Number> + Clone {
    numbers.iter().filter(move |number| number.family == family && number.of.is_none())
}
