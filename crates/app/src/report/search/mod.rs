//! Answers of the searches.

pub(crate) mod fit;
pub(crate) mod odds;
pub(crate) mod park;
pub(crate) mod uplift;
pub(crate) mod ways_out;
pub(crate) mod window;
