//! Rule packs: read, check, apply. Every figure cites its clause.
//!
//! A pack is a TOML document with the figures of one jurisdiction or operator. It is read and
//! checked as a whole ([`pack::Pack::read`]); packs are then stacked into [`rules::Rules`] and
//! asked one [`key::Key`] at a time. What no pack gives is [`rules::Missing`]: it stays unknown
//! and is never taken from another state. No formula lives here.
//!
//! | module | holds |
//! |---|---|
//! | [`document`] | reading TOML so that every error shows its place and a way out |
//! | [`briefing`] | what passengers are told, item by item |
//! | [`key`] | the closed vocabulary of figures, and which way each is stricter |
//! | [`situation`] | what a rule may depend on |
//! | [`when`] | the condition of a figure |
//! | [`pack`] | a pack and its figures |
//! | [`rules`] | packs in force: single, layered, strictest |
//! | [`selection`] | naming them: `au`, `demo-operator+au`, `strictest(au,nz)` |
//! | [`goods`] | dangerous goods that people carry: tables, items, words |
//! | [`events`] | what to keep and to say after an event |
//! | [`builtin`] | the packs and tables that come with the program |

pub mod briefing;
pub mod builtin;
mod check;
pub mod document;
pub mod events;
mod explain;
pub mod goods;
pub mod key;
pub mod pack;
pub mod rules;
pub mod selection;
mod shape;
pub mod situation;
mod strict;
pub mod when;
mod words;

pub use shape::schema;
