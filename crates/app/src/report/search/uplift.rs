//! The page and the JSON of `uplift`: what to take at each stop of a day.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;
use stillprop_plan::uplift::day::Stretch;
use stillprop_turnaround::{
    assess::{CAUTIONS, Limit},
    limits::{Verdict, light::clock},
    units::{Round, Units},
};

use crate::{
    day::{At, Conflict, Drawn, Missing, Outcome, Reckoned, Stop, Taken},
    report::{
        answer::{self, Instant, Quantity, instant, quantity},
        bars,
        text::{CAUTION, WIDTH, list, section, wrapped},
    },
};

/// The whole page.
pub(crate) fn page(of: &Reckoned, all: bool) -> String {
    let (word, proof) = headline(of);
    let mut out = format!("{}: {proof}\n", bars::heading(word));
    let invented = if of.document.invented { "  (invented data)" } else { "" };
    let _ = writeln!(out, "{}{invented}", of.document.title);
    let _ = writeln!(out, "{}, rules: {}", of.aircraft, of.rules);
    match &of.outcome {
        Outcome::Take(taken) => {
            what(&mut out, of, taken);
            table(&mut out, of, taken);
            waits(&mut out, of, taken);
        }
        Outcome::Nothing(set) => conflict(&mut out, of, set),
        Outcome::Unknown(all) => missing(&mut out, of, all),
        Outcome::Stopped => {}
    }
    offered(&mut out, of);
    refused(&mut out, of, all);
    let notes = notes(of);
    if !notes.is_empty() {
        list(&mut out, "NOTES", notes.iter().map(String::as_str));
    }
    list(&mut out, "CAUTIONS", CAUTIONS.iter().copied());
    out
}

fn headline(of: &Reckoned) -> (&'static str, String) {
    match &of.outcome {
        Outcome::Take(taken) => {
            let all = of.units.fuel(taken.stops.iter().map(|at| at.taken).sum(), Round::Near);
            let cost = taken.cost.map(|cost| format!(" for {}", money(of, cost)));
            let least = if taken.cost.is_some() { "least cost" } else { "least fuel" };
            let proof = if taken.best {
                format!("proved: {least}, then fewest part-drums, then oldest fuel")
            } else {
                format!("{least} of what is known to hold; where a limit is unknown less might do")
            };
            ("TAKE", format!("{all}{}; {proof}", cost.unwrap_or_default()))
        }
        Outcome::Nothing(_) => ("NOTHING FITS", "proved".into()),
        Outcome::Unknown(_) => ("NOT KNOWN", "something must be found out first".into()),
        Outcome::Stopped => {
            ("NOT KNOWN", "the search was stopped before anything was found".into())
        }
    }
}

fn money(of: &Reckoned, cost: f64) -> String {
    match of.document.money.as_deref() {
        Some(word) => format!("{cost:.2} {word}"),
        None => format!("a price of {cost:.2}"),
    }
}

fn rows(out: &mut String, mark: &str, text: &str) {
    for (row, words) in wrapped(text, WIDTH - mark.len()).iter().enumerate() {
        let lead = if row == 0 { mark.to_owned() } else { " ".repeat(mark.len()) };
        let _ = writeln!(out, "{lead}{words}");
    }
}

fn at_stop(stop: &Stop) -> String {
    format!("{}, chocks off {}", stop.place, clock(stop.departs, stop.offset))
}

/// What a pilot does at each stop.
fn what(out: &mut String, of: &Reckoned, taken: &Taken) {
    section(out, "WHAT TO TAKE");
    for (number, (stop, at)) in of.stops.iter().zip(&taken.stops).enumerate() {
        let cost = at.cost.filter(|_| !at.draws.is_empty());
        let cost = cost.map_or_else(String::new, |cost| format!(", {}", money(of, cost)));
        let take = if at.draws.is_empty() {
            "nothing".into()
        } else {
            of.units.fuel(at.taken, Round::Near)
        };
        rows(out, &format!("  {} ", number + 1), &format!("{}: take {take}{cost}", at_stop(stop)));
        for drawn in &at.draws {
            rows(out, "      ", &from(drawn, stop, &of.units));
        }
        let tanks = at.tanks.iter().filter(|(_, was, is)| is > was);
        let tanks: Vec<String> = tanks
            .map(|(tank, was, is)| {
                format!("{} into {tank}", of.units.fuel(*is - *was, Round::Near))
            })
            .collect();
        if !tanks.is_empty() {
            rows(out, "      ", &tanks.join(", "));
        }
    }
}

