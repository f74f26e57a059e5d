//! What each person weighs with what belongs to them.

use crate::{
    limits::{Family, Id, Sink},
    stage::{Stage, person_mass},
    units::Round,
};

/// Hands on the mass of each person.
pub(super) fn masses<S: Sink>(stage: &Stage, sink: &mut S) {
    for (person, typed) in stage.people.iter().zip(&stage.documents.turnaround.people) {
        let found = person_mass(typed, person.standard.as_ref(), &stage.figures, sink.trace());
        let amount = found.as_ref().ok().map(|mass| (*mass).into());
        sink.number(Id::of(Family::People, "mass", &person.name), amount, |units| match &found {
            Ok(mass) => units.mass(*mass, Round::Up),
            Err(why) => format!("unknown ({why})"),
        });
    }
}
