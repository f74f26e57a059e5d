//! Dangerous goods that people carry: what a table allows of each item, and the words for it.
//!
//! A table is data like a pack: every row names document, clause, edition, status and how it
//! was read ([`Table::read`]). The items and the words that people say for them stand once for
//! all tables ([`Vocabulary::read`]). Nothing is judged here.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;
use stillprop_calc::{
    quantity::Amount,
    unit::{self, Kind, Unit},
};

use crate::{
    check::{self, Cited},
    document::{self, At, Day, Problem, did_you_mean},
    pack::{Citation, Read, Source, Status},
    shape::SourceShape,
    words::words,
};

words! {
    /// Where a thing travels.
    Place {
        /// On somebody's body.
        Person = "person",
        /// In the cabin, in reach of a person.
        Cabin = "cabin",
        /// In a locker that can be reached in flight.
        Reachable = "reachable hold",
        /// In a locker that cannot.
        Hold = "hold",
    }
}

/// A quantity of goods as written, with the unit it was written in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The quantity: a mass, a volume or an energy.
    pub amount: Amount,
    /// The unit.
    pub unit: Unit,
}

impl std::fmt::Display for Measured {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let value = (self.amount.in_unit(self.unit) * 1e6).round() / 1e6;
        write!(f, "{value} {}", self.unit.symbol)
    }
}

/// What goods are measured in.
const KINDS: [Kind; 3] = [Kind::Mass, Kind::Volume, Kind::Energy];

/// Reads a quantity of goods: `300 mL`, `0.5 kg`, `74 Wh`.
///
/// # Errors
///
/// In words, with a way out, when it is none of these or not above zero.
pub fn measured(text: &str) -> Result<Measured, (String, String)> {
    let help = || "write a mass, a volume or an energy: \"0.5 kg\", \"300 mL\", \"74 Wh\"".into();
    let read = KINDS.iter().find_map(|kind| unit::read(text, *kind).ok());
    match read {
        Some((amount, unit)) if amount.si > 0.0 && amount.si.is_finite() => {
            Ok(Measured { amount, unit })
        }
        Some(_) => Err((format!("`{text}` is not above zero"), help())),
        None => Err((format!("`{text}` is no quantity of goods"), help())),
    }
}

/// A row of a table: one item, or one band of its size.
#[derive(Clone, Debug)]
pub struct Row {
    /// Which item.
    pub item: String,
    /// On the person.
    pub person: bool,
    /// In the cabin.
    pub cabin: bool,
    /// In the hold.
    pub hold: bool,
    /// The approval of the operator is needed; of the pilot where there is no operator.
    pub approval: bool,
    /// The row is for pieces above this.
    pub over: Option<Measured>,
    /// Greatest size of a piece; alternatives of different kinds.
    pub each: Vec<Measured>,
    /// Greatest sum of a person; alternatives of different kinds.
    pub total: Vec<Measured>,
    /// Rows of one pool are added up together.
    pub pool: Option<String>,
    /// Greatest number of a person.
    pub count: Option<u32>,
    /// What must be so.
    pub conditions: Vec<String>,
    /// Where it comes from.
    pub citation: Citation,
    /// How binding it is.
    pub status: Status,
    /// How it reached us.
    pub read: Read,
    /// What a reader must know.
    pub note: Option<String>,
}

impl Row {
    /// Whether the rule lets it travel there. A locker that can be reached is allowed only what
    /// both cabin and hold are: the rules do not know it. `None` where they differ.
    #[must_use]
    pub const fn at(&self, place: Place) -> Option<bool> {
        match place {
            Place::Person => Some(self.person),
            Place::Cabin => Some(self.cabin),
            Place::Hold => Some(self.hold),
            Place::Reachable if self.cabin == self.hold => Some(self.hold),
            Place::Reachable => None,
        }
    }

    /// True when it may travel nowhere.
    #[must_use]
    pub const fn forbids(&self) -> bool {
        !(self.person || self.cabin || self.hold)
    }
}

/// A table of what people may carry.
#[derive(Clone, Debug)]
pub struct Table {
    /// Short name, as packs name it.
    pub id: String,
    /// Name for a person.
    pub title: String,
    /// Whose rules these are.
    pub jurisdiction: String,
    /// Edition of this table.
    pub edition: String,
    /// When it was last compared with its sources.
    pub checked: Day,
    /// Its rows; those of one item from the smallest band to the greatest.
    pub rows: Vec<Row>,
}

impl Table {
    /// Reads and checks a table.
    ///
    /// # Errors
    ///
    /// Every problem found, in the order of the document.
    pub fn read(text: &str, vocabulary: &Vocabulary) -> Result<Self, Vec<Problem>> {
        let shape: TableShape = document::read(text).map_err(|problem| vec![problem])?;
        table(shape, vocabulary)
    }

    /// The rows of an item.
    pub fn rows_of<'a>(&'a self, item: &'a str) -> impl Iterator<Item = &'a Row> + 'a {
        self.rows.iter().filter(move |row| row.item == item)
    }
}

