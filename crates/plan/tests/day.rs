//! The uplift of a day from documents, against trying every draw in freshly prepared documents.

#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, reason = "tests")]

mod cases;

use std::{cmp::Reverse, collections::HashMap, fs, path::Path};

use cases::Dice;
use jiff::civil::{Date, date};
use stillprop_calc::{
    burn::{MOST_TANKS, fuel_after},
    quantity::{FromAmount, Mass, Volume},
    trace::Silent,
    unit,
};
use stillprop_plan::{
    budget::Budget,
    uplift::{
        Uplift,
        day::{About, Day, Found, Proof, Unfit, day},
    },
};
use stillprop_rules::{builtin, document::Given, rules::Rules};
use stillprop_turnaround::{
    document::{
        check_against,
        day::Day as Document,
        read_aircraft, read_day, read_strip, read_turnaround,
        turnaround::{FuelKnown, Method, Turnaround},
    },
    drums::{Container, Kind, Posture, Seals},
    limits::{Family, Found as Judged, Id, Sink, Verdict, Words},
    stage::{Documents, prepare},
    units::Units,
};

fn text(path: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The documents of a stop of the demonstration, with a yard.
fn documents(name: &str, yard: &[Container]) -> Documents {
    let beside = |named: &str| text(&named.replace("../", ""));
    let turnaround: Turnaround = read_turnaround(&text(&format!("stops/{name}.toml"))).unwrap();
    let aircraft = read_aircraft(&beside(&turnaround.aircraft.value)).unwrap();
    let strip = read_strip(&beside(&turnaround.strip.value)).unwrap();
    let leg = |leg: &stillprop_turnaround::document::turnaround::Leg| {
        Some(read_strip(&beside(&leg.strip.as_ref()?.value)).unwrap())
    };
    let legs: Vec<_> = turnaround.legs.iter().map(leg).collect();
    assert_eq!(check_against(&turnaround, &aircraft, &strip, &legs), []);
    Documents { turnaround, aircraft, strip, legs, yard: Some(yard.to_vec()) }
}

fn litres(count: f64) -> Volume {
    Volume::of(count, unit::L)
}

/// An upright drum, whole and looked over, of which so much can be drawn.
fn drum(place: &str, label: &str, usable: i64, filled: Date) -> Container {
    Container {
        id: format!("id-{label}"),
        label: label.into(),
        kind: Kind::Drum,
        place: place.into(),
        rack: None,
        grade: "avgas 100LL".into(),
        batch: "B".into(),
        supplier: "S".into(),
        filled: Some(filled),
        retested: None,
        // The pack leaves 10 L to the pump.
        left: litres(usable as f64 + 10.0),
        capacity: litres(216.5),
        depth: None,
        opened: None,
        seals: Some(Seals::Intact),
        inspected: "2026-12-01T08:00:00+05:30".parse().ok(),
        posture: Some(Posture::Tilted),
        stands_since: "2026-12-02T08:00:00+05:30".parse().ok(),
        sample: None,
        recalled: None,
        condemned: None,
        severe_damage: None,
        counted_difference: None,
    }
}

const HILL: &str = "Nessow Top";
const RIVER: &str = "Taskel Bend";
const STOPS: [&str; 3] = ["seed-1-oumbrel", "seed-2-nessow-top", "seed-3-taskel-bend"];

/// A made-up variant of the day of the demonstration, coarse enough to try everything.
struct Made {
    document: Document,
    stops: Vec<Documents>,
    rules: Rules,
}

fn made(number: u64) -> Made {
    let mut dice = Dice::new(7_000_000 + number);
    let mut yard = Vec::new();
    for (place, letter) in [(HILL, 'N'), (RIVER, 'T')] {
        for n in 1..=2 {
            let (month, usable) = (dice.whole(1, 11) as i8, dice.whole(1, 4) * 20);
            yard.push(drum(place, &format!("{letter}-{n}"), usable, date(2026, month, 3)));
        }
    }
    let whole = [dice.percent(30), dice.percent(30)];
    let priced = dice.percent(80);
    let mut price = |key: &str, most: i64| {
        let price = dice.whole(most / 4, most) as f64 / 100.0;
        if priced { format!(", {key} = {price:.2}") } else { String::new() }
    };
    let document = format!(
        "format = 1\nkind = \"day\"\ntitle = \"made up\"\nstep = \"20 L\"\n\
         [[stops]]\nturnaround = \"a\"\npump = {{ name = \"pump\", holds = \"160 L\"{} }}\n\
         [[stops]]\nturnaround = \"b\"\nyard = {{ place = \"{HILL}\", whole = {}{} }}\n\
         [[stops]]\nturnaround = \"c\"\nyard = {{ place = \"{RIVER}\", whole = {}{}{} }}\n",
        price("price", 500),
        whole[0],
        price("price", 500),
        whole[1],
        price("price", 500),
        price("drum_price", 5000),
    );
    let document = read_day(&document).unwrap_or_else(|why| panic!("{document}: {why:?}"));
    let mut stops: Vec<Documents> = STOPS.iter().map(|name| documents(name, &yard)).collect();
    stops[0].turnaround.fuel.step = None;
    for stop in &mut stops {
        for item in &mut stop.turnaround.items {
            if let Some(mass) = &mut item.mass {
                mass.value *= dice.milli(0.6, 1.1);
            }
        }
    }
    for tank in &mut stops[0].turnaround.fuel.tanks[..2] {
        let given = tank.on_board.as_mut().unwrap();
        given.value = litres(dice.whole(20, 50) as f64);
    }
    let rules = builtin::rules("demo-operator+au").unwrap();
    Made { document, stops, rules }
}

impl Made {
    fn day(&self) -> Result<Day<'_>, Unfit> {
        let stops = self.stops.iter().map(|stop| (stop.clone(), &self.rules)).collect();
        let mut never = || false;
        let mut budget = Budget::new(u64::MAX, &mut never);
        day(&self.document, stops, &Units::METRIC, &mut budget)
    }
}

