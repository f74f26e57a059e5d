//! Every pack that comes with the program loads, and every worked look-up beside it holds.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

use std::collections::BTreeMap;

use serde::Deserialize;
use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit,
};
use stillprop_rules::{
    builtin,
    document::{self, Given},
    key::{Key, Value},
    pack::{Pack, Read, Status},
    rules::{Found, Missing},
    situation::{Category, Detail, Engine, FlightRules, Grade, Operation, Situation, Surface},
};

/// The worked look-ups, beside the packs.
const CASES: &[(&str, &str)] = &[
    ("au", include_str!("../../../packs/au/cases.toml")),
    ("nz", include_str!("../../../packs/nz/cases.toml")),
    ("uk", include_str!("../../../packs/uk/cases.toml")),
    ("us", include_str!("../../../packs/us/cases.toml")),
    ("demo-operator", include_str!("../../../packs/demo-operator/cases.toml")),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cases {
    case: Vec<Case>,
    flight: BTreeMap<String, Flight>,
}

/// A flight that cases ask about by name.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Flight {
    operation: Operation,
    flight_rules: FlightRules,
    engine: Engine,
    mtow: Given<Mass>,
    seats: u8,
}

/// One look-up: a question and the answer that must come.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    key: String,
    flight: String,
    surface: Option<Surface>,
    wet: Option<bool>,
    grade: Option<Grade>,
    category: Option<Category>,
    expect: String,
}

impl Cases {
    fn situation(&self, case: &Case) -> Situation {
        let Some(flight) = self.flight.get(&case.flight) else {
            panic!("{} asks about an unknown flight {}", case.key, case.flight)
        };
        Situation {
            operation: flight.operation,
            flight_rules: flight.flight_rules,
            engine: flight.engine,
            mtow: flight.mtow.value,
            seats: flight.seats,
        }
    }
}

impl Case {
    fn detail(&self) -> Detail {
        Detail { surface: self.surface, wet: self.wet, grade: self.grade, category: self.category }
    }
}

/// Whether an answer is what the case expects: a quantity, "allowed", "not allowed", "missing".
fn holds(found: &Result<Found<'_>, Missing>, key: Key, expect: &str) -> bool {
    match (found.as_ref().map(|found| found.value), expect) {
        (Err(_), "missing") | (Ok(Value::Allowed(true)), "allowed") => true,
        (Ok(Value::Allowed(false)), "not allowed") => true,
        (Ok(Value::Amount(amount)), text) => unit::read(text, key.kind().unwrap())
            .is_ok_and(|(want, _)| (amount.si - want.si).abs() <= 1e-12 * want.si.abs().max(1.0)),
        _ => false,
    }
}

#[test]
fn every_worked_look_up_holds() {
    for (id, text) in CASES {
        let rules = builtin::rules(id).unwrap_or_else(|problem| panic!("{problem:?}"));
        let cases: Cases = document::read(text).unwrap_or_else(|problem| panic!("{problem:?}"));
        for case in &cases.case {
            let key = Key::named(&case.key).unwrap_or_else(|| panic!("{id}: {}", case.key));
            let found = rules.find(key, &cases.situation(case), case.detail());
            let got = found.as_ref().map_or_else(ToString::to_string, Found::text);
            assert!(
                holds(&found, key, &case.expect),
                "{id} {key}: want {}, got {got}",
                case.expect
            );
        }
    }
}

#[test]
fn every_figure_has_two_worked_look_ups_or_more() {
    for (id, text) in CASES {
        let pack = builtin::pack(id).unwrap();
        let cases: Cases = document::read(text).unwrap();
        let mut count: BTreeMap<&str, usize> = BTreeMap::new();
        for case in &cases.case {
            *count.entry(&case.key).or_default() += 1;
        }
        for figure in &pack.figures {
            let have = count.get(figure.key.id()).copied().unwrap_or(0);
            assert!(have >= 2, "{id}: {} has {have} cases", figure.key);
        }
    }
}

/// A figure that no case ever reaches could be wrong without anybody noticing.
#[test]
fn every_figure_of_every_pack_is_reached_by_a_case() {
    for (id, text) in CASES {
        let pack = builtin::pack(id).unwrap();
        let cases: Cases = document::read(text).unwrap();
        for figure in &pack.figures {
            let reached = cases.case.iter().any(|case| {
                case.key == figure.key.id()
                    && pack
                        .find(figure.key, &cases.situation(case), case.detail())
                        .is_ok_and(|found| std::ptr::eq(found, figure))
            });
            assert!(reached, "{id}: no case reaches {} for: {}", figure.key, figure.when);
        }
    }
}

#[test]
fn every_pack_loads_under_its_own_name() {
    assert_eq!(builtin::builtin().len(), CASES.len());
    for (id, text) in builtin::builtin() {
        let pack = Pack::read(text).unwrap_or_else(|problems| panic!("{id}: {problems:?}"));
        assert_eq!(pack.id, *id);
        assert!(!pack.figures.is_empty());
    }
}

#[test]
fn only_an_operator_writes_operator_figures_and_only_with_a_label() {
    for (id, text) in builtin::builtin() {
        let pack = Pack::read(text).unwrap();
        for figure in &pack.figures {
            assert_eq!(
                figure.status == Status::Operator,
                pack.over.is_some(),
                "{id} {}",
                figure.key
            );
            if pack.over.is_some() {
                assert!(figure.citation.to_string().contains("invented"), "{id} {}", figure.key);
            }
        }
    }
}

#[test]
fn what_was_not_read_in_the_source_never_says_it_was() {
    // The figures whose text was opened, by state; a change here needs the document in hand.
    for (id, opened) in [("au", 12), ("nz", 6), ("us", 13), ("uk", 25)] {
        let pack = builtin::pack(id).unwrap();
        let count = pack.figures.iter().filter(|figure| figure.read == Read::Source).count();
        assert_eq!(count, opened, "{id}");
    }
}

#[test]
fn the_page_about_packs_lists_every_word_a_pack_may_use() {
    let page = include_str!("../../../docs/rule-packs.md");
    let keys = Key::ALL.iter().map(|key| key.id());
    let statuses = Status::ALL.iter().map(|status| status.word());
    let reads = Read::ALL.iter().map(|read| read.word());
    let surfaces = Surface::ALL.iter().map(|surface| surface.word());
    let grades = Grade::ALL.iter().map(|grade| grade.word());
    let people = Category::ALL.iter().map(|category| category.word());
    for word in keys.chain(statuses).chain(reads).chain(surfaces).chain(grades).chain(people) {
        assert!(page.contains(&format!("`{word}`")), "docs/rule-packs.md does not name `{word}`");
    }
}

#[test]
fn the_superseded_australian_curve_equals_exact_arithmetic() {
    // 1.15 + 0.10 x 750 / 1500 and 1.15 + 0.28 x 1250 / 2500, as the reference page works them.
    let rules = builtin::rules("au").unwrap();
    for (key, mtow_kg, exact) in
        [(Key::TakeOffFactor, 2750.0, 1.2), (Key::LandingFactor, 3250.0, 1.29)]
    {
        let situation = Situation {
            operation: Operation::Private,
            flight_rules: FlightRules::VfrDay,
            engine: Engine::Piston,
            mtow: Mass::of(mtow_kg, unit::KG),
            seats: 6,
        };
        let found = rules.find(key, &situation, Detail::NONE).unwrap();
        assert!((found.amount().unwrap().si - exact).abs() < 1e-12, "{key}");
        assert_eq!(found.figure.status, Status::Superseded);
    }
}
