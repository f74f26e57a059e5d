//! One step from state to state, or the words why not. The checker and the record of a real
//! day both go through here, so that what was proven is what is done.

use std::fmt;

use super::{
    amount::Amounts,
    facts::Broken,
    flag::{Flag, Flags},
    put::Put,
    reading::Deed,
    state::{Done, State},
    stop::{Plan, Stop},
    task::{Fails, Need, Phase, Role, Task},
    wait::Wait,
};

/// What the invariants must know of a sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Terms {
    /// The bonds of this fuelling method.
    pub bonds: Flags,
    /// The samples that must have passed before the pump runs.
    pub samples: Flags,
    /// The manual allows the grade.
    pub allowed: bool,
    /// A piston aeroplane takes gasoline: nobody aboard.
    pub empty: bool,
    /// Somebody stands at the pump beside the one at the nozzle.
    pub attended: bool,
    /// Fuel is taken.
    pub fuelled: bool,
    /// The engine is started by hand.
    pub hand: bool,
    /// By a pilot who is alone.
    pub alone: bool,
    /// By the documents it would not hold at full throttle.
    pub gives_way: bool,
    /// By the documents something is too near a running engine.
    pub near_run: bool,
    /// By the documents something is too near for fuelling.
    pub near_fuel: bool,
    /// By the documents fuel lies on the ground.
    pub spilt: bool,
    /// The rules want everybody who flies along asked about dangerous goods.
    pub asks: bool,
}

/// Something that can happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Action {
    /// A task is done; its reading passes or not.
    Task(usize, bool),
    /// A stop is called.
    Call(Stop),
    /// The next step of a stop action is done.
    Step(Stop, u8),
    /// Work is broken off. Nothing is put down by that.
    Pause,
    /// Somebody says that one thing is put down, by its place in [`Sheet::puts`].
    Put(usize),
    /// Work is taken up again, after everything was said to be put down.
    Resume,
}

/// Why an action is refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// What stands against it, each in words.
    pub because: Vec<String>,
}

impl Refusal {
    pub(super) fn of(because: impl Into<String>) -> Self {
        Self { because: vec![because.into()] }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "not yet: {}", self.because.join("; "))
    }
}

impl std::error::Error for Refusal {}

/// The needs of a task as masks.
#[derive(Clone, Copy, Debug, Default)]
struct Guard {
    on: Flags,
    off: Flags,
    done: Done,
}

/// A task that is open again when a flag turns, unless one of `unless` is done: the task that
/// turned it back in the ordinary way.
#[derive(Clone, Debug)]
struct Lapse {
    task: usize,
    unless: Done,
}

/// A run sheet.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Its tasks, in the order they are printed and usually done.
    pub tasks: Vec<Task>,
    /// What is done at each stop, the gravest first.
    pub plans: Vec<Plan>,
    /// What the invariants must know.
    pub terms: Terms,
    /// What is so at the beginning.
    pub begins: Flags,
    /// Who works, by role, with name.
    pub roles: Vec<(Role, String)>,
    /// What litres and dips are held against.
    pub amounts: Amounts,
    /// Since when the drums stand; `None` where fuel comes from elsewhere.
    pub wait: Option<Wait>,
    /// Whom the documents name for each deed that is done with people.
    pub named: Vec<(Deed, Vec<String>)>,
    /// Limits that break by the documents: what the sheet is headed with.
    pub broken: Vec<Broken>,
    /// What is put down in a break, in the order in which it is asked.
    pub puts: Vec<Put>,
    /// What holds no longer after a break or a stop.
    stale: Flags,
    guards: Vec<Guard>,
    /// What bars every task there is.
    bars: Flags,
    /// By flag: tasks that lapse when it goes off.
    off: Vec<Vec<Lapse>>,
    /// By flag: tasks that lapse when it comes on.
    on: Vec<Vec<Lapse>>,
}