fn answer(day: &Day<'_>) -> Found {
    day.answer(&Units::METRIC, &mut Budget::new(u64::MAX, &mut || false))
}

/// Cost in thousandths, part-drums, step-days: the least is the best.
type Worth = (i64, u64, Reverse<i64>);

/// A source as the test understands it: litres, price of a step and of opening, days, drum, whole.
struct From {
    steps: i64,
    per_step: i64,
    to_open: i64,
    age: i64,
    drum: bool,
    whole: bool,
}

/// Trying everything, in documents that are prepared anew for every amount.
struct Tried<'a> {
    made: &'a Made,
    sources: Vec<Vec<From>>,
    holds: HashMap<(usize, Vec<i64>), Option<Vec<f64>>>,
    best: Option<Worth>,
    /// A limit of a stop that is not asked.
    left_out: Option<(usize, String)>,
}

impl Tried<'_> {
    fn of(made: &Made) -> Option<Worth> {
        Self::without(made, None)
    }

    fn without(made: &Made, left_out: Option<(usize, String)>) -> Option<Worth> {
        let priced = made.document.stops[0].pump.as_ref().unwrap().price.is_some();
        let step = |price: Option<f64>| match price {
            Some(price) => (price * 20.0 * 1000.0).round() as i64,
            None => i64::from(!priced),
        };
        let source = |stop: &stillprop_turnaround::document::day::Stop| -> Vec<From> {
            if let Some(pump) = &stop.pump {
                let per_step = step(pump.price.as_ref().map(|price| price.value));
                return vec![From {
                    steps: 8,
                    per_step,
                    to_open: 0,
                    age: 0,
                    drum: false,
                    whole: false,
                }];
            }
            let yard = stop.yard.as_ref().unwrap();
            let there = made.stops[0].yard.as_ref().unwrap().iter();
            let drums = there.filter(|drum| drum.place == yard.place.value);
            let from = |drum: &Container| From {
                steps: ((drum.left.count(unit::L) - 10.0) / 20.0 + 0.01).floor() as i64,
                per_step: step(yard.price.as_ref().map(|price| price.value)),
                to_open: yard.drum_price.as_ref().map_or(0, |p| (p.value * 1000.0).round() as i64),
                age: i64::from((date(2026, 12, 4) - drum.filled.unwrap()).get_days()),
                drum: true,
                whole: yard.whole,
            };
            drums.map(from).collect()
        };
        let sources = made.document.stops.iter().map(source).collect();
        let mut tried = Tried { made, sources, holds: HashMap::new(), best: None, left_out };
        let fuel = &made.stops[0].turnaround.fuel.tanks;
        let now = fuel.iter().map(|tank| tank.on_board.as_ref().unwrap().value.count(unit::L));
        tried.stop(0, &now.collect::<Vec<_>>(), (0, 0, 0));
        tried.best
    }

    fn stop(&mut self, at: usize, arrives: &[f64], so_far: (i64, u64, i64)) {
        if at == self.sources.len() {
            let worth = (so_far.0, so_far.1, Reverse(so_far.2));
            self.best = Some(self.best.map_or(worth, |best| best.min(worth)));
            return;
        }
        let mut drawn = vec![0; self.sources[at].len()];
        loop {
            let (mut leaves, mut with) = (arrives.to_vec(), so_far);
            for (from, n) in self.sources[at].iter().zip(&drawn).filter(|(_, n)| **n > 0) {
                with.0 += from.to_open + from.per_step * n;
                with.1 += u64::from(from.drum && *n < from.steps);
                with.2 += from.age * n;
            }
            // Both wings take fuel, each step into the emptier; the aft tank takes none.
            for _ in 0..drawn.iter().sum::<i64>() {
                let wing = usize::from(leaves[1] < leaves[0] - 1e-9);
                leaves[wing] += 20.0;
            }
            if let Some(left) = self.left(at, arrives, &leaves) {
                self.stop(at + 1, &left, with);
            }
            let Some(up) = (0..drawn.len()).find(|n| drawn[*n] < self.sources[at][*n].steps) else {
                return;
            };
            drawn[..up].iter_mut().for_each(|n| *n = 0);
            let from = &self.sources[at][up];
            drawn[up] = if from.whole { from.steps } else { drawn[up] + 1 };
        }
    }

    /// What is left at the landing, where every limit holds.
    fn left(&mut self, at: usize, arrives: &[f64], leaves: &[f64]) -> Option<Vec<f64>> {
        let key = arrives.iter().chain(leaves).map(|litres| (litres * 1e6).round() as i64);
        let key = (at, key.collect::<Vec<_>>());
        if let Some(known) = self.holds.get(&key) {
            return known.clone();
        }
        let left_out = self.left_out.as_ref().filter(|(stop, _)| *stop == at);
        let left_out = left_out.map(|(_, id)| id.as_str());
        let found = holds(self.made, at, arrives, leaves, left_out);
        self.holds.insert(key, found.clone());
        found
    }
}

