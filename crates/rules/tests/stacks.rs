//! Packs in force together: layered never laxer than the law, strictest never laxer than any.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

use std::{cmp::Ordering, sync::LazyLock};

use proptest::prelude::*;
use stillprop_calc::{
    quantity::{FromAmount, Mass, Time},
    unit::{KG, MIN},
};
use stillprop_rules::{
    builtin,
    key::{Aspect, Key, Value},
    pack::{Pack, Status},
    rules::Rules,
    schema,
    situation::{Category, Detail, Engine, FlightRules, Grade, Operation, Situation, Surface},
};

/// A pack with one figure of one key.
fn pack(id: &str, over: &str, key: Key, value: &str, status: Status) -> Pack {
    let over = if over.is_empty() { String::new() } else { format!("over = \"{over}\"\n") };
    let text = format!(
        "format = 1\nkind = \"pack\"\nid = \"{id}\"\ntitle = \"t\"\njurisdiction = \"j\"\n\
         edition = \"1\"\nchecked = 2026-11-25\n{over}[sources.book]\ndocument = \"d\"\n\
         edition = \"1\"\n[[figure]]\nkey = \"{key}\"\n{value}\nsource = \"book\"\n\
         clause = \"1\"\nstatus = \"{status}\"\nread = \"source\"\n"
    );
    Pack::read(&text).unwrap_or_else(|problems| panic!("{text}: {problems:?}"))
}

fn reserve(id: &str, over: &str, minutes: f64, status: Status) -> Pack {
    pack(id, over, Key::FinalReserve, &format!("value = \"{minutes} min\""), status)
}

fn single() -> Situation {
    Situation {
        operation: Operation::Private,
        flight_rules: FlightRules::VfrDay,
        engine: Engine::Piston,
        mtow: Mass::of(1633.0, KG),
        seats: 6,
    }
}

fn minutes(rules: &Rules) -> (f64, String, String) {
    let found = rules.find(Key::FinalReserve, &single(), Detail::NONE).unwrap();
    let time: Time = found.quantity().unwrap();
    (time.count(MIN), found.pack.to_owned(), found.remark.unwrap_or_default())
}

#[test]
fn an_operator_may_ask_more_but_not_less_than_what_binds() {
    for (own, status, want, giver, remark) in [
        (60.0, Status::Law, 60.0, "ours", "stricter than 45 min of state (law)"),
        (45.0, Status::Law, 45.0, "ours", "the same as state (law)"),
        (30.0, Status::Law, 45.0, "state", "30 min is laxer than the law of state and is not used"),
        (30.0, Status::Guidance, 45.0, "state", "laxer than the guidance of state"),
        (30.0, Status::Superseded, 30.0, "ours", "does not bind (superseded)"),
        (30.0, Status::CommonPractice, 30.0, "ours", "does not bind (common practice)"),
    ] {
        let (ours, state) =
            (reserve("ours", "state", own, Status::Operator), reserve("state", "", 45.0, status));
        let rules = Rules::layered(ours, state).unwrap();
        let (got, pack, said) = minutes(&rules);
        assert!((got - want).abs() < 1e-9, "{own} over {status}: {got}");
        assert_eq!(pack, giver);
        assert!(said.contains(remark), "{said}");
    }
}

#[test]
fn an_operator_cannot_allow_what_the_law_forbids() {
    let key = Key::StandardMassAllowed;
    for (own, state, want) in
        [(true, false, false), (false, true, false), (true, true, true), (false, false, false)]
    {
        let ours = pack("ours", "", key, &format!("allowed = {own}"), Status::Operator);
        let law = pack("state", "", key, &format!("allowed = {state}"), Status::Law);
        let rules = Rules::layered(ours, law).unwrap();
        assert_eq!(rules.find(key, &single(), Detail::NONE).unwrap().allowed(), Some(want));
    }
}

#[test]
fn a_smaller_wind_credit_is_the_stricter() {
    let key = Key::HeadwindCredit;
    let half = pack("half", "", key, "value = \"50 %\"", Status::Law);
    let full = pack("full", "", key, "value = \"100 %\"", Status::Law);
    let rules = Rules::strictest(vec![Rules::single(full), Rules::single(half)]);
    let found = rules.find(key, &single(), Detail::NONE).unwrap();
    assert_eq!((found.pack, found.text().as_str()), ("half", "50 %"));
    assert_eq!(found.remark.as_deref(), Some("the strictest of full 100 %, half 50 %"));
}

