//! A day of flying, reckoned: what to take where, worked into the documents of every stop and
//! assessed again. The verb and the pages show the same [`Reckoned`].

use jiff::{Timestamp, civil::Date, tz::Offset};
use stillprop_calc::quantity::{FromAmount, Volume};
use stillprop_plan::{
    budget::Budget,
    uplift::{
        Uplift,
        day::{self, About, Found, PARTS_OF_MONEY, Proof, Proposal, Refused, Stretch, Unfit},
    },
};
use stillprop_rules::document::Problem;
use stillprop_turnaround::{
    assess::{Assessment, Limit, assess},
    document::day::Day,
    limits::Verdict,
    stage::prepare,
    units::Units,
};

use crate::{load, problem::Failure, report::system::UnitSystem, world::Source};

/// A day with its answer.
pub(crate) struct Reckoned {
    pub(crate) document: Day,
    pub(crate) units: Units,
    /// Registration and type.
    pub(crate) aircraft: String,
    /// Rules in force at the first stop.
    pub(crate) rules: String,
    /// Fuel is taken in whole steps of this.
    pub(crate) step: Volume,
    pub(crate) stops: Vec<Stop>,
    pub(crate) outcome: Outcome,
}

/// A stop, whatever the answer.
pub(crate) struct Stop {
    pub(crate) place: String,
    pub(crate) departs: Timestamp,
    pub(crate) offset: Offset,
    /// How many may be drawn from, and how much they hold where that is bounded.
    pub(crate) offered: usize,
    pub(crate) offered_volume: Option<Volume>,
    pub(crate) refused: Vec<Refused>,
    /// The pack does not allow to use what is left in a drum.
    pub(crate) whole_by_rule: bool,
}

/// The answer.
pub(crate) enum Outcome {
    /// What to take.
    Take(Taken),
    /// Limits that cannot all be kept.
    Nothing(Vec<Conflict>),
    /// What is not known.
    Unknown(Vec<Missing>),
    /// The search was stopped.
    Stopped,
}

/// What to take.
pub(crate) struct Taken {
    /// Nothing better exists; else nothing better is known to hold.
    pub(crate) best: bool,
    /// What it costs, where prices are given.
    pub(crate) cost: Option<f64>,
    pub(crate) parts: u64,
    pub(crate) stops: Vec<At>,
}

/// One stop of it.
pub(crate) struct At {
    pub(crate) arrives: Volume,
    pub(crate) taken: Volume,
    pub(crate) leaves: Volume,
    pub(crate) burns: Volume,
    pub(crate) left: Volume,
    pub(crate) cost: Option<f64>,
    pub(crate) draws: Vec<Drawn>,
    /// Each tank before and after.
    pub(crate) tanks: Vec<(String, Volume, Volume)>,
    /// The stop as proposed, assessed in full.
    pub(crate) assessment: Assessment,
}

/// What comes out of one drum or pump.
pub(crate) struct Drawn {
    pub(crate) name: String,
    pub(crate) volume: Volume,
    pub(crate) drum: bool,
    pub(crate) filled: Option<Date>,
    /// What can still be drawn from the drum, where it is not emptied.
    pub(crate) leaves: Option<Volume>,
    pub(crate) stand_by: Option<Timestamp>,
    pub(crate) sample: bool,
}

/// A limit that cannot be kept with the others.
pub(crate) struct Conflict {
    pub(crate) stop: usize,
    pub(crate) id: String,
    /// Amounts aboard at chocks off with which it holds.
    pub(crate) holds_with: Vec<Stretch>,
    /// How it stands, where no amount keeps it.
    pub(crate) judged: Option<Limit>,
}

/// What must be found out first.
pub(crate) struct Missing {
    pub(crate) stop: usize,
    /// The limit that is unknown without it; none where nothing can be reckoned.
    pub(crate) limit: Option<String>,
    pub(crate) what: String,
}

impl At {
    /// What is still to be done at the stop: limits of drums and samples that do not hold yet.
    pub(crate) fn waits(&self) -> impl Iterator<Item = &Limit> + Clone {
        self.assessment.limits.iter().filter(|limit| limit.verdict != Verdict::Holds)
    }