/// Whether every limit holds, but for those of drums and samples.
struct AllHold<'a> {
    so_far: bool,
    left_out: Option<&'a str>,
    silent: Silent,
}

impl Sink for AllHold<'_> {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Judged, _: impl FnOnce(&Units) -> Words) {
        let own = matches!(id.family, Family::Drum | Family::Sample);
        let counts = !own && self.left_out.is_none_or(|left_out| left_out != id.to_string());
        self.so_far &= !counts || found.verdict() == Verdict::Holds;
    }
}

fn holds(
    made: &Made,
    at: usize,
    arrives: &[f64],
    leaves: &[f64],
    left_out: Option<&str>,
) -> Option<Vec<f64>> {
    let mut documents = made.stops[at].clone();
    let fuel = &mut documents.turnaround.fuel;
    let given = |value: f64| Some(Given { value: litres(value), unit: unit::L, at: 0..0 });
    for (tank, (before, after)) in fuel.tanks.iter_mut().zip(arrives.iter().zip(leaves)) {
        tank.on_board = given(*before);
        tank.uplift = given(after - before);
        tank.known = Some(FuelKnown::Reckoned);
    }
    if arrives == leaves {
        fuel.method = Some(Method::None);
    }
    let (stage, choice) = prepare(documents, &made.rules);
    let mut all = AllHold { so_far: true, left_out, silent: Silent };
    stage.evaluate(&choice, &mut all);
    if !all.so_far {
        return None;
    }
    let used = stage.plan.as_ref().unwrap().legs.last().unwrap().used;
    let density = stage.density.as_ref().unwrap().value;
    let mut masses = [Mass::from_si(0.0); MOST_TANKS];
    for (mass, litres) in masses.iter_mut().zip(leaves) {
        *mass = self::litres(*litres) * density;
    }
    let left = fuel_after(&stage.burn_tanks, &masses[..leaves.len()], used * density);
    Some(left[..leaves.len()].iter().map(|mass| (*mass / density).count(unit::L)).collect())
}

fn worth(found: &Uplift) -> Worth {
    (found.cost as i64, found.parts, Reverse(found.step_days as i64))
}

