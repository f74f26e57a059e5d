//! Ways out: for a turnaround that breaks, the smallest changes of each kind that mend it.
//!
//! # What is sought
//!
//! Each kind of change has its own search over the fast path of the limits: what to leave behind, how
//! much less or more fuel, another time, another direction, other seats and lockers, other drums,
//! another place on the apron, a spill taken up, a tail tied, a stop for fuel. What it finds is worked
//! into the documents, the documents are prepared and assessed anew, and only what then holds is
//! offered. A change never touches a figure of the pack or the manual, and no limit that held before
//! may break.
//!
//! Two changes together are sought only where no single one mends: first one that mends one of the
//! broken limits, then one that mends the rest.
//!
//! What is unknown is mended by no change. It is asked for; where a mass is missing, the answer says up
//! to which mass every limit holds. Ways out then mend what breaks and leave unknown what is.
//!
//! # Order
//!
//! By cost, in minutes of a pilot's work, and none that another one beats in every respect. The costs
//! are common practice, no source: [`Burden::cost`] has them.

mod ask;
mod edit;
mod fuel;
mod ground;
mod load;
mod other;

use std::collections::HashMap;

pub use ask::Ask;
pub use edit::Edit;
use stillprop_calc::quantity::FromAmount;
use stillprop_rules::rules::Rules;
use stillprop_turnaround::{
    assess::{Limit, limits},
    limits::{Margins, Verdict},
    stage::{Choice, Documents, Stage, prepare, prepare_again},
    units::Units,
};

use crate::window::Day;

/// What kind of change it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Another direction of the strip.
    Direction,
    /// Other seats and lockers.
    Seats,
    /// More or less fuel.
    Fuel,
    /// Earlier or later.
    Time,
    /// Other drums.
    Drum,
    /// Another place on the apron.
    Park,
    /// Something else is carried away.
    Carry,
    /// The tail is tied.
    Tie,
    /// A spill is taken up.
    TakeUp,
    /// Something stays behind.
    Leave,
    /// A stop for fuel.
    Stop,
    /// Somebody stays behind.
    LeavePerson,
    /// Two changes.
    Pair,
}

impl Kind {
    /// The kind as one word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Direction => "direction",
            Self::Seats => "seats",
            Self::Fuel => "fuel",
            Self::Time => "time",
            Self::Drum => "drum",
            Self::Park => "park",
            Self::Carry => "carry",
            Self::Tie => "tie",
            Self::TakeUp => "take-up",
            Self::Leave => "leave",
            Self::Stop => "stop",
            Self::LeavePerson => "leave-person",
            Self::Pair => "pair",
        }
    }
}

/// What a change asks of people, in the respects that count.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Burden {
    /// People left behind.
    pub people: f64,
    /// Kilograms left behind.
    pub kilograms: f64,
    /// Litres less or more.
    pub litres: f64,
    /// Minutes earlier or later.
    pub minutes: f64,
    /// Metres that the aeroplane or a thing is moved.
    pub metres: f64,
    /// Degrees that the aeroplane is turned.
    pub degrees: f64,
    /// Things or people that change places.
    pub moves: f64,
    /// Jobs: a spill, a rope, a fuelling more.
    pub jobs: f64,
    /// Directions that change.
    pub directions: f64,
}

impl Burden {
    fn parts(&self) -> [f64; 9] {
        let Self { people, kilograms, litres, minutes, metres, degrees, moves, jobs, directions } =
            *self;
        [people, kilograms, litres, minutes, metres, degrees, moves, jobs, directions]
    }

    /// Cost in minutes of a pilot's work. Common practice, no source: a person left behind 60, a
    /// kilogram 0.5, a litre 0.1, a minute of waiting or hurry 0.2, a metre of pushing 1, ten degrees
    /// of turning 0.5, a thing or person moved 3, a job 15, another direction 1.
    #[must_use]
    pub fn cost(&self) -> f64 {
        const EACH: [f64; 9] = [60.0, 0.5, 0.1, 0.2, 1.0, 0.05, 3.0, 15.0, 1.0];
        self.parts().into_iter().zip(EACH).map(|(much, each)| much * each).sum()
    }

