//! The same turnaround in pounds, inches and gallons, in kilograms, metres and litres, and
//! from another datum: the same verdicts and the same margins. And what must not turn round:
//! more mass never shortens a distance, more reserve never frees fuel.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "clippy spares test functions but not their helpers"
)]

mod bad;

use std::{cell::Cell, collections::BTreeMap, ops::Range, path::Path};

use bad::Texts;
use proptest::{
    prelude::*,
    sample::Index,
    test_runner::{Config, TestRunner},
};
use stillprop_calc::{
    quantity::{Amount, FromAmount, Length, Mass, Volume},
    unit::{self, Kind, Unit},
};
use stillprop_rules::document::{At, Given};
use stillprop_turnaround::{
    document::turnaround::{Item, MassKnown},
    limits::{Found, Verdict},
    stage::{Choice, Documents, Stage},
};
use toml::de::{DeTable, DeValue};

/// The turnarounds of the demo by their names, then the small one of `bad/base`.
fn turnarounds() -> Vec<(String, Texts)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/turnarounds");
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let name = |path: &Path| path.file_stem().unwrap().to_string_lossy().into_owned();
    let demo = paths.iter().map(|path| (name(path), bad::beside(path)));
    demo.chain([("base".to_owned(), bad::base())]).collect()
}

fn judged(documents: Documents) -> BTreeMap<String, Found> {
    let (stage, choice): (Stage, Choice) = bad::stage(documents).unwrap();
    bad::judge(&stage, &choice)
}

