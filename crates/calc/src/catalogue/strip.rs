//! To be written.

use super::Sum;

pub(super) const SUMS: &[Sum] = &[];