    /// True when it asks no more in any respect and less in one.
    #[must_use]
    pub fn beats(&self, other: &Self) -> bool {
        let pairs = || self.parts().into_iter().zip(other.parts());
        pairs().all(|(a, b)| a <= b) && pairs().any(|(a, b)| a < b)
    }

    fn with(self, other: Self) -> Self {
        let [people, kilograms, litres, minutes, metres, degrees, moves, jobs, directions] = {
            let mut sum = self.parts();
            for (sum, more) in sum.iter_mut().zip(other.parts()) {
                *sum += more;
            }
            sum
        };
        Self { people, kilograms, litres, minutes, metres, degrees, moves, jobs, directions }
    }
}

/// A change that mends.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What kind.
    pub kind: Kind,
    /// What to do, as one says it to a pilot.
    pub words: String,
    /// What else to know.
    pub remark: Option<String>,
    /// What it changes in the documents, in order.
    pub edits: Vec<Edit>,
    /// What it asks.
    pub burden: Burden,
    /// Tightest limit afterwards, with its share left; `None` before it was assessed.
    pub tightest: Option<Limit>,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct WaysOut {
    /// Limits that break now.
    pub broken: Vec<Limit>,
    /// What must be found out first.
    pub asks: Vec<Ask>,
    /// Ways that mend what breaks, cheapest first.
    pub ways: Vec<Way>,
    /// Stages and choices judged.
    pub judged: u64,
}

/// What must hold after a change, and what held before.
pub(crate) struct Bar {
    before: Vec<Verdict>,
    /// Limits that must hold; the others may stay as they are.
    wanted: Vec<bool>,
    margins: Margins,
    judged: u64,
}

impl Bar {
    /// The smallest share of a margin, when what is wanted holds and nothing became worse.
    pub(crate) fn mends(&mut self, stage: &Stage, choice: &Choice) -> Option<f64> {
        self.judged += 1;
        stage.margins(choice, &mut self.margins);
        if self.margins.limits.len() != self.before.len() {
            return None;
        }
        let mut least = f64::INFINITY;
        let pairs = self.before.iter().zip(&self.wanted);
        for (now, (before, wanted)) in self.margins.limits.iter().zip(pairs) {
            let fine = now.verdict == Verdict::Holds || (!wanted && now.verdict >= *before);
            if !fine {
                return None;
            }
            if now.share.is_finite() {
                least = least.min(now.share);
            }
        }
        Some(least)
    }
}

/// Prepares the documents of one turnaround, changed in many ways.
#[derive(Clone, Copy)]
pub(crate) struct Again<'a> {
    rules: &'a Rules,
    /// As it is prepared without a change.
    first: &'a Stage,
}

impl Again<'_> {
    pub(crate) fn prepare(&self, documents: Documents) -> (Stage, Choice) {
        prepare_again(documents, self.rules, self.first)
    }

    /// The documents with changes worked in.
    pub(crate) fn changed(&self, documents: &Documents, edits: &[Edit]) -> Documents {
        let mut changed = documents.clone();
        for each in edits {
            if let Edit::Depart(departs) = each {
                let (stage, choice) = self.prepare(changed.clone());
                edit::depart(&mut changed, &mut Day::of(&stage, &choice), *departs);
            } else {
                each.apply(&mut changed);
            }
        }
        changed
    }
}

/// A turnaround that breaks, with what a search needs.
pub(crate) struct Case<'a> {
    pub(crate) stage: Stage,
    pub(crate) choice: Choice,
    pub(crate) units: &'a Units,
    pub(crate) again: Again<'a>,
    pub(crate) bar: Bar,
    /// Names of the limits that must hold.
    wanted: Vec<String>,
}