impl Sheet {
    /// Puts a sheet together from its parts.
    #[must_use]
    pub(super) fn assemble(
        tasks: Vec<Task>,
        plans: Vec<Plan>,
        terms: Terms,
        begins: Flags,
        roles: Vec<(Role, String)>,
    ) -> Self {
        let guards: Vec<Guard> = tasks.iter().map(|task| guard(&task.needs, BARS)).collect();
        let lapses = |turns: fn(&Task) -> Flags, back: fn(&Task) -> Flags| {
            Flag::ALL.iter().map(|&flag| lapses(&tasks, flag, turns, back)).collect()
        };
        let off = lapses(|task| task.effect.sets | task.again, |task| task.effect.clears);
        let on = lapses(|task| task.effect.clears, |task| task.effect.sets);
        let (puts, stale) = (super::put::all(&tasks), Flags::STALE);
        let limit = Err("nobody has looked it up".to_owned());
        let amounts = Amounts { tanks: Vec::new(), fillings: Vec::new(), limit };
        Self {
            tasks,
            plans,
            terms,
            begins,
            roles,
            amounts,
            wait: None,
            named: Vec::new(),
            broken: Vec::new(),
            puts,
            stale,
            guards,
            bars: BARS,
            off,
            on,
        }
    }

    /// Before the first task.
    #[must_use]
    pub const fn start(&self) -> State {
        State { flags: self.begins, done: Done::NONE, step: 0 }
    }

