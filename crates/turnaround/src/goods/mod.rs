//! Dangerous goods: what people carry, against the tables that the rules in force name.
//!
//! [`Goods::of`] takes tables and exceptions from the rules. [`Ears::hear`] turns everyday words
//! into an item, or into "not known which", which counts as not allowed. [`screen`] gives each
//! thing one of five answers, adding up what one person carries. [`Screening`] is what the
//! documents of a turnaround declare.
//!
//! Where several tables are in force the most cautious answer is given. An exception is shown to
//! be read and is never used.

mod declared;
mod hear;
mod judge;
mod said;

use stillprop_rules::{
    builtin,
    goods::{Item, Row, Table, Vocabulary},
    pack::{Exception, Pack},
    rules::Rules,
    situation::Operation,
};

pub(crate) use declared::stands;
pub use declared::{Bag, Declared, Screening};
pub use hear::{Ears, Heard, Strictness, Unsure};
pub use judge::{Answer, Ground, Judged, Thing, screen};

/// Tables in force, and the words for their items.
pub struct Goods {
    /// The words and items.
    pub vocabulary: &'static Vocabulary,
    /// Each table counts.
    pub tables: Vec<&'static Table>,
    /// Packs that are asked and have no table: with one of them every answer is unknown.
    pub without: Vec<String>,
}

/// Exceptions that may apply, with their pack: to any operation when it is not said.
#[must_use]
pub fn exceptions(rules: &Rules, operation: Option<Operation>) -> Vec<(String, Exception)> {
    let may = |exception: &&Exception| match (exception.operation, operation) {
        (Some(of), Some(operation)) => of == operation,
        _ => true,
    };
    let of_pack = |pack: &Pack| {
        let all = pack.exceptions.iter().filter(may);
        all.map(|exception| (pack.id.clone(), exception.clone())).collect::<Vec<_>>()
    };
    rules.packs().into_iter().flat_map(of_pack).collect()
}

impl Goods {
    /// What the rules in force say of goods.
    ///
    /// # Errors
    ///
    /// When a table of the program cannot be read, which its tests exclude.
    pub fn of(rules: &Rules) -> Result<Self, String> {
        let vocabulary = builtin::vocabulary().map_err(|problem| problem.message)?;
        let tables: Result<Vec<_>, _> = rules.goods().into_iter().map(builtin::goods).collect();
        Ok(Self {
            vocabulary,
            tables: tables.map_err(|problem| problem.message)?,
            without: rules.without_goods().into_iter().map(str::to_owned).collect(),
        })
    }

    /// The words made ready for searching.
    #[must_use]
    pub fn ears(&self) -> Ears {
        Ears::new(self.vocabulary, |item| self.strictness(item))
    }

    /// The item of a short name.
    #[must_use]
    pub fn item(&self, id: &str) -> Option<&'static Item> {
        self.vocabulary.item(id)
    }

    /// How strict the strictest table is on an item at its mildest.
    #[must_use]
    pub fn strictness(&self, item: &str) -> Strictness {
        let in_table = |table: &&Table| table.rows_of(item).map(mildest).min();
        let of_table = |table| in_table(table).unwrap_or(Strictness::NoRow);
        self.tables.iter().map(of_table).max().unwrap_or(Strictness::NoRow)
    }
}

fn mildest(row: &Row) -> Strictness {
    let limited = row.count.is_some() || !row.each.is_empty() || !row.total.is_empty();
    let everywhere = row.person && row.cabin && row.hold;
    match row {
        row if row.forbids() => Strictness::Forbidden,
        row if row.approval => Strictness::Approval,
        row if limited || !everywhere || !row.conditions.is_empty() => Strictness::Conditional,
        _ => Strictness::Free,
    }
}

#[cfg(test)]
mod phrases;
#[cfg(test)]
mod rows;