impl<'a> Case<'a> {
    /// `only` names the one limit that must be mended; else all that break.
    fn new(documents: Documents, again: Again<'a>, units: &'a Units, only: Option<&str>) -> Self {
        let (stage, choice) = again.prepare(documents);
        let all = limits(&stage, &choice, units);
        let wanted: Vec<bool> = all
            .iter()
            .map(|limit| match only {
                Some(id) => limit.id == id,
                None => limit.verdict == Verdict::Breaks,
            })
            .collect();
        let names = all.iter().zip(&wanted).filter(|(_, wanted)| **wanted);
        Self {
            wanted: names.map(|(limit, _)| limit.id.clone()).collect(),
            bar: Bar {
                before: all.iter().map(|limit| limit.verdict).collect(),
                wanted,
                margins: Margins::default(),
                judged: 0,
            },
            stage,
            choice,
            units,
            again,
        }
    }

    /// The same for documents that are changed.
    pub(crate) fn mended_by(&mut self, edits: &[Edit]) -> bool {
        let documents = self.again.changed(&self.stage.documents, edits);
        let (stage, choice) = self.again.prepare(documents);
        self.bar.mends(&stage, &choice).is_some()
    }

    /// True when every wanted limit belongs to one of these families, by the beginning of its name.
    pub(crate) fn is_of(&self, families: &[&str]) -> bool {
        let of = |name: &String| families.iter().any(|family| name.starts_with(family));
        self.wanted.iter().all(of)
    }
}

/// Searches one turnaround.
struct Seeker<'a> {
    again: Again<'a>,
    units: &'a Units,
    judged: u64,
}

/// Seeks every way out of a turnaround that its documents make.
#[must_use]
pub fn ways_out(documents: &Documents, rules: &Rules, units: &Units) -> WaysOut {
    let (stage, choice) = prepare(documents.clone(), rules);
    let mut seeker = Seeker { again: Again { rules, first: &stage }, units, judged: 0 };
    let all = limits(&stage, &choice, units);
    let broken: Vec<Limit> =
        all.iter().filter(|limit| limit.verdict == Verdict::Breaks).cloned().collect();
    let asks = ask::asks(&stage, &choice, &all, units);
    let mut ways = Vec::new();
    if !broken.is_empty() {
        ways = seeker.singles(documents, None);
        if ways.is_empty() {
            ways = seeker.pairs(documents, &all);
        }
    }
    WaysOut { broken, asks, ways: best(ways), judged: seeker.judged }
}