#[test]
fn an_overlay_goes_only_over_its_own_base() {
    let ours = || reserve("ours", "au", 60.0, Status::Operator);
    let problem = Rules::layered(ours(), reserve("nz", "", 30.0, Status::Law)).unwrap_err();
    assert!(problem.message.contains("over `au`, not `nz`"), "{}", problem.message);
    assert_eq!(problem.help.as_deref(), Some("use ours+au"));
    let base = reserve("ours-too", "au", 60.0, Status::Operator);
    let loose = reserve("loose", "", 60.0, Status::Operator);
    assert!(Rules::layered(loose, base).unwrap_err().message.contains("itself laid over"));
}

#[test]
fn what_no_pack_gives_is_missing_and_says_where_it_was_sought() {
    let rules = builtin::rules("strictest(au,us)").unwrap();
    let missing = rules.find(Key::UpslopeTakeOff, &single(), Detail::NONE).unwrap_err();
    assert_eq!(missing.looked_in, ["au", "us"]);
    assert_eq!(missing.unsaid, None);
    assert!(missing.to_string().contains("strip.upslope-take-off"), "{missing}");
}

#[test]
fn what_the_question_leaves_out_is_missing_even_where_another_pack_would_answer() {
    let wide = pack("wide", "", Key::SurfaceLanding, "value = \"1.1 1\"", Status::Operator);
    let state = builtin::pack("uk").unwrap();
    let rules = Rules::layered(wide, state).unwrap();
    let unsaid = Detail { surface: Some(Surface::Paved), ..Detail::NONE };
    let missing = rules.find(Key::SurfaceLanding, &single(), unsaid).unwrap_err();
    assert_eq!(missing.unsaid, Some(Aspect::Wet));
    let said = Detail::surface(Surface::Paved, true);
    assert_eq!(rules.find(Key::SurfaceLanding, &single(), said).unwrap().text(), "1.15");
}

#[test]
fn selections_of_built_in_packs_resolve() {
    for (text, name, packs) in [
        ("au", "au", 1),
        ("demo-operator", "demo-operator+au", 2),
        ("demo-operator+au", "demo-operator+au", 2),
        ("strictest(au, nz, demo-operator)", "strictest(au,nz,demo-operator+au)", 4),
    ] {
        let rules = builtin::rules(text).unwrap();
        assert_eq!((rules.name().as_str(), rules.packs().len()), (name, packs));
        assert_eq!(
            rules.figures().count(),
            rules.packs().iter().map(|pack| pack.figures.len()).sum::<usize>()
        );
    }
    let problem = builtin::rules("demo-operater").unwrap_err();
    assert_eq!(problem.help.as_deref(), Some("did you mean `demo-operator`?"));
    assert!(builtin::rules("demo-operator+nz").is_err());
}

#[test]
fn the_schema_names_every_part_of_a_figure() {
    let text = format!("{:?}", schema());
    for word in ["format", "sources", "figure", "when", "mtow_up_to", "VFR day", "second hand"] {
        assert!(text.contains(word), "{word}");
    }
}

/// Every pack that comes with the program, and the strictest of them all.
static ALL: LazyLock<(Vec<Rules>, Rules)> = LazyLock::new(|| {
    let names = ["au", "nz", "uk", "us", "demo-operator"];
    let each: Vec<_> = names.iter().map(|name| builtin::rules(name).unwrap()).collect();
    (each.clone(), Rules::strictest(each))
});

fn one_of<T: Copy + std::fmt::Debug + 'static>(all: &'static [T]) -> impl Strategy<Value = T> {
    prop::sample::select(all)
}

fn situations() -> impl Strategy<Value = Situation> {
    (
        one_of(Operation::ALL),
        one_of(FlightRules::ALL),
        one_of(Engine::ALL),
        prop_oneof![Just(2000.0), Just(5700.0), 300.0..9000.0_f64],
        0..25_u8,
    )
        .prop_map(|(operation, flight_rules, engine, mtow_kg, seats)| Situation {
            operation,
            flight_rules,
            engine,
            mtow: Mass::of(mtow_kg, KG),
            seats,
        })
}

fn details() -> impl Strategy<Value = Detail> {
    (one_of(Surface::ALL), any::<bool>(), one_of(Grade::ALL), one_of(Category::ALL)).prop_map(
        |(surface, wet, grade, category)| Detail {
            surface: Some(surface),
            wet: Some(wet),
            grade: Some(grade),
            category: Some(category),
        },
    )
}

/// The more cautious of two answers is not `b`.
fn at_least_as_cautious(key: Key, a: Value, b: Value) -> bool {
    key.stricter().compare(a, b) != Ordering::Less
}

