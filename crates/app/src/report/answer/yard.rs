//! Containers of the yard, judged.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::{Quantity, ready::Limit};

/// The containers of a place, or all.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Containers<'a> {
    pub(crate) containers: Vec<Container<'a>>,
    /// What every answer carries.
    pub(crate) caution: &'static str,
}

/// A container alone, with its history.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "ContainerHistory")]
pub(crate) struct One<'a> {
    #[serde(flatten)]
    pub(crate) container: Container<'a>,
    /// Its records, oldest first.
    pub(crate) history: Vec<&'a Past>,
    /// What every answer carries.
    pub(crate) caution: &'static str,
}

/// A container and how it is judged.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Container<'a> {
    pub(crate) id: &'a str,
    /// What people call it.
    pub(crate) label: &'a str,
    pub(crate) place: &'a str,
    pub(crate) rack: Option<&'a str>,
    pub(crate) grade: &'a str,
    pub(crate) batch: &'a str,
    pub(crate) supplier: &'a str,
    /// The day it was filled.
    pub(crate) filled: Option<String>,
    /// By the book.
    pub(crate) left: Quantity,
    /// In a word.
    pub(crate) state: &'static str,
    /// Its limits.
    pub(crate) limits: Vec<Limit<'a>>,
    /// What does not add up.
    pub(crate) findings: Vec<String>,
}

/// A record of the ledger.
#[derive(Clone, Debug, JsonSchema, Serialize)]
#[schemars(rename = "ContainerRecord")]
pub(crate) struct Past {
    pub(crate) record: String,
    pub(crate) at: String,
    pub(crate) author: String,
    /// In words.
    pub(crate) says: String,
    /// As it was recorded; none when it cannot be read.
    pub(crate) event: Option<Value>,
    /// Its hash, where a report proves that it was not changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) hash: Option<String>,
}

/// What is due or needs a hand.
#[derive(Debug, JsonSchema, Serialize)]
#[schemars(rename = "DueList")]
pub(crate) struct Dues<'a> {
    pub(crate) due: Vec<&'a Due>,
    /// What every answer carries.
    pub(crate) caution: &'static str,
}

/// Something to see to at a container.
#[derive(Clone, Debug, JsonSchema, Serialize)]
pub(crate) struct Due {
    /// Its id.
    pub(crate) container: String,
    /// What people call it.
    pub(crate) label: String,
    pub(crate) place: String,
    #[serde(flatten)]
    pub(crate) what: What,
}

/// What is to be seen to.
#[derive(Clone, Debug, JsonSchema, Serialize)]
#[serde(untagged)]
pub(crate) enum What {
    /// A limit that does not hold.
    Limit {
        /// Its name.
        limit: String,
        /// `breaks` or `unknown`.
        verdict: &'static str,
        /// What to do.
        act: String,
    },
    /// How it is stored.
    Storage {
        /// What to put right.
        storage: String,
    },
    /// What does not add up.
    Finding {
        /// In words.
        finding: String,
    },
}