impl Seeker<'_> {
    /// Single changes that mend everything, or one limit only.
    fn singles(&mut self, documents: &Documents, only: Option<&str>) -> Vec<Way> {
        let mut case = Case::new(documents.clone(), self.again, self.units, only);
        let all = limits(&case.stage, &case.choice, self.units);
        let mut found = Vec::new();
        found.extend(other::direction(&mut case));
        found.extend(load::seats(&mut case));
        found.extend(fuel::fuel(&mut case));
        found.extend(other::time(&mut case));
        found.extend(other::drum(&case));
        found.extend(ground::park(&mut case));
        found.extend(ground::carry(&mut case));
        found.extend(ground::tie(&mut case));
        found.extend(ground::take_up(&case));
        found.extend(load::leave(&mut case));
        found.extend(fuel::stop(&case));
        self.judged += case.bar.judged;
        let people = load::leave_person(&case);
        let mut verified = |way| self.verified(documents, &all, way, only);
        let mut mended: Vec<Way> = found.into_iter().filter_map(&mut verified).collect();
        mended.extend(people.into_iter().find_map(verified));
        mended
    }

    /// Assesses the changed documents in full.
    fn verified(
        &mut self,
        documents: &Documents,
        before: &[Limit],
        way: Way,
        only: Option<&str>,
    ) -> Option<Way> {
        self.judged += 1;
        let changed = self.again.changed(documents, &way.edits);
        let (stage, choice) = self.again.prepare(changed);
        let after = limits(&stage, &choice, self.units);
        let was: HashMap<&str, Verdict> =
            before.iter().map(|limit| (limit.id.as_str(), limit.verdict)).collect();
        let fine = |limit: &Limit| {
            let was = was.get(limit.id.as_str()).copied();
            match (limit.verdict, only) {
                (Verdict::Holds, _) => true,
                (Verdict::Unknown, None) => was == Some(Verdict::Unknown),
                (Verdict::Breaks, None) => false,
                (verdict, Some(one)) => limit.id != one && was.is_some_and(|was| verdict >= was),
            }
        };
        if !after.iter().all(fine) {
            return None;
        }
        let share = |limit: &Limit| limit.share().unwrap_or(f64::INFINITY);
        let tightest = after
            .into_iter()
            .filter(|limit| limit.verdict == Verdict::Holds && limit.share().is_some())
            .min_by(|a, b| share(a).total_cmp(&share(b)));
        Some(Way { tightest, ..way })
    }

    /// One change that mends a broken limit, then one that mends the rest.
    fn pairs(&mut self, documents: &Documents, all: &[Limit]) -> Vec<Way> {
        let mut found = Vec::new();
        let broken = all.iter().filter(|limit| limit.verdict == Verdict::Breaks);
        for limit in broken.take(MOST_BROKEN) {
            let mut firsts = self.singles(documents, Some(&limit.id));
            firsts.extend(fuel::least(documents, self.again, self.units));
            for first in best(firsts).into_iter().take(MOST_FIRSTS) {
                let between = self.again.changed(documents, &first.edits);
                for second in self.singles(&between, None) {
                    if second.kind != first.kind {
                        found.push(joined(&first, second));
                    }
                }
            }
        }
        found
    }
}

/// Pairs are sought from so many broken limits. Ours: with more, no pair would mend them.
const MOST_BROKEN: usize = 3;
/// The cheapest of the first changes that are gone on from. Ours.
const MOST_FIRSTS: usize = 5;

fn joined(first: &Way, second: Way) -> Way {
    let remark = [first.remark.clone(), second.remark].into_iter().flatten();
    let remark = remark.collect::<Vec<_>>().join("; ");
    Way {
        kind: Kind::Pair,
        words: format!("{}, and {}", first.words, second.words),
        remark: (!remark.is_empty()).then_some(remark),
        edits: first.edits.iter().cloned().chain(second.edits).collect(),
        burden: first.burden.with(second.burden),
        tightest: second.tightest,
    }
}

/// The documents with changes worked in.
#[must_use]
pub fn changed(documents: &Documents, edits: &[Edit], rules: &Rules) -> Documents {
    let (stage, _) = prepare(documents.clone(), rules);
    Again { rules, first: &stage }.changed(documents, edits)
}

/// None that another beats, cheapest first; of one kind the cheapest.
fn best(mut ways: Vec<Way>) -> Vec<Way> {
    ways.sort_by(|a, b| {
        let order = a.burden.cost().total_cmp(&b.burden.cost());
        order.then(a.kind.cmp(&b.kind)).then_with(|| a.words.cmp(&b.words))
    });
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        let twin = |other: &Way| {
            other.burden.beats(&way.burden)
                || other.burden == way.burden
                || (other.kind == way.kind && way.kind != Kind::Pair)
        };
        if !kept.iter().any(twin) {
            kept.push(way);
        }
    }
    kept
}

/// Whole steps of a unit in a quantity, for searches that go in steps a person acts on.
pub(crate) fn steps<Q: FromAmount>(quantity: Q, unit: stillprop_calc::unit::Unit) -> usize {
    let count = quantity.count(unit).ceil();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "masses and volumes of a light aeroplane"
    )]
    let steps = count.clamp(0.0, 100_000.0) as usize;
    steps
}
