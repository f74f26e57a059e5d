//! New records into a yard, in whatever order they arrive.
//!
//! A record that comes after all that was folded of its container is folded at once. One that
//! comes late, or corrects another, marks its subject; marked subjects are read again and
//! folded anew at the end. Either way leads to the same yard.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::{
    Batch, Container, Home, Stamp, Yard,
    names::Names,
    told::{Resolved, Told, Topic, resolve},
};
use crate::{
    event::{Body, Event},
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

/// Events that settling keeps rather than reads again.
const KEPT_MAX: usize = 200_000;

/// What to do with an event that does not come after all that was folded.
#[derive(Clone, Copy, PartialEq)]
enum Late {
    Refuse,
    /// Two records that claim one place are both folded.
    Fold,
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
        let known = self.yard.homes.get(&home);
        let corrected = known.is_some_and(|it| it.corrected.contains(&record.id.0));
        let event = record.event().ok().and_then(Body::yard);
        let event = event.filter(|it| !corrected && !matches!(it, Event::Corrected(_)));
        let Some(event) = event else {
            self.homes.insert(home);
            return;
        };
        let by = self.yard.names.of(record.author);
        let told = Told { record: record.id, order: record.order, by, event };
        for target in Topic::of(&told.event).into_iter().flatten() {
            // What is to be read again anyway need not be folded now; what it does beyond is
            // folded, and compared when it has been read.
            let waits = target == home && self.homes.contains(&home);
            if target != home {
                self.yard.homes.entry(home.clone()).or_default().change(&home, &target, &told);
            }
            if !waits && !self.targets.contains(&target) && !self.yard.append(&target, &told) {
                self.targets.insert(target);
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
        // What was read once need not be read again, as long as memory is not at stake.
        let (mut kept, mut room) = (BTreeMap::new(), KEPT_MAX);
        for home in std::mem::take(&mut self.homes) {
            let mut resolved = resolve(&read(&home.subject())?, &mut self.yard.names);
            let told = std::mem::take(&mut resolved.told);
            self.replace_home(&home, &told, resolved);
            if let Some(left) = room.checked_sub(told.len()) {
                room = left;
                kept.insert(home, told);
            }
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
                let about = |it: &&Told| Topic::of(&it.event).contains(&Some(target.clone()));
                if let Some(known) = kept.get(home) {
                    told.extend(known.iter().filter(about).cloned());
                } else {
                    let known = resolve(&read(&home.subject())?, &mut self.yard.names).told;
                    told.extend(known.iter().filter(about).cloned());
                }
            }
            told.sort_by_key(|it| (it.order, it.record));
            self.yard.fold_anew(target, &told);
        }
        Ok(self.yard)
    }

    /// Keeps what the records of `home` do beyond it, and marks all that they change or changed.
    fn replace_home(&mut self, home: &Topic, told: &[Told], resolved: Resolved) {
        let Resolved { corrected, findings, .. } = resolved;
        let mut new = Home { corrected, findings, ..Home::default() };
        for told in told {
            for target in Topic::of(&told.event).iter().flatten().filter(|it| *it != home) {
                new.change(home, target, told);
            }
        }
        let old = self.yard.homes.remove(home).unwrap_or_default();
        for target in new.touches.union(&old.touches) {
            if old.moves.contains(target) || !self.yard.has_poured(home, told, target) {
                self.targets.insert(target.clone());
            }
        }
        self.targets.insert(home.clone());
        if !new.is_blank() {
            self.yard.homes.insert(home.clone(), new);
        }
    }
}

impl Home {
    /// Notes that `told`, of the records of `home`, changes `target`.
    fn change(&mut self, home: &Topic, target: &Topic, told: &Told) {
        self.touches.insert(target.clone());
        let pours = matches!((home, &told.event), (Topic::Container(from), Event::Drawn(drawn))
            if drawn.container == *from);
        if !pours {
            self.moves.insert(target.clone());
        }
    }
}

impl Yard {
    /// True when all that `home` tells about `target` is fuel poured into it, and `target`
    /// has folded exactly that. Then a correction of something else in `home` leaves it alone.
    fn has_poured(&self, home: &Topic, told: &[Told], target: &Topic) -> bool {
        let (Topic::Container(from), Topic::Container(into)) = (home, target) else { return false };
        let Some(container) = self.containers.get(into) else { return false };
        let mut folded = container.inflows.iter().filter(|it| it.from == *from);
        let about = told.iter().filter(|it| Topic::of(&it.event).contains(&Some(target.clone())));
        let known = about.into_iter().all(|it| match &it.event {
            Event::Drawn(drawn) if drawn.container == *from => folded.next().is_some_and(|row| {
                let Stamp { record, at_ms, by, .. } = row.stamp;
                (record, at_ms, by) == (it.record, it.order.at_ms, it.by)
                    && row.volume_ml == drawn.volume_ml
            }),
            _ => false,
        });
        known && folded.next().is_none()
    }

    /// Folds `told` when it comes after all that was folded of `target`; false when it is late.
    fn append(&mut self, target: &Topic, told: &Told) -> bool {
        self.apply(target, told, Late::Refuse)
    }

    fn apply(&mut self, target: &Topic, told: &Told, late: Late) -> bool {
        match target {
            Topic::Container(id) => {
                let container = self.containers.entry(*id).or_insert_with(|| Container::new(*id));
                if late == Late::Refuse && !container.precedes(told.order) {
                    return false;
                }
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
                let batch = self.batches.entry(name.clone()).or_insert_with(|| Batch::new(name));
                if late == Late::Refuse && !batch.precedes(told.order) {
                    return false;
                }
                batch.apply(told);
            }
        }
        true
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
            self.apply(target, told, Late::Fold);
        }
    }
}
