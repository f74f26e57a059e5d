//! The run sheets of the demonstration turnarounds: built from what their documents say, every
//! order tried.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod demo;

use stillprop_turnaround::sheet::{Facts, Fuelling, Reads, Sheet, check};

fn facts(name: &str) -> Facts {
    let (stage, choice) = demo::stage(name);
    Facts::of(&stage, &choice)
}

#[test]
fn each_demonstration_turnaround_has_a_sheet_that_keeps_every_invariant() {
    for name in ["ready", "mid-burn", "last-light"] {
        let sheet = Sheet::build(&facts(name)).unwrap_or_else(|why| panic!("{name}: {why}"));
        let checked = check(&sheet).unwrap_or_else(|why| panic!("{name}: {why:#?}"));
        assert!(checked.states > sheet.tasks.len(), "{name}");
    }
}

#[test]
fn a_sheet_takes_method_grade_tanks_and_pilot_from_the_documents() {
    let facts = facts("mid-burn");
    assert_eq!(facts.fuelling, Fuelling::Tanker);
    assert!(!facts.tanks.is_empty());
    let sheet = Sheet::build(&facts).unwrap();
    let order = &sheet.tasks[sheet.find("order").unwrap()];
    assert_eq!(order.reads, Reads::Grade { grade: facts.grade.clone() });
    assert!(order.notes[0].contains(&facts.registration), "{:?}", order.notes);
    for tank in &facts.tanks {
        assert!(order.notes[0].contains(&tank.label), "{:?}", order.notes);
    }
}

#[test]
fn drums_feed_the_tanks_that_the_document_names() {
    let facts = facts("ready");
    assert_eq!(facts.fuelling, Fuelling::Drum);
    assert!(!facts.drums.is_empty());
    for drum in &facts.drums {
        assert!(
            drum.into
                .iter()
                .all(|(tank, litres)| { *tank < facts.tanks.len() && litres.value > 0.0 })
        );
        // No ledger was opened, so nobody knows how deep the fuel stands in it.
        assert!(drum.settles.is_err());
    }
}
