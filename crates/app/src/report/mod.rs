//! Answers as text and as JSON.

pub(crate) mod answer;
pub(crate) mod bars;
pub(crate) mod due;
pub(crate) mod event;
pub(crate) mod ground;
pub(crate) mod json;
pub(crate) mod manifest;
pub(crate) mod packs;
pub(crate) mod screen;
pub(crate) mod search;
pub(crate) mod sheet;
pub(crate) mod sources;
pub(crate) mod system;
pub(crate) mod text;
pub(crate) mod working;