/// `NT-12, 140 L: 50 L left for later, mark it; stand it up by 07:30; sample it`.
fn from(drawn: &Drawn, stop: &Stop, units: &Units) -> String {
    let volume = units.fuel(drawn.volume, Round::Near);
    if !drawn.drum {
        return format!("{volume} from {}", drawn.name);
    }
    let filled = drawn.filled.map_or_else(String::new, |day| format!(", filled {day}"));
    let rest = match drawn.leaves {
        None => "emptied".to_owned(),
        Some(left) => format!("{} can still be drawn: mark it", units.fuel(left, Round::Down)),
    };
    let mut said = vec![rest];
    if let Some(by) = drawn.stand_by {
        said.push(format!("stand it up by {}", clock(by, stop.offset)));
    }
    if drawn.sample {
        said.push("sample it first".into());
    }
    format!("{volume} from drum {}{filled}: {}", drawn.name, said.join("; "))
}

fn table(out: &mut String, of: &Reckoned, taken: &Taken) {
    section(out, "STOP BY STOP");
    let width = of.stops.iter().map(|stop| stop.place.chars().count()).max().unwrap_or(0).max(4);
    let mut row = |name: &str, cells: [&str; 6]| {
        let cells: String = cells.iter().map(|cell| format!(" {cell:>10}")).collect();
        let _ = writeln!(out, "  {name:<width$}{cells}", width = width + 2);
    };
    row("", ["aboard", "take", "leaves", "burns", "left", "ramp"]);
    for (number, (stop, at)) in of.stops.iter().zip(&taken.stops).enumerate() {
        let fuel = |volume, round| of.units.fuel(volume, round);
        row(
            &format!("{} {}", number + 1, stop.place),
            [
                &fuel(at.arrives, Round::Down),
                &fuel(at.taken, Round::Near),
                &fuel(at.leaves, Round::Down),
                &fuel(at.burns, Round::Up),
                &fuel(at.left, Round::Down),
                at.assessment.says("load.mass.ramp"),
            ],
        );
    }
    match taken.cost {
        Some(cost) => {
            let _ = writeln!(out, "  {}, part-drums left: {}", money(of, cost), taken.parts);
        }
        None => {
            let _ = writeln!(out, "  no prices are given; part-drums left: {}", taken.parts);
        }
    }
    section(out, "TIGHTEST OF LOAD, FUEL AND STRIP");
    for (number, at) in taken.stops.iter().enumerate() {
        if let Some(limit) = at.tightest() {
            let share = limit.share().map_or_else(String::new, bars::share);
            let _ = writeln!(
                out,
                "  {} {:<35} {share:<13} {}",
                number + 1,
                limit.id,
                limit.words.stands
            );
        }
    }
}

fn waits(out: &mut String, of: &Reckoned, taken: &Taken) {
    if taken.stops.iter().all(|at| at.waits().next().is_none()) {
        return;
    }
    section(out, "STILL TO DO THERE");
    for (stop, at) in of.stops.iter().zip(&taken.stops) {
        for limit in at.waits() {
            let act = limit.words.act.as_deref().unwrap_or(&limit.words.stands);
            let mark = format!("  {} ", bars::verdict(limit.verdict));
            let _ = writeln!(out, "{mark}{}, {}", stop.place, limit.id);
            rows(out, "            ", act);
        }
    }
}

fn conflict(out: &mut String, of: &Reckoned, set: &[Conflict]) {
    if set.is_empty() {
        out.push_str("\n  The legs cannot be flown with the fuel there is, whatever the limits.\n");
        return;
    }
    section(out, "THESE CANNOT ALL BE KEPT");
    for each in set {
        let stop = &of.stops[each.stop];
        rows(out, "  - ", &format!("{}, {}: {}", stop.place, each.id, holds_with(each, &of.units)));
    }
    let why = "Something fits when any one of them is left out. That is for finding out what to \
        change: leave a load, go when it is cooler, have fuel brought. No limit of the manual is to \
        be left out.";
    rows(out, "  ", why);
}

