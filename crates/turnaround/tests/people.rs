//! People, what they carry and what falls due: limits that hold, break and are unknown.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod demo;

use stillprop_calc::{
    quantity::{ElectricalResistance, FromAmount, Mass, Time},
    unit::{H, KG, OHM, Unit},
};
use stillprop_rules::{
    builtin,
    document::{At, Given},
};
use stillprop_turnaround::{
    assess::assess,
    document::{
        aircraft::Due,
        turnaround::{Carried, MassKnown, Need, Turnaround},
    },
    limits::Verdict,
    manifest::{Change, Manifest, change},
    stage::{Choice, Documents, Stage, prepare},
    units::Units,
};

fn at<T>(value: T) -> At<T> {
    At { value, at: 0..0 }
}

fn given<Q>(value: Q, unit: Unit) -> Given<Q> {
    Given { value, unit, at: 0..0 }
}

/// The ready demonstration with its turnaround changed, under some rules.
fn changed(rules: &str, change: impl FnOnce(&mut Turnaround)) -> (Stage, Choice) {
    let mut documents: Documents = demo::documents(&demo::texts("ready"));
    change(&mut documents.turnaround);
    prepare(documents, &builtin::rules(rules).unwrap())
}

/// The verdict of a limit and its words; `None` when there is no such limit.
fn limit((stage, choice): &(Stage, Choice), id: &str) -> Option<(Verdict, String)> {
    let answer = assess(stage, choice, &Units::METRIC);
    let limit = answer.limits.into_iter().find(|limit| limit.id == id)?;
    let words = limit.words;
    let said = [Some(words.stands), words.act, words.remark];
    Some((limit.verdict, said.into_iter().flatten().collect::<Vec<_>>().join("; ")))
}

fn verdict(of: &(Stage, Choice), id: &str) -> Verdict {
    limit(of, id).unwrap_or_else(|| panic!("no limit {id}")).0
}

const OPERATOR: &str = "demo-operator+au";

fn thing(what: &str, each: Option<&str>) -> Carried {
    Carried {
        what: at(what.into()),
        each: each.map(|each| at(each.into())),
        count: None,
        of: None,
        on_person: false,
        approved: false,
    }
}

#[test]
fn everybody_and_every_bag_is_asked_where_the_pack_demands_it() {
    let all = changed(OPERATOR, |_| {});
    assert_eq!(verdict(&all, "people.screened"), Verdict::Holds);
    let one = changed(OPERATOR, |turnaround| turnaround.people[2].carries = None);
    let (verdict, words) = limit(&one, "people.screened").unwrap();
    assert_eq!(verdict, Verdict::Unknown);
    assert!(words.contains("Isko Dannuv"), "{words}");
    let bag = changed(OPERATOR, |turnaround| turnaround.items[1].contains = None);
    let (verdict, words) = limit(&bag, "people.screened").unwrap();
    assert_eq!(verdict, Verdict::Unknown);
    assert!(words.contains("`bags`"), "{words}");
    // The state's pack alone asks nothing at the door, and has no such limit.
    let state = changed("au", |turnaround| turnaround.people[2].carries = None);
    assert_eq!(limit(&state, "people.screened"), None);
}

#[test]
fn what_is_declared_must_be_able_to_come_where_it_lies() {
    let carries = |what: &str, each| {
        let thing = thing(what, each);
        changed(OPERATOR, |turnaround| turnaround.people[1].carries = Some(vec![thing]))
    };
    assert_eq!(verdict(&carries("power bank", Some("74 Wh")), "people.goods"), Verdict::Holds);
    assert_eq!(verdict(&carries("power bank", Some("100 Wh")), "people.goods"), Verdict::Holds);
    assert_eq!(verdict(&carries("power bank", Some("101 Wh")), "people.goods"), Verdict::Unknown);
    assert_eq!(verdict(&carries("power bank", Some("161 Wh")), "people.goods"), Verdict::Breaks);
    assert_eq!(verdict(&carries("power bank", None), "people.goods"), Verdict::Unknown);
    assert_eq!(verdict(&carries("petrol", None), "people.goods"), Verdict::Breaks);
    assert_eq!(verdict(&carries("thingummy", None), "people.goods"), Verdict::Unknown);
    let (_, words) = limit(&carries("bear spray", None), "people.goods").unwrap();
    assert!(words.contains("`bear spray` of Ane Borrelk: forbidden"), "{words}");
    // Nothing declared, nothing judged.
    let none = changed(OPERATOR, |turnaround| {
        turnaround.people.iter_mut().for_each(|person| person.carries = Some(Vec::new()));
        turnaround.items.iter_mut().for_each(|item| item.contains = Some(Vec::new()));
    });
    assert_eq!(limit(&none, "people.goods"), None);
    assert_eq!(verdict(&none, "people.screened"), Verdict::Holds);
}

