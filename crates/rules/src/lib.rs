//! Rule packs.
pub mod document;