/// With how much aboard at chocks off a limit holds.
fn holds_with(of: &Conflict, units: &Units) -> String {
    let stretch = |each: &Stretch| match (each.from, each.to) {
        (None, None) => "with any amount".into(),
        (Some(from), None) => format!("from {}", units.fuel(from, Round::Up)),
        (None, Some(to)) => format!("up to {}", units.fuel(to, Round::Down)),
        (Some(from), Some(to)) => {
            format!("from {} to {}", units.fuel(from, Round::Up), units.fuel(to, Round::Down))
        }
    };
    if of.holds_with.is_empty() {
        let words = of.judged.as_ref().map(|limit| &limit.words);
        let act = words.map(|words| words.act.as_ref().unwrap_or(&words.stands));
        let act = act.map_or_else(String::new, |act| format!(": {act}"));
        return format!("no amount of fuel keeps it{act}");
    }
    let all: Vec<String> = of.holds_with.iter().map(stretch).collect();
    format!("holds {} aboard at chocks off", all.join(", or "))
}

/// What is missing at each stop, once, with the limits that wait for it.
fn missing(out: &mut String, of: &Reckoned, all: &[Missing]) {
    section(out, "FIND OUT FIRST");
    let mut said: Vec<(usize, &str)> = Vec::new();
    for each in all {
        if said.contains(&(each.stop, &each.what)) {
            continue;
        }
        said.push((each.stop, &each.what));
        rows(out, "  ? ", &format!("{}: {}", of.stops[each.stop].place, each.what));
        let same = all.iter().filter(|other| (other.stop, &other.what) == (each.stop, &each.what));
        let ids: Vec<&str> = same.filter_map(|other| other.limit.as_deref()).collect();
        if !ids.is_empty() {
            rows(out, "    ", &format!("so unknown: {}", ids.join(", ")));
        }
    }
}

fn offered(out: &mut String, of: &Reckoned) {
    if of.stops.iter().all(|stop| stop.offered == 0) {
        return;
    }
    section(out, "WHAT MAY BE HAD");
    for stop in &of.stops {
        let from = match stop.offered {
            0 => "nothing".to_owned(),
            1 => "one source".to_owned(),
            many => format!("{many} sources"),
        };
        let amount = match (stop.offered, stop.offered_volume) {
            (0, _) => String::new(),
            (_, None) => ", as much as is wanted".into(),
            (_, Some(volume)) => format!(", {}", of.units.fuel(volume, Round::Down)),
        };
        let _ = writeln!(out, "  {}: {from}{amount}", stop.place);
    }
}

fn refused(out: &mut String, of: &Reckoned, all: bool) {
    let shown = |stop: &&Stop| stop.refused.iter().any(|refused| !refused.empty);
    if !of.stops.iter().any(|stop| shown(&stop)) {
        return;
    }
    section(out, "NOT OFFERED");
    for stop in of.stops.iter().filter(shown) {
        let some = || stop.refused.iter().filter(|refused| !refused.empty);
        if !all {
            let names: Vec<&str> = some().map(|refused| refused.name.as_str()).collect();
            rows(out, "  ", &format!("{}: {} (--all says why)", stop.place, names.join(", ")));
            continue;
        }
        for refused in some() {
            let why = format!("{}, {}: {}", stop.place, refused.name, refused.why.join("; "));
            rows(out, "  - ", &why);
        }
    }
}

fn notes(of: &Reckoned) -> Vec<String> {
    let mut notes = Vec::new();
    if let Outcome::Take(taken) = &of.outcome {
        let holds: usize = taken.stops.iter().map(|at| at.assessment.count(Verdict::Holds)).sum();
        let waits: usize = taken.stops.iter().map(|at| at.waits().count()).sum();
        notes.push(format!(
            "Each stop was worked into its documents and assessed in full: {holds} limits hold, none of \
             load, fuel, strip, light or people breaks or is unknown."
        ));
        if waits > 0 {
            notes.push(format!(
                "{waits} limits of drums and samples do not hold yet: a stop is not ready before they do."
            ));
        }
        notes.push(format!(
            "In whole steps of {}. What is left at a landing is what its plan leaves, holding \
             included: dip again before fuelling.",
            of.units.fuel(of.step, Round::Near)
        ));
    }
    for stop in of.stops.iter().filter(|stop| stop.whole_by_rule) {
        notes.push(format!(
            "{}: the rules do not allow to use what is left in a drum, so each is emptied or left alone.",
            stop.place
        ));
    }
    notes
}

