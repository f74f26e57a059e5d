//! The run sheets of the demonstration turnarounds: built from what their documents say, every
//! order tried.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod demo;

use stillprop_calc::{
    quantity::{FromAmount, Volume},
    unit,
};
use stillprop_turnaround::sheet::{Facts, Fuelling, Reads, Sheet, Stop, check};

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

#[test]
fn what_a_sheet_is_told_of_tanks_grade_and_ground_is_what_the_documents_say() {
    let facts = facts("crowded-apron");
    assert_eq!(facts.allowed, Some(vec!["avgas 100LL".into(), "avgas UL91".into()]));
    let left = &facts.tanks[0];
    assert_eq!(left.asked.as_deref(), Some("6 USgal"));
    let gallons = |volume: Volume| (volume.count(unit::USGAL) * 10.0).round() / 10.0;
    assert_eq!(left.usable.map(gallons), Some(28.0));
    assert_eq!(left.unusable.map(gallons), Some(1.0));
    assert_eq!(left.aboard.map(gallons), Some(9.0));
    let broken: Vec<&str> = facts.broken.iter().map(|broken| broken.id.as_str()).collect();
    assert_eq!(broken, ["site.fuel.survey-camera", "site.run.visiting-twin"]);
    assert!(facts.broken[1].words.contains("pull it clear before the start"));
    let (public, aircraft) =
        (facts.running_public.as_ref().unwrap(), facts.running_aircraft.as_ref().unwrap());
    assert!(public.value > facts.running_distance.as_ref().unwrap().value);
    assert!(aircraft.value > facts.running_distance.as_ref().unwrap().value);
    assert!((facts.first_rate.as_ref().unwrap().value.count(unit::L_MIN) - 29.45).abs() < 0.01);
    assert!(facts.call_area.is_ok() || facts.call_width.is_ok());
    assert_eq!((facts.starter, facts.brake), (Some(true), Some(true)));
    let sheet = Sheet::build(&facts).unwrap();
    assert!(sheet.find("fuel-room").is_some() && sheet.find("pull-clear").is_some());
    check(&sheet).unwrap();
}

#[test]
fn a_spill_of_the_documents_stops_the_sheet_from_its_beginning() {
    let facts = facts("spill");
    assert!(facts.spilt[0].contains("overflow at the pump: 6"), "{:?}", facts.spilt);
    let sheet = Sheet::build(&facts).unwrap();
    assert_eq!(sheet.start().stop(), Some(Stop::Spill));
    check(&sheet).unwrap();
}

#[test]
fn a_tail_that_is_not_tied_in_the_document_gives_no_start_by_hand() {
    let facts = facts("hand-start");
    assert!(facts.gives_way.as_ref().unwrap().contains("needed at full throttle"));
    let sheet = Sheet::build(&facts).unwrap();
    assert!(sheet.find("swing").is_none() && sheet.find("no-start-here").is_some());
    // Tied, it is there; whoever swings rides, and is no passenger.
    let facts = self::facts("last-light");
    assert_eq!(facts.gives_way, None);
    assert!(facts.second_rides && !facts.expected && facts.brake == Some(false));
    let sheet = Sheet::build(&facts).unwrap();
    assert!(sheet.find("swing").is_some() && sheet.find("board-second").is_some());
}

#[test]
fn jet_fuel_for_a_gasoline_engine_has_no_sheet() {
    let mut documents = demo::documents(&demo::texts("mid-burn"));
    documents.turnaround.fuel.grade.value = "jet A-1".into();
    let rules = stillprop_rules::builtin::rules("demo-operator+au").unwrap();
    let (stage, choice) = stillprop_turnaround::stage::prepare(documents, &rules);
    let facts = Facts::of(&stage, &choice);
    assert!(facts.broken.iter().any(|broken| broken.id == "fuel.grade"));
    let unbuilt = Sheet::build(&facts).unwrap_err();
    assert!(unbuilt.message.contains("jet A-1 is not a grade the manual allows"), "{unbuilt}");
}
