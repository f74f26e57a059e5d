//! Odds: how likely each limit holds, given how well each input is known.
//!
//! # Model
//!
//! Each input is drawn around what is typed, with a spread by how it is known ([`spread`] has each
//! with its source), independent of the others; the burn errs the same way on every leg. With the
//! drawn inputs legs, ladder, factors and then every limit of load, fuel, strip and light is judged by
//! the same functions that judge the documents. What depends on none of them (people, ground, drums)
//! is judged once. The empty mass, the manual's own figures and the setting of the altimeter are
//! taken as they are: the factors of the pack are for those.
//!
//! A chance is a count over draws, with the interval of E. B. Wilson, Probable inference, the law of
//! succession, and statistical inference, Journal of the American Statistical Association 22 (1927)
//! 209-212, here with `z = 1.96` for 95 %; from memory. It says how sure the count is, not how good
//! the spreads are.
//!
//! # Repeatable
//!
//! Draws come in blocks; block `n` of a seed is always the same, whoever works it out and when. So the
//! answer is the same on any number of threads.

pub mod spread;

use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::{Xoshiro256PlusPlus, rand_core::SeedableRng};
use stillprop_calc::{
    quantity::{Angle, FromAmount, Mass, ThermodynamicTemperature, Velocity, Volume, VolumeRate},
    trace::Silent,
};
use stillprop_turnaround::{
    assess::{Limit, limits},
    limits::{Found, Id, Sink, Verdict, Words, fuel, light, load, open, strip},
    stage::{Air, Choice, Stage, flight},
    units::Units,
    weather::SurfaceWind,
};

use spread::{Input, Subject};

/// Draws of a block.
pub const BLOCK: u64 = 4096;

/// What is drawn from.
#[derive(Clone, Debug)]
pub struct Model {
    stage: Stage,
    choice: Choice,
    /// Inputs that vary, each with its spread.
    pub inputs: Vec<Input>,
    /// Limits that depend on them, in the order of the tally.
    pub varied: Vec<Limit>,
    /// Limits that do not.
    pub fixed: Vec<Limit>,
    typed: Typed,
}

/// What is typed, around which is drawn.
#[derive(Clone, Debug)]
struct Typed {
    burns: Vec<VolumeRate>,
    hold: VolumeRate,
    climb: Option<Volume>,
    winds: Vec<Option<[f64; 2]>>,
    airs: Vec<Option<Air>>,
    fuel: Vec<Option<Volume>>,
    people: Vec<Option<Mass>>,
    items: Vec<Option<Mass>>,
}

/// Counts over draws.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Draws.
    pub draws: u64,
    /// Draws in which all limits held.
    pub all: u64,
    /// Draws in which each did.
    pub each: Vec<u64>,
}

impl Tally {
    /// Two tallies as one; the order does not matter.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        self.draws += other.draws;
        self.all += other.all;
        self.each.resize(self.each.len().max(other.each.len()), 0);
        for (mine, other) in self.each.iter_mut().zip(&other.each) {
            *mine += other;
        }
        self
    }
}

/// Counts the limits of one draw.
struct Count<'a> {
    each: &'a mut [u64],
    index: usize,
    all: bool,
    silent: Silent,
}

impl Sink for Count<'_> {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, _: Id<'_>, found: Found, _: impl FnOnce(&Units) -> Words) {
        let holds = found.verdict() == Verdict::Holds;
        self.all &= holds;
        if let Some(count) = self.each.get_mut(self.index) {
            *count += u64::from(holds);
        }
        self.index += 1;
    }
}

/// Limits that the drawn inputs may change, in one order.
fn evaluate<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) {
    let masses = load::limits(stage, choice, sink);
    fuel::limits(stage, choice, sink);
    strip::limits(stage, choice, &masses, sink);
    open::limits(stage, choice, sink);
    light::limits(stage, choice, sink);
}

