//! The aeroplane on the ground: where it stands, how it is fuelled, how it is started.
//!
//! | module | answers |
//! |---|---|
//! | [`figures`] | what the pack says about the ground |

pub mod figures;
