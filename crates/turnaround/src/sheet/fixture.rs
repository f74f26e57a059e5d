//! Sheets for tests. All invented.

use stillprop_calc::{
    quantity::{FromAmount, Time, Volume},
    unit,
};

use super::{Drum, Facts, Fuelling, Sheet, Someone, Start, Tank, Worker};
use crate::stage::Cited;

pub(super) const GRADE: &str = "avgas 100LL";

pub(super) fn litres(value: f64) -> Volume {
    Volume::of(value, unit::L)
}

pub(super) fn cited<Q>(value: Q) -> crate::stage::Figure<Q> {
    Ok(Cited { value, citation: "pack test: the book, 1".into(), remark: None })
}

/// So many tanks, filled by this method; a drum feeds the tanks in turn.
pub(super) fn facts(fuelling: Fuelling, start: Start, tanks: usize, drums: usize) -> Facts {
    let mut facts = Facts::bare(fuelling, GRADE, start);
    let names = ["left", "right", "rear", "tip left", "tip right", "nose"];
    facts.tanks =
        (0..tanks).map(|tank| Tank::bare(names[tank % names.len()], litres(54.0))).collect();
    facts.drums = (0..drums)
        .map(|drum| Drum {
            label: format!("drum {}", drum + 1),
            into: (0..tanks)
                .filter(|tank| tank * drums / tanks == drum || tanks < drums)
                .map(|tank| (tank, litres(54.0)))
                .collect(),
            asked: Vec::new(),
            settles: cited(Time::of(60.0, unit::MIN)),
            stands: Err("no ledger was opened".into()),
        })
        .collect();
    facts.settling = cited(Time::of(15.0, unit::MIN));
    facts
}

/// With a second person.
pub(super) fn two(mut facts: Facts) -> Facts {
    let may = "trained to swing this propeller".into();
    facts.second = Some(Worker { name: "Wren".into(), may });
    facts
}

/// With somebody to be told, and rules that want everybody asked about dangerous goods.
pub(super) fn asking(mut facts: Facts) -> Facts {
    facts.tell = vec![Someone { name: "Sarin".into(), notes: vec!["by telephone".into()] }];
    facts.ask_goods = Some("pack test: the book, 2".into());
    facts
}

/// With a pack that lets a pilot who is alone start by hand.
pub(super) fn alone_allowed(mut facts: Facts) -> Facts {
    facts.alone_permitted = cited(true);
    facts
}

pub(super) fn sheet(facts: &Facts) -> Sheet {
    Sheet::build(facts).unwrap()
}

fn name(fuelling: Fuelling, start: Start, people: usize) -> String {
    let fuelling = match fuelling {
        Fuelling::Tanker => "tanker",
        Fuelling::SelfServe => "self-serve",
        Fuelling::Drum => "drum",
        Fuelling::None | Fuelling::Unknown => "no fuel",
    };
    let start = match start {
        Start::Electric => "starter",
        Start::Hand => "by hand",
        Start::None => "no start",
    };
    format!("{fuelling}, {start}, {}", if people == 1 { "one" } else { "two" })
}

/// The sheets of a method that the checker is shown: each start, one and two people.
pub(super) fn all(fuelling: Fuelling) -> Vec<(String, Sheet)> {
    let mut all: Vec<(String, Sheet)> = Vec::new();
    for start in [Start::Electric, Start::Hand, Start::None] {
        for people in [1, 2] {
            let drums = usize::from(fuelling == Fuelling::Drum);
            let tanks = usize::from(fuelling != Fuelling::None) * 2;
            let facts = alone_allowed(facts(fuelling, start, tanks, drums));
            let facts = if people == 2 { two(facts) } else { facts };
            let sheet = sheet(&facts);
            // Where a second person changes no task, one proof is enough.
            if all.iter().all(|(_, other)| other.tasks != sheet.tasks) {
                all.push((name(fuelling, start, people), sheet));
            }
        }
    }
    all
}