    /// The task with this id.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<usize> {
        self.tasks.iter().position(|task| task.id == id)
    }

    /// What is done at a stop.
    #[must_use]
    pub fn plan(&self, stop: Stop) -> Option<&Plan> {
        self.plans.iter().find(|plan| plan.stop == stop)
    }

    /// Tasks by phase, in order; phases without a task are left out.
    #[must_use]
    pub fn phases(&self) -> Vec<(Phase, Vec<&Task>)> {
        let of = |phase| (phase, self.tasks.iter().filter(|task| task.phase == phase).collect());
        let all = Phase::ALL.into_iter().map(of);
        all.filter(|(_, tasks): &(Phase, Vec<&Task>)| !tasks.is_empty()).collect()
    }

    /// A need in words, as it must be.
    #[must_use]
    pub fn need(&self, need: Need) -> String {
        match need {
            Need::On(flag) => flag.words(true).to_owned(),
            Need::Off(flag) => flag.words(false).to_owned(),
            Need::Done(task) => self
                .tasks
                .get(task)
                .map_or_else(String::new, |task| format!("done: {}", task.title)),
        }
    }

    /// An action as a person would say it.
    #[must_use]
    pub fn title(&self, action: Action) -> String {
        match action {
            Action::Task(task, passes) => {
                let title = self.tasks.get(task).map_or("?", |task| task.title.as_str());
                if passes { title.to_owned() } else { format!("{title} (does not pass)") }
            }
            Action::Call(stop) => format!("stop: {}", stop.title()),
            Action::Step(stop, step) => {
                let plan = self.plan(stop).and_then(|plan| plan.steps.get(usize::from(step)));
                plan.map_or_else(|| "?".to_owned(), |step| step.title.clone())
            }
            Action::Put(put) => {
                self.puts.get(put).map_or_else(|| "?".to_owned(), |put| put.title.to_owned())
            }
            Action::Pause => "pause".to_owned(),
            Action::Resume => "resume".to_owned(),
        }
    }

    /// Whether every task is done and nothing is the matter.
    #[must_use]
    pub fn ended(&self, state: &State) -> bool {
        state.done.count() == self.tasks.len() && state.stop().is_none() && !state.is(Flag::Paused)
    }

    /// Whether the task may be done now.
    #[must_use]
    pub fn allows(&self, state: &State, task: usize) -> bool {
        let Some(guard) = self.guards.get(task) else { return false };
        !state.done.has(task)
            && state.flags.holds(guard.on)
            && !state.flags.meets(guard.off)
            && state.done.holds(&guard.done)
    }

    /// The state after an action.
    ///
    /// # Errors
    ///
    /// [`Refusal`] with every guard that stands against it.
    pub fn apply(&self, state: &State, action: Action) -> Result<State, Refusal> {
        match action {
            Action::Task(task, passes) if self.allows(state, task) => {
                Ok(if passes { self.pass(state, task) } else { self.fail(state, task) })
            }
            Action::Task(task, _) => Err(self.refusal(state, task)),
            Action::Call(stop) => self.call(state, stop),
            Action::Step(stop, step) => self.step(state, stop, step),
            Action::Pause => self.pause(state),
            Action::Put(put) => self.put(state, put),
            Action::Resume if !state.is(Flag::Paused) => Err(Refusal::of("work is not paused")),
            Action::Resume => match self.next_put(state).and_then(|put| self.puts.get(put)) {
                Some(put) => Err(Refusal::of(format!("first: {}", put.title))),
                None => Ok(State { flags: state.flags.without(Flag::Paused), ..*state }),
            },
        }
    }

    /// What is to be put down next in a break; `None` when all of it was.
    #[must_use]
    pub fn next_put(&self, state: &State) -> Option<usize> {
        self.puts.iter().position(|put| put.applies(state))
    }

    /// Whether every task is barred while a stop is in force, in a pause and after a stop for
    /// good.
    pub(super) fn bars_every_task(&self) -> bool {
        self.bars.holds(BARS)
    }

    /// The same sheet with other tasks or stop actions.
    #[cfg(test)]
    pub(super) fn edited(self, edit: impl FnOnce(&mut Vec<Task>, &mut Vec<Plan>)) -> Self {
        let Self { mut tasks, mut plans, terms, begins, roles, amounts, wait, named, .. } = self;
        edit(&mut tasks, &mut plans);
        Self { amounts, wait, named, ..Self::assemble(tasks, plans, terms, begins, roles) }
    }

    /// The same sheet with other terms.
    #[cfg(test)]
    #[must_use]
    pub(super) fn termed(mut self, edit: impl FnOnce(&mut Terms)) -> Self {
        edit(&mut self.terms);
        self
    }

    /// The same sheet where a break does not ask for one thing.
    #[cfg(test)]
    #[must_use]
    pub(super) fn unasked(mut self, id: &str) -> Self {
        self.puts.retain(|put| put.id != id);
        self
    }

    /// The same sheet where what was seen or said outlasts a break and a stop.
    #[cfg(test)]
    #[must_use]
    pub(super) fn lasting(mut self, flag: Flag) -> Self {
        self.stale = self.stale.without(flag);
        self
    }

    /// The same sheet where a break counts as having put this down by itself.
    #[cfg(test)]
    #[must_use]
    pub(super) fn forgetful(mut self, flag: Flag) -> Self {
        self.stale = self.stale.with(flag);
        self
    }

    /// The same sheet where one task is not barred by a flag that bars all others.
    #[cfg(test)]
    #[must_use]
    pub(super) fn unbarred(mut self, id: &str, flag: Flag) -> Self {
        let task = self.find(id).unwrap();
        self.guards[task].off = self.guards[task].off.without(flag);
        self.bars = self.bars.without(flag);
        self
    }

    /// Every action that may be possible now.
    #[must_use]
    pub fn actions(&self, state: &State) -> Vec<Action> {
        let mut actions = Vec::new();
        if let Some(stop) = state.stop() {
            actions.push(Action::Step(stop, state.step));
        } else if state.is(Flag::Paused) {
            actions.push(self.next_put(state).map_or(Action::Resume, Action::Put));
        } else if !state.is(Flag::ForGood) {
            actions.push(Action::Pause);
        }
        if !state.flags.meets(self.bars) {
            for (task, facts) in self.tasks.iter().enumerate() {
                if self.allows(state, task) {
                    actions.push(Action::Task(task, true));
                    if facts.fails != Fails::Stays {
                        actions.push(Action::Task(task, false));
                    }
                }
            }
        }
        if !state.is(Flag::Fire) && !state.is(Flag::Burnt) {
            let uncalled = Stop::ALL.into_iter().filter(|stop| !state.is(stop.flag()));
            actions.extend(uncalled.map(Action::Call));
        }
        actions
    }

    fn pass(&self, state: &State, task: usize) -> State {
        let Some(facts) = self.tasks.get(task) else { return *state };
        let mut done = state.done;
        done.insert(task);
        State { flags: facts.effect.on(state.flags), done, step: state.step }
    }

    fn fail(&self, state: &State, task: usize) -> State {
        let Some(facts) = self.tasks.get(task) else { return *state };
        match facts.fails {
            Fails::Stays => *state,
            Fails::NoStart => {
                // The switches are as they were, and whoever swung may still stand there. What was
                // seen, said and called before this swing holds for no other.
                let called = self.stale.with(Flag::ContactCalled);
                self.turn(state, state.flags.less(called))
            }
            Fails::AgainThenStop if state.is(Flag::SampleBad) => {
                let bad = Flags::of(&[Flag::TanksBad, Flag::BadFuel]);
                State { flags: state.flags | bad, step: 0, ..*state }
            }
            Fails::AgainThenStop => {
                let mut next = *state;
                next.flags = next.flags.with(Flag::SampleBad).without(Flag::Sampled);
                self.reopen(&mut next.done, |task| task.fails == Fails::AgainThenStop);
                next
            }
            Fails::Stop(stop) => {
                let mut next = State { flags: state.flags.with(stop.flag()), step: 0, ..*state };
                if let (Stop::WrongFuel, Some(source)) = (stop, facts.source) {
                    let passed = Flag::PASSED.get(source).copied().unwrap_or(Flag::Passed0);
                    let gone = Flags::of(&[passed, Flag::DrumsSettled]);
                    next = self.turn(&next, next.flags.less(gone).with(Flag::SourceKnown));
                    self.reopen(&mut next.done, |task| task.source == Some(source));
                }
                next
            }
        }
    }

    fn call(&self, state: &State, stop: Stop) -> Result<State, Refusal> {
        if state.is(stop.flag()) {
            return Err(Refusal::of(format!("it was called already: {}", stop.title())));
        }
        if stop == Stop::LostBond && !state.flags.meets(Flags::BONDS) {
            return Err(Refusal::of("no bond is on"));
        }
        if state.is(Flag::Fire) {
            return Err(Refusal::of("there is a fire: out and away first, and help in its steps"));
        }
        if state.is(Flag::Burnt) {
            return Err(Refusal::of("there was a fire: this sheet has nothing more to say"));
        }
        let flags = state.flags.less(self.stale).without(Flag::Paused);
        let mut next = self.turn(state, flags.with(stop.flag()));
        if stop == Stop::WrongFuel && !self.terms.fuelled {
            // Nothing was taken here, so it is in the tanks.
            next.flags = next.flags.with(Flag::TanksBad);
        }
        if next.stop() == Some(stop) {
            // What it interrupts begins again afterwards.
            let steps = Flags::of(&[Flag::Controlled, Flag::Contained, Flag::TakenUp]);
            next.flags = next.flags.less(steps);
            next.step = 0;
        }
        Ok(next)
    }

    fn step(&self, state: &State, stop: Stop, step: u8) -> Result<State, Refusal> {
        let Some(plan) = self.plan(stop).filter(|_| state.stop() == Some(stop)) else {
            return Err(Refusal::of(match state.stop() {
                Some(other) => format!("first: {}", other.title()),
                None => format!("not called: {}", stop.title()),
            }));
        };
        let next = plan.steps.get(usize::from(state.step));
        let Some(next) = next.filter(|_| step == state.step) else {
            let first = next.map_or("", |next| &next.title);
            return Err(Refusal::of(format!("the steps keep their order; next is: {first}")));
        };
        let known = state.is(Flag::SourceKnown);
        let mut flags = next.does.on(state.flags);
        let away = next.does == super::stop::Move::SetAside && !flags.has(Flag::ForGood);
        if away && !known {
            flags = flags.less(self.terms.samples.with(Flag::DrumsSettled));
        }
        let last = usize::from(step) + 1 == plan.steps.len();
        if last {
            flags = over(flags, stop);
        }
        let mut after = self.turn(state, flags);
        if away && !known {
            self.reopen(&mut after.done, |task| task.source.is_some());
        }
        after.step = if last { 0 } else { step + 1 };
        // What was not put down by the steps is asked for before the work goes on. A lost bond
        // leaves everybody where they were.
        let resting = last && after.stop().is_none() && stop != Stop::LostBond;
        if resting && !after.is(Flag::ForGood) && self.next_put(&after).is_some() {
            after.flags = after.flags.with(Flag::Paused);
        }
        Ok(after)
    }

    fn pause(&self, state: &State) -> Result<State, Refusal> {
        if let Some(stop) = state.stop() {
            return Err(Refusal::of(format!("finish the steps first: {}", stop.title())));
        }
        for flag in [Flag::Paused, Flag::ForGood] {
            if state.is(flag) {
                return Err(Refusal::of(flag.words(true)));
            }
        }
        if self.ended(state) {
            return Err(Refusal::of("the sheet is at its end"));
        }
        Ok(self.turn(state, state.flags.less(self.stale).with(Flag::Paused)))
    }

    fn put(&self, state: &State, put: usize) -> Result<State, Refusal> {
        if let Some(stop) = state.stop() {
            return Err(Refusal::of(format!("finish the steps first: {}", stop.title())));
        }
        if !state.is(Flag::Paused) {
            return Err(Refusal::of("work is not paused"));
        }
        match (self.next_put(state), self.puts.get(put)) {
            (Some(next), Some(facts)) if next == put => {
                Ok(self.turn(state, facts.effect.on(state.flags)))
            }
            (Some(next), _) => {
                let title = self.puts.get(next).map_or("", |put| put.title);
                Err(Refusal::of(format!("first: {title}")))
            }
            (None, _) => Err(Refusal::of("nothing is left to put down")),
        }
    }

    /// The state with other flags, turned otherwise than by a task: tasks whose work is gone
    /// are open again.
    fn turn(&self, state: &State, flags: Flags) -> State {
        let mut done = state.done;
        let mut lapse = |turned: Flags, table: &[Vec<Lapse>]| {
            for place in turned.places() {
                for lapse in table.get(place).into_iter().flatten() {
                    if !state.done.meets(&lapse.unless) {
                        done.remove(lapse.task);
                    }
                }
            }
        };
        lapse(state.flags.less(flags), &self.off);
        lapse(flags.less(state.flags), &self.on);
        State { flags, done, step: state.step }
    }

    fn reopen(&self, done: &mut Done, which: impl Fn(&Task) -> bool) {
        for (task, facts) in self.tasks.iter().enumerate() {
            if which(facts) {
                done.remove(task);
            }
        }
    }

    /// Every guard that stands against a task.
    fn refusal(&self, state: &State, task: usize) -> Refusal {
        let Some(facts) = self.tasks.get(task) else { return Refusal::of("no such task") };
        if state.done.has(task) {
            return Refusal::of("it is done already");
        }
        if let Some(stop) = state.stop() {
            return Refusal::of(format!("stopped: {}", stop.title()));
        }
        for flag in [Flag::ForGood, Flag::Paused] {
            if state.is(flag) {
                return Refusal::of(flag.words(true));
            }
        }
        let unmet = |need: &&Need| match **need {
            Need::On(flag) => !state.is(flag),
            Need::Off(flag) => state.is(flag),
            Need::Done(task) => !state.done.has(task),
        };
        let words = |need: &Need| match *need {
            Need::On(flag) => flag.words(false).to_owned(),
            Need::Off(flag) => flag.words(true).to_owned(),
            Need::Done(task) => {
                let first = self.tasks.get(task).map_or("", |task| &task.title);
                format!("first: {first}")
            }
        };
        Refusal { because: facts.needs.iter().filter(unmet).map(words).collect() }
    }
}

