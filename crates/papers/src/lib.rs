//! Papers: plain data in, the bytes of a PDF out.
//!
//! | module | is |
//! |---|---|
//! | [`paper`] | what stands on a paper: headings, facts, tables, boxes to tick, cards, pictures |
//! | `letters` | the letters: shaped, measured, broken into lines, in both directions |
//! | `flow` | from blocks to leaves: page breaks, repeated headings, footers |
//! | `table` | how wide columns are, how high rows |
//! | `pdf` | from leaves to bytes |
//!
//! A paper is a pure function: the same data gives the same bytes, because nothing of today, of
//! the machine or of chance goes in. The letters are embedded, as few as are used, and can be
//! selected and searched. Nothing depends on colour.

mod flow;
mod letters;
pub mod paper;
mod pdf;
mod table;

pub use letters::{covers, notices};
pub use paper::{
    Block, Card, Cell, Column, Footer, Head, Paper, Picture, Piece, Pieces, Row, Size, Table, Tick,
};
pub use pdf::{Unprintable, print};
