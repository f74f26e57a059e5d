//! New records into a yard, in whatever order they arrive.
//!
//! A record that comes after all that was folded of its container is folded at once. One that
//! comes late, or corrects another, marks its subject; marked subjects are read again and
//! folded anew at the end. Either way leads to the same yard.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::{
    Batch, Container, Home, Yard,
    names::Names,
    told::{Resolved, Told, Topic, resolve},
};
use crate::{
    event::Event,
    record::{Order, Record, RecordRef, Subject},
    store::Head,
};

/// The container of `id` by its own records alone, in any order, with its own corrections.
///
/// A whole yard also counts fuel poured in from elsewhere: see [`Yard`]. Words in the rows are
/// spelled out by that yard, so a container folded alone keeps only numbers for them.
#[must_use]
pub fn fold(id: Uuid, records: &[Record]) -> Container {
    let mut names = Names::default();
    let mut container = Container::new(id);
    for told in resolve(records, &mut names).told {
        if Topic::of(&told.event).contains(&Some(Topic::Container(id))) {
            container.apply(&told, &mut names);
        }
    }
    container
}

/// A yard that takes records; [`Intake::settle`] gives it back.
#[derive(Debug)]
#[must_use = "records that came late are folded when it settles"]
pub struct Intake {
    yard: Yard,
    /// Subjects whose records must be read again.
    homes: BTreeSet<Topic>,
    /// Subjects whose state must be folded anew.
    targets: BTreeSet<Topic>,
}

impl Yard {
    /// Opens the yard for records.
    pub fn intake(self) -> Intake {
        Intake { yard: self, homes: BTreeSet::new(), targets: BTreeSet::new() }
    }

    /// Takes one record that is already stored; `read` gives all stored records of a subject.
    ///
    /// # Errors
    ///
    /// Those of `read`; the yard is gone then, as half of it would be older than the rest.
    pub fn take<E>(
        self,
        record: RecordRef<'_>,
        read: &mut dyn FnMut(&Subject) -> Result<Vec<Record>, E>,
    ) -> Result<Self, E> {
        let mut intake = self.intake();
        intake.push(record);
        intake.settle(read)
    }
}

impl Intake {
    /// Takes a record. Records of subjects that are not of the yard pass by.
    pub fn push(&mut self, record: RecordRef<'_>) {
        let Order { device, seq, .. } = record.order;
        let head = self.yard.heads.entry(device).or_insert(Head { seq, hash: record.hash });
        if head.seq < seq {
            *head = Head { seq, hash: record.hash };
        }
        let Some(home) = Topic::parse(record.subject) else { return };
        if self.homes.contains(&home) {
            return;
        }
        let known = self.yard.homes.get(&home);
        let corrected = known.is_some_and(|it| it.corrected.contains(&record.id.0));
        let event =
            record.event().ok().filter(|it| !corrected && !matches!(it, Event::Corrected(_)));
        let Some(event) = event else {
            self.homes.insert(home);
            return;
        };
        let by = self.yard.names.of(record.author);
        let told = Told { record: record.id, order: record.order, by, event };
        for target in Topic::of(&told.event).into_iter().flatten() {
            if !self.targets.contains(&target) && !self.yard.append(&target, &told) {
                self.targets.insert(target.clone());
            }
            if target != home {
                self.yard.homes.entry(home.clone()).or_default().touches.insert(target);
            }
        }
    }

    /// Folds anew what came late or was corrected. `read` gives all stored records of a
    /// subject, those just taken among them.
    ///
    /// # Errors
    ///
    /// Those of `read`; the yard is gone then, as half of it would be older than the rest.
    pub fn settle<E>(
        mut self,
        read: &mut dyn FnMut(&Subject) -> Result<Vec<Record>, E>,
    ) -> Result<Yard, E> {
        for home in std::mem::take(&mut self.homes) {
            let resolved = resolve(&read(&home.subject())?, &mut self.yard.names);
            self.replace_home(home, resolved);
        }
        let targets = std::mem::take(&mut self.targets);
        let mut sources: BTreeMap<&Topic, Vec<Topic>> = BTreeMap::new();
        for (home, it) in &self.yard.homes {
            for target in it.touches.iter().filter_map(|target| targets.get(target)) {
                sources.entry(target).or_default().push(home.clone());
            }
        }
        for target in &targets {
            let others = sources.get(target).into_iter().flatten();
            let mut told = Vec::new();
            for home in std::iter::once(target).chain(others) {
                let records = read(&home.subject())?;
                let all = resolve(&records, &mut self.yard.names).told.into_iter();
                told.extend(all.filter(|it| Topic::of(&it.event).contains(&Some(target.clone()))));
            }
            told.sort_by_key(|it| (it.order, it.record));
            self.yard.fold_anew(target, &told);
        }
        Ok(self.yard)
    }

    /// Keeps what the records of `home` do beyond it, and marks all that they change or changed.
    fn replace_home(&mut self, home: Topic, resolved: Resolved) {
        let mut touches: BTreeSet<Topic> = BTreeSet::new();
        for told in &resolved.told {
            touches.extend(Topic::of(&told.event).into_iter().flatten());
        }
        touches.remove(&home);
        let Resolved { corrected, findings, .. } = resolved;
        let new = Home { touches: touches.clone(), corrected, findings };
        let old = if new.is_blank() {
            self.yard.homes.remove(&home)
        } else {
            self.yard.homes.insert(home.clone(), new)
        };
        self.targets.extend(old.map(|old| old.touches).unwrap_or_default());
        self.targets.extend(touches);
        self.targets.insert(home);
    }
}

impl Yard {
    /// Folds `told` when it comes after all that was folded of `target`; false when it is late.
    fn append(&mut self, target: &Topic, told: &Told) -> bool {
        let in_time = match target {
            Topic::Container(id) => {
                self.containers.get(id).is_none_or(|it| it.precedes(told.order))
            }
            Topic::Batch(name) => self.batches.get(name).is_none_or(|it| it.precedes(told.order)),
        };
        if in_time {
            self.apply(target, told);
        }
        in_time
    }

    fn apply(&mut self, target: &Topic, told: &Told) {
        match target {
            Topic::Container(id) => {
                let container = self.containers.entry(*id).or_insert_with(|| Container::new(*id));
                container.apply(told, &mut self.names);
                match &told.event {
                    Event::Received(_) => {
                        let batch = container.fills.last().map(|it| it.batch);
                        self.by_batch.extend(batch.map(|batch| (batch, *id)));
                    }
                    Event::Drawn(it) if it.container == *id => {
                        let flight = container.draws.last().and_then(|it| it.flight);
                        self.by_flight.extend(flight.map(|flight| (flight, *id)));
                    }
                    _ => {}
                }
            }
            Topic::Batch(name) => {
                self.batches.entry(name.clone()).or_insert_with(|| Batch::new(name)).apply(told);
            }
        }
    }

    fn fold_anew(&mut self, target: &Topic, told: &[Told]) {
        match target {
            Topic::Container(id) => {
                if let Some(old) = self.containers.remove(id) {
                    for draw in &old.draws {
                        draw.flight.map(|flight| self.by_flight.remove(&(flight, *id)));
                    }
                    for fill in &old.fills {
                        self.by_batch.remove(&(fill.batch, *id));
                    }
                }
            }
            Topic::Batch(name) => {
                self.batches.remove(name);
            }
        }
        for told in told {
            self.apply(target, told);
        }
    }
}