#[test]
fn a_thing_is_judged_where_the_choice_puts_its_bag() {
    let bank = thing("power bank", Some("74 Wh"));
    let (stage, mut choice) = changed(OPERATOR, |turnaround| {
        turnaround.items[2].contains = Some(vec![bank]);
    });
    let place = |label: &str| stage.places.iter().position(|place| place.label == label).unwrap();
    let cabin = stage.places.iter().position(|place| place.seat.is_some()).unwrap();
    let mut tried = Vec::new();
    for (index, verdict) in [
        (place("pod"), Verdict::Breaks),
        (place("aft locker"), Verdict::Unknown),
        (cabin, Verdict::Holds),
    ] {
        choice.place_of[2] = index;
        let answer = assess(&stage, &choice, &Units::METRIC);
        let goods = answer.limits.iter().find(|limit| limit.id == "people.goods").unwrap();
        tried.push((goods.verdict, verdict));
    }
    assert!(tried.iter().all(|(got, want)| got == want), "{tried:?}");
}

fn due(what: &str) -> Due {
    Due {
        what: at(what.into()),
        until: None,
        sort: None,
        of: None,
        lets: None,
        used: None,
        used_most: None,
        resistance: None,
        resistance_most: None,
    }
}

#[test]
fn hours_and_resistance_are_judged_on_both_sides_of_their_bound() {
    let hours = |used: Option<f64>| {
        let hours = |hours| given(Time::from_si(hours * 3600.0), H);
        let due = Due { used: used.map(hours), used_most: Some(hours(50.0)), ..due("filter") };
        verdict(&changed(OPERATOR, |turnaround| turnaround.due.push(due)), "due.hours.filter")
    };
    assert_eq!(hours(Some(50.0)), Verdict::Holds);
    assert_eq!(hours(Some(50.1)), Verdict::Breaks);
    assert_eq!(hours(None), Verdict::Unknown);
    let lead = |ohm: Option<f64>| {
        let ohm_of = |ohm| given(ElectricalResistance::from_si(ohm), OHM);
        let due =
            Due { resistance: ohm.map(ohm_of), resistance_most: Some(ohm_of(10.0)), ..due("lead") };
        verdict(&changed(OPERATOR, |turnaround| turnaround.due.push(due)), "due.resistance.lead")
    };
    assert_eq!(lead(Some(10.0)), Verdict::Holds);
    assert_eq!(lead(Some(10.01)), Verdict::Breaks);
    assert_eq!(lead(None), Verdict::Unknown);
    // What has hours needs no day; what has neither does.
    let filter = Due { used_most: Some(given(Time::from_si(3600.0), H)), ..due("filter") };
    let with = changed(OPERATOR, |turnaround| turnaround.due.push(filter));
    assert_eq!(limit(&with, "due.date.filter"), None);
    let with = changed(OPERATOR, |turnaround| turnaround.due.push(due("paste")));
    assert_eq!(verdict(&with, "due.date.paste"), Verdict::Unknown);
}

