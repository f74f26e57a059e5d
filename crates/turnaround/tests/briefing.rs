//! Every briefing has each item that its packs ask for and that may apply, and no other, over
//! aeroplanes, packs and flights.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    dead_code,
    reason = "clippy spares test functions but not their helpers; other tests use the rest of `bad`"
)]

mod bad;

use std::{collections::BTreeSet, fmt::Write as _, path::Path};

use proptest::{
    prelude::*,
    test_runner::{Config, TestRunner},
};
use stillprop_rules::{pack::Pack, rules::Rules, situation::Operation};
use stillprop_turnaround::{
    briefing::{Briefing, Item, SENTENCES, briefing},
    document::{
        aircraft::{Belts, Cabin},
        ground::WingPlace,
        turnaround::Need,
    },
    stage::{Documents, prepare},
    units::Units,
};

/// Every demo and the small documents of `bad/base`.
fn all() -> Vec<Documents> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/turnarounds");
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let texts = paths.iter().map(|path| bad::beside(path)).chain([bad::base()]);
    texts.map(|texts| bad::read(&texts).unwrap()).collect()
}

/// A pack that asks for these items; those of the second list only of a charter.
fn pack(id: &str, always: &BTreeSet<usize>, charter: &BTreeSet<usize>) -> Pack {
    let mut text = format!(
        "format = 1\nkind = \"pack\"\nid = \"{id}\"\ntitle = \"t\"\njurisdiction = \"nowhere\"\n\
         edition = \"1\"\nchecked = 2026-11-25\n"
    );
    if !(always.is_empty() && charter.is_empty()) {
        text += "[sources.book]\ndocument = \"The book\"\nedition = \"first\"\n";
    } else {
        text += "[sources]\n";
    }
    for (items, when) in [(always, ""), (charter, "when = { operation = \"charter\" }\n")] {
        for item in items {
            let word = Item::ALL[*item].word();
            let _ = write!(
                text,
                "[[briefing]]\nitem = \"{word}\"\n{when}source = \"book\"\nclause = \"1\"\n\
                 status = \"law\"\nread = \"source\"\n"
            );
        }
    }
    Pack::read(&text).unwrap()
}

