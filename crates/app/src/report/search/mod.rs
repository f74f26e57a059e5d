//! Answers of the searches.

pub(crate) mod window;