#[test]
fn a_standard_mass_is_refused_where_the_pack_asks_for_actual_ones() {
    let standard = |rules: &str| {
        changed(rules, |turnaround| {
            turnaround.people[1].known.value = MassKnown::Standard;
            turnaround.people[1].mass = None;
            turnaround.people[1].class = Some(at(stillprop_rules::situation::Category::Woman));
        })
    };
    for rules in ["au", OPERATOR] {
        let (verdict, words) = limit(&standard(rules), "people.mass-basis").unwrap();
        assert_eq!(verdict, Verdict::Breaks, "{rules}: {words}");
        assert!(words.contains("weigh everyone, or ask"), "{words}");
    }
    // Charter in the United Kingdom allows them; its private flights say nothing, which is unknown.
    assert_eq!(verdict(&standard("uk"), "people.mass-basis"), Verdict::Unknown);
    let charter = {
        let mut documents = demo::documents(&demo::texts("ready"));
        documents.turnaround.operation = stillprop_rules::situation::Operation::Charter;
        let person = &mut documents.turnaround.people[1];
        (person.known.value, person.mass) = (MassKnown::Standard, None);
        person.class = Some(at(stillprop_rules::situation::Category::Woman));
        prepare(documents, &builtin::rules("uk").unwrap())
    };
    assert_eq!(verdict(&charter, "people.mass-basis"), Verdict::Holds);
    // Five passenger seats: 86 kg, with hand baggage.
    let mass = charter.0.people[1].mass.clone().unwrap();
    assert!((mass.count(KG) - 86.0).abs() < 1e-9);
    // Stated: 4 kg of clothing and 6 kg of hand baggage more.
    let stated = {
        let mut documents = demo::documents(&demo::texts("ready"));
        documents.turnaround.operation = stillprop_rules::situation::Operation::Charter;
        prepare(documents, &builtin::rules("uk").unwrap())
    };
    let mass = stated.0.people[1].mass.clone().unwrap();
    assert!((mass.count(KG) - 68.0).abs() < 1e-9);
}

#[test]
fn the_manifest_lists_each_leg_and_what_holds_everybody() {
    let (stage, choice) = changed(OPERATOR, |_| {});
    let manifest = Manifest::of(&stage, &choice);
    let counts: Vec<_> = manifest
        .legs
        .iter()
        .map(|leg| (leg.name.as_str(), leg.people.len(), leg.items.len()))
        .collect();
    // Isko Dannuv leaves at Oumbrel.
    assert_eq!(counts, [("Oumbrel", 5, 3), ("Taskel Bend", 4, 3)]);
    assert!(manifest.all_restrained());
    let ane = &manifest.legs[0].people[1];
    assert_eq!(ane.basis, "stated, with 4 kg clothing and 6 kg hand baggage");
    let said: Vec<_> = manifest.told.iter().map(|told| told.who.as_str()).collect();
    assert!(said.contains(&"everybody aboard") && said.contains(&"Isko Dannuv"), "{said:?}");
}

#[test]
fn an_infant_is_held_and_a_seat_without_a_belt_holds_nobody() {
    let (stage, choice) = changed(OPERATOR, |turnaround| {
        let child = &mut turnaround.people[4];
        child.seat = None;
        child.held_by = Some(at("Wenna Dannuv".into()));
        child.needs = vec![Need::ChildAlone];
    });
    let manifest = Manifest::of(&stage, &choice);
    let child = &manifest.legs[0].people[4];
    assert!(child.infant && child.restrained);
    assert_eq!(child.place, "held by Wenna Dannuv");
    let told = |who: &str| manifest.told.iter().any(|told| told.who == who);
    assert!(told("Wenna Dannuv") && told("an adult who is named"));
    let (mut stage, choice) = changed(OPERATOR, |_| {});
    let seat = choice.seat_of[1].unwrap();
    stage.places[seat].seat.as_mut().unwrap().belt = false;
    assert!(!Manifest::of(&stage, &choice).all_restrained());
}

#[test]
fn changes_at_the_last_minute_are_judged_like_the_document_itself() {
    let after = |changes: &[Change]| {
        changed(OPERATOR, |turnaround| {
            changes.iter().for_each(|one| change(turnaround, one).unwrap());
        })
    };
    let heavy = Change::Weighs("Ane Borrelk".into(), given(Mass::from_si(250.0), KG));
    let before = demo::stage("ready");
    assert_eq!(verdict(&before, "load.take-off-mass"), Verdict::Holds);
    assert_eq!(verdict(&after(&[heavy]), "load.take-off-mass"), Verdict::Breaks);
    let fewer = after(&[Change::PersonStays("Isko Dannuv".into())]);
    assert_eq!(fewer.0.people.len(), 4);
    let pilot = after(&[Change::PersonStays("Marro Teel".into())]);
    assert_eq!(verdict(&pilot, "people.pilot"), Verdict::Breaks);
    let mut documents = demo::documents(&demo::texts("ready"));
    let wrong = change(&mut documents.turnaround, &Change::PersonStays("Isko Danuv".into()));
    let problem = wrong.unwrap_err();
    assert_eq!(problem.help.as_deref(), Some("did you mean `Isko Dannuv`?"));
    let wrong = change(&mut documents.turnaround, &Change::ItemStays("bagz".into()));
    assert!(wrong.unwrap_err().help.is_some());
}