/// What of a flight may vary.
#[derive(Clone, Debug)]
struct Case {
    documents: usize,
    packs: Vec<(BTreeSet<usize>, BTreeSet<usize>)>,
    charter: bool,
    cabin: Cabin,
    over_water: Option<bool>,
    wing: Option<bool>,
    /// By person, in turn: what they need, what they speak, whether a helper is named.
    needs: Vec<(Vec<Need>, &'static str, bool)>,
}

fn cases(documents: usize) -> impl Strategy<Value = Case> {
    let items = || prop::collection::btree_set(0..Item::ALL.len(), 0..Item::ALL.len());
    let place = || prop::option::of(prop::sample::select(vec!["aft locker", "none", "None ", ""]));
    let yes = || prop::option::of(any::<bool>());
    let words = || prop::option::of(Just("lift the handle".to_owned()));
    let belts = prop::option::of(prop::sample::select(vec![Belts::Lap, Belts::Shoulder]));
    let cabin = (belts, words(), words(), yes(), yes(), place(), place(), place()).prop_map(
        |(belts, door_opens, exits, headsets, oxygen, jackets, survival, water)| Cabin {
            belts,
            door_opens,
            exits,
            headsets,
            oxygen,
            life_jackets: jackets.map(str::to_owned),
            survival_gear: survival.map(str::to_owned),
            water: water.map(str::to_owned),
            ..Cabin::default()
        },
    );
    let packs = prop::collection::vec((items(), items()), 1..4);
    let every = vec![Need::Mobility, Need::Hearing, Need::Sight, Need::Language, Need::ChildAlone];
    let language = prop::sample::select(vec!["French", " arabic ", "pt", "Umbric", ""]);
    let needs = (prop::sample::subsequence(every, 0..=5), language, any::<bool>());
    // Often nobody needs anything.
    let needs = prop_oneof![Just(Vec::new()), prop::collection::vec(needs, 1..6)];
    (0..documents, packs, any::<bool>(), cabin, yes(), yes(), needs).prop_map(
        |(documents, packs, charter, cabin, over_water, wing, needs)| Case {
            needs,
            documents,
            packs,
            charter,
            cabin,
            over_water,
            wing,
        },
    )
}

fn brief(all: &[Documents], case: &Case) -> Briefing {
    let mut documents = all[case.documents].clone();
    documents.aircraft.cabin = case.cabin.clone();
    documents.turnaround.over_water = case.over_water;
    documents.turnaround.operation =
        if case.charter { Operation::Charter } else { Operation::Private };
    match (case.wing, &mut documents.aircraft.shape) {
        (Some(high), Some(shape)) => {
            shape.wing = if high { WingPlace::High } else { WingPlace::Low };
        }
        (None, shape) => *shape = None,
        (Some(_), None) => {}
    }
    let pilot = documents.turnaround.people[0].name.clone();
    for (at, person) in documents.turnaround.people.iter_mut().enumerate() {
        let (needs, language, helped) = case.needs.get(at).cloned().unwrap_or_default();
        person.needs = needs;
        person.language = Some(language.to_owned()).filter(|it| !it.is_empty());
        person.helped_by = (helped && at > 0).then(|| pilot.clone());
        person.to = None;
    }
    let packs = case.packs.iter().enumerate();
    let packs = packs
        .map(|(at, (always, charter))| Rules::single(pack(&format!("p{at}"), always, charter)));
    let (stage, choice) = prepare(documents, &Rules::strictest(packs.collect()));
    briefing(&stage, &choice, &Units::METRIC)
}

/// What must be there, worked out from the case alone.
fn expected(case: &Case) -> BTreeSet<Item> {
    let none = |place: &Option<String>| {
        place.as_deref().is_some_and(|it| it.trim().eq_ignore_ascii_case("none"))
    };
    let asked = case
        .packs
        .iter()
        .flat_map(|(always, charter)| always.iter().chain(charter.iter().filter(|_| case.charter)));
    let asked: BTreeSet<Item> = asked.map(|item| Item::ALL[*item]).collect();
    let applies = |item: &Item| match item {
        Item::Headsets => case.cabin.headsets != Some(false),
        Item::Oxygen => case.cabin.oxygen != Some(false),
        Item::LifeJackets => case.over_water != Some(false),
        Item::SurvivalGear => !none(&case.cabin.survival_gear),
        _ => true,
    };
    asked.into_iter().filter(applies).collect()
}

/// What must be said for one person, worked out from the case alone; `held` in somebody's arms.
fn expected_needs(case: &Case, at: usize, held: bool) -> BTreeSet<&'static str> {
    let Some((needs, language, helped)) = case.needs.get(at) else { return BTreeSet::new() };
    let has = |need| needs.contains(&need);
    let mut says = BTreeSet::new();
    says.extend(has(Need::Hearing).then_some("need-hearing"));
    says.extend(has(Need::Sight).then_some("need-sight"));
    if has(Need::Language) {
        let card = matches!(language.trim(), "French" | "arabic" | "pt");
        says.insert(if card { "need-card" } else { "need-card-ask" });
    }
    let helper = has(Need::ChildAlone) || !held && (has(Need::Mobility) || has(Need::Sight));
    match (*helped && at > 0, helper) {
        (true, _) if has(Need::ChildAlone) => says.insert("need-child"),
        (true, _) => says.insert("need-helped"),
        (false, true) => says.insert("need-helper-ask"),
        (false, false) => false,
    };
    says
}

#[test]
fn every_briefing_says_what_each_person_needs_and_nothing_for_those_who_need_nothing() {
    let all = all();
    let (none, asks) = (std::cell::Cell::new(0), std::cell::Cell::new(0));
    let mut runner = TestRunner::new(Config::with_cases(300));
    runner
        .run(&cases(all.len()), |case| {
            let briefing = brief(&all, &case);
            let people = &all[case.documents].turnaround.people;
            let mut wanted = Vec::new();
            for (at, person) in people.iter().enumerate() {
                let says = expected_needs(&case, at, person.held_by.is_some());
                if !says.is_empty() {
                    wanted.push((person.name.value.clone(), says));
                }
            }
            let said = briefing.needs.iter().map(|needs| {
                let says: BTreeSet<_> = needs.says.iter().map(|say| say.sentence).collect();
                (needs.person.clone(), says)
            });
            prop_assert_eq!(said.collect::<Vec<_>>(), wanted);
            for needs in &briefing.needs {
                let ask = needs.says.iter().any(|say| say.sentence.ends_with("-ask"));
                prop_assert_eq!(ask, needs.unknown, "{}", needs.person);
                for say in &needs.says {
                    prop_assert!(SENTENCES.contains(&say.sentence), "{}", say.sentence);
                    prop_assert!(say.with.iter().all(|(_, value)| !value.is_empty()));
                }
                asks.set(asks.get() + usize::from(ask));
            }
            none.set(none.get() + usize::from(briefing.needs.is_empty()));
            Ok(())
        })
        .unwrap();
    assert!(none.get() > 30 && asks.get() > 30, "{} need nothing, {} ask", none.get(), asks.get());
}

