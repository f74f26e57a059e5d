//! What must be true of a container that comes in, however it is stated.

use jiff::{Timestamp, civil::Date, tz::Offset};
use stillprop_ledger::{
    event::v1::Received,
    yard::{Container, Yard},
};

/// Why it cannot have come in like this, and a way out.
pub(crate) fn fault(new: &Received, at: Timestamp) -> Option<(String, &'static str)> {
    if new.contents_ml > new.capacity_ml {
        return Some(("more is in it than it holds".into(), "check contents and capacity"));
    }
    let filled = new.filled.0;
    (filled > last_day(at))
        .then(|| (format!("it was filled on {filled}, which is yet to come"), "check the day"))
}

/// The latest day that it is anywhere at that instant: who states a day need not state an
/// offset.
pub(crate) fn last_day(at: Timestamp) -> Date {
    Offset::constant(14).to_datetime(at).date()
}

/// A container of the same label at the same place: the two could not be told apart.
pub(crate) fn twin<'a>(new: &Received, yard: &'a Yard) -> Option<&'a Container> {
    let same = |label: &str| same_label(label, &new.label);
    yard.at(&new.place).find(|it| it.label().is_some_and(same))
}

/// True for labels that are found by the same word.
pub(crate) fn same_label(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}