#[test]
fn days_from_documents_have_the_answer_of_trying_everything() {
    let (mut found, mut none, mut needed) = (0, 0, 0);
    for number in 0..6 {
        let made = made(number);
        let day = made.day().unwrap_or_else(|why| panic!("day {number}: {why:?}"));
        match (answer(&day), Tried::of(&made)) {
            (Found::Take(best, proof), Some(want)) => {
                assert_eq!((worth(&best), proof), (want, Proof::Best), "day {number}: {best:?}");
                confirmed(&day, &best);
                found += 1;
            }
            (Found::Nothing(set), None) => {
                assert!(!set.is_empty(), "day {number}");
                for limit in set {
                    let without = Tried::without(&made, Some((limit.stop, limit.id.clone())));
                    assert!(without.is_some(), "day {number}: {limit:?} is not needed");
                    needed += 1;
                }
                none += 1;
            }
            (got, want) => panic!("day {number}: {got:?} against {want:?}"),
        }
    }
    println!("{found} found, {none} without an answer by {needed} limits");
    assert!(found >= 2 && none >= 1 && needed >= 1, "{found} {none} {needed}");
}

/// Each stop as proposed holds in the full assessment, but for samples still to be drawn, and
/// begins with what the one before leaves.
fn confirmed(day: &Day<'_>, best: &Uplift) {
    let mut left: Option<Volume> = None;
    for (stop, proposal) in day.stops.iter().zip(day.proposal(best)) {
        let arrives: Volume = proposal.arrives.iter().copied().sum();
        let leaves: Volume = proposal.leaves.iter().copied().sum();
        assert!(left.is_none_or(|left| (left - arrives).abs().count(unit::L) < 1e-6));
        assert!((leaves - arrives - proposal.taken()).abs().count(unit::L) < 1e-6);
        let (stage, choice) = (&proposal.stage, &proposal.choice);
        for limit in stillprop_turnaround::assess::assess(stage, choice, &Units::METRIC).limits {
            let waits = limit.id.starts_with("sample.taken.");
            assert!(waits || limit.verdict == Verdict::Holds, "{limit:?}");
        }
        left = Some(leaves - stop.used);
    }
}

/// A variant that has an answer.
const ANSWERED: u64 = 2;

#[test]
fn what_is_not_known_gives_no_answer() {
    let mut unweighed = made(ANSWERED);
    unweighed.stops[1].turnaround.items[0].mass = None;
    let day = unweighed.day().unwrap();
    let Found::Unknown(limits) = answer(&day) else { panic!("{:?}", answer(&day)) };
    assert!(limits.iter().all(|(stop, _)| *stop == 1), "{limits:?}");
    assert!(limits.iter().any(|(_, limit)| limit.id == "load.take-off-mass"), "{limits:?}");

    let mut undipped = made(ANSWERED);
    undipped.stops[0].turnaround.fuel.tanks[0].on_board = None;
    let why = undipped.day().expect_err("the fuel aboard is not known");
    assert_eq!(why, Unfit::Unknown(vec![(0, "the fuel in left wing is not given".into())]));

    let mut windless = made(ANSWERED);
    windless.stops[2].turnaround.legs[0].wind = None;
    assert!(matches!(windless.day(), Err(Unfit::Unknown(why)) if why[0].0 == 2));

    let mut no_yard = made(ANSWERED);
    no_yard.stops[1].yard = None;
    assert!(matches!(no_yard.day(), Err(Unfit::Unknown(why)) if why[0].0 == 1));
}

/// The message of a day whose documents do not belong together.
fn refused(made: &Made) -> (usize, About, String) {
    match made.day() {
        Err(Unfit::Stop { stop, about, message, .. }) => (stop, about, message),
        other => panic!("{other:?}"),
    }
}

#[test]
fn stops_that_do_not_follow_each_other_are_refused_with_the_stop() {
    let mut early = made(0);
    early.stops[1].turnaround.departs = early.stops[0].turnaround.departs;
    let (stop, _, message) = refused(&early);
    assert!(stop == 1 && message.contains("chocks off before the landing"), "{message}");

    let mut elsewhere = made(0);
    elsewhere.stops[2] = elsewhere.stops[0].clone();
    let (stop, _, message) = refused(&elsewhere);
    assert!(stop == 2 && message.contains("is at Oumbrel"), "{message}");

    let mut other = made(0);
    other.stops[1].aircraft.registration = "QK-ZZZ".into();
    assert!(refused(&other).2.contains("QK-ZZZ"));

    let mut coarse = made(0);
    let dispenser = Given { value: litres(7.0), unit: unit::L, at: 0..0 };
    coarse.stops[0].turnaround.fuel.step = Some(dispenser);
    assert!(refused(&coarse).2.contains("dispenser"));
}