    /// The tightest limit that the fuel moves.
    pub(crate) fn tightest(&self) -> Option<&Limit> {
        let moves = |id: &str| {
            let family = ["load.", "fuel.", "strip."].iter().any(|start| id.starts_with(start));
            family
                && ![
                    "load.seat.",
                    "load.locker.",
                    "load.zero-fuel-mass",
                    "strip.crosswind",
                    "strip.tailwind",
                ]
                .iter()
                .any(|start| id.starts_with(start))
        };
        let mut some = self.assessment.limits.iter().filter(|limit| moves(&limit.id));
        some.find(|limit| limit.verdict == Verdict::Holds && limit.share().is_some())
    }
}

/// Reads a day and answers it. `should_stop` is asked now and then.
pub(crate) fn reckon(
    source: &Source,
    pack: Option<&str>,
    ledger: Option<&str>,
    units: UnitSystem,
    should_stop: &mut dyn FnMut() -> bool,
) -> Result<Reckoned, Failure> {
    let (document, stops) = load::day(source, pack, ledger)?;
    let first = stops.first().map(|(documents, rules)| prepare(documents.clone(), rules).0);
    let Some(first) = first else {
        return Err(Failure::asked("the day has no stop", "add [[stops]] with a turnaround"));
    };
    let units = units.choose(&first.document_units);
    let aircraft =
        format!("{} {}", first.documents.aircraft.registration, first.documents.aircraft.type_name);
    let mut reckoned = Reckoned {
        units,
        aircraft,
        rules: first.rules_name.clone(),
        step: Volume::from_si(0.0),
        stops: Vec::new(),
        outcome: Outcome::Stopped,
        document,
    };
    for (documents, _) in &stops {
        reckoned.stops.push(Stop {
            place: documents.strip.name.clone(),
            departs: documents.turnaround.departs.instant,
            offset: stillprop_turnaround::stage::offset_of(&documents.strip.utc_offset.value)
                .unwrap_or(Offset::UTC),
            offered: 0,
            offered_volume: Some(Volume::from_si(0.0)),
            refused: Vec::new(),
            whole_by_rule: false,
        });
    }
    let mut budget = Budget::new(u64::MAX, should_stop);
    let of_rules = stops.iter().map(|(documents, rules)| (documents.clone(), rules)).collect();
    match day::day(&reckoned.document, of_rules, &units, &mut budget) {
        Ok(day) => answered(&mut reckoned, &day, &mut budget)?,
        Err(Unfit::Stopped) => {}
        Err(Unfit::Unknown(why)) => {
            let missing = |(stop, what)| Missing { stop, limit: None, what };
            reckoned.outcome = Outcome::Unknown(why.into_iter().map(missing).collect());
        }
        Err(Unfit::Stop { stop, about, message, help }) => {
            let of = &reckoned.document.stops[stop];
            let yard = of.yard.as_ref();
            let at = match about {
                About::Turnaround => None,
                About::Place => yard.map(|yard| &yard.place.at),
                About::Drum(number) => {
                    yard.and_then(|yard| yard.drums.as_ref()?.get(number)).map(|drum| &drum.at)
                }
            };
            let at = at.unwrap_or(&of.turnaround.at).clone();
            return Err(Failure::of(source, vec![Problem::new(at, message).help(help)]));
        }
    }
    Ok(reckoned)
}

fn answered(
    reckoned: &mut Reckoned,
    day: &day::Day<'_>,
    budget: &mut Budget<'_>,
) -> Result<(), Failure> {
    reckoned.step = day.step;
    for (shown, stop) in reckoned.stops.iter_mut().zip(&day.stops) {
        shown.offered = stop.offers.len();
        shown.offered_volume = stop.offers.iter().map(|offer| offer.usable).sum();
        shown.refused.clone_from(&stop.refused);
        shown.whole_by_rule = stop.whole_by_rule;
    }
    let units = &reckoned.units;
    reckoned.outcome = match day.answer(units, budget) {
        Found::Stopped => Outcome::Stopped,
        Found::Unknown(limits) => {
            let missing = |(stop, limit): (usize, Limit)| Missing {
                stop,
                what: limit.words.act.unwrap_or(limit.words.stands),
                limit: Some(limit.id),
            };
            Outcome::Unknown(limits.into_iter().map(missing).collect())
        }
        Found::Nothing(set) => {
            let conflict = |limit: day::Limit| {
                let holds_with = day.holds_with(&limit);
                let judged = holds_with.is_empty().then(|| day.judged(&limit, units)).flatten();
                Conflict { stop: limit.stop, id: limit.id, holds_with, judged }
            };
            Outcome::Nothing(set.into_iter().map(conflict).collect())
        }
        Found::Take(uplift, proof) => {
            Outcome::Take(taken(day, &uplift, proof == Proof::Best, units)?)
        }
    };
    Ok(())
}