/// The flags when a stop action is over.
fn over(flags: Flags, stop: Stop) -> Flags {
    let flags = flags.without(stop.flag());
    match stop {
        Stop::Fire => flags.with(Flag::Burnt).with(Flag::ForGood),
        Stop::Spill => flags.less(Flags::of(&[Flag::Controlled, Flag::Contained, Flag::TakenUp])),
        Stop::WrongFuel => flags.without(Flag::SourceKnown),
        Stop::Injury | Stop::LostBond => flags,
    }
}

/// What bars every task, whatever else it needs.
const BARS: Flags = Flags::STOPS.with(Flag::Paused).with(Flag::ForGood);

fn guard(needs: &[Need], bars: Flags) -> Guard {
    let mut guard = Guard { off: bars, ..Guard::default() };
    for need in needs {
        match *need {
            Need::On(flag) => guard.on = guard.on.with(flag),
            Need::Off(flag) => guard.off = guard.off.with(flag),
            Need::Done(task) => guard.done.insert(task),
        }
    }
    guard
}

fn lapses(
    tasks: &[Task],
    flag: Flag,
    turns: fn(&Task) -> Flags,
    back: fn(&Task) -> Flags,
) -> Vec<Lapse> {
    let turning = tasks.iter().enumerate().filter(|(_, task)| turns(task).has(flag));
    let lapse = |(task, _): (usize, &Task)| {
        let mut unless = Done::NONE;
        for (later, other) in tasks.iter().enumerate().skip(task + 1) {
            if back(other).has(flag) {
                unless.insert(later);
            }
        }
        Lapse { task, unless }
    };
    turning.map(lapse).collect()
}