#[test]
fn a_drum_is_at_one_stop_only_and_must_be_there() {
    let with = |from: &str, to: &str| {
        let mut made = made(0);
        let text = format!(
            "format = 1\nkind = \"day\"\ntitle = \"t\"\nstep = \"20 L\"\n\
             [[stops]]\nturnaround = \"a\"\nyard = {{ place = \"{HILL}\"{from} }}\n\
             [[stops]]\nturnaround = \"b\"\nyard = {{ place = \"{HILL}\"{to} }}\n"
        );
        made.document = read_day(&text).unwrap();
        made.stops.truncate(2);
        made
    };
    let (stop, about, message) = refused(&with("", ""));
    assert_eq!((stop, about), (1, About::Place));
    assert!(message.contains("at stop 1 too"), "{message}");
    let shared = with(", drums = [\"N-1\"]", ", drums = [\"id-N-2\"]");
    assert!(shared.day().is_ok());
    let (stop, about, message) = refused(&with(", drums = [\"N-1\"]", ", drums = [\"N-9\"]"));
    assert_eq!((stop, about), (1, About::Drum(0)));
    assert!(message.contains("no `N-9` at Nessow Top"), "{message}");
}

#[test]
fn what_is_unfit_or_too_late_is_not_offered_and_says_why() {
    let mut made = made(0);
    for stop in &mut made.stops {
        let yard = stop.yard.as_mut().unwrap();
        let on_side = |label: &str| Container {
            posture: Some(Posture::OnSide),
            stands_since: None,
            ..drum(HILL, label, 180, date(2026, 9, 1))
        };
        yard.push(on_side("N-3"));
        yard.push(drum(HILL, "N-4", 180, date(2025, 9, 1)));
        yard.push(Container { seals: None, ..drum(HILL, "N-5", 180, date(2026, 9, 1)) });
        // The same at the first stop, where it can be stood up in time.
        yard.push(Container { place: "Oumbrel".into(), ..on_side("O-1") });
        // A quarter of an hour after the landing.
        if stop.strip.name == HILL {
            let begins = stop.turnaround.fuel.begins.as_mut().unwrap();
            begins.value.instant = "2026-12-04T07:30:00+05:30".parse().unwrap();
        }
    }
    let stop = &mut made.document.stops[0];
    let mut yard = made_yard();
    yard.place.value = "Oumbrel".into();
    (stop.pump, stop.yard) = (None, Some(yard));
    for stop in &mut made.document.stops {
        let yard = stop.yard.as_mut().unwrap();
        (yard.price, yard.drum_price) = (None, None);
    }
    let day = made.day().unwrap();
    let why = |name: &str| {
        let found = day.stops[1].refused.iter().find(|refused| refused.name == name);
        found.unwrap_or_else(|| panic!("{name} is offered")).why.join("; ")
    };
    assert!(why("N-3").contains("stood up at the landing it settles at"), "{}", why("N-3"));
    assert!(why("N-4").contains("too old"), "{}", why("N-4"));
    assert!(why("N-5").contains("look before it is opened"), "{}", why("N-5"));
    let offer = &day.stops[0].offers[0];
    assert!(offer.name == "O-1" && offer.stand_by.is_some() && offer.sample, "{offer:?}");
}

fn made_yard() -> stillprop_turnaround::document::day::Yard {
    made(0).document.stops[1].yard.clone().unwrap()
}

/// Rules that say nothing of part-used drums let nobody plan with one.
#[test]
fn without_a_rule_for_part_used_drums_a_drum_is_emptied_or_left_alone() {
    let mut made = made(0);
    made.rules = builtin::rules("au").unwrap();
    for (at, stop) in made.document.stops.iter_mut().enumerate() {
        if let Some(yard) = &mut stop.yard {
            yard.whole = at == 2;
        }
    }
    let day = made.day().unwrap();
    assert!(day.stops[1].offers.iter().all(|offer| offer.source.whole));
    assert_eq!(day.stops.iter().map(|s| s.whole_by_rule).collect::<Vec<_>>(), [false, true, false]);
}
