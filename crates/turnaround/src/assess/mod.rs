//! What an assessment says to a person: every limit with its words, tightest first, and the
//! figures around them.

mod flight;
pub mod ground;
mod ladder;
mod load;
mod notes;
mod number;
mod people;
mod strip;

pub use flight::{Arrival, Critical, FlightView, LightView, hours};
pub use load::LoadState;
pub use number::{Number, Table, single, table};
use stillprop_calc::{
    fuel::Ladder,
    quantity::{Amount, Volume},
    trace::{Silent, Step, Working},
};
pub use strip::StripView;

use crate::{
    document::ground::StartBy,
    limits::{Family, Found, Id, Measure, Sink, Verdict, Words},
    stage::{Choice, Stage, Unknown},
    units::Units,
};

/// What every answer carries.
pub const CAUTIONS: [&str; 3] = [
    "Advice only. The pilot in command decides; the flight manual and local rules govern.",
    "Unknown is not ready. A limit that holds here may be broken by what was not typed in.",
    "Figures read second hand or from memory are marked so: read the source before relying on them.",
];

/// What an answer carries when the engine must be started by hand.
pub const HAND_START_CAUTION: &str = "The start is by hand. A propeller that is turned by hand kills: \
    do not, unless the flight manual permits it, a trained person turns it, a qualified person is at \
    the controls and the aeroplane is held.";

/// One limit with its words.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Its name: `load.take-off-mass`.
    pub id: String,
    /// Its family.
    pub family: Family,
    /// Holds, breaks or unknown.
    pub verdict: Verdict,
    /// Value and bound, where there are any.
    pub measure: Option<Measure>,
    /// How things stand, what to do, anything to know.
    pub words: Words,
}

impl Limit {
    /// The margin as a share of its whole; `None` for a condition or an unknown.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        self.measure.as_ref().map(Measure::share).filter(|share| share.is_finite())
    }
}

/// The fuel ladder with what is aboard.
#[derive(Clone, Debug, PartialEq)]
pub struct LadderView {
    /// The parts.
    pub parts: Ladder,
    /// Their sum.
    pub required: Volume,
    /// Usable fuel aboard at chocks off; `None` when not known.
    pub aboard: Option<Volume>,
    /// Fuel that cannot be used, in all tanks.
    pub unusable: Volume,
    /// What all tanks hold usable.
    pub capacity: Volume,
}

/// The full answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// Title of the turnaround.
    pub title: String,
    /// Registration and type.
    pub aircraft: String,
    /// The strip.
    pub strip: String,
    /// Rules in force.
    pub rules: String,
    /// True for demonstration data.
    pub invented: bool,
    /// Limits, tightest first.
    pub limits: Vec<Limit>,
    /// Numbers beside the limits, in the order of their tables.
    pub numbers: Vec<Number>,
    /// The ladder, or why there is none.
    pub ladder: Result<LadderView, Unknown>,
    /// The aeroplane at each stage of the flight, or why it is not known.
    pub states: Result<Vec<LoadState>, Unknown>,
    /// Legs, endurance, critical points.
    pub flight: Result<FlightView, Unknown>,
    /// Light here and at each destination.
    pub light: Vec<LightView>,
    /// The strip on the day, and the mass it allows.
    pub here: StripView,
    /// The ground around the aeroplane, or why it is not known.
    pub ground: Result<ground::GroundView, Unknown>,
    /// How the engine is started.
    pub start: ground::StartView,
    /// Things to know that no bound says.
    pub notes: Vec<String>,
    /// Cautions that every answer carries.
    pub cautions: Vec<&'static str>,
}

impl Assessment {
    /// How many limits have this verdict.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.limits.iter().filter(|limit| limit.verdict == verdict).count()
    }

    /// What the number of this name says; empty when there is none.
    #[must_use]
    pub fn says(&self, id: &str) -> &str {
        self.numbers.iter().find(|number| number.id == id).map_or("", |number| &number.says)
    }

    /// True when every limit holds.
    #[must_use]
    pub fn ready(&self) -> bool {
        self.limits.iter().all(|limit| limit.verdict == Verdict::Holds)
    }
}

