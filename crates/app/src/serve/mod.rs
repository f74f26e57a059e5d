//! The local pages.

pub(crate) mod access;
