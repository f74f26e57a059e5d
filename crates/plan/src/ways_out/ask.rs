//! What must be found out first.

use stillprop_calc::{
    quantity::{FromAmount, Mass},
    unit::Unit,
};
use stillprop_turnaround::{
    assess::Limit,
    document::turnaround::MassKnown,
    limits::{Margins, Verdict},
    stage::{Choice, Stage},
    units::{Round, Units},
};

/// Something that must be found out, and what is unknown without it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// What to do: `weigh Corrin Sayle`.
    pub words: String,
    /// What answer would let everything hold: `up to 181 lb every limit holds`.
    pub enough: Option<String>,
    /// Limits that wait for it.
    pub limits: Vec<String>,
}

/// Every reason for an unknown limit, once, with what waits for it.
pub(super) fn asks(stage: &Stage, choice: &Choice, all: &[Limit], units: &Units) -> Vec<Ask> {
    let mut asks: Vec<Ask> = Vec::new();
    for limit in all.iter().filter(|limit| limit.verdict == Verdict::Unknown) {
        let reason = limit.words.act.clone().unwrap_or_else(|| limit.words.stands.clone());
        let masses = unknown_masses(stage).filter(|mass| reason.contains(mass.why(stage)));
        let masses: Vec<Missing> = masses.collect();
        let words = match masses.as_slice() {
            [] => reason,
            some => some.iter().map(|mass| mass.ask(stage)).collect::<Vec<_>>().join(", and "),
        };
        match asks.iter_mut().find(|ask| ask.words == words) {
            Some(ask) => ask.limits.push(limit.id.clone()),
            None => {
                let enough = match masses.as_slice() {
                    [one] => one.enough(stage, choice, units),
                    _ => None,
                };
                asks.push(Ask { words, enough, limits: vec![limit.id.clone()] });
            }
        }
    }
    asks
}

/// A mass that is not known.
#[derive(Clone, Copy)]
enum Missing {
    Person(usize),
    Item(usize),
}

fn unknown_masses(stage: &Stage) -> impl Iterator<Item = Missing> {
    let people = stage.people.iter().enumerate().filter(|(_, person)| person.mass.is_err());
    let items = stage.items.iter().enumerate().filter(|(_, item)| item.mass.is_err());
    let people = people.map(|(index, _)| Missing::Person(index));
    people.chain(items.map(|(index, _)| Missing::Item(index)))
}

impl Missing {
    fn why(self, stage: &Stage) -> &str {
        let mass = match self {
            Self::Person(index) => &stage.people[index].mass,
            Self::Item(index) => &stage.items[index].mass,
        };
        mass.as_ref().err().map_or("", String::as_str)
    }

    fn ask(self, stage: &Stage) -> String {
        match self {
            Self::Person(index) if stage.people[index].known == MassKnown::Stated => {
                format!("ask {} what they weigh, or weigh them", stage.people[index].name)
            }
            Self::Person(index) => format!("weigh {}", stage.people[index].name),
            Self::Item(index) => format!("weigh the {}", stage.items[index].what),
        }
    }

    /// The masses, in whole units from nothing, with which every limit holds.
    fn enough(self, stage: &Stage, choice: &Choice, units: &Units) -> Option<String> {
        const MOST: u32 = 600;
        let unit: Unit = units.mass;
        let mut stage = stage.clone();
        let mut margins = Margins::default();
        let mut holds = |whole: u32| {
            let mass = Ok(Mass::of(f64::from(whole), unit));
            match self {
                Self::Person(index) => stage.people[index].mass = mass,
                Self::Item(index) => stage.items[index].mass = mass,
            }
            stage.margins(choice, &mut margins);
            margins.limits.iter().all(|limit| limit.verdict == Verdict::Holds)
        };
        let from = (1..MOST).find(|whole| holds(*whole))?;
        let to = (from..MOST).take_while(|whole| holds(*whole)).last()?;
        let shown = |whole: u32, round| units.mass(Mass::of(f64::from(whole), unit), round);
        let with = match self {
            Self::Person(_) => " with clothes and what they carry",
            Self::Item(_) => "",
        };
        Some(if from == 1 {
            format!("up to {}{with} every limit holds", shown(to, Round::Down))
        } else {
            let (low, high) = (shown(from, Round::Up), shown(to, Round::Down));
            format!("from {low} to {high}{with} every limit holds")
        })
    }
}