/// The answer of `--json`.
#[derive(Debug, JsonSchema, Serialize)]
pub(crate) struct Answer<'a> {
    /// Title of the day.
    title: &'a str,
    /// True for demonstration data.
    invented: bool,
    /// Registration and type.
    aircraft: &'a str,
    /// Rules in force at the first stop.
    rules: &'a str,
    /// `take`, `nothing fits`, `not known` or `stopped`.
    answer: &'static str,
    /// `best`: nothing better exists. `best known`: nothing better is known to hold.
    proof: Option<&'static str>,
    /// What it costs, where prices are given.
    cost: Option<f64>,
    /// What prices are in.
    money: Option<&'a str>,
    /// Drums that are opened and not emptied.
    part_drums: Option<u64>,
    /// Each stop.
    stops: Vec<AtStop<'a>>,
    /// Limits that cannot all be kept.
    conflict: Vec<Kept<'a>>,
    /// What must be found out first.
    find_out: Vec<FindOut<'a>>,
    /// What every answer carries.
    caution: &'static str,
}

/// A stop of the day.
#[derive(Debug, JsonSchema, Serialize)]
struct AtStop<'a> {
    /// Where.
    place: &'a str,
    /// File of its turnaround.
    turnaround: &'a str,
    /// Chocks off.
    departs: Instant,
    /// What to take, where something fits.
    #[serde(flatten)]
    fuel: Option<Fuel<'a>>,
    /// Containers that are not offered.
    not_offered: Vec<NotOffered<'a>>,
}

/// The fuel at a stop.
#[derive(Debug, JsonSchema, Serialize)]
struct Fuel<'a> {
    /// Usable fuel before any is taken.
    aboard: Quantity,
    /// What is taken.
    takes: Quantity,
    /// Usable fuel at chocks off.
    leaves: Quantity,
    /// From chocks off to the last landing.
    burns: Quantity,
    /// What is left then.
    left: Quantity,
    /// What it costs, where prices are given.
    cost: Option<f64>,
    /// Where it comes from.
    draws: Vec<Draw<'a>>,
    /// Each tank.
    tanks: Vec<Tank<'a>>,
    /// Mass at chocks off.
    ramp_mass: Option<Quantity>,
    /// The tightest limit that fuel moves.
    tightest: Option<answer::ready::Limit<'a>>,
    /// How many limits hold in the full assessment.
    holds: usize,
    /// Limits of drums and samples that do not hold yet.
    still_to_do: Vec<answer::ready::Limit<'a>>,
}

/// What comes out of one drum or pump.
#[derive(Debug, JsonSchema, Serialize)]
struct Draw<'a> {
    /// Its name.
    from: &'a str,
    /// How much.
    takes: Quantity,
    /// A drum.
    drum: bool,
    /// The day it was filled.
    filled: Option<String>,
    /// What can still be drawn from a drum that is not emptied.
    leaves: Option<Quantity>,
    /// It must be stood up by then.
    stand_by: Option<Instant>,
    /// It must be sampled first.
    sample: bool,
}

/// A tank.
#[derive(Debug, JsonSchema, Serialize)]
struct Tank<'a> {
    /// Its name.
    tank: &'a str,
    /// Before.
    before: Quantity,
    /// After.
    after: Quantity,
}

/// A container that is not offered.
#[derive(Debug, JsonSchema, Serialize)]
struct NotOffered<'a> {
    /// Its name.
    name: &'a str,
    /// Why not.
    why: &'a [String],
}

/// A limit of a conflict.
#[derive(Debug, JsonSchema, Serialize)]
struct Kept<'a> {
    /// Which stop, from 1.
    stop: usize,
    /// Where.
    place: &'a str,
    /// The limit.
    limit: &'a str,
    /// Amounts at chocks off with which it holds.
    holds_with: Vec<Amounts>,
    /// The same in words.
    words: String,
}

/// A stretch of amounts.
#[derive(Debug, JsonSchema, Serialize)]
struct Amounts {
    /// The least; none where no less could be aboard.
    from: Option<Quantity>,
    /// The most; none where no more could be aboard.
    to: Option<Quantity>,
}