/// Names of limits as they come.
#[derive(Default)]
struct Names(Vec<String>, Silent);

impl Sink for Names {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.1
    }

    fn limit(&mut self, id: Id<'_>, _: Found, _: impl FnOnce(&Units) -> Words) {
        self.0.push(id.to_string());
    }
}

impl Model {
    /// Everything that can be drawn of a turnaround.
    #[must_use]
    pub fn of(stage: &Stage, choice: &Choice, units: &Units) -> Self {
        let mut names = Names::default();
        evaluate(stage, choice, &mut names);
        let all = limits(stage, choice, units);
        let of = |name: &String| all.iter().find(|limit| limit.id == *name).cloned();
        let varied: Vec<Limit> = names.0.iter().filter_map(of).collect();
        let fixed = all.iter().filter(|limit| !names.0.contains(&limit.id)).cloned().collect();
        let spots =
            std::iter::once(Some(&stage.here)).chain(stage.there.iter().map(Option::as_ref));
        let air = |spot: Option<&stillprop_turnaround::stage::Spot>| {
            let weather = spot?.weather;
            Some(Air { temperature: weather.temperature, wind: weather.wind })
        };
        let burn = &stage.documents.aircraft.burn;
        let typed = Typed {
            burns: stage.onward.legs.iter().map(|leg| leg.burn).collect(),
            hold: burn.hold.value,
            climb: burn.climb.as_ref().map(|climb| climb.fuel.value),
            winds: stage.onward.legs.iter().map(|leg| leg.wind.and_then(components)).collect(),
            airs: spots.map(air).collect(),
            fuel: choice.fuel.clone(),
            people: stage.people.iter().map(|person| person.mass.as_ref().ok().copied()).collect(),
            items: stage.items.iter().map(|item| item.mass.as_ref().ok().copied()).collect(),
        };
        let inputs = spread::inputs(stage, choice);
        Self { stage: stage.clone(), choice: choice.clone(), inputs, varied, fixed, typed }
    }

    /// The same with some inputs as well known as measuring makes them.
    #[must_use]
    pub fn measured(&self, which: &[usize]) -> Self {
        let mut model = self.clone();
        for index in which {
            if let Some(input) = model.inputs.get_mut(*index) {
                input.deviation = input.deviation.min(input.measured);
            }
        }
        model
    }

    /// Limits that hold whatever is drawn are not all: these do not depend on any input.
    #[must_use]
    pub fn fixed_hold(&self) -> bool {
        self.fixed.iter().all(|limit| limit.verdict == Verdict::Holds)
    }

    /// So many draws as blocks: number and size of each.
    pub fn blocks(draws: u64) -> impl Iterator<Item = (u64, u64)> {
        let count = draws.div_ceil(BLOCK);
        (0..count).map(move |index| (index, (draws - index * BLOCK).min(BLOCK)))
    }

    /// Works one block.
    #[must_use]
    pub fn block(&self, seed: u64, (index, draws): (u64, u64)) -> Tally {
        // Streams far apart: the seeding scrambles what differs in few bits.
        let mut random =
            Xoshiro256PlusPlus::seed_from_u64(seed ^ index.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let mut trial = Trial::of(self);
        let mut tally = Tally { draws, all: 0, each: vec![0; self.varied.len()] };
        for _ in 0..draws {
            trial.draw(&mut || StandardNormal.sample(&mut random));
            let mut count = Count { each: &mut tally.each, index: 0, all: true, silent: Silent };
            evaluate(&trial.stage, &trial.choice, &mut count);
            tally.all += u64::from(count.all);
        }
        tally
    }

    /// All blocks, one after another.
    #[must_use]
    pub fn run(&self, seed: u64, draws: u64) -> Tally {
        Self::blocks(draws)
            .map(|block| self.block(seed, block))
            .fold(Tally::default(), |sum, block| sum.and(&block))
    }
}

/// A wind towards east and north; `None` when it has no direction.
fn components(wind: SurfaceWind) -> Option<[f64; 2]> {
    let from = wind.from?.si();
    Some([-wind.speed.si() * from.sin(), -wind.speed.si() * from.cos()])
}

/// A stage and a choice that change with every draw.
struct Trial<'a> {
    model: &'a Model,
    stage: Stage,
    choice: Choice,
    burn: stillprop_turnaround::document::aircraft::Burn,
}