proptest! {
    #[test]
    fn the_strictest_is_at_least_as_cautious_as_each_pack_that_has_the_figure(
        key in one_of(Key::ALL), situation in situations(), detail in details(),
    ) {
        let (each, all) = &*ALL;
        let answers: Vec<_> =
            each.iter().filter_map(|rules| rules.find(key, &situation, detail).ok()).collect();
        match all.find(key, &situation, detail) {
            Ok(found) => {
                // A credit that one pack does not give is given by none.
                if key == Key::HeadwindCredit {
                    prop_assert_eq!(answers.len(), each.len());
                }
                prop_assert!(answers.iter().any(|answer| answer.value == found.value));
                for answer in answers {
                    prop_assert!(at_least_as_cautious(key, found.value, answer.value), "{key}");
                }
            }
            Err(_) if key == Key::HeadwindCredit => prop_assert!(answers.len() < each.len()),
            Err(_) => prop_assert!(answers.is_empty(), "{key} was lost"),
        }
    }

    #[test]
    fn the_demo_overlay_is_never_laxer_than_what_binds_and_loses_no_figure(
        key in one_of(Key::ALL), situation in situations(), detail in details(),
    ) {
        let (base, over) = (&ALL.0[0], &ALL.0[4]);
        if let Ok(state) = base.find(key, &situation, detail) {
            let found = over.find(key, &situation, detail).unwrap();
            if state.figure.status.binds() {
                prop_assert!(at_least_as_cautious(key, found.value, state.value), "{key}");
            }
        }
    }

    #[test]
    fn no_overlay_is_laxer_than_what_binds(
        own in 0..300_u16, state in 0..300_u16, status in one_of(Status::ALL),
    ) {
        let rules = Rules::layered(
            reserve("ours", "", f64::from(own), Status::Operator),
            reserve("state", "", f64::from(state), status),
        ).unwrap();
        let (got, ..) = minutes(&rules);
        let want = if status.binds() { own.max(state) } else { own };
        prop_assert!((got - f64::from(want)).abs() < 1e-9);
    }

    #[test]
    fn the_order_of_the_packs_does_not_change_the_strictest_value(
        values in prop::collection::vec(0..300_u16, 1..6),
    ) {
        let rules = |values: &[u16]| Rules::strictest(
            values.iter()
                .map(|minutes| Rules::single(reserve("p", "", f64::from(*minutes), Status::Law)))
                .collect(),
        );
        let mut turned = values.clone();
        turned.reverse();
        let (forth, back) = (minutes(&rules(&values)).0, minutes(&rules(&turned)).0);
        prop_assert!((forth - back).abs() < 1e-9);
        prop_assert!((forth - f64::from(*values.iter().max().unwrap())).abs() < 1e-9);
    }

    #[test]
    fn a_heavier_type_never_gets_a_smaller_factor_from_the_curve(
        light in 300.0..5700.0_f64, more in 0.0..2000.0_f64,
    ) {
        let rules = &ALL.0[0];
        for key in [Key::TakeOffFactor, Key::LandingFactor] {
            let at = |kg: f64| {
                let situation = Situation { mtow: Mass::of(kg, KG), ..single() };
                rules.find(key, &situation, Detail::NONE).ok().and_then(|found| found.amount())
            };
            if let (Some(a), Some(b)) = (at(light), at(light + more)) {
                prop_assert!(b.si >= a.si - 1e-15, "{key} {light} {more}");
            }
        }
    }
}

/// The words of the items that a selection asks to be told.
fn asked(selection: &str, operation: Operation) -> Vec<&'static str> {
    let rules = builtin::rules(selection).unwrap();
    let briefing = rules.briefing(&Situation { operation, ..single() });
    assert!(briefing.iter().all(|(_, by)| !by.is_empty()), "{selection}");
    briefing.into_iter().map(|(item, _)| item.word()).collect()
}

/// As far as the rows of 14 CFR 91.107 (belts) and 135.117 (from memory) are in the pack.
#[test]
fn a_charter_is_told_more_than_a_private_flight_where_the_rule_says_so() {
    assert_eq!(asked("us", Operation::Private), ["boarding", "propeller", "wing", "belts"]);
    let charter = asked("us", Operation::Charter);
    for item in ["belts", "exits", "smoking", "life jackets", "oxygen"] {
        assert!(charter.contains(&item), "{item}");
    }
}

#[test]
fn packs_ask_for_all_that_any_of_them_asks_for() {
    for operation in Operation::ALL {
        let each = ["au", "nz", "uk", "us"].map(|pack| asked(pack, *operation));
        let all = asked("strictest(au,nz,uk,us)", *operation);
        for items in &each {
            assert!(!items.is_empty() && items.iter().all(|item| all.contains(item)), "{items:?}");
        }
        assert!(all.iter().all(|item| each.iter().any(|items| items.contains(item))));
        let over = asked("demo-operator+au", *operation);
        assert!(each[0].iter().all(|item| over.contains(item)));
    }
}