fn documents(texts: &Texts) -> Documents {
    bad::read(texts).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// A unit for each kind that has several in use.
struct System {
    name: &'static str,
    units: [Unit; 9],
}

const SYSTEMS: [System; 2] = [
    System {
        name: "lb, in, USgal, inHg, degF",
        units: [
            unit::LB,
            unit::IN,
            unit::USGAL,
            unit::H,
            unit::MPH,
            unit::INHG,
            unit::DEGF,
            unit::USGAL_H,
            unit::LB_USGAL,
        ],
    },
    System {
        name: "kg, m, L, hPa, degC",
        units: [
            unit::KG,
            unit::M,
            unit::L,
            unit::S,
            unit::KM_H,
            unit::HPA,
            unit::DEGC,
            unit::L_H,
            unit::KG_L,
        ],
    },
];

impl System {
    fn unit(&self, kind: Kind) -> Option<Unit> {
        self.units.into_iter().find(|unit| unit.kind == kind)
    }
}

/// Keys that hold names: `1L` is a seat there, not a litre.
const NAMES: [&str; 13] = [
    "label",
    "seat",
    "held_by",
    "in",
    "tank",
    "setting",
    "cruise",
    "name",
    "what",
    "take_off",
    "back_here",
    "landing",
    "title",
];

/// The kinds that a text may be read as.
const KINDS: [Kind; 9] = [
    Kind::Mass,
    Kind::Length,
    Kind::Volume,
    Kind::Time,
    Kind::Velocity,
    Kind::Pressure,
    Kind::Temperature,
    Kind::VolumeRate,
    Kind::Density,
];

fn quantity(text: &str) -> Option<(Amount, Unit)> {
    KINDS.iter().find_map(|kind| unit::read(text, *kind).ok())
}

/// What stands at places of a text, to be written anew.
#[derive(Default)]
struct Rewriting(Vec<(Range<usize>, String)>);

impl Rewriting {
    /// Every quantity below a value, in the units of `system`; bare numbers are counted in the
    /// unit that a table above them names.
    fn units(
        &mut self,
        key: &str,
        value: &toml::Spanned<DeValue<'_>>,
        system: &System,
        named: Option<(Unit, Unit)>,
    ) {
        match value.get_ref() {
            DeValue::String(text) if !NAMES.contains(&key) => {
                let Some((amount, _)) = quantity(text) else { return };
                let unit = system.unit(amount.kind).unwrap();
                let new = format!("\"{:e} {}\"", amount.in_unit(unit), unit.symbol);
                self.0.push((value.span(), new));
            }
            DeValue::Array(entries) => {
                for entry in entries {
                    self.units(key, entry, system, named);
                }
            }
            DeValue::Table(table) => self.table(table, system, named),
            DeValue::Integer(number) => self.number(value.span(), number.as_str(), named),
            DeValue::Float(number) => self.number(value.span(), number.as_str(), named),
            _ => {}
        }
    }

    /// A table, which may name a unit for the bare numbers below it.
    fn table(&mut self, table: &DeTable<'_>, system: &System, above: Option<(Unit, Unit)>) {
        let written = table.get("unit").and_then(|unit| unit.get_ref().as_str());
        let written = written.and_then(Unit::named);
        let named = written.and_then(|from| Some((from, system.unit(from.kind)?))).or(above);
        for (key, value) in table {
            match (key.get_ref().as_ref(), named) {
                ("unit", Some((_, to))) => {
                    self.0.push((value.span(), format!("\"{}\"", to.symbol)));
                }
                (key, _) => self.units(key, value, system, named),
            }
        }
    }

    fn number(&mut self, at: Range<usize>, text: &str, named: Option<(Unit, Unit)>) {
        let Some((from, to)) = named else { return };
        let number: f64 = text.parse().unwrap();
        self.0.push((at, format!("{:?}", to.value_of(from.si_of(number)))));
    }

    /// Every arm below a value, moved aft.
    fn arms(&mut self, key: &str, value: &toml::Spanned<DeValue<'_>>, by: Length) {
        match value.get_ref() {
            DeValue::String(text) if key == "arm" => {
                let (amount, unit) = unit::read(text, Kind::Length).unwrap();
                let moved = Length::from_si(amount.si) + by;
                let new = format!("\"{:e} {}\"", moved.count(unit), unit.symbol);
                self.0.push((value.span(), new));
            }
            DeValue::Array(entries) => {
                for entry in entries {
                    self.arms(key, entry, by);
                }
            }
            DeValue::Table(table) => {
                for (key, value) in table {
                    self.arms(key.get_ref(), value, by);
                }
            }
            _ => {}
        }
    }

    /// The text with everything written anew, and how much that was.
    fn apply(mut self, text: &str) -> (String, usize) {
        self.0.sort_by_key(|(at, _)| at.start);
        let mut new = text.to_owned();
        for (at, with) in self.0.iter().rev() {
            new.replace_range(at.clone(), with);
        }
        (new, self.0.len())
    }
}

fn in_units_of(system: &System, text: &str) -> (String, usize) {
    let mut rewriting = Rewriting::default();
    rewriting.table(DeTable::parse(text).unwrap().get_ref(), system, None);
    rewriting.apply(text)
}

fn from_datum(aircraft: &str, by: Length) -> (String, usize) {
    let mut rewriting = Rewriting::default();
    for (key, value) in DeTable::parse(aircraft).unwrap().get_ref() {
        rewriting.arms(key.get_ref(), value, by);
    }
    rewriting.apply(aircraft)
}

/// The part of a value by which another way of writing it may move a margin.
const ROUNDING: f64 = 1e-9;

/// Demands the same verdicts and margins; returns how many limits were compared.
fn same(what: &str, before: &BTreeMap<String, Found>, after: &BTreeMap<String, Found>) -> usize {
    assert!(before.keys().eq(after.keys()), "{what}: other limits");
    for (id, old) in before {
        let new = &after[id];
        assert_eq!(old.verdict(), new.verdict(), "{what}, {id}: {old:?} became {new:?}");
        let (Found::Measured(old), Found::Measured(new)) = (old, new) else {
            assert_eq!(old, new, "{what}, {id}");
            continue;
        };
        let sizes = [old, new].map(|m| m.value.si.abs().max(m.bound.si.abs()).max(m.whole));
        let allowed = ROUNDING * sizes[0].max(sizes[1]);
        let moved = (old.margin() - new.margin()).abs();
        assert!(moved <= allowed, "{what}, {id}: the margin moved by {moved}: {old:?}, {new:?}");
        let share = (old.share() - new.share()).abs() * old.whole;
        assert!(share <= 2.0 * allowed, "{what}, {id}: the share moved: {old:?}, {new:?}");
    }
    before.len()
}

#[test]
fn another_system_of_units_changes_no_verdict_and_no_margin() {
    let (mut compared, mut rewritten) = (0, 0);
    for (name, texts) in turnarounds() {
        let before = judged(documents(&texts));
        for system in &SYSTEMS {
            let mut anew = |text: &str| {
                let (text, count) = in_units_of(system, text);
                rewritten += count;
                text
            };
            let other = Texts {
                aircraft: anew(&texts.aircraft),
                strip: anew(&texts.strip),
                legs: texts.legs.iter().map(|leg| leg.as_deref().map(&mut anew)).collect(),
                turnaround: anew(&texts.turnaround),
            };
            let after = judged(documents(&other));
            compared += same(&format!("{name} in {}", system.name), &before, &after);
        }
    }
    println!("{compared} limits compared, {rewritten} values written anew");
    assert!(compared >= 300 && rewritten >= 2_000, "{compared} limits, {rewritten} values");
}

#[test]
fn another_datum_changes_no_verdict_and_no_margin() {
    let mut compared = 0;
    for (name, texts) in turnarounds() {
        let before = judged(documents(&texts));
        for metres in [-7.3, 0.0254, 1.0, 42.0] {
            let (aircraft, arms) = from_datum(&texts.aircraft, Length::from_si(metres));
            assert!(arms >= 8, "{name}: only {arms} arms");
            let after = judged(documents(&Texts { aircraft, ..texts.clone() }));
            compared += same(&format!("{name}, datum {metres} m"), &before, &after);
        }
    }
    println!("{compared} limits compared");
    assert!(compared >= 600, "{compared} limits");
}

/// A quantity that stands nowhere.
fn given<Q: FromAmount>(value: Q, unit: Unit) -> Given<Q> {
    Given { value, unit, at: 0..0 }
}

fn at<T>(value: T) -> At<T> {
    At { value, at: 0..0 }
}

/// Runs a check on random turnarounds of all, with what they were judged before any change.
fn for_random<S: Strategy>(
    change: S,
    check: impl Fn(Documents, &BTreeMap<String, Found>, S::Value) -> Result<(), TestCaseError>,
) {
    let all: Vec<Documents> = turnarounds().iter().map(|(_, texts)| documents(texts)).collect();
    let before: Vec<_> = all.iter().map(|documents| judged(documents.clone())).collect();
    let config = Config { cases: 300, failure_persistence: None, ..Config::default() };
    TestRunner::new(config)
        .run(&(0..all.len(), change), |(which, change)| {
            check(all[which].clone(), &before[which], change)
        })
        .unwrap();
}

/// What did not hold must not hold after a change for the worse.
fn no_better(id: &str, old: &Found, new: &Found) -> Result<(), TestCaseError> {
    let (was, is) = (old.verdict(), new.verdict());
    prop_assert!(was == Verdict::Holds || is != Verdict::Holds, "{id}: {old:?} became {new:?}");
    Ok(())
}

#[test]
fn more_mass_in_any_place_never_shortens_a_distance() {
    let compared = Cell::new(0);
    for_random((any::<Index>(), 0.0..200.0_f64), |mut documents, before, (place, mass)| {
        let seats = documents.aircraft.seats.iter().map(|seat| &seat.label.value);
        let lockers = documents.aircraft.lockers.iter().map(|locker| &locker.label.value);
        let places: Vec<String> = seats.chain(lockers).cloned().collect();
        documents.turnaround.items.push(Item {
            what: at("more".into()),
            place: at(places[place.index(places.len())].clone()),
            mass: Some(given(Mass::from_si(mass), unit::KG)),
            known: at(MassKnown::Weighed),
            to: None,
            contains: Some(Vec::new()),
        });
        let after = judged(documents);
        for (id, old) in before.iter().filter(|(id, _)| id.starts_with("strip.")) {
            let new = &after[id];
            no_better(id, old, new)?;
            if let (Found::Measured(old), Found::Measured(new)) = (old, new)
                && old.value.kind == Kind::Length
            {
                prop_assert!(new.value.si >= old.value.si - 1e-9, "{id}: {old:?} became {new:?}");
                compared.set(compared.get() + 1);
            }
        }
        Ok(())
    });
    assert!(compared.get() >= 500, "only {} distances were compared", compared.get());
}

#[test]
fn more_reserve_never_frees_fuel() {
    let compared = Cell::new(0);
    for_random(0.0..300.0_f64, |mut documents, before, litres| {
        let extra = documents.turnaround.extra.as_ref().map_or(0.0, |given| given.value.si());
        let more = Volume::from_si(extra) + Volume::of(litres, unit::L);
        documents.turnaround.extra = Some(given(more, unit::L));
        let after = judged(documents);
        for (id, old) in before.iter().filter(|(id, _)| id.starts_with("fuel.")) {
            let new = &after[id];
            no_better(id, old, new)?;
            if let (Found::Measured(old), Found::Measured(new)) = (old, new) {
                prop_assert!(new.margin() <= old.margin() + 1e-12, "{id}: {old:?} became {new:?}");
                compared.set(compared.get() + 1);
            }
        }
        let id = "fuel.required";
        if let (Found::Measured(old), Found::Measured(new)) = (&before[id], &after[id]) {
            let taken = old.margin() - new.margin();
            let asked = Volume::of(litres, unit::L).si();
            prop_assert!((taken - asked).abs() < 1e-12, "{litres} L took {taken} m3");
        }
        Ok(())
    });
    assert!(compared.get() >= 1_000, "only {} margins were compared", compared.get());
}