impl<'a> Trial<'a> {
    fn of(model: &'a Model) -> Self {
        Self {
            model,
            stage: model.stage.clone(),
            choice: model.choice.clone(),
            burn: model.stage.documents.aircraft.burn.clone(),
        }
    }

    /// Draws every input, in their order, and reckons what follows from them.
    fn draw(&mut self, normal: &mut impl FnMut() -> f64) {
        let typed = &self.model.typed;
        let (mut replan, mut aired) = (false, [false; 16]);
        for input in &self.model.inputs {
            let by = input.deviation * normal();
            match input.subject {
                Subject::Person(index) => {
                    if let Some(mass) = typed.people[index] {
                        self.stage.people[index].mass = Ok(positive(mass.si() + by));
                    }
                }
                Subject::Item(index) => {
                    if let Some(mass) = typed.items[index] {
                        self.stage.items[index].mass = Ok(positive(mass.si() + by));
                    }
                }
                Subject::Tank(index) => {
                    let usable = self.stage.tanks[index].usable;
                    self.choice.fuel[index] = typed.fuel[index].map(|fuel| {
                        // What does not go in is not in; too much typed stays too much.
                        let most = usable.si().max(fuel.si());
                        Volume::from_si((fuel.si() + by).clamp(0.0, most))
                    });
                }
                Subject::Burn => {
                    let factor = (1.0 + by).max(0.1);
                    self.burn.hold.value = typed.hold * factor;
                    if let (Some(climb), Some(fuel)) = (&mut self.burn.climb, typed.climb) {
                        climb.fuel.value = fuel * factor;
                    }
                    for (leg, burn) in self.stage.onward.legs.iter_mut().zip(&typed.burns) {
                        leg.burn = *burn * factor;
                    }
                    replan = true;
                }
                Subject::WindAloft(leg) => {
                    let north = input.deviation * normal();
                    if let Some([east_typed, north_typed]) = typed.winds[leg] {
                        let (east, north) = (east_typed + by, north_typed + north);
                        self.stage.onward.legs[leg].wind = Some(SurfaceWind {
                            from: Some(full(-east, -north)),
                            speed: Velocity::from_si(east.hypot(north)),
                            gust: None,
                        });
                    }
                    replan = true;
                }
                Subject::Temperature(spot) => {
                    let air = typed.airs[spot];
                    if let (Some(now), Some(degc)) =
                        (self.air(spot), air.and_then(|a| a.temperature))
                    {
                        let temperature = ThermodynamicTemperature::from_si(degc.value + by);
                        self.set_air(spot, Air { temperature: Some(temperature), ..now });
                    }
                    aired[spot.min(15)] = true;
                }
                Subject::SurfaceWind(spot) => {
                    let turn = spread::WIND_DIRECTION.0 * normal() * input.share();
                    let wind = typed.airs[spot].and_then(|air| air.wind);
                    if let (Some(now), Some(wind)) = (self.air(spot), wind) {
                        let wind = blown(wind, by, turn);
                        self.set_air(spot, Air { wind: Some(wind), ..now });
                    }
                    aired[spot.min(15)] = true;
                }
            }
        }
        for (spot, _) in aired.iter().enumerate().filter(|(_, aired)| **aired) {
            if let Some(air) = self.air(spot) {
                self.stage.drift(spot.checked_sub(1), &self.choice, air);
            }
        }
        if replan {
            self.replan();
        }
    }