fn taken(day: &day::Day<'_>, uplift: &Uplift, best: bool, units: &Units) -> Result<Taken, Failure> {
    let money = |parts: u64| day.priced.then_some(parts as f64 / PARTS_OF_MONEY);
    let mut stops: Vec<At> = Vec::new();
    for (number, (stop, proposal)) in day.stops.iter().zip(day.proposal(uplift)).enumerate() {
        let parts = uplift.draws.iter().filter(|draw| draw.stop == number).map(|draw| {
            let from = &stop.offers[draw.source].source;
            u64::from(from.to_open) + u64::from(from.per_step) * u64::from(draw.steps)
        });
        let at = at(stop, &proposal, money(parts.sum()), day.step, units);
        confirmed(&at, stops.last())?;
        stops.push(at);
    }
    Ok(Taken { best, cost: money(uplift.cost), parts: uplift.parts, stops })
}

fn at(
    stop: &day::Stop<'_>,
    proposal: &Proposal,
    cost: Option<f64>,
    step: Volume,
    units: &Units,
) -> At {
    let drawn = |(offer, volume): &(usize, Volume)| {
        let offer = &stop.offers[*offer];
        // A drum is emptied when less than a step is left.
        let emptied = (*volume / step).value.round() >= f64::from(offer.source.holds);
        let left = offer.usable.map(|usable| usable - *volume);
        Drawn {
            name: offer.name.clone(),
            volume: *volume,
            drum: offer.source.drum,
            filled: offer.filled,
            leaves: left.filter(|_| offer.source.drum && !emptied),
            stand_by: offer.stand_by,
            sample: offer.sample,
        }
    };
    let sum = |tanks: &[Volume]| tanks.iter().copied().sum::<Volume>();
    let tanks = stop.stage.tanks.iter().zip(&proposal.arrives).zip(&proposal.leaves);
    let leaves = sum(&proposal.leaves);
    At {
        arrives: sum(&proposal.arrives),
        taken: proposal.taken(),
        leaves,
        burns: stop.used,
        left: leaves - stop.used,
        cost,
        draws: proposal.draws.iter().map(drawn).collect(),
        tanks: tanks.map(|((tank, was), is)| (tank.label.clone(), *was, *is)).collect(),
        assessment: assess(&proposal.stage, &proposal.choice, units),
    }
}

/// The sums of the proposal are those of the full assessment, and what does not hold waits for a
/// drum or a sample alone.
fn confirmed(at: &At, before: Option<&At>) -> Result<(), Failure> {
    let mistake = |what: String| {
        Failure::asked(
            format!("the fuel that was found does not hold when it is assessed in full: {what}"),
            "this is a mistake of the program: report it with the documents, and use `ready`",
        )
    };
    let of_drums = |limit: &&Limit| {
        limit.id.starts_with("drum.settled.") || limit.id.starts_with("sample.taken.")
    };
    if let Some(broken) = at.waits().find(|limit| !of_drums(limit)) {
        return Err(mistake(broken.id.clone()));
    }
    let same = |a: Volume, b: Volume| (a - b).abs().value < 1e-7;
    let aboard = at.assessment.ladder.as_ref().ok().and_then(|ladder| ladder.aboard);
    if !aboard.is_some_and(|aboard| same(aboard, at.leaves)) {
        return Err(mistake("another amount aboard".into()));
    }
    if before.is_some_and(|before| !same(before.left, at.arrives)) {
        return Err(mistake("another amount left from the legs before".into()));
    }
    Ok(())
}
