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

mod compare;
mod kernel;
mod lanes;
mod ramps;
pub mod spread;
mod trial;

pub use compare::{Compared, Differs};
use kernel::{Draws, Kernel};
use lanes::{Bits, LANES, Row};
use stillprop_calc::{
    quantity::{Mass, Volume, VolumeRate},
    trace::Silent,
};
use stillprop_turnaround::{
    assess::{Limit, limits},
    limits::{Found, Id, Sink, Verdict, Words, fuel, light, load, open, strip},
    stage::{Air, Choice, Stage},
    units::Units,
};

use spread::Input;
use trial::{Trial, components};

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
    /// The limits for many draws at once, where all of them are known to it.
    kernel: Option<Box<Kernel>>,
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
        let kernel = Kernel::of(stage, choice, &inputs).map(Box::new);
        Self { stage: stage.clone(), choice: choice.clone(), inputs, varied, fixed, typed, kernel }
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
        let mut tally = Tally { draws, all: 0, each: vec![0; self.varied.len()] };
        let mut batches = Batches::of(self, seed, index);
        let mut left = draws;
        while left > 0 {
            let count = usize::try_from(left).map_or(LANES, |left| left.min(LANES));
            batches.next(count, &mut tally);
            left = left.saturating_sub(LANES as u64);
        }
        tally
    }

    /// Judges so many draws of a block by the batch and each by the limits themselves. For tests.
    #[doc(hidden)]
    #[must_use]
    pub fn compare(&self, seed: u64, block: (u64, u64)) -> Option<Compared> {
        compare::block(self, seed, block)
    }

    /// All blocks, one after another.
    #[must_use]
    pub fn run(&self, seed: u64, draws: u64) -> Tally {
        Self::blocks(draws)
            .map(|block| self.block(seed, block))
            .fold(Tally::default(), |sum, block| sum.and(&block))
    }
}

/// The draws of a block, [`LANES`] at a time.
struct Batches<'a> {
    model: &'a Model,
    draws: Draws,
    bits: Bits,
    normals: Vec<Row>,
    work: Option<(&'a Kernel, kernel::Work)>,
    /// For draws that the limits themselves must judge; most blocks have none.
    trial: Option<Trial<'a>>,
}

impl<'a> Batches<'a> {
    fn of(model: &'a Model, seed: u64, block: u64) -> Self {
        let draws = Draws::of(&model.inputs);
        let normals = vec![Row::ZERO; draws.rows];
        let work = model.kernel.as_deref().map(|kernel| (kernel, kernel.room()));
        Self { model, draws, bits: Bits::of(seed, block), normals, work, trial: None }
    }

    /// Counts the next `count` draws.
    fn next(&mut self, count: usize, tally: &mut Tally) {
        let sure = self.batch(count, tally);
        for (lane, sure) in sure.into_iter().enumerate().take(count) {
            if sure == 0 {
                self.one(lane, tally);
            }
        }
    }

    /// Draws the next numbers, and counts what is certain of them; 1 where it is.
    fn batch(&mut self, count: usize, tally: &mut Tally) -> [u64; LANES] {
        let Self { draws, bits, normals, work, .. } = self;
        pulp::Arch::new().dispatch(Batch {
            draws,
            bits,
            normals,
            work: work.as_mut(),
            count,
            tally,
        })
    }

    /// One draw by the limits themselves.
    fn one(&mut self, lane: usize, tally: &mut Tally) {
        let trial = self.trial.get_or_insert_with(|| Trial::of(self.model));
        let mut rows = self.normals.iter();
        trial.draw(&mut || rows.next().map_or(0.0, |row| row[lane]));
        let mut count = Count { each: &mut tally.each, index: 0, all: true, silent: Silent };
        evaluate(&trial.stage, &trial.choice, &mut count);
        tally.all += u64::from(count.all);
    }
}

/// One batch, to be worked with the widest instructions there are. Not a closure: what is called here
/// must become part of the function that has them.
struct Batch<'a, 'b> {
    draws: &'a Draws,
    bits: &'a mut Bits,
    normals: &'a mut [Row],
    work: Option<&'a mut (&'b Kernel, kernel::Work)>,
    count: usize,
    tally: &'a mut Tally,
}

impl pulp::WithSimd for Batch<'_, '_> {
    type Output = [u64; LANES];

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _: S) -> Self::Output {
        let Self { draws, bits, normals, work, count, tally } = self;
        bits.normals(normals);
        let Some((kernel, work)) = work else { return [0; LANES] };
        let mut judged = kernel.judge(draws, normals, work, count);
        tally.all += kernel.count(work, &mut judged, &mut tally.each);
        judged.sure
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