/// Assesses a choice in full, words in the given units.
#[must_use]
pub fn assess(stage: &Stage, choice: &Choice, units: &Units) -> Assessment {
    let documents = &stage.documents;
    let mut report = Report::new(units);
    stage.evaluate(choice, &mut report);
    let views = Views::of(stage, choice, &mut report);
    let Report { mut limits, numbers, .. } = report;
    // A stable sort: equals stay in the order of the families.
    limits.sort_by(|a, b| {
        tightness(a).partial_cmp(&tightness(b)).unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut cautions = CAUTIONS.to_vec();
    if !documents.aircraft.starter || stage.start.by == StartBy::Hand {
        cautions.push(HAND_START_CAUTION);
    }
    Assessment {
        title: documents.turnaround.title.clone(),
        aircraft: format!("{} {}", documents.aircraft.registration, documents.aircraft.type_name),
        strip: stage.here.name.clone(),
        rules: stage.rules_name.clone(),
        invented: documents.turnaround.invented || documents.aircraft.invented,
        limits,
        numbers,
        ladder: views.ladder,
        states: views.states,
        flight: views.flight,
        light: views.light,
        here: views.here,
        ground: ground::ground(stage, choice),
        start: ground::start(stage),
        notes: notes::notes(stage, choice, units),
        cautions,
    }
}

/// Every limit with its words, in the order of [`Stage::margins`].
#[must_use]
pub fn limits(stage: &Stage, choice: &Choice, units: &Units) -> Vec<Limit> {
    let mut report = Report::new(units);
    stage.evaluate(choice, &mut report);
    report.limits
}

/// Broken first, then unknown, then by share of the margin; conditions that hold come last.
fn tightness(limit: &Limit) -> (Verdict, f64) {
    (limit.verdict, limit.share().unwrap_or(f64::INFINITY))
}

/// What stands beside the limits, each number of it handed to the sink with its steps.
struct Views {
    ladder: Result<LadderView, Unknown>,
    states: Result<Vec<LoadState>, Unknown>,
    flight: Result<FlightView, Unknown>,
    light: Vec<LightView>,
    here: StripView,
}

impl Views {
    fn of<S: Sink>(stage: &Stage, choice: &Choice, sink: &mut S) -> Self {
        sink.fresh();
        let views = Self {
            states: load::states(stage, choice, sink),
            ladder: ladder::view(stage, choice, sink),
            here: strip::view(stage, choice, sink),
            flight: flight::view(stage, choice, sink),
            light: flight::light(stage, choice, sink),
        };
        people::masses(stage, sink);
        views
    }
}

/// Keeps words.
pub(crate) struct Report<'a> {
    units: &'a Units,
    pub(crate) limits: Vec<Limit>,
    numbers: Vec<Number>,
    silent: Silent,
}

impl<'a> Report<'a> {
    pub(crate) const fn new(units: &'a Units) -> Self {
        Self { units, limits: Vec::new(), numbers: Vec::new(), silent: Silent }
    }
}

impl Sink for Report<'_> {
    type Trace = Silent;

    fn trace(&mut self) -> &mut Silent {
        &mut self.silent
    }

    fn limit(&mut self, id: Id<'_>, found: Found, words: impl FnOnce(&Units) -> Words) {
        self.limits.push(limit(id, found, words(self.units)));
    }

    fn number(&mut self, id: Id<'_>, amount: Option<Amount>, says: impl FnOnce(&Units) -> String) {
        self.numbers.push(Number::new(id, amount, says(self.units)));
    }
}

fn limit(id: Id<'_>, found: Found, mut words: Words) -> Limit {
    let verdict = found.verdict();
    if verdict == Verdict::Holds {
        words.act = None;
    }
    let measure = match found {
        Found::Measured(measure) => Some(measure),
        Found::Condition(_) | Found::Unknown => None,
    };
    Limit { id: id.to_string(), family: id.family, verdict, measure, words }
}

/// A limit or a number with the steps behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Explained {
    /// What is explained.
    pub about: About,
    /// The steps, in order.
    pub working: Working,
}

/// What has a working.
#[derive(Clone, Debug, PartialEq)]
pub enum About {
    /// A limit.
    Limit(Limit),
    /// A number without a bound.
    Number(Number),
}

impl Explained {
    /// The limit, when it is one.
    #[must_use]
    pub const fn limit(&self) -> Option<&Limit> {
        match &self.about {
            About::Limit(limit) => Some(limit),
            About::Number(_) => None,
        }
    }
}

/// The working behind one limit or number; `Err` with all names when there is nothing so called.
///
/// # Errors
///
/// The names of the limits and numbers there are.
pub fn why(
    stage: &Stage,
    choice: &Choice,
    units: &Units,
    id: &str,
) -> Result<Explained, Vec<String>> {
    let mut sink = Why {
        wanted: id,
        units,
        own: Working::default(),
        shared: Vec::new(),
        names: Vec::new(),
        found: None,
    };
    stage.evaluate(choice, &mut sink);
    if sink.found.is_none() {
        Views::of(stage, choice, &mut sink);
    }
    sink.found.ok_or(sink.names)
}

/// Keeps the steps of one limit or number.
struct Why<'a> {
    wanted: &'a str,
    units: &'a Units,
    own: Working,
    shared: Vec<Step>,
    names: Vec<String>,
    found: Option<Explained>,
}

impl Why<'_> {
    /// Takes the steps since the last; `about` is asked when they are those that are wanted.
    fn take(&mut self, id: Id<'_>, about: impl FnOnce(&Units) -> About) {
        let own = std::mem::take(&mut self.own.steps);
        let name = id.to_string();
        if name == self.wanted && self.found.is_none() {
            let steps = self.shared.iter().cloned().chain(own).collect();
            let working = Working { steps };
            self.found = Some(Explained { about: about(self.units), working });
        }
        self.names.push(name);
    }
}

impl Sink for Why<'_> {
    type Trace = Working;

    fn trace(&mut self) -> &mut Working {
        &mut self.own
    }

    fn share(&mut self) {
        self.shared.append(&mut self.own.steps);
    }

    fn fresh(&mut self) {
        self.shared.clear();
        self.own.steps.clear();
    }

    fn limit(&mut self, id: Id<'_>, found: Found, words: impl FnOnce(&Units) -> Words) {
        self.take(id, |units| About::Limit(limit(id, found, words(units))));
    }

    fn number(&mut self, id: Id<'_>, amount: Option<Amount>, says: impl FnOnce(&Units) -> String) {
        self.take(id, |units| About::Number(Number::new(id, amount, says(units))));
    }
}