#[test]
fn a_helper_who_leaves_before_them_is_asked_for_anew() {
    let mut documents = all().into_iter().find(|it| it.turnaround.legs.len() > 1).unwrap();
    let leg = documents.turnaround.legs[0].name.clone();
    let people = &mut documents.turnaround.people;
    for person in people.iter_mut() {
        (person.to, person.helped_by) = (None, None);
        person.needs.clear();
    }
    let helper = people[1].name.clone();
    people[1].to = Some(leg);
    (people[2].needs, people[2].helped_by) = (vec![Need::Mobility], Some(helper));
    let packs =
        Rules::strictest(vec![Rules::single(pack("p", &BTreeSet::new(), &BTreeSet::new()))]);
    let (stage, choice) = prepare(documents, &packs);
    let briefing = briefing(&stage, &choice, &Units::METRIC);
    assert_eq!(briefing.needs.len(), 1);
    assert_eq!(briefing.needs[0].says[0].sentence, "need-helper-ask");
}

#[test]
fn every_briefing_has_what_its_packs_ask_for_and_nothing_that_does_not_apply() {
    let all = all();
    assert!(all.len() >= 9);
    let (mut left_out, mut asks) = (0_usize, 0_usize);
    let counts = std::cell::RefCell::new((&mut left_out, &mut asks));
    let mut runner = TestRunner::new(Config::with_cases(300));
    runner
        .run(&cases(all.len()), |case| {
            let briefing = brief(&all, &case);
            let told: Vec<Item> = briefing.items.iter().map(|told| told.item).collect();
            let wanted = expected(&case);
            prop_assert_eq!(told.iter().copied().collect::<BTreeSet<_>>(), wanted.clone());
            prop_assert_eq!(told.len(), wanted.len(), "an item stands there twice");
            for told in &briefing.items {
                prop_assert!(!told.says.is_empty(), "{} says nothing", told.item);
                prop_assert!(!told.asked_by.is_empty());
                let asks = told.says.iter().any(|say| {
                    say.sentence.contains("-ask")
                        || matches!(say.sentence, "jackets-none" | "path-closed")
                });
                prop_assert_eq!(asks, told.unknown, "{}", told.item);
                for say in &told.says {
                    prop_assert!(SENTENCES.contains(&say.sentence), "{}", say.sentence);
                    prop_assert!(say.with.iter().all(|(_, value)| !value.is_empty()));
                }
            }
            let mut counts = counts.borrow_mut();
            *counts.0 += usize::from(wanted.len() < case.packs.iter().map(|p| p.0.len()).sum());
            *counts.1 += usize::from(briefing.items.iter().any(|told| told.unknown));
            Ok(())
        })
        .unwrap();
    assert!(left_out > 30 && asks > 30, "{left_out} left something out, {asks} asked");
}

#[test]
fn what_is_said_follows_wing_belts_and_water() {
    let all = all();
    let every: BTreeSet<usize> = (0..Item::ALL.len()).collect();
    let with = |cabin: Cabin, over_water, wing| {
        let packs = vec![(every.clone(), BTreeSet::new())];
        let needs = Vec::new();
        let case = Case { documents: 0, packs, charter: false, cabin, over_water, wing, needs };
        let briefing = brief(&all, &case);
        briefing
            .items
            .iter()
            .flat_map(|told| &told.says)
            .map(|say| say.sentence)
            .collect::<Vec<_>>()
    };
    let low = with(Cabin { belts: Some(Belts::Lap), ..Cabin::default() }, Some(true), Some(false));
    for sentence in ["wing-low", "belts-lap", "brace-lap", "jackets-ask-where", "water-ask"] {
        assert!(low.contains(&sentence), "{sentence}");
    }
    let none = Some("none".to_owned());
    let cabin = Cabin { belts: Some(Belts::Shoulder), life_jackets: none, ..Cabin::default() };
    let high = with(cabin, Some(true), Some(true));
    for sentence in ["wing-high", "belts-shoulder", "brace-shoulder", "jackets-none"] {
        assert!(high.contains(&sentence), "{sentence}");
    }
    assert!(!high.contains(&"wing-low") && !high.contains(&"brace-lap"));
    let dry = with(Cabin::default(), Some(false), None);
    assert!(dry.contains(&"wing-ask") && !dry.iter().any(|it| it.starts_with("jackets")));
}

#[test]
fn no_pack_that_asks_is_not_a_briefing_that_is_done() {
    let all = all();
    let packs = vec![(BTreeSet::new(), BTreeSet::new())];
    let cabin = Cabin::default();
    let needs = Vec::new();
    let case =
        Case { documents: 0, packs, charter: false, cabin, over_water: None, wing: None, needs };
    assert!(brief(&all, &case).nothing_asked);
}
