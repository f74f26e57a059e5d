//! Answers as text and as JSON.

pub(crate) mod bars;
pub(crate) mod fit;
pub(crate) mod ground;
pub(crate) mod json;
pub(crate) mod packs;
pub(crate) mod sheet;
pub(crate) mod sheet_json;
pub(crate) mod sources;
pub(crate) mod system;
pub(crate) mod text;
pub(crate) mod working;