    fn replan(&mut self) {
        let Stage { plan, onward, figures, .. } = &mut self.stage;
        if let Ok(known) = plan
            && let Err(why) = flight::replan(known, onward, &self.burn, figures, &mut Silent)
        {
            *plan = Err(why);
        } else if plan.is_err() {
            *plan = flight::plan(onward, &self.burn, figures, &mut Silent);
        }
    }

    fn air(&self, spot: usize) -> Option<Air> {
        let spot = match spot.checked_sub(1) {
            None => Some(&self.stage.here),
            Some(leg) => self.stage.there.get(leg)?.as_ref(),
        };
        spot.map(|spot| Air { temperature: spot.weather.temperature, wind: spot.weather.wind })
    }

    /// Puts it there; the factors follow when every input was drawn.
    fn set_air(&mut self, spot: usize, air: Air) {
        let spot = match spot.checked_sub(1) {
            None => Some(&mut self.stage.here),
            Some(leg) => self.stage.there.get_mut(leg).and_then(Option::as_mut),
        };
        if let Some(spot) = spot {
            (spot.weather.temperature, spot.weather.wind) = (air.temperature, air.wind);
        }
    }
}

fn positive(mass: f64) -> Mass {
    Mass::from_si(mass.max(0.0))
}

/// The direction from which something comes that goes so far east and north.
fn full(east: f64, north: f64) -> Angle {
    Angle::from_si(east.atan2(north).rem_euclid(std::f64::consts::TAU))
}

/// A wind that turned and grew; a gust keeps its distance.
fn blown(wind: SurfaceWind, by: f64, turn: f64) -> SurfaceWind {
    let grown = |speed: Velocity| Velocity::from_si((speed.si() + by).max(0.0));
    let turned = |from: Angle| Angle::from_si((from.si() + turn).rem_euclid(std::f64::consts::TAU));
    SurfaceWind {
        from: wind.from.map(turned),
        speed: grown(wind.speed),
        gust: wind.gust.map(grown),
    }
}

/// A chance with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// Share of the draws.
    pub share: f64,
    /// Lower end of the interval of 95 %.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// 97.5 % of a standard normal lie below.
const Z: f64 = 1.959_963_984_540_054;

impl Chance {
    /// A count over draws, by Wilson.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "counts of draws")]
    pub fn of(count: u64, draws: u64) -> Self {
        if draws == 0 {
            return Self { share: f64::NAN, low: 0.0, high: 1.0 };
        }
        let (share, n) = (count as f64 / draws as f64, draws as f64);
        let middle = (share + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
        let half =
            Z / (1.0 + Z * Z / n) * (share * (1.0 - share) / n + Z * Z / (4.0 * n * n)).sqrt();
        Self { share, low: (middle - half).max(0.0), high: (middle + half).min(1.0) }
    }
}

/// What measuring something would make of the odds.
#[derive(Clone, Debug, PartialEq)]
pub struct Measurement {
    /// What to measure, as one says it: `weigh Ane Borrelk`.
    pub words: String,
    /// Inputs it makes known.
    pub inputs: Vec<usize>,
    /// Chance that all hold, if it confirms what is typed.
    pub all: Chance,
}

/// Every measurement worth trying, each with what it would make of the odds; the most helpful first.
/// `run` works the blocks of a model, as many threads as it likes.
pub fn measurements(model: &Model, run: &mut impl FnMut(&Model) -> Tally) -> Vec<Measurement> {
    let mut all: Vec<Measurement> = spread::groups(&model.inputs)
        .into_iter()
        .map(|(words, inputs)| {
            let tally = run(&model.measured(&inputs));
            Measurement { words, inputs, all: Chance::of(tally.all, tally.draws) }
        })
        .collect();
    all.sort_by(|a, b| {
        b.all.share.total_cmp(&a.all.share).then(a.inputs.len().cmp(&b.inputs.len()))
    });
    all
}
