//! What is told to whom after an event, and a draft of it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::yard::Past;

/// After an event: who is told by when, what to keep, a draft.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Report<'a> {
    /// What happened, in a word.
    pub(crate) event: &'static str,
    pub(crate) title: Option<&'a str>,
    /// The rules it was looked up in.
    pub(crate) rules: String,
    /// When it happened; none when neither a person nor a record says so.
    pub(crate) at: Option<String>,
    /// What is done first.
    pub(crate) first: Option<&'a [String]>,
    pub(crate) duties: Vec<Duty<'a>>,
    /// What is kept as it is.
    pub(crate) keep: Option<&'a [String]>,
    /// What a report says.
    pub(crate) say: &'a [String],
    /// What is known of it, by name; what is not known stands in square brackets.
    pub(crate) draft: BTreeMap<String, String>,
    /// The records of this aeroplane within a day, oldest first; none without a ledger.
    pub(crate) records: Option<Vec<&'a Past>>,
    /// Earlier records of it in this time, which are not among them.
    pub(crate) records_before: usize,
    /// Records of this place and time about other drums and aeroplanes.
    pub(crate) records_beside: usize,
    /// What every answer carries.
    pub(crate) caution: &'static str,
}

/// Somebody to be told.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Duty<'a> {
    pub(crate) pack: &'a str,
    /// Who.
    pub(crate) tell: &'a str,
    pub(crate) how: &'a str,
    pub(crate) when: &'a str,
    /// How soon, as the rules give it.
    pub(crate) within: Option<String>,
    /// The instant, where it is known when it happened.
    pub(crate) until: Option<String>,
    /// The rule names a time and the pack has no figure for it.
    pub(crate) time_unknown: bool,
    pub(crate) citation: String,
    /// Law, guidance and the like.
    pub(crate) status: &'static str,
    /// How it was read.
    pub(crate) read: &'static str,
    pub(crate) note: Option<&'a str>,
}