/// What must be found out.
#[derive(Debug, JsonSchema, Serialize)]
struct FindOut<'a> {
    /// Which stop, from 1.
    stop: usize,
    /// Where.
    place: &'a str,
    /// The limit that is unknown without it.
    limit: Option<&'a str>,
    /// What.
    what: &'a str,
}

/// The day for programs.
pub(crate) fn answer(of: &Reckoned) -> Answer<'_> {
    let units = &of.units;
    let taken = match &of.outcome {
        Outcome::Take(taken) => Some(taken),
        Outcome::Nothing(_) | Outcome::Unknown(_) | Outcome::Stopped => None,
    };
    let stops = of.stops.iter().zip(&of.document.stops).enumerate();
    let stops = stops.map(|(number, (stop, document))| AtStop {
        place: &stop.place,
        turnaround: &document.turnaround.value,
        departs: instant(stop.departs, stop.offset),
        fuel: taken.and_then(|taken| taken.stops.get(number)).map(|at| fuel(at, stop, units)),
        not_offered: stop
            .refused
            .iter()
            .map(|refused| NotOffered { name: &refused.name, why: &refused.why })
            .collect(),
    });
    Answer {
        title: &of.document.title,
        invented: of.document.invented,
        aircraft: &of.aircraft,
        rules: &of.rules,
        answer: match &of.outcome {
            Outcome::Take(_) => "take",
            Outcome::Nothing(_) => "nothing fits",
            Outcome::Unknown(_) => "not known",
            Outcome::Stopped => "stopped",
        },
        proof: taken.map(|taken| if taken.best { "best" } else { "best known" }),
        cost: taken.and_then(|taken| taken.cost),
        money: of.document.money.as_deref(),
        part_drums: taken.map(|taken| taken.parts),
        stops: stops.collect(),
        conflict: kept(of),
        find_out: find_out(of),
        caution: CAUTION,
    }
}

fn fuel<'a>(at: &'a At, stop: &Stop, units: &Units) -> Fuel<'a> {
    let fuel = |volume| quantity(volume, units.fuel);
    let limit = |limit: &'a Limit| answer::ready::limit(limit, units);
    let draw = |drawn: &'a Drawn| Draw {
        from: &drawn.name,
        takes: fuel(drawn.volume),
        drum: drawn.drum,
        filled: drawn.filled.map(|day| day.to_string()),
        leaves: drawn.leaves.map(fuel),
        stand_by: drawn.stand_by.map(|at| instant(at, stop.offset)),
        sample: drawn.sample,
    };
    let tank =
        |(tank, was, is): &'a (String, _, _)| Tank { tank, before: fuel(*was), after: fuel(*is) };
    let ramp = at.assessment.states.as_ref().ok().and_then(|states| states.first());
    Fuel {
        aboard: fuel(at.arrives),
        takes: fuel(at.taken),
        leaves: fuel(at.leaves),
        burns: fuel(at.burns),
        left: fuel(at.left),
        cost: at.cost,
        draws: at.draws.iter().map(draw).collect(),
        tanks: at.tanks.iter().map(tank).collect(),
        ramp_mass: ramp.map(|state| quantity(state.mass, units.mass)),
        tightest: at.tightest().map(limit),
        holds: at.assessment.count(Verdict::Holds),
        still_to_do: at.waits().map(limit).collect(),
    }
}

fn kept<'a>(of: &'a Reckoned) -> Vec<Kept<'a>> {
    let Outcome::Nothing(set) = &of.outcome else { return Vec::new() };
    let units = &of.units;
    let amounts = |each: &Stretch| Amounts {
        from: each.from.map(|from| quantity(from, units.fuel)),
        to: each.to.map(|to| quantity(to, units.fuel)),
    };
    let one = |each: &'a Conflict| Kept {
        stop: each.stop + 1,
        place: &of.stops[each.stop].place,
        limit: &each.id,
        holds_with: each.holds_with.iter().map(amounts).collect(),
        words: holds_with(each, units),
    };
    set.iter().map(one).collect()
}

fn find_out(of: &Reckoned) -> Vec<FindOut<'_>> {
    let Outcome::Unknown(all) = &of.outcome else { return Vec::new() };
    all.iter()
        .map(|each| FindOut {
            stop: each.stop + 1,
            place: &of.stops[each.stop].place,
            limit: each.limit.as_deref(),
            what: &each.what,
        })
        .collect()
}