/// An item that tables have rows for.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// Short name.
    pub id: String,
    /// Name for a person.
    pub title: String,
    /// What people say for it.
    pub words: Vec<String>,
    /// A question to ask aloud.
    pub ask: String,
    /// What to look for in the bag.
    pub look: String,
    /// True when what is sold under these words is always below the first limit of size.
    #[serde(default)]
    pub small_as_sold: bool,
    /// Drinks: the part of alcohol above which it is this item.
    pub strength_over: Option<f64>,
}

/// Words that hint at danger: of one item, of several of which it is not known which, or of
/// what is in no table.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hint {
    /// The words.
    pub words: Vec<String>,
    /// Short names of the items they may mean; none when it is not known.
    #[serde(default)]
    pub items: Vec<String>,
}

/// The items and the words for them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vocabulary {
    /// Version of the format; 1.
    pub format: u32,
    /// The word `goods-words`.
    pub kind: String,
    /// Words that change nothing: articles, containers, owners.
    pub plain: Vec<String>,
    /// The items.
    pub item: Vec<Item>,
    /// Hints of danger.
    pub hint: Vec<Hint>,
}

impl Vocabulary {
    /// Reads a vocabulary.
    ///
    /// # Errors
    ///
    /// The first problem of its shape.
    pub fn read(text: &str) -> Result<Self, Problem> {
        document::read(text)
    }

    /// The item of a short name.
    #[must_use]
    pub fn item(&self, id: &str) -> Option<&Item> {
        self.item.iter().find(|item| item.id == id)
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TableShape {
    format: At<u32>,
    #[serde(rename = "kind")]
    _kind: KindWord,
    id: String,
    title: String,
    jurisdiction: String,
    edition: String,
    checked: Day,
    sources: BTreeMap<String, At<SourceShape>>,
    row: Vec<RowShape>,
}

#[derive(Debug, Deserialize)]
enum KindWord {
    #[serde(rename = "goods")]
    Goods,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RowShape {
    item: At<String>,
    /// `person`, `cabin`, `hold`; empty when it is forbidden.
    places: At<Vec<Allowed>>,
    #[serde(default)]
    approval: bool,
    over: Option<At<String>>,
    #[serde(default)]
    each: Vec<At<String>>,
    #[serde(default)]
    total: Vec<At<String>>,
    pool: Option<String>,
    count: Option<u32>,
    #[serde(default)]
    conditions: Vec<String>,
    source: At<String>,
    clause: At<String>,
    status: Status,
    read: Read,
    note: Option<String>,
}

#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
enum Allowed {
    Person,
    Cabin,
    Hold,
}

fn table(shape: TableShape, vocabulary: &Vocabulary) -> Result<Table, Vec<Problem>> {
    let mut problems = Vec::new();
    if shape.format.value != 1 {
        let message = format!("format {} is not known", shape.format.value);
        problems.push(
            Problem::new(shape.format.at.clone(), message).help("this program reads format = 1"),
        );
    }
    let cited: BTreeSet<&str> = shape.row.iter().map(|row| row.source.value.as_str()).collect();
    check::unused_sources(&shape.sources, &cited, &mut problems);
    let sources = check::sources(shape.sources);
    let rows: Vec<Row> = shape
        .row
        .into_iter()
        .filter_map(|shape| row(shape, &sources, vocabulary, &mut problems))
        .collect();
    if !problems.is_empty() {
        problems.sort_by_key(|problem| problem.at.start);
        return Err(problems);
    }
    Ok(Table {
        id: shape.id,
        title: shape.title,
        jurisdiction: shape.jurisdiction,
        edition: shape.edition,
        checked: shape.checked,
        rows,
    })
}

fn row(
    shape: RowShape,
    sources: &BTreeMap<String, Source>,
    vocabulary: &Vocabulary,
    problems: &mut Vec<Problem>,
) -> Option<Row> {
    if vocabulary.item(&shape.item.value).is_none() {
        let known: Vec<_> = vocabulary.item.iter().map(|item| item.id.as_str()).collect();
        problems.push(
            Problem::new(shape.item.at.clone(), format!("unknown item `{}`", shape.item.value))
                .help(did_you_mean(&shape.item.value, &known)),
        );
    }
    let source = check::source(&shape.source, sources, problems);
    let cited = Cited { at: &shape.item.at, clause: &shape.clause, read: shape.read };
    check::remarks(&cited, shape.note.as_deref(), problems);
    let mut quantity = |written: &At<String>| match measured(&written.value) {
        Ok(measured) => Some(measured),
        Err((message, help)) => {
            problems.push(Problem::new(written.at.clone(), message).help(help));
            None
        }
    };
    let over = shape.over.as_ref().and_then(&mut quantity);
    let each = shape.each.iter().filter_map(&mut quantity).collect();
    let total = shape.total.iter().filter_map(&mut quantity).collect();
    let places = &shape.places.value;
    Some(Row {
        item: shape.item.value,
        person: places.contains(&Allowed::Person),
        cabin: places.contains(&Allowed::Cabin),
        hold: places.contains(&Allowed::Hold),
        approval: shape.approval,
        over,
        each,
        total,
        pool: shape.pool,
        count: shape.count,
        conditions: shape.conditions,
        citation: Citation { source: source?, clause: shape.clause.value },
        status: shape.status,
        read: shape.read,
        note: shape.note,
    })
}
